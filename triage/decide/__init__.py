"""Decide: work the figures out over everything that is possible, and say what holds over all of it.

`asked` says what a finding hangs on, `tries` which values are tried, `trial` works a brief out over them, `verdict` says
what holds, `asks` what would settle the rest, `figures` how each figure came about, and `nearest` what would work instead.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from knowledge.base import Knowledge
from knowledge.brief import points_within
from triage.decide.asked import Asked, Found, kept_findings
from triage.decide.asks import ask_for, asks
from triage.decide.figures import figures
from triage.decide.nearest import nearest
from triage.decide.trial import Trial, work_out
from triage.decide.verdict import Judgement, conflicts, judge
from triage.records import Ask, Assumed, Finding, Matched, Side, Value, Verdict
from triage.shown import Shown


def decide(questions: Sequence[Matched], knowledge: Knowledge) -> list[Finding]:
    """Give each matched question its figures, its verdict, what to ask back, and the answers to what is asked.

    Questions that tell the same of the same brief are worked out once, also over calls: what was found lately is kept.
    """
    kept = kept_findings(knowledge)
    asked = [Asked.of(question, knowledge) if question.brief is not None else None for question in questions]
    found: dict[Asked, Found] = {}
    fresh: dict[Asked, None] = {}
    for one in asked:
        if one is None or one in found or one in fresh:
            continue
        before = kept.find(one)
        if before is None:
            fresh[one] = None
        else:
            found[one] = before
    for one, made in zip(fresh, _worked_out(list(fresh), knowledge), strict=True):
        kept.keep(one, made)
        found[one] = made
    return [
        _for_a_person(question) if one is None else _settled(found[one].told_by(question), knowledge)
        for question, one in zip(questions, asked, strict=True)
    ]


def _settled(finding: Finding, knowledge: Knowledge) -> Finding:
    """Where facts are missing, but what was asked doesn't hang on them, nothing is left open and nothing asked back.

    What the rider's own numbers rule out already is told all the same.
    """
    if finding.verdict != "need-more" or finding.reasons or any(ask.again for ask in finding.asks):
        return finding
    brief, classified = knowledge.briefs[finding.matched.brief or ""], finding.matched.extracted.classified
    named = points_within(brief, classified.point, *classified.more_points)
    if not named or not all(brief.points[name].settles for name in named):
        return finding
    return replace(finding, verdict="explain", sureness="sure", asks=(), ready=(), decider_sources=())


def _worked_out(asked: Sequence[Asked], knowledge: Knowledge) -> list[Found]:
    """What is found for each, with the answers for either side of what is asked back."""
    trials = _tried([one.matched for one in asked], knowledge)
    findings = [_finding(trial, None) for trial in trials]
    turned = [
        (place, side, _answered(finding.matched, finding.asks[0].name, side))
        for place, finding in enumerate(findings)
        if finding.asks
        for side in finding.asks[0].sides
    ]
    ready: dict[int, list[tuple[Side, Found]]] = {}
    answers = _tried([matched for _, _, matched in turned], knowledge)
    for (place, side, _), trial in zip(turned, answers, strict=True):
        name = findings[place].asks[0].name
        answer = Found(_finding(trial, name), trial.plan, answered=name)
        ready.setdefault(place, []).append((side, answer))
    return [
        Found(finding, trial.plan, tuple(ready.get(place, ())))
        for place, (finding, trial) in enumerate(zip(findings, trials, strict=True))
    ]


def _tried(questions: Sequence[Matched], knowledge: Knowledge) -> list[Trial]:
    trials = [Trial(knowledge.briefs[question.brief or ""], question, knowledge) for question in questions]
    work_out(trials)
    return trials


def _for_a_person(matched: Matched) -> Finding:
    doubts = tuple(why for _, why in matched.extracted.doubts)
    return Finding(matched, "none", (), (), (), (), (), doubts)


def _finding(trial: Trial, answered: str | None) -> Finding:
    """The finding; `answered` names the fact that the rider has given in answer, as a stretch."""
    doubts = [why for name, why in trial.matched.extracted.doubts if name in trial.values]
    unworked: list[str] = []
    judged = judge(trial, unworked)
    asked: tuple[Ask, ...] = ()
    if judged.verdict == "need-more":
        asked = tuple(asks(trial, again=judged.hangs_on_measuring))
    verdict, conditions, asked = _hold_back(trial, judged, asked, answered)
    decided = trial.brief.verdict is None
    return Finding(
        matched=trial.matched,
        verdict=verdict,
        reasons=judged.reasons,
        conditions=conditions,
        figures=tuple(figures(trial)),
        asks=asked,
        assumed=tuple(_assumed(trial, verdict)),
        doubts=tuple(dict.fromkeys(doubts)),
        unworked=tuple(dict.fromkeys(unworked)),
        decider_sources=judged.sources,
        sureness=judged.sureness,
        conflicts=tuple(conflicts(trial)) if decided else (),
        nearest=tuple(nearest(trial)) if decided and verdict == "not-recommended" else (),
    )


def _hold_back(
    trial: Trial, judged: Judgement, asked: tuple[Ask, ...], answered: str | None
) -> tuple[Verdict, tuple[str, ...], tuple[Ask, ...]]:
    """A safety matter is never a plain yes while a fact that decides is unknown."""
    open_facts = [
        name for name in trial.deciding_needs(silent_too=True) if name in trial.unknown and name != answered
    ]
    if not trial.brief.safety or judged.verdict != "yes" or not open_facts:
        return judged.verdict, judged.conditions, asked
    fact = open_facts[0]
    if len(trial.values[fact].choices) > 1:
        condition = f"you look at the {trial.label(fact).removeprefix('the ')} first, which we don't know yet"
    else:
        condition = f"{trial.label(fact)} is really {_range_words(trial, fact)}; tell us if it is not"
    return "yes-if", (*judged.conditions, condition), (*asked, ask_for(fact, trial))


def _assumed(trial: Trial, verdict: Verdict) -> Iterator[Assumed]:
    if verdict == "need-more" or trial.brief.verdict is not None:
        return
    for name in trial.deciding_needs():
        if trial.values[name].origin == "usual" and not (
            verdict == "not-recommended" and _only_adds(trial, name)
        ):
            words = _range_words(trial, name)
            yield Assumed(name, trial.label(name), words, not trial.values[name].is_known)


def _only_adds(trial: Trial, name: str) -> bool:
    """Whether a need decides by its own words alone, and these say nothing so bad: then the worst stands without it."""
    by_itself = [decider for decider in trial.brief.deciders if decider.need == name]
    said = [decider.values.get(word) for decider in by_itself for word in trial.values[name].choices]
    others = [one for one in trial.brief.deciders if one.figure is not None or name in one.where.values()]
    return (
        bool(by_itself)
        and not others
        and all(one is None or one.verdict != "not-recommended" for one in said)
    )


def _range_words(trial: Trial, name: str) -> str:
    value = trial.values[name]
    if value.choices:
        return " or ".join(trial.knowledge.choice_label(name, word) for word in value.choices)
    return str(Shown.of(value, trial.knowledge))


def _answered(matched: Matched, name: str, side: Side) -> Matched:
    """The question as it stands once the rider has answered what was asked."""
    before = matched.values[name]
    said = f"the rider's answer: {side.when}"
    if isinstance(side.value, str):
        value = replace(
            before, best=side.value, choices=(side.value,), origin="rider", words=None, basis=said
        )
    else:
        low, high = side.value
        value = replace(
            before,
            best=(low + high) / 2,
            low=low,
            high=high,
            origin="rider",
            words=None,
            basis=said,
            spread=0.0,
        )
    # The tipping value was worked out with what was told taken as exact, and so are the answers on either side.
    values: dict[str, Value] = {other: replace(v, spread=0.0) for other, v in matched.values.items()} | {
        name: value
    }
    missing = tuple(other for other in matched.missing if other != name)
    return replace(matched, values=values, missing=missing)


__all__ = ["decide"]

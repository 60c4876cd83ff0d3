"""Who tells the same gets the same finding, whatever was worked out before; who tells otherwise never gets another's."""

from __future__ import annotations

import random
from collections.abc import Callable, Sequence
from dataclasses import replace
from itertools import count

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from knowledge.base import Knowledge
from knowledge.brief import Brief
from knowledge.phrases import Phrases
from tests.asked import asked
from triage.decide import decide
from triage.decide.asked import Asked, kept_findings
from triage.draft import draft
from triage.draft.said import kept_words
from triage.match import match
from triage.records import Draft, Extracted, Finding, Matched, PartMention

RIDERS = ("Ana", "Bo", "Cleo", None)
_fresh = count()


def cold(knowledge: Knowledge) -> Knowledge:
    """The same knowledge, of which nothing was worked out yet."""
    return replace(knowledge, digest=f"nothing worked out {next(_fresh)}")


def numbers_of(brief: Brief, knowledge: Knowledge) -> list[str]:
    """The brief's needs that a rider may give a number for."""
    return [need.name for need in brief.needs if need.name in knowledge.quantities]


def ends(name: str, knowledge: Knowledge) -> tuple[float, float]:
    kind = knowledge.quantities[name]
    return float(kind.low or 0.0), float(kind.high or 0.0)


@pytest.fixture(scope="module")
def batch(knowledge: Knowledge) -> list[Extracted]:
    """Every third brief."""
    return told_of(list(knowledge.briefs.values())[::3], knowledge)


def told_of(briefs: Sequence[Brief], knowledge: Knowledge) -> list[Extracted]:
    """Two riders tell the same in other words, one how much at least and at most, one nothing."""
    questions = []
    for place, brief in enumerate(briefs):
        told: dict[str, float] = {}
        between: dict[str, tuple[float, float]] = {}
        for name in numbers_of(brief, knowledge)[:2]:
            low, high = ends(name, knowledge)
            told[name] = round(low + (high - low) * 0.4, 3)
            between[name] = (told[name], told[name] + (high - low) * 0.3)
        for rider in RIDERS:
            given = {"Cleo": between, None: {}}.get(rider, told)
            question = asked(brief.id, given, rider=rider, name=f"q{place}-{rider}")
            details = tuple(replace(one, words=f"{rider}'s {one.words}") for one in question.details)
            questions.append(replace(question, details=details))
    return questions


def found(questions: Sequence[Extracted], knowledge: Knowledge) -> dict[str, Finding]:
    findings = decide(match(questions, knowledge), knowledge)
    return {finding.question.question_id: finding for finding in findings}


def drafted(questions: Sequence[Extracted], knowledge: Knowledge, phrases: Phrases) -> list[Draft]:
    return draft(decide(match(questions, knowledge), knowledge), knowledge, phrases, 150.0)


def test_findings_are_the_same_warm_cold_alone_and_in_another_order(
    batch: list[Extracted], knowledge: Knowledge
) -> None:
    once = cold(knowledge)
    first, warm = found(batch, once), found(batch, once)
    turned = found(random.Random(8).sample(batch, len(batch)), cold(knowledge))
    alone: dict[str, Finding] = {}
    for question in batch:
        alone |= found([question], once)

    assert len(first) == len(batch)
    assert first == warm == turned == alone


def test_drafts_are_the_same_warm_and_cold(
    batch: list[Extracted], knowledge: Knowledge, phrases: Phrases
) -> None:
    once = cold(knowledge)

    assert drafted(batch, once, phrases) == drafted(batch, once, phrases)
    assert drafted(batch, once, phrases) == drafted(batch, cold(knowledge), phrases)


def test_most_of_what_is_told_again_is_not_worked_out_again(
    batch: list[Extracted], knowledge: Knowledge, phrases: Phrases
) -> None:
    once = cold(knowledge)
    drafted(batch, once, phrases)
    missed = kept_findings(once).missed, kept_words(once).missed
    drafted(batch, once, phrases)

    assert (kept_findings(once).missed, kept_words(once).missed) == missed
    # Two of four riders tell the same where the brief takes a number, and all four where it takes none.
    assert len(kept_findings(once)) < len(batch) * 3 / 4


def test_each_rider_reads_the_own_words_beside_the_numbers(
    batch: list[Extracted], knowledge: Knowledge
) -> None:
    words = {
        (finding.question.message.rider, one.words)
        for finding in found(batch, cold(knowledge)).values()
        for which in (finding, *(answer for _, answer in finding.ready))
        for figure in which.figures
        for one in figure.inputs
        if one.origin == "rider" and one.words is not None
    }

    assert {rider for rider, _ in words} == {"Ana", "Bo", "Cleo"}
    assert all(told.startswith(f"{rider}'s ") for rider, told in words)


def test_an_answer_to_what_is_asked_has_no_words_yet_and_leaves_nothing_missing_but_the_rest(
    knowledge: Knowledge,
) -> None:
    # All briefs: those that ask again for what was told are few, and every third one may hold none of them.
    every = told_of(list(knowledge.briefs.values()), knowledge)
    turned = [finding for finding in found(every, cold(knowledge)).values() if finding.ready]

    assert any(finding.matched.values[finding.asks[0].name].words is None for finding in turned)
    assert any(finding.matched.values[finding.asks[0].name].words is not None for finding in turned)
    for finding in turned:
        name = finding.asks[0].name
        for side, answer in finding.ready:
            value = answer.matched.values[name]
            assert (value.words, value.basis) == (None, f"the rider's answer: {side.when}")
            assert answer.matched.missing == tuple(one for one in finding.matched.missing if one != name)
            assert answer.question is finding.question


def test_danger_told_by_one_rider_warns_that_rider_only(knowledge: Knowledge, phrases: Phrases) -> None:
    brief = next(one.id for one in knowledge.briefs.values() if one.safety)
    calm, alarmed = asked(brief, {}, name="calm"), asked(brief, {}, name="alarmed")
    alarmed = replace(
        alarmed,
        classified=replace(
            alarmed.classified, question=replace(alarmed.classified.question, flags=("danger",))
        ),
    )
    once = cold(knowledge)
    for order in ((calm, alarmed), (alarmed, calm)):
        cautions = {one.question.question_id: one.cautions for one in drafted(order, once, phrases)}

        assert phrases.hold_off in cautions["alarmed"]
        assert phrases.hold_off not in cautions["calm"]


def test_danger_told_beside_a_harmless_question_is_answered_too(
    knowledge: Knowledge, phrases: Phrases
) -> None:
    brief = next(one.id for one in knowledge.briefs.values() if not one.safety)
    alarmed = asked(brief, {}, name="alarmed")
    alarmed = replace(
        alarmed,
        classified=replace(
            alarmed.classified, question=replace(alarmed.classified.question, flags=("danger",))
        ),
    )

    (draft,) = drafted((alarmed,), cold(knowledge), phrases)

    assert draft.cautions[0] == phrases.hold_off_beside


def test_a_doubt_about_one_riders_figure_is_told_to_that_rider_only(
    knowledge: Knowledge, phrases: Phrases
) -> None:
    brief = next(b for b in knowledge.briefs.values() if b.deciders and numbers_of(b, knowledge))
    doubted = replace(
        asked(brief.id, {}, name="doubted"), doubts=((numbers_of(brief, knowledge)[0], "That can't be."),)
    )
    once = cold(knowledge)
    for order in ((asked(brief.id, {}), doubted), (doubted, asked(brief.id, {}))):
        replies = {one.question.question_id: one.reply or "" for one in drafted(order, once, phrases)}

        assert "That can't be." in replies["doubted"]
        assert "That can't be." not in replies["q"]


def test_a_name_in_the_briefs_own_words_is_each_riders_own(
    with_briefs: Callable[..., Knowledge], phrases: Phrases
) -> None:
    knowledge = with_briefs(
        tyres__greeting=f"""
title: A greeting
examples: [{", ".join(f"example {n}" for n in range(10))}]
verdict: explain
answers:
  explain: {{headline: "Well, {{{{ rider }}}}, look.", body: We look.}}
"""
    )
    once = cold(knowledge)
    questions = [asked("tyres/greeting", {}, rider=rider, name=rider) for rider in ("Ana", "Bo")]

    assert [one.headline for one in drafted(questions, once, phrases)] == [
        "Well, Ana, look.",
        "Well, Bo, look.",
    ]


def test_a_limit_that_one_rider_states_takes_a_sentence_from_that_riders_answer_only(
    with_briefs: Callable[..., Knowledge], phrases: Phrases
) -> None:
    knowledge = with_briefs(
        tyres__pumping=f"""
title: Pumping
examples: [{", ".join(f"example {n}" for n in range(10))}]
verdict: explain
answers:
  explain: {{headline: Pump it up., body: "Look at the rim. Pump it to 6 bar. Then ride."}}
"""
    )
    any_rim = asked("tyres/pumping", {}, name="any rim")
    hookless = asked("tyres/pumping", {"rim_type": "hookless"}, name="hookless")
    once = cold(knowledge)
    for order in ((any_rim, hookless), (hookless, any_rim)):
        replies = {one.question.question_id: one.reply or "" for one in drafted(order, once, phrases)}

        assert "6 bar" in replies["any rim"]
        assert "6 bar" not in replies["hookless"]


def test_parts_that_bring_other_speeds_along_are_another_question(knowledge: Knowledge) -> None:
    bare = match([asked(next(iter(knowledge.briefs)), {})], knowledge)[0]
    by_speeds = {part.properties.get("speeds"): part for part in knowledge.parts.values()}

    def naming(speeds: float | str | None) -> Asked:
        part = by_speeds[speeds]
        mention = PartMention(part.id, part.kind, part.name, 0, 1, 100.0)
        return Asked.of(replace(bare, extracted=replace(bare.extracted, parts=(mention,))), knowledge)

    assert naming(10.0) != naming(11.0)
    # A part without speeds counts only by what it gave to the values.
    assert naming(None) == Asked.of(bare, knowledge)


@settings(max_examples=40, deadline=None)
@given(data=st.data())
def test_two_questions_with_one_other_number_never_share_a_finding(
    data: st.DataObject, knowledge: Knowledge
) -> None:
    briefs = [one for one in knowledge.briefs.values() if numbers_of(one, knowledge)]
    brief = data.draw(st.sampled_from(briefs))
    names = numbers_of(brief, knowledge)
    told = {name: data.draw(st.floats(*ends(name, knowledge)), label=name) for name in names}
    other = data.draw(st.sampled_from(names), label="the other number")
    otherwise = told | {other: data.draw(st.floats(*ends(other, knowledge)), label=f"other {other}")}
    assume(told[other] != otherwise[other])
    pair = match([asked(brief.id, told, name="one"), asked(brief.id, otherwise, name="other")], knowledge)
    assume(told_apart(pair))
    warm = cold(knowledge)

    together = decide(pair, warm)

    assert Asked.of(pair[0], knowledge) != Asked.of(pair[1], knowledge)
    assert decide(pair, warm) == together
    assert [decide([question], cold(knowledge))[0] for question in pair] == together


def told_apart(pair: Sequence[Matched]) -> bool:
    """Whether reading left the two different; a table may give a need whatever the rider says."""
    return pair[0].values != {
        name: replace(value, words=pair[0].values[name].words) for name, value in pair[1].values.items()
    }


def test_what_is_kept_stays_bounded(
    knowledge: Knowledge, phrases: Phrases, monkeypatch: pytest.MonkeyPatch
) -> None:
    once = cold(knowledge)
    monkeypatch.setattr(kept_findings(once), "most", 5)
    monkeypatch.setattr(kept_words(once), "most", 5)
    brief = next(b for b in knowledge.briefs.values() if b.deciders and numbers_of(b, knowledge))
    name = numbers_of(brief, knowledge)[0]
    low, high = ends(name, knowledge)
    questions = [
        asked(brief.id, {name: low + (high - low) * part / 40}, name=f"q{part}") for part in range(40)
    ]

    made = drafted(questions, once, phrases)

    assert len(kept_findings(once)) == len(kept_words(once)) == 5
    assert made == drafted(questions, cold(knowledge), phrases)

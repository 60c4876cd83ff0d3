"""The verdict: what holds over everything that was tried, how sure that is, and where deciders disagree."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from knowledge import wording
from knowledge.brief import Decider, Outcome
from triage.decide.figures import figure_names, figure_spreads
from triage.decide.trial import SEVERITY, SILENT, VERDICTS, Case, Codes, Trial
from triage.records import Sureness, Verdict
from triage.shown import names_for

FEW = 0.03
"""Share of the tried rows that may disagree: a few sit on the tipping value itself, or in a far corner of the spreads."""

SOME = 0.25
"""From this share of worse rows on, the worse of two verdicts that are both no yes is said."""


@dataclass(frozen=True, slots=True)
class Judgement:
    """A verdict with its reasons, and what it is that leaves it open where it is."""

    verdict: Verdict
    sureness: Sureness
    reasons: tuple[str, ...] = ()
    conditions: tuple[str, ...] = ()
    sources: tuple[str, ...] = ()
    hangs_on_measuring: bool = False


def judge(trial: Trial, unworked: list[str]) -> Judgement:
    """One verdict over all cases of a trial; figures that could not be worked out are told in `unworked`."""
    brief = trial.brief
    if not brief.deciders:
        return _fixed(trial)
    told = _codes(trial.cases, told=True)
    unsettled = _unsettled(trial, unworked)
    every = np.unique(told)
    if len(every) == 1 and every[0] != SILENT and not (unsettled and every[0] < SEVERITY["inspect-first"]):
        return _as_measured(trial, int(every[0]))
    if every[-1] == SILENT and brief.verdict is not None:
        return _fixed(trial)
    if every[-1] == SILENT and "explain" in brief.answers:
        return Judgement("explain", "sure")
    at_best = () if unsettled else tuple(_at_best(trial, int(every[0])))
    return Judgement("need-more", "open", at_best, sources=_all_sources(trial))


def _at_best(trial: Trial, mildest: int) -> Iterator[str]:
    """What can come of it at best, where facts are missing and what the rider's figures come to rules out a plain yes already.

    A reason that gives a value of its own gives that of one row, which need not be the best.
    """
    given = any(trial.values[name].origin in ("rider", "part") for name in trial.deciding_needs())
    if mildest < SEVERITY["yes-if"] or not given:
        return
    for decider, outcome in trial.outcomes(_case_with(trial, mildest)):
        if decider.figure is None or wording.names_used(f"{outcome.because} {outcome.condition or ''}"):
            continue
        place = trial.brief.deciders.index(decider)
        could_be_milder = any(SEVERITY[band.verdict] < mildest for band in decider.bands)
        if could_be_milder and all(int(case.spoken[place].min()) >= mildest for case in trial.cases):
            then = f", and then it works only if {outcome.condition}" if outcome.condition else ""
            yield f"at best {outcome.because}{then}"


def _fixed(trial: Trial) -> Judgement:
    """What the brief says by itself, where no decider speaks."""
    brief = trial.brief
    reasons = (_rendered(brief.because, trial, trial.centre),) if brief.because else ()
    return Judgement(brief.verdict or "none", "sure", reasons)


def _as_measured(trial: Trial, told: int) -> Judgement:
    """What was told gives one verdict; does it stand whatever the measuring leaves open?

    Where a wrong yes could hurt, every tried row counts. A worse verdict that is still a yes with a condition takes its
    place. A worse one than that is asked about where it could hurt; elsewhere what was told stands, and is said to be
    close.
    """
    measured = _codes(trial.cases, told=False)
    worse = measured > told
    if share(worse) > (0.0 if trial.brief.safety else FEW):
        worst = int(measured[worse].max())
        if worst > SEVERITY["yes-if"] and not trial.brief.safety:
            return _spoken(trial, told, "close")
        if worst > SEVERITY["yes-if"] and told > SEVERITY["yes-if"]:
            # Neither is a yes, so a finer figure would let nobody ride: nothing is asked.
            return _spoken(trial, worst if share(worse) > SOME else told, "close")
        if worst > SEVERITY["yes-if"]:
            return Judgement("need-more", "open", sources=_all_sources(trial), hangs_on_measuring=True)
        return _spoken(trial, worst, "close")
    is_close = share(measured != told) > FEW
    return _spoken(trial, told, "close" if is_close else "assumed" if _is_assumed(trial) else "sure")


def share(rows: NDArray[np.bool_]) -> float:
    """Which part of the rows it is."""
    return int(np.count_nonzero(rows)) / len(rows)


def _spoken(trial: Trial, code: int, sureness: Sureness) -> Judgement:
    case = _case_with(trial, code)
    spoken = [(o, d) for d, o in trial.outcomes(case) if SEVERITY[o.verdict] == code]
    return Judgement(
        VERDICTS[code],
        sureness,
        tuple(dict.fromkeys(_rendered(outcome.because, trial, case) for outcome, _ in spoken)),
        tuple(
            dict.fromkeys(
                _rendered(outcome.condition, trial, case) for outcome, _ in spoken if outcome.condition
            )
        ),
        tuple(dict.fromkeys(decider.source for _, decider in spoken)),
    )


def _case_with(trial: Trial, code: int) -> Case:
    """The middle where it says so, and otherwise the first row that does."""
    middle = trial.centre
    if middle.codes[0] == code:
        return middle
    for case in trial.cases:
        rows = np.flatnonzero(case.codes == code)
        if len(rows):
            return case.at(int(rows[0]))
    return middle


def _codes(cases: Sequence[Case], *, told: bool) -> Codes:
    return np.concatenate([case.codes[: case.told] if told else case.codes for case in cases])


def _is_assumed(trial: Trial) -> bool:
    return any(trial.values[name].origin == "usual" for name in trial.deciding_needs())


def _unsettled(trial: Trial, unworked: list[str]) -> bool:
    """Whether a deciding figure could not be worked out, so that silence is not consent."""
    broken: dict[str, str] = {}
    for case in trial.cases:
        broken |= case.broken
    deciding = [decider.figure for decider in trial.brief.deciders if decider.figure in broken]
    unworked.extend(broken[name] for name in deciding if name is not None)
    return bool(deciding)


def _all_sources(trial: Trial) -> tuple[str, ...]:
    return tuple(dict.fromkeys(decider.source for decider in trial.brief.deciders))


def _rendered(text: str, trial: Trial, case: Case) -> str:
    used = wording.names_used(text)
    if not used:
        return wording.render(text, {})
    figures = {name: told for name, told in figure_names(case, trial).items() if name in used}
    values = {name: value for name, value in trial.values.items() if name in used}
    spreads = figure_spreads(trial, used)
    return wording.render(
        text, names_for(values, figures, trial.plan, trial.knowledge, spreads, trial.stated)
    )


def reason_of(trial: Trial, case: Case) -> str:
    """The first reason for the verdict of a case of one row."""
    for _, outcome in trial.outcomes(case):
        if SEVERITY[outcome.verdict] == case.codes[0]:
            return _rendered(outcome.because, trial, case)
    return ""


def conflicts(trial: Trial) -> Iterator[str]:
    """Where a table (or the catalogue) and a calculation disagree about what was told; the worse one has counted."""
    spoken = list(trial.outcomes(trial.centre))
    tables = [
        (d, o) for d, o in spoken if d.pairs or (d.need and trial.values[d.need].origin in ("table", "part"))
    ]
    figures = [(d, o) for d, o in spoken if d.figure is not None]
    for table, by_table in tables:
        for figure, by_figure in figures:
            if {by_table.verdict, by_figure.verdict} & {"yes", "yes-if"} and _differ(by_table, by_figure):
                yield (
                    f"{_table_name(table, trial)} says {by_table.verdict}, {_figure_name(figure, trial)} says "
                    f"{by_figure.verdict}; the worse one counts."
                )


def _differ(one: Outcome, other: Outcome) -> bool:
    is_yes = [outcome.verdict in ("yes", "yes-if") for outcome in (one, other)]
    return is_yes[0] != is_yes[1]


def _table_name(decider: Decider, trial: Trial) -> str:
    return f"the table {decider.pairs}" if decider.pairs else f"the {trial.label(decider.need or '')}"


def _figure_name(decider: Decider, trial: Trial) -> str:
    step = next((step for step in trial.plan.steps if step.name == decider.figure), None)
    label = (step.label or step.calculation.result_meaning) if step else trial.label(decider.figure or "")
    return f"the figure “{label}”"

"""The figures of a finding: best value, spread, working with the numbers put in, and where each came from."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence, Set
from typing import Any

import numpy as np

from knowledge.resolve import Step
from triage.decide.trial import Case, Trial, inputs_of
from triage.records import FigureInput, FigureResult
from triage.shown import of_range


def figures(trial: Trial) -> Iterator[FigureResult]:
    """Every figure of the brief that could be worked out, in the order of the working."""
    middle = trial.centre
    deciding = {decider.figure for decider in trial.brief.deciders}
    for step in trial.plan.steps:
        cases = [place for place, case in enumerate(trial.cases) if step.name in case.names]
        if cases and step.name in middle.names:
            yield _figure(step, cases, middle, trial, step.name in deciding)


def _figure(step: Step, places: Sequence[int], middle: Case, trial: Trial, decides: bool) -> FigureResult:
    low, high = _ends([trial.cases[place].names[step.name] for place in places])
    told = [trial.told_cases[place] for place in places]
    told_low, told_high = _ends([case.names[step.name] for case in told])
    return FigureResult(
        name=step.name,
        label=step.label or step.calculation.result_meaning,
        value=told_low if told_low == told_high else None,
        low=low,
        high=high,
        unit=step.calculation.unit,
        working=_working(step, told[0], told_low, told_high),
        inputs=tuple(_inputs(step, told, trial)),
        sources=_sources(step, trial),
        decides=decides,
        wanted=step.wanted,
        limits=tuple(_band_limits(step.name, middle, trial)),
        marks=tuple(_marks(step.name, trial)),
        absolute=any(d.absolute for d in trial.brief.deciders if d.figure == step.name),
    )


def _working(step: Step, first: Case, low: float, high: float) -> str:
    """One combination of words in full; what the others add is told as the range over all."""
    outcome = _lean(first.names[step.name])
    inputs = {name: _lean(value) for name, value in (inputs_of(step, first.names) or {}).items()}
    working = step.calculation.working(inputs, outcome)
    if _ends_of(outcome) != (low, high):
        working += f"\nover every case: {of_range(low, high, step.calculation.unit)}"
    return working


def _lean(value: Any) -> Any:
    """An array that holds one number is that number."""
    if isinstance(value, np.ndarray) and value.size:
        first = value.flat[0]
        # Where first and last differ, as mostly where anything is tried, the array need not be gone through.
        if first == value.flat[-1] and value.min() == value.max():
            return float(first)
    return value


def _ends(results: Sequence[Any]) -> tuple[float, float]:
    ends = [_ends_of(result) for result in results]
    return min(low for low, _ in ends), max(high for _, high in ends)


def _ends_of(result: Any) -> tuple[float, float]:
    if isinstance(result, float):
        return float(result), float(result)
    numbers = np.asarray(result, dtype=float)
    return (float(numbers.min()), float(numbers.max())) if numbers.size > 1 else (numbers.item(),) * 2


def _band_limits(name: str, middle: Case, trial: Trial) -> Iterator[tuple[float, str]]:
    for decider in trial.brief.deciders:
        if decider.figure != name:
            continue
        for band in decider.bands:
            limit = band.up_to
            if isinstance(limit, str):
                found = middle.names.get(limit)
                limit = None if found is None else float(np.atleast_1d(found)[0])
            yield (float("inf") if limit is None else float(limit)), band.verdict


def _marks(name: str, trial: Trial) -> Iterator[tuple[float, str]]:
    """The limits of a figure's bands that are a need of their own, such as what the maker allows."""
    for decider in trial.brief.deciders:
        if decider.figure != name:
            continue
        for band in decider.bands:
            value = trial.values.get(str(band.up_to))
            if value is not None and value.is_known and value.best is not None:
                yield float(value.best), trial.label(value.name)


def _inputs(step: Step, cases: Sequence[Case], trial: Trial) -> Iterator[FigureInput]:
    for argument, source in step.inputs:
        if not isinstance(source, str):
            yield FigureInput(argument, float(source), _unit(step, argument), "table", None, "brief")
        elif source in trial.values:
            value = trial.values[source]
            told = _stated(source, trial)
            label = trial.need(source).label
            yield FigureInput(
                source, told, value.unit, value.origin, value.words, value.basis, label, value.rows
            )
        elif source in cases[0].names:
            low, high = _ends([case.names[source] for case in cases if source in case.names])
            ends = low if low == high else (low, high)
            yield FigureInput(source, ends, _unit(step, argument), "table", None, f"worked out: {source}")
        else:
            yield FigureInput(argument, source, "", "table", None, "brief")
    given = {name for name, _ in step.inputs}
    for default in step.calculation.arguments:
        if default.name not in given and default.default is not None:
            yield FigureInput(default.name, default.default, default.unit, "table", None, "standard value")


def _stated(name: str, trial: Trial) -> float | str | tuple[float, float] | tuple[str, ...]:
    value = trial.values[name]
    if value.choices:
        return value.choices[0] if len(value.choices) == 1 else value.choices
    if value.is_known:
        return float(value.low or 0.0)
    return trial.ends(name)


def _unit(step: Step, argument: str) -> str:
    return next((a.unit for a in step.calculation.arguments if a.name == argument), "")


def _sources(step: Step, trial: Trial) -> tuple[str, ...]:
    found = list(step.calculation.sources)
    for _, source in step.inputs:
        if isinstance(source, str) and source in trial.values:
            value = trial.values[source]
            if value.origin != "rider":
                found += [key for key in value.basis.split() if key in trial.knowledge.sources]
    return tuple(dict.fromkeys(found))


def figure_names(case: Case, trial: Trial) -> Mapping[str, tuple[Any, str]]:
    """The figures of a case with their units, as the wording wants them."""
    return {
        step.name: (case.names[step.name], step.calculation.unit)
        for step in trial.plan.steps
        if step.name in case.names
    }


def figure_spreads(trial: Trial, wanted: Set[str]) -> dict[str, float]:
    """How wide a stretch the measuring leaves open for each wanted figure whose inputs are all stated."""
    spreads: dict[str, float] = {}
    for step in trial.plan.steps:
        if step.name in wanted and trial.rough and trial.plan.ancestors(step.name).isdisjoint(trial.unknown):
            results = [case.names[step.name] for case in trial.cases if step.name in case.names]
            if results:
                low, high = _ends(results)
                spreads[step.name] = high - low
    return spreads

"""Why not the other way: the nearest thing that would work in place of what is not recommended."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

import numpy as np

from knowledge.base import Knowledge
from knowledge.numbers import INPUT_DIGITS, for_the_mail
from triage.decide.trial import SEVERITY, SILENT, VERDICTS, Case, Trial
from triage.decide.tries import Numbers
from triage.records import Nearest, PartMention

STEPS = 200
MOST_PARTS = 3
MOST_NAMED = 2
_SOLD_BY = {"seatpost_diameter_mm": 0.2}
"""What is made in steps of so much, by common practice [mm]: a post of 27.28 mm would be no advice."""
_COUNTED = ("teeth", "speeds", "links", "spokes", "grade", "count")


def nearest(trial: Trial) -> Iterator[Nearest]:
    """For each fact that a rider may choose otherwise, the nearest value that would be a yes; one is changed at a time.

    Nothing is named while a number that decides is unknown: what works in the worst case would be advice for nobody.
    """
    if any(name in trial.numeric for name in trial.deciding_needs()):
        return
    found = [_nearest_for(name, trial) for name in _may_be_chosen(trial)]
    ranked = sorted((n for n in found if n is not None), key=lambda pair: pair[0])
    yield from (near for _, near in ranked[:MOST_NAMED])


def _may_be_chosen(trial: Trial) -> Iterator[str]:
    for name in trial.deciding_needs():
        value = trial.values[name]
        kind = trial.knowledge.quantities.get(name)
        if kind is not None and kind.is_chosen and value.is_known and not value.choices:
            yield name


def _nearest_for(name: str, trial: Trial) -> tuple[float, Nearest] | None:
    value = float(trial.values[name].best)  # type: ignore[arg-type]
    grid = _grid(name, trial)
    codes = _worst_codes(name, grid, trial)
    fits = np.flatnonzero((codes != SILENT) & (codes <= SEVERITY["yes-if"]))
    if not len(fits):
        return None
    best = int(fits[np.argmin(np.abs(grid[fits] - value))])
    found = float(grid[best])
    present = trial.values.get(name.removeprefix("new_")) if name.startswith("new_") else None
    if present is not None and present.is_known and present.best == found:
        # What the rider has already is no advice.
        return None
    unit = trial.values[name].unit
    words = for_the_mail(found, unit, INPUT_DIGITS)
    nearly = abs(found - value) / max(abs(value), 1e-9)
    verdict = VERDICTS[int(codes[best])]
    if trial.brief.safety and any(other in trial.unknown for other in trial.deciding_needs(silent_too=True)):
        # A safety matter is no plain yes while a fact that decides is unknown, the other way round neither.
        verdict = "yes-if"
    return nearly, Nearest(name, trial.label(name), words, verdict, tuple(_parts(name, trial)))


def _grid(name: str, trial: Trial) -> Numbers:
    """What can be chosen: every whole number of what is counted, and otherwise steps that a rider can measure."""
    kind = trial.knowledge.quantities[name]
    low, high = float(kind.low or 0.0), float(kind.high or 0.0)
    least, most = trial.limits.get(name, (low, high))
    low, high = max(low, least), min(high, most)
    usual_step = 1.0 if kind.unit.ending in _COUNTED else max(kind.tolerance, (high - low) / STEPS)
    step = _SOLD_BY.get(name, usual_step)
    first = math.ceil(low / step - 1e-9)
    count = max(1, math.floor(high / step + 1e-9) - first + 1)
    return np.round((first + np.arange(count)) * step, 6)


def _worst_codes(name: str, grid: Numbers, trial: Trial) -> Numbers:
    """For each value of the grid the worst verdict over the unknown words; silence counts as worst."""
    cases = [trial.middle(**words, **{name: grid}) for words in trial.combinations()]
    codes = np.stack([case.codes for case in cases]).astype(float)
    silent = (codes == SILENT).any(axis=0) | any(_breaks_a_decider(case, trial) for case in cases)
    return np.where(silent, SILENT, codes.max(axis=0))


def _breaks_a_decider(case: Case, trial: Trial) -> bool:
    return any(decider.figure in case.broken for decider in trial.brief.deciders)


def _parts(name: str, trial: Trial) -> Iterator[str]:
    """Parts of the catalogue that would make it a yes: each put in with all that its row says."""
    kind = trial.need(name).part
    if kind is None:
        return
    given = {need.name: need.property or need.name for need in trial.brief.needs if need.part == kind}
    count = 0
    speeds = _speeds_named(trial)
    for part in trial.knowledge.parts.values():
        if part.kind != kind or given[name] not in part.properties:
            continue
        if speeds and part.properties.get("speeds", speeds) != speeds:
            continue
        numbers = {
            need: part.properties[key]
            for need, key in given.items()
            if key in part.properties
            and (isinstance(part.properties[key], str) == bool(trial.values[need].choices))
        }
        if _is_a_yes(numbers, trial):
            yield f"{part.maker} {part.name}"
            count += 1
            if count == MOST_PARTS:
                return


def _speeds_named(trial: Trial) -> float | str | None:
    """The number of speeds that the rider, or a part that the rider named, brings along."""
    for name in ("speeds", "shifter_speeds", "derailleur_speeds"):
        value = trial.values.get(name)
        if value is not None and value.is_known:
            return value.best
    mention = names_speeds(trial.matched.extracted.parts, trial.knowledge)
    return None if mention is None else trial.knowledge.parts[mention.part_id].properties["speeds"]


def names_speeds(parts: Sequence[PartMention], knowledge: Knowledge) -> PartMention | None:
    """The first of the named parts that brings a number of speeds along."""
    return next((one for one in parts if "speeds" in knowledge.parts[one.part_id].properties), None)


def _is_a_yes(given: Mapping[str, Any], trial: Trial) -> bool:
    """Whether these values make it a yes with every unknown word."""
    cases = [trial.middle(**{**words, **given}) for words in trial.combinations()]
    return all(
        SILENT < case.codes[0] <= SEVERITY["yes-if"] and not _breaks_a_decider(case, trial) for case in cases
    )

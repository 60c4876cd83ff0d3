"""One brief worked out for one rider's values: what is possible, and what each possibility leads to."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property, lru_cache
from itertools import product
from typing import Any

import numpy as np
from numpy.typing import NDArray

from knowledge import tables
from knowledge.base import Knowledge
from knowledge.brief import Brief, Decider, Need, Outcome
from knowledge.calculation import OutOfRangeError
from knowledge.once import once_for_each
from knowledge.resolve import FigurePlan, Step, plan
from triage.decide.tries import Numbers, tries_each, unit_cube
from triage.records import Matched, Value, Verdict

Codes = NDArray[np.int8]

MOST_CASES = 96
"""Combinations of unknown words that are tried; where there are more, so many of them that each word is tried."""
MOST_TOGETHER = 64
"""Trials of one pattern that are worked out as one array."""
SILENT = -1
SEVERITY: dict[str, int] = {"yes": 0, "yes-if": 1, "inspect-first": 2, "not-recommended": 3}
VERDICTS: tuple[Verdict, ...] = ("yes", "yes-if", "inspect-first", "not-recommended")
ROUNDING = 1e-9
"""Rounding in the last place must not push a value that sits on a limit over it."""


@dataclass(frozen=True, slots=True)
class Case:
    """One combination of words, with all tried numbers and what they lead to; the first `told` rows are as told."""

    words: Mapping[str, str]
    names: Mapping[str, Any]
    codes: Codes
    spoken: tuple[Codes, ...]
    broken: Mapping[str, str]
    told: int = 0

    def rows(self, rows: slice) -> Case:
        """Some of the rows, as a case of their own."""
        size = len(self.codes)
        names = {
            name: value[rows] if isinstance(value, np.ndarray) and value.shape == (size,) else value
            for name, value in self.names.items()
        }
        spoken = tuple(codes[rows] for codes in self.spoken)
        return Case(self.words, names, self.codes[rows], spoken, self.broken, self.told)

    def as_told(self) -> Case:
        """The rows in which every stated fact is what the rider said."""
        return self.rows(slice(0, self.told))

    def at(self, row: int) -> Case:
        """One row."""
        return self.rows(slice(row, row + 1))


@dataclass
class Trial:
    """What is known, unknown and roughly known of one question, and the brief that it is put to."""

    brief: Brief
    matched: Matched
    knowledge: Knowledge
    values: dict[str, Value] = field(init=False)
    cases: list[Case] = field(init=False, default_factory=list)
    known_to_apply: dict[tuple[str, ...], bool] = field(init=False, default_factory=dict)

    def __post_init__(self) -> None:
        self.values = dict(self.matched.values)

    @cached_property
    def plan(self) -> FigurePlan:
        """The figures of the brief in their order."""
        return _plans(self.knowledge)(self.brief)

    @cached_property
    def unknown(self) -> list[str]:
        """The needs that the rider left open."""
        return [name for name, value in self.values.items() if not value.is_known]

    @cached_property
    def numeric(self) -> list[str]:
        """The unknown numbers."""
        return [name for name in self.unknown if not self.values[name].choices]

    @cached_property
    def wordy(self) -> list[str]:
        """The unknown choices."""
        return [name for name in self.unknown if self.values[name].choices]

    @cached_property
    def rough(self) -> list[str]:
        """The stated numbers that the measuring leaves a little open; a table of pairs is looked up by what was said."""
        looked_up = {name for decider in self.brief.deciders for name in decider.where.values()}
        return [
            name
            for name, value in self.values.items()
            if value.is_known and value.spread > 0 and name not in looked_up
        ]

    @cached_property
    def stated(self) -> set[str]:
        """The needs that somebody gave: the rider, a part or a table."""
        return {name for name, value in self.values.items() if value.origin != "usual"}

    @cached_property
    def limits(self) -> dict[str, tuple[float, float]]:
        """For each need, the stretch in which every calculation that takes it holds."""
        found: dict[str, tuple[float, float]] = {}
        for step in self.plan.steps:
            limits = {a.name: a.limits for a in step.calculation.arguments if not a.is_choice}
            for argument, source in step.inputs:
                if isinstance(source, str) and argument in limits:
                    low, high = limits[argument][0], limits[argument][1]
                    least, most = found.get(source, (-np.inf, np.inf))
                    found[source] = (max(least, float(low)), min(most, float(high)))
        return found

    def ends(self, name: str) -> tuple[float, float]:
        """Between what a number is tried: an unknown one's range, a stated one's spread."""
        value = self.values[name]
        low, high = float(value.low or 0.0) - value.spread, float(value.high or 0.0) + value.spread
        least, most = self.limits.get(name, (low, high))
        if value.spread:
            # What measuring leaves open must not lead out of a formula's range, nor the stated value into it.
            stated = float(value.low or 0.0)
            return min(max(low, least), stated), max(min(high, most), stated)
        if value.origin == "rider" or max(low, least) > min(high, most):
            return low, high
        return max(low, least), min(high, most)

    def applies(self, names: tuple[str, ...]) -> bool:
        """Whether everything that these needs or figures hang on was stated."""
        if names not in self.known_to_apply:
            self.known_to_apply[names] = all(self.is_stated(name) for name in names)
        return self.known_to_apply[names]

    def hears(self, decider: Decider) -> bool:
        """Whether a decider has a say: not where what it hangs on is told of nowhere and something else was asked."""
        if not self.applies(decider.only_if_known):
            return False
        if not any(self.is_stated(name) for name in decider.unless_known):
            return True
        own = [name for name in (decider.figure, decider.need, *decider.where.values()) if name is not None]
        return all(self.is_stated(name) for name in own)

    def is_stated(self, name: str) -> bool:
        """Whether everything that a need or figure hangs on was stated."""
        return self.plan.ancestors(name) & set(self.values) <= self.stated

    def need(self, name: str) -> Need:
        """The brief's need of that name."""
        return next(need for need in self.brief.needs if need.name == name)

    def label(self, name: str) -> str:
        """What a need is called."""
        return self.need(name).label or self.knowledge.label(name)

    # ---- trying ------------------------------------------------------------------------------------

    def combinations(self) -> list[dict[str, str]]:
        """Every combination of the unknown words, or so many that each word stands in one."""
        lists = [self.values[name].choices for name in self.wordy]
        every = math.prod(len(words) for words in lists)
        if every <= MOST_CASES:
            return [dict(zip(self.wordy, words, strict=True)) for words in product(*lists)]
        # Too many to try all: each word once beside the others' first, and the rest spread evenly over all of them.
        firsts = self.first_words()
        chosen = [{**firsts, name: word} for name in self.wordy for word in self.values[name].choices]
        spread = np.linspace(0, every - 1, max(MOST_CASES - len(chosen), 1)).astype(int)
        chosen += [self._combination(int(place), lists) for place in spread]
        return [dict(pairs) for pairs in dict.fromkeys(tuple(one.items()) for one in chosen)]

    def _combination(self, place: int, lists: Sequence[tuple[str, ...]]) -> dict[str, str]:
        """One of all combinations, by its number."""
        words: dict[str, str] = {}
        for name, choices in zip(self.wordy, lists, strict=True):
            place, index = divmod(place, len(choices))
            words[name] = choices[index]
        return words

    def tried_numbers(self, combinations: int) -> tuple[dict[str, Any], int, int]:
        """Every numeric need with the rows tried (a bare number where it has only one), rows told, rows in all."""
        moved = [*self.numeric, *self.rough]
        cube, told = unit_cube(len(self.numeric), len(self.rough), tries_each(combinations))
        numbers: dict[str, Any] = {
            name: value.best for name, value in self.values.items() if not value.choices
        }
        for column, name in enumerate(moved):
            low, high = self.ends(name)
            numbers[name] = low + cube[:, column] * (high - low)
        for name in self.rough:
            # As told means as told, also where a formula's range cuts one side of the spread off.
            numbers[name][:told] = self.values[name].best
        return numbers, told, len(cube)

    def middles(self) -> dict[str, float]:
        """Every numeric need at its stated value or in the middle of its range."""
        return {
            name: sum(self.ends(name)) / 2 if name in self.numeric else float(value.best or 0.0)
            for name, value in self.values.items()
            if not value.choices
        }

    def first_words(self) -> dict[str, str]:
        """The first word of every unknown choice."""
        return {name: self.values[name].choices[0] for name in self.wordy}

    def case(self, words: Mapping[str, str], numbers: Mapping[str, Any], size: int, told: int = 0) -> Case:
        """What these words and numbers lead to."""
        names: dict[str, Any] = {
            name: words.get(name, value.choices[0]) if value.choices else numbers[name]
            for name, value in self.values.items()
        }
        broken: dict[str, str] = {}
        for step in self.plan.steps:
            if not self.applies(step.only_if_known):
                continue
            try:
                names[step.name] = _worked_out(step, names)
            except OutOfRangeError as error:
                broken[step.name] = str(error)
        spoken = tuple(self._codes(decider, names, size) for decider in self.brief.deciders)
        codes = spoken[0] if spoken else np.full(size, SILENT, dtype=np.int8)
        for other in spoken[1:]:
            codes = np.maximum(codes, other)
        return Case(words, names, codes, spoken, broken, told)

    @cached_property
    def told_cases(self) -> list[Case]:
        """The cases, each with only the rows in which every stated fact is what the rider said."""
        return [case.as_told() for case in self.cases]

    @cached_property
    def centre(self) -> Case:
        """The case in the middle of everything."""
        return self.middle()

    def middle(self, **other: Any) -> Case:
        """The case in the middle of everything, with some needs otherwise."""
        size = max((len(value) for value in other.values() if isinstance(value, np.ndarray)), default=1)
        words = {name: value for name, value in other.items() if isinstance(value, str)}
        numbers = {name: value for name, value in other.items() if not isinstance(value, str)}
        return self.case({**self.first_words(), **words}, {**self.middles(), **numbers}, size)

    def holds_over_the_unknown(self, name: str, values: Numbers) -> bool:
        """Whether each of these values gives one verdict at every word and at either end of what is unknown."""
        wanted = self.middle(**{name: values}).codes
        for words in self.combinations():
            for other in self.numeric:
                for end in self.ends(other):
                    if (self.middle(**words, **{other: end, name: values}).codes != wanted).any():
                        return False
            if (self.middle(**words, **{name: values}).codes != wanted).any():
                return False
        return True

    def _codes(self, decider: Decider, names: Mapping[str, Any], size: int) -> Codes:
        applies = self.hears(decider)
        if applies and decider.figure in names:
            severities = _severities(tuple([band.verdict for band in decider.bands]))
            return severities[band_index(decider, names, size)]
        codes = np.full(size, SILENT, dtype=np.int8)
        if not applies or decider.figure is not None:
            return codes
        for rows, keys in _rows_by_key(decider, names, size):
            found = worded(decider, {**names, **keys})
            if found is not None:
                codes[rows] = SEVERITY[found.verdict]
        return codes

    # ---- what decides ------------------------------------------------------------------------------

    def outcomes(self, case: Case) -> Iterator[tuple[Decider, Outcome]]:
        """What each decider says of a case of one row."""
        for decider, codes in zip(self.brief.deciders, case.spoken, strict=True):
            if codes[0] == SILENT:
                continue
            if decider.figure is not None:
                yield decider, decider.bands[int(band_index(decider, case.names, 1)[0])]
            else:
                found = worded(decider, case.names)
                if found is not None:
                    yield decider, found

    def deciding_needs(self, *, silent_too: bool = False) -> list[str]:
        """The needs that any decider hangs on, in the brief's order."""
        found: set[str] = set()
        for decider in self.brief.deciders:
            if not silent_too and not self.hears(decider):
                continue
            for name in (decider.figure, decider.need, *decider.where.values()):
                if name is not None:
                    found |= self.plan.ancestors(name)
            for band in decider.bands:
                if isinstance(band.up_to, str):
                    found |= self.plan.ancestors(band.up_to)
        return [need.name for need in self.brief.needs if need.name in found]

    @property
    def pattern(self) -> tuple[object, ...]:
        """What two trials must share to be worked out as one array."""
        words = tuple((name, value.choices) for name, value in self.values.items() if value.choices)
        return self.brief.id, tuple(self.numeric), tuple(self.rough), words, frozenset(self.stated)


@lru_cache(maxsize=256)
def _severities(verdicts: tuple[str, ...]) -> Codes:
    return np.array([SEVERITY[verdict] for verdict in verdicts], dtype=np.int8)


def work_out(trials: Sequence[Trial]) -> None:
    """Give each trial its cases; trials of one pattern are worked out together, over one array."""
    alike: dict[tuple[object, ...], list[Trial]] = defaultdict(list)
    for trial in trials:
        alike[trial.pattern].append(trial)
    for some in alike.values():
        for first in range(0, len(some), MOST_TOGETHER):
            _work_out_together(some[first : first + MOST_TOGETHER])


def _work_out_together(trials: Sequence[Trial]) -> None:
    leader = trials[0]
    combinations = leader.combinations()
    tried = [trial.tried_numbers(len(combinations)) for trial in trials]
    _, told, size = tried[0]
    for words in combinations:
        if len(trials) > 1:
            together = {
                name: np.concatenate(
                    [np.broadcast_to(np.asarray(n[name], dtype=float), (size,)) for n, _, _ in tried]
                )
                for name in tried[0][0]
            }
            whole = leader.case(words, together, size * len(trials), told)
            if not whole.broken:
                for place, trial in enumerate(trials):
                    trial.cases.append(whole.rows(slice(place * size, (place + 1) * size)))
                continue
        # One question's impossible number must not break its neighbours.
        for trial, (numbers, _, _) in zip(trials, tried, strict=True):
            trial.cases.append(trial.case(words, numbers, size, told))


def inputs_of(step: Step, names: Mapping[str, Any]) -> dict[str, Any] | None:
    """The inputs of one figure by its calculation's own argument names; None where one is missing."""
    inputs: dict[str, Any] = {}
    for argument, source in step.inputs:
        if isinstance(source, str) and source in names:
            inputs[argument] = names[source]
        elif not isinstance(source, str) or source in _words_of(step, argument):
            inputs[argument] = source
        else:
            return None
    return inputs


def _words_of(step: Step, argument: str) -> tuple[Any, ...]:
    """The words that an argument may be; none where it is a number."""
    return next((a.limits for a in step.calculation.arguments if a.name == argument and a.is_choice), ())


def band_index(decider: Decider, names: Mapping[str, Any], size: int) -> NDArray[np.intp]:
    """In which band each row's figure lies."""
    numbers = np.asarray(names[decider.figure or ""], dtype=float)
    if numbers.shape != (size,):
        numbers = np.broadcast_to(numbers, (size,))
    if decider.absolute:
        numbers = np.abs(numbers)
    index = np.full(size, len(decider.bands) - 1, dtype=np.intp)
    for place in range(len(decider.bands) - 2, -1, -1):
        limit = decider.bands[place].up_to
        if isinstance(limit, str):
            limit = names.get(limit)
        if limit is not None:
            index = np.where(numbers <= np.asarray(limit, dtype=float) + ROUNDING, place, index)
    return index


def _rows_by_key(
    decider: Decider, names: Mapping[str, Any], size: int
) -> Iterator[tuple[Any, dict[str, float]]]:
    """The rows that look up the same row of a table of pairs, with the numbers they look it up by."""
    tried = [name for name in decider.where.values() if isinstance(names[name], np.ndarray)]
    if not tried:
        yield slice(None), {}
        return
    keys = np.column_stack([np.broadcast_to(names[name], (size,)) for name in tried])
    for key in np.unique(keys, axis=0):
        yield (keys == key).all(axis=1), dict(zip(tried, map(float, key), strict=True))


def worded(decider: Decider, names: Mapping[str, Any]) -> Outcome | None:
    """What a decider by words, or by a table of pairs, says."""
    if decider.need is not None:
        return decider.values.get(str(names[decider.need]))
    for row in tables.rows(decider.pairs or ""):
        if all(str(row[column]) == _as_cell(names[need]) for column, need in decider.where.items()):
            condition = str(row.get("condition") or "") or None
            verdict: Any = row["verdict"]
            return Outcome(verdict=verdict, because=str(row["because"]), condition=condition)
    return decider.otherwise


def _worked_out(step: Step, names: Mapping[str, Any]) -> Any:
    inputs = inputs_of(step, names)
    if inputs is None:
        raise OutOfRangeError(f"{step.name}: one of its inputs could not be worked out")
    return step.calculation(**inputs)


def _as_cell(value: Any) -> str:
    return value if isinstance(value, str) else str(float(np.atleast_1d(value)[0]))


@once_for_each
def _plans(knowledge: Knowledge) -> Callable[[Brief], FigurePlan]:
    planned: dict[str, FigurePlan] = {}

    def plan_of(brief: Brief) -> FigurePlan:
        if brief.id not in planned:
            planned[brief.id] = plan(brief, knowledge)
        return planned[brief.id]

    return plan_of

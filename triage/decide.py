"""Decide: work the figures out over everything that is possible, and say what holds over all of it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import product
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.stats import qmc

from knowledge import tables, wording
from knowledge.base import Knowledge
from knowledge.brief import Brief, Decider, Need, Outcome
from knowledge.calculation import OutOfRangeError
from knowledge.numbers import INPUT_DIGITS, for_the_mail
from knowledge.resolve import FigurePlan, Step, plan
from triage.records import Ask, FigureInput, FigureResult, Finding, Matched, Side, Value, Verdict
from triage.shown import Shown, names_for, of_range

Numbers = NDArray[np.float64]
Codes = NDArray[np.int8]

SAMPLES = 256
MOST_CASES = 96
"""Combinations of unknown words that are tried; beyond it the last choices keep their first word."""
MOST_ASKS = 2
BINS = 8
GRID = 161
MOST_TURNS = 4
ALMOST_ALL = 0.97
"""Share of the tried cases that must agree on a side: a few sit on the tipping value itself."""
SILENT = -1
SEVERITY: dict[str, int] = {"yes": 0, "yes-if": 1, "inspect-first": 2, "not-recommended": 3}
VERDICTS: tuple[Verdict, ...] = ("yes", "yes-if", "inspect-first", "not-recommended")


def decide(questions: Sequence[Matched], knowledge: Knowledge) -> list[Finding]:
    """Give each matched question its figures, its verdict and what to ask back."""
    return [_decide(question, knowledge) for question in questions]


def _decide(matched: Matched, knowledge: Knowledge) -> Finding:
    if matched.brief is None:
        doubts = tuple(why for _, why in matched.extracted.doubts)
        return Finding(matched, "none", (), (), (), (), (), doubts)
    brief = knowledge.briefs[matched.brief]
    return _Work(brief, matched, knowledge).finding()


@dataclass(frozen=True, slots=True)
class _Case:
    """One combination of words, with all sampled numbers and what they lead to."""

    words: Mapping[str, str]
    names: Mapping[str, Any]
    codes: Codes
    spoken: tuple[Codes, ...]


class _Work:
    """One brief worked out for one rider's values."""

    def __init__(self, brief: Brief, matched: Matched, knowledge: Knowledge) -> None:
        self.brief = brief
        self.matched = matched
        self.knowledge = knowledge
        self.values = dict(matched.values)
        self.plan = _planned(brief, knowledge)
        self.doubts = [why for name, why in matched.extracted.doubts if name in self.values]
        self.limits = _limits(self.plan)
        self.broken: dict[str, str] = {}
        self.unknown = [name for name, value in self.values.items() if not value.is_known]
        self.numeric = [name for name in self.unknown if not self.values[name].choices]
        self.wordy = [name for name in self.unknown if self.values[name].choices]
        self.stated = {name for name, value in self.values.items() if value.origin != "usual"}

    def finding(self) -> Finding:
        cases = list(self._cases())
        middle = self._case(self._best_words(), self._best_numbers())
        verdict, reasons, conditions, sources = self._verdict(cases, middle)
        asks: tuple[Ask, ...] = ()
        if verdict == "need-more":
            asks = tuple(self._asks(cases))
        figures = tuple(self._figures(cases, middle))
        verdict, conditions, asks = self._hold_back(verdict, conditions, asks)
        return Finding(
            matched=self.matched,
            verdict=verdict,
            reasons=reasons,
            conditions=conditions,
            figures=figures,
            asks=asks,
            assumed=tuple(self._assumed(verdict)),
            doubts=tuple(dict.fromkeys(self.doubts)),
            decider_sources=sources,
        )

    # ---- the cases that are possible -------------------------------------------------------------

    def _cases(self) -> Iterator[_Case]:
        numbers = self._samples()
        lists = [self.values[name].choices for name in self.wordy]
        for count, words in enumerate(product(*lists)):
            if count >= MOST_CASES:
                break
            yield self._case(dict(zip(self.wordy, words, strict=True)), numbers)

    def _samples(self) -> dict[str, Numbers]:
        if not self.numeric:
            return {}
        spread = _unit_cube(len(self.numeric))
        ends = [self._ends(name) for name in self.numeric]
        return {
            name: low + spread[:, index] * (high - low)
            for index, (name, (low, high)) in enumerate(zip(self.numeric, ends, strict=True))
        }

    def _ends(self, name: str) -> tuple[float, float]:
        value = self.values[name]
        low, high = float(value.low or 0.0), float(value.high or 0.0)
        least, most = self.limits.get(name, (low, high))
        if value.origin == "rider" or max(low, least) > min(high, most):
            return low, high
        return max(low, least), min(high, most)

    def _best_words(self) -> dict[str, str]:
        return {name: self.values[name].choices[0] for name in self.wordy}

    def _best_numbers(self) -> dict[str, Numbers]:
        return {name: np.array([sum(self._ends(name)) / 2]) for name in self.numeric}

    def _case(self, words: Mapping[str, str], numbers: Mapping[str, Numbers]) -> _Case:
        names: dict[str, Any] = {}
        for name, value in self.values.items():
            if value.choices:
                names[name] = words.get(name, value.choices[0])
            else:
                names[name] = numbers.get(name, value.best)
        for step in self.plan.steps:
            if not self._applies(step.only_if_known):
                continue
            try:
                names[step.name] = self._work_out(step, names)
            except OutOfRangeError as error:
                self.broken.setdefault(step.name, str(error))
        size = len(next(iter(numbers.values()))) if numbers else 1
        spoken = tuple(self._codes(decider, names, size) for decider in self.brief.deciders)
        codes = np.max(np.stack(spoken), axis=0) if spoken else np.full(size, SILENT, dtype=np.int8)
        return _Case(words, names, codes, spoken)

    def _applies(self, names: Sequence[str]) -> bool:
        return all(self._is_stated(name) for name in names)

    def _is_stated(self, name: str) -> bool:
        return self.plan.ancestors(name) & set(self.values) <= self.stated

    def _work_out(self, step: Step, names: Mapping[str, Any]) -> Any:
        inputs = _inputs(step, names)
        if inputs is None:
            raise OutOfRangeError(f"{step.name}: one of its inputs could not be worked out")
        return step.calculation(**inputs)

    # ---- what decides ------------------------------------------------------------------------------

    def _codes(self, decider: Decider, names: Mapping[str, Any], size: int) -> Codes:
        codes = np.full(size, SILENT, dtype=np.int8)
        if not self._applies(decider.only_if_known):
            return codes
        if decider.figure is not None:
            if decider.figure not in names:
                return codes
            outcome = _band_index(decider, names, size)
            severities = np.array([SEVERITY[band.verdict] for band in decider.bands], dtype=np.int8)
            return severities[outcome]
        found = _worded(decider, names)
        if found is not None:
            codes[:] = SEVERITY[found.verdict]
        return codes

    def _verdict(
        self, cases: Sequence[_Case], middle: _Case
    ) -> tuple[Verdict, tuple[str, ...], tuple[str, ...], tuple[str, ...]]:
        if self.brief.verdict is not None:
            because = self.brief.because
            reasons = (wording.render(because, self._shown(middle)),) if because else ()
            return self.brief.verdict, reasons, (), ()
        every = np.unique(np.concatenate([case.codes for case in cases]))
        unsettled = self._unsettled()
        if (
            len(every) == 1
            and every[0] != SILENT
            and not (unsettled and every[0] < SEVERITY["inspect-first"])
        ):
            verdict = VERDICTS[int(every[0])]
            outcomes = [
                (outcome, decider)
                for decider, outcome in self._outcomes(middle)
                if SEVERITY[outcome.verdict] == every[0]
            ]
            names = self._shown(middle)
            return (
                verdict,
                tuple(dict.fromkeys(wording.render(outcome.because, names) for outcome, _ in outcomes)),
                tuple(wording.render(o.condition, names) for o, _ in outcomes if o.condition),
                tuple(dict.fromkeys(decider.source for _, decider in outcomes)),
            )
        if every[-1] == SILENT and "explain" in self.brief.answers:
            return "explain", (), (), ()
        sources = tuple(dict.fromkeys(decider.source for decider in self.brief.deciders))
        return "need-more", (), (), sources

    def _unsettled(self) -> bool:
        """Whether a deciding figure could not be worked out, so that silence is not consent."""
        deciding = [decider.figure for decider in self.brief.deciders if decider.figure]
        broken = [name for name in deciding if name in self.broken]
        for name in broken:
            self.doubts.append(self.broken[name])
        return bool(broken)

    def _outcomes(self, case: _Case) -> Iterator[tuple[Decider, Outcome]]:
        for decider, codes in zip(self.brief.deciders, case.spoken, strict=True):
            if codes[0] == SILENT:
                continue
            if decider.figure is not None:
                yield decider, decider.bands[int(_band_index(decider, case.names, 1)[0])]
            else:
                found = _worded(decider, case.names)
                if found is not None:
                    yield decider, found

    def _deciding_needs(self, *, silent_too: bool = False) -> list[str]:
        found: set[str] = set()
        for decider in self.brief.deciders:
            if not silent_too and not self._applies(decider.only_if_known):
                continue
            for name in (decider.figure, decider.need, *decider.where.values()):
                if name is not None:
                    found |= self.plan.ancestors(name)
            for band in decider.bands:
                if isinstance(band.up_to, str):
                    found |= self.plan.ancestors(band.up_to)
        return [need.name for need in self.brief.needs if need.name in found]

    def _hold_back(
        self, verdict: Verdict, conditions: tuple[str, ...], asks: tuple[Ask, ...]
    ) -> tuple[Verdict, tuple[str, ...], tuple[Ask, ...]]:
        """A safety matter is never a plain yes while a fact that decides is unknown."""
        open_facts = [name for name in self._deciding_needs(silent_too=True) if name in self.unknown]
        if not self.brief.safety or verdict != "yes" or not open_facts:
            return verdict, conditions, asks
        fact = open_facts[0]
        need = self._need(fact)
        named = self._range_words(fact)
        condition = f"{self._label(need)} is really {named}; tell us if it is not"
        return "yes-if", (*conditions, condition), (*asks, self._ask(fact, (), None))

    # ---- what to ask -------------------------------------------------------------------------------

    def _asks(self, cases: Sequence[_Case]) -> Iterator[Ask]:
        facts = [name for name in self._deciding_needs() if name in self.unknown]
        settles = {name: self._settles(name, cases) for name in facts}
        ranked = sorted(facts, key=lambda name: (-round(settles[name], 2), facts.index(name)))
        for name in ranked[:MOST_ASKS]:
            ask = self._ask(name, *self._tipping(name, cases))
            yield ask
            if ask.sides:
                return

    def _settles(self, name: str, cases: Sequence[_Case]) -> float:
        """How much of the doubt about the verdict goes when this one fact is known (0 to 1)."""
        codes = np.concatenate([case.codes for case in cases])
        if name in self.wordy:
            keys = np.concatenate(
                [np.full(len(c.codes), self.values[name].choices.index(c.words[name])) for c in cases]
            )
        else:
            numbers = np.concatenate([np.broadcast_to(c.names[name], c.codes.shape) for c in cases])
            low, high = self._ends(name)
            keys = np.minimum(((numbers - low) / ((high - low) or 1.0) * BINS).astype(int), BINS - 1)
        doubt = _entropy(codes)
        if doubt == 0:
            return 0.0
        left = sum(np.mean(keys == key) * _entropy(codes[keys == key]) for key in np.unique(keys))
        return float((doubt - left) / doubt)

    def _tipping(self, name: str, cases: Sequence[_Case]) -> tuple[tuple[Side, ...], float | str | None]:
        """The answers on both sides of the tipping value, where this one fact settles the matter."""
        if name in self.wordy:
            return self._word_sides(name, cases)
        low, high = self._ends(name)
        grid = np.linspace(low, high, GRID)
        codes = self._along(name, grid).codes
        turns = np.flatnonzero(np.diff(codes))
        if not len(turns) or len(turns) > MOST_TURNS:
            return (), None
        edges = [self._edge(name, float(grid[turn]), float(grid[turn + 1])) for turn in turns]
        numbers = np.concatenate([np.broadcast_to(case.names[name], case.codes.shape) for case in cases])
        sides_of = np.searchsorted(np.array(edges), numbers, side="right")
        if not _settled(sides_of, np.concatenate([case.codes for case in cases])):
            return (), None
        ends = [low, *edges, high]
        sides = tuple(
            self._side(name, ends, index, (ends[index] + ends[index + 1]) / 2)
            for index in range(len(ends) - 1)
        )
        return sides, self._tidy(name, edges[0])

    def _tidy(self, name: str, value: float) -> float:
        """A tipping value to the precision that a rider can measure."""
        kind = self.knowledge.quantities.get(name)
        if kind is not None and 0 < kind.tolerance < 1:
            return round(value, math.ceil(-math.log10(kind.tolerance)))
        return float(f"{value:.3g}") if abs(value) < 1000 else float(round(value))

    def _along(self, name: str, numbers: Numbers) -> _Case:
        fixed = {other: np.full(len(numbers), sum(self._ends(other)) / 2) for other in self.numeric}
        return self._case(self._best_words(), {**fixed, name: numbers})

    def _edge(self, name: str, low: float, high: float) -> float:
        before = self._along(name, np.array([low])).codes[0]
        for _ in range(40):
            middle = (low + high) / 2
            if self._along(name, np.array([middle])).codes[0] == before:
                low = middle
            else:
                high = middle
        return high

    def _side(self, name: str, ends: Sequence[float], index: int, at: float) -> Side:
        case = self._along(name, np.array([at]))
        unit = self.values[name].unit
        first, last = index == 0, index == len(ends) - 2
        low_end, high_end = self._tidy(name, ends[index]), self._tidy(name, ends[index + 1])
        if first:
            when = f"under {for_the_mail(high_end, unit, INPUT_DIGITS)}"
        elif last:
            when = f"{for_the_mail(low_end, unit, INPUT_DIGITS)} or more"
        else:
            when = f"from {of_range(low_end, high_end, unit, INPUT_DIGITS)}"
        return self._told_side(case, when)

    def _word_sides(self, name: str, cases: Sequence[_Case]) -> tuple[tuple[Side, ...], str | None]:
        words = self.values[name].choices
        keys = np.concatenate([np.full(len(case.codes), words.index(case.words[name])) for case in cases])
        if not _settled(keys, np.concatenate([case.codes for case in cases])):
            return (), None
        sides = []
        for word in words:
            case = self._case({**self._best_words(), name: word}, self._best_numbers())
            sides.append(self._told_side(case, self.knowledge.choice_label(name, word)))
        tipping = [side.when for side in sides if side.verdict != sides[0].verdict]
        return tuple(sides), ", ".join(tipping) or None

    def _told_side(self, case: _Case, when: str) -> Side:
        code = int(case.codes[0])
        verdict: Verdict = "need-more" if code == SILENT else VERDICTS[code]
        names = self._shown(case)
        reasons = [
            wording.render(outcome.because, names)
            for _, outcome in self._outcomes(case)
            if SEVERITY[outcome.verdict] == code
        ]
        return Side(when, verdict, reasons[0] if reasons else "")

    def _unknown_key(self, need: Need) -> str | None:
        if need.table is None or need.ask is not None:
            return None
        keys = [key for key in need.table.where.values() if isinstance(key, str) and key in self.values]
        return next((key for key in keys if not self.values[key].is_known), None)

    def _ask(self, name: str, sides: tuple[Side, ...], tips_at: float | str | None) -> Ask:
        need = self._need(name)
        key = self._unknown_key(need)
        if key is not None:
            # What a table would give, nobody measures: asked for is what the table is looked up by.
            return self._ask(key, (), None)
        kind = self.knowledge.quantities.get(name)
        question = need.ask or (kind.ask if kind else f"What is the {self._label(need)}?")
        measure = need.measure or (kind.measure if kind else "")
        return Ask(name, question, measure, tips_at, sides)

    def _need(self, name: str) -> Need:
        return next(need for need in self.brief.needs if need.name == name)

    def _label(self, need: Need) -> str:
        return need.label or self.knowledge.label(need.name)

    def _assumed(self, verdict: Verdict) -> Iterator[str]:
        if verdict == "need-more" or self.brief.verdict is not None:
            return
        for name in self._deciding_needs():
            if self.values[name].origin == "usual":
                yield f"{self._label(self._need(name))}: {self._range_words(name)}"

    def _range_words(self, name: str) -> str:
        value = self.values[name]
        if value.choices:
            return " or ".join(self.knowledge.choice_label(name, word) for word in value.choices)
        return str(Shown.of(value, self.knowledge))

    # ---- the figures, and how they are shown ---------------------------------------------------------

    def _figures(self, cases: Sequence[_Case], middle: _Case) -> Iterator[FigureResult]:
        deciding = {decider.figure for decider in self.brief.deciders}
        for step in self.plan.steps:
            results = [case.names[step.name] for case in cases if step.name in case.names]
            if not results or step.name not in middle.names:
                continue
            yield self._figure(step, cases, results, middle, step.name in deciding)

    def _figure(
        self, step: Step, cases: Sequence[_Case], results: Sequence[Any], middle: _Case, decides: bool
    ) -> FigureResult:
        numbers = np.concatenate([np.atleast_1d(np.asarray(result, dtype=float)) for result in results])
        low, high = float(numbers.min()), float(numbers.max())
        known = low == high
        # One combination of words is worked out in full; what the others add is told as the range over all.
        first = cases[0].names if step.name in cases[0].names else middle.names
        outcome = first[step.name]
        working = step.calculation.working(_inputs(step, first) or {}, outcome)
        shown_low, shown_high = float(np.min(outcome)), float(np.max(outcome))
        if (shown_low, shown_high) != (low, high):
            working += f"\nover every case: {of_range(low, high, step.calculation.unit)}"
        return FigureResult(
            name=step.name,
            label=step.label or step.calculation.result_meaning,
            value=low if known else None,
            low=low,
            high=high,
            unit=step.calculation.unit,
            working=working,
            inputs=tuple(self._figure_inputs(step, cases)),
            sources=self._sources_of(step),
            decides=decides,
            wanted=step.wanted,
            limits=tuple(self._band_limits(step.name, middle)),
            absolute=any(d.absolute for d in self.brief.deciders if d.figure == step.name),
        )

    def _band_limits(self, name: str, middle: _Case) -> Iterator[tuple[float, str]]:
        for decider in self.brief.deciders:
            if decider.figure != name:
                continue
            for band in decider.bands:
                limit = band.up_to
                if isinstance(limit, str):
                    found = middle.names.get(limit)
                    limit = None if found is None else float(np.atleast_1d(found)[0])
                yield (float("inf") if limit is None else float(limit)), band.verdict

    def _figure_inputs(self, step: Step, cases: Sequence[_Case]) -> Iterator[FigureInput]:
        for argument, source in step.inputs:
            if not isinstance(source, str):
                yield FigureInput(argument, float(source), _unit(step, argument), "table", None, "brief")
            elif source in self.values:
                value = self.values[source]
                yield FigureInput(
                    source,
                    _told(value, self._ends_of(value)),
                    value.unit,
                    value.origin,
                    value.words,
                    value.basis,
                )
            elif source in cases[0].names:
                numbers = np.concatenate(
                    [
                        np.atleast_1d(np.asarray(c.names[source], dtype=float))
                        for c in cases
                        if source in c.names
                    ]
                )
                low, high = float(numbers.min()), float(numbers.max())
                told = low if low == high else (low, high)
                yield FigureInput(source, told, _unit(step, argument), "table", None, f"worked out: {source}")
            else:
                yield FigureInput(argument, source, "", "table", None, "brief")
        given = {name for name, _ in step.inputs}
        for default in step.calculation.arguments:
            if default.name not in given and default.default is not None:
                yield FigureInput(
                    default.name, default.default, default.unit, "table", None, "standard value"
                )

    def _ends_of(self, value: Value) -> tuple[float, float]:
        return self._ends(value.name) if value.low is not None else (0.0, 0.0)

    def _sources_of(self, step: Step) -> tuple[str, ...]:
        found = list(step.calculation.sources)
        for _, source in step.inputs:
            if isinstance(source, str) and source in self.values:
                value = self.values[source]
                if value.origin != "rider":
                    found += [key for key in value.basis.split() if key in self.knowledge.sources]
        return tuple(dict.fromkeys(found))

    def _shown(self, case: _Case) -> dict[str, Any]:
        figures = {step.name: (case.names[step.name], step.calculation.unit) for step in self.plan.steps
                   if step.name in case.names}  # fmt: skip
        return names_for(self.values, figures, self.plan, self.knowledge)


def _settled(keys: NDArray[np.intp], codes: Codes) -> bool:
    """Whether each side holds one verdict, whatever the other unknown facts are."""
    for key in np.unique(keys):
        _, counts = np.unique(codes[keys == key], return_counts=True)
        if counts.max() < ALMOST_ALL * counts.sum():
            return False
    return True


def _told(value: Value, ends: tuple[float, float]) -> float | str | tuple[float, float] | tuple[str, ...]:
    if value.choices:
        return value.choices[0] if len(value.choices) == 1 else value.choices
    return ends[0] if ends[0] == ends[1] else ends


def _unit(step: Step, argument: str) -> str:
    return next((a.unit for a in step.calculation.arguments if a.name == argument), "")


def _inputs(step: Step, names: Mapping[str, Any]) -> dict[str, Any] | None:
    inputs: dict[str, Any] = {}
    words = {a.name: a.limits for a in step.calculation.arguments if a.is_choice}
    for argument, source in step.inputs:
        if isinstance(source, str) and source in names:
            inputs[argument] = names[source]
        elif not isinstance(source, str) or source in words.get(argument, ()):
            inputs[argument] = source
        else:
            return None
    return inputs


def _band_index(decider: Decider, names: Mapping[str, Any], size: int) -> NDArray[np.intp]:
    numbers = np.broadcast_to(np.asarray(names[decider.figure or ""], dtype=float), (size,))
    if decider.absolute:
        numbers = np.abs(numbers)
    index = np.full(size, len(decider.bands) - 1, dtype=np.intp)
    for place in range(len(decider.bands) - 2, -1, -1):
        limit = decider.bands[place].up_to
        if isinstance(limit, str):
            limit = names.get(limit)
        if limit is not None:
            # Rounding in the last place must not push a value that sits on the limit over it.
            index = np.where(numbers <= np.asarray(limit, dtype=float) + 1e-9, place, index)
    return index


def _worded(decider: Decider, names: Mapping[str, Any]) -> Outcome | None:
    if decider.need is not None:
        return decider.values.get(str(names[decider.need]))
    for row in tables.rows(decider.pairs or ""):
        if all(str(row[column]) == _as_cell(names[need]) for column, need in decider.where.items()):
            condition = str(row.get("condition") or "") or None
            verdict: Any = row["verdict"]
            return Outcome(verdict=verdict, because=str(row["because"]), condition=condition)
    return decider.otherwise


def _as_cell(value: Any) -> str:
    return value if isinstance(value, str) else str(float(np.atleast_1d(value)[0]))


def _entropy(codes: Codes) -> float:
    if not len(codes):
        return 0.0
    _, counts = np.unique(codes, return_counts=True)
    shares = counts / counts.sum()
    return float(-(shares * np.log2(shares)).sum())


@lru_cache(maxsize=32)
def _unit_cube(dimensions: int) -> Numbers:
    """Low-discrepancy points with every corner (of the first ten dimensions) and the middle included."""
    points = qmc.Sobol(dimensions, scramble=False).random(SAMPLES)
    corners = np.array(list(product((0.0, 1.0), repeat=min(dimensions, 7))))
    if dimensions > 7:
        filler = np.tile(corners[:, :1], (1, dimensions - 7))
        corners = np.hstack([corners, filler])
    return np.vstack([corners, np.full((1, dimensions), 0.5), points])


_PLANS: dict[tuple[str, str], FigurePlan] = {}


def _planned(brief: Brief, knowledge: Knowledge) -> FigurePlan:
    key = (knowledge.digest, brief.id)
    if key not in _PLANS:
        _PLANS[key] = plan(brief, knowledge)
    return _PLANS[key]


def _limits(figures: FigurePlan) -> dict[str, tuple[float, float]]:
    """For each need, the stretch in which every calculation that takes it holds."""
    found: dict[str, tuple[float, float]] = {}
    for step in figures.steps:
        limits = {a.name: a.limits for a in step.calculation.arguments if not a.is_choice}
        for argument, source in step.inputs:
            if isinstance(source, str) and argument in limits:
                low, high = limits[argument][0], limits[argument][1]
                least, most = found.get(source, (-np.inf, np.inf))
                found[source] = (max(least, float(low)), min(most, float(high)))
    return found

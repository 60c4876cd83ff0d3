"""What to ask back: the fact that settles most, where the verdict tips, and the answer on either side."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import Any

import numpy as np
from numpy.typing import NDArray

from knowledge.brief import Need
from knowledge.numbers import INPUT_DIGITS, for_the_mail
from triage.decide.trial import SILENT, VERDICTS, Case, Codes, Trial
from triage.decide.tries import Numbers
from triage.decide.verdict import FEW, reason_of, share
from triage.records import Ask, Side, Verdict
from triage.shown import of_range

MOST_ASKS = 2
BINS = 8
GRID, FINE_GRID = 161, 129
MOST_TURNS = 4
AS_MUCH = 0.1
"""Facts that settle as much as this apart settle alike, and the cheaper one is asked for."""
NEAR_A_STATED_VALUE = 3.0
"""Spreads to either side of a stated value between which its tipping value is looked for."""


def asks(trial: Trial, *, again: bool = False) -> Iterator[Ask]:
    """At most two facts, the one that settles most first, the cheaper one where they settle alike.

    With `again`, the rider gave them, and what is asked for is a finer measurement.
    """
    open_facts = trial.rough if again else trial.unknown
    facts = [name for name in trial.deciding_needs() if name in open_facts]
    settles = {name: _settles(name, trial, again) for name in facts}
    ranked = sorted(
        facts,
        key=lambda name: (-round(settles[name] / AS_MUCH), _effort(name, trial), facts.index(name)),
    )
    asked: set[str] = set()
    for name in ranked:
        ask = ask_for(name, trial, *_tipping(name, trial, again), again=again)
        if ask.name in asked:
            # Two facts that one table gives are asked for by the same key.
            continue
        asked.add(ask.name)
        yield ask
        if ask.sides or len(asked) == (1 if again else MOST_ASKS):
            return


def ask_for(
    name: str,
    trial: Trial,
    sides: tuple[Side, ...] = (),
    tips_at: float | str | None = None,
    *,
    again: bool = False,
) -> Ask:
    """The question for one fact, in the brief's own words where it has them."""
    need = trial.need(name)
    key = _unknown_key(need, trial)
    if key is not None:
        # What a table would give, nobody measures: asked for is what the table is looked up by.
        return ask_for(key, trial)
    kind = trial.knowledge.quantities.get(name)
    question = need.ask or (kind.ask if kind else f"What is the {trial.label(name)}?")
    measure = need.measure or (kind.measure if kind else "")
    return Ask(name, question, measure, tips_at, sides, again)


def _effort(name: str, trial: Trial) -> float:
    kind = trial.knowledge.quantities.get(name)
    return kind.effort if kind is not None else 1.0


def _unknown_key(need: Need, trial: Trial) -> str | None:
    if need.table is None or need.ask is not None:
        return None
    keys = [key for key in need.table.where.values() if isinstance(key, str) and key in trial.values]
    return next((key for key in keys if not trial.values[key].is_known), None)


def _settles(name: str, trial: Trial, again: bool) -> float:
    """How much of the doubt about the verdict goes when this one fact is known (0 to 1)."""
    cases = trial.cases if again else trial.told_cases
    codes = np.concatenate([case.codes for case in cases])
    if name in trial.wordy:
        keys = _word_keys(name, trial, cases)
    else:
        low, high = trial.ends(name)
        tried = _tried(name, cases)
        keys = np.minimum(((tried - low) / ((high - low) or 1.0) * BINS).astype(int), BINS - 1)
    doubt = _entropy(codes)
    if doubt == 0:
        return 0.0
    masks = [keys == key for key in np.unique(keys)]
    left = sum(share(mask) * _entropy(codes[mask]) for mask in masks)
    return float((doubt - left) / doubt)


def _tried(name: str, cases: Sequence[Case]) -> Numbers:
    return np.concatenate([np.broadcast_to(case.names[name], case.codes.shape) for case in cases])


def _word_keys(name: str, trial: Trial, cases: Sequence[Case]) -> NDArray[np.intp]:
    words = trial.values[name].choices
    return np.concatenate([np.full(len(case.codes), words.index(case.words[name])) for case in cases])


def _tipping(name: str, trial: Trial, again: bool) -> tuple[tuple[Side, ...], float | str | None]:
    """The answers on both sides of the tipping value, where this one fact settles the matter."""
    if name in trial.wordy:
        return _word_sides(name, trial)
    low, high = trial.ends(name)
    if again:
        value = trial.values[name]
        reach = NEAR_A_STATED_VALUE * value.spread
        low, high = float(value.low or 0.0) - reach, float(value.low or 0.0) + reach
        least, most = trial.limits.get(name, (low, high))
        low, high = max(low, least), min(high, most)
    edges = _edges(name, low, high, trial)
    if not edges:
        return (), None
    ends = [low, *edges, high]
    if again:
        middles = np.array([(first + last) / 2 for first, last in pairwise(ends)])
        if not trial.holds_over_the_unknown(name, middles):
            return (), None
    else:
        cases = trial.told_cases
        sides_of = np.searchsorted(np.array(edges), _tried(name, cases), side="right")
        if not _settled(sides_of, np.concatenate([case.codes for case in cases])):
            return (), None
    sides = tuple(_side(name, ends, index, trial) for index in range(len(edges) + 1))
    return sides, _tidy(name, edges[0], trial)


def _edges(name: str, low: float, high: float, trial: Trial) -> list[float]:
    """Where the verdict turns between two ends, all else in the middle; none where it turns too often to tell."""
    turns = _turns(name, np.linspace(low, high, GRID), trial)
    if not turns or len(turns) > MOST_TURNS:
        return []
    edges = []
    for before, after in turns:
        # One finer look between the two grid points places the edge within a ten-thousandth of the range.
        finer = _turns(name, np.linspace(before, after, FINE_GRID), trial)
        edges.append(finer[0][1] if finer else after)
    return edges


def _turns(name: str, grid: Numbers, trial: Trial) -> list[tuple[float, float]]:
    codes = trial.middle(**{name: grid}).codes
    return [(float(grid[turn]), float(grid[turn + 1])) for turn in np.flatnonzero(np.diff(codes))]


def _tidy(name: str, value: float, trial: Trial) -> float:
    """A tipping value to the precision that a rider can measure."""
    kind = trial.knowledge.quantities.get(name)
    if kind is not None and 0 < kind.tolerance < 1:
        return round(value, math.ceil(-math.log10(kind.tolerance)))
    return float(f"{value:.3g}") if abs(value) < 1000 else float(round(value))


def _side(name: str, ends: Sequence[float], index: int, trial: Trial) -> Side:
    unit = trial.values[name].unit
    low, high = ends[index], ends[index + 1]
    low_end, high_end = _tidy(name, low, trial), _tidy(name, high, trial)
    if index == 0:
        when = f"under {for_the_mail(high_end, unit, INPUT_DIGITS)}"
    elif index == len(ends) - 2:
        when = f"{for_the_mail(low_end, unit, INPUT_DIGITS)} or more"
    else:
        when = f"from {of_range(low_end, high_end, unit, INPUT_DIGITS)}"
    # The edge itself is left out on both sides: it was found to within a ten-thousandth of the range.
    last = index == len(ends) - 2
    margin = (high - low) * 1e-3
    above, below = (low if index == 0 else low + margin), (high if last else high - margin)
    case = trial.middle(**{name: np.array([(low + high) / 2])})
    return _told(case, when, (above, below), trial)


def _word_sides(name: str, trial: Trial) -> tuple[tuple[Side, ...], str | None]:
    cases = trial.told_cases
    if not _settled(_word_keys(name, trial, cases), np.concatenate([case.codes for case in cases])):
        return (), None
    sides = tuple(
        _told(trial.middle(**{name: word}), trial.knowledge.choice_label(name, word), word, trial)
        for word in trial.values[name].choices
    )
    tipping = [side.when for side in sides if side.verdict != sides[0].verdict]
    return sides, ", ".join(tipping) or None


def _told(case: Case, when: str, value: Any, trial: Trial) -> Side:
    code = int(case.codes[0])
    verdict: Verdict = "need-more" if code == SILENT else VERDICTS[code]
    return Side(when, verdict, reason_of(trial, case.at(0)), value)


def _settled(keys: NDArray[np.intp], codes: Codes) -> bool:
    """Whether each side holds one verdict, whatever the other unknown facts are."""
    for key in np.unique(keys):
        _, counts = np.unique(codes[keys == key], return_counts=True)
        if counts.max() < (1 - FEW) * counts.sum():
            return False
    return True


def _entropy(codes: Codes) -> float:
    if not len(codes):
        return 0.0
    counts = np.bincount(codes - SILENT)
    shares = counts[counts > 0] / len(codes)
    return float(-(shares * np.log2(shares)).sum())

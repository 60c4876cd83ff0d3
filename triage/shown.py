"""How a value of a finding reads in a text: one number or a range, with its unit."""

from __future__ import annotations

from collections.abc import Mapping, Set
from dataclasses import dataclass
from typing import Any, Protocol

import numpy as np

from knowledge.base import Knowledge
from knowledge.numbers import (
    EXACT_UNITS,
    INPUT_DIGITS,
    digits_for,
    for_the_mail,
    for_the_mail_range,
    said_roughly,
)
from knowledge.resolve import FigurePlan
from triage.records import Origin, Value


class AValue(Protocol):
    """What is shown of a need's value."""

    @property
    def name(self) -> str: ...
    @property
    def low(self) -> float | None: ...
    @property
    def high(self) -> float | None: ...
    @property
    def choices(self) -> tuple[str, ...]: ...
    @property
    def unit(self) -> str: ...
    @property
    def origin(self) -> Origin: ...
    @property
    def is_known(self) -> bool: ...


class AFigure(Protocol):
    """What is shown of a figure."""

    @property
    def value(self) -> float | None: ...
    @property
    def low(self) -> float | None: ...
    @property
    def high(self) -> float | None: ...
    @property
    def unit(self) -> str: ...


@dataclass(frozen=True, slots=True)
class Shown:
    """A need or figure as a template sees it."""

    text: str
    low: str
    high: str
    number: float
    known: bool
    words: str

    def __str__(self) -> str:
        return self.text

    @staticmethod
    def of(value: AValue, knowledge: Knowledge) -> Shown:
        """A need's value."""
        if value.choices:
            words = " or ".join(knowledge.choice_label(value.name, word) for word in value.choices)
            known = value.is_known and value.origin != "usual"
            return Shown(words, words, words, float("nan"), known, words)
        known = value.origin != "usual"
        low, high = float(value.low or 0.0), float(value.high or 0.0)
        return of_ends(low, high, value.unit, known, digits_of_stated(value.name, high, knowledge))


FINER = 0.1
"""What a rider gave is repeated as finely as this part of what is usually left open in measuring it."""


def digits_of_stated(name: str, value: float, knowledge: Knowledge) -> int:
    """How finely a number is repeated that was told: 190 lb are 86.2 kg, and no 86.183."""
    kind = knowledge.quantities.get(name)
    return digits_for(value, kind.tolerance * FINER) if kind and kind.tolerance else INPUT_DIGITS


NOT_KNOWN = Shown("not known yet", "not known yet", "not known yet", float("nan"), False, "not known yet")


def of_range(low: float, high: float, unit: str, digits: int = 3) -> str:
    """A range in words, or the one number where both ends read alike."""
    first, last = for_the_mail(low, unit, digits), for_the_mail(high, unit, digits)
    return first if first == last else for_the_mail_range(low, high, unit, digits)


def of_ends(low: float, high: float, unit: str, known: bool, digits: int = 3) -> Shown:
    """A number that lies between two ends."""
    text = of_range(low, high, unit, digits)
    ends = for_the_mail(low, unit, digits), for_the_mail(high, unit, digits)
    return Shown(text, *ends, (low + high) / 2, known, text)


def of_figure(figure: AFigure, *, spoken: bool = False) -> Shown:
    """A figure: its best value, rounded to what its spread allows, or the range where an input is unknown.

    `spoken` gives it as one says it: "a hair under 4 mm".
    """
    low, high = figure.low or 0.0, figure.high or 0.0
    if figure.value is None:
        low, high = _no_finer_than_it_is_wide(low, high, figure.unit)
        return of_ends(low, high, figure.unit, False, _range_digits(low, high))
    text = best_of(figure.value, low, high, figure.unit)
    if spoken:
        text = said_roughly(figure.value, figure.unit, digits_for(figure.value, high - low))
    return Shown(text, text, text, figure.value, True, text)


def best_of(value: float, low: float, high: float, unit: str) -> str:
    """A best value, rounded to what the stretch that it may lie in allows."""
    return for_the_mail(value, unit, digits_for(value, high - low))


def spread_over(low: float, high: float, unit: str) -> str:
    """The stretch in which a figure may lie, rounded to a tenth of it."""
    return of_range(low, high, unit, _range_digits(low, high))


MOST_MOVED = 0.04
"""The ends of a stretch are rounded as coarsely as moves neither by more than this part of it."""
_PLACES = range(-3, 4)


def _no_finer_than_it_is_wide(low: float, high: float, unit: str) -> tuple[float, float]:
    """Both ends to the same place: 9 to 16 mm, and no 9.11 to 15.8; what may hurt when it is rounded up stays as it is."""
    if unit in EXACT_UNITS:
        return low, high
    most = MOST_MOVED * (high - low)
    for places in _PLACES:
        ends = round(low, places), round(high, places)
        if max(abs(ends[0] - low), abs(ends[1] - high)) <= most and (ends[0] != 0 or low == 0):
            return ends
    return low, high


def _range_digits(low: float, high: float) -> int:
    return digits_for(max(abs(low), abs(high)), (high - low) / 10)


def names_for(
    values: Mapping[str, Value],
    figures: Mapping[str, tuple[Any, str]],
    plan: FigurePlan,
    knowledge: Knowledge,
    spreads: Mapping[str, float],
    stated: Set[str],
) -> dict[str, Any]:
    """What the templates of a brief may use: each need and each figure of its plan, by name.

    `spreads` are the widths that measuring leaves open for the figures whose inputs are all stated; `stated` are the needs
    that somebody gave.
    """
    names: dict[str, Any] = {name: Shown.of(value, knowledge) for name, value in values.items()}
    for step in plan.steps:
        if step.name not in figures:
            names[step.name] = NOT_KNOWN
            continue
        numbers, unit = figures[step.name]
        tried = np.asarray(numbers, dtype=float)
        known = plan.ancestors(step.name) <= stated
        low, high = float(tried.min()), float(tried.max())
        digits = digits_for(low, spreads.get(step.name, 0.0)) if low == high else _range_digits(low, high)
        names[step.name] = of_ends(*_no_finer_than_it_is_wide(low, high, unit), unit, known, digits)
    return names

"""Weights and legs of people: stone and pounds, and bare numbers that only a weight can be."""

from __future__ import annotations

from collections.abc import Iterator

from triage.extract.forms import form
from triage.extract.numbers import PLAIN, number
from triage.extract.passage import Found, Passage, at_numbers_only

_STONE = form(
    rf"({PLAIN})\s?(?:stones?|st)\b(?!\s?(?:of|bridge|wall|street|chip|s\b))(?:\s?(?:and\s)?(\d{{1,2}})(?:\s?(?:lbs?|pounds?))?(?![\w.,]\d|\s?(?:mm|psi|bar|speed|t\b|inch|c\b)))?",
    catches="14 stone 7 lb",
    leaves="14 steps",
)
STONE_KG, POUND_KG = 6.35029318, 0.45359237


@at_numbers_only(_STONE)
def stones(passage: Passage) -> Iterator[list[Found]]:
    """ "12 stone 4", "17st 6lbs"."""
    for m in passage.at_numbers(_STONE):
        mass = number(m[1]) * STONE_KG + (float(m[2]) if m[2] else 0.0) * POUND_KG
        yield [Found("rider_mass_kg", round(mass, 1), *m.span())]

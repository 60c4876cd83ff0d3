"""Heights above the sea and slopes as they are told: "we live at 1500 m", "a hill of 1 in 8"."""

from __future__ import annotations

from collections.abc import Iterator

from triage.extract.forms import form
from triage.extract.numbers import PLAIN, number
from triage.extract.passage import Found, Passage, at_numbers_only
from triage.extract.units import settled

_HIGH = form(
    rf"({PLAIN})\s?(?:m|met(?:re|er)s?|(ft|feet))\b(?!\s(?:from|away|of|long|behind|ahead|per|down))",
    catches="1,600 m",
    leaves="1600 mm",
)
_LIES_AT = form(
    r"\b(?:is|are|we're|i'm|lives?|living|lies?|sits?|stays?|staying|house|home|village|town|cottage|hut|camp|pass|up|here)\s(?:up\s|all\s)?at\s(?:about\s|around\s|roughly\s|some\s|over\s|nearly\s)?$",
    catches="the hut is at about ",
    leaves="the sign is ",
)
LOWEST_TOLD_M, HIGHEST_M = 250, 6000
"""Hardly anybody tells of less in such words or rides higher up; our own bounds. [m]"""


@at_numbers_only(_HIGH)
def altitudes(passage: Passage) -> Iterator[list[Found]]:
    """ "We live at 1,500 m": where somebody is; "the shop is at 300 m from here" is a way."""
    for m in passage.at_numbers(_HIGH):
        height = settled(number(m[1], "metre"), "foot" if m[2] else "metre", "altitude_m")
        if LOWEST_TOLD_M <= height <= HIGHEST_M and _LIES_AT.search(passage.before(m.start(), 40)):
            yield [Found("altitude_m", round(height, 1), *m.span())]


_ONE_IN = form(r"1\s?(?:in|:)\s?([3-9]|[1-4]\d)(?![\d.,]*\d|\w)", catches="1 in 8", leaves="1 in 8mm")
_A_HILL = r"(?:gradients?|hills?|slopes?|climbs?|descents?|steep|ramps?|grade|incline|banks?|pass)"
_HILL_BEFORE = form(rf"\b{_A_HILL}\b[^.;?!\d]{{0,16}}$", catches="a gradient of ", leaves="a hill. ")
_HILL_BEHIND = form(rf"\s(?:\w+\s)?{_A_HILL}\b", catches=" hill", leaves=" chill")


@at_numbers_only(_ONE_IN)
def slopes(passage: Passage) -> Iterator[list[Found]]:
    """ "A 1 in 8 hill" climbs one metre in eight."""
    for m in passage.at_numbers(_ONE_IN):
        if _HILL_BEFORE.search(passage.before(m.start())) or _HILL_BEHIND.match(passage.text, m.end()):
            yield [Found("slope_pct", round(100 / number(m[1]), 1), *m.span())]

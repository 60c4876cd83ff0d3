"""Pressures that stand in brackets behind their unit: "pumped to the PSI on the tyre (75)"."""

from __future__ import annotations

from collections.abc import Iterator

from triage.extract.forms import form
from triage.extract.numbers import PLAIN, number
from triage.extract.passage import Found, Passage
from triage.extract.units import settled

_IN_BRACKETS = form(
    rf"\b(psi|bars?)\b(?!\s?\()([^.;?!\d()]{{1,48}})\(({PLAIN})\)",
    catches="the psi printed on the tyre (75)",
    leaves="75 psi (front)",
)
_PRINTED = ("tyre", "tire", "sidewall", "printed", "specified", "max", "recommended", "limit")


def in_brackets(passage: Passage) -> Iterator[list[Found]]:
    """Of a pressure that was pumped up to what is printed, both."""
    for m in passage.around(_IN_BRACKETS, "psi", "bar"):
        value = settled(number(m[3]), "psi" if m[1] == "psi" else "bar", "tyre_pressure_kpa")
        found = [Found("tyre_pressure_kpa", value, *m.span(3))]
        if any(word in m[2] for word in _PRINTED):
            found.append(Found("tyre_max_pressure_kpa", value, *m.span(3)))
        yield found

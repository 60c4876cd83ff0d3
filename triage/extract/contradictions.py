"""Two figures for one thing that cannot both be: a rider has one weight."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from knowledge.base import QuantityKind
from triage.readings import outright
from triage.records import Detail

# A wheel has two tyres and a question two widths; these a message gives once.
_ONE_ONLY = (
    "rider_mass_kg",
    "bike_mass_kg",
    "inseam_mm",
    "saddle_height_mm",
    "shell_bore_mm",
    "seatpost_diameter_mm",
)
APART = 0.25
"""Two figures further apart are of two things: a rider and a load."""
ALIKE = 0.03
"""Two figures this near are one, rounded or changed from pounds to kilos."""


def contradictions(details: Sequence[Detail], kinds: Mapping[str, QuantityKind]) -> Iterator[tuple[str, str]]:
    """The quantity, and a sentence that gives both figures as they were written."""
    if len(details) < 2:
        return
    for name in _ONE_ONLY:
        said = outright([d for d in details if d.name == name and isinstance(d.value, float)], details)
        values = [float(d.value) for d in said if not isinstance(d.value, tuple)]
        if len(values) < 2 or not ALIKE < (max(values) - min(values)) / max(values) < APART:
            continue
        words = " and ".join(
            f"“{d.words}”" for d in (said[0], next(d for d in said if d.value != said[0].value))
        )
        yield name, f"{words} cannot both be the {kinds[name].label}. Which is right?"

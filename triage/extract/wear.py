"""Chain wear between the two sides of a drop-in gauge: one goes in, the other does not."""

from __future__ import annotations

from collections.abc import Iterator

from triage.extract.forms import form
from triage.extract.numbers import PLAIN, number
from triage.extract.passage import Found, Passage

_PASSES_NOT = form(
    rf"({PLAIN})(?:\s?(?:%|percent|per cent))?(?:\s(?:mark|side|end|one|gauge|tool|drops in|goes in|passes|falls in))?(?:\s?,)?\s(?:but|and|though|yet)?\s?(?:it\s|does\s)?(?:not|the|stays out|stops)\s"
    rf"(?:at\s|in\s|by\s|with\s|the\s|go in at\s|drop in at\s|through\s)*({PLAIN})(?!\d)",
    catches="0.5 but not 0.75",
    leaves="0.5 and 0.75",
)
MOST_GAUGED_PCT = 1.5


def gauge_sides(passage: Passage) -> Iterator[list[Found]]:
    """ "It drops in at 0.5 but not at 0.75": the wear lies between."""
    for m in passage.at_numbers(_PASSES_NOT) if passage.holds("chain", "drop-in", "checker", "gauge") else ():
        if 0 < number(m[1]) < number(m[2]) <= MOST_GAUGED_PCT:
            yield [Found("chain_wear_pct", (number(m[1]), number(m[2])), *m.span())]

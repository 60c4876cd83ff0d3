"""A lone size that is wished for is of the part named last: "the inner ring's a 36, I'm after a 33", "my stem is 100, I'd like a shorter 80"."""

from __future__ import annotations

import re
from collections.abc import Iterator

from triage.extract.forms import form
from triage.extract.passage import Found, Passage, at_numbers_only
from triage.extract.telling import ROTOR_DIAMETERS_MM

_SIZE = form(
    r"(\d{2,3})(?:\s?t\b|\s?teeth\b|\s?tooth\b|\s?mm\b)?(?=\s?(?:[.,;!?)](?!\d)|$|\b(?:instead|in|for|to|on|at|up|there|now|if|with|and|but|so)\b))"
    r"(?!\s?[-/]|\s(?:or|to)\s\d)",
    catches="33 in its place",
    leaves="33 mph",
)
_WISHED = form(
    r"\b(?:like|want|wants|wanted|fancy|fancied|hop(?:e|ing)|after|thinking of|considering|looking (?:at|for)|rather|wish|plan(?:ning)?|going (?:to|for)|need|try(?:ing)?)\b"
    r"(?:\s(?:to|fit|fitting|run|running|use|have|having|try|put|putting|on|get|getting|go|going|for|mount)){0,4}\s(?:an?|the)\s"
    r"(?:(?:shorter|longer|smaller|bigger|larger|new|lower|plain)\s){0,2}$",
    catches="i'm hoping to fit a ",
    leaves="i'm looking at the rain after ",
)
_A_SINGLE = form(
    r"\b(?:run|running|fit|fitting|try|use|using|to|just|want|like)\san?\ssingle\s$",
    catches="and run a single ",
    leaves="it has a single ",
)
_PART = re.compile(
    r"\b(?:(?P<inner>(?:inner|small|smaller|little|granny)\s(?:chain\s?)?ring|inner\b(?!\s(?:tube|width|cable|wire))|granny)|"
    r"(?P<ring>(?:chain\s?)?rings?|chainset|crankset|bcd|pcd|bolt circle|spider|[3-6]\d\s?/\s?[2-4]\d)|(?P<stem>stems?)|"
    r"(?P<rotor>rotors?|discs?|disks?)|"
    r"(?P<other>cassette|sprockets?|cogs?|block|freewheel|mech|derailleur|tyres?|tires?|spokes?|hubs?|wheels?|posts?|bars?|forks?|"
    r"valves?|tubes?|rims?|batter(?:y|ies)|(?:9|1[0-4])\s?-\s?[2-5]\d))\b"
)
_BEHIND = re.compile(
    r"[^.,;?!\d]{0,16}?\b(?:(?P<ring>front|rings?)|(?P<other>back|rear|cassette|wheel|hub|tyre|tire|post|mech|block))\b"
)
_INSTEAD_OF = form(
    r"(?:\s?t|\steeth)?\s(?:instead|in place)\sof\s(?:the|my)\s(\d\d)\b(?![\d.,]*\d|\s?(?:mm|psi))",
    catches=" instead of the 36",
    leaves=" instead of the old",
)
_CASSETTE_NEAR = re.compile(r"\b(?:cassette|sprocket|cog|block|freewheel|(?:9|1[0-4])\s?-\s?[2-5]\d)\b")
_BACK = 320
"""As far back as a part may have been named. [letters]"""
_NEAR = 100
SMALLEST_RING, LARGEST_RING = 20, 60
"""Rings that are sold for bicycles; common practice. [teeth]"""
SHORTEST_STEM_MM, LONGEST_STEM_MM = 35, 150
"""Stems that are sold; common practice."""


@at_numbers_only(_SIZE)
def wished_sizes(passage: Passage) -> Iterator[list[Found]]:
    """ "I'd like a 34 instead of the 36", "run a single 38", "thinking of a 180 at the front"."""
    if not passage.holds(
        "ring", "bcd", "pcd", "circle", "stem", "rotor", "disc", "chainset", "crankset", "/"
    ):
        return
    for m in passage.at_numbers(_SIZE):
        before = passage.before(m.start(), 64)
        single = _A_SINGLE.search(before) is not None
        if not single and _WISHED.search(before) is None:
            continue
        size = float(m[1])
        name = _name_of(size, m, passage, single)
        if name is not None:
            yield [Found(name, size, *m.span(1))]
            replaced = _INSTEAD_OF.match(passage.text, m.end(1))
            if replaced is not None:
                passage.taken.append(replaced.span(1))


def _name_of(size: float, m: re.Match[str], passage: Passage, single: bool) -> str | None:
    parts = list(_PART.finditer(passage.before(m.start(), _BACK)))
    last = parts[-1].lastgroup if parts else None
    behind = _BEHIND.match(passage.text, m.end())
    if behind is not None:
        if behind["other"]:
            return None
        last = "front" if passage.holds("ring", "teeth") else last
    if last == "stem":
        return "new_stem_length_mm" if SHORTEST_STEM_MM <= size <= LONGEST_STEM_MM else None
    if last == "rotor":
        return "new_rotor_diameter_mm" if size in ROTOR_DIAMETERS_MM else None
    replaced = _INSTEAD_OF.match(passage.text, m.end(1))
    told = {found.name: found.value for found in passage.found if found.end <= m.start()}
    inner, outer = told.get("smallest_ring_teeth"), told.get("largest_ring_teeth")
    of_a_ring = replaced is not None and float(replaced[1]) in (inner, outer)
    if not SMALLEST_RING <= size <= LARGEST_RING or not (
        single or of_a_ring or last in ("ring", "inner", "front")
    ):
        return None
    # "50/34 and 11-28, I'd like a 32" may be of either.
    if not (single or of_a_ring or last in ("inner", "front")) and _CASSETTE_NEAR.search(
        passage.before(m.start(), _NEAR)
    ):
        return None
    if single:
        return "new_ring_teeth"
    if of_a_ring and replaced is not None:
        return "new_smallest_ring_teeth" if float(replaced[1]) == inner else "new_ring_teeth"
    smaller = isinstance(inner, float) and isinstance(outer, float) and size < inner < outer
    return "new_smallest_ring_teeth" if last == "inner" or smaller else "new_ring_teeth"

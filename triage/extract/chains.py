"""Chains: the length of twelve links in inches and sixteenths or in millimetres, and how far one has run."""

from __future__ import annotations

from collections.abc import Iterator

from triage.extract.forms import form
from triage.extract.numbers import number
from triage.extract.passage import Found, Passage, at_numbers_only
from triage.extract.units import INCH_MM

MILE_KM = 1.609344
TWELVE_LINKS_IN = 12.0
"""Twelve links of half-inch pitch, inner and outer, when new. [in]"""
_IN_PARTS = form(
    r"12(?:\s?(?:inch(?:es)?|in|\"))?\s?(?:and\s|\+\s?|-|\s)\s?(?:an?\s)?([1357])\s?/\s?(8|16|32|64)(?!\d)(?:ths?|nds?)?(?:\s?(?:of an inch|inch(?:es)?|in\b|\"))?",
    catches="12 and 1/16th",
    leaves="12 and 1/2",
)
_IN_DECIMALS = form(
    r"12([.,](?:0\d{1,3}|1\d{0,3}))\s?(?:inch(?:es)?|in\b|\")", catches="12.125 inches", leaves="12.5 inches"
)
_IN_MILLIMETRES = form(r"(30[3-9]|31\d)([.,]\d)?\s?(?:mm|millimetres?)\b", catches="306 mm", leaves="300 mm")
_AS_NEW = form(
    r"(?:12|24)\s?(?:inch(?:es)?|in|\")\s(?:of|stretch|length|worth|section)\b",
    catches="12 inches of",
    leaves="12 inches",
)
_KILOMETRES = form(
    r"(\d{1,2}[.,]?\d{3}|\d{3})\s?k\b(?!\s?(?:light|lamp|bulb|colour|color|kelvin|led))",
    catches="5000k",
    leaves="5 k",
)
_RUN = form(
    r"\b(?:done|did|after|lasted|lasts|for|about|nearly|over|every|ridden|some|at)\s$",
    catches="done ",
    leaves="paid ",
)
_OF_LINKS = ("link", "pins", "rivet", "ruler", "inches of", "measur", "stretch", "worn")
_WEARING = ("chain", "cassette", "block", "tyre", "tire", "rings", "pads", "belt")


@at_numbers_only(_IN_PARTS, _IN_DECIMALS, _IN_MILLIMETRES, _AS_NEW)
def measured_chains(passage: Passage) -> Iterator[list[Found]]:
    """ "12 inches of chain came to 12 and 1/16th": what it came to counts, and not what it is when new."""
    if not passage.holds("chain", "links", "pins") or not passage.holds(*_OF_LINKS):
        return
    for start in passage.starts:
        # "1/16th" looks like a day of the month and is spoken for as one; what stands before it is free.
        m = _IN_PARTS.match(passage.text, start)
        if m is not None and passage.is_free(start, m.end(1)):
            inches = TWELVE_LINKS_IN + float(m[1]) / float(m[2])
            passage.taken.append((m.end(1), m.end()))
            yield [Found("measured_chain_length_mm", inches * INCH_MM, start, m.end(1))]
    for m in passage.at_numbers(_IN_DECIMALS):
        inches = TWELVE_LINKS_IN + number(f"0{m[1]}")
        yield [Found("measured_chain_length_mm", inches * INCH_MM, *m.span())]
    if passage.holds("link", "pins", "rivet"):
        for m in passage.at_numbers(_IN_MILLIMETRES):
            value = number(m[1] + (m[2] or ""))
            yield [Found("measured_chain_length_mm", value, *m.span())]
    passage.taken += [m.span() for m in passage.at_numbers(_AS_NEW)]


_MILEAGE = form(
    r"\bmileage\s(?:is|was|so far|stands at|:)\s(?:about\s|around\s|now\s)?(\d{1,3}(?:,\d{3})+|\d{3,5})(?![\d.,]*\d|\s?(?:km|k\b|kilom))",
    catches="the mileage is 1,850",
    leaves="the mileage is 1,850 km",
)


def mileage(passage: Passage) -> Iterator[list[Found]]:
    """ "The mileage is 1,850 by the log": miles, where no other unit stands."""
    for m in passage.around(_MILEAGE, "mileage"):
        yield [Found("distance_km", number(m[1].replace(",", "")) * MILE_KM, *m.span(1))]


@at_numbers_only(_KILOMETRES)
def kilometres(passage: Passage) -> Iterator[list[Found]]:
    """ "Done 5000k on this chain"."""
    if not passage.holds(*_WEARING):
        return
    for m in passage.at_numbers(_KILOMETRES):
        if _RUN.search(passage.before(m.start(), 12)):
            yield [Found("distance_km", number(m[1].replace(",", "").replace(".", "")), *m.span())]

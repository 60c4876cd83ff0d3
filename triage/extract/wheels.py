"""Hubs, spokes and axles where the form tells the quantity: "142x12", "3 cross", "36h"."""

from __future__ import annotations

from collections.abc import Iterator

from triage.extract.forms import form
from triage.extract.numbers import number
from triage.extract.passage import Found, Passage, at_numbers_only

_THROUGH_AXLE = form(
    r"(?:(9[58]|1[0-5]\d|1[5-9]\d)\s?(?:mm)?\s?x\s?(9|10|12|15|20)|(9|10|12|15|20)\s?(?:mm)?\s?x\s?(9[58]|1[0-5]\d|1[5-9]\d))(?:\s?mm)?(?![\d.,]\d|\w)",
    catches="148x12",
    leaves="140x2",
)
_CROSSES = form(
    r"([0-5])[\s-]?(?:x\s)?(?:cross(?:es|ed)?\b|x(?=\s?(?:lacing|laced|pattern|spoke)))",
    catches="3 cross",
    leaves="3x9",
)
_LACED = form(r"([0-5])\s?x(?!\s?[\w.,]*\d)", catches="3x", leaves="3x9")
_HOLES = form(
    r"([1-4]\d)\s?(?:h\b|-?\s?holes?\b|-?\s?spokes?\b(?!\s(?:length|tension)))(?!\s?(?:km|ride))",
    catches="36h",
    leaves="36 hours",
)


_BEARING = form(
    r"(\d{1,2}(?:[.,]\d{1,3})?)\s?(?:mm)?\s?(?:x|by)\s?(\d{2}(?:[.,]\d{1,3})?)\s?(?:mm)?\s?(?:x|by)\s?(\d{1,2}(?:[.,]\d)?)(?:\s?mm)?(?!\w|[.,]\d)",
    catches="30 by 42 by 7",
    leaves="30 by 42",
)
_ARMS = form(
    r"([345])(?:[\s-](?:arm|bolt|hole)\b(?=\s(?:spider|crank|chainset|ring|chainring|pattern|\d))|\s(?:arms|bolts|of them)\b)",
    catches="5-arm spider",
    leaves="5-arm",
)


_HOLE_CIRCLE = form(
    r"(\d{2,3}(?:[.,]\d)?)\s?(?:mm\s)?(?:pcd|hole circle|flange circle)\b(?!\s(?:\w+\s)?(?:crank|spider|chain))",
    catches="58 mm pcd",
    leaves="110 pcd crank",
)
_TWO_FLANGES = form(
    r"(\d{1,2}(?:[.,]\d)?)\s?(?:mm\s)?(?:/|and|&)\s?(\d{1,2}(?:[.,]\d)?)(?!\d|[.,]\d|\s?(?:teeth|t\b|years?|holes?|spokes?))",
    catches="20/34",
    leaves="20 34",
)
_FLANGES_ARE = form(
    r"\bflanges?\s(?:(?:are|at|sit|of|is|distance|offsets?)\s)?$",
    catches="the flanges are ",
    leaves="the flanges have ",
)
_WOBBLE = form(
    r"(\d{1,2}(?:[.,]\d)?)\s?mm\s(?:of\s)?(?:sideways\s|side to side\s|lateral\s)?(?:wobble|buckle|sway|kink)\b",
    catches="3 mm wobble",
    leaves="3 mm play",
)
_NO_WHEELS_WOBBLE = (
    "headset",
    "bearing",
    "hub",
    "cone",
    "cassette",
    "crank",
    "pedal",
    "chainring",
    "rotor",
    "seat",
)
_OF_A_CRANK = ("chainring", "chain ring", "crank", "chainset", "spider")


@at_numbers_only(
    _THROUGH_AXLE, _BEARING, _ARMS, _CROSSES, _LACED, _HOLE_CIRCLE, _TWO_FLANGES, _WOBBLE, _HOLES
)
def axles_and_spokes(passage: Passage) -> Iterator[list[Found]]:
    """ "148x12 rear end", "32 hole rim laced 3 cross"."""
    for m in passage.at_numbers(_THROUGH_AXLE):
        yield [Found("hub_width_mm", float(m[1] or m[4]), *m.span())]
    for m in passage.at_numbers(_BEARING) if passage.holds("bearing") else ():
        if number(m[1]) < number(m[2]) > number(m[3]):
            yield [
                Found("bearing_bore_mm", number(m[1]), *m.span(1)),
                Found("bearing_outside_diameter_mm", number(m[2]), *m.span(2)),
            ]
    for m in passage.at_numbers(_ARMS) if passage.holds("spider", "chainring", "bolt circle", "bcd") else ():
        yield [Found("chainring_bolts_count", float(m[1]), *m.span(1))]
    for m in passage.at_numbers(_CROSSES):
        yield [Found("crosses", float(m[1]), *m.span())]
    if passage.holds("spoke", "laced", "lacing", "wheelbuild"):
        for m in passage.at_numbers(_LACED):
            yield [Found("crosses", float(m[1]), *m.span())]
    if passage.holds("hub", "flange", "erd", "spoke") and not passage.holds(*_OF_A_CRANK):
        for m in passage.at_numbers(_HOLE_CIRCLE):
            yield [Found("flange_diameter_mm", number(m[1]), *m.span(1))]
    if passage.holds("wheel", "rim") and not passage.holds(*_NO_WHEELS_WOBBLE):
        for m in passage.at_numbers(_WOBBLE):
            yield [Found("runout_mm", number(m[1]), *m.span(1))]
    for m in passage.at_numbers(_TWO_FLANGES) if passage.holds("flange") else ():
        if _FLANGES_ARE.search(passage.before(m.start())):
            for side in (1, 2):
                yield [Found("flange_offset_mm", number(m[side]), *m.span(side))]
    for m in passage.at_numbers(_HOLES):
        yield [Found("spokes", float(m[1]), *m.span())]

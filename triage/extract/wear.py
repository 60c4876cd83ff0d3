"""Wear without a plain reading: a chain between the two sides of a gauge, pads that are down to the metal."""

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
_ONE_SIDE_OTHER_SIDE = form(
    rf"({PLAIN})\s?(?:mm)?[^.?!\n\d]{{0,24}}?\b(?:the\s)?(?:other|left|right|inner|outer|inside|outside)(?:\s(?:side|one|pad|is|has|was|at|only|still)){{0,3}}\s({PLAIN})\s?mm\b",
    catches="1.2 mm, other 2.3 mm",
    leaves="1.2 mm and 2.3 mm",
)
_OF_ONE_SIDE = form(
    r"\b(?:one|left|right|inner|outer|inside|outside)(?:\s(?:side|pad|one|is|has|was|at|only)){0,3}\s$",
    catches="one side is ",
    leaves="my rotor is ",
)
_NO_PAD = ("rotor", "chain", "rim wall", "spoke", "gap", "axle")
THICKEST_LINING_MM = 6.0
MOST_GAUGED_PCT = 1.5
_TO_THE_METAL = form(
    r"\b(?:pads?|blocks?|shoes?|linings?)\b[^.?!\n]{0,30}\b(?:(?:down|worn|gone|through) to (?:the )?(?:bare )?(?:metal|backing|steel)|"
    r"metal on metal|no (?:material|lining|rubber|compound) left|nothing left)\b",
    catches="pads are worn to the metal",
    leaves="pads with metal backing",
)
_LINING_OFF = form(
    r"\b(?:friction material|pad material|linings?)\b[^.?!\n]{0,24}\b(?:she+red|sheared|come|came|fallen|fell|peeled|broken|broke|ripped|torn)\s(?:right\s|clean\s|completely\s)?(?:off|away)\b|"
    r"\blost (?:its|all its|all the|the) (?:lining|friction material)\b|\b(?:running|braking|riding|grinding) (?:on )?metal on metal\b",
    catches="friction material has sheared off",
    leaves="lining came with a spring",
)


def gauge_sides(passage: Passage) -> Iterator[list[Found]]:
    """ "It drops in at 0.5 but not at 0.75": the wear lies between."""
    for m in passage.at_numbers(_PASSES_NOT) if passage.holds("chain", "drop-in", "checker", "gauge") else ():
        if 0 < number(m[1]) < number(m[2]) <= MOST_GAUGED_PCT:
            yield [Found("chain_wear_pct", (number(m[1]), number(m[2])), *m.span())]


_SEALANT_SO_OLD = form(
    rf"\bsealant\b(?:\s(?:in\sit|in\sthem|itself|is|was|about|around|roughly|now|only|nearly|already|over|some|almost|at|least|of)){{1,5}}\s({PLAIN})\s?(weeks?|months?|years?)\b(?!\sago)",
    catches="sealant is about 7 months",
    leaves="sealant for 7 months",
)
_MONTHS = {"w": 12 / 52, "m": 1.0, "y": 12.0}


def ages_of_sealant(passage: Passage) -> Iterator[list[Found]]:
    """ "The sealant is about seven months old": its own age, and no bicycle's."""
    for m in passage.around(_SEALANT_SO_OLD, "sealant"):
        yield [Found("sealant_age_months", round(number(m[1]) * _MONTHS[m[2][0]], 1), *m.span(1))]


_FRESH_LINING = form(
    rf"\b(?:new|fresh|unused|unworn)\s(?:ones|pads|blocks)\s(?:(?:straight\s)?(?:out of|from)\s(?:the|their|a)\s(?:packet|box|bag)\s)?"
    rf"(?:are|were|measured?|have|had|come|came|start)\s(?:(?:with|at|about|out)\s){{0,2}}({PLAIN})(?!\d|\s?(?:euros?|quid|%|km|miles))",
    catches="fresh ones out of the packet measure 2.5",
    leaves="new pads 2.5",
)


def fresh_linings(passage: Passage) -> Iterator[list[Found]]:
    """ "New ones were 4 mm by the packet" where the talk is of pads."""
    for m in passage.around(_FRESH_LINING, "pad", "lining"):
        if number(m[1]) <= THICKEST_LINING_MM:
            yield [Found("new_pad_thickness_mm", number(m[1]), *m.span(1))]


_WORN_WORDS = ("metal", "backing", "steel", " left", "friction", "lining", "pad material")


def speaks_of_bare_metal(text: str) -> bool:
    """Whether a word stands in a lowered text without which no pad is told to be worn through."""
    return any(word in text for word in _WORN_WORDS)


def worn_through(passage: Passage) -> Iterator[list[Found]]:
    """ "The pads are down to the metal": no lining is left, though nobody measured it."""
    if not speaks_of_bare_metal(passage.text):
        return
    for told in (_TO_THE_METAL, _LINING_OFF):
        for m in told.finditer(passage.text):
            yield [Found("pad_thickness_mm", 0.0, *m.span())]


def uneven_pads(passage: Passage) -> Iterator[list[Found]]:
    """ "Change the pads in pairs? One side is 1.2 mm, the other 2.3 mm": two linings of one calliper."""
    if not passage.holds("pad", "lining") or passage.holds(*_NO_PAD):
        return
    for m in passage.at_numbers(_ONE_SIDE_OTHER_SIDE):
        sizes = (number(m[1]), number(m[2]))
        if max(sizes) <= THICKEST_LINING_MM and _OF_ONE_SIDE.search(passage.before(m.start())):
            yield [
                Found("pad_thickness_mm", size, *m.span(group))
                for group, size in zip((1, 2), sizes, strict=True)
            ]

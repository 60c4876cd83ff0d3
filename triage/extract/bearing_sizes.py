"""The three sizes of a bearing, and its number by them: "17 mm inside, 30 outside and 7 wide" is a 6903."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

from knowledge import tables
from triage.extract.forms import form
from triage.extract.numbers import number
from triage.extract.passage import Found, Passage

CHOICE = "bearing_designation"
_N = r"(\d{1,2}(?:[.,]\d)?)"
_MM = r"\s?(?:mm|millimetres?)?"
_THREE = form(
    rf"(?<![\d.,]){_N}{_MM}\s?(?:x|by)\s?{_N}{_MM}\s?(?:x|by)\s?{_N}(?![\d.,]*\d)",
    catches="17x30x7",
    leaves="17x30",
)
_INSIDE_IS = form(
    rf"(?<![\d.,]){_N}{_MM}\s(?:(?:on|for|across)\s(?:the\s)?)?(?:inside|inner|bore|internal|id)\b|"
    rf"\b(?:inside|inner(?:\sdiameter)?|bore|internal(?:\sdiameter)?|id)(?:\sdiameter)?\s?(?:is|of|=|:|at|about|measures)?\s?{_N}(?![\d.,]*\d)",
    catches="17 mm inside",
    leaves="17 mm wide",
)
_OUTSIDE_IS = form(
    rf"(?<![\d.,]){_N}{_MM}\s(?:(?:on|for|across)\s(?:the\s)?)?(?:outside|outer|external|od)\b|"
    rf"\b(?:outside|outer(?:\sdiameter)?|external(?:\sdiameter)?|od)(?:\sdiameter)?\s?(?:is|of|=|:|at|about|measures)?\s?{_N}(?![\d.,]*\d)",
    catches="30 mm outside",
    leaves="30 mm wide",
)
_WIDE_IS = form(
    rf"(?<![\d.,]){_N}{_MM}\s(?:wide|width|thick|deep|tall|high|in height|in width)\b|"
    rf"\b(?:width|thickness|height|wide|thick)\s?(?:is|of|=|:|at|about|measures)?\s?{_N}(?![\d.,]*\d)",
    catches="7 mm wide",
    leaves="7 mm inside",
)
_LARGEST_MM = 60


def _sizes(text: str) -> tuple[tuple[float, float, float], list[tuple[int, int]]] | None:
    """Bore, outside and width, and where each stands; none where they can't be a bearing's."""
    if "bearing" not in text and "cartridges are" not in text:
        return None
    for m in _THREE.finditer(text):
        sizes = (number(m[1]), number(m[2]), number(m[3]))
        if _may_be(*sizes):
            return sizes, [m.span(1), m.span(2), m.span(3)]
    told = []
    for pattern in (_INSIDE_IS, _OUTSIDE_IS, _WIDE_IS):
        found = pattern.search(text)
        if found is None:
            return None
        group = 1 if found[1] else 2
        told.append((number(found[group]), found.span(group)))
    sizes = (told[0][0], told[1][0], told[2][0])
    return (sizes, [span for _, span in told]) if _may_be(*sizes) else None


def _may_be(bore: float, outside: float, width: float) -> bool:
    return 3 <= bore < outside <= _LARGEST_MM and 2 <= width < outside / 2


def bearing_sizes(passage: Passage) -> Iterator[list[Found]]:
    """ "17x30x7", "17 mm inside, 30 outside, 7 wide" where the talk is of a bearing."""
    told = _sizes(passage.text)
    if told is None:
        yield from _inside_and_outside(passage)
        return
    (bore, outside, _), spans = told
    if all(passage.is_free(*span) for span in spans):
        passage.taken.append(spans[2])
        yield [Found("bearing_bore_mm", bore, *spans[0])]
        yield [Found("bearing_outside_diameter_mm", outside, *spans[1])]


def _inside_and_outside(passage: Passage) -> Iterator[list[Found]]:
    """ "The bearing is 17 inside and 30 outside": without its width, and where no rim could be meant."""
    if not passage.holds("bearing") or passage.holds("rim", "shell", "tyre", "tire"):
        return
    inside, outside = _INSIDE_IS.search(passage.text), _OUTSIDE_IS.search(passage.text)
    if inside is None or outside is None:
        return
    spans = [m.span(1 if m[1] else 2) for m in (inside, outside)]
    bore, outer = (number(passage.text[slice(*span)]) for span in spans)
    if 3 <= bore < outer <= _LARGEST_MM and all(passage.is_free(*span) for span in spans):
        yield [Found("bearing_bore_mm", bore, *spans[0])]
        yield [Found("bearing_outside_diameter_mm", outer, *spans[1])]


def designation(text: str) -> tuple[str, int, int] | None:
    """The id of the bearing with the three sizes that a text in small letters tells."""
    told = _sizes(text)
    if told is None:
        return None
    name = _by_sizes().get(told[0])
    starts = [start for start, _ in told[1]]
    return (name, min(starts), max(end for _, end in told[1])) if name is not None else None


@lru_cache(maxsize=1)
def _by_sizes() -> dict[tuple[float, float, float], str]:
    return {
        (float(row["bore_mm"]), float(row["outside_diameter_mm"]), float(row["width_mm"])): str(row["id"])
        for row in reversed(list(tables.rows("bearings/boundary_dimensions")))
    }

"""Spelled numbers put in figures, with the way back to the rider's own words."""

from __future__ import annotations

import re
from bisect import bisect_right

from text_to_num import text2num

_UNITS = (
    "one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve|thirteen|fourteen|fifteen|sixteen|"
    "seventeen|eighteen|nineteen"
)
_TENS = "twenty|thirty|forty|fourty|fifty|sixty|seventy|eighty|ninety"
_WORD = rf"(?:{_UNITS}|{_TENS}|hundred|thousand)"
_RUN = re.compile(
    rf"\b(?:a\s+(?=hundred|thousand))?{_WORD}(?:(?:[\s-]+(?:and\s+(?!a\s))?){_WORD})*(?P<point>\s+point(?:\s+{_WORD})+)?(?P<half>\s+and\s+a\s+half)?\b",
    re.I,
)
_DIGITS_AND_HALF = re.compile(r"(?<![\w.,])(\d+)(?:\s+and\s+a\s+half\b|\s?½)", re.I)
_PARTS = {
    "half": 2,
    "halves": 2,
    "quarter": 4,
    "quarters": 4,
    "eighth": 8,
    "eighths": 8,
    "sixteenth": 16,
    "sixteenths": 16,
}
_FRACTION = re.compile(
    r"\b(?:(?P<many>an?|one|three|five|seven|nine)\s+)?(?P<part>half|quarters?|eighths?|sixteenths?)(?:\s+(?:of\s+)?an?)?"
    r"(?=\s+(?:inch|in\b|millimet|mm\b|mil\b|turn|bar\b|link|litre|liter|hour|per ?cent|percent|kilo|cent))",
    re.I,
)
_HALF_SIGN = re.compile(r"½|¼|¾|⅛|⅜|⅝|⅞")
_SIGNS = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}
_THOU = re.compile(r"\ba\s+(?=thou\b)", re.I)
# "one" and "two" are more often pronouns and articles than figures; they count before a unit or a part only.
_COUNTED = re.compile(
    r"[\s-]+(?:mm|cm|mil\b|millimet\w*|centimet\w*|inch\w*|bar|psi|kilo\w*|kg|stone|pounds?|lbs?|degrees?|newton|speeds?|by\s|"
    r"tooth|teeth|spokes?|links?|years?|months?|days?|kilomet\w*|miles?|litres?|ml|watts?|percent|per cent|%|turns?|crosses|cross|crossed|hundred)",
    re.I,
)
_NUMBER_WORDS = frozenset(f"{_UNITS}|{_TENS}|hundred|thousand".split("|"))
_FRACTION_WORDS = frozenset(_PARTS) | {"thou"}
_LETTERS = re.compile(r"[a-z]+")
_VALUES = {word: str(value) for value, word in enumerate(_UNITS.split("|"), start=1)}


class Figured:
    """A text with its spelled numbers in figures, and where each place stood in the original."""

    def __init__(self, original: str) -> None:
        self.original = original
        pieces: list[str] = []
        self._starts = [0]
        self._origins = [0]
        self._ends = [0]
        place = 0
        length = 0
        for start, end, figures in _replacements(original):
            pieces.append(original[place:start])
            length += start - place
            self._mark(length, start, end)
            pieces.append(figures)
            length += len(figures)
            self._mark(length, end, end)
            place = end
        pieces.append(original[place:])
        self.text = "".join(pieces)

    def _mark(self, at: int, origin: int, end: int) -> None:
        self._starts.append(at)
        self._origins.append(origin)
        self._ends.append(end)

    def back(self, start: int, end: int) -> tuple[int, int]:
        """The span of the original that a span of the figured text came from."""
        if len(self._starts) == 1:
            return start, end
        return self._back(start, last=False), self._back(end, last=True)

    def _back(self, at: int, *, last: bool) -> int:
        index = bisect_right(self._starts, at - 1 if last else at) - 1
        index = max(index, 0)
        inside = self._origins[index] != self._ends[index]
        if inside:
            return self._ends[index] if last else self._origins[index]
        return self._origins[index] + at - self._starts[index]


def _replacements(text: str) -> list[tuple[int, int, str]]:
    letters = set(_LETTERS.findall(text.lower()))
    found: list[tuple[int, int, str]] = []
    if letters & _FRACTION_WORDS:
        found += _fractions(text)
    if not letters.isdisjoint(_NUMBER_WORDS):
        found += _runs(text)
    found += [(m.start(), m.end(), _sign(text, m)) for m in _HALF_SIGN.finditer(text)]
    if not found:
        return found
    found.sort(key=lambda item: (item[0], -item[1]))
    kept: list[tuple[int, int, str]] = []
    for item in found:
        if not kept or item[0] >= kept[-1][1]:
            kept.append(item)
    return kept


def _fractions(text: str) -> list[tuple[int, int, str]]:
    found = [(m.start(), m.end(), f"{m[1]}.5") for m in _DIGITS_AND_HALF.finditer(text)]
    for m in _FRACTION.finditer(text):
        many = float(_VALUES.get((m["many"] or "a").lower(), "1"))
        found.append((m.start(), m.end(), f"{many / _PARTS[m['part'].lower()]:g}"))
    found += [(m.start(), m.end(), "1 ") for m in _THOU.finditer(text)]
    return found


def _runs(text: str) -> list[tuple[int, int, str]]:
    found = []
    for match in _RUN.finditer(text):
        words = match.group()
        if words.lower() in ("one", "two", "a hundred", "hundred", "thousand") and not _COUNTED.match(
            text, match.end()
        ):
            continue
        figures = _figures(match)
        if figures is not None:
            found.append((match.start(), match.end(), figures))
    return found


def _figures(match: re.Match[str]) -> str | None:
    whole = match.group()
    for part in ("half", "point"):
        if match[part]:
            whole = whole[: -len(match[part])] if part == "half" else whole.replace(match[part], "", 1)
    plain = re.sub(r"^a\s+", "one ", whole.lower()).replace("fourty", "forty")
    try:
        figures = str(text2num(plain, "en"))
    except ValueError:
        return None
    if match["point"]:
        figures += "." + "".join(_digit(word) for word in match["point"].lower().split()[1:])
    return f"{figures}.5" if match["half"] else figures


def _digit(word: str) -> str:
    return _VALUES.get(word) or str(text2num(word, "en"))


def _sign(text: str, match: re.Match[str]) -> str:
    sign = _SIGNS[match.group()]
    return f" {sign}" if match.start() and text[match.start() - 1].isdigit() else sign

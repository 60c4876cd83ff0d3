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
_RUN = re.compile(rf"\b(?:a\s+(?=hundred|thousand))?{_WORD}(?:(?:[\s-]+(?:and\s+)?){_WORD})*\b", re.I)
_HALF = re.compile(r"\b(?:and a half|½)", re.I)
_FRACTION = re.compile(
    r"\b(?:(half)(?:\s+(?:an?|of an?))?|(?:an?\s+|one\s+)?(quarter|eighth)(?:\s+(?:of\s+)?an?)?|(three quarters)(?:\s+of\s+an?)?)"
    r"(?=\s+(?:inch|in\b|millimet|mm\b|turn|bar\b|link|litre|liter|hour))",
    re.I,
)
# "one" and "two" are more often pronouns and articles than figures; they count before a unit or a part only.
_COUNTED = re.compile(
    r"[\s-]+(?:mm|cm|millimet\w*|centimet\w*|inch\w*|bar|psi|kilo\w*|kg|stone|pounds?|lbs?|degrees?|newton|speeds?|"
    r"tooth|teeth|spokes?|links?|years?|months?|kilomet\w*|miles?|litres?|ml|watts?|percent|per cent|%|turns?|crosses|cross|hundred)",
    re.I,
)
_FRACTION_VALUES = {"half": "0.5", "quarter": "0.25", "eighth": "0.125", "three quarters": "0.75"}


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
        return self._back(start, last=False), self._back(end, last=True)

    def _back(self, at: int, *, last: bool) -> int:
        index = bisect_right(self._starts, at - 1 if last else at) - 1
        index = max(index, 0)
        inside = self._origins[index] != self._ends[index]
        if inside:
            return self._ends[index] if last else self._origins[index]
        return self._origins[index] + at - self._starts[index]


def _replacements(text: str) -> list[tuple[int, int, str]]:
    found: list[tuple[int, int, str]] = []
    for match in _RUN.finditer(text):
        words = match.group()
        if words.lower() in ("one", "two", "a hundred", "hundred", "thousand") and not _COUNTED.match(
            text, match.end()
        ):
            continue
        figures = _figures(words)
        if figures is not None:
            found.append((match.start(), match.end(), figures))
    for match in _FRACTION.finditer(text):
        word = next(group for group in match.groups() if group).lower()
        found.append((match.start(), match.end(), _FRACTION_VALUES[word]))
    found.sort()
    return [item for index, item in enumerate(found) if not index or item[0] >= found[index - 1][1]]


def _figures(words: str) -> str | None:
    plain = re.sub(r"^a\s+", "one ", words.lower()).replace("fourty", "forty")
    try:
        return str(text2num(plain, "en"))
    except ValueError:
        return None

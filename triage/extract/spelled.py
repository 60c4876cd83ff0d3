"""Spelled numbers put in figures, with the way back to the rider's own words."""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Iterator, Sequence

from text_to_num import text2num

from triage.extract.passage import has_figures
from triage.extract.words import Words, in_small_letters, lowered

# All patterns are in small letters and held against lowered text: with re.IGNORECASE they take three times as long.
_UNITS = (
    "one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve|thirteen|fourteen|fifteen|sixteen|"
    "seventeen|eighteen|nineteen"
)
_TENS = "twenty|thirty|forty|fourty|fifty|sixty|seventy|eighty|ninety"
_DIGIT = "one|two|three|four|five|six|seven|eight|nine"
_BELOW_HUNDRED = rf"(?:(?:{_TENS})(?:[\s-]+(?:{_DIGIT})\b)?|(?:{_UNITS}))"
_HUNDREDS = rf"(?:(?:an?\s+|(?:{_UNITS})[\s-]+)?hundred(?:[\s-]+(?:and\s+)?{_BELOW_HUNDRED}\b)?)"
_WHOLE = (
    rf"(?:(?:(?:an?\s+|{_HUNDREDS}\s+|{_BELOW_HUNDRED}[\s-]+)?thousand(?:[\s-]+(?:and\s+)?(?:{_HUNDREDS}|{_BELOW_HUNDRED})\b)?)"
    rf"|{_HUNDREDS}|{_BELOW_HUNDRED})"
)
_PART_NAMES = "half|halves|quarters?|thirds?|eighths?|tenths?|sixteenths?|hundredths?"
# "thirty-five", "a hundred and two", "two point five", "three and a half", "two and three quarters".
_RUN = re.compile(
    rf"\b(?:{_WHOLE}\b|(?:zero|nought|naught|oh)(?=\s+point\b)|(?=point\s+(?:{_DIGIT}|zero|oh)\b))"
    rf"(?P<point>\s*\bpoint(?:\s+(?:{_WHOLE}|zero|nought|oh))+)?"
    rf"(?P<part>\s+and\s+(?P<many>an?|{_DIGIT})[\s-]+(?P<name>{_PART_NAMES}))?\b",
)
# Where such a run can begin: no other place needs to be tried.
_RUN_START = re.compile(
    rf"\b(?:an?(?=\s+(?:hundred|thousand)\b)|(?:{_UNITS}|{_TENS}|hundred|thousand|zero|nought|naught|oh|point)\b)"
)
# "one sixty" and "two-oh-three" are how rotors and cranks are spoken of.
_SPOKEN_HUNDREDS = re.compile(
    rf"\b(?P<hundreds>one|two)(?:[\s-]+(?P<tens>(?:{_TENS})(?:[\s-]+(?:{_DIGIT}))?)|[\s-]+oh[\s-]+(?P<digit>{_DIGIT}))\b(?!\s*-?\s*(?:year|minute|mile|people))",
)
_DIGITS_AND_HALF = re.compile(rf"(?<![\w.,])(\d+)(?:\s+and\s+(an?|{_DIGIT})[\s-]+({_PART_NAMES})\b|\s?½)")
_PARTS = {
    "half": 2,
    "halves": 2,
    "third": 3,
    "quarter": 4,
    "eighth": 8,
    "tenth": 10,
    "sixteenth": 16,
    "hundredth": 100,
}
_LENGTH = r"(?:millimet(?:re|er)s?|mil+s?\b|mm\b|centimet(?:re|er)s?|cm\b|inch(?:es)?|in\b|bars?\b|kilos?\b|turns?\b|links?\b)"
_FRACTION = re.compile(
    rf"\b(?:(?P<many>an?|{_DIGIT})[\s-]+)?(?P<part>{_PART_NAMES})(?:\s+(?:of\s+)?an?)?"
    r"(?=(?:\s+|-(?=inch))(?:mark|side|one|inch|in\b|millimet|mm\b|mil\b|turn|bar\b|link|litre|liter|hour|per ?cent|percent|kilo|kwh|cent))",
)
# "A centimetre and a half", "two inches and a quarter": the unit stands between.
_UNIT_AND_PART = re.compile(
    rf"\b(?P<whole>an?|{_UNITS}|\d+)\s+(?P<unit>{_LENGTH})\s+and\s+(?P<many>an?|{_DIGIT})\s+(?P<name>{_PART_NAMES})\b",
)
# In a workshop "two tenths" and "a tenth" without a unit are of a millimetre.
_TENTHS = re.compile(
    rf"\b(?P<many>an?|{_DIGIT}|\d)\s+(?P<name>tenths?|hundredths?)\b(?!\s+of\s+(?:an?\s+|the\s+)?(?!play|wear|wobble|movement|run|slop|clearance|lining|thread)\w)",
)
_A_UNIT = re.compile(
    r"(?<!per )(?<!of )(?<!half )(?<!quarter )\ban?(?=\s+(?:millimetre|millimeter|mm|centimetre|centimeter|inch)\b(?!-))",
)
# "1/2 an inch", "3/8 of an inch": the article stands between a figured part and its unit, and isn't a one.
_FIGURED_PART = re.compile(
    r"(?:(?<=\d/\d)|(?<=\d/\d\d)|(?<=\d[.,]\d)|(?<=[.,]\d\d)|(?<=[½¼¾⅛⅜⅝⅞]))\s+(?:of\s+)?an?\s+(?=(?:millimet|mm\b|centimet|cm\b|inch))"
)
# "Nought point three of a millimetre": the unit stands behind the article.
_OF_A_UNIT = re.compile(r"\s+of\s+an?\s+(?=(?:millimet|mm\b|mil\b|centimet|cm\b|inch|bar\b))")
_COUPLE = re.compile(rf"\ba\s+couple\s+of(?=\s+{_LENGTH})")
_SPACED_THOUSANDS = re.compile(
    r"(?<![\d.,])(\d{1,3})[ \u00a0\u202f](\d{3})(?=\s?(?:m|km|kms|met(?:re|er)s?|kilomet(?:re|er)s?|miles)\b)"
)
# "Replacing the 90 (I think) mm stem": a doubt in brackets between a figure and its unit. Must not catch "25 (front) mm".
_DOUBTED = re.compile(
    r"(?<=\d)\s?\((?:i|we|or|maybe|perhaps|probably|roughly|about|approx|not|if|ish|give)\b[^()\d]{0,24}\)\s?(?=(?:mm|cm|inch|in|bar|psi|kg|lbs?|nm|teeth)\b)",
    re.IGNORECASE,
)
_HALF_SIGN = re.compile(r"½|¼|¾|⅛|⅜|⅝|⅞")
_SIGNS = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}
_THOU = re.compile(r"\ba\s+(?=thou\b)")
# "one" and "two" are more often pronouns and articles than figures; they count before a unit or a part only.
_COUNTED = re.compile(
    r"[\s-]+(?:mm|cm|mil\b|millimet\w*|centimet\w*|inch\w*|bar|psi|kilo\w*|kg|stone|pounds?|lbs?|degrees?|newton|speeds?|by\s|"
    r"tooth|teeth|spokes?|links?|years?|weeks?\b|minutes?\b|seconds\b|second(?=[.,;?!]|$)|months?|days?|kilomet\w*|miles?|litres?|ml|watts?|percent|per cent|%|turns?|crosses|cross|crossed|hundred)",
)
# "A good two", "nearly two": a measure goes on from the unit before.
_MEASURED_OUT = re.compile(r"\b(?:a good|about|around|roughly|nearly|almost|barely|only|than|by)\s$")
_CLOSING = re.compile(r"\s*(?:[,.;?!]|$)")
_NUMBER_WORDS = frozenset(f"{_UNITS}|{_TENS}|hundred|thousand|point".split("|"))
_FRACTION_WORDS = frozenset(_PARTS) | frozenset(f"{part}s" for part in _PARTS) | {"thou", "couple"}
_LENGTH_WORDS = frozenset({"millimetre", "millimeter", "mm", "centimetre", "centimeter", "inch"})
_SPELLED_WORDS = _NUMBER_WORDS | _FRACTION_WORDS | _LENGTH_WORDS
_DIGIT_WORDS = re.compile(r"(?:twenty|thirty|forty|fifty|sixty|seventy|eighty|ninety)[\s-]+[a-z]+|[a-z]+")
_ZEROS = frozenset({"", "zero", "nought", "naught", "oh"})
_VALUES = {word: str(value) for value, word in enumerate(_UNITS.split("|"), start=1)}


class Figured:
    """A text with its spelled numbers in figures, and where each place stood in the original.

    `low` is the figured text in small letters, `words` are its words.
    """

    def __init__(self, original: str) -> None:
        self.original = original
        self.low = lowered(original)
        self.words = Words(self.low)
        pieces: list[str] = []
        self._starts = [0]
        self._origins = [0]
        self._ends = [0]
        place = 0
        length = 0
        for start, end, figures in _replacements(original, self.words.texts):
            pieces.append(original[place:start])
            length += start - place
            self._mark(length, start, end)
            pieces.append(figures)
            length += len(figures)
            self._mark(length, end, end)
            place = end
        if not pieces:
            self.text = original
            return
        pieces.append(original[place:])
        self.text = "".join(pieces)
        self.low = lowered(self.text)
        self.words = Words(self.low)

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


def _replacements(text: str, words: Sequence[str]) -> list[tuple[int, int, str]]:
    found: list[tuple[int, int, str]] = []
    if not _SPELLED_WORDS.isdisjoint(words):
        low = in_small_letters(text)
        if not _FRACTION_WORDS.isdisjoint(words):
            found += _fractions(low, text)
        if not _LENGTH_WORDS.isdisjoint(words):
            found += [(m.start(), m.end(), "1") for m in _A_UNIT.finditer(low)]
            found += [(m.start(), m.end(), " ") for m in _FIGURED_PART.finditer(low)]
        if not _NUMBER_WORDS.isdisjoint(words):
            found += _runs(low)
    if not text.isascii():
        found += [(m.start(), m.end(), _sign(text, m)) for m in _HALF_SIGN.finditer(text)]
    if has_figures(text):
        found += [(m.start(), m.end(), m[1] + m[2]) for m in _SPACED_THOUSANDS.finditer(text)]
        if "(" in text:
            found += [(m.start(), m.end(), " ") for m in _DOUBTED.finditer(text)]
    if not found:
        return found
    found.sort(key=lambda item: (item[0], -item[1]))
    kept: list[tuple[int, int, str]] = []
    for item in found:
        if not kept or item[0] >= kept[-1][1]:
            kept.append(item)
    return kept


def _fractions(text: str, cased: str) -> list[tuple[int, int, str]]:
    found = []
    for m in _DIGITS_AND_HALF.finditer(text):
        part = _share(m[2], m[3]) if m[3] else 0.5
        found.append((m.start(), m.end(), f"{float(m[1]) + part:g}"))
    for m in _UNIT_AND_PART.finditer(text):
        whole = 1.0 if m["whole"][0] == "a" else float(_digit(m["whole"]))
        unit = cased[m.start("unit") : m.end("unit")]
        found.append((m.start(), m.end(), f"{whole + _share(m['many'], m['name']):g} {unit}"))
    for m in _FRACTION.finditer(text):
        found.append((m.start(), m.end(), f"{_share(m['many'] or 'a', m['part']):g}"))
    found += [(m.start(), m.end(), f"{_share(m['many'], m['name']):g} mm") for m in _TENTHS.finditer(text)]
    found += [(m.start(), m.end(), "1 ") for m in _THOU.finditer(text)]
    found += [(m.start(), m.end(), "2") for m in _COUPLE.finditer(text)]
    return found


def _share(many: str, name: str) -> float:
    """What "three quarters" or "a tenth" is of one."""
    return float(_VALUES.get(many, many if many.isdigit() else "1")) / _PARTS.get(
        name, _PARTS.get(name.removesuffix("s"), 1)
    )


def _runs(text: str) -> list[tuple[int, int, str]]:
    found = []
    for match in _SPOKEN_HUNDREDS.finditer(text):
        rest = (
            int(text2num(match["tens"].replace("fourty", "forty"), "en"))
            if match["tens"]
            else int(_digit(match["digit"]))
        )
        found.append((match.start(), match.end(), str(int(_digit(match["hundreds"])) * 100 + rest)))
    for match in _number_runs(text):
        words = match.group()
        if words in ("one", "two", "a hundred", "hundred", "thousand") and not (
            _COUNTED.match(text, match.end()) or (words == "two" and _goes_on(text, match))
        ):
            continue
        figures = _figures(match)
        of_a_unit = _OF_A_UNIT.match(text, match.end()) if match["point"] else None
        if figures is not None and of_a_unit is not None:
            found.append((match.start(), of_a_unit.end(), f"{figures} "))
        elif figures is not None:
            found.append((match.start(), match.end(), figures))
    return found


def _number_runs(text: str) -> Iterator[re.Match[str]]:
    """What the pattern of a run finds, one after the other."""
    end = 0
    for beginning in _RUN_START.finditer(text):
        match = _RUN.match(text, beginning.start()) if beginning.start() >= end else None
        if match is not None:
            yield match
            end = match.end()


def _goes_on(text: str, match: re.Match[str]) -> bool:
    before = text[max(0, match.start() - 10) : match.start()]
    return _MEASURED_OUT.search(before) is not None and _CLOSING.match(text, match.end()) is not None


def _figures(match: re.Match[str]) -> str | None:
    whole = match.group()
    if match["part"]:
        whole = whole[: -len(match["part"])]
    if match["point"]:
        whole = whole.replace(match["point"], "", 1)
    plain = re.sub(r"^an?\s+", "one ", whole.strip()).replace("fourty", "forty")
    try:
        figures = "0" if plain in _ZEROS else str(text2num(plain, "en"))
    except ValueError:
        return None
    if match["point"]:
        figures += "." + "".join(
            "0" if word in _ZEROS else _digit(word) for word in _DIGIT_WORDS.findall(match["point"])[1:]
        )
    return f"{float(figures) + _share(match['many'], match['name']):g}" if match["part"] else figures


def _digit(word: str) -> str:
    return (
        word if word.isdigit() else _VALUES.get(word) or str(text2num(word.replace("fourty", "forty"), "en"))
    )


def _sign(text: str, match: re.Match[str]) -> str:
    sign = _SIGNS[match.group()]
    return f" {sign}" if match.start() and text[match.start() - 1].isdigit() else sign

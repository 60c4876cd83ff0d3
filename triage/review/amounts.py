"""Numbers with their units in a text, in figures or in words, each with the words around it."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cache, lru_cache

from text_to_num import text2num

from knowledge.numbers import NEARLY_SHARE, for_the_eye
from knowledge.units import UNITS

WORDS = re.compile(r"[^\W_]+(?:[.'][^\W_]+)*|[%°<>≤≥±=+?#]")


@dataclass(frozen=True, slots=True)
class Figure:
    """A number with its unit as a text gives it, and the words around it; a bare number has the unit ""."""

    value: float
    unit: str
    written: str
    before: tuple[str, ...]
    after: tuple[str, ...]

    @property
    def amount(self) -> tuple[float, str]:
        """What is counted."""
        return self.value, self.unit

    @property
    def plain(self) -> str:
        """The number and unit in figures."""
        return for_the_eye(self.value, self.unit, 9)


_ONES = (
    "one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve|thirteen|fourteen|fifteen|sixteen|seventeen|"
    "eighteen|nineteen"
)
_TENS = "twenty|thirty|forty|fifty|sixty|seventy|eighty|ninety"
_TO_99 = rf"(?:(?:{_TENS})(?:[ -](?:one|two|three|four|five|six|seven|eight|nine)\b)?|(?:{_ONES}))"
_TO_999 = rf"(?:(?:{_ONES}|a) hundred(?: (?:and )?{_TO_99}\b)?|{_TO_99})"
_BEHIND_POINT = rf"{_TO_99}|zero|nought|oh"
_WHOLE = rf"(?:(?:{_TO_999}|a) thousand(?: (?:and )?{_TO_999}\b)?|{_TO_999}|zero|nought)"
_SHARES = {
    "half": 2, "third": 3, "quarter": 4, "fifth": 5, "eighth": 8, "tenth": 10, "sixteenth": 16, "thirty-second": 32,
    "sixty-fourth": 64, "hundredth": 100,
}  # fmt: skip
_SHARE = "|".join(sorted(_SHARES, key=len, reverse=True))
# "Third, turn it" is no third of a turn.
_MANY = (
    rf"(?:(?P<many>an?|{_ONES})[ -](?P<share>{_SHARE})s?|(?P<one_share>half|quarter))(?: of)?(?: an?| the)?"
)
_NUMBER = re.compile(
    rf"(?P<fraction>(?<![\w.,])(?:(?P<whole>\d+)[ -])?(?P<over>\d+)/(?P<under>2|3|4|8|16|32|64|128)(?![\d/]))"
    rf"|(?P<figures>(?<![\w.,])(?:(?<![\w)\]”])[-−])?\d+(?:[.,]\d+)*(?:[ ]?[½¼¾])?)"
    rf"|(?P<part>\b(?=[aefhnoqst]){_MANY}(?= ))"
    rf"|(?P<spoken>\b(?=[aefmnostz])(?:minus )?{_WHOLE}\b(?: point(?: (?:{_BEHIND_POINT})\b)+)?"
    rf"(?: and (?P<and_many>an?|{_ONES})[ -](?P<and_share>{_SHARE})s?\b)?)",
    re.IGNORECASE,
)
# Most sentences have no number; these tell so at a glance.
_NUMBER_WORD = re.compile(
    rf"\d|[½¼¾]|\b(?:{_ONES}|{_TENS}|hundred|thousand|zero|nought|(?:{_SHARE})s?)\b", re.IGNORECASE
)
_SIGNS = {"½": 0.5, "¼": 0.25, "¾": 0.75}
# What the trade writes beside the symbols and spoken words of the knowledge base.
_ALSO = {
    "bar": "bar|bars", "psi": "psi|p s i|pounds per square inch", "N·m": "Nm|N m|N.m|newton-metres|newton-metre",
    "in": "inch|inches|″|\"", "kg": "kilograms|kilogram|kilogrammes|kilo|kgs", "g": "grammes|gramme",
    "lb": "lb|lbs|pounds|pound", "°C": "degrees C|degree C|celsius|centigrade", "°F": "°F|degrees Fahrenheit|degrees F",
    "%": "percent|pct", "teeth": "T|t|toothed", "h": "hours|hour|hrs|hr", "min": "minutes|minute|mins",
    "s": "seconds|second|secs|sec", "weeks": "weeks|week", "km/h": "kph|kmh|kilometres per hour|kilometers per hour",
    "mph": "mph|miles an hour|mile an hour|miles per hour", "miles": "miles|mile", "kPa/day": "bar a day",
    "Wh": "Wh|watt-hours|watt hours|watt-hour", "V": "V|volts|volt", "rpm": "turns per minute", "mm²/s": "cSt",
    "µm": "um|microns|micron", "K": "kelvin", "turns": "turns|turn",
}  # fmt: skip
# A draft says a difference of temperature in degrees.
_SAME_UNIT = {"K": "°"}
_NO_UNITS = frozenset({"in your money", "money per 1,000 km", "million revolutions"})
# "Four in two days" are no inches.
_IN_AS_WORD = (
    r"(?! (?:an?|the|my|your|his|her|our|their|its|this|that|these|those|each|every|all|any|one|two|three|four|five|six|"
    r"seven|eight|nine|ten|about|total|front|between|place|case|winter|summer|order|turn|doubt|\d))"
)
_JOINT = re.compile(r" ?(?:–|-|/|x|×|,|,? (?:to|and|or|by)) ?", re.IGNORECASE)
AROUND = 2
"""So many words on either side tell which figure of one text is which of the other."""


@cache
def _unit_names() -> dict[str, str]:
    """What may stand behind a number, in small letters but for symbols, with the unit that it means."""
    names: dict[str, str] = {}
    for unit in UNITS.values():
        if unit.symbol and unit.symbol not in _NO_UNITS:
            for written in (unit.symbol, unit.spoken, unit.spoken_one):
                names.setdefault(written, unit.symbol)
    for unit_symbol, written_ones in _ALSO.items():
        for written in written_ones.split("|"):
            names.setdefault(written, unit_symbol)
    for written, unit_symbol in list(names.items()):
        names.setdefault(written.replace("metre", "meter"), unit_symbol)
        names.setdefault(written.replace("litre", "liter"), unit_symbol)
    return {written: _SAME_UNIT.get(unit, unit) for written, unit in names.items()}


@cache
def _unit_pattern() -> re.Pattern[str]:
    forms = []
    for written in sorted(_unit_names(), key=len, reverse=True):
        form = re.escape(written)
        if written == "in":
            form += _IN_AS_WORD
        elif written == "s":
            form = rf"(?<= ){form}"  # "40s" are forties
        elif len(written) > 1 and "MPa" not in written:
            form = f"(?i:{form})"
        forms.append(form)
    return re.compile(rf"(?P<gap>[ -]?)(?P<unit>{'|'.join(forms)})(?![\w²³⁴])")


def _unit_named(written: str) -> str:
    names = _unit_names()
    return names.get(written) or next(unit for name, unit in names.items() if name.lower() == written.lower())


@dataclass(frozen=True, slots=True)
class _Found:
    """A number at its place in a sentence; the unit is None where none stands behind it.

    `is_number` says whether it is one without a unit too.
    """

    start: int
    end: int
    value: float
    unit: str | None
    is_number: bool


def figures_of(text: str) -> tuple[tuple[Figure, ...], tuple[str, ...]]:
    """The figures of a sentence, and its words with a "#" for each."""
    found = _found_in(text) if _NUMBER_WORD.search(text) else ()
    shape: list[str] = []
    marks: list[int] = []
    place = 0
    for one in found:
        shape += WORDS.findall(text[place : one.start].lower())
        marks.append(len(shape))
        shape.append("#")
        place = one.end
    shape += WORDS.findall(text[place:].lower())
    figures = tuple(
        Figure(
            one.value,
            one.unit or "",
            text[one.start : one.end],
            tuple(shape[max(0, mark - AROUND) : mark]),
            tuple(shape[mark + 1 : mark + 1 + AROUND]),
        )
        for one, mark in zip(found, marks, strict=True)
    )
    return figures, tuple(shape)


def _found_in(text: str) -> Sequence[_Found]:
    found = []
    for match in _NUMBER.finditer(text):
        value = _value(match)
        if value is None:
            continue
        unit = _unit_pattern().match(text, match.end())
        end = match.end() if unit is None else unit.end()
        name = None if unit is None else _unit_named(unit["unit"])
        found.append(_Found(match.start(), end, value, name, _is_number(match)))
    return [one for one in _with_shared_units(text, found) if one.unit is not None or one.is_number]


def _with_shared_units(text: str, found: Sequence[_Found]) -> Sequence[_Found]:
    """ "19 to 25 mm" are two lengths: a number takes the unit of the next one where only a joint stands between."""
    given: list[_Found] = []
    for one in reversed(found):
        if (
            one.unit is None
            and given
            and given[-1].unit is not None
            and _JOINT.fullmatch(text[one.end : given[-1].start])
        ):
            one = replace(one, unit=given[-1].unit)
        given.append(one)
    return given[::-1]


def _is_number(match: re.Match[str]) -> bool:
    """Not so "one of them", a code such as 2RS, and a share of nothing measured."""
    after = match.string[match.end() : match.end() + 1]
    return match["part"] is None and match.group().lower() != "one" and not after.isalpha()


def _value(match: re.Match[str]) -> float | None:
    """The number, rounded to what a text can state; None for what is none."""
    try:
        value = _worked_value(match)
    except ValueError:
        return None
    return round(value, 9)


def _worked_value(match: re.Match[str]) -> float:
    if match["fraction"]:
        return float(match["whole"] or 0) + float(match["over"]) / float(match["under"])
    if match["figures"]:
        return _in_figures(match["figures"])
    if match["part"]:
        return _of_many(match["many"]) / _SHARES[(match["share"] or match["one_share"]).lower()]
    return _in_words(match)


def _in_figures(text: str) -> float:
    extra = _SIGNS.get(text[-1], 0.0)
    plain = text.rstrip("½¼¾ ").replace("−", "-")
    value = float(re.sub(r",(?=\d{3})", "", plain))
    return value + extra


def _in_words(match: re.Match[str]) -> float:
    spoken = match["spoken"].lower()
    rest = 0.0
    if match["and_share"]:
        spoken = spoken[: spoken.rindex(" and ")]
        rest = _of_many(match["and_many"]) / _SHARES[match["and_share"].lower()]
    sign = -1.0 if spoken.startswith("minus ") else 1.0
    whole, _, digits = spoken.removeprefix("minus ").partition(" point ")
    value = _spoken_whole(whole)
    if digits:
        said = re.findall(rf"\b(?:{_BEHIND_POINT})\b", digits)
        value = float(f"{value:.0f}.{''.join(f'{_spoken_whole(one):.0f}' for one in said)}")
    return sign * (value + rest)


def _of_many(many: str | None) -> float:
    return 1.0 if many is None or many.lower() in ("a", "an") else _spoken_whole(many.lower())


@lru_cache(maxsize=4096)
def _spoken_whole(words: str) -> float:
    if words in ("zero", "nought", "oh"):
        return 0.0
    return float(text2num(re.sub(r"^a ", "one ", words), "en"))


IN_BASE = {
    "mm": ("mm", 1.0), "cm": ("mm", 10.0), "m": ("mm", 1000.0), "km": ("mm", 1e6), "in": ("mm", 25.4), "µm": ("mm", 1e-3),
    "kPa": ("kPa", 1.0), "bar": ("kPa", 100.0), "psi": ("kPa", 6.894757), "MPa": ("kPa", 1000.0),
    "kg": ("kg", 1.0), "g": ("kg", 1e-3), "lb": ("kg", 0.45359237), "mph": ("km/h", 1.609344),
    "min": ("s", 60.0), "h": ("s", 3600.0), "N": ("N", 1.0), "kN": ("N", 1000.0),
}  # fmt: skip
"""Units that mean the same, with the factor to their common one; any other unit stands for itself."""


def in_base(value: float, unit: str) -> tuple[float, str]:
    base, factor = IN_BASE.get(unit, (_SAME_UNIT.get(unit, unit), 1.0))
    return value * factor, base


def _place(value: float) -> tuple[float, int]:
    """The worth of the last digit that a number is written with, and how many digits count."""
    digits = f"{abs(value):.9f}".rstrip("0").rstrip(".")
    whole, _, rest = digits.partition(".")
    if rest:
        return 10.0 ** -len(rest), len((whole + rest).lstrip("0"))
    bare = whole.rstrip("0")
    return 10.0 ** (len(whole) - len(bare)), len(bare)


def is_rounded(value: float, raw: float) -> bool:
    """Whether a number is another one rounded: 3.9 of 3.9057, but not 5 of 5.4."""
    worth, digits = _place(value)
    off = abs(value - raw)
    return off <= worth * 0.5001 and (digits >= 2 or off <= NEARLY_SHARE * abs(value) + 1e-9)

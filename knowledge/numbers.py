"""Numbers as they are read and as they are said: rounding to what they mean, units, words."""

from __future__ import annotations

import math
import re
from functools import lru_cache
from typing import Any

from num2words import num2words

from knowledge.units import UNITS

PSI_PER_KPA = 0.1450377377
"""From the definitions of the pound-force, the inch and the pascal."""


def significant(value: float, digits: int = 3) -> float:
    """The value rounded to so many significant digits; counts of a thousand and more keep their units.

    >>> significant(3.9057), significant(123456.0), significant(0.0123456)
    (3.91, 123456.0, 0.0123)
    """
    if value == 0 or not math.isfinite(value):
        return value
    places = digits - 1 - math.floor(math.log10(abs(value)))
    return round(value, max(places, 0))


MOST_DIGITS = 3


def digits_for(value: float, width: float) -> int:
    """Significant digits that a value deserves which may lie anywhere in a stretch of that width.

    >>> digits_for(3.91, 0.2), digits_for(532.0, 40.0), digits_for(62.3, 0.0), digits_for(2.0, 16.0)
    (2, 2, 3, 1)
    """
    if width <= 0 or value == 0 or not math.isfinite(value) or not math.isfinite(width):
        return MOST_DIGITS
    digits = math.floor(math.log10(abs(value))) - math.floor(math.log10(width)) + 1
    return min(max(digits, 1), MOST_DIGITS)


@lru_cache(maxsize=16_384)
def plain(value: float, digits: int = 3) -> str:
    """The value in figures, rounded, without a trailing point, a thin comma in thousands.

    >>> plain(3.9), plain(1200.0), plain(-0.04), plain(19.0)
    ('3.9', '1,200', '−0.04', '19')
    """
    rounded = significant(value, digits)
    if not math.isfinite(rounded):
        return "out of range"
    if abs(rounded) < 1e-3 and rounded != 0:
        mantissa, exponent = f"{rounded:.2e}".split("e")
        power = str(int(exponent)).translate(str.maketrans("-0123456789", "⁻⁰¹²³⁴⁵⁶⁷⁸⁹"))
        return f"{float(mantissa):g} × 10{power}".replace("-", "−")
    text = f"{rounded:,.10f}".rstrip("0").rstrip(".")
    return ("0" if text in ("-0", "") else text).replace("-", "−")


def for_the_eye(value: Any, unit: str, digits: int = 3) -> str:
    """A number with its unit as a reader wants it.

    >>> for_the_eye(3.9057, "mm"), for_the_eye(5.0, "%"), for_the_eye(500.0, "kPa")
    ('3.91 mm', '5 %', '500 kPa')
    """
    if isinstance(value, str):
        return value
    number = plain(float(value), digits)
    if unit == "°":
        return f"{number}°"
    if unit == "teeth" and number == "1":
        return "1 tooth"
    return f"{number} {unit}" if unit else number


INPUT_DIGITS = 5
"""Digits of a number that is put into a formula: 42.05 mm must not read as 42.1 mm."""


def as_input(value: Any, unit: str) -> str:
    """A number put into a working, with the digits that it was stated with.

    >>> as_input(42.05, "mm"), as_input(620.5281, "kPa"), as_input(28.0, "mm")
    ('42.05 mm', '620.53 kPa', '28 mm')
    """
    return for_the_eye(value, unit, INPUT_DIGITS)


def for_the_eye_range(low: float, high: float, unit: str, digits: int = 3) -> str:
    """A range with its unit said once.

    >>> for_the_eye_range(19, 25, "mm"), for_the_eye_range(-0.2, 0.1, "mm")
    ('19 to 25 mm', '−0.2 to 0.1 mm')
    """
    return f"{plain(low, digits)} to {for_the_eye(high, unit, digits)}"


def for_the_mail(value: Any, unit: str, digits: int = 3) -> str:
    """The same with pressures in the units that riders have on their pumps.

    >>> for_the_mail(500.0, "kPa")
    '5 bar (73 psi)'
    """
    if unit == "kPa/day" and not isinstance(value, str):
        return f"{plain(float(value) / 100, 2)} bar a day"
    if unit == "kPa" and not isinstance(value, str):
        return f"{_bar(float(value))} bar ({_psi(float(value))} psi)"
    return for_the_eye(value, unit, digits)


def for_the_mail_range(low: float, high: float, unit: str, digits: int = 3) -> str:
    """A range as riders read it, pressures in bar and psi.

    >>> for_the_mail_range(400, 500, "kPa")
    '4 to 5 bar (58 to 73 psi)'
    """
    if unit == "kPa/day":
        return f"{plain(low / 100, 2)} to {plain(high / 100, 2)} bar a day"
    if unit != "kPa":
        return for_the_eye_range(low, high, unit, digits)
    return f"{_bar(low)} to {_bar(high)} bar ({_psi(low)} to {_psi(high)} psi)"


_SOFT_KPA, _HARD_KPA = 200.0, 1000.0
"""Below the first a tenth of a bar is too coarse, since fat tyres are set to a few hundredths; from the second, a whole bar is."""


def _bar(kpa: float) -> str:
    return plain(kpa / 100, 2 if _SOFT_KPA <= abs(kpa) < _HARD_KPA else 3)


def _psi(kpa: float) -> str:
    return plain(kpa * PSI_PER_KPA, 2 if abs(kpa) >= _SOFT_KPA else 3)


EXACT_UNITS = ("kPa", "N·m", "°C", "teeth", "links", "spokes", "speeds")
"""Counts, and what may hurt when it is rounded up, are said as they are."""
NEARLY_SHARE = 0.03
"""How near a whole number, as a share of it, a figure must be to be said as a hair under or over it."""


def said_roughly(value: float, unit: str, digits: int) -> str:
    """A worked-out number as one says it across a workbench, in figures that `for_the_ear` puts in words.

    >>> said_roughly(3.91, "mm", 3), said_roughly(67.3, "mm", 3), said_roughly(0.04, "mm", 3), said_roughly(39, "teeth", 3)
    ('a hair under 4 mm', 'about 67 mm', '0.04 mm', '39 teeth')
    """
    if unit in EXACT_UNITS or unit.startswith("kPa") or not math.isfinite(value) or value == int(value):
        return for_the_mail(value, unit, digits)
    size, whole = abs(value), round(abs(value))
    # "A hair under minus four" would leave a listener to work out on which side of it that is.
    if value > 0 and whole >= 2 and size < 20 and abs(size - whole) <= NEARLY_SHARE * size:
        side = "under" if size < whole else "over"
        return f"a hair {side} {for_the_mail(float(whole), unit)}"
    rough = for_the_mail(round(value) if size >= 20 else value, unit, min(digits, 2) if size < 20 else digits)
    exact = for_the_mail(value, unit, digits)
    return rough if rough == exact else f"about {rough}"


MOST_SPOKEN_FIGURES = 15
"""A longer number nobody means: it stays as it is written. [figures]"""


@lru_cache(maxsize=8192)
def _words(number: str) -> str:
    if len(number) > MOST_SPOKEN_FIGURES:
        return number
    # The library joins hundreds with "and" and puts hyphens as British speech does.
    return str(num2words(float(number) if "." in number else int(number), lang="en_GB")).replace(",", "")


def _said(number: str) -> str:
    sign, figures = ("minus ", number[1:]) if number[:1] in "-−" else ("", number)
    return sign + _words(figures.replace(",", ""))


_UNIT_WORDS: dict[str, tuple[str, str]] = {
    **{unit.symbol: (unit.spoken, unit.spoken_one) for unit in UNITS.values() if unit.symbol},
    "bar": ("bar", "bar"),
    "psi": ("P S I", "P S I"),
    "lb": ("pounds", "pound"),
    "mph": ("miles an hour", "mile an hour"),
    "Nm": ("newton metres", "newton metre"),
    "N m": ("newton metres", "newton metre"),
    "cSt": ("centistokes", "centistoke"),
    '"': ("inches", "inch"),
    "″": ("inches", "inch"),
    "°F": ("degrees Fahrenheit", "degree Fahrenheit"),
}
_NUMBER = r"[-−]?\d(?:[\d,]*\d)?(?:\.\d+)?"
_SYMBOLS = "|".join(re.escape(symbol) for symbol in sorted(_UNIT_WORDS, key=len, reverse=True))
_QUANTITY = re.compile(
    rf"(?<![\w.])(?P<low>{_NUMBER})(?:(?P<joint>\s*(?:–|-|/|x|×| to | and | or )\s*)(?P<high>\d(?:[\d,]*\d)?(?:\.\d+)?))?"
    rf"(?P<unit>\s?(?:{_SYMBOLS})(?![\w²³]))?(?![\w])"
)
_DIGIT = re.compile(r"\d")
# What goes on behind a bracket needs a comma there too.
_BRACKETED = re.compile(r" \((?P<aside>[^()]*)\)(?P<on>(?= \w))?")
_CODE = re.compile(r"[1-9]\d[0-9]\d")
_OIL_GRADE = re.compile(r"\b(\d{1,2})W(?:-?(\d{2,3})\b|(?= (?:gear|engine|oil|motor)))")
# A number put in words may begin a sentence; a line begins one too.
_SENTENCE_START = re.compile(r"(?:(?<=[.!?] )|(?<=[.!?]” )|(?<=: “))[a-z](?=[a-z]+[- ])")
# Things that a quantity may stand before: "a 32 mm tyre", never "of 34 teeth up".
_THING = re.compile(
    r"[ -](?:(?:steel|alloy|aluminium|carbon|gravel|road|front|rear|inner|outer|new|old|wide|solid|hollow|square|big|small)\s)?"
    r"(?:tyres?|tires?|rims?|hubs?|axles?|spindles?|rotors?|discs?|rings?|chainrings?|sprockets?|cogs?|cassettes?|bearings?|"
    r"shells?|spacers?|posts?|seatposts?|bars?|stems?|bolts?|nuts?|threads?|spokes?|nipples?|wheels?|forks?|cranks?|arms?|"
    r"hoses?|housings?|cables?|drops?|gaps?|steps?|cuts?|sleeves?|pads?|chains?|keys?|holes?|mounts?|inserts?|adapters?|"
    r"cartridges?|frames?|dropouts?|brakes?|tubes?|steerers?|shims?|washers?|pedals?|riders?|bores?|cups?|"
    r"spanners?|hex|allowance|limit|ceiling|mark|stack|pitch|chainstays?|inseam|descents?|climbs?|hill|ride|loop|bend|"
    r"driver|rule|ruler|spanner|screwdriver|body|bodies|valves?|bottles?|pulleys?|travel|clearance|offset|drill|tap|mechs?|derailleurs?|shifters?|levers?)\b"
)
_IN_AS_WORD = re.compile(
    r"\s(?:an?|the|my|your|his|her|our|their|its|this|that|these|those|each|every|one|two|three|four|five|six|seven|eight|"
    r"nine|ten|about|total|all|front|winter|summer|[a-z]+ (?:hours?|days?|weeks?|months?|years?)|\d)\b",
    re.IGNORECASE,
)
_JOINTS = {"-": " to ", "–": " to ", "/": " ", "x": " by ", "×": " by "}
_FRACTIONS = {
    ("1", "2"): "a half", ("1", "4"): "a quarter", ("3", "4"): "three quarters", ("1", "8"): "an eighth",
    ("3", "8"): "three eighths", ("5", "8"): "five eighths", ("1", "16"): "a sixteenth",
    ("9", "16"): "nine sixteenths", ("3", "32"): "three thirty-seconds", ("11", "128"): "eleven over one twenty-eight",
    ("5", "32"): "five thirty-seconds",
}  # fmt: skip


def for_the_ear(text: str) -> str:
    """A text with its numbers and units put as a presenter says them.

    >>> for_the_ear("The pulley moves 3.91 mm a click, 0.04 mm short.")
    'The pulley moves three point nine one millimetres a click, zero point zero four millimetres short.'
    >>> for_the_ear("Between 19 to 25 mm, at 5 bar (73 psi).")
    'Between nineteen to twenty-five millimetres, at five bar, seventy-three P S I.'
    >>> for_the_ear("This holds whatever the ring (34 to 53 teeth) may be.")
    'This holds whatever the ring, thirty-four to fifty-three teeth, may be.'
    >>> for_the_ear("A 9/16 in thread and a 28-622 tyre, 50 %, 1 tooth")
    'A nine sixteenths inch thread and a twenty-eight six hundred and twenty-two tyre, fifty per cent, one tooth'
    """
    spoken = text
    if _DIGIT.search(text):
        spoken = _BRACKETED.sub(_as_an_aside, spoken)
        spoken = _OIL_GRADE.sub(lambda m: f"{_said(m[1])} W{' ' + _said(m[2]) if m[2] else ''}", spoken)
        spoken = _QUANTITY.sub(_spoken, spoken)
    spoken = _SENTENCE_START.sub(lambda m: m.group().upper(), spoken)
    spoken = spoken.replace("×", "times").replace("≈", "about ").replace("·", " ").replace("→", "to")
    return " ".join(spoken.split())


def _as_an_aside(bracketed: re.Match[str]) -> str:
    """A bracket with a figure as one says it, between commas; any other as it stands."""
    if not _DIGIT.search(bracketed["aside"]):
        return bracketed.group()
    return f", {bracketed['aside']}{',' if bracketed['on'] is not None else ''}"


def _spoken(match: re.Match[str]) -> str:
    low, joint, high, unit = match["low"], (match["joint"] or "").strip(), match["high"], match["unit"]
    if high is None and unit is None and _CODE.fullmatch(low):
        return _in_pairs(low)
    said = _joined(low, joint, high)
    if unit is not None and _is_no_unit(match):
        return _plural(said) if unit == "s" else f"{said}{unit}"
    if unit is None:
        return said
    many, one = _UNIT_WORDS[unit.strip()]
    is_fraction = joint == "/" and (low, high) in _FRACTIONS
    if (high is None and low.strip("−-") == "1") or is_fraction or _describes(match):
        many = one
    return f"{said} {many}"


def _plural(said: str) -> str:
    """ "forty" as "forties", "twenty-eight" as "twenty-eights"."""
    return f"{said[:-1]}ies" if said.endswith("y") else f"{said}{'es' if said.endswith('x') else 's'}"


def _is_no_unit(match: re.Match[str]) -> bool:
    """ "40s" are forties and no seconds, "4 in two days" no inches: letters that are words as well."""
    unit, after = match["unit"], match.string[match.end() :]
    if unit == "s":
        return True
    return unit.strip() == "in" and _IN_AS_WORD.match(after) is not None


def _in_pairs(code: str) -> str:
    """Four figures without a comma or a unit are a year or a code: nineteen eighty-six, sixty-eight oh six."""
    first, last = _words(code[:2]), code[2:]
    if last == "00":
        return f"{first} hundred"
    return f"{first} oh {_words(last[1])}" if last[0] == "0" else f"{first} {_words(last)}"


def _describes(match: re.Match[str]) -> bool:
    """Whether the quantity stands before the thing it measures: a thirty-two millimetre tyre."""
    return _THING.match(match.string, match.end()) is not None


def _joined(low: str, joint: str, high: str | None) -> str:
    if high is None:
        return _said(low)
    if joint == "/" and (low, high) in _FRACTIONS:
        return _FRACTIONS[low, high]
    if (
        joint in "-–"
        and len(high) == 3
        and float(high.replace(",", "")) > 100
        and float(low.replace(",", "")) < 100
    ):
        # 28-622 is a size designation, not a stretch from one number to another.
        return f"{_said(low)} {_said(high)}"
    return f"{_said(low)}{_JOINTS.get(joint, f' {joint} ')}{_said(high)}"

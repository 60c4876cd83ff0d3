"""Numbers as they are read and as they are said: rounding to what they mean, units, words."""

from __future__ import annotations

import math
import re
from functools import lru_cache
from typing import Any

from num2words import num2words

from knowledge.units import UNITS, Unit

_BY_SYMBOL: dict[str, Unit] = {unit.symbol: unit for unit in UNITS.values() if unit.symbol}
_PSI_PER_KPA = 0.1450377377


def significant(value: float, digits: int = 3) -> float:
    """The value rounded to so many significant digits; counts of a thousand and more keep their units.

    >>> significant(3.9057), significant(123456.0), significant(0.0123456)
    (3.91, 123456.0, 0.0123)
    """
    if value == 0 or not math.isfinite(value):
        return value
    places = digits - 1 - math.floor(math.log10(abs(value)))
    return round(value, max(places, 0))


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


def for_the_mail(value: Any, unit: str, digits: int = 3) -> str:
    """The same with pressures in the units that riders have on their pumps.

    >>> for_the_mail(500.0, "kPa")
    '5 bar (73 psi)'
    """
    if unit == "kPa" and not isinstance(value, str):
        return f"{plain(float(value) / 100, 2)} bar ({plain(float(value) * _PSI_PER_KPA, 2)} psi)"
    return for_the_eye(value, unit, digits)


@lru_cache(maxsize=8192)
def _words(number: str) -> str:
    # The library joins hundreds with "and" and puts hyphens as British speech does.
    return str(num2words(float(number) if "." in number else int(number), lang="en_GB")).replace(",", "")


def for_the_ear(value: Any, unit: str, digits: int = 3) -> str:
    """A number and its unit as a presenter says them.

    >>> for_the_ear(3.9057, "mm")
    'three point nine one millimetres'
    >>> for_the_ear(1.0, "teeth")
    'one tooth'
    >>> for_the_ear(500.0, "kPa")
    'five bar, which is seventy-three P S I'
    """
    if isinstance(value, str):
        return value
    if unit == "kPa":
        bar = plain(float(value) / 100, 2)
        psi = plain(float(value) * _PSI_PER_KPA, 2)
        return f"{_said(bar)} bar, which is {_said(psi)} P S I"
    number = plain(float(value), digits)
    said = _said(number)
    known = _BY_SYMBOL.get(unit)
    if known is None:
        return f"{said} {unit}".strip()
    return f"{said} {known.spoken_one if number in ('1', '−1') else known.spoken}".strip()


def _said(number: str) -> str:
    match = re.fullmatch(r"(−?)([\d.,]+)(?: × 10(\S+))?", number)
    if match is None:
        return number
    sign, figures, power = match.groups()
    said = _words(figures.replace(",", ""))
    if power:
        exponent = int(power.translate(str.maketrans("⁻⁰¹²³⁴⁵⁶⁷⁸⁹", "-0123456789")))
        said += f" times ten to the minus {_words(str(-exponent))}"
    return f"minus {said}" if sign else said

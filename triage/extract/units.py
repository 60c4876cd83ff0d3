"""Units as riders write them, slips of the finger too, settled by pint once."""

from __future__ import annotations

import re
from functools import lru_cache

import pint

from knowledge.units import unit_of

REGISTRY: pint.UnitRegistry[float] = pint.UnitRegistry(autoconvert_offset_to_baseunit=True)

INCH_MM = 25.4
"""Exact by definition. [mm]"""
_END = r"(?=[\s.,;:)?!/]|$)"
# "28 in the frame" is no inches.
_IN_IS_A_UNIT = r"(?=[.,;:)?!]|$|\s(?:x|wide|long|rims?|tyres?|tires?|wheels?|bars?|of|diameter|steerer|headset|fork|cut|gap|deep|play|thick|chain|thread|disc)\b)"
# What riders write, and pint's name for it. The longer form stands first.
WRITTEN: dict[str, str] = {
    r"in[\s-]?lbs?|inch[\s-]pounds?|lbs?[\s-]in(?:ch(?:es)?)?": "force_pound*inch",
    r"mm ?(?:²|2|\^2) ?/ ?s|cst|centistokes?": "millimetre**2/second",
    r"m{2,4}|millimet(?:re|er)s?|mil+ies?|mils?": "millimetre",
    r"cms?|centimet(?:re|er)s?|centis?": "centimetre",
    rf"inches|inch|in{_IN_IS_A_UNIT}|\"|″|''|”": "inch",
    r"km/h|kmh|kph|kmph|kilomet(?:re|er)s? an hour|kms? (?:per|an) hour": "kilometre/hour",
    r"mph|miles an hour|miles per hour": "mile/hour",
    r"m/s": "metre/second",
    r"k ?kms?": "thousand_kilometre",
    r"kms|km|kilomet(?:re|er)s?|k(?=s? on (?:it|the|them|my|this)| since| so far)": "kilometre",
    r"miles|mile|mi": "mile",
    r"m ?(?:²|\^2)|m2(?= of| drag| cda)|square met(?:re|er)s?": "metre**2",
    rf"met(?:re|er)s?|m{_END}": "metre",
    r"thou|thousandths": "thou",
    r"kg ?/ ?cm ?(?:²|2|\^2)|kgf ?/ ?cm ?(?:²|2|\^2)|kilos? per square cent\w*": "kilogram_force/centimetre**2",
    r"atm|atmospheres?": "standard_atmosphere",
    r"yards?|yds?": "yard",
    r"(?:kg[\s-]?f|kilos? of (?:pull|tension))": "kilogram_force",
    r"kgs|kg's|kgg|kg|kilo's|kilos?|kilograms?|kilogrammes?": "kilogram",
    r"f(?:oo)?t[\s-]?lbs?|foot[\s-]pounds?|lbs?[\s-]ft": "force_pound*foot",
    r"feet|ft": "foot",
    # "300# all up": a mark behind a figure, and not the one before a number.
    r"lbs?|ibs|pounds?(?! per)|\#(?=[\s.,;:)?!]|$)": "pound",
    rf"stones?|st{_END}": "stone",
    r"grams?|grammes?|gr|g": "gram",
    r"oz|ounces?": "ounce",
    r"psi{1,3}|p\.s\.i\.?|pis|pounds per square inch|lbs? per square inch": "psi",
    r"bars?|barr|baar|bsr": "bar",
    r"kpa": "kilopascal",
    r"mpa": "megapascal",
    r"newton[\s-]?met(?:re|er)s?|n[\s·.*-]?m(?:et(?:re|er)s?)?": "newton*metre",
    rf"newtons?|n{_END}": "newton",
    r"° ?c|º ?c|deg(?:rees?)?\.? ?c(?:elsius)?(?!\w)|celsius|centigrade": "degC",
    r"° ?f|º ?f|deg(?:rees?)?\.? ?f(?:ahrenheit)?(?!\w)|fahrenheit": "degF",
    r"degrees?|deg|°|º": "degree",
    r"%|percent|per ?cent|pct": "percent",
    r"ml|millilit(?:re|er)s?|cc": "millilitre",
    rf"l{_END}|lit(?:re|er)s?": "litre",
    r"wh|watt[\s-]?hours?": "watt*hour",
    r"kwh|kilowatt[\s-]?hours?": "kilowatt*hour",
    rf"watts?|w{_END}": "watt",
    r"years?|yrs?|yr": "year",
    r"months?|mths?": "month",
    r"weeks?|wks?": "week",
    r"days?|nights?": "day",
    rf"hours?|hrs?|h{_END}": "hour",
    r"minutes?|mins?": "minute",
    rf"seconds?|secs?|s{_END}": "second",
    r"rpm": "revolution/minute",
    r"hz|hertz": "hertz",
    r"t(?=[\s.,;)/?]|$)|teeth|tooth|toothed": "teeth",
    r"links?": "links",
    r"tpi|threads (?:per|to the|an) inch": "1/inch",
    r"clicks?": "clicks",
}
_COUNTED = {"teeth", "speeds", "links", "spokes", "clicks"}
UNIT_PATTERN = "|".join(WRITTEN)
# A quantity is stated in units of its own size: nobody gives a mountain's height in millimetres.
_SCALES = {
    "metre": {"metre", "kilometre", "foot", "mile", "yard"},
    "kilometre": {"kilometre", "mile", "thousand_kilometre"},
    "millimetre": {"millimetre", "centimetre", "inch", "thou", "metre"},
    "inch": {"millimetre", "centimetre", "inch"},
    "gram": {"gram", "ounce", "kilogram"},
    "kilogram": {"kilogram", "pound", "stone", "gram"},
    "kelvin": {"degC", "degree"},
    "degC": {"degC", "degF"},
    "month": {"month", "week", "day", "year"},
    "day": {"day", "hour", "week"},
    "year": {"year", "month"},
    "minute": {"minute", "hour"},
    "kilogram_force": {"kilogram_force", "newton", "kilogram", "pound"},
    "newton": {"newton", "kilogram_force"},
    "watt*hour": {"watt*hour", "kilowatt*hour"},
}
IN_METRES_FROM_MM = 700
"""A length of the bicycle that can reach this may be given in metres, such as a wheelbase of 1.02 m."""


@lru_cache(maxsize=4096)
def unit_named(written: str) -> str | None:
    """Pint's name for a unit as a rider wrote it, or our own word for something that is counted."""
    bare = written.strip().lower()
    # Forms such as "in" look ahead to what follows them.
    for key, name in WRITTEN.items():
        for tail in ("", " "):
            match = re.match(rf"(?:{key})", bare + tail)
            if match and match.end() == len(bare):
                return name
    return None


@lru_cache(maxsize=4096)
def _target(name: str) -> str:
    if name.endswith("_watt_hours"):
        return "watt*hour"
    unit = unit_of(name)
    return unit.ending if unit.pint == "1" else unit.pint


def is_fitting(written_unit: str, name: str, highest: float | None = None) -> bool:
    """Whether a quantity of this name, which reaches `highest` at most, is stated in this unit."""
    target = _target(name)
    if written_unit == "metre" and target == "millimetre":
        return highest is not None and highest >= IN_METRES_FROM_MM
    return _is_in_scale(written_unit, target, _is_counted(name))


@lru_cache(maxsize=4096)
def _is_counted(name: str) -> bool:
    return unit_of(name).pint == "1"


# By the few units, not by the many names: pint takes a millisecond for a pair that it meets for the first time.
@lru_cache(maxsize=4096)
def _is_in_scale(written_unit: str, target: str, is_counted: bool) -> bool:
    if written_unit == target:
        return True
    if target in _SCALES:
        return written_unit in _SCALES[target]
    if written_unit in _COUNTED or target in _COUNTED or is_counted:
        return False
    if "degree" in (written_unit, target) or "percent" in (written_unit, target):
        return False
    if written_unit in ("thou", "thousand_kilometre") or "revolution" in written_unit + target:
        return False
    return bool(REGISTRY.Unit(written_unit).is_compatible_with(REGISTRY.Unit(target)))


def settled(number: float, written_unit: str, name: str) -> float:
    """The number in the unit that the quantity's name states.

    >>> round(settled(90, "psi", "tyre_pressure_kpa"), 1)
    620.5
    >>> round(settled(12, "stone", "rider_mass_kg"), 1)
    76.2
    """
    target = _target(name)
    if written_unit in _WITH_OFFSET:
        return _offset(number, written_unit, target)
    return float(number * _factor(written_unit, target))


_WITH_OFFSET = ("degC", "degF")


@lru_cache(maxsize=4096)
def _factor(written_unit: str, target: str) -> float:
    if written_unit == target or (written_unit == "degree" and target in ("degC", "kelvin")):
        return 1.0
    if written_unit in ("kilogram", "pound") and target == "kilogram_force":
        return _factor(written_unit, "kilogram")
    return float(REGISTRY.Quantity(1.0, written_unit).to(target).magnitude)


def _offset(number: float, written_unit: str, target: str) -> float:
    if written_unit == target or target == "kelvin":
        return number
    return float(REGISTRY.Quantity(number, written_unit).to(target).magnitude)


REGISTRY.define("thousand_kilometre = 1000 * kilometre")

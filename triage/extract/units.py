"""Units as riders write them, settled by pint once."""

from __future__ import annotations

import re
from functools import lru_cache

import pint

from knowledge.units import unit_of

REGISTRY: pint.UnitRegistry[float] = pint.UnitRegistry(autoconvert_offset_to_baseunit=True)

# What riders write, and pint's name for it. The longer form stands first.
WRITTEN: dict[str, str] = {
    r"mm|millimet(?:re|er)s?|mil+ies?|mils?(?=\b)": "millimetre",
    r"cm|centimet(?:re|er)s?|centis?": "centimetre",
    r"inches|inch|in(?=[\s.,;)]|$)|\"|″|''|”": "inch",
    r"km/h|kmh|kph|kilomet(?:re|er)s? an hour|km per hour": "kilometre/hour",
    r"mph|miles an hour|miles per hour": "mile/hour",
    r"m/s": "metre/second",
    r"km|kms|kilomet(?:re|er)s?|k(?= on (?:it|the|them))": "kilometre",
    r"miles|mile|mi": "mile",
    r"met(?:re|er)s?|m(?=[\s.,;)]|$)": "metre",
    r"kgf": "kilogram_force",
    r"kg|kgs|kilos?|kilograms?|kilogrammes?": "kilogram",
    r"lbs?|pounds?": "pound",
    r"stone|st(?=[\s.,;)]|$)": "stone",
    r"g|gr|grams?|grammes?": "gram",
    r"oz|ounces?": "ounce",
    r"psi|p\.s\.i\.?|pounds per square inch": "psi",
    r"bars?": "bar",
    r"kpa": "kilopascal",
    r"mpa": "megapascal",
    r"in[\s-]?lbs?|inch[\s-]pounds?|lb[\s-]in": "force_pound*inch",
    r"ft[\s-]?lbs?|foot[\s-]pounds?": "force_pound*foot",
    r"n[\s·.*-]?m|newton[\s-]?met(?:re|er)s?|newtons": "newton*metre",
    r"°\s?c|º\s?c|deg(?:rees?)?\s?c(?:elsius)?|celsius|centigrade": "degC",
    r"°\s?f|º\s?f|deg(?:rees?)?\s?f(?:ahrenheit)?|fahrenheit": "degF",
    r"degrees?|°|º": "degree",
    r"%|percent|per\s?cent": "percent",
    r"ml|millilit(?:re|er)s?|cc": "millilitre",
    r"l|lit(?:re|er)s?": "litre",
    r"watts?|w(?=[\s.,;)]|$)": "watt",
    r"years?|yrs?|yr": "year",
    r"months?|mths?": "month",
    r"weeks?": "week",
    r"hours?|hrs?|h(?=[\s.,;)]|$)": "hour",
    r"minutes?|mins?": "minute",
    r"seconds?|secs?|s(?=[\s.,;)]|$)": "second",
    r"rpm": "revolution/minute",
    r"hz|hertz": "hertz",
    r"t(?=[\s.,;)/]|$)|teeth|tooth|toothed": "teeth",
    r"speeds?|spd|sp(?=[\s.,;)]|$)|s(?=\s(?:cassette|chain|shifter|lever|mech|derailleur|road|mtb))": "speeds",
    r"links?": "links",
    r"spokes?|holes?": "spokes",
}
_COUNTED = {"teeth", "speeds", "links", "spokes"}
UNIT_PATTERN = "|".join(WRITTEN)


@lru_cache(maxsize=4096)
def unit_named(written: str) -> str | None:
    """Pint's name for a unit as a rider wrote it, or our own word for something that is counted."""
    bare = written.strip()
    # Forms such as "in" look ahead to the white space that follows them.
    for key, name in WRITTEN.items():
        match = re.match(rf"(?:{key})", bare + " ", re.I)
        if match and match.end() == len(bare):
            return name
    return None


@lru_cache(maxsize=4096)
def _target(name: str) -> str:
    unit = unit_of(name)
    return unit.ending if unit.pint == "1" else unit.pint


@lru_cache(maxsize=8192)
def is_fitting(written_unit: str, name: str) -> bool:
    """Whether a quantity of this name can be stated in this unit."""
    target = _target(name)
    if written_unit in _COUNTED or unit_of(name).pint == "1":
        return written_unit == target
    if "degree" in (written_unit, target) or "revolution" in written_unit + target:
        return written_unit == target
    if target == "percent" or written_unit == "percent":
        return target == written_unit
    return bool(REGISTRY.Unit(written_unit).is_compatible_with(REGISTRY.Unit(target)))


def settled(number: float, written_unit: str, name: str) -> float:
    """The number in the unit that the quantity's name states.

    >>> round(settled(90, "psi", "tyre_pressure_kpa"), 1)
    620.5
    >>> round(settled(12, "stone", "rider_mass_kg"), 1)
    76.2
    """
    target = _target(name)
    if written_unit == target:
        return number
    return float(REGISTRY.Quantity(number, written_unit).to(target).magnitude)

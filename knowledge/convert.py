"""Values typed with any fitting unit, settled by pint in the unit that a quantity's name states."""

from __future__ import annotations

import re
from functools import lru_cache

import pint

from knowledge.units import Unit

_TYPED = re.compile(r"^\s*([-+−]?\d[\d,]*(?:\.\d+)?(?:[eE][-+]?\d+)?|[-+]?\d+/\d+)\s*(.*?)\s*$")
_OWN = {
    "%": "percent", "°c": "degC", "°f": "degF", "c": "degC", "f": "degF", "°": "degree", "n·m": "newton*metre",
    "nm": "newton*metre", "µm": "micrometre", "um": "micrometre", "mm²/s": "millimetre**2/second",
    "cst": "centistokes", "km/h": "kilometre/hour", "kmh": "kilometre/hour", "mph": "mile/hour", "rpm": "revolution/minute",
    "in": "inch", '"': "inch", "t": "", "kgf": "kilogram_force", "lb in": "force_pound*inch", "lb ft": "force_pound*foot",
    "st": "stone", "m/s": "metre/second", "m/s²": "metre/second**2", "n/mm": "newton/millimetre", "mpa·s": "millipascal*second",
}  # fmt: skip


@lru_cache(maxsize=1)
def registry() -> pint.UnitRegistry[float]:
    """The one registry of units."""
    return pint.UnitRegistry(autoconvert_offset_to_baseunit=True)


def settle(typed: str, unit: Unit) -> float:
    """The number in the given unit; a bare number is taken to be in it already.

    Raises:
        ValueError: no number, an unknown unit, or one of another kind; the text says which.

    >>> from knowledge.units import unit_of
    >>> settle("1.75in", unit_of("tyre_width_mm")), settle("28", unit_of("tyre_width_mm"))
    (44.45, 28.0)
    """
    match = _TYPED.match(typed)
    if match is None:
        raise ValueError(f'expected a number, with a unit if you like, got "{typed}"')
    number = _number(match[1])
    written = match[2]
    if not written or written == unit.symbol or written == unit.ending:
        return number
    if unit.pint == "1":
        raise ValueError(
            f'expected a bare number{f" of {unit.symbol}" if unit.symbol else ""}, got "{typed}"'
        )
    name = _OWN.get(written.lower(), written)
    try:
        settled = registry().Quantity(number, name).to(unit.pint).magnitude
    except pint.DimensionalityError as error:
        raise ValueError(f'"{written}" is no unit of the kind needed: {unit.symbol}') from error
    except (pint.UndefinedUnitError, pint.errors.DefinitionSyntaxError, AttributeError, TypeError) as error:
        raise ValueError(f'unknown unit "{written}"; {unit.symbol} would fit') from error
    return float(f"{float(settled):.12g}")


def _number(text: str) -> float:
    if "/" in text:
        over, under = text.split("/")
        if float(under) == 0:
            raise ValueError(f'expected a number, got "{text}"')
        return float(over) / float(under)
    return float(text.replace(",", "").replace("−", "-"))

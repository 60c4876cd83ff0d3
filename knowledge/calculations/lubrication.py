"""Oils, greases and wax: how thick they are when it matters, where they creep to, how far they last."""

from __future__ import annotations

from functools import lru_cache
from typing import Any

import numpy as np
from numpy import cos, exp, log, log10, radians, sqrt
from numpy.typing import NDArray

from knowledge.calculation import valid
from knowledge.tables import rows
from knowledge.units import (
    Deg,
    DegC,
    K,
    KgM3,
    Km,
    Links,
    Ml,
    Mm,
    Mm2S,
    Money,
    Money1000Km,
    MpaS,
    NPerM,
    Pct,
    Pure,
    Rpm,
    S,
    W,
    Word,
)

GEAR_OIL_GRADES = (
    "sae-75w",
    "sae-80w",
    "sae-85w",
    "sae-80",
    "sae-85",
    "sae-90",
    "sae-110",
    "sae-140",
    "sae-190",
    "sae-250",
    "sae-75w-80",
    "sae-75w-90",
    "sae-75w-140",
    "sae-80w-90",
    "sae-85w-90",
    "sae-85w-140",
)
ENGINE_OIL_GRADES = (
    "sae-0w",
    "sae-5w",
    "sae-10w",
    "sae-15w",
    "sae-20w",
    "sae-25w",
    "sae-16",
    "sae-20",
    "sae-30",
    "sae-40",
    "sae-50",
    "sae-60",
    "sae-0w-20",
    "sae-5w-30",
    "sae-5w-40",
    "sae-10w-30",
    "sae-10w-40",
    "sae-15w-40",
    "sae-20w-50",
)
LUBRICANT_TYPES = ("wax", "wet-drip", "dry-drip")
RIDE_WEATHERS = ("dry", "wet", "muddy")
CHAIN_CONDITIONS = ("clean", "few-dry-rides", "muddy", "rusty-dry")
COMPARED_LUBRICANTS = ("best-drip", "worst-drip", "worst-drip-in-dirt")
THICKENERS = ("lithium", "lithium-complex", "calcium-sulfonate", "polyurea", "clay")
WORKING_THICKENERS = ("lithium", "lithium-complex", "polyurea", "clay")
NLGI_GRADES = tuple(f"nlgi-{grade}" for grade in ("000", "00", "0", "1", "2", "3", "4", "5", "6"))

_LIQUID = (2, 5000, "the equation was drawn up for oils above 2 mm²/s that still flow")
_HOT = (2, 500, "below 2 mm²/s at 100 °C the index is not defined; no oil here is above 500")
_RIDING = (-30, 120, "colder the oil stops flowing, hotter no bicycle part runs")
_INDEX = (0, 250, "oils in use have an index between 0 and about 200")


@valid(
    cool_viscosity_mm2_s=_LIQUID,
    warm_viscosity_mm2_s=_HOT,
    cool_temperature_degc=(0, 60, "the lower of the two temperatures at which the oil was measured"),
    warm_temperature_degc=(70, 150, "the upper of the two"),
    zero_celsius_k=(273, 273.15, "exact, or rounded as some sheets do"),
)
def walther_slope(
    cool_viscosity_mm2_s: Mm2S,
    warm_viscosity_mm2_s: Mm2S,
    cool_temperature_degc: DegC = 40,
    warm_temperature_degc: DegC = 100,
    zero_celsius_k: K = 273.15,
) -> Pure:
    """How steeply an oil thins as it warms: the constant B of the viscosity-temperature line.

    Formula:
        z_1 = log10(log10(nu_1 + 0.7))
        z_2 = log10(log10(nu_2 + 0.7))
        B = (z_1 - z_2) / (log10(t_2 + T_0) - log10(t_1 + T_0))

    Args:
        cool_viscosity_mm2_s: nu_1, kinematic viscosity at the lower temperature. [mm²/s]
        warm_viscosity_mm2_s: nu_2, kinematic viscosity at the upper temperature. [mm²/s]
        cool_temperature_degc: t_1, the lower temperature. [°C]
        warm_temperature_degc: t_2, the upper temperature. [°C]
        zero_celsius_k: T_0, the freezing point of water in kelvin. [K]

    Returns:
        B, slope of the line. [-]

    Accuracy:
        As good as the two measurements; the further apart they are, the better.

    Source:
        astm-d341, trade-26

    >>> round(float(walther_slope(32, 5.4, zero_celsius_k=273)), 4)
    3.7449
    """
    z_1 = log10(log10(cool_viscosity_mm2_s + 0.7))
    z_2 = log10(log10(warm_viscosity_mm2_s + 0.7))
    return (z_1 - z_2) / (
        log10(warm_temperature_degc + zero_celsius_k) - log10(cool_temperature_degc + zero_celsius_k)
    )


@valid(
    walther_slope=(0.1, 30, "mineral and synthetic oils lie between about 2 and 5"),
    warm_viscosity_mm2_s=_HOT,
    warm_temperature_degc=(70, 150, "the upper of the two temperatures at which the oil was measured"),
    zero_celsius_k=(273, 273.15, "exact, or rounded as some sheets do"),
)
def walther_intercept(
    walther_slope: Pure,
    warm_viscosity_mm2_s: Mm2S,
    warm_temperature_degc: DegC = 100,
    zero_celsius_k: K = 273.15,
) -> Pure:
    """Where the viscosity-temperature line of an oil starts: the constant A beside the slope B.

    Formula:
        A = log10(log10(nu_2 + 0.7)) + B * log10(t_2 + T_0)

    Args:
        walther_slope: B, slope of the line. [-]
        warm_viscosity_mm2_s: nu_2, kinematic viscosity at the upper temperature. [mm²/s]
        warm_temperature_degc: t_2, the upper temperature. [°C]
        zero_celsius_k: T_0, the freezing point of water in kelvin. [K]

    Returns:
        A, intercept of the line. [-]

    Accuracy:
        As good as the two measurements behind the slope.

    Source:
        astm-d341, trade-26

    >>> round(float(walther_intercept(3.74491, 5.4, zero_celsius_k=273)), 4)
    9.5259
    """
    warm_k = warm_temperature_degc + zero_celsius_k
    return log10(log10(warm_viscosity_mm2_s + 0.7)) + walther_slope * log10(warm_k)


@valid(
    cool_viscosity_mm2_s=_LIQUID,
    warm_viscosity_mm2_s=_HOT,
    temperature_degc=_RIDING,
    cool_temperature_degc=(0, 60, "the lower of the two temperatures at which the oil was measured"),
    warm_temperature_degc=(70, 150, "the upper of the two"),
    zero_celsius_k=(273, 273.15, "exact, or rounded as some sheets do"),
)
def oil_viscosity_mm2_s(
    cool_viscosity_mm2_s: Mm2S,
    warm_viscosity_mm2_s: Mm2S,
    temperature_degc: DegC,
    cool_temperature_degc: DegC = 40,
    warm_temperature_degc: DegC = 100,
    zero_celsius_k: K = 273.15,
) -> Mm2S:
    """Kinematic viscosity of an oil at any temperature, from two that its maker states.

    Formula:
        z_1 = log10(log10(nu_1 + 0.7))
        z_2 = log10(log10(nu_2 + 0.7))
        B = (z_1 - z_2) / (log10(t_2 + T_0) - log10(t_1 + T_0))
        A = z_2 + B * log10(t_2 + T_0)
        e = min(A - B * log10(t + T_0), 2)
        nu = 10 ** (10 ** e) - 0.7

    Args:
        cool_viscosity_mm2_s: nu_1, kinematic viscosity at the lower temperature. [mm²/s]
        warm_viscosity_mm2_s: nu_2, kinematic viscosity at the upper temperature. [mm²/s]
        temperature_degc: t, temperature of the oil in use. [°C]
        cool_temperature_degc: t_1, the lower temperature. [°C]
        warm_temperature_degc: t_2, the upper temperature. [°C]
        zero_celsius_k: T_0, the freezing point of water in kelvin. [K]

    Returns:
        nu, kinematic viscosity in use. [mm²/s]

    Accuracy:
        Within a few per cent between the two temperatures; beyond them, and near the point where the oil
        clouds, it can be far out. The exponent is held at 2, where nothing flows.

    Source:
        astm-d341, trade-69

    >>> round(float(oil_viscosity_mm2_s(32, 5.4, 80)), 1)
    8.5
    """
    z_1 = log10(log10(cool_viscosity_mm2_s + 0.7))
    z_2 = log10(log10(warm_viscosity_mm2_s + 0.7))
    warm_log, cool_log = (
        log10(warm_temperature_degc + zero_celsius_k),
        log10(cool_temperature_degc + zero_celsius_k),
    )
    B = (z_1 - z_2) / (warm_log - cool_log)
    exponent = np.minimum(z_2 + B * warm_log - B * log10(temperature_degc + zero_celsius_k), 2)
    return 10 ** (10**exponent) - 0.7


@lru_cache(maxsize=1)
def _index_bases() -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]:
    table = rows("lubrication/viscosity_index_bases")
    columns = ("viscosity_100_mm2_s", "index_0_mm2_s", "index_100_mm2_s")
    hot, low, high = (np.array([float(row[column]) for row in table]) for column in columns)
    return hot, low, high


def _of_index_0(Y: Any) -> NDArray[np.float64]:
    hot, low, _ = _index_bases()
    return np.where(Y > 70, 0.8353 * Y**2 + 14.67 * Y - 216, np.interp(Y, hot, low))


def _of_index_100(Y: Any) -> NDArray[np.float64]:
    hot, _, high = _index_bases()
    return np.where(Y > 70, 0.1684 * Y**2 + 11.85 * Y - 97, np.interp(Y, hot, high))


def _at_40(Y: Any, index: Any) -> NDArray[np.float64]:
    L, H = _of_index_0(Y), _of_index_100(Y)
    N = log10(1 + 0.00715 * np.maximum(index - 100, 0))
    return np.where(np.asarray(index) <= 100, L - index / 100 * (L - H), H / Y**N)


_HALVINGS = 42
"""They narrow 2 to 500 mm²/s down to a ten-billionth."""


@valid(viscosity_100_mm2_s=_HOT)
def viscosity_of_index_0_mm2_s(viscosity_100_mm2_s: Mm2S) -> Mm2S:
    """Viscosity at 40 °C of the reference oil of index 0 that is as thick at 100 °C: L of the standard.

    Rule:
        From the standard's table up to 70 mm²/s, straight between its rows; above, by
        0.8353 times the square, plus 14.67 times the viscosity, less 216.

    Args:
        viscosity_100_mm2_s: kinematic viscosity at 100 °C. [mm²/s]

    Returns:
        kinematic viscosity at 40 °C of the index-0 oil. [mm²/s]

    Accuracy:
        That of the printed table, four digits.

    Source:
        astm-d2270, trade-19

    >>> round(float(viscosity_of_index_0_mm2_s(8.86)), 2)
    119.94
    """
    return _of_index_0(viscosity_100_mm2_s)


@valid(viscosity_100_mm2_s=_HOT)
def viscosity_of_index_100_mm2_s(viscosity_100_mm2_s: Mm2S) -> Mm2S:
    """Viscosity at 40 °C of the reference oil of index 100 that is as thick at 100 °C: H of the standard.

    Rule:
        From the standard's table up to 70 mm²/s, straight between its rows; above, by
        0.1684 times the square, plus 11.85 times the viscosity, less 97.

    Args:
        viscosity_100_mm2_s: kinematic viscosity at 100 °C. [mm²/s]

    Returns:
        kinematic viscosity at 40 °C of the index-100 oil. [mm²/s]

    Accuracy:
        That of the printed table, four digits.

    Source:
        astm-d2270, trade-19

    >>> round(float(viscosity_of_index_100_mm2_s(8.86)), 2)
    69.48
    """
    return _of_index_100(viscosity_100_mm2_s)


@valid(
    viscosity_40_mm2_s=_LIQUID,
    viscosity_100_mm2_s=_HOT,
    viscosity_of_index_0_mm2_s=(7, 300000, "what the standard gives for 2 to 500 mm²/s at 100 °C"),
    viscosity_of_index_100_mm2_s=(6, 60000, "what the standard gives for 2 to 500 mm²/s at 100 °C"),
)
def viscosity_index(
    viscosity_40_mm2_s: Mm2S,
    viscosity_100_mm2_s: Mm2S,
    viscosity_of_index_0_mm2_s: Mm2S,
    viscosity_of_index_100_mm2_s: Mm2S,
) -> Pure:
    """Viscosity index of an oil: the higher, the less it thickens in the cold.

    Formula:
        below = 100 * (L - U) / max(L - H, 0.001)
        N = log10(H / U) / log10(Y)
        above = (10 ** min(N, 9) - 1) / 0.00715 + 100
        VI = where(U > H, below, above)

    Args:
        viscosity_40_mm2_s: U, kinematic viscosity at 40 °C. [mm²/s]
        viscosity_100_mm2_s: Y, kinematic viscosity at 100 °C. [mm²/s]
        viscosity_of_index_0_mm2_s: L, viscosity at 40 °C of the index-0 oil of the same Y. [mm²/s]
        viscosity_of_index_100_mm2_s: H, viscosity at 40 °C of the index-100 oil of the same Y. [mm²/s]

    Returns:
        VI, viscosity index. [-]

    Accuracy:
        The standard rounds to a whole number. Below 0 and above 400 it means little.

    Source:
        astm-d2270, lub-d2270

    >>> round(float(viscosity_index(73.3, 8.86, 119.94, 69.48)), 2)
    92.43
    """
    U, Y = viscosity_40_mm2_s, viscosity_100_mm2_s
    L, H = viscosity_of_index_0_mm2_s, viscosity_of_index_100_mm2_s
    below = 100 * (L - U) / np.maximum(L - H, 0.001)
    N = log10(H / U) / log10(Y)
    above = (10.0 ** np.minimum(N, 9) - 1) / 0.00715 + 100
    return np.where(U > H, below, above)


@valid(viscosity_100_mm2_s=_HOT, oil_viscosity_index=_INDEX)
def viscosity_40_from_index_mm2_s(viscosity_100_mm2_s: Mm2S, oil_viscosity_index: Pure = 95) -> Mm2S:
    """Kinematic viscosity of an oil at 40 °C, from the one at 100 °C and its viscosity index.

    Rule:
        The definition of the viscosity index turned round, with the standard's table for the two
        reference oils. 95 is the index that charts assume for straight engine and gear oils.

    Args:
        viscosity_100_mm2_s: kinematic viscosity at 100 °C. [mm²/s]
        oil_viscosity_index: viscosity index of the oil. [-]

    Returns:
        kinematic viscosity at 40 °C. [mm²/s]

    Accuracy:
        Ten points of index are worth about 5 %. An index of a rounded whole number is exact to 0.3 %.

    Source:
        astm-d2270, lub-vi-95

    >>> round(float(viscosity_40_from_index_mm2_s(8.86, 92.43)), 1)
    73.3
    """
    return _at_40(viscosity_100_mm2_s, oil_viscosity_index)


@valid(
    viscosity_40_mm2_s=(8, 2000, "the index is defined from 2 mm²/s at 100 °C, which is 8 at 40 °C"),
    oil_viscosity_index=_INDEX,
)
def viscosity_100_from_index_mm2_s(viscosity_40_mm2_s: Mm2S, oil_viscosity_index: Pure = 95) -> Mm2S:
    """Kinematic viscosity of an oil at 100 °C, from the one at 40 °C and its viscosity index.

    Rule:
        The viscosity at 100 °C for which the standard gives the stated viscosity at 40 °C, found by
        halving the interval. 95 is the index that charts assume for straight engine and gear oils.

    Args:
        viscosity_40_mm2_s: kinematic viscosity at 40 °C. [mm²/s]
        oil_viscosity_index: viscosity index of the oil. [-]

    Returns:
        kinematic viscosity at 100 °C. [mm²/s]

    Accuracy:
        Ten points of index are worth about 3 %.

    Source:
        astm-d2270, lub-vi-95

    >>> round(float(viscosity_100_from_index_mm2_s(73.3, 92.43)), 2)
    8.86
    """
    wanted, index = np.broadcast_arrays(
        np.asarray(viscosity_40_mm2_s, dtype=float), np.asarray(oil_viscosity_index, dtype=float)
    )
    low, high = np.full(wanted.shape, 2.0), np.full(wanted.shape, 500.0)
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        too_thin = _at_40(middle, index) < wanted
        low, high = np.where(too_thin, middle, low), np.where(too_thin, high, middle)
    return (low + high) / 2


@valid(
    viscosity_grade=(10, 1500, "thinner grades have no index at 100 °C; the classification ends at 1500"),
    temperature_degc=_RIDING,
    oil_viscosity_index=_INDEX,
)
def grade_viscosity_mm2_s(
    viscosity_grade: Pure, temperature_degc: DegC, oil_viscosity_index: Pure = 95
) -> Mm2S:
    """Kinematic viscosity of an oil at riding temperature, from the ISO grade on its bottle.

    Rule:
        The grade is the viscosity at 40 °C; the index gives the one at 100 °C; the
        viscosity-temperature line through both gives the rest.

    Args:
        viscosity_grade: ISO viscosity grade, the number after VG. [-]
        temperature_degc: temperature of the oil in use. [°C]
        oil_viscosity_index: viscosity index; 95 is what charts assume for straight oils. [-]

    Returns:
        kinematic viscosity in use. [mm²/s]

    Accuracy:
        The grade itself allows 10 % either way; in frost the assumed index can double the error.

    Source:
        iso-3448, astm-d2270, astm-d341, lub-vi-95

    >>> round(float(grade_viscosity_mm2_s(68, 40)))
    68
    """
    hot = viscosity_100_from_index_mm2_s(viscosity_grade, oil_viscosity_index)
    return oil_viscosity_mm2_s(viscosity_grade, hot, temperature_degc)


@lru_cache(maxsize=1)
def _iso_grades() -> dict[str, NDArray[np.float64]]:
    table = rows("lubrication/iso_grades")
    columns = ("grade", "lowest_mm2_s", "middle_mm2_s", "highest_mm2_s")
    return {column: np.array([float(row[column]) for row in table]) for column in columns}


def _nearest_iso(viscosity_mm2_s: Pure, column: str) -> Pure:
    grades = _iso_grades()
    away = np.abs(log(np.asarray(viscosity_mm2_s, dtype=float)[..., None]) - log(grades["middle_mm2_s"]))
    return grades[column][np.argmin(away, axis=-1)]


_VG = (2, 1650, "the classification runs from VG 2 to VG 1500")


@valid(viscosity_grade=_VG)
def iso_grade_lowest_mm2_s(viscosity_grade: Pure) -> Mm2S:
    """Least viscosity at 40 °C that an oil of an ISO grade may have.

    Rule:
        The classification's lower limit of the grade whose middle comes nearest to the number.

    Args:
        viscosity_grade: ISO viscosity grade, the number after VG. [-]

    Returns:
        least kinematic viscosity at 40 °C. [mm²/s]

    Accuracy:
        Exact for a number that is a grade.

    Source:
        iso-3448, trade-21, trade-25

    >>> float(iso_grade_lowest_mm2_s(220))
    198.0
    """
    return _nearest_iso(viscosity_grade, "lowest_mm2_s")


@valid(viscosity_grade=_VG)
def iso_grade_highest_mm2_s(viscosity_grade: Pure) -> Mm2S:
    """Greatest viscosity at 40 °C that an oil of an ISO grade may have.

    Rule:
        The classification's upper limit of the grade whose middle comes nearest to the number.

    Args:
        viscosity_grade: ISO viscosity grade, the number after VG. [-]

    Returns:
        greatest kinematic viscosity at 40 °C. [mm²/s]

    Accuracy:
        Exact for a number that is a grade.

    Source:
        iso-3448, trade-21, trade-25

    >>> float(iso_grade_highest_mm2_s(220))
    242.0
    """
    return _nearest_iso(viscosity_grade, "highest_mm2_s")


@valid(viscosity_40_mm2_s=(1.98, 1650, "the classification runs from VG 2 to VG 1500"))
def nearest_iso_grade(viscosity_40_mm2_s: Mm2S) -> Pure:
    """The ISO grade that an oil's viscosity at 40 °C comes nearest to.

    Rule:
        The grade whose middle is nearest as a ratio. Between two grades lies a gap that belongs to neither.

    Args:
        viscosity_40_mm2_s: kinematic viscosity at 40 °C. [mm²/s]

    Returns:
        ISO viscosity grade. [-]

    Accuracy:
        Look at the distance from the grade's middle: beyond 10 % the oil is of no grade.

    Source:
        iso-3448, trade-21, trade-25

    >>> float(nearest_iso_grade(64))
    68.0
    """
    return _nearest_iso(viscosity_40_mm2_s, "grade")


@valid(viscosity_40_mm2_s=(1.98, 1650, "the classification runs from VG 2 to VG 1500"))
def iso_grade_deviation_pct(viscosity_40_mm2_s: Mm2S) -> Pct:
    """How far an oil lies from the middle of its nearest ISO grade: beyond 10 % it is of no grade.

    Rule:
        The viscosity at 40 °C over the middle of the nearest grade, less one.

    Args:
        viscosity_40_mm2_s: kinematic viscosity at 40 °C. [mm²/s]

    Returns:
        distance from the middle of the grade. [%]

    Accuracy:
        Exact.

    Source:
        iso-3448

    >>> round(float(iso_grade_deviation_pct(74.8)), 6)
    10.0
    """
    return 100 * (viscosity_40_mm2_s / _nearest_iso(viscosity_40_mm2_s, "middle_mm2_s") - 1)


@lru_cache(maxsize=4)
def _sae_limits(table: str) -> dict[str, tuple[float, float | None]]:
    current = (row for row in rows(f"lubrication/{table}") if row.get("edition", "current") == "current")
    return {
        str(row["grade"]): (
            float(row["lowest_mm2_s"]),
            float(row["below_mm2_s"]) if row["below_mm2_s"] != "" else None,
        )
        for row in current
    }


def _sae_limit(table: str, grade: str) -> tuple[float, float | None]:
    first, *rest = grade.removeprefix("sae-").split("-")
    return _sae_limits(table)[f"sae-{rest[0] if rest else first}"]


@valid(gear_oil_grade=GEAR_OIL_GRADES)
def gear_oil_lowest_mm2_s(gear_oil_grade: Word) -> Mm2S:
    """Least viscosity at 100 °C that a gear oil of an SAE grade may have.

    Rule:
        The lower limit of the gear-oil classification; a multigrade oil counts by its second number.

    Args:
        gear_oil_grade: the SAE grade on the bottle. [word]

    Returns:
        least kinematic viscosity at 100 °C. [mm²/s]

    Accuracy:
        Exact; the 2019 issue.

    Source:
        sae-j306, trade-22

    >>> gear_oil_lowest_mm2_s("sae-80w-90")
    13.5
    """
    return _sae_limit("gear_oil_grades", gear_oil_grade)[0]


@valid(gear_oil_grade=GEAR_OIL_GRADES)
def gear_oil_viscosity_100_mm2_s(gear_oil_grade: Word) -> Mm2S:
    """Viscosity at 100 °C of a gear oil, in the middle of what its SAE grade allows.

    Rule:
        Half-way between the limits of the gear-oil classification; the lower limit alone where no
        upper one is set. A multigrade oil counts by its second number.

    Args:
        gear_oil_grade: the SAE grade on the bottle. [word]

    Returns:
        kinematic viscosity at 100 °C. [mm²/s]

    Accuracy:
        An oil of the grade may lie 16 % to either side.

    Source:
        sae-j306, trade-22

    >>> gear_oil_viscosity_100_mm2_s("sae-90")
    16.0
    """
    lowest, below = _sae_limit("gear_oil_grades", gear_oil_grade)
    return lowest if below is None else (lowest + below) / 2


@valid(engine_oil_grade=ENGINE_OIL_GRADES)
def engine_oil_lowest_mm2_s(engine_oil_grade: Word) -> Mm2S:
    """Least viscosity at 100 °C that an engine oil of an SAE grade may have.

    Rule:
        The lower limit of the engine-oil classification; a multigrade oil counts by its second number.

    Args:
        engine_oil_grade: the SAE grade on the bottle. [word]

    Returns:
        least kinematic viscosity at 100 °C. [mm²/s]

    Accuracy:
        Exact; older charts start SAE 20 at 5.6 mm²/s.

    Source:
        sae-j300, trade-20, trade-28

    >>> engine_oil_lowest_mm2_s("sae-10w-40")
    12.5
    """
    return _sae_limit("engine_oil_grades", engine_oil_grade)[0]


@valid(engine_oil_grade=ENGINE_OIL_GRADES)
def engine_oil_viscosity_100_mm2_s(engine_oil_grade: Word) -> Mm2S:
    """Viscosity at 100 °C of an engine oil, in the middle of what its SAE grade allows.

    Rule:
        Half-way between the limits of the engine-oil classification; the lower limit alone where no
        upper one is set. A multigrade oil counts by its second number.

    Args:
        engine_oil_grade: the SAE grade on the bottle. [word]

    Returns:
        kinematic viscosity at 100 °C. [mm²/s]

    Accuracy:
        An oil of the grade may lie 15 % to either side.

    Source:
        sae-j300, trade-20, trade-28

    >>> engine_oil_viscosity_100_mm2_s("sae-30")
    10.9
    """
    lowest, below = _sae_limit("engine_oil_grades", engine_oil_grade)
    return lowest if below is None else (lowest + below) / 2


EQUIVALENT_GRADES = ("engine-30", "engine-40", "engine-50", "gear-75w", "gear-90", "gear-140")


def _on_charts(sae_grade: str) -> list[tuple[float, float]]:
    scale, number = sae_grade.split("-", 1)
    return [
        (float(row["vg_lowest"]), float(row["vg_highest"]))
        for row in rows("lubrication/grade_equivalence")
        if row["scale"] == scale and row["grade"] == f"sae-{number}"
    ]


@valid(sae_grade=EQUIVALENT_GRADES)
def equivalent_iso_grade_lowest(sae_grade: Word) -> Pure:
    """The thinnest ISO grade that any of three published charts sets beside an SAE grade.

    Rule:
        The least figure over the charts, which disagree because they assume different indexes.

    Args:
        sae_grade: the scale and the SAE grade. [word]

    Returns:
        lowest ISO viscosity grade named. [-]

    Accuracy:
        No standard gives an equivalence: for gear oils the charts differ by one to two grades.

    Source:
        trade-23, trade-24, trade-25

    >>> equivalent_iso_grade_lowest("gear-90")
    100.0
    """
    return min(lowest for lowest, _ in _on_charts(sae_grade))


@valid(sae_grade=EQUIVALENT_GRADES)
def equivalent_iso_grade_highest(sae_grade: Word) -> Pure:
    """The thickest ISO grade that any of three published charts sets beside an SAE grade.

    Rule:
        The greatest figure over the charts, which disagree because they assume different indexes.

    Args:
        sae_grade: the scale and the SAE grade. [word]

    Returns:
        highest ISO viscosity grade named. [-]

    Accuracy:
        No standard gives an equivalence: for gear oils the charts differ by one to two grades.

    Source:
        trade-23, trade-24, trade-25

    >>> equivalent_iso_grade_highest("gear-90")
    220.0
    """
    return max(highest for _, highest in _on_charts(sae_grade))


@valid(temperature_degc=(-10, 60, "the handbook's table runs from -10 to 60 °C"))
def chain_handbook_iso_grade(temperature_degc: DegC) -> Pure:
    """The ISO grade of oil that a roller-chain handbook comes to for a small chain in that weather.

    Rule:
        The row of the handbook's table for chains of 15.875 mm pitch and smaller that holds the
        temperature, its engine-oil grade set beside the nearest ISO grade.

    Args:
        temperature_degc: air temperature. [°C]

    Returns:
        ISO viscosity grade. [-]

    Accuracy:
        One grade either way; made for oiled machine chains, and another handbook names VG 150 throughout.

    Source:
        lub-chain-oil, trade-25, lub-chain-vg

    >>> float(chain_handbook_iso_grade(20))
    68.0
    """
    table = [row for row in rows("lubrication/chain_oil_by_temperature") if row["from_degc"] != ""]
    starts = np.array([float(row["from_degc"]) for row in table])
    grades = np.array([float(row["iso_grade"]) for row in table])
    return grades[np.searchsorted(starts, temperature_degc, side="right") - 1]


@valid(
    thick_viscosity_mm2_s=(1, 1e7, "from watery to pitch"),
    thin_viscosity_mm2_s=(1, 1e7, "from watery to pitch"),
)
def viscosity_ratio(thick_viscosity_mm2_s: Mm2S, thin_viscosity_mm2_s: Mm2S) -> Pure:
    """How many times thicker one oil is than another at the same temperature.

    Formula:
        r = nu_1 / nu_2

    Args:
        thick_viscosity_mm2_s: nu_1, viscosity of the first oil. [mm²/s]
        thin_viscosity_mm2_s: nu_2, viscosity of the oil it is compared with. [mm²/s]

    Returns:
        r, ratio of the viscosities. [-]

    Accuracy:
        As good as both viscosities. Creeping into a gap takes longer in the same ratio.

    Source:
        arithmetic

    >>> viscosity_ratio(600, 150)
    4.0
    """
    return thick_viscosity_mm2_s / thin_viscosity_mm2_s


@valid(
    kinematic_viscosity_mm2_s=(0.2, 1e6, "from petrol to pitch"),
    oil_density_kg_m3=(600, 2100, "from thin solvents to fluorinated oils"),
)
def dynamic_viscosity_mpa_s(kinematic_viscosity_mm2_s: Mm2S, oil_density_kg_m3: KgM3 = 870) -> MpaS:
    """Dynamic viscosity of an oil, which is what the creeping formulas take.

    Formula:
        eta = nu * rho / 1000

    Args:
        kinematic_viscosity_mm2_s: nu, kinematic viscosity. [mm²/s]
        oil_density_kg_m3: rho, density of the oil. [kg/m³]

    Returns:
        eta, dynamic viscosity. [mPa·s]

    Accuracy:
        Exact with the density at the same temperature; 870 kg/m³ is usual for mineral oil, within 4 %.

    Source:
        mechanics, common-practice

    >>> round(float(dynamic_viscosity_mpa_s(100)), 6)
    87.0
    """
    return kinematic_viscosity_mm2_s * oil_density_kg_m3 / 1000


@valid(
    thick_viscosity_mm2_s=(1, 1e6, "liquids that mix"),
    thin_viscosity_mm2_s=(1, 1e6, "liquids that mix"),
    thick_share_pct=(0, 100, "a share of the mixture by weight"),
)
def blend_viscosity_mm2_s(
    thick_viscosity_mm2_s: Mm2S, thin_viscosity_mm2_s: Mm2S, thick_share_pct: Pct
) -> Mm2S:
    """Kinematic viscosity of a mixture of two oils at the temperature of both figures.

    Formula:
        b_1 = 14.534 * log(log(nu_1 + 0.8)) + 10.975
        b_2 = 14.534 * log(log(nu_2 + 0.8)) + 10.975
        b = b_1 * w / 100 + b_2 * (1 - w / 100)
        nu = exp(exp((b - 10.975) / 14.534)) - 0.8

    Args:
        thick_viscosity_mm2_s: nu_1, viscosity of the first oil. [mm²/s]
        thin_viscosity_mm2_s: nu_2, viscosity of the second. [mm²/s]
        thick_share_pct: w, share of the first oil by weight. [%]

    Returns:
        nu, kinematic viscosity of the blend. [mm²/s]

    Accuracy:
        Good to some 10 % for oils of one kind; a white-spirit mixture thickens again as the spirit dries.

    Source:
        lub-blend

    >>> round(float(blend_viscosity_mm2_s(220, 32, 50)))
    76
    """
    b_1 = 14.534 * log(log(thick_viscosity_mm2_s + 0.8)) + 10.975
    b_2 = 14.534 * log(log(thin_viscosity_mm2_s + 0.8)) + 10.975
    blended = b_1 * thick_share_pct / 100 + b_2 * (1 - thick_share_pct / 100)
    return exp(exp((blended - 10.975) / 14.534)) - 0.8


_TENSION = (0.01, 0.08, "from fluorinated oils to water")
_ANGLE = (0, 89, "from 90 degrees on the liquid is not drawn in")


@valid(
    tube_radius_mm=(0.001, 3, "wider tubes hold no column worth the name"),
    surface_tension_n_per_m=_TENSION,
    contact_angle_deg=_ANGLE,
    liquid_density_kg_m3=(600, 2100, "from thin solvents to fluorinated oils"),
)
def capillary_rise_mm(
    tube_radius_mm: Mm,
    surface_tension_n_per_m: NPerM,
    contact_angle_deg: Deg = 0,
    liquid_density_kg_m3: KgM3 = 1000,
) -> Mm:
    """Height to which a liquid climbs in a narrow tube, given time enough.

    Formula:
        h = 2 * gamma * cos(radians(theta)) / (rho * g_n * r / 1000) * 1000

    Args:
        tube_radius_mm: r, inside radius of the tube. [mm]
        surface_tension_n_per_m: gamma, surface tension of the liquid. [N/m]
        contact_angle_deg: theta, angle at which it meets the wall; 0 wets fully. [°]
        liquid_density_kg_m3: rho, density; 1000 for water and about 870 for mineral oil. [kg/m³]

    Returns:
        h, rise above the liquid's level. [mm]

    Accuracy:
        Exact for a round clean tube; dirt on the wall changes the angle first.

    Source:
        trade-12, mechanics

    >>> round(float(capillary_rise_mm(0.3, 0.073)), 1)
    49.6
    """
    pull = 2 * surface_tension_n_per_m * cos(radians(contact_angle_deg))
    return pull / (liquid_density_kg_m3 * 9.80665 * tube_radius_mm / 1000) * 1000


_DRAG = (0.2, 1e6, "from petrol to pitch")


@valid(
    pore_diameter_mm=(1e-5, 2, "wider pores drain by gravity"),
    dynamic_viscosity_mpa_s=_DRAG,
    time_s=(0, 1e7, "up to some months"),
    surface_tension_n_per_m=_TENSION,
    contact_angle_deg=_ANGLE,
)
def pore_penetration_mm(
    pore_diameter_mm: Mm,
    dynamic_viscosity_mpa_s: MpaS,
    time_s: S,
    surface_tension_n_per_m: NPerM = 0.031,
    contact_angle_deg: Deg = 0,
) -> Mm:
    """How deep a liquid creeps into fine round pores in a given time.

    Formula:
        L = sqrt(gamma * D / 1000 * cos(radians(theta)) * t / (4 * eta / 1000)) * 1000

    Args:
        pore_diameter_mm: D, diameter of the pores. [mm]
        dynamic_viscosity_mpa_s: eta, dynamic viscosity. [mPa·s]
        time_s: t, time allowed. [s]
        surface_tension_n_per_m: gamma, surface tension; 0.031 is quoted for mineral oil. [N/m]
        contact_angle_deg: theta, angle at which it meets the wall; 0 wets fully. [°]

    Returns:
        L, depth reached. [mm]

    Accuracy:
        Without gravity, for dry clean pores; real ones are neither. Compare two liquids; trust neither.

    Source:
        trade-27, lub-surface-tension

    >>> round(float(pore_penetration_mm(0.1, 100, 10)), 2)
    8.8
    """
    pull = surface_tension_n_per_m * pore_diameter_mm / 1000 * cos(radians(contact_angle_deg))
    return sqrt(pull * time_s / (4 * dynamic_viscosity_mpa_s / 1000)) * 1000


_GAP = (0.001, 1, "clearances between a roller, its bushing and its plates")


@valid(
    gap_width_mm=_GAP,
    dynamic_viscosity_mpa_s=_DRAG,
    time_s=(0, 1e7, "up to some months"),
    surface_tension_n_per_m=_TENSION,
    contact_angle_deg=_ANGLE,
)
def gap_penetration_mm(
    gap_width_mm: Mm,
    dynamic_viscosity_mpa_s: MpaS,
    time_s: S,
    surface_tension_n_per_m: NPerM = 0.031,
    contact_angle_deg: Deg = 0,
) -> Mm:
    """How deep an oil creeps into a narrow gap between two walls, such as a chain roller's, in a given time.

    Formula:
        L = sqrt(gamma * w / 1000 * cos(radians(theta)) * t / (3 * eta / 1000)) * 1000

    Args:
        gap_width_mm: w, distance between the walls. [mm]
        dynamic_viscosity_mpa_s: eta, dynamic viscosity. [mPa·s]
        time_s: t, time allowed. [s]
        surface_tension_n_per_m: gamma, surface tension; 0.031 is quoted for mineral oil. [N/m]
        contact_angle_deg: theta, angle at which it meets the wall; 0 wets fully. [°]

    Returns:
        L, depth reached. [mm]

    Accuracy:
        For a dry clean gap without gravity: the balance of capillary pull and viscous drag between flat
        walls, as Washburn's is for round pores. Dirt and old oil slow it beyond any formula.

    Source:
        mechanics, trade-27, lub-surface-tension

    >>> round(float(gap_penetration_mm(0.1, 100, 1)), 2)
    3.21
    """
    pull = surface_tension_n_per_m * gap_width_mm / 1000 * cos(radians(contact_angle_deg))
    return sqrt(pull * time_s / (3 * dynamic_viscosity_mpa_s / 1000)) * 1000


@valid(
    penetration_depth_mm=(0, 50, "a chain roller is about 2 mm wide; other gaps are deeper"),
    gap_width_mm=_GAP,
    dynamic_viscosity_mpa_s=_DRAG,
    surface_tension_n_per_m=_TENSION,
    contact_angle_deg=_ANGLE,
)
def gap_penetration_time_s(
    penetration_depth_mm: Mm,
    gap_width_mm: Mm,
    dynamic_viscosity_mpa_s: MpaS,
    surface_tension_n_per_m: NPerM = 0.031,
    contact_angle_deg: Deg = 0,
) -> S:
    """Time an oil takes to creep a given depth into a narrow gap between two walls.

    Formula:
        t = 3 * eta / 1000 * (L / 1000)**2 / (gamma * w / 1000 * cos(radians(theta)))

    Args:
        penetration_depth_mm: L, depth to reach. [mm]
        gap_width_mm: w, distance between the walls. [mm]
        dynamic_viscosity_mpa_s: eta, dynamic viscosity. [mPa·s]
        surface_tension_n_per_m: gamma, surface tension; 0.031 is quoted for mineral oil. [N/m]
        contact_angle_deg: theta, angle at which it meets the wall; 0 wets fully. [°]

    Returns:
        t, time taken. [s]

    Accuracy:
        For a dry clean gap without gravity: a floor, and a fair way to compare two oils.

    Source:
        mechanics, trade-27, lub-surface-tension

    >>> round(float(gap_penetration_time_s(3.215, 0.1, 100)), 2)
    1.0
    """
    pull = surface_tension_n_per_m * gap_width_mm / 1000 * cos(radians(contact_angle_deg))
    return 3 * dynamic_viscosity_mpa_s / 1000 * (penetration_depth_mm / 1000) ** 2 / pull


def _interval(lubricant_type: str, ride_weather: str) -> tuple[float, float]:
    for row in rows("lubrication/relubrication_intervals"):
        if (row["lubricant_type"], row["ride_weather"]) == (lubricant_type, ride_weather):
            return float(row["shortest_km"]), float(row["longest_km"])
    raise KeyError((lubricant_type, ride_weather))


@valid(lubricant_type=LUBRICANT_TYPES, ride_weather=RIDE_WEATHERS)
def shortest_relubrication_distance_km(lubricant_type: Word, ride_weather: Word) -> Km:
    """Distance after which a chain with that lubricant, in that weather, may first want more.

    Rule:
        The lower end of what is usual in the trade for that lubricant and that weather.

    Args:
        lubricant_type: hot wax, oil for wet weather or drip that dries. [word]
        ride_weather: dry roads, wet roads, or mud and dust. [word]

    Returns:
        shortest usual distance. [km]

    Accuracy:
        Common practice: no measured interval for bicycles was found. A dry-sounding chain is due anyway.

    Source:
        common-practice, lub-interval-x

    >>> shortest_relubrication_distance_km("wax", "dry")
    300.0
    """
    return _interval(lubricant_type, ride_weather)[0]


@valid(lubricant_type=LUBRICANT_TYPES, ride_weather=RIDE_WEATHERS)
def longest_relubrication_distance_km(lubricant_type: Word, ride_weather: Word) -> Km:
    """Distance after which a chain with that lubricant, in that weather, is overdue.

    Rule:
        The upper end of what is usual in the trade for that lubricant and that weather.

    Args:
        lubricant_type: hot wax, oil for wet weather or drip that dries. [word]
        ride_weather: dry roads, wet roads, or mud and dust. [word]

    Returns:
        longest usual distance. [km]

    Accuracy:
        Common practice: no measured interval for bicycles was found. A dry-sounding chain is due anyway.

    Source:
        common-practice, lub-interval-x

    >>> longest_relubrication_distance_km("wax", "dry")
    480.0
    """
    return _interval(lubricant_type, ride_weather)[1]


@valid(lubricant_type=LUBRICANT_TYPES, ride_weather=RIDE_WEATHERS)
def relubrication_distance_km(lubricant_type: Word, ride_weather: Word) -> Km:
    """Distance after which a chain with that lubricant, in that weather, usually wants more.

    Rule:
        Half-way between the ends of what is usual in the trade.

    Args:
        lubricant_type: hot wax, oil for wet weather or drip that dries. [word]
        ride_weather: dry roads, wet roads, or mud and dust. [word]

    Returns:
        usual distance between lubrications. [km]

    Accuracy:
        Common practice, to a factor of two. A dry-sounding chain is due anyway.

    Source:
        common-practice, lub-interval-x

    >>> relubrication_distance_km("wet-drip", "wet")
    120.0
    """
    return sum(_interval(lubricant_type, ride_weather)) / 2


@valid(
    yearly_distance_km=(0, 60000, "nobody rides further in a year"),
    relubrication_distance_km=(5, 2000, "from every ride to far too seldom"),
)
def yearly_relubrications_count(yearly_distance_km: Km, relubrication_distance_km: Km) -> Pure:
    """How many times in a year a chain wants lubricant.

    Formula:
        n = ceil(d / s)

    Args:
        yearly_distance_km: d, distance ridden in a year. [km]
        relubrication_distance_km: s, distance between lubrications. [km]

    Returns:
        n, lubrications a year. [-]

    Accuracy:
        As good as the distance between lubrications.

    Source:
        arithmetic

    >>> float(yearly_relubrications_count(5000, 240))
    21.0
    """
    return np.ceil(yearly_distance_km / relubrication_distance_km)


@valid(
    yearly_relubrications_count=(0, 12000, "from never to every ride"),
    links=(40, 500, "from a child's bicycle to a tandem's long chain"),
    drops_a_roller=(0.1, 5, "one drop on each roller is usual"),
)
def yearly_drops_count(yearly_relubrications_count: Pure, links: Links, drops_a_roller: Pure = 1) -> Pure:
    """How many drops of lubricant a chain takes in a year.

    Formula:
        k = n * z * q

    Args:
        yearly_relubrications_count: n, lubrications a year. [-]
        links: z, links of the chain, inner and outer each counted as one. [links]
        drops_a_roller: q, drops on each roller, one being usual. [-]

    Returns:
        k, drops a year. [-]

    Accuracy:
        Exact for the counts given.

    Source:
        arithmetic, common-practice

    >>> yearly_drops_count(21, 114)
    2394
    """
    return yearly_relubrications_count * links * drops_a_roller


@valid(
    yearly_drops_count=(0, 1e6, "from none to far too many"),
    drop_volume_ml=(0.005, 0.2, "from a needle to a wide nozzle"),
)
def yearly_lubricant_ml(yearly_drops_count: Pure, drop_volume_ml: Ml = 0.05) -> Ml:
    """How much lubricant a chain takes in a year.

    Formula:
        V = k * v

    Args:
        yearly_drops_count: k, drops a year. [-]
        drop_volume_ml: v, volume of one drop, twenty to the millilitre being usual. [ml]

    Returns:
        V, lubricant a year. [ml]

    Accuracy:
        The drop is the weak figure: count how many make a millilitre for your bottle.

    Source:
        arithmetic, from-memory

    >>> round(float(yearly_lubricant_ml(2394)), 1)
    119.7
    """
    return yearly_drops_count * drop_volume_ml


@valid(
    bottle_price_money=(0, 1e5, "any currency"),
    bottle_volume_ml=(1, 20000, "from a sample to a drum"),
    dose_volume_ml=(0.1, 100, "one drop a roller makes about 5 ml"),
    relubrication_distance_km=(5, 2000, "from every ride to far too seldom"),
)
def lubricant_cost_money_1000km(
    bottle_price_money: Money, bottle_volume_ml: Ml, dose_volume_ml: Ml, relubrication_distance_km: Km
) -> Money1000Km:
    """What a lubricant costs for a thousand kilometres.

    Formula:
        c = P / V * v * 1000 / s

    Args:
        bottle_price_money: P, price of the bottle. [in your money]
        bottle_volume_ml: V, volume of the bottle. [ml]
        dose_volume_ml: v, volume used at one lubrication. [ml]
        relubrication_distance_km: s, distance between lubrications. [km]

    Returns:
        c, cost of the lubricant alone. [money per 1,000 km]

    Accuracy:
        Exact for the figures given; a worn chain and cassette cost far more than any oil.

    Source:
        arithmetic

    >>> lubricant_cost_money_1000km(12, 120, 5, 250)
    2.0
    """
    return bottle_price_money / bottle_volume_ml * dose_volume_ml * 1000 / relubrication_distance_km


def _loss(chain_condition: str) -> tuple[float, float]:
    for row in rows("lubrication/chain_losses"):
        if row["chain_condition"] == chain_condition:
            return float(row["lowest_w"]), float(row["highest_w"])
    raise KeyError(chain_condition)


@valid(chain_condition=CHAIN_CONDITIONS)
def chain_loss_lowest_w(chain_condition: Word) -> W:
    """Least power that a chain drive in that condition was found to take.

    Rule:
        The lower end of the published figures, at 250 W of the rider's (200 W for a rusty chain).

    Args:
        chain_condition: state of the chain. [word]

    Returns:
        least loss. [W]

    Accuracy:
        Retold laboratory figures of single chains: to about 2 W.

    Source:
        trade-31, drivetrain-144

    >>> chain_loss_lowest_w("clean")
    7.0
    """
    return _loss(chain_condition)[0]


@valid(chain_condition=CHAIN_CONDITIONS)
def chain_loss_highest_w(chain_condition: Word) -> W:
    """Greatest power that a chain drive in that condition was found to take.

    Rule:
        The upper end of the published figures, at 250 W of the rider's (200 W for a rusty chain).

    Args:
        chain_condition: state of the chain. [word]

    Returns:
        greatest loss. [W]

    Accuracy:
        Retold laboratory figures of single chains: to about 2 W.

    Source:
        trade-31, drivetrain-144

    >>> chain_loss_highest_w("few-dry-rides")
    12.0
    """
    return _loss(chain_condition)[1]


@valid(
    rider_power_w=(20, 2500, "from a stroll to a sprint"),
    chain_loss_w=(0, 20, "published chain losses lie between 2 and 20 W"),
)
def chain_efficiency_pct(rider_power_w: W, chain_loss_w: W) -> Pct:
    """Share of the rider's power that passes the chain.

    Formula:
        e = 100 * (P - L) / P

    Args:
        rider_power_w: P, power at the pedals. [W]
        chain_loss_w: L, power lost in the chain. [W]

    Returns:
        e, efficiency of the chain. [%]

    Accuracy:
        Exact for the figures given. The loss grows with power, so do not carry it over to another power.

    Source:
        arithmetic, trade-31

    >>> round(float(chain_efficiency_pct(250, 7)), 1)
    97.2
    """
    return 100 * (rider_power_w - chain_loss_w) / rider_power_w


@valid(compared_lubricant=COMPARED_LUBRICANTS)
def wax_gain_w(compared_lubricant: Word) -> W:
    """Power that a hot-waxed chain saved against another lubricant in published tests, at 250 W.

    Rule:
        The published figure for that comparison.

    Args:
        compared_lubricant: what the wax was compared with. [word]

    Returns:
        power saved by the wax. [W]

    Accuracy:
        One laboratory's figures of 2013 and 2014; the clean-chain figures are printed to a hundredth of a
        watt, which says more about the printing than about your chain.

    Source:
        trade-29, trade-30

    >>> wax_gain_w("worst-drip")
    3.05
    """
    for row in rows("lubrication/wax_gains"):
        if row["compared_with"] == compared_lubricant:
            return float(row["gain_w"])
    raise KeyError(compared_lubricant)


@valid(
    wax_temperature_degc=(0, 400, "from cold wax to a fire"),
    wax_flash_point_degc=(100, 350, "flash points claimed for paraffin lie between 140 and 249 °C"),
)
def wax_flash_margin_k(wax_temperature_degc: DegC, wax_flash_point_degc: DegC = 140) -> K:
    """How far a bath of melted wax is below the temperature at which its vapour can catch fire.

    Formula:
        m = t_f - t

    Args:
        wax_temperature_degc: t, temperature of the wax. [°C]
        wax_flash_point_degc: t_f, flash point; 140 is the least that a maker claims. [°C]

    Returns:
        m, distance below the flash point, negative above it. [K]

    Accuracy:
        Use the flash point on the wax's own data sheet where there is one.

    Caution:
        Melt wax in a water bath or a thermostat pot, never over a flame or unattended. Smother a wax fire
        with a lid; never use water.

    Source:
        lub-wax-flash, lub-wax-boiler

    >>> wax_flash_margin_k(95)
    45
    """
    return wax_flash_point_degc - wax_temperature_degc


def _penetration(nlgi_grade: str, column: str) -> float:
    for row in rows("lubrication/grease_grades"):
        if row["grade"] == nlgi_grade:
            return float(row[column])
    raise KeyError(nlgi_grade)


@valid(nlgi_grade=NLGI_GRADES)
def grease_penetration_lowest_mm(nlgi_grade: Word) -> Mm:
    """Least depth to which the test cone sinks into worked grease of a grade.

    Rule:
        The lower limit of the grade on the grease scale, at 25 °C.

    Args:
        nlgi_grade: consistency grade on the tin, from 000 to 6. [word]

    Returns:
        least worked penetration. [mm]

    Accuracy:
        Exact; printed elsewhere in tenths of a millimetre.

    Source:
        trade-18b, trade-17b

    >>> grease_penetration_lowest_mm("nlgi-2")
    26.5
    """
    return _penetration(nlgi_grade, "lowest_mm")


@valid(nlgi_grade=NLGI_GRADES)
def grease_penetration_highest_mm(nlgi_grade: Word) -> Mm:
    """Greatest depth to which the test cone sinks into worked grease of a grade.

    Rule:
        The upper limit of the grade on the grease scale, at 25 °C.

    Args:
        nlgi_grade: consistency grade on the tin, from 000 to 6. [word]

    Returns:
        greatest worked penetration. [mm]

    Accuracy:
        Exact; printed elsewhere in tenths of a millimetre.

    Source:
        trade-18b, trade-17b

    >>> grease_penetration_highest_mm("nlgi-2")
    29.5
    """
    return _penetration(nlgi_grade, "highest_mm")


def nlgi_grade_of(worked_penetration_mm: float) -> str | None:
    """The consistency grade of a grease from its worked penetration, or None in the gap between two grades.

    >>> nlgi_grade_of(28.0), nlgi_grade_of(30.2)
    ('nlgi-2', None)
    """
    for row in rows("lubrication/grease_grades"):
        if float(row["lowest_mm"]) <= worked_penetration_mm <= float(row["highest_mm"]):
            return str(row["grade"])
    return None


def _thickener(name: str, column: str) -> float:
    for row in rows("lubrication/grease_thickeners"):
        if row["thickener"] == name:
            return float(row[column])
    raise KeyError(name)


@valid(grease_thickener=THICKENERS)
def grease_dropping_point_degc(grease_thickener: Word) -> DegC:
    """Temperature at which a grease of that thickener lets its oil drip, at the careful end.

    Rule:
        The lowest published figure for the thickener.

    Args:
        grease_thickener: the thickener named on the tin. [word]

    Returns:
        lowest dropping point. [°C]

    Accuracy:
        Typical of the family; it is a test result and not a working temperature.

    Caution:
        Follow the tin: two greases of one thickener can differ.

    Source:
        trade-17b, trade-85

    >>> grease_dropping_point_degc("lithium")
    177.0
    """
    return _thickener(grease_thickener, "dropping_point_lowest_degc")


@valid(grease_thickener=WORKING_THICKENERS)
def grease_usable_temperature_degc(grease_thickener: Word) -> DegC:
    """Highest working temperature given for greases of that thickener.

    Rule:
        The published figure for the thickener. For calcium sulfonate none was seen: read the tin.

    Args:
        grease_thickener: the thickener named on the tin. [word]

    Returns:
        highest working temperature. [°C]

    Accuracy:
        Typical of the family.

    Caution:
        Follow the tin: two greases of one thickener can differ.

    Source:
        trade-17b, trade-85

    >>> grease_usable_temperature_degc("lithium")
    135.0
    """
    return _thickener(grease_thickener, "usable_to_degc")


@valid(
    grease_usable_temperature_degc=(60, 300, "working temperatures given for greases"),
    temperature_degc=(-45, 300, "from frost to a hot hub"),
)
def grease_heat_margin_k(grease_usable_temperature_degc: DegC, temperature_degc: DegC) -> K:
    """How far a grease is below its highest working temperature.

    Formula:
        m = t_u - t

    Args:
        grease_usable_temperature_degc: t_u, highest working temperature. [°C]
        temperature_degc: t, temperature of the part. [°C]

    Returns:
        m, distance below the limit, negative above it. [K]

    Accuracy:
        As good as the stated limit.

    Source:
        arithmetic, trade-17b

    >>> grease_heat_margin_k(135, 60)
    75
    """
    return grease_usable_temperature_degc - temperature_degc


@valid(
    bearing_bore_mm=(3, 200, "from a pedal to a machine"),
    bearing_outside_diameter_mm=(6, 300, "from a pedal to a machine"),
    wheel_bearing_speed_rpm=(0, 20000, "from standing to a motor's rotor"),
)
def bearing_speed_factor(
    bearing_bore_mm: Mm, bearing_outside_diameter_mm: Mm, wheel_bearing_speed_rpm: Rpm
) -> Pure:
    """Speed factor of a bearing, in millimetres times turns a minute: greases are chosen by it.

    Formula:
        f = n * (d + D) / 2

    Args:
        bearing_bore_mm: d, inside diameter. [mm]
        bearing_outside_diameter_mm: D, outside diameter. [mm]
        wheel_bearing_speed_rpm: n, turns a minute. [rpm]

    Returns:
        f, speed factor. [-]

    Accuracy:
        Exact; some makers use the bore alone, which gives a little less.

    Source:
        lub-speed-factor

    >>> bearing_speed_factor(100, 130, 1000)
    115000.0
    """
    return wheel_bearing_speed_rpm * (bearing_bore_mm + bearing_outside_diameter_mm) / 2

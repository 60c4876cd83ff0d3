"""Rolling bearings and press fits: sizes, rating life, ISO 286 limits, grip, heating and loosening."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

import numpy as np
from numpy import cbrt, log, pi, sqrt
from numpy.typing import NDArray

from knowledge.calculation import valid
from knowledge.tables import Row, rows
from knowledge.units import (
    NM,
    DegC,
    Gpa,
    H,
    K,
    Kg,
    Kgf,
    Km,
    Kmh,
    Mm,
    Mpa,
    Mrev,
    N,
    Pct,
    PerK,
    Pure,
    Rpm,
    Um,
    W,
    Word,
)

ROLLER_EXPONENT = 10 / 3
STEEL_EXPANSION_PER_K = 12e-6
STEEL_MODULUS_GPA = 200.0
STEEL_POISSON_RATIO = 0.29

_NUMBERS = (
    "608", "628-8", "618-8", "6800", "6801", "6802", "6803", "6804", "6805", "6806", "6900", "6901", "6902",
    "6903", "6904", "6905", "6906", "6000", "6001", "6002", "6003", "6004", "6005", "6006", "6200", "6201",
    "6202", "6203", "16005",
)  # fmt: skip
_STATIC_NUMBERS = ("608", "628-8", "618-8", "6800", "6900", "6000", "6200", "6201", "6202", "6203")
DESIGNATIONS = tuple(f"bearing-{number}" for number in _NUMBERS)
STATIC_RATED = tuple(f"bearing-{number}" for number in _STATIC_NUMBERS)
RATED = (*STATIC_RATED, "bearing-6804", "bearing-6805", "bearing-16005")
HOLE_CLASSES = ("H7", "H8", "J7", "K7", "M7", "N7", "P7")
SHAFT_CLASSES = ("g6", "h6", "h7", "k6", "m6", "n6", "p6", "r6")
GRADES = ("IT5", "IT6", "IT7", "IT8", "IT9")
MATERIALS = ("aluminium", "carbon", "steel", "titanium")

_SIZE = (3.001, 80.0, "the table runs over 3 up to and including 80 mm")
_SEAT = (4.0, 150.0, "bicycle bearings are pressed on seats of 4 to 60 mm; worked examples reach further")
_MODULUS = (1.0, 400.0, "from soft plastics to hard ceramics")
_POISSON = (0.1, 0.45, "metals and laminates lie near 0.3")
_OUTSIDE_RATIO = (1.02, 20.0, "a wall thinner than a hundredth of the seat is a foil, not a hub")
_BORE_RATIO = (0.0, 0.98, "0 is a solid shaft; a ring thinner than a hundredth of the seat would collapse")
_DEVIATION = (-500.0, 500.0, "limit deviations of fits up to 80 mm lie well within half a millimetre")
_EXPANSION = (-2e-6, 100e-6, "from carbon along its fibre to plastics")


# Boundary dimensions and ratings


def _bearing(bearing_designation: str) -> Row:
    return next(row for row in rows("bearings/boundary_dimensions") if row["id"] == bearing_designation)


@valid(bearing_designation=DESIGNATIONS)
def bearing_bore_mm(bearing_designation: Word) -> Mm:
    """Bore of a bearing by the number printed on its seal.

    Rule:
        The row of the size table with that number gives the bore.

    Args:
        bearing_designation: the number on the seal without prefix and suffix letters. [word]

    Returns:
        d, bore. [mm]

    Accuracy:
        Nominal size; the ring itself is a few thousandths of a millimetre smaller. Rows from memory say so.

    Source:
        iso-15, trade-14, trade-15

    >>> float(bearing_bore_mm("bearing-6806"))
    30.0
    """
    return float(_bearing(bearing_designation)["bore_mm"])


@valid(bearing_designation=DESIGNATIONS)
def bearing_outside_diameter_mm(bearing_designation: Word) -> Mm:
    """Outside diameter of a bearing by the number printed on its seal.

    Rule:
        The row of the size table with that number gives the outside diameter.

    Args:
        bearing_designation: the number on the seal without prefix and suffix letters. [word]

    Returns:
        D, outside diameter. [mm]

    Accuracy:
        Nominal size; the ring is at most 0.013 mm smaller. Rows from memory say so.

    Source:
        iso-15, trade-14, trade-15

    >>> float(bearing_outside_diameter_mm("bearing-6902"))
    28.0
    """
    return float(_bearing(bearing_designation)["outside_diameter_mm"])


@valid(bearing_designation=DESIGNATIONS)
def bearing_width_mm(bearing_designation: Word) -> Mm:
    """Width of a bearing by the number printed on its seal.

    Rule:
        The row of the size table with that number gives the width.

    Args:
        bearing_designation: the number on the seal without prefix and suffix letters. [word]

    Returns:
        B, width. [mm]

    Accuracy:
        Nominal size; bearings for bicycles are also sold with a wider inner ring: measure the old one.

    Source:
        iso-15, trade-14, trade-15

    >>> float(bearing_width_mm("bearing-608"))
    7.0
    """
    return float(_bearing(bearing_designation)["width_mm"])


def designations_of_size(bore_mm: float, outside_diameter_mm: float, width_mm: float) -> tuple[str, ...]:
    """The numbers of the bearings whose three dimensions agree with what was measured.

    A calliper reads within 0.1 mm, so that much is allowed on each; an empty tuple means: order by size.

    >>> designations_of_size(29.98, 42.0, 7.02)
    ('bearing-6806',)
    >>> designations_of_size(30, 41.8, 7)
    ()
    """
    measured = (bore_mm, outside_diameter_mm, width_mm)
    if min(measured) <= 0:
        raise ValueError(f"dimensions: expected three lengths above 0 mm, got {measured}")
    names = ("bore_mm", "outside_diameter_mm", "width_mm")
    return tuple(
        str(row["id"])
        for row in rows("bearings/boundary_dimensions")
        if all(abs(float(row[name]) - value) <= 0.1 for name, value in zip(names, measured, strict=True))
    )


def _lowest_rating(bearing_designation: str, kind: str) -> float:
    return min(
        float(row["rating_n"])
        for row in rows("bearings/load_ratings")
        if row["bearing"] == bearing_designation and row["kind"] == kind
    )


@valid(bearing_designation=RATED)
def dynamic_rating_n(bearing_designation: Word) -> N:
    """Basic dynamic load rating of a bearing, the lowest that a table prints.

    Rule:
        The lowest printed rating of that number is taken.

    Args:
        bearing_designation: the number on the seal without prefix and suffix letters. [word]

    Returns:
        C, basic dynamic load rating. [N]

    Accuracy:
        Makers and catalogue years differ by several per cent, old textbooks by more: the maker's own counts.

    Source:
        trade-15, trade-16, trade-4

    >>> float(dynamic_rating_n("bearing-6200"))
    5100.0
    """
    return _lowest_rating(bearing_designation, "dynamic")


@valid(bearing_designation=STATIC_RATED)
def static_rating_n(bearing_designation: Word) -> N:
    """Basic static load rating of a bearing, the lowest that a table prints.

    Rule:
        The lowest printed rating of that number is taken.

    Args:
        bearing_designation: the number on the seal without prefix and suffix letters. [word]

    Returns:
        C_0, basic static load rating. [N]

    Accuracy:
        Makers and catalogue years differ by several per cent: the maker's own counts.

    Source:
        trade-15, trade-16

    >>> float(static_rating_n("bearing-6000"))
    1960.0
    """
    return _lowest_rating(bearing_designation, "static")


# Load and life


def _axial(column: str, axial_load_n: Pure, static_rating_n: Pure) -> Pure:
    table = rows("bearings/axial_factors")
    shares = np.array([float(row["axial_share"]) for row in table])
    return np.interp(axial_load_n / static_rating_n, shares, _column(table, column))


@valid(
    axial_load_n=(0, 50_000, "sideways force on a bicycle bearing"),
    static_rating_n=(50, 100_000, "small and large deep-groove bearings"),
)
def axial_factor(axial_load_n: N, static_rating_n: N) -> Pure:
    """Weight of the axial load in the equivalent load of a deep-groove bearing.

    Rule:
        Interpolated in the handbook's table by axial load over static rating, held at the table's ends.

    Args:
        axial_load_n: F_a, load along the axle. [N]
        static_rating_n: C_0, basic static load rating. [N]

    Returns:
        Y, axial factor. [-]

    Accuracy:
        Normal internal clearance; between rows straight lines, good to about 1 %.

    Source:
        from-memory, iso-281

    >>> round(float(axial_factor(280, 1000)), 2)
    1.15
    """
    return _axial("axial_factor", axial_load_n, static_rating_n)


@valid(
    axial_load_n=(0, 50_000, "sideways force on a bicycle bearing"),
    static_rating_n=(50, 100_000, "small and large deep-groove bearings"),
)
def axial_limit_ratio(axial_load_n: N, static_rating_n: N) -> Pure:
    """Axial over radial load up to which the axial load costs no life.

    Rule:
        Interpolated in the handbook's table by axial load over static rating, held at the table's ends.

    Args:
        axial_load_n: F_a, load along the axle. [N]
        static_rating_n: C_0, basic static load rating. [N]

    Returns:
        e, limiting ratio. [-]

    Accuracy:
        Normal internal clearance; between rows straight lines.

    Source:
        from-memory, iso-281

    >>> round(float(axial_limit_ratio(56, 1000)), 2)
    0.26
    """
    return _axial("axial_limit_ratio", axial_load_n, static_rating_n)


@valid(
    radial_load_n=(0, 50_000, "a rider's weight and pedalling on one bearing, and worked examples beyond"),
    axial_load_n=(0, 50_000, "sideways force on a bicycle bearing"),
    axial_factor=(0.5, 3, "deep-groove bearings lie between 1.0 and 2.3"),
    axial_limit_ratio=(0.1, 0.6, "deep-groove bearings lie between 0.19 and 0.44"),
    radial_factor=(0.3, 1, "0.56 for deep-groove bearings"),
    rotation_factor=(1, 1.2, "1 where the inner ring turns; 1.2 in older texts where the outer ring does"),
)
def equivalent_load_n(
    radial_load_n: N,
    axial_load_n: N,
    axial_factor: Pure,
    axial_limit_ratio: Pure = 0.44,
    radial_factor: Pure = 0.56,
    rotation_factor: Pure = 1.0,
) -> N:
    """Steady radial load that would tire a bearing as fast as the real radial and axial load.

    Formula:
        P = where(F_a <= e * F_r, V * F_r, X * V * F_r + Y * F_a)

    Args:
        radial_load_n: F_r, load across the axle. [N]
        axial_load_n: F_a, load along the axle. [N]
        axial_factor: Y, weight of the axial load. [-]
        axial_limit_ratio: e, axial over radial load up to which the axial load costs no life. [-]
        radial_factor: X, weight of the radial load. [-]
        rotation_factor: V, which ring turns. [-]

    Returns:
        P, equivalent load. [N]

    Accuracy:
        The handbook's straight-line rule for single-row deep-groove bearings.

    Source:
        trade-4, trade-5, trade-58

    >>> round(float(equivalent_load_n(1250, 625, 1.2)))
    1450
    """
    return np.where(
        np.asarray(axial_load_n) <= axial_limit_ratio * radial_load_n,
        rotation_factor * radial_load_n,
        radial_factor * rotation_factor * radial_load_n + axial_factor * axial_load_n,
    )


@valid(
    radial_load_n=(0, 50_000, "a rider's weight and pedalling on one bearing, and worked examples beyond"),
    axial_load_n=(0, 50_000, "sideways force on a bicycle bearing"),
)
def equivalent_static_load_n(radial_load_n: N, axial_load_n: N) -> N:
    """Radial load that would dent the races as much as the real radial and axial load at rest.

    Formula:
        P_0 = max(0.6 * F_r + 0.5 * F_a, F_r)

    Args:
        radial_load_n: F_r, load across the axle. [N]
        axial_load_n: F_a, load along the axle. [N]

    Returns:
        P_0, equivalent static load. [N]

    Accuracy:
        Single-row deep-groove bearings.

    Source:
        trade-58

    >>> float(equivalent_static_load_n(1000, 2000))
    1600.0
    """
    return np.maximum(0.6 * radial_load_n + 0.5 * axial_load_n, radial_load_n)


@valid(static_rating_n=(50, 100_000, "small and large deep-groove bearings"))
def axial_load_limit_n(static_rating_n: N) -> N:
    """Largest purely axial load that a thin bicycle bearing should carry.

    Formula:
        F = 0.25 * C_0

    Args:
        static_rating_n: C_0, basic static load rating. [N]

    Returns:
        F, largest load along the axle. [N]

    Accuracy:
        For bores up to 12 mm and the thin diameter series, which are the usual bicycle sizes.

    Source:
        trade-58

    >>> float(axial_load_limit_n(1960))
    490.0
    """
    return 0.25 * np.asarray(static_rating_n)


@valid(
    dynamic_rating_n=(50, 200_000, "small bearings to the largest worked example"),
    equivalent_load_n=(1, 100_000, "a load above zero"),
    life_exponent=(3, ROLLER_EXPONENT, "3 for balls, 10/3 for rollers"),
)
def rating_life_mrev(dynamic_rating_n: N, equivalent_load_n: N, life_exponent: Pure = 3.0) -> Mrev:
    """Turns that nine in ten equal bearings outlive before the steel flakes.

    Formula:
        L = (C / P) ** p

    Args:
        dynamic_rating_n: C, basic dynamic load rating. [N]
        equivalent_load_n: P, equivalent load. [N]
        life_exponent: p, 3 for balls and 10/3 for rollers. [-]

    Returns:
        L, basic rating life. [million revolutions]

    Accuracy:
        Fatigue of a clean, greased bearing only: on a bicycle water and dirt end a bearing far earlier.

    Source:
        iso-281, trade-56, trade-57

    >>> round(float(rating_life_mrev(5590, 1450)), 1)
    57.3
    """
    return (np.asarray(dynamic_rating_n) / equivalent_load_n) ** life_exponent


@valid(
    rating_life_mrev=(0, 1e12, "a life of no turns or more"),
    bearing_speed_rpm=(1, 20_000, "from slow pedalling to workshop machines"),
)
def rating_life_h(rating_life_mrev: Mrev, bearing_speed_rpm: Rpm) -> H:
    """Rating life in hours at a steady speed.

    Formula:
        L_h = L * 10**6 / (60 * n)

    Args:
        rating_life_mrev: L, basic rating life. [million revolutions]
        bearing_speed_rpm: n, speed. [rpm]

    Returns:
        L_h, rating life. [h]

    Accuracy:
        As the rating life; fatigue only, never water and dirt.

    Source:
        iso-281, trade-56, trade-57

    >>> round(float(rating_life_h(9.316, 1750)), 1)
    88.7
    """
    return np.asarray(rating_life_mrev) * 10**6 / (60 * bearing_speed_rpm)


@valid(
    wanted_life_h=(0, 1e6, "a life of no hours or more"),
    bearing_speed_rpm=(1, 20_000, "from slow pedalling to workshop machines"),
)
def wanted_life_mrev(wanted_life_h: H, bearing_speed_rpm: Rpm) -> Mrev:
    """Turns in the hours that a bearing should last.

    Formula:
        L = 60 * n * L_h / 10**6

    Args:
        wanted_life_h: L_h, hours it should last. [h]
        bearing_speed_rpm: n, speed. [rpm]

    Returns:
        L, turns in that time. [million revolutions]

    Accuracy:
        Exact.

    Source:
        arithmetic, trade-56

    >>> float(wanted_life_mrev(10_000, 1080))
    648.0
    """
    return 60 * np.asarray(bearing_speed_rpm) * wanted_life_h / 10**6


@valid(
    equivalent_load_n=(0, 100_000, "a load of nothing or more"),
    wanted_life_mrev=(0, 1e6, "a life of no turns or more"),
    life_exponent=(3, ROLLER_EXPONENT, "3 for balls, 10/3 for rollers"),
)
def required_dynamic_rating_n(equivalent_load_n: N, wanted_life_mrev: Mrev, life_exponent: Pure = 3.0) -> N:
    """Dynamic load rating that a bearing needs for a wanted life.

    Formula:
        C = P * L ** (1 / p)

    Args:
        equivalent_load_n: P, equivalent load. [N]
        wanted_life_mrev: L, turns it should last at 90 % reliability. [million revolutions]
        life_exponent: p, 3 for balls and 10/3 for rollers. [-]

    Returns:
        C, dynamic load rating needed. [N]

    Accuracy:
        As the rating life.

    Source:
        iso-281, trade-4

    >>> round(float(required_dynamic_rating_n(3954, 648)), -1)
    34220.0
    """
    return equivalent_load_n * np.asarray(wanted_life_mrev) ** (1 / life_exponent)


@valid(reliability_pct=(50, 99.9, "the Weibull form is used between the median and one in a thousand"))
def life_reliability_factor(reliability_pct: Pct) -> Pure:
    """Share of the rating life that is left when more than nine in ten bearings must survive.

    Formula:
        f = (log(100 / R) / log(100 / 90)) ** (1 / 1.17)

    Args:
        reliability_pct: R, share of bearings that must survive. [%]

    Returns:
        f, life at that reliability over the rating life. [-]

    Accuracy:
        Two-parameter Weibull form with the usual exponent.

    Source:
        trade-4

    >>> round(float(life_reliability_factor(98)), 3)
    0.244
    """
    return (log(100 / np.asarray(reliability_pct)) / log(100 / 90)) ** (1 / 1.17)


@valid(
    equivalent_load_n=(0, 100_000, "a load of nothing or more"),
    wanted_life_mrev=(0.001, 1e6, "a life above zero"),
    reliability_pct=(50, 99.9, "the Weibull form is used between the median and one in a thousand"),
    least_life_share=(0, 0.05, "published fits of the three-parameter form lie near 0.02"),
    typical_life_share=(4, 5, "published fits of the three-parameter form lie near 4.46"),
    life_shape=(1, 2, "published fits of the three-parameter form lie near 1.48"),
)
def weibull_dynamic_rating_n(
    equivalent_load_n: N,
    wanted_life_mrev: Mrev,
    reliability_pct: Pct = 90.0,
    least_life_share: Pure = 0.02,
    typical_life_share: Pure = 4.459,
    life_shape: Pure = 1.483,
) -> N:
    """Dynamic load rating that a ball bearing needs for a wanted life and reliability.

    Formula:
        x = x_0 + (theta - x_0) * log(100 / R) ** (1 / b)
        C = P * cbrt(L / x)

    Args:
        equivalent_load_n: P, equivalent load. [N]
        wanted_life_mrev: L, turns it should last. [million revolutions]
        reliability_pct: R, share of bearings that must survive. [%]
        least_life_share: x_0, life that all bearings reach over the rating life. [-]
        typical_life_share: theta, characteristic life over the rating life. [-]
        life_shape: b, Weibull shape. [-]

    Returns:
        C, dynamic load rating needed. [N]

    Accuracy:
        Three-parameter Weibull form; at 90 % it asks for 0.2 % more than the plain rating life.

    Source:
        trade-113

    >>> round(float(weibull_dynamic_rating_n(3000, 525)), -2)
    24300.0
    """
    x_0, theta, b = least_life_share, typical_life_share, life_shape
    x = x_0 + (theta - x_0) * log(100 / np.asarray(reliability_pct)) ** (1 / b)
    return equivalent_load_n * cbrt(wanted_life_mrev / x)


def mean_load_n(loads_n: Sequence[float], speeds_rpm: Sequence[float], shares: Sequence[float]) -> float:
    """Steady load that would tire a ball bearing as fast as a duty in steps.

    Each step has its load, its speed and its share of the time; turns weigh the cube of the load.

    >>> round(mean_load_n([3000, 4000, 5000], [1440, 1080, 720], [0.25, 0.5, 0.25]))
    3954
    """
    loads, turns = _steps(loads_n, speeds_rpm, shares)
    return float(cbrt(float((turns * loads**3).sum() / turns.sum())))


def mean_speed_rpm(speeds_rpm: Sequence[float], shares: Sequence[float]) -> float:
    """Mean speed of a duty in steps, weighted by the time that each lasts.

    >>> mean_speed_rpm([1440, 1080, 720], [0.25, 0.5, 0.25])
    1080.0
    """
    _, turns = _steps([1.0] * len(speeds_rpm), speeds_rpm, shares)
    return float(turns.sum())


def _steps(
    loads_n: Sequence[float], speeds_rpm: Sequence[float], shares: Sequence[float]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    if not len(loads_n) == len(speeds_rpm) == len(shares) > 0:
        raise ValueError("steps: give one load, one speed and one share for each step, and at least one step")
    if min(loads_n) < 0 or min(speeds_rpm) <= 0 or min(shares) < 0:
        raise ValueError("steps: loads and shares must not be negative, and speeds must be above zero")
    if abs(sum(shares) - 1) > 1e-6:
        raise ValueError(f"shares: expected to add up to 1, got {sum(shares):g}")
    return np.asarray(loads_n, dtype=float), np.asarray(speeds_rpm, float) * np.asarray(shares, float)


@valid(
    speed_kmh=(0, 130, "riding speeds"),
    wheel_circumference_mm=(500, 2600, "wheels of 6 to 36 inches"),
)
def wheel_bearing_speed_rpm(speed_kmh: Kmh, wheel_circumference_mm: Mm) -> Rpm:
    """Turns a minute of a wheel's bearings.

    Formula:
        n = v * 10**6 / (60 * U)

    Args:
        speed_kmh: v, riding speed. [km/h]
        wheel_circumference_mm: U, way of one turn of the wheel. [mm]

    Returns:
        n, speed of the bearing. [rpm]

    Accuracy:
        Exact for the circumference given.

    Source:
        arithmetic

    >>> round(float(wheel_bearing_speed_rpm(30, 2100)))
    238
    """
    return np.asarray(speed_kmh) * 10**6 / (60 * np.asarray(wheel_circumference_mm))


@valid(
    rider_mass_kg=(0, 250, "an unloaded bicycle to a heavy rider"),
    bike_mass_kg=(3, 80, "a track bicycle to a loaded cargo bicycle"),
)
def wheel_bearing_load_n(rider_mass_kg: Kg, bike_mass_kg: Kg) -> N:
    """Weight that stands on all bearings of both wheels together.

    Formula:
        F = (m + m_b) * g_n

    Args:
        rider_mass_kg: m, rider with kit. [kg]
        bike_mass_kg: m_b, bicycle with what it carries. [kg]

    Returns:
        F, load on the wheel bearings. [N]

    Accuracy:
        A little high, for the wheels themselves do not stand on their bearings.

    Source:
        mechanics

    >>> round(float(wheel_bearing_load_n(75, 10)))
    834
    """
    return (np.asarray(rider_mass_kg) + bike_mass_kg) * 9.80665


@valid(
    rating_life_mrev=(0, 1e12, "a life of no turns or more"),
    wheel_circumference_mm=(500, 2600, "wheels of 6 to 36 inches"),
)
def wheel_bearing_life_km(rating_life_mrev: Mrev, wheel_circumference_mm: Mm) -> Km:
    """Rating life of a wheel's bearing as distance ridden.

    Formula:
        s = L * U

    Args:
        rating_life_mrev: L, basic rating life. [million revolutions]
        wheel_circumference_mm: U, way of one turn of the wheel. [mm]

    Returns:
        s, distance. [km]

    Accuracy:
        Fatigue only; a bearing that fails earlier died of water, dirt or a wrong fit.

    Source:
        arithmetic, iso-281

    >>> float(wheel_bearing_life_km(100, 2100))
    210000.0
    """
    return np.asarray(rating_life_mrev) * wheel_circumference_mm


@valid(
    radial_load_n=(0, 50_000, "a rider's weight and pedalling on one bearing, and worked examples beyond"),
    bearing_bore_mm=(3, 120, "bicycle bearings and worked examples"),
    bearing_friction=(0.0005, 0.02, "bare bearings lie near 0.0011; rubbing seals add a torque of their own"),
)
def bearing_friction_torque_n_m(radial_load_n: N, bearing_bore_mm: Mm, bearing_friction: Pure = 0.0011) -> NM:
    """Drag of a loaded deep-groove bearing without rubbing seals.

    Formula:
        M = mu * F * d / 2 / 1000

    Args:
        radial_load_n: F, load on the bearing. [N]
        bearing_bore_mm: d, bore. [mm]
        bearing_friction: mu, friction on the bore radius. [-]

    Returns:
        M, drag. [N·m]

    Accuracy:
        A handbook mean for oiled bearings; a rubbing seal and stiff grease may drag more than the load does.

    Source:
        trade-4

    >>> round(float(bearing_friction_torque_n_m(400, 15)), 4)
    0.0033
    """
    return bearing_friction * radial_load_n * np.asarray(bearing_bore_mm) / 2 / 1000


@valid(
    bearing_friction_torque_n_m=(0, 100, "a drag of nothing or more"),
    bearing_speed_rpm=(0, 20_000, "from rest to workshop machines"),
)
def bearing_friction_power_w(bearing_friction_torque_n_m: NM, bearing_speed_rpm: Rpm) -> W:
    """Power that a bearing's drag takes.

    Formula:
        Q = M * 2 * pi * n / 60

    Args:
        bearing_friction_torque_n_m: M, drag of the bearing. [N·m]
        bearing_speed_rpm: n, speed. [rpm]

    Returns:
        Q, power lost. [W]

    Accuracy:
        As the drag.

    Source:
        trade-4, mechanics

    >>> round(float(bearing_friction_power_w(0.0033, 238)), 3)
    0.082
    """
    return np.asarray(bearing_friction_torque_n_m) * 2 * pi * bearing_speed_rpm / 60


@valid(
    play_mm=(0, 10, "play felt at the rim"),
    rim_radius_mm=(100, 360, "from small folding wheels to the largest"),
    bearing_spacing_mm=(15, 130, "distance between a hub's bearings"),
)
def bearing_play_um(play_mm: Mm, rim_radius_mm: Mm = 311.0, bearing_spacing_mm: Mm = 60.0) -> Um:
    """Play in one hub bearing that would let the rim rock as far as was felt.

    Formula:
        s = 1000 * w * a / (2 * r)

    Args:
        play_mm: w, way of the rim from side to side. [mm]
        rim_radius_mm: r, radius of the rim. [mm]
        bearing_spacing_mm: a, distance between the bearings. [mm]

    Returns:
        s, play across one bearing. [µm]

    Accuracy:
        Both bearings loose alike and nothing else giving way.

    Source:
        geometry

    >>> round(float(bearing_play_um(1, 311, 60)))
    96
    """
    return 1000 * np.asarray(play_mm) * bearing_spacing_mm / (2 * np.asarray(rim_radius_mm))


# ISO 286


def _column(table: Sequence[Row], name: str) -> NDArray[np.float64]:
    return np.array([float(row[name]) for row in table])


def _stepped(table: Sequence[Row], column: str, size_mm: Pure) -> Pure:
    # "Up to and including": a size on the boundary belongs to the smaller step.
    return _column(table, column)[np.searchsorted(_column(table, "to_mm"), size_mm, side="left")]


def _limits(tolerance_class: str) -> tuple[Row, ...]:
    return tuple(r for r in rows("bearings/iso286_limits") if r["tolerance_class"] == tolerance_class)


@valid(hole_class=HOLE_CLASSES, nominal_size_mm=_SIZE)
def hole_upper_deviation_um(hole_class: Word, nominal_size_mm: Mm) -> Um:
    """How much larger than nominal a hole of a tolerance class may be.

    Rule:
        The row of the ISO 286 table with that class and the step (over, up to and including) gives it.

    Args:
        hole_class: tolerance class of the hole. [word]
        nominal_size_mm: D, nominal size. [mm]

    Returns:
        ES, upper limit deviation. [µm]

    Accuracy:
        As printed in the standard. A size of exactly 30 mm belongs to the step 18 to 30.

    Source:
        iso-286, trade-1

    >>> float(hole_upper_deviation_um("H7", 30)), float(hole_upper_deviation_um("N7", 41))
    (21.0, -8.0)
    """
    return _stepped(_limits(hole_class), "upper_um", nominal_size_mm)


@valid(hole_class=HOLE_CLASSES, nominal_size_mm=_SIZE)
def hole_lower_deviation_um(hole_class: Word, nominal_size_mm: Mm) -> Um:
    """How far from nominal the smallest hole of a tolerance class lies.

    Rule:
        The row of the ISO 286 table with that class and the step (over, up to and including) gives it.

    Args:
        hole_class: tolerance class of the hole. [word]
        nominal_size_mm: D, nominal size. [mm]

    Returns:
        EI, lower limit deviation. [µm]

    Accuracy:
        As printed in the standard. A size of exactly 30 mm belongs to the step 18 to 30.

    Source:
        iso-286, trade-1

    >>> float(hole_lower_deviation_um("P7", 42))
    -42.0
    """
    return _stepped(_limits(hole_class), "lower_um", nominal_size_mm)


@valid(shaft_class=SHAFT_CLASSES, nominal_size_mm=_SIZE)
def shaft_upper_deviation_um(shaft_class: Word, nominal_size_mm: Mm) -> Um:
    """How far from nominal the largest shaft of a tolerance class lies.

    Rule:
        The row of the ISO 286 table with that class and the step (over, up to and including) gives it.

    Args:
        shaft_class: tolerance class of the shaft. [word]
        nominal_size_mm: D, nominal size. [mm]

    Returns:
        es, upper limit deviation. [µm]

    Accuracy:
        As printed in the standard. A size of exactly 30 mm belongs to the step 18 to 30.

    Source:
        iso-286, trade-1

    >>> float(shaft_upper_deviation_um("k6", 17))
    12.0
    """
    return _stepped(_limits(shaft_class), "upper_um", nominal_size_mm)


@valid(shaft_class=SHAFT_CLASSES, nominal_size_mm=_SIZE)
def shaft_lower_deviation_um(shaft_class: Word, nominal_size_mm: Mm) -> Um:
    """How far from nominal the smallest shaft of a tolerance class lies.

    Rule:
        The row of the ISO 286 table with that class and the step (over, up to and including) gives it.

    Args:
        shaft_class: tolerance class of the shaft. [word]
        nominal_size_mm: D, nominal size. [mm]

    Returns:
        ei, lower limit deviation. [µm]

    Accuracy:
        As printed in the standard. A size of exactly 30 mm belongs to the step 18 to 30.

    Source:
        iso-286, trade-1

    >>> float(shaft_lower_deviation_um("g6", 15))
    -17.0
    """
    return _stepped(_limits(shaft_class), "lower_um", nominal_size_mm)


@valid(tolerance_grade=GRADES, nominal_size_mm=_SIZE)
def standard_tolerance_um(tolerance_grade: Word, nominal_size_mm: Mm) -> Um:
    """Width of a standard tolerance grade.

    Rule:
        The row of the ISO 286 table with that grade and the step (over, up to and including) gives it.

    Args:
        tolerance_grade: grade of the tolerance. [word]
        nominal_size_mm: D, nominal size. [mm]

    Returns:
        T, width of the tolerance. [µm]

    Accuracy:
        As printed in the standard.

    Source:
        iso-286, trade-1

    >>> float(standard_tolerance_um("IT7", 42))
    25.0
    """
    table = [row for row in rows("bearings/iso286_widths") if row["grade"] == tolerance_grade]
    return _stepped(table, "width_um", nominal_size_mm)


@valid(nominal_size_mm=(1, 500, "the standard's formula holds up to 500 mm"))
def tolerance_unit_um(nominal_size_mm: Mm) -> Um:
    """Unit from which the widths of the tolerance grades are built.

    Formula:
        i = 0.45 * cbrt(D) + 0.001 * D

    Args:
        nominal_size_mm: D, geometric mean of the two ends of the size step. [mm]

    Returns:
        i, tolerance unit. [µm]

    Accuracy:
        IT6 is 10 units, IT7 16, IT8 25, each within 1 µm of the printed table before the standard rounds.

    Source:
        iso-286, trade-6

    >>> round(float(tolerance_unit_um((18 * 30) ** 0.5)), 2)
    1.31
    """
    return 0.45 * cbrt(nominal_size_mm) + 0.001 * np.asarray(nominal_size_mm)


@valid(
    step_low_mm=(1, 250, "the standard's formula holds up to 500 mm"),
    step_high_mm=(1, 500, "the standard's formula holds up to 500 mm"),
)
def step_mean_mm(step_low_mm: Mm, step_high_mm: Mm) -> Mm:
    """Geometric mean of a size step, which stands for every size in it.

    Formula:
        D = sqrt(D_1 * D_2)

    Args:
        step_low_mm: D_1, size that the step lies over. [mm]
        step_high_mm: D_2, size up to and including which it runs. [mm]

    Returns:
        D, geometric mean. [mm]

    Accuracy:
        Exact.

    Source:
        iso-286

    >>> round(float(step_mean_mm(30, 50)), 2)
    38.73
    """
    return sqrt(np.asarray(step_low_mm) * step_high_mm)


@valid(
    tolerance_unit_um=(0.3, 5, "sizes up to 500 mm"),
    grade_units=(7, 40, "7 units for IT5, 10, 16, 25 and 40 for IT6 to IT9"),
)
def tolerance_by_formula_um(tolerance_unit_um: Um, grade_units: Pure) -> Um:
    """Width of a tolerance grade from the standard's formula, before rounding.

    Formula:
        T = k * i

    Args:
        tolerance_unit_um: i, tolerance unit. [µm]
        grade_units: k, units in the grade. [-]

    Returns:
        T, width of the tolerance. [µm]

    Accuracy:
        Within 1 µm of the printed widths up to 80 mm.

    Source:
        iso-286, trade-6

    >>> round(float(tolerance_by_formula_um(1.307, 16)), 1)
    20.9
    """
    return np.asarray(tolerance_unit_um) * grade_units


@valid(hole_lower_deviation_um=_DEVIATION, shaft_upper_deviation_um=_DEVIATION)
def least_clearance_um(hole_lower_deviation_um: Um, shaft_upper_deviation_um: Um) -> Um:
    """Tightest fit of a hole and a shaft: smallest hole, largest shaft. Negative is interference.

    Formula:
        s = EI - es

    Args:
        hole_lower_deviation_um: EI, lower limit deviation of the hole. [µm]
        shaft_upper_deviation_um: es, upper limit deviation of the shaft. [µm]

    Returns:
        s, least clearance. [µm]

    Accuracy:
        Exact for round parts at 20 °C.

    Source:
        iso-286

    >>> float(least_clearance_um(-42, 0))
    -42.0
    """
    return np.asarray(hole_lower_deviation_um) - np.asarray(shaft_upper_deviation_um)


@valid(hole_upper_deviation_um=_DEVIATION, shaft_lower_deviation_um=_DEVIATION)
def greatest_clearance_um(hole_upper_deviation_um: Um, shaft_lower_deviation_um: Um) -> Um:
    """Loosest fit of a hole and a shaft: largest hole, smallest shaft. Negative is interference.

    Formula:
        s = ES - ei

    Args:
        hole_upper_deviation_um: ES, upper limit deviation of the hole. [µm]
        shaft_lower_deviation_um: ei, lower limit deviation of the shaft. [µm]

    Returns:
        s, greatest clearance. [µm]

    Accuracy:
        Exact for round parts at 20 °C.

    Source:
        iso-286

    >>> float(greatest_clearance_um(-17, -16))
    -1.0
    """
    return np.asarray(hole_upper_deviation_um) - np.asarray(shaft_lower_deviation_um)


def fit_kind(
    least_clearance_um: float, greatest_clearance_um: float
) -> Literal["clearance", "transition", "interference"]:
    """Whether a fit always slides, always grips, or may do either.

    >>> fit_kind(-33, 8), fit_kind(0, 29), fit_kind(-42, -1)
    ('transition', 'clearance', 'interference')
    """
    if least_clearance_um > greatest_clearance_um:
        raise ValueError(
            f"clearance: least {least_clearance_um:g} is above greatest {greatest_clearance_um:g}"
        )
    if least_clearance_um >= 0:
        return "clearance"
    return "interference" if greatest_clearance_um < 0 else "transition"


@valid(
    nominal_size_mm=(1, 500, "sizes of the standard"),
    deviation_um=_DEVIATION,
)
def limit_size_mm(nominal_size_mm: Mm, deviation_um: Um) -> Mm:
    """Limit of size from the nominal size and a limit deviation.

    Formula:
        G = D + d / 1000

    Args:
        nominal_size_mm: D, nominal size. [mm]
        deviation_um: d, limit deviation. [µm]

    Returns:
        G, limit of size. [mm]

    Accuracy:
        Exact.

    Source:
        iso-286

    >>> round(float(limit_size_mm(42, -17)), 3)
    41.983
    """
    return np.asarray(nominal_size_mm) + np.asarray(deviation_um) / 1000


@valid(
    least_interference_um=(0, 500, "an interference of nothing or more"),
    greatest_interference_um=(0, 1000, "an interference of nothing or more"),
)
def equal_tolerance_um(least_interference_um: Um, greatest_interference_um: Um) -> Um:
    """Tolerance that hole and shaft may each have when they share a fit's spread equally.

    Formula:
        T = (u_2 - u_1) / 2

    Args:
        least_interference_um: u_1, interference at the loosest. [µm]
        greatest_interference_um: u_2, interference at the tightest. [µm]

    Returns:
        T, tolerance of each part. [µm]

    Accuracy:
        Exact.

    Source:
        trade-6, iso-286

    >>> float(equal_tolerance_um(50, 120))
    35.0
    """
    return (np.asarray(greatest_interference_um) - np.asarray(least_interference_um)) / 2


# Shell and bearing as measured


@valid(
    shell_bore_mm=(5, 120, "from pedal bodies to the largest shells"),
    bearing_outside_diameter_mm=(5, 120, "from pedal bodies to the largest shells"),
)
def shell_clearance_um(shell_bore_mm: Mm, bearing_outside_diameter_mm: Mm) -> Um:
    """How much larger the bore is than the bearing. Negative is interference: the bearing grips.

    Formula:
        s = 1000 * (D_s - D)

    Args:
        shell_bore_mm: D_s, bore of the bare shell. [mm]
        bearing_outside_diameter_mm: D, outside diameter of the bearing or cup. [mm]

    Returns:
        s, clearance on the diameter. [µm]

    Accuracy:
        As the measurement: a calliper reads to about 20 µm, an inside micrometer to 5 µm.

    Source:
        arithmetic

    >>> round(float(shell_clearance_um(42.05, 42.0)))
    50
    """
    return 1000 * (np.asarray(shell_bore_mm) - np.asarray(bearing_outside_diameter_mm))


@valid(
    bearing_outside_diameter_mm=(5, 120, "from pedal bodies to the largest shells"),
    oversize_mm=(0.01, 0.5, "oversize bearings are sold about 0.1 mm larger"),
)
def oversize_bearing_diameter_mm(bearing_outside_diameter_mm: Mm, oversize_mm: Mm = 0.1) -> Mm:
    """Outside diameter of an oversize bearing for a worn shell.

    Formula:
        D_1 = D + o

    Args:
        bearing_outside_diameter_mm: D, outside diameter of the normal bearing. [mm]
        oversize_mm: o, how much larger the oversize bearing is. [mm]

    Returns:
        D_1, outside diameter of the oversize bearing. [mm]

    Accuracy:
        The 0.1 mm is common practice; the seller's figure counts.

    Source:
        common-practice

    >>> round(float(oversize_bearing_diameter_mm(42)), 1)
    42.1
    """
    return np.asarray(bearing_outside_diameter_mm) + np.asarray(oversize_mm)


@valid(
    shell_bore_mm=(5, 120, "from pedal bodies to the largest shells"),
    oversize_bearing_diameter_mm=(5, 120.5, "from pedal bodies to the largest shells"),
)
def oversize_clearance_um(shell_bore_mm: Mm, oversize_bearing_diameter_mm: Mm) -> Um:
    """Clearance of an oversize bearing in the measured shell. Negative is interference.

    Formula:
        s = 1000 * (D_s - D_1)

    Args:
        shell_bore_mm: D_s, bore of the bare shell. [mm]
        oversize_bearing_diameter_mm: D_1, outside diameter of the oversize bearing. [mm]

    Returns:
        s, clearance on the diameter. [µm]

    Accuracy:
        As the measurement of the shell.

    Source:
        arithmetic

    >>> round(float(oversize_clearance_um(42.06, 42.1)))
    -40
    """
    return 1000 * (np.asarray(shell_bore_mm) - np.asarray(oversize_bearing_diameter_mm))


@valid(
    largest_bore_mm=(5, 121, "from pedal bodies to the largest shells"),
    smallest_bore_mm=(5, 120, "from pedal bodies to the largest shells"),
)
def shell_ovality_um(largest_bore_mm: Mm, smallest_bore_mm: Mm) -> Um:
    """How far out of round a bore is.

    Formula:
        o = 1000 * (D_2 - D_1)

    Args:
        largest_bore_mm: D_2, largest diameter measured. [mm]
        smallest_bore_mm: D_1, smallest diameter measured. [mm]

    Returns:
        o, difference of the diameters. [µm]

    Accuracy:
        As the measurement; take four diameters, 45 degrees apart, at both ends of the seat.

    Source:
        arithmetic

    >>> round(float(shell_ovality_um(42.04, 41.97)))
    70
    """
    return 1000 * (np.asarray(largest_bore_mm) - np.asarray(smallest_bore_mm))


@valid(shell_clearance_um=(-2000, 2000, "a fit, not two different sizes"))
def radial_interference_um(shell_clearance_um: Um) -> Um:
    """Interference on the radius, which the pressure formulas want: half that on the diameter.

    Formula:
        delta = max(-s, 0) / 2

    Args:
        shell_clearance_um: s, clearance on the diameter. [µm]

    Returns:
        delta, radial interference, zero where the fit is loose. [µm]

    Accuracy:
        Mixing radius and diameter changes every pressure by a factor of two.

    Source:
        arithmetic, trade-7

    >>> float(radial_interference_um(-40))
    20.0
    """
    return np.maximum(-np.asarray(shell_clearance_um, dtype=float), 0) / 2


@valid(
    seat_diameter_mm=_SEAT,
    shell_wall_mm=(0.3, 60, "thin cups to solid frames"),
)
def hub_outside_ratio(seat_diameter_mm: Mm, shell_wall_mm: Mm) -> Pure:
    """Outside over inside diameter of the hub or shell round a bearing.

    Formula:
        k = 1 + 2 * t / d

    Args:
        seat_diameter_mm: d, diameter of the seat. [mm]
        shell_wall_mm: t, thickness of the wall round it. [mm]

    Returns:
        k, ratio of the diameters. [-]

    Accuracy:
        A shell with tubes on it is stiffer than a plain ring.

    Source:
        geometry

    >>> round(float(hub_outside_ratio(42, 2)), 4)
    1.0952
    """
    return 1 + 2 * np.asarray(shell_wall_mm) / seat_diameter_mm


@valid(
    radial_interference_um=(0, 1000, "an interference of nothing or more"),
    seat_diameter_mm=(4, 600, "bicycle seats and worked examples"),
    hub_outside_ratio=_OUTSIDE_RATIO,
    ring_bore_ratio=_BORE_RATIO,
    modulus_gpa=_MODULUS,
)
def one_material_press_pressure_mpa(
    radial_interference_um: Um,
    seat_diameter_mm: Mm,
    hub_outside_ratio: Pure,
    ring_bore_ratio: Pure = 0.0,
    modulus_gpa: Gpa = STEEL_MODULUS_GPA,
) -> Mpa:
    """Pressure between a ring or shaft and the hub round it, both of one material.

    Formula:
        b = d / 2
        a = k_i * b
        c = k_o * b
        p = E * delta / b * (b**2 - a**2) * (c**2 - b**2) / (2 * b**2 * (c**2 - a**2))

    Args:
        radial_interference_um: delta, interference on the RADIUS. [µm]
        seat_diameter_mm: d, diameter of the seat. [mm]
        hub_outside_ratio: k_o, outside over inside diameter of the hub. [-]
        ring_bore_ratio: k_i, bore over outside diameter of the ring, 0 for a solid shaft. [-]
        modulus_gpa: E, modulus of elasticity. [GPa]

    Returns:
        p, contact pressure. [MPa]

    Accuracy:
        Thick-walled rings of even wall; the interference is on the radius, half of that on the diameter.

    Source:
        trade-7

    >>> round(float(one_material_press_pressure_mpa(100, 400, 1.25, 0.75)), 1)
    12.3
    """
    E, delta = modulus_gpa, radial_interference_um
    b = np.asarray(seat_diameter_mm) / 2
    a, c = ring_bore_ratio * b, hub_outside_ratio * b
    return E * delta / b * (b**2 - a**2) * (c**2 - b**2) / (2 * b**2 * (c**2 - a**2))


@valid(
    radial_interference_um=(0, 1000, "an interference of nothing or more"),
    seat_diameter_mm=(4, 600, "bicycle seats and worked examples"),
    hub_outside_ratio=_OUTSIDE_RATIO,
    ring_bore_ratio=_BORE_RATIO,
    shell_modulus_gpa=_MODULUS,
    shell_poisson_ratio=_POISSON,
    ring_modulus_gpa=_MODULUS,
    ring_poisson_ratio=_POISSON,
)
def press_fit_pressure_mpa(
    radial_interference_um: Um,
    seat_diameter_mm: Mm,
    hub_outside_ratio: Pure,
    shell_modulus_gpa: Gpa,
    shell_poisson_ratio: Pure = 0.33,
    ring_bore_ratio: Pure = 0.9,
    ring_modulus_gpa: Gpa = STEEL_MODULUS_GPA,
    ring_poisson_ratio: Pure = STEEL_POISSON_RATIO,
) -> Mpa:
    """Pressure between a bearing and a shell of another material.

    Formula:
        b = d / 2
        a = k_i * b
        c = k_o * b
        g_o = ((c**2 + b**2) / (c**2 - b**2) + nu_o) / E_o
        g_i = ((b**2 + a**2) / (b**2 - a**2) - nu_i) / E_i
        p = delta / (b * (g_o + g_i))

    Args:
        radial_interference_um: delta, interference on the RADIUS. [µm]
        seat_diameter_mm: d, diameter of the seat. [mm]
        hub_outside_ratio: k_o, outside over inside diameter of the shell. [-]
        shell_modulus_gpa: E_o, modulus of the shell. [GPa]
        shell_poisson_ratio: nu_o, Poisson's ratio of the shell. [-]
        ring_bore_ratio: k_i, inside over outside diameter of the outer ring. [-]
        ring_modulus_gpa: E_i, modulus of the ring. [GPa]
        ring_poisson_ratio: nu_i, Poisson's ratio of the ring. [-]

    Returns:
        p, contact pressure. [MPa]

    Accuracy:
        Even rings without the balls' support; a carbon shell is not even all round, so only its order holds.

    Source:
        trade-8

    >>> round(float(press_fit_pressure_mpa(20, 42, 1.1, 69)), 1)
    4.7
    """
    b = np.asarray(seat_diameter_mm) / 2
    a, c = ring_bore_ratio * b, hub_outside_ratio * b
    g_o = ((c**2 + b**2) / (c**2 - b**2) + shell_poisson_ratio) / shell_modulus_gpa
    g_i = ((b**2 + a**2) / (b**2 - a**2) - ring_poisson_ratio) / ring_modulus_gpa
    return radial_interference_um / (b * (g_o + g_i))


@valid(
    press_fit_pressure_mpa=(0, 1000, "a pressure of nothing or more"),
    hub_outside_ratio=_OUTSIDE_RATIO,
)
def hub_hoop_stress_mpa(press_fit_pressure_mpa: Mpa, hub_outside_ratio: Pure) -> Mpa:
    """Largest stretch in the hub or shell, round its bore, from a press fit.

    Formula:
        sigma = p * (k**2 + 1) / (k**2 - 1)

    Args:
        press_fit_pressure_mpa: p, contact pressure. [MPa]
        hub_outside_ratio: k, outside over inside diameter of the hub. [-]

    Returns:
        sigma, hoop stress at the bore. [MPa]

    Accuracy:
        Even ring; scratches, slots and bonded joints raise it.

    Source:
        trade-7, trade-8

    >>> round(float(hub_hoop_stress_mpa(12.3, 1.25)), 1)
    56.0
    """
    k = np.asarray(hub_outside_ratio)
    return press_fit_pressure_mpa * (k**2 + 1) / (k**2 - 1)


@valid(
    inner_pressure_mpa=(0, 1000, "a pressure of nothing or more"),
    outer_pressure_mpa=(0, 1000, "a pressure of nothing or more"),
    outside_ratio=_OUTSIDE_RATIO,
    wall_depth_share=(0, 1, "0 is the bore, 1 the outside"),
)
def ring_hoop_stress_mpa(
    inner_pressure_mpa: Mpa, outer_pressure_mpa: Mpa, outside_ratio: Pure, wall_depth_share: Pure
) -> Mpa:
    """Stress round a thick ring under pressure, anywhere in its wall. Negative is compression.

    Formula:
        x = 1 + f * (k - 1)
        sigma = (p_1 - p_2 * k**2 + (p_1 - p_2) * (k / x) ** 2) / (k**2 - 1)

    Args:
        inner_pressure_mpa: p_1, pressure in the bore. [MPa]
        outer_pressure_mpa: p_2, pressure round the outside. [MPa]
        outside_ratio: k, outside over inside diameter. [-]
        wall_depth_share: f, place in the wall from 0 at the bore to 1 at the outside. [-]

    Returns:
        sigma, hoop stress. [MPa]

    Accuracy:
        Lamé's solution for an even ring within its elastic range.

    Source:
        trade-8, trade-9

    >>> float(ring_hoop_stress_mpa(300, 0, 5, 0))
    325.0
    """
    p_1, p_2, k = inner_pressure_mpa, outer_pressure_mpa, np.asarray(outside_ratio)
    x = 1 + wall_depth_share * (k - 1)
    return (p_1 - p_2 * k**2 + (p_1 - p_2) * (k / x) ** 2) / (k**2 - 1)


@valid(
    inner_pressure_mpa=(0, 1000, "a pressure of nothing or more"),
    outer_pressure_mpa=(0, 1000, "a pressure of nothing or more"),
    outside_ratio=_OUTSIDE_RATIO,
    wall_depth_share=(0, 1, "0 is the bore, 1 the outside"),
)
def ring_radial_stress_mpa(
    inner_pressure_mpa: Mpa, outer_pressure_mpa: Mpa, outside_ratio: Pure, wall_depth_share: Pure
) -> Mpa:
    """Stress through a thick ring under pressure, anywhere in its wall. Negative is compression.

    Formula:
        x = 1 + f * (k - 1)
        sigma = (p_1 - p_2 * k**2 - (p_1 - p_2) * (k / x) ** 2) / (k**2 - 1)

    Args:
        inner_pressure_mpa: p_1, pressure in the bore. [MPa]
        outer_pressure_mpa: p_2, pressure round the outside. [MPa]
        outside_ratio: k, outside over inside diameter. [-]
        wall_depth_share: f, place in the wall from 0 at the bore to 1 at the outside. [-]

    Returns:
        sigma, radial stress. [MPa]

    Accuracy:
        Lamé's solution for an even ring within its elastic range.

    Source:
        trade-8

    >>> float(ring_radial_stress_mpa(300, 0, 5, 0))
    -300.0
    """
    p_1, p_2, k = inner_pressure_mpa, outer_pressure_mpa, np.asarray(outside_ratio)
    x = 1 + wall_depth_share * (k - 1)
    return (p_1 - p_2 * k**2 - (p_1 - p_2) * (k / x) ** 2) / (k**2 - 1)


@valid(
    press_fit_pressure_mpa=(0, 1000, "a pressure of nothing or more"),
    seat_diameter_mm=(4, 600, "bicycle seats and worked examples"),
    engaged_length_mm=(1, 200, "width of the bearing or cup in its seat"),
    seat_friction=(0.02, 0.6, "greased steel to dry aluminium"),
)
def press_force_n(
    press_fit_pressure_mpa: Mpa, seat_diameter_mm: Mm, engaged_length_mm: Mm, seat_friction: Pure = 0.15
) -> N:
    """Force that slides a press-fitted bearing in its seat, in or out.

    Formula:
        F = 2 * pi * (d / 2) * L * mu * p

    Args:
        press_fit_pressure_mpa: p, contact pressure. [MPa]
        seat_diameter_mm: d, diameter of the seat. [mm]
        engaged_length_mm: L, length of the seat that touches. [mm]
        seat_friction: mu, friction between ring and seat. [-]

    Returns:
        F, force along the axis. [N]

    Accuracy:
        The formula only: no published force was found to hold it against. Friction may be half or double.

    Caution:
        Pull bearings in with a screw press over the outer ring; a hammer on the inner ring dents the races.

    Source:
        mechanics, common-practice

    >>> round(float(press_force_n(5.1, 42, 7)))
    707
    """
    return (
        2
        * pi
        * (np.asarray(seat_diameter_mm) / 2)
        * engaged_length_mm
        * seat_friction
        * press_fit_pressure_mpa
    )


@valid(press_force_n=(0, 1e6, "a force of nothing or more"))
def press_force_kgf(press_force_n: N) -> Kgf:
    """The press force as weight on the hand, to see whether it can be pushed at all.

    Formula:
        W = F / g_n

    Args:
        press_force_n: F, force along the axis. [N]

    Returns:
        W, the same as a weight. [kgf]

    Accuracy:
        A thumb pushes about 10 to 30 kgf (common practice); more wants a press.

    Source:
        mechanics, common-practice

    >>> round(float(press_force_kgf(294.2)), 1)
    30.0
    """
    return np.asarray(press_force_n) / 9.80665


@valid(
    hand_push_kgf=(1, 60, "what two thumbs can push"),
    engaged_length_mm=(1, 200, "width of the bearing or cup in its seat"),
    hub_outside_ratio=_OUTSIDE_RATIO,
    shell_modulus_gpa=_MODULUS,
    shell_poisson_ratio=_POISSON,
    ring_bore_ratio=(0.0, 0.98, "0 is a solid shaft"),
    seat_friction=(0.02, 0.6, "greased steel to dry aluminium"),
)
def hand_push_interference_um(
    engaged_length_mm: Mm,
    hub_outside_ratio: Pure,
    shell_modulus_gpa: Gpa,
    hand_push_kgf: Kgf = 30.0,
    shell_poisson_ratio: Pure = 0.33,
    ring_bore_ratio: Pure = 0.9,
    seat_friction: Pure = 0.15,
) -> Um:
    """Most interference on the diameter that a bearing can still have when a hand pushes it out.

    Formula:
        g_o = ((k_o**2 + 1) / (k_o**2 - 1) + nu_o) / E_o
        g_i = ((1 + k_i**2) / (1 - k_i**2) - 0.29) / 200
        u = W * g_n / (pi * L * mu) * (g_o + g_i)

    Args:
        engaged_length_mm: L, length of the seat that touches. [mm]
        hub_outside_ratio: k_o, outside over inside diameter of the shell. [-]
        shell_modulus_gpa: E_o, modulus of the shell. [GPa]
        hand_push_kgf: W, push of the hand as a weight. [kgf]
        shell_poisson_ratio: nu_o, Poisson's ratio of the shell. [-]
        ring_bore_ratio: k_i, inside over outside diameter of the outer ring. [-]
        seat_friction: mu, friction between ring and seat. [-]

    Returns:
        u, interference on the DIAMETER. [µm]

    Accuracy:
        Steel ring; the friction is the doubtful part, so read it as an order of size.

    Source:
        trade-8, mechanics, common-practice

    >>> round(float(hand_push_interference_um(7, 1.1, 69)))
    18
    """
    k_o, k_i = np.asarray(hub_outside_ratio), np.asarray(ring_bore_ratio)
    g_o = ((k_o**2 + 1) / (k_o**2 - 1) + shell_poisson_ratio) / shell_modulus_gpa
    g_i = ((1 + k_i**2) / (1 - k_i**2) - STEEL_POISSON_RATIO) / STEEL_MODULUS_GPA
    return hand_push_kgf * 9.80665 / (pi * engaged_length_mm * seat_friction) * (g_o + g_i)


# Heat


@valid(
    diametral_interference_um=(0, 1000, "an interference of nothing or more"),
    seat_diameter_mm=(4, 2000, "bicycle seats and worked examples"),
    part_expansion_per_k=(1e-6, 100e-6, "from invar to plastics"),
    heating_margin_k=(0, 60, "20 to 30 degrees is usual, 0 to see the bare fit vanish"),
)
def heating_for_fit_k(
    diametral_interference_um: Um,
    seat_diameter_mm: Mm,
    part_expansion_per_k: PerK = STEEL_EXPANSION_PER_K,
    heating_margin_k: K = 25.0,
) -> K:
    """How much warmer the outer part must be than the inner to slide together.

    Formula:
        T = u / (alpha * d * 1000) + m

    Args:
        diametral_interference_um: u, interference on the DIAMETER. [µm]
        seat_diameter_mm: d, diameter of the seat. [mm]
        part_expansion_per_k: alpha, expansion of the part that is heated. [1/K]
        heating_margin_k: m, margin for cooling on the way. [K]

    Returns:
        T, temperature difference. [K]

    Accuracy:
        Even heating; parts touching each other lose the difference within seconds.

    Caution:
        Bearings never above 120 °C, no flame, and sealed bearings never in oil. No heat on carbon or paint
        without its maker's word.

    Source:
        trade-8, trade-54

    >>> round(float(heating_for_fit_k(65, 120, heating_margin_k=0)), 1)
    45.1
    """
    return np.asarray(diametral_interference_um) / (
        part_expansion_per_k * np.asarray(seat_diameter_mm) * 1000
    ) + (heating_margin_k)


@valid(
    room_temperature_degc=(-20, 45, "a workshop"),
    heating_for_fit_k=(0, 400, "a difference of nothing or more"),
)
def fitting_temperature_degc(heating_for_fit_k: K, room_temperature_degc: DegC = 20.0) -> DegC:
    """Temperature to which the outer part is heated for a sliding assembly.

    Formula:
        T_1 = T_0 + T

    Args:
        heating_for_fit_k: T, temperature difference needed. [K]
        room_temperature_degc: T_0, temperature of the workshop and of the inner part. [°C]

    Returns:
        T_1, temperature of the heated part. [°C]

    Accuracy:
        As the difference.

    Caution:
        Where it comes out above 120 °C, do not heat a bearing: cool the inner part or press it in cold.

    Source:
        trade-54, trade-55

    >>> float(fitting_temperature_degc(70))
    90.0
    """
    return np.asarray(room_temperature_degc) + np.asarray(heating_for_fit_k)


@valid(
    fitting_temperature_degc=(-20, 445, "from a cold workshop up"),
    heating_ceiling_degc=(60, 120, "120 °C for bearings; lower for seals, glue and paint by their makers"),
)
def heating_room_left_k(fitting_temperature_degc: DegC, heating_ceiling_degc: DegC = 120.0) -> K:
    """How far a fitting temperature stays below the ceiling for bearings. Negative is too hot.

    Formula:
        m = T_max - T_1

    Args:
        fitting_temperature_degc: T_1, temperature of the heated part. [°C]
        heating_ceiling_degc: T_max, ceiling. [°C]

    Returns:
        m, room left. [K]

    Accuracy:
        The ceiling is two bearing makers' figure for plain steel bearings.

    Caution:
        Rubber seals are rated to 100 °C only, and glue in a carbon frame far lower.

    Source:
        trade-54, trade-55, trade-59

    >>> float(heating_room_left_k(90))
    30.0
    """
    return np.asarray(heating_ceiling_degc) - np.asarray(fitting_temperature_degc)


@valid(
    hoop_stress_mpa=(0, 1000, "a stress of nothing or more"),
    modulus_gpa=_MODULUS,
    part_expansion_per_k=(1e-6, 100e-6, "from invar to plastics"),
)
def heating_for_hoop_stress_k(
    hoop_stress_mpa: Mpa,
    modulus_gpa: Gpa = STEEL_MODULUS_GPA,
    part_expansion_per_k: PerK = STEEL_EXPANSION_PER_K,
) -> K:
    """How much a thin ring was heated over its seat when it shrank to a given hoop stress.

    Formula:
        T = sigma / (E * 1000 * alpha)

    Args:
        hoop_stress_mpa: sigma, hoop stress of the shrunk ring. [MPa]
        modulus_gpa: E, modulus of elasticity. [GPa]
        part_expansion_per_k: alpha, expansion of the ring. [1/K]

    Returns:
        T, temperature difference at which it just slides over. [K]

    Accuracy:
        Thin ring on a seat that does not give.

    Source:
        trade-9

    >>> round(float(heating_for_hoop_stress_k(240)), 0)
    100.0
    """
    return np.asarray(hoop_stress_mpa) / (np.asarray(modulus_gpa) * 1000 * part_expansion_per_k)


def _material(name: str, column: str) -> float:
    return next(float(row[column]) for row in rows("bearings/materials") if row["material"] == name)


@valid(frame_material=MATERIALS)
def shell_expansion_per_k(frame_material: Word) -> PerK:
    """Thermal expansion of a frame's shell by its material.

    Rule:
        The row of the table of materials gives it.

    Args:
        frame_material: what the shell is made of. [word]

    Returns:
        alpha, expansion. [1/K]

    Accuracy:
        Metals within 5 %. A carbon laminate depends on its lay-up; 3 × 10⁻⁶ is from memory.

    Source:
        bearings-materials, from-memory

    >>> float(shell_expansion_per_k("aluminium"))
    2.34e-05
    """
    return _material(frame_material, "expansion_per_k")


@valid(frame_material=MATERIALS)
def shell_modulus_gpa(frame_material: Word) -> Gpa:
    """Stiffness of a frame's shell by its material.

    Rule:
        The row of the table of materials gives it.

    Args:
        frame_material: what the shell is made of. [word]

    Returns:
        E, modulus of elasticity. [GPa]

    Accuracy:
        Metals within 5 %. A carbon laminate depends on its lay-up; 50 GPa is from memory.

    Source:
        bearings-materials, from-memory

    >>> float(shell_modulus_gpa("steel"))
    200.0
    """
    return _material(frame_material, "modulus_gpa")


@valid(
    seat_diameter_mm=_SEAT,
    shell_expansion_per_k=_EXPANSION,
    warming_k=(-80, 120, "from the coldest ride to a workshop's heat gun"),
    ring_expansion_per_k=_EXPANSION,
)
def thermal_clearance_um(
    seat_diameter_mm: Mm,
    shell_expansion_per_k: PerK,
    warming_k: K,
    ring_expansion_per_k: PerK = STEEL_EXPANSION_PER_K,
) -> Um:
    """How much a fit loosens when shell and bearing warm together. Negative: it tightens.

    Formula:
        s = (alpha_o - alpha_i) * d * T * 1000

    Args:
        seat_diameter_mm: d, diameter of the seat. [mm]
        shell_expansion_per_k: alpha_o, expansion of the shell. [1/K]
        warming_k: T, warming from the workshop. [K]
        ring_expansion_per_k: alpha_i, expansion of the bearing. [1/K]

    Returns:
        s, clearance gained on the diameter. [µm]

    Accuracy:
        Free rings; a steel bearing in aluminium loosens in the sun and tightens in frost, in carbon reversed.

    Source:
        mechanics, bearings-materials

    >>> round(float(thermal_clearance_um(42, 23.4e-6, 20)), 1)
    9.6
    """
    return (np.asarray(shell_expansion_per_k) - ring_expansion_per_k) * seat_diameter_mm * warming_k * 1000


@valid(
    bearing_preload_n=(0, 5000, "a screwed-up axle or a headset's cap"),
    static_rating_n=(50, 100_000, "small and large deep-groove bearings"),
)
def preload_share_pct(bearing_preload_n: N, static_rating_n: N) -> Pct:
    """Share of the permitted axial load that an adjuster or cap already uses up as preload.

    Formula:
        q = 100 * F / (0.25 * C_0)

    Args:
        bearing_preload_n: F, axial force from the adjuster. [N]
        static_rating_n: C_0, basic static load rating. [N]

    Returns:
        q, share of the axial limit. [%]

    Accuracy:
        Deep-groove bearings of the thin series.

    Caution:
        Deep-groove bearings want no more than play just gone; a side-loaded one runs rough and dies early.

    Source:
        trade-58

    >>> round(float(preload_share_pct(100, 1270)))
    31
    """
    return 100 * np.asarray(bearing_preload_n) / (0.25 * np.asarray(static_rating_n))


@valid(bearing_outside_diameter_mm=(6.001, 80, "the table runs over 6 up to and including 80 mm"))
def bearing_outside_tolerance_um(bearing_outside_diameter_mm: Mm) -> Um:
    """How much smaller than nominal the outside of a bearing of the normal class may be.

    Rule:
        The row of the table of bearing tolerances with that size step gives it.

    Args:
        bearing_outside_diameter_mm: D, nominal outside diameter. [mm]

    Returns:
        t, lower limit of the mean outside diameter, the upper being nominal. [µm]

    Accuracy:
        From memory of the bearing standard; agrees with a printed inch chart to its last digit.

    Source:
        from-memory, bearings-inch-tolerances

    >>> float(bearing_outside_tolerance_um(42))
    -11.0
    """
    return _stepped(rows("bearings/outside_diameter_tolerances"), "lower_um", bearing_outside_diameter_mm)


@valid(shell_bore_mm=(5, 120, "from pedal bodies to the largest shells"))
def seat_diameter_mm(shell_bore_mm: Mm) -> Mm:
    """Outside diameter of the bearing or cup for which a measured seat was made.

    Formula:
        D = round(D_s)

    Args:
        shell_bore_mm: D_s, bore of the bare shell. [mm]

    Returns:
        D, nominal outside diameter of what is pressed in. [mm]

    Accuracy:
        For seats of whole millimetres, as bottom brackets and hubs have; a headset's 41.8 mm is not one.

    Source:
        trade-34, trade-35, iso-15

    >>> float(seat_diameter_mm(41.96)), float(seat_diameter_mm(46.08))
    (42.0, 46.0)
    """
    return np.round(shell_bore_mm)

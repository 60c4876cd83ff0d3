"""Spoked wheels: geometry, spoke tension, trueness, the heat of braking in a rim, and rotating weight."""

from __future__ import annotations

from typing import Annotated

from numpy import (
    arccos,
    arcsin,
    arctan,
    cbrt,
    cos,
    degrees,
    exp,
    floor,
    log,
    maximum,
    minimum,
    pi,
    radians,
    sin,
    sqrt,
    where,
)

from knowledge.calculation import valid
from knowledge.tables import rows
from knowledge.units import (
    M2,
    WM2K,
    Crosses,
    Deg,
    DegC,
    Gpa,
    Hz,
    J,
    JKgK,
    K,
    Kg,
    Kgf,
    KgM3,
    Km,
    Kmh,
    Kpa,
    Minute,
    Mm,
    Mm2,
    Mpa,
    N,
    Pct,
    Pure,
    Quantity,
    S,
    Spokes,
    W,
    Word,
)

WK = Annotated[Quantity, "W/K"]

STANDARD_GRAVITY_M_S2 = 9.80665
STANDARD_ATMOSPHERE_KPA = 101.325
KELVIN_AT_0_DEGC = 273.15
SPOKE_THREAD_PITCH_MM = 25.4 / 56
SPOKE_STEEL_DENSITY_KG_M3 = 7900.0
SPOKE_STEEL_MODULUS_GPA = 200.0
AIR_DENSITY_KG_M3 = 1.2
GLUE_SOFTENING_DEGC = 121.0
NEVER_S = 86400.0

_HUB = (70, 230, "from a track front hub to a fat-tyre rear hub")
_LOCKNUT = (2, 110, "the flange lies between the locknut and the middle of the hub or a little beyond")
_FLANGE_THICKNESS = (0.5, 12, "hub flanges at the spoke holes")
_RIM_OFFSET = (-10, 10, "spoke holes are drilled within a rim's own width")
_SPOKES = (8, 56, "spoked bicycle and cargo wheels")
_CROSSES = (0, 5, "five crossings are the most that even 48 holes take")
_FLANGE_DIAMETER = (20, 150, "hole circles from radial road hubs to gear hubs and hub motors")
_RIM_DIAMETER = (200, 680, "rims for 12-inch to 36-inch wheels, deep ones included")
_FLANGE_OFFSET = (3, 75, "a flange nearer the middle than 3 mm cannot hold a rim sideways")
_SPOKE_LENGTH = (60, 350, "spokes from child's wheels to 36-inch wheels")
_SPOKE_DIAMETER = (0.9, 3.5, "round steel spokes; the equal-area diameter of a bladed one")
_SPOKE_TENSION = (1, 400, "beyond 400 kgf ordinary spokes break")
_SPOKE_STRESS = (1, 1600, "beyond the strength of the hardest spoke wire nothing is elastic")
_TOTAL_MASS = (0.05, 400, "from the mass saved on a part to a loaded tandem")
_SLOPE = (0, 45, "steeper than the steepest paved roads the wheels slide first")
_SPEED = (1, 130, "below walking pace air does not stream along the rim; beyond 130 km/h nobody brakes")
_DRAG_AREA = (0.0001, 2, "from a difference between two wheels to a tandem with panniers")
_AIR_DENSITY = (0.7, 1.5, "from a high pass to a cold day by the sea")
_SHARE = (0, 100, "a share of the whole")
_AIR_TEMPERATURE = (-45, 70, "weather, and the air in a closed car")
_RIM_TEMPERATURE = (-45, 600, "aluminium rims melt near 600 °C")
_BRAKES = ("rim", "disc-hydraulic", "disc-mechanical", "disc")
_MATERIALS = ("aluminium", "carbon", "steel")
_RIM_MASS = (0.15, 3, "rims from climbing tubulars to downhill and cargo rims")
_SPECIFIC_HEAT = (300, 1500, "from steel to resin")
_COOLING = (0.1, 200, "a rim between still air and a gale")
_TIME = (0, 20000, "descents of up to five hours")
_WALL = (0.1, 6, "walls of rims for rim brakes")


@valid(
    hub_width_mm=_HUB,
    left_locknut_to_flange_mm=_LOCKNUT,
    flange_thickness_mm=_FLANGE_THICKNESS,
    rim_offset_mm=_RIM_OFFSET,
)
def left_flange_offset_mm(
    hub_width_mm: Mm,
    left_locknut_to_flange_mm: Mm,
    flange_thickness_mm: Mm = 3.0,
    rim_offset_mm: Mm = 0.0,
) -> Mm:
    """Sideways distance from the rim's spoke holes to the middle of the left hub flange.

    Formula:
        w = O / 2 - a + t / 2 - e

    Args:
        hub_width_mm: O, width over the locknuts or end caps. [mm]
        left_locknut_to_flange_mm: a, from the left locknut's face to the outside of the left flange. [mm]
        flange_thickness_mm: t, thickness of the flange at the holes. [mm]
        rim_offset_mm: e, how far the rim's spoke holes lie left of its middle. [mm]

    Returns:
        w, left flange offset. [mm]

    Accuracy:
        As good as the calliper, about 0.5 mm; the spoke length changes by less than a tenth of an error here.

    Source:
        tyres-97, geometry

    >>> round(float(left_flange_offset_mm(120.5, 27.5, 3.35)), 3)
    34.425
    """
    return hub_width_mm / 2 - left_locknut_to_flange_mm + flange_thickness_mm / 2 - rim_offset_mm


@valid(
    hub_width_mm=_HUB,
    right_locknut_to_flange_mm=_LOCKNUT,
    flange_thickness_mm=_FLANGE_THICKNESS,
    rim_offset_mm=_RIM_OFFSET,
)
def right_flange_offset_mm(
    hub_width_mm: Mm,
    right_locknut_to_flange_mm: Mm,
    flange_thickness_mm: Mm = 3.0,
    rim_offset_mm: Mm = 0.0,
) -> Mm:
    """Sideways distance from the rim's spoke holes to the middle of the right hub flange.

    Formula:
        w = O / 2 - a + t / 2 + e

    Args:
        hub_width_mm: O, width over the locknuts or end caps. [mm]
        right_locknut_to_flange_mm: a, from the right locknut's face to the outside of the right flange. [mm]
        flange_thickness_mm: t, thickness of the flange at the holes. [mm]
        rim_offset_mm: e, how far the rim's spoke holes lie left of its middle. [mm]

    Returns:
        w, right flange offset. [mm]

    Accuracy:
        As good as the calliper, about 0.5 mm; the spoke length changes by less than a tenth of an error here.

    Source:
        tyres-97, geometry

    >>> round(float(right_flange_offset_mm(130, 50, 3)), 1)
    16.5
    """
    return hub_width_mm / 2 - right_locknut_to_flange_mm + flange_thickness_mm / 2 + rim_offset_mm


@valid(
    nipple_to_nipple_mm=(150, 700, "across the rim between the ends of two opposite nipples"),
    nipple_length_mm=(8, 25, "nipples are sold from 12 to 16 mm, a few shorter or longer"),
)
def effective_rim_diameter_mm(nipple_to_nipple_mm: Mm, nipple_length_mm: Mm = 12.0) -> Mm:
    """Diameter on which the spokes' ends shall lie, from a measurement across two seated nipples.

    Formula:
        D = p + 2 * n

    Args:
        nipple_to_nipple_mm: p, across the rim, where the spokes vanish into two opposite nipples. [mm]
        nipple_length_mm: n, length of one nipple. [mm]

    Returns:
        D, effective rim diameter. [mm]

    Accuracy:
        About 1 mm; measure at several places, for a rim is out of round by as much before it is built.

    Source:
        wheels-15, wheels-16

    >>> float(effective_rim_diameter_mm(576, 12))
    600.0
    """
    return nipple_to_nipple_mm + 2 * nipple_length_mm


@valid(spokes=_SPOKES, crosses=_CROSSES)
def spoke_angle_deg(spokes: Spokes, crosses: Crosses) -> Deg:
    """Angle at the axle between a spoke's hole in the flange and its hole in the rim.

    Formula:
        a = 720 * x / n

    Args:
        spokes: n, spokes in the whole wheel. [spokes]
        crosses: x, crossings of each spoke with others of its side. [crosses]

    Returns:
        a, spoke angle. [°]

    Accuracy:
        Exact where half the spokes go to each flange.

    Source:
        tyres-97, tyres-96

    >>> round(float(spoke_angle_deg(28, 3)), 1)
    77.1
    """
    return 720 * crosses / spokes


@valid(spokes=_SPOKES, flange_diameter_mm=_FLANGE_DIAMETER, effective_rim_diameter_mm=_RIM_DIAMETER)
def most_crosses(spokes: Spokes, flange_diameter_mm: Mm, effective_rim_diameter_mm: Mm) -> Crosses:
    """Most crossings before a spoke would lean past its tangent and press on its neighbour's head.

    Formula:
        x = floor(n / 720 * degrees(acos(d / D)))

    Args:
        spokes: n, spokes in the whole wheel. [spokes]
        flange_diameter_mm: d, diameter of the circle of spoke holes in the flange. [mm]
        effective_rim_diameter_mm: D, effective rim diameter. [mm]

    Returns:
        x, most crossings. [crosses]

    Accuracy:
        Whole crossings; high flanges in small rims may need one fewer for the bend at the nipple.

    Source:
        geometry

    >>> float(most_crosses(36, 58, 600)), float(most_crosses(20, 58, 600))
    (4.0, 2.0)
    """
    return floor(spokes / 720 * degrees(arccos(flange_diameter_mm / effective_rim_diameter_mm)))


@valid(
    effective_rim_diameter_mm=_RIM_DIAMETER,
    flange_diameter_mm=_FLANGE_DIAMETER,
    flange_offset_mm=_FLANGE_OFFSET,
    spoke_angle_deg=(0, 100, "a spoke past its tangent lies on its neighbour's head"),
    spoke_hole_diameter_mm=(0, 5, "holes for spokes of up to 3.5 mm; 0 leaves the correction out"),
)
def spoke_length_mm(
    effective_rim_diameter_mm: Mm,
    flange_diameter_mm: Mm,
    flange_offset_mm: Mm,
    spoke_angle_deg: Deg,
    spoke_hole_diameter_mm: Mm = 2.6,
) -> Mm:
    """Length to order for an elbowed spoke, from the inside of its bend to its end.

    Formula:
        l = sqrt((D / 2)**2 + (d / 2)**2 + w**2 - D * d / 2 * cos(radians(a))) - s / 2

    Args:
        effective_rim_diameter_mm: D, effective rim diameter. [mm]
        flange_diameter_mm: d, diameter of the circle of spoke holes in the flange. [mm]
        flange_offset_mm: w, sideways distance from the rim's spoke holes to the flange. [mm]
        spoke_angle_deg: a, spoke angle. [°]
        spoke_hole_diameter_mm: s, diameter of one spoke hole in the flange. [mm]

    Returns:
        l, spoke length. [mm]

    Accuracy:
        Half the error of the effective rim diameter; some authors leave out the hole's radius and get
        1.3 mm more. Spoke stretch takes up about half a millimetre. A rim maker accepts an error of 1 mm.

    Source:
        tyres-96, tyres-97, tyres-103

    >>> round(float(spoke_length_mm(555, 58, 39, 60, 2.6)), 1)
    265.8
    """
    return (
        sqrt(
            (effective_rim_diameter_mm / 2) ** 2
            + (flange_diameter_mm / 2) ** 2
            + flange_offset_mm**2
            - effective_rim_diameter_mm * flange_diameter_mm / 2 * cos(radians(spoke_angle_deg))
        )
        - spoke_hole_diameter_mm / 2
    )


@valid(spoke_in_hand_mm=_SPOKE_LENGTH, spoke_length_mm=_SPOKE_LENGTH)
def spoke_surplus_mm(spoke_in_hand_mm: Mm, spoke_length_mm: Mm) -> Mm:
    """How much too long a spoke in hand is; less than nothing where it is too short.

    Formula:
        e = h - l

    Args:
        spoke_in_hand_mm: h, length of the spoke to be used. [mm]
        spoke_length_mm: l, length that the wheel asks for. [mm]

    Returns:
        e, surplus. [mm]

    Accuracy:
        As good as the two lengths.

    Source:
        tyres-103

    >>> float(spoke_surplus_mm(292, 291))
    1.0
    """
    return spoke_in_hand_mm - spoke_length_mm


@valid(effective_rim_diameter_mm=_RIM_DIAMETER, new_effective_rim_diameter_mm=_RIM_DIAMETER)
def rim_swap_spoke_change_mm(effective_rim_diameter_mm: Mm, new_effective_rim_diameter_mm: Mm) -> Mm:
    """By how much the spokes must grow when one rim takes another's place on the same hub.

    Formula:
        c = (E - D) / 2

    Args:
        effective_rim_diameter_mm: D, effective diameter of the old rim. [mm]
        new_effective_rim_diameter_mm: E, effective diameter of the new rim. [mm]

    Returns:
        c, change of spoke length. [mm]

    Accuracy:
        The spoke leans, so the true change is up to 2 % smaller: nothing beside the rims' own tolerance.

    Source:
        geometry

    >>> float(rim_swap_spoke_change_mm(600, 596))
    -2.0
    """
    return (new_effective_rim_diameter_mm - effective_rim_diameter_mm) / 2


@valid(flange_offset_mm=(0, 59, "shorter than any spoke"), spoke_length_mm=_SPOKE_LENGTH)
def bracing_angle_deg(flange_offset_mm: Mm, spoke_length_mm: Mm) -> Deg:
    """Angle between a spoke and the plane of the rim: the wider it is, the stiffer the wheel sideways.

    Formula:
        b = degrees(asin(w / l))

    Args:
        flange_offset_mm: w, sideways distance from the rim's spoke holes to the flange. [mm]
        spoke_length_mm: l, spoke length. [mm]

    Returns:
        b, bracing angle. [°]

    Accuracy:
        Within a tenth of a degree; the spoke hole's radius is left out.

    Source:
        geometry

    >>> round(float(bracing_angle_deg(34.4, 292)), 2)
    6.77
    """
    return degrees(arcsin(flange_offset_mm / spoke_length_mm))


@valid(
    left_flange_offset_mm=_FLANGE_OFFSET,
    right_flange_offset_mm=_FLANGE_OFFSET,
    left_spoke_length_mm=_SPOKE_LENGTH,
    right_spoke_length_mm=_SPOKE_LENGTH,
)
def left_to_right_tension_ratio(
    left_flange_offset_mm: Mm,
    right_flange_offset_mm: Mm,
    left_spoke_length_mm: Mm,
    right_spoke_length_mm: Mm,
) -> Pure:
    """Tension of the left spokes as a share of the right ones' that holds the rim in the middle.

    Formula:
        q = (l / w) / (r / v)

    Args:
        left_flange_offset_mm: w, left flange offset. [mm]
        right_flange_offset_mm: v, right flange offset. [mm]
        left_spoke_length_mm: l, left spoke length. [mm]
        right_spoke_length_mm: r, right spoke length. [mm]

    Returns:
        q, left tension over right tension. [-]

    Accuracy:
        Statics with as many spokes on either side; measured means scatter by about 5 %.

    Source:
        tyres-107, mechanics

    >>> round(float(left_to_right_tension_ratio(36, 18, 292, 290)), 3)
    0.503
    """
    return (left_spoke_length_mm / left_flange_offset_mm) / (right_spoke_length_mm / right_flange_offset_mm)


@valid(
    tight_side_tension_kgf=_SPOKE_TENSION,
    left_to_right_tension_ratio=(0.1, 10, "one side with less than a tenth of the other's pull is no wheel"),
)
def slack_side_tension_kgf(tight_side_tension_kgf: Kgf, left_to_right_tension_ratio: Pure) -> Kgf:
    """Tension that the slacker side settles at when the tighter side has its tension and the rim is centred.

    Formula:
        S = T * min(q, 1 / q)

    Args:
        tight_side_tension_kgf: T, mean tension of the tighter side. [kgf]
        left_to_right_tension_ratio: q, left tension over right tension. [-]

    Returns:
        S, tension of the slacker side. [kgf]

    Accuracy:
        About 5 %, as the ratio.

    Source:
        tyres-107, mechanics

    >>> round(float(slack_side_tension_kgf(120, 0.5)), 1)
    60.0
    """
    return tight_side_tension_kgf * minimum(left_to_right_tension_ratio, 1 / left_to_right_tension_ratio)


@valid(
    highest_spoke_tension_kgf=_SPOKE_TENSION,
    lowest_spoke_tension_kgf=_SPOKE_TENSION,
)
def tension_spread_pct(highest_spoke_tension_kgf: Kgf, lowest_spoke_tension_kgf: Kgf) -> Pct:
    """How far the tightest and the slackest spoke of one side lie from their middle, either way.

    Formula:
        p = 100 * (H - S) / (H + S)

    Args:
        highest_spoke_tension_kgf: H, the tightest spoke of the side. [kgf]
        lowest_spoke_tension_kgf: S, the slackest spoke of the same side. [kgf]

    Returns:
        p, spread either side of the middle. [%]

    Accuracy:
        A tension meter reads to about 5 %.

    Source:
        arithmetic

    >>> round(float(tension_spread_pct(120, 80)), 1)
    20.0
    """
    return (
        100
        * (highest_spoke_tension_kgf - lowest_spoke_tension_kgf)
        / (highest_spoke_tension_kgf + lowest_spoke_tension_kgf)
    )


@valid(
    highest_spoke_tension_kgf=_SPOKE_TENSION,
    rim_tension_limit_kgf=(50, 200, "limits of rims for bicycles lie between"),
)
def over_rim_limit_kgf(highest_spoke_tension_kgf: Kgf, rim_tension_limit_kgf: Kgf) -> Kgf:
    """How far the tightest spoke is over what the rim allows; negative where it is under it.

    Formula:
        d = H - m

    Args:
        highest_spoke_tension_kgf: H, the tightest spoke. [kgf]
        rim_tension_limit_kgf: m, highest tension that the rim's maker allows. [kgf]

    Returns:
        d, tension over the limit. [kgf]

    Accuracy:
        A tension meter reads to about 5 %.

    Source:
        arithmetic

    >>> over_rim_limit_kgf(128.0, 120.0)
    8.0
    """
    return highest_spoke_tension_kgf - rim_tension_limit_kgf


@valid(tight_side_tension_kgf=_SPOKE_TENSION, other_side_tension_kgf=_SPOKE_TENSION)
def told_tension_share_pct(tight_side_tension_kgf: Kgf, other_side_tension_kgf: Kgf) -> Pct:
    """The slacker side's tension as a share of the tighter side's.

    Formula:
        p = 100 * S / T

    Args:
        tight_side_tension_kgf: T, spokes of the tighter side. [kgf]
        other_side_tension_kgf: S, spokes of the slacker side. [kgf]

    Returns:
        p, share of the tighter side's tension. [%]

    Accuracy:
        A tension meter reads to about 5 %.

    Source:
        arithmetic

    >>> told_tension_share_pct(120.0, 66.0)
    55.0
    """
    return 100 * other_side_tension_kgf / tight_side_tension_kgf


@valid(
    spoke_tension_kgf=_SPOKE_TENSION,
    spoke_length_mm=_SPOKE_LENGTH,
    spoke_diameter_mm=_SPOKE_DIAMETER,
    spoke_density_kg_m3=(1300, 8100, "from fibre to stainless steel"),
)
def plucked_pitch_hz(
    spoke_tension_kgf: Kgf,
    spoke_length_mm: Mm,
    spoke_diameter_mm: Mm = 2.0,
    spoke_density_kg_m3: KgM3 = SPOKE_STEEL_DENSITY_KG_M3,
) -> Hz:
    """Note that a plucked spoke gives.

    Formula:
        A = pi / 4 * (d / 1000)**2
        f = 1000 / (2 * l) * sqrt(T * g_n / (rho * A))

    Args:
        spoke_tension_kgf: T, tension. [kgf]
        spoke_length_mm: l, length that swings free. [mm]
        spoke_diameter_mm: d, diameter of the middle of the spoke. [mm]
        spoke_density_kg_m3: rho, density of the spoke. [kg/m³]

    Returns:
        f, pitch. [Hz]

    Accuracy:
        5 % for a plain spoke that touches no other; crossed spokes sound together, and a butted spoke's
        thick ends make it sound shorter.

    Source:
        tyres-99, mechanics

    >>> round(float(plucked_pitch_hz(120, 292)))
    373
    """
    area_m2 = pi / 4 * (spoke_diameter_mm / 1000) ** 2
    tension_n = spoke_tension_kgf * STANDARD_GRAVITY_M_S2
    return 1000 / (2 * spoke_length_mm) * sqrt(tension_n / (spoke_density_kg_m3 * area_m2))


@valid(
    heard_pitch_hz=(20, 2000, "plucked spokes sound between"),
    spoke_length_mm=_SPOKE_LENGTH,
    spoke_diameter_mm=_SPOKE_DIAMETER,
    spoke_density_kg_m3=(1300, 8100, "from fibre to stainless steel"),
)
def pitch_tension_kgf(
    heard_pitch_hz: Hz,
    spoke_length_mm: Mm,
    spoke_diameter_mm: Mm = 2.0,
    spoke_density_kg_m3: KgM3 = SPOKE_STEEL_DENSITY_KG_M3,
) -> Kgf:
    """Tension of a spoke by the note it gives when plucked.

    Formula:
        A = pi / 4 * (d / 1000)**2
        T = rho * A * (2 * l / 1000 * f)**2 / g_n

    Args:
        heard_pitch_hz: f, pitch heard. [Hz]
        spoke_length_mm: l, length that swings free. [mm]
        spoke_diameter_mm: d, diameter of the middle of the spoke. [mm]
        spoke_density_kg_m3: rho, density of the spoke. [kg/m³]

    Returns:
        T, tension. [kgf]

    Accuracy:
        10 % for a plain spoke that touches no other: twice the error of the pitch.

    Source:
        tyres-99, mechanics

    >>> round(float(pitch_tension_kgf(373, 292)))
    120
    """
    area_m2 = pi / 4 * (spoke_diameter_mm / 1000) ** 2
    wave_speed_m_s = 2 * spoke_length_mm / 1000 * heard_pitch_hz
    return spoke_density_kg_m3 * area_m2 * wave_speed_m_s**2 / STANDARD_GRAVITY_M_S2


@valid(spoke_tension_kgf=_SPOKE_TENSION, spoke_diameter_mm=_SPOKE_DIAMETER)
def spoke_stress_mpa(spoke_tension_kgf: Kgf, spoke_diameter_mm: Mm = 2.0) -> Mpa:
    """Stress in the middle of a spoke.

    Formula:
        sigma = 4 * T * g_n / (pi * d**2)

    Args:
        spoke_tension_kgf: T, tension. [kgf]
        spoke_diameter_mm: d, diameter of the middle of the spoke. [mm]

    Returns:
        sigma, stress. [MPa]

    Accuracy:
        Exact for the straight middle; the elbow and the thread carry more, and there spokes break.

    Source:
        mechanics

    >>> round(float(spoke_stress_mpa(120, 2.0)))
    375
    """
    return 4 * spoke_tension_kgf * STANDARD_GRAVITY_M_S2 / (pi * spoke_diameter_mm**2)


@valid(
    spoke_stress_mpa=_SPOKE_STRESS,
    spoke_yield_mpa=(150, 1600, "from soft aluminium to hard-drawn stainless wire"),
)
def spoke_yield_share_pct(spoke_stress_mpa: Mpa, spoke_yield_mpa: Mpa) -> Pct:
    """How much of its yield stress a spoke stands under.

    Formula:
        p = 100 * sigma / Y

    Args:
        spoke_stress_mpa: sigma, stress in the spoke. [MPa]
        spoke_yield_mpa: Y, stress at which the wire stays longer. [MPa]

    Returns:
        p, share of the yield stress. [%]

    Accuracy:
        As good as the maker's figure for the wire: drawn spoke wire is two to three times as strong as
        the plain steel of a textbook.

    Source:
        tyres-98, mechanics

    >>> float(spoke_yield_share_pct(400, 800))
    50.0
    """
    return 100 * spoke_stress_mpa / spoke_yield_mpa


@valid(
    spoke_diameter_mm=_SPOKE_DIAMETER,
    spoke_yield_mpa=(150, 1600, "from soft aluminium to hard-drawn stainless wire"),
)
def half_yield_tension_n(spoke_diameter_mm: Mm, spoke_yield_mpa: Mpa) -> N:
    """Pull that loads a spoke to half its yield stress, a textbook's measure for the pretension.

    Formula:
        F = Y / 2 * pi / 4 * d**2

    Args:
        spoke_diameter_mm: d, diameter of the thinnest part of the spoke. [mm]
        spoke_yield_mpa: Y, stress at which the wire stays longer. [MPa]

    Returns:
        F, pull at half yield. [N]

    Accuracy:
        A guide for the spoke only: the rim's and hub's limits are usually lower.

    Caution:
        The limit printed by the rim's maker rules, whatever the spoke would bear.

    Source:
        tyres-98

    >>> round(float(half_yield_tension_n(2.0, 400)))
    628
    """
    return spoke_yield_mpa / 2 * pi / 4 * spoke_diameter_mm**2


@valid(
    spoke_tension_kgf=_SPOKE_TENSION,
    spoke_length_mm=_SPOKE_LENGTH,
    spoke_diameter_mm=_SPOKE_DIAMETER,
    spoke_modulus_gpa=(50, 300, "from aluminium to stiff fibre"),
)
def spoke_stretch_mm(
    spoke_tension_kgf: Kgf,
    spoke_length_mm: Mm,
    spoke_diameter_mm: Mm = 2.0,
    spoke_modulus_gpa: Gpa = SPOKE_STEEL_MODULUS_GPA,
) -> Mm:
    """How much longer a spoke is under its tension.

    Formula:
        e = T * g_n * l / (1000 * E * pi / 4 * d**2)

    Args:
        spoke_tension_kgf: T, tension. [kgf]
        spoke_length_mm: l, spoke length. [mm]
        spoke_diameter_mm: d, diameter of the middle of the spoke. [mm]
        spoke_modulus_gpa: E, elastic modulus of the wire. [GPa]

    Returns:
        e, stretch. [mm]

    Accuracy:
        5 %; the bedding of the elbow and of the nipple comes on top in a new wheel.

    Source:
        mechanics

    >>> round(float(spoke_stretch_mm(120, 292, 2.0)), 2)
    0.55
    """
    return (
        spoke_tension_kgf
        * STANDARD_GRAVITY_M_S2
        * spoke_length_mm
        / (1000 * spoke_modulus_gpa * pi / 4 * spoke_diameter_mm**2)
    )


@valid(
    spoke_length_change_mm=(-20, 20, "longer than any spoke thread"),
    spoke_thread_pitch_mm=(0.3, 1.2, "spoke threads from fine wire to moped spokes"),
)
def nipple_turns(spoke_length_change_mm: Mm, spoke_thread_pitch_mm: Mm = SPOKE_THREAD_PITCH_MM) -> Pure:
    """Turns of the nipple for a change of length.

    Formula:
        n = c / p

    Args:
        spoke_length_change_mm: c, change of length. [mm]
        spoke_thread_pitch_mm: p, pitch of the spoke's thread, 56 to the inch. [mm]

    Returns:
        n, turns of the nipple. [-]

    Accuracy:
        Exact for the thread; the spoke twists along with the nipple by up to a quarter turn.

    Source:
        tyres-100, arithmetic

    >>> round(float(nipple_turns(1.0)), 2)
    2.2
    """
    return spoke_length_change_mm / spoke_thread_pitch_mm


@valid(
    spoke_length_mm=_SPOKE_LENGTH,
    spoke_diameter_mm=_SPOKE_DIAMETER,
    spoke_modulus_gpa=(50, 300, "from aluminium to stiff fibre"),
    spoke_thread_pitch_mm=(0.3, 1.2, "spoke threads from fine wire to moped spokes"),
)
def tension_per_turn_kgf(
    spoke_length_mm: Mm,
    spoke_diameter_mm: Mm = 2.0,
    spoke_modulus_gpa: Gpa = SPOKE_STEEL_MODULUS_GPA,
    spoke_thread_pitch_mm: Mm = SPOKE_THREAD_PITCH_MM,
) -> Kgf:
    """Most that one turn of a nipple can add to a spoke's tension, with a rim that does not give way.

    Formula:
        T = p / l * 1000 * E * pi / 4 * d**2 / g_n

    Args:
        spoke_length_mm: l, spoke length. [mm]
        spoke_diameter_mm: d, diameter of the middle of the spoke. [mm]
        spoke_modulus_gpa: E, elastic modulus of the wire. [GPa]
        spoke_thread_pitch_mm: p, pitch of the spoke's thread. [mm]

    Returns:
        T, tension added by one turn. [kgf]

    Accuracy:
        An upper bound: a rim gives way, so one nipple alone adds well under half of it.

    Source:
        mechanics

    >>> round(float(tension_per_turn_kgf(292, 2.0)))
    100
    """
    return (
        spoke_thread_pitch_mm
        / spoke_length_mm
        * 1000
        * spoke_modulus_gpa
        * pi
        / 4
        * spoke_diameter_mm**2
        / STANDARD_GRAVITY_M_S2
    )


@valid(
    wheel_load_kg=(1, 300, "from a child's front wheel to a cargo wheel"),
    bottom_spoke_share_pct=(5, 100, "no simulation gives less, and one spoke loses no more than the load"),
)
def bottom_spoke_loss_kgf(wheel_load_kg: Kg, bottom_spoke_share_pct: Pct = 39.6) -> Kgf:
    """Tension that the lowest spoke loses while the wheel's load stands over it.

    Formula:
        U = p / 100 * m

    Args:
        wheel_load_kg: m, mass that stands on the wheel. [kg]
        bottom_spoke_share_pct: p, share of the load that the lowest spoke loses. [%]

    Returns:
        U, loss of tension. [kgf]

    Accuracy:
        One published simulation: 36 thin spokes and a soft rim lose 198 N of 500 N. Stiff deep rims spread
        it over more spokes, fewer spokes over fewer; a pothole multiplies it.

    Source:
        tyres-104

    >>> round(float(bottom_spoke_loss_kgf(50)), 1)
    19.8
    """
    return bottom_spoke_share_pct / 100 * wheel_load_kg


@valid(
    spoke_tension_kgf=_SPOKE_TENSION,
    bottom_spoke_loss_kgf=(0, 300, "no more than the load on the wheel"),
)
def bottom_spoke_left_kgf(spoke_tension_kgf: Kgf, bottom_spoke_loss_kgf: Kgf) -> Kgf:
    """Tension left in the lowest spoke; at nothing it goes slack, its nipple turns and its elbow works.

    Formula:
        R = T - U

    Args:
        spoke_tension_kgf: T, tension of the unloaded spoke. [kgf]
        bottom_spoke_loss_kgf: U, tension lost under the load. [kgf]

    Returns:
        R, tension left. [kgf]

    Accuracy:
        As rough as the share that the lowest spoke loses.

    Source:
        tyres-98, tyres-104

    >>> float(bottom_spoke_left_kgf(60, 20))
    40.0
    """
    return spoke_tension_kgf - bottom_spoke_loss_kgf


@valid(spokes=_SPOKES, mean_spoke_tension_kgf=_SPOKE_TENSION)
def rim_compression_n(spokes: Spokes, mean_spoke_tension_kgf: Kgf) -> N:
    """Force with which all spokes together squeeze the rim along its circle.

    Formula:
        C = n * T * g_n / (2 * pi)

    Args:
        spokes: n, spokes in the whole wheel. [spokes]
        mean_spoke_tension_kgf: T, mean tension of all of them. [kgf]

    Returns:
        C, compression of the rim. [N]

    Accuracy:
        Exact for many even spokes without a tyre; an inflated tyre squeezes the rim as well and eases the
        spokes a little.

    Source:
        mechanics

    >>> round(float(rim_compression_n(32, 100)))
    4994
    """
    return spokes * mean_spoke_tension_kgf * STANDARD_GRAVITY_M_S2 / (2 * pi)


@valid(
    rim_compression_n=(1, 40000, "far beyond what buckles any rim"),
    rim_section_mm2=(30, 600, "sections of rims from light road to cargo"),
)
def rim_hoop_stress_mpa(rim_compression_n: N, rim_section_mm2: Mm2) -> Mpa:
    """Compressive stress that the spokes' pull puts into the rim's section.

    Formula:
        sigma = C / A

    Args:
        rim_compression_n: C, compression of the rim. [N]
        rim_section_mm2: A, area of the rim's cross-section. [mm²]

    Returns:
        sigma, compressive stress. [MPa]

    Accuracy:
        A mean; around each spoke hole it is several times as high, and there rims crack.

    Source:
        mechanics

    >>> round(float(rim_hoop_stress_mpa(5000, 90)), 1)
    55.6
    """
    return rim_compression_n / rim_section_mm2


@valid(effective_rim_diameter_mm=_RIM_DIAMETER, spokes=_SPOKES)
def spoke_spacing_mm(effective_rim_diameter_mm: Mm, spokes: Spokes) -> Mm:
    """Distance along the rim from one spoke to the next: the span it must bridge, doubled by a broken one.

    Formula:
        b = pi * D / n

    Args:
        effective_rim_diameter_mm: D, effective rim diameter. [mm]
        spokes: n, spokes in the whole wheel. [spokes]

    Returns:
        b, spacing of the spokes. [mm]

    Accuracy:
        Exact for evenly drilled rims.

    Source:
        geometry

    >>> round(float(spoke_spacing_mm(600, 32)), 1)
    58.9
    """
    return pi * effective_rim_diameter_mm / spokes


@valid(
    spoke_tension_kgf=_SPOKE_TENSION,
    bracing_angle_deg=(0, 30, "flanges are not wider apart than that"),
)
def missing_spoke_side_pull_kgf(spoke_tension_kgf: Kgf, bracing_angle_deg: Deg) -> Kgf:
    """Side pull that a broken spoke no longer gives, with which its neighbours now bend the rim.

    Formula:
        P = T * sin(radians(b))

    Args:
        spoke_tension_kgf: T, tension of the spoke before it broke. [kgf]
        bracing_angle_deg: b, bracing angle. [°]

    Returns:
        P, side pull lost. [kgf]

    Accuracy:
        Statics; how far the rim then goes sideways depends on its stiffness: measure the run-out.

    Source:
        mechanics

    >>> round(float(missing_spoke_side_pull_kgf(120, 5)), 1)
    10.5
    """
    return spoke_tension_kgf * sin(radians(bracing_angle_deg))


@valid(dish_gap_mm=(-40, 40, "more than half a hub's width is no dish error"))
def dish_error_mm(dish_gap_mm: Mm) -> Mm:
    """How far the rim lies off the middle of the hub, from the gap when the wheel is turned over.

    Formula:
        e = g / 2

    Args:
        dish_gap_mm: g, gap or difference of gaps found with the wheel turned over. [mm]

    Returns:
        e, dish error. [mm]

    Accuracy:
        About 0.3 mm with a dishing gauge; the turned-over measurement doubles the error and so shows it
        better.

    Source:
        geometry

    >>> float(dish_error_mm(3))
    1.5
    """
    return dish_gap_mm / 2


@valid(
    dish_error_mm=(-20, 20, "more is no dish error"),
    flange_offset_mm=_FLANGE_OFFSET,
    spoke_length_mm=_SPOKE_LENGTH,
    spoke_thread_pitch_mm=(0.3, 1.2, "spoke threads from fine wire to moped spokes"),
)
def dish_turns(
    dish_error_mm: Mm,
    flange_offset_mm: Mm,
    spoke_length_mm: Mm,
    spoke_thread_pitch_mm: Mm = SPOKE_THREAD_PITCH_MM,
) -> Pure:
    """Turns by which every nipple of one side moves to bring the rim over, the other side the other way.

    Formula:
        n = e * w / (l * p)

    Args:
        dish_error_mm: e, dish error. [mm]
        flange_offset_mm: w, flange offset of the side being turned. [mm]
        spoke_length_mm: l, spoke length of that side. [mm]
        spoke_thread_pitch_mm: p, pitch of the spoke's thread. [mm]

    Returns:
        n, turns of each nipple. [-]

    Accuracy:
        A start for the first round; turn half of it, measure, and turn the rest.

    Source:
        geometry

    >>> round(float(dish_turns(1.5, 36, 292)), 2)
    0.41
    """
    return dish_error_mm * flange_offset_mm / (spoke_length_mm * spoke_thread_pitch_mm)


@valid(
    runout_limit_mm=(0.1, 10, "limits for run-out over one turn"),
    runout_mm=(0, 60, "beyond that the wheel is folded"),
)
def runout_margin_mm(runout_limit_mm: Mm, runout_mm: Mm) -> Mm:
    """How much run-out is still allowed; less than nothing where the wheel is out of its limit.

    Formula:
        m = L - r

    Args:
        runout_limit_mm: L, run-out allowed over one turn. [mm]
        runout_mm: r, run-out measured over one turn, from one extreme to the other. [mm]

    Returns:
        m, margin. [mm]

    Accuracy:
        0.2 mm against a brake pad or a cable tie.

    Caution:
        A wheel within its limit may still have a cracked rim or slack spokes.

    Source:
        tyres-89, tyres-90, arithmetic

    >>> float(runout_margin_mm(2, 3.5))
    -1.5
    """
    return runout_limit_mm - runout_mm


@valid(total_mass_kg=_TOTAL_MASS, slope_pct=_SLOPE, speed_kmh=_SPEED)
def slope_power_w(total_mass_kg: Kg, slope_pct: Pct, speed_kmh: Kmh) -> W:
    """Power that the slope gives a mass going down it, or takes from one going up.

    Formula:
        P = m * g_n * sin(atan(s / 100)) * v / 3.6

    Args:
        total_mass_kg: m, mass that moves on the slope. [kg]
        slope_pct: s, metres of height over metres of map. [%]
        speed_kmh: v, speed along the road. [km/h]

    Returns:
        P, power. [W]

    Accuracy:
        Exact.

    Source:
        mechanics, tyres-65

    >>> round(float(slope_power_w(85, 8, 25)))
    462
    """
    return total_mass_kg * STANDARD_GRAVITY_M_S2 * sin(arctan(slope_pct / 100)) * speed_kmh / 3.6


@valid(speed_kmh=_SPEED, drag_area_m2=_DRAG_AREA, air_density_kg_m3=_AIR_DENSITY)
def air_drag_power_w(speed_kmh: Kmh, drag_area_m2: M2, air_density_kg_m3: KgM3 = AIR_DENSITY_KG_M3) -> W:
    """Power that still air takes.

    Formula:
        P = rho / 2 * A * (v / 3.6)**3

    Args:
        speed_kmh: v, speed. [km/h]
        drag_area_m2: A, drag coefficient times frontal area. [m²]
        air_density_kg_m3: rho, density of the air. [kg/m³]

    Returns:
        P, power. [W]

    Accuracy:
        20 % with a guessed drag area; wind changes it more.

    Source:
        mechanics, wheels-12

    >>> round(float(air_drag_power_w(25, 0.4)))
    80
    """
    return air_density_kg_m3 / 2 * drag_area_m2 * (speed_kmh / 3.6) ** 3


@valid(
    brake_type=_BRAKES,
    harder_brake_share_pct=_SHARE,
)
def rim_brake_share_pct(brake_type: Word, harder_brake_share_pct: Pct = 60.0) -> Pct:
    """Share of all braking that heats the rim of the harder braked wheel: none with disc brakes.

    Rule:
        With rim brakes the share of the brake that is used harder; with disc brakes nothing, for there the
        rotor takes the heat.

    Args:
        brake_type: kind of brake. [word]
        harder_brake_share_pct: share of the braking done by the brake that is used harder. [%]

    Returns:
        share of the braking that heats one rim. [%]

    Accuracy:
        The share is a guess: half where both brakes are used alike, up to all where one is dragged alone.

    Source:
        common-practice

    >>> rim_brake_share_pct("rim", 60.0), rim_brake_share_pct("disc", 60.0)
    (60.0, 0.0)
    """
    return harder_brake_share_pct if brake_type == "rim" else 0.0 * harder_brake_share_pct


@valid(rim_material=_MATERIALS)
def rim_specific_heat_j_kg_k(rim_material: Word) -> JKgK:
    """Heat that a kilogram of a rim takes up for each degree.

    Rule:
        The row of the rim's material in the table of rim materials.

    Args:
        rim_material: what the rim is made of. [word]

    Returns:
        specific heat of the rim. [J/(kg·K)]

    Accuracy:
        5 % for metals; 20 % for carbon, by its share of resin.

    Source:
        wheels-4, tyres-64, from-memory

    >>> rim_specific_heat_j_kg_k("aluminium")
    900.0
    """
    return _of_material(rim_material, "rim_specific_heat_j_kg_k")


@valid(rim_material=_MATERIALS)
def heated_rim_share_pct(rim_material: Word) -> Pct:
    """Share of a rim that warms along with its brake tracks: all of a metal rim, little of a carbon one.

    Rule:
        The row of the rim's material in the table of rim materials.

    Args:
        rim_material: what the rim is made of. [word]

    Returns:
        share of the rim that gets hot. [%]

    Accuracy:
        All is right for metal within seconds; the third for carbon is a guess, from memory.

    Source:
        from-memory, tyres-75

    >>> heated_rim_share_pct("aluminium"), heated_rim_share_pct("carbon")
    (100.0, 30.0)
    """
    return _of_material(rim_material, "heated_rim_share_pct")


def _of_material(rim_material: str, column: str) -> float:
    row = next(row for row in rows("wheels/rim_materials") if row["rim_material"] == rim_material)
    return float(row[column])


@valid(tyre_system=("tube", "tubeless", "tubular"), rim_material=_MATERIALS)
def rim_limit_degc(tyre_system: Word, rim_material: Word) -> DegC:
    """Temperature that a braked rim is to stay under, for its glue, its tape or its resin.

    Rule:
        The row of the tyre and the rim's material in the table of what must not be reached.

    Args:
        tyre_system: how the tyre holds air and rim. [word]
        rim_material: what the rim is made of. [word]

    Returns:
        temperature not to be reached. [°C]

    Accuracy:
        One writer's figure for rim cement, memory for the others; the maker's figure rules where given.

    Caution:
        A limit for a rim in order. Cement that is old, thin or the wrong kind gives way far below it.

    Source:
        tyres-53, from-memory

    >>> rim_limit_degc("tubular", "aluminium")
    121.0
    """
    fitting = (
        row
        for row in rows("wheels/tyre_heat_limits")
        if row["tyre_system"] == tyre_system and row["rim_material"] == rim_material
    )
    return float(next(fitting)["rim_limit_degc"])


@valid(descent_braking_power_w=(0, 60000, "both brakes of a loaded tandem"), rim_brake_share_pct=_SHARE)
def rim_heat_w(descent_braking_power_w: W, rim_brake_share_pct: Pct = 50.0) -> W:
    """Heat that flows into one rim while the brakes hold the speed.

    Formula:
        H = B * q / 100

    Args:
        descent_braking_power_w: B, braking power of both wheels together. [W]
        rim_brake_share_pct: q, share of the braking done at this rim. [%]

    Returns:
        H, heat flow into the rim. [W]

    Accuracy:
        An upper bound: the pads take a few per cent.

    Source:
        mechanics

    >>> float(rim_heat_w(352, 50))
    176.0
    """
    return descent_braking_power_w * rim_brake_share_pct / 100


@valid(
    bead_seat_diameter_mm=(137, 700, "rims from child's wheels to 36-inch wheels"),
    rim_depth_mm=(8, 110, "from single-wall to the deepest rims"),
    rim_outer_width_mm=(12, 120, "from track tubulars to fat-tyre rims"),
)
def rim_surface_m2(bead_seat_diameter_mm: Mm, rim_depth_mm: Mm, rim_outer_width_mm: Mm) -> M2:
    """Rim surface that the air can cool: both sides and the face towards the hub, without the tyre's bed.

    Formula:
        A = pi * (B - d) * (2 * d + w) / 1000000

    Args:
        bead_seat_diameter_mm: B, bead seat diameter. [mm]
        rim_depth_mm: d, depth of the rim from edge to spoke face. [mm]
        rim_outer_width_mm: w, outside width of the rim. [mm]

    Returns:
        A, cooled surface. [m²]

    Accuracy:
        20 %, by the rim's shape.

    Source:
        geometry

    >>> round(float(rim_surface_m2(622, 25, 22)), 3)
    0.135
    """
    return pi * (bead_seat_diameter_mm - rim_depth_mm) * (2 * rim_depth_mm + rim_outer_width_mm) / 1e6


@valid(speed_kmh=_SPEED, rim_depth_mm=(8, 110, "from single-wall to the deepest rims"))
def air_cooling_w_m2_k(speed_kmh: Kmh, rim_depth_mm: Mm) -> WM2K:
    """Heat that the air carries off a rolling rim for each square metre and degree.

    The rim's side is taken for a flat plate of the rim's depth in smooth flow, with air at about 60 °C.

    Formula:
        r = v / 3.6 * d / 1000 / 0.000019
        h = 0.664 * 0.028 / (d / 1000) * sqrt(r) * cbrt(0.71)

    Args:
        speed_kmh: v, speed of the bicycle. [km/h]
        rim_depth_mm: d, depth of the rim. [mm]

    Returns:
        h, heat transfer coefficient. [W/(m²·K)]

    Accuracy:
        40 % either way: rim and tyre stir the air, forks and stays shelter it. It lies in the 25 to
        250 W/(m²·K) that a textbook gives for gas in forced flow.

    Source:
        wheels-13, wheels-14

    >>> round(float(air_cooling_w_m2_k(25, 25)))
    63
    """
    reynolds = speed_kmh / 3.6 * rim_depth_mm / 1000 / 0.000019
    return 0.664 * 0.028 / (rim_depth_mm / 1000) * sqrt(reynolds) * cbrt(0.71)


@valid(
    air_cooling_w_m2_k=(1, 500, "air from still to a gale"),
    rim_surface_m2=(0.01, 0.6, "rims from child's to the deepest"),
    heated_rim_share_pct=(5, 100, "at the least the brake tracks take part"),
)
def rim_cooling_w_k(air_cooling_w_m2_k: WM2K, rim_surface_m2: M2, heated_rim_share_pct: Pct = 100.0) -> WK:
    """Heat that the air carries off the hot part of a rim for each degree above the air.

    Formula:
        G = h * A * u / 100

    Args:
        air_cooling_w_m2_k: h, heat transfer coefficient. [W/(m²·K)]
        rim_surface_m2: A, cooled surface of the rim. [m²]
        heated_rim_share_pct: u, share of the rim that gets hot with its brake tracks. [%]

    Returns:
        G, cooling of the rim. [W/K]

    Accuracy:
        40 %, as the heat transfer coefficient.

    Source:
        mechanics, wheels-13

    >>> round(float(rim_cooling_w_k(62.9, 0.135)), 1)
    8.5
    """
    return air_cooling_w_m2_k * rim_surface_m2 * heated_rim_share_pct / 100


@valid(
    rim_heat_j=(0, 1e7, "a whole mountain into one rim"),
    rim_mass_kg=(0.05, 5, "from a rotor to a cargo rim"),
    rim_specific_heat_j_kg_k=_SPECIFIC_HEAT,
    heated_rim_share_pct=(5, 100, "at the least the brake tracks take part"),
)
def rim_temperature_rise_k(
    rim_heat_j: J,
    rim_mass_kg: Kg,
    rim_specific_heat_j_kg_k: JKgK,
    heated_rim_share_pct: Pct = 100.0,
) -> K:
    """Rise of a rim's temperature by one lot of heat, before the air has carried any off.

    Formula:
        D = Q / (u / 100 * m * c)

    Args:
        rim_heat_j: Q, heat. [J]
        rim_mass_kg: m, mass of the rim. [kg]
        rim_specific_heat_j_kg_k: c, specific heat of its material. [J/(kg·K)]
        heated_rim_share_pct: u, share of the rim that gets hot with its brake tracks. [%]

    Returns:
        D, rise of temperature. [K]

    Accuracy:
        An upper bound for the rim as a whole; the brake track itself is hotter for some seconds.

    Source:
        mechanics, tyres-67

    >>> round(float(rim_temperature_rise_k(5000, 0.15, 500)), 1)
    66.7
    """
    return rim_heat_j / (heated_rim_share_pct / 100 * rim_mass_kg * rim_specific_heat_j_kg_k)


@valid(
    rim_mass_kg=_RIM_MASS,
    rim_specific_heat_j_kg_k=_SPECIFIC_HEAT,
    rim_cooling_w_k=_COOLING,
    heated_rim_share_pct=(5, 100, "at the least the brake tracks take part"),
)
def rim_warming_time_s(
    rim_mass_kg: Kg,
    rim_specific_heat_j_kg_k: JKgK,
    rim_cooling_w_k: WK,
    heated_rim_share_pct: Pct = 100.0,
) -> S:
    """Time in which a rim covers two thirds of the way to its final temperature, hotter or cooler.

    Formula:
        tau = u / 100 * m * c / G

    Args:
        rim_mass_kg: m, mass of the rim. [kg]
        rim_specific_heat_j_kg_k: c, specific heat of its material. [J/(kg·K)]
        rim_cooling_w_k: G, cooling of the rim. [W/K]
        heated_rim_share_pct: u, share of the rim that gets hot with its brake tracks. [%]

    Returns:
        tau, warming time. [s]

    Accuracy:
        40 %, as the cooling.

    Source:
        mechanics

    >>> round(float(rim_warming_time_s(0.45, 900, 8.5)))
    48
    """
    return heated_rim_share_pct / 100 * rim_mass_kg * rim_specific_heat_j_kg_k / rim_cooling_w_k


@valid(
    rim_surface_m2=(0.01, 0.6, "rims from child's to the deepest"),
    sun_absorptance=(0.05, 1, "from polished metal to matt black"),
    sun_strength_pct=(0, 120, "full sun at sea level is 100; high in the mountains it is a little more"),
    sunlit_share_pct=(0, 50, "no more than half a body faces the sun"),
    heated_rim_share_pct=(5, 100, "at the least the brake tracks take part"),
)
def sun_heat_w(
    rim_surface_m2: M2,
    sun_absorptance: Pure = 0.9,
    sun_strength_pct: Pct = 100.0,
    sunlit_share_pct: Pct = 35.0,
    heated_rim_share_pct: Pct = 100.0,
) -> W:
    """Heat that the sun puts into the part of a rim that gets hot by braking.

    Formula:
        Z = b * 1000 * s / 100 * f / 100 * A * u / 100

    Args:
        rim_surface_m2: A, surface of the rim. [m²]
        sun_absorptance: b, share of the sunlight that the surface takes up. [-]
        sun_strength_pct: s, strength of the sun, where 100 is 1,000 W on a square metre. [%]
        sunlit_share_pct: f, surface that the sun sees, as seen from the sun, over the whole surface. [%]
        heated_rim_share_pct: u, share of the rim that gets hot with its brake tracks. [%]

    Returns:
        Z, heat from the sun. [W]

    Accuracy:
        An upper bound for a black rim in full sun; a bright one takes a third of it, a cloud nearly all away.

    Source:
        mechanics, wheels-9

    >>> round(float(sun_heat_w(0.135)), 1)
    42.5
    """
    sunlight_w_m2 = sun_absorptance * 1000 * sun_strength_pct / 100
    return sunlight_w_m2 * sunlit_share_pct / 100 * rim_surface_m2 * heated_rim_share_pct / 100


@valid(
    temperature_degc=_AIR_TEMPERATURE,
    rim_heat_w=(0, 30000, "one brake of a loaded tandem"),
    rim_cooling_w_k=_COOLING,
    sun_heat_w=(0, 700, "full sun on the largest rim"),
)
def steady_rim_temperature_degc(
    temperature_degc: DegC, rim_heat_w: W, rim_cooling_w_k: WK, sun_heat_w: W = 0.0
) -> DegC:
    """Temperature that a rim creeps up to when the braking never ends.

    Formula:
        T = t + (H + Z) / G

    Args:
        temperature_degc: t, temperature of the air. [°C]
        rim_heat_w: H, heat flow into the rim. [W]
        rim_cooling_w_k: G, cooling of the rim. [W/K]
        sun_heat_w: Z, heat from the sun. [W]

    Returns:
        T, final rim temperature. [°C]

    Accuracy:
        The rise above the air is good to 40 %; radiation helps above 200 °C and is left out.

    Caution:
        A mean over the rim: the brake track, and a carbon rim's above all, is hotter.

    Source:
        mechanics, wheels-13

    >>> round(float(steady_rim_temperature_degc(25, 176, 8.5)), 1)
    45.7
    """
    return temperature_degc + (rim_heat_w + sun_heat_w) / rim_cooling_w_k


@valid(
    temperature_degc=_AIR_TEMPERATURE,
    steady_rim_temperature_degc=(-45, 5000, "what braking without end would lead to"),
    rim_warming_time_s=(1, 5000, "from a carbon brake track to a cargo rim in still air"),
    descent_time_s=_TIME,
)
def rim_temperature_degc(
    temperature_degc: DegC,
    steady_rim_temperature_degc: DegC,
    rim_warming_time_s: S,
    descent_time_s: S,
) -> DegC:
    """Temperature of a rim at the end of a steady braked descent.

    Formula:
        R = t + (T - t) * (1 - exp(-z / tau))

    Args:
        temperature_degc: t, temperature of the air and of the rim at the top. [°C]
        steady_rim_temperature_degc: T, final rim temperature. [°C]
        rim_warming_time_s: tau, warming time. [s]
        descent_time_s: z, time braked. [s]

    Returns:
        R, rim temperature. [°C]

    Accuracy:
        The rise above the air is good to 40 %.

    Caution:
        A mean over the rim: the brake track, and a carbon rim's above all, is hotter.

    Source:
        mechanics

    >>> round(float(rim_temperature_degc(25, 100, 48, 120)), 1)
    93.8
    """
    rise_k = steady_rim_temperature_degc - temperature_degc
    return temperature_degc + rise_k * (1 - exp(-descent_time_s / rim_warming_time_s))


@valid(
    temperature_degc=_AIR_TEMPERATURE,
    steady_rim_temperature_degc=(-45, 5000, "what braking without end would lead to"),
    rim_warming_time_s=(1, 5000, "from a carbon brake track to a cargo rim in still air"),
    rim_limit_degc=(30, 600, "limits of glue, resin and metal"),
)
def time_to_rim_limit_s(
    temperature_degc: DegC,
    steady_rim_temperature_degc: DegC,
    rim_warming_time_s: S,
    rim_limit_degc: DegC = GLUE_SOFTENING_DEGC,
) -> S:
    """Time of steady braking until a rim reaches a limit; a whole day stands for never.

    Formula:
        x = max(L - t, 0) / max(T - t, 0.001)
        z = where(x < 1, -tau * log(max(1 - x, 0.000000001)), 86400)

    Args:
        temperature_degc: t, temperature of the air and of the rim at the top. [°C]
        steady_rim_temperature_degc: T, final rim temperature. [°C]
        rim_warming_time_s: tau, warming time. [s]
        rim_limit_degc: L, temperature not to be reached. [°C]

    Returns:
        z, time until the limit. [s]

    Accuracy:
        A factor of two near the limit: a little less heat and it is never reached.

    Caution:
        Not a time to ride by: stop when the rim is too hot to touch.

    Source:
        mechanics

    >>> round(float(time_to_rim_limit_s(25, 200, 48, 121)))
    38
    >>> float(time_to_rim_limit_s(25, 100, 48, 121))
    86400.0
    """
    share = maximum(rim_limit_degc - temperature_degc, 0) / maximum(
        steady_rim_temperature_degc - temperature_degc, 0.001
    )
    return where(share < 1, -rim_warming_time_s * log(maximum(1 - share, 1e-9)), NEVER_S)


@valid(rim_temperature_degc=_RIM_TEMPERATURE, rim_limit_degc=(30, 600, "limits of glue, resin and metal"))
def rim_heat_margin_k(rim_temperature_degc: DegC, rim_limit_degc: DegC = GLUE_SOFTENING_DEGC) -> K:
    """Degrees left below a limit; less than nothing where it is passed.

    Formula:
        M = L - R

    Args:
        rim_temperature_degc: R, rim temperature. [°C]
        rim_limit_degc: L, temperature not to be reached; where rim cement melts if none is given. [°C]

    Returns:
        M, margin. [K]

    Accuracy:
        The melting of rim cement at 250 °F is one writer's figure; it is soft long before.

    Caution:
        Glue creeps well below its melting: keep a margin of at least a third of the rise.

    Source:
        tyres-53, arithmetic

    >>> float(rim_heat_margin_k(94))
    27.0
    """
    return rim_limit_degc - rim_temperature_degc


@valid(
    temperature_degc=_AIR_TEMPERATURE,
    rim_temperature_degc=_RIM_TEMPERATURE,
    rim_limit_degc=(30, 600, "limits of glue, resin and metal"),
)
def rim_heat_reserve(
    temperature_degc: DegC, rim_temperature_degc: DegC, rim_limit_degc: DegC = GLUE_SOFTENING_DEGC
) -> Pure:
    """How many times the reckoned rise of the rim's temperature would fit below a limit.

    Formula:
        n = min((L - t) / max(R - t, 1), 100)

    Args:
        temperature_degc: t, temperature of the air. [°C]
        rim_temperature_degc: R, rim temperature. [°C]
        rim_limit_degc: L, temperature not to be reached. [°C]

    Returns:
        n, rises that fit below the limit; a hundred stands for a rim that stays cool. [-]

    Accuracy:
        40 %, as the rise: at 1.4 the true rise may just reach the limit.

    Caution:
        Glue creeps and resin softens before their limits: below about 2.5 leave the brakes off in between.

    Source:
        arithmetic, tyres-53

    >>> round(float(rim_heat_reserve(25, 65)), 1)
    2.4
    """
    return minimum(
        (rim_limit_degc - temperature_degc) / maximum(rim_temperature_degc - temperature_degc, 1), 100
    )


@valid(terminal_speed_kmh=(1, 400, "from a false flat to faster than anyone has coasted"))
def hottest_rim_speed_kmh(terminal_speed_kmh: Kmh) -> Kmh:
    """Held speed at which a long descent makes the rim hottest, the air's cooling counted in.

    The braking power is as v - v³/u², the cooling as the square root of v: their ratio is greatest here.

    Formula:
        v = u / sqrt(5)

    Args:
        terminal_speed_kmh: u, speed of coasting without brakes. [km/h]

    Returns:
        v, speed of the hottest rim. [km/h]

    Accuracy:
        10 %; derived here from drag with the square of speed and smooth flow along the rim.

    Source:
        mechanics, wheels-13, tyres-65

    >>> round(float(hottest_rim_speed_kmh(100)), 1)
    44.7
    """
    return terminal_speed_kmh / sqrt(5)


@valid(
    temperature_degc=_AIR_TEMPERATURE,
    rim_temperature_degc=_RIM_TEMPERATURE,
    rim_to_air_share_pct=_SHARE,
)
def tyre_air_degc(
    temperature_degc: DegC, rim_temperature_degc: DegC, rim_to_air_share_pct: Pct = 50.0
) -> DegC:
    """Temperature of the air inside a tyre that stands between a hot rim and cool weather.

    Formula:
        a = t + k / 100 * (R - t)

    Args:
        temperature_degc: t, temperature of the air outside. [°C]
        rim_temperature_degc: R, rim temperature. [°C]
        rim_to_air_share_pct: k, how far the air inside follows the rim. [%]

    Returns:
        a, temperature of the air inside. [°C]

    Accuracy:
        Not measured anywhere we looked: half is a guess between nothing and all. All of it is the worst case.

    Source:
        tyres-67, from-memory

    >>> float(tyre_air_degc(20, 100))
    60.0
    """
    return temperature_degc + rim_to_air_share_pct / 100 * (rim_temperature_degc - temperature_degc)


@valid(
    tyre_pressure_kpa=(20, 1600, "gauge pressures of bicycle tyres"),
    temperature_degc=_AIR_TEMPERATURE,
    tyre_air_degc=_RIM_TEMPERATURE,
)
def hot_tyre_pressure_kpa(tyre_pressure_kpa: Kpa, temperature_degc: DegC, tyre_air_degc: DegC) -> Kpa:
    """Gauge pressure of a tyre whose air has been heated by its rim.

    Formula:
        q = (p + 101.325) * (a + 273.15) / (t + 273.15) - 101.325

    Args:
        tyre_pressure_kpa: p, gauge pressure when pumped. [kPa]
        temperature_degc: t, temperature when pumped. [°C]
        tyre_air_degc: a, temperature of the air inside now. [°C]

    Returns:
        q, gauge pressure now. [kPa]

    Accuracy:
        1 % by the gas law; a tyre also swells a little, which lowers it.

    Caution:
        The limits of tyre and rim are for a cold tyre; heat weakens rim, tube and glue as well.

    Source:
        gas-law, tyres-42

    >>> round(float(hot_tyre_pressure_kpa(700, 20, 60)))
    809
    """
    absolute_kpa = tyre_pressure_kpa + STANDARD_ATMOSPHERE_KPA
    warmer = (tyre_air_degc + KELVIN_AT_0_DEGC) / (temperature_degc + KELVIN_AT_0_DEGC)
    return absolute_kpa * warmer - STANDARD_ATMOSPHERE_KPA


@valid(
    temperature_degc=_AIR_TEMPERATURE,
    sun_absorptance=(0.05, 1, "from polished metal to matt black"),
    sun_strength_pct=(0, 120, "full sun at sea level is 100; high in the mountains it is a little more"),
    sunlit_share_pct=(0, 50, "no more than half a body faces the sun"),
    still_air_cooling_w_m2_k=(4, 60, "from a closed car to a light breeze, radiation counted in"),
)
def sunlit_rim_degc(
    temperature_degc: DegC,
    sun_absorptance: Pure = 0.9,
    sun_strength_pct: Pct = 100.0,
    sunlit_share_pct: Pct = 35.0,
    still_air_cooling_w_m2_k: WM2K = 12.0,
) -> DegC:
    """Temperature of a rim that stands in the sun.

    Formula:
        T = t + b * 1000 * s / 100 * f / 100 / h

    Args:
        temperature_degc: t, temperature of the air around it. [°C]
        sun_absorptance: b, share of the sunlight that the surface takes up. [-]
        sun_strength_pct: s, strength of the sun, where 100 is 1,000 W on a square metre. [%]
        sunlit_share_pct: f, surface that the sun sees, as seen from the sun, over the whole surface. [%]
        still_air_cooling_w_m2_k: h, heat lost to air and surroundings. [W/(m²·K)]

    Returns:
        T, rim temperature in the sun. [°C]

    Accuracy:
        The rise above the air is good to 40 %; a breeze takes half of it.

    Source:
        mechanics, wheels-9, wheels-13

    >>> round(float(sunlit_rim_degc(35)))
    61
    """
    return (
        temperature_degc
        + sun_absorptance * 1000 * sun_strength_pct / 100 * sunlit_share_pct / 100 / still_air_cooling_w_m2_k
    )


@valid(
    wheel_part_mass_kg=(0, 10, "rims, tyres, tubes and spokes"),
    part_radius_mm=(0, 400, "inside the tyre's tread"),
    tyre_radius_mm=(90, 480, "from 12-inch to 36-inch wheels"),
)
def rotating_equivalent_kg(
    wheel_part_mass_kg: Kg, part_radius_mm: Mm = 310.0, tyre_radius_mm: Mm = 340.0
) -> Kg:
    """Mass on the frame that is as hard to speed up as a part that turns with the wheel.

    Formula:
        M = m * (1 + (r / R)**2)

    Args:
        wheel_part_mass_kg: m, mass of the part. [kg]
        part_radius_mm: r, radius at which it turns. [mm]
        tyre_radius_mm: R, radius of the tyre's tread. [mm]

    Returns:
        M, equivalent mass. [kg]

    Accuracy:
        Exact for a thin ring; never twice the mass itself, and once only at steady speed or uphill.

    Source:
        mechanics, wheels-11

    >>> round(float(rotating_equivalent_kg(0.5)), 2)
    0.92
    """
    return wheel_part_mass_kg * (1 + (part_radius_mm / tyre_radius_mm) ** 2)


@valid(
    wheel_part_mass_kg=(0, 10, "rims, tyres, tubes and spokes"),
    speed_kmh=_SPEED,
    part_radius_mm=(0, 400, "inside the tyre's tread"),
    tyre_radius_mm=(90, 480, "from 12-inch to 36-inch wheels"),
)
def spin_energy_j(
    wheel_part_mass_kg: Kg, speed_kmh: Kmh, part_radius_mm: Mm = 310.0, tyre_radius_mm: Mm = 340.0
) -> J:
    """Energy stored in the turning of a ring, beside that of its moving along.

    Formula:
        E = m / 2 * (v / 3.6 * r / R)**2

    Args:
        wheel_part_mass_kg: m, mass of the ring. [kg]
        speed_kmh: v, speed of the bicycle. [km/h]
        part_radius_mm: r, radius at which it turns. [mm]
        tyre_radius_mm: R, radius of the tyre's tread. [mm]

    Returns:
        E, energy of turning. [J]

    Accuracy:
        Exact for a thin ring.

    Source:
        mechanics, wheels-11

    >>> round(float(spin_energy_j(1.0, 36, 340, 340)), 1)
    50.0
    """
    return wheel_part_mass_kg / 2 * (speed_kmh / 3.6 * part_radius_mm / tyre_radius_mm) ** 2


@valid(
    moving_mass_kg=(0, 400, "from a part to a loaded tandem"),
    start_speed_kmh=(0, 130, "from standing"),
    end_speed_kmh=(0, 130, "to a sprint downhill"),
    speeding_up_s=(0.2, 600, "from one pedal stroke to minutes"),
)
def speeding_up_power_w(moving_mass_kg: Kg, start_speed_kmh: Kmh, end_speed_kmh: Kmh, speeding_up_s: S) -> W:
    """Mean power that it takes to speed a mass up, air and hills left out.

    Formula:
        P = M / 2 * ((w / 3.6)**2 - (v / 3.6)**2) / z

    Args:
        moving_mass_kg: M, mass, with the equivalent mass for what turns. [kg]
        start_speed_kmh: v, speed before. [km/h]
        end_speed_kmh: w, speed after. [km/h]
        speeding_up_s: z, time it takes. [s]

    Returns:
        P, mean power. [W]

    Accuracy:
        Exact; what is put in while speeding up comes back while coasting, unless it is braked away.

    Source:
        mechanics, wheels-10

    >>> round(float(speeding_up_power_w(80, 36, 54, 10)))
    500
    """
    return moving_mass_kg / 2 * ((end_speed_kmh / 3.6) ** 2 - (start_speed_kmh / 3.6) ** 2) / speeding_up_s


@valid(
    climb_time_min=(0.1, 1440, "a day's climbing"),
    mass_saving_kg=(0, 10, "lighter wheels save grams, not tens of kilograms"),
    total_mass_kg=(15, 400, "rider and bicycle, to a loaded tandem"),
)
def climb_time_saved_s(climb_time_min: Minute, mass_saving_kg: Kg, total_mass_kg: Kg) -> S:
    """Most seconds that less mass saves on a climb ridden at the same power.

    Formula:
        z = 60 * t * s / m

    Args:
        climb_time_min: t, time for the climb now. [min]
        mass_saving_kg: s, mass saved. [kg]
        total_mass_kg: m, rider, bicycle and load now. [kg]

    Returns:
        z, time saved. [s]

    Accuracy:
        An upper bound: it leaves the air out, which takes a tenth and more of the power even uphill.

    Source:
        mechanics

    >>> round(float(climb_time_saved_s(60, 0.4, 80)))
    18
    """
    return 60 * climb_time_min * mass_saving_kg / total_mass_kg


@valid(new_rim_wall_mm=_WALL, brake_track_hollow_mm=(0, 3, "deeper than any rim wall is thick"))
def rim_wall_mm(new_rim_wall_mm: Mm, brake_track_hollow_mm: Mm) -> Mm:
    """Wall left under a hollowed brake track, from the hollow under a straight edge.

    Formula:
        w = max(n - h, 0)

    Args:
        new_rim_wall_mm: n, wall of the new rim. [mm]
        brake_track_hollow_mm: h, deepest gap under a straight edge laid across the brake track. [mm]

    Returns:
        w, wall left. [mm]

    Accuracy:
        0.2 mm; a calliper with bent legs is better, for the edges wear too.

    Caution:
        The maker's wear mark rules: where it has gone, the rim has gone.

    Source:
        arithmetic

    >>> round(float(rim_wall_mm(1.8, 0.6)), 1)
    1.2
    """
    return maximum(new_rim_wall_mm - brake_track_hollow_mm, 0)


@valid(
    new_rim_wall_mm=_WALL,
    rim_wall_mm=(0, 6, "walls of rims for rim brakes"),
    distance_km=(1, 500000, "distances that rims have been ridden"),
    rim_wall_minimum_mm=(0.3, 3, "limits for the wall"),
)
def rim_life_left_km(
    new_rim_wall_mm: Mm,
    rim_wall_mm: Mm,
    distance_km: Km,
    rim_wall_minimum_mm: Mm = 1.0,
) -> Km:
    """Distance until the wall reaches its limit if it goes on wearing as it has.

    Formula:
        y = max(w - L, 0) / max(n - w, 0.05) * x

    Args:
        new_rim_wall_mm: n, wall of the new rim. [mm]
        rim_wall_mm: w, wall under the brake track now. [mm]
        distance_km: x, distance that wore it. [km]
        rim_wall_minimum_mm: L, thinnest wall accepted. [mm]

    Returns:
        y, distance left. [km]

    Accuracy:
        A factor of two: one wet winter wears as much as years of dry summers.

    Caution:
        A guide for when to look again, not for how long to ride.

    Source:
        arithmetic

    >>> round(float(rim_life_left_km(1.8, 1.4, 6000)))
    6000
    """
    return (
        maximum(rim_wall_mm - rim_wall_minimum_mm, 0)
        / maximum(new_rim_wall_mm - rim_wall_mm, 0.05)
        * distance_km
    )


@valid(
    bead_seat_diameter_mm=(137, 700, "bicycle rims"),
    tyre_width_mm=(15, 130, "bicycle tyres"),
    new_bead_seat_diameter_mm=(137, 700, "bicycle rims"),
    new_tyre_width_mm=(15, 130, "bicycle tyres"),
)
def ride_height_change_mm(
    bead_seat_diameter_mm: Mm, tyre_width_mm: Mm, new_bead_seat_diameter_mm: Mm, new_tyre_width_mm: Mm
) -> Mm:
    """How much higher axle and bottom bracket stand with another wheel and tyre.

    Formula:
        c = (E + 2 * v - B - 2 * w) / 2

    Args:
        bead_seat_diameter_mm: B, bead seat diameter of the old wheel. [mm]
        tyre_width_mm: w, width of the old tyre, taken for its height. [mm]
        new_bead_seat_diameter_mm: E, bead seat diameter of the new wheel. [mm]
        new_tyre_width_mm: v, width of the new tyre, taken for its height. [mm]

    Returns:
        c, change of height. [mm]

    Accuracy:
        3 mm: tyres differ from their marked width, and low ones sag.

    Caution:
        A lower bottom bracket strikes its pedals in bends sooner.

    Source:
        geometry, tyres-10

    >>> float(ride_height_change_mm(622, 28, 584, 47))
    0.0
    """
    return (new_bead_seat_diameter_mm + 2 * new_tyre_width_mm - bead_seat_diameter_mm - 2 * tyre_width_mm) / 2


@valid(
    bead_seat_diameter_mm=(137, 700, "bicycle rims"),
    new_bead_seat_diameter_mm=(137, 700, "bicycle rims"),
)
def brake_track_shift_mm(bead_seat_diameter_mm: Mm, new_bead_seat_diameter_mm: Mm) -> Mm:
    """How far the brake track moves away from the axle with another rim size.

    Formula:
        c = (E - B) / 2

    Args:
        bead_seat_diameter_mm: B, bead seat diameter of the old wheel. [mm]
        new_bead_seat_diameter_mm: E, bead seat diameter of the new wheel. [mm]

    Returns:
        c, shift of the brake track. [mm]

    Accuracy:
        1 mm, by the heights of the two tracks.

    Source:
        geometry, tyres-10

    >>> float(brake_track_shift_mm(622, 584))
    -19.0
    """
    return (new_bead_seat_diameter_mm - bead_seat_diameter_mm) / 2

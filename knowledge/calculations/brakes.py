"""Brakes: what the road and the bicycle allow, what levers, cables, fluid and rotors pass on, heat, wear."""

from __future__ import annotations

import numpy as np
from numpy import arctan, cos, degrees, maximum, minimum, pi, radians, sin, sqrt

from knowledge.calculation import valid
from knowledge.tables import rows
from knowledge.units import (
    M2,
    MS2,
    NM,
    WM2K,
    Cm2,
    Deg,
    DegC,
    G,
    J,
    JKgK,
    K,
    Kg,
    KgM3,
    Km,
    Kmh,
    M,
    Mm,
    Mpa,
    N,
    Pct,
    Pure,
    Quantity,
    S,
    W,
    Word,
)

GRAVITY_M_S2 = 9.80665
KMH_PER_M_S = 3.6
STEEL_J_KG_K = 500.0
AIR_KG_M3 = 1.2

_MASS = (10, 2000, "from a child's bicycle to a small car, on which the textbook examples stand")
_HEIGHT = (300, 1600, "mass centres of recumbents and of tall upright bicycles lie between")
_SETBACK = (100, 1800, "horizontally behind the front wheel's contact; tandems reach furthest")
_WHEELBASE = (500, 3000, "from a child's bicycle to a long tandem")
_DECELERATION = (0, 12, "no tyre on a road gives more")
_BRAKING = (0.05, 12, "below it the bicycle hardly slows; above it no tyre on a road holds")
_GRIP = (0.03, 1.2, "from wet ice to a warm tyre on clean dry tarmac")
_SLOPE = (0, 40, "no public road is steeper")
_DESCENT = (0.5, 40, "below half a per cent nothing needs a brake; no public road is steeper")
_SPEED = (0, 130, "no bicycle on a road goes faster")
_MOVING = (1, 130, "below walking pace nothing flows past the rotor; no bicycle on a road goes faster")
_ENERGY = (0, 20e6, "a loaded tandem down the longest pass")
_POWER = (0, 20000, "more than any bicycle can turn into heat")
_ROTOR = (80, 260, "rotors in trade lie between 100 and 250 mm")
_WHEEL = (100, 420, "from a folding bicycle's wheel to the largest on sale, tyre included")
_FORCE = (0, 3000, "no bicycle's brake gives more at the road")
_HAND = (0, 500, "brake levers are tested at 450 N")
_PAD_FRICTION = (0.03, 0.8, "from an oily pad to the best dry one")
_PAD_FORCE = (0, 15000, "strong hydraulic brakes stay below")
_ADVANTAGE = (0.8, 15, "levers in trade lie between 1.6 and about 8")
_SHARE = (0, 100, "a share")


def _slope_angle(slope_pct: Quantity) -> Quantity:
    return arctan(slope_pct / 100)


@valid(mass_centre_setback_mm=_SETBACK, mass_centre_height_mm=_HEIGHT, slope_pct=_SLOPE)
def pitch_over_deceleration_m_s2(
    mass_centre_setback_mm: Mm, mass_centre_height_mm: Mm, slope_pct: Pct = 0.0
) -> MS2:
    """Deceleration at which the rear wheel leaves the ground and the rider starts over the bars.

    Formula:
        theta = atan(s / 100)
        a = g_n * max(l / h * cos(theta) - sin(theta), 0)

    Args:
        mass_centre_setback_mm: l, mass centre behind the front wheel's contact with the road. [mm]
        mass_centre_height_mm: h, height of the mass centre of rider and bicycle. [mm]
        slope_pct: s, slope down which the bicycle rides. [%]

    Returns:
        a, deceleration at which the rear wheel lifts. [m/s²]

    Accuracy:
        Exact for a rigid bicycle and a rider who sits still. Riders differ: published figures run from
        0.5 to 0.67 of gravity seated, and one rider behind the saddle was measured at 0.83.

    Caution:
        This is the limit on a clean road; a bump, a dip of the fork or a grabbing brake comes sooner.

    Source:
        trade-88, brakes-1, mechanics

    >>> round(float(pitch_over_deceleration_m_s2(600, 1000)), 2)
    5.88
    """
    theta = _slope_angle(slope_pct)
    return GRAVITY_M_S2 * maximum(mass_centre_setback_mm / mass_centre_height_mm * cos(theta) - sin(theta), 0)


@valid(mass_centre_setback_mm=_SETBACK, mass_centre_height_mm=_HEIGHT)
def braking_angle_deg(mass_centre_setback_mm: Mm, mass_centre_height_mm: Mm) -> Deg:
    """Angle from the vertical of the line from the front contact to the mass centre.

    Formula:
        theta = degrees(atan(l / h))

    Args:
        mass_centre_setback_mm: l, mass centre behind the front wheel's contact with the road. [mm]
        mass_centre_height_mm: h, height of the mass centre of rider and bicycle. [mm]

    Returns:
        theta, braking angle. [°]

    Accuracy:
        Exact; the flatter the line, the harder the bicycle may brake.

    Source:
        trade-88

    >>> round(float(braking_angle_deg(670, 1000)), 1)
    33.8
    """
    return degrees(arctan(mass_centre_setback_mm / mass_centre_height_mm))


@valid(deceleration_m_s2=_DECELERATION)
def share_of_gravity(deceleration_m_s2: MS2) -> Pure:
    """A deceleration as a share of gravity, as testers print it.

    Formula:
        z = a / g_n

    Args:
        deceleration_m_s2: a, deceleration. [m/s²]

    Returns:
        z, deceleration as a share of gravity. [-]

    Accuracy:
        Exact.

    Source:
        mechanics

    >>> round(float(share_of_gravity(4.04)), 2)
    0.41
    """
    return deceleration_m_s2 / GRAVITY_M_S2


@valid(
    total_mass_kg=_MASS,
    deceleration_m_s2=_DECELERATION,
    mass_centre_height_mm=_HEIGHT,
    wheelbase_mm=_WHEELBASE,
)
def load_transfer_n(
    total_mass_kg: Kg, deceleration_m_s2: MS2, mass_centre_height_mm: Mm, wheelbase_mm: Mm
) -> N:
    """Load that braking takes off the rear wheel and puts on the front one.

    Formula:
        dN = m * a * h / w

    Args:
        total_mass_kg: m, rider, bicycle and load. [kg]
        deceleration_m_s2: a, deceleration. [m/s²]
        mass_centre_height_mm: h, height of the mass centre. [mm]
        wheelbase_mm: w, distance between the axles. [mm]

    Returns:
        dN, load moved from the rear wheel to the front. [N]

    Accuracy:
        Exact for a rigid bicycle on the level, up to the point where the rear wheel lifts.

    Source:
        trade-10, mechanics

    >>> round(float(load_transfer_n(90, 4, 1050, 1000)))
    378
    """
    return total_mass_kg * deceleration_m_s2 * mass_centre_height_mm / wheelbase_mm


@valid(
    total_mass_kg=_MASS,
    mass_centre_setback_mm=_SETBACK,
    wheelbase_mm=_WHEELBASE,
    load_transfer_n=(0, 20000, "what braking can move on these masses"),
)
def front_axle_load_braking_n(
    total_mass_kg: Kg, mass_centre_setback_mm: Mm, wheelbase_mm: Mm, load_transfer_n: N
) -> N:
    """Load on the front wheel while braking; never more than the whole weight.

    Formula:
        N_f = min(m * g_n * max(1 - l / w, 0) + dN, m * g_n)

    Args:
        total_mass_kg: m, rider, bicycle and load. [kg]
        mass_centre_setback_mm: l, mass centre behind the front wheel's contact. [mm]
        wheelbase_mm: w, distance between the axles. [mm]
        load_transfer_n: dN, load that braking moves forward. [N]

    Returns:
        N_f, load on the front wheel while braking. [N]

    Accuracy:
        Exact for a rigid bicycle on the level; at the whole weight the rear wheel is in the air.

    Source:
        trade-10, mechanics

    >>> round(float(front_axle_load_braking_n(90, 600, 1000, 378)))
    731
    """
    weight = total_mass_kg * GRAVITY_M_S2
    return minimum(weight * maximum(1 - mass_centre_setback_mm / wheelbase_mm, 0) + load_transfer_n, weight)


@valid(
    total_mass_kg=_MASS,
    front_axle_load_braking_n=(0, 20000, "no more than the whole weight of these masses"),
)
def rear_axle_load_braking_n(total_mass_kg: Kg, front_axle_load_braking_n: N) -> N:
    """Load that is left on the rear wheel while braking.

    Formula:
        N_r = max(m * g_n - N_f, 0)

    Args:
        total_mass_kg: m, rider, bicycle and load. [kg]
        front_axle_load_braking_n: N_f, load on the front wheel while braking. [N]

    Returns:
        N_r, load on the rear wheel while braking. [N]

    Accuracy:
        Exact on the level.

    Source:
        mechanics

    >>> round(float(rear_axle_load_braking_n(90, 731)))
    152
    """
    return maximum(total_mass_kg * GRAVITY_M_S2 - front_axle_load_braking_n, 0)


@valid(road_grip=_GRIP, slope_pct=_SLOPE)
def grip_limit_deceleration_m_s2(road_grip: Pure, slope_pct: Pct = 0.0) -> MS2:
    """Deceleration at which both tyres together would slide.

    Formula:
        theta = atan(s / 100)
        a = g_n * max(mu * cos(theta) - sin(theta), 0)

    Args:
        road_grip: mu, friction between tyre and road. [-]
        slope_pct: s, slope down which the bicycle rides. [%]

    Returns:
        a, deceleration at which the tyres slide. [m/s²]

    Accuracy:
        As good as the road's grip is known: one digit for typical values.

    Source:
        trade-11b, trade-91, brakes-3

    >>> round(float(grip_limit_deceleration_m_s2(0.7)), 2)
    6.86
    """
    theta = _slope_angle(slope_pct)
    return GRAVITY_M_S2 * maximum(road_grip * cos(theta) - sin(theta), 0)


@valid(
    road_grip=_GRIP,
    mass_centre_setback_mm=_SETBACK,
    mass_centre_height_mm=_HEIGHT,
    wheelbase_mm=_WHEELBASE,
)
def front_brake_deceleration_m_s2(
    road_grip: Pure, mass_centre_setback_mm: Mm, mass_centre_height_mm: Mm, wheelbase_mm: Mm
) -> MS2:
    """Greatest deceleration on the level with the front brake alone: sliding or pitching over, the first.

    Formula:
        slide = mu * max(w - l, 0) / max(w - mu * h, 1)
        a = g_n * min(slide, l / h)

    Args:
        road_grip: mu, friction between tyre and road. [-]
        mass_centre_setback_mm: l, mass centre behind the front wheel's contact. [mm]
        mass_centre_height_mm: h, height of the mass centre. [mm]
        wheelbase_mm: w, distance between the axles. [mm]

    Returns:
        a, greatest deceleration with the front brake alone. [m/s²]

    Accuracy:
        Statics of a rider who sits still; the road's grip is known to one digit.

    Source:
        mechanics, trade-88

    >>> round(float(front_brake_deceleration_m_s2(0.7, 600, 1050, 1000)), 2)
    5.6
    """
    slide = (
        road_grip
        * maximum(wheelbase_mm - mass_centre_setback_mm, 0)
        / maximum(wheelbase_mm - road_grip * mass_centre_height_mm, 1)
    )
    return GRAVITY_M_S2 * minimum(slide, mass_centre_setback_mm / mass_centre_height_mm)


@valid(
    road_grip=_GRIP,
    mass_centre_setback_mm=_SETBACK,
    mass_centre_height_mm=_HEIGHT,
    wheelbase_mm=_WHEELBASE,
)
def rear_brake_deceleration_m_s2(
    road_grip: Pure, mass_centre_setback_mm: Mm, mass_centre_height_mm: Mm, wheelbase_mm: Mm
) -> MS2:
    """Greatest deceleration on the level with the rear brake alone: beyond it the rear wheel skids.

    Formula:
        a = g_n * mu * l / (w + mu * h)

    Args:
        road_grip: mu, friction between tyre and road. [-]
        mass_centre_setback_mm: l, mass centre behind the front wheel's contact. [mm]
        mass_centre_height_mm: h, height of the mass centre. [mm]
        wheelbase_mm: w, distance between the axles. [mm]

    Returns:
        a, greatest deceleration with the rear brake alone. [m/s²]

    Accuracy:
        Statics of a rider who sits still. Tests on mountain bicycles whose riders moved back found more:
        65 % of what both brakes gave.

    Source:
        mechanics, trade-90

    >>> round(float(rear_brake_deceleration_m_s2(0.7, 600, 1050, 1000)), 2)
    2.37
    """
    return (
        GRAVITY_M_S2 * road_grip * mass_centre_setback_mm / (wheelbase_mm + road_grip * mass_centre_height_mm)
    )


@valid(
    grip_limit_deceleration_m_s2=_DECELERATION, pitch_over_deceleration_m_s2=(0, 60, "with a very low rider")
)
def both_brakes_deceleration_m_s2(
    grip_limit_deceleration_m_s2: MS2, pitch_over_deceleration_m_s2: MS2
) -> MS2:
    """Greatest deceleration with both brakes: the tyres slide or the rear wheel lifts, whichever is first.

    Formula:
        a = min(a_g, a_p)

    Args:
        grip_limit_deceleration_m_s2: a_g, deceleration at which the tyres slide. [m/s²]
        pitch_over_deceleration_m_s2: a_p, deceleration at which the rear wheel lifts. [m/s²]

    Returns:
        a, greatest deceleration with both brakes. [m/s²]

    Accuracy:
        As its two inputs.

    Source:
        mechanics

    >>> float(both_brakes_deceleration_m_s2(6.9, 5.6))
    5.6
    """
    return minimum(grip_limit_deceleration_m_s2, pitch_over_deceleration_m_s2)


@valid(
    rear_brake_deceleration_m_s2=_DECELERATION,
    both_brakes_deceleration_m_s2=(0.05, 12, "some deceleration, so that a share of it means something"),
)
def rear_brake_share_pct(rear_brake_deceleration_m_s2: MS2, both_brakes_deceleration_m_s2: MS2) -> Pct:
    """What the rear brake can do alone, as a share of both brakes.

    Formula:
        p = 100 * a_r / a

    Args:
        rear_brake_deceleration_m_s2: a_r, greatest deceleration with the rear brake alone. [m/s²]
        both_brakes_deceleration_m_s2: a, greatest deceleration with both brakes. [m/s²]

    Returns:
        p, rear brake alone as a share of both. [%]

    Accuracy:
        As its two inputs.

    Source:
        mechanics, trade-90

    >>> round(float(rear_brake_share_pct(2.4, 5.6)))
    43
    """
    return 100 * rear_brake_deceleration_m_s2 / both_brakes_deceleration_m_s2


@valid(
    deceleration_m_s2=_DECELERATION,
    mass_centre_setback_mm=_SETBACK,
    mass_centre_height_mm=_HEIGHT,
    wheelbase_mm=_WHEELBASE,
)
def ideal_front_share_pct(
    deceleration_m_s2: MS2, mass_centre_setback_mm: Mm, mass_centre_height_mm: Mm, wheelbase_mm: Mm
) -> Pct:
    """Share of the braking that the front wheel should do, so that both tyres work equally hard.

    Formula:
        p = min(100 * (max(1 - l / w, 0) + a * h / (g_n * w)), 100)

    Args:
        deceleration_m_s2: a, deceleration. [m/s²]
        mass_centre_setback_mm: l, mass centre behind the front wheel's contact. [mm]
        mass_centre_height_mm: h, height of the mass centre. [mm]
        wheelbase_mm: w, distance between the axles. [mm]

    Returns:
        p, front wheel's share of the braking. [%]

    Accuracy:
        Statics of a rider who sits still on the level; at 100 the rear wheel carries nothing.

    Source:
        mechanics, trade-10

    >>> round(float(ideal_front_share_pct(4, 600, 1050, 1000)))
    83
    """
    return minimum(
        100
        * (
            maximum(1 - mass_centre_setback_mm / wheelbase_mm, 0)
            + deceleration_m_s2 * mass_centre_height_mm / (GRAVITY_M_S2 * wheelbase_mm)
        ),
        100,
    )


@valid(speed_kmh=_SPEED, deceleration_m_s2=_BRAKING)
def braking_distance_m(speed_kmh: Kmh, deceleration_m_s2: MS2) -> M:
    """Way from the moment the brakes bite to a standstill.

    Formula:
        s = (v / 3.6)**2 / (2 * a)

    Args:
        speed_kmh: v, speed when the brakes bite. [km/h]
        deceleration_m_s2: a, mean deceleration. [m/s²]

    Returns:
        s, braking distance. [m]

    Accuracy:
        Exact for an even deceleration.

    Source:
        trade-10, trade-11b

    >>> round(float(braking_distance_m(24, 4.04)), 2)
    5.5
    """
    return (speed_kmh / KMH_PER_M_S) ** 2 / (2 * deceleration_m_s2)


@valid(speed_kmh=_SPEED, reaction_time_s=(0, 5, "from a ready finger to a dreaming rider"))
def reaction_distance_m(speed_kmh: Kmh, reaction_time_s: S = 2.5) -> M:
    """Way ridden between seeing the danger and the brakes biting.

    Formula:
        s = v / 3.6 * t

    Args:
        speed_kmh: v, speed. [km/h]
        reaction_time_s: t, time to see, decide and reach the lever. [s]

    Returns:
        s, reaction distance. [m]

    Accuracy:
        The time is the guess: road planners take 2.5 s, a rider with fingers on the lever needs less.

    Source:
        brakes-2

    >>> round(float(reaction_distance_m(40)), 2)
    27.78
    """
    return speed_kmh / KMH_PER_M_S * reaction_time_s


@valid(
    reaction_distance_m=(0, 200, "the fastest bicycle and the slowest rider"),
    braking_distance_m=(0, 15000, "the longest way a hardly working brake could need"),
)
def stopping_distance_m(reaction_distance_m: M, braking_distance_m: M) -> M:
    """Whole way from seeing the danger to a standstill.

    Formula:
        s = s_r + s_b

    Args:
        reaction_distance_m: s_r, reaction distance. [m]
        braking_distance_m: s_b, braking distance. [m]

    Returns:
        s, stopping distance. [m]

    Accuracy:
        As its two parts.

    Source:
        brakes-2, brakes-3

    >>> float(stopping_distance_m(10.0, 5.5))
    15.5
    """
    return reaction_distance_m + braking_distance_m


@valid(speed_kmh=_SPEED, measured_stop_m=(0.3, 2000, "from a walking-pace stop to a hill without brakes"))
def mean_deceleration_m_s2(speed_kmh: Kmh, measured_stop_m: M) -> MS2:
    """Mean deceleration of a stop that was measured with a tape.

    Formula:
        a = (v / 3.6)**2 / (2 * s)

    Args:
        speed_kmh: v, speed when the brakes bit. [km/h]
        measured_stop_m: s, way to a standstill, without the reaction. [m]

    Returns:
        a, mean deceleration. [m/s²]

    Accuracy:
        Twice the error of the speed: 5 % on the speed is 10 % here.

    Source:
        trade-92, mechanics

    >>> round(float(mean_deceleration_m_s2(24, 5.5)), 2)
    4.04
    """
    return (speed_kmh / KMH_PER_M_S) ** 2 / (2 * measured_stop_m)


@valid(
    measured_stop_m=(0, 2000, "from a walking-pace stop to a hill without brakes"),
    speed_kmh=_MOVING,
    test_speed_kmh=_SPEED,
)
def corrected_stop_m(measured_stop_m: M, speed_kmh: Kmh, test_speed_kmh: Kmh) -> M:
    """A measured stop corrected to the speed that the test asks for.

    Formula:
        S_c = (V_s / V_m)**2 * S_m

    Args:
        measured_stop_m: S_m, way to a standstill as measured. [m]
        speed_kmh: V_m, speed as ridden. [km/h]
        test_speed_kmh: V_s, speed that the test asks for. [km/h]

    Returns:
        S_c, stop corrected to the test speed. [m]

    Accuracy:
        The standard throws a run away whose speed is more than 1.5 km/h off in the stated cases.

    Source:
        trade-94

    >>> round(float(corrected_stop_m(5.9, 25, 24)), 2)
    5.44
    """
    return (test_speed_kmh / speed_kmh) ** 2 * measured_stop_m


@valid(
    recorded_braking_force_n=_FORCE,
    intended_hand_force_n=_HAND,
    recorded_hand_force_n=(
        1,
        500,
        "brake levers are tested at 450 N; a hand that does not pull gives no test",
    ),
)
def corrected_braking_force_n(
    recorded_braking_force_n: N, intended_hand_force_n: N, recorded_hand_force_n: N
) -> N:
    """A braking force from the test machine, corrected to the hand force that was meant.

    Formula:
        F_c = F * P_i / P_r

    Args:
        recorded_braking_force_n: F, braking force as recorded. [N]
        intended_hand_force_n: P_i, hand force that was meant. [N]
        recorded_hand_force_n: P_r, hand force as recorded. [N]

    Returns:
        F_c, corrected braking force. [N]

    Accuracy:
        Exact by definition.

    Source:
        brakes-4, trade-95

    >>> round(float(corrected_braking_force_n(225, 180, 184)), 1)
    220.1
    """
    return recorded_braking_force_n * intended_hand_force_n / recorded_hand_force_n


@valid(
    recorded_braking_force_n=_FORCE,
    permitted_mass_kg=(30, 400, "permitted total masses on bicycles' plates"),
    standard_mass_kg=(30, 150, "the standard takes 100 for adults, 60 for young adults"),
)
def mass_scaled_braking_force_n(
    recorded_braking_force_n: N, permitted_mass_kg: Kg, standard_mass_kg: Kg = 100.0
) -> N:
    """A braking force scaled to the standard mass, so that heavy and light bicycles compare.

    Formula:
        B_p = F * m / M

    Args:
        recorded_braking_force_n: F, greatest braking force as tested. [N]
        permitted_mass_kg: M, permitted total mass by the maker. [kg]
        standard_mass_kg: m, mass that the standard takes. [kg]

    Returns:
        B_p, braking performance value. [N]

    Accuracy:
        Exact by definition.

    Source:
        trade-95

    >>> float(mass_scaled_braking_force_n(600, 150))
    400.0
    """
    return recorded_braking_force_n * standard_mass_kg / permitted_mass_kg


@valid(wet_braking_force_n=_FORCE, dry_braking_force_n=(1, 3000, "no bicycle's brake gives more at the road"))
def wet_brake_share_pct(wet_braking_force_n: N, dry_braking_force_n: N) -> Pct:
    """What a brake keeps in the wet, as a share of its dry force.

    Formula:
        p = 100 * F_w / F_d

    Args:
        wet_braking_force_n: F_w, braking force wet. [N]
        dry_braking_force_n: F_d, braking force dry at the same hand force. [N]

    Returns:
        p, wet braking as a share of dry. [%]

    Accuracy:
        Exact; the machine test asks for more than 50 wherever the dry force is above 200 N.

    Source:
        trade-95

    >>> float(wet_brake_share_pct(150, 250))
    60.0
    """
    return 100 * wet_braking_force_n / dry_braking_force_n


@valid(
    braking_distance_m=(0, 15000, "the longest way a hardly working brake could need"),
    wet_share_pct=(3, 100, "from a brake that hardly works wet to one that does not notice"),
)
def wet_braking_distance_m(braking_distance_m: M, wet_share_pct: Pct) -> M:
    """Braking distance in the wet when the brake, not the tyre, sets the limit.

    Formula:
        s_w = s * 100 / p

    Args:
        braking_distance_m: s, braking distance dry. [m]
        wet_share_pct: p, wet braking as a share of dry. [%]

    Returns:
        s_w, braking distance in the wet. [m]

    Accuracy:
        Leaves out the turns a wet rim needs before it bites at all.

    Source:
        trade-95, mechanics

    >>> float(wet_braking_distance_m(6.0, 50))
    12.0
    """
    return braking_distance_m * 100 / wet_share_pct


@valid(total_mass_kg=_MASS, speed_kmh=_SPEED, rotating_share_pct=(0, 50, "wheels add a few per cent"))
def kinetic_energy_j(total_mass_kg: Kg, speed_kmh: Kmh, rotating_share_pct: Pct = 0.0) -> J:
    """Energy of motion, which the brakes must turn into heat in a stop.

    Formula:
        E = m * (v / 3.6)**2 / 2 * (1 + r / 100)

    Args:
        total_mass_kg: m, rider, bicycle and load. [kg]
        speed_kmh: v, speed. [km/h]
        rotating_share_pct: r, what turning wheels add. [%]

    Returns:
        E, energy of motion. [J]

    Accuracy:
        Exact; air and tyres take a little of it, so the brakes get a little less.

    Source:
        mechanics, tyres-64

    >>> round(float(kinetic_energy_j(100, 36)))
    5000
    """
    return total_mass_kg * (speed_kmh / KMH_PER_M_S) ** 2 / 2 * (1 + rotating_share_pct / 100)


@valid(kinetic_energy_j=_ENERGY, brake_share_pct=_SHARE)
def stop_heat_j(kinetic_energy_j: J, brake_share_pct: Pct = 100.0) -> J:
    """Heat that one brake takes up in a stop.

    Formula:
        Q = E * p / 100

    Args:
        kinetic_energy_j: E, energy of motion. [J]
        brake_share_pct: p, share of the braking that this brake does. [%]

    Returns:
        Q, heat in one brake. [J]

    Accuracy:
        An upper bound: air, tyres and pads take some of it.

    Source:
        tyres-64, trade-4

    >>> float(stop_heat_j(5000.0, 80))
    4000.0
    """
    return kinetic_energy_j * brake_share_pct / 100


@valid(
    stop_heat_j=_ENERGY,
    rotor_mass_g=(40, 20000, "from a light bicycle rotor to a car's disc"),
    specific_heat_j_kg_k=(300, 1000, "steel 460 to 500, aluminium about 900"),
)
def rotor_stop_rise_k(stop_heat_j: J, rotor_mass_g: G, specific_heat_j_kg_k: JKgK = STEEL_J_KG_K) -> K:
    """Rise of the rotor's temperature in one stop, if it kept all the heat.

    Formula:
        dT = Q / (m / 1000 * c)

    Args:
        stop_heat_j: Q, heat in this brake. [J]
        rotor_mass_g: m, mass of the rotor. [g]
        specific_heat_j_kg_k: c, specific heat; steel by default. [J/(kg·K)]

    Returns:
        dT, rise of the rotor's temperature in a stop. [K]

    Accuracy:
        An upper bound for a short stop: pads and calliper take some heat, and the carrier stays cooler.

    Source:
        tyres-64, tyres-74, trade-4

    >>> round(float(rotor_stop_rise_k(5000, 150)))
    67
    """
    return stop_heat_j / (rotor_mass_g / 1000 * specific_heat_j_kg_k)


@valid(total_mass_kg=_MASS, descent_height_m=(0, 5000, "the longest descents on roads"))
def descent_energy_j(total_mass_kg: Kg, descent_height_m: M) -> J:
    """Energy that a descent gives away, which air, tyres and brakes must share.

    Formula:
        E = m * g_n * H

    Args:
        total_mass_kg: m, rider, bicycle and load. [kg]
        descent_height_m: H, height that the road drops. [m]

    Returns:
        E, energy of the descent. [J]

    Accuracy:
        Exact; at speed the air takes most of it.

    Source:
        tyres-64, mechanics

    >>> round(float(descent_energy_j(100, 9.95)))
    9758
    """
    return total_mass_kg * GRAVITY_M_S2 * descent_height_m


@valid(descent_energy_j=_ENERGY, braking_time_s=(1, 20000, "from one bend to hours of mountain"))
def mean_descent_power_w(descent_energy_j: J, braking_time_s: S) -> W:
    """Mean power that a descent gives away.

    Formula:
        P = E / t

    Args:
        descent_energy_j: E, energy of the descent. [J]
        braking_time_s: t, time that the descent took. [s]

    Returns:
        P, mean power of the descent. [W]

    Accuracy:
        Exact; the brakes' part is what air and tyres leave.

    Source:
        trade-114, mechanics

    >>> round(float(mean_descent_power_w(406745, 540)))
    753
    """
    return descent_energy_j / braking_time_s


@valid(
    total_mass_kg=_MASS,
    slope_pct=_DESCENT,
    drag_area_m2=(0.1, 2, "from a racer's tuck to a loaded tandem in rain capes"),
    descent_rolling_coefficient=(
        0.002,
        0.004999,
        "tyres on paved roads; above it a half per cent slope stops you",
    ),
    descent_air_density_kg_m3=(0.6, 1.5, "from a high pass to a cold morning at sea level"),
)
def terminal_speed_kmh(
    total_mass_kg: Kg,
    slope_pct: Pct,
    drag_area_m2: M2 = 0.5,
    descent_rolling_coefficient: Pure = 0.004,
    descent_air_density_kg_m3: KgM3 = AIR_KG_M3,
) -> Kmh:
    """Speed at which air and tyres hold a bicycle that coasts down a slope without braking.

    Formula:
        theta = atan(s / 100)
        v = 3.6 * sqrt(2 * m * g_n * (sin(theta) - c * cos(theta)) / (rho * A))

    Args:
        total_mass_kg: m, rider, bicycle and load. [kg]
        slope_pct: s, slope. [%]
        drag_area_m2: A, drag area. [m²]
        descent_rolling_coefficient: c, rolling resistance over load. [-]
        descent_air_density_kg_m3: rho, density of the air. [kg/m³]

    Returns:
        v, speed of coasting. [km/h]

    Accuracy:
        The drag area is the guess; a quarter more of it takes a tenth off the speed.

    Source:
        mechanics, common-practice

    >>> round(float(terminal_speed_kmh(90, 8)), 1)
    53.7
    """
    theta = _slope_angle(slope_pct)
    pull = total_mass_kg * GRAVITY_M_S2 * (sin(theta) - descent_rolling_coefficient * cos(theta))
    return KMH_PER_M_S * sqrt(2 * pull / (descent_air_density_kg_m3 * drag_area_m2))


@valid(terminal_speed_kmh=(1, 400, "the formula's own range; the steepest slopes give most"))
def worst_heating_speed_kmh(terminal_speed_kmh: Kmh) -> Kmh:
    """Steady speed at which the brakes get most heat on a descent.

    Formula:
        v = v_T / sqrt(3)

    Args:
        terminal_speed_kmh: v_T, speed of coasting without brakes. [km/h]

    Returns:
        v, speed at which the brakes heat most. [km/h]

    Accuracy:
        Exact for drag that grows with the square of speed. Cooling is left out, so the true worst speed
        is a little lower.

    Source:
        trade-105, tyres-65

    >>> round(float(worst_heating_speed_kmh(60)), 1)
    34.6
    """
    return terminal_speed_kmh / sqrt(3)


@valid(
    total_mass_kg=_MASS,
    slope_pct=_DESCENT,
    terminal_speed_kmh=(1, 400, "the formula's own range; the steepest slopes give most"),
)
def worst_heating_power_w(total_mass_kg: Kg, slope_pct: Pct, terminal_speed_kmh: Kmh) -> W:
    """Heat that both brakes get at the worst steady speed of a descent.

    Formula:
        P = 2 / (3 * sqrt(3)) * m * g_n * s / 100 * v_T / 3.6

    Args:
        total_mass_kg: m, rider, bicycle and load. [kg]
        slope_pct: s, slope. [%]
        terminal_speed_kmh: v_T, speed of coasting without brakes. [km/h]

    Returns:
        P, most power that both brakes must take. [W]

    Accuracy:
        For small slopes and drag that grows with the square of speed; 0.385 of the power of gravity
        at the coasting speed.

    Source:
        trade-105, tyres-65

    >>> round(float(worst_heating_power_w(90, 8, 53.2)))
    402
    """
    return 2 / (3 * sqrt(3)) * total_mass_kg * GRAVITY_M_S2 * slope_pct / 100 * terminal_speed_kmh / 3.6


@valid(
    total_mass_kg=_MASS,
    slope_pct=_DESCENT,
    speed_kmh=_SPEED,
    drag_area_m2=(0.1, 2, "from a racer's tuck to a loaded tandem in rain capes"),
    descent_rolling_coefficient=(0.002, 0.02, "from a racing tyre to a soft one on poor tarmac"),
    descent_air_density_kg_m3=(0.6, 1.5, "from a high pass to a cold morning at sea level"),
)
def descent_braking_power_w(
    total_mass_kg: Kg,
    slope_pct: Pct,
    speed_kmh: Kmh,
    drag_area_m2: M2 = 0.5,
    descent_rolling_coefficient: Pure = 0.004,
    descent_air_density_kg_m3: KgM3 = AIR_KG_M3,
) -> W:
    """Heat that both brakes get when they hold a steady speed down a slope.

    Formula:
        theta = atan(s / 100)
        u = v / 3.6
        P = max(m * g_n * (sin(theta) - c * cos(theta)) * u - rho * A * u**3 / 2, 0)

    Args:
        total_mass_kg: m, rider, bicycle and load. [kg]
        slope_pct: s, slope. [%]
        speed_kmh: v, steady speed. [km/h]
        drag_area_m2: A, drag area. [m²]
        descent_rolling_coefficient: c, rolling resistance over load. [-]
        descent_air_density_kg_m3: rho, density of the air. [kg/m³]

    Returns:
        P, power that both brakes must take. [W]

    Accuracy:
        A tenth at low speed; nearer the coasting speed the drag area decides.

    Source:
        trade-105, tyres-65, mechanics

    >>> round(float(descent_braking_power_w(90, 8, 30)))
    384
    """
    theta = _slope_angle(slope_pct)
    u = speed_kmh / KMH_PER_M_S
    gravity = total_mass_kg * GRAVITY_M_S2 * (sin(theta) - descent_rolling_coefficient * cos(theta)) * u
    return maximum(gravity - descent_air_density_kg_m3 * drag_area_m2 * u**3 / 2, 0)


@valid(descent_braking_power_w=_POWER, brake_share_pct=_SHARE)
def rotor_heating_power_w(descent_braking_power_w: W, brake_share_pct: Pct = 100.0) -> W:
    """Heat that one brake gets when it does its share of holding the speed.

    Formula:
        P_1 = P * p / 100

    Args:
        descent_braking_power_w: P, power that both brakes must take. [W]
        brake_share_pct: p, share of the braking that this brake does. [%]

    Returns:
        P_1, power into one brake. [W]

    Accuracy:
        As the share is known; taking turns front and rear makes it 50 over time.

    Source:
        arithmetic

    >>> float(rotor_heating_power_w(380.0, 50))
    190.0
    """
    return descent_braking_power_w * brake_share_pct / 100


@valid(descent_height_m=(0, 5000, "the longest descents on roads"), slope_pct=_DESCENT, speed_kmh=_MOVING)
def descent_time_s(descent_height_m: M, slope_pct: Pct, speed_kmh: Kmh) -> S:
    """Time that a descent takes at a steady speed.

    Formula:
        t = H / (sin(atan(s / 100)) * v / 3.6)

    Args:
        descent_height_m: H, height that the road drops. [m]
        slope_pct: s, slope. [%]
        speed_kmh: v, steady speed. [km/h]

    Returns:
        t, time of the descent. [s]

    Accuracy:
        Exact for an even slope and speed.

    Source:
        geometry

    >>> round(float(descent_time_s(500, 8, 30)))
    752
    """
    return descent_height_m / (sin(_slope_angle(slope_pct)) * speed_kmh / 3.6)


@valid(speed_kmh=_MOVING, rotor_diameter_mm=_ROTOR)
def rotor_heat_transfer_w_m2_k(speed_kmh: Kmh, rotor_diameter_mm: Mm) -> WM2K:
    """How fast a rotor gives heat to the air that flows past it.

    Formula:
        L = d / 1000
        Re = v / 3.6 * L / 0.000016
        h = 0.037 * Re**0.8 * 0.89 * 0.026 / L

    Args:
        speed_kmh: v, speed of the bicycle. [km/h]
        rotor_diameter_mm: d, diameter of the rotor. [mm]

    Returns:
        h, heat given off for each square metre and degree. [W/(m²·K)]

    Accuracy:
        A flat plate in a turbulent stream stands in for the rotor: within about a half either way.
        Fork legs shade it, holes and turning help it. Two laboratory studies on bicycle rotors exist;
        their coefficients were not seen.

    Source:
        from-memory

    >>> round(float(rotor_heat_transfer_w_m2_k(30, 160)))
    46
    """
    length = rotor_diameter_mm / 1000
    reynolds = speed_kmh / KMH_PER_M_S * length / 0.000016
    return 0.037 * reynolds**0.8 * 0.89 * 0.026 / length


@valid(rotor_diameter_mm=_ROTOR, rotor_track_mm=(8, 30, "height of the ring on which the pads run"))
def rotor_surface_cm2(rotor_diameter_mm: Mm, rotor_track_mm: Mm = 14.0) -> Cm2:
    """Both faces of the ring on which the pads run.

    Formula:
        A = 2 * pi * b * (d - b) / 100

    Args:
        rotor_diameter_mm: d, diameter of the rotor. [mm]
        rotor_track_mm: b, height of the ring. [mm]

    Returns:
        A, both faces of the brake track. [cm²]

    Accuracy:
        Holes take about a tenth away and their walls give it back.

    Source:
        geometry

    >>> round(float(rotor_surface_cm2(160)))
    128
    """
    return 2 * pi * rotor_track_mm * (rotor_diameter_mm - rotor_track_mm) / 100


@valid(
    rotor_heating_power_w=_POWER,
    rotor_heat_transfer_w_m2_k=(1, 400, "from still air to a gale past the rotor"),
    rotor_surface_cm2=(20, 400, "rotors in trade"),
    braking_time_s=(0, 20000, "from one bend to hours of mountain"),
    rotor_mass_g=(40, 1000, "bicycle rotors"),
    specific_heat_j_kg_k=(300, 1000, "steel 460 to 500, aluminium about 900"),
)
def rotor_drag_rise_k(
    rotor_heating_power_w: W,
    rotor_heat_transfer_w_m2_k: WM2K,
    rotor_surface_cm2: Cm2,
    braking_time_s: S,
    rotor_mass_g: G,
    specific_heat_j_kg_k: JKgK = STEEL_J_KG_K,
) -> K:
    """Rise of a rotor's temperature over the air when a brake is dragged at a steady power.

    Formula:
        K_c = h * A / 10000
        dT = P / K_c * (1 - exp(-K_c * t / (m / 1000 * c)))

    Args:
        rotor_heating_power_w: P, power into this brake. [W]
        rotor_heat_transfer_w_m2_k: h, heat given off for each square metre and degree. [W/(m²·K)]
        rotor_surface_cm2: A, both faces of the brake track. [cm²]
        braking_time_s: t, time for which the brake is dragged. [s]
        rotor_mass_g: m, mass of the rotor. [g]
        specific_heat_j_kg_k: c, specific heat; steel by default. [J/(kg·K)]

    Returns:
        dT, rise of the rotor's temperature over the air. [K]

    Accuracy:
        One lump that cools by air alone: a comparison of two ways to ride, not a thermometer. Glow,
        pads, carrier and hub take heat too, so above some 300 K the true rise is smaller.

    Caution:
        A rotor, calliper or rim that has been dragged burns skin.

    Source:
        mechanics, from-memory

    >>> round(float(rotor_drag_rise_k(190, 47, 128, 120, 150)))
    195
    """
    cooling = rotor_heat_transfer_w_m2_k * rotor_surface_cm2 / 10000
    heat_capacity = rotor_mass_g / 1000 * specific_heat_j_kg_k
    return rotor_heating_power_w / cooling * (1 - np.exp(-cooling * braking_time_s / heat_capacity))


@valid(
    brake_fluid=("dot-3", "dot-4", "dot-5.1", "mineral"),
    fluid_state=("dry", "wet"),
)
def fluid_boiling_point_degc(brake_fluid: Word, fluid_state: Word) -> DegC:
    """Temperature at which a brake fluid boils: fresh, or with the water that it takes up in use.

    Rule:
        Read from the table of brake fluids: for DOT grades the least value that the grade allows.

    Args:
        brake_fluid: grade of the fluid. [word]
        fluid_state: fresh (dry) or with water in it (wet). [word]

    Returns:
        boiling point of the fluid. [°C]

    Accuracy:
        DOT figures are least values; mineral oils differ by maker, so read the bottle.

    Source:
        trade-64b, trade-65b, trade-66b

    >>> fluid_boiling_point_degc("dot-4", "wet")
    155.0
    """
    for row in rows("brakes/fluids"):
        if row["brake_fluid"] == brake_fluid and row["fluid_state"] == fluid_state:
            return float(row["fluid_boiling_point_degc"])
    raise LookupError(f"no boiling point for {brake_fluid}, {fluid_state}, in the table of brake fluids")


@valid(
    fluid_boiling_point_degc=(90, 400, "from water to racing fluids"),
    calliper_temperature_degc=(-40, 500, "from a winter night to a rotor that glows beside it"),
)
def fluid_margin_k(fluid_boiling_point_degc: DegC, calliper_temperature_degc: DegC) -> K:
    """How many degrees are left before the fluid in the calliper boils and the lever goes to the bar.

    Formula:
        dT = T_b - T

    Args:
        fluid_boiling_point_degc: T_b, boiling point of the fluid. [°C]
        calliper_temperature_degc: T, temperature of the fluid in the calliper. [°C]

    Returns:
        dT, margin before the fluid boils. [K]

    Accuracy:
        Exact; the calliper's temperature lags far behind the rotor's and is seldom known.

    Caution:
        Nothing warns before it boils but a softening lever. Stop and let the brakes cool.

    Source:
        trade-64b, arithmetic

    >>> float(fluid_margin_k(155.0, 120.0))
    35.0
    """
    return fluid_boiling_point_degc - calliper_temperature_degc


@valid(
    lever_finger_distance_mm=(20, 150, "pivot to fingers on levers in trade"),
    lever_pivot_radius_mm=(8, 60, "pivot to cable end on levers in trade"),
)
def lever_mechanical_advantage(lever_finger_distance_mm: Mm, lever_pivot_radius_mm: Mm) -> Pure:
    """How many times a brake lever multiplies the fingers' force.

    Formula:
        k = l / r

    Args:
        lever_finger_distance_mm: l, distance from the pivot to the fingers. [mm]
        lever_pivot_radius_mm: r, distance from the pivot to the cable end. [mm]

    Returns:
        k, lever's mechanical advantage. [-]

    Accuracy:
        Where the fingers lie decides: on the hoods of a drop bar it is about 15 % less than on the drops.

    Source:
        trade-101

    >>> round(float(lever_mechanical_advantage(72, 14)), 1)
    5.1
    """
    return lever_finger_distance_mm / lever_pivot_radius_mm


@valid(
    hand_force_n=_HAND,
    lever_mechanical_advantage=_ADVANTAGE,
    cable_efficiency_pct=(20, 100, "from a rusty cable to none at all"),
)
def cable_force_n(hand_force_n: N, lever_mechanical_advantage: Pure, cable_efficiency_pct: Pct = 85.0) -> N:
    """Pull in the cable at the brake, after what the lever adds and the housing takes.

    Formula:
        F = P * k * e / 100

    Args:
        hand_force_n: P, force of the fingers on the lever. [N]
        lever_mechanical_advantage: k, lever's mechanical advantage. [-]
        cable_efficiency_pct: e, what cable and housing pass on. [%]

    Returns:
        F, pull in the brake cable. [N]

    Accuracy:
        The cable decides: each bend takes some; 85 is a clean cable with few bends, from memory.

    Source:
        mechanics, from-memory

    >>> round(float(cable_force_n(100, 5.1)))
    433
    """
    return hand_force_n * lever_mechanical_advantage * cable_efficiency_pct / 100


@valid(
    lever_pivot_radius_mm=(8, 60, "pivot to cable end on levers in trade"),
    lever_angle_deg=(0, 60, "beyond it the lever meets the bar"),
)
def lever_cable_pull_mm(lever_pivot_radius_mm: Mm, lever_angle_deg: Deg = 20.0) -> Mm:
    """Cable that a brake lever takes up when it is turned.

    Formula:
        p = r * radians(alpha)

    Args:
        lever_pivot_radius_mm: r, distance from the pivot to the cable end. [mm]
        lever_angle_deg: alpha, angle by which the lever turns. [°]

    Returns:
        p, cable that the lever takes up. [mm]

    Accuracy:
        The arc; a cable end that moves off the right angle gives a few per cent less.

    Source:
        trade-100

    >>> round(float(lever_cable_pull_mm(21)), 1)
    7.3
    """
    return lever_pivot_radius_mm * radians(lever_angle_deg)


@valid(
    lever_cable_pull_mm=(0.5, 60, "brake levers in trade"),
    brake_cable_need_mm=(0.5, 60, "brakes in trade"),
)
def cable_pull_match_pct(lever_cable_pull_mm: Mm, brake_cable_need_mm: Mm) -> Pct:
    """Cable that the lever gives as a share of the cable that the brake was made for.

    Formula:
        p = 100 * p_l / p_b

    Args:
        lever_cable_pull_mm: p_l, cable that the lever takes up. [mm]
        brake_cable_need_mm: p_b, cable that the brake was made for at the same angle. [mm]

    Returns:
        p, lever's cable as a share of what the brake needs. [%]

    Accuracy:
        As the two pulls are known; near 100 they belong together, near 50 or 200 they do not.

    Caution:
        At about 200 the lever feels firm and brakes with half the force; at about 50 it can reach the bar.

    Source:
        trade-99, trade-100

    >>> round(float(cable_pull_match_pct(14.7, 7.3)))
    201
    """
    return 100 * lever_cable_pull_mm / brake_cable_need_mm


@valid(
    lever_cable_pull_mm=(0, 60, "brake levers in trade"),
    brake_arm_ratio=(0.5, 12, "rim callipers about 1 to 2, direct-pull arms about 3 to 5"),
)
def pad_travel_mm(lever_cable_pull_mm: Mm, brake_arm_ratio: Pure) -> Mm:
    """How far each pad moves for the cable that the lever takes up.

    Formula:
        t = p / (2 * k_b)

    Args:
        lever_cable_pull_mm: p, cable that the lever takes up. [mm]
        brake_arm_ratio: k_b, cable arm over pad arm. [-]

    Returns:
        t, travel of each pad. [mm]

    Accuracy:
        One cable that pulls both arms, half of it each; bending arms, cable and housing take some of the
        travel. Where a single pad moves, as in many cable discs, it moves twice as far.

    Source:
        mechanics, trade-101

    >>> round(float(pad_travel_mm(14.7, 4)), 2)
    1.84
    """
    # Work in is work out: both pads press with the cable's pull times the ratio, so they share its travel.
    return lever_cable_pull_mm / (2 * brake_arm_ratio)


@valid(
    pad_travel_mm=(0, 60, "what a lever can move"),
    pad_clearance_mm=(0, 15, "between pad and rim or rotor"),
)
def pad_travel_left_mm(pad_travel_mm: Mm, pad_clearance_mm: Mm) -> Mm:
    """Pad travel that is left after the gap is closed: it must squeeze, not only touch.

    Formula:
        t_l = t - c

    Args:
        pad_travel_mm: t, travel of the pads at full lever. [mm]
        pad_clearance_mm: c, gap between pad and rim or rotor. [mm]

    Returns:
        t_l, pad travel left after contact. [mm]

    Accuracy:
        Exact; nothing or less means that the lever meets the bar first.

    Caution:
        A lever that can reach the bar is a failed brake.

    Source:
        arithmetic

    >>> round(float(pad_travel_left_mm(3.7, 2.0)), 1)
    1.7
    """
    return pad_travel_mm - pad_clearance_mm


@valid(
    cable_force_n=(0, 3000, "hand and lever give no more"),
    brake_arm_ratio=(0.5, 12, "rim and disc brake arms"),
)
def rim_pad_force_n(cable_force_n: N, brake_arm_ratio: Pure) -> N:
    """Force with which each block presses on the rim, where one cable pulls both arms.

    Formula:
        F_p = F * k_b

    Args:
        cable_force_n: F, pull in the brake cable. [N]
        brake_arm_ratio: k_b, cable arm over pad arm. [-]

    Returns:
        F_p, force of each block on the rim. [N]

    Accuracy:
        Rigid arms without the return springs.

    Source:
        mechanics, trade-101

    >>> float(rim_pad_force_n(200.0, 4.0))
    800.0
    """
    return cable_force_n * brake_arm_ratio


@valid(
    rim_pad_force_n=_PAD_FORCE,
    pad_friction=_PAD_FRICTION,
    brake_track_radius_mm=(70, 330, "hub to the middle of the rim's brake track"),
    wheel_radius_mm=_WHEEL,
)
def rim_brake_force_n(
    rim_pad_force_n: N, pad_friction: Pure, brake_track_radius_mm: Mm, wheel_radius_mm: Mm
) -> N:
    """Force with which a rim brake slows the bicycle at the road.

    Formula:
        F_r = 2 * mu * F_p * r_b / R

    Args:
        rim_pad_force_n: F_p, force of each block on the rim. [N]
        pad_friction: mu, friction between block and rim. [-]
        brake_track_radius_mm: r_b, hub to the middle of the brake track. [mm]
        wheel_radius_mm: R, hub to the road. [mm]

    Returns:
        F_r, braking force at the road. [N]

    Accuracy:
        The friction is the guess: it falls by half and more in the wet.

    Source:
        mechanics

    >>> round(float(rim_brake_force_n(600, 0.4, 305, 340)))
    431
    """
    return 2 * pad_friction * rim_pad_force_n * brake_track_radius_mm / wheel_radius_mm


@valid(rotor_diameter_mm=_ROTOR, rotor_track_mm=(8, 30, "height of the ring on which the pads run"))
def rotor_effective_radius_mm(rotor_diameter_mm: Mm, rotor_track_mm: Mm = 14.0) -> Mm:
    """Radius at which the pads grip a rotor, to the middle of its brake track.

    Formula:
        r = (d - b) / 2

    Args:
        rotor_diameter_mm: d, diameter of the rotor. [mm]
        rotor_track_mm: b, height of the ring. [mm]

    Returns:
        r, radius at which the pads grip. [mm]

    Accuracy:
        Within a millimetre or two: the pads' shape shifts it.

    Source:
        geometry

    >>> float(rotor_effective_radius_mm(160.0))
    73.0
    """
    return (rotor_diameter_mm - rotor_track_mm) / 2


@valid(
    rotor_pad_force_n=_PAD_FORCE,
    pad_friction=_PAD_FRICTION,
    rotor_effective_radius_mm=(30, 130, "rotors in trade"),
)
def rotor_torque_n_m(rotor_pad_force_n: N, pad_friction: Pure, rotor_effective_radius_mm: Mm) -> NM:
    """Torque with which a disc brake holds the wheel.

    Formula:
        T = 2 * mu * F_p * r / 1000

    Args:
        rotor_pad_force_n: F_p, force of each pad on the rotor. [N]
        pad_friction: mu, friction between pad and rotor. [-]
        rotor_effective_radius_mm: r, radius at which the pads grip. [mm]

    Returns:
        T, torque of the disc brake. [N·m]

    Accuracy:
        The friction is the guess: it changes with heat, water and oil.

    Source:
        mechanics

    >>> round(float(rotor_torque_n_m(2500, 0.4, 73)))
    146
    """
    return 2 * pad_friction * rotor_pad_force_n * rotor_effective_radius_mm / 1000


@valid(brake_torque_n_m=(0, 2000, "no bicycle's brake gives more"), wheel_radius_mm=_WHEEL)
def road_force_of_torque_n(brake_torque_n_m: NM, wheel_radius_mm: Mm) -> N:
    """Force at the road that a torque at the hub gives.

    Formula:
        F = 1000 * T / R

    Args:
        brake_torque_n_m: T, torque of the brake. [N·m]
        wheel_radius_mm: R, hub to the road. [mm]

    Returns:
        F, braking force at the road. [N]

    Accuracy:
        Exact while the tyre holds.

    Source:
        mechanics

    >>> round(float(road_force_of_torque_n(146, 340)))
    429
    """
    return 1000 * brake_torque_n_m / wheel_radius_mm


@valid(
    calliper_piston_diameter_mm=(8, 45, "bicycle callipers"),
    pistons_per_side_count=(1, 3, "two-piston brakes have one a side, four-piston brakes two"),
    master_piston_diameter_mm=(5, 20, "bicycle levers"),
)
def hydraulic_ratio(
    calliper_piston_diameter_mm: Mm, pistons_per_side_count: Pure, master_piston_diameter_mm: Mm
) -> Pure:
    """How many times the fluid multiplies the push of the lever's piston at each pad.

    Formula:
        k = n * D**2 / d**2

    Args:
        calliper_piston_diameter_mm: D, diameter of one calliper piston. [mm]
        pistons_per_side_count: n, pistons behind each pad. [-]
        master_piston_diameter_mm: d, diameter of the lever's piston. [mm]

    Returns:
        k, hydraulic ratio at each pad. [-]

    Accuracy:
        Exact for stiff hoses without air; pistons of two sizes need their areas added by hand.

    Source:
        mechanics

    >>> float(hydraulic_ratio(22.0, 1, 10.0))
    4.84
    """
    return pistons_per_side_count * calliper_piston_diameter_mm**2 / master_piston_diameter_mm**2


@valid(
    hand_force_n=_HAND,
    lever_mechanical_advantage=_ADVANTAGE,
    master_piston_diameter_mm=(5, 20, "bicycle levers"),
)
def brake_line_pressure_mpa(
    hand_force_n: N, lever_mechanical_advantage: Pure, master_piston_diameter_mm: Mm
) -> Mpa:
    """Pressure in the hose of a hydraulic brake.

    Formula:
        p = P * k / (pi * d**2 / 4)

    Args:
        hand_force_n: P, force of the fingers on the lever. [N]
        lever_mechanical_advantage: k, lever's mechanical advantage. [-]
        master_piston_diameter_mm: d, diameter of the lever's piston. [mm]

    Returns:
        p, pressure in the brake hose. [MPa]

    Accuracy:
        Exact without friction at the seals.

    Source:
        mechanics

    >>> round(float(brake_line_pressure_mpa(100, 6, 10)), 2)
    7.64
    """
    return hand_force_n * lever_mechanical_advantage / (pi * master_piston_diameter_mm**2 / 4)


@valid(
    hand_force_n=_HAND,
    lever_mechanical_advantage=_ADVANTAGE,
    hydraulic_ratio=(0.5, 60, "bicycle brakes"),
)
def rotor_pad_force_n(hand_force_n: N, lever_mechanical_advantage: Pure, hydraulic_ratio: Pure) -> N:
    """Force with which a hydraulic brake presses each pad on the rotor.

    Formula:
        F_p = P * k_l * k_h

    Args:
        hand_force_n: P, force of the fingers on the lever. [N]
        lever_mechanical_advantage: k_l, lever's mechanical advantage. [-]
        hydraulic_ratio: k_h, hydraulic ratio at each pad. [-]

    Returns:
        F_p, force of each pad on the rotor. [N]

    Accuracy:
        Without friction at the seals; air in the hose takes travel, and in the end all of the force.

    Source:
        mechanics

    >>> round(float(rotor_pad_force_n(100, 6, 4.84)))
    2904
    """
    return hand_force_n * lever_mechanical_advantage * hydraulic_ratio


@valid(total_mass_kg=_MASS, deceleration_m_s2=_DECELERATION, brake_share_pct=_SHARE)
def braking_force_n(total_mass_kg: Kg, deceleration_m_s2: MS2, brake_share_pct: Pct = 100.0) -> N:
    """Force at the road that one wheel must give for its share of a deceleration.

    Formula:
        F = m * a * p / 100

    Args:
        total_mass_kg: m, rider, bicycle and load. [kg]
        deceleration_m_s2: a, deceleration. [m/s²]
        brake_share_pct: p, share of the braking that this wheel does. [%]

    Returns:
        F, braking force that this wheel must give. [N]

    Accuracy:
        Exact on the level; air and tyres help a little.

    Source:
        mechanics

    >>> float(braking_force_n(90.0, 4.0, 75))
    270.0
    """
    return total_mass_kg * deceleration_m_s2 * brake_share_pct / 100


@valid(
    total_mass_kg=_MASS,
    deceleration_m_s2=_DECELERATION,
    wheel_radius_mm=_WHEEL,
    brake_share_pct=_SHARE,
    rotating_share_pct=(0, 50, "wheels add a few per cent"),
)
def wheel_brake_torque_n_m(
    total_mass_kg: Kg,
    deceleration_m_s2: MS2,
    wheel_radius_mm: Mm,
    brake_share_pct: Pct = 100.0,
    rotating_share_pct: Pct = 0.0,
) -> NM:
    """Torque that a brake must give at its wheel for a deceleration.

    Formula:
        T = m * a * (1 + r / 100) * p / 100 * R / 1000

    Args:
        total_mass_kg: m, rider, bicycle and load. [kg]
        deceleration_m_s2: a, deceleration. [m/s²]
        wheel_radius_mm: R, hub to the road. [mm]
        brake_share_pct: p, share of the braking that this brake does. [%]
        rotating_share_pct: r, what turning wheels add. [%]

    Returns:
        T, torque that the brake must give. [N·m]

    Accuracy:
        Exact on the level.

    Source:
        trade-4, mechanics

    >>> round(float(wheel_brake_torque_n_m(90, 5.6, 340)))
    171
    """
    return (
        total_mass_kg
        * deceleration_m_s2
        * (1 + rotating_share_pct / 100)
        * brake_share_pct
        / 100
        * wheel_radius_mm
        / 1000
    )


@valid(
    braking_force_n=_FORCE,
    wheel_radius_mm=_WHEEL,
    pad_friction=_PAD_FRICTION,
    rotor_effective_radius_mm=(30, 130, "rotors in trade"),
    lever_mechanical_advantage=_ADVANTAGE,
    hydraulic_ratio=(0.5, 60, "bicycle brakes; for a cable disc the ratio of its arm"),
)
def disc_hand_force_n(
    braking_force_n: N,
    wheel_radius_mm: Mm,
    pad_friction: Pure,
    rotor_effective_radius_mm: Mm,
    lever_mechanical_advantage: Pure,
    hydraulic_ratio: Pure,
) -> N:
    """Finger force that a disc brake asks for to give a braking force at the road.

    Formula:
        P = F * R / (2 * mu * r * k_l * k_h)

    Args:
        braking_force_n: F, braking force at the road. [N]
        wheel_radius_mm: R, hub to the road. [mm]
        pad_friction: mu, friction between pad and rotor. [-]
        rotor_effective_radius_mm: r, radius at which the pads grip. [mm]
        lever_mechanical_advantage: k_l, lever's mechanical advantage. [-]
        hydraulic_ratio: k_h, hydraulic ratio at each pad. [-]

    Returns:
        P, finger force for the disc brake. [N]

    Accuracy:
        The pads' friction is the guess; friction at the seals is left out.

    Source:
        mechanics

    >>> round(float(disc_hand_force_n(270, 340, 0.4, 73, 6, 4.84)))
    54
    """
    return (
        braking_force_n
        * wheel_radius_mm
        / (2 * pad_friction * rotor_effective_radius_mm * lever_mechanical_advantage * hydraulic_ratio)
    )


@valid(
    braking_force_n=_FORCE,
    wheel_radius_mm=_WHEEL,
    pad_friction=_PAD_FRICTION,
    brake_track_radius_mm=(70, 330, "hub to the middle of the rim's brake track"),
    lever_mechanical_advantage=_ADVANTAGE,
    brake_arm_ratio=(0.5, 12, "rim brake arms"),
    cable_efficiency_pct=(20, 100, "from a rusty cable to none at all"),
)
def rim_hand_force_n(
    braking_force_n: N,
    wheel_radius_mm: Mm,
    pad_friction: Pure,
    brake_track_radius_mm: Mm,
    lever_mechanical_advantage: Pure,
    brake_arm_ratio: Pure,
    cable_efficiency_pct: Pct = 85.0,
) -> N:
    """Finger force that a cable rim brake asks for to give a braking force at the road.

    Formula:
        P = F * R / (2 * mu * r_b * k_l * k_b * e / 100)

    Args:
        braking_force_n: F, braking force at the road. [N]
        wheel_radius_mm: R, hub to the road. [mm]
        pad_friction: mu, friction between block and rim. [-]
        brake_track_radius_mm: r_b, hub to the middle of the brake track. [mm]
        lever_mechanical_advantage: k_l, lever's mechanical advantage. [-]
        brake_arm_ratio: k_b, cable arm over pad arm. [-]
        cable_efficiency_pct: e, what cable and housing pass on. [%]

    Returns:
        P, finger force for the rim brake. [N]

    Accuracy:
        The blocks' friction and the cable are the guesses; return springs are left out.

    Source:
        mechanics, trade-101

    >>> round(float(rim_hand_force_n(90, 340, 0.4, 305, 5.1, 1.3)))
    22
    """
    return (
        braking_force_n
        * wheel_radius_mm
        / (
            2
            * pad_friction
            * brake_track_radius_mm
            * lever_mechanical_advantage
            * brake_arm_ratio
            * cable_efficiency_pct
            / 100
        )
    )


@valid(rotor_diameter_mm=_ROTOR, new_rotor_diameter_mm=_ROTOR)
def rotor_torque_change_pct(rotor_diameter_mm: Mm, new_rotor_diameter_mm: Mm) -> Pct:
    """How much more (or less) a rotor of another size brakes at the same finger force.

    Formula:
        p = 100 * (D / d - 1)

    Args:
        rotor_diameter_mm: d, diameter of the rotor now. [mm]
        new_rotor_diameter_mm: D, diameter of the rotor wanted. [mm]

    Returns:
        p, change of the brake's torque. [%]

    Accuracy:
        Within a point or two: by the effective radius it is a little more.

    Source:
        trade-103, brakes-9

    >>> round(float(rotor_torque_change_pct(160, 185)), 1)
    15.6
    """
    return 100 * (new_rotor_diameter_mm / rotor_diameter_mm - 1)


@valid(rotor_diameter_mm=_ROTOR, new_rotor_diameter_mm=_ROTOR)
def calliper_adapter_step_mm(rotor_diameter_mm: Mm, new_rotor_diameter_mm: Mm) -> Mm:
    """How far outwards the calliper must move for a larger rotor: half the difference.

    Formula:
        t = (D - d) / 2

    Args:
        rotor_diameter_mm: d, diameter of the rotor now. [mm]
        new_rotor_diameter_mm: D, diameter of the rotor wanted. [mm]

    Returns:
        t, step of the calliper outwards. [mm]

    Accuracy:
        Exact; adapters are named by the rotor's step, so a "+20" moves the calliper by 10 mm.

    Source:
        geometry

    >>> float(calliper_adapter_step_mm(160.0, 180.0))
    10.0
    """
    return (new_rotor_diameter_mm - rotor_diameter_mm) / 2


@valid(new_rotor_diameter_mm=_ROTOR, largest_rotor_mm=_ROTOR)
def rotor_over_limit_mm(new_rotor_diameter_mm: Mm, largest_rotor_mm: Mm) -> Mm:
    """How far a rotor goes beyond the largest that the fork's or frame's maker allows.

    Formula:
        o = D - D_m

    Args:
        new_rotor_diameter_mm: D, diameter of the rotor wanted. [mm]
        largest_rotor_mm: D_m, largest rotor that the maker of fork or frame allows. [mm]

    Returns:
        o, rotor beyond the maker's limit. [mm]

    Accuracy:
        Exact; nothing or less is within the limit.

    Caution:
        A rotor beyond the maker's limit loads the mount and the fork leg beyond what they were tested for.

    Source:
        common-practice

    >>> float(rotor_over_limit_mm(203.0, 180.0))
    23.0
    """
    return new_rotor_diameter_mm - largest_rotor_mm


@valid(
    rotor_thickness_mm=(0.3, 4, "bicycle rotors, new and worn"),
    rotor_minimum_mm=(0.8, 3, "least thicknesses that makers etch on rotors"),
)
def rotor_wear_left_mm(rotor_thickness_mm: Mm, rotor_minimum_mm: Mm) -> Mm:
    """Thickness that a rotor may still lose before it is scrap.

    Formula:
        w = t - t_m

    Args:
        rotor_thickness_mm: t, thickness where the pads run. [mm]
        rotor_minimum_mm: t_m, least thickness etched on the rotor. [mm]

    Returns:
        w, rotor thickness left to wear. [mm]

    Accuracy:
        As the tool: a micrometer to 0.01 mm, a calliper to about 0.05 mm.

    Caution:
        A rotor below its minimum can buckle or break, and the pistons come out too far.

    Source:
        trade-67b, trade-68b

    >>> round(float(rotor_wear_left_mm(1.72, 1.5)), 2)
    0.22
    """
    return rotor_thickness_mm - rotor_minimum_mm


@valid(
    pad_thickness_mm=(0, 15, "linings and blocks, new and worn"),
    pad_minimum_mm=(0, 5, "least linings that makers state"),
)
def pad_lining_left_mm(pad_thickness_mm: Mm, pad_minimum_mm: Mm = 0.5) -> Mm:
    """Lining that a brake pad may still lose.

    Formula:
        w = t - t_m

    Args:
        pad_thickness_mm: t, lining above its backing plate. [mm]
        pad_minimum_mm: t_m, least lining. [mm]

    Returns:
        w, lining left to wear. [mm]

    Accuracy:
        As the tool: a calliper to about 0.1 mm on a rough lining.

    Caution:
        Below the minimum the backing plate meets the rotor and the brake can fail.

    Source:
        trade-87, trade-115

    >>> float(pad_lining_left_mm(1.5))
    1.0
    """
    return pad_thickness_mm - pad_minimum_mm


@valid(
    new_pad_thickness_mm=(0.5, 15, "linings and blocks as sold"),
    pad_thickness_mm=(0, 15, "linings and blocks, new and worn"),
    distance_km=(0, 300000, "distances that riders report"),
    pad_minimum_mm=(0, 5, "least linings that makers state"),
)
def pad_distance_left_km(
    new_pad_thickness_mm: Mm, pad_thickness_mm: Mm, distance_km: Km, pad_minimum_mm: Mm = 0.5
) -> Km:
    """How far the pads will last at the rate at which they have worn so far.

    Formula:
        x = d * max(t - t_m, 0) / max(t_0 - t, 0.1)

    Args:
        new_pad_thickness_mm: t_0, lining when new. [mm]
        pad_thickness_mm: t, lining now. [mm]
        distance_km: d, distance ridden on these pads. [km]
        pad_minimum_mm: t_m, least lining. [mm]

    Returns:
        x, distance that the pads will last. [km]

    Accuracy:
        A trend, no promise: one wet, gritty ride can take what a summer did. A wear of less than
        0.1 mm cannot be told from none and counts as 0.1 mm.

    Source:
        arithmetic

    >>> round(float(pad_distance_left_km(2.0, 1.25, 1500)))
    1500
    """
    return (
        distance_km
        * maximum(pad_thickness_mm - pad_minimum_mm, 0)
        / maximum(new_pad_thickness_mm - pad_thickness_mm, 0.1)
    )


@valid(
    rim_wall_mm=(0.1, 6, "walls of aluminium rims at the brake track"),
    rim_wall_minimum_mm=(0.3, 3, "least walls that makers and workshops state"),
)
def rim_wall_left_mm(rim_wall_mm: Mm, rim_wall_minimum_mm: Mm = 1.0) -> Mm:
    """Wall that an aluminium rim's brake track may still lose.

    Formula:
        w = t - t_m

    Args:
        rim_wall_mm: t, wall at its thinnest. [mm]
        rim_wall_minimum_mm: t_m, least wall. [mm]

    Returns:
        w, rim wall left to wear. [mm]

    Accuracy:
        As the tool: a hooked dial gauge to 0.1 mm.

    Caution:
        A rim worn through bursts under the tyre's pressure, at speed, often while braking.

    Source:
        brakes-12, brakes-13

    >>> round(float(rim_wall_left_mm(1.3)), 1)
    0.3
    """
    return rim_wall_mm - rim_wall_minimum_mm


@valid(
    lever_reach_mm=(20, 150, "bar to lever"),
    grip_limit_mm=(40, 120, "the United States rule says 89 for adults and 76 for sidewalk bicycles"),
)
def lever_reach_over_mm(lever_reach_mm: Mm, grip_limit_mm: Mm) -> Mm:
    """How far a brake lever stands beyond the grip dimension that a rule allows.

    Formula:
        o = r - r_m

    Args:
        lever_reach_mm: r, largest distance over lever and bar between pivot and middle of the lever. [mm]
        grip_limit_mm: r_m, largest grip dimension by the rule. [mm]

    Returns:
        o, lever reach beyond the limit. [mm]

    Accuracy:
        Exact; the hand decides, not the rule.

    Source:
        trade-93

    >>> float(lever_reach_over_mm(92.0, 89.0))
    3.0
    """
    return lever_reach_mm - grip_limit_mm


@valid(
    rotor_runout_mm=(0, 5, "side-to-side movement of a rotor that still turns"),
    pad_gap_mm=(0, 3, "gap of one pad to the rotor"),
)
def rotor_gap_left_mm(rotor_runout_mm: Mm, pad_gap_mm: Mm) -> Mm:
    """Gap that a wobbling rotor leaves on each side when the calliper stands in the middle.

    Formula:
        g = c - w / 2

    Args:
        rotor_runout_mm: w, whole side-to-side movement of the rotor. [mm]
        pad_gap_mm: c, gap of each pad to a straight rotor. [mm]

    Returns:
        g, gap left at the rotor's widest swing. [mm]

    Accuracy:
        Exact; nothing or less rubs once a turn.

    Source:
        geometry

    >>> round(float(rotor_gap_left_mm(0.3, 0.2)), 2)
    0.05
    """
    return pad_gap_mm - rotor_runout_mm / 2


@valid(
    brake_drop_mm=(20, 150, "from children's bicycles to the deepest centre-pulls"),
    slot_top_mm=(15, 140, "published callipers start at 39 mm; others reach further"),
    slot_bottom_mm=(15, 150, "published callipers end at 108 mm"),
)
def reach_outside_slot_mm(brake_drop_mm: Mm, slot_top_mm: Mm, slot_bottom_mm: Mm) -> Mm:
    """How far outside a calliper's slot the brake block would have to stand; negative where it stands inside.

    Formula:
        o = max(a - d, d - b)

    Args:
        brake_drop_mm: d, from the middle of the fixing bolt to the middle of the brake track. [mm]
        slot_top_mm: a, from the bolt to the block at the top of its slot. [mm]
        slot_bottom_mm: b, from the bolt to the block at the bottom of its slot. [mm]

    Returns:
        o, outside the slot; inside it the distance to the nearer end, negative. [mm]

    Accuracy:
        As good as the ruler, about 1 mm; makers' printed ranges differ by a few millimetres from what is measured.

    Caution:
        A block that sits on the tyre or under the brake track fails without warning: check front and rear.

    Source:
        brakes-29

    >>> float(reach_outside_slot_mm(45.0, 39.0, 49.0))
    -4.0
    """
    return maximum(slot_top_mm - brake_drop_mm, brake_drop_mm - slot_bottom_mm)

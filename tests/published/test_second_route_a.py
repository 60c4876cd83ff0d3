"""Bearings, threads, brakes and lubrication by a second route, where no published worked value was found.

Each expected value is worked out here in another way than in the calculation: from a more basic law, by
integrating or solving numerically, by another library, or by hand with the steps in a comment.
"""

from __future__ import annotations

import chemicals
import numpy as np
import pint
import pytest
from scipy import constants
from scipy.integrate import dblquad, quad, solve_ivp
from scipy.optimize import brentq

from knowledge.calculations import bearings, brakes, lubrication, threads

UNITS = pint.UnitRegistry()
WEIGHT = constants.g


def measured(value: float, unit: str, wanted: str) -> float:
    """A quantity in another unit, by the units library."""
    return float(UNITS.Quantity(value, unit).to(wanted).magnitude)


# Bearings


@pytest.mark.parametrize(
    ("axial_share", "axial_factor"),
    # The handbook's factors for the axial load at each share of the static rating, from memory.
    [
        (0.014, 2.30),
        (0.028, 1.99),
        (0.056, 1.71),
        (0.084, 1.55),
        (0.11, 1.45),
        (0.17, 1.31),
        (0.28, 1.15),
        (0.42, 1.04),
        (0.56, 1.00),
    ],
)
def test_axial_limit_is_where_both_load_formulas_meet(axial_share, axial_factor):
    """Second route: at the limit 0.56 Fr + Y Fa must equal Fr, so e = 0.44 / Y; to half the printed digit."""
    limit = bearings.axial_limit_ratio(1000 * axial_share, 1000)

    assert limit == pytest.approx((1 - 0.56) / axial_factor, abs=0.0055)


def test_equivalent_static_load_changes_over_at_four_fifths():
    """Second route: 0.6 Fr + 0.5 Fa passes Fr where Fa = 0.8 Fr."""
    assert bearings.equivalent_static_load_n(1000, 799) == 1000
    assert bearings.equivalent_static_load_n(1000, 802) == pytest.approx(1001)


@pytest.mark.parametrize(("speed_kmh", "circumference_mm"), [(30, 2100), (12.5, 1350)])
def test_wheel_speed_and_life_are_turns_and_metres(speed_kmh, circumference_mm):
    """Second route: turns counted by the units library, and 100 million turns laid end to end."""
    way = UNITS.Quantity(circumference_mm, "millimetre")
    turns = (UNITS.Quantity(speed_kmh, "kilometre / hour") / way).to("1 / minute").magnitude

    assert bearings.wheel_bearing_speed_rpm(speed_kmh, circumference_mm) == pytest.approx(turns)
    assert bearings.wheel_bearing_life_km(100, circumference_mm) == pytest.approx(
        (100e6 * way).to("kilometre").magnitude
    )


def test_weight_on_the_wheel_bearings_is_the_units_librarys():
    """Second route: 85 kilograms-force, by the units library, in newtons."""
    assert bearings.wheel_bearing_load_n(75, 10) == pytest.approx(measured(85, "kilogram_force", "newton"))
    assert bearings.press_force_kgf(measured(30, "kilogram_force", "newton")) == pytest.approx(30)


@pytest.mark.parametrize(("play_um", "radius_mm", "spacing_mm"), [(96.46, 311, 60), (50, 200, 35)])
def test_bearing_play_rocks_the_rim_as_far_as_it_is_turned(play_um, radius_mm, spacing_mm):
    """Second route, forwards: tilt the axle from one corner of both bearings' play to the other with sines."""
    tilt = np.arctan2(play_um / 1000, spacing_mm)  # half the play down at one bearing, half up at the other
    rim_way_mm = radius_mm * (np.sin(tilt) - np.sin(-tilt))

    assert bearings.bearing_play_um(float(rim_way_mm), radius_mm, spacing_mm) == pytest.approx(
        play_um, rel=1e-4
    )


def test_usual_hub_and_rim_by_hand():
    """Second route, by hand: bead seat 622 mm across, bearings 60 mm apart: 1 mm at the rim is 60/622 mm."""
    assert bearings.bearing_play_um(1) == pytest.approx(1000 * 60 / 622)


def test_clearances_of_normal_and_oversize_bearings_by_hand():
    """Second route, by hand: a 42.06 mm shell is 60 µm loose on 42 mm and grips 42.1 mm by 40 µm."""
    oversize = bearings.oversize_bearing_diameter_mm(42)

    assert oversize == pytest.approx(42 + 0.1)  # a tenth is the trade's usual step
    assert bearings.shell_clearance_um(42.06, 42) == pytest.approx(60)
    assert bearings.oversize_clearance_um(42.06, float(oversize)) == pytest.approx(60 - 100)


@pytest.mark.parametrize(("long_axis", "short_axis"), [(42.04, 41.97), (30.02, 30.0)])
def test_ovality_is_the_spread_of_calliper_readings_round_an_ellipse(long_axis, short_axis):
    """Second route: the width of an ellipse between parallel jaws, taken every degree."""
    angle = np.radians(np.arange(0, 180))
    width = 2 * np.hypot(long_axis / 2 * np.cos(angle), short_axis / 2 * np.sin(angle))
    mean = (width.max() + width.min()) / 2

    ovality = bearings.shell_ovality_um(float(width.max()), float(width.min()))
    assert ovality == pytest.approx(1000 * (long_axis - short_axis), rel=1e-6)
    assert mean == pytest.approx((long_axis + short_axis) / 2)


@pytest.mark.parametrize(("seat_mm", "wall_mm"), [(42, 2), (26, 3.5)])
def test_hub_ratio_agrees_with_the_area_of_the_ring(seat_mm, wall_mm):
    """Second route: ring area = mean circumference × wall; the outside circle holds seat and ring together."""
    ring = np.pi * (seat_mm + wall_mm) * wall_mm
    seat = np.pi / 4 * seat_mm**2

    assert bearings.hub_outside_ratio(seat_mm, wall_mm) == pytest.approx(np.sqrt((seat + ring) / seat))


@pytest.mark.parametrize(
    ("pressure_mpa", "seat_mm", "length_mm", "friction"), [(5.1, 42, 7, 0.15), (12, 26, 8, 0.1)]
)
def test_press_force_is_the_friction_summed_over_the_seat(pressure_mpa, seat_mm, length_mm, friction):
    """Second route: friction on each patch of the seat, integrated round and along it."""
    force, _ = dblquad(
        lambda _angle, _along: friction * pressure_mpa * seat_mm / 2, 0, length_mm, 0, 2 * np.pi
    )

    assert bearings.press_force_n(pressure_mpa, seat_mm, length_mm, friction) == pytest.approx(force)
    if friction == 0.15:  # the usual one, which the hand's push takes too
        assert bearings.press_force_n(pressure_mpa, seat_mm, length_mm) == pytest.approx(force)


def ring_growth_mm(inner_mm, outer_mm, inside_mpa, outside_mpa, at_mm, modulus_mpa, poisson):
    """How far a ring's radius moves outward: A + B / r² and A - B / r² for the stresses, solved for A and B."""
    a, b = np.linalg.solve([[1, -1 / inner_mm**2], [1, -1 / outer_mm**2]], [-inside_mpa, -outside_mpa])
    radial, hoop = a - b / at_mm**2, a + b / at_mm**2
    return at_mm * (hoop - poisson * radial) / modulus_mpa


@pytest.mark.parametrize(
    ("length_mm", "ratio", "modulus_gpa", "seat_mm"), [(7, 1.1, 69, 42), (8, 1.3, 114, 26)]
)
def test_hand_push_interference_agrees_with_thick_rings_solved(length_mm, ratio, modulus_gpa, seat_mm):
    """Second route: 30 kg of push give the pressure, and both rings' stresses are solved from their edges.

    Steel ring with 200 GPa and 0.29, bore nine tenths of its outside; friction 0.15, shell's ratio 0.33.
    """
    pressure = 30 * WEIGHT / (0.15 * np.pi * seat_mm * length_mm)
    r = seat_mm / 2
    shell = ring_growth_mm(r, r * ratio, pressure, 0, r, modulus_gpa * 1000, 0.33)
    ring = ring_growth_mm(0.9 * r, r, 0, pressure, r, 200_000, 0.29)

    diametral_um = 2 * 1000 * (shell - ring)
    assert bearings.hand_push_interference_um(length_mm, ratio, modulus_gpa) == pytest.approx(diametral_um)


def test_fitting_temperature_agrees_in_fahrenheit():
    """Second route: 68 °F of room and 126 degrees Fahrenheit more are 194 °F; the ceiling is 248 °F."""
    fitting = float(bearings.fitting_temperature_degc(measured(126, "delta_degF", "delta_degC")))

    assert fitting == pytest.approx(measured(194, "degF", "degC"))
    assert bearings.heating_room_left_k(fitting) == pytest.approx(
        measured(248 - 194, "delta_degF", "delta_degC")
    )


def laminate_of_all_directions():
    """Modulus (GPa) and expansion (1/K) of a laminate with equal fibres in all directions.

    Source checks-a-6, standard fibre, one direction: 135, 10 and 5 GPa, 0.30, and -0.3 and 28 per million.
    """
    e1, e2, g12, nu12, alpha = 135.0, 10.0, 5.0, 0.30, np.array([-0.3e-6, 28e-6])
    layer = np.array([[e1, nu12 * e2], [nu12 * e2, e2]]) / (1 - nu12**2 * e2 / e1)
    (q11, q12), (_, q22) = layer
    u1 = (3 * q11 + 3 * q22 + 2 * q12 + 4 * g12) / 8
    u4 = (q11 + q22 + 6 * q12 - 4 * g12) / 8
    return u1 - u4**2 / u1, (layer @ alpha).sum() / layer.sum()


def test_carbon_agrees_with_the_theory_of_laminates():
    """Second route: layers as a maker prints them, turned through all directions by laminate theory.

    The table's 50 GPa and 3 per million are from memory: 10 %, and the 60 % that the table states.
    """
    modulus, expansion = laminate_of_all_directions()

    assert bearings.shell_modulus_gpa("carbon") == pytest.approx(modulus, rel=0.1)
    assert bearings.shell_expansion_per_k("carbon") == pytest.approx(expansion, rel=0.6)


def test_thermal_clearance_is_the_difference_of_two_grown_diameters():
    """Second route: grow bore and ring apart; steel's 12 per million is the ring's default."""
    bore = 42 * (1 + 23.4e-6 * -30)
    ring = 42 * (1 + 12e-6 * -30)

    assert bearings.thermal_clearance_um(42, 23.4e-6, -30) == pytest.approx(1000 * (bore - ring))


# Threads


@pytest.mark.parametrize(
    ("diameter_mm", "pitch_mm", "printed_pitch_diameter"), [(5, 0.8, 4.480), (10, 1.5, 9.026)]
)
def test_lead_angle_is_the_slope_of_the_unrolled_thread(diameter_mm, pitch_mm, printed_pitch_diameter):
    """Second route: one turn of a helix on the pitch diameter that trade-52 prints, by its tangent's vector."""
    tangent = np.array([printed_pitch_diameter / 2 * 2 * np.pi, pitch_mm])
    slope = np.degrees(np.arccos(tangent[0] / np.linalg.norm(tangent)))

    assert threads.thread_lead_angle_deg(diameter_mm, pitch_mm) == pytest.approx(slope, rel=2e-4)


@pytest.mark.parametrize("pitch_mm", [0.8, 1.0, 1.25])
def test_profile_height_is_that_of_an_equal_sided_triangle(pitch_mm):
    """Second route: by Pythagoras, half the side and the height make the side."""
    height = float(threads.thread_profile_height_mm(pitch_mm))

    assert np.hypot(height, pitch_mm / 2) == pytest.approx(pitch_mm, rel=1e-6)


@pytest.mark.parametrize(("area", "breadth", "ratio"), [(58.0, 24.79, 1.0), (14.2, 12.1, 3.0)])
def test_bolt_and_thread_give_way_together_at_the_engagement_asked_for(area, breadth, ratio):
    """Second route: raise the engagement until stripping (shear at half the tensile strength) beats the bolt."""
    bolt_mpa = 800.0
    stripping = bolt_mpa / ratio / 2

    length = brentq(lambda mm: mm * breadth * stripping - area * bolt_mpa, 0.01, 100)
    assert threads.engagement_for_bolt_strength_mm(area, breadth, ratio) == pytest.approx(length)
    if ratio == 1:  # equal stuff is what is meant where nothing is said
        assert threads.engagement_for_bolt_strength_mm(area, breadth) == pytest.approx(length)


@pytest.mark.parametrize(("whole_mm", "spoiled", "pitch_mm"), [(12, 3, 1.27), (10, 4, 1.0), (5, 9, 0.8)])
def test_sound_thread_is_what_counting_turn_by_turn_leaves(whole_mm, spoiled, pitch_mm):
    """Second route: take one pitch off for each spoiled turn until nothing is left."""
    left = whole_mm
    for _ in range(spoiled):
        left = left - pitch_mm if left > pitch_mm else 0

    assert threads.engagement_left_mm(whole_mm, spoiled, pitch_mm) == pytest.approx(left)


def test_engagement_in_diameters_by_hand():
    """Second route, by hand in inches: 3/8 in of thread on a 1/4 in bolt is one and a half diameters."""
    assert threads.engagement_ratio(3 / 8 * 25.4, 25.4 / 4) == pytest.approx(1.5)


def test_torque_units_agree_with_the_constants_library():
    """Second route: pound-force, foot and standard gravity of the constants library."""
    pound_foot = constants.pound_force * constants.foot
    kilo_centimetre = constants.kilogram_force * constants.centi

    assert threads.torque_from_pound_feet_n_m(30) == pytest.approx(30 * pound_foot, rel=1e-7)
    assert threads.torque_from_kilo_centimetres_n_m(50) == pytest.approx(50 * kilo_centimetre)
    assert threads.torque_by_hand_n_m(6, 85) == pytest.approx(6 * 8.5 * kilo_centimetre)


@pytest.mark.parametrize(("factor", "new_factor"), [(0.2, 0.15), (0.18, 0.12)])
def test_same_torque_and_same_preload_from_the_short_form(factor, new_factor):
    """Second route: preload from torque = factor × preload × diameter, on an M6 bolt at 10 N·m."""
    before, after = 10 / (factor * 0.006), 10 / (new_factor * 0.006)

    assert threads.preload_change_pct(new_factor, factor) == pytest.approx(100 * (after - before) / before)
    assert threads.same_preload_torque_n_m(10, new_factor, factor) == pytest.approx(
        new_factor * before * 0.006
    )


def test_torque_beyond_the_stated_one_by_hand():
    """Second route, by hand: 8 N·m is 3 N·m over 5 N·m, three fifths; 4 N·m is a fifth below."""
    assert threads.torque_over_stated_pct(8, 5) == pytest.approx(60)
    assert threads.torque_over_stated_pct(4, 5) == pytest.approx(-20)


@pytest.mark.parametrize(("boss_mm", "tap_mm"), [(12, 7.3), (15, 6.04)])
def test_wall_round_an_insert_from_the_area_of_the_ring(boss_mm, tap_mm):
    """Second route: area left between boss and tap over its mean circumference."""
    area = np.pi / 4 * (boss_mm**2 - tap_mm**2)

    assert threads.insert_wall_left_mm(boss_mm, tap_mm) == pytest.approx(
        area / (np.pi * (boss_mm + tap_mm) / 2)
    )


# Brakes


def axle_loads_n(mass_kg, deceleration, setback_mm, height_mm, wheelbase_mm):
    """Front and rear load from two balances: upright forces, and moments about the mass centre."""
    weight = mass_kg * WEIGHT
    braking = mass_kg * deceleration
    return np.linalg.solve([[1, 1], [setback_mm, setback_mm - wheelbase_mm]], [weight, braking * height_mm])


@pytest.mark.parametrize(
    ("mass_kg", "deceleration", "setback_mm", "height_mm", "wheelbase_mm"),
    [(90, 4, 600, 1050, 1000), (160, 3, 900, 900, 1700), (90, 0, 600, 1050, 1000)],
)
def test_axle_loads_agree_with_the_balance_of_moments(
    mass_kg, deceleration, setback_mm, height_mm, wheelbase_mm
):
    """Second route: both loads solved together about the mass centre; the front share is its load's share."""
    front, rear = axle_loads_n(mass_kg, deceleration, setback_mm, height_mm, wheelbase_mm)
    _, rear_at_rest = axle_loads_n(mass_kg, 0, setback_mm, height_mm, wheelbase_mm)

    moved = float(brakes.load_transfer_n(mass_kg, deceleration, height_mm, wheelbase_mm))
    assert moved == pytest.approx(rear_at_rest - rear)
    ours = brakes.front_axle_load_braking_n(mass_kg, setback_mm, wheelbase_mm, moved)
    assert ours == pytest.approx(front)
    assert brakes.rear_axle_load_braking_n(mass_kg, float(ours)) == pytest.approx(rear)
    assert brakes.ideal_front_share_pct(deceleration, setback_mm, height_mm, wheelbase_mm) == pytest.approx(
        100 * front / (front + rear)
    )


def test_with_the_rear_wheel_in_the_air_the_front_carries_everything():
    """Second route: beyond g × setback / height the moments would pull the rear wheel down, which no road does."""
    beyond = WEIGHT * 600 / 1050 * 1.2
    moved = float(brakes.load_transfer_n(90, beyond, 1050, 1000))

    assert axle_loads_n(90, beyond, 600, 1050, 1000)[1] < 0
    assert brakes.front_axle_load_braking_n(90, 600, 1000, moved) == pytest.approx(90 * WEIGHT)
    assert brakes.rear_axle_load_braking_n(90, 90 * WEIGHT) == 0
    assert brakes.ideal_front_share_pct(beyond, 600, 1050, 1000) == 100


def greatest_deceleration(grip, bicycle, held_n):
    """Highest deceleration, found step by step, at which the rear wheel stays down and the tyres hold."""
    steps = np.arange(0.001, 12, 0.001)
    loads = np.array([axle_loads_n(90, a, *bicycle) for a in steps])
    holds = (loads[:, 1] >= 0) & (90 * steps <= grip * held_n(loads))
    return steps[holds].max()


@pytest.mark.parametrize(
    ("grip", "bicycle"), [(0.7, (600, 1050, 1000)), (0.3, (600, 1050, 1000)), (0.8, (1100, 800, 1700))]
)
def test_greatest_decelerations_agree_with_a_search(grip, bicycle):
    """Second route: try each deceleration against the balance of moments; front, both and rear brakes."""
    front = greatest_deceleration(grip, bicycle, lambda loads: loads[:, 0])
    both = greatest_deceleration(grip, bicycle, lambda loads: loads.sum(axis=1))
    rear = greatest_deceleration(grip, bicycle, lambda loads: loads[:, 1])
    slides, pitches = grip * WEIGHT, WEIGHT * bicycle[0] / bicycle[1]

    assert brakes.front_brake_deceleration_m_s2(grip, *bicycle) == pytest.approx(front, abs=0.002)
    assert brakes.both_brakes_deceleration_m_s2(slides, pitches) == pytest.approx(both, abs=0.002)
    assert brakes.rear_brake_share_pct(float(rear), float(both)) == pytest.approx(
        100 * brakes.rear_brake_deceleration_m_s2(grip, *bicycle) / both, abs=0.1
    )


def test_rear_share_by_hand():
    """Second route, by hand: 2.1 of 5.6 m/s² is three eighths."""
    assert brakes.rear_brake_share_pct(2.1, 5.6) == pytest.approx(37.5)


@pytest.mark.parametrize("share", [50, 30])
def test_wet_braking_distance_from_a_weaker_deceleration(share):
    """Second route: roll to a stop from 25 km/h at 4 m/s² and at the wet share of it, speed over time."""

    def rolled(deceleration):
        stop_s = 25 / 3.6 / deceleration
        return quad(lambda t: 25 / 3.6 - deceleration * t, 0, stop_s)[0]

    assert brakes.wet_braking_distance_m(rolled(4), share) == pytest.approx(rolled(4 * share / 100))


def test_energy_of_a_descent_is_that_of_a_fall():
    """Second route: fall freely from that height; half the mass times the square of the final speed."""
    fall_s = np.sqrt(2 * 9.95 / WEIGHT)

    assert brakes.descent_energy_j(100, 9.95) == pytest.approx(0.5 * 100 * (WEIGHT * fall_s) ** 2)


def test_heat_of_both_brakes_adds_up_to_the_whole():
    """Second route: shares of 65 and 35 per cent; energy is neither lost nor made, and 65 % of 380 W is 247 W."""
    front, rear = brakes.rotor_heating_power_w(380, 65), brakes.rotor_heating_power_w(380, 35)

    assert front == pytest.approx(247)
    assert front + rear == pytest.approx(380)
    assert brakes.rotor_heating_power_w(380) == pytest.approx(380)


@pytest.mark.parametrize(("speed_kmh", "rotor_mm"), [(30, 160), (60, 203)])
def test_rotor_heat_transfer_is_the_mean_of_the_local_one(speed_kmh, rotor_mm):
    """Second route: the turbulent local law, 0.0296 Re^0.8 Pr^(1/3), averaged along the plate.

    Air at 30 °C by checks-a-7: 0.02588 W/(m·K), 16.08 mm²/s, Prandtl number 0.7282; within 1.5 %.
    """
    length, speed = rotor_mm / 1000, speed_kmh / 3.6
    # 0.0296 (v x / nu)^0.8 Pr^(1/3) k / x goes as x^-0.2; with x = s^5 the integrand is smooth: dx = 5 s^4 ds.
    factor = 0.0296 * (speed / 16.08e-6) ** 0.8 * 0.7282 ** (1 / 3) * 0.02588
    whole, _ = quad(lambda s: factor * s**-1 * 5 * s**4, 0, length**0.2)

    assert brakes.rotor_heat_transfer_w_m2_k(speed_kmh, rotor_mm) == pytest.approx(whole / length, rel=0.015)


@pytest.mark.parametrize(("rotor_mm", "track_mm"), [(160, 14), (203, 16)])
def test_rotor_surface_and_radius_from_two_circles(rotor_mm, track_mm):
    """Second route: outer less inner disc, both faces; the grip's radius lies half-way between the edges."""
    inner = rotor_mm - 2 * track_mm
    faces_mm2 = 2 * np.pi / 4 * (rotor_mm**2 - inner**2)

    assert brakes.rotor_surface_cm2(rotor_mm, track_mm) == pytest.approx(
        measured(faces_mm2, "mm**2", "cm**2")
    )
    assert brakes.rotor_effective_radius_mm(rotor_mm, track_mm) == pytest.approx(
        np.mean([rotor_mm, inner]) / 2
    )


def test_usual_track_is_fourteen_millimetres():
    """Second route, by hand: 160 mm less 2 × 14 mm is 132 mm, so the grip is at (80 + 66) / 2 = 73 mm."""
    assert brakes.rotor_effective_radius_mm(160) == pytest.approx(73)
    assert brakes.rotor_surface_cm2(160) == pytest.approx(2 * np.pi * (8.0**2 - 6.6**2))


@pytest.mark.parametrize("time_s", [20, 120, 900])
def test_rotor_rise_agrees_with_its_differential_equation(time_s):
    """Second route: heat in less heat to the air, stepped through time; steel stores 500 J/(kg·K)."""
    power, transfer, surface_m2, stored = 190, 47, 0.0128, 0.150 * 500

    run = solve_ivp(
        lambda _t, rise: (power - transfer * surface_m2 * rise) / stored, (0, time_s), [0], rtol=1e-9
    )
    assert brakes.rotor_drag_rise_k(190, 47, 128, time_s, 150) == pytest.approx(run.y[0, -1], rel=1e-6)


def test_fluid_margin_agrees_in_fahrenheit():
    """Second route: wet DOT 4 boils at 311 °F; at 248 °F 63 degrees Fahrenheit are left."""
    boils, at = measured(311, "degF", "degC"), measured(248, "degF", "degC")

    assert brakes.fluid_margin_k(boils, at) == pytest.approx(measured(63, "delta_degF", "delta_degC"))


def test_rim_brake_gives_out_the_work_that_the_hand_puts_in():
    """Second route: work. 100 N at a lever of 72 over 14 mm (trade-101), turned by a tenth of a radian.

    The cable loses 15 % of the work; the rest goes into both pads, each pressing along its own way.
    """
    hand_way_mm, pull_mm, ratio = 72 * 0.1, 14 * 0.1, 1.3

    cable = float(brakes.cable_force_n(100, 72 / 14))
    assert cable * pull_mm == pytest.approx(0.85 * 100 * hand_way_mm)
    both_pads = 2 * brakes.rim_pad_force_n(cable, ratio) * brakes.pad_travel_mm(pull_mm, ratio)
    assert both_pads == pytest.approx(0.85 * 100 * hand_way_mm)


def test_cable_pull_and_pads_of_a_direct_pull_brake_by_hand():
    """Second route, by hand: arms of 100 mm to the cable and 25 mm to the pad, 16 mm of cable.

    Each arm's end moves 8 mm, a quarter of which is 2 mm at the pad; with 1.5 mm of gap 0.5 mm are left.
    200 N of cable press each pad with 200 × 100 / 25 = 800 N.
    """
    travel = float(brakes.pad_travel_mm(16, 100 / 25))

    assert travel == pytest.approx(2)
    assert brakes.pad_travel_left_mm(travel, 1.5) == pytest.approx(0.5)
    assert brakes.rim_pad_force_n(200, 100 / 25) == pytest.approx(800)
    assert brakes.cable_pull_match_pct(16, 20) == pytest.approx(80)


def test_friction_power_at_rim_and_rotor_is_braking_power_at_the_road():
    """Second route: power. Two faces rub at the speed of their radius; force × road speed is the same power."""
    road_m_s, wheel_mm = 8.0, 340
    turn_rad_s = road_m_s / (wheel_mm / 1000)

    rim_w = 2 * 0.4 * 600 * turn_rad_s * 0.305
    assert brakes.rim_brake_force_n(600, 0.4, 305, wheel_mm) * road_m_s == pytest.approx(rim_w)
    rotor_w = 2 * 0.4 * 2500 * turn_rad_s * 0.073
    torque = float(brakes.rotor_torque_n_m(2500, 0.4, 73))
    assert torque * turn_rad_s == pytest.approx(rotor_w)
    assert brakes.road_force_of_torque_n(torque, wheel_mm) * road_m_s == pytest.approx(rotor_w)


@pytest.mark.parametrize(("calliper_mm", "a_side", "master_mm"), [(22, 1, 10), (16, 2, 9)])
def test_hydraulic_ratio_keeps_the_volume_and_the_pressure(calliper_mm, a_side, master_mm):
    """Second route: pressure under the lever's piston, times the pistons' area behind one pad."""
    pressure_mpa = 100 * 6 / (np.pi * (master_mm / 2) ** 2)
    pad_n = pressure_mpa * a_side * np.pi * (calliper_mm / 2) ** 2

    ratio = float(brakes.hydraulic_ratio(calliper_mm, a_side, master_mm))
    assert ratio == pytest.approx(pad_n / 600)
    assert brakes.rotor_pad_force_n(100, 6, ratio) == pytest.approx(pad_n)


@pytest.mark.parametrize("share", [100, 75])
def test_braking_force_from_energy_and_distance(share):
    """Second route: the energy of 90 kg at 24 km/h over the way of a stop at 4 m/s², times the wheel's share."""
    speed = 24 / 3.6
    whole = 0.5 * 90 * speed**2 / (speed**2 / (2 * 4))

    assert brakes.braking_force_n(90, 4, share) == pytest.approx(whole * share / 100)


def test_hand_forces_from_the_work_of_one_turn_of_the_wheel():
    """Second route: brakes convert the road's work over one turn into friction; solved for the hand.

    Disc: pads press hand × 6 × 4.84, rim: hand × 5.1 × 1.3 × 0.85; both rub on two faces with 0.4.
    """
    road_j = 270 * 2 * np.pi * 0.340

    disc = brentq(lambda hand: 2 * 0.4 * hand * 6 * 4.84 * 2 * np.pi * 0.073 - road_j, 0.1, 1000)
    rim = brentq(lambda hand: 2 * 0.4 * hand * 5.1 * 1.3 * 0.85 * 2 * np.pi * 0.305 - road_j, 0.1, 1000)
    assert brakes.disc_hand_force_n(270, 340, 0.4, 73, 6, 4.84) == pytest.approx(disc)
    assert brakes.rim_hand_force_n(270, 340, 0.4, 305, 5.1, 1.3) == pytest.approx(rim)


@pytest.mark.parametrize(("new_mm", "now_mm", "ridden_km"), [(2.0, 1.25, 1500), (4.0, 1.5, 2500)])
def test_pads_last_until_riding_on_wears_them_to_half_a_millimetre(new_mm, now_mm, ridden_km):
    """Second route: ride on kilometre by kilometre at the same wear until 0.5 mm of lining (trade-87) is left."""
    left, further = now_mm, 0
    while left > 0.5 + 1e-9:
        left -= (new_mm - now_mm) / ridden_km
        further += 1

    assert brakes.pad_distance_left_km(new_mm, now_mm, ridden_km) == pytest.approx(further, abs=1)


def test_wear_too_small_to_measure_counts_as_a_tenth():
    """Second route, by hand: 1000 km for a tenth of a millimetre, and 1.5 mm left down to 0.5: 15 000 km."""
    assert brakes.pad_distance_left_km(2.0, 2.0, 1000) == pytest.approx(15_000)
    assert brakes.pad_distance_left_km(2.0, 0.4, 1000) == 0


@pytest.mark.parametrize(("runout_mm", "gap_mm"), [(0.3, 0.2), (0.5, 0.2)])
def test_rotor_gap_is_the_least_met_in_a_turn(runout_mm, gap_mm):
    """Second route: a rotor that swings as a sine from side to side, watched every degree at both pads."""
    swing = runout_mm / 2 * np.sin(np.radians(np.arange(360)))

    least = min((gap_mm - swing).min(), (gap_mm + swing).min())
    assert brakes.rotor_gap_left_mm(runout_mm, gap_mm) == pytest.approx(least)


# Lubrication


@pytest.mark.parametrize(("grade", "index"), [(32, 95), (68, 95), (220, 140)])
@pytest.mark.parametrize("temperature", [0, 20, 70])
def test_grade_in_use_agrees_with_an_open_library_and_a_straight_line(grade, index, temperature):
    """Second route: the library's index solved for the viscosity at 100 °C, then a line on the D341 paper."""
    hot = brentq(lambda v: chemicals.viscosity_index(grade * 1e-6, v * 1e-6) - index, 2.1, 60)
    kelvin = np.log10([313.15, 373.15])
    paper = np.log10(np.log10(np.array([grade, hot]) + 0.7))
    line = np.polynomial.Polynomial.fit(kelvin, paper, 1)
    expected = 10 ** (10 ** line(np.log10(temperature + 273.15))) - 0.7

    ours = lubrication.grade_viscosity_mm2_s(grade, temperature, index)
    assert ours == pytest.approx(expected, rel=2e-3)
    if index == 95:
        assert lubrication.grade_viscosity_mm2_s(grade, temperature) == pytest.approx(expected, rel=2e-3)


@pytest.mark.parametrize("density", [870, 920])
def test_dynamic_viscosity_by_the_units_library(density):
    """Second route: stokes × kilograms a cubic metre to centipoise, by the units library."""
    product = UNITS.Quantity(100, "centistokes") * UNITS.Quantity(density, "kg / m**3")

    assert lubrication.dynamic_viscosity_mpa_s(100, density) == pytest.approx(
        product.to("centipoise").magnitude
    )
    assert lubrication.dynamic_viscosity_mpa_s(100) == pytest.approx(87)  # 870 kg/m³ is usual for mineral oil


def test_dynamic_viscosity_of_water():
    """Second route: handbook water at 20 °C, 1.0034 mm²/s and 998.2 kg/m³, is 1.0016 mPa·s."""
    assert lubrication.dynamic_viscosity_mpa_s(1.0034, 998.2) == pytest.approx(1.0016, abs=1e-4)


@pytest.mark.parametrize(
    ("thick", "thin", "share"), [(220, 32, 50), (460, 2, 30), (100, 10, 100), (100, 10, 0)]
)
def test_blend_is_a_weighted_geometric_mean_of_logarithms(thick, thin, share):
    """Second route: the index's own constants cancel, which leaves ln(ν + 0.8) as a geometric mean by weight."""
    w = share / 100
    logarithm = np.log(thick + 0.8) ** w * np.log(thin + 0.8) ** (1 - w)

    assert lubrication.blend_viscosity_mm2_s(thick, thin, share) == pytest.approx(np.exp(logarithm) - 0.8)


def creeping_time_s(depth_m, perimeter_over_area, drag, angle_deg, tension=0.031, viscosity=0.1):
    """Time to a depth: capillary pressure = tension × perimeter / area; laminar flow slows as it goes deeper."""
    pressure = tension * np.cos(np.radians(angle_deg)) * perimeter_over_area
    return quad(lambda at: drag * viscosity * at / pressure, 0, depth_m)[0]


@pytest.mark.parametrize("angle", [0, 40])
def test_creeping_into_pores_and_gaps_agrees_with_the_flow_integrated(angle):
    """Second route: laminar flow, 32 η L / D² for a pipe and 12 η L / w² for a gap, from depth 0 to 5 mm.

    Oil of 100 mPa·s and the 0.031 N/m usual for mineral oil, in a pore or gap of 0.1 mm.
    """
    size = 0.1e-3
    pore_s = creeping_time_s(5e-3, 4 / size, 32 / size**2, angle)
    gap_s = creeping_time_s(5e-3, 2 / size, 12 / size**2, angle)

    assert lubrication.pore_penetration_mm(0.1, 100, pore_s, contact_angle_deg=angle) == pytest.approx(5)
    assert lubrication.gap_penetration_mm(0.1, 100, gap_s, contact_angle_deg=angle) == pytest.approx(5)
    assert lubrication.gap_penetration_time_s(5, 0.1, 100, contact_angle_deg=angle) == pytest.approx(gap_s)


def test_viscosity_ratio_is_the_ratio_of_creeping_times():
    """Second route: the same gap fills in times that go as the viscosities; by hand 600 over 150 is 4."""
    thick_s = creeping_time_s(2e-3, 2e4, 12e8, 0, viscosity=0.6)
    thin_s = creeping_time_s(2e-3, 2e4, 12e8, 0, viscosity=0.15)

    assert lubrication.viscosity_ratio(600, 150) == pytest.approx(thick_s / thin_s)
    assert lubrication.viscosity_ratio(600, 150) == 4


@pytest.mark.parametrize(
    ("lubricant", "dry_km", "wet_km", "muddy_km"),
    # Middles by hand: (300 + 480) / 2, (50 + 160) / 2, (20 + 60) / 2 and so on, from the trade's usual ends.
    [("wax", 390, 105, 40), ("wet-drip", 240, 120, 40), ("dry-drip", 207.5, 65, 40)],
)
def test_usual_relubrication_distance_is_the_middle_of_the_trades_ends(lubricant, dry_km, wet_km, muddy_km):
    """Second route, by hand from common practice: no measured distances were found to hold the ends against."""
    for weather, middle in (("dry", dry_km), ("wet", wet_km), ("muddy", muddy_km)):
        shortest = lubrication.shortest_relubrication_distance_km(lubricant, weather)
        longest = lubrication.longest_relubrication_distance_km(lubricant, weather)

        assert lubrication.relubrication_distance_km(lubricant, weather) == pytest.approx(middle)
        assert middle - shortest == pytest.approx(longest - middle)


@pytest.mark.parametrize(("yearly_km", "between_km"), [(5000, 240), (4800, 240), (100, 240)])
def test_a_years_lubricant_counted_ride_by_ride(yearly_km, between_km):
    """Second route: ride the year in stretches; each roller of 114 links gets one drop, twenty to a millilitre."""
    ridden, times, drops = 0, 0, 0
    while ridden < yearly_km:
        ridden += between_km
        times += 1
        drops += sum(1 for _ in range(114))

    assert lubrication.yearly_relubrications_count(yearly_km, between_km) == times
    assert lubrication.yearly_drops_count(times, 114) == drops
    assert lubrication.yearly_lubricant_ml(drops) == pytest.approx(drops / 20)


def test_two_drops_a_roller_take_twice_as_many():
    """Second route, by hand: 10 times 100 rollers times 2 drops; of 0.03 ml each they make 60 ml."""
    assert lubrication.yearly_drops_count(10, 100, 2) == 2000
    assert lubrication.yearly_lubricant_ml(2000, 0.03) == pytest.approx(60)


def test_cost_of_lubricant_from_bottles_used_up():
    """Second route: 120 ml in doses of 5 ml are 24 doses, which last 6000 km for 12: 2 a thousand."""
    doses = 120 / 5
    kilometres = doses * 250

    assert lubrication.lubricant_cost_money_1000km(12, 120, 5, 250) == pytest.approx(12 / (kilometres / 1000))


def test_margins_of_wax_and_grease_agree_in_fahrenheit():
    """Second route: 284 °F (140 °C) less 203 °F, and 275 °F (135 °C) less 140 °F, as differences in kelvin."""
    wax_at, grease_at = measured(203, "degF", "degC"), measured(140, "degF", "degC")
    usable = measured(275, "degF", "degC")

    assert lubrication.wax_flash_margin_k(wax_at) == pytest.approx(measured(81, "delta_degF", "delta_degC"))
    assert lubrication.grease_heat_margin_k(usable, grease_at) == pytest.approx(
        measured(135, "delta_degF", "delta_degC")
    )

"""Calculations for which no printed figure was found, worked out a second time by another way.

The second ways are other formulations, limits, units kept by a library, numerical solutions of the
physics, or arithmetic by hand with its steps in a comment: never our own result written down.
"""

from __future__ import annotations

from cmath import exp as turn
from math import asin, atan2, cos, degrees, hypot, pi, radians, sin, sqrt

import numpy as np
import pint
import pytest
from scipy import constants
from scipy.integrate import solve_ivp
from scipy.optimize import brentq, minimize_scalar

from knowledge.calculations import cranks, drivetrain, frame_fit, tyres, wheels

units = pint.UnitRegistry()


# ---- tyres ----------------------------------------------------------------------------------------------


def test_circumference_change_of_a_much_smaller_wheel_by_hand():
    """622 + 2 x 50 = 722 and 406 + 2 x 47 = 500: 500 / 722 = 0.692521, so 30.7479 % less."""
    assert tyres.circumference_change_pct(622, 50, 406, 47) == pytest.approx(-30.7479, abs=1e-4)


def test_total_mass_with_luggage_by_hand():
    """75 + 12 + 20 = 107; without luggage 87."""
    assert tyres.total_mass_kg(75, 12, 20) == 107
    assert tyres.total_mass_kg(75, 12) == 87


def test_a_tyre_below_its_floor_has_no_days_left():
    """At 450 kPa a floor of 500 has been passed; at 560, six a day last ten days."""
    assert tyres.days_to_floor_days(450, 500, 6) == 0
    assert tyres.days_to_floor_days(560, 500, 6) == pytest.approx(10)


@pytest.mark.parametrize(("gap_mm", "old_mm", "new_mm"), [(6, 28, 32), (9, 40, 35), (3, 25, 32)])
def test_gaps_round_a_wider_tyre_by_where_its_edges_come_to_stand(gap_mm, old_mm, new_mm):
    """Coordinates: stay and crown stay put, the tyre's side moves by half, its crown by the whole change."""
    stay_mm, crown_mm = old_mm / 2 + gap_mm, 311 + old_mm + gap_mm

    side_left_mm = tyres.side_clearance_left_mm(gap_mm, old_mm, new_mm)
    crown_left_mm = tyres.crown_clearance_left_mm(gap_mm, old_mm, new_mm)

    assert side_left_mm == pytest.approx(stay_mm - new_mm / 2)
    assert crown_left_mm == pytest.approx(crown_mm - (311 + new_mm))


@pytest.mark.parametrize(
    ("tyre_mm", "side_mm", "crown_mm", "needed_mm", "widest_mm"),
    [
        # Sides: 2 mm over on each, so 4 mm of tyre; crown: 6 mm over. The sides decide: 28 + 4.
        (28, 6, 10, 4, 32),
        # Sides: 6 mm over on each, 12 mm of tyre; crown: 3 mm over. The crown decides: 35 + 3.
        (35, 12, 9, 6, 38),
        # Sides short by 1 mm on each: 25 - 2.
        (25, 3, 8, 4, 23),
    ],
)
def test_widest_tyre_for_the_frame_by_hand(tyre_mm, side_mm, crown_mm, needed_mm, widest_mm):
    assert tyres.widest_tyre_for_frame_mm(tyre_mm, side_mm, crown_mm, needed_mm) == pytest.approx(widest_mm)


def test_cut_load_is_the_push_of_the_air_over_the_cut_length():
    """Half a tube of radius 12.5 mm and 10 mm long: 0.7 N/mm² on 25 x 10 mm, shared by its two walls.

    tyres-29 (TW-12) gives the same tyre a tension of 8.75 N/mm.
    """
    push_n = 0.7 * 25 * 10

    assert tyres.cut_load_n(8.75, 10) == pytest.approx(push_n / 2)


@pytest.mark.parametrize(
    ("height_mm", "drop_pct", "flange_mm", "left_mm"),
    [
        # 15 % of 25 is 3.75; 25 - 3.75 - 5.5.
        (25, 15, 5.5, 15.75),
        # 30 % of 40 is 12; 40 - 12 - 6.
        (40, 30, 6, 22),
    ],
)
def test_pinch_height_by_hand(height_mm, drop_pct, flange_mm, left_mm):
    assert tyres.pinch_height_left_mm(height_mm, drop_pct, flange_mm) == pytest.approx(left_mm)
    assert tyres.pinch_height_left_mm(height_mm, drop_pct) == pytest.approx(left_mm + flange_mm - 5.5)


@pytest.mark.parametrize(("height_mm", "drop_pct", "flange_mm"), [(25, 15, 5.5), (40, 20, 6), (23, 8, 5)])
def test_bottoming_load_by_solving_the_load_law(height_mm, drop_pct, flange_mm):
    """Load as the drop to the power of 1.5 (tyres-32), solved for the load that reaches the flange."""

    def gap_mm(times: float) -> float:
        return height_mm - flange_mm - height_mm * drop_pct / 100 * (times**2) ** (1 / 3)

    factor = tyres.bottoming_load_factor(height_mm, drop_pct, flange_mm)

    assert factor == pytest.approx(brentq(gap_mm, 0.01, 1000))


def test_bottoming_load_over_the_usual_flange_by_hand():
    """tyres-12: 5.5 mm of flange; 25 - 5.5 = 19.5 is 5.2 times 15 % of 25; 5.2 x sqrt(5.2) = 11.8578."""
    assert tyres.bottoming_load_factor(25, 15) == pytest.approx(11.8578, abs=1e-4)


def test_rolling_power_with_units_kept_by_a_library():
    """Crr times weight times speed, in watts; latex as the difference of two coefficients."""
    weight = 85 * units.kilogram * constants.g * units.meter / units.second**2
    speed = 30 * units.kilometer / units.hour

    asphalt_w = (0.004 * weight * speed).to(units.watt).magnitude
    latex_w = ((0.004 - 0.00362) * weight * speed).to(units.watt).magnitude

    assert tyres.rolling_loss_w(0.004, 85, 30) == pytest.approx(asphalt_w)
    assert tyres.latex_saving_w(85, 30) == pytest.approx(latex_w)


@pytest.mark.parametrize("change_pct", [-10, 25, 150])
def test_rolling_difference_between_two_coefficients(change_pct):
    """The same as taking the loss twice, with the old and with the changed coefficient."""
    before_w, after_w = (tyres.rolling_loss_w(0.004 * f, 85, 30) for f in (1, 1 + change_pct / 100))

    assert tyres.rolling_difference_w(before_w, change_pct) == pytest.approx(after_w - before_w)


@pytest.mark.parametrize(
    ("tyre_mm", "narrowest_mm", "widest_mm", "margin_mm"),
    # 28 - 25 = 3, 32 - 28 = 4; 35 - 32 = 3 over; 25 - 23 = 2 under.
    [(28, 25, 32, 3), (35, 25, 32, -3), (23, 25, 32, -2), (32, 25, 32, 0)],
)
def test_tube_width_margin_by_hand(tyre_mm, narrowest_mm, widest_mm, margin_mm):
    assert tyres.tube_width_margin_mm(tyre_mm, narrowest_mm, widest_mm) == margin_mm


@pytest.mark.parametrize(
    ("valve_mm", "rim_mm", "margin_mm"),
    # 48 - 30 = 18 showing, 15 wanted; 60 - 50 = 10 showing; 80 - 45 = 35 showing.
    [(48, 30, 3), (60, 50, -5), (80, 45, 20)],
)
def test_valve_length_margin_by_hand(valve_mm, rim_mm, margin_mm):
    assert tyres.valve_length_margin_mm(valve_mm, rim_mm) == margin_mm
    assert tyres.valve_length_margin_mm(valve_mm, rim_mm, 20) == margin_mm - 5


# ---- wheels ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("spokes", "flange_mm", "rim_mm"),
    [(36, 58, 600), (36, 92, 575), (36, 102, 560), (32, 45, 600), (20, 58, 400)],
)
def test_most_crosses_by_laying_spokes_until_one_leans_past_its_tangent(spokes, flange_mm, rim_mm):
    """A spoke from a hole at the flange's right leans past its tangent when it first heads inwards."""
    crosses = 0
    while (rim_mm / 2 * turn(1j * radians(720 * (crosses + 1) / spokes)) - flange_mm / 2).real >= 0:
        crosses += 1

    assert wheels.most_crosses(spokes, flange_mm, rim_mm) == crosses


def test_rim_swap_in_the_limit_of_radial_spokes():
    """A radial spoke without offset runs along the rim's radius: 600 to 596 mm takes 300 - 298 mm off."""
    assert wheels.rim_swap_spoke_change_mm(600, 596) == pytest.approx(298 - 300)


@pytest.mark.parametrize(("old_mm", "new_mm"), [(600, 596), (600, 542), (540, 602)])
def test_rim_swap_against_two_whole_spoke_lengths(old_mm, new_mm):
    """Spoke ends as points in space, hole in the flange to hole in the rim; stated good to 2 %."""

    def length_mm(rim_mm: float) -> float:
        rim, hole = rim_mm / 2 * turn(1j * radians(60)), 29 + 0j
        return hypot(abs(rim - hole), 36)

    change_mm = wheels.rim_swap_spoke_change_mm(old_mm, new_mm)

    assert change_mm == pytest.approx(length_mm(new_mm) - length_mm(old_mm), rel=0.025)


@pytest.mark.parametrize(("offset_mm", "spoke_mm"), [(34.4, 292), (18, 290), (50, 200)])
def test_bracing_angle_by_the_other_side_of_the_triangle(offset_mm, spoke_mm):
    """From offset and the length seen from the side, instead of from the spoke itself."""
    seen_mm = sqrt(spoke_mm**2 - offset_mm**2)

    assert wheels.bracing_angle_deg(offset_mm, spoke_mm) == pytest.approx(degrees(atan2(offset_mm, seen_mm)))


@pytest.mark.parametrize(("middle_kgf", "spread_pct"), [(100, 20), (110, 5), (80, 50)])
def test_tension_spread_gives_back_what_was_put_in(middle_kgf, spread_pct):
    """A highest and a lowest spoke made from a middle and a share either way."""
    highest, lowest = (middle_kgf * (1 + sign * spread_pct / 100) for sign in (1, -1))

    assert wheels.tension_spread_pct(highest, lowest) == pytest.approx(spread_pct)


@pytest.mark.parametrize(("length_mm", "wire_mm"), [(290, 2.0), (260, 1.8), (180, 2.3)])
def test_tension_of_one_turn_with_units_kept_by_a_library(length_mm, wire_mm):
    """A bar of steel of 200 GPa stretched by one pitch of 56 to the inch: E A times strain."""
    area = pi * (wire_mm * units.millimeter) ** 2 / 4
    strain = (1 * units.inch / 56) / (length_mm * units.millimeter)
    pull = (200 * units.gigapascal * area * strain).to(units.kilogram_force).magnitude

    assert wheels.tension_per_turn_kgf(length_mm, wire_mm) == pytest.approx(pull, rel=1e-6)
    assert wheels.tension_per_turn_kgf(length_mm) == pytest.approx(pull * (2 / wire_mm) ** 2, rel=1e-6)


@pytest.mark.parametrize(("spokes", "tension_kgf"), [(36, 100), (28, 120), (20, 130)])
def test_rim_compression_by_cutting_the_rim_in_two(spokes, tension_kgf):
    """The upright parts of half the spokes' pulls, added one by one, bear on two cuts.

    With the spokes spread either side of the cut the sum runs past the smooth ring's by about 1 / n².
    """
    angles = (np.arange(spokes // 2) + 0.5) * 2 * pi / spokes
    on_each_cut_n = tension_kgf * constants.g * np.sin(angles).sum() / 2

    assert wheels.rim_compression_n(spokes, tension_kgf) == pytest.approx(on_each_cut_n, rel=2 / spokes**2)
    # Closed form of the same sum: the smooth ring's value is the cuts' times sin(x) / x, x half a spacing.
    half = pi / spokes
    assert wheels.rim_compression_n(spokes, tension_kgf) == pytest.approx(on_each_cut_n * sin(half) / half)


def test_hoop_stress_with_units_kept_by_a_library():
    """36 spokes at 1,000 N on a section of 70 mm²; the smooth ring under its pull per length, times radius."""
    pull_per_length = 36 * 1000 * units.newton / (pi * 600 * units.millimeter)
    stress = (pull_per_length * 300 * units.millimeter / (70 * units.millimeter**2)).to(units.megapascal)
    compression_n = wheels.rim_compression_n(36, 1000 / constants.g)

    assert wheels.rim_hoop_stress_mpa(compression_n, 70) == pytest.approx(stress.magnitude)


@pytest.mark.parametrize(("rim_mm", "spokes"), [(600, 36), (540, 20), (400, 28)])
def test_spoke_spacing_as_an_arc(rim_mm, spokes):
    """Radius times angle, and a little more than the straight chord between two holes."""
    chord_mm = rim_mm * sin(pi / spokes)
    spacing_mm = wheels.spoke_spacing_mm(rim_mm, spokes)

    assert spacing_mm == pytest.approx(rim_mm / 2 * radians(360 / spokes))
    assert chord_mm < spacing_mm < chord_mm * (1 + 2 / spokes**2)


@pytest.mark.parametrize("off_middle_mm", [-3.0, 0.5, 2.0])
def test_dish_error_by_turning_the_wheel_over(off_middle_mm):
    """The gauge sees the rim at +e one way round and at -e the other: the gap is their difference."""
    gap_mm = off_middle_mm - -off_middle_mm

    assert wheels.dish_error_mm(gap_mm) == pytest.approx(off_middle_mm)


@pytest.mark.parametrize(("error_mm", "offset_mm", "spoke_mm"), [(2, 34, 290), (1, 18, 291), (-3, 40, 260)])
def test_dish_turns_against_two_spoke_lengths(error_mm, offset_mm, spoke_mm):
    """Spoke length with the rim half the error either side of its place, over a thread of 56 to the inch."""
    seen_mm = sqrt(spoke_mm**2 - offset_mm**2)
    growth_mm = hypot(seen_mm, offset_mm + error_mm / 2) - hypot(seen_mm, offset_mm - error_mm / 2)

    assert wheels.dish_turns(error_mm, offset_mm, spoke_mm) == pytest.approx(
        growth_mm / (25.4 / 56), rel=1e-3
    )


@pytest.mark.parametrize(
    ("brake", "harder_pct", "share_pct"),
    # Heat goes where the pads rub: all braking shared as 70 to 30 between two rims, and none with a rotor.
    [
        ("rim", 70, 70),
        ("rim", 100, 100),
        ("disc", 70, 0),
        ("disc-hydraulic", 70, 0),
        ("disc-mechanical", 70, 0),
    ],
)
def test_share_of_braking_that_heats_a_rim(brake, harder_pct, share_pct):
    assert wheels.rim_brake_share_pct(brake, harder_pct) == share_pct


def test_share_of_braking_by_the_usual_split():
    """By common practice six parts of ten fall to the brake that is used harder: 100 less 40 of the other."""
    assert wheels.rim_brake_share_pct("rim") == 100 - 40


@pytest.mark.parametrize(
    ("material", "diffusivity_mm2_s"),
    # Handbook values, from memory: 6061 aluminium 69, carbon steel 12 mm²/s.
    [("aluminium", 69), ("steel", 12)],
)
def test_heat_spreads_through_a_whole_metal_rim(material, diffusivity_mm2_s):
    """In half a minute heat runs 2 sqrt(a t), further than the 30 mm from a brake track round to the bed."""
    assert 2 * sqrt(diffusivity_mm2_s * 30) > 30
    assert wheels.heated_rim_share_pct(material) == 100


def test_specific_heat_of_carbon_rims_by_the_rule_of_mixtures():
    """Seven tenths of fibre at about 0.75 and three of epoxy at about 1.2 kJ/(kg K), by mass, from memory.

    0.7 x 750 + 0.3 x 1200 = 885; the table's round 1,000 must lie within the fifth that resin and heat vary.
    """
    assert wheels.rim_specific_heat_j_kg_k("carbon") == pytest.approx(885, rel=0.2)


def test_sun_on_a_ball():
    """A ball shows the sun a quarter of its surface, so it takes the light that falls on a disc of its size."""
    radius_m = 0.15
    caught_w = 0.9 * 1000 * pi * radius_m**2

    assert wheels.sun_heat_w(4 * pi * radius_m**2, 0.9, 100, 25) == pytest.approx(caught_w)
    assert wheels.sun_heat_w(4 * pi * radius_m**2, 0.9, 80, 25, 30) == pytest.approx(caught_w * 0.8 * 0.3)


def test_sun_on_a_rim_by_the_usual_values_by_hand():
    """0.2 m² x 0.35 = 0.07 m² lit; 0.07 x 1000 W/m² = 70 W fall on it; nine tenths, 63 W, stay."""
    assert wheels.sun_heat_w(0.2) == pytest.approx(63)


@pytest.mark.parametrize("cooling_w_m2_k", [6, 12, 30])
def test_sunlit_rim_by_solving_the_balance(cooling_w_m2_k):
    """Sun taken up by a square metre of surface against heat lost by it, solved for the temperature."""

    def surplus_w(rim_degc: float) -> float:
        return wheels.sun_heat_w(0.5, 0.9, 90, 35) - cooling_w_m2_k * 0.5 * (rim_degc - 30)

    rim_degc = wheels.sunlit_rim_degc(30, 0.9, 90, 35, cooling_w_m2_k)

    assert rim_degc == pytest.approx(brentq(surplus_w, 0, 500))


def test_sunlit_rim_by_the_usual_values_by_hand():
    """900 W/m² taken up on 0.35 of the surface is 315 W; over 12 W/K it is 26.25 K above the air."""
    assert wheels.sunlit_rim_degc(30) == pytest.approx(56.25)


@pytest.mark.parametrize(
    ("steady_degc", "warming_s", "limit_degc"), [(200, 120, 121), (300, 60, 150), (130, 400, 121)]
)
def test_time_to_the_limit_by_stepping_through_time(steady_degc, warming_s, limit_degc):
    """Newton's law of cooling, integrated numerically until the limit is met."""

    def reached(_time_s: float, rim_degc: np.ndarray) -> float:
        return float(rim_degc[0]) - limit_degc

    reached.terminal = True
    run = solve_ivp(
        lambda _time_s, rim_degc: (steady_degc - rim_degc) / warming_s,
        (0, 20 * warming_s),
        [20.0],
        events=reached,
        rtol=1e-9,
        atol=1e-9,
    )

    time_s = wheels.time_to_rim_limit_s(20, steady_degc, warming_s, limit_degc)

    assert time_s == pytest.approx(run.t_events[0][0], rel=1e-5)


def test_a_limit_above_the_steady_temperature_is_never_met():
    """A whole day, 24 x 60 x 60 s, stands for never; a limit below the air is met at once."""
    assert wheels.time_to_rim_limit_s(20, 100, 100, 121) == 24 * 60 * 60
    assert wheels.time_to_rim_limit_s(40, 300, 100, 35) == 0


def test_time_to_where_rim_cement_melts_by_hand():
    """tyres-53: 121 °C. From 21 to 221 °C that is half way: 100 s times the logarithm of two, 69.315 s."""
    assert wheels.time_to_rim_limit_s(21, 221, 100) == pytest.approx(69.315, abs=0.001)


def test_rim_heat_reserve_of_a_cool_rim():
    """A rise of 0.5 K counts as 1 K; the reserve is 101 rises and is cut to a hundred."""
    assert wheels.rim_heat_reserve(20, 20.5) == 100
    # 121 - 20 = 101 K of room for a rise of 50 K.
    assert wheels.rim_heat_reserve(20, 70) == pytest.approx(2.02, abs=0.005)


@pytest.mark.parametrize(
    ("new_mm", "hollow_mm", "left_mm"),
    # 1.8 - 0.6; 1.5 - 0.5; a hollow deeper than the wall leaves nothing.
    [(1.8, 0.6, 1.2), (1.5, 0.5, 1.0), (1.0, 1.2, 0.0)],
)
def test_rim_wall_by_hand(new_mm, hollow_mm, left_mm):
    assert wheels.rim_wall_mm(new_mm, hollow_mm) == pytest.approx(left_mm)


# ---- drivetrain -----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("travel_mm", "pitch_mm", "speeds"), [(2.76, 3.95, 10), (4.32, 3.9, 11), (4.76, 4.8, 8)]
)
def test_worst_indexing_error_by_trying_every_setting(travel_mm, pitch_mm, speeds):
    """The cable's setting that makes the largest of all errors smallest, found numerically."""
    clicks = np.arange(speeds)

    def worst_mm(setting_mm: float) -> float:
        return float(np.abs(clicks * travel_mm + setting_mm - clicks * pitch_mm).max())

    best = minimize_scalar(worst_mm, bounds=(-20, 20), method="bounded", options={"xatol": 1e-7})
    error_mm = drivetrain.accumulated_indexing_error_mm(
        drivetrain.indexing_error_mm(travel_mm, pitch_mm), speeds
    )

    assert drivetrain.worst_indexing_error_mm(error_mm) == pytest.approx(best.fun, abs=1e-5)


@pytest.mark.parametrize(
    ("pitch_mm", "sprocket_mm", "chain_mm", "air_mm"),
    [
        # drivetrain-5, drivetrain-17: next sprocket's near face at 3.95 - 0.80 = 3.15, chain's side at 2.94.
        (3.95, 1.60, 5.88, 0.21),
        # drivetrain-3: 4.34 - 0.89 = 3.45, chain's side at 3.30.
        (4.34, 1.78, 6.60, 0.15),
        # An eight-speed chain on ten sprockets: side at 3.55, beyond the face at 3.15.
        (3.95, 1.60, 7.10, -0.40),
    ],
)
def test_chain_side_clearance_by_hand(pitch_mm, sprocket_mm, chain_mm, air_mm):
    assert drivetrain.chain_side_clearance_mm(pitch_mm, sprocket_mm, chain_mm) == pytest.approx(air_mm)


@pytest.mark.parametrize(
    ("inner_mm", "sprocket_mm", "play_mm"),
    # drivetrain-13 and drivetrain-3: 2.18 - 1.60; 2.38 - 1.80; 3/32 in of chain on 1/8 in of track sprocket.
    [(2.18, 1.60, 0.58), (2.38, 1.80, 0.58), (25.4 * 3 / 32, 25.4 / 8, -25.4 / 32)],
)
def test_chain_inner_play_by_hand(inner_mm, sprocket_mm, play_mm):
    assert drivetrain.chain_inner_play_mm(inner_mm, sprocket_mm) == pytest.approx(play_mm)


def _loop_links(axles_mm: float, ring: float, sprocket: float) -> float:
    """Links in a tight loop: two tangents and two arcs of circles as long round as their teeth."""
    large, small = (12.7 * teeth / (2 * pi) for teeth in (ring, sprocket))
    lean = asin((large - small) / axles_mm)
    straight = sqrt(axles_mm**2 - (large - small) ** 2)
    return (2 * straight + large * (pi + 2 * lean) + small * (pi - 2 * lean)) / 12.7


@pytest.mark.parametrize(
    ("stay_mm", "ring", "sprocket"), [(405, 48, 17), (410, 44, 16), (430, 32, 18), (390, 49, 15)]
)
def test_axle_move_by_solving_for_a_whole_chain(stay_mm, ring, sprocket):
    """The distance of axles at which the loop has just the next even count of links, found numerically."""
    wanted = 2 * np.ceil(_loop_links(stay_mm, ring, sprocket) / 2)
    tight_mm = brentq(lambda axles: _loop_links(axles, ring, sprocket) - wanted, stay_mm - 5, stay_mm + 20)

    assert drivetrain.axle_move_for_chain_mm(stay_mm, ring, sprocket) == pytest.approx(
        tight_mm - stay_mm, abs=0.02
    )


def test_axle_move_with_equal_wheels_by_hand():
    """Twice 400 mm is 62.99 links and 2 x 20 teeth's halves are 40: 102.99; 1.008 links more, 6.4 mm of axle.

    62.99213 + 20 + 20 = 102.99213; next pair 104; 1.00787 x 12.7 / 2 = 6.4 mm.
    """
    assert drivetrain.axle_move_for_chain_mm(400, 40, 40) == pytest.approx(6.4, abs=1e-3)


@pytest.mark.parametrize(
    ("ridden_km", "wear_pct", "limit_pct", "left_km"),
    [
        # 0.25 % in 2,000 km is 8,000 km for each per cent: 0.50 % more is 4,000 km.
        (2000, 0.25, 0.75, 4000),
        # At its limit.
        (3000, 0.5, 0.5, 0),
        # A quarter past: 0.125 % at 4,800 km for each per cent.
        (3000, 0.625, 0.5, -600),
    ],
)
def test_chain_distance_left_by_hand(ridden_km, wear_pct, limit_pct, left_km):
    assert drivetrain.chain_distance_left_km(ridden_km, wear_pct, limit_pct) == pytest.approx(left_km)


@pytest.mark.parametrize("slope_pct", [5, 10, 20])
def test_climbing_speed_by_the_energy_of_an_hour(slope_pct):
    """Height gained and work of rolling over one hour at that speed, against the pedals' work."""
    speed_kmh = drivetrain.climbing_speed_kmh(150, 90, slope_pct)
    road_m = speed_kmh * 1000
    level_m = road_m / hypot(1, slope_pct / 100)
    raised_j = 90 * constants.g * level_m * slope_pct / 100
    rolled_j = 0.006 * 90 * constants.g * level_m

    assert raised_j + rolled_j == pytest.approx(0.96 * 150 * constants.hour)


# ---- cranks ---------------------------------------------------------------------------------------------


def test_stance_change_from_an_arm_by_where_the_pedals_stand():
    """Seats 62 mm either side of the middle, one arm stepping out 18 mm, then 20.5 mm."""
    before_mm, after_mm = (62 + 18) + (62 + 18), (62 + 18) + (62 + 20.5)

    assert cranks.stance_change_from_arm_mm(18, 20.5) == pytest.approx(after_mm - before_mm)
    assert cranks.stance_change_from_arm_mm(20.5, 18) == pytest.approx(before_mm - after_mm)


@pytest.mark.parametrize(("old_mm", "new_mm", "seat_deg"), [(172.5, 165, 73), (170, 175, 71), (175, 150, 78)])
def test_saddle_shift_by_coordinates(old_mm, new_mm, seat_deg):
    """Saddle and forward pedal as points: after the raise along the seat tube, rails make up the rest."""

    def saddle_ahead_of_pedal_mm(arm_mm: float) -> float:
        up_the_tube_mm = 740 + (old_mm - arm_mm)
        return -up_the_tube_mm * cos(radians(seat_deg)) - arm_mm

    wrong_by_mm = saddle_ahead_of_pedal_mm(new_mm) - saddle_ahead_of_pedal_mm(old_mm)
    change_mm = cranks.crank_length_change_mm(old_mm, new_mm)

    assert cranks.saddle_shift_back_mm(change_mm, seat_deg) == pytest.approx(wrong_by_mm)


def test_saddle_shift_with_an_upright_and_a_usual_seat_tube():
    """cos 60° is a half: half of 8 mm; the usual 73° by a table of cosines, 0.29237: 0.70763 of 10 mm."""
    assert cranks.saddle_shift_back_mm(-8, 60) == pytest.approx(4)
    assert cranks.saddle_shift_back_mm(-10) == pytest.approx(7.0763, abs=1e-4)


@pytest.mark.parametrize(("old_mm", "new_mm"), [(172.5, 165), (170, 175)])
def test_knee_room_by_the_highest_place_of_the_foot(old_mm, new_mm):
    """Saddle to pedal at the top, measured along the seat tube, before and after the saddle's raise."""
    before_mm, after_mm = 740 - old_mm, (740 + old_mm - new_mm) - new_mm

    assert cranks.knee_room_gained_mm(cranks.crank_length_change_mm(old_mm, new_mm)) == pytest.approx(
        after_mm - before_mm
    )


def test_hand_pull_with_units_kept_by_a_library():
    """37.5 N m on 300 mm."""
    pull = (37.5 * units.newton * units.meter / (300 * units.millimeter)).to(units.kilogram_force)

    assert cranks.hand_pull_kgf(37.5, 300) == pytest.approx(pull.magnitude)


def test_pedal_edges_by_hand():
    """150 / 2 = 75, and 95 of pedal, is 170; 270 - 170 = 100, less 15 of pedal, is 85."""
    assert cranks.pedal_reach_out_mm(150) == pytest.approx(170)
    assert cranks.pedal_reach_out_mm(150, 60) == pytest.approx(135)
    assert cranks.pedal_ground_clearance_mm(270, 170) == pytest.approx(85)
    assert cranks.pedal_ground_clearance_mm(285, 172.5, 20) == pytest.approx(92.5)


def test_pedal_clearance_and_reach_give_the_lean_that_touches():
    """Turned about the tyre by that lean, the pedal's outer edge comes down to the ground."""
    height_mm, reach_mm = cranks.pedal_ground_clearance_mm(270, 165), cranks.pedal_reach_out_mm(146, 97)
    lean = radians(cranks.pedal_strike_lean_deg(height_mm, reach_mm))

    edge = complex(73 + 97, 270 - 165 - 15) * turn(-1j * lean)

    assert edge.imag == pytest.approx(0, abs=1e-9)


@pytest.mark.parametrize(("bolts", "circle_mm", "new_mm"), [(5, 110, 130), (4, 104, 96), (5, 130, 110)])
def test_bolt_circle_difference_by_points_on_the_circles(bolts, circle_mm, new_mm):
    """cranks-2: spacing of neighbouring bolts as the distance of two points, turned back into circles."""
    spacings = [abs(d / 2 - d / 2 * turn(2j * pi / bolts)) for d in (circle_mm, new_mm)]
    found = [cranks.bolt_circle_diameter_mm(spacing, bolts) for spacing in spacings]

    assert cranks.bolt_circle_difference_mm(*found) == pytest.approx(new_mm - circle_mm)


@pytest.mark.parametrize(
    ("ring", "new_ring", "half_links"),
    # Two teeth are one half-link, to the next whole pair up: 1 -> 2; 2 -> 2; 3 -> 4; -1 -> 0; -3 -> -2.
    [(50, 52, 2), (46, 50, 2), (44, 50, 4), (52, 50, 0), (52, 46, -2), (50, 50, 0)],
)
def test_ring_change_by_hand(ring, new_ring, half_links):
    assert cranks.ring_link_change_half_links(ring, new_ring) == half_links


# ---- frame fit ------------------------------------------------------------------------------------------


def test_post_length_by_stacking_up_the_saddle():
    """Tube top at 480, post's end 105 below it, clamp 50 below a saddle at 740: from 375 to 690."""
    assert frame_fit.post_length_needed_mm(740, 480, 105) == pytest.approx(690 - 375)
    assert frame_fit.post_length_needed_mm(740, 480, 105, 60) == pytest.approx(680 - 375)


@pytest.mark.parametrize(
    ("outer_mm", "inner_mm", "area_mm2"),
    # Area of the ring by pi (D² - d²) / 4: 998.56 - 739.84 and 1011.24 - 645.16, times pi over four.
    [(31.6, 27.2, 203.198), (31.8, 25.4, 287.519)],
)
def test_shim_walls_by_the_area_of_the_ring(outer_mm, inner_mm, area_mm2):
    """Wall times the circumference through its middle is the area of the ring between bore and part."""
    middle_mm = pi * (outer_mm + inner_mm) / 2

    assert frame_fit.post_shim_wall_mm(outer_mm, inner_mm) * middle_mm == pytest.approx(area_mm2, abs=0.01)
    assert frame_fit.bar_shim_wall_mm(outer_mm, inner_mm) * middle_mm == pytest.approx(area_mm2, abs=0.01)


@pytest.mark.parametrize(("stack_mm", "allowed_mm", "over_mm"), [(45, 30, 15), (25, 30, -5), (30, 30, 0)])
def test_spacers_over_the_limit_by_hand(stack_mm, allowed_mm, over_mm):
    assert frame_fit.spacer_stack_over_mm(stack_mm, allowed_mm) == over_mm


@pytest.mark.parametrize(("old_mm", "new_mm"), [(110, 90), (80, 100)])
def test_stem_swap_is_the_distance_of_the_two_clamps(old_mm, new_mm):
    """The bar's middle as a point at the end of a stem of 6° to the level."""
    before, after = (length * turn(1j * radians(6)) for length in (old_mm, new_mm))
    change_mm = frame_fit.stem_change_mm(old_mm, new_mm)

    assert change_mm == pytest.approx(abs(after) - abs(before))
    assert frame_fit.stem_swap_mm(change_mm) == pytest.approx(abs(after - before))


@pytest.mark.parametrize(("trail_mm", "head_deg"), [(57, 73), (100, 65), (40, 80)])
def test_wheel_flop_by_the_double_angle(trail_mm, head_deg):
    """sin h cos h is half the sine of twice the angle."""
    assert frame_fit.wheel_flop_mm(trail_mm, head_deg) == pytest.approx(
        trail_mm / 2 * sin(2 * radians(head_deg))
    )


@pytest.mark.parametrize(
    ("old_mm", "new_mm", "base_mm"), [(450, 470, 1050), (370, 395, 990), (500, 480, 1150)]
)
def test_head_angle_by_turning_the_bicycle_about_its_rear_axle(old_mm, new_mm, base_mm):
    """A wheelbase turned until its front end has risen by the change, found numerically."""
    found = brentq(lambda deg: (base_mm * turn(1j * radians(deg))).imag - (new_mm - old_mm), -20, 20)

    assert frame_fit.head_angle_slackened_deg(old_mm, new_mm, base_mm) == pytest.approx(found)


@pytest.mark.parametrize(
    ("reach_mm", "stack_mm", "drop_mm", "head_deg", "offset_mm"),
    [(385, 560, 70, 73, 45), (450, 620, 35, 66, 44), (375, 530, -10, 71.5, 50)],
)
def test_front_centre_by_walking_down_the_steering_axis(reach_mm, stack_mm, drop_mm, head_deg, offset_mm):
    """From the head tube's top along the axis, then square to it by the offset, to the height of the axle."""
    down = turn(-1j * radians(head_deg))
    ahead = down * 1j

    def axle(along_mm: float) -> complex:
        return complex(reach_mm, stack_mm) + along_mm * down + offset_mm * ahead

    along_mm = brentq(lambda mm: axle(mm).imag - drop_mm, 0, 2000)

    assert frame_fit.front_centre_mm(reach_mm, stack_mm, drop_mm, head_deg, offset_mm) == pytest.approx(
        abs(axle(along_mm))
    )


@pytest.mark.parametrize(("front_mm", "stay_mm", "drop_mm"), [(586, 410, 70), (780, 435, 35), (600, 420, 70)])
def test_wheelbase_by_the_area_of_the_triangle(front_mm, stay_mm, drop_mm):
    """Heron's area of the triangle of three axles is half its base, the wheelbase, times the drop."""
    base_mm = frame_fit.wheelbase_mm(front_mm, stay_mm, drop_mm)
    half = (front_mm + stay_mm + base_mm) / 2
    area = sqrt(half * (half - front_mm) * (half - stay_mm) * (half - base_mm))

    assert area == pytest.approx(base_mm * drop_mm / 2)
    assert base_mm > sqrt(front_mm**2 + stay_mm**2)


def test_wheelbase_with_the_usual_drop_by_hand():
    """Level parts: 581² - 70² = 332661, root 576.768; 500² - 70² = 245100, root 495.076; sum 1071.844."""
    assert frame_fit.wheelbase_mm(581, 500) == pytest.approx(1071.84, abs=0.01)


@pytest.mark.parametrize(("clear_mm", "toe_mm", "margin_mm"), [(91, 100, -9), (120, 95, 25)])
def test_toe_overlap_by_hand(clear_mm, toe_mm, margin_mm):
    """600 - 339 - 170 = 91 mm to the pedal's middle; a toe 100 mm ahead of it overlaps by 9 mm."""
    assert frame_fit.toe_overlap_margin_mm(clear_mm, toe_mm) == margin_mm


@pytest.mark.parametrize(("gap_mm", "guard_mm"), [(56, 45), (50, 51), (70, 60)])
def test_mudguard_room_fills_the_gap(gap_mm, guard_mm):
    """Room, mudguard and room again make up the gap."""
    room_mm = frame_fit.mudguard_side_room_mm(gap_mm, guard_mm)

    assert room_mm + guard_mm + room_mm == pytest.approx(gap_mm)


def test_mudguard_over_tyre_by_hand():
    """60 - 50 = 10 and 45 - 47 = -2."""
    assert frame_fit.mudguard_over_tyre_mm(60, 50) == 10
    assert frame_fit.mudguard_over_tyre_mm(45, 47) == -2


@pytest.mark.parametrize(
    ("dent_mm", "tube_mm", "share_pct"),
    # A sixteenth of 32 is 2; a tenth of 28.6 is 2.86; an eighth of 40 is 5.
    [(2, 32, 100 / 16), (2.86, 28.6, 10), (5, 40, 12.5)],
)
def test_dent_depth_by_hand(dent_mm, tube_mm, share_pct):
    assert frame_fit.dent_depth_pct(dent_mm, tube_mm) == pytest.approx(share_pct)


@pytest.mark.parametrize(
    ("upgrade", "bicycle", "share_pct"), [(450, 900, 50), (300, 1200, 25), (900, 600, 150)]
)
def test_upgrade_share_by_hand(upgrade, bicycle, share_pct):
    assert frame_fit.upgrade_share_pct(upgrade, bicycle) == pytest.approx(share_pct)


@pytest.mark.parametrize(("tight_kgf", "share_pct"), [(100.0, 50.0), (120.0, 66.0)])
def test_a_share_of_the_tighter_side_gives_back_what_was_put_in(tight_kgf, share_pct):
    """Second route: take the share of the tighter side's tension, and ask for the share again."""
    assert wheels.told_tension_share_pct(tight_kgf, tight_kgf * share_pct / 100) == pytest.approx(share_pct)


def test_over_the_rims_limit_is_what_must_come_off():
    """Second route: easing the tightest spoke by what is over brings it to the limit."""
    over = wheels.over_rim_limit_kgf(131.0, 125.0)
    assert 131.0 - over == pytest.approx(125.0)


@pytest.mark.parametrize(("turns", "set_mm", "true_mm"), [(10_000, 2150.0, 2053.0), (4_000, 1950.0, 2105.0)])
def test_a_computer_set_by_its_two_distances_counts_the_turns_right(turns, set_mm, true_mm):
    """Second route: count turns, and let the display multiply them by the setting."""
    shown_km, true_km = turns * set_mm / 1e6, turns * true_mm / 1e6
    factor = tyres.setting_factor_ratio(true_km, shown_km)
    assert tyres.corrected_setting_mm(set_mm, factor) == pytest.approx(true_mm)

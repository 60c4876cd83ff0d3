"""More published values: bearings, threads, brakes and lubrication. Each expected figure is printed in its source."""

from __future__ import annotations

import pytest

from knowledge.calculations import bearings, brakes, lubrication, threads

GPA_PER_MILLION_PSI = 6.894757
PER_K_OF_PER_DEGREE_F = 1.8
KM_PER_MILE = 1.609344
MM_PER_IN = 25.4
MPA_PER_PSI = 0.00689475729
N_PER_LBF = 4.4482216153
MM2_PER_IN2 = 645.16


# Bearings


@pytest.mark.parametrize(
    ("number", "static_kn"),
    [
        # trade-15
        ("608", 1.37),
        ("628-8", 0.57),
        ("618-8", 0.30),
        ("6800", 0.83),
        ("6900", 1.27),
        ("6000", 1.96),
        ("6200", 2.36),  # trade-16 prints 2.39: the lower one counts
        # trade-16
        ("6201", 3.05),
        ("6202", 3.75),
        ("6203", 4.8),
    ],
)
def test_static_ratings_agree_with_the_printed_tables(number, static_kn):
    """Sources trade-15 and trade-16, in kilonewtons as printed."""
    assert bearings.static_rating_n(f"bearing-{number}") == pytest.approx(static_kn * 1000)


def test_axial_limit_lies_by_a_textbooks_own_interpolation():
    """Source trade-4, ex. 18-10: 200 N on a static rating of 695 N.

    Its table has rows at 0.25 (0.37) and 0.5 (0.44) only, ours more of them: a limit of 0.380 by its straight
    line, within the 0.01 to which both tables are printed.
    """
    assert bearings.axial_limit_ratio(200, 695) == pytest.approx(0.37 + 0.07 * 0.038 / 0.25, abs=0.01)


@pytest.mark.parametrize(
    ("radial", "axial", "equivalent"),
    [
        (1000, 1200, 1200),  # 600 + 600
        (1000, 500, 1000),  # 600 + 250 is below the radial load, which then counts
        (0, 500, 250),
    ],
)
def test_equivalent_static_load_follows_the_bearing_makers_rule(radial, axial, equivalent):
    """Source trade-58 prints 0.6 of the radial and 0.5 of the axial load, and never below the radial one."""
    assert bearings.equivalent_static_load_n(radial, axial) == pytest.approx(equivalent)


@pytest.mark.parametrize(("static_n", "limit_n"), [(1960, 490), (1370, 342.5), (830, 207.5)])
def test_axial_limit_and_preload_share_follow_the_bearing_makers_quarter(static_n, limit_n):
    """Source trade-58: purely axial load up to 0.25 of the static rating; at the limit the share is whole."""
    assert bearings.axial_load_limit_n(static_n) == pytest.approx(limit_n)
    assert bearings.preload_share_pct(limit_n, static_n) == pytest.approx(100)
    assert bearings.preload_share_pct(limit_n / 5, static_n) == pytest.approx(20)


def test_bearing_friction_agrees_with_a_worked_example():
    """Source trade-4, ex. 18-1: 16 kN, friction 0.0011 on a radius of 20 mm, 1440 r/min: 53.08 W."""
    torque = bearings.bearing_friction_torque_n_m(16_000, 40)

    assert torque == pytest.approx(0.0011 * 16_000 * 0.020)
    assert bearings.bearing_friction_power_w(float(torque), 1440) == pytest.approx(53.08, abs=0.005)


def test_a_cup_of_the_printed_size_grips_the_printed_shell():
    """Source trade-39: a 41.05 mm cup in a 41.00 mm shell is 0.05 mm too large."""
    assert bearings.shell_clearance_um(41.00, 41.05) == pytest.approx(-50)


@pytest.mark.parametrize(
    ("material", "million_psi", "per_million_f"),
    # bearings-materials, appendix: structural steel, 6061-T6, titanium alloy
    [("steel", 29, 6.5), ("aluminium", 10, 13), ("titanium", 16.5, 5.3)],
)
def test_materials_agree_with_the_appendix_in_its_own_units(material, million_psi, per_million_f):
    """Source bearings-materials; steel's 11.7 per million and degree is rounded to 12 here, as trade-54 does."""
    modulus = bearings.shell_modulus_gpa(material)
    expansion = bearings.shell_expansion_per_k(material)

    assert modulus == pytest.approx(million_psi * GPA_PER_MILLION_PSI, rel=0.003)
    assert expansion == pytest.approx(
        per_million_f * 1e-6 * PER_K_OF_PER_DEGREE_F, rel=0.03 if material == "steel" else 0.006
    )
    if material == "steel":
        assert expansion == pytest.approx(12e-6)


def test_thermal_clearance_agrees_with_a_bearing_makers_example():
    """Source trade-54 (PRS-04): 65 µm on a 120 mm bore by about 45 °C with 12 per million; the inner part cold."""
    assert bearings.thermal_clearance_um(120, 12e-6, 45, 0.0) == pytest.approx(65, abs=0.5)


@pytest.mark.parametrize(
    ("above_room", "fitted_at", "room_left"), [(70, 90, 30), (80, 100, 20), (100, 120, 0)]
)
def test_heating_keeps_below_the_bearing_makers_ceiling(above_room, fitted_at, room_left):
    """Sources trade-54 and trade-55: 70 to 80 °C above a room of 20 °C, never above 120 °C."""
    temperature = bearings.fitting_temperature_degc(above_room)

    assert temperature == pytest.approx(fitted_at)
    assert bearings.heating_room_left_k(float(temperature)) == pytest.approx(room_left)


@pytest.mark.parametrize(
    ("bore", "nominal"),
    [
        (41.96, 42),  # trade-34: stated bore of the 42 mm shell, two 6806 bearings of 42 mm (trade-74)
        (41.05, 41),  # trade-39: a 41 mm shell after a cup of 41.05 mm
        (45.96, 46),  # trade-34, trade-35: 46 mm family
        (37.02, 37),  # trade-35, trade-79: 37 mm family
    ],
)
def test_measured_shells_belong_to_the_printed_families(bore, nominal):
    """Sources beside the rows; the hundredths of the last two are a reading round the printed size."""
    assert bearings.seat_diameter_mm(bore) == nominal


# Threads


@pytest.mark.parametrize(
    ("pitch_mm", "threads_per_in"),
    [(1.0583, 24), (1.270, 20), (0.4536, 56), (0.9769, 26)],
)
def test_threads_to_the_inch_agree_with_the_printed_pitches(pitch_mm, threads_per_in):
    """Bottom-bracket, pedal, spoke and old shell threads (THR-09): four digits, so a hundredth of a thread."""
    assert threads.thread_count_per_in(pitch_mm) == pytest.approx(threads_per_in, abs=0.01)


def test_pitch_measured_over_an_inch_of_bottom_bracket_thread():
    """Source trade-32: 24 threads to the inch are printed as 1.058 mm."""
    assert threads.measured_pitch_mm(MM_PER_IN, 24) == pytest.approx(1.058, abs=0.0005)


def test_profile_height_agrees_with_a_printed_thread_sheet():
    """Source checks-a-3: M10 x 1.5, height 1.299038 mm. It prints 5/8 of it as 0.811899 mm."""
    height = threads.thread_profile_height_mm(1.5)

    assert height == pytest.approx(1.299038, abs=1e-6)
    assert 5 / 8 * height == pytest.approx(0.811899, abs=1e-6)


@pytest.mark.parametrize(
    ("diameter_mm", "pitch_mm", "hole_mm", "depth_pct"),
    [
        (8, 1.25, 6.80, 73.90),
        (0.250 * MM_PER_IN, MM_PER_IN / 20, 0.201 * MM_PER_IN, 75.44),
    ],
)
def test_thread_depth_agrees_with_a_catalogues_examples(diameter_mm, pitch_mm, hole_mm, depth_pct):
    """Source checks-a-2, both examples; it divides by 0.01299, ours by 1.299038, so to 0.01 points."""
    assert threads.thread_depth_pct(diameter_mm, pitch_mm, hole_mm) == pytest.approx(depth_pct, abs=0.01)


@pytest.mark.parametrize(
    ("torque_n_m", "nut_factor", "diameter_m", "area_mm2", "stress_mpa"),
    [
        (156.97, 0.2, 0.014, 115, 0.75 * 650),  # THR-03, trade-4 ex. 9-5: 75 % of 650 MPa
        # THR-04, trade-5 ex. 6.1: 3619.7 lb·in on 3/4 in and 0.334 in²: 85 % of 85 000 psi
        (3619.7 * N_PER_LBF * 0.0254, 0.2, 0.01905, 0.334 * MM2_PER_IN2, 0.85 * 85_000 * MPA_PER_PSI),
    ],
)
def test_bolt_stress_is_the_share_of_proof_that_the_examples_began_with(
    torque_n_m, nut_factor, diameter_m, area_mm2, stress_mpa
):
    """Worked backwards from the printed torque: force = torque / (factor × diameter)."""
    preload = torque_n_m / (nut_factor * diameter_m)

    assert threads.bolt_stress_mpa(preload, area_mm2) == pytest.approx(stress_mpa, rel=1e-3)


def test_lubricated_factor_of_the_textbooks_changes_torque_and_preload():
    """Sources trade-4 and trade-5: factor 0.2 plain, 0.15 lubricated; THR-03's 156.97 N·m for 56 062.5 N.

    Oiled, 0.15 × 56 062.5 N × 0.014 m = 117.73 N·m; and 156.97 N·m gives 74 750 N, a third more.
    """
    assert threads.same_preload_torque_n_m(156.97, 0.15) == pytest.approx(117.73, abs=0.01)
    assert threads.preload_change_pct(0.15) == pytest.approx(100 * (74_750 - 56_062.5) / 56_062.5, abs=0.01)


def test_torque_by_hand_agrees_with_a_practice_problem():
    """Source checks-a-4: 125 N on a spanner 25 cm from the nut of a bicycle's wheel: 31.25 N·m."""
    assert threads.torque_by_hand_n_m(125 / 9.80665, 250) == pytest.approx(31.25)


def test_the_cargo_standards_bolts_bear_half_as_much_again():
    """Source trade-65: bar, stem and post bolts must bear at least 1.5 times the stated torque."""
    assert threads.torque_over_stated_pct(1.5 * 5, 5) == pytest.approx(50)


def test_bosses_for_inserts_follow_the_makers_rule():
    """Source threads-insert-bosses: for optimum strength twice the diameter of the insert tap."""
    assert threads.insert_boss_mm(7.3) == pytest.approx(14.6)
    assert threads.insert_wall_left_mm(14.6, 7.3) == pytest.approx(7.3 / 2)


# Brakes


def test_axle_loads_at_rest_agree_with_a_schoolbook_exercise():
    """Source checks-a-5: 1800 kg, axles 1.8 m apart, mass centre 1.05 m behind the front one.

    3675 N under each front and 5145 N under each back wheel, printed with g = 9.8: within 0.1 %.
    """
    front = brakes.front_axle_load_braking_n(1800, 1050, 1800, 0)

    assert front == pytest.approx(2 * 3675, rel=1e-3)
    assert brakes.rear_axle_load_braking_n(1800, float(front)) == pytest.approx(2 * 5145, rel=1e-3)


@pytest.mark.parametrize(
    ("thinking_m", "braking_m", "whole_m"),
    [(6, 6, 12), (9, 14, 23), (12, 24, 36), (15, 38, 53), (18, 55, 73), (21, 75, 96)],
)
def test_stopping_distances_agree_with_the_highway_code(thinking_m, braking_m, whole_m):
    """Source checks-a-1: 20 to 70 mph, whole metres."""
    assert brakes.stopping_distance_m(thinking_m, braking_m) == whole_m


@pytest.mark.parametrize(("dry_m", "wet_m"), [(6, 12), (14, 28), (75, 150)])
def test_half_the_braking_doubles_the_braking_distance(dry_m, wet_m):
    """Source checks-a-1 doubles distances on wet roads; trade-95 lets a wet brake fall to half its dry force."""
    assert brakes.wet_braking_distance_m(dry_m, 50) == wet_m


def test_long_pull_levers_pull_twice_the_cable():
    """Source trade-100: about 15 mm from 42 mm and 7 mm from 21 mm of radius; trade-72b and trade-99: about 2."""
    assert brakes.cable_pull_match_pct(15, 7) == pytest.approx(200, abs=15)
    assert brakes.cable_pull_match_pct(42, 21) == pytest.approx(200)


def test_disc_torque_agrees_with_the_handbook_formula():
    """Source checks-a-8: twice friction times force times mean radius; 2 × 0.4 × 2500 N × 0.073 m = 146 N·m."""
    assert brakes.rotor_torque_n_m(2500, 0.4, 73) == pytest.approx(146)


def test_torque_and_radius_of_a_braked_car_wheel_give_its_force_back():
    """Source trade-4, ex. 23-5 (BRK-04): 300.4 N·m at 0.22 m on each of four wheels stop 1100 kg from 65 km/h.

    With a tenth for what turns, 1100 kg × 1.1 × 18.056 m/s / 4 s = 5462 N in all.
    """
    assert 4 * brakes.road_force_of_torque_n(300.4, 220) == pytest.approx(5462, rel=0.005)
    assert brakes.braking_force_n(1100 * 1.1, 65 / 3.6 / 4, 25) == pytest.approx(300.4 / 0.22, rel=0.005)


@pytest.mark.parametrize(
    ("boiling_degc", "at_degc", "margin_k"), [(155, 100, 55), (140, 100, 40), (260, 205, 55), (180, 155, 25)]
)
def test_margins_between_the_printed_boiling_points(boiling_degc, at_degc, margin_k):
    """Source trade-64b prints 140, 155, 180, 205 and 260 °C; the margins are their differences."""
    assert brakes.fluid_margin_k(boiling_degc, at_degc) == margin_k


@pytest.mark.parametrize(("printed_in", "limit_mm"), [(3.5, 89), (3.0, 76)])
def test_lever_reach_at_the_united_states_limits(printed_in, limit_mm):
    """Source trade-93: 3 1/2 in is printed as 89 mm and 3 in as 76 mm; an eighth of an inch over is 3.2 mm over."""
    assert brakes.lever_reach_over_mm(printed_in * MM_PER_IN, limit_mm) == pytest.approx(0, abs=0.5)
    assert brakes.lever_reach_over_mm(
        (printed_in + 0.125) * MM_PER_IN, printed_in * MM_PER_IN
    ) == pytest.approx(3.175)


@pytest.mark.parametrize(
    ("wanted", "allowed", "over"), [(203, 180, 23), (180, 160, 20), (160, 160, 0), (140, 160, -20)]
)
def test_rotor_sizes_beyond_the_makers_limit(wanted, allowed, over):
    """Sources trade-102 and trade-103 print the sizes 140, 160, 180 and 203 mm."""
    assert brakes.rotor_over_limit_mm(wanted, allowed) == over


# Lubrication


@pytest.mark.parametrize(
    ("grade", "lowest", "highest"),
    [
        # iso-3448 as printed in trade-21 to trade-25
        (10, 9.00, 11.0),
        (15, 13.5, 16.5),
        (22, 19.8, 24.2),
        (32, 28.8, 35.2),
        (46, 41.4, 50.6),
        (68, 61.2, 74.8),
        (100, 90, 110),
        (150, 135, 165),
        (220, 198, 242),
        (320, 288, 352),
        (460, 414, 506),
        (1000, 900, 1100),
    ],
)
def test_an_oil_within_a_grades_printed_limits_is_of_that_grade(grade, lowest, highest):
    """Sources trade-21 to trade-25: the middle and both limits belong to the grade itself."""
    for viscosity in (lowest, grade, highest):
        assert lubrication.nearest_iso_grade(viscosity) == grade


@pytest.mark.parametrize(
    ("grade", "at_100"), [(32, 5.5), (46, 6.5), (68, 8.5), (100, 11.4), (150, 14.5), (220, 19)]
)
def test_grades_in_use_agree_with_the_charts_typical_values(grade, at_100):
    """Source trade-25: the grade itself at 40 °C, and typical figures at 100 °C, which state no index: 6 %."""
    assert lubrication.grade_viscosity_mm2_s(grade, 40) == pytest.approx(grade)
    assert lubrication.grade_viscosity_mm2_s(grade, 100) == pytest.approx(at_100, rel=0.06)


@pytest.mark.parametrize(
    ("lubricant", "weather", "end", "miles"),
    [
        ("wet-drip", "dry", "shortest", 100),  # lub-interval-c, wet lubricant
        ("wet-drip", "dry", "longest", 200),  # lub-interval-x, dry weather
        ("wet-drip", "wet", "longest", 100),  # lub-interval-x, wet weather
        ("dry-drip", "dry", "shortest", 60),  # lub-interval-c, dry lubricant
        ("dry-drip", "dry", "longest", 200),  # lub-interval-a, dry lubricant: 100 to 200
        ("wax", "dry", "longest", 300),  # lub-wax-boiler 200 to 300, lub-wax-dip 300
        ("wax", "wet", "longest", 100),  # lub-interval-x, wet weather
    ],
)
def test_relubrication_distances_reach_to_the_printed_claims(lubricant, weather, end, miles):
    """Printed in miles; the table rounds them to five kilometres, and no claim in mud was found."""
    distance = getattr(lubrication, f"{end}_relubrication_distance_km")(lubricant, weather)

    assert distance == pytest.approx(miles * KM_PER_MILE, abs=3)


@pytest.mark.parametrize(
    ("flash_degc", "margin_k"),
    [(199, 99), (249, 149), (140, 40)],  # lub-wax-flash: plain, hardened, lowest claim
)
def test_a_water_bath_keeps_wax_below_its_printed_flash_points(flash_degc, margin_k):
    """Sources lub-wax-flash and lub-wax-boiler: a water bath cannot pass 100 °C."""
    assert lubrication.wax_flash_margin_k(100, flash_degc) == margin_k


def test_the_lowest_flash_point_claimed_counts_where_none_is_known():
    """Source lub-wax-flash: 140 °C."""
    assert lubrication.wax_flash_margin_k(140) == 0


@pytest.mark.parametrize(
    ("usable_degc", "at_degc", "margin_k"),
    [(135, 100, 35), (177, 135, 42), (177, 177, 0), (135, 177, -42)],
)
def test_margins_below_the_greases_printed_limits(usable_degc, at_degc, margin_k):
    """Source trade-17b: lithium usable to 135 °C, lithium complex and polyurea to 177 °C."""
    assert lubrication.grease_heat_margin_k(usable_degc, at_degc) == margin_k

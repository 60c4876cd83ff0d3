"""More calculations for tyres, wheels, drivetrain, cranks and frame against figures as they were printed."""

from __future__ import annotations

import pytest

from knowledge.calculations import cranks, drivetrain, frame_fit, tyres, wheels

PSI_KPA = 6.894757
MPH_KMH = 1.609344
POUND_KG = 0.45359237
INCH_MM = 25.4
GRAVITY = 9.80665


# ---- tyres ----------------------------------------------------------------------------------------------


def test_circumference_change_between_two_printed_rollouts():
    """tyres-37 (TW-01) prints 2098.6 mm for 23-622, tyres-35 (TW-02) 2130 mm for 28-622, to 1 mm."""
    printed_pct = 100 * (2130 / 2098.6 - 1)

    assert tyres.circumference_change_pct(622, 23, 622, 28) == pytest.approx(printed_pct, abs=0.05)


@pytest.mark.parametrize(
    ("bead_seat_mm", "width_mm", "new_bead_seat_mm", "new_width_mm", "printed_mm", "new_printed_mm"),
    [
        # tyres-33, chart values to the tyres' own spread of 2 % each way.
        (622, 28, 559, 47, 2136, 2055),
        (622, 32, 451, 28, 2155, 1618),
        (630, 28, 622, 28, 2155, 2136),
    ],
)
def test_circumference_change_between_chart_rows(
    bead_seat_mm, width_mm, new_bead_seat_mm, new_width_mm, printed_mm, new_printed_mm
):
    change_pct = tyres.circumference_change_pct(bead_seat_mm, width_mm, new_bead_seat_mm, new_width_mm)

    assert change_pct == pytest.approx(100 * (new_printed_mm / printed_mm - 1), abs=2)


@pytest.mark.parametrize(
    ("overlap_mm", "rim_type", "fits"),
    [
        # tyres-14: a hookless rim of 25 mm takes 28 mm by the 2022 edition, 29 mm by that of 2023.
        (3, "hookless", True),
        (4, "hookless", False),
        (4, "hooked-tubeless", True),
    ],
)
def test_28_mm_on_a_rim_of_25_mm_by_two_editions(overlap_mm, rim_type, fits):
    spare_mm = tyres.hookless_width_margin_mm(28, 25, overlap_mm)

    assert bool(tyres.rim_fit_margin_mm(2.0, spare_mm, rim_type) >= 0) is fits


def test_28_mm_on_23_mm_is_at_the_printed_limit():
    """tyres-15: 23 mm is the widest rim reported for 28 mm; a hooked rim leaves exactly nothing."""
    margin_mm = tyres.rim_width_margin_mm(23, tyres.narrowest_rim_width_mm(28), tyres.widest_rim_width_mm(28))

    assert tyres.rim_fit_margin_mm(margin_mm, 5.0, "hooked-tubeless") == pytest.approx(0)
    assert tyres.rim_fit_margin_mm(margin_mm, -1.0, "hookless") == pytest.approx(-1)


@pytest.mark.parametrize(
    ("gap_mm", "needed_mm", "spare_mm"),
    [
        # tyres-88: 4 mm for racing bicycles, 6 mm for all others; tyres-28: 1/16 in by US law, 1.6 mm.
        (5, 4, 1),
        (5, 6, -1),
        (INCH_MM / 16, 1.6, 0),
    ],
)
def test_clearance_asked_for_by_the_rules(gap_mm, needed_mm, spare_mm):
    assert tyres.clearance_spare_mm(gap_mm, needed_mm) == pytest.approx(spare_mm, abs=0.05)
    assert tyres.clearance_margin_mm(gap_mm, gap_mm + 9, needed_mm) == pytest.approx(spare_mm, abs=0.05)
    assert tyres.clearance_margin_mm(gap_mm + 9, gap_mm, needed_mm) == pytest.approx(spare_mm, abs=0.05)


def test_load_on_each_tyre_and_its_contact_patch():
    """tyres-114 (TW-11): 506 N and 94 N shared alike at 6.70e5 Pa give 4.48 cm² each."""
    total_kg = tyres.total_mass_kg(506 / GRAVITY, 94 / GRAVITY)
    load_n = tyres.tyre_load_kg(total_kg, 50) * GRAVITY

    assert load_n / 6.70e5 * 1e4 == pytest.approx(4.48, abs=0.01)


def test_load_margin_of_the_wheel_load_in_a_printed_test():
    """tyres-20 rides a 170 lb rider on a 30 lb bicycle: 200 lb together, so 100 lb under half of it."""
    total_kg = tyres.total_mass_kg(170 * POUND_KG, 30 * POUND_KG)
    load_kg = tyres.tyre_load_kg(total_kg, 50)

    assert total_kg == pytest.approx(200 * POUND_KG)
    assert tyres.tyre_load_margin_kg(load_kg, 120 * POUND_KG) == pytest.approx(20 * POUND_KG)


def test_front_and_rear_share():
    """tyres-22: 45/55 from scales under the wheels of a recreational rider."""
    front_kg, rear_kg = tyres.tyre_load_kg(100, 45), tyres.tyre_load_kg(100, 55)

    assert (front_kg, rear_kg) == (pytest.approx(45), pytest.approx(55))


def test_table_pressure_on_a_hookless_rim():
    """tyres-23 and tyres-14 (TW-09): 85 kg on 25 mm asks for 7.0 bar, the rim permits 5.0."""
    assert tyres.capped_pressure_kpa(700) == pytest.approx(500)
    assert tyres.capped_pressure_kpa(450) == pytest.approx(450)
    assert tyres.load_pressure_room_kpa(500, 700) == pytest.approx(-200)


def test_hookless_ceiling_in_psi():
    """tyres-14, tyres-16: 5 bar is printed as 72.5 psi."""
    assert tyres.capped_pressure_kpa(900) / PSI_KPA == pytest.approx(72.5, abs=0.05)


@pytest.mark.parametrize("new_width_mm", [23, 32, 40])
def test_pressure_for_another_width_by_the_printed_curve(new_width_mm):
    """tyres-21: P = 120 L / W^1.5 in psi, lb and mm; 100 lb on 28 mm is 81 psi (TW-10)."""
    at_28_psi, printed_psi = 120 * 100 / 28**1.5, 120 * 100 / new_width_mm**1.5

    assert at_28_psi == pytest.approx(81, abs=0.5)
    assert tyres.equal_drop_pressure_kpa(at_28_psi * PSI_KPA, 28, new_width_mm) / PSI_KPA == pytest.approx(
        printed_psi
    )


def test_pressure_for_another_width_reaches_the_author_s_own_fat_tyre():
    """tyres-21: its author rides about 11 psi in 102 mm; 81 psi in 28 mm comes to within 1 psi of it."""
    assert tyres.equal_drop_pressure_kpa(81 * PSI_KPA, 28, 102) / PSI_KPA == pytest.approx(11, abs=1)


@pytest.mark.parametrize("times_the_load", [0.5, 1, 2, 3])
def test_drop_by_the_printed_law(times_the_load):
    """tyres-32: load as the drop to the power of 1.5; tyres-19: 15 % at the chart's pressure."""
    drop_pct = tyres.tyre_drop_pct(500, 500 * times_the_load)

    assert (drop_pct / 15) ** 1.5 == pytest.approx(times_the_load)


@pytest.mark.parametrize(
    ("pressure_kpa", "bore_mm", "published_n", "tolerance_n"),
    [
        # checksb-12, from a textbook; the solver's area is rounded, so 0.2 %.
        (210, 25, 102.9, 0.3),
        (310, 25, 151.9, 0.3),
        # checksb-13: a radius of 2.00 cm and 6.90e5 Pa.
        (690, 40, 867, 0.5),
        # checksb-14: one atmosphere on 2.3 cm.
        (101.325, 23, 42, 0.5),
    ],
)
def test_pump_force(pressure_kpa, bore_mm, published_n, tolerance_n):
    assert tyres.pump_force_n(pressure_kpa, bore_mm) == pytest.approx(published_n, abs=tolerance_n)


def test_leak_of_a_latex_tube():
    """tyres-49: 0.3 bar in 5 hours, printed as about 1 psi an hour; tyres-24: 1 bar a month for butyl."""
    latex = tyres.leak_rate_kpa_day(700, 670, 5 / 24)
    butyl = tyres.leak_rate_kpa_day(700, 600, 30)

    assert latex / PSI_KPA / 24 == pytest.approx(1, abs=0.2)
    assert butyl * 30 / 100 == pytest.approx(1)
    assert tyres.leak_ratio(latex, butyl) == pytest.approx(144 / (10 / 3), rel=1e-6)


@pytest.mark.parametrize(("material", "drop_kpa", "days"), [("butyl", 100, 30), ("latex", 30, 5 / 24)])
def test_days_to_lose_the_printed_amount(material, drop_kpa, days):
    """tyres-24 and tyres-49, as above; the monthly loss is printed to one digit."""
    found_days = tyres.days_to_floor_days(700, 700 - drop_kpa, tyres.usual_leak_kpa_day(material))

    assert found_days == pytest.approx(days, rel=0.02)


@pytest.mark.parametrize(
    ("surface", "force_n"),
    # tyres-109: the handbook's coefficients for a bicycle; F = c m g for 100 kg, by hand.
    [("wooden track", 0.981), ("concrete", 1.961), ("asphalt", 3.923), ("rough paved road", 7.845)],
)
def test_rolling_loss_by_the_handbook_s_coefficients(surface, force_n):
    """At 36 km/h, 10 m/s, the power in watts is ten times the force in newtons."""
    coefficient = tyres.rolling_coefficient(surface)

    assert tyres.rolling_loss_w(coefficient, 100, 36) == pytest.approx(10 * force_n, abs=0.006)


def test_latex_saves_what_the_printed_difference_of_coefficients_makes():
    """tyres-110: 0.00038 less with latex; 80 kg at 45 km/h, by hand 0.00038 x 784.532 N x 12.5 m/s."""
    assert tyres.latex_saving_w(80, 45) == pytest.approx(3.7265, abs=0.0005)


@pytest.mark.parametrize(
    ("discipline", "pressure_psi", "margin_psi"),
    [
        # tyres-56, tyres-61, tyres-63: track 160 to 180 psi, cyclocross 25 to 28, road to 125.
        ("track", 170, 10),
        ("track", 185, -5),
        ("cyclocross", 26, 1),
        ("road", 130, -5),
    ],
)
def test_tubular_pressure_within_the_printed_practice(discipline, pressure_psi, margin_psi):
    margin_kpa = tyres.tubular_pressure_margin_kpa(
        pressure_psi * PSI_KPA,
        tyres.tubular_least_pressure_kpa(discipline),
        tyres.tubular_most_pressure_kpa(discipline),
    )

    assert margin_kpa / PSI_KPA == pytest.approx(margin_psi)


# ---- wheels ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("spokes", "published"), [(20, 2), (24, 2), (28, 3), (32, 3), (36, 4)])
def test_most_crosses(spokes, published):
    """checksb-16: the most is the spokes over nine, so 2 for 20 and 24 and 3 for 28 and 32."""
    assert spokes // 9 == published
    assert wheels.most_crosses(spokes, 45, 600) == published


@pytest.mark.parametrize(
    ("in_hand_mm", "surplus_mm", "within_a_millimetre"),
    # tyres-96 (TW-24): the wheel asks for 265.8 mm; tyres-103 accepts 1 mm either way.
    [(266, 0.2, True), (265, -0.8, True), (268, 2.2, False)],
)
def test_spoke_surplus(in_hand_mm, surplus_mm, within_a_millimetre):
    needed_mm = wheels.spoke_length_mm(555, 58, 39, wheels.spoke_angle_deg(36, 3), 2.6)
    found_mm = wheels.spoke_surplus_mm(in_hand_mm, needed_mm)

    assert found_mm == pytest.approx(surplus_mm, abs=0.1)
    assert bool(abs(found_mm) <= 1) is within_a_millimetre


@pytest.mark.parametrize(
    ("offset_mm", "length_mm", "pull_kgf", "published_kgf"),
    # checksb-17: pulls of 7.3 and 14.30 kgf give 0.55 and 2.07 kgf sideways, printed to 0.01.
    [(21, 280.786, 7.3, 0.55), (41, 282.986, 14.30, 2.07)],
)
def test_side_pull_of_a_spoke(offset_mm, length_mm, pull_kgf, published_kgf):
    angle_deg = wheels.bracing_angle_deg(offset_mm, length_mm)

    assert wheels.missing_spoke_side_pull_kgf(pull_kgf, angle_deg) == pytest.approx(published_kgf, abs=0.006)


def test_slack_side_at_a_printed_ratio():
    """checksb-18: a ratio of 66 % means 66 kgf against 100 kgf, whichever side is the tighter."""
    assert wheels.slack_side_tension_kgf(100, 0.66) == pytest.approx(66)
    assert wheels.slack_side_tension_kgf(100, 1 / 0.66) == pytest.approx(66)


def test_yield_share_of_the_textbook_s_preload():
    """tyres-98 (TW-27): about 630 N in a 2 mm spoke that yields at 400 MPa is half its yield."""
    stress_mpa = wheels.spoke_stress_mpa(630 / GRAVITY, 2)

    assert wheels.spoke_yield_share_pct(stress_mpa, 400) == pytest.approx(50, abs=0.3)


def test_lowest_spoke_of_the_simulated_wheel():
    """tyres-104: of 500 N the lowest spoke takes 198 N; one tightened to 1,000 N keeps 802 N."""
    left_kgf = wheels.bottom_spoke_left_kgf(1000 / GRAVITY, 198 / GRAVITY)

    assert left_kgf * GRAVITY == pytest.approx(802)


def test_rim_compression_of_the_measured_wheel():
    """checksb-11: 36 spokes at about 100 kgf squeeze the rim with about 5,700 N."""
    assert wheels.rim_compression_n(36, 100) == pytest.approx(5700, abs=100)


@pytest.mark.parametrize(
    ("limit_mm", "runout_mm", "margin_mm"),
    # tyres-89: 2 mm by an owner's manual; tyres-90: 0.8 and 0.6 mm by a national standard.
    [(2.0, 1.5, 0.5), (0.8, 0.7, 0.1), (0.6, 0.7, -0.1)],
)
def test_runout_against_the_printed_limits(limit_mm, runout_mm, margin_mm):
    assert wheels.runout_margin_mm(limit_mm, runout_mm) == pytest.approx(margin_mm)


@pytest.mark.parametrize(
    ("material", "published", "tolerance"),
    [
        # tyres-74 (TW-22): aluminium at 0.22 cal/gK, printed to two digits, so 2.3 %.
        ("aluminium", 0.22 * 4186.8, 25),
        # tyres-64 (TW-20): steel at 0.5 J/gK.
        ("steel", 500, 1),
    ],
)
def test_rim_specific_heat(material, published, tolerance):
    assert wheels.rim_specific_heat_j_kg_k(material) == pytest.approx(published, abs=tolerance)


def test_rim_limit_is_where_rim_cement_melts():
    """tyres-53: 250 °F; printed as a round figure, so to half a degree Celsius."""
    assert wheels.rim_limit_degc("tubular", "aluminium") == pytest.approx((250 - 32) / 1.8, abs=0.5)


def test_heat_reserve_of_the_printed_descent():
    """tyres-67: 70 to 220 °F in two minutes; tyres-53: 250 °F. By hand (250 - 70) / (220 - 70) = 1.2."""
    reserve = wheels.rim_heat_reserve((70 - 32) / 1.8, (220 - 32) / 1.8)

    assert reserve == pytest.approx(1.2, abs=0.005)


def test_climb_time_saved():
    """checksb-20: 200 lb less 2 lb saves 12 s of a climb of 20 minutes."""
    saved_s = wheels.climb_time_saved_s(20, 2 * POUND_KG, 200 * POUND_KG)

    assert saved_s == pytest.approx(12)


def test_ride_height_between_two_printed_diameters():
    """tyres-37 prints 668 mm over a tyre of 23-622, drivetrain-70 678 mm over 28-622."""
    assert wheels.ride_height_change_mm(622, 23, 622, 28) == pytest.approx((678 - 668) / 2)


# ---- drivetrain -----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("pitch_mm", "pull_mm", "printed_ratio"),
    [
        # drivetrain-22, drivetrain-25, drivetrain-28: pulls and ratios as printed, each to one decimal.
        (5.00, 2.9, 1.7),
        (4.80, 2.8, 1.7),
        (4.34, 2.5, 1.7),
        (3.95, 2.3, 1.7),
        (3.95, 2.8, 1.4),
        (3.78, 2.7, 1.4),
        (3.90, 3.6, 1.1),
        (5.00, 3.5, 1.4),
    ],
)
def test_fitting_ratio_and_pull_of_sets_that_belong_together(pitch_mm, pull_mm, printed_ratio):
    assert drivetrain.fitting_actuation_ratio(pitch_mm, pull_mm) == pytest.approx(printed_ratio, abs=0.05)
    assert drivetrain.fitting_cable_pull_mm(pitch_mm, printed_ratio) == pytest.approx(pull_mm, abs=0.08)


def test_worst_error_of_the_mixed_set():
    """drivetrain-34 and drivetrain-25 (SH-4): -10.7 mm after nine clicks; the middle halves it (drivetrain-20)."""
    assert drivetrain.worst_indexing_error_mm(-10.7) == pytest.approx(5.35)


def test_pull_lost_in_half_a_turn():
    """drivetrain-140 (FR-1): 1.207 after 180°, so 0.207 of every 1.207 is lost."""
    ratio = drivetrain.housing_friction_ratio(180)

    assert drivetrain.cable_pull_lost_pct(ratio) == pytest.approx(100 * 0.207 / 1.207, abs=0.1)


def test_pulley_shift_at_the_printed_tolerance():
    """drivetrain-139: 4 mm across a rim of 622 mm; by proportion the pulley moves 60 x 4 / 622 mm."""
    angle_deg = drivetrain.hanger_angle_deg(4, 622)

    assert angle_deg == pytest.approx(0.37, abs=0.005)
    assert drivetrain.pulley_shift_from_hanger_mm(angle_deg) == pytest.approx(60 * 4 / 622)


@pytest.mark.parametrize(
    ("smallest_teeth", "margin_teeth"),
    # drivetrain-84: 11 is the least on the common spline; 10 or 9 needs the narrower driver.
    [(11, 0), (12, 1), (10, -1), (9, -2)],
)
def test_smallest_sprocket_on_the_common_body(smallest_teeth, margin_teeth):
    assert drivetrain.body_sprocket_margin_teeth(smallest_teeth, 11) == margin_teeth


@pytest.mark.parametrize(
    ("capacity", "large_ring", "small_ring", "small_sprocket", "printed_largest"),
    [
        # The printed capacities just hold the printed cassettes.
        (42, 44, 24, 12, 34),  # drivetrain-41
        (27, 53, 39, 12, 25),  # drivetrain-42
        (25, 53, 39, 12, 23),  # drivetrain-43
        (39, 50, 34, 11, 34),  # drivetrain-45
        (33, 40, 30, 11, 34),  # drivetrain-47
        (23, 40, 40, 11, 34),  # drivetrain-47, one ring
        (33, 50, 34, 12, 29),  # drivetrain-44: 25 with four teeth to spare
    ],
)
def test_largest_sprocket_by_capacity(capacity, large_ring, small_ring, small_sprocket, printed_largest):
    largest = drivetrain.largest_sprocket_by_capacity_teeth(capacity, large_ring, small_ring, small_sprocket)

    assert largest == printed_largest


def test_largest_sprocket_beyond_the_rating():
    """By hand: 32 - 36 = -4 and 34 - 28 = 6; drivetrain-51 tells of 36 teeth fitted beyond a rating."""
    assert drivetrain.largest_sprocket_margin_teeth(32, 36) == -4
    assert drivetrain.largest_sprocket_margin_teeth(34, 28) == 6


@pytest.mark.parametrize(
    ("rated", "large_ring", "small_ring", "margin"),
    # drivetrain-49: 53/39 needs 14; drivetrain-156: 48/22 needs 26.
    [(14, 53, 39, 0), (16, 53, 39, 2), (22, 48, 22, -4)],
)
def test_front_capacity(rated, large_ring, small_ring, margin):
    needed = drivetrain.front_capacity_needed_teeth(large_ring, small_ring)

    assert drivetrain.front_capacity_margin_teeth(rated, needed) == margin


@pytest.mark.parametrize(
    ("old_teeth", "new_teeth", "pairs"),
    # Second route: the inch rule of drivetrain-56, R / 4 in whole inches, an inch of chain being a pair of links.
    [(28, 32, 1), (32, 28, -1), (25, 28, 1), (28, 25, 0), (28, 34, 2), (28, 50, 6), (34, 34, 0)],
)
def test_links_for_another_largest_sprocket(old_teeth, new_teeth, pairs):
    stay_mm = 16.25 * 25.4
    old_in = drivetrain.chain_length_simple_in(stay_mm, 52, old_teeth)
    new_in = drivetrain.chain_length_simple_in(stay_mm, 52, new_teeth)

    assert drivetrain.chain_change_links(old_teeth, new_teeth) == 2 * pairs
    assert 0 <= pairs - (new_in - old_in) < 1


@pytest.mark.parametrize(("sold", "spare"), [(114, 10), (116, 12), (118, 14), (100, -4)])
def test_links_to_take_out_of_a_chain_as_sold(sold, spare):
    """drivetrain-58 and drivetrain-19 (CL-3): 420 mm, 44 and 28 need 104; chains are sold by 114 to 118."""
    needed = drivetrain.chain_to_fit_links(drivetrain.chain_length_links(420, 44, 28))

    assert needed == 104
    assert drivetrain.chain_spare_links(sold, needed) == spare


@pytest.mark.parametrize(
    ("past_the_mark_in", "limit_pct", "replace"),
    [
        # drivetrain-77 to drivetrain-80: 1/16 in past 12 in reaches 0.5 %, and 0.75 % is 0.09 in.
        (1 / 32, 0.5, False),
        (1 / 16, 0.5, True),
        (1 / 16, 0.75, False),
        (1 / 8, 0.75, True),
    ],
)
def test_wear_margin_on_the_ruler(past_the_mark_in, limit_pct, replace):
    wear_pct = drivetrain.chain_elongation_pct((12 + past_the_mark_in) * INCH_MM)
    margin_pct = drivetrain.chain_wear_margin_pct(limit_pct, wear_pct)

    assert bool(margin_pct <= 0) is replace
    assert margin_pct == pytest.approx(limit_pct - 100 * past_the_mark_in / 12)


def test_chainlines_that_agree():
    """checksb-21: half of 30 mm and 27.5 mm in front; half of 120 mm less 17.5 mm behind: 42.5 mm both."""
    front_mm = cranks.front_chainline_mm(30, 27.5)

    assert front_mm == pytest.approx(42.5)
    assert drivetrain.chainline_error_mm(front_mm, 120 / 2 - 17.5) == pytest.approx(0)


def test_chainline_of_a_road_double_against_a_printed_hub():
    """drivetrain-101 gives a road double 43.5 mm, drivetrain-100 (CH-1) works a hub out to 43.0 mm."""
    assert drivetrain.chainline_error_mm(43.5, 43.0) == pytest.approx(0.5)


def test_chain_angle():
    """checksb-19: 5 mm over 391 mm is 0.73°, printed to 0.01°."""
    assert drivetrain.chain_angle_deg(47, 42, 391) == pytest.approx(0.73, abs=0.005)
    assert drivetrain.chain_angle_deg(42, 47, 391) == pytest.approx(0.73, abs=0.005)


@pytest.mark.parametrize(
    ("small", "large", "printed_step_pct"),
    # drivetrain-155: the steps between sprockets as printed, the second cut off rather than rounded.
    [(28, 34, 21.4), (24, 28, 16.6), (21, 24, 14.3)],
)
def test_lowest_gear_gain_by_the_printed_steps(small, large, printed_step_pct):
    """A step of s makes the pedal force 1 / (1 + s) of what it was."""
    gain_pct = drivetrain.lowest_gear_gain_pct(34, small, 34, large)

    assert gain_pct == pytest.approx(100 * (1 - 1 / (1 + printed_step_pct / 100)), abs=0.08)


def test_lowest_gear_gain_by_two_printed_ratios():
    """drivetrain-60 and drivetrain-61: 42/42 is 1.00, 39/14 is 2.79, so the fall is 64.2 %."""
    gain_pct = drivetrain.lowest_gear_gain_pct(39, 14, 42, 42)

    assert gain_pct == pytest.approx(100 * (1 - 1.00 / 2.79), abs=0.1)


@pytest.mark.parametrize(
    ("rings", "sprockets", "published_pct", "tolerance_pct"),
    [
        # checksb-7.
        ((32, 32), (10, 50), 500, 0.5),
        ((36, 24), (11, 36), 491, 0.5),
        # checksb-8, rounded to whole per cents.
        ((40, 40), (11, 28), 255, 0.5),
        ((40, 40), (11, 32), 291, 0.5),
        ((40, 40), (11, 36), 327, 0.5),
        ((40, 40), (10, 42), 420, 0.5),
        # checksb-9; the first is 4.82 / 1.39, where the rounding of 1.39 alone is worth 1.25 points.
        ((53, 39), (11, 28), 347, 1.3),
        ((40, 40), (11, 46), 418, 0.5),
        ((40, 40), (9, 44), 489, 0.5),
    ],
)
def test_gear_range(rings, sprockets, published_pct, tolerance_pct):
    range_pct = drivetrain.gear_range_pct(rings[0], rings[1], sprockets[1], sprockets[0])

    assert range_pct == pytest.approx(published_pct, abs=tolerance_pct)


def test_climbing_speed_of_the_worked_climb():
    """checksb-10: 110 kg up 13.3 % at 5 mph take 317.67 W, gravity at 9.80 and nothing else counted.

    Our least rolling resistance, 0.001, asks for 0.001 / 0.133 more.
    """
    power_w = 317.67222 * (1 + 0.001 / 0.133)

    speed_kmh = drivetrain.climbing_speed_kmh(power_w, 110, 13.3, 100, 0.001)

    assert speed_kmh / MPH_KMH == pytest.approx(5, abs=0.005)


@pytest.mark.parametrize(
    ("speed_kmh", "circumference_mm", "cadence_rpm", "ratio", "tolerance"),
    [
        # drivetrain-66: 2 m a turn at 50, 75 and 100 turns a minute, here as one to one.
        (6, 2000, 50, 1, 0.001),
        (9, 2000, 75, 1, 0.001),
        (12, 2000, 100, 1, 0.001),
        # drivetrain-45: 34/34 at 85 turns is 10.9 km/h; 50/11 is 49.4 km/h on a wheel of 2.13 m.
        (10.9, 2130, 85, 1, 0.02),
        (49.4, 2130, 85, 50 / 11, 0.02),
    ],
)
def test_climbing_ratio(speed_kmh, circumference_mm, cadence_rpm, ratio, tolerance):
    found = drivetrain.climbing_ratio(speed_kmh, circumference_mm, cadence_rpm)

    assert found == pytest.approx(ratio, abs=tolerance)


@pytest.mark.parametrize(
    ("ring", "printed_ratio", "sprocket"),
    # drivetrain-60, drivetrain-61, drivetrain-95: ratios printed to 0.01.
    [(42, 3.82, 11), (42, 1.00, 42), (39, 2.79, 14), (53, 2.79, 19), (53, 4.82, 11)],
)
def test_climbing_sprocket(ring, printed_ratio, sprocket):
    assert drivetrain.climbing_sprocket_teeth(ring, printed_ratio) == pytest.approx(sprocket, abs=0.05)


@pytest.mark.parametrize(
    ("ring", "sprocket", "published"),
    [
        # checksb-1.
        (48, 16, 1),
        (48, 18, 3),
        (48, 17, 17),
        # checksb-2.
        (46, 17, 17),
        (49, 17, 17),
        (52, 18, 9),
        # checksb-3.
        (44, 16, 4),
        (44, 15, 15),
    ],
)
def test_skid_patches(ring, sprocket, published):
    assert drivetrain.skid_patches_count(ring, sprocket) == published


# ---- cranks ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize("cadence_rpm", [50, 75, 100])
def test_pedal_speed(cadence_rpm):
    """checksb-15: with arms of 172.5 mm, 0.0404 mph for each turn a minute, printed to 0.0001."""
    speed_mph = cranks.pedal_speed_m_s(172.5, cadence_rpm) * 3.6 / MPH_KMH

    assert speed_mph / cadence_rpm == pytest.approx(0.0404, abs=0.0001)


@pytest.mark.parametrize(
    ("pound_inches", "printed_n_m"),
    # drivetrain-130: square-taper bolts and pedals, each torque printed both ways.
    [(305, 34.5), (391, 44.2), (307, 34.7)],
)
def test_hand_pull_from_a_torque_printed_both_ways(pound_inches, printed_n_m):
    """On a spanner of 12 in, a torque in pound-inches is twelve times the pull in pounds."""
    pull_kgf = cranks.hand_pull_kgf(printed_n_m, 12 * INCH_MM)

    assert pull_kgf / POUND_KG == pytest.approx(pound_inches / 12, abs=0.05)


def test_crank_length_changes_that_riders_report():
    """cranks-10: the seat goes up by the arms' difference and the top pedal down by as much: 5 and 5 + 5 mm."""
    change_mm = cranks.crank_length_change_mm(172.5, 167.5)

    assert cranks.saddle_height_change_mm(change_mm) == pytest.approx(5)
    assert cranks.knee_room_gained_mm(change_mm) == pytest.approx(10)


def test_measured_stance_of_one_side():
    """drivetrain-106: stance 165 mm, the right arm 5 mm further out; the left at 80, the right at 85 mm."""
    stance_mm = cranks.q_factor_from_sides_mm(80, 85)

    assert stance_mm == pytest.approx(165)
    assert cranks.pedal_reach_out_mm(stance_mm, 95) == pytest.approx((80 + 95 + 85 + 95) / 2)


@pytest.mark.parametrize(("ring", "new_ring", "stay_mm"), [(44, 48, 420), (46, 50, 405), (50, 46, 410)])
def test_ring_change_by_the_printed_rule_of_chain_length(ring, new_ring, stay_mm):
    """drivetrain-58: F/2 half-links for a ring of F teeth, so four teeth more are a pair of half-links."""
    rule = {teeth: 0.157 * stay_mm + teeth / 2 + 28 / 2 + 2 for teeth in (ring, new_ring)}

    assert cranks.ring_link_change_half_links(ring, new_ring) == pytest.approx(rule[new_ring] - rule[ring])


# ---- frame fit ------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("hub_mm", "frame_mm", "mismatch_mm"),
    # trade-107, drivetrain-1: 120, 126, 130 and 135 mm are the widths in print.
    [(130, 126, 4), (126, 130, 4), (135, 130, 5), (126, 120, 6)],
)
def test_hub_mismatch_between_printed_widths(hub_mm, frame_mm, mismatch_mm):
    difference_mm = frame_fit.hub_width_difference_mm(hub_mm, frame_mm)

    assert frame_fit.hub_mismatch_mm(difference_mm) == mismatch_mm


def test_wheel_flop():
    """checksb-4: 10 mm of trail at 30° give 4.330127 mm; sin and cos change places at 60°."""
    assert frame_fit.wheel_flop_mm(10, 60) == pytest.approx(4.330127, abs=1e-6)


@pytest.mark.parametrize(
    ("longer_mm", "wheelbase_mm", "published_deg", "tolerance_deg"),
    [
        # checksb-5: 0.0521° a millimetre with a wheelbase of 1,058 mm, the fork's lean counted in.
        (10, 1058, 0.521, 0.03),
        (40, 1058, 2.084, 0.1),
        # checksb-6: a block of 10 mm under the wheel, measured as roughly half a degree.
        (10, 1000, 0.5, 0.1),
    ],
)
def test_head_angle_slackened(longer_mm, wheelbase_mm, published_deg, tolerance_deg):
    found_deg = frame_fit.head_angle_slackened_deg(400, 400 + longer_mm, wheelbase_mm)

    assert found_deg == pytest.approx(published_deg, abs=tolerance_deg)


def test_mudguard_width():
    """frame-fit-28: 10 to 12 mm wider than the tyre."""
    assert frame_fit.mudguard_width_wanted_mm(35) == pytest.approx(45)
    assert frame_fit.mudguard_width_wanted_mm(35, 12) == pytest.approx(47)
    assert 10 <= frame_fit.mudguard_over_tyre_mm(45, 35) <= 12

"""Drivetrain calculations: what geometry and physics demand of them, and the helpers over whole cassettes."""

from __future__ import annotations

from math import hypot

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as some

from knowledge.calculation import OutOfRangeError
from knowledge.calculations import drivetrain as calc
from knowledge.tables import rows

PULL = some.floats(1.5, 5)
RATIO = some.floats(0.9, 2)
PITCH = some.floats(3, 6)
STAY = some.floats(350, 500)
RING = some.integers(22, 60)
SPROCKET = some.integers(9, 52)


@given(PITCH, PULL)
def test_a_derailleur_of_the_fitting_ratio_leaves_no_error(pitch_mm, pull_mm):
    ratio = calc.fitting_actuation_ratio(pitch_mm, pull_mm)
    if not 0.5 <= ratio <= 3:
        return
    travel = calc.travel_per_click_mm(pull_mm, ratio)

    assert calc.indexing_error_mm(travel, pitch_mm) == pytest.approx(0, abs=1e-9)


@given(PITCH, RATIO)
def test_a_lever_of_the_fitting_pull_leaves_no_error(pitch_mm, ratio):
    travel = calc.travel_per_click_mm(calc.fitting_cable_pull_mm(pitch_mm, ratio), ratio)

    assert calc.indexing_error_mm(travel, pitch_mm) == pytest.approx(0, abs=1e-9)


@given(some.floats(-2, 2), some.integers(2, 13))
def test_setting_the_middle_halves_the_worst_error(error_mm, speeds):
    """Walks the cassette sprocket by sprocket from the middle, instead of trusting the formula."""
    middle = (speeds - 1) / 2
    worst = max(abs((click - middle) * error_mm) for click in range(speeds))
    accumulated = calc.accumulated_indexing_error_mm(error_mm, speeds)

    assert calc.worst_indexing_error_mm(accumulated) == pytest.approx(worst, abs=1e-9)


@given(PITCH, some.floats(1.2, 2), some.integers(2, 13))
def test_stack_and_pitch_are_each_others_inverse(pitch_mm, thickness_mm, speeds):
    stack = calc.cassette_stack_width_mm(pitch_mm, thickness_mm, speeds)
    if stack >= 5:
        assert calc.sprocket_pitch_mm(stack, thickness_mm, speeds) == pytest.approx(pitch_mm)


@settings(max_examples=50)
@given(STAY, RING, SPROCKET)
def test_the_exact_loop_is_the_length_of_a_walked_line(stay_mm, ring, sprocket):
    """Tangents by Pythagoras, arcs by walking small steps round each circle."""
    loop = float(calc.big_pair_loop_links(stay_mm, ring, sprocket))
    big, small = 12.7 * ring / (2 * np.pi), 12.7 * sprocket / (2 * np.pi)
    lean = np.arcsin((big - small) / stay_mm)
    tangent = (stay_mm**2 - (big - small) ** 2) ** 0.5

    def arc(radius: float, turn: float) -> float:
        angles = np.linspace(0, turn, 2001)
        steps = zip(np.diff(radius * np.cos(angles)), np.diff(radius * np.sin(angles)), strict=True)
        return sum(hypot(x, y) for x, y in steps)

    walked_mm = 2 * tangent + arc(big, np.pi + 2 * lean) + arc(small, np.pi - 2 * lean)
    assert loop == pytest.approx(walked_mm / 12.7, abs=0.001)


@given(STAY, RING, SPROCKET)
def test_the_metric_count_is_never_longer_than_the_exact_one_and_hardly_shorter(stay_mm, ring, sprocket):
    exact = float(calc.chain_length_exact_links(calc.big_pair_loop_links(stay_mm, ring, sprocket)))
    short = exact - float(calc.chain_length_links(stay_mm, ring, sprocket))

    allowed = 0.0005 * stay_mm + 12.7 * (ring - sprocket) ** 2 / (4 * np.pi**2 * stay_mm) * 1.05
    assert -0.001 <= short <= allowed


@given(some.floats(60, 140))
def test_a_chain_is_cut_to_the_next_even_number(links):
    cut = float(calc.chain_to_fit_links(links))

    assert cut % 2 == 0
    assert links <= cut < links + 2


@given(STAY, RING, SPROCKET)
def test_moving_the_axle_takes_up_the_slack(stay_mm, ring, sprocket):
    """With the axle moved back, the loop is a whole number of pairs of links."""
    move = float(calc.axle_move_for_chain_mm(stay_mm, ring, sprocket))
    loop = float(calc.big_pair_loop_links(stay_mm + move, ring, sprocket))

    across = 12.7 * (ring - sprocket) / (2 * np.pi)
    # Half of a pair of links at most, a little more where the two runs are not parallel to the stays.
    most = 12.7 / (1 - (across / stay_mm) ** 2) ** 0.5

    assert -1e-6 <= move <= most + 0.01
    assert abs(loop / 2 - round(loop / 2)) < 0.003


@given(some.floats(0, 3))
def test_wear_on_a_rule_and_back(wear_pct):
    assert calc.chain_elongation_pct(304.8 + calc.rule_excess_mm(wear_pct)) == pytest.approx(
        wear_pct, abs=1e-6
    )


def test_wear_limits_never_rise_with_more_sprockets():
    limits = calc.chain_wear_limit_pct(np.arange(1, 14))

    assert np.all(np.diff(limits) <= 0)
    assert limits.min() > 0


@given(some.floats(1, 12), some.floats(30, 120))
def test_cadence_and_speed_are_each_others_inverse(metres, cadence):
    speed = calc.speed_at_cadence_kmh(metres, cadence)

    assert calc.cadence_at_speed_rpm(metres, speed) == pytest.approx(cadence)


@given(some.floats(0, 700), some.floats(0, 300))
def test_friction_of_two_bends_multiplies(first_deg, second_deg):
    both = calc.housing_friction_ratio(first_deg + second_deg)

    assert both == pytest.approx(
        calc.housing_friction_ratio(first_deg) * calc.housing_friction_ratio(second_deg)
    )


@given(some.floats(80, 400), some.floats(50, 150), some.floats(3, 20))
def test_climbing_gears_hold_the_power(power_w, mass_kg, slope_pct):
    """The speed is the one at which the force along the slope takes exactly the power that arrives."""
    speed = float(calc.climbing_speed_kmh(power_w, mass_kg, slope_pct))
    along, across = slope_pct / 100, 1.0
    length = hypot(along, across)
    force = mass_kg * 9.80665 * (along / length + 0.006 * across / length)

    assert force * speed / 3.6 == pytest.approx(power_w * 0.96, rel=1e-9)


@given(some.floats(4, 12), some.floats(1900, 2300), some.floats(50, 90), some.integers(22, 40))
def test_the_climbing_sprocket_gives_the_cadence_back(speed_kmh, circumference_mm, cadence, ring):
    ratio = calc.climbing_ratio(speed_kmh, circumference_mm, cadence)
    sprocket = float(calc.climbing_sprocket_teeth(ring, ratio))
    metres = circumference_mm / 1000 * ring / sprocket

    assert calc.cadence_at_speed_rpm(metres, speed_kmh) == pytest.approx(cadence)


def test_largest_sprocket_by_capacity_uses_the_capacity_up():
    sprocket = calc.largest_sprocket_by_capacity_teeth(35, 50, 34, 11)

    assert calc.capacity_margin_teeth(35, calc.capacity_needed_teeth(50, 34, sprocket, 11)) == 0


def test_a_wider_chain_leaves_less_air():
    widths = np.array([5.2, 5.5, 5.9, 6.6, 7.1])
    air = calc.chain_side_clearance_mm(3.95, 1.6, widths)

    assert np.all(np.diff(air) < 0)
    assert air[2] > 0 > air[3], "a ten-speed chain clears on ten sprockets, a nine-speed one rubs"


@pytest.mark.parametrize("chain", rows("drivetrain/chain_widths"), ids=lambda row: str(row["id"]))
def test_every_chain_clears_on_the_cassette_it_is_sold_for(chain):
    pitches = [
        row
        for row in rows("drivetrain/sprocket_pitches")
        if row["speeds"] == chain["chain_speeds"] and isinstance(row["sprocket_thickness_mm"], float)
    ]
    for row in pitches:
        air = calc.chain_side_clearance_mm(
            row["sprocket_pitch_mm"], row["sprocket_thickness_mm"], chain["chain_outer_width_mm"]
        )
        play = calc.chain_inner_play_mm(chain["chain_inner_width_mm"], row["sprocket_thickness_mm"])
        assert air > 0, row["id"]
        assert play > 0, row["id"]


@pytest.mark.parametrize(
    ("ring", "sprocket", "patches"),
    [(48, 16, 1), (46, 18, 9), (49, 17, 17), (44, 16, 4), (42, 14, 1)],
)
def test_skid_patches_counted_by_turning_the_cranks(ring, sprocket, patches):
    """Where the wheel stands after each whole turn of the cranks, until it comes round."""
    places = {(turn * ring) % sprocket for turn in range(sprocket)}

    assert len(places) == patches
    assert calc.skid_patches_count(ring, sprocket) == patches


def test_a_spacer_for_a_body_that_is_too_short_is_refused():
    with pytest.raises(OutOfRangeError, match="body_spare_mm"):
        calc.cassette_spacer_mm(calc.body_spare_mm(34.95, calc.cassette_body_needed_mm(11, 28, "road")))


def test_a_mountain_cassette_of_eleven_goes_on_the_older_body():
    assert calc.cassette_body_needed_mm(11, 32, "mountain") == 34.95


def test_pitch_by_speeds_holds_for_an_unknown_number_too():
    """While the number is not known, whole numbers in the range are tried."""
    pitches = calc.usual_sprocket_pitch_mm(np.linspace(8, 12, 41))

    assert set(np.round(pitches, 2)) == {4.8, 4.34, 3.95, 3.78, 3.55}


# ---- whole sets of rings and sprockets ------------------------------------------------------------------

ROAD_RINGS, ROAD_SPROCKETS = [34, 50], [11, 12, 13, 14, 15, 17, 19, 21, 24, 28]


def test_gears_come_lowest_first_and_complete():
    every = calc.gears(ROAD_RINGS, ROAD_SPROCKETS)

    assert len(every) == 20
    assert every[0] == (34, 28)
    assert every[-1] == (50, 11)
    assert [gear.ratio for gear in every] == sorted(gear.ratio for gear in every)


def test_duplicate_gears_are_close_and_on_different_rings():
    pairs = calc.duplicate_gears(ROAD_RINGS, ROAD_SPROCKETS, within_pct=3)

    assert pairs
    for one, other in pairs:
        assert one.ring_teeth != other.ring_teeth
        assert 0 <= other.ratio / one.ratio - 1 <= 0.03
    assert calc.duplicate_gears([40], ROAD_SPROCKETS) == []


def test_cross_chained_gears_are_big_big_and_small_small():
    assert set(calc.cross_chained_gears(ROAD_RINGS, ROAD_SPROCKETS)) == {(50, 28), (34, 11)}
    assert set(calc.cross_chained_gears(ROAD_RINGS, ROAD_SPROCKETS, ends=2)) == {
        (50, 28), (50, 24), (34, 11), (34, 12),
    }  # fmt: skip
    assert calc.cross_chained_gears([40], ROAD_SPROCKETS) == []


@pytest.mark.parametrize(
    ("rings", "sprockets", "told"),
    [
        ([], [11, 12], "rings: expected at least one"),
        ([50], [], "sprockets: expected at least one"),
        ([50, 50], [11], "rings: a tooth count stands twice"),
        ([50], [11, 3], "sprockets: expected 5 teeth or more, got 3"),
    ],
)
def test_lists_that_are_no_bicycle_are_refused(rings, sprockets, told):
    with pytest.raises(ValueError, match=told):
        calc.gears(rings, sprockets)


def test_no_end_sprockets_is_refused():
    with pytest.raises(ValueError, match="ends"):
        calc.cross_chained_gears(ROAD_RINGS, ROAD_SPROCKETS, ends=0)


def test_cassette_steps_in_any_order():
    assert calc.cassette_steps_pct([28, 21, 24]) == pytest.approx(calc.cassette_steps_pct([21, 24, 28]))
    assert calc.cassette_steps_pct([11]) == []
    with pytest.raises(ValueError, match="at least one"):
        calc.cassette_steps_pct([])

"""What must hold for frame and cockpit whatever the numbers."""

from math import hypot

import pytest
from hypothesis import given
from hypothesis import strategies as st

from knowledge.calculations.frame_fit import (
    bar_height_change_mm,
    bar_reach_change_mm,
    bar_shim_wall_mm,
    front_centre_mm,
    headset_code,
    post_insertion_margin_mm,
    post_insertion_needed_mm,
    post_length_needed_mm,
    post_shim_wall_mm,
    saddle_above_axle_mm,
    saddle_behind_axle_mm,
    spacers_to_remove_mm,
    steerer_clamped_mm,
    stem_reach_mm,
    stem_rise_mm,
    toe_overlap_margin_mm,
    trail_mm,
    wheel_flop_mm,
    wheelbase_mm,
)
from knowledge.tables import rows

stems = st.floats(min_value=30, max_value=160)
angles = st.floats(min_value=-40, max_value=40)
heads = st.floats(min_value=60, max_value=80)


@given(stems, angles, heads)
def test_a_stem_is_as_long_as_its_rise_and_reach(length, angle, head):
    assert hypot(stem_rise_mm(length, angle, head), stem_reach_mm(length, angle, head)) == (
        pytest.approx(length)
    )


@given(stems, angles, heads)
def test_the_same_stem_moves_nothing(length, angle, head):
    assert bar_height_change_mm(length, angle, length, angle, head) == 0
    assert bar_reach_change_mm(length, angle, length, angle, head) == 0


@given(heads, st.floats(min_value=1, max_value=60))
def test_spacers_raise_the_bar_and_bring_it_closer(head, spacers):
    assert bar_height_change_mm(100.0, 6.0, 100.0, 6.0, head, spacers) > 0
    assert bar_reach_change_mm(100.0, 6.0, 100.0, 6.0, head, spacers) < 0


@given(st.floats(min_value=500, max_value=900), st.floats(min_value=60, max_value=80))
def test_saddle_height_is_the_long_side(height, angle):
    assert hypot(saddle_behind_axle_mm(height, angle), saddle_above_axle_mm(height, angle)) == (
        pytest.approx(height)
    )


@given(heads, st.floats(min_value=30, max_value=60), st.floats(min_value=1, max_value=20))
def test_more_offset_less_trail_and_flop(head, offset, more):
    trail, less = trail_mm(340.0, head, offset), trail_mm(340.0, head, offset + more)

    assert less < trail
    assert wheel_flop_mm(less, head) < wheel_flop_mm(trail, head)


@given(st.floats(0, 200), st.floats(20, 35), st.floats(0, 150))
def test_every_demand_on_the_post_is_met(mark, diameter, joint):
    needed = post_insertion_needed_mm(mark, diameter, joint)

    assert needed >= mark
    assert needed >= 2.5 * diameter
    assert needed >= joint + 25


def test_the_post_worked_out_has_just_enough_in_the_frame():
    needed = 100.0
    post = post_length_needed_mm(740.0, 480.0, needed, 50.0)

    assert post_insertion_margin_mm(post - (740.0 - 480.0 - 50.0), needed) == 0


def test_a_bar_thicker_than_the_clamp_needs_no_shim_but_another_stem():
    assert bar_shim_wall_mm(25.4, 26.0) < 0
    assert post_shim_wall_mm(27.2, 27.2) == 0


def test_a_steerer_that_stands_out_fills_the_clamp():
    assert steerer_clamped_mm(40.0, -5.0) == 40
    assert spacers_to_remove_mm(-5.0) == -8


def test_wheelbase_is_longer_than_neither_half_allows():
    front = front_centre_mm(385.0, 560.0, 70.0, 73.0, 45.0)

    assert wheelbase_mm(front, 410.0, 70.0) < front + 410
    assert toe_overlap_margin_mm(80.0, 80.0) == 0


@pytest.mark.parametrize("text", ["", "44/28.6", "ZS44", "XX44/28.6", "ZS 44-28.6"])
def test_a_code_that_is_none_is_refused(text):
    with pytest.raises(ValueError, match=r"expected a form such as ZS44/28\.6"):
        headset_code(text)


def test_codes_are_read_as_riders_write_them():
    assert headset_code(" zs44 / 28.6 ") == headset_code("ZS44/28.6")


def test_pairs_that_are_a_yes_if_say_what_must_hold():
    for row in rows("frame-fit/axle_pairs"):
        assert (row["verdict"] == "yes-if") == bool(row["condition"]), row["id"]

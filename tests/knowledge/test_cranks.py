"""What must hold for cranks whatever the numbers."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from knowledge.calculation import OutOfRangeError
from knowledge.calculations.cranks import (
    bolt_circle_diameter_mm,
    crank_length_by_leg_mm,
    crank_length_change_mm,
    gain_ratio_change_pct,
    knee_room_gained_mm,
    pedal_ground_clearance_mm,
    pedal_strike_lean_deg,
    ring_link_change_half_links,
    saddle_height_change_mm,
    saddle_shift_back_mm,
    same_foot_speed_cadence_rpm,
    stance_change_from_arm_mm,
)
from knowledge.tables import rows

arms = st.floats(min_value=80, max_value=250)


@given(arms, arms)
def test_going_there_and_back_changes_nothing(old, new):
    there, back = crank_length_change_mm(old, new), crank_length_change_mm(new, old)

    assert saddle_height_change_mm(there) == -saddle_height_change_mm(back)
    assert same_foot_speed_cadence_rpm(float(same_foot_speed_cadence_rpm(90.0, old, new)), new, old) == (
        pytest.approx(90.0)
    )


@given(arms, arms)
def test_shorter_arms_push_harder_and_give_room(old, new):
    change = crank_length_change_mm(old, new)

    assert (gain_ratio_change_pct(old, new) > 0) == (change < 0)
    assert (knee_room_gained_mm(change) > 0) == (change < 0)


@given(arms)
def test_saddle_slides_back_by_less_than_it_rises(new):
    change = crank_length_change_mm(250.0, new)

    assert 0 <= saddle_shift_back_mm(change) <= saddle_height_change_mm(change)


@given(st.floats(min_value=90, max_value=200), st.floats(min_value=90, max_value=200))
def test_longer_arms_strike_earlier(one, other):
    short, long = sorted((one, other))
    early = pedal_strike_lean_deg(pedal_ground_clearance_mm(280.0, long), 170.0)

    assert early <= pedal_strike_lean_deg(pedal_ground_clearance_mm(280.0, short), 170.0)


def test_the_same_arm_leaves_the_stance_alone():
    assert stance_change_from_arm_mm(18.0, 18.0) == 0


@given(st.floats(min_value=400, max_value=1200))
def test_leg_rule_gives_lengths_in_steps_of_five(leg):
    assert float(crank_length_by_leg_mm(leg)) % 5 == 0


@pytest.mark.parametrize(("old", "new", "links"), [(46, 50, 2), (50, 46, -2), (50, 52, 2), (50, 50, 0)])
def test_chain_changes_in_pairs_and_never_too_short(old, new, links):
    assert ring_link_change_half_links(old, new) == links


def test_two_bolts_make_no_circle():
    with pytest.raises(OutOfRangeError, match="chainring_bolts_count: expected 3 to 10, got 2"):
        bolt_circle_diameter_mm(60.0, 2)


def test_pairs_that_are_a_yes_if_say_what_must_hold():
    for row in rows("cranks/spindle_fits"):
        assert (row["verdict"] == "yes-if") == bool(row["condition"]), row["id"]


def test_no_pair_of_different_fittings_is_a_plain_yes():
    for row in rows("cranks/spindle_fits"):
        if row["verdict"] == "yes":
            assert row["arm_fitting"] == row["spindle_fitting"]

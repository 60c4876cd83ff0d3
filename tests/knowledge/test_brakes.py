"""Brakes: what physics says must rise, fall or undo itself, and the tables' own agreement."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from knowledge.calculation import OutOfRangeError
from knowledge.calculations.brakes import (
    both_brakes_deceleration_m_s2,
    braking_distance_m,
    cable_pull_match_pct,
    disc_hand_force_n,
    fluid_boiling_point_degc,
    front_axle_load_braking_n,
    front_brake_deceleration_m_s2,
    grip_limit_deceleration_m_s2,
    ideal_front_share_pct,
    load_transfer_n,
    mean_deceleration_m_s2,
    pad_distance_left_km,
    pitch_over_deceleration_m_s2,
    rear_axle_load_braking_n,
    rear_brake_deceleration_m_s2,
    road_force_of_torque_n,
    rotor_drag_rise_k,
    rotor_effective_radius_mm,
    rotor_pad_force_n,
    rotor_torque_n_m,
)
from knowledge.tables import rows

QUICK = settings(max_examples=40, deadline=None)
setbacks = st.floats(450, 750)
heights = st.floats(800, 1300)
wheelbases = st.floats(950, 1250)
grips = st.floats(0.1, 1.1)


@QUICK
@given(speed_kmh=st.floats(5, 80), deceleration=st.floats(0.5, 7))
def test_distance_and_deceleration_undo_each_other(speed_kmh, deceleration):
    """The tape measures what the formula promised."""
    stop_m = braking_distance_m(speed_kmh, deceleration)

    assert mean_deceleration_m_s2(speed_kmh, max(stop_m, 0.3)) <= deceleration * (1 + 1e-9)


@QUICK
@given(grip=grips, setback=setbacks, height=heights, wheelbase=wheelbases)
def test_neither_brake_alone_beats_both(grip, setback, height, wheelbase):
    """Both brakes together reach what grip and pitch-over allow; one alone never more."""
    both = both_brakes_deceleration_m_s2(
        grip_limit_deceleration_m_s2(grip), pitch_over_deceleration_m_s2(setback, height)
    )

    assert front_brake_deceleration_m_s2(grip, setback, height, wheelbase) <= both * (1 + 1e-9)
    assert rear_brake_deceleration_m_s2(grip, setback, height, wheelbase) <= both * (1 + 1e-9)


@QUICK
@given(grip=grips, setback=setbacks, height=heights, wheelbase=wheelbases)
def test_at_the_front_brakes_limit_the_front_tyre_uses_just_its_grip_or_the_rear_lifts(
    grip, setback, height, wheelbase
):
    """Checked from the loads, not from the formula: force over load is grip, or the rear is in the air."""
    mass = 90
    a = front_brake_deceleration_m_s2(grip, setback, height, wheelbase)
    front_n = front_axle_load_braking_n(mass, setback, wheelbase, load_transfer_n(mass, a, height, wheelbase))
    rear_n = rear_axle_load_braking_n(mass, front_n)

    slides = mass * a == pytest.approx(grip * front_n, rel=1e-6)
    lifts = rear_n == pytest.approx(0, abs=1e-6)
    assert slides or lifts
    assert mass * a <= grip * front_n * (1 + 1e-9)


@QUICK
@given(grip=grips, setback=setbacks, height=heights, wheelbase=wheelbases)
def test_at_the_rear_brakes_limit_the_rear_tyre_uses_just_its_grip(grip, setback, height, wheelbase):
    """Checked from the loads."""
    mass = 90
    a = rear_brake_deceleration_m_s2(grip, setback, height, wheelbase)
    front_n = front_axle_load_braking_n(mass, setback, wheelbase, load_transfer_n(mass, a, height, wheelbase))

    assert mass * a == pytest.approx(grip * rear_axle_load_braking_n(mass, front_n), rel=1e-6)


@QUICK
@given(setback=setbacks, height=heights, wheelbase=wheelbases, deceleration=st.floats(0, 3))
def test_the_ideal_front_share_is_the_front_wheels_share_of_the_load(
    setback, height, wheelbase, deceleration
):
    """Both tyres work equally hard when force follows load."""
    transfer_n = load_transfer_n(90, deceleration, height, wheelbase)
    front_n = front_axle_load_braking_n(90, setback, wheelbase, transfer_n)

    assert ideal_front_share_pct(deceleration, setback, height, wheelbase) == pytest.approx(
        100 * front_n / (90 * 9.80665)
    )


@QUICK
@given(
    hand_n=st.floats(5, 200),
    friction=st.floats(0.1, 0.6),
    rotor_mm=st.sampled_from([140.0, 160.0, 180.0, 203.0]),
)
def test_the_hand_force_for_a_braking_force_gives_that_force_back(hand_n, friction, rotor_mm):
    """Forwards through pads and rotor, back through the other formula."""
    radius_mm = rotor_effective_radius_mm(rotor_mm)
    torque_n_m = rotor_torque_n_m(rotor_pad_force_n(hand_n, 6, 4.84), friction, radius_mm)
    road_n = road_force_of_torque_n(torque_n_m, 340)

    if road_n <= 3000:
        assert disc_hand_force_n(road_n, 340, friction, radius_mm, 6, 4.84) == pytest.approx(hand_n)


@QUICK
@given(power_w=st.floats(20, 500), time_s=st.floats(1, 2000))
def test_a_dragged_rotor_warms_with_time_up_to_power_over_cooling(power_w, time_s):
    """Never warmer than the steady state, never cooler than a moment before."""
    now = rotor_drag_rise_k(power_w, 46, 128, time_s, 150)
    later = rotor_drag_rise_k(power_w, 46, 128, time_s * 1.5, 150)

    assert 0 <= now <= later * (1 + 1e-9)
    assert later <= power_w / (46 * 128 / 10000) * (1 + 1e-9)


def test_at_first_a_dragged_rotor_keeps_nearly_all_its_heat():
    """In the first second the rise is energy over heat capacity."""
    assert rotor_drag_rise_k(200, 46, 128, 1, 150) == pytest.approx(200 / (0.150 * 500), rel=0.01)


def test_long_and_short_pull_are_about_a_factor_of_two_apart():
    """Sources trade-72b, trade-99, trade-100: about twice the cable."""
    pull = {row["lever_pull"]: row["lever_pivot_radius_mm"] for row in rows("brakes/lever_pulls")}

    assert cable_pull_match_pct(pull["long"], pull["short"]) == pytest.approx(200)


def test_pads_that_show_no_wear_are_not_promised_for_ever():
    """Wear below what a calliper can see counts as a tenth of a millimetre."""
    assert pad_distance_left_km(2.0, 2.0, 1000) == pytest.approx(15000)


def test_pads_at_their_minimum_have_no_distance_left():
    """Nor have pads below it."""
    assert pad_distance_left_km(2.0, np.array([0.5, 0.3]), 1000) == pytest.approx([0, 0])


@pytest.mark.parametrize("grade", ["dot-3", "dot-4", "dot-5.1", "mineral"])
def test_water_lowers_every_boiling_point(grade):
    """Wet is never above dry."""
    assert fluid_boiling_point_degc(grade, "wet") < fluid_boiling_point_degc(grade, "dry")


def test_silicone_fluid_is_refused_with_the_grades_that_there_are():
    """The whole message."""
    with pytest.raises(OutOfRangeError) as refused:
        fluid_boiling_point_degc("dot-5", "dry")

    assert str(refused.value) == "brake_fluid: expected one of dot-3, dot-4, dot-5.1, mineral, got dot-5"


def test_every_lever_meets_every_brake_once():
    """The table of pairs is whole: three levers, eight brakes, one verdict each."""
    pairs = [(row["lever_pull"], row["brake_kind"]) for row in rows("brakes/lever_brake_pairs")]

    assert len(pairs) == len(set(pairs)) == 3 * 8


@pytest.mark.parametrize("table", ["brakes/lever_brake_pairs", "brakes/fluid_pairs", "brakes/block_on_rim"])
def test_a_yes_if_has_a_condition_and_nothing_else_has(table):
    """A condition belongs to a yes-if."""
    for row in rows(table):
        assert (row["verdict"] == "yes-if") == bool(row["condition"]), row["id"]


def test_no_fluid_pair_is_a_plain_yes():
    """The maker's own instructions decide in every case."""
    assert {row["verdict"] for row in rows("brakes/fluid_pairs")} == {"yes-if", "not-recommended"}

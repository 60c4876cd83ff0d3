"""What must hold of wheels whatever the numbers: more of this is more of that, and back again."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from knowledge.calculation import OutOfRangeError
from knowledge.calculations import wheels
from knowledge.calculations.brakes import descent_braking_power_w
from knowledge.tables import rows

quick = settings(max_examples=50, deadline=None)


@quick
@given(
    tension_kgf=st.floats(20, 200),
    length_mm=st.floats(150, 310),
    wire_mm=st.floats(1.4, 2.4),
)
def test_pitch_and_tension_are_inverse(tension_kgf, length_mm, wire_mm):
    pitch_hz = wheels.plucked_pitch_hz(tension_kgf, length_mm, wire_mm)

    assert wheels.pitch_tension_kgf(pitch_hz, length_mm, wire_mm) == pytest.approx(tension_kgf)


@quick
@given(
    rim_mm=st.floats(350, 620),
    flange_mm=st.floats(30, 110),
    offset_mm=st.floats(10, 45),
    crosses=st.integers(0, 3),
)
def test_more_crossings_need_longer_spokes(rim_mm, flange_mm, offset_mm, crosses):
    shorter = wheels.spoke_length_mm(rim_mm, flange_mm, offset_mm, wheels.spoke_angle_deg(36, crosses))
    longer = wheels.spoke_length_mm(rim_mm, flange_mm, offset_mm, wheels.spoke_angle_deg(36, crosses + 1))

    assert longer > shorter


@quick
@given(rim_mm=st.floats(350, 620), flange_mm=st.floats(30, 110), offset_mm=st.floats(10, 45))
def test_radial_spokes_are_plain_pythagoras(rim_mm, flange_mm, offset_mm):
    radial_mm = wheels.spoke_length_mm(rim_mm, flange_mm, offset_mm, 0, 0)

    assert radial_mm**2 == pytest.approx(offset_mm**2 + ((rim_mm - flange_mm) / 2) ** 2)


@quick
@given(left_mm=st.floats(10, 45), right_mm=st.floats(10, 45), tight_kgf=st.floats(80, 130))
def test_side_forces_balance(left_mm, right_mm, tight_kgf):
    """The slack side's tension times the sine of its bracing angle is the tight side's."""
    left_length_mm, right_length_mm = 292.0, 290.0
    ratio = wheels.left_to_right_tension_ratio(left_mm, right_mm, left_length_mm, right_length_mm)
    slack_kgf = wheels.slack_side_tension_kgf(tight_kgf, ratio)
    left_kgf, right_kgf = (slack_kgf, tight_kgf) if ratio < 1 else (tight_kgf, slack_kgf)

    pull_left = wheels.missing_spoke_side_pull_kgf(
        left_kgf, wheels.bracing_angle_deg(left_mm, left_length_mm)
    )
    pull_right = wheels.missing_spoke_side_pull_kgf(
        right_kgf, wheels.bracing_angle_deg(right_mm, right_length_mm)
    )

    assert pull_left == pytest.approx(pull_right)
    assert slack_kgf <= tight_kgf


@pytest.mark.parametrize(("spokes", "most"), [(36, 4), (32, 3), (28, 3), (24, 2), (20, 2), (16, 1)])
def test_most_crosses_of_a_usual_road_hub(spokes, most):
    assert wheels.most_crosses(spokes, 45, 600) == most


def test_a_rim_with_offset_holes_evens_the_two_sides_out():
    def ratio(rim_offset_mm):
        left_mm = wheels.left_flange_offset_mm(130, 29, 3, rim_offset_mm)
        right_mm = wheels.right_flange_offset_mm(130, 48, 3, rim_offset_mm)
        return wheels.left_to_right_tension_ratio(left_mm, right_mm, 292, 290)

    assert ratio(0) < ratio(3) < 1


@quick
@given(length_mm=st.floats(200, 310), tension_kgf=st.floats(50, 130))
def test_a_turn_of_the_nipple_stretches_the_spoke_by_its_pitch(length_mm, tension_kgf):
    per_turn_kgf = wheels.tension_per_turn_kgf(length_mm)

    assert wheels.spoke_stretch_mm(per_turn_kgf, length_mm) == pytest.approx(wheels.SPOKE_THREAD_PITCH_MM)


@quick
@given(
    heat_w=st.floats(10, 3000),
    cooling=st.floats(1, 30),
    warming_s=st.floats(10, 500),
    time_s=st.floats(1, 5000),
)
def test_a_rim_never_passes_its_final_temperature_and_time_to_it_is_inverse(
    heat_w, cooling, warming_s, time_s
):
    steady = wheels.steady_rim_temperature_degc(20, heat_w, cooling)
    reached = wheels.rim_temperature_degc(20, steady, warming_s, time_s)

    assert 20 <= reached <= steady
    if 31 < reached < min(590, 20 + 0.99 * (steady - 20)):
        assert wheels.time_to_rim_limit_s(20, steady, warming_s, reached) == pytest.approx(time_s, rel=1e-3)


def test_a_limit_that_is_never_reached_is_a_whole_day_off():
    assert wheels.time_to_rim_limit_s(20, 100, 50, 121) == wheels.NEVER_S
    assert wheels.time_to_rim_limit_s(20, 121, 50, 121) == wheels.NEVER_S


@pytest.mark.parametrize("coasting_kmh", [40.0, 60.0, 90.0])
def test_the_hottest_rim_speed_is_the_peak_of_heat_over_cooling(coasting_kmh):
    """Found by trying: braking power over cooling, drag with the square of speed and no rolling."""

    def rise(speed_kmh):
        heat = speed_kmh - speed_kmh**3 / coasting_kmh**2
        return heat / wheels.air_cooling_w_m2_k(speed_kmh, 25)

    peak_kmh = wheels.hottest_rim_speed_kmh(coasting_kmh)

    assert rise(peak_kmh) > rise(0.95 * peak_kmh)
    assert rise(peak_kmh) > rise(1.05 * peak_kmh)


@quick
@given(speed_kmh=st.floats(5, 60), slope_pct=st.floats(2, 20), mass_kg=st.floats(50, 200))
def test_slope_less_air_is_what_the_brakes_get_but_for_rolling(speed_kmh, slope_pct, mass_kg):
    left_w = wheels.slope_power_w(mass_kg, slope_pct, speed_kmh) - wheels.air_drag_power_w(speed_kmh, 0.5)
    brakes_w = descent_braking_power_w(mass_kg, slope_pct, speed_kmh, 0.5, 0.004)

    assert brakes_w == pytest.approx(max(left_w, 0), abs=0.0042 * mass_kg * 9.81 * speed_kmh / 3.6)


def test_carbon_tracks_get_hotter_than_an_aluminium_rim_with_the_same_heat():
    materials = {row["rim_material"]: row for row in rows("wheels/rim_materials")}

    def rise(material):
        share = materials[material]["heated_rim_share_pct"]
        return wheels.steady_rim_temperature_degc(0, 200, wheels.rim_cooling_w_k(60, 0.13, share))

    assert rise("carbon") > 2 * rise("aluminium")


def test_a_rim_worn_past_its_limit_has_no_life_left():
    assert wheels.rim_wall_mm(1.2, 2.0) == 0
    assert wheels.rim_life_left_km(1.8, 0.9, 5000) == 0


def test_equal_diameters_leave_height_and_brakes_alone():
    assert wheels.ride_height_change_mm(622, 28, 622, 28) == 0
    assert wheels.brake_track_shift_mm(622, 622) == 0


def test_a_flange_within_3_mm_of_the_middle_is_refused_by_name():
    with pytest.raises(OutOfRangeError, match="flange_offset_mm: expected 3 to 75 mm, got 2"):
        wheels.spoke_length_mm(600, 58, 2, 60)


@pytest.mark.parametrize("row", rows("wheels/runout_guidance"), ids=lambda row: row["id"])
def test_guidance_lies_within_the_published_limits(row):
    published = [r["runout_limit_mm"] for r in rows("wheels/runout_limits") if "side" in r["direction"]]

    assert min(published) <= row["runout_good_mm"] < row["runout_limit_mm"] <= max(published)

"""What physics says must rise, fall or come back, whatever the numbers."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from knowledge.calculations import lubrication as lub
from knowledge.tables import rows

grades = st.floats(15, 1000)
indexes = st.floats(0, 200)
temperatures = st.floats(-20, 99)


@given(grades, indexes, temperatures)
@settings(max_examples=60)
def test_oil_thins_as_it_warms(grade, index, temperature_degc):
    assert lub.grade_viscosity_mm2_s(grade, temperature_degc, index) > lub.grade_viscosity_mm2_s(
        grade, temperature_degc + 1, index
    )


@given(grades, st.floats(0, 150), st.floats(-20, 30))
@settings(max_examples=60)
def test_a_higher_index_thickens_less_in_the_cold(grade, index, temperature_degc):
    assert lub.grade_viscosity_mm2_s(grade, temperature_degc, index + 20) < lub.grade_viscosity_mm2_s(
        grade, temperature_degc, index
    )


@given(st.floats(2.1, 300), indexes)
@settings(max_examples=60)
def test_index_and_viscosities_come_back(viscosity_100, index):
    """Index to viscosity at 40 °C and back, by the two independent directions of the standard."""
    viscosity_40 = lub.viscosity_40_from_index_mm2_s(viscosity_100, index)
    low = lub.viscosity_of_index_0_mm2_s(viscosity_100)
    high = lub.viscosity_of_index_100_mm2_s(viscosity_100)

    if viscosity_40 <= 5000:
        assert lub.viscosity_index(viscosity_40, viscosity_100, low, high) == pytest.approx(index, abs=0.01)
    if 8 <= viscosity_40 <= 2000:
        assert lub.viscosity_100_from_index_mm2_s(viscosity_40, index) == pytest.approx(
            viscosity_100, rel=1e-6
        )


@given(st.floats(10, 1000), st.floats(10, 1000), st.floats(0, 100))
@settings(max_examples=60)
def test_a_blend_lies_between_its_oils(first, second, share_pct):
    blend = lub.blend_viscosity_mm2_s(first, second, share_pct)
    assert min(first, second) * (1 - 1e-9) <= blend <= max(first, second) * (1 + 1e-9)


def test_a_blend_of_one_oil_is_that_oil():
    assert lub.blend_viscosity_mm2_s(220, 32, 100) == pytest.approx(220)
    assert lub.blend_viscosity_mm2_s(220, 32, 0) == pytest.approx(32)


@given(st.floats(0.02, 0.5), st.floats(1, 10000), st.floats(0.1, 20))
@settings(max_examples=60)
def test_depth_and_time_in_a_gap_are_inverse(gap_mm, viscosity_mpa_s, depth_mm):
    time_s = lub.gap_penetration_time_s(depth_mm, gap_mm, viscosity_mpa_s)
    if time_s <= 1e7:
        assert lub.gap_penetration_mm(gap_mm, viscosity_mpa_s, time_s) == pytest.approx(depth_mm)


def test_four_times_thicker_takes_four_times_as_long():
    thin = lub.gap_penetration_time_s(2, 0.1, 100)
    thick = lub.gap_penetration_time_s(2, 0.1, 400)
    assert thick == pytest.approx(thin * lub.viscosity_ratio(400, 100))


def test_every_grade_on_offer_has_a_row():
    """A word that the calculation allows is never missing from its table."""
    for grade in lub.GEAR_OIL_GRADES:
        assert lub.gear_oil_lowest_mm2_s(grade) <= lub.gear_oil_viscosity_100_mm2_s(grade)
    for grade in lub.ENGINE_OIL_GRADES:
        assert lub.engine_oil_lowest_mm2_s(grade) <= lub.engine_oil_viscosity_100_mm2_s(grade)
    for kind in lub.LUBRICANT_TYPES:
        for weather in lub.RIDE_WEATHERS:
            usual_km = lub.relubrication_distance_km(kind, weather)
            assert lub.shortest_relubrication_distance_km(kind, weather) < usual_km
            assert usual_km < lub.longest_relubrication_distance_km(kind, weather)


@pytest.mark.parametrize("kind", lub.LUBRICANT_TYPES)
def test_rain_and_mud_never_lengthen_the_interval(kind):
    dry, wet, muddy = (lub.relubrication_distance_km(kind, weather) for weather in lub.RIDE_WEATHERS)
    assert dry > wet > muddy


def test_published_interval_claims_lie_within_what_the_desk_says():
    """Every claim for a named lubricant and weather overlaps the desk's interval for it."""
    for claim in rows("lubrication/relubrication_claims"):
        if "any" in (claim["lubricant_type"], claim["ride_weather"]):
            continue
        kind, weather = str(claim["lubricant_type"]), str(claim["ride_weather"])
        assert float(claim["shortest_km"]) <= lub.longest_relubrication_distance_km(kind, weather) * 1.01
        assert float(claim["longest_km"]) >= lub.shortest_relubrication_distance_km(kind, weather)


def test_mixing_advice_does_not_hang_on_the_order():
    advice = {
        (row["old_thickener"], row["new_thickener"]): row["verdict"]
        for row in rows("lubrication/grease_mixing")
    }
    assert all(advice[new, old] == verdict for (old, new), verdict in advice.items())


def test_wax_in_a_water_bath_cannot_reach_the_least_flash_point():
    assert lub.wax_flash_margin_k(100) > 0
    assert lub.wax_flash_margin_k(150) < 0


def test_a_bicycle_hub_is_slow_for_a_grease():
    """A road hub at 60 km/h stays below a fifth of the factor from which makers thin the oil."""
    turns = 60 / 3.6 * 60 / (math.pi * 0.68)
    assert lub.bearing_speed_factor(15, 28, turns) < 100_000 / 5

"""Bearings and fits: what physics says of them, the look-ups' edges and the helpers' messages."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from knowledge.calculation import OutOfRangeError
from knowledge.calculations import bearings as book
from knowledge.tables import rows

quick = settings(max_examples=40, deadline=None)


@quick
@given(rating=st.floats(500, 20_000), load=st.floats(50, 5_000))
def test_required_rating_undoes_rating_life(rating, load):
    life = float(book.rating_life_mrev(rating, load))

    assert book.required_dynamic_rating_n(load, min(life, 1e6)) == pytest.approx(
        min(rating, load * 1e6 ** (1 / 3))
    )


@quick
@given(rating=st.floats(500, 20_000), load=st.floats(50, 2_500))
def test_twice_the_load_leaves_an_eighth_of_the_life(rating, load):
    assert book.rating_life_mrev(rating, 2 * load) == pytest.approx(
        float(book.rating_life_mrev(rating, load)) / 8
    )


@quick
@given(life=st.floats(0.1, 500), speed=st.floats(10, 2000))
def test_hours_and_turns_undo_each_other(life, speed):
    assert book.wanted_life_mrev(float(book.rating_life_h(life, speed)), speed) == pytest.approx(life)


@quick
@given(radial=st.floats(0, 3000), axial=st.floats(0, 3000))
def test_static_load_is_never_below_the_radial_load(radial, axial):
    assert book.equivalent_static_load_n(radial, axial) >= radial


def test_more_reliability_costs_life():
    factors = [float(book.life_reliability_factor(r)) for r in (50, 90, 95, 98, 99)]

    assert factors == sorted(factors, reverse=True)
    assert factors[1] == pytest.approx(1)


def test_an_even_duty_is_its_own_mean():
    assert book.mean_load_n([500, 500], [60, 240], [0.3, 0.7]) == pytest.approx(500)


@pytest.mark.parametrize(
    ("loads", "speeds", "shares", "message"),
    [
        ([1], [1, 2], [1], "steps: give one load"),
        ([], [], [], "steps: give one load"),
        ([1, 2], [1, 2], [0.5, 0.6], "shares: expected to add up to 1, got 1.1"),
        ([-1], [1], [1], "steps: loads and shares must not be negative"),
        ([1], [0], [1], "speeds must be above zero"),
    ],
)
def test_duty_in_steps_refuses_what_does_not_add_up(loads, speeds, shares, message):
    with pytest.raises(ValueError, match=message):
        book.mean_load_n(loads, speeds, shares)


@pytest.mark.parametrize("designation", book.DESIGNATIONS)
def test_every_designation_is_in_the_table_and_found_by_its_size(designation):
    size = (
        book.bearing_bore_mm(designation),
        book.bearing_outside_diameter_mm(designation),
        book.bearing_width_mm(designation),
    )

    assert size[0] < size[1]
    assert designation in book.designations_of_size(*size)


def test_choice_words_are_the_tables_own():
    known = {str(row["id"]) for row in rows("bearings/boundary_dimensions")}
    rated = {str(row["bearing"]) for row in rows("bearings/load_ratings")}
    materials = {str(row["material"]) for row in rows("bearings/materials")}

    assert known == set(book.DESIGNATIONS)
    assert rated == set(book.RATED)
    assert materials == set(book.MATERIALS)


def test_a_bearing_without_a_printed_rating_has_none():
    with pytest.raises(OutOfRangeError, match="got bearing-6806"):
        book.dynamic_rating_n("bearing-6806")


def test_a_headset_bearing_of_41_8_is_ordered_by_its_size():
    assert book.designations_of_size(30.2, 41.8, 6.5) == ()
    with pytest.raises(ValueError, match="three lengths above 0 mm"):
        book.designations_of_size(0, 42, 7)


@pytest.mark.parametrize("size", [3, 80.01])
def test_sizes_outside_the_table_are_refused(size):
    with pytest.raises(OutOfRangeError, match="over 3 up to and including 80 mm"):
        book.hole_upper_deviation_um("H7", size)


def test_fit_kind_refuses_limits_the_wrong_way_round():
    with pytest.raises(ValueError, match="least 5 is above greatest 4"):
        book.fit_kind(5, 4)


@quick
@given(bore=st.floats(20, 50), oversize=st.floats(0.02, 0.3))
def test_an_oversize_bearing_tightens_the_fit_by_its_oversize(bore, oversize):
    normal = book.shell_clearance_um(bore, 42)
    larger = float(book.oversize_bearing_diameter_mm(42, oversize))

    assert book.oversize_clearance_um(bore, larger) == pytest.approx(float(normal) - 1000 * oversize)


@quick
@given(clearance=st.floats(0, 200))
def test_a_loose_bearing_has_no_grip(clearance):
    interference = float(book.radial_interference_um(clearance))

    assert interference == 0
    assert book.press_fit_pressure_mpa(interference, 42, 1.1, 69) == 0


@quick
@given(push=st.floats(2, 60), ratio=st.floats(1.03, 3), stiffness=st.floats(10, 200))
def test_press_force_undoes_the_interference_of_a_hands_push(push, ratio, stiffness):
    diametral = float(book.hand_push_interference_um(7, ratio, stiffness, push))
    pressure = float(book.press_fit_pressure_mpa(diametral / 2, 42, ratio, stiffness))

    assert book.press_force_kgf(float(book.press_force_n(pressure, 42, 7))) == pytest.approx(push)


@quick
@given(ratio=st.floats(1.05, 5), p_1=st.floats(0, 100), p_2=st.floats(0, 100), depth=st.floats(0, 1))
def test_hoop_and_radial_stress_add_up_to_the_same_everywhere(ratio, p_1, p_2, depth):
    """Lamé: their sum is constant through the wall, and the radial stress meets the pressures."""
    total = book.ring_hoop_stress_mpa(p_1, p_2, ratio, 0) + book.ring_radial_stress_mpa(p_1, p_2, ratio, 0)
    here = book.ring_hoop_stress_mpa(p_1, p_2, ratio, depth) + book.ring_radial_stress_mpa(
        p_1, p_2, ratio, depth
    )

    assert here == pytest.approx(float(total), abs=1e-6)
    assert book.ring_radial_stress_mpa(p_1, p_2, ratio, 0) == pytest.approx(-p_1, abs=1e-6)
    assert book.ring_radial_stress_mpa(p_1, p_2, ratio, 1) == pytest.approx(-p_2, abs=1e-6)


def test_a_steel_bearing_loosens_in_warm_aluminium_and_tightens_in_warm_carbon():
    aluminium = book.thermal_clearance_um(42, float(book.shell_expansion_per_k("aluminium")), 20)
    carbon = book.thermal_clearance_um(42, float(book.shell_expansion_per_k("carbon")), 20)

    assert aluminium > 0 > carbon


def test_heating_above_the_ceiling_shows_as_no_room_left():
    hot = float(book.fitting_temperature_degc(float(book.heating_for_fit_k(60, 15))))

    assert book.heating_room_left_k(hot) < 0


def test_bands_of_the_press_fit_tables_have_their_words():
    """Every pair has a verdict of ours, and a yes-if has its condition."""
    for row in (*rows("bearings/shell_spindles"), *rows("bearings/headset_angles")):
        assert row["verdict"] in {"yes", "yes-if", "not-recommended", "inspect-first"}, row["id"]
        assert (row["verdict"] == "yes-if") == bool(row["condition"]), row["id"]
        assert row["because"], row["id"]


def test_headset_angles_fit_only_where_both_agree():
    for row in rows("bearings/headset_angles"):
        assert (row["verdict"] == "yes-if") == (row["bearing_angles"] == row["seat_angles"])

"""Threads and torque: what physics says of them, and that words and tables agree."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from knowledge.calculation import OutOfRangeError
from knowledge.calculations import threads as book
from knowledge.tables import rows

quick = settings(max_examples=40, deadline=None)
sizes = st.tuples(st.floats(4, 40), st.floats(0.3, 1.5))


@quick
@given(count=st.floats(12, 80))
def test_pitch_and_threads_to_the_inch_undo_each_other(count):
    assert book.thread_count_per_in(float(book.thread_pitch_mm(count))) == pytest.approx(count)


@quick
@given(size=sizes)
def test_the_diameters_of_a_thread_lie_in_order(size):
    d, pitch = size

    assert (
        book.thread_root_diameter_mm(d, pitch)
        < book.thread_minor_diameter_mm(d, pitch)
        < book.tap_drill_mm(d, pitch)
        < book.thread_pitch_diameter_mm(d, pitch)
        < d
        < book.insert_drill_mm(d, pitch)
        < book.insert_tap_mm(d, pitch)
    )


@quick
@given(torque=st.floats(1, 60), d=st.floats(4, 20), factor=st.floats(0.1, 0.3))
def test_torque_and_preload_undo_each_other(torque, d, factor):
    preload = float(book.preload_n(torque, d, factor))

    assert book.torque_for_preload_n_m(preload, d, factor) == pytest.approx(torque)


@quick
@given(friction=st.floats(0.05, 0.3), more=st.floats(0.01, 0.1))
def test_more_friction_leaves_less_preload(friction, more):
    slick = float(book.nut_factor_from_friction(6, 1, friction, friction))
    rough = float(book.nut_factor_from_friction(6, 1, friction + more, friction + more))

    assert book.preload_n(5, 6, rough) < book.preload_n(5, 6, slick)


@quick
@given(torque=st.floats(1, 60), new=st.floats(0.1, 0.3), old=st.floats(0.1, 0.3))
def test_the_corrected_torque_keeps_the_preload(torque, new, old):
    corrected = float(book.same_preload_torque_n_m(torque, new, old))

    assert book.preload_n(corrected, 6, new) == pytest.approx(float(book.preload_n(torque, 6, old)))
    assert book.preload_change_pct(new, old) == pytest.approx(100 * (torque / corrected - 1), abs=1e-9)


@quick
@given(load=st.floats(500, 50_000), shear=st.floats(50, 400))
def test_engagement_and_stripping_force_undo_each_other(load, shear):
    breadth = float(book.internal_shear_breadth_mm(5.97, 5.5, 1))
    length = float(book.engagement_for_load_mm(load, shear, breadth))

    if length <= 120:
        assert book.stripping_force_n(length, breadth, shear) == pytest.approx(load)


@quick
@given(preload=st.floats(100, 20_000), grip=st.floats(5, 100))
def test_heating_a_bolt_by_its_stretch_frees_it(preload, grip):
    stretch = float(book.bolt_stretch_um(preload, grip, 20.1))
    heating = float(book.stud_heating_k(stretch, grip))

    assert heating * 12e-6 * grip * 1000 == pytest.approx(stretch)


def test_no_thread_is_left_of_a_wholly_stripped_hole():
    assert book.engagement_left_mm(5, 8, 0.8) == 0
    assert book.engagement_ratio(float(book.engagement_left_mm(12, 3, 1.27)), 14.29) < 1


def test_a_hole_of_the_screws_own_size_leaves_no_thread():
    assert book.thread_depth_pct(6, 1, 6) == 0
    assert book.thread_depth_pct(6, 1, 5) == pytest.approx(77, abs=0.5)


def test_insert_wall_shows_a_boss_that_is_too_small():
    tap = float(book.insert_tap_mm(6, 1))

    assert book.insert_wall_left_mm(7, tap) < 0
    assert book.insert_wall_left_mm(float(book.insert_boss_mm(tap)), tap) == pytest.approx(tap / 2)


def test_choice_words_are_the_tables_own():
    assert {row["joint"] for row in rows("threads/torques")} == set(book.JOINTS)
    assert {row["bolt_class"] for row in rows("threads/bolt_classes")} == set(book.BOLT_CLASSES)
    assert {row["thread_size"] for row in rows("threads/tap_drills")} == set(book.TAPPED_THREADS)
    assert {row["screw"] for row in rows("threads/clearance_holes")} == set(book.SCREWS)


@pytest.mark.parametrize("joint", book.JOINTS)
def test_listed_torques_rise_from_low_to_high(joint):
    assert 0 < book.joint_torque_low_n_m(joint) <= book.joint_torque_high_n_m(joint)


def test_an_unknown_joint_is_refused():
    with pytest.raises(OutOfRangeError, match="got doorknob"):
        book.joint_torque_low_n_m("doorknob")


@pytest.mark.parametrize("row", rows("threads/bicycle_threads"), ids=lambda row: str(row["id"]))
def test_bicycle_threads_are_a_metric_or_an_inch_pitch(row):
    """A pitch printed wrongly would be neither a round metric nor a whole inch one."""
    pitch = row["thread_pitch_mm"]
    count = 25.4 / pitch

    assert round(pitch, 2) in {0.7, 0.75, 0.8, 1, 1.25, 1.27, 1.5} or abs(count - round(count)) < 0.01

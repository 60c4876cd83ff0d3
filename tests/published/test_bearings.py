"""Bearings and fits against worked examples and printed tables."""

import importlib
from typing import Any

import numpy as np
import pytest

from knowledge.calculations import bearings as book
from knowledge.tables import rows

N_PER_LBF = 4.4482216153
MM_PER_IN = 25.4
MPA_PER_PSI = 0.00689475729


def isofits() -> Any:
    """The open library of ISO 286 limits, whose table was typed independently of ours."""
    # It installs helpers called `module` and `data` at the top level, so it is looked up by name here only.
    return importlib.import_module("isofits")


# Rating life


@pytest.mark.parametrize(
    ("rating", "load", "life_mrev", "tolerance"),
    [
        (5050 * N_PER_LBF, 2400 * N_PER_LBF, 9.316, 1e-3),  # BRG-01, trade-5 ex. 20.1
        (3350 * N_PER_LBF, 1095 * N_PER_LBF, 28.63, 1e-3),  # BRG-06, trade-5 ex. 20.4
    ],
)
def test_rating_life_agrees_with_worked_examples(rating, load, life_mrev, tolerance):
    assert book.rating_life_mrev(rating, load) == pytest.approx(life_mrev, rel=tolerance)


def test_rating_life_in_hours_agrees_with_a_worked_example():
    """BRG-01, trade-5 ex. 20.1: 88.73 h at 1750 r/min."""
    life = book.rating_life_mrev(5050, 2400)

    assert book.rating_life_h(life, 1750) == pytest.approx(88.73, rel=1e-3)


@pytest.mark.parametrize(("rotation_factor", "life_mrev"), [(1.0, 57.3), (1.2, 43.46)])
def test_equivalent_load_and_life_agree_with_a_worked_example(rotation_factor, life_mrev):
    """BRG-02, trade-4 ex. 18-2."""
    load = book.equivalent_load_n(1250, 625, 1.2, rotation_factor=rotation_factor)

    assert book.rating_life_mrev(5590, load) == pytest.approx(life_mrev, rel=2e-3)


def test_duty_in_steps_agrees_with_a_worked_example():
    """BRG-03, trade-4 ex. 18-9."""
    loads, speeds, shares = [3000, 4000, 5000], [1440, 1080, 720], [0.25, 0.5, 0.25]
    load, speed = book.mean_load_n(loads, speeds, shares), book.mean_speed_rpm(speeds, shares)
    rating = book.required_dynamic_rating_n(load, book.wanted_life_mrev(10_000, speed))

    assert load == pytest.approx(3954, rel=2e-3)
    assert speed == pytest.approx(1080)
    assert rating == pytest.approx(34_219, rel=2e-3)


def test_reliability_agrees_with_a_worked_example():
    """BRG-04, trade-4 ex. 18-7."""
    life = book.wanted_life_mrev(6000, 1400) / book.life_reliability_factor(98)

    assert book.required_dynamic_rating_n(3500, life) == pytest.approx(44_589, rel=2e-3)


def test_required_rating_agrees_in_both_printed_forms():
    """BRG-05, trade-113: 24.2 kN plainly and 24.3 kN with the three-parameter form."""
    life = book.wanted_life_mrev(25_000, 350)

    assert life == pytest.approx(525)
    assert book.required_dynamic_rating_n(3000, life) == pytest.approx(24_200, rel=5e-3)
    assert book.weibull_dynamic_rating_n(3000, life) == pytest.approx(24_300, rel=5e-3)


def test_axial_factor_table_gives_the_factor_of_the_worked_example_a_place():
    """BRG-02 uses 1.2; the table must reach it between its rows for 1.31 and 1.15."""
    shares = np.linspace(0.17, 0.28, 200)
    factors = book.axial_factor(shares * 1000, 1000)

    assert factors.max() == pytest.approx(1.31)
    assert factors.min() == pytest.approx(1.15)


# Boundary dimensions


@pytest.mark.parametrize(
    ("designation", "bore", "outside", "width"),
    [  # trade-14 and trade-15; 6806 trade-74; 6902 trade-73
        ("bearing-608", 8, 22, 7),
        ("bearing-628-8", 8, 16, 5),
        ("bearing-618-8", 8, 16, 4),
        ("bearing-6800", 10, 19, 5),
        ("bearing-6900", 10, 22, 6),
        ("bearing-6000", 10, 26, 8),
        ("bearing-6001", 12, 28, 8),
        ("bearing-6002", 15, 32, 9),
        ("bearing-6003", 17, 35, 10),
        ("bearing-6004", 20, 42, 12),
        ("bearing-6005", 25, 47, 12),
        ("bearing-6006", 30, 55, 13),
        ("bearing-6200", 10, 30, 9),
        ("bearing-6201", 12, 32, 10),
        ("bearing-6202", 15, 35, 11),
        ("bearing-6203", 17, 40, 12),
        ("bearing-16005", 25, 47, 8),
        ("bearing-6902", 15, 28, 7),
        ("bearing-6806", 30, 42, 7),
    ],
)
def test_boundary_dimensions_agree_with_the_printed_table(designation, bore, outside, width):
    assert book.bearing_bore_mm(designation) == bore
    assert book.bearing_outside_diameter_mm(designation) == outside
    assert book.bearing_width_mm(designation) == width
    assert designation in book.designations_of_size(bore, outside, width)


def test_the_retail_charts_width_of_6900_is_not_taken_over():
    """A shop's chart (trade-71) prints 7 mm; the bearing table (trade-15) prints 6 mm."""
    assert book.bearing_width_mm("bearing-6900") == 6
    assert "bearing-6900" not in book.designations_of_size(10, 22, 7)


def test_load_ratings_of_one_number_differ_and_the_lowest_is_used():
    """Makers print 5.40, 5.35 and 5.10 kN for 6200; an old textbook prints less than today's catalogues."""
    printed = sorted(
        row["rating_n"]
        for row in rows("bearings/load_ratings")
        if row["bearing"] == "bearing-6200" and row["kind"] == "dynamic"
    )

    assert printed == [5100, 5350, 5400]
    assert book.dynamic_rating_n("bearing-6200") == 5100


# ISO 286

CLASSES = (*book.HOLE_CLASSES, *book.SHAFT_CLASSES)


@pytest.mark.parametrize("tolerance_class", CLASSES)
def test_every_cell_of_the_iso_286_table_agrees_with_the_open_library(tolerance_class):
    """Exact: both tables are printed in whole micrometres."""
    library = isofits()
    feature = "hole" if tolerance_class[0].isupper() else "shaft"
    cells = [row for row in rows("bearings/iso286_limits") if row["tolerance_class"] == tolerance_class]

    assert len(cells) == 7
    for row in cells:
        for size in (row["over_mm"] + 0.5, row["to_mm"]):
            printed = library.isotol(feature, size, tolerance_class, "both")
            assert (row["upper_um"], row["lower_um"]) == printed, (tolerance_class, size)


@pytest.mark.parametrize("tolerance_class", CLASSES)
@pytest.mark.parametrize("size", [3.5, 6, 10, 12, 18, 24, 30, 30.1, 41, 42, 50, 52, 65, 80])
def test_looked_up_deviations_agree_with_the_open_library(tolerance_class, size):
    """The look-up picks the library's step at both sides of every boundary."""
    if tolerance_class[0].isupper():
        feature, upper, lower = "hole", book.hole_upper_deviation_um, book.hole_lower_deviation_um
    else:
        feature, upper, lower = "shaft", book.shaft_upper_deviation_um, book.shaft_lower_deviation_um
    printed = isofits().isotol(feature, size, tolerance_class, "both")

    assert (float(upper(tolerance_class, size)), float(lower(tolerance_class, size))) == printed


def test_thirty_millimetres_belongs_to_the_smaller_step():
    """A textbook (trade-6) and a web table put 30 mm into 30 to 50, H7 = +25: one step too far."""
    assert book.hole_upper_deviation_um("H7", 30) == 21
    assert book.hole_upper_deviation_um("H7", 30) != 25
    assert book.hole_upper_deviation_um("H7", 30.001) == 25


FITS = [
    # id, size, hole, shaft, hole up/low, shaft up/low, least, greatest, kind: all from trade-1
    ("FIT-01", 12, "H7", "h6", 18, 0, 0, -11, 0, 29, "clearance"),
    ("FIT-02", 15, "H7", "g6", 18, 0, -6, -17, 6, 35, "clearance"),
    ("FIT-03", 17, "H7", "k6", 18, 0, 12, 1, -12, 17, "transition"),
    ("FIT-04", 24, "H7", "h6", 21, 0, 0, -13, 0, 34, "clearance"),
    ("FIT-05", 30, "H7", "p6", 21, 0, 35, 22, -35, -1, "interference"),
    ("FIT-06", 37, "N7", "h6", -8, -33, 0, -16, -33, 8, "transition"),
    ("FIT-07", 41, "N7", "h6", -8, -33, 0, -16, -33, 8, "transition"),
    ("FIT-08", 42, "P7", "h6", -17, -42, 0, -16, -42, -1, "interference"),
    ("FIT-09", 46, "H8", "h7", 39, 0, 0, -25, 0, 64, "clearance"),
    ("FIT-10", 47, "K7", "h6", 7, -18, 0, -16, -18, 23, "transition"),
    ("FIT-11", 52, "M7", "h6", 0, -30, 0, -19, -30, 19, "transition"),
    ("FIT-12", 52, "H7", "h6", 30, 0, 0, -19, 0, 49, "clearance"),
    ("FIT-18", 20, "H7", "m6", 21, 0, 21, 8, -21, 13, "transition"),
    ("FIT-19", 26, "M7", "h6", 0, -21, 0, -13, -21, 13, "transition"),
    ("FIT-20", 55, "P7", "h6", -21, -51, 0, -19, -51, -2, "interference"),
]


@pytest.mark.parametrize(
    ("size", "hole", "shaft", "es_hole", "ei_hole", "es", "ei", "least", "greatest", "kind"),
    [row[1:] for row in FITS],
    ids=[row[0] for row in FITS],
)
def test_fits_agree_with_the_printed_ones(size, hole, shaft, es_hole, ei_hole, es, ei, least, greatest, kind):
    upper, lower = book.hole_upper_deviation_um(hole, size), book.hole_lower_deviation_um(hole, size)
    top, bottom = book.shaft_upper_deviation_um(shaft, size), book.shaft_lower_deviation_um(shaft, size)

    assert (upper, lower, top, bottom) == (es_hole, ei_hole, es, ei)
    assert book.least_clearance_um(lower, top) == least
    assert book.greatest_clearance_um(upper, bottom) == greatest
    assert book.fit_kind(float(least), float(greatest)) == kind


@pytest.mark.parametrize(
    ("hole", "shaft", "least", "greatest"),
    [
        ((39, 0), (-25, -50), 25, 89),  # FIT-13, trade-2: 50 mm H8/f7
        ((15, 0), (0, -9), 0, 24),  # FIT-14, trade-3: 10 mm H7/h6
        ((39, 0), (-9, -34), 9, 73),  # FIT-15, trade-4 ex. 4-3
        ((25, 0), (59, 43), -59, -18),  # FIT-16, trade-13 ex. 3.3: 50 mm H7/s6, interference 18 to 59
        ((20, 0), (-5, -18), 5, 38),  # FIT-17, trade-6 ex. 9.5
    ],
)
def test_clearances_agree_with_worked_examples(hole, shaft, least, greatest):
    assert book.least_clearance_um(hole[1], shaft[0]) == least
    assert book.greatest_clearance_um(hole[0], shaft[1]) == greatest


def test_equal_tolerances_agree_with_a_worked_example():
    """FIT-21, trade-6 ex. 9.9: hole 100.000 to 100.035, shaft 100.085 to 100.120 mm."""
    tolerance = book.equal_tolerance_um(50, 120)
    hole_top = book.limit_size_mm(100, tolerance)
    shaft_low = book.limit_size_mm(100, tolerance + 50)
    shaft_top = book.limit_size_mm(100, tolerance + 50 + tolerance)

    assert [float(x) for x in (hole_top, shaft_low, shaft_top)] == pytest.approx([100.035, 100.085, 100.12])


def test_limits_of_size_agree_with_a_worked_example():
    """FIT-22, trade-6 ex. 9.3: hole to 75.225; shaft 75.2625 to 75.4875 mm."""
    hole_top = book.limit_size_mm(75, 225)
    shaft_low = book.limit_size_mm(float(hole_top), 37.5)
    shaft_top = book.limit_size_mm(float(shaft_low), 225)

    assert [float(x) for x in (hole_top, shaft_low, shaft_top)] == pytest.approx([75.225, 75.2625, 75.4875])


UNITS = {"IT5": 7, "IT6": 10, "IT7": 16, "IT8": 25, "IT9": 40}


@pytest.mark.parametrize("row", rows("bearings/iso286_widths"), ids=lambda row: str(row["id"]))
def test_printed_tolerance_widths_agree_with_the_formula(row):
    """Within 1 µm. The formula runs over the main steps, so 50 to 65 and 65 to 80 share 50 to 80."""
    low, high = (50, 80) if row["over_mm"] >= 50 else (row["over_mm"], row["to_mm"])
    unit = book.tolerance_unit_um(float(book.step_mean_mm(low, high)))

    assert book.tolerance_by_formula_um(float(unit), UNITS[row["grade"]]) == pytest.approx(
        row["width_um"], abs=1.0
    )
    assert book.standard_tolerance_um(row["grade"], row["to_mm"]) == row["width_um"]


def test_hole_widths_are_the_tolerance_grades():
    """H7, J7 ... P7 are all IT7 wide, H8 is IT8, the shafts IT6 and IT7: a check across the two tables."""
    for row in rows("bearings/iso286_limits"):
        width = book.standard_tolerance_um(f"IT{row['tolerance_class'][1]}", row["to_mm"])
        assert row["upper_um"] - row["lower_um"] == width, row["id"]


def test_the_textbooks_whole_number_cube_root_is_not_copied():
    """A listing of trade-4 ex. 4-1 divides 1 by 3 in whole numbers and prints 70.013 for 70 mm H8."""
    slip_um = 25 * (0.458 * 70 ** (1 // 3) + 0.001 * 70)

    assert 70 + slip_um / 1000 == pytest.approx(70.013, abs=0.0005)
    assert book.limit_size_mm(70, float(book.hole_upper_deviation_um("H8", 70))) == pytest.approx(70.046)


@pytest.mark.parametrize(
    ("over", "to", "lower_in"),
    # bearings-inch-tolerances, standard class, outside diameter: printed to 0.00005 in
    [(6, 18, -0.0003), (18, 30, -0.00035), (30, 50, -0.0004), (50, 80, -0.0005)],
)
def test_bearing_tolerances_from_memory_agree_with_the_inch_chart(over, to, lower_in):
    for size in (over + 0.5, to):
        assert book.bearing_outside_tolerance_um(size) == pytest.approx(
            lower_in * 25_400, abs=0.00005 * 25_400
        )


# Press fits and heat


def test_press_fit_of_one_material_agrees_with_a_worked_example():
    """PRS-01, trade-7 ex. 8.3: radii 150, 200, 250 mm, radial interference 0.1 mm, 200 GPa."""
    p = float(book.one_material_press_pressure_mpa(100, 400, 1.25, 0.75, 200))
    ring = 200 / 150

    assert p == pytest.approx(12.3, rel=5e-3)
    assert book.hub_hoop_stress_mpa(p, 1.25) == pytest.approx(56.0, rel=5e-3)
    assert book.ring_hoop_stress_mpa(p, 0, 1.25, 0) == pytest.approx(56.0, rel=5e-3)
    assert book.ring_hoop_stress_mpa(p, 0, 1.25, 1) == pytest.approx(43.7, rel=5e-3)
    assert book.ring_hoop_stress_mpa(0, p, ring, 0) == pytest.approx(-56.2, rel=5e-3)
    assert book.ring_hoop_stress_mpa(0, p, ring, 1) == pytest.approx(-43.9, rel=5e-3)


def test_two_materials_reduce_to_one():
    """The general form of trade-8 must give PRS-01 when both parts are the same steel."""
    p = book.press_fit_pressure_mpa(100, 400, 1.25, 200, 0.3, 0.75, 200, 0.3)

    assert p == pytest.approx(float(book.one_material_press_pressure_mpa(100, 400, 1.25, 0.75, 200)))


def test_diametral_interference_in_the_radial_formula_is_out_by_two():
    """The common slip: 0.2 mm on the diameter is 0.1 mm on the radius."""
    right = book.one_material_press_pressure_mpa(float(book.radial_interference_um(-200)), 400, 1.25, 0.75)
    slip = book.one_material_press_pressure_mpa(200, 400, 1.25, 0.75)

    assert right == pytest.approx(12.3, rel=5e-3)
    assert slip == pytest.approx(2 * right)


@pytest.mark.parametrize(("radius", "hoop", "radial"), [(10, 325, -300), (25, 62.5, -37.5), (50, 25, 0)])
def test_thick_tube_agrees_with_a_worked_example(radius, hoop, radial):
    """PRS-02, trade-8 ex. 11.1: radii 10 and 50 mm under 300 MPa."""
    depth = (radius - 10) / 40

    assert book.ring_hoop_stress_mpa(300, 0, 5, depth) == pytest.approx(hoop, rel=1e-3)
    assert book.ring_radial_stress_mpa(300, 0, 5, depth) == pytest.approx(radial, rel=1e-3, abs=1e-9)


def test_compound_tube_agrees_with_a_worked_example():
    """PRS-03, trade-9 ex. 10-11 and 10-12: radii 3, 5, 6 in, fit pressure 1500 psi."""
    p = 1500 * MPA_PER_PSI
    inner = [float(book.ring_hoop_stress_mpa(0, p, 5 / 3, f)) / MPA_PER_PSI for f in (0, 1)]
    outer = [float(book.ring_hoop_stress_mpa(p, 0, 6 / 5, f)) / MPA_PER_PSI for f in (0, 1)]
    # At one radius and one material the two hoop strains differ by the interference over the radius.
    strain = (outer[0] - inner[1]) / 30e6
    heating = book.heating_for_fit_k(
        strain * 254_000, 254, 6.2e-6 * 1.8, heating_margin_k=0
    )  # seat of 10 in, so 254 mm

    assert inner == pytest.approx([-4687.5, -3187.5], rel=1e-3)
    assert outer == pytest.approx([8318.2, 6818.2], rel=1e-3)
    assert float(heating) * 1.8 == pytest.approx(61.86, rel=1e-3)


def test_heating_agrees_with_a_bearing_makers_example():
    """PRS-04, trade-54: 120 mm bore, 65 µm, about 45 °C, and 70 to 80 °C with the margin."""
    assert book.heating_for_fit_k(65, 120, heating_margin_k=0) == pytest.approx(45, rel=0.1)
    assert 65 <= float(book.heating_for_fit_k(65, 120, heating_margin_k=25)) <= 80


def test_shrunk_ring_agrees_with_a_worked_example():
    """PRS-05, trade-9 ex. 1-14: 6 ton/in², E 13 000 ton/in², 6.2e-6 per °F: 74.4 °F."""
    mpa_per_ton = 2240 * MPA_PER_PSI
    heating = book.heating_for_hoop_stress_k(6 * mpa_per_ton, 13.0 * mpa_per_ton, 6.2e-6 * 1.8)

    assert float(heating) * 1.8 == pytest.approx(74.4, rel=5e-3)


# Bottom brackets: contradictions of the sources


def test_pf30_bore_follows_the_four_guides_and_not_the_one():
    """One retail guide prints 42 mm for the 46 mm press-fit family."""
    bores = {r["shell_bore_mm"] for r in rows("bearings/bottom_brackets") if r["shell_kind"] == "press-46"}

    assert bores == {46.0}


@pytest.mark.parametrize("shell_kind", ["threaded-swiss", "threaded-47"])
def test_disputed_thread_hands_are_not_given(shell_kind):
    """The sources contradict each other, so the desk gives no hand and says to measure."""
    (row,) = [r for r in rows("bearings/shell_threads") if r["shell_kind"] == shell_kind]

    assert row["drive_side_hand"] == row["other_side_hand"] == "disputed: measure it / see the maker's sheet"


@pytest.mark.parametrize(
    ("shell_kind", "drive_side", "other_side"),
    [
        ("threaded-english", "left", "right"),
        ("threaded-italian", "right", "right"),
        ("threaded-french", "right", "right"),
    ],
)
def test_agreed_thread_hands(shell_kind, drive_side, other_side):
    """trade-32, trade-34, trade-38."""
    (row,) = [r for r in rows("bearings/shell_threads") if r["shell_kind"] == shell_kind]

    assert (row["drive_side_hand"], row["other_side_hand"]) == (drive_side, other_side)

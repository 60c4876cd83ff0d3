"""Lubrication against what was published: worked examples, standards' tables whole, known misprints."""

from __future__ import annotations

import chemicals
import pytest

from knowledge.calculations import lubrication as lub
from knowledge.tables import rows


def test_viscosity_line_agrees_with_the_worked_sheet():
    """Source trade-26 (LUB-01): 32 and 5.4 mm²/s; A and B printed to four places, the result to one."""
    slope = lub.walther_slope(32, 5.4, zero_celsius_k=273)
    intercept = lub.walther_intercept(slope, 5.4, zero_celsius_k=273)

    assert slope == pytest.approx(3.7449, abs=0.00005)
    assert intercept == pytest.approx(9.5259, abs=0.00005)
    assert lub.oil_viscosity_mm2_s(32, 5.4, 80, zero_celsius_k=273) == pytest.approx(8.5, abs=0.05)


@pytest.mark.parametrize(
    ("viscosity_40", "viscosity_100", "index"),
    # Sources trade-19 (LUB-02) and lub-d2270, 5.1.4 and 6.1.4: printed to 0.01 before rounding.
    [(73.3, 8.86, 92.43), (22.83, 5.05, 156.37)],
)
def test_viscosity_index_agrees_with_the_standards_examples(viscosity_40, viscosity_100, index):
    """The standard works on with H rounded to 28.97; half its last digit moves that index by 0.05."""
    low = lub.viscosity_of_index_0_mm2_s(viscosity_100)
    high = lub.viscosity_of_index_100_mm2_s(viscosity_100)

    assert lub.viscosity_index(viscosity_40, viscosity_100, low, high) == pytest.approx(index, abs=0.055)


@pytest.mark.parametrize(
    ("viscosity_100", "index_0", "index_100"),
    # Source lub-d2270: interpolated values printed in the worked examples.
    [(8.86, 119.94, 69.48), (5.05, None, 28.97)],
)
def test_reference_oils_agree_with_the_standards_interpolation(viscosity_100, index_0, index_100):
    """Agrees to half of the last printed digit."""
    if index_0 is not None:
        assert lub.viscosity_of_index_0_mm2_s(viscosity_100) == pytest.approx(index_0, abs=0.0051)
    assert lub.viscosity_of_index_100_mm2_s(viscosity_100) == pytest.approx(index_100, abs=0.0051)


def test_table_and_formula_of_the_index_meet_at_70():
    """Source astm-d2270: the table's last row, 4905 and 1558, and the formulas for above 70."""
    assert lub.viscosity_of_index_0_mm2_s(70) == pytest.approx(0.8353 * 70**2 + 14.67 * 70 - 216, abs=2)
    assert lub.viscosity_of_index_100_mm2_s(70) == pytest.approx(0.1684 * 70**2 + 11.85 * 70 - 97, abs=1)


@pytest.mark.parametrize(
    ("viscosity_40", "viscosity_100"),
    [(8.2, 2.1), (32, 5.4), (68, 8.5), (150, 14.5), (220, 25), (1500, 74), (2500, 120)],
)
def test_viscosity_index_agrees_with_an_open_library(viscosity_40, viscosity_100):
    """A second opinion on the arithmetic, below and above 100 and 70 mm²/s (its units are m²/s)."""
    ours = lub.viscosity_index(
        viscosity_40,
        viscosity_100,
        lub.viscosity_of_index_0_mm2_s(viscosity_100),
        lub.viscosity_of_index_100_mm2_s(viscosity_100),
    )

    theirs = chemicals.viscosity_index(viscosity_40 * 1e-6, viscosity_100 * 1e-6)
    assert ours == pytest.approx(theirs, rel=1e-6)


@pytest.mark.parametrize(
    ("grade", "typical_100"),
    # Source trade-25: typical viscosity at 100 °C beside each ISO grade.
    [(32, 5.5), (46, 6.5), (68, 8.5), (100, 11.4), (150, 14.5), (220, 19), (320, 24.5), (460, 32)],
)
def test_the_assumed_index_gives_the_usual_thickness_when_hot(grade, typical_100):
    """The chart states no index; its figures imply 88 to 108, ours assumes 95: within 6 %."""
    assert lub.viscosity_100_from_index_mm2_s(grade) == pytest.approx(typical_100, rel=0.06)


def test_water_rises_as_in_the_textbook():
    """Source trade-12, example 2.2-6 (LUB-03): 5.0 cm, stated to 1 %."""
    assert lub.capillary_rise_mm(0.3, 0.073) == pytest.approx(50, rel=0.01)


@pytest.mark.parametrize(("loss_w", "efficiency_pct"), [(7, 97.2), (10, 96.0), (12, 95.2)])
def test_chain_efficiency_agrees_with_the_magazine(loss_w, efficiency_pct):
    """Source trade-31 (LUB-04): 250 W in, printed to 0.1."""
    assert lub.chain_efficiency_pct(250, loss_w) == pytest.approx(efficiency_pct, abs=0.05)


def test_speed_factor_agrees_with_the_guides_example():
    """Source lub-speed-factor: bore 100 mm, outside 130 mm, 1000 turns a minute."""
    assert lub.bearing_speed_factor(100, 130, 1000) == 115_000


ISO_3448 = [
    # Sources trade-20 to trade-25, every grade printed there.
    (2, 1.98, 2.42),
    (3, 2.88, 3.52),
    (5, 4.14, 5.06),
    (7, 6.12, 7.48),
    (10, 9.00, 11.0),
    (15, 13.5, 16.5),
    (22, 19.8, 24.2),
    (32, 28.8, 35.2),
    (46, 41.4, 50.6),
    (68, 61.2, 74.8),
    (100, 90, 110),
    (150, 135, 165),
    (220, 198, 242),
    (320, 288, 352),
    (460, 414, 506),
    (680, 612, 748),
    (1000, 900, 1100),
    (1500, 1350, 1650),
]


@pytest.mark.parametrize(("grade", "lowest", "highest"), ISO_3448)
def test_iso_grade_limits(grade, lowest, highest):
    """The whole classification, and the rule behind it: 10 % either side of the middle."""
    assert lub.iso_grade_lowest_mm2_s(grade) == lowest
    assert lub.iso_grade_highest_mm2_s(grade) == highest
    assert lub.iso_grade_deviation_pct(lowest) == pytest.approx(-10, abs=0.05)
    assert lub.iso_grade_deviation_pct(highest) == pytest.approx(10, abs=0.05)


def test_the_iso_table_holds_no_other_grades():
    assert [row["grade"] for row in rows("lubrication/iso_grades")] == [row[0] for row in ISO_3448]


def test_an_oil_between_two_grades_is_of_neither():
    """58 mm²/s lies between VG 46 (to 50.6) and VG 68 (from 61.2)."""
    assert abs(lub.iso_grade_deviation_pct(58)) > 10


SAE_J306 = [
    # Source trade-22, 2019 issue, every grade.
    ("sae-80", 8.5, 11.0),
    ("sae-85", 11.0, 13.5),
    ("sae-90", 13.5, 18.5),
    ("sae-110", 18.5, 24.0),
    ("sae-140", 24.0, 32.5),
    ("sae-190", 32.5, 41.0),
    ("sae-250", 41.0, None),
    ("sae-75w", 3.8, None),
    ("sae-80w", 8.5, None),
    ("sae-85w", 11.0, None),
]


@pytest.mark.parametrize(("grade", "lowest", "below"), SAE_J306)
def test_gear_oil_limits(grade, lowest, below):
    assert lub.gear_oil_lowest_mm2_s(grade) == lowest
    middle = lowest if below is None else (lowest + below) / 2
    assert lub.gear_oil_viscosity_100_mm2_s(grade) == pytest.approx(middle)


def test_cold_limits_of_the_winter_gear_grades():
    """Source trade-22: 150,000 mPa·s no warmer than these; 70W is in the table alone."""
    cold = {
        row["grade"]: row["cold_limit_degc"]
        for row in rows("lubrication/gear_oil_grades")
        if row["cold_limit_degc"] != ""
    }
    assert cold == {"sae-70w": -55, "sae-75w": -40, "sae-80w": -26, "sae-85w": -12}


SAE_J300 = [
    # Sources trade-20 and trade-28, every grade.
    ("sae-16", 6.1, 8.2),
    ("sae-20", 6.9, 9.3),
    ("sae-30", 9.3, 12.5),
    ("sae-40", 12.5, 16.3),
    ("sae-50", 16.3, 21.9),
    ("sae-60", 21.9, 26.1),
    ("sae-0w", 3.8, None),
    ("sae-5w", 3.8, None),
    ("sae-10w", 4.1, None),
    ("sae-15w", 5.6, None),
    ("sae-20w", 5.6, None),
    ("sae-25w", 9.3, None),
]


@pytest.mark.parametrize(("grade", "lowest", "below"), SAE_J300)
def test_engine_oil_limits(grade, lowest, below):
    assert lub.engine_oil_lowest_mm2_s(grade) == lowest
    middle = lowest if below is None else (lowest + below) / 2
    assert lub.engine_oil_viscosity_100_mm2_s(grade) == pytest.approx(middle)


def test_the_older_limit_of_sae_20_is_kept_but_not_used():
    """Older charts (trade-21, trade-22) start SAE 20 at 5.6; grade 16 now lies where it began."""
    older = [row for row in rows("lubrication/engine_oil_grades") if row["edition"] == "older"]

    assert [(row["grade"], row["lowest_mm2_s"]) for row in older] == [("sae-20", 5.6)]
    assert lub.engine_oil_lowest_mm2_s("sae-20") == 6.9


def test_engine_and_gear_numbers_are_different_scales():
    """A 90 gear oil is about as thick as a 40 or 50 engine oil, not three times a 30."""
    gear = lub.gear_oil_viscosity_100_mm2_s("sae-90")
    assert lub.engine_oil_lowest_mm2_s("sae-40") < gear < lub.engine_oil_viscosity_100_mm2_s("sae-50")


@pytest.mark.parametrize(
    ("grade", "lowest", "highest"),
    # Sources trade-23, trade-24 and trade-25 together. "SAE 90 is VG 220" is one chart's choice.
    [
        ("engine-30", 100, 100),
        ("engine-40", 150, 150),
        ("engine-50", 220, 220),
        ("gear-75w", 22, 46),
        ("gear-90", 100, 220),
        ("gear-140", 220, 460),
    ],
)
def test_equivalences_keep_the_charts_disagreement(grade, lowest, highest):
    assert lub.equivalent_iso_grade_lowest(grade) == lowest
    assert lub.equivalent_iso_grade_highest(grade) == highest


def test_no_single_equivalent_is_claimed_for_sae_90():
    """Our own arithmetic for the middle of SAE 90, index 95, falls inside the charts' disagreement."""
    viscosity_40 = lub.viscosity_40_from_index_mm2_s(lub.gear_oil_viscosity_100_mm2_s("sae-90"))

    assert lub.equivalent_iso_grade_lowest("gear-90") < viscosity_40
    assert viscosity_40 < lub.equivalent_iso_grade_highest("gear-90")


NLGI = [
    # Source trade-18b in tenths of a millimetre; 85-115 for grade 6 where the page has a misprint.
    ("nlgi-000", 445, 475),
    ("nlgi-00", 400, 430),
    ("nlgi-0", 355, 385),
    ("nlgi-1", 310, 340),
    ("nlgi-2", 265, 295),
    ("nlgi-3", 220, 250),
    ("nlgi-4", 175, 205),
    ("nlgi-5", 130, 160),
    ("nlgi-6", 85, 115),
]


@pytest.mark.parametrize(("grade", "lowest", "highest"), NLGI)
def test_grease_grades(grade, lowest, highest):
    assert lub.grease_penetration_lowest_mm(grade) == pytest.approx(lowest / 10)
    assert lub.grease_penetration_highest_mm(grade) == pytest.approx(highest / 10)
    assert lub.nlgi_grade_of((lowest + highest) / 20) == grade


def test_the_misprint_of_grease_grade_6_is_not_copied():
    """The page prints 185-115: backwards, and 18.5 mm belongs to grade 4."""
    assert lub.nlgi_grade_of(18.5) == "nlgi-4"
    assert lub.grease_penetration_lowest_mm("nlgi-6") < lub.grease_penetration_highest_mm("nlgi-6")
    assert lub.grease_penetration_highest_mm("nlgi-6") < lub.grease_penetration_lowest_mm("nlgi-5")


@pytest.mark.parametrize(
    ("thickener", "dropping_degc", "usable_degc"),
    # Sources trade-17b and trade-85, the careful end of each range.
    [
        ("lithium", 177, 135),
        ("lithium-complex", 260, 177),
        ("polyurea", 240, 177),
        ("clay", 260, 177),
    ],
)
def test_grease_temperatures(thickener, dropping_degc, usable_degc):
    assert lub.grease_dropping_point_degc(thickener) == dropping_degc
    assert lub.grease_usable_temperature_degc(thickener) == usable_degc
    assert usable_degc < dropping_degc


def test_no_working_temperature_is_made_up_for_calcium_sulfonate():
    """Neither source prints one: read the tin."""
    assert lub.grease_dropping_point_degc("calcium-sulfonate") == 300
    with pytest.raises(ValueError, match="grease_thickener"):
        lub.grease_usable_temperature_degc("calcium-sulfonate")


def test_published_compatibility_charts_are_kept_where_they_disagree():
    """Lithium with polyurea: compatible in trade-17b, incompatible in lub-grease-usbr."""
    ratings = {
        row["chart"]: row["rating"]
        for row in rows("lubrication/grease_compatibility")
        if {row["first_thickener"], row["second_thickener"]} == {"lithium", "polyurea"}
    }
    assert ratings == {"trade-17b": "compatible", "lub-grease-usbr": "incompatible"}


def test_the_desk_never_advises_a_mixture_that_a_chart_calls_incompatible():
    bad = {
        frozenset((row["first_thickener"], row["second_thickener"]))
        for row in rows("lubrication/grease_compatibility")
        if row["rating"] == "incompatible"
    }
    advised = {
        frozenset((row["old_thickener"], row["new_thickener"]))
        for row in rows("lubrication/grease_mixing")
        if row["verdict"] != "not-recommended"
    }
    assert not bad & advised


@pytest.mark.parametrize(
    ("condition", "lowest_w", "highest_w"),
    # Source trade-31: 7 W clean; 3 to 5 more after dry rides; up to 12 more in mud.
    [("clean", 7, 7), ("few-dry-rides", 7 + 3, 7 + 5), ("muddy", 7, 7 + 12)],
)
def test_chain_losses(condition, lowest_w, highest_w):
    assert lub.chain_loss_lowest_w(condition) == lowest_w
    assert lub.chain_loss_highest_w(condition) == highest_w


@pytest.mark.parametrize(
    ("compared", "gain_w"),
    # Source trade-29; the last is printed as "nearly 6".
    [("best-drip", 0.24), ("worst-drip", 3.05), ("worst-drip-in-dirt", 6)],
)
def test_wax_gains(compared, gain_w):
    assert lub.wax_gain_w(compared) == gain_w


@pytest.mark.parametrize(
    ("temperature_degc", "iso_grade"),
    # Source lub-chain-oil, table 7.1 for small chains: SAE 10W, 20, 30, 40; grades by trade-23 and trade-25.
    [(-5, 32), (0, 68), (20, 68), (45, 100), (55, 150)],
)
def test_handbook_chain_oil(temperature_degc, iso_grade):
    assert lub.chain_handbook_iso_grade(temperature_degc) == iso_grade


def test_the_other_handbooks_thicker_chain_oil_stays_in_sight():
    """Source lub-chain-vg names VG 150 for roller chains without a size or a temperature."""
    others = [
        row["iso_grade"] for row in rows("lubrication/chain_oil_by_temperature") if row["from_degc"] == ""
    ]
    assert others == [150]

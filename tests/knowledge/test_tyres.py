"""What physics says must rise, fall or return, and what every table of tyres must keep."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from knowledge.calculations import tyres
from knowledge.tables import rows

HOME = Path(tyres.__file__).parents[1]
TABLES = sorted((HOME / "tables" / "tyres").glob("*.csv"))
QUICK = settings(max_examples=60, deadline=None)
WIDTHS = st.floats(18, 62)
PRESSURES = st.floats(100, 900)


@QUICK
@given(WIDTHS, WIDTHS)
def test_wider_tyres_never_want_narrower_rims(one, other):
    """All three columns of the current table and both of the earlier one rise with the tyre."""
    narrow, wide = sorted((one, other))
    for column in (
        tyres.measuring_rim_width_mm,
        tyres.narrowest_rim_width_mm,
        tyres.widest_rim_width_mm,
        tyres.earlier_narrowest_rim_width_mm,
        tyres.earlier_widest_rim_width_mm,
    ):
        assert column(narrow) <= column(wide)


@QUICK
@given(st.floats(18, 132))
def test_measuring_rim_lies_in_the_recommended_range(width):
    """A tyre is always measured on a rim that suits it."""
    assert tyres.narrowest_rim_width_mm(width) <= tyres.measuring_rim_width_mm(width)
    assert tyres.measuring_rim_width_mm(width) <= tyres.widest_rim_width_mm(width)


@QUICK
@given(PRESSURES, st.floats(-20, 50), st.floats(-20, 60))
def test_warming_and_cooling_return_to_the_same_pressure(kpa, cold, warm):
    """Heat raises the pressure and going back restores it."""
    there = float(tyres.pressure_at_temperature_kpa(kpa, cold, warm))
    if there >= 20:
        assert tyres.pressure_at_temperature_kpa(there, warm, cold) == pytest.approx(kpa)
    assert (there > kpa) == (warm > cold) or there == pytest.approx(kpa)


@QUICK
@given(PRESSURES, st.floats(0, 3000), st.floats(0, 3000))
def test_climbing_and_coming_back_leave_the_pressure_as_it_was(kpa, low, high):
    """Height has no memory."""
    there = float(tyres.pressure_at_altitude_kpa(kpa, low, high))
    assert tyres.pressure_at_altitude_kpa(there, high, low) == pytest.approx(kpa)


@QUICK
@given(st.floats(8, 40), st.floats(0.5, 5), st.floats(-10, 40))
def test_cartridge_and_needed_mass_are_inverse(grams, litres, degc):
    """The mass worked back from the pressure is the mass that was put in."""
    kpa = float(tyres.cartridge_pressure_kpa(grams, litres, degc))
    if 20 <= kpa <= 1600:
        assert tyres.cartridge_needed_g(kpa, litres, degc) == pytest.approx(grams)


@QUICK
@given(st.floats(20, 100), st.floats(20, 60))
def test_the_tyre_drops_fifteen_per_cent_at_its_own_pressure(load, width):
    """The drop and the pressure for 15 % agree, and less pressure means more drop."""
    kpa = float(tyres.drop_pressure_kpa(load, width))
    if 30 <= kpa <= 1600:
        assert tyres.tyre_drop_pct(kpa, kpa) == pytest.approx(15)
        assert tyres.tyre_drop_pct(kpa * 0.8, kpa) > 15


@QUICK
@given(PRESSURES, st.floats(20, 60), st.floats(20, 60), st.floats(30, 80))
def test_equal_drop_pressure_is_what_the_load_rule_gives(kpa, width, new_width, load):
    """Changing the width by the rule is the same as asking the load rule twice."""
    ratio = tyres.drop_pressure_kpa(load, new_width) / tyres.drop_pressure_kpa(load, width)
    assert tyres.equal_drop_pressure_kpa(kpa, width, new_width) == pytest.approx(kpa * ratio)


@QUICK
@given(
    st.floats(100, 1600), st.floats(100, 1600), st.sampled_from(["hookless", "hooked-tubeless", "tubular"])
)
def test_allowed_pressure_is_never_above_any_limit(tyre, rim, kind):
    """The lower limit always wins, and a hookless rim never sees more than 5 bar."""
    allowed = float(tyres.allowed_pressure_kpa(tyre, rim, kind))
    assert allowed <= min(tyre, rim)
    assert kind != "hookless" or allowed <= 500


@QUICK
@given(st.floats(15, 60), st.floats(0, 20), st.floats(0, 30), st.floats(2, 8))
def test_the_widest_tyre_for_a_frame_just_fits(width, side, above, needed):
    """With that tyre the margin is nought."""
    widest = float(tyres.widest_tyre_for_frame_mm(width, side, above, needed))
    if 15 <= widest <= 132:
        margin = tyres.clearance_margin_mm(
            tyres.side_clearance_left_mm(side, width, widest),
            tyres.crown_clearance_left_mm(above, width, widest),
            needed,
        )
        assert margin == pytest.approx(0, abs=1e-9)


@QUICK
@given(st.floats(100, 900), st.floats(10, 800), st.floats(0.1, 60))
def test_leaking_at_the_measured_rate_reaches_the_later_reading_in_the_measured_time(first, later, days):
    """Rate and time are each other's inverse."""
    rate = float(tyres.leak_rate_kpa_day(first, later, days))
    if 0.1 <= rate <= 1000:
        assert tyres.days_to_floor_days(first, later, rate) == pytest.approx(days)


@pytest.mark.parametrize("name", sorted({str(row["name"]) for row in rows("tyres/bead_seats")}))
def test_every_size_name_leads_back_to_itself(name):
    """Names to diameters and diameters to names agree."""
    for diameter in tyres.bead_seat_diameters(name):
        assert any(known == name or known.startswith(name[:2]) for known in tyres.size_names(diameter))


@pytest.mark.parametrize("path", TABLES, ids=lambda path: path.stem)
def test_every_table_keeps_its_form(path):
    """One record a line, no blank cell but a condition that is none, ids once, a note on every column."""
    lines = path.read_text(encoding="utf-8").splitlines()
    records = list(csv.DictReader(lines))
    assert len(records) == len(lines) - 1
    assert len({record["id"] for record in records}) == len(records)
    assert all(cell or name == "condition" for record in records for name, cell in record.items())
    note = path.with_suffix(".md").read_text(encoding="utf-8")
    assert all(f"`{column}`" in note for column in records[0])

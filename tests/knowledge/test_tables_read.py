"""Which rows a calculation's result hangs on: none is missed, whatever a row is changed to, and none is named for nothing."""

from __future__ import annotations

import csv
import random
import threading

import numpy as np
import pytest

from knowledge import tables
from knowledge.calculations import calculations
from knowledge.tables import KEYS, rows_behind, rows_read

BOOK = calculations()
READERS = sorted(name for name, one in BOOK.items() if tables.reads_tables(one.function))
MOST_ROWS = 8
TIMES = (1.37, 0.31, 40.0)
"""A changed number is this many times what it was: other factors than the ones that the search itself tries."""


@pytest.fixture
def laid_over(tmp_path):
    """Lay some rows over a table, as a desk's own folder would; afterwards all is as it was."""

    def lay(table, *changed):
        file = tmp_path / f"{table}.csv"
        file.parent.mkdir(parents=True, exist_ok=True)
        with file.open("w", newline="", encoding="utf-8") as text:
            writer = csv.DictWriter(text, changed[0])
            writer.writeheader()
            writer.writerows(changed)
        tables.lay_over(tmp_path)

    yield lay
    tables.lay_over(None)


def inputs_of(calculation, rng):
    """Inputs inside their ranges; by turns in the middle, low and high."""
    share = rng.choice([0.02, 0.1, 0.3, 0.5, 0.9])
    inputs = {}
    for one in calculation.arguments:
        if one.is_choice:
            inputs[one.name] = rng.choice(one.limits)
        else:
            low, high = float(one.limits[0]), float(one.limits[1])
            inputs[one.name] = round(low + share * (high - low), 3)
    return inputs


def worked(calculation, inputs):
    with np.errstate(all="ignore"):
        return np.asarray(calculation.function(**inputs), dtype=float)


@pytest.mark.parametrize("name", READERS)
def test_no_row_is_missed_that_could_change_the_result(name, laid_over):
    """Each row of the tables that were looked at is changed for real, a number at a time, and the sum worked again."""
    calculation, rng = BOOK[name], random.Random(name)
    for _ in range(2):
        inputs = inputs_of(calculation, rng)
        behind = rows_behind(calculation.function, inputs)
        result = worked(calculation, inputs)
        for table in {row.partition("#")[0] for row in behind.looked_at}:
            rows = list(tables.rows(table))
            near = [row for row in rows if f"{table}#{row['id']}" in behind.rows]
            for row in [*near[:4], *rng.sample(rows, min(MOST_ROWS, len(rows)))]:
                for column in [
                    c for c, cell in row.items() if isinstance(cell, float) and c not in KEYS.get(table, ())
                ]:
                    laid_over(table, {**row, column: row[column] * rng.choice(TIMES)})
                    try:
                        is_other = not np.array_equal(worked(calculation, inputs), result, equal_nan=True)
                    except (ArithmeticError, LookupError, ValueError):
                        is_other = True
                    finally:
                        tables.lay_over(None)
                    named = f"{table}#{row['id']}"
                    assert not is_other or named in behind.rows, (inputs, named, column)


def test_every_calculation_that_reads_a_table_is_known_to():
    read, quiet = set(), set()
    for name, calculation in BOOK.items():
        rng = random.Random(name)
        for _ in range(8):
            for one in tables._remembering(__import__(calculation.function.__module__, fromlist=["x"])):
                one.cache_clear()
            try:
                with rows_read() as reading:
                    worked(calculation, inputs_of(calculation, rng))
            except (ArithmeticError, LookupError, ValueError):
                continue
            (read if reading.looked_at else quiet).add(name)

    assert len(read | quiet) > 0.95 * len(BOOK)
    assert read <= set(READERS)
    assert len(read) > 0.9 * len(READERS)


@pytest.mark.parametrize(
    ("name", "inputs", "rows"),
    [
        # Two words find one row of many.
        ("fluid_boiling_point_degc", {"brake_fluid": "dot-4", "fluid_state": "wet"}, ["brakes/fluids#dot-4-wet"]),
        # "Up to and including": a size on the boundary belongs to the smaller step.
        ("hole_upper_deviation_um", {"hole_class": "H7", "nominal_size_mm": 30.0}, ["bearings/iso286_limits#hole-H7-18-30"]),
        ("hole_upper_deviation_um", {"hole_class": "H7", "nominal_size_mm": 30.1}, ["bearings/iso286_limits#hole-H7-30-50"]),
        ("chain_wear_limit_pct", {"speeds": 10.0}, ["drivetrain/chain_wear_limits#wear-9-10"]),
        ("usual_sprocket_pitch_mm", {"speeds": 10.0}, ["drivetrain/sprocket_pitches#pitch-10-common"]),
        # A straight line between two rows stands on both, and on one alone where it meets it.
        ("viscosity_of_index_0_mm2_s", {"viscosity_100_mm2_s": 8.86},
         ["lubrication/viscosity_index_bases#d2270-8.8", "lubrication/viscosity_index_bases#d2270-8.9"]),
        ("axial_factor", {"axial_load_n": 280.0, "static_rating_n": 1000.0}, ["bearings/axial_factors#axial-0.28"]),
        # Above the end of the table a formula takes its place.
        ("viscosity_of_index_0_mm2_s", {"viscosity_100_mm2_s": 80.0}, []),
        # The lowest of three printed ratings: the other two could have been it.
        ("dynamic_rating_n", {"bearing_designation": "bearing-6200"},
         ["bearings/load_ratings#6200-dynamic", "bearings/load_ratings#6200-dynamic-b", "bearings/load_ratings#6200-dynamic-c"]),
        ("rider_weight_pressure_kpa", {"rider_mass_kg": 85.0, "tyre_width_mm": 28.0},
         ["tyres/rider_weight_pressures#weight-85-25", "tyres/rider_weight_pressures#weight-85-32"]),
        ("gear_oil_lowest_mm2_s", {"gear_oil_grade": "sae-80w-90"}, ["lubrication/gear_oil_grades#gear-sae-90"]),
        ("nearest_iso_grade", {"viscosity_40_mm2_s": 70.0}, ["lubrication/iso_grades#iso-vg-68"]),
        # No table at all.
        ("travel_per_click_mm", {"cable_pull_mm": 2.3, "actuation_ratio": 1.7}, []),
    ],
)  # fmt: skip
def test_exactly_the_rows_that_a_result_hangs_on_are_named(name, inputs, rows):
    assert sorted(rows_behind(BOOK[name].function, inputs).rows) == rows


def test_a_stretch_stands_on_every_row_in_it():
    function = BOOK["hole_upper_deviation_um"].function
    ends = np.array([8.0, 42.0])

    assert rows_behind(function, {"hole_class": "H7", "nominal_size_mm": ends}).rows == (
        "bearings/iso286_limits#hole-H7-6-10",
        "bearings/iso286_limits#hole-H7-10-18",
        "bearings/iso286_limits#hole-H7-18-30",
        "bearings/iso286_limits#hole-H7-30-50",
    )


def test_what_a_calculation_remembers_hides_nothing_and_takes_no_harm():
    calculation = BOOK["measuring_rim_width_mm"]
    before = float(calculation(tyre_width_mm=28.0))

    first = rows_behind(calculation.function, {"tyre_width_mm": 28.0})
    second = rows_behind(calculation.function, {"tyre_width_mm": 28.0})

    assert first == second
    assert first.rows == ("tyres/rim_widths_current#rim-now-measuring-25",)
    assert float(calculation(tyre_width_mm=28.0)) == before


def test_a_desks_own_row_counts_although_ours_was_remembered(laid_over):
    calculation = BOOK["measuring_rim_width_mm"]
    before = float(calculation(tyre_width_mm=28.0))
    row = next(row for row in tables.rows("tyres/rim_widths_current") if row["id"] == "rim-now-measuring-25")

    laid_over("tyres/rim_widths_current", {**row, "rim_inner_width_mm": 99.0})

    assert float(calculation(tyre_width_mm=28.0)) == 99.0
    tables.lay_over(None)
    assert float(calculation(tyre_width_mm=28.0)) == before


def test_where_no_row_holds_everything_that_was_looked_at_counts(laid_over):
    """The row that a kept figure was read from is another brake's by now."""
    row = next(row for row in tables.rows("brakes/fluids") if row["id"] == "dot-4-wet")
    laid_over("brakes/fluids", {**row, "brake_fluid": "dot-6"})

    def boiling_point(brake_fluid):
        return next(row for row in tables.rows("brakes/fluids") if row["brake_fluid"] == brake_fluid)["id"]

    behind = rows_behind(boiling_point, {"brake_fluid": "dot-7"})

    assert "brakes/fluids#dot-4-wet" in behind.rows
    assert len(behind.rows) == len(tables.rows("brakes/fluids"))


def test_reading_is_noted_inside_the_block_and_by_this_thread_alone():
    def elsewhere():
        tables.rows("brakes/fluids")[1]["brake_fluid"]

    with rows_read() as reading:
        other = threading.Thread(target=elsewhere)
        other.start()
        other.join()
        first = tables.rows("brakes/fluids")[0]
        assert "brake_fluid" in first
        assert reading.looked_at == {}
        first["brake_fluid"]
        assert reading.numbers == {}
        first["fluid_boiling_point_degc"]
    tables.rows("brakes/fluids")[2]["brake_fluid"]

    assert list(reading.looked_at) == [f"brakes/fluids#{first['id']}"]
    assert list(reading.numbers) == list(reading.looked_at)


def test_a_row_that_notes_reads_as_any_other():
    plain = tables.rows("brakes/fluids")[0]
    with rows_read():
        noted = tables.rows("brakes/fluids")[0]

        assert dict(noted) == dict(plain)
        assert noted.get("no such column", "none") == "none"
        assert len(noted) == len(plain)


@pytest.mark.parametrize("table", KEYS)
def test_keys_are_numbers_of_their_table_and_leave_something_to_take(table):
    first = tables.rows(table)[0]
    assert set(KEYS[table]) <= {column for column, cell in first.items() if isinstance(cell, float)}
    assert [c for c, cell in first.items() if isinstance(cell, float) and c not in KEYS[table]]


def test_the_desks_own_tables_are_listed_with_ours(laid_over):
    assert "brakes/our_own" not in tables.names()

    laid_over("brakes/our_own", {"id": "one", "value": 1})

    assert {"brakes/our_own", "brakes/fluids"} <= set(tables.names())

"""`quillstem figure` as its user types it."""

from __future__ import annotations

import json

import pytest
from click.testing import CliRunner

from triage.cli import main


@pytest.fixture
def figure():
    """Run the command and give its result."""

    def run(*arguments: str):
        return CliRunner().invoke(main, ["figure", *arguments])

    return run


def test_without_a_name_it_lists_every_calculation_by_subject(figure):
    done = figure()

    assert done.exit_code == 0
    assert "travel_per_click_mm" in done.output
    assert "calculations. Try" in done.output


def test_it_shows_working_range_and_source(figure):
    """Source drivetrain-25: 2.3 mm times 1.7 is 3.91 mm."""
    done = figure("travel_per_click_mm", "cable_pull=2.3mm", "actuation_ratio=1.7")

    assert done.exit_code == 0
    assert "t = p × r = 2.3 mm × 1.7 = 3.91 mm" in done.output
    assert "0.5 to 8 mm" in done.output
    assert "Source: Bicycles/Maintenance and Repair" in done.output


@pytest.mark.parametrize(
    "typed", ["cable_pull=2.3", "cable_pull_mm=2.3 mm", "cable_pull=0.23cm", "cable_pull=0.09055118in"]
)
def test_any_fitting_unit_will_do_and_the_ending_may_be_left_off(figure, typed):
    done = figure("travel_per_click", typed, "actuation_ratio=1.7", "--json")

    assert json.loads(done.output)["value"] == pytest.approx(3.91, abs=0.001)
    assert json.loads(done.output)["unit"] == "mm"


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (("travel_per_clik_mm",), "Did you mean travel_per_click_mm"),
        (("travel_per_click_mm", "cable_pull=2.3"), "actuation_ratio: sideways travel"),
        (("travel_per_click_mm", "cable_pul=2.3"), "Did you mean cable_pull_mm"),
        (
            ("travel_per_click_mm", "cable_pull=2.3kg", "actuation_ratio=1.7"),
            '"kg" is no unit of the kind needed: mm',
        ),
        (("travel_per_click_mm", "cable_pull=wide", "actuation_ratio=1.7"), "expected a number"),
        (("travel_per_click_mm", "cable_pull=23", "actuation_ratio=1.7"), "expected 0.5 to 8 mm, got 23"),
        (
            ("travel_per_click_mm", "cable_pull=2.3", "--vary", "actuation_ratio=1.8..1.1"),
            "the low end must be below",
        ),
    ],
)
def test_a_slip_is_told_in_words_with_what_to_do(figure, arguments, told):
    done = figure(*arguments)

    assert done.exit_code == 2
    assert told in done.output


def test_vary_prints_a_table_and_saves_a_plot(figure, tmp_path):
    plot = tmp_path / "pull.svg"
    done = figure(
        "travel_per_click_mm", "cable_pull=2.3", "--vary", "actuation_ratio=1..2", "--plot", str(plot)
    )

    assert done.exit_code == 0
    assert "2.3 mm" in done.output
    assert "4.6 mm" in done.output
    assert plot.read_text(encoding="utf-8").startswith("<svg")

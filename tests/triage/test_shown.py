"""What a template of a brief is told of a need."""

from __future__ import annotations

import pytest

from knowledge.base import Knowledge
from triage.draft.said import ToldFigure
from triage.records import Value
from triage.shown import Shown, of_figure


@pytest.mark.parametrize(("origin", "is_known"), [("rider", True), ("part", True), ("usual", False)])
def test_a_choice_of_one_word_is_known_only_where_somebody_said_it(
    knowledge: Knowledge, origin: str, is_known: bool
) -> None:
    """`cable_state` has the one word frayed: a rider who asks for housing hasn't told of any frayed strand."""
    value = Value("cable_state", None, None, None, ("frayed",), "", origin, None, "")  # type: ignore[arg-type]
    assert Shown.of(value, knowledge).known is is_known


@pytest.mark.parametrize(("origin", "is_known"), [("rider", True), ("usual", False)])
def test_a_number_is_known_only_where_somebody_said_it(
    knowledge: Knowledge, origin: str, is_known: bool
) -> None:
    value = Value("tyre_width_mm", 28.0, 28.0, 28.0, (), "mm", origin, None, "")  # type: ignore[arg-type]
    assert Shown.of(value, knowledge).known is is_known


@pytest.mark.parametrize(
    ("low", "high", "words"),
    [
        (9.11, 15.8, "9 to 16 mm"),
        (58.9, 62.8, "58.9 to 62.8 mm"),
        (0.75, 1.5, "0.75 to 1.5 mm"),
        (0.2, 14.9, "0.2 to 15 mm"),
        (112.4, 2013.0, "100 to 2,000 mm"),
        (6.0, 6.0, "6 mm"),
    ],
)
def test_both_ends_of_a_stretch_are_no_finer_than_it_is_wide(low: float, high: float, words: str) -> None:
    figure = ToldFigure("gap_mm", "gap", None, low, high, "mm", (), False, True)
    assert str(of_figure(figure)) == words


@pytest.mark.parametrize(("unit", "words"), [("N·m", "9.11 to 15.8 N·m"), ("°C", "9.11 to 15.8 °C")])
def test_what_may_hurt_when_it_is_rounded_up_keeps_its_ends(unit: str, words: str) -> None:
    figure = ToldFigure("some", "some", None, 9.11, 15.8, unit, (), False, True)
    assert str(of_figure(figure)) == words

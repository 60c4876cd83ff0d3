"""What a template of a brief is told of a need."""

from __future__ import annotations

import pytest

from knowledge.base import Knowledge
from triage.records import Value
from triage.shown import Shown


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

"""The names that the readers speak of by themselves are names of the knowledge base."""

from __future__ import annotations

import pytest

from knowledge.base import Knowledge
from triage.decide.nearest import _SOLD_BY
from triage.extract.choices import _OUTDONE_BY, _SAID_OF, _WISHED_FOR
from triage.extract.roles import ALARMS
from triage.match import _ONE_EACH


def test_every_word_that_tells_of_danger_is_one_that_can_be_read(knowledge: Knowledge) -> None:
    readable = {(name, choice.value) for name, choices in knowledge.choices.items() for choice in choices}
    assert set(ALARMS) <= readable


@pytest.mark.parametrize(
    "names", [_WISHED_FOR, _OUTDONE_BY, _OUTDONE_BY.values(), _SAID_OF, _SAID_OF.values()]
)
def test_choices_are_there(knowledge: Knowledge, names: object) -> None:
    assert set(names) <= set(knowledge.choices)  # type: ignore[call-overload]


@pytest.mark.parametrize("names", [_ONE_EACH, _SOLD_BY])
def test_quantities_are_there(knowledge: Knowledge, names: object) -> None:
    assert set(names) <= set(knowledge.quantities)  # type: ignore[call-overload]

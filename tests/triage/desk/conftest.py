"""A desk over the drafted sample inbox: a fresh copy of its ledger for each test, and people of every role."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from knowledge.base import Knowledge
from knowledge.phrases import Phrases
from tests.triage.desk.visitors import Visitor
from triage.desk.settings import Settings
from triage.ledger import Filter, Ledger, open_ledger
from triage.review.acts import Bench


@pytest.fixture
def ledger(copied: Path) -> Iterator[Ledger]:
    """A copy of the drafted ledger."""
    opened = open_ledger(copied)
    yield opened
    opened.close()


@pytest.fixture
def bench(ledger: Ledger, knowledge: Knowledge, phrases: Phrases) -> Bench:
    """What the acts need."""
    return Bench(ledger, knowledge, phrases)


@pytest.fixture
def visitor(bench: Bench) -> Callable[[str], Visitor]:
    """Somebody who has come in, by role; "" for somebody at the door."""

    def make(role: str = "") -> Visitor:
        one = Visitor(bench, Settings())
        return one.come_in(role) if role else one

    return make


@pytest.fixture
def question(ledger: Ledger) -> str:
    """The question about the wider cassette, which the figures advise against."""
    return str(ledger.wall.cards(Filter(brief="drivetrain/derailleur-capacity"), 1)[0]["question_id"])

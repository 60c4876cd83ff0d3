"""What tests of several parts of the program start from: a new ledger, and a mail server on this machine."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from knowledge.base import Knowledge
from knowledge.phrases import Phrases
from tests.triage.outbox.sinks import Sink
from triage.ledger import Filter, Ledger, Person, open_ledger
from triage.review.acts import Bench, sign


@pytest.fixture
def place(tmp_path: Path) -> Path:
    """Where the ledger is."""
    return tmp_path / "desk.sqlite"


@pytest.fixture
def ledger(place: Path) -> Iterator[Ledger]:
    """A new ledger."""
    opened = open_ledger(place)
    yield opened
    opened.close()


@pytest.fixture
def copied(drafted: Path, tmp_path: Path) -> Path:
    """A copy of the drafted sample inbox's ledger, to be changed."""
    for part in drafted.parent.glob("ledger.sqlite*"):
        shutil.copy(part, tmp_path / part.name)
    return tmp_path / "ledger.sqlite"


@pytest.fixture
def thirty_signed(copied: Path, knowledge: Knowledge, phrases: Phrases) -> Path:
    """The same with thirty of its answers signed off."""
    ledger = open_ledger(copied)
    bench = Bench(ledger, knowledge, phrases)
    for card in [card for card in ledger.wall.cards(Filter(), 200) if card["script"]][:30]:
        sign(bench, Person("Ana", "editor"), card["question_id"], 0)
    ledger.close()
    return copied


@pytest.fixture
def sink() -> Iterator[Sink]:
    """A mail server that takes everything."""
    one = Sink(enable_SMTPUTF8=True)
    one.start()
    yield one
    one.stop()

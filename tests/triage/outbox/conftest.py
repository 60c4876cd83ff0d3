"""A new ledger, its mails, and a mail server on this machine."""

from __future__ import annotations

import pytest

from tests.triage.outbox.sinks import Sink
from triage.ledger import open_ledger
from triage.ledger.mails import Mails


@pytest.fixture
def place(tmp_path):
    """Where the ledger is."""
    return tmp_path / "desk.sqlite"


@pytest.fixture
def ledger(place):
    """A new ledger."""
    opened = open_ledger(place)
    yield opened
    opened.close()


@pytest.fixture
def mails(ledger):
    """Its mails."""
    return Mails(ledger.engine)


@pytest.fixture
def sink():
    """A mail server that takes everything."""
    one = Sink(enable_SMTPUTF8=True)
    one.start()
    yield one
    one.stop()

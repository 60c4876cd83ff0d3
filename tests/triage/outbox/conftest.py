"""The mails of a new ledger."""

from __future__ import annotations

import pytest

from triage.ledger.mails import Mails


@pytest.fixture
def mails(ledger):
    """Its mails."""
    return Mails(ledger.engine)

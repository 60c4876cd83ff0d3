"""The reader that the tests of this folder share."""

from __future__ import annotations

import pytest

from knowledge.base import Knowledge
from triage.extract import Finder


@pytest.fixture(scope="session")
def finder(knowledge: Knowledge) -> Finder:
    """The reader of the shipped knowledge base."""
    return Finder(knowledge)

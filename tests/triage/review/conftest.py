"""A bench over a new ledger with some mails drafted into it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

import pytest

from knowledge.base import Knowledge
from knowledge.phrases import Phrases
from triage.batch import run
from triage.ledger import Ledger
from triage.pipeline import Desk
from triage.review.acts import Bench
from triage.sorter import Sorter


@pytest.fixture
def bench_of(
    ledger: Ledger, phrases: Phrases, sorter: Sorter
) -> Callable[[Sequence[Path], Knowledge], Bench]:
    """Drafts mails with a knowledge base; the bench over them."""

    def make(mails: Sequence[Path], knowledge: Knowledge) -> Bench:
        done = run(mails, Desk(knowledge, phrases, sorter, 150.0), ledger)
        assert done.refusals == []
        return Bench(ledger, knowledge, phrases)

    return make

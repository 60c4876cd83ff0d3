"""How a command opens a ledger that must be there already, alone or with the knowledge that its drafts are worked out with."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

from triage.cli.typed import bare

if TYPE_CHECKING:
    from triage.ledger import Ledger
    from triage.review.acts import Bench


@contextmanager
def opened_ledger(place: str) -> Iterator[Ledger]:
    """The ledger in a file or behind an address.

    Raises:
        LedgerError: there is none, or it can't be opened; none is made.
    """
    from triage.ledger import LedgerError, open_ledger

    if "://" not in place and not Path(place).is_file():
        raise LedgerError(
            f"{place}: there is no ledger.\n"
            f"    Name it with --ledger, or draft an inbox first: {bare('draft sample_inbox --out drafts')}"
        )
    ledger = open_ledger(place)
    try:
        yield ledger
    finally:
        ledger.close()


@contextmanager
def opened_bench(place: str, own_folder: Path | None) -> Iterator[Bench]:
    """The ledger with the knowledge and the phrases.

    Raises:
        LedgerError: as for `opened_ledger`.
        KnowledgeError: the knowledge base has a mistake.
    """
    from knowledge.load import load
    from knowledge.phrases import load_phrases
    from triage.review.acts import Bench

    with opened_ledger(place) as ledger:
        yield Bench(ledger, load(own_folder), load_phrases(own_folder))

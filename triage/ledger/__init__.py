"""The ledger: what came in and what was drafted, kept in SQLite or PostgreSQL, each message whole or not at all."""

from triage.ledger.errors import ClashError, LedgerError
from triage.ledger.reviews import Deed, Person, Review
from triage.ledger.store import Ledger, open_ledger
from triage.ledger.wall import Filter

__all__ = ["ClashError", "Deed", "Filter", "Ledger", "LedgerError", "Person", "Review", "open_ledger"]

"""The ledger: what came in and what was drafted, kept in SQLite or PostgreSQL, each message whole or not at all."""

from triage.ledger.store import Ledger, LedgerError, open_ledger

__all__ = ["Ledger", "LedgerError", "open_ledger"]

"""What can be wrong with a ledger, in words that say what to do."""

from __future__ import annotations


class LedgerError(Exception):
    """The ledger cannot be used; the text says why and what to do."""


class ClashError(Exception):
    """Somebody else changed the same draft in the meantime; nothing was kept and nothing was overwritten."""

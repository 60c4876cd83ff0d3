"""This moment, as the ledger writes it."""

from __future__ import annotations

import time


def now_text() -> str:
    """This moment in UTC, ISO 8601."""
    return time.strftime("%Y-%m-%dT%H:%M:%SZ", time.gmtime())

"""Drafts for the ledger's tests."""

from __future__ import annotations


def line(number, **changes):
    """One draft, as far as the ledger looks into it."""
    return {
        "question_id": f"q{number}",
        "repeats_of": None,
        "is_question": True,
        "text": f"ask {number}",
        "topic": "tyres",
        "brief": None,
        "verdict": "explain",
        "safety": False,
        "flags": [],
        "received": None,
        **changes,
    }

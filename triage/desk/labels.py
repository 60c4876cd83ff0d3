"""In which words the desk tells how far a draft is, and what it says."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

STATE_WORDS: Mapping[str, str] = MappingProxyType(
    {
        "new": "new",
        "in-hand": "in hand",
        "returned": "returned",
        "signed": "signed off",
        "sent": "sent",
    }
)
"""How far a draft is, in a word or two."""
STATES_AT_LENGTH: Mapping[str, str] = MappingProxyType(
    {**STATE_WORDS, "new": "new, untouched", "returned": "returned with a note"}
)
"""The same where there is room to say what it means."""
VERDICT_WORDS: Mapping[str, str] = MappingProxyType(
    {
        "yes": "yes",
        "yes-if": "yes, if",
        "not-recommended": "not recommended",
        "inspect-first": "inspect first",
        "need-more": "need more",
        "explain": "explain",
        "none": "none: no brief",
    }
)
"""Every verdict, in the order in which the wall offers them."""

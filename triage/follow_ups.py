"""Which earlier question a message writes about again, where no thread of mails says so: the same rider, in like words."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any

from rapidfuzz import fuzz

from triage.records import Message

Line = dict[str, Any]
# Must not catch "I did a bleed", "still on my first chain", "you said on the show that grease is fine".
_WRITES_AGAIN = re.compile(
    r"\b(?:(?:i |we )?(?:did|tried|checked|measured|changed|replaced) (?:that|this|it all|as you|what you|everything you)|"
    r"as you (?:suggested|advised|told me|wrote me)|your (?:answer|reply|advice|suggestion)s? (?:to|on|about) (?:me|my)|"
    r"(?:thanks|thank you) for (?:your|the) (?:answer|reply|advice)|my (?:last|earlier|previous|first) (?:question|mail|message)|"
    r"following up|follow[- ]up|update on|an update|(?:wrote|asked) (?:to )?you (?:before|last (?:week|month)|already|earlier)|"
    r"still (?:the same|does it|clicks|creaks|squeals|skips|rubs|leaks|no better))\b",
    re.IGNORECASE,
)
LEAST_ALIKE = 45.0
"""Of a rider's several earlier questions the most alike is meant; one that is less alike than this is not."""


def writes_again(message: Message) -> bool:
    """Whether a message without a thread speaks of an earlier one."""
    return bool(message.address and _WRITES_AGAIN.search(f"{message.subject or ''} {message.text}"))


def most_alike(message: Message, earlier: Sequence[Line]) -> Line | None:
    """Of the rider's own answered questions the one that this message is about; the only one needs no likeness."""
    if len(earlier) < 2:
        return earlier[0] if earlier else None
    told = f"{message.subject or ''} {message.text}"
    scored = [
        (fuzz.token_set_ratio(told, f"{one['text']} {one['context']} {one['title'] or ''}"), n)
        for n, one in enumerate(earlier)
    ]
    score, place = max(scored)
    return earlier[place] if score >= LEAST_ALIKE else None

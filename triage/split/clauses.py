"""Two asks in one sentence: "can I bolt it in or does it need spacers, and what about the dish?"."""

from __future__ import annotations

import re

from triage.split.asking import is_ask
from triage.split.sentences import lower_case

# What joins them, and how the second begins. Must not catch "how long and how wide is it", whose first half is too short, nor
# "and is worn", "and can be", "and does it" told of one thing.
_JOINT = re.compile(
    r"(?:,\s*|\s+)(?:and|but|also|plus)(?:\s+(?:also|then|if so|if not))?,?\s+"
    r"(?=(?:what['’]?s|how['’]?s|where['’]?s|which|why|how|what|where|when)\s+\w|"
    r"(?:is|are|was|can|could|should|do|does|did|will|would|must|may|might)\s+(?:i|you|we|it|they|he|she|the|my|our|this|that|these|those|there|an?|one|both|any)\b)"
)
# "The chain is at its mark, should I change it": what is told first, and then asked.
_ASKS_BEHIND = re.compile(
    r"(?:[,;:–-]\s*|\b(?:so|but|and|or|then)\s+)(?:should|can|could|do|does|is|are|will|would|must|may|how|what|which|why|where|when)\s+\w"
)
FEWEST_BEFORE, FEWEST_BEHIND = 4, 3
"""So many words say what is asked."""


def clauses_of(sentence: str) -> list[str]:
    """The asks of one sentence as they stand in it, most often one; what joins two of them is left out."""
    low = lower_case(sentence)
    clauses: list[str] = []
    start = 0
    for joint in _JOINT.finditer(low) if len(low) == len(sentence) else ():
        before, behind = low[start : joint.start()], low[joint.end() :]
        if (
            len(before.split()) >= FEWEST_BEFORE
            and len(behind.split()) >= FEWEST_BEHIND
            and (is_ask(before) or _ASKS_BEHIND.search(before))
        ):
            clauses.append(sentence[start : joint.start()].strip())
            start = joint.end()
    clauses.append(sentence[start:].strip())
    return clauses

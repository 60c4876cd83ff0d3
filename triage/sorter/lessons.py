"""What editors corrected, as lessons for the sorter, and the share of it that is kept for the examination."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from triage.sorter.examples import CHATTER
from triage.sorter.sorter import Sorter

SORTINGS = ("brief", "topic", "outside")
"""The corrections that say how a question should have been sorted; the others are about its details."""
ONE_IN = 3
"""Every third corrected question is never taught, so that there is always something to examine with."""


def is_held_out(question_id: str) -> bool:
    """Whether a corrected question is kept for the examination; the same answer on every machine."""
    return hashlib.sha256(question_id.encode()).digest()[0] % ONE_IN == 0


def lessons(corrections: Iterable[Mapping[str, Any]], up_to: int) -> list[tuple[str, str]]:
    """(text, label) of what may be taught, up to a correction's number."""
    return [
        (row["ask"], row["now"])
        for row in corrections
        if row["kind"] in SORTINGS and row["correction"] <= up_to and not is_held_out(row["question_id"])
    ]


def examination(corrections: Iterable[Mapping[str, Any]]) -> list[tuple[str, str]]:
    """(text, label) of what is never taught."""
    return [
        (row["ask"], row["now"])
        for row in corrections
        if row["kind"] in SORTINGS and is_held_out(row["question_id"])
    ]


def passed(sorter: Sorter, pairs: Sequence[tuple[str, str]], least_outside: float) -> list[bool]:
    """Which of the corrected questions a sorter gets right: set aside, the topic, or the very brief."""
    if not pairs:
        return []
    found = sorter.sort([text for text, _ in pairs])
    topics = found.topics().argmax(axis=1)
    first = found.chances.argmax(axis=1)
    right = []
    for row, (_, label) in enumerate(pairs):
        is_outside = bool(found.outside[row] >= least_outside)
        if label.startswith(CHATTER):
            right.append(is_outside)
        elif "/" in label:
            right.append(not is_outside and found.labels.names[first[row]] == label)
        else:
            right.append(not is_outside and found.labels.topics[topics[row]] == label)
    return right

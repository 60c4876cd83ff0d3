"""Classify: the topic and the likeliest briefs of a question, with a confidence that means what it says."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from triage.records import Classified, Grouped
from triage.sorter import Sorted

LEAST_TOPIC_CONFIDENCE = 0.30
"""Below it the desk says "a person" and does not guess."""
MOST_BRIEFS = 5
LOOKED_AT = 12

Numbers = NDArray[np.float64]


def classify(questions: Sequence[Grouped], sorted_: Sorted) -> list[Classified]:
    """Give each question its topic and its likeliest briefs; below a tuned confidence the topic is `other`."""
    topics = sorted_.topics()
    likeliest = np.argsort(sorted_.chances, axis=1)[:, ::-1][:, :LOOKED_AT]
    return _rejoined(
        [
            _classified(grouped, topics[row], sorted_, row, likeliest[row])
            for row, grouped in enumerate(questions)
        ]
    )


def _rejoined(questions: Sequence[Classified]) -> list[Classified]:
    """Asks of one message that read as one kind of question are one ask in two sentences."""
    joined: list[Classified] = []
    for one in questions:
        before = joined[-1] if joined else None
        if before is None or not _is_one_ask(before, one):
            joined.append(one)
            continue
        together = replace(before.question, text=f"{before.question.text} {one.question.text}")
        joined[-1] = replace(before, grouped=replace(before.grouped, question=together))
    return joined


def _is_one_ask(one: Classified, other: Classified) -> bool:
    return (
        one.question.message.message_id == other.question.message.message_id
        and one.question.message.text == other.question.message.text
        and bool(one.briefs and other.briefs)
        and one.briefs[0][0] == other.briefs[0][0]
    )


def _classified(
    grouped: Grouped, topics: Numbers, sorted_: Sorted, row: int, likeliest: NDArray[np.intp]
) -> Classified:
    if "not-english" in grouped.question.flags:
        return Classified(grouped, "other", 0.0, ())
    topic = sorted_.labels.topics[int(topics.argmax())]
    confidence = min(float(topics.max()), 1.0)
    if confidence < LEAST_TOPIC_CONFIDENCE:
        return Classified(grouped, "other", confidence, ())
    briefs = [(sorted_.labels.names[i], min(float(sorted_.chances[row, i]), 1.0)) for i in likeliest]
    return Classified(
        grouped, topic, confidence, tuple(b for b in briefs if b[0].startswith(topic + "/"))[:MOST_BRIEFS]
    )

"""Classify: the topic and the likeliest briefs of a question, with a confidence that means what it says."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import islice

import numpy as np

from triage.records import Classified, Question
from triage.sorter import Sorted

LEAST_TOPIC_CONFIDENCE = 0.30
"""Below it the desk says "a person" and does not guess."""
MOST_BRIEFS = 5
LOOKED_AT = 12


def classify(questions: Sequence[Question], sorted_: Sorted) -> list[Classified]:
    """Give each question its topic and its likeliest briefs; below a tuned confidence the topic is `other`."""
    topics = sorted_.topics()
    likeliest = np.argsort(sorted_.chances, axis=1)[:, ::-1][:, :LOOKED_AT]
    chances = np.minimum(np.take_along_axis(sorted_.chances, likeliest, axis=1), 1.0)
    rows = zip(
        questions,
        topics.argmax(axis=1).tolist(),
        np.minimum(topics.max(axis=1), 1.0).tolist(),
        likeliest.tolist(),
        chances.tolist(),
        strict=True,
    )
    return _rejoined([_classified(question, sorted_, *row) for question, *row in rows])


def _rejoined(questions: Sequence[Classified]) -> list[Classified]:
    """Asks of one message that read as one kind of question are one ask in two sentences."""
    joined: list[Classified] = []
    for one in questions:
        before = joined[-1] if joined else None
        if before is None or not _is_one_ask(before, one):
            joined.append(one)
            continue
        together = replace(before.question, text=f"{before.question.text} {one.question.text}")
        joined[-1] = replace(before, question=together)
    return joined


def _is_one_ask(one: Classified, other: Classified) -> bool:
    return (
        one.question.message.message_id == other.question.message.message_id
        and one.question.message.text == other.question.message.text
        and bool(one.briefs and other.briefs)
        and one.briefs[0][0] == other.briefs[0][0]
    )


def _classified(
    question: Question,
    sorted_: Sorted,
    topic: int,
    confidence: float,
    briefs: list[int],
    chances: list[float],
) -> Classified:
    if "not-english" in question.flags or "too-long" in question.flags:
        return Classified(question, "other", 0.0, ())
    if confidence < LEAST_TOPIC_CONFIDENCE:
        return Classified(question, "other", confidence, ())
    labels = sorted_.labels
    within = f"{labels.topics[topic]}/"
    named = ((labels.names[brief], chance) for brief, chance in zip(briefs, chances, strict=True))
    return Classified(
        question,
        labels.topics[topic],
        confidence,
        tuple(islice((one for one in named if one[0].startswith(within)), MOST_BRIEFS)),
    )

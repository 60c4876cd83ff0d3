"""Classify: the topic and the likeliest briefs of a question, with a confidence that means what it says."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from triage.records import Classified, Question
from triage.sorter import Sorted

LEAST_TOPIC_CONFIDENCE = 0.30
"""Below it the desk says "a person" and does not guess."""
MOST_SURE = 0.99
"""What was only read is never quite certain; what a person of the desk corrected is (1)."""
MOST_BRIEFS = 5


def classify(questions: Sequence[Question], sorted_: Sorted) -> list[Classified]:
    """Give each question its likeliest briefs and their first one's topic; below a tuned confidence the topic is `other`."""
    likeliest = np.argsort(sorted_.chances, axis=1)[:, ::-1][:, :MOST_BRIEFS]
    chances = np.minimum(np.take_along_axis(sorted_.chances, likeliest, axis=1), MOST_SURE)
    topics = sorted_.labels.topic_of[likeliest[:, 0]]
    sureness = np.minimum(sorted_.topics()[np.arange(len(topics)), topics], MOST_SURE)
    rows = zip(
        questions, topics.tolist(), sureness.tolist(), likeliest.tolist(), chances.tolist(), strict=True
    )
    return [_classified(question, sorted_, *row) for question, *row in rows]


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
    named = tuple((labels.names[brief], chance) for brief, chance in zip(briefs, chances, strict=True))
    return Classified(question, labels.topics[topic], confidence, named)

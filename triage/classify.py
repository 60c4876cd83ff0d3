"""Classify: the topic and the likeliest briefs of a question, with a confidence that means what it says."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from triage.model import CHATTER, Model
from triage.records import Classified, Grouped

LEAST_TOPIC_CONFIDENCE = 0.30
"""Below it the desk says "a person" and does not guess."""
MOST_BRIEFS = 5


def classify(questions: Sequence[Grouped], model: Model) -> list[Classified]:
    """Give each question its topic and its likeliest briefs; below a tuned confidence the topic is `other`."""
    if not questions:
        return []
    chances = model.chances(
        [grouped.question.text for grouped in questions], [grouped.question.context for grouped in questions]
    )
    return _rejoined(
        [_classified(grouped, row, model) for grouped, row in zip(questions, chances, strict=True)]
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


def _classified(grouped: Grouped, chances: NDArray[np.float64], model: Model) -> Classified:
    if "not-english" in grouped.question.flags:
        return Classified(grouped, "other", 0.0, ())
    # Whether it is a question for this desk at all was settled before; here only the rest is weighed.
    chances = chances / max(1 - float(model.chatter_chance(chances[None, :])[0]), 0.05)
    order = np.argsort(chances)[::-1]
    ours = [(model.labels[i], float(chances[i])) for i in order if not model.labels[i].startswith(CHATTER)]
    by_topic: dict[str, float] = {}
    for label, chance in ours:
        topic = label.split("/")[0]
        by_topic[topic] = by_topic.get(topic, 0.0) + chance
    topic, confidence = max(by_topic.items(), key=lambda item: item[1])
    if confidence < LEAST_TOPIC_CONFIDENCE:
        return Classified(grouped, "other", min(confidence, 1.0), ())
    briefs = tuple(
        (label, min(chance, 1.0)) for label, chance in ours[:MOST_BRIEFS] if label.startswith(topic + "/")
    )
    return Classified(grouped, topic, min(confidence, 1.0), briefs)

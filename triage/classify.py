"""Classify: the topic and the likeliest briefs of a question, with a confidence that means what it says."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import takewhile

import numpy as np

from triage.records import TOLD_BESIDE, Classified, Question
from triage.sorter import Sorted

LEAST_TOPIC_CONFIDENCE = 0.30
"""Below it the desk says "a person" and does not guess."""
MOST_SURE = 0.99
"""What was only read is never quite certain; what a person of the desk corrected is (1)."""
MOST_BRIEFS = 5
LIKELY = 0.05
"""A brief this likely for an ask may well be what it is about."""


def classify(questions: Sequence[Question], sorted_: Sorted) -> list[Classified]:
    """Give each question its likeliest briefs and their first one's topic; below a tuned confidence the topic is `other`."""
    likeliest = np.argsort(sorted_.chances, axis=1)[:, ::-1][:, :MOST_BRIEFS]
    chances = np.minimum(np.take_along_axis(sorted_.chances, likeliest, axis=1), MOST_SURE)
    topics = sorted_.labels.topic_of[likeliest[:, 0]]
    sureness = np.minimum(sorted_.topics()[np.arange(len(topics)), topics], MOST_SURE)
    rows = zip(
        questions, topics.tolist(), sureness.tolist(), likeliest.tolist(), chances.tolist(), strict=True
    )
    return _rejoined([_classified(question, sorted_, *row) for question, *row in rows])


def _rejoined(questions: Sequence[Classified]) -> list[Classified]:
    """Asks of one message that read as one kind of question are one ask in two sentences.

    A danger told beside an ask that is about it goes with that ask.
    """
    joined: list[Classified] = []
    for one in questions:
        if TOLD_BESIDE in one.question.flags:
            if _is_a_matter_of_its_own(one, joined):
                joined.append(one)
            continue
        place = _place_of_the_same_ask(joined, one)
        if place is None:
            joined.append(one)
        else:
            before = joined[place]
            together = replace(
                before.question,
                text=f"{before.question.text} {one.question.text}",
                asked=(*before.question.asked, *one.question.asked),
            )
            # "What's better for my chain? A dry lube or a wet one?": what the second tells is known of the first.
            surer = max(before, one, key=lambda ask: ask.briefs[0][1])
            joined[place] = replace(surer, question=together)
    return joined


def _place_of_the_same_ask(joined: Sequence[Classified], one: Classified) -> int | None:
    """Where in the same message this kind of thing was asked already: nobody wants one answer twice in a letter."""
    for back, before in enumerate(_of_same_message(joined, one), start=1):
        if _is_one_ask(before, one):
            return len(joined) - back
    return None


def _is_a_matter_of_its_own(danger: Classified, joined: Sequence[Classified]) -> bool:
    return danger.question.is_question and not any(
        _is_one_matter(ask, danger) for ask in _of_same_message(joined, danger)
    )


def _of_same_message(joined: Sequence[Classified], one: Classified) -> Iterator[Classified]:
    """The last ones that were asked in the same message."""
    return takewhile(lambda other: _is_of_one_message(other, one), reversed(joined))


def _is_one_matter(ask: Classified, danger: Classified) -> bool:
    """Whether the likeliest brief of one is likely for the other too; with no brief for the danger, nobody knows."""
    return bool(ask.briefs and danger.briefs) and (
        danger.briefs[0][0] in _likely(ask) or ask.briefs[0][0] in _likely(danger)
    )


def _likely(one: Classified) -> list[str]:
    return [brief for brief, chance in one.briefs if chance >= LIKELY]


def _is_of_one_message(one: Classified, other: Classified) -> bool:
    mine, theirs = one.question.message, other.question.message
    return mine.message_id == theirs.message_id and mine.text == theirs.text


def _is_one_ask(one: Classified, other: Classified) -> bool:
    return (
        _is_of_one_message(one, other)
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
    named = tuple((labels.names[brief], chance) for brief, chance in zip(briefs, chances, strict=True))
    return Classified(question, labels.topics[topic], confidence, named)

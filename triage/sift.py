"""Sift: what is no question for this desk, told apart from what is one and has no answer here yet."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from triage.records import Question
from triage.sorter import Sorted
from triage.trade_words import asks_about_a_bicycle, speaks_of_a_bicycle

LEAST_OUTSIDE = 0.25
"""From here on a message that seemed to ask is set aside: a question missed costs more than one looked at."""
LEAST_OUTSIDE_FOR_AN_ASK = 0.85
"""The same for a message that names a bicycle's part and asks what to do about it: it takes more to set that aside."""
MOST_OUTSIDE, MOST_OUTSIDE_OF_A_BICYCLE = 0.08, 0.12
"""Up to here a message without an ask is taken for one, some riders state their trouble and stop; and where it names a part."""
FEWEST_WORDS = 6
NEVER_SIFTED = frozenset({"automatic-reply", "bounce", "bulk", "closer", "not-english"})
KINDS_AS_FLAGS = {
    "praise": "praise",
    "thanks": "thanks",
    "banter": "banter",
    "joke": "closer",
    "spam": "spam",
    "other-subject": "other-subject",
    "price": "price",
    "race-chat": "banter",
    "abuse": "abuse",
    "automatic-reply": "automatic-reply",
    "personal": "personal",
    "correction": "correction",
    "story": "story",
}


def sift(questions: Sequence[Question], sorted_: Sorted) -> list[Question]:
    """Set aside banter, praise, thanks and spam, and take up trouble that was told without a question."""
    kinds = [label.split("/")[-1] for label in sorted_.outside_labels()]
    likeliest = sorted_.outside_chances.argmax(axis=1) if kinds else [0] * len(questions)
    return [
        _sifted(question, float(outside), kinds[kind] if kinds else "")
        for question, outside, kind in zip(questions, sorted_.outside, likeliest, strict=True)
    ]


def _sifted(question: Question, outside: float, kind: str) -> Question:
    if NEVER_SIFTED.intersection(question.flags):
        return question
    least = (
        LEAST_OUTSIDE_FOR_AN_ASK if asks_about_a_bicycle(question.text, question.context) else LEAST_OUTSIDE
    )
    if question.is_question and outside < least:
        return question
    most = MOST_OUTSIDE_OF_A_BICYCLE if speaks_of_a_bicycle(question.text) else MOST_OUTSIDE
    if not question.is_question and outside < most and len(question.text.split()) >= FEWEST_WORDS:
        return replace(question, is_question=True, flags=(*question.flags, "no-ask-stated"))
    flag = KINDS_AS_FLAGS.get(kind)
    flags = dict.fromkeys((*question.flags, *([flag] if flag else [])))
    return replace(question, is_question=False, flags=tuple(flags))

"""Sift: what is no question for this desk, told apart from what is one and has no answer here yet."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from triage.model import CHATTER, Model
from triage.records import Question

LEAST_CHATTER = 0.35
"""From here on a message that seemed to ask is set aside: a question missed costs more than one looked at."""
FEW_WORDS = 7
LEAST_CHATTER_SHORT = 0.75
"""A few words say little either way; what asks in a few words is let through sooner."""
LEAST_OURS = 0.80
"""From here on a message without an ask is taken for one: some riders state their trouble and stop."""
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


def sift(questions: Sequence[Question], model: Model) -> list[Question]:
    """Set aside banter, praise, thanks and spam, and take up trouble that was told without a question."""
    if not questions:
        return []
    chances = model.chances(
        [question.text for question in questions], [question.context for question in questions]
    )
    chatter = model.chatter_chance(chances)
    return [
        _sifted(question, row, float(chance), model)
        for question, row, chance in zip(questions, chances, chatter, strict=True)
    ]


def _sifted(question: Question, chances: NDArray[np.float64], chatter: float, model: Model) -> Question:
    if any(flag in ("automatic-reply", "bounce", "bulk", "closer", "not-english") for flag in question.flags):
        return question
    least = LEAST_CHATTER if len(question.text.split()) > FEW_WORDS else LEAST_CHATTER_SHORT
    if question.is_question and chatter < least:
        return question
    if not question.is_question and chatter < 1 - LEAST_OURS and len(question.text.split()) >= 6:
        return replace(question, is_question=True, flags=(*question.flags, "no-ask-stated"))
    kinds = [(chances[i], label) for i, label in enumerate(model.labels) if label.startswith(CHATTER)]
    flags = list(question.flags)
    if kinds:
        flag = KINDS_AS_FLAGS.get(max(kinds)[1].removeprefix(CHATTER))
        if flag:
            flags.append(flag)
    return replace(question, is_question=False, flags=tuple(dict.fromkeys(flags)))

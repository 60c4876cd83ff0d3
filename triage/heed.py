"""Heed: what a message tells may hurt somebody, by how near the whole of it lies to the briefs that begin with a stop.

Patterns know a cracked fork by its words; that a lever "needs both hands" or a tyre "rolled off like tape" they don't. What lies near
the examples of the briefs on such things is pointed out here, so that it comes to the top and is told to stop where it waits.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from knowledge.base import Knowledge
from triage.records import MAY_HURT, Question
from triage.sorter import Numbers, Sorted

OF_A_STOP, OF_NO_QUESTION, OF_A_PATTERN, ALL_BUT = 0.47, -0.31, 1.48, -1.21
"""How much each counts: that the message is about a brief that begins with a stop, or no question for this desk (as log odds), and
that a pattern found a danger (0 or 1). Learnt by `python -m training.heed` from marked messages. That it is about safety at all
doesn't count: it found more of these, and every plain "does it fit my rim?" besides."""
LEAST_LIKELY, LEAST_PRESSING = 0.4, 0.6
"""From these chances on it is pointed out, and comes to the top: of what is pointed out some three in five are such a thing."""
_NOT_READ = frozenset({"not-english", "too-long", "automatic-reply", "bounce", "bulk"})
_ALWAYS_ODD = 0.01


def heed(questions: Sequence[Question], whole: Sorted, knowledge: Knowledge) -> list[Question]:
    """Each question whose message may tell of a danger with a flag that says so.

    `whole` holds what the words of each question's whole message read like, row by row.
    """
    patterns = np.asarray(["danger" in question.flags for question in questions], dtype=float)
    weighed = np.column_stack([signals(whole, knowledge), patterns]) @ np.asarray(
        [OF_A_STOP, OF_NO_QUESTION, OF_A_PATTERN]
    )
    chances = 1 / (1 + np.exp(-(weighed + ALL_BUT)))
    return [_heeded(*one) for one in zip(questions, chances.tolist(), strict=True)]


def signals(whole: Sorted, knowledge: Knowledge) -> Numbers:
    """What tells of a danger, as log odds: (messages, 2) for a stop and for no question at all."""
    stops = [
        column
        for column, name in enumerate(whole.labels.names)
        if name in knowledge.briefs and knowledge.briefs[name].begins_with_a_stop
    ]
    return np.column_stack([_log_odds(whole.chances[:, stops].sum(axis=1)), _log_odds(whole.outside)])


def _log_odds(chances: Numbers) -> Numbers:
    """Log odds that never run away where nothing, or all, is likely."""
    return np.log((chances + _ALWAYS_ODD) / (1 + _ALWAYS_ODD - np.minimum(chances, 1.0)))


def _heeded(question: Question, chance: float) -> Question:
    if chance < LEAST_LIKELY or not question.is_question or not _NOT_READ.isdisjoint(question.flags):
        return question
    more = (MAY_HURT, "urgent") if chance >= LEAST_PRESSING else (MAY_HURT,)
    return replace(question, flags=tuple(dict.fromkeys((*question.flags, *more))))

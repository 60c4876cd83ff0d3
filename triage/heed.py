"""Heed: what a message tells may hurt somebody, by how near it lies to the briefs that begin with a stop, and by what it means.

Patterns know a cracked fork by its words; that a lever "needs both hands" or a tyre "rolled off like tape" they don't. What reads
like the messages of those who had better not ride on is pointed out here, so that it comes to the top and is told to stop where it waits.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from pathlib import Path

import numpy as np
from safetensors.numpy import load_file

from knowledge.base import Knowledge
from triage.records import MAY_HURT, Question
from triage.sorter import Numbers, Sorted, Vectors

BY_MEANING = Path(__file__).with_name("heed.safetensors")
"""How much each signal counts, and what is meant, learnt by `python -m training.heed` from marked messages."""
LEAST_LIKELY, LEAST_PRESSING = 0.4, 0.6
"""From these chances on it is pointed out, and comes to the top: of what is pointed out some two in three are such a thing."""
_NOT_READ = frozenset({"not-english", "too-long", "automatic-reply", "bounce", "bulk"})
_ALWAYS_ODD = 0.01


@dataclass(frozen=True)
class Weights:
    """How much each of the signals counts, (3,), what is meant, (768,) or none of it, and all but these."""

    signals: Numbers
    plane: Vectors | None
    all_but: float

    def chances(self, told: Numbers, meant: Vectors | None) -> Numbers:
        """How likely each question tells of a danger, from its signals, (questions, 3), and what it means, (questions, 768)."""
        weighed = told @ self.signals + self.all_but
        if self.plane is not None and meant is not None:
            weighed = weighed + meant @ self.plane
        return np.asarray(1 / (1 + np.exp(-weighed)), dtype=np.float64)


BY_WORDS = Weights(np.asarray([0.47, -0.31, 1.48]), None, -1.21)
"""Without a language model: that the message is about a brief that begins with a stop, or no question for this desk (as log odds), and
that a pattern found a danger (0 or 1). That it is about safety at all doesn't count: it found more of these, and every plain "does it
fit my rim?" besides."""


def heed(
    questions: Sequence[Question], whole: Sorted, knowledge: Knowledge, meant: Vectors | None = None
) -> list[Question]:
    """Each question that may tell of a danger with a flag that says so.

    `whole` holds what the words of each question's whole message read like, and `meant` what it means with its story, row by row.
    """
    patterns = np.asarray(["danger" in question.flags for question in questions], dtype=float)
    told = np.column_stack([signals(whole, knowledge), patterns])
    chances = (BY_WORDS if meant is None else by_meaning()).chances(told, meant)
    return [_heeded(*one) for one in zip(questions, chances.tolist(), strict=True)]


@lru_cache(maxsize=1)
def by_meaning() -> Weights:
    """What was learnt with the language model."""
    kept = load_file(BY_MEANING)
    return Weights(kept["signals"].astype(np.float64), kept["plane"], float(kept["all_but"][0]))


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

"""Group: gather repeats of one question, in this batch and among the earlier ones."""

from __future__ import annotations

import re
from collections.abc import Sequence

from rapidfuzz import fuzz

from triage.alike import leaders_of, words_of
from triage.records import Grouped, Question

LEAST_LIKENESS = 80.0
_FIGURE = re.compile(r"\d+")


def group(questions: Sequence[Question], earlier: Sequence[tuple[str, str]] = ()) -> list[Grouped]:
    """Say of each question which earlier one it repeats, and how many riders asked it.

    `earlier` holds (question_id, text) of questions that are already kept; the first to ask leads a group.
    """
    asked = [question for question in questions if question.is_question]
    leaders = _leaders(
        [*(text for _, text in earlier), *(told(question.text, question.context) for question in asked)]
    )
    identities = [*(identity for identity, _ in earlier), *(question.question_id for question in asked)]
    leader_of = {identity: identities[leader] for identity, leader in zip(identities, leaders, strict=True)}
    riders: dict[str, set[str]] = {}
    for question in asked:
        riders.setdefault(leader_of[question.question_id], set()).add(_rider(question))
    before = {identity for identity, _ in earlier}
    counts = {
        leader: len(who) + sum(1 for identity in before if leader_of[identity] == leader)
        for leader, who in riders.items()
    }
    return [_grouped(question, leader_of, counts) for question in questions]


def told(ask: str, context: str) -> str:
    """What a question is compared by: the ask with the story around it, since the figures may stand in either."""
    return f"{ask} {context}".strip()


def _grouped(question: Question, leader_of: dict[str, str], counts: dict[str, int]) -> Grouped:
    leader = leader_of.get(question.question_id)
    if leader is None:
        return Grouped(question, None, 1)
    return Grouped(question, None if leader == question.question_id else leader, counts[leader])


def _rider(question: Question) -> str:
    message = question.message
    return message.address or message.author or message.message_id


def _leaders(texts: Sequence[str]) -> list[int]:
    """For each text the index of the first text that it repeats, its own where it repeats none."""
    plain = [" ".join(words_of(text)) for text in texts]
    figures = [frozenset(_FIGURE.findall(text)) for text in plain]

    def repeats(later: int, earlier: int) -> bool:
        """Alike in their words, and with the same figures: "28 mm" and "32 mm" are two questions."""
        if figures[later] != figures[earlier] or min(plain[later].count(" "), plain[earlier].count(" ")) < 2:
            return False
        return fuzz.token_set_ratio(plain[later], plain[earlier], score_cutoff=LEAST_LIKENESS) > 0

    return leaders_of(texts, repeats)

"""Pinpoint: what an ask is about within the brief that answers it, and whether it wants a working order, so that the reply
opens with that and keeps to it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from triage.records import Classified
from triage.sorter import Asked, Meant, Points


def pinpoint(questions: Sequence[Classified], points: Points | None) -> list[Classified]:
    """Each question with the points of its likeliest brief that it asks about, where it asks about any."""
    if points is None:
        return list(questions)
    briefs = [one.briefs[0][0] if one.briefs and one.question.is_question else "" for one in questions]
    asked = [
        Asked(brief, one.question.text, one.question.story, one.question.asked)
        for brief, one in zip(briefs, questions, strict=True)
    ]
    return [_pointed(one, meant) for one, meant in zip(questions, points.of(asked), strict=True)]


def _pointed(question: Classified, meant: Meant) -> Classified:
    first, *more = meant.points or (None,)
    return replace(
        question,
        point=first,
        more_points=tuple(filter(None, more)),
        perhaps=meant.perhaps,
        likely=meant.likely,
        in_order=meant.in_order,
    )

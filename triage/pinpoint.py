"""Pinpoint: what an ask is about within the brief that answers it, so that the reply opens with that."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from triage.records import Classified
from triage.sorter import Points


def pinpoint(questions: Sequence[Classified], points: Points | None) -> list[Classified]:
    """Each question with the point of its likeliest brief that it asks about, where it asks about one."""
    if points is None:
        return list(questions)
    briefs = [one.briefs[0][0] if one.briefs and one.question.is_question else "" for one in questions]
    asks = [one.question.text for one in questions]
    stories = [one.question.context for one in questions]
    found = points.of(briefs, asks, stories)
    return [
        replace(one, point=point) if point is not None else one
        for one, point in zip(questions, found, strict=True)
    ]

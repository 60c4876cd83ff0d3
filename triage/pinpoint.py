"""Pinpoint: what an ask is about within the brief that answers it, so that the reply opens with that."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from triage.records import Classified
from triage.sorter import Asked, Points


def pinpoint(questions: Sequence[Classified], points: Points | None) -> list[Classified]:
    """Each question with the points of its likeliest brief that it asks about, where it asks about any."""
    if points is None:
        return list(questions)
    briefs = [one.briefs[0][0] if one.briefs and one.question.is_question else "" for one in questions]
    asked = [
        Asked(brief, one.question.text, one.question.story, one.question.asked)
        for brief, one in zip(briefs, questions, strict=True)
    ]
    return [
        replace(one, point=found[0], more_points=tuple(found[1:])) if found else one
        for one, found in zip(questions, points.of(asked), strict=True)
    ]

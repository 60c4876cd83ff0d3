"""What the sorter learns from a knowledge base."""

from __future__ import annotations

from dataclasses import replace

from knowledge.base import Knowledge
from knowledge.brief import Point
from triage.sorter import examples_of

DISH = "wheels/dish"
SHORT, LONG = "may I ride on", "may I ride on with a rim that is two millimetres off"


def test_an_asking_that_any_rider_might_say_teaches_points_and_not_briefs(knowledge: Knowledge) -> None:
    point = Point(
        asked=(SHORT, LONG, "how far", "how much", "is it bad"), headline="Within a millimetre is good work."
    )
    brief = knowledge.briefs[DISH].model_copy(update={"points": {"tolerance": point}})
    taught = examples_of(replace(knowledge, briefs={DISH: brief}))
    dish = [text for text, label in zip(taught.texts, taught.labels, strict=True) if label == DISH]

    assert dish == [*brief.examples, LONG]
    assert brief.every_example == (*brief.examples, SHORT, LONG, "how far", "how much", "is it bad")

"""A draft that is none too sure of its brief says what it took the question for; who waits for a person is asked which it is."""

from __future__ import annotations

from dataclasses import replace

import pytest

from knowledge.base import Knowledge
from knowledge.phrases import load_phrases
from tests.asked import asked, found, reply
from triage.draft import draft

BRIEF = "wheels/dish"


@pytest.mark.parametrize(("sure", "is_said"), [(0.55, True), (0.9, False)])
def test_what_a_question_was_taken_for_is_said_where_that_is_unsure(
    knowledge: Knowledge, sure: float, is_said: bool
) -> None:
    question = asked(BRIEF, {})
    question = replace(question, classified=replace(question.classified, briefs=((BRIEF, sure),)))
    (made,) = draft([found(question, knowledge)], knowledge, load_phrases(), 150.0)
    title = f"“{knowledge.briefs[BRIEF].title}”"
    assert made.reply is not None
    assert made.script is not None
    assert (title in made.reply) is is_said
    assert title not in made.script


@pytest.mark.parametrize(
    ("likely", "named"),
    [
        ((0.3, 0.2, 0.12, 0.1), 3),
        ((0.3, 0.2, 0.05, 0.0), 2),
        ((0.3, 0.05, 0.05, 0.0), 0),
    ],
)
def test_who_waits_for_a_person_is_asked_which_of_the_likely_things_it_is(
    knowledge: Knowledge, likely: tuple[float, ...], named: int
) -> None:
    briefs = [name for name in knowledge.briefs if name.startswith("wheels/")][: len(likely)]
    question = asked(BRIEF, {})
    unsure = replace(question.classified, briefs=tuple(zip(briefs, likely, strict=True)))
    (made,) = draft(
        [found(replace(question, classified=unsure), knowledge)], knowledge, load_phrases(), 150.0
    )
    assert made.script is None
    assert made.reply is not None
    titles = [f"“{knowledge.briefs[name].title}”" for name in briefs]
    assert [title in made.reply for title in titles] == [True] * named + [False] * (len(titles) - named)


@pytest.mark.parametrize(
    ("brief", "told", "is_said"),
    [
        ("wheels/rim-heat", {"brake_type": "disc-hydraulic"}, True),
        ("frame-fit/post-too-short", {"seatpost_insertion_mm": 60.0, "post_mark_seen": "shows"}, False),
    ],
)
def test_what_was_left_open_is_said_beside_a_yes_and_not_beside_a_no(
    knowledge: Knowledge, brief: str, told: dict[str, str | float], is_said: bool
) -> None:
    kinds = load_phrases().of("holds_for")
    made = reply(knowledge, brief, told)
    assert any(kind.partition("{it}")[0] in made for kind in kinds) is is_said

"""A draft that is none too sure of its brief says what it took the question for."""

from __future__ import annotations

from dataclasses import replace

import pytest

from knowledge.base import Knowledge
from knowledge.phrases import load_phrases
from tests.asked import asked, found
from triage.draft import draft

BRIEF = "wheels/dish"


@pytest.mark.parametrize(("sure", "is_said"), [(0.45, True), (0.9, False)])
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

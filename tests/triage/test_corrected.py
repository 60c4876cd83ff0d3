"""What an editor corrects is what the question is from then on."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from knowledge.base import Knowledge
from triage.corrected import as_corrected
from triage.decide import decide
from triage.match import match
from triage.records import BY_THE_DESK, Extracted

Stated = Callable[..., Extracted]


def row(kind: str, now: str) -> dict[str, str]:
    return {"kind": kind, "now": now}


def test_a_detail_read_otherwise_changes_the_verdict(knowledge: Knowledge, stated: Stated) -> None:
    misread = stated("brakes/rotor-wear", rotor_thickness_mm=1.9, rotor_minimum_mm=1.5)
    corrected = as_corrected(misread, [row("detail", "rotor_thickness_mm=1.4")], knowledge)

    verdicts = [finding.verdict for finding in decide(match([misread, corrected], knowledge), knowledge)]

    assert verdicts == ["yes", "not-recommended"]
    assert [d.words for d in corrected.details if d.name == "rotor_thickness_mm"] == [BY_THE_DESK]


def test_a_detail_can_be_taken_out_and_one_that_nobody_wrote_put_in(
    knowledge: Knowledge, stated: Stated
) -> None:
    question = stated("brakes/rotor-wear", rotor_thickness_mm=1.9)

    corrected = as_corrected(
        question, [row("detail", "rotor_thickness_mm="), row("detail", "rotor_minimum_mm=1.8")], knowledge
    )

    assert [(d.name, d.value, d.start) for d in corrected.details] == [("rotor_minimum_mm", 1.8, -1)]


def test_a_word_stays_a_word(knowledge: Knowledge, stated: Stated) -> None:
    corrected = as_corrected(stated("tyres/rim-width"), [row("detail", "rim_type=hookless")], knowledge)

    assert [d.value for d in corrected.details] == ["hookless"]


def test_another_brief_is_certain_and_brings_its_topic(knowledge: Knowledge, stated: Stated) -> None:
    corrected = as_corrected(stated("tyres/rim-width"), [row("brief", "wheels/rim-worn")], knowledge)

    assert corrected.classified.topic == "wheels"
    assert match([corrected], knowledge)[0].brief == "wheels/rim-worn"


def test_another_topic_leaves_it_to_a_person(knowledge: Knowledge, stated: Stated) -> None:
    corrected = as_corrected(stated("tyres/rim-width"), [row("topic", "wheels")], knowledge)

    assert match([corrected], knowledge)[0].brief is None
    assert corrected.question.is_question


@pytest.mark.parametrize("then", [[], [row("brief", "wheels/rim-worn")]])
def test_no_question_is_set_aside_until_somebody_says_otherwise(
    then: list[dict[str, str]], knowledge: Knowledge, stated: Stated
) -> None:
    corrected = as_corrected(stated("tyres/rim-width"), [row("outside", "chatter/praise"), *then], knowledge)

    assert corrected.question.is_question == bool(then)


def test_whoever_says_what_is_told_within_a_brief_has_said_that_it_answers(
    knowledge: Knowledge, stated: Stated
) -> None:
    question = stated("wheels/dish")
    unsure = replace(question, classified=replace(question.classified, briefs=(("wheels/dish", 0.4),)))

    assert match([unsure], knowledge)[0].brief is None
    assert match([as_corrected(unsure, [row("point", "wheels/dish#")], knowledge)], knowledge)[0].brief

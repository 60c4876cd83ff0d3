"""No way of leaving facts out gets an unsafe yes, and no caution is ever lost: over every safety brief."""

from __future__ import annotations

import random

import pytest

from knowledge.load import load
from knowledge.numbers import for_the_ear
from knowledge.phrases import load_phrases
from triage.decide import decide
from triage.draft import draft
from triage.match import match
from triage.records import Classified, Detail, Extracted, Grouped, Message, Question

KNOWLEDGE = load()
SAFETY = [brief for brief in KNOWLEDGE.briefs.values() if brief.safety]
TRIES = 8
MESSAGE = Message("m", "mail", None, "Ana", "Ana", None, None, "Is it safe?", "f", "")


def stated_at_random(brief, seed):
    """A question that states a random part of what the brief needs, at random plausible values."""
    chance = random.Random(f"{brief.id}{seed}")
    details = []
    for need in brief.needs:
        if chance.random() < 0.5:
            continue
        if need.name in KNOWLEDGE.choices:
            value = chance.choice([choice.value for choice in KNOWLEDGE.choices[need.name]])
        else:
            kind = KNOWLEDGE.quantities[need.name]
            value = chance.uniform(kind.low, kind.high)
        details.append(Detail(need.name, value, str(value), len(details), len(details) + 1))
    question = Question("q", MESSAGE, MESSAGE.text, "", True)
    classified = Classified(Grouped(question, None, 1), brief.topic, 0.9, ((brief.id, 0.9),))
    return Extracted(classified, tuple(details), ())


@pytest.mark.parametrize("brief", SAFETY, ids=[brief.id for brief in SAFETY])
def test_whatever_is_left_out_there_is_no_unsafe_yes_and_no_lost_caution(brief):
    questions = [stated_at_random(brief, seed) for seed in range(TRIES)]
    findings = decide(match(questions, KNOWLEDGE), KNOWLEDGE)
    drafts = draft(findings, KNOWLEDGE, load_phrases(), 150.0)

    for finding, made in zip(findings, drafts, strict=True):
        deciding = {decider.need for decider in brief.deciders if decider.need}
        open_facts = [
            name for name, value in finding.matched.values.items() if not value.is_known and name in deciding
        ]
        assert finding.verdict != "yes" or not open_facts
        assert finding.verdict != "yes" or not finding.asks
        assert len(made.cautions) >= 1
        for caution in made.cautions:
            assert caution in made.reply
            assert for_the_ear(caution)[:50] in made.script


def test_there_are_safety_briefs_in_every_topic_that_can_hurt():
    topics = {brief.topic for brief in SAFETY}

    assert {"tyres", "wheels", "brakes", "frame-fit", "cranks", "bearings"} <= topics
    assert len(SAFETY) >= 50

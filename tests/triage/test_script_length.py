"""A script of an asked length is met within 15 %, by dropping what decides least and never a caution."""

from __future__ import annotations

import pytest

from knowledge.base import Knowledge
from knowledge.numbers import for_the_ear
from knowledge.phrases import Phrases
from tests.triage.golden.drafts import PACE, cases, finding_of
from triage.draft import draft, reading_seconds
from triage.draft.script import Parts
from triage.draft.telling import Telling

CASES = cases()
SHARE = 0.15


@pytest.mark.parametrize("seconds", [20, 45, 90])
@pytest.mark.parametrize("case", CASES, ids=[case["case"] for case in CASES])
def test_the_length_is_met_wherever_there_is_enough_to_say_and_enough_to_drop(
    case: dict, seconds: int, knowledge: Knowledge, phrases: Phrases
) -> None:
    finding = finding_of(case, knowledge)
    whole = draft([finding], knowledge, phrases, PACE)[0].script_seconds
    short = draft([finding], knowledge, phrases, PACE, seconds)[0]
    parts = Parts(Telling(finding, knowledge, phrases, {}, spoken=True))
    least = parts.shortest(PACE)

    assert short.script_seconds == pytest.approx(reading_seconds(short.script, PACE))
    if least <= seconds and whole >= seconds:
        assert abs(short.script_seconds - seconds) <= SHARE * seconds
    elif whole < seconds:
        assert short.script_seconds >= 0.95 * whole
    else:
        assert short.script_seconds <= least + SHARE * seconds
        assert ("long-script" in short.flags) == (short.script_seconds > seconds * (1 + SHARE))
    assert parts.headline in short.script
    for caution in short.cautions:
        assert for_the_ear(caution) in short.script


def test_the_three_lengths_can_be_met_for_most_questions(knowledge: Knowledge, phrases: Phrases) -> None:
    """How many of the thirty-three have cautions short enough; said so that nobody thinks it is all of them."""
    findings = [finding_of(case, knowledge) for case in CASES]
    met = {
        seconds: sum(
            abs(one.script_seconds - seconds) <= SHARE * seconds
            for one in draft(findings, knowledge, phrases, PACE, seconds)
        )
        for seconds in (45, 90)
    }

    assert met[45] >= 28
    assert met[90] >= 28


def test_without_a_length_all_is_said(knowledge: Knowledge, phrases: Phrases) -> None:
    made = draft([finding_of(CASES[0], knowledge)], knowledge, phrases, PACE)[0]

    assert made.script_seconds > 90
    assert "long-script" not in made.flags

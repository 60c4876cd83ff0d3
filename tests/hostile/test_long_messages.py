"""A message of any size and kind goes through all stages within seconds, and a very long one goes to a person."""

from __future__ import annotations

import time

import pytest

from triage.pipeline import Desk, make_drafts
from triage.read.bounds import LONGEST_TEXT_CHARACTERS
from triage.split import LONGEST_WORKED_CHARACTERS

MOST_SECONDS = 5.0
KINDS = {
    "digits": "9", "letters": "a ", "question marks": "?", "sizes": "28mm 32mm 25mm 40mm ", "angles": ">",
    "quoted questions": ">>>> Which rim?\n", "asks": "Which rim fits a 28 mm tyre? ", "bare asks": "Why? ",
    "new asks": "Also, which tyre? ", "one sentence": "my tyre and rim and brake and ", "short lines": "a \n",
    "full stops": "a.b", "numbers": "1 2 3 4 5 6 7 8 9 ", "spelled": "twenty-five millimetres and a half ",
    "slashes": "32/28/", "teeth": "11-34 and 50/34 ", "pressures": "80 psi 5.5 bar ", "brakes": "brake fork ",
    "tags": "<b>", "templates": "{{ 7*7 }} {% include 'x' %} ", "addresses": "a@b.", "accents": "é", "marks": "o\u0301",
    "stretches": "from 28 to 32 mm to ", "speeds": "10 speed 11-speed ", "torques": "5 N·m 40 Nm ", "dashes": "2-",
    "parts": "cassette derailleur shifter ",
}  # fmt: skip


@pytest.fixture(scope="module")
def desk(knowledge, phrases, sorter):
    return Desk(knowledge, phrases, sorter, 150.0)


def _filled(kind, characters):
    unit = KINDS[kind]
    return f"Which rim? {unit * (characters // len(unit) + 1)}"[:characters].strip()


def _drafts_in_time(message, desk):
    started = time.process_time()
    drafts = make_drafts([message], desk)
    assert time.process_time() - started < MOST_SECONDS
    return drafts


@pytest.mark.parametrize("kind", KINDS)
def test_the_longest_text_that_is_kept_goes_to_a_person_whole(kind, message, desk):
    (draft,) = _drafts_in_time(message(_filled(kind, LONGEST_TEXT_CHARACTERS)), desk)
    question = draft.finding.matched.question

    assert {"too-long", "person"} <= set(draft.flags)
    assert draft.finding.matched.brief is None
    assert draft.script is None
    assert len(question.text) < 1_100
    assert question.text.removesuffix(" …") in question.message.text


@pytest.mark.torture
@pytest.mark.parametrize("kind", KINDS)
def test_the_longest_message_that_is_worked_takes_seconds(kind, message, desk):
    drafts = _drafts_in_time(message(_filled(kind, LONGEST_WORKED_CHARACTERS)), desk)

    assert 1 <= len(drafts) <= 6
    assert not any("too-long" in draft.flags for draft in drafts)


def test_the_bound_is_where_it_is_said_to_be(message, desk):
    at, over = ("Which rim? " + "a " * LONGEST_WORKED_CHARACTERS)[:LONGEST_WORKED_CHARACTERS], "x"

    assert "too-long" not in make_drafts([message(at)], desk)[0].flags
    assert "too-long" in make_drafts([message(at + over)], desk)[0].flags


def test_a_danger_at_the_end_of_a_long_message_is_seen(message, desk):
    (draft,) = make_drafts([message("la la. " * 2_000 + "My fork snapped.")], desk)

    assert {"danger", "urgent", "too-long"} <= set(draft.flags)
    assert draft.cautions

"""The weeks: what came in, what was asked most, what was corrected and how long answers took, counted by hand."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
import sqlalchemy as sa

from triage.ledger import Deed, Person, Review
from triage.ledger.rows import message_key
from triage.ledger.schema import CORRECTIONS, MAILS, MESSAGES, REVIEWS
from triage.ledger.weeks import Weeks, period_up_to

EDITOR = Person("Eva", "editor")
TWO_WEEKS = period_up_to(date(2026, 11, 20), 2)
"""2026-11-09 to 2026-11-20: a whole week and one up to its Friday."""


@pytest.fixture
def weeks(ledger):
    """Its weeks."""
    return Weeks(ledger.engine)


@pytest.fixture
def came(ledger, message):
    """Let a question come in; it gives the message's key back."""

    def keep(number, received, address="ana@riders.invalid", **changes):
        one = message(f"Ask {number}?", message_id=f"m{number}", received=received, address=address)
        line = {
            "question_id": f"q{number}", "repeats_of": None, "is_question": True, "text": one.text, "title": None,
            "topic": "tyres", "brief": "tyres/rim-width", "verdict": "yes", "safety": False, "flags": [],
            "received": received, **changes,
        }  # fmt: skip
        ledger.keep([one], {message_key(one): [line]}, "v1")
        return message_key(one)

    return keep


def read_in_on(ledger, key, moment):
    """A message that was read in at a moment."""
    with ledger.engine.begin() as connection:
        connection.execute(sa.update(MESSAGES).where(MESSAGES.c.message_key == key).values(added=moment))


def signed(ledger, number, moment):
    """A question that was signed off at a moment."""
    fresh = Review(f"q{number}")
    after = replace(fresh, state="signed", signed_by="Eva", signed_at=moment)
    ledger.reviews.save(fresh, after, EDITOR, [Deed("signed")])


def mailed(ledger, key, question_ids, ended, state="sent"):
    """A mail that answers a message."""
    row = {
        "message_key": key, "state": state, "mail_id": "one@desk.invalid", "mail_digest": "0", "ordered_by": "Eva",
        "question_ids": question_ids, "ordered": "2026-11-01T00:00:00Z", "ended": ended,
    }  # fmt: skip
    with ledger.engine.begin() as connection:
        connection.execute(sa.insert(MAILS).values(**row))


def corrected(ledger, number, kind, now, made):
    """A correction that was made at a moment."""
    row = {"question_id": f"q{number}", "kind": kind, "ask": "", "was": None, "now": now, "made": made}
    with ledger.engine.begin() as connection:
        connection.execute(sa.insert(CORRECTIONS).values(**row))


def test_a_period_is_whole_weeks_and_ends_with_the_day():
    assert [(week.name, str(week.first), str(week.last)) for week in TWO_WEEKS.weeks] == [
        ("2026-W46", "2026-11-09", "2026-11-15"),
        ("2026-W47", "2026-11-16", "2026-11-20"),
    ]
    assert (TWO_WEEKS.first, TWO_WEEKS.last, TWO_WEEKS.end) == ("2026-11-09", "2026-11-20", "2026-11-21")


def test_no_week_and_weeks_before_there_are_dates_are_refused():
    with pytest.raises(ValueError, match=r"^weeks: expected 1 or more, got 0$"):
        period_up_to(date(2026, 11, 20), 0)
    with pytest.raises(
        ValueError, match=r"^upto: 2 weeks up to 0001-01-07 would begin before there are dates$"
    ):
        period_up_to(date(1, 1, 7), 2)
    assert period_up_to(date(1, 1, 8), 2).first == "0001-01-01"


def test_questions_are_counted_by_week_and_by_topic_or_verdict(weeks, came):
    came(1, "2026-11-09T00:00:00+00:00")
    came(2, "2026-11-15T23:59:59+00:00", topic="brakes", verdict="none", brief=None)
    came(3, "2026-11-16T00:00:00+00:00", verdict="explain")
    came(4, "2026-11-20T23:59:59+00:00")
    came(5, "2026-11-20T08:00:00+00:00", is_question=False)
    came(6, "2026-11-08T23:59:59+00:00")
    came(7, "2026-11-21T00:00:00+00:00")

    assert weeks.by_week(TWO_WEEKS, "topic") == {
        "2026-W46": {"brakes": 1, "tyres": 1},
        "2026-W47": {"tyres": 2},
    }
    assert weeks.by_week(TWO_WEEKS, "verdict") == {
        "2026-W46": {"none": 1, "yes": 1},
        "2026-W47": {"explain": 1, "yes": 1},
    }
    assert [(one.day, one.has_brief, one.count) for one in weeks.came_in(TWO_WEEKS)] == [
        ("2026-11-09", True, 1),
        ("2026-11-15", False, 1),
        ("2026-11-16", True, 1),
        ("2026-11-20", True, 1),
    ]


def test_a_week_without_questions_stands_there_empty(weeks, came):
    came(1, "2026-11-17T09:00:00+00:00")

    assert weeks.by_week(TWO_WEEKS, "topic") == {"2026-W46": {}, "2026-W47": {"tyres": 1}}


def test_the_writers_own_day_counts_whatever_the_zone(weeks, came):
    came(1, "2026-11-20T23:30:00-06:00")

    assert weeks.by_week(TWO_WEEKS, "topic")["2026-W47"] == {"tyres": 1}


def test_an_undated_message_came_on_the_day_it_was_read_in(ledger, weeks, came):
    read_in_on(ledger, came(1, None), "2026-11-10T10:00:00Z")
    read_in_on(ledger, came(2, None), "2026-11-21T10:00:00Z")
    # A dated one goes by its date, however late it was read in.
    read_in_on(ledger, came(3, "2026-10-01T09:00:00+00:00"), "2026-11-10T10:00:00Z")

    assert weeks.by_week(TWO_WEEKS, "topic") == {"2026-W46": {"tyres": 1}, "2026-W47": {}}


def test_the_newest_day_is_that_of_the_last_message(ledger, weeks, came):
    assert weeks.newest_day("2026-11-26") is None
    read_in_on(ledger, came(1, "2026-11-17T09:00:00+00:00"), "2026-11-25T09:00:00Z")

    assert weeks.newest_day("2026-11-26") == "2026-11-17"

    read_in_on(ledger, came(2, None), "2026-11-19T09:00:00Z")

    assert weeks.newest_day("2026-11-26") == "2026-11-19"


def test_a_clock_that_runs_years_ahead_does_not_make_the_newest_day(ledger, weeks, came):
    read_in_on(ledger, came(1, "2099-01-01T09:00:00+00:00"), "2026-11-25T09:00:00Z")

    assert weeks.newest_day("2026-11-26") == "2099-01-01"

    came(2, "2026-11-26T23:00:00+00:00")

    assert weeks.newest_day("2026-11-26") == "2026-11-26"


def test_the_most_asked_groups_count_riders_of_the_period(weeks, came):
    came(1, "2026-09-01T09:00:00+00:00", title="The first of them")
    came(2, "2026-11-10T09:00:00+00:00", "bo@riders.invalid", repeats_of="q1")
    came(3, "2026-11-11T09:00:00+00:00", "cy@riders.invalid", repeats_of="q1")
    came(4, "2026-11-12T09:00:00+00:00", "cy@riders.invalid", repeats_of="q1")
    came(5, "2026-11-12T09:00:00+00:00", "di@riders.invalid", brief=None)

    found = weeks.most_asked(TWO_WEEKS, 5)

    assert [(one.leader, one.riders, one.line["text"], one.line["title"]) for one in found] == [
        ("q1", 2, "Ask 1?", "The first of them"),
        ("q5", 1, "Ask 5?", None),
    ]
    assert [one.leader for one in weeks.most_asked(TWO_WEEKS, 1)] == ["q1"]
    assert [one.leader for one in weeks.most_asked(TWO_WEEKS, 5, without_brief=True)] == ["q5"]


def test_a_group_whose_leader_is_gone_is_told_by_another_of_it(weeks, came):
    came(2, "2026-11-10T09:00:00+00:00", repeats_of="q1")

    assert [(one.leader, one.riders, one.line["text"]) for one in weeks.most_asked(TWO_WEEKS, 5)] == [
        ("q1", 1, "Ask 2?")
    ]


def test_corrections_of_the_period_come_in_their_order(ledger, weeks):
    corrected(ledger, 1, "topic", "tyres", "2026-11-08T23:59:59Z")
    corrected(ledger, 1, "detail", "rim_inner_width_mm=19", "2026-11-09T00:00:00Z")
    corrected(ledger, 2, "brief", "tyres/rim-width", "2026-11-20T23:59:59Z")
    corrected(ledger, 2, "topic", "brakes", "2026-11-21T00:00:00Z")

    assert weeks.corrections(TWO_WEEKS) == [
        {"question_id": "q1", "kind": "detail", "now": "rim_inner_width_mm=19"},
        {"question_id": "q2", "kind": "brief", "now": "tyres/rim-width"},
    ]


def test_days_to_the_sign_off_of_what_was_signed_in_the_period(ledger, weeks, came):
    came(1, "2026-10-01T12:00:00+02:00")
    came(2, "2026-11-18T09:00:00+00:00")
    came(3, "2026-11-19T10:00:00+00:00")
    came(4, "2026-11-18T09:00:00+00:00")
    read_in_on(ledger, came(5, None), "2026-11-10T09:00:00Z")
    signed(ledger, 1, "2026-11-10T10:00:00Z")
    signed(ledger, 2, "2026-11-20T21:00:00Z")
    signed(ledger, 3, "2026-11-19T09:00:00Z")
    signed(ledger, 4, "2026-11-21T00:00:00Z")
    signed(ledger, 5, "2026-11-13T09:00:00Z")

    # The third rider's clock ran an hour ahead; the fourth was signed a day after the period.
    assert weeks.days_to_sign(TWO_WEEKS) == [0.0, 2.5, 3.0, 40.0]


def test_a_lost_sign_off_is_no_answer(ledger, weeks, came):
    came(1, "2026-11-18T09:00:00+00:00")
    signed(ledger, 1, "2026-11-19T09:00:00Z")
    with ledger.engine.begin() as connection:
        connection.execute(sa.update(REVIEWS).values(state="in-hand"))

    assert weeks.days_to_sign(TWO_WEEKS) == []


def test_days_to_the_sent_mail_count_each_question_that_it_answers(ledger, weeks, came):
    mailed(ledger, came(1, "2026-11-18T09:00:00+00:00"), '["q1", "q1b"]', "2026-11-19T09:00:00Z")
    mailed(ledger, came(2, "2026-11-18T09:00:00+00:00"), '["q2"]', "2026-11-19T09:00:00Z", "failed")
    mailed(ledger, came(3, "2026-11-18T09:00:00+00:00"), '["q3"]', None, "sending")
    mailed(ledger, came(4, "2026-11-18T09:00:00+00:00"), '["q4"]', "2026-11-21T00:00:00Z")

    assert weeks.days_to_mail(TWO_WEEKS) == [1.0, 1.0]


def test_states_count_every_question_and_what_nobody_touched_is_new(ledger, weeks, came):
    assert weeks.states() == {"new": 0}
    for number in (1, 2, 3):
        came(number, "2026-01-01T09:00:00+00:00")
    came(4, "2026-11-18T09:00:00+00:00", is_question=False)
    signed(ledger, 1, "2026-11-19T09:00:00Z")
    signed(ledger, 4, "2026-11-19T09:00:00Z")
    fresh = Review("q2")
    ledger.reviews.save(fresh, fresh, EDITOR, [])

    assert weeks.states() == {"new": 2, "signed": 1}


def test_what_was_set_aside_is_counted_by_its_flags(ledger, weeks, came):
    came(1, "2026-11-18T09:00:00+00:00", is_question=False, flags=["spam"])
    came(2, "2026-11-18T09:00:00+00:00", is_question=False, flags=["picture", "thanks"])
    read_in_on(ledger, came(3, None, is_question=False, flags=["spam"]), "2026-11-18T09:00:00Z")
    came(4, "2026-11-18T09:00:00+00:00", is_question=False)
    came(5, "2026-11-21T09:00:00+00:00", is_question=False, flags=["spam"])
    came(6, "2026-11-18T09:00:00+00:00", flags=["urgent"])

    assert weeks.set_aside(TWO_WEEKS) == {("spam",): 2, ("picture", "thanks"): 1, (): 1}

"""An episode from the ledger: signed answers only, wishes remembered, aired once, promises and corrections first."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from knowledge.episode import load_episode_rules
from triage.episode.candidates import closer_script, correction_script, offered
from triage.episode.making import UNSIGNED, USUAL_PACE, air, make, pace_of, wish
from triage.ledger import ClashError, Person, open_ledger
from triage.review.acts import Bench

ANA, PRE = Person("Ana", "editor"), Person("Pip", "presenter")
DAY = "2026-11-27"


@pytest.fixture
def bench(thirty_signed, knowledge, phrases):
    """A bench over the drafted sample inbox, thirty answers of it signed off."""
    ledger = open_ledger(thirty_signed)
    yield Bench(ledger, knowledge, phrases)
    ledger.close()


@pytest.fixture(scope="module")
def rules():
    """The shipped rules."""
    return load_episode_rules()


def planned(bench, rules, minutes=15, **wishes):
    episode = bench.ledger.episodes.planned(DAY, minutes * 60)
    if wishes:
        episode = wish(bench.ledger, episode, PRE, **wishes)
    return make(bench, rules, episode)


def test_an_episode_is_full_mixed_signed_and_ends_on_a_light_one(bench, rules):
    made = planned(bench, rules)

    items = [chosen.candidate for chosen in made.plan.items]
    questions = [one for one in items if one.kind == "question"]
    assert 13 * 60 <= made.plan.seconds <= 15 * 60
    assert made.show.total_seconds == pytest.approx(made.plan.seconds, abs=30)
    assert len({one.topic for one in questions}) >= 3
    assert items[-1].kind == "closer"
    signed = {review.question_id for review in bench.ledger.reviews.signed()}
    assert {one.question_id for one in questions} <= signed
    assert all(chosen.why for chosen in made.plan.items)


def test_what_nobody_signed_is_offered_only_for_a_look_ahead(bench, rules):
    offers = offered(bench.ledger, bench.knowledge, USUAL_PACE, is_signed=False)
    assert any(not one.candidate.is_signed for one in offers)

    ahead = make(bench, rules, bench.ledger.episodes.planned(DAY, 3600), also_unsigned=True)

    marked = {chosen.candidate.key for chosen in ahead.plan.items if UNSIGNED in chosen.why}
    assert marked == set(ahead.unsigned)
    assert marked
    assert not planned(bench, rules, 60).unsigned


def test_a_pin_comes_in_a_drop_goes_out_and_both_are_remembered(bench, rules):
    first = planned(bench, rules)
    chosen = {one.candidate.key for one in first.plan.items}
    left_out = next(near.candidate.key for near in first.plan.near_misses)
    out = next(one.candidate.key for one in first.plan.items if one.candidate.kind == "question")

    planned(bench, rules, pin=[left_out], drop=[out])
    again = make(bench, rules, bench.ledger.episodes.planned(DAY, 900))

    keys = {one.candidate.key for one in again.plan.items}
    assert left_out in keys
    assert out not in keys
    assert left_out not in chosen

    freed = planned(bench, rules, free=[left_out, out])
    assert {one.candidate.key for one in freed.plan.items} == chosen


def test_a_correction_comes_first_and_is_done_with_once_aired(bench, rules):
    question = next(c.candidate.question_id for c in planned(bench, rules).plan.items)
    bench.ledger.episodes.put_right(question, "it fits", "it does not fit", "a rider", ANA)

    made = planned(bench, rules)
    first = made.plan.items[0].candidate
    assert (first.kind, first.question_id) == ("correction", question)
    assert "That was wrong. A rider told us, and we are glad of it." in made.show.items[0].item.say

    air(made, bench.ledger, PRE)
    assert bench.ledger.episodes.to_put_right() == []


def test_a_promise_comes_back_once_something_was_found(bench, rules):
    question = next(c.candidate.question_id for c in planned(bench, rules).plan.items)
    number = bench.ledger.episodes.promise(question, "ask a frame builder", "2026-12-17", PRE)
    assert "promise" not in {c.candidate.kind for c in planned(bench, rules).plan.items}

    assert bench.ledger.episodes.found(number, "It may be 1 mm deep at most.")
    made = planned(bench, rules)

    assert made.plan.items[0].candidate.kind == "promise"
    assert "It may be 1 mm deep at most." in made.show.items[0].item.say
    air(made, bench.ledger, PRE)
    assert bench.ledger.episodes.promises() == []
    assert not bench.ledger.episodes.found(number, "again")


def test_what_was_aired_does_not_come_back_and_its_brief_rests(bench, rules):
    made = planned(bench, rules)
    briefs = {one.candidate.brief for one in made.plan.items if one.candidate.kind == "question"}
    air(made, bench.ledger, PRE)

    next_week = (date.fromisoformat(DAY) + timedelta(weeks=1)).isoformat()
    later = make(bench, rules, bench.ledger.episodes.planned(next_week, 900))

    told = [one.candidate for one in later.plan.items if one.candidate.kind == "question"]
    assert told
    assert {one.brief for one in told}.isdisjoint(briefs)


def test_an_episode_is_aired_once(bench, rules):
    made = planned(bench, rules)
    air(made, bench.ledger, PRE)

    with pytest.raises(ClashError):
        air(made, bench.ledger, PRE)


def test_the_pace_is_learnt_from_what_was_aired(bench, rules):
    made = planned(bench, rules)
    assert pace_of(bench.ledger) == USUAL_PACE
    slow = {running.item.place: running.seconds * 1.25 for running in made.show.items}

    air(made, bench.ledger, PRE, slow)

    assert pace_of(bench.ledger) == pytest.approx(USUAL_PACE / 1.25, rel=0.06)


def test_looking_at_a_day_keeps_nothing(bench, rules):
    make(bench, rules, bench.ledger.episodes.for_day("2027-01-07", 900))

    assert bench.ledger.episodes.all() == []


def test_two_presenters_at_once_are_told(bench):
    one = bench.ledger.episodes.planned(DAY, 900)
    wish(bench.ledger, one, PRE, pin=["a"])

    with pytest.raises(ClashError):
        wish(bench.ledger, one, ANA, drop=["b"])


def test_nothing_personal_is_kept_of_what_was_aired(bench, rules):
    air(planned(bench, rules), bench.ledger, PRE)

    kept = " ".join(str(item.as_aired) for item in bench.ledger.episodes.aired())
    assert "@riders.invalid" not in kept
    assert "whole_text" not in kept


def test_scripts_for_what_is_owed_and_for_the_end(bench):
    from triage.ledger.episodes import PutRight

    one = PutRight(1, "q", "60 N·m is enough.", "it is 40 N·m", None, None, "")

    assert correction_script(one, {"title": "Torque of a crank bolt"}) == (
        "First, something to put right. On “Torque of a crank bolt” we said: 60 N·m is enough. "
        "That was wrong. What holds is this: it is 40 N·m. "
        "If you did as we said, look at it again before you ride."
    )
    assert closer_script({"rider": None, "text": "My  bike\nis late"}) == (
        "And to finish with, a viewer writes: “My bike is late”"
    )

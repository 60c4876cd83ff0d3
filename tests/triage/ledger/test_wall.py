"""The wall on both databases: filters, counts, repeats, paging and search."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.triage.ledger.lines import line
from triage.ledger import Filter, Person
from triage.ledger.rows import message_key

ANA = Person("Ana", "editor")


@pytest.fixture
def wall(ledger, message):
    """Five questions, one of them a repeat, and one message set aside."""
    lines = [
        line(1, topic="tyres", verdict="yes", received="2026-11-20T09:00:00+00:00", text="Will a fat tyre fit?"),
        line(2, topic="tyres", verdict="not-recommended", safety=True, received="2026-11-21T09:00:00+00:00",
             text="Tubular came off"),
        line(3, topic="brakes", verdict="need-more", flags=["urgent"], received="2026-11-19T09:00:00+00:00",
             text="Brake squeals", script="Clean the pads first."),
        line(4, topic="brakes", verdict="need-more", received="2026-11-22T09:00:00+00:00", repeats_of="q3",
             text="Squealing again"),
        line(5, topic="wheels", verdict="explain", text="Spokes; DROP TABLE drafts"),
        line(6, topic="other", verdict="none", is_question=False, text="Lovely show"),
    ]  # fmt: skip
    messages = [
        message(one["text"], message_id=one["question_id"], address=f"{one['question_id']}@riders.invalid")
        for one in lines
    ]
    ledger.keep(messages, {message_key(m): [one] for m, one in zip(messages, lines, strict=True)}, "v1")
    ledger.wall.catch_up(lambda one: f"{one['text']} {one.get('script') or ''}")
    return ledger.wall


def ids(cards):
    return [card["question_id"] for card in cards]


@pytest.mark.parametrize(
    ("wanted", "found"),
    [
        (Filter(), ["q3", "q2", "q1", "q5"]),
        (Filter(repeats=True), ["q3", "q4", "q2", "q1", "q5"]),
        (Filter(topic="tyres"), ["q2", "q1"]),
        (Filter(verdict="need-more"), ["q3"]),
        (Filter(safety=True), ["q2"]),
        (Filter(urgent=True), ["q3"]),
        (Filter(group="q3"), ["q3", "q4"]),
        (Filter(aside=True), ["q6"]),
        (Filter(state="signed"), []),
        (Filter(topic="no such"), []),
    ],
)
def test_urgent_ones_come_first_and_then_the_newest(wall, wanted, found):
    cards = ids(wall.cards(wanted, 10))
    # Where a database puts what has no date is its own business; here it is the last or the first of its kind.
    assert sorted(cards) == sorted(found)
    assert [one for one in cards if one != "q5"] == [one for one in found if one != "q5"]


def test_a_card_knows_how_many_asked(wall):
    assert {card["question_id"]: card["asked_by"] for card in wall.cards(Filter(), 10)} == {
        "q1": 1, "q2": 1, "q3": 2, "q5": 1,
    }  # fmt: skip


def test_pages_follow_one_another_without_gap_or_double(wall):
    pages = [ids(wall.cards(Filter(repeats=True), 2, after)) for after in (0, 2, 4, 6)]

    assert sorted(one for page in pages for one in page) == ["q1", "q2", "q3", "q4", "q5"]
    assert [len(page) for page in pages] == [2, 2, 1, 0]


def test_counts_by_topic_verdict_and_state(wall, ledger):
    before = ledger.reviews.of("q1")
    ledger.reviews.save(before, replace(before, state="signed"), ANA, [])

    assert wall.counts(Filter(), "topic") == {"tyres": 2, "brakes": 1, "wheels": 1}
    assert wall.counts(Filter(topic="tyres"), "verdict") == {"yes": 1, "not-recommended": 1}
    assert wall.counts(Filter(), "state") == {"new": 3, "signed": 1}


@pytest.mark.parametrize(
    ("words", "found"),
    [
        ("tyre", ["q1"]),
        ("tyres", ["q1"]),
        ("squeal", ["q3", "q4"]),
        ("pads clean", ["q3"]),
        ("pads tyre", []),
        ("tub", ["q2"]),
        ("drop table", ["q5"]),
        ('"', []),
        ("tyre OR brake", []),
        ("tyre*", ["q1"]),
        ("NEAR(tyre)", []),
        ("'; --", []),
        ("words:tyre", []),
    ],
)
def test_search_takes_words_and_no_commands(wall, words, found):
    assert sorted(ids(wall.cards(Filter(words=words), 10))) == found


def test_search_follows_an_edited_text(wall, ledger):
    before = ledger.reviews.of("q3")
    ledger.reviews.save(before, replace(before, state="in-hand", script="Bed the rotor in."), ANA, [])

    assert ids(wall.cards(Filter(words="rotor"), 10)) == []
    assert wall.catch_up(lambda one: str(one.get("script"))) == 1
    assert ids(wall.cards(Filter(words="rotor"), 10)) == ["q3"]
    assert ids(wall.cards(Filter(words="pads"), 10)) == []
    assert wall.catch_up(str) == 0


def test_the_next_card_is_the_one_behind_it(wall):
    assert [wall.beside(Filter(topic="tyres"), one) for one in ("q2", "q1", "q9")] == ["q1", None, None]


def test_lines_come_in_the_order_in_which_they_were_asked_for(wall):
    assert ids(wall.by_id(["q5", "no such", "q1"])) == ["q5", "q1"]


def test_questions_of_one_message_know_each_other(ledger, message):
    one = message("Two things.")
    ledger.keep([one], {message_key(one): [line(1), line(2)]}, "v1")

    assert ledger.wall.siblings("q2") == ["q1", "q2"]

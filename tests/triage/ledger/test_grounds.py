"""Grounds on both databases: caught up in bounded steps, and what went out is found by what it stood on then."""

from __future__ import annotations

from dataclasses import replace

import pytest
import sqlalchemy as sa

from tests.triage.ledger.lines import line
from triage.ledger import Deed, Person
from triage.ledger.episodes import Item
from triage.ledger.mails import MailOrder
from triage.ledger.rows import message_key
from triage.ledger.schema import DRAFTS

ANA = Person("Ana", "editor")


def grounds_of(one):
    """A draft of these tests stands on its sources alone."""
    return {f"source {key}": f"said {key}" for key in one["sources"]}


@pytest.fixture
def grounds(ledger):
    return ledger.grounds


@pytest.fixture
def keep(ledger, message):
    """Keep a draft that stands on some sources, in place of the one before."""

    def make(number, *sources, day="2026-11-20", **changes):
        one = draft(number, *sources, received=f"{day}T09:00:00+00:00", **changes)
        mail = message(f"Ask {number}", message_id=f"m{number}@riders.invalid")
        ledger.keep([mail], {message_key(mail): [one]}, "v1")
        return message_key(mail)

    return make


def draft(number, *sources, **changes):
    return line(number, sources=list(sources), figures=[], title="Does it fit?", rider="Bo", **changes)


def change(ledger, question, *sources, **changes):
    """The draft worked out otherwise, as after a correction."""
    before = ledger.reviews.of(question)
    ledger.reviews.save(before, before, ANA, [], line=draft(question[1:], *sources, **changes))


def send(ledger, key, question):
    """Sign a draft off and send its mail."""
    before = ledger.reviews.of(question)
    ledger.reviews.save(before, replace(before, state="signed"), ANA, [Deed("signed")])
    ledger.mails.order([MailOrder(key, f"{question}@desk.invalid", "digest", (question,))], ANA)
    assert ledger.mails.take(key)
    assert ledger.mails.finish(key, "sent", "250 fine", ANA)


def air(ledger, question, *sources, day="2026-11-27", **changes):
    """Say an answer on a show, as it stood on these sources."""
    said = {
        "brief": None,
        "verdict": "explain",
        "figures": [],
        "sources": list(sources),
        "title": "On air",
        **changes,
    }
    items = [Item(1, "question", question, 60.0, 61.0, as_aired=said)]
    ledger.episodes.air(ledger.episodes.planned(day, 900.0), items, ANA)


def test_every_draft_is_found_by_what_it_stands_on_the_newest_first(grounds, keep):
    keep(1, "iso-286", "mechanics", day="2026-11-20")
    keep(2, "mechanics", day="2026-11-22")
    keep(3, day="2026-11-21")
    keep(4, "iso-286", day="2026-11-23")

    assert grounds.catch_up(grounds_of) == 4
    assert grounds.standing_on(["source iso-286"]) == ["q4", "q1"]
    assert grounds.standing_on(["source mechanics"]) == ["q2", "q1"]
    assert grounds.standing_on(["source iso-286", "source mechanics"]) == ["q4", "q2", "q1"]
    assert grounds.standing_on(["source iso"]) == []
    assert grounds.standing_on([]) == []


def test_only_what_changed_is_looked_at_again_and_stands_on_the_new_ones_alone(ledger, grounds, keep):
    keep(1, "iso-286")
    keep(2, "iso-286")
    grounds.catch_up(grounds_of)

    change(ledger, "q1", "mechanics")
    looked_at = []

    assert grounds.behind() == 1
    assert grounds.catch_up(lambda one: looked_at.append(one["question_id"]) or grounds_of(one)) == 1
    assert looked_at == ["q1"]
    assert grounds.behind() == 0
    assert grounds.standing_on(["source iso-286"]) == ["q2"]
    assert grounds.standing_on(["source mechanics"]) == ["q1"]
    assert grounds.catch_up(grounds_of) == 0


def test_catching_up_can_be_bounded_and_gone_on_with(grounds, keep):
    for number in range(1, 8):
        keep(number, "iso-286")
    told = []

    assert grounds.catch_up(grounds_of, most=3, on_each=lambda: told.append(1)) == 3
    assert (grounds.behind(), len(told)) == (4, 3)
    assert grounds.catch_up(grounds_of, most=10) == 4
    assert len(grounds.standing_on(["source iso-286"])) == 7


def test_a_draft_that_changes_while_it_is_looked_at_is_looked_at_again(ledger, grounds, keep):
    keep(1, "iso-286")
    calls = []

    def slow(one):
        calls.append(one["sources"])
        if len(calls) == 1:
            change(ledger, "q1", "mechanics")
        return grounds_of(one)

    assert grounds.catch_up(slow) == 1
    assert calls == [["iso-286"], ["mechanics"]]
    assert grounds.standing_on(["source iso-286"]) == []
    assert grounds.standing_on(["source mechanics"]) == ["q1"]


def test_a_sent_reply_is_found_by_what_it_stood_on_though_its_draft_stands_on_other_things_now(
    ledger, grounds, keep
):
    key = keep(1, "iso-286")
    grounds.catch_up(grounds_of)
    send(ledger, key, "q1")

    change(ledger, "q1", "mechanics")
    grounds.catch_up(grounds_of)

    assert grounds.standing_on(["source iso-286"]) == ["q1"]
    assert grounds.standing_on(["source mechanics"]) == ["q1"]


def test_what_a_signature_stands_on_counts_also_where_the_draft_is_looked_at_later(ledger, grounds, keep):
    keep(1, "mechanics")
    before = ledger.reviews.of("q1")
    signed = replace(before, state="signed", stands_on={"row brakes/fluids#dot-4-wet": "said then"})
    ledger.reviews.save(before, signed, ANA, [Deed("signed")])

    grounds.catch_up(grounds_of)

    assert grounds.standing_on(["row brakes/fluids#dot-4-wet"]) == ["q1"]


def test_a_broadcast_is_found_by_what_was_said(ledger, grounds, keep):
    keep(1, "iso-286")
    air(ledger, "q1", "iso-286")
    change(ledger, "q1", "mechanics")

    grounds.catch_up(grounds_of)

    assert grounds.standing_on(["source iso-286"]) == ["q1"]
    assert grounds.standing_on(["source mechanics"]) == ["q1"]


def test_a_broadcast_is_found_also_where_its_draft_is_gone(ledger, grounds, keep):
    keep(1, "iso-286")
    keep(2, "iso-286")
    grounds.catch_up(grounds_of)
    air(ledger, "q9", "iso-286", "mechanics")
    with ledger.engine.begin() as connection:
        connection.execute(sa.delete(DRAFTS).where(DRAFTS.c.question_id == "q1"))

    assert grounds.catch_up(grounds_of) == 0
    assert grounds.standing_on(["source iso-286"]) == ["q9", "q2"]
    assert grounds.standing_on(["source mechanics"]) == ["q9"]


def test_what_was_aired_comes_first_then_what_was_sent_then_the_rest(ledger, grounds, keep):
    keep(1, "iso-286", day="2026-11-01")
    key = keep(2, "iso-286", day="2026-11-02")
    keep(3, "iso-286", day="2026-11-03")
    keep(4, "iso-286", day="2026-11-04")
    grounds.catch_up(grounds_of)
    air(ledger, "q1", "iso-286")
    send(ledger, key, "q2")

    assert grounds.standing_on(["source iso-286"]) == ["q1", "q2", "q4", "q3"]


def test_when_an_answer_went_out_and_what_was_done_to_it_after(ledger, grounds, keep):
    key = keep(1, "iso-286")
    keep(2, "iso-286")
    before = ledger.reviews.of("q1")
    ledger.reviews.save(before, before, ANA, [Deed("corrected", why="before the sending")])
    send(ledger, key, "q1")
    before = ledger.reviews.of("q1")
    ledger.reviews.save(before, before, ANA, [Deed("sign-off lost", why="after the sending")])
    air(ledger, "q1", "mechanics", verdict="yes")
    air(ledger, "q1", "mechanics", verdict="yes-if", day="2026-12-04")

    found = grounds.went_out(["q1", "q2"])

    assert list(found) == ["q1"]
    assert found["q1"].sent[:2] == "20"
    assert found["q1"].since == ("after the sending",)
    assert [(day, said["verdict"]) for day, said in found["q1"].aired] == [
        ("2026-11-27", "yes"),
        ("2026-12-04", "yes-if"),
    ]


def test_drafts_come_as_they_were_worked_out_with_their_states(ledger, grounds, keep):
    keep(1, "iso-286")
    keep(2, "iso-286")
    before = ledger.reviews.of("q2")
    ledger.reviews.save(before, replace(before, state="in-hand", reply="Edited."), ANA, [])

    found = grounds.drafts(["q2", "q1", "q7"])

    assert {key: kept.state for key, kept in found.items()} == {"q1": "new", "q2": "in-hand"}
    assert "reply" not in found["q2"].line


def test_known_names_are_found_by_a_piece_of_them(grounds, keep):
    keep(1, "iso-286", "ISO-15", "mechanics", "a_b", "axb", "50%")
    grounds.catch_up(grounds_of)

    assert grounds.like("iso") == ["source ISO-15", "source iso-286"]
    assert grounds.like("a_b") == ["source a_b"]
    assert grounds.like("%") == ["source 50%"]
    assert grounds.like("nothing of that kind") == []
    assert grounds.like("source", most=2) == ["source 50%", "source a_b"]
    assert grounds.known(["source iso-286", "source iso"]) == ["source iso-286"]
    assert grounds.under("source iso-") == ["source iso-286"]
    assert grounds.under("source ", "-286") == ["source iso-286"]

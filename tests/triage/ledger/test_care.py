"""The check of a ledger finds each thing that can be wrong with it, says what to do, and finds nothing where all is well."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest
import sqlalchemy as sa

from tests.triage.ledger.lines import line
from triage.ledger import Deed, Person, open_ledger
from triage.ledger.care import MOST_TOLD, REMEDIES, check
from triage.ledger.forget import forget
from triage.ledger.mails import MailOrder
from triage.ledger.rows import message_key
from triage.ledger.schema import (
    ABOUT,
    DEEDS,
    DRAFTS,
    EPISODES,
    FORGETTING,
    ITEMS,
    MAILS,
    MESSAGES,
    REVIEWS,
    wall_columns,
)
from triage.personal import without_a_trace

EDITOR = Person("Bea", "editor")


@pytest.fixture
def ledger(tmp_path):
    """A new ledger in a file; the last test does the same on PostgreSQL."""
    opened = open_ledger(tmp_path / "desk.sqlite")
    yield opened
    opened.close()


@pytest.fixture
def keys(ledger, message):
    """Four messages: one new, one signed, one sent, one waiting to be sent; and a fifth that is set aside."""
    return _filled(ledger, message)


def _filled(ledger, message):
    messages = [
        message(f"Ask {n}?", message_id=f"m{n}@riders.invalid", address=f"rider{n}@riders.invalid")
        for n in range(5)
    ]
    found = [message_key(one) for one in messages]
    asks = {
        key: [line(n, message_id=f"m{n}@riders.invalid", is_question=n != 4, text=f"Ask {n}?")]
        for n, key in enumerate(found)
    }
    ledger.keep(messages, asks, "v1")
    for number in (1, 2, 3):
        _act(
            ledger, number, Deed("signed"), state="signed", signed_by="Bea", signed_at="2026-11-21T09:00:00Z"
        )
    for number in (2, 3):
        ledger.mails.order(
            [MailOrder(found[number], f"r{number}@show.invalid", "d", (f"q{number}",))], EDITOR
        )
    assert ledger.mails.take(found[2])
    assert ledger.mails.finish(found[2], "sent", "250 ok", EDITOR)
    return found


def _act(ledger, number, deed, **changes):
    before = ledger.reviews.of(f"q{number}")
    ledger.reviews.save(before, replace(before, **changes), EDITOR, [deed] if deed else [])


def _spoil(ledger, statement):
    with ledger.engine.begin() as connection:
        if ledger.engine.dialect.name == "sqlite":
            connection.exec_driver_sql("PRAGMA foreign_keys=OFF")
        connection.execute(statement)


def _of(table, column, value):
    return sa.update(table).where(table.c[column] == value)


def _kinds(ledger):
    return dict(check(ledger).found)


def test_a_ledger_with_signed_sent_and_waiting_replies_is_sound_and_counted(ledger, keys):
    checked = check(ledger)

    assert (checked.faults, checked.is_sound) == ([], True)
    assert checked.counts == {
        "messages": {"kept": 5, "forgotten": 0},
        "drafts": {"questions": 4, "set aside": 1},
        "questions": {"new": 1, "in-hand": 0, "returned": 0, "signed": 2, "sent": 1},
        "replies": {"waiting": 1, "going": 0, "sent": 1, "refused": 0, "unclear": 0},
        "history": {"deeds": 4},
    }


def test_edits_lost_sign_offs_and_steps_taken_back_are_no_faults(ledger, keys):
    _act(ledger, 0, Deed("edited", "reply", "", "x"), state="in-hand", reply="x")
    number = ledger.reviews.history("q0")[0].number
    _act(ledger, 0, Deed("took back", "reply", "x", "", takes_back=number), reply=None)
    _act(ledger, 0, Deed("signed"), state="signed", signed_by="Bea")
    _act(ledger, 0, Deed("sign-off lost", why="A row changed."), state="in-hand", signed_by=None)

    assert _kinds(ledger) == {}


def test_a_forgotten_rider_leaves_a_sound_ledger(ledger, keys):
    forget(ledger, "rider2@riders.invalid", without_a_trace, EDITOR)

    checked = check(ledger)

    assert checked.faults == []
    assert checked.counts["messages"] == {"kept": 4, "forgotten": 1}


def test_the_sample_inbox_drafted_is_sound(drafted):
    ledger = open_ledger(drafted)
    checked = check(ledger)
    ledger.close()

    assert checked.faults == []
    assert checked.counts["messages"]["kept"] > 60


SPOILT = {
    "message without drafts": lambda: sa.delete(DRAFTS).where(DRAFTS.c.question_id == "q0"),
    "message changed": lambda: _of(MESSAGES, "message_id", "m0@riders.invalid").values(body="Ask nothing?"),
    "draft disagrees": lambda: _of(DRAFTS, "question_id", "q0").values(verdict="yes"),
    "draft unreadable": lambda: _of(DRAFTS, "question_id", "q0").values(line='{"question_id": "q0", '),
    "leader gone": lambda: _of(DRAFTS, "question_id", "q0").values(
        leader="q9", line=json.dumps(line(0, text="Ask 0?", message_id="m0@riders.invalid", repeats_of="q9"))
    ),
    "sign-off disagrees": lambda: _of(DRAFTS, "question_id", "q0").values(signed=True),
    "review unreadable": lambda: _of(REVIEWS, "question_id", "q1").values(ticks="{half"),
    "signed draft gone": lambda: sa.delete(DRAFTS).where(DRAFTS.c.question_id == "q1"),
    "history disagrees": lambda: sa.insert(DEEDS).values(
        question_id="q1", person="Bea", role="editor", kind="unticked", takes_back=99, made="now"
    ),
    "history unguarded": lambda: sa.insert(ABOUT).values(key=FORGETTING, value="now"),
    "reply disagrees": lambda: _of(MAILS, "state", "sent").values(state="waiting"),
    "episode unreadable": lambda: sa.insert(EPISODES).values(
        day="2026-11-20", seconds=600, state="planned", version=1, wishes="none", made="now"
    ),
}


@pytest.mark.parametrize("kind", SPOILT)
def test_each_kind_of_fault_is_found_and_says_what_to_do(ledger, keys, kind):
    _spoil(ledger, SPOILT[kind]())

    checked = check(ledger)

    assert checked.found[kind] >= 1
    fault = next(one for one in checked.faults if one.kind == kind)
    assert fault.where
    assert fault.told
    assert fault.remedy.endswith(".")
    assert not checked.is_sound


def test_every_remedy_belongs_to_a_fault_that_was_tried():
    assert set(REMEDIES) - set(SPOILT) == {"draft without message", "review without history"}


def test_a_draft_without_its_message_is_found(ledger, message):
    one = message("Ask?")
    ledger.keep([one], {message_key(one): [line(1)]}, "v1")
    _spoil(ledger, sa.delete(MESSAGES))

    assert _kinds(ledger) == {"database": 1, "draft without message": 1}


def test_a_change_that_nobody_made_is_found(ledger, keys):
    _act(ledger, 0, None, state="in-hand")

    (fault,) = check(ledger).faults

    assert (fault.kind, fault.where) == ("review without history", "question q0")


@pytest.mark.parametrize(
    ("number", "changes", "told"),
    [
        (1, {"state": "in-hand"}, "lost its sign-off without a word"),
        (0, {"state": "signed", "signed_by": "Bea"}, "is signed, and the history does not say so"),
        (1, {"signed_by": None}, "was changed after it was signed, or nobody signed it"),
    ],
)
def test_a_sign_off_that_the_history_does_not_know_is_found(ledger, keys, number, changes, told):
    _act(ledger, number, Deed("ticked", "a"), **changes)

    assert told in [fault.told for fault in check(ledger).faults]


def test_a_text_edited_under_a_signature_is_found(ledger, keys):
    _act(ledger, 1, Deed("edited", "reply", "a", "b"), reply="b")

    (fault,) = check(ledger).faults

    assert (fault.kind, fault.where) == ("sign-off disagrees", "question q1")


def test_a_reply_sent_twice_is_found(ledger, keys):
    ledger.reviews.record(Deed("sent", question_id="q2"), EDITOR)

    assert [fault.told for fault in check(ledger).faults] == ["the history says that q2 was sent 2 times"]


def test_a_reply_to_another_riders_question_is_found(ledger, keys):
    _spoil(ledger, _of(MAILS, "message_key", keys[3]).values(question_ids='["q1"]'))

    assert [fault.told for fault in check(ledger).faults] == ["answers q1, which another message asks"]


def test_a_line_that_lacks_what_a_draft_has_is_unreadable(ledger, keys):
    for text in ("{}", "[]", "7", json.dumps({"question_id": "q0", "repeats_of": None, "flags": 3})):
        _spoil(ledger, _of(DRAFTS, "question_id", "q0").values(line=text))

        assert "draft unreadable" in _kinds(ledger)


def test_an_aired_item_that_cannot_be_read_is_found(ledger, keys):
    episode = ledger.episodes.planned("2026-11-20", 600)
    _spoil(
        ledger,
        sa.insert(ITEMS).values(
            episode=episode.number, place=1, kind="question", planned_seconds=10, words=3, as_aired="{"
        ),
    )

    assert _kinds(ledger) == {"episode unreadable": 1}


def test_a_history_whose_guard_was_taken_away_is_found(ledger, keys):
    _spoil(ledger, sa.text("DROP TRIGGER deeds_stand"))

    assert _kinds(ledger) == {"history unguarded": 1}


def test_of_many_faults_the_first_are_told_and_all_counted(ledger, message):
    many = [message(f"Ask {n}", message_id=f"m{n}") for n in range(MOST_TOLD + 10)]
    ledger.keep(many, {message_key(one): [line(n)] for n, one in enumerate(many)}, "v1")
    _spoil(ledger, sa.update(DRAFTS).values(**{**wall_columns(line(1)), "verdict": "none"}))

    checked = check(ledger)

    assert checked.found["draft disagrees"] == MOST_TOLD + 10
    assert len(checked.faults) == MOST_TOLD


def test_the_check_hears_how_far_it_is_and_changes_nothing(ledger, keys):
    heard = []
    with ledger.engine.connect() as connection:
        before = connection.execute(sa.select(REVIEWS)).all()

    check(ledger, lambda done, total: heard.append((done, total)))

    assert heard[-1] == (5 + 5 + 3 + 2 + 4, 5 + 5 + 3 + 2 + 4)
    with ledger.engine.connect() as connection:
        assert connection.execute(sa.select(REVIEWS)).all() == before


def test_what_is_written_during_the_check_does_not_make_it_stumble(ledger, keys, message):
    """The check sees one moment: a draft that comes in halfway is not half seen."""
    more = message("One more?", message_id="m9")

    def write(done, _total):
        if done == 5:
            ledger.keep([more], {message_key(more): [line(9)]}, "v1")

    checked = check(ledger, write)

    assert checked.faults == []
    assert checked.counts["drafts"] == {"questions": 4, "set aside": 1}
    assert check(ledger).counts["drafts"] == {"questions": 5, "set aside": 1}


def test_a_ledger_on_a_server_is_sound_until_everything_is_spoilt_in_it(server, message):
    ledger = open_ledger(server)
    _filled(ledger, message)
    more = message("One more?", message_id="m9")

    def write(done, _total):
        if done == 5:
            ledger.keep([more], {message_key(more): [line(9)]}, "v1")

    sound = check(ledger, write)
    for kind in SPOILT:
        if kind not in ("draft disagrees", "draft unreadable", "leader gone", "sign-off disagrees"):
            _spoil(ledger, SPOILT[kind]())
    for number, kind in (
        (3, "draft disagrees"),
        (4, "draft unreadable"),
        (9, "leader gone"),
        (2, "sign-off disagrees"),
    ):
        _spoil(ledger, SPOILT_ON_A_SERVER[kind](f"q{number}"))
    _spoil(ledger, sa.text("ALTER TABLE deeds DISABLE TRIGGER deeds_stand"))
    spoilt = check(ledger)

    ledger.close()
    assert (sound.faults, sound.counts["drafts"]) == ([], {"questions": 4, "set aside": 1})
    assert set(spoilt.found) == set(SPOILT)


SPOILT_ON_A_SERVER = {
    "draft disagrees": lambda one: _of(DRAFTS, "question_id", one).values(verdict="yes"),
    "draft unreadable": lambda one: _of(DRAFTS, "question_id", one).values(line='{"question_id": "q0", '),
    "leader gone": lambda one: _of(DRAFTS, "question_id", one).values(leader="q77"),
    "sign-off disagrees": lambda one: _of(DRAFTS, "question_id", one).values(signed=False),
}

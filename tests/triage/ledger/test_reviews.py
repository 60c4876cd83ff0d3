"""Reviews and history on both databases: whole or not at all, the second to save is told, nothing is taken out."""

from __future__ import annotations

from dataclasses import replace

import pytest
import sqlalchemy as sa

from tests.triage.ledger.lines import line
from triage.ledger import ClashError, Deed, Person
from triage.ledger.rows import message_key
from triage.ledger.schema import DEEDS, DRAFTS
from triage.ledger.store import AS_READ, correction_row

ANA = Person("Ana", "editor")


@pytest.fixture
def kept(ledger, message):
    """A ledger with one drafted message."""
    one = message("Is it safe?")
    ledger.keep(
        [one], {message_key(one): [line(1, script="Drafted.", reply="Hi.", script_seconds=2.0)]}, "v1"
    )
    return ledger


def test_a_draft_that_nobody_touched_is_new(kept):
    review = kept.reviews.of("q1")

    assert (review.state, review.version, review.is_signed) == ("new", 0, False)


def test_what_is_saved_comes_back_with_its_history(kept):
    before = kept.reviews.of("q1")
    after = replace(before, state="in-hand", script="Edited.", script_seconds=3.0, ticks={"f": {"by": "Ana"}})

    saved = kept.reviews.save(before, after, ANA, [Deed("edited", "script", "Drafted.", "Edited.")])

    assert (saved.version, saved.script, saved.ticks) == (1, "Edited.", {"f": {"by": "Ana"}})
    (deed,) = kept.reviews.history("q1")
    assert (deed.person, deed.role, deed.kind, deed.was, deed.now) == (
        "Ana", "editor", "edited", "Drafted.", "Edited.",
    )  # fmt: skip


@pytest.mark.parametrize("versions", [0, 1])
def test_the_second_of_two_is_told_and_leaves_no_trace(kept, versions):
    before = kept.reviews.of("q1")
    for _ in range(versions):
        before = kept.reviews.save(before, replace(before, state="in-hand"), ANA, [])
    kept.reviews.save(before, replace(before, state="in-hand", reply="First."), ANA, [Deed("edited")])

    with pytest.raises(ClashError):
        kept.reviews.save(
            before,
            replace(before, reply="Second."),
            Person("Bo", "desk"),
            [Deed("edited")],
            line=line(1, verdict="yes"),
        )

    assert kept.reviews.of("q1").reply == "First."
    assert [deed.person for deed in kept.reviews.history()] == ["Ana"]
    assert kept.question("q1")["verdict"] == "explain"


def test_edited_texts_lie_over_the_draft_wherever_it_is_read(kept, message):
    before = kept.reviews.of("q1")
    kept.reviews.save(before, replace(before, state="in-hand", script="Edited.", script_seconds=9.0), ANA, [])

    ((_, read),) = kept.lines([message_key(message("Is it safe?"))])

    assert (read["script"], read["script_seconds"], read["reply"], read["state"]) == (
        "Edited.", 9.0, "Hi.", "in-hand",
    )  # fmt: skip
    assert kept.question("q1")["script"] == "Drafted."


def test_a_signed_draft_is_not_drafted_anew_and_an_unsigned_one_is(kept, message):
    key = message_key(message("Is it safe?"))
    before = kept.reviews.of("q1")
    signed = kept.reviews.save(
        before, replace(before, state="signed", signed_by="Ana"), ANA, [Deed("signed")]
    )

    assert kept.drafted([key], "v2") == {key}
    kept.keep([message("Is it safe?")], {key: [line(1, script="Anew.")]}, "v2")
    assert kept.question("q1")["script"] == "Drafted."

    kept.reviews.save(signed, replace(signed, state="in-hand"), ANA, [])
    assert kept.drafted([key], "v2") == set()


def test_a_review_outlives_a_draft_made_anew(kept, message):
    before = kept.reviews.of("q1")
    kept.reviews.save(before, replace(before, state="in-hand", script="Edited."), ANA, [])

    kept.keep(
        [message("Is it safe?")], {message_key(message("Is it safe?")): [line(1, script="Anew.")]}, "v2"
    )

    assert kept.question("q1")["script"] == "Anew."
    assert kept.reviews.of("q1").script == "Edited."


@pytest.mark.parametrize("change", [sa.delete(DEEDS), sa.update(DEEDS).values(person="Nobody")])
def test_the_history_is_only_added_to(kept, change):
    before = kept.reviews.of("q1")
    kept.reviews.save(before, replace(before, state="in-hand"), ANA, [Deed("edited")])

    with (
        pytest.raises(sa.exc.SQLAlchemyError, match="the history is only added to"),
        kept.engine.begin() as c,
    ):
        c.execute(change)

    assert [deed.person for deed in kept.reviews.history()] == ["Ana"]


def test_a_correction_comes_with_its_draft_or_not_at_all(kept):
    before = kept.reviews.of("q1")
    row = correction_row(line(1), "detail", None, "tyre_width_mm=28")

    with pytest.raises(sa.exc.SQLAlchemyError):
        kept.reviews.save(
            before,
            replace(before, state="in-hand"),
            ANA,
            [Deed("corrected"), Deed(None)],  # type: ignore[arg-type]
            line=line(1, verdict="yes"),
            corrections=[row],
        )

    assert kept.corrections("q1") == []
    assert kept.question("q1")["verdict"] == "explain"
    assert kept.reviews.of("q1").version == 0


def test_a_correction_taken_back_is_none_any_more(kept):
    before = kept.reviews.of("q1")
    rows = [
        correction_row(line(1), "detail", None, "tyre_width_mm=28"),
        correction_row(line(1), "brief", None, "tyres/rim-width"),
        correction_row(line(1), AS_READ, None, "detail tyre_width_mm"),
    ]
    kept.reviews.save(before, replace(before, state="in-hand"), ANA, [], corrections=rows)

    assert [row["now"] for row in kept.corrections("q1")] == ["tyres/rim-width"]


def test_the_wall_follows_a_draft_worked_out_anew(kept):
    before = kept.reviews.of("q1")

    kept.reviews.save(
        before,
        replace(before, state="in-hand"),
        ANA,
        [],
        line=line(1, verdict="yes", topic="wheels", safety=True),
    )

    with kept.engine.connect() as connection:
        row = connection.execute(sa.select(DRAFTS)).one()
    assert (row.verdict, row.topic, row.is_safety) == ("yes", "wheels", True)


def test_people_sessions_and_the_one_time_key(ledger):
    people = ledger.people
    people.put("Ana", "editor", "hash")
    people.begin_session("t1", "Ana", "editor", 60)
    people.begin_session("t2", "Ana", "editor", -1)
    people.leave_key("k", 60)

    assert people.of("aNA").role == "editor"
    assert people.session("t1") == ("Ana", "editor")
    assert people.session("t2") is None
    assert [people.use_key("x"), people.use_key("k"), people.use_key("k")] == [False, True, False]

    people.put("ana", "desk", "other")

    assert [(member.name, member.role) for member in people.all()] == [("ana", "desk")]
    assert people.session("t1") is None


def test_a_key_that_is_too_old_no_longer_fits(ledger):
    ledger.people.leave_key("k", -1)

    assert not ledger.people.use_key("k")


def test_the_secret_stays_the_same(ledger):
    assert ledger.people.secret("first") == "first"
    assert ledger.people.secret("second") == "first"

"""Ordered mails on both databases: what is ready, who takes what, and that only a person lets one go out again."""

from __future__ import annotations

import threading
from dataclasses import replace

import pytest
import sqlalchemy as sa

from tests.triage.ledger.lines import line
from triage.ledger import Deed, Person, open_ledger
from triage.ledger.mails import LOST_SIGHT, MailOrder, Mails, NotSignedError
from triage.ledger.rows import message_key
from triage.ledger.schema import MESSAGES

ANA, BO = Person("Ana", "editor"), Person("Bo", "desk")


@pytest.fixture(scope="module")
def on_the_server(new_database):
    """One database for all tests here: making one for each would take longest of all."""
    opened = open_ledger(new_database())
    yield opened
    opened.close()


@pytest.fixture(params=["sqlite", "postgresql"])
def ledger(request, tmp_path):
    """An empty ledger, in a file and on the server."""
    if request.param == "sqlite":
        opened = open_ledger(tmp_path / "desk.sqlite")
        yield opened
        opened.close()
        return
    kept = request.getfixturevalue("on_the_server")
    with kept.engine.begin() as connection:
        connection.execute(sa.text("TRUNCATE messages, drafts, reviews, deeds, mails"))
    yield kept


@pytest.fixture
def mails(ledger):
    """The mails of a new ledger."""
    return Mails(ledger.engine)


@pytest.fixture
def keep(ledger, message):
    """Keep a message with drafts by number, signed where the number is in `signed`; its key."""

    def make(number, *drafts, signed=(), **fields):
        one = message(f"Ask {number}", message_id=f"m{number}@riders.invalid", **fields)
        ledger.keep([one], {message_key(one): list(drafts)}, "v1")
        for question in signed:
            sign(ledger, question)
        return message_key(one)

    return make


def drafted(number, **changes):
    return line(number, **{"title": f"Title {number}", "script": "Oil.", "reply": "Oil.", **changes})


def sign(ledger, number, state="signed", **changes):
    before = ledger.reviews.of(f"q{number}")
    ledger.reviews.save(before, replace(before, state=state, **changes), ANA, [Deed("signed")])


def an_order(key, *numbers, digest="d"):
    return MailOrder(key, f"{key}@show.invalid", digest, tuple(f"q{number}" for number in numbers))


def test_ready_is_what_is_signed_in_every_reply_newest_first(mails, keep):
    old = keep(1, drafted(1), signed=[1], received="2026-11-20T09:00:00+00:00", subject="Oil?")
    new = keep(2, drafted(2), drafted(3), signed=[2, 3], received="2026-11-21T09:00:00+00:00")
    part = keep(3, drafted(4), drafted(5), drafted(6), signed=[4], received="2026-11-22T09:00:00+00:00")
    keep(4, drafted(7))

    ready, waiting = mails.ready(10), mails.waiting_for(10)

    assert [one.message_key for one in ready] == [new, old]
    assert ready[0].question_ids == ("q2", "q3")
    assert (ready[1].first_name, ready[1].subject, ready[1].channel, ready[1].address, ready[1].mail) == (
        "Ana", "Oil?", "mail", "ana@riders.invalid", None,
    )  # fmt: skip
    assert [(asked.title, asked.verdict) for asked in ready[1].questions] == [("Title 1", "explain")]
    assert [one.message_key for one in waiting] == [part]
    assert waiting[0].unsigned == ("q5", "q6")
    assert [one.message_key for one in mails.ready(1, 1)] == [old]


def test_what_has_no_reply_or_is_no_question_needs_no_signature(mails, keep):
    key = keep(
        1, drafted(1), drafted(2, reply=None), drafted(3, is_question=False), drafted(4, reply=""), signed=[1]
    )
    keep(2, drafted(5, reply=None), signed=[5])

    assert [(one.message_key, one.question_ids) for one in mails.ready(10)] == [(key, ("q1",))]
    assert mails.waiting_for(10) == []


def test_a_reply_that_a_person_wrote_needs_a_signature_and_one_taken_out_needs_none(ledger, mails, keep):
    written = keep(1, drafted(1), drafted(2, reply=None), signed=[1])
    emptied = keep(2, drafted(3), drafted(4), signed=[3])
    sign(ledger, 2, state="in-hand", reply="Written by hand.")
    sign(ledger, 4, state="in-hand", reply="")

    assert [(one.message_key, one.unsigned) for one in mails.waiting_for(10)] == [(written, ("q2",))]
    assert [(one.message_key, one.question_ids) for one in mails.ready(10)] == [(emptied, ("q3",))]
    assert [words["reply"] for _, words in mails.drafts([written])] == ["Oil.", "Written by hand."]


def test_a_rider_who_is_forgotten_gets_no_mail(ledger, mails, keep):
    keep(1, drafted(1), signed=[1])
    with ledger.engine.begin() as connection:
        connection.execute(sa.update(MESSAGES).values(is_forgotten=True))

    assert mails.ready(10) == []


def test_an_order_is_kept_once_and_stands_beside_what_is_ready(mails, keep):
    key = keep(1, drafted(1), signed=[1])

    assert mails.order([an_order(key, 1)], ANA) == [key]
    assert mails.order([an_order(key, 1, digest="other")], BO) == []

    assert mails.of(key).ordered_by == "Ana"
    assert mails.of(key).mail_digest == "d"
    assert mails.of(key).question_ids == ("q1",)
    assert mails.ready(10)[0].state == "waiting"
    assert mails.ready(10, besides=["waiting"]) == []
    assert [one.message_key for one in mails.in_state(["waiting"], 10)] == [key]
    assert mails.left_waiting() == [key]
    assert mails.counts() == {"waiting": 1}
    assert mails.of("nothing") is None


def test_many_are_ordered_at_once(mails):
    many = [an_order(f"k{number:04}", number) for number in range(900)]

    assert mails.order(many, ANA) == [one.message_key for one in many]
    assert mails.order([*many, an_order("new", 1)], ANA) == ["new"]
    assert mails.counts() == {"waiting": 901}


def test_a_mail_is_taken_once(mails, keep):
    key = keep(1, drafted(1), signed=[1])

    assert not mails.take(key)
    mails.order([an_order(key, 1)], ANA)
    assert [mails.take(key), mails.take(key)] == [True, False]
    assert mails.going() == [key]


def test_of_many_who_take_at_once_one_gets_each(mails, keep):
    keys = [keep(number, drafted(number), signed=[number]) for number in range(5)]
    mails.order([an_order(key, number) for number, key in enumerate(keys)], ANA)
    began, taken = threading.Barrier(4), []

    def take():
        began.wait()
        taken.extend(key for key in keys if mails.take(key))

    threads = [threading.Thread(target=take) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()

    assert sorted(taken) == sorted(keys)


def test_what_lost_its_signature_is_refused_when_taken(ledger, mails, keep):
    key = keep(1, drafted(1), drafted(2), signed=[1, 2])
    mails.order([an_order(key, 1, 2)], ANA)
    sign(ledger, 2, state="in-hand")

    with pytest.raises(NotSignedError, match=r"^No longer signed off: q2\.$"):
        mails.take(key)

    assert (mails.of(key).state, mails.of(key).answer) == ("refused", "No longer signed off: q2.")
    assert not mails.take(key)


def test_a_sent_mail_makes_its_questions_sent_with_a_deed_each(ledger, mails, keep):
    key = keep(1, drafted(1), drafted(2), signed=[1, 2])
    mails.order([an_order(key, 1, 2)], ANA)
    mails.take(key)
    version = ledger.reviews.of("q1").version

    assert mails.finish(key, "sent", "250 Kept", BO)

    assert (mails.of(key).state, mails.of(key).answer) == ("sent", "250 Kept")
    assert mails.of(key).ended is not None
    assert [ledger.reviews.of(one).state for one in ("q1", "q2")] == ["sent", "sent"]
    assert ledger.reviews.of("q1").version == version + 1
    for one in ("q1", "q2"):
        newest, *_ = ledger.reviews.history(one)
        assert (newest.kind, newest.person, newest.role) == ("sent", "Bo", "desk")


@pytest.mark.parametrize("state", ["refused", "unclear"])
def test_a_mail_that_was_not_sent_leaves_its_questions_signed(ledger, mails, keep, state):
    key = keep(1, drafted(1), signed=[1])
    mails.order([an_order(key, 1)], ANA)
    mails.take(key)

    assert mails.finish(key, state, "550 No", BO)

    assert ledger.reviews.of("q1").state == "signed"
    assert [deed.kind for deed in ledger.reviews.history("q1")] == ["signed"]
    assert not mails.take(key)


def test_an_end_is_kept_whole_or_not_at_all(ledger, mails, keep):
    key = keep(1, drafted(1), signed=[1])
    mails.order([an_order(key, 1)], ANA)
    mails.take(key)

    with pytest.raises(sa.exc.SQLAlchemyError):
        mails.finish(key, "sent", "250 Kept", Person("Bo", None))

    assert mails.going() == [key]
    assert ledger.reviews.of("q1").state == "signed"


def test_what_was_taken_in_hand_again_under_way_stays_in_hand(ledger, mails, keep):
    key = keep(1, drafted(1), signed=[1])
    mails.order([an_order(key, 1)], ANA)
    mails.take(key)
    sign(ledger, 1, state="in-hand")

    mails.finish(key, "sent", "250 Kept", BO)

    assert ledger.reviews.of("q1").state == "in-hand"
    assert ledger.reviews.history("q1")[0].kind == "sent"


def test_what_never_went_can_not_end(mails, keep):
    key = keep(1, drafted(1), signed=[1])
    mails.order([an_order(key, 1)], ANA)

    assert not mails.finish(key, "refused", "550 No", BO)
    assert mails.left_waiting() == [key]


def test_what_is_sent_stays_sent(ledger, mails, keep):
    key = keep(1, drafted(1), signed=[1])
    mails.order([an_order(key, 1)], ANA)
    mails.take(key)
    mails.finish(key, "sent", "250 Kept", BO)

    assert not mails.finish(key, "sent", "250 Kept", BO)
    assert not mails.finish(key, "unclear", "?", BO)
    assert not mails.back_to_waiting(an_order(key, 1), ANA)
    assert not mails.settle_unclear(key, False, ANA)
    assert not mails.let_go(key)
    assert mails.doubt_going() == []
    assert mails.counts() == {"sent": 1}
    assert [deed.kind for deed in ledger.reviews.history("q1")] == ["sent", "signed"]


def test_a_refused_mail_waits_again_as_it_would_be_now(mails, keep):
    key = keep(1, drafted(1), signed=[1])
    mails.order([an_order(key, 1)], ANA)
    mails.take(key)
    assert not mails.back_to_waiting(an_order(key, 1, digest="new"), BO)
    mails.finish(key, "refused", "550 No", BO)

    assert mails.back_to_waiting(an_order(key, 1, digest="new"), BO)

    again = mails.of(key)
    assert (again.state, again.mail_digest, again.ordered_by, again.ended, again.answer) == (
        "waiting", "new", "Bo", None, None,
    )  # fmt: skip
    assert mails.take(key)


def test_what_was_found_going_is_unclear_until_a_person_says(ledger, mails, keep):
    keys = [keep(number, drafted(number), signed=[number]) for number in (1, 2)]
    mails.order([an_order(keys[0], 1), an_order(keys[1], 2)], ANA)
    for key in keys:
        mails.take(key)

    assert mails.doubt_going() == sorted(keys)
    assert {mails.of(key).answer for key in keys} == {LOST_SIGHT}
    assert not any(mails.take(key) for key in keys)
    assert not any(mails.back_to_waiting(an_order(key, 1), ANA) for key in keys)

    assert mails.settle_unclear(keys[0], True, ANA)
    assert mails.settle_unclear(keys[1], False, ANA)

    assert (mails.of(keys[0]).state, mails.of(keys[0]).answer) == ("sent", "Ana says that it arrived.")
    assert ledger.reviews.of("q1").state == "sent"
    assert (mails.of(keys[1]).state, mails.of(keys[1]).answer, mails.of(keys[1]).ended) == (
        "waiting", "Ana says that it did not arrive.", None,
    )  # fmt: skip
    assert ledger.reviews.of("q2").state == "signed"
    assert [(deed.kind, deed.why) for deed in ledger.reviews.history()][:2] == [
        ("not sent", "Ana says that it did not arrive."),
        ("sent", "Ana says that it arrived."),
    ]
    assert mails.take(keys[1])


def test_a_sender_that_lives_knows_better_than_one_that_found_its_mail_going(mails, keep):
    key = keep(1, drafted(1), signed=[1])
    mails.order([an_order(key, 1)], ANA)
    mails.take(key)
    mails.doubt_going()

    assert mails.finish(key, "sent", "250 Kept", BO)
    assert mails.counts() == {"sent": 1}


def test_a_mail_of_which_nothing_was_handed_over_waits_again(mails, keep):
    key = keep(1, drafted(1), signed=[1])
    mails.order([an_order(key, 1)], ANA)

    assert not mails.let_go(key)
    mails.take(key)
    assert mails.let_go(key)
    assert mails.left_waiting() == [key]

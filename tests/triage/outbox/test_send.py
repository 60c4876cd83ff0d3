"""Sending: exactly what was ordered arrives, each mail once, whatever breaks on the way."""

from __future__ import annotations

import json
import random
import socket
import threading
import time
from contextlib import contextmanager
from dataclasses import replace
from email import message_from_bytes
from email.policy import default
from email.utils import parsedate_to_datetime

import click
import pytest

from tests.triage.outbox.signed import DESK, begin, draft, keep, ordered, programs, sign, unsign
from tests.triage.outbox.sinks import Sink
from triage.cli.logs import set_up
from triage.ledger import open_ledger
from triage.ledger.mails import LOST_SIGHT
from triage.outbox import Sender, Server, StoppedError, Totals, mails_for, order, order_again, send, wire


def rider(number):
    return f"rider{number}@riders.invalid"


@contextmanager
def logging_to(file):
    """What is told meanwhile, as JSON lines in a file."""
    with click.Context(click.Command("work")):
        set_up(False, str(file))
        yield


def riders(count):
    return sorted(rider(number) for number in range(count))


def test_what_arrives_is_what_was_exported_but_for_the_date_and_the_unsent_mark(ledger, mails, sink):
    keys = ordered(ledger, mails, 30)
    exported = {one.address: one for one in mails_for(ledger, keys, Sender())}
    began = time.time()

    totals = send(ledger, sink.server_settings, DESK)

    assert totals == Totals(sent=30)
    assert sink.recipients == riders(30)
    for to, arrived in sink.parsed.items():
        one = exported[to]
        mail = message_from_bytes(one.mail.as_bytes(), policy=default)
        beside = {"Date", "X-Unsent"}
        assert {k: v for k, v in arrived.items() if k not in beside} == {
            k: v for k, v in mail.items() if k not in beside
        }
        assert arrived["In-Reply-To"] == f"<m{to.removeprefix('rider').partition('@')[0]}@riders.invalid>"
        assert arrived["References"] == f"<before@riders.invalid> {arrived['In-Reply-To']}"
        assert arrived["X-Unsent"] is None
        assert arrived["X-Quillstem-Draft"] == "signed"
        assert began - 1 <= parsedate_to_datetime(arrived["Date"]).timestamp() <= time.time() + 1
        assert arrived.get_content().replace("\r\n", "\n") == f"{one.text}\n"
    assert sink.connections == 2  # the library's own trial, and one for all mails
    assert mails.counts() == {"sent": 30}
    assert {ledger.reviews.of(f"q{number}").state for number in range(30)} == {"sent"}


def test_lines_end_as_mail_wants_it_and_nothing_is_beyond_ascii(ledger, mails, sink):
    ordered(ledger, mails, 1)

    send(ledger, sink.server_settings, DESK)

    ((_, data),) = sink.mails
    assert data.count(b"\n") == data.count(b"\r\n") == data.count(b"\r")
    assert data.isascii()
    assert b"\r\n..dots" not in data
    assert max(map(len, data.split(b"\r\n"))) <= 78


def test_nothing_goes_out_a_second_time(ledger, mails, sink):
    keys = ordered(ledger, mails, 3)
    send(ledger, sink.server_settings, DESK)

    assert order(ledger, keys, Sender(), DESK) == ([], [])
    assert send(ledger, sink.server_settings, DESK) == Totals()
    assert sink.recipients == riders(3)


def test_only_what_was_ordered_goes_out(ledger, mails, sink):
    keys = [keep(ledger, number) for number in range(3)]
    sign(ledger, 0, 1, 2)
    order(ledger, [keys[1]], Sender(), DESK)

    send(ledger, sink.server_settings, DESK)

    assert sink.recipients == [rider(1)]


def test_an_unsigned_draft_is_neither_ordered_nor_sent(ledger, mails, sink):
    key = keep(ledger, 1, draft(1), draft(2))
    sign(ledger, 1)

    new, (refused,) = order(ledger, [key], Sender(), DESK)

    assert (new, refused.reason) == ([], "Not signed off: q2.")
    assert send(ledger, sink.server_settings, DESK) == Totals()
    assert sink.mails == []


def test_a_reply_that_lost_its_signature_after_the_order_stays_here(ledger, mails, sink):
    keys = ordered(ledger, mails, 2)
    unsign(ledger, 1)

    assert send(ledger, sink.server_settings, DESK) == Totals(sent=1, refused=1)
    assert sink.recipients == [rider(0)]
    assert mails.of(keys[1]).answer == "No longer signed off: q1."
    assert ledger.reviews.of("q1").state == "in-hand"


def test_a_question_that_came_to_the_message_after_the_order_keeps_the_mail_here(ledger, mails, sink):
    (key,) = ordered(ledger, mails, 1)
    keep(ledger, 0, draft(0), draft(7))

    assert send(ledger, sink.server_settings, DESK) == Totals(refused=1)
    assert mails.of(key).answer == "Not signed off: q7."


def test_a_reply_that_was_signed_anew_with_other_words_must_be_ordered_again(ledger, mails, sink):
    (key,) = ordered(ledger, mails, 1)
    unsign(ledger, 0, reply="Hi Ida,\n\nThick oil.\n\nBye")
    sign(ledger, 0)

    assert send(ledger, sink.server_settings, DESK) == Totals(refused=1)
    assert mails.of(key).answer == (
        "What it says, or to whom, is no longer what was ordered. Look at it and order it again."
    )
    assert order_again(ledger, key, Sender(), DESK) is None
    assert send(ledger, sink.server_settings, DESK) == Totals(sent=1)
    assert "Thick oil." in sink.parsed[rider(0)].get_content()


@pytest.mark.parametrize(
    ("step", "words", "answer"),
    [
        (("MAIL", "desk@show.invalid"), "451 Come back later", "451 Come back later"),
        (("RCPT", rider(1)), f"550 5.1.1 <{rider(1)}>: no such rider", "550 5.1.1 <…>: no such rider"),
        (("RCPT", rider(1)), "450 Too busy", "450 Too busy"),
        (("DATA", rider(1)), "554 It smells of spam", "554 It smells of spam"),
        (("DATA", rider(1)), "452 No room", "452 No room"),
    ],
)
def test_a_refused_mail_tells_the_servers_words_and_the_others_go_on(
    ledger, mails, sink, step, words, answer
):
    keys = ordered(ledger, mails, 3)
    sink.refuse[step] = words
    refused = keys if step[0] == "MAIL" else [keys[1]]

    totals = send(ledger, sink.server_settings, DESK)

    assert totals == Totals(sent=3 - len(refused), refused=len(refused))
    assert {mails.of(key).answer for key in refused} == {answer}
    assert ledger.reviews.of("q1").state == "signed"
    assert len(sink.mails) == 3 - len(refused)


def test_a_server_that_closes_with_a_refusal_is_asked_again_for_the_next(ledger, mails, sink):
    ordered(ledger, mails, 3)
    (first,) = {
        one.address for one in mails.in_state(["waiting"], 9) if one.message_key == mails.left_waiting()[0]
    }
    sink.refuse["RCPT", first] = "421 Closing"

    assert send(ledger, sink.server_settings, DESK) == Totals(sent=2, refused=1)
    assert sink.connections == 3


def test_a_connection_lost_within_a_mail_leaves_that_one_unclear_and_a_rerun_doubles_nothing(
    ledger, mails, sink
):
    keys = ordered(ledger, mails, 6)
    sink.cut.add(rider(2))

    assert send(ledger, sink.server_settings, DESK) == Totals(sent=5, unclear=1)
    assert mails.of(keys[2]).state == "unclear"
    assert mails.of(keys[2]).answer.startswith("The connection broke while the mail was handed over: ")

    sink.cut.clear()
    assert send(ledger, sink.server_settings, DESK) == Totals()
    assert sink.recipients == [one for one in riders(6) if one != rider(2)]

    assert mails.settle_unclear(keys[2], False, DESK)
    assert send(ledger, sink.server_settings, DESK) == Totals(sent=1)
    assert sink.recipients == riders(6)


def test_a_server_that_breaks_within_every_mail_is_left_alone_after_three(ledger, mails, sink):
    ordered(ledger, mails, 6)
    sink.cut |= {rider(number) for number in range(6)}

    with pytest.raises(StoppedError) as stopped:
        send(ledger, sink.server_settings, DESK)

    assert str(stopped.value) == (
        "3 mails one after the other are unclear: the connection broke within each.\n"
        "    Look at the mail server, then say of each whether it arrived. The others wait."
    )
    assert stopped.value.totals == Totals(unclear=3, waiting=3)
    assert mails.counts() == {"unclear": 3, "waiting": 3}


def test_a_connection_that_went_stale_before_the_mail_is_opened_anew(ledger, mails, sink):
    ordered(ledger, mails, 3)

    def hang_up(totals):
        sink.loop.call_soon_threadsafe(sink.hang_up)

    totals = send(ledger, sink.server_settings, DESK, hang_up)

    assert totals == Totals(sent=3)
    assert sink.recipients == riders(3)


def test_a_mail_before_which_the_connection_always_breaks_is_refused_and_the_others_go_on(
    ledger, mails, sink
):
    keys = ordered(ledger, mails, 3)
    sink.cut_before.add(rider(1))

    assert send(ledger, sink.server_settings, DESK) == Totals(sent=2, refused=1)
    assert mails.of(keys[1]).answer == "The connection broke twice before the mail was handed over."
    assert sink.recipients == [rider(0), rider(2)]


def test_after_a_hundred_mails_the_connection_is_a_new_one(ledger, mails, sink, monkeypatch):
    monkeypatch.setattr(wire, "MAILS_ON_ONE_CONNECTION", 2)
    ordered(ledger, mails, 5)

    send(ledger, sink.server_settings, DESK)

    assert sink.connections - 1 == 3
    assert sink.recipients == riders(5)


def test_a_server_that_is_away_changes_nothing(ledger, mails):
    ordered(ledger, mails, 2)
    with socket.create_server(("127.0.0.1", 0)) as nobody:
        away = Server("127.0.0.1", nobody.getsockname()[1], "none")

    with pytest.raises(StoppedError) as stopped:
        send(ledger, away, DESK)

    assert str(stopped.value) == (
        f"127.0.0.1:{away.port} can't be used to send mail: [Errno 111] Connection refused\n"
        "    Are host and port right, is the server up, and does it take unsealed connections there?\n"
        "    2 mails wait; nothing of them was handed over."
    )
    assert mails.counts() == {"waiting": 2}


def test_a_server_that_goes_away_lets_the_rest_wait(ledger, mails):
    sink = Sink()
    sink.start()
    ordered(ledger, mails, 4)

    def stop(totals):
        if totals.sent == 2:
            sink.loop.call_soon_threadsafe(sink.hang_up)
            sink.stop()

    with pytest.raises(StoppedError) as stopped:
        send(ledger, sink.server_settings, DESK, stop)

    assert stopped.value.totals == Totals(sent=2, waiting=2)
    assert mails.counts() == {"sent": 2, "waiting": 2}


def test_a_fault_of_our_own_leaves_the_mail_unclear_and_is_heard(ledger, mails, sink, monkeypatch):
    keys = ordered(ledger, mails, 2)

    def fault(*_):
        raise RuntimeError("a fault")

    monkeypatch.setattr(wire.Wire, "deliver", fault)
    with pytest.raises(RuntimeError, match="a fault"):
        send(ledger, sink.server_settings, DESK)

    assert [mails.of(key).state for key in keys].count("unclear") == 1
    assert mails.counts() == {"unclear": 1, "waiting": 1}


def test_a_sender_killed_with_a_mail_under_way_leaves_it_unclear_and_the_rerun_sends_the_others(
    ledger, mails, place, sink
):
    keys = ordered(ledger, mails, 8)
    sink.hold.add(rider(3))
    with programs(1, place, sink.port) as (sender,):
        begin(sender)
        assert sink.held.wait(30)
        sender.kill()
        sender.wait()
    sink.hold.clear()
    assert mails.going() == [keys[3]]
    already = len(sink.mails) - 1

    totals = send(ledger, sink.server_settings, DESK)

    assert totals == Totals(sent=7 - already, found_going=1)
    assert str(totals) == f"{7 - already} sent, 0 refused, 0 unclear, 0 waiting; 1 unclear from before"
    assert sink.recipients == riders(8)  # the held one had arrived: sent again, it would be there twice
    assert (mails.of(keys[3]).state, mails.of(keys[3]).answer) == ("unclear", LOST_SIGHT)
    assert mails.counts() == {"sent": 7, "unclear": 1}


@pytest.mark.parametrize(
    "seed", [1, *(pytest.param(seed, marks=pytest.mark.torture) for seed in range(2, 21))]
)
def test_killed_at_any_moment_nothing_is_doubled_and_nothing_forgotten(ledger, mails, place, sink, seed):
    ordered(ledger, mails, 24)
    chance = random.Random(seed)
    sink.pause = 0.005
    with programs(2, place, sink.port) as senders:
        for sender in senders:
            already = len(sink.mails)
            begin(sender)
            while len(sink.mails) == already:
                time.sleep(0.0005)
            time.sleep(chance.random() * 0.05)
            sender.kill()
            sender.wait()

    send(ledger, sink.server_settings, DESK)

    counts = mails.counts()
    assert counts["sent"] + counts.get("unclear", 0) == 24
    assert counts.get("unclear", 0) <= 2
    assert len(set(sink.recipients)) == len(sink.recipients)
    unclear = {one.address for one in mails.in_state(["unclear"], 99)}
    assert set(riders(24)) - set(sink.recipients) <= unclear


def test_two_programs_that_send_at_once_double_nothing(ledger, mails, place, sink):
    ordered(ledger, mails, 16)
    sink.pause = 0.005
    with programs(2, place, sink.port) as both:
        for one in both:
            begin(one)
        told = [int(one.communicate(timeout=60)[0].split()[0]) for one in both]

    assert sum(told) == 16
    assert all(told)
    assert sink.recipients == riders(16)
    assert mails.counts() == {"sent": 16}


def test_two_threads_that_send_at_once_double_nothing(ledger, mails, place, sink):
    ordered(ledger, mails, 16)
    sink.pause = 0.005
    began, told = threading.Barrier(2, timeout=30), []

    def one():
        own = open_ledger(place)
        began.wait()
        told.append(send(own, sink.server_settings, DESK))
        own.close()

    threads = [threading.Thread(target=one) for _ in range(2)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()

    assert sum(totals.sent for totals in told) == 16
    assert all(totals.sent for totals in told)
    assert sink.recipients == riders(16)
    assert mails.counts() == {"sent": 16}


def test_an_address_beyond_ascii_goes_to_a_server_that_knows_them(ledger, mails, sink):
    key = keep(ledger, 1, address="jürgen@räder.invalid", author="Jürgen")
    sign(ledger, 1)
    order(ledger, [key], Sender(), DESK)

    assert send(ledger, sink.server_settings, DESK) == Totals(sent=1)
    assert sink.recipients == ["jürgen@räder.invalid"]
    assert "SMTPUTF8" in sink.options[0]
    assert "To: Jürgen <jürgen@räder.invalid>\r\n".encode() in sink.mails[0][1]


def test_an_address_beyond_ascii_is_refused_where_the_server_knows_none(ledger, mails):
    sink = Sink(enable_SMTPUTF8=False)
    sink.start()
    keys = [keep(ledger, 1, address="jürgen@riders.invalid"), keep(ledger, 2)]
    sign(ledger, 1, 2)
    order(ledger, keys, Sender(), DESK)

    totals = send(ledger, sink.server_settings, DESK)
    sink.stop()

    assert totals == Totals(sent=1, refused=1)
    assert mails.of(keys[0]).answer == (
        "The mail server can't take this address: it knows only plain ASCII ones (no SMTPUTF8)."
    )


def test_a_rider_without_an_address_gets_no_mail_ordered(ledger, mails):
    key = keep(ledger, 1, address=None, channel="comment")
    sign(ledger, 1)

    new, (refused,) = order(ledger, [key], Sender(), DESK)

    assert (new, refused.reason) == ([], "The rider left no address that mail can go to.")


def test_the_mail_comes_from_the_servers_sender_under_the_id_it_was_ordered_with(ledger, mails, sink):
    (key,) = ordered(ledger, mails, 1)
    server = replace(sink.server_settings, sender=Sender("Répondeur", "answers@other.invalid"))

    send(ledger, server, DESK)

    arrived = sink.parsed[rider(0)]
    assert arrived["From"] == "Répondeur <answers@other.invalid>"
    assert arrived["Message-ID"] == f"<{mails.of(key).mail_id}>"
    assert arrived["Message-ID"].endswith("@show.invalid>")


def test_an_unclear_answer_after_the_mail_is_no_refusal(ledger, mails, sink):
    (key,) = ordered(ledger, mails, 1)
    sink.refuse["DATA", rider(0)] = "299 Maybe"

    assert send(ledger, sink.server_settings, DESK) == Totals(unclear=1)
    assert mails.of(key).answer == "The mail server's answer says neither yes nor no: 299 Maybe"


def test_no_password_shows_when_a_server_is_printed():
    assert "secret" not in repr(Server("smtp.show.invalid", 587, user="desk", password="secret"))


def test_a_run_tells_its_counts_and_no_address(ledger, mails, sink, tmp_path):
    ordered(ledger, mails, 4)
    sink.refuse["RCPT", rider(1)] = f"550 no such rider as {rider(1)}"
    sink.cut = {rider(2)}
    file = tmp_path / "log.jsonl"

    with logging_to(file):
        send(ledger, sink.server_settings, DESK)

    told = file.read_text(encoding="utf-8")
    events = [json.loads(line) for line in told.splitlines()]
    events = [
        one for one in events if one["where"] == "outbox"
    ]  # the mail server of the test tells things too
    assert [one["event"] for one in events] == ["sending began", *["mail ended"] * 4, "sending ended"]
    assert events[0]["waiting"] == 4
    assert sorted(one["state"] for one in events[1:5]) == ["refused", "sent", "sent", "unclear"]
    assert {key: events[-1][key] for key in ("sent", "refused", "unclear", "waiting")} == {
        "sent": 2, "refused": 1, "unclear": 1, "waiting": 0,
    }  # fmt: skip
    assert "@" not in told
    assert "rider" not in told


def test_a_server_that_is_away_is_told_by_the_kind_of_fault(ledger, mails, tmp_path):
    ordered(ledger, mails, 1)
    with socket.create_server(("127.0.0.1", 0)) as nobody:
        away = Server("127.0.0.1", nobody.getsockname()[1], "none")
    file = tmp_path / "log.jsonl"

    with logging_to(file), pytest.raises(StoppedError):
        send(ledger, away, DESK)

    events = [json.loads(line) for line in file.read_text(encoding="utf-8").splitlines()]
    assert [one["event"] for one in events] == ["sending began", "sending stopped", "sending ended"]
    assert events[1]["error"] == "UnreachableError"
    assert "triage/outbox/wire.py:" in events[1]["place"]
    assert events[2]["waiting"] == 1

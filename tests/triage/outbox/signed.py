"""Signed drafts for the outbox's tests, and small programs that send, to be started and killed."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace

from tests.triage.ledger.lines import line
from triage.ledger import Deed, Person
from triage.ledger.rows import message_key
from triage.outbox import Server, order
from triage.records import Message

EDITOR, DESK = Person("Ana", "editor"), Person("Bo", "desk")
PROGRAM = """
import sys
from triage.ledger import Person, open_ledger
from triage.ledger.mails import Mails
from triage.outbox import Server, send
ledger = open_ledger(sys.argv[1])
print("ready", flush=True)
sys.stdin.readline()
print(send(ledger, Server("127.0.0.1", int(sys.argv[2]), "none"), Person("Bo", "desk")))
"""


def message(number, **fields):
    """One rider's mail."""
    usual = {
        "message_id": f"m{number}@riders.invalid",
        "channel": "mail",
        "received": f"2026-11-20T09:{number:02d}:00+00:00",
        "author": f"Ida Example{number}",
        "rider": "Ida",
        "address": f"rider{number}@riders.invalid",
        "subject": f"Question {number} – Öl?",
        "text": f"Which oil, {number}?",
        "source": "inbox/one.eml",
        "item": "",
        "references": ("before@riders.invalid",),
    }
    return Message(**{**usual, **fields})


def draft(number, **changes):
    """One draft with a reply that has something for every trap of the wire: dots, From, letters beyond ASCII."""
    reply = f"Hi Ida,\n\nThin oil – {number} drops.\n.\n.dots\nFrom here on\n>From there\n{'long ' * 60}\n\nAll the best"
    return line(number, **{"title": "Oil", "reply": reply, "script": "Oil.", **changes})


def keep(ledger, number, *drafts, **fields):
    """Keep a message with its drafts; the message's key."""
    one = message(number, **fields)
    ledger.keep([one], {message_key(one): list(drafts) or [draft(number)]}, "v1")
    return message_key(one)


def sign(ledger, *numbers):
    """Sign drafts off."""
    for number in numbers:
        before = ledger.reviews.of(f"q{number}")
        after = replace(before, state="signed", signed_by="Ana", signed_at="2026-11-21T09:00:00Z")
        ledger.reviews.save(before, after, EDITOR, [Deed("signed")])


def unsign(ledger, number, **changes):
    """Take a draft in hand again."""
    before = ledger.reviews.of(f"q{number}")
    ledger.reviews.save(before, replace(before, state="in-hand", **changes), EDITOR, [Deed("edited")])


def ordered(ledger, mails, count):
    """Keep, sign and order so many mails; their keys."""
    keys = [keep(ledger, number) for number in range(count)]
    sign(ledger, *range(count))
    new, refused = order(ledger, keys, Server("", 0).sender, DESK)
    assert (sorted(new), refused) == (sorted(keys), [])
    return keys


@contextmanager
def programs(count, place, port) -> Iterator[list[subprocess.Popen[str]]]:
    """Programs that are about to send what waits, and begin when they are told."""
    command = [sys.executable, "-c", PROGRAM, str(place), str(port)]
    all_of_them = [
        subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True)
        for _ in range(count)
    ]
    try:
        for one in all_of_them:
            assert one.stdout.readline() == "ready\n"
        yield all_of_them
    finally:
        for one in all_of_them:
            one.kill()
            one.communicate()


def begin(program) -> None:
    """Tell a program to send."""
    program.stdin.write("go\n")
    program.stdin.flush()

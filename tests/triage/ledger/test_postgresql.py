"""The ledger on a real PostgreSQL server that the test starts by itself, on a socket in its own folder."""

from __future__ import annotations

from triage.ledger import open_ledger
from triage.ledger.rows import message_key


def test_the_same_ledger_works_on_postgresql(server, message):
    one = message("Which oil – für die Kette?")
    line = {"question_id": "q1", "repeats_of": None, "is_question": True, "text": one.text, "script": "…",
            "topic": "tyres", "brief": None, "verdict": "explain", "safety": False, "flags": [], "received": None}  # fmt: skip
    ledger = open_ledger(server)
    ledger.keep([one], {message_key(one): [line]}, "v1")
    ledger.keep([one], {message_key(one): [line]}, "v1")
    ledger.close()

    again = open_ledger(server)

    assert again.counts() == (1, 1)
    assert again.drafted([message_key(one)], "v1") == {message_key(one)}
    assert [made["text"] for _, made in again.lines([message_key(one)])] == [one.text]
    again.close()

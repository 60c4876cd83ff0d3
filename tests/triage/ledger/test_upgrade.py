"""A ledger made by the first released schema, as the program of then left it, becomes one of today and loses nothing.

`first_release.sql` is what that program kept of five files of the sample inbox; it is never made anew.
"""

from __future__ import annotations

import json
import os
import signal
import sqlite3
from pathlib import Path

import pytest

from tests.conftest import ROOT
from triage.batch import run
from triage.ledger import open_ledger
from triage.ledger import store as ledger_store
from triage.ledger.care import check
from triage.ledger.schema import VERSION
from triage.pipeline import Desk

DUMP = Path(__file__).with_name("first_release.sql")
INBOX = [
    ROOT / "sample_inbox" / name
    for name in (
        "comments-monday.csv",
        "mails/04-rim-width.eml",
        "mails/03-skips-one-gear.eml",
        "mails/19-two-in-one.eml",
        "mails/21-spam.eml",
    )
]
MESSAGES, DRAFTS = 17, 18


@pytest.fixture
def first(tmp_path):
    """The ledger as the first released program left it."""
    place = tmp_path / "first.sqlite"
    connection = sqlite3.connect(place)
    connection.executescript(DUMP.read_text(encoding="utf-8"))
    connection.close()
    return place


def _asked(place, query):
    connection = sqlite3.connect(place)
    rows = connection.execute(query).fetchall()
    connection.close()
    return rows


def test_it_is_of_the_first_version(first):
    assert _asked(first, "SELECT value FROM about WHERE key = 'schema_version'") == [("1",)]
    tables = {name for (name,) in _asked(first, "SELECT name FROM sqlite_master WHERE type = 'table'")}
    assert tables == {"about", "messages", "drafts"}


def test_it_opens_as_one_of_today_with_all_it_held_and_is_sound(first):
    before = _asked(first, "SELECT question_id, line FROM drafts ORDER BY question_id")

    ledger = open_ledger(first)
    checked = check(ledger)
    ledger.close()

    assert checked.faults == []
    assert checked.counts["messages"] == {"kept": MESSAGES, "forgotten": 0}
    assert _asked(first, "SELECT question_id, line FROM drafts ORDER BY question_id") == before
    assert _asked(first, "SELECT value FROM about WHERE key = 'schema_version'") == [(str(VERSION),)]
    assert not _asked(first, "SELECT 1 FROM drafts WHERE topic IS NULL OR verdict IS NULL")


def test_the_same_inbox_drafted_again_loses_and_doubles_nothing(first, knowledge, phrases, sorter):
    keys = {key for (key,) in _asked(first, "SELECT message_key FROM messages")}
    ledger = open_ledger(first)

    done = run(INBOX, Desk(knowledge, phrases, sorter, 150.0), ledger)

    checked = check(ledger)
    ids = [
        line["question_id"]
        for _, line in ledger.lines([key for some in ledger.runs.keys(done.number) for key in some])
    ]
    again = run(INBOX, Desk(knowledge, phrases, sorter, 150.0), ledger)
    ledger.close()
    assert [one.item for one in done.refusals] == ["line 15"]  # a row without text, refused then as now
    assert {key for some in ledger.runs.keys(done.number) for key in some} == keys
    assert checked.faults == []
    assert checked.counts["messages"]["kept"] == MESSAGES
    assert len(ids) == len(set(ids)) == sum(checked.counts["drafts"].values())
    assert again.counts["kept before"] == MESSAGES


def _steps(first, tmp_path):
    """How many statements the whole upgrade takes."""
    count = 0

    def counted(*_arguments):
        nonlocal count
        count += 1

    whole = tmp_path / "whole.sqlite"
    whole.write_bytes(first.read_bytes())
    _upgraded(whole, counted)
    return count


def _upgraded(place, before_each):
    from sqlalchemy import event
    from sqlalchemy.engine import Engine

    event.listen(Engine, "before_cursor_execute", before_each)
    try:
        open_ledger(place).close()
    finally:
        event.remove(Engine, "before_cursor_execute", before_each)


@pytest.mark.parametrize("share", [0.1, 0.3, 0.5, 0.7, 0.9, 0.98])
def test_a_kill_in_the_middle_of_the_upgrade_leaves_a_ledger_that_opens(first, tmp_path, share):
    last = int(_steps(first, tmp_path) * share)
    child = os.fork()
    if child == 0:
        left = last

        def until_then(*_arguments):
            nonlocal left
            left -= 1
            if left < 0:
                os.kill(os.getpid(), signal.SIGKILL)

        _upgraded(first, until_then)
        os._exit(0)
    _, status = os.waitpid(child, 0)
    assert os.WIFSIGNALED(status)

    ledger = open_ledger(first)
    checked = check(ledger)
    ledger.close()

    assert checked.faults == []
    assert sum(checked.counts["drafts"].values()) == DRAFTS
    lines = [json.loads(text) for (text,) in _asked(first, "SELECT line FROM drafts")]
    assert len(lines) == DRAFTS
    assert _schema(first) == _schema_of_today(tmp_path)


def _schema(place):
    query = "SELECT type, name FROM sqlite_master WHERE name NOT LIKE 'sqlite_%' ORDER BY type, name"
    rows = _asked(place, query)
    columns = {
        (name, column[1])
        for kind, name in rows
        if kind == "table" and not name.startswith("words_found")
        for column in _asked(place, f"PRAGMA table_info({name})")
    }
    # An index of the first version that nothing needs any more may stay.
    return [row for row in rows if row != ("index", "ix_drafts_leader")], columns


def _schema_of_today(tmp_path):
    place = tmp_path / "today.sqlite"
    open_ledger(place).close()
    return _schema(place)


def test_an_upgrade_of_several_programs_at_once_is_done_once(first):
    children = []
    for _ in range(4):
        child = os.fork()
        if child == 0:
            try:
                ledger_store.open_ledger(first).close()
            except BaseException:
                os._exit(1)
            os._exit(0)
        children.append(child)
    codes = [os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) for child in children]

    ledger = open_ledger(first)
    checked = check(ledger)
    ledger.close()
    assert checked.faults == []
    assert codes == [0, 0, 0, 0]

"""Backups are whole or absent, made while others write; what is damaged is refused, and what was there is kept."""

from __future__ import annotations

import sqlite3
import threading
from dataclasses import replace

import pytest
import sqlalchemy as sa

from tests.triage.ledger.lines import line
from triage.ledger import Deed, LedgerError, Person, open_ledger
from triage.ledger.backup import back_up, restore
from triage.ledger.care import check
from triage.ledger.episodes import Item
from triage.ledger.mails import MailOrder
from triage.ledger.rows import Asked, Chunk, message_key
from triage.ledger.schema import METADATA
from triage.records import Refusal

EDITOR = Person("Bea", "editor")


def _fill(ledger, message, count=40, start=0):
    messages = [
        message(f"Ask {n}, für Öl – 自転車?", message_id=f"m{n}") for n in range(start, start + count)
    ]
    asks = {message_key(one): [line(start + n, text=one.text)] for n, one in enumerate(messages)}
    ledger.keep(messages, asks, "v1")
    return messages


def _words(one):
    return one["text"]


def _grounds(one):
    return {"row brakes/fluids#dot-3-dry": one["question_id"]}


def _worked_on(ledger, message):
    """Something in every table."""
    messages = _fill(ledger, message)
    before = ledger.reviews.of("q1")
    after = replace(
        before,
        state="signed",
        signed_by="Bea",
        signed_at="2026-11-21T09:00:00Z",
        reply="So.",
        script_seconds=1.5,
    )
    correction = {
        "question_id": "q1",
        "kind": "topic",
        "ask": "Ask 1?",
        "was": "tyres",
        "now": "wheels",
        "made": "now",
    }
    ledger.reviews.save(before, after, EDITOR, [Deed("signed")], corrections=[correction])
    ledger.mails.order([MailOrder(message_key(messages[1]), "r@show.invalid", "d", ("q1",))], EDITOR)
    ledger.keep_chunk(
        Chunk(
            "v1",
            [],
            [],
            [Asked("q1", "will it fit", (1, 2))],
            refused=[Refusal("a", "b", "c", "d")],
            met=[(1, "k")],
        ),
        ledger.runs.begin(),
        str.__eq__,
    )
    ledger.people.put("Bea", "editor", "hash")
    ledger.people.begin_session("digest", "Bea", "editor", 1000)
    ledger.grounds.catch_up(_grounds)
    ledger.wall.catch_up(_words)
    episode = ledger.episodes.planned("2026-11-20", 600)
    ledger.episodes.promise("q1", "ask the maker", None, EDITOR)
    ledger.episodes.put_right("q1", "wrong", "right", None, EDITOR)
    ledger.episodes.keep(episode, [Item(1, "question", "q1", 10.0)])
    return ledger


def _rows(ledger):
    found = {}
    with ledger.engine.connect() as connection:
        for table in METADATA.sorted_tables:
            rows = connection.execute(sa.select(table)).all()
            found[table.name] = sorted(map(repr, map(tuple, rows)))
    return found


@pytest.fixture
def place(tmp_path, message):
    """A ledger in a file, with something in every table."""
    place = tmp_path / "desk.sqlite"
    _worked_on(open_ledger(place), message).close()
    return place


@pytest.fixture
def backup(place, tmp_path):
    """A backup of it."""
    file = tmp_path / "kept" / "monday.sqlite"
    ledger = open_ledger(place)
    back_up(ledger, file)
    ledger.close()
    return file


def test_a_ledger_comes_back_as_it_was_by_way_of_a_server_too(ledger, message, tmp_path, new_database):
    _worked_on(ledger, message)
    assert all(_rows(ledger).values()), [name for name, rows in _rows(ledger).items() if not rows]
    file, heard = tmp_path / "monday.sqlite", []

    back_up(ledger, file, on_progress=lambda done, total: heard.append((done, total)))

    assert heard[-1][0] == heard[-1][1] > 0
    assert [one.name for one in tmp_path.glob("*monday*")] == ["monday.sqlite"]
    for target in (str(tmp_path / "again.sqlite"), new_database()):
        checked, kept = restore(file, target)
        again = open_ledger(target)
        assert (checked.faults, kept) == ([], None)
        assert _rows(again) == _rows(ledger)
        # Numbering goes on, the search finds, the history still refuses.
        _fill(again, message, 1, start=500)
        again.reviews.record(Deed("ticked", question_id="q500"), EDITOR)
        again.wall.catch_up(_words)
        assert check(again).faults == []
        with pytest.raises(sa.exc.DBAPIError, match="only added to"), again.engine.begin() as connection:
            connection.exec_driver_sql("DELETE FROM deeds")
        again.close()


def test_a_backup_is_one_file_for_its_owner_alone(backup):
    assert [one.name for one in backup.parent.iterdir()] == ["monday.sqlite"]
    assert backup.stat().st_mode & 0o077 == 0


def test_a_backup_made_while_others_write_holds_one_moment(place, tmp_path, message):
    stop, written = threading.Event(), []

    def write():
        ledger = open_ledger(place)
        number = 1000
        while not stop.is_set():
            _fill(ledger, message, 3, start=number)
            written.append(number)
            number += 3
        ledger.close()

    writer = threading.Thread(target=write)
    writer.start()
    ledger = open_ledger(place)
    try:
        for number in range(3):
            while len(written) < 2 * number + 1:
                pass
            back_up(ledger, tmp_path / f"{number}.sqlite")
    finally:
        stop.set()
        writer.join()
    ledger.close()
    counts = []
    for number in range(3):
        copy = open_ledger(tmp_path / f"{number}.sqlite")
        assert check(copy).faults == []
        messages, drafts = copy.counts()
        assert messages == drafts
        assert (messages - 40) % 3 == 0
        counts.append(messages)
        copy.close()
    assert counts == sorted(counts)
    assert counts[-1] > 40


def test_a_file_that_is_there_is_not_overwritten_unless_it_is_said(place, backup):
    before = backup.read_bytes()
    ledger = open_ledger(place)
    with pytest.raises(LedgerError, match="there is such a file already"):
        back_up(ledger, backup)
    assert backup.read_bytes() == before

    ledger.put_note("more", "1")
    back_up(ledger, backup, replace=True)

    ledger.close()
    assert backup.read_bytes() != before


def test_a_backup_that_fails_leaves_the_old_one_and_nothing_else(place, backup, monkeypatch):
    before = backup.read_bytes()
    ledger = open_ledger(place)

    def full(*_arguments):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("triage.ledger.backup._synced", full)
    with pytest.raises(LedgerError, match=r"no backup was made: .*No space left"):
        back_up(ledger, backup, replace=True)

    ledger.close()
    assert [one.name for one in backup.parent.iterdir()] == ["monday.sqlite"]
    assert backup.read_bytes() == before


def _overwrite(file, start, end):
    content = bytearray(file.read_bytes())
    size = len(content)
    content[int(size * start) : int(size * end)] = b"\x5a" * (int(size * end) - int(size * start))
    file.write_bytes(content)


def _truncate(file):
    file.write_bytes(file.read_bytes()[: file.stat().st_size * 2 // 3])


DAMAGED = {
    "bytes overwritten in the middle": lambda file: _overwrite(file, 0.4, 0.6),
    "the end cut off": _truncate,
    "the head overwritten": lambda file: _overwrite(file, 0, 0.01),
    "no database": lambda file: file.write_text("a shopping list " * 500),
    "nothing in it": lambda file: file.write_bytes(b""),
    "another program's database": lambda file: (
        file.unlink(),
        sqlite3.connect(file).execute("CREATE TABLE a (b)"),
    ),
}


@pytest.mark.parametrize("how", DAMAGED)
def test_a_damaged_backup_is_refused_and_the_ledger_stays(backup, place, how):
    DAMAGED[how](backup)
    before = place.read_bytes()

    with pytest.raises(LedgerError, match=r"monday\.sqlite: ") as refusal:
        restore(backup, str(place), replace=True)

    assert place.read_bytes() == before
    assert sorted(one.name for one in place.parent.iterdir()) == ["desk.sqlite", "kept"]
    assert "othing was restored" in str(refusal.value) or "can't be read" in str(refusal.value)


def test_a_backup_of_a_newer_program_is_refused(backup, tmp_path):
    newer = sqlite3.connect(backup)
    newer.execute("UPDATE about SET value = '99' WHERE key = 'schema_version'")
    newer.commit()
    newer.close()

    with pytest.raises(LedgerError, match="version 99"):
        restore(backup, str(tmp_path / "new.sqlite"))

    assert not (tmp_path / "new.sqlite").exists()


def test_a_place_with_something_in_it_is_refused(backup, place):
    before = place.read_bytes()

    with pytest.raises(LedgerError, match=r"desk\.sqlite: there is something in it already"):
        restore(backup, str(place))

    assert place.read_bytes() == before


def test_what_was_there_is_kept_under_a_dated_name(backup, place, message):
    ledger = open_ledger(place)
    _fill(ledger, message, 5, start=100)
    was = _rows(ledger)
    ledger.close()

    _, kept = restore(backup, str(place), replace=True)

    assert kept is not None
    assert kept.name.startswith("desk.before-20")
    for file, count in ((kept, 45), (place, 40)):
        opened = open_ledger(file)
        assert opened.counts() == (count, count)
        assert check(opened).faults == []
        if file is kept:
            assert _rows(opened) == was
        opened.close()


def test_a_ledger_in_use_is_not_replaced_under_its_users(backup, place, message, monkeypatch):
    monkeypatch.setattr("triage.ledger.backup.SECONDS_FOR_A_LOCK", 0.1)
    desk = open_ledger(place)
    _fill(desk, message, 1, start=100)

    with pytest.raises(LedgerError, match="is in use, so nothing was restored"):
        restore(backup, str(place), replace=True)

    assert desk.counts() == (41, 41)
    _fill(desk, message, 1, start=101)
    assert desk.counts() == (42, 42)
    desk.close()


def test_a_ledger_too_broken_to_open_is_replaced_and_kept(backup, place):
    place.write_text("no database " * 1000)
    place.with_name("desk.sqlite-wal").write_text("left over " * 1000)

    checked, kept = restore(backup, str(place), replace=True)

    assert checked.is_sound
    assert kept.read_text().startswith("no database")
    opened = open_ledger(place)
    assert opened.counts() == (40, 40)
    opened.close()


def test_a_server_with_something_in_it_is_backed_up_before_it_is_replaced(backup, server, message):
    ledger = open_ledger(server)
    _fill(ledger, message, 5, start=100)
    was = _rows(ledger)
    with pytest.raises(LedgerError, match="something in that ledger"):
        restore(backup, server)

    _, kept = restore(backup, server, replace=True)

    assert ledger.counts() == (40, 40)
    ledger.close()
    old = open_ledger(kept)
    assert _rows(old) == was
    old.close()

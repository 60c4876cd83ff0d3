"""`quillstem ledger check`, `backup` and `restore` as their users type them."""

from __future__ import annotations

import json
import sqlite3
from contextlib import closing

import pytest
from click.testing import CliRunner

from tests.triage.ledger.lines import line
from triage.cli import main
from triage.ledger import open_ledger
from triage.ledger.rows import message_key

SOUND = """messages  4 kept, 0 forgotten
drafts    4 questions, 0 set aside
questions 4 new, 0 in-hand, 0 returned, 0 signed, 0 sent
replies   0 waiting, 0 going, 0 sent, 0 refused, 0 unclear
history   0 deeds

Sound.
"""


@pytest.fixture
def place(tmp_path, message):
    """A ledger with four messages."""
    messages = [message(f"Ask {number}?", message_id=f"m{number}") for number in range(4)]
    with closing(open_ledger(tmp_path / "desk.sqlite")) as ledger:
        ledger.keep(
            messages, {message_key(one): [line(n, text=one.text)] for n, one in enumerate(messages)}, "v1"
        )
    return tmp_path / "desk.sqlite"


def _ledger(*arguments):
    return CliRunner().invoke(main, ["ledger", *map(str, arguments)])


def _spoil(place, statement):
    with closing(sqlite3.connect(place)) as connection:
        connection.execute(statement)
        connection.commit()


def test_a_sound_ledger_is_counted_and_said_to_be_sound(place):
    done = _ledger("check", "--ledger", place)

    assert (done.exit_code, done.stdout, done.stderr) == (0, SOUND, "")


def test_faults_are_told_by_kind_with_what_to_do(place):
    _spoil(place, "UPDATE drafts SET verdict = 'yes' WHERE question_id IN ('q1', 'q2')")

    done = _ledger("check", "--ledger", place)

    assert done.exit_code == 1
    assert done.stdout.endswith(
        "\ndraft disagrees: 2\n"
        "  question q1: line and columns say different things of: verdict\n"
        "  question q2: line and columns say different things of: verdict\n"
        "    Draft the inbox that holds its message again: quillstem draft INBOX.\n"
        "\n2 faults.\n"
    )


def test_programs_read_the_check_as_json(place):
    _spoil(place, "UPDATE messages SET body = 'Ask nothing?' WHERE message_id = 'm0'")

    done = _ledger("check", "--json", "--ledger", place)

    told = json.loads(done.stdout)
    assert (done.exit_code, told["sound"]) == (1, False)
    assert told["counts"]["messages"] == {"kept": 4, "forgotten": 0}
    assert told["found"] == {"message changed": 1}
    assert set(told["faults"][0]) == {"kind", "where", "told", "remedy"}


def test_a_damaged_file_is_told_and_not_touched(place):
    content = bytearray(place.read_bytes())
    content[len(content) // 3 : len(content) // 2] = bytes(len(content) // 2 - len(content) // 3)
    place.write_bytes(content)

    done = _ledger("check", "--ledger", place)

    assert done.exit_code == 1
    assert "database: " in done.stdout
    assert "The database is damaged, so what stands in it was not looked at." in done.stdout
    assert "quillstem ledger restore FILE" in done.stdout
    assert place.read_bytes() == bytes(content)


@pytest.mark.parametrize("content", ["no database " * 100, None])
def test_what_cannot_be_read_is_told_without_a_traceback(tmp_path, content):
    place = tmp_path / "note.sqlite"
    if content is not None:
        place.write_text(content)

    done = _ledger("check", "--ledger", place)

    assert (done.exit_code, done.stdout) == (2, "")
    assert done.stderr.startswith(f"{place}: ")
    assert "Traceback" not in done.stderr


def test_a_ledger_is_backed_up_spoilt_and_restored(place, tmp_path):
    backup = tmp_path / "monday.sqlite"
    backed_up = _ledger("backup", backup, "--ledger", place)
    assert (backed_up.exit_code, backed_up.stderr) == (0, "")
    assert backed_up.stdout == f"{backup}: {backup.stat().st_size / 1e6:,.1f} MB, checked.\n"
    _spoil(place, "DELETE FROM drafts")

    refused = _ledger("restore", backup, "--ledger", place)
    restored = _ledger("restore", backup, "--ledger", place, "--replace")

    assert refused.exit_code == 2
    assert refused.stderr.startswith(f"{place}: there is something in it already.")
    assert restored.exit_code == 0, restored.stderr
    (kept,) = tmp_path.glob("desk.before-*.sqlite")
    assert restored.stdout == f"What was there is kept in {kept}.\n{SOUND}Restored.\n"
    assert _ledger("check", "--ledger", place).stdout == SOUND
    assert _ledger("check", "--ledger", kept).exit_code == 1


def test_a_backup_is_not_overwritten_unless_it_is_said(place, tmp_path):
    backup = tmp_path / "monday.sqlite"
    backup.write_text("something else")

    refused = _ledger("backup", backup, "--ledger", place)

    assert (refused.exit_code, refused.stdout) == (2, "")
    assert "there is such a file already" in refused.stderr
    assert backup.read_text() == "something else"
    assert _ledger("backup", backup, "--ledger", place, "--replace").exit_code == 0
    assert _ledger("check", "--ledger", backup).stdout == SOUND


def test_a_damaged_backup_is_refused(place, tmp_path):
    backup = tmp_path / "monday.sqlite"
    assert _ledger("backup", backup, "--ledger", place).exit_code == 0
    backup.write_bytes(backup.read_bytes()[:5000])

    done = _ledger("restore", backup, "--ledger", tmp_path / "new.sqlite")

    assert (done.exit_code, done.stdout) == (2, "")
    assert "Traceback" not in done.stderr
    assert not (tmp_path / "new.sqlite").exists()


def test_faults_that_were_backed_up_are_restored_and_told(place, tmp_path):
    _spoil(place, "UPDATE drafts SET verdict = 'yes' WHERE question_id = 'q1'")
    assert _ledger("backup", tmp_path / "monday.sqlite", "--ledger", place).exit_code == 0

    done = _ledger("restore", tmp_path / "monday.sqlite", "--ledger", tmp_path / "new.sqlite")

    assert done.exit_code == 1
    assert "draft disagrees: 1" in done.stdout
    assert done.stdout.endswith("1 fault.\nRestored.\n")


def test_where_to_restore_must_be_said(tmp_path):
    assert _ledger("restore", tmp_path / "monday.sqlite").exit_code == 2

"""`quillstem ledger forget` as its users type it, on a real ledger."""

from __future__ import annotations

import sqlite3

import pytest
from click.testing import CliRunner

from tests.triage.ledger.lines import line
from triage.cli import main
from triage.ledger import open_ledger
from triage.ledger.rows import message_key

SENDERS = (
    ("Ana Example", "Ana", "ana@riders.invalid"),
    ("Ana Example", "Ana", "ana@riders.invalid"),
    ("A. Example", None, "ana@riders.invalid"),
    ("Bo Other", "Bo", None),
)
SHOWN = """To be removed: 2 messages with 3 questions, from
  Ana Example <ana@riders.invalid>, 2 messages
Not among them, though of the same name or address:
  A. Example <ana@riders.invalid>, 1 message
The answers stay, with their figures and signatures.
"""
REMOVED = """Removed: name, address and words of 2 messages, and what 3 questions and their history said of the rider.
Not touched, and still holding them:
  output folders made earlier: run `quillstem draft` into them again, or delete them
  the inbox, exported replies and mails that were sent: delete them by hand
  backups of the ledger and of all these
"""
NOBODY = """The ledger has no message from “Ana”.
    A mail address or a full name must be the whole of it, as in “Ana Example”; capitals make no difference.
    A first name alone is not looked for, since many riders share one. Who was forgotten is not found again.
"""


@pytest.fixture
def place(tmp_path, message):
    """A ledger with four messages; the first one asks twice."""
    ledger = open_ledger(tmp_path / "desk.sqlite")
    for number, (author, rider, address) in enumerate(SENDERS):
        one = message(
            f"Ask {number}, {author}", message_id=f"m{number}", author=author, rider=rider, address=address
        )
        asks = [
            line(f"{number}-{ask}", text=f"Ask {number}, {author}") for ask in range(2 if number == 0 else 1)
        ]
        ledger.keep([one], {message_key(one): asks}, "v1")
    ledger.close()
    return str(tmp_path / "desk.sqlite")


def _forget(place, *arguments, said=None):
    return CliRunner().invoke(main, ["ledger", "forget", *arguments, "--ledger", place], input=said)


def _authors(place):
    connection = sqlite3.connect(place)
    found = [author for (author,) in connection.execute("SELECT author FROM messages ORDER BY author")]
    connection.close()
    return found


def test_it_shows_what_goes_asks_and_says_what_it_left(place):
    done = _forget(place, "ana example", said="y\n")

    assert done.exit_code == 0, done.output
    assert done.stdout == f"{SHOWN}Remove it for good? [y/N]: y\n{REMOVED}"
    assert done.stderr == ""
    assert _authors(place) == [None, None, "A. Example", "Bo Other"]


@pytest.mark.parametrize("said", ["n\n", "\n"])
def test_no_and_nothing_said_remove_nothing(place, said):
    done = _forget(place, "Ana Example", said=said)

    assert done.exit_code == 1
    assert done.stdout.startswith(SHOWN)
    assert done.stdout.endswith("Nothing was removed.\n")
    assert _authors(place) == ["A. Example", "Ana Example", "Ana Example", "Bo Other"]


def test_yes_given_beforehand_asks_nothing(place):
    done = _forget(place, "Ana Example", "--yes")

    assert (done.exit_code, done.stdout) == (0, SHOWN + REMOVED)


def test_one_message_is_told_as_one(place):
    done = _forget(place, "Bo Other", "--yes")

    assert done.stdout.startswith(
        "To be removed: 1 message with 1 question, from\n  Bo Other, 1 message\nThe answers stay"
    )


def test_a_first_name_is_nobody(place):
    done = _forget(place, "Ana", "--yes")

    assert (done.exit_code, done.stdout, done.stderr) == (2, "", NOBODY)
    assert len(_authors(place)) == 4
    assert None not in _authors(place)


def test_a_second_time_finds_nobody(place):
    assert _forget(place, "Bo Other", "--yes").exit_code == 0

    again = _forget(place, "Bo Other", "--yes")

    assert again.exit_code == 2
    assert "no message from “Bo Other”" in again.stderr


def test_who_did_it_stands_in_the_history(place):
    _forget(place, "Bo Other", "--yes")

    ledger = open_ledger(place)
    (deed,) = ledger.reviews.history()
    ledger.close()
    assert (deed.kind, deed.what, deed.person) == ("forgot", "1 message, 1 question", "command line")


def test_a_file_in_use_is_named_and_cleared_by_the_same_command(place, monkeypatch):
    from triage.ledger import forget as forgetting

    real = forgetting._swept
    monkeypatch.setattr(forgetting, "_swept", lambda _: False)

    done = _forget(place, "Bo Other", "--yes")

    in_use = (
        "The ledger's file is in use, so the removed words may still stand in its free space.\n"
        "    Close the desk and run the same command again: it clears the file first.\n"
    )
    assert (done.exit_code, done.stderr) == (1, in_use)
    assert _forget(place, "Bo Other", "--yes").stderr.endswith(in_use)
    monkeypatch.setattr(forgetting, "_swept", real)
    again = _forget(place, "Bo Other", "--yes")
    assert again.exit_code == 2
    assert "in use" not in again.stderr


def test_a_ledger_that_is_not_there_is_not_made(tmp_path):
    place = tmp_path / "none.sqlite"

    done = _forget(str(place), "Bo Other", "--yes")

    assert done.exit_code == 2
    assert done.stderr.startswith(
        f"{place}: there is no ledger.\n    Name it with --ledger, or draft an inbox first"
    )
    assert not place.exists()


def test_what_is_no_ledger_is_told_without_a_traceback(tmp_path):
    place = tmp_path / "note.sqlite"
    place.write_text("no database " * 100)

    done = _forget(str(place), "Bo Other", "--yes")

    assert done.exit_code == 2
    assert "the ledger cannot be opened: file is not a database" in done.stderr


def test_a_wrong_word_gets_the_right_one(place):
    done = CliRunner().invoke(main, ["ledger", "forgte", "Bo Other"])

    assert done.exit_code == 2
    assert "forget" in done.stderr

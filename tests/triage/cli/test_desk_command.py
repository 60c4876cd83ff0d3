"""`quillstem desk` at the command line: people, addresses, and what is told when it can't be opened."""

from __future__ import annotations

import re
import socket

import pytest
from click.testing import CliRunner

from triage.cli import main
from triage.desk.passwords import digest, fits
from triage.ledger import open_ledger


@pytest.fixture
def place(tmp_path):
    """An empty ledger."""
    open_ledger(tmp_path / "desk.sqlite").close()
    return str(tmp_path / "desk.sqlite")


def run(*words, typed=""):
    return CliRunner().invoke(main, ["desk", *words], input=typed)


def test_people_are_added_changed_and_taken_out(place):
    typed = "\n".join(
        [
            "Ana", "editor", "short", "short", "long enough to pass", "long enough to pass",
            "Bo", "presenter", "another good word", "another good word",
            "bo", "gone", "Cy", "gone", "",
        ]
    )  # fmt: skip

    done = run("--people", "--ledger", place, typed=typed + "\n")

    assert done.exit_code == 0, done.output
    assert "Nobody has a password yet." in done.output
    assert "A password has 10 to 200 characters; this one has 5." in done.output
    assert "Ana may come in as editor: checks and signs: everything." in done.output
    assert "bo is out." in done.output
    assert "Nobody is called Cy." in done.output
    assert "long enough" not in done.output
    (ana,) = open_ledger(place).people.all()
    assert (ana.name, ana.role) == ("Ana", "editor")
    assert fits("long enough to pass", ana.password_hash)


def test_an_unknown_role_is_asked_again(place):
    typed = "Ana\nboss\ndesk\nlong enough to pass\nlong enough to pass\n\n"

    done = run("--people", "--ledger", place, typed=typed)

    assert "'boss' is not one of" in done.output
    assert open_ledger(place).people.of("ana").role == "desk"


def test_a_fresh_one_time_address_is_printed_and_fits_once(place):
    done = run("--address", "--ledger", place, "--port", "8500")

    key = re.search(r"http://127\.0\.0\.1:8500/enter/(\S+)", done.output)[1]
    people = open_ledger(place).people
    assert [people.use_key(digest(key)), people.use_key(digest(key))] == [True, False]


def test_without_a_ledger_it_says_what_to_do_first(tmp_path):
    missing = tmp_path / "none.sqlite"

    done = run("--ledger", str(missing))

    assert done.exit_code == 2
    assert f"{missing}: there is no ledger." in done.output
    assert "draft an inbox first" in done.output
    assert not missing.exists()


def test_a_port_that_is_taken_is_told_before_anything_is_loaded(place):
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]

        done = run("--ledger", place, "--port", str(port))

    assert done.exit_code == 2
    assert f"Port {port} on 127.0.0.1 can't be used" in done.output


def test_help_teaches_by_examples():
    text = run("--help").output

    assert "quillstem desk" in text
    assert "--people" in text
    assert "Nothing outside this machine is contacted" in text

"""`quillstem episode` as a presenter types it: plan, wishes, aired, promises, corrections, archive."""

from __future__ import annotations

import pytest
from click.testing import CliRunner

from triage.cli import main


@pytest.fixture
def place(thirty_signed):
    """The drafted sample inbox, thirty answers of it signed off."""
    return thirty_signed


def run(place, *words):
    return CliRunner().invoke(main, ["episode", *words, "--ledger", str(place)])


def test_the_week_in_one_command_and_what_comes_after(place):
    planned = run(place, "plan", "--date", "2026-11-27", "--minutes", "15")
    folder = place.parent / "episode-2026-11-27"

    assert planned.exit_code == 0, planned.output
    assert "Just missed:" in planned.output
    assert " of 15 min" in planned.output.splitlines()[-1]
    assert {path.name for path in folder.iterdir()} >= {
        "show.html", "show.md", "show.csv", "show.pdf", "chapters.vtt", "show.css", "show.js",
    }  # fmt: skip
    assert "/static/" not in (folder / "show.html").read_text()
    question, other = [row.rpartition(",")[2] for row in (folder / "show.csv").read_text().splitlines()[1:3]]

    dropped = run(place, "plan", "--date", "2026-11-27", "--drop", question)
    assert question not in (folder / "show.csv").read_text()
    assert dropped.exit_code == 0

    promised = run(place, "promise", other, "ask a frame builder", "--due", "2026-12-17")
    assert "Promise 1 is noted." in promised.output
    assert run(place, "found", "1", "1 mm at most").output == "Noted. The next plan tells it.\n"
    righted = run(place, "right", question, "--wrong", "it fits", "--right", "it does not",
                  "--mails", str(place.parent / "put_right"))  # fmt: skip
    assert righted.output == "Correction 1 comes first in the next plan.\n"
    owed = run(place, "open")
    assert owed.output.splitlines()[-1] == "1 promises to keep, 1 corrections to air"

    run(place, "plan", "--date", "2026-11-27")
    rows = (folder / "show.csv").read_text().splitlines()
    assert [row.split(",")[3] for row in rows[1:3]] == ["correction", "promise"]

    aired = run(place, "aired", "--date", "2026-11-27", "--seconds", "1=40")
    assert aired.output.startswith("Aired on 2026-11-27: ")
    again = run(place, "aired", "--date", "2026-11-27")
    assert again.exit_code == 2
    assert "No episode is planned for 2026-11-27." in again.output

    archived = run(place, "archive", "--out", str(place.parent / "site"))
    assert archived.exit_code == 0, archived.output
    assert (place.parent / "site/index.html").is_file()


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("plan", "--date", "soon"), "--date soon: expected a day as YYYY-MM-DD."),
        (("plan", "--say", "Siobhan"), "--say Siobhan: expected NAME=LIKE-THIS"),
        (("promise", "none", "x"), "none: the ledger has no such question."),
        (("found", "9", "x"), "There is no promise 9 still to be kept."),
        (("aired", "--seconds", "one"), "--seconds one: expected PLACE=SECONDS"),
    ],
)
def test_what_cannot_be_is_told_in_words(place, words, told):
    done = run(place, *words)

    assert done.exit_code == 2
    assert told in done.output


def test_with_nothing_signed_it_says_what_to_do(copied):
    bare = run(copied, "plan", "--date", "2026-11-27")
    ahead = run(copied, "plan", "--date", "2026-11-27", "--unsigned")

    assert bare.exit_code == 1
    assert "Nothing to plan with: no answer is signed off." in bare.output
    assert ahead.exit_code == 0
    assert "still to be signed" in ahead.output.splitlines()[-1]


def test_without_a_ledger_it_says_so(tmp_path):
    done = run(tmp_path / "none.sqlite", "plan")

    assert done.exit_code == 2
    assert "there is no ledger." in done.output

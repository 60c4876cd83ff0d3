"""A folder of hostile inputs, drafted as a desk drafts it: the good questions come out, and the outputs are safe."""

from __future__ import annotations

import csv
import json
import os
import re
import subprocess
import sys
from email import message_from_bytes
from email.policy import default
from html.parser import HTMLParser

import pytest

from tests.hostile.inputs import BATCH, GOOD, MARKUP
from triage.records import Refusal

HEADINGS = {
    "From", "To", "Subject", "Date", "Message-ID", "In-Reply-To", "References", "X-Unsent", "X-Quillstem-Draft",
    "Content-Type", "Content-Transfer-Encoding", "MIME-Version",
}  # fmt: skip
RUN_BY_A_SPREADSHEET = "=+-@\t\r\n＝＋－＠"


@pytest.fixture(scope="module")
def drafted(tmp_path_factory):
    """What the command said, and the folder that it wrote."""
    home = tmp_path_factory.mktemp("hostile")
    inbox = home / "inbox"
    inbox.mkdir()
    for name, data in BATCH.items():
        (inbox / name).write_bytes(data)
    os.mkfifo(inbox / "pipe")
    (inbox / "loop").symlink_to(inbox)
    (inbox / "device").symlink_to("/dev/zero")
    (inbox / "nowhere").symlink_to(inbox / "gone")
    done = subprocess.run(
        [sys.executable, "-m", "triage.cli", "draft", str(inbox), "--out", "drafts"],
        capture_output=True,
        text=True,
        cwd=home,
        timeout=300,
        check=False,
    )
    return done, home / "drafts"


@pytest.fixture(scope="module")
def lines(drafted):
    _, out = drafted
    return [json.loads(line) for line in (out / "drafts.jsonl").read_text("utf-8").splitlines()]


@pytest.fixture(scope="module")
def mails(drafted):
    _, out = drafted
    return [
        message_from_bytes(file.read_bytes(), policy=default) for file in (out / "replies").rglob("*.eml")
    ]


def test_it_ends_in_words_and_says_what_was_refused(drafted):
    done, _ = drafted

    assert done.returncode == 1
    assert "Traceback" not in done.stdout + done.stderr
    assert "could not be" not in done.stderr
    for told in (
        "deep-mime.eml: the mail has more than 1000 parts, or parts nested deeper than 50",
        "binary.eml: a binary file, not a message",
        "pipe: not an ordinary file (a pipe, socket or device)",
        "device: not an ordinary file (a pipe, socket or device)",
        "loop: a link back into a folder already read",
        "nowhere: a link that leads nowhere",
        "bare-quotes.csv: line 4: not readable as a row",
        "mixed.csv: line 3: expected 4 cells, found 1",
        "bomb.jsonl: line 2: nested deeper than 100",
        "bomb.jsonl: line 3: nested deeper than 100",
    ):
        assert told in " ".join(done.stderr.split()), told


@pytest.mark.parametrize(
    "identity",
    [f"m{number}@riders.invalid" for number in (1, 3, 4, 5, 6, 7, 8, 9, 11, 12, 14, 15, 18, 19)] + ["1", "4", "3", "j1", "j2"],
)  # fmt: skip
def test_a_good_question_is_drafted_whatever_lies_around_and_beside_it(lines, identity):
    of_it = [line for line in lines if line["message_id"] == identity]

    assert any("28 mm" in line["text"] and line["brief"] and line["reply"] for line in of_it)


def test_two_messages_under_one_id_are_both_kept(lines):
    texts = {line["whole_text"] for line in lines if line["message_id"] == "m13@riders.invalid"}

    assert len(texts) == 2


def test_a_message_too_long_to_be_worked_goes_to_a_person_whole(lines):
    (line,) = (line for line in lines if line["message_id"] == "m16@riders.invalid")

    assert {"too-long", "person"} <= set(line["flags"])
    assert (line["is_question"], line["brief"], line["figures"]) == (True, None, [])
    assert len(line["whole_text"]) > 100_000


def test_no_line_of_the_outputs_holds_what_a_program_refuses(drafted, lines):
    _, out = drafted
    for file in out.rglob("*"):
        if file.is_file() and "sqlite" not in file.name:
            assert "\0" not in file.read_text("utf-8")
    for line in lines:
        for name in ("rider", "subject", "message_id", "channel"):
            assert len(str(line.get(name) or "").splitlines()) < 2


def test_the_names_of_the_files_come_from_no_message(drafted):
    _, out = drafted
    names = [file.relative_to(out).as_posix() for file in out.rglob("*") if file.is_file()]

    assert names
    for name in names:
        assert re.fullmatch(
            r"(?:[a-z.-]+\.(?:jsonl|csv|html|md|sqlite(?:-wal|-shm)?|json)|replies/(?:[a-z0-9-]+/)*[a-z-]+-[0-9a-f]{16}-\d+\.eml)", name
        ), name  # fmt: skip
    assert not [file for file in out.parent.iterdir() if file.name not in ("inbox", "drafts")]


def test_nothing_is_smuggled_into_the_headings_of_a_reply(mails):
    assert len(mails) > 15
    for mail in mails:
        assert set(mail.keys()) <= HEADINGS
        assert b"\nbcc:" not in mail.as_bytes().lower()
        assert len(mail.get_all("To", [])) <= 1
        recipients = mail["To"].addresses if mail["To"] else ()
        assert all(one.addr_spec.endswith("@riders.invalid") for one in recipients)


def test_what_a_rider_writes_is_never_read_as_a_template(drafted, lines, mails):
    (line,) = (
        line for line in lines if line["message_id"] == "m14@riders.invalid" and "28 mm" in line["text"]
    )
    _, out = drafted

    assert "{{ 7*7 }}" in line["whole_text"]
    assert "49" not in (line["reply"] + line["script"]).replace(GOOD, "")
    sheet = (out / "sheet.html").read_text("utf-8")
    assert "{{ 7*7 }} {% include" in sheet.replace("&#39;", "'")
    assert any("{{ 7*7 }}" in str(mail["Subject"]) for mail in mails)


class _Tags(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.seen: list[tuple[str, dict[str, str | None]]] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Note the tag and its attributes."""
        self.seen.append((tag, dict(attrs)))


def test_a_riders_markup_stands_in_the_sheet_as_words(drafted):
    _, out = drafted
    sheet = (out / "sheet.html").read_text("utf-8")
    tags = _Tags()
    tags.feed(sheet)

    assert "alert(1)" in sheet
    assert not any(tag == "img" or "onerror" in attributes for tag, attributes in tags.seen)
    assert MARKUP[:30] not in sheet
    assert "<script>alert" not in sheet


def test_a_spreadsheet_runs_no_cell_of_the_outputs(drafted):
    _, out = drafted
    checked = 0
    for file in out.glob("*.csv"):
        with file.open(encoding="utf-8-sig", newline="") as opened:
            for cell in (cell for row in csv.reader(opened) for cell in row):
                assert not cell.lstrip(" \u00a0\u3000\"'").startswith(
                    tuple(RUN_BY_A_SPREADSHEET)
                ) or cell.startswith("'"), cell
                checked += 1
    assert checked > 200


def test_refusals_are_printed_on_lines_of_their_own():
    told = str(Refusal("a.csv", "line 3", "not a row", "Look at it."))

    assert told.splitlines() == ["a.csv: line 3: not a row", "    Look at it."]

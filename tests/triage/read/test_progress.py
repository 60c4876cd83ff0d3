"""What is told while files are read."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from triage.read import count_bytes, read
from triage.read.progress import STEP_BYTES

WORDS = "Will a 28 mm tyre fit my rim, or is it too narrow? " * 20
MAILS = 5000


def _mbox(file: Path) -> None:
    with file.open("w") as box:
        for number in range(MAILS):
            box.write(
                f"From a@riders.invalid Thu Jan  1 00:00:00 2026\nMessage-ID: <{number}@riders.invalid>\n"
            )
            box.write(f"From: Bo <bo{number}@riders.invalid>\n\n{WORDS}\n\n")


def _table(file: Path) -> None:
    rows = (f"c{number},Bo,{WORDS.replace(',', '')}\n" for number in range(MAILS))
    file.write_text("id,author,text\n" + "".join(rows))


def _lines(file: Path) -> None:
    file.write_text("".join(json.dumps({"id": f"c{n}", "text": WORDS}) + "\n" for n in range(MAILS)))


@pytest.mark.parametrize(
    ("name", "write"), [("box.mbox", _mbox), ("table.csv", _table), ("lines.jsonl", _lines)]
)
def test_a_large_file_is_told_while_it_is_read(tmp_path, name, write):
    write(tmp_path / name)
    told: list[int] = []
    halfway = 0

    for number, _ in enumerate(read([tmp_path], None, told.append), 1):
        if number == MAILS // 2:
            halfway = sum(told)

    size = count_bytes([tmp_path])
    assert size > 6 * STEP_BYTES
    assert 0.25 * size < halfway < 0.75 * size + STEP_BYTES
    assert sum(told) == size
    assert min(told) > 0


def test_what_is_told_adds_up_whatever_is_refused(tmp_path):
    (tmp_path / "empty.txt").write_text("")
    (tmp_path / "picture.png").write_bytes(b"\x89PNG\r\n\x1a\n" + bytes(10_000))
    (tmp_path / "note.txt").write_text("Is my chain worn?")
    (tmp_path / "broken.csv").write_text('id,text\n1,"never closed')
    told: list[int] = []

    list(read([tmp_path], None, told.append))

    assert sum(told) == count_bytes([tmp_path])

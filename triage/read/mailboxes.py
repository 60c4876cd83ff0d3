"""Many mails in one place: an mbox read mail by mail, and a Maildir."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import IO

from triage.read.bounds import LARGEST_MAIL_BYTES
from triage.read.mail import read_mail
from triage.records import Message, Refusal

# The line before each mail: "From someone Tue Mar  5 10:30:00 2024". A sentence that begins with From has no such date.
_SEPARATOR = re.compile(rb"^From \S.{0,300}\b\d{1,2}:\d{2}(?::\d{2})?\b.{0,40}\b\d{4}\s*$")
_QUOTED_FROM = re.compile(rb"^>(>*From )", re.MULTILINE)
LONGEST_LINE_BYTES = 1_048_576


def starts_mbox(head: bytes) -> bool:
    """Whether bytes begin like an mbox."""
    return bool(_SEPARATOR.match(head.split(b"\n", 1)[0].rstrip(b"\r")))


def read_mbox(path: Path, source: str) -> Iterator[Message | Refusal]:
    """Each mail of an mbox, one at a time in memory; a `>From ` that the mbox quoted is undone."""
    with path.open("rb") as file:
        for number, (place, data) in enumerate(_mails(file), 1):
            item = f"message {number}, byte {place}"
            yield read_mail(_QUOTED_FROM.sub(rb"\1", data), source, item)


def _mails(file: IO[bytes]) -> Iterator[tuple[int, bytes]]:
    lines: list[bytes] = []
    size = place = 0
    blank = True
    at = 0
    while line := file.readline(LONGEST_LINE_BYTES):
        if blank and line.startswith(b"From ") and _SEPARATOR.match(line.rstrip(b"\r\n")):
            if lines:
                yield place, b"".join(lines)
            lines, size, place = [], 0, at
        elif size <= LARGEST_MAIL_BYTES:
            lines.append(line)
            size += len(line)
        blank = not line.strip()
        at += len(line)
    if lines:
        yield place, b"".join(lines)


def is_maildir(folder: Path) -> bool:
    """Whether a folder is a Maildir: it has cur or new, and nothing there but mails."""
    return any((folder / name).is_dir() for name in ("cur", "new"))


def maildir_files(folder: Path) -> Iterator[Path]:
    """The mails of a Maildir, new and read; what is still being delivered in tmp is left alone."""
    for name in ("cur", "new"):
        if (folder / name).is_dir():
            yield from sorted(path for path in (folder / name).iterdir() if not path.name.startswith("."))

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
_HEADER = re.compile(rb"^[!-9;-~]{1,100}:(?:\s|$)")
_QUOTED_FROM = re.compile(rb"^>(>*From )", re.MULTILINE)
LONGEST_LINE_BYTES = 1_048_576


def starts_mbox(head: bytes) -> bool:
    """Whether bytes begin like an mbox: a separating line, and a mail's header below it."""
    first, _, rest = head.partition(b"\n")
    return _separates(first, rest[:200])


def _separates(line: bytes, below: bytes) -> bool:
    """Whether a line stands between two mails; a sentence that looks like one has no header below it."""
    return (
        _SEPARATOR.match(line.rstrip(b"\r\n")) is not None
        and _HEADER.match(below.removeprefix(b">")) is not None
    )


def read_mbox(path: Path, source: str) -> Iterator[Message | Refusal]:
    """Each mail of an mbox, one at a time in memory; a `>From ` that the mbox quoted is undone."""
    with path.open("rb") as file:
        for number, (place, data) in enumerate(_mails(file), 1):
            item = f"message {number}, byte {place}"
            yield read_mail(_QUOTED_FROM.sub(rb"\1", data), source, item)


def _mails(file: IO[bytes]) -> Iterator[tuple[int, bytes]]:
    lines: list[bytes] = []
    size = place = 0
    starts_line = True
    at = 0
    line = file.readline(LONGEST_LINE_BYTES)
    while line:
        below = file.readline(LONGEST_LINE_BYTES)
        if starts_line and line.startswith(b"From ") and _separates(line, below[:200]):
            if any(filled.strip() for filled in lines):
                yield place, b"".join(lines)
            lines, size, place = [], 0, at
        elif size <= LARGEST_MAIL_BYTES:
            lines.append(line)
            size += len(line)
        starts_line = line.endswith(b"\n")
        at += len(line)
        line = below
    if any(filled.strip() for filled in lines):
        yield place, b"".join(lines)


def is_maildir(folder: Path) -> bool:
    """Whether a folder is a Maildir: it has both cur and new; one of them alone is a folder like any other."""
    return all((folder / name).is_dir() for name in ("cur", "new"))


def maildir_folders(folder: Path) -> list[Path]:
    """The folders of a Maildir's mails. Left alone: what is being delivered in tmp, and loose index files."""
    return sorted(path for path in folder.iterdir() if path.is_dir() and path.name != "tmp")

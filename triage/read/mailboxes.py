"""Many mails in one place: an mbox read mail by mail, and a Maildir."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import IO

from triage.read.bounds import LARGEST_MAIL_BYTES
from triage.read.mail import read_mail
from triage.read.progress import open_bytes
from triage.records import Message, Refusal

# The line before each mail: "From someone Tue Mar  5 10:30:00 2024". A sentence that begins with From has no such date.
_SEPARATOR = re.compile(rb"^From \S.{0,300}\b\d{1,2}:\d{2}(?::\d{2})?\b.{0,40}\b\d{4}\s*$")
_HEADER = re.compile(rb"^[!-9;-~]{1,100}:(?:\s|$)")
_QUOTED_FROM = re.compile(rb"^>(>*From )", re.MULTILINE)
_AFTER_LINE_FEED = b"\nFrom "
BLOCK_BYTES = 1_048_576
LONGEST_SEPARATOR_BYTES = 1_024
"""A separating line and the beginning of the header below it."""


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
    with open_bytes(path) as file:
        for number, (place, data) in enumerate(_mails(file), 1):
            item = f"message {number}, byte {place}"
            yield read_mail(_QUOTED_FROM.sub(rb"\1", data), source, item)


def _mails(file: IO[bytes]) -> Iterator[tuple[int, bytes]]:
    """Each mail with its place in the file; of one larger than is read, as much as shows that it is."""
    mail = bytearray()
    place = 0
    # The block begins with the byte before it, so that a separating line always follows a line feed.
    block, begins = b"\n", -1
    is_last = False
    while not is_last:
        more = file.read(BLOCK_BYTES)
        is_last = not more
        block += more
        kept = 1
        looked_at = len(block) if is_last else len(block) - LONGEST_SEPARATOR_BYTES
        at = _next(block, 0, looked_at)
        while at >= 0:
            line, _, below = block[at + 1 : at + 1 + LONGEST_SEPARATOR_BYTES].partition(b"\n")
            if _separates(line, below[:200]):
                _add(mail, block[kept : at + 1])
                if mail.strip():
                    yield place, bytes(mail)
                mail.clear()
                place = begins + at + 1
                kept = min(at + 2 + len(line), len(block))
            at = _next(block, at + 1, looked_at)
        ends = max(kept, looked_at)
        _add(mail, block[kept:ends])
        begins += ends - 1
        block = block[ends - 1 :]
    if mail.strip():
        yield place, bytes(mail)


def _next(block: bytes, start: int, end: int) -> int:
    """Where a line that may separate follows, the line feed before it within these places; -1 where none does."""
    return block.find(_AFTER_LINE_FEED, start, end + len(_AFTER_LINE_FEED) - 1)


def _add(mail: bytearray, data: bytes) -> None:
    mail += data[: max(0, LARGEST_MAIL_BYTES + 1 - len(mail))]


def is_maildir(folder: Path) -> bool:
    """Whether a folder is a Maildir: it has both cur and new; one of them alone is a folder like any other."""
    return all((folder / name).is_dir() for name in ("cur", "new"))


def maildir_folders(folder: Path) -> list[Path]:
    """The folders of a Maildir's mails. Left alone: what is being delivered in tmp, and loose index files."""
    return sorted(path for path in folder.iterdir() if path.is_dir() and path.name != "tmp")

"""Plain text notes: one file is one message, or several between lines of dashes."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

from triage.read.bounds import LARGEST_NOTE_BYTES, MOST_NOTES
from triage.read.dates import read_date
from triage.read.finish import Found, finished
from triage.read.text import MIXED, clean, file_encoding
from triage.records import Message, Refusal

_RULE = re.compile(r"^[ \t]*(?:-{3,}|={3,}|_{5,}|(?:\*[ \t]*){3,})[ \t]*$", re.MULTILINE)
_HEADING = re.compile(r"^(from|name|by|rider|date|subject|topic)\s*:\s*(.{1,200})$", re.IGNORECASE)
_FIELDS = {
    "from": "author",
    "name": "author",
    "by": "author",
    "rider": "author",
    "date": "date",
    "subject": "subject",
    "topic": "subject",
}


def read_note(path: Path, source: str) -> Iterator[Message | Refusal]:
    """The messages of a text file."""
    with path.open("rb") as file:
        data = file.read(LARGEST_NOTE_BYTES + 1)
    found = file_encoding(data[:65_536])
    if found is None:
        yield Refusal(source, "", "not a text file", "Save it as plain text.")
        return
    encoding, mark = found
    text = clean(data[mark:LARGEST_NOTE_BYTES].decode(encoding, MIXED if encoding == "utf-8" else "replace"))
    flags = ("cut-short",) if len(data) > LARGEST_NOTE_BYTES else ()
    blocks = [block for block in _RULE.split(text) if block.strip()]
    if not blocks:
        yield Refusal(source, "", "the file is empty", "Nothing to answer; leave it out.")
    for number, block in enumerate(blocks, 1):
        item = f"note {number}" if len(blocks) > 1 else ""
        if number > MOST_NOTES:
            reason = f"more than {MOST_NOTES} notes in one file; the rest is left"
            yield Refusal(source, item, reason, "Split the file.")
            return
        yield _note(block, source, item, flags)


def _note(block: str, source: str, item: str, flags: tuple[str, ...]) -> Message | Refusal:
    lines = block.strip("\n").split("\n")
    fields: dict[str, str] = {}
    begins = 0
    while begins < len(lines) and (match := _HEADING.match(lines[begins].strip())):
        fields[_FIELDS[match[1].lower()]] = match[2].strip()
        begins += 1
    text = "\n".join(lines[begins:]).strip()
    if not text and not fields.get("subject"):
        return Refusal(source, item, "the note has no text", "Nothing to answer; leave it out.")
    return finished(
        Found(
            text=text,
            source=source,
            item=item,
            channel="note",
            received=read_date(fields.get("date")),
            author=fields.get("author"),
            subject=fields.get("subject"),
            flags=flags,
        )
    )

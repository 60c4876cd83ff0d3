"""What the search starts from: the sample inbox, cut to the form that each target takes."""

from __future__ import annotations

import base64
from email import message_from_bytes
from pathlib import Path

ROOT = Path(__file__).parent.parent.parent
INBOX = ROOT / "sample_inbox"
HERE = Path(__file__).parent
FOUND = HERE / "found"
CORPUS = HERE / "corpus"
LONGEST_SEED_BYTES = 4_096


def seeds(target: str) -> list[bytes]:
    """The seeds of a target, none longer than the search looks at."""
    made = {
        "mail": _mails,
        "mbox": lambda: [(INBOX / "archive.mbox").read_bytes()],
        "json-lines": lambda: _pieces(INBOX / "comments-thursday.jsonl", b""),
        "table": lambda: [*_table("comments-monday.csv"), *_table("comments-wednesday.csv")],
        "note": _notes,
        "html": _pages,
        "file": lambda: [*_mails()[:8], *_notes()[:3], *_table("comments-monday.csv")[:2]],
        "split": _texts,
        "details": _texts,
    }[target]()
    return [seed[:LONGEST_SEED_BYTES] for seed in made]


def kept(target: str) -> list[bytes]:
    """Inputs that an earlier search found to reach new ground, one a line in base64."""
    file = CORPUS / f"{target}.txt"
    return [base64.b64decode(line) for line in file.read_text("ascii").split()] if file.is_file() else []


def found(target: str) -> list[bytes]:
    """Inputs that broke a promise once."""
    return [file.read_bytes() for file in sorted((FOUND / target).glob("*"))]


def _mails() -> list[bytes]:
    files = [*(INBOX / "mails").glob("*"), *(INBOX / "Maildir").rglob("*")]
    return [file.read_bytes() for file in sorted(files) if file.is_file()]


def _notes() -> list[bytes]:
    return [file.read_bytes() for file in sorted((INBOX / "notes").glob("*"))]


def _table(name: str) -> list[bytes]:
    heading = (INBOX / name).read_bytes().split(b"\n")[0] + b"\n"
    return _pieces(INBOX / name, heading)


def _pieces(file: Path, heading: bytes) -> list[bytes]:
    lines = file.read_bytes().splitlines(keepends=True)
    return [heading + b"".join(lines[start : start + 4]) for start in range(1, len(lines), 4)]


def _pages() -> list[bytes]:
    parts = [part for data in _mails() for part in message_from_bytes(data).walk()]
    pages = [part.get_payload(decode=True) for part in parts if part.get_content_type() == "text/html"]
    return [page for page in pages if isinstance(page, bytes)]


def _texts() -> list[bytes]:
    from triage.read import read  # the search has its modules imported where it can watch them
    from triage.records import Message

    return [one.text.encode() for one in read([INBOX]) if isinstance(one, Message)]

"""What kind of file it is, by its content and not by its name."""

from __future__ import annotations

import re
from collections.abc import Mapping

from triage.read.mailboxes import starts_mbox
from triage.read.tables import delimiter_of
from triage.read.text import file_encoding

MAGIC: tuple[tuple[bytes, str], ...] = (
    (b"\x89PNG", "a picture (PNG)"),
    (b"\xff\xd8\xff", "a picture (JPEG)"),
    (b"GIF8", "a picture (GIF)"),
    (b"RIFF", "a picture or sound (RIFF)"),
    (b"%PDF", "a PDF document"),
    (b"PK\x03\x04", "an archive or office document (ZIP)"),
    (b"\x1f\x8b", "a compressed file (gzip)"),
    (b"BZh", "a compressed file (bzip2)"),
    (b"7z\xbc\xaf", "an archive (7z)"),
    (b"\x7fELF", "a program"),
    (b"MZ\x90", "a program"),
    (b"SQLite format 3", "a database"),
    (b"\xd0\xcf\x11\xe0", "an office document"),
    (b"ID3", "a sound (MP3)"),
    (b"OggS", "a sound (Ogg)"),
)
_HEADER = re.compile(rb"^[!-9;-~]{1,80}:")
_MAIL_HEADERS = re.compile(
    rb"^(?:return-path|received|from|to|subject|date|message-id|mime-version|delivered-to|content-type|x-[a-z-]+|dkim-signature|reply-to|sender):",
    re.IGNORECASE,
)
_OBJECT = re.compile(r"\{\s*[\"}]")
_OBJECT_LINE = re.compile(r"\{\s*\".*\},?$")
_ARRAY = re.compile(r"\[\s*[{\[\"\]]")
_TELLING = re.compile(
    rb"^(?:message-id|mime-version|received|return-path|delivered-to|dkim-signature):", re.IGNORECASE
)


def kind_of(head: bytes, columns: Mapping[str, str] | None = None) -> str:
    """`mbox`, `mail`, `json`, `table` or `note`; or, after a colon, what unusable thing it is.

    >>> kind_of(b"Subject: Hi\\nFrom: a@b.invalid\\nMessage-ID: <1@b>\\n\\nWhy?"), kind_of(b"id,text\\n1,Why?")
    ('mail', 'table')
    >>> kind_of(b"From: Ana\\nDate: 2026-11-20\\n\\nWhy?"), kind_of(b"%PDF-1.7")
    ('note', 'unusable:a PDF document')
    """
    found = file_encoding(head)
    what = _unusable(head, is_text=found is not None)
    if what is not None:
        return f"unusable:{what}"
    bare = head.lstrip(b"\xef\xbb\xbf\r\n \t")
    if starts_mbox(bare):
        return "mbox"
    if _is_mail(bare):
        return "mail"
    if found is None:
        return "unusable:a binary file"
    encoding, mark = found
    text = head[mark:].decode(encoding, "replace").lstrip("\ufeff \t\r\n")
    if _is_json(text):
        return "json"
    return "table" if delimiter_of(text, columns) is not None else "note"


def _unusable(head: bytes, *, is_text: bool) -> str | None:
    for magic, what in MAGIC:
        # A note may begin with the letters of a magic number; the file they stand for is no text.
        if head.startswith(magic) and not (is_text and magic.isalnum()):
            return what
    if head[4:8] == b"ftyp":
        return "a picture or film (ISO media)"
    return None


def _is_mail(head: bytes) -> bool:
    """Header lines up to a blank one, enough of them a mail's own."""
    known = telling = 0
    for line in head.split(b"\n")[:200]:
        line = line.rstrip(b"\r")
        if not line:
            break
        if line[:1] in b" \t":
            continue
        if not _HEADER.match(line[:2000]):
            return False
        known += bool(_MAIL_HEADERS.match(line))
        telling += bool(_TELLING.match(line))
    return (telling >= 1 and known >= 2) or known >= 4


def _is_json(text: str) -> bool:
    if text.startswith("{"):
        return _OBJECT.match(text) is not None or any(
            _OBJECT_LINE.match(line.strip()) for line in text[:4_000].split("\n")[1:5]
        )
    return _ARRAY.match(text) is not None

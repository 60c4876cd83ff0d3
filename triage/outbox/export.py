"""Signed replies in bulk, for other programs to send: mail files in a zip, one mbox, and a table to merge from."""

from __future__ import annotations

import csv
import io
import mailbox
import re
import tempfile
import time
import zipfile
from collections.abc import Iterable, Sequence
from pathlib import Path

from triage.outbox.ready import ReadyMail
from triage.output.cells import safe_cell

MERGE_COLUMNS = ("address", "first_name", "subject", "text", "question_ids")
_QUOTED_FROM = re.compile(rb"^(>+From )", re.MULTILINE)


def as_zip(mails: Sequence[ReadyMail]) -> bytes:
    """A zip archive with one .eml file for each mail, named by its first question."""
    return zipped((name, one.mail.as_bytes()) for name, one in zip(_names(mails), mails, strict=True))


def zipped(files: Iterable[tuple[str, bytes]]) -> bytes:
    """A zip archive of files, each as (name, content)."""
    into = io.BytesIO()
    now = time.localtime()[:6]
    with zipfile.ZipFile(into, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in files:
            entry = zipfile.ZipInfo(name, now)
            entry.compress_type = zipfile.ZIP_DEFLATED
            archive.writestr(entry, content)
    return into.getvalue()


def as_mbox(mails: Sequence[ReadyMail]) -> bytes:
    """One mailbox file with all mails; lines that look like its separators are quoted so that it can be undone."""
    with tempfile.TemporaryDirectory() as folder:
        place = Path(folder) / "replies.mbox"
        box = mailbox.mbox(place)
        try:
            for one in mails:
                box.add(_separated(one))
            box.flush()
        finally:
            box.close()
        return place.read_bytes()


def as_merge_csv(mails: Sequence[ReadyMail]) -> bytes:
    """A table for a mail merge, UTF-8 with the mark that spreadsheets look for; only riders with an address are in it.

    A cell that a spreadsheet would run as a formula has an apostrophe before it.
    """
    into = io.StringIO(newline="")
    table = csv.writer(into)
    table.writerow(MERGE_COLUMNS)
    for one in mails:
        if one.address is not None:
            cells = (one.address, one.first_name or "", one.subject, one.text, " ".join(one.question_ids))
            table.writerow([safe_cell(cell) for cell in cells])
    return into.getvalue().encode("utf-8-sig")


def _names(mails: Sequence[ReadyMail]) -> list[str]:
    names: dict[str, None] = {}
    for number, one in enumerate(mails):
        name = re.sub(r"[^A-Za-z0-9-]", "", one.question_ids[0])[:80] or "reply"
        names[f"{name}.eml" if f"{name}.eml" not in names else f"{name}-{number}.eml"] = None
    return list(names)


def _separated(one: ReadyMail) -> bytes:
    """The mail below its separating line. The library quotes a bare From; what is quoted already is quoted once more."""
    body = one.mail.as_bytes().replace(b"\r\n", b"\n")
    sender = one.mail["From"].addresses[0].addr_spec
    line = f"From {sender} {time.asctime(time.gmtime())}\n".encode("ascii")
    return line + _QUOTED_FROM.sub(rb">\1", body)

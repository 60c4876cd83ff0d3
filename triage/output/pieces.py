"""One piece of a run's messages as it goes into the run's files, made by whoever has a hand free."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from itertools import groupby
from typing import Any

from triage.ledger.reviews import SIGNED_STATES
from triage.ledger.rows import line_text
from triage.ledger.store import Ledger, open_ledger
from triage.output.cells import safe_cell
from triage.output.papers import Rank, pressing
from triage.output.replies import reply_bytes
from triage.output.totals import Totals

Line = dict[str, Any]
SUMMARY_COLUMNS = (
    "question_id", "message_id", "channel", "received", "rider", "topic", "brief", "verdict", "safety", "headline",
    "asked_by", "repeats_of", "script_seconds", "asks", "flags",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Mark:
    """Where a line stands among the others, and which papers may hold it: its length in bytes and its rank."""

    size: int
    rank: Rank
    is_question: bool
    is_told: bool
    is_closer: bool


@dataclass(frozen=True, slots=True)
class Piece:
    """What some messages add to each file: lines of JSON, rows of the summary, mails by name, and their counts."""

    lines: bytes = b""
    rows: str = ""
    mails: Sequence[tuple[str, bytes]] = ()
    marks: Sequence[Mark] = ()
    totals: Totals = field(default_factory=Totals)


def piece_of(ledger: Ledger, keys: Sequence[str]) -> Piece:
    """The piece that these messages are."""
    totals = Totals()
    made = list(ledger.lines(keys))
    texts = [line_text(line).encode() + b"\n" for _, line in made]
    rows = io.StringIO()
    table = csv.writer(rows, lineterminator="\n")
    for _, line in made:
        table.writerow([_cell(line, column) for column in SUMMARY_COLUMNS])
        totals.add(line)
    mails = _mails(made, ledger, keys)
    totals.replies = len(mails)
    marks = [_mark(line, len(text)) for (_, line), text in zip(made, texts, strict=True)]
    return Piece(b"".join(texts), rows.getvalue(), mails, marks, totals)


def piece_elsewhere(address: str, keys: Sequence[str]) -> Piece:
    """The same in another process, which opens the ledger once."""
    return piece_of(_opened(address), keys)


@lru_cache(maxsize=1)
def _opened(address: str) -> Ledger:
    return open_ledger(address)


def _mark(line: Line, size: int) -> Mark:
    return Mark(
        size,
        pressing(line),
        line["is_question"],
        bool(line["script"]) and not line["repeats_of"],
        "closer" in line["flags"],
    )


def _cell(line: Line, column: str) -> str:
    value = line[column]
    if column == "asks":
        text = " / ".join(ask["question"] for ask in value)
    elif isinstance(value, list):
        text = " ".join(map(str, value))
    else:
        text = "" if value is None else str(value)
    return safe_cell(text)


def _mails(made: Sequence[tuple[str, Line]], ledger: Ledger, keys: Sequence[str]) -> list[tuple[str, bytes]]:
    messages = ledger.messages(keys)
    mails = []
    for key, pairs in groupby(made, key=lambda pair: pair[0]):
        lines = [line for _, line in pairs if line["reply"]]
        if lines:
            name = re.sub(r"[^a-z0-9-]", "", f"{lines[0]['topic']}-{lines[0]['question_id']}")
            is_signed = all(line["state"] in SIGNED_STATES for line in lines)
            mails.append((f"{name}.eml", reply_bytes(lines, messages[key], is_signed=is_signed)))
    return mails

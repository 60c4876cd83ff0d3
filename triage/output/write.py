"""Write a run's folder from the ledger, file by file, each whole or absent.

The run's messages go by in pieces, made by one process or many and written by one, so that no more than some pieces
are in memory. Of a large run the replies stand in one mailbox instead of a folder of a million files.
"""

from __future__ import annotations

import csv
import heapq
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import ExitStack
from itertools import islice
from pathlib import Path
from typing import IO, Any

import joblib
import orjson
from joblib.externals.loky.process_executor import BrokenProcessPool

from knowledge.base import Knowledge
from triage.ledger.store import Ledger
from triage.output.cells import safe_cell
from triage.output.files import clear_halves, whole_bytes_file, whole_file, whole_files
from triage.output.papers import MOST_ASIDE, MOST_CLOSERS, MOST_ON_PAPER, Rank, write_script, write_sheet
from triage.output.pieces import SUMMARY_COLUMNS, Mark, Piece, piece_elsewhere, piece_of
from triage.output.totals import Totals

Line = dict[str, Any]
MOST_IN_THE_FOLDER = 5_000
"""Replies that are written as files of their own."""


def write_outputs(
    run: int,
    ledger: Ledger,
    knowledge: Knowledge,
    out: Path,
    on_progress: Callable[[int], None] = lambda _: None,
    workers: int = 1,
) -> Totals:
    """Write drafts.jsonl, script.md, replies, sheet.html, summary.csv and, where anything was refused, refused.csv.

    `on_progress` is told the messages of each piece that was written.
    """
    totals, picked = Totals(), _Picked()
    for folder in (out, out / "replies"):
        folder.mkdir(parents=True, exist_ok=True)
        clear_halves(folder)
    with ExitStack() as files:
        jsonl = files.enter_context(whole_bytes_file(out / "drafts.jsonl"))
        summary = files.enter_context(whole_file(out / "summary.csv"))
        replies = files.enter_context(_Replies(out))
        csv.writer(summary, lineterminator="\n").writerow(SUMMARY_COLUMNS)
        for count, piece in _pieces(run, ledger, workers):
            jsonl.write(piece.lines)
            summary.write(piece.rows)
            replies.add(piece.mails)
            picked.add(piece.marks)
            totals.plus(piece.totals)
            on_progress(count)
    with (out / "drafts.jsonl").open("rb") as lines:
        told, closers = picked.told.lines(lines), picked.closers.lines(lines)
        write_script(told, list(closers), knowledge, out, totals)
        write_sheet(picked.questions.lines(lines), list(picked.aside.lines(lines)), knowledge, out, totals)
    _write_refused(run, ledger, out)
    return totals


def _pieces(run: int, ledger: Ledger, workers: int) -> Iterator[tuple[int, Piece]]:
    """How many messages each piece is of, and the piece, in the messages' order."""
    if workers <= 1:
        for keys in ledger.runs.keys(run):
            yield len(keys), piece_of(ledger, keys)
        return
    counts: list[int] = []

    def tasks() -> Iterator[Any]:
        for keys in ledger.runs.keys(run):
            counts.append(len(keys))
            yield joblib.delayed(piece_elsewhere)(ledger.address, keys)

    done = 0
    try:
        pool = joblib.Parallel(n_jobs=workers, return_as="generator", pre_dispatch="2*n_jobs")
        for piece in pool(tasks()):
            yield counts[done], piece
            done += 1
    except BrokenProcessPool:
        # A lost worker costs its hand: what is left is made here.
        for keys in islice(ledger.runs.keys(run), done, None):
            yield len(keys), piece_of(ledger, keys)


class _Most:
    """The most pressing lines of a file, no more than so many, by where they stand in it."""

    def __init__(self, most: int) -> None:
        self.most = most
        self.heap: list[tuple[tuple[int, ...], int, int]] = []

    def add(self, rank: Rank, start: int, size: int) -> None:
        # A heap gives up its smallest: the least pressing, and of equals the last.
        entry = (tuple(-place for place in rank), -start, size)
        if len(self.heap) < self.most:
            heapq.heappush(self.heap, entry)
        else:
            heapq.heappushpop(self.heap, entry)

    def lines(self, file: IO[bytes]) -> Iterator[Line]:
        """The lines in the file's order."""
        for start, size in sorted((-start, size) for _, start, size in self.heap):
            file.seek(start)
            yield orjson.loads(file.read(size))


class _Picked:
    """Which lines go on which paper."""

    def __init__(self) -> None:
        self.questions, self.told = _Most(MOST_ON_PAPER), _Most(MOST_ON_PAPER)
        self.aside, self.closers = _Most(MOST_ASIDE), _Most(MOST_CLOSERS)
        self.place = 0

    def add(self, marks: Iterable[Mark]) -> None:
        for mark in marks:
            (self.questions if mark.is_question else self.aside).add(mark.rank, self.place, mark.size)
            if mark.is_told:
                self.told.add(mark.rank, self.place, mark.size)
            if mark.is_closer:
                self.closers.add(mark.rank, self.place, mark.size)
            self.place += mark.size


class _Replies:
    """The mails of a run: a folder of files, or one mailbox where they are many; the other of the two is removed."""

    def __init__(self, out: Path) -> None:
        self.folder, self.box = out / "replies", out / "replies.mbox"
        self.names: set[str] = set()
        self.first: list[tuple[str, bytes]] = []
        self.files = ExitStack()
        self.mailbox: IO[bytes] | None = None

    def __enter__(self) -> _Replies:
        return self

    def add(self, mails: Sequence[tuple[str, bytes]]) -> None:
        if self.mailbox is None and len(self.first) + len(mails) <= MOST_IN_THE_FOLDER:
            self.first += mails
            return
        if self.mailbox is None:
            self.mailbox = self.files.enter_context(whole_bytes_file(self.box))
            mails, self.first = [*self.first, *mails], []
        self.mailbox.writelines(_in_a_mailbox(mail) for _, mail in mails)

    def __exit__(self, *fault: Any) -> None:
        self.files.__exit__(*fault)
        if fault[0] is not None:
            return
        whole_files(self.folder, self.first)
        kept = {name for name, _ in self.first}
        for old in self.folder.glob("*.eml"):
            if old.name not in kept:
                old.unlink()
        if self.mailbox is None:
            self.box.unlink(missing_ok=True)


def _in_a_mailbox(mail: bytes) -> bytes:
    """A mail as an mbox holds it. The body is quoted-printable, where a line may begin with an escaped F."""
    return (
        b"From quillstem@localhost Thu Jan  1 00:00:00 1970\n"
        + mail.replace(b"\nFrom ", b"\n=46rom ")
        + b"\n"
    )


def _write_refused(run: int, ledger: Ledger, out: Path) -> None:
    place = out / "refused.csv"
    if next(ledger.runs.refusals(run), None) is None:
        place.unlink(missing_ok=True)
        return
    with whole_file(place) as file:
        table = csv.writer(file, lineterminator="\n")
        table.writerow(["file", "item", "reason", "remedy"])
        for one in ledger.runs.refusals(run):
            table.writerow([safe_cell(text) for text in (one.file, one.item, one.reason, one.remedy)])

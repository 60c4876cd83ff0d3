"""Comment exports as tables: any delimiter, any encoding, line breaks inside quotes, damaged rows named."""

from __future__ import annotations

import csv
import io
import re
from collections import deque
from collections.abc import Iterator, Mapping
from contextlib import suppress
from itertools import islice
from pathlib import Path
from typing import IO

from triage.read.bounds import (
    LONGEST_RECORD_CHARACTERS,
    MOST_COLUMNS,
    MOST_LINES_OF_A_RECORD,
    MOST_READ_AGAIN_CHARACTERS,
    MOST_ROWS_REFUSED_RUNNING,
    SNIFFED_BYTES,
)
from triage.read.columns import matched, missing_text, too_many
from triage.read.dates import day_comes_first, read_date
from triage.read.finish import Found, finished
from triage.read.html import plain_comment
from triage.read.progress import open_text
from triage.read.text import MIXED, clean, file_encoding
from triage.records import Message, Refusal

DELIMITERS = ",;\t|"
DATE_SAMPLES = 200
LINES_TRIED = 60
"""Looked at to tell a table from prose. [lines]"""
_TOLD_DELIMITER = re.compile(r"sep=([,;\t|])\r?\n")
csv.field_size_limit(LONGEST_RECORD_CHARACTERS)


def delimiter_of(head: str, columns: Mapping[str, str] | None = None) -> str | None:
    """The delimiter of a table's first lines; None where the text is no table.

    >>> delimiter_of("id;text\\n1;Hello, you\\n2;Why?"), delimiter_of("Dear all, my bike, an old one,\\nsqueaks")
    (';', None)
    >>> delimiter_of("Question, is 28 mm too wide?\\nMy rim is old, 17 mm inside")
    """
    head = head.lstrip("\ufeff\r\n")
    told = _TOLD_DELIMITER.match(head)
    if told is not None:
        return told[1]
    tables = {delimiter: _first_records(head, delimiter) for delimiter in DELIMITERS}
    named = [
        (len(records[0]), delimiter)
        for delimiter, records in tables.items()
        if records and _names_columns(records[0], columns)
    ]
    if named:
        return max(named, key=lambda found: found[0])[1]
    return next((delimiter for delimiter, records in tables.items() if _has_shape(records, delimiter)), None)


def _first_records(head: str, delimiter: str) -> list[list[str]]:
    """The first records of a text read with a delimiter; fewer where it can't be read so."""
    records: list[list[str]] = []
    with suppress(csv.Error):
        for record in csv.reader(islice(io.StringIO(head, newline=""), LINES_TRIED), delimiter=delimiter):
            if record:
                records.append(record)
    return records


def _names_columns(names: list[str], columns: Mapping[str, str] | None) -> bool:
    """Whether cells are column names, the text's among them; a sentence that begins with such a word is not."""
    if len(names) < 2 or not names[0].strip() or any(len(name) > 80 for name in names):
        return False
    ours = matched(names, columns)
    if "text" not in ours:
        return False
    return len(ours) > 1 or bool(columns) or all(_could_be_name(name) for name in names)


def _could_be_name(cell: str) -> bool:
    return (
        0 < len(cell) <= 40
        and len(cell.split()) <= 4
        and cell.lstrip(" ") == cell
        and cell[-1] not in ".!?:"
        and any(character.isalpha() for character in cell)
    )


def _has_shape(records: list[list[str]], delimiter: str) -> bool:
    """A table under unusual names: each of its first records has as many cells as the heading."""
    if len(records) < 2 or not all(_could_be_name(name) for name in records[0]):
        return False
    # The last of several may be cut where the looking ends.
    widths = {len(record) for record in (records[:-1] if len(records) > 3 else records)}
    fewest = 3 if delimiter == "," and not matched(records[0], None) else 2
    return len(widths) == 1 and widths.pop() >= fewest


A_LINE_COSTS_CHARACTERS = 64
"""Reading a line again takes time for the line itself too, as much as for so many characters."""


READ_AGAIN_TIMES = 4
"""A long export may hold more such rows: so many times what was read of it is allowed besides. [-]"""


class _TooLongError(csv.Error):
    """A line or row of an export longer than is read."""


class _Lines:
    """The lines of an export, numbered; those of a record that went wrong can be given again one by one."""

    def __init__(self, text: IO[str]) -> None:
        self._text = text
        self._again: deque[str | None] = deque()
        self._record: list[str | None] = []
        self._record_characters = 0
        self._read_characters = self._read_again_characters = 0
        self.first_line = 1

    def __iter__(self) -> Iterator[str]:
        return self

    def __next__(self) -> str:
        line = self._again.popleft() if self._again else self._next_line()
        if line == "":
            raise StopIteration
        self._record.append(line)
        if line is None:
            raise _TooLongError("the line is longer than is read")
        self._record_characters += len(line)
        if self._record_characters > LONGEST_RECORD_CHARACTERS or len(self._record) > MOST_LINES_OF_A_RECORD:
            raise _TooLongError("it goes on over more lines or characters than are read")
        return line

    def _next_line(self) -> str | None:
        line = self._text.readline(LONGEST_RECORD_CHARACTERS + 1)
        self._read_characters += len(line) + A_LINE_COSTS_CHARACTERS
        if len(line) <= LONGEST_RECORD_CHARACTERS:
            return line.replace("\0", "") or ("\n" if line else "")
        while line and not line.endswith(("\n", "\r")):
            line = self._text.readline(LONGEST_RECORD_CHARACTERS)
        return None

    def begin_record(self) -> None:
        """Count the lines of the last record; the next begins here."""
        self.first_line += len(self._record)
        self._record.clear()
        self._record_characters = 0

    def keep_first(self) -> str | None:
        """The first line of the record at hand, None for one too long; the others will be read anew."""
        first, *others = self._record
        self._read_again_characters += sum(len(line or "") + A_LINE_COSTS_CHARACTERS for line in others)
        self._again.extendleft(reversed(others))
        del self._record[1:]
        return first

    @property
    def read_again_too_often(self) -> bool:
        """Whether so many rows never ended that giving their lines again would take no end."""
        most = MOST_READ_AGAIN_CHARACTERS + READ_AGAIN_TIMES * self._read_characters
        return self._read_again_characters > most


def _records(lines: _Lines, delimiter: str) -> Iterator[list[str] | csv.Error]:
    """The cells of each record, or what is wrong with it: then one line is lost and the next begins a record."""
    reader = csv.reader(lines, delimiter=delimiter, strict=True)
    while True:
        lines.begin_record()
        try:
            yield next(reader)
        except StopIteration:
            return
        except csv.Error as fault:
            first = lines.keep_first()
            # A stray quotation mark within a line does no harm; one that is never closed would eat the rows below.
            yield fault if first is None else _loosely_read(first, delimiter) or fault


def _loosely_read(line: str, delimiter: str) -> list[str] | None:
    with suppress(csv.Error):
        closed = list(csv.reader([line, "next"], delimiter=delimiter))
        if len(closed) == 2:
            return closed[0]
    return None


def read_table(path: Path, source: str, columns: Mapping[str, str] | None) -> Iterator[Message | Refusal]:
    """Each row of an export as a message; a damaged row is refused by its line and the rest goes on."""
    with path.open("rb") as file:
        head = file.read(SNIFFED_BYTES)
    found = file_encoding(head)
    if found is None:
        yield Refusal(source, "", "not a text file", "Export it again as CSV in UTF-8.")
        return
    encoding, mark = found
    start = head[mark:].decode(encoding, "replace").replace("\0", "")
    delimiter = delimiter_of(start, columns) or ","
    errors = MIXED if encoding == "utf-8" else "replace"
    with open_text(path, encoding, errors, newline="") as text:
        text.read(1 if mark else 0)
        yield from _rows(_Lines(text), delimiter, columns, source, start)


def _rows(
    lines: _Lines, delimiter: str, columns: Mapping[str, str] | None, source: str, start: str
) -> Iterator[Message | Refusal]:
    heading: list[str] = []
    places: dict[str, int] = {}
    day_first = None
    refused = 0
    for cells in _records(lines, delimiter):
        item = f"line {lines.first_line}"
        if refused >= MOST_ROWS_REFUSED_RUNNING:
            reason = f"{refused} damaged rows one after another; the rest is left"
            yield Refusal(source, item, reason, "Export it again, or cut the damaged part out.")
            return
        if lines.read_again_too_often:
            reason = "too many quotation marks that are never closed; the rest is left"
            yield Refusal(source, item, reason, "Export it again, every cell in quotation marks.")
            return
        if isinstance(cells, csv.Error):
            refused += 1
            reason = f"not readable as a row: {cells}"
            yield Refusal(source, item, reason, "Look at the quotation marks there.")
        elif not any(cell.strip() for cell in cells) or (not heading and _tells_delimiter(cells)):
            continue
        elif not heading:
            if len(cells) > MOST_COLUMNS:
                yield Refusal(source, item, *too_many("columns"))
                return
            heading = [name.strip().lstrip("\ufeff") for name in cells]
            ours = matched(heading, columns)
            if "text" not in ours:
                yield Refusal(source, item, *missing_text(heading, columns))
                return
            places = {name: heading.index(theirs) for name, theirs in ours.items()}
            day_first = day_comes_first(_date_samples(start, delimiter, places.get("date")))
        elif len(cells) != len(heading) and (len(cells) < len(heading) or any(cells[len(heading) :])):
            refused += 1
            reason = f"expected {len(heading)} cells, found {len(cells)}"
            remedy = "A cell that holds the delimiter needs quotation marks around it."
            yield Refusal(source, item, reason, remedy)
        else:
            refused = 0
            row = {name: cells[place] for name, place in places.items()}
            yield _message(row, source, item, day_first)


def _tells_delimiter(cells: list[str]) -> bool:
    """Whether a first row only names the delimiter, as some spreadsheets write it."""
    return cells[0] == "sep=" or (len(cells) == 1 and cells[0].startswith("sep="))


def _date_samples(start: str, delimiter: str, place: int | None) -> list[str]:
    if place is None:
        return []
    samples: list[str] = []
    with suppress(csv.Error):
        for row in islice(
            csv.reader(io.StringIO(start, newline=""), delimiter=delimiter), 1, DATE_SAMPLES + 1
        ):
            if len(row) > place:
                samples.append(row[place])
    return samples


def _message(cells: Mapping[str, str], source: str, item: str, day_first: bool | None) -> Message | Refusal:
    text = plain_comment(cells["text"])
    if not clean(text).strip():
        return Refusal(
            source, item, "the row has no text", "Nothing to answer; leave it, or fill the text in."
        )
    return finished(
        Found(
            text=text,
            source=source,
            item=item,
            channel=cells.get("channel") or "comment",
            identity=cells.get("id"),
            received=read_date(cells.get("date"), day_first=day_first),
            author=cells.get("author"),
            address=cells.get("address"),
            subject=cells.get("subject"),
            likes=cells.get("likes"),
            in_reply_to=cells.get("parent") or None,
        )
    )

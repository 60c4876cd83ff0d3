"""Comment exports as tables: any delimiter, any encoding, line breaks inside quotes, damaged rows named."""

from __future__ import annotations

import csv
from collections.abc import Iterator, Mapping
from pathlib import Path

from triage.read.bounds import LONGEST_RECORD_CHARACTERS, SNIFFED_BYTES
from triage.read.columns import matched, missing_text
from triage.read.dates import day_comes_first, read_date
from triage.read.finish import Found, finished
from triage.read.html import plain_comment
from triage.read.text import MIXED, file_encoding
from triage.records import Message, Refusal

DELIMITERS = ",;\t|"
DATE_SAMPLES = 200
csv.field_size_limit(LONGEST_RECORD_CHARACTERS)


def delimiter_of(head: str, columns: Mapping[str, str] | None = None) -> str | None:
    """The delimiter of a table's first lines; None where the text is no table.

    >>> delimiter_of("id;text\\n1;Hello, you\\n2;Why?"), delimiter_of("Dear all, my bike, an old one,\\nsqueaks")
    (';', None)
    """
    first = head.lstrip("\ufeff\n").split("\n", 1)[0]
    best: tuple[int, str] | None = None
    for delimiter in DELIMITERS:
        names = next(csv.reader([first], delimiter=delimiter), [])
        if len(names) < 2 or not all(name.strip() for name in names[:2]):
            continue
        if not any(len(name) <= 60 for name in names) or any(len(name) > 80 for name in names):
            continue
        if "text" in matched(names, columns) and (best is None or len(names) > best[0]):
            best = (len(names), delimiter)
    if best is not None:
        return best[1]
    return _by_shape(head)


def _by_shape(head: str) -> str | None:
    """A table under unusual names: every one of its first records has the same number of cells, three or more lines."""
    for delimiter in DELIMITERS:
        try:
            rows = [row for row in csv.reader(head.splitlines()[:12], delimiter=delimiter) if row]
        except csv.Error:
            continue
        widths = {len(row) for row in rows[:-1]} if len(rows) > 3 else {len(row) for row in rows}
        heading = rows[0] if rows else []
        if len(rows) >= 2 and len(widths) == 1 and widths.pop() >= (2 if delimiter != "," else 3):
            if all(0 < len(name.strip()) <= 40 and len(name.split()) <= 4 for name in heading):
                return delimiter
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
    with path.open(
        "r", encoding=encoding, errors=MIXED if encoding == "utf-8" else "replace", newline=""
    ) as text:
        text.read(1 if mark else 0)
        reader = csv.reader((line.replace("\0", "") for line in text), delimiter=delimiter)
        heading = [name.strip().lstrip("\ufeff") for name in next(reader, [])]
        ours = matched(heading, columns)
        if "text" not in ours:
            yield Refusal(source, "line 1", *missing_text(heading, columns))
            return
        day_first = day_comes_first(_date_samples(start, delimiter, heading, ours))
        places = {name: heading.index(theirs) for name, theirs in ours.items()}
        yield from _rows(reader, len(heading), places, source, day_first)


def _date_samples(start: str, delimiter: str, heading: list[str], ours: Mapping[str, str]) -> list[str]:
    if "date" not in ours:
        return []
    place = heading.index(ours["date"])
    try:
        rows = list(csv.reader(start.splitlines()[1 : DATE_SAMPLES + 1], delimiter=delimiter))
    except csv.Error:
        return []
    return [row[place] for row in rows if len(row) > place]


def _rows(
    reader: Iterator[list[str]], width: int, places: Mapping[str, int], source: str, day_first: bool | None
) -> Iterator[Message | Refusal]:
    line = 1
    while True:
        first_line = line + 1
        try:
            cells = next(reader)
        except StopIteration:
            return
        except csv.Error as fault:
            line = reader.line_num  # type: ignore[attr-defined]
            yield Refusal(
                source,
                f"line {first_line}",
                f"not readable as a row: {fault}",
                "Look at the quotation marks there.",
            )
            continue
        line = reader.line_num  # type: ignore[attr-defined]
        if not any(cell.strip() for cell in cells):
            continue
        item = f"line {first_line}"
        if len(cells) != width and not (len(cells) > width and not any(cells[width:])):
            reason = f"expected {width} cells, found {len(cells)}"
            yield Refusal(
                source, item, reason, "A cell that holds the delimiter needs quotation marks around it."
            )
            continue
        yield _message({name: cells[place] for name, place in places.items()}, source, item, day_first)


def _message(cells: Mapping[str, str], source: str, item: str, day_first: bool | None) -> Message | Refusal:
    text = plain_comment(cells["text"])
    if not text.strip():
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

"""CSV read with the line number and the typed line kept, and its heading held to what is expected."""

from __future__ import annotations

import csv
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from knowledge.trouble import Trouble


@dataclass(frozen=True, slots=True)
class CsvRow:
    """One record with its place."""

    file: str
    line: int
    typed: str
    cells: dict[str, str]

    def trouble(self, field: str, wrong: str, remedy: str = "") -> Trouble:
        """A fault of one cell of this record."""
        return Trouble(self.file, self.line, field, wrong, remedy, self.typed)


def read_csv(path: Path, needed: tuple[str, ...], troubles: list[Trouble]) -> Iterator[CsvRow]:
    """The records of a CSV file; what is wrong with heading or shape goes into `troubles`."""
    name = str(path)
    try:
        lines = path.read_text(encoding="utf-8-sig").splitlines()
    except (OSError, UnicodeDecodeError) as error:
        troubles.append(Trouble(name, 1, "file", f"cannot be read: {error}", "Save it as UTF-8 text."))
        return
    reader = csv.reader(lines)
    heading = next(reader, [])
    lacking = [column for column in needed if column not in heading]
    if lacking:
        remedy = f"Add the column; found: {', '.join(heading) or 'nothing'}."
        troubles.append(Trouble(name, 1, ", ".join(lacking), "column is missing", remedy))
        return
    for cells in reader:
        line = reader.line_num
        if not cells:
            continue
        if len(cells) != len(heading):
            wrong = f"expected {len(heading)} cells, found {len(cells)}"
            remedy = "A cell that holds a comma needs quotation marks around it."
            troubles.append(Trouble(name, line, "row", wrong, remedy, lines[line - 1]))
            continue
        row = {key: cell.strip() for key, cell in zip(heading, cells, strict=True)}
        yield CsvRow(name, line, lines[line - 1], row)

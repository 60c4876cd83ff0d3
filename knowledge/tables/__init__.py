"""Published figures, one a row, read once."""

from __future__ import annotations

import csv
from functools import lru_cache
from importlib.resources import files
from types import MappingProxyType

Cell = float | str
Row = MappingProxyType[str, Cell]


@lru_cache(maxsize=256)
def rows(name: str) -> tuple[Row, ...]:
    """The rows of `knowledge/tables/NAME.csv`, each a read-only mapping; numeric cells are floats.

    Raises:
        FileNotFoundError: there is no such table.
    """
    text = files("knowledge").joinpath("tables", f"{name}.csv").read_text(encoding="utf-8")
    return tuple(
        MappingProxyType({key: _cell(cell) for key, cell in row.items()})
        for row in csv.DictReader(text.splitlines())
    )


def _cell(text: str) -> Cell:
    try:
        return float(text)
    except ValueError:
        return text

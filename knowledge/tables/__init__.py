"""Published figures, one a row, read once; a desk's own rows are laid over them by id."""

from __future__ import annotations

import csv
from functools import lru_cache
from pathlib import Path
from types import MappingProxyType

Cell = float | str
Row = MappingProxyType[str, Cell]
HOME = Path(__file__).parent
_laid_over: list[Path] = []


def lay_over(folder: Path | None) -> None:
    """Take a desk's own tables into account: a row with a known id replaces it, another is added."""
    _laid_over[:] = [] if folder is None else [folder]
    rows.cache_clear()


@lru_cache(maxsize=256)
def rows(name: str) -> tuple[Row, ...]:
    """The rows of `knowledge/tables/NAME.csv`, each a read-only mapping; numeric cells are floats.

    Raises:
        FileNotFoundError: there is no such table.
    """
    found: dict[Cell, Row] = {}
    files = [folder / f"{name}.csv" for folder in (HOME, *_laid_over)]
    if not any(file.is_file() for file in files):
        raise FileNotFoundError(f"no table {name}")
    for file in files:
        if file.is_file():
            for row in csv.DictReader(file.read_text(encoding="utf-8").splitlines()):
                cells = {key: _cell(cell) for key, cell in row.items()}
                found[cells.get("id", len(found))] = MappingProxyType(cells)
    return tuple(found.values())


def names() -> list[str]:
    """Every table, as topic/name."""
    return sorted(path.relative_to(HOME).with_suffix("").as_posix() for path in HOME.rglob("*.csv"))


def _cell(text: str | None) -> Cell:
    try:
        return float(text or "")
    except ValueError:
        return text or ""

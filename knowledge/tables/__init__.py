"""Published figures, one a row, read once; a desk's own rows are laid over them by id, and what a sum read can be asked."""

from __future__ import annotations

import csv
import inspect
import sys
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass, field
from functools import lru_cache
from importlib.util import find_spec, module_from_spec
from pathlib import Path
from threading import RLock
from types import CodeType, MappingProxyType, ModuleType
from typing import Any

import numpy as np
from numpy.typing import NDArray

Cell = float | str
Row = Mapping[str, Cell]
HOME = Path(__file__).parent
CALCULATIONS = "knowledge.calculations."
KEYS: Mapping[str, tuple[str, ...]] = {
    "bearings/axial_factors": ("axial_share",),
    "bearings/iso286_limits": ("over_mm", "to_mm"),
    "bearings/iso286_widths": ("over_mm", "to_mm"),
    "bearings/outside_diameter_tolerances": ("over_mm", "to_mm"),
    "drivetrain/chain_wear_limits": ("speeds_from", "speeds_to"),
    "drivetrain/sprocket_pitches": ("speeds",),
    "lubrication/chain_oil_by_temperature": ("from_degc", "to_degc"),
    "lubrication/iso_grades": ("middle_mm2_s",),
    "lubrication/viscosity_index_bases": ("viscosity_100_mm2_s",),
    "tyres/rider_weight_pressures": ("rider_mass_kg", "tyre_width_mm"),
    "tyres/rim_pressure_limits": ("tyre_width_mm",),
    "tyres/rim_widths_earlier": ("rim_inner_width_mm",),
    "tyres/rim_widths_current": ("tyre_width_from_mm", "tyre_width_to_mm"),
    "tyres/sealant_amounts": ("tyre_width_from_mm", "tyre_width_to_mm"),
}
"""Numbers that only say for what a row holds. One left out here makes `rows_behind` name rows too many, never too few."""
_laid_over: list[Path] = []


def lay_over(folder: Path | None) -> None:
    """Take a desk's own tables into account: a row with a known id replaces it, another is added."""
    _laid_over[:] = [] if folder is None else [folder]
    _kept.cache_clear()
    for name, module in list(sys.modules.items()):
        # What a calculation has worked up from the rows of before would outlive them.
        if name.startswith(CALCULATIONS):
            for one in _remembering(module):
                one.cache_clear()


def rows(name: str) -> tuple[Row, ...]:
    """The rows of `knowledge/tables/NAME.csv`, each a read-only mapping; numeric cells are floats.

    Raises:
        FileNotFoundError: there is no such table.
    """
    reading = _reading.get()
    return _kept(name) if reading is None else reading.rows(name)


@lru_cache(maxsize=256)
def _kept(name: str) -> tuple[Row, ...]:
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
    """Every table, the desk's own among them, as topic/name."""
    return sorted(
        {
            path.relative_to(folder).with_suffix("").as_posix()
            for folder in (HOME, *_laid_over)
            for path in folder.rglob("*.csv")
        }
    )


def _cell(text: str | None) -> Cell:
    try:
        return float(text or "")
    except ValueError:
        return text or ""


# ---- what was read -------------------------------------------------------------------------------------


@dataclass
class Reading:
    """What was looked at in the tables, rows named as in "brakes/fluids#dot-3-dry".

    `looked_at` are the rows of which any cell was looked at, `numbers` the numbers that were taken out of some of them,
    by column.
    """

    looked_at: dict[str, None] = field(default_factory=dict)
    numbers: dict[str, dict[str, float]] = field(default_factory=dict)

    def rows(self, name: str) -> tuple[Row, ...]:
        """The rows of a table, which note here what is taken out of them."""
        return tuple(_Noted(row_name, row, self) for row_name, row in _named(name))

    def note(self, row: str, column: str, cell: Cell) -> None:
        """Keep that a cell was looked at."""
        self.looked_at[row] = None
        if isinstance(cell, float):
            self.numbers.setdefault(row, {})[column] = cell


@dataclass(frozen=True, slots=True)
class _Changed:
    """The tables with other numbers in some rows, by row and column."""

    cells: Mapping[str, Mapping[str, float]]

    def rows(self, name: str) -> tuple[Row, ...]:
        return tuple(
            {**row, **self.cells[row_name]} if row_name in self.cells else row
            for row_name, row in _named(name)
        )


def _named(name: str) -> Iterator[tuple[str, Row]]:
    return ((f"{name}#{row.get('id', number)}", row) for number, row in enumerate(_kept(name)))


class _Noted(Mapping[str, Cell]):
    """A row that notes which of its cells are looked at."""

    def __init__(self, name: str, row: Row, reading: Reading) -> None:
        self._name, self._row, self._reading = name, row, reading

    def __getitem__(self, column: str) -> Cell:
        cell = self._row[column]
        self._reading.note(self._name, column, cell)
        return cell

    def __contains__(self, column: object) -> bool:
        return column in self._row

    def __iter__(self) -> Iterator[str]:
        return iter(self._row)

    def __len__(self) -> int:
        return len(self._row)


_reading: ContextVar[Reading | _Changed | None] = ContextVar("reading", default=None)


@contextmanager
def rows_read() -> Iterator[Reading]:
    """Note which rows are read inside the block, by this thread alone.

    What a function remembers from before is not read again: `rows_behind` sees to that.
    """
    reading = Reading()
    with _read_from(reading):
        yield reading


@contextmanager
def _read_from(reading: Reading | _Changed) -> Iterator[None]:
    before = _reading.set(reading)
    try:
        yield
    finally:
        _reading.reset(before)


# ---- what a result hangs on ----------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Behind:
    """The rows that a calculation's result hangs on, and all that it looked at to find them; each once, in order."""

    rows: tuple[str, ...] = ()
    looked_at: tuple[str, ...] = ()


def rows_behind(function: Callable[..., Any], inputs: Mapping[str, Any]) -> Behind:
    """The rows of which a number could change what a calculation gives for these inputs.

    Every number that was taken is tried otherwise (a little, far up and far down), and its row counts where the result is
    then another. Text only finds a row, and so do the numbers in `KEYS`, which are tried a little otherwise alone. So the
    rows that lost a comparison ("the lowest of the printed ratings") count, and those that were passed over do not.

    An input that is an array stands for the whole stretch between its values: the rows between two that count do so too.
    Where the tables hold no row for the inputs, everything that was looked at counts.

    Raises:
        OutOfRangeError: the inputs lie outside of the calculation's range.
    """
    if not reads_tables(function):
        return Behind()
    with _one_at_a_time:
        work = _Work(function, inputs)
        if work.result is None:
            return Behind(tuple(work.read.looked_at), tuple(work.read.looked_at))
        by_table: dict[str, list[str]] = {}
        for row in work.read.numbers:
            by_table.setdefault(row.partition("#")[0], []).append(row)
        found = [row for table, some in by_table.items() for row in work.that_matter(table, some)]
        return Behind(tuple(found), tuple(work.read.looked_at))


Change = Callable[[float, float], float]
MOST_SINGLY = 64
"""Rows of one table that are tried each by itself; of more, two that are tried together might make up for each other."""


class _Work:
    """A calculation with its inputs, to be worked again with other numbers in its tables.

    It is worked in a second copy of its module, which forgets what it remembers before each sum. In the first one, what
    is remembered would hide what was read, and another thread might take the other numbers for real.
    """

    def __init__(self, function: Callable[..., Any], inputs: Mapping[str, Any]) -> None:
        self.inputs = inputs
        self.function, self.remembering = _copy_of(function)
        with rows_read() as self.read:
            try:
                self.result: NDArray[np.float64] | None = self._worked()
            except _MISSING:
                self.result = None
        self.is_stretch = any(np.size(value) > 1 for value in inputs.values())

    def _worked(self) -> NDArray[np.float64]:
        for one in self.remembering:
            one.cache_clear()
        return np.asarray(self.function(**self.inputs), dtype=float)

    def that_matter(self, table: str, some: Sequence[str]) -> list[str]:
        """Those of a table's rows that the result hangs on."""
        keys = KEYS.get(table, ())
        ordered = sorted(some, key=lambda row: [self.read.numbers[row].get(key, 0.0) for key in keys])
        search = self._singly if len(ordered) <= MOST_SINGLY else self._halved
        if not self.is_stretch:
            return list(search(ordered))
        # All between the two that lie farthest apart count, so that the others need not be tried.
        first, last = next(search(ordered), None), next(search(ordered[::-1]), None)
        return (
            [] if first is None or last is None else ordered[ordered.index(first) : ordered.index(last) + 1]
        )

    def _singly(self, some: list[str]) -> Iterator[str]:
        return (row for row in some if self._matter([row]))

    def _halved(self, some: list[str]) -> Iterator[str]:
        """Tried together first, so that hundreds of rows cost a few dozen sums."""
        if not self._matter(some):
            return
        if len(some) == 1:
            yield some[0]
            return
        middle = len(some) // 2
        yield from self._halved(some[:middle])
        yield from self._halved(some[middle:])

    def _matter(self, some: Sequence[str]) -> bool:
        return self._differs(some, _a_little, of_keys=True) or any(
            self._differs(some, change) for change in (_a_little, _far_up, _far_down)
        )

    def _differs(self, some: Sequence[str], change: Change, *, of_keys: bool = False) -> bool:
        # Each row by another factor, so that a ratio of two of them moves as well.
        changed = {
            row: {
                column: change(number, 1 + place / 997)
                for column, number in self.read.numbers[row].items()
                if (column in KEYS.get(row.partition("#")[0], ())) == of_keys
            }
            for place, row in enumerate(some)
        }
        if not any(changed.values()):
            return False
        with _read_from(_Changed(changed)), np.errstate(all="ignore"):
            try:
                other = self._worked()
            except (*_MISSING, ArithmeticError, ValueError):
                # A grid with a gap where a key was moved says nothing of the row's other numbers.
                return not of_keys
        assert self.result is not None
        return other.shape != self.result.shape or not np.array_equal(other, self.result, equal_nan=True)


def _a_little(number: float, factor: float) -> float:
    return number * (1 + 1e-3 * factor) + 1e-6 * factor


def _far_up(number: float, factor: float) -> float:
    return number + (abs(number) + 1) * 1e3 * factor


def _far_down(number: float, factor: float) -> float:
    # A positive number stays one: formulas take its logarithm.
    return number / (1e3 * factor) if number > 0 else number - (abs(number) + 1) * 1e3 * factor


_MISSING = (LookupError, StopIteration)
"""What a calculation raises where no row holds."""
_one_at_a_time = RLock()


@lru_cache(maxsize=2048)
def reads_tables(function: Callable[..., Any]) -> bool:
    """Whether a function, or any that it calls by name, can read a table."""
    return _reaches(function, set())


def _reaches(function: Any, seen: set[Any]) -> bool:
    plain = inspect.unwrap(function)
    code = getattr(plain, "__code__", None)
    if code is None or plain in seen:
        return False
    seen.add(plain)
    for name in _names_in(code):
        value = plain.__globals__.get(name)
        if value is rows or value is sys.modules[__name__]:
            return True
        if callable(value) and _reaches(value, seen):
            return True
    return False


def _names_in(code: CodeType) -> Iterator[str]:
    yield from code.co_names
    for constant in code.co_consts:
        if isinstance(constant, CodeType):
            yield from _names_in(constant)


def _copy_of(function: Callable[..., Any]) -> tuple[Callable[..., Any], list[Any]]:
    """The same calculation in a copy of its module, and what that copy remembers from one sum to the next."""
    name, module = function.__name__, function.__module__
    if not module.startswith(CALCULATIONS) or getattr(sys.modules[module], name, None) is not function:
        return function, []
    copy = _copied(module)
    return getattr(copy, name), _remembering(copy)


@lru_cache(maxsize=64)
def _copied(name: str) -> ModuleType:
    spec = find_spec(name)
    assert spec is not None
    assert spec.loader is not None
    copy = module_from_spec(spec)
    spec.loader.exec_module(copy)
    return copy


def _remembering(module: ModuleType) -> list[Any]:
    """The functions of a module that keep what they gave."""
    return [value for value in vars(module).values() if hasattr(value, "cache_clear")]

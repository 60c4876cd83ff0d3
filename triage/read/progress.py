"""How far the reading has come, told while a file of gigabytes is still being read."""

from __future__ import annotations

import io
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from pathlib import Path
from typing import BinaryIO, TextIO, cast

STEP_BYTES = 262_144
"""So much is read, at the least, before it is told again."""


class Meter:
    """Tells the bytes of one file as they are read, and in the end exactly as many as it has."""

    def __init__(self, tell: Callable[[int], None], size: int) -> None:
        self.tell, self.left = tell, size
        self.untold = 0

    def add(self, count: int) -> None:
        """So many more bytes were read."""
        self.untold += count
        if self.untold >= STEP_BYTES:
            self._tell(self.untold)

    def finish(self) -> None:
        """The file is done with, however much of it was read."""
        self._tell(self.left)

    def _tell(self, count: int) -> None:
        told, self.untold = min(count, self.left), 0
        self.left -= told
        if told:
            self.tell(told)


_meter: ContextVar[Meter | None] = ContextVar("meter", default=None)


@contextmanager
def metered(tell: Callable[[int], None] | None, size: int) -> Iterator[None]:
    """Files opened inside the block tell what is read of them; together they are one file of that size."""
    if tell is None:
        yield
        return
    meter = Meter(tell, size)
    _meter.set(meter)
    try:
        yield
    finally:
        _meter.set(None)
        meter.finish()


class _Counted(io.FileIO):
    """A file that tells a meter what is read of it."""

    def __init__(self, path: Path, meter: Meter | None) -> None:
        super().__init__(path)
        self._meter = meter

    def readinto(self, buffer: object) -> int | None:
        count = super().readinto(buffer)  # type: ignore[arg-type]
        if self._meter is not None and count:
            self._meter.add(count)
        return count


def open_bytes(path: Path) -> BinaryIO:
    """The file, to be read once from its beginning to its end."""
    return cast(BinaryIO, io.BufferedReader(_Counted(path, _meter.get()), STEP_BYTES))


def open_text(path: Path, encoding: str, errors: str, newline: str | None = None) -> TextIO:
    """The same as text."""
    return io.TextIOWrapper(open_bytes(path), encoding, errors, newline)

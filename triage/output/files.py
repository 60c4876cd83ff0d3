"""Files that are whole or absent: written beside their place, synced, renamed."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO


@contextmanager
def whole_file(path: Path) -> Iterator[IO[str]]:
    """A text file that takes its place only when all of it is written."""
    with _beside(path) as beside, beside.open("w", encoding="utf-8", newline="\n") as file:
        yield file
        file.flush()
        os.fsync(file.fileno())


def whole_bytes(path: Path, content: bytes) -> None:
    """Write a file of bytes so that it is whole or as it was."""
    with _beside(path) as beside, beside.open("wb") as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())


@contextmanager
def _beside(path: Path) -> Iterator[Path]:
    """A name beside the file's place; what is written there takes the place, unless something fails."""
    path.parent.mkdir(parents=True, exist_ok=True)
    beside = path.with_name(f".{path.name}.{os.getpid()}.part")
    try:
        yield beside
        beside.replace(path)
    finally:
        beside.unlink(missing_ok=True)

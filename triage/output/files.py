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
    path.parent.mkdir(parents=True, exist_ok=True)
    beside = path.with_name(f".{path.name}.{os.getpid()}.part")
    try:
        with beside.open("w", encoding="utf-8", newline="\n") as file:
            yield file
            file.flush()
            os.fsync(file.fileno())
        beside.replace(path)
    finally:
        beside.unlink(missing_ok=True)

"""What was worked out once and is kept beside the user's other caches; without it a run only takes longer."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from filelock import FileLock


def home(cache: Path | None = None) -> Path:
    """The folder of what is kept."""
    return cache or Path(os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache") / "quillstem"


@contextmanager
def alone(folder: Path, work: str) -> Iterator[None]:
    """One process does the work; one that wants the same meanwhile waits, and mostly finds it done."""
    lock = FileLock(folder / f"{work}.lock")
    try:
        folder.mkdir(parents=True, exist_ok=True)
        lock.acquire()
    except OSError:
        # A read-only home: there is nothing to share then, so each works for itself.
        pass
    try:
        yield
    finally:
        lock.release()


def keep(file: Path, write: Callable[[Path], object]) -> bool:
    """Write beside a file's place and rename, so that a reader never sees half of one; whether that worked."""
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        beside = file.with_suffix(f".{os.getpid()}.part")
        write(beside)
        beside.replace(file)
    except OSError:
        # A read-only home costs the next run its time and nothing else.
        return False
    return True


def make_room(folder: Path, pattern: str, most: int) -> set[str]:
    """Remove the files that were not used for longest; the names of those that stay."""
    left: set[str] = set()
    with suppress(OSError):
        kept = sorted(folder.glob(pattern), key=lambda file: file.stat().st_mtime)
        for old in kept[:-most]:
            old.unlink(missing_ok=True)
        left = {file.name for file in kept[-most:]}
    return left


def was_used(file: Path) -> None:
    """So that it is not taken for one that nobody needs; a cache that others own is read all the same."""
    with suppress(OSError):
        os.utime(file)

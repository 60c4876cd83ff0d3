"""Files that are whole or absent: written beside their place, synced, renamed."""

from __future__ import annotations

import os
from collections.abc import Iterator, Sequence
from contextlib import ExitStack, contextmanager, suppress
from pathlib import Path
from typing import IO


@contextmanager
def whole_file(path: Path) -> Iterator[IO[str]]:
    """A text file that takes its place only when all of it is written."""
    with _beside(path) as beside, beside.open("w", encoding="utf-8", newline="\n") as file:
        yield file
        file.flush()
        os.fsync(file.fileno())


@contextmanager
def whole_bytes_file(path: Path) -> Iterator[IO[bytes]]:
    """The same for a file of bytes."""
    with _beside(path) as beside, beside.open("wb") as file:
        yield file
        file.flush()
        os.fsync(file.fileno())


def whole_files(folder: Path, files: Sequence[tuple[str, bytes]]) -> None:
    """Write many files of a folder, given by name: each is whole or as it was.

    All are written before the first is synced, since that takes the disk the longest.
    """
    with ExitStack() as places:
        besides = [places.enter_context(_beside(folder / name)) for name, _ in files]
        for beside, (_, content) in zip(besides, files, strict=True):
            beside.write_bytes(content)
        for beside in besides:
            with beside.open("rb") as file:
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
    except OSError as error:
        # Not every call of the system names its file.
        raise type(error)(error.errno, error.strerror, str(path)) from error
    finally:
        with suppress(OSError):
            beside.unlink(missing_ok=True)


def clear_halves(folder: Path) -> None:
    """Remove what programs that are no longer there left half written in a folder."""
    for half in folder.glob(".*.part"):
        number = half.name.split(".")[-2]
        if number.isdigit() and not _is_running(int(number)):
            half.unlink(missing_ok=True)


def _is_running(process: int) -> bool:
    try:
        os.kill(process, 0)
    except ProcessLookupError:
        return False
    except OSError:
        return True
    return True

"""What is done to a child before it runs: small chunks, a counted workload, and the faults themselves."""

from __future__ import annotations

import os
import resource
import signal
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

NOBODY = 65534


def small_chunks(size: int) -> None:
    """Let a run take so many messages at a time, so that a small inbox has many chunks."""
    from triage import batch

    assert batch.CHUNK
    batch.CHUNK = size


def _before_each_chunk(do: Callable[[Any], None]) -> None:
    from triage import batch

    real = batch.work

    def work(task: Any, desk: Any) -> Any:
        do(task)
        return real(task, desk)

    batch.work = work


def counted_work(file: str) -> None:
    """Write down how many messages each chunk has as its drafting begins, so that lost work counts too."""

    def write(task: Any) -> None:
        with Path(file).open("a") as into:
            into.write(f"{len(task.messages)}\n")

    _before_each_chunk(write)


def work_in(file: Path) -> int:
    """How many messages were begun by all runs that wrote into the file."""
    return sum(map(int, file.read_text().split())) if file.exists() else 0


def slow_chunks(seconds: float) -> None:
    """Let every chunk take so long at least."""
    _before_each_chunk(lambda _: time.sleep(seconds))


def no_file_larger(size: int) -> None:
    """A disk that is full: no file can grow beyond so many bytes."""
    signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    resource.setrlimit(resource.RLIMIT_FSIZE, (size, size))


def as_nobody() -> None:
    """Run as a user who owns nothing here."""
    os.setgroups([])
    os.setgid(NOBODY)
    os.setuid(NOBODY)


def clock(*hours: float) -> None:
    """A clock that is wrong by these hours, changing from one look to the next."""
    real, looks = time.gmtime, 0

    def gmtime(seconds: float | None = None) -> time.struct_time:
        nonlocal looks
        looks += 1
        now = time.time() if seconds is None else seconds
        return real(now + 3600 * hours[looks % len(hours)])

    time.gmtime = gmtime  # type: ignore[assignment]
    real_time = time.time
    time.time = lambda: real_time() + 3600 * hours[0]


def short_patience(seconds: float) -> None:
    """Let a run wait for another one's turn for so long only."""
    from triage.ledger import store

    assert store.PATIENCE_SECONDS
    store.PATIENCE_SECONDS = seconds


def no_more_pages(pages: int) -> None:
    """An SQLite file that cannot grow beyond so many pages: a full disk, always at the same place."""
    import sqlalchemy as sa
    from sqlalchemy.engine import Engine

    def limited(connection: Any, _record: Any) -> None:
        connection.execute(f"PRAGMA max_page_count={pages}")

    sa.event.listen(Engine, "connect", limited)


def input_changes(file: str, how: str, after: int) -> None:
    """Let another program empty, cut, remove or replace an input, as so many chunks of it were begun."""
    begun = 0

    def change(_task: Any) -> None:
        nonlocal begun
        begun += 1
        if begun == after:
            _change(Path(file), how)

    _before_each_chunk(change)


def _change(file: Path, how: str) -> None:
    if how == "emptied":
        file.write_text("")
    elif how == "cut":
        os.truncate(file, file.stat().st_size // 2 + 7)
    elif how == "removed":
        file.unlink()
    else:
        file.with_name("new").write_bytes(file.read_bytes()[::-1])
        file.with_name("new").replace(file)

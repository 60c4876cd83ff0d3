"""Backups: the whole ledger as one SQLite file, made while others write; and back from such a file into a ledger."""

from __future__ import annotations

import contextlib
import os
import sqlite3
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import sqlalchemy as sa

from triage.ledger.asking import is_postgresql
from triage.ledger.care import Checked, OnProgress, check, snapshot, unheard
from triage.ledger.errors import LedgerError
from triage.ledger.integrity import damage, read_only
from triage.ledger.schema import ABOUT, METADATA
from triage.ledger.store import Ledger, open_ledger

PAGES, ROWS = 2000, 200
"""How much is copied at a time: pages of a file, rows of a table."""
SECONDS_FOR_A_LOCK = 5
_ASIDE = ("", "-wal", "-shm")
"""What belongs to an SQLite file: changes that are not in it yet lie beside it."""


def back_up(ledger: Ledger, file: Path, *, replace: bool = False, on_progress: OnProgress = unheard) -> None:
    """Write all that the ledger holds at this moment into one SQLite file, whole or not at all.

    Others may write into the ledger meanwhile; what they write is in the next backup. `on_progress` hears how many pages,
    or rows of a PostgreSQL ledger, of how many are copied. The file can be read by its owner alone, as far as the system
    knows of owners.

    Raises:
        LedgerError: the file is there already and shall not be replaced, it can't be written, or the copy is not sound.
    """
    if file.exists() and not replace:
        raise LedgerError(f"{file}: there is such a file already.\n    Name another, or say --replace.")
    copy = _copy_of_a_server if is_postgresql(ledger.engine) else _copy_of_a_file
    try:
        with _beside(file) as beside:
            copy(ledger.engine, beside, on_progress)
            _alone(beside)
            faults = damage(beside)
            if faults:
                told = "\n    ".join(f"{one.where}: {one.told}" for one in faults[:5])
                raise LedgerError(
                    f"{file}: no backup was made, because the copy is damaged:\n    {told}\n"
                    "    Look at the ledger with quillstem ledger check, and at the disk."
                )
            _synced(beside)
            beside.replace(file)
            _synced(file.parent)
    except (OSError, sqlite3.Error, sa.exc.SQLAlchemyError) as error:
        raise LedgerError(
            f"{file}: no backup was made: {_words(error)}\n    Is there room on the disk, and may you write there?"
        ) from error


def restore(
    file: Path, place: str, *, replace: bool = False, on_progress: OnProgress = unheard
) -> tuple[Checked, Path | None]:
    """Put what a backup holds in place of a ledger; the check of it, and where the ledger that was there is kept now.

    The backup is only read. `place` is a file or an address, as for `open_ledger`. It is replaced in one step: whoever
    looks finds the old ledger or the new one.

    Raises:
        LedgerError: the backup is damaged or no ledger; there is something in the place and it shall not be replaced;
            or the place is in use or can't be written. Then nothing was changed.
    """
    if not file.is_file():
        raise LedgerError(f"{file}: there is no such backup.\n    quillstem ledger backup FILE makes one.")
    is_server = "://" in place and not place.startswith("sqlite:")
    target = Path(place.removeprefix("sqlite:///"))
    try:
        if not is_server:
            _may_go(target, replace)
        with _made_ready(file, None if is_server else target, on_progress) as (ready, checked):
            kept = (
                _into_a_server(ready, place, file, replace, on_progress)
                if is_server
                else _into_a_file(ready, target)
            )
    except (OSError, sqlite3.Error, sa.exc.SQLAlchemyError) as error:
        raise LedgerError(
            f"{file}: nothing was restored: {_words(error)}\n"
            "    Is there room on the disk, may you write there, and is the ledger closed everywhere else?"
        ) from error
    return checked, kept


# ---- making a copy -------------------------------------------------------------------------------------


def _copy_of_a_file(engine: sa.Engine, beside: Path, on_progress: OnProgress) -> None:
    with snapshot(engine) as connection:
        # Reading something holds the snapshot, so that no writer makes the copy begin anew.
        connection.execute(sa.select(ABOUT.c.key)).first()
        source = connection.connection.driver_connection
        assert isinstance(source, sqlite3.Connection)
        _copied(source, beside, on_progress)


def _copied(source: sqlite3.Connection, beside: Path, on_progress: OnProgress) -> None:
    target = sqlite3.connect(beside)
    try:
        source.backup(
            target, pages=PAGES, progress=lambda _, left, total: on_progress(total - left, total), sleep=0.01
        )
    finally:
        target.close()


def _copy_of_a_server(engine: sa.Engine, beside: Path, on_progress: OnProgress) -> None:
    copy = open_ledger(beside)
    try:
        with snapshot(engine) as connection, copy.engine.begin() as into:
            _copy_rows(connection, into, on_progress)
    finally:
        copy.close()


def _copy_rows(source: sa.Connection, into: sa.Connection, on_progress: OnProgress) -> None:
    """All rows of all tables, in an order in which none refers to one that is still to come."""
    tables = METADATA.sorted_tables
    total = sum(
        int(source.execute(sa.select(sa.func.count()).select_from(table)).scalar_one()) for table in tables
    )
    done = 0
    into.execute(sa.delete(ABOUT))
    for table in tables:
        result = source.execution_options(yield_per=ROWS).execute(sa.select(table))
        for rows in result.partitions():
            into.execute(sa.insert(table), [dict(row._mapping) for row in rows])
            done += len(rows)
            on_progress(done, total)


# ---- putting one back ----------------------------------------------------------------------------------


@contextmanager
def _made_ready(file: Path, target: Path | None, on_progress: OnProgress) -> Iterator[tuple[Path, Checked]]:
    """A checked copy of the backup, brought to the present schema; near its target, so that it can be renamed there."""
    faults = damage(file)
    if faults:
        told = "\n    ".join(f"{one.where}: {one.told}" for one in faults[:5])
        raise LedgerError(
            f"{file}: the backup is damaged, so nothing was restored:\n    {told}\n    Use an older backup."
        )
    with contextlib.ExitStack() as stack:
        if target is None:
            ready = Path(stack.enter_context(tempfile.TemporaryDirectory())) / "ledger.sqlite"
        else:
            ready = stack.enter_context(_beside(target))
        source = read_only(file)
        try:
            is_ledger = source.execute("SELECT count(*) FROM sqlite_master WHERE name = 'drafts'").fetchone()[
                0
            ]
            if not is_ledger:
                raise LedgerError(f"{file}: this is a database, and no ledger. Nothing was restored.")
            _copied(source, ready, on_progress)
        finally:
            source.close()
        copy = open_ledger(ready)
        try:
            checked = check(copy)
        finally:
            copy.close()
        _alone(ready)
        _synced(ready)
        yield ready, checked


def _may_go(target: Path, replace: bool) -> None:
    if target.is_dir():
        raise LedgerError(f"{target}: this is a folder. Name the ledger's file.")
    if target.exists() and target.stat().st_size and not replace:
        raise LedgerError(
            f"{target}: there is something in it already.\n"
            "    Restore to another place, or say --replace; what is there is then kept beside it under a dated name."
        )


def _into_a_file(ready: Path, target: Path) -> Path | None:
    kept = None
    if target.exists() and target.stat().st_size:
        _close_up(target)
        kept = _dated(target)
        # Whoever could open the ledger can open this one.
        ready.chmod(target.stat().st_mode & 0o777)
        # A second name first, so that there is no moment without a ledger.
        os.link(target, kept)
    for ending in _ASIDE[1:]:
        # Changes of the old file must not be laid over the new one.
        left = target.with_name(target.name + ending)
        if left.exists():
            left.replace(target.with_name((kept or target).name + ending + ("" if kept else ".old")))
    ready.replace(target)
    _synced(target.parent)
    return kept


def _close_up(file: Path) -> None:
    """Put everything into the file itself; that asks for it to be in use nowhere."""
    connection = sqlite3.connect(file, timeout=SECONDS_FOR_A_LOCK)
    try:
        connection.execute("PRAGMA journal_mode=DELETE").fetchall()
    except sqlite3.OperationalError as error:
        if "locked" not in str(error):
            return
        raise LedgerError(
            f"{file}: the ledger is in use, so nothing was restored.\n    Close the desk and every run, and try again."
        ) from error
    except sqlite3.DatabaseError:
        return  # It is too broken to be closed up; it is kept as it is.
    finally:
        connection.close()


def _dated(file: Path) -> Path:
    stamp = time.strftime("%Y-%m-%d-%H%M%S", time.gmtime())
    name, number = f"{file.stem}.before-{stamp}{file.suffix}", 1
    while file.with_name(name).exists():
        number += 1
        name = f"{file.stem}.before-{stamp}-{number}{file.suffix}"
    return file.with_name(name)


def _into_a_server(
    ready: Path, place: str, file: Path, replace: bool, on_progress: OnProgress
) -> Path | None:
    ledger, copy = open_ledger(place), open_ledger(ready)
    try:
        kept = None
        if not _is_empty(ledger):
            if not replace:
                raise LedgerError(
                    "There is something in that ledger already.\n"
                    "    Restore to another place, or say --replace; what is there is then backed up beside the backup."
                )
            kept = _dated(file)
            back_up(ledger, kept)
        with copy.engine.connect() as source, ledger.engine.begin() as into:
            into.exec_driver_sql(f"SET LOCAL lock_timeout = '{SECONDS_FOR_A_LOCK}s'")
            # The history refuses to be deleted row by row, for good reasons; here all of it makes place for all of another.
            into.exec_driver_sql(f"TRUNCATE {', '.join(table.name for table in METADATA.sorted_tables)}")
            _copy_rows(source, into, on_progress)
            _count_on(into)
    finally:
        copy.close()
        ledger.close()
    return kept


def _is_empty(ledger: Ledger) -> bool:
    with ledger.engine.connect() as connection:
        return not any(
            connection.execute(sa.select(sa.literal(1)).select_from(table).limit(1)).first()
            for table in METADATA.sorted_tables
            if table is not ABOUT
        )


def _count_on(connection: sa.Connection) -> None:
    """Let every table that numbers its rows go on after the last number."""
    for table in METADATA.sorted_tables:
        column = table.autoincrement_column
        if column is not None:
            last = connection.execute(sa.select(sa.func.coalesce(sa.func.max(column), 0))).scalar_one()
            sequence = sa.func.pg_get_serial_sequence(table.name, column.name)
            connection.execute(sa.select(sa.func.setval(sequence, last + 1, sa.false())))


# ---- files ---------------------------------------------------------------------------------------------


@contextmanager
def _beside(file: Path) -> Iterator[Path]:
    """A name beside a file's place, for its owner alone; nothing is left there in the end."""
    file.parent.mkdir(parents=True, exist_ok=True)
    beside = file.with_name(f".{file.name}.{os.getpid()}.part")
    beside.unlink(missing_ok=True)
    beside.touch(mode=0o600)
    try:
        yield beside
    finally:
        for ending in _ASIDE:
            beside.with_name(beside.name + ending).unlink(missing_ok=True)


def _alone(file: Path) -> None:
    """Make an SQLite file one file, with nothing beside it."""
    connection = sqlite3.connect(file)
    try:
        connection.execute("PRAGMA journal_mode=DELETE").fetchall()
    finally:
        connection.close()


def _synced(path: Path) -> None:
    number = os.open(path, os.O_RDONLY)
    try:
        os.fsync(number)
    finally:
        os.close(number)


def _words(error: Exception) -> str:
    original = getattr(error, "orig", None) or error
    lines = str(original).strip().splitlines()
    return lines[0] if lines else type(original).__name__

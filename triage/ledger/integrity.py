"""Whether the database under a ledger is sound in itself, whatever stands in it."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import sqlalchemy as sa

from triage.ledger.errors import LedgerError
from triage.ledger.schema import ABOUT, FORGETTING, METADATA

MOST_OF_THE_DATABASE = 100
RESTORE = "Restore a backup: quillstem ledger restore FILE. Without one, keep this ledger as it is and ask for help."
_GUARDS = {"sqlite": ("deeds_stand", "deeds_stay"), "postgresql": ("deeds_stand",)}


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing that is wrong: of which kind, where, what it is, and what to do."""

    kind: str
    where: str
    told: str
    remedy: str


def damage(file: Path) -> list[Fault]:
    """What is broken in an SQLite file, which is only read; empty where it is whole.

    Raises:
        LedgerError: it can't be read at all, or is no database.
    """
    try:
        connection = _to_read(file)
        try:
            return list(_damage(connection))
        finally:
            connection.close()
    except sqlite3.Error as error:
        raise LedgerError(
            f"{file}: the ledger can't be read: {error}\n    Is it a ledger file, and may you read it? {RESTORE}"
        ) from error


def read_only(file: Path) -> sqlite3.Connection:
    """A connection to an SQLite file by which nothing can be changed."""
    return _to_read(file)


def _to_read(file: Path) -> sqlite3.Connection:
    return sqlite3.connect(f"{file.resolve().as_uri()}?mode=ro", uri=True, timeout=20)


def _damage(connection: sqlite3.Connection) -> Iterator[Fault]:
    connection.execute("PRAGMA schema_version").fetchone()
    try:
        found = [
            str(text) for (text,) in connection.execute(f"PRAGMA integrity_check({MOST_OF_THE_DATABASE})")
        ]
        strays = connection.execute("PRAGMA foreign_key_check").fetchmany(MOST_OF_THE_DATABASE)
    except sqlite3.DatabaseError as error:
        found, strays = [str(error)], []
    for text in found:
        if text != "ok":
            yield Fault("database", "the file", " ".join(text.split()), RESTORE)
    for table, row, parent, _ in strays:
        yield Fault(
            "database", f"{table}, row {row}", f"refers to a row of {parent} that is not there", RESTORE
        )


def faults_of_the_database(connection: sa.Connection) -> Iterator[Fault]:
    """What is wrong with an open ledger's database: references that lead nowhere, guards and tables that are missing."""
    kind = connection.dialect.name
    for table in METADATA.sorted_tables:
        for reference in table.foreign_keys:
            yield from _strays(connection, table, reference)
    missing = set(_GUARDS[kind]) - set(_guards(connection))
    for guard in sorted(missing):
        yield Fault(
            "history unguarded", "deeds", f"the trigger {guard} is not there or switched off", RESTORE
        )
    if connection.execute(sa.select(ABOUT.c.value).where(ABOUT.c.key == FORGETTING)).first() is not None:
        yield Fault(
            "history unguarded",
            "about",
            "a forgetting was left half done, and the history may be changed meanwhile",
            "Run quillstem ledger forget for that rider again.",
        )


def _strays(connection: sa.Connection, table: sa.Table, reference: sa.ForeignKey) -> Iterator[Fault]:
    child, parent = reference.parent, reference.column
    there = sa.select(parent).where(parent == child).exists()
    query = (
        sa.select(*table.primary_key.columns)
        .where(child.is_not(None), sa.not_(there))
        .limit(MOST_OF_THE_DATABASE)
    )
    for row in connection.execute(query):
        yield Fault(
            "database",
            f"{table.name} {' '.join(map(str, row))}",
            f"its {child.name} is not in {parent.table.name}",
            RESTORE,
        )


def _guards(connection: sa.Connection) -> list[str]:
    if connection.dialect.name == "sqlite":
        query = "SELECT name FROM sqlite_master WHERE type = 'trigger'"
    else:
        query = "SELECT tgname FROM pg_trigger WHERE tgrelid = 'deeds'::regclass AND tgenabled <> 'D'"
    return [str(name) for (name,) in connection.exec_driver_sql(query)]

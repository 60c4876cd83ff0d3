"""How the ledger asks its database: long lists in pieces, and inserts that may meet a row that is there."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any, TypeVar

import sqlalchemy as sa
from sqlalchemy.dialects import postgresql, sqlite

IN_ONE_QUERY = 400
"""Values that one query is given; SQLite takes no more than some hundreds."""
Thing = TypeVar("Thing")


def in_pieces(things: Sequence[Thing], most: int = IN_ONE_QUERY) -> Iterator[list[Thing]]:
    """The things in lists short enough for one query.

    >>> list(in_pieces([1, 2, 3], 2))
    [[1, 2], [3]]
    """
    for start in range(0, len(things), most):
        yield list(things[start : start + most])


def is_postgresql(engine: sa.Engine) -> bool:
    """Whether the ledger lies behind a PostgreSQL server."""
    return engine.dialect.name == "postgresql"


def insert_into(table: sa.Table, engine: sa.Engine) -> Any:
    """An insert that can say what to do where the row is there already; each database has its own."""
    return postgresql.insert(table) if is_postgresql(engine) else sqlite.insert(table)


def insert_plainly(
    connection: sa.Connection,
    table: sa.Table,
    columns: Sequence[str],
    rows: Sequence[tuple[Any, ...]],
    otherwise: str = "",
) -> None:
    """Insert many rows of plain numbers and texts, past the checks of each value that SQLAlchemy makes.

    `otherwise` says in SQL what is done where a row is there already, such as "ON CONFLICT DO NOTHING".
    """
    if rows:
        mark = "%s" if connection.dialect.name == "postgresql" else "?"
        names, marks = ", ".join(columns), ", ".join([mark] * len(columns))
        connection.exec_driver_sql(
            f"INSERT INTO {table.name} ({names}) VALUES ({marks}) {otherwise}", list(rows)
        )

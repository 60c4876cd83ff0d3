"""One writer at a time: whoever has to wait for another program is told so, and waits for no longer than a minute."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager

import sqlalchemy as sa

from triage.ledger.asking import is_postgresql
from triage.ledger.errors import LedgerInUseError

ONE_WRITER = 0x51
"""The number of the lock under which is written, where the database has such locks."""
ONE_TRY_MILLISECONDS = 200
USUAL_MILLISECONDS = 20_000


class Turn:
    """The right to write to one ledger. `on_wait` is told, once a turn, that another program has it."""

    def __init__(
        self, engine: sa.Engine, shown: str, patience_seconds: float, on_wait: Callable[[str], None]
    ) -> None:
        self.engine, self.shown, self.patience_seconds, self.on_wait = (
            engine,
            shown,
            patience_seconds,
            on_wait,
        )

    @contextmanager
    def taken(self) -> Iterator[sa.Connection]:
        """A transaction that nobody else writes beside.

        Raises:
            LedgerInUseError: another program kept its turn for longer than this one waits.
        """
        with self.engine.begin() as connection:
            self._wait(connection)
            yield connection

    def _wait(self, connection: sa.Connection) -> None:
        end, is_told = time.monotonic() + self.patience_seconds, False
        while not self._has(connection):
            if time.monotonic() > end:
                raise LedgerInUseError(
                    f"{self.shown}: the ledger is in use by another program, for {self.patience_seconds:g} s and more.\n"
                    "    Wait until it is done, or close it, and run the same command again: nothing is lost."
                )
            if not is_told:
                self.on_wait(f"{self.shown}: the ledger is in use by another program; waiting …")
                is_told = True
            time.sleep(0.05)

    def _has(self, connection: sa.Connection) -> bool:
        if is_postgresql(self.engine):
            return bool(connection.execute(sa.select(sa.func.pg_try_advisory_xact_lock(ONE_WRITER))).scalar())
        connection.exec_driver_sql(f"PRAGMA busy_timeout={ONE_TRY_MILLISECONDS}")
        try:
            connection.exec_driver_sql("BEGIN IMMEDIATE")
        except LedgerInUseError:
            return False
        finally:
            connection.exec_driver_sql(f"PRAGMA busy_timeout={USUAL_MILLISECONDS}")
        return True

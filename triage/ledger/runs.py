"""What each run of a batch met: its messages in their order and what it refused, so that neither need stay in memory."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import UTC, datetime, timedelta

import sqlalchemy as sa

from triage.ledger.asking import in_pieces, insert_into
from triage.ledger.moment import now_text
from triage.ledger.schema import MET, REFUSED, RUNS
from triage.ledger.turn import Turn
from triage.records import Refusal

PIECE = 400
BROKEN_OFF_DAYS = 2
"""A run that began longer ago and has not ended is taken for one that was broken off."""


class Runs:
    """The runs of one ledger."""

    def __init__(self, engine: sa.Engine, turn: Turn) -> None:
        self.engine, self.turn = engine, turn

    def begin(self) -> int:
        """A new run's number. What runs met and refused that ended, or were broken off days ago, is let go of."""
        with self.turn.taken() as connection:
            number = connection.execute(
                sa.insert(RUNS).values(begun=now_text()).returning(RUNS.c.run)
            ).scalar_one()
            is_over = sa.or_(RUNS.c.ended.is_not(None), RUNS.c.begun < _days_ago(BROKEN_OFF_DAYS))
            over = sa.select(RUNS.c.run).where(is_over, RUNS.c.run != number)
            for table in (MET, REFUSED):
                connection.execute(sa.delete(table).where(table.c.run.in_(over)))
        return int(number)

    def end(self, run: int) -> None:
        """Note that a run has read all that it was given."""
        with self.turn.taken() as connection:
            connection.execute(sa.update(RUNS).where(RUNS.c.run == run).values(ended=now_text()))

    def met(self, run: int, keys: Sequence[str]) -> set[str]:
        """Which of these messages the run has met before."""
        found: set[str] = set()
        with self.engine.connect() as connection:
            for some in in_pieces(keys):
                query = sa.select(MET.c.message_key).where(MET.c.run == run, MET.c.message_key.in_(some))
                found |= set(connection.execute(query).scalars())
        return found

    def keep_met(self, connection: sa.Connection, run: int, met: Sequence[tuple[int, str]]) -> None:
        """Note the places and keys of messages, inside the transaction that keeps their drafts."""
        if met:
            connection.execute(
                insert_into(MET, self.engine).on_conflict_do_nothing(),
                [{"run": run, "place": place, "message_key": key} for place, key in met],
            )

    def refuse(self, connection: sa.Connection, run: int, refusals: Sequence[Refusal]) -> None:
        """Note what could not be used."""
        if refusals:
            connection.execute(
                sa.insert(REFUSED),
                [
                    {"run": run, "file": r.file, "item": r.item, "reason": r.reason, "remedy": r.remedy}
                    for r in refusals
                ],
            )

    def keys(self, run: int, piece: int = PIECE) -> Iterator[list[str]]:
        """The messages of a run in their order, some at a time."""
        after = -1
        while True:
            query = (
                sa.select(MET.c.place, MET.c.message_key)
                .where(MET.c.run == run, MET.c.place > after)
                .order_by(MET.c.place)
                .limit(piece)
            )
            with self.engine.connect() as connection:
                rows = connection.execute(query).all()
            if not rows:
                return
            after = rows[-1].place
            yield [row.message_key for row in rows]

    def refusals(self, run: int) -> Iterator[Refusal]:
        """What a run could not use, in the order in which it met it."""
        after = 0
        while True:
            query = (
                sa.select(REFUSED)
                .where(REFUSED.c.run == run, REFUSED.c.refused > after)
                .order_by(REFUSED.c.refused)
                .limit(PIECE)
            )
            with self.engine.connect() as connection:
                rows = connection.execute(query).all()
            if not rows:
                return
            after = rows[-1].refused
            for row in rows:
                yield Refusal(row.file, row.item, row.reason, row.remedy)


def _days_ago(days: int) -> str:
    return (datetime.now(UTC) - timedelta(days=days)).isoformat()

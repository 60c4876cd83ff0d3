"""The index of repeats: questions found again by parts of a sketch of their words.

In it are those that lead a group, and those of their repeats that are put in rather different words: what is nearly the
same as one of these follows the same leader.

It is an ordinary table with a key over (band, lead), so a chunk costs as many look-ups as it has bands, whatever
is kept already. A band that many questions share holds only common words and takes no more of them.
"""

from __future__ import annotations

import json
from collections import Counter, defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Any, NamedTuple, Protocol

import sqlalchemy as sa

from triage.ledger.asking import insert_plainly, is_postgresql
from triage.ledger.rows import Asked
from triage.ledger.schema import ABOUT, BANDS, DRAFTS, LEADS
from triage.ledger.turn import Turn


class Repeats(Protocol):
    """Says of the words of two questions, the later first, whether they ask the same; `closely` in nearly the same words."""

    def __call__(self, later: str, earlier: str, *, closely: bool = False) -> bool: ...


MOST_IN_A_BAND = 12
FEWEST_SHARED, MOST_COMPARED = 2, 5
"""Bands that two questions share before they are compared, and how many of the nearest are."""
SHORT_WORDS, FEWEST_SHARED_OF_A_SHORT = 10, 1
"""Of so few words one slip changes most bands."""
PIECE = 500
_ALL_INDEXED = "leads_indexed"


class Leads:
    """The index of one ledger."""

    def __init__(self, engine: sa.Engine, turn: Turn) -> None:
        self.engine, self.turn = engine, turn

    def leaders(self, connection: sa.Connection, asked: Sequence[Asked], repeats: Repeats) -> dict[str, str]:
        """For each question the one that leads its group, itself where it repeats none; new leads are kept.

        `asked` are in the order in which they came. To be called inside the transaction that keeps the drafts.
        """
        group = _Group(asked, self._sharing(connection, asked), repeats)
        group.known = self._known(connection, group.nearest_kept())
        found = {one.question_id: group.leader_of(one) for one in asked}
        self._keep(connection, group.new, group.crowded())
        return found

    def _sharing(self, connection: sa.Connection, asked: Sequence[Asked]) -> dict[int, list[int]]:
        """The kept leads of each band of these questions."""
        bands = sorted({band for one in asked for band in one.bands})
        sharing: dict[int, list[int]] = defaultdict(list)
        query = sa.select(BANDS.c.band, BANDS.c.lead).where(BANDS.c.band.in_(self._listed(bands)))
        # All at once, which takes half the time of one after the other.
        for band, lead in connection.execute(query).all():
            sharing[band].append(lead)
        return sharing

    def _known(self, connection: sa.Connection, leads: Iterable[int]) -> dict[int, _Entry]:
        leader = DRAFTS.alias()
        query = (
            sa.select(LEADS.c.lead, LEADS.c.question_id, LEADS.c.words, leader.c.question_id)
            .join(DRAFTS, DRAFTS.c.question_id == LEADS.c.question_id)
            .join(leader, leader.c.question_id == DRAFTS.c.leader)
            .where(LEADS.c.lead.in_(self._listed(sorted(leads))), DRAFTS.c.is_question, leader.c.is_question)
        )
        return {lead: _Entry(*found) for lead, *found in connection.execute(query)}

    def _listed(self, numbers: Sequence[int]) -> sa.Select[Any]:
        """Any count of numbers as one value of a query."""
        text = json.dumps(list(numbers))
        if is_postgresql(self.engine):
            each = sa.func.json_array_elements_text(
                sa.cast(sa.literal(text, sa.Text), sa.JSON)
            ).column_valued("each")
            return sa.select(sa.cast(each, sa.Integer))
        return sa.select(sa.column("value", sa.Integer)).select_from(sa.func.json_each(text))

    def _keep(self, connection: sa.Connection, new: Sequence[Asked], crowded: set[int]) -> None:
        kept = self._kept_before(connection, [one.question_id for one in new])
        new = [one for one in new if one.question_id not in kept]
        if not new:
            return
        first = 1 + (connection.execute(sa.select(sa.func.max(LEADS.c.lead))).scalar() or 0)
        numbered = list(enumerate(new, first))
        connection.execute(
            sa.insert(LEADS),
            [{"lead": lead, "question_id": one.question_id, "words": one.words} for lead, one in numbered],
        )
        bands = sorted({(band, lead) for lead, one in numbered for band in one.bands if band not in crowded})
        insert_plainly(connection, BANDS, ("band", "lead"), bands)

    def _kept_before(self, connection: sa.Connection, ids: Sequence[str]) -> set[str]:
        found: set[str] = set()
        for start in range(0, len(ids), PIECE):
            query = sa.select(LEADS.c.question_id).where(LEADS.c.question_id.in_(ids[start : start + PIECE]))
            found |= set(connection.execute(query).scalars())
        return found

    def catch_up(self, asked_of: Callable[[Sequence[tuple[str, str]]], Sequence[Asked]]) -> int:
        """Take in the leading questions of a ledger that was made before it had this index; how many there were.

        `asked_of` makes what is kept out of (question_id, ask) pairs.
        """
        done, after = 0, ""
        noted = sa.select(ABOUT.c.value).where(ABOUT.c.key == _ALL_INDEXED)
        with self.engine.connect() as connection:
            if connection.execute(noted).scalar():
                return 0
        with self.turn.taken() as connection:
            if connection.execute(noted).scalar():
                return 0
            while True:
                rows = [tuple(row) for row in connection.execute(self._leading(after))]
                if not rows:
                    break
                after = rows[-1][0]
                self._keep(connection, asked_of(rows), set())
                done += len(rows)
            connection.execute(sa.insert(ABOUT).values(key=_ALL_INDEXED, value="yes"))
        return done

    @staticmethod
    def _leading(after: str) -> sa.Select[Any]:
        return (
            sa.select(DRAFTS.c.question_id, DRAFTS.c.ask)
            .where(
                DRAFTS.c.is_question, DRAFTS.c.leader == DRAFTS.c.question_id, DRAFTS.c.question_id > after
            )
            .order_by(DRAFTS.c.question_id)
            .limit(PIECE)
        )


class _Entry(NamedTuple):
    """A question in the index: its words, and who leads its group."""

    question_id: str
    words: str
    leader: str

    @property
    def leads(self) -> bool:
        return self.question_id == self.leader


class _Group:
    """One chunk's questions, each held against the entries that were kept before and those before it in the chunk."""

    def __init__(
        self, asked: Sequence[Asked], sharing: Mapping[int, Sequence[int]], repeats: Repeats
    ) -> None:
        self.asked = asked
        self.sharing = sharing
        self.repeats = repeats
        self.known: Mapping[int, _Entry] = {}
        self.new: list[Asked] = []
        self.entries: list[_Entry] = []
        self.new_in: dict[int, tuple[int, ...]] = {}
        self.nearest = {one.question_id: _nearest(one, sharing) for one in asked}

    def crowded(self) -> set[int]:
        """The bands that take no more entries."""
        return {
            band
            for band, places in self.new_in.items()
            if len(places) + len(self.sharing.get(band, ())) >= MOST_IN_A_BAND
        }

    def nearest_kept(self) -> set[int]:
        """The kept entries that any of the questions is to be compared with."""
        return {lead for some in self.nearest.values() for lead in some}

    def leader_of(self, one: Asked) -> str:
        kept = [self.known[lead] for lead in self.nearest[one.question_id] if lead in self.known]
        if any(entry.question_id == one.question_id and entry.leads for entry in kept):
            return one.question_id
        for entry in kept:
            if entry.question_id != one.question_id and self._follows(one, entry):
                return entry.leader
        for place in _nearest(one, self.new_in):
            if self._follows(one, self.entries[place]):
                return self.entries[place].leader
        self._enter(one, one.question_id)
        return one.question_id

    def _follows(self, one: Asked, entry: _Entry) -> bool:
        if self.repeats(one.words, entry.words, closely=True):
            return True
        if not (entry.leads and self.repeats(one.words, entry.words)):
            return False
        # A later one may be more like this one than like the one that leads.
        self._enter(one, entry.leader)
        return True

    def _enter(self, one: Asked, leader: str) -> None:
        self.new.append(one)
        self.entries.append(_Entry(one.question_id, one.words, leader))
        place = len(self.entries) - 1
        for band in one.bands:
            # Most bands hold one entry; so many small lists would keep the collector of garbage busy.
            self.new_in[band] = (*self.new_in.get(band, ()), place)


def _nearest(one: Asked, sharing: Mapping[int, Sequence[int]]) -> list[int]:
    """The entries that share the most bands, the earliest of equals first."""
    fewest = FEWEST_SHARED_OF_A_SHORT if one.words.count(" ") < SHORT_WORDS else FEWEST_SHARED
    shared = Counter([lead for band in one.bands if band in sharing for lead in sharing[band]])
    near = sorted((-count, lead) for lead, count in shared.items() if count >= fewest)
    return [lead for _, lead in near[:MOST_COMPARED]]

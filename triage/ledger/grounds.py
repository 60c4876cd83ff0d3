"""What every draft stands on, kept so that all that stood on a row or source is found at once; it is caught up, not kept along."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import sqlalchemy as sa

from triage.ledger.asking import in_pieces, insert_into, insert_plainly
from triage.ledger.schema import DEEDS, DRAFTS, EPISODES, GROUNDS, ITEMS, REVIEWS
from triage.ledger.turn import Turn

CHUNK = 200
MOST_LIKE = 20
WENT_OUT = ("sent", "aired")
GroundsOf = Callable[[Mapping[str, Any]], Mapping[str, str]]
"""Gives what a draft's line stands on, each with a digest."""


@dataclass(frozen=True, slots=True)
class WentOut:
    """When an answer was sent and aired, and what it said then.

    `sent` is the moment of the last sending. `since` are the whys of what was done to the draft after that, the first
    first. `aired` are (day of the episode, the draft as it was said), the first first.
    """

    sent: str | None = None
    since: tuple[str, ...] = ()
    aired: tuple[tuple[str, Mapping[str, Any]], ...] = ()


@dataclass(frozen=True, slots=True)
class Kept:
    """A draft as it was worked out, without anybody's edits, and how far its review is."""

    line: Mapping[str, Any]
    state: str


class Grounds:
    """The grounds of a ledger."""

    def __init__(self, engine: sa.Engine, turn: Turn) -> None:
        self.engine, self.turn = engine, turn

    def behind(self) -> int:
        """How many drafts have changed since their grounds were kept."""
        query = sa.select(sa.func.count()).select_from(DRAFTS).where(sa.not_(DRAFTS.c.is_grounded))
        with self.engine.connect() as connection:
            return int(connection.execute(query).scalar_one())

    def catch_up(
        self, grounds_of: GroundsOf, most: int | None = None, on_each: Callable[[], None] = lambda: None
    ) -> int:
        """Keep the grounds of the drafts that have changed since, or of so many of them; how many there were.

        What an answer stood on when it was sent, aired or signed off stays among its grounds.
        """
        done = 0
        while most is None or done < most:
            size = CHUNK if most is None else min(CHUNK, most - done)
            drafts = self._behind(size)
            if not drafts:
                break
            ids = [identity for identity, _ in drafts]
            aired, signed = self._as_aired(ITEMS.c.question_id.in_(ids)), self._signed_on(ids)
            found: dict[str, dict[str, str]] = {}
            for identity, text in drafts:
                found[identity] = dict(signed.get(identity, {}))
                for line in _as_it_was(json.loads(text), aired.get(identity, ())):
                    found[identity] |= grounds_of(line)
                on_each()
            done += self._keep(drafts, found)
        self._keep_the_lost(grounds_of)
        return done

    def _behind(self, most: int) -> list[tuple[str, str]]:
        query = (
            sa.select(DRAFTS.c.question_id, DRAFTS.c.line).where(sa.not_(DRAFTS.c.is_grounded)).limit(most)
        )
        with self.engine.connect() as connection:
            return [(row.question_id, row.line) for row in connection.execute(query)]

    def _as_aired(self, condition: sa.ColumnElement[bool]) -> dict[str, list[dict[str, Any]]]:
        found: dict[str, list[dict[str, Any]]] = {}
        query = sa.select(ITEMS.c.question_id, ITEMS.c.as_aired).where(
            condition, ITEMS.c.as_aired.is_not(None)
        )
        with self.engine.connect() as connection:
            for identity, text in connection.execute(query):
                found.setdefault(identity, []).append(_as_line(json.loads(text)))
        return found

    def _signed_on(self, ids: Sequence[str]) -> dict[str, dict[str, str]]:
        query = sa.select(REVIEWS.c.question_id, REVIEWS.c.stands_on).where(
            REVIEWS.c.question_id.in_(ids), REVIEWS.c.stands_on.is_not(None)
        )
        with self.engine.connect() as connection:
            return {identity: json.loads(text) for identity, text in connection.execute(query)}

    def _keep(self, drafts: Sequence[tuple[str, str]], found: Mapping[str, Mapping[str, str]]) -> int:
        """Keep grounds, but of the drafts alone that are still as they were read; how many those are."""
        # The change stands first: it locks, on both databases, so that no newer draft is marked by mistake.
        mark = (
            sa.update(DRAFTS)
            .where(DRAFTS.c.question_id == sa.bindparam("this"), DRAFTS.c.line == sa.bindparam("read"))
            .values(is_grounded=True)
        )
        with self.turn.taken() as connection:
            marked = [
                identity
                for identity, text in drafts
                if connection.execute(mark, {"this": identity, "read": text}).rowcount
            ]
            out = sa.select(DEEDS.c.question_id).where(
                DEEDS.c.question_id.in_(marked), DEEDS.c.kind.in_(WENT_OUT)
            )
            went_out = set(connection.execute(out).scalars())
            gone = [identity for identity in marked if identity not in went_out]
            connection.execute(sa.delete(GROUNDS).where(GROUNDS.c.question_id.in_(gone)))
            self._insert(connection, {identity: found[identity] for identity in marked})
        return len(marked)

    def _keep_the_lost(self, grounds_of: GroundsOf) -> None:
        """What was aired stays found even where its draft is no longer there."""
        drafted = sa.select(DRAFTS.c.question_id).where(DRAFTS.c.question_id == ITEMS.c.question_id).exists()
        grounded = (
            sa.select(GROUNDS.c.question_id).where(GROUNDS.c.question_id == ITEMS.c.question_id).exists()
        )
        lost = self._as_aired(sa.and_(sa.not_(drafted), sa.not_(grounded)))
        if lost:
            found = {
                identity: {key: digest for line in lines for key, digest in grounds_of(line).items()}
                for identity, lines in lost.items()
                if identity
            }
            with self.turn.taken() as connection:
                self._insert(connection, found)

    def keep_new(self, connection: sa.Connection, found: Mapping[str, Mapping[str, str]]) -> None:
        """Keep the grounds of drafts that were never there before, inside the transaction that keeps them."""
        rows = [(identity, *one) for identity, grounds in found.items() for one in grounds.items()]
        # What an answer stood on that was aired, and whose draft was gone since, may still be there.
        otherwise = "ON CONFLICT (question_id, ground) DO UPDATE SET digest = excluded.digest"
        insert_plainly(connection, GROUNDS, ("question_id", "ground", "digest"), rows, otherwise)

    def _insert(self, connection: sa.Connection, found: Mapping[str, Mapping[str, str]]) -> None:
        rows = [
            {"question_id": identity, "ground": ground, "digest": digest}
            for identity, grounds in found.items()
            for ground, digest in grounds.items()
        ]
        if rows:
            insert = insert_into(GROUNDS, self.engine)
            connection.execute(
                insert.on_conflict_do_update(
                    index_elements=["question_id", "ground"], set_={"digest": insert.excluded.digest}
                ),
                rows,
            )

    def standing_on(self, grounds: Sequence[str]) -> list[str]:
        """The questions whose draft, sent reply or broadcast stands or stood on any of these: aired, sent, then the rest.

        Within each, the newest first.
        """
        received: dict[str, str] = {}
        drafted: set[str] = set()
        rank: dict[str, int] = {}
        with self.engine.connect() as connection:
            for some in in_pieces(list(dict.fromkeys(grounds))):
                query = (
                    sa.select(GROUNDS.c.question_id, DRAFTS.c.question_id.label("draft"), DRAFTS.c.received)
                    .join(DRAFTS, DRAFTS.c.question_id == GROUNDS.c.question_id, isouter=True)
                    .where(GROUNDS.c.ground.in_(some))
                    .distinct()
                )
                for row in connection.execute(query):
                    received[row.question_id] = row.received or ""
                    drafted |= {row.draft}
            for some in in_pieces(list(received)):
                deeds = sa.select(DEEDS.c.question_id, DEEDS.c.kind).where(
                    DEEDS.c.question_id.in_(some), DEEDS.c.kind.in_(WENT_OUT)
                )
                for identity, kind in connection.execute(deeds):
                    rank[identity] = max(rank.get(identity, 0), 1 + WENT_OUT.index(kind))
        # A draft that went nowhere and is no longer there is no answer.
        found = [identity for identity in received if identity in drafted or identity in rank]
        return sorted(found, key=lambda one: (rank.get(one, 0), received[one], one), reverse=True)

    def like(self, text: str, most: int = MOST_LIKE) -> list[str]:
        """Known grounds that hold a word or a piece of one, whatever the capitals, the shortest first."""
        query = (
            sa.select(GROUNDS.c.ground)
            .where(sa.func.lower(GROUNDS.c.ground).contains(text.lower(), autoescape=True))
            .group_by(GROUNDS.c.ground)
            .order_by(sa.func.length(GROUNDS.c.ground), GROUNDS.c.ground)
            .limit(most)
        )
        with self.engine.connect() as connection:
            return list(connection.execute(query).scalars())

    def under(self, beginning: str, ending: str = "") -> list[str]:
        """Every known ground that begins so, such as "row brakes/fluids#", and ends so, in order."""
        query = (
            sa.select(GROUNDS.c.ground)
            .where(
                GROUNDS.c.ground.startswith(beginning, autoescape=True),
                GROUNDS.c.ground.endswith(ending, autoescape=True),
            )
            .distinct()
        )
        with self.engine.connect() as connection:
            found = connection.execute(query).scalars()
            # SQLite's LIKE takes capitals for small letters.
            return sorted(one for one in found if one.startswith(beginning) and one.endswith(ending))

    def known(self, grounds: Sequence[str]) -> list[str]:
        """Those of some grounds on which anything stands."""
        query = sa.select(GROUNDS.c.ground).where(GROUNDS.c.ground.in_(grounds)).distinct()
        with self.engine.connect() as connection:
            return sorted(connection.execute(query).scalars())

    def drafts(self, question_ids: Sequence[str]) -> dict[str, Kept]:
        """The drafts of some questions; one that is no longer there is left out."""
        found: dict[str, Kept] = {}
        with self.engine.connect() as connection:
            for some in in_pieces(question_ids):
                query = (
                    sa.select(DRAFTS.c.question_id, DRAFTS.c.line, REVIEWS.c.state)
                    .join(REVIEWS, REVIEWS.c.question_id == DRAFTS.c.question_id, isouter=True)
                    .where(DRAFTS.c.question_id.in_(some))
                )
                for identity, text, state in connection.execute(query):
                    found[identity] = Kept(json.loads(text), state or "new")
        return found

    def went_out(self, question_ids: Sequence[str]) -> dict[str, WentOut]:
        """Those of some questions that were sent or aired."""
        sent: dict[str, str] = {}
        since: dict[str, list[str]] = {}
        aired: dict[str, list[tuple[str, Mapping[str, Any]]]] = {}
        with self.engine.connect() as connection:
            for some in in_pieces(question_ids):
                deeds = (
                    sa.select(DEEDS.c.question_id, DEEDS.c.kind, DEEDS.c.why, DEEDS.c.made)
                    .where(DEEDS.c.question_id.in_(some))
                    .order_by(DEEDS.c.deed)
                )
                for identity, kind, why, made in connection.execute(deeds):
                    if kind == "sent":
                        sent[identity], since[identity] = made, []
                    elif why and identity in sent:
                        since[identity].append(why)
                items = (
                    sa.select(ITEMS.c.question_id, ITEMS.c.as_aired, EPISODES.c.day)
                    .join(EPISODES, EPISODES.c.episode == ITEMS.c.episode)
                    .where(ITEMS.c.question_id.in_(some), ITEMS.c.as_aired.is_not(None))
                    .order_by(EPISODES.c.day, ITEMS.c.episode, ITEMS.c.place)
                )
                for identity, text, day in connection.execute(items):
                    aired.setdefault(identity, []).append((day, json.loads(text)))
        return {
            identity: WentOut(
                sent.get(identity), tuple(since.get(identity, ())), tuple(aired.get(identity, ()))
            )
            for identity in question_ids
            if identity in sent or identity in aired
        }


def _as_it_was(line: dict[str, Any], aired: Sequence[Mapping[str, Any]]) -> Iterator[Mapping[str, Any]]:
    """A draft as it was said, where that was another one, and then as it is."""
    for said in aired:
        if any(said[key] != line[key] for key in ("brief", "verdict", "figures", "sources")):
            # What was read out of the mail isn't kept with what was said; the mail is still the same.
            yield {**line, **said}
    yield line


def _as_line(aired: Mapping[str, Any]) -> dict[str, Any]:
    """An item as it was said, with what a draft has at least."""
    return {"brief": None, "sources": [], "figures": [], **aired}

"""The wall: kept questions as cards, filtered, counted, searched and paged by the database."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import sqlalchemy as sa

from triage.ledger.asking import in_pieces, insert_into, is_postgresql
from triage.ledger.reviews import REVIEWED, as_reviewed
from triage.ledger.schema import DRAFTS, MESSAGES, REVIEWS, WORDS

STATES = ("new", "in-hand", "returned", "signed", "sent")
INDEX_CHUNK = 500
_WORD = re.compile(r"\w+", re.UNICODE)
STATE = sa.func.coalesce(REVIEWS.c.state, "new")


@dataclass(frozen=True, slots=True)
class Filter:
    """Which questions are wanted; an empty field asks for nothing.

    `words` are searched for in questions, drafts and edited texts. `aside` asks for what is no question.
    """

    topic: str = ""
    verdict: str = ""
    state: str = ""
    brief: str = ""
    words: str = ""
    group: str = ""
    safety: bool = False
    urgent: bool = False
    repeats: bool = False
    aside: bool = False


class Wall:
    """The cards of a ledger."""

    def __init__(self, engine: sa.Engine) -> None:
        self.engine = engine

    def cards(
        self, wanted: Filter, most: int, after: int = 0, fold: Callable[[str], str] = str.lower
    ) -> list[dict[str, Any]]:
        """Lines of the wanted drafts, urgent ones first and then the newest, with how many riders asked each."""
        query = (
            self._chosen(sa.select(DRAFTS.c.line, DRAFTS.c.leader, *REVIEWED), wanted, fold)
            .order_by(DRAFTS.c.is_urgent.desc(), DRAFTS.c.received.desc(), DRAFTS.c.question_id.desc())
            .limit(most)
            .offset(after)
        )
        with self.engine.connect() as connection:
            rows = connection.execute(query).all()
            asked = self.asked_by(connection, {row.leader for row in rows})
        return [_card(dict(row._mapping), asked) for row in rows]

    def counts(self, wanted: Filter, by: str, fold: Callable[[str], str] = str.lower) -> dict[str, int]:
        """How many wanted questions there are by topic, verdict or state."""
        column = {"topic": DRAFTS.c.topic, "verdict": DRAFTS.c.verdict, "state": STATE}[by]
        query = self._chosen(sa.select(column.label("key"), sa.func.count()), wanted, fold).group_by(column)
        with self.engine.connect() as connection:
            return {str(key): int(count) for key, count in connection.execute(query)}

    def beside(self, wanted: Filter, question_id: str, fold: Callable[[str], str] = str.lower) -> str | None:
        """The question that comes after one on the wall; None at its end."""
        ids = self._chosen(sa.select(DRAFTS.c.question_id), wanted, fold).order_by(
            DRAFTS.c.is_urgent.desc(), DRAFTS.c.received.desc(), DRAFTS.c.question_id.desc()
        )
        with self.engine.connect() as connection:
            found = False
            for (identity,) in connection.execute(ids):
                if found:
                    return str(identity)
                found = identity == question_id
        return None

    def _chosen(self, query: sa.Select[Any], wanted: Filter, fold: Callable[[str], str]) -> sa.Select[Any]:
        query = query.select_from(
            DRAFTS.join(REVIEWS, REVIEWS.c.question_id == DRAFTS.c.question_id, isouter=True)
        ).where(sa.not_(DRAFTS.c.is_question) if wanted.aside else DRAFTS.c.is_question)
        for column, value in (
            (DRAFTS.c.topic, wanted.topic),
            (DRAFTS.c.verdict, wanted.verdict),
            (DRAFTS.c.brief, wanted.brief),
            (DRAFTS.c.leader, wanted.group),
            (STATE, wanted.state),
        ):
            if value:
                query = query.where(column == value)
        if wanted.safety:
            query = query.where(DRAFTS.c.is_safety)
        if wanted.urgent:
            query = query.where(DRAFTS.c.is_urgent)
        if not (wanted.repeats or wanted.group or wanted.words or wanted.aside):
            query = query.where(DRAFTS.c.leader == DRAFTS.c.question_id)
        if wanted.words:
            query = query.where(DRAFTS.c.question_id.in_(self._found(fold(wanted.words))))
        return query

    def _found(self, words: str) -> Any:
        """The questions that hold every one of the words; the last one may be only begun."""
        tokens = _WORD.findall(words)[:30]
        query = sa.select(WORDS.c.question_id)
        if not tokens:
            return query.where(sa.false())
        if is_postgresql(self.engine):
            asked = " & ".join([*tokens[:-1], f"{tokens[-1]}:*"])
            return query.where(
                sa.text("words.found @@ to_tsquery('english', :asked)").bindparams(asked=asked)
            )
        asked = " ".join([*(f'"{token}"' for token in tokens[:-1]), f'"{tokens[-1]}"*'])
        return query.where(
            sa.text(
                "words.number IN (SELECT rowid FROM words_found WHERE words_found MATCH :asked)"
            ).bindparams(asked=asked)
        )

    def asked_by(self, connection: sa.Connection, leaders: Iterable[str]) -> dict[str, int]:
        """How many riders asked each of these questions or one that repeats it."""
        found: dict[str, int] = {}
        for some in in_pieces([leader for leader in leaders if leader]):
            query = (
                sa.select(DRAFTS.c.leader, sa.func.count(sa.distinct(DRAFTS.c.asker)))
                .where(DRAFTS.c.is_question, DRAFTS.c.leader.in_(some))
                .group_by(DRAFTS.c.leader)
            )
            found |= {leader: int(count) for leader, count in connection.execute(query)}
        return found

    def by_id(self, question_ids: Sequence[str]) -> list[dict[str, Any]]:
        """The lines of some questions, in that order, as their reviews left them."""
        query = (
            sa.select(DRAFTS.c.question_id, DRAFTS.c.line, DRAFTS.c.leader, *REVIEWED)
            .select_from(DRAFTS.join(REVIEWS, REVIEWS.c.question_id == DRAFTS.c.question_id, isouter=True))
            .where(DRAFTS.c.question_id.in_(question_ids))
        )
        with self.engine.connect() as connection:
            rows = {row.question_id: row for row in connection.execute(query)}
            asked = self.asked_by(connection, {row.leader for row in rows.values()})
        return [_card(dict(rows[one]._mapping), asked) for one in question_ids if one in rows]

    def siblings(self, question_id: str) -> list[str]:
        """The questions of the same message, in their order, itself among them."""
        key = sa.select(DRAFTS.c.message_key).where(DRAFTS.c.question_id == question_id).scalar_subquery()
        query = sa.select(DRAFTS.c.question_id).where(DRAFTS.c.message_key == key).order_by(DRAFTS.c.place)
        with self.engine.connect() as connection:
            return list(connection.execute(query).scalars())

    def senders(self, question_ids: Sequence[str]) -> dict[str, Mapping[str, Any]]:
        """Who wrote each of some questions: author and address as they were read."""
        query = (
            sa.select(DRAFTS.c.question_id, MESSAGES.c.author, MESSAGES.c.address)
            .join(MESSAGES, DRAFTS.c.message_key == MESSAGES.c.message_key)
            .where(DRAFTS.c.question_id.in_(question_ids))
        )
        with self.engine.connect() as connection:
            return {row.question_id: dict(row._mapping) for row in connection.execute(query)}

    def catch_up(self, words_of: Callable[[Mapping[str, Any]], str], most: int | None = None) -> int:
        """Let the search know the drafts whose words have changed since, or so many of them; how many there were."""
        done = 0
        query = (
            sa.select(DRAFTS.c.question_id, DRAFTS.c.line, DRAFTS.c.leader, *REVIEWED)
            .select_from(DRAFTS.join(REVIEWS, REVIEWS.c.question_id == DRAFTS.c.question_id, isouter=True))
            .where(sa.not_(DRAFTS.c.is_searchable))
            .limit(INDEX_CHUNK)
        )
        while most is None or done < most:
            with self.engine.begin() as connection:
                rows = connection.execute(query).all()
                if not rows:
                    return done
                values = [
                    {"question_id": row.question_id, "words": words_of(_card(dict(row._mapping), {}))}
                    for row in rows
                ]
                insert = insert_into(WORDS, self.engine).values(values)
                connection.execute(
                    insert.on_conflict_do_update(
                        index_elements=["question_id"], set_={"words": insert.excluded.words}
                    )
                )
                connection.execute(
                    sa.update(DRAFTS)
                    .where(DRAFTS.c.question_id.in_([row.question_id for row in rows]))
                    .values(is_searchable=True)
                )
            done += len(rows)
        return done


def _card(row: Mapping[str, Any], asked: Mapping[str, int]) -> dict[str, Any]:
    line = as_reviewed(json.loads(row["line"]), row)
    line["asked_by"] = max(asked.get(row["leader"], 1), 1)
    return line

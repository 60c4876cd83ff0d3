"""Episodes: what is planned, what was aired and how long it took, promises to keep, and what is to be put right."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any, Literal

import sqlalchemy as sa

from triage.ledger.errors import ClashError
from triage.ledger.moment import now_text
from triage.ledger.reviews import SIGNED_STATES, Person
from triage.ledger.schema import DEEDS, DRAFTS, EPISODES, ITEMS, MAILS, PROMISES, PUT_RIGHT, REVIEWS

ItemKind = Literal["question", "correction", "promise", "closer"]


@dataclass(frozen=True, slots=True)
class Wishes:
    """What the desk wants of an episode besides the rules: candidates by key, and names with how to say them."""

    pinned: tuple[str, ...] = ()
    dropped: tuple[str, ...] = ()
    said_like: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Episode:
    """One episode: its day, how long it may be, and whether it was aired."""

    number: int
    day: str
    seconds: float
    state: Literal["planned", "aired"]
    version: int
    wishes: Wishes
    aired_at: str | None


@dataclass(frozen=True, slots=True)
class Item:
    """One piece of an episode in its place; `as_aired` is its draft as it was said, once it was."""

    place: int
    kind: ItemKind
    question_id: str | None
    planned_seconds: float
    aired_seconds: float | None = None
    words: int = 0
    put_right: int | None = None
    promise: int | None = None
    as_aired: Mapping[str, Any] | None = None
    episode: int = 0
    day: str = ""


@dataclass(frozen=True, slots=True)
class Promise:
    """Something that was said to be found out and told on a later show; `found` is what came of it."""

    number: int
    question_id: str
    what: str
    due: str | None
    found: str | None
    kept_in: int | None
    made: str


@dataclass(frozen=True, slots=True)
class PutRight:
    """An answer that turned out wrong: what was wrong, what is right, and who told us."""

    number: int
    question_id: str
    wrong: str
    right: str
    told_by: str | None
    aired_in: int | None
    made: str


class Episodes:
    """The episodes of a ledger."""

    def __init__(self, engine: sa.Engine) -> None:
        self.engine = engine

    def for_day(self, day: str, seconds: float) -> Episode:
        """The planned episode of a day with that length, or one that is not kept yet and has number 0."""
        query = sa.select(EPISODES).where(EPISODES.c.day == day, EPISODES.c.state == "planned").limit(1)
        with self.engine.connect() as connection:
            row = connection.execute(query).one_or_none()
        if row is None:
            return Episode(0, day, seconds, "planned", 0, Wishes(), None)
        return replace(_episode(row._mapping), seconds=seconds)

    def planned(self, day: str, seconds: float) -> Episode:
        """The planned episode of a day, made where there is none; another length is kept."""
        with self.engine.begin() as connection:
            row = connection.execute(
                sa.select(EPISODES).where(EPISODES.c.day == day, EPISODES.c.state == "planned").limit(1)
            ).one_or_none()
            if row is None:
                number = connection.execute(
                    sa.insert(EPISODES)
                    .values(
                        day=day, seconds=seconds, state="planned", version=1, wishes="{}", made=now_text()
                    )
                    .returning(EPISODES.c.episode)
                ).scalar_one()
            else:
                number = row.episode
                connection.execute(
                    sa.update(EPISODES).where(EPISODES.c.episode == number).values(seconds=seconds)
                )
            return _episode(
                connection.execute(sa.select(EPISODES).where(EPISODES.c.episode == number)).one()._mapping
            )

    def of(self, number: int) -> Episode | None:
        """One episode by its number."""
        with self.engine.connect() as connection:
            row = connection.execute(sa.select(EPISODES).where(EPISODES.c.episode == number)).one_or_none()
        return None if row is None else _episode(row._mapping)

    def all(self) -> list[Episode]:
        """Every episode, the newest first."""
        with self.engine.connect() as connection:
            rows = connection.execute(
                sa.select(EPISODES).order_by(EPISODES.c.day.desc(), EPISODES.c.episode.desc())
            )
            return [_episode(row._mapping) for row in rows]

    def wish(self, episode: Episode, wishes: Wishes, person: Person, told: str) -> Episode:
        """Keep what the desk wants of a planned episode.

        Raises:
            ClashError: somebody else changed the episode in the meantime, or it was aired.
        """
        values = {
            "pinned": list(wishes.pinned),
            "dropped": list(wishes.dropped),
            "said_like": dict(wishes.said_like),
        }
        with self.engine.begin() as connection:
            _change(connection, episode, wishes=json.dumps(values, ensure_ascii=False))
            _add_deed(connection, person, "planned", told)
        found = self.of(episode.number)
        assert found is not None
        return found

    def keep(self, episode: Episode, items: Sequence[Item]) -> None:
        """Keep the plan of an episode in place of the one before."""
        with self.engine.begin() as connection:
            connection.execute(sa.delete(ITEMS).where(ITEMS.c.episode == episode.number))
            if items:
                connection.execute(sa.insert(ITEMS), [_row(episode.number, item) for item in items])

    def items(self, number: int) -> list[Item]:
        """The items of an episode in their order."""
        return self._items(ITEMS.c.episode == number)

    def aired(self) -> list[Item]:
        """Every item that was aired, with its draft as it was said, the first first."""
        return self._items(EPISODES.c.state == "aired")

    def _items(self, condition: sa.ColumnElement[bool]) -> list[Item]:
        query = (
            sa.select(ITEMS, EPISODES.c.day)
            .join(EPISODES, EPISODES.c.episode == ITEMS.c.episode)
            .where(condition)
            .order_by(EPISODES.c.day, ITEMS.c.episode, ITEMS.c.place)
        )
        with self.engine.connect() as connection:
            return [_item(row._mapping) for row in connection.execute(query)]

    def air(self, episode: Episode, items: Sequence[Item], person: Person) -> None:
        """Mark an episode as aired, its items with their real seconds and their drafts as they were said.

        Promises and corrections among them are kept with it.

        Raises:
            ClashError: it was aired already, or changed in the meantime.
        """
        now = now_text()
        with self.engine.begin() as connection:
            _change(connection, episode, state="aired", aired_at=now)
            connection.execute(sa.delete(ITEMS).where(ITEMS.c.episode == episode.number))
            connection.execute(sa.insert(ITEMS), [_row(episode.number, item) for item in items])
            for item in items:
                if item.promise is not None:
                    connection.execute(
                        sa.update(PROMISES)
                        .where(PROMISES.c.promise == item.promise)
                        .values(kept_in=episode.number)
                    )
                if item.put_right is not None:
                    connection.execute(
                        sa.update(PUT_RIGHT)
                        .where(PUT_RIGHT.c.put_right == item.put_right)
                        .values(aired_in=episode.number)
                    )
                _add_deed(connection, person, "aired", f"on {episode.day}", item.question_id)

    def promise(self, question_id: str, what: str, due: str | None, person: Person) -> int:
        """Keep a promise; its number."""
        with self.engine.begin() as connection:
            number = connection.execute(
                sa.insert(PROMISES)
                .values(question_id=question_id, what=what, due=due, made=now_text())
                .returning(PROMISES.c.promise)
            ).scalar_one()
            _add_deed(connection, person, "promised", f"by {due}" if due else "", question_id, what)
        return int(number)

    def found(self, number: int, found: str) -> bool:
        """Keep what came of a promise; whether there is one that is still to be kept."""
        change = (
            sa.update(PROMISES)
            .where(PROMISES.c.promise == number, PROMISES.c.kept_in.is_(None))
            .values(found=found)
        )
        with self.engine.begin() as connection:
            return connection.execute(change).rowcount == 1

    def promises(self, *, is_open: bool = True) -> list[Promise]:
        """The promises still to be kept, or all, the first due first."""
        query = sa.select(PROMISES).order_by(sa.func.coalesce(PROMISES.c.due, "9999"), PROMISES.c.promise)
        if is_open:
            query = query.where(PROMISES.c.kept_in.is_(None))
        with self.engine.connect() as connection:
            return [
                Promise(number=row.promise, **_without(row._mapping, "promise"))
                for row in connection.execute(query)
            ]

    def put_right(self, question_id: str, wrong: str, right: str, told_by: str | None, person: Person) -> int:
        """Keep that an answer was wrong; the number of the correction."""
        with self.engine.begin() as connection:
            number = connection.execute(
                sa.insert(PUT_RIGHT)
                .values(question_id=question_id, wrong=wrong, right=right, told_by=told_by, made=now_text())
                .returning(PUT_RIGHT.c.put_right)
            ).scalar_one()
            _add_deed(connection, person, "put right", "", question_id, right)
        return int(number)

    def to_put_right(self, *, is_open: bool = True) -> list[PutRight]:
        """What is still to be put right on air, or all that was, the oldest first."""
        query = sa.select(PUT_RIGHT).order_by(PUT_RIGHT.c.put_right)
        if is_open:
            query = query.where(PUT_RIGHT.c.aired_in.is_(None))
        with self.engine.connect() as connection:
            return [
                PutRight(number=row.put_right, **_without(row._mapping, "put_right"))
                for row in connection.execute(query)
            ]

    def who_got(self, question_id: str) -> list[str]:
        """The questions of the same group whose riders were sent the answer: whom a correction is owed."""
        leader = sa.select(DRAFTS.c.leader).where(DRAFTS.c.question_id == question_id).scalar_subquery()
        query = (
            sa.select(DRAFTS.c.question_id)
            .join(MAILS, MAILS.c.message_key == DRAFTS.c.message_key)
            .where(DRAFTS.c.leader == leader, DRAFTS.c.is_question, MAILS.c.state == "sent")
            .order_by(DRAFTS.c.question_id)
        )
        with self.engine.connect() as connection:
            return list(connection.execute(query).scalars())

    def ready(self, *, is_signed: bool, most: int) -> list[tuple[str, str]]:
        """(question, draft's line) of the questions that lead their group and have a script, the newest first."""
        query = (
            sa.select(DRAFTS.c.question_id, DRAFTS.c.line)
            .join(REVIEWS, REVIEWS.c.question_id == DRAFTS.c.question_id, isouter=not is_signed)
            .where(DRAFTS.c.is_question, DRAFTS.c.leader == DRAFTS.c.question_id)
            .order_by(DRAFTS.c.received.desc(), DRAFTS.c.question_id)
            .limit(most)
        )
        if is_signed:
            query = query.where(REVIEWS.c.state.in_(SIGNED_STATES))
        with self.engine.connect() as connection:
            return [(row.question_id, row.line) for row in connection.execute(query)]

    def closers(self, most: int) -> list[dict[str, Any]]:
        """Lines of what was set aside as one for the end of the show, the newest first."""
        query = (
            sa.select(DRAFTS.c.line)
            .where(sa.not_(DRAFTS.c.is_question), DRAFTS.c.line.contains('"closer"'))
            .order_by(DRAFTS.c.received.desc(), DRAFTS.c.question_id)
            .limit(most)
        )
        with self.engine.connect() as connection:
            lines = [json.loads(text) for text in connection.execute(query).scalars()]
        return [line for line in lines if "closer" in line["flags"]]


def _change(connection: sa.Connection, episode: Episode, **values: Any) -> None:
    done = connection.execute(
        sa.update(EPISODES)
        .where(
            EPISODES.c.episode == episode.number,
            EPISODES.c.version == episode.version,
            EPISODES.c.state == "planned",
        )
        .values(version=episode.version + 1, **values)
    )
    if done.rowcount != 1:
        raise ClashError(f"episode {episode.number}")


def _add_deed(
    connection: sa.Connection,
    person: Person,
    kind: str,
    what: str,
    question_id: str | None = None,
    now: str | None = None,
) -> None:
    connection.execute(
        sa.insert(DEEDS).values(
            question_id=question_id,
            person=person.name,
            role=person.role,
            kind=kind,
            what=what or None,
            now=now,
            made=now_text(),
        )
    )


def _episode(row: Any) -> Episode:
    wishes = json.loads(row["wishes"])
    return Episode(
        number=row["episode"],
        day=row["day"],
        seconds=row["seconds"],
        state=row["state"],
        version=row["version"],
        wishes=Wishes(
            tuple(wishes.get("pinned", ())), tuple(wishes.get("dropped", ())), wishes.get("said_like", {})
        ),
        aired_at=row["aired_at"],
    )


def _item(row: Any) -> Item:
    values = dict(row)
    values["as_aired"] = json.loads(values["as_aired"]) if values["as_aired"] else None
    return Item(**values)


def _row(number: int, item: Item) -> dict[str, Any]:
    return {
        "episode": number,
        "place": item.place,
        "kind": item.kind,
        "question_id": item.question_id,
        "put_right": item.put_right,
        "promise": item.promise,
        "planned_seconds": item.planned_seconds,
        "aired_seconds": item.aired_seconds,
        "words": item.words,
        "as_aired": None if item.as_aired is None else json.dumps(item.as_aired, ensure_ascii=False),
    }


def _without(row: Any, key: str) -> dict[str, Any]:
    return {name: value for name, value in dict(row).items() if name != key}

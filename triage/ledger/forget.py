"""Forgetting a rider: who wrote is taken out of the ledger for good, and the answers that were worked out stay."""

from __future__ import annotations

import hashlib
import json
from collections import Counter
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import sqlalchemy as sa

from triage.ledger.asking import in_pieces
from triage.ledger.errors import LedgerError
from triage.ledger.moment import now_text
from triage.ledger.reviews import Person
from triage.ledger.rows import line_text
from triage.ledger.schema import (
    ABOUT,
    CORRECTIONS,
    DEEDS,
    DRAFTS,
    FORGETTING,
    ITEMS,
    LEADS,
    MAILS,
    MESSAGES,
    PEOPLE,
    PROMISES,
    PUT_RIGHT,
    REVIEWS,
    WORDS,
)

if TYPE_CHECKING:
    from triage.ledger.store import Ledger

Blot = Callable[[str, str | None, str | None, str | None], str]
"""Takes (text, author, rider, address) and gives the text without what it says of that rider."""
FORGOT = "forgot"
REMOVED = "(The rider's words were removed at the rider's wish.)"
_SWEEP_IS_DUE = "sweep_is_due"
_STAYS = frozenset(
    {
        # The answer, and what the program knows a question by; none of it is the rider's own wording.
        "question_id", "channel", "received", "topic", "brief", "verdict", "cautions", "checklist", "repeats_of", "flags",
        "follows", "title", "sureness", "nearest", "props", "sources", "nearest_briefs", "sorted_as", "name", "value", "unit",
        "when", "working", "basis", "from", "label", "rows", "bands", "marks",
    }
)  # fmt: skip
_REVIEWED = ("script", "reply", "script_from", "reply_from", "note", "lost_because")
_DONE = ("was", "now", "why")


@dataclass(frozen=True, slots=True)
class Sender:
    """A name and an address as messages bear them, and how many do."""

    author: str | None
    address: str | None
    messages: int

    def __str__(self) -> str:
        return (
            " ".join(filter(None, [self.author, f"<{self.address}>" if self.address else None])) or "no name"
        )


@dataclass(frozen=True, slots=True)
class Found:
    """What would be forgotten of somebody.

    `beside` are senders that are not among them, though they share the name or an address with one that is.
    """

    message_keys: tuple[str, ...] = ()
    questions: int = 0
    senders: tuple[Sender, ...] = ()
    beside: tuple[Sender, ...] = ()

    @property
    def messages(self) -> int:
        """How many messages there are."""
        return len(self.message_keys)


@dataclass(frozen=True, slots=True)
class Forgotten:
    """What was forgotten. `is_swept` is false where the file was in use, so that old words may stand in its free space."""

    messages: int
    questions: int
    is_swept: bool


@dataclass(frozen=True, slots=True)
class _Written:
    """A message, as far as its sender goes."""

    key: str
    message_id: str
    author: str | None
    rider: str | None
    address: str | None

    def is_by(self, person: str) -> bool:
        """Whether PERSON is its address, or its author's full name; a first name alone is no one's."""
        if _same(self.address, person):
            return True
        return _same(self.author, person) and not _same(self.rider, person)


def find(ledger: Ledger, person: str) -> Found:
    """What `forget` would remove; `person` is a mail address or an author's full name, whatever the capitals."""
    with ledger.engine.connect() as connection:
        written = list(_written(connection))
        theirs = [one for one in written if one.is_by(person)]
        questions = len(_question_ids(connection, [one.key for one in theirs]))
    chosen = {one.key for one in theirs}
    names = {one.author.casefold() for one in theirs if one.author and not _same(one.author, one.rider)}
    addresses = {one.address.casefold() for one in theirs if one.address}
    beside = [
        one
        for one in written
        if one.key not in chosen
        and ((one.author or "").casefold() in names or (one.address or "").casefold() in addresses)
    ]
    return Found(tuple(one.key for one in theirs), questions, _senders(theirs), _senders(beside))


def forget(ledger: Ledger, person: str, blot: Blot, by: Person) -> Forgotten:
    """Take a rider's name, address and words out of the ledger, in one transaction; answers, figures and signatures stay.

    `person` is as for `find`. `blot` takes what it finds of the rider out of a text that stays. One deed of `by` is kept,
    which does not say who was forgotten. On SQLite the file is then swept, so that the words are gone from it too.

    Raises:
        LedgerError: the ledger is in use elsewhere, or can't be reached any more; nothing was removed.
    """
    try:
        messages, questions = _forgotten(ledger.engine, person, blot, by)
    except (LedgerError, sa.exc.OperationalError) as error:
        raise LedgerError(
            f"Nothing was removed: {str(error).splitlines()[0]}\n"
            "    Is a draft being made, or the database away? Try again afterwards."
        ) from error
    return Forgotten(messages, questions, sweep(ledger))


def _forgotten(engine: sa.Engine, person: str, blot: Blot, by: Person) -> tuple[int, int]:
    with engine.begin() as connection:
        # Written first: on SQLite that keeps every other writer out from here on.
        _put(connection, FORGETTING)
        theirs = [one for one in _written(connection) if one.is_by(person)]
        ids = _question_ids(connection, [one.key for one in theirs])
        if theirs:
            _put(connection, _SWEEP_IS_DUE)
            _forget(connection, theirs, ids, _Blotter(blot, theirs, _team(connection)))
            connection.execute(sa.insert(DEEDS).values(_deed(by, _counted(len(theirs), len(ids)))))
        connection.execute(sa.delete(ABOUT).where(ABOUT.c.key == FORGETTING))
    return len(theirs), len(ids)


def _put(connection: sa.Connection, key: str) -> None:
    connection.execute(sa.delete(ABOUT).where(ABOUT.c.key == key))
    connection.execute(sa.insert(ABOUT).values(key=key, value="now"))


def sweep(ledger: Ledger) -> bool:
    """Clear what a forgetting left in the file's free space, where that is still to do; whether nothing is left to do."""
    with ledger.engine.connect() as connection:
        due = connection.execute(sa.select(ABOUT.c.value).where(ABOUT.c.key == _SWEEP_IS_DUE)).scalar()
    if due is None:
        return True
    if ledger.engine.dialect.name == "sqlite" and not _swept(ledger.engine):
        return False
    with ledger.engine.begin() as connection:
        connection.execute(sa.delete(ABOUT).where(ABOUT.c.key == _SWEEP_IS_DUE))
    return True


def _swept(engine: sa.Engine) -> bool:
    try:
        with engine.connect().execution_options(isolation_level="AUTOCOMMIT") as connection:
            # The search keeps words that were taken out until its parts are put together anew.
            connection.exec_driver_sql("INSERT INTO words_found(words_found) VALUES ('rebuild')")
            connection.exec_driver_sql("VACUUM")
            busy, _, _ = connection.exec_driver_sql("PRAGMA wal_checkpoint(TRUNCATE)").one()
    except (LedgerError, sa.exc.OperationalError):
        return False
    return not busy


def _same(one: str | None, other: str | None) -> bool:
    return bool(one) and bool(other) and str(one).strip().casefold() == str(other).strip().casefold()


def _written(connection: sa.Connection) -> Iterator[_Written]:
    """Who wrote each message. Compared here and not by the database: SQLite knows small letters in ASCII alone."""
    columns = (
        MESSAGES.c.message_key,
        MESSAGES.c.message_id,
        MESSAGES.c.author,
        MESSAGES.c.rider,
        MESSAGES.c.address,
    )
    query = sa.select(*columns).where(sa.not_(MESSAGES.c.is_forgotten)).order_by(MESSAGES.c.message_key)
    for row in connection.execute(query):
        yield _Written(*row)


def _senders(written: Iterable[_Written]) -> tuple[Sender, ...]:
    counts = Counter((one.author, one.address) for one in written)
    return tuple(Sender(author, address, count) for (author, address), count in counts.items())


def _question_ids(connection: sa.Connection, keys: Sequence[str]) -> list[str]:
    return [
        identity
        for some in in_pieces(keys)
        for identity in connection.execute(
            sa.select(DRAFTS.c.question_id).where(DRAFTS.c.message_key.in_(some))
        ).scalars()
    ]


def _team(connection: sa.Connection) -> set[str]:
    """The people of the team: a history that begins with one of them speaks of that one."""
    found: set[str] = set()
    for column in (PEOPLE.c.name, DEEDS.c.person, MAILS.c.ordered_by):
        found |= set(connection.execute(sa.select(column).distinct()).scalars())
    return found


class _Blotter:
    """Takes every name and address of one rider out of texts."""

    def __init__(self, blot: Blot, theirs: Sequence[_Written], team: Collection[str]) -> None:
        self.blot = blot
        names = dict.fromkeys((one.author, one.rider, one.address) for one in theirs)
        # The longest name first: what it takes out whole, a shorter one would leave in pieces.
        self.names = sorted(names, key=lambda name: -len(name[0] or ""))
        self.addresses = {one.address for one in theirs if one.address}
        self.team = sorted(team, key=len, reverse=True)

    def text(self, text: str) -> str:
        """A text without the rider."""
        for author, rider, address in self.names:
            text = self.blot(text, author, rider, address)
        return text

    def told(self, text: str | None) -> str | None:
        """What a history tells; who of the team did it stays, even where the rider has the same first name."""
        if text is None:
            return None
        if text.startswith("[["):
            return self._changes(text)
        who = next((f"{name} " for name in self.team if text.startswith(f"{name} ")), "")
        return who + self.text(text.removeprefix(who))

    def _changes(self, text: str) -> str:
        """The changes that a correction led to are kept as lists of texts."""
        try:
            changes = json.loads(text)
        except ValueError:
            return self.text(text)
        return json.dumps(self.all(changes), ensure_ascii=False)

    def all(self, value: Any) -> Any:
        """Every text in lists and dictionaries, but those that belong to the answer."""
        if isinstance(value, str):
            return self.text(value)
        if isinstance(value, list):
            return [self.all(one) for one in value]
        if isinstance(value, dict):
            return {key: one if key in _STAYS else self.all(one) for key, one in value.items()}
        return value

    def mail_id(self, mail_id: str) -> str:
        """A mail's id; another one where the address is written into it."""
        lowered = mail_id.casefold()
        if any(address.casefold() in lowered for address in self.addresses):
            return f"forgotten-{hashlib.sha256(mail_id.encode()).hexdigest()[:12]}"
        return mail_id


def _forget(
    connection: sa.Connection, theirs: Sequence[_Written], ids: Sequence[str], blotter: _Blotter
) -> None:
    asker = _stand_in(min(one.key for one in theirs))
    for one in theirs:
        _forget_message(connection, one)
        _point_elsewhere(connection, one)
        _forget_drafts(connection, one, asker, blotter)
    keys = [one.key for one in theirs]
    followers = _followers(connection, ids, keys, blotter)
    _rewrite(connection, CORRECTIONS, CORRECTIONS.c.question_id, [*ids, *followers], ("ask",), blotter.text)
    _rewrite(connection, REVIEWS, REVIEWS.c.question_id, ids, _REVIEWED, blotter.told)
    _rewrite(connection, DEEDS, DEEDS.c.question_id, ids, _DONE, blotter.told)
    _rewrite(connection, PROMISES, PROMISES.c.question_id, ids, ("what", "found"), blotter.told)
    _rewrite(connection, PUT_RIGHT, PUT_RIGHT.c.question_id, ids, ("wrong", "right", "told_by"), blotter.told)
    _forget_aired(connection, ids, blotter)
    _rewrite(connection, MAILS, MAILS.c.message_key, keys, ("answer",), blotter.told)
    _rewrite(connection, MAILS, MAILS.c.message_key, keys, ("mail_id",), blotter.mail_id)
    for some in in_pieces([*ids, *followers]):
        connection.execute(sa.delete(WORDS).where(WORDS.c.question_id.in_(some)))
        connection.execute(sa.delete(LEADS).where(LEADS.c.question_id.in_(some)))
    for some in in_pieces(ids):
        # Whoever has the old text open must not be able to save it back.
        change = sa.update(REVIEWS).where(REVIEWS.c.question_id.in_(some))
        connection.execute(change.values(version=REVIEWS.c.version + 1))


def _forget_aired(connection: sa.Connection, ids: Sequence[str], blotter: _Blotter) -> None:
    """What was said on air stays, without the rider's name and words."""
    for some in in_pieces(ids):
        rows = connection.execute(
            sa.select(ITEMS.c.episode, ITEMS.c.place, ITEMS.c.as_aired).where(
                ITEMS.c.question_id.in_(some), ITEMS.c.as_aired.is_not(None)
            )
        ).all()
        for row in rows:
            kept = {**blotter.all(json.loads(row.as_aired)), "rider": None}
            connection.execute(
                sa.update(ITEMS)
                .where(ITEMS.c.episode == row.episode, ITEMS.c.place == row.place)
                .values(as_aired=json.dumps(kept, ensure_ascii=False))
            )


def _stand_in(key: str) -> str:
    return f"forgotten-{key[:12]}"


def _forget_message(connection: sa.Connection, one: _Written) -> None:
    connection.execute(
        sa.update(MESSAGES)
        .where(MESSAGES.c.message_key == one.key)
        .values(
            author=None,
            rider=None,
            address=None,
            subject=None,
            in_reply_to=None,
            thread="[]",
            message_id=_stand_in(one.key),
            source="forgotten",
            body="",
            is_forgotten=True,
        )
    )


def _point_elsewhere(connection: sa.Connection, one: _Written) -> None:
    """Later messages of its thread name it by the new id: the old one may hold the name of the rider's own host."""
    new = _stand_in(one.key)
    connection.execute(
        sa.update(MESSAGES).where(MESSAGES.c.in_reply_to == one.message_id).values(in_reply_to=new)
    )
    named = MESSAGES.c.thread.contains(json.dumps(one.message_id), autoescape=True)
    for row in connection.execute(sa.select(MESSAGES.c.message_key, MESSAGES.c.thread).where(named)).all():
        thread = [new if identity == one.message_id else identity for identity in json.loads(row.thread)]
        connection.execute(
            sa.update(MESSAGES)
            .where(MESSAGES.c.message_key == row.message_key)
            .values(thread=json.dumps(thread))
        )


def _forget_drafts(connection: sa.Connection, one: _Written, asker: str, blotter: _Blotter) -> None:
    rows = connection.execute(
        sa.select(DRAFTS.c.question_id, DRAFTS.c.line).where(DRAFTS.c.message_key == one.key)
    ).all()
    for row in rows:
        line = _line_without(json.loads(row.line), _stand_in(one.key), blotter)
        connection.execute(
            sa.update(DRAFTS)
            .where(DRAFTS.c.question_id == row.question_id)
            .values(
                asker=asker,
                ask=line["text"],
                line=line_text(line),
                is_searchable=False,
            )
        )


def _line_without(line: Mapping[str, Any], message_id: str, blotter: _Blotter) -> dict[str, Any]:
    after: dict[str, Any] = blotter.all(dict(line))
    return after | {
        "message_id": message_id,
        "rider": None,
        "subject": None,
        "source": "forgotten",
        "attachments": [],
        "context": "",
        "whole_text": REMOVED,
        "details": [detail | {"start": -1, "end": -1} for detail in after.get("details", [])],
    }


def _followers(
    connection: sa.Connection, ids: Sequence[str], keys: Collection[str], blotter: _Blotter
) -> list[str]:
    """Others' questions that are read with one of these, whose story holds its words; they keep their own."""
    found: list[str] = []
    known = set(ids)
    for some in in_pieces(ids, 50):
        query = sa.select(DRAFTS.c.question_id, DRAFTS.c.message_key, DRAFTS.c.line).where(
            sa.or_(
                *(
                    DRAFTS.c.line.contains(f'"follows":{blank}"{one}"', autoescape=True)
                    for one in some
                    for blank in ("", " ")  # earlier versions wrote one
                )
            )
        )
        for row in connection.execute(query).all():
            line = json.loads(row.line)
            if row.message_key in keys or line.get("follows") not in known:
                continue
            line["context"] = blotter.text(line.get("context", ""))
            connection.execute(
                sa.update(DRAFTS)
                .where(DRAFTS.c.question_id == row.question_id)
                .values(
                    line=line_text(line),
                    ask=f"{line['text']} {line['context']}".strip(),
                    is_searchable=False,
                )
            )
            found.append(row.question_id)
    return found


def _rewrite(
    connection: sa.Connection,
    table: sa.Table,
    key: sa.ColumnElement[Any],
    keys: Sequence[str],
    columns: Sequence[str],
    change: Callable[[str], str | None],
) -> None:
    """Put changed texts in place of those that some rows hold."""
    identity = next(iter(table.primary_key.columns))
    for some in in_pieces(keys):
        rows = connection.execute(
            sa.select(identity.label("row"), *(table.c[name] for name in columns)).where(key.in_(some))
        ).all()
        for row in rows:
            held = {name: row._mapping[name] for name in columns if row._mapping[name] is not None}
            changed = {name: now for name, text in held.items() if (now := change(text)) != text}
            if changed:
                connection.execute(sa.update(table).where(identity == row._mapping["row"]).values(changed))


def _counted(messages: int, questions: int) -> str:
    return f"{messages} message{'s' * (messages != 1)}, {questions} question{'s' * (questions != 1)}"


def _deed(by: Person, what: str) -> dict[str, Any]:
    return {"person": by.name, "role": by.role, "kind": FORGOT, "what": what, "made": now_text()}

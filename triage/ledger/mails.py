"""The mails that answer riders: which are ready, which were ordered, and what became of each; none goes out twice."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any, Literal, TypeVar

import sqlalchemy as sa
from sqlalchemy.dialects import postgresql

from triage.ledger.asking import in_pieces, insert_into, is_postgresql
from triage.ledger.moment import now_text
from triage.ledger.reviews import REVIEWED, SIGNED_STATES, Person, as_reviewed
from triage.ledger.schema import DEEDS, DRAFTS, MAILS, MESSAGES, REVIEWS

MailState = Literal["waiting", "going", "sent", "refused", "unclear"]
Ending = Literal["sent", "refused", "unclear"]
Thing = TypeVar("Thing")
LOST_SIGHT = "The sending was cut off before the mail server's answer was known."
_STATE = sa.func.coalesce(REVIEWS.c.state, "new")
_IS_QUESTION = sa.cast(DRAFTS.c.is_question, sa.Integer) == 1
"""As a number, so that SQLite looks by message and not by this, which nearly every draft is."""


class NotSignedError(Exception):
    """Something that a mail answers is not signed off; the text says what. The mail was refused, not sent."""


@dataclass(frozen=True, slots=True)
class MailOrder:
    """A mail that somebody wants sent: its Message-ID without brackets, a digest of its content, what it answers."""

    message_key: str
    mail_id: str
    mail_digest: str
    question_ids: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Mail:
    """An ordered mail and how far it is. `answer` holds the mail server's words, or why it was not sent."""

    message_key: str
    state: MailState
    mail_id: str
    mail_digest: str
    question_ids: tuple[str, ...]
    ordered_by: str
    ordered: str
    ended: str | None
    answer: str | None


@dataclass(frozen=True, slots=True)
class Asked:
    """One question of a message that has a reply, and how far its review is."""

    question_id: str
    title: str | None
    verdict: str
    state: str

    @property
    def is_signed(self) -> bool:
        """Whether its reply may leave the house."""
        return self.state in SIGNED_STATES


@dataclass(frozen=True, slots=True)
class Outgoing:
    """A message with what a mail to its rider would answer.

    `first_name` is the rider's, `address` as it was read, usable or not. `mail` is None where none was ordered.
    """

    message_key: str
    first_name: str | None
    subject: str | None
    channel: str
    address: str | None
    questions: tuple[Asked, ...]
    mail: Mail | None

    @property
    def question_ids(self) -> tuple[str, ...]:
        """What the mail answers."""
        return tuple(one.question_id for one in self.questions)

    @property
    def unsigned(self) -> tuple[str, ...]:
        """The questions that lack a signature."""
        return tuple(one.question_id for one in self.questions if not one.is_signed)

    @property
    def state(self) -> MailState | None:
        """How far its mail is; None where none was ordered."""
        return None if self.mail is None else self.mail.state


class Mails:
    """The mails of a ledger, one for each message.

    An ordered mail is waiting. A sender takes it, which makes it going, and then it is sent, refused or unclear. Only
    what is waiting can be taken, and nothing but a person's word makes a refused or unclear one wait again.
    """

    def __init__(self, engine: sa.Engine) -> None:
        self.engine = engine

    def ready(self, limit: int, after: int = 0, besides: Sequence[MailState] = ()) -> list[Outgoing]:
        """Messages of which every reply is signed off, the newest first; without those whose mail is in some states."""
        return self._page(sa.not_(self._lacks_a_signature()), limit, after, besides)

    def waiting_for(self, limit: int, after: int = 0) -> list[Outgoing]:
        """Messages of which some replies are signed off and some, in `unsigned`, are not; the newest first."""
        return self._page(self._lacks_a_signature(), limit, after, ())

    def in_state(self, states: Sequence[MailState], limit: int, after: int = 0) -> list[Outgoing]:
        """The messages whose mails are in these states, the last ordered first."""
        query = (
            sa.select(MAILS.c.message_key)
            .where(MAILS.c.state.in_(states))
            .order_by(MAILS.c.ordered.desc(), MAILS.c.message_key)
            .limit(limit)
            .offset(after)
        )
        with self.engine.connect() as connection:
            keys = list(connection.execute(query).scalars())
        return self._outgoing(keys)

    def of(self, message_key: str) -> Mail | None:
        """The mail that was ordered for a message."""
        return self._ordered([message_key]).get(message_key)

    def drafts(self, message_keys: Sequence[str]) -> Iterator[tuple[str, dict[str, Any]]]:
        """(message key, line) of every question that has a reply, in the messages' order, edits laid over."""
        columns = (DRAFTS.c.message_key, DRAFTS.c.place, DRAFTS.c.line, *REVIEWED)
        for some in in_pieces(message_keys):
            query = (
                sa.select(*columns)
                .join(REVIEWS, REVIEWS.c.question_id == DRAFTS.c.question_id, isouter=True)
                .where(DRAFTS.c.message_key.in_(some), DRAFTS.c.is_question)
            )
            with self.engine.connect() as connection:
                rows = connection.execute(query).all()
            order = {key: number for number, key in enumerate(some)}
            for row in sorted(rows, key=lambda row: (order[row.message_key], row.place)):
                line = as_reviewed(json.loads(row.line), dict(row._mapping))
                if line["reply"]:
                    yield row.message_key, line

    def order(self, mails: Sequence[MailOrder], person: Person) -> list[str]:
        """Order mails; the keys of those that were not ordered before. What was ordered once stays as it is."""
        new: list[str] = []
        now = now_text()
        for some in in_pieces(mails):
            rows = [_row(mail, person, now) for mail in some]
            with self.engine.begin() as connection:
                done = connection.execute(
                    insert_into(MAILS, self.engine)
                    .values(rows)
                    .on_conflict_do_nothing()
                    .returning(MAILS.c.message_key)
                )
                inserted = set(done.scalars())
            new += [mail.message_key for mail in some if mail.message_key in inserted]
        return new

    def back_to_waiting(self, mail: MailOrder, person: Person) -> bool:
        """Order a refused mail again, as it would be now; whether there was such a refused one."""
        change = (
            sa.update(MAILS)
            .where(MAILS.c.message_key == mail.message_key, MAILS.c.state == "refused")
            .values(**_row(mail, person, now_text()), ended=None, answer=None)
        )
        with self.engine.begin() as connection:
            return connection.execute(change).rowcount == 1

    def take(self, message_key: str) -> bool:
        """Take a waiting mail so that no other sender can; False where it does not wait, or another was faster.

        Raises:
            NotSignedError: a question that it answers is no longer signed off; it was refused for that.
        """
        with self.engine.begin() as connection:
            # The change stands first: it is what locks, on both databases.
            if not _changed(connection, message_key, ("waiting",), state="going", ended=None, answer=None):
                return False
            unsigned = self._unsigned(connection, message_key)
            if not unsigned:
                return True
            why = f"No longer signed off: {', '.join(unsigned)}."
            _changed(connection, message_key, ("going",), state="refused", ended=now_text(), answer=why)
        raise NotSignedError(why)

    def let_go(self, message_key: str) -> bool:
        """Let a mail wait again of which nothing was handed over yet; whether it was going."""
        with self.engine.begin() as connection:
            return _changed(connection, message_key, ("going",), state="waiting")

    def finish(self, message_key: str, state: Ending, answer: str, person: Person) -> bool:
        """Keep how the sending of a mail that was taken ended; a sent one makes its signed questions sent.

        A sender that lives knows better than one that found the mail going and called it unclear. False where the mail
        was not under way; then nothing was changed.
        """
        was: tuple[MailState, ...] = (
            ("going", "unclear", "waiting") if state == "sent" else ("going", "unclear")
        )
        now = now_text()
        with self.engine.begin() as connection:
            if not _changed(connection, message_key, was, state=state, ended=now, answer=answer):
                return False
            if state == "sent":
                self._make_sent(connection, message_key, person, now, None)
        return True

    def settle_unclear(self, message_key: str, was_sent: bool, person: Person) -> bool:
        """Keep a person's word on an unclear mail: it is sent, or it waits again. Whether it was unclear."""
        now = now_text()
        said = f"{person.name} says that it {'arrived' if was_sent else 'did not arrive'}."
        state, ended = ("sent", now) if was_sent else ("waiting", None)
        with self.engine.begin() as connection:
            if not _changed(connection, message_key, ("unclear",), state=state, ended=ended, answer=said):
                return False
            if was_sent:
                self._make_sent(connection, message_key, person, now, said)
            else:
                _add_deeds(connection, message_key, person, now, "not sent", said)
        return True

    def counts(self) -> dict[str, int]:
        """How many ordered mails are in each state."""
        query = sa.select(MAILS.c.state, sa.func.count()).group_by(MAILS.c.state)
        with self.engine.connect() as connection:
            return {str(state): int(count) for state, count in connection.execute(query)}

    def left_waiting(self) -> list[str]:
        """The keys of the mails that wait, the first ordered first."""
        return self._keys("waiting")

    def going(self) -> list[str]:
        """The keys of the mails that a sender took and has not ended."""
        return self._keys("going")

    def doubt_going(self) -> list[str]:
        """Make every going mail unclear, because no one may know what became of it; the keys of those."""
        change = (
            sa.update(MAILS)
            .where(MAILS.c.state == "going")
            .values(state="unclear", ended=now_text(), answer=LOST_SIGHT)
            .returning(MAILS.c.message_key)
        )
        with self.engine.begin() as connection:
            return sorted(connection.execute(change).scalars())

    def _keys(self, state: MailState) -> list[str]:
        query = (
            sa.select(MAILS.c.message_key)
            .where(MAILS.c.state == state)
            .order_by(MAILS.c.ordered, MAILS.c.message_key)
        )
        with self.engine.connect() as connection:
            return list(connection.execute(query).scalars())

    def _page(
        self, condition: sa.ColumnElement[bool], limit: int, after: int, besides: Sequence[MailState]
    ) -> list[Outgoing]:
        signed = (
            sa.select(DRAFTS.c.message_key)
            .join(REVIEWS, REVIEWS.c.question_id == DRAFTS.c.question_id)
            .where(REVIEWS.c.state.in_(SIGNED_STATES), _IS_QUESTION, self._has_reply())
        )
        query = (
            sa.select(MESSAGES.c.message_key)
            .join(MAILS, MAILS.c.message_key == MESSAGES.c.message_key, isouter=True)
            .where(
                MESSAGES.c.message_key.in_(signed),
                sa.not_(MESSAGES.c.is_forgotten),
                condition,
                sa.func.coalesce(MAILS.c.state, "").not_in(besides),
            )
            .order_by(sa.func.coalesce(MESSAGES.c.received, MESSAGES.c.added).desc(), MESSAGES.c.message_key)
            .limit(limit)
            .offset(after)
        )
        with self.engine.connect() as connection:
            keys = list(connection.execute(query).scalars())
        return self._outgoing(keys)

    def _lacks_a_signature(self) -> sa.ColumnElement[bool]:
        return (
            sa.select(DRAFTS.c.question_id)
            .join(REVIEWS, REVIEWS.c.question_id == DRAFTS.c.question_id, isouter=True)
            .where(
                DRAFTS.c.message_key == MESSAGES.c.message_key,
                _IS_QUESTION,
                _STATE.not_in(SIGNED_STATES),
                self._has_reply(),
            )
            .correlate(MESSAGES)
            .exists()
        )

    def _has_reply(self) -> sa.ColumnElement[bool]:
        drafted: sa.ColumnElement[Any]
        if is_postgresql(self.engine):
            drafted = sa.cast(DRAFTS.c.line, postgresql.JSON)["reply"].astext
        else:
            drafted = sa.func.json_extract(DRAFTS.c.line, "$.reply")
        return sa.func.coalesce(REVIEWS.c.reply, drafted, "") != ""

    def _outgoing(self, keys: Sequence[str]) -> list[Outgoing]:
        asked: dict[str, list[Asked]] = {}
        for key, line in self.drafts(keys):
            asked.setdefault(key, []).append(
                Asked(line["question_id"], line.get("title"), line["verdict"], line["state"])
            )
        mails = self._ordered(keys)
        found: dict[str, Outgoing] = {}
        with self.engine.connect() as connection:
            for some in in_pieces(keys):
                for row in connection.execute(sa.select(MESSAGES).where(MESSAGES.c.message_key.in_(some))):
                    key = row.message_key
                    found[key] = Outgoing(
                        message_key=key,
                        first_name=row.rider,
                        subject=row.subject,
                        channel=row.channel,
                        address=row.address,
                        questions=tuple(asked.get(key, ())),
                        mail=mails.get(key),
                    )
        return [found[key] for key in keys if key in found]

    def _ordered(self, keys: Sequence[str]) -> dict[str, Mail]:
        found: dict[str, Mail] = {}
        with self.engine.connect() as connection:
            for some in in_pieces(keys):
                for row in connection.execute(sa.select(MAILS).where(MAILS.c.message_key.in_(some))):
                    values = dict(row._mapping)
                    values["question_ids"] = tuple(json.loads(values["question_ids"]))
                    found[row.message_key] = Mail(**values)
        return found

    def _unsigned(self, connection: sa.Connection, message_key: str) -> list[str]:
        ids = _question_ids(connection, message_key)
        query = sa.select(REVIEWS.c.question_id).where(
            REVIEWS.c.question_id.in_(ids), REVIEWS.c.state.in_(SIGNED_STATES)
        )
        signed = set(connection.execute(query).scalars())
        return [one for one in ids if one not in signed]

    def _make_sent(
        self, connection: sa.Connection, message_key: str, person: Person, now: str, why: str | None
    ) -> None:
        ids = _question_ids(connection, message_key)
        # One that somebody took in hand again while the mail was under way stays in hand.
        connection.execute(
            sa.update(REVIEWS)
            .where(REVIEWS.c.question_id.in_(ids), REVIEWS.c.state == "signed")
            .values(state="sent", version=REVIEWS.c.version + 1, changed=now)
        )
        _add_deeds(connection, message_key, person, now, "sent", why)


def _changed(
    connection: sa.Connection, message_key: str, was: tuple[MailState, ...], **values: str | None
) -> bool:
    """Change a mail that is in one of these states; whether it was. Two who try at once never both hear yes."""
    change = sa.update(MAILS).where(MAILS.c.message_key == message_key, MAILS.c.state.in_(was)).values(values)
    return connection.execute(change).rowcount == 1


def _question_ids(connection: sa.Connection, message_key: str) -> list[str]:
    query = sa.select(MAILS.c.question_ids).where(MAILS.c.message_key == message_key)
    return list(json.loads(connection.execute(query).scalar_one()))


def _add_deeds(
    connection: sa.Connection, message_key: str, person: Person, now: str, kind: str, why: str | None
) -> None:
    rows = [
        {
            "question_id": one,
            "person": person.name,
            "role": person.role,
            "kind": kind,
            "why": why,
            "made": now,
        }
        for one in _question_ids(connection, message_key)
    ]
    if rows:
        connection.execute(sa.insert(DEEDS), rows)


def _row(mail: MailOrder, person: Person, now: str) -> dict[str, Any]:
    return {
        "message_key": mail.message_key,
        "state": "waiting",
        "mail_id": mail.mail_id,
        "mail_digest": mail.mail_digest,
        "question_ids": json.dumps(list(mail.question_ids)),
        "ordered_by": person.name,
        "ordered": now,
    }

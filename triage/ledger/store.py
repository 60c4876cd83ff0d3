"""Open a ledger, bring it to the present schema, and keep chunks of messages with their drafts."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import cached_property
from pathlib import Path
from typing import Any

import sqlalchemy as sa

from triage.ledger.asking import in_pieces, insert_into
from triage.ledger.episodes import Episodes
from triage.ledger.errors import LedgerError
from triage.ledger.grounds import Grounds
from triage.ledger.mails import Mails
from triage.ledger.moment import now_text
from triage.ledger.people import People
from triage.ledger.reviews import REVIEWED, Reviews, as_reviewed
from triage.ledger.schema import ABOUT, CORRECTIONS, DRAFTS, MESSAGES, REVIEWS, STEPS, VERSION, wall_columns
from triage.ledger.wall import Wall
from triage.ledger.weeks import Weeks
from triage.records import Attachment, Message

Line = dict[str, Any]
MOST_EARLIER = 20_000
"""Questions already kept that a batch is searched against for repeats, newest first."""


SORTING, AS_READ = "sorting", "as-read"
"""What a correction may be about besides a detail, and the kind that takes one back to what was read."""


def message_key(message: Message) -> str:
    """What makes a message the same one: its id and its words, so that a reused id hides nothing."""
    return hashlib.sha256(f"{message.message_id}\0{message.text}".encode()).hexdigest()[:32]


def open_ledger(place: str | Path) -> Ledger:
    """The ledger in a file, or behind a database address; made when new, upgraded when older.

    Raises:
        LedgerError: it is of a newer version, is no ledger, or cannot be reached.
    """
    text = str(place)
    address = text if "://" in text else f"sqlite:///{text}"
    if address.startswith("postgresql://"):
        address = address.replace("postgresql://", "postgresql+psycopg://", 1)
    try:
        engine = sa.create_engine(address)
        if engine.dialect.name == "sqlite":
            Path(text.removeprefix("sqlite:///")).parent.mkdir(parents=True, exist_ok=True)
            sa.event.listen(engine, "connect", _careful)
        _upgrade(engine, text)
    except (sa.exc.SQLAlchemyError, OSError, ImportError) as error:
        raise LedgerError(
            f"{_without_password(text)}: the ledger cannot be opened: {_first_line(error)}\n"
            "    Is it a ledger file, is the folder writable, is the database running?"
        ) from error
    return Ledger(engine)


def _careful(connection: Any, _record: Any) -> None:
    cursor = connection.cursor()
    for pragma in ("journal_mode=WAL", "synchronous=FULL", "foreign_keys=ON", "busy_timeout=20000"):
        cursor.execute(f"PRAGMA {pragma}")
    cursor.close()


def _upgrade(engine: sa.Engine, place: str) -> None:
    with engine.begin() as connection:
        version = _version(connection)
    if version > VERSION:
        raise LedgerError(
            f"{_without_password(place)}: the ledger is of version {version}; this program knows up to {VERSION}.\n"
            "    Use the newer program, or another ledger with --ledger."
        )
    for number, step in enumerate(STEPS[version:], version):
        with engine.begin() as connection:
            step(connection)
            connection.execute(sa.delete(ABOUT).where(ABOUT.c.key == "schema_version"))
            connection.execute(sa.insert(ABOUT).values(key="schema_version", value=str(number + 1)))


def _version(connection: sa.Connection) -> int:
    if not sa.inspect(connection).has_table("about"):
        return 0
    found = connection.execute(sa.select(ABOUT.c.value).where(ABOUT.c.key == "schema_version")).scalar()
    return int(found) if found else 0


def _without_password(place: str) -> str:
    try:
        return sa.make_url(place).render_as_string(hide_password=True) if "://" in place else place
    except sa.exc.ArgumentError:
        return "the given address"


def _first_line(error: Exception) -> str:
    original = getattr(error, "orig", None) or error
    return str(original).strip().splitlines()[0] if str(original).strip() else type(original).__name__


class Ledger:
    """Messages and their drafts."""

    def __init__(self, engine: sa.Engine) -> None:
        self.engine = engine

    @cached_property
    def reviews(self) -> Reviews:
        """What people did with the drafts."""
        return Reviews(self.engine)

    @cached_property
    def people(self) -> People:
        """Who may come in, and who is in."""
        return People(self.engine)

    @cached_property
    def mails(self) -> Mails:
        """Which replies were ordered, and what became of them."""
        return Mails(self.engine)

    @cached_property
    def episodes(self) -> Episodes:
        """What is planned for the show, what was aired, what was promised, and what is to be put right."""
        return Episodes(self.engine)

    @cached_property
    def grounds(self) -> Grounds:
        """Which drafts stand on what."""
        return Grounds(self.engine)

    @cached_property
    def weeks(self) -> Weeks:
        """What came in and what became of it, by week."""
        return Weeks(self.engine)

    @cached_property
    def wall(self) -> Wall:
        """The questions as cards, filtered, counted and searched."""
        return Wall(self.engine)

    def close(self) -> None:
        """Let go of the database."""
        self.engine.dispose()

    def drafted(self, keys: Sequence[str], made_with: str) -> set[str]:
        """Which of these messages already have drafts that need not be made again."""
        found: set[str] = set()
        with self.engine.connect() as connection:
            for some in in_pieces(keys):
                rows = connection.execute(
                    sa.select(DRAFTS.c.message_key, DRAFTS.c.made_with, DRAFTS.c.signed).where(
                        DRAFTS.c.message_key.in_(some)
                    )
                ).all()
                stale = {key for key, made, signed in rows if made != made_with and not signed}
                found |= {key for key, _, _ in rows} - stale
                found |= set(
                    connection.execute(
                        sa.select(MESSAGES.c.message_key).where(
                            MESSAGES.c.message_key.in_(some), MESSAGES.c.is_forgotten
                        )
                    ).scalars()
                )
        return found

    def earlier(self, besides: Iterable[str]) -> list[tuple[str, str]]:
        """Questions already kept that lead their group, as (question_id, ask), without those messages'."""
        left_out = set(besides)
        query = (
            sa.select(DRAFTS.c.question_id, DRAFTS.c.ask, DRAFTS.c.message_key)
            .where(DRAFTS.c.is_question, DRAFTS.c.leader == DRAFTS.c.question_id)
            .limit(MOST_EARLIER)
        )
        with self.engine.connect() as connection:
            rows = connection.execute(query).all()
        return [(identity, ask) for identity, ask, key in rows if key not in left_out]

    def keep(self, messages: Sequence[Message], lines: Mapping[str, Sequence[Line]], made_with: str) -> None:
        """Keep messages with their drafts in one transaction: all of them or none."""
        now = now_text()
        message_rows = [_message_row(message, now) for message in messages]
        draft_rows = [
            _draft_row(line, message_key(message), place, message, made_with)
            for message in messages
            for place, line in enumerate(lines[message_key(message)])
        ]
        keys = [row["message_key"] for row in message_rows]
        with self.engine.begin() as connection:
            if message_rows:
                connection.execute(insert_into(MESSAGES, self.engine).on_conflict_do_nothing(), message_rows)
            for some in in_pieces(keys):
                connection.execute(
                    sa.delete(DRAFTS).where(DRAFTS.c.message_key.in_(some), sa.not_(DRAFTS.c.signed))
                )
            if draft_rows:
                connection.execute(insert_into(DRAFTS, self.engine).on_conflict_do_nothing(), draft_rows)

    def lines(self, keys: Sequence[str]) -> Iterator[tuple[str, Line]]:
        """(message key, draft) in the messages' order, with how many riders asked each by now."""
        counts = self._asked_by()
        with self.engine.connect() as connection:
            for some in in_pieces(keys):
                rows = connection.execute(
                    sa.select(DRAFTS.c.message_key, DRAFTS.c.place, DRAFTS.c.leader, DRAFTS.c.line, *REVIEWED)
                    .join(REVIEWS, REVIEWS.c.question_id == DRAFTS.c.question_id, isouter=True)
                    .where(DRAFTS.c.message_key.in_(some))
                ).all()
                order = {key: number for number, key in enumerate(some)}
                for row in sorted(rows, key=lambda row: (order[row[0]], row[1])):
                    line = as_reviewed(json.loads(row.line), dict(row._mapping))
                    line["asked_by"] = max(counts.get(row.leader, 1), 1)
                    yield row.message_key, line

    def _asked_by(self) -> dict[str, int]:
        query = (
            sa.select(DRAFTS.c.leader, sa.func.count(sa.distinct(DRAFTS.c.asker)))
            .where(DRAFTS.c.is_question)
            .group_by(DRAFTS.c.leader)
        )
        with self.engine.connect() as connection:
            return {leader: int(count) for leader, count in connection.execute(query)}

    def messages(self, keys: Sequence[str]) -> dict[str, dict[str, Any]]:
        """The messages as they were kept, by key."""
        found: dict[str, dict[str, Any]] = {}
        with self.engine.connect() as connection:
            for some in in_pieces(keys):
                for row in connection.execute(sa.select(MESSAGES).where(MESSAGES.c.message_key.in_(some))):
                    found[row.message_key] = dict(row._mapping)
        return found

    def question(self, question_id: str) -> Line | None:
        """The draft of one question, or None where the ledger has no such question."""
        with self.engine.connect() as connection:
            found = connection.execute(
                sa.select(DRAFTS.c.line).where(DRAFTS.c.question_id == question_id)
            ).scalar()
        return None if found is None else json.loads(found)

    def corrections(self, question_id: str | None = None) -> list[dict[str, Any]]:
        """The last correction of each question and kind, in the order in which they were made; of one question or of all."""
        query = sa.select(CORRECTIONS).order_by(CORRECTIONS.c.correction)
        if question_id is not None:
            query = query.where(CORRECTIONS.c.question_id == question_id)
        with self.engine.connect() as connection:
            rows = [dict(row._mapping) for row in connection.execute(query)]
        return in_force(rows)

    def corrections_by_question(self) -> dict[str, list[dict[str, Any]]]:
        """The corrections in force, by question, in the order in which they were made."""
        found: dict[str, list[dict[str, Any]]] = {}
        for row in self.corrections():
            found.setdefault(str(row["question_id"]), []).append(row)
        return found

    def message_of(self, question_id: str) -> Message | None:
        """The message in which a question stands, as it was read; None where there is no such question."""
        query = (
            sa.select(MESSAGES, DRAFTS.c.line)
            .join(DRAFTS, DRAFTS.c.message_key == MESSAGES.c.message_key)
            .where(DRAFTS.c.question_id == question_id)
        )
        with self.engine.connect() as connection:
            row = connection.execute(query).one_or_none()
        return None if row is None else _message(dict(row._mapping))

    def message_row_of(self, question_id: str) -> dict[str, Any] | None:
        """The message in which a question stands, as it is kept; None where there is no such question."""
        query = (
            sa.select(MESSAGES)
            .join(DRAFTS, DRAFTS.c.message_key == MESSAGES.c.message_key)
            .where(DRAFTS.c.question_id == question_id)
        )
        with self.engine.connect() as connection:
            row = connection.execute(query).one_or_none()
        return None if row is None else dict(row._mapping)

    def corrected(self) -> list[tuple[str, str]]:
        """(ask, right label) of every question whose sorting was corrected."""
        return [
            (row["ask"], row["now"])
            for row in self.corrections()
            if row["kind"] in ("brief", "topic", "outside")
        ]

    def note(self, key: str) -> str | None:
        """What the ledger remembers of itself under a key."""
        with self.engine.connect() as connection:
            return connection.execute(sa.select(ABOUT.c.value).where(ABOUT.c.key == key)).scalar()

    def put_note(self, key: str, value: str) -> None:
        """Let the ledger remember something of itself."""
        with self.engine.begin() as connection:
            connection.execute(sa.delete(ABOUT).where(ABOUT.c.key == key))
            connection.execute(sa.insert(ABOUT).values(key=key, value=value))

    def taught(self) -> int:
        """The number of the last correction that the sorter in use has learnt; 0 before the first lesson."""
        return int(self.note("taught") or 0)

    def teach(self, correction: int) -> None:
        """Let later runs sort with what was corrected up to there."""
        self.put_note("taught", str(correction))

    def unanswered(self) -> list[Line]:
        """The drafts of questions for which no brief was found, oldest first."""
        query = (
            sa.select(DRAFTS.c.line, DRAFTS.c.leader)
            .join(MESSAGES, MESSAGES.c.message_key == DRAFTS.c.message_key)
            .where(DRAFTS.c.is_question)
            .order_by(MESSAGES.c.added, DRAFTS.c.question_id)
        )
        found: list[Line] = []
        with self.engine.connect() as connection:
            for text, _ in connection.execute(query):
                line = json.loads(text)
                if line["brief"] is None:
                    found.append(line)
        return found

    def answered(self, message_ids: Sequence[str]) -> dict[str, Line]:
        """The first answered question of each of these messages, by Message-ID: what a later mail follows up."""
        found: dict[str, Line] = {}
        with self.engine.connect() as connection:
            for some in in_pieces(message_ids):
                rows = connection.execute(
                    sa.select(MESSAGES.c.message_id, DRAFTS.c.line)
                    .join(DRAFTS, DRAFTS.c.message_key == MESSAGES.c.message_key)
                    .where(MESSAGES.c.message_id.in_(some), DRAFTS.c.is_question)
                    .order_by(DRAFTS.c.place)
                )
                for message_id, text in rows:
                    found.setdefault(message_id, json.loads(text))
        return found

    def answered_to(self, addresses: Sequence[str], besides: Sequence[str]) -> dict[str, list[Line]]:
        """The answered questions that came from each address, newest first, without those of some messages."""
        left_out = set(besides)
        found: dict[str, list[Line]] = {}
        with self.engine.connect() as connection:
            for some in in_pieces(addresses):
                rows = connection.execute(
                    sa.select(MESSAGES.c.address, MESSAGES.c.message_key, DRAFTS.c.line)
                    .join(DRAFTS, DRAFTS.c.message_key == MESSAGES.c.message_key)
                    .where(MESSAGES.c.address.in_(some), DRAFTS.c.is_question)
                    .order_by(MESSAGES.c.received.desc(), DRAFTS.c.place)
                )
                for address, key, text in rows:
                    if key not in left_out:
                        found.setdefault(address, []).append(json.loads(text))
        return found

    def counts(self) -> tuple[int, int]:
        """How many messages and drafts the ledger holds."""
        with self.engine.connect() as connection:
            messages = connection.execute(sa.select(sa.func.count()).select_from(MESSAGES)).scalar_one()
            drafts = connection.execute(sa.select(sa.func.count()).select_from(DRAFTS)).scalar_one()
        return int(messages), int(drafts)


def in_force(rows: Iterable[dict[str, Any]]) -> list[dict[str, Any]]:
    """The last word on each thing of each question; what was taken back to the reading is no correction any more."""
    last: dict[tuple[str, str], dict[str, Any]] = {}
    for row in rows:
        last.pop((row["question_id"], what_of(row)), None)
        last[(row["question_id"], what_of(row))] = row
    return [row for row in last.values() if row["kind"] != AS_READ]


def what_of(correction: Mapping[str, Any]) -> str:
    """What a correction is about: the sorting of a question, or one of its details or parts."""
    if correction["kind"] in ("detail", "part"):
        return f"{correction['kind']} {str(correction['now']).partition('=')[0]}"
    return str(correction["now"]) if correction["kind"] == AS_READ else SORTING


def correction_row(line: Line, kind: str, was: str | None, now: str) -> dict[str, Any]:
    """One correction as it is kept, with the ask that it teaches by."""
    return {
        "question_id": line["question_id"],
        "kind": kind,
        "ask": f"{line['text']} {line.get('context', '')}".strip(),
        "was": was,
        "now": now,
        "made": now_text(),
    }


def _message_row(message: Message, now: str) -> dict[str, Any]:
    return {
        "message_key": message_key(message),
        "message_id": message.message_id,
        "channel": message.channel,
        "received": message.received,
        "author": message.author,
        "rider": message.rider,
        "address": message.address,
        "subject": message.subject,
        "body": message.text,
        "in_reply_to": message.in_reply_to,
        "thread": json.dumps(list(message.references)),
        "source": f"{message.source}: {message.item}",
        "added": now,
    }


def _message(row: Mapping[str, Any]) -> Message:
    line = json.loads(row["line"])
    source, _, item = str(row["source"]).partition(": ")
    return Message(
        message_id=row["message_id"],
        channel=row["channel"],
        received=row["received"],
        author=row["author"],
        rider=row["rider"],
        address=row["address"],
        subject=row["subject"],
        text=row["body"],
        source=source,
        item=item,
        likes=int(line.get("likes") or 0),
        in_reply_to=row["in_reply_to"],
        references=tuple(json.loads(row["thread"])),
        attachments=tuple(Attachment(a["name"], a["type"], 0) for a in line.get("attachments", ())),
    )


def _draft_row(line: Line, key: str, place: int, message: Message, made_with: str) -> dict[str, Any]:
    return {
        "question_id": line["question_id"],
        "message_key": key,
        "place": place,
        "leader": line["repeats_of"] or line["question_id"],
        "asker": message.address or message.author or message.message_id,
        "is_question": line["is_question"],
        "ask": f"{line['text']} {line.get('context', '')}".strip(),
        "line": json.dumps(line, ensure_ascii=False),
        "made_with": made_with,
        "signed": False,
        "is_searchable": False,
        "is_grounded": False,
        **wall_columns(line),
    }

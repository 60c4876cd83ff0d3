"""Open a ledger, bring it to the present schema, and keep chunks of messages with their drafts."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from functools import cached_property
from pathlib import Path
from typing import Any

import orjson
import sqlalchemy as sa

from triage.ledger.asking import in_pieces, insert_into, is_postgresql
from triage.ledger.episodes import Episodes
from triage.ledger.errors import LedgerError, LostConnectionError, in_our_words
from triage.ledger.grounds import Grounds
from triage.ledger.leads import Leads, Repeats
from triage.ledger.mails import Mails
from triage.ledger.moment import now_text
from triage.ledger.people import People
from triage.ledger.reviews import REVIEWED, Reviews, as_reviewed
from triage.ledger.rows import Chunk, Line, draft_rows, message_of, message_row, with_leader
from triage.ledger.runs import Runs
from triage.ledger.schema import ABOUT, CORRECTIONS, DRAFTS, MESSAGES, REVIEWS, STEPS, VERSION
from triage.ledger.turn import ONE_WRITER, Turn
from triage.ledger.wall import Wall
from triage.ledger.weeks import Weeks
from triage.records import Message, Refusal

PATIENCE_SECONDS = 60.0
"""How long a run waits for another program that writes to the same ledger."""
SORTING, POINT, AS_READ = "sorting", "point", "as-read"
"""What a correction may be about besides a detail, and the kind that takes one back to what was read."""


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
        # Without the parameters: a rider's words have no place in an error.
        engine = sa.create_engine(address, hide_parameters=True)
        sa.event.listen(engine, "handle_error", in_our_words(_without_password(text)))
        if engine.dialect.name == "sqlite":
            Path(text.removeprefix("sqlite:///")).parent.mkdir(parents=True, exist_ok=True)
            sa.event.listen(engine, "connect", _careful)
        _upgrade(engine, text)
    except LostConnectionError as error:
        raise LedgerError(
            f"{_without_password(text)}: the ledger cannot be opened: no database answers there.\n"
            "    Is it running, and is the address right?"
        ) from error
    except (sa.exc.SQLAlchemyError, OSError, ImportError) as error:
        raise LedgerError(
            f"{_without_password(text)}: the ledger cannot be opened: {_first_line(error)}\n"
            "    Is it a ledger file, is the folder writable, is the database running?"
        ) from error
    return Ledger(engine)


def _careful(connection: Any, _record: Any) -> None:
    cursor = connection.cursor()
    # The patience comes first: even to change how the journal is written may have to wait for another program.
    for pragma in ("busy_timeout=20000", "journal_mode=WAL", "synchronous=FULL", "foreign_keys=ON"):
        cursor.execute(f"PRAGMA {pragma}")
    cursor.execute("PRAGMA cache_size=-65536")
    cursor.close()


def _upgrade(engine: sa.Engine, place: str) -> None:
    """Bring the ledger to the present schema, all the way or not at all, one program at a time."""
    with engine.connect() as connection:
        version = _version(connection)
    if version == VERSION:
        return
    with engine.begin() as connection:
        if is_postgresql(engine):
            connection.execute(sa.select(sa.func.pg_advisory_xact_lock(ONE_WRITER)))
        else:
            # The driver would begin with the first row, which is too late for changed tables.
            connection.exec_driver_sql("BEGIN IMMEDIATE")
        version = _version(connection)
        if version > VERSION:
            raise LedgerError(
                f"{_without_password(place)}: the ledger is of version {version}; this program knows up to {VERSION}.\n"
                "    Use the newer program, or another ledger with --ledger."
            )
        for step in STEPS[version:]:
            step(connection)
        connection.execute(sa.delete(ABOUT).where(ABOUT.c.key == "schema_version"))
        connection.execute(sa.insert(ABOUT).values(key="schema_version", value=str(VERSION)))


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
        self.on_wait: Callable[[str], None] = lambda _: None
        """Is told, once, when another program keeps this one waiting."""

    @cached_property
    def turn(self) -> Turn:
        """The right to write, one program at a time."""
        return Turn(self.engine, self.shown, PATIENCE_SECONDS, lambda told: self.on_wait(told))

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
        return Grounds(self.engine, self.turn)

    @cached_property
    def runs(self) -> Runs:
        """What each run met and refused."""
        return Runs(self.engine, self.turn)

    @cached_property
    def leads(self) -> Leads:
        """The questions that lead a group of repeats."""
        return Leads(self.engine, self.turn)

    @cached_property
    def weeks(self) -> Weeks:
        """What came in and what became of it, by week."""
        return Weeks(self.engine)

    @cached_property
    def wall(self) -> Wall:
        """The questions as cards, filtered, counted and searched."""
        return Wall(self.engine)

    @property
    def shown(self) -> str:
        """Where it is, as it may be told: a file's path, or an address without its password."""
        database = self.engine.url.database
        return self.engine.url.render_as_string() if is_postgresql(self.engine) else str(database)

    @property
    def address(self) -> str:
        """Where it is, as `open_ledger` takes it in another process; a password stands in it."""
        return self.engine.url.render_as_string(hide_password=False)

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

    def keep(self, messages: Sequence[Message], lines: Mapping[str, Sequence[Line]], made_with: str) -> None:
        """Keep messages with their drafts, as they are, in one transaction: all of them or none."""
        rows = [message_row(message) for message in messages]
        self.keep_chunk(Chunk(made_with, rows, draft_rows(messages, lines, made_with)))

    def keep_chunk(self, chunk: Chunk, run: int | None = None, repeats: Repeats | None = None) -> None:
        """Keep what a chunk brought in one transaction: all of it or nothing.

        Drafts that somebody signed stay as they are. `repeats` tells which questions ask the same as an earlier one;
        without it each stands as its line says. A draft that was there before finds its grounds when they are caught up,
        since those of what was signed or sent count too; a new one brings them along.
        """
        keys = [row["message_key"] for row in chunk.messages]
        with self.turn.taken() as connection:
            if run is not None:
                self.runs.keep_met(connection, run, chunk.met)
                self.runs.refuse(connection, run, chunk.refused)
            before = self._drafts_of(connection, keys)
            leaders = self.leads.leaders(connection, chunk.asked, repeats) if repeats is not None else {}
            drafts = [
                _led(row, leaders)
                | {"is_grounded": _is_new(row, before) and row["question_id"] in chunk.grounds}
                for row in chunk.drafts
            ]
            if chunk.messages:
                connection.execute(
                    insert_into(MESSAGES, self.engine).on_conflict_do_nothing(), list(chunk.messages)
                )
            corrected_since = (
                sa.select(CORRECTIONS.c.question_id)
                .where(CORRECTIONS.c.question_id == DRAFTS.c.question_id)
                .where(CORRECTIONS.c.correction > chunk.corrected_up_to)
                .exists()
            )
            for some in in_pieces(keys):
                # What somebody signed stays, and so does what was corrected after the run had read the corrections.
                mine = sa.and_(DRAFTS.c.message_key.in_(some), sa.not_(DRAFTS.c.signed))
                connection.execute(sa.delete(DRAFTS).where(mine, sa.not_(corrected_since)))
            if drafts:
                connection.execute(insert_into(DRAFTS, self.engine).on_conflict_do_nothing(), drafts)
            now = self._drafts_of(connection, keys) if before else {}
            self.reviews.drafted_anew(
                connection,
                [
                    identity
                    for identity, line in before.items()
                    if line is not None and now.get(identity) != line
                ],
            )
            self.grounds.keep_new(
                connection,
                {
                    row["question_id"]: chunk.grounds[row["question_id"]]
                    for row in drafts
                    if row["is_grounded"]
                },
            )

    @staticmethod
    def _drafts_of(connection: sa.Connection, keys: Sequence[str]) -> dict[str, str | None]:
        """The lines of the drafts that these messages have already, by question; None where nobody may change it."""
        found: dict[str, str | None] = {}
        for some in in_pieces(keys):
            query = sa.select(DRAFTS.c.question_id, DRAFTS.c.line, DRAFTS.c.signed)
            for identity, line, is_signed in connection.execute(query.where(DRAFTS.c.message_key.in_(some))):
                found[identity] = None if is_signed else line
        return found

    def note_refused(self, run: int, refusals: Sequence[Refusal]) -> None:
        """Keep what could not be read, outside of any chunk."""
        with self.turn.taken() as connection:
            self.runs.refuse(connection, run, refusals)

    def lines(self, keys: Sequence[str]) -> Iterator[tuple[str, Line]]:
        """(message key, draft) in the messages' order, with how many riders asked each by now."""
        with self.engine.connect() as connection:
            for some in in_pieces(keys):
                rows = connection.execute(
                    sa.select(DRAFTS.c.message_key, DRAFTS.c.place, DRAFTS.c.leader, DRAFTS.c.line, *REVIEWED)
                    .join(REVIEWS, REVIEWS.c.question_id == DRAFTS.c.question_id, isouter=True)
                    .where(DRAFTS.c.message_key.in_(some))
                ).all()
                counts = self.wall.asked_by(connection, {row.leader for row in rows})
                order = {key: number for number, key in enumerate(some)}
                for row in sorted(rows, key=lambda row: (order[row[0]], row[1])):
                    line = as_reviewed(orjson.loads(row.line), dict(row._mapping))
                    line["asked_by"] = max(counts.get(row.leader, 1), 1)
                    yield row.message_key, line

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

    def last_correction(self) -> int:
        """The number of the last correction; 0 where there is none."""
        with self.engine.connect() as connection:
            return int(connection.execute(sa.select(sa.func.max(CORRECTIONS.c.correction))).scalar() or 0)

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
        return None if row is None else message_of(dict(row._mapping), json.loads(row.line))

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
    """What a correction is about: the sorting of a question, what is asked within its brief, or a detail or part."""
    if correction["kind"] == POINT:
        return POINT
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


def _led(row: Mapping[str, Any], leaders: Mapping[str, str]) -> dict[str, Any]:
    leader = leaders.get(row["question_id"], row["question_id"])
    if leader == row["question_id"]:
        return dict(row)
    return {**row, "leader": leader, "line": with_leader(row["line"], leader)}


def _is_new(row: Mapping[str, Any], before: Mapping[str, str | None]) -> bool:
    return row["question_id"] not in before

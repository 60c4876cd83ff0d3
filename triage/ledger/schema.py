"""The ledger's tables, and the numbered steps that lead from one version of them to the next."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import Any

import sqlalchemy as sa

METADATA = sa.MetaData()

ABOUT = sa.Table(
    "about",
    METADATA,
    sa.Column("key", sa.String(64), primary_key=True),
    sa.Column("value", sa.Text, nullable=False),
)
MESSAGES = sa.Table(
    "messages",
    METADATA,
    sa.Column("message_key", sa.String(64), primary_key=True),
    sa.Column("message_id", sa.Text, nullable=False, index=True),
    sa.Column("channel", sa.Text, nullable=False),
    sa.Column("received", sa.Text),
    sa.Column("author", sa.Text),
    sa.Column("rider", sa.Text),
    sa.Column("address", sa.Text, index=True),
    sa.Column("subject", sa.Text),
    sa.Column("body", sa.Text, nullable=False),
    sa.Column("in_reply_to", sa.Text),
    sa.Column("thread", sa.Text, nullable=False),
    sa.Column("source", sa.Text, nullable=False),
    sa.Column("added", sa.Text, nullable=False),
    # A message whose rider wished to be forgotten keeps its key, so that the same file never brings it back.
    sa.Column("is_forgotten", sa.Boolean, nullable=False, server_default=sa.false()),
)
DRAFTS = sa.Table(
    "drafts",
    METADATA,
    sa.Column("question_id", sa.String(64), primary_key=True),
    sa.Column(
        "message_key", sa.String(64), sa.ForeignKey("messages.message_key"), nullable=False, index=True
    ),
    sa.Column("place", sa.Integer, nullable=False),
    sa.Column("leader", sa.String(64)),
    sa.Column("asker", sa.Text),
    sa.Column("is_question", sa.Boolean, nullable=False),
    sa.Column("ask", sa.Text, nullable=False),
    sa.Column("line", sa.Text, nullable=False),
    sa.Column("made_with", sa.String(96), nullable=False),
    sa.Column("signed", sa.Boolean, nullable=False, default=False),
    # What the wall is sorted and filtered by; all of it stands in `line` too.
    sa.Column("topic", sa.String(32)),
    sa.Column("brief", sa.String(96), index=True),
    sa.Column("verdict", sa.String(32)),
    sa.Column("is_safety", sa.Boolean, nullable=False, server_default=sa.false()),
    sa.Column("is_urgent", sa.Boolean, nullable=False, server_default=sa.false()),
    sa.Column("received", sa.String(40), index=True),
    # False until the search knows the present words; the desk catches up, so that a batch need not wait for it.
    sa.Column("is_searchable", sa.Boolean, nullable=False, server_default=sa.false(), index=True),
    # False until `grounds` holds what the present draft stands on; a recall catches up first.
    sa.Column("is_grounded", sa.Boolean, nullable=False, server_default=sa.false(), index=True),
    # None begins with `is_question`, which most rows share: a search by it alone would keep better indexes from use.
    sa.Index("ix_drafts_wall", "topic", "is_question", "is_urgent", "received", "question_id"),
    sa.Index("ix_drafts_groups", "leader", "is_question", "asker", "question_id", "topic", "verdict"),
)
CORRECTIONS = sa.Table(
    "corrections",
    METADATA,
    sa.Column("correction", sa.Integer, primary_key=True, autoincrement=True),
    sa.Column("question_id", sa.String(64), nullable=False, index=True),
    sa.Column("kind", sa.String(16), nullable=False),
    sa.Column("ask", sa.Text, nullable=False),
    sa.Column("was", sa.Text),
    sa.Column("now", sa.Text, nullable=False),
    sa.Column("made", sa.Text, nullable=False),
)
REVIEWS = sa.Table(
    "reviews",
    METADATA,
    sa.Column("question_id", sa.String(64), primary_key=True),
    # Counts every change, so that the second of two people to save is told of the first.
    sa.Column("version", sa.Integer, nullable=False),
    sa.Column("state", sa.String(16), nullable=False, index=True),
    sa.Column("script", sa.Text),
    sa.Column("script_seconds", sa.Float),
    sa.Column("reply", sa.Text),
    # The drafted texts that an edit began from, so that a later draft under the edit is noticed.
    sa.Column("script_from", sa.Text),
    sa.Column("reply_from", sa.Text),
    sa.Column("ticks", sa.Text, nullable=False, server_default="{}"),
    sa.Column("note", sa.Text),
    sa.Column("signed_by", sa.Text),
    sa.Column("signed_at", sa.Text),
    sa.Column("stands_on", sa.Text),
    sa.Column("lost_because", sa.Text),
    sa.Column("changed", sa.Text, nullable=False),
)
DEEDS = sa.Table(
    "deeds",
    METADATA,
    sa.Column("deed", sa.Integer, primary_key=True, autoincrement=True),
    sa.Column("question_id", sa.String(64), index=True),
    sa.Column("person", sa.Text, nullable=False),
    sa.Column("role", sa.String(16), nullable=False),
    sa.Column("kind", sa.String(24), nullable=False),
    sa.Column("what", sa.Text),
    sa.Column("was", sa.Text),
    sa.Column("now", sa.Text),
    sa.Column("why", sa.Text),
    sa.Column("takes_back", sa.Integer, index=True),
    sa.Column("made", sa.Text, nullable=False),
)
PEOPLE = sa.Table(
    "people",
    METADATA,
    sa.Column("name", sa.String(80), primary_key=True),
    sa.Column("role", sa.String(16), nullable=False),
    sa.Column("password_hash", sa.Text, nullable=False),
    sa.Column("added", sa.Text, nullable=False),
)
SESSIONS = sa.Table(
    "sessions",
    METADATA,
    sa.Column("token_digest", sa.String(64), primary_key=True),
    sa.Column("person", sa.String(80), nullable=False),
    sa.Column("role", sa.String(16), nullable=False),
    sa.Column("ends", sa.Float, nullable=False),
)
MAILS = sa.Table(
    "mails",
    METADATA,
    sa.Column("message_key", sa.String(64), primary_key=True),
    sa.Column("state", sa.String(16), nullable=False, index=True),
    sa.Column("mail_id", sa.Text, nullable=False),
    sa.Column("mail_digest", sa.String(64), nullable=False),
    sa.Column("question_ids", sa.Text, nullable=False),
    sa.Column("ordered_by", sa.Text, nullable=False),
    sa.Column("ordered", sa.Text, nullable=False),
    sa.Column("ended", sa.Text),
    sa.Column("answer", sa.Text),
)
WORDS = sa.Table(
    "words",
    METADATA,
    sa.Column("number", sa.Integer, primary_key=True, autoincrement=True),
    sa.Column("question_id", sa.String(64), nullable=False, unique=True),
    sa.Column("words", sa.Text, nullable=False),
)
GROUNDS = sa.Table(
    "grounds",
    METADATA,
    # What a kept draft stands on, such as "row brakes/fluids#dot-3-dry", with a digest of what it said then.
    sa.Column("question_id", sa.String(64), primary_key=True),
    sa.Column("ground", sa.String(160), primary_key=True, index=True),
    sa.Column("digest", sa.String(16), nullable=False),
)
EPISODES = sa.Table(
    "episodes",
    METADATA,
    sa.Column("episode", sa.Integer, primary_key=True, autoincrement=True),
    sa.Column("day", sa.String(10), nullable=False, index=True),
    sa.Column("seconds", sa.Float, nullable=False),
    sa.Column("state", sa.String(16), nullable=False),
    sa.Column("version", sa.Integer, nullable=False),
    # Which questions somebody pinned or dropped, and the notes for the show, as JSON.
    sa.Column("wishes", sa.Text, nullable=False, server_default="{}"),
    sa.Column("aired_at", sa.Text),
    sa.Column("made", sa.Text, nullable=False),
)
ITEMS = sa.Table(
    "episode_items",
    METADATA,
    sa.Column("episode", sa.Integer, sa.ForeignKey("episodes.episode"), primary_key=True),
    sa.Column("place", sa.Integer, primary_key=True),
    sa.Column("kind", sa.String(16), nullable=False),
    sa.Column("question_id", sa.String(64), index=True),
    sa.Column("put_right", sa.Integer),
    sa.Column("promise", sa.Integer),
    sa.Column("planned_seconds", sa.Float, nullable=False),
    sa.Column("aired_seconds", sa.Float),
    sa.Column("words", sa.Integer, nullable=False, server_default="0"),
    # The item as it was said: title, brief, verdict, headline, script, figures, sources.
    sa.Column("as_aired", sa.Text),
)
PROMISES = sa.Table(
    "promises",
    METADATA,
    sa.Column("promise", sa.Integer, primary_key=True, autoincrement=True),
    sa.Column("question_id", sa.String(64), nullable=False, index=True),
    sa.Column("what", sa.Text, nullable=False),
    sa.Column("due", sa.String(10)),
    sa.Column("found", sa.Text),
    sa.Column("kept_in", sa.Integer),
    sa.Column("made", sa.Text, nullable=False),
)
PUT_RIGHT = sa.Table(
    "put_right",
    METADATA,
    sa.Column("put_right", sa.Integer, primary_key=True, autoincrement=True),
    sa.Column("question_id", sa.String(64), nullable=False, index=True),
    sa.Column("wrong", sa.Text, nullable=False),
    sa.Column("right", sa.Text, nullable=False),
    sa.Column("told_by", sa.Text),
    sa.Column("aired_in", sa.Integer),
    sa.Column("made", sa.Text, nullable=False),
)
RUNS = sa.Table(
    "runs",
    METADATA,
    sa.Column("run", sa.Integer, primary_key=True, autoincrement=True),
    sa.Column("begun", sa.Text, nullable=False),
    sa.Column("ended", sa.Text),
)
MET = sa.Table(
    "met",
    METADATA,
    # Which messages a run met, in their order, so that its folder can be written without a list in memory.
    sa.Column("run", sa.Integer, primary_key=True),
    sa.Column("place", sa.Integer, primary_key=True),
    sa.Column("message_key", sa.String(64), nullable=False),
    sa.Index("ix_met_messages", "run", "message_key", unique=True),
)
REFUSED = sa.Table(
    "refused",
    METADATA,
    sa.Column("refused", sa.Integer, primary_key=True, autoincrement=True),
    sa.Column("run", sa.Integer, nullable=False, index=True),
    sa.Column("file", sa.Text, nullable=False),
    sa.Column("item", sa.Text, nullable=False),
    sa.Column("reason", sa.Text, nullable=False),
    sa.Column("remedy", sa.Text, nullable=False),
)
LEADS = sa.Table(
    "leads",
    METADATA,
    # A question that repeats none, with its words as repeats are told by.
    sa.Column("lead", sa.Integer, primary_key=True, autoincrement=False),
    sa.Column("question_id", sa.String(64), nullable=False, unique=True),
    sa.Column("words", sa.Text, nullable=False),
)
BANDS = sa.Table(
    "bands",
    METADATA,
    # Parts of a question's sketch: two questions that share some are looked at word by word.
    sa.Column("band", sa.Integer, primary_key=True, autoincrement=False),
    sa.Column("lead", sa.Integer, primary_key=True, autoincrement=False),
    sqlite_with_rowid=False,
)
OF_A_RUN = (RUNS, MET, REFUSED, LEADS, BANDS)
OF_THE_EPISODE = (GROUNDS, EPISODES, ITEMS, PROMISES, PUT_RIGHT)
OF_THE_DESK = (REVIEWS, DEEDS, PEOPLE, SESSIONS, MAILS, WORDS)
FORGETTING = "forgetting"
"""The key in `about` under which, inside one transaction, the history may be blotted for a rider's sake."""

_SQLITE_SEARCH = (
    "CREATE VIRTUAL TABLE IF NOT EXISTS words_found USING fts5("
    "words, content='words', content_rowid='number', tokenize='porter unicode61')",
    "CREATE TRIGGER IF NOT EXISTS words_in AFTER INSERT ON words BEGIN "
    "INSERT INTO words_found(rowid, words) VALUES (new.number, new.words); END",
    "CREATE TRIGGER IF NOT EXISTS words_out AFTER DELETE ON words BEGIN "
    "INSERT INTO words_found(words_found, rowid, words) VALUES ('delete', old.number, old.words); END",
    "CREATE TRIGGER IF NOT EXISTS words_over AFTER UPDATE ON words BEGIN "
    "INSERT INTO words_found(words_found, rowid, words) VALUES ('delete', old.number, old.words); "
    "INSERT INTO words_found(rowid, words) VALUES (new.number, new.words); END",
)
_POSTGRESQL_SEARCH = (
    "ALTER TABLE words ADD COLUMN IF NOT EXISTS found tsvector "
    "GENERATED ALWAYS AS (to_tsvector('english', words)) STORED",
    "CREATE INDEX IF NOT EXISTS ix_words_found ON words USING GIN (found)",
)
_SQLITE_APPEND_ONLY = (
    "CREATE TRIGGER IF NOT EXISTS deeds_stay BEFORE DELETE ON deeds BEGIN "
    "SELECT RAISE(ABORT, 'the history is only added to'); END",
    "CREATE TRIGGER IF NOT EXISTS deeds_stand BEFORE UPDATE ON deeds "
    f"WHEN NOT EXISTS (SELECT 1 FROM about WHERE key = '{FORGETTING}') BEGIN "
    "SELECT RAISE(ABORT, 'the history is only added to'); END",
)
_POSTGRESQL_APPEND_ONLY = (
    "CREATE OR REPLACE FUNCTION deeds_stand() RETURNS trigger AS $$ BEGIN "
    f"IF TG_OP = 'UPDATE' AND EXISTS (SELECT 1 FROM about WHERE key = '{FORGETTING}') THEN RETURN NEW; END IF; "
    "RAISE EXCEPTION 'the history is only added to'; END $$ LANGUAGE plpgsql",
    "DROP TRIGGER IF EXISTS deeds_stand ON deeds",
    "CREATE TRIGGER deeds_stand BEFORE UPDATE OR DELETE ON deeds FOR EACH ROW EXECUTE FUNCTION deeds_stand()",
)


def wall_columns(line: dict[str, Any]) -> dict[str, Any]:
    """What the wall is sorted and filtered by, out of a draft's line."""
    return {
        "topic": line["topic"],
        "brief": line["brief"],
        "verdict": line["verdict"],
        "is_safety": bool(line["safety"]),
        "is_urgent": "urgent" in line["flags"],
        "received": line["received"],
    }


def _first(connection: sa.Connection) -> None:
    METADATA.create_all(connection, tables=[ABOUT, MESSAGES, DRAFTS])


def _corrections(connection: sa.Connection) -> None:
    CORRECTIONS.create(connection, checkfirst=True)


def _desk(connection: sa.Connection) -> None:
    METADATA.create_all(connection, tables=list(OF_THE_DESK))
    for table in (MESSAGES, DRAFTS):
        _add_what_is_missing(connection, table)
    is_postgresql = connection.dialect.name == "postgresql"
    for statement in (
        *(_POSTGRESQL_SEARCH if is_postgresql else _SQLITE_SEARCH),
        *(_POSTGRESQL_APPEND_ONLY if is_postgresql else _SQLITE_APPEND_ONLY),
    ):
        connection.exec_driver_sql(statement)
    _fill_the_wall(connection)


def _add_what_is_missing(connection: sa.Connection, table: sa.Table) -> None:
    """Columns and indexes that a ledger made by an earlier version lacks."""
    inspector = sa.inspect(connection)
    present = {column["name"] for column in inspector.get_columns(table.name)}
    for column in table.columns:
        if column.name not in present:
            kind = column.type.compile(connection.dialect)
            rest = "" if column.nullable else " NOT NULL DEFAULT false"
            connection.exec_driver_sql(f"ALTER TABLE {table.name} ADD COLUMN {column.name} {kind}{rest}")
    for index in table.indexes:
        index.create(connection, checkfirst=True)


def _fill_the_wall(connection: sa.Connection) -> None:
    change = sa.update(DRAFTS).where(DRAFTS.c.question_id == sa.bindparam("this"))
    some = sa.select(DRAFTS.c.question_id, DRAFTS.c.line).where(DRAFTS.c.topic.is_(None)).limit(500)
    while rows := connection.execute(some).all():
        connection.execute(
            change, [{"this": identity, **wall_columns(json.loads(text))} for identity, text in rows]
        )


def _episode(connection: sa.Connection) -> None:
    METADATA.create_all(connection, tables=list(OF_THE_EPISODE))
    _add_what_is_missing(connection, DRAFTS)


def _runs(connection: sa.Connection) -> None:
    METADATA.create_all(connection, tables=list(OF_A_RUN))


STEPS: tuple[Callable[[sa.Connection], None], ...] = (_first, _corrections, _desk, _episode, _runs)
"""Step n leads from version n to version n + 1. A released step is never edited; a new one is added."""
VERSION = len(STEPS)

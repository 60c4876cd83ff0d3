"""The ledger's tables, and the numbered steps that lead from one version of them to the next."""

from __future__ import annotations

from collections.abc import Callable

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
    sa.Column("address", sa.Text),
    sa.Column("subject", sa.Text),
    sa.Column("body", sa.Text, nullable=False),
    sa.Column("in_reply_to", sa.Text),
    sa.Column("thread", sa.Text, nullable=False),
    sa.Column("source", sa.Text, nullable=False),
    sa.Column("added", sa.Text, nullable=False),
)
DRAFTS = sa.Table(
    "drafts",
    METADATA,
    sa.Column("question_id", sa.String(64), primary_key=True),
    sa.Column(
        "message_key", sa.String(64), sa.ForeignKey("messages.message_key"), nullable=False, index=True
    ),
    sa.Column("place", sa.Integer, nullable=False),
    sa.Column("leader", sa.String(64), index=True),
    sa.Column("asker", sa.Text),
    sa.Column("is_question", sa.Boolean, nullable=False),
    sa.Column("ask", sa.Text, nullable=False),
    sa.Column("line", sa.Text, nullable=False),
    sa.Column("made_with", sa.String(96), nullable=False),
    sa.Column("signed", sa.Boolean, nullable=False, default=False),
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


def _first(connection: sa.Connection) -> None:
    METADATA.create_all(connection)


def _corrections(connection: sa.Connection) -> None:
    CORRECTIONS.create(connection, checkfirst=True)


STEPS: tuple[Callable[[sa.Connection], None], ...] = (_first, _corrections)
"""Step n leads from version n to version n + 1. A released step is never edited; a new one is added."""
VERSION = len(STEPS)

"""The check of a ledger: whether everything in it agrees, from the message that came in to the reply that went out."""

from __future__ import annotations

import json
from collections import Counter, defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import Any

import sqlalchemy as sa

from triage.ledger.integrity import RESTORE, Fault, faults_of_the_database
from triage.ledger.reviews import SIGNED_STATES
from triage.ledger.rows import message_key
from triage.ledger.schema import DEEDS, DRAFTS, EPISODES, ITEMS, MAILS, MESSAGES, REVIEWS, wall_columns
from triage.ledger.store import Ledger
from triage.records import Message

PIECE = 400
MOST_TOLD = 50
"""Faults of one kind that are told one by one; all of them are counted."""
STATES = ("new", "in-hand", "returned", "signed", "sent")
MAIL_STATES = ("waiting", "going", "sent", "refused", "unclear")
_SIGNATURES = ("signed", "sign-off lost")
_CHANGES = ("edited", "corrected", "took back")
_AGAIN = "Draft the inbox that holds its message again: quillstem draft INBOX."
_LOOK = "Open the question on the desk, look at it and sign it off again."
REMEDIES = {
    "message without drafts": _AGAIN,
    "message changed": RESTORE,
    "draft without message": RESTORE,
    "draft unreadable": _AGAIN,
    "draft disagrees": _AGAIN,
    "leader gone": _AGAIN,
    "sign-off disagrees": _LOOK,
    "review unreadable": RESTORE,
    "review without history": _LOOK,
    "signed draft gone": RESTORE,
    "history disagrees": RESTORE,
    "reply disagrees": "Ask the rider or look at the mail server whether it arrived, and send nothing again before that.",
    "episode unreadable": RESTORE,
}
"""What to do about each kind of fault."""


@dataclass
class Checked:
    """What a check found: counts, by what is counted; faults, of each kind the first ones; and how many of each kind."""

    counts: dict[str, dict[str, int]] = field(default_factory=dict)
    faults: list[Fault] = field(default_factory=list)
    found: Counter[str] = field(default_factory=Counter)

    @property
    def is_sound(self) -> bool:
        """Whether nothing is wrong."""
        return not self.found

    def add(self, faults: Iterable[Fault]) -> None:
        """Count faults, and keep the first of each kind."""
        for fault in faults:
            self.found[fault.kind] += 1
            if self.found[fault.kind] <= MOST_TOLD:
                self.faults.append(fault)


OnProgress = Callable[[int, int], None]
"""Hears how much of how much is done."""


def unheard(_done: int, _total: int) -> None:
    """Hears how far something is, and does nothing."""


def check(ledger: Ledger, on_progress: OnProgress = unheard) -> Checked:
    """Hold everything in the ledger against everything else, as it stands at this moment; nothing is changed.

    `on_progress` hears how many rows of how many were looked at. The memory in use does not grow with the ledger.
    """
    with snapshot(ledger.engine) as connection:
        checked = Checked()
        total = sum(_count(connection, table) for table in (MESSAGES, DRAFTS, REVIEWS, MAILS, DEEDS))
        done = 0

        def advance(rows: int) -> None:
            nonlocal done
            done += rows
            on_progress(done, total)

        checked.add(faults_of_the_database(connection))
        checked.counts = {
            "messages": {"kept": 0, "forgotten": 0},
            "drafts": {"questions": 0, "set aside": 0},
            "questions": dict.fromkeys(STATES, 0),
            "replies": dict.fromkeys(MAIL_STATES, 0),
            "history": {"deeds": _count(connection, DEEDS)},
        }
        for look in (_messages, _drafts, _reviews, _mails, _deeds, _episodes):
            checked.add(look(connection, checked.counts, advance))
    return checked


@contextmanager
def snapshot(engine: sa.Engine) -> Iterator[sa.Connection]:
    """A connection that sees the ledger as it is at this moment, whatever others write meanwhile."""
    with engine.connect() as connection:
        if engine.dialect.name == "postgresql":
            connection = connection.execution_options(
                isolation_level="REPEATABLE READ", postgresql_readonly=True
            )
        elif not getattr(connection.connection.driver_connection, "in_transaction", False):
            # The driver begins by itself only before a change.
            connection.exec_driver_sql("BEGIN")
        yield connection


Advance = Callable[[int], None]
Counts = dict[str, dict[str, int]]


def _pieces(connection: sa.Connection, query: sa.Select[Any], advance: Advance) -> Iterator[Sequence[Any]]:
    result = connection.execution_options(yield_per=PIECE).execute(query)
    for rows in result.partitions():
        yield rows
        advance(len(rows))


def _count(connection: sa.Connection, table: sa.Table) -> int:
    return int(connection.execute(sa.select(sa.func.count()).select_from(table)).scalar_one())


def _fault(kind: str, where: str, told: str) -> Fault:
    return Fault(kind, where, told, REMEDIES[kind])


def _json(text: str | None, kind: type) -> Any:
    """What a column holds as JSON; None where it is not, or of another kind."""
    try:
        found = json.loads(text or "")
    except ValueError:
        return None
    return found if isinstance(found, kind) else None


# ---- messages ------------------------------------------------------------------------------------------


def _messages(connection: sa.Connection, counts: Counts, advance: Advance) -> Iterator[Fault]:
    drafted = sa.select(DRAFTS.c.question_id).where(DRAFTS.c.message_key == MESSAGES.c.message_key).exists()
    query = sa.select(MESSAGES, drafted.label("is_drafted"))
    for rows in _pieces(connection, query, advance):
        for row in rows:
            counts["messages"]["forgotten" if row.is_forgotten else "kept"] += 1
            where = f"message {row.message_key}"
            if not row.is_drafted and not row.is_forgotten:
                yield _fault("message without drafts", where, f"came from {row.source} and was never drafted")
            if not row.is_forgotten and _key_of(row) != row.message_key:
                yield _fault(
                    "message changed", where, "its id and text are no longer what its key was made of"
                )
            if _json(row.thread, list) is None:
                yield _fault("message changed", where, "the thread that it belongs to can't be read")


def _key_of(row: Any) -> str:
    return message_key(Message(row.message_id, row.channel, None, None, None, None, None, row.body, "", ""))


# ---- drafts --------------------------------------------------------------------------------------------


def _drafts(connection: sa.Connection, counts: Counts, advance: Advance) -> Iterator[Fault]:
    leaders = DRAFTS.alias("leaders")
    query = (
        sa.select(
            DRAFTS,
            MESSAGES.c.message_key.label("of_message"),
            MESSAGES.c.message_id,
            leaders.c.question_id.label("of_leader"),
            REVIEWS.c.state,
        )
        .join(MESSAGES, MESSAGES.c.message_key == DRAFTS.c.message_key, isouter=True)
        .join(leaders, leaders.c.question_id == DRAFTS.c.leader, isouter=True)
        .join(REVIEWS, REVIEWS.c.question_id == DRAFTS.c.question_id, isouter=True)
    )
    for rows in _pieces(connection, query, advance):
        for row in rows:
            counts["drafts"]["questions" if row.is_question else "set aside"] += 1
            state = row.state or "new"
            if row.is_question and state in counts["questions"]:
                counts["questions"][state] += 1
            yield from _draft(row._mapping)


def _draft(row: Mapping[str, Any]) -> Iterator[Fault]:
    where = f"question {row['question_id']}"
    if row["of_message"] is None:
        yield _fault("draft without message", where, f"the message {row['message_key']} is not there")
    if row["of_leader"] is None:
        yield _fault("leader gone", where, f"repeats {row['leader']}, which is not there")
    is_signed = row["state"] in SIGNED_STATES
    if bool(row["signed"]) != is_signed:
        told = (
            "is marked as signed and its review is not"
            if row["signed"]
            else "its review is signed and it is not"
        )
        yield _fault("sign-off disagrees", where, told)
    line = _json(row["line"], dict)
    try:
        expected = {} if line is None else _columns_of(line)
    except (LookupError, TypeError, AttributeError):
        line = None
    if line is None:
        yield _fault("draft unreadable", where, "its line is no JSON object with the keys of a draft")
        return
    if row["of_message"] is not None:
        expected["message_id"] = line.get("message_id", row["message_id"])
    other = [name for name, value in expected.items() if row[name] != value]
    if other:
        yield _fault(
            "draft disagrees", where, f"line and columns say different things of: {', '.join(other)}"
        )


def _columns_of(line: dict[str, Any]) -> dict[str, Any]:
    return {
        "question_id": line["question_id"],
        "leader": line["repeats_of"] or line["question_id"],
        "is_question": bool(line["is_question"]),
        "ask": f"{line['text']} {line.get('context', '')}".strip(),
        **wall_columns(line),
    }


# ---- reviews -------------------------------------------------------------------------------------------


def _reviews(connection: sa.Connection, _counts: Counts, advance: Advance) -> Iterator[Fault]:
    query = sa.select(
        REVIEWS.c.question_id,
        REVIEWS.c.version,
        REVIEWS.c.state,
        REVIEWS.c.ticks,
        REVIEWS.c.stands_on,
        REVIEWS.c.signed_by,
        DRAFTS.c.question_id.label("of_draft"),
        MAILS.c.state.label("mail"),
    ).select_from(
        REVIEWS.join(DRAFTS, DRAFTS.c.question_id == REVIEWS.c.question_id, isouter=True).join(
            MAILS, MAILS.c.message_key == DRAFTS.c.message_key, isouter=True
        )
    )
    for rows in _pieces(connection, query, advance):
        kinds = _kinds(connection, [row.question_id for row in rows])
        for row in rows:
            yield from _review(row, kinds.get(row.question_id, []))


def _kinds(connection: sa.Connection, ids: Sequence[str]) -> dict[str, list[str]]:
    """The kinds of what was done to each question, in order."""
    found: dict[str, list[str]] = defaultdict(list)
    query = (
        sa.select(DEEDS.c.question_id, DEEDS.c.kind)
        .where(DEEDS.c.question_id.in_(ids))
        .order_by(DEEDS.c.deed)
    )
    for identity, kind in connection.execute(query):
        found[identity].append(kind)
    return found


def _review(row: Any, kinds: Sequence[str]) -> Iterator[Fault]:
    where = f"question {row.question_id}"
    if row.state not in STATES:
        yield _fault("review unreadable", where, f"no review has the state {row.state}")
    if _json(row.ticks, dict) is None or (row.stands_on and _json(row.stands_on, dict) is None):
        yield _fault("review unreadable", where, "its ticks or what it stands on can't be read")
    if not kinds:
        yield _fault(
            "review without history", where, f"was changed {row.version} times, and nothing tells by whom"
        )
        return
    is_signed = row.state in SIGNED_STATES
    signatures = [place for place, kind in enumerate(kinds) if kind in _SIGNATURES]
    is_signed_there = bool(signatures) and kinds[signatures[-1]] == "signed"
    if is_signed != is_signed_there:
        told = (
            "is signed, and the history does not say so" if is_signed else "lost its sign-off without a word"
        )
        yield _fault("sign-off disagrees", where, told)
    elif is_signed and (any(kind in _CHANGES for kind in kinds[signatures[-1] :]) or not row.signed_by):
        yield _fault("sign-off disagrees", where, "was changed after it was signed, or nobody signed it")
    if is_signed and row.of_draft is None:
        yield _fault("signed draft gone", where, "is signed off and has no draft any more")
    if row.state == "sent" and row.of_draft is not None and row.mail != "sent":
        yield _fault("reply disagrees", where, f"counts as sent, and its mail is {row.mail or 'not there'}")


# ---- replies and history -------------------------------------------------------------------------------


def _mails(connection: sa.Connection, counts: Counts, advance: Advance) -> Iterator[Fault]:
    query = sa.select(MAILS, MESSAGES.c.message_key.label("of_message")).join(
        MESSAGES, MESSAGES.c.message_key == MAILS.c.message_key, isouter=True
    )
    for rows in _pieces(connection, query, advance):
        answers = {row.message_key: _json(row.question_ids, list) or [] for row in rows}
        ids = sorted({one for some in answers.values() for one in some})
        homes, sent = _homes(connection, ids), _times_sent(connection, ids)
        for row in rows:
            counts["replies"][row.state] = counts["replies"].get(row.state, 0) + 1
            yield from _mail(row, answers[row.message_key], homes, sent)


def _mail(row: Any, ids: Sequence[str], homes: Mapping[str, str], sent: Mapping[str, int]) -> Iterator[Fault]:
    where = f"reply to message {row.message_key}"
    if row.of_message is None:
        yield _fault("reply disagrees", where, "the message is not there")
    if row.state not in MAIL_STATES:
        yield _fault("reply disagrees", where, f"no reply has the state {row.state}")
    if not ids:
        yield _fault("reply disagrees", where, "which questions it answers can't be read")
    for one in ids:
        if homes.get(one, row.message_key) != row.message_key:
            yield _fault("reply disagrees", where, f"answers {one}, which another message asks")
        times = sent.get(one, 0)
        if times > 1:
            yield _fault("reply disagrees", where, f"the history says that {one} was sent {times} times")
        elif (times == 1) != (row.state == "sent"):
            said = "was sent" if times else "was not sent"
            yield _fault("reply disagrees", where, f"is {row.state}, and the history says that {one} {said}")


def _homes(connection: sa.Connection, ids: Sequence[str]) -> dict[str, str]:
    found: dict[str, str] = {}
    for start in range(0, len(ids), PIECE):
        some = ids[start : start + PIECE]
        query = sa.select(DRAFTS.c.question_id, DRAFTS.c.message_key).where(DRAFTS.c.question_id.in_(some))
        found |= {row.question_id: row.message_key for row in connection.execute(query)}
    return found


def _times_sent(connection: sa.Connection, ids: Sequence[str]) -> dict[str, int]:
    found: dict[str, int] = {}
    for start in range(0, len(ids), PIECE):
        query = (
            sa.select(DEEDS.c.question_id, sa.func.count())
            .where(DEEDS.c.question_id.in_(ids[start : start + PIECE]), DEEDS.c.kind == "sent")
            .group_by(DEEDS.c.question_id)
        )
        found |= {identity: int(count) for identity, count in connection.execute(query)}
    return found


def _deeds(connection: sa.Connection, _counts: Counts, advance: Advance) -> Iterator[Fault]:
    undone = DEEDS.alias("undone")
    query = (
        sa.select(
            DEEDS.c.deed, DEEDS.c.question_id, DEEDS.c.takes_back, undone.c.question_id.label("of_undone"),
            undone.c.deed.label("undone"),
        )
        .join(undone, undone.c.deed == DEEDS.c.takes_back, isouter=True)
    )  # fmt: skip
    for rows in _pieces(connection, query, advance):
        for row in rows:
            if row.takes_back is None:
                continue
            if row.undone is None or row.undone >= row.deed or row.of_undone != row.question_id:
                yield _fault(
                    "history disagrees",
                    f"step {row.deed}",
                    f"takes back step {row.takes_back}, which is not there or of another question",
                )


def _episodes(connection: sa.Connection, _counts: Counts, _advance: Advance) -> Iterator[Fault]:
    for number, wishes in connection.execute(sa.select(EPISODES.c.episode, EPISODES.c.wishes)):
        if _json(wishes, dict) is None:
            yield _fault("episode unreadable", f"episode {number}", "what was wished for it can't be read")
    query = sa.select(ITEMS.c.episode, ITEMS.c.place, ITEMS.c.as_aired).where(ITEMS.c.as_aired.is_not(None))
    for rows in _pieces(connection, query, lambda _: None):
        for row in rows:
            if _json(row.as_aired, dict) is None:
                told = f"what was said in place {row.place} can't be read"
                yield _fault("episode unreadable", f"episode {row.episode}", told)

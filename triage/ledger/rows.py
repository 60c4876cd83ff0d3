"""Messages and drafts as rows of the ledger, and back: made by whoever worked them out, so that the one writer only writes."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

import orjson

from triage.ledger.moment import now_text
from triage.ledger.schema import wall_columns
from triage.records import Attachment, Message, Refusal

Line = dict[str, Any]
Row = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Asked:
    """A question as repeats of it are told: its words, and the bands of their sketch."""

    question_id: str
    words: str
    bands: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Chunk:
    """Some messages worked out: the rows to keep, what each draft stands on, and what could not be drafted.

    `met` are the places and keys of all messages that were read, those kept before among them. `corrected_up_to` is the
    number of the last correction that the drafts were made with.
    """

    made_with: str
    messages: Sequence[Row]
    drafts: Sequence[Row]
    asked: Sequence[Asked] = ()
    grounds: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    refused: Sequence[Refusal] = ()
    met: Sequence[tuple[int, str]] = ()
    corrected_up_to: int = (1 << 31) - 1


def message_key(message: Message) -> str:
    """What makes a message the same one: its id and its words, so that a reused id hides nothing."""
    return hashlib.sha256(f"{message.message_id}\0{message.text}".encode()).hexdigest()[:32]


def line_text(line: Mapping[str, Any]) -> str:
    """A draft's line as it is kept and written out: JSON in UTF-8, its keys in their order."""
    return orjson.dumps(line, option=orjson.OPT_SERIALIZE_NUMPY).decode()


def message_row(message: Message) -> Row:
    """A message as a row; when it was added is left to the one who keeps it."""
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
        "added": now_text(),
    }


def message_of(row: Mapping[str, Any], line: Mapping[str, Any]) -> Message:
    """A kept message as it was read; likes and attachments stand in the lines of its drafts."""
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


def ask_of(line: Mapping[str, Any]) -> str:
    """What repeats are told by: the ask with the story around it, since the figures may stand in either."""
    return f"{line['text']} {line.get('context', '')}".strip()


def draft_row(line: Line, key: str, place: int, message: Message, made_with: str) -> Row:
    """A draft as a row, the `place`-th of its message."""
    return {
        "question_id": line["question_id"],
        "message_key": key,
        "place": place,
        "leader": line["repeats_of"] or line["question_id"],
        "asker": message.address or message.author or message.message_id,
        "is_question": line["is_question"],
        "ask": ask_of(line),
        "line": line_text(line),
        "made_with": made_with,
        "signed": False,
        "is_searchable": False,
        "is_grounded": False,
        **wall_columns(line),
    }


def draft_rows(messages: Sequence[Message], lines: Mapping[str, Sequence[Line]], made_with: str) -> list[Row]:
    """The drafts of some messages, given by message key, as rows."""
    return [
        draft_row(line, key, place, message, made_with)
        for message in messages
        for key in [message_key(message)]
        for place, line in enumerate(lines.get(key, ()))
    ]


def with_leader(line: str, leader: str) -> str:
    """A line that is known now to repeat an earlier question.

    Inside a text of JSON no bare quotation mark can stand, so the key is found nowhere else.

    >>> with_leader('{"text":"x","repeats_of":null,"asked_by":1}', "q1")
    '{"text":"x","repeats_of":"q1","asked_by":1}'
    """
    return line.replace('"repeats_of":null', f'"repeats_of":{json.dumps(leader)}', 1)

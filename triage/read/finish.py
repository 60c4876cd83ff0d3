"""The last step that every reader shares: clean fields, a digest where there is no id, a first name."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass

from triage.read.bounds import (
    LARGEST_LIKES,
    LONGEST_ID_CHARACTERS,
    LONGEST_NAME_CHARACTERS,
    LONGEST_SUBJECT_CHARACTERS,
    LONGEST_TEXT_CHARACTERS,
)
from triage.read.names import first_name, from_address, from_sign_off
from triage.read.text import clean, one_line
from triage.records import Attachment, Message


@dataclass(frozen=True, slots=True)
class Found:
    """What a reader found of one message, as it stood."""

    text: str
    source: str
    item: str
    channel: str
    identity: str | None = None
    received: str | None = None
    author: str | None = None
    address: str | None = None
    subject: str | None = None
    likes: str | int | None = None
    in_reply_to: str | None = None
    references: tuple[str, ...] = ()
    attachments: tuple[Attachment, ...] = ()
    flags: tuple[str, ...] = ()


def finished(found: Found) -> Message:
    """The message, fit for every stage: nothing in it that a file, page, heading or database refuses."""
    text = clean(found.text).strip()
    flags = list(found.flags)
    if len(text) > LONGEST_TEXT_CHARACTERS:
        text = text[:LONGEST_TEXT_CHARACTERS].rstrip()
        flags.append("cut-short")
    author = one_line(found.author, LONGEST_NAME_CHARACTERS) if found.author else None
    rider = first_name(author) if author else None
    if rider is None:
        rider = from_sign_off(text) or from_address(found.address)
    subject = one_line(found.subject, LONGEST_SUBJECT_CHARACTERS) if found.subject else None
    identity = one_line(found.identity, LONGEST_ID_CHARACTERS) if found.identity else None
    return Message(
        message_id=identity or digest(found, text),
        channel=one_line(found.channel, 40) or "comment",
        received=found.received,
        author=author or None,
        rider=rider,
        address=one_line(found.address, LONGEST_NAME_CHARACTERS) if found.address else None,
        subject=subject or None,
        text=text,
        source=found.source,
        item=found.item,
        likes=count_of(found.likes),
        in_reply_to=one_line(found.in_reply_to or "", LONGEST_ID_CHARACTERS) or None,
        references=tuple(one_line(earlier, LONGEST_ID_CHARACTERS) for earlier in found.references),
        attachments=found.attachments,
        flags=tuple(dict.fromkeys(flags)),
    )


def digest(found: Found, text: str) -> str:
    """An id made of what the message says, the same on every run."""
    said = "\0".join((found.author or "", found.received or "", found.subject or "", text))
    return f"sha256:{hashlib.sha256(said.encode('utf-8', 'replace')).hexdigest()[:32]}"


def count_of(likes: str | int | None) -> int:
    """A count of likes; anything that is none counts as nought.

    >>> count_of("1,204"), count_of("9" * 5000), count_of("many"), count_of(-3)
    (1204, 0, 0, 0)
    """
    if isinstance(likes, bool) or likes is None:
        return 0
    if isinstance(likes, str):
        figures = likes.strip().replace(",", "").replace(" ", "").removesuffix(".0")
        if not figures.isascii() or not figures.isdigit() or len(figures) > 13:
            return 0
        likes = int(figures)
    return likes if 0 <= likes <= LARGEST_LIKES else 0

"""Replies as unsent mails: threaded to the rider's message, headings free of anything smuggled in."""

from __future__ import annotations

import json
import quopri
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from email.header import Header
from email.headerregistry import Address
from email.message import EmailMessage
from email.policy import SMTP, SMTPUTF8
from email.utils import format_datetime, formataddr
from functools import lru_cache
from typing import Any

from dateutil.parser import isoparse

Line = Mapping[str, Any]
DESK_NAME = "Workshop desk"
DESK_ADDRESS = "desk@show.invalid"
_UNSAFE = re.compile(r"[\x00-\x1f\x7f\u2028\u2029]+")
ENCODED_WORD = "=?"
"""How an encoded word begins (RFC 2047)."""
LONGEST_SUBJECT = 150
SOURCES = "Figures from: "
"""How the paragraph of sources begins in a drafted reply."""


@dataclass(frozen=True, slots=True)
class Sender:
    """Whom replies come from: a name, and a plain ASCII address."""

    name: str = DESK_NAME
    address: str = DESK_ADDRESS

    @property
    def domain(self) -> str:
        """What stands after the @ of the address."""
        return self.address.rpartition("@")[2]

    def __str__(self) -> str:
        return f"{self.name} <{self.address}>" if self.name else self.address


def reply_mail(
    lines: Sequence[Line],
    message: Mapping[str, Any],
    sender: Sender = Sender(),
    *,
    is_signed: bool = False,
    is_for_any_address: bool = False,
) -> EmailMessage:
    """One mail that answers every ask of one message; X-Unsent keeps mail programs from sending it by themselves.

    `is_signed` marks it as signed off. With `is_for_any_address` an address beyond ASCII is kept too, and the mail is
    then written in UTF-8 (RFC 6532); without it such a mail has no recipient and stays ASCII.
    """
    recipient = recipient_of(message["address"], message["author"], is_for_any_address)
    is_beyond_ascii = is_for_any_address and recipient is not None and not recipient.addr_spec.isascii()
    mail = EmailMessage(policy=SMTPUTF8 if is_beyond_ascii else SMTP)
    for name, value in _headings(lines, message, sender, recipient, is_signed):
        mail[name] = value
    mail.set_content(combined(lines), cte="quoted-printable")
    return mail


def reply_bytes(lines: Sequence[Line], message: Mapping[str, Any], *, is_signed: bool = False) -> bytes:
    """The same mail as a file of ASCII with plain line ends, ten times as fast: only headings that need it are folded."""
    recipient = recipient_of(message["address"], message["author"], False)
    headings = [
        f"{name}: {_encoded(name, value)}"
        for name, value in _headings(lines, message, Sender(), recipient, is_signed)
    ]
    body = quopri.encodestring(f"{combined(lines)}\n".encode())
    return "\n".join([*headings, *_OF_THE_BODY, "", ""]).encode("ascii") + body


_OF_THE_BODY = (
    'Content-Type: text/plain; charset="utf-8"',
    "Content-Transfer-Encoding: quoted-printable",
    "MIME-Version: 1.0",
)
LONGEST_HEADING_LINE = 76


def _encoded(name: str, value: str | Address) -> str:
    text = value if isinstance(value, str) else formataddr((value.display_name, value.addr_spec))
    if text.isascii() and len(name) + 2 + len(text) <= LONGEST_HEADING_LINE:
        return text
    charset = "us-ascii" if text.isascii() else "utf-8"
    return Header(text, charset, LONGEST_HEADING_LINE, name).encode()


def _headings(
    lines: Sequence[Line],
    message: Mapping[str, Any],
    sender: Sender,
    recipient: Address | None,
    is_signed: bool,
) -> Iterator[tuple[str, str | Address]]:
    yield "From", _address_of(sender)
    if recipient is not None:
        yield "To", recipient
    subject = _clean(message["subject"] or lines[0]["title"] or "your question")
    subject = subject if subject.lower().startswith("re:") else f"Re: {subject}"
    yield "Subject", subject[:LONGEST_SUBJECT].rstrip()
    if message["received"]:
        yield "Date", format_datetime(isoparse(message["received"]))
    yield "Message-ID", f"<{lines[0]['question_id']}@quillstem.invalid>"
    if message["channel"] == "mail" and _is_id(message["message_id"]):
        yield "In-Reply-To", f"<{message['message_id']}>"
        earlier = [one for one in json.loads(message["thread"]) if _is_id(one)]
        yield "References", " ".join(f"<{one}>" for one in [*earlier[-20:], message["message_id"]])
    yield "X-Unsent", "1"
    yield "X-Quillstem-Draft", "signed" if is_signed else "unsigned"


@lru_cache(maxsize=16)
def _address_of(sender: Sender) -> Address:
    return Address(sender.name, addr_spec=sender.address)


def combined(lines: Sequence[Line]) -> str:
    """The reply's text; several asks of one message share one greeting, one close and one list of sources.

    Only what was drafted as greeting, close or sources is put together, and that several of them wait for a person is said
    once; whatever a person wrote stays where it stands.
    """
    if len(lines) == 1:
        return str(lines[0]["reply"])
    waiting = [line for line in lines if _waits(line)]
    together = waiting if len(waiting) > 1 else []
    bodies: list[str] = []
    for line in lines:
        if line not in together:
            bodies += [f"You asked: {_quoted(line)}", *_own_paragraphs(line)]
    if together:
        said = [one for line in together for one in _own_paragraphs(line) if one not in line["reply_frame"]]
        says_so, *helps = together[0]["reply_frame"][_WAITS:]
        bodies.append(f"You asked: {', and: '.join(map(_quoted, together))}")
        bodies += [says_so, *dict.fromkeys(said), *(one for one in helps if _holds(together[0], one))]
    framed = [line for line in lines if line.get("reply_frame")]
    greeting = [line["reply_frame"][0] for line in framed if _holds(line, line["reply_frame"][0])][:1]
    close = [line["reply_frame"][1] for line in framed if _holds(line, line["reply_frame"][1])][-1:]
    sources = [one for line in lines for one in _paragraphs(line) if one.startswith(SOURCES)]
    return "\n\n".join([*greeting, *bodies, *close, *dict.fromkeys(sources)])


_WAITS = 2
"""Where in its frame stands that a person has to answer; behind it, what helps meanwhile."""


def _waits(line: Line) -> bool:
    """Whether it is a reply as drafted to somebody who waits for a person."""
    frame = line.get("reply_frame") or ()
    return len(frame) > _WAITS and _holds(line, frame[_WAITS])


def _quoted(line: Line) -> str:
    return f"“{' '.join(str(line['text']).split())}”"


def _paragraphs(line: Line) -> list[str]:
    return str(line["reply"]).split("\n\n")


def _holds(line: Line, paragraph: str) -> bool:
    return paragraph in _paragraphs(line)


def _own_paragraphs(line: Line) -> list[str]:
    """Those that no other ask of the message shares."""
    shared = (line.get("reply_frame") or ())[:_WAITS]
    return [one for one in _paragraphs(line) if one not in shared and not one.startswith(SOURCES)]


def recipient_of(written: str | None, author: str | None, is_for_any_address: bool) -> Address | None:
    """The address to which a mail can go; None where there is none, or, but for any, where it is beyond ASCII."""
    written, author = _clean(written or ""), _clean(author or "")
    if not re.fullmatch(r"[^\s@<>,;:\"]+@[^\s@<>,;:\"]+", written):
        return None
    try:
        if is_for_any_address and not written.isascii():
            # Given in two parts, because the library takes no local part beyond ASCII in one piece.
            username, _, domain = written.partition("@")
            return Address(author, username, domain)
        return Address(author, addr_spec=written)
    except (ValueError, IndexError):
        return None
    except Exception:  # the address parser of the library raises its own kinds on hostile text
        return None


def _is_id(text: str) -> bool:
    return (
        ENCODED_WORD not in text
        and bool(re.fullmatch(r"[^\s<>@]{1,400}@[^\s<>@]{1,400}", text))
        and text.isascii()
    )


def _clean(text: str) -> str:
    # The library would decode an encoded word that a rider wrote out, line breaks and all, into the heading itself.
    return " ".join(_UNSAFE.sub(" ", text).replace(ENCODED_WORD, "= ?").split())

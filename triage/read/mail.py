"""One mail's bytes to a message: the rider's own words, whatever the sender's program made of them."""

from __future__ import annotations

import re
from codecs import BOM_UTF8
from collections.abc import Iterator
from email.errors import MessageError
from email.feedparser import BytesFeedParser
from email.message import Message as Mail
from email.policy import Compat32
from itertools import islice

from triage.read.bounds import (
    DEEPEST_MIME_NESTING,
    LARGEST_MAIL_BYTES,
    LONGEST_BODY_CHARACTERS,
    LONGEST_HEADER_CHARACTERS,
    LONGEST_ID_CHARACTERS,
    LONGEST_LINE_BYTES,
    LONGEST_NAME_CHARACTERS,
    LONGEST_SUBJECT_CHARACTERS,
    MOST_ATTACHMENTS,
    MOST_HEADERS,
    MOST_LINES_TIMES_NESTING,
    MOST_MAIL_LINES,
    MOST_MIME_PARTS,
    MOST_REFERENCES,
)
from triage.read.dates import mail_date
from triage.read.finish import Found, finished
from triage.read.html import html_to_text, is_cut
from triage.read.quotes import own_words
from triage.read.text import clean, decode, decode_header, one_line
from triage.records import Attachment, Message, Refusal


class _AsWritten(Compat32):
    """Headers as they stand: bare bytes kept for `decode_header`, and none long enough to stall its readers."""

    def header_source_parse(self, sourcelines: list[str]) -> tuple[str, str]:
        """Name and value, the value no longer than is read."""
        name, value = super().header_source_parse(sourcelines)
        return name, value[:LONGEST_HEADER_CHARACTERS]

    def header_fetch_parse(self, name: str, value: str) -> str:  # noqa: ARG002 - the parser names it
        """The value, where the usual policy would blot out bare bytes."""
        return value


class _Part(Mail):
    """A part that keeps only so many headers."""

    _kept = 0

    def set_raw(self, name: str, value: str) -> None:
        """Keep a header as the parser found it."""
        if self._kept < MOST_HEADERS:
            super().set_raw(name, value)
            self._kept += 1


_AS_WRITTEN = _AsWritten()
PIECE_BYTES = 65_536
MOST_BODY_BYTES = 4 * LONGEST_BODY_CHARACTERS + 4
"""What a body of the most characters that are looked at can take, and one more to show that it is longer. [bytes]"""
_ID = re.compile(rf"<([^<>\s]{{1,{LONGEST_ID_CHARACTERS}}})>")
_IN_ANGLES = re.compile(r"<\s*([^<>\s@]{1,200}@[^<>\s@]{1,200})\s*>")
_BARE_ADDRESS = re.compile(r"([^<>\s@,;:\"()]{1,200}@[^<>\s@,;:\"()]{1,200})")
_NAME_OR_COMMENT = re.compile(r'"(?:[^"\\]|\\.){0,1000}"|=\?[^?\s]{1,40}\?[bBqQ]\?[^?]{0,1000}\?=')
_QUOTED_NAME = re.compile(r'^\s*"((?:[^"\\]|\\.){1,1000})"\s*<')
_ABSENCE = re.compile(
    r"^\W*(?:auto(?:matic|mated)?[\s-]*(?:reply|response|antwort)|out of (?:the )?office|abwesenheit|automatische antwort|"
    r"réponse automatique|absence du bureau|respuesta automática|fuera de la oficina|risposta automatica|"
    r"automatisch antwoord|afwezigheid|autosvar|resposta automática|automatická odpověď|автоответ|"
    r"i(?:'m| am) (?:currently |now )?away (?:until|from (?:the|my) (?:desk|office|mail)))",
    re.IGNORECASE,
)
_BOUNCE_SENDER = re.compile(r"\b(?:mailer-daemon|postmaster)@|^<>$", re.IGNORECASE)
_BOUNCE_SUBJECT = re.compile(
    r"^\W*(?:undeliver(?:ed|able)|delivery (?:status notification|failure|has failed)|mail delivery (?:failed|subsystem)|"
    r"returned mail|failure notice|unzustellbar)",
    re.IGNORECASE,
)
_REPLY_SUBJECT = re.compile(
    r"^(?:re|aw|sv|antw|rv|res|vs|odp|ynt|rif|ref|vá)\s?(?:\[\d{1,3}\])?\s?:", re.IGNORECASE
)


class TooDeepError(Exception):
    """A mail with more parts, or deeper ones, than is read."""


def read_mail(data: bytes, source: str, item: str) -> Message | Refusal:
    """The message of a mail's bytes, or why it was refused."""
    data = data.removeprefix(BOM_UTF8)
    is_cut_short = len(data) > LARGEST_MAIL_BYTES
    data = data[:LARGEST_MAIL_BYTES].lstrip(b"\r\n")
    if _is_too_deep(data):
        return _too_deep(source, item)
    try:
        mail, is_whole = _parsed(data)
        del data
        return _message(mail, source, item, ["cut-short"] if is_cut_short or not is_whole else [])
    except (TooDeepError, RecursionError):
        return _too_deep(source, item)
    except (MessageError, LookupError, ValueError, TypeError, AttributeError) as fault:
        return Refusal(
            source,
            item,
            one_line(f"not readable as a mail: {fault}", 300),
            "Ask the sender to write again, or paste it as a note.",
        )


def _parsed(data: bytes) -> tuple[Mail, bool]:
    """The mail's parts, and whether all of its lines were read.

    Given piece by piece, the mail is never whole in the parser's hands, where it would take several times its size.
    """
    parser = BytesFeedParser(_factory=_Part, policy=_AS_WRITTEN)
    lines = length = 0
    for start in range(0, len(data), PIECE_BYTES):
        piece = data[start : start + PIECE_BYTES]
        found = _line_count(piece)
        lines += found
        if lines > MOST_MAIL_LINES:
            return parser.close(), False
        length = len(piece) - max(piece.rfind(b"\n"), piece.rfind(b"\r")) if found else length + len(piece)
        parser.feed(piece)
        if length >= LONGEST_LINE_BYTES:
            parser.feed(b"\n ")
            length = 0
    return parser.close(), True


def _line_count(data: bytes) -> int:
    return data.count(b"\n") + data.count(b"\r") - data.count(b"\r\n")


def _is_too_deep(data: bytes) -> bool:
    """Whether the parser would take too long over a mail's parts."""
    lowered = data.lower()
    nesting = lowered.count(b"multipart/")
    return (
        data.count(b"\n--") + data.count(b"\r--") > 4 * MOST_MIME_PARTS
        or max(nesting, lowered.count(b"message/rfc822")) > MOST_MIME_PARTS
        or (nesting > 20 and nesting * _line_count(data) > MOST_LINES_TIMES_NESTING)
    )


def _message(mail: Mail, source: str, item: str, flags: list[str]) -> Message | Refusal:
    plain, html, attachments = _bodies(mail)
    subject = decode_header(_header(mail, "Subject"))
    is_reply = mail["In-Reply-To"] is not None or _REPLY_SUBJECT.match(subject) is not None
    text = plain if plain.strip() else html_to_text(clean(html))
    if not plain.strip() and is_cut(html):
        flags.append("cut-short")
    if len(text) > LONGEST_BODY_CHARACTERS:
        text = text[:LONGEST_BODY_CHARACTERS]
        flags.append("cut-short")
    words = own_words(clean(text), is_reply=is_reply)
    if words.forwarded:
        flags.append("forwarded")
    flags += _flags(mail, subject)
    author = decode_header(_header(mail, "From"))
    body = words.text.strip()
    if not body and not one_line(subject, LONGEST_SUBJECT_CHARACTERS):
        return Refusal(
            source,
            item,
            "the mail has no text and no subject",
            "Open it by hand: it may hold only a picture.",
        )
    identity = _ID.search(_header(mail, "Message-ID"))
    replied = _ID.search(_header(mail, "In-Reply-To"))
    return finished(
        Found(
            text=body,
            source=source,
            item=item,
            channel="mail",
            identity=identity[1] if identity else None,
            received=mail_date(_header(mail, "Date")),
            author=_display_name(author),
            address=_address(_header(mail, "Reply-To")) or _address(_header(mail, "From")),
            subject=subject,
            in_reply_to=one_line(replied[1], LONGEST_ID_CHARACTERS) if replied else None,
            references=tuple(m[1] for m in _ID.finditer(_header(mail, "References")))[-MOST_REFERENCES:],
            attachments=attachments,
            flags=tuple(flags),
        )
    )


def _too_deep(source: str, item: str) -> Refusal:
    return Refusal(
        source,
        item,
        f"the mail has more than {MOST_MIME_PARTS} parts, or parts nested deeper than {DEEPEST_MIME_NESTING}",
        "No mail program makes such a mail; leave it out.",
    )


def _header(mail: Mail, name: str) -> str:
    value = mail.get(name)
    return "" if value is None else str(value)[:LONGEST_HEADER_CHARACTERS]


def _bodies(mail: Mail) -> tuple[str, str, tuple[Attachment, ...]]:
    plain: list[str] = []
    html: list[str] = []
    attachments: list[Attachment] = []
    for part in _parts(mail):
        kind = part.get_content_type()
        disposition = str(part.get("Content-Disposition") or "").lower()
        name = _file_name(part)
        if kind in ("text/plain", "text/html") and not disposition.startswith("attachment") and not name:
            _add(plain if kind == "text/plain" else html, part)
        elif kind.startswith("multipart/"):
            _add(plain, part)  # its boundary is lost, so what it holds was not told apart
        elif kind != "message/delivery-status":
            kind = one_line(kind, LONGEST_NAME_CHARACTERS)
            attachments.append(Attachment(name or kind, kind, _size_bytes(part)))
    return "\n".join(plain), "\n".join(html), tuple(attachments[:MOST_ATTACHMENTS])


def _add(texts: list[str], part: Mail) -> None:
    """The part's text after the others, as long as there is not more of them than is looked at."""
    if sum(map(len, texts)) <= LONGEST_BODY_CHARACTERS:
        texts.append(_text_of(part))


def _parts(mail: Mail) -> Iterator[Mail]:
    waiting: list[tuple[Mail, int]] = [(mail, 0)]
    count = 0
    while waiting:
        part, depth = waiting.pop()
        count += 1
        if depth > DEEPEST_MIME_NESTING or count > MOST_MIME_PARTS:
            raise TooDeepError
        inner = part.get_payload() if part.is_multipart() else None
        if isinstance(inner, list) and not (depth and part.get_content_type() == "message/rfc822"):
            waiting.extend((child, depth + 1) for child in reversed(inner) if isinstance(child, Mail))
        else:
            yield part


def _text_of(part: Mail) -> str:
    payload = part.get_payload(decode=True)
    data = payload if isinstance(payload, bytes) else str(payload or "").encode("utf-8", "surrogateescape")
    text = decode(data[:MOST_BODY_BYTES], _parameter(part, "charset"))
    if (
        "flowed" in str(part.get("Content-Type") or "").lower()
        and _parameter(part, "format").lower() == "flowed"
    ):
        return _unflowed(text, drop_space=_parameter(part, "delsp").lower() == "yes")
    return text


def _parameter(part: Mail, name: str) -> str:
    if part.get("Content-Type") is None:
        return ""
    try:
        value = part.get_param(name)
    except (TypeError, ValueError, LookupError):
        return ""
    return str(value[2] if isinstance(value, tuple) else value or "").strip()


_BASE64_BLANKS = "\r\n\t ="


def _size_bytes(part: Mail) -> int:
    """The size of the file that an attached part holds; of a mail, that of its parts together."""
    if part.is_multipart():
        # Each part of an attached mail is counted once, whatever lies inside it.
        return sum(
            _size_bytes(inner) for inner in islice(part.walk(), MOST_MIME_PARTS) if not inner.is_multipart()
        )
    payload = str(part.get_payload() or "")
    if str(part.get("Content-Transfer-Encoding") or "").strip().lower() == "base64":
        return (len(payload) - sum(map(payload.count, _BASE64_BLANKS))) * 3 // 4
    decoded = part.get_payload(decode=True)
    return len(decoded) if isinstance(decoded, bytes) else len(payload)


def _unflowed(text: str, *, drop_space: bool) -> str:
    """Lines that end in a space go on in the next one (RFC 3676); the signature's delimiter does not."""
    lines: list[list[str]] = []
    open_line = False
    for line in text.replace("\r\n", "\n").split("\n"):
        quoted = line.startswith(">")
        goes_on = open_line and not quoted and line != "-- "
        open_line = line.endswith(" ") and line != "-- " and not quoted
        own = line[1:] if line.startswith(" ") else line
        if open_line and drop_space:
            own = own[:-1]
        if goes_on:
            lines[-1].append(own)
        else:
            lines.append([own])
    return "\n".join("".join(pieces) for pieces in lines)


def _file_name(part: Mail) -> str:
    if part.get("Content-Disposition") is None and "name" not in str(part.get("Content-Type") or "").lower():
        return ""
    try:
        name = part.get_filename()
    except (TypeError, ValueError, LookupError):
        return ""
    return one_line(decode_header(str(name)), LONGEST_NAME_CHARACTERS) if name else ""


def _display_name(author: str) -> str | None:
    quoted = _QUOTED_NAME.match(author)
    if quoted is not None:
        return quoted[1].replace('\\"', '"').strip() or None
    name = author.partition("<")[0].strip() if "<" in author else author
    if "(" in author and "<" not in author:
        name = author[author.index("(") + 1 :].rstrip(") ")
    return name.strip() or None


def _address(written: str) -> str | None:
    """Where a reply goes; an address within a name, which a sender may write as anybody's, is none."""
    unnamed = _NAME_OR_COMMENT.sub(" ", written)
    for words in (unnamed, written):
        text = decode_header(words)
        found = _IN_ANGLES.search(text) or _BARE_ADDRESS.search(text)
        if found is not None:
            return found[1]
    return None


def _flags(mail: Mail, subject: str) -> list[str]:
    flags = []
    submitted = _header(mail, "Auto-Submitted").strip().lower()
    if (
        (submitted and not submitted.startswith(("no", "auto-generated")))
        or mail["X-Autoreply"] is not None
        or mail["X-Autorespond"] is not None
        or _header(mail, "Precedence").strip().lower() == "auto_reply"
        or _ABSENCE.match(subject)
    ):
        flags.append("automatic-reply")
    report = mail.get_content_type() == "multipart/report"
    sender = _header(mail, "From")
    if (
        report
        or _BOUNCE_SENDER.search(sender)
        or (_header(mail, "Return-Path").strip() == "<>" and _BOUNCE_SUBJECT.match(subject))
    ):
        flags.append("bounce")
    if mail["List-Unsubscribe"] is not None or _header(mail, "Precedence").strip().lower() in (
        "bulk",
        "list",
        "junk",
    ):
        flags.append("bulk")
    return flags

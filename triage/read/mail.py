"""One mail's bytes to a message: the rider's own words, whatever the sender's program made of them."""

from __future__ import annotations

import re
from collections.abc import Iterator
from email import policy
from email.errors import MessageError
from email.message import Message as Mail
from email.parser import BytesParser

from triage.read.bounds import (
    DEEPEST_MIME_NESTING,
    LARGEST_MAIL_BYTES,
    LONGEST_BODY_CHARACTERS,
    LONGEST_HEADER_CHARACTERS,
    LONGEST_ID_CHARACTERS,
    LONGEST_NAME_CHARACTERS,
    MOST_MIME_PARTS,
    MOST_REFERENCES,
)
from triage.read.dates import mail_date
from triage.read.finish import Found, finished
from triage.read.html import html_to_text, is_cut
from triage.read.quotes import own_words
from triage.read.text import clean, decode, decode_header, one_line
from triage.records import Attachment, Message, Refusal

_PARSER = BytesParser(policy=policy.compat32)
_ID = re.compile(rf"<([^<>\s]{{1,{LONGEST_ID_CHARACTERS}}})>")
_ADDRESS = re.compile(
    r"<\s*([^<>\s@]{1,200}@[^<>\s@]{1,200})\s*>|([^<>\s@,;:\"]{1,200}@[^<>\s@,;:\"]{1,200})"
)
_ABSENCE = re.compile(
    r"^\W*(?:auto(?:matic|mated)?[\s-]*(?:reply|response|antwort)|out of (?:the )?office|abwesenheit|automatische antwort|"
    r"réponse automatique|absence du bureau|respuesta automática|fuera de la oficina|risposta automatica|"
    r"automatisch antwoord|afwezig|autosvar|resposta automática|automatická odpověď|автоответ|i(?:'m| am) away)",
    re.IGNORECASE,
)
_BOUNCE_SENDER = re.compile(r"\b(?:mailer-daemon|postmaster)@|^<>$", re.IGNORECASE)
_BOUNCE_SUBJECT = re.compile(
    r"^\W*(?:undeliver(?:ed|able)|delivery (?:status notification|failure|has failed)|mail delivery (?:failed|subsystem)|"
    r"returned mail|failure notice|unzustellbar)",
    re.IGNORECASE,
)
_FLOWED = re.compile(r"format\s*=\s*\"?flowed", re.IGNORECASE)


class TooDeepError(Exception):
    """A mail with more parts, or deeper ones, than is read."""


def read_mail(data: bytes, source: str, item: str) -> Message | Refusal:
    """The message of a mail's bytes, or why it was refused."""
    flags = []
    if len(data) > LARGEST_MAIL_BYTES:
        data = data[:LARGEST_MAIL_BYTES]
        flags.append("cut-short")
    if data.count(b"\n--") > 4 * MOST_MIME_PARTS or data.count(b"multipart/") > MOST_MIME_PARTS:
        return _too_deep(source, item)
    try:
        mail = _PARSER.parsebytes(data)
        plain, html, attachments = _bodies(mail)
    except TooDeepError:
        return _too_deep(source, item)
    except (RecursionError, MessageError, LookupError, ValueError, TypeError) as fault:
        return Refusal(
            source,
            item,
            f"not readable as a mail: {fault}",
            "Ask the sender to write again, or paste it as a note.",
        )
    subject = decode_header(_header(mail, "Subject"))
    is_reply = mail["In-Reply-To"] is not None or subject.lower().startswith(("re:", "aw:", "sv:"))
    text = plain if plain.strip() else html_to_text(html)
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
    if not body and not subject.strip():
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
            address=_address(_header(mail, "Reply-To")) or _address(author),
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
        kind = part.get_content_type().lower()
        disposition = str(part.get("Content-Disposition") or "").lower()
        name = _file_name(part)
        if kind in ("text/plain", "text/html") and not disposition.startswith("attachment") and not name:
            (plain if kind == "text/plain" else html).append(_text_of(part))
        elif not kind.startswith("multipart/") and kind not in ("message/delivery-status", "message/rfc822"):
            attachments.append(
                Attachment(name or kind, one_line(kind, 100), len(str(part.get_payload() or "")) * 3 // 4)
            )
    return "\n".join(plain), "\n".join(html), tuple(attachments[:200])


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
    charset = part.get_param("charset")
    text = decode(data, charset if isinstance(charset, str) else None)
    if _FLOWED.search(str(part.get("Content-Type") or "")):
        return _unflowed(text)
    return text


def _unflowed(text: str) -> str:
    """Lines that end in a space go on in the next one (RFC 3676); the signature's delimiter does not."""
    lines: list[str] = []
    open_line = False
    for line in text.replace("\r\n", "\n").split("\n"):
        quoted = line.startswith(">")
        own = line[1:] if line.startswith(" ") else line
        if open_line and not quoted and line != "-- ":
            lines[-1] += own
        else:
            lines.append(own)
        open_line = line.endswith(" ") and line != "-- " and not quoted
    return "\n".join(lines)


def _file_name(part: Mail) -> str:
    try:
        name = part.get_filename()
    except (TypeError, ValueError, LookupError):
        return ""
    return one_line(decode_header(str(name)), LONGEST_NAME_CHARACTERS) if name else ""


def _display_name(author: str) -> str | None:
    name = author.rsplit("<", 1)[0].strip().strip('"').replace('\\"', '"') if "<" in author else author
    if "(" in author and "<" not in author:
        name = author[author.index("(") + 1 :].rstrip(") ")
    return name.strip() or None


def _address(written: str) -> str | None:
    found = _ADDRESS.search(decode_header(written))
    return (found[1] or found[2]) if found else None


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

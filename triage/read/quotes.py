"""The rider's own words of a mail: earlier mail quoted in it, signatures and mailer's lines left out.

Works on lines, and doubts in the rider's favour: a line is only taken away where its form and what
stands around it both say that it is not the rider's.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from itertools import islice
from typing import NamedTuple

from triage.read.names import given_names, is_sign_off


class OwnWords(NamedTuple):
    """What the rider wrote, the signature that was cut off, and whether it is a mail passed on whole."""

    text: str
    signature: str = ""
    forwarded: bool = False


WROTE = (
    # "Someone wrote": catches the verb in the line that introduces quoted mail.
    r"wrote|writes|schrieb(?:en)?|geschrieben|a écrit|escribió|escribio|ha scritto|escreveu|schreef|skrev|kirjoitti|"
    r"napisał(?:\(a\)|a)?|pisze|napsal(?:\(a\)|a)?|írta|a scris|şunu yazdı|yazdı|написал(?:\(а\)|а)?|пишет|писал(?:а)?|"
    r"написав|пише|έγραψε|write|作成|写道|寫道|書きました|のメール"
)
OPENERS = (
    # The word before the date in such a line.
    r"on|am|at|le|el|il|in data|em|op|den|dne|dnia|w dniu|dana|ons|tir|pe|în|de|a|em|v|в|на|stran|"
    r"mon|tue|wed|thu|fri|sat|sun|monday|tuesday|wednesday|thursday|friday|saturday|sunday"
)
ORIGINAL = (
    r"original message|original-?nachricht|ursprüngliche nachricht|message d'origine|message original|mensaje original|"
    r"messaggio originale|mensagem original|oorspronkelijk bericht|originalmeddelande|oprindelig meddelelse|"
    r"opprinnelig melding|alkuperäinen viesti|wiadomość oryginalna|oryginalna wiadomość|původní zpráva|"
    r"исходное сообщение|original appointment|antwort|reply message"
)
FORWARDED = (
    r"forwarded message|begin forwarded message|weitergeleitete nachricht|anfang der weitergeleiteten nachricht|"
    r"message transféré|message transmis|mensaje reenviado|messaggio inoltrato|inizio messaggio inoltrato|"
    r"mensagem encaminhada|doorgestuurd bericht|vidarebefordrat meddelande|videresendt meddelelse|"
    r"videresendt melding|välitetty viesti|wiadomość przekazana dalej|przekazana wiadomość|přeposlaná zpráva|"
    r"пересылаемое сообщение"
)
FROM_LABELS = (
    "from|von|de|da|van|från|fra|od|lähettäjä|expéditeur|desde|remitente|mittente|afzender|от|kimden|feladó|"
    "差出人|发件人|寄件者"
)
SENT_LABELS = (
    "sent|date|gesendet|datum|envoyé|enviado|enviado el|enviada|fecha|inviato|data|verzonden|skickat|sendt|dato|"
    "wysłano|odesláno|lähetetty|päivämäärä|päiväys|отправлено|дата|送信日時|日時|发送时间|日期"
)
TO_LABELS = "to|an|à|para|a|aan|till|til|do|komu|pro|vastaanottaja|кому|宛先|收件人"
SUBJECT_LABELS = (
    "subject|betreff|objet|asunto|oggetto|assunto|onderwerp|ämne|emne|temat|předmět|aihe|тема|件名|主题|主旨"
)
SENT_FROM = (
    # "Sent from my ...": the line a telephone puts under a mail.
    r"sent (?:from|via|using|with)|gesendet (?:von|mit|über)|von meinem \S+ gesendet|von unterwegs gesendet|"
    r"envoyé (?:de(?:puis)?|à partir de)|enviado (?:desde|do|a partir d[oe]|de)|inviato da[l]?|verzonden (?:vanaf|met|via)|"
    r"verstuurd vanaf|skickat från|sendt fra|lähetetty|wysłan[eoy] z|odesláno z|отправлено (?:с|из)"
)
DISCLAIMERS = (
    r"(?:this|the) (?:e-?mail|message|communication|information)\b.{0,200}\b(?:confidential|intended|privileged)|"
    r"diese e-?mail\b.{0,200}\bvertraulich|ce (?:message|courriel|mail)\b.{0,200}\bconfidentiel|"
    r"este (?:mensaje|correo)\b.{0,200}\bconfidencial|questo messaggio\b.{0,200}\b(?:riservat|confidenzial)|"
    r"(?:please )?(?:consider|think of) the environment before printing|"
    r"confidentiality notice|disclaimer:"
)

LONGEST_INTRODUCTION_CHARACTERS = 320
MOST_INTRODUCTION_LINES = 3
LONGEST_SIGNATURE_LINES = 20
LONGEST_LOOSE_SIGNATURE_LINES = 8
LONGEST_SIGNATURE_LINE_CHARACTERS = 80

_WORTH_A_LOOK = re.compile(
    r"^[ \t]*(?:>|[-_*=]{2,}|[—–]{1,2}[ \t]*$|[*_]*[^\W\d_]{2,20}[*_]*[ \t\xa0]?[:：])|[:：][ \t\xa0*_]*$",
    re.MULTILINE,
)
_ENDS_INTRODUCING = re.compile(r"[:：][\s*_]*$")
_WROTE = re.compile(rf"(?<!\w)(?:{WROTE})(?!\w)", re.IGNORECASE)
_OPENS = re.compile(rf"^[*_\s]*(?:(?:{OPENERS})\b|\d{{1,4}}[-./ ])", re.IGNORECASE)
_SENTENCE_WITHIN = re.compile(r"[a-z]{3}[.!?] [A-ZÄÖÜ]|[!?] ")
_ADDRESS = re.compile(r"[^\s<>()]+@[^\s<>()]+\.\w+")
_MOMENT = re.compile(
    r"\b\d{1,2}[:.h]\d{2}\b|\b\d{1,4}[./-]\s?\d{1,2}[./-]\s?\d{2,4}\b|\b\d{1,2}\.?\s+(?:de\s+)?[^\W\d_]{3,12}\.?,?\s+(?:de\s+)?\d{4}\b|"
    r"\b[^\W\d_]{3,12}\.?\s+\d{1,2}(?:st|nd|rd|th)?,?\s+\d{4}\b|\d{4}年\d{1,2}月"
)
_MEANS_PROSE = re.compile(
    r"\b(?:I|we|they|he|she|it|my|the|and|that|who|took|ich|wir|und|meine?|nous|mon|yo|mio|ik|mijn|jag|och)\b"
    r"|^(?:The|My|Our|His|Her|Der|Die|Das|Meine?|Unser|Eine?)\b"
)
_ADDRESS_LAST = re.compile(rf"<[^<>\s]+@[^<>\s]+>\)?,?\s*(?:{WROTE})?\s*[:：][\s*_]*$", re.IGNORECASE)
_QUOTING = re.compile(
    r"^(?:quoting|zitat von|citando a|citando|citeren|quoth)\b.{1,120}[:：]\s*$", re.IGNORECASE
)
_RULE_MARKS = "-_=*"
_BETWEEN_RULES = re.compile(rf"(?:(?:{ORIGINAL})|(?P<forwarded>{FORWARDED}))\b.{{0,60}}$", re.IGNORECASE)
_BEGUN = re.compile(
    rf"(?:begin|anfang der|début du|inizio)\b.{{0,5}}(?:{FORWARDED}|weitergeleiteten nachricht|message réexpédié|"
    r"messaggio inoltrato)\s?:?$|begin forwarded message\s?:?$",
    re.IGNORECASE,
)
_LABEL = r"^[>*_ \t]*(?:{})[*_]*[ \t\xa0]?[:：]"
_FROM = re.compile(_LABEL.format(FROM_LABELS), re.IGNORECASE)
_SENT = re.compile(_LABEL.format(SENT_LABELS), re.IGNORECASE)
_TO = re.compile(_LABEL.format(TO_LABELS), re.IGNORECASE)
_SUBJECT = re.compile(_LABEL.format(SUBJECT_LABELS), re.IGNORECASE)
_RULE = re.compile(r"^\s*[_\-=*]{5,}\s*$")
_MEASURE_AFTER_ANGLE = re.compile(r"^\s*>=?\s*\d")
_LOOSE_DELIMITER = re.compile(r"^(?:--|__|—|–|-{3,}|_{3,})\s*$")
_SENT_FROM = re.compile(
    rf"^(?:(?:{SENT_FROM})\b(?P<what>.{{1,60}})|(?:von (?:meinem|unserem) \S+|von unterwegs|mobil) gesendet\.?)$",
    re.IGNORECASE,
)
_GET_FOR = re.compile(r"^get .{2,60} for .{2,40}$", re.IGNORECASE)
_LIST_FOOT = re.compile(r"mailing list|unsubscribe|abbestellen|abmelden|désinscri|listinfo", re.IGNORECASE)
_DISCLAIMER = re.compile(rf"^[*_\s]*(?:{DISCLAIMERS})", re.IGNORECASE)
_CONTACT = re.compile(
    r"^(?:(?:tel|phone|mobile|mobil|cell|fax|telefon|tél|e-?mail|mail|t|m|e)\b\.?\s?[:.]?\s*)?"
    r"(?:\+?\d[\d ()/.-]{7,30}\d|<?[\w.+-]+@[\w.-]+\.\w+>?)$",
    re.IGNORECASE,
)
_HEAD_LABEL = re.compile(
    _LABEL.format(
        "|".join(
            (FROM_LABELS, SENT_LABELS, TO_LABELS, SUBJECT_LABELS, "cc|kopie|copie|kopia|reply-to|antwort an")
        )
    ),
    re.IGNORECASE,
)
LONGEST_SEPARATOR_CHARACTERS = 200
MOST_BLANK_LINES_LOOKED_PAST = 20
MOST_MAILER_LINES = 20
MOST_INTRODUCTIONS = 2_000
"""Lines of one mail looked at for what introduces quoted mail. [lines]"""


def own_words(text: str, *, is_reply: bool = False) -> OwnWords:
    """The rider's own words of a mail's text, of which quoted mail and signature are left out.

    Replies between quoted lines keep their order. `is_reply` says that the mail's headers name an earlier
    one. Where nothing but a forwarded mail is left, its text stands, flagged as forwarded.

    >>> own_words("On 5 March 2024 at 10:30, Tom Holm wrote:\\n> Which rim?\\n\\n23 mm.\\n-- \\nAna").text
    '23 mm.'
    >>> own_words("On Sunday I wrote off my wheel:\\nthe rim cracked.").text
    'On Sunday I wrote off my wheel:\\nthe rim cracked.'
    """
    lines = text.split("\n")
    forwarded = False
    if _WORTH_A_LOOK.search(text) is not None:
        lines, passed_on = _without_history(lines, is_reply=is_reply)
        if passed_on and not any(line.strip() for line in lines):
            lines, forwarded = passed_on, True
            lines, _ = _without_history(lines, is_reply=True)
    lines, signature = _without_signature(lines)
    return OwnWords(_joined(lines), _joined(signature), forwarded)


def _without_history(lines: list[str], *, is_reply: bool) -> tuple[list[str], list[str]]:
    """The lines that are not quoted mail, and the text of a mail passed on below them, if there is one."""
    kept: list[str] = []
    introduced = is_reply
    looked_at = 0
    at = 0
    while at < len(lines):
        line = lines[at]
        start = line.lstrip()[:1]
        if start == ">":
            end = _run_of_quotes(lines, at)
            if not introduced and _is_riders_own(lines[at:end], kept):
                kept.extend(lines[at:end])
            at = end
            continue
        separator = _separator(line) if start else None
        if separator is not None:
            return kept, _passed_on(lines[at + 1 :]) if separator == "forwarded" or not is_reply else []
        if _starts_mail_head(lines, at):
            while kept and (not kept[-1].strip() or _RULE.match(kept[-1])):
                kept.pop()
            return kept, [] if is_reply else _passed_on(lines[at:])
        if looked_at < MOST_INTRODUCTIONS and _ENDS_INTRODUCING.search(line) is not None:
            looked_at += 1
            taken, marked = _introduction(lines, at, kept)
            if taken:
                del kept[len(kept) - (taken - 1) :]
                introduced = True
                if not marked:
                    # Nothing above it: without a sign that this is a reply, the lines are the rider's.
                    if any(words.strip() for words in kept) or is_reply:
                        return kept, []
                    return lines, []
                at += 1
                continue
        kept.append(line)
        at += 1
    return kept, []


def _separator(line: str) -> str | None:
    """Whether a line between rules says that an earlier mail follows: `forwarded`, `original`, or None."""
    if len(line) > LONGEST_SEPARATOR_CHARACTERS:
        return None
    words = line.strip(f"{_RULE_MARKS} \t:\xa0")
    if not words:
        return None
    before, _, after = line.partition(words)
    if all(sum(side.count(mark) for mark in _RULE_MARKS) >= 2 for side in (before, after)):
        found = _BETWEEN_RULES.match(words)
        if found is not None:
            return "forwarded" if found["forwarded"] else "original"
    return "forwarded" if _BEGUN.match(words) is not None else None


def _is_riders_own(run: list[str], kept: list[str]) -> bool:
    """Whether lines after a `>` that nothing introduces are measures, or what the rider quotes from elsewhere."""
    if all(_MEASURE_AFTER_ANGLE.match(line) for line in run):
        return True
    above = _next_filled(reversed(kept)) or ""
    return above.rstrip().endswith(":")


def _next_filled(lines: Iterable[str]) -> str | None:
    """The first line that is not blank, looked for among a few."""
    return next((line for line in islice(lines, MOST_BLANK_LINES_LOOKED_PAST) if line.strip()), None)


def _run_of_quotes(lines: list[str], at: int) -> int:
    while at < len(lines) and lines[at].lstrip()[:1] == ">":
        at += 1
    return at


def _introduction(lines: list[str], at: int, kept: list[str]) -> tuple[int, bool]:
    """How many lines up to this one introduce quoted mail (0: none do), and whether the quote is marked."""
    after = _next_filled(lines[at + 1 : at + 1 + MOST_BLANK_LINES_LOOKED_PAST])
    marked = after is None or after.lstrip().startswith(">")
    words = ""
    found = 0
    for taken in range(1, MOST_INTRODUCTION_LINES + 1):
        if taken > 1 and (taken - 1 > len(kept) or not kept[-(taken - 1)].strip()):
            break
        line = lines[at] if taken == 1 else kept[-(taken - 1)]
        words = f"{line.strip()} {words}".strip()
        if len(words) > LONGEST_INTRODUCTION_CHARACTERS:
            break
        if _introduces(words, marked=marked and after is not None, wrapped=taken > 1):
            found = taken
            if _OPENS.match(words) is not None:
                break
    return found, marked and found > 0


def _introduces(words: str, *, marked: bool, wrapped: bool) -> bool:
    opens = _OPENS.match(words) is not None
    moment = _MOMENT.search(words) is not None
    address = _ADDRESS.search(words) is not None
    if _MEANS_PROSE.search(words) is not None or _SENTENCE_WITHIN.search(words) is not None:
        return opens and moment and _ADDRESS_LAST.search(words) is not None
    if wrapped and not (opens or address):
        return False
    if marked and _QUOTING.match(words):
        return True
    if _WROTE.search(words) is None:
        # Some mailers write the date and the address alone.
        return opens and moment and _ADDRESS_LAST.search(words) is not None
    return marked or address or (moment and (opens or len(words) < 100))


def _starts_mail_head(lines: list[str], at: int) -> bool:
    """Whether a mail's printed head begins here: its sender, and nearby its date and its receiver or subject."""
    if ":" not in lines[at] and "：" not in lines[at]:
        return False
    if _FROM.match(lines[at]) is None:
        return False
    near = [line for line in lines[at + 1 : at + 12] if line.strip()][:6]
    return any(_SENT.match(line) for line in near) and any(
        _TO.match(line) or _SUBJECT.match(line) for line in near
    )


def _passed_on(lines: list[str]) -> list[str]:
    """The text below a forwarded mail's printed head."""
    at = 0
    while at < len(lines) and not lines[at].strip():
        at += 1
    while at < len(lines) and _HEAD_LABEL.match(lines[at]):
        at += 1
    return [line.removeprefix("> ") if line.startswith(">") else line for line in lines[at:]]


def _without_signature(lines: list[str]) -> tuple[list[str], list[str]]:
    signature: list[str] = []
    cut = _signature_start(lines)
    if cut is not None:
        lines, signature = lines[:cut], lines[cut + 1 :]
    lines = _without_mailer_lines(lines)
    return _without_contact_lines(lines), signature


def _signature_start(lines: list[str]) -> int | None:
    filled = 0
    for at in range(len(lines) - 1, -1, -1):
        line = lines[at]
        if not line.strip():
            continue
        is_delimiter = line in {"-- ", "--\xa0"}
        if is_delimiter or (filled <= LONGEST_LOOSE_SIGNATURE_LINES and _LOOSE_DELIMITER.match(line)):
            below = lines[at + 1 :]
            if any(above.strip() for above in lines[:at]) and (is_delimiter or _looks_signed(below)):
                return _first_delimiter(lines, at) if is_delimiter else at
        filled += 1
        if filled > LONGEST_SIGNATURE_LINES:
            break
    return None


def _first_delimiter(lines: list[str], at: int) -> int:
    earlier = [place for place in range(max(0, at - LONGEST_SIGNATURE_LINES), at) if lines[place] == "-- "]
    return earlier[0] if earlier and any(line.strip() for line in lines[: earlier[0]]) else at


def _looks_signed(below: list[str]) -> bool:
    filled = [line.strip() for line in below if line.strip()]
    if not filled or any(len(line) > LONGEST_SIGNATURE_LINE_CHARACTERS or "?" in line for line in filled):
        return any(_LIST_FOOT.search(line) for line in filled)
    first = filled[0].split()[0].strip(",.*_").lower()
    return first in given_names() or any(_CONTACT.match(line) or _LIST_FOOT.search(line) for line in filled)


def _without_mailer_lines(lines: list[str]) -> list[str]:
    """The lines without what a telephone, a list or an office puts under them."""
    for _ in range(MOST_MAILER_LINES):
        lines = _without_blank_end(lines)
        above = _without_blank_end(lines[:-1])
        if not above:
            break
        last = lines[-1].strip()
        if _is_sent_from(last) or (
            _GET_FOR.match(last) and ("http" in last or _is_sent_from(above[-1].strip()))
        ):
            lines = above
            continue
        start = _paragraph_start(lines)
        if not start or not _DISCLAIMER.match(" ".join(lines[start:])[:600]):
            break
        lines = lines[:start]
    return lines


def _without_blank_end(lines: list[str]) -> list[str]:
    end = len(lines)
    while end and not lines[end - 1].strip():
        end -= 1
    return lines[:end]


def _paragraph_start(lines: list[str]) -> int:
    start = len(lines)
    while start and lines[start - 1].strip():
        start -= 1
    return start


def _is_sent_from(line: str) -> bool:
    found = _SENT_FROM.match(line.strip("*_<>[]() "))
    return found is not None and len((found["what"] or "").split()) <= 6 and "?" not in line


def _without_contact_lines(lines: list[str]) -> list[str]:
    """The lines without the telephone number and address below a closing phrase."""
    filled = [at for at, line in enumerate(lines) if line.strip()][-6:]
    closing = next((at for at in filled if is_sign_off(lines[at])), None)
    if closing is None:
        return lines
    return [line for at, line in enumerate(lines) if at <= closing or _CONTACT.match(line.strip()) is None]


def _joined(lines: list[str]) -> str:
    text = "\n".join(line.rstrip() for line in lines).strip("\n")
    return re.sub(r"\n{3,}", "\n\n", text)

"""Mails out of signed drafts: each is built whole, or refused with its reason. An unsigned draft never gets into one."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from email.message import EmailMessage
from typing import Any

from triage.ledger import Ledger, Person
from triage.ledger.mails import MailOrder
from triage.ledger.reviews import SIGNED_STATES
from triage.output.replies import Sender, combined, recipient_of, reply_mail

Line = Mapping[str, Any]
NO_ADDRESS = "The rider left no address that mail can go to."


class NotReadyError(Exception):
    """Some of the wanted mails can't be made, most often for want of a signature; the text lists why, a line each."""


@dataclass(frozen=True)
class ReadyMail:
    """One mail to one rider with everything that the message asked, signed off.

    `mail` is as it is taken out of the desk: marked unsent, dated as the rider's own. `address` is None where the rider
    left none that can be used. `text` is the mail's text. `digest` tells whether two mails say the same to the same rider.
    """

    message_key: str
    question_ids: tuple[str, ...]
    mail: EmailMessage
    address: str | None
    first_name: str | None
    subject: str
    text: str
    digest: str

    @property
    def order(self) -> MailOrder:
        """What is kept of it when somebody orders it."""
        mail_id = str(self.mail["Message-ID"]).strip("<>")
        return MailOrder(self.message_key, mail_id, self.digest, self.question_ids)


@dataclass(frozen=True, slots=True)
class Refused:
    """A message for which no mail was made, and why."""

    message_key: str
    reason: str


def mails_for(ledger: Ledger, keys: Sequence[str], desk: Sender) -> list[ReadyMail]:
    """The mails of some messages, in that order.

    Raises:
        NotReadyError: one of them can't be made; then none is.
    """
    mails, refused = ready_and_refused(ledger, keys, desk)
    if refused:
        raise NotReadyError("\n".join(one.reason for one in refused))
    return mails


def ready_and_refused(
    ledger: Ledger, keys: Sequence[str], desk: Sender
) -> tuple[list[ReadyMail], list[Refused]]:
    """The mails of some messages, in that order, and the messages for which none may be made."""
    wanted = list(dict.fromkeys(keys))
    messages = ledger.messages(wanted)
    lines: dict[str, list[Line]] = {}
    for key, line in ledger.mails.drafts(wanted):
        lines.setdefault(key, []).append(line)
    mails: list[ReadyMail] = []
    refused: list[Refused] = []
    for key in wanted:
        reason = _why_not(messages.get(key), lines.get(key, []))
        if reason is None:
            mails.append(_ready(key, messages[key], lines[key], desk))
        else:
            refused.append(Refused(key, reason))
    return mails, refused


def order(
    ledger: Ledger, keys: Sequence[str], desk: Sender, person: Person
) -> tuple[list[str], list[Refused]]:
    """Order the mails of some messages; the keys that are new, and what was refused with why.

    One that was ordered before is in neither list: it stays as it is.
    """
    ready, refused = ready_and_refused(ledger, keys, desk)
    new = ledger.mails.order([one.order for one in ready if one.address is not None], person)
    return new, [*refused, *(Refused(one.message_key, NO_ADDRESS) for one in ready if one.address is None)]


def order_again(ledger: Ledger, message_key: str, desk: Sender, person: Person) -> Refused | None:
    """Order a refused mail again, as it would be now; None where it waits again, or else why it doesn't."""
    ready, refused = ready_and_refused(ledger, [message_key], desk)
    if refused:
        return refused[0]
    if ready[0].address is None:
        return Refused(message_key, NO_ADDRESS)
    if not ledger.mails.back_to_waiting(ready[0].order, person):
        return Refused(message_key, "Only a mail that was refused can be ordered again.")
    return None


def usable_address(message: Mapping[str, Any]) -> str | None:
    """The address of a kept message as a mail would use it; None where no mail can go there."""
    found = recipient_of(message["address"], None, is_for_any_address=True)
    return None if found is None else found.addr_spec


def _why_not(message: Mapping[str, Any] | None, lines: Sequence[Line]) -> str | None:
    if message is None:
        return "The ledger has no such message."
    if message["is_forgotten"]:
        return "The rider asked to be forgotten."
    if not lines:
        return "There is no reply to send."
    unsigned = [str(line["question_id"]) for line in lines if line["state"] not in SIGNED_STATES]
    return f"Not signed off: {', '.join(unsigned)}." if unsigned else None


def _ready(key: str, message: Mapping[str, Any], lines: Sequence[Line], desk: Sender) -> ReadyMail:
    mail = reply_mail(lines, message, desk, is_signed=True, is_for_any_address=True)
    text = combined(lines)
    question_ids = tuple(str(line["question_id"]) for line in lines)
    digest = _digest([key, *question_ids], mail, text)
    mail.replace_header("Message-ID", f"<{digest[:32]}@{desk.domain}>")
    return ReadyMail(
        message_key=key,
        question_ids=question_ids,
        mail=mail,
        address=_address_of(mail),
        first_name=message["rider"],
        subject=str(mail["Subject"]),
        text=text,
        digest=digest,
    )


def _address_of(mail: EmailMessage) -> str | None:
    return None if mail["To"] is None else str(mail["To"].addresses[0].addr_spec)


def _digest(keys: Sequence[str], mail: EmailMessage, text: str) -> str:
    """Of all that the rider gets, but for the sender, who may be written otherwise tomorrow."""
    headings = [str(mail[name]) for name in ("To", "Subject", "In-Reply-To", "References")]
    return hashlib.sha256(json.dumps([*keys, *headings, text]).encode()).hexdigest()

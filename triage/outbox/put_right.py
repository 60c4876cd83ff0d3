"""Mails that put an answer right: one to every rider who was sent the old one, to be taken out and sent by a person."""

from __future__ import annotations

from collections.abc import Sequence
from email.message import EmailMessage

from triage.ledger import Ledger
from triage.ledger.episodes import PutRight
from triage.output.replies import Sender, reply_mail


def correction_mails(
    ledger: Ledger, one: PutRight, sender: Sender, close: str = "Sorry for that, and ride safely."
) -> list[EmailMessage]:
    """A mail for each message whose rider got the old answer, threaded to it, marked unsent; none where nobody did."""
    mails = []
    for question in ledger.episodes.who_got(one.question_id):
        message = ledger.message_row_of(question)
        line = ledger.question(question)
        if message is None or line is None or message["is_forgotten"]:
            continue
        text = {**line, "reply": correction_text(one, line["rider"], close)}
        mail = reply_mail([text], message, sender)
        mail.replace_header("Message-ID", f"<right-{one.number}-{question}@{sender.domain}>")
        mails.append(mail)
    return mails


def correction_text(one: PutRight, rider: str | None, close: str) -> str:
    """What the mail says."""
    told_by = f"{one.told_by[:1].upper()}{one.told_by[1:]} told us." if one.told_by else ""
    parts = [
        f"Hi {rider}," if rider else "Hello,",
        "We wrote to you with an answer, and a part of it was wrong. Please read this before you do as it said.",
        f"We said: {one.wrong.rstrip('.')}.",
        f"What holds: {one.right.rstrip('.')}. {told_by}".strip(),
        "If you have done as we said already, look at it again before you ride; where anything is in doubt, have a "
        "qualified mechanic look at it. What the part's maker says comes before anything here.",
        close,
    ]
    return "\n\n".join(parts)


def as_files(mails: Sequence[EmailMessage]) -> list[tuple[str, bytes]]:
    """(file name, content) of each mail."""
    return [(f"put-right-{number:03d}.eml", mail.as_bytes()) for number, mail in enumerate(mails, 1)]

"""Replies in bulk: what is signed is taken out as mails, a mailbox or a merge table, or sent on an explicit order."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from starlette.responses import Response

from triage.desk.visit import Visit, to
from triage.ledger import Deed
from triage.ledger.mails import MailState, Outgoing
from triage.outbox import (
    as_mbox,
    as_merge_csv,
    as_zip,
    order_again,
    ready_and_refused,
    usable_address,
)
from triage.outbox import (
    order as order_mails,
)
from triage.review.acts import NotDoneError

ON_ONE_PAGE = 200
OPEN_STATES: tuple[MailState, ...] = ("refused", "unclear")
FORMS = {
    "eml": (as_zip, "application/zip", "replies.zip"),
    "mbox": (as_mbox, "application/mbox", "replies.mbox"),
    "csv": (as_merge_csv, "text/csv; charset=utf-8", "replies.csv"),
}
STATE_WORDS = {
    "waiting": "waiting",
    "going": "going out",
    "sent": "sent",
    "refused": "refused",
    "unclear": "unclear",
}


@dataclass(frozen=True, slots=True)
class Row:
    """One message and its mail: who gets it, what it answers as (question, title), and how far it is.

    `state` is empty where none was ordered; `answer` is what the mail server said last.
    """

    message_key: str
    first_name: str
    about: str
    questions: Sequence[tuple[str, str]]
    verdicts: Sequence[str]
    state: str
    answer: str
    has_address: bool


@dataclass(frozen=True, slots=True)
class RepliesPage:
    """What the template may use.

    `open` are the mails that need a person's word; `counts` are (state, how many) of what was ordered; `left` is how
    many of those wait.
    """

    ready: Sequence[Row]
    waiting: Sequence[Row]
    open: Sequence[Row]
    counts: Sequence[tuple[str, int]]
    left: int
    more: int | None
    is_going: bool
    trouble: str | None
    has_server: bool
    server: str
    sender: str


def page(visit: Visit) -> Response:
    """What is ready, what was ordered, and what waits for a signature."""
    mails, postman = visit.bench.ledger.mails, visit.postman
    first = visit.number("from")
    ready = mails.ready(ON_ONE_PAGE + 1, first)
    counts = mails.counts()
    server, sender = visit.settings.server, visit.settings.sender
    found = RepliesPage(
        ready=[_row(one) for one in ready[:ON_ONE_PAGE]],
        waiting=[_row(one) for one in mails.waiting_for(ON_ONE_PAGE)],
        open=[_row(one) for one in mails.in_state(OPEN_STATES, ON_ONE_PAGE)],
        counts=[(word, counts[state]) for state, word in STATE_WORDS.items() if counts.get(state)],
        left=counts.get("waiting", 0),
        more=first + ON_ONE_PAGE if len(ready) > ON_ONE_PAGE else None,
        is_going=postman.is_going,
        trouble=postman.trouble,
        has_server=server is not None,
        server=str(server or ""),
        sender=f"{sender.name} <{sender.address}>",
    )
    return visit.page("replies.html", replies=found)


def _row(one: Outgoing) -> Row:
    titles = [(asked.question_id, asked.title or "for a person") for asked in one.questions]
    return Row(
        message_key=one.message_key,
        first_name=one.first_name or "",
        about=", ".join(title for _, title in titles),
        questions=titles,
        verdicts=list(dict.fromkeys(asked.verdict for asked in one.questions)),
        state=STATE_WORDS.get(one.state or "", ""),
        answer=(one.mail.answer if one.mail else None) or "",
        has_address=usable_address({"address": one.address}) is not None,
    )


def take(visit: Visit) -> Response:
    """The chosen mails as a file to take away."""
    form = FORMS.get(visit.said("form"))
    if form is None:
        raise NotDoneError("Choose mail files, one mailbox or a merge table.")
    keys = _chosen(visit)
    mails, refused = ready_and_refused(visit.bench.ledger, keys, visit.settings.sender)
    if refused:
        raise NotDoneError("Nothing was taken out. " + " ".join(one.reason for one in refused[:5]))
    written, kind, name = form
    body = written(mails)
    deed = Deed("took out", f"{len(mails)} {'reply' if len(mails) == 1 else 'replies'} as {name}")
    visit.bench.ledger.reviews.record(deed, visit.person)
    headers = {"Content-Disposition": f'attachment; filename="{name}"'}
    return Response(body, media_type=kind, headers=headers)


def order(visit: Visit) -> Response:
    """Order the chosen mails, or go on with what was ordered before, and begin to send."""
    server = visit.settings.server
    if server is None:
        raise NotDoneError("This desk has no mail server. Start it with --smtp and --sender.")
    ledger = visit.bench.ledger
    if "chosen" in visit.form or visit.said("sure"):
        if visit.said("sure") != "1":
            raise NotDoneError(
                "Nothing was sent: say that you want them sent now, by the box beside the button."
            )
        new, refused = order_mails(ledger, _chosen(visit), visit.settings.sender, visit.person)
        if refused and not new:
            raise NotDoneError("Nothing was ordered. " + " ".join(one.reason for one in refused[:5]))
    visit.postman.go(ledger, server, visit.person)
    return to("/replies?said=ordered")


def settle(visit: Visit) -> Response:
    """A person's word on a mail that was refused or whose end is unclear."""
    ledger, key, said = visit.bench.ledger, visit.said("key"), visit.said("settle")
    mail = ledger.mails.of(key)
    if mail is None or mail.state not in OPEN_STATES or said not in ("sent", "again"):
        raise NotDoneError("There is nothing to settle about that mail.")
    if mail.state == "unclear":
        ledger.mails.settle_unclear(key, said == "sent", visit.person)
    elif said == "again":
        refused = order_again(ledger, key, visit.settings.sender, visit.person)
        if refused is not None:
            raise NotDoneError(refused.reason)
    else:
        raise NotDoneError("A refused mail was not sent. It can be ordered again.")
    return to("/replies?said=settled")


def _chosen(visit: Visit) -> list[str]:
    keys = visit.all_said("chosen")
    if not keys:
        raise NotDoneError("Choose at least one mail.")
    return keys

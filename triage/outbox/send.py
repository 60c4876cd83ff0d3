"""Sending what was ordered, one mail after the other, so that no mail ever goes out twice."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass, replace

from triage.ledger import Ledger, Person
from triage.ledger.mails import Ending, Mails, NotSignedError
from triage.logs import event
from triage.outbox.ready import NO_ADDRESS, ready_and_refused
from triage.outbox.server import Server
from triage.outbox.wire import Outcome, UnreachableError, Wire, as_sent

UNCLEAR_IN_A_ROW = 3
"""After so many unclear mails one after the other the run stops: something is wrong, and each must be looked after."""
CUT_OFF = "The sending was cut off while the mail was under way."
CHANGED = "What it says, or to whom, is no longer what was ordered. Look at it and order it again."


@dataclass(frozen=True, slots=True)
class Totals:
    """What became of the mails of one run.

    `waiting` still wait. `found_going` were found under way from an earlier run that was cut off; they are unclear now.
    """

    sent: int = 0
    refused: int = 0
    unclear: int = 0
    waiting: int = 0
    found_going: int = 0

    def __str__(self) -> str:
        told = f"{self.sent} sent, {self.refused} refused, {self.unclear} unclear, {self.waiting} waiting"
        return told + (f"; {self.found_going} unclear from before" if self.found_going else "")


class StoppedError(Exception):
    """The run ended early; the text says why and `totals` what was done before. What was left waits."""

    def __init__(self, text: str, totals: Totals) -> None:
        super().__init__(text)
        self.totals = totals


def send(
    ledger: Ledger,
    server: Server,
    person: Person,
    on_progress: Callable[[Totals], None] | None = None,
) -> Totals:
    """Send every mail that was ordered and waits; what became of them.

    `on_progress` hears the totals so far after each mail. A mail is refused that is no longer signed off, or no longer
    what was ordered. Mails that a cut-off run left under way become unclear and are left to a person.

    Raises:
        StoppedError: the server can't be reached or lets the desk no longer in, or several mails in a row were unclear.
    """
    mails = ledger.mails
    totals = Totals(found_going=len(mails.doubt_going()))
    waiting = mails.left_waiting()
    totals = replace(totals, waiting=len(waiting))
    if not waiting:
        return totals
    event("sending began", waiting=totals.waiting, found_going=totals.found_going)
    begun = time.perf_counter()
    run = _Run(ledger, mails, Wire(server), server, person)
    in_a_row = 0
    try:
        for key in waiting:
            state = run.one(key)
            totals = _added(totals, state)
            event("mail ended", state=state or "elsewhere")
            if on_progress is not None:
                on_progress(totals)
            in_a_row = in_a_row + 1 if state == "unclear" else 0
            if in_a_row == UNCLEAR_IN_A_ROW:
                event("sending stopped", unclear=in_a_row)
                raise StoppedError(
                    f"{in_a_row} mails one after the other are unclear: the connection broke within each.\n"
                    "    Look at the mail server, then say of each whether it arrived. The others wait.",
                    totals,
                )
    except UnreachableError as error:
        event("sending stopped", error=error)
        raise StoppedError(f"{error}\n    {_left(totals.waiting)}", totals) from error
    finally:
        run.wire.close()
        event(
            "sending ended",
            sent=totals.sent,
            refused=totals.refused,
            unclear=totals.unclear,
            waiting=totals.waiting,
            seconds=time.perf_counter() - begun,
        )
    return totals


def _left(count: int) -> str:
    if count == 1:
        return "1 mail waits; nothing of it was handed over."
    return f"{count} mails wait; nothing of them was handed over."


def _added(totals: Totals, state: Ending | None) -> Totals:
    left = replace(totals, waiting=totals.waiting - 1)
    if state is None:
        return left
    return replace(left, **{state: getattr(left, state) + 1})


@dataclass(frozen=True)
class _Run:
    ledger: Ledger
    mails: Mails
    wire: Wire
    server: Server
    person: Person

    def one(self, key: str) -> Ending | None:
        """What became of one mail; None where another sender had it."""
        self.wire.ready()  # before it is taken, so that a server that is away changes nothing
        try:
            if not self.mails.take(key):
                return None
        except NotSignedError:
            return "refused"
        try:
            outcome = self._sent(key)
        except UnreachableError:
            self.mails.let_go(key)
            raise
        except BaseException:
            self.mails.finish(key, "unclear", CUT_OFF, self.person)
            raise
        self.mails.finish(key, outcome.state, outcome.answer, self.person)
        return outcome.state

    def _sent(self, key: str) -> Outcome:
        """Build the mail from what is signed now, and hand it over if it is still what was ordered."""
        ready, refused = ready_and_refused(self.ledger, [key], self.server.sender)
        ordered = self.mails.of(key)
        if refused:
            return Outcome("refused", refused[0].reason)
        if ready[0].address is None:
            return Outcome("refused", NO_ADDRESS)
        if ordered is None or ordered.mail_digest != ready[0].digest:
            return Outcome("refused", CHANGED)
        return self.wire.deliver(as_sent(ready[0].mail, ordered.mail_id), ready[0].address)

"""`quillstem ledger`: look after what is kept. `forget` takes a rider out of it."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from typing import TYPE_CHECKING

import click
from rich.console import Console

from triage.cli.learn import AT_THE_COMMAND_LINE, LEDGER
from triage.cli.opened import opened_ledger
from triage.cli.suggest import Suggesting

if TYPE_CHECKING:
    from triage.ledger import Ledger
    from triage.ledger.forget import Found, Sender

MOST_SENDERS = 10


@click.group("ledger", cls=Suggesting)
def ledger_group() -> None:
    """Look after the ledger: what came in, what was drafted and what people did."""


@ledger_group.command("forget")
@click.argument("person")
@LEDGER
@click.option("--yes", "is_agreed", is_flag=True, help="Don't ask before removing.  Example: --yes")
def forget_command(person: str, ledger_place: str, is_agreed: bool) -> None:
    """Take a rider out of the ledger, at the rider's wish. The answers stay, without a name.

    PERSON is a mail address, or a full name as the messages bear it. Name, address and words are removed from the
    messages, drafts, edited texts and the history. It can't be taken back.

    \b
    Example:
      quillstem ledger forget ana@riders.invalid
    \b
    Exit codes: 0 removed, 1 you said no or the file still has to be cleared,
    2 nobody found or the ledger can't be used.
    """
    from triage.ledger import LedgerError
    from triage.ledger.forget import find, sweep

    try:
        with opened_ledger(ledger_place) as ledger:
            # An earlier removal may have found the file in use.
            is_swept = sweep(ledger)
            found = find(ledger, person)
            if not found.messages:
                _nobody(person, is_swept)
            _show(found)
            if not is_agreed and not click.confirm("Remove it for good?", default=False):
                click.echo("Nothing was removed.")
                sys.exit(1)
            _remove(ledger, person)
    except LedgerError as error:
        click.echo(str(error), err=True)
        sys.exit(2)


def _nobody(person: str, is_swept: bool) -> None:
    click.echo(
        f"The ledger has no message from “{person}”.\n"
        "    A mail address or a full name must be the whole of it, as in “Ana Example”; capitals make no difference.\n"
        "    A first name alone is not looked for, since many riders share one. Who was forgotten is not found again.",
        err=True,
    )
    if not is_swept:
        click.echo(_IN_USE, err=True)
    sys.exit(2)


def _show(found: Found) -> None:
    click.echo(
        f"To be removed: {_many(found.messages, 'message')} with {_many(found.questions, 'question')}, from"
    )
    _list(found.senders)
    if found.beside:
        click.echo("Not among them, though of the same name or address:")
        _list(found.beside)
    click.echo("The answers stay, with their figures and signatures.")


def _list(senders: Sequence[Sender]) -> None:
    for sender in senders[:MOST_SENDERS]:
        click.echo(f"  {sender}, {_many(sender.messages, 'message')}")
    if len(senders) > MOST_SENDERS:
        click.echo(f"  and {len(senders) - MOST_SENDERS} more")


_IN_USE = (
    "The ledger's file is in use, so the removed words may still stand in its free space.\n"
    "    Close the desk and run the same command again: it clears the file first."
)


def _remove(ledger: Ledger, person: str) -> None:
    from triage.ledger import Person
    from triage.ledger.forget import forget
    from triage.personal import without_a_trace

    by = Person(AT_THE_COMMAND_LINE, "editor")
    with Console(stderr=True, highlight=False).status("Removing …"):
        done = forget(ledger, person, without_a_trace, by)
    click.echo(
        f"Removed: name, address and words of {_many(done.messages, 'message')}, "
        f"and what {_many(done.questions, 'question')} and their history said of the rider.\n"
        "Not touched, and still holding them:\n"
        "  output folders made earlier: run `quillstem draft` into them again, or delete them\n"
        "  the inbox, exported replies and mails that were sent: delete them by hand\n"
        "  backups of the ledger and of all these"
    )
    if not done.is_swept:
        click.echo(_IN_USE, err=True)
        sys.exit(1)


def _many(count: int, thing: str) -> str:
    return f"{count:,} {thing}{'s' * (count != 1)}"

"""`quillstem ledger`: look after what is kept: check it, back it up, put it back, take a rider out of it."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING

import click
from rich.console import Console
from rich.progress import BarColumn, Progress, TextColumn, TimeRemainingColumn

from triage.cli.learn import AT_THE_COMMAND_LINE, LEDGER
from triage.cli.opened import opened_ledger
from triage.cli.suggest import Suggesting

if TYPE_CHECKING:
    from triage.ledger import Ledger
    from triage.ledger.care import Checked
    from triage.ledger.forget import Found, Sender

MOST_SENDERS = 10
SOUND, FAULTS, UNREADABLE = 0, 1, 2
_REPLACE = click.option(
    "--replace", is_flag=True, help="Take the place of what is there.  Example: --replace"
)


@click.group("ledger", cls=Suggesting)
def ledger_group() -> None:
    """Look after the ledger: what came in, what was drafted and what people did."""


@ledger_group.command("check")
@LEDGER
@click.option("--json", "as_json", is_flag=True, help="Print it for programs.  Example: --json")
def check_command(ledger_place: str, as_json: bool) -> None:
    """Check the database itself, and that all in it agrees, from the message that came in to the reply that went out.

    Nothing is changed, but for a ledger of an earlier version, which is brought to the present one first. Others may go
    on working meanwhile.

    \b
    Example:
      quillstem ledger check --ledger drafts/ledger.sqlite
    \b
    Exit codes: 0 sound, 1 faults were found; each is told with what to do, 2 the ledger can't be read.
    """
    from triage.ledger import LedgerError
    from triage.ledger.care import Checked, check
    from triage.ledger.integrity import damage

    try:
        checked = Checked()
        if "://" not in ledger_place and Path(ledger_place).is_file():
            checked.add(damage(Path(ledger_place)))
        if checked.is_sound:
            with opened_ledger(ledger_place) as ledger, _progress("Checking") as advance:
                checked = check(ledger, advance)
    except LedgerError as error:
        click.echo(str(error), err=True)
        sys.exit(UNREADABLE)
    click.echo(_as_json(checked) if as_json else "\n".join(_told(checked)))
    sys.exit(SOUND if checked.is_sound else FAULTS)


def _as_json(checked: Checked) -> str:
    told = {
        "sound": checked.is_sound,
        "counts": checked.counts,
        "found": dict(checked.found),
        "faults": [asdict(fault) for fault in checked.faults],
    }
    return json.dumps(told, ensure_ascii=False, indent=2)


def _told(checked: Checked) -> Iterator[str]:
    for what, counts in checked.counts.items():
        yield f"{what:<10}" + ", ".join(f"{count:,} {name}" for name, count in counts.items())
    for kind, count in checked.found.items():
        these = [fault for fault in checked.faults if fault.kind == kind]
        yield f"\n{kind}: {count:,}"
        yield from (f"  {fault.where}: {fault.told}" for fault in these)
        if count > len(these):
            yield f"  and {count - len(these):,} more"
        yield from (f"    {remedy}" for remedy in dict.fromkeys(fault.remedy for fault in these))
    if not checked.counts:
        yield "\nThe database is damaged, so what stands in it was not looked at."
    yield "\nSound." if checked.is_sound else f"\n{_many(checked.found.total(), 'fault')}."


@ledger_group.command("backup")
@click.argument("file", type=click.Path(dir_okay=False, path_type=Path))
@LEDGER
@_REPLACE
def backup_command(file: Path, ledger_place: str, replace: bool) -> None:
    """Back the ledger up into FILE, while others may go on working. A PostgreSQL ledger becomes one SQLite file too.

    FILE is whole or not there: it is written beside its place, checked and then renamed. It holds all that the ledger
    holds, riders' mail and the team's password hashes included, so keep it as safe.

    \b
    Example:
      quillstem ledger backup monday.sqlite
    \b
    Exit codes: 0 backed up, 2 the ledger can't be read or FILE not be written; then FILE is as it was.
    """
    from triage.ledger import LedgerError
    from triage.ledger.backup import back_up

    try:
        with opened_ledger(ledger_place) as ledger, _progress("Copying") as advance:
            back_up(ledger, file, replace=replace, on_progress=advance)
    except LedgerError as error:
        click.echo(str(error), err=True)
        sys.exit(UNREADABLE)
    click.echo(f"{file}: {_size(file.stat().st_size)}, checked.")


def _size(count: int) -> str:
    return f"{count / 1e6:,.1f} MB"


@ledger_group.command("restore")
@click.argument("file", type=click.Path(dir_okay=False, path_type=Path))
@click.option(
    "--ledger", "ledger_place", required=True, metavar="FILE-or-URL",
    help="Where it shall be.  Example: --ledger drafts/ledger.sqlite",
)  # fmt: skip
@_REPLACE
def restore_command(file: Path, ledger_place: str, replace: bool) -> None:
    """Put the backup in FILE in the place of a ledger. FILE is checked first and only read.

    With --replace the ledger that is there is kept beside under a dated name; a PostgreSQL ledger is backed up beside
    FILE. Close the desk and every run first.

    \b
    Example:
      quillstem ledger restore monday.sqlite --ledger drafts/ledger.sqlite --replace
    \b
    Exit codes: 0 restored, 1 restored, with the faults that the ledger had when it was backed up,
    2 nothing was changed: FILE is damaged, or the place is not empty, in use or can't be written.
    """
    from triage.ledger import LedgerError
    from triage.ledger.backup import restore

    try:
        with _progress("Copying") as advance:
            checked, kept = restore(file, ledger_place, replace=replace, on_progress=advance)
    except LedgerError as error:
        click.echo(str(error), err=True)
        sys.exit(UNREADABLE)
    if kept is not None:
        click.echo(f"What was there is kept in {kept}.")
    click.echo("\n".join(_told(checked)))
    click.echo("Restored.")
    sys.exit(SOUND if checked.is_sound else FAULTS)


@contextmanager
def _progress(what: str) -> Iterator[Callable[[int, int], None]]:
    console = Console(stderr=True, highlight=False)
    columns = (
        TextColumn("{task.description}"), BarColumn(), TextColumn("{task.percentage:>3.0f} %"), TimeRemainingColumn(),
    )  # fmt: skip
    with Progress(*columns, console=console, transient=True, disable=not console.is_terminal) as progress:
        task = progress.add_task(what, total=None)
        yield lambda done, total: progress.update(task, completed=done, total=total)


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

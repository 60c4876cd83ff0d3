"""`quillstem recall`: every answer that stood on a source, a row or a calculation, with what each would say now."""

from __future__ import annotations

import json
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click
from rich.console import Console
from rich.progress import Progress
from rich.table import Table

from knowledge.trouble import KnowledgeError
from triage.cli.knowledge import OWN_FOLDER
from triage.cli.learn import LEDGER
from triage.cli.opened import opened_bench

if TYPE_CHECKING:
    from triage.review.acts import Bench
    from triage.review.changes import Change
    from triage.review.recall import Recall, Recalled

MOST_CHANGES = 3


@click.command("recall")
@click.argument("what", metavar="SOURCE-OR-ROW")
@LEDGER
@OWN_FOLDER
@click.option("--json", "as_json", is_flag=True, help="For programs.  Example: --json")
def recall_command(what: str, ledger_place: str, own_folder: Path | None, as_json: bool) -> None:
    """Find every draft, sent reply and broadcast that stood on SOURCE-OR-ROW, and what each would say now.

    It may be a source, a table row, a whole table, a part, a calculation or a brief. Nothing is changed by it, and
    nobody loses a sign-off.

    \b
    Examples:
      quillstem recall brakes/fluids#dot-4-dry
      quillstem recall brakes/fluids
      quillstem recall iso-286
    \b
    Exit codes: 0 found, 1 nothing stood on it, 2 nothing is called so, or the ledger or knowledge can't be used.
    """
    from triage.ledger import LedgerError
    from triage.review.recall import NotKnownError, summed_up

    try:
        with opened_bench(ledger_place, own_folder) as bench:
            found = _recall(bench, what)
    except (KnowledgeError, LedgerError, NotKnownError) as error:
        click.echo(str(error), err=True)
        sys.exit(2)
    if as_json:
        click.echo(json.dumps(_as_json(found), ensure_ascii=False))
    else:
        if found.answers:
            Console(highlight=False).print(_table(found))
        click.echo(summed_up(found))
    sys.exit(0 if found.found else 1)


def _recall(bench: Bench, what: str) -> Recall:
    from triage.review.recall import recall

    console = Console(stderr=True, highlight=False)
    with Progress(console=console, transient=True, disable=not console.is_terminal) as progress:
        task = progress.add_task("Looking what stood on it", total=None)
        return recall(bench, what, lambda: progress.advance(task))


def _table(found: Recall) -> Table:
    table = Table(title=found.what, title_justify="left", box=None, pad_edge=False)
    for name in ("question", "rider", "went out", "verdict", "what changes"):
        table.add_column(name, overflow="fold")
    for one in found.answers:
        table.add_row(
            f"{one.question_id}\n{one.title}",
            one.rider or "no name",
            _went_out(one),
            _verdict(one),
            _changes(one),
        )
    return table


def _went_out(one: Recalled) -> str:
    sent = [f"sent {one.sent_on}"] if one.sent_on else []
    return "\n".join([*(f"aired {day}" for day in one.aired_on), *sent]) or one.state


def _verdict(one: Recalled) -> str:
    if one.verdict_now is None:
        return f"{one.verdict_then} → ?"
    return f"{one.verdict_then} → {one.verdict_now}" if one.verdict_changes else one.verdict_now


def _changes(one: Recalled) -> str:
    if one.verdict_now is None:
        return "can't be worked out anew"
    # The verdict has a column of its own.
    told = [_told(change) for change in one.changes if change.what != "verdict"]
    more = len(told) - MOST_CHANGES
    return "\n".join([*told[:MOST_CHANGES], *([f"and {more} more"] if more > 0 else [])]) or "nothing"


def _told(change: Change) -> str:
    if change.was is None and change.now is None:
        return f"{change.what} reads otherwise"
    return f"{change.what}: {change.was or 'nothing'} → {change.now or 'nothing'}"


def _as_json(found: Recall) -> dict[str, Any]:
    return {
        "what": found.what,
        "kind": found.kind,
        "grounds": list(found.grounds),
        "answers": [_answer(one) for one in found.answers],
    }


def _answer(one: Recalled) -> dict[str, Any]:
    changes: Sequence[Change] = one.changes
    return {
        "question_id": one.question_id,
        "title": one.title,
        "rider": one.rider,
        "state": one.state,
        "sent_on": one.sent_on,
        "aired_on": list(one.aired_on),
        "verdict_then": one.verdict_then,
        "verdict_now": one.verdict_now,
        "verdict_changes": one.verdict_changes,
        "changes": [{"what": change.what, "was": change.was, "now": change.now} for change in changes],
    }

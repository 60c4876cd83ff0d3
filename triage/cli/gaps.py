"""`quillstem gaps`: what riders asked and no brief answers."""

from __future__ import annotations

import csv
import sys
from pathlib import Path

import click
from rich.console import Console
from rich.table import Table

from knowledge.trouble import KnowledgeError
from triage.cli.knowledge import OWN_FOLDER
from triage.cli.learn import LEDGER


@click.command("gaps")
@LEDGER
@click.option("--most", default=20, show_default=True, help="How many heaps to show.  Example: --most 50")
@click.option(
    "--csv", "csv_file", type=click.Path(dir_okay=False, path_type=Path),
    help="Also write all of them to a CSV file.  Example: --csv gaps.csv",
)  # fmt: skip
@OWN_FOLDER
def gaps_command(ledger_place: str, most: int, csv_file: Path | None, own_folder: Path | None) -> None:
    """Gather the questions that no brief answers, so that the desk knows what to write next.

    Exit codes: 0 shown, 2 the ledger or the knowledge base can't be used.
    """
    from knowledge.load import load
    from triage.gaps import gaps
    from triage.ledger import LedgerError, open_ledger
    from triage.output.cells import safe_cell
    from triage.output.files import whole_file
    from triage.sorter.fold import folder_for

    try:
        knowledge = load(own_folder)
        ledger = open_ledger(ledger_place)
        lines = ledger.unanswered()
        ledger.close()
    except (KnowledgeError, LedgerError) as error:
        click.echo(str(error), err=True)
        sys.exit(2)
    found = gaps(lines, folder_for(knowledge).fold)
    if not found:
        click.echo("Every question found a brief.")
        return
    table = Table(title=f"{len(lines)} questions without a brief", title_justify="left", box=None)
    for name in ("riders", "likes"):
        table.add_column(name, justify="right")
    for name in ("topic", "typical words", "one of them"):
        table.add_column(name, overflow="fold")
    for gap in found[:most]:
        table.add_row(str(gap.riders), str(gap.likes), gap.topic, ", ".join(gap.words), gap.examples[0][:160])
    Console(highlight=False).print(table)
    if csv_file is not None:
        with whole_file(csv_file) as file:
            rows = csv.writer(file)
            rows.writerow(["riders", "questions", "likes", "topic", "words", "nearest_brief", "examples"])
            for gap in found:
                cells = (" ".join(gap.words), gap.nearest_brief or "", " / ".join(gap.examples))
                rows.writerow([gap.riders, gap.count, gap.likes, gap.topic, *map(safe_cell, cells)])
        click.echo(f"All {len(found)} heaps are in {csv_file}.")

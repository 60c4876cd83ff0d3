"""`quillstem knowledge`: check the knowledge base, and write it as a handbook."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from triage.cli.suggest import Suggesting

OWN_FOLDER = click.option(
    "--knowledge",
    "own_folder",
    type=click.Path(exists=True, file_okay=False, path_type=Path),
    help="A desk's own knowledge folder, laid over ours.  Example: --knowledge our_desk/",
)


@click.group("knowledge", cls=Suggesting)
def knowledge_group() -> None:
    """Look after the knowledge base: tables, briefs, parts and sources."""


@knowledge_group.command("check")
@OWN_FOLDER
def check_command(own_folder: Path | None) -> None:
    """Validate every knowledge file; each fault is named with file, line and field.

    Exit code 0 when all is well, 1 when something is wrong.
    """
    from knowledge.load import examine

    found, troubles = examine(own_folder)
    for trouble in troubles:
        click.echo(str(trouble))
    if troubles:
        files = len({trouble.file for trouble in troubles})
        click.echo(f"\n{len(troubles)} problems in {files} files.")
        sys.exit(1)
    click.echo(
        f"All is well: {len(found.briefs)} briefs, {len(found.calculations)} calculations, "
        f"{len(found.parts)} parts, {len(found.sources)} sources, {len(found.terms)} terms."
    )


@knowledge_group.command("book")
@click.option(
    "--out", type=click.Path(file_okay=False, path_type=Path), default=Path("book"), show_default=True,
    help="Folder for the pages.  Example: --out workshop_book/",
)  # fmt: skip
@OWN_FOLDER
def book_command(out: Path, own_folder: Path | None) -> None:
    """Write the whole knowledge base as a handbook of web pages: formulas, plots, tables, questions, sources.

    Exit code 0 when written, 2 when the knowledge base has faults.
    """
    from rich.console import Console
    from rich.progress import Progress

    from knowledge.book import write_book
    from knowledge.load import load
    from knowledge.trouble import KnowledgeError

    try:
        found = load(own_folder)
    except KnowledgeError as error:
        click.echo(str(error), err=True)
        sys.exit(2)
    console = Console(stderr=True)
    with Progress(console=console, transient=True, disable=not console.is_terminal) as progress:
        task = progress.add_task("Drawing", total=len(found.calculations))
        written = write_book(found, out, lambda amount: progress.advance(task, amount))
    click.echo(f"{len(written)} pages written; open {written[0]}")

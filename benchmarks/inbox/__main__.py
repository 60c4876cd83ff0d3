"""`python -m benchmarks.inbox`: write a synthetic inbox."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from benchmarks.inbox.files import KINDS, make_inbox
from knowledge.load import load


@click.command()
@click.option(
    "--messages",
    default=10_000,
    show_default=True,
    type=click.IntRange(1),
    help="How many.  Example: --messages 100000",
)
@click.option(
    "--seed", default=7, show_default=True, help="The same seed writes the same inbox.  Example: --seed 8"
)
@click.option(
    "--kind",
    default="mixed",
    show_default=True,
    type=click.Choice(KINDS),
    help="mbox: mails alone; csv, jsonl: comments alone; mixed: half mails, a quarter of each export.",
)
@click.option(
    "--to", "folder", required=True, type=click.Path(file_okay=False, path_type=Path),
    help="Where to write it.  Example: --to /tmp/inbox",
)  # fmt: skip
def main(messages: int, seed: int, kind: str, folder: Path) -> None:
    """Write an inbox of invented riders who ask what the briefs' examples ask, each in words of their own.

    \b
    What comes out below the folder:
      inbox/      archive.mbox, comments.csv, comments.jsonl: draft from here
      truth.csv   the planted repeats: message_id, the earlier message_id, how it was changed
      about.json  what is in it, how many texts are distinct, how its words grow

    \b
    Example:
      python -m benchmarks.inbox --messages 10000 --to /tmp/inbox
      quillstem draft /tmp/inbox/inbox --out /tmp/drafts
    """
    with click.progressbar(length=messages, label="Writing", file=sys.stderr) as bar:
        made = make_inbox(load(), messages, folder, kind, seed, on_progress=bar.update)
    about = made.about
    click.echo(
        f"{messages:,} messages, {about['bytes'] / 1e6:,.1f} MB, {about['words a message']:.1f} words each; "
        f"written in {about['seconds']:.1f} s ({messages / about['seconds']:,.0f} a second)."
    )
    click.echo(
        ", ".join(f"{name} {count:,} ({count / messages:.1%})" for name, count in about["counts"].items())
        + "."
    )
    click.echo(
        f"Distinct texts {about['share of distinct texts']:.2%}; with figures and case left out "
        f"{about['share distinct without figures and case']:.2%}; {about['redrawn because written before']} redrawn."
    )
    for row in about["growth"]:
        click.echo(
            f"  {row['messages']:>9,} messages {row['words']:>11,} words {row['distinct words']:>9,} distinct"
        )
    if about["growth exponent"] is not None:
        click.echo(f"Distinct words grow with the {about['growth exponent']:.2f}th power of the words.")


if __name__ == "__main__":
    main()

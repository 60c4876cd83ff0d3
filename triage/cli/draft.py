"""`quillstem draft`: read an inbox, keep it in the ledger, write the drafts, sum up."""

from __future__ import annotations

import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

import click
from rich.console import Console
from rich.progress import BarColumn, Progress, TextColumn, TimeRemainingColumn
from rich.table import Table

from knowledge.trouble import KnowledgeError
from triage.cli.logs import LOGS, set_up
from triage.cli.typed import typed
from triage.logs import event

if TYPE_CHECKING:
    from knowledge.base import Knowledge
    from triage.batch import Run
    from triage.output.totals import Totals

DONE, SOME_REFUSED, NOTHING_USABLE = 0, 1, 2
_FOLDER = click.Path(exists=True, file_okay=False, path_type=Path)
TEACHING = "Teaching the sorter from the briefs (a minute the first time, kept for the next) …"
READ_ONCE = (
    "The language model is missing, or another one than was measured (`make install` brings it): questions whose words "
    "leave a doubt are not read a second time, and more of them go to a person."
)


@click.command("draft")
@click.argument("paths", nargs=-1, required=True, type=click.Path(path_type=Path), metavar="PATH...")
@click.option(
    "--out", type=click.Path(file_okay=False, path_type=Path), default=Path("drafts"), show_default=True,
    help="Folder for the drafts.  Example: --out this_week/",
)  # fmt: skip
@click.option(
    "--ledger", "ledger_place", default=None, metavar="FILE-or-URL",
    help="Where everything is kept; by default ledger.sqlite in the output folder.  "
    "Example: --ledger desk.sqlite, or --ledger postgresql://desk@localhost/show",
)  # fmt: skip
@click.option(
    "--knowledge", "own_folder", type=_FOLDER,
    help="A desk's own knowledge folder, laid over ours.  Example: --knowledge our_desk/",
)  # fmt: skip
@click.option(
    "--pace", type=click.FloatRange(60, 300), default=150.0, show_default=True, metavar="WORDS-PER-MINUTE",
    help="How fast the presenter reads.  Example: --pace 140",
)  # fmt: skip
@click.option(
    "--seconds", type=click.FloatRange(15, 600), metavar="SECONDS",
    help="How long each script may be, within 15 %; the least deciding words go first, a caution never.  "
    "Without it, all is said.  Example: --seconds 45",
)  # fmt: skip
@click.option(
    "--columns", multiple=True, metavar="OURS=THEIRS",
    help="A column of an export that has an unusual name; ours are id, author, text, date, likes.  "
    "Example: --columns text=Nachricht --columns likes=Daumen",
)  # fmt: skip
@click.option(
    "--workers", type=click.IntRange(0), default=0, metavar="COUNT",
    help="Processes that draft at the same time; 0 takes one a core where the inbox is large, and this one where it is "
    "small. What comes out is the same.  Example: --workers 4",
)  # fmt: skip
@click.option(
    "--cluster", metavar="ADDRESS",
    help="The scheduler of a Dask cluster that does the work instead; each of its workers needs this program and the same "
    "knowledge.  Example: --cluster tcp://10.0.0.5:8786",
)  # fmt: skip
@LOGS
@click.option("--quiet", is_flag=True, help="No progress and no summary, only trouble.  Example: --quiet")
def draft_command(
    paths: tuple[Path, ...], out: Path, ledger_place: str | None, own_folder: Path | None, pace: float,
    seconds: float | None,
    columns: tuple[str, ...], workers: int, cluster: str | None, verbose: bool, log_json: str | None, quiet: bool,
) -> None:  # fmt: skip
    """Read riders' messages and draft an answer to each question in them.

    PATH is a mail, an mbox, a Maildir, a comment export (CSV, JSON lines), a text note, or a folder of them;
    what a file is, its content decides and not its name. How much is read of one message, and what happens beyond it,
    stands in docs/bounds.md. Stop it at any time: the same command goes on where it stopped.

    \b
    Exit codes:
      0  everything was read
      1  done, but some inputs were refused; each is named with its reason
      2  nothing usable was found, the command was wrong, or ledger or folder can't be used
    130  stopped by Ctrl-C

    \b
    Example:
      quillstem draft sample_inbox --out drafts --pace 140
      quillstem draft years_of_mail.mbox --ledger archive.sqlite --workers 8 --log-json run.jsonl
    """
    from triage.ledger.errors import LedgerError

    console = Console(stderr=True, highlight=False, quiet=quiet)
    set_up(verbose, log_json, console)
    try:
        code = _draft(
            paths, out, ledger_place, own_folder, pace, seconds, _columns(columns), workers, cluster, console
        )
    except (KnowledgeError, LedgerError, ValueError) as error:
        click.echo(str(error), err=True)
        code = NOTHING_USABLE
    except OSError as error:
        click.echo(
            f"{error.filename or out}: can't be written: {error.strerror or error}.\n"
            "    Is there room on the disk, and may you write there? What was drafted is kept in the ledger: "
            "run the same command again.",
            err=True,
        )
        code = NOTHING_USABLE
    except KeyboardInterrupt:
        click.echo("Stopped. Nothing is lost: run the same command again and it goes on.", err=True)
        code = 130
    sys.exit(code)


def _columns(given: tuple[str, ...]) -> dict[str, str]:
    columns = {}
    for pair in given:
        ours, equals, theirs = pair.partition("=")
        if not equals or ours not in ("id", "author", "text", "date", "likes", "channel"):
            raise click.UsageError(
                f"--columns {pair}: expected OURS=THEIRS with ours one of id, author, text, date, likes, channel."
            )
        columns[ours] = theirs
    return columns


def _draft(
    paths: tuple[Path, ...], out: Path, ledger_place: str | None, own_folder: Path | None, pace: float,
    seconds: float | None,
    columns: dict[str, str], workers: int, cluster: str | None, console: Console,
) -> int:  # fmt: skip
    from knowledge.load import load
    from knowledge.phrases import load_phrases
    from triage.batch import Setting, crew_for, here_to_stay, run
    from triage.ledger import LedgerError, open_ledger
    from triage.output import write_outputs
    from triage.pipeline import Desk
    from triage.read import count_bytes
    from triage.review.acts import Bench, look_again
    from triage.review.standing import stands_on
    from triage.sorter import lessons, sorter_for

    missing = [path for path in paths if not _is_there(path)]
    if len(missing) == len(paths):
        for path in missing:
            click.echo(f"{path}: there is no such file or folder.", err=True)
        return NOTHING_USABLE
    with console.status("Reading the knowledge base …"):
        knowledge = load(own_folder)
        phrases = load_phrases(own_folder)
    try:
        out.mkdir(parents=True, exist_ok=True)
        ledger = open_ledger(ledger_place or out / "ledger.sqlite")
    except (LedgerError, OSError) as error:
        click.echo(str(error), err=True)
        return NOTHING_USABLE
    ledger.on_wait = lambda told: click.echo(told, err=True)
    try:
        with console.status(TEACHING) as status:
            taught = ledger.taught()
            learnt = lessons(ledger.corrections(), taught)
            sorter = sorter_for(
                knowledge,
                learnt,
                on_progress=lambda done, total: status.update(f"{TEACHING} {done} of {total} examples"),
            )
        if sorter.meaning is None:
            click.echo(READ_ONCE, err=True)
        here_to_stay()
        last = ledger.last_correction()  # before they are read, so that one made meanwhile counts as later
        desk = Desk(knowledge, phrases, sorter, pace, taught, seconds, ledger.corrections_by_question(), last)
        size = count_bytes(paths)
        setting = Setting(own_folder, knowledge.digest, pace, seconds, taught, tuple(learnt))
        crew = crew_for(size, workers, setting, cluster)
        event("run began", bytes=size, workers=crew.workers, is_cluster=cluster is not None)
        with _progress(console, "Drafting", size) as (advance, tell):
            done = run(paths, desk, ledger, columns or None, advance, crew, tell)
        with console.status("Noting what each draft stands on …"):
            ledger.grounds.catch_up(lambda line: stands_on(line, knowledge))
        lost = look_again(Bench(ledger, knowledge, phrases))
        with _progress(console, "Writing", None) as (_, tell):
            totals = write_outputs(done.number, ledger, knowledge, out, tell, crew.here)
        ledger.runs.end(done.number)
        event("outputs written", questions=totals.questions, replies=totals.replies)
        event("run ended", messages=done.counts["messages"], refused=done.counts["refused"])
    finally:
        ledger.close()
    refused = done.counts["refused"]
    for refusal in done.refusals:
        click.echo(str(refusal), err=True)
    if refused > len(done.refusals):
        click.echo(f"… and {refused - len(done.refusals):,} more; all are in {out}/refused.csv", err=True)
    for question, why in lost:
        click.echo(f"{question} lost its sign-off. {why}", err=True)
    if not console.quiet:
        _summary(done, totals, out, knowledge)
    if not done.counts["messages"]:
        click.echo("Nothing usable was found under the given paths.", err=True)
        return NOTHING_USABLE
    return SOME_REFUSED if refused else DONE


def _is_there(path: Path) -> bool:
    try:
        return path.exists()
    except OSError:  # a folder above it may not be entered: the reader says so
        return True


@contextmanager
def _progress(
    console: Console, what: str, total: int | None
) -> Iterator[tuple[Callable[[int], None], Callable[[int], None]]]:
    """A bar over bytes, and a count of messages beside it with how many a second; two functions that move them."""
    columns = (
        TextColumn("{task.description}"),
        BarColumn(),
        TextColumn("{task.percentage:>3.0f} %"),
        TextColumn("{task.fields[told]}"),
        TimeRemainingColumn(),
    )
    with Progress(*columns, console=console, transient=True, disable=not console.is_terminal) as progress:
        task = progress.add_task(what, total=total, told="")
        begun, count = time.monotonic(), 0

        def tell(amount: int) -> None:
            nonlocal count
            count += amount
            rate = count / max(time.monotonic() - begun, 0.1)
            progress.update(task, told=f"{count:,} messages, {rate:,.0f} a second")

        yield lambda amount: progress.advance(task, amount), tell


def _summary(done: Run, totals: Totals, out: Path, knowledge: Knowledge) -> None:
    from triage.output.write import MOST_IN_THE_FOLDER

    console = Console(highlight=False)
    counts = done.counts
    console.print(
        f"\nIn: {counts['messages']} messages ({counts['kept before']} of them known already, "
        f"{counts['same message again']} met twice, {counts['refused']} inputs refused)."
    )
    table = Table(title="What came out", title_justify="left", box=None, pad_edge=False)
    table.add_column("topic", no_wrap=True)
    verdicts = ("yes", "yes-if", "not-recommended", "inspect-first", "need-more", "explain", "none")
    for verdict in verdicts:
        table.add_column(verdict.replace("-", "-\n", 1), justify="right", overflow="fold")
    for topic, label in ((key, topic.label) for key, topic in knowledge.topics.items()):
        if topic in totals.by_topic:
            row = totals.by_topic[topic]
            table.add_row(label, *(str(row[verdict] or "") for verdict in verdicts))
    console.print(table)
    flags = totals.flags
    console.print(
        f"{totals.set_aside} set aside; {flags['urgent']} urgent, {flags['person']} for a person, "
        f"{flags['closer']} for the end of the show. "
        f"The script reads {int(totals.script_seconds) // 60} min {int(totals.script_seconds) % 60} s."
    )
    console.print(f"\nIn {out}/:")
    many = "replies/" if totals.replies <= MOST_IN_THE_FOLDER else "replies.mbox"
    for name, what in (
        ("sheet.html", "open this first: each draft with its working and sources, for the editor"),
        ("script.md", "for the presenter, by topic, with the time of each answer"),
        (many, f"{totals.replies} mails, unsent, threaded to the riders' own"),
        ("summary.csv", "one row a question, for a spreadsheet"),
        ("drafts.jsonl", "everything, for programs"),
        *([("refused.csv", "what could not be read, each with its reason")] if counts["refused"] else []),
    ):
        console.print(f"  {name:<13} {what}")
    console.print(
        f"\nNext: read sheet.html, or open the desk over the same ledger with {typed('desk')}, to correct, sign off and "
        "answer. Send nothing that you have not read."
    )
    asking = sum(row["need-more"] for row in totals.by_topic.values())
    bad = sum(row["not-recommended"] for row in totals.by_topic.values())
    console.print(
        f"{totals.questions} questions: {totals.drafted} drafted, {asking} need a measurement, {bad} not recommended"
    )

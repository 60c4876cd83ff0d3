"""`quillstem episode`: plan the week's show, change the plan, mark it as aired, keep promises, put answers right."""

from __future__ import annotations

import sys
from collections.abc import Callable
from datetime import date
from functools import wraps
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click
from rich.console import Console
from rich.table import Table

from knowledge.trouble import KnowledgeError
from triage.cli.knowledge import OWN_FOLDER
from triage.cli.learn import AT_THE_COMMAND_LINE, LEDGER
from triage.cli.opened import opened_bench
from triage.cli.typed import bare, typed

if TYPE_CHECKING:
    from triage.episode.making import Made
    from triage.ledger import Person

DAY = click.option(
    "--date", "day", metavar="YYYY-MM-DD", default=None,
    help="The day of the show, by default today.  Example: --date 2026-12-03",
)  # fmt: skip


@click.group("episode")
def episode_group() -> None:
    """Choose, order, time and script the week's episode from what is signed off, and put right what was wrong.

    \b
    Start here:
      quillstem episode plan --minutes 15
      quillstem episode plan --drop KEY
      quillstem episode aired
    """


def _told(command: Callable[..., None]) -> Callable[..., None]:
    """Faults that somebody can act on are told in words, without a traceback."""

    @wraps(command)
    def told(*args: Any, **kwargs: Any) -> None:
        from triage.episode.plan import ClashingRulesError
        from triage.ledger import ClashError, LedgerError
        from triage.review.acts import NotDoneError

        try:
            command(*args, **kwargs)
        except ClashError:
            click.echo(
                "Somebody else changed the episode in the meantime, or it was aired. Plan it again.", err=True
            )
            sys.exit(2)
        except ClashingRulesError as error:
            click.echo(str(error), err=True)
            sys.exit(1)
        except (LedgerError, KnowledgeError, NotDoneError, ValueError) as error:
            click.echo(str(error), err=True)
            sys.exit(2)

    return told


def _day(text: str | None) -> date:
    if text is None:
        return date.today()
    try:
        return date.fromisoformat(text)
    except ValueError as error:
        raise ValueError(f"--date {text}: expected a day as YYYY-MM-DD.") from error


def _person() -> Person:
    from triage.ledger import Person

    return Person(AT_THE_COMMAND_LINE, "presenter")


@episode_group.command("plan")
@click.option(
    "--minutes", type=click.FloatRange(1, 240), default=15.0, show_default=True,
    help="How long the episode may be.  Example: --minutes 12",
)  # fmt: skip
@DAY
@click.option("--pin", multiple=True, metavar="KEY", help="An item that must be in.  Example: --pin 1f0c9a-1")
@click.option(
    "--drop", multiple=True, metavar="KEY", help="An item that stays out.  Example: --drop 1f0c9a-1"
)
@click.option(
    "--free",
    multiple=True,
    metavar="KEY",
    help="Neither pinned nor dropped any more.  Example: --free 1f0c9a-1",
)
@click.option(
    "--say", "names", multiple=True, metavar="NAME=LIKE-THIS",
    help="How a name is said.  Example: --say Siobhan=shi-VAWN",
)  # fmt: skip
@click.option(
    "--unsigned", is_flag=True,
    help="Choose from drafts that nobody has signed too, for a look ahead; each is marked.  Example: --unsigned",
)  # fmt: skip
@click.option(
    "--out", type=click.Path(file_okay=False, path_type=Path), default=None,
    help="Folder for the run of the show; by default episode-DATE beside the ledger.  Example: --out show/",
)  # fmt: skip
@LEDGER
@OWN_FOLDER
@_told
def plan_command(
    minutes: float, day: str | None, pin: tuple[str, ...], drop: tuple[str, ...], free: tuple[str, ...],
    names: tuple[str, ...], unsigned: bool, out: Path | None, ledger_place: str, own_folder: Path | None,
) -> None:  # fmt: skip
    """Choose and order the episode exactly, explain each choice, and write the run of the show.

    What riders asked most, what is fresh, teaches, is a safety matter and stands on figures weighs most; corrections and
    kept promises come first, a light one last. All weights and rules stand in knowledge/episode.yaml. What you pin, drop
    or free is remembered for that day, and the episode is solved again at once.

    \b
    Exit codes: 0 planned, 1 rules or wishes clash (it names which), 2 the ledger or the knowledge can't be used.
    \b
    Example:
      quillstem episode plan --minutes 15 --pin 1f0c9a-1
    """
    from knowledge.episode import load_episode_rules
    from triage.episode.files import write_show
    from triage.episode.making import make, wish

    when = _day(day).isoformat()
    said_like = dict(_pair(name) for name in names)
    with opened_bench(ledger_place, own_folder) as bench:
        rules = load_episode_rules(own_folder)
        episode = bench.ledger.episodes.planned(when, minutes * 60)
        episode = wish(
            bench.ledger, episode, _person(), pin=pin, drop=drop, free=free, said_like=said_like or None
        )
        made = make(bench, rules, episode, also_unsigned=unsigned)
        if not made.plan.items:
            click.echo(
                "Nothing to plan with: no answer is signed off.\n"
                f"    Sign some at the desk ({typed('desk')}), or look ahead with --unsigned."
            )
            sys.exit(1)
        _tell(made)
        folder = out or _beside(ledger_place) / f"episode-{when}"
        written = write_show(made.show, folder)
    click.echo(f"\nIn {folder}/:")
    for name, what in written:
        click.echo(f"  {name:<14} {what}")
    total = made.plan.seconds
    click.echo(
        f"\n{len(made.plan.items)} items, {int(total) // 60} min {int(total) % 60} s of {minutes:g} min"
        + (f"; {len(made.unsigned)} still to be signed" if made.unsigned else "")
    )


def _pair(text: str) -> tuple[str, str]:
    name, equals, like = text.partition("=")
    if not equals or not name.strip() or not like.strip():
        raise ValueError(f"--say {text}: expected NAME=LIKE-THIS, such as Siobhan=shi-VAWN.")
    return name.strip(), like.strip()


def _beside(place: str) -> Path:
    return Path() if "://" in place else Path(place).parent


def _tell(made: Made) -> None:
    console = Console(highlight=False)
    table = Table(title=f"The episode of {made.episode.day}", title_justify="left", box=None, pad_edge=False)
    for name in ("at", "s", "what", "why", "key"):
        table.add_column(name, justify="right" if name in ("at", "s") else "left", overflow="fold")
    for chosen, running in zip(made.plan.items, made.show.items, strict=True):
        at = f"{int(running.starts_at) // 60}:{int(running.starts_at) % 60:02d}"
        table.add_row(
            at, f"{running.seconds:.0f}", chosen.candidate.title, "; ".join(chosen.why), chosen.candidate.key
        )
    console.print(table)
    for note in made.plan.notes:
        console.print(note)
    if made.plan.near_misses:
        console.print("\nJust missed:")
        for near in made.plan.near_misses:
            console.print(f"  {near.candidate.title} ({near.candidate.key}): {near.lacks}")


@episode_group.command("aired")
@DAY
@click.option(
    "--seconds", "seconds", multiple=True, metavar="PLACE=SECONDS",
    help="How long an item really took; your pace is learnt from it.  Example: --seconds 1=62 --seconds 2=95",
)  # fmt: skip
@LEDGER
@OWN_FOLDER
@_told
def aired_command(
    day: str | None, seconds: tuple[str, ...], ledger_place: str, own_folder: Path | None
) -> None:
    """Mark the planned episode of a day as aired. Its promises are kept by that, its corrections made.

    \b
    Example:
      quillstem episode aired --date 2026-12-03 --seconds 1=62
    """
    from knowledge.episode import load_episode_rules
    from triage.episode.making import air, make, pace_of

    when = _day(day).isoformat()
    taken = dict(_taken(pair) for pair in seconds)
    with opened_bench(ledger_place, own_folder) as bench:
        episodes = [e for e in bench.ledger.episodes.all() if e.day == when and e.state == "planned"]
        if not episodes:
            raise ValueError(
                f"No episode is planned for {when}. Plan it first: {bare(f'episode plan --date {when}')}"
            )
        made = make(bench, load_episode_rules(own_folder), episodes[0])
        air(made, bench.ledger, _person(), taken)
        pace = pace_of(bench.ledger)
    click.echo(f"Aired on {when}: {len(made.plan.items)} items. Your pace is {pace:.0f} words a minute now.")


def _taken(pair: str) -> tuple[int, float]:
    place, equals, seconds = pair.partition("=")
    try:
        if not equals:
            raise ValueError
        return int(place), float(seconds)
    except ValueError as error:
        raise ValueError(f"--seconds {pair}: expected PLACE=SECONDS, such as 1=62.") from error


@episode_group.command("promise")
@click.argument("question_id")
@click.argument("what")
@click.option("--due", metavar="YYYY-MM-DD", help="By when you will report back.  Example: --due 2026-12-17")
@LEDGER
@OWN_FOLDER
@_told
def promise_command(
    question_id: str, what: str, due: str | None, ledger_place: str, own_folder: Path | None
) -> None:
    """Note what was promised on air; it comes back when an episode is planned, once something was found.

    \b
    Example:
      quillstem episode promise 1f0c9a-1 "ask a frame builder how deep the crack may be" --due 2026-12-17
    """
    due = _day(due).isoformat() if due else None
    with opened_bench(ledger_place, own_folder) as bench:
        bench.line(question_id)
        number = bench.ledger.episodes.promise(question_id, what, due, _person())
    found = bare(f'episode found {number} "WHAT YOU FOUND"')
    click.echo(f"Promise {number} is noted. Report with: {found}")


@episode_group.command("found")
@click.argument("number", type=int)
@click.argument("found")
@LEDGER
@OWN_FOLDER
@_told
def found_command(number: int, found: str, ledger_place: str, own_folder: Path | None) -> None:
    """Note what came of a promise; the next plan tells it early in the show."""
    with opened_bench(ledger_place, own_folder) as bench:
        if not bench.ledger.episodes.found(number, found):
            raise ValueError(f"There is no promise {number} still to be kept. See: {bare('episode open')}")
    click.echo("Noted. The next plan tells it.")


@episode_group.command("right")
@click.argument("question_id")
@click.option("--wrong", required=True, help='What was said.  Example: --wrong "that 60 N·m is enough"')
@click.option("--right", "right", required=True, help='What holds.  Example: --right "it is 40 N·m"')
@click.option("--told-by", help='Who told us.  Example: --told-by "a maker of cranks"')
@click.option(
    "--mails", type=click.Path(file_okay=False, path_type=Path), default=Path("put_right"), show_default=True,
    help="Folder for the mails to riders who got the old answer.  Example: --mails to_send/",
)  # fmt: skip
@LEDGER
@OWN_FOLDER
@_told
def right_command(
    question_id: str, wrong: str, right: str, told_by: str | None, mails: Path, ledger_place: str,
    own_folder: Path | None,
) -> None:  # fmt: skip
    """Enter a correction once: it comes first in the next plan, and as unsent mails for riders who got the old answer.

    \b
    Example:
      quillstem episode right 1f0c9a-1 --wrong "that 60 N·m is enough" --right "it is 40 N·m"
    """
    from triage.outbox import Sender
    from triage.outbox.put_right import as_files, correction_mails

    with opened_bench(ledger_place, own_folder) as bench:
        bench.line(question_id)
        number = bench.ledger.episodes.put_right(question_id, wrong, right, told_by, _person())
        one = next(r for r in bench.ledger.episodes.to_put_right() if r.number == number)
        files = as_files(correction_mails(bench.ledger, one, Sender()))
    click.echo(f"Correction {number} comes first in the next plan.")
    if files:
        mails.mkdir(parents=True, exist_ok=True)
        for name, content in files:
            (mails / name).write_bytes(content)
        click.echo(f"The old answer was sent to {len(files)}; their mails lie unsent in {mails}/.")


@episode_group.command("open")
@LEDGER
@OWN_FOLDER
@_told
def open_command(ledger_place: str, own_folder: Path | None) -> None:
    """List promises still to be kept and corrections still to be aired."""
    with opened_bench(ledger_place, own_folder) as bench:
        promises, owed = bench.ledger.episodes.promises(), bench.ledger.episodes.to_put_right()
    for promise in promises:
        due = f", due {promise.due}" if promise.due else ""
        found = f": {promise.found}" if promise.found else ", nothing found yet"
        click.echo(f"promise {promise.number} ({promise.question_id}{due}): {promise.what}{found}")
    for one in owed:
        click.echo(f"correction {one.number} ({one.question_id}): not {one.wrong}, but {one.right}")
    click.echo(f"{len(promises)} promises to keep, {len(owed)} corrections to air")


@episode_group.command("archive")
@click.option(
    "--out", type=click.Path(file_okay=False, path_type=Path), default=Path("archive"), show_default=True,
    help="Folder for the site.  Example: --out site/answers",
)  # fmt: skip
@LEDGER
@OWN_FOLDER
@_told
def archive_command(out: Path, ledger_place: str, own_folder: Path | None) -> None:
    """Write all aired answers as a static site with a search, to put beside the show's videos."""
    from triage.episode.files import write_aired

    with opened_bench(ledger_place, own_folder) as bench:
        count = write_aired(bench.ledger, bench.knowledge, out)
    click.echo(f"{count} aired answers in {out}/; open {out}/index.html")

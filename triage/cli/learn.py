"""`quillstem correct` and `quillstem learn`: an editor's corrections, and a sorter that learns from them."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click
from rich.console import Console

from knowledge.trouble import KnowledgeError
from triage.cli.knowledge import OWN_FOLDER
from triage.cli.opened import opened_bench, opened_ledger
from triage.cli.typed import typed

if TYPE_CHECKING:
    from knowledge.base import Knowledge
    from triage.ledger import Ledger
    from triage.review.said import Correction

FEWEST_FOR_A_LESSON = 6
AT_THE_COMMAND_LINE = "command line"
"""Who did it, in the history, where nobody signed in."""
LEDGER = click.option(
    "--ledger", "ledger_place", default="drafts/ledger.sqlite", show_default=True, metavar="FILE-or-URL",
    help="The ledger that holds the questions.  Example: --ledger desk.sqlite",
)  # fmt: skip


@click.command("correct")
@click.argument("question_id")
@click.option("--brief", help="The brief that answers it.  Example: --brief tyres/rim-width")
@click.option(
    "--point",
    help="What is asked within its brief, with commas between; an empty one says none of its points.  Example: --point tolerance,gauge",
)
@click.option("--topic", help="The topic, where no brief fits.  Example: --topic wheels")
@click.option(
    "--not-a-question", "kind", metavar="KIND",
    help="It is no question for this desk: praise, thanks, banter, spam, other-subject, price …  "
    "Example: --not-a-question praise",
)  # fmt: skip
@click.option(
    "--detail", "detail", metavar="NAME=VALUE",
    help="A detail that was misread, in its own unit or any that fits; nothing after the sign takes it out.  "
    "Example: --detail tyre_width_mm=28, or --detail tyre_width_mm=1.1in",
)  # fmt: skip
@click.option(
    "--part", "part", metavar="KIND=ID",
    help="The part of the catalogue that the rider means; nothing after the sign takes it out.  "
    "Example: --part derailleur=derailleur-arlind-sorrel-11-short",
)  # fmt: skip
@LEDGER
@OWN_FOLDER
def correct_command(
    question_id: str, brief: str | None, point: str | None, topic: str | None, kind: str | None, detail: str | None, part: str | None,
    ledger_place: str, own_folder: Path | None,
) -> None:  # fmt: skip
    """Say what a question really is. The correction is kept and becomes a lesson for `quillstem learn`.

    QUESTION_ID stands on the sheet and in summary.csv. A later correction of the same question takes an earlier
    one's place; nothing is lost.

    \b
    Example:
      quillstem correct 1f0c9a --brief tyres/rim-width
    """
    from triage.ledger import LedgerError, Person
    from triage.review.acts import NotDoneError, correct

    given = [value for value in (brief, point, topic, kind, detail, part) if value is not None]
    if len(given) != 1:
        raise click.UsageError(
            "say one thing: --brief, --point, --topic, --not-a-question, --detail or --part."
        )
    try:
        with opened_bench(ledger_place, own_folder) as bench:
            line = bench.line(question_id)
            what, now = _said(bench.knowledge, line["brief"] or "", brief, point, topic, kind, detail, part)
            before = bench.ledger.reviews.of(question_id)
            correct(bench, Person(AT_THE_COMMAND_LINE, "editor"), question_id, before.version, [(what, now)])
            redrafted = bench.line(question_id)
    except (KnowledgeError, LedgerError, NotDoneError) as error:
        click.echo(str(error), err=True)
        sys.exit(2)
    was = (line["brief"] or line["topic"]) if what not in ("detail", "part", "point") else None
    click.echo(
        f"Kept: {question_id} is {now or 'none of its points'}"
        + (f", and was read as {was}." if was else ".")
    )
    click.echo(
        f"Drafted anew: {redrafted['verdict']} (was {line['verdict']}): {redrafted['headline'] or 'set aside'}"
    )
    if before.is_signed:
        click.echo("It was signed off; the sign-off is lost with the change.")
    click.echo(f"{typed('learn')} teaches the sorter what was corrected.")


def _said(
    knowledge: Knowledge,
    drafted: str,
    brief: str | None,
    point: str | None,
    topic: str | None,
    kind: str | None,
    detail: str | None,
    part: str | None,
) -> Correction:
    """The one thing that was said of a question drafted with some brief, as a correction."""
    from triage.review import said

    if brief is not None:
        return said.brief_said(brief, knowledge)
    if point is not None:
        return said.point_said(drafted, point, knowledge)
    if topic is not None:
        return said.topic_said(topic, knowledge)
    if kind is not None:
        return said.outside_said(kind, knowledge)
    if part is not None:
        return said.part_said(*_pair("--part", part, "KIND=ID, or KIND="), knowledge)
    return said.detail_said(*_pair("--detail", detail or "", "NAME=VALUE, or NAME="), knowledge)


def _pair(option: str, given: str, form: str) -> tuple[str, str]:
    name, equals, value = given.partition("=")
    if not equals:
        raise click.UsageError(f"{option} {given}: expected {form} to take it out.")
    return name.strip(), value.strip()


@click.command("learn")
@LEDGER
@OWN_FOLDER
def learn_command(ledger_place: str, own_folder: Path | None) -> None:
    """Teach the sorter what editors corrected, if that makes it better.

    A third of the corrected questions is never taught; on them the sorter is examined before and after. A sorter
    that gets fewer of them right is refused, and the one in use stays.

    \b
    Exit codes: 0 learnt, 1 refused or nothing new to learn, 2 the ledger or the knowledge base can't be used.
    """
    from knowledge.load import load
    from triage.ledger import LedgerError

    try:
        with opened_ledger(ledger_place) as ledger:
            has_learnt = _learn(ledger, load(own_folder))
    except (KnowledgeError, LedgerError) as error:
        click.echo(str(error), err=True)
        sys.exit(2)
    sys.exit(0 if has_learnt else 1)


def _learn(ledger: Ledger, knowledge: Knowledge) -> bool:
    """Teach what is new, if the sorter is no worse for it; whether it was taught."""
    from triage.sift import LEAST_OUTSIDE
    from triage.sorter import lessons, sorter_for
    from triage.sorter.lessons import examination, passed

    corrections = ledger.corrections()
    taught, last = ledger.taught(), max((int(row["correction"]) for row in corrections), default=0)
    asked = examination(corrections)
    if last <= taught:
        click.echo("Nothing was corrected since the last lesson.")
        return False
    if len(corrections) < FEWEST_FOR_A_LESSON or not asked:
        click.echo(
            f"Only {len(corrections)} questions were corrected, {len(asked)} of them for the examination. "
            f"From {FEWEST_FOR_A_LESSON} on, with one for the examination, there is a lesson in them."
        )
        return False
    with Console(stderr=True, highlight=False).status("Teaching, and examining before and after …"):
        before = passed(sorter_for(knowledge, lessons(corrections, taught)), asked, LEAST_OUTSIDE)
        after = passed(sorter_for(knowledge, lessons(corrections, last)), asked, LEAST_OUTSIDE)
    click.echo(f"On {len(asked)} corrected questions that are never taught:")
    click.echo(f"  before  {sum(before)} right\n  after   {sum(after)} right")
    if sum(after) < sum(before):
        click.echo("Refused: it would sort worse. The sorter in use stays.")
        return False
    ledger.teach(last)
    click.echo(f"Learnt. The next {typed('draft')} sorts with it; what is not signed off is drafted anew.")
    return True

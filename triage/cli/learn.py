"""`quillstem correct` and `quillstem learn`: an editor's corrections, and a sorter that learns from them."""

from __future__ import annotations

import sys
from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING

import click
from rich.console import Console

from knowledge.trouble import KnowledgeError
from triage.cli.knowledge import OWN_FOLDER

if TYPE_CHECKING:
    from knowledge.base import Knowledge

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
@click.option("--topic", help="The topic, where no brief fits.  Example: --topic wheels")
@click.option(
    "--not-a-question", "kind", metavar="KIND",
    help="It is no question for this desk: praise, thanks, banter, spam, other-subject, price …  "
    "Example: --not-a-question praise",
)  # fmt: skip
@click.option(
    "--detail", "detail", metavar="NAME=VALUE",
    help="A detail that was misread, in its own unit; nothing after the sign takes it out.  "
    "Example: --detail tyre_width_mm=28",
)  # fmt: skip
@click.option(
    "--part", "part", metavar="KIND=ID",
    help="The part of the catalogue that the rider means; nothing after the sign takes it out.  "
    "Example: --part derailleur=derailleur-arlind-sorrel-11-short",
)  # fmt: skip
@LEDGER
@OWN_FOLDER
def correct_command(
    question_id: str, brief: str | None, topic: str | None, kind: str | None, detail: str | None, part: str | None,
    ledger_place: str, own_folder: Path | None,
) -> None:  # fmt: skip
    """Say what a question really is. The correction is kept and becomes a lesson for `quillstem learn`.

    QUESTION_ID stands on the sheet and in summary.csv. A later correction of the same question takes an earlier
    one's place; nothing is lost.

    \b
    Example:
      quillstem correct 1f0c9a --brief tyres/rim-width
    """
    from knowledge.load import load
    from knowledge.phrases import load_phrases
    from triage.ledger import LedgerError, Person, open_ledger
    from triage.review.acts import Bench, NotDoneError, correct

    given = [value for value in (brief, topic, kind, detail, part) if value is not None]
    if len(given) != 1:
        raise click.UsageError("say one thing: --brief, --topic, --not-a-question, --detail or --part.")
    try:
        knowledge = load(own_folder)
        what, now = _checked(knowledge, brief, topic, kind, detail, part)
        ledger = open_ledger(ledger_place)
        try:
            bench = Bench(ledger, knowledge, load_phrases(own_folder))
            line, before = ledger.question(question_id), ledger.reviews.of(question_id)
            correct(bench, Person(AT_THE_COMMAND_LINE, "editor"), question_id, before.version, [(what, now)])
            redrafted = bench.line(question_id)
        finally:
            ledger.close()
    except (KnowledgeError, LedgerError, NotDoneError) as error:
        click.echo(str(error), err=True)
        sys.exit(2)
    assert line is not None
    was = (line["brief"] or line["topic"]) if what not in ("detail", "part") else None
    click.echo(f"Kept: {question_id} is {now}" + (f", and was read as {was}." if was else "."))
    click.echo(
        f"Drafted anew: {redrafted['verdict']} (was {line['verdict']}): {redrafted['headline'] or 'set aside'}"
    )
    if before.is_signed:
        click.echo("It was signed off; the sign-off is lost with the change.")
    click.echo("`quillstem learn` teaches the sorter what was corrected.")


def _checked(
    knowledge: Knowledge,
    brief: str | None,
    topic: str | None,
    kind: str | None,
    detail: str | None,
    part: str | None,
) -> tuple[str, str]:
    if brief is not None:
        _known("brief", brief, knowledge.briefs)
        return "brief", brief
    if topic is not None:
        _known("topic", topic, knowledge.topics)
        return "topic", topic
    if kind is not None:
        kinds = {name for name, _ in knowledge.chatter}
        _known("kind", kind, kinds)
        return "outside", f"chatter/{kind}"
    if part is not None:
        return "part", _a_part(knowledge, part)
    name, equals, value = (detail or "").partition("=")
    if not equals:
        raise click.UsageError(f"--detail {detail}: expected NAME=VALUE, or NAME= to take it out.")
    _known("detail", name, {*knowledge.quantities, *knowledge.choices})
    if value and name in knowledge.choices:
        _known(f"{name} called", value, [choice.value for choice in knowledge.choices[name]])
    elif value:
        _a_number(name, value)
    return "detail", f"{name}={value}"


def _a_part(knowledge: Knowledge, part: str) -> str:
    kind, equals, identity = part.partition("=")
    if not equals:
        raise click.UsageError(f"--part {part}: expected KIND=ID, or KIND= to take it out.")
    _known("kind of part", kind, {one.kind for one in knowledge.parts.values()})
    if identity:
        _known(kind, identity, [one.id for one in knowledge.parts.values() if one.kind == kind])
    return part


def _a_number(name: str, value: str) -> None:
    from knowledge.units import unit_of

    try:
        float(value)
    except ValueError as error:
        unit = unit_of(name).symbol
        raise click.UsageError(
            f"--detail {name}={value}: expected a number{f' in {unit}' if unit else ''}, without its unit."
        ) from error


def _known(what: str, word: str, words: Iterable[str]) -> None:
    from rapidfuzz import process

    names = sorted(words)
    if word not in names:
        near = [str(name) for name, _, _ in process.extract(word, names, limit=3)]
        raise click.UsageError(f"there is no {what} {word}; did you mean {', '.join(near)}?")


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
    from triage.ledger import LedgerError, open_ledger
    from triage.sift import LEAST_OUTSIDE
    from triage.sorter import lessons, sorter_for
    from triage.sorter.lessons import examination, passed

    console = Console(stderr=True, highlight=False)
    try:
        knowledge = load(own_folder)
        ledger = open_ledger(ledger_place)
    except (KnowledgeError, LedgerError) as error:
        click.echo(str(error), err=True)
        sys.exit(2)
    try:
        corrections = ledger.corrections()
        taught, last = ledger.taught(), max((int(row["correction"]) for row in corrections), default=0)
        asked = examination(corrections)
        if last <= taught:
            click.echo("Nothing was corrected since the last lesson.")
            sys.exit(1)
        if len(corrections) < FEWEST_FOR_A_LESSON or not asked:
            click.echo(
                f"Only {len(corrections)} questions were corrected, {len(asked)} of them for the examination. "
                f"From {FEWEST_FOR_A_LESSON} on, with one for the examination, there is a lesson in them."
            )
            sys.exit(1)
        with console.status("Teaching, and examining before and after …"):
            before = passed(sorter_for(knowledge, lessons(corrections, taught)), asked, LEAST_OUTSIDE)
            after = passed(sorter_for(knowledge, lessons(corrections, last)), asked, LEAST_OUTSIDE)
        click.echo(f"On {len(asked)} corrected questions that are never taught:")
        click.echo(f"  before  {sum(before)} right\n  after   {sum(after)} right")
        if sum(after) < sum(before):
            click.echo("Refused: it would sort worse. The sorter in use stays.")
            sys.exit(1)
        ledger.teach(last)
        click.echo(
            "Learnt. The next `quillstem draft` sorts with it; what is not signed off is drafted anew."
        )
    finally:
        ledger.close()

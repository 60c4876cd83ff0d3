"""`quillstem score`: how well the sorter sorts, as a page with pictures and as JSON."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click
from rich.console import Console
from rich.progress import Progress

from knowledge.trouble import KnowledgeError
from triage.cli.draft import READ_ONCE
from triage.cli.knowledge import OWN_FOLDER

if TYPE_CHECKING:
    from triage.sorter.meaning import Encode
    from triage.sorter.measure import Reading

MOST_READ = 1200
"""With this many out of a labelled file and the words of all, learning stays under half a minute on one core."""
_FILE = click.Path(exists=True, dir_okay=False, path_type=Path)


@click.command("score")
@click.option(
    "--train", "train_file", type=_FILE,
    help="Learn from this labelled CSV (columns text, label) in place of the briefs.  Example: --train intents.csv",
)  # fmt: skip
@click.option(
    "--test", "test_file", type=_FILE,
    help="Measure on this labelled CSV; without it, by cross-validation.  Example: --test held_out.csv",
)  # fmt: skip
@click.option(
    "--outside", multiple=True, metavar="LABEL",
    help="The label of texts that are none of the others; may be repeated.  Example: --outside oos",
)  # fmt: skip
@click.option(
    "--meaning", type=click.Choice(["some", "all", "none"]), default="some", show_default=True,
    help="With --train: how many of the examples are read for their meaning beside their words, by which what the words "
    f"leave unsure is then sorted. Some are {MOST_READ:,}, evenly over the labels, and take ten seconds or so; all take "
    "a second for every hundred. On the briefs it is always all.",
)  # fmt: skip
@click.option(
    "--corrected", "ledger_place", metavar="FILE-or-URL",
    help="Measure on what editors corrected in this ledger.  Example: --corrected drafts/ledger.sqlite",
)  # fmt: skip
@click.option(
    "--out", type=click.Path(file_okay=False, path_type=Path), default=Path("score"), show_default=True,
    help="Folder for score.html and score.json.  Example: --out this_week/score",
)  # fmt: skip
@OWN_FOLDER
def score_command(
    train_file: Path | None, test_file: Path | None, outside: tuple[str, ...], meaning: str,
    ledger_place: str | None, out: Path, own_folder: Path | None,
) -> None:  # fmt: skip
    """Measure the sorter: accuracy, coverage, calibration, and what it takes for no question.

    Without options the briefs' own examples are read by cross-validation: each by a sorter that saw neither it
    nor a near twin of it. That takes some minutes.

    \b
    Exit codes: 0 measured, 2 a file can't be used or the knowledge base has faults.

    \b
    Example:
      quillstem score
      quillstem score --test our_labelled_questions.csv --outside outside
      quillstem score --train intents.csv --test more.csv --outside oos
    """
    from triage.ledger import LedgerError
    from triage.output.score_page import write_score
    from triage.sorter.examples import ExamplesError
    from triage.sorter.measure import figures_of

    console = Console(stderr=True, highlight=False)
    try:
        reading, what = _reading(train_file, test_file, outside, meaning, ledger_place, own_folder, console)
    except (ExamplesError, KnowledgeError, LedgerError) as error:
        click.echo(str(error), err=True)
        sys.exit(2)
    figures = figures_of(reading)
    write_score(figures, what, out)
    _tell(figures, what)
    click.echo(f"\nOpen {out / 'score.html'} for the pictures and the worst misses.")


def _reading(
    train_file: Path | None, test_file: Path | None, outside: tuple[str, ...], meaning: str,
    ledger_place: str | None, own_folder: Path | None, console: Console,
) -> tuple[Reading, str]:  # fmt: skip
    from knowledge.load import load
    from triage.ledger import open_ledger
    from triage.sorter import examples_of, examples_of_file, sorter_for
    from triage.sorter.adapted import adapted
    from triage.sorter.encoder import has_model
    from triage.sorter.examples import ExamplesError
    from triage.sorter.fold import folder_for
    from triage.sorter.folds import FOLDS
    from triage.sorter.meaning import KnownVectors
    from triage.sorter.measure import cross_read, cross_read_adapted, read_with
    from triage.sorter.teach import train

    knowledge = load(own_folder)
    is_read = train_file is None or meaning != "none"
    most_read = MOST_READ if train_file is not None and meaning == "some" else None
    fold = folder_for(knowledge).fold if train_file is None else str.lower
    examples = examples_of(knowledge) if train_file is None else examples_of_file(train_file, outside)
    source = "the briefs' examples" if train_file is None else str(train_file)
    if ledger_place is not None:
        ledger = open_ledger(ledger_place)
        pairs = ledger.corrected()
        ledger.close()
        if not pairs:
            raise ExamplesError(f"{ledger_place}: nothing was corrected yet; there is nothing to measure on.")
        texts, labels = [text for text, _ in pairs], [label for _, label in pairs]
        return read_with(sorter_for(knowledge), texts, labels, examples.outside), "what editors corrected"
    if test_file is None:
        changed = adapted() if train_file is None and has_model() else None
        with Progress(console=console, transient=True, disable=not console.is_terminal) as progress:
            task = progress.add_task("Reading each part with the others", total=FOLDS)

            def on_progress(amount: int) -> None:
                progress.advance(task, amount)

            if changed is not None:
                reading, _ = cross_read_adapted(examples, fold, changed, KnownVectors, on_progress)
            else:
                reading = cross_read(examples, fold, FOLDS, on_progress, _encode(is_read), most_read)
        return reading, f"{source}, cross-validated in {FOLDS} parts"
    test = examples_of_file(test_file, outside)
    with console.status("Learning …"):
        sorter = (
            sorter_for(knowledge)
            if train_file is None
            else train(examples, fold, _encode(is_read), most_read=most_read)
        )
    known = set(sorter.labels.topics) | set(outside)
    strange = sorted({label for label in test.labels if label.split("/")[0] not in known})
    if strange:
        raise ExamplesError(
            f"{test_file}: no such label: {', '.join(strange[:5])}. The labels learnt from {source} begin with "
            f"{', '.join(sorter.labels.topics[:12])}; name the label of texts that are none of them with --outside."
        )
    return read_with(sorter, test.texts, test.labels, examples.outside | frozenset(outside)), f"{test_file}"


def _encode(is_read: bool) -> Encode | None:
    """What reads texts of any kind for their meaning, each only once."""
    from triage.sorter.encoder import encode, has_model
    from triage.sorter.meaning import KnownVectors

    if not is_read:
        return None
    if not has_model():
        click.echo(READ_ONCE, err=True)
        return None
    return KnownVectors(encode)


def _tell(figures: dict[str, Any], what: str) -> None:
    click.echo(f"Measured on {what}: {figures['inside']} questions, {figures['outside']} others.")
    for key, words in (
        ("topic_accuracy", "topic right"),
        ("topic_accuracy_of_surest_80", "topic right on the surest 80 %"),
        ("topic_macro_f1", "macro F1"),
        ("label_first", "brief first"),
        ("label_in_first_three", "brief in the first three"),
        ("calibration_error", "calibration error"),
    ):
        if key in figures:
            click.echo(f"  {words:<32} {figures[key]:.3f}")
    fits = [row for row in figures.get("outside_caught", []) if row["ours_set_aside"] <= 0.04]
    if fits:
        row = fits[0]
        click.echo(
            f"  {'others caught':<32} {row['caught']:.3f} with {row['ours_set_aside']:.3f} of ours set aside "
            f"(from a chance of {row['least']:.2f})"
        )

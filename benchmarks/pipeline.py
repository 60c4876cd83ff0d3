"""`python -m benchmarks.pipeline`: how fast, how large and how well the whole pipeline does on inboxes of growing size."""

from __future__ import annotations

import json
import os
import platform
import sys
import tempfile
import time
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import click

from benchmarks.inbox import Made, make_inbox
from benchmarks.inbox.files import KINDS
from benchmarks.scale.alone import CommandFailedError, figures_of
from benchmarks.scale.report import as_text, write_into
from benchmarks.scale.whole import drafted, takes_workers
from knowledge.load import load

PARTS = ("whole", "floor", "stages", "repeats", "names")
STAGE_MESSAGES, REPEAT_MESSAGES = 3_000, 200_000
CATALOGUE_PARTS, NAMED_MESSAGES = 4000, 4000
Report = dict[str, Any]


class Numbers(click.ParamType[list[int]]):
    """Whole numbers with commas between them."""

    name = "NUMBERS"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> list[int]:
        """The numbers; anything else is a usage fault."""
        if isinstance(value, list):
            return value
        try:
            found = [int(piece.replace("_", "")) for piece in str(value).split(",")]
        except ValueError:
            found = []
        if not found or min(found) < 1:
            self.fail(
                f"expected whole numbers with commas between them, such as 1000,10000, got {value!r}",
                param,
                ctx,
            )
        return found


def _scratch() -> Path:
    return Path(tempfile.gettempdir()) / "quillstem-benchmark"


@click.command()
@click.option(
    "--sizes",
    type=Numbers(),
    default="1000,10000",
    show_default=True,
    help="Messages of each inbox; a million takes about 40 GB and an hour or more.  Example: --sizes 10000,100000,1000000",
)
@click.option(
    "--workers",
    type=Numbers(),
    default="1,2",
    show_default=True,
    help="Each size is drafted once with each; so many workers are pinned to as many cores.  Example: --workers 2",
)
@click.option(
    "--parts",
    default=",".join(PARTS),
    show_default=True,
    metavar="NAMES",
    help="What to measure.  Example: --parts whole,floor",
)
@click.option(
    "--seed", default=7, show_default=True, help="Another seed writes other inboxes.  Example: --seed 8"
)
@click.option(
    "--kind",
    type=click.Choice(KINDS),
    default="mixed",
    show_default=True,
    help="What the inboxes are made of.",
)
@click.option(
    "--floor-up-to",
    default=100_000,
    show_default=True,
    metavar="MESSAGES",
    help="The floor is measured on every inbox up to this size.  Example: --floor-up-to 10000",
)
@click.option(
    "--stage-messages",
    default=STAGE_MESSAGES,
    show_default=True,
    help="Messages for the table of stages.  Example: --stage-messages 10000",
)
@click.option(
    "--repeat-messages",
    default=REPEAT_MESSAGES,
    show_default=True,
    help="Messages that are searched for repeats.  Example: --repeat-messages 20000",
)
@click.option(
    "--scratch",
    type=click.Path(file_okay=False, path_type=Path),
    default=None,
    help="Where inboxes are kept for the next time, and drafts written and removed; by default in the temporary folder.  "
    "Example: --scratch /big/disk",
)
@click.option(
    "--to",
    type=click.Path(dir_okay=False, path_type=Path),
    default=None,
    help="Write every figure as JSON, too; after each step, so that an interrupted run leaves what it has.  Example: --to report.json",
)
@click.option(
    "--doc", type=click.Path(dir_okay=False, path_type=Path), default=None,
    help="Write the tables between <!-- measured --> and <!-- end --> of a document.  Example: --doc docs/scale.md",
)  # fmt: skip
def main(
    sizes: list[int], workers: list[int], parts: str, seed: int, kind: str, floor_up_to: int, stage_messages: int,
    repeat_messages: int, scratch: Path | None, to: Path | None, doc: Path | None,
) -> None:  # fmt: skip
    """Measure the pipeline on synthetic inboxes, and hold each figure against its target.

    \b
    What is measured:
      whole    the command `quillstem draft`, start and outputs included: messages a second, the cores' time, peak
               memory of all its processes, how they grow with the inbox, two cores against one, every message
               accounted for
      floor    the same files read, vectorised and sorted alone, on one core; the whole is told as a multiple of it
      stages   every stage by itself, one core
      repeats  planted repeats searched for among many: seconds, and how many of each kind are found
      names    part names with one slip among 4,000 parts: how many are found, and the time a message

    Every part runs in processes of its own, pinned to cores, its numeric libraries held to one thread. Leave the
    machine alone meanwhile.

    \b
    Example:
      python -m benchmarks.pipeline --sizes 1000,10000 --workers 1,2
      python -m benchmarks.pipeline --sizes 10000,100000,1000000 --scratch /big/disk --to report.json --doc docs/scale.md
    """
    wanted = parts.split(",")
    if unknown := sorted(set(wanted) - set(PARTS)):
        raise click.UsageError(f"--parts: no part {', '.join(unknown)}; there are {', '.join(PARTS)}.")
    scratch = scratch or _scratch()
    report = _begun(sizes, workers, wanted, seed, kind)
    if (stage_messages, repeat_messages) != (STAGE_MESSAGES, REPEAT_MESSAGES):
        report["command"] += f" --stage-messages {stage_messages} --repeat-messages {repeat_messages}"
    steps = {
        "whole": lambda: _whole(report, sizes, workers, kind, seed, scratch, to),
        "floor": lambda: _floors(report, [size for size in sizes if size <= floor_up_to] or [min(sizes)], kind, seed, scratch),
        "stages": lambda: report.update(
            stages=figures_of("stages", str(_inbox(stage_messages, kind, seed, scratch).inbox))
        ),
        "repeats": lambda: report.update(repeats=figures_of("repeats", str(repeat_messages), str(seed))),
        "names": lambda: report.update(
            part_names=figures_of("part_names", str(CATALOGUE_PARTS), str(NAMED_MESSAGES), str(seed))
        ),
    }  # fmt: skip
    for part in PARTS:
        if part in wanted:
            _say(f"Measuring: {part} …")
            try:
                steps[part]()
            except CommandFailedError as fault:
                report["notes"].append(f"Not measured further: {part}: {fault}")
                _say(f"  {part}: {fault}")
            _save(report, to)
    text = as_text(report)
    click.echo(text)
    if doc is not None and not write_into(doc, text):
        raise click.ClickException(
            f"{doc}: nothing written: it must be there and hold the two lines <!-- measured --> and <!-- end -->."
        )


def _begun(sizes: list[int], workers: list[int], parts: list[str], seed: int, kind: str) -> Report:
    command = f"python -m benchmarks.pipeline --sizes {','.join(map(str, sizes))} --workers {','.join(map(str, workers))}"
    if parts != list(PARTS):
        command += f" --parts {','.join(parts)}"
    if (seed, kind) != (7, "mixed"):
        command += f" --seed {seed} --kind {kind}"
    return {
        "day": f"{datetime.now(UTC):%Y-%m-%d}",
        "command": command,
        "machine": {
            "cores": len(os.sched_getaffinity(0)),
            "python": platform.python_version(),
            "load": os.getloadavg()[0],
        },
        "notes": [],
        "inboxes": [],
    }


def _save(report: Report, to: Path | None) -> None:
    if to is not None:
        to.write_text(json.dumps(report, indent=1), encoding="utf-8")


def _inbox(size: int, kind: str, seed: int, scratch: Path) -> Made:
    """The inbox of that size, made unless it lies there from the last time."""
    _say(f"  an inbox of {size:,} messages …")
    return make_inbox(load(), size, scratch / f"{kind}-{size}-{seed}", kind, seed)


def _whole(
    report: Report, sizes: list[int], workers: list[int], kind: str, seed: int, scratch: Path, to: Path | None
) -> None:
    out = scratch / "drafts"
    is_told = takes_workers()
    if not is_told and workers != [1]:
        report["notes"].append("The command takes no --workers yet, so only one was measured.")
        workers = [1]
    available = report["machine"]["cores"]
    if too_many := [count for count in workers if count > available]:
        report["notes"].append(
            f"There are only {available} cores; {', '.join(map(str, too_many))} workers were not measured."
        )
        workers = [count for count in workers if count <= available]
    single = _inbox(1, kind, seed, scratch)
    # Once for the sorter's cache, and once to measure.
    drafted(single, out, 1, is_told)
    report["start"] = drafted(single, out, 1, is_told)
    report["runs"] = []
    for size in sizes:
        made = _inbox(size, kind, seed, scratch)
        report["inboxes"].append(made.about)
        for count in workers:
            look = _Look(f"  {size:,} messages, workers {count}")
            run = drafted(made, out, count, is_told, on_look=look)
            report["runs"].append(run)
            _save(report, to)
            _say(
                f"  {size:,} messages, workers {count}: {run['seconds']:.1f} s, {size / run['seconds']:,.0f} a second, "
                f"peak {run['peak_bytes'] / 1e6:,.0f} MB"
            )


def _floors(report: Report, sizes: list[int], kind: str, seed: int, scratch: Path) -> None:
    report["floors"] = [
        figures_of("floor", str(_inbox(size, kind, seed, scratch).inbox)) for size in sorted(sizes)
    ]


class _Look:
    """Says once in a while that a long run still runs."""

    def __init__(self, what: str, every: float = 30.0) -> None:
        self.what, self.every, self.next = what, every, every

    def __call__(self, seconds: float) -> None:
        if seconds >= self.next:
            self.next += self.every
            _say(f"{self.what}: {seconds:,.0f} s so far")


def _say(text: str) -> None:
    print(f"{time.strftime('%H:%M:%S')} {text}", file=sys.stderr, flush=True)


if __name__ == "__main__":
    main()

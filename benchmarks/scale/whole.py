"""The whole command, as a desk runs it: an inbox drafted into an empty folder, with what it took and what it left."""

from __future__ import annotations

import csv
import shutil
import sys
from collections import Counter
from collections.abc import Callable
from pathlib import Path
from typing import Any

from benchmarks.inbox import Made
from benchmarks.scale.alone import CommandFailedError, last_words, run_alone

DRAFT = (sys.executable, "-m", "triage.cli", "draft")
DONE = (0, 1)
"""Exit codes of a run that went through; 1 where some inputs were refused."""


def takes_workers() -> bool:
    """Whether the command knows `--workers`."""
    return "--workers" in run_alone([*DRAFT, "--help"]).output


def drafted(
    made: Made,
    folder: Path,
    workers: int,
    is_told: bool,
    keep: bool = False,
    on_look: Callable[[float], None] | None = None,
) -> dict[str, Any]:
    """Draft an inbox with so many workers on as many cores; `is_told` passes their number on to the command.

    Raises:
        CommandFailedError: the command ended badly.
    """
    shutil.rmtree(folder, ignore_errors=True)
    told = ["--workers", str(workers)] if is_told else []
    command = [*DRAFT, str(made.inbox), "--out", str(folder), "--quiet", *told]
    took = run_alone(command, cores=workers, good=DONE, on_look=on_look)
    if not (folder / "summary.csv").is_file():
        raise CommandFailedError(f"quillstem draft wrote no summary.csv: {last_words(took.errors)}")
    messages = int(made.about["asked"]["messages"])
    left = {
        "messages": messages,
        "workers": workers,
        "seconds": took.seconds,
        "core_seconds": took.core_seconds,
        "peak_bytes": took.peak_bytes,
        "processes": took.processes,
        "ledger_bytes": sum(file.stat().st_size for file in folder.glob("ledger.sqlite*")),
        "output_bytes": sum(
            file.stat().st_size
            for file in folder.rglob("*")
            if file.is_file() and not file.name.startswith("ledger.sqlite")
        ),
        **_accounts(folder / "summary.csv", made.truth),
    }
    if not keep:
        shutil.rmtree(folder, ignore_errors=True)
    return left


def _accounts(summary: Path, truth: Path) -> dict[str, Any]:
    """How many messages the summary holds, and how many planted repeats it tells as repeats, kind by kind."""
    with truth.open(encoding="utf-8", newline="") as file:
        planted = [(row["message_id"], row["repeats"], row["kind"]) for row in csv.DictReader(file)]
    of_interest = {identity for message, earlier, _ in planted for identity in (message, earlier)}
    messages: set[int] = set()
    leaders: dict[str, set[str]] = {}
    repeats = lines = 0
    with summary.open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            messages.add(hash(row["message_id"]))
            lines += 1
            repeats += row["repeats_of"] != ""
            if row["message_id"] in of_interest:
                leaders.setdefault(row["message_id"], set()).add(row["repeats_of"] or row["question_id"])
    kinds = Counter(kind for _, _, kind in planted)
    found = Counter(
        kind
        for message, earlier, kind in planted
        if leaders.get(message, set()) & leaders.get(earlier, set())
    )
    return {
        "accounted": len(messages),
        "lines": lines,
        "told_as_repeats": repeats,
        "planted": dict(kinds),
        "recall": {kind: found[kind] / kinds[kind] for kind in sorted(kinds)},
    }

"""The figures as tables that read as text and as Markdown alike, each target beside what was measured."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

START, END = "<!-- measured -->", "<!-- end -->"
SMALLEST_FOR_GROWTH = 10_000
MB = 1e6
Report = dict[str, Any]


@dataclass(frozen=True)
class Target:
    """One figure held against what it should be; `is_most` where the goal is a bound from above."""

    what: str
    figure: float
    goal: float
    unit: str
    is_most: bool
    digits: int = 2

    @property
    def is_met(self) -> bool:
        """Whether the figure is as good as the goal."""
        return self.figure <= self.goal if self.is_most else self.figure >= self.goal

    @property
    def verdict(self) -> str:
        """ "met", or by how much it was missed."""
        if self.is_met:
            return "met"
        off = abs(self.figure - self.goal)
        ratio = self.figure / self.goal if self.is_most else self.goal / max(self.figure, 1e-9)
        return f"missed by {off:,.{self.digits}f}{self.unit} ({ratio:.2f} times)"


def exponent(sizes: Sequence[float], seconds: Sequence[float]) -> float | None:
    """The power of the size with which the seconds grow, by least squares on logarithms; None below two sizes.

    >>> round(exponent([10, 100, 1000], [1, 10, 100]), 3)
    1.0
    """
    if len(sizes) < 2 or min(seconds) <= 0:
        return None
    return float(np.polyfit(np.log(sizes), np.log(seconds), 1)[0])


def growth(report: Report, workers: int) -> tuple[float | None, list[int]]:
    """The exponent of the seconds beyond starting up, from 10,000 messages on where there are two such sizes."""
    runs = _runs(report, workers)
    large = [run for run in runs if run["messages"] >= SMALLEST_FOR_GROWTH]
    runs = large if len(large) > 1 else runs
    start = report["start"]["seconds"] if report.get("start") else 0.0
    sizes = [run["messages"] for run in runs]
    return exponent(sizes, [run["seconds"] - start for run in runs]), sizes


def _runs(report: Report, workers: int) -> list[Report]:
    return sorted(
        (run for run in report.get("runs", ()) if run["workers"] == workers),
        key=lambda run: int(run["messages"]),
    )


def _floor_ms(floor: Report, sorting: str = "sort_seconds") -> float:
    return float(floor["read_seconds"] + floor[sorting]) / int(floor["messages"]) * 1000


def _core_ms(run: Report) -> float:
    return float(run["core_seconds"]) / int(run["messages"]) * 1000


def largest_floor(report: Report) -> Report | None:
    """The floor of the largest inbox for which it was measured."""
    good = [floor for floor in report.get("floors", ()) if "failed" not in floor]
    return max(good, key=lambda floor: int(floor["messages"])) if good else None


def targets(report: Report) -> list[Target]:
    """Every target for which this run has a figure."""
    found: list[Target] = []
    floor = largest_floor(report)
    if floor is not None:
        found.append(
            Target(f"floor, {floor['messages']:,} messages, one core", _floor_ms(floor), 1.0, " ms", True)
        )
    one, two = _runs(report, 1), _runs(report, 2)
    if one and floor is not None:
        ratio = _core_ms(one[-1]) / _floor_ms(floor)
        found.append(
            Target(f"whole over floor, {one[-1]['messages']:,} messages", ratio, 2.5, " times", True)
        )
    if two:
        pace = two[-1]["messages"] / two[-1]["seconds"]
        found.append(
            Target(f"pace on two cores, {two[-1]['messages']:,} messages", pace, 800, " a second", False, 0)
        )
        found.append(Target("the same, stretch", pace, 1200, " a second", False, 0))
    both = sorted({run["messages"] for run in one} & {run["messages"] for run in two})
    if both:
        seconds = [next(run["seconds"] for run in runs if run["messages"] == both[-1]) for runs in (one, two)]
        found.append(
            Target(
                f"two cores against one, {both[-1]:,} messages", seconds[0] / seconds[1], 1.7, " times", False
            )
        )
    for workers in sorted({run["workers"] for run in report.get("runs", ())}):
        found += _targets_of_growth(report, workers)
    return found + _targets_of_searches(report)


def _targets_of_growth(report: Report, workers: int) -> list[Target]:
    found = []
    runs, with_ = _runs(report, workers), f"workers {workers}"
    power, sizes = growth(report, workers)
    if power is not None:
        found.append(
            Target(f"growth exponent, {sizes[0]:,} to {sizes[-1]:,}, {with_}", power, 1.05, "", True)
        )
    peak = runs[-1]["peak_bytes"] / MB
    found.append(
        Target(f"peak memory, {runs[-1]['messages']:,} messages, {with_}", peak, 1000, " MB", True, 0)
    )
    if len(runs) > 1:
        times = runs[-1]["peak_bytes"] / runs[-2]["peak_bytes"]
        sizes_ = f"{runs[-1]['messages']:,} over {runs[-2]['messages']:,}"
        found.append(Target(f"peak memory, {sizes_}, {with_}", times, 1.2, " times", True))
    kept = min(run["accounted"] / run["messages"] for run in runs)
    found.append(Target(f"messages accounted for, {with_}", kept * 100, 100.0, " %", False, 4))
    return found


def _targets_of_searches(report: Report) -> list[Target]:
    found = []
    repeats = report.get("repeats") or {"failed": ""}
    if "failed" not in repeats:
        among = f"{repeats['messages']:,} messages"
        found.append(Target(f"search for repeats, {among}", repeats["seconds"], 30, " s", True, 1))
        for kind, share in repeats["recall"].items():
            found.append(Target(f"planted repeats found: {kind}", share * 100, 98, " %", False, 1))
    names = report.get("part_names") or {"failed": ""}
    if "failed" not in names:
        among = f"{names['parts']:,} parts"
        found.append(
            Target(f"part names with one slip found, {among}", names["one_slip"] * 100, 95, " %", False, 1)
        )
        found.append(Target(f"looking for part names, {among}", names["ms_a_message"], 0.2, " ms", True))
    return found


def table(heads: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    """A Markdown table padded to read as text; the first column to the left, the others to the right."""
    columns = list(zip(heads, *rows, strict=True))
    widths = [max(map(len, column)) for column in columns]

    def line(cells: Sequence[str]) -> str:
        padded = [
            cell.ljust(width) if place == 0 else cell.rjust(width)
            for place, (cell, width) in enumerate(zip(cells, widths, strict=True))
        ]
        return f"| {' | '.join(padded)} |"

    rule = [("-" * width) if place == 0 else "-" * (width - 1) + ":" for place, width in enumerate(widths)]
    return "\n".join([line(heads), line(rule), *map(line, rows)])


def as_text(report: Report) -> str:
    """All tables of a report."""
    pieces = [_conditions(report), "Targets\n\n" + _target_table(report)]
    for title, made in (
        ("The whole command", _run_table(report)),
        ("The floor", _floor_table(report)),
        ("Stage by stage, one core", _stage_table(report)),
        ("Repeats", _repeat_table(report)),
        ("Part names", _name_table(report)),
        ("The inboxes", _inbox_table(report)),
    ):
        if made:
            pieces.append(f"{title}\n\n{made}")
    return "\n\n".join(pieces)


def _conditions(report: Report) -> str:
    machine = report["machine"]
    told = f"Measured on {report['day']}, {machine['cores']} cores, Python {machine['python']}: `{report['command']}`."
    if machine["load"] > 0.5:
        told += (
            f" Other work ran beside it (load {machine['load']:.1f} before it began), so the times on the clock are too "
            "long and too uneven; the cores' time bears it better."
        )
    for note in report.get("notes", ()):
        told += f" {note}"
    return told


def _target_table(report: Report) -> str:
    rows = [
        (
            target.what,
            f"{target.figure:,.{target.digits}f}{target.unit}",
            f"{'at most' if target.is_most else 'at least'} {target.goal:,g}{target.unit}",
            target.verdict,
        )
        for target in targets(report)
    ]
    return table(("figure", "measured", "target", ""), rows)


def _run_table(report: Report) -> str:
    runs = report.get("runs", ())
    if not runs:
        return ""
    floor = largest_floor(report)
    rows = [
        (
            f"{run['messages']:,}",
            str(run["workers"]),
            f"{run['seconds']:,.1f}",
            f"{run['messages'] / run['seconds']:,.0f}",
            f"{_core_ms(run):.2f}",
            f"{_core_ms(run) / _floor_ms(floor):.1f}" if floor is not None else "",
            f"{run['peak_bytes'] / MB:,.0f}",
            f"{run['ledger_bytes'] / run['messages'] / 1000:.1f}",
            f"{run['output_bytes'] / run['messages'] / 1000:.1f}",
            f"{run['accounted']:,}",
        )
        for run in runs
    ]
    heads = ("messages", "workers", "s", "a second", "core ms each", "over floor", "peak MB", "ledger kB each",
             "drafts kB each", "accounted for")  # fmt: skip
    start = report.get("start")
    begun = (
        f"\n\nStarting up and drafting one message: {start['seconds']:.1f} s, {start['core_seconds']:.1f} s of a core; it is "
        "part of every line above and left out of the growth exponent."
        if start
        else ""
    )
    return table(heads, rows) + begun + _repeats_in_the_runs(runs)


def _repeats_in_the_runs(runs: Sequence[Report]) -> str:
    """What became of the planted repeats in each run, where asks are split from their greetings and stories."""
    kinds = sorted({kind for run in runs for kind in run["recall"]})
    rows = [
        (
            f"{run['messages']:,}",
            str(run["workers"]),
            *(f"{run['recall'][kind]:.1%} of {run['planted'][kind]:,}" if kind in run["recall"] else "" for kind in kinds),
            f"{run['told_as_repeats']:,} of {run['lines']:,}",
        )
        for run in runs
    ]  # fmt: skip
    heads = ("messages", "workers", *kinds, "told as repeats")
    return f"\n\nPlanted repeats found in these runs:\n\n{table(heads, rows)}"


def _floor_table(report: Report) -> str:
    floors = report.get("floors", ())
    rows = []
    for floor in floors:
        if "failed" in floor:
            return f"Not measured: {floor['failed']}"
        count = floor["messages"] / 1000
        rows.append(
            (
                f"{floor['messages']:,}", f"{floor['read_seconds'] / count:.3f}", f"{floor['sort_seconds'] / count:.3f}",
                f"{_floor_ms(floor):.3f}", f"{1000 / _floor_ms(floor):,.0f}", f"{floor['sort_with_story_seconds'] / count:.3f}",
            )
        )  # fmt: skip
    if not rows:
        return ""
    heads = (
        "messages",
        "read ms",
        "vectorise and predict ms",
        "floor ms",
        "a second",
        "the latter with the subject as story ms",
    )
    return table(heads, rows)


def _stage_table(report: Report) -> str:
    stages = report.get("stages")
    if not stages:
        return ""
    if "failed" in stages:
        return f"Not measured: {stages['failed']}"
    count, total = stages["messages"], sum(stages["stages"].values())
    rows = [
        (
            stage,
            f"{seconds / count * 1000:.3f}",
            f"{count / max(seconds, 1e-9):,.0f}",
            f"{seconds / total:.1%}",
        )
        for stage, seconds in stages["stages"].items()
    ]
    rows.append(("together", f"{total / count * 1000:.3f}", f"{count / total:,.0f}", "100.0%"))
    return (
        table(("stage", "core ms a message", "a second", "share"), rows)
        + f"\n\n{count:,} messages with {stages['questions']:,} questions."
    )


def _repeat_table(report: Report) -> str:
    repeats = report.get("repeats")
    if not repeats:
        return ""
    if "failed" in repeats:
        return f"Not measured: {repeats['failed']}"
    rows = [
        (kind, f"{repeats['planted'][kind]:,}", f"{share:.2%}") for kind, share in repeats["recall"].items()
    ]
    return (
        table(("planted", "messages", "found"), rows)
        + f"\n\n{repeats['searched']:,} asks of {repeats['messages']:,} messages searched in {repeats['seconds']:.1f} s "
        f"({repeats['core_seconds']:.1f} s of the core). {repeats['put_together']:,} were told as repeats, "
        f"{repeats['planted_repeats']:,} were planted; the others are the same example of a brief in other words, or wrong: "
        f"{repeats['of_one_brief']:.1%} of those told lie in a group of their own brief. The largest group holds "
        f"{repeats['largest_group']:,}. Of the {repeats['planted_long']:,} planted ones of {repeats['long_words']} words and more, "
        f"{repeats['recall_long']:.2%} were found. Peak {repeats['peak_bytes'] / MB:,.0f} MB, the messages themselves included."
    )


def _name_table(report: Report) -> str:
    names = report.get("part_names")
    if not names:
        return ""
    if "failed" in names:
        return f"Not measured: {names['failed']}"
    rows = [(
        f"{names['parts']:,}", f"{names['exact']:.1%}", f"{names['one_slip']:.1%}", f"{names['names_with_a_slip']:,}",
        f"{names['ms_a_message']:.3f}", f"{names['false_finds_a_thousand']:.2f}", f"{names['words']:.0f}",
    )]  # fmt: skip
    heads = ("parts", "exact found", "one slip found", "names with a slip", "ms a message", "false finds in a thousand",
             "words a message")  # fmt: skip
    return table(heads, rows)


def _inbox_table(report: Report) -> str:
    rows = [
        (
            f"{about['asked']['messages']:,}", f"{about['bytes'] / MB:,.1f}", f"{about['words a message']:.1f}",
            f"{about['share of distinct texts']:.2%}", f"{about['share distinct without figures and case']:.2%}",
            f"{about['distinct words']:,}", "" if about["growth exponent"] is None else f"{about['growth exponent']:.2f}",
            f"{about['counts'].get('chatter', 0) / about['asked']['messages']:.1%}",
            f"{about['counts'].get('planted repeats', 0):,}",
        )
        for about in report.get("inboxes", ())
    ]  # fmt: skip
    if not rows:
        return ""
    heads = ("messages", "MB", "words each", "distinct texts", "without figures", "distinct words", "growth of words",
             "chatter", "planted repeats")  # fmt: skip
    return table(heads, rows)


def write_into(document: Path, text: str) -> bool:
    """Put the text between the document's two marks; False, and nothing written, where it or the marks are missing."""
    if not document.is_file():
        return False
    before, start, rest = document.read_text(encoding="utf-8").partition(START)
    _, end, after = rest.partition(END)
    if not start or not end:
        return False
    document.write_text(f"{before}{START}\n{text}\n{END}{after}", encoding="utf-8")
    return True

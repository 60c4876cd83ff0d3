"""How often the text that comes first is one that fits: 1,128 invented asks, each with the texts that were read beside it.

    python benchmarks/choosing.py [--misses NUMBER]

In `choosing.jsonl` stand asks whose writers knew nothing of the desk's answers, split as the program splits them, each with
the eight texts that seemed likeliest when it was marked (by language models playing riders and mechanics): those that may
come `first`, those that are true but `beside` the ask, and those that don't belong there (`not`), as "brief#point", or
"brief#" for what the brief says to everybody. Nothing is learnt from them. A text that was written or became likely later
is counted as unread.
"""

from __future__ import annotations

import argparse
import json
from collections import Counter, defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from knowledge.load import load
from triage.sorter import Asked, Sorter, sorter_for

ASKS = Path(__file__).with_suffix(".jsonl")
MARKS = ("first", "beside", "not", "unread")


@dataclass(frozen=True)
class Marked:
    """An ask with its story, and how each text was marked that somebody read beside it."""

    ask: str
    story: str
    marks: dict[str, str]

    @property
    def answered(self) -> bool:
        """Whether any of the texts may come first."""
        return "first" in self.marks.values()

    def mark(self, text: str) -> str:
        """What was said of a text."""
        return self.marks.get(text, "unread")


def marked_asks(place: Path = ASKS) -> list[Marked]:
    """Every marked ask, in the order of the file."""
    rows = map(json.loads, place.read_text(encoding="utf-8").splitlines())
    return [
        Marked(row["ask"], row["story"], {text: mark for mark in MARKS[:-1] for text in row[mark]})
        for row in rows
    ]


def chosen(sorter: Sorter, asks: Sequence[Marked]) -> list[str]:
    """The text that comes first for each ask: in its likeliest brief what it asks, or may be asking, or the general answer."""
    read = sorter.sort([one.ask for one in asks], [one.story for one in asks])
    briefs = [read.labels.names[row] for row in read.chances.argmax(axis=1)]
    if sorter.points is None:
        return [f"{brief}#" for brief in briefs]
    meant = sorter.points.of(
        [Asked(brief, one.ask, one.story or one.ask) for brief, one in zip(briefs, asks, strict=True)]
    )
    return [
        one.points[0] if one.points else one.perhaps or f"{brief}#"
        for brief, one in zip(briefs, meant, strict=True)
    ]


def main() -> None:
    """Print how the chosen texts were marked, by topic and in all, and the first misses where asked for."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument(
        "--misses", type=int, default=0, help="print so many asks whose first text doesn't fit"
    )
    wanted = parser.parse_args()
    asks = [one for one in marked_asks() if one.answered]
    texts = chosen(sorter_for(load()), asks)
    counts: defaultdict[str, Counter[str]] = defaultdict(Counter)
    for one, text in zip(asks, texts, strict=True):
        for row in (text.split("/")[0], "all"):
            counts[row][one.mark(text)] += 1
    print(f"{'':14}{'asks':>6}" + "".join(f"{mark:>9}" for mark in MARKS) + "   in 100 of those read")
    for row, found in sorted(counts.items(), key=lambda pair: pair[0] == "all"):
        told = "".join(f"{found[mark]:9}" for mark in MARKS)
        print(
            f"{row:14}{found.total():6}{told}{100 * found['first'] / (found.total() - found['unread']):9.1f}"
        )
    missed = [(one, text) for one, text in zip(asks, texts, strict=True) if one.mark(text) in MARKS[1:3]]
    for one, text in missed[: wanted.misses]:
        print(
            f"\n{one.ask}\n  chosen: {text}\n  fits:   {', '.join(t for t in one.marks if one.mark(t) == 'first')}"
        )


if __name__ == "__main__":
    main()

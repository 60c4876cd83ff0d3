"""What people read on paper or screen: the presenter's script and the editor's sheet.

Of a large run they hold what is most pressing and most asked, and say how much more there is.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from functools import cache
from pathlib import Path
from typing import Any

from jinja2 import Environment

from knowledge.base import Knowledge
from knowledge.number_line import ask_line, number_line
from triage.output.files import whole_file
from triage.output.glance import glance
from triage.output.marks import input_line, marked
from triage.output.pages import page_environment
from triage.output.totals import Totals
from triage.records import MAY_HURT

Line = dict[str, Any]
MOST_ON_PAPER = 2_000
"""Answers that the script holds, and questions that the sheet does."""
MOST_ASIDE, MOST_CLOSERS = 2_000, 200
VERDICT_ORDER = ("not-recommended", "inspect-first", "need-more", "yes-if", "yes", "explain", "none")


@cache
def _environment() -> Environment:
    environment = page_environment()
    environment.globals["number_line"] = number_line
    environment.globals["ask_line"] = ask_line
    environment.globals["glance"] = glance
    environment.globals["marked"] = marked
    environment.globals["input_line"] = input_line
    return environment


Rank = tuple[bool, bool, int, int]


def pressing(line: Line) -> Rank:
    """By which lines are ordered: what is urgent first, then what may hurt, then what most riders ask or like."""
    return "urgent" not in line["flags"], MAY_HURT not in line["flags"], -line["asked_by"], -line["likes"]


def _in_topic_order(lines: Iterable[Line], knowledge: Knowledge) -> list[tuple[str, list[Line]]]:
    groups: dict[str, list[Line]] = {topic: [] for topic in knowledge.topics}
    for line in lines:
        groups[line["topic"]].append(line)
    for group in groups.values():
        group.sort(key=pressing)
    return [(topic, group) for topic, group in groups.items() if group]


def write_script(
    told: Iterable[Line], closers: Sequence[Line], knowledge: Knowledge, out: Path, totals: Totals
) -> None:
    """Write script.md from the answers to be told."""
    groups = _in_topic_order(told, knowledge)
    text = (
        _environment()
        .get_template("script.md")
        .render(
            groups=groups,
            topics=knowledge.topics,
            closers=closers,
            seconds=totals.script_seconds,
            count=totals.told,
            shown=sum(len(lines) for _, lines in groups),
        )
    )
    with whole_file(out / "script.md") as file:
        file.write(text)


def sheet(
    questions: Iterable[Line], aside: Sequence[Line], knowledge: Knowledge, totals: Totals
) -> Iterator[str]:
    """The editor's sheet of some questions, with what was set aside, in pieces."""
    groups = _in_topic_order(questions, knowledge)
    return (
        _environment()
        .get_template("sheet.html")
        .generate(
            groups=groups,
            shown=sum(len(lines) for _, lines in groups),
            topics=knowledge.topics,
            aside=aside,
            totals=totals,
            sources=knowledge.sources,
            labels={
                name: knowledge.label(name)
                for name in (*knowledge.calculations, *knowledge.quantities, *knowledge.choices)
            },
            verdicts=VERDICT_ORDER,
        )
    )


def write_sheet(
    questions: Iterable[Line], aside: Sequence[Line], knowledge: Knowledge, out: Path, totals: Totals
) -> None:
    """Write sheet.html."""
    with whole_file(out / "sheet.html") as file:
        for piece in sheet(questions, aside, knowledge, totals):
            file.write(piece)

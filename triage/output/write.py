"""Write a run's folder from the ledger, file by file, each whole or absent."""

from __future__ import annotations

import csv
import json
import re
from collections import Counter, defaultdict
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from itertools import groupby
from pathlib import Path
from typing import Any

from jinja2 import Environment

from knowledge.base import Knowledge
from knowledge.number_line import ask_line, number_line
from triage.ledger.reviews import SIGNED_STATES
from triage.ledger.store import Ledger
from triage.output.files import whole_file
from triage.output.glance import glance
from triage.output.marks import input_line, marked
from triage.output.pages import page_environment
from triage.output.replies import reply_mail

Line = dict[str, Any]
SUMMARY_COLUMNS = (
    "question_id", "message_id", "channel", "received", "rider", "topic", "brief", "verdict", "safety", "headline",
    "asked_by", "repeats_of", "script_seconds", "asks", "flags",
)  # fmt: skip
PIECE = 400
FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r")
VERDICT_ORDER = ("not-recommended", "inspect-first", "need-more", "yes-if", "yes", "explain", "none")


@dataclass
class Totals:
    """What came out, for the summary on screen and the head of the sheet."""

    questions: int = 0
    set_aside: int = 0
    drafted: int = 0
    replies: int = 0
    signed: int = 0
    by_topic: dict[str, Counter[str]] = field(default_factory=lambda: defaultdict(Counter))
    flags: Counter[str] = field(default_factory=Counter)
    script_seconds: float = 0.0

    def add(self, line: Line) -> None:
        """Count one line."""
        self.flags.update(line["flags"])
        if not line["is_question"]:
            self.set_aside += 1
            return
        self.questions += 1
        self.by_topic[line["topic"]][line["verdict"]] += 1
        if line["script"]:
            self.drafted += 1
        if line.get("state") in SIGNED_STATES:
            self.signed += 1


def write_outputs(
    keys: Sequence[str],
    ledger: Ledger,
    knowledge: Knowledge,
    out: Path,
    on_progress: Callable[[int], None] | None = None,
) -> Totals:
    """Write drafts.jsonl, script.md, replies/*.eml, sheet.html and summary.csv for these messages."""
    totals = Totals()
    out.mkdir(parents=True, exist_ok=True)
    with whole_file(out / "drafts.jsonl") as jsonl, whole_file(out / "summary.csv") as summary:
        table = csv.writer(summary)
        table.writerow(SUMMARY_COLUMNS)
        for _, line in ledger.lines(keys):
            jsonl.write(json.dumps(line, ensure_ascii=False) + "\n")
            table.writerow([_cell(line, column) for column in SUMMARY_COLUMNS])
            totals.add(line)
            if on_progress is not None:
                on_progress(1)
    _write_script(lambda: _lines(out), knowledge, out, totals)
    _write_sheet(lambda: _lines(out), knowledge, out, totals)
    totals.replies = _write_replies(keys, ledger, out)
    return totals


def _lines(out: Path) -> Iterator[Line]:
    with (out / "drafts.jsonl").open(encoding="utf-8") as file:
        for text in file:
            yield json.loads(text)


def _cell(line: Line, column: str) -> str:
    value = line[column]
    if column == "asks":
        text = " / ".join(ask["question"] for ask in value)
    elif isinstance(value, list):
        text = " ".join(map(str, value))
    else:
        text = "" if value is None else str(value)
    return safe_cell(text)


def safe_cell(text: str) -> str:
    """The text, or with an apostrophe before it where a spreadsheet would run it as a formula.

    >>> safe_cell("=1+1"), safe_cell("plain")
    ("'=1+1", 'plain')
    """
    return f"'{text}" if text.startswith(FORMULA_STARTS) else text


def _environment() -> Environment:
    environment = page_environment()
    environment.globals["number_line"] = number_line
    environment.globals["ask_line"] = ask_line
    environment.globals["glance"] = glance
    environment.globals["marked"] = marked
    environment.globals["input_line"] = input_line
    return environment


def _in_topic_order(lines: Iterator[Line], knowledge: Knowledge) -> list[tuple[str, list[Line]]]:
    groups: dict[str, list[Line]] = {topic: [] for topic in knowledge.topics}
    for line in lines:
        groups[line["topic"]].append(line)
    for group in groups.values():
        group.sort(key=lambda line: ("urgent" not in line["flags"], -line["asked_by"], -line["likes"]))
    return [(topic, group) for topic, group in groups.items() if group]


def _write_script(
    lines: Callable[[], Iterator[Line]], knowledge: Knowledge, out: Path, totals: Totals
) -> None:
    told = [line for line in lines() if line["script"] and not line["repeats_of"]]
    totals.script_seconds = sum(line["script_seconds"] for line in told)
    closers = [line for line in lines() if "closer" in line["flags"]]
    text = (
        _environment()
        .get_template("script.md")
        .render(
            groups=_in_topic_order(iter(told), knowledge),
            topics=knowledge.topics,
            closers=closers,
            seconds=totals.script_seconds,
            count=len(told),
        )
    )
    with whole_file(out / "script.md") as file:
        file.write(text)


def sheet(lines: Callable[[], Iterator[Line]], knowledge: Knowledge, totals: Totals) -> Iterator[str]:
    """The editor's sheet of some lines, in pieces, so that a large one is never whole in memory."""
    return (
        _environment()
        .get_template("sheet.html")
        .generate(
            groups=_in_topic_order((line for line in lines() if line["is_question"]), knowledge),
            topics=knowledge.topics,
            aside=[line for line in lines() if not line["is_question"]],
            totals=totals,
            sources=knowledge.sources,
            labels={
                name: knowledge.label(name)
                for name in (*knowledge.calculations, *knowledge.quantities, *knowledge.choices)
            },
            verdicts=VERDICT_ORDER,
        )
    )


def _write_sheet(
    lines: Callable[[], Iterator[Line]], knowledge: Knowledge, out: Path, totals: Totals
) -> None:
    with whole_file(out / "sheet.html") as file:
        for piece in sheet(lines, knowledge, totals):
            file.write(piece)


def _write_replies(keys: Sequence[str], ledger: Ledger, out: Path) -> int:
    folder = out / "replies"
    folder.mkdir(parents=True, exist_ok=True)
    for old in folder.glob("*.eml"):
        old.unlink()
    written = 0
    for start in range(0, len(keys), PIECE):
        some = keys[start : start + PIECE]
        messages = ledger.messages(some)
        for key, pairs in groupby(ledger.lines(some), key=lambda pair: pair[0]):
            lines = [line for _, line in pairs if line["reply"]]
            if lines:
                name = re.sub(r"[^a-z0-9-]", "", f"{lines[0]['topic']}-{lines[0]['question_id']}")
                with whole_file(folder / f"{name}.eml") as file:
                    is_signed = all(line["state"] in SIGNED_STATES for line in lines)
                    mail = reply_mail(lines, messages[key], is_signed=is_signed)
                    file.write(mail.as_bytes().decode("ascii").replace("\r\n", "\n"))
                written += 1
    return written

"""What came out of a run, in numbers: for the summary on screen and the head of the sheet."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from triage.ledger.reviews import SIGNED_STATES

Line = Mapping[str, Any]


@dataclass
class Totals:
    """What came out, for the summary on screen and the head of the sheet."""

    questions: int = 0
    set_aside: int = 0
    drafted: int = 0
    replies: int = 0
    signed: int = 0
    by_topic: defaultdict[str, Counter[str]] = field(default_factory=lambda: defaultdict(Counter))
    flags: Counter[str] = field(default_factory=Counter)
    told: int = 0
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
        if line["script"] and not line["repeats_of"]:
            self.told += 1
            self.script_seconds += line["script_seconds"]

    def plus(self, other: Totals) -> None:
        """Count what was counted elsewhere as well."""
        for name in ("questions", "set_aside", "drafted", "replies", "signed", "told", "script_seconds"):
            setattr(self, name, getattr(self, name) + getattr(other, name))
        for topic, verdicts in other.by_topic.items():
            self.by_topic[topic].update(verdicts)
        self.flags.update(other.flags)

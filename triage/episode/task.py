"""One episode to plan: what there is to choose from, the rules it is held to, and their names."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date

from knowledge.episode import EpisodeRules
from triage.episode.candidate import Candidate, is_too_soon, length_said, listed, total, worth_of

TENTHS = 10
"""Times are counted in tenths of a second, whole numbers, so that a full episode is full and never a hair over."""
RULES = WEEKS, BRIEF, ONE_CLOSER, LONG, TOPIC, TIME, ITEMS, CORRECTIONS, TOPICS, VERDICT, CLOSER = (
    "weeks_between", "one_of_a_brief", "one_closer", "long_at_most", "of_one_topic_at_most", "time", "items_at_most",
    "corrections", "topics_at_least", "at_least_one_of", "closer",
)  # fmt: skip
"""The rules that can clash, by name; of two clashes of equal size that of the earlier rules is told."""
PIN = "pin:"
"""Before the key of a pinned item that clashes with rules."""


class ClashingRulesError(Exception):
    """No episode keeps to all rules and wishes; `clash` names the fewest that cannot stand together.

    Each is the name of a rule, or pin:KEY for a pinned item.
    """

    def __init__(self, clash: tuple[str, ...], message: str) -> None:
        self.clash = clash
        super().__init__(message)


@dataclass(frozen=True, slots=True)
class Task:
    """One episode to plan. `candidates` are signed, not dropped, and sorted by key; times are tenths of a second."""

    candidates: tuple[Candidate, ...]
    rules: EpisodeRules
    day: date
    length: int
    tenths: tuple[int, ...]
    worth: tuple[float, ...]
    too_soon: tuple[bool, ...]
    pinned: frozenset[int]
    corrections: frozenset[int]
    topics_needed: int
    waived: frozenset[str] = frozenset()

    @property
    def fixed(self) -> frozenset[int]:
        """What is in whatever else is."""
        return self.pinned | self.corrections

    @property
    def link(self) -> int:
        """The words between two items."""
        return tenths_of(self.rules.time.link_seconds)

    @property
    def around(self) -> int:
        """Opening and farewell, less the link that the first item does not need."""
        return around_of(self.rules) - self.link

    @property
    def full(self) -> int:
        """The time from which on the episode is full."""
        return self.length - tenths_of(self.rules.time.slack_seconds)

    @property
    def missing_tenth(self) -> float:
        """What a missing tenth of a second costs."""
        return self.rules.time.missing_second / TENTHS

    def may_choose(self) -> list[int]:
        """What the rules leave to choose from; corrections that found no room are not among it."""
        return [
            i
            for i, candidate in enumerate(self.candidates)
            if i in self.fixed or not (self.too_soon[i] or candidate.kind == "correction")
        ]

    def takes(self, chosen: Iterable[int]) -> int:
        """The whole episode with these items."""
        places = list(chosen)
        return self.around + sum(self.tenths[i] + self.link for i in places) + self.link * (not places)

    def score(self, chosen: Iterable[int]) -> float:
        """What the plan is worth: its items, less what missing time costs."""
        places = list(chosen)
        missing = max(self.full - self.takes(places), 0)
        return sum(self.worth[i] for i in places) - self.missing_tenth * missing

    def is_long(self, place: int) -> bool:
        """Whether an item is a long one."""
        return self.candidates[place].seconds > self.rules.mix.long_over_seconds

    def is_wanted(self, place: int) -> bool:
        """Whether an item has a verdict of which the rules want one."""
        candidate = self.candidates[place]
        return candidate.kind != "closer" and candidate.verdict in self.rules.mix.at_least_one_of


def task_for(
    candidates: Sequence[Candidate],
    rules: EpisodeRules,
    seconds: float,
    day: date,
    pinned: frozenset[str],
    dropped: frozenset[str],
) -> tuple[Task, list[str]]:
    """What there is to choose from for an episode of so many seconds, and notes of what could not be had.

    Raises:
        ClashingRulesError: a pin that can't be met, or an episode too short for its opening and farewell.
        ValueError: a key stands twice.
    """
    keys = Counter(candidate.key for candidate in candidates)
    if twice := sorted(key for key, count in keys.items() if count > 1):
        raise ValueError(f"candidates: {', '.join(twice)}: stands twice")
    _refuse_impossible_pins({candidate.key: candidate for candidate in candidates}, pinned, dropped)
    able = tuple(
        sorted(
            (candidate for candidate in candidates if candidate.is_signed and candidate.key not in dropped),
            key=lambda candidate: candidate.key,
        )
    )
    length = math.floor(seconds * TENTHS + 1e-6)
    if around_of(rules) > length:
        said = length_said(around_of(rules) / TENTHS)
        raise ClashingRulesError(
            (TIME,), f"Opening and farewell alone take {said}; the episode has {length_said(seconds)}."
        )
    task = Task(
        candidates=able,
        rules=rules,
        day=day,
        length=length,
        tenths=tuple(tenths_of(candidate.seconds) for candidate in able),
        worth=tuple(total(worth_of(candidate, rules, day)) for candidate in able),
        too_soon=tuple(is_too_soon(candidate, rules, day) for candidate in able),
        pinned=frozenset(i for i, candidate in enumerate(able) if candidate.key in pinned),
        corrections=frozenset(),
        topics_needed=0,
    )
    task, notes = _with_corrections(task)
    topics = {task.candidates[i].topic for i in task.may_choose() if task.candidates[i].kind != "closer"}
    wanted = rules.mix.topics_at_least
    if topics and len(topics) < wanted:
        notes.append(
            f"The rules ask for {topics_said(wanted)}; what is signed has {topics_said(len(topics))}."
        )
    return replace(task, topics_needed=min(wanted, len(topics))), notes


def _refuse_impossible_pins(
    known: dict[str, Candidate], pinned: frozenset[str], dropped: frozenset[str]
) -> None:
    for key in sorted(pinned):
        if key not in known:
            wrong = f"{key} is pinned, and is not among what can be planned."
        elif key in dropped:
            wrong = f'"{known[key].title}" is both pinned and dropped.'
        elif not known[key].is_signed:
            wrong = f'"{known[key].title}" is pinned, and nobody has signed it.'
        else:
            continue
        raise ClashingRulesError((PIN + key,), wrong)


def _with_corrections(task: Task) -> tuple[Task, list[str]]:
    """The task with as many corrections as there is room for, the pinned and then the oldest first."""
    every = [i for i, candidate in enumerate(task.candidates) if candidate.kind == "correction"]
    every.sort(key=lambda i: (i not in task.pinned, task.candidates[i].received, task.candidates[i].key))
    most = task.rules.mix.items_at_most
    room: list[int] = []
    for i in every:
        if len(room) < most and task.takes([*room, i]) <= task.length:
            room.append(i)
    waiting = [i for i in every if i not in room]
    found = replace(task, corrections=frozenset(room))
    if not waiting:
        return found, []
    if task.takes(every) > task.length:
        why_not = (
            f"The corrections take {length_said(task.takes(every) / TENTHS)} with opening, links and farewell; "
            f"the episode has {length_said(task.length / TENTHS)}."
        )
    else:
        why_not = f"There are {len(every)} corrections; the rules allow {items_said(most)}."
    verb = "waits" if len(waiting) == 1 else "wait"
    return found, [f"{why_not} {titles(task, waiting)} {verb} for the next one."]


def tenths_of(seconds: float) -> int:
    """Tenths of a second, a begun one as a whole one."""
    return math.ceil(seconds * TENTHS - 1e-6)


def around_of(rules: EpisodeRules) -> int:
    """Opening and farewell, in tenths of a second."""
    return tenths_of(rules.time.opening_seconds) + tenths_of(rules.time.farewell_seconds)


def titles(task: Task, places: Iterable[int]) -> str:
    """The titles of some candidates, listed in quotes."""
    return listed([f'"{task.candidates[i].title}"' for i in places])


def counted(count: int, noun: str) -> str:
    """So many of something: 1 item, 2 items."""
    return f"{count} {noun}" if count == 1 else f"{count} {noun}s"


def items_said(count: int) -> str:
    """So many items."""
    return counted(count, "item")


def topics_said(count: int) -> str:
    """So many topics."""
    return counted(count, "topic")

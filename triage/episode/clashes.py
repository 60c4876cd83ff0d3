"""Rules and wishes that no episode can keep together: the fewest of them, in words, and what gives way to corrections."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from itertools import combinations

import numpy as np
from scipy.optimize import Bounds

from triage.episode.candidate import length_said, listed
from triage.episode.programme import Home, home_of, programme, solve
from triage.episode.task import (
    BRIEF,
    CLOSER,
    CORRECTIONS,
    ITEMS,
    LONG,
    ONE_CLOSER,
    PIN,
    RULES,
    TENTHS,
    TIME,
    TOPIC,
    TOPICS,
    VERDICT,
    WEEKS,
    ClashingRulesError,
    Task,
    counted,
    items_said,
    titles,
    topics_said,
)

PINS = "pins"
"""All pinned items together."""
YIELDING = (TOPICS, VERDICT, CLOSER)
"""What an episode goes without where the corrections leave no room for it."""
MINIMUM_NEEDS = 2
"""Items that an episode may need beside those of its topics: one of a verdict, and the closer."""


def smallest_clash(task: Task) -> tuple[str, ...]:
    """The fewest rules that no choice keeps together, all pins taken as one wish; of the pins no more than it takes.

    A set of rules that can be kept, made as large as it goes, leaves some over: at least one of those is in any clash.
    The smallest set that has one of each such remainder is the clash as soon as it cannot be kept itself.
    """
    pool = _shortest(task)
    able = _keeper(task, pool)
    groups = [*([PINS] if task.pinned else []), *RULES]
    remainders: list[frozenset[str]] = []
    clash: frozenset[str] = frozenset()
    while able(clash, task.pinned if PINS in clash else frozenset()):
        kept = clash
        for group in groups:
            larger = kept | {group}
            if able(larger, task.pinned if PINS in larger else frozenset()):
                kept = larger
        remainders.append(frozenset(groups) - kept)
        clash = _smallest_hitting(groups, remainders)
    pins: list[int] = sorted(task.pinned) if PINS in clash else []
    # The shortest are let go of first, so that the fewest are left where it is the time that is short.
    for i in sorted(pins, key=lambda i: (task.tenths[i], i)):
        fewer = frozenset(pins) - {i}
        if not able(clash, fewer):
            pins = sorted(fewer)
    return (*(PIN + task.candidates[i].key for i in pins), *(rule for rule in RULES if rule in clash))


def yielded(task: Task, clash: tuple[str, ...]) -> tuple[Task, str]:
    """The task without what corrections leave no room for, and the note of it.

    Raises:
        ClashingRulesError: it is not the corrections alone that clash with the mix.
    """
    yielding = [rule for rule in YIELDING if rule in clash]
    if CORRECTIONS not in clash or not yielding or any(name.startswith(PIN) for name in clash):
        raise ClashingRulesError(clash, _clash_said(task, clash))
    rule = yielding[0]
    mix = task.rules.mix
    if rule == TOPICS:
        fewer = task.topics_needed - 1
        note = f"The corrections leave room for {topics_said(fewer)}; the rules ask for {topics_said(mix.topics_at_least)}."
        return replace(task, topics_needed=fewer), note
    without = "a closer" if rule == CLOSER else listed(mix.at_least_one_of, "or")
    return replace(task, waived=task.waived | {rule}), f"The corrections leave no room for {without}."


def _smallest_hitting(groups: list[str], remainders: list[frozenset[str]]) -> frozenset[str]:
    for size in range(1, len(groups) + 1):
        for some in combinations(groups, size):
            if all(remainder.intersection(some) for remainder in remainders):
                return frozenset(some)
    raise RuntimeError("the solver found no plan, and no rules that clash")


def _keeper(task: Task, pool: list[int]) -> Callable[[frozenset[str], frozenset[int]], bool]:
    """What tells whether some rules can be kept together with some of the pins."""
    rows, worth, whole, bounds = programme(task, pool, frozenset())

    def able(rules: frozenset[str], pins: frozenset[int]) -> bool:
        fixed = pins | (task.corrections if CORRECTIONS in rules else frozenset())
        lower = np.array([*(float(i in fixed) for i in pool), *(0.0 for _ in range(len(worth) - len(pool)))])
        kept = [row for row in rows if not row.rule or row.rule in rules]
        return solve(kept, np.zeros(len(worth)), whole, Bounds(lower, bounds.ub)) is not None

    return able


def _shortest(task: Task) -> list[int]:
    """Enough of the shortest of each sort to say whether rules can be kept at all.

    Beside what is fixed, one item a topic that is asked for and `MINIMUM_NEEDS` do; a sort of which so many stand here
    with briefs of their own always has one left to stand in for a longer one.
    """
    needed = len(task.fixed) + task.topics_needed + MINIMUM_NEEDS
    sorts: dict[tuple[Home, bool, bool], list[int]] = {}
    for i in sorted(range(len(task.candidates)), key=lambda i: (task.tenths[i], i)):
        candidate = task.candidates[i]
        if i in task.fixed or candidate.kind == "correction":
            continue
        members = sorts.setdefault((home_of(candidate), task.is_wanted(i), task.too_soon[i]), [])
        briefs = {task.candidates[other].brief for other in members}
        if len(members) < needed and not (candidate.brief and candidate.brief in briefs):
            members.append(i)
    return sorted([*task.fixed, *(i for members in sorts.values() for i in members)])


def _clash_said(task: Task, clash: tuple[str, ...]) -> str:
    pins = [i for i in sorted(task.pinned) if PIN + task.candidates[i].key in clash]
    rules = [name for name in clash if not name.startswith(PIN)]
    if TIME in rules and set(rules) <= {TIME, CORRECTIONS}:
        return _too_long_said(task, pins, sorted(task.corrections) if CORRECTIONS in rules else [])
    said = [_pin_said(task, i, rules) for i in pins] + [_rule_said(task, rule) for rule in rules]
    return f"These cannot all hold: {'; '.join(said)}. Let go of one of them."


def _too_long_said(task: Task, pins: list[int], corrections: list[int]) -> str:
    every = sorted({*pins, *corrections})
    who = []
    if corrections:
        who.append("the corrections" if len(corrections) > 1 else "the correction")
    if pins and frozenset(pins) == task.pinned and len(pins) > 1:
        who.append("the pinned items")
    elif pins:
        who.append(f"the pinned {titles(task, pins)}")
    alone, whole = sum(task.tenths[i] for i in every), task.takes(every)
    verb = "takes" if len(every) == 1 else "take"
    subject = listed(who)
    subject = subject[0].upper() + subject[1:]
    has = f"the episode has {length_said(task.length / TENTHS)}."
    if alone > task.length:
        return f"{subject} alone {verb} {length_said(alone / TENTHS)}; {has}"
    return f"{subject} {verb} {length_said(whole / TENTHS)} with opening, links and farewell; {has}"


def _pin_said(task: Task, i: int, rules: list[str]) -> str:
    candidate = task.candidates[i]
    details = {
        TIME: length_said(candidate.seconds),
        LONG: length_said(candidate.seconds),
        TOPIC: candidate.topic,
        TOPICS: candidate.topic,
        BRIEF: f"brief {candidate.brief}",
        WEEKS: f"answered on {candidate.last_answered}",
        VERDICT: candidate.verdict,
        ONE_CLOSER: "a closer",
    }
    of_it = list(dict.fromkeys(details[rule] for rule in rules if rule in details))
    return f'"{candidate.title}" is pinned' + (f" ({', '.join(of_it)})" if of_it else "")


def _rule_said(task: Task, rule: str) -> str:
    mix = task.rules.mix
    corrections = [task.tenths[i] for i in task.corrections]
    return {
        WEEKS: f"{mix.weeks_between} weeks between two answers by one brief",
        BRIEF: "one item a brief",
        ONE_CLOSER: "one closer",
        LONG: f"at most {counted(mix.long_at_most, 'item')} over {length_said(mix.long_over_seconds)}",
        TOPIC: f"at most {items_said(mix.of_one_topic_at_most)} of one topic",
        TIME: f"{length_said(task.length / TENTHS)} in all, with opening, links and farewell",
        ITEMS: f"at most {items_said(mix.items_at_most)}",
        CORRECTIONS: f"{counted(len(corrections), 'correction')} ({length_said(sum(corrections) / TENTHS)})",
        TOPICS: f"at least {topics_said(task.topics_needed)}",
        VERDICT: f"at least one {listed(mix.at_least_one_of, 'or')}",
        CLOSER: "a closer at the end",
    }[rule]

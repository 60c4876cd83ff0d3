"""The plan of an episode: the worthiest choice that keeps to the rules, by mixed-integer optimisation."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from itertools import combinations
from typing import Any

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, linprog, milp
from scipy.sparse import csr_array

from knowledge.episode import EpisodeRules
from triage.episode.candidate import (
    Candidate,
    Chosen,
    NearMiss,
    Plan,
    is_too_soon,
    length_said,
    listed,
    total,
    why,
    worth_of,
)
from triage.episode.order import in_order

TENTHS = 10
"""Times are counted in tenths of a second, whole numbers, so that a full episode is full and never a hair over."""
A_HAIR = 1e-5
"""Points by which two plans may differ and still be worth the same: far below the cent of a point worth is kept in."""
PRICE_MARGIN = 1e-3
"""Points by which a price may be off and still leave nothing out that is as good as the best."""
A_FEW = 60
"""Items of the lowest prices, from which a good plan is soon found."""
LOOSE = 10.0
"""Points below the least that a choice may be worth, from which on the solver need not look: tighter, and it is slower
to find that there is nothing."""
LEAST_LOSS = 1.0
"""Points within which near misses are looked for first, where the relaxed programme is exact."""
RULES = WEEKS, BRIEF, ONE_CLOSER, LONG, TOPIC, TIME, ITEMS, CORRECTIONS, TOPICS, VERDICT, CLOSER = (
    "weeks_between", "one_of_a_brief", "one_closer", "long_at_most", "of_one_topic_at_most", "time", "items_at_most",
    "corrections", "topics_at_least", "at_least_one_of", "closer",
)  # fmt: skip
"""The rules that can clash, by name; of two clashes of equal size that of the earlier rules is told."""
PIN = "pin:"
"""Before the key of a pinned item that clashes with rules."""
PINS = "pins"
"""All pinned items together."""
Home = tuple[bool, str]
YIELDING = (TOPICS, VERDICT, CLOSER)
"""What an episode goes without where the corrections leave no room for it."""
MINIMUM_NEEDS = 2
"""Items that an episode may need beside those of its topics: one of a verdict, and the closer."""


class ClashingRulesError(Exception):
    """No episode keeps to all rules and wishes; `clash` names the fewest that cannot stand together.

    Each is the name of a rule, or pin:KEY for a pinned item.
    """

    def __init__(self, clash: tuple[str, ...], message: str) -> None:
        self.clash = clash
        super().__init__(message)


@dataclass(frozen=True, slots=True)
class _Task:
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
        return _tenths(self.rules.time.link_seconds)

    @property
    def around(self) -> int:
        """Opening and farewell, less the link that the first item does not need."""
        return _around(self.rules) - self.link

    @property
    def full(self) -> int:
        """The time from which on the episode is full."""
        return self.length - _tenths(self.rules.time.slack_seconds)

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


def plan(
    candidates: Sequence[Candidate],
    rules: EpisodeRules,
    seconds: float,
    day: date,
    pinned: frozenset[str] = frozenset(),
    dropped: frozenset[str] = frozenset(),
) -> Plan:
    """The worthiest episode of at most so many seconds, in order, each choice explained, with what just missed it.

    Only signed candidates come in. `pinned` and `dropped` are keys: what must be in, and what must not. The choice is
    the best there is, and of plans worth the same the one whose keys come earliest in the alphabet. Where corrections
    leave no room for a rule of the mix, the plan goes without it and says so in `notes`.

    Raises:
        ClashingRulesError: rules and pins that no episode can keep to; it names the fewest of them, in words.
        ValueError: a key stands twice.
    """
    task, notes = _task(candidates, rules, seconds, day, pinned, dropped)
    while (found := _found(task)) is None:
        task, note = _yielded(task, _smallest_clash(task))
        notes.append(note)
    pool, relaxed, chosen = found
    items = in_order([_chosen(task, i, chosen) for i in sorted(chosen)], rules)
    return Plan(
        items=tuple(items),
        seconds=task.takes(chosen) / TENTHS,
        worth=round(task.score(chosen), 3),
        missing_seconds=max(task.full - task.takes(chosen), 0) / TENTHS,
        near_misses=_near_misses(task, pool, relaxed, chosen),
        notes=tuple(notes),
    )


def _found(task: _Task) -> tuple[list[int], _Relaxed, frozenset[int]] | None:
    """What the best choice was made from, what each item would take off it, and the choice; None where there is none."""
    relaxed = _relaxed(task)
    if relaxed is None:
        return None
    pool = _undominated(task)
    chosen = _best(task, pool, relaxed)
    return None if chosen is None else (pool, relaxed, chosen)


# What there is to choose from.


def _task(
    candidates: Sequence[Candidate],
    rules: EpisodeRules,
    seconds: float,
    day: date,
    pinned: frozenset[str],
    dropped: frozenset[str],
) -> tuple[_Task, list[str]]:
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
    if _around(rules) > length:
        said = length_said(_around(rules) / TENTHS)
        raise ClashingRulesError(
            (TIME,), f"Opening and farewell alone take {said}; the episode has {length_said(seconds)}."
        )
    task = _Task(
        candidates=able,
        rules=rules,
        day=day,
        length=length,
        tenths=tuple(_tenths(candidate.seconds) for candidate in able),
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
        notes.append(f"The rules ask for {_topics(wanted)}; what is signed has {_topics(len(topics))}.")
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


def _with_corrections(task: _Task) -> tuple[_Task, list[str]]:
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
        why_not = f"There are {len(every)} corrections; the rules allow {_items(most)}."
    verb = "waits" if len(waiting) == 1 else "wait"
    return found, [f"{why_not} {_titles(task, waiting)} {verb} for the next one."]


def _undominated(task: _Task) -> list[int]:
    """What may be in the best plan. What is left out here never is, so that the optimum stays exact.

    One item is dominated by another that may stand in its place in every rule, takes no more time and scores more even
    after the time that would be missing, or scores the same with an earlier key. It is left out when it has so many
    of them that whatever else is in the plan cannot use them all up: items of the plan use up themselves and their
    brief, so there are fewer than the rules allow of items in all, or of one topic where no other topic has the brief.
    """
    places = task.may_choose()
    homes: dict[str, set[Home]] = {}
    for i in places:
        if brief := task.candidates[i].brief:
            homes.setdefault(brief, set()).add(_home(task.candidates[i]))
    by_class: dict[tuple[Home, bool], list[int]] = {}
    for i in places:
        if i not in task.fixed:
            by_class.setdefault((_home(task.candidates[i]), task.is_wanted(i)), []).append(i)
    kept = list(task.fixed)
    for ((is_closer, _), _), members in by_class.items():
        at_home = 1 if is_closer else task.rules.mix.of_one_topic_at_most
        members.sort(key=lambda i: (-_score_with_time(task, i), i))
        of_class: list[int] = []
        for i in members:
            if not _is_dominated(task, i, of_class, homes, at_home):
                of_class.append(i)
        kept += of_class
    return sorted(kept)


def _home(candidate: Candidate) -> Home:
    """Where an item counts: among the closers, or in its topic."""
    return (True, "") if candidate.kind == "closer" else (False, candidate.topic)


def _score_with_time(task: _Task, i: int) -> float:
    return round(task.worth[i] + task.missing_tenth * task.tenths[i], 6)


def _is_dominated(
    task: _Task, i: int, better: list[int], homes: dict[str, set[Home]], at_home_needed: int
) -> bool:
    """Whether enough of the better ones could take its place. `better` score more, or the same with an earlier key."""
    seen: set[str] = set()
    in_all = at_home = 0
    for other in better:
        if task.tenths[other] > task.tenths[i]:
            continue
        brief = task.candidates[other].brief
        if brief and brief == task.candidates[i].brief:
            return True
        if brief and brief in seen:
            continue
        if brief:
            seen.add(brief)
        in_all += 1
        at_home += not brief or len(homes[brief]) == 1
        if at_home >= at_home_needed or in_all >= task.rules.mix.items_at_most:
            return True
    return False


# The choice.


@dataclass(frozen=True, slots=True)
class _Row:
    """One line of the programme: a rule's name, factors by column, and what their sum may be."""

    rule: str
    factors: dict[int, float]
    least: float
    most: float


def _rows(task: _Task, pool: list[int]) -> tuple[list[_Row], list[str]]:
    """The rules as lines over the columns: an item each, a topic each, and last the missing time; and the topics."""
    mix, count = task.rules.mix, len(pool)
    of = [task.candidates[i] for i in pool]
    main = [column for column in range(count) if of[column].kind != "closer"]
    closers = [column for column in range(count) if of[column].kind == "closer"]
    topics = sorted({of[column].topic for column in main})
    missing = count + len(topics)
    time: dict[int, float] = {column: float(task.tenths[i] + task.link) for column, i in enumerate(pool)}
    rows = [
        _Row(TIME, time, -np.inf, task.length - task.around),
        _Row("", {**time, missing: 1.0}, task.full - task.around, np.inf),
        _Row(ITEMS, dict.fromkeys(range(count), 1.0), -np.inf, mix.items_at_most),
        _at_most(task, pool, LONG, [c for c, i in enumerate(pool) if task.is_long(i)], mix.long_at_most),
        _Row(WEEKS, {c: 1.0 for c, i in enumerate(pool) if task.too_soon[i]}, -np.inf, 0),
        _Row(ONE_CLOSER, dict.fromkeys(closers, 1.0), -np.inf, 1),
    ]
    for number, topic in enumerate(topics):
        of_topic = [column for column in main if of[column].topic == topic]
        rows.append(_at_most(task, pool, TOPIC, of_topic, mix.of_one_topic_at_most))
        # The topic counts as there only where an item of it is.
        rows.append(_Row("", {count + number: 1.0, **dict.fromkeys(of_topic, -1.0)}, -np.inf, 0))
    briefs: dict[str, list[int]] = {}
    for column, candidate in enumerate(of):
        if candidate.brief:
            briefs.setdefault(candidate.brief, []).append(column)
    rows += [_at_most(task, pool, BRIEF, columns, 1) for columns in briefs.values() if len(columns) > 1]
    rows.append(_Row(TOPICS, dict.fromkeys(range(count, missing), 1.0), task.topics_needed, np.inf))
    wanted = [column for column, i in enumerate(pool) if task.is_wanted(i)]
    rows += [
        _Row(rule, dict.fromkeys(columns, 1.0), 1, np.inf)
        for rule, columns in ((VERDICT, wanted), (CLOSER, closers))
        if any(not task.too_soon[pool[column]] for column in columns) and rule not in task.waived
    ]
    return [row for row in rows if row.factors], topics


def _at_most(task: _Task, pool: list[int], rule: str, columns: list[int], most: int) -> _Row:
    """A rule of numbers, which never keeps out a correction: beyond their own number nothing else comes in."""
    corrections = sum(pool[column] in task.corrections for column in columns)
    return _Row(rule, dict.fromkeys(columns, 1.0), -np.inf, max(most, corrections))


def _matrix(rows: list[_Row], width: int) -> Any:
    lengths = [len(row.factors) for row in rows]
    starts = np.concatenate([[0], np.cumsum(lengths)])
    columns = [column for row in rows for column in row.factors]
    factors = [factor for row in rows for factor in row.factors.values()]
    return csr_array((factors, columns, starts), shape=(len(rows), width))


def _solve(
    rows: list[_Row], worth: np.ndarray[Any, Any], whole: np.ndarray[Any, Any], bounds: Bounds
) -> np.ndarray[Any, Any] | None:
    """The columns of greatest worth; None where there are none."""
    limits = LinearConstraint(
        _matrix(rows, len(worth)), [row.least for row in rows], [row.most for row in rows]
    )
    found = milp(
        -worth,
        constraints=limits,
        integrality=whole,
        bounds=bounds,
        options={"mip_rel_gap": 0.0, "presolve": False},
    )
    if found.status == 2:
        return None
    if found.x is None:
        raise RuntimeError(f"the plan was not solved: {found.message}")
    return np.asarray(found.x)


def _programme(
    task: _Task, pool: list[int], fixed: frozenset[int]
) -> tuple[list[_Row], np.ndarray[Any, Any], np.ndarray[Any, Any], Bounds]:
    """Lines, worth, which columns are whole numbers, and bounds; what is fixed is in."""
    rows, topics = _rows(task, pool)
    worth = np.array([*(task.worth[i] for i in pool), *(0.0 for _ in topics), -task.missing_tenth])
    whole = np.array([*(1 for _ in pool), *(0 for _ in topics), 0])
    lower = np.array([*(float(i in fixed) for i in pool), *(0.0 for _ in topics), 0.0])
    upper = np.array([*(1.0 for _ in pool), *(1.0 for _ in topics), np.inf])
    return rows, worth, whole, Bounds(lower, upper)


@dataclass(frozen=True, slots=True)
class _Relaxed:
    """The programme with parts of items allowed: what its best is worth, and what would be taken off it at least.

    `price` is for having an item, `loss` for not having it; both in points.
    """

    most: float
    price: dict[int, float]
    loss: dict[int, float]

    def with_it(self, i: int) -> float:
        """No plan with this item is worth more."""
        return self.most - self.price.get(i, 0.0)


@dataclass(frozen=True, slots=True)
class _Narrowed:
    """What any choice as good as the best is made of, what is in all of them, and a best one, if there is any."""

    pool: list[int]
    must: frozenset[int]
    choice: frozenset[int] | None


def _relaxed(task: _Task) -> _Relaxed | None:
    """The relaxed programme over everything there is to choose from; None where even it has no answer."""
    pool = task.may_choose()
    rows, worth, _, bounds = _programme(task, pool, task.fixed)
    # Every line as "at most", as the solver wants it.
    lines = [
        _Row(row.rule, {c: sign * factor for c, factor in row.factors.items()}, -np.inf, sign * limit)
        for row in rows
        for sign, limit in ((1, row.most), (-1, row.least))
        if np.isfinite(limit)
    ]
    found = linprog(
        -worth,
        A_ub=_matrix(lines, len(worth)),
        b_ub=[line.most for line in lines],
        bounds=np.column_stack([bounds.lb, bounds.ub]),
    )
    if found.x is None:
        return None
    price, loss = (
        {i: max(float(points), 0.0) for i, points in zip(pool, side, strict=False) if i not in task.fixed}
        for side in (found.lower.marginals, -found.upper.marginals)
    )
    return _Relaxed(-float(found.fun), price, loss)


def _best(task: _Task, pool: list[int], relaxed: _Relaxed) -> frozenset[int] | None:
    """The best choice from the pool; of equal ones, that with the earliest keys. None where no choice keeps the rules."""
    narrow = _narrowed(task, pool, relaxed, task.fixed, frozenset(), -np.inf)
    if narrow.choice is None:
        return None
    rows, worth, whole, bounds = _programme(task, narrow.pool, narrow.must)
    best = task.score(narrow.choice)
    # Among those as good as the best, the least sum of places in the alphabet.
    if worth.any():
        rows.append(_as_good_as(best - A_HAIR, worth))
    rest = len(worth) - len(narrow.pool)
    early = np.array([*(-float(i + 1) for i in narrow.pool), *(0.0 for _ in range(rest))])
    earliest = _solve(rows, early, whole, bounds)
    return narrow.choice if earliest is None else frozenset(_places(earliest, narrow.pool))


def _narrowed(
    task: _Task,
    pool: list[int],
    relaxed: _Relaxed,
    fixed: frozenset[int],
    liked: frozenset[int],
    least: float,
) -> _Narrowed:
    """The best choice with what is fixed, of equal ones the nearest to what is liked, and what any so good is made of.

    A choice from a few is soon found and is a floor. By the prices of the relaxed programme, whatever cannot be in a
    plan above the floor is left out, whatever such a plan cannot do without is in, and more of the rest are looked at
    until there is no rest: the same optimum, from far fewer items.
    """
    ceiling = min((relaxed.with_it(i) for i in fixed), default=relaxed.most)
    free = sorted(
        (i for i in pool if i not in fixed), key=lambda i: (i not in liked, relaxed.price.get(i, 0.0), i)
    )
    look_at = A_FEW
    while True:
        free = [i for i in free if ceiling - relaxed.price.get(i, 0.0) >= least]
        must = fixed | {i for i in free if ceiling - relaxed.loss.get(i, 0.0) < least}
        few = sorted({*must, *free[:look_at]})
        choice = _choice(task, few, must, liked, least)
        if choice is not None:
            least = max(least, task.score(choice) - PRICE_MARGIN)
            free = [i for i in free if ceiling - relaxed.price.get(i, 0.0) >= least]
        if {*must, *free} <= {*few}:
            return _Narrowed(sorted({*must, *free}), must, choice)
        look_at *= 2


def _choice(
    task: _Task, pool: list[int], fixed: frozenset[int], liked: frozenset[int], least: float
) -> frozenset[int] | None:
    """The best choice from a pool that is worth no less than the least; None where there is none."""
    rows, worth, whole, bounds = _programme(task, pool, fixed)
    if np.isfinite(least):
        rows.append(_as_good_as(least - LOOSE, worth))
    worth[: len(pool)] += [A_HAIR * (i in liked) for i in pool]
    found = _solve(rows, worth, whole, bounds)
    if found is None:
        return None
    choice = frozenset(_places(found, pool))
    return choice if task.score(choice) >= least else None


def _as_good_as(least: float, worth: np.ndarray[Any, Any]) -> _Row:
    return _Row("", {column: float(points) for column, points in enumerate(worth) if points}, least, np.inf)


def _places(found: np.ndarray[Any, Any], pool: list[int]) -> list[int]:
    return [i for i, value in zip(pool, found, strict=False) if value > 0.5]


def _chosen(task: _Task, i: int, chosen: frozenset[int]) -> Chosen:
    candidate = task.candidates[i]
    reasons = why(candidate, task.rules, task.day, i in task.pinned)
    if [other for other in chosen if task.is_wanted(other)] == [i]:
        reasons = (*reasons, f"the {candidate.verdict} of the mix")
    return Chosen(candidate, reasons, worth_of(candidate, task.rules, task.day))


# What clashes.


def _smallest_clash(task: _Task) -> tuple[str, ...]:
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


def _smallest_hitting(groups: list[str], remainders: list[frozenset[str]]) -> frozenset[str]:
    for size in range(1, len(groups) + 1):
        for some in combinations(groups, size):
            if all(remainder.intersection(some) for remainder in remainders):
                return frozenset(some)
    raise RuntimeError("the solver found no plan, and no rules that clash")


def _keeper(task: _Task, pool: list[int]) -> Callable[[frozenset[str], frozenset[int]], bool]:
    """What tells whether some rules can be kept together with some of the pins."""
    rows, worth, whole, bounds = _programme(task, pool, frozenset())

    def able(rules: frozenset[str], pins: frozenset[int]) -> bool:
        fixed = pins | (task.corrections if CORRECTIONS in rules else frozenset())
        lower = np.array([*(float(i in fixed) for i in pool), *(0.0 for _ in range(len(worth) - len(pool)))])
        kept = [row for row in rows if not row.rule or row.rule in rules]
        return _solve(kept, np.zeros(len(worth)), whole, Bounds(lower, bounds.ub)) is not None

    return able


def _shortest(task: _Task) -> list[int]:
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
        members = sorts.setdefault((_home(candidate), task.is_wanted(i), task.too_soon[i]), [])
        briefs = {task.candidates[other].brief for other in members}
        if len(members) < needed and not (candidate.brief and candidate.brief in briefs):
            members.append(i)
    return sorted([*task.fixed, *(i for members in sorts.values() for i in members)])


def _yielded(task: _Task, clash: tuple[str, ...]) -> tuple[_Task, str]:
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
        note = f"The corrections leave room for {_topics(fewer)}; the rules ask for {_topics(mix.topics_at_least)}."
        return replace(task, topics_needed=fewer), note
    without = "a closer" if rule == CLOSER else listed(mix.at_least_one_of, "or")
    return replace(task, waived=task.waived | {rule}), f"The corrections leave no room for {without}."


def _clash_said(task: _Task, clash: tuple[str, ...]) -> str:
    pins = [i for i in sorted(task.pinned) if PIN + task.candidates[i].key in clash]
    rules = [name for name in clash if not name.startswith(PIN)]
    if TIME in rules and set(rules) <= {TIME, CORRECTIONS}:
        return _too_long_said(task, pins, sorted(task.corrections) if CORRECTIONS in rules else [])
    said = [_pin_said(task, i, rules) for i in pins] + [_rule_said(task, rule) for rule in rules]
    return f"These cannot all hold: {'; '.join(said)}. Let go of one of them."


def _too_long_said(task: _Task, pins: list[int], corrections: list[int]) -> str:
    every = sorted({*pins, *corrections})
    who = []
    if corrections:
        who.append("the corrections" if len(corrections) > 1 else "the correction")
    if pins and frozenset(pins) == task.pinned and len(pins) > 1:
        who.append("the pinned items")
    elif pins:
        who.append(f"the pinned {_titles(task, pins)}")
    alone, whole = sum(task.tenths[i] for i in every), task.takes(every)
    verb = "takes" if len(every) == 1 else "take"
    subject = listed(who)
    subject = subject[0].upper() + subject[1:]
    has = f"the episode has {length_said(task.length / TENTHS)}."
    if alone > task.length:
        return f"{subject} alone {verb} {length_said(alone / TENTHS)}; {has}"
    return f"{subject} {verb} {length_said(whole / TENTHS)} with opening, links and farewell; {has}"


def _pin_said(task: _Task, i: int, rules: list[str]) -> str:
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


def _rule_said(task: _Task, rule: str) -> str:
    mix = task.rules.mix
    corrections = [task.tenths[i] for i in task.corrections]
    return {
        WEEKS: f"{mix.weeks_between} weeks between two answers by one brief",
        BRIEF: "one item a brief",
        ONE_CLOSER: "one closer",
        LONG: f"at most {_counted(mix.long_at_most, 'item')} over {length_said(mix.long_over_seconds)}",
        TOPIC: f"at most {_items(mix.of_one_topic_at_most)} of one topic",
        TIME: f"{length_said(task.length / TENTHS)} in all, with opening, links and farewell",
        ITEMS: f"at most {_items(mix.items_at_most)}",
        CORRECTIONS: f"{_counted(len(corrections), 'correction')} ({length_said(sum(corrections) / TENTHS)})",
        TOPICS: f"at least {_topics(task.topics_needed)}",
        VERDICT: f"at least one {listed(mix.at_least_one_of, 'or')}",
        CLOSER: "a closer at the end",
    }[rule]


# What just missed it.


def _near_misses(
    task: _Task, pool: list[int], relaxed: _Relaxed, chosen: frozenset[int]
) -> tuple[NearMiss, ...]:
    """The candidates left out that would cost the plan least, each found by planning again with it in.

    They are tried in the order of the least they can cost, which the relaxed programme tells for all of them at once;
    the search ends when no other can come nearer, or when as many were tried as the rules allow.
    """
    wanted = task.rules.near_misses
    left = [
        i
        for i in task.may_choose()
        if i not in chosen and not (task.candidates[i].kind == "correction" or task.too_soon[i])
    ]
    if not wanted.told or not left:
        return ()
    best = task.score(chosen)
    left = sorted(left, key=lambda i: (-relaxed.with_it(i), i))[: wanted.tried]
    found: list[tuple[float, int, frozenset[int]]] = []
    # Within a small loss there is little to look at, so the loss is let grow only while too few are found.
    first = max(relaxed.most - best, LEAST_LOSS)
    for loss in (first, first * 4, np.inf):
        for i in left:
            # With enough of them found, only one that costs less than the dearest of those is still of interest.
            least = best - min(loss, found[-1][0] if len(found) == wanted.told else np.inf) - PRICE_MARGIN
            if relaxed.with_it(i) < least or i in {miss[1] for miss in found}:
                continue
            others = _narrowed(task, sorted({*pool, i}), relaxed, task.fixed | {i}, chosen, least).choice
            if others is not None:
                found.append((round(best - task.score(others), 3), i, others))
                found = sorted(found, key=lambda miss: miss[:2])[: wanted.told]
        if len(found) == wanted.told:
            break
    return tuple(_near_miss(task, chosen, *miss) for miss in found)


def _near_miss(task: _Task, chosen: frozenset[int], costs: float, i: int, others: frozenset[int]) -> NearMiss:
    keys = [candidate.key for candidate in task.candidates]
    return NearMiss(
        candidate=task.candidates[i],
        lacks=_lacks(task, chosen, i),
        would_push_out=tuple(keys[other] for other in sorted(chosen - others)),
        would_bring_in=tuple(keys[other] for other in sorted(others - chosen - {i})),
        costs=max(costs, 0.0),
    )


def _lacks(task: _Task, chosen: frozenset[int], i: int) -> str:
    """The first thing that keeps an item out of the plan as it stands."""
    candidate, mix = task.candidates[i], task.rules.mix
    of = {other: task.candidates[other] for other in sorted(chosen)}
    if same := [other for other in of if candidate.brief and of[other].brief == candidate.brief]:
        return f"its brief is told already: {_titles(task, same)}"
    if candidate.kind == "closer" and (same := [other for other in of if of[other].kind == "closer"]):
        return f"there is a closer already: {_titles(task, same)}"
    long = [other for other in of if task.is_long(other)]
    if task.is_long(i) and len(long) >= mix.long_at_most:
        said = f"it is over {length_said(mix.long_over_seconds)}"
        there = "there is one such" if len(long) == 1 else f"there are {len(long)} such"
        return (
            f"{said}, and {there} already: {_titles(task, long)}"
            if long
            else f"{said}, and none such may be in"
        )
    same = [other for other in of if of[other].topic == candidate.topic and of[other].kind != "closer"]
    if candidate.kind != "closer" and len(same) >= mix.of_one_topic_at_most:
        return f"{candidate.topic} has {_items(len(same))} already"
    if len(of) >= mix.items_at_most:
        return f"the episode has its {_items(len(of))}"
    left = task.length - task.takes(chosen)
    if task.takes([*chosen, i]) > task.length:
        return f"it takes {length_said(candidate.seconds)}, and {length_said(left / TENTHS)} are left"
    return "it adds nothing"


# Words and units.


def _tenths(seconds: float) -> int:
    """Tenths of a second, a begun one as a whole one."""
    return math.ceil(seconds * TENTHS - 1e-6)


def _around(rules: EpisodeRules) -> int:
    return _tenths(rules.time.opening_seconds) + _tenths(rules.time.farewell_seconds)


def _titles(task: _Task, places: Iterable[int]) -> str:
    return listed([f'"{task.candidates[i].title}"' for i in places])


def _counted(count: int, noun: str) -> str:
    return f"{count} {noun}" if count == 1 else f"{count} {noun}s"


def _items(count: int) -> str:
    return _counted(count, "item")


def _topics(count: int) -> str:
    return _counted(count, "topic")

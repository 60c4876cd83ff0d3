"""The choice as a programme of whole numbers: the rules as its lines, the worth of the items as what it makes the most of."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, linprog, milp
from scipy.sparse import csr_array

from triage.episode.candidate import Candidate
from triage.episode.task import (
    BRIEF,
    CLOSER,
    ITEMS,
    LONG,
    ONE_CLOSER,
    TIME,
    TOPIC,
    TOPICS,
    VERDICT,
    WEEKS,
    Task,
)

A_HAIR = 1e-5
"""Points by which two plans may differ and still be worth the same: far below the cent of a point worth is kept in."""
PRICE_MARGIN = 1e-3
"""Points by which a price may be off and still leave nothing out that is as good as the best."""
A_FEW = 60
"""Items of the lowest prices, from which a good plan is soon found."""
LOOSE = 10.0
"""Points below the least that a choice may be worth, from which on the solver need not look: tighter, and it is slower
to find that there is nothing."""
Home = tuple[bool, str]


def undominated(task: Task) -> list[int]:
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
            homes.setdefault(brief, set()).add(home_of(task.candidates[i]))
    by_class: dict[tuple[Home, bool], list[int]] = {}
    for i in places:
        if i not in task.fixed:
            by_class.setdefault((home_of(task.candidates[i]), task.is_wanted(i)), []).append(i)
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


def home_of(candidate: Candidate) -> Home:
    """Where an item counts: among the closers, or in its topic."""
    return (True, "") if candidate.kind == "closer" else (False, candidate.topic)


def _score_with_time(task: Task, i: int) -> float:
    return round(task.worth[i] + task.missing_tenth * task.tenths[i], 6)


def _is_dominated(
    task: Task, i: int, better: list[int], homes: dict[str, set[Home]], at_home_needed: int
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


@dataclass(frozen=True, slots=True)
class _Row:
    """One line of the programme: a rule's name, factors by column, and what their sum may be."""

    rule: str
    factors: dict[int, float]
    least: float
    most: float


def _rows(task: Task, pool: list[int]) -> tuple[list[_Row], list[str]]:
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


def _at_most(task: Task, pool: list[int], rule: str, columns: list[int], most: int) -> _Row:
    """A rule of numbers, which never keeps out a correction: beyond their own number nothing else comes in."""
    corrections = sum(pool[column] in task.corrections for column in columns)
    return _Row(rule, dict.fromkeys(columns, 1.0), -np.inf, max(most, corrections))


def _matrix(rows: list[_Row], width: int) -> Any:
    lengths = [len(row.factors) for row in rows]
    starts = np.concatenate([[0], np.cumsum(lengths)])
    columns = [column for row in rows for column in row.factors]
    factors = [factor for row in rows for factor in row.factors.values()]
    return csr_array((factors, columns, starts), shape=(len(rows), width))


def solve(
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


def programme(
    task: Task, pool: list[int], fixed: frozenset[int]
) -> tuple[list[_Row], np.ndarray[Any, Any], np.ndarray[Any, Any], Bounds]:
    """Lines, worth, which columns are whole numbers, and bounds; what is fixed is in."""
    rows, topics = _rows(task, pool)
    worth = np.array([*(task.worth[i] for i in pool), *(0.0 for _ in topics), -task.missing_tenth])
    whole = np.array([*(1 for _ in pool), *(0 for _ in topics), 0])
    lower = np.array([*(float(i in fixed) for i in pool), *(0.0 for _ in topics), 0.0])
    upper = np.array([*(1.0 for _ in pool), *(1.0 for _ in topics), np.inf])
    return rows, worth, whole, Bounds(lower, upper)


@dataclass(frozen=True, slots=True)
class Relaxed:
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


def relaxed_of(task: Task) -> Relaxed | None:
    """The relaxed programme over everything there is to choose from; None where even it has no answer."""
    pool = task.may_choose()
    rows, worth, _, bounds = programme(task, pool, task.fixed)
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
    return Relaxed(-float(found.fun), price, loss)


def best_of(task: Task, pool: list[int], relaxed: Relaxed) -> frozenset[int] | None:
    """The best choice from the pool; of equal ones, that with the earliest keys. None where no choice keeps the rules."""
    narrow = narrowed(task, pool, relaxed, task.fixed, frozenset(), -np.inf)
    if narrow.choice is None:
        return None
    rows, worth, whole, bounds = programme(task, narrow.pool, narrow.must)
    best = task.score(narrow.choice)
    # Among those as good as the best, the least sum of places in the alphabet.
    if worth.any():
        rows.append(_as_good_as(best - A_HAIR, worth))
    rest = len(worth) - len(narrow.pool)
    early = np.array([*(-float(i + 1) for i in narrow.pool), *(0.0 for _ in range(rest))])
    earliest = solve(rows, early, whole, bounds)
    return narrow.choice if earliest is None else frozenset(_places(earliest, narrow.pool))


def narrowed(
    task: Task,
    pool: list[int],
    relaxed: Relaxed,
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
    task: Task, pool: list[int], fixed: frozenset[int], liked: frozenset[int], least: float
) -> frozenset[int] | None:
    """The best choice from a pool that is worth no less than the least; None where there is none."""
    rows, worth, whole, bounds = programme(task, pool, fixed)
    if np.isfinite(least):
        rows.append(_as_good_as(least - LOOSE, worth))
    worth[: len(pool)] += [A_HAIR * (i in liked) for i in pool]
    found = solve(rows, worth, whole, bounds)
    if found is None:
        return None
    choice = frozenset(_places(found, pool))
    return choice if task.score(choice) >= least else None


def _as_good_as(least: float, worth: np.ndarray[Any, Any]) -> _Row:
    return _Row("", {column: float(points) for column, points in enumerate(worth) if points}, least, np.inf)


def _places(found: np.ndarray[Any, Any], pool: list[int]) -> list[int]:
    return [i for i, value in zip(pool, found, strict=False) if value > 0.5]

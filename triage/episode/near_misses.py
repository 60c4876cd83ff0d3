"""What just missed the episode: what each would cost it, what it would push out, and what it lacks."""

from __future__ import annotations

import numpy as np

from triage.episode.candidate import NearMiss, length_said
from triage.episode.programme import PRICE_MARGIN, Relaxed, narrowed
from triage.episode.task import TENTHS, Task, items_said, titles

LEAST_LOSS = 1.0
"""Points within which near misses are looked for first, where the relaxed programme is exact."""


def near_misses_of(
    task: Task, pool: list[int], relaxed: Relaxed, chosen: frozenset[int]
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
            others = narrowed(task, sorted({*pool, i}), relaxed, task.fixed | {i}, chosen, least).choice
            if others is not None:
                found.append((round(best - task.score(others), 3), i, others))
                found = sorted(found, key=lambda miss: miss[:2])[: wanted.told]
        if len(found) == wanted.told:
            break
    return tuple(_near_miss(task, chosen, *miss) for miss in found)


def _near_miss(task: Task, chosen: frozenset[int], costs: float, i: int, others: frozenset[int]) -> NearMiss:
    keys = [candidate.key for candidate in task.candidates]
    return NearMiss(
        candidate=task.candidates[i],
        lacks=_lacks(task, chosen, i),
        would_push_out=tuple(keys[other] for other in sorted(chosen - others)),
        would_bring_in=tuple(keys[other] for other in sorted(others - chosen - {i})),
        costs=max(costs, 0.0),
    )


def _lacks(task: Task, chosen: frozenset[int], i: int) -> str:
    """The first thing that keeps an item out of the plan as it stands."""
    candidate, mix = task.candidates[i], task.rules.mix
    of = {other: task.candidates[other] for other in sorted(chosen)}
    if same := [other for other in of if candidate.brief and of[other].brief == candidate.brief]:
        return f"its brief is told already: {titles(task, same)}"
    if candidate.kind == "closer" and (same := [other for other in of if of[other].kind == "closer"]):
        return f"there is a closer already: {titles(task, same)}"
    long = [other for other in of if task.is_long(other)]
    if task.is_long(i) and len(long) >= mix.long_at_most:
        said = f"it is over {length_said(mix.long_over_seconds)}"
        there = "there is one such" if len(long) == 1 else f"there are {len(long)} such"
        return (
            f"{said}, and {there} already: {titles(task, long)}"
            if long
            else f"{said}, and none such may be in"
        )
    same = [other for other in of if of[other].topic == candidate.topic and of[other].kind != "closer"]
    if candidate.kind != "closer" and len(same) >= mix.of_one_topic_at_most:
        return f"{candidate.topic} has {items_said(len(same))} already"
    if len(of) >= mix.items_at_most:
        return f"the episode has its {items_said(len(of))}"
    left = task.length - task.takes(chosen)
    if task.takes([*chosen, i]) > task.length:
        return f"it takes {length_said(candidate.seconds)}, and {length_said(left / TENTHS)} are left"
    return "it adds nothing"

"""The plan of an episode: the worthiest choice that keeps to the rules, by mixed-integer optimisation."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from knowledge.episode import EpisodeRules
from triage.episode.candidate import Candidate, Chosen, Plan, why, worth_of
from triage.episode.clashes import smallest_clash, yielded
from triage.episode.near_misses import near_misses_of
from triage.episode.order import in_order
from triage.episode.programme import Relaxed, best_of, relaxed_of, undominated
from triage.episode.task import TENTHS, ClashingRulesError, Task, task_for

__all__ = ["ClashingRulesError", "plan"]


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
    task, notes = task_for(candidates, rules, seconds, day, pinned, dropped)
    while (found := _found(task)) is None:
        task, note = yielded(task, smallest_clash(task))
        notes.append(note)
    pool, relaxed, chosen = found
    items = in_order([_chosen(task, i, chosen) for i in sorted(chosen)], rules)
    return Plan(
        items=tuple(items),
        seconds=task.takes(chosen) / TENTHS,
        worth=round(task.score(chosen), 3),
        missing_seconds=max(task.full - task.takes(chosen), 0) / TENTHS,
        near_misses=near_misses_of(task, pool, relaxed, chosen),
        notes=tuple(notes),
    )


def _found(task: Task) -> tuple[list[int], Relaxed, frozenset[int]] | None:
    """What the best choice was made from, what each item would take off it, and the choice; None where there is none."""
    relaxed = relaxed_of(task)
    if relaxed is None:
        return None
    pool = undominated(task)
    chosen = best_of(task, pool, relaxed)
    return None if chosen is None else (pool, relaxed, chosen)


def _chosen(task: Task, i: int, chosen: frozenset[int]) -> Chosen:
    candidate = task.candidates[i]
    reasons = why(candidate, task.rules, task.day, i in task.pinned)
    if [other for other in chosen if task.is_wanted(other)] == [i]:
        reasons = (*reasons, f"the {candidate.verdict} of the mix")
    return Chosen(candidate, reasons, worth_of(candidate, task.rules, task.day))

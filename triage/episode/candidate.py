"""What may come into an episode, what it is worth by the rules, and what a plan says of it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Literal

from knowledge.episode import EpisodeRules

Kind = Literal["question", "correction", "promise", "closer"]
_IN_WORDS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")


@dataclass(frozen=True, slots=True)
class Candidate:
    """One thing that may be told in an episode.

    `key` is its own among all candidates; `brief` is None where no brief answers it; `seconds` is what it takes to say;
    `figures` counts the figures that decide it; `teaches` says that it has a checklist, `terms` are what it explains;
    `last_answered` is the day its brief was last told on air, and `has_changed` says that the answer did since;
    `related` are briefs that it leads to.
    """

    key: str
    kind: Kind
    question_id: str
    title: str
    topic: str
    brief: str | None
    verdict: str
    seconds: float
    asked_by: int
    received: date
    is_safety: bool
    is_urgent: bool
    is_signed: bool
    figures: int
    teaches: bool
    terms: tuple[str, ...]
    last_answered: date | None
    has_changed: bool
    likes: int
    related: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Chosen:
    """A candidate that is in the episode: why, in words, and the parts of its worth by name, in points."""

    candidate: Candidate
    why: tuple[str, ...]
    parts: tuple[tuple[str, float], ...]

    @property
    def worth(self) -> float:
        """What it is worth, in points."""
        return total(self.parts)


@dataclass(frozen=True, slots=True)
class NearMiss:
    """A candidate that just missed: what it lacks, and what having it would change.

    `would_push_out` and `would_bring_in` are keys; `costs` is how many points the plan would lose by it.
    """

    candidate: Candidate
    lacks: str
    would_push_out: tuple[str, ...]
    would_bring_in: tuple[str, ...]
    costs: float


@dataclass(frozen=True, slots=True)
class Plan:
    """An episode: its items in the order of the show, its length, and what just missed it.

    `seconds` has opening, links and farewell in it; `worth` is what the items are worth, less what the
    `missing_seconds` cost by which it stays under the length less the slack; `notes` say what could not be kept to.
    """

    items: tuple[Chosen, ...]
    seconds: float
    worth: float
    missing_seconds: float
    near_misses: tuple[NearMiss, ...]
    notes: tuple[str, ...]


def worth_of(candidate: Candidate, rules: EpisodeRules, day: date) -> tuple[tuple[str, float], ...]:
    """The parts of a candidate's worth by name, in points to two decimals; what adds nothing is left out."""
    weights = rules.weights
    riders = candidate.asked_by
    if weights.likes_as_a_rider:
        riders += candidate.likes // weights.likes_as_a_rider
    age_days = max((day - candidate.received).days, 0)
    parts = {
        "correction": weights.correction * (candidate.kind == "correction"),
        "promise": weights.promise * (candidate.kind == "promise"),
        "closer": weights.closer * (candidate.kind == "closer"),
        "asked_by": weights.asked_by * _fading_sum(weights.each_further, riders),
        "fresh": weights.fresh * 0.5 ** (age_days / weights.fresh_halves_days),
        "safety": weights.safety * candidate.is_safety,
        "urgent": weights.urgent * candidate.is_urgent,
        "figures": weights.figure * min(candidate.figures, weights.figures_at_most),
        "teaches": weights.teaches * (candidate.teaches or bool(candidate.terms)),
        "terms": weights.term * min(len(candidate.terms), weights.terms_at_most),
    }
    return tuple((name, round(points, 2)) for name, points in parts.items() if round(points, 2))


def total(parts: tuple[tuple[str, float], ...]) -> float:
    """The sum of the parts, in points to two decimals."""
    return round(sum(points for _, points in parts), 2)


def _fading_sum(share: float, count: int) -> float:
    """1 + share + share² and so on, count terms in all."""
    return float(count) if share == 1 else (1 - share**count) / (1 - share)


def is_too_soon(candidate: Candidate, rules: EpisodeRules, day: date) -> bool:
    """Whether its brief was told within the last weeks, and nothing changed since.

    Corrections and promises speak of an earlier answer by their nature; for them it is never too soon.
    """
    if (
        candidate.last_answered is None
        or candidate.has_changed
        or candidate.kind in ("correction", "promise")
    ):
        return False
    return candidate.last_answered > day - timedelta(weeks=rules.mix.weeks_between)


def why(candidate: Candidate, rules: EpisodeRules, day: date, is_pinned: bool) -> tuple[str, ...]:
    """What speaks for a candidate, a phrase each, the weightiest kind first."""
    return tuple(_reasons(candidate, rules, day, is_pinned))


def _reasons(candidate: Candidate, rules: EpisodeRules, day: date, is_pinned: bool) -> Iterator[str]:
    by_kind = {"correction": "a correction", "promise": "a promise kept", "closer": "light enough to end on"}
    if is_pinned:
        yield "pinned by the desk"
    if candidate.kind in by_kind:
        yield by_kind[candidate.kind]
    if candidate.asked_by:
        yield f"asked by {candidate.asked_by}"
    if rules.weights.likes_as_a_rider and candidate.likes >= rules.weights.likes_as_a_rider:
        yield f"{candidate.likes} likes"
    if candidate.is_safety:
        yield "a safety matter"
    if candidate.is_urgent:
        yield "urgent"
    if candidate.figures:
        yield f"{_counted(candidate.figures, 'figure')} {'decides' if candidate.figures == 1 else 'decide'} it"
    if candidate.teaches:
        yield "has a checklist"
    if candidate.terms:
        yield f"explains {listed(candidate.terms)}"
    if (day - candidate.received).days <= rules.weights.fresh_halves_days:
        yield f"came in on {candidate.received}"
    if candidate.kind in ("question", "closer"):
        yield _last_time(candidate)


def _last_time(candidate: Candidate) -> str:
    if candidate.last_answered is None:
        return "never answered on air"
    if candidate.has_changed:
        return f"answered on {candidate.last_answered}, and changed since"
    return f"not answered since {candidate.last_answered}"


def _counted(count: int, noun: str) -> str:
    number = _IN_WORDS[count] if count < len(_IN_WORDS) else str(count)
    return f"{number} {noun}" if count == 1 else f"{number} {noun}s"


def listed(words: tuple[str, ...] | list[str], last: str = "and") -> str:
    """The words in one line.

    >>> listed(("a", "b", "c"))
    'a, b and c'
    """
    return f" {last} ".join(filter(None, [", ".join(words[:-1]), words[-1]])) if words else ""


def length_said(seconds: float) -> str:
    """A length in words, to the whole second.

    >>> length_said(1040), length_said(900), length_said(45)
    ('17 min 20 s', '15 min', '45 s')
    """
    minutes, rest = divmod(round(seconds), 60)
    parts = [f"{minutes} min"] if minutes else []
    if rest or not minutes:
        parts.append(f"{rest} s")
    return " ".join(parts)

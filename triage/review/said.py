"""What somebody says a question really is, as a correction that can be kept; refused with what would do instead."""

from __future__ import annotations

from collections.abc import Iterable

from rapidfuzz import process

from knowledge.base import Knowledge
from knowledge.convert import settle
from triage.review.acts import NotDoneError

Correction = tuple[str, str]
"""What is corrected, and what it is now: as `acts.correct` takes it."""
NOT_OURS = "chatter/"
"""Before the kind of a question that is none for this desk."""
MOST_SUGGESTED = 3


def brief_said(brief: str, knowledge: Knowledge) -> Correction:
    """It is answered by this brief.

    Raises:
        NotDoneError: there is no such brief; the text names the nearest.
    """
    return "brief", _one_of("brief", brief, knowledge.briefs)


def point_said(brief: str, point: str, knowledge: Knowledge) -> Correction:
    """It asks about this point of its brief, or about several with commas between; nothing says that it asks about none.

    Raises:
        NotDoneError: there is no such brief, or it has no such point; the text names the nearest.
    """
    named = [name.strip() for name in point.split(",") if name.strip()]
    if not named:
        return "point", ""
    points = knowledge.briefs[_one_of("brief", brief, knowledge.briefs)].points
    if not points:
        raise NotDoneError(f"The brief {brief} has no points.")
    return "point", f"{brief}#{','.join(dict.fromkeys(_one_of('point', name, points) for name in named))}"


def topic_said(topic: str, knowledge: Knowledge) -> Correction:
    """It is of this topic, and no brief fits.

    Raises:
        NotDoneError: there is no such topic; the text names the nearest.
    """
    return "topic", _one_of("topic", topic, knowledge.topics)


def outside_said(kind: str, knowledge: Knowledge) -> Correction:
    """It is no question for this desk, but chatter of this kind.

    Raises:
        NotDoneError: there is no such kind; the text names the nearest.
    """
    return "outside", f"{NOT_OURS}{_one_of('kind of chatter', kind, {name for name, _ in knowledge.chatter})}"


def detail_said(name: str, typed: str, knowledge: Knowledge) -> Correction:
    """A detail is this: a number with any unit that fits, or one of the words of a choice; nothing takes it out.

    Raises:
        NotDoneError: there is no such detail, or its value can't be read or can't be; the text says what would do.
    """
    if name in knowledge.choices:
        words = [choice.value for choice in knowledge.choices[name]]
        if typed and typed not in words:
            raise NotDoneError(f"{knowledge.label(name)}: expected one of {', '.join(words)}.")
        return "detail", f"{name}={typed}"
    _one_of("detail", name, {*knowledge.quantities, *knowledge.choices})
    if not typed:
        return "detail", f"{name}="
    kind = knowledge.quantities[name]
    try:
        value = settle(typed, kind.unit)
    except ValueError as error:
        raise NotDoneError(f"{kind.label}: {error}") from error
    _refuse_impossible(kind.label, value, kind.low, kind.high, kind.unit.symbol)
    return "detail", f"{name}={value:.12g}"


def part_said(kind: str, identity: str, knowledge: Knowledge) -> Correction:
    """The rider means this part of the catalogue; nothing takes it out.

    Raises:
        NotDoneError: the catalogue has no such kind, or no such part of it; the text names the nearest.
    """
    _one_of("kind of part", kind, {part.kind for part in knowledge.parts.values()})
    if identity:
        _one_of(kind, identity, [part.id for part in knowledge.parts.values() if part.kind == kind])
    return "part", f"{kind}={identity}"


def _refuse_impossible(label: str, value: float, low: float | None, high: float | None, unit: str) -> None:
    if (low is not None and value < low) or (high is not None and value > high):
        ends = (
            f"{low:g} to {high:g} {unit}".strip() if low is not None and high is not None else "another one"
        )
        raise NotDoneError(f"{label}: {value:g} {unit} can't be; expected {ends}.")


def _one_of(what: str, word: str, words: Iterable[str]) -> str:
    names = sorted(words)
    if word not in names:
        near = [name for name, _, _ in process.extract(word, names, limit=MOST_SUGGESTED)]
        raise NotDoneError(f"There is no {what} {word}; did you mean {', '.join(near)}?")
    return word

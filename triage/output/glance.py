"""A finding at a glance: what was decided, by which figure, how sure, what would change it, and on whose authority."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise
from typing import Any

from knowledge.base import Source
from knowledge.numbers import for_the_mail
from triage.shown import best_of, spread_over

SURENESS = {
    "sure": "Sure: the same over everything that the measuring leaves open.",
    "assumed": "Sure within the usual range of what was left out.",
    "close": "A close call: it stands by less than the measuring leaves open.",
    "open": "Open: what was tried gives more than one verdict.",
}
FIXED = "Nothing to decide: a procedure, a comparison or a standing rule."
MOST_SOURCES = 3
Line = Mapping[str, Any]


def glance(line: Line, labels: Mapping[str, str], sources: Mapping[str, Source]) -> list[tuple[str, str]]:
    """(question, answer) rows for the top of a card; none where no brief fits."""
    if not line["brief"] or not line["is_question"]:
        return []
    rows = [
        ("By which figure", "; ".join(_deciding(line))),
        ("How sure", _sureness(line)),
        ("What would change it", " ".join(_changes(line, labels))),
        ("On whose authority", "; ".join(_authority(line, sources))),
    ]
    return [(question, answer) for question, answer in rows if answer]


def shown(figure: Mapping[str, Any]) -> str:
    """A figure with its spread: "3.9 mm (3.85 to 3.97 mm)"."""
    low, high, value, unit = figure["low"], figure["high"], figure["value"], figure["unit"]
    if low is None or high is None:
        return "not worked out"
    if value is None:
        return spread_over(low, high, unit)
    best = best_of(value, low, high, unit)
    return best if low == high else f"{best} ({spread_over(low, high, unit)})"


def _deciding(line: Line) -> Iterator[str]:
    for figure in line["figures"]:
        if figure["decides"]:
            yield f"{figure['label']}: {shown(figure)}"


def _sureness(line: Line) -> str:
    return SURENESS[line["sureness"]] if line["decided"] else FIXED


def _changes(line: Line, labels: Mapping[str, str]) -> Iterator[str]:
    for ask in line["asks"]:
        label = labels.get(ask["name"], ask["name"])
        if ask["tips_at"] is None:
            yield f"To know the {label}."
        elif isinstance(ask["tips_at"], str):
            yield f"The {label}: it turns with {ask['tips_at']}."
        else:
            yield f"The {label}: it turns at {ask['tips_at']:g}{' ' + ask['unit'] if ask['unit'] else ''}."
    if not line["asks"]:
        for figure in line["figures"]:
            turn = _nearest_turn(figure) if figure["decides"] else None
            if turn is not None:
                yield f"{figure['label'][:1].upper()}{figure['label'][1:]} turns at {for_the_mail(turn, figure['unit'])}."
    for near in line["nearest"][:1]:
        yield f"Instead: {near['label']} {near['value']}."
    for conflict in line["conflicts"]:
        yield f"Conflict: {conflict}"


def _nearest_turn(figure: Mapping[str, Any]) -> float | None:
    """The band's limit next to the best value at which the verdict is another one."""
    bands: Sequence[Sequence[Any]] = figure["bands"]
    turns = [
        limit
        for (limit, verdict), (_, following) in pairwise(bands)
        if limit is not None and verdict != following
    ]
    low, high = figure["low"], figure["high"]
    if not turns or low is None or high is None:
        return None
    middle = figure["value"] if figure["value"] is not None else (low + high) / 2
    middle = abs(middle) if figure["absolute"] else middle
    return float(min(turns, key=lambda turn: abs(turn - middle)))


def _authority(line: Line, sources: Mapping[str, Source]) -> Iterator[str]:
    for key in line["sources"][:MOST_SOURCES]:
        yield sources[key].cited if key in sources else key

"""What became of a draft that was worked out anew: its readable differences, and why a signed one no longer stands."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from knowledge.numbers import for_the_mail, for_the_mail_range
from knowledge.units import unit_of
from triage.output.glance import shown
from triage.shown import best_of

Line = Mapping[str, Any]
MOST_NAMED = 3
WORDS_TOLD = 6


@dataclass(frozen=True, slots=True)
class Change:
    """One difference: what it is of, and how it read before and after; None where there was or is nothing.

    Both are None where it is told only that something changed.
    """

    what: str
    was: str | None
    now: str | None


def what_changed(before: Line, after: Line) -> list[Change]:
    """What a person would notice between two lines of one draft, the verdict first; empty where both say the same.

    A figure goes by its label. How sure the sorting was and how long a script takes are no changes.
    """
    found = list(_changes(before, after))
    if not found:
        found = [Change(f"the {text}", None, None) for text in _other_texts(before, after)]
    return found


def why_it_no_longer_stands(before: Line, after: Line) -> str | None:
    """One sentence on what changed under a signed draft; None where script, reply and working read as they did.

    Three things are named at most, the verdict always among them.
    """
    verdict = _verdict_turned(before, after)
    told = [*_figure_clauses(before, after), *_other_clauses(before, after, has_turned=bool(verdict))]
    if not told and not verdict:
        texts = _other_texts(before, after)
        told = (
            [f"the {' and the '.join(texts)} {'reads' if len(texts) == 1 else 'read'} otherwise"]
            if texts
            else []
        )
    named = [*told[: MOST_NAMED - len(verdict)], *verdict]
    if not named:
        return None
    rest = len(told) + len(verdict) - len(named)
    more = f"; {rest} more {'thing' if rest == 1 else 'things'} changed" if rest else ""
    sentence = ", and ".join(filter(None, [", ".join(named[:-1]), named[-1]]))
    return f"{sentence[:1].upper()}{sentence[1:]}{more}."


def _changes(before: Line, after: Line) -> Iterator[Change]:
    yield from _one("verdict", before["verdict"], after["verdict"])
    yield from _one("headline", before["headline"], after["headline"])
    yield from _brief(before, after)
    yield from _one("topic", _worded(before["topic"]), _worded(after["topic"]))
    yield from _figures(before, after)
    yield from _asks(before, after)
    yield from _listed("caution", before["cautions"], after["cautions"])
    yield from _listed("condition", before["conditions"], after["conditions"])
    if list(before["checklist"]) != list(after["checklist"]):
        yield Change("the checklist", None, None)
    yield from _details(before, after)


def _one(what: str, was: str | None, now: str | None) -> Iterator[Change]:
    if was != now:
        yield Change(what, was, now)


def _brief(before: Line, after: Line) -> Iterator[Change]:
    was, now = before["title"], after["title"]
    if was == now and before["brief"] != after["brief"]:
        was, now = before["brief"], after["brief"]
    yield from _one("brief", was, now)


def _figures(before: Line, after: Line) -> Iterator[Change]:
    here, there = _by_name(before["figures"]), _by_name(after["figures"])
    for name in _all_names(here, there):
        was, now = here.get(name), there.get(name)
        label = (now or was or {})["label"]
        yield from _one(label, shown(was) if was else None, shown(now) if now else None)


def _asks(before: Line, after: Line) -> Iterator[Change]:
    here, there = _by_name(before["asks"]), _by_name(after["asks"])
    for name in _all_names(here, there):
        was, now = here.get(name), there.get(name)
        if was and now and was["question"] == now["question"]:
            yield from _one("asked back", _whole_ask(was), _whole_ask(now))
        else:
            yield from _one("asked back", was["question"] if was else None, now["question"] if now else None)


def _whole_ask(ask: Mapping[str, Any]) -> str:
    """A question with how to measure and what each answer would mean."""
    sides = [f"If it is {side['when']}: {side['verdict']}, {side['because']}." for side in ask["sides"]]
    return " ".join(filter(None, [ask["question"], ask["measure"], *sides]))


def _listed(what: str, was: Sequence[str], now: Sequence[str]) -> Iterator[Change]:
    yield from (Change(what, one, None) for one in _missing(was, now))
    yield from (Change(what, None, one) for one in _missing(now, was))


def _missing(these: Sequence[str], those: Sequence[str]) -> list[str]:
    """What the first list has and the second hasn't, in order."""
    left = Counter(those)
    missing = []
    for one in these:
        left[one] -= 1
        if left[one] < 0:
            missing.append(one)
    return missing


def _details(before: Line, after: Line) -> Iterator[Change]:
    here, there = _read(before["details"]), _read(after["details"])
    for name in _all_names(here, there):
        yield from _one(_plain_name(name), here.get(name), there.get(name))


def _read(details: Sequence[Mapping[str, Any]]) -> dict[str, str]:
    """Each detail's value as a reader wants it; several of one name are told together."""
    values: dict[str, list[str]] = {}
    for one in details:
        told = values.setdefault(one["name"], [])
        value = _value(one["name"], one["value"])
        if value not in told:
            told.append(value)
    return {name: " or ".join(told) for name, told in values.items()}


def _value(name: str, value: Any) -> str:
    unit = unit_of(name).symbol
    if value is None:
        return "none that we know"
    if isinstance(value, list | tuple):
        return for_the_mail_range(float(value[0]), float(value[-1]), unit)
    return _worded(value) or "" if isinstance(value, str) else for_the_mail(value, unit)


def _worded(word: str | None) -> str | None:
    """ "frame fit" of frame-fit."""
    return None if word is None else word.replace("-", " ")


def _plain_name(name: str) -> str:
    """ "tyre width" of tyre_width_mm."""
    ending = unit_of(name).ending
    return name.removesuffix(f"_{ending}").replace("_", " ")


def _by_name(rows: Sequence[Mapping[str, Any]]) -> dict[str, Mapping[str, Any]]:
    return {row["name"]: row for row in rows}


def _all_names(here: Mapping[str, Any], there: Mapping[str, Any]) -> list[str]:
    return list(dict.fromkeys([*here, *there]))


def _other_texts(before: Line, after: Line) -> list[str]:
    return [text for text in ("script", "reply") if (before[text] or "") != (after[text] or "")]


def _verdict_turned(before: Line, after: Line) -> list[str]:
    was, now = before["verdict"], after["verdict"]
    return [] if was == now else [f"the verdict turns from {was} to {now}"]


def _figure_clauses(before: Line, after: Line) -> Iterator[str]:
    """What became of each figure, those that decide first."""
    here, there = _by_name(before["figures"]), _by_name(after["figures"])
    names = sorted(_all_names(here, there), key=lambda name: not (there.get(name) or here[name])["decides"])
    for name in names:
        clause = _figure_clause(here.get(name), there.get(name))
        if clause is not None:
            yield clause


def _figure_clause(was: Mapping[str, Any] | None, now: Mapping[str, Any] | None) -> str | None:
    if now is None:
        return None if was is None else f"the figure {_label(was)}, {_best(was)}, is gone"
    if was is None:
        return f"the figure {_label(now)} is new, {_best(now)}"
    if shown(was) != shown(now):
        there, here = _best(was), _best(now)
        if there == here:
            there, here = shown(was), shown(now)
        return f"the figure {_label(now)} is now {here}, was {there}"
    return None if was["working"] == now["working"] else f"the working of {_label(now)} reads otherwise"


def _best(figure: Mapping[str, Any]) -> str:
    """A figure as it is shown, without its spread where it has a best value."""
    value, low, high = figure["value"], figure["low"], figure["high"]
    if value is None or low is None or high is None:
        return shown(figure)
    return best_of(value, low, high, figure["unit"])


def _label(figure: Mapping[str, Any]) -> str:
    label: str = figure["label"]
    return f'"{label}"' if label[1:2].isupper() else f'"{label[:1].lower()}{label[1:]}"'


def _other_clauses(before: Line, after: Line, *, has_turned: bool) -> Iterator[str]:
    """What else a reader of the texts would see; a headline follows its verdict and is told only without it."""
    for change in _listed("caution", before["cautions"], after["cautions"]):
        yield _came_or_went(change)
    for change in _listed("condition", before["conditions"], after["conditions"]):
        yield _came_or_went(change)
    if before["headline"] != after["headline"] and not has_turned:
        yield f'the headline is now "{(after["headline"] or "").rstrip(".")}"'
    for change in _asks(before, after):
        if change.was and change.now:
            yield f'what is asked back reads otherwise: "{_opening(change.now)}"'
        else:
            asked = _opening(change.now or change.was or "")
            yield f'"{asked}" is asked back now' if change.now else f'"{asked}" is no longer asked back'
    if list(before["checklist"]) != list(after["checklist"]):
        yield "the checklist reads otherwise"


def _came_or_went(change: Change) -> str:
    told = _opening(change.now or change.was or "")
    return f'the {change.what} "{told}" {"is new" if change.now else "is gone"}'


def _opening(text: str) -> str:
    """The first words, enough to find it."""
    words = text.split()
    return (
        text.rstrip(".") if len(words) <= WORDS_TOLD + 1 else f"{' '.join(words[:WORDS_TOLD]).rstrip(',;:')}…"
    )

"""The rider's words with each understood detail as a link to the working that uses it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from markupsafe import Markup, escape


@dataclass(frozen=True, slots=True)
class Understood:
    """One detail or part that was read: its place in the words, and the tie that it shares with the working."""

    tie: str
    name: str
    label: str
    told: str
    words: str
    start: int
    end: int


def understood(line: Mapping[str, Any], label: Any, told: Any) -> list[Understood]:
    """The details of a line in their order; `label` names a quantity, `told` says a value with its unit."""
    return [
        Understood(
            f"d{number}",
            detail["name"],
            label(detail["name"]),
            told(detail["name"], detail["value"]),
            detail["words"],
            detail["start"],
            detail["end"],
        )
        for number, detail in enumerate(line["details"], 1)
    ]


def ties_of(one: Mapping[str, Any], details: Sequence[Understood]) -> list[str]:
    """The details that an input of a figure came from."""
    if one["from"] not in ("rider", "part"):
        return []
    said = one["words"] or ""
    return [
        detail.tie
        for detail in details
        if detail.name == one["name"] or (detail.words and detail.words in said.split(" … "))
    ]


Stretch = tuple[int, int, Sequence[Understood]]


def stretches(text: str, details: Sequence[Understood]) -> list[Stretch]:
    """The stretches of the text that were understood, in their order; of overlapping ones the first and longest."""
    spans: dict[tuple[int, int], list[Understood]] = {}
    for detail in details:
        if 0 <= detail.start < detail.end <= len(text):
            spans.setdefault((detail.start, detail.end), []).append(detail)
    kept: list[Stretch] = []
    place = 0
    for (start, end), here in sorted(spans.items(), key=lambda item: (item[0][0], -item[0][1])):
        if start >= place:
            kept.append((start, end, here))
            place = end
    return kept


def tied_words(text: str, marked: Sequence[Stretch], used: set[str]) -> Markup:
    """The text, escaped, each understood stretch a link to its line of working.

    `used` are the ties that the working shows; a detail that no figure uses leads to the list of details.
    """
    pieces: list[Markup] = []
    place = 0
    for start, end, here in marked:
        pieces.append(escape(text[place:start]))
        pieces.append(_link(text[start:end], here, used))
        place = end
    pieces.append(escape(text[place:]))
    return Markup("").join(pieces)


def _link(words: str, here: Sequence[Understood], used: set[str]) -> Markup:
    first, *others = here
    tie = next((one.tie for one in here if one.tie in used), first.tie)
    ties = " ".join(one.tie for one in here)
    told = "; ".join(dict.fromkeys(f"{one.label}: {one.told}" for one in here))
    target = f"#w-{tie}" if tie in used else "#read"
    anchors = Markup("").join(Markup('<span id="{}"></span>').format(one.tie) for one in others)
    return Markup('{}<a class="read" id="{}" href="{}" data-tie="{}" title="{}">{}</a>').format(
        anchors, first.tie, target, ties, told, words
    )

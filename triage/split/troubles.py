"""Troubles that a rider tells and asks nothing about: "Two faults. First, the hub slips. The other one is the stand."."""

from __future__ import annotations

import re
from collections.abc import Sequence

from triage.split.openings import opens_another
from triage.trade_words import parts_named, tells_of_trouble

_ANNOUNCED = re.compile(
    r"\b(?:two|three|four|both|couple of|few|several|some|2|3)\s(?:\w+\s){0,2}(?:problems|issues|troubles|faults|niggles|complaints|annoyances)\b"
)
_FIRST = re.compile(
    r"^\W*(?:(?:problem|issue|trouble|fault)?\s?(?:number |no\. ?)?(?:one|1)\b(?=\s?(?:is\b|:|\.|\)|,|–|-))|first(?:ly| of all| off)?\b|the first\b)"
)
_NEXT = re.compile(
    r"^\W*(?:and |then )?(?:(?:problem|issue|trouble|fault)?\s?(?:number |no\. ?)?(?:two|three|2|3)\b(?=\s?(?:is\b|:|\.|\)|,|–|-))|"
    r"(?:second|third|last)(?:ly)?\b(?! (?:hand|gear|year|week|month|time|winter|summer|night|ride))|"
    r"the (?:other|second|third|next|last)(?: \w+)?(?: one| problem| issue| trouble| fault| thing| niggle)\b|"
    r"another (?:one|problem|issue|trouble|fault|thing|niggle)\b)"
)


def counted_troubles(sentences: Sequence[str]) -> list[list[int]]:
    """The lowered sentences of each trouble, where at least two are announced and counted; none otherwise."""
    announced = next((i for i, text in enumerate(sentences) if _ANNOUNCED.search(text)), None)
    if announced is None:
        return []
    places = [i for i in range(announced, len(sentences)) if _FIRST.match(sentences[i])][:1]
    if not places:
        return []
    places += [i for i in range(places[0] + 1, len(sentences)) if _NEXT.match(sentences[i])]
    groups = [
        list(range(start, end)) for start, end in zip(places, [*places[1:], len(sentences)], strict=True)
    ]
    told = all(tells_of_trouble(" ".join(sentences[i] for i in group)) for group in groups)
    return groups if len(groups) > 1 and told else []


def trouble_before(first: int, sentences: Sequence[str]) -> list[int]:
    """The lowered sentences that tell of a trouble before a first ask which opens with "also": they were the first matter."""
    if not opens_another(sentences[first]):
        return []
    told = [index for index in range(first) if tells_of_trouble(sentences[index])]
    if not told:
        return []
    of_it = list(range(told[0], first))
    named = parts_named(" ".join(sentences[index] for index in of_it))
    asked = parts_named(sentences[first])
    return of_it if asked and named.isdisjoint(asked) else []

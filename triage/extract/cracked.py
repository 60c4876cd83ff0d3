"""Which part it is that has the crack or the line: a brief that serves several parts has to name the rider's own."""

from __future__ import annotations

import re
from dataclasses import dataclass

from triage.extract.forms import form
from triage.extract.words import lowered

CHOICE = "cracked_part"
_DAMAGE = form(
    r"\b(?:cracks?|cracked|cracking|hairlines?|hair-?line|fractures?|fractured|splits?|scratch(?:es|ed)?|(?<!brake )(?<!over the )(?<!tow )lines?(?! up| of (?:sight|bikes))|(?<!insertion )marks?|"
    r"scores?|gouges?|nicks?|crushed|creases?)\b",
    catches="a thin line ",
    leaves="the brake line",
)
_PARTS = (
    ("stem", r"stem(?:'s)?(?:\s(?:steerer\s)?clamp|\sface\s?plate|\scap)?|face\s?plates?|stem's"),
    (
        "handlebar",
        r"handle\s?bars?|drop\s?bars?|riser\s?bars?|flat\s?bars?|bars?(?!\s(?:tape|end|bag|psi|of))",
    ),
    ("seatpost", r"seat\s?posts?|seat\s?pins?|(?<!the )posts?(?!\smounts?)|the post(?!\smounts?)"),
    ("saddle", r"saddle(?:'s)?(?:\srails?)?|rails?"),
    ("crank", r"crank(?:\s?arms?|sets?|s)?|(?:left|right)\sarms?"),
    ("fork", r"forks?|steerers?(?:\stubes?)?|fork\s(?:crown|blades?|legs?|ends?)|crown\srace|blades?"),
    (
        "frame",
        r"frames?|(?:top|down|head|seat)\s?tubes?|(?:chain|seat)\s?stays?|drop\s?outs?|bottom bracket shell",
    ),
    ("rim", r"rims?|wheels?|spokes?|hubs?"),
)
_PART = re.compile(r"\b(?:" + "|".join(f"(?P<{name}>{words})" for name, words in _PARTS) + r")\b")
_VALVE = re.compile(r"\b(?:valve|presta|schrader)\b")
_NEAR_ONLY = form(
    r"\b(?:near|next to|beside|close to|by|from|below|above|just (?:under|above|below|behind|beside|outside)|where|away from|under|underneath|beneath|at)\s"
    r"(?:(?:the|my|a|an|its|his|her|our)\s)?(?:\w+\s){0,2}$",
    catches="a line next to the ",
    leaves="a line across the ",
)
"""Behind such words stands what the place lies beside, and mostly not the part itself."""
_TOLD_BY = (
    "crack",
    "line",
    "split",
    "mark",
    "scratch",
    "fractur",
    "score",
    "gouge",
    "nick",
    "crush",
    "crease",
)
_SENTENCE = re.compile(r"(?<=[.?!])\s+|\n+")


@dataclass(frozen=True, slots=True)
class Cracked:
    """The part that has the damage, and where its name stands."""

    value: str
    start: int
    end: int


def cracked_part(text: str) -> Cracked | None:
    """ "A line across my handlebar next to the stem" is the handlebar's: of the parts in the sentence the one that it lies on."""
    low = lowered(text)
    if not any(word in low for word in _TOLD_BY) or _DAMAGE.search(low) is None or _VALVE.search(low):
        return None
    start = 0
    for sentence in _SENTENCE.split(low):
        start = low.index(sentence, start)
        found = _in_sentence(sentence)
        if found is not None:
            return Cracked(found[0], start + found[1], start + found[2])
    return None


def _in_sentence(sentence: str) -> tuple[str, int, int] | None:
    damage = _DAMAGE.search(sentence)
    if damage is None:
        return None
    parts = [(m.lastgroup or "", *m.span()) for m in _PART.finditer(sentence)]
    before = [part for part in parts if part[2] <= damage.start()]
    behind = [part for part in parts if part[1] >= damage.end()]
    if before and before[-1][2] + 1 == damage.start():
        return before[-1]  # "the fork crack", "stem cracked"
    on_it = [part for part in behind if not _NEAR_ONLY.search(sentence[damage.end() - 1 : part[1]])]
    beside = [part for part in behind if part not in on_it]
    # Of what stands before the damage the last named part has it: "my seatpost has a hairline".
    for group in (on_it[:1], before[-1:], beside[:1]):
        if group:
            return group[0]
    return None

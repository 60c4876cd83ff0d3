"""Crank lengths, bare or with their unit, a change from one to another, and two arms that differ."""

from __future__ import annotations

from collections.abc import Iterator

from triage.extract.forms import form
from triage.extract.numbers import number
from triage.extract.passage import Found, Passage

_LENGTH = r"1[4-9]\d(?:[.,]5)?"
_CHANGE = form(
    rf"({_LENGTH})'?s?\s?(?:mm)?(?:\s?(?:cranks?|crank arms?|arms?))?\s(?:to|down to|up to|for|->)\s(?:a\s|some\s|new\s|shorter\s|longer\s)*({_LENGTH})(?![\d.])",
    catches="172.5 to 165",
    leaves="28 to 32",
)
_EITHER = form(
    rf"({_LENGTH})\s?(?:mm)?\s(?:or|vs\.?|v|versus|and)\s({_LENGTH})\s?(?:mm)?(?=\s(?:long\s)?(?:cranks?|crank arms?|arms?)\b)",
    catches="165 or 170 cranks",
    leaves="165 or 170 rotors",
)
_CRANK = form(
    rf"({_LENGTH})\s?(?:mm)?\s?(?:long\s)?(?:cranks?\b|crank\s?arms?|chainset|crankset|kurbel\w*)",
    catches="172.5 cranks",
    leaves="130 cranks",
)
_CRANK_BEFORE = form(
    rf"\b(?:cranks?|crank arms?|crank length)\s?(?:is|are|of|=|:|were)?\s?(?:an?\s)?({_LENGTH})\s?(?:mm)?(?![\d.]|\s?(?:bcd|kg|g\b|psi))",
    catches="cranks are 170",
    leaves="cranks weigh 170 g",
)
_SIDE = r"(?:left|right|l/h|r/h|lh|rh|nds|ds|drive side|non[- ]drive(?: side)?|chain side|one|other)(?!\s(?:bikes?|bicycle|set|pair|chainset|crankset)\b)"
_SIDE_BEHIND = form(
    rf"({_LENGTH})\s?(?:mm)?\s(?:(?:arm|crank|stamped)\s)?(?:(?:on|at)\s)?(?:the\s|my\s)?{_SIDE}\b[^.?!\n\d]{{0,70}}?({_LENGTH})(?:\s?mm)?[^.?!\n\d]{{0,14}}?\b{_SIDE}\b",
    catches="172.5 left and 175 right",
    leaves="172.5 left and 175 bcd",
)
_SIDE_BEFORE = form(
    rf"\b{_SIDE}\b[^.?!\n\d]{{0,30}}?({_LENGTH})(?:\s?mm)?\b[^?!\n\d]{{0,30}}?\b{_SIDE}\b[^.?!\n\d]{{0,30}}?({_LENGTH})(?![\d.]\d)",
    catches="left 172.5, right 175",
    leaves="left 172.5 and longer 175",
)
_SIDE_BETWEEN = form(
    rf"({_LENGTH})(?:\s?mm)?\b(?!\s(?:to|down to|for)\s)[^.?!\n\d]{{0,45}}?(?:\b{_SIDE}\b|\bmine\b|\bagainst my\b)[^.?!\n\d]{{0,20}}?({_LENGTH})(?![\d.]\d)",
    catches="172.5 and the right arm is 170",
    leaves="172.5 to the right 170",
)
_BOTH_ARMS = form(
    rf"\b(?:arms|cranks|sides)\s(?:are|measure|say|read|turn out to be|came out at)\s({_LENGTH})(?:\s?mm)?\s?(?:and|&|\+)\s?({_LENGTH})(?![\d.]\d)",
    catches="my arms are 170 and 175",
    leaves="my arms are 170 or 175",
)


def unequal_arms(passage: Passage) -> Iterator[list[Found]]:
    """ "172.5 left and 175 right", "one arm is 170 and the other 175", "my arms are 170 and 175"."""
    sides = passage.holds("left") and passage.holds("right")
    if not sides and not passage.holds("crank", "arm", "stamped", "side"):
        return
    pairs = [
        *passage.at_numbers(_SIDE_BEHIND),
        *passage.around(_SIDE_BEFORE, "left", "right", "other", "drive"),
        *passage.at_numbers(_SIDE_BETWEEN),
        *passage.around(_BOTH_ARMS, "arms", "cranks", "sides"),
    ]
    for m in pairs[:1]:
        shorter, longer = sorted((1, 2), key=lambda group: number(m[group]))
        yield [
            Found("shorter_arm_length_mm", number(m[shorter]), *m.span(shorter)),
            Found("longer_arm_length_mm", number(m[longer]), *m.span(longer)),
        ]


def crank_lengths(passage: Passage) -> Iterator[list[Found]]:
    """ "from 172.5 to 165 cranks", "172,5mm cranks", "cranks are 170"."""
    if not passage.holds("crank", "arms", "kurbel", "chainset"):
        return
    for m in passage.at_numbers(_CHANGE):
        stance = passage.before(m.start(), 28)
        if "rotor" not in passage.after(m.end(), 12) and "stance" not in stance and "factor" not in stance:
            yield [
                Found("crank_length_mm", number(m[1]), *m.span(1)),
                Found("new_crank_length_mm", number(m[2]), *m.span(2)),
            ]
    for m in passage.at_numbers(_EITHER):
        yield [
            Found("crank_length_mm", number(m[1]), *m.span(1)),
            Found("crank_length_mm", number(m[2]), *m.span(2)),
        ]
    for m in passage.at_numbers(_CRANK):
        name = (
            "new_crank_length_mm"
            if passage.before(m.start(), 14)
            .rstrip()
            .endswith(("to new", "shorter", "longer", "go to", "down to"))
            else "crank_length_mm"
        )
        yield [Found(name, number(m[1]), *m.span())]
    for m in passage.around(_CRANK_BEFORE, "crank"):
        name = "crank_length_mm"
        if passage.before(m.start(), 14).rstrip().endswith(("new", "shorter", "longer")):
            name = "new_crank_length_mm"
        yield [Found(name, number(m[1]), *m.span(1))]

"""A rim brake's reach: from its bolt to the brake track, front and rear, and the two ends of a calliper's slot."""

from __future__ import annotations

from collections.abc import Iterator

from triage.extract.forms import form
from triage.extract.numbers import number
from triage.extract.passage import Found, Passage

_DROP = r"(?:[3-9]\d|10\d)(?:[.,]5)?"
_AT_FRONT_AND_REAR = form(
    rf"({_DROP})\s?(?:mm)?\s(?:from\s[^.?!\n\d]{{0,60}}?\s)?(?:(?:at|in|on)\s)?(?:the\s)?front[^.?!\n\d]{{0,20}}?({_DROP})\s?(?:mm)?\s(?:(?:at|in|on)\s)?(?:the\s)?(?:back|rear)\b",
    catches="50 mm at the front and 54 at the rear",
    leaves="50 mm at the front and 54 teeth",
)
_FRONT_THEN_REAR = form(
    rf"\bfront\s(?:is\s|measures\s)?({_DROP})\s?(?:mm)?[^.?!\n\d]{{0,12}}?\b(?:rear|back)\s(?:is\s|measures\s)?({_DROP})(?![\d.]\d)",
    catches="front 52, rear 55",
    leaves="front 52, 55 at the rear",
)
_AT_REAR_AND_FRONT = form(
    rf"({_DROP})\s?(?:mm)?\s(?:(?:at|in|on)\s)?(?:the\s)?(?:back|rear)\b[^.?!\n\d]{{0,20}}?({_DROP})\s?(?:mm)?\s(?:(?:at|in|on)\s)?(?:the\s)?front\b",
    catches="54 at the back and 48 in front",
    leaves="54 at the back and 48 teeth",
)
_NEEDED = form(
    rf"\b(?:i need|needs|need|measured)\s(?:about\s)?({_DROP})(?:\s?mm)?\b(?!-|\s(?:from|at|in|on|to|cal|brake))|\bit's\s({_DROP})\s?(?:mm)?\si\sneed|\b({_DROP})\s?mm\s(?:of\s)?(?:drop|reach)\b(?!\s(?:brake|cal))|(?:brakes|callipers?|calipers?)\s(?:that\s|which\s|to\s)?reach(?:es)?\s({_DROP})\s?mm",
    catches="i need 57 exactly",
    leaves="i need 57 brakes",
)
_SLOT = form(
    rf"\b({_DROP})\s?(?:mm)?\s?(?:-|–|/|to)\s?({_DROP})(?![\d.]\d)",
    catches="42-52",
    leaves="42 or 52",
)
_NARROWEST, _LONGEST_SLOT = 6, 25


def brake_drops(passage: Passage) -> Iterator[list[Found]]:
    """ "52 mm at the front and 55 at the back", "slot goes from 47 to 57", "I need 57"."""
    if not passage.holds("reach", "calliper", "caliper", "brake bolt", "bolt to ", "slot"):
        return
    for m in [*passage.at_numbers(_AT_FRONT_AND_REAR), *passage.around(_FRONT_THEN_REAR, "front")][:1]:
        yield [
            Found("brake_drop_mm", number(m[1]), *m.span(1)),
            Found("rear_brake_drop_mm", number(m[2]), *m.span(2)),
        ]
    for m in list(passage.at_numbers(_AT_REAR_AND_FRONT))[:1]:
        yield [
            Found("rear_brake_drop_mm", number(m[1]), *m.span(1)),
            Found("brake_drop_mm", number(m[2]), *m.span(2)),
        ]
    slots = [
        m
        for m in passage.at_numbers(_SLOT)
        if _NARROWEST <= number(m[2]) - number(m[1]) <= _LONGEST_SLOT and not passage.holds("lever reach")
    ]
    if len({(m[1], m[2]) for m in slots}) == 1:
        m = slots[0]
        yield [
            Found("slot_top_mm", number(m[1]), *m.span(1)),
            Found("slot_bottom_mm", number(m[2]), *m.span(2)),
        ]
    for m in passage.around(_NEEDED, "need", "measured", "drop", "reach"):
        group = next(group for group in (1, 2, 3, 4) if m[group])
        yield [Found("brake_drop_mm", number(m[group]), *m.span(group))]

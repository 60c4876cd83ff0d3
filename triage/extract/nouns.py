"""A bare number right before the one thing it can measure: "a 130 hub in a 126 frame", "27.2 post", "203 rotor"."""

from __future__ import annotations

import re
from collections.abc import Iterator

from triage.extract.forms import form
from triage.extract.numbers import number
from triage.extract.passage import Found, Passage, at_numbers_only

_NUMBER = r"(\d{2,3}(?:[.,]\d{1,2})?)\s?(?:mm\s)?"
_BETWEEN = (
    r"(?:(?:steel|alloy|aluminium|aluminum|alum\.?|alu|carbon|titanium|old|new|road|mtb|rear|front|disc|track|drop|flat|riser|quill|"
    r"touring|spaced|dropper|oversize|oversized|o\.?l\.?d\.?)\s){0,2}"
)
# "bar 25.4 stem marked 26": a number right behind a noun belongs to that one.
_BEHIND = re.compile(r"\b(?:(?:handle)?bars?|(?:seat)?post|stem|frame|hub|rotor)\s$")
# The noun, then (quantity, lowest, highest) in the order in which they are tried.
_NOUNS: tuple[tuple[str, str, str, tuple[tuple[str, float, float], ...]], ...] = (
    (r"(?:seat\s?)?posts?\b(?!\s?code)", "27.2 post", "27.2 wheel", (("seatpost_diameter_mm", 19, 36),)),
    (
        r"(?:seat\s?tubes?|frames?|drop-?outs?|spacing(?!\s(?:bottom bracket|bb|cartridge)\b)|rear end|back end|rear triangle)\b",
        "126 spacing",
        "126 spokes",
        (("seat_tube_bore_mm", 25, 35.5), ("frame_spacing_mm", 95, 200)),
    ),
    (r"(?:hubs?|wheels?|wheelsets?)\b", "135 hub", "135 rotor", (("hub_width_mm", 95, 200),)),
    (
        r"(?:handle)?bars?\b(?!\s?(?:of|psi|pressure|front|rear|in the|now|at|or|tops?|today|yesterday|cold|max))",
        "31.8 handlebar",
        "31.8 bar of air",
        (("bar_clamp_diameter_mm", 22, 35.1),),
    ),
    (
        r"stems?\b(?!\s?bolt)",
        "110 mm stem",
        "5 stem",
        (("stem_bore_mm", 22, 31.9), ("stem_length_mm", 32, 160)),
    ),
    (
        r"(?:bcd|bolt circle)\s(?:\w+\s)?(?:cranks?|spiders?|cranksets?|chainsets?)\b",
        "110 bcd crank",
        "110 crank",
        (("bolt_circle_mm", 50, 180),),
    ),
    (
        r"(?:bcd|bolt circle)\b(?!\s(?:\w+\s)?(?:crank|spider|chainset))",
        "130 bcd",
        "130 bcd crank",
        (("new_bolt_circle_mm", 50, 180),),
    ),
    (r"head\s?tubes?\b", "44 head tube", "44 head", (("head_tube_bore_mm", 28, 63),)),
    (r"(?:axles?|spindles?)\b", "28.99 axle", "9 axle", (("spindle_diameter_mm", 22, 30.5),)),
    (r"(?:freehubs?|splined body)\b", "34.95 freehub", "34.95 free", (("freehub_body_length_mm", 30, 45),)),
    (r"(?:deep|profile)\b", "62 deep", "62 wide", (("rim_depth_mm", 20, 110),)),
    (r"valves?\b", "60 valves", "60 tubes", (("valve_length_mm", 32, 120),)),
    (
        r"(?:rotors?|discs?|disks?)\b(?!\s?brake)",
        "203 rotor",
        "203 disc brake",
        (("rotor_diameter_mm", 120, 250),),
    ),
)
_PATTERNS = [
    (form(_NUMBER + rf"(?={_BETWEEN}{noun})", catches=catches, leaves=leaves), kinds)
    for noun, catches, leaves, kinds in _NOUNS
]
_ANY_NOUN = re.compile(_NUMBER + rf"(?={_BETWEEN}(?:{'|'.join(noun for noun, *_ in _NOUNS)}))")
_POST_SIZE = form(
    r"(2\d[.,]\d|3[0-6][.,]\d)\s?(?:mm)?\s?[x/]\s?([1-5]\d\d)\s?(?:mm)?(?!\w)",
    catches="27.2 x 350",
    leaves="27.2 x 35",
)
_ROTOR_CHANGE = form(
    r"(1[2-9]\d|2[0-3]\d)\s?(?:mm)?\s(?:to|up to|for)\s(?:an?\s)?(1[2-9]\d|2[0-3]\d)\s?(?:mm)?\s(?:\w+\s)?(?:rotors?|discs?|disks?)\b",
    catches="160 to a 180 mm rotor",
    leaves="160 to 180 mm bars",
)
_ROTOR_ONTO = form(
    r"(1[2-9]\d|2[0-3]\d)\s?(?:mm\s)?(?:(?:rotors?|discs?|disks?)\s)?on(?:to)?\s(?:an?\s|the\s|my\s)?(?:1[2-9]\d|2[0-3]\d)\s?(?:mm\s)?(?:pm\b|post[ -]mount|is\b|flat[ -]mount|mounts?\b|fork|native)",
    catches="180 on a 160 post mount fork",
    leaves="180 on a 160 mm travel bike",
)
_ROTOR_INSTEAD = form(
    r"(1[2-9]\d|2[0-3]\d)\s?(?:mm\s)?(?:\w+\s)?(?:rotors?|discs?|disks?)\s(?:instead of|in place of|rather than|for)\s(?:an?\s|the\s|my\s)?(1[2-9]\d|2[0-3]\d)\b",
    catches="180 rotor instead of 160",
    leaves="180 rotor and 160 adapter",
)
_ROTOR_SIZE = form(
    r"(140|160|180|200|203|220|223)\b(?!\s?(?:kgs?|kilos?|lbs?|pounds?|psi|watts?|w|kms?|n)\b)",
    catches="180 mm",
    leaves="180 kg",
)
_ROTOR_LIMIT = form(
    r"\b(?:max(?:imum)?|at most|limit(?:ed)?|rated|allows?|approved|no more than)\.?\s(?:(?:is|of|to|for|at|only|rotor|disc|disk|size)\s){0,3}$",
    catches="stamped max rotor size ",
    leaves="maximal ",
)
_IS_THE_LARGEST = form(
    r"(?:\s?mm)?(?:\srotors?|\sdiscs?)?\s(?:is|being)\s(?:the\s)?(?:biggest|largest|most|max(?:imum)?|limit)\b|(?:\s?mm)?\smax\b(?!\s\d)",
    catches=" is the biggest it'll take",
    leaves=" is a big one",
)
# "Will a 203 rotor fit": the one that is wanted, not the one that is there.
_WANTED = re.compile(
    r"\b(?:will|would|can|could|bought|ordered|fit|fitting|use|put|run|want|wants|going|go|upgrade|upgrading|swap|swapping|change|try|like)\b[^.?!,]*$"
)
_HAS = re.compile(r"\b(?:my|have|has|got|with|from|e-bike|existing|current)\b[^.?!,]*$")
_WIDE_HUB = re.compile(r"\s?(?:mm\s)?(?:\w+\s){0,2}(?:hub|wheel)")


@at_numbers_only(_POST_SIZE, _ROTOR_CHANGE, _ROTOR_ONTO, _ROTOR_INSTEAD, _ROTOR_SIZE, _ANY_NOUN)
def before_nouns(passage: Passage) -> Iterator[list[Found]]:
    """Numbers without a unit, or with mm, that stand right before their noun."""
    for m in passage.at_numbers(_POST_SIZE) if passage.holds("post") else ():
        yield [
            Found("seatpost_diameter_mm", number(m[1]), *m.span()),
            Found("post_length_mm", float(m[2]), *m.span()),
        ]
    for m in passage.at_numbers(_ROTOR_CHANGE):
        yield [
            Found("rotor_diameter_mm", float(m[1]), *m.span(1)),
            Found("new_rotor_diameter_mm", float(m[2]), *m.span(2)),
        ]
    for m in passage.at_numbers(_ROTOR_ONTO):
        yield [Found("new_rotor_diameter_mm", float(m[1]), *m.span(1))]
    for m in passage.at_numbers(_ROTOR_INSTEAD):
        yield [
            Found("new_rotor_diameter_mm", float(m[1]), *m.span(1)),
            Found("rotor_diameter_mm", float(m[2]), *m.span(2)),
        ]
    if passage.holds("rotor", "disc", "disk", "post mount", " pm ", "flat mount", "adapter", "adaptor"):
        for m in passage.at_numbers(_ROTOR_SIZE):
            if _ROTOR_LIMIT.search(passage.before(m.start(), 40)) or _IS_THE_LARGEST.match(
                passage.text, m.end()
            ):
                yield [Found("largest_rotor_mm", float(m[1]), *m.span(1))]
    for start in passage.starts:
        if _ANY_NOUN.match(passage.text, start) is None:
            continue
        if _BEHIND.search(passage.before(start, 12)):
            continue
        for pattern, kinds in _PATTERNS:
            match = pattern.match(passage.text, start)
            if match is not None and passage.is_free(*match.span(1)):
                yield from _readings(match, kinds, passage)


def _readings(
    match: re.Match[str], kinds: tuple[tuple[str, float, float], ...], passage: Passage
) -> Iterator[list[Found]]:
    value = number(match[1])
    for name, low, high in kinds:
        # 27.5 is a wheel's name and no width of anything.
        if low <= value <= high and value != 27.5:
            readings = [name]
            if name == "rotor_diameter_mm" and _is_wanted(passage.before(match.start(), 40)):
                readings.insert(0, f"new_{name}")
            yield [Found(reading, value, *match.span(1)) for reading in readings]
            return


def _is_wanted(before: str) -> bool:
    wanted, has = _WANTED.search(before), _HAS.search(before)
    return wanted is not None and (has is None or has.start() < wanted.start())

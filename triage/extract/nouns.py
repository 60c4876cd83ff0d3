"""A bare number right before the one thing it can measure: "a 130 hub in a 126 frame", "27.2 post", "203 rotor"."""

from __future__ import annotations

import re
from collections.abc import Iterator

# "bar 25.4 stem marked 26": a number right behind a noun belongs to that one.
_BEHIND = "".join(rf"(?<!\b{noun} )" for noun in ("bar", "bars", "post", "stem", "frame", "hub", "rotor"))
_NUMBER = rf"{_BEHIND}(?<![\w.,/×x-])(\d{{2,3}}(?:[.,]\d{{1,2}})?)\s?(?:mm\s)?"
_BETWEEN = (
    r"(?:(?:steel|alloy|aluminium|aluminum|carbon|titanium|old|new|road|mtb|rear|front|disc|track|drop|flat|riser|quill|"
    r"touring|spaced)\s){0,2}"
)
# The noun, then (quantity, lowest, highest) in the order in which they are tried.
_NOUNS: tuple[tuple[str, tuple[tuple[str, float, float], ...]], ...] = (
    (r"(?:seat\s?)?posts?\b(?!\s?code)", (("seatpost_diameter_mm", 19, 36),)),
    (
        r"(?:seat\s?tubes?|frames?|dropouts?|spacing)\b",
        (("seat_tube_bore_mm", 25, 35.5), ("frame_spacing_mm", 95, 200)),
    ),
    (r"(?:hubs?|wheels?)\b", (("hub_width_mm", 95, 200),)),
    (
        r"(?:handle)?bars?\b(?!\s?(?:of|psi|pressure|front|rear|in the|now|at))",
        (("bar_clamp_diameter_mm", 22, 35.1),),
    ),
    (r"stems?\b(?!\s?bolt)", (("stem_bore_mm", 22, 31.9), ("stem_length_mm", 32, 160))),
    (
        r"(?:bcd|bolt circle)\s(?:\w+\s)?(?:cranks?|spiders?|cranksets?|chainsets?)\b",
        (("bolt_circle_mm", 50, 180),),
    ),
    (r"(?:bcd|bolt circle)\b(?!\s(?:\w+\s)?(?:crank|spider|chainset))", (("new_bolt_circle_mm", 50, 180),)),
    (r"head\s?tubes?\b", (("head_tube_bore_mm", 28, 63),)),
    (r"(?:rotors?|discs?|disks?)\b(?!\s?brake)", (("rotor_diameter_mm", 120, 250),)),
)
_PATTERNS = [(re.compile(_NUMBER + rf"(?={_BETWEEN}{noun})", re.I), kinds) for noun, kinds in _NOUNS]
_CRANK_CHANGE = re.compile(
    r"\b(?:from\s)?(1[4-9]\d(?:[.,]5)?)'?s?\s?(?:mm)?(?:\s?(?:cranks?|crank arms?|arms?))?\s(?:to|down to|up to|for|→)\s"
    r"(?:a\s|some\s|new\s|shorter\s|longer\s)*(1[4-9]\d(?:[.,]5)?)\b",
    re.I,
)
_CRANK_WORD = re.compile(r"crank|\barms?\b", re.I)

Stated = tuple[str, float, int, int]


def crank_changes(text: str) -> Iterator[list[Stated]]:
    """ "from 172.5 to 165 cranks": the old length and the new one."""
    for match in _CRANK_CHANGE.finditer(text):
        if _CRANK_WORD.search(text[max(0, match.start() - 40) : match.end() + 25]):
            yield [
                ("crank_length_mm", _number(match[1]), *match.span(1)),
                ("new_crank_length_mm", _number(match[2]), *match.span(2)),
            ]


_TYRE_CHANGE = re.compile(
    r"\bfrom\s(?:a\s)?(1[89]|[2-5]\d|6[0-2])'?s?(?:\s?(?:mm|c))?\s(?:to|up to|down to)\s(?:a\s)?(1[89]|[2-5]\d|6[0-2])(?:'?s|c)?(?![\d.,])"
    r"(?=(?:\s?mm)?\s?(?:\w+\s){0,2}(?:tyres?|tires?|tubs?|slicks?|rubber))",
    re.I,
)
_ON_THE_BACK = re.compile(
    r"\b([2-5]\d)\s?(?:t|tooth|teeth)?\s(?:on|at|in|out)\s(?:the\s)?(?:back|rear)\b", re.I
)
_RING = re.compile(
    r"\b([2-6]\d)[\s-]?(?:t|tooth|teeth)?\s(?:(?P<small>inner|small|little|granny)|big|large|outer|single|front)\s(?:chain)?ring\b",
    re.I,
)


def tyre_changes(text: str) -> Iterator[list[Stated]]:
    """ "from 25s to 28 mm tyres": the old width and the one that counts now."""
    for match in _TYRE_CHANGE.finditer(text):
        yield [
            ("old_tyre_width_mm", _number(match[1]), *match.span(1)),
            ("tyre_width_mm", _number(match[2]), *match.span(2)),
        ]


def rings_and_sprockets(text: str) -> Iterator[list[Stated]]:
    """ "50 tooth big ring, 34 on the back"."""
    for match in _RING.finditer(text):
        name = "smallest_ring_teeth" if match["small"] else "largest_ring_teeth"
        yield [(name, _number(match[1]), *match.span(1))]
    for match in _ON_THE_BACK.finditer(text):
        yield [("largest_sprocket_teeth", _number(match[1]), *match.span(1))]


# "Will a 203 rotor fit": the one that is wanted, not the one that is there.
_WANTED = re.compile(
    r"\b(?:will|would|can|could|fit|fitting|use|put|run|want|wants|going|go|upgrade|upgrading|swap|swapping|change|try)\b[^.?!]*$",
    re.I,
)


def before_nouns(text: str) -> Iterator[list[Stated]]:
    """Numbers without a unit that stand right before their noun."""
    for pattern, kinds in _PATTERNS:
        for match in pattern.finditer(text):
            value = _number(match[1])
            for name, low, high in kinds:
                # 27.5 is a wheel's name and no width of anything.
                if low <= value <= high and value != 27.5:
                    readings = [name]
                    if name == "rotor_diameter_mm" and _WANTED.search(
                        text[max(0, match.start() - 40) : match.start()]
                    ):
                        readings.insert(0, f"new_{name}")
                    yield [(reading, value, *match.span(1)) for reading in readings]
                    break


def _number(text: str) -> float:
    return float(text.replace(",", "."))

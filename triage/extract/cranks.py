"""Crank lengths, bare or with their unit, a change from one to another, and two arms that differ."""

from __future__ import annotations

from collections.abc import Iterator

from triage.extract.forms import form
from triage.extract.numbers import number
from triage.extract.passage import Found, Passage, at_numbers_only
from triage.extract.telling import CRANK_LENGTHS_MM

_LENGTH = r"1[4-9]\d(?:[.,]5)?"
_CHANGE = form(
    rf"({_LENGTH})'?s?\s?(?:mm)?(?:\s?(?:cranks?|crank arms?|arms?))?\s(?:to|down to|up to|for|->)\s(?:a\s|some\s|new\s|shorter\s|longer\s)*({_LENGTH})(?![\d.])",
    catches="172.5 to 165",
    leaves="28 to 32",
)
_INSTEAD = form(
    rf"({_LENGTH})(?:\s?mm)?(?:\s(?:cranks?|crank arms?|arms?))?\s(?:instead of|in place of|rather than)\s(?:my\s|the\s|old\s|those\s|original\s)*({_LENGTH})(?![\d.]\d)",
    catches="175 mm cranks instead of 170",
    leaves="175 instead of 28",
)
_CIRCLE = r"(?:58|64|74|80|86|94|96|104|110|120|122|128|130|135|144)"
_WHICH_CIRCLE = form(
    rf"({_CIRCLE})(?:\s?mm)?(?:\s(?:bcd|pcd))?\s?(?:or|vs\.?|versus|/)\s?(?:an?\s)?({_CIRCLE})(?:\s?mm)?(?=\s(?:bcd|pcd|bolt circle|circle)\b)",
    catches="104 or 110 mm bcd",
    leaves="104 or 110 mm rotor",
)
_WONDERED_WHICH = form(
    r"\b(?:is (?:it|this|that|mine)|are they|whether|tell|know|sure|have i got|do i have|either|which)\b[^.;?!\d]{0,40}$",
    catches="i can't tell: is it ",
    leaves="will a ring of ",
)
_EITHER = form(
    rf"({_LENGTH})\s?(?:mm)?\s(?:or|vs\.?|v|versus|and)\s({_LENGTH})\s?(?:mm)?(?=\s(?:long\s)?(?:cranks?|crank arms?|arms?)\b)",
    catches="165 or 170 cranks",
    leaves="165 or 170 rotors",
)
_CRANK = form(
    rf"({_LENGTH})\s?(?:mm)?\s?(?:long\s)?(?:cranks?\b|crank\s?arms?|arms\b|chainset|crankset|kurbel\w*)",
    catches="172.5 cranks",
    leaves="130 cranks",
)
_LONG_CRANK = form(
    rf"({_LENGTH})\s?mm\s(?:in length|long)\b", catches="172.5mm in length", leaves="172.5mm wide"
)
_CRANKS_ARE = form(
    r"\bcranks?\s(?:arms?\s)?(?:is|are|were)\b[^.;?!]{0,24}$",
    catches="the cranks are 130bcd and ",
    leaves="the crank bolt is ",
)
_CRANK_BEFORE = form(
    rf"\b(?:cranks?|crank arms?|crank length)\s?(?:is|are|of|=|:|were)?\s?(?:an?\s)?({_LENGTH})\s?(?:mm)?(?![\d.]|\s?(?:bcd|kg|g\b|psi|wide|apart|across))",
    catches="cranks are 170",
    leaves="cranks weigh 170 g",
)
_PLURAL = form(
    rf"({_LENGTH})\s?['’]?s\b(?!\s(?:ago|later|per|each|long|of)\b)",
    catches="172.5 s for years",
    leaves="172.5 s ago",
)
_TOWARDS = form(
    r"(?<!\bused )\b(?:to|towards|try|trying|like|fit|fitting|get|getting|want|buy|buying|order|ordering)\s(?:(?:some|something|like|maybe|about|around|the|shorter|longer|a|set|pair|of)\s){0,4}$",
    catches="would i gain by going to something like ",
    leaves="i am used to ",
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


_PAIR_OF_CRANKS = form(
    r"(?:\s?mm)?\s?(?:long\s)?(?:cranks|arms|chainset|crankset)\b", catches="mm cranks", leaves=" on the left"
)
_MINE = form(r"\bmine\s(?:are|were|was|is)\b", catches="mine were ", leaves="the mine ")
_CAME_NEW = form(
    r"\b(?:bought|ordered|got|picked up|found|been given|was given)\s(?:a (?:set|pair) of\s|some\s|an?\s)?$",
    catches="i bought some ",
    leaves="i bought it with ",
)
_TO_FIT = form(
    r"\b(?:need|want|fit|fitting|put|try|get|go for)\s(?:a (?:set|pair) of\s|some\s|an?\s)?$",
    catches="do i need ",
    leaves="a fit of ",
)
_SHELL_AND_AXLE = form(
    r"(68|70|73|83|100)\s?(?:mm\s?)?x\s?(1[0-4]\d(?:[.,]\d)?)(?:\s?mm)?(?![\d.,]*\d)",
    catches="68x122.5",
    leaves="68x47",
)
_OF_AN_AXLE = ("spindle", "axle", "bottom bracket", "bb", "cartridge", "taper")
_SHARES = form(
    r"([3-7]\d(?:\.\d)?)\s?%?\s?[/:-]\s?([3-7]\d(?:\.\d)?)(?![\d./-]*\d|\s?(?:t\b|teeth|ring))",
    catches="53/47",
    leaves="53/39 teeth",
)
_SHARES_NAMED = form(
    r"\bleft(?:\sleg)?(?:\sis|\sat|:)?\s([3-7]\d(?:\.\d)?)\s?%?,?\s(?:and\s|/\s?)?(?:the\s)?right(?:\sleg)?(?:\sis|\sat|:)?\s([3-7]\d(?:\.\d)?)(?![\d.]\d|\s?(?:nm|mm|psi))",
    catches="left 42 right 58",
    leaves="left 42 right 58 mm",
)
_SHARES_THEN_SIDES = form(
    r"([3-7]\d(?:\.\d)?)\s?%?\s(?:on the\s)?(left|right)\s?(?:,|and|/)\s?([3-7]\d(?:\.\d)?)\s?%?\s(?:on the\s)?(?!\2)(?:left|right)\b",
    catches="47 left and 53 right",
    leaves="47 left and 53 left",
)
_OF_LEGS = ("balance", "left leg", "right leg", "left/right", "l/r")
_FEWEST_SHARE, _ALL = 99.0, 101.0
"""Two shares rounded each for itself add up to a hundred or nearly so. [%]"""
_RANGE = form(
    r"(\d{1,2})\s?(?:to|-|–)\s?(\d{1,2})(?![\d.,]*\d|\s?(?:mm|teeth|t\b|kg|bar|psi|km|%|mph|miles))",
    catches="40 to 50",
    leaves="40 to 50 mm",
)
_MAKER_STATES = form(
    r"\b(?:maker|manufacturer|sheet|manual|book|instructions|spec|arm|crank)\s(?:says?|said|states?|wants?|asks for|gives?|is|reads)\s(?:about\s|between\s|from\s)?$",
    catches="the maker says ",
    leaves="the maker ",
)


_DROP = form(
    r"\b(?:bb|bottom bracket|bracket)\sdrop\s?(?:is|of|:|=)?\s?(?:about\s)?(\d{2}(?:[.,]\d)?)\s?(?:mm)?(?![\d.,]*\d)",
    catches="bb drop 70mm",
    leaves="bb height 270mm",
)


def bracket_drops(passage: Passage) -> Iterator[list[Found]]:
    """ "BB drop 70 mm" is neither a tyre's width nor a height over the ground: nothing here asks for it."""
    passage.taken += [m.span(1) for m in passage.around(_DROP, "drop")]
    yield from ()


def shell_and_axle(passage: Passage) -> Iterator[list[Found]]:
    """ "A 68x122.5 square taper": the shell and its axle; of two the first is the one that is there."""
    if not passage.holds(*_OF_AN_AXLE):
        return
    for index, m in enumerate(passage.at_numbers(_SHELL_AND_AXLE)):
        if index == 0:
            yield [
                Found("shell_width_mm", number(m[1]), *m.span()),
                Found("spindle_length_mm", number(m[2]), *m.span()),
            ]
        else:
            passage.taken.append(m.span())


_BORE_AND_WIDTH = form(
    r"(\d{2}(?:[.,]\d{1,2})?)\s?(?:mm)?\s(?:inside|bore|inner|internal|across inside)\s?(?:,|and|by)\s?(?:it['’]?s\s)?(\d{2,3}(?:[.,]\d{1,2})?)\s?(?:mm)?\s(?:wide|across|width)\b",
    catches="41 mm bore and 86.5 mm wide",
    leaves="41 mm bore and 86.5 mm long",
)
NARROWEST_SHELL_MM = 60
"""What is less wide is a bearing. [mm]"""
_BORE_FROM_TO = form(
    r"((?:3[0-9]|4[0-9])[.,]\d{1,2})\s?(?:mm)?\s?(?:to|-|–)\s?((?:3[0-9]|4[0-9])[.,]\d{1,2})(?![\d.,]*\d)",
    catches="45.95 to 46.08",
    leaves="45 to 46",
)
MOST_OUT_OF_ROUND_MM = 0.6


@at_numbers_only(_BORE_AND_WIDTH, _BORE_FROM_TO)
def bore_and_width(passage: Passage) -> Iterator[list[Found]]:
    """ "A press-fit shell, 41 mm bore and 86.5 mm wide"; "a bore gauge gives 45.95 to 46.08"."""
    if not passage.holds("shell", "press", "bottom bracket"):
        return
    for m in passage.at_numbers(_BORE_AND_WIDTH):
        if number(m[2]) >= NARROWEST_SHELL_MM:
            yield [
                Found("shell_bore_mm", number(m[1]), *m.span(1)),
                Found("shell_width_mm", number(m[2]), *m.span(2)),
            ]
    for m in passage.at_numbers(_BORE_FROM_TO) if passage.holds("bore") else ():
        low, high = number(m[1]), number(m[2])
        if 0 < high - low <= MOST_OUT_OF_ROUND_MM:
            yield [Found("shell_bore_mm", (low, high), *m.span())]


_SPINDLE = form(
    r"(2[2-9][.,]\d{2}|30[.,]\d{2})(?:\s?mm)?(?![\d.,]*\d|\s?(?:kg|x|inch))",
    catches="28.99 on the drive side",
    leaves="28.9",
)
_MEASURED = form(
    r"\b(?:measures?|measured|get|got|reads|makes?|comes to|is)\s(?:it\s|at\s|about\s)?$",
    catches="mine measures ",
    leaves="measure of ",
)


@at_numbers_only(_SPINDLE)
def measured_spindles(passage: Passage) -> Iterator[list[Found]]:
    """ "A wide axle crank, mine measures 28.99": to a hundredth nothing else of a crank is measured in this size."""
    if (
        not passage.holds("crank")
        or not passage.holds("axle", "spindle")
        or passage.holds("post", "seat tube")
    ):
        return
    for m in passage.at_numbers(_SPINDLE):
        if _MEASURED.search(passage.before(m.start())):
            yield [Found("spindle_diameter_mm", number(m[1]), *m.span(1))]


def circles_in_doubt(passage: Passage) -> Iterator[list[Found]]:
    """ "Is it 104 or 110 mm BCD?": the circle is what's asked for, so neither was told."""
    if passage.holds("bcd", "pcd", "circle"):
        for m in passage.at_numbers(_WHICH_CIRCLE):
            if _WONDERED_WHICH.search(passage.before(m.start(), 56)):
                passage.taken.append(m.span())
    yield from ()


def leg_shares(passage: Passage) -> Iterator[list[Found]]:
    """ "Balance is 53/47", "left 42, right 58": left and right, in the order in which every meter shows them."""
    for m in (
        passage.around(_SHARES_NAMED, "left") if passage.holds("leg", "power", "balance", "pedal") else ()
    ):
        left, right = number(m[1]), number(m[2])
        if _FEWEST_SHARE <= left + right <= _ALL:
            yield [
                Found("left_share_pct", left, *m.span(1)),
                Found("right_share_pct", right, *m.span(2)),
            ]
    for m in (
        passage.around(_SHARES_THEN_SIDES, "left") if passage.holds("leg", "power", "watt", "pedal") else ()
    ):
        one, other = number(m[1]), number(m[3])
        if _FEWEST_SHARE <= one + other <= _ALL:
            sides = ("left", "right") if m[2] == "left" else ("right", "left")
            yield [
                Found(f"{side}_share_pct", share, *m.span(group))
                for side, share, group in zip(sides, (one, other), (1, 3), strict=True)
            ]
    if not passage.holds(*_OF_LEGS):
        return
    for m in passage.at_numbers(_SHARES):
        left, right = number(m[1]), number(m[2])
        if _FEWEST_SHARE <= left + right <= _ALL and "ring" not in passage.before(m.start(), 16):
            yield [
                Found("left_share_pct", left, *m.span()),
                Found("right_share_pct", right, *m.span()),
            ]


def stated_ranges(passage: Passage) -> Iterator[list[Found]]:
    """ "I gave it 35 newton metres, the maker says 40 to 50": a range without its unit, where the talk is of torque."""
    if not passage.holds("newton", "nm", "n·m", "torque"):
        return
    for m in passage.at_numbers(_RANGE):
        low, high = number(m[1]), number(m[2])
        if low < high and _MAKER_STATES.search(passage.before(m.start(), 40)):
            yield [Found("stated_torque_n_m", (low, high), *m.span())]


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
        # "I bought 170 mm cranks, mine were 175": two pairs, not two arms of one.
        if _PAIR_OF_CRANKS.match(passage.text, m.end(1)) and _MINE.search(m.group()):
            continue
        shorter, longer = sorted((1, 2), key=lambda group: number(m[group]))
        yield [
            Found("shorter_arm_length_mm", number(m[shorter]), *m.span(shorter)),
            Found("longer_arm_length_mm", number(m[longer]), *m.span(longer)),
        ]


def crank_lengths(passage: Passage) -> Iterator[list[Found]]:
    """ "from 172.5 to 165 cranks", "172,5mm cranks", "cranks are 170", "I ride 170s"."""
    if not passage.holds("crank", "arms", "kurbel", "chainset"):
        return
    for m in passage.at_numbers(_CHANGE):
        stance = passage.before(m.start(), 28)
        if "rotor" not in passage.after(m.end(), 12) and "stance" not in stance and "factor" not in stance:
            yield [
                Found("crank_length_mm", number(m[1]), *m.span(1)),
                Found("new_crank_length_mm", number(m[2]), *m.span(2)),
            ]
    for m in passage.at_numbers(_INSTEAD):
        yield [
            Found("new_crank_length_mm", number(m[1]), *m.span(1)),
            Found("crank_length_mm", number(m[2]), *m.span(2)),
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
            or _TO_FIT.search(passage.before(m.start(), 20))
            or (_MINE.search(passage.text) and _CAME_NEW.search(passage.before(m.start(), 40)))
            else "crank_length_mm"
        )
        yield [Found(name, number(m[1]), *m.span())]
    for m in passage.at_numbers(_LONG_CRANK):
        if _CRANKS_ARE.search(passage.before(m.start(), 44)):
            yield [Found("crank_length_mm", number(m[1]), *m.span(1))]
    for m in passage.at_numbers(_PLURAL):
        if number(m[1]) in CRANK_LENGTHS_MM:
            comes = _TOWARDS.search(passage.before(m.start(), 48))
            yield [Found("new_crank_length_mm" if comes else "crank_length_mm", number(m[1]), *m.span())]
    for m in passage.around(_CRANK_BEFORE, "crank"):
        name = "crank_length_mm"
        if passage.before(m.start(), 14).rstrip().endswith(("new", "shorter", "longer")):
            name = "new_crank_length_mm"
        yield [Found(name, number(m[1]), *m.span(1))]

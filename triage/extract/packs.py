"""Loads that riders add up, and what a battery holds: seats, trailers and carriers with what is on them, volts and ampere-hours."""

from __future__ import annotations

import re
from collections.abc import Iterator

from triage.extract.asides import CHILDREN
from triage.extract.forms import form
from triage.extract.numbers import PLAIN, number
from triage.extract.passage import Found, Passage, at_numbers_only

_VOLTS_AND_AMPERE_HOURS = form(
    rf"({PLAIN})\s?v(?:olts?)?\b[^.;?!\d]{{0,16}}({PLAIN})\s?(?:ah|amp(?:ere)?[\s-]?hours?)\b",
    catches="36 v, 13 ah",
    leaves="36 v and 250 w",
)
_AMPERE_HOURS_AND_VOLTS = form(
    rf"({PLAIN})\s?(?:ah|amp(?:ere)?[\s-]?hours?)\b[^.;?!\d]{{0,16}}({PLAIN})\s?v(?:olts?)?\b",
    catches="13 ah at 36 v",
    leaves="13 ah",
)
_MILLIAMPERE_HOURS = form(
    rf"({PLAIN})\s?mah\b[^.;?!\d]{{0,24}}({PLAIN})\s?v(?:olts?)?\b|({PLAIN})\s?v(?:olts?)?\b[^.;?!\d]{{0,24}}({PLAIN})\s?mah\b",
    catches="2600 mah at 3.7 v",
    leaves="2600 mah",
)
LEAST_VOLTS, MOST_VOLTS = 6, 84
MOST_AMPERE_HOURS = 60
LEAST_CELL_VOLTS = 1.2


@at_numbers_only(_VOLTS_AND_AMPERE_HOURS, _AMPERE_HOURS_AND_VOLTS, _MILLIAMPERE_HOURS)
def battery_energies(passage: Passage) -> Iterator[list[Found]]:
    """ "36 V 13 Ah" holds 468 watt-hours."""
    for pattern, at_volts, at_hours in ((_VOLTS_AND_AMPERE_HOURS, 1, 2), (_AMPERE_HOURS_AND_VOLTS, 2, 1)):
        for m in passage.at_numbers(pattern):
            if LEAST_VOLTS <= number(m[at_volts]) <= MOST_VOLTS and number(m[at_hours]) <= MOST_AMPERE_HOURS:
                yield [
                    Found("battery_watt_hours", round(number(m[at_volts]) * number(m[at_hours])), *m.span())
                ]
    for m in passage.at_numbers(_MILLIAMPERE_HOURS):
        milli, volts = (number(m[1]), number(m[2])) if m[1] else (number(m[4]), number(m[3]))
        if LEAST_CELL_VOLTS <= volts <= MOST_VOLTS:
            yield [Found("battery_watt_hours", round(milli * volts / 1000, 1), *m.span())]


_MASS = form(rf"({PLAIN})\s?(?:kgs?|kilos?)\b", catches="17 kg", leaves="17 km")
_KG_OR_LB = r"(?:kgs?|kilos?|lbs?|pounds?)"
_BARE_OR_MASS = rf"({PLAIN})\s?{_KG_OR_LB}?"
_POUNDS = re.compile(r"\s?(?:lbs?|pounds?)\b")
_POUND_KG = 0.45359237
_IS = r"(?:\s(?:itself|alone|that|which|weighs?|is|are|weighing|of|at|with|about|around|only|just|some|rated|limit|load|max(?:imum)?|says|has|an?|to|for|up|approved|comes|and|the|allows?|takes?|carries)){0,6}\s?[:=]?\s?"
_CARRIER = form(
    rf"\b(?:racks?|carriers?|bike rack|bike carrier)(?:\s(?:itself|alone|weighs?|is|at|about|around|comes to)){{1,3}}\s{_BARE_OR_MASS}(?![\w.,]\d|\w|\s?(?:mm|cm|years?|months?|euros?|inch|litres?|l\b|km))",
    catches="the rack weighs 17",
    leaves="the rack is 17 years",
)
_CARRIER_BARE = form(
    rf"\b(?:rack|carrier)[:,=]?\s({PLAIN})\s?{_KG_OR_LB}\b(?!\s(?:limit|max|load|on\b))",
    catches="rack 20 kg",
    leaves="rack 20 kg max",
)
_CARRIER_BEHIND = form(
    rf"({PLAIN})\s?(?:kgs?|kilos?)\s(?:for\sthe\s|of\s)?(?:bike\s|towbar\s|tow\sbar\s)?(?:rack|carrier)\b",
    catches="a 19 kg carrier",
    leaves="a 19 kg bike",
)
_BALL_LIMIT = form(
    rf"\b(?:nose ?weight|noseweight|tow ?ball|tow ?bar|ball|hitch|coupling|tongue weight|nose load|ball load)(?:['’]s)?(?:\s(?:weight|load|limit|limits|max|maximum|is|of|rated|to|for|at|only|allows?|takes?|carries|can|take|carry|may|up|says|the|on|my|our|good|car|van|plated|stamped|marked|plate|figure|rating|given|stated|as)){{0,7}}\s{_BARE_OR_MASS}(?![\w.,]\d|\w|\s?(?:mm|cm|inch|years?))",
    catches="nose weight limit is 75 kg",
    leaves="tow ball is 50 mm",
)
_BALL_BEHIND = form(
    rf"({PLAIN})\s?(?:kgs?|kilos?)\s(?:limit\s|max(?:imum)?\s)?(?:on\sthe\s|for\sthe\s)?(?:nose ?weight|tow ?ball|tow ?bar|ball|hitch|towing hitch|noseweight)\b",
    catches="75 kg on the ball",
    leaves="75 kg on the scales",
)
_TWO_BIKES = form(
    rf"\b(?:e-?bikes?|bikes|bicycles|pedelecs|they|them|two|both)\b[^.;?!\d]{{0,24}}\s{_BARE_OR_MASS}\s(?:and|plus|\+|&)\s({PLAIN})\s?(?:kgs?|kilos?)?\b(?!\s?(?:mm|years?|inch|[\"”]|speed|psi|bar\b))",
    catches="two e-bikes 25 and 24",
    leaves="two bikes 26 and 27 inch",
)
_BIKES_EACH = form(
    rf"\b(two|three|four|2|3|4)\s(?:[\w-]+\s){{0,3}}(?:e-?bikes?|bikes|bicycles|pedelecs)\b[^.;?!\d]{{0,24}}\s({PLAIN})\s?(?:kgs?|kilos?)\s?(?:each|apiece|a piece|per bike)\b",
    catches="two e-bikes of 25 kg each",
    leaves="two e-bikes of 50 kg",
)
_BIKES_TOGETHER = form(
    rf"\b(?:e-?bikes|bikes|bicycles|pedelecs)\b[^.;?!\d]{{0,12}}\b(?:together|altogether|in total|combined|between them|all told|come to|add up to|total)\b[^.;?!\d]{{0,20}}\s({PLAIN})\s?{_KG_OR_LB}\b|"
    rf"\b(?:bikes|bicycles|pedelecs)\s(?:on it\s|on there\s)?(?:weigh|are|make)\s(?:about\s)?({PLAIN})\s?{_KG_OR_LB}\s(?:between them|together|altogether|in total|combined|all told)\b|"
    rf"\btogether the (?:two\s|three\s)?(?:e-?bikes|bikes|bicycles)\s(?:weigh|are|come to|make)\s(?:about\s)?({PLAIN})\s?{_KG_OR_LB}\b",
    catches="the bikes weigh together 44 kg",
    leaves="the bikes take 120 kg each",
)
_HOW_MANY = {"two": 2, "three": 3, "four": 4, "2": 2, "3": 3, "4": 4}
_ON_A_CAR = ("tow", "nose weight", "nose load", "noseweight", "car ", "car's", "hitch", "roof", "ball")


def on_a_carrier(passage: Passage) -> Iterator[list[Found]]:
    """ "Nose weight 75 kg, the rack weighs 17, two e-bikes 25 and 24": what hangs on the ball, and what it may bear."""
    if not passage.holds(*_ON_A_CAR) or not passage.holds("rack", "carrier"):
        return
    for pattern in (_BALL_LIMIT, _BALL_BEHIND):
        for m in passage.anywhere(pattern):
            yield [Found("towball_limit_kg", _kilograms(passage, m), *m.span(1))]
    for pattern in (_CARRIER, _CARRIER_BARE, _CARRIER_BEHIND):
        for m in passage.anywhere(pattern):
            yield [Found("carrier_mass_kg", _kilograms(passage, m), *m.span(1))]
    for m in passage.anywhere(_BIKES_EACH):
        yield [Found("carried_bikes_kg", _HOW_MANY[m[1]] * number(m[2]), *m.span(2))]
    for m in passage.anywhere(_TWO_BIKES):
        yield [Found("carried_bikes_kg", number(m[1]) + number(m[2]), m.start(1), m.end(2))]
    for m in passage.anywhere(_BIKES_TOGETHER):
        group = next(one for one in (1, 2, 3) if m[one])
        yield [Found("carried_bikes_kg", _kilograms(passage, m, group), *m.span(group))]


def _kilograms(passage: Passage, m: re.Match[str], group: int = 1) -> float:
    """The mass that this group of a match states, pounds behind it turned into kilograms. [kg]"""
    pounds = _POUNDS.match(passage.text, m.end(group))
    return number(m[group]) * _POUND_KG if pounds else number(m[group])


_LABEL = form(
    rf"\b(?:for|from)\s({PLAIN})\s?(?:kgs?|kilos?)?\s?(?:to|-|–|up to)\s?({PLAIN})\s?(?:kgs?|kilos?)\b",
    catches="for 9 to 22 kg",
    leaves="weighs 9 kg",
)
_SEAT = form(
    rf"\b(?:(?:child\s)?seat(?!\s?(?:post|tube|stay|pin))(?:\s(?:itself|alone|weighs?|weight|is|at|about|around|of)){{0,3}}|weight of (?:the\s)?(?:child\s)?seat(?:\s(?:is|about)){{0,2}})\s({PLAIN})\s?(?:kgs?|kilos?)\b(?!\s?(?:max|limit))",
    catches="the seat weighs 4.5 kg",
    leaves="the seat is for 22 kg",
)
_SEAT_BEHIND = form(
    rf"({PLAIN})\s?(?:kgs?|kilos?)\s(?:of\s|for\s)?(?:the\s|child\s)?seat\b(?!\s?(?:post|tube))",
    catches="5 kg of seat",
    leaves="22 kg seatpost",
)
_RACK_LIMIT = form(
    rf"\b(?:rack|carrier)\b(?:\s(?:is|has|rated|approved|for|to|at|of|says|stamped|marked|limit|max(?:imum)?|load|takes?|carries|only|a|with|bears?|allows?|sticker|plate|up|good|on|the|my|bike|it)){{1,8}}\s({PLAIN})\s?(?:kgs?|kilos?)\b",
    catches="rack is rated for 25 kg",
    leaves="rack weighs 25 kg",
)
_RACK_LIMIT_BEHIND = form(
    rf"({PLAIN})\s?(?:kgs?|kilos?)\s(?:rack|carrier)\b", catches="a 27 kg rack", leaves="a 27 kg bike"
)
_TRAILER = form(
    rf"\btrailer(?:\s(?:itself|alone|empty|unladen|on its own|by itself|weighs?|is|at|about|around)){{1,3}}\s{_BARE_OR_MASS}(?![\w.,]\d|\w|\s?(?:mm|cm|years?|months?|euros?|inch|km))",
    catches="trailer weighs 13",
    leaves="trailer is 13 years",
)
_TRAILER_OWN = form(
    rf"\b(?:own|empty|unladen|tare)\s(?:weight|mass)(?:\s(?:is|of|about)){{0,2}}[:=]?\s({PLAIN})\s?{_KG_OR_LB}\b",
    catches="its own weight is 11 kg",
    leaves="my own 11 kg",
)
_TRAILER_LIMIT = form(
    rf"\b(?:max(?:imum)?|limit|up to|allows?|allowed|rated|permits?|says|plate|most)(?:\s(?:is|of|for|to|says|at|a|the|max(?:imum)?|limit|allows?|towed|trailer|load|weight)){{0,5}}\s({PLAIN})\s?(?:kgs?|kilos?)(?=\s(?:for\s(?:a\s|the\s)?)?(?:trailer|towed|on the hitch|behind))|"
    rf"\btrailer(?:['’]s)?(?:\s(?:load|weight|limit|max(?:imum)?|may|can|weigh|is|rated|for|to|of|allowed|up|at|most)){{2,7}}\s({PLAIN})\s?(?:kgs?|kilos?)\b|"
    rf"\b(?:limit|max(?:imum)?|most)(?:\s(?:weight|load))?\s(?:for|of|on)\s(?:the|my|our)\strailer(?:\s(?:is|of|at)){{0,2}}\s({PLAIN})\s?(?:kgs?|kilos?)\b|"
    rf"\btrailer\b[^;?!]{{0,120}}\b(?:plate|limit|max(?:imum)?|sticker|label|rated|allowed)(?:\s(?:on|it|its|is|of|says|for|at|to|allows?|the|load|weight)){{0,4}}\s({PLAIN})\s?{_KG_OR_LB}\b",
    catches="plate says max 60 kg trailer",
    leaves="trailer weighs 60 kg",
)
_TWO_CHILDREN = form(
    rf"\b(?:kids|children|twins|boys|girls|toddlers|daughters|sons|they|two of them)\b(?:\s(?:are|weigh|weighing|of|now|about|at|both|together)){{1,3}}\s{_BARE_OR_MASS}\s(?:and|plus|\+|&)\s({PLAIN})\s?(?:kgs?|kilos?)\b",
    catches="kids are 14 and 17 kg",
    leaves="kids are 4 and 7 years",
)

_CHILDREN_TOGETHER = form(
    rf"\b(?:kids|children|twins|boys|girls|toddlers|daughters|sons|little ones|two of them)\b(?:['’]?\s\(?(?:are|is|was|weigh|now|about|at|both|together|altogether|come to|make|in the trailer|combined|total|weight|of|around|roughly|in total)){{1,6}}\s({PLAIN})\s?{_KG_OR_LB}\b(?!\s?(?:each|apiece|and\s\d|\+|plus\s\d|&))",
    catches="the twins are together 31 kg",
    leaves="the kids are 14 kg each",
)
_CHILDREN_COME_TO = form(
    rf"\b(?:kids|children|twins|boys|girls|toddlers|daughters|sons|little ones)\b[^.;?!]{{0,40}}?(?:\b(?:so|are|is|makes?|come to)|,|=)\s({PLAIN})\s?{_KG_OR_LB}\s(?:together|between them|altogether|in total|combined)\b",
    catches="two boys: 16 kg and 22 kg so 38 kg together",
    leaves="two boys: 16 kg and 22 kg",
)
_MOST_ON_THE_RACK = form(
    rf"\b(?:max(?:imum)?|limit|most)(?:\sload)?\s(?:for|on|of)\s(?:the|my|our)\s(?:rear\s)?(?:rack|carrier)\s(?:(?:is|of|says)\s)?({PLAIN})\s?(?:kgs?|kilos?)\b",
    catches="max for the rack is 60 kg",
    leaves="max for the trailer is 60 kg",
)
_TRAILER_BARE = form(
    rf"\btrailer[:,=]?\s({PLAIN})\s?{_KG_OR_LB}\b(?!\s(?:max|limit|load|all))",
    catches="trailer 12.4 kg",
    leaves="trailer 45 kg max",
)


def with_a_child(passage: Passage) -> Iterator[list[Found]]:
    """ "Rack for 25 kg, seat for 9 to 22 kg, the seat weighs 4.5": a label's range is no child's weight."""
    if not passage.holds("seat", "trailer", "cargo", "longtail", "long tail", "long-tail", " box", "rack"):
        return
    passage.taken += [m.span() for m in passage.anywhere(_LABEL)]
    for pattern, name in (
        (_SEAT, "seat_mass_kg"),
        (_SEAT_BEHIND, "seat_mass_kg"),
        (_RACK_LIMIT, "rack_limit_kg"),
        (_RACK_LIMIT_BEHIND, "rack_limit_kg"),
        (_MOST_ON_THE_RACK, "rack_limit_kg"),
    ):
        for m in passage.anywhere(pattern):
            if passage.holds("seat") or pattern is _MOST_ON_THE_RACK:
                yield [Found(name, number(m[1]), *m.span(1))]
    if not passage.holds(*CHILDREN):
        return
    for m in passage.anywhere(_TRAILER_LIMIT):
        group = next(one for one in (1, 2, 3, 4) if m[one])
        yield [Found("trailer_limit_kg", _kilograms(passage, m, group), *m.span(group))]
    for m in _CHILDREN_COME_TO.finditer(passage.text):
        # "3 kids" is spoken for as a count, and what each of them is goes into their sum.
        passage.taken.append((m.start(), m.start(1)))
        yield [Found("children_mass_kg", _kilograms(passage, m), *m.span(1))]
    for m in passage.anywhere(_TWO_CHILDREN):
        yield [Found("children_mass_kg", number(m[1]) + number(m[2]), m.start(1), m.end(2))]
    for m in passage.anywhere(_CHILDREN_TOGETHER):
        yield [Found("children_mass_kg", _kilograms(passage, m), *m.span(1))]
    for m in (
        *passage.anywhere(_TRAILER),
        *passage.anywhere(_TRAILER_BARE),
        *(passage.anywhere(_TRAILER_OWN) if passage.holds("trailer") else ()),
    ):
        yield [Found("trailer_mass_kg", _kilograms(passage, m), *m.span(1))]


_PLATE = r"(?:backing[\s-]?plates?|metal plates?|steel plates?|back[\s-]?plates?|plates?|backing|metal)"
_WITH_PLATE_BEHIND = form(
    rf"\s?(?:thick\s|now\s|left\s)?,?\s?\(?(?:in total|total|altogether|overall|all told|all in|in all|(?:including|incl\.?|counting|with) (?:the |its |their )?{_PLATE}|{_PLATE} included|{_PLATE} and all)\b",
    catches=" in total, backing plate included",
    leaves=" of lining on its plate",
)
_WITH_PLATE_BEFORE = form(
    rf"\b(?:total thickness|overall thickness|in total|altogether|with (?:the |its |their )?{_PLATE}|including (?:the |its |their )?{_PLATE}|pad and {_PLATE}|{_PLATE} and (?:pad|lining))\b[^.;?!\d]{{0,24}}$",
    catches="with the backing plate they measure ",
    leaves="without the backing plate they measure ",
)
_OF_THE_PLATE = form(
    rf"\b{_PLATE}(?:\s(?:itself|alone|is|are|measures?|about|around|of|at|being|some|makes up|takes|accounts for))+\s$",
    catches="the plate is about ",
    leaves="the plate included ",
)
_IS_THE_PLATE = form(
    rf"\s?(?:of (?:that |which )?(?:is |it is )?|is )(?:the )?(?:metal |steel |bare )?{_PLATE}\b|\s?(?:for the )?(?:backing[\s-]|steel |metal )?plate\b",
    catches=" of that is plate",
    leaves=" of lining",
)
_MM = form(rf"({PLAIN})\s?mm\b", catches="2.6 mm", leaves="2.6 m")
PLATE_MM = (1.6, 2.0)
"""Backing plates of bicycle pads, by common practice."""
THICKEST_PAD_MM = 7.0
_NO_PAD = ("rotor is", "chain", "spoke")


@at_numbers_only(_MM)
def pads_with_their_plate(passage: Passage) -> Iterator[list[Found]]:
    """ "2.6 mm in total, backing plate included, the plate is 1.8": what is left to wear is the difference."""
    if not passage.holds("pad") or not passage.holds("plate", "backing", "metal"):
        return
    plates: list[re.Match[str]] = []
    wholes: list[re.Match[str]] = []
    for m in passage.at_numbers(_MM):
        before, behind = passage.before(m.start(), 60), passage.after(m.end(), 60)
        if _OF_THE_PLATE.search(before) or _IS_THE_PLATE.match(behind):
            plates.append(m)
        elif _WITH_PLATE_BEHIND.match(behind) or (
            _WITH_PLATE_BEFORE.search(before) and "without" not in before
        ):
            wholes.append(m)
    if not wholes or number(wholes[0][1]) > THICKEST_PAD_MM:
        return
    whole = number(wholes[0][1])
    thin, thick = (number(plates[0][1]),) * 2 if plates else PLATE_MM
    left = tuple(round(max(0.0, whole - plate), 2) for plate in (thick, thin))
    passage.taken += [m.span() for m in plates]
    value = left[0] if left[0] == left[1] else (left[0], left[1])
    yield [Found("pad_thickness_mm", value, *wholes[0].span(1))]


_DAYLIGHT = form(
    rf"({PLAIN})\s?mm\s(?:of\s)?(?:daylight|light|gap|hollow|dip|dish|space)\b|\b(?:daylight|hollow|dip|gap|light)\b(?:\s(?:of|is|about|around|some|roughly|under|the|ruler|rule|it)){{1,5}}\s({PLAIN})\s?mm\b",
    catches="0.4 mm of daylight",
    leaves="0.9 mm of wall",
)


def hollow_tracks(passage: Passage) -> Iterator[list[Found]]:
    """ "A straight edge shows 0.4 mm of daylight": the hollow's depth, and no wall's thickness."""
    if passage.holds("rim", "brake track", "braking surface") and passage.holds(
        "ruler", "rule", "straight edge", "straightedge", "straight-edge", "card", "daylight"
    ):
        for m in passage.anywhere(_DAYLIGHT):
            group = 1 if m[1] else 2
            yield [Found("brake_track_hollow_mm", number(m[group]), *m.span(group))]


_TALL = form(
    r"(?:(\d{2,3})\s?(?:cm|centimet(?:re|er)s)\b|(0?[.,][89]\d|1[.,][0-5]\d)\s?m(?:et(?:re|er)s?)?\b|([34])\s?(?:'|ft\b|foot\b|feet\b)\s?(?:(\d{1,2})\b\s?(?:\"|in(?:ch(?:es)?)?\b)?)?)(?:\s(?:tall|high|in height|of height))?",
    catches="112 cm tall",
    leaves="112 mm",
)
_IS_TALL = form(
    r"\b(?:height|tall|measures|child|kid|girl|boy|son|daughter|grandson|granddaughter|she|he|she['’]s|he['’]s|now|of \d{1,2}|old|who)(?:\s(?:is|of|about|around|now|at|and|measures|only|just|stands|years?|old|\d{1,2})){0,5},?\s$",
    catches="she is about ",
    leaves="inseam of ",
)
_KG_BEFORE = form(
    r"\bs?he(?:['’]s|\sis)\s\d{1,2},\s\d{2}\s?(?:kgs?|kilos?),?\s(?:and\s)?$",
    catches="she's 7, 22 kg, ",
    leaves="she's 7, ",
)
_NO_HEIGHT = form(
    r"\b(?:inseam|inside leg|leg|saddle|standover|frame|tube|bar|wheel)\b[^.,;?!\d]{0,20}$",
    catches="inseam is ",
    leaves="she is ",
)
SHORTEST_CHILD_CM, TALLEST_CHILD_CM = 80, 165


@at_numbers_only(_TALL)
def heights_of_children(passage: Passage) -> Iterator[list[Found]]:
    """ "Our girl of five, 112 cm, inside leg 49": what a child's bicycle goes by."""
    if not passage.holds(*CHILDREN):
        return
    for m in passage.at_numbers(_TALL):
        before = passage.before(m.start(), 44)
        told = (
            _KG_BEFORE.search(before)
            or m[3]
            or m.group().endswith(("tall", "high", "height"))
            or _IS_TALL.search(before)
        )
        if told and not _NO_HEIGHT.search(before) and SHORTEST_CHILD_CM <= _tall_cm(m) <= TALLEST_CHILD_CM:
            yield [Found("child_height_mm", round(_tall_cm(m) * 10.0, 1), *m.span())]


def _tall_cm(m: re.Match[str]) -> float:
    """How tall a match of `_TALL` says, in whatever unit. [cm]"""
    if m[3]:
        return (int(m[3]) * 12 + int(m[4] or 0)) * 2.54
    return float(m[1]) if m[1] else number(m[2]) * 100


_SHOWN_AND_TRUE = form(
    rf"\b(?:shows?|showed|showing|says?|said|reads?|reading|displays?|gives?|counts?|counted|records?|recorded|makes? it)\s(?:me\s|only\s|about\s)?({PLAIN})\s?(?:km|kms|kilomet(?:re|er)s|miles?|mi)?\b[^.?!\d]{{0,30}}?"
    rf"\b(?:that['’]?s|that is|that was|which is|really|actually|instead of|in place of|for a|but|while|where|whereas|though|on a|against|over a|measured|official|certified|signed)\b[^.?!\d]{{0,40}}?({PLAIN})\s?(?:km|kms|kilomet(?:re|er)s|miles?|mi)?\b",
    catches="shows 31 km for a route that's 29.6",
    leaves="shows 31 km and it rains",
)
_TRUE_AND_SHOWN = form(
    rf"\b(?:marked|measured|official|certified|signed|surveyed)\s(?:out\s)?({PLAIN})\s?(?:km|kms|kilomet(?:re|er)s?|miles?)\b[^.?!\d]{{0,40}}?\b(?:shows?|showed|says?|said|reads?|displays?|gives?|gave|counted|recorded|makes? it|made it)\s(?:only\s|just\s|about\s)?({PLAIN})",
    catches="marked 10 km course and mine shows 9.7",
    leaves="marked 10 km course and it shows nothing",
)
_A_COMPUTER = ("computer", "speedo", "cycle meter", "odometer", "trip meter", "head unit", "gps")
MOST_WRONG = 0.25
"""A computer that is further out than that has another fault than its setting."""


def shown_and_true(passage: Passage) -> Iterator[list[Found]]:
    """ "It shows 31 km for a route that's 29.6": by how much the setting of a computer is out."""
    if not passage.holds(*_A_COMPUTER):
        return
    for pattern, first, second in ((_SHOWN_AND_TRUE, 1, 2), (_TRUE_AND_SHOWN, 2, 1)):
        for m in passage.anywhere(pattern):
            shown, true = number(m[first]), number(m[second])
            if true > 0 and 0 < abs(shown / true - 1) <= MOST_WRONG:
                yield [
                    Found("shown_distance_km", shown, *m.span(first)),
                    Found("true_distance_km", true, *m.span(second)),
                ]

"""Weights and legs of people: stone and pounds, and bare numbers that only a weight can be."""

from __future__ import annotations

import re
from collections.abc import Iterator

from triage.extract.asides import CHILDREN
from triage.extract.forms import form
from triage.extract.numbers import PLAIN, number
from triage.extract.passage import Found, Passage, at_numbers_only

_STONE = form(
    rf"({PLAIN})\s?(?:stones?|st)\b(?!\s?(?:of|bridge|wall|street|chip|s\b))(?:\s?(?:and\s)?(\d{{1,2}})(?:\s?(?:lbs?|pounds?))?(?![\w.,]\d|\s?(?:mm|psi|bar|speed|t\b|inch|c\b)))?",
    catches="14 stone 7 lb",
    leaves="14 steps",
)
MOST_STONE = 40
"""More is no weight: "my 531st frame"."""
STONE_KG, POUND_KG = 6.35029318, 0.45359237


_CREW = form(
    rf"({PLAIN})\s?(kgs?|kilos?|lbs?|pounds)?\s?(?:\+|plus|and|&)\s?({PLAIN})\s?(kgs?|kilos?|lbs?|pounds)\b(?!\s(?:of\s)?(?:bike|bicycle|bags?|luggage|load|kit|gear|tandem|panniers?|trailer))",
    catches="74 + 61 kg",
    leaves="74 kg plus 61 mm",
)
_MASS = form(rf"({PLAIN})\s?(kgs?|kilos?|kilograms?|lbs?|pounds?)\b", catches="110 kg", leaves="110 km")
_ON_ONE_BICYCLE = ("tandem", "two of us", "2 of us", "both of us")


_CREW_WEIGHS = form(
    r"\b(?:(?:together|combined|between us|jointly),?\s(?:we|we're|we are|the two of us)|we|the two of us|both of us|the pair of us|(?:crew|team|combined crew|our combined)(?:\sweight)?(?:\sof)?)"
    r"(?:\s(?:weigh|weighs|are|is|come to|comes to|total|totals|add up to|make)){0,2}(?:\s(?:in at|at|about|around|some|roughly|together|in total)){0,2}\s$",
    catches="together, we weigh ",
    leaves="we ride ",
)
_EACH = form(r"\s(?:each|apiece)\b", catches=" each", leaves=" together")
_NOT_THE_TWO_ALONE = form(
    r"\s(?:and|plus|\+|the pair of us plus|with the (?:bike|tandem)|including|all[- ]up|all in|all told|total|loaded)\b",
    catches=" with the bike",
    leaves=" together",
)
_TWICE = form(
    rf"(?:2|two)\s?(?:x|times)\s?({PLAIN})\s?(kgs?|kilos?|lbs?|pounds)\b",
    catches="2 x 75 kg",
    leaves="2 x 75 mm",
)
_ALL_TOLD = form(
    r"\s(?:total|combined|all[- ]up|gross)\s(?:load|weight|mass)\b(?!\s(?:limit|rating|max|allowance))",
    catches=" total load",
    leaves=" total weight limit",
)


_ALL_BEFORE = form(
    r"\b(?:all[- ]up\b[^.;?!\d]{0,32}\bwe(?=\s)|(?:all[- ]up|total|overall|combined|gross|laden|system)\s(?:rolling\s|riding\s)?(?:weight|mass)\b(?!\s(?:limit|rating|max|allow))|everything\b(?:\s(?:included|together|counted))?|all[- ]in\b|all told|fully loaded|ready to ride)"
    r"(?:[\s,:=(+&-]+(?:is|it's|that's|i'm|i am|we're|we are|makes?|weighs?|of|was|at|comes|to|about|around|some|roughly|with|without|rider|me|bikes?|bicycle|bags?|luggage|panniers|kit|gear|plus|and|including|incl|my|the|all|everything|weigh|come))*[\s,:=(-]*$",
    catches="all-up weight, rider plus bike, is ",
    leaves="total weight limit is ",
)


_SUMMED = form(
    r"\b(?:(?:bike|bicycle|rider|me|myself|i|bags?|luggage|kit|gear|panniers|clothes|water)(?:,?\s(?:plus|\+|and|with|&)|,)\s(?:the\s|my\s|an?\s|all\s)?){1,4}"
    r"(?:bike|bicycle|rider|me|myself|bags?|luggage|kit|gear|panniers|clothes|water)\s?(?:=|is|are|makes?|comes?|total|weighs?|to|together|about|at|:|\s){1,5}\s?$",
    catches="bike plus me plus luggage makes ",
    leaves="luggage plus water makes me ",
)
_A_RIDER = re.compile(r"\b(?:me|myself|i|rider)\b")
_A_BICYCLE = re.compile(r"\b(?:bike|bicycle)\b")


def _is_a_sum(before: str) -> bool:
    """Whether these words add up a rider and a bicycle."""
    summed = _SUMMED.search(before)
    return (
        summed is not None
        and _A_RIDER.search(summed.group()) is not None
        and _A_BICYCLE.search(summed.group()) is not None
    )


@at_numbers_only(_CREW, _MASS, _TWICE)
def crews(passage: Passage) -> Iterator[list[Found]]:
    """ "Two of us, 74 + 61 kg", "together we weigh 136 kg", "70 kg each" on one bicycle: what its tyres carry is both together."""
    for m in passage.at_numbers(_MASS):
        before = passage.before(m.start(), 80)
        if _ALL_TOLD.match(passage.text, m.end()) or (
            (_ALL_BEFORE.search(before) or _is_a_sum(before))
            and not _LIMIT_BEFORE.search(before)
            and not _LIMIT_BEHIND.match(passage.text, m.end())
        ):
            # Rider, bicycle and bags: no luggage weighs that, though "load" stands beside it.
            yield [Found("total_mass_kg", _kilograms(m), *m.span())]
    if not passage.holds(*_ON_ONE_BICYCLE):
        return
    for m in passage.at_numbers(_TWICE):
        yield [Found("rider_mass_kg", _kilograms(m) * 2, *m.span())]
    for m in passage.at_numbers(_CREW):
        unit = POUND_KG if m[4].startswith(("lb", "pound")) else 1.0
        if m[2] is None or m[2][:1] == m[4][:1]:
            yield [Found("rider_mass_kg", round((number(m[1]) + number(m[3])) * unit, 1), *m.span())]
    for m in passage.at_numbers(_MASS):
        if _CREW_WEIGHS.search(passage.before(m.start(), 60)) and not _NOT_THE_TWO_ALONE.match(
            passage.text, m.end()
        ):
            of_one = _EACH.match(passage.text, m.end())
            yield [Found("rider_mass_kg", _kilograms(m) * (2 if of_one else 1), *m.span())]


def _kilograms(m: re.Match[str]) -> float:
    """The mass of a match of `_MASS` or `_TWICE`. [kg]"""
    return round(number(m[1]) * (POUND_KG if m[2].startswith(("lb", "pound")) else 1.0), 1)


_LIMIT_BEFORE = form(
    r"\b(?:(?:rated|limited|certified|approved|tested)(?:\s(?:to|for|up to|at))?|(?:weight|mass|rider|system|user)\s(?:weight\s)?(?:limit|rating|maximum|max)(?:\s(?:of|for|on)\s(?:my|the|these|our|this)\s(?:\w+\s)?(?:wheels?|wheelset|bikes?|bicycle|frame|fork|rims?))?|"
    r"max(?:imum|\.)?\s(?:(?:rider|system|total|permitted|permissible|combined|gross|allowed|user|all[- ]up)\s){1,2}(?:weight|load|mass)|"
    r"max(?:imum|\.)?\s(?:rider|system|total|permitted|permissible|combined|gross|user|all[- ]up)|(?:system|rider|total|combined|user)\smax(?:imum|\.)?|"
    r"(?:wheels?|wheelset|bike|bicycle|frame|fork|rims?|label|sticker|book)\s(?:says?|states?|allows?)\s(?:a\s)?(?:max(?:imum|\.)?|limit)|"
    r"(?:permitted|permissible|allowed)\s(?:total\s)?(?:weight|load|mass)|total\s(?:allowed|permitted)|limit\son\s(?:the|its)\s(?:sticker|label|plate|frame)|(?:wheels?|wheelset|bike|bicycle|frame|fork|rims?|hubs?)\slimit|(?:rider|system|combined|total|gross)\s(?:weight|mass)\sup\sto|(?:upper|their|its)\slimit|"
    r"(?:maker|manufacturer|manual|handbook|sheet|plate|sticker|website|brochure)\s(?:says|states|allows|gives|quotes|names))"
    r"(?:\s(?:of|is|was|at|says|to|only|just|about|for|a)|\s?[=:])*\s?$",
    catches="wheels rated to ",
    leaves="rider weight ",
)
_LIMIT_BEHIND = form(
    r"\s(?:(?:system|rider|total|user|combined|all[- ]up)\s)?(?:(?:weight|mass)\s)?(?:limit|max(?:imum)?\b|rating)",
    catches=" system limit",
    leaves=" all up",
)
_LIMIT_OF_ANOTHER = form(
    r"\b(?:trailers?|racks?|carriers?|baskets?|child seats?|seats?|tyres?|tires?|stand|hitch)\b[^.;?!]{0,24}$",
    catches="the trailer is ",
    leaves="the wheel is ",
)


@at_numbers_only(_MASS)
def mass_limits(passage: Passage) -> Iterator[list[Found]]:
    """ "Wheels rated to 110 kg system": what may be carried is nobody's weight."""
    for m in passage.at_numbers(_MASS):
        before = passage.before(m.start(), 64)
        limit = _LIMIT_BEFORE.search(before)
        behind = _LIMIT_BEHIND.match(passage.text, m.end())
        if limit is None and behind is None:
            continue
        other = _LIMIT_OF_ANOTHER.search(before[: limit.start()] if limit else before)
        if other is not None:
            if other.group().startswith(("tyre", "tire")):
                yield [Found("tyre_load_limit_kg", _kilograms(m), *m.span())]
            passage.taken.append(m.span())
            continue
        yield [Found("mass_limit_kg", _kilograms(m), *m.span())]


_OF_A_CHILD = form(
    r"\s(?:heavy\s)?(?:child|toddler|kid|boy|girl|lad|son|daughter|baby|two year old|[2-9] year old)\b(?!\s?(?:seat|trailer|'s bike))",
    catches=" child on the back",
    leaves=" child seat",
)
_CHILD_WEIGHS = form(
    r"\b(?:[2-9]|1[0-3])[\s-]?(?:years?|yrs?)[\s-]old\s(?:(?:son|daughter|boy|girl|kid|child|grandson|granddaughter)\s)?(?:who\s)?(?:weighs|is)\s(?:about\s|only\s|just\s)?$",
    catches="my 9 year old weighs ",
    leaves="my 9 year old bike weighs ",
)
_BABY = form(
    r"\b(?:[2-9]|1\d|2[0-4])[\s-]months?(?:[\s-]old)?\b[^.;?!\d]{0,20}$",
    catches="ours is 5 months, ",
    leaves="5 months ago we bought 7 tubes of ",
)
_CHILDS_AGE_AND = form(
    r"\b(?:son|daughter|kid|child|boy|girl|grandson|granddaughter|little one|nephew|niece)(?:\sis|\swho is|['’]s)?[\s,]{1,2}(?:aged?\s)?"
    r"(?:[2-9]|1[0-3])(?:\s(?:years?|yrs?)(?:\sold)?)?[\s,]{1,2}(?:and\s|(?:s?he|who)\s)?(?:weighs|weighing|is|at)\s(?:about\s|only\s|just\s)?$",
    catches="my daughter is 7, weighs ",
    leaves="my daughter is 7, her bike weighs ",
)
_SHE_IS_AND = form(
    r"\bs?he(?:['’]s|\sis)\s(?:only\s|just\s)?(?:[2-9]|1[0-3])(?:\s(?:years?|yrs?)(?:\sold)?)?,\s(?:and\s)?$|\b(?:her|him|kid|toddler|little one)[,:]?\s$",
    catches="she's 7, ",
    leaves="she is 37, ",
)
_THE_CHILD_WEIGHS = form(
    r"\b(?:lad|lass|son|daughter|grandson|granddaughter|boy|girl|kid|child|toddler|s?he)\b(?:(?!bike|bicycle|seat|trailer|bag)[^.;?!]){0,32}\b(?:weighs|is)(?:\s(?:in|at|about|around|only|just|under|over|nearly|almost|roughly|now)){0,3}\s$",
    catches="he weighs just under ",
    leaves="her husband weighs ",
)
"""Of a child only where one is named, and where no grown-up weighs so little."""
_A_CHILD = re.compile(
    r"\b(?:lad|lass|(?:grand)?son|(?:grand)?daughter|boy|girl|kid|child|toddler|twin|baby)\b"
)
_CHILD_IS = form(
    r"\b(?:kid|child|toddler|baby|little one|my (?:son|daughter|boy|girl))\s(?:(?:is|weighs|at|now|about|only|just|a)\s){0,3}$",
    catches="kid is about ",
    leaves="kid's bike is ",
)
HEAVIEST_CHILD_KG = 60
HEAVIEST_UNNAMED_CHILD_KG = 40


def _is_a_childs(passage: Passage, start: int, mass: float) -> bool:
    """Whether "he weighs 4 stone" is said of the son who was named."""
    return (
        mass <= HEAVIEST_UNNAMED_CHILD_KG
        and _A_CHILD.search(passage.text) is not None
        and _THE_CHILD_WEIGHS.search(passage.before(start, 44)) is not None
    )


_A_PET = form(r"\s(?:heavy\s)?(?:dogs?|pupp(?:y|ies)|cats?)\b", catches=" dog", leaves=" dogged")


@at_numbers_only(_MASS)
def children(passage: Passage) -> Iterator[list[Found]]:
    """ "A 15 kg child", "my 9 year old weighs 30 kg": the child's weight, not the bicycle's."""
    for m in passage.at_numbers(_MASS):
        if _A_PET.match(passage.text, m.end()):
            yield [Found("load_mass_kg", _kilograms(m), *m.span())]
            continue
        behind = _OF_A_CHILD.match(passage.text, m.end())
        before = passage.before(m.start(), 56)
        weighs = _CHILD_WEIGHS.search(before) or _CHILDS_AGE_AND.search(before) or _CHILD_IS.search(before)
        if weighs is None and _kilograms(m) <= HEAVIEST_UNNAMED_CHILD_KG and passage.holds(*CHILDREN):
            weighs = _SHE_IS_AND.search(before)
        if (
            behind is None
            and not weighs
            and not _is_a_childs(passage, m.start(), _kilograms(m))
            and not (passage.holds("baby", "babies", "months old") and _BABY.search(before))
        ):
            continue
        mass = _kilograms(m)
        if mass <= HEAVIEST_CHILD_KG:
            yield [Found("child_mass_kg", mass, *m.span())]


_OF_A_BODY = form(
    r"\s(?:of\s)?(?:body\s?-?weight|rider\s?-?weight|rider\b|of me\b|myself)",
    catches=" body weight",
    leaves=" bike weight",
)


_ME_WITH_UNIT = form(
    r"\b(?<!for )(?<!costs )(?<!cost )(?<!gave )(?<!than )(?:me|myself),?\s(?:(?:at|about|is|weighs?)\s)?$",
    catches="bike 16 kg, me ",
    leaves="it cost me ",
)
_A_SUM_GOES_ON = form(
    r"\s(?:with (?:the )?(?:bike|bags?)|including|all[- ](?:up|in))\b",
    catches=" with the bike",
    leaves=" with winter gear",
)
_BIKE_THAT_WEIGHS = form(
    r"\b(?:bike|bicycle)\b(?:(?!\b(?:trailer|rack|carrier|seat|wheels?|who|she|he|i|we)\b)(?:[^.;?!]|\.(?=\d))){0,80}\b(?:and|that|which)\sweighs\s(?:about\s|only\s)?$",
    catches="a bike with 20x1.75 tyres that has a standover of 54 cm and weighs ",
    leaves="a bike for our girl who is six, and she weighs ",
)
_WITH_ITS_BATTERY = form(
    r"\swith\s(?:its|the)\s(?:\d+\s?wh\s)?battery\b",
    catches=" with its 418 wh battery",
    leaves=" with its bags",
)
_BAGS_WEIGH = form(
    r"\b(?:bags|panniers|luggage|baggage|camping gear|kit)\b[^.,;?!\d]{0,24}\s(?:at|weigh|weighed|are|is|come to)\s(?:about\s)?$",
    catches="bags which i weighed at ",
    leaves="bags and a bike at home, ",
)
_ALTOGETHER = form(
    r"\s(?:together|altogether|in total|combined|all told)\b", catches=" together", leaves=" to gether"
)
_LUGGAGE_AT = form(
    r"\s(?:of\s)?(?:luggage|baggage|bags|panniers|camping gear|gear|kit)\sat\s(?:about\s)?\d",
    catches=" luggage at 85",
    leaves=" luggage at home",
)


@at_numbers_only(_MASS)
def bodies(passage: Passage) -> Iterator[list[Found]]:
    """ "20 kg luggage at 85 kg body weight": the second is the rider's, though luggage stands beside it."""
    for m in passage.at_numbers(_MASS):
        if _OF_A_BODY.match(passage.text, m.end()) or (
            _ME_WITH_UNIT.search(passage.before(m.start(), 16))
            and not _A_SUM_GOES_ON.match(passage.text, m.end())
            and _kilograms(m) >= LIGHTEST_KG
        ):
            yield [Found("rider_mass_kg", _kilograms(m), *m.span())]
        elif (
            _kilograms(m) <= HEAVIEST_BICYCLE_KG and _BIKE_THAT_WEIGHS.search(passage.before(m.start(), 100))
        ) or _WITH_ITS_BATTERY.match(passage.text, m.end()):
            yield [Found("bike_mass_kg", _kilograms(m), *m.span())]
        # "Luggage at 85" isn't what the luggage weighs, where its weight stands before it.
        elif _LUGGAGE_AT.match(passage.text, m.end()) or (
            _ALTOGETHER.match(passage.text, m.end()) and _BAGS_WEIGH.search(passage.before(m.start(), 48))
        ):
            yield [Found("load_mass_kg", _kilograms(m), *m.span())]


_TWO_CHILDREN = form(
    r"\b(?:kids|children|toddlers|boys|girls|sons|daughters|grandchildren|little ones|twins)\b[^.?!\d]{0,24}(\d{1,2})\s?(?:kgs?\s?|kilos?\s?)?(?:and|&|\+|,)\s?(\d{1,2})\s?(?:kgs?|kilos?)\b",
    catches="carrying two kids, 18 and 22 kg",
    leaves="two kids, 18 and 22 inch wheels",
)
_CARRIED = form(
    r"\b(?:carry|carrying|carries|on the back|on board|aboard|behind me|in the (?:box|trailer)|with (?:my |our |the |both |two )+$|long-?\s?tail|cargo)",
    catches="carrying ",
    leaves="i have ",
)


def carried_children(passage: Passage) -> Iterator[list[Found]]:
    """ "Carrying two kids, 18 and 22 kg": together they are a load, and neither is the bicycle's weight."""
    if not passage.holds("kg", "kilo") or _CARRIED.search(passage.text) is None:
        return
    for m in passage.around(
        _TWO_CHILDREN,
        "kids",
        "children",
        "toddlers",
        "boys",
        "girls",
        "sons",
        "daughters",
        "grandchildren",
        "little ones",
        "twins",
    ):
        both = float(m[1]) + float(m[2])
        if max(float(m[1]), float(m[2])) <= HEAVIEST_CHILD_KG:
            yield [Found("load_mass_kg", both, m.start(1), m.end())]


_ME = form(
    r"\b(?:me|myself),?\s(?:at\s|about\s|is\s|with\s)?(\d{2,3})(?![\w.,]\d|\w|\s?(?:kgs?|kilos?|lbs?|pounds?|st\b|stone|years?|yrs?|cm|mm|km|miles?|psi|bar|%|on\s\d))",
    catches="wife 58 kg, me 83",
    leaves="me 83 cm",
)


_BICYCLE = form(
    r"\b(?:(?:bike|bicycle|tandem|e-?bike)(?:\s(?:itself|is|weighs|at|about|around|roughly|another|some|maybe|say|of)){1,3}|tandem)\s(\d{1,2}(?:[.,]\d)?)(?=(?:\s?(?:kgs?|kilos?))?(?:\s?[.,;)]|\s(?:and|with|plus)\b|\s?$))(?![.,]\d)",
    catches="my bike about 14, ",
    leaves="the bike is 14 years old",
)
_THINGS = form(
    r"\b(?:kit|gear|luggage|baggage|bags?|panniers)(?:\s(?:is|are|weighs?|at|about|around|roughly|another|some|maybe|say)){0,3}\s(\d{1,2}(?:[.,]\d)?)(?=\s?[.,;)]|\s(?:and|with|plus)\b|\s?$)(?![.,]\d)",
    catches="my kit about 8, ",
    leaves="the kit has 8 tools",
)
LIGHTEST_BICYCLE_KG, HEAVIEST_BICYCLE_KG = 5, 40


def beside_another(passage: Passage) -> Iterator[list[Found]]:
    """ "My wife is 58 kg, me 83, the bike about 15": a bare weight where the talk is of kilos."""
    if passage.holds("kg", "kilo") and not passage.holds("lbs", "pounds", "stone"):
        for m in passage.around(_ME, "me ", "me,", "myself"):
            if LIGHTEST_KG <= float(m[1]) <= HEAVIEST_KG:
                yield [Found("rider_mass_kg", float(m[1]), *m.span(1))]
        for m in passage.around(_BICYCLE, "bike", "bicycle", "tandem"):
            if LIGHTEST_BICYCLE_KG <= number(m[1]) <= HEAVIEST_BICYCLE_KG:
                yield [Found("bike_mass_kg", number(m[1]), *m.span(1))]
        for m in passage.around(_THINGS, "kit", "gear", "gage", "bag", "pannier"):
            if not passage.has_found("load_mass_kg"):
                yield [Found("load_mass_kg", number(m[1]), *m.span(1))]


_OF_OTHERS = form(
    r"\b(?:(?:people|folks?|someone|somebody|women|men)\s(?:of|at|weighing|who weigh|who are)|you\s(?:say\s|said\s|wrote\s|mention(?:ed)?\s)?(?:that\s)?(?:you\s)?(?:were|weighed))\s"
    r"(?:about\s|only\s|just\s|at\s|around\s|over\s)?$",
    catches="you say you were ",
    leaves="i say i was ",
)
_POUNDS_IN_A_STONE = form(
    r"\s(?:(?:to|in|per|makes?|make up)\s(?:a|the|one|1)\sstone|worth of)\b",
    catches=" to a stone",
    leaves=" to a gram",
)


LIGHTEST_KG, HEAVIEST_KG = 40, 190
_CHART_ENDS = form(
    r"\b(?:stops?|ends?|finish(?:es)?|goes?|go only|only go(?:es)?|runs? out)\s(?:at|with|up to|to)\s(?:about\s)?$",
    catches="the tables all stop at ",
    leaves="the scales stand at ",
)


@at_numbers_only(_STONE, _MASS)
def stones(passage: Passage) -> Iterator[list[Found]]:
    """ "12 stone 4", "17st 6lbs"; but "people of 60 kg" and "14 lbs to a stone" are no weight of the rider's."""
    passage.taken += [
        m.span()
        for m in (*passage.at_numbers(_MASS), *passage.at_numbers(_STONE))
        if _OF_OTHERS.search(passage.before(m.start(), 60)) or _POUNDS_IN_A_STONE.match(passage.text, m.end())
    ]
    for m in passage.at_numbers(_STONE):
        if _CHART_ENDS.search(passage.before(m.start(), 28)):
            passage.taken.append(m.span())
            continue
        if number(m[1]) > MOST_STONE:
            continue
        mass = number(m[1]) * STONE_KG + (float(m[2]) if m[2] else 0.0) * POUND_KG
        name = "child_mass_kg" if _is_a_childs(passage, m.start(), mass) else "rider_mass_kg"
        yield [Found(name, round(mass, 1), *m.span())]


_FRAME_NAMED = form(
    r"(4[4-9]|5\d|6[0-6])(?:[.,]5)?\s?(?:cm\b|centimet\w+)?[\s-]?(?:frames?|framesets?)\b(?!\s?(?:spokes|number))",
    catches="58cm frame",
    leaves="58 mm frame",
)
_FRAME_IS = form(
    r"\bframe(?:\ssize)?(?:'s)?\s(?:(?:is|was|of|size|measures|=|marked|says)\s){1,2}(?:an?\s)?$",
    catches="the frame size is a ",
    leaves="the frame takes ",
)
_FRAME_SIZE = form(r"(4[4-9]|5\d|6[0-6])\s?cm\b", catches="58 cm", leaves="58 mm")
_SIZES_ON_OFFER = form(
    r"(4[4-9]|5\d|6[0-6])(?:\s?cm)?(?:\s?(?:,|/|and|or|,\s?and|,\s?or|&|to)\s?(?:an?\s|the\s)?(?:4[4-9]|5\d|6[0-6])(?:\s?cm)?)+(?![\d.,]*\d|\s?(?:mm|kg|psi|t\b|teeth|spokes?|years?))",
    catches="50, 52 and 54",
    leaves="50, 72 and 84",
)
_OFFERED = form(
    r"\b(?:comes?|available|offered|sold|made|sells?|stocks?|has|have|got|offers?|between|choice of|choosing|deciding|torn between|sizes?|frames?|a|an|the)\s"
    r"(?:(?:it|them|only|sizes?|in|of|are|between|a|an|the|frame|frames|are:|the)\s){0,4}$",
    catches="it comes in sizes ",
    leaves="my tyre and rim are ",
)
_OF_A_LEG = form(
    r"\b(?:inseam|inside leg|legs?)\b[^.,;?!]{0,16}$", catches="my inside leg is a ", leaves="the frame is a "
)


@at_numbers_only(_FRAME_NAMED, _FRAME_SIZE, _SIZES_ON_OFFER)
def frame_sizes(passage: Passage) -> Iterator[list[Found]]:
    """ "83 inseam, is a 58 cm frame right": a frame's own size, and nobody's leg."""
    if passage.holds("size", "frame") and passage.holds("inseam", "leg", "tall", " cm", "height"):
        for m in passage.at_numbers(_SIZES_ON_OFFER):
            before = passage.before(m.start(), 48)
            # Which of them it is to be is the question, so none is the frame's size yet.
            if _OFFERED.search(before) and not _OF_A_LEG.search(before):
                passage.taken.append(m.span())
    if not passage.holds("frame"):
        return
    for m in passage.at_numbers(_FRAME_NAMED):
        yield [Found("seat_tube_length_mm", number(m[1]) * 10, *m.span(1))]
    for m in passage.at_numbers(_FRAME_SIZE):
        if _FRAME_IS.search(passage.before(m.start(), 30)):
            yield [Found("seat_tube_length_mm", number(m[1]) * 10, *m.span(1))]


_RIDER_PLUS_BICYCLE = form(
    rf"({PLAIN})\s?(?:kgs?|kilos?)?(?=\s?(?:plus|\+|and|with)\s(?:an?\s|the\s|my\s)?{PLAIN}\s?(?:kgs?|kilos?)\s(?:of\s)?(?:bikes?|bicycle|e-?bike))",
    catches="104 plus 9 kg bike",
    leaves="104 plus 9 kg of bags",
)
_A_PERSON_IS = form(
    r"\b(?:i'm|i am|im|me|i weigh|rider|rider is|weighing|at)\s(?:now\s|about\s|around\s)?$",
    catches="and i'm ",
    leaves="and mine ",
)


@at_numbers_only(_RIDER_PLUS_BICYCLE)
def riders_with_their_bicycles(passage: Passage) -> Iterator[list[Found]]:
    """ "I'm 104 plus 9 kg bike": both in the unit that is named once."""
    for m in passage.at_numbers(_RIDER_PLUS_BICYCLE):
        if _A_PERSON_IS.search(passage.before(m.start())):
            yield [Found("rider_mass_kg", number(m[1]), *m.span(1))]


_FOR_EACH_KILO = form(
    rf"({PLAIN})\s?(?:w|watts?)\s?(?:/|per|a|for each|for every)\s?(?:kg|kilo|kilogram)s?\b",
    catches="2.5 watts per kilo",
    leaves="250 watts and 70 kilo",
)
LEAST_FOR_A_KILO, MOST_FOR_A_KILO = 0.5, 7.0
"""What a person holds for long, from the frail to the best there are. [W/kg]"""


def watts_for_each_kilo(passage: Passage) -> None:
    """ "I hold 2.5 W/kg and weigh 70": power by the rider's own mass, once that was read."""
    masses = {found.value for found in passage.found if found.name == "rider_mass_kg"}
    if len(masses) != 1 or passage.has_found("rider_power_w"):
        return
    mass = masses.pop()
    for m in passage.around(_FOR_EACH_KILO, "kg", "kilo"):
        if isinstance(mass, float) and LEAST_FOR_A_KILO <= number(m[1]) <= MOST_FOR_A_KILO:
            passage.found.append(Found("rider_power_w", round(number(m[1]) * mass), *m.span()))

"""Numbers that say nothing of a bicycle: dates, prices, hours, telephone numbers, a person's age, a tool's size."""

from __future__ import annotations

import re
from collections.abc import Iterator

from triage.extract.forms import any_of, form
from triage.extract.numbers import PLAIN
from triage.extract.passage import Passage

_DATE = form(
    r"\d{1,4}[./-]\d{1,2}[./-](?:19|20)?\d\d(?![\d.,])|(?:19|20)\d\d-\d\d-\d\d\b",
    catches="03/11/2024",
    leaves="11-28 cassette",
)
_RINGS = form(
    r"[2-6]\d\s?[/-]\s?[2-5]\d\s?[/-]\s?[1-5]\d(?!\d)|[5-9]\s?/\s?\d{1,2}\s?/\s?\d{1,2}(?!\d)",
    catches="48/38/28",
    leaves="12/25",
)
_DAY = form(
    r"(?:0?[1-9]|1[0-2])\s?[-/]\s?(?:0?[1-9]|[12]\d|3[01])(?!\d|[.,/-]\d|\s?t\b|\s?teeth|\s?cassette)",
    catches="12/25",
    leaves="11-34t",
)
_ON_THAT_DAY = form(
    r"\b(?:met|meet|bought|dated|date|born|happened|broke|crashed|ordered|delivered|posted|arrived|sent|recorded|episode|"
    r"invoice|birthday|race|show)\b[^.?!\d]{0,24}\b(?:on|of|from|since|until|before|after|is|was|dated)\s(?:the\s)?$",
    catches="bought on ",
    leaves="runs on ",
)
_MONEY = form(
    rf"(?:[£$€¥]\s?{PLAIN}|(?<!\d){PLAIN}\s?(?:[£$€]|eur\b|euros?\b|quid\b|bucks\b|dollars?\b|pence\b|gbp\b|usd\b|chf\b))",
    catches="€45",
    leaves="45 mm",
)
_TELEPHONE = form(
    r"(?<!\w)\+?\d{2,5}[\s-]\d{3,5}[\s-]\d{3,5}(?!\w)|\b0\d{9,11}\b",
    catches="020 7946 0123",
    leaves="100 to 150",
)
_HOUR = form(
    r"\d{1,2}:\d\d(?::\d\d)?(?!\d)|\d{1,2}\s?(?:o'clock|a\.?m\b|p\.?m\b)|24\s?/\s?7\b|(?:10|5)0?\s?/\s?(?:10|5)0?\b(?!\s?(?:bar|psi))",
    catches="7 o'clock",
    leaves="24 mm",
)
_CALENDAR = form(
    r"(?:[23]?1st|[23]?2nd|[23]?3rd|(?:1[0-9]|[23]?[04-9])th)\b(?:\s(?:of\s)?(?:jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)\w*)?|"
    r"\d{1,2}\s(?:january|february|march|april|may|june|july|august|september|october|november|december)\b|"
    r"(?:19[3-9]|20[0-4])\d(?:'?s)?\b(?!\s?(?:km|miles?|m\b|mm|n\b|kpa|g\b|ml|rpm|w\b|watts?|metres?|meters?|feet|ft))"
    r"(?:\s(?:to|and)\s(?:19|20)\d\d)?",
    catches="25th of may",
    leaves="2000 m",
)
_LABELLED = form(
    r"\b(?:episode|page|room|bus|chapter|minute|version|usb|number|no\.|ticket(?: no\.?)?|platform|flat|size|top|step|series|"
    r"part number|serial(?: number| no\.?)?|reference(?: number)?|ref\.?|invoice(?: number| no\.?)?|tracking(?: number)?|parcel|postcode|code|"
    r"frame number|member(?:ship)?(?: number)?|order(?: number)?|house|channel|season|question|gear|covid|ip|article|tel|phone|age|aged|video|group|route|highway)\s?$",
    catches="episode ",
    leaves="cassette ",
)
_LABELLED_NUMBER = form(
    r"\d+(?:[.,-]\d+)*(?!\s?(?:mm|cm|psi|bar|kg|%|nm|teeth|t\b|inch|speed|lbs?|links?|-?\d*t\b))(?!\w)",
    catches="212",
    leaves="212mm",
)
_PRESSURE = form(
    r"\d{1,3}(?:[.,]\d)?\s?(?:psi|bars?)\b",
    catches="110 psi",
    leaves="110 mm",
)
_ANOTHER_RIDES = form(
    r"\b(?:bloke|mate|friend|guy|chap|buddy|brother|neighbou?r|colleague|people|everybody|everyone|he|she|they)\b(?:\s(?!(?:i|we|my|me|mine|our|says?|said|thinks?|told|that)\b)\w+){0,4}?"
    r"\s(?:runs?|rides?|uses?|pumps?(?:\s(?:his|hers|theirs|them))?|swears by)\s(?:(?:at|to|on|about|around|only|up|a)\s){0,2}$",
    catches="the bloke at the club runs ",
    leaves="my mate says that i run ",
)
_PUMP_REACHES = form(
    r"\bpump(?:['’]s)?\s(?:max(?:imum)?\s)?(?:is|goes|only goes|can go|will go|reaches|tops out|maxes out|is good|is rated)(?:\s(?:up|to|at|for|only|about)){0,3}\s$",
    catches="the pump only goes up to ",
    leaves="the pump says ",
)
_STRETCH = rf"{PLAIN}\s?(?:-|to)\s?{PLAIN}"
_CHART_LINE = form(
    rf"{_STRETCH}\s?(?:kgs?|lbs?)\s?(?:/\s?{_STRETCH}\s?(?:kgs?|lbs?)\s?)?[=:]\s?{_STRETCH}\s?(?:bars?|psi)(?:\s?/\s?{_STRETCH}\s?(?:bars?|psi))?\b",
    catches="60-70 kg = 5-6 bar",
    leaves="60-70 kg, 5-6 bar",
)
"""A line of a maker's chart is for riders of such a weight, whoever asks."""
_TRAFFIC = form(
    r"\d+(?:\s?(?:-|to)\s?\d+)?\s?(?:mph|km/h|kph|kmh)\s(?:cars?|vans?|lorry|lorries|traffic|roads?|zones?|limits?|winds?|gusts?|headwinds?)\b",
    catches="40mph traffic",
    leaves="40mph descents",
)
_GAP = r"(?:gap|space|clearance)"
_A_RULE = r"(?:recommended|magic|usual|suggested|standard|textbook|ideal|proverbial)"
_GAP_BY_RULE = form(
    rf"\d+(?:[.,]\d)?\s?mm\s(?:of\s)?{_GAP}\b",
    catches="3mm space",
    leaves="3 mm spacer",
)
_AS_A_RULE = form(
    rf"\b{_A_RULE}\s$",
    catches="the usual recommended ",
    leaves="i have a ",
)
_CALLED_A_RULE = form(
    rf"\d+(?:[.,]\d)?\s?mm\s(?:as\s)?the\s(?:\w+\s)?{_A_RULE}\s{_GAP}\b",
    catches="3 mm the magic gap",
    leaves="3 mm of gap",
)
_FEET = form(
    r"\d\s?(?:'|ft\b|feet\b|foot\b)\s?\d{0,2}(?:\s?(?:\"|''|in(?:ch(?:es)?)?\b))?(?!\s?(?:lbs?|pounds?)\b)|1?\d\d\s?cm\s(?:tall|in height)|1[.,]\d\d\s?m\stall",
    catches="5'10\"",
    leaves="35 ft lb",
)
_SMALL = form(
    r"(?:[89]\d|1[0-5]\d)\s?cm\s(?:tall|in height)|(?:0?[.,][89]\d|1[.,][0-5]\d)\s?m\stall|[34]\s?(?:'|ft\b|foot\b|feet\b)",
    catches="112 cm tall",
    leaves="178 cm tall",
)
CHILDREN = (
    "child",
    "kid",
    "twin",
    "toddler",
    "baby",
    " son",
    "daughter",
    " boy",
    " girl",
    "year old",
    "year-old",
    "grandson",
    " lad ",
    " lad's",
    " lass ",
)
_FEET_OF_HILL = form(
    r"\s?(?:of\s)?(?:climb|descen|drop|high|above|altitude|elevation|up\b)",
    catches=" of climbing",
    leaves=" tall",
)
_PEOPLE = (
    r"(?:people|riders?|persons?|members|men|women|kids|children|friends|bikes?|bicycles|locks?|reviews|stars?|times|questions?|"
    r"packages|bags|panniers|votes|percent of|guys|listeners|stages|others|laps|shops?|offers?|more|of (?:us|them|my|the)|for \d)"
)
_COUNT = form(rf"\d+(?:\s?(?:-|to)\s?\d+)?\s{_PEOPLE}\b", catches="10-12 people", leaves="12 links")
_AGE = form(
    r"\d{1,2}[\s-](?:years?|yrs?|months?)?[\s-]?old(?:\s(?:son|daughter|boy|girl|kid|child|nephew|niece|grandson|lad|man|woman|rider|who|to|on|can|rides|riding|wants)\b)?",
    catches="8 year old son",
    leaves="8 years of use",
)
_ITEM = form(r"[1-9]\)", catches="2)", leaves="2 mm)")
_ENDS_IN_99 = form(
    r"(?!28[.,]99)\d{1,4}[.,]99(?![\w%°\"]|\s?(?:mm|kg|kilos?|km|psi|bar|in\b|inch|to\s\d|[-–]\s?\d))",
    catches="39.99 so is it worth it",
    leaves="39.9 mm",
)
"""A figure that stops a hundredth short is a price; one axle's is not."""
_SPENT = form(
    r"\b(?:spent|paid|charged|quoted)\s(?:me\s|us\s|him\s|her\s|about\s|over\s|just\s|only\s|nearly\s){0,2}$",
    catches="and spent ",
    leaves="i was charged for ",
)
_BARE_SUM = form(
    r"\d{2,4}(?=\s?(?:[.,;!?)](?!\d)|$|\s(?:for|on|with|in|and)\b))", catches="400. ", leaves="400 mm"
)
_DECADE = form(r"(?:19|20)?[0-9]0['’]?s\b", catches="80's", leaves="80 mm")
_IN_THAT_DECADE = form(
    r"\b(?:the|my|his|her|our|their|in|early|mid|late|from|since)[\s-]$",
    catches="in my ",
    leaves="but want ",
)
_PERSON = form(
    r"\b(?:i'm|i am|im|he's|she's|he is|she is|he|she|(?:son|daughter|boy|girl|kid|child|wife|husband|dad|father|mother)(?:'s| is)?)\s?(?:now |about |only |nearly |almost )?$",
    catches="i am ",
    leaves="frame is ",
)
_BARE_AGE = form(
    r"\d{1,2}(?=\s(?:and|with|with dodgy|years young)\b|[,.](?!\d)|$)",
    catches="61 with dodgy knees",
    leaves="61 kg",
)
_AGE_NOW = form(
    r"[2-9]\d(?=\s(?:now|next|this (?:year|month|week)|years young|in (?:january|february|march|april|may|june|july|august|september|october|november|december))\b(?!\s?(?:kg|kilos?)))",
    catches="62 now",
    leaves="62 kg now",
)
_TOOL = form(
    rf"{PLAIN}\s?(?:mm|millimetre)?[\s-]?(?:allen|hex|spanners?|wrench(?:es)?|sockets?|drills?|torx|screwdriver|cone spanner|hex key)\b",
    catches="5 mm hex key",
    leaves="5 mm spacer",
)
_OUTING = form(
    rf"{PLAIN}\s?(?:k|kms?|kilomet(?:re|er)s?|miles?|mi)[\s-](?:(?:long|club|charity|gravel|road|mountain|weekend|training|day|hilly|flat)\s)?"
    r"(?:ride|rides|sportive|race|races|time trial|tt\b|audax|loop|commute|tour|trip|route|round|event|brevet|run|climb|descent|"
    r"each way|a day|per day|daily|a week|per week|weekly|a month|per month|away|from (?!new\b|then\b|that\b)[a-z]+|to (?:work|go|school)|on foot|there and back|of (?:gravel|cobbles|climbing)|without|over the weekend|(?:is|was) (?:too far|a long way)|(?:still\s|left\s)?to go\b|of (?:motorway|road)\b)",
    catches="100 mile sportive",
    leaves="100 miles on this chain",
)
_RATE = form(
    rf"{PLAIN}\s?(?:k|kms?|miles?|hours?)\s?/\s?(?:d(?:ay)?|w(?:ee)?k?|month|m)\b",
    catches="60 km/week",
    leaves="60 km/h",
)
_OUTING_BEFORE = form(
    r"\b(?:ran|walked|drove|flew|limped|pushed it|rode home|a ride of|trip of|for the last|for another|the next)\s(?:about |some |another )?$",
    catches="ran ",
    leaves="after ",
)
_HEIGHT_BEFORE = form(
    r"\d\s?(?:m|met(?:re|er)s?|ft|feet)\s(?:over|in|within|on)\s(?:about\s|only\s|just\s)?$",
    catches="350 metres over ",
    leaves="350 metres from ",
)
_WAY = form(
    rf"{PLAIN}\s?(?:k|kms?|kilomet(?:re|er)s?|miles?)\b(?!\s?(?:/|an hour|per hour))",
    catches="15 km",
    leaves="15 km/h",
)
_OPINION = form(
    r"\d{1,3}\s?(?:%|percent|per cent)\s?(?:sure|certain|agree|off\b|of (?:the )?(?:people|riders|my|us|you|all|cases|time|it)|happy|right|recycled|discount|cotton|better|cheaper|more|less|faster|the time)",
    catches="99 % sure",
    leaves="0.75 % worn",
)
_DURATION = form(
    r"\d+(?:\s?(?:-|to)\s?\d+)?\s(?:days|nights|hours?|minutes?|mins?|weeks?)(?=\s(?:show|a year|a week|ago|video|later|now|drive|job|each|i |we ))",
    catches="60 minute show",
    leaves="2 days after",
)
_STREET = form(
    r"\d{1,4}(?:-\d+)?[a-c]?,?\s(?:the\s)?(?:\w+\s)?(?:street|road,|lane|avenue|close,|drive,|way,|square,|high street)\b",
    catches="28 mill lane",
    leaves="28 mm",
)
_POWERED = form(
    r"\d+\s?-?(?:w|watts?)[\s-](?:(?:front|rear|wheel|hub|mid|drive|geared|direct|crank|brushless|electric|rated|nominal|assist|e-?bike|mid-?drive|legal)[\s-]){0,4}"
    r"(?:bulbs?|lamps?|lights?|motors?|hub drives?|chargers?|laser|heaters?|iron|drill|led|(?:(?!on\b|at\b|with\b|and\b|my\b|from\b|for\b|to\b)[\w-]+\s){0,2}(?:e-?bike|pedelec))\b",
    catches="100 watt bulb",
    leaves="250 watts for an hour",
)
_OF_A_MOTOR = form(
    r"(?<!without )(?<!without the )\b(?:motors?|mid-?drive|hub drive|drive unit)(?:['’]s)?(?:\s(?:is|of|has|does|pulls|delivers|with|rated|nominally|at|for|gives|makes|puts out|says|only|just|a|about)){0,4}\s$",
    catches="the motor is rated at ",
    leaves="my power without the motor ",
)
_WATTS = form(
    r"\d+\s?-?(?:w|watts?|nm|n m|newton[\s-]met(?:re|er)s?)\b(?!\s?h)", catches="250 w", leaves="250 wh"
)
_SO_MANY_OF = form(
    r"[1-9]\d?\sof\s[1-9]\d?\b(?=\s?[.,;?!)]|$|\s(?:was|were|is|are|has|have)\b)",
    catches="3 of 7",
    leaves="3 of 36 spokes",
)
_PRICE = form(
    rf"{PLAIN}(?![.,]?\d)(?!\s?(?:-|–|to\b|x\b|/)\s?\d)(?!\s?(?:mm|cm|m\b|km|k\b|miles?|kgs?|kilos?|lbs?|g\b|psi|bars?|nm|n\b|w\b|wh|watts?|teeth|t\b|%|\"|inch|links?|spokes?|speed|minutes?|hours?|days|seconds?|degrees?))",
    catches="240",
    leaves="240 mm",
)
_COSTS = form(
    r"\b(?:costs?|paid|pays?|charges?|charged|quotes?|quoted|spent|priced at|on sale (?:for|at)|sold for|going for|(?:reduced|down) from|price is|"
    r"(?:shop|dealer|lbs|garage|mechanic|fitter|seller|builder|they|he|she)\s(?:asks|asked|wants|wanted))\s(?:(?:me|us|about|around|only|just|over|under|nearly|another|some)\s){0,2}$",
    catches="the garage quoted ",
    leaves="the price of ",
)
"""What is paid has no unit as often as not."""
_TAPE_IS = form(
    r"\btape\b(?:\s(?:i|we|bought|got|have|used|itself|on|it)){0,3}\s(?:is|was|of|measures)\s$",
    catches="the tape i bought is ",
    leaves="i measured by tape, it is ",
)
_PARCEL = form(
    rf"{PLAIN}(?:\s?cm)?\s?(?:x|by)\s?{PLAIN}(?:\s?cm)?\s?(?:x|by)\s?{PLAIN}\s?(?:cm|centimet(?:re|er)s?|inch(?:es)?)?(?![\w/])",
    catches="60 by 40 by 20 cm",
    leaves="60 by 40 cm",
)
_WHEEL_LOAD = form(
    rf"{PLAIN}\s?(?:kg|kilos?|lbs?|pounds?)\s(?:rests? |stands? |presses )?(?:on|over)\s(?:the|my|its)\s(?:front|rear|back)\s(?:wheel|axle)\b",
    catches="96 kg on the back wheel",
    leaves="96 kg on the bike",
)
_A_MOVE = form(r"\d+(?:[.,]\d)?\s?mm\b", catches="4mm", leaves="4 teeth")
_MOVED_BY = form(
    r"\b(?:pads?|blocks?|shoes?)\s(?:\w+\s){0,2}(?:up|down|in|out|inwards?|outwards?|lower|higher|over)\s(?:by\s)?(?:about\s|only\s|around\s|some\s|another\s)?$",
    catches="adjust the brake pads down by ",
    leaves="the pads are down to ",
)
"""How far blocks are moved is not how thick they are."""
_ABOUT_TURNS = form(
    r"\d+(?:[.,]\d+)?\s(?:full\s|quarter\s|half\s)?turns?\b", catches="2 turns", leaves="2 teeth"
)

_FRAME_LABEL = form(
    r"(?:4[4-9]|5\d|6[0-5])(?:\s?cm)?(?=\s(?:frame\s|bike\s)?(?:too (?:big|small|large|tall)|(?:be\s)?(?:the|my) (?:right )?size|right for me|big enough|small enough))",
    catches="54 too big",
    leaves="54 teeth",
)
_OF_A_RIDER = ("inseam", "inside leg", "inside-leg", "tall", "height", "frame", "5ft", "6ft", "5'", "6'")
_TYRE_DROP = form(
    rf"{PLAIN}\s?(?:%|percent|per cent|pct)?\s(?:tyre|tire)\s(?:deflection|drop|sag|squash)\b",
    catches="15 tire deflection",
    leaves="28 tyre clearance",
)
"""How far a tyre is let down under the rider is none of its measures."""
_WEIGHT_SHARE = form(
    r"(?:[3-6]\d)\s?(?:/|-|:|to)\s?(?:[4-7]\d)\s?%?\s(?:(?:front|rear|back)\s?(?:/|and|to)\s?(?:front|rear|back)\s)?(?:weight\s)?(?:distribution|split|balance)\b",
    catches="40/60 front/rear weight distribution",
    leaves="40/60 psi",
)
"""How the weight is shared between the wheels is nobody's weight."""
_THICK = form(
    rf"{PLAIN}(?:/\d+)?\s?(?:mm|\"|in(?:ch(?:es)?)?\b)\s(?:thick|thickness)\b",
    catches='1/4" thick',
    leaves='1/4" out',
)
_HANGER_IS = form(
    r"\bhanger(?:['’]s|\sis|\sof|\s)?\s?(?:about\s|only\s|a\s)?$",
    catches="this hanger is ",
    leaves="rotor is ",
)
_SUM = form(
    rf"{PLAIN}(?:\s?(?:mm)?\s?[-+*/]\s?{PLAIN})+\s?(?:mm)?\s?=\s?{PLAIN}",
    catches="54-41=13",
    leaves="54-41 = two rings",
)
"""The figures of a sum are worked out from others."""
_PLAINLY_ASIDE = (
    _DATE, _MONEY, _TELEPHONE, _HOUR, _AGE, _TOOL, _OUTING, _RATE, _OPINION, _COUNT, _STREET, _POWERED, _DURATION, _CALENDAR,
    _ABOUT_TURNS, _PARCEL, _WHEEL_LOAD, _TYRE_DROP, _DECADE, _WEIGHT_SHARE, _SO_MANY_OF,
    _CHART_LINE, _TRAFFIC, _SUM, _ENDS_IN_99,
)  # fmt: skip
_ANY_ASIDE = any_of(*_PLAINLY_ASIDE)


def set_asides_apart(passage: Passage) -> None:
    """Mark every stretch that is no figure of a bicycle as spoken for."""
    for start, end in _asides(passage):
        if passage.is_free(start, end):
            passage.taken.append((start, end))


def _asides(passage: Passage) -> Iterator[tuple[int, int]]:
    text = passage.text
    for start in passage.starts:
        if _RINGS.match(text, start) and not _SUM.match(text, start):
            continue
        # "(1) why it creaks and (2) the spacers": items are counted, and no spacers.
        if (
            passage.holds("(1)")
            and passage.holds("(2)")
            and text.startswith("(", max(0, start - 1))
            and _ITEM.match(text, start)
        ):
            yield start, start + 1
            continue
        yield from _at_number(passage, start)
    if passage.holds("£", "$", "€", "+"):
        for pattern in (_MONEY, _TELEPHONE):
            for match in passage.around(pattern, "£", "$", "€", "+"):
                yield match.span()


def _at_number(passage: Passage, start: int) -> Iterator[tuple[int, int]]:
    text, before = passage.text, passage.before(start, 48)
    feet = _FEET.match(text, start)
    small = feet is not None and _SMALL.match(text, start) is not None and passage.holds(*CHILDREN)
    if feet is not None and not small and not _FEET_OF_HILL.match(text, feet.end()):
        yield feet.span()
    for pattern in (_GAP_BY_RULE, _CALLED_A_RULE) if passage.holds("steerer", "top cap", "stem") else ():
        # What everybody says a gap should be is not the gap that the rider has.
        match = pattern.match(text, start)
        if match is not None and (pattern is _CALLED_A_RULE or _AS_A_RULE.search(before)):
            yield match.span()
    watts = _WATTS.match(text, start)
    if watts is not None and _OF_A_MOTOR.search(before):
        yield watts.span()
    theirs = _PRESSURE.match(text, start)
    if theirs is not None and (_ANOTHER_RIDES.search(before) or _PUMP_REACHES.search(before)):
        yield theirs.span()
    for pattern in _PLAINLY_ASIDE if _ANY_ASIDE.match(text, start) else ():
        match = pattern.match(text, start)
        if match is not None and pattern is _PARCEL and passage.holds("bearing"):
            continue
        if match is not None and pattern is _COUNT and match.group().endswith("them") and "spoke" in before:
            continue
        if match is not None and pattern is _COUNT and match.group().endswith("more") and "spacer" in text:
            continue
        if match is not None and pattern is _ABOUT_TURNS and passage.holds("thread", "stripp"):
            continue
        if match is not None and pattern is _DECADE and _is_of_tyres(passage, match.group(), before):
            continue
        if match is not None and pattern is _DURATION and _is_between_readings(match, passage):
            continue
        if match is not None and not (
            pattern is _AGE and not _is_of_a_person(match.group(), before, passage.after(match.end(), 6))
        ):
            yield match.span()
    for bare in (_COSTS, _TAPE_IS):
        price = _PRICE.match(text, start) if bare.search(before) else None
        if price is not None:
            yield price.span()
    day = _DAY.match(text, start)
    if day is not None and _ON_THAT_DAY.search(before):
        yield day.span()
    label = _FRAME_LABEL.match(text, start)
    if label is not None and passage.holds(*_OF_A_RIDER) and not passage.holds("chainring", "teeth", "tooth"):
        yield label.span()
    labelled = _LABELLED_NUMBER.match(text, start)
    if labelled is not None and _LABELLED.search(before):
        yield labelled.span()
    now = _AGE_NOW.match(text, start)
    if now is not None and _PERSON.search(before):
        yield now.span()
    age = _BARE_AGE.match(text, start)
    if age is not None and _PERSON.search(before) and not passage.holds("kg", "kilo", "weigh"):
        yield age.span()
    thick = _THICK.match(text, start)
    if thick is not None and _HANGER_IS.search(before):
        yield thick.span()
    spent = _BARE_SUM.match(text, start)
    if spent is not None and _SPENT.search(before):
        yield spent.span()
    move = _A_MOVE.match(text, start)
    if move is not None and _MOVED_BY.search(before):
        yield move.span()
    way = _WAY.match(text, start)
    if way is not None and (
        _HEIGHT_BEFORE.search(before) or _OUTING_BEFORE.search(before) or _is_a_stage(way.group(), before)
    ):
        yield way.span()


def _is_between_readings(duration: re.Match[str], passage: Passage) -> bool:
    """ "Three days later I read 55 psi": the time that a leak took."""
    return passage.after(duration.end(), 6) == " later" and passage.holds("psi", "bar", "pressure")


def _is_of_tyres(passage: Passage, decade: str, before: str) -> bool:
    """ "I have 40s on but want 30s" tells of tyres, "since the 80s", "in my 50s" and "1990s" of years."""
    return (
        len(decade) == 3
        and passage.holds("tyre", "tire", "tub", "rubber", "rim")
        and not _IN_THAT_DECADE.search(before)
    )


STAGE_KM = 60
"""A climb goes on for so many kilometres; what a chain was ridden for is more."""


def _is_a_stage(way: str, before: str) -> bool:
    figures = re.match(r"\d+", way)
    return (
        before.endswith("for ")
        and figures is not None
        and int(figures.group()) <= STAGE_KM
        and "k km" not in way
    )


_ONE_SO_OLD = form(
    r"\b(?:my|our|her|his|an?|the|for)\s$", catches="a bike for my ", leaves="a frame that is "
)


def _is_of_a_person(words: str, before: str, behind: str) -> bool:
    """Whether a person is so old; "for my 4-year-old." leaves out which."""
    if words[-1] != "d" or _PERSON.search(before):
        return True
    return _ONE_SO_OLD.search(before) is not None and (not behind.strip() or behind[0] in ".,;?!)")

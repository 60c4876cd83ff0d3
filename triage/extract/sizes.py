"""Sizes of tyres and rims: the ISO marking, the French names, inches with decimals or fractions, and bare widths."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import lru_cache

from knowledge import tables
from triage.extract.forms import form
from triage.extract.numbers import number
from triage.extract.passage import Found, Passage, at_numbers_only
from triage.extract.units import INCH_MM

_BEAD_SEATS = (
    "203|254|305|317|330|340|349|355|369|381|384|390|400|406|419|428|432|438|440|451|457|484|489|490|498|501|"
    "507|520|531|534|540|541|547|559|571|584|587|590|597|609|622|630|635|642|686|787"
)
_WHEELS = r"12|16|18|20|24|26|27[.,]5|27|28|29|32|36"
_WHEEL_NAMES = {
    "12": 203, "16": 305, "18": 355, "20": 406, "24": 507, "26": 559, "27.5": 584, "27": 630, "29": 622, "28": 622,
    "32": 686, "36": 787,
}  # fmt: skip
_INCH = r"(?:\"|''|″|\s?inch(?:es)?|\s?in\b|er\b)"
_WIDTH_INCH = r"[1-5][.,]\d{1,3}"
_TYRE_WORD = (
    r"(?:tyres?|tires?|tyers?\b|tyes\b|tubs?\b|tubulars?|clinchers?|slicks?|rubber|knobbl(?:y|ies)|reifen)"
)
_KIND_OF_TYRE = r"(?:(?:tubeless|gravel|winter|road|summer|slick|knobbly|mountain|mtb|trail|enduro|balloon|cargo|city|new|folding|wide|fat|studded|cyclocross|cx|touring|old|front|rear|slicker)\s){0,2}"

_TYRE_ISO = form(rf"(\d{{2,3}})\s?[-x/]\s?({_BEAD_SEATS})(?!\d|[.,]\d)", catches="28-622", leaves="11-34")
_RIM_ISO = form(
    rf"({_BEAD_SEATS})\s?[-x]\s?(\d{{2}}(?:[.,]\d)?)\s?(?:c|tc|tss|ss)?(?!\w)",
    catches="622x19c",
    leaves="700x28c",
)
_TYRE_FRENCH = form(
    r"(700|650)\s?(?:([abcd])\s?)?[x*/-]\s?(\d{2}(?:[.,]\d)?)(?:-\d{2})?\s?(?:mm|([abcd]))?(?!\w|[.,]\d)",
    catches="700 x 35c",
    leaves="700 g",
)
_TYRE_FRACTION = form(
    rf"({_WHEELS}){_INCH}?\s?(?:[x*]|(?:and|by)(?=\s\d\s?[-\s]\s?\d/\d))\s?((?:\d\s?[-\s]\s?)?\d/\d{{1,2}}){_INCH}?(?!\d)"
    r"(?:\s?[x*]\s?((?:\d\s?[-\s]\s?)?\d/\d{1,2})(?!\d))?",
    catches="26 x 1 3/8",
    leaves="26x1.75",
)
"""Of three figures, as in 28 x 1 5/8 x 1 3/8, the older name of a 37-622, the smaller of the last two is the width."""
_TYRE_INCH = form(
    rf"({_WHEELS}){_INCH}?\s?[x*]\s?({_WIDTH_INCH}|[2345])(?!\d|[.,]\d){_INCH}?",
    catches="29x2.4",
    leaves="3x9",
)
_TYRE_INCH_BARE = form(
    rf"({_WIDTH_INCH})\s?(?:\"|''|″|-?\s?inch)?\s?{_KIND_OF_TYRE}{_TYRE_WORD}",
    catches="2.3 tyres",
    leaves="2.3 bar",
)
_INCH_WIDE = form(
    r"([1-5][.,]\d{1,2})\s?(?:\"|''|″|-?\s?inch(?:es)?)?\swide\b(?!\s(?:bars?|handlebars?|saddle|rims?|hubs?|chain))",
    catches="4.0 wide",
    leaves="4.0 wide bars",
)
_WIDE_OF_ANOTHER = re.compile(
    r"\b(?:bars?|handlebars?|saddles?|seats?|hubs?|rims?|chains?|pedals?|garage|shed)\s(?:\w+\s){0,2}$"
)
_INCH_ON_WHEEL = form(
    r"([1-5][.,]\d{1,2})\s?(?:\"|''|″)?(?:\s\w+)?\s?(?:29er|27[.,]5|650b|26er|29\")",
    catches="2.3 29er",
    leaves="2.3 mm",
)
_WHEEL_NAMED = form(
    r"(26|27[.,]5|29)(?:\s?\+(?=\s|[,.;?!]|$)|\"|''|″|[\s-]?inch(?:er|es)?\b|er\b)(?!\s?(?:x|\*|\d|(?:\w+\s)?(?:frame|inseam|seat|inside leg|from|long|tall|above|bars?|handlebars?)))",
    catches='26" wheel',
    leaves="26 inch frame",
)
_NO_WHEEL_BEHIND = r"(?!\s?(?:x|\*|\d|(?:\w+\s)?(?:frame|inseam|seat|inside leg|from|long|tall|above|bars?|handlebars?|roller|screen)))"
_ROAD_WHEEL_NAMED = form(
    rf"(27|28)(?:\"|''|″|[\s-]?inch(?:es)?\b){_NO_WHEEL_BEHIND}", catches='27" wheel', leaves='27"x1 1/4'
)
_OTHER_WHEELS = form(
    r"\b(?:700\s?c|650\s?[abc])\b|\b26(?:\"|''|″|[\s-]?inch(?:es)?\b)",
    catches="to 700c wheels",
    leaves="700 g",
)
_FRAME_BY_WHEEL = form(
    r"26(?:\"|''|″|[\s-]?inch(?:es)?)?\s(?:\w+\s){0,3}(?:frame|bike|hardtail|mtb)\b",
    catches='26" steel mtb frame',
    leaves="26 inch wheel",
)
_WHEELS_IN_IT = form(
    r"\b(?:wheels?|wheelset|rims?)\s(?:\w+\s){0,2}(?:in|into|on|inside)\s(?:an?|my|the|his|her|this|our)\s(?:old\s)?$",
    catches="28 inch wheels in a ",
    leaves="wheels of a ",
)
_DEEP_RIM = form(
    r"(3[5-9]|[4-9]\d)\s?mm\s(?:deep\s)?(?!wide\b)(?:(?!(?:tyres?|tires?|on|for|in|with|and|to)\b)[\w'-]+\s){0,3}(?:rims?|wheels|wheelset)\b",
    catches="46mm carbon style rims",
    leaves="40 mm tyres on rims",
)
_OF_A_LEG = form(
    r"\b(?:inseam|inside leg|leg|legs|waist|saddle height|stand ?over|height|i'm|i am)\s(?:(?:is|of|are|measures|about|=|a|length)\s?){0,3}$",
    catches="my inseam is ",
    leaves="my bike is ",
)
_OFF_ROAD = ("mtb", "mountain", "downhill", "dirt jump", "trail bike", "hardtail", "rigid")
_TYRE_C = form(r"(1[89]|[2-5]\d|6[0-2])c(?!\w)", catches="28c", leaves="28 cm")
_TYRE_PLURAL = form(
    rf"(1[89]|[2-5]\d|6[0-2])(?:'?s(?![\w-]|\sof\b)|(?=\s?(?:mm\s)?{_KIND_OF_TYRE}{_TYRE_WORD}))",
    catches="28s",
    leaves="28 spokes",
)
_RIM_INNER = form(
    r"(\d+(?:[.,]\d+)?)(?:\s?(?:mm)?\s?(?:-|to|and|or)\s?(\d+(?:[.,]\d+)?))?\s?(?:m{2,3}|c)?[\s-]*(?:wide\s)?(?:inside|internal(?:ly)?|inner|int\b\.?|id\b)(?!\s(?:leg|ring|tube|chainring|diameter|plates?|the (?:frame|tube|post|steerer)))",
    catches="19 internal",
    leaves="34 inner ring",
)
_RIM_INNER_BEFORE = form(
    r"(?:internal(?:ly)?(?:\srim)?(?:\swidth)?|inner(?:\srim)?\swidth|inside(?:\srim)?\swidth|\biw|between the hooks(?: i measure| it(?:'s| is))?)"
    r"\s?(?:of|is|are|=|:|about|around|approx\.?|measures|on\s\w+\s\w+\sis)*\s?(\d+(?:[.,]\d+)?)(?!\d|\s?x|/|[\s-]?(?:speeds?|gears?)\b)",
    catches="internal width of 17,5",
    leaves="internal cable",
)
_RIM_OUTER = form(
    r"(\d+(?:[.,]\d+)?)\s?(?:mm)?[\s-]*(?:wide\s)?(?:outside|external(?:ly)?|outer|ext\b)(?!\s(?:diameter|ring|chainring|temperature|cable|the|cup|tube|it))",
    catches="24 mm outside",
    leaves="24 mm outside diameter",
)
_RIM_C = form(
    r"(1[3-9]|2\d|30)\s?c(?!\w|\s?(?:max|x|tyre|tire))",
    catches="19c",
    leaves="28c tyres",
)
_OF_RIMS = form(
    r"\s(?:(?!(?:on|for|with|to|and|or|in|my|the)\b)\w+\s)?rims?\b", catches=" road rims", leaves=" holes"
)
_RIMS_ARE = form(
    r"\brims?\s(?:(?:are|is|says?|marked|stamped|reads?)\s(?:an?\s)?)?$",
    catches="my rim says ",
    leaves="rims take ",
)
# "On I-40" is a road, "on i-25 rims" are rims.
_I_WIDTH = form(
    r"(?<![\w-])(?!(?:(?<=\bon )|(?<=\boff )|(?<=\bthe )|(?<=\balong )|(?<=\bdown )|(?<=\bto ))i-\d\d(?!\s?(?:mm\s)?rims?\b))"
    r"i-?(1[5-9]|[2-4]\d)(?:\s?mm)?(?![\w-])",
    catches="i25",
    leaves="on i-25",
)
_RIM_BARE = form(
    r"(1[3-9](?:[.,]\d)?|2\d(?:[.,]\d)?|30)\s?mm[\s-](?:wide\s)?(?:\w+\s)?rims?\b(?!\s(?:wall|depth|tape|brake|strip|hole))",
    catches="21 mm rim",
    leaves="50 mm rim",
)
_RIM_HOOKLESS = form(
    r"(1[5-9](?:[.,]\d)?|[2-4]\d(?:[.,]\d)?)\s?(?:mm)?\s(?:wide\s)?(?:hookless|straight[- ]side(?:d)?)\b(?![\s-](?:\w+\s)?(?:tyres?|tires?|ready|compatible|rated|tubeless))",
    catches="25 mm hookless",
    leaves="28 mm hookless tyre",
)
_MEASURED_OUT = form(
    r"\d{2}(?:[.,]\d)?\s?mm\b(?!\s(?:wide\s)?(?:rim|inside|inner|internal))", catches="26mm", leaves="26 inch"
)
_COMES_OUT_AT = form(
    r"\b(?:measur(?:e|es|ed|ing)|plump(?:s|ed)? up|blow(?:s|n)? up|com(?:e|es|ing)|balloon(?:s|ed)?)\s(?:up\s|out\s)(?:to|at|as|nearer)\s"
    r"(?:about\s|around\s|nearly\s|almost\s|a\s|over\s)?$",
    catches="the tyres measure out to ",
    leaves="the rims measure ",
)
_NOW_AND_WANTED = form(
    r"\b(?:now|currently|at the moment)\s(?:an?\s|on\s|it'?s\s|is\s|are\s|has\s)?(1[89]|[2-5]\d|6[0-2])(?:'?s|c)?(?:\s?mm)?(?![\w/%]|[.,]\d|\s?(?:psi|bar|kg|spokes?|t\b|teeth))"
    r"[^.?!]{0,60}?\b(?:want|like|wish for|hoping for|hope for|thinking of|go to|going to|go up to|fit|try)\s(?:an?\s|some\s|the\s|to\s|fit\s|run\s|try\s){0,3}"
    r"(1[89]|[2-5]\d|6[0-2])(?:'?s|c)?(?:\s?mm)?(?![\w/%]|[.,]\d|\s?(?:psi|bar|kg|spokes?|t\b|teeth))",
    catches="now 28, gap 5 mm, want 32",
    leaves="now 28 psi, want 32 psi",
)
_BARE_WHEEL = form(
    r"(700\s?c|650\s?[abc]|700\s?[ad]|29er|27[.,]5(?:er|\"|″|\s?inch|\s(?:wheels?|inch|bike|frame|fork|rims?|mtb|hardtail))|29(?:\"|″|[\s-]?inch|\s?in)?\s(?:wheels?|bike|frame|fork|rims?|mtb|hardtail))(?!\w|\s?x)",
    catches="650b",
    leaves="650 g",
)
_SEAT_ALONE = form(
    rf"(?:bead seat(?:\s?diameter)?|bsd|etrto|iso)\s?(?:of|is|=|:)?\s?({_BEAD_SEATS})(?![\d-])",
    catches="bead seat 584",
    leaves="bead seat is",
)
_SEAT_BEFORE_RIM = form(
    r"(203|254|305|349|355|406|451|507|520|540|559|571|584|590|597|622|630|635|642)(?=\s?(?:mm\s)?(?:(?:mm)?(?:\s(?:and|or|to|versus|vs)|,|/)\s?(?:[256]\d\d)\s?(?:mm\s)?)?(?:bsd\b|rims?|wheels?|tyres?|tires?|clinchers?)\b)",
    catches="305 rim",
    leaves="305 spokes",
)
_TYRE_CHANGE = form(
    r"(?:a\s)?(1[89]|[2-5]\d|6[0-2])'?s?(?:\s?(?:mm|c))?\s(?:tyres?\s|tires?\s)?(?:to|up to|down to|for)\s(?:an?\s)?(1[89]|[2-5]\d|6[0-2])(?:'?s|c)?(?![\d.,/-]|\s?(?:psi|bar|kg|%))"
    rf"(?=(?:\s?mm)?\s?(?:\w+\s){{0,2}}{_TYRE_WORD}|(?<=s)(?:[\s.,;?!]|$))",
    catches="25s to 28 mm tyres",
    leaves="38 to 42 psi",
)
_END_FRONT = r"(?:up front|in front|(?:at|on|in) (?:the |my )?front|for the front|front)"
_END_REAR = r"(?:out back|behind|(?:at|on|in) (?:the |my )?(?:rear|back)|for the (?:rear|back)|rear|back)"
_END = rf"(?:{_END_FRONT}|{_END_REAR})"
_ONE_WIDTH = r"(1[89]|[2-5]\d|6[0-2]|[12][.,]\d{1,2})(?:[.,]\d)?"
_ONE_TYRE = rf"(?:\s?(?:mm|c|s|\"|''|inch(?:es)?))?(?:\s{_KIND_OF_TYRE}{_TYRE_WORD})?"
_NO_PRESSURE = r"(?!\s?(?:psi|bar|kg|t\b|teeth|%|spokes?|holes?))"
_WIDTHS_THEN_ENDS = form(
    rf"{_ONE_WIDTH}{_NO_PRESSURE}{_ONE_TYRE}\s({_END})\b(?:\s(?:{_TYRE_WORD}|wheel))?(?:\s?(?:,|;|/|and|&|with|but|plus|then|an?|i have|(?:i\s)?(?:want\sto\s)?keep|there'?s|it'?s)\s?){{0,3}}\s?"
    rf"(?:an?\s)?{_ONE_WIDTH}{_NO_PRESSURE}{_ONE_TYRE}\s({_END})\b(?!\s?(?:psi|bar)\b)",
    catches="25 mm tyre on the front and a 28 mm tyre on the back",
    leaves="28 psi in front and 30 psi at the back",
)
_END_THEN_WIDTH = form(
    rf"\b({_END})\s(?:tyre |tire |wheel |one |is |has |a |an |with |=|: ?){{0,4}}{_ONE_WIDTH}{_NO_PRESSURE}{_ONE_TYRE}"
    rf"(?:\s?(?:,|;|/|and|&|with|but|the|my)\s?){{0,3}}\s?({_END})\s(?:tyre |tire |wheel |one |is |has |a |an |with |=|: ?){{0,4}}"
    rf"{_ONE_WIDTH}{_NO_PRESSURE}(?!\w|[.,]\d)",
    catches="front 40 mm, rear 45",
    leaves="front 60 psi, rear 65",
)
_IN_A_TYRE = (
    "tyre",
    "tire",
    "width",
    "rubber",
    "clincher",
    "28c",
    "25c",
    "32c",
    "tubeless",
    "29er",
    "27.5",
    "650b",
    "hookless",
    "gravel",
    "pressure",
    "psi",
    "wider",
    "puncture",
    "inflate",
    "rims",
)
_NOT_IN_A_TYRE = (
    "reach",
    "calliper",
    "caliper",
    "rotor",
    "spokes",
    "teeth",
    "sprocket",
    "travel",
    "chainline",
    "mudguard",
    "fender",
    "cassette",
    "chainring",
    "low gear",
    "gearing",
)
_TUBE_RANGE = form(
    rf"(?:(?P<name>700|650|{_WHEELS})\s?(?P<letter>[abc])?{_INCH}?\s?[x*]\s?)?(?P<least>[1-9]\d|[1-4][.,]\d{{1,3}})\s?(?:c|mm|\")?\s?(?:-|/|to)\s?"
    rf"(?P<most>[1-9]\d|[1-4][.,]\d{{1,3}})(?:\s?(?P<behind>[abc])(?!\w))?(?:\s?(?:mm|\"))?(?:\s?[-x]\s?(?P<seat>{_BEAD_SEATS}))?(?!\d|[.,]\d|\s?(?:psi|bar|kg|km|t\b|teeth|%|/\d))",
    catches="700x28-35",
    leaves="28-622",
)
_TUBE_OF_ONE = form(
    rf"(?:(?P<name>700|650|{_WHEELS})\s?(?P<letter>[abc])?{_INCH}?\s?[x*]\s?)(?P<width>[1-9]\d|[1-4][.,]\d{{1,3}})\s?(?P<behind>[abc])?(?!\w|[.,]\d)"
    r"(?=(?:\s?(?:mm|\"))?\s(?:inner\s)?tubes?\b)",
    catches="26 x 1.75 tubes",
    leaves="26 x 1.75 tyres",
)
_TUBE_NEAR = re.compile(r"\b(?:inner\s?)?tubes?\b")
_TYRE_NEARER = re.compile(rf"\b{_TYRE_WORD}")
_SHOP_HAS = re.compile(
    r"\b(?:tubes?|box|boxes|packet|carton|shop|store|supermarket|sells?|sold|stocks?|spares?|has|have|had|got|only)\b[^.;?!]{0,40}$"
)
_FROM = form(
    r"\b(?:from|swap(?:ping)?|go|going|chang(?:e|ed|ing)|(?:chang|swapp)(?:ed|ing) (?:my|the)|my|replac\w+)\s(?:a |my |the )?$",
    catches="from ",
    leaves="tyres ",
)
_WIDTH_NAMED = form(
    r"(1[89]|[2-5]\d|6[0-2])(?:[.,]\d)?(?:\s?mm)?(?![\w/%\"°]|[.,]\d|-\d|\s?(?:x|mm|psi|bar|kg|%|inch|speed|t\b|teeth|km|spokes?|holes?|links|internal|inner|inside|\d|nm|degrees|years?|front|rear))",
    catches="28",
    leaves="28 psi",
)
_WIDTH_WORD = form(
    rf"(?:\b(?:wider|narrower|bigger|fatter|larger)\sthan\s(?:an?\s)?|{_TYRE_WORD}\s(?:is|are|of|size|width|says|marked|measures?)?\s?(?:an?\s|about\s)?|"
    r"\b(?:it|they|sidewall|maker|label|box|packet)\ssays?\s|\b(?:like|want|try|fit|run|ride|use|take|go to|go up to|can i go|could i go|even)\s(?:an?\s|some\s)?|\bmarked(?:\sas)?\s(?:an?\s)?|\bsold as\s(?:an?\s)?|\bnominal(?:ly)?\s)$",
    catches="wider than a ",
    leaves="louder than ",
)
_OF_WHEELS = form(
    r"\b2[469]ers\b|\b(?:26|27|28)\s?(?:\"|inch(?:es)?)?\s?[x*]\s?1\s?[-\s]?\s?\d/\d",
    catches="26 x 1 3/8",
    leaves="28 x 1.75",
)
"""Where wheels go by such names, "the 27s" are wheels too and no tyres of 27 mm."""
_WHEELS_IN_INCHES = ("24", "26", "27")
_DECADE = form(
    r"\b(?:the|in (?:my|his|her|their|our)|early|mid|late|since the)\s$", catches="in my ", leaves="on my "
)
_WARM = (
    "degree",
    "outside",
    "hot",
    "temperature",
    "celsius",
    "weather",
    "cold",
    "freez",
    "frost",
    "snow",
    "warm",
)
_TYRE_TALK = ("tyre", "tire", "tub", "rubber", "clincher", "wider than", "narrower than", "fatter than")
_PRESSURES = ("tyre_pressure_kpa", "tyre_max_pressure_kpa", "rim_max_pressure_kpa")
_WIDEST_BY_PRESSURE = 52
"""Where a pressure was named, "I run 60" is another one."""
_SENTENCE_START = 70
_WIDEST_IN_INCHES = 6
_ONE_NAME_OR_TWO = 3.5
"""By how many millimetres a tyre's inches and its millimetres differ on one sidewall: 26 x 1 3/8 is 37-590."""


@at_numbers_only(_TYRE_ISO, _RIM_ISO)
def iso_sizes(passage: Passage) -> Iterator[list[Found]]:
    """ "28-622" and "622x19c": tyre or rim width with the bead seat."""
    for m in passage.at_numbers(_TYRE_ISO):
        if float(m[1]) <= 130:
            yield [
                Found("tyre_width_mm", float(m[1]), *m.span()),
                Found("bead_seat_diameter_mm", float(m[2]), *m.span()),
            ]
    for m in passage.at_numbers(_RIM_ISO):
        yield [
            Found("bead_seat_diameter_mm", float(m[1]), *m.span()),
            Found("rim_inner_width_mm", number(m[2]), *m.span()),
        ]


@at_numbers_only(_TUBE_RANGE, _TUBE_OF_ONE)
def tube_sizes(passage: Passage) -> Iterator[list[Found]]:
    """ "The shop has 700x28-35": what a tube is for, and no tyre; "26 x 1.75 tubes" name one width only."""
    if not passage.holds("tube") or _TUBE_NEAR.search(passage.text) is None:
        return
    for m in passage.at_numbers(_TUBE_RANGE):
        least, most = _tube_width(m["least"]), _tube_width(m["most"])
        if not 15 <= least < most <= 130 or not _is_of_a_tube(passage, m):
            continue
        found = [
            Found("tube_narrowest_width_mm", least, *m.span()),
            Found("tube_widest_width_mm", most, *m.span()),
        ]
        yield found + _tube_seat(m["name"], m["letter"] or m["behind"], m["seat"], m)
    for m in passage.at_numbers(_TUBE_OF_ONE):
        width = _tube_width(m["width"])
        if 15 <= width <= 130:
            found = [
                Found("tube_narrowest_width_mm", width, *m.span("name")),
                Found("tube_widest_width_mm", width, *m.span("width")),
            ]
            yield found + _tube_seat(m["name"], m["letter"] or m["behind"], None, m)


def _is_of_a_tube(passage: Passage, m: re.Match[str]) -> bool:
    """Whether a range stands beside a tube, or beside what a shop has where tubes are spoken of, and not before a tyre."""
    behind = passage.after(m.end(), 24)
    if _TYRE_NEARER.match(behind.lstrip(" -")) and not behind.lstrip().startswith("tub"):
        return False
    if re.match(r"\W{0,2}(?:\w+\s){0,2}(?:inner\s)?tubes?\b", behind):
        return True
    return _SHOP_HAS.search(passage.before(m.start(), 60)) is not None


def _tube_width(words: str) -> float:
    width = number(words.replace(",", "."))
    return round(width * INCH_MM, 1) if width < _WIDEST_IN_INCHES else width


def _tube_seat(name: str | None, letter: str | None, seat: str | None, m: re.Match[str]) -> list[Found]:
    """The rim that a tube is for, by its number or by the wheel's name."""
    if seat is not None:
        diameter: float | None = float(seat)
    elif name in ("700", "650"):
        diameter = _french().get(f"{name}{letter or ('c' if name == '700' else 'b')}")
    else:
        diameter = _WHEEL_NAMES.get((name or "").replace(",", "."))
    return [Found("tube_bead_seat_mm", float(diameter), *m.span())] if diameter else []


@at_numbers_only(_TYRE_FRENCH)
def french_sizes(passage: Passage) -> Iterator[list[Found]]:
    """ "700 x 35C": the letter names the bead seat, the number the width."""
    for m in passage.at_numbers(_TYRE_FRENCH):
        letter = m[2] or m[4] or ("c" if m[1] == "700" else "b")
        width = number(m[3])
        if width >= 15:
            yield [
                Found("tyre_width_mm", width, *m.span()),
                Found("bead_seat_diameter_mm", _french()[m[1] + letter], *m.span()),
            ]


@at_numbers_only(_TYRE_FRACTION, _TYRE_INCH, _TYRE_INCH_BARE, _INCH_ON_WHEEL, _INCH_WIDE)
def inch_sizes(passage: Passage) -> Iterator[list[Found]]:
    """ "29x2.4", "26 x 1 3/8": decimals and fractions of one name are different rims."""
    for m in passage.at_numbers(_TYRE_FRACTION):
        width = _inches(m[2])
        seat = _fractional().get((m[1], round(width, 4)))
        if m[3] is not None:
            seat = 622.0 if m[1] == "28" and 1.625 in (width, _inches(m[3])) else None
            width = min(width, _inches(m[3]))
        if 0.7 <= width <= 5.2 and not _named_in_millimetres(passage, width * INCH_MM, seat):
            found = [Found("tyre_width_mm", round(width * INCH_MM, 1), *m.span())]
            yield found + ([Found("bead_seat_diameter_mm", seat, *m.span())] if seat else [])
    for m in passage.at_numbers(_TYRE_INCH):
        width, wheel = number(m[2].replace(",", ".")), m[1].replace(",", ".")
        if _named_in_millimetres(passage, width * INCH_MM, _WHEEL_NAMES[wheel]):
            continue
        if 0.7 <= width <= 5.2 and ("." in m[2] or "," in m[2] or wheel in ("26", "27.5", "29")):
            yield [
                Found("tyre_width_mm", round(width * INCH_MM, 1), *m.span()),
                Found("bead_seat_diameter_mm", float(_WHEEL_NAMES[wheel]), *m.span()),
            ]
    for m in passage.at_numbers(_TYRE_INCH_BARE):
        yield [Found("tyre_width_mm", round(number(m[1]) * INCH_MM, 1), *m.span(1))]
    for m in passage.at_numbers(_INCH_WIDE) if passage.holds(*_TYRE_TALK) else ():
        if _WIDE_OF_ANOTHER.search(passage.before(m.start())):
            continue
        yield [Found("tyre_width_mm", round(number(m[1].replace(",", ".")) * INCH_MM, 1), *m.span(1))]
    for m in passage.at_numbers(_INCH_ON_WHEEL):
        yield [Found("tyre_width_mm", round(number(m[1]) * INCH_MM, 1), *m.span(1))]


def _named_in_millimetres(passage: Passage, width_mm: float, seat: float | None) -> bool:
    """Whether the same tyre stands there as "37-590" as well, beside "26 x 1 3/8": then its millimetres count."""
    seats = [
        found for found in passage.found if found.name == "bead_seat_diameter_mm" and found.value == seat
    ]
    widths = {found.start: found.value for found in passage.found if found.name == "tyre_width_mm"}
    beside = [widths[found.start] for found in seats if found.start in widths]
    return any(isinstance(other, float) and 0 < abs(other - width_mm) <= _ONE_NAME_OR_TWO for other in beside)


@at_numbers_only(_MEASURED_OUT)
def measured_tyres(passage: Passage) -> Iterator[list[Found]]:
    """ "The 23s measure out to 26 mm": what a tyre comes to on its rim is neither its size nor the rim's."""
    if not passage.holds(*_TYRE_TALK) or not passage.holds("rim", "wheel"):
        return
    for m in passage.at_numbers(_MEASURED_OUT):
        if _COMES_OUT_AT.search(passage.before(m.start())):
            passage.taken.append(m.span())
    yield from ()


@at_numbers_only(_DEEP_RIM)
def deep_rims(passage: Passage) -> Iterator[list[Found]]:
    """ "46 mm carbon rims": wider than any road rim is inside, so it is how deep they are."""
    if passage.holds("fat bike", "fatbike", "internal", "inner width", "inside width"):
        return
    for m in passage.at_numbers(_DEEP_RIM):
        yield [Found("rim_depth_mm", float(m[1]), *m.span(1))]


@at_numbers_only(_WHEEL_NAMED)
def named_wheels(passage: Passage) -> Iterator[list[Found]]:
    """ "A 26 inch mountain bike", "a 29er": off the road the name of a wheel is that of one rim."""
    for m in passage.at_numbers(_WHEEL_NAMED):
        if _OF_A_LEG.search(passage.before(m.start())):
            continue
        if m[1] != "26" or m.group().endswith("er") or passage.holds(*_OFF_ROAD):
            yield [Found("bead_seat_diameter_mm", float(_WHEEL_NAMES[m[1].replace(",", ".")]), *m.span())]


@at_numbers_only(_ROAD_WHEEL_NAMED, _FRAME_BY_WHEEL)
def road_wheels(passage: Passage) -> Iterator[list[Found]]:
    """ "From 27 inch to 700C", "28 inch wheels in a 26 inch frame": beside another wheel's name these are the road's old ones."""
    if not passage.holds("wheel", "rim", "700"):
        return
    for m in passage.at_numbers(_FRAME_BY_WHEEL) if passage.holds(*_OFF_ROAD) else ():
        if _WHEELS_IN_IT.search(passage.before(m.start(), 48)):
            yield [Found("bead_seat_diameter_mm", float(_WHEEL_NAMES["26"]), *m.span())]
    for m in passage.at_numbers(_ROAD_WHEEL_NAMED):
        if not _OF_A_LEG.search(passage.before(m.start())) and _OTHER_WHEELS.search(passage.text):
            yield [Found("bead_seat_diameter_mm", float(_WHEEL_NAMES[m[1]]), *m.span())]


def _inches(words: str) -> float:
    return number(" ".join(words.replace("-", " ").split()))


def rim_widths(passage: Passage) -> Iterator[list[Found]]:
    """ "19 internal", "internal width of 17,5", "19c rims", and what the same rim measures outside."""
    for m in passage.at_numbers(_RIM_INNER):
        if 8 <= number(m[1]) <= 110 and not (
            m.group().endswith("inside") and passage.holds("bearing", "shell", "head tube", "post")
        ):
            low, high = number(m[1]), number(m[2] or m[1])
            yield [Found("rim_inner_width_mm", (low, high) if low < high else low, *m.span())]
    for m in passage.at_numbers(_RIM_BARE) if not passage.holds("deep", "depth", "profile", "aero") else ():
        yield [Found("rim_inner_width_mm", number(m[1]), *m.span())]
    for m in passage.at_numbers(_RIM_HOOKLESS):
        yield [Found("rim_inner_width_mm", number(m[1]), *m.span(1))]
    for m in passage.at_numbers(_RIM_C):
        if _OF_RIMS.match(passage.text, m.end()) or _RIMS_ARE.search(passage.before(m.start(), 20)):
            yield [Found("rim_inner_width_mm", float(m[1]), *m.span())]
    for m in passage.around(_I_WIDTH, "i1", "i2", "i3", "i4", "i-"):
        yield [Found("rim_inner_width_mm", float(m[1]), *m.span())]
    for m in passage.around(_RIM_INNER_BEFORE, "internal", "inner", "inside", "iw", "hooks"):
        yield [Found("rim_inner_width_mm", number(m[1]), *m.span())]
    if passage.holds("rim", "wheel", "tyre", "tire"):
        for m in passage.at_numbers(_RIM_OUTER):
            if 12 <= number(m[1]) <= 120:
                yield [Found("rim_outer_width_mm", number(m[1]), *m.span())]


def widths_by_end(passage: Passage) -> Iterator[list[Found]]:
    """ "38 behind and 32 up front": two widths on one bicycle, each where it stands."""
    if not passage.holds(*_IN_A_TYRE) or passage.holds(*_NOT_IN_A_TYRE):
        return
    for m in passage.at_numbers(_WIDTHS_THEN_ENDS):
        yield from _by_end(((m[2], 1), (m[4], 3)), m)
    for m in passage.around(_END_THEN_WIDTH, "front", "rear", "back", "behind"):
        yield from _by_end(((m[1], 2), (m[3], 4)), m)


def _by_end(ends: tuple[tuple[str, int], tuple[str, int]], m: re.Match[str]) -> Iterator[list[Found]]:
    names = ["front_tyre_width_mm" if "front" in words else "rear_tyre_width_mm" for words, _ in ends]
    if names[0] == names[1]:
        return
    found = []
    for name, (_, group) in zip(names, ends, strict=True):
        width = number(m[group])
        width = round(width * INCH_MM, 1) if width < _WIDEST_IN_INCHES else width
        # For a brief that knows of one width only, both of them count.
        found += [Found(name, width, *m.span(group)), Found("tyre_width_mm", width, *m.span(group))]
    yield found


def now_and_wanted(passage: Passage) -> Iterator[list[Found]]:
    """ "Tyre now 28, gap 5 mm, want 32": the width that is there and the one that is wished for."""
    if not passage.holds("tyre", "tire") or passage.holds(*_NOT_IN_A_TYRE):
        return
    for m in passage.around(_NOW_AND_WANTED, "now", "currently", "at the moment"):
        # Each by itself: what stands between them is another figure's.
        yield [Found("old_tyre_width_mm", number(m[1]), *m.span(1))]
        yield [Found("tyre_width_mm", number(m[2]), *m.span(2))]


_INCH_CHANGE = form(
    r"([12][.,]\d{1,2})s?\s?(?:\"|inch(?:es)?)?\s?(?:up\s)?to\s(?:an?\s)?([12][.,]\d{1,2})(?![\d.,]*\d|\s?(?:mm|bars?|psi|kg|nm|%))",
    catches="1.95 to 2.3",
    leaves="1.95 to 2.3 bar",
)


@at_numbers_only(_TYRE_CHANGE, _INCH_CHANGE)
def tyre_changes(passage: Passage) -> Iterator[list[Found]]:
    """ "from 25s to 28 mm tyres": the old width and the one that counts now; without "from" it is a range."""
    for m in passage.at_numbers(_INCH_CHANGE) if passage.holds("tyre", "tire") else ():
        if _FROM.search(passage.before(m.start())) and number(m[1]) != number(m[2]):
            yield [
                Found(name, round(number(m[group].replace(",", ".")) * INCH_MM, 1), *m.span(group))
                for group, name in ((1, "old_tyre_width_mm"), (2, "tyre_width_mm"))
            ]
    for m in passage.at_numbers(_TYRE_CHANGE):
        if _FROM.search(passage.before(m.start())):
            yield [
                Found("old_tyre_width_mm", number(m[1]), *m.span(1)),
                Found("tyre_width_mm", number(m[2]), *m.span(2)),
            ]


@at_numbers_only(_TYRE_C, _TYRE_PLURAL)
def tyre_names(passage: Passage) -> Iterator[list[Found]]:
    """ "28c", "on 28s", "25 tyres"; "25 C outside" is the weather, "26ers are too small and 27s too big" are wheels."""
    for m in passage.at_numbers(_TYRE_C):
        near = passage.text[max(0, m.start() - 30) : m.end() + 20]
        if any(word in near for word in _WARM) and _TYRE_TALK[0] not in near[30:]:
            continue
        if passage.cased[m.end() - 1] == "C" and passage.before(m.start(), 4).endswith(("at ", "-", "is ")):
            continue
        if any(f.name == "rim_inner_width_mm" and f.value == float(m[1]) for f in passage.found):
            continue  # "My rim says 19C. What does 19C mean?"
        yield [Found("tyre_width_mm", float(m[1]), *m.span())]
    of_wheels = _OF_WHEELS.search(passage.text) is not None
    for m in passage.at_numbers(_TYRE_PLURAL):
        if of_wheels and m[1] in _WHEELS_IN_INCHES and "s" in m.group():
            passage.taken.append(m.span())
            continue
        if "s" in m.group() and _DECADE.search(passage.before(m.start(), 14)) and m[1][1] == "0":
            continue
        yield [Found("tyre_width_mm", float(m[1]), *m.span())]


def wheel_names(passage: Passage) -> Iterator[list[Found]]:
    """ "700c", "a 29er", "bead seat 584", "305 rim": a wheel's size without a tyre's width."""
    for m in passage.at_numbers(_BARE_WHEEL):
        name = m[1].replace(" ", "")
        seat = _french().get(name[:4]) or (584.0 if name.startswith("27") else 622.0)
        yield [Found("bead_seat_diameter_mm", seat, *m.span())]
    for m in passage.around(_SEAT_ALONE, "bead seat", "bsd", "etrto", "iso"):
        yield [Found("bead_seat_diameter_mm", float(m[1]), *m.span())]
    for m in passage.at_numbers(_SEAT_BEFORE_RIM):
        yield [Found("bead_seat_diameter_mm", float(m[1]), *m.span())]


def named_widths(passage: Passage) -> Iterator[list[Found]]:
    """ "wider than a 25", "although it says 28": a bare number where the talk is of tyres."""
    if not passage.holds(*_TYRE_TALK):
        return
    for m in passage.at_numbers(_WIDTH_NAMED):
        before = passage.before(m.start(), _SENTENCE_START)
        said = _WIDTH_WORD.search(before)
        if float(m[1]) > _WIDEST_BY_PRESSURE and passage.has_found(*_PRESSURES):
            continue
        if said is None or passage.before(m.start(), 12).endswith(("at ", "to ")):
            continue
        if any(word in before[said.start() :] for word in _TYRE_TALK) or _talks_of_tyres(before + m.group()):
            yield [Found("tyre_width_mm", number(m[0].removesuffix("mm").strip()), *m.span())]


def _talks_of_tyres(words: str) -> bool:
    return any(word in words for word in _TYRE_TALK) or "fork" in words or "frame" in words


@lru_cache(maxsize=1)
def _french() -> dict[str, float]:
    named = {"700d": 587.0, "650d": 609.0}
    for row in tables.rows("tyres/bead_seats"):
        if row["kind"] == "French":
            named[str(row["name"]).lower()] = float(row["bead_seat_diameter_mm"])
    return named


@lru_cache(maxsize=1)
def _fractional() -> dict[tuple[str, float], float]:
    """Wheel and width in inches to the bead seat; a name that several rims bear is left out."""
    seats: dict[tuple[str, float], set[float]] = {}
    for row in tables.rows("tyres/bead_seats"):
        wheel, _, width = str(row["name"]).partition(" x ")
        if row["kind"] == "inch fractional" and width:
            seats.setdefault((wheel, round(number(width), 4)), set()).add(float(row["bead_seat_diameter_mm"]))
    for inches in (1.0, 1.125, 1.25, 1.375):
        seats.setdefault(("27", inches), {630.0})
    return {name: next(iter(found)) for name, found in seats.items() if len(found) == 1}


_WIDTH_ALONE = form(
    r"(2[0-9]|3[0-9]|4[0-9]|5[0-9]|6[0-2])\s?mm(?=\s(?:(?:ones|types)\s)?(?:at|and|for|with|when|now|on|ones|types)\b|[.,;?!]|$)",
    catches="32mm at",
    leaves="32mm inside",
)
_IN_OR_FOR = form(
    r"\b(?:in|for|on|with|into)\s(?:an?\s|my\s|some\s)?$|"
    r"\b(?:put|fitted|mounted|run|running|ride|riding|gone|went|going|moved|changed|switched|up|down|over|bought|got)\s"
    r"(?:(?:up|down|over|back|to|on|from|some|new|the|these|a|set|of|now)\s){0,4}$",
    catches="enough for ",
    leaves="enough of ",
)


@at_numbers_only(_WIDTH_ALONE)
def widths_beside_a_pressure(passage: Passage) -> Iterator[list[Found]]:
    """ "Is 60 psi enough for 32 mm at 100 kg": where the talk is of pressure a bare width is the tyre's."""
    if not passage.holds("psi", " bar", "pressure") or passage.has_found("tyre_width_mm"):
        return
    if passage.holds("fork", "shock", "travel", "stanchion", "spacer", "stem"):
        return
    for m in passage.at_numbers(_WIDTH_ALONE):
        if _IN_OR_FOR.search(passage.before(m.start())):
            yield [Found("tyre_width_mm", float(m[1]), *m.span())]

"""Gears: cassettes, chainrings, single sprockets and speed counts, each with the part it belongs to."""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import pairwise

from triage.extract.changes import sentence_start
from triage.extract.forms import form
from triage.extract.numbers import number
from triage.extract.passage import Found, Passage, at_numbers_only

_NOT_A_RATIO = (
    r"(?!\d|[.,]\d|\s?(?:[-/]\s?\d|psi|bar|kms?\b|kilo|mm|kg|lbs?|years?|yrs?|miles?|%|nm\b|n\.?m|n·m|degrees?|°|min|hours?|months?|weeks?|days?|"
    r"watts?|w\b|ml|c\b|inch|in\b(?=\s*(?:$|[.,;:)!?]|(?:tyres?|tires?|wheels?|rims?|rotors?|wide|diameter|long|of)\b))|\"|pedals?|steerer|headset|chain\b|people|riders|speed|tpi|threads))"
)
_CASSETTE = form(
    rf"(9|1[0-8])\s?(?:t\s?)?(?:-|/|x|\s(?:to|through|up to)\s|:)\s?(1[6-9]|[2-5]\d)\s?(?:t|teeth|tooth)?(?:\b|(?=x(?:[5-9]|1[0-3])\b)){_NOT_A_RATIO}",
    catches="11-34",
    leaves="10-15 km",
)
_RINGS = form(
    rf"([2-6]\d)\s?t?\s?[/-]\s?([2-5]\d)(?:\s?t?\s?[/-]\s?([1-6]\d))?(?:\s?t\b|\s?teeth)?{_NOT_A_RATIO}",
    catches="50/34",
    leaves="50-34 psi",
)
_RINGS_SPACED = form(
    r"([3-6]\d)\s?t?\s?(?:\s|\+|&|\band\b)\s?([2-4]\d)\s?t?\s(?:crank\s?sets?|chain\s?sets?|cranks?|chain\s?rings?|rings|double|compact)\b",
    catches="52 36 crankset",
    leaves="52 36 psi",
)
_SINGLE = form(
    rf"([3-6]\d)\s?(?:t\s?)?([x/:]|by|\s[x:]\s)\s?(1\d|2[0-4])\s?t?\b{_NOT_A_RATIO}",
    catches="46x18",
    leaves="26x1.75",
)
_BY_SPEEDS = form(
    r"([123])\s?x\s?([5-9]|1[0-4])(?![\d]|[.,]\d|\"|\s?(?:inch|mm|cm|bar|kg))(?:[\s-]?(?:speeds?|spd|sp)\b)?",
    catches="2x11",
    leaves="2x28",
)
_SPEEDS = form(
    r"(?:([3-9]|1[0-4])\s?(?:[/,-]|\sto\s|\sor\s)\s?(?:(?:[5-9]|1[0-4])\s?[/,]\s?)?)?([3-9]|1[0-4])[\s-]?(?:speeds?\b|spd\b|sp\b|gang\b|"
    r"s(?=\s(?:cassette|chain|shifters?|levers?|mech|rear|derailleur|road|mtb|brifters?|groupset|system|block|hub|freehub|drivetrain|wheel)))",
    catches="11-speed",
    leaves="11 mph",
)
_BIKES_IN_GENERAL = form(
    r"(?:\s[a-z-]+){0,2}\sbikes\b",
    catches=" town bikes",
    leaves=" town bike",
)
_COMPARED = form(r"\bthan\san?\s$", catches="wider than a ", leaves="wider than my ")
_OF_MINE = form(
    r"\b(?:my|our|both|these)\s(?:\w+\s){0,2}$",
    catches="my two ",
    leaves="from ",
)
_ROLE_AFTER = form(
    r"[\s,]*(?:(?:road|mtb|mountain|gravel|flat[\s-]?bar|drop[\s-]?bar|rear|front|right|left|hand|indexed|friction|thumb|bar[\s-]end|down ?tube|bike|style|"
    r"old|new|trigger|grip|twist|the|electronic|mechanical|hydraulic|disc|brake|shift|gear(?!\shub)|clutch|long|short|cage)[\s-]){0,3}"
    r"(?:(?P<shifter>shifters?|levers?|brifters?)|(?P<derailleur>derailleurs?|mechs?\b|rd\b|changer)|"
    r"(?P<link>quick[\s-]?(?:links?|release\slinks?)|(?:master|joining|missing|power|connecting|chain)[\s-]?links?|links?\b)|(?P<chain>chains?\b|quick)|"
    r"(?P<cassette>cassettes?|blocks?\b|sprockets?|freewheels?|cluster)|(?P<gear>hub gears?|gear hub|internal)|(?P<hub>hubs?|freehubs?|wheels?\b|wheelset|body))",
    catches=" thumb shifters",
    leaves=" bike",
)
_ROLE_BEFORE = form(
    r"\b(?:(?P<shifter>shifters?|levers?|brifters?)|(?P<derailleur>derailleurs?|mechs?)|(?P<chain>chains?)|(?P<cassette>cassettes?|block)|"
    r"(?P<hub>hubs?|freehubs?|wheels?|wheelset|freehub body))\s(?:(?:is|are|was|were|that is|that's|which is|for|=|:)\s(?:an?\s|all\s|only\s|(?:(?:made|built|meant|designed|good)\s)?for\s(?:an?\s)?)?(?:(?:old|older|new|newer)\s)?)?$",
    catches="wheels are ",
    leaves="wheels with ",
)
_WHOLE_DRIVE = form(
    r"[\s,]*(?:(?:road|mtb|mountain|gravel|old|electronic|mechanical)\s)?(?:drive\s?trains?|groupsets?|transmissions?|systems?|set-?\s?ups?|bikes?|bicycles?)\b",
    catches=" drivetrain",
    leaves=" chain",
)
_ROLE_NAMES = {
    "shifter": "shifter_speeds",
    "derailleur": "derailleur_speeds",
    "chain": "chain_speeds",
    "link": "chain_speeds",
    "cassette": "speeds",
    "gear": "speeds",
    "hub": "hub_speeds",
}
_ONES_OF_THE_KIND = form(r"\sones?\b", catches=" ones", leaves=" onto it")
_CHAIN_OF_SPEEDS = form(
    r"(?:[5-9]|1[0-4])[\s-]?(?:speeds?|spd|sp|s)\s(?:\w+\s)?chains?\b(?!\s?-?links?)",
    catches="11 speed chain",
    leaves="11 speed chain link",
)
_TOOTHED = form(
    r"([1-6]\d|9)[\s-]?(?:t\b|tooth|teeth)[\s-](?:(?P<small>inner|small|smallest|little|granny)|(?P<big>biggest|big|largest|large|outer|top|low|max)|single|front|rear|back|fixed|track|steel)?\s?"
    r"(?P<what>chain\s?rings?|ring|sprocket|cog|freewheel|pinion|cassette)\b",
    catches="14 tooth sprocket",
    leaves="14 teeth",
)
_RINGS_BEFORE = form(r"\d\d\s?t?\s?[/-]\s?$", catches="52/", leaves="5/")
_INNER_ALONE = form(
    r"([2-4]\d)[\s-]?(?:t\b|tooth|teeth)[\s-](?:inner|granny)\b(?!\s(?:tubes?|chain\s?ring|ring))",
    catches="30 tooth inner",
    leaves="30 tooth inner ring",
)
_PLAIN_RING = form(
    r"([2-6]\d)\s(?:chain\s?)?ring\b(?!\s?(?:bolts?|nuts?|spanner|binder))",
    catches="42 ring",
    leaves="42 rings",
)
_PLAIN_SPROCKET = form(
    r"([1-5]\d)\s(?:big\s|large\s|largest\s)?(?:sprocket|cog)\b",
    catches="51 sprocket",
    leaves="11 sprockets",
)
# "Ring 42 sprocket 19", "11-42 sprocket": the number belongs to what stands before it.
_IS_ITS_OWN = form(
    r"(?:[-/x]|\b(?:rings?|chainrings?|sprockets?|cogs?)\s(?:is\s|of\s)?)$",
    catches="ring ",
    leaves="a string ",
)
_TO_COME = form(
    r"\b(?:new|bigger|smaller|larger|want|fit|fitting|put on|try|ordered|bought)\s(?:an?\s|the\s)?$",
    catches="a smaller ",
    leaves="a small ",
)
_RING_NAMED = form(
    r"([2-6]\d)\s(?:(?P<small>inner|small|little|granny)|big|large|outer|single|front)\s(?:chain)?ring\b",
    catches="34 inner ring",
    leaves="34 inner",
)
_RING_TO_RING = form(
    r"([2-6]\d)\s?(?:t|tooth|teeth)?\s(?:(?:chain\s?)?ring\s)?(?:down\s|up\s)?to\s(?:an?\s|the\s|my\s)?(?:new\s|smaller\s|bigger\s|larger\s)?([2-6]\d)(?:\s?t\b|\s(?:tooth|teeth|(?:chain\s?)?ring))",
    catches="42t to a 32t",
    leaves="42 to 32 mm",
)
_OF_RINGS = ("chainring", "chain ring", " ring ", "single ring", "inner ring", "outer ring", "big ring")
_OF_SPROCKETS = ("cassette", "sprocket", "cog", "block", "freewheel", "at the back", "rear")
_ON_THE_BACK = form(
    r"([1-5]\d)\s?(t|tooth|teeth)?\s(?:(?:on|at|in|out)\s(?:the\s)?(?:back|rear)|behind)\b(?!\s(?:wheel|tyre|tire|hub|the|my))",
    catches="28 teeth at the back",
    leaves="28 mm at the back",
)
_UP_FRONT = form(
    r"([2-6]\d)\s?(?:t|tooth|teeth)?\s(?:up front|at the front|on the front|in front)\b(?!\s?(?:tyre|wheel|tire))",
    catches="50 up front",
    leaves="50 psi up front",
)
_FRONT_AND_BACK = form(
    r"([2-6]\d)\s?t?\s(?:in\s)?(?:the\s)?(?:front|up front),?\s(?:and\s)?(?:an?\s)?([1-5]\d)\s?t?\s(?:in\s|at\s)?(?:the\s)?(?:back|rear|behind)\b",
    catches="34 front 34 back",
    leaves="34 psi front 40 back",
)
_OF_TEETH = form(
    r"\b(?:gears?|gearing|geared|ratio|teeth|tooth|cassette|sprockets?|cogs?|(?:chain)?rings?|cadence|rpm)\b",
    catches="lowest gear",
    leaves="gearbox",
)
_OF_TYRES_NEAR = form(
    r"\b(?:tyres?|tires?|rubber|tubs?|slicks|knobblies)\b[^.;?!\d]{0,24}$",
    catches="tyres are ",
    leaves="tyres, 38 mm. gears ",
)
_OF_TYRES_BEHIND = form(
    r"\s?(?:mm\b|psi|bar\b|tyres?\b|tires?\b|rubber|slicks)", catches=" tyres", leaves=" and bags"
)
_COGS = form(
    r"([5-9]|1[0-3])\s(?:cogs|sprockets|gears (?:at|in|on) the (?:back|rear)|gears on the cassette)\b",
    catches="11 sprockets",
    leaves="2 sprockets",
)
_COGS_BEHIND = form(
    r"([5-9]|1[0-3])\s(?:gears\s|cogs\s|sprockets\s|speeds\s)?(?:(?:in|at|on)\s(?:the\s)?(?:back|rear)|behind)\b(?!\s(?:wheel|tyre|tire))",
    catches="10 in the back",
    leaves="14 in the back",
)
_RINGS_IN_FRONT = form(
    r"\b(?:[1-3]|one|two|three)\s(?:gears?\s|rings?\s|chain\s?rings?\s|speeds?\s|cogs?\s)?(?:(?:in|at|on|up)\s)?(?:the\s)?front,?\s(?:and\s|with\s|by\s|&\s)?$",
    catches="3 gears in the front and ",
    leaves="6 bar in the front and ",
)
_LOWEST_GEAR = form(
    rf"(2[2-9]|3\d|4[0-4])\s?(?:t\s?)?(?:\s(?:by|x|over|into)\s|[/x])\s?(2[5-9]|[345]\d)\s?t?(?!\s(?:rim|wheel|tyre|tire))\b{_NOT_A_RATIO}",
    catches="34 by 28",
    leaves="34 by 18",
)
_GEAR_MEANT = form(
    r"\b(?:in|on|with|of|push|pushing|spin|spinning|turn|turning|gear)\s(?:a\s|the\s|my\s|about\s)?(?:lowest\s|easiest\s|bottom\s)?(?:gear\s)?(?:of\s|is\s)?(?:a\s)?$",
    catches="in the ",
    leaves="from ",
)
_GEAR_IN_USE = form(
    r"\b(?:use|using|used|run|running|runs|have|has|got|got a|ride|riding|with|on)\s(?:an?\s|the\s|my\s)?$",
    catches="i use a ",
    leaves="from ",
)
_IS_A_LOW_GEAR = form(
    r"(?:^|[.?!,;:]\s|\b(?:is|if|would|will|does|do|and|or|lowest|bottom|gear|gearing|ratio|granny)\s(?:is\s|of\s|a\s|the\s|my\s|about\s){0,3})$",
    catches="my lowest is ",
    leaves="tyres in ",
)
_UPHILL = form(
    r"\b(?:climb\w*|hills?|hilly|uphill|gradient|slope|per\s?cent|easier|lowest gear|bottom gear|low enough|steep\w*|mountains?|passes|struggl\w+)\b|(?<![\d.,])(?:[3-9]|[12]\d|3[0-5])\s?%",
    catches="the climb",
    leaves="the limb",
)
_INSTEAD_OF = form(
    r"\s?(?:instead of|rather than|in place of)\b", catches=" instead of", leaves=" in the place"
)
_GEARING = form(
    r"\b(?:gearing|gear|geared|ratio|running|run|is)\s(?:(?:was|is|of|at|now|currently|a)\s){0,2}$",
    catches="the gearing was ",
    leaves="a gear and ",
)
_HIGH_GEAR = form(
    rf"([45]\d)\s?-\s?(1\d|2[0-4])\b(?!\s?(?:\d|t?-)){_NOT_A_RATIO}",
    catches="52-14",
    leaves="52-42",
)
_TURNING = form(
    r"\b(?:rpm|cadence|gear|km/h|kph|mph|spin\w*|development)\b", catches="60 rpm", leaves="60 rp"
)
_RING_LIST = form(
    r"([3-6]\d)(?:,\s|\s)(?:(?:and\s)?([2-5]\d)(?:,\s|\s)?)?(?:and\s)([1-5]\d)(?:t\b|\s?(?:teeth|tooth))?(?!\d|[.,]\d|\s?(?:mm|psi|bar|kg|%|km|\w*spoke|inch|nm|degrees))",
    catches="52, 42 and 30",
    leaves="52, 42",
)
_RINGS_SPOKEN_OF = form(
    r"\b(?:chain\s?rings?|rings|triple|double|crankset|chainset|up front|at the front|in front)\b[^.;?!\d]{0,30}$",
    catches="the rings are ",
    leaves="the springs are ",
)
# "36/46 chainset": written upwards it is a pair of rings only where the talk is of them.
_OF_A_CRANK = re.compile(
    r"\b(?:chain\s?sets?|cranks?|cranksets?|rings?|chainrings?|up front|at the front|in front|double|compact)\b"
)
_OF_A_GEAR = re.compile(r"\b(?:gears?|easier|lower|lowest|bottom|climb(?:s|ing)?|hills?)\b")
_FIXED = ("fixed", "fixie", "single speed", "singlespeed", "single-speed", "track", "skid")
_NEW = re.compile(
    r"\b(?:to|for an?|fit(?:ting|ted)?|put(?:ting)?|want(?:ing)?|new|go(?:ing)? (?:to|up)|like|would|upgrade|mount|use|try|run(?:ning)?|bigger|wider|buy|get|bench|box|arrived|ordered|bought|replacement|the other)\b"
)
_OLD = re.compile(
    r"(?:^\s?running\b|\b(?:i run|i'm running|am running|currently running)\b)|\b(?:from|my|swap(?:ping)?|replac(?:e|ing)|chang(?:e|ing)|instead of|now|currently|current|at the moment|old|have|has|had|got|than|came with|rather than|existing|original|stock|came off|comes off|so far|wore out|worn out|used to|was on)\b"
)
_SURELY_NEW = re.compile(
    r"\b(?:new|upgrade to|go(?:ing)? (?:up )?to|change to|swap to|switch(?:ing)? to|want(?:ing)?(?: to fit)?(?: cassette)?|fit(?:ting)?|put(?:ting)?(?: on)?|(?:want|like|hope|plan)(?:ing)? to (?:run|use|try|mount)|bigger|wider|chance (?:to get|of)|"
    r"(?:can|could|will|would)\s(?:\w+\s){1,10}(?:take|run|handle|cope with|cover|fit|manage|accept|use|reach|work with))\s(?:an?\s|the\s)?(?:\d{1,2}[-\s]speed\s)?$"
    r"|(?:^|[.?!,]\s|\bso\s|\bbut\s)(?:is|would|will|does)\s(?:an?|the)\s$"
    r"|\b(?:is|would|will|does|can|could)\s(?:an?|the|this)\s(?:(?:\d{1,2}[-\s]speed|\d{1,2}s|new|mountain|mtb|road|wide|wider|bigger|larger|cassette|block)\s){1,4}$"
    r"|\b(?:found|saw|seen|spotted|bought|ordered|been given|was given|was offered|on sale)\s(?:(?:me|myself|an?|the|some)\s){0,2}(?:(?:cheap|used|nice|good|lovely|spare|second[- ]hand)\s)?$"
)
_JUDGED = form(
    r"\b(?:will|does|can|should|would) (?:it|that|this|(?:the|my) (?:\w+ )?(?:mech|derailleur|cage))(?: all)? (?:cope|manage|handle|work|reach)\b|"
    r"\b(?:is (?:it|that|this)|am i|are they) (?:still |just )?(?:ok|okay|fine|alright|all right|allowed|possible|within|inside|over|too much|in spec)\b",
    catches="will my rear mech cope",
    leaves="will it skip",
)
_ENOUGH = form(
    r"\b(?:low|easy|light|small|geared) enough\b|\benough (?:for|on|to (?:get|climb|ride|spin)|up)\b|\b(?:is|are|would|will) (?:it|that|this|these|they|those) (?:be )?enough\b|"
    r"\bget (?:me|us|my wife|him|her) up\b|\bhow steep (?:a|can|could|may|is)\b",
    catches="is that low enough",
    leaves="is it long",
)
_OF_THE_CAGE = ("mech", "derailleur", "cage", "fit", "capacity", "freehub", "hub", "upgrade", "replace")
_WISHED = form(
    r"\b(?:bigger|larger|lower|easier|want\w*|swap\w*|chang\w*|upgrad\w*|go(?:ing)? to|new (?:cassette|block)|instead)\b",
    catches="i want lower gears",
    leaves="it has slow gears",
)
_NEAR = 40
_BACK_TO_A_VERB = 80
"""As far as "can my long cage derailleur of 39 teeth handle" reaches."""
_SENTENCE = 70
_FOR_A_SINGLE = form(
    r"\b(?:run|running|fit|fitting|try|to|just)\san?\ssingle\s(?=[3-5]\d\b)",
    catches="i'd run a single 38",
    leaves="it has a single 38",
)
_IN_THE_LARGEST = form(
    r"(?<=\bin the )(3[6-9]|[45]\d)(?=\s?(?:[.,;!?)](?!\d)|$))",
    catches="it grinds in the 51.",
    leaves="it grinds in the 51 ring",
)
_THICK = form(
    r"(?<=each )([12][.,]\d{1,2})\s?(?:mm\s)?thick\b", catches="each 1.85 thick", leaves="each 1.85 m"
)
_TWO_RINGS = form(r"[3-5]\d\s?/\s?[2-4]\d(?!\d)", catches="46/30", leaves="46-30")
_ONE_RING = form(
    r"([2-5]\d)\s?t?(?:\s(?:tooth|teeth))?(?:\s(?:ring|chainring|up front|in front|at the front))?(?![\d.,]*\d|\s?(?:mm|psi|bar|kg|%|/|-))",
    catches="40t ring",
    leaves="40 mm",
)
_GOING_SINGLE = form(
    r"(?:\b1\s?x(?:\s?(?:9|1[0-3]))?\b|\bone[ -]by\b|\bsingle (?:chain)?ring)(?!\d)[^.?!\d]{0,24}$",
    catches="i want to go 1x with a ",
    leaves="my 2x11 with a ",
)
_FROM_SEVERAL = form(
    r"\b[23]\s?x\s?(?:[7-9]|1[0-3])\s(?:set-?up\s|drivetrain\s)?(?:to|into|for)\s(?:an?\s)?1\s?x",
    catches="2x10 to 1x",
    leaves="2x10 or 1x",
)
_WANTED_SPEEDS = form(
    r"\b(?:(?:want|like|hope|plan|going|try|chance)\w*\s(?:to\s)?(?:put|fit|go|use|run|mount|convert|move|change|upgrade|get|buy)(?:\sto)?|go(?:ing)?\sto|upgrade\sto|convert(?:ing)?\s(?:it\s)?to|move\sto|chang(?:e|ing)\s(?:it\s)?to|"
    r"(?:can|could|will|would)\si\s(?:put|fit|use|run|mount))\s(?:an?\s|on\s)?$",
    catches="i want to put ",
    leaves="i want the ",
)
_ONE_TO_COME = form(
    r"\sones?\s(?:i'd|i would|i want|i'll|i will|to come)\b", catches=" one i'd get", leaves=" one i have"
)
_OF_THE_CHAIN = form(
    r"\bchain\b(?!\s?(?:line|ring|set|stay|wheel))(?:(?!\b(?:cassette|bike|shifters?|mech|derailleur|hub|system|drivetrain|groupset)\b)[^;?!])*$",
    catches="my chain measures 6.6 mm, that's an ",
    leaves="the chain is on a bike with ",
)
_CONCLUDED = form(r"\b(?:so|that's|means|must be)\s(?:an?\s)?$", catches="pins so ", leaves="also ")
_HUB_SPOKEN_OF = form(
    r"\b(?:freehub|free hub|hub body|cassette body)\b[^;?!]{0,40}$",
    catches="freehub body is ",
    leaves="rear hub is ",
)
_LEAST_LARGEST = {"9": 27, "10": 23, "16": 22}
"""A cassette that begins so small ends large; 9/16 is a pedal's thread."""
SPROCKETS_AND_NO_RINGS = frozenset({21.0, 23.0, 25.0, 27.0})
"""No double is sold with such an inner ring: "39/27" is a ring over a sprocket. [teeth]"""
FEWEST_RING_STEP, MOST_RING_STEP = 9, 26
"""Teeth between two rings of a crankset; "34/28" is a ring over a sprocket."""


@at_numbers_only(_ONE_RING)
def one_ring(passage: Passage) -> Iterator[list[Found]]:
    """ "1x with a 40t ring" beside the two rings that there are: the ring that is to come."""
    if not passage.holds("1x", "1 x", "one by", "one-by", "single ring", "single chainring"):
        return
    if not any(passage.at_numbers(_TWO_RINGS)) and not _FROM_SEVERAL.search(passage.text):
        return
    for m in passage.at_numbers(_ONE_RING):
        together = _RING_WITH_CASSETTE.match(passage.text, m.start())
        if _GOING_SINGLE.search(passage.before(m.start(), 48)) or (
            together is not None and _PUT_ON.search(passage.before(m.start()))
        ):
            yield [Found("new_ring_teeth", float(m[1]), *m.span(1))]


_FRONT_AND_CASSETTE = form(
    r"([2-6]\d)\s?t?\s(?:in\s)?(?:the\s)?front\b(?=[,;]?\s(?:(?:and|with|an?|by)\s){0,2}(?:9|1\d)\s?-\s?\d\d)",
    catches="52 front, 11-28",
    leaves="52 front, 50 psi",
)
_UP_TO_SPROCKET = form(
    r"\b(?<!front )(?:cage|mech|derailleur|rd)\b[^.;?!\d]{0,24}?\b(?:takes?|handles?|goes up to|go up to|is good for|rated (?:for|to|at)|max(?:imum)?(?: of| is)?|allows?)\s(?:an?\s|up to\s|to\s)?(?:(?:the\s)?(?:largest|biggest)\s(?:sprocket|cog)\s(?:of\s|is\s)?)?(\d\d)\s?t?(?![\d-]|\s?(?:mm|speed))",
    catches="medium cage that takes 34",
    leaves="cage that takes 34 mm",
)


_IN_ALL = form(
    r"\s?t?(?:eeth)?\s(?:overall|in total|total|altogether|in all|of (?:chain|capacity|wrap|slack))\b",
    catches="t overall",
    leaves=" sprocket",
)


def rated_by_the_cage(passage: Passage) -> Iterator[list[Found]]:
    """ "A medium cage that takes 34": the largest sprocket it is rated for; "takes 43 overall" is its capacity."""
    for m in passage.around(_UP_TO_SPROCKET, "cage", "mech", "derailleur", "rd "):
        in_all = _IN_ALL.match(passage.text, m.end(1))
        yield [
            Found("derailleur_capacity_teeth" if in_all else "rated_sprocket_teeth", float(m[1]), *m.span(1))
        ]


_INCH_WIDTH = form(
    r"(?:1\s?/\s?8|3\s?/\s?32|11\s?/\s?128)(?:ths?|nds?)?(?![\d/])", catches="1/8", leaves="1/82"
)


@at_numbers_only(_INCH_WIDTH)
def chain_widths(passage: Passage) -> Iterator[list[Found]]:
    """ "A single speed chain, 1/8": a width in parts of an inch, and no number of speeds."""
    if passage.holds("chain", "sprocket", "ring", "freewheel"):
        passage.taken += [m.span() for m in passage.at_numbers(_INCH_WIDTH)]
    yield from ()


@at_numbers_only(_FRONT_AND_BACK, _FRONT_AND_CASSETTE)
def front_and_rear(passage: Passage) -> Iterator[list[Found]]:
    """ "Lowest gear with 34 front, 34 rear and 40 mm tyres": teeth, where the talk is of gears and not of these two as tyres."""
    if passage.holds("psi", " bar", "pressure"):
        return
    if not (_OF_TEETH.search(passage.text) or _UPHILL.search(passage.text)):
        return
    for m in passage.at_numbers(_FRONT_AND_CASSETTE):
        yield [Found("largest_ring_teeth", float(m[1]), *m.span(1))]
    single = passage.holds(*_FIXED)
    for m in passage.at_numbers(_FRONT_AND_BACK):
        if _OF_TYRES_NEAR.search(passage.before(m.start(), 44)) or _OF_TYRES_BEHIND.match(
            passage.text, m.end()
        ):
            continue
        yield [
            Found("largest_ring_teeth", float(m[1]), *m.span(1)),
            Found("sprocket_teeth" if single else "largest_sprocket_teeth", float(m[2]), *m.span(2)),
        ]


_WITH_ONE_RING = form(
    r"(?:\b1\s?x\s?(?:7|8|9|1[0-3])?|\bone[ -]by|\bsingle (?:chain)?ring)(?:\s(?:with|of|set-?up|bike|is|and|has|an?|the|running|using)){0,4}\s$",
    catches="1x with a ",
    leaves="1x with panniers of ",
)


_RING_WITH_CASSETTE = form(
    r"([2-5]\d)\s?t?(?:\s(?:ring|chainring))?(?=\s(?:and|with|plus|\+|by)\s(?:an?\s)?1[01]\s?-\s?\d\d)",
    catches="32 and an 11-42",
    leaves="32 and an old 11-42",
)
_PUT_ON = form(
    r"\b(?:put on|fit|fitted|use|run|take|go for|with|buy|get|try|choose)\s(?:an?\s)?$",
    catches="if i put on a ",
    leaves="if i put it on at ",
)


@at_numbers_only(_ONE_RING)
def the_one_ring(passage: Passage) -> Iterator[list[Found]]:
    """ "1x with a 40 and an 11-42 cassette": the ring that there is, where no pair of rings is spoken of."""
    if any(passage.at_numbers(_TWO_RINGS)) or _FROM_SEVERAL.search(passage.text):
        return
    for m in passage.at_numbers(_ONE_RING):
        before = passage.before(m.start(), 48)
        if _WITH_ONE_RING.search(before) and not _TO_COME.search(before):
            yield [Found("largest_ring_teeth", float(m[1]), *m.span(1))]


_ANOTHER_RING = (
    "big ring", "large ring", "outer", "inner", "small ring", "smaller ring", "little ring", "granny", "double", "triple",
    "compact", "2x", "3x", "two rings", "three rings", "front mech", "front derailleur", "rings", "chainset",
)  # fmt: skip


def only_ring(passage: Passage) -> Iterator[list[Found]]:
    """Where one ring alone is told, and a sprocket with it, for a hill: the smallest ring is that one."""
    rings = [found for found in passage.found if found.name == "largest_ring_teeth"]
    if len(rings) != 1 or passage.has_found(
        "smallest_ring_teeth", "new_smallest_ring_teeth", "new_ring_teeth"
    ):
        return
    if passage.holds(*_ANOTHER_RING) or not passage.has_found(
        "largest_sprocket_teeth", "new_largest_sprocket_teeth"
    ):
        return
    if passage.holds("1x", "one by", "one-by", "single ring", "single chainring") or _UPHILL.search(
        passage.text
    ):
        ring = rings[0]
        passage.found.append(Found("smallest_ring_teeth", ring.value, ring.start, ring.end))
    yield from ()


_SMALL_WHEELS = form(
    r"\b(16|18|20)[\s-]?(?:inch|in|\"|'')[\s-](?:\w+\s)?(?:wheels?|wheeled|folding|folder|fold-up|bikes?|mini)\b",
    catches="20 inch folding bike",
    leaves="28 inch bike",
)
_SEATS_MM: dict[str, float | tuple[float, float]] = {"16": (305.0, 349.0), "18": 355.0, "20": 406.0}
"""Diameters of the seats of the small wheels that bicycles mostly have. [mm]"""


def small_wheels(passage: Passage) -> Iterator[list[Found]]:
    """ "20 inch folding bike" where the talk is of gears: the wheel that such bikes mostly have."""
    if passage.has_found("bead_seat_diameter_mm") or not passage.holds(
        "gear", "hill", "climb", "sprocket", "ring"
    ):
        return
    for m in passage.around(_SMALL_WHEELS, "inch", " in ", '"', "''"):
        yield [Found("bead_seat_diameter_mm", _SEATS_MM[m[1]], *m.span(1))]
        return


_TYRE_BEHIND = form(
    r"\s?(?:c\b|mm\b|\"|inch|(?:\w+\s)?(?:tyres?|tires?|tubes?|wheels?)\b)",
    catches=" inch",
    leaves=" in the wet",
)


_AT_THE_FRONT = form(
    r"\bfront[,:]?\s(?:(?:i|we)\s(?:get|got|measure|measured|make it|made it|have)|it['’]?s|it is|is|comes out at|measures)\s(?:about\s|at\s)?(\d\d(?:[.,]\d)?)(?![\d/-])",
    catches="front i get 43.5",
    leaves="front is a 43/30",
)


def chainlines(passage: Passage) -> Iterator[list[Found]]:
    """ "Rear chainline 45 mm, front I get 43.5": no teeth where the talk is of the chain's line."""
    if passage.holds("sprocket", "cog", "cassette"):
        for m in passage.around(_THICK, "thick"):
            yield [Found("sprocket_thickness_mm", number(m[1]), *m.span(1))]
    if passage.holds("1x", "one by") and passage.holds("chain"):
        for m in passage.around(_IN_THE_LARGEST, "in the "):
            yield [Found("largest_sprocket_teeth", float(m[1]), *m.span(1))]
    if passage.holds("chainline", "chain line"):
        for m in passage.around(_AT_THE_FRONT, "front"):
            yield [Found("front_chainline_mm", number(m[1]), *m.span(1))]


@at_numbers_only(_LOWEST_GEAR, _SINGLE, _HIGH_GEAR)
def singles(passage: Passage) -> Iterator[list[Found]]:
    """ "46x18", and "48/17" where the talk is of one gear: a ring and a sprocket."""
    fixed = passage.holds(*_FIXED)
    if passage.holds("thread", "italian", "shell", "cups"):
        return
    if fixed:
        # No clock says 42:16, so that isn't set aside as an hour.
        for start in passage.starts:
            ratio = _SINGLE.match(passage.text, start)
            hour = (ratio.start(1), ratio.end(3)) if ratio is not None and ratio[2].strip() == ":" else None
            if hour in passage.taken:
                passage.taken.remove(hour)
    for m in passage.at_numbers(_HIGH_GEAR):
        before = passage.before(m.start())
        geared = passage.holds(*_FIXED, "belt", "hub gear") and _GEARING.search(before)
        if geared or (_GEAR_MEANT.search(before) and _TURNING.search(passage.text)):
            yield [
                Found("largest_ring_teeth", float(m[1]), *m.span()),
                Found("sprocket_teeth", float(m[2]), *m.span()),
            ]
    for m in passage.at_numbers(_LOWEST_GEAR):
        before = passage.before(m.start())
        climbing = _GEAR_IN_USE.search(before) and _UPHILL.search(passage.text)
        climbing = climbing or (_TURNING.search(passage.text) if passage.holds("rpm", "cadence") else None)
        climbing = climbing or (_UPHILL.search(passage.text) if _IS_A_LOW_GEAR.search(before) else None)
        if "x" in m.group() and _TYRE_BEHIND.match(passage.text, m.end()):
            climbing = None
        if _GEAR_MEANT.search(before) or climbing:
            # "30x34 instead of 34x34": the first of the two is the one to come.
            new = "new_" if _INSTEAD_OF.match(passage.text, m.end()) else ""
            yield [
                Found(f"{new}smallest_ring_teeth", float(m[1]), *m.span()),
                Found(f"{new}largest_sprocket_teeth", float(m[2]), *m.span()),
            ]
    for m in passage.at_numbers(_SINGLE):
        # "11-36x10" is a cassette and how many sprockets it has.
        if passage.before(m.start(), 1) in ("-", "/"):
            continue
        if "x" in m[2] or "by" in m[2] or fixed:
            found = [
                Found("largest_ring_teeth", float(m[1]), *m.span()),
                Found("sprocket_teeth", float(m[3]), *m.span()),
            ]
            if fixed and _UPHILL.search(passage.text):
                # With one gear the lowest is the only one.
                found += [
                    Found("smallest_ring_teeth", float(m[1]), *m.span()),
                    Found("largest_sprocket_teeth", float(m[3]), *m.span()),
                ]
            yield found


@at_numbers_only(_CASSETTE)
def cassettes(passage: Passage) -> Iterator[list[Found]]:
    """ "from 11-28 to 11-34": the one there is and the new one; a single one is both readings."""
    matches = [
        m
        for m in passage.at_numbers(_CASSETTE)
        if int(m[2]) > _LEAST_LARGEST.get(m[1], int(m[1]) + 3)
        # "5/16 x 24" is a bolt's thread.
        and not (m[1] == "16" and passage.before(m.start(), 1) == "/")
    ]
    several = len({m.group(1, 2) for m in matches}) > 1
    leanings = [_leaning(passage, m.start()) for m in matches]
    for index, m in enumerate(matches):
        new = leanings[index] > 0
        if several and index == 0 and leanings[index] == 0:
            new = leanings[1] < 0
        elif several and index and leanings[index] == 0:
            new = leanings[0] <= 0
        elif not several:
            new = bool(_SURELY_NEW.search(passage.before(m.start(), _BACK_TO_A_VERB))) or _is_judged(passage)
        if several and all(lean == leanings[0] for lean in leanings):
            new = index > 0
        if not several and new and _FOR_A_SINGLE.search(passage.text):
            # "I've 46/30 and 11-34, I'd run a single 38. Is it enough?": the ring is the one asked about.
            new = False
        first, other = ("new_", "") if new else ("", "old_")
        if new and several:
            other = ""
        yield [
            Found(f"{prefix}{end}_sprocket_teeth", float(m[group]), *m.span())
            for prefix in dict.fromkeys((first, other) if not (new and several) else (first,))
            for end, group in (("smallest", 1), ("largest", 2))
        ]


def _is_judged(passage: Passage) -> bool:
    """ "I've got 46/30 and 11-36, will it cope": the only cassette is the one asked about, where no other is wished for."""
    if _ENOUGH.search(passage.text) is not None:
        return True
    wished = _WISHED.search(passage.text) is not None
    on_a_hill = _UPHILL.search(passage.text) is not None and not passage.holds(*_OF_THE_CAGE)
    return not wished and (on_a_hill or _JUDGED.search(passage.text) is not None)


def _leaning(passage: Passage, place: int) -> int:
    """1 where the nearest word before says that it is wanted, -1 where it says that it is there."""
    before = passage.before(place, _NEAR)
    cut = max(before.rfind(mark) for mark in ",.;?!")
    before = before[cut + 1 :]
    new = max((m.end() for m in _NEW.finditer(before)), default=-1)
    old = max((m.end() for m in _OLD.finditer(before)), default=-1)
    return (new > old) - (old > new)


@at_numbers_only(_RING_LIST, _RINGS, _RINGS_SPACED)
def rings(passage: Passage) -> Iterator[list[Found]]:
    """ "50/34", "48/38/28" in either order."""
    for m in passage.at_numbers(_RING_LIST):
        teeth = sorted((float(group) for group in m.groups() if group), reverse=True)
        if _RINGS_SPOKEN_OF.search(passage.before(m.start(), 60)) and all(
            FEWEST_RING_STEP - 1 <= high - low <= MOST_RING_STEP for high, low in pairwise(teeth)
        ):
            yield [
                Found("largest_ring_teeth", teeth[0], *m.span()),
                Found("smallest_ring_teeth", teeth[-1], *m.span()),
            ]
    for m in passage.at_numbers(_RINGS_SPACED):
        if FEWEST_RING_STEP <= float(m[1]) - float(m[2]) <= MOST_RING_STEP:
            yield [
                Found("largest_ring_teeth", float(m[1]), *m.span(1)),
                Found("smallest_ring_teeth", float(m[2]), *m.span(2)),
            ]
    for m in passage.at_numbers(_RINGS):
        teeth = [float(group) for group in m.groups() if group]
        if teeth == sorted(teeth):
            teeth.reverse()
        if teeth != sorted(teeth, reverse=True):
            continue
        steps = [high - low for high, low in pairwise(teeth)]
        least = FEWEST_RING_STEP if len(teeth) == 2 else 6
        if teeth[0] < 34 or not all(least <= step <= MOST_RING_STEP for step in steps):
            continue
        rises = len(teeth) == 2 and float(m[1]) < float(m[2])
        if len(teeth) == 2 and teeth[1] in SPROCKETS_AND_NO_RINGS:
            passage.taken.append(m.span())
            continue
        if rises and not _OF_A_CRANK.search(passage.text, max(0, m.start() - 16), m.end() + 22):
            continue
        yield [
            Found("largest_ring_teeth", teeth[0], *m.span()),
            Found("smallest_ring_teeth", teeth[-1], *m.span()),
        ]


@at_numbers_only(_RINGS)
def gear_pairs(passage: Passage) -> Iterator[list[Found]]:
    """ "An easier gear than 34/28": a ring over a sprocket, where the talk is of a gear and two rings would be odd."""
    for m in passage.at_numbers(_RINGS):
        ring, sprocket = float(m[1]), float(m[2])
        near = passage.text[max(0, m.start() - 28) : m.end() + 12]
        if m[3] is None and -14 <= ring - sprocket < FEWEST_RING_STEP and _OF_A_GEAR.search(near):
            ends = (
                ("smallest_ring_teeth", ring),
                ("largest_sprocket_teeth", sprocket),
                ("old_largest_sprocket_teeth", sprocket),
            )
            yield [Found(name, teeth, *m.span()) for name, teeth in ends]


_FROM_TO_SPEEDS = form(
    r"([5-9]|1[0-3])(?:[\s-]?speeds?)?\s(?:to|up to)\s([5-9]|1[0-4])[\s-]?(?:speeds?|spd)\b(?!\s?(?:chains?|quick|links?))",
    catches="9 to 10 speed",
    leaves="9 to 10 speed chains",
)
_SPEEDS_OF_A_PART = form(
    r"\b(?:(?P<shifter>shifters?|brifters?)|(?P<derailleur>derailleur|mech)|(?P<chain>chain)|(?P<cassette>cassette|block))"
    r"(?:['’]s|\s(?:is|are|clicks|has))?\s(?:an?\s)?(?P<count>[5-9]|1[0-3])(?=(?:\s(?:too|also|as well))?\s?(?:[.,;!?)](?!\d)|$|\s(?:and|but)\s(?!\d)))",
    catches="cassette is 10 too, speed",
    leaves="cassette is 10 mm",
)
_CONVERSION = form(r"\s(?:conversion|upgrade|change|swap)\b", catches=" conversion", leaves=" converter")
_FROM_BEFORE = form(r"\bfrom\s(?:an?\s)?$", catches="go from ", leaves="go for ")


def speeds_of_a_part(passage: Passage) -> Iterator[list[Found]]:
    """ "Shifter is 10 speed, cassette is ten too": figures without the word, where speeds are spoken of."""
    for m in passage.around(_SPEEDS_OF_A_PART, "speed", "spd", "shifter clicks"):
        kind = next(key for key, group in m.groupdict().items() if group and key != "count")
        yield [Found(_ROLE_NAMES[kind], float(m["count"]), *m.span("count"))]


@at_numbers_only(_BY_SPEEDS, _COGS, _COGS_BEHIND, _SPEEDS, _FROM_TO_SPEEDS)
def speeds(passage: Passage) -> Iterator[list[Found]]:
    """ "2x11", "3 in front and 10 in the back", "7 speed thumb shifters", "8/9/10 speed freehub", "the wheels are 10-speed"."""
    for m in passage.at_numbers(_BY_SPEEDS):
        if not passage.after(m.end(), 9).startswith((" spoke", " cross", " pattern", " laced")):
            role = _ROLE_AFTER.match(passage.text, m.end())
            name = "chain_speeds" if role and role["chain"] else "speeds"
            yield [Found(name, float(m[2]), *m.span())]
    for m in passage.at_numbers(_FROM_TO_SPEEDS):
        if _FROM_BEFORE.search(passage.before(m.start(), 14)) or _CONVERSION.match(passage.text, m.end()):
            yield [Found("speeds", float(m[1]), *m.span(1)), Found("new_speeds", float(m[2]), *m.span(2))]
    for m in passage.at_numbers(_COGS_BEHIND):
        if _RINGS_IN_FRONT.search(passage.before(m.start(), 48)):
            yield [Found("speeds", float(m[1]), *m.span())]
    for m in passage.at_numbers(_COGS):
        yield [Found("speeds", float(m[1]), *m.span())]
    before = ""
    for m in passage.at_numbers(_SPEEDS):
        # "I know that from 6/7 speed town bikes" tells nothing of the one in question.
        if _BIKES_IN_GENERAL.match(passage.text, m.end()) and not _OF_MINE.search(passage.before(m.start())):
            passage.taken.append(m.span())
            continue
        # "A 7 speed block must be wider than a 6 speed": what is only compared with is not what there is.
        if _COMPARED.search(passage.before(m.start())) and not _ROLE_AFTER.match(passage.text, m.end()):
            passage.taken.append(m.span())
            continue
        role = _ROLE_AFTER.match(passage.text, m.end())
        # "Shifter is 10 speed, derailleur an older one": what stands behind a comma is the next part.
        if role is not None and role.group().startswith(","):
            role = _ROLE_BEFORE.search(passage.before(m.start())) or role
        # "A chain for a 10 speed drivetrain" may be of another width; the sprockets are ten.
        if role is None and _WHOLE_DRIVE.match(passage.text, m.end()) is None:
            role = _ROLE_BEFORE.search(passage.before(m.start()))
        kind = next((key for key, group in role.groupdict().items() if group), None) if role else None
        name = _ROLE_NAMES[kind] if kind else _speeds_by_sentence(passage, m)
        # "They have 10 speed chains and 8 speed ones": of the kind that was named before.
        if kind is None and before and _ONES_OF_THE_KIND.match(passage.text, m.end()):
            name = before
        # "A 12 speed quick link on an 11 speed chain": the link's number is not the chain's.
        if kind == "link" and _of_other_chains(passage, m):
            name = "link_speeds"
        before = name
        low, high = float(m[1] or m[2]), float(m[2])
        yield [Found(name, high if low >= high else (low, high), *m.span())]


def _of_other_chains(passage: Passage, link: re.Match[str]) -> bool:
    """Whether the chain's own number is told, and is another than the link's."""
    chains = [c for start in passage.starts if (c := _CHAIN_OF_SPEEDS.match(passage.text, start)) is not None]
    return bool(chains) and all(re.match(r"\d+", c.group()).group() != link[2] for c in chains)  # type: ignore[union-attr]


def _speeds_by_sentence(passage: Passage, m: re.Match[str]) -> str:
    """ "I want to put ten speeds on", "the freehub body is 36.9 mm long, eleven speed"."""
    before = passage.before(m.start(), _SENTENCE)
    before = before[sentence_start(before, len(before)) :]
    if _WANTED_SPEEDS.search(before) or _ONE_TO_COME.match(passage.text, m.end()):
        return "new_speeds"
    if _OF_THE_CHAIN.search(before) and (
        _ONES_OF_THE_KIND.match(passage.text, m.end()) or _CONCLUDED.search(before)
    ):
        return "chain_speeds"
    return "hub_speeds" if _HUB_SPOKEN_OF.search(before) else "speeds"


@at_numbers_only(_RING_TO_RING)
def ring_to_ring(passage: Passage) -> Iterator[list[Found]]:
    """ "Changing my chainring from a 42T to a 32T": the ring that there is and the one to come, where no sprocket is spoken of."""
    if not passage.holds(*_OF_RINGS) or passage.holds(*_OF_SPROCKETS):
        return
    for m in passage.at_numbers(_RING_TO_RING):
        if m[1] != m[2]:
            yield [
                Found("largest_ring_teeth", float(m[1]), *m.span(1)),
                Found("new_ring_teeth", float(m[2]), *m.span(2)),
            ]


MOST_SPROCKETS = 13
"""A cassette has no more, and no rider calls so small a sprocket the one at the back. [count]"""
MOST_OF_THE_SMALLEST = 12
FEWEST_OF_A_RING = 20
FEWEST_OF_THE_LARGEST = 28
"""A single sprocket of a derailleur bike with so many teeth is its largest. [teeth]"""


@at_numbers_only(
    _TOOTHED,
    _INNER_ALONE,
    _PLAIN_RING,
    _PLAIN_SPROCKET,
    _RING_NAMED,
    _FRONT_AND_BACK,
    _ON_THE_BACK,
    _UP_FRONT,
)
def toothed(passage: Passage) -> Iterator[list[Found]]:
    """ "36 tooth chainring", "14t cog", "34 on the back", "50 up front"."""
    for m in passage.at_numbers(_TOOTHED):
        # "52/36t chainrings" are two, "14t-32t cassette" is one.
        if ("ring" in m["what"] or m["what"] == "cassette") and _RINGS_BEFORE.search(
            passage.before(m.start(), 4)
        ):
            continue
        yield [Found(_toothed_name(m, passage), float(m[1]), *m.span())]
    for m in passage.at_numbers(_RING_NAMED):
        name = _inner_of(float(m[1]), passage) if m["small"] else "largest_ring_teeth"
        yield [Found(name, float(m[1]), *m.span())]
    for m in passage.at_numbers(_INNER_ALONE):
        yield [Found(_inner_of(float(m[1]), passage), float(m[1]), *m.span())]
    if passage.holds("chainline", "chain line"):
        return
    yield from _plainly_named(passage)
    single = passage.holds(*_FIXED)
    if single or passage.holds("gear", "cadence", "rpm", "teeth", "tooth", "touring", "cassette", "chain"):
        for m in passage.at_numbers(_FRONT_AND_BACK):
            yield [
                Found("largest_ring_teeth", float(m[1]), *m.span(1)),
                Found("sprocket_teeth" if single else "largest_sprocket_teeth", float(m[2]), *m.span(2)),
            ]
    for m in passage.at_numbers(_ON_THE_BACK):
        if passage.before(m.start(), 1) in ("-", "/", "x"):
            continue
        # "Three in front and 10 in the back" counts sprockets, and not the teeth of one.
        if float(m[1]) <= MOST_SPROCKETS and not m[2]:
            continue
        yield [Found("sprocket_teeth" if single else "largest_sprocket_teeth", float(m[1]), *m.span(1))]
    if passage.holds("ring", "teeth", "tooth", "cassette", "sprocket", "at the back", "on the back"):
        for m in passage.at_numbers(_UP_FRONT):
            if passage.before(m.start(), 1) in ("-", "/"):
                continue
            yield [Found("largest_ring_teeth", float(m[1]), *m.span(1))]


def _plainly_named(passage: Passage) -> Iterator[list[Found]]:
    """ "A 42 ring and a 51 sprocket": teeth without the word."""
    for m in passage.at_numbers(_PLAIN_RING):
        if _IS_ITS_OWN.search(passage.before(m.start(), 14)) is None:
            new = _TO_COME.search(passage.before(m.start(), 16))
            yield [Found("new_ring_teeth" if new else "largest_ring_teeth", float(m[1]), *m.span())]
    for m in passage.at_numbers(_PLAIN_SPROCKET):
        if _IS_ITS_OWN.search(passage.before(m.start(), 14)) is None:
            yield [Found(_sprocket_name(float(m[1]), passage), float(m[1]), *m.span())]


def _sprocket_name(teeth: float, passage: Passage) -> str:
    """Of many sprockets one with so few teeth is the smallest and one with so many the largest; else it is the only one."""
    if passage.holds(*_FIXED, "hub gear", "gear hub", "belt"):
        return "sprocket_teeth"
    if teeth <= MOST_OF_THE_SMALLEST:
        return "smallest_sprocket_teeth"
    return "largest_sprocket_teeth" if teeth >= FEWEST_OF_THE_LARGEST else "sprocket_teeth"


_NOUN_THEN_TEETH = form(
    r"(?<!rated )\b(?:(?P<which>inner|small|granny|little|outer|big|large|new|smaller|bigger|replacement|biggest|largest|smallest|top|low)\s)?"
    r"(?P<noun>(?:chain\s?)?ring|sprocket|cog)(?:['’]?s)?\s?,?\s?(?:(?:is|was|will be|has|of|at present|now|currently|:|=)\s){0,2}(?:an?\s|about\s)?"
    r"(?P<teeth>[1-6]\d)(?:\s?t\b|\s(?:teeth|tooth)\b)?(?![\d-]|[.,]\d|\s?/)(?=\s?(?:[.,;!?)]|$|\b(?:and|but|with|so|up front|at|on|in|now|then|frame)\b))",
    catches="the ring is a 42, ",
    leaves="the ring is 42 mm",
)


def teeth_behind_their_noun(passage: Passage) -> Iterator[list[Found]]:
    """ "The ring is a 42 and the sprocket will be 17", "one ring, 44 teeth"."""
    for m in passage.around(_NOUN_THEN_TEETH, "ring", "sprocket", "cog"):
        which, teeth = m["which"] or "", float(m["teeth"])
        if "ring" not in m["noun"]:
            if not which:
                yield [Found(_sprocket_name(teeth, passage), teeth, *m.span("teeth"))]
        elif teeth >= FEWEST_OF_A_RING:
            inner = which in ("inner", "small", "granny", "little")
            new = which in ("new", "smaller", "bigger", "replacement")
            name = "smallest_ring_teeth" if inner else "new_ring_teeth" if new else "largest_ring_teeth"
            yield [Found(name, teeth, *m.span("teeth"))]


def _inner_of(teeth: float, passage: Passage) -> str:
    """ "It's set up with 52/42/30, and he has a 24 inner ring": one that isn't in the set is the one to come."""
    for start in passage.starts:
        one_set = _RINGS.match(passage.text, start)
        if one_set is not None and one_set[3] and str(int(teeth)) not in one_set.groups():
            return "new_smallest_ring_teeth"
    return "smallest_ring_teeth"


def _toothed_name(m: re.Match[str], passage: Passage) -> str:
    before = passage.before(m.start(), 14)
    if "ring" in m["what"]:
        return _inner_of(float(m[1]), passage) if m["small"] else "largest_ring_teeth"
    if m["small"]:
        return "smallest_sprocket_teeth"
    if (
        m["what"] in ("sprocket", "cog")
        and not m["big"]
        and float(m[1]) >= FEWEST_OF_THE_LARGEST
        and not passage.holds(*_FIXED)
    ):
        wished = _TO_COME.search(passage.before(m.start(), 16))
        return "new_largest_sprocket_teeth" if wished else "largest_sprocket_teeth"
    if m["big"] or m["what"] == "cassette" or before.rstrip(" a").endswith(("biggest", "largest", "big")):
        return "largest_sprocket_teeth"
    return "sprocket_teeth"

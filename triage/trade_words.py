"""Words of the trade: whether a sentence speaks of a bicycle, and whether it asks what to do about one."""

from __future__ import annotations

import re

_BICYCLES = (
    *(
        "bikes?",
        "bicycles?",
        "cycling",
        "tandems?",
        "trikes?",
        "tricycles?",
        "unicycles?",
        "recumbents?",
        "velomobiles?",
        "handcycles?",
    ),
    *("e-?bikes?", "roadbikes?", "mtb"),
)
_KINDS_AND_PARTS = """
fixie singlespeed
wheels? wheelsets? rims? spokes? nipples? hubs? hubgears? freehubs? freewheels? axles? skewers?
tyres? tires? tubes? tubulars? tubs? clinchers? tubeless sealant valves? punctures?
brakes? braking callipers? calipers? rotors? discs? pads? levers? hoods cantis? cantilevers? hoses?
chains? chainrings? chainsets? cassettes? sprockets? cogs? derailleurs? mechs? shifters? shifting gears? gearing hangers?
cables? housings? cranks? cranksets? pedals? cleats? spindles? bb bearings? cones? headsets? stems? handlebars? bars? grips?
forks? frames? framesets? dropouts? steerers? seatposts? saddles? chainstays? mudguards? fenders? racks? panniers?
idlers? lockrings? cotters? stanchions? dynamos?
bolts? threads? torque grease lube lubricants? degreaser suspension droppers? cadence
""".split()  # noqa: SIM905 - a hundred quoted patterns would be unreadable
_TRADE = re.compile(
    rf"\b(?:{'|'.join((*_BICYCLES, *_KINDS_AND_PARTS))}|bottom bracket|(?:rear|back|air|coil) shocks?|(?:seat|top|down|head) tube)\b",
    re.IGNORECASE,
)
_WANTS_TO_KNOW = re.compile(
    r"\b(?:how (?:do|can|should|does|to|would|could|bad|long|often|exactly|much pressure)|can (?:i|you|we|it)|could i|should i|"
    r"will (?:it|this|my|a)|"
    r"(?:is|are|was) (?:it|that|this|these|those|they|there) (?:\w+ )?(?:ok|okay|safe|possible|normal|worth|allowed|right|true)|"
    # "Is a regular sway normal, or should they run dead straight?"
    r"(?:is|are) (?!(?:you|your|he|she|we|i)\b)(?:[\w'-]+ ){1,6}(?:normal|usual|unavoidable|to be expected)\b|"
    r"or should (?:it|they|this|these|the \w+) |"
    r"(?:don['’]t|do not|doesn['’]t|didn['’]t) know (?:why|what|how|whether|if|which|where)|no idea (?:why|what|how|which|where)|"
    r"not (?:quite |really |at all )?sure (?:why|what|how|whether|if|which|where)|wonder(?:ing|ed)? (?:why|what|how|whether|if|which)|"
    r"do i (?:need|have)|why (?:do|does|is|are|did|has)|"
    r"what (?:do|should|is the|are|can|could|causes?|size|kind)|which|would you (?:agree|recommend|advise)|"
    r"when (?:should|is it|do i|can i)|(?:what|so|and) now\b|now what|what (?:next|else)|"
    r"any (?:ideas?|advice|experience|tips?|suggestions?|thoughts|clue)|"
    r"(?:does|has|did|can) any(?:one|body)|need (?:information|help|advice)|please help|fix|"
    r"any(?:thing|one)? (?:that )?(?:you|you'd|you can|you could|you would) (?:can |could |would )?(?:recommend|suggest|advise))\b",
    re.IGNORECASE,
)
# "Do clip-in pedals let go in a crash?" asks about the part itself. Must not catch "is your bike for sale?".
_ASKS_OF_A_PART = re.compile(
    rf"\b(?:do|does|are|is) (?!you\b|your\b)(?:[\w-]+ ){{0,3}}(?:{'|'.join(_KINDS_AND_PARTS)})\b"
    r"(?![^.?!]*\b(?:sale|stock|available|price|cost|costs)\b)[^.?!]{2,80}\?|"
    # "Do they make belts in other colours?": whether there is such a thing, whatever is asked behind it.
    rf"\b(?:do (?:they|people|makers)|does any(?:one|body)) (?:even |still |ever )?(?:make|build) "
    rf"(?:[\w-]+ ){{0,6}}(?:{'|'.join(_KINDS_AND_PARTS)})\b[^.?!]{{0,80}}\?|"
    # "Any good tyres that she could ride to work on?" Must not catch "any old wheels going?".
    rf"\bany (?:[\w-]+ ){{0,2}}(?:{'|'.join(_KINDS_AND_PARTS)})\b"
    r"(?![^.?!]*\b(?:sale|stock|available|price|cost|costs|going|left|for free|to spare)\b)[^.?!]{8,80}\?",
    re.IGNORECASE,
)


_VEHICLES = (
    "car|van|lorry|truck|pickup|caravan|motorhome|motorbike|motorcycle|moped|scooter|pushchair|pram|buggy|wheelbarrow|wheelchair|"
    "lawn ?mower|mower|tractor|boat"
)
_MADE_FOR_ONE = (
    "oil|lube|lubricant|grease|spray|cleaner|sealant|fluid|patch|pump|valve|inflator|compressor|gauge|style|type|rack|"
    "carrier|lever|foam|helmet|gloves|tools?"
)
_ANOTHERS = re.compile(
    rf"\b(?:(?:my|our|his|her|the|a|an|this|kids?'?|baby'?s?)\s(?:\w+\s)?(?:{_VEHICLES})(?:['’]s)?\s(?:\w+\s)?"
    r"(?:clutch|gear ?box|engine|exhaust|brakes?|pads|discs|steering|suspension|gears|radiator|starter|alternator|oil|battery|"
    r"wheels?|tyres?|tires?|tubes?|chain|sprocket|axle|bearings?|fork|carburettor|spark plugs?|propeller|blades?)\b"
    rf"(?!\s(?:{_MADE_FOR_ONE})))|"
    # An electric or a kick scooter is none of the desk's, whatever of it is broken; "scooter" alone may be the rider's other one.
    r"\b(?:e-?|electric |kick |stunt |mobility )scooters?\b|"
    r"\b(?:my|our|the|this) scooter\b[^?]{0,300}\b(?:batter(?:y|ies)|charger|throttle)\b|"
    r"\b(?:batter(?:y|ies)|charger|throttle)\b[^?]{0,300}\b(?:my|our|the|this) scooter\b|"
    r"^\W*(?:\w+ )?(?:pushchair|pram|wheelbarrow|wheelchair|caravan|lawn ?mower) (?:tyres?|tires?|wheels?|brakes?|axle)\b",
    re.IGNORECASE,
)
# What no bicycle has. Rotors, rims and callipers are a car's as well, so beside these words they tell nothing.
_OF_CARS_ONLY = re.compile(
    r"\b(?:hub ?caps?|wheel (?:covers?|trims?|brace)|"
    r"(?:automatic|manual) (?:transmission|gearbox)|transmission fluid|lug ?nuts?|carburett?ors?|spark plugs?|exhaust pipe|"
    r"steering wheel|windscreen|windshield|power steering|engine braking|swing ?arm bush(?:es)?|"
    r"(?:dead|gas|clutch|accelerator) pedals?)\b|"
    # Somebody's own, but not what is only made for one: "motorcycle chain lube" goes on bicycles too.
    r"\b(?:(?:my|our|his|her|this) (?:\w+ )?|(?:on|of|for|off) the )"
    r"(?:motorbike|motorcycle|moped|outboard(?: motor)?|motorboat|lawn ?mower|tractor)s?\b"
    rf"(?!['’]?s? (?:chain |brake |fork |tyre |tire )?(?:{_MADE_FOR_ONE})\b)",
    re.IGNORECASE,
)
# One's own, or a part of it, is what the ask is about where nothing of a bicycle is named: but not "my motorcycle mechanic says …".
_OWN_MOTORCYCLE = re.compile(
    r"\b(?:my|our|his|her|this) (?:\w+ )?(?:motorbike|motorcycle|moped)(?:['’]s)?"
    r"(?=\s?[.,;!?]| (?:tyres?|tires?|brakes?|chain|forks?|wheels?|sprockets?|rotors?|bars?|handlebars?|is|was|has|had|won|does|and)\b)"
    rf"(?! (?:chain |brake |fork |tyre |tire )?(?:{_MADE_FOR_ONE})\b)",
    re.IGNORECASE,
)
# One that is worked on, before anybody calls it theirs: "I am rebuilding a 1974 motorcycle".
_WORKED_ON = re.compile(
    r"\b(?:restor|rebuild|rebuilt|refurbish|repaint|own|bought|ride|riding)\w*\s(?:up\s)?(?:an?|some|old)\s(?:[\w-]+\s){0,3}"
    r"(?:motorbike|motorcycle|moped|motorboat|lawn ?mower|tractor)s?\b"
    rf"(?!['’]?s? (?:chain |brake |fork |tyre |tire )?(?:{_MADE_FOR_ONE})\b)",
    re.IGNORECASE,
)
# What tells of an engine, even where the talk is of a bike and its handlebars.
_WITH_AN_ENGINE = re.compile(
    r"\b(?:(?:[2-9]|\d{2,3})\s?hp|(?:125|250|[3-9]\d0|1\d00)\s?cc(?! of)|engine (?:crash )?(?:guards?|bars|cover|mounts?)|"
    r"(?:kg|lbs?|kilos|pounds|stone) of motor(?:cycle|bike)|(?:petrol|fuel) tank|(?<!gas )(?<!tube )tank bags?)\b",
    re.IGNORECASE,
)
# How a motorcycle's tyres and chains are called, and how it is parked. Must not catch "90/95 - 15 psi less".
_OF_MOTORCYCLES_ONLY = re.compile(
    r"\b(?:420|428|520|525|530) pitch\b|\b(?:[89]\d|1\d\d|200)/\d{2}\s?-?\s?(?:z?r|b|-)\s?1\d\b"
    r"(?!\s?(?:per ?cent|psi|bar|mm|kg|lbs?)\b|\s?%)|"
    r"\b(?:parked|left|leave|parking)\b[^.?!]{0,60}\bin (?:first )?gear(?=\s*(?:[.,;)]|and\b|$))",
    re.IGNORECASE,
)
# "I'm the engine on a tandem" is said of bicycles, and engine oil is put on their chains; but nobody turns either off.
_HAS_AN_ENGINE = re.compile(
    r"\bengine (?:(?:is|was|being|when|isn['’]?t|wasn['’]?t|is not|was not) )?(?:turned |switched )?(?:off|running|idling|revving)\b|"
    r"\b(?:turn(?:s|ed|ing)?|switch(?:es|ed|ing)?|start(?:s|ed|ing)?|rev(?:s|ved|ving)?) (?:off )?(?:the|my|its) engine\b",
    re.IGNORECASE,
)
# Riders of electric bicycles say "engine" for the motor, many of them in a language that isn't their own.
_AN_E_BIKE = re.compile(
    r"\be-?(?:bikes?|mtbs?|trikes?)\b|\bpedelecs?\b|\belectric(?:al)? (?:bi(?:ke|cycle)|trike)s?\b|\bpedal[- ]assist",
    re.IGNORECASE,
)
_WITH_A_LICENCE = re.compile(
    r"\bmotor(?:bike|cycle)s?\b|\bmopeds?\b|\bscooters?\b|\bpetrol\b|\bcarburett?ors?\b", re.IGNORECASE
)
# A key that is turned, a seat beside the driver: without a bicycle beside it, it is something with an engine.
_OF_A_DRIVER = re.compile(
    r"\b(?:miles|kms?|kilomet(?:re|er)s) driven on (?:these|those|the|my) (?:pads|brakes|tyres|tires|rotors|discs)\b|"
    r"\b(?:passenger|driver['’]?s)[- ]side\b|\b(?:turn|turned|key in|on) the ignition\b|\bignition (?:key|switch|coil|barrel)\b|"
    r"\b(?:it|engine|motor|she) (?:just )?(?:turns?|turned|cranks?|cranked) over (?:once|twice|but|and|fine|slowly)\b|"
    r"\bkick[- ]?start(?:er)?\b(?! (?:the|your|my) (?:week|season|day|training|morning))|"
    r"\b(?:four|4)[- ]?(?:wheel drive|x4)\b|\bgo[- ]?karts?\b",
    re.IGNORECASE,
)
# Of these one is enough, however like a bicycle's pads and rotors the rest sounds.
_SURELY_OF_A_CAR = re.compile(
    r"\b(?:power steering|windscreen|windshield|(?:automatic|manual) transmission|transmission fluid|lug ?nuts?|spark plugs?|"
    r"exhaust (?:pipe|manifold)|catalytic converter|head ?gasket|(?:alternator|timing|serpentine|fan) belt|tie rod ends?|ball joints?)\b",
    re.IGNORECASE,
)
# A throttle is a moped's or a motorcycle's; where something is electric or pedalled, a bicycle may have one as well.
_ON_A_THROTTLE = re.compile(
    r"\b(?:off|on|open(?:s|ed|ing)?|shut(?:s|ting)?|clos(?:e|es|ed|ing)|eas(?:e|es|ed|ing)) the throttle\b|"
    r"\bthrottle (?:cable|grip|wide open|stuck)\b",
    re.IGNORECASE,
)
_ELECTRIC_OR_PEDALLED = re.compile(
    r"\be-?(?:bikes?|mtbs?|trikes?|cargo)\b|\belectric\w*|\bbatter(?:y|ies)\b|\bmotors?\b|\bassist\w*|\bpedal\w*|\bderailleurs?\b|"
    r"\bcranks?\b|\bcassettes?\b|\bchainrings?\b|\bbicycles?\b|\bcycl(?:ing|ists?)\b",
    re.IGNORECASE,
)
_A_BICYCLE = re.compile(
    r"(?<!motor)(?<!motor-)bi(?:ke|cycle)|\bcycl(?:e|es|ing|ist|ists)\b|"
    r"\b(?:tandem|trike|tricycle|unicycle|recumbent|derailleur|saddle|seat ?post|handlebars?|cassette|spokes?|panniers?|"
    r"(?<!dead )(?<!gas )(?<!clutch )(?<!accelerator )pedal(?:s|ling|ing)?)\b",
    re.IGNORECASE,
)
# Beside a car's words these tell that a bicycle is what is asked about; "ride" and "rims" are said of cars.
_A_BICYCLE_ALL_THE_SAME = re.compile(
    rf"{_A_BICYCLE.pattern}|\b(?:handle ?bars?|bars|chainrings?|headset|free ?hub|freewheel|bottom bracket|forks?|dropouts?|chainstays?|"
    r"cranks?|crankset|mtb|velomobile|rickshaw|pedicab|top tube|down ?tube|700 ?x? ?c|\d+[- ]speed)\b",
    re.IGNORECASE,
)
_OF_A_BICYCLE_ONLY = re.compile(
    r"(?<!motor)(?<!motor-)bi(?:ke|cycle)|\bcycl(?:e|es|ing|ist|ists)\b|\b(?:cargo|ride|rides|riding|rode|ridden)\b|"
    r"\b(?:tandem|derailleur|mech|saddle|seat ?post|handlebars?|cassette|chainrings?|sprockets?|spokes?|forks?|panniers?|tubeless|"
    r"free ?hub|freewheel|headset|bottom bracket|dynamo|top tube|down ?tube|inner tubes?|rims?|cranks?|pedals?|commut\w+|"
    r"700 ?x? ?c|29er|27\.5|\d+[- ]speed|rotors?|callipers?|calipers?|stem|frame)\b",
    re.IGNORECASE,
)


_WHOLE = re.compile(r"\b(?:e-?|road)?bikes?\b|\bbicycles?\b|\bcycling\b", re.IGNORECASE)


def names_a_part(text: str) -> bool:
    """Whether more is named than a bicycle: "what's wrong with my bike?" names nothing."""
    return _TRADE.search(_WHOLE.sub(" ", text)) is not None


def parts_named(text: str) -> set[str]:
    """The parts that are named, without their plural."""
    return {
        word.lower().rstrip("s").replace("tire", "tyre") for word in _TRADE.findall(_WHOLE.sub(" ", text))
    }


def speaks_of_a_bicycle(text: str) -> bool:
    """Whether a part, a material or a kind of bicycle is named."""
    return _TRADE.search(text) is not None


_TROUBLE = re.compile(
    r"\b(?:squeak|squeal|rub(?!ber)|wobbl|click|creak|rattl|slip|skip|stick|stuck|seiz|jam|loose|broke|snap|crack|bent|buckl|dent|worn|leak|drag|grind|judder|bind(?:s|ing)\b|"
    r"shudder|puls|spong|fray|flicker|froze|freez(?:es|ing (?:solid|up))|"
    r"rust|knock|clunk|clonk|(?<!rim )strip|round(?:ed|s) off|punctur|won['’]?t|doesn['’]?t|can['’]?t)\w*|"
    r"\b(?:not|isn['’]?t|aren['’]?t|stopped|quit) working\b|\bno longer works?\b|"
    r"\b(?:has|have|got|of|some|is) play\b|\bno (?:power|bite|pressure|brakes?)\b|\b(?:to|on|hits|touches) (?:the )?bars?\b|"
    # A part that meets another: "the pad is hitting the rim". Must not catch "hit the road" or "touch the wheel with a rag".
    r"\b(?:hit|touch|catch|foul|scrap)(?:s|es|e|ing|ting)? (?:on |against |up against )?(?:the|my|its) "
    r"(?:rim|rotor|disc|tyre|tire|frame|fork|mudguard|fender|spokes?|chainstay|cage|calliper|caliper)\b",
    re.IGNORECASE,
)


def tells_of_trouble(text: str) -> bool:
    """Whether a part of a bicycle is named and what is wrong with it: "front wheel has play"."""
    return _TROUBLE.search(text) is not None and speaks_of_a_bicycle(text)


_STEERS_OR_STOPS = re.compile(
    r"\b(?:brakes?|brake (?:pads?|blocks?|levers?|cables?)|callipers?|calipers?|rotors?|v-?brakes?|cantilevers?|stems?|steerers?|forks?|"
    r"handle-?bars?|head-?sets?|bar-?ends?|quills?)\b",
    re.IGNORECASE,
)


def tells_of_trouble_with_what_steers_or_stops(text: str) -> bool:
    """Whether something is told to be wrong, and a brake or a part of the steering is named."""
    return _STEERS_OR_STOPS.search(text) is not None and tells_of_trouble(text)


def asks_about_a_bicycle(ask: str, context: str) -> bool:
    """Whether an ask wants to know or do something, and it or its story names a bicycle's part."""
    if _ASKS_OF_A_PART.search(ask) is not None:
        return True
    return _WANTS_TO_KNOW.search(ask) is not None and speaks_of_a_bicycle(f"{ask} {context}")


def works_on_another_vehicle(ask: str, context: str) -> bool:
    """Whether the rider says that it is a motorcycle, and speaks of no bicycle: rust looks the same on both."""
    said = f"{ask} {context}"
    return _WORKED_ON.search(said) is not None and _A_BICYCLE.search(said) is None


def speaks_of_another_vehicle(ask: str, context: str) -> bool:
    """Whether a part that moves or stops a car or a mower is named, and nothing that belongs to a bicycle."""
    said = f"{ask} {context}"
    if _WITH_AN_ENGINE.search(said) is not None:
        return True
    if _OF_CARS_ONLY.search(said) is not None and _A_BICYCLE.search(said) is None:
        return True
    return _ANOTHERS.search(said) is not None and _OF_A_BICYCLE_ONLY.search(said) is None


def has_an_engine(ask: str, context: str) -> bool:
    """Whether the thing itself is told to have an engine that runs: no sorter need be asked then."""
    said = f"{ask} {context}"
    if _OF_MOTORCYCLES_ONLY.search(said) is not None:
        return True
    if _OWN_MOTORCYCLE.search(said) is not None and _A_BICYCLE.search(said) is None:
        return True
    if _HAS_AN_ENGINE.search(said) is not None:
        return _AN_E_BIKE.search(said) is None or _WITH_A_LICENCE.search(said) is not None
    if _SURELY_OF_A_CAR.search(said) is not None and _A_BICYCLE_ALL_THE_SAME.search(said) is None:
        return True
    if _ON_A_THROTTLE.search(said) is not None and _ELECTRIC_OR_PEDALLED.search(said) is None:
        return True
    return _OF_A_DRIVER.search(said) is not None and _A_BICYCLE.search(said) is None


# What was tried and did nothing. Must not catch "I tried the new bars" or "it didn't cost me anything".
_IN_VAIN = re.compile(
    r"\b(?:to no avail|in vain|no (?:luck|joy)|without (?:any )?(?:success|luck))\b|"
    r"\b(?:still (?:there|the same|the case|not right)|(?:same|no) (?:result|problem|noise|difference|change|improvement)s?|ditto)\b|"
    r"\bstill (?!(?:wait|look|go|rid|us|try|think|learn|wonder|enjoy|hav|hop|be|liv|mak)\w*ing)\w+ing\b|"
    r"\b(?:(?:did|does|wo|would|has|ca|could)n['’]?t|(?:did|does|will|would|has|could) not|refuses to|cannot)\s"
    r"(?:\w+\s){0,3}?(?:any good|help(?:ed)?|budge[ds]?|move[ds]?|come (?:off|out|loose|undone)|let go|work(?:ed)?|shift(?:ed)?|"
    r"turn(?:ed)?|free(?:d)?|undo)\b",
    re.IGNORECASE,
)
_TRIED = re.compile(
    r"\b(?:tried|attempted|applied|soaked|sprayed|hit it|had a go|swapped|replaced|adjusted|tightened|cleaned|greased|followed|"
    r"changed|checked|shortened|bled|trued|re-?built|re-?indexed|lubed|oiled)\b",
    re.IGNORECASE,
)
_DONE_AT_LAST = re.compile(
    r"\b(?:in the end|finally|eventually|at last|so i (?:just )?(?:bought|took|gave|went|had|swapped|fitted)|now it (?:works|runs|is fine)|"
    r"(?:it|that) (?:worked|did the (?:trick|job)|came (?:off|out|loose)))\b",
    re.IGNORECASE,
)
# Must not catch "is it worth buying one for sale at 100", which asks, nor "I bought it for sale price".
_OFFERS = re.compile(
    r"\b(?:is|are|up|it|them|these|both|crank|frame|bike|wheels?|set) (?:now |still |up )?for sale\b(?! price)|"
    r"\b(?:i['’]?m|i am|we['’]?re|we are) selling\b|"
    r"\bif any(?:one|body)(?:['’]s| is)? (?:wants?|interested|after)\b|\b(?:pick-?up|collection) only\b|"
    r"\b(?:pm|dm|message|text|mail|email) me if (?:you['’]re )?interested\b",
    re.IGNORECASE,
)
_GOES_FOR = re.compile(
    r"\b(?:going for|asking(?: price| for)?|price(?: is)?|yours for|"
    r"letting (?:it|them) go for|or (?:nearest|best) offer|o\.?n\.?o|obo)\b|"
    r"[£$€]\s?\d|\b\d+\s?(?:quid|euros?|dollars|bucks|pounds)\b",
    re.IGNORECASE,
)


def tells_of_a_try_in_vain(text: str) -> bool:
    """Whether a part is named, what was done about it, and that it did nothing, with no end told: that asks, whatever the words."""
    return (
        names_a_part(text)
        and _TRIED.search(text) is not None
        and _IN_VAIN.search(text) is not None
        and _DONE_AT_LAST.search(text) is None
    )


def offers_for_sale(text: str) -> bool:
    """Whether somebody who asks nothing offers something at a price."""
    return _OFFERS.search(text) is not None and _GOES_FOR.search(text) is not None


_BUYS = re.compile(
    r"\bfor sale\b|\bsell me\b|\bbuy (?:it|them|one|that|those) (?:off|from) you\b", re.IGNORECASE
)


def asks_to_buy(text: str) -> bool:
    """Whether somebody asks for what the show's people have."""
    return _BUYS.search(text) is not None


_CONCLUDES = re.compile(
    r"\b(?:my (?:own )?conclusion|i(?:['’]ve| have)? conclude[sd]?|in conclusion|to conclude|case closed|"
    r"lesson learn(?:ed|t)|the moral (?:is|of)|sample (?:size )?of one|just (?:letting you know|thought (?:i['’]d|you['’]d))|"
    r"hope (?:this|it) helps|for what it['’]s worth|that['’]s all from me|"
    r"what an? (?:legend|star|hero|gent|gentleman)|hats? off to|can['’]?t thank \w+ enough|"
    r"(?:is|are|we['’]re|i['’]m|wheel|bike) (?:now )?back (?:on track|on the road)|"
    # "I'd never go back to a chain": who praises, and asks nothing, is done with it.
    r"(?:n?ever|not) (?:going to |gonna )?go(?:ing)? back to an?\b|(?:hard|tough)(?: \w+)? to beat|"
    r"every(?:one|body) should (?:know|be aware|try|have)|"
    r"can['’]?t recommend (?:\w+ ){1,3}(?:highly )?enough|would (?:highly |certainly |happily )?recommend (?:it|them|this|these) to|"
    r"(?:problem|mystery|puzzle) solved|so much for the (?:scare|horror|old) (?:stories|tales?))\b",
    re.IGNORECASE,
)

# "I tried it with vinegar, and it worked a treat." Must not catch "it worked well until yesterday" nor "the brake worked well".
_WORKED = re.compile(
    r"\b(?:it|that|this|which) (?:really |actually |certainly |all )?worked "
    r"(?:(?:very|quite|really|so|pretty|extremely|surprisingly|remarkably) )?"
    r"(?:well|wonders|great|brilliantly|perfectly|beautifully|nicely|like a (?:charm|dream)|a treat)\b"
    r"(?!,? (?:until|till|for|at first|before|but|in the beginning|while|when|enough|with|on))",
    re.IGNORECASE,
)


def draws_a_conclusion(text: str) -> bool:
    """Whether somebody who asks nothing reports what came of it, rather than stating a trouble and stopping."""
    worked = _WORKED.search(text)
    return _CONCLUDES.search(text) is not None or (
        worked is not None and not tells_of_trouble(text[worked.end() :])
    )

"""Choices: what kind of rim, brake, frame or use the rider named, negations respected."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from knowledge.base import Choice, Knowledge
from triage.dead_brakes import dead_brakes, levers_at_the_bar
from triage.extract.forms import form
from triage.extract.spelled import Figured
from triage.extract.words import PhraseIndex, Words, lowered
from triage.records import Detail

_NEGATED = re.compile(
    r"(?:\b(?:not|no|isn't|isnt|is not|aren't|arent|wasn't|weren't|don't have|doesn't have|haven't got|hasn't got|without|never|non|neither|nor|instead of|rather than)"
    r"[\s-]+(?:a\s|an\s|the\s|my\s|any\s)?)$"
)
_NOT_DONE = form(
    r"\b(?:never|not|didn['’]?t|don['’]?t|haven['’]?t|hadn['’]?t)\s(?:ever\s|yet\s)?(?:put|used?|had|got|run|ran|tried|add(?:ed)?)\s(?:in\s)?(?:an?\s|any\s|the\s)?$",
    catches="i never put any ",
    leaves="why can't i put ",
)
"""What was never put in isn't there; what may not be put in may be there all the same."""
_NONE_OF_THEM = re.compile(
    r"\b(?:no|without|not any|never any|isn't any|aren't any)\s(?:sign of (?:the |a )?)?(?:\w+\s){1,2}$"
)
"""Before what something does: "no tube bulging"."""
_DOES = re.compile(r"(?:bulg|show|pok|stick|crack|split|fray)ing\b")
_OF_NEGATIONS = ("no", "n't", "nt", "without", "never", "neither", "instead", "rather")
"""Every negation has one of these in it."""
_BACK = 32
_BACK_TO_A_WISH = 64
_BACK_TO_A_FAILURE = 80
_BOTH_ENDS = "wheel_position"
_WISHED_FOR = ("cage_length", "skip_new_parts")
"""A part's kind that riders name as a cure: "do I need a long cage" says nothing of the one there is."""
_WISH = form(
    r"\b(?:need|buy|get|want)\b(?:(?!\b(?:my|have|has|had|got|with|this|current|existing|the)\b)[^.,;?!]){0,50}$",
    catches="do i need a ",
    leaves="i need lower gears with my ",
)
_NOT_YET_CHANGED = ("brake_type",)
"""What a rider thinks of changing to is not there yet: "worth it to convert to discs"."""
_WOULD_CHANGE = form(
    r"\b(?:to|would|could|can|should|shall|thinking of|considering|about|i|we)\s(?:convert|change|switch|upgrade|swap|go|move|converting|changing|switching|upgrading|swapping|going|moving)\s(?:it\s|them\s|over\s|both\s|(?:my|the)\s(?:\w+\s){1,2})?to\s(?:an?\s)?$",
    catches="is it worth it to convert to ",
    leaves="last year i converted it to ",
)
_NOT_YET_FITTED = ("spokes_broken",)
"""How many are bought, carried or renewed says nothing of how many are broken now: "I bought 2 spokes"."""
_BOUGHT = form(
    r"\b(?:bought|buy|buying|ordered|order|purchased|carry|carrying|carried|pack|packed|packing|spare|tape|taped|sold me|got me|bring|took along|"
    r"replaced|renewed|replacing|(?:wear|marks?|rust|dirt|scratche?s?|scars?|nicks?|tension) (?:on|of|in))\s(?:(?:me|just|only|about|at least|the|a|an|my|last|first|those|these)\s){0,2}$",
    catches="next day i bought ",
    leaves="i have just broken ",
)
_HEARSAY_IS_NONE = ("link_reuse",)
"""What a part is by its packet alone: "my mate says single use" leaves it open."""
_HEARSAY = form(
    r"\b(?:mates?|friends?|guy|bloke|chap|buddy|brother|dad|he|she|they|people|forums?|someone|somebody|everybody|everyone|video)\s(?:\w+\s)?(?:says?|said|claims?|reckons?|thinks?|told me|swears?|insists?)\b[^.;?!]{0,28}$",
    catches="my mate says they are ",
    leaves="the packet says ",
)
_WONDERED_AT = ("rim_type", "tyre_kind")
"""What may be ridden hangs on these, so "how do I know if my rims are tubeless" must not say that they are."""
_WONDER = form(
    r"\b(?:know|tell|see|check|sure|certain|find out|wonder(?:ing)?|figure out|idea|ask(?:ed)?)\s(?:if|whether)\s(?:(?:my|the|these|those|this|it's|it is|they're|they are|an?)\s){0,2}$",
    catches="how do i know if my ",
    leaves="i know that my ",
)
_MAY_BECOME = ("wheel_damage", "rim_damage", "rotor_damage")
"""What may come of a damage is none yet: "will the dent crack"."""
_BECOMES = form(
    r"\b(?:don['’]?t|do not|didn['’]?t|wouldn['’]?t) want\b[^.;?!]{0,60}$|\b(?:will|would|could|can|may|might|to|gonna|does|did)\s(?:(?:it|they|that|this|one)\s|(?:the|my|a)\s(?:\w+\s){1,2})?$|"
    r"\b(?:turns?|grows?|develops?|becomes?|leads?|starts?|makes?)\s(?:in)?(?:to\s)?(?:an?\s)?$",
    catches="will the dent ",
    leaves="it shows a ",
)
_NOISY_BEFORE = form(
    r"\b(?:loud|sharp|audible|nasty|dull|soft|heard an?|hear an?|heard the|hear the)\s(?:\w+\s)?$",
    catches="with a loud ",
    leaves="there is a long ",
)
_NOISY_BEHIND = form(r"\s(?:or \w+\s)?(?:sounds?|noises?)\b", catches=" sound", leaves=" paint")
"""A crack that is heard is no crack that is seen; on carbon it may be one."""
_BLOCKS_SOMETHING = form(
    r"\s(?:(?:out|off|up)\s)?(?:my|the|your|his|her|its|it|our|their|most|part|all|any)\b",
    catches=" my lamp",
    leaves=" squeal",
)
_ARE_BLOCKS = form(
    r"\b(?:the|my|your|his|her|these|those|brake|new|old|front|rear|both|of|with|worn|rubber|two|four|fit|fitted)\s$",
    catches="i fitted new ",
    leaves="a bag that ",
)
"""A bag that blocks a lamp is no brake block."""
_SOUND = {"rim_damage": "sound", "wheel_damage": "none", "rotor_damage": "none"}
_ANOTHER_PART = re.compile(
    r"\b(?:steerer|forks?|frame|stem|(?:handle)?bars?|cranks?|seat ?post|post|saddle|tubes?|lugs?|welds?|clear ?coat)\b"
)
_OF_A_WHEEL = re.compile(
    r"\b(?:rims?|wheels?|rotors?|discs?|disks?|hoops?|tracks?|spokes?|nipples?|tyres?|tires?|beads?)\b"
)
"""That a steerer shows no crack says nothing of the rim."""
_OUTDONE_BY = {"bearing_angles": "seat_angles"}
"""A choice that is not made by words which begin a longer way of making the other one."""
_TOLD_AS_A_FAILURE = ("front_short",)
"""What doesn't work counts only behind words that say so: "it rubs when I shift onto the large ring" reaches it."""
_FAILS = form(
    r"\b(?:\w+n['’]?t|not|cannot|never|no longer|refus\w+|fail\w*|unable|short|barely|hardly|stiff|hard|difficult\w*|trouble|problems?|stuck|without)\b[^.;?!]{0,64}$",
    catches="it won't shift ",
    leaves="it rubs when i shift ",
)
_COMPARED_WITH = ("seatpost_material", "frame_material", "steerer_material", "bar_material", "rim_material")
"""What a part is held up against is not it: "not as tight as I'd have it with an alloy post"."""
_COMPARED = form(
    r"\b(?:than|as|like)\b[^.,;?!]{0,40}\b(?:with|on|for|in)\s(?:an?|any|most|my old|the old)\s$",
    catches="not as tight as i would have it with an ",
    leaves="it is as tight as it goes and it has an ",
)
_OF_THE_FRAME = ("bent_part",)
"""A mudguard and a rack have stays too, and those may be bent back."""
_OF_A_GUARD = form(
    r"\b(?:mudguard|guard|fender|rack|carrier|basket|trailer)(?:['’]s)?\s$",
    catches="the mudguard ",
    leaves="the left ",
)
_OF_ANOTHER_BIKE = ("discipline",)
"""What somebody rode before says nothing of the bicycle that is asked about."""
_RIDDEN_BEFORE = form(
    r"\b(?:ever|only|never|always|previously|before)\s(?:ever\s|really\s)?(?:ridden|rode|owned|had|been on)\s(?:an?\s|my\s|the\s)?$",
    catches="she has only ridden a ",
    leaves="i have always raced ",
)
_FREE_SIDE = ("crank_side",)
"""The side whose part won't come off, or hurts: a side that the rider only names to say that it went well is not it."""
_HURTS = ("crack", "broke", "split", "bent", "chip", "knock", "dislocat")
_OF_A_BODY = form(
    r"(?:\s(?:my|his|her|their|two|three|four|some|a|the|and|or|bruised|broken|cracked|few))*\s(?:ribs?|teeth|tooth|bones?|collar ?bones?|wrists?|elbows?|shoulders?|"
    r"knees?|hips?|pelvis|skull|fingers?|thumbs?|arms? in|helmet|vertebrae?|toes?|ankles?|noses?|jaw|lips?|skin)\b",
    catches=" and broken ribs",
    leaves=" crank arm",
)
"""What a crash did to somebody says nothing of the bicycle."""
_BULGES = ("rim_damage", "wheel_damage", "casing_damage")
_OF_WHAT_COVERS = r"(?:(?:handle)?bar[- ]?tape|tape|wrap|wrapping|grips?|bags?|panniers?|pockets?|jackets?|housings?|outers?|cables?|saddle|gel|rack)"
"""What lies over something bulges and is no damage of a wheel: "the cable is bulging the bar tape"."""
_COVER_BULGES = form(
    rf"\b{_OF_WHAT_COVERS}\s(?:(?:is|are|was|were|now|then|that|still|just|all|also|really|slightly)\s){{0,3}}$",
    catches="the tape is ",
    leaves="the rim is ",
)
_BULGES_A_COVER = form(
    rf"\s(?:(?:in|of|under|out|up|on|through|the|my|your|its|their|a|left|right)\s){{0,4}}{_OF_WHAT_COVERS}\b",
    catches=" under the bar tape",
    leaves=" at the rim",
)
_OF_BOLTS = ("bolt_place", "joint")
_GONE = "brake_gone"
_VALVE_NEAR = form(
    r"\b(?:valves?|presta|schrader|dunlop|inner tubes?|punctur\w*)\b|\b(?:base|foot|root) of (?:the|its) $",
    catches="the stem of the valve",
    leaves="the stem",
)
_OF_A_TUBE = form(
    r"(?:\s\(?presta|\s\(?schrader|[^.?!]{0,60}\b(?:valves?|inner tube|(?:from|off|of|out of) (?:the|its|a|my|that) (?:tube|rubber)|its rubber|leak\w*|pump(?: head)?|gauge)\b)",
    catches=" was ripped from its tube",
    leaves=" is loose",
)
_NOT_OF_A_STEM = form(
    r"(?!\sbolts?\b|\scaps?\b)[^.?!]{0,80}\b(?:bars?|handlebars?|steerer|headset|fork|faceplate|spacers?)\b",
    catches=" turns on the steerer",
    leaves=" bolt",
)
_WENT_WELL = form(
    r"[\s,:;–-]{1,3}(?:(?:is|was|has|went|came|come|undid|unscrewed|off|out|undone|perfectly|just|all)\s){0,4}"
    r"(?:no\s(?:problems?|trouble|bother|issues?|worries)|not a problem|fine\b|ok(?:ay)?\b|easy|easily|without (?:any )?(?:problems?|trouble|a fight))",
    catches=" came off easily",
    leaves=" won't come off",
)
_THE_SOUND_ONE = ("hub_brake",)
"""The brake that is only named to say that it is well: "the coaster brake behind makes no noise" isn't the one that is asked about."""
_OR_NOT = form(r"\bor\s$", catches="tubeless or ", leaves="a rim for ")
"""Before a choice that itself begins with "not": "tubeless or not tubeless" is the question, and neither was told."""
_IS_WELL = form(
    r"(?:\s(?:brakes?|hub|behind|in the back|at the back|at the rear|itself|still|also|one)){0,3}\s"
    r"(?:makes? no (?:noise|sound|trouble)|(?:is|are|was|stays?|remains?|works?|brakes?|stops?|does|runs?)\s(?:\w+\s){0,2}?(?:silent|quiet|fine|ok|okay|well|perfectly|perfect|good|great))\b",
    catches=" brake behind makes no noise",
    leaves=" brake makes a noise",
)
_A_NEW_CLAUSE = ("skip_new_parts",)
"""Two parts that "and" may not join: "changed the chain and cassette looks fine" renews one."""
_GOES_ON = form(
    r"\s(?:itself\s)?(?:is|was|has|had|looks?|looked|seems?|seemed|isn['’]?t|hasn['’]?t|still|measures?|from|with|at|of)\b",
    catches=" looks fine",
    leaves=" and it skips",
)
_NO_WHEEL = form(
    r"\s(?:of\b|centre|center|derailleur|mech|changer|chainring|ring\b|triangle|light|rack|bag|dropout|end\b|cog|sprocket|contact)|"
    r"\s(?:does|do|takes?|has|carries|bears)\s[^.;?!]{0,24}\bof (?:the|my|its|all) (?:braking|weight|load|work)\b",
    catches=" centre",
    leaves=" tyre",
)
_LONE_END = form(
    r"(?:^|[.!?:;,\n]\s?|\bit['’]?s an?\s|\bon my\s|\b\d\d[\s-](?:spokes?|holes?|h)\s)(front|rear)"
    r"(?=\s?[,.;:!?)]|\s(?:is|has|with|lever|wheel|radial|radially)\b|$)",
    catches="it's a rear. 32 holes",
    leaves="the rear light, and the front light",
)
_PLACE_ALONE = re.compile(r"(?:up|in the|the) front|(?:at the|the) (?:back|rear)")
"""Where something is; of a wheel only where the talk is of one."""
_SPEAKS_OF_A_WHEEL = form(
    r"\b(?:wheels?|wheelset|tyres?|tires?|tubs?|tubes?|rims?|spokes?|hubs?|nipples?|brakes?|rotors?|discs?|disks?|pads?|callipers?|calipers?|punctur\w*|flats?|psi|bar)\b",
    catches="the tyre at the back",
    leaves="the chainring up front",
)
_SPEAKS_OF_NO_WHEEL = form(
    r"\b(?:chains?|chain ?lines?|shifts?|shifting|shifters?|rings?|chain ?rings?|cranks?|cassettes?|sprockets?|cogs?|teeth|mechs?|derailleurs?|gears?|frame|dropouts?|knees?|hips?|necks?|bags?|panniers?|luggage)\b",
    catches="my knees hurt at the front",
    leaves="it clicks at the front",
)
_COUNTS_BEFORE = re.compile(r"\d(?:t| teeth)?\s$")
_TUBELESS_OR_NOT = re.compile(r"(?:not|non|isn't|aren't)[\s-]tubeless")
_COULD_BE = re.compile(r"[\s-](?:ready|compatible|capable)\b")
_A_TUBE = re.compile(r"\btubes?\b")
_OF_THE_RIM = re.compile(r"\b(?:rims?|wheels?|wheelset|hoops?)\b")
_SAID_OF = {"brake_fluid": "brake_made_for", "brake_kind": "lever_pull"}
"""What stands in the words for the second is no choice of the first: "says DOT 5.1" tells the brake's fluid, not the filled one."""
_OUTWEIGHED: dict[str, tuple[tuple[str, str], ...]] = {
    "sun_place": (("open-sun", "closed-car"), ("open-sun", "car-boot"), ("closed-car", "car-boot")),
    "spokes_broken": (("one", "again"), ("one", "several"), ("again", "several"), ("slack", "several")),
    "wheel_damage": (
        ("dent", "crack"),
        ("dent", "ripple"),
        ("ripple", "crack"),
        *((lesser, graver) for lesser in ("none", "scratch") for graver in ("dent", "ripple", "crack")),
    ),
    "brake_fluid": (("mineral", "other-oil"),),
    "head_tube_kind": (("straight-34", "straight-44"),),
    "hub_axle": (("quick-release", "end-caps"), ("through-axle", "end-caps"), ("nutted", "end-caps")),
    "rotor_damage": (("hot", "warped"), ("hot", "crack"), ("warped", "crack")),
    "wear_mark": (("there", "faint"), ("there", "gone"), ("faint", "gone")),
    "arm_sign": (("age", "crack"),),
    "spoke_rust": (("stain", "eaten"),),
    "hub_setting": (("either", "short"),),
    "hub_fault": (
        ("grit", "cones"),
        ("grit", "axle"),
        ("grit", "balls"),
        ("grit", "apart"),
        ("grit", "thread"),
        ("balls", "thread"),
        ("cones", "thread"),
        ("balls", "apart"),
        ("cones", "apart"),
    ),
}
"""The lesser value and the graver one: who tells of both has both, and the graver decides."""
_NOT_AT_ONCE = {"spokes_broken": ("several", "again")}
"""The graver value that a bare plural names is the other one where that is told too: "another one; all spokes broke at the bend"."""
_COUNTED = re.compile(r"\d|one|two|three|four|five|several|couple|few")
_EITHER = re.compile(r"[^.?!;\n]{0,30}\bor\b[^.?!;\n]{0,30}")
_CARBON = re.compile(r"(?<!\S)carbon(?=\s(?!fib(?:re|er)\b))")
_CARBONS = ("carbon fibre", "carbon fiber", "carbon-fibre", "carbon-fiber", "carbonfibre", "carbonfiber")
_TURNED = ("is", "are", "is made of", "are made of", "made of")
_LEFT = form(
    r"\b(?:changed|swapped|switched|converted|moved|upgraded|went)\s(?:over\s|it\s|them\s)?from\s(?:an?\s|the\s|my\s)?(?:\w+\s)?$",
    catches="i changed from ",
    leaves="thinking of going from ",
)
_EXCHANGED = ("spindle_kind",)
"""A part that is swapped for one of another kind takes what it fits along: "swap my square taper unit for an outboard one"."""
_SWAP_MY = form(
    r"\b(?:swap|replace|change|exchange|convert|upgrade)(?:d|ped|ping|ing)?\s(?:out\s)?(?:my|the|an?|this|our)\s(?:old\s|worn\s|present\s)?$",
    catches="i want to swap my ",
    leaves="i want a ",
)
_CHANGED_TO = form(
    r"\b(?:chang|swap|switch|convert|mov|upgrad|go)(?:e|ed|ing|ped|ping|es|s)?\s(?:over\s)?to\s(?:an?\s|the\s)?(?:\w+\s)?$",
    catches="i want to change to a ",
    leaves="the change from a ",
)
_FROM = re.compile(r"\s?(?:\w+\s){0,2}from\s(?:an?\s|the\s|my\s)?(?:\w+\s)?")
_TO = re.compile(r"\s?(?:\w+\s){0,2}(?:to|on to|onto|for)\s(?:\w+\s){0,2}")
_SENTENCE_END = re.compile(r"[.!?;\n](?=\s|$)|\n")


def _by_name(
    *rules: tuple[Sequence[str], re.Pattern[str], int],
) -> dict[str, list[tuple[re.Pattern[str], int]]]:
    """The patterns of each choice, and how far back each looks."""
    found: dict[str, list[tuple[re.Pattern[str], int]]] = {}
    for names, pattern, reach in rules:
        for name in names:
            found.setdefault(name, []).append((pattern, reach))
    return found


_NOT_SO_BEHIND = _by_name(
    (_WISHED_FOR, _WISH, _BACK_TO_A_WISH),
    (_NOT_YET_CHANGED, _WOULD_CHANGE, _BACK_TO_A_WISH),
    (_NOT_YET_FITTED, _BOUGHT, _BACK),
    (_HEARSAY_IS_NONE, _HEARSAY, _BACK_TO_A_WISH),
    (_WONDERED_AT, _WONDER, _BACK_TO_A_WISH),
    (_OF_ANOTHER_BIKE, _RIDDEN_BEFORE, _BACK),
    (_COMPARED_WITH, _COMPARED, _BACK_TO_A_WISH),
    (_OF_THE_FRAME, _OF_A_GUARD, _BACK),
)
"""Of which choice what words before it say that it is not made."""
_NOT_SO_AHEAD = {
    **dict.fromkeys(_FREE_SIDE, _WENT_WELL),
    **dict.fromkeys(_THE_SOUND_ONE, _IS_WELL),
    **dict.fromkeys(_A_NEW_CLAUSE, _GOES_ON),
    _BOTH_ENDS: _NO_WHEEL,
}
"""The same for words after it."""


def _is_not_so(name: str, text: str, start: int, end: int) -> bool:
    """Whether the words round a choice say that it is wished for, feared, past or another's."""
    if (
        name in _MAY_BECOME
        and text.startswith(("crack", "split"), start)
        and _BECOMES.search(text[max(0, start - _BACK_TO_A_WISH) : start])
    ):
        return True
    if (
        text[start:end] == "blocks"
        and _BLOCKS_SOMETHING.match(text, end)
        and not _ARE_BLOCKS.search(text[max(0, start - _BACK) : start])
    ):
        return True
    if name in _MAY_BECOME and text.startswith("crack", start) and _is_only_heard(text, start, end):
        return True
    if name in _TOLD_AS_A_FAILURE and not _FAILS.search(text[max(0, start - _BACK_TO_A_FAILURE) : start + 6]):
        return True
    if name in _BULGES and text.startswith("bulg", start) and _is_of_a_cover(text, start, end):
        return True
    if text.startswith(_HURTS, start) and _OF_A_BODY.match(text, end):
        return True
    if text.startswith("not ", start) and _OR_NOT.search(text[max(0, start - _BACK) : start]):
        return True
    if name in _OF_BOLTS and text[start:end] == "stem" and _is_of_a_valve(text, start, end):
        return True
    if name == _BOTH_ENDS and _is_no_wheels_place(text, start, end):
        return True
    if name == "tyre_system" and _COULD_BE.match(text, end) and _A_TUBE.search(text):
        # "Tubes in, the rim is tubeless ready": what it could take is not how it is ridden.
        return True
    if name == "rim_type" and _is_of_the_tyre(text, start, end):
        return True
    ahead = _NOT_SO_AHEAD.get(name)
    if ahead is not None and ahead.match(text, end):
        return True
    return any(
        pattern.search(text[max(0, start - reach) : start]) for pattern, reach in _NOT_SO_BEHIND.get(name, ())
    )


def _is_no_wheels_place(text: str, start: int, end: int) -> bool:
    """ "A 42 up front", "the frame is 135 at the back", "knees hurt at the front": a place, and of no wheel."""
    if not _PLACE_ALONE.fullmatch(text, start, end):
        return False
    sentence = _sentence_round(text, start, end)
    if _SPEAKS_OF_A_WHEEL.search(sentence):
        return False
    before = text[max(0, start - _BACK) : start]
    return _COUNTS_BEFORE.search(before) is not None or _SPEAKS_OF_NO_WHEEL.search(sentence) is not None


def _is_of_the_tyre(text: str, start: int, end: int) -> bool:
    """ "It isn't tubeless" says how it is ridden, and not what the rim is made for; an old rim may be of any kind."""
    if text.startswith("old rim", start):
        return "tubeless" not in text and "sealant" not in text
    if not _TUBELESS_OR_NOT.fullmatch(text, start, end):
        return False
    return _OF_THE_RIM.search(_sentence_round(text, start, end)) is None


def _sentence_round(text: str, start: int, end: int) -> str:
    before = max((m.end() for m in _SENTENCE_END.finditer(text, 0, start)), default=0)
    behind = _SENTENCE_END.search(text, end)
    return text[before : behind.start() if behind else len(text)]


def _is_only_heard(text: str, start: int, end: int) -> bool:
    if "carbon" in text:
        return False
    return _NOISY_BEHIND.match(text, end) is not None or (
        _NOISY_BEFORE.search(text[max(0, start - _BACK) : start]) is not None
    )


def _is_of_a_cover(text: str, start: int, end: int) -> bool:
    return _BULGES_A_COVER.match(text, end) is not None or (
        _COVER_BULGES.search(text[max(0, start - _BACK) : start]) is not None
    )


def _is_of_another_part(name: str, value: str, text: str, start: int, end: int) -> bool:
    """Whether the sentence that finds nothing wrong names another part and no wheel."""
    if _SOUND.get(name) != value:
        return False
    sentence = _sentence_round(text, start, end)
    return _ANOTHER_PART.search(sentence) is not None and _OF_A_WHEEL.search(sentence) is None


def _is_of_a_valve(text: str, start: int, end: int) -> bool:
    """ "The stem (Presta) had torn from the tube": with a tube or its valve beside it, and no bar, it holds no handlebar."""
    before = text[max(0, start - _BACK_TO_A_WISH) : start]
    if _NOT_OF_A_STEM.match(text, end):
        return False
    return _VALVE_NEAR.search(before) is not None or _OF_A_TUBE.match(text, end) is not None


class ChoiceFinder:
    """All ways of saying every choice, the longest first, so that "not tubeless" beats "tubeless"."""

    def __init__(self, knowledge: Knowledge) -> None:
        self.reads_dead_brakes = _GONE in knowledge.choices
        self.reads_ends = _BOTH_ENDS in knowledge.choices
        self.phrases: PhraseIndex[tuple[str, str]] = PhraseIndex(
            (lowered(Figured(words).text), (name, choice.value))
            for name, choices in knowledge.choices.items()
            for choice in choices
            for words in _ways_of_saying(choice)
        )

    def find(self, figured: Figured, text: str, words: Words) -> list[Detail]:
        """Each choice that the text makes, in the words it makes it with."""
        gone = self._gone(figured, text)
        hits = self.phrases.hits(words)
        if not hits:
            return self._lone_ends(figured, text, []) + gone
        longest: dict[tuple[str, int], tuple[int, str]] = {}
        for start, end, meanings in hits:
            if not _is_whole(text, start, end):
                continue
            for name, value in meanings:
                if end > longest.get((name, start), (0, ""))[0]:
                    longest[name, start] = end, value
        details = []
        last: dict[str, int] = {}
        for (name, start), (end, value) in sorted(longest.items(), key=lambda item: item[0][1]):
            if start < last.get(name, 0):
                continue
            last[name] = end
            before = text[max(0, start - _BACK) : start]
            if _is_negated(before) or (_DOES.match(text, start) and _NONE_OF_THEM.search(before)):
                continue
            if _is_not_so(name, text, start, end) or _is_of_another_part(name, value, text, start, end):
                continue
            first, behind = figured.back(start, end)
            details.append(Detail(name, value, figured.original[first:behind], first, behind))
        details += self._lone_ends(figured, text, details)
        told = _without_the_left(_without_the_made_for(_without_shorter(details)), text)
        return _without_the_lesser(_without_both_ends(told, text), text) + gone

    def _lone_ends(self, figured: Figured, text: str, details: list[Detail]) -> list[Detail]:
        """ "Rear, 32 holes", "it's a front", "on my rear": the end alone, where the talk is of a wheel."""
        if not self.reads_ends or any(detail.name == _BOTH_ENDS for detail in details):
            return []
        if ("front" not in text and "rear" not in text) or _SPEAKS_OF_A_WHEEL.search(text) is None:
            return []
        ends = []
        for m in _LONE_END.finditer(text):
            first, behind = figured.back(*m.span(1))
            ends.append(Detail(_BOTH_ENDS, m[1], figured.original[first:behind], first, behind))
        return ends

    def _gone(self, figured: Figured, text: str) -> list[Detail]:
        """Brakes that do nothing: said in too many ways for a list, and of too few other things."""
        if not self.reads_dead_brakes:
            return []
        value, found = "gone", list(dead_brakes(text))
        if not found:
            value, found = "bar", list(levers_at_the_bar(text))
        spans = [figured.back(start, end) for start, end in found]
        return [
            Detail(_GONE, value, figured.original[first:behind], first, behind) for first, behind in spans
        ]


def _without_shorter(details: list[Detail]) -> list[Detail]:
    """ "The bearing says 36x45 on it" is of the one that is there, though "bearing says 36x45" might be of the new one."""
    longer = {name: {d.start: d.end for d in details if d.name == name} for name in _OUTDONE_BY.values()}
    return [
        d
        for d in details
        if d.name not in _OUTDONE_BY or longer[_OUTDONE_BY[d.name]].get(d.start, 0) <= d.end
    ]


def _is_negated(before: str) -> bool:
    """Whether these words end in one that turns what follows into its contrary."""
    for letters in _OF_NEGATIONS:
        if letters in before:
            return _NEGATED.search(before) is not None or _NOT_DONE.search(before) is not None
    return False


def _ways_of_saying(choice: Choice) -> Iterator[str]:
    """Its words as listed; for a material also turned round: "alloy crank" as "crank is alloy"."""
    for words in choice.words:
        yield words
        if _CARBON.search(words) is not None:
            yield from (_CARBON.sub(other, words) for other in _CARBONS)
        material, _, thing = words.partition(" ")
        if choice.name.endswith("_material") and thing and " " not in thing:
            yield from (f"{thing} {turned} {material}" for turned in _TURNED)


def _without_the_made_for(details: list[Detail]) -> list[Detail]:
    """Without what only says what the thing is made for."""
    if not any(detail.name in _SAID_OF for detail in details):
        return details
    return [
        detail
        for detail in details
        if _is_all_there_is(detail, details)
        or not any(
            other.name == _SAID_OF.get(detail.name) and other.start <= detail.start < other.end
            for other in details
        )
    ]


def _is_all_there_is(detail: Detail, details: list[Detail]) -> bool:
    """ "It is filled with mineral oil", and no other fluid is named: that is both what it is made for and what is in it."""
    return lowered(detail.words).startswith("filled with") and all(
        other.value == detail.value for other in details if other.name == detail.name
    )


def _without_the_left(details: list[Detail], text: str) -> list[Detail]:
    """ "Changed from cantilevers to discs", "to discs from cantilevers": what was left is there no more."""
    return [
        one
        for one in details
        if not any(
            other.name == one.name and other.value != one.value and _is_left_for(one, other, text)
            for other in details
        )
    ]


def _is_left_for(one: Detail, other: Detail, text: str) -> bool:
    if other.start >= one.end:
        if (
            one.name in _EXCHANGED
            and _SWAP_MY.search(text[max(0, one.start - _BACK) : one.start])
            and _TO.fullmatch(text[one.end : other.start])
        ):
            return True
        return bool(
            _LEFT.search(text[max(0, one.start - _BACK) : one.start])
            and _TO.fullmatch(text[one.end : other.start])
        )
    return bool(
        _CHANGED_TO.search(text[max(0, other.start - _BACK) : other.start])
        and _FROM.fullmatch(text[other.end : one.start])
    )


def _without_both_ends(details: list[Detail], text: str) -> list[Detail]:
    """Where one sentence names the front and the rear, neither is the wheel that is asked about."""
    if not any(detail.name == _BOTH_ENDS for detail in details):
        return details
    ends: dict[int, set[object]] = {}
    for detail in details:
        if detail.name == _BOTH_ENDS:
            ends.setdefault(_sentence_of(detail, text), set()).add(detail.value)
    both = {place for place, values in ends.items() if len(values) > 1}
    return [d for d in details if d.name != _BOTH_ENDS or _sentence_of(d, text) not in both]


# What a tubular has inside as well: these words tell of no other kind of tyre where one is named.
_INSIDE_A_TUBULAR = re.compile(r"^(?:sealant|butyl|latex tubes?|inner tubes?|butyl tubes?|with latex)$")
_ANOTHER_KIND = ("tubeless", "clincher", "tubed")


def _without_what_is_in_a_tubular(details: list[Detail], text: str) -> list[Detail]:
    """ "My tubulars with sealant go soft": a tubular, and no tubeless tyre."""
    if not any((detail.name, detail.value) == ("tyre_system", "tubular") for detail in details):
        return details
    if any(kind in text for kind in _ANOTHER_KIND):
        return details
    return [d for d in details if d.name != "tyre_system" or not _INSIDE_A_TUBULAR.match(lowered(d.words))]


def _without_the_lesser(details: list[Detail], text: str) -> list[Detail]:
    """ "Broke three spokes, and some are loose": the three decide; "a crack or a bulge" leaves open which it is."""
    details = _without_what_is_in_a_tubular(_without_the_uncounted(details), text)
    return [
        one
        for one in details
        if not any(
            other.name == one.name
            and (one.value, other.value) in _OUTWEIGHED.get(one.name, ())
            and not _EITHER.fullmatch(text[min(one.end, other.end) : max(one.start, other.start)])
            for other in details
        )
    ]


def _without_the_uncounted(details: list[Detail]) -> list[Detail]:
    """ "Another spoke went; all the spokes broke at the bend": one after another, and not several at once."""
    told = {(detail.name, detail.value) for detail in details}
    return [
        one
        for one in details
        if not (
            one.name in _NOT_AT_ONCE
            and one.value == _NOT_AT_ONCE[one.name][0]
            and (one.name, _NOT_AT_ONCE[one.name][1]) in told
            and not _COUNTED.match(lowered(one.words))
        )
    ]


def _sentence_of(detail: Detail, text: str) -> int:
    return sum(1 for _ in _SENTENCE_END.finditer(text, 0, detail.start))


def _is_whole(text: str, start: int, end: int) -> bool:
    """Whether no word or number goes on before or behind: "disc" in "non-disc", "5" in "5.1"."""
    # "I'm 5" holds no M5.
    if start and (text[start - 1].isalnum() or text[start - 1] in "_'"):
        return False
    if start > 1 and text[start - 1] == "-" and text[start - 2].isalnum():
        return False
    if start > 1 and text[start].isdigit() and text[start - 1] in ".,/" and text[start - 2].isdigit():
        return False
    if end < len(text) and (text[end].isalnum() or text[end] == "_"):
        return not text[end - 1].isalnum()
    return not (
        end + 1 < len(text) and text[end - 1].isdigit() and text[end] in ".,/" and text[end + 1].isdigit()
    )

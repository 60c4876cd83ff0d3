"""What a message is flagged for by its words: danger, hurry, a child, a joke, another language, a picture."""

from __future__ import annotations

import re

from triage.dead_brakes import tells_of_a_dead_brake
from triage.records import Message
from triage.split.danger import (
    ASKED_IN_GENERAL,
    BATTERY,
    BROKEN,
    IF_SET_SO,
    IN_PASSING,
    LOOSE_BOSS,
    NO_BRAKES,
    RUNAWAY,
    SOAKED,
    THOUGHT_OF,
    WHEEL_LOOSE,
    crashed_on_carbon,
    without_mere_noises,
)
from triage.split.language import any_of, is_foreign
from triage.split.sentences import lower_case
from triage.trade_words import names_a_part

_WORDS = re.compile(r"\w+")
# Must not catch "why did the block not reach", "what's the difference between a freewheel and a freehub" or "how many stops does
# it take to bed in pads": a joke taken for a question costs a glance, a question taken for a joke is never answered.
_JOKE = re.compile(
    r"\bwhy did the (?:chicken|cyclist|bike|bicycle|tandem|unicycle|roadie)s?(?: \w+)? (?:fall (?:over|down|asleep)|cross (?:the|a)|go to|stand|take a|sit|quit|get (?:a job|divorced|married|arrested))\b|"
    r"\bwhy did the \w+ go to (?:school|work|bed|college|the (?:doctor|bar|pub|gym|police|psychiatrist|therapist))\b|"
    r"\bwhat do you call an? [^?\n]{2,60}\? *an? |\bknock,? knock\W+who|"
    r"^\W*(?:an?|two|three) (?:\w+ ){1,3}walks? into a (?:bar|shop|bike shop)\b|"
    r"\bwhat'?s the difference between (?:\w+ ){1,6}and (?:\w+ ){0,5}\w+\? *(?:one of them|only one|you can|you can't|the other|about)\b|"
    r"\bwhat'?s the difference between an? (?:cyclist|rider|roadie|mechanic|triathlete|biker|courier|racer) and [^?\n]{1,40}\? *one\b|"
    r"\bhow many (?:cyclists?|riders?|roadies|mechanics|triathletes|bikers|mountain bikers|couriers|racers|engineers) does it take\b|"
    r"\b(?:n\s?\+\s?1|punchline|joke (?:for|of the)|here'?s a joke|two[- ]t[iy]red)\b",
)
_URGENT = re.compile(
    r"\b(?:(?<!\bon my )(?<!\bon the )(?<!\bon our )(?<!\bdecided to )(?:race|ride|event|sportive|tour|trip|leaving|start|setting off|flight|commute)\b[^.?!\n]{0,30}\b(?:tomorrow|tonight|in the morning|this weekend|in two days)|"
    # "I was out for a ride today" is over; "can I do the ride today" isn't.
    r"(?:before|can i|may i|ok to|okay to|safe to|wants? to|wanted to|hop(?:e|ing) to|need to|(?:have|got) an?|supposed to|meant to|planned|leav(?:e|ing)|start(?:s|ing)?)\b"
    r"[^.?!\n]{0,40}\b(?:race|ride|event|sportive|tour|trip|flight)\b[^.?!\n]{0,16}\btoday|"
    r"(?:have|got|before|for|there's|there is|my|next) (?:an?|the|my|our|next|big|club)? ?(?:\w+ )?(?:race|ride|event|sportive|tour|trip) (?:is )?(?:on|this|next) (?:mon|tues|wednes|thurs|fri|satur|sun)day|"
    r"(?<!in the )(?<!in a )(?<!last )\b(?:race|event|sportive|tour|trip)(?:'s| is| starts?| begins?)? (?:on|this|next) (?:mon|tues|wednes|thurs|fri|satur|sun)day|"
    r"tomorrow(?:'s)? (?:race|ride|event|sportive|morning)|(?<!\bget )(?<!\bgets )(?<!\bbe )(?<!\bgetting )(?<!\bbeing )(?<!\bwas )(?<!\bwere )(?<!\bhe's )(?<!\bshe's )stranded|"
    r"stuck (?:here|at the roadside|by the road|miles)|urgent(?:ly)?|asap|(?:it's|it is|this is|we have|i have|i've|we've) an? (?:\w+ )?emergency|emergency(?=\s?[:!])|right now at the roadside)\b",
)
_CHILD = re.compile(
    r"\b(?:my (?:\w+ )?(?:son|daughter|kid|child|boy|girl|grandson|granddaughter|toddler|teenager)(?:'s|s)?(?! (?:bought|gave|got me|sent|lent|says?|said|thinks?|told|made me|built|suggest\w*|insists?|reckons?)\b)|(?:two|three) toddlers|kids?'? bike|child'?s bike|(?:kids|children) (?:want|wants|will|wish|are|ride|use)|year[- ]old'?s bike)\b",
)
# What a message is flagged for by its words: words of which one must stand in it, the pattern, the flags.
# Most messages hold none of the words, and no pattern is held against them.
_FLAGGED: tuple[tuple[frozenset[str], re.Pattern[str], tuple[str, ...]], ...] = (
    (
        any_of(
            "fail failed fails failing failure snapped snapping crack cracks cracked cracking broke broken gave came come fell fallen "
            "collapsed split splits bent loose locked blew burst fracture fractures gouge gouges line lines "
            "delaminate delaminated delaminates delaminating delamination delaminations fell fallen falls falling "
            "bulge bulges bulged bulging frayed fraying frays fray wiggle wiggles wiggled wiggling wobble wobbles wobbled wobbling slips slipped slipping "
            "wobbly wiggly play twists twisted twisting rotate rotates rotated rotating fibre fibres fiber fibers thread threads cord cords"
        ),
        BROKEN,
        ("danger", "urgent"),
    ),
    (
        any_of(
            "brake brakes braking break lever levers calliper callipers caliper calipers hose hoses bars handlebars pad pads block blocks shoe shoes cable "
            "fluid oil dot release skewer skewers axle nut nuts wheel stop slow pull"
        ),
        NO_BRAKES,
        ("danger", "urgent"),
    ),
    (
        any_of(
            "greased oiled waxed lubed lubricated film coat layer drop drops pad pads block blocks shoe shoes spoke spokes crash fall fell accident came went "
            "hookless release skewer skewers axle axles hands play bolt bolts cable wire inner lockring ring brake brakes calliper callipers "
            "caliper calipers felt feels"
        ),
        IN_PASSING,
        ("danger", "urgent"),
    ),
    (any_of("wheel axle rim rims"), WHEEL_LOOSE, ("danger", "urgent")),
    (any_of("battery batteries cell cells accu accus pack"), BATTERY, ("danger", "urgent")),
    (any_of("battery batteries accu pack powerpack"), SOAKED, ("danger", "urgent")),
    (any_of("motor assist assistance throttle drive ebike bike pedelec walk"), RUNAWAY, ("danger", "urgent")),
    (
        any_of(
            "tomorrow tonight today morning weekend days stranded stuck urgent urgently asap emergency roadside "
            "monday tuesday wednesday thursday friday saturday sunday"
        ),
        _URGENT,
        ("urgent",),
    ),
    (
        any_of(
            "son sons daughter daughters kid kids child childs children boy boys girl girls grandson grandsons granddaughter "
            "granddaughters toddler toddlers teenager teenagers old olds"
        ),
        _CHILD,
        ("child",),
    ),
)
_JOKE_WORDS = any_of("did call knock walk walks difference take n punchline joke tired tyred")
# A setup with its answer behind it: a joke, unless a part is named: "Why did the chain snap? Because it was new?"
_SETUP = re.compile(r"\bwhy did the ([^?\n]{0,60})\?\W*(?:because|'?cause|cos)\b")


def _is_joke(text: str) -> bool:
    return _JOKE.search(text) is not None or any(
        not names_a_part(setup[1]) for setup in _SETUP.finditer(text)
    )


def flags_of(message: Message) -> tuple[str, ...]:
    text = lower_case(message.text)
    own = _WORDS.findall(text)
    words, whole = own, text
    if message.subject:
        whole = f"{lower_case(message.subject)}\n{text}"
        words = _WORDS.findall(whole)
    flags = list(message.flags)
    if not _JOKE_WORDS.isdisjoint(words) and _is_joke(whole):
        flags.append("closer")
    if is_foreign(message.text, own):
        flags.append("not-english")
    for told_of_none in (LOOSE_BOSS, ASKED_IN_GENERAL, THOUGHT_OF, IF_SET_SO):
        whole = told_of_none.sub(" ", whole)
    whole = without_mere_noises(whole)
    for telling, pattern, named in _FLAGGED:
        if not telling.isdisjoint(words) and pattern.search(whole):
            flags += named
    if crashed_on_carbon(whole) or tells_of_a_dead_brake(whole):
        flags += ("danger", "urgent")
    if any(a.content_type.startswith(("image/", "video/")) for a in message.attachments):
        flags.append("picture")
    return tuple(dict.fromkeys(flags))

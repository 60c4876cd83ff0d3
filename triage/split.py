"""Split: find the asks in a message, each in the rider's own words, and set the chatter aside."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Sequence
from dataclasses import replace
from functools import lru_cache

from py3langid.langid import MODEL_FILE, LanguageIdentifier

from triage.records import TOLD_BESIDE, Message, Question
from triage.trade_words import names_a_part, speaks_of_a_bicycle

# All patterns are in small letters and held against lowered text: with re.IGNORECASE they take up to three times as long.
# A sentence ends at . ! ? or … before white space, or at a line break between paragraphs.
_SENTENCE = re.compile(r"[^.!?…\n]+(?:\.(?=\S)[^.!?…\n]*)*[.!?…]*[\"'”)]*\s*|\n+")
_ABBREVIATION = re.compile(r"\b(?:approx|max|min|ca|etc|e\.g|i\.e|vs|no|nr|dr|mr|mrs|st|incl|int|ext)\.\s*$")
# Words that make an ask of a sentence without a question mark. Must not catch "I wonder at the view", "When I took it in, …" or
# "Which sounds easy, but …", nor "the upshot is that it is fine".
_ASKS = re.compile(
    r"""^\W*(?:(?:hi|hello|hey|so|and|also|but|ok|okay|now|well|anyway|quick\sone|question|ps|p\.s\.|secondly|oh)\b[\s,:.–-]*)*
    (?!(?:can|could|should|would|may|might|must)\s(?:of|have|be)\b)(?!(?:please|pls|plz)\s(?:bear|forgive|excuse|ignore|note|be\s(?:kind|gentle|patient)|don['’]t\slaugh)\b)
    (?!what\s(?:(?:must|may|might|could|would)\shave|happen(?:s|ed)|i\s(?:did|do|found|noticed|have\s(?:done|tried)))\b[^?]{0,60}\b(?:is|was)\b[^?]*$)(?:can|could|should|shall|would|will|is|are|am|do|does|did|may|might|must|was|were|isn't|aren't|
       (?:has|have)\s(?:i|you|we|they|he|she|it|any|anyone|anybody|the|my|these|those|others|there)\b|
       when\s(?!(?:i|we|you|he|she|they|my|our|the|a|an|it|this|that|these|those|riding|braking|pedalling|pedaling)\b)|
       what|which\s(?!is\s(?:fine|good|ok|okay|nice|great|typical|annoying|an?|not|no|why|what|where|how|when|true|odd|strange|sad)\b|(?:i|we|he|she|they|it|was|were|sounds?|means?|meant|makes?|made|seems?|looks?|feels?|leaves?|left|brings?|gives?|gave|has|had|happened)\b)|why|how|where|who|whose|what's|whats|how's|any\s(?:idea|advice|thoughts|tips|suggestion|clue|chance)|
       anyone|anybody|does\sanyone|help|please|pls|plz|need\shelp|looking\sfor\sadvice|wondering|curious)\b""",
    re.X,
)
_ASKS_WITHIN = re.compile(
    r"""\b(?:i(?:'m|\sam|\swas|'ve\sbeen|\shave\sbeen)?\s*(?:just\s)?wonder(?:ing|ed)?\s(?:if|whether|what|how|why|which)|
    (?:i|we)\s(?:want|wanted|would\slike|'d\slike|need|needed|'d\slove|would\slove)\sto\s(?:know|understand|ask|check|be\ssure)|(?:i'm|i\sam)\snot\ssure\s(?:if|whether|what|how|why|which)|
    (?:can|could|would)\syou\s(?:please\s)?(?:tell|explain|help|say|advise|recommend|suggest|confirm|settle)|
    any\s(?:idea|ideas|advice|thoughts|tips|suggestions|clue|chance|recommendations?)\b|
    (?:please|pls)\s(?:help|advise|explain|tell|settle)|no\sidea\s(?:why|what|how)|don't\sknow\s(?:if|whether|why|what|how|which)|
    (?<!\bto\s)(?:is|are|isn't|will|would|can|could|should|does|do)\s(?:it|(?:(?<!\w\sis\s)|(?<=and\sis\s)|(?<=but\sis\s)|(?<=so\sis\s)|(?<=or\sis\s))that|this|they|i|we|my|the|there|these)\b[^.!]*(?:safe|ok|okay|fit|work|possible|compatible|allowed|true|normal|worth|bad|dangerous|enough|legal|fine)\b|
    what\s(?:should|can|could|would|do|does|is|are|causes?)\b(?!\si\ssay)|how\s(?:do|can|should|much|many|long|often|far|tight|big|to)\b|why\s(?:does|do|is|are|did|would)\b|which\s(?:one|of|size|tyre|tire|oil|grease|lube|type|bearing|bottom)\b|
    (?:^\W*|\b(?:and|but|or|so|know|tell|sure|say|see|decide|wonder|wondering|idea|of|clear|confused|out|about|question)\s(?:me\s)?)which\sis\b(?!\s(?:fine|good|ok|okay|nice|great|typical|annoying|an?|not|no|why|what|where|how|when|true|odd|strange|sad)\b)|which\sis\s(?:the\s)?(?:better|best|right|correct|safer|stronger|cheaper|easier)\b|
    ^\W*(?:also|and)\s[^.!?]{3,40}\s(?:please|pls|plz)\b|what\s(?:gives|pressure|size|torque|lube|oil|grease|tyre|tire|gear|else|now)\b|safe\sto\s(?:ride|use)|ok\sto\s(?:ride|use|run)|do\si\s(?:need|have)|thoughts\?)""",
    re.X,
)
# "No matter how much I use" and "depending on how far I ride" ask nothing.
_NO_ASK = re.compile(
    r"\b(?:no matter|regardless of|depend(?:s|ing) on|that's|that is|this is)\s(?:how|what|which|why)\b"
)
# "Right?", "you know?" and "guess what I found?" belong to a story; alone they ask nothing.
_HOLLOW = re.compile(
    r"^\W*(?:right|you know(?: what)?|know what(?: i mean)?|what'?s not to love|how are you(?: all)?(?: doing)?|how's it going|"
    r"who'?s with me|am i right|remember me|guess what(?: \w[^?]{0,60})?|really|ok|huh|eh|anyone else|why not)\W*\?+\W*$",
)
# A mark that stands for a part whose name the rider doesn't know: "a Brand X mech, ? chain, 8 speed cassette".
_UNNAMED = re.compile(r"[,;:(]\s*\?+\W*$")
# A doubt in brackets about a word or a figure: "the derailer (sp?) was dirty", "a long cage (105?)". Must not catch "(is it safe?)".
_DOUBT = re.compile(
    r"\((?![^()]*\b(?:is|are|can|could|should|would|will|do|does|did|why|how|what|which|who|safe|worth|ok|okay|normal|possible|any|"
    r"right|enough|true|legal|help)\b)[^()?!\s]{1,20}(?: [^()?!\s]{1,20}){0,2}\s?\?+\)"
)
# "We rode there (who plans such things?) and back": what goes on behind the bracket is one sentence, and that asks nothing.
_ASIDE = re.compile(r"\([^()\n]{1,100}\?+\)(?=[\s,;]*\w)")
_ENDS_IN_AN_ASIDE = re.compile(r"\([^()\n]{1,100}\?+\)[,;]?\s*$")
_GREETING = re.compile(
    r"^\W*(?:hi|hello|hey|hiya|dear|good (?:morning|evening|afternoon|day)|greetings|morning|evening|thanks|thank you|"
    r"cheers|regards|best|kind regards|all the best|love the show|great show|keep (?:it )?up|ta|many thanks|best wishes)\b[^?]{0,80}$",
)
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
_PARTS_THAT_HURT = r"brakes?|fork|frame|steerer|stem|handlebars?|bars?|rim|crank(?:\s?arm)?|seat\s?post|axle|hub|t[iy]re(?!s? ?(?:levers?|irons?|pumps?|gauges?))|wheel|down tube|top tube|head tube|seat tube|chainstay|seatstay|(?:bottom bracket|bb) shell|pedal|weld|hinge"
# Must not catch the noise: "the frame is fine when the crack occurs", "a loud crack".
_BREAKS = r"fail(?:ed|s|ing|ure)?|snapp(?:ed|ing)|(?<!\bloud )(?<!\bsharp )(?<!\baudible )crack(?:ed|s|ing)?(?! (?:occurs|occurred|happens|is heard))|broke(?:n)?|gave way|fell off|fallen off|came off|(?<!’t )(?<!\bto )come off|collapsed|split|bent|loose|locked up|blew off|burst|fall(?:s|ing) off|fray(?:ed|ing|s)?|bulg(?:e|es|ed|ing)"
_NOT_DENIED = r"(?<!\bno )(?<!\bany )(?<!\bnot )(?<!n't )(?<!n’t )(?<!\bnever )(?<!\bwithout )"
# A part that carries the rider, broken. Must not catch "crack on with the brakes" or "no cracks in the frame".
_BROKEN = re.compile(
    rf"\b(?:{_PARTS_THAT_HURT})\b(?:[^.?!\n]|\.(?=\d)){{0,40}}{_NOT_DENIED}\b(?:{_BREAKS})\b|"
    rf"{_NOT_DENIED}\b(?:hairline |thin |fine )?(?:crack|fracture|split|gouge|delaminat\w+|line)s? (?:in|on|at|near|round|around|along|through|across) (?:my |the |a |one )?(?:\w+ ){{0,4}}(?:{_PARTS_THAT_HURT}|spoke holes?|eyelets?)\b|"
    rf"{_NOT_DENIED}\b(?:cracks?|fractures?|splits?|gouges?|delamination) (?:where|beside|next to|by|under|beneath|behind|above|below|between) (?:[\w'-]+ ){{0,4}}(?:{_PARTS_THAT_HURT})\b|"
    rf"{_NOT_DENIED}\b(?:exposed|bare|broken|loose|visible) (?:carbon )?fib(?:re|er)s\b|"
    r"\bfib(?:re|er)s? (?:(?:is|are|was|were) )?(?:now )?(?:showing|visible|exposed|sticking out|coming (?:out|through)|broken|cut)\b|"
    rf"{_NOT_DENIED}\bcracks? (?:in|on|at|near|around) (?:\w+ ){{0,6}}(?:rim|fork|frame|steerer|stem|crank|hub|axle|handlebars?|carbon|weld|lug|dropout)\b|"
    rf"\bbulges? (?:[\w'-]+ ){{0,6}}(?:in|on|at) (?:\w+ ){{0,6}}(?:tyre|tire|rim)\b|"
    # "My previous cracked frame" is gone.
    rf"(?<!\bprevious )(?<!\bformer )\bcracked (?:\w+ ){{0,2}}(?:{_PARTS_THAT_HURT}|(?<!inner )tube|weld|lug|dropout)\b|"
    r"\b(?:hinge|folding joint)s?\b[^.?!;\n]{0,30}\b(?:has|have|got|some|of|with) play\b|"
    r"\b(?:wobbly|wobbling|wiggly|loose) (?:(?:handle ?)?bars?|stem|fork|crank arm|hinge)\b(?! (?:tape|bags?|ends?|plugs?|grips?|bolts?))|"
    r"\b(?:stem|(?:handle)?bars?)\b(?!\s(?:tape|grips?|bag|ends?|plugs?)\b)[^.?!,;\n]{0,20}"
    r"\b(?:wiggl(?:es?|ed|ing)|wobbl(?:es?|ed|ing)|slip(?:s|ped|ping)|twist(?:s|ed|ing)|rotat(?:es?|ed|ing))\b"
)
_NO_BRAKES = re.compile(
    r"\b(?:virtually|practically|almost|nearly|basically|absolutely) no (?:(?:front|rear|back) )?(?:brakes?|braking)\b(?! (?:noise|feel|dust|wear|rub))|"
    r"\bno (?:front|rear|back) brake (?:left|any ?more|at all)\b|"
    r"\bbrakes? (?:was|were|is|are|became|become|got|went|now)(?: \w+){0,2} (?:useless|non-?functional|not working)\b|\b(?:useless|non-?functional|dead) brakes?\b|"
    r"\bbrakes? (?:has |have |had |just |suddenly |completely )*(?:stopped|quit) working\b|"
    r"\b(?:brake fluid|mineral oil|dot fluid)\b[^.?!,;\n]{0,30}\b(?:seep|seeps|seeping|leaks|leaking|drips|dripping|weeps|weeping|running (?:out|down)|coming out)\b|"
    r"\b(?:quick[- ]release|skewer|through[- ]axle|thru[- ]axle|axle nuts?|wheel nuts?)s?\b[^.?!;\n]{0,40}\b(?:only just|barely|hardly|scarcely|not) (?:holding|held|tight|closed|done up|gripping)\b|"
    r"\b(?:front|rear|back) wheel (?:\w+ ){0,3}(?:fell|dropped|came|popped|slipped) out\b|"
    r"\bno brakes\b|\bbrakes? (?:barely|hardly|scarcely|don't|do not|doesn't|won't|will not|can't) (?:stops?|hold|work|bite|slow)\b|\bbrakes? (?:just |suddenly )?fail|"
    r"\b(?:pads?|blocks?|shoes?)\b[^.?!,;\n]{0,70}\b(?:touch|touches|touching|rub|rubs|rubbing|hit|hits|cut|cuts|cutting|chew\w*) (?:on |into |against )?(?:the |my )?(?:tyre|tire)\b|"
    r"\bcable\b[^.?!,;\n]{0,24}\b(?:fray(?:ed|ing|s)?|(?:one|two|three|few|last) strands?)\b|"
    r"\b(?:doesn't|doesn’t|does not|don't|don’t|won't|won’t|will not|hardly|barely|scarcely) brakes? (?:at all|any ?more|properly)|"
    r"\b(?:went|flew|threw me|sent me|pitched me|put me) (?:straight |right |clean )?over the (?:handle)?bars\b|"
    r"\b(?:levers?|callipers?|calipers?|brakes?|hoses?)\b[^.?!,;\n]{0,24}\b(?:drip|drips|dripping|leak|leaks|leaking|leaked|weeps|weeping)\b|"
    r"\b(?:drip|drips|dripping|leak|leaking|leaks) (?:[\w']+ ){0,3}(?:lever|calliper|caliper|brake hose)\b|"
    r"\blever (?:goes|going|went|comes|coming|came|pulls|pulled) (?:right |straight |all the way )?(?:to|back to) (?:the )?(?:handle)?(?:bars?|grips?)\b|"
    r"\blever (?:would |will |can |still |now |just ){0,2}(?:hit|hits|hitting|touch|touches|touching|meets|reaches|bottoms out (?:on|against)) the (?:handle)?(?:bars?|grips?)\b"
)
# A crash that was ridden on from. Must not catch "the computer crashed".
_CRASHED = re.compile(
    r"\b(?:i|we|he|she|(?:my )?(?:wife|husband|son|daughter|friend)) (?:\w+ )?crashed\b|\b(?:in|after|since|from|had|survived) (?:an?|my|the|this|that|his|her) (?:\w+ ){0,2}(?:crash|accident|pile-?up)\b|"
    r"(?<!computer )(?<!unit )(?<!app )(?<!phone )(?<!software )(?<!program )\bcrashed (?:my|the|it|into|hard|on|at|in)\b|\b(?:hit|knocked (?:off|over)|run over|rear-ended|doored) by an? (?:car|van|lorry|truck|taxi|bus|driver)\b|"
    r"\bbroke my (?:collar ?bone|wrist|arm|elbow|hip|leg|shoulder|ribs?|hand)\b"
)
_LOOKED_OVER = re.compile(
    r"\b(?:inspected|checked over|looked over by|cleared by|passed (?:it|the)|x-?rayed|ultrasound|scanned|new frame|written off)\b"
)
# The insert of a bottle cage that turns in "the frame wall" throws nobody. Must not catch a crack that starts at it.
_LOOSE_BOSS = re.compile(
    r"\b(?:bottle|cage)\b(?:(?!\b(?:stem|bars?|handlebars?|forks?|steerer|brakes?|wheels?|cranks?|axles?|pedals?|crack\w*|split)\b)[^.?!\n]){0,200}\bloose\b"
)
_URGENT = re.compile(
    r"\b(?:(?<!\bon my )(?<!\bon the )(?<!\bon our )(?:race|ride|event|sportive|tour|trip|leaving|start|setting off|flight|commute)\b[^.?!\n]{0,30}\b(?:tomorrow|tonight|today|in the morning|this weekend|in two days)|"
    r"(?:have|got|before|for|there's|there is|my|next) (?:an?|the|my|our|next|big|club)? ?(?:\w+ )?(?:race|ride|event|sportive|tour|trip) (?:is )?(?:on|this|next) (?:mon|tues|wednes|thurs|fri|satur|sun)day|"
    r"(?<!in the )(?<!in a )(?<!last )\b(?:race|event|sportive|tour|trip)(?:'s| is| starts?| begins?)? (?:on|this|next) (?:mon|tues|wednes|thurs|fri|satur|sun)day|"
    r"tomorrow(?:'s)? (?:race|ride|event|sportive|morning)|stranded|stuck (?:here|at the roadside|by the road|miles)|urgent(?:ly)?|asap|emergency|right now at the roadside)\b",
)
_CHILD = re.compile(
    r"\b(?:my (?:\w+ )?(?:son|daughter|kid|child|boy|girl|grandson|granddaughter|toddler|teenager)(?:'s|s)?|(?:two|three) toddlers|kids?'? bike|child'?s bike|(?:kids|children) (?:want|wants|will|wish|are|ride|use)|year[- ]old'?s bike)\b",
)
# What is told of a part that has gone, or of somebody else's. Must not catch "my friend saw a crack", "a fixed gear", "my
# old frame has a crack" or "I replaced the pads and the lever came to the bar": a danger taken up in vain costs less.
_OVER = re.compile(
    r"\b(?:was|were|been|got|being|had (?:it|them|that)) (?:replaced|scrapped|binned|thrown away|written off)\b|"
    r"\b(?:replaced|swapped|exchanged) (?:it|them|that one)\b|\b(?:got|bought|have|ride|on) (?:a new|another|this|the new) (?:one|frame|fork|bike|wheel)\b|"
    r"\b(?:replaced|exchanged) under warranty\b|\b(?:my|his|her|our) (?:first|last|previous) (?:set|pair)\b|\b(?:friend|mate|buddy|neighbou?r|colleague)['’]s (?:\w+ )?(?:bike|bicycle|frame|fork|wheel|rim|tyre|tire|stem|bars?|crank|brakes?)\b"
)
NOT_ASKS = ("automatic-reply", "bounce", "bulk", "closer")
LONGEST_ASKS = 6
"""A message that seems to hold more asks than this is kept as one, for a person to see whole."""

LONGEST_WORKED_CHARACTERS = 10_000
"""A longer message goes to a person whole, flagged `too-long`: an answer to a part of it would be a guess. [characters]

Four pages; reading figures takes time with the square of their number, and these many still take no more than seconds.
"""
LONGEST_BEGINNING_CHARACTERS = 1_000
"""What stands for the ask of such a message; the whole text stays with it. [characters]"""


def split(messages: Sequence[Message]) -> list[Question]:
    """The asks of each message; a message without any leaves one record that is not a question."""
    return [question for message in messages for question in _split(message)]


def _split(message: Message) -> list[Question]:
    flags = _flags(message)
    asks_nothing = any(flag in NOT_ASKS for flag in flags)
    if len(message.text) > LONGEST_WORKED_CHARACTERS:
        beginning = f"{message.text[:LONGEST_BEGINNING_CHARACTERS].strip()} …"
        return [_question(message, 0, beginning, "", not asks_nothing, (*flags, "too-long"))]
    if asks_nothing:
        return [_question(message, 0, message.text.strip(), "", False, flags)]
    sentences = _sentences(message.text)
    lowered = [_lowered(sentence) for sentence in sentences]
    asks = [index for index, sentence in enumerate(lowered) if _is_ask(sentence)]
    if not asks and message.subject and _is_ask(_lowered(message.subject)):
        whole = f"{message.subject.strip()}\n{message.text.strip()}".strip()
        return [_question(message, 0, whole, "", True, flags)]
    if not asks:
        return [_question(message, 0, message.text.strip(), message.subject or "", False, flags)]
    groups = _title_joined(_grouped(asks, lowered), sentences)
    groups = [_with_its_story(group, asks, lowered) for group in groups]
    if len(groups) > LONGEST_ASKS:
        groups = [asks]
    beside = _danger_beside(groups, lowered) if "danger" in flags else []
    context = " ".join(
        sentence.strip()
        for index, sentence in enumerate(sentences)
        if index not in asks and not _GREETING.match(lowered[index])
    )
    shared = " ".join(filter(None, (message.subject, " ".join(context.split()))))
    told = [
        " ".join(sentences[i].strip() for i in group) for group in [*groups, *([beside] if beside else [])]
    ]
    questions = [_question(message, number, text, shared, True, flags) for number, text in enumerate(told)]
    if beside:
        questions[-1] = replace(questions[-1], flags=(*flags, TOLD_BESIDE))
    return questions


# "If the frame is broken I'll ride the other one": what is feared only is not told.
_FEARED = re.compile(
    r"^\W*(?:and |but |so )?if\b[^,;]{0,100}[,;]\s*(?:then )?i(?:['’]ll|['’]d| will| would)\b"
)


def _danger_beside(groups: Sequence[Sequence[int]], sentences: Sequence[str]) -> list[int]:
    """The sentences that tell of danger in the middle of a story whose asks are about something else."""
    asked = {index for group in groups for index in group}
    crashed = _crashed_on_carbon(" ".join(sentences))
    dangers = [index for index, sentence in enumerate(sentences) if _tells_of_danger(sentence, crashed)]
    if asked.intersection(dangers):
        return []
    return [
        index
        for index in dangers
        if not _OVER.search(sentences[index])
        and not _FEARED.match(sentences[index])
        and not _is_of_a_renewed_part(sentences[index], _renewed_in(sentences[index:]))
        and not any(
            _is_asked_about(sentences[index], " ".join(sentences[i] for i in group)) for group in groups
        )
    ]


FEWEST_PARTS_OF_ONE_MATTER = 2


def _is_asked_about(danger: str, ask: str) -> bool:
    """ "The brake broke off the frame. The brake is off the frame, can that be mended?": the same two parts, the same matter."""
    named = _parts_in(danger)
    return len(named) >= FEWEST_PARTS_OF_ONE_MATTER and named <= _parts_in(ask)


# "The stem cracked. I've changed the stem": what is off the bicycle endangers nobody; what was changed before it broke does.
# Must not catch "I replaced the stem bolts", "should I have replaced the fork" or "they changed the fork's oil".
_RENEWED = re.compile(
    rf"\b(?:i|we|they|he|she|shop|mechanic|dealer)(?:['’]ve|['’]s|['’]d)?\s(?:(?:have|has|had|just|now|since|already|then|therefore|at once|straight away)\s){{0,3}}"
    rf"(?:changed|replaced|swapped|exchanged|renewed|binned|scrapped)\s(?:out\s)?(?:the|my|that|it for a new)\s(?:whole\s|broken\s|cracked\s|old\s|front\s|rear\s)?"
    rf"({_PARTS_THAT_HURT})\b(?!['’]|\s(?:bolts?|screws?|cap|oil|seals?|pads?|blocks?|cables?|levers?|tape|grips?|bearings?|spokes?|height|length|angle)\b)"
)
_SLIPPED = re.compile(r"\b(?:stem|(?:handle)?bars?)\b[^.?!,;\n]{0,20}\b(?:slipped|twisted|rotated|wobbled)\b")


def _renewed_in(sentences: Sequence[str]) -> set[str]:
    return {_singular(part) for sentence in sentences for part in _RENEWED.findall(sentence)}


def _singular(part: str) -> str:
    return part.replace(" ", "").removeprefix("handle").removesuffix("s")


def _is_of_a_renewed_part(sentence: str, renewed: set[str]) -> bool:
    """Whether all that a sentence tells of danger is of parts that were renewed since; a bar slips in its stem."""
    if not renewed:
        return False
    if "stem" in renewed and _SLIPPED.search(sentence):
        return True
    named = _parts_in(sentence)
    return bool(named) and named <= renewed


_PARTS = re.compile(rf"\b(?:{_PARTS_THAT_HURT})\b")


def _parts_in(sentence: str) -> set[str]:
    return {_singular(part) for part in _PARTS.findall(sentence)}


def _crashed_on_carbon(text: str) -> bool:
    """Whether a lowered text tells of a crash on carbon that nobody who knows it has looked at since."""
    return "carbon" in text and _CRASHED.search(text) is not None and _LOOKED_OVER.search(text) is None


def _tells_of_danger(sentence: str, crashed: bool = False) -> bool:
    if crashed and _CRASHED.search(sentence):
        return True
    return _BROKEN.search(sentence) is not None or _NO_BRAKES.search(sentence) is not None


FEWEST_WORDS = 6
"""An ask shorter than this says nothing without the sentence before it: "Any ideas?", "Will it fit?"."""
_HOLLOW_ASK = re.compile(
    r"^\W*(?:any (?:idea|ideas|advice|thoughts|tips|suggestions|clue|help)|what (?:should|do|can|would|could) (?:i|you|we) (?:do|think|suggest|recommend|try)|"
    r"what(?:'s| is) (?:wrong|going on|happening|up)|thoughts|is (?:this|that|it) (?:ok|okay|normal|safe|true|right|a problem|bad)|please help|help)\b[^.]{0,40}$|"
    # "Any ideas before I throw the frame away?", "Anyone else had similar trouble with rims?": what the matter is was told above.
    r"^\W*any (?:idea|advice|thought|tip|suggestion|clue|help)s?\b(?! (?:on|about|for|of|how|why|what|which|where|who|if|whether|regarding|as to|with)\b)[^.]*$|"
    r"^\W*(?:(?:has|have|did|does) )?any(?:one|body)(?: else)?(?: here)? (?:had|got|have|has|having|get|gets|experienced?|seen|see|came across|come across|noticed|with) (?:an?y? |the )?(?:similar|same|this|these|such|like)\b[^.]*$",
)


# "Do I need to change it?": what "it" is stands in the sentences before.
_POINTS_BACK = re.compile(r"\b(?:it|it's|its|this|that|them|they|these|those|both|either|one)\b")
MOST_POINTING_WORDS = 14
# "As this size is hard to find, …": a long ask that opens by pointing back. Must not catch "that" in "As that shop says".
_OPENS_BACK = re.compile(
    r"^\W*(?:(?:as|since|because|given that|now that) )?(?:this|these) (?:size|sizes|one|ones|kind|type|part|parts|tyre|tyres|tire|tires|wheel|wheels|rim|rims|hub|hubs|model|is|are|isn't|aren't)\b"
)
LONGEST_STORY = 3
MOST_SENTENCES_OF_A_STORY = 5
"""As long as none names a part: "I am 92 kilos. My wife says a shop. I don't. Who is right?"."""
# "Any advice on the following would be welcome:" is told after it.
_POINTS_FORWARD = re.compile(
    r"\b(?:the following|as follows|here(?:'s| is) (?:the|my) (?:problem|story|situation|set-?up))\b|:\s*$"
)


def _with_its_story(group: list[int], asks: Sequence[int], sentences: Sequence[str]) -> list[int]:
    """A bare ask with up to three sentences before it, back to the ask before that."""
    text = " ".join(sentences[i] for i in group).strip()
    words = len(text.split())
    bare = (
        words < FEWEST_WORDS * len(group)
        or bool(_HOLLOW_ASK.match(text))
        or (len(group) > 1 and _is_a_heading(group[:1], group[1], sentences))
    )
    clause = _asking_clause(text)
    points_back = len(clause.split()) <= MOST_POINTING_WORDS and bool(_POINTS_BACK.search(clause))
    points_back = points_back or bool(_OPENS_BACK.match(text))
    # "Is there an easy way to fix this, or does it take a whole evening": no word in it says what is broken.
    names_nothing = not names_a_part(text)
    if _LIST_MARK.match(sentences[group[0]]) and words <= MOST_WORDS_OF_AN_ITEM * len(group):
        # "2) Do I need new tyres? They are six years old.": what it is about stands behind it.
        behind = _told_after(group[0], asks, sentences) or _told_after(group[-1], asks, sentences)
        if behind:
            return sorted({*group, *behind})
    if _opens_another(sentences[group[0]], asks=True) or not (bare or points_back or names_nothing):
        return group
    if names_nothing and _POINTS_FORWARD.search(sentences[group[-1]]):
        return sorted({*group, *_what_follows(group[-1], asks, sentences)})
    told = _told_before(group[0], asks, sentences)
    if not told and (names_nothing or group[0] == 0):
        told = _told_before(group[-1], asks, sentences)
    if group[0] == 0:
        told = [*told, *_told_after(group[0], asks, sentences)]
    return sorted({*told, *group})


MOST_WORDS_OF_AN_ITEM = 10


def _told_after(place: int, asks: Sequence[int], sentences: Sequence[str]) -> list[int]:
    """What an ask that opens a message or an item of a list points at, the first sentence after it that names a part: "Is this wear? …"."""
    for index in range(place + 1, min(place + 1 + LONGEST_STORY, len(sentences))):
        if index in asks or _opens_another(sentences[index]):
            break
        if names_a_part(sentences[index]) and not _GREETING.match(sentences[index]):
            return [index]
    return []


def _what_follows(place: int, asks: Sequence[int], sentences: Sequence[str]) -> list[int]:
    """The sentences that an ask announces, up to the next ask or what opens another matter."""
    told: list[int] = []
    for index in range(place + 1, min(place + 2 + LONGEST_STORY, len(sentences))):
        if index in asks or _NEW_ASK.match(sentences[index]):
            break
        told.append(index)
    return told


# "Which is it, and what torque?": what stands before the comma asks as well.
_POINTS_AND_ASKS = re.compile(
    r"^\W*(?:so\s)?(?:which|what|who|why|how|where|is|are|was|does|do|should|can)\b(?!.*\bbut\b)"
)


def _asking_clause(text: str) -> str:
    """The end of an ask whose beginning names no part: "I know it loosens drawers, but how is it on chains?"."""
    before, _, last = text.rpartition(",")
    return (
        last if before and not names_a_part(before) and not _POINTS_AND_ASKS.match(_lowered(before)) else text
    )


def _told_before(place: int, asks: Sequence[int], sentences: Sequence[str]) -> list[int]:
    """Up to three sentences before a place, more where none of them names a part, back to an ask, a greeting or what opens another matter."""
    told: list[int] = []
    telling = 0
    for index in range(place - 1, max(place - 1 - MOST_SENTENCES_OF_A_STORY, -1), -1):
        if (len(told) >= LONGEST_STORY and telling) or index in asks or _GREETING.match(sentences[index]):
            break
        told.insert(0, index)
        telling += names_a_part(sentences[index])
        if _opens_another(sentences[index]):
            break
    # A story's first sentence says what happened: it isn't left out for being one too many.
    if len(told) >= LONGEST_STORY and told[0] == 1 and _opens_a_story(sentences, asks):
        told.insert(0, 0)
    return told


def _opens_a_story(sentences: Sequence[str], asks: Sequence[int]) -> bool:
    return 0 not in asks and not _GREETING.match(sentences[0]) and not _opens_another(sentences[1])


def _question(
    message: Message, number: int, text: str, context: str, asks: bool, flags: tuple[str, ...]
) -> Question:
    digest = hashlib.sha256(f"{message.message_id}\0{message.text}".encode()).hexdigest()[:16]
    return Question(f"{digest}-{number + 1}", message, text, context, asks, flags)


def _sentences(text: str) -> list[str]:
    found: list[str] = []
    if _holds_a_list(_lowered(text)):
        text = _BEFORE_A_LIST_MARK.sub("\n", text)
    for match in _SENTENCE.finditer(text):
        piece = match.group()
        if piece.isspace():
            continue
        if found and (
            _BARE_LIST_MARK.match(_lowered(found[-1]))
            or _ends_in_an_abbreviation(found[-1])
            or _goes_on_after_a_doubt(found[-1], piece)
        ):
            found[-1] += piece
        else:
            found.append(piece)
    return found


def _ends_in_an_abbreviation(sentence: str) -> bool:
    return sentence.rstrip().endswith(".") and _ABBREVIATION.search(_lowered(sentence)) is not None


def _lowered(text: str) -> str:
    # The Turkish capital would become two letters, the second of which parts words.
    return text.replace("İ", "i").lower()


def _holds_a_list(text: str) -> bool:
    """Whether a lowered text counts its asks in one line: "1) can I … 2) how often …"."""
    return any(
        (begun := first.search(text)) is not None and second.search(text, begun.end() - 1) is not None
        for first, second in _FIRST_AND_SECOND_MARK
    )


def _goes_on_after_a_doubt(sentence: str, piece: str) -> bool:
    """Whether a bracket with a mark in it ended no sentence: "the derailer (sp?) was dirty"."""
    return (not piece[0].isupper() or piece.startswith("I ")) and _ENDS_IN_AN_ASIDE.search(
        sentence
    ) is not None


def _is_ask(sentence: str) -> bool:
    """Whether a lowered sentence asks for something."""
    sentence = _DOUBT.sub("", _ASIDE.sub("", _LIST_MARK.sub("", sentence)))
    if "?" in sentence:
        if _HOLLOW.match(sentence) or _UNNAMED.search(sentence):
            return False
        if _ANY_WORD.search(sentence):
            return True
    if _GREETING.match(sentence):
        return False
    return bool(_ASKS.match(sentence) and len(sentence.split()) > 3) or bool(
        _ASKS_WITHIN.search(_NO_ASK.sub("", sentence))
    )


# A follow-on asks about the same thing: "If not, what would?", "Or should I …", "Why?", "Is it safe?"
_FOLLOW_ON = re.compile(
    r"^\W*(?:or\b|if (?:not|so|yes)|and if|why\b|how come|and why|what else|anything else|is (?:it|that|this)\b|"
    r"are they\b|will (?:it|that|this|they)\b|would (?:it|that|this|they)\b|does (?:it|that|this)\b|do they\b|can (?:it|that|they)\b|"
    r"should i\b|what (?:should|can|do|would) i\b|what would\b|what now|any (?:idea|ideas|advice|thoughts|tips|suggestions)\b|"
    r"which (?:one|ones|is|would|order)\b|in what order\b|where (?:do|should|would) i (?:start|look|begin)\b|"
    r"do (?:you|we|people) (?:think|reckon) (?:it|that|this|they|i|we)\b|"
    r"thoughts|help|please|how (?:do|can|would) i (?:fix|cure|stop|solve|sort|tell|check)|am i\b|have i\b|did i\b|could (?:it|that|this)\b|"
    r"safe\b|ok to\b|worth it|"
    # "My question is, will it hold" says again what was asked above; "my other question is" doesn't.
    r"(?:so |anyway,? |and so )?(?:my|the|our) (?:actual |real |main |basic |simple |burning )?question (?:is|was)\b)",
)
# "Also", "second question", "another thing" open an ask of their own.
_NEW_ASK = re.compile(
    r"^\W*(?:also\b|as an aside\b|on a side note\b|incidentally\b|second(?:ly\b|\s(?:question|one|thing|ask|query|matter|issue|problem)\b|\s?[,:–-])|another\b|one more\b|other question|ps\b|p\.s\.|by the way|btw|"
    r"and (?:another|one more|also|while|(?:a |my |the )?second)|while i'?m (?:here|at it)|oh and|unrelated|next|on another|and separately|different (?:topic|question|thing))",
)


# "2. Which tyre …", "b) how often": the mark of a list, which opens an ask of its own only where that names something.
_LIST_MARK = re.compile(r"^\W*(?:([1-9])[.)]|([a-f])\))\s+")
# "So I have two questions:" closes what was asked before it.
_ANNOUNCES = re.compile(r"\b(?:two|three|four|few|couple of|some|following|my|other) (?:more )?questions\W*$")
# "2. Is it the pads?", "b) If it does, which grease?"
_ASKS_ON = re.compile(
    r"^\W*(?:(?:and|or) )?(?:if (?:not|so|yes|it|that|they)|(?:is|does|will|would|can|could) (?:it|that|this)|(?:are|do) they|why)\b"
)
_NAMES_MORE = re.compile(
    r"\b(?:paint|lacquer|chrome|rust|decals?|batter(?:y|ies)|motor|charger|display|lights?|dynamo|locks?|kickstand|basket|child seat|"
    r"trailer|helmet)\b"
)
_BARE_LIST_MARK = re.compile(r"^\W*(?:[1-9][.)]|[a-f]\))\s*$")
_FIRST_AND_SECOND_MARK = tuple(
    (re.compile(rf"(?:^|[\s:(]){first}\)\s"), re.compile(rf"[\s(]{second}\)\s"))
    for first, second in (("1", "2"), ("a", "b"))
)
_BEFORE_A_LIST_MARK = re.compile(r"[^\S\n]+(?=\(?(?:[1-9]|[a-f])\)\s)")


def _opens_another(sentence: str, asks: bool = False) -> bool:
    """Whether a lowered sentence opens a matter of its own; an ask in a list only where it names something."""
    mark = _LIST_MARK.match(sentence)
    if mark is None:
        return _NEW_ASK.match(sentence) is not None or _ANNOUNCES.search(sentence) is not None
    if _NEW_ASK.match(sentence[mark.end() :]) is not None:
        return True
    own = (names_a_part(sentence) or _NAMES_MORE.search(sentence)) and _ASKS_ON.match(
        sentence[mark.end() :]
    ) is None
    return (mark[1] or mark[2]) not in {"1", "a"} and bool(own or not asks)


def _grouped(asks: Sequence[int], sentences: Sequence[str]) -> list[list[int]]:
    """The asks that belong together, by the lowered sentences in which they stand."""
    groups: list[list[int]] = []
    for index in asks:
        if groups and _is_one_list(groups[-1][-1], index, sentences):
            groups[-1].extend(range(groups[-1][-1] + 1, index + 1))
        elif groups and _goes_with(groups[-1], index, sentences):
            groups[-1].append(index)
        else:
            groups.append([index])
    return groups


# "The tube is from 2004. It looks sound, but could age be the reason?": "it" is the tube, not what was asked before.
_ABOUT_WHAT_CAME = re.compile(r"^\W*(?:it|they) (?:looks?|seems?|appears?|feels?|sounds?)\b")
_ITEM_NUMBER = re.compile(r"^\W*(?:\d{1,2}|[a-h]|i{1,3})[.):]?\W*$")


def _is_one_list(place: int, index: int, sentences: Sequence[str]) -> bool:
    """ "Was it 1. the rim; 2. a second hole; 3. or the patch?": what semicolons join is one ask, numbered or not."""
    items = [text.rstrip() for text in sentences[place:index] if not _ITEM_NUMBER.match(text)]
    return all(text.endswith(";") for text in items)


# "Also, must it be both wheels?" asks on about the same thing; "Also, is it true that …" is longer and doesn't.
_ALSO_OF_THE_SAME = re.compile(
    r"^\W*(?:and )?also\W+(?:is|are|does|do|will|would|can|could|should|must)\s(?:it|they|that|this|those|these)\b"
)
# "Also, does this happen often with those?" asks on however long it is.
_ALSO_HAPPENS = re.compile(
    r"^\W*(?:and )?also\W+(?:does|do|did|will|could|can)\s(?:it|that|this|these)\s(?:\w+\s)?happen\b"
)
MOST_WORDS_OF_THE_SAME = 7
# "How tight is the cap? And the two pinch bolts?": without a verb it asks the same of something else.
_AND_ANOTHER_PART = re.compile(
    r"^\W*(?:and|or)\s(?:(?:do|should|must|can|may)\s(?:i|we)\s(?:need|use|have|put)\b(?:\s\w+){0,2}\W*$|(?:the|for|my|on|in|with|what about|how about|at)\b)(?!.*\b(?:is|are|do|does|can|could|should|will|would|how|which|why|when)\b)"
)


def _goes_with(group: Sequence[int], index: int, sentences: Sequence[str]) -> bool:
    """Whether an ask follows on the one before it and nothing between them opens another."""
    if (
        index == group[-1] + 1
        and _ALSO_OF_THE_SAME.match(sentences[index])
        and (len(sentences[index].split()) <= MOST_WORDS_OF_THE_SAME or _ALSO_HAPPENS.match(sentences[index]))
    ):
        return True
    if _opens_another(sentences[index], asks=True):
        return False
    if any(_opens_another(sentences[place]) for place in range(group[-1] + 1, index)):
        return False
    sentence = _LIST_MARK.sub("", sentences[index])
    if _AND_ANOTHER_PART.match(sentence) and len(sentence.split()) <= MOST_WORDS_OF_THE_SAME:
        return True
    if index > group[-1] + 1 and _ABOUT_WHAT_CAME.match(sentence) and names_a_part(sentences[index - 1]):
        return False
    return (
        len(sentence.split()) <= 4
        or _is_a_heading(group, index, sentences)
        or _is_a_title(group, index, sentences)
        or _is_a_guess(group, index, sentences)
        or _FOLLOW_ON.match(sentence) is not None
        or not speaks_of_a_bicycle(sentence)
    )


MOST_WORDS_OF_A_HEADING = 8


def _is_a_heading(group: Sequence[int], index: int, sentences: Sequence[str]) -> bool:
    """ "Brake broken? Took it off for the mudguards, …": with a story behind it, a catchword heads the ask and isn't another."""
    heading = sentences[0]
    return (
        group == [0]
        and index > 1
        and len(heading.split()) <= MOST_WORDS_OF_A_HEADING
        and _ASKS.match(heading) is None
        and _ASKS_WITHIN.search(heading) is None
        and _EITHER_OR.search(heading) is None
    )


_EITHER_OR = re.compile(r"\b(?:or|versus|vs)\b|/")


MOST_WORDS_OF_A_TITLE = 3


def _is_a_title(group: Sequence[int], index: int, sentences: Sequence[str]) -> bool:
    """Whether all that was asked is a title without a part: "How often? How often do you all wash your chains?"."""
    title = sentences[group[0]]
    return (
        len(group) == 1
        and index == group[0] + 1
        and len(title.split()) <= MOST_WORDS_OF_A_TITLE
        and not speaks_of_a_bicycle(title)
    )


MOST_WORDS_OF_A_TITLE_LINE = 14
_OF_A_TITLE = re.compile(r"[^\W\d_]{4,}")
_SAYS_NOTHING = frozenset(
    (
        "advice",
        "anyone",
        "bicycle",
        "bike",
        "bikes",
        "about",
        "could",
        "does",
        "doing",
        "from",
        "have",
        "help",
        "into",
        "just",
        "know",
        "more",
        "need",
        "needed",
        "normal",
        "question",
        "questions",
        "please",
        "should",
        "some",
        "than",
        "that",
        "them",
        "there",
        "they",
        "thing",
        "this",
        "what",
        "when",
        "where",
        "which",
        "will",
        "with",
        "work",
        "would",
        "your",
    )
)


def _title_joined(groups: list[list[int]], sentences: Sequence[str]) -> list[list[int]]:
    """A title that asks, on a line of its own, is the same ask as the first one below that takes up a word of it."""
    if len(groups) < 2 or groups[0] != [0] or not sentences[0].rstrip(" \t").endswith("\n"):
        return groups
    if len(sentences[0].split()) > MOST_WORDS_OF_A_TITLE_LINE:
        return groups
    title = _telling_words(sentences[0])
    for place, group in enumerate(groups[1:], start=1):
        if any(title & _telling_words(sentences[index]) for index in group):
            return [*groups[1:place], [0, *group], *groups[place + 1 :]]
    return groups


def _telling_words(sentence: str) -> set[str]:
    """The longer words of a sentence without their plural, those left out that stand in any ask."""
    return {word.rstrip("s") for word in _OF_A_TITLE.findall(_lowered(sentence)) if word not in _SAYS_NOTHING}


_WHAT_IS_IT = re.compile(
    r"\b(?:what(?:'s| is| could| can| might| may)? (?:it|wrong|this|that|be|cause\w*|happen\w*|going on)\b|what(?:'s| is) (?:the )?(?:cause|matter|problem)\b|why\b)"
)
_NO_GUESS = re.compile(
    r"\b(?:how|what|why|which|who|when|where|can|could|should|shall|will|would|do|does|did|is|are|any|best|recommend\w*|i|we|for)\b"
)
MOST_WORDS_OF_A_GUESS = 8


def _is_a_guess(group: Sequence[int], index: int, sentences: Sequence[str]) -> bool:
    """ "What is it? Worn rings? Rings turned the wrong way round?": right behind it, without a verb, is no ask of its own."""
    return (
        index == group[-1] + 1
        and _is_without_a_verb(sentences[index])
        and (
            any(_WHAT_IS_IT.search(sentences[place]) for place in group)
            or all(_is_without_a_verb(sentences[place]) for place in group)
        )
    )


def _is_without_a_verb(sentence: str) -> bool:
    return len(sentence.split()) <= MOST_WORDS_OF_A_GUESS and _NO_GUESS.search(sentence) is None


_ANY_WORD = re.compile(r"\w")
_WORDS = re.compile(r"\w+")
_LETTERS = re.compile(r"[^\W\d_]+")


def _any_of(words: str) -> frozenset[str]:
    return frozenset(words.split())


_ENGLISH = _any_of(
    "the and is are my i it to of in on with can what how do does for that this have has be will a an or not if"
)
LEAST_ENGLISH_SHARE = 0.12
FEWEST_WORDS_TO_TELL = 5
LEAST_SURE_OF_LANGUAGE = 0.9


def not_english(text: str) -> bool:
    """Whether a text is in another language: few of the commonest English words, and the identifier is sure."""
    return _is_foreign(text, _WORDS.findall(_lowered(text)))


def _is_foreign(text: str, words: Sequence[str]) -> bool:
    # Words of letters alone are what is looked for; only where figures are among them must they be counted anew.
    count = len(words) if "".join(words).isalpha() else len(_LETTERS.findall(text))
    if count < FEWEST_WORDS_TO_TELL:
        return False
    if sum(map(_ENGLISH.__contains__, words)) >= LEAST_ENGLISH_SHARE * count:
        return False
    language, chance = _identifier().classify(text[:1000])
    return bool(language != "en" and chance >= LEAST_SURE_OF_LANGUAGE)


@lru_cache(maxsize=1)
def _identifier() -> LanguageIdentifier:
    return LanguageIdentifier.from_model_file(MODEL_FILE, norm_probs=True)


# What a message is flagged for by its words: words of which one must stand in it, the pattern, the flags.
# Most messages hold none of the words, and no pattern is held against them.
_FLAGGED: tuple[tuple[frozenset[str], re.Pattern[str], tuple[str, ...]], ...] = (
    (
        _any_of(
            "fail failed fails failing failure snapped snapping crack cracks cracked cracking broke broken gave came come fell fallen "
            "collapsed split splits bent loose locked blew burst fracture fractures gouge gouges line lines "
            "delaminate delaminated delaminates delaminating delamination delaminations fell fallen falls falling "
            "bulge bulges bulged bulging frayed fraying frays fray wiggle wiggles wiggled wiggling wobble wobbles wobbled wobbling slips slipped slipping "
            "wobbly wiggly play twists twisted twisting rotate rotates rotated rotating fibre fibres fiber fibers"
        ),
        _BROKEN,
        ("danger", "urgent"),
    ),
    (
        _any_of(
            "brake brakes braking lever levers calliper callipers caliper calipers hose hoses bars handlebars pad pads block blocks shoe shoes cable "
            "fluid oil dot release skewer skewers axle nut nuts wheel"
        ),
        _NO_BRAKES,
        ("danger", "urgent"),
    ),
    (
        _any_of(
            "tomorrow tonight today morning weekend days stranded stuck urgent urgently asap emergency roadside "
            "monday tuesday wednesday thursday friday saturday sunday"
        ),
        _URGENT,
        ("urgent",),
    ),
    (
        _any_of(
            "son sons daughter daughters kid kids child childs children boy boys girl girls grandson grandsons granddaughter "
            "granddaughters toddler toddlers teenager teenagers old olds"
        ),
        _CHILD,
        ("child",),
    ),
)
_JOKE_WORDS = _any_of("did call knock walk walks difference take n punchline joke tired tyred")


# A setup with its answer behind it: a joke, unless a part is named: "Why did the chain snap? Because it was new?"
_SETUP = re.compile(r"\bwhy did the ([^?\n]{0,60})\?\W*(?:because|'?cause|cos)\b")


def _is_joke(text: str) -> bool:
    return _JOKE.search(text) is not None or any(
        not names_a_part(setup[1]) for setup in _SETUP.finditer(text)
    )


def _flags(message: Message) -> tuple[str, ...]:
    text = _lowered(message.text)
    own = _WORDS.findall(text)
    words, whole = own, text
    if message.subject:
        whole = f"{_lowered(message.subject)}\n{text}"
        words = _WORDS.findall(whole)
    flags = list(message.flags)
    if not _JOKE_WORDS.isdisjoint(words) and _is_joke(whole):
        flags.append("closer")
    if _is_foreign(message.text, own):
        flags.append("not-english")
    whole = _LOOSE_BOSS.sub(" ", whole)
    for telling, pattern, named in _FLAGGED:
        if not telling.isdisjoint(words) and pattern.search(whole):
            flags += named
    if _crashed_on_carbon(whole):
        flags += ("danger", "urgent")
    if any(a.content_type.startswith(("image/", "video/")) for a in message.attachments):
        flags.append("picture")
    return tuple(dict.fromkeys(flags))

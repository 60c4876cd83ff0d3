"""Sizes round a stem, a post, a hub and a frame whose sentence tells whose they are: spacers, a stem's bore, a frame made for a hub."""

from __future__ import annotations

import re
from collections.abc import Iterator

from triage.extract.forms import form
from triage.extract.numbers import FRACTION, NUMBER, PLAIN, number
from triage.extract.passage import Found, Passage, at_numbers_only
from triage.extract.units import INCH_MM

_INCH_THREAD = form(
    rf"(?P<size>{FRACTION}|[01]?[.,]\d{{2,4}})\s?(?:\"|''|inch(?:es)?|in)?\s?(?:x|by|-|,|and)?\s?(?P<threads>\d\d)\s?-?(?:tpi|threads)\b",
    catches="9/16 x 20 tpi",
    leaves="1 1/8 x 24 teeth",
)
_KNOWN_THREAD = form(
    r"(1[.,]3[57]\d?|9/16|1/2)\s?(?:\"|''|inch(?:es)?|in)?\s?(?:x|by)\s?(2[046])(?![\d.,]*\d|\s?(?:mm|inch|teeth|t\b))",
    catches="1.375 x 24",
    leaves="1.375 x 24 mm",
)
"""Threads of pedals and bottom brackets by their two figures alone."""
_SPOILED_TURNS = form(
    r"([1-9]\d?)\s(?:(?:outer|outermost|inner|first|last|full|whole)\s)?(?:turns?|threads?)\b(?!\s(?:left|of good))[^.,;?!\d]{0,40}?"
    r"\b(?:spoil\w*|ruin\w*|stripped|gone|damaged|torn|chewed|mangled|wrecked|missing)\b",
    catches="3 turns are spoiled",
    leaves="3 turns of the key, the thread is fine",
)
_TURNS = form(
    r"([1-9]\d?)\s(?:turns?|threads?)\b(?!\s(?:left|of good|per))",
    catches="4 turns",
    leaves="4 threads per inch",
)
_SPOILED = form(
    r"\b(?:stripped|ruined|damaged|wrecked|tore|mangled|spoiled|spoilt|lost)\s(?:the\s)?(?:(?:about|first|last|outer)\s)*$",
    catches="i stripped the first ",
    leaves="stripped it after ",
)
_COUNTED_PARTS = form(
    r"([1-9])\s(?:(?:small|little|new|old|other|tiny|steerer|side|hex|allen)\s)?(?:(?:stem|torque|face\s?plate|faceplate|clamp|pinch|crank|headset)\s(?:bolts?|screws?|arms?|washers?|plates?|caps?|wrench(?:es)?|spanners?|keys?|tools?)\b|stems?(?:\s(?:and|or)\s|\s?/\s?)|stems\b)",
    catches="2 stem bolts",
    leaves="6 degree stem",
)
_UNDER = form(
    rf"({NUMBER})\s?mm\s(?:under(?:neath)?|beneath)\b(?!\s(?:the\s|its?\s)?(?:stem'?s?\s)?(?:top|upper|line|limit|max|min|size))",
    catches="45 mm under it now",
    leaves="4 mm under the stem top",
)
_SPACERS_OVER = form(
    rf"({NUMBER})\s?mm\s(?:(?:of|worth of)\s)?(?:\w+\s)?(?:spacers?|rings?)\s(?:\w+\s)?(?:on top|above|over|atop)\b",
    catches="25 mm of spacers on top",
    leaves="25 mm of spacers under",
)
_AND_ON_TOP = form(
    rf"({NUMBER})\s?(?:mm)?\s(?:on top|above(?:\s(?:it|the stem))?|over (?:it|the stem)|atop)\b(?!\sof\s(?:the\s)?(?:headset|head ?tube|bearing))",
    catches="10 on top",
    leaves="10 on top of the headset",
)
_UNDER_OR_SPACERS = form(
    r"\b(?:spacers?|under(?:neath)?|beneath|below)\b[^.;?!]{0,40}$",
    catches="spacers under the stem and ",
    leaves="the stem is ",
)
_PROUD = form(
    rf"({NUMBER})\s?mm\s(?:above|over|proud of|higher than|past|out of|beyond)\s(?:the\s|my\s)?(?:top\s(?:edge\s)?of\s(?:the\s|my\s)?)?stem\b",
    catches="2 mm above the stem",
    leaves="2 mm above the headset",
)
_PROUD_BY = form(
    rf"\bproud\s(?:of\s(?:the\s|my\s)?(?:top\s(?:edge\s)?of\s(?:the\s|my\s)?)?stem\s)?(?:\(|by\s|about\s|some\s|maybe\s)*({NUMBER})(?:\s?(?:-|to)\s?({NUMBER}))?\s?mm\b",
    catches="just proud (1-2mm) of the top of the stem",
    leaves="proud of my 52 mm stem length",
)
_PARTLY_CLAMPED = form(
    rf"({NUMBER})\s?(?:mm)?\s(?:out\s)?of\s(?:its|the|a|an|my|their)\s(?:\w+\s)?({NUMBER})(?:\s?mm)?(?![\d.,]*\d)",
    catches="32 mm of its 40 mm",
    leaves="32 mm of spacers",
)
_ENDS_IN_A_STEM = form(
    rf"({NUMBER})\s?(?:mm)?\s(?:of\s(?:it|the\s(?:steerer|tube|fork)|steerer|tube)\s)(?:(?:is|sits|left|ends|only|up)\s)*(?:in|inside|into)\s(?:an?|the|my)\s({NUMBER})\s?(?:mm)?\s(?:tall\s|high\s)?(?:stem|clamp)\b",
    catches="30 mm of it in a 40 mm stem",
    leaves="30 mm of spacers in a 40 mm stack",
)
_CAME_WITH_A_STEM = form(
    r"\b(?:came|comes|come|fitted|supplied|sold|delivered)\swith\s(?:an?\s|the\s)?(3[2-9]|[4-9]\d|1[0-7]\d)(?:\s?mm)?\b(?!\s?(?:mm\s?)?(?:of\s)?(?:x|spokes?|psi|speed|teeth|t\b|wheels?|tyres?|forks?|travel))",
    catches="the bike came with 100",
    leaves="the bike came with 100 mm travel",
)
_STEM_OF = form(
    r"(3[2-9]|[4-9]\d|1[0-7]\d)\s?(?:mm\s)?stem\b(?!\s?(?:bolt|cap|clamp))",
    catches="130 mm stem",
    leaves="130 mm crank",
)
_STEM_HOLDS = form(
    r"\b(?:stem|clamp)\b[^.;?!]{0,20}\b(?:clamps?|clamping|holds?|grips?|gripping|bites?|has|gets|catches)\b[^.;?!\d]{0,16}$",
    catches="the stem only clamps about ",
    leaves="the stem is ",
)
_CUT_TOO_SHORT = form(
    rf"({NUMBER})\s?mm\s(?:too\s)?(?:short|low)\b",
    catches="8 mm too short",
    leaves="8 mm spacer",
)
_TOO_SHORT_BY = form(
    rf"\btoo (?:short|low) by\s(?:about\s)?({NUMBER})\s?mm\b",
    catches="too short by 8mm",
    leaves="too short by a lot",
)
_STEERER_CUT = form(
    r"\b(?:steerer|fork column|fork tube)\b[^.;?!]{0,40}\b(?:cut|sawn|sawed|is|was|ended up|came out|trimmed)\b[^.;?!]{0,16}$",
    catches="the steerer was cut ",
    leaves="the steerer takes ",
)
_RISE_OF_A_BAR = form(
    rf"({NUMBER})(?:\s?mm|\s?cm|[\"″”]|''|[\s-]?inch(?:es)?|[\s-]?in)?[\s-](?:of\s)?rise\s(?:handle)?bars?\b",
    catches="1.5 inch rise bars",
    leaves="35 mm stem and bars",
)
_GAP_AT_THE_TOP = form(
    rf"({FRACTION}|{NUMBER})(\s?mm|\"|''|[\s-]?inch(?:es)?\b|[\s-]?in\b)\s(?:(?:of|wide|deep|big)\s)?(?:(?:gap|space|room|empty|void)\s)?(?:between|from)\s([^,.;?!]{{1,80}})",
    catches="3/4 inch gap between the top of the stem and the top of the steer tube",
    leaves="3/4 inch of spacers",
)
_ENDS_OF_BOTH = (
    form(r"\bstem\b", catches="the stem's top", leaves="system"),
    form(r"\b(?:steer(?:er|ing)?(?:\stube)?|fork (?:column|tube))\b", catches="steer tube", leaves="steers"),
    form(r"\b(?:top|end|edge|rim|lip)\b", catches="the end of", leaves="stop"),
)
_STEERER_SIZE = form(
    rf"({FRACTION}|1(?:[.,](?:125|25|5))?)(?:\"|''|[\s-]?inch(?:es)?\b|[\s-]?in\b)"
    r"(?=\s(?:(?:carbon|steel|alloy|aluminium|aluminum|threadless|threaded|tapered|straight|full)\s){0,2}(?:steerers?|forks?|headsets?|fork column)\b)",
    catches='1 1/8" carbon steerer',
    leaves='1 1/8" spacer',
)
_STEERER_NAMED = form(
    r"\b(?:steerer|steer(?:ing)? tube|fork column)s?\b[^.;?!\d]{0,24}?(?<![\d.,])(1[\s-]1/8|1[\s-]1/4|1[.,]125)(?:\"|''|\s?in\b|\s?inch\b)?(?=\s(?:on|at|up)\b|\s?[.,;:)]|$)",
    catches="carbon steerer, 1 1/8 on top",
    leaves="steerer with 1 1/8 inches of spacers",
)
_STEERER_STANDS = form(
    r"\b(?:steerer|steerer tube|fork column|fork tube)\b(?:(?!\bspacers?\b)[^.;?!]){0,40}$",
    catches="the steerer is ",
    leaves="the steerer and a spacer are ",
)
_ANGLE_INSTEAD = form(
    r"(?<=[-+])(\d{1,2})\s?(?:°|deg\w*)?\s(?:instead of|rather than|in place of)\s(?:an?\s|the\s|my\s)?([-+]?)(\d{1,2})(?![\d.,]\d|\s?(?:mm|cm|%))",
    catches="+12 instead of -7",
    leaves="12 instead of 7",
)
_STEM_INSTEAD = form(
    r"(3[2-9]|[4-9]\d|1[0-4]\d)\s?(?:mm)?\s?(?:stem\s)?(?:instead of|rather than|in place of)\s(?:an?\s|the\s|my\s|its\s)?(?:old\s|present\s|stock\s|original\s)?"
    r"(3[2-9]|[4-9]\d|1[0-4]\d)(?![\d.,]\d|\s?(?:cm|%|°|deg|teeth|t\b))",
    catches="a 35 mm stem instead of the 60",
    leaves="35 instead of 60 %",
)
_STEM_WITH_ANGLE = form(
    r"(3[2-9]|[4-9]\d|1[0-7]\d)\s?(?:mm|millimetres?)?\s?(?:stem\s)?(?:long\s)?(?:(?:with|at|and|of|in|,|/|x|has|is|is a)\s?){0,2}(?:an?\s)?(?:angle of\s|rise of\s)?"
    r"(?:(?P<sign>[-+]|(?:minus|plus|negative|positive)\s)\s?(?P<signed>\d{1,2})(?![\d.,]*\d|\s?(?:mm|cm|%))(?:\s?(?:°|deg\w*))?|(?P<plain>\d{1,2})\s?(?:°|deg\w*)(?:\s(?P<way>down|drop|up|rise))?)",
    catches="110 mm with a -6 degree",
    leaves="110 mm with 20 mm",
)
_A_STEM_OF = form(
    r"(?<!new )(?<!want a )(?<!shorter )(?<!longer )(?<!another )\bstem\s(?:is\s|of\s|=\s?)(?:an?\s)?$",
    catches="spacers, stem of ",
    leaves="a new stem of ",
)
_BOTH_ANGLES = form(
    r"\bboth\s(?:(?:at|with|of|stems?|are|being)\s){0,2}(?P<sign>[-+]|(?:minus|plus)\s)?\s?(?P<angle>\d{1,2})\s?(?:°|deg\w*)?(?:\s(?P<way>up|down|rise|drop))?(?![\d.,]*\d|\s?(?:mm|cm|%|nm|bolts?))",
    catches="both 6 degrees up",
    leaves="both 6 mm",
)
_IN_PLACE_OF = form(
    r"\b(?:instead of|rather than|in place of|replac(?:e|es|ing)|coming from|from|than)\s(?:an?\s|the\s|my\s)?(?:\w+\s){0,2}$",
    catches="instead of my old ",
    leaves="instead ",
)
_LEVEL_WITH_THE_TOP = form(
    r"\b(?:level|flush|even|flat)\s(?:with|to)\s(?:the\s|my\s)?(?:very\s)?(?:top\s(?:edge\s)?of\s(?:the\s|my\s)?)?(?:upper edge of the\s)?(?:stem|top of the stem|stem's top)\b",
    catches="level with the top of the stem",
    leaves="level with the saddle",
)
_OLD_POST_IS = form(
    r"\b(?:old|original|current|present|existing|previous|stuck|first|stock)\s(?:one|post|seat\s?post|pin)\b[^.;?!\d]{0,36}\b(?:at|is|was|says|reads|measures|measured|stamped|marked|a|as|it)\s(?:an?\s)?$",
    catches="the old one came out at ",
    leaves="the old post has a scale of ",
)
_POST_LEFT_INSIDE = form(
    rf"({NUMBER})\s?(?:mm|cm)?\s(?:(?:of\s(?:it|the post|post|seatpost)|is|are|will|would|be|stays?|remains?|left|still|only|it)\s){{0,4}}(?:left\s)?(?:in|inside)\b(?!\s(?:diameter|the shop|front))",
    catches="85 is left in",
    leaves="85 in front",
)
_OF_A_POST_INSIDE = form(
    r"\b(?:left|remain\w*|stay\w*|still|of it|of post|of the post)\b", catches="is left in", leaves="in the"
)
_LINE_FROM_THE_END = form(
    rf"\b(?:lines?|marks?|marking)\b[^.;?!\d]{{0,24}}?\s({NUMBER})\s?(?:mm)?\s(?:up\s)?from\s(?:the\s|its\s)?(?:very\s)?(?:bottom|lower end|end|lower edge|tip)\b",
    catches="a line at 100 mm from the bottom",
    leaves="a line at 100 mm from the saddle",
)
_POST_NOUN_BEHIND = form(
    r"(?:\s?mm)?\s(?:dropper|seat\s?post|post)\b(?!\s(?:mount|hole|clamp|collar))",
    catches=" dropper",
    leaves=" post mount",
)
_WIDE_BAR = form(
    r"(3[4-9]\d|[4-8]\d\d|3[4-9](?=\s?cm)|[4-8]\d(?=\s?cm))\s?(?:mm|cm)\s(?:wide\b(?:\s(?:flat\s|riser\s|drop\s)?(?:handle)?bars?\b)?|(?:flat\s|riser\s|drop\s)?(?:handle)?bars?\b)",
    catches="680 mm wide",
    leaves="31.8 mm bar",
)
_STEM_IS_HIGH = form(
    rf"\bstem(?:'s)?\s(?:(?:clamp|itself|is|stack|height|measures|stands)\s){{1,3}}(?:about\s|only\s)?({NUMBER})(?:\s?mm)?\s(?:high|tall)\b",
    catches="stem is 42 high",
    leaves="stem is 100 long",
)
_OF_STACK = form(
    rf"\bheadset\s(?:takes|needs|adds|has|is|eats|wants|with)\s(?:up\s)?(?:about\s)?({NUMBER})\s?(?:mm\s)?(?:of\s|in\s)?(?:stack|height)\b",
    catches="headset takes 32.5 mm of stack",
    leaves="headset takes 32.5 mm of tube",
)
_OF_RINGS = form(
    rf"({NUMBER})\s?(?:mm\s)?(?:worth\s)?of\s(?:spacers?|rings?)\s(?:under|below|beneath|underneath)\b",
    catches="25 of rings below",
    leaves="25 of rings above",
)
_AND_OVER_IT = form(
    rf"({NUMBER})\s?(?:mm\s)?(?:over|above|on top of)\s(?:it|the stem)\b|({NUMBER})\s?(?:mm\s)?above(?=[.,;]|$)",
    catches="5 over it",
    leaves="5 over the line",
)
_UPPER_HALF = form(
    rf"\b(?:headset\s(?:top|upper)|(?:top|upper)\s(?:headset|cup|stack|half|part|cover))(?:\s(?:stack|height|cup|half|part|is|of|adds|measures|about))*\s({NUMBER})(?:\s?mm)?\b|({NUMBER})\s?(?:mm)?\s(?:(?:for|at)\s(?:the\s)?)?(?:top|above|upper)\b(?=[^.;?!\d]{{0,12}}{NUMBER}\s?(?:mm)?\s(?:(?:for|at)\s(?:the\s)?)?(?:bottom|below|lower)\b)",
    catches="headset top 12 mm",
    leaves="stem top 12 mm",
)
_LOWER_HALF = form(
    rf"\b(?:headset\s(?:bottom|lower)|(?:bottom|lower)(?:\s(?:headset|cup|stack|half|part))?)(?:\s(?:stack|height|cup|half|part|is|of|adds|measures|about))*\s({NUMBER})(?:\s?mm)?\b|({NUMBER})\s?(?:mm)?\s(?:(?:for|at)\s(?:the\s)?)?(?:bottom|below|lower)\b",
    catches="lower stack 10",
    leaves="lower the stem",
)
_MOST_OF_A_HALF_MM = 30
_AXLE_OF_A_FRAME = form(
    r"(?:(?:12|15|20|9|10)\s?(?:mm\s)?x\s?(1\d\d)|(1\d\d)\s?(?:mm\s)?x\s?(?:12|15|20|9|10))(?:\s?mm)?\s(?:boost\s|thru[- ]?axle\s|through[- ]?axle\s|carbon\s|steel\s|rigid\s|suspension\s)?(?:forks?|frames?|framesets?|drop-?\s?outs?|rear end)\b",
    catches="15 x 110 fork",
    leaves="15 x 110 wheel",
)
_AXLE_SIZES = re.compile(
    r"\b(?:(?:12|15|20|9|10)\s?(?:mm\s)?x\s?1\d\d|1\d\d\s?(?:mm\s)?x\s?(?:12|15|20|9|10))\b"
)
_USUAL_HUB_WIDTHS = frozenset(
    {
        90,
        91,
        96,
        100,
        110,
        114,
        115,
        120,
        126,
        127,
        130,
        132.5,
        135,
        140,
        141,
        142,
        145,
        148,
        150,
        157,
        160,
        170,
        177,
        190,
        197,
    }
)
_WHEEL_IS = form(
    r"\b(?:hubs?|wheels?|wheelsets?)\b(?:\s(?!(?:frame|fork|bike|drop-?\s?outs?|stays|that|tyre|tire|spokes?)\b)[a-z']+){0,6}\s(?:is|are|measures?|has|comes in at|says)\s(?:an?\s|about\s|spaced\s)?$",
    catches="the wheel i want to use is ",
    leaves="the wheel in my frame that is ",
)
_POST_OR_BORE = form(
    r"(2[0-9][.,]\d|3[0-6][.,]\d)(?:\s?mm)?(?![\w.,]*\d|\s?(?:x|/|kg|psi|c\b|tyre|tire|wheel|bar|handlebar|stem))",
    catches="26.8",
    leaves="26.8 x 350",
)
_BORE_FROM_TO = form(
    r"(2[0-9][.,]\d\d?|3[0-6][.,]\d\d?)(?:\s?mm)?\s?(?:to|-|–|and|\w+ (?:one|this) way and|(?:one|this) way,? (?:and|but)(?: \w+)?|at the top(?:,| and| but))\s?(2[0-9][.,]\d\d?|3[0-6][.,]\d\d?)(?![\w.,]*\d)",
    catches="26.4 to 27.1",
    leaves="26.4 x 27.1",
)
_OF_THE_BORE = form(
    r"\b(?:seat\s?tube|bore|inside of the (?:seat )?tube|hole for the (?:seat\s?)?post|vernier in|callipers? in|calipers? in)\b[^.?!\n]{0,48}$",
    catches="seat tube, inner diameter: ",
    leaves="the seat tube is long. the post is ",
)
_OUTSIDE_OF_IT = form(r"\bout(?:er|side)\b", catches="outer diameter", leaves="inner diameter")
MOST_OVAL = 0.3
"""A bore that differs by more has no one size: it was squeezed, or measured across its slot; by common practice. [mm]"""
_SHIMMED = form(
    r"(?:\s(?:seat)?(?:post|dropper|one))?(?:\spost)?\s(?:with|plus|and|in)\s(?:an?\s|the\s)?(?:shim|sleeve|adaptor|adapter)\b",
    catches=" dropper with a shim",
    leaves=" with a collar",
)
_A_POSTS_SIZE = form(
    r"\s(?:size|sizes|sizing|diameter|standard)\b(?!\s(?:frame|seat ?tube|wheel|tyre|tire))",
    catches=" sizing",
    leaves=" size frame",
)
_BAR_SIZE = form(
    r"(25[.,][48]|26(?:[.,][0-4])?|31[.,][678]|35(?:[.,]0)?)(?!\s?(?:mm\s)?(?:long|short|reach|length|deg|°|/|x)|[\d.,]*\d)(?:\s?mm)?",
    catches="25.4",
    leaves="35 mm long",
)
_STEM_TAKES = form(
    r"\bstem(?:'s)?\s(?:clamp\s)?(?:(?:is|was|=|:|says|reads|marked|stamped|takes|measures|clamps|size)\s?)?(?:(?:an?|for|at|about|only|marked|stamped)\s){0,2}$",
    catches="my stem is a ",
    leaves="the stem and the bar are ",
)
_HUB_WIDTH = form(
    r"(9[0-9]|1[0-9]\d|20[0-5])(?:[.,]5)?(?![\d.,]*\d)\s?(?:mm)?",
    catches="135 mm",
    leaves="35 mm",
)
_MADE_FOR = form(
    r"\b(?:frame|fork|drop-?\s?outs?|bike|rear end|rear triangle)\b[^.;?!\d]{0,20}?\b(?:designed|made|built|meant|spaced|intended|set)\s(?:up\s)?(?:for|to take|at|to)\s(?:an?\s)?$",
    catches="a steel frame designed for ",
    leaves="a hub designed for ",
)
_FRAME_IS = form(
    r"\b(?:frame|fork|dropouts?|rear end|rear triangle)(?:['’]s|\sis|\s(?:are|has|takes|measures|wants|needs|turns out to be|turned out to be|comes out at|works out at))\s(?:an?\s|only\s|about\s|spaced\s)?$",
    catches="my fork is ",
    leaves="my wheel is ",
)
_IS_SPACED = form(
    r"\b(?<!hub )(?<!wheel )(?<!axle )(?:is|was|are|it's|its)\sspaced\s(?:at\s|to\s)?$",
    catches="it is spaced ",
    leaves="the hub is spaced ",
)
_OF_A_HUB_THERE = form(
    r"\b(?:hub|wheel|axle|wheelset)\b[^.;?!]*$", catches="the hub i own is ", leaves="the hub. it is "
)
_OF_A_FRAME = re.compile(
    r"\s?(?:spaced|spacing|wide|rear|rim|disc|disk|brake|road|track|mtb|touring|steel|alloy|aluminium|aluminum|carbon|titanium|old|lugged|quick[\s-]release|qr|\s|-){1,6}"
    r"(?:frame|frameset|dropouts|drop-outs)\b"
)
_HUB_WITH = form(
    r"\b(?:hubs?|wheels?|wheelsets?)\s(?:with|of|at|that has|that have)\s(?:an?\s|the\s)?$",
    catches="other hubs with ",
    leaves="a frame with ",
)
_RIGHT_BEHIND_HUB = form(
    r"\b(?:frame|fork|drop-?\s?outs?|rear end|rear triangle)\b[^.;?!]*\d[^.;?!]*\b(?:the|my|its|this|that)\s(?:(?:rear|front|new|old)\s)?hub\s$",
    catches="the frame measures 130 and the hub ",
    leaves="the hub ",
)
_BOOST = form(
    r"\s?(?:mm)?\s?(?:x\s?1[0-5]\s?)?(?:mm\s)?(?:super\s?)?boost\s(?:rear\s|front\s)?(?:hubs?|wheels?|wheelset)\b",
    catches=" boost wheel",
    leaves=" boost frame",
)
_TO_BE_FITTED = form(
    r"\b(?:fit|fitting|put|putting|use|using|run|install|want|buy|bought|get|swap in|try)\s(?:an?\s|the\s|my\s|in\s|new\s){0,3}$",
    catches="i want to fit a ",
    leaves="my frame has a ",
)
_HELD_BY = form(
    r"\s?(?:mm)?\s?(?:rear\s)?(?:qr|quick[\s-]?release|skewer|dropouts?|spacing|bolt-on|nutted)\b",
    catches=" mm qr",
    leaves=" mm rotor",
)
_CUPS_SAY = form(
    r"([2-6]\d)\s?(?:-|–|to)\s?([3-7]\d)(?![\d.,]*\d)(?!\s?(?:mm|x|cm|t\b|psi|teeth|n\s?[·.]?\s?m\b|newton))",
    catches="35-50",
    leaves="35-50 mm",
)
_OF_THE_CUPS = form(
    r"\bcups?\b[^.;?!\d]{0,20}$",
    catches="the cups say ",
    leaves="the cup is gone; chainrings are ",
)
_BAR_IS = form(
    r"\b(?:handle)?bars?\b[^.;?!,\d]{0,24}\b(?:is|are|was|measures?|measured)\s(?:(?:an?|about|only)\s)?$",
    catches="the bars i was given are ",
    leaves="the bar end plugs, as they are, ",
)
_IN_A_STEM = form(r"\sstem\b", catches=" stem", leaves=" stems")
_INTO = form(r"\bin(?:to)?\s(?:an?|the|my)\s$", catches="bar in a ", leaves="bar and a ")
_CLAMP_BEHIND = form(r"\sclamp(?:ing)?\b", catches=" clamp", leaves=" clamps")
_BAR_BEFORE = form(r"\b(?:handle)?bars?\s$", catches="handlebars ", leaves="barend ")
_STATES = re.compile(
    r"\b(?:is|was|=|measures?|takes?|needs?|wants?|marked|stamped|says|made for|reamed to)\s(?:an?\s|about\s)?$"
)
_WHOSE = re.compile(
    r"\b(?:(?P<post>(?:seat)?(?:posts?|pin)|dropper)|(?P<bore>frame|seat ?tube|hole|bore|tube))\b"
)
_POST_BEHIND = re.compile(r"\s\w+\s(?:of|for|in)\s(?:an?\s|the\s|my\s)?(?:seat\s?)?posts?\b")
_CLAUSE = re.compile(r"[,;.?!](?=\s)|\b(?:but|and|while|whereas|so)\b")
_WHEEL_NAME = 27.5


@at_numbers_only(_INCH_THREAD, _KNOWN_THREAD, _SPOILED_TURNS, _TURNS)
def threads(passage: Passage) -> Iterator[list[Found]]:
    """ "9/16 x 20 tpi", "1.37 inch by 24 tpi", "the outer 3 turns are ruined"."""
    for m in passage.at_numbers(_INCH_THREAD):
        yield [
            Found("thread_diameter_mm", round(number(m["size"]) * INCH_MM, 4), *m.span("size")),
            Found("threads_per_in", number(m["threads"]), *m.span("threads")),
        ]
    for m in passage.at_numbers(_KNOWN_THREAD) if passage.holds("thread", "shell", "cup", "bracket") else ():
        yield [
            Found("thread_diameter_mm", round(number(m[1]) * INCH_MM, 4), *m.span(1)),
            Found("threads_per_in", number(m[2]), *m.span(2)),
        ]
    for m in passage.at_numbers(_TURNS):
        if _SPOILED.search(passage.before(m.start(), 24)):
            yield [Found("damaged_turns_count", number(m[1]), *m.span(1))]
    for m in passage.at_numbers(_SPOILED_TURNS):
        yield [Found("damaged_turns_count", number(m[1]), *m.span(1))]


_MORE_SPACERS = form(
    rf"({PLAIN})\s?(?:mm\s?)?(?:(?:of|worth of)\s)?spacers?\b[^?!\d]{{0,60}}?\b(?:add(?:ing)?|another|extra|put(?:ting)?|fit(?:ting)?)\b[^?!;.\d]{{0,24}}?"
    rf"({PLAIN})(?![\d/]|[.,]\d)\s?(?:mm\b)?(?:\s(?:of\s)?(?:more|extra)\b)?(?!\s?(?:mm\s)?(?:on top|above|over|nm|n\b))",
    catches="5 mm of spacers under the stem, i'd like to add 20 more",
    leaves="5 mm of spacers under the stem and 20 mm on top",
)


_MORE = form(r"\b(?:add(?:ing)?|another|extra|more)\b", catches="add 20", leaves="put 20")


@at_numbers_only(_MORE_SPACERS)
def spacers_with_more(passage: Passage) -> Iterator[list[Found]]:
    """ "5 mm of spacers, I'd like to add 20 more": the stack that it would be."""
    if not passage.holds("stem", "steerer", "bars"):
        return
    for m in passage.at_numbers(_MORE_SPACERS):
        if _MORE.search(m.group()):
            yield [Found("spacer_stack_mm", number(m[1]) + number(m[2]), m.start(1), m.end(2))]


@at_numbers_only(_UNDER, _PROUD, _SPACERS_OVER, _AND_ON_TOP, _COUNTED_PARTS, _RISE_OF_A_BAR, _WIDE_BAR)
def round_the_stem(passage: Passage) -> Iterator[list[Found]]:
    """ "I have 55 mm under now" where the talk is of spacers, "the steerer is 3 mm above the stem".

    How many bolts there are is no angle and no torque: "2 stem bolts", "2 torque arms"; nor is a bar's rise its thickness.
    """
    passage.taken += [m.span(1) for m in passage.at_numbers(_COUNTED_PARTS)]
    passage.taken += [m.span(1) for m in passage.at_numbers(_RISE_OF_A_BAR)]
    if passage.holds("bar"):
        # How wide a bar is tells of no saddle's height.
        passage.taken += [m.span(1) for m in passage.at_numbers(_WIDE_BAR)]
    for m in passage.at_numbers(_PROUD):
        if _STEERER_STANDS.search(passage.before(m.start(), 60)):
            yield [Found("steerer_below_top_mm", -number(m[1]), *m.span(1))]
    if not (passage.holds("spacer") and passage.holds("stem")):
        return
    for m in passage.at_numbers(_SPACERS_OVER):
        yield [Found("spacers_above_mm", number(m[1]), *m.span(1))]
    for m in passage.at_numbers(_AND_ON_TOP):
        if _UNDER_OR_SPACERS.search(passage.before(m.start(), 60)):
            yield [Found("spacers_above_mm", number(m[1]), *m.span(1))]
    for m in passage.at_numbers(_UNDER):
        yield [Found("spacer_stack_mm", number(m[1]), *m.span(1))]


def partly_clamped(passage: Passage) -> Iterator[list[Found]]:
    """ "The stem only clamps 32 mm of its 40 mm", "a 3/4 inch gap between the stem's top and the steer tube's": how far inside it ends,
    or how far it stands out ("just proud, by 2 mm").
    """
    if not passage.holds("steer", "fork column", "fork tube") or not passage.holds("stem"):
        return
    for m in passage.around(_PROUD_BY, "proud"):
        nearest, furthest = -number(m[1]), -number(m[2] or m[1])
        value = nearest if nearest == furthest else (furthest, nearest)
        yield [Found("steerer_below_top_mm", value, m.start(1), m.end())]
    for m in passage.at_numbers(_GAP_AT_THE_TOP):
        if all(end.search(m[3]) for end in _ENDS_OF_BOTH):
            millimetres = number(m[1]) * (1.0 if m[2].strip() == "mm" else INCH_MM)
            yield [Found("steerer_below_top_mm", round(millimetres, 2), m.start(), m.end(2))]
    for m in passage.at_numbers(_ENDS_IN_A_STEM):
        if number(m[1]) < number(m[2]):
            yield [
                Found("steerer_below_top_mm", number(m[2]) - number(m[1]), *m.span(1)),
                Found("stem_clamp_height_mm", number(m[2]), *m.span(2)),
            ]
    for m in passage.at_numbers(_PARTLY_CLAMPED):
        held, whole = number(m[1]), number(m[2])
        if held < whole and _STEM_HOLDS.search(passage.before(m.start(), 48)):
            yield [
                Found("steerer_below_top_mm", whole - held, *m.span(1)),
                Found("stem_clamp_height_mm", whole, *m.span(2)),
            ]
    if passage.has_found("steerer_below_top_mm"):
        return
    for m in [
        *passage.around(_TOO_SHORT_BY, "too short by", "too low by"),
        *passage.at_numbers(_CUT_TOO_SHORT),
    ]:
        if _STEERER_CUT.search(passage.before(m.start(), 60)):
            yield [Found("steerer_below_top_mm", number(m[1]), *m.span(1))]


def steerer_sizes(passage: Passage) -> Iterator[list[Found]]:
    """ "Spacers on a 1 1/8 inch carbon steerer": the name of the steerer's size, and no height of what sits on it."""
    for m in passage.at_numbers(_STEERER_SIZE):
        yield [Found("steerer_diameter_mm", round(number(m[1]) * INCH_MM, 3), *m.span(1))]
    for m in passage.around(_STEERER_NAMED, "1/8", "1/4", "125"):
        yield [Found("steerer_diameter_mm", round(number(m[1].replace("-", " ")) * INCH_MM, 3), *m.span(1))]


@at_numbers_only(_ANGLE_INSTEAD)
def stem_angles(passage: Passage) -> Iterator[list[Found]]:
    """ "+17 instead of -6" where the talk is of a stem: the new angle and the one there is."""
    if not passage.holds("stem"):
        return
    for m in passage.at_numbers(_ANGLE_INSTEAD):
        new = -float(m[1]) if passage.text[m.start() - 1] == "-" else float(m[1])
        old = -float(m[3]) if m[2] == "-" else float(m[3])
        yield [
            Found("new_stem_angle_deg", new, *m.span(1)),
            Found("stem_angle_deg", old, *m.span(3)),
        ]


def stem_it_came_with(passage: Passage) -> Iterator[list[Found]]:
    """ "A 130 mm stem on it? The bike came with 100": which is there and which is to come."""
    if not passage.holds("stem"):
        return
    came = [m for m in passage.around(_CAME_WITH_A_STEM, " with ") if m[1]]
    told = list(passage.at_numbers(_STEM_OF))
    if len(came) == len(told) == 1 and came[0][1] != told[0][1]:
        yield [Found("stem_length_mm", number(came[0][1]), *came[0].span(1))]
        yield [Found("new_stem_length_mm", number(told[0][1]), *told[0].span(1))]


@at_numbers_only(_STEM_INSTEAD)
def stems_instead(passage: Passage) -> Iterator[list[Found]]:
    """ "A 35 mm stem instead of 60": the one to come and the one there is."""
    for m in passage.at_numbers(_STEM_INSTEAD):
        if (
            "stem" in m.group()
            or "stem" in passage.before(m.start(), 24)
            or "stem" in passage.after(m.end(), 12)
        ):
            yield [
                Found("new_stem_length_mm", number(m[1]), *m.span(1)),
                Found("stem_length_mm", number(m[2]), *m.span(2)),
            ]


def stems_with_angles(passage: Passage) -> Iterator[list[Found]]:
    """ "My stem is 110 mm with a -6 degree angle. If I put on a 90 with +6": two stems, each with its angle, in their order."""
    if not passage.holds("stem"):
        return
    for m in passage.around(_BOTH_ANGLES, "both"):
        down = m["way"] in ("down", "drop") or (m["sign"] or "").strip() in ("-", "minus")
        angle = -float(m["angle"]) if down else float(m["angle"])
        if m["way"] or m["sign"] or "deg" in m.group() or "°" in m.group():
            yield [
                Found("stem_angle_deg", angle, m.start(), m.start("angle")),
                Found("new_stem_angle_deg", angle, m.start("angle"), m.end()),
            ]
    told = list(passage.at_numbers(_STEM_WITH_ANGLE))
    if len(told) == 1 and told[0]["signed"] and _A_STEM_OF.search(passage.before(told[0].start(), 24)):
        yield [
            Found("stem_length_mm", number(told[0][1]), told[0].start(), told[0].end(1)),
            Found("stem_angle_deg", _angle_of(told[0]), told[0].start("sign"), told[0].end()),
        ]
        return
    if len(told) != 2 or (told[0][1], _angle_of(told[0])) == (told[1][1], _angle_of(told[1])):
        return
    if _IN_PLACE_OF.search(passage.before(told[1].start(), 32)):
        told.reverse()
    for m, new in zip(told, ("", "new_"), strict=True):
        yield [
            Found(f"{new}stem_length_mm", number(m[1]), *m.span()),
            Found(f"{new}stem_angle_deg", _angle_of(m), *m.span()),
        ]


def _angle_of(m: re.Match[str]) -> float:
    if m["plain"]:
        return -float(m["plain"]) if m["way"] in ("down", "drop") else float(m["plain"])
    return -float(m["signed"]) if m["sign"].strip() in ("-", "minus", "negative") else float(m["signed"])


def headset_halves(passage: Passage) -> Iterator[list[Found]]:
    """ "Headset top 12 mm, lower stack 10": a headset's two halves, told apart, add up; and what else a steerer has to reach through."""
    if not passage.holds("headset", "cup", "stack") or not passage.holds("head tube", "headtube"):
        return
    for m in passage.around(_OF_STACK, "stack"):
        yield [Found("headset_stack_mm", number(m[1]), *m.span(1))]
    for m in passage.around(_STEM_IS_HIGH, "high", "tall"):
        yield [Found("stem_clamp_height_mm", number(m[1]), *m.span(1))]
    for m in passage.at_numbers(_OF_RINGS):
        yield [Found("spacer_stack_mm", number(m[1]), *m.span(1))]
    for m in passage.at_numbers(_AND_OVER_IT) if passage.has_found("spacer_stack_mm") else ():
        yield [Found("spacers_above_mm", number(m[1] or m[2]), *m.span(1 if m[1] else 2))]
    upper = next(iter(passage.around(_UPPER_HALF, "top", "upper", "above")), None)
    lower = next(iter(passage.around(_LOWER_HALF, "bottom", "lower", "below")), None)
    if upper is None or lower is None:
        return
    spans = [m.span(1 if m[1] else 2) for m in (upper, lower)]
    halves = [number(passage.text[slice(*span)]) for span in spans]
    if max(halves) <= _MOST_OF_A_HALF_MM and spans[0] != spans[1]:
        passage.taken.append(spans[1])
        yield [Found("headset_stack_mm", sum(halves), *spans[0])]


def steerer_level_with_the_stem(passage: Passage) -> Iterator[list[Found]]:
    """ "The steerer stands level with the top of the stem": nothing below it."""
    if not passage.holds("steer", "fork column", "fork tube"):
        return
    for m in passage.around(_LEVEL_WITH_THE_TOP, "level", "flush", "even", "flat"):
        if re.search(r"\b(?:steer\w*|column|fork tube|it)\b", passage.before(m.start(), 60)):
            yield [Found("steerer_below_top_mm", 0.0, *m.span())]


def post_inside(passage: Passage) -> Iterator[list[Found]]:
    """ "A line at 100 mm from the bottom", "only 85 is left in": a post's mark and how much of it is in the frame."""
    if not passage.holds("post", "seatpin", "seat pin") or not passage.holds("line", "mark", "inside", " in"):
        return
    for m in passage.around(_LINE_FROM_THE_END, "line", "mark"):
        yield [Found("post_mark_mm", number(m[1]), *m.span(1))]
    for m in passage.at_numbers(_POST_LEFT_INSIDE):
        if _OF_A_POST_INSIDE.search(m.group()):
            value = number(m[1]) * (10.0 if "cm" in m.group()[:8] else 1.0)
            yield [Found("seatpost_insertion_mm", value, *m.span(1))]


@at_numbers_only(_BORE_FROM_TO)
def bores_from_to(passage: Passage) -> Iterator[list[Found]]:
    """ "Seat tube, inner diameter: 26.2 to 27.1 mm" has no one size; "27.1 to 27.3" is hardly oval, and both are kept."""
    if not passage.holds("seat tube", "seattube", "post", "seatpin", "seat pin", "dropper"):
        return
    for m in passage.at_numbers(_BORE_FROM_TO):
        of = _OF_THE_BORE.search(passage.before(m.start(), 80))
        if of is None or _OUTSIDE_OF_IT.search(of.group()):
            continue
        low, high = sorted((number(m[1]), number(m[2])))
        if low == high:
            continue
        if high - low > MOST_OVAL:
            yield [Found("bore_spread_mm", round(high - low, 2), *m.span())]
        else:
            yield [Found("seat_tube_bore_mm", (low, high), *m.span())]


@at_numbers_only(_POST_OR_BORE)
def post_and_bore(passage: Passage) -> Iterator[list[Found]]:
    """ "The post in my frame is 27.2 but the frame takes 27.4": the first noun of its clause says whose size it is."""
    if not passage.holds("post", "seatpin", "seat pin", "dropper"):
        return
    for m in passage.at_numbers(_POST_OR_BORE):
        before = passage.before(m.start(), 60)
        clause = before[max((c.end() for c in _CLAUSE.finditer(before)), default=0) :]
        whose = _WHOSE.search(clause)
        if _SHIMMED.match(passage.text, m.end()):
            yield [Found("seatpost_diameter_mm", number(m[1]), *m.span(1))]
            continue
        if _POST_NOUN_BEHIND.match(passage.text, m.end()) and number(m[1]) != _WHEEL_NAME:
            yield [Found("seatpost_diameter_mm", number(m[1]), *m.span(1))]
            continue
        named = (whose is not None and whose["post"]) or _POST_BEHIND.match(passage.text, m.end())
        if _OLD_POST_IS.search(before) and any(
            number(other[1]) != number(m[1]) for other in _POST_OR_BORE.finditer(passage.text)
        ):
            # What came out of the frame is what the frame takes, where another post is asked about.
            yield [Found("seat_tube_bore_mm", number(m[1]), *m.span(1))]
            continue
        if named and _A_POSTS_SIZE.match(passage.text, m.end()) and number(m[1]) != _WHEEL_NAME:
            yield [Found("seatpost_diameter_mm", number(m[1]), *m.span(1))]
            continue
        if whose is None or _STATES.search(clause) is None or number(m[1]) == _WHEEL_NAME:
            continue
        name = "seatpost_diameter_mm" if whose["post"] else "seat_tube_bore_mm"
        yield [Found(name, number(m[1]), *m.span(1))]


_A_STEM_HAS = form(
    r"\bstem\b(?:(?!\b(?:handle)?bars?\b)[^.?!\d]){0,50}\b(?:has|with)\s(?:an?\s)?(?:about\s)?$",
    catches="a stem without noticing that it has a ",
    leaves="the stem is long and my bar has a 31.8 ",
)
_CLAMP = form(
    r"\s?(?:mm)?\s?(?:bar\s|handlebar\s)?clamp\b(?! (?:bolt|area|zone))",
    catches="mm clamp",
    leaves="mm clamp bolt",
)


@at_numbers_only(_BAR_SIZE)
def stem_bores(passage: Passage) -> Iterator[list[Found]]:
    """ "My stem is 25.4 and the bars are 31.8": a bar's size right behind the stem is what its clamp takes."""
    for m in passage.at_numbers(_BAR_SIZE) if passage.holds("bar", "clamp") else ():
        before, end = passage.before(m.start(), 64), m.end()
        if (
            _STEM_TAKES.search(before[-40:])
            or (_IN_A_STEM.match(passage.text, end) and _INTO.search(before[-12:]))
            or (_CLAMP.match(passage.text, end) and _A_STEM_HAS.search(before))
        ):
            yield [Found("stem_bore_mm", number(m[1]), *m.span(1))]
        elif _BAR_IS.search(passage.before(m.start(), 48)) or (
            _CLAMP_BEHIND.match(passage.text, m.end()) and _BAR_BEFORE.search(passage.before(m.start(), 16))
        ):
            yield [Found("bar_clamp_diameter_mm", number(m[1]), *m.span(1))]


@at_numbers_only(_HUB_WIDTH, _AXLE_OF_A_FRAME)
def hub_and_frame(passage: Passage) -> Iterator[list[Found]]:
    """ "A frame designed for 135 mm hubs" tells the frame's width, "hubs with 130 mm spacing" the hub's.

    Where a boost wheel is to be fitted, "135 mm quick-release" is what the frame takes.
    """
    if not passage.holds("hub", "wheel", "axle", "quick release", "dropout"):
        return
    two = len(_AXLE_SIZES.findall(passage.text)) > 1
    for m in passage.at_numbers(_AXLE_OF_A_FRAME) if two else ():
        # Beside a wheel's own size; alone it tells the standard of both.
        yield [Found("frame_spacing_mm", float(m[1] or m[2]), *m.span(1 if m[1] else 2))]
    boost_is_to_come = any(
        _BOOST.match(passage.text, m.end(1)) and _TO_BE_FITTED.search(passage.before(m.start(), 32))
        for m in passage.at_numbers(_HUB_WIDTH)
    )
    for m in passage.at_numbers(_HUB_WIDTH):
        before = passage.before(m.start(), 60)
        width = number(passage.text[m.start() : m.end()].removesuffix("mm").strip())
        if boost_is_to_come and _BOOST.match(passage.text, m.end(1)):
            yield [Found("hub_width_mm", width, *m.span())]
            continue
        if boost_is_to_come and _HELD_BY.match(passage.text, m.end(1)):
            yield [Found("frame_spacing_mm", width, *m.span())]
            continue
        if (
            _MADE_FOR.search(before)
            or _FRAME_IS.search(before)
            or (_IS_SPACED.search(before) and not _OF_A_HUB_THERE.search(before))
            or _OF_A_FRAME.match(passage.after(m.end(), 64))
        ):
            yield [Found("frame_spacing_mm", width, *m.span())]
        elif (
            (width in _USUAL_HUB_WIDTHS and _RIGHT_BEHIND_HUB.search(before))
            or (
                _HUB_WITH.search(before)
                and passage.after(m.end(), 20).lstrip().startswith(("spacing", "old", "o.l.d"))
            )
            or (
                width in _USUAL_HUB_WIDTHS
                and _WHEEL_IS.search(before)
                and passage.holds("frame", "dropout", "fork")
            )
        ):
            yield [Found("hub_width_mm", width, *m.span())]


@at_numbers_only(_CUPS_SAY)
def torque_on_the_cups(passage: Passage) -> Iterator[list[Found]]:
    """ "The cups say 35-50": a stretch without a unit on a cup is its torque and no bore."""
    if not passage.holds("bottom bracket", "bb", "torque", "shell", "crank"):
        return
    for m in passage.at_numbers(_CUPS_SAY):
        if _OF_THE_CUPS.search(passage.before(m.start(), 32)) and number(m[1]) < number(m[2]):
            yield [Found("stated_torque_n_m", (number(m[1]), number(m[2])), *m.span())]

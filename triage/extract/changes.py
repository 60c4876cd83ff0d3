"""What is there and what is to come, left and right, once and now: the words before a figure settle whose it is."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import replace
from itertools import pairwise

from knowledge.base import QuantityKind
from triage.extract.forms import form
from triage.extract.passage import Found, Passage
from triage.extract.roles import HELD_AGAINST

_CHANGE = form(
    r"\b(?:chang(?:e|ed|ing)|sw[ao]p(?:ped|ping)?|dropp?(?:ed|ing)|replac(?:e|ed|ing)|exchang(?:e|ed|ing)|trad(?:e|ed|ing)|switch(?:ed|ing)?|going from|went from|go from|from)\b",
    catches="i changed the ",
    leaves="exchangeable",
)
_CHANGED_FOR = form(
    r"\b(?:for|to|with|by|against|into|onto)\s(?:about\s|around\s|roughly\s)?(?:an?\s|the\s|some\s|one of\s)?(?:\w+\s){0,2}(?:plus\s|minus\s|[-+])?$",
    catches=" for an ",
    leaves=" and ",
)
_THING_TO = form(
    r"^(?:\s?mm)?\s(?!(?:front|rear|back|left|right|up|mm|or)\b)[a-z]+\sto\s(?:an?\s)?$",
    catches=" rotor to ",
    leaves=" to ",
)
_NEW_SIDE = form(
    r"\b(?:new|other|replace?ment|want(?:ed)?|like to|would|wish|ordered|bought|arrived|shorter|longer|say|suggests?|recommends?|thinking(?: of)?|tempted|considering|instead|i'd|need|like an?|looking for|chance|offered|propos(?:al|ed|ing)|ey(?:ed|e?ing)|rather have|prefer|hope|plan|love|switch(?:ing)? to|(?:going|moving|changing|swapping|dropping) (?:down |up )?to|(?:if|when|can|could|should|would|may) (?:i|we) (?:just |simply |only )?(?:change|swap|go|switch|drop|move) (?:down |up |over )?to|(?:if|when|should|would) (?:i|we) (?:just |simply |only )?(?:put(?: on)?|fit|get|use|buy|take)|whether an?|try(?:ing)?|(?:can|could|may) (?:i|we) (?:put|fit|get|run|use|mount|stick|throw))\b",
    catches="the new one is ",
    leaves="newton ",
)
_ON_IT_NOW = form(
    r"\b(?:my|present|current|existing|original|stock) (?:\w+ )?(?:tyres?|tires?|tubs?|clinchers?)\b|\b(?:currently|at the moment|came with|come with|so far)\b",
    catches="and my tyre is ",
    leaves="the tyre is ",
)
_ASKED_ABOUT = form(
    r"\b(?:would|could|can|may|might|should|will|thinking of|like to|want to|fit|go (?:up )?to)\b",
    catches="would ",
    leaves="wouldn",
)
_RIDDEN = form(
    r"\b(?:was|were|been|am|i'm|im|now|currently|run|runs|running|ride|riding|rode|got|have|i've|had|has|came off|coming off|used to (?:be|run|ride|have)|with)\s(?:on\s|with\s)?(?:an?\s|some\s)?$|(?:^|[.,;?!]\s)on\s$",
    catches="i was on ",
    leaves="i was thinking of ",
)
_ON_THERE = form(
    r"(?:\s(?:tyres?|tires?))?\s(?:on|fitted)(?:\s(?:it|there|them|now))?\b(?!\s(?:an?|the|my)\b)",
    catches=" on, can i ",
    leaves=" on a ",
)
_WISHED_FOR = form(
    r"\b(?:want|wants|wanted|would like|i'd like|like to|thinking of|wish|fancy|prefer|hope|hoping|can|could|would|will|thinking|looking at|going (?:for|to)|putting|put|fitting|fit|ordered|bought)\b[^.;?!\d]{0,24}$",
    catches=" now but i'd like ",
    leaves=" and ",
)
_ONE_SIZE_TO_ANOTHER = form(
    r"^(?:\s(?:tyres?|tires?))?\s?(?:\s(?:to|up to|down to|over to)\s(?:an?\s|the\s)?|(?:->|=>|→)\s?)$",
    catches=" up to ",
    leaves=" or ",
)
_WHAT_IT_SPANS = form(
    r"\b(?:tubes?|fits?|takes?|suits?|allows?|accepts?|clears?|between|range|anything|rated|marked|recommended|sizes)\b",
    catches="the tube fits ",
    leaves="my ",
)
"""What a tube's box or a frame's sheet allows runs from one size to another without any change."""
_ONE_STEM_TO_ANOTHER = form(
    r"\s(?:to|for|with)\s(?:an?\s)?(?:\d{2,3}\s?(?:mm|cm)?\s?)?[-+]?$",
    catches=" -6° to 80mm +",
    leaves=" -6° and 80mm +",
)
_CAME_WITH = form(
    r"\b(?:sold|supplied|delivered|shipped|fitted|came|comes|come) with\s(?:the\s|its\s|some\s|an?\s)?(?:\w+\s)?$",
    catches="the rims that were sold with ",
    leaves="a rim with ",
)
"""Where another width is named as well, the one that wheels were sold with is not that of the tyre."""
_STAMPED_ON_A_RIM = form(
    r"\brims?\s(?:\w+\s)?(?:says?|read|reads|marked|stamped|states?|showing|with)\s(?:with\s|as\s|on\s(?:them|it)\s)?[\"“']?$",
    catches="the rims say ",
    leaves="the rims take ",
)
"""A tyre's size in a rim names the wheel and the fattest tyre that was thought of: the tyre's own width is told elsewhere."""
_OF_A_STEM = ("stem_length_mm", "stem_angle_deg")
_COMING_FROM = form(
    r"\b(?:coming|came|come|moving|moved|down|up|switching|switched|changing|upgrading|going) from\s(?:an?\s|my\s|the\s)?(?:old\s|present\s|current\s)?$",
    catches="i'm coming from ",
    leaves="it comes from the ",
)
_SPROCKET_WANTED = form(
    r"\b(?:want|wants|wanted|like|need|fancy|looking for|after|hoping for|wish for)\s(?:to (?:fit|run|use|have|get|put on)\s)?an?\s$",
    catches="i want a ",
    leaves="i want to know: a ",
)
_OLD_SIDE = form(
    r"\b(?:old|present|current|existing|original|now|was|came off|so far|at the moment|mine (?:is|are))\b",
    catches="the old one is ",
    leaves="older ",
)
_THE_ONE = form(
    r"\bthe\sone\s(?:with|that|which|from|i)\b", catches="the one with power ", leaves="the one is "
)
"""Beside the old part "the one with" something is the other."""
_ONCE = form(
    r"\b(?:used to (?:be|weigh|run|have|ride|measure)|was once|were once|once (?:was|weighed|had|ran)|formerly|i was)\s(?:about\s|around\s|an?\s|at\s)?$",
    catches="used to be ",
    leaves="used a ",
)
_RATHER = form(
    r"\b(?:means?|meant|i mean|sorry|correction|rather|make that|should read|pardon|oops|scratch that|or rather|no wait|typo|no,? more like)\b[,:\s]*(?:it'?s\s|to say\s|say\s|of\s|by\s)?(?:about\s|an?\s|the\s)?$",
    catches="surely he means ",
    leaves="by no means at ",
)
_SIDES = form(r"\b(left|right|non-drive|drive)\b", catches="on the left", leaves="lefty")
_NEW_NAMES = {
    "largest_ring_teeth": "new_ring_teeth",
    "rated_sprocket_teeth": "new_largest_sprocket_teeth",
}
"""What is wished for in the place of these has a name of its own."""
_TORQUE_STATED = form(
    r"\b(?:says?|said|marked|printed|stated|states|stamped|etched|engraved|manual|sheet|maker|spec\w*|allows?|should be|supposed to be|limit|max(?:imum)?|recommend\w*|instead of|rather than)\b[^.;?!,]{0,24}$",
    catches="the manual says ",
    leaves="i gave it ",
)
_TORQUE_GIVEN = form(
    r"\b(?:i|we|he|she|shop|mechanic|friend|brother)\s(?:have\s|had\s|only\s|just\s)?(?:gave|do|did|used|put|went|tightened|managed|torqued|reached|got|set|nipped|applied|took|turned|screwed)\b[^.;?!,]{0,34}$",
    catches="i gave it ",
    leaves="it says ",
)
_NEW_BEHIND = form(
    r"(?:\s?(?:mm|millimetres?))?\s(?:when (?:it was |they were |i bought (?:it|them) )?new|when new|as new|from new|new\b|originally|when (?:i )?(?:first )?fitted|to (?:begin|start) with|out of (?:the|its) (?:box|packet|bag)|from the (?:box|packet))",
    catches=" mm when new",
    leaves=" now",
)
_NEW_BEFORE = form(
    r"\b(?:new|fresh),?\s(?:(?:it|they|this|these|that|ones?|pads?|blocks?|linings?|rotors?|discs?|rims?|walls?)\s){0,2}"
    r"(?:is|are|was|were|had|has|have|comes?|came|measured?|measures|started?)\s(?:(?:with|at|about|around|out)\s)*$|\bstart(?:ed|s)?\s(?:(?:life|out|off)\s)?(?:at|with|as)\s(?:about\s)?$|[,;(]\s?new\s$",
    catches="new ones come with ",
    leaves="a new rotor is wanted; it has ",
)
_MINE_IS = form(
    r"\b(?:mine|i measure|i read|measured|now)\s(?:(?:is|are|at|it|only|about|reads|measures)\s){0,2}$",
    catches="and mine reads ",
    leaves="the minimum is ",
)
_IS_NEEDED = form(
    r"\b(?:needs?|wants|requires?|asks for)\s(?:(?:about|at least|a gap of|some)\s)*$",
    catches="the pod needs about ",
    leaves="there is about ",
)
_NO_FURTHER = form(
    r"\b(?:(?:no|not|nothing|none|never)\s(?:any\s)?(?:less|thinner|under|below|more|bigger|larger|wider|over|above|beyond)(?:\sthan)?|(?:not|never|mustn't|shouldn't)\s(?:to\s)?(?:exceed|pass|go (?:over|above|under|below)|be (?:over|above|under|below)))\s(?:an?\s|about\s)?$",
    catches="the maker says not less than ",
    leaves="it is now less than ",
)
_AS_THE_END = form(
    r"\s?(?:mm|kgf|kg|n|newtons?|t|teeth)?\s(?:as|is|being)\s(?:the|its|a|their|my)\s(?:very\s)?(?:least|minimum|min|lowest|limit|most|maximum|max|highest)\b",
    catches=" kgf as the most",
    leaves=" kgf at the least",
)
_LIMIT_BEFORE = form(
    r"\b(?:limit|minimum|least)\b(?:\s(?:is|of|at|printed|stamped|etched|marked|engraved|stated|given|says))*\s$",
    catches="limit printed ",
    leaves="limited to ",
)
_LIMIT_OF = {
    "rim_wall_mm": "rim_wall_minimum_mm",
    "rotor_thickness_mm": "rotor_minimum_mm",
    "rotor_diameter_mm": "largest_rotor_mm",
    "new_rotor_diameter_mm": "largest_rotor_mm",
    "tight_side_tension_kgf": "rim_tension_limit_kgf",
    "highest_spoke_tension_kgf": "rim_tension_limit_kgf",
}
"""What stands as the least or the most is the limit that the maker gives, and not what there is."""
_RIM_IS_RATED = form(
    r"\brims?\b(?:['’]s)?[^.;?!\d]{0,24}?\b(?:rated|limit|max(?:imum)?|allows?|approved|stands|good|leaflet|sheet|sticker|label|says|states|gives|stamped)\b[^.;?!\d]{0,16}$|\b(?:limit|max(?:imum)?|most)\b[^.;?!\d]{0,16}\brims?\b[^.;?!\d]{0,12}$",
    catches="that's fine for a rim rated ",
    leaves="the rim is true and the spokes have ",
)
_LIES_ABOUT = form(
    r"\s?(?:mm\s)?(?:(?:rotors?|discs?|disks?)\s)?(?:is\s|are\s|that['’]?s\s|which is\s)?(?:still\s|just\s)?(?:lying\s(?:here|about|around|in)|left over|in (?:a|the|my) (?:drawer|shed|garage|parts box)|(?:from|off) (?:another|my other|an old))\b",
    catches=" mm rotor lying here",
    leaves=" mm rotor on there",
)
_FALLS = form(
    r"\b(?:fall|fell|drop|sink|sank|los|leak|goes|went|go|down)\w*\b[^.;?!]{0,40}\bto\s(?:about\s|only\s|around\s|just\s|a\s|mere\s)*$",
    catches="it falls from 6 to about ",
    leaves="falls by ",
)
_LATER = form(
    r"\b(?:tomorrow|the next|next (?:day|morning)|by (?:the )?(?:next )?(?:morning|evening|noon)|overnight|(?:hours?|days?|weeks?|nights?) (?:later|after)|after (?:a|the|one|two|\d+) (?:nights?|hours?|days?|weeks?|ride))\b",
    catches="the next morning ",
    leaves="this morning ",
)
# "100 miles on my single speed", "both hills come after 50 miles": the way of a ride, and not what a part has run.
_WAY_BEHIND = form(
    r"(?:\s|-)?(?:on\s(?:an?|my|the|one)\s(?:single|fixed|fixie|tandem|unicycle|recumbent|folder|folding|trike)|"
    r"(?:event|sportive|audax|brevet|race|commute|trip|tour|loop|route|circuit|ride|round trip|day|days|each way|a day|a week|per (?:day|week)|away|from home|off)\b)",
    catches=" on a single speed",
    leaves=" on a chain",
)
_WAY_BEFORE = form(
    r"\b(?:(?:hills?|climbs?|both|all|which|pass(?:es)?)\s(?:\w+\s){0,2}(?:come|comes|is|are|starts?)\s(?:after|at)|(?:commute|ride|loop|event|sportive|race|route|trip)\s(?:of|is|was))\s(?:about\s|only\s|just\s)?$",
    catches="both hills come after ",
    leaves="the chain came off after ",
)
_WEARS = ("rim_wall_mm", "pad_thickness_mm", "rotor_thickness_mm")
_ON_THE_NEW = form(
    r"(?:\s?mm)?\s(?:on|for|in|with|from)\s(?:the|my|a)\s(?:new|other|replacement)\b",
    catches=" on the new one",
    leaves=" on the old one",
)
_SIDE_BEHIND = form(
    r"(?:\s?mm)?\s(?:on the\s|to the\s)?(left|right)\b", catches=" on the left", leaves=" leftover"
)
_PUMPED_THERE = form(
    r"\b(?:pumped|inflated|topped up|(?:i|we) (?:pump|inflate)|pump(?:ing)? (?:it|them|up|my|the|our))\b(?:(?!\b(?:ride|rode|riding|go|went|drive|drove|now|today|outside|pass|col|summit|then|but|left)\b)[^.;?!]|(?<=\d)[.](?=\d))*$",
    catches="i pumped them in town at 4.5 bar and ",
    leaves="the pump stands in town at ",
)
"""Where and how warm it was when the tyre was filled, and not where it is ridden."""
_A_WARMTH = re.compile(r"\d\s?(?:°|º|deg|c\b|f\b)")
_A_HEIGHT = re.compile(r"\d\s?(?:m|met(?:re|er)s?|ft|feet)\b")
_PUMPED_TO = form(
    r"\b(?:pump\w*|inflat\w*)\b(?:(?!\b(?:drop\w*|f[ae]ll\w*|sank|sinks?|los\w*|down|left|later|after|but|then|holds?)\b)[^.;?!,\d])*\bto\s(?:only|just|a mere)\s$",
    catches="pumped it up to only ",
    leaves="i pump it up and it drops to only ",
)
_A_HEATER = ("boiler", "radiator", "heater", "stove", "oven", "furnace", "attic", "loft", "greenhouse")
_STANDS_THERE = form(
    r"\b(?:wheels?|wheelset|bikes?)\s(?:\w+\s)?(?:lives?|stands?|hangs?|stored|kept|leans?|sits?|rests?|is|are)\b[^.;?!]*$",
    catches="my wheels hang by the radiator, about ",
    leaves="my wheels are new. it is ",
)
_OTHER_SIDE = form(
    r"\b(?:other|slack(?:er)?|loose[r]?|left|right|non)\b", catches="and the other ", leaves="another"
)
_ON_THE_OTHER = form(
    r"\s?(?:kgf|n|newtons?)?\s(?:on|at|for)\s(?:the\s)?(?:other|non|slack|left|right)\b",
    catches=" n on the other",
    leaves=" n on the rim",
)
_OF_THE_CRANK = form(r"\b(cranks?|spider|crankset|chainset)\b", catches="on the crank", leaves="cranky")
_OF_THE_RING = form(r"\b(ring|rings|chainring|chainrings)\b", catches="the ring", leaves="the string")
_CIRCLE_THERE = form(
    r"\b(?:my|mine is|mine has|have|has|got)\s(?:an?\s)?(?:old\s)?$|\b(?:bolt circle|bcd|pcd)\s?(?:of|is|=|:)?\s?$",
    catches="bolt circle ",
    leaves="is there a ",
)
"""A circle that is told before its figure, or is somebody's, is that of the crank which is there."""
_AT_THE_REAR = form(
    r"(?:\s?(?:mm|millimetres?))?\s(?:(?:at|in|on|for)\sthe\s)?(?:back|rear|cog|sprocket|cassette|hub|wheel)\b",
    catches=" mm at the back",
    leaves=" at the ring",
)
_REAR_BEFORE = form(
    r"\b(?:(?:at|in|on|for)\sthe\s(?:back|rear|cogs?|sprocket|cassette|hub)|(?:rear|back|cogs?|sprockets?|cassette))\b(?:(?!front|ring|chain|crank)[^.;?!\d]){0,20}$",
    catches="and at the back i measure ",
    leaves="at the back of the ring, 42.5 and ",
)
_WOBBLING = form(r"\bwobbl(?:e|es|ing|y)\b", catches="mm of wobble", leaves="mm of play")
_OF_A_CHAINRING = form(r"\b(?:chain)?rings?\b|\bchainwheels?\b", catches="big ring", leaves="bring")
_OF_A_DISC = form(r"\b(?:rotor|rotors|disc|disk)\b", catches="the disc", leaves="the discount")
_OF_A_WHEEL = form(r"\b(?:wheel|rim|wheels)\b", catches="the wheel", leaves="the brim")
_WHEELS_INTO = form(
    r"\s(?:wheels?|wheelset|rims?)?\s?(?:\w+\s){0,2}?(?:in|into|on|onto|to|inside)\s(?:an?|my|the|this|our|his|her)\s(?:(?!my\b)\w+\s){0,3}$",
    catches=" wheels in my old ",
    leaves=" wheels and a ",
)
_WHEELS_TO = form(
    r"^(?:\s(?:wheels?|wheelset|rims?))?\s?(?:to|->|→|by|with)\s(?:an?\s|some\s|new\s|modern\s|the\s|set of\s){0,2}$",
    catches=" wheels to ",
    leaves=" wheels and ",
)
_WAS_THERE = form(
    r"\b(?:originally|original|came with|came on|equipped with|built for|designed for|made for|the old|my old)\b[^.;?!\d]{0,24}$",
    catches=" would originally have been equipped with ",
    leaves=" wheels, and then ",
)
_WHEELS_FOR = form(
    r"^\s(?:wheels?|wheelset|rims?)?\s?for\s(?:an?\s|some\s|new\s|modern\s|set of\s){0,2}$",
    catches=" wheels for ",
    leaves=" wheels for my ",
)
_WHEELS_ASKED_FOR = form(
    r"\b(?:can|could|may|will|would|should|want|like to|thinking of|convert\w*|swap\w*|switch\w*|fit|run|go|change)\b",
    catches="can i get ",
    leaves="it came on ",
)
_STATED_BEHIND = form(
    r"[^.;?!,]{0,24}\b(?:says?|printed|marked|stated|stamped|etched|engraved|max|limit|recommended|allowed)\b",
    catches=" is printed",
    leaves=", i print",
)
_ANOTHER_FIGURE = re.compile(r"\s(?:and|but|though|although|while|where|whereas)\s")
_TO_NOTHING = form(
    r"\s(?:down\s)?to\s(nothing|zero|empty|completely flat|flat|nil)\b",
    catches=" to nothing",
    leaves=" to noting",
)
_WHEEL = "bead_seat_diameter_mm"
_SIDED = ("flange_offset_mm", "flange_diameter_mm")
_ELSEWHERE = {
    "bearing_bore_mm": ("shell_bore_mm", ("shell",), ("bearing", "cups")),
    "shell_bore_mm": (
        "seat_tube_bore_mm",
        ("seat post", "seatpost", "seat tube", "seattube"),
        ("shell", "bottom bracket", "bb", "cup", "press"),
    ),
    "arm_gap_mm": (
        "tyre_clearance_mm",
        ("tyre", "tire", "tubeless", "psi", "29x", "27.5 x"),
        ("crank", " arm", "pedal", "q-factor", "q factor", "stance", "ring"),
    ),
    "hub_width_mm": (
        "spindle_length_mm",
        ("taper", "bottom bracket", "crank", "shell", "bb "),
        ("hub", "wheel", "dropout", "locknut", "frame", "fork", "qr", "skewer", "through", "thru"),
    ),
}
"""An inside diameter is a shell's where no bearing is spoken of, an axle a crank's where no hub is."""
THICKEST_BAR_MM = 36
"""What a stem clamps above that is the steerer, and not a bar. [mm]"""
_A_STOCK_OF = form(
    r"\b(?:bag|box|handful|packet|pack|bundle|dozen|(?:got|have|have got)\s\d+)\s(?:full\s)?(?:of|with)\s(?:(?:new\s)?spokes\s(?:of|at|in)\s)?(?:about\s)?$",
    catches="a bag of ",
    leaves="a kind of ",
)
_IN_HAND = form(
    r"[^.;?!,\d]{0,16}\b(?:in hand|to hand|in stock|lying (?:here|about|around)|left over|leftover|in the drawer|in my drawer)\b",
    catches=" mm spokes in hand",
    leaves=" mm spokes in the wheel",
)
_NOT_NEW = frozenset(
    {
        "new_pad_thickness_mm",
        "new_rim_wall_mm",
        "new_tyre_width_mm",
        "new_bead_seat_diameter_mm",
        "new_nut_factor",
    }
)
"""Here "new" means before it wore, or the plain name is the one that counts."""
_SENTENCE_END = re.compile(r"[.!?;\n](?=\s|$)|\n")
_LOOK_BACK = 120
_CONVERTED = {
    "speeds": "new_speeds",
    "largest_ring_teeth": "new_ring_teeth",
    "smallest_ring_teeth": "new_smallest_ring_teeth",
    "smallest_sprocket_teeth": "new_smallest_sprocket_teeth",
    "largest_sprocket_teeth": "new_largest_sprocket_teeth",
}
_TO_BE_CONVERTED = form(
    r"\b(?:want|like|thinking|looking|plan\w*|hop(?:e|ing)|wonder\w*|consider\w*|can i|could i|should i|how (?:do|can|would|should) i|going|maybe|possible|recommend\w*|suggest\w*)\b[^.;?!]{0,30}?"
    r"\b(?:convert|upgrade|change|switch|swap)(?:ing|s)?\b[^.;?!]{0,60}?\s(?:to|into|over to)\s(?:(?!\bfrom\b)[^.;?!])*$",
    catches="i want to convert my bike into a ",
    leaves="i converted my bike to a ",
)
_IN_BRACKETS = re.compile(r"\s?[(/=,]\s?(?:or |about |that's |i\.e\. )?")
SAME_MASS_SHARE = 0.03
"""Masses so near are one mass in two units, each rounded. [-]"""


def settle_changes(passage: Passage, kinds: Mapping[str, QuantityKind]) -> None:
    """Give each finding the name of its side; leave out what was so once, and what was taken back."""
    if not passage.found:
        return
    order = sorted(range(len(passage.found)), key=lambda i: passage.found[i].start)
    earlier: dict[str, Found] = {}
    for index in order:
        found = passage.found[index]
        start = sentence_start(passage.text, found.start)
        named = _of_its_side(found, passage, start)
        if named.name == "load_mass_kg" and _is_the_same_mass(named, earlier.get("rider_mass_kg"), passage):
            named = replace(named, name="rider_mass_kg")
        new = _NEW_NAMES.get(named.name, f"new_{named.name}")
        before = earlier.get(named.name)
        if (
            new in kinds
            and new not in _NOT_NEW
            and before is not None
            and before.value != named.value
            and before.end <= named.start
            and _is_new(before, named, passage, start)
        ):
            named = replace(named, name=new)
        elif (
            new in kinds
            and new not in _NOT_NEW
            and before is not None
            and before.value != named.value
            and before.end <= named.start
            and _COMING_FROM.search(passage.before(named.start, 40))
        ):
            place = next((i for i, one in enumerate(passage.found) if one is before), None)
            if place is not None:
                passage.found[place] = replace(before, name=new)
            earlier[named.name] = named
        elif before is not None and _is_later(before, named, passage, start):
            named = replace(named, name="later_pressure_kpa")
        else:
            if before is not None and _is_instead(before, named, passage, start):
                place = next(i for i, one in enumerate(passage.found) if one is before)
                passage.found[place] = replace(before, name="old_tyre_width_mm")
            earlier[named.name] = named
        passage.found[index] = named
    _add_flat(passage)
    _rename_the_inner_ring_with_the_outer(passage)
    _name_the_slacker_side(passage)
    _name_the_cassette_to_come(passage, kinds)
    _name_the_wheel_to_come(passage)
    _first_pressure_is_the_earlier(passage, order)
    # From here on findings may drop out, and their places no longer hold.
    _name_what_it_is_converted_to(passage, kinds)
    _leave_the_width_it_came_with(passage)
    _leave_the_width_in_the_rim(passage)
    passage.found[:] = list(_those_that_stand(passage))


def _rename_the_inner_ring_with_the_outer(passage: Passage) -> None:
    """ "A 50T big ring, want a 46/30": where the larger of a pair is the one to come, so is the smaller."""
    new = {(found.start, found.end) for found in passage.found if found.name == "new_ring_teeth"}
    for i, found in enumerate(passage.found):
        if found.name == "smallest_ring_teeth" and (found.start, found.end) in new:
            passage.found[i] = replace(found, name="new_smallest_ring_teeth")


def _name_the_slacker_side(passage: Passage) -> None:
    """ "110 kgf on the drive side and on the other 70": of two sides the slacker one has a name of its own."""
    places = [i for i, found in enumerate(passage.found) if found.name == "tight_side_tension_kgf"]
    if len(places) != 2:
        return
    first, second = sorted((passage.found[i] for i in places), key=lambda found: found.start)
    if isinstance(first.value, tuple) or isinstance(second.value, tuple) or first.value == second.value:
        return
    if _OTHER_SIDE.search(passage.text[first.end : second.start]) or _ON_THE_OTHER.match(
        passage.text, second.end
    ):
        least = min(first.value, second.value)
        slacker = next(i for i in places if passage.found[i].value == least)
        passage.found[slacker] = replace(passage.found[slacker], name="other_side_tension_kgf")


def _leave_the_width_it_came_with(passage: Passage) -> None:
    """ "Can 35 mm tyres go on rims that were sold with 28 mm ones?": the 28 is what was there."""
    widths = [i for i, found in enumerate(passage.found) if found.name == "tyre_width_mm"]
    came = {
        passage.found[i].value
        for i in widths
        if _CAME_WITH.search(passage.before(passage.found[i].start, 40))
    }
    if not came or came == {passage.found[i].value for i in widths}:
        return
    for i in widths:
        if passage.found[i].value in came:
            passage.found[i] = replace(passage.found[i], name="old_tyre_width_mm")


def _leave_the_width_in_the_rim(passage: Passage) -> None:
    """ "Tyres are 1.75, the rims say 26 x 2.125": of two widths the one in the rim is not the tyre's."""
    widths = [found for found in passage.found if found.name == "tyre_width_mm"]
    stamped = [f for f in widths if _STAMPED_ON_A_RIM.search(passage.before(f.start, 40))]
    if stamped and len(stamped) < len(widths):
        passage.found[:] = [found for found in passage.found if found not in stamped]


def _first_pressure_is_the_earlier(passage: Passage, order: list[int]) -> None:
    """ "Overnight it falls from 3 bar to 1": of two falling pressures the second is the later one."""
    pressures = [i for i in order if passage.found[i].name in ("tyre_pressure_kpa", "later_pressure_kpa")]
    for one, other in pairwise(pressures):
        first, second = passage.found[one], passage.found[other]
        if (
            first.name != "later_pressure_kpa"
            or isinstance(first.value, tuple)
            or isinstance(second.value, tuple)
        ):
            continue
        if second.value < first.value and sentence_start(passage.text, second.start) <= first.start:
            passage.found[one] = replace(first, name="tyre_pressure_kpa")
            passage.found[other] = replace(second, name="later_pressure_kpa")


def _name_the_cassette_to_come(passage: Passage, kinds: Mapping[str, QuantityKind]) -> None:
    """ "An 11-speed hub body and a 9-speed cassette": beside a body made for others, the cassette is the one to be fitted."""
    if "new_speeds" not in kinds or passage.has_found("new_speeds"):
        return
    hubs = [found for found in passage.found if found.name == "hub_speeds"]
    bodies = {found.value for found in hubs}
    cassettes = [found for found in passage.found if found.name == "speeds" and found.value not in bodies]
    if bodies and len({found.value for found in cassettes}) > 1:
        # "How do I fit an 11-speed cassette on an 8-speed body? … Or a 10-speed one?": the one told in a breath with the body.
        places = {sentence_start(passage.text, found.start) for found in hubs}
        cassettes = [one for one in cassettes if sentence_start(passage.text, one.start) in places]
    if bodies and len({found.value for found in cassettes}) == 1:
        passage.found.append(replace(cassettes[0], name="new_speeds"))


def _name_what_it_is_converted_to(passage: Passage, kinds: Mapping[str, QuantityKind]) -> None:
    """ "I want to convert it to a single 36t ring with a 10-speed 11-42": all of a drive that is wished for is new."""
    if not passage.holds("conver", "upgrad", "chang", "switch", "swap"):
        return
    for place, found in enumerate(passage.found):
        new = _CONVERTED.get(found.name)
        if new is None or new not in kinds:
            continue
        start = sentence_start(passage.text, found.start)
        if _TO_BE_CONVERTED.search(passage.text[start : found.start]):
            passage.found[place] = replace(found, name=new)
    to_come = {(found.start, found.name) for found in passage.found if found.name.startswith("new_")}
    passage.found[:] = [
        found
        for found in passage.found
        if not found.name.startswith("old_") or (found.start, f"new_{found.name[4:]}") not in to_come
    ]


def _name_the_wheel_to_come(passage: Passage) -> None:
    """ "650b wheels in my 700c frame", "a 26 inch mountain bike, can I fit 700c": which of two wheel sizes is there already."""
    widths = {found.start for found in passage.found if found.name == "tyre_width_mm"}
    named = [(index, found) for index, found in enumerate(passage.found) if found.name == _WHEEL]
    in_full = len([found for _, found in named if found.start in widths])
    if in_full not in (0, len(named)):
        named = [(index, found) for index, found in named if found.start not in widths]
    named.sort(key=lambda pair: pair[1].start)
    other = next((found for _, found in named if found.value != named[0][1].value), None)
    if other is None or len({found.value for _, found in named}) > 2:
        return
    # Where a size is named more than once, what stands between the last of the one and the first of the other tells.
    first = [found for _, found in named if found.start < other.start][-1]
    between = passage.text[first.end : other.start]
    if "tyre" in between or "tire" in between or "tube" in between:
        return
    if _WHEELS_INTO.match(between) or _WAS_THERE.search(between):
        to_come = first
    elif (
        _WHEELS_FOR.match(between)
        and _CHANGE.search(passage.text[sentence_start(passage.text, first.start) : first.start])
    ) or (not in_full and (_WHEELS_TO.match(between) or _WHEELS_ASKED_FOR.search(between))):
        to_come = other
    else:
        return
    for place, found in named:
        if found.value == to_come.value:
            passage.found[place] = replace(found, name=f"new_{_WHEEL}")


def _add_flat(passage: Passage) -> None:
    """ "From 5 bar to nothing": flat is a pressure too."""
    for found in list(passage.found):
        flat = _TO_NOTHING.match(passage.text, found.end)
        if flat is not None and found.name in ("tyre_pressure_kpa", "later_pressure_kpa"):
            passage.found.append(Found("later_pressure_kpa", 0.0, *flat.span(1)))


def sentence_start(text: str, place: int) -> int:
    """Where the sentence of this place begins; a decimal point ends none."""
    first = max(0, place - _LOOK_BACK)
    return max((m.end() for m in _SENTENCE_END.finditer(text, first, place)), default=first)


def is_taken_back(passage: Passage, start: int) -> bool:
    """Whether the figure that begins here corrects the one before it."""
    return _RATHER.search(passage.before(start, 34)) is not None


def _of_its_side(found: Found, passage: Passage, start: int) -> Found:
    if found.name in ("torque_n_m", "stated_torque_n_m"):
        before = passage.text[start : found.start]
        stated, given = _TORQUE_STATED.search(before), _TORQUE_GIVEN.search(before)
        if stated is not None and (given is None or given.start() < stated.start()):
            return replace(found, name="stated_torque_n_m")
        behind = _STATED_BEHIND.match(passage.text, found.end)
        # "It got 35 Nm and the maker says 40": that statement is another figure's.
        if (
            given is None
            and stated is None
            and behind is not None
            and not _ANOTHER_FIGURE.search(behind.group())
        ):
            return replace(found, name="stated_torque_n_m")
        if given is not None or (stated is None and behind is None):
            return replace(found, name="torque_n_m")
        return found
    if found.name == "new_bolt_circle_mm":
        near = passage.before(found.start, 26)
        clause = near.rpartition(", ")[2]
        if _OF_THE_RING.search(clause) is None and (
            _OF_THE_CRANK.search(near + passage.after(found.end, 24)) or _CIRCLE_THERE.search(clause)
        ):
            return replace(found, name="bolt_circle_mm")
    if found.name in ("largest_sprocket_teeth", "rated_sprocket_teeth") and _SPROCKET_WANTED.search(
        passage.before(found.start, 32)
    ):
        return replace(found, name="new_largest_sprocket_teeth")
    if found.name == "front_chainline_mm" and (
        _AT_THE_REAR.match(passage.text, found.end) or _REAR_BEFORE.search(passage.text[start : found.start])
    ):
        return replace(found, name="measured_rear_chainline_mm")
    if found.name == "temperature_degc":
        said_before = passage.text[start : found.start]
        if _is_where_it_was_pumped(said_before, _A_WARMTH):
            return replace(found, name="pumped_temperature_degc")
        if passage.holds(*_A_HEATER) and _STANDS_THERE.search(said_before):
            return replace(found, name="rim_place_degc")
    if found.name == "altitude_m" and _is_where_it_was_pumped(passage.text[start : found.start], _A_HEIGHT):
        return replace(found, name="pumped_altitude_m")
    if found.name == "later_pressure_kpa" and _PUMPED_TO.search(passage.text[start : found.start]):
        return replace(found, name="tyre_pressure_kpa")
    if found.name in ("runout_mm", "play_mm"):
        said_before = passage.text[start : found.start]
        sways = found.name == "runout_mm" or _WOBBLING.search(said_before + passage.after(found.end, 20))
        if sways and _OF_A_DISC.search(said_before) and not _OF_A_WHEEL.search(said_before):
            return replace(found, name="rotor_runout_mm")
        if sways and _OF_A_CHAINRING.search(said_before) and not _OF_A_WHEEL.search(said_before):
            return replace(found, name="ring_wobble_mm")
    if found.name in _ELSEWHERE:
        belongs, beside, apart = _ELSEWHERE[found.name]
        if passage.holds(*beside) and not passage.holds(*apart):
            return replace(found, name=belongs)
    if found.name == "stem_bore_mm" and isinstance(found.value, float) and found.value > THICKEST_BAR_MM:
        return replace(found, name="stem_clamp_height_mm")
    if found.name == "spoke_length_mm" and (
        _A_STOCK_OF.search(passage.before(found.start)) or _IN_HAND.match(passage.text, found.end)
    ):
        return replace(found, name="spoke_in_hand_mm")
    if found.name == "rotor_diameter_mm" and _LIES_ABOUT.match(passage.text, found.end):
        return replace(found, name="new_rotor_diameter_mm")
    if found.name in _WEARS and (
        _NEW_BEHIND.match(passage.text, found.end) or _NEW_BEFORE.search(passage.text[start : found.start])
    ):
        return replace(found, name=f"new_{found.name}")
    if found.name in HELD_AGAINST and _MINE_IS.search(passage.text[start : found.start]):
        return replace(found, name=HELD_AGAINST[found.name])
    if found.name == "arm_gap_mm" and _IS_NEEDED.search(passage.before(found.start)):
        return replace(found, name="sensor_gap_needed_mm")
    if found.name in _LIMIT_OF and _is_the_limit(found, passage, start):
        return replace(found, name=_LIMIT_OF[found.name])
    if found.name not in _SIDED:
        return found
    behind = _SIDE_BEHIND.match(passage.text, found.end)
    if behind is not None:
        return replace(found, name=f"{behind[1]}_{found.name}")
    before = passage.text[start : found.start]
    if found.name == "flange_diameter_mm":
        # "Left 35, right 20, hole circle 58": a circle goes by the side that its own clause names.
        before = before.rpartition(",")[2]
    said = [m[1] for m in _SIDES.finditer(before)]
    if not said:
        return found
    side = "right" if said[-1] in ("right", "drive") else "left"
    return replace(found, name=f"{side}_{found.name}")


def _is_where_it_was_pumped(said_before: str, another: re.Pattern[str]) -> bool:
    """Whether a tyre was filled in these words, and no other such figure stands behind that."""
    pumped = _PUMPED_THERE.search(said_before)
    return pumped is not None and another.search(pumped.group()) is None


def _is_the_limit(found: Found, passage: Passage, start: int) -> bool:
    """ "The maker states 0.9 as the least", "a rim rated 120 kgf": what must not be passed."""
    if _AS_THE_END.match(passage.text, found.end):
        return True
    before = passage.text[start : found.start]
    if _NO_FURTHER.search(before) or (found.name in _WEARS and _LIMIT_BEFORE.search(before)):
        return True
    return found.name.endswith("tension_kgf") and _RIM_IS_RATED.search(before) is not None


def _is_the_same_mass(found: Found, rider: Found | None, passage: Passage) -> bool:
    """ "210 lb (95 kg) plus a trailer": the figure in brackets is the rider's again, in the other unit."""
    if rider is None or isinstance(found.value, tuple) or isinstance(rider.value, tuple):
        return False
    near = abs(found.value - rider.value) <= SAME_MASS_SHARE * rider.value
    return near and _IN_BRACKETS.fullmatch(passage.text[rider.end : found.start]) is not None


def _is_later(first: Found, second: Found, passage: Passage, start: int) -> bool:
    """Whether a second pressure is what the first one fell to."""
    if (
        second.name != "tyre_pressure_kpa"
        or isinstance(first.value, tuple)
        or isinstance(second.value, tuple)
    ):
        return False
    if second.value >= first.value:
        return False
    said = passage.text[min(start, first.start) : second.start]
    return (
        _FALLS.search(said) is not None or _LATER.search(passage.text[first.end : second.start]) is not None
    )


def _is_instead(first: Found, second: Found, passage: Passage, start: int) -> bool:
    """ "My tyre is 700 x 23. Would 32s fit?", "700x25 to 700x32": on one rim the width that is asked about counts."""
    if second.name != "tyre_width_mm" or first.value == second.value or first.end > second.start:
        return False
    if len({found.value for found in passage.found if found.name == "bead_seat_diameter_mm"}) > 1:
        return False
    here = passage.text[sentence_start(passage.text, first.start) : first.start]
    between = passage.text[first.end : second.start]
    if (_RIDDEN.search(here) or _ON_THERE.match(between)) and _WISHED_FOR.search(between):
        return True
    if _ONE_SIZE_TO_ANOTHER.match(between):
        return _WHAT_IT_SPANS.search(here) is None
    if first.start >= start and _CHANGED_FOR.search(between) and _CHANGE.search(here):
        return True
    return (
        _ON_IT_NOW.search(here) is not None
        and _ASKED_ABOUT.search(passage.text[start : second.start]) is not None
    )


def _is_new(first: Found, second: Found, passage: Passage, start: int) -> bool:
    text = passage.text
    if _ON_THE_NEW.match(text, second.end):
        return True
    between = text[first.end : second.start]
    if _THE_ONE.search(between) and _OLD_SIDE.search(text[sentence_start(text, first.start) : first.start]):
        return True
    if first.start >= start and _CHANGED_FOR.search(between) and _CHANGE.search(text[start : first.start]):
        return True
    if first.start >= start and _THING_TO.match(between):
        return True
    if second.name in _OF_A_STEM and first.start >= start and _ONE_STEM_TO_ANOTHER.search(between):
        return True
    before = text[max(start, first.end) : second.start]
    wanted = max((m.end() for m in _NEW_SIDE.finditer(before)), default=-1)
    there = max((m.end() for m in _OLD_SIDE.finditer(before)), default=-1)
    return wanted > there


# "The spacers of my cassette are 2.4 mm": no stack under a stem.
_BETWEEN_SPROCKETS = re.compile(
    r"\b(?:cassettes?|sprockets?|cogs?|freehubs?|freewheels?|chainrings?|axles?|spindles?|locknuts?|dropouts?)\b"
)
_LIFTED_BY = form(
    r"\b(?:lifts?|lifting|rais(?:e|es|ing)|lower(?:s|ing)?|moves?|pushes)\s(?:(?:the|my|it|them|cap|stem|bars?|handlebars?|up|down|by|about|top|headset)\s){1,4}$",
    catches="put on a spacer that will lift the cap ",
    leaves="i can't lift the bike, it has ",
)
"""By how much something goes up or down is no stack."""
_A_SPACER = form(
    r"\s(?:(?!below\b|above\b|under\b)\w+\s)?spacers?\b(?!\sand)", catches=" spacer", leaves=" below my stem"
)
_ANOTHER = form(r"\b(?:another|one more|extra|further)\s$", catches="so another ", leaves="the other ")
THINNEST_SPINDLE_MM = 16
"""A thinner axle is a wheel's: 9, 10, 12 and 15 mm are the usual ones. [mm]"""
_ROUND_A_STEERER = ("stem", "headset", "steerer", "handlebar", "fork")


def _those_that_stand(passage: Passage) -> Iterable[Found]:
    for index, found in enumerate(passage.found):
        if found.name == "distance_km" and (
            _WAY_BEHIND.match(passage.text, found.end) or _WAY_BEFORE.search(passage.before(found.start, 44))
        ):
            continue
        if found.name == "spacer_stack_mm" and _LIFTED_BY.search(passage.before(found.start)):
            continue
        if found.name == "steerer_below_top_mm" and (
            _A_SPACER.match(passage.text, found.end) or _ANOTHER.search(passage.before(found.start, 12))
        ):
            continue
        if (
            found.name == "spacer_stack_mm"
            and _BETWEEN_SPROCKETS.search(passage.text)
            and not passage.holds(*_ROUND_A_STEERER)
        ):
            continue
        if (
            found.name == "spindle_diameter_mm"
            and isinstance(found.value, float)
            and found.value < THINNEST_SPINDLE_MM
            and passage.holds("hub", "wheel", "thru", "through")
            and not passage.holds("crank", "bottom bracket", "chainset", "spindle")
        ):
            continue
        others = [f for f in passage.found if f.name == found.name and f.value != found.value]
        if others and _ONCE.search(passage.before(found.start, 34)):
            continue
        if any(
            f.start >= found.end and f.start - found.end < _LOOK_BACK and is_taken_back(passage, f.start)
            for f in others
        ):
            continue
        yield passage.found[index]

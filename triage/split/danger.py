"""What endangers the rider, told in a sentence: parts that broke, brakes that are gone, a crash on carbon."""

from __future__ import annotations

import re
from collections.abc import Sequence

from triage.dead_brakes import tells_of_a_dead_brake

_PARTS_THAT_HURT = r"brakes?|fork|frame|steerer|(?<!\bvalve )(?<!\bvalve's )stem|handlebars?|bars?|rim|crank(?:\s?arm)?|seat\s?post|axle|hub|t[iy]re(?!s? ?(?:levers?|irons?|pumps?|gauges?))|wheel|down tube|top tube|head tube|seat tube|chainstay|seatstay|(?:bottom bracket|bb) shell|pedal|weld|hinge"
# Must not catch the noise: "the frame is fine when the crack occurs", "a loud crack".
_BREAKS = r"fail(?:ed|s|ing|ure)?|snapp(?:ed|ing)|(?<!\bloud )(?<!\bsharp )(?<!\baudible )crack(?:ed|s|ing)?(?! (?:occurs|occurred|happens|is heard))|broke(?:n)?|gave way|fell off|fallen off|came off|(?<!’t )(?<!\bto )come off|collapsed|split|bent|loose|locked up|blew off|burst|fall(?:s|ing) off|fray(?:ed|ing|s)?|bulg(?:e|es|ed|ing)"
_NOT_DENIED = r"(?<!n't too )(?<!n’t too )(?<!\bnot too )(?<!n't that )(?<!n’t that )(?<!n't really )(?<!n’t really )(?<!\bno )(?<!\bany )(?<!\bnot )(?<!n't )(?<!n’t )(?<!\bnever )(?<!\bwithout )(?<!n't come )(?<!n’t come )(?<!n't work )(?<!n’t work )(?<!n't got )(?<!n’t got )(?<!n't get )(?<!n’t get )"
# A part that carries the rider, broken. Must not catch "crack on with the brakes" or "no cracks in the frame".
BROKEN = re.compile(
    rf"\b(?:{_PARTS_THAT_HURT})\b(?:[^.?!\n]|\.(?=\d)){{0,40}}{_NOT_DENIED}\b(?:{_BREAKS})\b|"
    rf"{_NOT_DENIED}\b(?:hairline |thin |fine )?(?:crack|fracture|split|gouge|delaminat\w+|line)s? (?:in|on|at|near|round|around|along|through|across) (?:my |the |a |one )?(?:\w+ ){{0,4}}(?:{_PARTS_THAT_HURT}|spoke holes?|eyelets?)\b|"
    rf"{_NOT_DENIED}\b(?:cracks?|fractures?|splits?|gouges?|delamination) (?:where|beside|next to|by|under|beneath|behind|above|below|between) (?:[\w'-]+ ){{0,4}}(?:{_PARTS_THAT_HURT})\b|"
    # "A dent, and is that a hairline crack?" Must not catch "look for hairline cracks" nor one in the paint of it.
    rf"{_NOT_DENIED}(?<!\bfor )(?<!\bof )(?<!\bwith )\bhairline (?:crack|fracture)s?\b(?![^.!\n]{{0,24}}\b(?:paint|lacquer|varnish|clear ?coat|gel ?coat|plastic|mudguard|fender|saddle|screen|lens|helmet|grips?|tyres?|tires?|side ?walls?)\b)|"
    rf"{_NOT_DENIED}\b(?:exposed|bare|broken|loose|visible) (?:carbon )?fib(?:re|er)s\b|"
    r"\bfib(?:re|er)s? (?:(?:is|are|was|were) )?(?:now )?(?:showing|visible|exposed|sticking out|coming (?:out|through)|broken|cut)\b|"
    rf"{_NOT_DENIED}\bcracks? (?:in|on|at|near|around) (?:\w+ ){{0,6}}(?:rim|fork|frame|steerer|stem|crank|hub|axle|handlebars?|carbon|weld|lug|dropout)\b|"
    rf"\bbulges? (?:[\w'-]+ ){{0,6}}(?:in|on|at) (?:\w+ ){{0,6}}(?:tyre|tire|rim)\b|"
    # "The sidewall sheds threads", "threads coming off the tyre". Must not catch "a thread on tyres" or a bolt's.
    r"\b(?:t[iy]res?|side ?walls?)\b[^.?!\n]{0,60}\b(?:shedding|losing|shows?|showing|see|with) (?:\w+ ){0,3}(?:threads?|cords?)\b|"
    r"\b(?:threads?|cords?)\b(?! (?:about|on)\b)[^.?!\n]{0,30}\b(?:coming (?:off|out|through|away|loose)|show(?:s|ing)?|expos\w+|hang(?:s|ing)|visible|poking)\b[^.?!\n]{0,30}\b(?:t[iy]res?|side ?walls?)\b|"
    # "A bent fork". Must not catch "a broken frame pump" or "a bent stem bolt".
    r"\b(?:my|our|his|her|has an?|have an?|had an?|got an?|up with an?|is an?) (?:\([^()]{1,20}\) )?(?:bent|broken|snapped|fractured) (?:(?:steel|alloy|alumin\w+|carbon|front|suspension|rigid|old) ){0,2}(?:fork|frame|steerer|stem|handlebars?)\b(?!['’]|[ -](?:pumps?|bags?|locks?|bolts?|screws?|caps?|plugs?|tape|ends?|grips?|mounts?|lights?))|"
    # "Both tyres have split". Must not catch "will the tyres burst?" or "do rims bend?".
    r"\b(?:my|both|our|his|her|these|the) (?:\w+ ){0,2}(?:t[iy]res|rims|forks|welds|hinges)\b[^.?!\n]{0,20}\b(?:are|were|have|had|got|both)\b[^.?!\n]{0,12}\b(?:split\w*|fray\w*|bulg\w*|delaminat\w*|coming apart|snapped|gave way|broken?|bent)\b|"
    # "My previous cracked frame" is gone.
    rf"(?<!\bprevious )(?<!\bformer )\bcracked (?:\w+ ){{0,2}}(?:{_PARTS_THAT_HURT}|(?<!inner )tube|weld|lug|dropout)\b|"
    r"\b(?:hinge|folding joint)s?\b[^.?!;\n]{0,30}\b(?:has|have|got|some|of|with) play\b|"
    r"\b(?:wobbly|wobbling|wiggly|loose) (?:(?:handle ?)?bars?|stem|fork|crank arm|hinge)\b(?! (?:tape|bags?|ends?|plugs?|grips?|bolts?))|"
    r"\b(?:stem|(?:handle)?bars?)\b(?!\s(?:tape|grips?|bag|ends?|plugs?)\b)[^.?!,;\n]{0,20}"
    r"\b(?:wiggl(?:es?|ed|ing)|wobbl(?:es?|ed|ing)|slip(?:s|ped|ping)|twist(?:s|ed|ing)|rotat(?:es?|ed|ing))\b"
)
NO_BRAKES = re.compile(
    r"\b(?:virtually|practically|almost|nearly|basically|absolutely) no (?:(?:front|rear|back) )?(?:brakes?|braking)\b(?! (?:noise|feel|dust|wear|rub))|"
    r"\bno (?:front|rear|back) (?:brake|break) (?:left|any ?more|at all)\b|"
    r"\bbrakes? (?:was|were|is|are|became|become|got|went|now)(?: \w+){0,2} (?:useless|non-?functional|not working)\b|\b(?:useless|non-?functional|dead) brakes?\b|"
    r"\bbrakes? (?:(?:on|of|in) (?:my|our|the|his|her|a|this) (?:[\w'-]+ ){1,4}?)?(?:has |have |had |just |suddenly |completely )*(?:stopped|quit) working\b|"
    # A brake that stays on by itself. Must not catch "it locks the wheel", a skid, nor a parking brake, which is meant to.
    r"(?<!parking )(?<!drag )(?<!hand )(?<!park )\bbrakes? (?!levers?\b)(?:[\w'-]+ ){0,4}?(?:(?:locks?|locked|locking) (?:itself )?(?:on|solid)|(?:locks?|locked|locking) (?:by|up by) itself)\b|"
    r"\b(?:when|if|as soon as|whenever|once) i brake\b[^.?!;\n]{0,24}\b(?:it|they|the (?:front |rear |back )?(?:wheel|hub|drum|brake)) (?:then |just |suddenly )?locks? on\b|"
    r"\b(?:brake fluid|mineral oil|dot fluid)\b[^.?!,;\n]{0,30}\b(?:seep|seeps|seeping|leaks|leaking|drips|dripping|weeps|weeping|running (?:out|down)|coming out)\b|"
    r"\b(?:quick[- ]release|skewer|through[- ]axle|thru[- ]axle|axle nuts?|wheel nuts?)s?\b[^.?!;\n]{0,40}\b(?:only just|barely|hardly|scarcely|not) (?:holding|held|tight|closed|done up|gripping)\b|"
    r"\b(?:front|rear|back) wheel (?:\w+ ){0,3}(?:fell|dropped|came|popped|slipped) out\b|"
    r"\bno brakes\b|\bbrakes? (?:barely|hardly|scarcely|don't|do not|doesn't|won't|will not|can't) (?:stops?|hold|work|bite|slow)\b|\bbrakes? (?:just |suddenly )?fail|"
    r"\b(?:pads?|blocks?|shoes?)\b[^.?!,;\n]{0,70}\b(?:touch|touches|touching|rub|rubs|rubbing|hit|hits|cut|cuts|cutting|chew\w*) (?:on |into |against )?(?:the |my )?(?:tyre|tire)\b|"
    # "The gear cable is fraying" costs a gear, and no brake.
    r"(?<!\bgear )(?<!\bgears )(?<!\bshift )(?<!\bshifter )(?<!\bshifting )(?<!\bderailleur )(?<!\bderailer )(?<!\bmech )\bcable\b[^.?!,;\n]{0,24}\b(?:fray(?:ed|ing|s)?|(?:one|two|three|few|last) strands?)\b|"
    r"\b(?:doesn't|doesn’t|does not|don't|don’t|won't|won’t|will not|hardly|barely|scarcely) brakes? (?:at all|any ?more|properly)|"
    r"\b(?:went|flew|threw me|sent me|pitched me|put me) (?:straight |right |clean )?over the (?:handle)?bars\b|"
    r"\b(?:levers?|callipers?|calipers?|brakes?|hoses?)\b[^.?!,;\n]{0,24}\b(?:drip|drips|dripping|leak|leaks|leaking|leaked|weeps|weeping)\b|"
    r"\b(?:drip|drips|dripping|leak|leaking|leaks) (?:[\w']+ ){0,3}(?:lever|calliper|caliper|brake hose)\b|"
    r"\blever (?:goes|going|went|comes|coming|came|pulls|pulled) (?:right |straight |all the way )?(?:to|back to) (?:the )?(?:handle)?(?:bars?|grips?)\b|"
    # "I have to pull it all the way to the bars". Must not catch "strap the lever to the bar".
    r"\b(?:(?:have|has|had|need|needs) to|can|could) (?:\w+ ){0,2}(?:squeeze|pull|press|depress) (?:it|them|both|(?:the|my|its|his|her) (?:\w+ ){0,2}levers?)"
    r"(?: \w+){0,4} (?:to|against|into|onto) (?:the |my )?(?:handle ?bars?|bars?|grips?)\b|"
    # "I can't squeeze hard enough to stop". Must not catch "I can't stop it squealing".
    r"\b(?:can['’]?t|cannot|can not|couldn['’]?t|could not|can (?:hardly|barely|scarcely)|unable to|not able to)\b[^.?!,;\n]{0,30}"
    r"\b(?:enough|sufficient)\b[^.?!,;\n]{0,24}\bto (?:stop|slow|brake)(?: down)?"
    r"(?=\W*$|[,.;!?]| (?:the (?:bike|bicycle|trike|tandem)|me|us|in|at|on|safely|quickly|presumably|when)\b)|"
    r"\b(?:can['’]?t|cannot|can not|couldn['’]?t|could not|can (?:hardly|barely|scarcely)|unable to|not able to|(?:doesn|didn|don|won)['’]?t) (?:\w+ ){0,2}"
    r"(?:stop|slow|slow down|pull up) (?:me |us |him |her )?(?:the (?:bike|trike|tandem|thing)|myself|safely|at all|downhill|"
    r"(?:going |coming )?down (?:the |a |our )?(?:\w+ )?(?:hills?|slopes?)|on (?:the |a |our |any |steep |long )*(?:hills?|descents?|downhills?|slopes?))\b|"
    r"\blever (?:would |will |can |still |now |just ){0,2}(?:hit|hits|hitting|touch|touches|touching|meets|reaches|bottoms out (?:on|against)) the (?:handle)?(?:bars?|grips?)\b"
)
# A wheel that left its place or moves in it, a rim whose wall came away. Must not catch "I took the wheel out of the dropouts",
# "it won't come out of the fork", "the wheel came out of true" nor a strip that peels off the rim.
WHEEL_LOOSE = re.compile(
    r"(?<!hamster )(?<!steering )\b(?:wheel|axle) (?!(?:won['’]?t|will not|would not|wouldn['’]?t|can['’]?t|cannot|can|could|should|must|to)\b)"
    r"(?:[\w']+ ){0,3}?(?:fell|dropped|came|popped|slipped|jumped|pulled|(?:had|has|having|have) (?:just |then )?(?:come|fallen|dropped|popped|slipped|jumped|pulled)) "
    r"(?:right |clean |straight |half |partly |itself )?(?:out|forward|loose) (?:of|from|in) (?:the |its |my |both )?(?:rear |front |right |left )?(?:frame|forks?|drop-?outs?|slots?|(?:fork|frame) ends?)\b|"
    r"(?<!hamster )\b(?:wheel|axle) (?:(?:just|always|still|now|constantly) )?(?:keeps? (?:on )?)?(?:slips|slipping|creeps|creeping|shifts|shifting|moves|moving) "
    r"(?:forwards? |sideways |about |out )?(?:in|inside|along|out of) (?:the |its |my |both )?(?:rear |front )?(?:drop-?outs?|slots?|(?:fork|frame) ends?)\b|"
    r"(?<!sticker on the )(?<!decal on the )(?<!tape on the )(?<!tape in the )(?<!paint on the )\brims?(?! (?:tape|strips?|stickers?|labels?|decals?|brakes?)\b)"
    r"[^.?!,;\n]{0,30}\b(?:peeled|tore|torn|ripped|blown|blew|sheared) (?:right |clean |straight )?(?:off|away|open|out)\b"
    r"(?! (?:the |its |my )?(?:stickers?|labels?|decals?|tape|paint|varnish|coating))"
)
# A battery that may burn. Must not catch "the motor gets hot" or "can a battery swell?".
BATTERY = re.compile(
    r"\b(?:batter(?:y|ies)|cells?|accu|power ?pack)\b(?!\s(?:life|gauge|icon))[^.?!\n]{0,60}"
    r"\b(?:(?:is|are|has|have|was|were|looks?|looking|all|now|got|get|gets|getting|started)\s(?:\w+\s){0,2}"
    r"(?:swollen|swelling|swelled|bulged|bulging|bloated|puffed|puffy|expanded|expanding|smoking|smoked|hissing|leaking|melted|melting|on fire|too hot to touch)|caught fire|swollen|got (?:very |really )?hot and smelled|smell(?:s|ed|ing)? (?:sweet|burnt|of (?:solvent|burning|pear drops)))\b|"
    r"\b(?:swollen|bulging|bloated|puffed[- ]up|smoking|leaking|melted) (?:\w+ ){0,2}(?:battery|cells?)\b"
)
# A battery that water got into, told as what happened. Must not catch "can a battery get wet?" nor rain on its case.
SOAKED = re.compile(
    r"\b(?:batter(?:y|ies)|accu|power ?pack)\b(?!\s(?:life|gauge|icon))[^.?!\n]{0,60}"
    r"\b(?:(?:was|were|been|got|has|had|lay|stood|went|fell|is)\s(?:\w+\s){0,3}?(?:soaked|submerged|flooded|under ?water|in(?:to)? (?:the|a) (?:flood|canal|river|lake|sea|pond|harbour))|full of water)\b|"
    # "The battery died, so I opened it and found moisture".
    r"\b(?:battery|power ?pack)\b[^.?!\n]{0,90}\b(?:opened|took apart|took)\s(?:up\s)?(?:it|them|the (?:battery|pack|case|casing|housing))\b[^.?!\n]{0,40}\b(?:moisture|water|condensation|wet cells)\b|"
    r"\bwater (?:in|inside|ran out of|came out of|pours? out of|poured out of) (?:the |my |its |a )?(?:\w+ )?(?:battery|power ?pack|accu)\b(?! (?:bay|tray|cover|holder|compartment))"
)
# What somebody did to a brake or wheel, or found on it, and tells in passing. Must not catch "grease the pins of the pads", "kept oil
# off the rotor", "never above 5 bar on hookless rims", nor a spoke that broke and was replaced.
IN_PASSING = re.compile(
    r"(?<!not )(?<!never )(?<!n't )(?<!n’t )\b(?:greased|oiled|waxed|lubed|lubricated|(?:film|coat|layer|drop) of (?:grease|oil|wax) (?:on|over|to))\b[^.?!\n]{0,50}"
    r"\b(?:brake (?:discs?|disks?|rotors?|pads?|blocks?|tracks?|surfaces?)|rotors?|braking surfaces?)\b(?! (?:pins?|bolts?|holders?|springs?|backs?|posts?|lockring|carrier)\b)|"
    r"\b(?:pads?|blocks?|shoes?)\b[^.?!\n]{0,40}\b(?:down to|worn to|through to|worn down to|gone to) (?:the )?(?:bare )?(?:metal|backing|steel|plates?)\b|"
    r"\bspokes?\b[^.?!\n]{0,30}\b(?:snapped|broke|broken|gone)\b[^.?!\n]{0,80}\b(?:wobbl\w+|out of true|taped|tied|rubs)\b|"
    r"\b(?:crash|fall|fell|accident|came off|went down)\b[^.?!\n]{0,60}\b(?:handle)?bars?\b(?! (?:tape|ends?|bags?))[^.?!\n]{0,30}\b(?:turned|twisted|moved|rotated|crooked|skewed)\b|"
    r"\b(?:5[.,][1-9]|[6-9](?:[.,]\d)?|1[0-2](?:[.,]\d)?)\s?bar\b[^.?!\n]{0,50}\bhookless\b|\bhookless\b[^.?!\n]{0,50}\b(?:5[.,][1-9]|[6-9](?:[.,]\d)?|1[0-2](?:[.,]\d)?)\s?bar\b|"
    r"\b(?:7[4-9]|[89]\d|1[0-4]\d)\s?psi\b[^.?!\n]{0,50}\bhookless\b|\bhookless\b[^.?!\n]{0,50}\b(?:7[4-9]|[89]\d|1[0-4]\d)\s?psi\b|"
    r"\b(?:quick[- ]release|skewer|through[- ]axle|thru[- ]axle)s?\b[^.?!\n]{0,40}\b(?:was|were|came|had come|had been|been)\s(?:\w+\s)?(?:open|undone|loose|unscrewed|finger[- ]tight|hand[- ]tight)\b|"
    r"\b(?:needs?|takes?|have to use|has to use|use) (?:two|both) hands to (?:stop|brake|slow)\b|"
    r"\b(?:[3-9]|1\d)\s?mm (?:of )?play in (?:my|the|his|her) (?:front |rear |back )?(?:wheel|hub)\b|"
    r"\bdrops? of (?:oil|fluid)\b[^.?!\n]{0,20}\b(?:on|at|under|below) (?:the |my )?(?:\w+ )?(?:calliper|caliper|lever|hose)\b|"
    # A brake's cable that leaves its seat. Must not catch "pull the cable out of the lever", nor a gear's.
    r"\bbrakes?\b[^.?!\n]{0,90}\b(?:cable|wire|inner)(?: end| head)? (?:just |then |always |keeps |has |had )?(?:pop(?:s|ped|ping)?|slip(?:s|ped|ping)?|jump(?:s|ed|ing)?|pulls|pulled|comes|came)"
    r" (?:right |straight |clean |back )?(?:out|off|loose)\b(?! of (?:the |its )?(?:way|packet|bag))|"
    # A brake that opens, or a hub that grabs, as one rides. Must not catch "the spring opens the brake by itself".
    r"\b(?:brakes?|callipers?|calipers?|(?:brake|quick)[- ]release)\b[^.?!\n]{0,50}\b(?:(?:had |has )?opened(?: up)?|(?:came|popped|sprang|flipped) open|lifted|let go)\b"
    r"[^.?!\n]{0,30}\b(?:by|on) (?:itself|its own|their own|themselves)\b|"
    r"\bfe(?:lt|els) (?:just )?(?:like|as if|as though) (?:i (?:was|were|am) |i['’]m |someone (?:was |is )?|somebody (?:was |is )?)?"
    r"(?:hitting|hit|slamming|grabbing|jamming) (?:on )?(?:the |my )?brakes?\b|"
    # What holds the sprocket of a fixed wheel, which is a brake as well.
    r"\block ?ring\b[^.?!\n]{0,40}\b(?:pop(?:s|ped|ping)?|came|comes|coming|flew|spun|jump(?:s|ed)?|unscrew(?:s|ed)) (?:right |itself )?(?:off|loose)\b|"
    r"\b(?:stem|handlebar|bar|faceplate)(?: clamp)? bolts?\b[^.?!\n]{0,40}\b(?:(?:finger|hand)[- ]tight|(?:come|comes|came|coming|work|works|worked|working) loose)\b"
)
# A drive that pushes when nobody asked it to. Must not catch "the motor stops by itself" nor "the display comes on by itself".
RUNAWAY = re.compile(
    r"\b(?:motor|assist(?:ance)?|throttle|drive|e-?bike|e bike|pedelec)\b[^.?!\n]{0,50}"
    r"\b(?:kicks? in|kicked in|comes? in|came in|starts?(?: up)?|started(?: up)?|push(?:es|ed|ing)?|pulls?|pulled|pulling|goes|went|runs?|ran|accelerat(?:es|ed|ing)|surg(?:es|ed|ing)|lurch(?:es|ed|ing)?|sets? off|sped off|shoots? off|shot off|drives? off|moves? off)\s(?:\w+\s){0,3}?(?:by itself|on its own|all by itself|unasked)\b|"
    r"\b(?:motor|assist(?:ance)?|walk (?:mode|button|assist))\b[^.?!\n]{0,40}\b(?:won['’]?t|doesn['’]?t|does not|will not|didn['’]?t) (?:stop|let go|cut out|switch off|shut off)\b(?! (?:working|helping|charging))"
)
# A crash that was ridden on from. Must not catch "the computer crashed".
_CRASHED = re.compile(
    r"\b(?:i|we|he|she|(?:my )?(?:wife|husband|son|daughter|friend)) (?:\w+ )?crashed\b|\b(?:in|after|since|from|had|survived) (?:an?|my|the|this|that|his|her) (?:\w+ ){0,2}(?:crash|accident|pile-?up)\b|"
    r"(?<!computer )(?<!unit )(?<!app )(?<!phone )(?<!software )(?<!program )\bcrashed (?:my|the|it|into|hard|on|at|in)\b|\b(?:hit|knocked (?:off|over)|run over|rear-ended|doored) by an? (?:car|van|lorry|truck|taxi|bus|driver)\b|"
    r"\b(?:heard|with|was) an? (?:very |really )?(?:loud|nasty|horrible) (?:snap|snapping|cracking|crack)\b|"
    r"\bbroke my (?:collar ?bone|wrist|arm|elbow|hip|leg|shoulder|ribs?|hand)\b"
)
_LOOKED_OVER = re.compile(
    r"\b(?:inspected|checked over|looked over by|cleared by|passed (?:it|the)|x-?rayed|ultrasound|scanned|new frame|written off)\b"
)
# "How often does a wheel fall out?" asks of wheels in general. Must not catch "how likely is my fork to have cracked?".
ASKED_IN_GENERAL = re.compile(
    r"\bhow (?:frequent|often|common|likely|rare|usual)\w* (?:is|are|do|does)\b"
    r"(?![^.?!\n]*\b(?:my|mine|our|ours|his|her|their|this|that|these|i|we)\b)[^.?!\n]*\?"
)
# "Perhaps the axle is slightly bent": a cause that is only thought of. Must not catch "the fork is bent, perhaps badly".
THOUGHT_OF = re.compile(
    r"\b(?:perhaps|maybe|possibly)\s(?:that\s)?(?:the|my|its|one|a)\s(?:\w+\s){0,2}(?:is|are|was|got|has been)\s(?:slightly\s|just\s|a\s(?:bit|little|touch)\s)?bent\b"
)
# "If I leave it too loose it falls apart": how far an adjustment goes, not what the part is now. Must not catch "it's too loose".
IF_SET_SO = re.compile(
    r"\b(?:if|when(?:ever)?)\s(?:it['’]?s|it is|they['’]?re|they are|(?:i|you|we)\s(?:\w+\s){0,2}?(?:it|them|that))\s(?:set\s|done up\s|left\s|adjusted\s)?"
    r"(?:\w+\s)?too\s(?:loose|loosely|slack|tight|much|little)\b"
)
# The insert of a bottle cage that turns in "the frame wall" throws nobody. Must not catch a crack that starts at it.
LOOSE_BOSS = re.compile(
    r"\b(?:bottle|cage)\b(?:(?!\b(?:stem|bars?|handlebars?|forks?|steerer|brakes?|wheels?|cranks?|axles?|pedals?|crack\w*|split)\b)[^.?!\n]){0,200}\bloose\b"
)
# "The hub makes a cracking sound": a noise, and no crack. On carbon it may well be one.
_CRACKING_NOISE = re.compile(r"\bcrack(?:ing|s|le|ling)?(?: or \w+)? (?:sounds?|noises?)\b")


def without_mere_noises(text: str) -> str:
    """A lowered text without the cracking that is only heard, unless it speaks of carbon."""
    return text if "carbon" in text else _CRACKING_NOISE.sub(" ", text)


# What is told of a part that has gone, or of somebody else's. Must not catch "my friend saw a crack", "a fixed gear", "my
# old frame has a crack" or "I replaced the pads and the lever came to the bar": a danger taken up in vain costs less.
_OVER = re.compile(
    r"\b(?:was|were|been|got|being|had (?:it|them|that)) (?:replaced|scrapped|binned|thrown away|written off)\b|"
    r"\b(?:replaced|swapped|exchanged) (?:it|them|that one)\b|\b(?:got|bought|have|ride|on) (?:a new|another|this|the new) (?:one|frame|fork|bike|wheel)\b|"
    r"\b(?:replaced|exchanged) under warranty\b|\b(?:my|his|her|our) (?:first|last|previous) (?:set|pair)\b|\b(?:friend|mate|buddy|neighbou?r|colleague)['’]s (?:\w+ )?(?:bike|bicycle|frame|fork|wheel|rim|tyre|tire|stem|bars?|crank|brakes?)\b"
)
# "If the frame is broken I'll ride the other one": what is feared only is not told.
_FEARED = re.compile(
    r"^\W*(?:and |but |so )?if\b[^,;]{0,100}[,;]\s*(?:then )?i(?:['’]ll|['’]d| will| would)\b"
)


def danger_beside(groups: Sequence[Sequence[int]], sentences: Sequence[str]) -> list[int]:
    """The sentences that tell of danger in the middle of a story whose asks are about something else."""
    asked = {index for group in groups for index in group}
    crashed = crashed_on_carbon(" ".join(sentences))
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
    enough = 1 if _ASKS_WHETHER_TO_RIDE.search(ask) else FEWEST_PARTS_OF_ONE_MATTER
    return len(named) >= enough and named <= _parts_in(ask)


# "Threads hang off both tyres. Is it dangerous to ride with the tyres like this?": one part is enough to know it by.
_ASKS_WHETHER_TO_RIDE = re.compile(
    r"\b(?:(?:keep|carry on|go on|continue|still|safe(?:ly)? to|dangerous to|ok(?:ay)? to|safe for) (?:on )?(?:rid(?:e|ing)|us(?:e|ing)|going)|ridden on)\b"
    r"[^?]*\b(?:like (?:this|that)|in this (?:state|condition)|this|these|them|it)\b"
)


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


_PARTS = re.compile(rf"\b(?:{_PARTS_THAT_HURT})s?\b")


def _parts_in(sentence: str) -> set[str]:
    return {_singular(part) for part in _PARTS.findall(sentence)}


def crashed_on_carbon(text: str) -> bool:
    """Whether a lowered text tells of a crash on carbon that nobody who knows it has looked at since."""
    return "carbon" in text and _CRASHED.search(text) is not None and _LOOKED_OVER.search(text) is None


def _tells_of_danger(sentence: str, crashed: bool = False) -> bool:
    if crashed and _CRASHED.search(sentence):
        return True
    sentence = without_mere_noises(IF_SET_SO.sub(" ", ASKED_IN_GENERAL.sub(" ", sentence)))
    return tells_of_a_dead_brake(sentence) or any(
        told.search(sentence)
        for told in (BROKEN, NO_BRAKES, WHEEL_LOOSE, BATTERY, SOAKED, RUNAWAY, IN_PASSING)
    )

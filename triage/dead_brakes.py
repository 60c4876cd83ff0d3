"""Brakes that don't work at all, however a rider says it."""

from __future__ import annotations

import re
from collections.abc import Iterator

_BRAKE = (
    r"(?:brakes?|coasters?|back[ -]?pedal(?:ling)? brakes?)"
    r"(?!\s(?:lights?|lamps?|levers?['’]s?|switch(?:es)?|sensors?|cables?|pads?|blocks?|shoes?|cleaner|hoses?|fluid|discs?|rotors?|tracks?|bolts?|callipers?|calipers?|adjusters?|noise|dust|feel|rub)\b)"
)
_WHERE = (
    r"(?:(?:\s(?:levers?|hub|alone|itself|behind|up front|at the (?:front|back|rear)|in front|in the (?:hub|back|front)|"
    r"(?:on|of|at|in|for) (?:my|our|the|his|her|a|this|one|their) (?:[\w'’-]+ ){0,4}?[\w'’-]+))?)"
)
_NOW = r"(?:\s(?:has|have|had|is|are|was|were|just|suddenly|completely|totally|entirely|simply|now|both|also|all|absolutely|apparently|seems? to have|seem to|then|still|really|even|quite))*"
_AT_ALL = (
    r"(?:\s(?:at all|any ?more|whatsoever|altogether|completely|entirely|now|when (?:i|he|she|we|you|they) (?:pull|squeeze|brake|push|press|pedal)\b[^.?!\n]*|"
    r"since \w+|today|lately))*(?=\s*(?:[.,;:!?)–—\n]|$|\s(?:and|but|so|since|or|after|because|although|even|which|on (?:it|one|this|my|his|her|our|the (?:front|back|rear|left|right|bike))|from|yet|while)\b))"
)
_NONE = (
    r"(?:"
    rf"(?:stopped|quit|ceased|given up|gave up|packed up) (?:working|functioning|braking|biting|holding|stopping|responding)\b(?!\s(?:well|properly|as|so|smoothly|together))|(?:packed up|given up|conked out|gave up)\b(?!\s(?:on|with|trying))|"
    r"(?:does|do|did|doing|is doing) (?:absolutely |simply |just |literally |next to |virtually |practically )?nothing\b|has (?:absolutely )?no effect\b|"
    rf"(?:doesn['’]?t|does not|don['’]?t|do not|won['’]?t|will not|no longer|didn['’]?t|isn['’]?t|is not|aren['’]?t|are not|not) (?:even |actually |really )?"
    rf"(?:work(?:s|ing)?|brak(?:e|es|ing)|hold(?:s|ing)?|bit(?:e|es|ing)|grip(?:s|ping)?|function(?:s|ing)?|engag(?:e|es|ing)|respond(?:s|ing)?|do(?:es|ing)? anything|catch(?:es|ing)?|slow(?:s|ing)?(?: down)?|"
    rf"stop(?:s|ping)?(?: (?:me|us|him|her|them|it|the bike|the bicycle|the wheel))?)(?:{_AT_ALL})|"
    r"(?:dead|useless|non-?functional|kaput\w*|defunct|out of action)(?! (?:stop|centre|center|right|straight|on|easy|quiet|simple|in the (?:wet|rain)|when wet))\b|"
    r"(?:gone|went)(?=\s*(?:[.,;!?)–—\n]|$|\s(?:completely|altogether|dead|limp|and|but|since|so)\b))"
    r")"
)
_TOLD = re.compile(
    rf"\b(?P<subject>{_BRAKE}){_WHERE}(?:,? (?:that|which|it|they))?{_NOW}\s{_NONE}|"
    r"\b(?:has|have|had|with|got|there (?:is|are)|suddenly|now|i['’]ve|he['’]s|she['’]s) (?:suddenly |now |absolutely |simply |literally |just )*(?:got )?no (?:(?:front|rear|back) )?(?:brakes?|braking(?: power| force| effect)?|stopping power)"
    r" (?:at all|any ?more|whatsoever|left|now)\b|"
    r"\bdead (?:(?:front|rear|back|hydraulic|coaster|back[ -]?pedal|hand|disc|rim|hub) ){0,2}brakes?\b|"
    # Pedals that only spin back: a back-pedal brake that isn't there any more. A freewheel's do so, hence the brake beside it.
    r"\b(?:pedals?|cranks?)\b[^.?!\n]{0,30}\b(?:spins?|spinning|goes?|going|turns?|turning|freewheels?|freewheeling|rotates?|rotating|moves?)\b[^.?!\n]{0,20}\bback(?:wards?)?\b[^.?!\n]{0,20}"
    r"\b(?:nothing|without (?:any )?(?:braking|stopping|resistance|biting)|no (?:resistance|braking|brake))\b|"
    r"\b(?:pedals?|pedal(?:s|ling)|push(?:es|ing)?|press(?:es|ing)?) (?:it |them |the pedals? )?back(?:wards?)?\b[^.?!\n]{0,30}\bnothing (?:at all )?(?:happens|brakes)\b|"
    r"\b(?:pulls?|pulling|pulled|squeez\w+|press\w*) (?:on )?(?:(?:the|my|his|her|that|either|both|front|rear|back|left|right|hard) )*(?:brake )?(?:levers?|brakes?)\b[^.?!\n]{0,40}\bnothing (?:at all )?happens\b"
)
_BY_A_PRONOUN = re.compile(rf"\b(?:it|they|which|one|both){_NOW}\s{_NONE}")
"""What the sentence before named: "She has a back-pedal brake. Since Monday it does nothing"."""
_A_BRAKE = re.compile(rf"\b{_BRAKE}")
_ANOTHER_THING = re.compile(
    r"\b(?:lights?|lamps?|gears?|shifters?|shifting|derailleurs?|mech|motors?|displays?|computers?|batter(?:y|ies)|dynamos?|bells?|pumps?|droppers?|locks?|chargers?|cleaners?|"
    r"sensors?|switch(?:es)?|apps?|lockout|adjusters?|bolts?|screws?|forks?|shocks?|chains?|tools?|trick|levers? for the gears?|freewheel|hub gear|speedo\w*|grease|spray|pads?|blocks?|sand\w*|alcohol|bleed\w*|bled|oil|arms?|springs?)\b"
)
_ONLY_IF = re.compile(
    r"\b(?:if|in case|should|might|could|would|may|worried (?:that )?|afraid (?:that )?|what happens when|whenever one|imagine|unless)\b[^.?!;\n]{0,50}$"
)
_OF_IT = re.compile(
    r"\b(?:of|from|in|on)\s(?:(?:my|the|his|her|our|that|this|a|front|rear|back|left|right|drum|disc|rim|hub|hydraulic)\s){0,3}$"
)
"""A part of the brake that has gone is no brake that has: "the spring of my brake has gone"."""
_PUT_RIGHT = re.compile(
    r"\b(?:(?:fixed|mended|repaired|sorted|cured) (?:it|them|that|this|the)\b|put (?:it |them |that )?right|"
    r"(?:works?|working|brakes|bites?|stops?|ok|okay|fine|perfect|perfectly|good|well)(?: \w+)? (?:again|now|since|ever since)\b|now (?:it|they|all|everything)(?: is| are|['’]s)? (?:works?|brakes?|bites?|fine|good|ok)|"
    r"got (?:a )?new (?:brakes?|cable|pads|hub|wheel))"
)
_NOT_CURED = re.compile(
    r"\b(?:still|no better|no change|no different|same again|made no difference|didn['’]?t help|to no avail|without success)\b"
)
_AT_THE_BAR = re.compile(
    r"(?<!gear )(?<!shift )(?<!dropper )(?<!clutch )(?<!post )\b(?:levers?|brakes?(?: handle)?|handle)\b[^.;?!\n]{0,40}?\b"
    r"(?:(?:goes|going|went|go|comes|coming|came|come|pulls?|pulling|pulled|moves?|travels?|sinks?|sank|squeezes?|squeezed|closes?|gets?|got)(?: (?:nearly|almost|right|all the way|straight|completely|fully|in|back|down|up|easily|flat|very close|close|flush|now|it|them))*"
    r" (?:to|into|on to|onto|against|with)|(?:touch(?:es|ing)?|hits?|hitting|meets?|reach(?:es|ing)?|bottoms? out (?:on|against)|bottoming out (?:on|against)|ends? at|lies on|lay on))"
    r" (?:the |my |his |her |their )?(?:handle ?)?(?:bars?|grips?|bar tape)\b(?! (?:bag|end|clamp|mount))"
)
_NOT_AT_THE_BAR = re.compile(
    r"\b(?:\w+n['’]?t|not|never|without|before|until|cannot|so that|must|how far|should)\b[^.;?!\n]{0,50}$"
)
_SENTENCE_END = re.compile(r"[.?!\n]+(?:\s|$)")
_AHEAD = 260
_BEHIND = 140


def dead_brakes(text: str) -> Iterator[tuple[int, int]]:
    """Where a lowered text tells that a brake does nothing; not of one that was put right, or might fail."""
    if (
        "brake" not in text
        and "coaster" not in text
        and "braking" not in text
        and "stopping power" not in text
    ):
        return
    for told in _TOLD.finditer(text):
        if told["subject"] and _OF_IT.search(text[max(0, told.start() - 40) : told.start()]):
            continue
        if _is_so(text, *told.span()):
            yield told.span()
    for told in _BY_A_PRONOUN.finditer(text):
        if _is_of_a_brake(text, told.start()) and _is_so(text, *told.span()):
            yield told.span()


def tells_of_a_dead_brake(text: str) -> bool:
    """Whether a lowered text tells of a brake that doesn't work at all."""
    return next(dead_brakes(text), None) is not None


def _is_so(text: str, start: int, end: int) -> bool:
    if _ONLY_IF.search(text[max(0, start - 60) : start]):
        return False
    mended = _PUT_RIGHT.search(text, end, end + _AHEAD)
    return mended is None or _NOT_CURED.search(text, end, end + _AHEAD) is not None


def _is_of_a_brake(text: str, start: int) -> bool:
    """Whether the last thing named before, in this sentence or the one before it, is a brake."""
    ends = [end.end() for end in _SENTENCE_END.finditer(text, max(0, start - _BEHIND), start)]
    begin = ends[-2] if len(ends) > 1 else max(0, start - _BEHIND)
    brakes = [one.start() for one in _A_BRAKE.finditer(text, begin, start)]
    if not brakes:
        return False
    return all(one.start() < brakes[-1] for one in _ANOTHER_THING.finditer(text, begin, start))


def levers_at_the_bar(text: str) -> Iterator[tuple[int, int]]:
    """Where a lowered text tells of a brake's lever that comes to the bar; not of one that mustn't, or might."""
    if "brake" not in text and "lever" not in text:
        return
    for told in _AT_THE_BAR.finditer(text):
        before = text[max(0, told.start() - 40) : told.start()] + told.group()
        if not _NOT_AT_THE_BAR.search(before) and _is_so(text, *told.span()):
            yield told.span()

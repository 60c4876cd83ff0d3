"""Whose a figure is: where a rider tells of another person's bicycle, or of another one of their own."""

from __future__ import annotations

import re
from collections.abc import Iterator

from triage.extract.forms import form, word_set

Span = tuple[int, int]

_PEER = (
    r"(?:(?:best|old|good|riding|cycling|racing|training|club|team|gym|school|touring|work)[\s-])?"
    r"(?:mates?|friends?|budd(?:y|ies)|pals?|chaps?|blokes?|guys?|fellas?|fellows?|dudes?|neighbou?rs?|colleagues?|clubmates?|teammates?|"
    r"workmates?|flatmates?|housemates?|room-?mates?|coworkers?|co-workers?|acquaintances?|companions?|teachers?|coach|instructor|cousins?|uncles?|aunts?|strangers?|"
    r"vloggers?|streamers?|winner|(?:riding|cycling|training|touring)[\s-]partner|(?:father|brother|mother|sister|son|daughter)[\s-]in[\s-]law)"
)
_KIN = r"(?:(?:late|big|little|older|younger|elder|twin)\s)?(?:wife|husband|partner|girlfriend|boyfriend|fianc[eé]e?|spouse|mum|mom|mother|dad|father|brother|sister)"
_CHILD = r"(?:(?:older|younger|eldest|youngest|big|little)\s)?(?:son|daughter|kid|boy|girl|lad|nephew|niece|grandson|granddaughter)s?"
_OF_SOMEONE = r"(?:(?:my|our|his|her|their|an?|another|the|some|one|2|two|3|three|every|that)\s(?:of\smy\s)?)"
_BEGINS = r"(?:^|(?<=[.?!;:,(\n—–-]\s)|(?<=[.?!;:,(\n])|(?<=\b(?:and|but|for)\s)|(?<=\bbecause\s)|(?<=\b(?:since|while)\s)|(?<=\bthough\s)|(?<=\bwhereas\s))"
_SOMEONE = r"(?:(?:most|many|some|all|other|lots\sof|plenty\sof)\s(?:people|riders|cyclists|folks?)|in\s(?:my|our|the)\s(?:\w+\s)?(?:group|club|gang|team)\s(?:one|some|most|all)|some(?:one|body)|every(?:one|body)|others|locals|people|(?:the\s(?:\w+\s)?(?:gang|crowd),?\s)?(?:all|one|most|some)\sof\sthem(?=\s(?:is|are|on|at|has|have|runs?)\s)|folks?|(?:forum|club|racing)\s(?:folks?|people)|a\s(?:man|woman|lady|girl|rider|cyclist|racer|pro)|the\s(?:man|woman|lady|lads|pros?|fast\s(?:lads|guys|boys|ones)))"
_OWNER = form(
    rf"{_BEGINS}(?:{_OF_SOMEONE}(?:other\s|fast\s)?(?P<kin>{_KIN})|{_OF_SOMEONE}(?P<child>{_CHILD})|{_OF_SOMEONE}(?:fast\s|other\s|old\s)?{_PEER}|{_PEER}|{_SOMEONE}"
    r"|(?:the|a|one|that)\s(?:videos?|magazine|blog|article|mag|thread|(?:web\s?)?page)(?:\s(?:bloke|guy|chap|man|woman|i\s(?:watched|saw|found)))?"
    r"|(?:the|a|one)\slads?\s(?=(?:at|in|on)\s)|lad\s(?=(?:at|in|on|online)\b)"
    r")(?P<s>['’]s|s['’])?(?=[\s,(])",
    catches="my mate runs 28s",
    leaves="made for my mate",
)
"""Someone else at the head of a clause."""
_WORDS_BETWEEN = (
    r"(?:\s?\([^)]{0,30}\)|,?\s(?!(?:says?|said|claims?|claimed|reckons?|reckoned|thinks?|told|tells|swears?|insists?|suggests?|suggested|warned|asked|asks|wants|wanted|"
    r"gave|lent|sold|offered|showed|helped|recommends?|recommended|quoted|measured|weighed|checked|noticed|(?<!than\s)me|my|mine|us|our|we|you|your|i(?!\s(?:met|know|ride|saw|watched|looked|follow)\b))\b)[\w'’%-]+){0,7}?"
)
_HAS = (
    r"(?:['’]s\s(?:got|on|at|running|riding)|has|have|had|runs?|ran|running|rides?|rode|ridden|riding|uses?|pumps?|carries|carried|carry|weighs?|stacks|enters|turns|wears|"
    r"gets?\s(?:away\swith\s)?(?=\D{0,12}\d)|swears\sby|goes|does|do|did|keeps?|sits\sat|gone|pushes|spins|races?|"
    r"(?:is|are|was|were)\s(?:(?:on|at|running|riding|using|about|around|only|just|maybe|over|under|nearly|already|a|an)\s){0,3}(?=\d))"
)
_ALL_THE_SAME = r"(?:put|puts|fit|fitted|builds?|built|made|changed|change|swapped|replaced|replaces|replace|drilled|bent|stretched|took|mounted|used|did|does|got|runs|snapped|broke|cracked|tightens|tightened|lists)"
_OWNS = form(
    rf"{_WORDS_BETWEEN},?\s?(?P<verb>{_HAS})(?:(?<=\s)|(?![\w'’]))",
    catches=" at the club runs ",
    leaves=" at the club says so",
)
_DOES_TO_HIS_OWN = form(
    rf"{_WORDS_BETWEEN}\s{_ALL_THE_SAME}\b[^.?!;\d]{{0,30}}?(?:\d[\d.,x/-]*\w*[^.?!;]{{0,40}}?)?\b(?:his|hers|theirs|their|her own|his own|one|same)\b",
    catches=" builds his to 1300",
    leaves=" built mine to 1300",
)
_FOR_ME = form(
    r"(?:\s(?:me|my|mine|us|our)\b|[^.?!;]{0,60}?\b(?:(?:on|for|to|in|off|of|into|with|fits|has) (?:me|my|mine|our|it|us)\b|lying about|lying around|spare|i can (?:have|use|borrow)|i could (?:have|use|borrow)|(?:lend|sell|give|lent|sold|gave|sells|offered|offering|in stock|for sale)\b))",
    catches=" has put a 32 on my bike",
    leaves=" has put a 32 on",
)
_ON_SOME = form(
    r"\s(?:on|with|at)\s(?:(?:an?|about|only)\s)?(?=\d)",
    catches=" on 146 but his",
    leaves=" on my team",
)
_MENTIONED = form(
    rf"\b(?:mentioned|knows?|has|have|heard of|saw|met|read of|like)\s(?:an?|my|one|some)\s{_PEER}(?=\s(?:on|with|at)\s(?:an?\s)?\d)|"
    rf"\b(?:{_OF_SOMEONE}{_PEER}|some(?:one|body))\b[^.,;?!\d]{{0,24}}\swho(?:['’]s\s(?:on|got)|\s(?:has|had|runs?|ran|rides?|rode|uses?|pumps|weighs|is\son))\s|"
    rf"\b(?:than|like|unlike|compared\s(?:to|with)|next\sto|beside|as)\s{_OF_SOMEONE}(?:{_PEER}|{_KIN})['’]s\s",
    catches="mentioned a friend on 146",
    leaves="mentioned a friend of mine",
)
_A_BIKE = form(
    r"\s(?:(?:other|old|new|own|last)\s)?(?:\d|bikes?|bicycle|one|wheels?|tyres?|tires?)\b",
    catches=" bike has",
    leaves=" combined weight was",
)
_HE = form(
    r"(?:^|[\s(,.;:!?\"])(?P<it>(?P<she>she|hers|her(?=\sown\b|\sbike\b))|(?:he|his(?!\w)))(?=['’\s.,;:!?)]|$)",
    catches="swears he got a 36",
    leaves="the shed",
)
_HE_HAS = form(
    rf"\s?(?:{_HAS}|{_ALL_THE_SAME}|(?:['’]s|is)\s(?:(?:about|only|just|maybe|around|also|over)\s)?(?=\d))(?:(?<=\s)|(?![\w'’]))",
    catches=" got a 36 on his",
    leaves=" says so",
)
_SAYS_HOW = form(r"(?=[^.?!]{0,40}?(?:\d|\b(?:his|hers|own)\b))", catches=" took a 36", leaves=" took a coin")
_TO_ME = form(
    r"[^.?!;,]{0,40}?\b(?:me|my|mine|it\sto\s\d|it\son|it\sup)\b",
    catches=" did it up to 40",
    leaves=" did 40 on his",
)
_HIS_OWN = form(
    r"\b(?:his|hers)(?:\s?(?:$|[.,;:!?)])|\s(?:own|(?:\w+\s)?bike|is|was|at|to|has|had|went|in|by|never|and|but|with|are|were|ended|weigh)\b)",
    catches="his never budges",
    leaves="his gauge shows 62",
)
_WHOSE = form(
    r"\bwho(?:se|['’]s\sgot|\shas|\sruns|\srides)\s", catches="a friend whose fork", leaves="who knows"
)
_OTHER_BIKE = form(
    rf"\b(?:{_OF_SOMEONE}{_PEER}['’]s\s(?:one|bikes?|wheels?)\b|"
    r"(?:my|our|the)\s(?:other|old|previous|former|last|usual|first|2nd|second|spare|winter|summer|wife['’]s|husband['’]s|partner['’]s|son['’]s|daughter['’]s)\s(?:\w+\s)?(?:bikes?|bicycle|tourer|racer|hybrid|mtb)\b(?!\s(?:rims?|wheels?|frame|fork|tyres?|tires?|parts?|hubs?|cranks?|stem|cassette)\b)|"
    r"the\s(?:other|previous|former)\sbike\b|(?:the|my)\sbike\s(?:i\shad\s)?before\b(?!\s(?:i|the|my|it|this|that)\b)|my\sold\s(?:taper|square\staper)\s(?:set|crank)\b|(?:the\ssame|another)\s(?:bike|model|frame)\sfrom\b|the\snew(?:er)?\s(?:(?:19|20)\d\d\s)?(?:model|frame|version)\b(?=\s(?:is|has|shows|comes)))",
    catches="my other bike has 32 spokes",
    leaves="the bike has 32 spokes",
)
_FROM = form(
    r"\b(?:off|from|out of|for|to|onto|on to|by|spare from|donor|sell|sold|replac\w+|instead of)\s(?:of\s|the\s)?$",
    catches="the wheel off ",
    leaves="wheel of ",
)
_COMPARED = form(
    r"\b(?:than|like|unlike|as|with|to)\s(?:on\s|with\s|in\s)?$",
    catches="stiffer than ",
    leaves="stiffer, then ",
)
_ON_IT_I = form(r",?\s(?:i|we|my)\b", catches=", i had 28s", leaves=" had 28s")
_MY_OWN = form(
    r"\b(?:my\sown|mine)\s(?:[a-z]+\s)?(?:has|have|had|is|are|was|were|runs?|came)\b|\bi(?:['’]m|\sam)\son\s(?=\d)|\bi\s(?:myself\s)?(?:ride|run|use)\s(?=(?:an?\s)?\d)",
    catches="i'm on 175",
    leaves="i'm on tour",
)
"""Where the ask is of somebody of the family, the rider is the other one."""
_I_HAVE_IT = form(
    r"\b(?:i['’]ve got|i have|i happen to have|i could|i can|i took|i want|put|there['’]s)\b",
    catches="i have a stem on my old bike",
    leaves="it was fine on my old bike",
)
_READ_OF = form(
    r"\b(?:i\s(?:['’]ve\s|have\s)?(?:read|heard|saw)|it\ssays\sonline|online\sit\ssays)\s(?!my\b|it\b|that\smy\b)[^.?!;]{0,30}?\d[^.?!;]{0,24}?\b(?:is|are|as|being)\s(?:about\s|roughly\s|quite\s)?(?:right|fine|normal|typical|enough|plenty|ok|okay|good|usual|standard)\b",
    catches="i read 100 kgf is about right",
    leaves="i read 62 psi on the gauge",
)
_PROMISED = form(
    r"\b(?:adverts?|ads?|advertising|brochure|marketing|website|catalogue|makers?)\s(?:says?|said|claims?|claimed|promises?|promised)\s(?:up\sto\s|about\s|over\s)?\d+\s?(?:km|miles|mi)\b(?!/)",
    catches="the advert says 100 km",
    leaves="the maker says 100 kg",
)
"""How far a battery goes in an advert, under whom and where."""
_SAID_TO = form(
    r"\b(?:says?|said|claims?|claimed|reckons?|reckoned|thinks?|told\sme|tells\sme|swears?|insists?|guessed|boasts?|mentioned)\b[\s:,]*",
    catches="he said 23 was",
    leaves="he sent",
)
_CLAUSE_HEAD = form(
    r"[?!;(\n]|\.(?!\d)|,\s(?=\w)|\b(?:and|but|because|though)\s", catches="because ", leaves="behind 2.5"
)
_CLAUSE_END = form(
    r"(?:[.?!](?=[\s\"')]|$)|\n|\)|(?:[,;:—–]|\s-|\b(?:and|but|while|whereas|so|though|or|than))\s(?:(?:and|but|while|whereas|so|though|or|if)\s)?"
    r"(?:i|i['’](?:m|ve|d|ll)|im|ive|id|mine|my(?!\s(?:mates?|friends?|pals?|budd))|our|we|we['’](?:ve|re)|me|should|could|can|would|will|does|do)\b)",
    catches=", but i'm on 25",
    leaves=", but his is a 25",
)
_SENTENCE = form(r"[.?!](?=[\s\"')]|$)|\n|;", catches="old. the", leaves="2.5 bar")
_QUESTION_OF_THEM = form(
    rf"\b(?:can|could|should|would|will|does|do|may|did|for|what|which|how\s\w+|is|are|was|were)\s(?:\w+\s){{0,3}}?(?:he|she|him|hers?|his|them|theirs?|(?:my|a|our|the)\s(?:{_PEER}|{_KIN}|{_CHILD}))\b(?!\sright\b)",
    catches="what should she ride",
    leaves="is he right",
)
_SHOULD_HE = form(
    rf"\b(?:can|could|should|would|will|may|must)\s(?:he|she|(?:my|our|the)\s(?:{_PEER}|{_KIN}|{_CHILD}))\b(?!['’]s)",
    catches="should he rebuild it",
    leaves="will his fit mine",
)
_OF_THE_FAMILY = form(rf"\b(?:{_KIN}|{_CHILD})\b", catches="my lad", leaves="the ladder")
_FOR_THEM = form(
    rf"\b(?:for|helping|fixing|building|servicing|asking|on\sbehalf\sof)\s(?:for\s)?(?:an?|my|our|the)\s(?:\w+\s)?(?:{_PEER}|{_KIN}|{_CHILD})\b",
    catches="a wheel for a friend",
    leaves="a wheel of a friend",
)
DESCRIBES = word_set(
    """wheel_position discipline tyre_system rim_type rim_material frame_material brake_type shifter_kind derailleur_kind cassette_kind
    tube_material steerer_material seatpost_material spindle_kind shell_kind brake_fluid axle_type"""
)
"""The choices that are of one bicycle; what has gone wrong is heeded in whatever words it is told."""
_OURS = ("tandem", "stoker", "customer", "client", "both of us", "for us both", "for both", "each of us")
"""Who rides along or is served is spoken of as the rider is."""
_GUARDS = (
    "mate", "friend", "budd", "pal", "chap", "bloke", "guy", "fell", "dude", "neighbo", "colleague", "worker", "acquaint", "companion",
    "cousin", "uncle", "aunt", "stranger", "vlogger", "streamer", "winner", "partner", "in-law", "in law", "wife", "husband", "fianc", "spouse", "mum", "mom",
    "mother", "dad", "father", "brother", "sister", "son", "daughter", "kid", "boy", "girl", "lad", "nephew", "niece", "someb", "someo", "every", "others",
    "local", "people", "folk", "man ", "rider", "cyclist", "racer", "pro", "video", "magazine", "blog", "article", "mag ", "bike", "one ", "model", "frame",
    "read", "heard", "saw", "online", " he ", "his", "she ", "hers", "her own", "he'", "she'",
)  # fmt: skip
_MINE = form(
    r"\b(?:i['’]m|im|i\sam|i['’]ve|i\shave|i\srun|i\sride|i\suse|mine|my\sown|my\s(?:bike|wheels?|tyres?|tires?|cassette|frame|fork|rims?|cranks?|stem))\b",
    catches="i'm on 25s",
    leaves="i'd like",
)
_DIGITS = re.compile(r"\d")


def told_of_others(text: str) -> list[Span]:
    """The stretches of a lowered text that tell of a bicycle other than the one that is asked about."""
    if not any(word in text for word in _GUARDS) or any(word in text for word in _OURS):
        return []
    sentences = _sentences(text)
    asked = [text[s:e] for s, e in sentences if text[e : e + 1] == "?"]
    if any(_SHOULD_HE.search(ask) is not None for ask in asked):
        return _told_of_the_asker(text, sentences)
    their_ask = any(_QUESTION_OF_THEM.search(ask) is not None for ask in asked) or (
        _FOR_THEM.search(text) is not None
    )
    spans: list[Span] = []
    # Whether the sentences so far state a figure of the rider's own, and whether "he" may be one of the family.
    known = near = False
    for number, (start, end) in enumerate(sentences):
        found = list(
            _in_sentence(text, start, end, known=known and number > 0, near=near, their_ask=their_ask)
        )
        near = near or (not found and _OF_THE_FAMILY.search(text, start, end) is not None)
        spans += found
        if not (number == 0 and text.startswith("\n", end)):
            known = known or any(
                not any(s <= m.start() < e for s, e in found) for m in _DIGITS.finditer(text, start, end)
            )
    if not known:
        return []
    first = sentences[0][1]
    if their_ask:
        spans += _told_of_the_asker(text, sentences)
    if any(s < first for s, _ in spans) and not any(
        not any(s <= m.start() < e for s, e in spans) for m in _MINE.finditer(text)
    ):
        # "My mate's bike has a triple. The cassette is 11-28": who is told of first, and alone, is asked about.
        return []
    return spans


def _told_of_the_asker(text: str, sentences: list[Span]) -> list[Span]:
    """ "My wife has short legs. I'm on 175. Which cranks should she take?": here the rider is the other one."""
    first = sentences[0][1]
    if _OF_THE_FAMILY.search(text, 0, first) is None:
        return []
    return [
        (m.start(), next(end for _, end in sentences if m.start() < end))
        for m in _MY_OWN.finditer(text, first)
    ]


def _sentences(text: str) -> list[Span]:
    ends = [m.start() for m in _SENTENCE.finditer(text)]
    starts = [0, *(end + 1 for end in ends)]
    return [(s, e) for s, e in zip(starts, [*ends, len(text)], strict=True) if text[s:e].strip()]


def _in_sentence(
    text: str, start: int, end: int, *, known: bool, near: bool, their_ask: bool
) -> Iterator[Span]:
    met = False
    for m in _OWNER.finditer(text, start, end):
        close = m["kin"] is not None or m["child"] is not None
        # "Her brother's bike": whoever is a child's own kin is not the child.
        if close and (not known or ((near or their_ask) and not m.group().startswith(("his ", "her ")))):
            continue
        met = True
        if _owns(text, m, end):
            yield _to_the_end(text, m.start(), end)
    for m in () if _FOR_THEM.search(text) else _MENTIONED.finditer(text, start, end):
        yield _to_the_end(text, m.start(), end)
    for m in _OTHER_BIKE.finditer(text, start, end) if known else ():
        before = text[max(start, m.start() - 16) : m.start()]
        head = m.start() if _COMPARED.search(before) else _clause_head(text, start, m.start())
        if not (_FROM.search(before) or _I_HAVE_IT.search(text, head, m.start())):
            on = _ON_IT_I.match(text, m.end())
            yield head, _to_the_end(text, on.end() if on else m.end() - 1, end)[1]
    for m in _READ_OF.finditer(text, start, end):
        yield m.span()
    for m in _PROMISED.finditer(text, start, end):
        yield _to_the_end(text, m.start(), end)
    if their_ask or (not met and (near or not known)):
        return
    for m in _HE.finditer(text, start, end):
        word, behind = m["it"], m.end("it")
        if word in ("he", "she"):
            has = _HE_HAS.match(text, behind)
            if has is not None and _TO_ME.match(text, behind) is None and _SAYS_HOW.match(text, behind, end):
                yield _to_the_end(text, m.start("it"), end)
        elif word == "her" or _HIS_OWN.match(text, m.start("it"), end):
            yield _to_the_end(text, _clause_head(text, start, m.start("it")), end)


def _owns(text: str, owner: re.Match[str], end: int) -> bool:
    """Whether the clause tells what someone has, rides or did to a bicycle of their own."""
    behind = owner.end()
    if owner["s"]:
        return owner["child"] is None or _A_BIKE.match(text, behind, end) is not None
    has = _OWNS.match(text, behind, end)
    if owner["child"]:
        return _DOES_TO_HIS_OWN.match(text, behind, end) is not None
    if has is not None and _FOR_ME.match(text, has.end("verb"), end) is None:
        return True
    return (
        _DOES_TO_HIS_OWN.match(text, behind, end) is not None or _ON_SOME.match(text, behind, end) is not None
    )


def _to_the_end(text: str, start: int, end: int) -> Span:
    """Up to where the sentence ends or the rider speaks of their own again."""
    for m in _CLAUSE_END.finditer(text, start + 1, end):
        closes_its_own = text.count("(", start, m.start()) > text.count(")", start, m.start())
        if not (m.group() == ")" and closes_its_own):
            return start, m.start()
    return start, end


def _clause_head(text: str, start: int, place: int) -> int:
    heads = [
        m.end() for pattern in (_CLAUSE_HEAD, _SAID_TO) for m in pattern.finditer(text, start, place + 1)
    ]
    return max([start, *(head for head in heads if head <= place)])


__all__ = ["DESCRIBES", "Span", "told_of_others"]

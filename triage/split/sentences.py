"""Sentences: where one ends and the next begins, with lists, abbreviations and doubts in brackets among them."""

from __future__ import annotations

import re

# All patterns are in small letters and held against lowered text: with re.IGNORECASE they take up to three times as long.
# A sentence ends at . ! ? or … before white space, or at a line break between paragraphs.
_SENTENCE = re.compile(r"[^.!?…\n]+(?:\.(?=\S)[^.!?…\n]*)*[.!?…]*[\"'”)]*\s*|\n+")
_ABBREVIATION = re.compile(
    r"\b(?:approx|max|min|ca|etc|e\.g|i\.e|ie|eg|vs|no|nr|dr|mr|mrs|st|incl|int|ext|(?!a\.m|p\.m)[a-z]\.[a-z])\.\s*$"
)
_ENDS_IN_AN_ASIDE = re.compile(r"\([^()\n]{1,200}\?+\)[,;]?\s*$")
# "We rode there (who plans such things?) and back": what goes on behind the bracket is one sentence, and that asks nothing.
ASIDE = re.compile(r"\([^()\n]{1,200}\?+\)(?=[\s,;]*\w)")
# A doubt in brackets about a word or a figure: "the derailer (sp?) was dirty", "a long cage (105?)". Must not catch "(is it safe?)".
DOUBT = re.compile(
    r"\((?![^()]*\b(?:is|are|can|could|should|would|will|do|does|did|why|how|what|which|who|safe|worth|ok|okay|normal|possible|any|"
    r"right|enough|true|legal|help)\b)[^()?!\s]{1,20}(?: [^()?!\s]{1,20}){0,2}\s?\?+\)"
)
# "2. Which tyre …", "b) how often": the mark of a list, which opens an ask of its own only where that names something. With a comma,
# "3, is it safe …", only before what asks: "2, maybe 3 spokes" counts.
_OPENS_AN_ASK = (
    r"(?:is|are|am|was|can|could|should|would|will|do|does|did|has|have|what|why|how|which|where|who|when|if)"
)
LIST_MARK = re.compile(rf"^\W*(?:([1-9])(?:[.)]|,(?=\s+{_OPENS_AN_ASK}\b))|([a-f])\))\s+")
_BARE_LIST_MARK = re.compile(r"^\W*(?:[1-9][.)]|[a-f]\))\s*$")
_FIRST_AND_SECOND_MARK = tuple(
    (re.compile(rf"(?:^|[\s:(]){first}\)\s"), re.compile(rf"[\s(]{second}\)\s"))
    for first, second in (("1", "2"), ("a", "b"))
)
# "Which sealant, and while we're at it, which tools?": two asks in one sentence.
_AT_IT = re.compile(
    r",?[^\S\n]+(?=and while (?:we|i|you)(?: are| am|['’]re|['’]m) (?:at it|here)\b)", re.IGNORECASE
)
# "Are the rims strong enough and what pressure?", "Does it fit, and also does my old link go in?": each asks a thing of its own.
_AND_ALSO_ASKS = re.compile(
    r",?[^\S\n]+(?=and also (?:does|do|is|are|can|could|should|will|would) (?:the|my|a|an|this|these|those|i|we|there)\b|"
    r"and what (?:tyre |tire )?(?:psi|pressures?)\b)",
    re.IGNORECASE,
)
# "Two things: my lamp flickers, and also is the chain long enough": where they are announced, each "also" begins one.
_ANNOUNCED = re.compile(
    r"\b(?:couple of|two|2|few|three|3) (?:quick |little |small )?(?:things|questions|problems|issues|asks|queries)\b"
)
_BEFORE_ALSO = re.compile(
    r",?[^\S\n]+(?=and also\b)|(?<=things:)[^\S\n]+|(?<=questions:)[^\S\n]+", re.IGNORECASE
)
# "Two things trouble me, firstly the brake sticks, … Secondly the hub slips": where they are counted, the first begins one.
_BEFORE_FIRSTLY = re.compile(r"(?<=[,.:;–-])[^\S\n]+(?=firstly\b)", re.IGNORECASE)
_SECONDLY = re.compile(r"\bsecondly\b")
# "The ?bush? is worn": marks on either side of a word are a doubt about its name, and end nothing.
_DOUBTED_WORD = re.compile(r"(?<![\w?!.])\?(\w[\w-]{0,20})\?(?![\w?!])(?=\s+\w)")
_BEFORE_A_LIST_MARK = re.compile(r"[^\S\n]+(?=\(?(?:[1-9]|[a-f])\)\s)")


def sentences_of(text: str) -> list[str]:
    found: list[str] = []
    if _holds_a_list(lower_case(text)):
        text = _BEFORE_A_LIST_MARK.sub("\n", text)
    if _SECONDLY.search(lower_case(text)):
        text = _BEFORE_FIRSTLY.sub("\n", text)
    if "and also " in text and _ANNOUNCED.search(lower_case(text)):
        text = _BEFORE_ALSO.sub("\n", text)
    text = _DOUBTED_WORD.sub(r'"\1"', text)
    if "while" in text:
        text = _AT_IT.sub("\n", text)
    if "and also " in text or "and what " in text:
        text = _AND_ALSO_ASKS.sub("\n", text)
    for match in _SENTENCE.finditer(text):
        piece = match.group()
        if piece.isspace():
            continue
        if found and (
            _goes_on_after_dots(found[-1], piece)
            or _BARE_LIST_MARK.match(lower_case(found[-1]))
            or _ends_in_an_abbreviation(found[-1])
            or _goes_on_after_a_doubt(found[-1], piece)
            or _goes_on_in_a_bracket(found[-1], piece)
        ):
            found[-1] += piece
        else:
            found.append(piece)
    return found


def _ends_in_an_abbreviation(sentence: str) -> bool:
    """Whether the point behind an abbreviation ends no sentence; where the paragraph ends with it, it does."""
    if not sentence.rstrip().endswith(".") or "\n" in sentence[len(sentence.rstrip()) :]:
        return False
    return _ABBREVIATION.search(lower_case(sentence)) is not None


# "Would you take a) the longer one or b) the shorter one?": what an "or" joins is one ask, however it is counted.
_OR_BEFORE = re.compile(r"\bor,?\s$")


def _holds_a_list(text: str) -> bool:
    """Whether a lowered text counts its asks in one line: "1) can I … 2) how often …"."""
    return any(
        (begun := first.search(text)) is not None
        and (next_ := second.search(text, begun.end() - 1)) is not None
        and _OR_BEFORE.search(text[: next_.start() + 1]) is None
        for first, second in _FIRST_AND_SECOND_MARK
    )


# "Wax... or oil?" asks between two things; "how often?...hardly ever" is one breath as well.
_TRAILS_OFF = re.compile(r"(?:\.{2,}|…)\s*$")
# "My first thought was.... to ask you": a sentence can't end in such a word.
_UNFINISHED = re.compile(
    r"\b(?:is|are|was|were|be|been|the|an?|of|to|with|for|from|and|or|but|so|because|my|our|your|his|their|than)\s*(?:\.{2,}|…)\s*$"
)
# "I took the cable off... still it slips": told in one breath. Must not catch "it slips... any ideas?".
_IN_ONE_BREATH = re.compile(
    r"(?:still|then|yet|and then|but then|and still|but still|which then|until|till|except)\b(?![^.?!]*\?)"
)
_ASKS_YES_OR_NO = re.compile(
    r"^\W*(?:(?:question|so|and|but|now)\b\W*)*(?:is|are|can|could|may|should|would|will|does|do|did|has|have|am)\b[^?]*$"
)
_ASKS_ANEW = re.compile(
    r"(?:is|are|am|was|can|could|may|might|should|would|will|does|do|did|has|have|what|why|how|which|where|who|when|any|if|so|and|but|also|because)\b"
)
_ANSWERED_AT_ONCE = re.compile(r"\?\s?(?:\.{2,}|…)\s*$")
_THE_OTHER_CHOICE = re.compile(r"or\b")
_LONGEST_END = 20


def _goes_on_after_dots(sentence: str, piece: str) -> bool:
    """Whether three dots ended no sentence."""
    end = sentence[-_LONGEST_END:]
    if _ANSWERED_AT_ONCE.search(end):
        return piece[0].islower()
    if piece[0].islower() and _UNFINISHED.search(lower_case(end)) is not None:
        return True
    if _TRAILS_OFF.search(end) is not None and piece[0].islower() and _IN_ONE_BREATH.match(piece):
        return True
    # "May the tyres be mixed ... one kind behind and another in front?": the ask goes on.
    if (
        _TRAILS_OFF.search(end) is not None
        and piece[0].islower()
        and piece.rstrip().endswith("?")
        and _ASKS_YES_OR_NO.match(lower_case(sentence)) is not None
        and _ASKS_ANEW.match(piece) is None
    ):
        return True
    return _TRAILS_OFF.search(end) is not None and _THE_OTHER_CHOICE.match(piece) is not None


def _goes_on_after_a_doubt(sentence: str, piece: str) -> bool:
    """Whether a bracket with a mark in it ended no sentence: "the derailer (sp?) was dirty"."""
    return (not piece[0].isupper() or piece.startswith("I ")) and _ENDS_IN_AN_ASIDE.search(
        sentence
    ) is not None


LONGEST_BRACKET = 120
"""A bracket that stands open for longer was forgotten, and holds nothing together. [characters]"""


def _goes_on_in_a_bracket(sentence: str, piece: str) -> bool:
    """Whether a bracket still stands open, on the same line, and its end is in what comes: "it rubs (left. but rarely) uphill"."""
    begun = sentence.rfind("(")
    if begun < 0 or ")" in sentence[begun:] or "\n" in sentence[begun:] or not piece[0].islower():
        return False
    end = piece.find(")")
    return end >= 0 and len(sentence) - begun + end <= LONGEST_BRACKET and "(" not in piece[:end]


def lower_case(text: str) -> str:
    # The Turkish capital would become two letters, the second of which parts words.
    return text.replace("İ", "i").lower()

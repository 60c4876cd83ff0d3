"""What opens a matter of its own: "also", "second question", the items of a list."""

from __future__ import annotations

import re

from triage.split.sentences import LIST_MARK
from triage.trade_words import names_a_part

# "Also", "second question", "another thing" open an ask of their own.
NEW_ASK = re.compile(
    r"^\W*(?:(?:[\w']+[ ,:–-]+){0,3}(?:part|question|query|issue|problem|q) ?(?:2|two|ii|b)\b|also\b(?! (?:assum|suppos|consider|given|bear|note|keep)\w*\b)|as an aside\b|on a side note\b|incidentally\b|second(?:ly\b|\s(?:question|one|thing|ask|query|matter|issue|problem)\b|\s?[,:–-])|another\b|one more\b|one (?:small |little |odd |strange |curious )?(?:curiosity|oddity|puzzle|niggle|question)\b|(?:and |but )?(?:the|my|one) other (?:question|problem|issue|thing|trouble|matter|fault|query|concern|worry)\b|(?:and |my )?(?:one |the )?(?:last|final) (?:question|thing|one)\b|other question|ps\b|p\.s\.|by the way|btw|"
    r"and (?:another|one more|also|while|(?:a |my |the )?second)|while i'?m (?:here|at it)|oh and|unrelated|next|on another|and separately|different (?:topic|question|thing))",
)
# "Also, I have adjusted the screws, but that changed nothing" tells on; "also, I changed the pads and now they squeal" doesn't.
_ALSO_DONE = re.compile(
    r"^\W*(?:and )?also\W+(?:i|we)(?:['’]ve| have| had|['’]d)?\s(?:already |also |just |even )?(?:adjusted|tried|checked|cleaned|replaced|changed|swapped|tightened|"
    r"loosened|greased|regreased|oiled|lubed|measured|tested|turned|removed|refitted|fitted|moved|set|reset|looked|took|put)\b(?!.*\b(?:now|since)\b)"
)
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


def opens_another(sentence: str, asks: bool = False) -> bool:
    """Whether a lowered sentence opens a matter of its own; an ask in a list only where it names something."""
    mark = LIST_MARK.match(sentence)
    if not asks and _ALSO_DONE.match(sentence):
        return False
    if mark is None:
        return NEW_ASK.match(sentence) is not None or _ANNOUNCES.search(sentence) is not None
    if NEW_ASK.match(sentence[mark.end() :]) is not None:
        return True
    own = (names_a_part(sentence) or _NAMES_MORE.search(sentence)) and _ASKS_ON.match(
        sentence[mark.end() :]
    ) is None
    return (mark[1] or mark[2]) not in {"1", "a"} and bool(own or not asks)

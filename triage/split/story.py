"""The story of an ask that says nothing by itself: the sentences before it, or after it, that say what it is about."""

from __future__ import annotations

import re
from collections.abc import Sequence

from triage.split.asking import BARE_WISH, GREETING
from triage.split.headings import MOST_WORDS_OF_A_TITLE_LINE, is_a_heading, telling_words
from triage.split.openings import NEW_ASK, opens_another
from triage.split.sentences import LIST_MARK, lower_case
from triage.trade_words import names_a_part, tells_of_trouble

_AND_SO = re.compile(r"^\W*(?:so|and|but|ok|okay|now|well)\b\W*")
FEWEST_WORDS = 6
"""An ask shorter than this says nothing without the sentence before it: "Any ideas?", "Will it fit?"."""
_HOLLOW_ASK = re.compile(
    r"^\W*(?:any (?:idea|ideas|advice|thoughts|tips|suggestions|clue|help)|what (?:should|do|can|would|could) (?:i|you|we) (?:do|think|suggest|recommend|try)|"
    r"what(?:'s| is) (?:wrong|going on|happening|up)|what am i (?:missing|doing wrong|overlooking)|thoughts|is (?:this|that|it) (?:ok|okay|normal|safe|true|right|a problem|bad)|please help|help)\b[^.]{0,40}$|"
    # "Any ideas before I throw the frame away?", "Anyone else had similar trouble with rims?": what the matter is was told above.
    r"^\W*any (?:idea|advice|thought|tip|suggestion|clue|help)s?\b(?! (?:on|about|for|of|how|why|what|which|where|who|if|whether|regarding|as to|with)\b)[^.]*$|"
    r"^\W*(?:(?:has|have|did|does) )?any(?:one|body)(?: else)?(?: here)? (?:had|got|have|has|having|get|gets|experienced?|seen|see|came across|come across|noticed|with) (?:an?y? |the )?(?:similar|same|this|these|such|like)\b[^.]*$",
)
# "Do I need to change it?": what "it" is stands in the sentences before.
_POINTS_BACK = re.compile(r"\b(?:it|it's|its|this|that|them|they|these|those|both|either|one)\b")
MOST_POINTING_WORDS = 14
# "As this size is hard to find, …": a long ask that opens by pointing back. Must not catch "that" in "As that shop says".
_OPENS_BACK = re.compile(
    r"^\W*(?:(?:as|since|because|given that|now that) )?(?:this|these) (?:size|sizes|one|ones|kind|type|part|parts|tyre|tyres|tire|tires|wheel|wheels|rim|rims|hub|hubs|model|is|are|isn't|aren't)\b|"
    # "Is that because I shift badly, or are they all like it?"
    r"^\W*(?:is|was|are|were) (?:this|that|these|those) (?:happening|because|due|down|caused|just|something|likely|all|an?|the)\b|"
    # "Is this easy, and would it work if the inner ring were smaller?"
    r"^\W*(?:is|was|would|will|could|can) (?:this|that) (?:be )?(?:an? )?(?:easy|easily|hard|difficult|possible|worth|doable|feasible|realistic|work|done|go)\b"
)
# "He says that I can mend it with the spokes. Can I?": what may be done stands right before it.
_ECHO = re.compile(
    r"^\W*(?:so |and |but |well,? )?(?:can|could|may|might|should|shall|must|will|would|does|is|are) (?:i|we|he|she|it|they|that|this)\W*$"
)
LONGEST_STORY = 3
MOST_SENTENCES_OF_A_STORY = 5
"""As long as none names a part: "I am 92 kilos. My wife says a shop. I don't. Who is right?"."""
# "Any advice on the following would be welcome:" is told after it.
_POINTS_FORWARD = re.compile(
    r"\b(?:the following|as follows|here(?:'s| is) (?:the|my) (?:problem|story|situation|set-?up))\b|:\s*$"
)
_THE_FOLLOWING = re.compile(r"\b(?:on|about|with|for) the following\b(?! (?:day|morning|week|ride))")
MOST_WORDS_OF_AN_ITEM = 10


def with_its_title(group: list[int], sentences: Sequence[str]) -> list[int]:
    """The only ask of a message with its title, where it takes up a word of that: "the derailleur" is the front one of the title.

    An ask that names no part has the title's: "Carbon fork. … Can there be damage that I can't see?".

    A bare wish has besides the first sentence that tells what the trouble is, and so has what speaks of "this problem".
    """
    text = " ".join(sentences[index] for index in group)
    title, last = sentences[0], sentences[group[-1]]
    heads = set(group)
    if (
        title.rstrip(" \t").endswith("\n")
        and len(title.split()) <= MOST_WORDS_OF_A_TITLE_LINE
        and names_a_part(title)
        and not GREETING.match(title)
        and (telling_words(title) & telling_words(text) or not names_a_part(text))
    ):
        heads.add(0)
    is_bare = BARE_WISH.match(last.strip()) or _WISH_WITH_THANKS.match(last)
    speaks_of_it = _OF_THE_TROUBLE_TOLD.search(text) and not tells_of_trouble(text)
    if (is_bare or speaks_of_it) and not any(LIST_MARK.match(sentences[index]) for index in group):
        heads.update([index for index in range(group[-1]) if tells_of_trouble(sentences[index])][:1])
    return sorted(heads)


# "Which saddle would cure this problem?", "What do you reckon is wrong, and can I mend it?": the trouble was told above. Must not
# catch "what is wrong with my rim" or "the problem of which saddle to take", which say it themselves.
_OF_THE_TROUBLE_TOLD = re.compile(
    r"\b(?:this|that|these|those|such an?|the same|my|our) (?:\w+ )?(?:issue|problem|fault|trouble|symptom|defect|malfunction)s?\b(?! (?:is|was|are|were|with|of)\b)|"
    r"\bwhat(?:['’]s| is| was| could be| might be| may be| can be| (?:do|would|might|could) you (?:think|reckon|say|suppose|suspect|guess) (?:is|was|might be|could be|may be|went))"
    r" (?:going )?(?:wrong|amiss|to blame|at fault|the (?:matter|trouble|cause|culprit))\b(?! (?:with|in|at|to|of|for)\b)"
)
_WISH_WITH_THANKS = re.compile(
    r"^\W*any (?:and all )?(?:help|input|pointers?|guidance|assistance|insights?|info|information|feedback|advice|ideas|thoughts|tips|suggestions)\b(?! (?:on|about|how|for|regarding)\b)"
    r"[^.?!]{0,60}\b(?:appreciated|welcomed?|received|great|please)\b"
)


def _choices_told(place: int, asks: Sequence[int], sentences: Sequence[str]) -> list[int]:
    """The numbered choices that a bare wish closes, and what announces them: "I could 1. … 2. … Does anyone have any advice?"."""
    if not BARE_WISH.match(sentences[place].strip()):
        return []
    items = [index for index in range(place) if index not in asks and LIST_MARK.match(sentences[index])]
    if len(items) < FEWEST_CHOICES:
        return []
    before = items[0] - 1
    return items if before < 0 or before in asks or GREETING.match(sentences[before]) else [before, *items]


FEWEST_CHOICES = 2


def is_hollow(ask: str) -> bool:
    """Whether a lowered ask says nothing by itself: "Any ideas?"."""
    return _HOLLOW_ASK.match(ask.strip()) is not None


def ends_hollow(ask: str) -> bool:
    """Whether a lowered ask says nothing by itself, or only tells before its last comma: "it stands outdoors, any ideas?"."""
    before, _, last = ask.strip().rpartition(",")
    return is_hollow(ask) or (bool(before) and "?" not in before and is_hollow(last))


def with_its_story(group: list[int], asks: Sequence[int], sentences: Sequence[str]) -> list[int]:
    """A bare ask with up to three sentences before it, back to the ask before that."""
    choices = _choices_told(group[-1], asks, sentences)
    if choices:
        return sorted({*group, *choices})
    group = sorted({*group, *(index - 1 for index in group if index > 0 and _ECHO.match(sentences[index]))})
    text = " ".join(sentences[i] for i in group).strip()
    words = len(text.split())
    bare = (
        words < FEWEST_WORDS * len(group)
        or bool(_HOLLOW_ASK.match(text))
        or (len(group) > 1 and is_a_heading(group[:1], group[1], sentences))
    )
    # "How would you go about this? Could I have bent the arms?": the first of them opens what the others ask on about.
    points_back = any(_points_back(_asking_clause(asked)) for asked in (text, sentences[group[0]].strip()))
    points_back = points_back or bool(_OPENS_BACK.match(text))
    # "Is there an easy way to fix this, or does it take a whole evening": no word in it says what is broken.
    names_nothing = not names_a_part(text)
    first = sentences[group[0]]
    if len(group) > 1 and group[0] == 0 and group[1] > 1 and len(first.split()) < FEWEST_WORDS:
        # "Will she live? The stem turned twice. … Do stems wear out?": the heading is answered by what stands behind it.
        behind = [] if names_a_part(first) else _told_after(0, asks, sentences)
        group = sorted({*group, *behind})
    if len(group) > 1 and group[0] > 0 and not names_a_part(first):
        # "What should I do? Look for a wider ring, if they exist?": that a later one names a part tells no story.
        bare = bare or bool(_HOLLOW_ASK.match(_AND_SO.sub("", first.strip())) or BARE_WISH.match(first))
        # "Is it worth it? Has anyone tried these hubs?", "Would I feel that? Is a sleeve as stiff as a bearing?": what it is was told before either.
        bare = bare or len(first.split()) < FEWEST_WORDS
        names_nothing = names_nothing or len(first.split()) >= FEWEST_WORDS
    if LIST_MARK.match(sentences[group[0]]) and words <= MOST_WORDS_OF_AN_ITEM * len(group):
        # "2) Do I need new tyres? They are six years old.": what it is about stands behind it.
        behind = _told_after(group[0], asks, sentences) or _told_after(group[-1], asks, sentences)
        if behind:
            return sorted({*group, *behind})
    group = _with_what_they_point_at(group, asks, sentences)
    if _THE_FOLLOWING.search(sentences[group[-1]]):
        return sorted({*group, *_what_follows(group[-1], asks, sentences)})
    if opens_another(sentences[group[0]], asks=True):
        return sorted({*group, *_told_of_it_behind(group[-1], asks, sentences)})
    if not (bare or points_back or names_nothing):
        return group
    ahead = [index for index in group if _POINTS_FORWARD.search(sentences[index])]
    follows = _what_follows(ahead[-1], asks, sentences) if names_nothing and ahead else []
    if follows and (ahead[-1] == group[-1] or any(names_a_part(sentences[index]) for index in follows)):
        return sorted({*group, *follows})
    told = _told_before(group[0], asks, sentences)
    if not told and (names_nothing or group[0] == 0):
        told = _told_before(group[-1], asks, sentences)
    if group[0] == 0:
        after = _told_on(_told_after(group[0], asks, sentences), asks, sentences)
        if not after and not told and _HOLLOW_ASK.match(first):
            # "Please help! It happened again on Sunday.": no part is named in the whole of it.
            after = _what_follows(group[0], asks, sentences)
        told = [*told, *after]
    return sorted({*told, *group})


def _points_back(clause: str) -> bool:
    return len(clause.split()) <= MOST_POINTING_WORDS and bool(_POINTS_BACK.search(clause))


def _with_what_they_point_at(group: list[int], asks: Sequence[int], sentences: Sequence[str]) -> list[int]:
    """ "Which link fits? A hairpin holds one of its pins. How do I take this out?": what a later ask points at stands between."""
    pointed = [
        index - 1
        for index in group[1:]
        if index - 1 not in asks
        and (
            _STATES_A_THEORY.search(sentences[index - 1])
            or (
                not names_a_part(sentences[index])
                and _POINTS_BACK.search(sentences[index])
                and (names_a_part(sentences[index - 1]) or _BEGINS_WITH_THESE.match(sentences[index]))
            )
        )
        and not opens_another(sentences[index - 1])
        and not GREETING.match(sentences[index - 1])
    ]
    return sorted({*group, *pointed})


# "All that I can find are 50 or 53. These should work, right?": what they are stands right before it, whatever it is called.
_BEGINS_WITH_THESE = re.compile(r"^\W*(?:so |and |would |will |do |are |should )?(?:these|those|they)\b")
# "Does it happen often? I figured that pedalling backwards undoes it. Could that be it?": a theory is asked about with the rest.
_STATES_A_THEORY = re.compile(
    r"\b(?:i|we)(?:['’](?:ve|d|m))?\s(?:(?:had|have|am|was|now|then|just|also|did|do)\s)?(?:figured?|suspect(?:ed|ing)?|guess(?:ed|ing)?|reckon(?:ed)?|assum(?:e|ed|ing)|presum(?:e|ed|ing))\b|"
    r"\bmy (?:own )?(?:theory|guess|suspicion|hunch)\b"
)


def _told_after(place: int, asks: Sequence[int], sentences: Sequence[str]) -> list[int]:
    """What an ask that opens a message or an item of a list points at, the first sentence after it that names a part: "Is this wear? …"."""
    for index in range(place + 1, min(place + 1 + LONGEST_STORY, len(sentences))):
        if index in asks or opens_another(sentences[index]):
            break
        if names_a_part(sentences[index]) and not GREETING.match(sentences[index]):
            return [index]
    return []


_ON_THE_SAME = re.compile(r"^\W*(?:the|it|this|that|if|when|only)\b")


def _told_on(told: list[int], asks: Sequence[int], sentences: Sequence[str]) -> list[int]:
    """ "Hub trouble? There is a grinding from the hub. The grinding comes when I coast.": when it comes belongs to it."""
    told = list(told)
    while told and len(told) < LONGEST_STORY and told[-1] + 1 < len(sentences):
        index = told[-1] + 1
        if (
            index in asks
            or opens_another(sentences[index])
            or _ON_THE_SAME.match(sentences[index]) is None
            or not telling_words(sentences[index]) & telling_words(sentences[told[0]])
        ):
            break
        told.append(index)
    return told


def _told_of_it_behind(place: int, asks: Sequence[int], sentences: Sequence[str]) -> list[int]:
    """ "Also, any tips for my shifting? It is crisp for a week and then goes off.": a second ask has its story behind it."""
    behind = place + 1
    if (
        behind >= len(sentences)
        or behind in asks
        or len(sentences[place].split()) > MOST_POINTING_WORDS
        or _OPENS_ON_IT.match(sentences[behind]) is None
        or opens_another(sentences[behind])
    ):
        return []
    return [behind]


def _what_follows(place: int, asks: Sequence[int], sentences: Sequence[str]) -> list[int]:
    """The sentences that an ask announces, up to the next ask or what opens another matter."""
    told: list[int] = []
    for index in range(place + 1, min(place + 2 + LONGEST_STORY, len(sentences))):
        if index in asks or (NEW_ASK.match(sentences[index]) and opens_another(sentences[index])):
            break
        told.append(index)
    return told


_OPENS_ON_IT = re.compile(r"^\W*(?:(?:and|but|so|then|now) )?(?:it|it's|they|this|that|these|those|he|she)\b")
MOST_OPENINGS = 2
# "Which is it, and what torque?": what stands before the comma asks as well.
_POINTS_AND_ASKS = re.compile(
    r"^\W*(?:so\s)?(?:which|what|who|why|how|where|is|are|was|does|do|should|can)\b(?!.*\bbut\b)"
)


def _asking_clause(text: str) -> str:
    """The end of an ask whose beginning names no part: "I know it loosens drawers, but how is it on chains?"."""
    before, _, last = text.rpartition(",")
    return (
        last
        if before and not names_a_part(before) and not _POINTS_AND_ASKS.match(lower_case(before))
        else text
    )


def _told_before(place: int, asks: Sequence[int], sentences: Sequence[str]) -> list[int]:
    """Up to three sentences before a place, more where none of them names a part, back to an ask, a greeting or what opens another matter."""
    told: list[int] = []
    telling = 0
    for index in range(place - 1, max(place - 1 - MOST_SENTENCES_OF_A_STORY, -1), -1):
        if (len(told) >= LONGEST_STORY and telling) or index in asks or GREETING.match(sentences[index]):
            break
        told.insert(0, index)
        telling += names_a_part(sentences[index])
        if opens_another(sentences[index]):
            break
    # "It rubs once a turn" opens no story: what "it" is stands in the sentence before, or in the one before that.
    for _ in range(MOST_OPENINGS):
        if not told or _OPENS_ON_IT.match(sentences[told[0]]) is None:
            break
        index = told[0] - 1
        if (
            index < 0
            or index in asks
            or GREETING.match(sentences[index])
            or opens_another(sentences[told[0]])
        ):
            break
        told.insert(0, index)
    # A story's first sentence says what happened: it isn't left out for being one too many.
    if len(told) >= LONGEST_STORY:
        for first in dict.fromkeys((_first_of_the_story(sentences), 0)):
            if told[0] == first + 1 and _opens_a_story(first, sentences, asks):
                told.insert(0, first)
    return told


def _first_of_the_story(sentences: Sequence[str]) -> int:
    """The first sentence below a title in a line of its own, which ends in no full stop; without one, the first of all."""
    has_a_title = (
        len(sentences) > 1
        and sentences[0].rstrip(" \t").endswith("\n")
        and not sentences[0].rstrip().endswith(".")
        and len(sentences[0].split()) <= MOST_WORDS_OF_A_TITLE_LINE
    )
    return 1 if has_a_title else 0


def _opens_a_story(first: int, sentences: Sequence[str], asks: Sequence[int]) -> bool:
    return (
        first not in asks and not GREETING.match(sentences[first]) and not opens_another(sentences[first + 1])
    )

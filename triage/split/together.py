"""Which asks of a message belong together: follow-ons, guesses, lists of causes."""

from __future__ import annotations

import re
from collections.abc import Sequence

from triage.split.asking import ASKS, BARE_WISH
from triage.split.headings import is_a_heading, is_a_title, telling_words
from triage.split.openings import opens_another
from triage.split.sentences import LIST_MARK
from triage.split.story import is_hollow
from triage.trade_words import names_a_part, parts_named, speaks_of_a_bicycle

# A follow-on asks about the same thing: "If not, what would?", "Or should I …", "Why?", "Is it safe?"
_FOLLOW_ON = re.compile(
    r"^\W*(?:or\b|if (?:not|so|yes)|if (?:it|that|this|they) (?:is|are|do|does|has|have)(?: not|n['’]t)\b|and if|why\b|how come|and why|what else|anything else|is (?:it|that|this)\b|"
    # "And is this something to fear for my rims?", "Anyhow, is it dangerous to go on?"
    r"(?:and|so|but|anyhow|anyway|either way)\W+(?:is|are|was|will|would|does|do|can|could) (?:it|that|this|these|those|they)\b|"
    r"are they\b|will (?:it|that|this|they)\b|would (?:it|that|this|they)\b|does (?:it|that|this)\b|do they\b|can (?:it|that|they)\b|"
    r"should i\b|what (?:should|can|do|would) i\b|what would\b|what now|any (?:idea|ideas|advice|thoughts|tips|suggestions|help|input|pointers|clues?)\b|(?:(?:now|so|and|but)\W+)*how (?:did|does|could|can|would) (?:it|that|this)\b|"
    r"which (?:one|ones|is|would|order)\b|in what order\b|where (?:do|should|would) i (?:start|look|begin)\b|"
    r"do (?:you|we|people) (?:think|reckon) (?:it|that|this|they|i|we)\b|"
    r"thoughts|help|please|how (?:do|can|would) i (?:fix|cure|stop|solve|sort|tell|check)|am i\b|have i\b|did i\b|could (?:it|that|this)\b|(?:could|can|may|might) (?:i|we) have\b|"
    r"safe\b|ok to\b|worth it|"
    # "Clearly the axle sets the width, so is it possible to get a shorter one" thinks on aloud.
    r"(?:clearly|obviously|presumably|alternatively|failing that)\b|"
    # "My question is, will it hold" says again what was asked above; "my other question is" doesn't.
    r"(?:so |anyway,? |and so )?(?:(?:my|the|our) (?:actual |real |main |basic |simple |burning |big |biggest |key |only )?)?question (?:is|was)\b|"
    # "How many times in your riding life has your fit changed?" polls the readers about what was asked.
    r"how many times (?:have you|has anyone|in your)\b|what(?:'s| is| has been| have been) your (?:own )?(?:experiences?|take|view|opinion)\b|am i the only\b|(?:has|have|is|does) anyone else\b|"
    # "Would a ribbed one be better in this case?"
    r"(?:would|will|might|could)\b[^?]{3,70}\b(?:be|do|work|help) (?:any )?(?:better|more|best|well|right|enough) (?:in|for|under|with) (?:this|that|these|those|such)\b|"
    # "In other words, isn't it for beginners?" says once more what was asked.
    r"(?:so,? )?(?:in other words|i\.e\.|that is to say|put another way|to put it (?:simply|another way|differently)|basically)\b)",
)


def grouped(asks: Sequence[int], sentences: Sequence[str]) -> list[list[int]]:
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
# "Also, has anyone done the same and how did it go?": others are asked about what was asked before.
_OTHERS_DID_THE_SAME = re.compile(
    r"^\W*(?:(?:and|also|so)\b\W*)*(?:has|have|did) any(?:one|body)(?: else)?(?: here)? (?:ever )?(?:done|tried|did|do|try|attempted|managed) "
    r"(?:(?:something|anything) )?(?:similar|this|that|it|the same|likewise)\b"
)
# "How is the hub set? I've seen a film of it, but I'm still unsure how tight.": the doubt that stays is about what was asked.
_STILL_UNSURE = re.compile(
    r"\bstill (?:(?:really|quite|a bit|very|totally|completely) )?(?:unsure|unclear|uncertain|undecided|confused|puzzled|wondering|baffled|in the dark|not (?:sure|clear|certain))\b|"
    r"\bstill (?:do not|don['’]?t|can['’]?t|cannot|did not|didn['’]?t) (?:really |quite |fully )?(?:know|get|see|understand|follow|work out|tell)\b"
)
# "Any clues? Can the axle be turned in its hub?": the concrete ask right behind a hollow one, about what was told before both.
LONGEST_STORY = 4
# "How tight is the cap? And the two pinch bolts?": without a verb it asks the same of something else.
_AND_ANOTHER_PART = re.compile(
    r"^\W*(?:and|or)\s(?:(?:do|should|must|can|may)\s(?:i|we)\s(?:need|use|have|put)\b(?:\s\w+){0,2}\W*$|(?:the|for|my|on|in|with|what about|how about|at)\b)(?!.*\b(?:is|are|do|does|can|could|should|will|would|how|which|why|when)\b)"
)


# "Are the rims strong enough and what pressure?": however short, it is another matter than strength.
_ASKS_FOR_AIR = re.compile(r"^\W*and what (?:tyre |tire )?(?:psi|pressures?)\b")
_OF_AIR = re.compile(r"\b(?:psi|bar|pressures?|pump\w*|inflat\w*|tubeless|tubes?|air|t[iy]res?)\b")


# "Can I service them at home, and how do I get the axle out?": two asks of one sentence stay together.
_AND_ASKS_ON = re.compile(r"^and (?:how|what|which|where|when)\b")


def _goes_on_in_the_sentence(before: str, sentence: str) -> bool:
    return _AND_ASKS_ON.match(sentence) is not None and before.rstrip()[-1:] not in ".?!"


def _goes_with(group: Sequence[int], index: int, sentences: Sequence[str]) -> bool:
    """Whether an ask follows on the one before it and nothing between them opens another."""
    if (
        index == group[-1] + 1
        and _ALSO_OF_THE_SAME.match(sentences[index])
        and (len(sentences[index].split()) <= MOST_WORDS_OF_THE_SAME or _ALSO_HAPPENS.match(sentences[index]))
    ):
        return True
    if _OTHERS_DID_THE_SAME.match(sentences[index]) and not names_a_part(sentences[index]):
        return True
    if _asks_also_about_the_same(group, sentences[index], sentences):
        return True
    if index == group[-1] + 1 and _goes_into_the_same(sentences[group[-1]], sentences[index]):
        return True
    if _is_an_idea_of_a_list(group[-1], index, sentences):
        return True
    if _ASKS_FOR_AIR.match(sentences[index]) and not any(_OF_AIR.search(sentences[i]) for i in group):
        return False
    if index == group[-1] + 1 and _goes_on_in_the_sentence(sentences[group[-1]], sentences[index]):
        return True
    if (
        opens_another(sentences[index], asks=True)
        or _is_a_dummy_of_other_parts(group, index, sentences)
        or _asks_for_the_knack(group[-1], index, sentences)
    ):
        return False
    if any(opens_another(sentences[place]) for place in range(group[-1] + 1, index)):
        return False
    sentence = LIST_MARK.sub("", sentences[index])
    if _AND_ANOTHER_PART.match(sentence) and len(sentence.split()) <= MOST_WORDS_OF_THE_SAME:
        return True
    if _STILL_UNSURE.search(sentence) and parts_named(sentence) <= parts_named(" ".join(sentences[:index])):
        return True
    if _ends_the_choices(group[-1], index, sentences):
        return True
    if index == group[-1] + 1 and _is_put_again(sentences[group[-1]], sentence):
        return True
    if _asks_on_of_the_same(group, index, sentences):
        return True
    if index > group[-1] + 1 and _ABOUT_WHAT_CAME.match(sentence) and names_a_part(sentences[index - 1]):
        return False
    if _is_of_other_parts(group, index, sentences):
        return False
    if index == group[-1] + 1 and _takes_up_the_story(group, sentence, sentences):
        return True
    return (
        len(sentence.split()) <= 4
        or is_a_heading(group, index, sentences)
        or is_a_title(group, index, sentences)
        or _says_nothing_by_itself(group, index, sentences)
        or _is_a_guess(group, index, sentences)
        or _FOLLOW_ON.match(sentence) is not None
        or not speaks_of_a_bicycle(sentence)
    )


# "How do I get it off? What I've thought of: 1) heat, 2) isn't there a puller?": ways out, counted below what was asked.
_HEADS_IDEAS = re.compile(
    r"^\W*(?!.*\bquestions?\b)(?:[\w'’]+ ){0,4}(?:ideas?|thoughts?|theor(?:y|ies)|options?|guess(?:es)?|suspects?|(?:possible )?causes|thought of|tried|considered)\b[^.?!:]{0,30}:\s*$"
)


def _is_an_idea_of_a_list(place: int, index: int, sentences: Sequence[str]) -> bool:
    """Whether a counted ask stands below a heading of the writer's own ideas on what was asked before it."""
    return LIST_MARK.match(sentences[index]) is not None and any(
        _HEADS_IDEAS.match(text) for text in sentences[place + 1 : index]
    )


# "Is it possible to get a gauge for them?": here "it" points at nothing.
_DUMMY = re.compile(
    r"^\W*(?:(?:and|so|but) )?(?:is|would|will) it (?:be )?(?:possible|ok|okay|safe|worth|necessary|normal|usual|better|best|easy|hard|wise|a good idea) (?:to|for)\b"
)


def _is_a_dummy_of_other_parts(group: Sequence[int], index: int, sentences: Sequence[str]) -> bool:
    """Whether an ask opens a paragraph as if it followed on, and names a part that nothing before it named."""
    if not sentences[index - 1].endswith("\n\n") or _DUMMY.match(sentences[index]) is None:
        return False
    told = parts_named(" ".join(sentences[: group[-1] + 1]))
    return bool(told) and not parts_named(sentences[index]) <= told


# "They say it goes on by hand. I always need a lever. What's the trick?"
_KNACK = re.compile(
    r"^\W*(?:so |and |but )?(?:what(?:['’]s| is) the (?:secret|trick|knack|technique)|how (?:do|does) (?:you|people|others|they|everyone|everybody|anyone) (?:do|manage) (?:it|that|this))\b[^?]{0,20}\?"
)


def _asks_for_the_knack(place: int, index: int, sentences: Sequence[str]) -> bool:
    """Whether a short ask closes a paragraph of its own, which names the part that it is about."""
    if _KNACK.match(sentences[index]) is None:
        return False
    between = sentences[place:index]
    breaks = [number for number, text in enumerate(between) if text.endswith("\n\n")]
    return bool(breaks) and any(names_a_part(text) for text in between[breaks[-1] + 1 :])


def _is_hollow_with_guesses(group: Sequence[int], sentences: Sequence[str]) -> bool:
    """ "What do you think? A dab of varnish?": a hollow ask, with nothing behind it but what might be done."""
    return is_hollow(sentences[group[0]]) and all(
        not ASKS.match(sentences[place]) and not names_a_part(sentences[place]) for place in group[1:]
    )


_ALSO = re.compile(r"^\W*(?:and )?also\b")


def _asks_also_about_the_same(group: Sequence[int], sentence: str, sentences: Sequence[str]) -> bool:
    """ "Can I get the rack's hardware elsewhere? Also, which hardware?": without a part of its own it takes up what was asked."""
    asked = " ".join(sentences[place] for place in group)
    return (
        _ALSO.match(sentence) is not None
        and not names_a_part(sentence)
        and names_a_part(asked)
        and not telling_words(asked).isdisjoint(telling_words(sentence))
    )


# "Can anyone recommend a hub that would do?" behind "will this hub fit the frame?".
_RECOMMENDS = re.compile(
    r"^\W*(?:and |or |so )?(?:can|could|would|does|do|has|have) (?:any(?:one|body)|some(?:one|body)|you)(?: \w+)? (?:recommend|suggest)(?:ed|ions?)?\b"
)


def _goes_into_the_same(before: str, sentence: str) -> bool:
    """ "I'm trying to work out which hub to take. Will a wide hub fit?": the wish first, and what it comes down to right behind it."""
    named, parts = parts_named(before), parts_named(sentence)
    if "?" not in before and named and named <= parts:
        return True
    return bool(parts) and parts <= named and _RECOMMENDS.match(sentence) is not None


def _takes_up_the_story(group: Sequence[int], sentence: str, sentences: Sequence[str]) -> bool:
    """Whether all that was asked is hollow, or names no part, and the next ask names what was told before it."""
    if not all(BARE_WISH.match(sentences[place]) for place in group) and not _is_hollow_with_guesses(
        group, sentences
    ):
        return False
    told = " ".join(sentences[max(group[0] - LONGEST_STORY, 0) : group[0]])
    return not (
        telling_words(told).isdisjoint(telling_words(sentence))
        and parts_named(told).isdisjoint(parts_named(sentence))
    )


# "Narrow or wide tyres on ice? Narrow ones press harder, right? Which tyre do you think is best?": a guess at the answer, and the
# same ask once more. Must not catch "Which chain do you recommend?" behind an ask about brakes.
_GUESSES = re.compile(r",\s(?:right|correct|no|yes|isn'?t it|aren'?t they|doesn'?t it|don'?t they)\s?\?\W*$")
_WHICH_IS_BEST = re.compile(
    r"^\W*(?:so |and )?which\b[^?]{0,60}\b(?:do|would) you (?:think|say|reckon|choose|pick|go for|prefer)\b|"
    r"^\W*(?:so |and )?which\b[^?]{0,60}\b(?:is|are|works?|would be) (?:the )?(?:best|better)\b"
)


# "Anyone had the thread strip off an axle? … The thread has stripped, but why?"
_BUT_WHY = re.compile(r"\b(?:but|and|so) why\W*\?\W*$")


# "Can a cracked ball do that? Could the bearings just need tightening up?" guesses at the cause of what was asked about. Must not
# catch "could I fit", nor "could the hub take a disc", which ask what may be done with it.
_GUESSES_AT_THE_CAUSE = re.compile(
    r"^\W*(?:or |and )?(?:could|might|may|can) (?:it|that|this|there|the|my|a|an)\b[^?]{0,40}?\b(?:just |simply |only |also |merely )?"
    r"(?:be (?:that|too|just|the|loose|worn|bent|faulty|to blame|due|because|down)|need|want|have (?:been|come|gone|worked|got)|cause)\b"
)


# "Would a deep rim be stronger? Any views? Is there a better rim for this hub?"
_IS_THERE_A_BETTER = re.compile(
    r"^\W*(?:or |and |so )?(?:is|are) there (?:an?y? |some )?(?:\w+ )?(?:better|stronger|cheaper|lighter|stiffer|alternative|more \w+)\b"
)


def _asks_on_of_the_same(group: Sequence[int], index: int, sentences: Sequence[str]) -> bool:
    """Whether a guess at the answer or the cause, a choice, a wish for better or a last "but why?" names no part that was not asked about."""
    guesses = (
        index == group[-1] + 1 and _GUESSES.search(sentences[index]) and not ASKS.match(sentences[index])
    )
    on = (
        _WHICH_IS_BEST.match(sentences[index])
        or _BUT_WHY.search(sentences[index])
        or _GUESSES_AT_THE_CAUSE.match(sentences[index])
        or _IS_THERE_A_BETTER.match(sentences[index])
    )
    if not guesses and not on:
        return False
    asked = " ".join(sentences[place] for place in group)
    return parts_named(sentences[index]) <= parts_named(asked)


MOST_WORDS_THAT_SAY_NOTHING = 5
_POINTS = re.compile(r"\b(?:it|this|that|these|those|they|them|one)\b")
_ASKS_WITH_A_VERB = re.compile(
    r"^\W*(?:will|is|are|am|can|could|has|have|did|does|what|who|why|how|should)\b"
)


def _says_nothing_by_itself(group: Sequence[int], index: int, sentences: Sequence[str]) -> bool:
    """ "Will she live? The stem turned twice, … Do stems wear out?": such a heading asks what is asked below it."""
    opening = sentences[group[0]]
    return (
        group[0] == 0
        and len(group) == 1
        and index > 1
        and "?" in opening
        and _ASKS_WITH_A_VERB.match(opening) is not None
        and len(opening.split()) <= MOST_WORDS_THAT_SAY_NOTHING
        and not speaks_of_a_bicycle(opening)
        and _POINTS.search(opening) is None
    )


_JOINS = re.compile(r"^\W*(?:or|and|if|why|so|then|but|what)\b|\b(?:too|as well|instead|either|also)\b")


def _is_of_other_parts(group: Sequence[int], index: int, sentences: Sequence[str]) -> bool:
    """ "Is the tyre too old?", and in the next paragraph "Should I change the pedals?": however it opens, it follows on nothing."""
    if not sentences[index - 1].endswith("\n\n") or _JOINS.search(sentences[index]):
        return False
    parts = parts_named(sentences[index])
    told = parts_named(" ".join(sentences[group[0] : index]))
    return bool(parts) and bool(told) and parts.isdisjoint(told)


# "Do I start again? Take the chain off and wash it?": right behind an ask, what could be done, put as one more.
_PROPOSES = re.compile(
    r"^\W*(?!.*\b(?:how|what|which|why|when|where)\b)(?:or |and |just |simply |maybe |perhaps )*(?:take|put|fit|change|replace|swap|leave|clean|degrease|wipe|strip|get|buy|try|bin|throw|keep|cut|file|"
    r"sand|tighten|loosen|send|return|adjust|grease|oil|shim|glue|weld|drill|learn to live|live with|ignore|wait|stick|go back|go for)\b[^?]*\?\W*$"
)
_FIRST_WORDS = re.compile(r"^\W*([\w']+ [\w']+)")


def _is_put_again(before: str, sentence: str) -> bool:
    """ "What's the hard part? What's the hard part of learning this brake?", or what could be done about it."""
    if "?" not in before:
        return False
    if _PROPOSES.match(sentence):
        return True
    one, other = _FIRST_WORDS.match(before), _FIRST_WORDS.match(sentence)
    same = one is not None and other is not None and one[1] == other[1]
    return same and not speaks_of_a_bicycle(before) and len(before.split()) <= MOST_WORDS_OF_A_CHOICE


# "So what should I do? Ride it free. Build a new hub in. Find a wider ring, if they exist?": what could be done, one a sentence.
_WHAT_TO_DO = re.compile(
    r"\bwhat (?:should|can|could|would|do|shall) (?:i|we|you)\s(?:do|try)\b[^?]{0,24}\?\W*$"
)
_TELLS = re.compile(r"\b(?:i|i'm|i've|we|he|she|they|is|are|was|were|has|have|had|my|it's|also)\b")
MOST_WORDS_OF_A_CHOICE = 9


def _ends_the_choices(place: int, index: int, sentences: Sequence[str]) -> bool:
    """Whether an ask is the last of the things that could be done, told in short sentences without a subject."""
    between = sentences[place + 1 : index]
    return (
        bool(between)
        and _WHAT_TO_DO.search(sentences[place]) is not None
        and all(
            len(text.split()) <= MOST_WORDS_OF_A_CHOICE and _TELLS.search(text) is None for text in between
        )
    )


_WHAT_IS_IT = re.compile(
    r"\b(?:what(?:'s| is| could| can| might| may)? (?:it|wrong|this|that|be|cause\w*|happen\w*|going on)\b|what(?:'s| is) (?:the )?(?:cause|matter|problem)\b|why\b)"
)
_NO_GUESS = re.compile(
    r"\b(?:how|what|why|which|who|when|where|can|could|should|shall|will|would|do|does|did|is|are|any|best|recommend\w*|i|we|for)\b"
)
MOST_WORDS_OF_A_GUESS = 8


# "What happened? Did the bolt let go? Had I knocked it?": yes or no, about what was.
_OF_WHAT_WAS = re.compile(r"^\W*(?:or |and )?(?:did|was|were|had|might|may)\b")
_WHAT_HAPPENED = re.compile(r"\b(?:what|why|how)\b[^?]{0,60}\b(?:happen\w*|did|was|were|went|came)\b")


# "I wonder if the frost did it. Maybe because it stood indoors before. Cables shrinking perhaps?": a guess behind a guess.
_THINKS_ON = re.compile(r"^\W*(?:or |and )?(?:maybe|perhaps|possibly|might it|could it)\b")
_ENDS_AS_A_GUESS = re.compile(r"^[^?]{3,60},?\s(?:perhaps|maybe|possibly)\s?\?\W*$")


def _is_a_guess(group: Sequence[int], index: int, sentences: Sequence[str]) -> bool:
    """ "What is it? Worn rings? Rings turned the wrong way round?": right behind it, without a verb, is no ask of its own."""
    if index != group[-1] + 1:
        between = sentences[group[-1] + 1 : index]
        return _ENDS_AS_A_GUESS.search(sentences[index]) is not None and all(
            _THINKS_ON.match(text) for text in between
        )
    if _OF_WHAT_WAS.match(sentences[index]) and any(_WHAT_HAPPENED.search(sentences[i]) for i in group):
        return True
    return _is_without_a_verb(sentences[index]) and (
        any(_WHAT_IS_IT.search(sentences[place]) for place in group)
        or all(_is_without_a_verb(sentences[place]) for place in group)
    )


def _is_without_a_verb(sentence: str) -> bool:
    return len(sentence.split()) <= MOST_WORDS_OF_A_GUESS and _NO_GUESS.search(sentence) is None

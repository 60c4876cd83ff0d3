"""Sift: what is no question for this desk, told apart from what is one and has no answer here yet."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from triage.records import Question
from triage.sorter import Sorted
from triage.trade_words import (
    asks_about_a_bicycle,
    asks_to_buy,
    draws_a_conclusion,
    has_an_engine,
    names_a_part,
    offers_for_sale,
    speaks_of_a_bicycle,
    speaks_of_another_vehicle,
    tells_of_a_try_in_vain,
    tells_of_trouble,
    works_on_another_vehicle,
)

LEAST_OUTSIDE = 0.25
"""From here on a message that seemed to ask is set aside: a question missed costs more than one looked at."""
LEAST_OUTSIDE_OF_A_BICYCLES_PART = 0.6
"""The same for a question with its mark that names a part, in a message about a bicycle: of 612 real asks five fewer are set aside,
of 65 that are none two more are kept."""
LEAST_OUTSIDE_FOR_AN_ASK = 0.85
"""The same for a message that names a bicycle's part and asks what to do about it: it takes more to set that aside."""
MOST_OUTSIDE, MOST_OUTSIDE_OF_A_BICYCLE = 0.05, 0.08
"""Up to here a message without an ask is taken for one, some riders state their trouble and stop; and where it names a part."""
MOST_OUTSIDE_OF_A_DANGER = 0.6
"""The same where it tells of a danger: a person who looks in vain costs less than one that nobody answers. Of 724 real messages two more
are taken up than up to 0.3, both of them ours."""
SURE_OF_ITS_BRIEF, MOST_OUTSIDE_OF_WHAT_IS_SURE = 0.6, 0.25
"""The same for who tells of a part's trouble that so surely is one of those that are answered: "second gear slips, it sucks".
Of 500 real messages three more are taken up, two of them ours."""
MOST_OUTSIDE_OF_TROUBLE = 0.15
"""The same for who tells of a part's trouble and asks nothing: of 440 real messages three more are taken up, all of them ours."""
NEVER_OUTSIDE, FEWEST_QUESTIONS_OF_ONE_WHO_ASKS = 1.1, 3
"""Whoever asks so often about parts that they name tells no tale, however long it is: the answer is a draft or a person's. Nor does
who asks and tells of a danger to a bicycle."""
LEAST_OUTSIDE_OF_ANOTHER_VEHICLE = 0.015
"""From here on an ask about the part of a car or a pram is set aside: the sorter knows little but bicycles to liken it to."""
FEWEST_WORDS = 6
"""A shorter message without an ask is taken up only where it names a part and its trouble."""
WANTS_NO_ANSWER = frozenset({"price", "spam", "race-chat"})
"""Who sells or sums up has trouble that is told in passing, and asks nothing of a mechanic: "some rust, what would it fetch?"."""
POLITE = frozenset({"praise", "thanks"})
"""Who thanks beforehand asks all the same: "how do I clean a chain? Thank you"."""
NEVER_SIFTED = frozenset({"automatic-reply", "bounce", "bulk", "closer", "not-english", "too-long"})
KINDS_AS_FLAGS = {
    "praise": "praise",
    "thanks": "thanks",
    "banter": "banter",
    "joke": "closer",
    "spam": "spam",
    "other-subject": "other-subject",
    "price": "price",
    "race-chat": "banter",
    "abuse": "abuse",
    "automatic-reply": "automatic-reply",
    "personal": "personal",
    "correction": "correction",
    "story": "story",
}


def sift(questions: Sequence[Question], sorted_: Sorted) -> list[Question]:
    """Set aside banter, praise, thanks and spam, and take up trouble that was told without a question."""
    kinds = [label.split("/")[-1] for label in sorted_.outside_labels()]
    likeliest = sorted_.outside_chances.argmax(axis=1) if kinds else [0] * len(questions)
    surest = sorted_.chances.max(axis=1)
    return [
        _sifted(
            question, float(outside), kinds[kind] if kinds else "", sure=bool(chance >= SURE_OF_ITS_BRIEF)
        )
        for question, outside, kind, chance in zip(questions, sorted_.outside, likeliest, surest, strict=True)
    ]


def _sifted(question: Question, outside: float, kind: str, *, sure: bool) -> Question:
    if NEVER_SIFTED.intersection(question.flags):
        return question
    if question.is_question and (
        has_an_engine(question.text, question.context)
        or works_on_another_vehicle(question.text, question.context)
        or (
            outside >= LEAST_OUTSIDE_OF_ANOTHER_VEHICLE
            and speaks_of_another_vehicle(question.text, question.context)
        )
    ):
        return replace(
            question, is_question=False, flags=tuple(dict.fromkeys((*question.flags, "other-subject")))
        )
    if question.is_question and outside < _least_outside(question, outside, kind, sure=sure):
        return question
    if (
        not question.is_question
        and outside < _most_outside(question, outside, kind, sure=sure)
        and (len(question.text.split()) >= FEWEST_WORDS or tells_of_trouble(question.text))
        and not speaks_of_another_vehicle(question.text, question.context)
        and not has_an_engine(question.text, question.context)
        and (
            "danger" in question.flags
            or not (draws_a_conclusion(question.text) or offers_for_sale(question.text))
        )
    ):
        return replace(question, is_question=True, flags=(*question.flags, "no-ask-stated"))
    flag = KINDS_AS_FLAGS.get(kind)
    flags = dict.fromkeys((*question.flags, *([flag] if flag else [])))
    return replace(question, is_question=False, flags=tuple(flags))


# The words are looked at only where the answer hangs on them: for most messages both bounds say the same.
def _least_outside(question: Question, outside: float, kind: str, *, sure: bool) -> float:
    """From where on an ask is set aside."""
    is_one_of_ours = (
        outside >= LEAST_OUTSIDE
        and sure
        and kind not in WANTS_NO_ANSWER
        and "?" in question.text
        and names_a_part(question.text)
    )
    if (
        outside >= LEAST_OUTSIDE
        and kind in POLITE
        and "?" in question.text
        and (is_one_of_ours or asks_about_a_bicycle(question.text, ""))
    ):
        return NEVER_OUTSIDE
    if (
        outside >= LEAST_OUTSIDE
        and question.text.count("?") >= FEWEST_QUESTIONS_OF_ONE_WHO_ASKS
        and names_a_part(question.text)
        and asks_about_a_bicycle(question.text, "")
    ):
        return NEVER_OUTSIDE
    if outside >= LEAST_OUTSIDE and "danger" in question.flags and speaks_of_a_bicycle(question.message.text):
        return NEVER_OUTSIDE
    if LEAST_OUTSIDE <= outside < LEAST_OUTSIDE_FOR_AN_ASK and (
        is_one_of_ours
        or asks_about_a_bicycle(question.text, question.context)
        # Somebody may ride on what broke: "The rack's leg snapped off. Superglue?"
        or ("danger" in question.flags and tells_of_trouble(question.text))
        or (names_a_part(question.text) and tells_of_a_try_in_vain(question.message.whole))
    ):
        return LEAST_OUTSIDE_FOR_AN_ASK
    if (
        LEAST_OUTSIDE <= outside < LEAST_OUTSIDE_OF_A_BICYCLES_PART
        and "?" in question.text
        and names_a_part(question.text)
        and speaks_of_a_bicycle(question.message.whole)
        and not asks_to_buy(question.text)
    ):
        return LEAST_OUTSIDE_OF_A_BICYCLES_PART
    return LEAST_OUTSIDE


def _most_outside(question: Question, outside: float, kind: str, *, sure: bool) -> float:
    """Up to where a message without an ask is taken for one."""
    if outside >= MOST_OUTSIDE and tells_of_a_try_in_vain(question.text):
        return LEAST_OUTSIDE_FOR_AN_ASK
    if "danger" in question.flags and speaks_of_a_bicycle(question.text):
        return MOST_OUTSIDE_OF_A_DANGER
    most = MOST_OUTSIDE_OF_WHAT_IS_SURE if sure else MOST_OUTSIDE_OF_TROUBLE
    if MOST_OUTSIDE <= outside < most and kind not in WANTS_NO_ANSWER and tells_of_trouble(question.text):
        return most
    if MOST_OUTSIDE <= outside < MOST_OUTSIDE_OF_A_BICYCLE and speaks_of_a_bicycle(question.text):
        return MOST_OUTSIDE_OF_A_BICYCLE
    return MOST_OUTSIDE

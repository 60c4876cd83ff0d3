"""Headings and titles: a catchword or a line at the top that asks the same as the mail below it."""

from __future__ import annotations

import re
from collections.abc import Sequence

from triage.split.asking import ASKS, ASKS_WITHIN
from triage.split.sentences import LIST_MARK, lower_case
from triage.trade_words import speaks_of_a_bicycle

MOST_WORDS_OF_A_HEADING = 8


def is_a_heading(group: Sequence[int], index: int, sentences: Sequence[str]) -> bool:
    """ "Brake broken? Took it off for the mudguards, …": with a story behind it, a catchword heads the ask and isn't another."""
    heading = sentences[0]
    if (
        group == [1]
        and index > 2
        and len(heading.split()) <= MOST_WORDS_OF_A_HEADING
        and _HOLLOW_TITLE.match(sentences[1])
    ):
        return True
    return (
        group == [0]
        and index > 1
        and len(heading.split()) <= MOST_WORDS_OF_A_HEADING
        and ASKS.match(heading) is None
        and ASKS_WITHIN.search(heading) is None
        and _EITHER_OR.search(heading) is None
    )


# "Worn paint... what to do?"
_HOLLOW_TITLE = re.compile(
    r"^\W*(?:what to do|what now|what next|any ideas|help|advice|thoughts|opinions|is (?:this|it) normal|normal)\W*\?\W*$"
)
_EITHER_OR = re.compile(r"\b(?:or|versus|vs)\b|/")
MOST_WORDS_OF_A_TITLE = 3


def is_a_title(group: Sequence[int], index: int, sentences: Sequence[str]) -> bool:
    """Whether all that was asked is a title without a part: "How often? How often do you all wash your chains?"."""
    title = sentences[group[0]]
    return (
        len(group) == 1
        and index == group[0] + 1
        and len(title.split()) <= MOST_WORDS_OF_A_TITLE
        and not speaks_of_a_bicycle(title)
    )


MOST_WORDS_OF_A_TITLE_LINE = 14
FEWEST_WORDS_OF_A_TITLE = 3
_ASKS_FOR_HELP = re.compile(r"^\W*(?:please )?(?:help|advice|tips|need(?:ing)? (?:help|advice))\b")
_OF_A_TITLE = re.compile(r"[^\W\d_]{4,}|\b(?:700|650)[abcd]\b|\b\d{2}er\b")
_ENDING = re.compile(r"(?<=[^\W\d_]{4})(?:ings?|ed|s)$")
_SAYS_NOTHING = frozenset(
    (
        "advice",
        "anyone",
        "bicycle",
        "bike",
        "bikes",
        "about",
        "could",
        "does",
        "doing",
        "from",
        "have",
        "help",
        "into",
        "just",
        "know",
        "more",
        "need",
        "needed",
        "normal",
        "question",
        "questions",
        "please",
        "should",
        "some",
        "than",
        "that",
        "them",
        "there",
        "they",
        "thing",
        "this",
        "what",
        "when",
        "where",
        "which",
        "will",
        "with",
        "work",
        "would",
        "your",
    )
)


def title_joined(groups: list[list[int]], sentences: Sequence[str]) -> list[list[int]]:
    """A title that asks is the same ask as the first one below that takes up a word of it; all of them where it has no line of its own."""
    if not _may_open_with_a_title(groups, sentences):
        return groups
    title = telling_words(sentences[0])
    taken_up = _words_to_take_up(sentences[0], len(title))
    for place, group in enumerate(groups[1:], start=1):
        if any(len(title & telling_words(sentences[index])) >= taken_up for index in group):
            return [*groups[1:place], [0, *group], *groups[place + 1 :]]
    return groups


def _may_open_with_a_title(groups: Sequence[Sequence[int]], sentences: Sequence[str]) -> bool:
    return len(groups) > 1 and groups[0] == [0] and _may_be_a_title(sentences[0])


def _may_be_a_title(sentence: str) -> bool:
    return (
        len(sentence.split()) <= MOST_WORDS_OF_A_TITLE_LINE and LIST_MARK.match(lower_case(sentence)) is None
    )


def _stands_alone(sentence: str) -> bool:
    return sentence.rstrip(" \t").endswith("\n")


def is_a_title_line(group: Sequence[int], sentences: Sequence[str]) -> bool:
    """Whether a group has asks below a title that stands on a line of its own."""
    return len(group) > 1 and group[0] == 0 and _may_be_a_title(sentences[0]) and _stands_alone(sentences[0])


def stands_over_a_story(groups: list[list[int]], sentences: Sequence[str]) -> bool:
    """Whether a title on a line of its own heads a story that takes up a word of it, and the asks stand below: "Kerbs: is it hurt?"."""
    if not _may_open_with_a_title(groups, sentences) or not _stands_alone(sentences[0]):
        return False
    if LIST_MARK.match(lower_case(sentences[groups[1][0]])):
        return False
    title = telling_words(sentences[0])
    return any(title & telling_words(sentences[index]) for index in range(1, groups[1][0]))


def _words_to_take_up(title: str, telling: int) -> int:
    """How many of a title's words an ask takes up: one of a line of its own, or of "Help with a wheel.", otherwise all, three at least."""
    alone = _stands_alone(title)
    asks_for_help = _ASKS_FOR_HELP.match(lower_case(title)) is not None and "?" not in title
    return 1 if alone or asks_for_help else max(telling, FEWEST_WORDS_OF_A_TITLE)


def telling_words(sentence: str) -> set[str]:
    """The longer words and the wheels' names of a sentence without their endings, those left out that stand in any ask."""
    return {
        _ENDING.sub("", word).rstrip("s")
        for word in _OF_A_TITLE.findall(lower_case(sentence))
        if word not in _SAYS_NOTHING
    }

"""Choices: what kind of rim, brake, frame or use the rider named, negations respected."""

from __future__ import annotations

import re
from collections.abc import Sequence

from knowledge.base import Knowledge
from triage.extract.spelled import Figured
from triage.extract.words import PhraseIndex, Word, lowered
from triage.records import Detail

_NEGATED = re.compile(
    r"(?:\b(?:not|no|isn't|isnt|is not|aren't|arent|wasn't|weren't|don't have|doesn't have|haven't got|hasn't got|without|never|non|neither|nor|instead of|rather than)"
    r"[\s-]+(?:a\s|an\s|the\s|my\s|any\s)?)$"
)
_BACK = 32


class ChoiceFinder:
    """All ways of saying every choice, the longest first, so that "not tubeless" beats "tubeless"."""

    def __init__(self, knowledge: Knowledge) -> None:
        self.phrases: PhraseIndex[tuple[str, str]] = PhraseIndex(
            (lowered(Figured(words).text), (name, choice.value))
            for name, choices in knowledge.choices.items()
            for choice in choices
            for words in choice.words
        )

    def find(self, figured: Figured, text: str, words: Sequence[Word]) -> list[Detail]:
        """Each choice that the text makes, in the words it makes it with."""
        longest: dict[tuple[str, int], tuple[int, str]] = {}
        for start, end, meanings in self.phrases.hits(words):
            if not _is_whole(text, start, end):
                continue
            for name, value in meanings:
                if end > longest.get((name, start), (0, ""))[0]:
                    longest[name, start] = end, value
        details = []
        last: dict[str, int] = {}
        for (name, start), (end, value) in sorted(longest.items(), key=lambda item: item[0][1]):
            if start < last.get(name, 0):
                continue
            last[name] = end
            if _NEGATED.search(text[max(0, start - _BACK) : start]):
                continue
            first, behind = figured.back(start, end)
            details.append(Detail(name, value, figured.original[first:behind], first, behind))
        return details


def _is_whole(text: str, start: int, end: int) -> bool:
    """Whether no word or number goes on before or behind: "disc" in "non-disc", "5" in "5.1"."""
    if start and (text[start - 1].isalnum() or text[start - 1] == "_"):
        return False
    if start > 1 and text[start - 1] == "-" and text[start - 2].isalnum():
        return False
    if start > 1 and text[start].isdigit() and text[start - 1] in ".,/" and text[start - 2].isdigit():
        return False
    if end < len(text) and (text[end].isalnum() or text[end] == "_"):
        return not text[end - 1].isalnum()
    return not (
        end + 1 < len(text) and text[end - 1].isdigit() and text[end] in ".,/" and text[end + 1].isdigit()
    )

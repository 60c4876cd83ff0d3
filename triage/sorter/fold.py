"""Fold a text to the glossary's words and the kinds of its parts, so that a mech and a derailleur weigh the same."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Sequence

from knowledge.base import Knowledge
from knowledge.once import once_for_each
from triage.part_names import part_finder_for

_WORD = re.compile(r"\w+")
_GAP = re.compile(r"[\s-]+")


class Folder:
    """Every other name of every term, the longest first, and the term it stands for."""

    def __init__(self, knowledge: Knowledge) -> None:
        self.canon: dict[str, str] = {}
        for term in knowledge.terms.values():
            for other in term.also:
                self.canon.setdefault(other.lower(), term.term.lower())
        # By its first word, because most words begin no term and are then passed over at once.
        beginning: dict[str, list[str]] = defaultdict(list)
        for word in sorted(self.canon, key=len, reverse=True):
            beginning[_WORD.findall(word)[0]].append(word)
        self.beginning = {first: _any_of(words) for first, words in beginning.items()}
        self.parts = part_finder_for(knowledge)

    def fold(self, text: str) -> str:
        """The text in lower case, a part's name replaced by its kind and every other name by its term."""
        for mention in reversed(self.parts.find(text)):
            text = f"{text[: mention.start]} {mention.kind} {text[mention.end :]}"
        return self.terms(text)

    def terms(self, text: str) -> str:
        """The text in lower case, every other name replaced by its term; parts keep their names."""
        text = text.lower().replace("’", "'")
        pieces: list[str] = []
        place = 0
        for word in _WORD.finditer(text):
            pattern = self.beginning.get(word.group())
            found = pattern.match(text, word.start()) if pattern and word.start() >= place else None
            if found is not None:
                pieces += [text[place : found.start()], self._term(found.group())]
                place = found.end()
        return "".join([*pieces, text[place:]])

    def _term(self, words: str) -> str:
        return self.canon.get(_GAP.sub(" ", words), words)


def _any_of(words: Sequence[str]) -> re.Pattern[str]:
    """Any of these, the longest first; between its words stand blanks or hyphens."""
    pattern = "|".join(re.escape(word).replace(r"\ ", r"[\s-]+") for word in words)
    return re.compile(rf"(?:{pattern})(?!\w)")


@once_for_each
def folder_for(knowledge: Knowledge) -> Folder:
    """The folder of a knowledge base."""
    return Folder(knowledge)

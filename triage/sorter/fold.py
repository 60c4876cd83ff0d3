"""Fold a text to the glossary's words and the kinds of its parts, so that a mech and a derailleur weigh the same."""

from __future__ import annotations

import re

from knowledge.base import Knowledge
from knowledge.once import once_for_each
from triage.part_names import part_finder_for


class Folder:
    """Every other name of every term, the longest first, and the term it stands for."""

    def __init__(self, knowledge: Knowledge) -> None:
        self.canon: dict[str, str] = {}
        for term in knowledge.terms.values():
            for other in term.also:
                self.canon.setdefault(other.lower(), term.term.lower())
        longest = sorted(self.canon, key=len, reverse=True)
        pattern = "|".join(re.escape(word).replace(r"\ ", r"[\s-]+") for word in longest)
        self.pattern = re.compile(rf"(?<!\w)(?:{pattern})(?!\w)") if longest else None
        self.parts = part_finder_for(knowledge)

    def fold(self, text: str) -> str:
        """The text in lower case, a part's name replaced by its kind and every other name by its term."""
        for mention in reversed(self.parts.find(text)):
            text = f"{text[: mention.start]} {mention.kind} {text[mention.end :]}"
        lowered = text.lower().replace("’", "'")
        if self.pattern is None:
            return lowered
        return self.pattern.sub(self._term, lowered)

    def _term(self, match: re.Match[str]) -> str:
        return self.canon.get(re.sub(r"[\s-]+", " ", match.group()), match.group())


@once_for_each
def folder_for(knowledge: Knowledge) -> Folder:
    """The folder of a knowledge base."""
    return Folder(knowledge)

"""Choices: what kind of rim, brake, frame or use the rider named, negations respected."""

from __future__ import annotations

import re

from knowledge.base import Knowledge
from triage.records import Detail

_NEGATED = re.compile(
    r"(?:\b(?:not|no|isn't|isnt|aren't|arent|without|never|non|neither)[\s-]+(?:a\s|an\s|the\s|my\s)?)$", re.I
)


class ChoiceFinder:
    """All ways of saying every choice, the longest first, so that "not tubeless" beats "tubeless"."""

    def __init__(self, knowledge: Knowledge) -> None:
        self.patterns = []
        for name, choices in knowledge.choices.items():
            said: dict[str, str] = {}
            for choice in choices:
                for words in choice.words:
                    said.setdefault(words.lower(), choice.value)
            if not said:
                continue
            longest = sorted(said, key=len, reverse=True)
            pattern = "|".join(re.escape(words).replace(r"\ ", r"[\s-]+") for words in longest)
            self.patterns.append((name, re.compile(rf"(?<![\w-])(?:{pattern})(?![\w])", re.I), said))

    def find(self, text: str) -> list[Detail]:
        """Each choice that the text makes, in the words it makes it with."""
        details = []
        for name, pattern, said in self.patterns:
            for match in pattern.finditer(text):
                if _NEGATED.search(text[max(0, match.start() - 24) : match.start()]):
                    continue
                key = re.sub(r"\s+", " ", match.group().lower())
                value = said.get(key) or said.get(key.replace("-", " ")) or said.get(key.replace(" ", "-"))
                if value is not None:
                    details.append(Detail(name, value, match.group(), *match.span()))
        return details

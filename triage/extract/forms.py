"""Ways of writing, each kept with an example that it must catch and a near miss that it must leave alone."""

from __future__ import annotations

import re
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Form:
    """A pattern, what it must find, and what it must not."""

    pattern: re.Pattern[str]
    catches: str
    leaves: str


FORMS: list[Form] = []


def form(pattern: str, *, catches: str, leaves: str) -> re.Pattern[str]:
    """The compiled pattern; the tests hold it to its two examples. Texts are lowered before they are read."""
    compiled = re.compile(pattern)
    FORMS.append(Form(compiled, catches, leaves))
    return compiled


def any_of(*patterns: re.Pattern[str]) -> re.Pattern[str]:
    """One pattern that fits wherever one of these does: where it does not fit none of them needs to be tried."""
    return re.compile(
        "|".join(f"(?:{re.sub(r'[(][?]P<[a-z]+>', '(?:', pattern.pattern)})" for pattern in patterns)
    )


def word_set(words: str) -> frozenset[str]:
    """The words of a list written in lines."""
    return frozenset(words.split())


def phrase_set(phrases: str) -> frozenset[str]:
    """The phrases of a list parted by bars."""
    return frozenset(phrase.strip() for phrase in phrases.split("|"))

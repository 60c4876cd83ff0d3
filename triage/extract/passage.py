"""A text while its figures are read: where its numbers stand, which words are spoken for, and what was found."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field

# "28-622" holds two numbers, "19.5" one; "m5" and "46x18" have none of their own behind the letter.
_START = re.compile(r"(?<![\w.,])[.,]?\d|(?<=[^\d\s][.,])\d")


@dataclass(frozen=True, slots=True)
class Found:
    """A stretch of the figured text and the quantity it states."""

    name: str
    value: float | tuple[float, float]
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class Cue:
    """Words that name quantities, and where they stand."""

    start: int
    end: int
    names: tuple[str, ...]
    is_inner: bool = False


@dataclass(slots=True)
class Passage:
    """One text in small letters, its spelled numbers in figures; `cased` is the same with its capitals."""

    text: str
    cased: str
    cues: list[Cue] = field(default_factory=list)
    starts: list[int] = field(default_factory=list)
    taken: list[tuple[int, int]] = field(default_factory=list)
    found: list[Found] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.starts = [m.start() for m in _START.finditer(self.text)]

    def at_numbers(self, pattern: re.Pattern[str]) -> Iterator[re.Match[str]]:
        """The pattern wherever it fits at a number of which no word is spoken for yet."""
        for start in self.starts:
            match = pattern.match(self.text, start)
            if match is not None and self.is_free(*match.span()):
                yield match

    def around(self, pattern: re.Pattern[str], *guards: str) -> Iterator[re.Match[str]]:
        """The pattern anywhere in the text, looked for only where one of the guarding words stands."""
        if any(guard in self.text for guard in guards):
            for match in pattern.finditer(self.text):
                if self.is_free(*match.span()):
                    yield match

    def before(self, place: int, letters: int = 30) -> str:
        """The words right before a place."""
        return self.text[max(0, place - letters) : place]

    def after(self, place: int, letters: int = 30) -> str:
        """The words right behind a place."""
        return self.text[place : place + letters]

    def is_free(self, start: int, end: int) -> bool:
        """Whether nothing between the two places has been read yet."""
        return not any(first < end and start < last for first, last in self.taken)

    def holds(self, *words: str) -> bool:
        """Whether any of the words stands in the text, inside another word too."""
        return any(word in self.text for word in words)

    def has_found(self, *names: str) -> bool:
        """Whether one of the quantities was read already."""
        return any(found.name in names for found in self.found)

"""A text while its figures are read: where its numbers stand, which words are spoken for, and what was found."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field

# "28-622" holds two numbers, "19.5" one; "m5" and "46x18" have none of their own behind the letter.
_START = re.compile(r"(?<![\w.,])[.,]?\d|(?<=[^\d\s][.,])\d")
_DIGIT = re.compile(r"\d")


def has_figures(text: str) -> bool:
    """Whether any figure stands in the text, a raised one too."""
    if _DIGIT.search(text) is not None:
        return True
    return not text.isascii() and any(map(str.isdigit, text))


@dataclass(frozen=True, slots=True)
class Found:
    """A stretch of the figured text and the quantity it states."""

    name: str
    value: float | tuple[float, float]
    start: int
    end: int


Reader = Callable[["Passage"], Iterator[list[Found]]]
"""Yields groups of quantities that one stretch of a passage states."""
AT_NUMBERS: dict[Reader, tuple[re.Pattern[str], ...]] = {}


def at_numbers_only(*patterns: re.Pattern[str]) -> Callable[[Reader], Reader]:
    """Marks a reader that finds nothing where none of these patterns fits at a number: it need not be asked there."""

    def marked(reader: Reader) -> Reader:
        AT_NUMBERS[reader] = patterns
        return reader

    return marked


@dataclass(frozen=True, slots=True)
class Cue:
    """Words that name quantities, and where they stand."""

    start: int
    end: int
    names: tuple[str, ...]
    is_inner: bool = False


def _holds_any(text: str, words: tuple[str, ...]) -> bool:
    for word in words:  # noqa: SIM110 - any() takes twice as long
        if word in text:
            return True
    return False


@dataclass(slots=True)
class Passage:
    """One text in small letters, its spelled numbers in figures; `cased` is the same with its capitals."""

    text: str
    cased: str
    cues: list[Cue] = field(default_factory=list)
    starts: list[int] = field(default_factory=list)
    taken: list[tuple[int, int]] = field(default_factory=list)
    found: list[Found] = field(default_factory=list)
    _held: dict[tuple[str, ...], bool] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.starts = [m.start() for m in _START.finditer(self.text)]

    def at_numbers(self, pattern: re.Pattern[str]) -> Iterable[re.Match[str]]:
        """The pattern wherever it fits at a number of which no word is spoken for yet."""
        fits, text = pattern.match, self.text
        found: list[re.Match[str]] = []
        for start in self.starts:
            match = fits(text, start)
            if match is not None:
                found.append(match)
        return self._free(found) if found else found

    def anywhere(self, pattern: re.Pattern[str]) -> Iterable[re.Match[str]]:
        """The pattern wherever it fits in words of which none is spoken for yet."""
        found = list(pattern.finditer(self.text))
        return self._free(found) if found else found

    def fits_at_a_number(self, pattern: re.Pattern[str]) -> bool:
        """Whether the pattern fits at any number, spoken for or not."""
        fits, text = pattern.match, self.text
        for start in self.starts:  # noqa: SIM110 - any() takes twice as long, and most figures are looked at often
            if fits(text, start) is not None:
                return True
        return False

    def around(self, pattern: re.Pattern[str], *guards: str) -> Iterable[re.Match[str]]:
        """The pattern anywhere in the text, looked for only where one of the guarding words stands."""
        text = self.text
        for guard in guards:
            if guard in text:
                return self._free(pattern.finditer(text))
        return ()

    def _free(self, matches: Iterable[re.Match[str]]) -> Iterator[re.Match[str]]:
        # Asked of each as its turn comes: what was read of the one before is spoken for by then.
        for match in matches:
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
        for first, last in self.taken:  # noqa: SIM110 - any() takes three times as long
            if first < end and start < last:
                return False
        return True

    def holds(self, *words: str) -> bool:
        """Whether any of the words stands in the text, inside another word too."""
        held = self._held.get(words)
        if held is None:
            held = self._held[words] = _holds_any(self.text, words)
        return held

    def has_found(self, *names: str) -> bool:
        """Whether one of the quantities was read already."""
        return any(found.name in names for found in self.found)

"""A text as its sentences, each with its spoken words and its figures, so that two can be held against each other."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

from knowledge.numbers import for_the_ear
from triage.pace import GAP
from triage.review.amounts import WORDS, Figure, figures_of

SAME_SIGN = str.maketrans({
    "‘": "'", "’": "'", "ʼ": "'", "‛": "'", "“": '"', "”": '"', "„": '"', "«": '"', "»": '"',
    "\u00a0": " ", "\u202f": " ", "\u2009": " ", "\u2011": "-", "\u2010": "-", "—": "–", "′": "'",
    "\u00ad": None, "\u200b": None, "º": "°",
})  # fmt: skip
_DASH_AS_MINUS = re.compile(r"(?<![\w)\]])–(?=\d)")
_DECIMAL_COMMA = re.compile(r"(?<![\d.,])(?:(\d+),(\d{1,2}|\d{4,})|0,(\d{3}))(?![\d.,]*\d)")
# "- ", "2. " or "(3) " at the start of a line, or behind the end of a sentence where lines were run together.
_LIST_MARK = re.compile(
    r"(?:^[ \t]*(?:[-–*•]|\(?\d{1,2}[.)])|(?<=[.!?:;%] )(?:[-–*•]|\(?\d{1,2}[.)])(?=\s+[^\s\d]))[ \t]+",
    re.MULTILINE,
)
_BLANKS = re.compile(r"[ \t\u00a0\u2009\u202f]+")
_BREAK = "\x1e"
_PARAGRAPH = re.compile(r"\n ?\n\s*|: ?\n\s*")
# A stop ends a sentence where a capital, a figure or a quotation follows.
_END = re.compile(r"(?<=[.!?…])[”')\]]*\s+(?=[“'(\[]*[A-ZÀ-Þ0-9])")
_ALWAYS_SHORT = re.compile(r"\b(?:e\.g|i\.e|cf|vs|dr|mrs?|ms|st)\.$", re.IGNORECASE)
_SHORT_BEFORE_A_FIGURE = re.compile(
    r"\b(?:approx|ca|no|nos|fig|max|min|pp?|vol|dia|abt|incl|excl|resp|sect?)\.$", re.IGNORECASE
)
_QUOTED = re.compile(r"[\"“]([^\"“”]*)[\"”]")
_ENDLESS = re.compile(r"\d[\d,.]{15}")
FEWEST_QUOTEDWORDS = 4
"""Fewer quoted words than that may be anybody's, such as a label that reads “DOT 4”."""
MOST_OF_A_QUOTE = 0.7


@dataclass(frozen=True, slots=True)
class Sentence:
    """A sentence as written, as its spoken words, and as its figures and the words between them."""

    text: str
    words: tuple[str, ...]
    figures: tuple[Figure, ...]
    shape: tuple[str, ...]

    @property
    def folded(self) -> str:
        """The words in one line, to hold against another."""
        return " ".join(self.words)

    @property
    def amounts(self) -> tuple[tuple[float, str], ...]:
        """The figures' values and units in order."""
        return tuple(figure.amount for figure in self.figures)


@lru_cache(maxsize=256)
def evened(text: str) -> str:
    """The text with its blanks, quotes and dashes alike, which nobody need look at."""
    return " ".join(text.translate(SAME_SIGN).replace("–", "-").split())


@lru_cache(maxsize=256)
def _sentences(text: str, rider: frozenset[str]) -> tuple[str, ...]:
    """The sentences and list items in order, without list numbers, the presenter's gaps and what quotes the rider."""
    text = _BLANKS.sub(" ", GAP.sub("", text).replace("\r\n", "\n"))
    text = _with_quotes(_without_rider(text, rider).translate(SAME_SIGN))
    text = _DECIMAL_COMMA.sub(_with_point, _DASH_AS_MINUS.sub("−", text))
    text = _PARAGRAPH.sub(_BREAK, _LIST_MARK.sub(_BREAK, text))
    found: list[str] = []
    for part in text.split(_BREAK):
        found += _divided(" ".join(part.split()))
    return tuple(one for one in found if WORDS.search(one))


def _with_point(match: re.Match[str]) -> str:
    """ "0,5" is a half and no five; "1,200" stays a thousand and more."""
    return f"0.{match[3]}" if match[3] else f"{match[1]}.{match[2]}"


def _without_rider(text: str, rider: frozenset[str]) -> str:
    """The text without its quotations of the rider, whose figures are no answer of ours."""
    if not rider:
        return text
    # The first paragraph of a script quotes the whole ask, which may have quotations of its own.
    first, gap, rest = text.partition("\n\n")
    start, end = first.find("“"), first.rfind("”")
    if start < 0:
        start, end = first.find('"'), first.rfind('"')
    if 0 <= start < end and _is_of(first[start + 1 : end], rider):
        first = f"{first[:start]}“…”{first[end + 1 :]}"
    return _QUOTED.sub(lambda quote: "“…”" if _is_of(quote[1], rider) else quote[0], f"{first}{gap}{rest}")


def _is_of(quote: str, rider: frozenset[str]) -> bool:
    """Whether a quotation is in the rider's own words."""
    words = spoken_words(quote.translate(SAME_SIGN))
    theirs = sum(word in rider for word in words)
    return len(words) >= FEWEST_QUOTEDWORDS and theirs >= MOST_OF_A_QUOTE * len(words)


def _with_quotes(text: str) -> str:
    """The text with straight double quotes in pairs made round, paragraph by paragraph; one behind a number is an inch mark."""
    return "\n\n".join(_with_quotes_in_one(part) for part in re.split(r"\n\s*\n", text))


def _with_quotes_in_one(text: str) -> str:
    pieces = text.split('"')
    told, is_open = [pieces[0]], False
    for before, after in pairwise(pieces):
        is_inch = before[-1:].isdigit() and not is_open
        told.append("″" if is_inch else "”" if is_open else "“")
        told.append(after)
        is_open = is_open if is_inch else not is_open
    return "".join(told)


def _divided(text: str) -> Iterator[str]:
    start = 0
    for match in _END.finditer(text):
        before = text[start : match.start()]
        is_figure_next = text[match.end()].isdigit()
        if _ALWAYS_SHORT.search(before) or (is_figure_next and _SHORT_BEFORE_A_FIGURE.search(before)):
            continue
        yield text[start : match.end()].strip()
        start = match.end()
    yield text[start:].strip()


@lru_cache(maxsize=8192)
def _sentence(text: str) -> Sentence:
    figures, shape = figures_of(text)
    return Sentence(text, spoken_words(text), figures, shape)


def spoken_words(text: str) -> tuple[str, ...]:
    """The words as they are said, so that "3.9 mm" and "three point nine millimetres" are the same; a comma is nothing."""
    # Nobody says a number of so many digits, and it would take long to put in words.
    spoken = text if _ENDLESS.search(text) else for_the_ear(text)
    return tuple(WORDS.findall(spoken.lower()))


def sentences_in(text: str, rider: frozenset[str] = frozenset()) -> tuple[Sentence, ...]:
    return tuple(map(_sentence, _sentences(text, rider)))

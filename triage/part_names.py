"""Catalogue names in a rider's words, however they are misspelt, split or shortened."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from itertools import pairwise
from math import floor

from rapidfuzz import fuzz, process

from knowledge.base import CataloguePart, Knowledge
from knowledge.once import once_for_each
from triage.records import PartMention

# A long name run into its number is two tokens: "veltra10"; a short code stays one: "E6805".
_TOKEN = re.compile(r"[^\W\d_]{4,}(?=\d)|[^\W_]+", re.UNICODE)
_WITHOUT_DIGITS = re.compile(r"[^\W_]+")
_DIGIT = re.compile(r"\d")
KIND_WORDS = {
    "shifter": "shifter shifters lever levers brifter brifters trigger triggers",
    "derailleur": "mech mechs derailleur derailleurs rd changer",
    "cassette": "cassette cassettes block sprockets cluster freewheel",
    "chain": "chain chains",
    "crankset": "crankset chainset cranks crank rings",
    "tyre": "tyre tyres tire tires rubber",
    "rim": "rim rims",
    "wheel": "wheel wheels wheelset",
    "hub": "hub hubs",
    "rotor": "rotor rotors disc discs disk disks",
    "brake": "brake brakes caliper calipers calliper callipers",
    "seatpost": "seatpost post",
    "stem": "stem",
    "fork": "fork forks",
    "frame": "frame frameset bike",
    "bearing": "bearing bearings",
    "lubricant": "lube oil wax grease lubricant",
    "pedal": "pedal pedals",
    "tube": "tube tubes",
}
_KIND_OF_WORD = {word: kind for kind, words in KIND_WORDS.items() for word in words.split()}
NEXT_WORDS = 3
LEAST_LIKENESS = 88.0
LEAST_TOKEN = 84.0
MOST_READINGS = 3
"""Tokens of the catalogue that one word may stand for."""
LEAST_OF_EACH = 74.0
"""Every word of a name must be like the rider's: "to hydraulic" is not "Tongs hydraulic"."""
MOST_KEPT_WORDS = 65_536
SHORTEST_FUZZY = 5
"""Tokens shorter than this must be exact: one typo in four letters makes another word."""


class PartFinder:
    """An index from the tokens of every alias to the parts that bear it."""

    def __init__(self, knowledge: Knowledge) -> None:
        self.aliases: list[_Alias] = []
        self.bearers: dict[str, _Bearers] = defaultdict(_Bearers)
        for part in knowledge.parts.values():
            for name in dict.fromkeys((part.name, f"{part.maker} {part.name}", *part.also)):
                tokens = tuple(token.lower() for token in _TOKEN.findall(name))
                if tokens and not (len(tokens) == 1 and len(tokens[0]) < 4):
                    self._add(_Alias(tokens, part))
        self.near = NearTokens([token for token in self.bearers if len(token) >= SHORTEST_FUZZY])
        # Riders use the same few thousand words; each is held against the catalogue once.
        self._readings = _Kept(self._readings_of)
        self._beside = lru_cache(maxsize=MOST_KEPT_WORDS)(self._beside_of)

    def _add(self, alias: _Alias) -> None:
        for token in dict.fromkeys(alias.tokens):
            place = alias.tokens.index(token)
            bearers = self.bearers[token]
            if len(alias.tokens) == 1:
                bearers.alone.append(alias)
            elif place:
                bearers.behind[alias.tokens[place - 1]].append((place, alias))
            else:
                bearers.before[alias.tokens[1]].append((place, alias))
        self.aliases.append(alias)

    def find(self, text: str) -> list[PartMention]:
        """The parts named in a text, the likeliest reading of each stretch, in order."""
        words = _words_of(text)
        places = [place for place, readings in enumerate(map(self._readings.__getitem__, words)) if readings]
        if not places:
            return []
        named = {
            (first, alias, likeness)
            for place in places
            for known in self._readings[words[place]]
            for first, alias in self._candidates(known, place, words)
            if (likeness := _likeness(alias.tokens, words[first : first + len(alias.tokens)])) is not None
        }
        if not named:
            return []
        spans = [match.span() for match in _TOKEN.finditer(text)]
        found = [_mention(text, spans, *one) for one in named]
        return _without_overlaps([m for m in found if self._named_kind(m, text) in (None, m.kind)])

    def _candidates(self, known: str, place: int, words: Sequence[str]) -> Iterator[tuple[int, _Alias]]:
        """Where aliases with this token would begin, those whose next token is unlike the word there left out."""
        bearers = self.bearers[known]
        for alias in bearers.alone:
            yield place, alias
        if bearers.behind and place:
            for at, alias in self._beside(known, words[place - 1], behind=True):
                if at <= place:
                    yield place - at, alias
        if bearers.before and place + 1 < len(words):
            for _, alias in self._beside(known, words[place + 1], behind=False):
                yield place, alias

    def _beside_of(self, known: str, word: str, *, behind: bool) -> list[tuple[int, _Alias]]:
        """The aliases whose token beside this one may be what the rider wrote there."""
        beside = self.bearers[known].behind if behind else self.bearers[known].before
        if not word.isalpha():
            return beside.get(word, [])
        alike = process.extract(
            word, beside.keys(), scorer=fuzz.ratio, score_cutoff=LEAST_OF_EACH, limit=None
        )
        return [one for token, _, _ in alike for one in beside[token]]

    @staticmethod
    def _named_kind(mention: PartMention, text: str) -> str | None:
        """The kind of part that the words in or right behind the name say it is, if any."""
        after = _TOKEN.findall(text[mention.end : mention.end + 40].lower())[:NEXT_WORDS]
        for word in (*_TOKEN.findall(mention.words.lower()), *after):
            if word in _KIND_OF_WORD:
                return _KIND_OF_WORD[word]
        return None

    def _readings_of(self, token: str) -> Sequence[str]:
        if token in self.bearers:
            return (token,)
        return self.near.like(token) if len(token) >= SHORTEST_FUZZY else ()


@dataclass(frozen=True, slots=True, eq=False)
class _Alias:
    """One way of writing a part's name."""

    tokens: tuple[str, ...]
    part: CataloguePart


@dataclass(frozen=True, slots=True)
class _Bearers:
    """The aliases that bear one token: by themselves, or by the token before it, or behind it where it is the first."""

    alone: list[_Alias] = field(default_factory=list)
    behind: dict[str, list[tuple[int, _Alias]]] = field(default_factory=lambda: defaultdict(list))
    before: dict[str, list[tuple[int, _Alias]]] = field(default_factory=lambda: defaultdict(list))


class _Kept(dict[str, Sequence[str]]):
    """What was worked out for each word; as many words are kept as riders use, and then all are let go."""

    def __init__(self, work_out: Callable[[str], Sequence[str]]) -> None:
        self.work_out = work_out

    def __missing__(self, word: str) -> Sequence[str]:
        if len(self) >= MOST_KEPT_WORDS:
            self.clear()
        self[word] = readings = self.work_out(word)
        return readings


class NearTokens:
    """Tokens by their pieces: one that is like a word enough has a piece that stands in the word unchanged.

    With at most n letters put in or left out, one of n + 1 pieces is whole, and it is shifted by no more than n letters;
    so a look for a few pieces at a few places leaves a handful of tokens to be measured, however many there are.
    """

    def __init__(self, tokens: Sequence[str]) -> None:
        self.rank = {token: rank for rank, token in enumerate(tokens)}
        self.lengths = sorted({len(token) for token in tokens})
        self.by_piece: dict[_Piece, list[str]] = defaultdict(list)
        for token in tokens:
            length = len(token)
            for slips in _slips_of(length):
                for start, end in _pieces(length, slips):
                    self.by_piece[length, slips, start, token[start:end]].append(token)
        self._looks = lru_cache(maxsize=256)(self._looks_of)

    def like(self, word: str) -> list[str]:
        """The tokens that are most like a word, the likest first, at most three."""
        tokens: set[str] = set()
        for length, slips, piece, start, end in self._looks(len(word)):
            tokens.update(self.by_piece.get((length, slips, piece, word[start:end]), ()))
        if not tokens:
            return []
        alike = process.extract(word, list(tokens), scorer=fuzz.ratio, score_cutoff=LEAST_TOKEN, limit=None)
        alike.sort(key=lambda one: (-one[1], self.rank[one[0]]))
        return [token for token, _, _ in alike[:MOST_READINGS]]

    def _looks_of(self, letters: int) -> list[tuple[int, int, int, int, int]]:
        """Where in a word of so many letters each piece of tokens of each length may stand."""
        looks = []
        for length in self.lengths:
            slips = _most_slips(length, letters)
            # Without a slip it is the same word.
            if not slips:
                continue
            lost, added = (slips + length - letters) // 2, (slips + letters - length) // 2
            for start, end in _pieces(length, slips):
                looks += [
                    (length, slips, start, start + shift, end + shift)
                    for shift in range(-lost, added + 1)
                    if start + shift >= 0 and end + shift <= letters
                ]
        return looks


_Piece = tuple[int, int, int, str]
"""A token's length, how many slips there may be, where the piece begins in the token, and its letters."""


def _most_slips(letters: int, others: int) -> int | None:
    """How many letters may be put in or left out between two alike tokens of these lengths; None if they can't be."""
    slips = floor((1.0 - LEAST_TOKEN / 100.0) * (letters + others) + 1e-9)
    slips -= (slips + letters + others) % 2
    return slips if slips >= abs(letters - others) else None


@lru_cache(maxsize=256)
def _slips_of(letters: int) -> tuple[int, ...]:
    """How many slips there may be between a token of so many letters and words of any length."""
    slips = {_most_slips(letters, others) for others in range(1, 2 * letters + 1)}
    return tuple(sorted(slip for slip in slips if slip))


@lru_cache(maxsize=1024)
def _pieces(letters: int, slips: int) -> tuple[tuple[int, int], ...]:
    """Start and end of the pieces of a token of so many letters: one more than there may be slips in it."""
    count = min(slips + 1, letters)
    return tuple(pairwise(letters * cut // count for cut in range(count + 1)))


def _words_of(text: str) -> list[str]:
    """The tokens of a text in small letters."""
    token = _TOKEN if _DIGIT.search(text) else _WITHOUT_DIGITS
    low = text.lower()
    if len(low) == len(text):
        return token.findall(low)
    return [word.lower() for word in token.findall(text)]


def _likeness(tokens: Sequence[str], words: Sequence[str]) -> float | None:
    """How like these words are to an alias, in percent; None where they are not like enough, one by one or in all."""
    if len(words) < len(tokens):
        return None
    for mine, theirs in zip(words, tokens, strict=True):
        if mine == theirs:
            continue
        # A model number is exact or another part.
        both = theirs + mine
        if not both.isalpha() and any(map(str.isdigit, both)):
            return None
        if fuzz.ratio(mine, theirs) < LEAST_OF_EACH:
            return None
    likeness = fuzz.ratio(" ".join(words), " ".join(tokens))
    return likeness if likeness >= LEAST_LIKENESS else None


def _mention(
    text: str, spans: Sequence[tuple[int, int]], first: int, alias: _Alias, likeness: float
) -> PartMention:
    start, end = spans[first][0], spans[first + len(alias.tokens) - 1][1]
    return PartMention(alias.part.id, alias.part.kind, text[start:end], start, end, likeness)


def _without_overlaps(found: list[PartMention]) -> list[PartMention]:
    kept: list[PartMention] = []
    for mention in sorted(set(found), key=lambda m: (-(m.end - m.start), -m.likeness, m.start, m.part_id)):
        if all(mention.end <= other.start or other.end <= mention.start for other in kept):
            kept.append(mention)
    return sorted(kept, key=lambda mention: mention.start)


@once_for_each
def part_finder_for(knowledge: Knowledge) -> PartFinder:
    """The finder of a knowledge base."""
    return PartFinder(knowledge)

"""Catalogue names in a rider's words, however they are misspelt, split or shortened."""

from __future__ import annotations

import re
from collections import defaultdict
from functools import lru_cache

from rapidfuzz import fuzz, process

from knowledge.base import CataloguePart, Knowledge
from knowledge.once import once_for_each
from triage.records import PartMention

# A long name run into its number is two tokens: "veltra10"; a short code stays one: "E6805".
_TOKEN = re.compile(r"[^\W\d_]{4,}(?=\d)|[^\W_]+", re.UNICODE)
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
LEAST_OF_EACH = 74.0
"""Every word of a name must be like the rider's: "to hydraulic" is not "Tongs hydraulic"."""
MOST_KEPT_WORDS = 65_536
SHORTEST_FUZZY = 5
"""Tokens shorter than this must be exact: one typo in four letters makes another word."""


class PartFinder:
    """An index from the rare tokens of every alias to the parts that bear it."""

    def __init__(self, knowledge: Knowledge) -> None:
        self.aliases: list[tuple[tuple[str, ...], CataloguePart]] = []
        self.by_token: dict[str, list[int]] = defaultdict(list)
        for part in knowledge.parts.values():
            for alias in {part.name, f"{part.maker} {part.name}", *part.also}:
                tokens = tuple(token.lower() for token in _TOKEN.findall(alias))
                if tokens and not (len(tokens) == 1 and len(tokens[0]) < 4):
                    index = len(self.aliases)
                    self.aliases.append((tokens, part))
                    for token in set(tokens):
                        self.by_token[token].append(index)
        # Riders use the same few thousand words; each is held against the catalogue once.
        self._readings = lru_cache(maxsize=MOST_KEPT_WORDS)(self._readings_of)
        self.fuzzy = [token for token in self.by_token if len(token) >= SHORTEST_FUZZY]

    def find(self, text: str) -> list[PartMention]:
        """The parts named in a text, the likeliest reading of each stretch, in order."""
        tokens = [(m.group().lower(), m.start(), m.end()) for m in _TOKEN.finditer(text)]
        found: list[PartMention] = []
        for place, (token, _, _) in enumerate(tokens):
            for known in self._readings(token):
                for index in self.by_token[known]:
                    mention = self._verified(index, known, place, tokens, text)
                    if mention is not None:
                        found.append(mention)
        return _without_overlaps([m for m in found if self._named_kind(m, text) in (None, m.kind)])

    @staticmethod
    def _named_kind(mention: PartMention, text: str) -> str | None:
        """The kind of part that the words in or right behind the name say it is, if any."""
        after = _TOKEN.findall(text[mention.end : mention.end + 40].lower())[:NEXT_WORDS]
        for word in (*_TOKEN.findall(mention.words.lower()), *after):
            if word in _KIND_OF_WORD:
                return _KIND_OF_WORD[word]
        return None

    def _readings_of(self, token: str) -> list[str]:
        if token in self.by_token:
            return [token]
        if len(token) < SHORTEST_FUZZY:
            return []
        return [
            match[0]
            for match in process.extract(
                token, self.fuzzy, scorer=fuzz.ratio, score_cutoff=LEAST_TOKEN, limit=3
            )
        ]

    def _verified(
        self, index: int, known: str, place: int, tokens: list[tuple[str, int, int]], text: str
    ) -> PartMention | None:
        alias, part = self.aliases[index]
        first = place - alias.index(known)
        if first < 0:
            return None
        window = tokens[first : first + len(alias)]
        if len(window) < len(alias):
            return None
        for mine, theirs in zip(window, alias, strict=True):
            # A model number is exact or another part.
            if any(c.isdigit() for c in theirs + mine[0]) and mine[0] != theirs:
                return None
            if fuzz.ratio(mine[0], theirs) < LEAST_OF_EACH:
                return None
        likeness = fuzz.ratio(" ".join(token for token, _, _ in window), " ".join(alias))
        if likeness < LEAST_LIKENESS:
            return None
        start, end = window[0][1], window[-1][2]
        return PartMention(part.id, part.kind, text[start:end], start, end, likeness)


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

"""Figures with a unit beside which no listed word stands: the quantity whose own description is most like the words around."""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Mapping
from math import log

from knowledge.base import QuantityKind
from triage.extract.forms import word_set

LEAST_LIKENESS, LEAST_LEAD = 3.6, 1.12
"""How like the words must be at least, and how many times as like as the next quantity's."""
_LABEL, _CUE, _ASKED, _MEASURED = 1.0, 0.8, 0.7, 0.35
"""What a word counts that stands in a quantity's label, in its listed words, in its question, in the advice how to measure."""
_PER_WORD = 0.12
_NOT_THE_FIRST = 0.75
"""What there is comes before what is to come."""
_UNUSUAL = 0.8
_WORD = re.compile(r"[a-z]+")
_EMPTY = word_set(
    """a an and are as at be been but by can do does for from had has have he her his how i if in is it its just me mine my of off on one only
    or our out over she so than that the their them then there these they this those to too under up was we were what when where which while
    who will with without would you your not no about around above below between after before old new much many more less most least
    say says said get gets got make makes made mm cm millimetres millimetre measure measures measured rule calliper both other each any
    some all now here very well still even put see use used does did take takes like tell read reads bike bicycle figure printed maker
    sheet gives give stand stands across high wide long big small large size part parts quite yet could should there side same way hold
    lay mark half first last two three four five ten"""
)
_SPELT = {
    "tire": "tyre",
    "center": "centre",
    "disk": "disc",
    "caliper": "calliper",
    "aluminum": "aluminium",
    "cog": "sprocket",
    "block": "cassette",
}


class Likeness:
    """The weighted words of every quantity's description."""

    def __init__(self, kinds: Mapping[str, QuantityKind]) -> None:
        self.kinds = kinds
        self.words: dict[str, dict[str, float]] = {}
        for name, kind in kinds.items():
            counted = self.words.setdefault(name, {})
            for weight, text in (
                (_LABEL, kind.label),
                (_CUE, " ".join(kind.cues)),
                (_ASKED, kind.ask),
                (_MEASURED, kind.measure),
            ):
                for word in stems(text):
                    counted[word] = max(weight, counted.get(word, 0.0))
        spread: dict[str, int] = {}
        for counted in self.words.values():
            for word in counted:
                spread[word] = spread.get(word, 0) + 1
        self.rarity = {word: log(len(kinds) / count) for word, count in spread.items()}
        self.bearers: dict[str, list[tuple[str, float]]] = {}
        for name, counted in self.words.items():
            for word, weight in counted.items():
                self.bearers.setdefault(word, []).append((name, weight))

    def most_like(
        self,
        names: Collection[str],
        value_of: Callable[[str], float | None],
        before: str,
        behind: str,
    ) -> str | None:
        """Of these quantities the one that the words are plainly most like, if any is.

        `value_of` gives the number in a quantity's unit, or None for one that it cannot be.
        """
        likenesses = []
        for name, whole in self.near(before, behind).items():
            # What is less like than this is neither the likest nor stands in its way.
            if whole * LEAST_LEAD < LEAST_LIKENESS or name not in names:
                continue
            value = value_of(name)
            if value is not None:
                likenesses.append((self._weighed(name, whole, value), name))
        likenesses.sort(reverse=True)
        if not likenesses or likenesses[0][0] < LEAST_LIKENESS:
            return None
        if len(likenesses) > 1 and likenesses[0][0] < LEAST_LEAD * likenesses[1][0]:
            return None
        return likenesses[0][1]

    def near(self, before: str, behind: str) -> dict[str, float]:
        """How much of every quantity's description the telling words on both sides of a number are.

        The rarer a word is and the nearer it stands, the more it counts.
        """
        near: dict[str, float] = {}
        for words in (stems(before)[::-1], stems(behind)):
            for place, word in enumerate(words):
                if word in self.rarity:
                    near[word] = max(near.get(word, 0.0), self.rarity[word] / (1.0 + _PER_WORD * place))
        sums: dict[str, float] = {}
        for word, told in near.items():
            for name, weight in self.bearers[word]:
                sums[name] = sums.get(name, 0.0) + told * weight
        return sums

    def of(self, name: str, near: Mapping[str, float], value: float) -> float:
        """How like a quantity's description the words near a number are, by what `near` gave for them."""
        whole = near.get(name)
        return 0.0 if whole is None else self._weighed(name, whole, value)

    def _weighed(self, name: str, likeness: float, value: float) -> float:
        if name.startswith(("new_", "old_")):
            likeness *= _NOT_THE_FIRST
        kind = self.kinds[name]
        usual = (
            kind.usual_low is None or kind.usual_high is None or kind.usual_low <= value <= kind.usual_high
        )
        return likeness if usual else likeness * _UNUSUAL


def stems(text: str) -> list[str]:
    """The telling words of a text, plurals and other spellings made one."""
    found = []
    for word in _WORD.findall(text.lower()):
        if len(word) < 3 or word in _EMPTY:
            continue
        bare = word[:-1] if word.endswith("s") and not word.endswith("ss") and len(word) > 3 else word
        if bare not in _EMPTY:
            found.append(_SPELT.get(bare, bare))
    return found

"""Things that exclude one another (carbon or steel, a child's bicycle or a grown-up's): what a text names of them, and what a
point is about, so that nobody who told of an aluminium bar is answered about carbon.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import replace
from functools import cached_property

from knowledge.base import Contrast

Named = frozenset[Contrast]
MOSTLY = 0.75
"""A point is about what so many of its askings name."""
ITS_OWN = 0.3
"""What so many of all that a brief is asked name goes unsaid within it: nobody says "tandem" in each question about one."""
BESIDE_IT = 0.1
"""What is left of the chance of a point that speaks of something else than the rider does. Of our own askings 2 in 100 name
something else than their point is about."""
_NOT_IT = (
    r"(?<!\bnot )(?<!\bno )(?<!\bnon )(?<!\bnon-)(?<!\bwithout )(?<!\bnot a )(?<!n't )(?<!\binstead of )"
)


class Contrasts:
    """The things that exclude one another, ready to be looked for; a word is known with an s behind it, too."""

    def __init__(self, contrasts: Iterable[Contrast]) -> None:
        self.all = tuple(replace(one, words=tuple(map(str.lower, one.words))) for one in contrasts)

    @cached_property
    def _named_in(self) -> dict[str, Named]:
        """What each phrase names: "mechanical disc" is a disc, too."""
        phrases = {phrase for one in self.all for phrase in one.words}
        return {
            phrase: frozenset(
                one
                for one in self.all
                if any(re.search(rf"\b{re.escape(word)}\b", phrase) for word in one.words)
            )
            for phrase in phrases
        }

    @cached_property
    def _pattern(self) -> re.Pattern[str]:
        longest_first = sorted(self._named_in, key=lambda phrase: (-len(phrase), phrase))
        return re.compile(rf"\b{_NOT_IT}({'|'.join(map(re.escape, longest_first))})(?:['’]?s)?\b")

    def named(self, text: str) -> Named:
        """What a text names of them; what it denies isn't named."""
        if not self.all:
            return frozenset()
        found = (self._named_in[phrase] for phrase in self._pattern.findall(text.lower()))
        return frozenset[Contrast]().union(*found)

    def about(self, askings: Sequence[str]) -> Named:
        """What askings are about: what most of them name, where it's the only one of its kind."""
        mostly = self._named_by(askings, MOSTLY)
        kinds = Counter(one.name for one in mostly)
        return frozenset(one for one in mostly if kinds[one.name] == 1)

    def its_own(self, askings: Sequence[str]) -> Named:
        """What goes unsaid in all that a brief is asked."""
        return self._named_by(askings, ITS_OWN)

    def _named_by(self, askings: Sequence[str], share: float) -> Named:
        counted = Counter(one for asked in askings for one in self.named(asked))
        return frozenset(one for one, count in counted.items() if count >= share * len(askings))


def speaks_of_another(about: Named, named: Named, its_own: Named) -> bool:
    """Whether something is about what a rider excludes by what they name, or would have had to name."""
    for one in about:
        kind = {other for other in named if other.name == one.name}
        if kind and one not in kind:
            return True
        if not kind and not one.goes_unsaid and one not in its_own:
            return True
    return False

"""Group: what makes two questions the same one, and the sketch by which repeats are looked for.

Who repeats whom is settled where the drafts are kept, since only there all questions are known: those of this chunk, of
chunks that another process works, and of every run before.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from rapidfuzz import fuzz

from triage.alike import band_keys, sketch, words_of

LEAST_LIKENESS = 80.0
FEWEST_WORDS = 3
_FIGURE = re.compile(r"\d+")


def sketched(texts: Sequence[str]) -> list[tuple[str, tuple[int, ...]]]:
    """Of each text its words in lower case and the bands of their sketch; one of too few words has no bands."""
    words = [words_of(text) for text in texts]
    bands = band_keys(sketch(words)).tolist()
    return [
        (" ".join(some), tuple(numbers) if len(some) >= FEWEST_WORDS else ())
        for some, numbers in zip(words, bands, strict=True)
    ]


def repeats(later: str, earlier: str) -> bool:
    """Whether two questions, given by their words, are one: alike, and with the same figures.

    >>> repeats("will a 28 mm tyre fit my rim", "please will a 28 mm tyre fit my rim")
    True
    >>> repeats("will a 28 mm tyre fit my rim", "will a 32 mm tyre fit my rim")
    False
    """
    return fuzz.token_set_ratio(later, earlier, score_cutoff=LEAST_LIKENESS) > 0 and (
        set(_FIGURE.findall(later)) == set(_FIGURE.findall(earlier))
    )

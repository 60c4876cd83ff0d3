"""Group: what makes two questions the same one, and the sketch by which repeats are looked for.

Who repeats whom is settled where the drafts are kept, since only there all questions are known: those of this chunk, of
chunks that another process works, and of every run before.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from rapidfuzz import fuzz

from triage.alike import band_keys, sketch, words_of

LEAST_LIKENESS, CLOSE_LIKENESS, LEAST_IN_COMMON = 80.0, 90.0, 75.0
FEWEST_WORDS = 3
_FIGURE = re.compile(r"\d+")


_OPENING = re.compile(
    r"^\W*(?:(?:@\w+[,:]?|(?:hi|hello|hey|hiya|dear|hallo|greetings|good (?:morning|evening|afternoon|day))"
    r"(?: [^\W\d_]+)?(?: both| all| there)?\s*[,!:.–-]+|(?:quick )?question\s*[:–-]+)\s+)+",
    re.IGNORECASE,
)
_CLOSING = re.compile(
    r"(?:\s+(?:cheers|thanks|greetings|regards) from|(?:\n|[.!?,;–-]\s)\s*(?:many thanks|thank you|thanks|thx|cheers|ta|"
    r"(?:kind|best|warm) regards|regards|all the best|best wishes|best(?=[,!\n]|$)|yours|keep it up|greetings))\b"
    r"[^\n?\d]{0,30}(?:\n[^\n?\d]{0,30})?\s*$",
    re.IGNORECASE,
)
"""How a message may begin and end whatever it asks."""
LONGEST_FAREWELL = 100
"""A farewell is looked for in the last characters alone, so that a text of nothing but line breaks costs no more. [characters]"""


def sketched(texts: Sequence[str]) -> list[tuple[str, tuple[int, ...]]]:
    """Of each text its words in lower case and the bands of their sketch; one of too few words has no bands.

    A greeting and a farewell are left out: of a short question they would be half of the words.
    """
    words = [words_of(_asking(text)) for text in texts]
    bands = band_keys(sketch(words)).tolist()
    return [
        (" ".join(some), tuple(numbers) if len(some) >= FEWEST_WORDS else ())
        for some, numbers in zip(words, bands, strict=True)
    ]


def _asking(text: str) -> str:
    opened = _OPENING.sub("", text)
    asking = opened[:-LONGEST_FAREWELL] + _CLOSING.sub("", opened[-LONGEST_FAREWELL:])
    return asking if len(asking) >= len(text) // 4 else text


def repeats(later: str, earlier: str, *, closely: bool = False) -> bool:
    """Whether two questions, given by their words, are one: alike, and with the same figures.

    `closely` asks for nearly the same words, and about as many of them: so a question may follow one that repeats another
    itself, and a group doesn't drift from repeat to repeat to something else.

    >>> repeats("will a 28 mm tyre fit my rim", "please will a 28 mm tyre fit my rim")
    True
    >>> repeats("will a 28 mm tyre fit my rim", "will a 32 mm tyre fit my rim")
    False
    """
    least = CLOSE_LIKENESS if closely else LEAST_LIKENESS
    return (
        fuzz.token_set_ratio(later, earlier, score_cutoff=least) > 0
        and set(_FIGURE.findall(later)) == set(_FIGURE.findall(earlier))
        and (not closely or fuzz.token_sort_ratio(later, earlier, score_cutoff=LEAST_IN_COMMON) > 0)
    )

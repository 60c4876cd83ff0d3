"""How long a script takes to say, at a pace in words a minute."""

from __future__ import annotations

import re
from functools import lru_cache

PAUSE_SECONDS = 1.2
"""Spent at each paragraph of a script, by common practice for reading aloud."""
GAP = re.compile(r"\[(?:Presenter|Promise):[^\]]*\]")
"""A gap that only the presenter can fill; it takes no time until it is filled."""
_WORD = re.compile(r"[\w'’]+")


def reading_seconds(text: str, pace: float) -> float:
    """How long a script takes to say at a pace in words a minute, marked gaps left out.

    >>> reading_seconds("One two three four five.", pace=150)
    3.2
    """
    said = GAP.sub("", text)
    paragraphs = [part for part in said.split("\n\n") if part.strip()]
    words = sum(map(_words_in, paragraphs))
    return round(words / pace * 60 + PAUSE_SECONDS * len(paragraphs), 1)


@lru_cache(maxsize=8_192)
def _words_in(paragraph: str) -> int:
    # Most paragraphs of a script are those of another one.
    return len(_WORD.findall(paragraph.replace("-", " ")))

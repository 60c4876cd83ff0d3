"""Texts without their house phrases, which go by turns: a draft worked out alone is worded otherwise, and says the same."""

from __future__ import annotations

import re
from collections.abc import Callable

from knowledge.phrases import Phrases

Plain = Callable[[str | None], str]
_PLACEHOLDER = re.compile(r"\{\w+\}")


def without_house_phrases(phrases: Phrases) -> Plain:
    """Takes out of a text how it is worded by turns, and keeps what was put into it.

    A draft never has the phrase of its neighbour; worked out alone it has no neighbour, and that is no change.
    """
    every = sorted({one for choices in phrases.lists.values() for one in choices}, key=len, reverse=True)
    pieces = [[piece for piece in _PLACEHOLDER.split(one) if piece.strip()] for one in every]
    patterns = [(some[0], re.compile("(.*?)".join(map(re.escape, some)))) for some in pieces if some]

    def plain(text: str | None) -> str:
        text = text or ""
        for first, pattern in patterns:
            if first in text:
                text = pattern.sub(lambda found: " ".join(found.groups()), text)
        return " ".join(text.split())

    return plain

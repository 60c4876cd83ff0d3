"""Lines that a mail program broke at its column, made whole again: a sentence ends at a stop, and not at the edge of a window."""

from __future__ import annotations

import re
from itertools import pairwise

NARROWEST, WIDEST = 55, 100
"""A text whose longest line is shorter was written in short lines, and one with a longer one wasn't broken at a column. [characters]"""
SHORTEST_BROKEN = 40
"""A shorter line ended where its writer ended it. [characters]"""
MOST_LEFT = 14
"""A line that was broken had no room for the next word; who edits it later leaves a little more. [characters]"""
FEWEST_BREAKS = 3
"""With fewer, chance makes a list of short sentences look like it, so only what goes on in small letters counts."""
FEWEST_OF_A_COLUMN = 0.8
"""So many of the lines that end in the middle of a sentence had no room for more; some are broken anew by hand."""
_ENDS_A_SENTENCE = re.compile(r"[.!?…:;][\"'”’)\]]*\s*$")
_BEGINS_AN_ITEM = re.compile(r"\s|[-*•>#]|\(?\w{1,2}[.):]\s|[A-Z]\w*:")
_OPENS_ANEW = re.compile(
    r"(?:also|and|but|so|any|what|why|how|which|where|when|who|is|are|can|could|should|would|will|do|does|did|has|have|if|my|i|we|it|the|a|an|"
    r"thanks|thank|cheers|regards|please)\b"
)


def unwrapped(text: str) -> str:
    """A text with its lines joined where they were broken at a column; as it is where they were not."""
    if "\n" not in text:
        return text
    lines = text.split("\n")
    width = max(len(line.rstrip()) for line in lines)
    if not NARROWEST <= width <= WIDEST:
        return text
    open_ends = [
        place for place, (line, following) in enumerate(pairwise(lines)) if _is_open(line, following)
    ]
    broken = [place for place in open_ends if _had_no_room(lines[place], lines[place + 1], width)]
    if len(broken) < FEWEST_BREAKS:
        if len(broken) < len(open_ends) or any(
            not lines[place + 1][0].islower() or _OPENS_ANEW.match(lines[place + 1]) for place in broken
        ):
            return text
    elif len(broken) < FEWEST_OF_A_COLUMN * len(open_ends):
        return text
    else:
        broken = [place for place in open_ends if place in broken or lines[place + 1][0].islower()]
    for place in reversed(broken):
        lines[place : place + 2] = [f"{lines[place].rstrip()} {lines[place + 1]}"]
    return "\n".join(lines)


def _is_open(line: str, following: str) -> bool:
    """Whether a line ends in the middle of a sentence, by its end and by what comes."""
    return (
        len(line.rstrip()) >= SHORTEST_BROKEN
        and bool(following.strip())
        and _ENDS_A_SENTENCE.search(line) is None
        and _BEGINS_AN_ITEM.match(following) is None
    )


def _had_no_room(line: str, following: str, width: int) -> bool:
    return len(line.rstrip()) + 1 + len(following.split()[0]) > width - MOST_LEFT

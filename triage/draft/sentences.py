"""A text as its sentences, which is what a draft can drop, and the small words between what is told."""

from __future__ import annotations

import re
from collections.abc import Iterable
from itertools import accumulate
from math import ceil

# "3 bar. Then" ends a sentence, "0.5 mm" and "e.g. a rule" do not.
_END = re.compile(r"(?<=[.!?])\s+(?=[A-Z“])")


def sentences_of(text: str) -> list[str]:
    """The sentences of a text, in order."""
    return [one for one in _END.split(text) if one.strip()]


def paragraphs_of(text: str, most_words: int) -> list[str]:
    """A text in paragraphs of about one length, none of which has more words than that, but for a longer sentence."""
    sentences = sentences_of(text)
    ends = list(accumulate(len(one.split()) for one in sentences))
    if not ends:
        return []
    share = ends[-1] / ceil(ends[-1] / most_words)
    paragraphs: dict[int, list[str]] = {}
    for start, end, one in zip([0, *ends], ends, sentences, strict=False):
        paragraphs.setdefault(int((start + end) / 2 // share), []).append(one)
    return [" ".join(some) for _, some in sorted(paragraphs.items())]


def sentence(text: str) -> str:
    """The text with a capital at the start and a stop at the end."""
    text = text.strip()
    if not text:
        return ""
    return f"{text[:1].upper()}{text[1:].rstrip('.')}{'' if text.endswith(('!', '?')) else '.'}"


def with_article(label: str) -> str:
    """ "the tyre's width"; a label that begins with an article of its own stays as it is."""
    first = label.split(" ")[0].lower()
    return label if first in ("the", "a", "an", "your", "how", "whether", "what", "where") else f"the {label}"


def joined(words: Iterable[str], last: str = "and") -> str:
    """ "a", "a and b", "a, b and c"."""
    listed = list(words)
    if len(listed) < 2:
        return "".join(listed)
    return f"{', '.join(listed[:-1])} {last} {listed[-1]}"

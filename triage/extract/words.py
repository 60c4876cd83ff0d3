"""Words of a message found in a list of phrases: one walk over its words finds every phrase at once."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Any, Generic, TypeVar

# "24mm" is two words as "24 mm" is; hyphens part words as spaces do.
_WORD = re.compile(r"[^\W\d_]+|\d+|[^\w\s-]")

_PASSED_OVER = frozenset({"the", "a", "an", "my", "its", "his", "her", "our", "your", "this", "that"})
_PLAIN_WORD = re.compile(r"[a-z]+|[0-9]+|[^a-z0-9_\s-]")
_NONE: frozenset[str] = frozenset()
T = TypeVar("T")
_END = ""


def in_small_letters(text: str) -> str:
    """The text in small letters, every letter in its old place."""
    low = text.lower()
    if len(low) != len(text):
        low = "".join(letter.lower() if len(letter.lower()) == 1 else letter for letter in text)
    return low


_UP_TO = re.compile(r"(?<=\d)~(?=\d)")
"""Half the world writes "11~32" for from 11 to 32; "~5 bar" is about five."""


def lowered(text: str) -> str:
    """The text in small letters and with plain signs, every letter in its old place."""
    low = in_small_letters(text)
    if "~" in low:
        low = _UP_TO.sub("-", low)
    if low.isascii():
        return low
    return low.replace("’", "'").replace("‑", "-").replace("–", "-").replace("−", "-").replace("×", "x")


_QUOTED = re.compile(r"(?<![\w.])[\"“](?=[a-z])([^\"“”\n]{1,80})[\"”]")


def unquoted(text: str) -> str:
    """The text with blanks for quotation marks round words, so that the closing one is not read as inches."""
    return _QUOTED.sub(lambda m: f" {m[1]} ", text) if '"' in text or "“" in text else text


class Words:
    """Every word, number and sign of a lowered text, and where they stand."""

    __slots__ = ("_spans", "_text", "texts")

    def __init__(self, text: str) -> None:
        self.texts: list[str] = (_PLAIN_WORD if text.isascii() else _WORD).findall(text)
        self._text = text
        self._spans: list[tuple[int, int]] | None = None

    @property
    def spans(self) -> list[tuple[int, int]]:
        """Start and end of each word. Worked out when they are first asked for: most texts hold no phrase."""
        if self._spans is None:
            self._spans = [match.span() for match in _WORD.finditer(self._text)]
        return self._spans


class PhraseIndex(Generic[T]):
    """Phrases by their words, so that a text is looked through once however many there are."""

    def __init__(self, phrases: Iterable[tuple[str, T]], *, loose: bool = False) -> None:
        """Where `loose`, "between the stays" stands in "between my stays" and in "between stays" too."""
        self.root: dict[str, Any] = {}
        self.loose = loose
        for phrase, meaning in phrases:
            node = self.root
            words = Words(lowered(phrase)).texts
            if loose:
                words = [
                    word
                    for place, word in enumerate(words)
                    if place in (0, len(words) - 1) or word not in _PASSED_OVER
                ]
            for word in words:
                node = node.setdefault(word, {})
            if node is not self.root:
                meanings = node.setdefault(_END, [])
                if meaning not in meanings:
                    meanings.append(meaning)

    def hits(self, words: Words) -> list[tuple[int, int, list[T]]]:
        """Start, end and meanings of every phrase that stands in the words, short ones inside long ones too."""
        if not words.texts:
            return []
        texts, root, passed_over = words.texts, self.root, _PASSED_OVER if self.loose else _NONE
        # Most words that begin a phrase are not followed by its second one.
        beginnings = [
            (place, node)
            for place, (word, following) in enumerate(zip(texts, [*texts[1:], "\n"], strict=True))
            if (node := root.get(word)) is not None
            and (following in node or _END in node or following in passed_over)
        ]
        found: list[tuple[int, int, list[T]]] = []
        for place, node in beginnings:
            last = place
            while True:
                if _END in node:
                    found.append((words.spans[place][0], words.spans[last][1], node[_END]))
                last += 1
                if last >= len(texts):
                    break
                following = node.get(texts[last])
                if following is None and texts[last] in passed_over and last + 1 < len(texts):
                    last += 1
                    following = node.get(texts[last])
                if following is None:
                    break
                node = following
        return found

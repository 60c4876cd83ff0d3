"""Words of a message found in a list of phrases: one walk over its words finds every phrase at once."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from typing import Any, Generic, TypeVar

# "24mm" is two words as "24 mm" is; hyphens part words as spaces do.
_WORD = re.compile(r"[^\W\d_]+|\d+|[^\w\s-]")

Word = tuple[str, int, int]
_PASSED_OVER = frozenset({"the", "a", "an", "my", "its", "his", "her", "our", "your", "this", "that"})
T = TypeVar("T")
_END = ""


def lowered(text: str) -> str:
    """The text in small letters, every letter in its old place."""
    low = text.lower()
    if len(low) != len(text):
        low = "".join(letter.lower() if len(letter.lower()) == 1 else letter for letter in text)
    return low.replace("’", "'").replace("‑", "-").replace("–", "-").replace("−", "-").replace("×", "x")


_QUOTED = re.compile(r"(?<![\w.])[\"“](?=[a-z])([^\"“”\n]{1,80})[\"”]")


def unquoted(text: str) -> str:
    """The text with blanks for quotation marks round words, so that the closing one is not read as inches."""
    return _QUOTED.sub(lambda m: f" {m[1]} ", text) if '"' in text or "“" in text else text


def words_of(text: str) -> list[Word]:
    """Every word, number and sign of a lowered text, with its place."""
    return [(m.group(), m.start(), m.end()) for m in _WORD.finditer(text)]


class PhraseIndex(Generic[T]):
    """Phrases by their words, so that a text is looked through once however many there are."""

    def __init__(self, phrases: Iterable[tuple[str, T]], *, loose: bool = False) -> None:
        """Where `loose`, "between the stays" stands in "between my stays" and in "between stays" too."""
        self.root: dict[str, Any] = {}
        self.loose = loose
        for phrase, meaning in phrases:
            node = self.root
            words = [word for word, _, _ in words_of(lowered(phrase))]
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

    def hits(self, words: Sequence[Word]) -> list[tuple[int, int, list[T]]]:
        """Start, end and meanings of every phrase that stands in the words, short ones inside long ones too."""
        found = []
        for place, (word, start, _) in enumerate(words):
            node = self.root.get(word)
            if node is None:
                continue
            last = place
            while True:
                if _END in node:
                    found.append((start, words[last][2], node[_END]))
                last += 1
                if last >= len(words):
                    break
                following = node.get(words[last][0])
                if (
                    following is None
                    and self.loose
                    and words[last][0] in _PASSED_OVER
                    and last + 1 < len(words)
                ):
                    last += 1
                    following = node.get(words[last][0])
                if following is None:
                    break
                node = following
        return found

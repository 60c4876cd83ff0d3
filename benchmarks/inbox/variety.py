"""How varied a stream of texts is, told without keeping the texts or the words."""

from __future__ import annotations

import re
import zlib
from array import array
from math import log
from typing import Any

import numpy as np

_WORD = re.compile(r"[^\W_]+(?:['’-][^\W_]+)*")
_BITS = 1 << 26


class Variety:
    """Counts distinct texts by their digests, and distinct words by how many of 67 million bits they set.

    Eight bytes a text twice over, and 8 MB for the words whatever their number; the words are told within about 0.1 %.
    """

    def __init__(self) -> None:
        self.texts, self.skeletons = array("Q"), array("Q")
        self.tokens = 0
        self.set_bits = 0
        self.bits = bytearray(_BITS // 8)
        self.growth: list[tuple[int, int, int]] = []
        self._next = 1000

    def add(self, text: str) -> None:
        """Count one text."""
        split = _WORD.findall(text.lower())
        self.tokens += len(split)
        bits = self.bits
        for word in split:
            bit = zlib.crc32(word.encode()) % _BITS
            if not bits[bit >> 3] & (1 << (bit & 7)):
                bits[bit >> 3] |= 1 << (bit & 7)
                self.set_bits += 1
        self.texts.append(_digest(text))
        self.skeletons.append(_digest(" ".join([word for word in split if word.isalpha()])))
        if len(self.texts) == self._next:
            self._note()
            # 1, 2, 5, 10, 20, 50 thousand and so on
            self._next = self._next * 5 // 2 if str(self._next)[0] == "2" else self._next * 2

    @property
    def types(self) -> int:
        """Distinct words so far."""
        return round(-_BITS * log(1 - self.set_bits / _BITS))

    def _note(self) -> None:
        self.growth.append((len(self.texts), self.tokens, self.types))

    def told(self) -> dict[str, Any]:
        """Shares of distinct texts, words a message, and the growth of words with its exponent."""
        count = max(len(self.texts), 1)
        if not self.growth or self.growth[-1][0] != len(self.texts):
            self._note()
        return {
            "share of distinct texts": len(np.unique(np.asarray(self.texts))) / count,
            "share distinct without figures and case": len(np.unique(np.asarray(self.skeletons))) / count,
            "words a message": self.tokens / count,
            "distinct words": self.types,
            "growth": [
                {"messages": messages, "words": tokens, "distinct words": types} for messages, tokens, types in self.growth
            ],
            "growth exponent": _slope([(tokens, types) for _, tokens, types in self.growth]),
        }  # fmt: skip


def _digest(text: str) -> int:
    data = text.encode()
    return zlib.crc32(data) << 32 | zlib.crc32(data[::-1], 1)


def _slope(points: list[tuple[int, int]]) -> float | None:
    if len(points) < 2:
        return None
    x, y = np.log(np.asarray(points, dtype=float)).T
    return float(np.polyfit(x, y, 1)[0])

"""The second reading: what an unsure text means, beside the examples that mean the like.

Words alone can't tell that "she's a bit tall for it" asks about the size of a frame. A text that the first reading is
unsure of is turned into a vector, and counts as near a label whose examples' vectors lie near it. That costs some
milliseconds a text, so what the words tell surely is not read twice.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import ceil
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from triage.lately import Lately
from triage.sorter.at_once import at_once
from triage.sorter.beforehand import Beforehand
from triage.sorter.encoder import Vectors
from triage.sorter.published import SIZE

SHARPNESS = 20.0
"""How much more the nearest examples count than the others: between the mean of all (0) and the nearest alone."""
_ROWS_AT_ONCE = 500
_ENCODED_AT_ONCE = 250
_FEW = 2000
"""So few texts are encoded before another process has started."""
Encode = Callable[[Sequence[str]], Vectors]
OnProgress = Callable[[int, int], None]
"""Told how many texts of how many are read."""


STRETCH_WORDS = 55
"""So many words the encoder reads of a text, and a little more; a longer one has its end left out."""
MOST_REMEMBERED = 2000
MOST_STRETCHES = 8
"""What goes on beyond these is not read: it would cost more than it tells."""
MOST_KEPT_TEXTS = 100_000
"""Texts whose vectors stay on the disk: 150 MB."""
STORY_SHARE = 1.5
"""How much a story counts beside the ask that it comes with, where both are read as one."""


def in_stretches(encode: Encode, texts: Sequence[str]) -> Vectors:
    """What each text means from its first stretch, and from all of its stretches alike.

    So a story is read to its end, and its beginning counts for more: riders begin with what is the matter.
    """
    if not texts:
        return np.zeros((0, SIZE), dtype=np.float32)
    stretches = [_stretches(text) for text in texts]
    parts = encode([stretch for some in stretches for stretch in some])
    starts = np.cumsum([0, *(len(some) for some in stretches[:-1])])
    whole = np.add.reduceat(parts, starts, axis=0)
    return _of_unit_length(parts[starts] + _of_unit_length(whole))


def with_story(asks: Vectors, stories: Vectors) -> Vectors:
    """What asks mean together with their stories, from the vectors of both, row by row.

    To read them as one text tells the label no oftener and takes three times as many words, since each ask of a message
    would have the story read again.
    """
    return _of_unit_length(asks + np.float32(STORY_SHARE) * stories)


def _of_unit_length(vectors: Vectors) -> Vectors:
    return np.asarray(vectors / np.linalg.norm(vectors, axis=1, keepdims=True), dtype=np.float32)


def _stretches(text: str) -> list[str]:
    """A text in stretches of about the same length, each of which is read whole."""
    words = text.split()[: MOST_STRETCHES * STRETCH_WORDS]
    size = ceil(len(words) / ceil(len(words) / STRETCH_WORDS)) if words else 1
    return [" ".join(words[start : start + size]) for start in range(0, len(words), size)] or [text]


@dataclass(frozen=True)
class Meaning:
    """The examples' vectors in the order of their labels, and planes between each topic's labels."""

    examples: Vectors
    present: NDArray[np.intp]
    """The labels that have examples."""
    starts: NDArray[np.intp]
    """Where each of these begins among the examples."""
    planes: Vectors
    offsets: Vectors

    def nearness(self, vectors: Vectors) -> NDArray[np.float64]:
        """How near each text lies to each label's examples: (texts, labels), about 1 for the same words.

        The log of the sum of exponentials, so that one close example counts and many close ones count more; over the
        root of their number, so that a label isn't near because it has many.
        """
        near = np.zeros((len(vectors), len(self.offsets)))
        counts = np.diff(np.append(self.starts, len(self.examples)))
        for row in range(0, len(vectors), _ROWS_AT_ONCE):
            closeness = np.float32(SHARPNESS) * (vectors[row : row + _ROWS_AT_ONCE] @ self.examples.T)
            np.exp(closeness, out=closeness)
            sums = np.add.reduceat(closeness, self.starts, axis=1)
            near[row : row + _ROWS_AT_ONCE, self.present] = np.log(sums / np.sqrt(counts)) / SHARPNESS
        return near

    def sides(self, vectors: Vectors) -> NDArray[np.float64]:
        """On which side of each label's plane the texts lie: (texts, labels)."""
        return np.asarray(vectors @ self.planes + self.offsets, dtype=float)


class Remembering:
    """Encodes texts, and remembers the last ones: an ask is looked at twice, for its brief and for its point."""

    def __init__(self, encode: Encode) -> None:
        self._encode = encode
        self._lately: Lately[str, Vectors] = Lately(MOST_REMEMBERED)

    def __call__(self, texts: Sequence[str]) -> Vectors:
        """The vectors of the texts: (texts, 768)."""
        known = {text: self._lately.find(text) for text in dict.fromkeys(texts)}
        found = {text: vector for text, vector in known.items() if vector is not None}
        new = [text for text in known if text not in found]
        for text, vector in zip(new, self._encode(new) if new else [], strict=True):
            found[text] = vector.copy()  # a row alone, or all its neighbours would be remembered with it
            self._lately.keep(text, found[text])
        return np.asarray([found[text] for text in texts], dtype=np.float32)


class KnownVectors:
    """Encodes texts, and remembers on the disk those of the examples: to read all of them takes minutes."""

    def __init__(
        self,
        encode: Encode,
        file: Path | None = None,
        on_progress: OnProgress | None = None,
        before: Beforehand | None = None,
    ) -> None:
        self._encode = encode
        self._on_progress = on_progress or _silent
        self._row_of: dict[bytes, int] = {}
        self._vectors = np.zeros((0, SIZE), dtype=np.float32)
        if before is not None:
            self._take([key.tobytes() for key in before.keys], before.vectors())
        self._came_with_us = len(self._row_of)
        if file is not None:
            self._read(file)

    def __call__(self, texts: Sequence[str]) -> Vectors:
        """The vectors of the texts, encoded where they are not known: (texts, 768), float32."""
        keys = [key_of(text) for text in texts]
        new = {key: text for key, text in zip(keys, texts, strict=True) if key not in self._row_of}
        if new:
            self._learn(list(new), list(new.values()))
        return self._vectors[[self._row_of[key] for key in keys]]

    def write(self, file: Path, texts: Sequence[str]) -> None:
        """Write those of the texts to a file, for the next time, and as many others that it knows as there is room for.

        What came with the program is there the next time as well. Another knowledge base, or the points of this one,
        would else have theirs read anew.
        """
        own = {key: None for key, row in self._row_of.items() if row >= self._came_with_us}
        first = {key: None for key in map(key_of, texts) if key in own}
        others = [key for key in own if key not in first]
        keys = [*first, *others[: max(0, MOST_KEPT_TEXTS - len(first))]]
        vectors = self._vectors[[self._row_of[key] for key in keys]].astype(np.float16)
        with file.open("wb") as opened:
            np.savez(opened, keys=as_rows(keys), vectors=vectors)

    def _learn(self, keys: Sequence[bytes], texts: Sequence[str]) -> None:
        some = [texts[start : start + _ENCODED_AT_ONCE] for start in range(0, len(texts), _ENCODED_AT_ONCE)]
        known: list[Vectors] = []
        done, is_long = 0, len(texts) > _FEW
        if is_long:
            self._encode(
                texts[:1]
            )  # a model that must be readied first is readied here, and not by each process
        for encoded in at_once(self._encode, some, is_long):
            # The disk keeps half the digits; so that a second start gives the same numbers, so does the first.
            known.append(encoded.astype(np.float16).astype(np.float32))
            done += len(encoded)
            self._on_progress(done, len(texts))
        self._take(keys, np.vstack(known))

    def _read(self, file: Path) -> None:
        if not file.is_file():
            return
        try:
            with file.open("rb") as opened, np.load(opened) as held:
                keys, vectors = held["keys"], held["vectors"].astype(np.float32)
        except Exception:
            # A cut-off file is only a cache: the texts are read again.
            return
        if vectors.shape == (len(keys), SIZE) and keys.shape == (len(keys), _KEY_SIZE):
            new = [row for row, key in enumerate(keys) if key.tobytes() not in self._row_of]
            self._take([keys[row].tobytes() for row in new], vectors[new])

    def _take(self, keys: Sequence[bytes], vectors: Vectors) -> None:
        first = len(self._vectors)
        self._vectors = np.vstack([self._vectors, vectors]) if first else vectors
        self._row_of.update(zip(keys, range(first, first + len(keys)), strict=True))


_KEY_SIZE = 16


def key_of(text: str) -> bytes:
    """What a text is known by, whatever happens to the others."""
    return hashlib.sha256(text.encode()).digest()[:_KEY_SIZE]


def as_rows(keys: Sequence[bytes]) -> NDArray[np.uint8]:
    """The keys for a file: (keys, 16)."""
    return np.frombuffer(b"".join(keys), dtype=np.uint8).reshape(-1, _KEY_SIZE)


def _silent(_done: int, _total: int) -> None:
    """Nobody watches."""

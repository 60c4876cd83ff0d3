"""The vectors of the briefs' examples as they come with the program: to read fifty thousand texts takes minutes.

They are kept along the directions in which the examples differ most, in steps of a fiftieth. A rider's own words are never
looked up here; they are read by the model as they come. `python -m training.vectors` makes the file.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from triage.sorter import published
from triage.sorter.encoder import Vectors

FILE = Path(__file__).parent / "changes" / "examples.npz"
DIRECTIONS = 256
"""Real questions find their brief as often with these as with all 768: 192 of 257, and 193."""
STEP = 0.02
_MOST_STEPS = 127


@dataclass(frozen=True)
class Beforehand:
    """Texts by their keys, (texts, 16), and how many steps each lies along each direction: (texts, directions)."""

    reader: str
    keys: NDArray[np.uint8]
    steps: NDArray[np.int8]
    directions: Vectors
    middle: Vectors

    @classmethod
    def of(cls, vectors: Vectors, keys: NDArray[np.uint8], reader: str) -> Beforehand:
        """The vectors along the directions in which they differ most."""
        middle = vectors.mean(axis=0)
        directions = np.linalg.eigh(np.cov(vectors, rowvar=False))[1][:, ::-1][:, :DIRECTIONS].T
        kept = cls(
            reader, keys, np.zeros((0, DIRECTIONS), dtype=np.int8), _halved(directions), _halved(middle)
        )
        return kept.with_texts(keys, kept.in_steps(vectors))

    def with_texts(self, keys: NDArray[np.uint8], steps: NDArray[np.int8]) -> Beforehand:
        """Other texts along the same directions."""
        return Beforehand(self.reader, keys, steps, self.directions, self.middle)

    def in_steps(self, vectors: Vectors) -> NDArray[np.int8]:
        """How many steps vectors lie along each direction."""
        steps = np.round((vectors - self.middle) @ self.directions.T / STEP)
        return np.clip(steps, -_MOST_STEPS, _MOST_STEPS).astype(np.int8)

    def vectors(self) -> Vectors:
        """The vectors of all texts, each of length one: (texts, 768)."""
        whole = self.steps.astype(np.float32) @ (self.directions * np.float32(STEP)) + self.middle
        return np.asarray(whole / np.linalg.norm(whole, axis=1, keepdims=True), dtype=np.float32)

    def write(self, file: Path) -> None:
        """Write a file; direction after direction, which packs closer."""
        np.savez_compressed(
            file,
            reader=np.asarray(self.reader),
            keys=self.keys,
            steps=np.ascontiguousarray(self.steps.T),
            directions=self.directions.astype(np.float16),
            middle=self.middle.astype(np.float16),
        )


def reader_of(changes: Path) -> str:
    """Which model reads, whatever program runs it."""
    return hashlib.sha256(published.WEIGHTS_DIGEST.encode() + changes.read_bytes()).hexdigest()[:12]


@lru_cache(maxsize=1)
def beforehand(changes: Path, file: Path = FILE) -> Beforehand | None:
    """What this model, with these changes, has read already; None where the file is another model's, or none."""
    if not file.is_file():
        return None
    with np.load(file) as held:
        if str(held["reader"]) != reader_of(changes):
            return None
        return Beforehand(
            str(held["reader"]),
            held["keys"],
            np.ascontiguousarray(held["steps"].T),
            held["directions"].astype(np.float32),
            held["middle"].astype(np.float32),
        )


@lru_cache(maxsize=1)
def digest_of_file(file: Path = FILE) -> str:
    """What the file holds, in a word; nothing where there is none."""
    return hashlib.sha256(file.read_bytes()).hexdigest()[:12] if file.is_file() else ""


def _halved(numbers: NDArray[np.floating]) -> Vectors:
    """As they will be read back from a file of half the digits."""
    return np.asarray(numbers, dtype=np.float16).astype(np.float32)

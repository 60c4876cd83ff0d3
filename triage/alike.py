"""Alike: which texts of many say nearly the same, found in near-linear time by sketches of their words.

A sketch holds, for each of sixty orders of all words, the first word of the text in that order; two texts agree in
as large a share of them as they share words. Texts that agree in a whole band of three are compared; texts
that never do are not, so the work grows with the texts and not with their pairs.
"""

from __future__ import annotations

import re
import zlib
from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import NDArray

Sketches = NDArray[np.uint32]
Keys = NDArray[np.int64]
BANDS, ROWS = 20, 3
KEY_BITS = 31
"""A band's key fits a database's plain integer; among millions of bands one in a hundred meets a stranger's."""
LEAST_AGREEMENT = 0.35
MOST_IN_A_BAND = 50
"""A band that more texts share holds only common words; then each is compared with its neighbours alone."""
_LARGEST = np.uint32(0xFFFFFFFF)
_WORDS_AT_ONCE = 200_000
# "28mm" and "28 mm" are the same two words.
_WORD = re.compile(r"[^\W\d_]+|\d+")
# Odd factors: multiplied without regard to overflow, each puts all words in an order of its own.
_FACTORS, _SHIFTS = np.random.default_rng(20).integers(
    0, 1 << 32, size=(2, BANDS * ROWS), dtype=np.uint32
) | np.array([[1], [0]], dtype=np.uint32)


def words_of(text: str) -> list[str]:
    """The words and numbers of a text in lower case, letters and digits apart."""
    return _WORD.findall(text.lower())


def sketch(texts: Sequence[Sequence[str]]) -> Sketches:
    """A sketch of each text, given as its words: (texts, 60); a text without words has the largest values."""
    sketches = np.full((len(texts), BANDS * ROWS), _LARGEST, dtype=np.uint32)
    start = 0
    while start < len(texts):
        stop = start
        words: list[str] = []
        starts: list[int] = []
        while stop < len(texts) and len(words) < _WORDS_AT_ONCE:
            starts.append(len(words))
            words += texts[stop]
            stop += 1
        ends = [*starts[1:], len(words)]
        filled = [i for i, (begin, end) in enumerate(zip(starts, ends, strict=True)) if begin < end]
        if filled:
            codes, begins = _mixed(_codes(words)), [starts[i] for i in filled]
            rows = start + np.asarray(filled)
            # One order at a time, so that what is worked on stays near the processor.
            for order, (factor, shift) in enumerate(zip(_FACTORS, _SHIFTS, strict=True)):
                sketches[rows, order] = np.minimum.reduceat(codes * factor + shift, begins)
        start = stop
    return sketches


def _codes(words: Sequence[str]) -> NDArray[np.uint32]:
    known = {word: zlib.crc32(word.encode()) for word in set(words)}
    return np.fromiter(map(known.__getitem__, words), dtype=np.uint32, count=len(words))


def _mixed(numbers: NDArray[np.uint32]) -> NDArray[np.uint32]:
    """The numbers with every bit spread over all others."""
    mixed = numbers ^ (numbers >> np.uint32(16))
    mixed *= np.uint32(0x85EBCA6B)
    mixed ^= mixed >> np.uint32(13)
    mixed *= np.uint32(0xC2B2AE35)
    mixed ^= mixed >> np.uint32(16)
    return mixed


def band_keys(sketches: Sketches) -> Keys:
    """One number of 31 bits for each band of each sketch: (texts, 20); equal bands have equal numbers."""
    bands = sketches.reshape(len(sketches), BANDS, ROWS).astype(np.uint64)
    mixed = np.arange(1, BANDS + 1, dtype=np.uint64) * np.uint64(0x9E3779B97F4A7C15)
    keys = np.broadcast_to(mixed, (len(sketches), BANDS)).copy()
    for row in range(ROWS):
        keys = (keys ^ bands[:, :, row]) * np.uint64(0xBF58476D1CE4E5B9)
        keys ^= keys >> np.uint64(29)
    return (keys >> np.uint64(64 - KEY_BITS)).astype(np.int64)


def close_pairs(sketches: Sketches, least: float = LEAST_AGREEMENT) -> NDArray[np.intp]:
    """Pairs (later, earlier) that share a band and agree in at least that share of their sketches, sorted."""
    if len(sketches) < 2:
        return np.zeros((0, 2), dtype=np.intp)
    keys = band_keys(sketches)
    found = np.unique(np.concatenate([_sharing(keys[:, band]) for band in range(BANDS)]), axis=0)
    kept = [
        some[(sketches[some[:, 0]] == sketches[some[:, 1]]).mean(axis=1) >= least]
        for some in np.array_split(found, max(1, len(found) // _WORDS_AT_ONCE + 1))
    ]
    return np.concatenate(kept)


def _sharing(keys: Keys) -> NDArray[np.intp]:
    """Pairs (later, earlier) with the same key: the first with all others of it, and each with its neighbours."""
    order = np.argsort(keys, kind="stable")
    ordered = keys[order]
    pairs = [np.zeros((0, 2), dtype=np.intp)]
    for step in range(1, MOST_IN_A_BAND + 1):
        same = np.flatnonzero(ordered[step:] == ordered[:-step])
        if not len(same):
            break
        pairs.append(np.column_stack([order[same + step], order[same]]))
    starts = np.r_[0, np.flatnonzero(ordered[1:] != ordered[:-1]) + 1]
    sizes = np.diff(np.r_[starts, len(ordered)])
    for begin, size in zip(
        starts[sizes > MOST_IN_A_BAND + 1], sizes[sizes > MOST_IN_A_BAND + 1], strict=True
    ):
        members = order[begin : begin + size]
        pairs.append(np.column_stack([members[1:], np.full(size - 1, members[0])]))
    return np.concatenate(pairs)


def leaders_of(texts: Sequence[str], alike: Callable[[int, int], bool] | None = None) -> list[int]:
    """For each text the index of the first text that it is nearly the same as; its own where there is none.

    `alike` has the last word on a pair (later, earlier); without it, sharing seven words in ten suffices.
    """
    words = [words_of(text) for text in texts]
    leaders = list(range(len(texts)))
    for later, earlier in close_pairs(sketch(words), LEAST_AGREEMENT if alike else 0.7).tolist():
        if leaders[later] == later and words[later] and (alike is None or alike(later, earlier)):
            leaders[later] = leaders[earlier]
    return leaders

"""Folds for cross-validation in which near twins never stand on both sides."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray
from sklearn.model_selection import KFold, StratifiedKFold

from triage.alike import leaders_of

Indices = NDArray[np.intp]
FOLDS = 3


def folds(
    texts: Sequence[str], coded: Indices, count: int, seed: int = 7
) -> Iterator[tuple[Indices, Indices]]:
    """(seen, unseen) indices; every label is spread over the folds, and twins follow the first of them."""
    leaders = np.asarray(leaders_of(texts))
    first = np.flatnonzero(leaders == np.arange(len(texts)))
    fold_of = np.zeros(len(texts), dtype=np.intp)
    fewest = np.bincount(coded[first]).max(initial=0)
    splitter = (
        StratifiedKFold(count, shuffle=True, random_state=seed)
        if fewest >= count
        else KFold(count, shuffle=True, random_state=seed)
    )
    for number, (_, unseen) in enumerate(splitter.split(first, coded[first])):
        fold_of[first[unseen]] = number
    fold_of = fold_of[leaders]
    for number in range(count):
        yield np.flatnonzero(fold_of != number), np.flatnonzero(fold_of == number)

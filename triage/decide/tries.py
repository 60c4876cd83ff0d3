"""Which values are tried: every corner of what is unknown, an even spread between, and what measuring leaves open."""

from __future__ import annotations

from functools import lru_cache
from itertools import product

import numpy as np
from numpy.typing import NDArray
from scipy.stats import qmc

Numbers = NDArray[np.float64]

TRIES = 1024
"""Rows tried for one finding, however many combinations of words they are shared among."""
FEWEST_TRIES = 160
MOST_CORNERED = 7
MOST_ROUGH_CORNERED = 5


@lru_cache(maxsize=256)
def unit_cube(unknown: int, rough: int, size: int) -> tuple[Numbers, int]:
    """Rows of the unit cube over the unknown facts and then the stated ones, and how many rows are as told.

    The first row is the middle of everything. The rows "as told" leave every stated fact where the rider put it
    (0.5) and run over the unknown ones, their corners included; the rows after them move the stated facts as well,
    by what their measuring leaves open.
    """
    told = [np.full((1, unknown + rough), 0.5)]
    if unknown:
        corners = _corners(unknown, MOST_CORNERED)
        told.append(_beside(corners, rough))
        told.append(_beside(_spread(unknown, max(size // 2 - len(corners), size // 4)), rough))
    rows = list(told)
    if rough:
        corners = _corners(rough, MOST_ROUGH_CORNERED)
        rows.append(np.hstack([np.full((len(corners), unknown), 0.5), corners]))
        rows.append(_spread(unknown + rough, max(size - sum(map(len, rows)), size // 4)))
    return np.vstack(rows), sum(map(len, told))


def tries_each(combinations: int) -> int:
    """How many rows each combination of words gets."""
    return max(FEWEST_TRIES, TRIES // max(combinations, 1))


def _corners(dimensions: int, most: int) -> Numbers:
    """Every corner of the first `most` dimensions; the ones beyond go along with the first."""
    corners = np.array(list(product((0.0, 1.0), repeat=min(dimensions, most))))
    return np.hstack([corners, np.tile(corners[:, :1], (1, max(0, dimensions - most)))])


def _spread(dimensions: int, count: int) -> Numbers:
    # The sequence is balanced over powers of two; the first rows of the next one serve as well.
    whole = 1 << (count - 1).bit_length()
    return np.asarray(qmc.Sobol(dimensions, scramble=False).random(whole)[:count])


def _beside(points: Numbers, rough: int) -> Numbers:
    return np.hstack([points, np.full((len(points), rough), 0.5)])

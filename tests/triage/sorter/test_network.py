"""The network's graph: which distances count alike, and whole numbers that stand for the weights."""

from __future__ import annotations

import numpy as np
import pytest

from triage.sorter.network import _evening, _in_whole_numbers, families


@pytest.mark.parametrize(
    ("away", "family"),
    # A second route: the published network's own function in the library transformers, 5.24, at these distances.
    [(0, 0), (1, 17), (7, 23), (8, 24), (11, 24), (12, 25), (15, 25), (16, 26), (22, 26), (23, 27), (31, 27), (32, 28), (45, 28),
     (46, 29), (63, 29), (64, 30), (79, 30), (-1, 1), (-7, 7), (-8, 8), (-12, 9), (-79, 14)],
)  # fmt: skip
def test_distances_count_alike_as_in_the_published_network(away: int, family: int) -> None:
    found = families(80)
    assert found[79, 79 + away] == family if away < 0 else found[0, away] == family


def test_whole_numbers_stand_for_the_weights_to_half_a_step() -> None:
    matrix = np.random.default_rng(1).normal(size=(40, 7)).astype(np.float32) * np.arange(
        1, 8, dtype=np.float32
    )
    whole, scale = _in_whole_numbers(matrix, 63)
    assert np.abs(whole).max() == 63
    assert (np.abs(whole * scale - matrix) <= scale / 2 * 1.001).all()


def test_a_column_of_nothing_is_no_error() -> None:
    whole, scale = _in_whole_numbers(np.zeros((3, 2), dtype=np.float32), 63)
    assert not whole.any()
    assert np.isfinite(scale).all()


def test_a_place_that_reaches_far_is_evened_out_and_changes_no_product() -> None:
    draw = np.random.default_rng(2)
    matrix, rows = draw.normal(size=(16, 4)).astype(np.float32), draw.normal(size=(50, 16)).astype(np.float32)
    rows[:, 3] *= 100
    even = _evening(matrix, np.abs(rows).max(axis=0))
    reach = np.abs(rows / even).max(axis=0)
    assert reach.max() / np.median(reach) < 0.2 * np.abs(rows).max() / np.median(np.abs(rows).max(axis=0))
    assert np.allclose((rows / even) @ (matrix * even[:, None]), rows @ matrix, rtol=1e-3, atol=1e-3)

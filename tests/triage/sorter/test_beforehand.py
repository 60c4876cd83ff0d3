"""What was read beforehand stands near what the model itself reads, and only for the model that read it."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from knowledge.base import Knowledge
from training.vectors import texts_of
from triage.sorter.adapted import adapted
from triage.sorter.beforehand import DIRECTIONS, Beforehand, beforehand, reader_of
from triage.sorter.encoder import Vectors, has_model
from triage.sorter.meaning import KnownVectors, as_rows, key_of
from triage.sorter.published import SIZE

MOST_UNREAD = 0.05
"""From this share of unread examples on, `python -m training.vectors` is due: they make a first start slow."""


def made(texts: list[str], changes: Path, seed: int = 1) -> tuple[Beforehand, Vectors]:
    """Texts whose vectors differ along few directions, as those of one trade do."""
    chance = np.random.default_rng(seed)
    along = chance.normal(size=(len(texts), 40)) @ chance.normal(size=(40, SIZE))
    vectors = (along / np.linalg.norm(along, axis=1, keepdims=True)).astype(np.float32)
    return Beforehand.of(vectors, as_rows([key_of(text) for text in texts]), reader_of(changes)), vectors


@pytest.fixture
def changes(tmp_path: Path) -> Path:
    file = tmp_path / "changes"
    file.write_bytes(b"what was learnt")
    return file


def test_vectors_come_back_as_they_were_but_for_the_steps(tmp_path: Path, changes: Path) -> None:
    kept, vectors = made([f"text {number}" for number in range(400)], changes)
    file = tmp_path / "examples.npz"
    kept.write(file)
    back = beforehand(changes, file)
    assert back is not None
    assert back.directions.shape == (DIRECTIONS, SIZE)
    assert float((back.vectors() * vectors).sum(axis=1).min()) > 0.98
    assert np.allclose(np.linalg.norm(back.vectors(), axis=1), 1, atol=1e-5)
    assert np.array_equal(back.vectors(), kept.vectors())


def test_what_another_model_read_is_left(tmp_path: Path, changes: Path) -> None:
    kept, _ = made(["a", "b", "c"], changes)
    kept.write(tmp_path / "examples.npz")
    changes.write_bytes(b"what was learnt since")
    assert beforehand(changes, tmp_path / "examples.npz") is None
    assert beforehand(changes, tmp_path / "none.npz") is None


def test_what_is_known_beforehand_is_not_read_and_not_kept_twice(tmp_path: Path, changes: Path) -> None:
    before, _ = made(["a", "b", "c"], changes)
    read: list[str] = []

    def encode(texts: list[str]) -> Vectors:
        read.extend(texts)
        return np.ones((len(texts), SIZE), dtype=np.float32)

    file = tmp_path / "kept.npz"
    known = KnownVectors(encode, file, before=before)
    found = known(["b", "new", "a"])
    assert read == ["new"]
    assert np.allclose(found[[0, 2]], before.vectors()[[1, 0]])
    known.write(file, ["b", "new", "a"])
    with np.load(file) as held:
        assert held["keys"].tobytes() == key_of("new")
    assert KnownVectors(encode, file, before=before)(["new", "c"]).shape == (2, SIZE)
    assert read == ["new"]


@pytest.mark.skipif(not has_model(), reason="needs the language model")
def test_what_comes_with_the_program_are_the_examples_as_the_model_reads_them(knowledge: Knowledge) -> None:
    changed = adapted()
    assert changed is not None
    held = beforehand(changed.file())
    assert held is not None, "run `python -m training.vectors --anew`"
    row_of = {key.tobytes(): row for row, key in enumerate(held.keys)}
    texts = texts_of(knowledge)
    unread = [text for text in texts if key_of(text) not in row_of]
    assert len(unread) < MOST_UNREAD * len(texts), "run `python -m training.vectors`"

    some = [text for text in texts if key_of(text) in row_of][:: len(texts) // 40]
    rows = held.vectors()[[row_of[key_of(text)] for text in some]]
    alike = (rows * changed.encode()(some)).sum(axis=1)
    assert float(alike.mean()) > 0.93
    assert float(alike.min()) > 0.8

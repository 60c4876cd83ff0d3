"""The language model taught the trade: which part has seen what, and that nothing is measured by one that has seen it."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from safetensors.numpy import load_file, save_file

from triage.sorter.adapted import FOLDER, UNKNOWN, Adapted, adapted
from triage.sorter.encoder import PUBLISHED, Changes, encode
from triage.sorter.examples import Examples
from triage.sorter.folds import FOLDS
from triage.sorter.meaning import KnownVectors, as_rows, key_of
from triage.sorter.measure import cross_read_adapted
from triage.sorter.published import SIZE
from triage.sorter.sorter import Weighing, Weights

RANK = 2
PLACE = "encoder.layer.11.output.dense"


def changes(size: float) -> Changes:
    """Changes of one weight of the last layer."""
    draw = np.random.default_rng(3)
    return {
        **load_file(PUBLISHED),
        f"{PLACE}.down": draw.normal(size=(RANK, 4 * SIZE)).astype(np.float16),
        f"{PLACE}.up": (size * draw.normal(size=(SIZE, RANK))).astype(np.float16),
    }


@pytest.fixture
def changed(tmp_path: Path) -> Adapted:
    """A folder in which six texts were told apart into folds."""
    texts = [f"text number {number} about a chain" for number in range(6)]
    keys = as_rows([key_of(text) for text in texts])
    np.savez(tmp_path / "folds.npz", keys=keys, numbers=np.asarray([0, 0, 1, 1, 2, 2], dtype=np.int8))
    for left_out in (None, *range(FOLDS)):
        save_file(changes(0.02 * (left_out or 0)), Adapted(tmp_path).file(left_out))
    return Adapted(tmp_path)


def test_changes_of_nothing_change_nothing_and_others_do(changed: Adapted) -> None:
    texts = ["The lever comes back to the bar.", "My chain skips."]
    plain = encode(texts)
    assert np.allclose(changed.encode()(texts), plain, atol=1e-6)
    other = changed.encode(2)(texts)
    assert np.allclose(np.linalg.norm(other, axis=1), 1, atol=1e-5)
    assert not np.allclose(other, plain, atol=1e-3)


def test_each_text_is_unseen_once_and_a_newcomer_goes_with_its_twin(changed: Adapted) -> None:
    known = [f"text number {number} about a chain" for number in range(6)]
    # Far enough from one another that only the newcomer is a twin, of the third.
    folded = [
        "oil",
        "grease",
        "my rear wheel wobbles and rubs on the brake pads when I climb",
        "wax",
        "bolt",
        "nut",
    ]
    texts = [*known, "a newcomer"]
    folded.append("my rear wheel wobbles and rubs on the brake pads when i climb hills")
    parts = changed.parts(texts, folded)
    unseen = np.concatenate([unseen for _, unseen in parts])
    assert sorted(unseen.tolist()) == list(range(7))
    assert {2, 6} <= set(parts[1][1].tolist())
    for seen, left in parts:
        assert not set(seen.tolist()) & set(left.tolist())


def test_a_text_that_its_model_has_seen_is_not_measured(changed: Adapted) -> None:
    texts = ["text number 0 about a chain", "text number 5 about a chain"]
    # They have become twins since: both stand in the first one's fold, whose model has seen the other.
    parts = changed.parts(
        texts, ["the very same words of a rider here", "the very same words of a rider here"]
    )
    assert [unseen.tolist() for _, unseen in parts] == [[0], [], []]
    assert parts[0][0].tolist() == []


def test_what_nobody_knows_has_no_number(changed: Adapted) -> None:
    assert changed.numbers(["text number 4 about a chain", "never heard"]).tolist() == [2, UNKNOWN]


def test_a_whole_measurement_finds_the_labels_and_the_weights(changed: Adapted) -> None:
    asks = {
        "brakes/squeal": "the brake squeals",
        "brakes/rub": "the rotor rubs on the pad",
        "tyres/flat": "the tyre goes flat",
        "chatter/praise": "what a lovely show you make",
    }
    ends = ("in the rain", "since Sunday", "on my commuter", "when I climb", "at home", "again", "all day",
            "with cold hands", "on the ferry", "for weeks", "near the mill", "they say")  # fmt: skip
    pairs = [(f"{ask} {end}", label) for label, ask in asks.items() for end in ends]
    examples = Examples(
        [text for text, _ in pairs], [label for _, label in pairs], frozenset({"chatter"}), [], []
    )
    reading, weights = cross_read_adapted(examples, str.lower, changed, KnownVectors)
    assert len(reading.texts) == len(pairs)
    assert weights.gate is not None
    assert np.isfinite([*weights.heats, *weights.gate]).all()


def test_the_changes_that_come_with_the_program_are_whole() -> None:
    found = adapted()
    assert found is not None, f"{FOLDER} is not complete; `make adapt` makes it"
    for weights in found.weighing():
        assert weights is not None
        assert weights.gate is not None
        assert len(weights.heats) == 4
    assert all(found.file(left_out).is_file() for left_out in (None, *range(FOLDS)))


def test_weights_are_kept_and_read_back(tmp_path: Path) -> None:
    kept = Adapted(tmp_path)
    one, other = (
        Weights(np.asarray([0.1, 0.2, 0.3, number]), np.asarray([1.0, number])) for number in (4.0, 5.0)
    )
    kept.keep(Weighing(one, other))
    back = kept.weighing()
    assert [weights and weights.heats[3] for weights in back] == [4.0, 5.0]
    with pytest.raises(ValueError, match="the second reading has no gate"):
        kept.keep(Weighing(one, Weights(other.heats, None)))

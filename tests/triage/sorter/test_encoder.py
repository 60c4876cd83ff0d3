"""The encoder beside what is published of its model, and beside itself: alone, in a crowd, cut off, empty."""

from __future__ import annotations

import numpy as np
import pytest

from triage.sorter import encoder
from triage.sorter.encoder import MOST_PIECES, SIZE, encode


@pytest.fixture(autouse=True)
def there_is_a_model() -> None:
    assert encoder.model_folder() is not None, "`make install` brings the language model"


def test_likeness_is_what_the_authors_of_the_library_publish() -> None:
    # Sentence Transformers, documentation, Quickstart (from memory): all-MiniLM-L6-v2 on these three sentences, cosine of the
    # first with the second 0.6660, with the third 0.1046, of the second with the third 0.1411.
    told = encode(["The weather is lovely today.", "It's so sunny outside!", "He drove to the stadium."])
    likeness = told @ told.T
    assert likeness[0, 1] == pytest.approx(0.6660, abs=0.002)
    assert likeness[0, 2] == pytest.approx(0.1046, abs=0.002)
    assert likeness[1, 2] == pytest.approx(0.1411, abs=0.002)


def test_other_words_for_one_trouble_lie_nearer_than_the_same_words_for_another() -> None:
    asked, reworded, other = encode(
        [
            "my rear brake lever goes soft",
            "back lever feels like a sponge when I stop",
            "my rear wheel goes flat",
        ]
    )
    assert asked @ reworded > asked @ other


def test_a_text_reads_the_same_in_any_company_and_order() -> None:
    texts = [
        f"{what} {number} times"
        for number in range(60)
        for what in ("chain skips", "a much longer tale of the chain")
    ]
    together = encode(texts)
    assert np.allclose(encode(texts[::-1])[::-1], together, atol=1e-6)
    assert np.allclose(np.vstack([encode([text]) for text in texts[:8]]), together[:8], atol=1e-6)


def test_every_vector_has_length_one_whatever_the_text() -> None:
    texts = ["", " ", "🚲🔧", "x" * 5000, "word " * 3000, "\u202e\x00", "Bremse quietscht", "ブレーキ"]
    told = encode(texts)
    assert told.shape == (len(texts), SIZE)
    assert np.allclose(np.linalg.norm(told, axis=1), 1, atol=1e-5)


def test_a_long_text_is_read_to_its_bound_and_no_further() -> None:
    start = "chain " * MOST_PIECES
    assert np.allclose(*encode([start + "and then the brake failed", start + "bread"]), atol=1e-6)


def test_nothing_to_read_is_no_error() -> None:
    assert encode([]).shape == (0, SIZE)


def test_other_weights_are_not_used(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(encoder, "WEIGHTS_DIGEST", "of other weights")
    encoder.model_folder.cache_clear()
    assert encoder.model_folder() is None
    encoder.model_folder.cache_clear()


def test_without_the_package_there_is_no_model(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(encoder, "PACKAGE", "no-such-package-anywhere")
    encoder.model_folder.cache_clear()
    assert encoder.model_folder() is None
    encoder.model_folder.cache_clear()

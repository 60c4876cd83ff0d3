"""The encoder beside its model in full numbers, and beside itself: alone, in a crowd, cut off, empty, and without a cache."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from triage.sorter import encoder, published
from triage.sorter.encoder import MOST_PIECES, encode, has_model
from triage.sorter.published import SIZE


@pytest.fixture(autouse=True)
def there_is_a_model() -> None:
    assert has_model(), "`make install` brings the language model"


def test_likeness_is_that_of_the_published_model_in_full_numbers() -> None:
    # A second route: the library transformers, 5.24, with the published weights and 32 bits a number, on these three
    # sentences (they stand in the quick start of Sentence Transformers).
    told = encode(["The weather is lovely today.", "It's so sunny outside!", "He drove to the stadium."])
    likeness = told @ told.T
    assert likeness[0, 1] == pytest.approx(0.6817, abs=0.02)
    assert likeness[0, 2] == pytest.approx(0.0492, abs=0.02)
    assert likeness[1, 2] == pytest.approx(0.0421, abs=0.02)


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
    monkeypatch.setattr(published, "WEIGHTS_DIGEST", "of other weights")
    with pytest.raises(published.NoModelError, match="other weights than the sorter was measured with"):
        published.weights_and_tokenizer()


def test_other_parts_than_were_measured_with_are_no_model(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(published, "PARTS_DIGEST", "of other parts")
    assert not has_model()


def test_without_one_of_its_packages_there_is_no_model(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(published, "PACKAGES", (*published.PACKAGES[:4], "no-such-package-anywhere"))
    assert not has_model()
    with pytest.raises(published.NoModelError, match="`make install` brings it"):
        published.opened()


def test_what_was_readied_is_kept_and_a_cut_off_file_is_readied_anew(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    plain = encode(["My chain skips."])
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    file = tmp_path / "quillstem" / f"reader-{encoder.version()}.onnx"
    file.parent.mkdir()
    file.write_bytes(b"half of it")
    encoder._encoder.cache_clear()
    try:
        assert np.array_equal(encode(["My chain skips."]), plain)
        assert file.stat().st_size > 100e6
    finally:
        encoder._encoder.cache_clear()


def test_a_cache_that_cannot_be_written_costs_time_alone(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    plain = encode(["My chain skips."])
    (tmp_path / "a file").touch()
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "a file"))
    encoder._encoder.cache_clear()
    try:
        assert np.array_equal(encode(["My chain skips."]), plain)
    finally:
        encoder._encoder.cache_clear()

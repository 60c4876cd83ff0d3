"""What a text means, as a vector: a published language model, readied once for the runtime and kept.

To ready it takes seconds and more than a gigabyte of memory; what comes of it is a file of 110 MB in the user's cache.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Sequence
from contextlib import suppress
from functools import lru_cache
from pathlib import Path

import numpy as np
import onnxruntime
from numpy.typing import NDArray
from safetensors.numpy import load_file
from tokenizers import Tokenizer

from triage.sorter import published
from triage.sorter.cache import alone, home, keep, make_room, was_used
from triage.sorter.published import SIZE, Weights

Vectors = NDArray[np.float32]
Changes = dict[str, NDArray[np.float16]]
"""By name, low-rank changes of the network's weights, `….down` (rank, in) and `….up` (out, rank); and how far reaches what
goes into each of its products, `….low` and `….high` (in,)."""
PUBLISHED = Path(__file__).parent / "changes" / "published.safetensors"
"""The model as it was published: no changes, only the reaches."""
MOST_PIECES = 80
"""A longer text is read to here, some 60 words: the model was trained on sentences and short paragraphs."""
MOST_KEPT = 4
"""Readied models that stay on the disk: the one in use, and those without a fold each by which it is measured."""
_TEXTS_AT_ONCE = 16
_TOKENIZER = "tokenizer"


class Encoder:
    """Turns texts into vectors of unit length; texts that mean much the same have vectors that lie close."""

    def __init__(self, graph: Path | bytes) -> None:
        """Read a model that was readied, from a file or from memory."""
        options = onnxruntime.SessionOptions()
        # A batch spreads over processes; threads in each would only stand in one another's way.
        options.intra_op_num_threads = options.inter_op_num_threads = 1
        held = graph if isinstance(graph, bytes) else str(graph)
        self._session = onnxruntime.InferenceSession(held, options, providers=["CPUExecutionProvider"])
        self._tokenizer = Tokenizer.from_str(self._session.get_modelmeta().custom_metadata_map[_TOKENIZER])
        self._tokenizer.no_padding()
        self._tokenizer.enable_truncation(MOST_PIECES)

    def encode(self, texts: Sequence[str]) -> Vectors:
        """The vectors of the texts: (texts, 768), float32, each of length one. A text that comes twice is read once."""
        places = {text: place for place, text in enumerate(dict.fromkeys(texts))}
        split = [found.ids for found in self._tokenizer.encode_batch(list(places))]
        vectors = np.empty((len(split), SIZE), dtype=np.float32)
        for some in _of_one_length([len(pieces) for pieces in split]):
            pieces = np.asarray([split[place] for place in some], dtype=np.int64)
            vectors[some] = self._session.run(None, {"pieces": pieces})[0]
        return vectors[[places[text] for text in texts]]


def _of_one_length(lengths: Sequence[int]) -> Iterator[list[int]]:
    """Texts with as many pieces: filled up to one length they would cost more, and read a little otherwise in company."""
    by_length: dict[int, list[int]] = {}
    for place, length in enumerate(lengths):
        by_length.setdefault(length, []).append(place)
    for places in by_length.values():
        for start in range(0, len(places), _TEXTS_AT_ONCE):
            yield places[start : start + _TEXTS_AT_ONCE]


def has_model() -> bool:
    """Whether there is a model to read with."""
    return bool(published.parts())


def encode(texts: Sequence[str], changes: Path = PUBLISHED) -> Vectors:
    """The vectors of the texts, (texts, 768), by an encoder that this process reads when it is first asked.

    With a file of `Changes` they are those of the changed model.

    Raises:
        NoModelError: there is no model; ask `has_model` first.
    """
    return _encoder(changes).encode(texts)


def version(changes: Path = PUBLISHED) -> str:
    """What vectors hang on: the model, what it was taught, and the program that runs it."""
    program = [Path(__file__).with_name(name).read_bytes() for name in ("encoder.py", "network.py")]
    held = b"\0".join([published.WEIGHTS_DIGEST.encode(), changes.read_bytes(), *program])
    return hashlib.sha256(held).hexdigest()[:12]


@lru_cache(maxsize=2)
def _encoder(changes: Path) -> Encoder:
    file = home() / f"reader-{version(changes)}.onnx"
    known = _kept(file)
    if known is not None:
        return known
    with alone(home(), "readying"):
        known = _kept(file)
        if known is not None:
            return known
        graph = readied(load_file(changes))
        if keep(file, lambda beside: beside.write_bytes(graph)):
            make_room(home(), "reader-*.onnx", MOST_KEPT)
    return Encoder(graph)


def _kept(file: Path) -> Encoder | None:
    """The encoder of a file; None where there is none. A cut-off file is only a cache, and is removed."""
    if not file.is_file():
        return None
    try:
        encoder = Encoder(file)
    except Exception:
        with suppress(OSError):
            file.unlink(missing_ok=True)
        return None
    was_used(file)
    return encoder


def readied(changes: Changes) -> bytes:
    """The published model with these changes, as the runtime reads it.

    Raises:
        NoModelError: there is no model, or another one.
    """
    from triage.sorter.network import as_graph  # what it takes to load is needed once in months

    weights, tokenizer = published.weights_and_tokenizer()
    _change(weights, changes)
    reaches = {name: values for name, values in changes.items() if name.endswith((".low", ".high"))}
    graph = as_graph(weights, reaches, MOST_PIECES)
    graph.metadata_props.add(key=_TOKENIZER, value=tokenizer)
    return bytes(graph.SerializeToString())


def _change(weights: Weights, changes: Changes) -> None:
    for name, down in changes.items():
        place, part = name.rsplit(".", 1)
        if part == "down":
            up = changes[f"{place}.up"]
            weights[f"{place}.weight"] += up.astype(np.float32) @ down.astype(np.float32)

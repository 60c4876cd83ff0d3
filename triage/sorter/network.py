"""The language model as a graph of whole numbers for a runtime: a quarter of its size, at three times the pace.

The network is MPNet (Song and others, MPNet: Masked and Permuted Pre-training for Language Understanding, 2020), trained for
likeness of sentences (Reimers and Gurevych, Sentence-BERT, 2019). In each product one side has eight bits a number and
the other seven. A few places of what goes in reach a hundred times farther than the rest, and so few bits can't hold
both; so each place is divided by what evens it out, and the weights that it meets are multiplied by it (Xiao and
others, SmoothQuant, 2023).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray
from onnx import ModelProto, NodeProto, TensorProto, helper, numpy_helper

from triage.sorter.published import SIZE, Weights

Reaches = dict[str, NDArray[np.float16]]
"""By the name of a product and `.low` or `.high`: the least and the most that goes into each of its places, (in,)."""
LAYERS = 12
HEADS = 12
SHARE_EVENED = 0.75
"""Between leaving what goes in as it is (0) and moving all of its unevenness to the weights (1)."""
_NEAR, _FAMILIES, _FARTHEST = 8, 16, 128
"""Distances to one side: so many count by themselves, and so many families there are, up to the farthest."""
_FIRST_PLACE = 2
"""The published table of places begins with two that no piece stands at."""
_EIGHT_BITS, _SEVEN_BITS = 127, 63
"""Seven in products: with eight, two of them can overflow sixteen bits on processors that have no step for it."""
_SMALLEST = np.float32(1e-5)
_OPSETS = (helper.make_opsetid("", 20), helper.make_opsetid("com.microsoft", 1))
_IR_VERSION = 9


def as_graph(weights: Weights, reaches: Reaches, most_pieces: int) -> ModelProto:
    """A graph from `pieces`, (texts, pieces) numbers of texts of one length, to `vectors`, (texts, 768) of length one."""
    network = _Network(weights, reaches)
    rows = network.embedded(most_pieces)
    away = network.told_apart(most_pieces)
    for number in range(LAYERS):
        rows = network.layer(f"encoder.layer.{number}", rows, away)
    sums = network.add("ReduceSum", rows, network.constant("over_pieces", np.asarray([1])), keepdims=0)
    network.add("LpNormalization", sums, out="vectors", axis=-1, p=2)
    return network.model()


@dataclass
class _Network:
    weights: Weights
    reaches: Reaches
    nodes: list[NodeProto] = field(default_factory=list)
    constants: dict[str, TensorProto] = field(default_factory=dict)

    def add(self, kind: str, *inputs: str, out: str = "", domain: str = "", **how: Any) -> str:
        """Add a step; the name of what comes out of it."""
        out = out or f"{kind}.{len(self.nodes)}"
        self.nodes.append(helper.make_node(kind, list(inputs), [out], domain=domain, **how))
        return out

    def constant(self, name: str, values: NDArray[Any]) -> str:
        if name not in self.constants:
            self.constants[name] = numpy_helper.from_array(np.array(values, order="C"), name)
        return name

    def model(self) -> ModelProto:
        pieces = helper.make_tensor_value_info("pieces", TensorProto.INT64, ["texts", "length"])
        vectors = helper.make_tensor_value_info("vectors", TensorProto.FLOAT, ["texts", SIZE])
        graph = helper.make_graph(self.nodes, "reader", [pieces], [vectors], list(self.constants.values()))
        return helper.make_model(graph, opset_imports=_OPSETS, ir_version=_IR_VERSION)

    def embedded(self, most: int) -> str:
        """What each piece is by itself, and at its place."""
        whole, scale = _in_whole_numbers(self.weights["embeddings.word_embeddings.weight"].T, _EIGHT_BITS)
        words = self.add("Gather", self.constant("words", whole.T), "pieces")
        scales = self.add("Gather", self.constant("words.scale", scale[:, None]), "pieces")
        rows = self.add("Mul", self.add("Cast", words, to=TensorProto.FLOAT), scales)
        table = self.weights["embeddings.position_embeddings.weight"][_FIRST_PLACE : _FIRST_PLACE + most]
        places = self._as_long_as_the_texts(self.constant("places", table), [0])
        return self._levelled("embeddings.LayerNorm", self.add("Add", rows, places))

    def told_apart(self, most: int) -> str:
        """What it counts that one piece stands so far before or after another: (1, heads, length, length)."""
        table = self.weights["encoder.relative_attention_bias.weight"][families(most)].transpose(2, 0, 1)
        return self._as_long_as_the_texts(self.constant("away", table[None]), [2, 3])

    def layer(self, name: str, rows: str, away: str) -> str:
        rows = self._levelled(
            f"{name}.attention.LayerNorm",
            self.add("Add", self._attended(f"{name}.attention.attn", rows, away), rows),
        )
        wide = self.add("Gelu", self._product([f"{name}.intermediate.dense"], rows))
        narrow = self._product([f"{name}.output.dense"], wide)
        return self._levelled(f"{name}.output.LayerNorm", self.add("Add", narrow, rows))

    def _attended(self, name: str, rows: str, away: str) -> str:
        """Each text's pieces look at one another."""
        asked = self._product([f"{name}.{part}" for part in "qkv"], rows)
        apart = self.add("Reshape", asked, self._numbers("apart", [0, 0, 3, HEADS, SIZE // HEADS]))
        query, key, value = (
            self.add("Gather", apart, self.constant(f"part.{part}", np.asarray(part)), axis=2)
            for part in range(3)
        )
        scores = self.add(
            "MatMul",
            self.add("Transpose", query, perm=[0, 2, 1, 3]),
            self.add("Transpose", key, perm=[0, 2, 3, 1]),
        )
        root = self.constant("root", np.asarray((SIZE // HEADS) ** -0.5, dtype=np.float32))
        shares = self.add("Softmax", self.add("Add", self.add("Mul", scores, root), away), axis=-1)
        seen = self.add("MatMul", shares, self.add("Transpose", value, perm=[0, 2, 1, 3]))
        side_by_side = self.add("Transpose", seen, perm=[0, 2, 1, 3])
        joined = self.add("Reshape", side_by_side, self._numbers("joined", [0, 0, SIZE]))
        return self._product([f"{name}.o"], joined)

    def _product(self, names: Sequence[str], rows: str) -> str:
        """The rows times the weights of these names side by side, in whole numbers; they share what goes in."""
        name = names[0]
        matrix = np.concatenate([self.weights[f"{one}.weight"] for one in names]).T
        low, high = (self.reaches[f"{name}.{end}"].astype(np.float32) for end in ("low", "high"))
        even = _evening(matrix, np.maximum(-low, high))
        least, most = min(0.0, float((low / even).min())), max(0.0, float((high / even).max()))
        step = (most - least) / 255
        whole, scale = _in_whole_numbers(matrix * even[:, None], _SEVEN_BITS)
        step_name = self.constant(f"{name}.step", np.asarray(step, dtype=np.float32))
        zero_name = self.constant(f"{name}.zero", np.asarray(round(-least / step), dtype=np.uint8))
        evened = self.add("Mul", rows, self.constant(f"{name}.even", 1 / even))
        return self.add(
            "MatMulIntegerToFloat",
            self.add("QuantizeLinear", evened, step_name, zero_name),
            self.constant(f"{name}.whole", whole),
            step_name,
            self.constant(f"{name}.scale", scale),
            zero_name,
            self.constant(f"{name}.none", np.zeros(len(scale), dtype=np.int8)),
            self.constant(f"{name}.bias", np.concatenate([self.weights[f"{one}.bias"] for one in names])),
            domain="com.microsoft",
        )

    def _levelled(self, name: str, rows: str) -> str:
        scale, shift = (
            self.constant(f"{name}.{part}", self.weights[f"{name}.{part}"]) for part in ("weight", "bias")
        )
        return self.add("LayerNormalization", rows, scale, shift, axis=-1, epsilon=float(_SMALLEST))

    def _as_long_as_the_texts(self, table: str, axes: Sequence[int]) -> str:
        """The beginning of a table, in these directions."""
        length = self.add("Shape", "pieces", start=1, end=2)
        lengths = self.add("Concat", *[length] * len(axes), axis=0)
        start = self._numbers(f"{table}.start", [0] * len(axes))
        return self.add("Slice", table, start, lengths, self._numbers(f"{table}.axes", axes))

    def _numbers(self, name: str, numbers: Sequence[int]) -> str:
        return self.constant(name, np.asarray(numbers, dtype=np.int64))


def families(most: int) -> NDArray[np.intp]:
    """Which distances between pieces count alike: (most, most), from a piece to each other.

    Those before it from 0, those after it from 16: each near distance is a family, the far ones share wider and wider ones.
    """
    places = np.arange(most)
    after = places[None, :] - places[:, None]
    far = np.abs(after)
    wider = np.log(np.maximum(far, 1) / _NEAR) / np.log(_FARTHEST / _NEAR) * (_FAMILIES - _NEAR)
    steps = np.where(far < _NEAR, far, np.minimum(_NEAR + wider.astype(np.intp), _FAMILIES - 1))
    return np.asarray(np.where(after > 0, _FAMILIES, 0) + steps, dtype=np.intp)


def _evening(matrix: NDArray[np.float32], reach: NDArray[np.float32]) -> NDArray[np.float32]:
    """By what each place that goes in is divided, and each row of the weights multiplied: (in,)."""
    heaviest = np.maximum(np.abs(matrix).max(axis=1), _SMALLEST)
    even = np.maximum(reach, _SMALLEST) ** SHARE_EVENED / heaviest ** (1 - SHARE_EVENED)
    return np.asarray(even, dtype=np.float32)


def _in_whole_numbers(matrix: NDArray[np.float32], most: int) -> tuple[NDArray[np.int8], NDArray[np.float32]]:
    """(in, out) whole numbers from -most to most, and by how much each column of them is to be multiplied: (out,)."""
    scale = np.maximum(np.abs(matrix).max(axis=0), _SMALLEST) / np.float32(most)
    return np.round(matrix / scale).astype(np.int8), scale.astype(np.float32)

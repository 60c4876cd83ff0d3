"""The language model taught the trade, and once more without each fold of the examples, so that it can be measured.

`training/adapt.py` makes the files: changes of the model's weights, how much the second reading then counts, and in which
fold each example was not seen.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache, partial
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from triage.alike import leaders_of
from triage.sorter.encoder import encode
from triage.sorter.folds import FOLDS, Indices
from triage.sorter.meaning import Encode, key_of
from triage.sorter.sorter import Weighing, Weights

FOLDER = Path(__file__).parent / "changes"
UNKNOWN = -1
READINGS = ("first", "second")
_WEIGHTS = "weights.json"


@dataclass(frozen=True)
class Adapted:
    """A folder of changes that were learnt from examples."""

    folder: Path

    def file(self, left_out: int | None = None) -> Path:
        """The changes learnt from every example, or without one fold of them."""
        return self.folder / ("whole.safetensors" if left_out is None else f"without-{left_out}.safetensors")

    def encode(self, left_out: int | None = None) -> Encode:
        """What reads texts as the model does that has seen every example, or not one fold of them."""
        return partial(encode, changes=self.file(left_out))

    def weighing(self) -> Weighing:
        """How much each part of either reading counts, found on texts that neither had seen."""
        held = json.loads((self.folder / _WEIGHTS).read_text(encoding="utf-8"))
        return Weighing(
            *(Weights(np.asarray(held[one]["heats"]), np.asarray(held[one]["gate"])) for one in READINGS)
        )

    def keep(self, weighing: Weighing) -> None:
        """Keep what was found.

        Raises:
            ValueError: a reading has no gate, as there are no examples of what is no question.
        """
        held = {}
        for name, weights in zip(READINGS, weighing, strict=True):
            if weights is None or weights.gate is None:
                raise ValueError(
                    f"the {name} reading has no gate; there are no examples of what is no question"
                )
            held[name] = {"heats": weights.heats.tolist(), "gate": weights.gate.tolist()}
        (self.folder / _WEIGHTS).write_text(json.dumps(held, indent=1) + "\n", encoding="utf-8")

    def digest_of_weights(self) -> str:
        """What the weighing hangs on."""
        return hashlib.sha256((self.folder / _WEIGHTS).read_bytes()).hexdigest()[:12]

    def parts(self, texts: Sequence[str], folded: Sequence[str]) -> list[tuple[Indices, Indices]]:
        """(seen, unseen) indices for each fold: near twins stay together, and no text is unseen where the model saw it.

        An example that came after the teaching goes with its twins, or to a fold by its words alone.
        """
        known = self.numbers(texts)
        leaders = np.asarray(leaders_of(folded))
        group = np.asarray([key_of(folded[leader])[0] % FOLDS for leader in leaders], dtype=np.int8)
        first_known: dict[int, int] = {}
        for leader, number in zip(leaders.tolist(), known.tolist(), strict=True):
            if number != UNKNOWN:
                first_known.setdefault(leader, number)
        for row, leader in enumerate(leaders.tolist()):
            group[row] = first_known.get(leader, group[row])
        fresh = (known == UNKNOWN) | (known == group)
        return [
            (np.flatnonzero(group != number), np.flatnonzero((group == number) & fresh))
            for number in range(FOLDS)
        ]

    def numbers(self, texts: Sequence[str]) -> NDArray[np.int8]:
        """The fold in which each text was not seen; UNKNOWN for what was not there."""
        with np.load(self.folder / "folds.npz") as held:
            numbers = {
                key.tobytes(): int(number) for key, number in zip(held["keys"], held["numbers"], strict=True)
            }
        return np.asarray([numbers.get(key_of(text), UNKNOWN) for text in texts], dtype=np.int8)


@lru_cache(maxsize=1)
def adapted() -> Adapted | None:
    """The changes that come with the program; None where they were not made yet."""
    return Adapted(FOLDER) if (FOLDER / _WEIGHTS).is_file() else None

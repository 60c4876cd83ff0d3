"""Teach the language model the trade: low-rank changes of its weights, learnt from the briefs' examples.

The published model knows English, but not that "the lever comes to the bar" and "no bite" are one trouble. This learns
small changes of it (Hu and others, LoRA: Low-Rank Adaptation of Large Language Models, 2021), once on all examples and once
without each fold of them, so that it can be measured on texts that it has not seen. It takes a framework of its own and,
on one core, a quarter of an hour a part:

    pip install -e '.[training]'
    python -m training.adapt             # learns what is missing in triage/sorter/changes
    python -m training.adapt --anew      # begins again, with the examples as they are now
"""

from __future__ import annotations

import argparse
import json
import shutil
import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import torch
from numpy.typing import NDArray
from peft import LoraConfig, get_peft_model
from safetensors.numpy import save_file
from tokenizers import Tokenizer
from torch import nn
from transformers import AutoModel

from knowledge.base import Knowledge
from knowledge.load import load
from triage.sorter import examples_of
from triage.sorter.adapted import FOLDER, UNKNOWN, Adapted
from triage.sorter.encoder import MOST_PIECES, Changes, model_folder
from triage.sorter.examples import Examples
from triage.sorter.fold import folder_for
from triage.sorter.folds import FOLDS, folds
from triage.sorter.meaning import KnownVectors, as_rows, key_of
from triage.sorter.measure import cross_read_adapted


@dataclass(frozen=True)
class Recipe:
    """How the changes are learnt: usual values, of which only the rounds were tried in another number."""

    epochs: int = 4
    batch: int = 64
    rank: int = 16
    scale: float = 2.0
    """How much the changes count beside the weights."""
    pace: float = 1e-3
    pace_of_centres: float = 2e-3
    sharpness: float = 20.0
    smoothing: float = 0.05
    warm_up: int = 100
    seed: int = 0


class Learner(nn.Module):
    """The model with its changes, and a centre for each label: a text should lie nearest to its own."""

    def __init__(self, folder: Path, recipe: Recipe, labels: int) -> None:
        super().__init__()
        model = AutoModel.from_pretrained(folder, add_pooling_layer=False)
        config = LoraConfig(
            r=recipe.rank,
            lora_alpha=recipe.rank * recipe.scale,
            target_modules=["query", "key", "value", "dense"],
        )
        self.model = get_peft_model(model, config)
        self.centres = nn.Parameter(torch.zeros(labels, model.config.hidden_size))
        self.sharpness = recipe.sharpness

    def vectors(self, pieces: Sequence[Sequence[int]]) -> torch.Tensor:
        """The texts' vectors, of length one: (texts, 384)."""
        longest = max(map(len, pieces))
        ids = torch.tensor([[*some, *[0] * (longest - len(some))] for some in pieces])
        mask = torch.tensor([[1] * len(some) + [0] * (longest - len(some)) for some in pieces])
        with torch.autocast("cpu", dtype=torch.bfloat16):
            rows = self.model(input_ids=ids, attention_mask=mask).last_hidden_state.float()
        weights = mask[..., None].float()
        return nn.functional.normalize((rows * weights).sum(1) / weights.sum(1), dim=1)

    def forward(self, pieces: Sequence[Sequence[int]]) -> torch.Tensor:
        """How near each text lies to each centre: (texts, labels)."""
        return self.sharpness * self.vectors(pieces) @ nn.functional.normalize(self.centres, dim=1).T


def learn(
    pieces: Sequence[Sequence[int]], coded: NDArray[np.intp], labels: int, folder: Path, recipe: Recipe
) -> Changes:
    """The changes that bring texts of one label together: `{weight: (384 or 1536, rank)}` and back, float16."""
    torch.manual_seed(recipe.seed)
    learner = Learner(folder, recipe, labels)
    _set_centres(learner, pieces, coded)
    changed = [weight for name, weight in learner.model.named_parameters() if "lora_" in name]
    optimiser = torch.optim.AdamW(
        [
            {"params": changed, "lr": recipe.pace},
            {"params": [learner.centres], "lr": recipe.pace_of_centres},
        ],
        weight_decay=0.01,
    )
    steps = recipe.epochs * -(-len(pieces) // recipe.batch)
    pace = torch.optim.lr_scheduler.LambdaLR(
        optimiser, lambda step: min(1.0, (step + 1) / recipe.warm_up) * max(0.02, 1 - step / steps)
    )
    order = np.random.default_rng(recipe.seed)
    began, lost = time.monotonic(), 0.0
    learner.train()
    for step, some in enumerate(
        batch for _ in range(recipe.epochs) for batch in _batches(pieces, order, recipe.batch)
    ):
        loss = nn.functional.cross_entropy(
            learner([pieces[row] for row in some]),
            torch.tensor(coded[some]),
            label_smoothing=recipe.smoothing,
        )
        optimiser.zero_grad()
        loss.backward()
        optimiser.step()
        pace.step()
        lost = 0.98 * lost + 0.02 * loss.item()
        if step % 50 == 49:
            print(
                f"  step {step + 1} of {steps}: loss {lost:.3f}, {time.monotonic() - began:.0f} s", flush=True
            )
    return _changes(learner, recipe)


@torch.no_grad()
def _set_centres(learner: Learner, pieces: Sequence[Sequence[int]], coded: NDArray[np.intp]) -> None:
    """Each label's centre begins at the mean of its texts."""
    learner.eval()
    by_length = sorted(range(len(pieces)), key=lambda row: len(pieces[row]))
    for start in range(0, len(by_length), 64):
        rows = by_length[start : start + 64]
        learner.centres.index_add_(
            0, torch.tensor(coded[rows]), learner.vectors([pieces[row] for row in rows])
        )


def _batches(
    pieces: Sequence[Sequence[int]], order: np.random.Generator, size: int
) -> Iterator[NDArray[np.intp]]:
    """Every text once, in a new order, with texts of like length together."""
    shuffled = order.permutation(len(pieces))
    batches = []
    for start in range(0, len(shuffled), size * 20):
        some = sorted(shuffled[start : start + size * 20], key=lambda row: len(pieces[row]))
        batches += [np.asarray(some[i : i + size]) for i in range(0, len(some), size)]
    yield from (batches[i] for i in order.permutation(len(batches)))


def _changes(learner: Learner, recipe: Recipe) -> Changes:
    """`{"encoder.layer.0.attention.self.query.down": (rank, in), "….up": (out, rank)}`, the scale in `up`."""
    changes = {}
    for name, weight in learner.model.named_parameters():
        if "lora_" not in name:
            continue
        place, part = name.removeprefix("base_model.model.").split(".lora_")
        values = weight.detach().numpy()
        if part.startswith("A"):
            changes[f"{place}.down"] = values.astype(np.float16)
        else:
            changes[f"{place}.up"] = (values * recipe.scale).astype(np.float16)
    return changes


def _folds_of(examples: Examples, knowledge: Knowledge) -> NDArray[np.int8]:
    """In which fold each example is not seen: (examples,)."""
    fold = folder_for(knowledge).fold
    coded = np.unique(np.asarray(examples.labels), return_inverse=True)[1]
    numbers = np.zeros(len(examples.texts), dtype=np.int8)
    for number, (_, unseen) in enumerate(folds([fold(text) for text in examples.texts], coded, FOLDS)):
        numbers[unseen] = number
    return numbers


def _learn_what_is_missing(changed: Adapted, examples: Examples, knowledge: Knowledge, model: Path) -> None:
    if not (changed.folder / "folds.npz").exists():
        keys = as_rows([key_of(text) for text in examples.texts])
        np.savez_compressed(changed.folder / "folds.npz", keys=keys, numbers=_folds_of(examples, knowledge))
    numbers = changed.numbers(examples.texts)
    labels, coded = np.unique(np.asarray(examples.labels), return_inverse=True)
    tokenizer = Tokenizer.from_file(str(model / "tokenizer.json"))
    tokenizer.no_padding()
    tokenizer.enable_truncation(MOST_PIECES)
    pieces = [found.ids for found in tokenizer.encode_batch(examples.texts)]
    for left_out in (None, *range(FOLDS)):
        file = changed.file(left_out)
        if file.exists():
            continue
        print(f"{file.name}:", flush=True)
        rows = np.flatnonzero((numbers != left_out) & (numbers != UNKNOWN))
        save_file(learn([pieces[row] for row in rows], coded[rows], len(labels), model, Recipe()), file)


def _weigh(changed: Adapted, examples: Examples, knowledge: Knowledge) -> None:
    """Find how much the second reading counts, on texts that neither it nor its model has seen."""
    _, weights = cross_read_adapted(examples, folder_for(knowledge).fold, changed, KnownVectors)
    if weights.gate is None:
        raise SystemExit("There are no examples of what is no question, so no gate can be found.")
    held = {"heats": weights.heats.tolist(), "gate": weights.gate.tolist()}
    (changed.folder / "weights.json").write_text(json.dumps(held, indent=1) + "\n", encoding="utf-8")


def main() -> None:
    """Learn what is missing in the folder of changes, and then how much the second reading counts."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--out", type=Path, default=FOLDER, help="where the changes lie")
    parser.add_argument("--threads", type=int, default=1)
    parser.add_argument("--anew", action="store_true", help="begin again with the examples as they are now")
    wanted = parser.parse_args()
    torch.set_num_threads(wanted.threads)
    model = model_folder()
    if model is None:
        raise SystemExit("The language model is not installed; `make install` brings it.")
    if wanted.anew and wanted.out.exists():
        shutil.rmtree(wanted.out)
    wanted.out.mkdir(parents=True, exist_ok=True)
    knowledge = load()
    examples, changed = examples_of(knowledge), Adapted(wanted.out)
    _learn_what_is_missing(changed, examples, knowledge, model)
    _weigh(changed, examples, knowledge)


if __name__ == "__main__":
    main()

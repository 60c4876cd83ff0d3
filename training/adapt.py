"""Teach the language model the trade: low-rank changes of its weights, learnt from the briefs' examples.

The published model knows English, but not that "the lever comes to the bar" and "no bite" are one trouble. This learns
small changes of it (Hu and others, LoRA: Low-Rank Adaptation of Large Language Models, 2021), once on all examples and once
without each fold of them, so that it can be measured on texts that it has not seen. Only the upper half of its layers is
changed: what the lower half makes of each text is then worked out once and not in every round. It takes a framework of its
own and, on two cores, an hour and a half:

    pip install -e '.[training]'
    python -m training.adapt             # learns what is missing in triage/sorter/changes
    python -m training.adapt --anew      # begins again, with the examples as they are now
"""

from __future__ import annotations

import argparse
import shutil
import tempfile
import time
from collections.abc import Callable, Iterator, Sequence
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
from triage.sorter.encoder import MOST_PIECES, PUBLISHED, Changes
from triage.sorter.examples import Examples
from triage.sorter.fold import folder_for
from triage.sorter.folds import FOLDS, folds
from triage.sorter.meaning import KnownVectors, as_rows, key_of
from triage.sorter.measure import cross_read_adapted
from triage.sorter.published import FOLDER as MODEL_FOLDER
from triage.sorter.published import SIZE, opened
from triage.sorter.sorter import Weighing
from triage.sorter.teach import train

WATCHED = 600
"""By so many texts it is seen how far what goes into each product reaches."""
_NO_PIECE = 1


@dataclass(frozen=True)
class Recipe:
    """How the changes are learnt: usual values, of which only the rounds were tried in another number."""

    epochs: int = 3
    batch: int = 64
    first_layer: int = 6
    rank: int = 16
    scale: float = 2.0
    """How much the changes count beside the weights."""
    pace: float = 1e-3
    pace_of_centres: float = 2e-3
    sharpness: float = 20.0
    smoothing: float = 0.05
    warm_up: int = 100
    seed: int = 0


@dataclass(frozen=True)
class Halfway:
    """What the lower layers make of texts: the rows of all their pieces, and where each text's begin and the last's end."""

    rows: torch.Tensor
    starts: NDArray[np.intp]

    def of(self, texts: NDArray[np.intp]) -> tuple[torch.Tensor, torch.Tensor]:
        """The texts' rows, filled up to one length, (texts, pieces, 768), and which of them are pieces."""
        lengths = self.lengths()[texts]
        rows = torch.zeros((len(lengths), int(lengths.max()), self.rows.shape[1]), dtype=self.rows.dtype)
        there = torch.zeros(rows.shape[:2])
        for place, (text, length) in enumerate(zip(texts, lengths, strict=True)):
            rows[place, :length] = self.rows[self.starts[text] : self.starts[text] + length]
            there[place, :length] = 1
        return rows, there

    def lengths(self) -> NDArray[np.intp]:
        """Of how many pieces each text is."""
        return np.diff(self.starts)


@torch.inference_mode()
def halfway(model: nn.Module, pieces: Sequence[Sequence[int]], layers: int) -> Halfway:
    """What the first layers of the published model make of the texts."""
    model.eval()
    starts = np.cumsum([0, *map(len, pieces)])
    rows = torch.zeros((int(starts[-1]), SIZE), dtype=torch.bfloat16)
    by_length = sorted(range(len(pieces)), key=lambda text: len(pieces[text]))
    for start in range(0, len(by_length), 64):
        texts = by_length[start : start + 64]
        longest = max(len(pieces[text]) for text in texts)
        ids = torch.tensor([[*pieces[text], *[_NO_PIECE] * (longest - len(pieces[text]))] for text in texts])
        with torch.autocast("cpu", dtype=torch.bfloat16):
            found = _through(model, model.embeddings(input_ids=ids), ids != _NO_PIECE, slice(layers))
        for row, text in zip(found, texts, strict=True):
            rows[starts[text] : starts[text + 1]] = row[: len(pieces[text])].to(torch.bfloat16)
    return Halfway(rows, starts)


def _through(model: nn.Module, rows: torch.Tensor, there: torch.Tensor, layers: slice) -> torch.Tensor:
    """The rows after some of the model's layers."""
    away = model.encoder.compute_position_bias(rows)
    hidden = (1 - there[:, None, None, :].float()) * -1e9
    for layer in model.encoder.layer[layers]:
        rows = layer(rows, hidden, position_bias=away)[0]
    return rows


class Learner(nn.Module):
    """The model with its changes, and a centre for each label: a text should lie nearest to its own."""

    def __init__(self, folder: Path, recipe: Recipe, labels: int) -> None:
        super().__init__()
        model = AutoModel.from_pretrained(folder, add_pooling_layer=False, attn_implementation="eager")
        changed = "|".join(str(layer) for layer in range(recipe.first_layer, model.config.num_hidden_layers))
        config = LoraConfig(
            r=recipe.rank,
            lora_alpha=recipe.rank * recipe.scale,
            target_modules=rf"encoder\.layer\.({changed})\..*\.(q|k|v|o|dense)",
        )
        self.model = get_peft_model(model, config)
        self.centres = nn.Parameter(torch.zeros(labels, model.config.hidden_size))
        self.recipe = recipe

    def vectors(self, rows: torch.Tensor, there: torch.Tensor) -> torch.Tensor:
        """The vectors of texts that came halfway, of length one: (texts, 768)."""
        with torch.autocast("cpu", dtype=torch.bfloat16):
            upper = slice(self.recipe.first_layer, None)
            rows = _through(self.model.base_model.model, rows.float(), there, upper).float()
        weights = there[..., None]
        return nn.functional.normalize((rows * weights).sum(1) / weights.sum(1), dim=1)

    def forward(self, rows: torch.Tensor, there: torch.Tensor) -> torch.Tensor:
        """How near each text lies to each centre: (texts, labels)."""
        nearness = self.vectors(rows, there) @ nn.functional.normalize(self.centres, dim=1).T
        return self.recipe.sharpness * nearness


def learn(
    texts: Halfway, seen: NDArray[np.intp], coded: NDArray[np.intp], labels: int, folder: Path, recipe: Recipe
) -> Learner:
    """A model with changes that bring the seen texts of one label together."""
    torch.manual_seed(recipe.seed)
    learner = Learner(folder, recipe, labels)
    _set_centres(learner, texts, seen, coded)
    changed = [weight for name, weight in learner.model.named_parameters() if "lora_" in name]
    optimiser = torch.optim.AdamW(
        [
            {"params": changed, "lr": recipe.pace},
            {"params": [learner.centres], "lr": recipe.pace_of_centres},
        ],
        weight_decay=0.01,
    )
    steps = recipe.epochs * -(-len(seen) // recipe.batch)
    pace = torch.optim.lr_scheduler.LambdaLR(
        optimiser, lambda step: min(1.0, (step + 1) / recipe.warm_up) * max(0.02, 1 - step / steps)
    )
    order = np.random.default_rng(recipe.seed)
    began, lost = time.monotonic(), 0.0
    learner.train()
    for step, some in enumerate(
        batch for _ in range(recipe.epochs) for batch in _batches(texts, seen, order, recipe.batch)
    ):
        loss = nn.functional.cross_entropy(
            learner(*texts.of(some)), torch.tensor(coded[some]), label_smoothing=recipe.smoothing
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
    return learner


@torch.no_grad()
def _set_centres(learner: Learner, texts: Halfway, seen: NDArray[np.intp], coded: NDArray[np.intp]) -> None:
    """Each label's centre begins at the mean of its texts."""
    learner.eval()
    by_length = seen[np.argsort(texts.lengths()[seen], kind="stable")]
    for start in range(0, len(by_length), 64):
        some = by_length[start : start + 64]
        learner.centres.index_add_(0, torch.tensor(coded[some]), learner.vectors(*texts.of(some)))


def _batches(
    texts: Halfway, seen: NDArray[np.intp], order: np.random.Generator, size: int
) -> Iterator[NDArray[np.intp]]:
    """Every text once, in a new order, with texts of like length together."""
    shuffled, lengths = order.permutation(seen), texts.lengths()
    batches = []
    for start in range(0, len(shuffled), size * 20):
        some = sorted(shuffled[start : start + size * 20], key=lambda text: lengths[text])
        batches += [np.asarray(some[i : i + size]) for i in range(0, len(some), size)]
    yield from (batches[i] for i in order.permutation(len(batches)))


def changes_of(learner: Learner) -> Changes:
    """`{"encoder.layer.6.attention.attn.q.down": (rank, in), "….up": (out, rank)}`, the scale in `up`."""
    changes = {}
    for name, weight in learner.model.named_parameters():
        if "lora_" not in name:
            continue
        place, part = name.removeprefix("base_model.model.").split(".lora_")
        values = weight.detach().numpy()
        if part.startswith("A"):
            changes[f"{place}.down"] = values.astype(np.float16)
        else:
            changes[f"{place}.up"] = (values * learner.recipe.scale).astype(np.float16)
    return changes


@torch.inference_mode()
def reaches_of(model: nn.Module, pieces: Sequence[Sequence[int]]) -> Changes:
    """How far what goes into each product reaches, in texts drawn from all: `….low` and `….high`, (in,)."""
    model.eval()
    low: dict[str, torch.Tensor] = {}
    high: dict[str, torch.Tensor] = {}

    def watch(name: str) -> Callable[[nn.Module, tuple[torch.Tensor]], None]:
        def seen(_: nn.Module, inputs: tuple[torch.Tensor]) -> None:
            rows = inputs[0].float().flatten(0, -2)
            low[name] = torch.minimum(low.get(name, rows[0]), rows.amin(0))
            high[name] = torch.maximum(high.get(name, rows[0]), rows.amax(0))

        return seen

    watched = [
        module.register_forward_pre_hook(watch(name))
        for name, module in model.named_modules()
        if isinstance(module, nn.Linear)
        and not name.endswith((".k", ".v"))  # what goes into these goes into q
    ]
    for some in pieces[:: max(1, len(pieces) // WATCHED)]:
        model(input_ids=torch.tensor([some]))
    for one in watched:
        one.remove()
    ends = (("low", low), ("high", high))
    return {
        f"{name}.{end}": rows.numpy().astype(np.float16)
        for end, found in ends
        for name, rows in found.items()
    }


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
    plain, recipe = (
        AutoModel.from_pretrained(model, add_pooling_layer=False, attn_implementation="eager"),
        Recipe(),
    )
    published = changed.folder / PUBLISHED.name
    if not published.exists():
        save_file(reaches_of(plain, pieces), published)
    left = [out for out in (None, *range(FOLDS)) if not changed.file(out).exists()]
    if not left:
        return
    texts = halfway(plain, pieces, recipe.first_layer)
    for left_out in left:
        print(f"{changed.file(left_out).name}:", flush=True)
        seen = np.flatnonzero((numbers != left_out) & (numbers != UNKNOWN))
        learner = learn(texts, seen, coded, len(labels), model, recipe)
        changes = changes_of(learner)
        save_file({**changes, **reaches_of(learner.model.merge_and_unload(), pieces)}, changed.file(left_out))


def _weigh(changed: Adapted, examples: Examples, knowledge: Knowledge) -> None:
    """Find how much each reading counts, on texts that it has not seen, nor its model."""
    fold = folder_for(knowledge).fold
    _, second = cross_read_adapted(examples, fold, changed, KnownVectors)
    changed.keep(Weighing(train(examples, fold).weights, second))


def main() -> None:
    """Learn what is missing in the folder of changes, and then how much the second reading counts."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--out", type=Path, default=FOLDER, help="where the changes lie")
    parser.add_argument("--threads", type=int, default=torch.get_num_threads(), help="cores to use")
    parser.add_argument("--anew", action="store_true", help="begin again with the examples as they are now")
    wanted = parser.parse_args()
    torch.set_num_threads(wanted.threads)
    if wanted.anew and wanted.out.exists():
        shutil.rmtree(wanted.out)
    wanted.out.mkdir(parents=True, exist_ok=True)
    knowledge = load()
    examples, changed = examples_of(knowledge), Adapted(wanted.out)
    with tempfile.TemporaryDirectory() as unpacked, opened() as archive:
        archive.extractall(unpacked)
        _learn_what_is_missing(changed, examples, knowledge, Path(unpacked) / MODEL_FOLDER)
    _weigh(changed, examples, knowledge)


if __name__ == "__main__":
    main()

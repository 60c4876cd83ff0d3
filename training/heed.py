"""Learn how likely a message tells of a danger, from messages whose sentences are marked.

    python -m training.heed

`marked.jsonl` holds invented messages, a line each, sentence by sentence with what each does: `a1` asks (about the first matter),
`t1` tells what that ask is about, `x` does neither, `o1` asks what isn't the desk's; `d` behind it, that it was done already, and `!`,
that it may hurt somebody. The weights that are printed stand in `triage/heed.py`; a taught sorter is read for them from the cache.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from sklearn.linear_model import LogisticRegression
from sklearn.metrics import average_precision_score, roc_auc_score
from sklearn.model_selection import cross_val_predict

from knowledge.load import load
from triage.heed import LEAST_LIKELY, LEAST_PRESSING, signals
from triage.records import Message
from triage.sorter import sorter_for
from triage.split import split

FILE = Path(__file__).with_name("marked.jsonl")
PARTS = 10


@dataclass(frozen=True)
class Marked:
    """One message, and the mark of each of its sentences."""

    sentences: tuple[str, ...]
    marks: tuple[str, ...]

    @property
    def text(self) -> str:
        """The message as it was written; a sentence that ends a line holds the line's end."""
        return "".join(one if one.endswith("\n") else f"{one} " for one in self.sentences).strip()

    @property
    def may_hurt(self) -> bool:
        """Whether any sentence tells of a danger."""
        return any("!" in mark for mark in self.marks)


def marked() -> Iterator[Marked]:
    """The messages of the file."""
    with FILE.open(encoding="utf-8") as lines:
        for line in lines:
            marks, sentences = zip(*json.loads(line)["said"], strict=True)
            yield Marked(sentences, marks)


def found_by_pattern(text: str) -> bool:
    """Whether the words of a message tell of a danger outright."""
    message = Message("m", "mail", None, None, None, None, None, text, "", "")
    return any("danger" in question.flags for question in split([message]))


def main() -> None:
    """Print the weights, and how well they find marked messages that they were not learnt from."""
    messages, knowledge = list(marked()), load()
    texts = [one.text for one in messages]
    patterns = np.asarray([found_by_pattern(text) for text in texts], dtype=float)
    told = np.column_stack([signals(sorter_for(knowledge).at_once(texts), knowledge), patterns])
    hurts = np.asarray([one.may_hurt for one in messages])
    machine = LogisticRegression()
    chances = cross_val_predict(machine, told, hurts, cv=PARTS, method="predict_proba")[:, 1]
    machine.fit(told, hurts)
    print("weights", machine.coef_[0].round(2), "all but", machine.intercept_.round(2))
    print(
        f"average precision {average_precision_score(hurts, chances):.3f}, area {roc_auc_score(hurts, chances):.3f}"
    )
    print("patterns alone", _precision_and_recall(hurts, patterns > 0))
    for bound in (LEAST_LIKELY, LEAST_PRESSING):
        print(f"from {bound}", _precision_and_recall(hurts, chances >= bound))


def _precision_and_recall(hurts: NDArray[np.bool_], found: NDArray[np.bool_]) -> str:
    hits = (hurts & found).sum()
    return f"{found.sum()} of {len(hurts)} found, {hits / found.sum():.2f} of them right, {hits / hurts.sum():.2f} of all that hurt"


if __name__ == "__main__":
    main()

"""Learn how likely a message tells of a danger, from messages whose sentences are marked.

    python -m training.heed

`marked.jsonl` holds invented messages, a line each, sentence by sentence with what each does: `a1` asks (about the first matter),
`t1` tells what that ask is about, `x` does neither, `o1` asks what isn't the desk's; `d` behind it, that it was done already, and `!`,
that it may hurt somebody. Each message is split as in a run, and what its questions mean is read beside what the taught sorter
says of it. Those weights are written to `triage/heed.safetensors`; the ones for a desk without the language model are printed and
stand in `triage/heed.py`.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from safetensors.numpy import save_file
from sklearn.linear_model import LogisticRegression
from sklearn.metrics import average_precision_score, roc_auc_score
from sklearn.model_selection import GroupKFold, cross_val_predict

from knowledge.base import Knowledge
from knowledge.load import load
from triage.heed import BY_MEANING, LEAST_LIKELY, LEAST_PRESSING, signals
from triage.records import Message, Question
from triage.sorter import Numbers, Sorter, Vectors, sorter_for
from triage.split import split

FILE = Path(__file__).with_name("marked.jsonl")
PARTS = 10
SHARE_OF_SIGNALS, SHARE_OF_MEANING = 0.3, 2.0
"""By so much both are multiplied before they are learnt from, so that neither drowns the other; between 0.3 and 3 for what is meant it
makes little difference."""
FIRMNESS, MOST_STEPS = 0.3, 500


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


def questions_of(text: str) -> list[Question]:
    """The questions of a message, as a run splits it."""
    return split([Message("m", "mail", None, None, None, None, None, text, "", "")])


def found_by_pattern(text: str) -> bool:
    """Whether the words of a message tell of a danger outright."""
    return any("danger" in question.flags for question in questions_of(text))


@dataclass(frozen=True)
class Read:
    """The questions of all messages: of which message each is, its signals, (questions, 3), and what it means, (questions, 768)."""

    message: NDArray[np.intp]
    told: Numbers
    meant: Vectors

    @property
    def weighed(self) -> Numbers:
        """Both side by side, each by as much as it is to count."""
        return np.hstack([SHARE_OF_SIGNALS * self.told, SHARE_OF_MEANING * self.meant])


def likeliest(chances: Numbers, message: NDArray[np.intp]) -> Numbers:
    """The chance of each message's likeliest question."""
    found = np.zeros(message.max() + 1)
    np.maximum.at(found, message, chances)
    return found


def read(messages: list[Marked], knowledge: Knowledge, sorter: Sorter) -> Read:
    """What the program reads in the marked messages; the sorter must have a language model."""
    asked = [(number, one) for number, message in enumerate(messages) for one in questions_of(message.text)]
    message = np.asarray([number for number, _ in asked])
    patterns = np.asarray(["danger" in one.flags for _, one in asked], dtype=float)
    whole = signals(sorter.at_once([one.text for one in messages]), knowledge)
    meant = sorter.meant([one.text for _, one in asked], [one.story for _, one in asked])
    if meant is None:
        raise SystemExit("this takes the language model; `make install` brings it")
    return Read(message, np.column_stack([whole[message], patterns]), meant)


def main() -> None:
    """Learn both kinds of weights, and print how well they find marked messages that they were not learnt from."""
    messages, knowledge = list(marked()), load()
    found = read(messages, knowledge, sorter_for(knowledge))
    hurts = np.asarray([one.may_hurt for one in messages])
    patterns = likeliest(found.told[:, 2], found.message) > 0
    print("patterns alone", _precision_and_recall(hurts, patterns))
    by_words = np.column_stack([found.told[np.unique(found.message, return_index=True)[1], :2], patterns])
    _measure("by words", LogisticRegression(), by_words, hurts, np.arange(len(hurts)))
    machine = LogisticRegression().fit(by_words, hurts)
    print("  weights", machine.coef_[0].round(2), "all but", machine.intercept_.round(2))
    machine = LogisticRegression(C=FIRMNESS, max_iter=MOST_STEPS)
    _measure("by meaning", machine, found.weighed, hurts, found.message)
    machine.fit(found.weighed, hurts[found.message])
    told, plane = np.split(machine.coef_[0], [3])
    weights = {
        "signals": SHARE_OF_SIGNALS * told,
        "plane": SHARE_OF_MEANING * plane,
        "all_but": machine.intercept_,
    }
    save_file({name: values.astype(np.float32) for name, values in weights.items()}, BY_MEANING)


def _measure(
    name: str, machine: LogisticRegression, rows: Numbers, hurts: NDArray[np.bool_], message: NDArray[np.intp]
) -> None:
    parts = GroupKFold(PARTS)
    chances = cross_val_predict(
        machine, rows, hurts[message], groups=message, cv=parts, method="predict_proba"
    )
    found = likeliest(chances[:, 1], message)
    precision, area = average_precision_score(hurts, found), roc_auc_score(hurts, found)
    print(f"{name}: average precision {precision:.3f}, area {area:.3f}")
    for bound in (LEAST_LIKELY, LEAST_PRESSING):
        print(f"  from {bound}", _precision_and_recall(hurts, found >= bound))


def _precision_and_recall(hurts: NDArray[np.bool_], found: NDArray[np.bool_]) -> str:
    hits = (hurts & found).sum()
    return f"{found.sum()} of {len(hurts)} found, {hits / found.sum():.2f} of them right, {hits / hurts.sum():.2f} of all that hurt"


if __name__ == "__main__":
    main()

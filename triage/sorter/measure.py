"""How well a sorter sorts: accuracy, coverage, calibration and what it takes for no question, on unseen texts."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray
from sklearn.metrics import confusion_matrix, f1_score

from triage.sorter.adapted import Adapted
from triage.sorter.examples import Examples
from triage.sorter.folds import FOLDS, Indices, folds
from triage.sorter.meaning import Encode
from triage.sorter.sorter import OUTSIDE, Fold, Scores, Sorted, Sorter, Weighing, Weights, second_scores
from triage.sorter.teach import coded_labels, train, weights_for

Flags = NDArray[np.bool_]
THRESHOLDS = tuple(round(0.05 * step, 2) for step in range(20))
BINS = 10
MOST_MISSES = 40
SURE_SHARE = 0.8


@dataclass(frozen=True)
class Reading:
    """What a sorter made of labelled texts: the topics and labels right for each, and its likeliest ones.

    `label` is empty where only the topic is known. `first_three` holds label names, the likeliest first.
    """

    texts: list[str]
    topic: list[str]
    label: list[str]
    guessed_topic: list[str]
    topic_chance: NDArray[np.float64]
    first_three: list[tuple[str, ...]]
    outside: NDArray[np.float64]

    def plus(self, other: Reading) -> Reading:
        """Both, one after the other."""
        return Reading(
            self.texts + other.texts,
            self.topic + other.topic,
            self.label + other.label,
            self.guessed_topic + other.guessed_topic,
            np.concatenate([self.topic_chance, other.topic_chance]),
            self.first_three + other.first_three,
            np.concatenate([self.outside, other.outside]),
        )


def read_with(
    sorter: Sorter, texts: Sequence[str], labels: Sequence[str], outside: frozenset[str]
) -> Reading:
    """Sort labelled texts; a label whose topic is in `outside` counts as no question for this desk."""
    return _reading(sorter.sort(list(texts)), texts, labels, outside)


def _reading(found: Sorted, texts: Sequence[str], labels: Sequence[str], outside: frozenset[str]) -> Reading:
    topics = found.topics()
    best = found.chances.argsort(axis=1)[:, ::-1][:, :3]
    names = found.labels.names
    right = [OUTSIDE if label.split("/")[0] in outside else label.split("/")[0] for label in labels]
    known = {label for label in labels if "/" in label} | set(found.labels.names)
    return Reading(
        list(texts),
        right,
        [
            label if topic != OUTSIDE and label in known else ""
            for label, topic in zip(labels, right, strict=True)
        ],
        [found.labels.topics[i] for i in topics.argmax(axis=1)],
        topics.max(axis=1),
        [tuple(names[i] for i in row) for row in best],
        found.outside,
    )


def cross_read(
    examples: Examples,
    fold: Fold,
    count: int = FOLDS,
    on_progress: Callable[[int], None] | None = None,
    encode: Encode | None = None,
    most_read: int | None = None,
) -> Reading:
    """Every example as read by a sorter that saw neither it nor a near twin, in training or in its weighing."""
    labels = np.asarray(examples.labels, dtype=object)
    texts = np.asarray(examples.texts, dtype=object)
    coded = np.unique(labels.astype(str), return_inverse=True)[1]
    whole: Reading | None = None
    for seen, unseen in folds([fold(text) for text in examples.texts], coded, count):
        part = Examples(
            texts[seen].tolist(),
            labels[seen].tolist(),
            examples.outside,
            examples.own_texts,
            examples.own_labels,
        )
        reading = read_with(
            train(part, fold, encode, most_read=most_read),
            texts[unseen].tolist(),
            labels[unseen].tolist(),
            examples.outside,
        )
        whole = reading if whole is None else whole.plus(reading)
        if on_progress is not None:
            on_progress(1)
    if whole is None:
        raise ValueError(f"count: expected 2 folds or more, got {count}")
    return whole


def cross_read_adapted(
    examples: Examples,
    fold: Fold,
    changed: Adapted,
    vectors_of: Callable[[Encode], Encode],
    on_progress: Callable[[int], None] | None = None,
) -> tuple[Reading, Weights]:
    """The same with a language model that was taught the trade: each part is read by one that has not seen it.

    How much the second reading counts is found on the other parts; and on all of them, for the program. `vectors_of`
    may remember what it is given to encode.
    """
    texts = np.asarray(examples.texts, dtype=object)
    labels = np.asarray(examples.labels, dtype=object)
    folded = [fold(text) for text in examples.texts]
    parts = changed.parts(examples.texts, folded)
    taught: list[_Part] = []
    for number, (seen, unseen) in enumerate(parts):
        part = replace(examples, texts=texts[seen].tolist(), labels=labels[seen].tolist())
        encode = vectors_of(changed.encode(number))
        sorter = train(part, fold, encode, Weighing(second=Weights(np.zeros(4), None)))
        coded = coded_labels(labels[unseen].tolist(), sorter.labels)
        taught.append(_Part(unseen, coded, sorter, _second_scores(sorter, texts[unseen].tolist())))
        if on_progress is not None:
            on_progress(1)
    whole: Reading | None = None
    for one in taught:
        others = [other for other in taught if other is not one]
        sorter = replace(one.sorter, second_weights=_weights_of(others))
        reading = read_with(sorter, texts[one.unseen].tolist(), labels[one.unseen].tolist(), examples.outside)
        whole = reading if whole is None else whole.plus(reading)
    if whole is None:
        raise ValueError("there are no folds to read")
    return whole, _weights_of(taught)


@dataclass(frozen=True)
class _Part:
    """A fold that was left out, the sorter that has not seen it, and what its second reading says of it."""

    unseen: Indices
    coded: Indices
    sorter: Sorter
    scores: Scores


def _second_scores(sorter: Sorter, texts: Sequence[str]) -> Scores:
    if sorter.meaning is None or sorter.encode is None:
        raise ValueError("a sorter without a second reading has no second scores")
    words = sorter.parts.scores([sorter.fold(text) for text in texts])
    return second_scores(words, sorter.meaning, sorter.encode(texts))


def _weights_of(parts: Sequence[_Part]) -> Weights:
    """How much the second reading counts, from texts that neither it nor its language model has seen."""
    scores = Scores(
        *(np.concatenate(some) for some in zip(*(part.scores.parts for part in parts), strict=True))
    )
    return weights_for(scores, np.concatenate([part.coded for part in parts]), parts[0].sorter.labels)


def figures_of(reading: Reading) -> dict[str, Any]:
    """The figures of a reading, ready for JSON: shares from 0 to 1, and lists for the pictures."""
    topic = np.asarray(reading.topic, dtype=object)
    inside = topic != OUTSIDE
    guessed = np.asarray(reading.guessed_topic, dtype=object)
    right = (topic == guessed) & inside
    chance = reading.topic_chance
    labelled = np.asarray([bool(label) for label in reading.label]) & inside
    figures: dict[str, Any] = {
        "texts": len(topic),
        "inside": int(inside.sum()),
        "outside": int((~inside).sum()),
    }
    if inside.any():
        surest = np.flatnonzero(inside)[np.argsort(-chance[inside], kind="stable")]
        surest = surest[: max(1, int(SURE_SHARE * len(surest)))]
        names = sorted(set(topic[inside]) | set(guessed[inside]))
        figures |= {
            "topic_accuracy": _share(right[inside]),
            "topic_accuracy_of_surest_80": _share(right[surest]),
            "topic_macro_f1": float(
                f1_score(topic[inside].astype(str), guessed[inside].astype(str), average="macro")
            ),
            "coverage": [
                {"least": least, "covered": _share(chance[inside] >= least), "right": _share(right[some])}
                for least in THRESHOLDS
                if (some := inside & (chance >= least)).any()
            ],
            "reliability": _reliability(chance[inside], right[inside]),
            "confusion": {
                "names": names,
                "counts": confusion_matrix(
                    topic[inside].astype(str), guessed[inside].astype(str), labels=names
                ).tolist(),
            },
        }
        figures["calibration_error"] = _calibration_error(figures["reliability"])
    if labelled.any():
        rows = np.flatnonzero(labelled)
        figures["label_first"] = _share(
            np.asarray([reading.first_three[i][0] == reading.label[i] for i in rows])
        )
        figures["label_in_first_three"] = _share(
            np.asarray([reading.label[i] in reading.first_three[i] for i in rows])
        )
    if (~inside).any():
        figures["outside_caught"] = [
            {
                "least": least,
                "caught": _share(reading.outside[~inside] >= least),
                "ours_set_aside": _share(reading.outside[inside] >= least) if inside.any() else 0.0,
            }
            for least in THRESHOLDS[1:]
        ]
    figures["worst_misses"] = _misses(reading, inside & ~right)
    return figures


def _share(flags: Flags) -> float:
    return round(float(flags.mean()), 4)


def _reliability(chance: NDArray[np.float64], right: Flags) -> list[dict[str, float]]:
    place = np.minimum((chance * BINS).astype(int), BINS - 1)
    return [
        {
            "said": round(float(chance[place == number].mean()), 4),
            "right": _share(right[place == number]),
            "texts": int((place == number).sum()),
        }
        for number in range(BINS)
        if (place == number).any()
    ]


def _calibration_error(bins: Sequence[dict[str, float]]) -> float:
    texts = sum(one["texts"] for one in bins)
    return round(sum(one["texts"] * abs(one["said"] - one["right"]) for one in bins) / texts, 4)


def _misses(reading: Reading, missed: Flags) -> list[dict[str, Any]]:
    worst = sorted(np.flatnonzero(missed).tolist(), key=lambda i: -reading.topic_chance[i])[:MOST_MISSES]
    return [
        {
            "text": reading.texts[i],
            "right": reading.label[i] or reading.topic[i],
            "read_as": reading.first_three[i][0],
            "sure": round(float(reading.topic_chance[i]), 3),
        }
        for i in worst
    ]


__all__ = ["Reading", "cross_read", "cross_read_adapted", "figures_of", "read_with"]

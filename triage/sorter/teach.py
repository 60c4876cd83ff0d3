"""Teach a sorter: planes and means fitted on labelled texts, and how much each counts.

It stands apart from the sorter because what it takes to learn takes a second to load, and a sorter that was taught is
only read back.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import minimize
from scipy.sparse import csr_matrix
from sklearn.linear_model import LogisticRegression
from sklearn.preprocessing import normalize
from sklearn.svm import LinearSVC

from triage.sorter.examples import Examples
from triage.sorter.features import Weigher
from triage.sorter.folds import folds
from triage.sorter.sorter import (
    Fold,
    Labels,
    Numbers,
    Parts,
    Scores,
    Sorter,
    by_topic,
    joint,
    signals,
    softmax,
)

FIRMNESS = 0.5
"""C of the support vector machines: how much a misread example weighs against a wide margin."""
FOLDS = 3


def train(examples: Examples, fold: Fold) -> Sorter:
    """Fit the parts on everything; weigh them by what they say of texts that they have not seen."""
    labels = Labels.of(examples)
    texts = [fold(text) for text in examples.texts]
    own = [fold(text) for text in examples.own_texts]
    coded = coded_labels(examples.labels, labels)
    own_coded = coded_labels(examples.own_labels, labels)
    held_out = scores_of_unseen(texts, coded, own, own_coded, labels)
    heats = heats_for(held_out, coded, labels)
    gate = gate_for(held_out, coded, labels, heats)
    return Sorter(labels, fitted(texts, coded, own, own_coded, labels), heats, gate, fold)


def coded_labels(names: Sequence[str], labels: Labels) -> NDArray[np.intp]:
    """The names as indices into the labels."""
    return np.searchsorted(np.asarray(labels.names), np.asarray(names, dtype=object).astype(str))


def fitted(
    texts: Sequence[str],
    coded: NDArray[np.intp],
    own: Sequence[str],
    own_coded: NDArray[np.intp],
    labels: Labels,
) -> Parts:
    """The parts, fitted on folded texts and the briefs' own words."""
    weigher = Weigher()
    matrix = weigher.fit_transform([*texts, *own])
    every = np.concatenate([coded, own_coded]).astype(np.intp)
    planes, plane_offsets = _planes(matrix, labels.topic_of[every], len(labels.topics))
    within = np.zeros((matrix.shape[1], len(labels.names)), dtype=np.float32)
    within_offsets = np.zeros(len(labels.names), dtype=np.float32)
    for topic in range(len(labels.topics)):
        columns = np.flatnonzero(labels.topic_of == topic)
        rows = np.flatnonzero(labels.topic_of[every] == topic)
        if len(columns) > 1:
            local = np.searchsorted(columns, every[rows])
            within[:, columns], within_offsets[columns] = _planes(matrix[rows], local, len(columns))
    counts = csr_matrix(
        (np.ones(len(every), dtype=np.float32), (every, np.arange(len(every)))),
        shape=(len(labels.names), len(every)),
    )
    means = np.ascontiguousarray(normalize(counts @ matrix).T.toarray(), dtype=np.float32)
    return Parts(weigher, planes, plane_offsets, within, within_offsets, means)


def _planes(
    matrix: csr_matrix, coded: NDArray[np.intp], count: int
) -> tuple[NDArray[np.float32], NDArray[np.float32]]:
    """One plane a class as (features, classes) and its offset; a class without examples scores -1."""
    planes = np.zeros((matrix.shape[1], count), dtype=np.float32)
    offsets = np.full(count, -1.0, dtype=np.float32)
    if len(np.unique(coded)) < 2:
        return planes, offsets
    machine = LinearSVC(C=FIRMNESS, class_weight="balanced", random_state=0).fit(matrix, coded)
    coefficients, intercepts = machine.coef_, machine.intercept_
    if len(machine.classes_) == 2:
        coefficients, intercepts = np.vstack([-coefficients, coefficients]), np.r_[-intercepts, intercepts]
    planes[:, machine.classes_] = coefficients.T
    offsets[machine.classes_] = intercepts
    return planes, offsets


def scores_of_unseen(
    texts: Sequence[str],
    coded: NDArray[np.intp],
    own: Sequence[str],
    own_coded: NDArray[np.intp],
    labels: Labels,
    count: int = FOLDS,
) -> Scores:
    """The scores of every text from parts that have seen neither it nor a near twin of it."""
    every = np.asarray(texts, dtype=object)
    scores = Scores(
        np.zeros((len(texts), len(labels.topics))),
        np.zeros((len(texts), len(labels.names))),
        np.zeros((len(texts), len(labels.names))),
        np.zeros(len(texts)),
    )
    for seen, unseen in folds(texts, coded, count):
        parts = fitted(list(every[seen]), coded[seen], own, own_coded, labels)
        for whole, part in zip(scores.parts, parts.scores(list(every[unseen])).parts, strict=True):
            whole[unseen] = part
    return scores


def heats_for(scores: Scores, coded: NDArray[np.intp], labels: Labels) -> Numbers:
    """How much each part counts (as logarithms), where the right labels of unseen texts come out likeliest."""
    rows = np.flatnonzero(~labels.outside[labels.topic_of[coded]])
    if not len(rows):
        rows = np.arange(len(coded))
    right, topic = coded, labels.topic_of[coded]

    def topic_loss(heats: Numbers) -> float:
        logits = np.exp(heats[0]) * scores.planes + np.exp(heats[1]) * nearest
        return float(-np.log(np.clip(softmax(logits)[np.arange(len(topic)), topic], 1e-9, 1)).mean())

    nearest = by_topic(scores.means, labels, np.max)
    first = minimize(topic_loss, np.log([4.0, 5.0]), method="Nelder-Mead", options={"maxiter": 60}).x
    if not np.any(np.bincount(labels.topic_of) > 1):
        return np.asarray([*first, 0.0, 0.0])

    def label_loss(heats: Numbers) -> float:
        loss, counted = 0.0, 0
        for number in range(len(labels.topics)):
            columns = labels.topic_of == number
            mine = rows[topic[rows] == number]
            if columns.sum() < 2 or not len(mine):
                continue
            raw = np.exp(heats[0]) * scores.means[np.ix_(mine, columns)]
            raw = raw + np.exp(heats[1]) * scores.within[np.ix_(mine, columns)]
            local = np.searchsorted(np.flatnonzero(columns), right[mine])
            loss -= np.log(np.clip(softmax(raw)[np.arange(len(mine)), local], 1e-9, 1)).sum()
            counted += len(mine)
        return float(loss / max(counted, 1))

    second = minimize(label_loss, np.log([20.0, 4.0]), method="Nelder-Mead", options={"maxiter": 60}).x
    return np.asarray([*first, *second])


def gate_for(scores: Scores, coded: NDArray[np.intp], labels: Labels, heats: Numbers) -> Numbers | None:
    """A logistic weighing of the signals that a text is no question for this desk; None without examples."""
    is_outside = labels.outside[labels.topic_of[coded]]
    if is_outside.sum() < 10 or (~is_outside).sum() < 10:
        return None
    told = signals(joint(scores, labels, heats), scores, labels)
    gate = LogisticRegression(C=1.0, max_iter=2000).fit(told, is_outside)
    return np.asarray([*gate.coef_[0], *gate.intercept_])

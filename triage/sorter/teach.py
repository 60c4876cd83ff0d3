"""Teach a sorter: planes and means fitted on labelled texts, and how much each counts.

It stands apart from the sorter because what it takes to learn takes a second to load, and a sorter that was taught is
only read back.
"""

from __future__ import annotations

import warnings
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import cast

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import minimize
from scipy.sparse import csr_matrix
from sklearn.exceptions import ConvergenceWarning
from sklearn.linear_model import LogisticRegression
from sklearn.preprocessing import normalize
from sklearn.svm import LinearSVC

from triage.sorter.at_once import at_once, side_by_side
from triage.sorter.encoder import Vectors
from triage.sorter.examples import Examples
from triage.sorter.features import Weigher
from triage.sorter.folds import FOLDS, folds
from triage.sorter.meaning import Encode, Meaning
from triage.sorter.sorter import (
    Fold,
    Labels,
    Numbers,
    Parts,
    Scores,
    Sorter,
    Weighing,
    Weights,
    by_topic,
    joint,
    second_scores,
    signals,
    softmax,
)

FIRMNESS = 0.5
"""C of the support vector machines: how much a misread example weighs against a wide margin."""
FIRMNESS_OF_MEANING = 10.0
"""C of the logistic regressions between meanings."""
MOST_STEPS = 60
_FEW = 3000
"""So few texts are learnt before another process has started."""
MORE_OF_OUTSIDE = 10
"""How many times as many texts are read of a label that is none of the others: there is no end to what is foreign."""
Codes = NDArray[np.intp]


def train(
    examples: Examples,
    fold: Fold,
    encode: Encode | None = None,
    weighing: Weighing | None = None,
    most_read: int | None = None,
) -> Sorter:
    """Fit the parts on everything; weigh them by what they say of texts that they have not seen.

    With an encoder the sorter reads a second time what the words leave unsure. An encoder that was itself taught on the
    examples has seen them all, so how much the second reading counts is then found elsewhere and given; where the first
    one's is given too, nothing is left to be found, and it takes a third of the time. To read a text for its meaning
    takes as long as to learn the words of twenty, so no more than `most_read` of them may be, evenly over the labels.
    """
    weighing = weighing or Weighing()
    labels = Labels.of(examples)
    coded = coded_labels(examples.labels, labels)
    read = evenly(coded, labels, most_read or len(coded))
    lesson = Lesson(
        [fold(text) for text in examples.texts],
        coded,
        read,
        None if encode is None else encode([examples.texts[row] for row in read]),
        [fold(text) for text in examples.own_texts],
        coded_labels(examples.own_labels, labels),
        None if encode is None else encode(examples.own_texts),
    )
    whole, found = _taught(lesson, labels, weighing)
    assert found.first is not None
    sorter = Sorter(labels, whole.parts, found.first, fold)
    if whole.meaning is None:
        return sorter
    return replace(sorter, meaning=whole.meaning, second_weights=found.second, encode=encode)


def evenly(coded: Codes, labels: Labels, most: int) -> Codes:
    """So many of the texts, in their order, as many of each label as there are: rows, ascending."""
    if most >= len(coded):
        return np.arange(len(coded))
    order = np.random.default_rng(0).permutation(len(coded))
    turn = np.zeros(len(coded), dtype=float)
    for label in range(len(labels.names)):
        mine = order[coded[order] == label]
        times = MORE_OF_OUTSIDE if labels.outside[labels.topic_of[label]] else 1
        turn[mine] = np.arange(len(mine)) / times
    return np.sort(order[np.argsort(turn[order], kind="stable")][:most])


@dataclass(frozen=True)
class Lesson:
    """Folded texts and the briefs' own words, the labels of both as indices, and their vectors where they have some.

    `read` are the rows of the texts that have a vector, ascending.
    """

    texts: list[str]
    coded: Codes
    read: Codes
    vectors: Vectors | None
    own: list[str]
    own_coded: Codes
    own_vectors: Vectors | None

    def by_words(self) -> Lesson:
        """The same without what the texts mean."""
        return replace(self, vectors=None, own_vectors=None)

    def part(self, rows: Codes) -> Lesson:
        """Some of the texts, and all of the briefs' own words."""
        place_of = np.full(len(self.texts), -1, dtype=np.intp)
        place_of[self.read] = np.arange(len(self.read))
        places = place_of[rows]
        read = np.flatnonzero(places >= 0)
        return replace(
            self,
            texts=[self.texts[row] for row in rows],
            coded=self.coded[rows],
            read=read,
            vectors=None if self.vectors is None else self.vectors[places[read]],
        )


@dataclass(frozen=True)
class _Task:
    """What to learn, and what then to read: nothing, or texts that have no near twin in the lesson."""

    lesson: Lesson
    unseen: Lesson | None
    labels: Labels


@dataclass(frozen=True)
class _Taught:
    parts: Parts
    meaning: Meaning | None


_Read = tuple[Scores, Scores | None]


def _taught(lesson: Lesson, labels: Labels, weighing: Weighing) -> tuple[_Taught, Weighing]:
    """Both readings taught on everything; and what is not known of how much their parts count, found."""
    is_weighed = weighing.first is not None and (weighing.second is not None or lesson.vectors is None)
    parted = [] if is_weighed else list(folds(lesson.texts, lesson.coded, FOLDS))
    parts = lesson if weighing.second is None else lesson.by_words()
    tasks = [_Task(parts.part(seen), parts.part(unseen), labels) for seen, unseen in parted]
    every = [*tasks, _Task(lesson, None, labels)]
    *told, whole = at_once(_worked, every, is_long=bool(tasks) and len(lesson.texts) > _FEW)
    if is_weighed:
        return cast(_Taught, whole), weighing
    words = meant = _no_scores(len(lesson.texts), labels)
    for (_, unseen), task, (by_words, by_meaning) in zip(parted, tasks, cast(list[_Read], told), strict=True):
        words = words.with_rows(unseen, by_words)
        if by_meaning is not None and task.unseen is not None:
            meant = meant.with_rows(unseen[task.unseen.read], by_meaning)
    first = weighing.first or weights_for(words, lesson.coded, labels)
    second = weighing.second
    if second is None and parts.vectors is not None:
        second = weights_for(meant.rows(lesson.read), lesson.coded[lesson.read], labels)
    return cast(_Taught, whole), Weighing(first, second)


def _worked(task: _Task) -> _Taught | _Read:
    parts, meaning = fitted(task.lesson, task.labels), meaning_of(task.lesson, task.labels)
    if task.unseen is None:
        return _Taught(parts, meaning)
    words = parts.scores(task.unseen.texts)
    if meaning is None or task.unseen.vectors is None:
        return words, None
    return words, second_scores(words.rows(task.unseen.read), meaning, task.unseen.vectors)


def weights_for(held_out: Scores, coded: Codes, labels: Labels) -> Weights:
    """How much each part counts, and the gate, from the scores of texts that the parts had not seen."""
    heats = heats_for(held_out, coded, labels)
    return Weights(heats, gate_for(held_out, coded, labels, heats))


def coded_labels(names: Sequence[str], labels: Labels) -> NDArray[np.intp]:
    """The names as indices into the labels."""
    return np.searchsorted(np.asarray(labels.names), np.asarray(names, dtype=object).astype(str))


def fitted(lesson: Lesson, labels: Labels) -> Parts:
    """The parts, fitted on folded texts and the briefs' own words."""
    weigher = Weigher()
    matrix = weigher.fit_transform([*lesson.texts, *lesson.own])
    every = np.concatenate([lesson.coded, lesson.own_coded]).astype(np.intp)
    within = np.zeros((matrix.shape[1], len(labels.names)), dtype=np.float32)
    within_offsets = np.zeros(len(labels.names), dtype=np.float32)
    topics = [topic for topic, count in enumerate(np.bincount(labels.topic_of)) if count > 1]
    columns = [np.flatnonzero(labels.topic_of == topic) for topic in topics]
    rows = [np.flatnonzero(labels.topic_of[every] == topic) for topic in topics]
    (planes, plane_offsets), *parted = side_by_side(
        lambda job: _planes(*job),
        [
            (matrix, labels.topic_of[every], len(labels.topics)),
            *(
                (matrix[mine], np.searchsorted(own, every[mine]), len(own))
                for mine, own in zip(rows, columns, strict=True)
            ),
        ],
    )
    for own, (some, offsets) in zip(columns, parted, strict=True):
        within[:, own], within_offsets[own] = some, offsets
    counts = csr_matrix(
        (np.ones(len(every), dtype=np.float32), (every, np.arange(len(every)))),
        shape=(len(labels.names), len(every)),
    )
    means = normalize(counts @ matrix).T.tocsr().astype(np.float32)
    return Parts(weigher, planes, plane_offsets, csr_matrix(within), within_offsets, means)


def _planes(
    matrix: csr_matrix, coded: NDArray[np.intp], count: int
) -> tuple[NDArray[np.float32], NDArray[np.float32]]:
    """One plane a class as (features, classes) and its offset; a class without examples scores -1."""
    planes = np.zeros((matrix.shape[1], count), dtype=np.float32)
    offsets = np.full(count, -1.0, dtype=np.float32)
    if len(np.unique(coded)) < 2:
        return planes, offsets
    machine = LinearSVC(C=FIRMNESS, class_weight="balanced", random_state=0).fit(matrix, coded)
    _fill_in(machine, planes, offsets)
    return planes, offsets


def _fill_in(
    machine: LinearSVC | LogisticRegression, planes: NDArray[np.float32], offsets: NDArray[np.float32]
) -> None:
    """A plane and an offset for each class that the machine has learnt; of two classes it keeps only one."""
    coefficients, intercepts = machine.coef_, machine.intercept_
    if len(machine.classes_) == 2:
        coefficients, intercepts = np.vstack([-coefficients, coefficients]), np.r_[-intercepts, intercepts]
    planes[:, machine.classes_] = coefficients.T
    offsets[machine.classes_] = intercepts


def _no_scores(count: int, labels: Labels) -> Scores:
    return Scores(
        np.zeros((count, len(labels.topics))),
        np.zeros((count, len(labels.names))),
        np.zeros((count, len(labels.names))),
        np.zeros(count),
    )


def meaning_of(lesson: Lesson, labels: Labels) -> Meaning | None:
    """The second reading, fitted on the vectors of the texts and of the briefs' own words; None without vectors."""
    if lesson.vectors is None or lesson.own_vectors is None:
        return None
    every = np.concatenate([lesson.coded[lesson.read], lesson.own_coded]).astype(np.intp)
    whole = np.vstack([lesson.vectors, lesson.own_vectors])
    order = np.argsort(every, kind="stable")
    present, starts = np.unique(every[order], return_index=True)
    planes = np.zeros((whole.shape[1], len(labels.names)), dtype=np.float32)
    offsets = np.zeros(len(labels.names), dtype=np.float32)
    topics = [np.flatnonzero(labels.topic_of[every] == topic) for topic in range(len(labels.topics))]
    parted = [rows for rows in topics if len(np.unique(every[rows])) > 1]
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", ConvergenceWarning)  # the last steps change nothing that is measured
        machines = side_by_side(lambda rows: _between_meanings(whole[rows], every[rows]), parted)
    for machine in machines:
        _fill_in(machine, planes, offsets)
    return Meaning(whole[order], present.astype(np.intp), starts.astype(np.intp), planes, offsets)


def _between_meanings(vectors: Vectors, coded: Codes) -> LogisticRegression:
    """What parts the labels of one topic."""
    machine = LogisticRegression(C=FIRMNESS_OF_MEANING, max_iter=MOST_STEPS)
    return machine.fit(vectors, coded)


def heats_for(scores: Scores, coded: Codes, labels: Labels) -> Numbers:
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


def gate_for(scores: Scores, coded: Codes, labels: Labels, heats: Numbers) -> Numbers | None:
    """A logistic weighing of the signals that a text is no question for this desk; None without examples."""
    is_outside = labels.outside[labels.topic_of[coded]]
    if is_outside.sum() < 10 or (~is_outside).sum() < 10:
        return None
    told = signals(joint(scores, labels, heats), scores, labels)
    gate = LogisticRegression(C=1.0, max_iter=2000).fit(told, is_outside)
    return np.asarray([*gate.coef_[0], *gate.intercept_])

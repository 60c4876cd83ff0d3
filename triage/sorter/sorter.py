"""The trained sorter: which topic, and which label of it, a text reads like, and whether it is none of them.

Two steps, because they want different things. A topic has hundreds of examples and gets a separating plane. A
brief has some dozens, in voices as different as can be: there the planes that part it from its topic's other
briefs are averaged with the nearest mean of all that its file says. How much each counts, and how sure the
result is, comes from texts that the parts had not seen.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import minimize
from scipy.sparse import csr_matrix
from sklearn.feature_extraction.text import ENGLISH_STOP_WORDS
from sklearn.linear_model import LogisticRegression
from sklearn.preprocessing import normalize
from sklearn.svm import LinearSVC

from triage.alike import words_of
from triage.sorter.examples import Examples
from triage.sorter.features import Weigher
from triage.sorter.folds import folds

Numbers = NDArray[np.float64]
Fold = Callable[[str], str]
OUTSIDE = "outside"
ASK_WEIGHT = 0.6
"""An ask that says what it is about weighs more than the story that its message tells around it."""
SURE = 0.5
"""An ask that is sorted so surely by itself is not sorted by the whole of its message."""
TELLING_WORDS = 5
"""An ask with fewer telling words ("any ideas?") leaves more to the story."""
FIRMNESS = 0.5
"""C of the support vector machines: how much a misread example weighs against a wide margin."""
FOLDS = 3
_ROWS_AT_ONCE = 2000


@dataclass(frozen=True)
class Labels:
    """The labels, the topics they belong to, and which topics are no question for this desk."""

    names: list[str]
    topics: list[str]
    topic_of: NDArray[np.intp]
    outside: NDArray[np.bool_]

    @classmethod
    def of(cls, examples: Examples) -> Labels:
        """The labels of a training set; `topic/brief` belongs to a topic, a plain label is its own."""
        names = sorted(set(examples.labels) | set(examples.own_labels))
        topics, topic_of = np.unique([name.split("/")[0] for name in names], return_inverse=True)
        outside = np.asarray([topic in examples.outside for topic in topics])
        return cls(names, [str(topic) for topic in topics], topic_of, outside)


@dataclass
class Scores:
    """What the parts say of some texts, before it is weighed: (texts, topics), twice (texts, labels), and how many words."""

    planes: Numbers
    means: Numbers
    within: Numbers
    lengths: Numbers

    def mixed(self, other: Scores, shares: Numbers) -> Scores:
        """Row by row a share of these, and the rest of the other."""
        return Scores(
            *(
                (shares * mine.T + (1 - shares) * theirs.T).T
                for mine, theirs in zip(self.parts, other.parts, strict=True)
            )
        )

    def with_rows(self, rows: NDArray[np.intp], others: Scores) -> Scores:
        """These scores, but in some rows the others'."""
        changed = Scores(*(part.copy() for part in self.parts))
        for mine, theirs in zip(changed.parts, others.parts, strict=True):
            mine[rows] = theirs
        return changed

    @property
    def parts(self) -> tuple[Numbers, ...]:
        """The four arrays."""
        return self.planes, self.means, self.within, self.lengths


@dataclass(frozen=True)
class Sorted:
    """Probabilities for some texts: (texts, labels) that sum to one over the labels of this desk's topics,
    and how likely each text is no question for it."""

    labels: Labels
    chances: Numbers
    outside: Numbers
    outside_chances: Numbers

    def topics(self) -> Numbers:
        """(texts, topics): the chances added up over each topic's labels."""
        return _by_topic(self.chances, self.labels, np.sum)

    def or_surer(self, other: Sorted) -> Sorted:
        """Row by row these chances, or the other's where these are unsure of the label and the other is surer.

        How likely a text is no question stays as it is.
        """
        mine, theirs = self.chances.max(axis=1), other.chances.max(axis=1)
        takes = ((mine < SURE) & (theirs > mine))[:, None]
        return replace(self, chances=np.where(takes, other.chances, self.chances))

    def outside_labels(self) -> list[str]:
        """The labels of the columns of `outside_chances`."""
        return [
            name
            for name, topic in zip(self.labels.names, self.labels.topic_of, strict=True)
            if self.labels.outside[topic]
        ]


@dataclass
class Parts:
    """Planes between topics, planes inside each topic, and a mean a label."""

    weigher: Weigher
    planes: NDArray[np.float32]
    plane_offsets: NDArray[np.float32]
    within: NDArray[np.float32]
    within_offsets: NDArray[np.float32]
    means: NDArray[np.float32]
    """Most of it is zero, and yet it is kept whole: a thin product takes three times as long."""

    def scores(self, texts: Sequence[str]) -> Scores:
        """The parts' scores of folded texts."""
        pieces = [self._scores(texts[i : i + _ROWS_AT_ONCE]) for i in range(0, len(texts), _ROWS_AT_ONCE)]
        return Scores(*(np.concatenate(some) for some in zip(*(p.parts for p in pieces), strict=True)))

    def _scores(self, texts: Sequence[str]) -> Scores:
        matrix = self.weigher.transform(texts)
        return Scores(
            np.asarray(matrix @ self.planes + self.plane_offsets, dtype=float),
            np.asarray(matrix @ self.means, dtype=float),
            np.asarray(matrix @ self.within + self.within_offsets, dtype=float),
            np.log1p(np.asarray([float(len(text.split())) for text in texts])),
        )


@dataclass
class Sorter:
    """The parts, how much each counts, and the gate for what is no question for this desk."""

    labels: Labels
    parts: Parts
    heats: Numbers
    gate: Numbers | None
    fold: Fold

    def sort(self, asks: Sequence[str], contexts: Sequence[str] | None = None) -> Sorted:
        """Probabilities for asks, each with the story around it where there is one."""
        scores = self.parts.scores([self.fold(ask) for ask in asks])
        if contexts is None or not any(contexts):
            return weighed(scores, self.labels, self.heats, self.gate)
        whole = scores.with_rows(*self._told(asks, contexts))
        shares = ASK_WEIGHT * np.asarray([_telling(ask) for ask in asks])
        mixed = weighed(scores.mixed(whole, shares), self.labels, self.heats, self.gate)
        return mixed.or_surer(weighed(whole, self.labels, self.heats, self.gate))

    def _told(self, asks: Sequence[str], contexts: Sequence[str]) -> tuple[NDArray[np.intp], Scores]:
        """The scores of those asks that have a story, read together with it."""
        rows = [row for row, context in enumerate(contexts) if context]
        told = [self.fold(f"{asks[row]} {contexts[row]}".strip()) for row in rows]
        return np.asarray(rows, dtype=np.intp), self.parts.scores(told)


def _telling(ask: str) -> float:
    """From 0 to 1: how much an ask says by itself what it is about."""
    words = sum(1 for word in words_of(ask) if len(word) > 2 and word not in ENGLISH_STOP_WORDS)
    return min(1.0, words / TELLING_WORDS)


def weighed(scores: Scores, labels: Labels, heats: Numbers, gate: Numbers | None) -> Sorted:
    """Scores turned into probabilities."""
    chances = _joint(scores, labels, heats)
    is_outside = labels.outside[labels.topic_of]
    outside_chances = chances[:, is_outside]
    inside = np.where(is_outside, 0.0, chances)
    inside /= np.maximum(inside.sum(axis=1, keepdims=True), 1e-9)
    if gate is None:
        return Sorted(labels, inside, outside_chances.sum(axis=1), outside_chances)
    signals = _signals(chances, scores, labels)
    return Sorted(labels, inside, 1 / (1 + np.exp(-(signals @ gate[:-1] + gate[-1]))), outside_chances)


def _joint(scores: Scores, labels: Labels, heats: Numbers) -> Numbers:
    """P(topic) times P(label, given its topic)."""
    plane, mean, label_mean, label_plane = np.exp(heats)
    nearest = _by_topic(scores.means, labels, np.max)
    topics = _softmax(plane * scores.planes + mean * nearest)
    raw = label_mean * scores.means + label_plane * scores.within
    within = np.exp(raw - raw.max(axis=1, keepdims=True)) + 1e-12
    for topic in range(len(labels.topics)):
        columns = labels.topic_of == topic
        within[:, columns] /= within[:, columns].sum(axis=1, keepdims=True)
    return np.asarray(topics[:, labels.topic_of] * within)


def _by_topic(values: Numbers, labels: Labels, best: Callable[..., Numbers]) -> Numbers:
    return np.column_stack(
        [best(values[:, labels.topic_of == topic], axis=1) for topic in range(len(labels.topics))]
    )


def _signals(chances: Numbers, scores: Scores, labels: Labels) -> Numbers:
    """What tells a foreign text: the outside's own chance, an unsure inside, and how near any known text is."""
    topics = _by_topic(chances, labels, np.sum)
    out = np.clip(topics[:, labels.outside].sum(axis=1), 1e-6, 1 - 1e-6)
    inside = topics[:, ~labels.outside]
    inside = inside / np.maximum(inside.sum(axis=1, keepdims=True), 1e-9)
    ranked = np.sort(inside, axis=1)
    top = ranked[:, -1]
    margin = top - (ranked[:, -2] if inside.shape[1] > 1 else 0.0)
    entropy = -(inside * np.log(np.clip(inside, 1e-9, 1))).sum(axis=1)
    is_outside = labels.outside[labels.topic_of]
    near = scores.means[:, ~is_outside].max(axis=1)
    near_outside = scores.means[:, is_outside].max(axis=1) if is_outside.any() else np.zeros(len(near))
    plane = scores.planes[:, ~labels.outside].max(axis=1)
    plane_outside = (
        scores.planes[:, labels.outside].max(axis=1) if labels.outside.any() else np.zeros(len(near))
    )
    return np.column_stack(
        [
            np.log(out / (1 - out)),
            top,
            margin,
            entropy,
            10 * near,
            10 * near_outside,
            plane,
            plane_outside,
            scores.lengths,
        ]
    )


def _softmax(scores: Numbers) -> Numbers:
    shifted = np.exp(scores - scores.max(axis=1, keepdims=True))
    return np.asarray(shifted / shifted.sum(axis=1, keepdims=True))


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
        return float(-np.log(np.clip(_softmax(logits)[np.arange(len(topic)), topic], 1e-9, 1)).mean())

    nearest = _by_topic(scores.means, labels, np.max)
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
            loss -= np.log(np.clip(_softmax(raw)[np.arange(len(mine)), local], 1e-9, 1)).sum()
            counted += len(mine)
        return float(loss / max(counted, 1))

    second = minimize(label_loss, np.log([20.0, 4.0]), method="Nelder-Mead", options={"maxiter": 60}).x
    return np.asarray([*first, *second])


def gate_for(scores: Scores, coded: NDArray[np.intp], labels: Labels, heats: Numbers) -> Numbers | None:
    """A logistic weighing of the signals that a text is no question for this desk; None without examples."""
    is_outside = labels.outside[labels.topic_of[coded]]
    if is_outside.sum() < 10 or (~is_outside).sum() < 10:
        return None
    signals = _signals(_joint(scores, labels, heats), scores, labels)
    gate = LogisticRegression(C=1.0, max_iter=2000).fit(signals, is_outside)
    return np.asarray([*gate.coef_[0], *gate.intercept_])

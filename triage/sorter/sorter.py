"""The trained sorter: which topic, and which label of it, a text reads like, and whether it is none of them.

Two steps, because they want different things. A topic has hundreds of examples and gets a separating plane. A
brief has some dozens, in voices as different as can be: there the planes that part it from its topic's other
briefs are averaged with the nearest mean of all that its file says. How much each counts, and how sure the
result is, comes from texts that the parts had not seen.

What the words tell surely is done with. The rest is read a second time, by what it means (`meaning`), to its end and with
a weighing of its own.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csr_matrix
from sklearn.feature_extraction.text import ENGLISH_STOP_WORDS

from triage.alike import words_of
from triage.sorter.encoder import Vectors
from triage.sorter.examples import Examples
from triage.sorter.features import Weigher
from triage.sorter.meaning import Encode, Meaning, in_stretches, with_story
from triage.sorter.points import Points

Numbers = NDArray[np.float64]
Fold = Callable[[str], str]
OUTSIDE = "outside"
ASK_WEIGHT = 0.4
"""How much an ask that says what it is about counts beside the story that its message tells around it."""
SURE = 0.5
"""An ask that is sorted so surely by itself is not sorted by the whole of its message."""
TELLING_WORDS = 5
"""An ask with fewer telling words ("any ideas?") leaves more to the story."""
SURE_AT_ONCE = 0.8
"""A text whose label the words tell so surely is not read a second time. To read all of them finds one example in a hundred
more, and nothing among what riders really wrote."""
SURELY_OURS, SURELY_OUTSIDE = 0.1, 0.9
"""The same for whether it is a question for this desk at all."""
NEARLY_CERTAIN, LIKELY_OURS = 0.95, 0.25
"""A label that is told more surely still leaves the other more open: who jokes about gear oil asks about it all the same."""
PLANES_OF_MEANING = 0.17
"""How much the planes between meanings count beside those between words; found by cross-validation."""
_ROWS_AT_ONCE = 2000
_TAUGHT_WITHOUT = "this sorter was taught without a language model and reads once only"


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

    def rows(self, rows: NDArray[np.intp]) -> Scores:
        """The scores of some of the texts."""
        return Scores(*(part[rows] for part in self.parts))

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
        return by_topic(self.chances, self.labels, np.sum)

    def or_surer(self, other: Sorted) -> Sorted:
        """Row by row these chances, or the other's where these are unsure of the label and the other is surer.

        How likely a text is no question stays as it is.
        """
        mine, theirs = self.chances.max(axis=1), other.chances.max(axis=1)
        takes = ((mine < SURE) & (theirs > mine))[:, None]
        return replace(self, chances=np.where(takes, other.chances, self.chances))

    def rows(self, rows: NDArray[np.intp]) -> Sorted:
        """Those of some of the texts."""
        return Sorted(self.labels, self.chances[rows], self.outside[rows], self.outside_chances[rows])

    def with_rows(self, rows: NDArray[np.intp], others: Sorted) -> Sorted:
        """These, but in some rows the others'."""
        changed = [part.copy() for part in (self.chances, self.outside, self.outside_chances)]
        for mine, theirs in zip(
            changed, (others.chances, others.outside, others.outside_chances), strict=True
        ):
            mine[rows] = theirs
        return Sorted(self.labels, *changed)

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
    within: csr_matrix
    within_offsets: NDArray[np.float32]
    means: csr_matrix
    """Like `within` (features, labels), most of it nothing. Kept whole, the two were multiplied in a fifth of the time, but that is
    0.2 ms a text, and they took 330 MB more."""

    def scores(self, texts: Sequence[str]) -> Scores:
        """The parts' scores of folded texts."""
        pieces = [self._scores(texts[i : i + _ROWS_AT_ONCE]) for i in range(0, len(texts), _ROWS_AT_ONCE)]
        return Scores(*(np.concatenate(some) for some in zip(*(p.parts for p in pieces), strict=True)))

    def _scores(self, texts: Sequence[str]) -> Scores:
        matrix = self.weigher.transform(texts)
        return Scores(
            np.asarray(matrix @ self.planes + self.plane_offsets, dtype=float),
            np.asarray((matrix @ self.means).toarray(), dtype=float),
            np.asarray((matrix @ self.within).toarray() + self.within_offsets, dtype=float),
            np.log1p(np.asarray([float(len(text.split())) for text in texts])),
        )


@dataclass(frozen=True)
class Weights:
    """How much each part counts (as logarithms), and the gate for what is no question for this desk."""

    heats: Numbers
    gate: Numbers | None


class Weighing(NamedTuple):
    """The weights of the first reading and of the second; None for those that are still to be found."""

    first: Weights | None = None
    second: Weights | None = None


@dataclass(frozen=True)
class Told:
    """Asks, which of them come with a story, and how much each says by itself."""

    asks: list[str]
    with_story: NDArray[np.intp]
    stories: list[str]
    """Those that they come with."""
    shares: Numbers

    @classmethod
    def of(cls, asks: Sequence[str], contexts: Sequence[str]) -> Told:
        """Asks, each with the story around it or an empty one."""
        rows = [row for row, context in enumerate(contexts) if context]
        return cls(
            list(asks),
            np.asarray(rows, dtype=np.intp),
            [contexts[row] for row in rows],
            ASK_WEIGHT * np.asarray([_telling(ask) for ask in asks]),
        )

    def some(self, rows: NDArray[np.intp]) -> Told:
        """Some of the asks with their stories."""
        place_of = {int(row): place for place, row in enumerate(self.with_story)}
        chosen = [(new, place_of[int(old)]) for new, old in enumerate(rows) if int(old) in place_of]
        return Told(
            [self.asks[row] for row in rows],
            np.asarray([new for new, _ in chosen], dtype=np.intp),
            [self.stories[place] for _, place in chosen],
            self.shares[rows],
        )

    def together(self, alone: Vectors, encode: Encode) -> Vectors:
        """What those that have a story mean with it, from what all mean alone: (asks with a story, 768)."""
        return with_story(alone[self.with_story], in_stretches(encode, self.stories))

    @property
    def whole(self) -> list[str]:
        """Ask and story of those that have one."""
        return [
            f"{self.asks[row]} {story}".strip()
            for row, story in zip(self.with_story, self.stories, strict=True)
        ]


@dataclass
class Sorter:
    """The parts of the first reading and of the second, and how much each counts."""

    labels: Labels
    parts: Parts
    weights: Weights
    fold: Fold
    meaning: Meaning | None = None
    second_weights: Weights | None = None
    encode: Encode | None = None
    points: Points | None = None
    """What is asked within a label, where the labels are briefs that have points."""

    def sort(self, asks: Sequence[str], contexts: Sequence[str] | None = None) -> Sorted:
        """Probabilities for asks, each with the story around it where there is one."""
        told = Told.of(asks, contexts or [""] * len(asks))
        scores = self._words(told.asks)
        whole = scores.with_rows(told.with_story, self._words(told.whole)) if told.stories else scores
        first = self._blended(scores, whole, told, self.weights)
        rows = np.flatnonzero(unsure(first)) if self.meaning is not None else np.zeros(0, dtype=np.intp)
        if not len(rows):
            return first
        return first.with_rows(rows, self._read_again(scores.rows(rows), whole.rows(rows), told.some(rows)))

    def at_once(self, texts: Sequence[str]) -> Sorted:
        """What the words of some texts tell alone, read once."""
        return weighed(self._words(texts), self.labels, self.weights)

    def meant(self, asks: Sequence[str], contexts: Sequence[str]) -> Vectors | None:
        """What asks mean together with their stories, (asks, 768); None without a language model."""
        if self.encode is None:
            return None
        told = Told.of(asks, contexts)
        vectors = in_stretches(self.encode, told.asks)
        if told.stories:
            vectors[told.with_story] = told.together(vectors, self.encode)
        return vectors

    def _words(self, texts: Sequence[str]) -> Scores:
        return self.parts.scores([self.fold(text) for text in texts])

    def _read_again(self, scores: Scores, whole: Scores, told: Told) -> Sorted:
        """What unsure asks mean, alone and with their stories, which are read to their ends."""
        if self.encode is None or self.meaning is None or self.second_weights is None:
            raise ValueError(_TAUGHT_WITHOUT)
        meant = in_stretches(self.encode, told.asks)
        again = again_whole = second_scores(scores, self.meaning, meant)
        if told.stories:
            rows = told.with_story
            together = second_scores(whole.rows(rows), self.meaning, told.together(meant, self.encode))
            again_whole = again.with_rows(rows, together)
        return self._blended(again, again_whole, told, self.second_weights)

    def _blended(self, scores: Scores, whole: Scores, told: Told, weights: Weights) -> Sorted:
        """What asks and stories say together."""
        if not len(told.with_story):
            return weighed(scores, self.labels, weights)
        mixed = weighed(scores.mixed(whole, told.shares), self.labels, weights)
        return mixed.or_surer(weighed(whole, self.labels, weights))


def unsure(first: Sorted) -> NDArray[np.bool_]:
    """Which texts the words leave so open that they are read a second time: (texts,)."""
    likeliest = first.chances.max(axis=1)
    sure = (likeliest >= SURE_AT_ONCE) & (first.outside <= SURELY_OURS)
    sure |= (likeliest >= NEARLY_CERTAIN) & (first.outside <= LIKELY_OURS)
    return np.asarray(~sure & (first.outside < SURELY_OUTSIDE))


def second_scores(first: Scores, meaning: Meaning, vectors: Vectors) -> Scores:
    """The scores of texts by what they mean, beside what their words said of topics and of labels."""
    return Scores(
        first.planes,
        meaning.nearness(vectors),
        first.within + PLANES_OF_MEANING * meaning.sides(vectors),
        first.lengths,
    )


def _telling(ask: str) -> float:
    """From 0 to 1: how much an ask says by itself what it is about."""
    words = sum(1 for word in words_of(ask) if len(word) > 2 and word not in ENGLISH_STOP_WORDS)
    return min(1.0, words / TELLING_WORDS)


def weighed(scores: Scores, labels: Labels, weights: Weights) -> Sorted:
    """Scores turned into probabilities."""
    chances, gate = joint(scores, labels, weights.heats), weights.gate
    is_outside = labels.outside[labels.topic_of]
    outside_chances = chances[:, is_outside]
    inside = np.where(is_outside, 0.0, chances)
    inside /= np.maximum(inside.sum(axis=1, keepdims=True), np.finfo(float).tiny)
    if gate is None:
        return Sorted(labels, inside, outside_chances.sum(axis=1), outside_chances)
    weight = signals(chances, scores, labels) @ gate[:-1] + gate[-1]
    return Sorted(labels, inside, 1 / (1 + np.exp(-weight)), outside_chances)


def joint(scores: Scores, labels: Labels, heats: Numbers) -> Numbers:
    """P(topic) times P(label, given its topic)."""
    plane, mean, label_mean, label_plane = np.exp(heats)
    nearest = by_topic(scores.means, labels, np.max)
    topics = softmax(plane * scores.planes + mean * nearest)
    raw = label_mean * scores.means + label_plane * scores.within
    within = np.exp(raw - raw.max(axis=1, keepdims=True)) + 1e-12
    for topic in range(len(labels.topics)):
        columns = labels.topic_of == topic
        within[:, columns] /= within[:, columns].sum(axis=1, keepdims=True)
    return np.asarray(topics[:, labels.topic_of] * within)


def by_topic(values: Numbers, labels: Labels, best: Callable[..., Numbers]) -> Numbers:
    return np.column_stack(
        [best(values[:, labels.topic_of == topic], axis=1) for topic in range(len(labels.topics))]
    )


def signals(chances: Numbers, scores: Scores, labels: Labels) -> Numbers:
    """What tells a foreign text: the outside's own chance, an unsure inside, and how near any known text is."""
    topics = by_topic(chances, labels, np.sum)
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


def softmax(scores: Numbers) -> Numbers:
    shifted = np.exp(scores - scores.max(axis=1, keepdims=True))
    return np.asarray(shifted / shifted.sum(axis=1, keepdims=True))

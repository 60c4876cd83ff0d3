"""The trained sorter: which topic, and which brief of it, a text reads like, with honest probabilities.

Two steps, because they want different things. The topic (and chatter as a tenth one) has hundreds of examples
and gets a separating plane each. A brief has some twenty, in voices as different as can be; there the nearest
mean of all that its file says, examples and answer alike, generalises better and costs nothing to fit.
"""

from __future__ import annotations

import hashlib
import os
import re
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import joblib
import numpy as np
from numpy.typing import NDArray
from scipy.optimize import minimize_scalar
from scipy.sparse import csr_matrix
from sklearn.feature_extraction.text import TfidfVectorizer
from sklearn.model_selection import StratifiedKFold
from sklearn.pipeline import FeatureUnion
from sklearn.preprocessing import normalize
from sklearn.svm import LinearSVC

from knowledge.base import Knowledge
from triage.fold import Folder, folder_for

Numbers = NDArray[np.float64]
MODEL_VERSION = "5"
CHATTER = "chatter/"
ASK_WEIGHT = 0.6
FOLDS = 3


@dataclass(frozen=True)
class Examples:
    """What the model learns from: riders' words that it is judged by, and the briefs' own texts beside them."""

    texts: list[str]
    labels: list[str]
    own_texts: list[str]
    own_labels: list[str]


@dataclass
class Model:
    """Weighted words and character n-grams, a plane a topic, a mean a label, and two temperatures."""

    labels: list[str]
    features: Any
    planes: Any
    means: Any
    topic_of: NDArray[np.intp]
    topic_temperature: float
    brief_temperature: float
    folder: Folder

    def chances(self, asks: Sequence[str], contexts: Sequence[str]) -> Numbers:
        """Probabilities of the labels; an ask weighs more than the story that its message tells around it."""
        topics_of_ask, means_of_ask = self._scores(asks)
        topics, means = self._scores(
            [f"{ask} {context}" for ask, context in zip(asks, contexts, strict=True)]
        )
        return joint(
            ASK_WEIGHT * topics_of_ask + (1 - ASK_WEIGHT) * topics,
            ASK_WEIGHT * means_of_ask + (1 - ASK_WEIGHT) * means,
            self.topic_of,
            self.topic_temperature,
            self.brief_temperature,
        )

    def _scores(self, texts: Sequence[str]) -> tuple[Numbers, Numbers]:
        matrix = normalize(self.features.transform([self.folder.fold(text) for text in texts]))
        return _plane_scores(self.planes, matrix), (matrix @ self.means.T).toarray()

    def chatter_chance(self, chances: Numbers) -> Numbers:
        """How likely each text is no question for this desk."""
        chatter = [index for index, label in enumerate(self.labels) if label.startswith(CHATTER)]
        return np.asarray(chances[:, chatter].sum(axis=1))


def joint(
    topic_scores: Numbers,
    label_scores: Numbers,
    topic_of: NDArray[np.intp],
    topic_heat: float,
    label_heat: float,
) -> Numbers:
    """P(topic) times P(label, given its topic)."""
    topics = _softmax(topic_scores / topic_heat)
    within = np.exp((label_scores - label_scores.max(axis=1, keepdims=True)) / label_heat) + 1e-12
    for topic in range(topics.shape[1]):
        columns = topic_of == topic
        within[:, columns] /= within[:, columns].sum(axis=1, keepdims=True)
    return np.asarray(topics[:, topic_of] * within)


def examples_of(knowledge: Knowledge) -> Examples:
    """The briefs' example questions and the chatter; and what the briefs themselves say."""
    texts: list[str] = []
    labels: list[str] = []
    own_texts: list[str] = []
    own_labels: list[str] = []
    for brief in knowledge.briefs.values():
        texts.extend(brief.examples)
        labels.extend([brief.id] * len(brief.examples))
        said = [f"{brief.title} {brief.id.split('/')[1].replace('-', ' ')}"]
        said += [f"{answer.headline} {answer.body}" for answer in brief.answers.values()]
        said += [check.sentence for check in brief.checklist]
        own_texts.extend(_TEMPLATE.sub(" ", text) for text in said)
        own_labels.extend([brief.id] * len(said))
    for kind, text in knowledge.chatter:
        texts.append(text)
        labels.append(CHATTER + kind)
    return Examples(texts, labels, own_texts, own_labels)


_TEMPLATE = re.compile(r"\{[{%].*?[%}]\}", re.S)


def train(examples: Examples, folder: Folder) -> Model:
    """Fit the model; the temperatures come from held-out folds, so that 0.8 is right eight times in ten."""
    texts = [folder.fold(text) for text in examples.texts]
    own = [folder.fold(text) for text in examples.own_texts]
    names, coded = np.unique(np.asarray(examples.labels), return_inverse=True)
    own_coded = np.searchsorted(names, np.asarray(examples.own_labels, dtype=names.dtype))
    topics, topic_of = np.unique(np.asarray([name.split("/")[0] for name in names]), return_inverse=True)
    features, planes, means = _fitted(texts, coded, own, own_coded, topic_of)
    scores = _held_out(texts, coded, own, own_coded, topic_of)
    topic_heat, label_heat = _temperatures(*scores, coded, topic_of)
    assert len(topics) == topic_of.max() + 1
    return Model([str(n) for n in names], features, planes, means, topic_of, topic_heat, label_heat, folder)


def _features() -> FeatureUnion:
    return FeatureUnion(
        [
            (
                "words",
                TfidfVectorizer(
                    ngram_range=(1, 2),
                    sublinear_tf=True,
                    token_pattern=r"(?u)\b\w[\w./-]*\b",
                    dtype=np.float32,
                ),
            ),
            (
                "letters",
                TfidfVectorizer(
                    analyzer="char_wb", ngram_range=(3, 5), sublinear_tf=True, min_df=2, dtype=np.float32
                ),
            ),
        ]
    )


def _fitted(
    texts: Sequence[str],
    coded: NDArray[np.intp],
    own: Sequence[str],
    own_coded: NDArray[np.intp],
    topic_of: NDArray[np.intp],
) -> tuple[FeatureUnion, LinearSVC, Any]:
    features = _features()
    matrix = normalize(features.fit_transform([*texts, *own]))
    labels = np.concatenate([coded, own_coded])
    planes = LinearSVC(C=0.5).fit(matrix, topic_of[labels])
    sums = csr_matrix(
        (np.ones(len(labels), dtype=np.float32), (labels, np.arange(len(labels)))),
        shape=(len(topic_of), len(labels)),
    )
    return features, planes, normalize(sums @ matrix)


def _plane_scores(planes: LinearSVC, matrix: Any) -> Numbers:
    scores = np.asarray(planes.decision_function(matrix), dtype=float)
    return np.column_stack([-scores, scores]) if scores.ndim == 1 else scores


def _softmax(scores: Numbers) -> Numbers:
    shifted = np.exp(scores - scores.max(axis=1, keepdims=True))
    return np.asarray(shifted / shifted.sum(axis=1, keepdims=True))


def _held_out(
    texts: Sequence[str],
    coded: NDArray[np.intp],
    own: Sequence[str],
    own_coded: NDArray[np.intp],
    topic_of: NDArray[np.intp],
) -> tuple[Numbers, Numbers]:
    """Topic and label scores of every text from a model that has not seen it."""
    every = np.asarray(texts, dtype=object)
    topic_scores = np.full((len(coded), int(topic_of.max()) + 1), -1.0)
    label_scores = np.zeros((len(coded), len(topic_of)))
    for seen, unseen in StratifiedKFold(FOLDS, shuffle=True, random_state=7).split(every, coded):
        features, planes, means = _fitted(list(every[seen]), coded[seen], own, own_coded, topic_of)
        matrix = normalize(features.transform(list(every[unseen])))
        topic_scores[np.ix_(unseen, planes.classes_)] = _plane_scores(planes, matrix)
        label_scores[unseen] = (matrix @ means.T).toarray()
    return topic_scores, label_scores


def _temperatures(
    topic_scores: Numbers, label_scores: Numbers, coded: NDArray[np.intp], topic_of: NDArray[np.intp]
) -> tuple[float, float]:
    """One after the other: the topics' from the topics alone, the labels' inside the right topic."""
    rows = np.arange(len(coded))

    def topic_loss(log_heat: float) -> float:
        chances = _softmax(topic_scores / np.exp(log_heat))
        return float(-np.log(np.clip(chances[rows, topic_of[coded]], 1e-9, 1)).mean())

    topic_heat = float(np.exp(minimize_scalar(topic_loss, bounds=(-4, 1), method="bounded").x))

    def label_loss(log_heat: float) -> float:
        chances = joint(topic_scores, label_scores, topic_of, topic_heat, float(np.exp(log_heat)))
        return float(-np.log(np.clip(chances[rows, coded], 1e-9, 1)).mean())

    return topic_heat, float(np.exp(minimize_scalar(label_loss, bounds=(-6, 0), method="bounded").x))


def model_for(knowledge: Knowledge, cache: Path | None = None) -> Model:
    """The model of a knowledge base, from the cache where its training set has not changed."""
    examples = examples_of(knowledge)
    folder = folder_for(knowledge)
    digest = hashlib.sha256(MODEL_VERSION.encode())
    for text, label in (
        *zip(examples.texts, examples.labels, strict=True),
        *zip(examples.own_texts, examples.own_labels, strict=True),
    ):
        digest.update(f"{label}\0{folder.fold(text)}\0".encode())
    home = cache or Path(os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache") / "quillstem"
    file = home / f"model-{digest.hexdigest()[:24]}.joblib"
    if file.is_file():
        try:
            return Model(**joblib.load(file), folder=folder)
        except Exception:  # a cut-off or foreign cache file is only a cache: train again
            file.unlink(missing_ok=True)
    model = train(examples, folder)
    _keep(model, file)
    return model


def _keep(model: Model, file: Path) -> None:
    """Write the model beside its place and rename it, so that a reader never sees half of one."""
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        beside = file.with_suffix(f".{os.getpid()}.part")
        joblib.dump({name: value for name, value in vars(model).items() if name != "folder"}, beside)
        beside.replace(file)
    except OSError:
        # A read-only home costs the next run its training time and nothing else.
        return

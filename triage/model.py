"""The trained model: which brief, or which kind of chatter, a text reads like, with honest probabilities."""

from __future__ import annotations

import hashlib
import os
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
from sklearn.svm import LinearSVC

from knowledge.base import Knowledge
from triage.fold import Folder, folder_for

Numbers = NDArray[np.float64]
MODEL_VERSION = "3"
CHATTER = "chatter/"
LONG_ASK_WORDS = 8


@dataclass
class Model:
    """Weighted words and character n-grams, one separating plane a label, one temperature for all."""

    labels: list[str]
    features: Any
    planes: Any
    temperature: float
    folder: Folder

    def scores(self, texts: Sequence[str]) -> Numbers:
        """The distance of each text from each label's plane."""
        return _scores(self.planes, self.features.transform([self.folder.fold(text) for text in texts]))

    def chances(self, asks: Sequence[str], wholes: Sequence[str]) -> Numbers:
        """Probabilities of the labels, the ask weighing more than the story around it when it is long enough."""
        long = np.array([[0.65 if len(ask.split()) >= LONG_ASK_WORDS else 0.3] for ask in asks])
        mixed = long * self.scores(asks) + (1 - long) * self.scores(wholes)
        return _softmax(mixed / self.temperature)

    def chatter_chance(self, chances: Numbers) -> Numbers:
        """How likely each text is no question for this desk."""
        chatter = [index for index, label in enumerate(self.labels) if label.startswith(CHATTER)]
        return np.asarray(chances[:, chatter].sum(axis=1))


def training_set(knowledge: Knowledge) -> tuple[list[str], list[str]]:
    """The briefs' example questions and the chatter, each with its label."""
    texts: list[str] = []
    labels: list[str] = []
    for brief in knowledge.briefs.values():
        texts.extend(brief.examples)
        labels.extend([brief.id] * len(brief.examples))
    for kind, text in knowledge.chatter:
        texts.append(text)
        labels.append(CHATTER + kind)
    return texts, labels


def train(texts: Sequence[str], labels: Sequence[str], folder: Folder) -> Model:
    """Fit the model; the temperature comes from held-out folds, so that a confidence of 0.8 is right 8 times in 10."""
    folded = [folder.fold(text) for text in texts]
    features = _features()
    matrix = csr_matrix(features.fit_transform(folded))
    names, coded = np.unique(np.asarray(labels), return_inverse=True)
    planes = _planes().fit(matrix, coded)
    temperature = _temperature(folded, coded)
    return Model([str(name) for name in names], features, planes, temperature, folder)


def _features() -> FeatureUnion:
    return FeatureUnion(
        [
            (
                "words",
                TfidfVectorizer(ngram_range=(1, 2), sublinear_tf=True, token_pattern=r"(?u)\b\w[\w./-]*\b"),
            ),
            ("letters", TfidfVectorizer(analyzer="char_wb", ngram_range=(3, 5), sublinear_tf=True, min_df=2)),
        ]
    )


def _planes() -> LinearSVC:
    return LinearSVC(C=1.0, class_weight="balanced")


def _scores(planes: LinearSVC, matrix: Any) -> Numbers:
    scores = np.asarray(planes.decision_function(matrix), dtype=float)
    return np.column_stack([-scores, scores]) if scores.ndim == 1 else scores


def _softmax(scores: Numbers) -> Numbers:
    shifted = np.exp(scores - scores.max(axis=1, keepdims=True))
    return np.asarray(shifted / shifted.sum(axis=1, keepdims=True))


def _temperature(folded: Sequence[str], coded: NDArray[np.intp]) -> float:
    scores = held_out_scores(folded, coded)
    rows = np.arange(len(coded))

    def loss(log_temperature: float) -> float:
        chances = _softmax(scores / np.exp(log_temperature))
        return float(-np.log(np.clip(chances[rows, coded], 1e-9, 1)).mean())

    return float(np.exp(minimize_scalar(loss, bounds=(-4, 1), method="bounded").x))


def held_out_scores(folded: Sequence[str], coded: NDArray[np.intp], folds: int = 4) -> Numbers:
    """Scores of every text from a model that has not seen it."""
    texts = np.asarray(folded, dtype=object)
    scores = np.full((len(coded), int(coded.max()) + 1), -1.0)
    for seen, unseen in StratifiedKFold(folds, shuffle=True, random_state=7).split(texts, coded):
        features = _features()
        planes = _planes().fit(features.fit_transform(list(texts[seen])), coded[seen])
        scores[np.ix_(unseen, planes.classes_)] = _scores(planes, features.transform(list(texts[unseen])))
    return scores


def model_for(knowledge: Knowledge, cache: Path | None = None) -> Model:
    """The model of a knowledge base, from the cache where its training set has not changed."""
    texts, labels = training_set(knowledge)
    folder = folder_for(knowledge)
    digest = hashlib.sha256(MODEL_VERSION.encode())
    for text, label in zip(texts, labels, strict=True):
        digest.update(f"{label}\0{folder.fold(text)}\0".encode())
    home = cache or Path(os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache") / "quillstem"
    file = home / f"model-{digest.hexdigest()[:24]}.joblib"
    if file.is_file():
        try:
            kept: Model = joblib.load(file)
        except Exception:  # a cut-off or foreign cache file is only a cache: train again
            file.unlink(missing_ok=True)
        else:
            return kept
    model = train(texts, labels, folder)
    _keep(model, file)
    return model


def _keep(model: Model, file: Path) -> None:
    """Write the model beside its place and rename it, so that a reader never sees half of one."""
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        beside = file.with_suffix(f".{os.getpid()}.part")
        joblib.dump(model, beside)
        beside.replace(file)
    except OSError:
        # A read-only home costs the next run its training time and nothing else.
        return

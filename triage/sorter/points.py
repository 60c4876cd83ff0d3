"""What is asked within a brief: which of its points an ask means, or none where it means the general one.

Each brief has a model of its own, learnt from what riders ask in general and at each point. The vectors of one brief's askings lie
close together, so they are first laid around their middle.
"""

from __future__ import annotations

import hashlib
import warnings
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

import joblib
import numpy as np

from knowledge.base import Knowledge
from knowledge.brief import Brief
from triage.sorter.cache import home, keep, make_room, was_used
from triage.sorter.encoder import Vectors
from triage.sorter.meaning import Encode, in_stretches, with_story

LEAST_SURE = 0.42
"""A point less likely than this is left: a wrong one would open the reply. From here on 84 of 100 are right, by cross-validation."""
LEAD = 1.25
"""So many times as likely as the next it must be: between two that are meant alike the general answer is the better one."""
FIRMNESS = 30.0
"""C of the logistic regressions between a brief's points."""
MOST_STEPS = 100
MOST_KEPT = 4
"""Files of taught points that stay on the disk, the last used ones."""
VERSION = "1"


@dataclass(frozen=True)
class Within:
    """One brief's points as they were learnt: (vector,), (vector, points and the general one before them), (…,)."""

    names: tuple[str, ...]
    middle: Vectors
    planes: Vectors
    offsets: Vectors

    def chances(self, vectors: Vectors) -> Vectors:
        """How likely each text asks in general, or about each point: (texts, 1 + points)."""
        scores = around(vectors, self.middle) @ self.planes + self.offsets
        shifted = np.exp(scores - scores.max(axis=1, keepdims=True))
        return np.asarray(shifted / shifted.sum(axis=1, keepdims=True), dtype=np.float32)


def around(vectors: Vectors, middle: Vectors) -> Vectors:
    """Vectors as they lie around the middle of their brief, each of length one."""
    moved = vectors - middle
    lengths = np.maximum(np.linalg.norm(moved, axis=1, keepdims=True), np.finfo(np.float32).tiny)
    return np.asarray(moved / lengths, dtype=np.float32)


@dataclass(frozen=True)
class Points:
    """The points of all briefs that have some, and what encodes an ask."""

    within: Mapping[str, Within]
    encode: Encode

    def of(self, briefs: Sequence[str], asks: Sequence[str], stories: Sequence[str]) -> list[str | None]:
        """Which point each ask is about, as "brief#point"; None where it is none or the brief has none.

        An ask with a story is read by itself and with it, and both count alike.
        """
        rows = [row for row, brief in enumerate(briefs) if brief in self.within]
        found: list[str | None] = [None] * len(briefs)
        if not rows:
            return found
        meant = in_stretches(self.encode, [asks[row] for row in rows])
        told = [place for place, row in enumerate(rows) if stories[row]]
        whole = meant.copy()
        if told:
            told_stories = in_stretches(self.encode, [stories[rows[place]] for place in told])
            whole[told] = with_story(meant[told], told_stories)
        for place, row in enumerate(rows):
            within = self.within[briefs[row]]
            chances = within.chances(np.stack([meant[place], whole[place]])).mean(axis=0)
            second, best = np.argsort(chances)[-2:]
            if within.names[best] and chances[best] >= max(LEAST_SURE, LEAD * chances[second]):
                found[row] = f"{briefs[row]}#{within.names[best]}"
        return found


def points_of(
    knowledge: Knowledge, encode: Encode, known: Callable[[], Encode], reader: str, cache: Path | None = None
) -> Points | None:
    """The points of a knowledge base, from the cache where nothing has changed; None where no brief has any.

    `known` gives what knows the examples' vectors, and `reader` says which model made them.
    """
    pointed = [brief for brief in knowledge.briefs.values() if brief.points]
    if not pointed:
        return None
    file = home(cache) / f"points-{_digest(pointed, reader)}.joblib"
    within = _kept(file)
    if within is None:
        within = taught(pointed, known())
        keep(file, lambda beside: joblib.dump(within, beside))
        make_room(file.parent, "points-*.joblib", MOST_KEPT)
    return Points(within, encode)


def taught(briefs: Sequence[Brief], encode: Encode) -> dict[str, Within]:
    """Learn the points of some briefs."""
    vectors = encode([text for brief in briefs for text in brief.every_example])
    ends = np.cumsum([len(brief.every_example) for brief in briefs])
    return {
        brief.id: _taught(brief, some)
        for brief, some in zip(briefs, np.split(vectors, ends[:-1]), strict=True)
    }


def _taught(brief: Brief, vectors: Vectors) -> Within:
    from sklearn.exceptions import ConvergenceWarning
    from sklearn.linear_model import LogisticRegression

    names = ("", *brief.points)
    sizes = [len(brief.examples), *(len(point.asked) for point in brief.points.values())]
    coded = np.repeat(np.arange(len(names)), sizes)
    middle = np.asarray(vectors.mean(axis=0), dtype=np.float32)
    machine = LogisticRegression(C=FIRMNESS, max_iter=MOST_STEPS)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", ConvergenceWarning)  # the last steps change nothing that is told
        machine.fit(around(vectors, middle), coded)
    planes, offsets = machine.coef_.T, machine.intercept_
    if len(names) == 2:
        # Of two it keeps the second's side only.
        planes, offsets = np.hstack([0 * planes, planes]), np.r_[0.0, offsets]
    return Within(names, middle, planes.astype(np.float32), offsets.astype(np.float32))


def _digest(briefs: Sequence[Brief], reader: str) -> str:
    digest = hashlib.sha256(f"{VERSION}\0{reader}".encode())
    for brief in briefs:
        asked = [("", brief.examples), *((name, point.asked) for name, point in brief.points.items())]
        digest.update(f"\0{brief.id}\0{asked}".encode())
    return digest.hexdigest()[:16]


def _kept(file: Path) -> dict[str, Within] | None:
    """What was learnt; None where nothing is kept. A cut-off file is only a cache, and is written anew."""
    if not file.is_file():
        return None
    try:
        found: dict[str, Within] = joblib.load(file)
    except Exception:
        return None
    was_used(file)
    return found

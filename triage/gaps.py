"""Gaps: what riders asked that no brief answers, gathered by likeness, so that the desk knows what to write next."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from sklearn.cluster import AgglomerativeClustering, MiniBatchKMeans
from sklearn.decomposition import TruncatedSVD
from sklearn.feature_extraction.text import TfidfVectorizer
from sklearn.preprocessing import normalize

MOST_BY_PAIRS = 4000
"""Beyond it, comparing all pairs takes too long; then the number of heaps is fixed beforehand."""
FARTHEST = 0.85
TYPICAL_WORDS = 5


@dataclass(frozen=True)
class Gap:
    """One heap of unanswered questions."""

    topic: str
    count: int
    riders: int
    likes: int
    words: tuple[str, ...]
    nearest_brief: str | None
    examples: tuple[str, ...]


def gaps(lines: Sequence[dict[str, Any]], fold: Callable[[str], str]) -> list[Gap]:
    """The heaps, the most asked first; each with its typical words, and the brief that came nearest."""
    if not lines:
        return []
    weigher = TfidfVectorizer(stop_words="english", sublinear_tf=True, token_pattern=r"(?u)\b[a-z][\w-]+\b")
    folded = [fold(line["text"]) for line in lines]
    try:
        matrix = weigher.fit_transform(folded)
    except ValueError:  # only numbers and stop words
        return [_gap(list(lines), ())]
    heap_of = _heaps(matrix)
    names = weigher.get_feature_names_out()
    found = []
    for heap in np.unique(heap_of):
        rows = np.flatnonzero(heap_of == heap).tolist()
        weight = np.asarray(matrix[rows].sum(axis=0)).ravel()
        words = tuple(str(names[i]) for i in weight.argsort()[::-1][:TYPICAL_WORDS] if weight[i] > 0)
        found.append(_gap([lines[i] for i in rows], words))
    return sorted(found, key=lambda gap: (-gap.riders, -gap.likes, gap.words))


def _heaps(matrix: Any) -> np.ndarray[Any, Any]:
    if matrix.shape[0] < 3:
        return np.arange(matrix.shape[0])
    dense = matrix
    if min(matrix.shape) > 60:
        dense = TruncatedSVD(50, random_state=0).fit_transform(matrix)
    rows = normalize(dense)
    rows = rows if isinstance(rows, np.ndarray) else rows.toarray()
    if len(rows) > MOST_BY_PAIRS:
        return np.asarray(MiniBatchKMeans(len(rows) // 20, random_state=0, n_init=1).fit_predict(rows))
    # On rows of unit length this is the cosine distance, and a row without any known word is far from all.
    return np.asarray(
        AgglomerativeClustering(
            n_clusters=None, distance_threshold=float(np.sqrt(2 * FARTHEST)), linkage="average"
        ).fit_predict(rows)
    )


def _gap(lines: Sequence[dict[str, Any]], words: tuple[str, ...]) -> Gap:
    nearest = Counter(line["nearest_briefs"][0][0] for line in lines if line["nearest_briefs"])
    longest = sorted(lines, key=lambda line: (-line["likes"], -line["asked_by"]))
    return Gap(
        Counter(line["topic"] for line in lines).most_common(1)[0][0],
        len(lines),
        sum(max(line["asked_by"], 1) for line in lines if not line["repeats_of"]) or len(lines),
        sum(line["likes"] for line in lines),
        words,
        nearest.most_common(1)[0][0] if nearest else None,
        tuple(line["text"] for line in longest[:3]),
    )

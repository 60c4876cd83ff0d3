"""What is asked within a brief: the point whose askings mean the like of an ask, or none where its general ones lie nearer."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from knowledge.base import Knowledge
from knowledge.brief import Brief
from triage.sorter.cache import home, keep, make_room, was_used
from triage.sorter.encoder import Vectors
from triage.sorter.meaning import SHARPNESS, Encode, in_stretches, with_story
from triage.sorter.published import SIZE

LEAD = 0.03
"""So much nearer than all others, the general askings among them, a point must lie: a wrong one would open the reply."""
LEAST_NEAR = 0.45
"""An ask that lies farther than this from everything that the brief knows asks something else. Cosine."""
MOST_KEPT = 4
"""Files of vectors that stay on the disk, the last used ones."""


@dataclass(frozen=True)
class _Group:
    """One brief's askings: the general ones first, then each point's."""

    names: tuple[str, ...]
    vectors: Vectors
    starts: NDArray[np.intp]


@dataclass(frozen=True)
class Points:
    """The points of all briefs that have some, and what encodes an ask."""

    groups: Mapping[str, _Group]
    encode: Encode

    def of(self, briefs: Sequence[str], asks: Sequence[str], stories: Sequence[str]) -> list[str | None]:
        """Which point each ask is about, as "brief#point"; None where it is none or the brief has none.

        An ask is read by itself and with its story, and what lies nearest counts.
        """
        rows = [row for row, brief in enumerate(briefs) if brief in self.groups]
        found: list[str | None] = [None] * len(briefs)
        if not rows:
            return found
        meant = in_stretches(self.encode, [asks[row] for row in rows])
        told = [place for place, row in enumerate(rows) if stories[row]]
        whole = meant.copy()
        if told:
            whole[told] = with_story(meant[told], in_stretches(self.encode, [stories[rows[p]] for p in told]))
        for row, ask, both in zip(rows, meant, whole, strict=True):
            point = _nearest(self.groups[briefs[row]], ask, both)
            found[row] = None if point is None else f"{briefs[row]}#{point}"
        return found


def _nearest(group: _Group, *readings: Vectors) -> str | None:
    closeness = np.max([group.vectors @ reading for reading in readings], axis=0)
    counts = np.diff(np.append(group.starts, len(closeness)))
    sums = np.add.reduceat(np.exp(SHARPNESS * closeness), group.starts)
    near = np.log(sums / np.sqrt(counts)) / SHARPNESS
    first, second = np.argsort(near)[::-1][:2]
    if closeness.max() < LEAST_NEAR or near[first] - near[second] < LEAD:
        return None
    return group.names[first] or None


def points_of(
    knowledge: Knowledge, encode: Encode, known: Callable[[], Encode], reader: str, cache: Path | None = None
) -> Points | None:
    """The points of a knowledge base; None where no brief has any.

    `known` gives what knows the examples' vectors. Those of briefs with points are kept on the disk beside the version of
    the `reader` that made them: to read them all anew takes minutes.
    """
    pointed = [brief for brief in knowledge.briefs.values() if brief.points]
    if not pointed:
        return None
    texts = [text for brief in pointed for text in brief.every_example]
    digest = hashlib.sha256("\0".join([reader, *texts]).encode()).hexdigest()[:16]
    file = home(cache) / f"points-{digest}.npy"
    vectors = _kept(file, len(texts))
    if vectors is None:
        vectors = known()(texts)
        made = vectors.astype(np.float16)
        keep(file, lambda beside: _write(beside, made))
        make_room(file.parent, "points-*.npy", MOST_KEPT)
    ends = np.cumsum([len(brief.every_example) for brief in pointed])
    parts = np.split(vectors, ends[:-1])
    return Points({brief.id: _group(brief, part) for brief, part in zip(pointed, parts, strict=True)}, encode)


def _group(brief: Brief, vectors: Vectors) -> _Group:
    sizes = [len(brief.examples), *(len(point.asked) for point in brief.points.values())]
    return _Group(("", *brief.points), vectors, np.cumsum([0, *sizes[:-1]]))


def _write(file: Path, vectors: NDArray[np.float16]) -> None:
    with file.open("wb") as opened:
        np.save(opened, vectors)


def _kept(file: Path, count: int) -> Vectors | None:
    """The vectors in a file; None where there are none. A cut-off file is only a cache, and is written anew."""
    try:
        with file.open("rb") as opened:
            vectors = np.load(opened).astype(np.float32)
    except (OSError, ValueError, EOFError):
        return None
    was_used(file)
    return vectors if vectors.shape == (count, SIZE) else None

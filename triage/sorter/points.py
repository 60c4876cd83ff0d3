"""What is asked within a brief: which of its points an ask means, and whether it wants a working order or a few sentences.

Each brief has a model of its own, learnt from what riders ask in general and at each point. The vectors of one brief's askings lie
close together, so they are first laid around their middle. What an ask wants is learnt over all briefs.
"""

from __future__ import annotations

import hashlib
import warnings
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import NamedTuple

import joblib
import numpy as np

from knowledge.base import Knowledge
from knowledge.brief import Brief
from triage.sorter.at_once import one_thread
from triage.sorter.cache import home, keep, make_room, was_used
from triage.sorter.contrasts import BESIDE_IT, Contrasts, Named, speaks_of_another
from triage.sorter.encoder import Vectors
from triage.sorter.examples import as_told
from triage.sorter.meaning import Encode, in_stretches, with_story

LEAST_SURE = 0.40
"""What a whole ask means from here on stands instead of the general answer. Of 554 asks of real riders that found a brief, each with the
texts that fit named by a reader, what is said first then fits for 62 in 100 (at 0.55 for 58); of 197 that nothing had been mended by,
for 53 (49)."""
LEAST_SURE_BESIDE = 0.55
"""From here on a point that one of its sentences asks is answered beside it."""
SURE_ENOUGH, LEAST_LIKELY = 0.55, 0.25
"""Where the likeliest is less likely than the first, a point that is likelier than the second is told as what may be meant. Of those 554,
a fourth is told one, and for 67 in 100 something then fits."""
ALIKE = 0.75
"""What may be meant is left out where its answer lies nearer to one that is told: it would say the same again."""
MOST_LIKELY = 4
"""Points that stand first in an editor's choice. Of those 554 what fits is among the likeliest three texts of all briefs for 84 in 100."""
FEWEST_WORDS = 4
"""A shorter sentence ("is it safe?") says nothing by itself."""
MOST_POINTS = 3
"""More than these would be a lecture."""
FIRMNESS = 30.0
"""C of the logistic regressions between a brief's points."""
MOST_STEPS = 100
MOST_KEPT = 4
"""Files of taught points that stay on the disk, the last used ones."""
LIKELY_IN_ORDER = 0.15
"""From here on an ask is taken to want a working order. Of 350 asks of real riders, marked by seven readers, 37 in 100 lie below, and for
95 in 100 of these a few sentences are the whole answer; from 0.3 on it would be 58 and 89."""
FIRMNESS_OF_WANTS = 1.0
"""C of the logistic regression between what asks want: from 0.3 to 3 it tells the 350 apart as well."""
VERSION = "8"


class Meant(NamedTuple):
    """What a question asks within its brief: its points as "brief#point", a point that it may mean instead, the likeliest points in
    their order, and whether it wants a working order."""

    points: tuple[str, ...] = ()
    perhaps: str | None = None
    likely: tuple[str, ...] = ()
    in_order: bool = True


@dataclass(frozen=True)
class Within:
    """One brief's points as they were learnt: (vector,), (vector, points and the general one before them), (…,).

    `likeness` tells how alike their answers are: (points and the general one, the same). `about` is what each point speaks of, and
    `its_own` what goes unsaid in this brief.
    """

    names: tuple[str, ...]
    middle: Vectors
    planes: Vectors
    offsets: Vectors
    likeness: Vectors
    about: tuple[Named, ...] = ()
    its_own: Named = frozenset()

    def chances(self, vectors: Vectors) -> Vectors:
        """How likely each text asks in general, or about each point: (texts, 1 + points)."""
        scores = around(vectors, self.middle) @ self.planes + self.offsets
        shifted = np.exp(scores - scores.max(axis=1, keepdims=True))
        return np.asarray(shifted / shifted.sum(axis=1, keepdims=True), dtype=np.float32)

    def of_the_same(self, chances: Vectors, named: Named) -> Vectors:
        """The chances where a rider names these things: little is left of a point that speaks of others."""
        others = [speaks_of_another(about, named, self.its_own) for about in self.about]
        if not any(others):
            return chances
        left = chances * np.where(others, np.float32(BESIDE_IT), np.float32(1))
        return np.asarray(left / left.sum(axis=-1, keepdims=True), dtype=np.float32)

    def likeliest(self, chances: Vectors, least: float) -> str:
        """The point that is likely enough; "" where none is."""
        best = int(np.argmax(chances))
        return self.names[best] if chances[best] >= least else ""

    def likely(self, chances: Vectors) -> list[str]:
        """The points that an editor looks at first."""
        order = np.argsort(-chances, kind="stable").tolist()
        return [self.names[row] for row in order if self.names[row]][:MOST_LIKELY]

    def perhaps(self, chances: Vectors, told: Sequence[str]) -> str | None:
        """The likeliest point that isn't told yet, in these words or in like ones, where what is told is none too sure; where nothing
        is, only one that is likelier than what is said in general."""
        rows = [self.names.index(name) for name in (told or ("",))]
        if chances[rows].max() >= SURE_ENOUGH:
            return None
        said_again = self.likeness[rows].max(axis=0) >= ALIKE
        likely = zip(chances.tolist(), self.names, said_again.tolist(), strict=True)
        best, name = max(
            ((chance, name) for chance, name, again in likely if name and not again), default=(0.0, "")
        )
        least = LEAST_LIKELY if told else max(LEAST_LIKELY, float(chances[0]))
        return name if best >= least else None


def around(vectors: Vectors, middle: Vectors) -> Vectors:
    """Vectors as they lie around the middle of their brief, each of length one."""
    moved = vectors - middle
    lengths = np.maximum(np.linalg.norm(moved, axis=1, keepdims=True), np.finfo(np.float32).tiny)
    return np.asarray(moved / lengths, dtype=np.float32)


@dataclass(frozen=True)
class Asked:
    """A question of one brief: all that it says, the story around it, and the sentences of it that ask."""

    brief: str
    text: str
    story: str
    sentences: tuple[str, ...] = ()

    @property
    def single(self) -> tuple[str, ...]:
        """The asking sentences that say something by themselves and aren't the whole of it."""
        return tuple(one for one in self.sentences if one != self.text and len(one.split()) >= FEWEST_WORDS)


@dataclass(frozen=True)
class Wants:
    """What tells an ask that wants a working order from one that wants a few sentences: (vector,) and a number."""

    plane: Vectors
    offset: float

    def in_order(self, vectors: Vectors) -> bool:
        """Whether an ask, read by itself and with its story, (2, vector), wants a working order."""
        chances = 1 / (1 + np.exp(-(vectors @ self.plane + self.offset)))
        return bool(chances.mean() >= LIKELY_IN_ORDER)


@dataclass(frozen=True)
class Points:
    """The points of all briefs that have some, what an ask wants, and what encodes it."""

    within: Mapping[str, Within]
    wants: Wants | None
    encode: Encode
    contrasts: Contrasts

    def of(self, questions: Sequence[Asked]) -> list[Meant]:
        """What each question asks within its brief; nothing where it asks in general or its brief has no points.

        The first is what the whole of it asks; then come those of its sentences, in their order. A text with a story is
        read by itself and with it, and both count alike.
        """
        pointed = [one for one in questions if one.brief in self.within]
        if not pointed:
            return [Meant()] * len(questions)
        texts = [text for one in pointed for text in (one.text, *one.single)]
        alone = in_stretches(self.encode, texts)
        beside = [one.story or one.text for one in pointed for _ in (one.text, *one.single)]
        told = [row for row, (text, story) in enumerate(zip(texts, beside, strict=True)) if story != text]
        whole = alone.copy()
        if told:
            whole[told] = with_story(alone[told], in_stretches(self.encode, [beside[row] for row in told]))
        both = iter(np.stack([alone, whole], axis=1))
        found = iter(
            [
                self._found(one, np.asarray([next(both) for _ in range(1 + len(one.single))]))
                for one in pointed
            ]
        )
        return [next(found) if one.brief in self.within else Meant() for one in questions]

    def _found(self, question: Asked, vectors: Vectors) -> Meant:
        """What one question asks: (texts, 2, vector), its whole before its sentences."""
        within = self.within[question.brief]
        chances = within.chances(vectors.reshape(-1, vectors.shape[-1]))
        chances = chances.reshape(len(vectors), 2, -1).mean(axis=1)
        chances = within.of_the_same(chances, self.contrasts.named(f"{question.story} {question.text}"))
        found = [
            within.likeliest(chances[0], LEAST_SURE),
            *(within.likeliest(sentence, LEAST_SURE_BESIDE) for sentence in chances[1:]),
        ]
        several = list(dict.fromkeys(filter(None, found)))[:MOST_POINTS]
        perhaps = within.perhaps(chances[0], several)
        return Meant(
            tuple(f"{question.brief}#{name}" for name in several),
            f"{question.brief}#{perhaps}" if perhaps else None,
            tuple(f"{question.brief}#{name}" for name in within.likely(chances[0])),
            self.wants is None or self.wants.in_order(vectors[0]),
        )


def points_of(
    knowledge: Knowledge, encode: Encode, known: Callable[[], Encode], reader: str, cache: Path | None = None
) -> Points | None:
    """The points of a knowledge base, from the cache where nothing has changed; None where no brief has any.

    `known` gives what knows the examples' vectors, and `reader` says which model made them.
    """
    pointed = [brief for brief in knowledge.briefs.values() if brief.points]
    if not pointed:
        return None
    contrasts = Contrasts(knowledge.contrasts)
    file = home(cache) / f"points-{_digest(pointed, knowledge, reader)}.joblib"
    learnt = _kept(file)
    if learnt is None:
        vectors = known()
        learnt = taught(pointed, vectors, contrasts), wants_of(knowledge, vectors)
        keep(file, lambda beside: joblib.dump(learnt, beside))
        make_room(file.parent, "points-*.joblib", MOST_KEPT)
    return Points(*learnt, encode, contrasts)


def wants_of(knowledge: Knowledge, encode: Encode) -> Wants | None:
    """Learn what tells asks that want a working order; None where no asking of either kind is marked."""
    from sklearn.linear_model import LogisticRegression

    texts, in_order = [text for text, _ in knowledge.wants], [wanted for _, wanted in knowledge.wants]
    if len(set(in_order)) < 2:
        return None
    with one_thread():
        machine = LogisticRegression(C=FIRMNESS_OF_WANTS, max_iter=MOST_STEPS).fit(encode(texts), in_order)
    return Wants(machine.coef_[0].astype(np.float32), float(machine.intercept_[0]))


def taught(briefs: Sequence[Brief], encode: Encode, contrasts: Contrasts) -> dict[str, Within]:
    """Learn the points of some briefs."""
    from sklearn.exceptions import ConvergenceWarning

    texts = [[*brief.every_example, *_said(brief)] for brief in briefs]
    vectors = encode([text for some in texts for text in some])
    ends = np.cumsum([len(some) for some in texts])
    with warnings.catch_warnings(), one_thread():
        warnings.simplefilter("ignore", ConvergenceWarning)  # the last steps change nothing that is told
        return {
            brief.id: _taught(brief, some, contrasts)
            for brief, some in zip(briefs, np.split(vectors, ends[:-1]), strict=True)
        }


def _said(brief: Brief) -> list[str]:
    """What a brief's points answer, and its general answers."""
    said = [point.told for point in brief.points.values()]
    said += [answer.told for answer in brief.answers.values()]
    return [as_told(text) for text in said]


def _taught(brief: Brief, vectors: Vectors, contrasts: Contrasts) -> Within:
    from sklearn.linear_model import LogisticRegression

    names = ("", *brief.points)
    sizes = [len(brief.examples), *(len(point.asked) for point in brief.points.values())]
    asked_at = np.repeat(np.arange(len(names)), sizes)
    asked, answers, general = np.split(vectors, np.cumsum([len(asked_at), len(brief.points)]))
    middle = np.asarray(asked.mean(axis=0), dtype=np.float32)
    # What is answered tells what is asked for, and a point with few askings is as likely beforehand as any.
    machine = LogisticRegression(C=FIRMNESS, max_iter=MOST_STEPS, class_weight="balanced").fit(
        around(np.vstack([asked, answers, general]), middle),
        np.r_[asked_at, np.arange(1, len(names)), np.zeros(len(general), dtype=np.intp)],
    )
    planes, offsets = machine.coef_.T, machine.intercept_
    if len(names) == 2:
        # Of two it keeps the second's side only.
        planes, offsets = np.hstack([0 * planes, planes]), np.r_[0.0, offsets]
    return Within(
        names,
        middle,
        planes.astype(np.float32),
        offsets.astype(np.float32),
        _likeness(general, answers),
        (frozenset(), *(contrasts.about(point.asked) for point in brief.points.values())),
        contrasts.its_own(brief.every_example),
    )


def _likeness(general: Vectors, answers: Vectors) -> Vectors:
    """How alike the answers are, the general one first; of several general ones the likest counts."""
    whole = answers @ answers.T
    beside = (general @ answers.T).max(axis=0) if len(general) else np.zeros(len(answers), dtype=np.float32)
    return np.asarray(
        np.block([[np.ones((1, 1)), beside[None, :]], [beside[:, None], whole]]), dtype=np.float32
    )


def _digest(briefs: Sequence[Brief], knowledge: Knowledge, reader: str) -> str:
    digest = hashlib.sha256(f"{VERSION}\0{reader}\0{knowledge.contrasts}\0{knowledge.wants}".encode())
    for brief in briefs:
        asked = [("", brief.examples), *((name, point.asked) for name, point in brief.points.items())]
        digest.update(f"\0{brief.id}\0{asked}\0{_said(brief)}".encode())
    return digest.hexdigest()[:16]


def _kept(file: Path) -> tuple[dict[str, Within], Wants | None] | None:
    """What was learnt; None where nothing is kept. A cut-off file is only a cache, and is written anew."""
    if not file.is_file():
        return None
    try:
        found: tuple[dict[str, Within], Wants | None] = joblib.load(file)
    except Exception:
        return None
    was_used(file)
    return found

"""Words, pairs of words and letter groups of a text, weighed by how telling they are (TF-IDF)."""

from __future__ import annotations

import re
from collections.abc import Sequence

import numpy as np
from scipy.sparse import csr_matrix, hstack, vstack
from sklearn.feature_extraction.text import CountVectorizer, TfidfTransformer, TfidfVectorizer
from sklearn.preprocessing import normalize

_TOKEN = r"(?u)\b\w[\w./-]*\b"
_SPACES = re.compile(r"\s+")
MOST_KEPT_WORDS = 200_000
FEWEST_TEXTS = 2
"""A word or a group of letters that only one example holds says nothing of other texts."""


class Weigher:
    """Learns the weights from a set of texts; any text then becomes one row of unit length."""

    def __init__(self) -> None:
        self.words = TfidfVectorizer(
            ngram_range=(1, 2), sublinear_tf=True, token_pattern=_TOKEN, min_df=FEWEST_TEXTS, dtype=np.float32
        )
        self.letters = LetterWeigher()

    def fit_transform(self, texts: Sequence[str]) -> csr_matrix:
        """Learn from the texts and weigh them: (texts, features), float32, rows of unit length."""
        return _joined(self.words.fit_transform(texts), self.letters.fit_transform(texts))

    def transform(self, texts: Sequence[str]) -> csr_matrix:
        """Weigh texts with what was learnt: (texts, features), float32, rows of unit length."""
        return _joined(self.words.transform(texts), self.letters.transform(texts))


def _joined(words: csr_matrix, letters: csr_matrix) -> csr_matrix:
    return normalize(hstack([words, letters], format="csr", dtype=np.float32), copy=False)


class LetterWeigher:
    """Groups of 3 to 5 letters inside words, counted once a word and not once a text.

    A group never crosses a space, so a text's counts are its word counts times each word's groups; that is ten
    times as fast as counting groups text by text, and gives the same numbers.
    """

    def __init__(self, fewest_texts: int = FEWEST_TEXTS) -> None:
        self.fewest_texts = fewest_texts
        self.counter = CountVectorizer(analyzer="char_wb", ngram_range=(3, 5), dtype=np.float32)
        self.weights = TfidfTransformer(sublinear_tf=True)
        self.kept = np.zeros(0, dtype=np.intp)
        self.row_of: dict[str, int] = {}
        self.groups = csr_matrix((0, 0), dtype=np.float32)

    def fit_transform(self, texts: Sequence[str]) -> csr_matrix:
        """Learn which groups there are and how rare each is."""
        split = [_split(text) for text in texts]
        words = sorted({word for some in split for word in some})
        self.counter.fit(words or ["x"])
        self.row_of, self.groups = {}, csr_matrix((0, len(self.counter.vocabulary_)), dtype=np.float32)
        counts = self._counts(split)
        self.kept = np.flatnonzero(
            np.bincount(counts.indices, minlength=counts.shape[1]) >= self.fewest_texts
        )
        self.groups = self.groups[:, self.kept]
        return self.weights.fit_transform(counts[:, self.kept])

    def transform(self, texts: Sequence[str]) -> csr_matrix:
        """Weigh the groups of the texts."""
        return self.weights.transform(self._counts([_split(text) for text in texts]))

    def _counts(self, split: Sequence[Sequence[str]]) -> csr_matrix:
        if len(self.row_of) > MOST_KEPT_WORDS:
            self.row_of, self.groups = {}, self.groups[:0]
        self._learn(sorted({word for some in split for word in some} - self.row_of.keys()))
        row_of = self.row_of
        columns = np.fromiter((row_of[word] for some in split for word in some), dtype=np.intp)
        starts = np.concatenate([[0], np.cumsum([len(some) for some in split])])
        ones = np.ones(len(columns), dtype=np.float32)
        bags = csr_matrix((ones, columns, starts), shape=(len(split), len(row_of)))
        counts = (bags @ self.groups).tocsr()
        counts.sum_duplicates()
        return counts

    def _learn(self, words: Sequence[str]) -> None:
        if not words:
            return
        groups = self.counter.transform(words)
        if len(self.kept):
            groups = groups[:, self.kept]
        self.row_of.update(zip(words, range(len(self.row_of), len(self.row_of) + len(words)), strict=True))
        rows = [self.groups, groups] if self.groups.shape[0] else [groups]
        self.groups = _stacked(rows)


def _stacked(rows: Sequence[csr_matrix]) -> csr_matrix:
    return vstack(rows, format="csr", dtype=np.float32)


def _split(text: str) -> list[str]:
    return _SPACES.sub(" ", text).strip().split(" ") if text.strip() else []

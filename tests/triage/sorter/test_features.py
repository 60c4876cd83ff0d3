"""The weighing of letters, held to scikit-learn's own."""

from __future__ import annotations

import numpy as np
from sklearn.feature_extraction.text import TfidfVectorizer

from triage.sorter.features import LetterWeigher, Weigher

TEXTS = ["rear mech skips", "the rear hub has play, 28mm tyre", "chain skips under load", "Größe?", "", "a"]


def test_letter_groups_are_the_same_as_counted_text_by_text():
    """Oracle: scikit-learn's TfidfVectorizer with the char_wb analyser."""
    oracle = TfidfVectorizer(analyzer="char_wb", ngram_range=(3, 5), sublinear_tf=True, dtype=np.float32)
    ours = LetterWeigher(fewest_texts=1)

    expected = oracle.fit_transform(TEXTS)
    got = ours.fit_transform(TEXTS)
    unseen = ["rear tyre skips loudly", "nothing known: zzzz"]

    assert abs(got - expected).max() < 1e-6
    assert abs(ours.transform(unseen) - oracle.transform(unseen)).max() < 1e-6


def test_rows_are_of_unit_length_and_the_same_whether_words_were_met_before_or_not():
    weigher = Weigher()
    weigher.fit_transform(TEXTS)

    first = weigher.transform(["rear derailleur skips"])
    again = weigher.transform(["rear derailleur skips"])

    assert abs(first - again).max() == 0
    assert np.isclose(np.sqrt(first.multiply(first).sum()), 1.0, atol=1e-5)

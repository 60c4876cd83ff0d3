"""What makes two questions one."""

from __future__ import annotations

import pytest

from triage.group import repeats, sketched


@pytest.mark.parametrize(
    ("later", "earlier", "is_one"),
    [
        ("which oil for a wet chain", "hello which oil for a wet chain please", True),
        ("chain a wet for oil which", "which oil for a wet chain", True),
        ("will 28 mm fit 19 mm inside", "will 28 mm fit 21 mm inside", False),
        ("will 28 mm fit", "will 28 mm fit 28 mm", True),
        ("which oil for a wet chain", "how do i true a wheel at home", False),
    ],
)
def test_alike_in_words_and_the_same_in_figures(later, earlier, is_one):
    assert repeats(later, earlier) is is_one


def test_a_text_of_two_words_is_never_looked_for():
    (hello, short), (ask, bands) = sketched(["Hello there", "Which oil, please?"])

    assert (hello, short) == ("hello there", ())
    assert ask == "which oil please"
    assert len(bands) == 20

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


@pytest.mark.parametrize(
    "text",
    [
        "Which oil for a wet chain?",
        "Hey guys, which oil for a wet chain?",
        "@Bo hi all - which oil for a wet chain?\nAll the best, Lidia",
        "which oil for a wet chain\nMany thanks\nBenny",
        "Question: which oil for a wet chain? Cheers",
        "Which oil for a wet chain regards from Lower Gorsethorpe",
    ],
)
def test_a_greeting_and_a_farewell_are_no_part_of_what_is_asked(text):
    assert sketched([text])[0][0] == "which oil for a wet chain"


@pytest.mark.parametrize(
    "text",
    [
        "thanks to this oil is my chain ruined",
        "which is best",
        "two pads fit, the soft ones and the hard ones. best pads for wet hills",
        "i bought it from hey joe, is it any good",
    ],
)
def test_words_that_only_look_like_one_stay(text):
    words, _ = sketched([text])[0]
    assert words == text.replace(",", "").replace(".", "")

"""Two texts' difference reads as a person would mark it, and loses no letter of either."""

from __future__ import annotations

import time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from triage.review.text_diff import Piece, pieces, short

WORDS = st.sampled_from(
    ["rim", "tyre", "a", "the", "5", "mm", ",", ".", " ", "  ", "\n", "\n\n", "worn-out", "don't"]
)
TEXTS = st.one_of(
    st.text(max_size=200),
    st.lists(WORDS, max_size=120).map(" ".join),
    st.lists(WORDS, max_size=60).map("".join),
)


def told(was: str, now: str) -> str:
    """The difference in one line: [-gone-]{+new+}."""
    return "".join(map(_marked, pieces(was, now)))


def _marked(piece: Piece) -> str:
    return {"same": piece.text, "gone": f"[-{piece.text}-]", "new": f"{{+{piece.text}+}}"}[piece.kind]


@given(TEXTS, TEXTS)
def test_no_letter_of_either_text_is_lost(was: str, now: str) -> None:
    found = pieces(was, now)

    assert "".join(one.text for one in found if one.kind != "new") == was
    assert "".join(one.text for one in found if one.kind != "gone") == now
    assert all(one.text for one in found)


@given(TEXTS)
def test_a_text_does_not_differ_from_itself(text: str) -> None:
    assert {one.kind for one in pieces(text, text)} <= {"same"}
    assert short(text, text) == []


@given(TEXTS, TEXTS)
def test_a_short_difference_shows_every_change_whole(was: str, now: str) -> None:
    changed = [one for one in pieces(was, now) if one.kind != "same"]

    assert [one for one in short(was, now) if one.kind != "same"] == changed


@pytest.mark.parametrize(
    ("was", "now", "expected"),
    [
        ("Fit a new rim.", "Fit an old rim.", "Fit [-a new-]{+an old+} rim."),
        ("It is 3.9 mm wide.", "It is 4.9 mm wide.", "It is [-3.9-]{+4.9+} mm wide."),
        ("one two three", "one three", "one [-two -]three"),
        ("one three", "one two three", "one {+two +}three"),
        ("Yes.", "Yes!", "Yes[-.-]{+!+}"),
        ("a\n\nb", "a\nb", "a[-\n\n-]{+\n+}b"),
        ("", "new", "{+new+}"),
        ("gone", "", "[-gone-]"),
        ("", "", ""),
        # One word between two changes parts them; a single space doesn't.
        ("old big rim here", "new big hub here", "[-old-]{+new+} big [-rim-]{+hub+} here"),
        ("old rim here", "new hub here", "[-old rim-]{+new hub+} here"),
    ],
)
def test_changes_are_told_in_runs(was: str, now: str, expected: str) -> None:
    assert told(was, now) == expected


def test_a_short_difference_keeps_a_few_words_around_each_change() -> None:
    was = "one two three four five six seven eight nine ten eleven"
    now = was.replace("six", "6")

    assert short(was, now, around=2) == [
        Piece("same", "… four five "),
        Piece("gone", "six"),
        Piece("new", "6"),
        Piece("same", " seven eight …"),
    ]


def test_between_near_changes_nothing_is_left_out() -> None:
    found = short("old and so on and so old end of it", "new and so on and so new end of it", around=3)

    assert Piece("same", " and so on and so ") in found


def test_between_far_changes_the_middle_is_left_out() -> None:
    middle = " ".join(str(n) for n in range(100, 120))
    found = short(f"old {middle} old", f"new {middle} new", around=2)

    assert [one.text for one in found if one.kind == "same"] == [" 100 101 … 118 119 "]


def _long(lines: int) -> str:
    return "\n".join(
        f"Line {n} says that the tyre of {n % 60} mm fits the rim of the wheel." for n in range(lines)
    )


@pytest.mark.parametrize(
    ("was", "now"),
    [
        (_long(750), _long(750).replace("tyre", "tube")),
        (_long(750), "\n".join(reversed(_long(750).split("\n")))),
        (_long(750).replace("\n", " "), _long(750).replace("\n", " ").replace("fits", "suits")),
        ("x " * 25_000, "x y " * 12_500),
        ("a\n" * 25_000, "a\nb\n" * 12_500),
        ("\n".join(map(str, range(9_000))), "\n".join(str(n if n % 2 else -n) for n in range(9_000))),
        (" ".join(f"x u{n}" for n in range(700)), " ".join(f"x v{n}" for n in range(700))),
    ],
    ids=[
        "every line",
        "turned round",
        "one paragraph",
        "one word",
        "short lines",
        "every other line",
        "one word between",
    ],
)
def test_the_longest_texts_take_less_than_a_second(was: str, now: str) -> None:
    start = time.perf_counter()
    found = pieces(was, now)
    seconds = time.perf_counter() - start

    assert "".join(one.text for one in found if one.kind != "new") == was
    assert "".join(one.text for one in found if one.kind != "gone") == now
    assert seconds < 1.0


def test_in_a_long_text_a_change_is_still_told_by_the_word() -> None:
    was = _long(750)
    now = was.replace("Line 400 says that the tyre", "Line 400 says that the tube")

    assert [one for one in pieces(was, now) if one.kind != "same"] == [
        Piece("gone", "tyre"),
        Piece("new", "tube"),
    ]

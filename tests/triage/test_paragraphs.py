"""Long texts are put in paragraphs that one finds one's way in."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from triage.draft.sentences import paragraphs_of, sentences_of


@given(st.lists(st.integers(1, 30), max_size=40), st.integers(20, 120))
def test_a_text_keeps_its_sentences_in_their_order(lengths: list[int], most: int) -> None:
    text = " ".join(f"{' '.join(['Word'] + ['word'] * (length - 1))}." for length in lengths)
    found = paragraphs_of(text, most)
    assert " ".join(found) == text
    assert [one for part in found for one in sentences_of(part)] == sentences_of(text)
    longest = max(lengths, default=0)
    assert all(len(part.split()) <= most + longest for part in found)


def test_a_short_text_is_one_paragraph() -> None:
    assert paragraphs_of("It holds. Ride on.", 90) == ["It holds. Ride on."]
    assert paragraphs_of("", 90) == []


def test_long_ones_are_parted_into_about_one_length() -> None:
    parts = paragraphs_of(" ".join(["One two three four five six seven eight nine ten."] * 10), 90)
    assert [len(part.split()) for part in parts] == [50, 50]

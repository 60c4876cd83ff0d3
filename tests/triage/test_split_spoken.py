"""Messages that were spoken: what a machine wrote down is read as its speaker meant it."""

from __future__ import annotations

import pytest

from triage.split import split
from triage.split.spoken import written


@pytest.mark.parametrize(
    ("spoken", "text"),
    [
        (
            "Hi, voice message here um my rear tyre the the one from May is flat question mark no it's low full stop why",
            "my rear tyre the one from May is flat? no it's low. why",
        ),
        (
            "uh so the pads umm squeal comma in rain new paragraph any tips",
            "so the pads squeal, in rain.\n\nany tips",
        ),
        # What was typed stays as it is.
        (
            "The wheel came to a full stop on the hill. Why?",
            "The wheel came to a full stop on the hill. Why?",
        ),
        ("It goes tick tick tick once a turn.", "It goes tick tick tick once a turn."),
    ],
)
def test_spoken_marks_become_marks_and_pauses_go(spoken: str, text: str) -> None:
    assert written(spoken) == text


@pytest.mark.parametrize(
    ("text", "asks"),
    [
        ("I have a question about my gears, when I shift to the largest sprocket it only clicks", True),
        ("I had a question about my gears and found the answer in your archive.", False),
        ("I have a question about my gears, never mind, I solved it.", False),
    ],
)
def test_who_has_a_question_about_something_asks_by_what_is_told(message, text: str, asks: bool) -> None:
    assert any(question.is_question for question in split([message(text)])) is asks

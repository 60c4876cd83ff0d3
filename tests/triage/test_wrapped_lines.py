"""Lines that a mail program broke at its column are read as one sentence; what its writer ended stays ended."""

from __future__ import annotations

import pytest

from triage.split import split
from triage.split.wrapped import unwrapped

WRAPPED = """\
Hello, my tourer has done some 9,000 km and since the winter there is a
noise from the rear hub when I coast. I had the cassette off and saw no
play at all in the freehub. Is it possible that water got past the seal,
rusted the pawls and then left the spring too weak to lift them, and if
so can I clean it at home?
"""


def test_a_sentence_goes_on_over_the_end_of_a_line(message):
    (ask,) = split([message(WRAPPED)])
    assert "left the spring too weak to lift them, and if so can I clean it at home?" in ask.text


def test_a_danger_is_told_over_the_end_of_a_line(message):
    text = (
        "I cleaned the bike on Sunday, and under the tape I found a long crack in the\n"
        "handlebar, close by the clamp. It has no play, and nobody fell with it, so it\n"
        "may be old. Before the trip I'd like to know which tape lasts longest in rain\n"
        "and sun.\n"
    )
    assert "danger" in split([message(text)])[0].flags


ONE_SENTENCE_A_LINE = """\
my front brake squeals like mad whenever it rains hard outside
the chain skips
also the bell on my handlebar has come loose again
any ideas
"""
A_LIST = """\
Parts I have for the build, all of them used but straight and clean
- a frame of 56 cm
- wheels of 622 mm with hubs for eight speeds and rim brakes, true
- cranks
"""
PARAGRAPHS = """\
Which tyre is right for wet winter roads and a heavy load, and does its width matter as much as everybody says that it does?
I weigh 90 kg
"""


@pytest.mark.parametrize(
    "text", [ONE_SENTENCE_A_LINE, A_LIST, PARAGRAPHS, "A short line\nand another", "One line"]
)
def test_lines_that_their_writer_ended_stay_ended(text):
    assert unwrapped(text) == text

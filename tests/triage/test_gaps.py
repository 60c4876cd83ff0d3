"""What no brief answers is gathered by what it is about."""

from __future__ import annotations

from triage.gaps import gaps


def _line(text: str, likes: int = 0, repeats: str | None = None) -> dict[str, object]:
    return {
        "text": text, "topic": "other", "likes": likes, "asked_by": 1, "repeats_of": repeats,
        "nearest_briefs": [["other/first-tools", 0.2]],
    }  # fmt: skip


def test_questions_about_one_thing_stand_together_and_the_most_asked_come_first():
    lamps = [
        "my lamp flickers on bumps",
        "lamp goes dim at night",
        "which lamp for dark lanes, lamp mount broke",
    ]
    bells = ["the bell rattles", "bell too quiet, loud bell wanted"]

    found = gaps([_line(text, likes=2) for text in (*lamps, *bells)], str.lower)

    assert [gap.count for gap in found] == [3, 2]
    assert found[0].words[0] == "lamp"
    assert (found[0].riders, found[0].likes) == (3, 6)
    assert found[0].nearest_brief == "other/first-tools"


def test_a_repeat_adds_no_rider_of_its_own():
    first = {**_line("the lamp flickers and the lamp is dim"), "asked_by": 4}
    found = gaps([first, _line("lamp flickers, lamp dim", repeats="q1"), _line("lamp dim")], str.lower)

    assert sum(gap.riders for gap in found) == 5


def test_nothing_and_words_that_say_nothing_are_no_trouble():
    assert gaps([], str.lower) == []
    assert gaps([_line("1 2 3")], str.lower)[0].count == 1

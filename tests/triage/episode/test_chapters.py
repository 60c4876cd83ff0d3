"""Chapter marks are strict WebVTT whatever the titles hold, and lie where the items do."""

from __future__ import annotations

import re
from dataclasses import dataclass
from itertools import pairwise

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from tests.triage.episode.show_items import TIMES, item
from triage.episode.chapters import Mark, as_chapters, chapters_of
from triage.episode.show import ShowTimes, run_of_show

STAMP = r"(\d{2,}):([0-5]\d):([0-5]\d)\.(\d{3})"
TIMING = re.compile(rf"{STAMP} --> {STAMP}")
ESCAPES = {"&amp;": "&", "&lt;": "<", "&gt;": ">"}
HOSTILE = st.text(
    st.sampled_from("ab <>&-\n\r\t\0\u2028\u0085é;0:.") | st.characters(codec="utf-8"), max_size=40
)


@dataclass(frozen=True)
class Cue:
    """A cue as a player reads it: times in milliseconds, and its text without escapes."""

    begins: int
    ends: int
    text: str


def cues_of(text: str) -> list[Cue]:
    """The cues of a file, read by the standard's grammar; whatever strays from it fails.

    Written from the standard's own words (W3C, WebVTT: The Web Video Text Tracks Format, section 4) and for the parts
    that chapters need: a header, notes, cues of one line without settings or identifiers.
    """
    assert "\0" not in text
    assert "\r" not in text
    blocks = text.removesuffix("\n").split("\n\n")
    assert blocks[0] == "WEBVTT"
    cues = []
    for block in blocks[1:]:
        lines = block.split("\n")
        assert all(lines), "an empty line inside a block"
        if lines[0].startswith("NOTE "):
            assert len(lines) == 1
            assert "-->" not in block
            assert not cues, "the note stands at the head"
            continue
        timing, told = lines
        match = TIMING.fullmatch(timing)
        assert match, timing
        numbers = [int(one) for one in match.groups()]
        begins, ends = _milliseconds(numbers[:4]), _milliseconds(numbers[4:])
        assert begins < ends
        assert not cues or cues[-1].begins <= begins
        cues.append(Cue(begins, ends, _unescaped(told)))
    return cues


def _milliseconds(parts: list[int]) -> int:
    hours, minutes, seconds, rest = parts
    return ((hours * 60 + minutes) * 60 + seconds) * 1000 + rest


def _unescaped(text: str) -> str:
    assert "-->" not in text
    assert "<" not in text
    assert not re.search(r"&(?!amp;|lt;|gt;)", text)
    return re.sub("|".join(ESCAPES), lambda match: ESCAPES[match.group()], text)


def plain(title: str) -> str:
    return " ".join(title.replace("\0", "\ufffd").split())


def test_the_chapters_of_a_show():
    show = run_of_show([item(1, title="Rim & tyre"), item(2, title="Oil")], 150, TIMES, day="2026-11-27")

    assert as_chapters(show) == (
        "WEBVTT\n\n"
        "NOTE Episode of 2026-11-27\n\n"
        "00:00:00.000 --> 00:00:20.000\nHello\n\n"
        "00:00:20.000 --> 00:00:27.200\nRim &amp; tyre\n\n"
        "00:00:27.200 --> 00:00:30.400\nOil\n\n"
        "00:00:30.400 --> 00:01:00.400\nGoodbye\n"
    )


def test_an_item_without_words_has_no_cue_and_one_without_title_its_place():
    show = run_of_show([item(1, say=""), item(2, title=" \n ")], 150, ShowTimes())

    assert cues_of(as_chapters(show)) == [Cue(0, 3200, "Item 2")]


def test_hours_go_past_a_hundred():
    text = chapters_of([Mark("Late", 360_000, 360_001.5)], "Long")

    assert "100:00:00.000 --> 100:00:01.500" in text
    assert cues_of(text) == [Cue(360_000_000, 360_001_500, "Late")]


def test_marks_are_put_in_the_order_of_time():
    assert [cue.text for cue in cues_of(chapters_of([Mark("b", 5, 9), Mark("a", 1, 5)], "n"))] == ["a", "b"]


def test_a_chapter_before_the_video_is_refused():
    with pytest.raises(ValueError, match=r"^Early: expected a start of 0 s or later, got -1 s$"):
        chapters_of([Mark("Early", -1, 5)], "n")


@given(st.lists(HOSTILE, min_size=1, max_size=6), HOSTILE)
@example(["a --> b", "00:00:01.000 --> 00:00:02.000", "\n\nNOTE x", "&lt;b>", "a\r\rb", "\0"], "--->\n\nx")
def test_no_title_and_no_note_breaks_the_file(titles, day):
    items = [item(place, title=title) for place, title in enumerate(titles, 1)]
    show = run_of_show(items, 150, TIMES, day=day)
    cues = cues_of(as_chapters(show))

    assert [cue.text for cue in cues[1:-1]] == [
        plain(title) if title.split() else f"Item {place}" for place, title in enumerate(titles, 1)
    ]
    for cue, running in zip(cues[1:-1], show.items, strict=True):
        assert cue.begins == round(running.starts_at * 1000)
    for one, following in pairwise(cues):
        assert one.ends == following.begins


@given(
    st.lists(st.tuples(st.floats(0, 1e6), st.floats(0, 1e6)), max_size=8),
)
def test_any_times_give_a_strict_file_without_empty_cues(times):
    marks = [Mark("x", begins, ends) for begins, ends in times]

    assert len(cues_of(chapters_of(marks, "n"))) == sum(
        round(ends * 1000) > round(begins * 1000) for begins, ends in times
    )


@pytest.mark.parametrize(
    "broken",
    [
        "WEBVTT\n\n00:00:01.000 --> 00:00:01.000\nx\n",
        "WEBVTT\n\n00:00:01.000 --> 00:00:02.000\na --> b\n",
        "WEBVTT\n\n00:00:01.000 --> 00:00:02.000\nR&D\n",
        "WEBVTT\n\n00:00:01.000 --> 00:00:02.000\n\nx\n",
        "WEBVTT\n\n0:01.000 --> 0:02.000\nx\n",
        "WEBVTT\n\n00:00:01.000 --> 00:00:02.000\na<b\n",
    ],
)
def test_the_reader_of_these_tests_is_strict(broken):
    with pytest.raises((AssertionError, ValueError)):
        cues_of(broken)

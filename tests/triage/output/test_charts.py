"""The pictures: whole, within their frame, told in words, and without a colour or a style of their own."""

from __future__ import annotations

import re
from itertools import pairwise
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from triage.output.charts import (
    PATTERNS,
    Lane,
    Series,
    bars,
    columns,
    cut,
    days_told,
    dots,
    round_ticks,
    text_width,
)

SVG = "{http://www.w3.org/2000/svg}"
COLOURS = re.compile(r"#[0-9a-fA-F]{3,8}\b|rgb|hsl|\b(?:black|white|red|grey|gray|currentColor)\b")
WORDS = st.text(st.characters(codec="utf-8", categories=("L", "N", "P", "S", "Zs")), min_size=1, max_size=120)
COUNTS = st.one_of(st.integers(0, 12), st.integers(0, 10_000))
DAYS = st.lists(st.floats(0, 400), max_size=60).map(tuple)


@st.composite
def column_pictures(draw):
    """(labels, series) of stacked columns, at least one count among them not 0."""
    labels = draw(
        st.lists(st.sampled_from(["9 Nov", "21 Sept", "1 June", "28 Dec"]), min_size=1, max_size=26)
    )
    series = [
        Series(draw(WORDS), pattern, tuple(draw(COUNTS) for _ in labels))
        for pattern in draw(st.lists(st.sampled_from(PATTERNS), min_size=1, max_size=7, unique=True))
    ]
    first = series[0]
    return labels, [Series(first.name, first.pattern, (first.counts[0] + 1, *first.counts[1:])), *series[1:]]


def read(picture):
    """The picture as a tree; broken XML fails here."""
    return ElementTree.fromstring(
        str(picture).replace("<svg ", '<svg xmlns="http://www.w3.org/2000/svg" ', 1)
    )


def texts(tree):
    """(left, right, line, words) of every text, by the measure that the pictures are built with."""
    for one in tree.iter(f"{SVG}text"):
        kind, words = one.get("class", ""), one.text or ""
        wide, x = text_width(words) * (1.13 if "c-sum" in kind else 1), float(one.get("x"))
        left = x - wide / 2 if "c-middle" in kind else x - wide if "c-end" in kind else x
        yield left, left + wide, float(one.get("y")), words


def drawn(tree):
    """(left, right, top, bottom) of every shape besides the patterns' own."""
    for defs in tree.findall(f"{SVG}defs"):
        tree.remove(defs)
    for one in tree.iter(f"{SVG}rect"):
        x, y, wide, high = (float(one.get(name)) for name in ("x", "y", "width", "height"))
        yield x, x + wide, y, y + high
    for one in tree.iter(f"{SVG}circle"):
        x, y, r = (float(one.get(name)) for name in ("cx", "cy", "r"))
        yield x - r, x + r, y - r, y + r
    for one in tree.iter(f"{SVG}path"):
        yield traced(one.get("d"))


def traced(path):
    """(left, right, top, bottom) of a path of straight strokes."""
    x = y = 0.0
    places = []
    for letter, numbers in re.findall(r"([MLHVlhv])([^MLHVlhvz]*)", path):
        values = [float(one) for one in re.findall(r"-?\d+(?:\.\d+)?", numbers)]
        if letter in "ML":
            x, y = values
        elif letter == "l":
            x, y = x + values[0], y + values[1]
        elif letter in "Hh":
            x = values[0] + (x if letter == "h" else 0)
        else:
            y = values[0] + (y if letter == "v" else 0)
        places.append((x, y))
    across, down = zip(*places, strict=True)
    return min(across), max(across), min(down), max(down)


def is_sound(picture):
    """Whether a picture keeps to what every one of them promises."""
    tree = read(picture)
    _, _, wide, high = map(float, tree.get("viewBox").split())
    assert tree.get("role") == "img"
    assert not any("style" in one.attrib for one in tree.iter())
    assert not any(one.tag in (f"{SVG}style", f"{SVG}script") for one in tree.iter())
    for one in tree.iter():
        assert one.get("fill", "url(#").startswith("url(#")
        assert not COLOURS.search(
            " ".join(one.get(name, "") for name in ("fill", "stroke", "color")).replace("url(#", "")
        )
    for left, right, line, words in texts(tree):
        assert left >= 0, words
        assert right <= wide, words
        assert 11 <= line <= high - 3, words
    for left, right, top, bottom in drawn(tree):
        assert left >= 0
        assert right <= wide
        assert top >= 0
        assert bottom <= high
    return tree


def nothing_overlaps(tree):
    """Texts on one line stand beside each other, and lines are at least a letter's height apart."""
    found = sorted(texts(tree))
    for i, (left, right, line, words) in enumerate(found):
        for other_left, other_right, other_line, other in found[i + 1 :]:
            if left < other_right and other_left < right:
                assert abs(line - other_line) >= 11, (words, other)
    return True


@given(column_pictures())
def test_columns_stay_within_their_frame_and_tell_every_number(picture):
    labels, series = picture
    tree = is_sound(columns("by-topic", "Questions", labels, series))

    told = tree.get("aria-label")
    for one in series:
        for count in one.counts:
            assert not count or f"{one.name} {count:,}" in told
    for i, label in enumerate(labels):
        assert f"{label}, {sum(one.counts[i] for one in series):,} in all" in told


@given(st.lists(st.tuples(WORDS, COUNTS), min_size=1, max_size=12))
def test_bars_stay_within_their_frame_and_tell_every_number(rows):
    tree = is_sound(bars("Asked most", rows))

    assert nothing_overlaps(tree)
    for label, count in rows:
        assert f"{' '.join(label.split())}, {count:,}" in tree.get("aria-label")
    assert [one[3] for one in texts(tree)][1::2] == [f"{count:,}" for _, count in rows]


@given(DAYS, DAYS)
def test_dots_stay_within_their_frame_and_tell_their_middle(signed, mailed):
    lanes = [Lane("Signed off", signed), Lane("Answered by mail", mailed)]
    picture = dots("Days", lanes)

    if not signed and not mailed:
        assert picture == ""
        return
    tree = is_sound(picture)
    assert nothing_overlaps(tree)
    assert all(days_told(lane) in tree.get("aria-label") for lane in lanes)


def test_what_is_empty_is_no_picture_but_a_single_nought_is_one():
    assert columns("n", "Questions", ["9 Nov"], []) == ""
    assert columns("n", "Questions", ["9 Nov"], [Series("Tyres", "plain", (0,))]) == ""
    assert bars("Asked most", []) == ""
    assert dots("Days", [Lane("Signed off", ())]) == ""
    assert read(bars("States", [("new", 0)])).get("aria-label") == "States: new, 0."


def test_words_from_outside_stay_words():
    hostile = '"><script>alert(1)</script>&'

    for picture in (
        columns("n", hostile, [hostile], [Series(hostile, "dots", (3,))]),
        bars(hostile, [(hostile, 3)]),
        dots(hostile, [Lane(hostile, (3.0,))]),
    ):
        assert "<script" not in picture
        assert hostile in read(picture).get("aria-label")


def test_columns_of_two_weeks_in_words():
    picture = columns(
        "n",
        "Questions by week",
        ["9 Nov", "16 Nov"],
        [Series("Tyres", "plain", (3, 0)), Series("Brakes", "dots", (1, 0))],
    )

    assert read(picture).get("aria-label") == (
        "Questions by week: 9 Nov, 4 in all: Tyres 3, Brakes 1; 16 Nov, 0 in all."
    )


def test_parts_are_as_high_as_their_counts_and_stand_on_each_other():
    tree = read(
        columns("n", "Questions", ["9 Nov"], [Series("A", "plain", (30,)), Series("B", "dots", (10,))])
    )
    first, second = [
        (float(one.get("y")), float(one.get("height")), one.get("fill"))
        for one in tree.findall(f"{SVG}g/{SVG}rect")
    ]

    assert first[1] == pytest.approx(3 * second[1], abs=0.2)
    assert second[0] + second[1] == pytest.approx(first[0], abs=0.2)
    assert (first[2], second[2]) == ("url(#n-plain)", "url(#n-dots)")
    assert {one.get("id") for one in tree.iter(f"{SVG}pattern")} == {"n-plain", "n-dots"}


def test_a_part_is_labelled_where_there_is_room_and_only_there():
    tree = read(
        columns("n", "Questions", ["9 Nov"], [Series("A", "plain", (99,)), Series("B", "dots", (1,))])
    )

    assert [one.text for one in tree.iter(f"{SVG}text") if "c-within" in one.get("class", "")] == ["A 99"]


@pytest.mark.parametrize("weeks", [1, 6, 12, 26])
@pytest.mark.parametrize("most", [1, 37, 10_000])
def test_the_words_of_one_week_and_of_half_a_year_never_overlap(weeks, most):
    labels = [f"{1 + i} Sept" for i in range(weeks)]
    series = [Series(f"Topic {one}", one, (most,) * weeks) for one in PATTERNS]

    tree = is_sound(columns("n", "Questions", labels, series))

    assert nothing_overlaps(tree)
    assert labels[-1] in [words for _, _, _, words in texts(tree)]


def test_bars_are_as_long_as_their_counts():
    tree = read(bars("Asked", [("A", 40), ("B", 10), ("C", 0)]))
    longest, shorter, none = [float(one.get("width")) for one in tree.iter(f"{SVG}rect")]

    assert longest == pytest.approx(4 * shorter, abs=0.2)
    assert none == 0


def test_a_long_title_stands_above_its_bar_and_is_told_in_full():
    title = "A bent or broken hub axle, pitted cones, and which of them one may buy anew without a new wheel"
    tree = read(bars("Asked", [(title, 3)]))
    label = next(tree.iter(f"{SVG}text"))

    assert label.text == "A bent or broken hub axle, pitted cones, and which…"
    assert float(label.get("y")) < float(next(tree.iter(f"{SVG}rect")).get("y"))
    assert next(tree.iter(f"{SVG}title")).text == f"{title}: 3"


def test_as_many_dots_as_questions_while_there_is_room():
    tree = read(dots("Days", [Lane("Signed off", (0.0, 1.0, 1.0, 4.0))]))

    assert len(list(tree.iter(f"{SVG}circle"))) == 4
    assert [words for *_, words in texts(tree)][-1] == "days"


def test_a_crowd_is_told_by_dots_that_stand_for_several():
    tree = read(dots("Days", [Lane("Signed off", (1.0,) * 14 + (2.0,))]))

    assert len(list(tree.iter(f"{SVG}circle"))) == 7 + 1
    assert [words for *_, words in texts(tree)][-1] == "days; a dot stands for up to 2 questions"


def test_one_straggler_does_not_squeeze_the_others_together():
    days = tuple(float(day) for day in range(1, 21))
    tree = read(dots("Days", [Lane("Signed off", (*days, 300.0))]))
    across = sorted(float(one.get("cx")) for one in tree.iter(f"{SVG}circle"))
    words = [words for *_, words in texts(tree)]

    assert across[-2] - across[0] > 150
    assert across[-1] - across[-2] > 20
    assert words[1:-1] == ["0", "10", "20", "30", "longer"]
    assert nothing_overlaps(tree)
    # Near miss: at not much farther than the others it stands on the axis.
    assert "longer" not in [
        words for *_, words in texts(read(dots("Days", [Lane("Signed off", (*days, 50.0))])))
    ]


def test_the_median_is_marked_where_its_day_lies():
    tree = read(dots("Days", [Lane("Signed off", (0.0, 5.0, 10.0))]))
    mark = next(one for one in tree.iter(f"{SVG}path") if one.get("class") == "c-median")
    ticks = {words: (left + right) / 2 for left, right, _, words in texts(tree)}

    assert traced(mark.get("d"))[0] == pytest.approx((ticks["0"] + ticks["10"]) / 2, abs=0.2)


@given(st.one_of(st.integers(1, 10_000), st.integers(1, 10**9)))
def test_ticks_are_round_few_and_reach_the_count(most):
    step, end = round_ticks(most)

    assert end >= most > end - step
    assert 1 <= round(end / step) <= 5
    assert re.fullmatch(r"[125]0*", str(int(step)))
    assert step == int(step)


def test_a_cut_text_fits_and_one_that_fits_is_left_alone():
    for room, longer in pairwise((30, 60, 120, 240)):
        assert text_width(cut("Wheels left in a hot car or in the sun", room)) <= room < longer
    assert cut("Wheels in the sun", 240) == "Wheels in the sun"

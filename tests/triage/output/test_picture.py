"""The number line says what the bands say, in its picture and in its words."""

from __future__ import annotations

import re

from triage.output.picture import LEFT, RIGHT, WIDTH, number_line

BANDS = [[0.0, "not-recommended"], [0.15, "yes-if"], [None, "yes"]]


def figure(low, high, *, absolute=False, bands=BANDS):
    """A deciding figure as the drafts hold it."""
    return {
        "label": "Thickness left",
        "unit": "mm",
        "low": low,
        "high": high,
        "absolute": absolute,
        "bands": bands,
    }


def marker_x(svg):
    """Where the arrow of the best value points."""
    return float(re.search(r'<path d="M([\d.]+) 56l', svg)[1])


def test_a_value_below_nought_points_into_its_own_band():
    svg = str(number_line(figure(-0.08, -0.08)))

    bands = [(float(x), float(w)) for x, w in re.findall(r'<rect x="([\d.]+)" y="28" width="([\d.]+)"', svg)]
    assert bands[0][0] <= marker_x(svg) <= bands[0][0] + bands[0][1]
    assert "n-cross" in re.search(r"<rect [^>]*>", svg)[0]
    assert "Thickness left is −0.08 mm; up to 0 mm not recommended" in svg


def test_where_only_the_size_counts_the_sign_is_left_out():
    bands = [[0.1, "yes"], [None, "not-recommended"]]
    svg = str(number_line(figure(-1.19, -1.19, absolute=True, bands=bands)))

    assert "size alone, is 1.19 mm" in svg


def test_a_spread_is_drawn_as_a_bar_inside_the_picture():
    svg = str(number_line(figure(-0.05, 0.3)))

    x1, x2 = re.search(r'<line x1="([\d.]+)" y1="50" x2="([\d.]+)" y2="50" class="n-spread"', svg).groups()
    assert LEFT <= float(x1) < float(x2) <= WIDTH - RIGHT


def test_without_numbers_in_the_bands_there_is_no_picture():
    assert str(number_line(figure(1.0, 1.0, bands=[[None, "yes"]]))) == ""

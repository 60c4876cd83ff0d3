"""The number line says what the bands say, in its picture and in its words."""

from __future__ import annotations

import re

from knowledge.number_line import LEFT, RIGHT, WIDTH, ask_line, band_line, number_line

BANDS = [[0.0, "not-recommended"], [0.15, "yes-if"], [None, "yes"]]


def figure(low, high, *, best=None, absolute=False, bands=BANDS, marks=()):
    """A deciding figure as the drafts hold it."""
    return {
        "label": "Thickness left",
        "unit": "mm",
        "value": low if low == high else best,
        "marks": marks,
        "low": low,
        "high": high,
        "absolute": absolute,
        "bands": bands,
    }


def marker_x(svg):
    """Where the arrow of the best value points."""
    return float(re.search(r'<path d="M([\d.]+) 52l', svg)[1])


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


def test_the_best_value_and_its_spread_are_both_drawn():
    svg = str(number_line(figure(0.02, 0.12, best=0.07)))

    x1, x2 = re.search(r'<line x1="([\d.]+)" y1="50" x2="([\d.]+)"', svg).groups()
    assert float(x1) < marker_x(svg) < float(x2)


def test_a_limit_that_somebody_stated_is_named_at_its_place():
    svg = str(number_line(figure(0.3, 0.3, bands=BANDS, marks=[[0.15, "the maker's limit"]])))

    assert "the maker&#39;s limit" in svg


def test_a_fact_that_is_asked_for_has_a_line_of_its_own_with_a_band_for_each_side():
    sides = [
        {"when": "under 23 mm", "verdict": "not-recommended", "because": "", "ends": [15.0, 23.0]},
        {"when": "23 mm or more", "verdict": "yes", "because": "", "ends": [23.0, 30.0]},
    ]
    ask = {"name": "rim_inner_width_mm", "unit": "mm", "sides": sides}

    svg = str(ask_line(ask, {"rim_inner_width_mm": "inner width of the rim"}))

    assert "inner width of the rim is 15 to 30 mm; up to 23 mm not recommended; beyond 23 mm yes" in svg


def test_a_choice_that_is_asked_for_has_no_line():
    sides = [{"when": w, "verdict": "yes", "because": "", "ends": None} for w in ("a", "b")]

    assert str(ask_line({"name": "fluid", "unit": "", "sides": sides}, {})) == ""


def test_the_handbook_draws_the_bands_alone(knowledge):
    decider = next(
        d for b in knowledge.briefs.values() for d in b.deciders if d.figure == "indexing_error_mm"
    )

    svg = str(band_line(decider, "Error at each click", "mm"))

    assert "Error at each click" in svg
    assert svg.count("n-band") == len(decider.bands)
    assert "n-best" not in svg
    assert "n-spread" not in svg

"""What changed between two drafts of one question is told in its readable parts, and nothing else is."""

from __future__ import annotations

import copy
import json
from collections.abc import Callable
from typing import Any

import pytest

from tests.triage.golden.drafts import PACE, cases, finding_of
from triage.draft import draft
from triage.record_line import as_line
from triage.review.changes import Change, what_changed, why_it_no_longer_stands

CASES = {case["case"]: case for case in cases()}
Line = dict[str, Any]


@pytest.fixture(scope="module")
def line(knowledge, phrases) -> Callable[..., Line]:
    """A case's draft as the ledger keeps it, with other details than its own where they are given."""

    def make(name: str, **details: Any) -> Line:
        case = {**CASES[name], "details": {**CASES[name]["details"], **details}}
        made = draft([finding_of(case, knowledge)], knowledge, phrases, PACE)[0]
        return json.loads(json.dumps(as_line(made, knowledge)))

    return make


@pytest.fixture(scope="module")
def worn(line) -> Line:
    """A chain that is worn out."""
    return line("chain-worn")


def with_figure(line: Line, name: str, **fields: Any) -> Line:
    """The line with something about one figure changed."""
    changed = copy.deepcopy(line)
    figure = next(one for one in changed["figures"] if one["name"] == name)
    figure |= fields
    return changed


def a_figure(line: Line) -> Line:
    """The figure that decides."""
    return next(one for one in line["figures"] if one["decides"])


@pytest.mark.parametrize("name", CASES)
def test_a_draft_worked_out_the_same_has_no_changes(name: str, line) -> None:
    assert what_changed(line(name), line(name)) == []
    assert why_it_no_longer_stands(line(name), line(name)) is None


def test_how_sure_the_sorting_was_and_how_long_it_takes_are_no_changes(worn) -> None:
    other = worn | {
        "topic_confidence": 0.3, "brief_confidence": 0.2, "nearest_briefs": [], "script_seconds": 9.0, "pace": 99.0,
        "asked_seconds": 30.0, "likes": 7, "asked_by": 3, "sorted_as": {},
    }  # fmt: skip

    assert what_changed(worn, other) == []
    assert why_it_no_longer_stands(worn, other) is None


def test_a_corrected_detail_tells_what_it_led_to_in_order(line, worn) -> None:
    assert what_changed(worn, line("chain-worn", chain_wear_pct=0.3)) == [
        Change("verdict", "not-recommended", "yes"),
        Change(
            "headline",
            "That chain is well past its mark; the cassette goes with it if a new chain skips.",
            "Ride on; that chain still has life in it.",
        ),
        Change(
            "What that wear shows on a 12 in rule", "2.4 mm (2.13 to 2.74 mm)", "0.9 mm (0.61 to 1.22 mm)"
        ),
        Change(
            "Wear left, minus where it is past the limit", "−0.3 % (−0.4 to −0.2 %)", "0.2 % (0.1 to 0.3 %)"
        ),
        Change("chain wear", "0.8 %", "0.3 %"),
    ]


def test_an_answer_to_what_was_asked_back_is_asked_no_more(line) -> None:
    found = what_changed(line("rim-width-unknown"), line("rim-width-unknown", rim_inner_width_mm=23))

    assert Change("asked back", "How wide is the rim on the inside?", None) in found
    assert found[-1] == Change("rim inner width", None, "23 mm")


def test_a_condition_that_came_is_told(line) -> None:
    found = what_changed(line("hookless-too-narrow"), line("hookless-too-narrow", tyre_width_mm=40))

    assert [(one.was, one.now) for one in found if one.what == "condition"] == [
        (
            None,
            "the tyre's maker releases it for hookless rims, it is at least 5 mm wider than the rim inside, and it never "
            "sees more than 5 bar or its own lower limit",
        )
    ]


def test_another_brief_goes_by_its_title_and_topic(line) -> None:
    found = what_changed(line("chain-worn"), line("slow-leak"))

    assert Change("brief", line("chain-worn")["title"], line("slow-leak")["title"]) in found
    assert Change("topic", "drivetrain", "tyres") in found
    assert [one.what for one in found][:4] == ["verdict", "headline", "brief", "topic"]


def test_cautions_come_and_go_one_by_one(line) -> None:
    before = line("cracked-fork")
    first, *rest = before["cautions"]
    after = before | {"cautions": [*rest, "Walk."]}

    assert what_changed(before, after) == [Change("caution", first, None), Change("caution", None, "Walk.")]


def test_figures_that_are_new_or_gone_stand_alone(worn) -> None:
    figure = a_figure(worn)
    fewer = worn | {"figures": [one for one in worn["figures"] if one["name"] != figure["name"]]}

    assert what_changed(worn, fewer) == [Change(figure["label"], "−0.3 % (−0.4 to −0.2 %)", None)]
    assert what_changed(fewer, worn) == [Change(figure["label"], None, "−0.3 % (−0.4 to −0.2 %)")]


def test_a_figure_that_reads_the_same_has_not_changed(worn) -> None:
    figure = a_figure(worn)
    other = with_figure(worn, figure["name"], value=figure["value"] + 1e-7)

    assert what_changed(worn, other) == []


def test_a_question_with_other_answers_is_told_whole(line) -> None:
    before = line("rim-width-unknown")
    after = copy.deepcopy(before)
    after["asks"][0] |= {"measure": "Read the label.", "sides": []}
    was, now = what_changed(before, after)[0].was, what_changed(before, after)[0].now

    assert now == "How wide is the rim on the inside? Read the label."
    assert was is not None
    assert was.startswith("How wide is the rim on the inside? ")
    assert "If it is 27 mm or more: not-recommended, " in was


def test_the_checklist_is_told_once(worn) -> None:
    other = worn | {
        "checklist": [*worn["checklist"][1:], "Sing.", "Dance."],
        "script": "Other.",
        "reply": "Other.",
    }

    assert what_changed(worn, other) == [Change("the checklist", None, None)]


@pytest.mark.parametrize(
    ("texts", "expected"),
    [
        ({"script": "Other."}, ["the script"]),
        ({"reply": "Other."}, ["the reply"]),
        ({"script": "Other.", "reply": None}, ["the script", "the reply"]),
    ],
)
def test_a_text_is_told_only_where_nothing_else_explains_it(texts: Line, expected: list[str], worn) -> None:
    assert what_changed(worn, worn | texts) == [Change(what, None, None) for what in expected]
    assert what_changed(worn, worn | texts | {"verdict": "yes"}) == [
        Change("verdict", "not-recommended", "yes")
    ]


def test_details_are_told_as_a_reader_wants_them(worn) -> None:
    before = worn | {
        "details": [
            {"name": "tyre_pressure_kpa", "value": 600.0},
            {"name": "rim_type", "value": "hooked-tubeless"},
        ]
    }
    after = worn | {
        "details": [{"name": "tyre_pressure_kpa", "value": [400.0, 500.0]}, {"name": "speeds", "value": 11.0}]
    }

    assert what_changed(before, after) == [
        Change("tyre pressure", "6 bar (87 psi)", "4 to 5 bar (58 to 73 psi)"),
        Change("rim type", "hooked tubeless", None),
        Change("speeds", None, "11 speeds"),
    ]


def test_a_detail_read_twice_over_is_one_detail(worn) -> None:
    twice = worn | {
        "details": [*worn["details"], {**worn["details"][0], "words": "again", "start": 50, "end": 55}]
    }

    assert what_changed(worn, twice) == []


# Why a signed draft no longer stands


def test_a_changed_figure_and_a_turned_verdict_are_named(line, worn) -> None:
    figure = a_figure(worn)
    after = with_figure(worn, figure["name"], value=0.1, low=0.1, high=0.1) | {"verdict": "yes"}

    assert why_it_no_longer_stands(worn, after) == (
        'The figure "wear left, minus where it is past the limit" is now 0.1 %, was −0.3 %, and the verdict turns from '
        "not-recommended to yes."
    )


def test_a_verdict_alone_is_named(worn) -> None:
    after = worn | {"verdict": "yes", "headline": "Ride on."}

    assert why_it_no_longer_stands(worn, after) == "The verdict turns from not-recommended to yes."


def test_three_things_are_named_at_most_and_the_verdict_always(line) -> None:
    before, after = line("rim-width-narrow"), line("rim-width-narrow", tyre_width_mm=32)

    assert why_it_no_longer_stands(before, after) == (
        'The figure "width to spare over the hookless rule" is now 10 mm, was 28 mm, the figure "margin inside the '
        'recommended rim widths" is now 2 mm, was 0 mm, and the verdict turns from need-more to yes; 6 more things changed.'
    )


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        ({"headline": "Change it today."}, 'The headline is now "Change it today".'),
        ({"cautions": ["Never ride a chain that has been welded together."]}, 'The caution "Never ride a chain that has…" is new.'),
        ({"conditions": ["you look again"]}, 'The condition "you look again" is new.'),
        ({"checklist": []}, "The checklist reads otherwise."),
        ({"script": "Other."}, "The script reads otherwise."),
        ({"script": "Other.", "reply": "Other."}, "The script and the reply read otherwise."),
        ({"headline": "Change it.", "conditions": ["you look again"]},
         'The condition "you look again" is new, and the headline is now "Change it".'),
        ({"asks": [{"name": "speeds", "question": "How many speeds?", "measure": "", "sides": []}]},
         '"How many speeds?" is asked back now.'),
    ],
)  # fmt: skip
def test_whatever_a_reader_would_see_is_a_reason(change: Line, sentence: str, worn) -> None:
    assert why_it_no_longer_stands(worn, worn | change) == sentence


def test_a_figure_worked_out_another_way_is_a_reason(worn) -> None:
    figure = a_figure(worn)

    assert why_it_no_longer_stands(worn, with_figure(worn, figure["name"], working="w = 2 × 3")) == (
        'The working of "wear left, minus where it is past the limit" reads otherwise.'
    )


def test_a_spread_that_alone_changed_is_told(worn) -> None:
    figure = a_figure(worn)

    assert why_it_no_longer_stands(worn, with_figure(worn, figure["name"], low=-0.45)) == (
        'The figure "wear left, minus where it is past the limit" is now −0.3 % (−0.45 to −0.2 %), was −0.3 % (−0.4 to −0.2 %).'
    )


def test_a_figure_that_is_gone_is_a_reason(worn) -> None:
    figure = a_figure(worn)
    fewer = worn | {"figures": [one for one in worn["figures"] if one["name"] != figure["name"]]}

    assert why_it_no_longer_stands(worn, fewer) == (
        'The figure "wear left, minus where it is past the limit", −0.3 %, is gone.'
    )
    assert why_it_no_longer_stands(fewer, worn) == (
        'The figure "wear left, minus where it is past the limit" is new, −0.3 %.'
    )


@pytest.mark.parametrize("field", ["title", "topic", "details", "flags", "sources", "sureness"])
def test_what_no_text_or_working_shows_is_no_reason(field: str, worn) -> None:
    assert why_it_no_longer_stands(worn, worn | {field: []}) is None

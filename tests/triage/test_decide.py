"""What the finding engine says of known, unknown and impossible facts; expected values worked out by hand."""

from __future__ import annotations

import pytest

from triage.decide import decide
from triage.match import match

EXAMPLES = "[" + ", ".join(f"example {n}" for n in range(10)) + "]"
INDEXING = f"""
title: One lever, another derailleur
examples: {EXAMPLES}
needs:
  - {{name: cable_pull_mm, usual: [2.3, 3.6], basis: drivetrain-22}}
  - {{name: actuation_ratio, usual: [1.1, 1.7], basis: drivetrain-22}}
figures: [{{name: travel_per_click_mm}}]
deciders:
  - figure: travel_per_click_mm
    bands:
      - {{up_to: 3.75, verdict: not-recommended, because: too short}}
      - {{up_to: 4.15, verdict: yes, because: close enough}}
      - {{verdict: not-recommended, because: too far}}
    source: drivetrain-27
answers:
  yes: {{headline: It works., body: "It moves {{{{ travel_per_click_mm }}}}."}}
  not-recommended: {{headline: Not recommended., body: "It moves {{{{ travel_per_click_mm }}}}."}}
  need-more: {{headline: One thing is missing., body: We need it.}}
"""


@pytest.fixture
def finding(with_briefs, stated):
    """The finding of a brief for what the rider stated."""

    def find(text, flags=(), **details):
        knowledge = with_briefs(drivetrain__indexing=text)
        return decide(match([stated("drivetrain/indexing", flags, **details)], knowledge), knowledge)[0]

    return find


@pytest.mark.parametrize(
    ("pull", "ratio", "verdict", "travel"),
    # Source drivetrain-22 for pulls and ratios; products by hand: 2.3 x 1.7, 2.3 x 1.2, 2.8 x 1.7, 2.8 x 1.4.
    [
        (2.3, 1.7, "yes", 3.91),
        (2.3, 1.2, "not-recommended", 2.76),
        (2.8, 1.7, "not-recommended", 4.76),
        (2.8, 1.4, "yes", 3.92),
    ],
)
def test_known_facts_give_one_verdict_and_the_hand_worked_figure(finding, pull, ratio, verdict, travel):
    found = finding(INDEXING, cable_pull_mm=pull, actuation_ratio=ratio)

    assert found.verdict == verdict
    assert found.figures[0].value == pytest.approx(travel, abs=0.005)
    assert found.asks == ()


def test_one_unknown_fact_is_asked_for_with_its_tipping_value_and_both_answers(finding):
    found = finding(INDEXING, cable_pull_mm=2.3)

    assert found.verdict == "need-more"
    assert [ask.name for ask in found.asks] == ["actuation_ratio"]
    # By hand: 3.75 / 2.3 = 1.6304; 4.15 / 2.3 = 1.80 lies beyond the usual 1.7.
    assert found.asks[0].tips_at == pytest.approx(1.63, abs=0.005)
    assert [side.verdict for side in found.asks[0].sides] == ["not-recommended", "yes"]
    assert found.figures[0].value is None
    assert (found.figures[0].low, found.figures[0].high) == pytest.approx((2.53, 3.91))


def test_two_unknown_facts_are_both_asked_and_no_side_is_promised(finding):
    found = finding(INDEXING)

    assert found.verdict == "need-more"
    assert {ask.name for ask in found.asks} == {"cable_pull_mm", "actuation_ratio"}
    assert all(ask.sides == () and ask.tips_at is None for ask in found.asks)


def test_an_unknown_fact_that_changes_nothing_is_assumed_and_not_asked(finding):
    found = finding(INDEXING.replace("usual: [1.1, 1.7]", "usual: [1.1, 1.2]"), cable_pull_mm=2.3)

    assert found.verdict == "not-recommended"
    assert found.asks == ()
    assert [(a.words, a.is_range) for a in found.assumed] == [("1.1 to 1.2", True)]


def test_two_statements_that_contradict_each_other_are_a_range_of_the_riders_own(
    finding, with_briefs, stated
):
    knowledge = with_briefs(drivetrain__indexing=INDEXING)
    extracted = stated("drivetrain/indexing", cable_pull_mm=(2.3, 2.8), actuation_ratio=1.7)

    found = decide(match([extracted], knowledge), knowledge)[0]

    assert found.verdict == "need-more"
    assert [ask.name for ask in found.asks] == ["cable_pull_mm"]


def test_a_safety_matter_is_never_a_plain_yes_while_a_deciding_fact_is_unknown(finding):
    text = INDEXING.replace("usual: [1.1, 1.7]", "usual: [1.68, 1.72]").replace(
        "title:", "safety: true\nharm: It could hurt.\nsee: a mechanic\ncautions: [Mind the maker.]\ntitle:"
    )

    found = finding(text, cable_pull_mm=2.3)

    assert found.verdict == "yes-if"
    assert [ask.name for ask in found.asks] == ["actuation_ratio"]
    assert "1.68 to 1.72" in found.conditions[0]


def test_a_value_on_the_limit_belongs_to_the_band_that_ends_there(finding):
    found = finding(INDEXING, cable_pull_mm=2.5, actuation_ratio=1.5)  # 3.75 by hand

    assert found.verdict == "not-recommended"
    assert found.reasons == ("too short",)


def test_a_figure_outside_its_formula_is_no_consent(finding):
    found = finding(
        INDEXING.replace("travel_per_click_mm}", "travel_per_click_mm}"),
        cable_pull_mm=7.9,
        actuation_ratio=9.0,
    )

    assert found.verdict == "need-more"
    assert any("actuation_ratio" in doubt for doubt in found.doubts)

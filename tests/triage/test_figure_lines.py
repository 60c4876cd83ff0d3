"""Which figures stand below a reply: those that decide, and those that its text names and that say something."""

from __future__ import annotations

from dataclasses import replace

import pytest

from knowledge.base import Knowledge
from knowledge.load import load
from knowledge.phrases import Phrases
from tests.asked import asked, found
from triage.draft import draft
from triage.record_line import as_line
from triage.shown import of_figure

EXPLAINED = [brief.id for brief in load().briefs.values() if "explain" in brief.answers and brief.figures]
HEADING = "The figures behind it:\n"


@pytest.mark.parametrize("brief", EXPLAINED)
def test_nobody_reads_a_wide_range_that_the_text_makes_nothing_of(
    brief: str, knowledge: Knowledge, phrases: Phrases
) -> None:
    finding = found(asked(brief, {}), knowledge)
    (made,) = draft([finding], knowledge, phrases, 150.0)
    before, _, behind = made.reply.partition(HEADING)
    listed = behind.partition("\n\n")[0].splitlines()
    for figure in finding.figures:
        if figure.value is None and not figure.decides and str(of_figure(figure)) not in before:
            assert not any(line.lower().startswith(f"- {figure.label}:".lower()) for line in listed)


def test_what_decides_is_listed_first(knowledge: Knowledge, phrases: Phrases) -> None:
    told = {"tyre_width_mm": 32, "rim_inner_width_mm": 13}
    (made,) = draft([found(asked("tyres/rim-width", told), knowledge)], knowledge, phrases, 150.0)
    assert HEADING in made.reply
    first = made.reply.partition(HEADING)[2].splitlines()[0]
    deciding = [figure.label for figure in made.finding.figures if figure.decides]
    assert any(first.lower().startswith(f"- {label}:".lower()) for label in deciding)


@pytest.mark.parametrize("told", [{}, {"slope_pct": 9, "rider_power_w": 180, "rider_mass_kg": 74}])
def test_a_deciding_figure_is_listed_once_it_says_something(
    told: dict[str, float], knowledge: Knowledge, phrases: Phrases
) -> None:
    (made,) = draft([found(asked("drivetrain/gears-for-hills", told), knowledge)], knowledge, phrases, 150.0)
    assert ("- Cadence in the lowest gear at that speed:" in made.reply) == bool(told)


@pytest.mark.parametrize("brief", [one.id for one in load().briefs.values() if one.deciders])
def test_what_may_lie_on_either_side_of_nothing_is_not_listed(
    brief: str, knowledge: Knowledge, phrases: Phrases
) -> None:
    finding = found(asked(brief, {}), knowledge)
    (made,) = draft([finding], knowledge, phrases, 150.0)
    listed = made.reply.partition(HEADING)[2].partition("\n\n")[0].splitlines()
    before = made.reply.partition(HEADING)[0]
    for figure in finding.figures:
        open_ended = figure.value is None and figure.low is not None and figure.high is not None
        if open_ended and figure.low <= 0 < figure.high and str(of_figure(figure)) not in before:
            assert not any(line.lower().startswith(f"- {figure.label}:".lower()) for line in listed)


@pytest.mark.parametrize(("cranks", "is_listed"), [((172.5, 165.0), True), ((165.0, 172.5), False)])
def test_a_figure_of_the_branch_that_is_not_taken_is_not_listed(
    cranks: tuple[float, float], is_listed: bool, knowledge: Knowledge, phrases: Phrases
) -> None:
    told = dict(zip(("crank_length_mm", "new_crank_length_mm"), cranks, strict=True))
    (made,) = draft([found(asked("cranks/shorter-cranks", told), knowledge)], knowledge, phrases, 150.0)
    assert ("- Shift back on the rails" in made.reply) == is_listed


def test_the_figures_say_what_they_stand_on(knowledge: Knowledge, phrases: Phrases) -> None:
    told = {"tyre_width_mm": 32, "rim_inner_width_mm": 13, "rim_type": "hooked"}
    (made,) = draft([found(asked("tyres/rim-width", told), knowledge)], knowledge, phrases, 150.0)
    last = made.reply.partition(HEADING)[2].partition("\n\n")[0].splitlines()[-1]
    assert last.startswith("- What you gave: ")
    assert "tyre width 32 mm" in last
    assert "rim's inside width 13 mm" in last
    (made,) = draft([found(asked("tyres/rim-width", {}), knowledge)], knowledge, phrases, 150.0)
    assert "What you gave" not in made.reply


@pytest.mark.parametrize(
    ("brief", "told", "stated"),
    [
        (
            "tyres/pressure-for-weight",
            {"rider_mass_kg": 86.18255, "tyre_width_mm": 28},
            "rider's weight 86.2 kg; tyre width 28 mm",
        ),
        (
            "cranks/shorter-cranks",
            {"crank_length_mm": 172.5, "new_crank_length_mm": 165},
            "crank length 172.5 mm",
        ),
        ("tyres/rim-width", {"tyre_width_mm": 31.75, "rim_inner_width_mm": 19}, "tyre width 31.8 mm"),
    ],
)
def test_what_was_given_is_repeated_about_as_finely_as_it_was_told(
    brief: str, told: dict[str, float], stated: str, knowledge: Knowledge, phrases: Phrases
) -> None:
    (made,) = draft([found(asked(brief, told), knowledge)], knowledge, phrases, 150.0)
    assert stated in made.reply.partition(HEADING)[2]


def test_a_figure_that_nobody_reads_lends_no_source(knowledge: Knowledge, phrases: Phrases) -> None:
    question = asked("wheels/spoke-count", {})
    point = next(name for name, point in knowledge.briefs["wheels/spoke-count"].points.items() if point.alone)
    pointed = replace(question.classified, point=f"wheels/spoke-count#{point}")
    (general,) = draft([found(question, knowledge)], knowledge, phrases, 150.0)
    (made,) = draft([found(replace(question, classified=pointed), knowledge)], knowledge, phrases, 150.0)
    geometry = knowledge.sources["geometry"].cited
    assert geometry in general.reply
    assert geometry not in made.reply


def test_figures_that_stand_on_nothing_that_was_given_are_no_list(
    knowledge: Knowledge, phrases: Phrases
) -> None:
    told = {"tyre_pressure_kpa": 210.0}
    (made,) = draft([found(asked("tyres/pressure-for-weight", told), knowledge)], knowledge, phrases, 150.0)
    assert any(figure.label.lower().startswith("for scale") for figure in made.finding.figures)
    assert HEADING not in made.reply


def test_a_mail_names_a_few_sources_and_offers_the_rest(knowledge: Knowledge, phrases: Phrases) -> None:
    brief = knowledge.briefs["cranks/arm-works-loose"]
    (made,) = draft([found(asked(brief.id, {}), knowledge)], knowledge, phrases, 150.0)
    named = made.reply.partition("Figures from: ")[2].partition(".\n")[0]
    ids = as_line(made, knowledge)["sources"]
    cited = [source for source in map(knowledge.sources.__getitem__, ids) if not source.is_memory]
    assert len(cited) > 4
    assert sum(source.cited in named for source in cited) == 4
    assert named.rstrip(".").endswith(f"; {len(cited) - 4} more on request")

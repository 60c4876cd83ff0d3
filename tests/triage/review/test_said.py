"""What somebody says a question really is: taken with any unit that fits, refused with what would do."""

from __future__ import annotations

from dataclasses import replace

import pytest

from triage.review.acts import NotDoneError
from triage.review.said import brief_said, detail_said, outside_said, part_said, point_said, topic_said

DERAILLEUR = "derailleur-arlind-sorrel-11-short"


@pytest.mark.parametrize(
    ("name", "typed", "kept"),
    [
        ("tyre_width_mm", "28", "tyre_width_mm=28"),
        ("tyre_width_mm", "28 mm", "tyre_width_mm=28"),
        ("tyre_width_mm", "2.8 cm", "tyre_width_mm=28"),
        ("tyre_width_mm", "1.1in", "tyre_width_mm=27.94"),
        ("tyre_width_mm", "", "tyre_width_mm="),
        ("brake_fluid", "mineral", "brake_fluid=mineral"),
        ("brake_fluid", "", "brake_fluid="),
    ],
)
def test_a_detail_is_kept_in_its_own_unit(knowledge, name, typed, kept):
    assert detail_said(name, typed, knowledge) == ("detail", kept)


@pytest.mark.parametrize(
    ("name", "typed", "told"),
    [
        ("tyre_width_mm", "wide", 'expected a number, with a unit if you like, got "wide"'),
        ("tyre_width_mm", "28 bar", '"bar" is no unit of the kind needed: mm'),
        ("tyre_width_mm", "2800", "2800 mm can't be; expected "),
        ("tyre_width_mm", "280 cm", "2800 mm can't be; expected "),
        ("tyre_width_mm", "-1", "-1 mm can't be; expected "),
        ("brake_fluid", "water", "expected one of "),
        ("tyre_widht_mm", "28", "There is no detail tyre_widht_mm; did you mean tyre_width_mm, "),
    ],
)
def test_a_detail_that_cant_be_is_refused_with_what_would_do(knowledge, name, typed, told):
    with pytest.raises(NotDoneError) as refused:
        detail_said(name, typed, knowledge)

    assert told in str(refused.value)


def test_a_part_is_one_of_its_kind_or_taken_out(knowledge):
    assert part_said("derailleur", DERAILLEUR, knowledge) == ("part", f"derailleur={DERAILLEUR}")
    assert part_said("derailleur", "", knowledge) == ("part", "derailleur=")
    with pytest.raises(
        NotDoneError, match=f"There is no derailleur x{DERAILLEUR}; did you mean {DERAILLEUR}"
    ):
        part_said("derailleur", f"x{DERAILLEUR}", knowledge)
    with pytest.raises(NotDoneError, match="There is no kind of part deraileur; did you mean derailleur"):
        part_said("deraileur", DERAILLEUR, knowledge)


def test_a_part_of_another_kind_is_refused(knowledge):
    another = next(part for part in knowledge.parts.values() if part.kind != "derailleur")

    with pytest.raises(NotDoneError, match=f"There is no derailleur {another.id}"):
        part_said("derailleur", another.id, knowledge)


def test_how_it_is_sorted_is_one_of_what_there_is(knowledge):
    assert brief_said("tyres/rim-width", knowledge) == ("brief", "tyres/rim-width")
    assert topic_said("wheels", knowledge) == ("topic", "wheels")
    assert outside_said("praise", knowledge) == ("outside", "chatter/praise")
    with pytest.raises(NotDoneError, match="There is no brief tyres/rim-widht; did you mean tyres/rim-width"):
        brief_said("tyres/rim-widht", knowledge)
    with pytest.raises(NotDoneError, match="There is no topic weels; did you mean wheels"):
        topic_said("weels", knowledge)
    with pytest.raises(NotDoneError, match="There is no kind of chatter prays; did you mean praise"):
        outside_said("prays", knowledge)


def test_a_point_is_one_of_its_brief(knowledge):
    pointed = next(brief for brief in knowledge.briefs.values() if len(brief.points) > 1)
    name, other = list(pointed.points)[:2]
    assert point_said(pointed.id, name, knowledge) == ("point", f"{pointed.id}#{name}")
    assert point_said(pointed.id, "", knowledge) == ("point", "")
    assert point_said(pointed.id, f"{name}, {other},{name}", knowledge) == (
        "point",
        f"{pointed.id}#{name},{other}",
    )
    with pytest.raises(NotDoneError, match=f"There is no point {name}x; did you mean {name}"):
        point_said(pointed.id, f"{name}x", knowledge)
    bare = pointed.model_copy(update={"points": {}})
    knowledge = replace(knowledge, briefs={**knowledge.briefs, bare.id: bare})
    with pytest.raises(NotDoneError, match="has no points"):
        point_said(bare.id, name, knowledge)

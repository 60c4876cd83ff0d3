"""Where a need's value comes from: the rider, a named part, a table or habit; and whose limit wins."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from knowledge.base import Knowledge
from triage.match import match
from triage.records import Detail, Extracted, Matched, PartMention

Stated = Callable[..., Extracted]


def with_part(extracted: Extracted, part: str, kind: str) -> Extracted:
    """The question with a catalogue part named in it."""
    mention = PartMention(part, kind, part, 0, 5, 100.0)
    return replace(extracted, parts=(mention,))


def matched(extracted: Extracted, knowledge: Knowledge) -> Matched:
    return match([extracted], knowledge)[0]


def test_a_named_tyre_brings_its_width_and_its_limit_to_a_brief_that_names_no_kind(
    knowledge: Knowledge, stated: Stated
) -> None:
    # Invented for the demonstration: knowledge/parts/tyre.csv gives this tyre 28 mm and 600 kPa.
    question = with_part(
        stated("tyres/pressure-for-weight", rider_mass_kg=80), "tyre-bramble-pike-skerry-28", "tyre"
    )

    values = matched(question, knowledge).values

    assert (values["tyre_width_mm"].best, values["tyre_width_mm"].origin) == (28.0, "part")
    assert (values["tyre_max_pressure_kpa"].best, values["tyre_max_pressure_kpa"].origin) == (600.0, "part")


@pytest.mark.parametrize(("said", "counts", "origin"), [(800.0, 600.0, "part"), (500.0, 500.0, "rider")])
def test_the_stricter_of_two_limits_counts_whoever_states_it(
    said: float, counts: float, origin: str, knowledge: Knowledge, stated: Stated
) -> None:
    question = with_part(
        stated("tyres/pressure-for-weight", rider_mass_kg=80, tyre_max_pressure_kpa=said),
        "tyre-bramble-pike-skerry-28",
        "tyre",
    )

    limit = matched(question, knowledge).values["tyre_max_pressure_kpa"]

    assert (limit.best, limit.origin) == (counts, origin)


def test_the_higher_of_two_least_thicknesses_counts(knowledge: Knowledge, stated: Stated) -> None:
    rotor = next(part for part in knowledge.parts.values() if "rotor_minimum_mm" in part.properties)
    printed = float(rotor.properties["rotor_minimum_mm"])
    question = with_part(stated("brakes/rotor-wear", rotor_minimum_mm=printed - 0.3), rotor.id, "rotor")

    assert matched(question, knowledge).values["rotor_minimum_mm"].best == printed


def test_what_is_printed_has_no_spread_and_what_is_measured_has(knowledge: Knowledge, stated: Stated) -> None:
    values = matched(
        stated("brakes/rotor-wear", rotor_minimum_mm=1.5, rotor_thickness_mm=1.7), knowledge
    ).values

    assert values["rotor_minimum_mm"].spread == 0.0
    # Common practice with a workshop calliper: two hundredths of a millimetre.
    assert values["rotor_thickness_mm"].spread == pytest.approx(0.02)


def test_a_value_given_roughly_is_taken_wider(knowledge: Knowledge, stated: Stated) -> None:
    question = stated("tyres/pressure-for-weight", rider_mass_kg=80)
    roughly = replace(question, details=(*(replace(detail, about=True) for detail in question.details),))

    # By hand: twice the one kilogram of a bathroom scale is 2; a twentieth of 80 is 4; the wider one counts.
    assert matched(question, knowledge).values["rider_mass_kg"].spread == pytest.approx(1.0)
    assert matched(roughly, knowledge).values["rider_mass_kg"].spread == pytest.approx(4.0)


def test_two_statements_within_what_measuring_leaves_open_are_one(
    knowledge: Knowledge, stated: Stated
) -> None:
    question = stated("brakes/rotor-wear", rotor_thickness_mm=1.7)
    again = Detail("rotor_thickness_mm", 1.71, "1.71", 50, 54)

    assert (
        matched(replace(question, details=(*question.details, again)), knowledge)
        .values["rotor_thickness_mm"]
        .is_known
    )


def test_what_is_stated_outright_beats_a_second_reading_of_other_words(
    knowledge: Knowledge, stated: Stated
) -> None:
    question = stated("frame-fit/bike-size")
    told = (
        Detail("saddle_height_mm", 730.0, "73 cm", 0, 5),
        Detail("inseam_mm", 730.0, "73 cm", 0, 5),
        Detail("inseam_mm", 840.0, "84", 20, 22),
    )

    inseam = matched(replace(question, details=told), knowledge).values["inseam_mm"]

    assert (inseam.low, inseam.high) == (840.0, 840.0)


def test_a_second_reading_counts_where_nothing_is_stated_outright(
    knowledge: Knowledge, stated: Stated
) -> None:
    question = stated("cranks/crank-length-choice")
    told = (
        Detail("saddle_height_mm", 840.0, "84 cm", 0, 5),
        Detail("inseam_mm", 840.0, "84 cm", 0, 5),
    )

    assert matched(replace(question, details=told), knowledge).values["inseam_mm"].best == 840.0


def test_the_riders_weight_makes_most_of_what_a_descent_heats(knowledge: Knowledge, stated: Stated) -> None:
    alone = matched(stated("brakes/descent-fade", rider_mass_kg=105), knowledge).values["total_mass_kg"]
    with_bike = matched(stated("brakes/descent-fade", rider_mass_kg=105, bike_mass_kg=15), knowledge).values[
        "total_mass_kg"
    ]

    # knowledge/quantities/shared.csv: a bicycle usually weighs 8 to 18 kg.
    assert (alone.low, alone.high, alone.origin) == (113.0, 123.0, "rider")
    assert (with_bike.low, with_bike.high) == (120.0, 120.0)


def test_what_a_rider_weighs_with_everything_counts_less_the_bicycle(
    knowledge: Knowledge, stated: Stated
) -> None:
    values = matched(stated("wheels/rim-heat", total_mass_kg=140), knowledge).values

    assert values["rider_mass_kg"].best == 140.0 - values["bike_mass_kg"].best - values["load_mass_kg"].best


def test_a_stated_mass_is_never_made_up_from_others(knowledge: Knowledge, stated: Stated) -> None:
    values = matched(stated("brakes/descent-fade", total_mass_kg=90, rider_mass_kg=105), knowledge).values

    assert values["total_mass_kg"].best == 90.0


def test_the_cassette_that_there_is_stands_in_where_no_new_one_was_named(
    knowledge: Knowledge, stated: Stated
) -> None:
    told = matched(stated("drivetrain/gears-for-hills", old_largest_sprocket_teeth=25), knowledge).values
    both = stated("drivetrain/gears-for-hills", old_largest_sprocket_teeth=25, new_largest_sprocket_teeth=32)

    assert (told["new_largest_sprocket_teeth"].best, told["new_largest_sprocket_teeth"].origin) == (
        25.0,
        "rider",
    )
    assert matched(both, knowledge).values["new_largest_sprocket_teeth"].best == 32.0
    # Where a wider cassette is the question, the one there is says nothing of it.
    wider = matched(stated("drivetrain/derailleur-capacity", old_largest_sprocket_teeth=25), knowledge).values
    assert wider["new_largest_sprocket_teeth"].origin == "usual"


@pytest.mark.parametrize(
    ("chance", "point", "is_drafted"),
    [
        (0.34, "wheels/dish#tolerance", False),
        (0.36, "wheels/dish#tolerance", True),
        (0.36, None, False),
        (0.49, None, False),
        (0.497, None, True),  # put down as 0.50, and worked out again from that
        (0.51, None, True),
    ],
)
def test_a_general_answer_wants_a_surer_brief_than_one_to_the_very_point(
    knowledge: Knowledge, stated: Stated, chance: float, point: str | None, is_drafted: bool
) -> None:
    question = stated("wheels/dish")
    unsure = replace(question.classified, briefs=(("wheels/dish", chance),), point=point)
    assert (matched(replace(question, classified=unsure), knowledge).brief == "wheels/dish") is is_drafted

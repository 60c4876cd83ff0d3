"""Which side is in trouble, and whether chain and cassette are both new."""

from __future__ import annotations

import pytest

from knowledge.base import Knowledge
from triage.extract import Finder


def values(knowledge: Knowledge, text: str, name: str) -> list[object]:
    return [detail.value for detail in Finder(knowledge).find(text)[0] if detail.name == name]


@pytest.mark.parametrize(
    ("text", "sides"),
    [
        ("Right pedal, no trouble at all. The other one laughs at me.", []),
        ("The right pedal undid easily, the left pedal won't move.", ["left"]),
        ("My left pedal came unscrewed on a climb.", ["left"]),
        ("Left crank arm is loose, the right crank is fine.", ["left"]),
        ("The right pedal is seized.", ["right"]),
    ],
)
def test_a_side_that_went_well_is_not_the_one_in_trouble(
    knowledge: Knowledge, text: str, sides: list[str]
) -> None:
    assert values(knowledge, text, "crank_side") == sides


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("Fitted a new cassette and chain, and it skips.", ["both"]),
        ("I changed the chain and cassette, it hops in one gear.", ["both"]),
        ("I changed the chain and cassette looks fine, yet it skips.", []),
        ("It skips with a new chain, cassette has 9000 km.", []),
        ("Do I need a new chain and cassette?", []),
    ],
)
def test_chain_and_cassette_are_new_only_where_both_are(
    knowledge: Knowledge, text: str, told: list[str]
) -> None:
    assert values(knowledge, text, "skip_new_parts") == told


def test_a_jump_in_the_belt_is_a_jump(knowledge: Knowledge) -> None:
    assert values(knowledge, "Twice I felt a jump in the belt.", "belt_jump") == ["jumped"]
    assert values(knowledge, "I'd jump at the chance of a belt.", "belt_jump") == []


def test_some_of_the_cogs_are_not_the_number_of_speeds(knowledge: Knowledge) -> None:
    assert values(knowledge, "Three cogs rub on my 9-speed chain.", "speeds") == []
    assert values(knowledge, "The block has 7 sprockets.", "speeds") == [7.0]


def test_a_wave_between_two_figures_is_a_range(knowledge: Knowledge) -> None:
    assert values(knowledge, "An 8-speed cassette, 11~30.", "largest_sprocket_teeth") == [30.0]


@pytest.mark.parametrize(
    ("text", "damage"),
    [
        ("There's a crack at one spoke hole of my carbon wheel, no cracks on the other side.", ["crack"]),
        ("My rim has no crack.", ["none"]),
        ("I don't want to be stranded in the woods because of a cracked rim.", []),
        ("The wheel has a cracked rim.", ["crack"]),
    ],
)
def test_the_graver_damage_counts_and_a_feared_one_does_not(
    knowledge: Knowledge, text: str, damage: list[str]
) -> None:
    assert values(knowledge, text, "wheel_damage") == damage


def test_a_tube_by_its_number_is_no_weight(knowledge: Knowledge) -> None:
    assert values(knowledge, "My 531st frame is light.", "rider_mass_kg") == []
    assert values(knowledge, "I'm 14st and ride daily.", "rider_mass_kg") != []


@pytest.mark.parametrize(
    ("text", "kinds"),
    [
        ("The front hub sings. The coaster brake behind makes no noise.", set()),
        ("My coaster brake works fine, the drum in front howls.", {"drum"}),
        ("The coaster brake makes a noise when I stop.", {"coaster"}),
        ("The coaster brake works, but late.", {"coaster"}),
    ],
)
def test_a_brake_that_is_well_is_not_the_one_in_trouble(
    knowledge: Knowledge, text: str, kinds: set[str]
) -> None:
    assert set(values(knowledge, text, "hub_brake")) == kinds

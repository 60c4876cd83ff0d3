"""Where the hole in a tube is, as riders say it, and what only sounds like it."""

from __future__ import annotations

import pytest

from triage.extract import Finder


def _read(finder: Finder, text: str, name: str) -> list[object]:
    return [detail.value for detail in finder.find(text)[0] if detail.name == name]


@pytest.mark.parametrize(
    ("text", "hole"),
    [
        ("Third snakebite this month on the canal path, why?", "pinch"),
        ("Every hole sits on the side facing the spokes.", "rim-side"),
        ("The tube goes at the base of the valve each time.", "valve"),
        ("Tiny holes on the outside of the tube, tyre looks clean.", "tread-side"),
    ],
)
def test_the_place_of_a_hole_is_read(finder: Finder, text: str, hole: str) -> None:
    assert _read(finder, text, "tube_hole") == [hole]


def test_a_flat_of_no_told_kind_names_no_hole(finder: Finder) -> None:
    assert _read(finder, "My rear tyre goes flat every week.", "tube_hole") == []


def test_a_chain_boiled_in_wax_is_over_direct_heat(finder: Finder) -> None:
    assert "direct-heat" in _read(finder, "He says to boil the chain in candle wax.", "wax_heating")


@pytest.mark.parametrize(
    ("text", "places"),
    [
        ("The tube went flat because the stem (long, narrow) had ripped out of its rubber.", []),
        ("The valve's stem is bent and the stem leaks when the pump head is on.", []),
        ("The tube is new. But the stem turns on the steerer when I pull.", ["steering-or-brake"]),
        ("How tight do I do up the stem?", ["steering-or-brake"]),
        ("The head tube creaks when I tighten the stem.", ["steering-or-brake"]),
    ],
)
def test_the_stem_of_a_valve_holds_no_handlebar(finder: Finder, text: str, places: list[object]) -> None:
    assert _read(finder, text, "bolt_place") == places


@pytest.mark.parametrize(
    ("text", "damage"),
    [
        ("The wheel jumped out and I lay there with cracked ribs and a broken tooth.", []),
        ("I went down hard, cracked two ribs. Has the rim cracked as well?", ["crack"]),
        ("There is a crack at one spoke hole.", ["crack"]),
    ],
)
def test_what_broke_of_a_rider_is_no_damage_of_the_wheel(
    finder: Finder, text: str, damage: list[object]
) -> None:
    assert _read(finder, text, "wheel_damage") == damage


@pytest.mark.parametrize(
    ("text", "name", "values"),
    [
        ("Dunked it twice and there was not a single bubble.", "bubbles_at", ["none"]),
        ("Plenty of bubbles at the valve.", "bubbles_at", ["valve-base"]),
        ("The valve on the front comes out at an odd angle.", "valve_leans", ["leans"]),
        ("Its valve had torn all round.", "valve_fault", ["torn"]),
        ("My success rate with patches is one in three.", "patch_trouble", ["steps"]),
        ("The bead seems glued, I can't break the bead by hand.", "tyre_stuck", ["seat"] * 2),
        ("The bead goes on but the last bit is tight.", "tyre_stuck", []),
        ("A curl of metal off the axle, and the locknut just turns.", "hub_fault", ["thread"] * 2),
        ("Is it worth sanding, or do I only need sand paper?", "ride_weather", []),
        ("I rode through sand all summer.", "ride_weather", ["muddy"]),
    ],
)
def test_what_is_the_matter_is_read(finder: Finder, text: str, name: str, values: list[object]) -> None:
    assert _read(finder, text, name) == values


@pytest.mark.parametrize(
    ("text", "name", "values"),
    [
        ("The tube was bunched up in two places as I fitted it.", "tube_lies", ["folded"]),
        ("There was extra tube, so I had to push it in.", "tube_lies", ["folded"]),
        ("The tube lies smooth all round.", "tube_lies", []),
        ("A folding tyre came in the box.", "tube_lies", []),
        ("I have to change the skewer for my trainer.", "axle_fault", ["swap"]),
        ("The skewer closes with a finger.", "axle_fault", []),
        ("Half of the rim peeled away with a bang.", "burst_sign", ["rim"]),
        ("I peeled the sticker off the tyre.", "burst_sign", []),
        ("One broke today, the third since May.", "spokes_broken", ["again"]),
        ("Shop says that one of the wear dots is gone.", "wear_dots", ["gone"]),
        ("A dozen of the spokes are orange and flake.", "spoke_rust", ["eaten"]),
    ],
)
def test_how_a_tube_lies_a_skewer_is_changed_or_a_rim_let_go_is_read(
    finder: Finder, text: str, name: str, values: list[str]
) -> None:
    assert _read(finder, text, name) == values


@pytest.mark.parametrize(
    ("text", "values"),
    [("The new tyre hums at speed.", ["yes"]), ("The tyre thumps at each turn.", [])],
)
def test_a_tyre_that_hums_is_read(finder: Finder, text: str, values: list[str]) -> None:
    assert _read(finder, text, "tyre_hum") == values

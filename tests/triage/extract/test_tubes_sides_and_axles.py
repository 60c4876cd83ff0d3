"""Tubes beside tyres, the two sides of a wheel, axles of hub and frame, and a rim that was turned over."""

from __future__ import annotations

import pytest

from tests.triage.extract.stated import stated
from triage.extract import Finder


@pytest.mark.parametrize(
    ("text", "tube", "rim", "tyre"),
    [
        ("Tube for 28 x 1 1/2, and the store sells only 700x35-43.", [35.0, 43.0], [622.0], [38.1]),
        ("My tyre is 47-559 and the tube is printed 32/47-559.", [32.0, 47.0], [559.0], [47.0]),
        ("May 26 x 1.5 tubes go into my 26 x 2.1 tyres?", [38.1, 38.1], [559.0], [53.3]),
        ("700x28-32 tyres with tubes inside", [], [], [28.0]),
        ("My 32-622 tyre is tubeless.", [], [], [32.0]),
    ],
)
def test_what_a_tube_is_for_is_no_tyre(
    finder: Finder, text: str, tube: list[object], rim: list[object], tyre: list[object]
) -> None:
    ends = stated(finder, text, "tube_narrowest_width_mm") + stated(finder, text, "tube_widest_width_mm")
    assert ends == tube
    assert stated(finder, text, "tube_bead_seat_mm") == rim
    assert stated(finder, text, "tyre_width_mm") == tyre


@pytest.mark.parametrize(
    ("text", "tight", "other"),
    [
        ("The spokes have about 70 kgf on the left and 118 on the right.", [118.0], [70.0]),
        ("Spoke tension: left side reads 112 kgf, right side 84, disc front.", [112.0], [84.0]),
        ("NDS 58 kgf / DS 115 kgf spokes", [115.0], [58.0]),
        ("The meter says 105 kgf for the spokes.", [105.0], []),
        ("Spoke tension 105 kgf, flanges left 34 mm, right 19 mm.", [105.0], []),
    ],
)
def test_of_two_sides_the_tighter_one_counts(
    finder: Finder, text: str, tight: list[object], other: list[object]
) -> None:
    assert stated(finder, text, "tight_side_tension_kgf") == tight
    assert stated(finder, text, "other_side_tension_kgf") == other


@pytest.mark.parametrize(
    ("text", "hub", "frame"),
    [
        ("My frame is 12x142 and the wheel has a 12x148 hub.", [148.0], [142.0]),
        ("A 15x110 front hub into a fork with 15x100?", [110.0], [100.0]),
        ("The new frame is 148x12, the old wheels are 142x12.", [142.0], [148.0]),
        ("148x12 rear end", [148.0], []),
    ],
)
def test_axles_belong_to_hub_or_frame(
    finder: Finder, text: str, hub: list[object], frame: list[object]
) -> None:
    assert stated(finder, text, "hub_width_mm") == hub
    assert stated(finder, text, "frame_spacing_mm") == frame


@pytest.mark.parametrize(
    ("text", "gap"),
    [
        ("When I turn the wheel round in the fork the rim sits 4 mm further over.", [4.0]),
        ("Flipped it in the frame, and the rim moved 2 mm to the other side.", [2.0]),
        ("I flip the bike over, and the rotor moves 1 mm.", []),
    ],
)
def test_a_rim_turned_over_shows_its_gap(finder: Finder, text: str, gap: list[object]) -> None:
    assert stated(finder, text, "dish_gap_mm") == gap


@pytest.mark.parametrize(
    ("text", "damage"),
    [
        ("I can see a few threads in the cut, but no tube bulging.", ["casing-cut"]),
        ("A cut in the tread, and the tyre is bulging there.", ["bulge"]),
    ],
)
def test_what_does_not_bulge_is_no_bulge(finder: Finder, text: str, damage: list[object]) -> None:
    assert stated(finder, text, "casing_damage") == damage


@pytest.mark.parametrize(
    ("text", "surface"),
    [
        ("I ride rough lanes all year.", ["rough"]),
        ("Roads here are patched and lumpy.", ["rough"]),
        ("Give me a rough figure for smooth tarmac.", ["smooth"]),
    ],
)
def test_the_ground_that_is_ridden(finder: Finder, text: str, surface: list[object]) -> None:
    assert stated(finder, text, "ride_surface") == surface

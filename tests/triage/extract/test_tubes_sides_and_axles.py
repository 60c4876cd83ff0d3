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


@pytest.mark.parametrize(
    ("text", "lowest", "highest", "limit"),
    [
        ("Spokes of the drive side run from 98 to 118 kgf, rim limit 120.", [98.0], [118.0], [120.0]),
        ("The rim allows 110 kgf and the spokes read 105 kgf.", [], [], [110.0]),
        ("Spoke tension of 100 kgf, tyres 28 to 32 mm.", [], [], []),
    ],
)
def test_a_range_of_one_side_and_what_the_rim_allows(
    finder: Finder, text: str, lowest: list[object], highest: list[object], limit: list[object]
) -> None:
    assert stated(finder, text, "lowest_spoke_tension_kgf") == lowest
    assert stated(finder, text, "highest_spoke_tension_kgf") == highest
    assert stated(finder, text, "rim_tension_limit_kgf") == limit


@pytest.mark.parametrize(
    ("text", "hub", "frame"),
    [
        ("A 130 mm alloy road frame, and the hub measures 135 mm.", [135.0], [130.0]),
        ("My fork is 100 mm quick release.", [], [100.0]),
        ("The wheel is 135 mm over the locknuts.", [135.0], []),
    ],
)
def test_a_width_said_of_a_frame_is_the_frames(
    finder: Finder, text: str, hub: list[object], frame: list[object]
) -> None:
    assert stated(finder, text, "hub_width_mm") == hub
    assert stated(finder, text, "frame_spacing_mm") == frame


@pytest.mark.parametrize(
    ("text", "pressure"),
    [
        ("Does the 5 bar rule bother me with 45s?", []),
        ("I ride 5 bar in my tyres.", [500.0]),
    ],
)
def test_a_rule_that_is_talked_about_is_not_ridden(finder: Finder, text: str, pressure: list[object]) -> None:
    assert stated(finder, text, "tyre_pressure_kpa") == pressure


@pytest.mark.parametrize(
    ("text", "limit", "rider"),
    [
        ("I'm 118 kg and the wheels say max system 115 kg.", [115.0], [118.0]),
        ("Max total 120 kg it says, and I weigh 95 kg.", [120.0], [95.0]),
    ],
)
def test_what_wheels_may_carry_is_nobodys_weight(
    finder: Finder, text: str, limit: list[object], rider: list[object]
) -> None:
    assert stated(finder, text, "mass_limit_kg") == limit
    assert stated(finder, text, "rider_mass_kg") == rider


@pytest.mark.parametrize(
    ("text", "width"),
    [
        ("The tyre says 26 x 1 3/8 and 37-590.", [37.0]),
        ("Fat tyres, 4.0 wide on 26 inch wheels.", [101.6]),
        ("My bars are 4.0 wide, the tyres 32 mm.", [32.0]),
    ],
)
def test_one_tyre_named_twice_and_a_width_in_inches(finder: Finder, text: str, width: list[object]) -> None:
    assert stated(finder, text, "tyre_width_mm") == width


@pytest.mark.parametrize(
    ("text", "pressures"),
    [
        ("I ride 50 psi front and 58 rear on 38 mm tyres.", [344.7, 399.9]),
        ("Tyres at 3 in front and 3.5 bar at the back.", [300.0, 350.0]),
        ("50 psi front and 58 psi rear", [344.7, 399.9]),
    ],
)
def test_a_unit_said_once_holds_for_both_ends(finder: Finder, text: str, pressures: list[float]) -> None:
    assert stated(finder, text, "tyre_pressure_kpa") == pytest.approx(pressures, abs=0.1)


@pytest.mark.parametrize(
    ("text", "pressure"),
    [
        ("Is 60 psi too soft for 32 mm tyres?", [413.7]),
        ("Running 40s, are 3 bar too hard?", [300.0]),
        ("My tyre is 10 psi too low.", []),
    ],
)
def test_a_pressure_that_is_asked_about_is_no_difference(
    finder: Finder, text: str, pressure: list[float]
) -> None:
    assert stated(finder, text, "tyre_pressure_kpa") == pytest.approx(pressure, abs=0.1)

"""Whose a figure is: a friend's, a video's or another bike's is not read, the one that is asked about is."""

from __future__ import annotations

import pytest

from tests.triage.extract.stated import stated
from triage.extract import Finder

_OTHERS = [
    ("I run 28s at 75 psi. A bloke from work rides 25s at 110 psi. Too soft?", "tyre_width_mm", [28.0]),
    ("My cassette is an 11-28. One of them in the club, my best mate, is on an 11-40.", "largest_sprocket_teeth", [28.0]),
    ("I weigh 92 kg on 28s. The chap I ride with is 65 kg and gets away with 60 psi.", "rider_mass_kg", [92.0]),
    ("I weigh 92 kg. A clubmate says he is 65 kg on 32 spokes.", "rider_mass_kg", [92.0]),
    ("My wheel has 36 spokes. My neighbour swears his has 20 and holds.", "spokes", [36.0]),
    ("My wheel has 36 spokes. My neighbour, who is heavier than me, has 20 and no trouble.", "spokes", [36.0]),
    ("My wheel has 36 spokes (a friend's has 20, he is lucky) and is rim braked.", "spokes", [36.0]),
    ("My cranks are 175 mm. The video had 160 mm cranks on a shorter man.", "crank_length_mm", [175.0]),
    ("My cranks are 175 mm. On my old bike I had 165 mm cranks and no sore knees.", "crank_length_mm", [175.0]),
    ("My cranks are 175 mm. It was all fine with the 165 mm cranks of my other bike.", "crank_length_mm", [175.0]),
    ("My stem is 110 mm. I know someone who has a 70 mm stem on the same frame.", "stem_length_mm", [110.0]),
    ("My stem is 110 mm, longer than my brother's 70 mm stem.", "stem_length_mm", [110.0]),
    ("My tyres are 40 mm wide. Most people at the race ride 33 mm tyres.", "tyre_width_mm", [40.0]),
    ("My tyres are 40 mm wide. My husband's tyres are 50 mm wide and roll well.", "tyre_width_mm", [40.0]),
    ("The drive side is at 90 kgf. I read that 120 kgf is about right.", "tight_side_tension_kgf", [90.0]),
    ("I've 160 mm rotors. My colleague has 203 mm rotors, but I'm on the old fork.", "rotor_diameter_mm", [160.0]),
    ("My wife has an inseam of 74 cm. I'm on 175 mm cranks. Which length should she take?", "crank_length_mm", []),
]  # fmt: skip
_STAYS = [
    ("A clubmate says mine has 36 spokes, and I ride 28s.", "spokes", [36.0]),
    ("My mechanic says the wheel has 36 spokes. I ride 28s.", "spokes", [36.0]),
    ("I ride 28s. A friend put 36 spokes in my wheel.", "spokes", [36.0]),
    ("I ride 28s. A guy I know has 165 mm cranks for sale.", "spokes", []),
    ("My neighbour's bike has 36 spokes and they keep breaking. Why?", "spokes", [36.0]),
    ("I ride 28s. My neighbour's wheel has 36 spokes. Should he have it rebuilt?", "spokes", [36.0]),
    ("My wife is 62 kg and her bike has 36 spokes. What pressure should she ride?", "spokes", [36.0]),
    ("Wheel for our daughter. It's 20 inch. She weighs 25 kg and has 28 spokes.", "spokes", [28.0]),
    ("Building wheels for a friend. He weighs 96 kg and rides 36 spokes, 28 mm tyres.", "rider_mass_kg", [96.0]),
    ("Tandem with 40 spokes. My wife is 60 kg, I'm 80 kg.", "spokes", [40.0]),
    ("A customer brought a wheel, 135 mm hub. He weighs 101 kg.", "rider_mass_kg", [101.0]),
    ("We ride 28s. I put on a stem from my old bike that is 90 mm long.", "stem_length_mm", [90.0]),
    ("A mate rides 25s, but mine are 32 mm tyres at 70 psi.", "tyre_width_mm", [32.0]),
    ("A mate rides 25s at 110 psi. My own tyres are 32 mm wide.", "tyre_width_mm", [32.0]),
    ("It has 28s on. The shed is 3 m long and my stem is 90 mm.", "stem_length_mm", [90.0]),
    ("I ride 28s at 70 psi. My mechanic says the rim takes 120 psi max.", "rim_max_pressure_kpa", [827.4]),
]  # fmt: skip


@pytest.mark.parametrize(("text", "name", "values"), _OTHERS)
def test_what_is_anothers_is_not_the_riders(
    finder: Finder, text: str, name: str, values: list[object]
) -> None:
    """From where the talk is of somebody else or another bike to where it comes back."""
    assert stated(finder, text, name) == pytest.approx(values, rel=0.01)


@pytest.mark.parametrize(("text", "name", "values"), _STAYS)
def test_what_is_asked_about_is_read_whoever_rides_it(
    finder: Finder, text: str, name: str, values: list[object]
) -> None:
    """A friend who only speaks of the rider's bicycle, a child, a customer, and whoever the ask is for."""
    assert stated(finder, text, name) == pytest.approx(values, rel=0.01)


def test_a_danger_is_heeded_whosever_it_is(finder: Finder) -> None:
    """The brakes of a neighbour's bicycle matter too."""
    text = "I ride 28s at 70 psi. My neighbour has no brakes at all, his lever goes to the bar."

    assert stated(finder, text, "brake_gone")


def test_the_brakes_of_somebody_else_are_not_the_riders(finder: Finder) -> None:
    """What is chosen from words goes by the same stretches."""
    text = "I have cantilevers on 32 mm tyres. A guy at work has hydraulic discs."

    assert stated(finder, text, "brake_type") == ["rim"]

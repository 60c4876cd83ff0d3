"""Whose a figure is: a friend's or another bike's is not read; a load's, a child's, a rack's or a price is what it is."""

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
    ("E-bike, 500 Wh. The brochure promises 120 km under a rider of 70 kg, and I weigh 90 kg.", "rider_mass_kg", [90.0]),
    ("Our son's wheel has 28 spokes. His brother's bike has 20 spokes.", "spokes", [28.0]),
    ("My son rides 28 spokes. He is slower than his mate who has 20 spokes.", "spokes", [28.0]),
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


@pytest.mark.parametrize(
    ("text", "name", "values"),
    [
        ("Bike 14 kg with the rack, me 81 kg, tyres 40 mm.", "rider_mass_kg", [81.0]),
        ("My panniers weigh 18 kg together.", "load_mass_kg", [18.0]),
        ("My panniers, bike and me weigh 118 kg together.", "load_mass_kg", []),
        ("Total allowed is 180 kg and I weigh 90 kg.", "mass_limit_kg", [180.0]),
        ("The limit on the label is 120kg.", "mass_limit_kg", [120.0]),
        ("The label on the bag is 12 kg.", "mass_limit_kg", []),
        ("Total rolling weight 150 kg, tyres at 4 bar.", "total_mass_kg", [150.0]),
        ("All up with our tent we come to 170 kg.", "total_mass_kg", [170.0]),
        ("Cargo bike: three kids, 51 kg together in the box.", "children_mass_kg", [51.0]),
        ("Cargo bike: three kids and a box, 51 kg on the label.", "children_mass_kg", []),
        ("Two girls in the box: 14 kg and 19 kg, so 33 kg altogether.", "children_mass_kg", [33.0]),
        ("Max load for the rack is 27 kg.", "rack_limit_kg", [27.0]),
        ("Max load for the trailer is 27 kg.", "rack_limit_kg", []),
        ("We tow the kids. Trailer 11 kg, her 14 kg.", "trailer_mass_kg", [11.0]),
        ("We tow the kids. Trailer 11 kg, her 14 kg.", "child_mass_kg", [14.0]),
        ("We tow the kids. Trailer 40 kg max.", "trailer_mass_kg", []),
        ("A bike for our girl. She's 6, 20 kg, loves pink.", "child_mass_kg", [20.0]),
        ("The towball on our van is good for 80 kg, the bike rack is 16 kg.", "towball_limit_kg", [80.0]),
        (
            "Towball and rack on the car, the bikes on it weigh 44 kg between them.",
            "carried_bikes_kg",
            [44.0],
        ),
        ("Longer fork please, the garage quoted 400.", "new_fork_length_mm", []),
        ("Longer fork please, I want one of 440 mm.", "new_fork_length_mm", [440.0]),
        ("The motor does 60 Nm and eats chains.", "torque_n_m", []),
        ("The bolt got 60 Nm and the motor hums.", "torque_n_m", [60.0]),
        ("200 km to go and the tyre is cut.", "distance_km", []),
        ("200 km on this chain and it is worn.", "distance_km", [200.0]),
        ("Inner rim width 21 mm, the tape I bought is 25.", "rim_inner_width_mm", [21.0]),
    ],
)
def test_masses_prices_and_outings(finder: Finder, text: str, name: str, values: list[object]) -> None:
    """What is carried, what may be, what is paid and how far it is home."""
    assert stated(finder, text, name) == pytest.approx(values, rel=0.01)


@pytest.mark.parametrize(
    ("text", "name", "values"),
    [
        ("The sealant is nearly 9 months old and 60 psi holds.", "sealant_age_months", [9.0]),
        ("The sealant went in, the bike is 9 months old.", "sealant_age_months", []),
        ("Pads are at 1 mm, new pads from the box have 3.5.", "new_pad_thickness_mm", [3.5]),
        ("Pads are at 1 mm, new pads cost 14 euros.", "new_pad_thickness_mm", []),
        ("Disc fork, 160 now, but 203 is the largest it allows.", "largest_rotor_mm", [203.0]),
        ("Disc fork, 160 now, but 203 is a big rotor.", "largest_rotor_mm", []),
        ("The tyre says max 85 psi and I give it 70.", "tyre_pressure_kpa", [482.6]),
        ("The tyre says max 85 psi and I give it 70 turns.", "tyre_pressure_kpa", []),
        ("My steerer is alloy, 1 1/8 at the top.", "steerer_diameter_mm", [28.575]),
        ("Too long for me. Threadless steerer 1-1/8\". I ride 28s.", "steerer_diameter_mm", [28.575]),
        ("My bolt is alloy, 1 1/8 at the top.", "steerer_diameter_mm", []),
        ("I have a stem of 90 at minus 17 degrees.", "stem_angle_deg", [-17.0]),
        ("I want a new stem of 90 at minus 17 degrees.", "stem_angle_deg", []),
        ("The head tube is 140 mm, the headset needs 28 mm of stack.", "headset_stack_mm", [28.0]),
        ("Tubeless at 26 psi, the gap to the chainstay is 6 mm.", "tyre_clearance_mm", [6.0]),
        ("The crank's gap to the chainstay is 6 mm, tyre 40 mm.", "tyre_clearance_mm", []),
        ("Tyres on my 26er, from 1.95 to 2.25.", "old_tyre_width_mm", [49.5]),
        ("Tyres at a pressure from 1.95 to 2.25 bar.", "old_tyre_width_mm", []),
        ("A bike for our girl. She's 6, 20 kg, 116 cm.", "child_height_mm", [1160.0]),
        ("It weighs 24 kg with its battery.", "bike_mass_kg", [24.0]),
        ("We look at a bike that has 20x1.75 tyres and weighs 8.5 kg.", "bike_mass_kg", [8.5]),
        ("A bike for our girl of 118 cm, she rides well and weighs 21 kg.", "bike_mass_kg", []),
        ("Tyres: a 2.4 in front and I want to keep a 2.25 at the rear.", "rear_tyre_width_mm", [57.1]),
    ],
)  # fmt: skip
def test_tyres_brakes_and_steering_in_letters(
    finder: Finder, text: str, name: str, values: list[object]
) -> None:
    """What the rest of a letter says of tyres, pads, rotors, steerers and stems."""
    assert stated(finder, text, name) == pytest.approx(values, rel=0.01)


@pytest.mark.parametrize(
    ("text", "values"),
    [
        ("My wheel has a dent. Rear, 32 spokes.", ["rear"]),
        ("The rim is bent, it's a front with 28 spokes.", ["front"]),
        ("There is a cut in the tyre on my rear, 8 mm long.", ["rear"]),
        ("The tyre rubs on my rear mudguard.", []),
        ("Gears: front, 50 teeth.", []),
    ],
)
def test_an_end_that_stands_alone_is_the_wheels(finder: Finder, text: str, values: list[object]) -> None:
    """Where the talk is of a wheel, "rear" between two commas names it."""
    assert stated(finder, text, "wheel_position") == values

"""What things, riders and children weigh, and which end or part a bare word is of, each with a near miss."""

from __future__ import annotations

import pytest

from tests.triage.extract.stated import stated
from triage.extract import Finder


@pytest.mark.parametrize(
    ("text", "name", "values"),
    [
        ("All-up mass, me with bike and panniers, 121 kg.", "total_mass_kg", [121.0]),
        ("My mass is 81 kg, the total mass limit 121 kg.", "total_mass_kg", []),
        ("The wheels state limit 115 kg and I'm 83 kg.", "mass_limit_kg", [115.0]),
        ("I'm 81 kg, panniers 11 kg, bike around 14.", "bike_mass_kg", [14.0]),
        ("I'm 81 kg and the bike is about 14 years old.", "bike_mass_kg", []),
        (
            "The hitch can carry 110 lb, the bike rack is 33 lb and the bikes together weigh 70 lb.",
            "towball_limit_kg",
            [49.9],
        ),
        (
            "The hitch can carry 110 lb, the bike rack is 33 lb and the bikes together weigh 70 lb.",
            "carrier_mass_kg",
            [15.0],
        ),
        (
            "The hitch can carry 50 kg, the carrier is 15 kg and the bikes weigh 32 kg altogether.",
            "carried_bikes_kg",
            [32.0],
        ),
        (
            "The hitch can carry 50 kg, the carrier is 15 kg and the bikes altogether cost a lot.",
            "carried_bikes_kg",
            [],
        ),
        ("Both boys together are 29 kg and sit in the trailer.", "children_mass_kg", [29.0]),
        ("Both boys are 14 kg each and sit in the trailer.", "children_mass_kg", []),
        ("For our kids: trailer by itself 13 kg, its sticker says 45 kg.", "trailer_mass_kg", [13.0]),
        ("For our kids: trailer by itself 13 kg, its sticker says 45 kg.", "trailer_limit_kg", [45.0]),
        ("My grandson has 16 inch wheels and weighs 2 stone 9.", "child_mass_kg", [16.8]),
        ("My grandson rides along and I weigh 12 stone.", "child_mass_kg", []),
        ("My niece's little boy is 1.09 m tall.", "child_height_mm", [1090.0]),
        ("Our lass is 3ft 11, the baby stays at home.", "child_height_mm", [1193.8]),
        ("I'm 1.79 m tall and so is my son.", "child_height_mm", []),
        ("We take our 18 kg dog along.", "load_mass_kg", [18.0]),
        ("Nose load is stated as 55 kg, rack 19 kg, for the car.", "carrier_mass_kg", [19.0]),
        ("Nose load is stated as 55 kg, rack 19 kg max, for the car.", "carrier_mass_kg", []),
        ("Our kids ride in a trailer with an own weight of 9 kg, max load 38 kg.", "trailer_mass_kg", [9.0]),
        (
            "Our kids ride in a trailer with an own weight of 9 kg, max load 38 kg.",
            "trailer_limit_kg",
            [38.0],
        ),
        ("Our kids ride in a trailer, max load of the tyres 38 kg.", "trailer_mass_kg", []),
        ("The child is 13 kg, the seat 4 kg.", "seat_mass_kg", [4.0]),
        ("The child is 13 kg, the seat 22 kg max.", "seat_mass_kg", []),
        ("Everything together, me with bike and bags: 109 kg.", "load_mass_kg", []),
        ("I'm 77 kg, bike 12 kg, kit about 7.", "load_mass_kg", [7.0]),
        ("I'm 77 kg, bike 12 kg, kit with 7 tools.", "load_mass_kg", []),
        ("Me, the bike and my luggage come to 117 kg.", "total_mass_kg", [117.0]),
        ("Luggage and water come to 17 kg.", "total_mass_kg", []),
        ("All told I'm at 117 kg.", "total_mass_kg", [117.0]),
        ("We two weigh 139 kg, tandem 18 kg.", "bike_mass_kg", [18.0]),
        ("We two weigh 139 kg, tandem 18 years old.", "bike_mass_kg", []),
        ("This tyre is rated for 105 kg.", "tyre_load_limit_kg", [105.0]),
        ("This wheel is rated for 105 kg.", "tyre_load_limit_kg", []),
        ("A 90 kg rider with 25 kg of cargo.", "load_mass_kg", [25.0]),
        ("The cargo bike weighs 25 kg.", "load_mass_kg", []),
        ("The son of a mate weighs 18 kg.", "load_mass_kg", []),
    ],
)
def test_who_or_what_weighs_so_much(finder: Finder, text: str, name: str, values: list[float]) -> None:
    """Loads, limits and children in whatever unit and order."""
    assert stated(finder, text, name) == [pytest.approx(value, abs=0.05) for value in values]


@pytest.mark.parametrize(
    ("text", "name", "values"),
    [
        ("I have a 44 up front and the chain drops.", "wheel_position", []),
        ("The frame is 130 at the back.", "wheel_position", []),
        ("The chain comes off at the front.", "wheel_position", []),
        ("My knees ache at the front after an hour.", "wheel_position", []),
        ("It squeals up front when I brake.", "wheel_position", ["front"]),
        ("The tyre at the back is flat.", "wheel_position", ["rear"]),
        ("It isn't tubeless, I have tubes in it.", "rim_type", []),
        ("It isn't tubeless, I have tubes in it.", "tyre_system", ["tube"]),
        ("The wheels aren't tubeless.", "rim_type", ["not-tubeless"]),
        ("My old rim has an ERD of 600.", "rim_type", []),
        ("Will my old rim do tubeless?", "rim_type", ["not-tubeless"]),
        ("It has tubes in, the rim is tubeless ready.", "tyre_system", []),
        ("The rim is tubeless ready and I run it tubeless.", "tyre_system", ["tubeless", "tubeless"]),
        ("It is not a tubeless rim.", "rim_type", ["not-tubeless"]),
        ("A carbon fork, steerer alloy.", "steerer_material", ["aluminium"]),
        ("A carbon fork, alloy stem.", "steerer_material", ["carbon"]),
        ("We haven't used any sealant in there.", "tyre_system", []),
        ("We used sealant in there.", "tyre_system", ["tubeless"]),
        ("The brake is filled with mineral oil.", "brake_fluid", ["mineral"]),
        ("It is filled with mineral oil, and I added DOT 4.", "brake_fluid", ["dot-4"]),
        ("The seatpost is 30.9 and carbon.", "seatpost_material", ["carbon"]),
        ("Post is 30.9 titanium.", "frame_material", []),
        ("The post is 30.9 and the stem carbon.", "seatpost_material", []),
        ("Rims are 30 deep, aluminium.", "rim_material", ["aluminium"]),
        ("Rims are 30 deep, the hub is alloy.", "rim_material", []),
        ("It's a 1 1/8 steerer, carbon, with an alloy stem.", "steerer_material", ["carbon"]),
        ("It's a 1 1/8 steerer, with a carbon stem.", "steerer_material", []),
        ("Stuck fast: post alu, frame steel.", "seatpost_material", ["aluminium"]),
        ("Stuck fast: post alu, frame steel.", "frame_material", ["steel"]),
        ("The post slips in its frame, carbon paste or not.", "frame_material", []),
        ("It's an older frame, alloy with steel bits.", "frame_material", ["aluminium"]),
    ],
)
def test_what_a_bare_word_is_said_of(finder: Finder, text: str, name: str, values: list[str]) -> None:
    """Ends of the bicycle, kinds of rim and tyre, and materials behind what is made of them."""
    assert stated(finder, text, name) == values

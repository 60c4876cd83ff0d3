"""What riders add up: seats, trailers and carriers with their loads, volts by ampere-hours, pads with their plates."""

from __future__ import annotations

import pytest


def read(finder, text: str) -> dict[str, object]:
    return {detail.name: detail.value for detail in finder.find(text)[0]}


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("Disc pads are 2.9 mm overall, and 1.7 mm of that is plate.", {"pad_thickness_mm": 1.2}),
        ("With the backing plate my brake pads measure 3.4 mm.", {"pad_thickness_mm": (1.4, 1.8)}),
        ("The pad has 1.1 mm of lining on its metal plate.", {"pad_thickness_mm": 1.1}),
        ("Without the plate the pads are 1.3 mm.", {"pad_thickness_mm": 1.3}),
        ("The label on the pack says 48 V, 12 Ah. How far?", {"battery_watt_hours": 576}),
        ("It has 10 Ah at 36 V.", {"battery_watt_hours": 360}),
        ("One cell, 3.6 V and 3000 mAh.", {"battery_watt_hours": 10.8}),
        ("The baby is seven months old and 8 kg.", {"child_mass_kg": 8}),
        (
            "Levers from the packet says for V-brakes, on my road callipers.",
            {"lever_pull": "long", "brake_kind": "road-calliper"},
        ),
        (
            "A 203 mm rotor is lying around, the fork's maximum is 180.",
            {"new_rotor_diameter_mm": 203, "largest_rotor_mm": 180},
        ),
        (
            "The car allows 80 kg on the ball, the carrier weighs 18 kg and we have two bikes of 24 kg each.",
            {"towball_limit_kg": 80, "carrier_mass_kg": 18, "carried_bikes_kg": 48},
        ),
        (
            "Rack on the bike is rated for 27 kg, seat for 9 to 22 kg, the seat weighs 5 kg, our son is 16 kg.",
            {"rack_limit_kg": 27, "seat_mass_kg": 5, "child_mass_kg": 16},
        ),
        (
            "The twins weigh 12 and 13 kg, the trailer weighs 14 kg, limit for the trailer is 40 kg.",
            {"children_mass_kg": 25, "trailer_mass_kg": 14, "trailer_limit_kg": 40},
        ),
        (
            "The speedo says 41.5 km but it was 40 by the stones.",
            {"shown_distance_km": 41.5, "true_distance_km": 40},
        ),
        ("Our boy is 6 and 118 cm, which bike?", {"child_height_mm": 1180}),
        ("She is a girl of nine, 134 cm tall.", {"child_height_mm": 1340}),
    ],
)
def test_what_belongs_together_is_read_together(finder, text: str, told: dict[str, object]) -> None:
    found = read(finder, text)
    assert {name: found.get(name) for name in told} == told


@pytest.mark.parametrize(
    ("text", "not_told"),
    [
        ("A ruler over the rim shows 0.5 mm of daylight.", "rim_wall_mm"),
        ("I'm 182 cm tall and my daughter rides behind me.", "child_height_mm"),
        ("My daughter's saddle is 62 cm up and her inseam is 80 cm.", "child_height_mm"),
        ("I pull a trailer of 20 kg with shopping.", "trailer_mass_kg"),
        ("The rack is 12 years old and the hitch is 50 mm.", "towball_limit_kg"),
        ("The seat is for 9 to 22 kg.", "child_mass_kg"),
        ("My computer shows 31 km but after 5 more it goes blank.", "shown_distance_km"),
    ],
)
def test_what_only_looks_like_it_is_left(finder, text: str, not_told: str) -> None:
    assert not_told not in read(finder, text)


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("The lever of the cable disc comes right in to the grip.", "bar"),
        ("Brake lever nearly touches the handlebar since the winter.", "bar"),
        ("The rear brake does nothing, its lever goes to the bar.", "gone"),
        ("How do I see to it that the lever can't reach the bar?", None),
        ("The shift lever touches the bar bag.", None),
        ("If the brake lever touches the bar, what then?", None),
    ],
)
def test_a_lever_at_the_bar_is_told_from_one_that_mustn_t_be(finder, text: str, value: str | None) -> None:
    assert read(finder, text).get("brake_gone") == value

"""Hubs and spokes: which figure is a hole circle, which a distance from the middle, and on which side."""

from __future__ import annotations

import pytest

from knowledge.base import Knowledge
from tests.triage.extract.stated import stated
from triage.extract import Finder


@pytest.mark.parametrize(
    ("text", "name", "values"),
    [
        (
            "ERD 600, flanges 54 and 61, hub centre to flange left 36 right 19.",
            "left_flange_diameter_mm",
            [54.0],
        ),
        (
            "ERD 600, flanges 54 and 61, hub centre to flange left 36 right 19.",
            "right_flange_diameter_mm",
            [61.0],
        ),
        (
            "ERD 600, flanges 54 and 61, hub centre to flange left 36 right 19.",
            "left_flange_offset_mm",
            [36.0],
        ),
        (
            "ERD 600, flanges 54 and 61, hub centre to flange left 36 right 19.",
            "right_flange_offset_mm",
            [19.0],
        ),
        # Bead seats told in millimetres before the tyres that they take.
        ("The two rims take 590mm and 597mm tyres, I believe.", "bead_seat_diameter_mm", [590.0, 597.0]),
        ("The two rims take 590mm and 597mm tyres, I believe.", "tyre_width_mm", []),
        ("Can I fit 32mm and 35mm tyres?", "bead_seat_diameter_mm", []),
        ("ERD 600, flanges 54/54, offsets 36/19.", "flange_diameter_mm", [54.0]),
        ("ERD 600, flanges 54/54, offsets 36/19.", "right_flange_offset_mm", [19.0]),
        ("Centre to flange is 21 on the left and 36 on the right.", "right_flange_offset_mm", [36.0]),
        ("Flange PCD left 44 right 52, what do I order?", "right_flange_diameter_mm", [52.0]),
        ("The locknut to flange is left 33 and right 47.", "right_locknut_to_flange_mm", [47.0]),
        ("What lengths when the flanges are 20/34?", "flange_offset_mm", [20.0, 34.0]),
        ("Hub PCD 45, ERD 539, laced radial.", "flange_diameter_mm", [45.0]),
        ("Hub PCD 45, ERD 539, laced radial.", "crosses", [0.0]),
        ("Chainring PCD 110, and the hub is fine.", "flange_diameter_mm", []),
        ("The flange has a crack, left pedal 9 right pedal 10.", "left_flange_offset_mm", []),
    ],
)
def test_flanges(knowledge: Knowledge, text: str, name: str, values: list[object]) -> None:
    assert stated(Finder(knowledge), text, name) == values


@pytest.mark.parametrize(
    ("text", "there", "to_come"),
    [
        ("How far do the blocks move from 27 inch to 700C?", [630.0], [622.0]),
        (
            '27" to 700c? The rear rim is done. A 27" wheel again, or a set of 700c wheels?',
            [630.0] * 2,
            [622.0] * 2,
        ),
        ('Do 28" wheels go into a 26" mountain frame?', [559.0], [622.0]),
        ("Can I put 650b wheels in my 700c frame?", [622.0], [584.0]),
        ("Is a 28 inch wheel the same as 700c?", [622.0] * 2, []),
        ("I am short, 28 inch inseam. Are 26 inch wheels better?", [], []),
        ("Which tube for a 27 inch wheel?", [], []),
        ('700c for 27" on a tourer, do the pads reach?', [622.0, 630.0], []),
    ],
)
def test_of_two_wheels_the_one_that_is_there_is_told_from_the_one_to_come(
    knowledge: Knowledge, text: str, there: list[object], to_come: list[object]
) -> None:
    assert stated(Finder(knowledge), text, "bead_seat_diameter_mm") == there
    assert stated(Finder(knowledge), text, "new_bead_seat_diameter_mm") == to_come

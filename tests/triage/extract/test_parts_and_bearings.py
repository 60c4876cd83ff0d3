"""Which part has the crack, a bearing by its sizes, two stems, and how much of a post is inside: near misses among them."""

from __future__ import annotations

import pytest

from tests.triage.extract.stated import stated
from triage.extract import Finder


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("There's a fine line across my bar beside the stem.", "handlebar"),
        ("A hairline at the bolt of the stem worries me.", "stem"),
        ("My seatpost has a crack where the collar sat.", "seatpost"),
        ("A crack runs round the steerer just above the crown race.", "fork"),
        ("The left crank arm shows a split at the pedal hole.", "crank"),
        ("Cracked paint on the chainstay near the bridge.", "frame"),
    ],
)
def test_the_part_that_has_the_crack(finder: Finder, text: str, value: str) -> None:
    assert stated(finder, text, "cracked_part")[-1] == value


@pytest.mark.parametrize(
    "text",
    [
        "The brake line on my fork leaks.",
        "The stem of the valve has a crack.",
        "My fork is fine and the stem is new.",
    ],
)
def test_no_part_has_a_crack(finder: Finder, text: str) -> None:
    assert stated(finder, text, "cracked_part") == []


@pytest.mark.parametrize(
    ("text", "name", "values"),
    [
        ("The bearing is 20 mm inside, 32 outside and 7 wide.", "bearing_designation", ["bearing-6804"]),
        ("Which number has a bearing of 12x24x6?", "bearing_designation", ["bearing-6901"]),
        ("Which bearing is 12x25x6?", "bearing_designation", []),
        ("The spacer is 20x32x7.", "bearing_designation", []),
        ("The bearing is 20 mm inside, 32 outside and 7 wide.", "bearing_outside_diameter_mm", [32.0]),
        ("My stem is 100 mm at -6. What does a 70 mm at +10 do?", "new_stem_length_mm", [70.0]),
        ("My stem is 100 mm at -6. What does a 70 mm at +10 do?", "new_stem_angle_deg", [10.0]),
        ("An 80 mm stem with 17 degrees in place of my 100 mm at 6 degrees?", "stem_length_mm", [100.0]),
        ("One stem of 100 mm at -6 degrees.", "new_stem_length_mm", []),
        ("The old post was stamped 26.8 and the new one is a 27.2 post.", "seat_tube_bore_mm", [26.8]),
        ("The old post was stamped 26.8.", "seat_tube_bore_mm", []),
        ("The post has a line at 90 mm from the bottom and 70 mm is left inside.", "post_mark_mm", [90.0]),
        (
            "The post has a line at 90 mm from the bottom and 70 mm is left inside.",
            "seatpost_insertion_mm",
            [70.0],
        ),
        ("My frame is 126 wide and the wheel I found is 130.", "hub_width_mm", [130.0]),
        ("Frame is fine and the wheel is 24 spokes.", "hub_width_mm", []),
        ("The steerer ends flush with the top of the stem by 0 mm.", "steerer_below_top_mm", [0.0]),
        ("The saddle is level with the stem, 3 cm.", "steerer_below_top_mm", []),
        ("Head tube 150, headset upper 11 mm and lower 9, stem 40.", "headset_stack_mm", [20.0]),
        ("My head tube has 44 mm straight head tube bore.", "head_tube_kind", ["straight-44"]),
        ("Through axle wheel, and its maker has end caps.", "hub_axle", ["end-caps"]),
        ("I'd be paying 60 pounds for the wheel.", "rider_mass_kg", []),
        ("I weigh 160 pounds.", "rider_mass_kg", [72.6]),
        ("Inside leg 80 cm, the bike comes in sizes 50, 53 and 56.", "inseam_mm", [800.0]),
        ("Frame has 126 mm dropouts, steel.", "frame_material", ["steel"]),
        ("Frame with a 27.2 post, alloy.", "frame_material", []),
        ("A bonded joint: aluminium bonded frame, 126 wide.", "frame_material", ["aluminium"]),
        ("Is the frame done for? Carbon. It is 41 mm.", "frame_material", ["carbon"]),
        ("Is the frame done for? Carbon wheels, 41 mm.", "frame_material", []),
        ("My frame takes 126 and the new wheel is 130.", "frame_spacing_mm", [126.0]),
        ("The steerer shows 28 mm of it in a 40 mm stem.", "steerer_below_top_mm", [12.0]),
        ("Would a 120 mm stem do? The bike came with 90.", "stem_length_mm", [90.0]),
        ("Would a 120 mm stem do? The bike came with 90.", "new_stem_length_mm", [120.0]),
        ("Swap my square taper unit for an outboard bottom bracket?", "spindle_kind", ["spindle-24"]),
        ("Seat tube 480 and a 400 mm post.", "seat_tube_length_mm", [480.0]),
        ("From a 90 mm stem to 75 mm, both 6 degrees down.", "new_stem_angle_deg", [-6.0]),
        ("Both are 6 bolts on the 90 mm stem.", "new_stem_angle_deg", []),
        ("My 1 1/8 fork and a headset for 1 inch?", "fork_kind", ["straight"]),
        ("Will a 12 x 142 wheel go in a 12 x 148 frame?", "frame_spacing_mm", [148.0]),
        ("Will a 12 x 142 wheel go in a 12 x 148 frame?", "hub_width_mm", [142.0]),
        ("My flat bars are 720 mm wide and the saddle hurts.", "saddle_height_mm", []),
    ],
)
def test_parts_and_sizes(finder: Finder, text: str, name: str, values: list[object]) -> None:
    told = stated(finder, text, name)
    rounded = [round(one, 1) if isinstance(one, float) else one for one in told]
    assert rounded == values

"""Gears, hubs, shells, spokes and steerers as riders write of them in whole letters: what is there, what is wished for, and near misses."""

from __future__ import annotations

import pytest

from tests.triage.extract.stated import stated
from triage.extract import Finder

Reads = dict[str, list[object]]


@pytest.mark.parametrize(
    ("text", "reads"),
    [
        # A size that is wished for is of the part named last.
        (
            "My inner ring's a 39 and I'm hoping to fit a 36 in its place.",
            {"smallest_ring_teeth": [39], "new_smallest_ring_teeth": [36]},
        ),
        (
            "I ride 50/36 and fancy a 33 in place of the 36. Ten speed.",
            {"smallest_ring_teeth": [36], "new_smallest_ring_teeth": [33], "largest_ring_teeth": [50]},
        ),
        (
            "I have 50/34 and would like a 48 instead of the 50.",
            {"largest_ring_teeth": [50], "new_ring_teeth": [48], "new_smallest_ring_teeth": []},
        ),
        (
            "One ring, 42 teeth, and a 13-28 freewheel. I'm looking at a 34 for the front.",
            {"largest_ring_teeth": [42], "new_ring_teeth": [34]},
        ),
        (
            "My stem is a 110 with -6 degrees and I'd like a shorter 90 to sit up.",
            {"stem_length_mm": [110], "new_stem_length_mm": [90], "new_crank_length_mm": []},
        ),
        ("My rings are fine. I'd like a 28 on the back.", {"new_ring_teeth": []}),
        ("The cassette is 11-28 and I'd like a 32.", {"new_ring_teeth": [], "new_smallest_ring_teeth": []}),
        ("The ring is good but I want a 35 mph descent.", {"new_ring_teeth": []}),
        # A single ring that is wished for leaves the cassette as it is.
        (
            "I've 48/32 rings and an 11-32 nine speed. I'd rather run a single 40. Is 40 and 32 enough for hills?",
            {
                "new_ring_teeth": [40, 40],
                "largest_sprocket_teeth": [32],
                "new_largest_sprocket_teeth": [],
            },
        ),
        # Teeth behind their noun.
        (
            "Hub gear bike. Chainring is a 40 and the sprocket 20. It slips in low.",
            {"largest_ring_teeth": [40], "sprocket_teeth": [20]},
        ),
        ("52 ring and 12 sprocket, at 90 rpm.", {"smallest_sprocket_teeth": [12], "sprocket_teeth": []}),
        ("The ring is 42 mm from the middle.", {"largest_ring_teeth": []}),
        ("1x11 with a 34t, and the chain grinds in the 46.", {"largest_sprocket_teeth": [46]}),
        ("2x11 with 46/30, and the chain grinds in the 46.", {"largest_sprocket_teeth": []}),
        # Speeds of a part.
        (
            "Shifter is 9 speed, derailleur is an older eight speed one, cassette is nine too.",
            {"shifter_speeds": [9], "derailleur_speeds": [8], "speeds": [9]},
        ),
        (
            "My chain measures 5.9 mm over the pins, so that's a 10 speed one I guess. The cassette's an eight.",
            {"chain_speeds": [10], "speeds": [8]},
        ),
        ("The chain came off on my bike, a 10 speed.", {"chain_speeds": [], "speeds": [10]}),
        # What a drive is to be converted to is new; what it was converted to is there.
        (
            "I'd like to change my tourer into a single 38t ring with a 9-speed 11-36 cassette.",
            {"new_ring_teeth": [38], "new_speeds": [9], "new_largest_sprocket_teeth": [36], "speeds": []},
        ),
        (
            "I converted my bike to 1x11 with a 38t ring last year.",
            {"speeds": [11], "new_speeds": [], "largest_ring_teeth": [38], "new_ring_teeth": []},
        ),
        ("7 speed to 8 speed conversion of a recumbent?", {"speeds": [7], "new_speeds": [8]}),
        # Which cassette is there and which is wanted.
        (
            "What goes wrong by putting 11-34 on a short cage. Running 50/34 with 11-25 here.",
            {"new_largest_sprocket_teeth": [34], "largest_sprocket_teeth": [25]},
        ),
        (
            "The mech is rated for the largest sprocket 32. I want cassette 11-34.",
            {"rated_sprocket_teeth": [32], "new_largest_sprocket_teeth": [34]},
        ),
        # Chainlines, chains and sprockets.
        (
            "Rear chainline comes out at 47mm measured from the middle. front i get 44.",
            {"measured_rear_chainline_mm": [47], "front_chainline_mm": [44], "largest_ring_teeth": []},
        ),
        ("It eats chains. This one is at 0.75% after 1,800 km.", {"chain_wear_pct": [0.75]}),
        ("It eats chains. Everything else costs 1% of that.", {"chain_wear_pct": []}),
        ("Our lane averages 12% and I walk.", {"slope_pct": [12]}),
        (
            "8 sprockets, whole stack 35 mm wide, 4.8 mm from one to the next, each 1.8 thick. Shifter clicks 8 too.",
            {
                "measured_stack_width_mm": [35],
                "sprocket_pitch_mm": [4.8],
                "sprocket_thickness_mm": [1.8],
                "shifter_speeds": [8],
            },
        ),
        ("The whole stack of spacers is 35 mm under the stem.", {"measured_stack_width_mm": []}),
        ("Hanger bent? The gauge at the rim shows 6mm more below.", {"rim_deviation_mm": [6]}),
        ("The small cog is nearly touching, 1 mm between it and the frame.", {"cassette_gap_mm": [1]}),
        ("A gap of 4 mm between the housing's end and the pinch bolt.", {"cassette_gap_mm": []}),
    ],
)
def test_gears_in_letters(finder: Finder, text: str, reads: Reads) -> None:
    """What is there and what is wished for stay apart."""
    assert {name: stated(finder, text, name) for name in reads} == reads


@pytest.mark.parametrize(
    ("text", "reads"),
    [
        # Frames and hubs.
        (
            "It is spaced 126mm at the back but I want to use a 130mm hub.",
            {"frame_spacing_mm": [126], "hub_width_mm": [130]},
        ),
        (
            "My frame turns out to be 135mm, the hub is 130 wide.",
            {"frame_spacing_mm": [135], "hub_width_mm": [130]},
        ),
        ("The hub I own is spaced 130 over the nuts.", {"frame_spacing_mm": []}),
        ("A hub gear, nuts on the axle.", {"axle_type": ["nuts"]}),
        # Shells and cranks.
        (
            "The shell measures 68mm and the axle that came out is 127 long, square taper.",
            {"shell_width_mm": [68], "spindle_length_mm": [127]},
        ),
        (
            "Press-fit shell, 41 mm bore and 89.5 mm wide.",
            {"shell_bore_mm": [41], "shell_width_mm": [89.5], "spindle_length_mm": [], "hub_width_mm": []},
        ),
        (
            "With a bore gauge I get 40.96 to 41.05 in the shell, so a spread of 0.09 mm.",
            {"shell_bore_mm": [(40.96, 41.05)], "bore_spread_mm": [0.09]},
        ),
        (
            "Wide axle crank, mine measures 29.97 on the drive side.",
            {"spindle_diameter_mm": [29.97]},
        ),
        (
            "The cranks are 110BCD and 167.5mm in length.",
            {"bolt_circle_mm": [110], "crank_length_mm": [167.5]},
        ),
        (
            "The ring has five bolts; between two neighbours I get 64.7 mm.",
            {"bolt_spacing_mm": [64.7]},
        ),
        (
            "Chainring bolts are 4, torqued to 9 Nm.",
            {"chainring_bolts_count": [4], "torque_n_m": [9]},
        ),
        ("The stem's bolts are 4 and fine.", {"chainring_bolts_count": []}),
        # What a bolt is to get, and what it got.
        ("Clamp says 5 Nm and I do 5.", {"stated_torque_n_m": [5], "torque_n_m": [5]}),
        (
            "Bolts tightened to 6 Nm though it's printed 5 on the faceplate.",
            {"torque_n_m": [6], "stated_torque_n_m": [5]},
        ),
        (
            "Crank bolt torque: the arm's marked 46-52 Nm. I got 40 before I gave up.",
            {"stated_torque_n_m": [(46, 52)], "torque_n_m": [40], "slot_top_mm": []},
        ),
        # Left and right.
        ("My pedals claim I'm 46 left and 54 right.", {"left_share_pct": [46], "right_share_pct": [54]}),
        ("Power is fine, 46 left turns and 54 right ones.", {"left_share_pct": []}),
        (
            "Spoke tension at the drive side fell to 80 kgf and the other side 45.",
            {"tight_side_tension_kgf": [80], "other_side_tension_kgf": [45]},
        ),
        (
            "Tension averages 110 kgf on the rotor side and 65 on the other.",
            {"tight_side_tension_kgf": [110], "other_side_tension_kgf": [65]},
        ),
        (
            "Left locknut to flange 32mm, right locknut to flange 45 mm, flange holes on a 56 circle left and 50 right.",
            {
                "left_locknut_to_flange_mm": [32],
                "right_locknut_to_flange_mm": [45],
                "left_flange_diameter_mm": [56],
                "right_flange_diameter_mm": [50],
            },
        ),
        # Spokes, rims and bearings.
        (
            "I was given a box with spokes of 288mm, brand new.",
            {"spoke_in_hand_mm": [288], "spoke_length_mm": []},
        ),
        (
            "New rim's ERD is 596, the old was 602.",
            {"new_effective_rim_diameter_mm": [596], "effective_rim_diameter_mm": [602]},
        ),
        (
            "I get 1.0 mm of rim wall. I believe it was about 1.6 when new.",
            {"rim_wall_mm": [1.0], "new_rim_wall_mm": [1.6]},
        ),
        ("The flange's holes measure 2.5mm, spokes 1.8.", {"spoke_hole_diameter_mm": [2.5]}),
        ("Bottle cage holes measure 5 mm.", {"spoke_hole_diameter_mm": []}),
        (
            "The cartridges are 17 mm bore, 30 mm outside and seven wide.",
            {"bearing_bore_mm": [17], "bearing_outside_diameter_mm": [30]},
        ),
        ("Front wheel is 24T with 2 cross lacing.", {"spokes": [24], "crosses": [2]}),
        ("The chainset is 34T with 2 rings.", {"spokes": []}),
        # An end alone is its wheel.
        ("The rim has cracked. Rear, 32 holes.", {"wheel_position": ["rear"]}),
        ("It's a front, 36 hole, with a steel rim.", {"wheel_position": ["front"]}),
        (
            "Rear, 32 holes, broke a spoke. Front, 28 holes, did as well.",
            {"wheel_position": ["rear", "front"]},
        ),
        # Distances, corrections and prices.
        ("The mileage is 2,850 by the log.", {"distance_km": [pytest.approx(4586.6, abs=0.1)]}),
        ("The mileage is 2,850 km by the log.", {"distance_km": [2850]}),
        (
            "Over a marked 20 km course mine shows 19.4. It's the computer from 2012.",
            {"true_distance_km": [20], "shown_distance_km": [19.4]},
        ),
        ("Play in the crank is half a millimetre... no, more like 1.5 mm.", {"play_mm": [1.5]}),
        ("A whole new wheel is 39.99 so is it worth it?", {"new_bead_seat_diameter_mm": []}),
        ("My mate spent 400. The fork is 395 mm long.", {"new_fork_length_mm": []}),
    ],
)
def test_parts_in_letters(finder: Finder, text: str, reads: Reads) -> None:
    """Each figure goes to the part and the side it was told of."""
    assert {name: stated(finder, text, name) for name in reads} == reads


@pytest.mark.parametrize(
    ("text", "reads"),
    [
        (
            "They'd put a 10mm spacer below the stem. Now the stem is 2mm above the top of the steer tube, so another 10mm is a lot.",
            {"spacer_stack_mm": [10], "steerer_below_top_mm": [2]},
        ),
        (
            "A gap between stem and top cap of 2-3mm. Shall I put on a spacer that will lift the cap a mm or so?",
            {"spacer_stack_mm": []},
        ),
        ("I have 15 mm of spacers under the stem.", {"spacer_stack_mm": [15]}),
        ("The steerer ends 4 mm below the top of the stem.", {"steerer_below_top_mm": [4]}),
    ],
)
def test_steerers_in_letters(finder: Finder, text: str, reads: Reads) -> None:
    """A spacer's height is no depth of a steerer, and a lift is no stack."""
    assert {name: stated(finder, text, name) for name in reads} == reads

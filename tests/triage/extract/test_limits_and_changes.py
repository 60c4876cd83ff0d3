"""What a maker allows beside what there is, and what is there beside what is wanted; each class with its near miss."""

from __future__ import annotations

import pytest

from tests.triage.extract.stated import stated
from triage.extract import Finder

Reads = dict[str, list[object]]


@pytest.mark.parametrize(
    ("text", "reads"),
    [
        # The least and the most that a maker gives, however it is put.
        (
            "The rotor measures 1.7 mm and the sheet gives 1.5 as the minimum.",
            {"rotor_thickness_mm": [1.7], "rotor_minimum_mm": [1.5]},
        ),
        (
            "Rim wall is 1.2 mm, the manual says nothing under 1.0.",
            {"rim_wall_mm": [1.2], "rim_wall_minimum_mm": [1.0]},
        ),
        ("The wall of my rim is under 1.0 mm now.", {"rim_wall_minimum_mm": []}),
        (
            "I want a 203 rotor but the fork's sheet says no bigger than 180.",
            {"new_rotor_diameter_mm": [203], "largest_rotor_mm": [180]},
        ),
        ("A 180 rotor is bigger than my 160 one.", {"largest_rotor_mm": []}),
        (
            "Spokes at 118 kgf, and the sticker on the rim allows 125 kgf.",
            {"tight_side_tension_kgf": [118], "rim_tension_limit_kgf": [125]},
        ),
        (
            "The rim is a light one and the spokes have 118 kgf.",
            {"tight_side_tension_kgf": [118], "rim_tension_limit_kgf": []},
        ),
        # When it was new.
        (
            "Fresh pads came with 2.5 mm of lining, now there is 1 mm.",
            {"new_pad_thickness_mm": [2.5], "pad_thickness_mm": [1]},
        ),
        (
            "My disc is down to 1.6 mm; it was 2.0 out of the box.",
            {"rotor_thickness_mm": [1.6], "new_rotor_thickness_mm": [2]},
        ),
        ("New pads are on order, the old ones have 0.8 mm of lining.", {"new_pad_thickness_mm": []}),
        (
            "The brake wall of my rim started at 1.6 mm, reads 1.1, and the limit is 0.8.",
            {"rim_wall_mm": [1.1], "new_rim_wall_mm": [1.6], "rim_wall_minimum_mm": [0.8]},
        ),
        (
            "The spoke tension must not exceed 110 kgf, mine is 95.",
            {"tight_side_tension_kgf": [95], "rim_tension_limit_kgf": [110]},
        ),
    ],
)
def test_a_limit_is_no_reading(finder: Finder, text: str, reads: Reads) -> None:
    """What must not be passed and what it was when new have names of their own."""
    assert {name: stated(finder, text, name) for name in reads} == reads


@pytest.mark.parametrize(
    ("text", "reads"),
    [
        ("I've 28s on now but would like 35s.", {"old_tyre_width_mm": [28], "tyre_width_mm": [35]}),
        ("I have 28s on the front wheel. Would 5 bar do?", {"old_tyre_width_mm": [], "tyre_width_mm": [28]}),
        ("Have 40s on it, want 50s, will the tyres rub?", {"old_tyre_width_mm": [40], "tyre_width_mm": [50]}),
        (
            "The tyres: I came off 25s and am putting 30s on.",
            {"old_tyre_width_mm": [25], "tyre_width_mm": [30]},
        ),
        ("I used to run 23s, now it's 28s.", {"tyre_width_mm": [28]}),
        (
            "The frame was originally equipped with 27 inch wheels and I want 700c wheels on it.",
            {"bead_seat_diameter_mm": [630], "new_bead_seat_diameter_mm": [622]},
        ),
        (
            "700x35 on, could 700x40 go in?",
            {"old_tyre_width_mm": [35], "tyre_width_mm": [40]},
        ),
        (
            "I had an 11-25, now fitted is an 11-32.",
            {"largest_sprocket_teeth": [25], "new_largest_sprocket_teeth": [32]},
        ),
        (
            "A 53T big ring now, want to go to a 48/32.",
            {"largest_ring_teeth": [53], "new_ring_teeth": [48], "new_smallest_ring_teeth": [32]},
        ),
        ("A frame from the 80s, tyres are 32 mm.", {"old_tyre_width_mm": [], "tyre_width_mm": [32]}),
        (
            "I'm dropping my 52/36 for a 48/32.",
            {
                "largest_ring_teeth": [52],
                "smallest_ring_teeth": [36],
                "new_ring_teeth": [48],
                "new_smallest_ring_teeth": [32],
            },
        ),
        ("Can I swap my 44 chainring for a 40?", {"largest_ring_teeth": [44], "new_ring_teeth": [40]}),
        ("My 44 chainring is too big for a child.", {"largest_ring_teeth": [44], "new_ring_teeth": []}),
        ("I'd like a 36 as largest sprocket.", {"new_largest_sprocket_teeth": [36]}),
        ("My largest sprocket is a 36.", {"largest_sprocket_teeth": [36], "new_largest_sprocket_teeth": []}),
        (
            "Swapping my 26 inch wheels for 650b ones on a mountain bike.",
            {"bead_seat_diameter_mm": [559], "new_bead_seat_diameter_mm": [584]},
        ),
        (
            "The old fork: 400 mm crown to axle, 44 mm offset. Proposed: 420 mm crown to axle, 50 mm offset.",
            {
                "fork_length_mm": [400],
                "new_fork_length_mm": [420],
                "fork_offset_mm": [44],
                "new_fork_offset_mm": [50],
            },
        ),
        (
            "Bolt circle 130, which rings go on?",
            {"bolt_circle_mm": [130], "new_bolt_circle_mm": []},
        ),
        (
            "Is there a ring with a 130 BCD?",
            {"bolt_circle_mm": [], "new_bolt_circle_mm": [130]},
        ),
        (
            "My wheel was built for 7 speed, I have a chance to get a 9 speed cassette.",
            {"hub_speeds": [7], "new_speeds": [9]},
        ),
        (
            "The old rim has an ERD of 590 and the replacement 601.",
            {"effective_rim_diameter_mm": [590], "new_effective_rim_diameter_mm": [601]},
        ),
        ("Both rims have an ERD of 590.", {"new_effective_rim_diameter_mm": []}),
    ],
)
def test_what_is_wanted_is_not_what_there_is(finder: Finder, text: str, reads: Reads) -> None:
    """Each of two figures goes to its own side."""
    assert {name: stated(finder, text, name) for name in reads} == reads


@pytest.mark.parametrize(
    ("text", "reads"),
    [
        # Gears: what a mechanism is rated for.
        ("The front mech copes with a 14 tooth difference.", {"front_derailleur_capacity_teeth": [14]}),
        ("The rear mech copes with 34 teeth.", {"front_derailleur_capacity_teeth": []}),
        (
            "The mech wraps 35 teeth and its largest rated sprocket is 32.",
            {"derailleur_capacity_teeth": [35], "rated_sprocket_teeth": [32], "largest_sprocket_teeth": []},
        ),
        # Sides.
        (
            "Spoke tension is 110 kgf on the drive side and on the other 70.",
            {"tight_side_tension_kgf": [110], "other_side_tension_kgf": [70]},
        ),
        (
            "Right flange hole circle 54 mm, left one 45 mm, spokes are 2 mm.",
            {"right_flange_diameter_mm": [54], "left_flange_diameter_mm": [45]},
        ),
        ("The hub's flange diameter is 58 mm.", {"left_flange_diameter_mm": [], "flange_diameter_mm": [58]}),
        (
            "Chainline is 44 mm at the ring and at the rear I get 41.",
            {"front_chainline_mm": [44], "measured_rear_chainline_mm": [41]},
        ),
        # Whose a size is.
        (
            "The shell's inside diameter is 37 mm.",
            {"shell_bore_mm": [37], "bearing_bore_mm": []},
        ),
        ("The bearing's inside diameter is 25 mm.", {"shell_bore_mm": [], "bearing_bore_mm": [25]}),
        (
            "Square taper crank, axle 118 mm long.",
            {"spindle_length_mm": [118], "hub_width_mm": []},
        ),
        ("Rear wheel with an axle of 135 mm.", {"hub_width_mm": [135], "spindle_length_mm": []}),
        ("Rear hub with a 12 mm thru axle.", {"spindle_diameter_mm": []}),
        ("The stem clamps 42 mm of the steerer.", {"stem_clamp_height_mm": [42], "stem_bore_mm": []}),
        ("The stem clamps 31.8 mm bars.", {"stem_clamp_height_mm": [], "stem_bore_mm": [31.8]}),
        (
            "Got a box of 290 mm spokes, ERD is 600.",
            {"spoke_in_hand_mm": [290], "spoke_length_mm": []},
        ),
        ("The wheel has 290 mm spokes.", {"spoke_in_hand_mm": [], "spoke_length_mm": [290]}),
        ("My outer ring weaves by 1.5 mm.", {"ring_wobble_mm": [1.5], "runout_mm": []}),
        ("The rim weaves by 1.5 mm.", {"ring_wobble_mm": [], "runout_mm": [1.5]}),
        ("The rim sways 2 mm, spokes feel tight.", {"runout_mm": [2]}),
        (
            "Put 4 mm of spacers on the axle so the locknuts fill the dropouts.",
            {"axle_spacer_change_mm": [4], "spacer_stack_mm": []},
        ),
        ("I've 4 mm of spacers under the stem.", {"axle_spacer_change_mm": [], "spacer_stack_mm": [4]}),
        ("Part 2 of 6 was cut out of the message.", {"cut_length_mm": []}),
        ("My tyre has a 15 mm hole.", {"cut_length_mm": [15]}),
        ("A hole of 26 mm in the crown for the steering tube.", {"cut_length_mm": []}),
        ("The post is 27.2 and the bore is 27.0.", {"seat_tube_bore_mm": [27], "shell_bore_mm": []}),
        ("The shell's bore is 41 mm, a press fit.", {"seat_tube_bore_mm": [], "shell_bore_mm": [41]}),
        (
            "The mech's capacity is 33 and the largest sprocket is a 30.",
            {"derailleur_capacity_teeth": [33], "largest_sprocket_teeth": [30]},
        ),
        ("Clamp bolt, 6 Nm says the leaflet, I did 4.", {"stated_torque_n_m": [6], "torque_n_m": [4]}),
        (
            "The sensor on the left arm needs 9 mm and there's 12 between the crank and the chainstay.",
            {"sensor_gap_needed_mm": [9], "arm_gap_mm": [12]},
        ),
        (
            "The disc's minimum is 1.5, mine is 1.62.",
            {"rotor_minimum_mm": [1.5], "rotor_thickness_mm": [1.62]},
        ),
        ("The disc has a minimum of 1.5 and is new.", {"rotor_minimum_mm": [1.5], "rotor_thickness_mm": []}),
        (
            "50 mm of the seatpost is inserted, the line says 90 mm.",
            {"seatpost_insertion_mm": [50], "post_mark_mm": [90]},
        ),
        ("The seatstays are 50 mm apart at the tyre.", {"stay_gap_mm": [50], "tyre_width_mm": []}),
        ("My bottle bosses are 64 mm apart.", {"stay_gap_mm": []}),
        ("The mech is good for 34 teeth and 39 capacity.", {"derailleur_capacity_teeth": [39]}),
        ("The highest spoke reads 118 kgf.", {"highest_spoke_tension_kgf": [118]}),
        ("I loosened the cable and lost the 3 highest gears.", {"highest_spoke_tension_kgf": []}),
        # Threads.
        ("I stripped 3 turns of the boss.", {"damaged_turns_count": [3]}),
        ("A 5/16 x 24 bolt.", {"smallest_sprocket_teeth": []}),
        (
            "Pedal thread 9/16 x 20 tpi, 2 turns are torn and 7 mm of good thread is left.",
            {
                "thread_diameter_mm": [14.2875],
                "threads_per_in": [20],
                "damaged_turns_count": [2],
                "thread_length_left_mm": [7],
                "smallest_sprocket_teeth": [],
            },
        ),
        ("Two turns of the key were enough, the thread is fine.", {"damaged_turns_count": []}),
        ("A 16-28 block on the back.", {"smallest_sprocket_teeth": [16], "threads_per_in": []}),
        ("The bolt's boss is small and the thread is only 7 mm deep.", {"thread_engaged_mm": [7]}),
        # A word behind a noun that is none itself leaves it the figure.
        (
            "50 mm mudguards over 40 mm tyres.",
            {"mudguard_width_mm": [50], "tyre_width_mm": [40]},
        ),
        ("A 12 mm hole in the tread.", {"cut_length_mm": [12], "tyre_width_mm": []}),
        # Counts, gauges and sums.
        (
            "The spokes are 2.0/1.7/2.0 and I need 28 of them.",
            {"spoke_diameter_mm": [(1.7, 2)], "spokes": [28]},
        ),
        ("I need 28 of them in all.", {"spokes": []}),
        ("The chainline is out: 52-43=9 mm.", {"largest_ring_teeth": [], "smallest_ring_teeth": []}),
        ("The big ring has 48 teeth and wobbles.", {"largest_ring_teeth": [48]}),
        ("The cage takes 39t in total.", {"derailleur_capacity_teeth": [39], "rated_sprocket_teeth": []}),
        ("The cage takes 36 at most.", {"derailleur_capacity_teeth": [], "rated_sprocket_teeth": [36]}),
        (
            "The bearing is 20 mm inside and 32 mm outside.",
            {"bearing_bore_mm": [20], "bearing_outside_diameter_mm": [32], "rim_outer_width_mm": []},
        ),
        (
            "The rim is 20 mm inside and 25 mm outside.",
            {"bearing_bore_mm": [], "rim_inner_width_mm": [20], "rim_outer_width_mm": [25]},
        ),
        ("How far to stop with a friction of 0.5 on the road?", {"road_grip": [0.5]}),
        ("The bolt has a friction of 0.15 in its thread.", {"road_grip": []}),
        (
            "A ruler over the brake track shows a hollow of 0.3 mm.",
            {"brake_track_hollow_mm": [0.3], "rim_wall_mm": []},
        ),
        (
            "Hub: right flange 17.5 from the middle and left 36.",
            {"right_flange_offset_mm": [17.5], "left_flange_offset_mm": [36]},
        ),
        # Spelled and by the pound.
        ("A half-inch slit in the sidewall.", {"cut_length_mm": [12.7]}),
        (
            "The rotor wobbles by nought point two of a millimetre.",
            {"rotor_runout_mm": [0.2]},
        ),
    ],
)
def test_a_size_goes_to_its_part(finder: Finder, text: str, reads: Reads) -> None:
    """The words around a figure say whose it is."""
    assert {name: stated(finder, text, name) for name in reads} == reads


def test_a_pull_in_pounds_is_settled_in_kilograms_of_force(finder: Finder) -> None:
    """A pound on the key pulls as much as it weighs."""
    assert stated(finder, "I pull with 30 lbs on a hex key 200 mm long.", "hand_force_kgf") == [
        pytest.approx(13.608, abs=0.001)
    ]
    assert stated(finder, "I weigh 180 lbs and ride hard.", "hand_force_kgf") == []

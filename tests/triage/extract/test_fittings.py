"""Sizes round stem, post and frame, whole sentences in and details out, near misses among them."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from knowledge.base import Knowledge
from tests.triage.extract.stated import stated
from triage.extract import Finder, extract
from triage.records import Classified, Message, Question


@pytest.mark.parametrize(
    ("text", "name", "values"),
    [
        ("My bar bag is large and blocks the lamp.", "brake_named", []),
        ("The new blocks the shop sold me squeal.", "brake_named", ["rim"]),
        # That another part shows no crack says nothing of the wheel, and a noise is no crack, but on carbon it may be.
        ("I looked at the steerer and there are no cracks in it. The wheel?", "wheel_damage", []),
        ("I looked at the rim and there are no cracks in it.", "wheel_damage", ["none"]),
        ("The steerer is fine and the rim shows no cracks.", "rim_damage", ["sound"]),
        ("I heard a loud crack from below. Is it the saddle?", "wheel_damage", []),
        ("My rear hub makes a cracking sound on the flat.", "rim_damage", []),
        ("There is a crack in my rim, and it makes a cracking sound.", "wheel_damage", ["crack"]),
        ("I heard a loud crack from my carbon wheel.", "wheel_damage", ["crack"]),
        ("The outer is bulging under the bar tape at the bend.", "rim_damage", []),
        ("My bar tape bulges where the cable runs.", "casing_damage", []),
        (
            "The rim tape is bulging into the spoke holes, and the rim is bulging too.",
            "rim_damage",
            ["cracked"],
        ),
        ("The tyre is bulging near the rim.", "casing_damage", ["bulge"]),
        ("The spokes are four turns (or 3mm) too short.", "spoke_diameter_mm", []),
        ("The spokes are 2 mm (14 gauge) thick.", "spoke_diameter_mm", [2.0]),
        ("Seat tube, inner diameter: 26.2mm to 27.1mm. Which post?", "bore_spread_mm", [0.9]),
        ("Seat tube, inner diameter: 26.2mm to 27.1mm. Which post?", "seat_tube_bore_mm", []),
        ("The bore is 27.1 to 27.3, which post?", "seat_tube_bore_mm", [(27.1, 27.3)]),
        ("Calipers in: 26.9 one way and 27.3 the other. Which post?", "bore_spread_mm", [0.4]),
        ("Seat tube, outside: 28.2 to 29.0 mm. Which post?", "bore_spread_mm", []),
        ("My post measures 26.2 to 27.1 mm along its length.", "bore_spread_mm", []),
        ("How many spacers may go under a stem? Mine has 45 mm under it now.", "spacer_stack_mm", [45.0]),
        ("There are 40mm of spacers under the stem and 10 on top.", "spacer_stack_mm", [40.0]),
        ("There are 40mm of spacers under the stem and 10 on top.", "spacers_above_mm", [10.0]),
        ("The spacer stack is 25 on top of the headset, below the stem.", "spacers_above_mm", []),
        ("A 26 inch mountain bike. Can I get 700c wheels in?", "bead_seat_diameter_mm", [559.0]),
        ("A 26 inch mountain bike. Can I get 700c wheels in?", "new_bead_seat_diameter_mm", [622.0]),
        ("Can I put 27.5 wheels in my 26 inch mountain bike?", "new_bead_seat_diameter_mm", [584.0]),
        ("Will a 700c tyre go on a 27.5 rim?", "new_bead_seat_diameter_mm", []),
        ("A 26 inch frame mountain bike, too big?", "bead_seat_diameter_mm", []),
        ("My fork is flat mount, my old caliper is post mount.", "calliper_mount", ["post"]),
        ("Parked in the sun, the wheels in the car.", "sun_place", ["closed-car"]),
        ("The stem clamps only 33 mm of its 40 mm, the steerer is short.", "steerer_below_top_mm", [7.0]),
        ("The steerer was cut 6 mm too short for the stem.", "steerer_below_top_mm", [6.0]),
        ("The steerer is fine, my cable is 6 mm too short.", "steerer_below_top_mm", []),
        ("A rider with 84 inseam, is a 57cm frame right?", "inseam_mm", [840.0]),
        ("A rider with 84 inseam, is a 57cm frame right?", "seat_tube_length_mm", [570.0]),
        ("Is a 1x12 chain fine on 11 sprockets?", "chain_speeds", [12.0]),
        ("My bike is 1x12.", "chain_speeds", []),
        ("Going 1x with a 42t ring, now 48/32 and 11-32.", "new_ring_teeth", [42.0]),
        ("My 1x bike has a 42t ring.", "new_ring_teeth", []),
        ("Disc pads: one side is 1.1 mm, the other 2.4 mm.", "pad_thickness_mm", [1.1, 2.4]),
        ("My rotor measures 1.6 mm, new was 1.8.", "rotor_thickness_mm", [1.6]),
        ("Which gears with a 53 39 crankset?", "smallest_ring_teeth", [39.0]),
        ("I bought 165mm cranks, coming from 172.5.", "new_crank_length_mm", [165.0]),
        ("I bought 165mm cranks, coming from 172.5.", "crank_length_mm", [172.5]),
        ("A 29er fork, will a 27.5+ wheel go in?", "new_bead_seat_diameter_mm", [584.0]),
        ("46mm carbon style rims, 25mm tyre, is 7 bar ok?", "tyre_width_mm", [25.0]),
        ("46mm carbon style rims, 25mm tyre, is 7 bar ok?", "rim_depth_mm", [46.0]),
        ("Is 60 psi enough for 32mm at 100kg?", "tyre_width_mm", [32.0]),
        ("Fork with 32mm stanchions at 60 psi, is that right for 32mm?", "tyre_width_mm", []),
        ("Bar end shifters 9sp and a 10 speed cassette.", "shifter_speeds", [9.0]),
        ('Rider with an inseam 30", frame 52cm, standover is 78cm.', "inseam_mm", [762.0]),
        ("The weight limit of my wheels is 110 kg, I'm 104 plus 9 kg bike.", "mass_limit_kg", [110.0]),
        ("The weight limit of my wheels is 110 kg, I'm 104 plus 9 kg bike.", "rider_mass_kg", [104.0]),
        ("Crank 170, going to 165, new saddle height?", "new_crank_length_mm", [165.0]),
        ("Stem 100mm -6° to 80mm +17°, how much higher?", "new_stem_angle_deg", [17.0]),
        ("Stem 100mm -6° to 80mm +17°, how much higher?", "new_stem_length_mm", [80.0]),
        ("Would a 35 mm stem instead of the 60 steer quicker?", "new_stem_length_mm", [35.0]),
        ("Would a 35 mm stem instead of the 60 steer quicker?", "stem_length_mm", [60.0]),
        ("I want 90 mm rather than my 110 stem.", "new_stem_length_mm", [90.0]),
        ("Stem bolts at 45 instead of 60 % of the torque?", "new_stem_length_mm", []),
        ("A 40 tyre instead of a 35, and a stem of 90 mm.", "new_stem_length_mm", []),
        ("Spoke tension meter says 105 kgf, right?", "tight_side_tension_kgf", [105.0]),
        ("The slack side of the spokes has 60 kgf.", "tight_side_tension_kgf", []),
        ("Handlebars 31.8 clamp, stem 35, will a shim do?", "bar_clamp_diameter_mm", [31.8]),
        ("Can I put a 31.8 bar in a 35 mm stem?", "stem_bore_mm", [35.0]),
        ("My 35 mm stem and 31.8 bar are short.", "stem_bore_mm", []),
        ("Seat tube is 31.6, dropper is 30.9, with a shim?", "seatpost_diameter_mm", [30.9]),
        ("May I run 650b x 47 in my 700x32 frame?", "new_bead_seat_diameter_mm", [584.0]),
        ("A wheel with an 11sp hub body and a 9sp cassette.", "new_speeds", [9.0]),
        ("A 9sp cassette on a 9sp hub.", "new_speeds", []),
        ("Chain measured 12 1/16 inch over the links, is it worn?", "measured_chain_length_mm", [306.3875]),
        ("Tyre says max 6 bar, rim says 5.5 and I want 7.", "tyre_pressure_kpa", [700.0]),
        ("Tyre says max 6 bar and I want 7 speeds.", "tyre_pressure_kpa", []),
        ("Child seat on a rack rated 25kg, kid 14 kg.", "child_mass_kg", [14.0]),
        ("My steerer now stands 2 mm above the stem, is a cap enough?", "steerer_below_top_mm", [-2.0]),
        ("There is a spacer 5 mm above the stem on my bike.", "steerer_below_top_mm", []),
        ("The steerer is just proud (1-2mm) of the stem.", "steerer_below_top_mm", [(-2.0, -1.0)]),
        ("The steerer stands proud of the top of the stem by 3 mm.", "steerer_below_top_mm", [-3.0]),
        ("I'm proud of how my steerer fits the stem. It has 30 mm of spacers.", "steerer_below_top_mm", []),
        ("The stem that came has a 25.4mm clamp, the bar is 31.8.", "stem_bore_mm", [25.4]),
        ("The stem is fine; the bar has a 31.8 clamp area.", "stem_bore_mm", []),
        ('The hanger is 1/4" thick, titanium.', "rim_deviation_mm", []),
        ("The hanger is 4 mm out at the rim.", "rim_deviation_mm", [4.0]),
        ("The chart reckons with a 40/60 front/rear weight distribution.", "rider_mass_kg", []),
        ("Stem at +12 instead of -7, how much higher?", "new_stem_angle_deg", [12.0]),
        ("Stem at +12 instead of -7, how much higher?", "stem_angle_deg", [-7.0]),
        (
            "The seatpost in this frame is 26.8 but the frame takes 27.0, ok?",
            "seatpost_diameter_mm",
            [26.8],
        ),
        ("The seatpost in this frame is 26.8 but the frame takes 27.0, ok?", "seat_tube_bore_mm", [27.0]),
        (
            "The seat tube of my frame takes 27.2. Can I fit a 30.9 dropper with a shim?",
            "seatpost_diameter_mm",
            [30.9],
        ),
        ("Is a 11-32 OK on a mech rated for 28 teeth?", "new_largest_sprocket_teeth", [32.0]),
        ("My cassette is a 11-32 and I want lower gears.", "new_largest_sprocket_teeth", []),
        ("The block goes from 11-30x9 to 11-40x11 soon.", "new_largest_sprocket_teeth", [40.0]),
        ("The block goes from 11-30x9 to 11-40x11 soon.", "largest_ring_teeth", []),
        ("My fixed gear is 40x11.", "largest_ring_teeth", [40.0]),
        ("I know that from 6/7 speed town bikes, but this has a 10-speed cassette.", "speeds", [10.0]),
        ("It's a 7 speed town bike.", "speeds", [7.0]),
        ("Which chain for my two 9-speed bikes?", "speeds", [9.0]),
        ("Inside leg 80 cm, is a 58 too big for me?", "inseam_mm", [800.0]),
        ("We crawl up 14 percent in our lowest gear.", "slope_pct", [14.0]),
        ("Can I put a 11-40 cassette on this derailleur?", "new_largest_sprocket_teeth", [40.0]),
        (
            "I have 48/32 rings and an 11-32, capacity 35. Will it cope?",
            "new_largest_sprocket_teeth",
            [32.0],
        ),
        ("I have an 11-28 and want lower gears. Will it cope?", "new_largest_sprocket_teeth", []),
        ("My mech has a medium cage, do I need a long cage for this?", "cage_length", ["medium"]),
        ("The bearing says 36x45 on it, which one do I order?", "bearing_angles", []),
        ("The bearing says 36x45 on it, which one do I order?", "seat_angles", ["36x45"]),
        ("My new bearing says 36x45, does it go in?", "bearing_angles", ["36x45"]),
        ("Mine says 36x45, may I use a 45x45 instead?", "bearing_angles", ["45x45"]),
        ("I change to a carbon post from an aluminium post.", "seatpost_material", ["carbon"]),
        ("I changed from a carbon post to an aluminium post.", "seatpost_material", ["aluminium"]),
        ("A carbon post from an aluminium post maker.", "seatpost_material", ["carbon", "aluminium"]),
        ("My stem is 25.4 and the bar is 31.8.", "stem_bore_mm", [25.4]),
        ("The stem is 25.4, the bars I was given are 31.8.", "bar_clamp_diameter_mm", [31.8]),
        ("The stem is 25.4, the bars I was given are 31.8.", "stem_bore_mm", [25.4]),
        ("May I put 25 mm of spacers on top of the stem?", "spacers_above_mm", [25.0]),
        ("May I put 25 mm of spacers on top of the stem?", "spacer_stack_mm", []),
        ("I have 40 mm of spacers under the stem.", "spacer_stack_mm", [40.0]),
        ('How many spacers may sit on a 1 1/4" carbon steerer?', "spacer_stack_mm", []),
        ('How many spacers may sit on a 1 1/4" carbon steerer?', "steerer_diameter_mm", [31.75]),
        ('I have one 1" spacer under the stem.', "spacer_stack_mm", [25.4]),
        ("The steerer ends 1 mm below the top of the stem.", "steerer_below_top_mm", [1.0]),
        (
            "The steerer ends 1 mm below the top of the stem. Is the recommended 3 mm gap to the top cap a must?",
            "steerer_below_top_mm",
            [1.0],
        ),
        ("Who made 3 mm the magic gap over the steerer?", "steerer_below_top_mm", []),
        ("A 130 wheel, and nobody dares to cold set aluminium.", "frame_material", ["aluminium"]),
        ("130 hub, 135 frame, aluminium. Just close the lever?", "frame_material", ["aluminium"]),
        ("My stem is 25.4 and the bar is 31.8.", "bar_clamp_diameter_mm", [31.8]),
        ("Old stem 26.0, new handlebar 25.4, does it hold?", "stem_bore_mm", [26.0]),
        ("The stem is 35 mm long and the bar is wide.", "stem_bore_mm", []),
        ("Can I use 130mm hubs on a steel frame designed for 135mm hubs?", "hub_width_mm", [130.0]),
        ("Can I use 130mm hubs on a steel frame designed for 135mm hubs?", "frame_spacing_mm", [135.0]),
        ("Would hubs with 130 mm spacing hurt it?", "hub_width_mm", [130.0]),
        ("An old frame with 130 mm spacing.", "frame_spacing_mm", [130.0]),
        ("A 135 hub into 130mm alum. drop-outs.", "frame_spacing_mm", [130.0]),
        ("A 130 mm wheelset for my racer.", "hub_width_mm", [130.0]),
        ("The bottom bracket cups say 35-50, what is meant?", "shell_bore_mm", []),
        ("The bottom bracket cups say 35-50, what is meant?", "stated_torque_n_m", [(35.0, 50.0)]),
        (
            "My bike has a 110 mm stem. Not sure whether a 90 mm stem would work.",
            "new_stem_length_mm",
            [90.0],
        ),
        ("I'm 100 kg, and saddles hurt people of 60 kg as it is.", "rider_mass_kg", [100.0]),
        ("The new posts aren't of the usual 30.9 size.", "seatpost_diameter_mm", [30.9]),
        ("Is the 25.4 size of seatpost still made?", "seatpost_diameter_mm", [25.4]),
        ("A 31.6 size frame and a loose post.", "seatpost_diameter_mm", []),
        ("You say you were 260 lbs. I'm 100 kg.", "rider_mass_kg", [100.0]),
        ("With 14 lbs to a stone I'm a heavy one.", "rider_mass_kg", []),
        ("What pressure if you are 90 kg?", "rider_mass_kg", [90.0]),
        ("Swap the 95 (I believe) mm stem for a 45 or 55 mm one?", "stem_length_mm", [95.0]),
        ("Swap the 95 (I believe) mm stem for a 45 or 55 mm one?", "new_stem_length_mm", [(45.0, 55.0)]),
        ("A 1/2 inch gap from the stem's top to the top of the steer tube.", "steerer_below_top_mm", [12.7]),
        (
            "An 11 mm space between the steerer's end and the top edge of my stem.",
            "steerer_below_top_mm",
            [11.0],
        ),
        ("A 2 mm gap between the steerer and the wall of the stem.", "steerer_below_top_mm", []),
        ('A 50mm stem and 2" rise bars.', "stem_length_mm", [50.0]),
        ('A 50mm stem and 2" rise bars.', "bar_clamp_diameter_mm", []),
        ("My stem is 25.4, can I fit 31.8 mm riser bars?", "bar_clamp_diameter_mm", [31.8]),
        # A tubular has a tube and may have sealant in it, and is no other kind of tyre for that.
        ("My tubular took some sealant, and its latex tube still leaks.", "tyre_system", ["tubular"]),
        (
            "I rode a tubular, and now a tubeless tyre with sealant.",
            "tyre_system",
            ["tubular", "tubeless", "tubeless"],
        ),
        ("Sealant in the tyre, and it still leaks.", "tyre_system", ["tubeless"]),
    ],
)
def test_a_sentence_states_its_sizes(finder: Finder, text: str, name: str, values: list[object]) -> None:
    """Each quantity is read where the sentence says whose it is, and only there."""
    assert stated(finder, text, name) == values


def test_two_rules_for_a_saddle_are_no_contradiction_of_the_inseam(finder: Finder) -> None:
    """A saddle height might be an inseam by its size; where the inseam is stated outright nothing is doubted."""
    _, doubts = finder.find("Saddle height by the heel is 73 cm, by my friend 0.883 x inseam. Inseam 84.")

    assert doubts == []


def test_danger_told_in_the_story_is_not_outdone_by_the_ask(
    knowledge: Knowledge, message: Callable[..., Message]
) -> None:
    """The ask names a slow cooker, the story smoke: the smoke counts, and alone."""
    ask = "How long does a chain stay in a slow cooker?"
    question = Question("q", message(f"{ask} The wax smoked last time."), ask, "", True)

    [found] = extract([Classified(question, "lubrication", 0.9, ())], knowledge)

    assert [d.value for d in found.details if d.name == "wax_heating"] == ["smoking"]


@pytest.mark.parametrize(
    ("text", "shorter", "longer"),
    [
        ("my arms are 170 and 175, found out today. bad?", [170.0], [175.0]),
        ("My left crank is 172.5 and the right one 175. Does it matter?", [172.5], [175.0]),
        ("Can I run 175 left and 170 right on one crank?", [170.0], [175.0]),
        ("My power meter arm says 172.5 and the right arm is 170.", [170.0], [172.5]),
        ("I have 170 cranks on one bike and 175 on the other bike.", [], []),
        ("Going from 175 to 170 cranks on my other bike, left foot first.", [], []),
    ],
)
def test_two_arms_of_one_crank_are_told_from_two_cranks(
    finder: Finder, text: str, shorter: list[object], longer: list[object]
) -> None:
    """Sides make them the arms of one crank; another bike or a change doesn't."""
    assert stated(finder, text, "shorter_arm_length_mm") == shorter
    assert stated(finder, text, "longer_arm_length_mm") == longer


@pytest.mark.parametrize(
    ("text", "front", "rear"),
    [
        ("Bolt to the middle of the rim is 52 mm. Which calliper reach?", [52.0], []),
        ("Calliper reach: 50 mm in front, 54 mm at the rear.", [50.0], [54.0]),
        ("The lever reach is 85 mm, too far for my hands.", [], []),
        (
            "Measured 52 mm from the brake bolt to the middle of the rim at the front and 55 at the back.",
            [52.0],
            [55.0],
        ),
        ("Bolt to the centre of the brake track is 50 mm front and 53 mm rear.", [50.0], [53.0]),
        ("From bolt hole to rim it is 54 at the back and 48 in front. Which callipers?", [48.0], [54.0]),
        ("Callipers that reach 65 mm, do they exist?", [65.0], []),
        ("Will a cassette of 11-32 reach the limit of my 52 ring?", [], []),
    ],
)
def test_the_drop_of_a_brake_is_told_from_a_lever_s_reach(
    finder: Finder, text: str, front: list[object], rear: list[object]
) -> None:
    """From bolt to rim it is the brake's, from bar to lever it is not."""
    assert stated(finder, text, "brake_drop_mm") == front
    assert stated(finder, text, "rear_brake_drop_mm") == rear


def test_what_stands_between_two_asks_is_of_neither(
    knowledge: Knowledge, message: Callable[..., Message]
) -> None:
    """Two asks joined to one text leave out the sentence between them, where it says something else of the hub."""
    asks = ["Can I use a 130 mm hub in a frame made for 135 mm hubs?", "Would the 130 mm hub hurt it?"]
    told = message(f"{asks[0]} Good hubs are 135 mm over the locknuts. {asks[1]}")
    question = Question("q", told, " ".join(asks), "", True)

    [found] = extract([Classified(question, "frame-fit", 0.9, ())], knowledge)

    assert {detail.value for detail in found.details if detail.name == "hub_width_mm"} == {130.0}


def test_counted_items_are_no_measures(finder: Finder) -> None:
    text = "I'd like to know (1) why my bottom bracket creaks and (2) the spacers that go with it."
    assert stated(finder, text, "spacer_stack_mm") == []
    assert stated(finder, "Are 2 mm of spacers enough under the stem?", "spacer_stack_mm") == [2.0]


@pytest.mark.parametrize("decade", ["80's", "80s", "1980s", "90’s"])
def test_a_decade_is_no_measure(finder: Finder, decade: str) -> None:
    text = f"It's an old mid {decade} steel frame on which eight sprockets run. Is the frame's width fine?"
    assert stated(finder, text, "frame_spacing_mm") == []


@pytest.mark.parametrize(
    ("text", "values"),
    [
        ("Since the fall the front mech won't go onto the big ring.", ["large"]),
        ("The cage refuses to reach the outer ring, even by hand.", ["large"]),
        ("I can't get it to shift to the granny ring any more.", ["small"]),
        ("The chain rubs as soon as I shift onto the big ring.", []),
        ("It drops off when I change to the small ring.", []),
        ("It won't index at all. I ride on the big ring most days.", []),
    ],
)
def test_a_ring_that_the_cage_does_not_reach(finder: Finder, text: str, values: list[object]) -> None:
    assert stated(finder, text, "front_short") == values


@pytest.mark.parametrize(
    ("text", "name", "values"),
    [
        ("In a sprint the chain goes off to the outside.", "drop_place", ["outside"]),
        ("The short chain that connects the two cranks fell down.", "tension_ask", ["timing"]),
        ("We ride a tandem and the chain came off on a bump.", "tension_ask", []),
        ("I can't unclip fast enough at the lights.", "cleat_trouble", []),
        ("My shoe is stuck in the pedal since a screw tore out.", "cleat_trouble", ["held"]),
        ("When I push the cage by hand it goes past the largest sprocket.", "rear_sluggish", []),
        ("It won't drop to the smaller sprockets.", "rear_sluggish", ["yes"]),
    ],
)
def test_what_is_told_of_chain_shoe_and_mech(
    finder: Finder, text: str, name: str, values: list[object]
) -> None:
    assert stated(finder, text, name) == values


@pytest.mark.parametrize(
    ("text", "hub", "frame"),
    [
        ("My bike has 135 mm QR and I want to fit a 148 boost wheel.", [148.0], [135.0]),
        ("Can I put a 141mm boost hub in 135 mm dropouts?", [141.0], [135.0]),
        ("My 148 boost wheel has play.", [], []),
    ],
)
def test_where_a_boost_wheel_is_to_come_the_other_width_is_the_frames(
    finder: Finder, text: str, hub: list[object], frame: list[object]
) -> None:
    assert stated(finder, text, "hub_width_mm") == hub
    assert stated(finder, text, "frame_spacing_mm") == frame


def test_what_is_left_of_a_post_in_the_frame(finder: Finder) -> None:
    assert stated(finder, "a 27.2 post with 90 mm left in", "seatpost_insertion_mm") == [90.0]

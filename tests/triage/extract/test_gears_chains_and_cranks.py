"""Teeth without the word, a measured chain, an axle with its shell, shares of two legs, and what a distance is of."""

from __future__ import annotations

import pytest

from tests.triage.extract.stated import stated
from triage.extract import Finder


@pytest.mark.parametrize(
    ("text", "name", "values"),
    [
        ("I've a 34t inner and it's too hard on hills.", "smallest_ring_teeth", [34.0]),
        ("A 30 tooth inner tube is a joke, of course.", "smallest_ring_teeth", []),
        # Two rings with a plus or an "and" between them.
        ("It came with 48 + 32 chainrings and a wide cassette.", "smallest_ring_teeth", [32.0]),
        ("It came with 48 and 32 chainrings.", "largest_ring_teeth", [48.0]),
        ("I weigh 48 and 32 spokes hold me.", "smallest_ring_teeth", []),
        ("Would a 13t-30t cassette take up less chain?", "smallest_sprocket_teeth", [13.0]),
        ("Would a 30t cassette be too large?", "largest_sprocket_teeth", [30.0]),
        # The spacers of a cassette are no stack under a stem.
        ("The cassette's spacers are 2.4 mm here and 2.3 mm in the sheet.", "spacer_stack_mm", []),
        (
            "There are 25 mm of spacers under my stem, and it has an 11-28 cassette.",
            "spacer_stack_mm",
            [25.0],
        ),
        # Gears inside a hub, told by what such a hub has.
        ("Since they cleaned the hub internals it slips in third.", "gears_ask", ["hub"]),
        ("The yellow marks are level and still it drops out of gear.", "gears_ask", ["hub"]),
        ("I sprayed a yellow stripe on my hub.", "gears_ask", []),
        # A lever that was opened.
        ("I took the cover off the shifter and the torsion spring jumped.", "lever_apart", ["yes"]),
        ("I took the cover off the shifter and looked in.", "lever_apart", []),
        # The thousands of the second figure count for the first.
        ("The chain has done 3-4,000 km by now.", "distance_km", [(3000.0, 4000.0)]),
        ("The chain has done 300 to 4,000 km by now.", "distance_km", [(300.0, 4000.0)]),
        ("How many links for 44cm chainstays, a 42 ring and a 51 sprocket?", "largest_ring_teeth", [42.0]),
        (
            "How many links for 44cm chainstays, a 42 ring and a 51 sprocket?",
            "largest_sprocket_teeth",
            [51.0],
        ),
        ("My fixed bike has a 46 ring, want a 17 sprocket.", "sprocket_teeth", [17.0]),
        ("Would a smaller 38 ring help, I have a 44 ring now?", "new_ring_teeth", [38.0]),
        ("I spin at 60 rpm in 52-14 on the flat.", "sprocket_teeth", [14.0]),
        ("The chainset is 52-42 and I spin at 60 rpm.", "sprocket_teeth", []),
        ("I use a 39x25 and the climb is 9 percent.", "largest_sprocket_teeth", [25.0]),
        ("I have a 32x28 tyre for the hills.", "largest_sprocket_teeth", []),
        ("Going from 2x10 to 1x11 with a 40 tooth ring.", "new_ring_teeth", [40.0]),
        ("My 1x11 has a 40 tooth ring.", "new_ring_teeth", []),
        ("Granny is 22, middle 32 and outer 44, and the chain rubs.", "smallest_ring_teeth", [22.0]),
        ("Granny is 22, middle 32 and outer 44, and the chain rubs.", "largest_ring_teeth", [44.0]),
        ("New chainring: I go from a 44T to a 38T, how many links less?", "largest_ring_teeth", [44.0]),
        ("New chainring: I go from a 44T to a 38T, how many links less?", "new_ring_teeth", [38.0]),
        ("Chainring stays; sprocket from 32t to 36t.", "new_ring_teeth", []),
        ("It has a 44T chain ring. What if I swap to the 38T chain ring?", "new_ring_teeth", [38.0]),
        ("It has a 44T chain ring. I ride to work with a 38T chain ring too.", "new_ring_teeth", []),
        ("Will an 11-speed cassette go on an 8-speed freehub? Or a 10-speed cassette?", "new_speeds", [11.0]),
        ("Will a 9 or a 10-speed cassette run there? Mine is an 8-speed freehub.", "new_speeds", []),
        # A ring over a sprocket is no pair of rings.
        ("Up the pass I stay in 39/25, with 53/39 on the crank.", "smallest_ring_teeth", [39.0]),
        ("Up the pass I stay in 34/23 or 36/25.", "smallest_ring_teeth", []),
        ("My rings are 36/22, is that too low?", "smallest_ring_teeth", [22.0]),
        ("Where do I get 52/36T chainrings for it?", "smallest_ring_teeth", [36.0]),
        ("There is a 28t at the back.", "largest_sprocket_teeth", [28.0]),
        ("It has 3 gears in the front and 10 in the back.", "speeds", [10.0]),
        ("There are two rings in front and nine behind.", "speeds", [9.0]),
        ("I pump 3 bar in the front and 6 in the back.", "speeds", []),
        ("She has 8 gears in the back.", "speeds", [8.0]),
    ],
)
def test_teeth_are_read_where_nobody_says_teeth(
    finder: Finder, text: str, name: str, values: list[float]
) -> None:
    assert stated(finder, text, name) == values


@pytest.mark.parametrize(
    ("text", "millimetres"),
    [
        ("Measured 12 inches of chain and it came to 12 and 1/16th. Worn?", [306.39]),
        ("24 pins of the chain come to twelve and an eighth inches", [307.97]),
        ("Over 12 links the chain measures 306mm, is it done?", [306.0]),
        ("24 half links of chain come out at 307 mm. Bin it?", [307.0]),
        ("I measured 12 inches of chain with a ruler. Is that the way?", []),
        ("My stem is 12 1/16 of a turn loose", []),
    ],
)
def test_a_measured_chain_is_what_it_came_to(finder: Finder, text: str, millimetres: list[float]) -> None:
    values = [
        round(value, 2)
        for value in stated(finder, text, "measured_chain_length_mm")
        if isinstance(value, float)
    ]
    assert values == millimetres


@pytest.mark.parametrize(
    ("text", "kilometres"),
    [
        ("Done 5000k on this chain.", [5000.0]),
        ("The belt has done 900 km and squeaks.", [900.0]),
        ("A hundred miles on a single speed, which belt sprocket?", []),
        ("Both hills come after 50 km, is the belt up to it?", []),
        ("The chain came off after 50 km.", [50.0]),
    ],
)
def test_the_way_of_a_ride_is_not_what_a_part_has_run(
    finder: Finder, text: str, kilometres: list[float]
) -> None:
    assert stated(finder, text, "distance_km") == kilometres


@pytest.mark.parametrize(
    ("text", "name", "values"),
    [
        ("The spindle is 68x122.5, can I use 68x110?", "spindle_length_mm", [122.5]),
        ("The spindle is 68x122.5, can I use 68x110?", "shell_width_mm", [68.0]),
        ("Balance is 53/47, my right leg does less.", "left_share_pct", [53.0]),
        ("Balance is 53/47, my right leg does less.", "right_share_pct", [47.0]),
        ("My rings are 53/47, odd balance of gears.", "left_share_pct", []),
        ("I bought 170mm cranks, mine were 175s.", "new_crank_length_mm", [170.0]),
        ("I bought 170mm cranks, mine were 175s.", "crank_length_mm", [175.0]),
        ("I bought 170mm cranks, mine were 175s.", "longer_arm_length_mm", []),
        ("One arm is 170 and the other 175.", "longer_arm_length_mm", [175.0]),
        (
            "The crank bolt got 35 newton metres and the maker says 40 to 50.",
            "stated_torque_n_m",
            [(40.0, 50.0)],
        ),
        ("The crank bolt got 35 newton metres and the maker says 40 to 50.", "slot_top_mm", []),
        ("The bracket sits 270 off the floor with 175 cranks.", "bottom_bracket_height_mm", [270.0]),
        ("I pushed 250 W on the trainer while the pedals said 238.", "crank_power_w", [238.0]),
    ],
)
def test_cranks_and_their_axle(finder: Finder, text: str, name: str, values: list[object]) -> None:
    assert stated(finder, text, name) == values


@pytest.mark.parametrize(
    ("text", "name", "values"),
    [
        ("It has 52/42/30, and the shop has a 24 inner chainring.", "new_smallest_ring_teeth", [24.0]),
        ("It has 52/42/30, and the shop has a 24 inner chainring.", "smallest_ring_teeth", [30.0]),
        ("It has 52/42/30, and the 30 inner ring is worn.", "new_smallest_ring_teeth", []),
        ("The belt bike's gearing was 55 - 22.", "sprocket_teeth", [22.0]),
        ("Is a 7 speed block wider than a 6 speed?", "speeds", [7.0]),
        ("Is a 7 speed block wider than my 6 speed?", "speeds", [7.0, 6.0]),
        ("The largest pair goes so tight in big big that it cannot move.", "big_pair", ["tight"]),
        ("How do I open the hairpin of a half link?", "half_link", ["yes"]),
    ],
)
def test_what_is_to_come_and_what_is_only_compared(
    finder: Finder, text: str, name: str, values: list[object]
) -> None:
    assert list(dict.fromkeys(stated(finder, text, name))) == values


@pytest.mark.parametrize(
    ("text", "name", "values"),
    [
        ("My single speed has 42:16, is that too hard?", "sprocket_teeth", [16.0]),
        ("My single speed broke at 12:16 on the clock.", "sprocket_teeth", []),
        ("Fitting a 32t sprocket, and the derailleur says max 30.", "new_largest_sprocket_teeth", [32.0]),
        ("My fixed bike has a 32t sprocket.", "new_largest_sprocket_teeth", []),
        ("34 x 34 at 70 rpm, what speed is that?", "largest_sprocket_teeth", [34.0]),
        ("Clearance: BB drop 70mm, 172.5 arms.", "tyre_width_mm", []),
        ("Clearance: BB drop 70mm, 172.5 arms.", "crank_length_mm", [172.5]),
        ("Pedals bash the ground, do I need 165 arms?", "new_crank_length_mm", [165.0]),
        ("Will 30x34 instead of 34x34 keep me at 60 rpm?", "new_smallest_ring_teeth", [30.0]),
        ("Will 30x34 instead of 34x34 keep me at 60 rpm?", "smallest_ring_teeth", [34.0]),
        ("I ride 172,5 cranks and I'm 178 tall.", "crank_length_mm", [172.5]),
        (
            "On cranks I've used 172.5 s all my life and think of trying some 160s.",
            "crank_length_mm",
            [172.5],
        ),
        (
            "On cranks I've used 172.5 s all my life and think of trying some 160s.",
            "new_crank_length_mm",
            [160.0],
        ),
        ("I'm used to 165s. Are longer cranks better?", "crank_length_mm", [165.0]),
        ("I held it for 170 s with the short cranks, 20 s longer.", "new_crank_length_mm", []),
        ("My hanger's out by 6 mm at the rim.", "rim_deviation_mm", [6.0]),
    ],
)
def test_ratios_that_look_like_hours_and_drops_that_look_like_tyres(
    finder: Finder, text: str, name: str, values: list[object]
) -> None:
    assert stated(finder, text, name) == values


@pytest.mark.parametrize(
    ("text", "name", "values"),
    [
        # Teeth at either end, and no tyres.
        ("What is my lowest gear with 36 front, 40 rear on 45 mm tyres?", "largest_sprocket_teeth", [40.0]),
        ("What is my lowest gear with 36 front, 40 rear on 45 mm tyres?", "smallest_ring_teeth", [36.0]),
        ("What is my lowest gear with 36 front, 40 rear on 45 mm tyres?", "front_tyre_width_mm", []),
        ("My tyres are 32 front, 36 rear, and the gears are low enough.", "largest_sprocket_teeth", []),
        ("Gears are fine. 28 front and 32 rear tyres for hills?", "front_tyre_width_mm", [28.0]),
        # One ring alone is the smallest as well, where no other is spoken of.
        ("It's a 1x with a 42 and an 11-46 cassette.", "smallest_ring_teeth", [42.0]),
        ("It's a 1x with a 42 and an 11-46 cassette.", "largest_sprocket_teeth", [46.0]),
        ("My big ring has 50 teeth, with 11-28, and hills hurt.", "smallest_ring_teeth", []),
        # A ring over a sprocket, with the tyres' size elsewhere.
        ("Is 30x34 on 29 x 2.1 low enough for 16 percent?", "largest_sprocket_teeth", [34.0]),
        ("Is 30x34 on 29 x 2.1 low enough for 16 percent?", "slope_pct", [16.0]),
        ("A 24x30 wheel costs 16 percent more.", "largest_sprocket_teeth", []),
        ("It wears 16 percent faster than the old one.", "slope_pct", []),
        # The only cassette is the one whose hill it is.
        ("I have 34/50 and 11-30. Is that low enough for 12 % hills?", "new_largest_sprocket_teeth", [30.0]),
        ("I have 34/50 and 11-30. What would an easier cassette be?", "new_largest_sprocket_teeth", []),
        ("What is 44x17 in inches?", "sprocket_teeth", [17.0]),
        ("Do I need 44x17 inch tyres?", "sprocket_teeth", []),
        # What a rider holds for each kilo.
        ("I'm 80 kg and hold 2 W/kg on a long climb.", "rider_power_w", [160]),
        ("I hold 2 watts per kilo.", "rider_power_w", []),
        # How far two meters are apart is what neither reads.
        ("My pedals read 18 watts lower than the trainer.", "crank_power_w", []),
        ("My pedals read 218 watts, the trainer says 225.", "crank_power_w", [218.0]),
        # A link's own number, where the chain's is another.
        ("May a 10 speed quick link go on a 9 speed chain?", "link_speeds", [10.0]),
        ("May a 10 speed quick link go on a 9 speed chain?", "chain_speeds", [9.0]),
        ("Which quick link for a 9 speed chain?", "link_speeds", []),
        ("A 9 speed link for my 9 speed chain, please.", "link_speeds", []),
        # Of the kind that was named before.
        ("I've an 8 speed bike. They sell 9 speed chains and 11 speed ones.", "speeds", [8.0]),
        ("I've an 8 speed bike. They sell 9 speed chains and 11 speed ones.", "chain_speeds", [9.0, 11.0]),
        # The new arm comes first where it stands in place of the old one.
        ("I put on 172.5 mm cranks instead of 165.", "new_crank_length_mm", [172.5]),
        ("I put on 172.5 mm cranks instead of 165.", "crank_length_mm", [165.0]),
        # Which of two circles it is was not told.
        ("I can't tell if it's a 110 or 130 BCD.", "bolt_circle_mm", []),
        ("I can't tell if it's a 110 or 130 BCD.", "new_bolt_circle_mm", []),
        ("Will a 110 BCD ring go on my 130 BCD crank?", "new_bolt_circle_mm", [110.0]),
        # A ring and a cassette that go on together, and a ring before a cassette.
        ("From 2x10 to 1x10: now 36/22, then I fit a 30 and an 11-42.", "new_ring_teeth", [30.0]),
        ("My folder has 46 front, 11-25 at the back. Is it low enough?", "smallest_ring_teeth", [46.0]),
        ("My folder has 46 front, 50 psi at the back.", "largest_ring_teeth", []),
        ("A 20 inch folding bike, 50 front, 11-25: hills?", "bead_seat_diameter_mm", [406.0]),
        ("A 20 inch folding bike with a flat.", "bead_seat_diameter_mm", []),
        # What a cage is good for, and a cassette that was found.
        ("It's 50/34 with a long cage that takes 32.", "rated_sprocket_teeth", [32.0]),
        ("I saw a cheap 12-32 cassette, would my mech cope?", "new_largest_sprocket_teeth", [32.0]),
        # With one gear the lowest is the only one.
        ("Is 40x17 low enough for a single speed on hills?", "largest_sprocket_teeth", [17.0]),
        ("Is 40x17 a good single speed gear?", "largest_sprocket_teeth", []),
        ("I'm 59 now and weigh 71 kg.", "rider_mass_kg", [71.0]),
        ("I'm 59 kg now.", "rider_mass_kg", [59.0]),
        ("With 15 kg luggage at 72 kg body weight.", "load_mass_kg", [15.0]),
        ("With 15 kg luggage at 72 kg body weight.", "rider_mass_kg", [72.0]),
        # From so many sprockets to so many, and a freehub beside bars.
        ("Going from 8 to 9 speed, what do I need?", "new_speeds", [9.0]),
        ("From 8 to 9 speed chains are alike.", "new_speeds", []),
        ("Drop bars, 34.9 mm freehub.", "freehub_body_length_mm", [34.9]),
        ("My left leg is hurt: left 42, right 58 on the pedals.", "left_share_pct", [42.0]),
        ("Left 42, right 58 mm to the stay.", "left_share_pct", []),
        ("A single speed chain 1/8 on my 9 speed?", "chain_speeds", []),
        ("My triple had a range of 600 % with an 11-34.", "new_largest_sprocket_teeth", []),
        # A fixed sprocket that isn't fast on its hub.
        ("The cog moves a little on the hub when I hold back.", "fixed_slip", ["slips"]),
        ("The cog is fast on the hub.", "fixed_slip", []),
        ("Friction levers with nine sprockets?", "lever_clicks", ["none"]),
        # Dropouts, said the other way about.
        ("The dropouts are vertical, sadly.", "dropout_kind", ["vertical"]),
        ("The dropouts are scratched, sadly.", "dropout_kind", []),
    ],
)
def test_gears_are_read_as_riders_tell_them(
    finder: Finder, text: str, name: str, values: list[object]
) -> None:
    assert stated(finder, text, name) == values


def test_the_drive_that_a_chain_is_for_tells_the_sprockets(finder: Finder) -> None:
    text = "I was sold a 12 speed chain for an 11 speed groupset."
    assert stated(finder, text, "chain_speeds") == [12.0]
    assert stated(finder, text, "speeds") == [11.0]


def test_a_cassette_that_a_derailleur_is_to_handle_is_the_new_one(finder: Finder) -> None:
    text = "Can my long cage derailleur with 43 teeth of capacity handle an 11-36 with 48/32?"
    assert stated(finder, text, "new_largest_sprocket_teeth") == [36.0]

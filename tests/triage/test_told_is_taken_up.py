"""What a rider told is taken up by the answer, and what would go against it is left out."""

from __future__ import annotations

from collections.abc import Mapping

import pytest

from knowledge.base import Knowledge
from tests.asked import reply


@pytest.mark.parametrize(
    ("brief", "told", "said", "left_out"),
    [
        (
            "tyres/pressure-for-weight",
            {"crew": "tandem", "rider_mass_kg": 127, "tyre_width_mm": 28, "tyre_max_pressure_kpa": 800},
            "On a tandem the front carries nearly as much",
            "Send me the rider's weight",
        ),
        (
            "tyres/pressure-for-weight",
            {"rider_mass_kg": 127, "tyre_width_mm": 28, "tyre_pressure_kpa": [690, 793]},
            "keep to the firm end, under the limits",
            "On a tandem",
        ),
        (
            "tyres/size-names",
            {"bead_seat_diameter_mm": 590, "tyre_width_mm": 34.9},
            "few old American rims with that name are 597 mm",
            "Those sizes are all for one rim",
        ),
        ("tyres/wheel-size-swap", {"wheel_vehicle": "trike"}, "ask the trike's maker", "often yes; with rim"),
        (
            "tyres/old-cracked-tyre",
            {"tyre_stored": "stored"},
            "A closed bag keeps out light",
            "It depends on",
        ),
        ("tyres/old-cracked-tyre", {}, "It depends on how deep", "A closed bag"),
        (
            "tyres/burst-with-a-bang",
            {"burst_ask": "feared"},
            "keep off the brake of that wheel",
            "Go on by bus",
        ),
        (
            "tyres/burst-with-a-bang",
            {"burst_ask": "feared", "burst_sign": "rim"},
            "Stop there; a rim whose wall",
            "Rare on a sound tyre",
        ),
        (
            "wheels/broken-spoke",
            {"spoke_ask": "tools", "ride_need": "long"},
            "Spokes and key",
            "don't ride that",
        ),
        (
            "wheels/broken-spoke",
            {"spokes_broken": "one", "ride_need": "long"},
            "don't ride that",
            "Spokes and key",
        ),
        ("wheels/broken-spoke", {"flange_fit": "loose"}, "washers under the heads", "Spokes and key"),
        ("wheels/dish", {"dish_checked": "checked"}, "no reason to bend", "to tell the wheel from the frame"),
        (
            "other/carrying-a-bike-on-a-car",
            {"frame_material": "carbon", "tube_mark": "dent"},
            "Don't ride it until that mark has been examined",
            "Best is a carrier",
        ),
        (
            "other/carrying-a-bike-on-a-car",
            {"frame_material": "steel", "tube_mark": "dent"},
            "A dent with a crease",
            "Carbon doesn't dent",
        ),
        ("other/carrying-a-bike-on-a-car", {}, "Best is a carrier", "A mark that you can see"),
        (
            "other/e-bike-drive-or-battery-fault",
            {"wire_state": "burnt", "e_bike_trouble": "reconnected"},
            "Don't ride or charge it; wiring",
            "Begin with the plugs that were apart, battery out",
        ),
        (
            "other/e-bike-drive-or-battery-fault",
            {"battery_seat": "loose", "power_loss_sign": "bumps"},
            "Stop riding with it loose",
            "A drive that dies at a jolt",
        ),
        (
            "other/e-bike-drive-or-battery-fault",
            {"power_loss_sign": "bumps"},
            "a bad contact",
            "Have it read out",
        ),
        (
            "other/e-bike-drive-or-battery-fault",
            {"power_loss_sign": "bumps", "e_bike_trouble": "by-itself"},
            "Switch the assistance off",
            "nearly always a bad contact",
        ),
        ("other/e-bike-range-and-care", {"charge_lamps": "asked"}, "So don't guess", "Reckon range from"),
        (
            "other/which-bike",
            {"bike_kind": "cargo", "for_a_child": "yes"},
            "Measure the door",
            "For a child take",
        ),
        (
            "other/kept-outdoors",
            {"outdoor_ask": "harmed"},
            "One winter seldom ruins",
            "A roof with moving air is",
        ),
        (
            "lubrication/cleaning-the-chain",
            {"clean_ask": "minimal"},
            "Two minutes will do",
            "after most rides",
        ),
        (
            "lubrication/noisy-after-lubrication",
            {"lubricant_type": "dry-drip", "wax_wet": "wet"},
            "No need to start again",
            "Crunching means",
        ),
        ("lubrication/noisy-after-lubrication", {"wax_wet": "wet"}, "Crunching means", "No need to start"),
        ("wheels/buckled-wheel", {"rim_beaten": "beaten"}, "Don't ride it on; a rim", "How far does it move"),
        ("tyres/valve-trouble", {"valve_fault": "torn"}, "means a new tube", "foaming one climbs"),
        ("tyres/valve-trouble", {"valve_fault": "clogged"}, "foaming one climbs", "A tear at the base"),
        (
            "lubrication/winter-salt",
            {"clean_ask": "minimal"},
            "No degreaser and no brush",
            "grease what can seize",
        ),
        ("tyres/which-tyre", {"used_e_bike": "yes"}, "releases it for e-bikes", "On a tandem"),
        ("tyres/which-tyre", {"crew": "tandem"}, "width counts double", "On an e-bike"),
        (
            "frame-fit/frame-alignment",
            {"bent_part": "fork"},
            "a fork that bent is replaced",
            "put each wheel in the other way round",
        ),
        (
            "frame-fit/racks-and-bosses",
            {"boss_fault": "spinning"},
            "Wedge the insert",
            "Mount the feet first",
        ),
        ("cranks/crank-wont-come-off", {"cap_spoilt": "yes"}, "sacrifice the cap", "Screw the puller in"),
        (
            "bearings/stuck-cup-or-bearing",
            {"tool_grip": "gone", "cup_held": "thread"},
            "is cut out from inside",
            "Fix the tool square",
        ),
        ("bearings/press-fit-creak", {"headset_creaks": "yes"}, "headset cups can creak", "Pull the cranks"),
        (
            "other/suspension-set-up",
            {"suspension_ask": "lockout"},
            "by fingers only",
            "fill to the maker's chart",
        ),
        (
            "other/child-seat-or-trailer",
            {"home_made": "yes", "frame_material": "steel"},
            "build one for the shopping",
            "Only if the bike's",
        ),
        ("bearings/seized-bolt", {"bolt_snapped": "yes"}, "Soak the stub", "Seat the key fully"),
        (
            "bearings/seized-bolt",
            {"bolt_snapped": "yes", "frame_material": "carbon"},
            "Leave the stub alone",
            "If the insert turns",
        ),
        (
            "bearings/hub-axle-and-cones",
            {"hub_fault": "grit"},
            "Open it before you bin it",
            "A broken or bent axle",
        ),
        (
            "bearings/hub-axle-and-cones",
            {"hub_fault": "apart"},
            "not even home; a wheel without",
            "Open it before",
        ),
        (
            "other/suspension-set-up",
            {"suspension_ask": "leak"},
            "soapy water on the valve",
            "by fingers only",
        ),
        ("other/suspension-set-up", {"suspension_ask": "stuck"}, "Open every dial first", "by fingers only"),
        (
            "frame-fit/mudguard-room",
            {"guard_fault": "broken"},
            "before the wheel turns; one",
            "Leave some 10 mm above",
        ),
        ("cranks/cracked-arm", {"arm_sign": "age"}, "Old aluminium arms do break", "Don't ride it. A crack"),
        ("cranks/cracked-arm", {}, "Don't ride it. A crack", "Old aluminium arms do break"),
        (
            "cranks/shorter-cranks",
            {"crank_length_mm": 170, "new_crank_length_mm": 175},
            "the saddle comes down",
            "Raise the bar",
        ),
        (
            "frame-fit/hub-width",
            {"frame_spacing_mm": 93},
            "In front 100 mm is usual",
            "No, not in that frame",
        ),
        ("frame-fit/shimmy", {"wobble_pace": "slow"}, "a weave at town speed", "press a knee"),
        ("frame-fit/shimmy", {"wobble_pace": "fast"}, "press a knee", "a weave at town speed"),
        (
            "brakes/lever-to-bar",
            {"brake_type": "disc-mechanical", "brake_stays_on": "on"},
            "a cable or a brake arm that has stuck",
            "Look for fluid",
        ),
        (
            "brakes/lever-to-bar",
            {"brake_type": "disc-hydraulic", "brake_stays_on": "on"},
            "Look for fluid",
            "watch the anchor bolt",
        ),
        ("brakes/rotor-rub", {"rub_pattern": "steady"}, "hardly ever the rotor", "Two pairs of wheels"),
        ("brakes/rotor-rub", {"wheel_pairs": "two"}, "shim the other's rotor", "hardly ever the rotor"),
        (
            "brakes/cable-disc-set-up",
            {"cupped_washers": "yes"},
            "a dome in a cup",
            "Set the fixed pad first, the moving",
        ),
        (
            "bearings/torque-tool-needed",
            {"overdo_ask": "yes"},
            "are easily overdone",
            "For carbon, stems and",
        ),
        (
            "bearings/bottom-bracket-worn",
            {"bracket_noise": "yes"},
            "A noise alone doesn't condemn it",
            "eccentric",
        ),
        (
            "bearings/bottom-bracket-worn",
            {"bracket_noise": "yes", "tandem_crew": "yes"},
            "sit in an eccentric",
            "tell me how far they move",
        ),
        (
            "frame-fit/saddle-tips",
            {"clamp_bolt_broke": "broke"},
            "Don't ride it until",
            "Take the clamp apart",
        ),
        (
            "frame-fit/axle-mix",
            {"hub_axle": "end-caps", "fork_spread": "spread"},
            "don't spring a fork open",
            "Yes, if diameter",
        ),
        ("frame-fit/saddle-comfort", {"doctor_told": "yes"}, "Ask your doctor first", "before you buy; the"),
        ("frame-fit/dropout-damage", {"motor_axle": "yes"}, "mustn't turn or rock", "the limit screws"),
        (
            "frame-fit/bar-width-and-position",
            {"cables_on_new_bar": "yes"},
            "Hang the old cables on",
            "bony points",
        ),
        ("frame-fit/cracked-fork", {"stem_crack": "cracked"}, "stem taken off", "Have the fork taken out"),
        ("frame-fit/paint-bubbles", {"rust_hole": "yes"}, "where there is a hole", "prime and paint"),
        (
            "frame-fit/rubbed-frame",
            {"carbon_rubbed": "yes"},
            "cut fibres aren't",
            "clear lacquer against salt",
        ),
        (
            "frame-fit/stem-slips-or-crooked",
            {"stem_came_loose": "yes"},
            "comes loose by itself",
            "The fall is the real matter",
        ),
        (
            "frame-fit/bar-width-and-position",
            {"lever_place": "yes"},
            "beside the stem is only a second place",
            "bony points",
        ),
        (
            "frame-fit/post-stuck",
            {"seatpost_material": "carbon"},
            "may be sacrificed",
            "Aluminium post in steel",
        ),
        ("bearings/headset-loose", {"star_nut": "trouble"}, "it can't be pulled up", "expanding plug turns"),
        (
            "drivetrain/front-derailleur",
            {"front_short": "small"},
            "what stops the cage then is the fault",
            "won't climb to the big ring",
        ),
        (
            "drivetrain/front-derailleur",
            {"front_short": "large"},
            "If it reaches by hand, the derailleur is sound",
            "doesn't reach the smallest ring",
        ),
        (
            "drivetrain/front-derailleur",
            {"front_lever": "triple", "front_short": "large"},
            "use its first two positions",
            "If it reaches by hand",
        ),
        ("drivetrain/front-derailleur", {"front_trim": "yes"}, "it changes no ring", "limit screw"),
        (
            "drivetrain/adjusting-rear-gears",
            {"rear_sluggish": "yes"},
            "mean drag, not adjustment",
            "So start without the cable's help",
        ),
        (
            "cranks/clipless-pedals",
            {"cleat_trouble": "held"},
            "the cleat lifts out at that end",
            "Start with the cleat under",
        ),
        (
            "cranks/power-meter",
            {"left_share_pct": 53},
            "100 over 106, or about 94 %",
            "Zero it before the ride",
        ),
        (
            "cranks/chainring-bolt-circle",
            {"new_bolt_circle_mm": 130, "smallest_ring_teeth": 36},
            "on a 130 mm circle the smallest ring has 38 teeth",
            "Measure between two neighbouring bolts; that",
        ),
        (
            "cranks/chainring-bolt-circle",
            {"new_bolt_circle_mm": 130, "smallest_ring_teeth": 39},
            "Measure between two neighbouring bolts; that",
            "Not on that crank",
        ),
        (
            "drivetrain/gears-for-hills",
            {"smallest_ring_teeth": 34, "old_largest_sprocket_teeth": 27, "new_largest_sprocket_teeth": 29},
            "in place of 27 teeth is 7 % lower",
            "a real step",
        ),
        (
            "drivetrain/chain-broke",
            {"broke_at_home": "home"},
            "for as many speeds as the cassette",
            "Get off the road",
        ),
    ],
)
def test_what_was_told_is_taken_up(
    knowledge: Knowledge, brief: str, told: Mapping[str, object], said: str, left_out: str
) -> None:
    answer = " ".join(reply(knowledge, brief, told).split())

    assert said in answer
    assert left_out not in answer

"""What a rider told of tyres, wheels, chains and the bicycle's use is taken up by the answer."""

from __future__ import annotations

from collections.abc import Mapping

import pytest

from knowledge.base import Knowledge
from tests.triage.test_told_beside_a_no import reply


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
    ],
)
def test_what_was_told_is_taken_up(
    knowledge: Knowledge, brief: str, told: Mapping[str, object], said: str, left_out: str
) -> None:
    answer = " ".join(reply(knowledge, brief, told).split())

    assert said in answer
    assert left_out not in answer

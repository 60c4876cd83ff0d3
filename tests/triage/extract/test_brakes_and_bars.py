"""What riders say of brakes, cables, headsets and bars, and what only sounds like it."""

from __future__ import annotations

import pytest

from knowledge.base import Knowledge
from triage.extract import Finder


def values(knowledge: Knowledge, text: str, name: str) -> list[object]:
    return [detail.value for detail in Finder(knowledge).find(text)[0] if detail.name == name]


@pytest.mark.parametrize(
    ("text", "name", "told"),
    [
        # What can't be mended is no fixed wheel.
        ("They say the brake can't be fixed. Is there really no fix?", "drive_kind", []),
        ("I fixed the cable myself and it works.", "drive_kind", []),
        ("I ride fixed through town.", "drive_kind", ["fixed"]),
        ("It is a fixed-gear bike with one brake.", "drive_kind", ["fixed"]),
        ("Turning right yanks on the rear cable.", "cable_room", ["tight"]),
        ("The bars turn freely and no cable pulls.", "cable_room", []),
        ("The cantilever stud has sheared off the stay.", "brake_stud_off", ["off"]),
        ("There is a crack beside the brake boss.", "brake_stud_off", []),
        ("The calliper moved when I braked hard.", "calliper_moved", ["moved"]),
        ("The calliper is bolted tight.", "calliper_moved", []),
        ("I moved the calliper to the left.", "calliper_moved", []),
        ("What holds the outer while the tape is off?", "cable_on_the_bar", ["bar"]),
        ("My cables are too short, do I need new bar tape?", "cable_on_the_bar", []),
        ("My star nut fell down the steerer.", "star_nut", ["trouble"]),
        ("How deep does a star nut go after cutting?", "star_nut", []),
        ("Both nuts of the threaded headset turned together.", "headset_kind", ["threaded"]),
        ("Is the big nut on top done up by hand or by spanner?", "headset_kind", ["threaded"]),
        ("The headset is a threadless one, 28.6 mm.", "headset_kind", ["threadless"]),
        ("The fork rocks a little when I brake.", "headset_kind", []),
        ("How hard is the nut over the bearing done up?", "headset_kind", ["threaded"]),
        ("The star nut has slipped down.", "headset_kind", ["threadless"]),
        ("There's a grinding noise from the motor of my pedelec.", "motor_noise", ["yes"]),
        ("The noise isn't coming from the motor.", "motor_noise", []),
        ("The motor is fine and the chain makes a noise.", "motor_noise", []),
        ("Which rack takes the least space and needs no screws?", "storage_space", ["tight"]),
        ("Where do I put the bike for the winter?", "storage_space", []),
        ("There's some friction in the steering since the new stem.", "steering_binds", ["binds"]),
        ("The brake rubs for a turn of the wheel.", "steering_binds", []),
        ("The pads look glazed or contaminated.", "contaminated_brake_part", ["pads"]),
        ("There is oil on the rim, I think.", "contaminated_brake_part", ["rim"]),
        ("The drum brake keeps sticking on in the cold.", "hub_brake_slow", ["slow"]),
        ("I'm going from flat to drop bars.", "bars_to_drops", ["drops"]),
        ("My drop bars are too wide.", "bars_to_drops", []),
        ("The wheel drags and the lever hangs slack.", "brake_stays_on", ["on"]),
        ("The brake doesn't drag.", "brake_stays_on", []),
        ("It rubs once per revolution.", "rub_pattern", ["once"]),
        ("I spin it and the wheel stops dead.", "rub_pattern", ["steady"]),
        ("I stop at each traffic light.", "rub_pattern", []),
        ("It weaves when I ride slowly.", "wobble_pace", ["slow", "slow"]),
        ("It swings on every descent.", "wobble_pace", ["fast"]),
        ("The bolt of my saddle snapped; it was a broken bolt.", "clamp_bolt_broke", ["broke"]),
        ("Will the bolt break if I pull harder?", "clamp_bolt_broke", []),
        ("Can I spread the fork by 5 mm for it?", "fork_spread", ["spread"]),
        ("The fork is spread evenly with grease.", "fork_spread", []),
        ("There is a crack on the stem.", "stem_crack", ["cracked"]),
        ("A rust hole under the paint.", "rust_hole", ["yes"]),
        ("The bolt hole is tight.", "rust_hole", []),
        ("The cable saws into the carbon.", "carbon_rubbed", ["yes"]),
        ("I ride a carbon road bike.", "carbon_rubbed", []),
        ("Both brakes from one lever, please.", "one_handed", ["one-hand"]),
        ("One lever is stiff.", "one_handed", []),
        # A hill's length is not its height, nor a number of bolts an angle or a torque.
        ("Every day a 2-mile descent with a drum brake.", "descent_height_m", []),
        ("The descent of 5 km makes the hub hot.", "descent_height_m", []),
        ("The descent of 700 m makes the hub hot.", "descent_height_m", [700.0]),
        ("The descent drops 1.2 km.", "descent_height_m", [1200.0]),
        ("How hard do I pull the 2 stem bolts?", "stem_angle_deg", []),
        ("I changed 3 stems already.", "stem_angle_deg", []),
        ("My stem is 6 degrees.", "stem_angle_deg", [6.0]),
        ("I fitted 2 torque arms.", "torque_n_m", []),
        ("I set the torque to 5 on the 4 stem bolts.", "torque_n_m", [5.0]),
        ("There is a crack in the fork, the stem is fine.", "stem_crack", []),
    ],
)
def test_what_is_said_is_found_and_nothing_else(
    knowledge: Knowledge, text: str, name: str, told: list[str]
) -> None:
    assert values(knowledge, text, name) == told

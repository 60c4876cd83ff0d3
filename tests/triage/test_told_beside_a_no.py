"""A step or a promise doesn't go against what the answer above it says."""

from __future__ import annotations

from collections.abc import Mapping

import pytest

from knowledge.base import Knowledge
from knowledge.phrases import load_phrases
from tests.asked import asked, found
from triage.draft import draft


def reply(knowledge: Knowledge, brief: str, told: Mapping[str, object]) -> str:
    (made,) = draft([found(asked(brief, told), knowledge)], knowledge, load_phrases(), 150.0)
    assert made.reply is not None
    return made.reply


@pytest.mark.parametrize(
    ("brief", "name", "careful", "plain", "step"),
    [
        ("frame-fit/post-stuck", "frame_material", "carbon", "steel", "bench vice"),
        ("frame-fit/post-stuck", "frame_material", "carbon", "steel", "cool the post"),
        ("frame-fit/post-stuck", "frame_material", "steel", "carbon", "inspected before anybody rides"),
        ("bearings/stripped-thread-insert", "bolt_place", "steering-or-brake", "accessory", "Drill straight"),
        ("bearings/hub-axle-and-cones", "hub_fault", "axle", "cones", "Before any further ride"),
    ],
)
def test_a_step_is_left_out_where_the_answer_forbids_it(
    knowledge: Knowledge, brief: str, name: str, careful: str, plain: str, step: str
) -> None:
    assert step not in reply(knowledge, brief, {name: careful})
    assert step in reply(knowledge, brief, {name: plain})


def test_a_clamp_on_stem_is_told_off_a_threaded_steerer(knowledge: Knowledge) -> None:
    assert "Not straight onto a threaded steerer" in reply(
        knowledge, "frame-fit/quill-stem", {"stem_conversion": "threadless"}
    )


def test_a_promise_says_what_is_asked(knowledge: Knowledge) -> None:
    assert "We'll ask a builder what the repair costs" in reply(
        knowledge, "frame-fit/cracked-metal-frame", {}
    )


@pytest.mark.parametrize(
    ("brief", "told", "said", "left_out"),
    [
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
    ],
)
def test_the_answer_takes_up_what_was_told(
    knowledge: Knowledge, brief: str, told: Mapping[str, object], said: str, left_out: str
) -> None:
    answer = " ".join(reply(knowledge, brief, told).split())

    assert said in answer
    assert left_out not in answer

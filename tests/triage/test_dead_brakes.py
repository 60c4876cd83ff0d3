"""A brake that doesn't work at all is told off first, whatever kind it is and however it is said."""

from __future__ import annotations

from collections.abc import Mapping

import pytest

from knowledge.base import Knowledge
from knowledge.phrases import load_phrases
from tests.asked import asked, found, reply
from triage.dead_brakes import tells_of_a_dead_brake
from triage.draft import draft
from triage.split.flags import flags_of


@pytest.mark.parametrize(
    "text",
    [
        "the coaster brake of her little bike has packed up, and the holidays begin on friday",
        "my boy's bike has one brake, in the pedals. since the puncture it does nothing",
        "the front brake doesn't work any more, new cable or new calliper?",
        "his brakes won't stop him any more, he uses his shoes",
        "hydraulic brake has given up completely at the back",
        "she pedals backwards and nothing happens, though the bike has a back-pedal brake",
        "the cranks just turn backwards with no resistance where the brake used to bite",
        "i squeeze the left brake lever and nothing happens",
        "we have no brakes at all on the hire tandem",
        "i put a new inner in the rear brake and it still does nothing",
        "one dead brake on a tricycle, is the other one enough",
        "the roller brake is not working, school run at eight",
    ],
)
def test_a_brake_that_does_nothing_is_dead(message, text: str) -> None:
    assert tells_of_a_dead_brake(text)
    assert {"danger", "urgent"} <= set(flags_of(message(text)))


@pytest.mark.parametrize(
    "text",
    [
        "the brake light of my e-bike has stopped working",
        "the gears have packed up, the brakes are as good as new",
        "rear light doesn't work any more since i fitted the brake cable",
        "my front brake stopped working in may, the shop mended it and now the lever is heavy",
        "the back brake did nothing, so i changed the cable and it works again",
        "the brakes don't work as well as they did",
        "the brake won't stop squealing",
        "what do i do if the brake stops working on a hill?",
        "the pads of that brake are nearly gone",
        "the spring clip of my brake has gone",
        "brake cleaner does nothing for the noise",
        "i sanded the pads of the front brake and that did nothing for the squeal",
        "the motor has stopped working, both brakes are fine",
    ],
)
def test_something_else_that_failed_or_a_brake_put_right_is_no_dead_brake(text: str) -> None:
    assert not tells_of_a_dead_brake(text)


@pytest.mark.parametrize(
    ("brief", "told"),
    [
        ("brakes/drum-and-coaster", {"hub_brake": "coaster"}),
        ("brakes/drum-and-coaster", {"hub_brake": "drum"}),
        ("brakes/drum-and-coaster", {}),
        ("brakes/weak-rim-brakes", {}),
        ("brakes/rim-brake-set-up", {"brake_kind": "direct-pull"}),
        ("brakes/cable-disc-set-up", {}),
        ("brakes/stiff-cable", {}),
        ("brakes/spongy-lever", {}),
        ("brakes/sticking-pistons", {}),
        ("brakes/upside-down", {}),
        ("brakes/bedding-in", {}),
        ("brakes/descent-fade", {}),
        ("brakes/lever-to-bar", {}),
        # Where the brief has no stop of its own, one is put before its headline.
        ("brakes/rotor-rub", {}),
        ("brakes/disc-squeal", {}),
    ],
)
def test_a_dead_brake_is_told_off_before_anything_else(knowledge, brief, told) -> None:
    assert first_words(knowledge, brief, {**told, "brake_gone": "gone"}).startswith("Don't ride")


@pytest.mark.parametrize("brief", ["brakes/drum-and-coaster", "brakes/cable-disc-set-up", "brakes/rotor-rub"])
def test_a_brake_that_still_works_is_explained(knowledge, brief) -> None:
    assert not first_words(knowledge, brief, {}).startswith("Don't ride")


def first_words(knowledge: Knowledge, brief: str, told: Mapping[str, object]) -> str:
    """What the reply begins with, behind its greeting."""
    return reply(knowledge, brief, told).split("\n\n")[1]


@pytest.mark.parametrize(
    ("text", "is_stopped"),
    [
        ("The coaster brake of my three-speed does nothing any more. Is it the gears?", True),
        ("The gears slip. By the way, which oil?", False),
    ],
)
def test_a_dead_brake_is_told_off_in_whichever_topic_it_lands(knowledge, text: str, is_stopped: bool) -> None:
    finding = found(asked("drivetrain/hub-gear-trouble", {"brake_gone": "gone"}, text), knowledge)
    (made,) = draft([finding], knowledge, load_phrases(), 150.0)
    assert (made.headline or "").startswith("Don't ride it until that brake works") == is_stopped

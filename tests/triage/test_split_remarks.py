"""Remarks that ask nothing, theories, and what an ask without a part of its own is about."""

from __future__ import annotations

import pytest

from triage.split import split
from triage.split.asking import is_ask
from triage.trade_words import asks_about_a_bicycle


@pytest.mark.parametrize(
    ("sentence", "asks"),
    [
        # Who leaves out "I" tells; who turns the words round asks.
        ("was certain the rim had gone.", False),
        ("was my mechanic right about the rim.", True),
        ("were lucky to stop in time at the lights.", False),
        ("did a lap of the car park and nothing rattled.", False),
        ("did the shop fit the wrong hub then.", True),
        # What is more, or what with, tells on.
        ("what's more, the rim is new.", False),
        ("what is more i kept the old hub.", False),
        ("what's more likely to fail, the rim or the hub.", True),
        ("what with the rain and the salt the chain went.", False),
        # A wish to know is an ask, however it is worded.
        ("i wonder though if the rim will hold.", True),
        ("i do wonder how long the pads have left.", True),
        ("i wonder at the view.", False),
        ("will the tube hold, i ask myself.", True),
        ("i read your page but would like to find out if a longer bolt exists.", True),
        ("they wanted to find out if it rained.", False),
        # A statement stays one where "are the" stands behind its subject.
        ("these tyres are the only ones that work with my rims.", False),
        ("my mate and i can't agree, are the rims safe", True),
        ("is the tube ok after that", True),
        ("after a fall from the rack is the fork still safe", True),
        ("these rims are the widest ones that the maker calls safe, which i like.", False),
        # A smile in brackets asks nothing, a worry does.
        ("it was over forty degrees in the shed (when was that? did i sleep through it?)", False),
        ("i let them down to two bar (is that safe?)", True),
        ("i let them down to two bar (did i do it wrong?)", True),
        ("the bead came off on a bend (who mends such a rim?)", True),
        ("i pulled the wheel out (since what else is there to do on a wet day?) and looked at it.", False),
    ],
)
def test_a_remark_asks_nothing_and_a_worry_does(sentence: str, asks: bool) -> None:
    assert is_ask(sentence) is asks


@pytest.mark.parametrize(
    ("text", "asks"),
    [
        # A title has the part that the ask doesn't name.
        (
            "Carbon bars\nI rode into a gate last week. Can there be harm that nobody sees?",
            ["Carbon bars I rode into a gate last week. Can there be harm that nobody sees?"],
        ),
        # Numbered with a comma, an ask that ends in a full stop is one.
        (
            "I have questions.\n\n1, Are wide rims any use on a tandem. They cost more.\n\n2, Will the brake callipers open far enough?",
            [
                "1, Are wide rims any use on a tandem.",
                "2, Will the brake callipers open far enough?",
            ],
        ),
        # The writer's own ideas, counted below the ask, belong to it.
        (
            "The cog won't come off the hub. How do I get it loose?\n\n"
            "Things I thought of:\n1) more heat\n2) is there a tool that bites the cog?",
            ["The cog won't come off the hub. How do I get it loose? 2) is there a tool that bites the cog?"],
        ),
        # "Is it possible to" points at nothing, and a new part in a new paragraph is another matter.
        (
            "Which tyre is quiet on tarmac?\n\nIs it possible to fit a longer valve to a tube?",
            ["Which tyre is quiet on tarmac?", "Is it possible to fit a longer valve to a tube?"],
        ),
        (
            "Which tyre is quiet on tarmac?\n\nIs it possible to say how long it lasts?",
            ["Which tyre is quiet on tarmac? Is it possible to say how long it lasts?"],
        ),
        # A short ask that closes a story of its own is about that.
        (
            "Which tyre is quiet on tarmac?\n\nThe grips won't slide on for me. I've pushed until my hands hurt. What's the trick?",
            [
                "Which tyre is quiet on tarmac?",
                "The grips won't slide on for me. I've pushed until my hands hurt. What's the trick?",
            ],
        ),
        # A word between two marks is doubted, and asks nothing.
        (
            "The ?pawl? clicks when I stand up on the pedals. Should I open the hub?",
            ['The "pawl" clicks when I stand up on the pedals. Should I open the hub?'],
        ),
        # Without a part of its own an "also" asks on.
        (
            "Can I buy the clamps for a rack at a hardware shop? They're dear here. Also, which clamps and where do they go?",
            [
                "Can I buy the clamps for a rack at a hardware shop? Also, which clamps and where do they go?",
            ],
        ),
        (
            "Can I buy clamps for a rack at a hardware shop? Also, which chain is the quietest?",
            [
                "Can I buy clamps for a rack at a hardware shop?",
                "Also, which chain is the quietest?",
            ],
        ),
        # A wish, what it comes down to, and a recommendation of the same are one.
        (
            "I am trying to work out which hub to take. Will a wide hub fit my frame? Can anyone recommend a hub that would do?",
            [
                "I am trying to work out which hub to take. Will a wide hub fit my frame? Can anyone recommend a hub that would do?",
            ],
        ),
        (
            "Will a wide hub fit my frame? Can anyone recommend a saddle for long days?",
            ["Will a wide hub fit my frame?", "Can anyone recommend a saddle for long days?"],
        ),
        # A theory between two asks is asked about with them.
        (
            "Is it usual for a pedal to come undone? I reckoned that freewheeling turns it the wrong way. "
            "Could it be that, or was the pedal never tight?",
            [
                "Is it usual for a pedal to come undone? I reckoned that freewheeling turns it the wrong way. "
                "Could it be that, or was the pedal never tight?",
            ],
        ),
        # "These" are what was named right before.
        (
            "May I file the bent teeth of my chainring? All the spares I can find have 50. These will do, right?",
            [
                "May I file the bent teeth of my chainring? All the spares I can find have 50. These will do, right?",
            ],
        ),
    ],
)
def test_what_an_ask_is_about_stays_with_it(message, text: str, asks: list[str]) -> None:
    assert [question.text for question in split([message(text)])] == asks


@pytest.mark.parametrize(
    ("ask", "asks"),
    [
        ("Do they make really narrow blue road bike saddles, and who would have one?", True),
        ("Do they make good coffee at your place?", False),
    ],
)
def test_whether_a_part_is_made_at_all_asks_about_a_bicycle(ask: str, asks: bool) -> None:
    assert asks_about_a_bicycle(ask, "") is asks


@pytest.mark.parametrize(
    "text",
    [
        "My rear hub makes a cracking sound as it turns. What could it be?",
        "There's a crackling noise from the front wheel when I roll. Any ideas?",
    ],
)
def test_a_cracking_that_is_only_heard_is_no_crack(message, text: str) -> None:
    assert "danger" not in split([message(text)])[0].flags


@pytest.mark.parametrize(
    "text",
    [
        "Can an e-bike's battery be submerged? I want to cross a ford.",
        "Rain got on the battery's case. Is it ok to wipe it?",
        "The motor stops by itself after ten minutes. Why?",
        "My motor won't stop working if I ride in the rain, will it?",
        "The display comes on by itself at night. Is it the switch?",
    ],
)
def test_a_drive_that_only_stops_or_a_battery_that_may_get_wet_is_no_danger(message, text: str) -> None:
    assert "danger" not in split([message(text)])[0].flags

"""What is set aside, and what is not although it looks like chatter."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from triage.records import Message, Question
from triage.sift import (
    LEAST_OUTSIDE,
    LEAST_OUTSIDE_FOR_AN_ASK,
    LEAST_OUTSIDE_OF_A_BICYCLES_PART,
    MOST_OUTSIDE_OF_TROUBLE,
    MOST_OUTSIDE_OF_WHAT_IS_SURE,
    SURE_OF_ITS_BRIEF,
    sift,
)
from triage.sorter.sorter import Labels, Sorted
from triage.trade_words import asks_about_a_bicycle, speaks_of_a_bicycle, speaks_of_another_vehicle

LABELS = Labels(
    ["chatter/praise", "tyres/rim-width"], ["chatter", "tyres"], np.array([0, 1]), np.array([True, False])
)


def sifted(
    message: Message,
    text: str,
    outside: float,
    *,
    context: str = "",
    is_ask: bool = True,
    flags: tuple[str, ...] = (),
    kind: str = "chatter/banter",
    chance: float = 0.5,
) -> Question:
    question = Question("q", message, text, context, is_ask, flags)
    labels = replace(LABELS, names=[kind, *LABELS.names[1:]])
    chances = Sorted(labels, np.array([[0.0, chance]]), np.array([outside]), np.array([[outside]]))
    return sift([question], chances)[0]


@pytest.mark.parametrize(
    ("text", "context", "outside", "kept"),
    [
        ("How do I stop the rotor rubbing?", "", LEAST_OUTSIDE_FOR_AN_ASK - 0.05, True),
        ("How do I stop the rotor rubbing?", "", LEAST_OUTSIDE_FOR_AN_ASK + 0.05, False),
        ("What is the best way to get it home?", "A spoke broke on me.", LEAST_OUTSIDE + 0.2, True),
        ("I give up, any ideas?", "The left pedal won't budge.", LEAST_OUTSIDE + 0.2, True),
        ("Has anyone an answer for me?", "The hub lets go in second gear.", LEAST_OUTSIDE + 0.2, True),
        (
            "Would you agree that it's too small?",
            "He tried a bike with 20 inch wheels.",
            LEAST_OUTSIDE + 0.2,
            True,
        ),
        ("When should a child get gears?", "She rides her bike to school.", LEAST_OUTSIDE + 0.2, True),
        ("When is the next bike race on the telly?", "", LEAST_OUTSIDE + 0.05, False),
        ("Would you agree to an interview?", "It's for our club paper.", LEAST_OUTSIDE + 0.05, False),
        ("Any ideas for a birthday present?", "My uncle turns 60.", LEAST_OUTSIDE + 0.2, False),
        ("How do I get tickets for the live show?", "", LEAST_OUTSIDE + 0.05, False),
        ("Nice bike, where did you get that jumper?", "", LEAST_OUTSIDE + 0.05, False),
        (
            "You said on Monday that cleats let go by themselves. Do toe clips and cleats open in a fall?",
            "",
            LEAST_OUTSIDE + 0.2,
            True,
        ),
        ("Are those wheels behind you for sale?", "", LEAST_OUTSIDE + 0.05, False),
    ],
)
def test_it_takes_more_to_set_aside_what_asks_about_a_bicycle(
    message: Callable[..., Message], text: str, context: str, outside: float, kept: bool
) -> None:
    assert sifted(message(text), text, outside, context=context).is_question == kept


@pytest.mark.parametrize(
    ("text", "is_another"),
    [
        ("What pressure for our van tyres?", True),
        ("Pram wheel squeaks, which oil?", True),
        ("Can I fill my tubeless rims with a car tyre pump?", False),
        ("The car tyre ran over my bike, is the wheel scrap?", False),
        ("I drive with the wheels on the car roof, do the rims suffer?", False),
        ("The scooter won't move since I put new batteries in, is it the fuse?", True),
        ("My clutch pedal sticks to the floor, how do I free it?", True),
        ("My left pedal sticks, how do I free it?", False),
        ("Flat tyre, and the wheel trim won't come off, where do I pry?", True),
        ("My bike's aero wheel cover rubs on the spokes, where do I trim it?", False),
        ("A scooter ran into my wheel, can it be trued?", False),
        ("My 650 cc twin fell over, all 200 kg of motorcycle. Are the handlebars still straight?", True),
        ("A 40 hp one has a hairline in its housing, who welds that?", True),
        ("I put 125 cc of sealant into the wheel, too much?", False),
    ],
)
def test_wheels_of_other_vehicles_are_set_aside_unless_the_sorter_is_sure(
    message: Callable[..., Message], text: str, is_another: bool
) -> None:
    assert speaks_of_another_vehicle(text, "") == is_another
    assert sifted(message(text), text, 0.05).is_question == (not is_another)
    assert sifted(message(text), text, 0.01).is_question


@pytest.mark.parametrize(("outside", "taken_up"), [(0.04, True), (0.07, True), (0.2, False)])
def test_trouble_told_without_an_ask_is_taken_up(
    message: Callable[..., Message], outside: float, taken_up: bool
) -> None:
    text = "My rear derailleur drops into the spokes on every climb."

    found = sifted(message(text), text, outside, is_ask=False)

    assert found.is_question == taken_up
    assert ("no-ask-stated" in found.flags) == taken_up


@pytest.mark.parametrize(
    ("text", "kept"),
    [
        (
            "We toured on old tyres. Are these two any good? Should I buy new ones? And what about a spare?",
            True,
        ),
        ("We toured on old tyres. Are these two any good? Lovely hills though.", False),
        ("Who won today? Should I buy a scarf? What did the speaker say?", False),
    ],
)
def test_who_asks_thrice_about_a_part_tells_no_tale(
    message: Callable[..., Message], text: str, kept: bool
) -> None:
    assert sifted(message(text), text, 0.95).is_question == kept


@pytest.mark.parametrize(
    ("text", "taken_up"),
    [
        (
            "Eleven spokes gone in a fortnight, and a man in a shed has laced us a new wheel. What a hero!",
            False,
        ),
        ("New rim, new spokes, and the wheel is back on the road.", False),
        ("Eleven spokes gone in a fortnight, and the wheel is out of true again.", True),
    ],
)
def test_what_has_been_mended_is_told_and_not_asked(
    message: Callable[..., Message], text: str, taken_up: bool
) -> None:
    assert sifted(message(text), text, 0.02, is_ask=False).is_question == taken_up


@pytest.mark.parametrize("text", ["my bottom bracket clicks", "Seat tube, 27.2", "two tyres", "the e-bike"])
def test_the_words_of_the_trade_are_known(text: str) -> None:
    assert speaks_of_a_bicycle(text)


@pytest.mark.parametrize(
    "text", ["a story about my dog", "tired of it all", "barbecue on Sunday", "a rimless frame of mind"]
)
def test_what_only_looks_like_a_word_of_the_trade_is_left(text: str) -> None:
    assert not asks_about_a_bicycle(text, "")


@pytest.mark.parametrize(
    ("text", "is_ours"),
    [
        ("My van's gearbox whines in fourth, any ideas?", False),
        ("How do I fix the strap on my car's roof to carry a bike?", True),
        ("The car's door hit my derailleur, is it bent?", True),
        ("Our car's brakes squeal, pads or discs?", False),
        ("Can I use the car's tyre compressor to seat a tubeless tyre?", True),
        ("Will a 29er wheel go in my car's boot?", True),
        ("My van's roof bars scratched my top tube, is that a crack?", True),
        ("My car's clutch oil in my freehub, is that fine?", True),
        ("How do I stop the rotor rubbing?", True),
    ],
)
def test_the_parts_of_other_vehicles_are_set_aside(
    message: Callable[..., Message], text: str, is_ours: bool
) -> None:
    """Where the sorter is fairly sure, a van's gearbox is not ours all the same; a bicycle on a car is."""
    assert sifted(message(text), text, 0.04).is_question is is_ours


def test_whether_you_are_normal_asks_about_no_bicycle() -> None:
    assert not asks_about_a_bicycle("My wheels are true. Are you quite normal, my wife says?", "")


def test_a_bare_wish_for_a_recommendation_is_of_its_story() -> None:
    """ "Is there anything you can recommend?" asks about the bicycle that the story tells of, and about nothing without one."""
    ask = "Is there anything you can recommend?"

    assert asks_about_a_bicycle(ask, "I bought a bare frame and build it up this winter.")
    assert not asks_about_a_bicycle(ask, "I bought a cake.")


@pytest.mark.parametrize(
    ("text", "is_ours"),
    [
        ("Hub caps off, the rotors were warped after the hill.", False),
        ("The rear tyre of my old motorbike is cracked and the brake drags.", False),
        ("Two flats in a month on the moped, and the brake drags.", False),
        ("My motorcycle chain lube is on the brake, and it squeals.", True),
        ("Gearbox oil is what I have in the shed for the chain, and it drags.", True),
        ("The gas tank bag on my top tube rubs, and the stem creaks.", True),
        ("The bolt came from my motorcycle, the derailleur rattles since.", True),
        ("An automatic transmission doesn't save the brakes on a long hill.", False),
        ("My hub cap fell off and the spokes creak.", True),
        ("The rotors were warped after the long hill.", True),
        ("The emergency brake on my kit's lever doesn't cut the motor, and it drags.", True),
    ],
)
def test_what_only_a_car_has_tells_whose_rotors_they_are(
    message: Callable[..., Message], text: str, is_ours: bool
) -> None:
    assert sifted(message(text), text, 0.04, is_ask=False).is_question is is_ours


@pytest.mark.parametrize(
    ("text", "taken_up"),
    [
        ("front wheel has play", True),
        ("brakes squeak", True),
        ("new wheels day", False),
        ("it squeaks", False),
        ("my hub gear is not working….", True),
        ("my phone is not working", False),
    ],
)
def test_a_few_words_are_taken_up_where_they_name_a_part_and_its_trouble(
    message: Callable[..., Message], text: str, taken_up: bool
) -> None:
    assert sifted(message(text), text, 0.01, is_ask=False).is_question is taken_up


@pytest.mark.parametrize(
    ("text", "is_told"),
    [
        ("The chain clacks even when I push it with the engine switched off, worn sprocket?", True),
        ("It rattles until I start the engine, is it the chain?", True),
        ("The passenger-side front tyre lost air over a rock, is the rim bent?", True),
        ("I put the key in the ignition and it turned over once, is it the battery?", True),
        (
            "The pedal moves but no gear engages, though only while it runs; it's fine when the engine isn't running. Why?",
            True,
        ),
        ("My tandem's passenger clicks on her side, pedal or crank?", False),
        ("How do I kickstart my training, and which chain lasts?", False),
        ("Which roof rack takes two bikes on a 4x4?", False),
        ("My electric bike has an ignition key and stays dead, battery?", False),
        ("I'm the engine on a tandem, which chain lasts longest?", False),
        ("Does engine oil on a chain do any harm?", False),
        ("My e-bike clicks with the motor off, is it the chain?", False),
        ("On my pedelec the pedals fall into a hole, also when the engine is off. Hub or chain?", False),
        ("Beside my e-bike I own a motorcycle, and its chain clacks with the engine off. Too slack?", True),
        ("After 18,000 miles driven on these pads the front grinds. What could that be?", True),
        ("I drove home with the bike in the boot, and the pads grind since. Why?", False),
        ("The front wheel shook on the motorway until I eased off the throttle, is it the tyre?", True),
        ("My trike's motor surges when I open the throttle, battery or hub?", False),
        ("The dealer changed my motorcycle tires and the rear brake is spongy now. Did they do that?", True),
        ("New 520 pitch chain and it's four inches short. What did I do wrong?", True),
        ("Is my motorcycle chain lube too thick for a derailleur's chain?", False),
        ("My motorcycle never squeals, so why does my bicycle's disc?", False),
        ("Fitted a 100/90-19 in front and it wobbles, is it the rim?", True),
        ("A car rolled into it while it was parked on the stand and in gear. Is the fork bent?", True),
        ("A car rolled into it where I'd left it in the lowest gear. Is the fork bent?", False),
        ("Pumped to 90/95 - 15 psi less than the tyre says. Is the tyre at risk?", False),
        ("My motorcycle mechanic says grease on the bottom bracket's threads. Is he right?", False),
        ("The wheels lay in the heat until I put them back in my car. Is the carbon rim harmed?", False),
        (
            "After 300 miles of driving with the wheel on the roof the tyre is soft. Is the rim leaking?",
            False,
        ),
        ("Is 28-622 at 80/100 psi the same tyre as 700x28?", False),
        (
            "Power steering fluid dripped on a front rotor and its pads. Will they ever brake right again?",
            True,
        ),
        ("A spark plug socket is all I have; will it undo the nut of my bottom bracket?", False),
        ("Something drips on the disc since the windscreen was changed. Are the pads spoilt?", True),
        ("Scratches in the windscreen of my velomobile, can they be polished out?", False),
    ],
)
def test_what_has_an_engine_that_runs_is_set_aside_however_sure_the_sorter_is(
    message: Callable[..., Message], text: str, is_told: bool
) -> None:
    assert sifted(message(text), text, 0.0).is_question == (not is_told)


def test_a_throttle_tells_whose_wobble_it_is_where_nothing_is_asked(message: Callable[..., Message]) -> None:
    text = "At speed the front wheel shook like mad, and I could only roll off the throttle and pray."

    assert not sifted(message(text), text, 0.0, is_ask=False).is_question
    assert sifted(
        message(text), text.replace("roll off the throttle", "brake"), 0.0, is_ask=False
    ).is_question


@pytest.mark.parametrize(
    ("text", "is_ours"),
    [
        ("I am rebuilding a 1974 Italian motorcycle, what takes the rust off its rims?", False),
        ("We bought an old moped for the island. Which grease for its hubs?", False),
        ("I bought a motorcycle chain cleaner, will it hurt the rims and seals?", True),
        ("I ride a motorcycle too, but why does the derailleur of my other one rattle?", True),
    ],
)
def test_a_motorcycle_that_is_worked_on_is_none_of_ours_however_its_rust_looks(
    message: Callable[..., Message], text: str, is_ours: bool
) -> None:
    assert sifted(message(text), text, 0.001).is_question is is_ours


@pytest.mark.parametrize(("outside", "taken_up"), [(0.2, True), (0.5, True), (0.7, False)])
def test_a_danger_that_is_only_told_is_taken_up(
    message: Callable[..., Message], outside: float, taken_up: bool
) -> None:
    text = "Two things from us. The chain is orange, and my daughter's bike has a wobbly stem."

    assert sifted(message(text), text, outside, is_ask=False, flags=("danger",)).is_question == taken_up
    assert not sifted(message(text), text, outside, is_ask=False).is_question


@pytest.mark.parametrize(
    ("outside", "text", "taken_up"),
    [
        (
            MOST_OUTSIDE_OF_TROUBLE - 0.01,
            "It's Mo's second winter, and now the shifter won't turn back.",
            True,
        ),
        (MOST_OUTSIDE_OF_TROUBLE, "It's Mo's second winter, and now the shifter won't turn back.", False),
        (
            MOST_OUTSIDE_OF_TROUBLE - 0.01,
            "It's Mo's second winter, and the shifter is as good as new.",
            False,
        ),
    ],
)
def test_who_tells_of_trouble_and_asks_nothing_asks(
    message: Callable[..., Message], outside: float, text: str, taken_up: bool
) -> None:
    assert sifted(message(text), text, outside, is_ask=False).is_question is taken_up
    assert not sifted(message(text), text, outside, is_ask=False, kind="chatter/price").is_question


@pytest.mark.parametrize(
    ("chance", "outside", "kind", "kept"),
    [
        (SURE_OF_ITS_BRIEF, 0.95, "chatter/praise", True),
        (SURE_OF_ITS_BRIEF, 0.95, "chatter/banter", False),
        (SURE_OF_ITS_BRIEF, LEAST_OUTSIDE_FOR_AN_ASK - 0.01, "chatter/banter", True),
        (SURE_OF_ITS_BRIEF - 0.1, LEAST_OUTSIDE_FOR_AN_ASK - 0.01, "chatter/banter", False),
        (SURE_OF_ITS_BRIEF - 0.1, 0.95, "chatter/praise", False),
        (SURE_OF_ITS_BRIEF, LEAST_OUTSIDE_FOR_AN_ASK - 0.01, "chatter/price", False),
    ],
)
def test_it_takes_more_to_set_aside_who_praises_and_asks_what_is_surely_one_of_ours(
    message: Callable[..., Message], chance: float, outside: float, kind: str, kept: bool
) -> None:
    text = "I liked your piece on judder. Would the booster that you had on your brake be any use on mine?"

    assert sifted(message(text), text, outside, chance=chance, kind=kind).is_question is kept


@pytest.mark.parametrize(
    ("chance", "outside", "text", "taken_up"),
    [
        (
            SURE_OF_ITS_BRIEF,
            MOST_OUTSIDE_OF_WHAT_IS_SURE - 0.01,
            "Second gear of this hub slips, and I hate it.",
            True,
        ),
        (
            SURE_OF_ITS_BRIEF - 0.1,
            MOST_OUTSIDE_OF_WHAT_IS_SURE - 0.01,
            "Second gear of this hub slips, and I hate it.",
            False,
        ),
        (
            SURE_OF_ITS_BRIEF,
            MOST_OUTSIDE_OF_WHAT_IS_SURE,
            "Second gear of this hub slips, and I hate it.",
            False,
        ),
        (
            SURE_OF_ITS_BRIEF,
            MOST_OUTSIDE_OF_WHAT_IS_SURE - 0.01,
            "Second gear of this hub is what I love.",
            False,
        ),
    ],
)
def test_who_curses_a_part_that_is_surely_one_of_ours_asks(
    message: Callable[..., Message], chance: float, outside: float, text: str, taken_up: bool
) -> None:
    assert sifted(message(text), text, outside, is_ask=False, chance=chance).is_question == taken_up


@pytest.mark.parametrize(
    ("text", "taken_up"),
    [
        ("I sawed my old frame open and saw no rust. My conclusion: oil inside the tubes works.", False),
        ("My rims were brown all over. I went at them with foil and vinegar, and it worked a treat.", False),
        ("I oiled both pedals overnight, and it worked well. The left crank still won't come off.", True),
        ("The rear brake squeals. I sanded the pads and it worked well for a week.", True),
        ("Two winters on my drum brakes and no work at all. I'd never go back to a rim brake.", False),
        (
            "My drum brakes howl since winter. They never go back fully and I don't want to go on like it.",
            True,
        ),
        ("The pivots squeak no more since I greased them. Just letting you know.", False),
        ("My pivots squeak, and I came to no end with oil.", True),
        (
            "The old chainset is for sale, all of it for 40 euros, if anyone wants it. Bearings are new.",
            False,
        ),
        ("I bought wheels that were for sale cheap, and the hub of the rear one grinds.", True),
    ],
)
def test_a_report_that_asks_nothing_is_not_taken_up(
    message: Callable[..., Message], text: str, taken_up: bool
) -> None:
    assert sifted(message(text), text, 0.01, is_ask=False).is_question == taken_up


@pytest.mark.parametrize(
    ("text", "flags", "kept"),
    [
        ("The rack's leg snapped off. Superglue?", ("danger", "urgent"), True),
        ("The rack's leg snapped off. Superglue?", (), False),
        ("The weather broke all records. Ice cream?", ("danger", "urgent"), False),
    ],
)
def test_it_takes_more_to_set_aside_what_tells_of_danger(
    message: Callable[..., Message], text: str, flags: tuple[str, ...], kept: bool
) -> None:
    outside = LEAST_OUTSIDE_OF_A_BICYCLES_PART + 0.05
    assert sifted(message(text), text, outside, flags=flags).is_question is kept


@pytest.mark.parametrize(
    ("text", "outside", "kept"),
    [
        ("So my seatpost went again. Wear, or just bad luck?", LEAST_OUTSIDE_OF_A_BICYCLES_PART - 0.05, True),
        (
            "So my seatpost went again. Wear, or just bad luck?",
            LEAST_OUTSIDE_OF_A_BICYCLES_PART + 0.05,
            False,
        ),
        (
            "So my seatpost went again. Wear, or just bad luck.",
            LEAST_OUTSIDE_OF_A_BICYCLES_PART - 0.05,
            False,
        ),
        ("So my boiler went again. Wear, or just bad luck?", LEAST_OUTSIDE_OF_A_BICYCLES_PART - 0.05, False),
        ("Is that saddle behind you for sale?", LEAST_OUTSIDE_OF_A_BICYCLES_PART - 0.05, False),
    ],
)
def test_it_takes_a_little_more_to_set_aside_a_question_that_names_a_part(
    message: Callable[..., Message], text: str, outside: float, kept: bool
) -> None:
    assert sifted(message(text), text, outside).is_question is kept


@pytest.mark.parametrize(("flags", "kept"), [(("danger", "urgent"), True), ((), False)])
def test_who_asks_and_tells_of_a_danger_to_a_bicycle_is_never_set_aside(
    message: Callable[..., Message], flags: tuple[str, ...], kept: bool
) -> None:
    told = message("He rode the tour on a stem with a crack in it. Was he lucky, what do you say?")
    ask = "Was he lucky, what do you say?"

    assert sifted(told, ask, 0.97, context=told.text, flags=flags).is_question is kept


@pytest.mark.parametrize(
    "ask",
    [
        "One jockey wheel is stiff since the rain, and I don't know whether to oil it.",
        "The spokes got longer by themselves, it seems. Is that really possible?",
        "Not sure whether the freewheel is frozen or broken.",
        "The rim sways by a hair each turn. Is a bit of regular sway normal?",
        "My rims wag a little. Or should they run dead straight?",
    ],
)
def test_a_doubt_about_a_part_asks_about_a_bicycle(ask):
    assert asks_about_a_bicycle(ask, "")


@pytest.mark.parametrize(
    ("text", "taken_up"),
    [
        (
            "The eccentric of our tandem sits fast. I took the bolt out and soaked it for a week, which did not do any good.",
            True,
        ),
        ("Sprayed the seized pedal for three nights and it won't budge.", True),
        ("Sprayed the seized pedal and it wouldn't budge. In the end the vice did it.", False),
        ("Changed the cassette and the chain, and it's still skipping on the hills.", True),
        ("Trued the wheel twice. Same noise from the hub as before.", True),
        ("Changed the cassette and the chain, and I'm still enjoying the hills.", False),
        ("I tried the new handlebars at the show, lovely colour.", False),
        ("I tried to ring you on Monday and nobody would come to the phone.", False),
    ],
)
def test_who_tried_in_vain_asks_without_the_words(
    message: Callable[..., Message], text: str, taken_up: bool
) -> None:
    assert sifted(message(text), text, 0.5, is_ask=False).is_question == taken_up


def test_who_tried_in_vain_and_asks_is_not_set_aside_so_soon(message: Callable[..., Message]) -> None:
    told = "Changed the cassette and the chain. Results: ditto, and the shop is at its wits' end."
    assert sifted(message(told), told, 0.5).is_question
    assert not sifted(message(told), told, 0.9).is_question
    assert not sifted(
        message("The shop is at its wits' end."), "The shop is at its wits' end.", 0.5
    ).is_question


@pytest.mark.parametrize(
    ("text", "kind", "kept"),
    [
        ("Could you tell me how to clean a chain? Thank you!", "chatter/thanks", True),
        ("Could you tell me how to clean a chain? Thank you!", "chatter/banter", False),
        ("Could you tell me who cuts the titles? Thank you!", "chatter/thanks", False),
    ],
)
def test_who_thanks_beforehand_asks_all_the_same(
    message: Callable[..., Message], text: str, kind: str, kept: bool
) -> None:
    assert sifted(message(text), text, 0.99, kind=kind).is_question is kept


@pytest.mark.parametrize(
    ("ask", "asks"),
    [
        ("Any decent tyres she could ride to school on?", True),
        ("Any old wheels going before I drive to the tip?", False),
        ("Any tyres for sale in your shop on Monday?", False),
    ],
)
def test_any_part_for_a_purpose_is_asked_for(ask, asks):
    assert asks_about_a_bicycle(ask, "") is asks


@pytest.mark.parametrize(
    ("text", "is_another"),
    [
        ("Only the tank bag held after the pothole, the rear rack of my big bike broke.", True),
        ("The frame bag held after the pothole, the rear rack of my big bike broke.", False),
    ],
)
def test_a_bag_on_a_tank_tells_of_an_engine(text: str, is_another: bool) -> None:
    assert speaks_of_another_vehicle(text, "") is is_another

"""An ask with what it is about, and no ask made of a mere remark."""

from __future__ import annotations

import re

import pytest

from triage.split import split
from triage.split.sentences import sentences_of


@pytest.mark.parametrize(
    ("text", "asks"),
    [
        # Told, not asked.
        (
            "Was pedalling to work when the sprocket spun on the hub. Can the spoilt thread of a hub be saved at all?",
            ["Can the spoilt thread of a hub be saved at all?"],
        ),
        ("Was wondering if the thread on my hub is safe", ["Was wondering if the thread on my hub is safe"]),
        (
            "I built it up myself to learn how to do it. Will a square taper take a compact chainset?",
            ["Will a square taper take a compact chainset?"],
        ),
        (
            "I asked the lad there how to fit the chain and he shrugged. Which way round does a chain's joining link go?",
            ["Which way round does a chain's joining link go?"],
        ),
        (
            "Is my chain worn at 0.6? Were I to buy a new one I'd want it nickel plated.",
            ["Is my chain worn at 0.6?"],
        ),
        # What could be done is no ask of its own.
        (
            "The lockring tore its thread. So what should I do? Ride it free. Build in a new hub. "
            "Find a wider lockring for the old hub, if they exist?",
            [
                "The lockring tore its thread. So what should I do? "
                "Find a wider lockring for the old hub, if they exist?"
            ],
        ),
        (
            "Is the wax on my chain spoilt? Take the chain off and boil it again?",
            ["Is the wax on my chain spoilt? Take the chain off and boil it again?"],
        ),
        (
            "What's the hard part? What's the hard part of learning a hub brake?",
            ["What's the hard part? What's the hard part of learning a hub brake?"],
        ),
        (
            "How often do I oil a chain? Put new pads in, how long do they last?",
            ["How often do I oil a chain?", "Put new pads in, how long do they last?"],
        ),
        # What "it" is.
        (
            "I got some joining links. How do they go on? One has a clip on its chain pin. Can I lift this off?",
            [
                "I got some joining links. How do they go on? One has a clip on its chain pin. Can I lift this off?"
            ],
        ),
        (
            "I swapped the chainset myself. In the smallest gear the chain catches the outer ring. It clicks once a turn. "
            "It never did that. I fear for the chain. Not sure how to fix this. Any ideas?",
            [
                "I swapped the chainset myself. In the smallest gear the chain catches the outer ring. It clicks once a turn. "
                "It never did that. I fear for the chain. Not sure how to fix this. Any ideas?"
            ],
        ),
        # A title in a line of its own doesn't cut off the story's first sentence.
        (
            "Rim oddity\nTwice this year a tyre has jumped off my front rim. Once I was pumping. Once it stood still. "
            "Both times the wheel was crooked. What bent?",
            [
                "Rim oddity Twice this year a tyre has jumped off my front rim. Once I was pumping. Once it stood still. "
                "Both times the wheel was crooked. What bent?"
            ],
        ),
        # Dots behind a word that ends no sentence.
        (
            "My plan is to.... ask you first. Which oil goes on a hub gear?",
            ["Which oil goes on a hub gear?"],
        ),
        (
            "My question is… does a hub gear want oil?",
            ["My question is… does a hub gear want oil?"],
        ),
        (
            "Worn paint... what to do? The bike is new. The cables rubbed on the tube. What should I do about the frame?",
            ["Worn paint... what to do? What should I do about the frame?"],
        ),
        (
            "I don't know what it was, but the bar turned in my hands. How tight is a stem's bolt?",
            ["How tight is a stem's bolt?"],
        ),
        (
            "I don't know which tyre to buy, but it must be light.",
            ["I don't know which tyre to buy, but it must be light."],
        ),
        # Where the first of several asks points back, the story comes with them.
        (
            "The arms are off. A washer is left over. How would I set this brake up? Could I have bent an arm when I pulled it off?",
            [
                "The arms are off. A washer is left over. How would I set this brake up? "
                "Could I have bent an arm when I pulled it off?"
            ],
        ),
        # What somebody may have done belongs to what went wrong.
        (
            "The brakes rub since I greased them. How do I centre the arms? Could I have swapped the springs of the brakes?",
            [
                "The brakes rub since I greased them. How do I centre the arms? Could I have swapped the springs of the brakes?"
            ],
        ),
        # A title on a line of its own heads the story below it.
        (
            "Kerbs: will she live?\n\nI rode up two kerbs last night. I fear for the wheel. Is the rim hurt by that? "
            "How do I check?",
            [
                "Kerbs: will she live? I rode up two kerbs last night. I fear for the wheel. Is the rim hurt by that? How do I check?"
            ],
        ),
        (
            "How tight should the top cap of a headset be?\n\nThe saddle creaks in the rain. It comes and goes. Can the saddle be greased?",
            [
                "How tight should the top cap of a headset be?",
                "The saddle creaks in the rain. It comes and goes. Can the saddle be greased?",
            ],
        ),
        (
            "why did my tyre burst\n\nI put a new tube in on Monday. It stood in the yard at noon. Then came a bang like a shot. "
            "Is there anything but the heat that could have done this?",
            [
                "why did my tyre burst I put a new tube in on Monday. It stood in the yard at noon. Then came a bang like a shot. "
                "Is there anything but the heat that could have done this?"
            ],
        ),
        # What a bracket, an abbreviation or three dots hold together.
        (
            "May I tighten a spoke myself (ie. would I ruin the rim)",
            ["May I tighten a spoke myself (ie. would I ruin the rim)"],
        ),
        (
            "Does a hub want grease (mine has a cap. it is loose) or oil?",
            ["Does a hub want grease (mine has a cap. it is loose) or oil?"],
        ),
        # Yes or no about what was: a guess at what happened.
        (
            "The front brake went to the bar and came back. What do you think happened? Did the cable slip? "
            "Was it the frost in the housing?",
            [
                "The front brake went to the bar and came back. What do you think happened? Did the cable slip? "
                "Was it the frost in the housing?"
            ],
        ),
        (
            "How do I true a wheel? Did the old tyres have a wire bead?",
            ["How do I true a wheel?", "Did the old tyres have a wire bead?"],
        ),
    ],
)
def test_a_story_is_no_ask_and_an_ask_has_its_story(message, text, asks):
    assert [question.text for question in split([message(text)]) if question.is_question] == asks


NUMBERED = (
    "1) How does a brake cable come out? 2) Which oil for a chain? Wet or dry one? 3) Do the pedals unscrew alike? "
    "4) What is a freehub? 5) How tight is the bolt of a brake cable? 6) Which tube fits a 28 inch wheel? 7) Can a saddle be too wide?"
)


def test_what_a_rider_has_numbered_is_answered_one_by_one(message):
    asks = [question.text for question in split([message(NUMBERED)])]

    assert len(asks) == 7
    assert asks[0] == "1) How does a brake cable come out?"
    assert asks[1] == "2) Which oil for a chain? Wet or dry one?"


def test_as_many_without_numbers_go_to_a_person_as_one(message):
    bare = re.sub(r"\d\) ", "", f"{NUMBERED} How wide is a bar?")

    assert len(split([message(bare)])) == 1


@pytest.mark.parametrize(
    ("text", "count"),
    [
        ("My brake cable slipped or ... who knows. Then it rained.", 2),
        ("My brake cable slipped... Who knows why. Then it rained.", 3),
    ],
)
def test_dots_behind_an_or_end_no_sentence(text, count):
    assert len(sentences_of(text)) == count


@pytest.mark.parametrize(
    "told",
    [
        "Am trying to save the old pedals.",
        "Was trying to overtake a tractor when it began.",
        "Do have a torque key somewhere.",
        "Would also need a longer bolt, but the shop sells them.",
        "Is still on the first set of blocks.",
        "Will not spend more than thirty on it.",
        "Had to push it home. Why? Because the belt jumped off.",
    ],
)
def test_a_sentence_that_lacks_its_subject_or_answers_itself_is_no_ask(message, told):
    assert [q.text for q in split([message(f"How tight must a pedal be in an arm? {told}")])] == [
        "How tight must a pedal be in an arm?"
    ]


@pytest.mark.parametrize(
    "ask",
    [
        "Was trying to find out which grease goes into a hub",
        "Would like to know which grease goes into a hub",
        "would also like some help with a seized post",
        "does the spacer go behind the cassette",
        "is a 28 tyre safe on a wide rim",
        "would a 28 tyre fit under these mudguards",
        "would never-seize from the garage be fine on a pedal's thread",
    ],
)
def test_an_ask_without_its_mark_is_one_still(message, ask):
    assert [question.is_question for question in split([message(ask)])] == [True]


@pytest.mark.parametrize(
    ("text", "asks"),
    [
        # A wish alone at the end has what the trouble is, and goes with what was asked.
        (
            "The lever won't click into the third gear.\nI oiled it twice.\nWe toured.\nI rode all summer.\nIt was fine in spring.\n"
            "A friend looked at it.\nHe shrugged.\nAny help would be much appreciated.",
            [
                "The lever won't click into the third gear. We toured. I rode all summer. It was fine in spring. "
                "A friend looked at it. He shrugged. Any help would be much appreciated."
            ],
        ),
        (
            "How do I get a cup out of a headset? Any help would be appreciated.",
            ["How do I get a cup out of a headset? Any help would be appreciated."],
        ),
        # "This problem" and "what is wrong" bring what the matter is, however far above it was told.
        (
            "My freewheel is binding. I ride to school. We live by the sea. It is flat here. "
            "Which hub would you choose for me to get rid of this problem for less than 200?",
            [
                "My freewheel is binding. Which hub would you choose for me to get rid of this problem for less than 200?"
            ],
        ),
        (
            "The hub drags. I ride to school. We live by the sea. It is flat here. "
            "What would you say is wrong, and must I send the wheel away?",
            ["The hub drags. What would you say is wrong, and must I send the wheel away?"],
        ),
        (
            "The hub drags. I ride to school. We live by the sea. It is flat here. "
            "Which saddles have been free of the fault that their rails bend after a year or two of riding on them?",
            [
                "Which saddles have been free of the fault that their rails bend after a year or two of riding on them?"
            ],
        ),
        # "Or" and a verb before its subject ask on, with a full stop as well.
        (
            "My bolts are short. Can I file the washer of the brake thinner? Or must I buy longer bolts. Thanks.",
            ["Can I file the washer of the brake thinner? Or must I buy longer bolts."],
        ),
        (
            "Can I file the washer of the brake thinner? Or is found in every shed, they say.",
            ["Can I file the washer of the brake thinner?"],
        ),
        # Something better of the same kind is asked for with it; of another kind, beside it.
        (
            "Is a suede saddle good in rain? Any views? Is there a better saddle for a tourer?",
            ["Is a suede saddle good in rain? Any views? Is there a better saddle for a tourer?"],
        ),
        (
            "Is a suede saddle good in rain? Is there a better chain for a tourer?",
            ["Is a suede saddle good in rain?", "Is there a better chain for a tourer?"],
        ),
        # Another trouble opens a matter of its own.
        (
            "The saddle creaks. Can oil cure that? The other problem I have is that the brake drags. What can I do?",
            [
                "The saddle creaks. Can oil cure that?",
                "The other problem I have is that the brake drags. What can I do?",
            ],
        ),
        # What is asked right behind a bare wish is the same matter where it names what was told.
        (
            "The cable leaves the hub at an odd angle since I put the wheel in. Any clues? Can the angle of the cable at the hub be set?",
            [
                "The cable leaves the hub at an odd angle since I put the wheel in. Any clues? "
                "Can the angle of the cable at the hub be set?"
            ],
        ),
        (
            "Not sure whether you can help but here goes. The cable leaves the hub askew. "
            "Does anybody have any ideas? Can the cable be turned at the hub?",
            [
                "Not sure whether you can help but here goes. The cable leaves the hub askew. "
                "Does anybody have any ideas? Can the cable be turned at the hub?"
            ],
        ),
        (
            "Is my sum for the crank length right? Also, has anyone done the same and how did it go?",
            ["Is my sum for the crank length right? Also, has anyone done the same and how did it go?"],
        ),
        # The choices that a wish closes.
        (
            "The steps are too wide. I see these ways:\n1. Fit a closer cassette.\n2. Fit a larger ring.\nHas anyone any thoughts?",
            [
                "I see these ways: 1. Fit a closer cassette. 2. Fit a larger ring. Has anyone any thoughts?",
            ],
        ),
        (
            "What makes the chain jump in the big sprockets? Also, I have turned both screws, but that changed nothing. Any thoughts?",
            [
                "What makes the chain jump in the big sprockets? Also, I have turned both screws, "
                "but that changed nothing. Any thoughts?",
            ],
        ),
        (
            "Any ideas how to cure the following:\nMy chain jumps on the big sprockets. It never leaves them. "
            "Also, I have turned both screws, but that changed nothing. Thoughts?",
            [
                "Any ideas how to cure the following: My chain jumps on the big sprockets. It never leaves them. "
                "Also, I have turned both screws, but that changed nothing. Thoughts?",
            ],
        ),
        (
            "What makes the chain jump? Also, I changed the pads and now the brake squeals. What can I do?",
            [
                "What makes the chain jump?",
                "Also, I changed the pads and now the brake squeals. What can I do?",
            ],
        ),
        (
            "My cup holder is a J.A. Smith tool and slips. Which way do I turn the cup?",
            ["My cup holder is a J.A. Smith tool and slips. Which way do I turn the cup?"],
        ),
        # A title says which derailleur it is.
        (
            "Rear derailleur stays put\nI bought the bike in May. It rained a lot. "
            "The derailleur won't move when I click. What can I do about it?",
            [
                "Rear derailleur stays put I bought the bike in May. It rained a lot. "
                "The derailleur won't move when I click. What can I do about it?"
            ],
        ),
        (
            "A word on saddles\nI ride far. It rained a lot. We stopped at an inn. Which grease goes on the thread of a pedal?",
            ["Which grease goes on the thread of a pedal?"],
        ),
    ],
)
def test_what_belongs_to_an_ask_comes_with_it(message, text, asks):
    assert [question.text for question in split([message(text)])] == asks

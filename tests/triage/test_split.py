"""Which sentences are asks, and which asks belong together."""

from __future__ import annotations

import pytest

from training.heed import marked
from triage.records import TOLD_BESIDE
from triage.split import split
from triage.split.asking import is_answered, is_ask
from triage.split.sentences import lower_case


@pytest.mark.parametrize(
    ("text", "asks"),
    [
        ("Love the show! Keep it up.", []),
        ("Can I fit a 28 mm tyre on a 15 mm rim?", ["Can I fit a 28 mm tyre on a 15 mm rim?"]),
        (
            "My chain skips. What should I check? Is it safe?",
            ["My chain skips. What should I check? Is it safe?"],
        ),
        ("My chain skips on the 15. Any ideas?", ["My chain skips on the 15. Any ideas?"]),
        ("I can do punctures, I know how to patch a tube.", []),
        (
            "My disc brakes howl. Which pads are quiet? Question two: can I sand the rotor?",
            ["My disc brakes howl. Which pads are quiet?", "Question two: can I sand the rotor?"],
        ),
        ("I yanked at the cleat, which of course does nothing.", []),
        # What opens with "also" is the second matter: the trouble told before it was the first.
        (
            "My front brake squeals in the wet. I cleaned the rotor. Also, which bottom bracket fits a 68 mm shell?",
            [
                "My front brake squeals in the wet. I cleaned the rotor.",
                "Also, which bottom bracket fits a 68 mm shell?",
            ],
        ),
        ("My chain rattles. Also, do I need a new chain?", ["Also, do I need a new chain?"]),
        (
            "two questions, my dynamo flickers over bumps and also is a 28 mm tyre too wide for a 15 mm rim",
            [
                "two questions, my dynamo flickers over bumps",
                "and also is a 28 mm tyre too wide for a 15 mm rim",
            ],
        ),
        (
            "Is a 32 spoke wheel strong enough for me and what pressure?",
            ["Is a 32 spoke wheel strong enough for me", "and what pressure?"],
        ),
        (
            "Does the new cassette fit, and also can I keep the old chain?",
            ["Does the new cassette fit", "and also can I keep the old chain?"],
        ),
        ("Tubes or tubeless and what pressure?", ["Tubes or tubeless and what pressure?"]),
        (
            "The wheel wobbles and also is loose. What now?",
            ["The wheel wobbles and also is loose. What now?"],
        ),
        (
            "The new grips slide about. What am I doing wrong? Is it usual with foam grips?",
            ["The new grips slide about. What am I doing wrong? Is it usual with foam grips?"],
        ),
        (
            "How do I get my tandem home? It weighs 20 kilos. The big question is, can a roof rack carry it?",
            ["How do I get my tandem home? The big question is, can a roof rack carry it?"],
        ),
        # However it is counted, what an "or" joins is one ask.
        (
            "Would you take a) the longer stem or b) the shorter one?",
            ["Would you take a) the longer stem or b) the shorter one?"],
        ),
        (
            "a) can I mix the tyres? b) how often do I oil the chain?",
            ["a) can I mix the tyres?", "b) how often do I oil the chain?"],
        ),
        (
            "They want 70 for a larger sprocket. Is it worth it? Has anyone else ridden hub gears with one?",
            [
                "They want 70 for a larger sprocket. Is it worth it? Has anyone else ridden hub gears with one?",
            ],
        ),
        # Another part in a paragraph of its own follows on nothing, but "too" and "or" follow on.
        (
            "Is the saddle set too high?\n\nShould I fit other brake pads?",
            ["Is the saddle set too high?", "Should I fit other brake pads?"],
        ),
        (
            "Is the chain worn out?\n\nShould I change the cassette too?",
            ["Is the chain worn out? Should I change the cassette too?"],
        ),
        ("How do I know which tube fits?", ["How do I know which tube fits?"]),
        ("I know what a cone is, but how do I set one?", ["I know what a cone is, but how do I set one?"]),
        (
            'My freehub rumbles. The lad there said "do you jet wash your bike?" Is the freehub finished?',
            ['My freehub rumbles. The lad there said "do you jet wash your bike?" Is the freehub finished?'],
        ),
        (
            'My freehub rumbles on descents. The lad said "do you wash your bike?" Can the freehub be opened without a tool?',
            ["Can the freehub be opened without a tool?"],
        ),
        (
            "The old fork is straight (the frame is bent: how odd is that?) Can I ride it?",
            ["The old fork is straight (the frame is bent: how odd is that?) Can I ride it?"],
        ),
        (
            "Do fat or thin tyres hold better in mud? Thin tyres cut through, right? Which tyre would you choose?",
            [
                "Do fat or thin tyres hold better in mud? Thin tyres cut through, right? Which tyre would you choose?"
            ],
        ),
        (
            "Why does my brake howl? Which chain do you think is best?",
            ["Why does my brake howl?", "Which chain do you think is best?"],
        ),
        (
            "Has anybody had an axle's thread strip? I rode home slowly. The thread has gone at one end, but why?",
            ["Has anybody had an axle's thread strip? The thread has gone at one end, but why?"],
        ),
        (
            "Which sealant would you take, and while I'm at it, a pump that fits the frame?",
            ["Which sealant would you take", "and while I'm at it, a pump that fits the frame?"],
        ),
        (
            "Finding tubes for 700c or 26er abroad?\n\nI tour a lot. Will tubes be easier to find for a 700c wheel?",
            ["Finding tubes for 700c or 26er abroad? Will tubes be easier to find for a 700c wheel?"],
        ),
        (
            "I ride on chalk, mud, roots, etc.\n\nWhich tyre suits that?",
            ["I ride on chalk, mud, roots, etc. Which tyre suits that?"],
        ),
        (
            "Rear hub trouble? There's a rumbling from the rear hub. The rumbling only comes when I coast. I wash it weekly.",
            ["Rear hub trouble? There's a rumbling from the rear hub. The rumbling only comes when I coast."],
        ),
        (
            "What oil for my chain? Also, will 11-34 fit my derailleur?",
            ["What oil for my chain?", "Also, will 11-34 fit my derailleur?"],
        ),
        ("wondering if my carbon bar is ok after a fall", ["wondering if my carbon bar is ok after a fall"]),
        (
            "One shop calls my cracked post sound. Second shop told me to bin it. Who's right?",
            ["One shop calls my cracked post sound. Second shop told me to bin it. Who's right?"],
        ),
        (
            "What oil for my chain? Second question: will 11-34 fit my derailleur?",
            ["What oil for my chain?", "Second question: will 11-34 fit my derailleur?"],
        ),
        (
            "How tight is the cap on my cranks? And the two pinch bolts?",
            ["How tight is the cap on my cranks? And the two pinch bolts?"],
        ),
        (
            "How tight is the cap on my cranks? And the chain, how long does that last?",
            ["How tight is the cap on my cranks?", "And the chain, how long does that last?"],
        ),
        (
            "What must have happened is that the sprocket walked off its thread. Can a hub with a spoilt thread be saved by anybody?",
            ["Can a hub with a spoilt thread be saved by anybody?"],
        ),
        ("What I did was grease the thread.", []),
        ("What is the best grease for a thread", ["What is the best grease for a thread"]),
        (
            "The left arm sits askew. Please bear with me, I'm new to this. May I ride a crank with a crooked left arm home?",
            ["May I ride a crank with a crooked left arm home?"],
        ),
        (
            "I hated to do that but wanted to see if that would work. Which joining link goes on a wide chain?",
            ["Which joining link goes on a wide chain?"],
        ),
        (
            "How tight is a cassette's lockring? And do I need grease?",
            ["How tight is a cassette's lockring? And do I need grease?"],
        ),
        (
            "I was told to grease the taper of my cranks, and never to. It's all apart now. Which is it, and what torque?",
            [
                "I was told to grease the taper of my cranks, and never to. It's all apart now. Which is it, and what torque?"
            ],
        ),
        (
            "Is my chain too long? Also tyre pressure please, I weigh 64 kg.",
            ["Is my chain too long?", "Also tyre pressure please, I weigh 64 kg."],
        ),
        ("I rode 100 km, who's with me?", ["I rode 100 km, who's with me?"]),
        ("How are you all?", []),
        ("One bolt holds it, which is an 8 mm one. The arm knocks.", []),
        (
            "One bolt holds it, but which is the right one?",
            ["One bolt holds it, but which is the right one?"],
        ),
        (
            "I have an alloy crank, a long mech, ? chain, eight sprockets. Which width of chain suits eight sprockets?",
            ["Which width of chain suits eight sprockets?"],
        ),
        (
            "The big ring won't come. Is there a simple way to do that, or am I in for an evening with a laptop and beer?",
            [
                "The big ring won't come. Is there a simple way to do that, or am I in for an evening with a laptop and beer?"
            ],
        ),
        (
            "The left shifter hangs down. Would somebody with more sense for bikes than I have care to look at it, over tea?",
            [
                "The left shifter hangs down. Would somebody with more sense for bikes than I have care to look at it, over tea?"
            ],
        ),
        (
            "Ever read a book on patience? My pedal is stuck. I soaked it and bent a key on it. Who has another thought?",
            [
                "Ever read a book on patience? My pedal is stuck. I soaked it and bent a key on it. Who has another thought?"
            ],
        ),
        ("Pressure is 6.5 bar. too much?", ["Pressure is 6.5 bar. too much?"]),
        ("The front wheel hops when I brake, which is frightening.", []),
        ("I have two rims, which is better.", ["I have two rims, which is better."]),
        ("Which lever for it? Have normal ones and they are soft.", ["Which lever for it?"]),
        ("has anyone tried longer blocks on these", ["has anyone tried longer blocks on these"]),
        (
            "Headset too tight?\nI fitted new bearings in my old racer. The bars swing back slowly. How tight must a headset be?",
            [
                "Headset too tight? I fitted new bearings in my old racer. The bars swing back slowly. How tight must a headset be?"
            ],
        ),
        (
            "Is my fork bent?\nI hit a kerb on Monday. Which chain do I need for eight sprockets?",
            ["Is my fork bent?", "Which chain do I need for eight sprockets?"],
        ),
        ("I sawed it up. The upshot is that steel is a fine thing and that rust is normal.", []),
        (
            "The new fork is steel, and is that safe to cut by hand",
            ["The new fork is steel, and is that safe to cut by hand"],
        ),
        ("It was a stout bike which is intended for the post. Its mudguard rattles.", []),
        (
            "I can't tell which is the left one of the two cups.",
            ["I can't tell which is the left one of the two cups."],
        ),
    ],
)
def test_asks_are_found_in_the_riders_own_words(message, text, asks):
    found = [question.text for question in split([message(text)]) if question.is_question]

    assert found == asks


def test_the_bike_described_once_is_context_for_both_asks(message):
    first, second = split(
        [
            message(
                "It's a steel tourer with 135 mm hubs. Which chain do I need? Second question: is rust dangerous?"
            )
        ]
    )

    assert "steel tourer" in first.context
    assert "steel tourer" in second.context
    assert first.question_id != second.question_id


def test_an_automatic_reply_asks_nothing(message):
    (only,) = split([message("I am away. Can I help you next week?", flags=("automatic-reply",))])

    assert not only.is_question
    assert "automatic-reply" in only.flags


@pytest.mark.parametrize(
    ("text", "flag"),
    [
        ("There is a crack in my fork. Can I ride to work?", "danger"),
        ("My brakes just failed, what now?", "danger"),
        (
            "The wheel has a flat spot, and could that be a hairline crack beside it? Which rim next?",
            "danger",
        ),
        ("The rear brake on our old tandem quit working on a hill. Is it the pads?", "danger"),
        ("My roller brake sometimes locks on and I skid. Which grease do I need?", "danger"),
        ("When I brake in the rain the front hub locks on. Are the shoes to blame?", "danger"),
        ("The battery was under water for an hour and dried since. Which charger do I need?", "danger"),
        ("There's water inside the battery, I can hear it. Charge it?", "danger"),
        ("The battery went dark, so I opened it up and saw moisture on the boards. Which fuse?", "danger"),
        ("At the lights the assistance kicks in all by itself. How do I adjust that?", "danger"),
        ("The motor won't stop when I let go of the button. Sensor?", "danger"),
        ("The hub of my carbon wheel makes a cracking sound. Is it the spokes?", "danger"),
        ("The rim is cracked and makes a cracking sound. What now?", "danger"),
        ("The cells have expanded and split their tape. Can I still charge it?", "danger"),
        ("I left it in the sun and now there's a swollen battery in my bag. Which lamp do I buy?", "danger"),
        ("The carbon fork took a pothole and I heard a very loud snapping sound. Anything to see?", "danger"),
        ("After fifteen minutes I had no front break at all. Which grease for hubs?", "danger"),
        ("My left crank arm fell off on the way home, what now?", "danger"),
        ("The brake cable is fraying at the lever, how long will it last?", "danger"),
        ("There is a bulge like a pea in the sidewall of my front tyre. Can I race?", "danger"),
        ("A crack at a spoke hole of the rear rim, is it paint?", "danger"),
        (
            "It creaks. By the way, there's a hairline crack where the arm meets the pedal. Which grease?",
            "danger",
        ),
        ("The chain cut into my carbon stay, fibres showing. How do I stop it dropping?", "danger"),
        ("I sprayed the disc and now it doesn't brake at all. How do I clean pads?", "danger"),
        ("Went over the bars last week. How do I make the front softer?", "danger"),
        ("Fade on long hills is normal? Also the lever now has a drip under it.", "danger"),
        ("How thin can pads go, the trip starts on Friday?", "urgent"),
        ("A trailer with two toddlers behind me, which rotors?", "child"),
        ("The kids want to ride it, is it safe?", "child"),
        ("The race is tomorrow, which pressure?", "urgent"),
        ("I have a ride on Sunday, how do I get this bolt out?", "urgent"),
        ("My left pedal fell off on the way, can the arm be saved?", "danger"),
        ("After the bleed the lever would hit the handlebar, why?", "danger"),
        ("One pad is rubbing on the tyre, how do I move it?", "danger"),
        ("The cable is frayed to three strands, which one fits?", "danger"),
        ("I found cracks round two spoke holes. What tension?", "danger"),
        ("He can't reach the brake lever, and the stem wiggles when he turns hard. Quick fix?", "danger"),
        ("The bars keep slipping in the clamp on bumps, which paste?", "danger"),
        ("There is a crack in the lacquer next to the seat tube, can I ride?", "danger"),
        ("Why did the bicycle fall over? It was two tired.", "closer"),
        ("How many mechanics does it take to true a wheel? All of them.", "closer"),
        ("Knock knock. Who's there? Headset.", "closer"),
        (
            "One block has turned in its slot so that its corner is now touching the tyre. Easy to set?",
            "danger",
        ),
        ("By the last mile there was practically no rear brake. Which pads last?", "danger"),
        ("Half-way round the brakes were completely useless in the mud. Is that normal?", "danger"),
        ("Mineral oil has been seeping from the joint by the lever, what now?", "danger"),
        ("The skewer at the front turned out to be barely closed. Why did it rub?", "danger"),
        ("Since the motor went on I can't squeeze hard enough to stop. Which pads?", "danger"),
        ("With both levers pulled it won't slow down on steep hills. New cables?", "danger"),
        ("Both tyres are split at the side. Which width next?", "danger"),
        ("There are threads hanging off the side of my tyre. Which brand lasts?", "danger"),
        ("It has a bent steel fork. Which headset fits?", "danger"),
        ("My daughter's brakes are too hard to pull, what helps?", "child"),
    ],
)
def test_what_brings_a_message_to_the_top_is_flagged(message, text, flag):
    assert flag in split([message(text)])[0].flags


@pytest.mark.parametrize(
    "text",
    [
        "Why did the new block miss the rim? I measured it twice.",
        "What's the difference between a freewheel and a freehub? I need a tool for mine.",
        "How many stops does it take to bed in disc pads?",
        "What do you call a nut that sits inside the fork? Mine is stuck.",
        "There is a knock knock from below when I pedal. Is it the bearing?",
        "My son walks into a shop for a tube and is sold a tyre. Was that needed?",
    ],
)
def test_a_question_that_begins_like_a_joke_is_asked(message, text):
    assert all(ask.is_question and "closer" not in ask.flags for ask in split([message(text)]))


@pytest.mark.parametrize(
    ("text", "flagged"),
    [
        ("My rear derailleur cable is fraying inside the lever. New inner or new lever?", False),
        ("The gear cable has frayed at the bolt. Which size fits?", False),
        ("The front brake cable has frayed at the bolt. Which size fits?", True),
        ("The cable has frayed where it goes into the brake. Which size fits?", True),
    ],
)
def test_a_frayed_cable_is_a_danger_unless_it_pulls_the_gears(message, text, flagged):
    assert ("danger" in split([message(text)])[0].flags) is flagged


@pytest.mark.parametrize(
    ("text", "flagged"),
    [
        ("At the lights the wheel had come out of the dropouts on one side. Which skewer do I need?", True),
        ("The rear wheel pulled forward in its slots and jammed. Is it the chain?", True),
        ("My back wheel keeps slipping in the dropouts, which nuts hold?", True),
        ("The axle creeps along the slot whenever I stand up. Do tugs help?", True),
        ("A hand's breadth of the rim peeled off when I pumped it. Which rim now?", True),
        ("The side of the rim had torn away and the tube hung out. Is the tyre all right?", True),
        ("I took the wheel out of the dropouts to grease it. Which grease?", False),
        ("The rear wheel won't come out of the frame, it's stuck behind the mudguard. How?", False),
        ("How does the wheel come out of a frame with a chaincase?", False),
        ("My wheel came out of true last week. Which key?", False),
        ("The tape on the rim peeled off in strips. Which width do I buy?", False),
        ("The sticker on the rim peeled off. Does it matter for balance?", False),
    ],
)
def test_a_wheel_that_left_its_place_is_a_danger_and_one_taken_out_is_none(message, text, flagged):
    assert ("danger" in split([message(text)])[0].flags) is flagged


def test_when_opens_a_story_as_well_as_an_ask(message):
    (only,) = split([message("When I had it serviced, the nipples had seized. Respoke it or buy a wheel?")])
    assert "Respoke it or buy a wheel?" in only.text
    (only,) = split([message("when should a chain be changed")])
    assert only.is_question


def test_an_ask_that_opens_with_so_or_anyhow_goes_on_about_the_same_thing(message):
    text = "Why do the pads grind on my rim? They did so last week as well. Anyhow, is this something to worry about?"
    assert len(split([message(text)])) == 1
    text = "May the tyres differ on a trike? Would a ribbed tyre at the back work better in this case?"
    assert len(split([message(text)])) == 1
    text = "May the tyres differ on a trike? Would a ribbed saddle be better for long rides?"
    assert len(split([message(text)])) == 2


def test_crack_on_is_no_crack(message):
    assert "danger" not in split([message("Let's crack on: which tyre for my brakes test day?")])[0].flags
    # Who gave it rides it no longer: the bicycle is the giver's parent's.
    assert "child" not in split([message("My son bought me this bike, which saddle for it?")])[0].flags
    assert "danger" not in split([message("My left pedal won't come off, which way does it turn?")])[0].flags
    assert (
        "danger" not in split([message("The chain goes slack. Perhaps the axle is bent, or what?")])[0].flags
    )
    assert (
        "danger"
        in split([message("The chain goes slack. The axle is bent, perhaps badly, or what?")])[0].flags
    )
    assert "danger" not in split([message("Which lube for brake cables, and does the bottle leak?")])[0].flags
    assert "danger" not in split([message("Do strong fibres in a tyre make it slow?")])[0].flags
    assert "danger" not in split([message("Which brake fluid is running low in shops, DOT or oil?")])[0].flags
    assert (
        "danger"
        not in split([message("My skewer is not the same length as the old one, does it matter?")])[0].flags
    )
    assert "danger" not in split([message("My handlebar tape slips when it rains, which glue?")])[0].flags


def test_why_did_the_mechanic_is_no_joke_by_itself(message):
    for text in ("Why did the mechanic put paste on my new bar?", "Why did the chain jump off at the top?"):
        (question,) = split([message(text)])
        assert question.is_question
        assert "closer" not in question.flags
    (joke,) = split([message("Why did the wheel go to school? Because it wanted to be well spoken.")])
    assert "closer" in joke.flags


def test_a_bare_can_i_takes_what_was_said_right_before_it(message):
    text = "The seam gapes. I haven't hit a thing, so what do I do? A friend says more tension closes it. Can I? Thanks."
    assert any(
        "A friend says more tension closes it. Can I?" in ask.text
        for ask in split([message(text)])
        if ask.is_question
    )
    text = (
        "What do I do with a seam that gapes? My uncle laughs at it. Which rim goes on a hub with 32 holes?"
    )
    asks = [ask.text for ask in split([message(text)]) if ask.is_question]
    assert "Which rim goes on a hub with 32 holes?" in asks


def test_what_is_feared_only_is_not_told_beside(message):
    text = "A thread in the mount has gone. Who can mend that? If the frame is really broken, I'll take the train. {}"
    assert not any(TOLD_BESIDE in ask.flags for ask in split([message(text.format("Thanks."))]))
    asks = split([message(text.format("The fork is cracked."))])
    assert asks[-1].text == "The fork is cracked."


@pytest.mark.parametrize(
    "text",
    [
        "The frame has no cracks and the rim is not bent. Which chain oil?",
        "The bars aren't loose, and there are no cracks in the fork. What torque for the stem?",
        "Can a battery swell in the sun? Mine looks the same as ever.",
        "My battery has gone down faster since the cold came. How do I store it?",
        "I can't stop the squeal of my front disc. Which pads are quiet?",
        "I can't get enough air in to stop the tyre from squirming. Which pump?",
        "I saw a thread about tyres that shows many sizes. Which one rolls best?",
        "I carry a broken frame pump. Which small one is good?",
        "How do I look for hairline cracks after a fall? Which lamp?",
        "There's a hairline crack in the plastic of my computer. Which glue?",
        "The light on my brake lever stopped working. Which bulb is it?",
        "My trike's parking brake locks on with a button. Is there a stronger one?",
        "The brake lever locks on to the bar with one bolt. What torque?",
    ],
)
def test_what_a_rider_denies_is_no_danger(message, text):
    assert "danger" not in split([message(text)])[0].flags


@pytest.mark.parametrize(
    ("text", "beside"),
    [
        (
            "What chain oil for winter? Also I saw a crack near the head tube weld last week but it rides ok.",
            "Also I saw a crack near the head tube weld last week but it rides ok.",
        ),
        (
            "I wash it weekly. Yesterday the front brake lever went right to the bar. Which degreaser for my chain is best?",
            "Yesterday the front brake lever went right to the bar.",
        ),
        (
            "The stem wiggles on bumps. Nice show. The rear tyre has a bulge. How wide may a chainring bolt be?",
            "The stem wiggles on bumps. The rear tyre has a bulge.",
        ),
    ],
)
def test_a_danger_told_beside_another_ask_is_taken_up(message, text, beside):
    *asks, last = split([message(text)])
    assert asks
    assert last.text == beside
    assert TOLD_BESIDE in last.flags
    assert not any(TOLD_BESIDE in ask.flags for ask in asks)


@pytest.mark.parametrize(
    "danger",
    [
        "My friend saw a crack in the fork.",
        "My fixed gear has a crack in the rim.",
        "My old frame has a crack at the weld.",
        "I replaced the pads and now the brake lever comes to the bar.",
        "The frame cracked years ago and was welded.",
    ],
)
def test_a_friend_who_saw_it_or_an_old_bike_makes_a_danger_no_smaller(message, danger):
    *_, last = split([message(f"{danger} Which oil is best for a chain in winter?")])
    assert (last.text, TOLD_BESIDE in last.flags) == (danger, True)


@pytest.mark.parametrize(
    "text",
    [
        "There is a crack in the rim. Can I ride it? What does a new rim cost?",
        "My old frame cracked at the weld, so I got this one. Which bottom bracket fits a 68 mm shell?",
        "The fork cracked and was replaced by the shop. Which headset do I need?",
        "My mate's fork snapped on the way down. Which headset do I need?",
        "Bad bar ends cracked my first set. Which stem suits a carbon steerer?",
        "The tyres have threads showing above the rim. Am I safe to ride with tyres in this state?",
        "Love the show. Which oil for a chain in winter?",
    ],
)
def test_what_is_asked_about_or_over_is_not_taken_up_again(message, text):
    assert not any(TOLD_BESIDE in question.flags for question in split([message(text)]))


def test_capitals_change_nothing(message):
    told = "Hi! My fork has snapped and the race is tomorrow. My son saw it, e.g. on Monday. Is it safe? any ideas"

    plain, loud = split([message(told.lower())]), split([message(told.upper())])

    assert [question.flags for question in loud] == [question.flags for question in plain]
    assert [question.text.lower() for question in loud] == [question.text for question in plain]
    assert {"danger", "urgent", "child"} <= set(plain[0].flags)


@pytest.mark.parametrize(
    "text",
    [
        "wie viel luft gehört in einen reifen mit 28 mm, wenn ich 80 kg wiege?",
        "İstanbul'da bisikletimin arka freni ses çıkarıyor, ne yapmam gerekir acaba?",
    ],
)
def test_another_language_is_told_with_figures_and_foreign_letters_in_it(message, text):
    assert "not-english" in split([message(text)])[0].flags


def test_nothing_at_all_is_no_question(message):
    (only,) = split([message("")])

    assert not only.is_question


@pytest.mark.parametrize(
    ("text", "is_told"),
    [
        ("The cable stop came away and cracked the tube slightly. Is it ruined?", True),
        ("Levering at it I cracked a weld. Is it ruined?", True),
        ("The cold cracked an inner tube in the shed. Is it ruined?", False),
    ],
)
def test_a_cracked_tube_of_the_frame_is_a_danger(message, text, is_told):
    assert ("danger" in split([message(text)])[0].flags) == is_told


def test_what_can_i_say_asks_nothing(message):
    told = "I overtightened the cap, I know it should be finger tight, what can I say. Must I buy a new bottom bracket?"

    assert [question.text for question in split([message(told)])] == ["Must I buy a new bottom bracket?"]


@pytest.mark.parametrize(
    ("text", "held"),
    [
        (
            "Is this just age? My brake hoods went sticky and grey this spring. I wash them weekly.",
            "went sticky and grey",
        ),
        (
            "My uncle dips every chain in melted candles. I know it frees a stiff zip, but how is it for a chain?",
            "melted candles",
        ),
        (
            "My sister left my bike by a lawn sprinkler overnight. I dried the saddle. The brakes work. "
            "I oiled the chain. Should I do anything more?",
            "lawn sprinkler",
        ),
    ],
)
def test_what_an_ask_points_at_comes_with_it(message, text, held):
    (only,) = split([message(text)])

    assert held in only.text


def test_a_short_also_about_the_same_thing_is_one_ask_with_it(message):
    (only,) = split([message("Do I need a tool for this spoke size? Also, is it both wheels?")])

    assert only.text.endswith("both wheels?")


@pytest.mark.parametrize(
    "text",
    [
        "How do I dry a bottom bracket after a flood? As an aside, the bell has gone dull since. What is the cause of the dullness?",
        "Which oil for the hub? Also, is it true that a chain stretches more in the wet than in the dry?",
    ],
)
def test_an_aside_is_an_ask_of_its_own(message, text):
    assert len(split([message(text)])) == 2


@pytest.mark.parametrize(
    "again",
    [
        "In other words, is a cargo bike no good without one?",
        "Question is, do such stands bolt to every frame, or only to some bikes?",
        "How many times in your cycling life has a stand bent your chainstay?",
        "Has anyone else had a stand that eats into the chainstay?",
    ],
)
def test_an_ask_put_in_other_words_is_the_same_one(message, again):
    text = f"Does a two-legged stand need a plate behind the bottom bracket? I weigh 80 kg. {again}"

    assert len(split([message(text)])) == 1


def test_do_you_think_it_will_hold_asks_on_about_the_same_thing(message):
    (only,) = split(
        [message("Will my dented fork hold? It has 40 mm tyres. Do you think it can be used on a tour?")]
    )

    assert "on a tour" in only.text


@pytest.mark.parametrize(
    "text",
    [
        "What's the difference between a freewheel and a cassette?",
        "Hi, whats the difference between a wax lube and a wet lube in the rain?",
        "Why did the chain snap after only a month?",
        "What do you call a spindle without threads at its ends?",
    ],
)
def test_what_begins_like_a_joke_and_names_a_part_is_a_question(message, text):
    (only,) = split([message(text)])

    assert only.is_question
    assert "closer" not in only.flags


def test_the_difference_between_two_people_is_a_joke(message):
    (only,) = split([message("What's the difference between a cyclist and a banker? One has a bonus.")])

    assert "closer" in only.flags


def test_what_must_have_happened_is_told_and_not_asked(message):
    (only,) = split([message("Must have hit a kerb with that rim last week.\nIs it safe?")])

    assert only.text == "Must have hit a kerb with that rim last week. Is it safe?"


def test_what_must_of_happened_parts_no_asks(message):
    (only,) = split(
        [
            message(
                "Nick in the rim - will it do?\n\nMust of caught a gate with it, pads were fine after.\n"
                "Do you think it is ok to ride?"
            )
        ]
    )

    assert only.text.startswith("Nick in the rim")
    assert only.text.endswith("ok to ride?")


@pytest.mark.parametrize(
    ("text", "count"),
    [
        (
            "The hub clicks under load. What could it be? Loose lockring on the freehub? Spokes rubbing on one another?",
            1,
        ),
        (
            "What is it that creaks? Dry seatpost in the frame? How tight should the stem bolts be on a carbon bar?",
            2,
        ),
        ("Which chain oil is best in winter? Good tyre pressure with 28 mm tyres and 80 kg?", 2),
        ("Does a pitted cone growl like that? Could the cones just need backing off a touch?", 1),
        ("Does a pitted cone growl like that? Could the tyre be too wide for this rim?", 2),
        ("Is a pitted cone safe to ride? Could I fit the cones of another hub?", 2),
    ],
)
def test_guesses_at_a_cause_stay_with_the_ask(message, text, count):
    assert len(split([message(text)])) == count


def test_a_part_that_did_something_is_no_joke_whatever_follows(message):
    for text in ("Why did the wheel buckle? It was new.", "Why did the tyre burst? They were at 6 bar."):
        assert "closer" not in split([message(text)])[0].flags


@pytest.mark.parametrize(
    "text",
    [
        "What's the difference between 28s and 32s? I weigh 80 kg.",
        "What's the difference between the two groups? The dearer one has a carbon arm.",
        "Why did the shop do that? They said it was worn.",
    ],
)
def test_an_earnest_question_with_more_behind_it_is_no_joke(message, text):
    assert "closer" not in split([message(text)])[0].flags


@pytest.mark.parametrize(
    ("text", "count"),
    [
        (
            "The new leak is beside the old one. Was it\n1. a burr on the rim;\n2. a second hole;\n3. or did I misplace the patch?",
            1,
        ),
        ("Is it the hub bearing; or is it the freehub; or is the axle bent?", 1),
        ("1. Which oil suits a wet winter chain? 2. What pressure for 28 mm tyres and 80 kg?", 2),
    ],
)
def test_what_semicolons_join_is_one_ask(message, text, count):
    questions = split([message(text)])

    assert len(questions) == count


def test_every_item_of_such_a_list_stands_in_the_ask(message):
    text = "Was it\n1. a burr on the rim;\n2. a second hole;\n3. or did I misplace the patch?"

    assert "a second hole" in split([message(text)])[0].text


def test_an_item_of_a_numbered_list_has_what_stands_behind_it(message):
    text = "I commute. 1) Do I pump more? I keep the rear tyre at 6 bar. 2) Should I buy new tyres? These tyres are from 2019."
    asks = [question.text for question in split([message(text)])]

    assert len(asks) == 2
    assert "6 bar" in asks[0]
    assert "2019" not in asks[0]
    assert "2019" in asks[1]


def test_guess_what_i_found_asks_nothing(message):
    text = "I patched it. Guess what I found the next morning? Flat again. Does a patch need longer to dry?"

    assert len(split([message(text)])) == 1


def test_an_ask_that_opens_by_pointing_back_has_what_it_points_at(message):
    text = (
        "I was given an old racer. The tyres say 26 x 1 1/4. As this size isn't kept by any shop near me, "
        "I wanted to know whether there's another that goes on the same rims and leaves the brakes as they are."
    )

    assert "1 1/4" in split([message(text)])[0].text


def test_what_a_rider_wanted_to_know_is_an_ask(message):
    text = "The rims are 26 x 1 1/4. No shop stocks that, so I wanted to know if another size fits without new brakes."
    questions = split([message(text)])

    assert len(questions) == 1
    assert questions[0].is_question
    assert "story" not in questions[0].flags


def test_what_it_looks_like_is_asked_of_the_sentence_before(message):
    text = "Is the rim tape too soft? The tube is from 2004. It looks sound, but could it be its age?"
    asks = [question.text for question in split([message(text)])]

    assert len(asks) == 2
    assert "2004" in asks[1]


@pytest.mark.parametrize(
    ("text", "count"),
    [
        ("Gears dead? I moved the rack last night. Since then nothing clicks. Did I knock the cable out?", 1),
        ("Squeaky seat post? It started in May. I greased it twice. Which paste stops it for good?", 1),
        ("Do I need a new rim? The track is hollow. My question is whether it lasts the winter.", 1),
        ("Do I need a new rim? The track is hollow. My other question is which chain oil to buy?", 2),
        ("Oil or wax? My chain is new. How long must it be for a 42 sprocket?", 2),
        ("Will a 28 mm tyre fit? My rim is old. Which chain oil is best in winter?", 2),
    ],
)
def test_a_catchword_at_the_top_heads_the_ask_below_it(message, text, count):
    assert len(split([message(text)])) == count


@pytest.mark.parametrize(
    ("text", "beside"),
    [
        ("My stem cracked on the way home. I've now changed the stem.", False),
        ("The bars slipped forward. I've since replaced the stem.", False),
        ("My stem cracked on the way home. I've changed the grips.", True),
        ("My stem cracked. I have replaced the stem bolts.", True),
        ("My fork and my stem cracked. I've changed the stem.", True),
        ("I've changed the stem. The bars have slipped again since.", True),
        ("I replaced the fork. On the way home the fork cracked.", True),
    ],
)
def test_a_broken_part_that_was_changed_since_endangers_nobody(message, text, beside):
    asks = split([message(f"{text} Which oil is best for a chain in winter?")])
    assert any(TOLD_BESIDE in question.flags for question in asks) is beside


def test_an_also_about_how_often_it_happens_goes_with_what_happened(message):
    text = "How did the wire come out of my lever? Also, does that happen a lot with levers of this kind?"

    (only,) = split([message(text)])

    assert only.text == text


def test_questions_without_a_verb_in_a_row_are_one_ask(message):
    (only,) = split(
        [message("The hub axle has gone blue. Too soft? Brittle? Bolts and nuts welded together?")]
    )

    assert only.text.endswith("Too soft? Brittle? Bolts and nuts welded together?")


@pytest.mark.parametrize(
    ("text", "beside"),
    [
        ("I broke my wrist in a crash on my carbon bike. It creaks since.", True),
        ("I crashed my carbon bike in May. A repairer has inspected it since.", False),
        ("I broke my wrist in a crash on my steel bike. It creaks since.", False),
        ("My computer crashed on the carbon bike's first ride.", False),
    ],
)
def test_a_crash_on_carbon_is_told_beside_what_is_asked(message, text, beside):
    asks = split([message(f"{text} Which oil is best for a chain in winter?")])
    assert any(TOLD_BESIDE in question.flags for question in asks) is beside


def _asked(message, text: str) -> list[str]:
    return [question.text for question in split([message(text)]) if question.is_question]


@pytest.mark.parametrize(
    "aside",
    ["the derailleur hangar (sp?) was loose", "the long cage (105?) touches", "a nut (or screw?) fell out"],
)
def test_a_doubt_in_brackets_neither_asks_nor_parts_a_sentence(message, aside):
    assert _asked(message, f"Yesterday {aside} on the way home. Which tool do I need for the cassette?") == [
        "Which tool do I need for the cassette?"
    ]


def test_a_question_in_brackets_is_asked(message):
    assert _asked(message, "I would fit titanium bolts to the stem (is it safe?).")


@pytest.mark.parametrize(
    "told",
    [
        "It smears, no matter how much cleaner I spray on.",
        "I oil it twice or three times a month, depending on how far I ride.",
        "Which means another evening in the cellar for me.",
        "Which sounds simple until you have lain under the bike.",
        "When tidying the shed I found the old wheel, and so I put that in.",
        "Do without shiny rims, I told myself, and ride them as they are.",
    ],
)
def test_what_only_goes_on_telling_is_no_ask(message, told):
    assert _asked(message, f"How do I get the tar off my rims? {told}") == [
        "How do I get the tar off my rims?"
    ]


@pytest.mark.parametrize("ask", ["Which is better, wax or oil", "which would you buy for a winter commuter"])
def test_which_without_a_mark_still_asks(message, ask):
    assert _asked(message, ask) == [ask]


@pytest.mark.parametrize(
    "ask", ["Can this be right, I only rode it twice.", "could that be true of all cones"]
)
def test_who_doubts_what_they_were_told_asks(message, ask):
    told = "The shop says that with worn cones the whole hub is done."
    assert ask in _asked(message, f"{told} {ask}")[0]


def test_a_title_is_one_ask_with_what_it_is_the_title_of(message):
    text = "How long? How long should a rear hub run before it wants new grease?"
    assert _asked(message, text) == [text]


def test_what_an_ask_announces_is_told_after_it(message):
    (ask,) = _asked(
        message,
        "Hello. I'd be glad of any advice on the following:\n\nThe freewheel slips when it is cold. By noon it bites again.",
    )
    assert "The freewheel slips when it is cold. By noon it bites again." in ask


def test_the_crack_of_a_whip_is_no_crack(message):
    (question,) = split(
        [message("I filmed the frame when the crack occurs and the chain jumps. What makes that noise?")]
    )
    assert "danger" not in question.flags


@pytest.mark.parametrize(
    "text",
    [
        "The weld behind the saddle has broken. What now?",
        "My folder's main hinge is loose and rattles. Which bolt is it?",
        "The hinge of the frame has had some play since May.",
        "My son's bike has a wobbly stem.",
    ],
)
def test_a_weld_or_a_hinge_that_gives_is_a_danger(message, text):
    assert "danger" in split([message(text)])[0].flags


@pytest.mark.parametrize(
    ("text", "asks"),
    [
        (
            "Two things.\n1. How do I stop cables from freezing?\n2. Which grease goes on the saddle post?",
            ["1. How do I stop cables from freezing?", "2. Which grease goes on the saddle post?"],
        ),
        (
            "There's rust below the bottle bosses. 1. Does it matter? 2. If it does, who mends such things?",
            [
                "There's rust below the bottle bosses. 1. Does it matter? 2. If it does, who mends such things?"
            ],
        ),
        (
            "Hello, 1) can I oil the hub gear myself 2) how often 3) what oil",
            ["1) can I oil the hub gear myself 2) how often 3) what oil"],
        ),
        (
            "Can I fit 32 mm tyres? I have two more questions: a) Why is the rear brake so weak? b) Is it the pads?",
            [
                "Can I fit 32 mm tyres?",
                "I have two more questions: a) Why is the rear brake so weak? b) Is it the pads?",
            ],
        ),
        (
            "Please tell me what I do wrong:\n1. I wash the chain.\n2. I dry it.\n3. I oil it.",
            ["Please tell me what I do wrong: 1. I wash the chain. 2. I dry it. 3. I oil it."],
        ),
        ("Tyres 40 mm wide, pressure 2.5 bar. Is that enough?", None),
    ],
)
def test_a_list_is_parted_where_its_items_name_something(message, text, asks):
    assert _asked(message, text) == (asks if asks is not None else [text])


def test_what_came_to_mind_on_todays_ride_is_not_urgent(message):
    (told,) = split([message("A thought on my ride home today: may a chain be washed with a jet?")])
    (coming,) = split([message("My ride is tomorrow: may a chain be washed with a jet?")])

    assert "urgent" not in told.flags
    assert "urgent" in coming.flags


@pytest.mark.parametrize(
    ("text", "is_urgent"),
    [
        ("I went for a long ride today and the saddle hurt. Which one is softer?", False),
        ("Can I do the club ride today with one spoke gone?", True),
        ("Which tube saves my aunt from getting stranded?", False),
        ("Stranded in Dufton with a torn tyre. What can I put in it?", True),
        ("How do I shift my weight in an emergency stop?", False),
        ("Emergency! The pad fell out. What now?", True),
    ],
)
def test_only_what_cannot_wait_is_urgent(message, text, is_urgent):
    assert ("urgent" in split([message(text)])[0].flags) == is_urgent


@pytest.mark.parametrize(
    ("text", "held"),
    [
        (
            "The stem won't leave the fork. Any ideas before I throw the frame in the bin?",
            "The stem won't leave",
        ),
        ("Rims have a groove since May. Anyone else had similar trouble with theirs?", "Rims have a groove"),
        (
            "Gears dead? I moved the rack last night. Did I knock the cable out?",
            "I moved the rack last night.",
        ),
    ],
)
def test_an_ask_that_says_nothing_by_itself_takes_its_story_along(message, text, held):
    assert held in split([message(text)])[0].text


def test_advice_on_something_says_what_it_is_on(message):
    text = "I ride to work. Any advice on which brake pads last longest in rain and salt?"
    assert split([message(text)])[0].text == "Any advice on which brake pads last longest in rain and salt?"


def test_a_danger_to_the_same_two_parts_is_what_is_asked_about(message):
    told = "The shop rang to say that the front brake broke off the fork."
    same = split([message(f"{told} Who mends a fork whose brake is gone?")])
    other = split([message(f"{told} Which blocks suit the front brake in rain?")])
    assert [TOLD_BESIDE in question.flags for question in same] == [False]
    assert [TOLD_BESIDE in question.flags for question in other] == [False, True]


@pytest.mark.parametrize(
    ("text", "is_told"),
    [
        ("Both tyre levers snapped on that deep wheel. What do others use?", False),
        ("My tire irons bent. Which ones are stronger?", False),
        ("The tyre split at the side. Can I ride it home?", True),
    ],
)
def test_broken_tyre_levers_are_no_danger(message, text, is_told):
    assert ("danger" in split([message(text)])[0].flags) is is_told


@pytest.mark.parametrize(
    "text", ["What's a loose bar tape held with?", "The door hinge is oiled, what play?"]
)
def test_loose_tape_is_no_danger(message, text):
    assert "danger" not in split([message(text)])[0].flags


def test_an_aside_with_a_mark_neither_asks_nor_parts_its_sentence(message):
    told = "On Monday (who else commutes on a Monday?) and on Tuesday the hub clicked."
    assert _asked(message, f"{told} What should I oil?") == [f"{told} What should I oil?"]


@pytest.mark.parametrize(
    "remark", ["You know what?", "Which is fine by me.", "which is not what the shop promised"]
)
def test_a_remark_behind_a_story_is_no_ask(message, remark):
    assert _asked(message, f"The dealer was closed. {remark}") == []


def test_a_second_question_is_an_ask_of_its_own(message):
    assert (
        len(_asked(message, "How often do I oil the chain? And second question, which grease for the hub?"))
        == 2
    )


@pytest.mark.parametrize(
    ("text", "in_danger"),
    [
        (
            "The bolt of my bottle cage turns with its insert, which came loose in the frame. How do I get it out?",
            False,
        ),
        ("The bottle cage is on, and the stem is loose again. How tight must it be?", True),
        ("The new tube drags where the one of my previous cracked frame spun. Why is that?", False),
        ("I still ride the cracked frame. How long will it hold?", True),
    ],
)
def test_what_throws_nobody_is_no_danger(message, text, in_danger):
    [question] = split([message(text)])

    assert ("danger" in question.flags) is in_danger


@pytest.mark.parametrize(
    "told",
    [
        "What a mess the salt had made of my cassette!",
        "When spring comes I want to take the tandem out again.",
        "Which is daft with tyres as bald as mine.",
        "My aunt still remembered how to ride, after thirty years off a bicycle.",
        "That reminds me why I sold the other bike.",
        "There are plenty of jobs on a bicycle that I never learnt how to do.",
        "On Monday I'll ask my uncle, who built frames, whether he has any advice.",
        'The man at the ferry only said "is that thing legal?"',
        "How often does a chain snap?... hardly ever, in my experience.",
        "It should be light, good for the train and ok to ride on towpaths.",
        "Can't bend the rim by hand, can't see a crack in it either.",
    ],
)
def test_what_reads_like_an_ask_and_is_told_asks_nothing(message, told):
    (question,) = split([message(f"{told} I oiled the chain on Sunday.")])

    assert not question.is_question


@pytest.mark.parametrize(
    "ask",
    [
        "I don't know how to get the cassette off",
        "I haven't worked out how to set the front derailleur",
        "When should a chain be changed",
        'My question is simply "will the old chain do?"',
        "Is it ok to ride on a cracked tyre",
        "ok to ride with one brake for a week",
        "can't I just leave the old cassette on",
        "and with sealant in the tyre, how messy a job is it to put a tube in",
    ],
)
def test_what_is_like_a_telling_and_asks_is_an_ask(message, ask):
    (question,) = split([message(ask)])

    assert question.is_question


@pytest.mark.parametrize(
    ("text", "count"),
    [
        # What follows dots with "or" is the other half of the choice.
        ("Wax on the chain... or oil? Which keeps longer?", 1),
        # A title and the ask below it, without a line between them.
        ("Help with a seized freewheel. It has stood since May. How do I get the freewheel off?", 1),
        (
            "Touring saddle, leather or plastic? I ride long days. Which touring saddle lasts, leather or plastic?",
            1,
        ),
        ("Will she live? The stem turned twice this week. Do old stems wear out?", 1),
        (
            "1. Does the rack hold with two bolts? 2. If it does not, are there longer bolts for thick stays?",
            1,
        ),
        ("Help with a seized freewheel. It has stood since May. Which oil is best for a chain?", 2),
    ],
)
def test_a_matter_asked_twice_is_one_ask(message, text, count):
    assert len(split([message(text)])) == count


def test_a_hollow_call_for_help_has_what_stands_behind_it(message):
    (question,) = split(
        [message("Please help! It happened again at the third one. I was as careful as I can be.")]
    )

    assert "third one" in question.text


def test_a_heading_that_says_nothing_has_its_story(message):
    (question,) = split(
        [message("Will she live? We had a lovely day. The stem turned twice. Do old stems wear out?")]
    )

    assert "turned twice" in question.text


@pytest.mark.parametrize(
    ("text", "is_told"),
    [
        ("How often does a front wheel fall out of a bicycle? I'd like to know before I buy one.", False),
        ("How likely is it that my fork has cracked? It came off a roof rack.", True),
        ("My brakes aren't too loose and they don't rub. What else could squeak?", False),
        ("My headset and my stem are too loose. What do I do?", True),
        (
            "If I wind the cone in the wheel drags, and if it's too loose the rim rocks. How far is right?",
            False,
        ),
        ("The cone of my front wheel is too loose and I rode home on it. How far is right?", True),
        ("I checked, and the pedals hadn't come loose. Which grease for their threads?", False),
        ("I checked, and the left pedal had come loose. Which grease for the thread?", True),
    ],
)
def test_what_is_asked_in_general_or_denied_is_no_danger(message, text, is_told):
    assert ("danger" in split([message(text)])[0].flags) is is_told


@pytest.mark.parametrize(
    ("text", "told"),
    [
        (
            "My tourer has two problems. First, the front derailleur rubs. The other problem is a brake that squeals. Any ideas?",
            ["First, the front derailleur rubs.", "The other problem is a brake that squeals."],
        ),
        (
            "A couple of issues with my tandem. Number one is a mudguard that rattles. Number two: the drum brake squeals.",
            ["Number one is a mudguard that rattles.", "Number two: the drum brake squeals."],
        ),
        # A part that touches another is in trouble.
        (
            "Two faults on my roadster. 1) The hub slips. 2) As I steer right the front block hits the rim. Any ideas?",
            ["1) The hub slips.", "2) As I steer right the front block hits the rim."],
        ),
        # What is counted is no trouble with a bicycle, or something of its own is asked.
        (
            "Some issues with the shop. First they were rude. Second they were late. Any thoughts?",
            ["Any thoughts?"],
        ),
        (
            "Two problems solved. First the brake that squealed, second the creaking saddle. Which chain fits a ten-speed cassette?",
            ["Which chain fits a ten-speed cassette?"],
        ),
    ],
)
def test_troubles_that_are_counted_up_are_told_apart(message, text, told):
    questions = split([message(text)])

    assert len(questions) == len(told)
    assert all(part in question.text for part, question in zip(told, questions, strict=True))


def test_what_is_told_before_counted_troubles_is_context_for_each(message):
    questions = split(
        [message("It's a 3-speed roadster. Two faults. First, the hub slips. Second, a brake squeals.")]
    )

    assert all("3-speed roadster" in question.context for question in questions)


def test_one_curiosity_is_a_matter_of_its_own(message):
    questions = split(
        [
            message(
                "The leaflet wants a new bar every four years. I doubt it. One oddity I found is that the cranks stand still "
                "when I push it back. Is that meant to be?"
            )
        ]
    )

    assert [question.text.startswith("One oddity") for question in questions] == [True]


def test_troubles_counted_within_a_sentence_are_one_question_each(message):
    text = (
        "Cold ride. I have two problems, firstly the rear brake froze to the rim and the lever won't move. "
        "Secondly my hub gears stick in second. The bike stands outside, any suggestions please?"
    )
    first, second = split([message(text)])
    assert "brake" in first.text
    assert "hub gears" not in first.text
    assert "hub gears" in second.text


def test_what_seeks_a_nod_is_no_ask_beside_another(message):
    text = (
        "My hub slips in second gear, what can I do about the hub? The lanes are icy, same with you I guess?"
    )
    assert [ask.text for ask in split([message(text)])] == [
        "My hub slips in second gear, what can I do about the hub?"
    ]
    assert split([message("So the chain is worn, I guess?")])[0].is_question


@pytest.mark.parametrize(
    ("text", "count"),
    [
        ("May the tyres of a trike be mixed ... one kind behind and another in front?", 1),
        ("Will the rim take it... what width do you ride?", 2),
        ("I rode it with the cable off... still it slips, and I wonder why.", 1),
    ],
)
def test_three_dots_part_an_ask_only_where_another_begins(message, text, count):
    from triage.split.sentences import sentences_of

    assert len(sentences_of(text)) == count


def test_what_somebody_exclaimed_is_no_ask_of_the_riders(message):
    text = 'Somebody at the fire exclaimed, "Is that a unicycle?!" Which oil for a chain in winter?'
    assert [ask.text for ask in split([message(text)])] == ["Which oil for a chain in winter?"]


def test_a_hollow_ask_with_guesses_goes_with_the_one_that_names_what_was_told(message):
    text = (
        "Home at last. A stone had gone into the rim and stuck there. It ran true all the same. "
        "What do you think? A dab of varnish? Are all carbon rims so soft?"
    )
    (ask,) = split([message(text)])
    assert "A stone had gone into the rim" in ask.text
    text = "The bell rattles on kerbs. What do you think? A dab of glue? Which oil for a chain in winter?"
    assert len(split([message(text)])) == 2


def test_a_plan_to_learn_is_no_ask(message):
    asks = split([message("The chain skips. Why? Next week I'm going to learn for good how to set gears.")])
    assert len(asks) == 1
    assert "learn" not in asks[0].text


@pytest.mark.parametrize(
    "wish",
    [
        "Suggestions from anybody who has a hub like it are most welcome!",
        "Your opinion will be much appreciated.",
        "I'd really like some advice on it.",
        "I should be grateful to know whether the hub is past it.",
        "Still trying to work out why it does it.",
        "It had stood in the frost, so wondered if that played a part.",
        "Just curious if the grease does it.",
        "We're looking for a solution that lasts.",
    ],
)
def test_a_wish_for_an_answer_asks_wherever_it_stands(message, wish):
    (question,) = split([message(f"My rear hub rumbles since Easter. {wish}")])
    assert question.is_question
    assert "rear hub rumbles" in question.text


@pytest.mark.parametrize(
    "told",
    [
        "Your help with the hub was much appreciated.",
        "I was trying to work out why it rumbled, and then I found the stone.",
        "Not looking for advice, just telling how it went.",
        "The help I had from the club has been great.",
    ],
)
def test_a_wish_that_is_over_asks_nothing(message, told):
    assert [question.is_question for question in split([message(f"The hub runs well again. {told}")])] == [
        False
    ]


def test_who_is_not_sure_of_the_best_way_asks_for_it(message):
    text = "My short brake arms touch the mudguard. I could fit cantilevers or long arms. I'm not sure of the best way to go."
    (ask,) = split([message(text)])
    assert ask.is_question
    assert "cantilevers" in ask.text
    assert not split([message("I bought it in spring, I'm not sure of the day. It rode well for years.")])[
        0
    ].is_question


def test_a_guess_behind_a_guess_goes_with_what_was_wondered(message):
    text = "The front shifts late, and I wonder if the frost did it. Maybe because it stood indoors. Cables shrinking perhaps?"
    assert len(split([message(text)])) == 1
    text = (
        "Why does the front shift late? I have a tandem with weak brakes. New cables for its brakes perhaps?"
    )
    assert len(split([message(text)])) == 2


def test_marked_sentences_are_told_apart_as_well_as_when_last_measured() -> None:
    """On 480 invented messages that nobody tuned on, sentence by sentence: 0.71 of what is found asks, and 0.82 of what asks is found."""
    found, asks = [], []
    for one in marked():
        lowered = [lower_case(sentence) for sentence in one.sentences]
        for index, (sentence, mark) in enumerate(zip(lowered, one.marks, strict=True)):
            found.append(is_ask(sentence) and not is_answered(sentence, lowered[index + 1 : index + 2]))
            asks.append(mark[0] in "ao")
    hits = sum(one and other for one, other in zip(found, asks, strict=True))

    assert hits / sum(found) > 0.69
    assert hits / sum(asks) > 0.79


@pytest.mark.parametrize(
    ("text", "count"),
    [
        (
            "How is a cup and cone hub set properly?\n\nI watched a man do it, yet I'm still not sure how tight the hub should be?",
            1,
        ),
        (
            "Can somebody explain how the limit screws work? I read two pages of it and I still don't understand which screw does what?",
            1,
        ),
        (
            "How is a cup and cone hub set properly?\n\nMy saddle has slipped twice and I'm still not sure how tight its clamp should be?",
            2,
        ),
    ],
)
def test_a_doubt_that_stays_is_about_what_was_asked(message, text, count):
    assert len(split([message(text)])) == count


@pytest.mark.parametrize(
    ("text", "asks"),
    [
        (
            "We rode up in the dark. Had the lamp gone flat? No, it hadn't. A mile on the chain fell off.",
            False,
        ),
        ("Has the chain gone? No, I put it on last week. It still skips.", True),
        ("The same goes for any advice I gave about cranks.", False),
        ("I'd be glad of any advice on cranks.", True),
        ("The new bar is 4 cm wider. I'm torn between sawing it down and the old one.", True),
        ("The new bar is 4 cm wider. We were debating it all night and sawed it down.", False),
        ("We rode forty miles, of which one was flat.", False),
        ("I have two cranks, and I can't tell which one is bent.", True),
    ],
)
def test_what_is_answered_at_once_or_only_told_asks_nothing(message, text, asks):
    assert any(question.is_question for question in split([message(text)])) is asks


@pytest.mark.parametrize(
    ("text", "asked"),
    [
        (
            "Which oil for my chain? Also, any tips for the gears on my tourer? They are crisp for a week and then go off.",
            "Also, any tips for the gears on my tourer? They are crisp for a week and then go off.",
        ),
        (
            "Which oil for my chain? Also, any tips for the gears on my tourer? We leave for the coast in June.",
            "Also, any tips for the gears on my tourer?",
        ),
    ],
)
def test_a_second_ask_has_its_story_behind_it(message, text, asked):
    assert split([message(text)])[-1].text == asked


def test_a_short_ask_that_opens_others_has_what_was_told_before_it(message):
    told = "I could press a sleeve into the shell. It frightens me a little. "
    text = told + "Would I notice anything? Is it as stiff as a bearing that sits right in the frame?"
    (question,) = split([message(text)])
    assert question.text.startswith("I could press a sleeve")


def test_two_asks_of_one_sentence_stay_together_and_are_told_apart(message):
    (one,) = split([message("Can I service them at home, and how do I get the pedal's axle out?")])
    assert one.asked == ("Can I service them at home", "how do I get the pedal's axle out?")


@pytest.mark.parametrize(
    ("text", "is_danger"),
    [
        ("I oiled the chain and greased the brake rotors against rust. Which oil for the cables?", True),
        ("I greased the brake pad pins. Which oil for the cables?", False),
        ("I never greased the rotors. Which oil for the cables?", False),
        ("The rear pads are worn down to the metal. Which bell is loudest?", True),
        ("A spoke broke on Friday and the rim wobbles by a finger. Which bell is loudest?", True),
        ("A spoke broke on Friday and the shop replaced it. Which bell is loudest?", False),
        ("I run 6.5 bar on hookless rims. How often do I top up the sealant?", True),
        ("I keep to 4.5 bar on hookless rims. How often do I top up the sealant?", False),
        ("The front skewer was open when I got home. Which chain oil lasts?", True),
        ("The tandem needs both hands to stop downhill. Which bell is loudest?", True),
        ("There is 4 mm of play in my rear wheel. Which oil do I put in?", True),
        ("After the crash the bars had turned in the stem. How do I clean the tape?", True),
        ("My stem bolts came loose twice. Which thread-lock?", True),
    ],
)
def test_what_is_told_in_passing_may_endanger(message, text, is_danger):
    assert any("danger" in question.flags for question in split([message(text)])) is is_danger


@pytest.mark.parametrize(
    ("text", "asks"),
    [
        ("I've oiled my chain with gear oil for years. Go on, tell me why I shouldn't.", True),
        ("Tell me which grease goes into a freehub.", True),
        ("The shop didn't tell me why the rim had cracked.", False),
        ("They always tell me how clean my chain is.", False),
    ],
)
def test_who_is_told_to_tell_is_asked(message, text, asks):
    assert any(question.is_question for question in split([message(text)])) is asks


@pytest.mark.parametrize(
    ("text", "flagged"),
    [
        (
            "Tried the new front brake hard, and snap, the cable pops right out of the lever. Long housing?",
            True,
        ),
        ("My brake's inner keeps slipping out at the anchor, how tight must it be?", True),
        ("Slowing with my legs on the track bike, the lockring came off. Is the hub done for?", True),
        ("How do I get the cable out of the brake lever?", False),
        ("My brakes are fine. The gear cable came out of the lever, which head has it?", False),
        ("The lockring won't come off my cassette. Which tool?", False),
        (
            "Flat out downhill my rear calliper popped open on its own. Which way should its lever point?",
            True,
        ),
        ("Does the spring push the calliper open by itself, or do the blocks?", False),
        ("When I stop pedalling the hub howls and it felt like hitting the brakes. Bearing?", True),
        ("With soft tyres it feels like riding with a brake on. How much air?", False),
        (
            "How do I shorten the brake lever's way? I have to squeeze it nearly all the way to the grip.",
            True,
        ),
        ("How do I fit the brake lever? I have to push the tape to the bar first.", False),
        ("The brake cable came out of the bag with no ferrules. Must there be any?", False),
    ],
)
def test_a_cable_that_leaves_its_brake_and_a_lockring_that_comes_off_are_dangers(message, text, flagged):
    assert ("danger" in split([message(text)])[0].flags) is flagged

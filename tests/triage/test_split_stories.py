"""An ask with what it is about, and no ask made of a mere remark."""

from __future__ import annotations

import pytest

from triage.split import split


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
                "Twice this year a tyre has jumped off my front rim. Once I was pumping. Once it stood still. "
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
    ],
)
def test_a_story_is_no_ask_and_an_ask_has_its_story(message, text, asks):
    assert [question.text for question in split([message(text)]) if question.is_question] == asks

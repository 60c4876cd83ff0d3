"""Part names with one slip: how many are found among thousands of catalogue parts, and what a message costs.

    python -m benchmarks.scale.part_names PARTS MESSAGES SEED

Prints one line of JSON. The catalogue is ours with invented parts added, named in the forms that ours have. A slip falls on
any letter of a name, short words included, never on a figure: another figure is another part.
"""

from __future__ import annotations

import json
import sys
import time
from dataclasses import replace
from typing import Any

from benchmarks.inbox import Composer, Rates
from benchmarks.inbox.voice import Voice
from knowledge.base import CataloguePart, Knowledge
from knowledge.load import load

MADE = "invented"
# No other kind of part right behind the name, which would rightly be held against it.
SAID = (
    "The {} was fitted a year ago.", "I have got a {} and have had no trouble so far.", "It is the {}, as far as I can make out.",
    "My neighbour swears by his {} in all weathers.", "What do you think of the {} after such a long time?",
)  # fmt: skip


def catalogue(knowledge: Knowledge, parts: int, seed: int) -> Knowledge:
    """The knowledge with invented parts added up to that number; no two names are alike."""
    voice = Voice(knowledge, seed)
    known = list(knowledge.parts.values())
    makers = [voice.surname() for _ in range(max(8, parts // 60))]
    taken = {part.name.lower() for part in known}
    invented: dict[str, CataloguePart] = {}
    while len(invented) + len(known) < parts:
        like = voice.pick(known)
        name = _name_like(like.name, voice)
        if name.lower() in taken:
            continue
        taken.add(name.lower())
        identity = f"{MADE}-{len(invented)}"
        invented[identity] = CataloguePart(
            identity, like.kind, voice.pick(makers), name, (), like.properties, "benchmark"
        )
    # Finders are kept by the digest, and this is another catalogue.
    return replace(knowledge, parts={**knowledge.parts, **invented}, digest=f"{MADE}-{parts}-{seed}")


def _name_like(name: str, voice: Voice) -> str:
    """A name of the same form: its first word another, its figures others, its further words as they are."""
    first, *rest = name.split(" ")
    if any(letter.isdigit() for letter in first):
        letters = "".join(voice.pick("BCDFGHKLMNPRSTVWXZ") for _ in range(voice.between(1, 3)))
        first = f"{letters}{voice.between(2, 9999)}"
    else:
        # As short as ours are: a slip in a short word is the harder one to read.
        first = voice.model()[: max(4, len(first) + voice.between(-1, 2))]
    return " ".join([first, *(_other_figures(word, voice) for word in rest)])


def _other_figures(word: str, voice: Voice) -> str:
    if not word.replace("-", "").isdigit():
        return word
    return "-".join(str(voice.between(8, 60 if len(part) < 3 else 230)) for part in word.split("-"))


def measured(parts: int, messages: int, seed: int) -> dict[str, Any]:
    """Shares found of exact names and of names with one slip, false finds, and milliseconds of the core a message."""
    from triage.part_names import PartFinder

    knowledge = load()
    large = catalogue(knowledge, parts, seed)
    composer = Composer(knowledge, seed, Rates(chatter=0.0, foreign=0.0, repeats=0.0, follow_ups=0.0))
    voice = Voice(large, seed + 1)
    texts = [one.text for one in composer.messages(messages)]
    invented = [part for part in large.parts.values() if part.id.startswith(MADE)]
    named = [_named(text, voice.pick(invented), voice) for text in texts]
    began = time.process_time()
    finder = PartFinder(large)
    building = time.process_time() - began
    # The words that riders use are met early; what is timed is what a long inbox costs.
    for text in texts[: messages // 4]:
        finder.find(text)
    exact = [_is_found(finder, text, part) for text, part, slip in named if not slip]
    began = time.process_time()
    slipped = [_is_found(finder, text, part) for text, part, slip in named if slip]
    seconds = time.process_time() - began
    false = sum(1 for text in texts for mention in finder.find(text) if mention.part_id.startswith(MADE))
    return {
        "parts": len(large.parts),
        "messages": messages,
        "words": sum(text.count(" ") + 1 for text in texts) / messages,
        "exact": sum(exact) / max(len(exact), 1),
        "one_slip": sum(slipped) / max(len(slipped), 1),
        "names_with_a_slip": len(slipped),
        "ms_a_message": seconds / max(len(slipped), 1) * 1000,
        "false_finds_a_thousand": false / messages * 1000,
        "index_seconds": building,
    }


def _named(text: str, part: CataloguePart, voice: Voice) -> tuple[str, CataloguePart, bool]:
    """The text with the part's name in it, in four of five cases with one slip; codes of figures alone stay exact."""
    name = f"{part.maker} {part.name}" if voice.happens(0.4) else part.name
    words = name.split(" ")
    places = [place for place, word in enumerate(words) if word.isalpha() and len(word) > 2]
    slip = bool(places) and voice.happens(0.8)
    if slip:
        place = voice.pick(places)
        words[place] = voice.slip(words[place])
        slip = words[place].lower() not in (word.lower() for word in name.split(" "))
    return f"{voice.pick(SAID).format(' '.join(words))} {text}", part, slip


def _is_found(finder: Any, text: str, part: CataloguePart) -> bool:
    return any(mention.part_id == part.id for mention in finder.find(text))


if __name__ == "__main__":
    print(json.dumps(measured(*map(int, sys.argv[1:4]))))

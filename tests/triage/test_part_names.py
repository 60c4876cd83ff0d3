"""Names of the catalogue in riders' words, with thousands of rows in it."""

from __future__ import annotations

import random
from dataclasses import replace
from types import MappingProxyType

import pytest
from rapidfuzz import fuzz, process

from knowledge.base import CataloguePart, Knowledge
from triage.part_names import LEAST_TOKEN, MOST_READINGS, NearTokens, PartFinder

SYLLABLES = [
    "ka",
    "rin",
    "tor",
    "vel",
    "mo",
    "dun",
    "ser",
    "pha",
    "lix",
    "bra",
    "nor",
    "gal",
    "eth",
    "wyn",
    "cor",
    "tas",
    "mil",
    "ven",
    "dro",
    "qui",
    "lan",
    "fer",
    "zo",
    "pel",
]
ROWS = 4000


@pytest.fixture(scope="module")
def large(knowledge: Knowledge) -> Knowledge:
    """The catalogue with four thousand invented tyres more."""
    chance = random.Random(3)

    def word() -> str:
        return "".join(chance.choice(SYLLABLES) for _ in range(chance.choice((2, 3)))).title()

    names = sorted({f"{word()} {word()} {chance.choice((25, 28, 32, 40))}" for _ in range(ROWS)})
    parts = dict(knowledge.parts)
    for number, name in enumerate(names):
        maker, _, model = name.partition(" ")
        parts[f"t{number}"] = CataloguePart(
            f"t{number}", "tyre", maker, model, (), {"tyre_width_mm": 28.0}, "demo"
        )
    return replace(knowledge, parts=MappingProxyType(parts), digest="large")


def with_a_typo(name: str, chance: random.Random) -> str:
    """The name with a letter left out, put in, or changed places with its neighbour."""
    words = name.split()
    place = max(range(len(words)), key=lambda i: len(words[i]))
    word, at = words[place], chance.randrange(1, len(words[place]) - 1)
    words[place] = chance.choice(
        (
            word[:at] + word[at + 1 :],
            word[:at] + "e" + word[at:],
            word[:at] + word[at + 1] + word[at] + word[at + 2 :],
        )
    )
    return " ".join(words)


def test_a_name_with_one_typo_is_found_among_thousands(large: Knowledge) -> None:
    finder, chance = PartFinder(large), random.Random(5)
    ours = [part for key, part in large.parts.items() if key.startswith("t")]
    asked = chance.sample(ours, 300)

    found = [
        any(
            mention.part_id == part.id
            for mention in finder.find(
                f"will the {with_a_typo(f'{part.maker} {part.name}', chance)} tyre fit my rim?"
            )
        )
        for part in asked
    ]

    assert sum(found) >= 0.95 * len(asked)


def test_no_token_that_is_like_a_word_is_passed_over(large: Knowledge) -> None:
    """Held against every token of the catalogue, as the pieces spare us from doing."""
    chance = random.Random(8)
    tokens = [token for token in PartFinder(large).bearers if len(token) >= 5]
    near = NearTokens(tokens)
    words = [_with_slips(chance.choice(tokens), chance) for _ in range(600)]

    alike = [near.like(word) for word in words]

    assert sum(map(bool, alike)) > 200
    for word, found in zip(words, alike, strict=True):
        best = process.extract(word, tokens, scorer=fuzz.ratio, score_cutoff=LEAST_TOKEN, limit=MOST_READINGS)
        assert found == [token for token, _, _ in best if token != word] or word in tokens


def _with_slips(word: str, chance: random.Random) -> str:
    """The word with up to four letters left out or put in."""
    letters = list(word)
    for _ in range(chance.randrange(5)):
        place = chance.randrange(len(letters))
        if chance.random() < 0.5:
            letters.insert(place, chance.choice("aeiorst"))
        else:
            del letters[place]
    return "".join(letters)


def test_a_size_that_hundreds_of_names_end_in_finds_the_right_one(large: Knowledge) -> None:
    finder = PartFinder(large)
    part = next(
        part for key, part in large.parts.items() if key.startswith("t") and part.name.endswith(" 28")
    )

    found = finder.find(f"I run 28 mm, a {part.maker} {part.name}, at 28 psi and want 28 or 32.")

    assert [mention.part_id for mention in found] == [part.id]


def test_plain_questions_name_none_of_thousands(large: Knowledge) -> None:
    finder = PartFinder(large)
    asked = [example for brief in large.briefs.values() for example in brief.examples[:3]]

    wrong = [text for text in asked if any(m.part_id.startswith("t") for m in finder.find(text))]

    assert len(wrong) <= 0.005 * len(asked)

"""What is looked at first, so that most patterns need not be tried, leaves nothing out."""

from __future__ import annotations

import random
import re
from itertools import pairwise

import pytest

from knowledge.base import Knowledge
from tests.triage.extract.scoring import BLIND, phrases
from triage.extract import Finder, choices, quantities, spelled
from triage.extract.forms import FORMS
from triage.extract.likeness import LEAST_LEAD, LEAST_LIKENESS, Likeness

EVERYWHERE = re.compile("")


@pytest.fixture(scope="module")
def texts() -> list[str]:
    """The labelled phrases, pairs of them, and every form's own example."""
    told = [phrase.text for phrase in (*phrases(), *phrases(BLIND))]
    chance = random.Random(11)
    mixed = [" ".join(chance.sample(one.split() + other.split(), 12)) for one, other in pairwise(told[:600])
             if len(one.split() + other.split()) >= 12]  # fmt: skip
    return [*told, *mixed, *(form.catches for form in FORMS)]


def test_readers_are_asked_wherever_one_of_their_forms_stands(
    finder: Finder, texts: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    quick = [finder.find(text) for text in texts]

    monkeypatch.setattr(quantities, "_FORMS", EVERYWHERE)

    assert [finder.find(text) for text in texts] == quick


def test_numbers_in_words_are_found_wherever_one_begins(texts: list[str]) -> None:
    spoken = [
        *texts,
        "two and a half",
        "point five of a bar",
        "an hundred and two",
        "nineteen hundred",
        "oh point five",
    ]
    for text in map(str.lower, spoken):
        assert [m.span() for m in spelled._number_runs(text)] == [
            m.span() for m in spelled._RUN.finditer(text)
        ]


@pytest.mark.parametrize(
    "before",
    [
        "it is not ",
        "without any ",
        "isnt a ",
        "haven't got a ",
        "neither ",
        "rather than the ",
        "instead of my ",
        "non-",
    ],
)
def test_every_negation_is_looked_for(before: str) -> None:
    assert choices._is_negated(before)


def test_the_likest_quantity_is_the_likest_of_all(knowledge: Knowledge, texts: list[str]) -> None:
    """Held against every quantity's whole description, word by word."""
    kinds = {name: kind for name, kind in knowledge.quantities.items() if kind.kind == "number"}
    likeness = Likeness(kinds)
    named = 0
    for text in texts:
        near = likeness.near(text, "")
        ranked = sorted(((likeness.of(name, near, 1.0), name) for name in kinds), reverse=True)
        clear = ranked[0][0] >= max(LEAST_LIKENESS, LEAST_LEAD * ranked[1][0])
        named += clear
        assert likeness.most_like(kinds, lambda _: 1.0, text, "") == (ranked[0][1] if clear else None)
    assert named


@pytest.mark.parametrize("text", ["", " ", "?!", "___", "-"])
def test_a_text_without_words_states_nothing(finder: Finder, text: str) -> None:
    assert finder.find(text) == ([], [])

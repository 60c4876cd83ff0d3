"""Every branch of every brief's words reads as whole sentences, whatever one fact a rider gave or left out."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest

from knowledge import wording
from knowledge.brief import Brief
from knowledge.check import texts_of
from knowledge.load import load
from knowledge.resolve import plan
from triage.shown import NOT_KNOWN, Shown

KNOWLEDGE = load()
NUMBERS = (-2.0, 0.0, 1.0, 7.0, 1e4)
# "e.g." and the like aside, a sentence begins with a capital, a digit or a quotation mark; no sign stands alone or twice.
BROKEN = re.compile(
    r"(?<!\bNo)(?<!\bp)[.!?] [a-zäöü]|\s[,.;:!?](?:\s|$)|,,|\.\.(?!\.)|;;|,\.|\.,|[.!?][A-Z][a-z]{2}|\b(\w{3,}) \1 "
)


def names_of(brief: Brief) -> dict[str, Shown]:
    steps = [step.name for step in plan(brief, KNOWLEDGE).steps]
    return dict.fromkeys([need.name for need in brief.needs] + steps, NOT_KNOWN)


def worded(source: str, brief: Brief) -> Iterator[str]:
    """A text with nothing known, with each word of each choice, and with each number far down, at nothing and far up."""
    names = names_of(brief)
    given: list[dict[str, Shown]] = [{}]
    for name in wording.names_used(source) & names.keys():
        if name in KNOWLEDGE.choices:
            labels = [choice.label for choice in KNOWLEDGE.choices[name]]
            given += [{name: Shown(label, label, label, float("nan"), True, label)} for label in labels]
    for number in NUMBERS:
        text = f"{number:g} mm"
        told = {
            name: Shown(text, text, text, number, True, text)
            for name in wording.names_used(source) & names.keys()
            if name not in KNOWLEDGE.choices
        }
        given += [told | one for one in given[: len(given)] if not set(one) & set(told)][: 60 if told else 0]
    for one in given:
        yield wording.render(source, {**names, **one, "verdict": "yes", "rider": "Ana"})


@pytest.mark.parametrize("brief", KNOWLEDGE.briefs.values(), ids=KNOWLEDGE.briefs.keys())
def test_every_branch_is_whole_sentences(brief: Brief) -> None:
    broken = {
        f"{'.'.join(map(str, path))}: …{text[max(0, found.start() - 60) : found.end() + 40]}…"
        for path, source in texts_of(brief)
        for text in set(worded(source, brief))
        for found in [BROKEN.search(text)]
        if found
    }
    assert not broken, "\n".join(sorted(broken))


@pytest.mark.parametrize(
    "text",
    [
        "It will come. stop and take it away.",
        "The hub is one thing , the rim another.",
        "Nothing known. . And on.",
        "It holds.Then it goes.",
        "Look at the the rim.",
    ],
)
def test_a_broken_sentence_is_seen(text: str) -> None:
    assert BROKEN.search(text)

"""A question of a brief with what the rider stated, for tests that begin behind the reading."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from knowledge.base import Knowledge
from knowledge.phrases import load_phrases
from triage.decide import decide
from triage.draft import draft
from triage.match import match
from triage.records import Classified, Detail, Extracted, Finding, Message, Question


def asked(
    brief: str,
    details: Mapping[str, Any],
    text: str = "Does it fit?",
    rider: str | None = None,
    name: str = "q",
) -> Extracted:
    """A sorted question; a detail is a number in the unit of its name, a pair of numbers, or a word of a choice."""
    message = Message(name, "mail", None, None, rider, None, None, text, "", "")
    stated = tuple(
        Detail(key, _value(value), str(value), place, place + 1)
        for place, (key, value) in enumerate(details.items())
    )
    question = Question(name, message, text, "", True)
    return Extracted(Classified(question, brief.split("/")[0], 0.9, ((brief, 0.9),)), stated, ())


def found(question: Extracted, knowledge: Knowledge) -> Finding:
    """What the engine finds for it."""
    return decide(match([question], knowledge), knowledge)[0]


def reply(knowledge: Knowledge, brief: str, told: Mapping[str, object]) -> str:
    """The reply to a question of the brief in which this was told."""
    (made,) = draft([found(asked(brief, told), knowledge)], knowledge, load_phrases(), 150.0)
    assert made.reply is not None
    return made.reply


def _value(value: Any) -> Any:
    if isinstance(value, str):
        return value
    return tuple(map(float, value)) if isinstance(value, list | tuple) else float(value)

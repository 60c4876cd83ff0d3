"""Draft: one finding as a spoken script, as a reply to the rider, and as lines for the editor."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from knowledge.base import Knowledge
from knowledge.phrases import Phrases
from triage.draft.reply import frame, holding_frame, holding_reply, reply
from triage.draft.script import MOST_OFF, PACE_WORDS_PER_MINUTE, script
from triage.draft.telling import Telling
from triage.pace import reading_seconds
from triage.records import Draft, Finding, ReadyAnswer

DRAFT_FLAGS = frozenset({"doubtful-figure", "promise", "person", "conflict", "long-script"})
"""Flags that a draft sets and its question does not bring along."""


def draft(
    findings: Sequence[Finding],
    knowledge: Knowledge,
    phrases: Phrases,
    pace: float,
    seconds: float | None = None,
) -> list[Draft]:
    """Write every finding out; neighbours never open or close with the same sentence.

    `pace` is in words a minute; `seconds` asks for scripts of that length.
    """
    taken: dict[str, str] = {}
    return [_drafted(Telling(finding, knowledge, phrases, taken), pace, seconds) for finding in findings]


def _drafted(telling: Telling, pace: float, seconds: float | None) -> Draft:
    finding = telling.finding
    draft = partial(Draft, finding, pace=pace, asked_seconds=seconds)
    if not telling.question.is_question:
        return draft(None, (), (), None, None, None, _flags(telling))
    if telling.brief is None:
        cautions = telling.hold_off
        headline = "A person must answer this one."
        held = holding_reply(telling)
        framed = holding_frame(telling) if held is not None else ()
        return draft(headline, cautions, (), None, None, held, _flags(telling), reply_frame=framed)
    said, length = script(telling.aloud(), pace, seconds)
    return draft(
        headline=telling.headline,
        cautions=telling.said.cautions,
        checklist=telling.said.checklist,
        script=said,
        script_seconds=length,
        reply=reply(telling),
        flags=(*_flags(telling), *_too_long(length, seconds)),
        ready=tuple(_ready(telling)),
        reply_frame=frame(telling),
    )


def _ready(telling: Telling) -> list[ReadyAnswer]:
    """The reply for each side of what is asked, so that the rider's answer can be answered at once."""
    ready = []
    for side, finding in telling.finding.ready:
        then = Telling(finding, telling.knowledge, telling.phrases, dict(telling.taken))
        ready.append(ReadyAnswer(side.when, finding.verdict, then.headline, reply(then)))
    return ready


def _too_long(length: float, seconds: float | None) -> tuple[str, ...]:
    """Cautions are never dropped, so some answers can't be said as fast as was asked; the presenter should know."""
    return ("long-script",) if seconds is not None and length > seconds * (1 + MOST_OFF) else ()


def _flags(telling: Telling) -> tuple[str, ...]:
    flags = list(telling.question.flags)
    if telling.finding.matched.extracted.doubts:
        flags.append("doubtful-figure")
    if telling.brief is not None and telling.brief.promise:
        flags.append("promise")
    if telling.question.is_question and telling.brief is None:
        flags.append("person")
    if telling.finding.conflicts:
        flags.append("conflict")
    return tuple(dict.fromkeys(flags))


__all__ = ["DRAFT_FLAGS", "PACE_WORDS_PER_MINUTE", "draft", "reading_seconds"]

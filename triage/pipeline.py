"""The stages in their order, over one chunk of messages or one kept question; a message that fails is refused alone."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from types import MappingProxyType

import numpy as np

from knowledge.base import Knowledge
from knowledge.phrases import Phrases
from triage.classify import classify
from triage.corrected import Correction, as_corrected
from triage.decide import decide
from triage.draft import DRAFT_FLAGS, draft
from triage.extract import extract
from triage.follow_ups import most_alike, writes_again
from triage.heed import heed
from triage.ledger.rows import Line, message_key
from triage.ledger.store import Ledger
from triage.match import match
from triage.pinpoint import pinpoint
from triage.record_line import as_line
from triage.records import Classified, Draft, Message, Question, Refusal
from triage.regroup import regroup
from triage.sift import sift
from triage.sorter import Sorted, Sorter, Vectors
from triage.split import split


@dataclass(frozen=True)
class Desk:
    """Everything that the stages are given. `corrected_up_to` is the number of the last correction that was read."""

    knowledge: Knowledge
    phrases: Phrases
    sorter: Sorter
    pace: float
    taught: int = 0
    seconds: float | None = None
    corrections: Mapping[str, Sequence[Correction]] = field(default_factory=dict)
    corrected_up_to: int = (1 << 31) - 1

    @property
    def made_with(self) -> str:
        """What a draft depends on besides its message; when it changes, unsigned drafts are made anew."""
        return f"{self.knowledge.digest[:40]}-{self.pace:g}-{self.taught}-{self.seconds or 0:g}"


def worked_again(
    question_id: str,
    knowledge: Knowledge,
    phrases: Phrases,
    ledger: Ledger,
    corrections: Sequence[Correction],
) -> Line | None:
    """The draft of a kept question as it would be with these corrections; nothing is kept. None where it is unknown.

    How it was sorted, and at which pace it is read, is taken from its draft, so that nothing is sorted again.
    """
    message, before = ledger.message_of(question_id), ledger.question(question_id)
    if message is None or before is None:
        return None
    # As it was drafted: two asks of one message may have been put together, one parted, or tied to an earlier question.
    found = _question_like(question_id, split([message]))
    if found is None:
        return None
    asked = replace(
        found,
        question_id=question_id,
        text=before["text"],
        context=before["context"],
        follows=before["follows"],
    )
    made = _drafted(
        [_as_sorted(asked, before)],
        knowledge,
        phrases,
        before["pace"],
        before["asked_seconds"],
        {question_id: corrections},
    )[0]
    return as_line(made, knowledge) | {key: before[key] for key in ("repeats_of", "asked_by")}


def _question_like(question_id: str, whole: Sequence[Question]) -> Question | None:
    """The question of that name among those of its message, or for a part the first of them; None for another message's."""
    message = question_id.rpartition("-")[0]
    exact = (question for question in whole if question.question_id == question_id)
    first = (question for question in whole if question.question_id.rpartition("-")[0] == message)
    return next(exact, next(first, None))


def _as_sorted(asked: Question, before: Line) -> Classified:
    """A question sorted as it was before anybody corrected it."""
    was = before.get("sorted_as") or {
        **{key: before[key] for key in ("is_question", "flags", "topic", "topic_confidence")},
        "briefs": before["nearest_briefs"],
    }
    flags = tuple(flag for flag in was["flags"] if flag not in DRAFT_FLAGS)
    return Classified(
        replace(asked, is_question=was["is_question"], flags=flags),
        was["topic"],
        was["topic_confidence"],
        tuple((label, chance) for label, chance in was["briefs"]),
        was.get("point"),
        tuple(was.get("more_points", ())),
        was.get("perhaps"),
        tuple(was.get("likely", ())),
        was.get("in_order", True),
    )


def followed_by(messages: Sequence[Message], ledger: Ledger) -> dict[str, Line]:
    """The earlier question that each message writes about again, by message key."""
    threads = {message_key(m): [*filter(None, [m.in_reply_to]), *reversed(m.references)] for m in messages}
    answered = ledger.answered([identity for thread in threads.values() for identity in thread])
    followed = {
        key: answered[identity]
        for key, thread in threads.items()
        for identity in reversed(thread)
        if identity in answered
    }
    again = [m for m in messages if message_key(m) not in followed and writes_again(m)]
    theirs = ledger.answered_to([m.address for m in again if m.address], besides=list(threads))
    for message in again:
        earlier = most_alike(message, theirs.get(message.address or "", ()))
        if earlier is not None:
            followed[message_key(message)] = earlier
    return followed


def make_drafts(
    messages: Sequence[Message],
    desk: Desk,
    refusals: list[Refusal] | None = None,
    followed: Mapping[str, Line] = MappingProxyType({}),
) -> list[Draft]:
    """All stages over one chunk; where it fails as a whole, each message by itself, the faulty one refused."""
    try:
        return _stages(messages, desk, followed)
    except Exception as error:
        if len(messages) == 1:
            if refusals is None:
                raise
            message = messages[0]
            refusals.append(
                Refusal(
                    message.source,
                    message.item,
                    f"could not be drafted: {type(error).__name__}: {error}",
                    "The message is not lost: it is tried again on the next run. Please report it.",
                )
            )
            return []
    return [one for message in messages for one in make_drafts([message], desk, refusals, followed)]


def _stages(
    messages: Sequence[Message],
    desk: Desk,
    followed: Mapping[str, Line],
) -> list[Draft]:
    questions = split(messages)
    questions = [_tied(question, followed.get(message_key(question.message))) for question in questions]
    if not questions:
        return []
    sorted_ = _sorted(questions, desk.sorter)
    questions = sift(questions, sorted_)
    whole = desk.sorter.at_once([q.message.whole for q in questions])
    questions = heed(questions, whole, desk.knowledge, _meant(questions, desk.sorter))
    classified = classify(questions, sorted_)
    classified = regroup(classified, lambda asked: classify(asked, _sorted(asked, desk.sorter)))
    classified = pinpoint(classified, desk.sorter.points)
    return _drafted(classified, desk.knowledge, desk.phrases, desk.pace, desk.seconds, desk.corrections)


def _meant(questions: Sequence[Question], sorter: Sorter) -> Vectors | None:
    """What questions mean with their stories, (questions, 768), noughts for what asks nothing, which isn't read; None without a model."""
    asking = [row for row, question in enumerate(questions) if question.is_question]
    told = [questions[row] for row in asking]
    meant = sorter.meant([_told(q) for q in told], [q.story for q in told])
    if meant is None:
        return None
    every = np.zeros((len(questions), meant.shape[1]), dtype=np.float32)
    every[asking] = meant
    return every


def _sorted(questions: Sequence[Question], sorter: Sorter) -> Sorted:
    """What questions read like, each beside its whole message."""
    return sorter.sort([_told(q) for q in questions], [q.story for q in questions])


def _drafted(
    classified: Sequence[Classified],
    knowledge: Knowledge,
    phrases: Phrases,
    pace: float,
    seconds: float | None,
    corrections: Mapping[str, Sequence[Correction]],
) -> list[Draft]:
    extracted = extract(classified, knowledge)
    extracted = [as_corrected(e, corrections.get(e.question.question_id, ()), knowledge) for e in extracted]
    matched = match(extracted, knowledge)
    findings = decide(matched, knowledge)
    return draft(findings, knowledge, phrases, pace, seconds)


def _tied(question: Question, before: Line | None) -> Question:
    """A follow-up ("did that, still clicks") is read with the question that it follows."""
    if before is None:
        return question
    return replace(
        question,
        context=f"{question.context} {before['text']} {before['context']}".strip(),
        flags=(*question.flags, "follow-up"),
        follows=before["question_id"],
    )


def _told(question: Question) -> str:
    """What a question is sorted by first; "still clicks" says nothing without the question that it follows."""
    return question.text if question.follows is None else f"{question.context} {question.text}"

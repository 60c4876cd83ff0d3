"""The stages in their order, chunk by chunk; the only place that loops, reports progress and catches a failure."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from types import MappingProxyType

from knowledge.base import Knowledge
from knowledge.phrases import Phrases
from triage.classify import classify
from triage.corrected import Correction, as_corrected
from triage.decide import decide
from triage.draft import DRAFT_FLAGS, draft
from triage.extract import extract
from triage.follow_ups import most_alike, writes_again
from triage.group import group
from triage.ledger.store import Ledger, Line, message_key
from triage.match import match
from triage.read import read
from triage.record_line import as_line
from triage.records import Classified, Draft, Grouped, Message, Question, Refusal
from triage.sift import sift
from triage.sorter import Sorter
from triage.split import split

CHUNK = 500


@dataclass
class Run:
    """What one run met: the messages in their order, the refused inputs, and counts for the summary."""

    keys: list[str] = field(default_factory=list)
    refusals: list[Refusal] = field(default_factory=list)
    counts: Counter[str] = field(default_factory=Counter)


@dataclass(frozen=True)
class Desk:
    """Everything that the stages are given."""

    knowledge: Knowledge
    phrases: Phrases
    sorter: Sorter
    pace: float
    taught: int = 0
    seconds: float | None = None
    corrections: Mapping[str, Sequence[Correction]] = field(default_factory=dict)

    @property
    def made_with(self) -> str:
        """What a draft depends on besides its message; when it changes, unsigned drafts are made anew."""
        return f"{self.knowledge.digest[:40]}-{self.pace:g}-{self.taught}-{self.seconds or 0:g}"


def run(
    paths: Sequence[Path],
    desk: Desk,
    ledger: Ledger,
    columns: Mapping[str, str] | None = None,
    on_progress: Callable[[int], None] | None = None,
) -> Run:
    """Read, draft and keep everything under the paths; what was kept before is not made again."""
    done = Run()
    for chunk in _chunks(read(paths, columns, on_progress), done):
        _take(chunk, desk, ledger, done)
    return done


def _chunks(items: Iterable[Message | Refusal], done: Run) -> Iterator[list[Message]]:
    chunk: list[Message] = []
    seen: set[str] = set()
    for item in items:
        if isinstance(item, Refusal):
            done.refusals.append(item)
            continue
        done.counts["messages"] += 1
        key = message_key(item)
        if key in seen:
            done.counts["same message again"] += 1
            continue
        seen.add(key)
        done.keys.append(key)
        chunk.append(item)
        if len(chunk) >= CHUNK:
            yield chunk
            chunk = []
    if chunk:
        yield chunk


def _take(chunk: Sequence[Message], desk: Desk, ledger: Ledger, done: Run) -> None:
    keys = [message_key(message) for message in chunk]
    known = ledger.drafted(keys, desk.made_with)
    fresh = [message for message, key in zip(chunk, keys, strict=True) if key not in known]
    done.counts["kept before"] += len(chunk) - len(fresh)
    if not fresh:
        return
    earlier = ledger.earlier(besides=(message_key(message) for message in fresh))
    drafts = make_drafts(fresh, desk, earlier, done.refusals, _followed(fresh, ledger))
    lines: dict[str, list[Line]] = {message_key(message): [] for message in fresh}
    for made in drafts:
        lines[message_key(made.question.message)].append(as_line(made, desk.knowledge))
    ledger.keep([m for m in fresh if lines[message_key(m)]], lines, desk.made_with)


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
    found = next((question for question in split([message]) if question.question_id == question_id), None)
    if found is None:
        return None
    # As it was drafted: sifting may have put two asks of one message together, or tied it to an earlier question.
    asked = replace(found, text=before["text"], context=before["context"], follows=before["follows"])
    made = _drafted(
        [_as_sorted(asked, before)],
        knowledge,
        phrases,
        before["pace"],
        before["asked_seconds"],
        {question_id: corrections},
    )[0]
    return as_line(made, knowledge)


def _as_sorted(asked: Question, before: Line) -> Classified:
    """A question sorted as it was before anybody corrected it."""
    was = before.get("sorted_as") or {
        **{key: before[key] for key in ("is_question", "flags", "topic", "topic_confidence")},
        "briefs": before["nearest_briefs"],
    }
    flags = tuple(flag for flag in was["flags"] if flag not in DRAFT_FLAGS)
    return Classified(
        Grouped(
            replace(asked, is_question=was["is_question"], flags=flags),
            before["repeats_of"],
            before["asked_by"],
        ),
        was["topic"],
        was["topic_confidence"],
        tuple((label, chance) for label, chance in was["briefs"]),
    )


def _followed(messages: Sequence[Message], ledger: Ledger) -> dict[str, Line]:
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
    earlier: Sequence[tuple[str, str]] = (),
    refusals: list[Refusal] | None = None,
    followed: Mapping[str, Line] = MappingProxyType({}),
) -> list[Draft]:
    """All stages over one chunk; where it fails as a whole, each message by itself, the faulty one refused."""
    try:
        return _stages(messages, desk, earlier, followed)
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
    return [one for message in messages for one in make_drafts([message], desk, earlier, refusals, followed)]


def _stages(
    messages: Sequence[Message],
    desk: Desk,
    earlier: Sequence[tuple[str, str]],
    followed: Mapping[str, Line],
) -> list[Draft]:
    questions = split(messages)
    questions = [_tied(question, followed.get(message_key(question.message))) for question in questions]
    if not questions:
        return []
    sorted_ = desk.sorter.sort([_told(q) for q in questions], [q.context for q in questions])
    questions = sift(questions, sorted_)
    grouped = group(questions, earlier)
    classified = classify(grouped, sorted_)
    return _drafted(classified, desk.knowledge, desk.phrases, desk.pace, desk.seconds, desk.corrections)


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

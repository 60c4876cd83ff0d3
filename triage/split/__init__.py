"""Split: find the asks in a message, each in the rider's own words, and set the chatter aside."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import replace

from triage.records import TOLD_BESIDE, Message, Question
from triage.split.asking import GREETING, HAS_A_QUESTION, is_answered, is_ask, is_pleasantry
from triage.split.clauses import clauses_of
from triage.split.danger import danger_beside
from triage.split.flags import flags_of
from triage.split.headings import is_a_title_line, stands_over_a_story, title_joined
from triage.split.sentences import LIST_MARK, lower_case, sentences_of
from triage.split.spoken import written
from triage.split.story import ends_hollow, with_its_story, with_its_title
from triage.split.together import grouped
from triage.split.troubles import counted_troubles, trouble_before
from triage.split.wrapped import unwrapped

NOT_ASKS = ("automatic-reply", "bounce", "bulk", "closer")
LONGEST_ASKS = 6
"""A message that seems to hold more asks than this is kept as one, for a person to see whole; unless its writer numbered them."""
LONGEST_NUMBERED_ASKS = 9
LONGEST_WORKED_CHARACTERS = 10_000
"""A longer message goes to a person whole, flagged `too-long`: an answer to a part of it would be a guess. [characters]

Four pages; reading figures takes time with the square of their number, and these many still take no more than seconds.
"""
LONGEST_BEGINNING_CHARACTERS = 1_000
"""What stands for the ask of such a message; the whole text stays with it. [characters]"""


def split(messages: Sequence[Message]) -> list[Question]:
    """The asks of each message; a message without any leaves one record that is not a question."""
    return [question for message in messages for question in _split(message)]


def _split(message: Message) -> list[Question]:
    text = (
        written(unwrapped(message.text)) if len(message.text) <= LONGEST_WORKED_CHARACTERS else message.text
    )
    flags = flags_of(replace(message, text=text))
    asks_nothing = any(flag in NOT_ASKS for flag in flags)
    if len(message.text) > LONGEST_WORKED_CHARACTERS:
        beginning = f"{message.text[:LONGEST_BEGINNING_CHARACTERS].strip()} …"
        return [_question(message, 0, beginning, "", not asks_nothing, (*flags, "too-long"))]
    if asks_nothing:
        return [_question(message, 0, message.text.strip(), "", False, flags)]
    sentences = sentences_of(text)
    lowered = [lower_case(sentence) for sentence in sentences]
    asks = [
        index
        for index, sentence in enumerate(lowered)
        if is_ask(sentence) and not is_answered(sentence, lowered[index + 1 : index + 2])
    ]
    if not asks and message.subject and is_ask(lower_case(message.subject)):
        whole = f"{message.subject.strip()}\n{message.text.strip()}".strip()
        return [_question(message, 0, whole, "", True, flags)]
    if any(not is_pleasantry(lowered[index]) for index in asks):
        asks = [index for index in asks if not is_pleasantry(lowered[index])]
    if all(ends_hollow(lowered[index]) for index in asks) and (troubles := counted_troubles(lowered)):
        before = " ".join(" ".join(sentences[: troubles[0][0]]).split())
        return [
            _question(
                message,
                number,
                " ".join(" ".join(sentences[i] for i in group).split()),
                before,
                bool(asks),
                flags,
            )
            for number, group in enumerate(troubles)
        ]
    if not asks:
        announced = any(HAS_A_QUESTION.search(sentence) for sentence in lowered)
        return [_question(message, 0, text.strip(), message.subject or "", announced, flags)]
    groups = title_joined(grouped(asks, lowered), sentences)
    unasked = trouble_before(groups[0][0], lowered)
    if stands_over_a_story(groups, sentences):
        groups[:2] = [[*groups[0], *groups[1]]]
    under_a_title = groups[0][1:] if is_a_title_line(groups[0], sentences) else []
    groups = [with_its_story(group, asks, lowered) for group in groups]
    if under_a_title:
        groups[0] = sorted({*groups[0], *with_its_story(under_a_title, asks, lowered)})
    if unasked:
        groups[0] = [index for index in groups[0] if index not in unasked]
        groups.insert(0, unasked)
    if len(groups) > LONGEST_ASKS:
        groups = _as_numbered(groups, lowered)
    if len(groups) > LONGEST_NUMBERED_ASKS or (
        len(groups) > LONGEST_ASKS and not all(_is_numbered(group, lowered) for group in groups)
    ):
        groups = [asks]
    beside = danger_beside(groups, lowered) if "danger" in flags else []
    if len(groups) == 1 and 0 not in beside:
        groups = [with_its_title(groups[0], lowered)]
    context = " ".join(
        sentence.strip()
        for index, sentence in enumerate(sentences)
        if index not in asks and not GREETING.match(lowered[index])
    )
    shared = " ".join(filter(None, (message.subject, " ".join(context.split()))))
    questions = [
        _question(
            message,
            number,
            " ".join(sentences[i].strip() for i in group),
            shared,
            True,
            flags,
            tuple(clause for i in group if i in asks for clause in clauses_of(sentences[i].strip())),
        )
        for number, group in enumerate([*groups, *([beside] if beside else [])])
    ]
    if beside:
        questions[-1] = replace(questions[-1], flags=(*flags, TOLD_BESIDE))
    return questions


def _is_numbered(group: Sequence[int], sentences: Sequence[str]) -> bool:
    return any(LIST_MARK.match(sentences[index]) for index in group)


def _as_numbered(groups: list[list[int]], sentences: Sequence[str]) -> list[list[int]]:
    """The asks as their writer counted them: what stands behind a number, up to the next one, is one."""
    joined: list[list[int]] = []
    for group in groups:
        if joined and not _is_numbered(group, sentences) and _is_numbered(joined[-1], sentences):
            joined[-1] = sorted({*joined[-1], *group})
        else:
            joined.append(group)
    return joined


def _question(
    message: Message,
    number: int,
    text: str,
    context: str,
    asks: bool,
    flags: tuple[str, ...],
    asked: tuple[str, ...] = (),
) -> Question:
    digest = hashlib.sha256(f"{message.message_id}\0{message.text}".encode()).hexdigest()[:16]
    return Question(f"{digest}-{number + 1}", message, text, context, asks, flags, asked=asked)

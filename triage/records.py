"""What passes between the stages: small frozen records, each the leaving of one verb."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

BY_THE_DESK = "corrected by the desk"
"""The words of a detail that an editor corrected; it counts for more than a part's row."""
MAY_HURT = "may-hurt"
"""Flags a message that reads like those of somebody who had better not ride on; a danger that its words tell is flagged `danger`."""
TOLD_BESIDE = "told-beside"
"""Flags a danger that a rider mentions beside what they ask; it is answered too, unless the answer to an ask is about it."""
CHANCE_DIGITS = 2
"""Of a confidence: what it hangs on is added up in another order in another company of texts, so its last digits vary."""
Origin = Literal["rider", "part", "usual", "table"]
Verdict = Literal["yes", "yes-if", "not-recommended", "inspect-first", "need-more", "explain", "none"]


@dataclass(frozen=True, slots=True)
class Attachment:
    """A file that came with a message; only its description is kept."""

    name: str
    content_type: str
    size_bytes: int


@dataclass(frozen=True, slots=True)
class Message:
    """One rider's message as it was read, with quoted mail and signature already left out.

    `message_id` is the mail's Message-ID without brackets, the export's id, or a content digest.
    `received` is ISO 8601 with zone, or None where the message has no readable date.
    """

    message_id: str
    channel: str
    received: str | None
    author: str | None
    rider: str | None
    address: str | None
    subject: str | None
    text: str
    source: str
    item: str
    likes: int = 0
    in_reply_to: str | None = None
    references: tuple[str, ...] = ()
    attachments: tuple[Attachment, ...] = ()
    flags: tuple[str, ...] = ()

    @property
    def whole(self) -> str:
        """All that was written, its subject first."""
        return f"{self.subject or ''} {self.text}".strip()


@dataclass(frozen=True, slots=True)
class Refusal:
    """An input that could not be used: where it is, why, and what the desk can do."""

    file: str
    item: str
    reason: str
    remedy: str

    def __str__(self) -> str:
        where = f"{self.file}: {self.item}" if self.item else self.file
        return f"{where}: {self.reason}\n    {self.remedy}"


@dataclass(frozen=True, slots=True)
class Question:
    """One ask in a rider's own words, with the context that its message gives to all its asks.

    `follows` is the earlier question that the rider writes about again, by the thread of their mails. `asked` holds what
    asks in `text`: sentences, and the halves of those that ask for two things.
    """

    question_id: str
    message: Message
    text: str
    context: str
    is_question: bool
    flags: tuple[str, ...] = ()
    follows: str | None = None
    asked: tuple[str, ...] = ()

    @property
    def story(self) -> str:
        """What it is read beside: the whole of its message, as it was told, or nothing where it is all of it."""
        return self.message.whole if self.context and self.follows is None else self.context


@dataclass(frozen=True, slots=True)
class Classified:
    """A question with its topic, the likeliest briefs, and how sure the classifier is.

    `point` names what is asked first within the likeliest brief, such as "wheels/dish#tolerance", and `more_points` what
    else is asked within it. `perhaps` is a point that may be meant instead, where that is none too sure, and `likely` are the
    likeliest points in their order. `in_order` tells whether the answer is a working order, and not a few sentences.
    """

    question: Question
    topic: str
    topic_confidence: float
    briefs: tuple[tuple[str, float], ...]
    point: str | None = None
    more_points: tuple[str, ...] = ()
    perhaps: str | None = None
    likely: tuple[str, ...] = ()
    in_order: bool = True


@dataclass(frozen=True, slots=True)
class Detail:
    """A quantity or a choice that the rider stated, in the unit its name states.

    `value` is a number, a pair (low, high) where the rider gave a range, or a word for a choice.
    `start` and `end` are offsets into the message's text. `about` is true where the rider only gave it roughly.
    """

    name: str
    value: float | tuple[float, float] | str
    words: str
    start: int
    end: int
    about: bool = False


@dataclass(frozen=True, slots=True)
class PartMention:
    """A catalogue part that the rider named, the words it was found in, and how alike they are."""

    part_id: str
    kind: str
    words: str
    start: int
    end: int
    likeness: float


@dataclass(frozen=True, slots=True)
class Extracted:
    """A classified question with the details and parts found in its words.

    One stretch of words may be read as several quantities, the likeliest first; `match` takes the one that its
    brief asks for. `doubts` are (quantity, what makes no sense about it). `unknown_codes` are makers' codes that the
    catalogue does not hold: parts to ask about. `sorted_as` is how it was sorted before an editor corrected it.
    """

    classified: Classified
    details: tuple[Detail, ...]
    parts: tuple[PartMention, ...]
    doubts: tuple[tuple[str, str], ...] = ()
    unknown_codes: tuple[str, ...] = ()
    sorted_as: Classified | None = None

    @property
    def question(self) -> Question:
        """The question itself."""
        return self.classified.question


@dataclass(frozen=True, slots=True)
class Value:
    """One input of a finding: known, or a range that is tried, with where it came from.

    `spread` is by how much a stated value may be off, either way: a printed tyre width is not a measured one. `rows` are
    the rows of the knowledge base that it was read from, such as "brakes/fluids#dot-3-dry".
    """

    name: str
    best: float | str | None
    low: float | None
    high: float | None
    choices: tuple[str, ...]
    unit: str
    origin: Origin
    words: str | None
    basis: str
    spread: float = 0.0
    rows: tuple[str, ...] = ()

    @property
    def is_known(self) -> bool:
        """Whether one value stands, with nothing left to try."""
        if self.choices:
            return len(self.choices) == 1
        return self.low == self.high


@dataclass(frozen=True, slots=True)
class Matched:
    """An extracted question with its brief, the values that brief needs, and what the rider left out."""

    extracted: Extracted
    brief: str | None
    confidence: float | None
    values: Mapping[str, Value] = field(default_factory=dict)
    missing: tuple[str, ...] = ()

    @property
    def question(self) -> Question:
        """The question itself."""
        return self.extracted.question


@dataclass(frozen=True, slots=True)
class FigureInput:
    """One number put into a figure, as the contract prints it.

    `label` is given where the brief calls it otherwise than others do; `rows` are the rows it was read from.
    """

    name: str
    value: float | str | tuple[float, float] | tuple[str, ...]
    unit: str
    origin: Origin
    words: str | None
    basis: str
    label: str | None = None
    rows: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class FigureResult:
    """A figure worked out: best value, spread, and the working that leads there.

    `limits` are the ends of its bands with their verdicts; `marks`, limits that somebody stated, with what they are.
    `value` is None where an input is unknown and only the range from `low` to `high` can be given; where all inputs are
    stated, `low` and `high` are what their measuring leaves open.
    """

    name: str
    label: str
    value: float | None
    low: float | None
    high: float | None
    unit: str
    working: str
    inputs: tuple[FigureInput, ...]
    sources: tuple[str, ...]
    decides: bool = False
    wanted: bool = True
    limits: tuple[tuple[float, str], ...] = ()
    marks: tuple[tuple[float, str], ...] = ()
    absolute: bool = False


@dataclass(frozen=True, slots=True)
class Side:
    """What the answer would be on one side of a tipping value, or for one word of a choice.

    `value` is the fact as it would then be known: a word, or the two ends of the stretch.
    """

    when: str
    verdict: Verdict
    because: str
    value: str | tuple[float, float]


@dataclass(frozen=True, slots=True)
class Ask:
    """One fact to ask the rider for, how to measure it, and what hangs on it.

    `again` is true where the rider gave it and the verdict hangs on how finely it was measured.
    """

    name: str
    question: str
    measure: str
    tips_at: float | str | None
    sides: tuple[Side, ...] = ()
    again: bool = False


@dataclass(frozen=True, slots=True)
class Nearest:
    """The nearest thing that would work in place of what the rider has in mind, and parts of the catalogue that are it."""

    name: str
    label: str
    value: str
    verdict: Verdict
    parts: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Assumed:
    """A deciding fact that nobody gave: the range over which the answer holds, or the one value it was taken as."""

    name: str
    label: str
    words: str
    is_range: bool


Sureness = Literal["sure", "assumed", "close", "open"]


@dataclass(frozen=True, slots=True)
class Finding:
    """What the figures say about a matched question.

    `sureness` says over what the verdict holds: over everything ("sure"), over the usual range of what was left out
    ("assumed"), by little enough for the measuring to matter ("close"), or not yet ("open"). `doubts` are for everybody;
    `unworked` tells the editor alone, in the program's own names, which deciding figures could not be worked out.
    `conflicts` tell the editor where a table and a calculation disagree. `ready` holds the answer for each side of what is
    asked first.
    """

    matched: Matched
    verdict: Verdict
    reasons: tuple[str, ...]
    conditions: tuple[str, ...]
    figures: tuple[FigureResult, ...]
    asks: tuple[Ask, ...]
    assumed: tuple[Assumed, ...]
    doubts: tuple[str, ...] = ()
    decider_sources: tuple[str, ...] = ()
    sureness: Sureness = "sure"
    conflicts: tuple[str, ...] = ()
    nearest: tuple[Nearest, ...] = ()
    ready: tuple[tuple[Side, Finding], ...] = ()
    unworked: tuple[str, ...] = ()

    @property
    def question(self) -> Question:
        """The question itself."""
        return self.matched.question


@dataclass(frozen=True, slots=True)
class ReadyAnswer:
    """The reply as it would go out once the rider has answered what was asked."""

    when: str
    verdict: Verdict
    headline: str
    reply: str


@dataclass(frozen=True, slots=True)
class Draft:
    """A finding in its three forms: spoken script, mail reply and the editor's working.

    `pace` is the words a minute at which the script's seconds were reckoned, `asked_seconds` the length asked for.
    `reply_frame` are the reply's greeting and close, which several asks of one message share; and where a person has to answer,
    what says so and what helps meanwhile.
    """

    finding: Finding
    headline: str | None
    cautions: tuple[str, ...]
    checklist: tuple[str, ...]
    script: str | None
    script_seconds: float | None
    reply: str | None
    flags: tuple[str, ...] = ()
    ready: tuple[ReadyAnswer, ...] = ()
    pace: float = 0.0
    asked_seconds: float | None = None
    reply_frame: tuple[str, ...] = ()

    @property
    def question(self) -> Question:
        """The question itself."""
        return self.finding.question

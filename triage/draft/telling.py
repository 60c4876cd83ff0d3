"""One finding on its way to one rider: what it says, in the house phrases that its neighbours leave."""

from __future__ import annotations

import re
import zlib
from dataclasses import dataclass, field
from functools import cached_property

from knowledge.base import Knowledge, Topic
from knowledge.brief import Brief
from knowledge.phrases import Phrases
from triage.dead_brakes import tells_of_a_dead_brake
from triage.draft.said import Said, said_by
from triage.draft.sentences import joined, sentence
from triage.records import MAY_HURT, Finding, Question
from triage.trade_words import tells_of_trouble_with_what_steers_or_stops

MOST_CODES = 3
SURE_OF_TOPIC = 0.5
"""From here on the topic is right for 33 of 35 real questions that no brief was sure enough to answer."""
SURE_OF_BRIEF = 0.6
"""Of drafts for real riders that are less sure of their brief than this, 55 of 97 had the right one; of the surer ones 205 of 259."""
MOST_NAMED, LEAST_NAMED = 3, 0.1
"""Of 58 real questions that no brief was sure enough to answer though one would have, it is the likeliest for 23, and among the
likeliest three for 46."""
_A_PHOTO = re.compile(r"\b(?:photo(?:graph)?s?|pics?|pictures?|images?)\b", re.IGNORECASE)
DEAD_BRAKE = ("brake_gone", "gone")
LIKELY_TO_HURT = 0.5
"""From this share of the likely briefs on that are matters of safety, a question without a draft may be about such a thing."""


@dataclass
class Telling:
    """One finding on its way to words; `taken` remembers which house phrase the draft before it used.

    With `spoken`, worked-out numbers are put as one says them.
    """

    finding: Finding
    knowledge: Knowledge
    phrases: Phrases
    taken: dict[str, str]
    spoken: bool = False
    chosen: dict[str, str] = field(default_factory=dict)
    question: Question = field(init=False)
    brief: Brief | None = field(init=False)

    def __post_init__(self) -> None:
        self.question = self.finding.question
        identity = self.finding.matched.brief
        self.brief = None if identity is None else self.knowledge.briefs[identity]

    @cached_property
    def said(self) -> Said:
        """What does not hang on who asked."""
        assert self.brief is not None
        said = said_by(self.finding, self.brief, self.knowledge, self.phrases)
        return said.aloud if self.spoken else said

    def aloud(self) -> Telling:
        """The same as it is spoken, in the same house phrases."""
        spoken = Telling(self.finding, self.knowledge, self.phrases, self.taken, True, self.chosen)
        spoken.said = self.said.aloud
        return spoken

    @property
    def headline(self) -> str:
        """The answer in one sentence."""
        headline = self.phrase("too_close") if self.said.hangs_on_measuring else self.said.headline
        return f"{self.phrases.dead_brake} {headline}" if self._has_a_dead_brake else headline

    @property
    def _has_a_dead_brake(self) -> bool:
        """Whether a brake does nothing, and what is said to it doesn't begin with a stop."""
        return (
            self.brief is not None
            and (self.brief.topic == "brakes" or tells_of_a_dead_brake(self.question.text.lower()))
            and self.finding.verdict != "not-recommended"
            and any((told.name, told.value) == DEAD_BRAKE for told in self.finding.matched.extracted.details)
            and not self.said.headline.startswith(("Don't ride", "Don’t ride"))
        )

    @property
    def hold_off(self) -> tuple[str, ...]:
        """What a question that waits for a person is told at once, where riding on might hurt."""
        if "danger" in self.question.flags:
            return (self.phrases.hold_off,)
        if (
            MAY_HURT in self.question.flags
            or self._is_likely_to_hurt
            or tells_of_trouble_with_what_steers_or_stops(self.question.message.whole)
        ):
            return ((self._topic.halt if self._topic else "") or self.phrases.hold_off_beside,)
        return ()

    @property
    def _is_likely_to_hurt(self) -> bool:
        likely = self.finding.matched.extracted.classified.briefs
        harmful = sum(chance for name, chance in likely if self.knowledge.briefs[name].safety)
        return bool(likely) and harmful >= LIKELY_TO_HURT * sum(chance for _, chance in likely)

    @property
    def _topic(self) -> Topic | None:
        """The topic, where that is known well enough to be spoken of."""
        classified = self.finding.matched.extracted.classified
        is_sure = classified.topic_confidence >= SURE_OF_TOPIC
        return self.knowledge.topics[classified.topic] if is_sure else None

    @property
    def what_helps(self) -> str:
        """What a rider may add while a person looks: what a mechanic asks first in this topic, where that is known."""
        wanted = (self._topic.helps if self._topic else "") or self.phrases.anything_that_helps
        asked = self.phrases.what_helps.replace("{it}", wanted)
        return asked if self._comes_with_a_photo else f"{asked} {self.phrases.a_photo_helps}"

    @property
    def _comes_with_a_photo(self) -> bool:
        """Whether there is one already, as a file or by what the rider says."""
        message = self.question.message
        attached = any(one.content_type.startswith(("image/", "video/")) for one in message.attachments)
        return attached or _A_PHOTO.search(message.whole) is not None

    @property
    def which_is_it(self) -> str:
        """What a question that waits for a person may be about, where there is a choice, so that the rider can say which."""
        likely = self.finding.matched.extracted.classified.briefs[:MOST_NAMED]
        titles = [
            f"“{self.knowledge.briefs[name].title}”" for name, chance in likely if chance >= LEAST_NAMED
        ]
        return self.phrases.which_is_it.replace("{it}", joined(titles, "or")) if len(titles) > 1 else ""

    @property
    def conditions(self) -> str:
        """What a yes hangs on."""
        return self._phrase_with("condition", self.said.conditions) if self.finding.conditions else ""

    @property
    def closeness(self) -> str:
        """A sentence where the answer stands by less than the measuring leaves open."""
        return self.phrase("close_call") if self.finding.sureness == "close" else ""

    @property
    def assumed(self) -> str:
        """What was left open, and over what the answer holds all the same."""
        told = []
        if self.said.assumed_ranges:
            told.append(self._phrase_with("holds_for", self.said.assumed_ranges))
        if self.said.assumed_values:
            told.append(self._phrase_with("taken_as", self.said.assumed_values))
        return " ".join(told)

    @property
    def taken_for(self) -> str:
        """What the question was taken to be about, where that is none too sure."""
        if self.brief is None or (self.finding.matched.confidence or 0.0) >= SURE_OF_BRIEF:
            return ""
        return self._phrase_with("taken_for", self.brief.title)

    @property
    def instead(self) -> str:
        """What would work: the brief's own advice, and the nearest value by the same figures."""
        near = self.said.nearest
        return self.said.instead(self.phrase(near[0]) if near is not None else "")

    @property
    def doubts(self) -> str:
        """What could not be, and parts that we do not know."""
        codes = self.finding.matched.extracted.unknown_codes[:MOST_CODES]
        if not codes or not self.said.rests_on_parts:
            return self.said.doubts
        unknown = self._phrase_with("unknown_code", joined([f"“{code}”" for code in codes]))
        return " ".join([*self.finding.doubts, unknown])

    def phrase(self, kind: str) -> str:
        """One of the house phrases of a kind, another one than the neighbour's."""
        if kind in self.chosen:
            return self.chosen[kind]
        choices = self.phrases.of(kind)
        place = zlib.crc32(f"{kind}{self.question.question_id}".encode()) % len(choices)
        if choices[place] == self.taken.get(kind) and len(choices) > 1:
            place = (place + 1) % len(choices)
        self.taken[kind] = self.chosen[kind] = choices[place]
        return choices[place]

    def _phrase_with(self, kind: str, words: str) -> str:
        return self.phrase(kind).replace("{it}", words)


__all__ = ["MOST_CODES", "Telling", "sentence"]

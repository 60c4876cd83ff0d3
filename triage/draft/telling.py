"""What a finding says, whichever way it is told: names with their numbers, the answer, conditions, what was assumed."""

from __future__ import annotations

import re
import zlib
from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from knowledge import wording
from knowledge.base import Knowledge
from knowledge.brief import Answer, Brief
from knowledge.phrases import Phrases
from triage.draft.limits import Limits
from triage.records import Finding, Question
from triage.shown import NOT_KNOWN, Shown, of_figure

LONG_ENOUGH_WORDS = 25
"""An answer's body of so many words gives its own reasons."""
MOST_CODES = 3


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

    @property
    def question(self) -> Question:
        """The question itself."""
        return self.finding.question

    @cached_property
    def brief(self) -> Brief | None:
        """The brief that answers it, if any."""
        identity = self.finding.matched.brief
        return None if identity is None else self.knowledge.briefs[identity]

    @cached_property
    def answer(self) -> Answer | None:
        """What the brief says for the verdict."""
        if self.brief is None:
            return None
        answers = self.brief.answers
        verdict = self.finding.verdict
        if verdict == "none":
            return answers.get("explain")
        return answers.get(verdict) or (answers.get("yes") if verdict == "yes-if" else None)

    @cached_property
    def limits(self) -> Limits:
        """The pressures, torques and temperatures that nothing said may exceed."""
        return Limits.of(self.finding, self.knowledge)

    @cached_property
    def names(self) -> dict[str, Any]:
        """What a template may use."""
        names: dict[str, Any] = {
            name: Shown.of(value, self.knowledge) for name, value in self.finding.matched.values.items()
        }
        names |= {figure.name: of_figure(figure, spoken=self.spoken) for figure in self.finding.figures}
        return names

    def text(self, source: str) -> str:
        """A template of the brief with the numbers put in, without a sentence that exceeds a stated limit."""
        return self.limits.without_what_exceeds(self.rendered(source))

    def rendered(self, source: str) -> str:
        """A template of the brief with the numbers put in."""
        known = self.names
        wanted = wording.names_used(source)
        if wanted - set(known) - wording.ALWAYS_KNOWN:
            known = {**known, **dict.fromkeys(wanted - set(known), NOT_KNOWN)}
        told = {**known, "verdict": self.finding.verdict, "rider": self.question.message.rider}
        return wording.render(source, told)

    @cached_property
    def headline(self) -> str:
        """The answer in one sentence."""
        assert self.brief is not None
        if self.hangs_on_measuring:
            return self.phrase("too_close")
        told = self.text(self.answer.headline) if self.answer else ""
        return told or sentence(self.brief.title)

    @property
    def hangs_on_measuring(self) -> bool:
        """Whether the rider gave everything, but not finely enough."""
        return any(ask.again for ask in self.finding.asks)

    @cached_property
    def body(self) -> str:
        """The explanation."""
        return self.text(self.answer.body) if self.answer and not self.hangs_on_measuring else ""

    @cached_property
    def reasons(self) -> str:
        """The deciders' own reasons, where the answer does not give them already."""
        said = self.body
        if self.answer and len(said.split()) > LONG_ENOUGH_WORDS and self.finding.verdict != "need-more":
            return ""
        told = " ".join(sentence(r) for r in self.finding.reasons if r.lower() not in said.lower())
        return self.limits.without_what_exceeds(told)

    @cached_property
    def conditions(self) -> str:
        """What a yes hangs on."""
        if not self.finding.conditions:
            return ""
        return self._phrase_with("condition", "; and ".join(self.finding.conditions))

    @cached_property
    def closeness(self) -> str:
        """A sentence where the answer stands by less than the measuring leaves open."""
        return self.phrase("close_call") if self.finding.sureness == "close" else ""

    @cached_property
    def assumed(self) -> str:
        """What was left open, and over what the answer holds all the same."""
        if self.finding.verdict in ("explain", "need-more", "none"):
            return ""
        ranges = [f"{with_article(a.label)} ({a.words})" for a in self.finding.assumed if a.is_range]
        single = [f"{with_article(a.label)} is {a.words}" for a in self.finding.assumed if not a.is_range]
        told = []
        if ranges:
            told.append(self._phrase_with("holds_for", joined(ranges)))
        if single:
            told.append(self._phrase_with("taken_as", joined(single)))
        return " ".join(told)

    @cached_property
    def instead(self) -> str:
        """What would work: the brief's own advice, and the nearest value by the same figures."""
        told = [self.text(self.answer.instead)] if self.answer and self.answer.instead else []
        said = f"{self.body} {' '.join(told)}"
        for near in self.finding.nearest[:1]:
            if near.value in said and not near.parts:
                continue
            value = (
                near.value if not near.parts else f"{near.value} (in our lists: {joined(near.parts, 'or')})"
            )
            kind = "nearest" if near.verdict == "yes" else "nearest_if"
            told.append(self.phrase(kind).replace("{label}", near.label).replace("{value}", value))
        return self.limits.without_what_exceeds(" ".join(told))

    @cached_property
    def doubts(self) -> str:
        """What could not be, and parts that we do not know."""
        told = list(self.finding.doubts)
        codes = self.finding.matched.extracted.unknown_codes[:MOST_CODES]
        rests_on_parts = self.brief is not None and any(need.part for need in self.brief.needs)
        if codes and rests_on_parts:
            told.append(self._phrase_with("unknown_code", joined([f"“{code}”" for code in codes])))
        return " ".join(told)

    @cached_property
    def cautions(self) -> tuple[str, ...]:
        """Every caution, the qualified person and the maker's word among them."""
        assert self.brief is not None
        cautions = [self.rendered(caution) for caution in self.brief.cautions]
        if self.brief.safety and self.brief.harm and self.brief.see:
            told = " ".join(cautions).lower()
            if not _names_the_person(self.brief.see.lower(), told):
                cautions.append(
                    f"{sentence(self.brief.harm)} If anything is in doubt, have {self.brief.see} look at it."
                )
            if "maker" not in told:
                cautions.append(self.phrases.maker_first)
        if "danger" in self.question.flags and self.brief.safety:
            cautions.insert(0, self.phrases.hold_off)
        return tuple(dict.fromkeys(cautions))

    @cached_property
    def checklist(self) -> tuple[str, ...]:
        """The steps in working order."""
        assert self.brief is not None
        return tuple(filter(None, (self.text(check.sentence) for check in self.brief.checklist)))

    @property
    def works_in_order(self) -> bool:
        """Whether the checklist is the answer and not only a check on it."""
        return self.finding.verdict in ("explain", "inspect-first")

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


_PERSONS = re.compile(
    r"\b(?:mechanic|workshop|repairer|builder|wheelbuilder|fitter|doctor|service|maker|dealer|specialist)\b"
)


def _names_the_person(see: str, told: str) -> bool:
    """Whether the cautions send the rider to the qualified person already, in these or in like words."""
    return see in told or (
        "qualified" in told and not set(_PERSONS.findall(see)).isdisjoint(_PERSONS.findall(told))
    )


def sentence(text: str) -> str:
    """The text with a capital at the start and a stop at the end."""
    text = text.strip()
    if not text:
        return ""
    return f"{text[:1].upper()}{text[1:].rstrip('.')}{'' if text.endswith(('!', '?')) else '.'}"


def with_article(label: str) -> str:
    """ "the tyre's width"; a label that begins with an article of its own stays as it is."""
    first = label.split(" ")[0].lower()
    return label if first in ("the", "a", "an", "your", "how", "whether", "what", "where") else f"the {label}"


def joined(words: Iterable[str], last: str = "and") -> str:
    """ "a", "a and b", "a, b and c"."""
    listed = list(words)
    if len(listed) < 2:
        return "".join(listed)
    return f"{', '.join(listed[:-1])} {last} {listed[-1]}"

"""What a finding hangs on, whoever asked; and a finding as it was worked out for nobody in particular."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields, replace
from functools import cached_property
from operator import attrgetter
from typing import Any, NamedTuple

from knowledge.base import Knowledge
from knowledge.once import once_for_each
from knowledge.resolve import FigurePlan
from triage.decide.nearest import names_speeds
from triage.lately import Lately
from triage.records import (
    Classified,
    Extracted,
    FigureResult,
    Finding,
    Matched,
    Message,
    PartMention,
    Question,
    Side,
    Value,
)

MOST_FINDINGS = 4_096
"""Findings kept for questions that tell the same; one takes some six kilobytes with the answers to what it asks."""
_NOBODYS = Classified(
    Question("", Message("", "", None, None, None, None, None, "", "", ""), "", "", True), "", 0.0, ()
)
_BUT_WORDS = tuple(one.name for one in fields(Value) if one.name != "words")
_but_words = attrgetter(*_BUT_WORDS)
_BUT_THE_RIDERS = tuple(
    one.name for one in fields(Finding) if one.name not in ("matched", "figures", "ready")
)


class Asked(NamedTuple):
    """Everything of a question that its finding hangs on; two that are equal have the same finding.

    `values` are those of the brief's needs, field by field, without the words in which the rider gave them. (Bare tuples
    are the quickest to be looked up by.)
    """

    brief: str
    values: tuple[tuple[Any, ...], ...]
    doubts: tuple[tuple[str, str], ...]
    speeds_of: str | None

    @classmethod
    def of(cls, question: Matched, knowledge: Knowledge) -> Asked:
        """What a matched question asks."""
        extracted = question.extracted
        mention = names_speeds(extracted.parts, knowledge) if extracted.parts else None
        return cls(
            question.brief or "",
            tuple(map(_but_words, question.values.values())),
            tuple([doubt for doubt in extracted.doubts if doubt[0] in question.values]),
            None if mention is None else mention.part_id,
        )

    @property
    def matched(self) -> Matched:
        """A question of nobody that asks this and tells nothing else, so that a finding can't hang on anything else."""
        mentions = () if self.speeds_of is None else (PartMention(self.speeds_of, "", "", 0, 0, 0.0),)
        values = [Value(**dict(zip(_BUT_WORDS, value, strict=True)), words=None) for value in self.values]
        extracted = Extracted(_NOBODYS, (), mentions, self.doubts)
        return Matched(extracted, self.brief, None, {value.name: value for value in values})


@dataclass(frozen=True)
class Found:
    """The finding of nobody's question, with the findings once what is asked first has been answered either way.

    `answered` is the fact that was given in such an answer.
    """

    finding: Finding
    plan: FigurePlan
    ready: tuple[tuple[Side, Found], ...] = ()
    answered: str | None = None

    def told_by(self, question: Matched) -> Finding:
        """The finding for a question that asks this, with the rider's own words beside the numbers."""
        words = {name: value.words for name, value in question.values.items() if value.words is not None}
        ready = tuple([(side, answer._once_answered(question, words)) for side, answer in self.ready])
        return Finding(matched=question, figures=self._figures(words), ready=ready, **self._rest)

    @cached_property
    def _rest(self) -> dict[str, Any]:
        """What is the same whoever asked."""
        return {name: getattr(self.finding, name) for name in _BUT_THE_RIDERS}

    def _once_answered(self, question: Matched, words: Mapping[str, str]) -> Finding:
        """The finding for the same question with what has been answered, which has no words."""
        words = {name: told for name, told in words.items() if name != self.answered}
        values = dict(self.finding.matched.values)
        for name, told in words.items():
            values[name] = replace(values[name], words=told)
        missing = tuple([name for name in question.missing if name != self.answered])
        matched = replace(question, values=values, missing=missing)
        return Finding(matched=matched, figures=self._figures(words), **self._rest)

    def _figures(self, words: Mapping[str, str]) -> tuple[FigureResult, ...]:
        figures = self.finding.figures
        return tuple([self._with_words(figure, words) for figure in figures]) if words else figures

    def _with_words(self, figure: FigureResult, words: Mapping[str, str]) -> FigureResult:
        inputs = list(figure.inputs)
        # The inputs that a step is given stand first, in its order; its standard values follow.
        for place, (_, source) in enumerate(self.plan.step(figure.name).inputs):
            if source in words:
                inputs[place] = replace(inputs[place], words=words[str(source)])
        return replace(figure, inputs=tuple(inputs))


@once_for_each
def kept_findings(_: Knowledge) -> Lately[Asked, Found]:
    """What was found lately by a knowledge base."""
    return Lately(MOST_FINDINGS)

"""Draft: one finding as a spoken script, as a reply to the rider, and as lines for the editor."""

from __future__ import annotations

import re
import zlib
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from knowledge import wording
from knowledge.base import Knowledge
from knowledge.brief import Answer, Brief
from knowledge.numbers import for_the_ear
from knowledge.phrases import Phrases
from triage.records import Ask, Draft, Finding, Question, Side
from triage.shown import NOT_KNOWN, Shown, of_ends, of_range

PACE_WORDS_PER_MINUTE = 150.0
LONGEST_QUOTE_WORDS = 45
PAUSE_SECONDS = 1.2
"""Spent at each paragraph of a script, by common practice for reading aloud."""

VERDICT_WORDS = {
    "yes": "it works",
    "yes-if": "it works on one condition",
    "not-recommended": "it is not recommended",
    "inspect-first": "it needs looking at first",
    "need-more": "it stays open",
}


def draft(findings: Sequence[Finding], knowledge: Knowledge, phrases: Phrases, pace: float) -> list[Draft]:
    """Write every finding out; neighbours never open or close with the same sentence."""
    drafts: list[Draft] = []
    taken: dict[str, str] = {}
    for finding in findings:
        drafts.append(_Writer(finding, knowledge, phrases, pace, taken).draft())
    return drafts


@dataclass
class _Writer:
    finding: Finding
    knowledge: Knowledge
    phrases: Phrases
    pace: float
    taken: dict[str, str]

    def draft(self) -> Draft:
        if not self.question.is_question:
            return self._bare(None, None)
        if self.brief is None:
            return self._bare("A person must answer this one.", self._holding_reply())
        headline = self._text(self.answer.headline) if self.answer else self.brief.title
        cautions = self._cautions()
        checklist = tuple(self._text(check.sentence) for check in self.brief.checklist)
        script = "\n\n".join(part for part in self._script_parts(headline, cautions, checklist) if part)
        return Draft(
            finding=self.finding,
            headline=headline,
            cautions=cautions,
            checklist=checklist,
            script=script,
            script_seconds=reading_seconds(script, self.pace),
            reply="\n\n".join(part for part in self._reply_parts(headline, cautions, checklist) if part),
            flags=self._flags(),
        )

    def _bare(self, headline: str | None, reply: str | None) -> Draft:
        cautions = (self.phrases.hold_off,) if "danger" in self.question.flags and headline else ()
        return Draft(self.finding, headline, cautions, (), None, None, reply, self._flags())

    @property
    def question(self) -> Question:
        return self.finding.question

    @cached_property
    def brief(self) -> Brief | None:
        identity = self.finding.matched.brief
        return None if identity is None else self.knowledge.briefs[identity]

    @cached_property
    def answer(self) -> Answer | None:
        if self.brief is None:
            return None
        answers = self.brief.answers
        verdict = self.finding.verdict
        if verdict == "none":
            return answers.get("explain")
        return answers.get(verdict) or (answers.get("yes") if verdict == "yes-if" else None)

    @cached_property
    def names(self) -> dict[str, Any]:
        names: dict[str, Any] = {
            name: Shown.of(value, self.knowledge) for name, value in self.finding.matched.values.items()
        }
        for figure in self.finding.figures:
            low, high = figure.low or 0.0, figure.high or 0.0
            names[figure.name] = of_ends(low, high, figure.unit, figure.value is not None)
        return names

    def _text(self, source: str) -> str:
        known = self.names
        wanted = wording.names_used(source)
        if wanted - set(known) - wording.ALWAYS_KNOWN:
            known = {**known, **dict.fromkeys(wanted - set(known), NOT_KNOWN)}
        return wording.render(
            source, {**known, "verdict": self.finding.verdict, "rider": self.question.message.rider}
        )

    def _flags(self) -> tuple[str, ...]:
        flags = list(self.question.flags)
        if self.finding.matched.extracted.doubts:
            flags.append("doubtful-figure")
        if self.brief is not None and self.brief.promise:
            flags.append("promise")
        if self.question.is_question and self.brief is None:
            flags.append("person")
        return tuple(dict.fromkeys(flags))

    # ---- what both forms say -----------------------------------------------------------------------

    def _cautions(self) -> tuple[str, ...]:
        assert self.brief is not None
        cautions = [self._text(caution) for caution in self.brief.cautions]
        if self.brief.safety and self.brief.harm and self.brief.see:
            told = " ".join(cautions).lower()
            if self.brief.see.lower() not in told:
                cautions.append(
                    f"{_sentence(self.brief.harm)} If anything is in doubt, have {self.brief.see} look at it."
                )
            if "maker" not in told:
                cautions.append(self.phrases.maker_first)
        if "danger" in self.question.flags and self.brief.safety:
            cautions.insert(0, self.phrases.hold_off)
        return tuple(dict.fromkeys(cautions))

    def _reasons(self) -> str:
        said = self._text(self.answer.body) if self.answer else ""
        reasons = [_sentence(reason) for reason in self.finding.reasons if reason.lower() not in said.lower()]
        if self.answer and len(said.split()) > 25 and self.finding.verdict != "need-more":
            reasons = []
        return " ".join(reasons)

    def _conditions(self) -> str:
        if not self.finding.conditions:
            return ""
        return f"The condition: {'; and '.join(self.finding.conditions)}."

    def _assumed(self) -> str:
        if not self.finding.assumed or self.finding.verdict in ("explain", "need-more", "none"):
            return ""
        return f"You didn't say everything, so this assumes {'; '.join(self.finding.assumed)}."

    def _doubts(self) -> str:
        return " ".join(self.finding.doubts)

    def _answer_texts(self) -> list[str]:
        texts = []
        if self.answer is not None:
            texts.append(self._text(self.answer.body))
        texts.append(self._reasons())
        texts.append(self._conditions())
        if self.answer is not None and self.answer.instead:
            texts.append(self._text(self.answer.instead))
        return [text for text in texts if text]

    # ---- the spoken form ---------------------------------------------------------------------------

    def _script_parts(self, headline: str, cautions: Sequence[str], checklist: Sequence[str]) -> list[str]:
        assert self.brief is not None
        parts = [for_the_ear(self._opening())]
        parts.append(for_the_ear(" ".join([headline, *self._answer_texts()])))
        parts.append(for_the_ear(self._doubts()))
        parts.append(for_the_ear(self._assumed()))
        parts.extend(for_the_ear(self._spoken_ask(ask)) for ask in self.finding.asks)
        parts.append(self._spoken_terms())
        if checklist and self.finding.verdict in ("explain", "inspect-first"):
            parts.append(for_the_ear(_in_order(checklist)))
        parts.append(for_the_ear(" ".join(cautions)))
        if self.brief.first_hand:
            parts.append(
                f"[Presenter: say here {self.brief.first_hand}, in your own words, or leave it out.]"
            )
        if self.brief.promise:
            parts.append(f"[Promise: {self.brief.promise}; enter the date by which you will report back.]")
        kind = "close_script_ask" if self.finding.asks else "close_script"
        parts.append(self._phrase(kind))
        return parts

    def _opening(self) -> str:
        ask = shortened(self.question.text, LONGEST_QUOTE_WORDS)
        rider = self.question.message.rider
        kind = "open_script" if rider else "open_script_no_name"
        return self._phrase(kind).replace("{rider}", rider or "").replace("{ask}", f"“{ask}”")

    def _spoken_ask(self, ask: Ask) -> str:
        sides = " ".join(_side_sentence(side) for side in ask.sides if side.because)
        return " ".join(filter(None, [ask.question, ask.measure, sides]))

    def _spoken_terms(self) -> str:
        assert self.brief is not None
        plain = [self.knowledge.plain_sentence(term) for term in self.brief.terms[:2]]
        return for_the_ear(" ".join(_sentence(sentence) for sentence in plain))

    # ---- the reply ---------------------------------------------------------------------------------

    def _reply_parts(self, headline: str, cautions: Sequence[str], checklist: Sequence[str]) -> list[str]:
        assert self.brief is not None
        parts = [
            self._greeting(),
            " ".join([headline, *self._answer_texts()]),
            self._doubts(),
            self._assumed(),
        ]
        parts.append(self._figure_lines())
        parts.extend(self._written_ask(ask, number) for number, ask in enumerate(self.finding.asks, 1))
        if checklist:
            heading = (
                "In this order:"
                if self.finding.verdict in ("explain", "inspect-first")
                else "To check, in this order:"
            )
            parts.append("\n".join([heading, *(f"{n}. {step}" for n, step in enumerate(checklist, 1))]))
        if cautions:
            parts.append("\n".join(["Please mind:", *(f"- {caution}" for caution in cautions)]))
        if self.brief.promise:
            parts.append("We'll ask, and we'll report back on the show.")
        parts.append(self._phrase("close_reply"))
        parts.append(self._source_lines())
        return parts

    def _greeting(self) -> str:
        rider = self.question.message.rider
        return self._phrase("greet" if rider else "greet_no_name").replace("{rider}", rider or "")

    def _figure_lines(self) -> str:
        shown = [figure for figure in self.finding.figures if figure.wanted]
        if not shown:
            return ""
        lines = [
            f"- {figure.label[:1].upper()}{figure.label[1:]}: "
            f"{of_range(figure.low or 0.0, figure.high or 0.0, figure.unit)}"
            for figure in shown
        ]
        return "\n".join(["The figures behind it:", *lines])

    def _written_ask(self, ask: Ask, number: int) -> str:
        lead = "What we need from you: " if number == 1 else "And, if you can: "
        lines = [" ".join(filter(None, [lead + ask.question, ask.measure]))]
        lines.extend(f"- {_side_sentence(side)}" for side in ask.sides if side.because)
        return "\n".join(lines)

    def _source_lines(self) -> str:
        ids: list[str] = []
        for figure in self.finding.figures:
            if figure.wanted or figure.decides:
                ids.extend(figure.sources)
        ids.extend(self.finding.decider_sources)
        if self.brief is not None:
            ids.extend(self.brief.sources)
        cited = [self.knowledge.sources[i].cited for i in dict.fromkeys(ids) if i in self.knowledge.sources]
        return f"Figures from: {'; '.join(cited)}." if cited else ""

    def _holding_reply(self) -> str | None:
        if "not-english" in self.question.flags:
            return None
        parts = [self._greeting(), self._phrase("person")]
        if "danger" in self.question.flags:
            parts.append(self.phrases.hold_off)
        parts.append(
            "It helps if you can tell us the parts by the codes stamped on them, the sizes you have measured, "
            "and what changed just before; a sharp photo is worth a page of words."
        )
        parts.append(self._phrase("close_reply"))
        return "\n\n".join(parts)

    def _phrase(self, kind: str) -> str:
        choices = self.phrases.of(kind)
        place = zlib.crc32(f"{kind}{self.question.question_id}".encode()) % len(choices)
        if choices[place] == self.taken.get(kind) and len(choices) > 1:
            place = (place + 1) % len(choices)
        self.taken[kind] = choices[place]
        return choices[place]


def reading_seconds(script: str, pace: float) -> float:
    """How long a script takes to say at a pace in words a minute, marked gaps left out."""
    said = re.sub(r"\[(?:Presenter|Promise):[^\]]*\]", "", script)
    paragraphs = [part for part in said.split("\n\n") if part.strip()]
    words = sum(len(re.findall(r"[\w'’]+", part.replace("-", " "))) for part in paragraphs)
    return round(words / pace * 60 + PAUSE_SECONDS * len(paragraphs), 1)


def shortened(text: str, most_words: int) -> str:
    """The text, or its last sentences up to so many words, since the ask stands at the end."""
    words = re.sub(r"(?:^|(?<=\s))\(?\d{1,2}\)\s", "", text).split()
    if len(words) <= most_words:
        return " ".join(words)
    sentences = re.split(r"(?<=[.!?])\s+", " ".join(words))
    kept: list[str] = []
    for sentence in reversed(sentences):
        if kept and sum(len(s.split()) for s in kept) + len(sentence.split()) > most_words:
            break
        kept.insert(0, sentence)
    short = " ".join(kept).split()
    return " ".join(short) if len(short) <= most_words else "… " + " ".join(short[-most_words:])


def _side_sentence(side: Side) -> str:
    verdict = VERDICT_WORDS.get(side.verdict, side.verdict)
    return f"If it is {side.when}, {verdict}: {side.because.rstrip('.')}."


def _sentence(text: str) -> str:
    text = text.strip()
    if not text:
        return ""
    return f"{text[:1].upper()}{text[1:].rstrip('.')}{'' if text.endswith(('!', '?')) else '.'}"


_ORDINALS = ("First", "Second", "Third", "Fourth", "Fifth", "Sixth", "Seventh", "Eighth", "Ninth", "Tenth")


def _in_order(steps: Sequence[str]) -> str:
    told = []
    for number, step in enumerate(steps[: len(_ORDINALS)]):
        lead = _ORDINALS[number] if number < len(steps) - 1 or len(steps) == 1 else "Last"
        first = step.split()[0]
        lowered = step if first.isupper() or first == "I" else step[:1].lower() + step[1:]
        told.append(f"{lead}, {lowered}")
    return " ".join(told)

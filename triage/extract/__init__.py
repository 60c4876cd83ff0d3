"""Extract: the quantities, choices and parts in a rider's words, each in one settled unit with its words."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from knowledge.base import Knowledge
from knowledge.once import once_for_each
from triage.extract import apposed, bearing_sizes
from triage.extract.choices import ChoiceFinder
from triage.extract.cracked import CHOICE, cracked_part
from triage.extract.quantities import QuantityFinder
from triage.extract.roles import ALARMS
from triage.extract.spelled import Figured
from triage.extract.whose import DESCRIBES, told_of_others
from triage.extract.words import unquoted
from triage.part_names import part_finder_for
from triage.records import Classified, Detail, Extracted, PartMention


def extract(questions: Sequence[Classified], knowledge: Knowledge) -> list[Extracted]:
    """Find what each rider stated; the bike described once in a message counts for all of its asks."""
    finder = _finder(knowledge)
    return [finder.extract(question) for question in questions]


class Finder:
    """The compiled patterns of one knowledge base."""

    def __init__(self, knowledge: Knowledge) -> None:
        self.quantities = QuantityFinder(knowledge)
        self.choices = ChoiceFinder(knowledge)
        self.choice_names = frozenset(knowledge.choices)
        self.parts = part_finder_for(knowledge)

    def extract(self, classified: Classified) -> Extracted:
        """The details of one question, those of its message's other asks left out where its own suffice."""
        message = classified.question.message
        if "too-long" in classified.question.flags:
            return Extracted(classified, (), ())
        details, doubts, codes = self._read(message.text)
        parts = self.parts.find(message.text)
        unknown = _unknown(message.text, codes, parts)
        if message.subject:
            named = {detail.name for detail in details}
            subject_details, _, subject_codes = self._read(message.subject)
            details += [replace(d, start=-1, end=-1) for d in subject_details if d.name not in named]
            known = {part.part_id for part in parts}
            subject_parts = self.parts.find(message.subject)
            parts += [replace(part, start=-1, end=-1) for part in subject_parts if part.part_id not in known]
            unknown += _unknown(message.subject, subject_codes, subject_parts)
        own = _own_span(classified)
        return Extracted(
            classified,
            tuple(_own_first(details, own)),
            tuple(parts),
            tuple(doubts),
            tuple(dict.fromkeys(unknown)),
        )

    def find(self, text: str) -> tuple[list[Detail], list[tuple[str, str]]]:
        """Quantities and choices of a text in the order of their words, and what makes no sense in it."""
        details, doubts, _ = self._read(text)
        return details, doubts

    def codes(self, text: str) -> list[str]:
        """Makers' codes that neither the choices nor the catalogue hold, as written."""
        return _unknown(text, self._read(text)[2], self.parts.find(text))

    def _read(self, text: str) -> tuple[list[Detail], list[tuple[str, str]], list[_Span]]:
        figured = Figured(text)
        low, words = figured.low, figured.words
        others = told_of_others(unquoted(low))
        details, doubts, codes = self.quantities.find(figured, low, words, others)
        chosen = _without_others(self.choices.find(figured, low, words), [figured.back(*o) for o in others])
        codes = [code for code in codes if not any(d.start < code[1] and code[0] < d.end for d in chosen)]
        details += chosen
        bearing = bearing_sizes.designation(low)
        if bearing is not None and not any(d.name == bearing_sizes.CHOICE for d in chosen):
            name, *span = bearing
            start, end = figured.back(*span)
            details.append(Detail(bearing_sizes.CHOICE, name, figured.original[start:end], start, end))
        for name, value, first, behind in apposed.apposed_materials(text):
            if not any(d.name == name and d.start != first and "fork" not in d.words.lower() for d in chosen):
                # "The post is 31.6 titanium": the word by itself would be of the frame.
                details = [d for d in details if (d.start, d.end) != (first, behind) and d.name != name]
                details.append(Detail(name, value, text[first:behind], first, behind))
        cracked = cracked_part(text) if CHOICE in self.choice_names else None
        if cracked is not None:
            named = text[cracked.start : cracked.end]
            details.append(Detail(CHOICE, cracked.value, named, cracked.start, cracked.end))
        return sorted(details, key=lambda detail: (detail.start, detail.end)), doubts, codes


_Span = tuple[int, int]
_SENTENCES = re.compile(r"(?<=[.?!])\s+|\n")
_WIDTH, _BEAD_SEAT = "tyre_width_mm", "bead_seat_diameter_mm"


def _without_others(chosen: list[Detail], others: Sequence[_Span]) -> list[Detail]:
    """What is told of another's bicycle describes that one; what has gone wrong is heeded whosever it is."""
    return [
        detail
        for detail in chosen
        if detail.name not in DESCRIBES or not any(start <= detail.start < end for start, end in others)
    ]


def _unknown(text: str, codes: Sequence[_Span], parts: Sequence[PartMention]) -> list[str]:
    return [
        text[start:end]
        for start, end in codes
        if not any(part.start < end and start < part.end for part in parts)
    ]


def _own_span(classified: Classified) -> list[_Span]:
    """Where the sentences of this ask stand in the message's text."""
    question = classified.question
    spans = []
    # Asks that stand apart in the message are one text here: each sentence is looked for by itself.
    for sentence in _SENTENCES.split(question.text):
        start = question.message.text.find(sentence.strip()[:60])
        if start >= 0:
            spans.append((start, start + len(sentence)))
    return spans


def _own_first(details: Sequence[Detail], own: Sequence[_Span]) -> list[Detail]:
    """Where this ask states a quantity itself, what the rest of the message says of it does not count."""

    def inside(detail: Detail) -> bool:
        return any(start <= detail.start < end for start, end in own)

    mine = {detail.name for detail in details if inside(detail)}
    if _BEAD_SEAT in mine and _WIDTH not in mine:
        # "My tyre says 27 x 1 1/4. Will a 700C tube go in?": the size in full is the one that is there, and both count.
        in_full = {detail.start for detail in details if detail.name == _WIDTH}
        if any(detail.name == _BEAD_SEAT and detail.start in in_full for detail in details):
            mine.remove(_BEAD_SEAT)
    alarming = {detail.name for detail in details if (detail.name, detail.value) in ALARMS}
    return [
        detail
        for detail in details
        if (detail.name, detail.value) in ALARMS
        or (detail.name not in alarming and (detail.name not in mine or inside(detail)))
    ]


_finder = once_for_each(Finder)


__all__ = ["Finder", "extract"]

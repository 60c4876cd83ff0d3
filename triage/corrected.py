"""A question as an editor says it is: another brief, another topic, no question at all, or details read otherwise."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from knowledge.base import Knowledge
from triage.records import BY_THE_DESK, Detail, Extracted, PartMention

Correction = Mapping[str, Any]


def as_corrected(extracted: Extracted, corrections: Sequence[Correction], knowledge: Knowledge) -> Extracted:
    """The question with its corrections in their order; each is a row of the ledger with `kind` and `now`."""
    if corrections:
        extracted = replace(extracted, sorted_as=extracted.classified)
    for correction in corrections:
        extracted = _corrected(extracted, str(correction["kind"]), str(correction["now"]), knowledge)
    return extracted


def _corrected(extracted: Extracted, kind: str, now: str, knowledge: Knowledge) -> Extracted:
    if kind == "detail":
        name, _, value = now.partition("=")
        return replace(extracted, details=_details(extracted.details, name, value, knowledge))
    if kind == "part":
        part_kind, _, part_id = now.partition("=")
        return replace(extracted, parts=_parts(extracted.parts, part_kind, part_id))
    classified = extracted.classified
    if kind == "brief":
        topic = now.split("/")[0]
        classified = _asked(replace(classified, topic=topic, topic_confidence=1.0, briefs=((now, 1.0),)))
    elif kind == "point":
        brief, _, names = now.partition("#")
        point, *more = [f"{brief}#{name}" for name in names.split(",")] if names else [None]
        # Whoever says what is told within a brief has said that the brief answers.
        classified = replace(
            classified,
            briefs=((brief, 1.0),) if brief else classified.briefs,
            point=point,
            more_points=tuple(filter(None, more)),
            perhaps=None,
            in_order=True,
        )
    elif kind == "topic":
        classified = _asked(replace(classified, topic=now, topic_confidence=1.0, briefs=()))
    elif kind == "outside":
        question = replace(
            classified.question, is_question=False, flags=(*classified.question.flags, now.split("/")[-1])
        )
        classified = replace(classified, question=question)
    return replace(extracted, classified=classified)


def _asked(classified: Any) -> Any:
    question = replace(classified.question, is_question=True)
    return replace(classified, question=question)


def _details(details: Sequence[Detail], name: str, value: str, knowledge: Knowledge) -> tuple[Detail, ...]:
    """The details without what was read under that name, and with the corrected value unless it is empty."""
    kept = tuple(detail for detail in details if detail.name != name)
    if not value:
        return kept
    known: float | str = value if name in knowledge.choices else float(value)
    # Where the misread words stood they are still the rider's; a value that nobody wrote has no place in the text.
    before = next((detail for detail in details if detail.name == name), None)
    start, end = (before.start, before.end) if before is not None else (-1, -1)
    return (*kept, Detail(name, known, BY_THE_DESK, start, end))


def _parts(parts: Sequence[PartMention], kind: str, part_id: str) -> tuple[PartMention, ...]:
    """The parts without those of a kind, and with the chosen one unless none is."""
    kept = tuple(part for part in parts if part.kind != kind)
    if not part_id:
        return kept
    before = next((part for part in parts if part.kind == kind), None)
    start, end = (before.start, before.end) if before is not None else (-1, -1)
    return (*kept, PartMention(part_id, kind, BY_THE_DESK, start, end, 100.0))

"""One draft as one line of drafts.jsonl: the output contract, and what the sheet shows beside it."""

from __future__ import annotations

import math
from collections import defaultdict
from typing import Any

from knowledge.base import Knowledge
from knowledge.once import once_for_each
from knowledge.units import unit_of
from triage.records import CHANCE_DIGITS, MAY_HURT, Ask, Classified, Draft, FigureInput, FigureResult, Side


def as_line(draft: Draft, knowledge: Knowledge) -> dict[str, Any]:
    """The draft under the contract's keys, in the contract's order; further keys follow."""
    finding = draft.finding
    question = finding.question
    message = question.message
    classified = finding.matched.extracted.classified
    brief = knowledge.briefs.get(finding.matched.brief or "")
    of_one_brief = _of_one_brief(knowledge)
    return {
        "question_id": question.question_id,
        "message_id": message.message_id,
        "channel": message.channel,
        "received": message.received,
        "rider": message.rider,
        "text": question.text,
        "is_question": question.is_question,
        "topic": classified.topic,
        "topic_confidence": round(classified.topic_confidence, CHANCE_DIGITS),
        "brief": finding.matched.brief,
        "brief_confidence": _rounded(finding.matched.confidence) if finding.matched.brief else None,
        "verdict": finding.verdict,
        "safety": bool(brief and brief.safety) or not {"danger", MAY_HURT}.isdisjoint(question.flags),
        "headline": draft.headline,
        "figures": [_figure(figure) for figure in finding.figures],
        "asks": [_ask(ask) for ask in finding.asks],
        "cautions": list(draft.cautions),
        "checklist": list(draft.checklist),
        "script": draft.script,
        "script_seconds": draft.script_seconds,
        "reply": draft.reply,
        # Told by the ledger alone, which knows all questions.
        "repeats_of": None,
        "asked_by": 1,
        "flags": list(draft.flags),
        "follows": question.follows,
        "title": brief.title if brief else None,
        "subject": message.subject,
        "context": question.context,
        "whole_text": message.text,
        "source": f"{message.source}: {message.item}" if message.item else message.source,
        "likes": message.likes,
        "attachments": [{"name": a.name, "type": a.content_type} for a in message.attachments],
        "details": [
            _detail(detail)
            for detail in finding.matched.extracted.details
            if of_one_brief.get(detail.name, finding.matched.brief) == finding.matched.brief
        ]
        + [
            {
                "name": part.kind,
                "value": part.part_id,
                "words": part.words,
                "start": part.start,
                "end": part.end,
            }
            for part in finding.matched.extracted.parts
        ],
        "reasons": list(finding.reasons),
        "conditions": list(finding.conditions),
        "assumed": [f"{one.label}: {one.words}" for one in finding.assumed],
        "reply_frame": list(draft.reply_frame),
        "pace": draft.pace,
        "asked_seconds": draft.asked_seconds,
        "sureness": finding.sureness,
        "decided": bool(brief and brief.verdict is None),
        "conflicts": list(finding.conflicts),
        "nearest": [
            {"name": n.name, "label": n.label, "value": n.value, "verdict": n.verdict, "parts": list(n.parts)}
            for n in finding.nearest
        ],
        "ready": [
            {"when": r.when, "verdict": r.verdict, "headline": r.headline, "reply": r.reply}
            for r in draft.ready
        ],
        "doubts": [*finding.doubts, *finding.unworked],
        "props": list(brief.props) if brief else [],
        "sources": list(dict.fromkeys([*finding.decider_sources, *(brief.sources if brief else ())])),
        "nearest_briefs": [[label, round(chance, CHANCE_DIGITS)] for label, chance in classified.briefs[:3]],
        "point": classified.point if finding.matched.brief else None,
        "more_points": list(classified.more_points) if finding.matched.brief else [],
        "perhaps": classified.perhaps if finding.matched.brief else None,
        "sorted_as": _sorted_as(finding.matched.extracted.sorted_as or classified),
    }


@once_for_each
def _of_one_brief(knowledge: Knowledge) -> dict[str, str]:
    """The choices that one brief alone asks for, and which: to others they say nothing, whatever words they share."""
    asking: dict[str, set[str]] = defaultdict(set)
    for brief in knowledge.briefs.values():
        for need in brief.needs:
            if need.name in knowledge.choices:
                asking[need.name].add(brief.id)
    return {name: next(iter(briefs)) for name, briefs in asking.items() if len(briefs) == 1}


def _sorted_as(classified: Classified) -> dict[str, Any]:
    """How the sorter read a question, so that a correction can be taken back."""
    return {
        "is_question": classified.question.is_question,
        "flags": list(classified.question.flags),
        "topic": classified.topic,
        "topic_confidence": round(classified.topic_confidence, CHANCE_DIGITS),
        "briefs": [[label, round(chance, CHANCE_DIGITS)] for label, chance in classified.briefs[:3]],
        "point": classified.point,
        "more_points": list(classified.more_points),
        "perhaps": classified.perhaps,
        "likely": list(classified.likely),
        "in_order": classified.in_order,
    }


def _rounded(value: float | None) -> float | None:
    return None if value is None else round(value, CHANCE_DIGITS)


def _figure(figure: FigureResult) -> dict[str, Any]:
    return {
        "name": figure.name,
        "label": figure.label,
        "value": _finite(figure.value),
        "low": _finite(figure.low),
        "high": _finite(figure.high),
        "unit": figure.unit,
        "working": figure.working,
        "inputs": [_input(one) for one in figure.inputs],
        "sources": list(figure.sources),
        "decides": figure.decides,
        "wanted": figure.wanted,
        "absolute": figure.absolute,
        "marks": [[_finite(limit), label] for limit, label in figure.marks],
        "bands": [[_finite(limit), verdict] for limit, verdict in figure.limits],
    }


def _finite(value: float | None) -> float | None:
    """JSON knows no infinity; digits beyond the ninth are rounding noise."""
    if value is None or not math.isfinite(value):
        return None
    return float(f"{value:.9g}")


def _input(one: FigureInput) -> dict[str, Any]:
    value: Any = one.value
    if isinstance(value, tuple):
        value = [_finite(v) if isinstance(v, float) else v for v in value]
    elif isinstance(value, float):
        value = _finite(value)
    return {
        "name": one.name,
        "value": value,
        "unit": one.unit,
        "from": one.origin,
        "words": one.words,
        "basis": one.basis,
        "label": one.label,
        "rows": list(one.rows),
    }


def _ask(ask: Ask) -> dict[str, Any]:
    return {
        "name": ask.name,
        "question": ask.question,
        "tips_at": ask.tips_at,
        "measure": ask.measure,
        "again": ask.again,
        "unit": unit_of(ask.name).symbol if ask.tips_at is not None else "",
        "sides": [_side(side) for side in ask.sides],
    }


def _side(side: Side) -> dict[str, Any]:
    ends = None if isinstance(side.value, str) else [_finite(end) for end in side.value]
    return {"when": side.when, "verdict": side.verdict, "because": side.because, "ends": ends}


def _detail(detail: Any) -> dict[str, Any]:
    value = list(detail.value) if isinstance(detail.value, tuple) else detail.value
    return {
        "name": detail.name,
        "value": value,
        "words": detail.words,
        "start": detail.start,
        "end": detail.end,
    }

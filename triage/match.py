"""Match: find the brief that answers a question, and gather what it needs from rider, parts, tables and habit."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace

from knowledge import tables
from knowledge.base import CataloguePart, Knowledge
from knowledge.brief import Brief, Lookup, Need
from knowledge.units import unit_of
from triage.readings import outright
from triage.records import BY_THE_DESK, CHANCE_DIGITS, Detail, Extracted, Matched, PartMention, Value

LEAST_WITH_A_POINT, LEAST_IN_GENERAL = 0.35, 0.5
"""How sure of its brief a question must be for a draft: less so where something within it answers what was asked.

Of 72 drafts for real riders with a chance of 0.35 to 0.65, each read beside the mail that puts a person in its place, two readers
would rather send the draft for 6 of the 9 below 0.5 that have a point (the other for 2) and for 3 of the 14 that are general
(the other for 11); above 0.5 for 14 of 24 and 18 of 25.
"""
ROUGHLY, ROUGHLY_SHARE = 2.0, 0.05
"""A value given roughly is off by up to twice what measuring leaves open, or by a twentieth; by common practice."""


def is_answered_by(chance: float, has_point: bool) -> bool:
    """Whether a brief that is as likely as this is sure enough for a draft, or a person has to look.

    As the chance is put down in a draft's line: a question that is worked out again from there fares no otherwise.
    """
    return round(chance, CHANCE_DIGITS) >= (LEAST_WITH_A_POINT if has_point else LEAST_IN_GENERAL)


def match(questions: Sequence[Extracted], knowledge: Knowledge) -> list[Matched]:
    """Take the likeliest brief of each question; what the rider left out stays a range that `decide` tries."""
    return [_match(question, knowledge) for question in questions]


def _match(extracted: Extracted, knowledge: Knowledge) -> Matched:
    candidates = extracted.classified.briefs
    if not candidates:
        return Matched(extracted, None, None)
    identity, confidence = candidates[0]
    if not extracted.question.is_question or not is_answered_by(
        confidence, extracted.classified.point is not None
    ):
        return Matched(extracted, None, confidence)
    values = values_for(knowledge.briefs[identity], extracted.details, extracted.parts, knowledge)
    missing = tuple(name for name, value in values.items() if value.origin == "usual")
    return Matched(extracted, identity, confidence, values, missing)


def values_for(
    brief: Brief, details: Sequence[Detail], parts: Sequence[PartMention], knowledge: Knowledge
) -> dict[str, Value]:
    """Every need of a brief with its value, from the rider's words, a part, a table or what is usual."""
    needed = {need.name for need in brief.needs}
    told = details
    details = _one_reading_each(details, needed)
    values: dict[str, Value] = {}
    for need in brief.needs:
        found = _stricter(
            _stated(need, details, told, needed, knowledge), _from_part(need, parts, knowledge), knowledge
        )
        if found is not None:
            values[need.name] = found
    for need in brief.needs:
        if need.name not in values and need.table is not None:
            found = _from_table(need, need.table, values, needed, knowledge)
            if found is not None:
                values[need.name] = found
    for name, value in _weighed(brief, values, details, told, knowledge):
        values.setdefault(name, value)
    for need in brief.needs:
        if need.name not in values and need.or_else in values:
            values[need.name] = replace(values[need.or_else], name=need.name)
    for need in brief.needs:
        if need.name not in values:
            values[need.name] = _usual(need, knowledge)
    return {need.name: values[need.name] for need in brief.needs}


def _one_reading_each(details: Sequence[Detail], needed: set[str]) -> list[Detail]:
    """Of several readings of the same words, the likeliest that the brief asks for."""
    claimed: dict[tuple[object, ...], str] = {}
    for detail in details:
        if detail.name in needed:
            claimed.setdefault(_reading(detail), detail.name)
    return [
        detail
        for detail in details
        if detail.start < 0 or claimed.get(_reading(detail), detail.name) == detail.name
    ]


def _reading(detail: Detail) -> tuple[object, ...]:
    """The same words with the same value; "28-622" gives two values and so two details."""
    kind = detail.name if isinstance(detail.value, str) else ""
    return detail.start, detail.end, detail.value, kind


def _stated(
    need: Need, details: Sequence[Detail], told: Sequence[Detail], needed: set[str], knowledge: Knowledge
) -> Value | None:
    own = [detail for detail in details if detail.name == need.name]
    if not own:
        # "11-34" alone is the new cassette where the brief asks for no other one.
        general = _general(need.name, needed)
        if general and general not in needed:
            own = [detail for detail in details if detail.name == general]
    if not own:
        return None
    words = " … ".join(dict.fromkeys(detail.words for detail in own))
    if need.name in knowledge.choices:
        choices = tuple(dict.fromkeys(str(detail.value) for detail in own))
        return _choice(need, choices, "rider", words, "the rider's words")
    own = _finest(outright(own, told) if need.name in _ONE_EACH else own)
    if need.name in _LEAST_COUNTS:
        own = [min(own, key=lambda detail: _ends(detail.value)[0])]
    ends = [end for detail in own for end in _ends(detail.value)]
    low, high = min(ends), max(ends)
    first = _ends(own[0].value)
    if high - low <= _slip(need, knowledge) and first[0] == first[-1]:
        low = high = first[0]
    is_printed = all(_A_MARKING.search(detail.words) for detail in own)
    spread = _spread(need, low, any(detail.about for detail in own), knowledge) if low == high else 0.0
    spread = 0.0 if need.name in _MARKED and is_printed else spread
    return replace(_number(need, low, high, "rider", words, "the rider's words"), spread=spread)


_MARKED = ("rim_inner_width_mm",)
_A_MARKING = re.compile(r"\d{3}\s?[-x×]\s?\d\d|\d\d\s?[cC]\b")
"""On a rim this is printed: "622x19"; "19 mm between the walls" was measured."""
_LEAST_COUNTS = frozenset({"pad_thickness_mm", "rim_wall_mm", "rotor_thickness_mm", "tyre_clearance_mm"})
"""Of what wears the thinnest place decides, and of gaps the smallest: "1 mm in front and 1.5 behind" is no stretch."""
_ONE_EACH = frozenset({"inseam_mm", "saddle_height_mm"})
"""A rider has one of these: "saddle 73 cm, inseam 84" is no stretch, though 73 cm might be an inseam too."""


def _spread(need: Need, value: float, is_about: bool, knowledge: Knowledge) -> float:
    """By how much a stated value may be off; "about 28" more than "28"."""
    kind = knowledge.quantities.get(need.name)
    measured = kind.spread if kind is not None and not need.exact else 0.0
    return max(ROUGHLY * measured, ROUGHLY_SHARE * abs(value)) if is_about and measured else measured


def _slip(need: Need, knowledge: Knowledge) -> float:
    """By how much two statements of one quantity may differ and still be one: what its measuring allows."""
    kind = knowledge.quantities.get(need.name)
    return (kind.tolerance if kind else 0.0) + 1e-9


def _finest(own: Sequence[Detail]) -> list[Detail]:
    """Without the statements that only round a finer one: "42 mm shell, measured 42.03"."""
    kept = []
    digits = [_places(detail.words) for detail in own]
    for detail, places in zip(own, digits, strict=True):
        finer = [
            other.value
            for other, others in zip(own, digits, strict=True)
            if others > places and isinstance(other.value, float) and isinstance(detail.value, float)
        ]
        if not any(round(float(value), places) == detail.value for value in finer):
            kept.append(detail)
    return kept


def _places(words: str) -> int:
    """Digits behind the point, as the rider wrote the number."""
    match = re.search(r"\d[.,](\d+)", words)
    return len(match[1]) if match else 0


GENERAL_UNDER = ("new_", "front_", "rear_")
"""A part of its own must not inherit from another: a derailleur's largest sprocket is not the cassette's."""


def _general(name: str, needed: set[str]) -> str | None:
    others = {other for other in needed if other.endswith("speeds") and other != name}
    if name in ("cassette_speeds", "shifter_speeds") or (name == "chain_speeds" and not others):
        return "speeds"
    return next((name.removeprefix(prefix) for prefix in GENERAL_UNDER if name.startswith(prefix)), None)


_TOGETHER, _RIDER, _BIKE, _LOAD = "total_mass_kg", "rider_mass_kg", "bike_mass_kg", "load_mass_kg"


def _weighed(
    brief: Brief,
    values: Mapping[str, Value],
    details: Sequence[Detail],
    told: Sequence[Detail],
    knowledge: Knowledge,
) -> Iterator[tuple[str, Value]]:
    """A mass that the brief asks for, from the other ones that the rider told: "I'm 105 kg" says most of the whole."""
    needs = {need.name: need for need in brief.needs}
    needed = set(needs)

    def said(name: str) -> Value | None:
        return values.get(name) or _stated(needs.get(name, Need(name=name)), details, told, needed, knowledge)

    rider, bike, load = said(_RIDER), said(_BIKE), said(_LOAD)
    if _TOGETHER in needed and _TOGETHER not in values and rider is not None:
        parts = [
            rider,
            bike or _usual(needs.get(_BIKE, Need(name=_BIKE)), knowledge),
            *([load] if load else []),
        ]
        low, high = (sum(getattr(part, end) or 0.0 for part in parts) for end in ("low", "high"))
        words = " … ".join(part.words for part in parts if part.words)
        basis = "the rider's words" if bike else "the rider's words, with a usual bicycle"
        yield _TOGETHER, _number(needs[_TOGETHER], low, high, "rider", words, basis)
    together = said(_TOGETHER)
    if (
        _RIDER in needed
        and _BIKE in needed
        and _TOGETHER not in needed
        and rider is None
        and together is not None
    ):
        rest = [said(name) or _usual(needs[name], knowledge) for name in (_BIKE, _LOAD) if name in needed]
        low = (together.low or 0.0) - sum(part.high or 0.0 for part in rest)
        high = (together.high or 0.0) - sum(part.low or 0.0 for part in rest)
        if low > 0:
            basis = "the rider's words, less the bicycle"
            yield _RIDER, _number(needs[_RIDER], low, high, "rider", together.words, basis)


def _ends(value: float | tuple[float, float] | str) -> tuple[float, ...]:
    if isinstance(value, tuple):
        return value
    return (float(value),)


def _number(need: Need, low: float, high: float, origin: str, words: str | None, basis: str) -> Value:
    return Value(
        name=need.name,
        best=low if low == high else (low + high) / 2,
        low=low,
        high=high,
        choices=(),
        unit=unit_of(need.name).symbol,
        origin=origin,  # type: ignore[arg-type]
        words=words,
        basis=basis,
    )


def _choice(need: Need, choices: tuple[str, ...], origin: str, words: str | None, basis: str) -> Value:
    return Value(
        name=need.name,
        best=choices[0] if len(choices) == 1 else None,
        low=None,
        high=None,
        choices=choices,
        unit="",
        origin=origin,  # type: ignore[arg-type]
        words=words,
        basis=basis,
    )


def _stricter(stated: Value | None, by_part: Value | None, knowledge: Knowledge) -> Value | None:
    """What the rider said; where it is a limit and the named part's maker states a stricter one, the maker's."""
    if stated is None or by_part is None or BY_THE_DESK in (stated.words or ""):
        return stated or by_part
    kind = knowledge.quantities.get(stated.name)
    if (
        kind is None
        or stated.high is None
        or by_part.high is None
        or stated.low is None
        or by_part.low is None
    ):
        return stated
    is_stricter = (kind.limit == "most" and by_part.high < stated.high) or (
        kind.limit == "least" and by_part.low > stated.low
    )
    return by_part if is_stricter else stated


def _from_part(need: Need, parts: Sequence[PartMention], knowledge: Knowledge) -> Value | None:
    """What the catalogue says of a named part; a brief that names no kind takes it from whichever part has it."""
    wanted = need.property or need.name
    found: list[tuple[PartMention, CataloguePart]] = []
    for mention in parts:
        part = knowledge.parts[mention.part_id]
        if need.part in (None, part.kind) and wanted in part.properties:
            found.append((mention, part))
    if not found or (need.part is None and len({part.kind for _, part in found}) > 1):
        return None
    words = " … ".join(dict.fromkeys(mention.words for mention, _ in found))
    basis = found[0][1].source
    rows = tuple(dict.fromkeys(f"parts#{part.id}" for _, part in found))
    if need.name in knowledge.choices:
        choices = tuple(dict.fromkeys(str(part.properties[wanted]) for _, part in found))
        return replace(_choice(need, choices, "part", words, basis), rows=rows)
    numbers = [float(part.properties[wanted]) for _, part in found]
    return replace(_number(need, min(numbers), max(numbers), "part", words, basis), rows=rows)


def _from_table(
    need: Need, lookup: Lookup, values: dict[str, Value], needed: set[str], knowledge: Knowledge
) -> Value | None:
    fitting = [
        row
        for row in tables.rows(lookup.table)
        if all(_fits(row[column], wanted, values, needed) for column, wanted in lookup.where.items())
        and row[lookup.column] != ""
    ]
    if not fitting:
        return None
    keys = [wanted for wanted in lookup.where.values() if wanted in needed]
    keyed = all(key in values and values[str(key)].is_known for key in keys)
    origin = "table" if keyed else "usual"
    basis = str(fitting[0]["source"])
    rows = tuple(f"{lookup.table}#{row['id']}" for row in fitting)
    if need.name in knowledge.choices:
        words = tuple(dict.fromkeys(str(row[lookup.column]) for row in fitting))
        return replace(_choice(need, words, origin, None, basis), rows=rows)
    numbers = [float(row[lookup.column]) for row in fitting]
    return replace(_number(need, min(numbers), max(numbers), origin, None, basis), rows=rows)


def _fits(cell: float | str, wanted: str | float, values: dict[str, Value], needed: set[str]) -> bool:
    if wanted not in needed:
        return cell == wanted
    value = values.get(str(wanted))
    if value is None:
        return True
    if value.choices:
        return str(cell) in value.choices
    if value.low is None or value.high is None or not isinstance(cell, float):
        return True
    return value.low <= cell <= value.high


def _usual(need: Need, knowledge: Knowledge) -> Value:
    kind = knowledge.quantities.get(need.name)
    basis = need.basis or (kind.basis if kind and kind.basis else "common-practice")
    if need.name in knowledge.choices:
        every = tuple(choice.value for choice in knowledge.choices[need.name])
        usual = need.usual if isinstance(need.usual, tuple) else every
        return _choice(need, tuple(map(str, usual)), "usual", None, basis)
    if isinstance(need.usual, tuple):
        low, high = (float(end) for end in need.usual)
    elif need.usual is not None:
        low = high = float(need.usual)
    elif kind is not None and kind.usual_low is not None and kind.usual_high is not None:
        low, high = kind.usual_low, kind.usual_high
    else:
        raise ValueError(f"{need.name}: nothing usual is known; `quillstem knowledge check` says where")
    return _number(need, low, high, "usual", None, basis)


def sources_of(values: Iterable[Value]) -> set[str]:
    """The source ids that stand behind values not stated by the rider."""
    return {value.basis for value in values if value.origin != "rider"}

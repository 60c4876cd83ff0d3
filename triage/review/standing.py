"""What a draft stands on: its brief, calculations, table rows, parts and sources, each with a digest of what it says.

Rows are those that a need was looked up in, those that decided by a table of pairs, those of the parts that are named, and
those that a calculation read: for the last it is worked again with the figure's own inputs, over all that they leave open.
"""

from __future__ import annotations

import hashlib
import inspect
import itertools
import json
import math
import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from types import CodeType
from typing import Any, TypeVar

import numpy as np

from knowledge import tables
from knowledge.base import Knowledge
from knowledge.brief import Brief, Decider
from knowledge.calculation import Argument, Calculation
from knowledge.resolve import ResolveError, Step, plan
from triage.match import ROUGHLY, ROUGHLY_SHARE, values_for
from triage.records import BY_THE_DESK, Detail, PartMention, Value

Line = Mapping[str, Any]
Made = TypeVar("Made")
Stretch = tuple[float, ...]
"""One number, or the two ends between which a number lies."""
GRID, MOST_OPEN = 5, 5
"""Values tried of each input that is open, and how many open inputs are tried so finely; of more, both ends."""
AS_IT_WAS = 1e-6
"""By how much a figure may differ from the kept one and still be the same: lines keep nine digits."""
_WORKED_OUT = "worked out: "
_ROUGH_WORDS = re.compile(
    r"\b(?:about|around|roughly|approx|approximately|nearly|almost|circa|ca|maybe|some|say|or so)\b|~|ish\b",
    re.IGNORECASE,
)
_NUMBER = re.compile(r"[-−]?\d[\d,]*(?:\.\d+)?")


def stands_on(line: Line, knowledge: Knowledge) -> dict[str, str]:
    """Everything that a draft's words and figures rest on, such as "source roller-chain-wheels", with a digest of each.

    What is no longer there has an empty digest.
    """
    return dict(sorted(_grounds(line, knowledge)))


def what_gave_way(was: Mapping[str, str], now: Mapping[str, str]) -> list[str]:
    """The grounds that say something else now, or are gone."""
    return [ground for ground, digest in was.items() if now.get(ground) != digest]


def _grounds(line: Line, knowledge: Knowledge) -> Iterator[tuple[str, str]]:
    brief = knowledge.briefs.get(line["brief"] or "")
    if brief is None:
        return
    # The examples teach the sorter; a draft doesn't stand on them.
    yield (
        f"brief {brief.id}",
        _digest_of(
            brief, lambda: brief.model_dump_json(exclude={"examples": True, "points": {"__all__": {"asked"}}})
        ),
    )
    sources = list(line["sources"])
    rows: dict[str, None] = {}
    for figure in line["figures"]:
        calculation = _calculation(figure, brief, knowledge)
        if calculation is not None:
            function = calculation.function
            yield f"calculation {calculation.name}", _digest_of(function, lambda: _text_of(function))  # noqa: B023
            rows |= dict.fromkeys(_read_inside(figure, calculation, line, brief, knowledge))
        sources += figure["sources"]
        rows |= dict.fromkeys(row for one in figure["inputs"] for row in one.get("rows", ()))
    values = values_for(brief, *_told(line, knowledge), knowledge)
    for value in values.values():
        rows |= dict.fromkeys(value.rows)
        if value.origin != "rider":
            sources += [key for key in value.basis.split() if key in knowledge.sources]
    for decider in brief.deciders:
        rows |= dict.fromkeys(_paired(decider, values, line))
    rows |= dict.fromkeys(_named_parts(line, knowledge))
    for row in rows:
        digest, cited = _row(row, knowledge)
        yield f"row {row}", digest
        sources += cited
    for key in dict.fromkeys(sources):
        source = knowledge.sources.get(key)
        yield f"source {key}", "" if source is None else _digest_of(source, lambda: repr(source))  # noqa: B023


def _calculation(figure: Line, brief: Brief, knowledge: Knowledge) -> Calculation | None:
    named = next((one.works_out for one in brief.figures if one.name == figure["name"]), figure["name"])
    return knowledge.calculations.get(named)


# ---- rows ----------------------------------------------------------------------------------------------


def _row(row: str, knowledge: Knowledge) -> tuple[str, list[str]]:
    """A row's digest and the sources that it names; of a row that is gone there are none."""
    table, _, identity = row.partition("#")
    if table == "parts":
        part = knowledge.parts.get(identity)
        if part is None:
            return "", []
        return _digest_of(part, lambda: repr((part, sorted(part.properties.items())))), [part.source]
    found = _by_id(table).get(identity)
    if found is None:
        return "", []
    sources = [key for key in re.split(r"[,\s|]+", str(found.get("source", ""))) if key]
    return _digest_of(found, lambda: json.dumps(dict(found), sort_keys=True)), sources


def _by_id(table: str) -> Mapping[str, tables.Row]:
    try:
        rows = tables.rows(table)
    except FileNotFoundError:
        return {}
    return _once((rows,), lambda: {str(row.get("id")): row for row in rows})


def _named_parts(line: Line, knowledge: Knowledge) -> Iterator[str]:
    """The parts that a draft says would do."""
    named = {part for nearest in line.get("nearest", ()) for part in nearest["parts"]}
    if named:
        parts = _once(
            (knowledge.parts,),
            lambda: [(f"{part.maker} {part.name}", part.id) for part in knowledge.parts.values()],
        )
        yield from (f"parts#{identity}" for name, identity in parts if name in named)


def _told(line: Line, knowledge: Knowledge) -> tuple[list[Detail], list[PartMention]]:
    """What was read out of the mail, as it was read."""
    details, parts = [], []
    for one in line.get("details", ()):
        value, place = one["value"], (one["words"], one["start"], one["end"])
        part = knowledge.parts.get(value) if isinstance(value, str) else None
        if part is not None and part.kind == one["name"]:
            parts.append(PartMention(part.id, part.kind, *place, 100.0))
        elif value is not None:
            details.append(Detail(one["name"], tuple(value) if isinstance(value, list) else value, *place))
    return details, parts


def _paired(decider: Decider, values: Mapping[str, Value], line: Line) -> Iterator[str]:
    """The rows of a table of pairs that fit what is known: the first one, or all that may where something is open."""
    if decider.pairs is None:
        return
    known = {column: _known(need, values, line) for column, need in decider.where.items()}
    fitting = [
        f"{decider.pairs}#{identity}"
        for identity, row in _by_id(decider.pairs).items()
        if all(_fits(row.get(column, ""), one) for column, one in known.items())
    ]
    is_settled = all(one is not None and len(one) == 1 for one in known.values())
    yield from fitting[:1] if is_settled else fitting


def _known(need: str, values: Mapping[str, Value], line: Line) -> tuple[str, ...] | tuple[float, ...] | None:
    """The words that a need may be, or its number, or the ends between which it lies; None where nothing is known."""
    value = values.get(need)
    if value is not None and value.choices:
        return value.choices
    ends = (
        (value.low, value.high)
        if value is not None
        else next(((one["low"], one["high"]) for one in line["figures"] if one["name"] == need), (None, None))
    )
    low, high = ends
    return None if low is None or high is None else (low,) if low == high else (low, high)


def _fits(cell: tables.Cell, known: tuple[str, ...] | tuple[float, ...] | None) -> bool:
    if known is None:
        return True
    if isinstance(known[0], str):
        return str(cell) in known
    return isinstance(cell, float) and float(known[0]) <= cell <= float(known[-1])


# ---- rows inside of a calculation ----------------------------------------------------------------------


def _read_inside(
    figure: Line, calculation: Calculation, line: Line, brief: Brief, knowledge: Knowledge
) -> Iterator[str]:
    """The rows that a figure hangs on through its calculation.

    Where it no longer comes to what the draft says, the tables are others by now, and every row looked at counts.
    """
    if not tables.reads_tables(calculation.function):
        return
    given = _given(figure, calculation, _step(figure["name"], brief, knowledge))
    tried = {
        argument.name: _tried(argument, given.get(argument.name), line, knowledge)
        for argument in calculation.arguments
    }
    names = list(tried)
    for combination in itertools.product(*tried.values()):
        yield from _behind(calculation, dict(zip(names, combination, strict=True)), knowledge).rows
    if not _is_as_it_was(figure, calculation, given):
        wide = {name: some if isinstance(some[0], str) else some[:1] for name, some in tried.items()}
        for combination in itertools.product(*wide.values()):
            yield from _behind(calculation, dict(zip(names, combination, strict=True)), knowledge).looked_at


def _step(name: str, brief: Brief, knowledge: Knowledge) -> Step | None:
    def steps() -> dict[str, Step]:
        try:
            return {step.name: step for step in plan(brief, knowledge).steps}
        except ResolveError:
            return {}

    return _once((brief, knowledge.calculations), steps).get(name)


def _given(figure: Line, calculation: Calculation, step: Step | None) -> dict[str, Line]:
    """A figure's inputs by the calculation's own names for them."""
    inputs = figure["inputs"]
    if step is not None:
        sources = [*step.inputs]
        named = {argument for argument, _ in sources}
        sources += [
            (a.name, a.name) for a in calculation.arguments if a.name not in named and a.default is not None
        ]
        if len(sources) == len(inputs) and all(
            one.get("name") in (argument, source)
            for (argument, source), one in zip(sources, inputs, strict=True)
        ):
            return {argument: one for (argument, _), one in zip(sources, inputs, strict=True)}
    return {one["name"]: one for one in inputs if "name" in one}


def _tried(
    argument: Argument, given: Line | None, line: Line, knowledge: Knowledge
) -> Sequence[str | Stretch]:
    """Every word that an input may be; or its number, all that measuring leaves open, and the nearest that was advised."""
    value = None if given is None else given["value"]
    if argument.is_choice:
        words = [value] if isinstance(value, str) else value or ()
        return [word for word in words if word in argument.limits] or list(map(str, argument.limits))
    least, most = float(argument.limits[0]), float(argument.limits[1])
    if given is None or value is None:
        return [(least, most)]
    low, high = _ends(given, line, knowledge)
    low, high = (least if low is None else low), (most if high is None else high)
    stretches = [(low, high), *((near, near) for near in _nearest(given, line))]
    return [(min(max(low, least), most), min(max(high, least), most)) for low, high in stretches]


def _ends(given: Line, line: Line, knowledge: Knowledge) -> tuple[float | None, float | None]:
    """Between what an input was tried; None for an end without bound."""
    value, basis = given["value"], given.get("basis") or ""
    low, high = value if isinstance(value, list | tuple) else (value, value)
    if basis.startswith(_WORKED_OUT):
        name = basis.removeprefix(_WORKED_OUT)
        figure = next((one for one in line["figures"] if one["name"] == name), None)
        return (low, high) if figure is None else (figure["low"], figure["high"])
    if given.get("from") == "rider" and low == high and low is not None:
        reach = _reach(given, float(low), line, knowledge)
        return low - reach, high + reach
    return low, high


def _reach(given: Line, value: float, line: Line, knowledge: Knowledge) -> float:
    """By how much a stated value may be off. Whether it was said roughly is not kept, so the mail's words are looked at."""
    kind = knowledge.quantities.get(given["name"])
    measured = kind.spread if kind is not None else 0.0
    if not measured or given.get("words") == BY_THE_DESK:
        return measured
    text = f"{line.get('whole_text', '')} {line.get('context', '')}"
    is_rough = _ROUGH_WORDS.search(text) is not None
    reach = max(ROUGHLY * measured, ROUGHLY_SHARE * abs(value)) if is_rough else measured
    asked_again = any(ask["again"] and ask["name"] == given["name"] for ask in line.get("asks", ()))
    # A tipping value is looked for that much further out.
    return 3 * reach if asked_again else reach


def _nearest(given: Line, line: Line) -> Iterator[float]:
    for one in line.get("nearest", ()):
        found = _NUMBER.search(str(one["value"])) if one["name"] == given["name"] else None
        if found:
            yield float(found.group().replace(",", "").replace("−", "-"))


def _is_as_it_was(figure: Line, calculation: Calculation, given: Mapping[str, Line]) -> bool:
    """Whether the calculation still comes to a kept figure; one that is no single number can't be compared."""
    if figure.get("value") is None:
        return True
    inputs = {name: one["value"] for name, one in given.items()}
    if any(isinstance(value, list | tuple) or value is None for value in inputs.values()):
        return True
    try:
        now = float(np.asarray(calculation(**inputs), dtype=float))
    except (TypeError, ValueError, LookupError, StopIteration):
        return False
    return math.isclose(now, figure["value"], rel_tol=AS_IT_WAS, abs_tol=1e-9)


def _behind(
    calculation: Calculation, tried: Mapping[str, str | Stretch], knowledge: Knowledge
) -> tables.Behind:
    key = (calculation.function, knowledge.digest, tuple(tried.items()))
    if key not in _behind_kept:
        if len(_behind_kept) >= MOST_KEPT:
            _behind_kept.clear()
        _behind_kept[key] = tables.rows_behind(calculation.function, _inputs(tried))
    return _behind_kept[key]


def _inputs(tried: Mapping[str, str | Stretch]) -> dict[str, Any]:
    """Inputs as arrays of one length where any is open: every combination of what is tried of each."""
    numbers = {name: one for name, one in tried.items() if not isinstance(one, str)}
    still_open = [name for name, ends in numbers.items() if ends[0] != ends[-1]]
    count = GRID if len(still_open) <= MOST_OPEN else 2
    axes = np.meshgrid(*(np.linspace(numbers[name][0], numbers[name][-1], count) for name in still_open))
    inputs: dict[str, Any] = {
        name: one if isinstance(one, str) else float(one[0]) for name, one in tried.items()
    }
    return inputs | {name: axis.ravel() for name, axis in zip(still_open, axes, strict=True)}


# ---- digests -------------------------------------------------------------------------------------------

MOST_KEPT = 20_000
_behind_kept: dict[Any, tables.Behind] = {}
_made: dict[tuple[int, ...], tuple[tuple[object, ...], Any]] = {}


def _once(things: tuple[object, ...], make: Callable[[], Made]) -> Made:
    """What was made of these very things before, or else what is made now."""
    key = tuple(map(id, things))
    found = _made.get(key)
    if found is None:
        if len(_made) >= MOST_KEPT:
            _made.clear()
        # The things are kept beside, so that no other one comes to bear the same number.
        found = _made[key] = (things, make())
    made: Made = found[1]
    return made


def _digest_of(thing: object, text: Callable[[], str]) -> str:
    return _once((thing,), lambda: _digest(text()))


def _text_of(function: Any) -> str:
    """A calculation's own lines, and those of what it calls and the numbers it names in its own module."""
    return "\n".join(_texts_of(function, set()))


def _texts_of(function: Any, met: set[str]) -> Iterator[str]:
    bare = inspect.unwrap(function)
    yield inspect.getsource(bare)
    for name in _named_in(bare.__code__):
        found = bare.__globals__.get(name)
        if name in met:
            continue
        met.add(name)
        if all(
            isinstance(one, int | float | str) for one in (found if isinstance(found, tuple) else [found])
        ):
            yield f"{name} = {found!r}"
        elif getattr(found, "__module__", None) == bare.__module__ and inspect.isfunction(
            inspect.unwrap(found)
        ):
            yield from _texts_of(found, met)


def _named_in(code: CodeType) -> Iterator[str]:
    yield from code.co_names
    for inner in code.co_consts:
        if isinstance(inner, CodeType):
            yield from _named_in(inner)


def _digest(text: str) -> str:
    return hashlib.sha256(text.encode()).hexdigest()[:16]

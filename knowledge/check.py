"""Check one brief against the rest of the knowledge base: every name it uses must lead somewhere."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING

from rapidfuzz import process

from knowledge import tables, wording
from knowledge.resolve import ResolveError, plan
from knowledge.trouble import Trouble
from knowledge.yaml_lines import Lined, Path

if TYPE_CHECKING:
    from knowledge.base import Knowledge
    from knowledge.brief import Brief, Decider, Lookup

LEAST_EXAMPLES = 10
MakeTrouble = Callable[..., Trouble]


def nearest(wanted: str, known: list[str]) -> str:
    """A suggestion for a name that does not exist."""
    match = process.extractOne(wanted, known, score_cutoff=60)
    return f'Did you mean "{match[0]}"?' if match else ""


def check_brief(brief: Brief, knowledge: Knowledge, lined: Lined, file: str) -> Iterator[Trouble]:
    """Every fault of a brief that needs the other files to be seen."""

    def trouble(path: Path, wrong: str, remedy: str = "") -> Trouble:
        field = ".".join(map(str, path))
        return Trouble(file, lined.line(path), field, wrong, remedy)

    if len(brief.examples) < LEAST_EXAMPLES:
        yield trouble(("examples",), f"expected {LEAST_EXAMPLES} or more, found {len(brief.examples)}")
    yield from _check_needs(brief, knowledge, trouble)
    try:
        figures = plan(brief, knowledge)
    except ResolveError as error:
        yield trouble(error.place, str(error), error.remedy)
        return
    names = {need.name for need in brief.needs} | {step.name for step in figures.steps}
    yield from _check_deciders(brief, names, knowledge, trouble)
    for verdict in sorted(brief.possible_verdicts() - set(brief.answers) - {"yes-if", "none"}):
        yield trouble(("answers",), f"no answer for the verdict {verdict}", "Every verdict needs one.")
    yield from _check_texts(brief, names, trouble)
    yield from _check_openings(brief, trouble)
    yield from _check_belonging(brief, trouble)
    for key, listed, known in (
        ("sources", brief.sources, list(knowledge.sources)),
        ("terms", brief.terms, list(knowledge.terms)),
        ("related", brief.related, list(knowledge.briefs)),
    ):
        for index, name in enumerate(listed):
            if name not in known:
                yield trouble((key, index), f'no "{name}" among the {key}', nearest(name, known))


_IN_MID_TALK = re.compile(r"(?:Then|So|And|But|In all|Otherwise|Likewise|Even then)\b")


def _check_openings(brief: Brief, trouble: MakeTrouble) -> Iterator[Trouble]:
    """A point may be all that a rider reads."""
    for name, point in brief.points.items():
        opening = _IN_MID_TALK.match(point.headline)
        if opening is not None:
            yield trouble(
                ("points", name, "headline"),
                f'begins in mid-talk, with "{opening.group()}"',
                "It stands first in a reply: say what it is that holds there.",
            )


def _check_needs(brief: Brief, knowledge: Knowledge, trouble: MakeTrouble) -> Iterator[Trouble]:
    for index, need in enumerate(brief.needs):
        path: Path = ("needs", index)
        known = [*knowledge.quantities, *knowledge.choices]
        if need.name not in known:
            yield trouble(path, f"no quantity or choice {need.name}", nearest(need.name, known))
            continue
        if need.or_else is not None and need.or_else not in {other.name for other in brief.needs}:
            yield trouble(path, f"or_else: {need.or_else} is no need of this brief")
        if need.basis is not None and need.basis not in knowledge.sources:
            yield trouble(
                path, f'basis: no source "{need.basis}"', nearest(need.basis, list(knowledge.sources))
            )
        kind = knowledge.quantities.get(need.name)
        ask = need.ask or (kind.ask if kind else "")
        if not ask:
            yield trouble(
                path, f"{need.name}: nothing to ask the rider", "Add ask: here or in the quantities."
            )
        if need.name in knowledge.choices:
            values = {choice.value for choice in knowledge.choices[need.name]}
            if isinstance(need.usual, tuple) and not set(map(str, need.usual)) <= values:
                yield trouble(path, f"usual: not all are values of {need.name}: {', '.join(sorted(values))}")
        elif need.usual is None and need.table is None and (kind is None or kind.usual_low is None):
            yield trouble(path, f"{need.name}: nothing usual is stated", "Add usual: [low, high] and basis:.")
        if need.table is not None:
            yield from _check_lookup(need.table, path, trouble)


def _check_lookup(lookup: Lookup, path: Path, trouble: MakeTrouble) -> Iterator[Trouble]:
    try:
        rows = tables.rows(lookup.table)
    except FileNotFoundError:
        yield trouble(path, f"no table {lookup.table}", nearest(lookup.table, tables.names()))
        return
    for column in (lookup.column, *lookup.where):
        if rows and column not in rows[0]:
            yield trouble(
                path, f"table {lookup.table} has no column {column}", nearest(column, list(rows[0]))
            )


def _check_deciders(
    brief: Brief, names: set[str], knowledge: Knowledge, trouble: MakeTrouble
) -> Iterator[Trouble]:
    for index, decider in enumerate(brief.deciders):
        path: Path = ("deciders", index)
        for name in _names_of(decider):
            if name not in names:
                yield trouble(
                    path, f"{name} is neither a need nor a figure of this brief", nearest(name, sorted(names))
                )
        if decider.source not in knowledge.sources:
            yield trouble(
                path, f'no source "{decider.source}"', nearest(decider.source, list(knowledge.sources))
            )
        if decider.need is not None and decider.need in knowledge.choices:
            allowed = {choice.value for choice in knowledge.choices[decider.need]}
            for value in set(decider.values) - allowed:
                yield trouble(path, f"{value} is no value of {decider.need}", nearest(value, sorted(allowed)))
        if decider.pairs is not None:
            try:
                rows = tables.rows(decider.pairs)
            except FileNotFoundError:
                yield trouble(path, f"no table {decider.pairs}", nearest(decider.pairs, tables.names()))
                continue
            for column in (*decider.where, "verdict", "because"):
                if rows and column not in rows[0]:
                    yield trouble(path, f"table {decider.pairs} has no column {column}")


def _names_of(decider: Decider) -> Iterator[str]:
    if decider.figure:
        yield decider.figure
    if decider.need:
        yield decider.need
    yield from decider.where.values()
    yield from decider.only_if_known
    yield from decider.unless_known
    for band in decider.bands:
        if isinstance(band.up_to, str):
            yield band.up_to


def _check_texts(brief: Brief, names: set[str], trouble: MakeTrouble) -> Iterator[Trouble]:
    for path, text in texts_of(brief):
        fault = wording.fault_of(text, names)
        if fault:
            yield trouble(path, fault, f"Known here: {', '.join(sorted(names)) or 'nothing'}.")


def _check_belonging(brief: Brief, trouble: MakeTrouble) -> Iterator[Trouble]:
    """The steps and cautions that points call must have these names, each once."""
    steps, cautions = [step.name for step in brief.checklist], [caution.name for caution in brief.cautions]
    for key, given in (("checklist", steps), ("cautions", cautions)):
        for index, name in enumerate(given):
            if name is not None and given.count(name) > 1:
                yield trouble((key, index, "name"), f"{name} stands twice", "Give each a name of its own.")
    for point, told in brief.points.items():
        for key, called, given in (("steps", told.steps, steps), ("cautions", told.cautions or (), cautions)):
            names = [name for name in given if name is not None]
            for name in called:
                if name not in names:
                    remedy = nearest(name, names) or "Name one of the brief's that way, or leave it out."
                    yield trouble(("points", point, key), f'no "{name}" among the {key}', remedy)


def texts_of(brief: Brief) -> Iterator[tuple[Path, str]]:
    """Every text of a brief that is a template, with its place in the file."""
    for verdict, answer in brief.answers.items():
        for key in ("headline", "body", "instead"):
            text = getattr(answer, key)
            if text:
                yield ("answers", verdict, key), text
    for name, point in brief.points.items():
        yield ("points", name, "headline"), point.headline
        if point.say:
            yield ("points", name, "say"), point.say
    for index, check in enumerate(brief.checklist):
        yield ("checklist", index), check.sentence
    for index, caution in enumerate(brief.cautions):
        yield ("cautions", index), caution.say
    for index, decider in enumerate(brief.deciders):
        outcomes = [*decider.bands, *decider.values.values()]
        if decider.otherwise:
            outcomes.append(decider.otherwise)
        for outcome in outcomes:
            yield ("deciders", index), outcome.because
            if outcome.condition:
                yield ("deciders", index), outcome.condition

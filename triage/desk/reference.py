"""Where a figure comes from: a source with every row that cites it, a table, a part, a calculation."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any
from urllib.parse import quote

from starlette.responses import Response

from knowledge import tables
from knowledge.base import Knowledge
from triage.desk.visit import Visit


@dataclass(frozen=True, slots=True)
class Rows:
    """Some rows of a table: its name and address, its columns, and each row as (id, cells)."""

    table: str
    address: str
    columns: Sequence[str]
    rows: Sequence[tuple[str, Sequence[tuple[str, str]]]]


def source_page(visit: Visit) -> Response:
    """One source with the table rows, calculations and briefs that stand on it."""
    knowledge = visit.bench.knowledge
    source = knowledge.sources.get(visit.place["source"])
    if source is None:
        return _not_here(visit, f"No source is called {visit.place['source']}.")
    calculations = [c for c in knowledge.calculations.values() if source.id in c.sources]
    briefs = [b for b in knowledge.briefs.values() if source.id in _sources_of(b)]
    return visit.page(
        "source.html",
        source=source,
        tables=list(_rows_of(source.id)),
        calculations=[(c.name, c.summary, f"/figure/{c.name}") for c in calculations],
        briefs=[(b.id, b.title) for b in briefs],
    )


def _sources_of(brief: Any) -> set[str]:
    return {*brief.sources, *(decider.source for decider in brief.deciders)}


def _rows_of(source: str) -> Iterator[Rows]:
    for name in tables.names():
        rows = [row for row in tables.rows(name) if row.get("source") == source]
        if rows:
            yield _table(name, rows)


def _table(name: str, rows: Sequence[Mapping[str, Any]]) -> Rows:
    columns = list(rows[0]) if rows else []
    return Rows(
        table=name,
        address=f"/table/{quote(name)}",
        columns=columns,
        rows=[
            (str(row.get("id", number)), [(column, _cell(row[column])) for column in columns])
            for number, row in enumerate(rows, 1)
        ],
    )


def _cell(cell: object) -> str:
    return f"{cell:g}" if isinstance(cell, float) else str(cell)


def table_page(visit: Visit) -> Response:
    """One table, whole; its rows can be pointed at."""
    name = f"{visit.place['topic']}/{visit.place['table']}"
    if name not in tables.names():
        return _not_here(visit, f"No table is called {name}.")
    return visit.page(
        "table.html", table=_table(name, tables.rows(name)), sources=visit.bench.knowledge.sources
    )


def part_page(visit: Visit) -> Response:
    """One part of the catalogue."""
    knowledge = visit.bench.knowledge
    part = knowledge.parts.get(visit.place["part"])
    if part is None:
        return _not_here(visit, f"The catalogue has no part {visit.place['part']}.")
    properties = [
        (knowledge.label(name), _property(name, value, knowledge)) for name, value in part.properties.items()
    ]
    return visit.page(
        "part.html", part=part, properties=properties, source=knowledge.sources.get(part.source)
    )


def _property(name: str, value: float | str, knowledge: Knowledge) -> str:
    if isinstance(value, str):
        return knowledge.choice_label(name, value)
    return f"{value:g} {knowledge.unit(name).symbol}".strip()


def figure_page(visit: Visit) -> Response:
    """One calculation with its formula, arguments, accuracy and sources."""
    knowledge = visit.bench.knowledge
    calculation = knowledge.calculations.get(visit.place["figure"])
    if calculation is None:
        return _not_here(visit, f"No calculation is called {visit.place['figure']}.")
    sources = [knowledge.sources[key] for key in calculation.sources if key in knowledge.sources]
    return visit.page("figure.html", calculation=calculation, sources=sources)


def _not_here(visit: Visit, told: str) -> Response:
    return visit.page("trouble.html", 404, heading="Not here", told=told, typed=())

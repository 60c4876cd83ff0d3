"""Write the handbook: an index that can be searched, and pages by subject, topic and source."""

from __future__ import annotations

import csv
import json
from collections import defaultdict
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from importlib.resources import files
from pathlib import Path
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined, select_autoescape
from markupsafe import Markup

from knowledge import tables
from knowledge.base import Knowledge
from knowledge.book.plot import plot_svg
from knowledge.book.typeset import typeset
from knowledge.calculation import Argument, Calculation
from knowledge.number_line import band_line
from knowledge.resolve import plan
from knowledge.units import unit_of


@dataclass(frozen=True, slots=True)
class Entry:
    """One line of the index."""

    kind: str
    name: str
    about: str
    page: str


@dataclass(frozen=True, slots=True)
class Table:
    """One table of figures with its note."""

    name: str
    note: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


def write_book(
    knowledge: Knowledge, out: Path, on_progress: Callable[[int], None] | None = None
) -> list[Path]:
    """Write every page into a folder; returns the files, the index first."""
    out.mkdir(parents=True, exist_ok=True)
    environment = Environment(
        loader=PackageLoader("knowledge", "book"),
        autoescape=select_autoescape(["html"]),
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.globals.update(
        typeset=typeset, plain_name=plain_name, sources=knowledge.sources, topics=knowledge.topics
    )
    used = _used_in(knowledge)
    checks = _checks()
    entries: list[Entry] = []
    pages: list[tuple[str, str, dict[str, Any]]] = []
    for subject, some in _by_subject(knowledge).items():
        page = f"figures-{subject}.html"
        entries += [Entry("calculation", c.name, c.summary, f"{page}#{c.name}") for c in some]
        plots = {}
        for calculation in some:
            plots[calculation.name] = _plot(calculation)
            if on_progress is not None:
                on_progress(1)
        pages.append(
            (
                page,
                "figures.html",
                {"subject": subject, "some": some, "plots": plots, "used": used, "checks": checks},
            )
        )
    for topic, found in _tables().items():
        page = f"tables-{topic}.html"
        entries += [
            Entry("table", t.name, t.note.split("\n")[0].lstrip("# "), f"{page}#{t.name}") for t in found
        ]
        pages.append((page, "tables.html", {"topic": topic, "tables": found}))
    for topic, briefs in _briefs(knowledge).items():
        page = f"briefs-{topic}.html"
        entries += [Entry("question", b.title, b.examples[0], f"{page}#{b.id.split('/')[1]}") for b in briefs]
        pages.append(
            (
                page,
                "briefs.html",
                {"topic": topic, "briefs": briefs, "knowledge": knowledge, "band_line": band_line},
            )
        )
    pages.append(("glossary.html", "glossary.html", {"terms": list(knowledge.terms.values())}))
    entries += [
        Entry("term", t.term, t.plain, f"glossary.html#{_anchor(t.term)}") for t in knowledge.terms.values()
    ]
    pages.append(("sources.html", "sources.html", {"every": list(knowledge.sources.values())}))
    contents = [(name, template, context) for name, template, context in pages]
    files_written = [
        _page(
            environment,
            out / "index.html",
            "index.html",
            {
                "entries": entries,
                "data": Markup(
                    json.dumps([[e.kind, e.name, e.about, e.page] for e in entries]).replace("</", "<\\/")
                ),
                "pages": [name for name, _, _ in contents],
                "subjects": sorted(
                    {name.removesuffix(".html").split("-", 1)[1] for name, _, _ in contents if "-" in name}
                ),
                "counts": _counts(knowledge, checks),
            },
        )
    ]
    files_written += [
        _page(environment, out / name, template, context) for name, template, context in contents
    ]
    return files_written


def _page(environment: Environment, file: Path, template: str, context: Mapping[str, Any]) -> Path:
    beside = file.with_suffix(".part")
    beside.write_text(environment.get_template(template).render(context), encoding="utf-8")
    beside.replace(file)
    return file


def _by_subject(knowledge: Knowledge) -> dict[str, list[Calculation]]:
    found: dict[str, list[Calculation]] = defaultdict(list)
    for calculation in sorted(knowledge.calculations.values(), key=lambda c: c.name):
        found[calculation.subject].append(calculation)
    return dict(sorted(found.items()))


def _used_in(knowledge: Knowledge) -> dict[str, list[str]]:
    used: dict[str, list[str]] = defaultdict(list)
    for brief in knowledge.briefs.values():
        for step in plan(brief, knowledge).steps:
            used[step.calculation.name].append(brief.id)
    return {name: sorted(set(ids)) for name, ids in used.items()}


def _checks() -> dict[str, list[str]]:
    """The published checks that each calculation passed when the tests last ran, as the tests recorded them."""
    file = files("knowledge").joinpath("book", "checks.json")
    if not file.is_file():
        return {}
    found: dict[str, list[str]] = json.loads(file.read_text(encoding="utf-8"))
    return found


def _counts(knowledge: Knowledge, checks: Mapping[str, list[str]]) -> list[tuple[int, str]]:
    return [
        (len(knowledge.calculations), "calculations"),
        (
            len({check for some in checks.values() for check in some}),
            "checks: published values, or a second route where none was found",
        ),
        (len(tables.names()), "tables"),
        (len(knowledge.briefs), "kinds of question"),
        (len(knowledge.terms), "terms"),
        (len(knowledge.sources), "sources"),
    ]


def _tables() -> dict[str, list[Table]]:
    found: dict[str, list[Table]] = defaultdict(list)
    for name in tables.names():
        file = tables.HOME / f"{name}.csv"
        note = file.with_suffix(".md")
        lines = list(csv.reader(file.read_text(encoding="utf-8").splitlines()))
        rows = tuple(tuple(cells) for cells in lines[1:] if cells)
        told = note.read_text(encoding="utf-8") if note.is_file() else ""
        found[name.split("/")[0]].append(Table(name, told, tuple(lines[0]), rows))
    return dict(found)


def _briefs(knowledge: Knowledge) -> dict[str, list[Any]]:
    found: dict[str, list[Any]] = defaultdict(list)
    for brief in sorted(knowledge.briefs.values(), key=lambda b: b.title):
        found[brief.topic].append(brief)
    return {topic: found[topic] for topic in knowledge.topics if topic in found}


def _plot(calculation: Calculation) -> Markup:
    """The figure over its most telling input: the first number, the others in the middle of what is usual."""
    numbers = [argument for argument in calculation.arguments if not argument.is_choice]
    for argument in sorted(numbers, key=lambda a: a.default is not None):
        for share in (0.5, 0.3, 0.15, 0.7):
            fixed = {a.name: _middle(a, share) for a in calculation.arguments if a.name != argument.name}
            low, high = float(argument.limits[0]), float(argument.limits[1])
            try:
                svg = plot_svg(calculation, fixed, argument, low, high)
            except ValueError:
                continue
            if svg:
                return svg
    return Markup("")


def _middle(argument: Argument, share: float) -> float | str:
    if argument.default is not None:
        return argument.default
    if argument.is_choice:
        return str(argument.limits[0])
    low, high = float(argument.limits[0]), float(argument.limits[1])
    if low > 0 and high / low > 50:
        return float(low ** (1 - share) * high**share)
    return low + (high - low) * share


def plain_name(name: str) -> str:
    """A calculation's name in words, its unit left off."""
    ending = unit_of(name).ending
    return (name.removesuffix(f"_{ending}") if ending else name).replace("_", " ")


def _anchor(term: str) -> str:
    return term.replace(" ", "-").lower()

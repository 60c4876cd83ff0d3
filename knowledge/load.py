"""Load the knowledge base, with a desk's own folder laid over it, and say everything that is wrong at once."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from pathlib import Path
from types import MappingProxyType
from typing import Any, TypeVar

import yaml
from pydantic import ValidationError
from rapidfuzz import process

from knowledge import brief as brief_module
from knowledge import tables
from knowledge.base import (
    HOME,
    CataloguePart,
    Choice,
    Contrast,
    Knowledge,
    QuantityKind,
    Source,
    Term,
    Topic,
    digest_of,
)
from knowledge.brief import Brief
from knowledge.calculations import calculations
from knowledge.check import check_brief, nearest
from knowledge.csv_lines import CsvRow, read_csv
from knowledge.trouble import KnowledgeError, Trouble, not_yaml
from knowledge.yaml_lines import Lined, read_yaml

BASES = (
    "standard", "handbook", "paper", "maker's figure", "workshop text", "common practice", "from memory", "demo",
)  # fmt: skip
IN_ORDER = "order"
WANTS = (IN_ORDER, "words")
PART_COLUMNS = ("id", "maker", "name", "also", "source")
T = TypeVar("T")


def load(own_folder: Path | None = None) -> Knowledge:
    """The whole knowledge base, checked.

    Raises:
        KnowledgeError: anything in any file is wrong; it lists every fault with file and line.
    """
    knowledge, troubles = examine(own_folder)
    if troubles:
        raise KnowledgeError(troubles)
    return knowledge


def examine(own_folder: Path | None = None) -> tuple[Knowledge, list[Trouble]]:
    """The knowledge base as far as it can be read, and every fault found in it."""
    troubles: list[Trouble] = []
    folders = [HOME] if own_folder is None else [HOME, own_folder]
    tables.lay_over(own_folder / "tables" if own_folder else None)
    sources = _keyed(folders, "sources.csv", ("id", "title", "basis"), _source, troubles)
    topics = _keyed(folders, "topics.csv", ("topic", "label", "about"), _topic, troubles)
    terms = _keyed(folders, "glossary.csv", ("term", "plain", "also"), _term, troubles)
    quantities = _keyed(folders, "quantities/*.csv", _QUANTITY_COLUMNS, _quantity, troubles)
    choices = _choices(folders, quantities, troubles)
    parts = _parts(folders, quantities, choices, sources, troubles)
    chatter = _chatter(folders, troubles)
    contrasts = _contrasts(folders, troubles)
    wants = _wants(folders, troubles)
    _check_tables(folders, sources, troubles)
    briefs = _briefs(folders, topics, troubles)
    files = [path for folder in folders for path in sorted(folder.rglob("*")) if _is_knowledge(path)]
    knowledge = Knowledge(
        sources=sources,
        topics=topics,
        terms=terms,
        quantities=quantities,
        choices=choices,
        parts=parts,
        briefs=MappingProxyType({key: brief for key, (brief, _, _) in briefs.items()}),
        calculations=calculations(),
        chatter=chatter,
        contrasts=contrasts,
        wants=wants,
        digest=digest_of(files),
    )
    for brief, lined, file in briefs.values():
        troubles.extend(check_brief(brief, knowledge, lined, file))
    return knowledge, sorted(set(troubles))


def _is_knowledge(path: Path) -> bool:
    return path.is_file() and path.suffix in (".csv", ".yaml", ".py")


_QUANTITY_COLUMNS = (
    "name", "kind", "label", "cues", "low", "high", "tolerance", "spread", "usual_low", "usual_high", "basis", "ask", "measure",
    "effort", "chosen", "limit",
)  # fmt: skip


def _files(folders: list[Path], pattern: str) -> Iterable[Path]:
    for folder in folders:
        yield from sorted(folder.glob(pattern))


def _keyed(
    folders: list[Path],
    pattern: str,
    needed: tuple[str, ...],
    make: Callable[[CsvRow, list[Trouble]], T | None],
    troubles: list[Trouble],
) -> Mapping[str, T]:
    found: dict[str, T] = {}
    for folder in folders:
        here: set[str] = set()
        for path in sorted(folder.glob(pattern)):
            for row in read_csv(path, needed, troubles):
                key = row.cells[needed[0]]
                if key in here:
                    troubles.append(
                        row.trouble(needed[0], f"{key} stands twice", "Give it an id of its own.")
                    )
                    continue
                here.add(key)
                made = make(row, troubles)
                if made is not None:
                    found[key] = made
    return MappingProxyType(found)


def _source(row: CsvRow, troubles: list[Trouble]) -> Source:
    cells = row.cells
    if cells["basis"] not in BASES:
        troubles.append(row.trouble("basis", f'unknown "{cells["basis"]}"', f"One of: {', '.join(BASES)}."))
    return Source(
        id=cells["id"],
        title=cells["title"],
        publisher=cells.get("publisher", ""),
        year=cells.get("year", ""),
        basis=cells["basis"],
        address=cells.get("address", ""),
    )


def _topic(row: CsvRow, _troubles: list[Trouble]) -> Topic:
    cells = row.cells
    return Topic(
        cells["topic"], cells["label"], cells["about"], cells.get("helps", ""), cells.get("halt", "")
    )


def _term(row: CsvRow, troubles: list[Trouble]) -> Term:
    if not row.cells["plain"]:
        troubles.append(row.trouble("plain", "is empty", "Write one plain sentence."))
    return Term(row.cells["term"], row.cells["plain"], _split(row.cells["also"]))


def _split(cell: str) -> tuple[str, ...]:
    return tuple(word.strip() for word in cell.split("|") if word.strip())


def _quantity(row: CsvRow, troubles: list[Trouble]) -> QuantityKind | None:
    cells = row.cells
    if cells["kind"] not in ("number", "choice"):
        troubles.append(row.trouble("kind", f'expected number or choice, found "{cells["kind"]}"'))
        return None
    numbers: dict[str, float | None] = {}
    for column in ("low", "high", "tolerance", "spread", "usual_low", "usual_high", "effort"):
        numbers[column] = _number(row, column, troubles)
    if cells["kind"] == "number" and (numbers["low"] is None or numbers["high"] is None):
        troubles.append(row.trouble("low, high", "a number needs both", "What is plausible at all?"))
        return None
    troubles += _odd_words(row, numbers)
    return QuantityKind(
        name=cells["name"],
        kind=cells["kind"],
        label=cells["label"],
        cues=_split(cells["cues"]),
        low=numbers["low"],
        high=numbers["high"],
        tolerance=numbers["tolerance"] or 0.0,
        spread=numbers["spread"] or 0.0,
        usual_low=numbers["usual_low"],
        usual_high=numbers["usual_high"],
        basis=cells["basis"],
        ask=cells["ask"],
        measure=cells["measure"],
        effort=numbers["effort"] or 1.0,
        is_chosen=cells["chosen"] == "yes",
        limit=cells["limit"],
    )


LEAST_EFFORT, MOST_EFFORT = 1, 4


def _odd_words(row: CsvRow, numbers: dict[str, float | None]) -> Iterable[Trouble]:
    spread, effort = numbers["spread"] or 0.0, numbers["effort"]
    if spread < 0:
        yield row.trouble(
            "spread", f"expected 0 or more, found {spread:g}", "It counts either way; leave the sign out."
        )
    if effort is not None and not LEAST_EFFORT <= effort <= MOST_EFFORT:
        remedy = "1 read or count, 2 rule or scales, 3 calliper or gauge, 4 something must come off."
        yield row.trouble("effort", f"expected {LEAST_EFFORT} to {MOST_EFFORT}, found {effort:g}", remedy)
    for column, allowed in (("chosen", ("yes", "")), ("limit", ("most", "least", ""))):
        if row.cells[column] not in allowed:
            words = ", ".join(word or "nothing" for word in allowed)
            yield row.trouble(column, f'unknown "{row.cells[column]}"', f"One of: {words}.")


def _number(row: CsvRow, column: str, troubles: list[Trouble]) -> float | None:
    text = row.cells[column]
    if not text:
        return None
    try:
        return float(text)
    except ValueError:
        bare = re.match(r"[-+]?[\d.]+", text)
        remedy = f"Write the number alone: {bare.group()}" if bare else "Write a number, with a point."
        troubles.append(row.trouble(column, f'expected a number, found "{text}"', remedy))
        return None


def _choices(
    folders: list[Path], quantities: Mapping[str, QuantityKind], troubles: list[Trouble]
) -> Mapping[str, tuple[Choice, ...]]:
    found: dict[str, dict[str, Choice]] = {}
    for path in _files(folders, "choices/*.csv"):
        for row in read_csv(path, ("name", "value", "label", "words"), troubles):
            cells = row.cells
            choice = Choice(cells["name"], cells["value"], cells["label"], _split(cells["words"]))
            found.setdefault(choice.name, {})[choice.value] = choice
            if quantities.get(choice.name) is not None and quantities[choice.name].kind != "choice":
                troubles.append(row.trouble("name", f"{choice.name} is a number among the quantities"))
    return MappingProxyType({name: tuple(values.values()) for name, values in found.items()})


def _parts(
    folders: list[Path],
    quantities: Mapping[str, QuantityKind],
    choices: Mapping[str, tuple[Choice, ...]],
    sources: Mapping[str, Source],
    troubles: list[Trouble],
) -> Mapping[str, CataloguePart]:
    found: dict[str, CataloguePart] = {}
    for path in _files(folders, "parts/*.csv"):
        seen: set[str] = set()
        for row in read_csv(path, PART_COLUMNS, troubles):
            cells = row.cells
            if cells["id"] in seen:
                troubles.append(row.trouble("id", f"{cells['id']} stands twice"))
                continue
            seen.add(cells["id"])
            if cells["source"] not in sources:
                troubles.append(_no_source(row, cells["source"], sources))
            found[cells["id"]] = CataloguePart(
                id=cells["id"],
                kind=path.stem,
                maker=cells["maker"],
                name=cells["name"],
                also=_split(cells["also"]),
                properties=_properties(row, quantities, choices, troubles),
                source=cells["source"],
            )
    return MappingProxyType(found)


def _properties(
    row: CsvRow,
    quantities: Mapping[str, QuantityKind],
    choices: Mapping[str, tuple[Choice, ...]],
    troubles: list[Trouble],
) -> Mapping[str, float | str]:
    properties: dict[str, float | str] = {}
    for column, cell in row.cells.items():
        if column in PART_COLUMNS or not cell:
            continue
        if column in choices:
            allowed = [choice.value for choice in choices[column]]
            if cell not in allowed:
                remedy = f"One of: {', '.join(allowed)}."
                troubles.append(row.trouble(column, f'unknown word "{cell}"', remedy))
                continue
            properties[column] = cell
        elif column in quantities:
            number = _number(row, column, troubles)
            kind = quantities[column]
            if number is None:
                continue
            if kind.low is not None and kind.high is not None and not kind.low <= number <= kind.high:
                wrong = f"{number:g} is outside {kind.low:g} to {kind.high:g} {kind.unit.symbol}".rstrip()
                troubles.append(row.trouble(column, wrong, "Is the unit the one in the column's name?"))
                continue
            properties[column] = number
        else:
            remedy = nearest(column, [*quantities, *choices])
            troubles.append(row.trouble(column, "no quantity or choice of that name", remedy))
    return MappingProxyType(properties)


def _no_source(row: CsvRow, wanted: str, sources: Mapping[str, Source]) -> Trouble:
    return row.trouble("source", f'no "{wanted}" in sources.csv', nearest(wanted, list(sources)))


def _chatter(folders: list[Path], troubles: list[Trouble]) -> tuple[tuple[str, str], ...]:
    return tuple(
        (row.cells["kind"], row.cells["text"])
        for path in _files(folders, "chatter.csv")
        for row in read_csv(path, ("kind", "text"), troubles)
    )


def _contrasts(folders: list[Path], troubles: list[Trouble]) -> tuple[Contrast, ...]:
    """What excludes one another; a desk's own row stands instead of ours of the same name and value."""
    found = {}
    for path in _files(folders, "contrasts.csv"):
        here: set[tuple[str, str]] = set()
        for row in read_csv(path, ("contrast", "value", "unsaid", "words"), troubles):
            cells, words = row.cells, _split(row.cells["words"])
            key = cells["contrast"], cells["value"]
            if not all(key):
                troubles.append(row.trouble("contrast, value", "is empty", "Name both: material, carbon."))
            if key in here:
                remedy = "Put all its words into one row."
                troubles.append(row.trouble("value", f"{cells['value']} stands twice", remedy))
            here.add(key)
            if cells["unsaid"] not in ("yes", "no"):
                wrong = f'expected yes or no, found "{cells["unsaid"]}"'
                troubles.append(row.trouble("unsaid", wrong, "Is it meant where nobody names it?"))
            if not words:
                remedy = "Write how riders name it, with | between."
                troubles.append(row.trouble("words", "is empty", remedy))
            found[key] = Contrast(*key, goes_unsaid=cells["unsaid"] == "yes", words=words)
    return tuple(found.values())


def _wants(folders: list[Path], troubles: list[Trouble]) -> tuple[tuple[str, bool], ...]:
    """Askings, each with whether its answer is a working order."""
    found = {}
    for path in _files(folders, "wants.csv"):
        for row in read_csv(path, ("wants", "text"), troubles):
            cells = row.cells
            if cells["wants"] not in WANTS:
                wrong = f'expected {" or ".join(WANTS)}, found "{cells["wants"]}"'
                troubles.append(row.trouble("wants", wrong, "Are a few sentences the whole answer?"))
            if not cells["text"]:
                troubles.append(row.trouble("text", "is empty", "Write what a rider asks."))
            found[cells["text"]] = cells["wants"] == IN_ORDER
    return tuple(found.items())


def _check_tables(folders: list[Path], sources: Mapping[str, Source], troubles: list[Trouble]) -> None:
    for folder in folders:
        for path in sorted(folder.glob("tables/**/*.csv")):
            seen: set[str] = set()
            for row in read_csv(path, ("id", "source", "basis", "checked"), troubles):
                cells = row.cells
                if cells["id"] in seen:
                    troubles.append(row.trouble("id", f"{cells['id']} stands twice"))
                seen.add(cells["id"])
                if cells["basis"] not in BASES:
                    remedy = f"One of: {', '.join(BASES)}."
                    troubles.append(row.trouble("basis", f'unknown "{cells["basis"]}"', remedy))
                if not re.fullmatch(r"\d{4}-\d{2}-\d{2}", cells["checked"]):
                    wrong = f'expected a date, found "{cells["checked"]}"'
                    troubles.append(row.trouble("checked", wrong, "Write it as 2026-11-25."))
                for source in re.split(r"[,\s|]+", cells["source"]):
                    if source not in sources:
                        troubles.append(_no_source(row, source, sources))


def _briefs(
    folders: list[Path], topics: Mapping[str, Topic], troubles: list[Trouble]
) -> dict[str, tuple[Brief, Lined, str]]:
    found: dict[str, tuple[Brief, Lined, str]] = {}
    for path in _files(folders, "briefs/*/*.yaml"):
        identity = f"{path.parent.name}/{path.stem}"
        if path.parent.name not in topics:
            remedy = nearest(path.parent.name, list(topics))
            troubles.append(Trouble(str(path), 1, "folder", f"no topic {path.parent.name}", remedy))
            continue
        read = _read_brief(path, identity, troubles)
        if read is not None:
            found[identity] = (*read, str(path))
    return found


def _read_brief(path: Path, identity: str, troubles: list[Trouble]) -> tuple[Brief, Lined] | None:
    text = path.read_text(encoding="utf-8")
    try:
        lined = read_yaml(text)
    except (yaml.YAMLError, ValueError) as error:
        troubles.append(not_yaml(path, error))
        return None
    if not isinstance(lined.data, dict):
        troubles.append(Trouble(str(path), 1, "file", "expected keys such as title: and examples:"))
        return None
    try:
        return Brief.model_validate({"id": identity, **_shaped(lined.data)}), lined
    except ValidationError as error:
        lines = text.splitlines()
        for fault in error.errors():
            place = tuple(step for step in fault["loc"] if not isinstance(step, str) or step != "__root__")
            line = lined.line(place)
            field = ".".join(map(str, place)) or "brief"
            message = fault["msg"].removeprefix("Value error, ")
            remedy = _brief_remedy(fault["type"], place)
            troubles.append(Trouble(str(path), line, field, message, remedy, lines[line - 1]))
        return None


def _brief_remedy(kind: str, place: tuple[Any, ...]) -> str:
    if kind != "extra_forbidden" or not place:
        return ""
    known = sorted(
        {name for model in _MODELS for name in (f.alias or n for n, f in model.model_fields.items())}
    )
    match = process.extractOne(str(place[-1]), known)
    return f'Unknown key. Did you mean "{match[0]}"?' if match else "Unknown key."


def _shaped(data: dict[str, Any]) -> dict[str, Any]:
    """Short forms of the file spelt out: a bare need, figure or step is a mapping with one key."""
    shaped = dict(data)
    for key, inner in (("needs", "name"), ("figures", "name"), ("checklist", "do")):
        if isinstance(shaped.get(key), list):
            shaped[key] = [item if isinstance(item, dict) else {inner: str(item)} for item in shaped[key]]
    return shaped


_MODELS = (
    brief_module.Brief,
    brief_module.Need,
    brief_module.Figure,
    brief_module.Decider,
    brief_module.Band,
    brief_module.Answer,
    brief_module.Check,
    brief_module.Lookup,
)

"""What a draft stands on: its brief, calculations, table rows, parts and sources, each with a digest of what it says."""

from __future__ import annotations

import hashlib
import inspect
import json
from collections.abc import Iterator, Mapping
from typing import Any

from knowledge import tables
from knowledge.base import Knowledge


def stands_on(line: Mapping[str, Any], knowledge: Knowledge) -> dict[str, str]:
    """Everything that a draft's words and figures rest on, such as "source roller-chain-wheels", with a digest of each.

    What is no longer there has an empty digest.
    """
    return dict(sorted(_grounds(line, knowledge)))


def what_gave_way(was: Mapping[str, str], now: Mapping[str, str]) -> list[str]:
    """The grounds that say something else now, or are gone."""
    return [ground for ground, digest in was.items() if now.get(ground) != digest]


def _grounds(line: Mapping[str, Any], knowledge: Knowledge) -> Iterator[tuple[str, str]]:
    brief = knowledge.briefs.get(line["brief"] or "")
    if brief is None:
        return
    # The examples teach the sorter; a draft doesn't stand on them.
    yield f"brief {brief.id}", _digest(brief.model_dump_json(exclude={"examples"}))
    sources = list(line["sources"])
    plain = {figure.name: figure.works_out for figure in brief.figures}
    for figure in line["figures"]:
        name = plain.get(figure["name"], figure["name"])
        if name in knowledge.calculations:
            yield f"calculation {name}", _digest(_text_of(knowledge.calculations[name].function))
        sources += figure["sources"]
        for one in figure["inputs"]:
            for row in one.get("rows", ()):
                yield f"row {row}", _row(row, knowledge)
    for key in dict.fromkeys(sources):
        source = knowledge.sources.get(key)
        yield f"source {key}", "" if source is None else _digest(repr(source))


def _row(row: str, knowledge: Knowledge) -> str:
    table, _, identity = row.partition("#")
    if table == "parts":
        part = knowledge.parts.get(identity)
        return "" if part is None else _digest(repr((part, sorted(part.properties.items()))))
    try:
        rows = tables.rows(table)
    except FileNotFoundError:
        return ""
    found = next((one for one in rows if one.get("id") == identity), None)
    return "" if found is None else _digest(json.dumps(dict(found), sort_keys=True))


def _text_of(function: Any) -> str:
    return inspect.getsource(inspect.unwrap(function))


def _digest(text: str) -> str:
    return hashlib.sha256(text.encode()).hexdigest()[:16]

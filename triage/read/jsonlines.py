"""Comment exports as JSON: one object a line, or one array of objects."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from triage.read.bounds import DEEPEST_JSON_NESTING, LONGEST_RECORD_CHARACTERS, SNIFFED_BYTES
from triage.read.columns import matched, missing_text
from triage.read.dates import read_date
from triage.read.finish import Found, finished
from triage.read.html import plain_comment
from triage.read.text import MIXED, file_encoding, one_line
from triage.records import Message, Refusal

MOST_DAMAGED_ENTRIES = 20
"""Of one array; beyond them the rest is left."""
MOST_FIGURES_OF_A_NUMBER = 40
_JOINT = re.compile(r"[\s,]*")
_NEXT_OBJECT = re.compile(r"\n[ \t]*\{")
LARGEST_ARRAY_BYTES = 64 * 1024 * 1024
"""An export in one array is read whole; a larger one must be one object a line."""


def _whole_number(figures: str) -> int | str:
    """The number; no words for one of thousands of figures, which python refuses and no one means."""
    return int(figures) if len(figures) <= MOST_FIGURES_OF_A_NUMBER else ""


_DECODER = json.JSONDecoder(parse_int=_whole_number, parse_constant=lambda _: None)


def read_json(path: Path, source: str, columns: Mapping[str, str] | None) -> Iterator[Message | Refusal]:
    """Each object as a message; a damaged line is refused by its number and the rest goes on."""
    with path.open("rb") as file:
        head = file.read(SNIFFED_BYTES)
    encoding, mark = file_encoding(head) or ("utf-8", 0)
    start = head[mark:].decode(encoding, "replace").lstrip("\ufeff \t\r\n")
    errors = MIXED if encoding == "utf-8" else "replace"
    if start.startswith("[") or start.partition("\n")[0].strip() == "{":
        yield from _whole(path, source, columns, encoding, errors)
        return
    with path.open("r", encoding=encoding, errors=errors) as text:
        number = 0
        while line := text.readline(LONGEST_RECORD_CHARACTERS + 1):
            number += 1
            item = f"line {number}"
            if len(line) > LONGEST_RECORD_CHARACTERS:
                while line and not line.endswith("\n"):
                    line = text.readline(LONGEST_RECORD_CHARACTERS)
                yield Refusal(source, item, "the line is longer than is read", "Leave it out, or split it.")
                continue
            line = line.lstrip("\ufeff").strip().rstrip(",")
            if line in ("", "[", "]"):
                continue
            yield _parsed(line, source, item, columns)


def _whole(
    path: Path, source: str, columns: Mapping[str, str] | None, encoding: str, errors: str
) -> Iterator[Message | Refusal]:
    if path.stat().st_size > LARGEST_ARRAY_BYTES:
        yield Refusal(source, "", "one JSON array larger than 64 MiB", "Export it with one object a line.")
        return
    text = path.read_text(encoding=encoding, errors=errors).lstrip("\ufeff \t\r\n")
    if text.startswith("["):
        yield from _array(text, source, columns)
        return
    try:
        entry = _DECODER.decode(text)
    except (ValueError, RecursionError) as fault:
        yield Refusal(source, "", one_line(f"not readable as JSON: {fault}", 200), "Export it again.")
        return
    inner = next((value for value in entry.values() if _is_list_of_objects(value)), None)
    for number, found in enumerate([entry] if inner is None else inner, 1):
        yield _message(found, source, f"entry {number}", columns)


def _is_list_of_objects(value: object) -> bool:
    return isinstance(value, list) and bool(value) and all(isinstance(entry, dict) for entry in value)


def _array(text: str, source: str, columns: Mapping[str, str] | None) -> Iterator[Message | Refusal]:
    """Each entry of an array as it comes; after a damaged one the reading goes on at the next line with an object."""
    at = number = damaged = 0
    while True:
        at = _past_joint(text, at + 1 if at == 0 else at)
        if text.startswith("]", at):
            return
        number += 1
        try:
            entry, at = _DECODER.raw_decode(text, at)
        except (ValueError, RecursionError) as fault:
            damaged += 1
            item = f"entry {number}"
            reason = "the array ends within it" if at >= len(text) else one_line(f"damaged: {fault}", 200)
            yield Refusal(source, item, reason, "The entries before it were read; export the rest again.")
            further = _NEXT_OBJECT.search(text, at + 1)
            if further is None or damaged >= MOST_DAMAGED_ENTRIES:
                return
            at = further.end() - 1
            continue
        yield _message(entry, source, f"entry {number}", columns)


def _past_joint(text: str, at: int) -> int:
    found = _JOINT.match(text, at)
    return at if found is None else found.end()


def _parsed(line: str, source: str, item: str, columns: Mapping[str, str] | None) -> Message | Refusal:
    if line.count("[") + line.count("{") > 50 * DEEPEST_JSON_NESTING and _depth(line) > DEEPEST_JSON_NESTING:
        return Refusal(
            source, item, f"nested deeper than {DEEPEST_JSON_NESTING}", "No export does that; leave it out."
        )
    try:
        entry = _DECODER.decode(line)
    except (ValueError, RecursionError) as fault:
        return Refusal(
            source, item, one_line(f"not readable as JSON: {fault}", 200), "Export that comment again."
        )
    return _message(entry, source, item, columns)


def _depth(line: str) -> int:
    deepest = depth = 0
    for character in line:
        if character in "[{":
            depth += 1
            deepest = max(deepest, depth)
        elif character in "]}":
            depth -= 1
    return deepest


def _message(entry: Any, source: str, item: str, columns: Mapping[str, str] | None) -> Message | Refusal:
    if not isinstance(entry, dict):
        return Refusal(source, item, "expected an object with named values", "One comment is one {...}.")
    flat = _flat(entry)
    ours = matched(flat, columns)
    if "text" not in ours:
        return Refusal(source, item, *missing_text(flat, columns))
    cells = {name: str(flat[theirs]) for name, theirs in ours.items()}
    text = plain_comment(cells["text"])
    if not text.strip():
        return Refusal(source, item, "no text", "Nothing to answer; leave it, or fill the text in.")
    return finished(
        Found(
            text=text,
            source=source,
            item=item,
            channel=cells.get("channel") or "comment",
            identity=cells.get("id"),
            received=read_date(cells.get("date")),
            author=cells.get("author"),
            address=cells.get("address"),
            subject=cells.get("subject"),
            likes=cells.get("likes"),
            in_reply_to=cells.get("parent") or None,
        )
    )


def _flat(entry: Mapping[str, Any]) -> dict[str, Any]:
    """Values by name; an author that is an object of its own gives its name."""
    flat: dict[str, Any] = {}
    for key, value in entry.items():
        if isinstance(value, dict):
            for inner in ("name", "displayName", "display_name", "username", "text", "value"):
                if isinstance(value.get(inner), str):
                    flat[key] = value[inner]
                    break
        elif not isinstance(value, list):
            flat[key] = "" if value is None else value
    return flat

"""Comment exports as JSON: one object a line, or one array of objects."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from triage.read.bounds import DEEPEST_JSON_NESTING, LONGEST_RECORD_CHARACTERS, SNIFFED_BYTES
from triage.read.columns import matched, missing_text
from triage.read.dates import read_date
from triage.read.finish import Found, finished
from triage.read.html import plain_comment
from triage.read.text import MIXED, file_encoding
from triage.records import Message, Refusal

LARGEST_ARRAY_BYTES = 64 * 1024 * 1024
"""An export in one array is read whole; a larger one must be one object a line."""


def read_json(path: Path, source: str, columns: Mapping[str, str] | None) -> Iterator[Message | Refusal]:
    """Each object as a message; a damaged line is refused by its number and the rest goes on."""
    with path.open("rb") as file:
        head = file.read(SNIFFED_BYTES)
    encoding, mark = file_encoding(head) or ("utf-8", 0)
    start = head[mark:].decode(encoding, "replace").lstrip("\ufeff \t\r\n")
    errors = MIXED if encoding == "utf-8" else "replace"
    if start.startswith("["):
        yield from _array(path, source, columns, encoding, errors)
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


def _array(
    path: Path, source: str, columns: Mapping[str, str] | None, encoding: str, errors: str
) -> Iterator[Message | Refusal]:
    if path.stat().st_size > LARGEST_ARRAY_BYTES:
        yield Refusal(source, "", "one JSON array larger than 64 MiB", "Export it with one object a line.")
        return
    text = path.read_text(encoding=encoding, errors=errors).lstrip("\ufeff")
    try:
        entries = json.loads(text)
    except (ValueError, RecursionError) as fault:
        # An array that was cut off still has whole lines, where its writer used lines.
        lines = [line.strip().rstrip(",") for line in text.splitlines()]
        whole = [(n, line) for n, line in enumerate(lines, 1) if line.startswith("{") and line.endswith("}")]
        if not whole:
            yield Refusal(source, "", f"not readable as JSON: {fault}", "Export it again.")
            return
        for number, line in whole:
            yield _parsed(line, source, f"line {number}", columns)
        yield Refusal(
            source, "", f"the array is damaged: {fault}", "Whole lines were read; check for lost ones."
        )
        return
    for number, entry in enumerate(entries, 1):
        yield _message(entry, source, f"entry {number}", columns)


def _parsed(line: str, source: str, item: str, columns: Mapping[str, str] | None) -> Message | Refusal:
    if line.count("[") + line.count("{") > 50 * DEEPEST_JSON_NESTING and _depth(line) > DEEPEST_JSON_NESTING:
        return Refusal(
            source, item, f"nested deeper than {DEEPEST_JSON_NESTING}", "No export does that; leave it out."
        )
    try:
        entry = json.loads(line)
    except (ValueError, RecursionError) as fault:
        return Refusal(
            source, item, f"not readable as JSON: {str(fault)[:200]}", "Export that comment again."
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
    cells = {name: _said(flat[theirs]) for name, theirs in ours.items()}
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
                    flat[str(key)] = value[inner]
                    break
        elif value is not None and not isinstance(value, list):
            flat[str(key)] = value
    return flat


def _said(value: Any) -> str:
    if isinstance(value, int) and not isinstance(value, bool) and value.bit_length() > 200:
        return ""  # a number of thousands of digits: python refuses to write it out, and no one means it
    return str(value)

"""Comment exports as JSON: one object a line, or one array of objects."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import IO, Any

from triage.read.bounds import (
    DEEPEST_JSON_NESTING,
    LONGEST_RECORD_CHARACTERS,
    MOST_COLUMNS,
    MOST_DAMAGED_ENTRIES,
    SNIFFED_BYTES,
)
from triage.read.columns import matched, missing_text, too_many
from triage.read.dates import read_date
from triage.read.finish import Found, finished
from triage.read.html import plain_comment
from triage.read.progress import open_text
from triage.read.text import MIXED, clean, file_encoding, one_line
from triage.records import Message, Refusal

MOST_FIGURES_OF_A_NUMBER = 40
_JOINT = re.compile(r"[\s,]*")
_START = re.compile(r"[\ufeff\s]*")
_COLON = re.compile(r"[\s:]*")
_OBJECTS = re.compile(r"\[\s*\{")
_NEXT_OBJECT = re.compile(r"\n[ \t]*\{")
PIECE_CHARACTERS = 65_536
TOO_DEEP = f"nested deeper than {DEEPEST_JSON_NESTING}"
TOO_LONG = "longer than is read"


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
        with open_text(path, encoding, errors) as file:
            yield from _whole(_Text(file), source, columns)
        return
    with open_text(path, encoding, errors) as text:
        number = 0
        while line := text.readline(LONGEST_RECORD_CHARACTERS + 1):
            number += 1
            item = f"line {number}"
            if len(line) > LONGEST_RECORD_CHARACTERS:
                while line and not line.endswith("\n"):
                    line = text.readline(LONGEST_RECORD_CHARACTERS)
                yield Refusal(source, item, f"the line is {TOO_LONG}", "Leave it out, or split it.")
                continue
            line = line.lstrip("\ufeff").strip().rstrip(",")
            if line in ("", "[", "]"):
                continue
            yield _parsed(line, source, item, columns)


class _Text:
    """A text of which only the stretch at hand is in memory."""

    def __init__(self, file: IO[str]) -> None:
        self._file = file
        self._held = ""
        self._at = 0
        self._is_all = False

    def begins(self, pattern: re.Pattern[str]) -> bool:
        """Whether the pattern fits here."""
        if len(self._held) - self._at < PIECE_CHARACTERS:
            self._more()
        return pattern.match(self._held, self._at) is not None

    def skip(self, pattern: re.Pattern[str]) -> None:
        """Go past all that the pattern fits."""
        while found := pattern.match(self._held, self._at):
            self._at = found.end()
            if self._at < len(self._held) or not self._more():
                return

    def take(self, character: str) -> bool:
        """Go past a character where it stands here."""
        is_here = self._held.startswith(character, self._at)
        self._at += is_here
        return is_here

    def value(self) -> Any:
        """The JSON value here; a ValueError says what is wrong with it, and the place stays."""
        while True:
            try:
                value, end = _DECODER.raw_decode(self._held, self._at)
            except RecursionError:
                raise ValueError(TOO_DEEP) from None
            except ValueError:
                if self._more():
                    continue
                if len(self._held) - self._at > LONGEST_RECORD_CHARACTERS:
                    raise ValueError(TOO_LONG) from None
                raise
            if end == len(self._held) and self._more():
                continue  # a number may go on in what was not read yet
            brackets = sum(self._held.count(bracket, self._at, end) for bracket in "[{")
            if brackets > DEEPEST_JSON_NESTING and _is_too_deep(value):
                raise ValueError(TOO_DEEP)
            self._at = end
            return value

    def find_next_object(self) -> bool:
        """Go on to the next line that begins an object."""
        start = self._at + 1
        while (found := _NEXT_OBJECT.search(self._held, start)) is None:
            # The line break and blanks before a brace may be the last of what is held.
            last = self._held.rfind("\n", start)
            self._at = last if last >= 0 else len(self._held)
            if not self._more():
                return False
            start = self._at
        self._at = found.end() - 1
        return True

    @property
    def is_at_end(self) -> bool:
        """Whether nothing is left."""
        return self._at >= len(self._held) and not self._more()

    def _more(self) -> bool:
        room = LONGEST_RECORD_CHARACTERS + 1 - (len(self._held) - self._at)
        if self._is_all or room <= 0:
            return False
        piece = self._file.read(min(room, max(PIECE_CHARACTERS, len(self._held) - self._at)))
        self._is_all = not piece
        self._held = self._held[self._at :] + piece
        self._at = 0
        return bool(piece)


def _whole(text: _Text, source: str, columns: Mapping[str, str] | None) -> Iterator[Message | Refusal]:
    """The comments of one array, alone or in an object around it; or an object that is one comment."""
    text.is_at_end  # noqa: B018 - reads the first piece
    text.skip(_START)
    if text.take("["):
        yield from _array(text, source, columns)
        return
    text.take("{")
    entry: dict[str, Any] = {}
    try:
        text.skip(_JOINT)
        while not text.take("}"):
            if len(entry) > MOST_COLUMNS:
                yield Refusal(source, "entry 1", *too_many("names"))
                return
            key = text.value()
            text.skip(_COLON)
            if text.begins(_OBJECTS) and text.take("["):
                yield from _array(text, source, columns)
                return
            entry[str(key)] = text.value()
            text.skip(_JOINT)
    except ValueError as fault:
        yield Refusal(source, "", one_line(f"not readable as JSON: {fault}", 200), "Export it again.")
        return
    yield _message(entry, source, "entry 1", columns)


def _array(text: _Text, source: str, columns: Mapping[str, str] | None) -> Iterator[Message | Refusal]:
    """Each entry of an array as it comes; after a damaged one the reading goes on at the next line with an object."""
    number = damaged = 0
    while True:
        text.skip(_JOINT)
        if text.take("]"):
            return
        number += 1
        item = f"entry {number}"
        try:
            entry = text.value()
        except ValueError as fault:
            damaged += 1
            reason = "the array ends within it" if text.is_at_end else one_line(f"damaged: {fault}", 200)
            yield Refusal(source, item, reason, "The entries before it were read; export the rest again.")
            if damaged >= MOST_DAMAGED_ENTRIES:
                reason = f"{damaged} damaged entries; the rest is left"
                yield Refusal(source, item, reason, "Export it again, one object a line.")
                return
            if not text.find_next_object():
                return
            continue
        yield _message(entry, source, item, columns)


def _is_too_deep(value: Any) -> bool:
    level = [value]
    for _ in range(DEEPEST_JSON_NESTING):
        level = [
            inner
            for one in level
            if isinstance(one, dict | list)
            for inner in (one.values() if isinstance(one, dict) else one)
            if isinstance(inner, dict | list)
        ]
        if not level:
            return False
    return True


def _parsed(line: str, source: str, item: str, columns: Mapping[str, str] | None) -> Message | Refusal:
    try:
        entry = _DECODER.decode(line)
        is_too_deep = line.count("[") + line.count("{") > DEEPEST_JSON_NESTING and _is_too_deep(entry)
    except RecursionError:
        is_too_deep = True
    except ValueError as fault:
        return Refusal(
            source, item, one_line(f"not readable as JSON: {fault}", 200), "Export that comment again."
        )
    if is_too_deep:
        return Refusal(source, item, TOO_DEEP, "No export does that; leave it out.")
    return _message(entry, source, item, columns)


def _message(entry: Any, source: str, item: str, columns: Mapping[str, str] | None) -> Message | Refusal:
    if not isinstance(entry, dict):
        return Refusal(source, item, "expected an object with named values", "One comment is one {...}.")
    if len(entry) > MOST_COLUMNS:
        return Refusal(source, item, *too_many("names"))
    flat = _flat(entry)
    ours = matched(flat, columns)
    if "text" not in ours:
        return Refusal(source, item, *missing_text(flat, columns))
    cells = {name: str(flat[theirs]) for name, theirs in ours.items()}
    text = plain_comment(cells["text"])
    if not clean(text).strip():
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

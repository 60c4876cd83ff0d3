"""docs/bounds.md says what holds: every bound with its value, and the words that stand for what lies beyond it."""

from __future__ import annotations

import ast
import json
import re
from collections.abc import Callable
from itertools import pairwise

import pytest

from tests.hostile import ROOT
from tests.hostile.inputs import HEAD, PAGE
from triage import split
from triage.read import bounds, read
from triage.read.bounds import (
    DEEPEST_FOLDER,
    DEEPEST_JSON_NESTING,
    DEEPEST_MIME_NESTING,
    LARGEST_LIKES,
    LARGEST_MAIL_BYTES,
    LARGEST_NOTE_BYTES,
    LONGEST_BODY_CHARACTERS,
    LONGEST_RECORD_CHARACTERS,
    LONGEST_SUBJECT_CHARACTERS,
    LONGEST_TEXT_CHARACTERS,
    MOST_COLUMNS,
    MOST_DAMAGED_ENTRIES,
    MOST_HTML_TAGS,
    MOST_LINES_OF_A_RECORD,
    MOST_MAIL_LINES,
    MOST_MIME_PARTS,
    MOST_NOTES,
    MOST_ROWS_REFUSED_RUNNING,
)
from triage.records import Message, Refusal

ROW = re.compile(r"^\| `([A-Z_]+)` \| ([\d,]+) ([^|]+?) \| [^|]+ \| ([^|]+) \|$", re.MULTILINE)
DOCUMENT = (ROOT / "docs" / "bounds.md").read_text("utf-8")
SAID = {
    name: (int(value.replace(",", "")), unit, beyond) for name, value, unit, beyond in ROW.findall(DOCUMENT)
}


def _kept():
    """Each bound of the code with its value and the unit that its docstring ends with."""
    body = ast.parse((ROOT / "triage" / "read" / "bounds.py").read_text("utf-8")).body
    for node, told in pairwise(body):
        if isinstance(node, ast.Assign) and isinstance(told, ast.Expr):
            name = node.targets[0].id
            yield name, (getattr(bounds, name), re.search(r"\[([^\]]+)\]\s*$", told.value.value)[1])


def test_the_table_holds_every_bound_with_its_value_and_unit():
    kept = dict(_kept())
    splitters = {name: getattr(split, name) for name in ("LONGEST_WORKED_CHARACTERS", "LONGEST_ASKS")}

    assert {name: said[:2] for name, said in SAID.items() if name in kept} == kept
    assert {name: said[0] for name, said in SAID.items() if name not in kept} == splitters


def _parts(count: int) -> bytes:
    return HEAD + b"Content-Type: multipart/mixed; boundary=b\n\n" + b"--b\n\nx\n" * count + b"--b--\n"


def _nested(depth: int) -> bytes:
    heads = b"".join(b"Content-Type: multipart/mixed; boundary=b%d\n\n--b%d\n" % (n, n) for n in range(depth))
    return HEAD + heads + b"\nWhich rim?"


def _json(depth: int) -> bytes:
    return b'{"text": "Why?", "a": ' + b"[" * (depth - 1) + b"]" * (depth - 1) + b"}\n"


AT_AND_BEYOND: dict[str, Callable[[int], bytes]] = {
    "DEEPEST_MIME_NESTING": lambda n: _nested(DEEPEST_MIME_NESTING + n),
    "MOST_MIME_PARTS": lambda n: _parts(MOST_MIME_PARTS - 1 + n),
    "DEEPEST_JSON_NESTING": lambda n: _json(DEEPEST_JSON_NESTING + n),
    "MOST_COLUMNS": lambda n: json.dumps({"text": "Why?"} | dict.fromkeys(map(str, range(MOST_COLUMNS - 1 + n)))).encode(),
    "MOST_LINES_OF_A_RECORD": lambda n: b'id,text\n1,"Why?' + b"\n" * (MOST_LINES_OF_A_RECORD - 1 + n) + b'"\n',
    "LONGEST_RECORD_CHARACTERS": lambda n: b'{"text": "Why?"}' + b" " * (LONGEST_RECORD_CHARACTERS - 16 + n),
    "MOST_NOTES": lambda n: b"Why?\n---\n" * (MOST_NOTES + n),
    "MOST_DAMAGED_ENTRIES": lambda n: b"[\n" + b'{"a": x},\n' * (MOST_DAMAGED_ENTRIES - 1 + n) + b'{"text": "Why?"}]',
    "MOST_ROWS_REFUSED_RUNNING": lambda n: b"id,text\n" + b"1,2,3\n" * (MOST_ROWS_REFUSED_RUNNING - 1 + n) + b"1,Why?\n" * 2,
    "LONGEST_TEXT_CHARACTERS": lambda n: b"x" * (LONGEST_TEXT_CHARACTERS + n),
    "LONGEST_BODY_CHARACTERS": lambda n: HEAD + b"\nWhy?\n\n" + b"> quoted\n" * 9 + b">" * (LONGEST_BODY_CHARACTERS - 87 + n),
    "LARGEST_MAIL_BYTES": lambda n: (HEAD + b"Content-Type: image/png\n\n").ljust(LARGEST_MAIL_BYTES + n, b"A"),
    "MOST_MAIL_LINES": lambda n: HEAD + b"Content-Type: image/png\n\n" + b"A\n" * (MOST_MAIL_LINES - 6 + n),
    "LARGEST_NOTE_BYTES": lambda n: b"Why?".ljust(LARGEST_NOTE_BYTES + n, b"\n"),
    "MOST_HTML_TAGS": lambda n: PAGE + b"Why?" + b"<b>" * (MOST_HTML_TAGS + n),
}  # fmt: skip


def _told(found: list[Message | Refusal]) -> str:
    return " ".join(" ".join(one.flags) if isinstance(one, Message) else one.reason for one in found)


@pytest.mark.parametrize("name", AT_AND_BEYOND)
def test_beyond_a_bound_the_words_of_the_table_are_said_and_at_it_none(tmp_path, name):
    path = tmp_path / "input"
    words = [one for one in re.findall(r"`([^`]+)`", SAID[name][2]) if one != "more than 1000 columns"]
    path.write_bytes(AT_AND_BEYOND[name](0))
    at = _told(list(read([path])))
    path.write_bytes(AT_AND_BEYOND[name](1))
    beyond = _told(list(read([path])))

    assert not any(one in at for one in words)
    assert any(one in beyond for one in words), beyond[-200:]


def test_folders_as_deep_as_is_read_are_read_and_deeper_ones_refused(tmp_path):
    deepest = tmp_path.joinpath(*["a"] * DEEPEST_FOLDER)
    (deepest / "a").mkdir(parents=True)
    (deepest / "note.txt").write_text("Why?")
    (deepest / "a" / "note.txt").write_text("Why?")
    found = list(read([tmp_path]))

    assert [type(one) for one in found] == [Refusal, Message]
    assert f"`{found[0].reason}`" in SAID["DEEPEST_FOLDER"][2]


def test_a_subject_is_cut_and_likes_beyond_belief_count_as_none(tmp_path):
    path = tmp_path / "input"
    entry = {"text": "Why?", "subject": "x" * 2_000, "likes": LARGEST_LIKES + 1}
    path.write_text(json.dumps(entry))
    (message,) = read([path])

    assert len(message.subject) == LONGEST_SUBJECT_CHARACTERS
    assert message.likes == 0

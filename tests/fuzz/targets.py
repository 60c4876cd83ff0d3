"""The targets of the search: each takes any bytes and raises where a promise is broken."""

from __future__ import annotations

import math
import tempfile
import time
from collections.abc import Callable, Iterable, Iterator
from functools import lru_cache
from pathlib import Path

from knowledge.load import load
from triage.extract import Finder
from triage.read import read
from triage.read.html import html_to_text
from triage.read.jsonlines import read_json
from triage.read.mail import read_mail
from triage.read.mailboxes import read_mbox
from triage.read.notes import read_note
from triage.read.tables import read_table
from triage.read.text import clean
from triage.records import Message, Refusal
from triage.split import split

MOST_SECONDS = 5.0
"""Of processor time for one input of a few kilobytes; ordinary ones take a few milliseconds."""
LONGEST_STORY_CHARACTERS = 1_500
"""The splitter and the detail reader are searched with texts as long as riders write them."""


def mail(data: bytes) -> None:
    """A mail gives one message or one refusal."""
    _check([read_mail(data, "input", "")])


def mbox(data: bytes) -> None:
    """A mailbox, its separating line before whatever comes."""
    head = b"From ana@riders.invalid Fri Nov 20 09:00:00 2026\nX-A: b\n"
    _from_file(data if data.startswith(b"From ") else head + data, lambda path: read_mbox(path, "input"))


def json_lines(data: bytes) -> None:
    """An export as JSON, in lines or in one array."""
    _from_file(data, lambda path: read_json(path, "input", None))


def table(data: bytes) -> None:
    """An export as a table."""
    _from_file(data, lambda path: read_table(path, "input", None))


def note(data: bytes) -> None:
    """A text file gives at least one message or refusal."""
    assert _from_file(data, lambda path: read_note(path, "input"))


def html(data: bytes) -> None:
    """A page gives text that nothing downstream refuses, whether quotes are kept or not."""
    page = clean(data.decode("utf-8", "replace"))
    for quotes in (False, True):
        _check_words(html_to_text(page, quotes=quotes))


def file(data: bytes) -> None:
    """A file of any kind: nothing is passed over in silence, and no reader falls back on the last resort."""
    found = _from_file(data, lambda path: read([path]))
    assert found
    for one in found:
        assert not (isinstance(one, Refusal) and one.reason.startswith("could not be read:")), one


def split_(data: bytes) -> None:
    """Each message leaves at least one record, in words that stand in the message."""
    message = _message(data)
    questions = split([message])
    assert questions
    assert len({question.question_id for question in questions}) == len(questions)
    for question in questions:
        _check_words(question.text)
        assert not message.text.strip() or question.text.strip()
        assert all(word in message.text for word in question.text.split())


def details(data: bytes) -> None:
    """Each detail stands at words of the text, and its value is a number or a word."""
    text = _message(data).text
    found, doubts = _finder().find(text)
    for detail in found:
        assert 0 <= detail.start < detail.end <= len(text), detail
        values = detail.value if isinstance(detail.value, tuple) else (detail.value,)
        assert all(isinstance(value, str) or math.isfinite(value) for value in values), detail
    for _, why in doubts:
        _check_words(why)


TARGETS: dict[str, Callable[[bytes], None]] = {
    "mail": mail,
    "mbox": mbox,
    "json-lines": json_lines,
    "table": table,
    "note": note,
    "html": html,
    "file": file,
    "split": split_,
    "details": details,
}


def tried(target: str, data: bytes) -> None:
    """Run a target on one input, with its limit of time."""
    started = time.process_time()
    TARGETS[target](data)
    seconds = time.process_time() - started
    assert seconds < MOST_SECONDS, f"{target} took {seconds:.1f} s over {len(data)} bytes"


@lru_cache(maxsize=1)
def _finder() -> Finder:
    return Finder(load())


def _message(data: bytes) -> Message:
    text = clean(data.decode("utf-8", "replace"))[:LONGEST_STORY_CHARACTERS].strip()
    return Message("1@riders.invalid", "mail", None, None, None, None, None, text, "input", "")


@lru_cache(maxsize=1)
def _folder() -> tempfile.TemporaryDirectory[str]:
    return tempfile.TemporaryDirectory()


def _from_file(data: bytes, reader: Callable[[Path], Iterator[Message | Refusal]]) -> list[Message | Refusal]:
    path = Path(_folder().name) / "input"
    path.write_bytes(data)
    found = list(reader(path))
    _check(found)
    return found


def _check(found: Iterable[Message | Refusal]) -> None:
    for one in found:
        assert isinstance(one, Message | Refusal)
        for words in _lines_of(one):
            _check_words(words)
            assert "\n" not in words
        if isinstance(one, Message):
            _check_words(one.text)
            assert one.message_id
            assert one.channel
            assert one.text or one.subject


def _lines_of(one: Message | Refusal) -> Iterator[str]:
    if isinstance(one, Refusal):
        yield from (one.reason, one.item, one.remedy)
        return
    yield from (one.message_id, one.channel, one.item, *one.references, *one.flags)
    for attachment in one.attachments:
        yield from (attachment.name, attachment.content_type)
    for words in (one.author, one.rider, one.subject, one.address, one.in_reply_to, one.received):
        yield words or ""


def _check_words(words: str) -> None:
    words.encode("utf-8")
    assert words == clean(words), repr(words)

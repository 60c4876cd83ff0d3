"""What a log may say: numbers and words of ours; nothing that a rider wrote, however it is handed over."""

from __future__ import annotations

import ast
import io
import json
import logging
import string
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

import triage
from triage.cli.logs import set_up
from triage.logs import EVENTS, FAULT, IDS, NUMBERS, WORDS, event, timed
from triage.read.kinds import kind_of

HOME = Path(triage.__file__).parent
NAMES = ["Ida Example", "Siobhán Ní Example", "O'Example", "李小龙", "Zoë"]
ADDRESSES = ["ida@riders.invalid", "ida+bike@riders.invalid", "öl@riders.invalid", "Ida <ida@riders.invalid>"]
SAID = st.one_of(
    st.text(min_size=1, max_size=60),
    st.sampled_from([*NAMES, *ADDRESSES, "+44 20 7946 0000", "12 Example Street, Exampleton"]),
    st.text(alphabet=string.ascii_lowercase + " ", min_size=1, max_size=30),
)
"""What riders write: anything, names and addresses, and plain lower-case words as our own are."""

LISTED = {*EVENTS, *NUMBERS, *WORDS, *IDS, FAULT, *frozenset().union(*WORDS.values())}


class RiderError(Exception):
    """A fault that carries words."""


class Record:
    """A thing that shows what a rider wrote, however it is printed."""

    def __init__(self, text):
        self.text = text

    def __str__(self):
        return self.text

    __repr__ = __format__ = __str__


@pytest.fixture
def told(capsys, tmp_path):
    """Whatever is told since last asked, in words and as JSON lines, without the time."""
    file = tmp_path / "log.jsonl"
    set_up(True, str(file))
    place = 0

    def since():
        nonlocal place
        lines = file.read_text(encoding="utf-8")[place:]
        place += len(lines)
        events = [json.loads(line) for line in lines.splitlines()]
        return [{**one, "time": ""} for one in events], [
            line[9:] for line in capsys.readouterr().err.splitlines()
        ]

    yield since
    set_up(False, None)
    for handler in list(logging.getLogger().handlers):
        if type(handler).__name__ == "_Guarded":
            logging.getLogger().removeHandler(handler)
    logging.getLogger("quillstem").setLevel(logging.NOTSET)


@cache
def programs():
    """Every module of the program but the one that logs are made in, parsed."""
    files = [file for file in sorted(HOME.rglob("*.py")) if file != HOME / "logs.py"]
    return {str(file.relative_to(HOME)): ast.parse(file.read_text(encoding="utf-8")) for file in files}


def raised(text, kind=ValueError):
    """A fault with these words, raised, out of another one with them."""
    try:
        try:
            raise kind(text)
        except kind as error:
            raise RiderError(text, {text: text}) from error
    except RiderError as error:
        return error


def everything(text):
    """Every way to hand a text to a log that we could think of."""
    event(text)
    event(text, messages=1)
    event(
        "chunk kept", messages=text, drafts=[text], seconds=Record(text), chunk={text: 1}, rows=text.encode()
    )
    event("chunk kept", **{text: 1, f"{text}_": text})
    event("input read", kind=text, input=text)
    event("input read", kind=Record(text), state=Record(text))
    event("mail ended", state=text, question=text, message=text)
    event("chunk failed", error=raised(text))
    event("chunk failed", error=text)
    event("chunk failed", error=type("Ida" + "".join(filter(str.isalpha, text)), (ValueError,), {})(text))
    for name in ("quillstem.pipeline", "quillstem", "uvicorn.error", "sqlalchemy.engine", f"of.{text}"):
        logger = logging.getLogger(name)
        logger.error(text)
        logger.error("%s wrote %r", text, Record(text))
        logger.error({text: text})
        logger.error(Record(text))
        logger.critical("it broke", exc_info=raised(text), stack_info=True, extra={"rider": text})
        logger.warning(text, exc_info=(RiderError, raised(text), None))


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(text=SAID)
def test_what_is_told_is_the_same_whatever_a_rider_wrote(told, text):
    """Whoever reads the log learns nothing of the text: it reads to the letter as with another one.

    A text that is a word of the lists itself ("sources") may be told: it says nothing but our own word.
    """
    assume(not {text, f"{text}_"} & LISTED)
    everything("§1")
    with_another = told()

    everything(text)

    assert told() == with_another


@pytest.mark.parametrize("text", [*NAMES, *ADDRESSES])
def test_names_and_addresses_are_nowhere_in_it(told, text):
    everything(text)

    events, lines = told()

    assert len(events) > 30
    assert text not in json.dumps(events, ensure_ascii=False)
    assert text not in "\n".join(lines)


def test_a_fault_is_told_by_its_kind_and_where_in_our_code_it_came_from(told):
    try:
        kind_of(Record("ida@riders.invalid"))
    except Exception as error:
        event("chunk failed", chunk=3, error=error)

    ((one,), (line,)) = told()

    assert one["event"] == "chunk failed"
    assert one["chunk"] == 3
    assert one["error"] in ("TypeError", "AttributeError")
    assert one["place"].startswith("triage/read/text.py:")
    assert " < triage/read/kinds.py:" in one["place"]
    assert line.startswith("chunk failed: chunk 3, error ")


def test_numbers_of_every_make_are_told_and_endless_ones_are_not(told):
    event("chunk kept", messages=np.int64(500), seconds=np.float32(0.5), is_kept=True, drafts=812)
    event("chunk kept", messages=10**15, seconds=float("nan"), drafts=float("inf"), rows=-(10**5000))

    (first, second), lines = told()

    assert {key: first[key] for key in ("messages", "seconds", "is_kept", "drafts")} == {
        "messages": 500, "seconds": 0.5, "is_kept": True, "drafts": 812,
    }  # fmt: skip
    assert second["left_out"] == 4
    assert lines == [
        "chunk kept: messages 500, seconds 0.5, kept yes, drafts 812",
        "chunk kept: left out 4",
    ]


def test_words_and_digests_of_ours_are_told(told):
    event("input read", input=2, kind="mbox", messages=10_500)
    event("mail ended", state="sent", question="0123456789abcdef-1", message="0123456789abcdef" * 2)

    (first, second), lines = told()

    assert first["kind"] == "mbox"
    assert second["question"] == "0123456789abcdef-1"
    assert lines[0] == "input read: input 2, kind mbox, messages 10500"


def test_what_took_a_while_is_told_with_its_seconds(told):
    with timed("outputs written", files=5):
        pass

    ((one,), _) = told()

    assert one["event"] == "outputs written"
    assert 0 <= one["seconds"] < 60


def test_without_anybody_asking_nothing_is_told_and_nothing_is_worked_out(capsys):
    class Costly:
        def __str__(self):
            raise AssertionError

    event("chunk kept", messages=1, rider=Costly())

    assert capsys.readouterr().err == ""


def test_a_field_is_of_one_kind():
    kinds = [set(NUMBERS), set(WORDS), set(IDS), {FAULT, "place", "of", "event", "time", "level", "where"}]

    assert sum(map(len, kinds)) == len(set().union(*kinds))


def test_every_call_in_the_program_names_an_event_and_fields_that_are_listed():
    wrong, calls = [], 0
    for file, program in programs().items():
        for node in ast.walk(program):
            if not isinstance(node, ast.Call) or getattr(node.func, "id", "") not in ("event", "timed"):
                continue
            calls += 1
            name = (
                node.args[0].value if len(node.args) == 1 and isinstance(node.args[0], ast.Constant) else None
            )
            fields = {word.arg for word in node.keywords}
            if name not in EVENTS or not fields <= {*NUMBERS, *WORDS, *IDS, FAULT}:
                wrong.append(f"{file}:{node.lineno}")

    assert wrong == []
    assert calls >= 8


def test_nothing_else_in_the_program_writes_a_log():
    imports = {
        (file, name.name if isinstance(node, ast.Import) else node.module)
        for file, program in programs().items()
        for node in ast.walk(program)
        if isinstance(node, ast.Import | ast.ImportFrom)
        for name in node.names
    }

    assert {file for file, module in imports if module == "logging"} == {"cli/logs.py"}


def test_a_log_line_of_our_own_needs_no_setting_up_to_be_safe():
    """A fault that is told before anybody set logs up goes to Python's last resort, and is as clean there."""
    handler = logging.StreamHandler(io.StringIO())
    logging.getLogger("quillstem").addHandler(handler)
    try:
        event("page failed", error=raised("ida@riders.invalid"))
    finally:
        logging.getLogger("quillstem").removeHandler(handler)

    assert handler.stream.getvalue() == "page failed: error RiderError\n"

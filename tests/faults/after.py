"""What must hold after every fault: the ledger is sound, every message stands in it once, files are whole or absent."""

from __future__ import annotations

import json
import os
import time
from collections.abc import Callable, Mapping
from contextlib import closing
from pathlib import Path

from triage.ledger import open_ledger
from triage.ledger.care import Checked, check
from triage.ledger.integrity import damage

FIGURES = "QUILLSTEM_FAULT_FIGURES"
"""The name of a file into which the tests write what they measured, for docs/reliability.md."""


def sound(place: Path | str) -> Checked:
    """The check of a ledger, which must find nothing."""
    if isinstance(place, Path):
        assert damage(place) == []
    with closing(open_ledger(place)) as ledger:
        checked = check(ledger)
    assert checked.faults == []
    return checked


def lines_in(out: Path) -> list[dict[str, object]]:
    """The lines of a run's drafts.jsonl."""
    with (out / "drafts.jsonl").open(encoding="utf-8") as file:
        return [json.loads(text) for text in file]


def each_once(out: Path, inbox: Path, messages: int) -> None:
    """Every message of the inbox is there with its drafts, and no question twice."""
    ids = {json.loads(text)["id"] for text in (inbox / "many.jsonl").read_text(encoding="utf-8").splitlines()}
    lines = lines_in(out)
    assert len(ids) == messages
    assert {line["message_id"] for line in lines} == ids
    assert len({line["question_id"] for line in lines}) == len(lines)


def files_of(out: Path) -> dict[str, bytes]:
    """The files of a run by their names, without the ledger's."""
    return {
        str(file.relative_to(out)): file.read_bytes()
        for file in sorted(out.rglob("*"))
        if file.is_file() and not file.name.startswith("ledger.sqlite") and not file.name.endswith(".part")
    }


def whole_or_absent(out: Path, whole: Mapping[str, bytes]) -> int:
    """How many files are there; each must be what an undisturbed run writes, to the byte."""
    found = files_of(out) if out.exists() else {}
    for name, content in found.items():
        assert content == whole[name], f"{name} is not whole"
    return len(found)


def clear(told: str) -> None:
    """What was told is for a person: no traceback, not nothing."""
    assert told.strip()
    assert "Traceback" not in told
    assert "sqlalche.me" not in told


def until(happened: Callable[[], object], seconds: float = 60) -> None:
    """Wait for something that must happen."""
    end = time.monotonic() + seconds
    while not happened():
        assert time.monotonic() < end, "it did not happen"
        time.sleep(0.005)


def note(what: str, **figures: object) -> None:
    """Write figures down where they are gathered."""
    file = os.environ.get(FIGURES)
    if file:
        with Path(file).open("a", encoding="utf-8") as into:
            into.write(json.dumps({"what": what, **figures}) + "\n")

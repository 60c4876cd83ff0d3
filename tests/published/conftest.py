"""Which calculations each published check went through, for the handbook's "held against" lists."""

from __future__ import annotations

import json
import os
import re
import sys
from collections import defaultdict
from pathlib import Path

import pytest

import knowledge

BOOK = str(Path(knowledge.__file__).parent / "calculations")
RECORD = Path(knowledge.__file__).parent / "book" / "checks.json"
_passed: dict[str, set[str]] = defaultdict(set)


def label_of(nodeid: str) -> str:
    """A check's name as the handbook prints it."""
    name = nodeid.rsplit("::", 1)[-1].removeprefix("test_")
    words, _, case = name.partition("[")
    return words.replace("_", " ") + (f" ({case.rstrip(']')[:60]})" if case else "")


@pytest.hookimpl(wrapper=True)
def pytest_runtest_call(item):
    """Note every calculation that a passing check calls."""
    called: set[str] = set()

    def notice(frame, event, _argument):
        if event == "call" and frame.f_code.co_filename.startswith(BOOK):
            called.add(frame.f_code.co_name)

    before = sys.getprofile()
    sys.setprofile(notice)
    try:
        result = yield
    finally:
        sys.setprofile(before)
    for name in called:
        _passed[name].add(label_of(item.nodeid))
    return result


def pytest_sessionfinish(session, exitstatus):
    """`QUILLSTEM_RECORD_CHECKS=1 pytest tests/published` writes the record anew."""
    if os.environ.get("QUILLSTEM_RECORD_CHECKS") and exitstatus == 0:
        kept = {name: sorted(labels) for name, labels in sorted(_passed.items()) if re.match(r"[a-z]", name)}
        RECORD.write_text(json.dumps(kept, indent=1, ensure_ascii=False) + "\n", encoding="utf-8")

"""Run the fault tests and write what they measured into docs/reliability.md: `python -m tests.faults`, in long form.

With `--short` the long forms are left out. Where a test fails nothing is written.
"""

from __future__ import annotations

import json
import os
import platform
import sqlite3
import sys
import tempfile
from collections import Counter
from collections.abc import Iterator, Sequence
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from tests.faults.after import FIGURES

HERE = Path(__file__).parent
DOCUMENT = HERE.parent.parent / "docs" / "reliability.md"
BEGIN, END = "<!-- figures: made by python -m tests.faults -->", "<!-- end of figures -->"


class _Passed:
    """Counts the cases of each test that passed, in order, and those that were skipped."""

    def __init__(self) -> None:
        self.cases: Counter[str] = Counter()
        self.skipped: Counter[str] = Counter()

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        """Hear of one step of one test."""
        name = report.nodeid.rpartition("::")[2].partition("[")[0]
        if report.skipped:
            self.skipped[name] += 1
        elif report.when == "call" and report.passed:
            self.cases[name] += 1


def tables(figures: Sequence[dict[str, Any]], passed: _Passed, is_short: bool) -> Iterator[str]:
    """The lines that stand between the two marks."""
    form = "Short" if is_short else "Long"
    program = f"Python {platform.python_version()}, SQLite {sqlite3.sqlite_version}, {os.cpu_count()} cores"
    yield f"{form} form, {date.today().isoformat()}, {program}. All of these passed.\n"
    yield "| killed with kill -9 | times | messages a run | most work of a killed run and the next |"
    yield "| --- | ---: | ---: | ---: |"
    for one in figures:
        if "kills" in one:
            work = f"{one['most_work']:.3f} × an undisturbed run" if "most_work" in one else ""
            times = f"{one['kills']}, within {one['saves']} saves" if "saves" in one else one["kills"]
            yield f"| {one['what']} | {times} | {one.get('messages', '')} | {work} |"
    yield f"| all | {sum(one.get('kills', 0) for one in figures)} | | |"
    yield "\n| what was tried | cases |"
    yield "| --- | ---: |"
    for name, cases in passed.cases.items():
        yield f"| {name.removeprefix('test_').replace('_', ' ')} | {cases} |"
    for name, cases in passed.skipped.items():
        yield f"| not tried here: {name.removeprefix('test_').replace('_', ' ')} | {cases} |"


def put_between(text: str, lines: Sequence[str]) -> str:
    """The document with other lines between its two marks.

    >>> put_between(f"a\\n{BEGIN}\\nold\\n{END}\\nb\\n", ["new"]) == f"a\\n{BEGIN}\\nnew\\n{END}\\nb\\n"
    True
    """
    before, _, rest = text.partition(BEGIN)
    _, _, after = rest.partition(END)
    return "\n".join([f"{before}{BEGIN}", *lines, f"{END}{after}"])


def main(arguments: Sequence[str]) -> int:
    """Run, and write the document; the exit code."""
    is_short = "--short" in arguments
    passed = _Passed()
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "figures"
        os.environ[FIGURES] = str(file)
        kinds = "not torture" if is_short else "torture or not torture"
        code = pytest.main(["-q", "-m", kinds, "-p", "no:cacheprovider", str(HERE)], plugins=[passed])
        if code:
            print("Not all passed, so nothing was written.", file=sys.stderr)
            return int(code)
        figures = [json.loads(line) for line in file.read_text(encoding="utf-8").splitlines()]
    text = DOCUMENT.read_text(encoding="utf-8")
    DOCUMENT.write_text(put_between(text, list(tables(figures, passed, is_short))), encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))

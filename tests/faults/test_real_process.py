"""A run started as its users start it, in a process of its own from the first line on, is killed and completed."""

from __future__ import annotations

import json
import os
import signal
import sqlite3
import subprocess
import sys
from contextlib import closing, suppress

import pytest

from tests.faults.after import sound, until


@pytest.fixture(scope="module")
def inbox(tmp_path_factory):
    """Seven hundred short comments, so that a run takes several chunks."""
    folder = tmp_path_factory.mktemp("many")
    asks = [
        "Will a {n} mm tyre fit a rim 19 mm inside?",
        "what pressure for {n} mm tyres, I weigh 80 kg",
        "my chain skips in gear {n}, any idea why?",
        "love episode {n}",
    ]
    with (folder / "many.jsonl").open("w", encoding="utf-8") as file:
        for number in range(700):
            text = asks[number % 4].format(n=20 + number % 40)
            file.write(json.dumps({"id": f"c{number}", "author": "Ana", "text": f"{text} ({number})"}) + "\n")
    return folder


def _kept(out):
    """How many chunks of 500 are kept, a part of one counting as one."""
    if not (out / "ledger.sqlite").exists():
        return 0
    with closing(sqlite3.connect(out / "ledger.sqlite", timeout=20)) as connection:
        try:
            (count,) = connection.execute("SELECT count(*) FROM messages").fetchone()
        except sqlite3.OperationalError:
            return 0
    return -(-count // 500)


def command(inbox, out):
    return [sys.executable, "-m", "triage.cli", "draft", str(inbox), "--out", str(out), "--quiet"]


@pytest.mark.parametrize("kept", [1, pytest.param(2, marks=pytest.mark.torture)])
def test_a_run_killed_after_some_chunks_is_completed_by_the_next(inbox, tmp_path, kept):
    out = tmp_path / "out"
    running = subprocess.Popen(command(inbox, out), start_new_session=True)
    until(lambda: running.poll() is not None or _kept(out) >= kept, seconds=300)
    with suppress(ProcessLookupError):
        os.killpg(running.pid, signal.SIGKILL)
    running.wait()
    sound(out / "ledger.sqlite")

    done = subprocess.run(command(inbox, out), check=False)

    assert done.returncode == 0
    lines = [json.loads(text) for text in (out / "drafts.jsonl").read_text(encoding="utf-8").splitlines()]
    assert sorted({line["message_id"] for line in lines}) == sorted(f"c{n}" for n in range(700))
    assert len({line["question_id"] for line in lines}) == len(lines)

"""A run that is killed at any moment loses nothing, and the next one completes it."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time

import pytest

from triage.ledger import open_ledger


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


def command(inbox, out):
    return [sys.executable, "-m", "triage.cli", "draft", str(inbox), "--out", str(out), "--quiet"]


@pytest.mark.parametrize("seconds", [5.0, 8.0])
def test_a_killed_run_is_completed_by_the_next(inbox, tmp_path, seconds):
    out = tmp_path / "out"
    running = subprocess.Popen(command(inbox, out), start_new_session=True)
    time.sleep(seconds)
    os.killpg(running.pid, signal.SIGKILL)
    running.wait()
    if (out / "ledger.sqlite").exists():
        ledger = open_ledger(out / "ledger.sqlite")
        messages, drafts = ledger.counts()
        ledger.close()
        assert drafts >= messages  # never a message without its drafts

    done = subprocess.run(command(inbox, out), check=False)

    assert done.returncode == 0
    lines = [json.loads(text) for text in (out / "drafts.jsonl").read_text(encoding="utf-8").splitlines()]
    assert sorted({line["message_id"] for line in lines}) == sorted(f"c{n}" for n in range(700))
    assert len({line["question_id"] for line in lines}) == len(lines)

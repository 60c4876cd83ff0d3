"""The files of a run: the same whoever makes their pieces, and whole where a worker is lost."""

from __future__ import annotations

import os
import signal

import pytest

from tests.conftest import ROOT
from triage.batch import run
from triage.ledger import open_ledger
from triage.output import write, write_outputs
from triage.pipeline import Desk


def _dies(address, keys):
    os.kill(os.getpid(), signal.SIGKILL)


@pytest.fixture
def drafted_run(tmp_path, knowledge, phrases, sorter):
    ledger = open_ledger(tmp_path / "ledger.sqlite")
    done = run([ROOT / "sample_inbox"], Desk(knowledge, phrases, sorter, 150.0), ledger)
    yield ledger, done.number
    ledger.close()


def files_of(folder):
    return {str(file.relative_to(folder)): file.read_bytes() for file in folder.rglob("*") if file.is_file()}


def test_a_worker_that_is_lost_while_files_are_written_costs_none_of_them(
    drafted_run, knowledge, tmp_path, monkeypatch
):
    ledger, number = drafted_run
    write_outputs(number, ledger, knowledge, tmp_path / "alone")
    write_outputs(number, ledger, knowledge, tmp_path / "together", workers=2)
    monkeypatch.setattr(write, "piece_elsewhere", _dies)

    write_outputs(number, ledger, knowledge, tmp_path / "lost", workers=2)

    alone = files_of(tmp_path / "alone")
    assert {"drafts.jsonl", "summary.csv", "script.md", "sheet.html", "refused.csv"} <= alone.keys()
    assert files_of(tmp_path / "together") == alone
    assert files_of(tmp_path / "lost") == alone


def test_many_replies_stand_in_one_mailbox_and_no_folder_is_left_of_before(
    drafted_run, knowledge, tmp_path, monkeypatch
):
    ledger, number = drafted_run
    few = write_outputs(number, ledger, knowledge, tmp_path)
    assert len(list((tmp_path / "replies").glob("*.eml"))) == few.replies
    monkeypatch.setattr(write, "MOST_IN_THE_FOLDER", 10)

    write_outputs(number, ledger, knowledge, tmp_path)

    assert not list((tmp_path / "replies").glob("*.eml"))
    box = (tmp_path / "replies.mbox").read_bytes()
    assert box.count(b"\nX-Unsent: 1\n") == few.replies
    assert box.startswith(b"From ")

"""A Dask cluster of real worker processes on this machine, with PostgreSQL as the ledger, one worker killed in the middle."""

from __future__ import annotations

import json
import os
import signal
import threading
import time

import pytest

from triage import batch
from triage.batch import Crew, Setting, run
from triage.ledger import open_ledger
from triage.pipeline import Desk

distributed = pytest.importorskip("distributed")


@pytest.fixture
def cluster():
    """Two worker processes that answer on the loopback alone."""
    with distributed.LocalCluster(
        n_workers=2, threads_per_worker=1, processes=True, dashboard_address=None, host="127.0.0.1"
    ) as made:
        yield made


@pytest.mark.filterwarnings("default")  # the cluster's own; ours are errors everywhere else
def test_a_killed_worker_of_a_cluster_costs_nothing_but_its_chunk(
    cluster, new_database, tmp_path, knowledge, phrases, sorter, monkeypatch
):
    monkeypatch.setattr(batch, "CHUNK", 25)
    inbox = tmp_path / "comments.jsonl"
    asks = (
        "Will a {n} mm tyre fit a rim 19 mm inside?",
        "which oil for a wet chain, number {n}?",
        "love episode {n}",
    )
    rows = [json.dumps({"id": f"c{n}", "text": asks[n % 3].format(n=20 + n)}) for n in range(400)]
    inbox.write_text("\n".join(rows), encoding="utf-8")
    desk = Desk(knowledge, phrases, sorter, 150.0)
    alone, ledger = open_ledger(tmp_path / "alone.sqlite"), open_ledger(new_database())
    one = run([inbox], desk, alone)
    victim = next(iter(cluster.workers.values())).pid
    killer = threading.Thread(target=_kill_once_kept, args=(ledger, victim), daemon=True)
    killer.start()

    two = run(
        [inbox],
        desk,
        ledger,
        crew=Crew(2, Setting(None, knowledge.digest, 150.0), cluster.scheduler_address),
    )
    killer.join(timeout=30)

    assert not killer.is_alive()
    with pytest.raises(ProcessLookupError):
        os.kill(victim, 0)
    assert lines_of(ledger, two) == lines_of(alone, one)
    alone.close()
    ledger.close()


def _kill_once_kept(ledger, process):
    while ledger.counts()[0] == 0:
        time.sleep(0.05)
    os.kill(process, signal.SIGKILL)


def lines_of(ledger, done):
    return [line for keys in ledger.runs.keys(done.number) for _, line in ledger.lines(keys)]


def test_a_scheduler_that_does_not_answer_is_named(tmp_path, knowledge, phrases, sorter):
    (tmp_path / "ask.txt").write_text("Which oil for a wet chain?")
    ledger = open_ledger(tmp_path / "ledger.sqlite")
    crew = Crew(2, Setting(None, knowledge.digest, 150.0), "tcp://127.0.0.1:9")

    with pytest.raises(ValueError, match=r"--cluster tcp://127\.0\.0\.1:9: no scheduler answers there\."):
        run([tmp_path / "ask.txt"], Desk(knowledge, phrases, sorter, 150.0), ledger, crew=crew)
    ledger.close()

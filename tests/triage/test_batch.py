"""A run over an inbox: the same outcome whoever works, nothing twice, and follow-ups that find what they follow."""

from __future__ import annotations

import json
import os
import signal

import pytest

from tests.triage.ledger.lines import line
from triage import batch
from triage.batch import Crew, Setting, crew_for, run
from triage.ledger import open_ledger
from triage.ledger.rows import Chunk, draft_rows, message_key, message_row
from triage.pipeline import Desk

ASKS = (
    "Will a {n} mm tyre fit a rim 19 mm inside? It came with the bike of my aunt in Brandhof.",
    "what pressure for {n} mm tyres, I weigh {m} kg and ride on gravel in the hills",
    "my chain skips in gear {n}, any idea why? The cassette has done {m} thousand km.",
    "love episode {n}, keep them coming",
)


@pytest.fixture
def inbox(tmp_path):
    """Writes comments into a file: (id, text) pairs, or so many of our own."""

    def write(comments):
        if isinstance(comments, int):
            comments = [
                (f"c{n}", ASKS[n % len(ASKS)].format(n=20 + n % 40, m=60 + n)) for n in range(comments)
            ]
        file = tmp_path / "comments.jsonl"
        rows = [json.dumps({"id": name, "author": f"Rider {name}", "text": text}) for name, text in comments]
        file.write_text("\n".join(rows) + "\n", encoding="utf-8")
        return [file]

    return write


@pytest.fixture
def desk(knowledge, phrases, sorter):
    return Desk(knowledge, phrases, sorter, 150.0)


@pytest.fixture
def small(monkeypatch):
    """Chunks of seven, laps of two."""
    monkeypatch.setattr(batch, "CHUNK", 7)
    monkeypatch.setattr(batch, "CHUNKS_IN_A_LAP", 2)


def lines_of(ledger, done):
    return [line for keys in ledger.runs.keys(done.number) for _, line in ledger.lines(keys)]


def test_several_workers_bring_what_one_does(inbox, desk, tmp_path, small):
    paths = inbox(60)
    setting = Setting(None, desk.knowledge.digest, 150.0)
    alone, together = open_ledger(tmp_path / "alone.sqlite"), open_ledger(tmp_path / "together.sqlite")

    one = run(paths, desk, alone)
    two = run(paths, desk, together, crew=Crew(2, setting))

    assert lines_of(together, two) == lines_of(alone, one)
    assert one.counts == two.counts


def test_a_lost_worker_costs_its_chunk_another_try_and_nothing_else(
    inbox, desk, tmp_path, small, monkeypatch
):
    """The first process that is given work is killed in the middle of it."""
    paths = inbox(40)
    ledger = open_ledger(tmp_path / "ledger.sqlite")
    setting = Setting(None, desk.knowledge.digest, 150.0)
    flag = tmp_path / "killed"
    monkeypatch.setattr(batch, "_elsewhere", Dying(str(flag)))

    done = run(paths, desk, ledger, crew=Crew(2, setting))

    assert flag.exists()
    assert not done.refusals
    assert len({line["message_id"] for line in lines_of(ledger, done)}) == 40
    assert ledger.counts()[0] == 40


@pytest.mark.torture
def test_a_message_that_kills_every_worker_is_refused_alone(inbox, desk, tmp_path, small, monkeypatch):
    paths = inbox([(f"c{n}", f"Will a {20 + n} mm tyre fit a rim 19 mm inside?") for n in range(9)])
    ledger = open_ledger(tmp_path / "ledger.sqlite")
    monkeypatch.setattr(batch, "_elsewhere", Dying(None, "Will a 23 mm"))

    done = run(paths, desk, ledger, crew=Crew(2, Setting(None, desk.knowledge.digest, 150.0)))

    (refusal,) = done.refusals
    assert refusal.item == "line 4"
    assert refusal.reason == "could not be drafted: the process that worked it was lost, twice"
    assert {line["message_id"] for line in lines_of(ledger, done)} == {f"c{n}" for n in range(9) if n != 3}


class Dying:
    """A worker that drafts a line of ours for each message, but ends its process: the first time of all, or for a text."""

    def __init__(self, flag, text=None):
        self.flag, self.text = flag, text

    def __call__(self, _, task):
        if self.text is not None and any(self.text in message.text for message in task.messages):
            os.kill(os.getpid(), signal.SIGKILL)
        if self.flag is not None and task.messages:
            try:
                os.close(os.open(self.flag, os.O_CREAT | os.O_EXCL))
            except FileExistsError:
                pass
            else:
                os.kill(os.getpid(), signal.SIGKILL)
        messages = task.messages
        lines = {
            message_key(one): [line(0, question_id=one.message_id, message_id=one.message_id)]
            for one in messages
        }
        rows = [message_row(one) for one in messages]
        return Chunk("v1", rows, draft_rows(messages, lines, "v1"), met=task.met)


def test_a_worker_with_other_knowledge_refuses_to_work(inbox, desk, tmp_path):
    ledger = open_ledger(tmp_path / "ledger.sqlite")

    with pytest.raises(
        ValueError, match=r"^A worker has another knowledge base[^\n]*\n    Give every worker the same"
    ):
        run(inbox(3), desk, ledger, crew=Crew(2, Setting(None, "another", 150.0)))

    assert ledger.counts() == (0, 0)


def test_a_second_run_makes_nothing_and_a_message_met_twice_counts_once(inbox, desk, tmp_path, small):
    comments = [("a", "Will a 28 mm tyre fit a rim 19 mm inside?"), ("b", "which oil for a wet chain?")]
    others = [(f"x{n}", f"love episode {n}") for n in range(30)]
    paths = inbox([*comments, *others, *comments])
    ledger = open_ledger(tmp_path / "ledger.sqlite")

    first = run(paths, desk, ledger)
    again = run(paths, desk, ledger)

    assert first.counts["messages"] == 34
    assert first.counts["same message again"] == 2
    assert first.counts["kept before"] == 0
    assert again.counts["kept before"] == 32
    assert [line["message_id"] for line in lines_of(ledger, again)] == [
        "a", "b", *(name for name, _ in others)
    ]  # fmt: skip


def test_a_mail_about_another_of_the_same_inbox_finds_it(desk, tmp_path, small):
    (tmp_path / "mails").mkdir()
    for name, head, text in (
        ("1", "Message-ID: <one@riders.invalid>", "My bottom bracket creaks under load, what should I check?"),
        ("2", "Message-ID: <two@riders.invalid>\nIn-Reply-To: <one@riders.invalid>", "Did that, still clicks. Any ideas?"),
        ("3", "Message-ID: <three@riders.invalid>", "Which oil for a wet chain?"),
    ):  # fmt: skip
        (tmp_path / f"mails/{name}.eml").write_text(
            f"From: Ana <ana{name}@riders.invalid>\n{head}\nSubject: Noise\n\n{text}\n"
        )
    ledger = open_ledger(tmp_path / "ledger.sqlite")

    done = run([tmp_path / "mails"], desk, ledger)

    made = {line["message_id"]: line for line in lines_of(ledger, done)}
    assert list(made) == ["one@riders.invalid", "two@riders.invalid", "three@riders.invalid"]
    assert made["two@riders.invalid"]["follows"] == made["one@riders.invalid"]["question_id"]
    assert "follow-up" in made["two@riders.invalid"]["flags"]


def test_refusals_beyond_those_told_at_once_are_all_kept(desk, tmp_path, monkeypatch):
    monkeypatch.setattr(batch, "MOST_SHOWN", 2)
    for number in range(5):
        (tmp_path / f"{number}.txt").touch()
    ledger = open_ledger(tmp_path / "ledger.sqlite")

    done = run([tmp_path], desk, ledger)

    assert len(done.refusals) == 2
    assert done.counts["refused"] == len(list(ledger.runs.refusals(done.number)))
    assert {one.reason for one in ledger.runs.refusals(done.number)} >= {"the file is empty"}


def test_help_is_called_where_the_inbox_is_large():
    setting = Setting(None, "digest", 150.0)

    assert crew_for(10_000, 0, setting).is_alone
    assert crew_for(10_000, 3, setting).workers == 3
    assert crew_for(10**9, 0, setting).workers >= 1
    assert not crew_for(10, 1, setting, "tcp://127.0.0.1:1").is_alone

"""Kill -9 at any moment of a batch, of the writing of its files, and of what editors save: nothing lost, nothing twice."""

from __future__ import annotations

import random
import shutil
import tempfile
import time
from dataclasses import dataclass
from pathlib import Path

import pytest

from tests.faults.after import each_once, files_of, note, sound, whole_or_absent
from tests.faults.conftest import CHUNK, MESSAGES
from tests.faults.editor import digest_of_texts
from tests.faults.tricks import work_in
from triage.ledger import open_ledger

MOST_MORE_WORK = 1.1
"""What a killed run and the next may cost together, in runs that nobody disturbs."""


@dataclass(frozen=True)
class Clean:
    """A run that nobody disturbed: its folder and files, how long it worked, and how many messages it drafted."""

    out: Path
    files: dict[str, bytes]
    seconds: float
    work: int


@pytest.fixture(scope="module")
def clean(warm, inbox, quick_folder):
    """A run that nobody disturbs."""
    out = quick_folder / "clean"
    count = quick_folder / "clean-work"
    running = warm.run("draft", inbox, "--out", out, "--quiet", tricks=_tricks(count))
    assert running.code == 0, running.told
    each_once(out, inbox, MESSAGES)
    assert work_in(count) == MESSAGES
    return Clean(out, files_of(out), running.cpu_seconds, MESSAGES)


def _tricks(count):
    return [("small_chunks", CHUNK), ("counted_work", str(count))]


def _moments(kills, seed):
    """Shares of a run, one in each of as many equal parts of it."""
    chance = random.Random(seed)
    return [0.95 * (number + chance.random()) / kills for number in range(kills)]


def _killed_at(running, cpu_seconds):
    """Whether the run was killed; at the very end it may be faster."""
    running.kill_after(cpu_seconds)
    return running.wait() < 0


def _batch(
    kills,
    warm,
    inbox,
    quick_folder,
    clean,
    place_of=lambda out: out / "ledger.sqlite",
    arguments=lambda _: (),
):
    killed, ratios = 0, []
    for share in _moments(kills, seed=1):
        home = Path(tempfile.mkdtemp(dir=quick_folder))
        out, count = home / "out", home / "work"
        command = ("draft", inbox, "--out", out, "--quiet", *arguments(out))
        killed += _killed_at(warm.start(*command, tricks=_tricks(count)), share * clean.seconds)
        place = place_of(out)
        if not isinstance(place, Path) or place.exists():
            sound(place)
        whole_or_absent(out, clean.files)

        again = warm.run(*command, tricks=_tricks(count))

        assert again.code == 0, again.told
        checked = sound(place)
        assert checked.counts["messages"] == {"kept": MESSAGES, "forgotten": 0}
        each_once(out, inbox, MESSAGES)
        assert files_of(out) == clean.files
        ratios.append(work_in(count) / clean.work)
        assert ratios[-1] <= MOST_MORE_WORK
        shutil.rmtree(home)
    assert killed >= kills * 0.6
    return {"kills": killed, "messages": MESSAGES, "most_work": round(max(ratios), 3)}


def test_a_batch_killed_at_any_moment_is_completed_by_the_next_run(warm, inbox, quick_folder, clean):
    note("a batch", **_batch(10, warm, inbox, quick_folder, clean))


@pytest.mark.torture
def test_a_batch_killed_very_often(warm, inbox, quick_folder, clean):
    note("a batch, long form", **_batch(180, warm, inbox, quick_folder, clean))


def test_a_batch_into_a_server_killed_at_any_moment(warm, inbox, quick_folder, clean, new_database):
    note("a batch into PostgreSQL", **_into_servers(3, warm, inbox, quick_folder, clean, new_database))


@pytest.mark.torture
def test_a_batch_into_a_server_killed_very_often(warm, inbox, quick_folder, clean, new_database):
    figures = _into_servers(20, warm, inbox, quick_folder, clean, new_database)
    note("a batch into PostgreSQL, long form", **figures)


def _into_servers(kills, warm, inbox, quick_folder, clean, new_database):
    addresses = {}

    def address(out):
        if out not in addresses:
            addresses[out] = new_database()
        return addresses[out]

    return _batch(kills, warm, inbox, quick_folder, clean, address, lambda out: ("--ledger", address(out)))


def _written_anew(kills, warm, inbox, quick_folder, clean):
    """Kill runs that have nothing left to draft, so that nearly all of each is the writing of its files."""
    out = quick_folder / "files"
    shutil.copytree(clean.out, out)
    command = ("draft", inbox, "--out", out, "--quiet")
    alone = warm.run(*command)
    assert alone.code == 0
    killed = 0
    for share in _moments(kills, seed=2):
        killed += _killed_at(warm.start(*command), share * alone.cpu_seconds)
        sound(out / "ledger.sqlite")
        whole_or_absent(out, clean.files)
    assert warm.run(*command).code == 0
    assert files_of(out) == clean.files
    shutil.rmtree(out)
    assert killed >= kills * 0.6
    return {"kills": killed, "messages": MESSAGES}


def test_files_are_whole_or_absent_when_their_writing_is_killed(warm, inbox, quick_folder, clean):
    figures = _written_anew(8, warm, inbox, quick_folder, clean)
    note("the writing of files", **figures)


@pytest.mark.torture
def test_files_are_whole_or_absent_when_their_writing_is_killed_very_often(warm, inbox, quick_folder, clean):
    figures = _written_anew(100, warm, inbox, quick_folder, clean)
    note("the writing of files, long form", **figures)


def test_what_a_killed_run_left_half_written_is_cleared_away_by_the_next(warm, inbox, quick_folder, clean):
    out = quick_folder / "left"
    shutil.copytree(clean.out, out)
    left = [out / ".sheet.html.999999.part", out / "replies" / ".one.eml.999999.part"]
    for file in left:
        file.write_text("half")

    assert warm.run("draft", inbox, "--out", out, "--quiet").code == 0

    assert [file.name for file in left if file.exists()] == []
    shutil.rmtree(out)


def _saves(kills, warm, quick_folder, clean):
    """Kill an editor's program at its saves; every save that it was told of is there, and none without its history."""
    # The logs of another test would tell of saves in another ledger.
    folder = quick_folder / f"saves-{kills}"
    folder.mkdir()
    place = folder / "desk.sqlite"
    shutil.copy(clean.out / "ledger.sqlite", place)
    chance = random.Random(3)
    acknowledged = kept = 0
    for number in range(kills):
        log = folder / f"saves-{number}"
        editor = warm.call("tests.faults.editor:work", [str(place), str(log), number])
        while not (log.exists() and log.stat().st_size) and number:
            time.sleep(0.001)
        time.sleep(chance.random() * 0.25)
        editor.kill()
        assert editor.wait() < 0, editor.told
        sound(place)
        told = log.read_text().splitlines() if log.exists() else []
        acknowledged += len(told)
        kept += _as_told(place, told)
    assert acknowledged > kills
    shutil.rmtree(folder)
    return {"kills": kills, "saves": acknowledged, "signed": kept}


def _as_told(place, told):
    """Every review is as its last acknowledged save left it, or one save further: the one that was under way."""
    last = dict(line.split("\t", 1) for line in told if line.endswith("."))
    ledger = open_ledger(place)
    signed = 0
    for question, rest in last.items():
        version, state, digest, _ = rest.split("\t")
        review = ledger.reviews.of(question)
        assert review.version in (int(version), int(version) + 1)
        if review.version == int(version):
            assert review.state == state
            assert digest_of_texts(ledger, question) == digest
            signed += review.is_signed
    ledger.close()
    return signed


def test_what_an_editor_saved_is_there_whenever_the_program_is_killed(warm, quick_folder, clean):
    note("what editors save", **_saves(18, warm, quick_folder, clean))


@pytest.mark.torture
def test_what_an_editor_saved_is_there_when_the_program_is_killed_very_often(warm, quick_folder, clean):
    note("what editors save, long form", **_saves(250, warm, quick_folder, clean))

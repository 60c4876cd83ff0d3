"""A full disk, a folder that is read only, a ledger in use: a clear message, a sound ledger, the rest on the next run."""

from __future__ import annotations

import os
import shutil
import sqlite3
import subprocess
import time

import pytest

from tests.faults.after import clear, each_once, files_of, sound, until, whole_or_absent
from tests.faults.conftest import CHUNK, MESSAGES

USED_ELSEWHERE = 0.4
DISK_KIB = 8000
SMALL = [("small_chunks", CHUNK)]


@pytest.fixture(scope="module")
def whole(warm, inbox, quick_folder):
    """The files of a run that nothing disturbs."""
    out = quick_folder / "undisturbed"
    assert warm.run("draft", inbox, "--out", out, "--quiet", tricks=SMALL).code == 0
    return files_of(out)


@pytest.fixture
def small_disk(folder):
    """A disk of eight megabytes."""
    disk = folder / "disk"
    disk.mkdir()
    mounted = os.geteuid() == 0 and (
        subprocess.run(
            ["mount", "-t", "tmpfs", "-o", f"size={DISK_KIB}k", "tmpfs", str(disk)],
            capture_output=True,
            check=False,
        ).returncode
        == 0
    )
    if not mounted:
        pytest.skip("no small disk can be mounted here; the full disk is tried by a limit alone")
    yield disk
    subprocess.run(["umount", "-l", str(disk)], check=True)


def _completed(warm, inbox, out, whole, *arguments):
    again = warm.run("draft", inbox, "--out", out, "--quiet", *arguments, tricks=SMALL)
    assert again.code == 0, again.told
    each_once(out, inbox, MESSAGES)
    assert files_of(out) == whole


@pytest.mark.parametrize("free_kib", [150, 500, 900, 1400, 2100])
def test_a_full_disk_is_named_and_the_next_run_does_the_rest(warm, inbox, whole, small_disk, free_kib):
    ballast = small_disk / "ballast"
    ballast.write_bytes(b"x" * 1024 * (DISK_KIB - free_kib))
    out = small_disk / "out"

    full = warm.run("draft", inbox, "--out", out, "--quiet", tricks=SMALL)

    assert full.code in (1, 2), full.told
    clear(full.told)
    assert "disk" in full.told
    ballast.unlink()
    if (out / "ledger.sqlite").exists() and (out / "ledger.sqlite").stat().st_size:
        sound(out / "ledger.sqlite")
    whole_or_absent(out, whole)
    assert list(out.rglob("*.part")) == []
    _completed(warm, inbox, out, whole)


@pytest.mark.parametrize("pages", [60, 90, 120])
def test_a_ledger_that_cannot_grow_is_named_and_the_next_run_does_the_rest(warm, inbox, whole, folder, pages):
    out = folder / "out"

    full = warm.run("draft", inbox, "--out", out, "--quiet", tricks=[*SMALL, ("no_more_pages", pages)])

    assert full.code == 2, full.told
    clear(full.told)
    assert "disk" in full.told
    assert "un the same command again" in full.told
    kept = sound(out / "ledger.sqlite").counts["messages"]["kept"]
    assert 0 <= kept < MESSAGES
    _completed(warm, inbox, out, whole)


def test_files_that_cannot_be_written_are_named_and_the_old_ones_stay(warm, inbox, whole, folder):
    out = folder / "out"
    _completed(warm, inbox, out, whole)
    (out / "drafts.jsonl").unlink()

    full = warm.run("draft", inbox, "--out", out, "--quiet", tricks=[("no_file_larger", 150_000)])

    assert full.code in (1, 2), full.told
    clear(full.told)
    assert "drafts.jsonl" in full.told
    whole_or_absent(out, whole)
    _completed(warm, inbox, out, whole)


@pytest.fixture
def nobody(folder):
    """Tricks by which a folder that one may not write into is truly that, for root too."""
    yield [("as_nobody",)] if os.geteuid() == 0 else []
    for one in folder.rglob("*"):
        if one.is_dir():
            one.chmod(0o755)


def test_a_folder_that_is_read_only_is_named_at_once(warm, inbox, folder, nobody):
    out = folder / "out"
    out.mkdir()
    out.chmod(0o555)
    began = time.monotonic()

    refused = warm.run("draft", inbox, "--out", out, "--quiet", tricks=nobody)

    assert refused.code == 2, refused.told
    clear(refused.told)
    assert str(out) in refused.told
    assert list(out.iterdir()) == []
    assert time.monotonic() - began < 20


def test_a_folder_that_became_read_only_is_named_and_the_ledger_elsewhere_keeps_all(
    warm, inbox, whole, folder, nobody
):
    out, place = folder / "out", folder / "kept" / "ledger.sqlite"
    place.parent.mkdir()
    place.parent.chmod(0o777)
    out.mkdir()
    out.chmod(0o555)

    refused = warm.run("draft", inbox, "--out", out, "--ledger", place, "--quiet", tricks=[*nobody, *SMALL])

    assert refused.code in (1, 2), refused.told
    clear(refused.told)
    assert str(out) in refused.told
    sound(place)
    out.chmod(0o755)
    _completed(warm, inbox, out, whole, "--ledger", place)


def test_a_ledger_that_is_read_only_is_named_and_stays(warm, inbox, whole, folder, nobody):
    out, kept = folder / "out", folder / "kept"
    kept.mkdir()
    assert (
        warm.run("draft", inbox, "--out", out, "--ledger", kept / "a.sqlite", "--quiet", tricks=SMALL).code
        == 0
    )
    before = (kept / "a.sqlite").read_bytes()
    (kept / "a.sqlite").chmod(0o444)
    kept.chmod(0o555)
    (folder / "more").mkdir()
    shutil.copy(inbox / "many.jsonl", folder / "more")
    with (folder / "more" / "many.jsonl").open("a") as file:
        file.write('{"id": "new", "text": "Will a 40 mm tyre fit a rim 25 mm inside?"}\n')
    (folder / "other").mkdir()
    (folder / "other").chmod(0o777)

    refused = warm.run(
        "draft",
        folder / "more",
        "--out",
        folder / "other",
        "--ledger",
        kept / "a.sqlite",
        "--quiet",
        tricks=nobody,
    )

    assert refused.code == 2, refused.told
    clear(refused.told)
    assert "a.sqlite" in refused.told
    assert (kept / "a.sqlite").read_bytes() == before


# ---- in use --------------------------------------------------------------------------------------------


@pytest.fixture
def begun(warm, inbox, folder):
    """A ledger with a first message, and a connection that holds it."""
    place = folder / "ledger.sqlite"
    (folder / "first").mkdir()
    (folder / "first" / "one.txt").write_text("Will a 40 mm tyre fit a rim 25 mm inside?\n")
    assert (
        warm.run("draft", folder / "first", "--out", folder / "first-out", "--ledger", place, "--quiet").code
        == 0
    )
    holder = sqlite3.connect(place, isolation_level=None)
    yield place, holder
    holder.close()


def test_a_ledger_in_use_is_told_at_once_and_waited_for(warm, inbox, folder, begun):
    place, holder = begun
    holder.execute("BEGIN IMMEDIATE")
    waiting = warm.start("draft", inbox, "--out", folder / "out", "--ledger", place, "--quiet", tricks=SMALL)
    until(lambda: "in use" in waiting.told)
    assert "aiting" in waiting.told

    holder.execute("ROLLBACK")

    assert waiting.wait() == 0, waiting.told
    clear(waiting.told)
    each_once(folder / "out", inbox, MESSAGES)
    assert sound(place).counts["messages"]["kept"] == MESSAGES + 1


def test_a_ledger_that_stays_in_use_is_given_up_with_what_to_do(warm, inbox, folder, begun):
    place, holder = begun
    holder.execute("BEGIN IMMEDIATE")

    given_up = warm.run(
        "draft", inbox, "--out", folder / "out", "--ledger", place, "--quiet",
        tricks=[*SMALL, ("short_patience", USED_ELSEWHERE)],
    )  # fmt: skip

    holder.execute("ROLLBACK")
    assert given_up.code == 2
    clear(given_up.told)
    assert "in use" in given_up.told
    assert "un the same command again" in given_up.told
    sound(place)
    assert (
        warm.run("draft", inbox, "--out", folder / "out", "--ledger", place, "--quiet", tricks=SMALL).code
        == 0
    )
    each_once(folder / "out", inbox, MESSAGES)


def test_a_backup_of_a_ledger_in_use_does_not_wait(warm, folder, begun):
    place, holder = begun
    holder.execute("BEGIN IMMEDIATE")

    done = warm.run("ledger", "backup", folder / "kept.sqlite", "--ledger", place)

    holder.execute("ROLLBACK")
    assert done.code == 0, done.told
    assert sound(folder / "kept.sqlite").counts["messages"]["kept"] == 1

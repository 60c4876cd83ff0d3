"""The ledger on a real PostgreSQL server that the test starts by itself, on a socket in its own folder."""

from __future__ import annotations

import os
import pwd
import shutil
import subprocess
import tempfile
from pathlib import Path

import pytest

from triage.ledger import open_ledger
from triage.ledger.store import message_key

BINARIES = sorted(Path("/usr/lib/postgresql").glob("*/bin")) if Path("/usr/lib/postgresql").is_dir() else []


@pytest.fixture(scope="module")
def server():
    """An address of an empty database; `make test` installs Debian's server."""
    assert BINARIES, "no PostgreSQL server: run `make database`"
    home = Path(tempfile.mkdtemp(prefix="quillstem-pg-"))
    as_root = os.geteuid() == 0
    if as_root:
        owner = pwd.getpwnam("postgres")
        os.chown(home, owner.pw_uid, owner.pw_gid)

    def run(*command: str) -> None:
        prefix = ["runuser", "-u", "postgres", "--"] if as_root else []
        subprocess.run([*prefix, *command], check=True, capture_output=True, cwd=home, timeout=60)

    data = home / "data"
    run(str(BINARIES[-1] / "initdb"), "-D", str(data), "-A", "trust", "-U", "desk", "--no-sync", "-E", "UTF8")
    control = str(BINARIES[-1] / "pg_ctl")
    run(
        control,
        "-D",
        str(data),
        "-w",
        "-l",
        str(home / "log"),
        "-o",
        f"-k {home} -c listen_addresses='' -F",
        "start",
    )
    run(str(BINARIES[-1] / "createdb"), "-h", str(home), "-U", "desk", "show")
    yield f"postgresql://desk@/show?host={home}"
    run(control, "-D", str(data), "-m", "immediate", "stop")
    shutil.rmtree(home, ignore_errors=True)


def test_the_same_ledger_works_on_postgresql(server, message):
    one = message("Which oil – für die Kette?")
    line = {"question_id": "q1", "repeats_of": None, "is_question": True, "text": one.text, "script": "…",
            "topic": "tyres", "brief": None, "verdict": "explain", "safety": False, "flags": [], "received": None}  # fmt: skip
    ledger = open_ledger(server)
    ledger.keep([one], {message_key(one): [line]}, "v1")
    ledger.keep([one], {message_key(one): [line]}, "v1")
    ledger.close()

    again = open_ledger(server)

    assert again.counts() == (1, 1)
    assert again.drafted([message_key(one)], "v1") == {message_key(one)}
    assert [made["text"] for _, made in again.lines([message_key(one)])] == [one.text]
    assert again.earlier(besides=[]) == [("q1", one.text)]
    again.close()

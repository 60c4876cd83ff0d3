"""Ledgers for tests: one in a file, and one on a real PostgreSQL server that the tests start by themselves."""

from __future__ import annotations

import itertools
import os
import pwd
import shutil
import subprocess
import tempfile
from collections.abc import Callable
from pathlib import Path

import pytest

from triage.ledger import open_ledger

BINARIES = sorted(Path("/usr/lib/postgresql").glob("*/bin")) if Path("/usr/lib/postgresql").is_dir() else []


@pytest.fixture(scope="session")
def new_database():
    """Makes an empty database and gives its address; `make test` installs Debian's server."""
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
    numbers = itertools.count(1)

    def make() -> str:
        name = f"show{next(numbers)}"
        run(str(BINARIES[-1] / "createdb"), "-h", str(home), "-U", "desk", name)
        return f"postgresql://desk@/{name}?host={home}"

    yield make
    run(control, "-D", str(data), "-m", "immediate", "stop")
    shutil.rmtree(home, ignore_errors=True)


@pytest.fixture
def server(new_database: Callable[[], str]) -> str:
    """The address of an empty database."""
    return new_database()


@pytest.fixture(params=["sqlite", "postgresql"])
def ledger(request: pytest.FixtureRequest, tmp_path: Path):
    """A new ledger, in a file and on the server."""
    place = (
        tmp_path / "desk.sqlite" if request.param == "sqlite" else request.getfixturevalue("new_database")()
    )
    opened = open_ledger(place)
    yield opened
    opened.close()

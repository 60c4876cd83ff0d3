"""The warm program, inboxes, and a folder in which waiting for the disk costs nothing."""

from __future__ import annotations

import os
import shutil
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.faults.inbox import write_comments
from tests.faults.warm import Warm
from tests.triage.ledger.conftest import new_database, server  # noqa: F401

MESSAGES, CHUNK = 48, 4


@pytest.fixture(scope="session")
def warm() -> Iterator[Warm]:
    """The program with everything loaded."""
    program = Warm()
    yield program
    program.close()


@pytest.fixture(scope="session")
def inbox(quick_folder: Path) -> Path:
    """A folder with so many comments that a run takes twelve chunks."""
    folder = quick_folder / "inbox"
    folder.mkdir()
    write_comments(folder / "many.jsonl", MESSAGES)
    return folder


@pytest.fixture(scope="session")
def quick_folder() -> Iterator[Path]:
    """A folder in memory where there is one: a killed program does not ask what lies below the file system."""
    memory = Path("/dev/shm")
    home = tempfile.mkdtemp(
        prefix="quillstem-", dir=memory if memory.is_dir() and os.access(memory, os.W_OK) else None
    )
    Path(home).chmod(0o755)
    yield Path(home)
    shutil.rmtree(home, ignore_errors=True)


@pytest.fixture
def folder(quick_folder: Path) -> Iterator[Path]:
    """A new folder for one test."""
    home = Path(tempfile.mkdtemp(dir=quick_folder))
    home.chmod(0o755)
    yield home
    shutil.rmtree(home, ignore_errors=True)

"""A command that is suggested is named as the person called the program, so that it can be typed again."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

import triage.cli
from triage.cli.typed import bare, typed


@pytest.fixture
def program(tmp_path, monkeypatch):
    """A program that can be called, in a folder below the one we are in."""
    file = tmp_path / "own env" / "bin" / "quillstem"
    file.parent.mkdir(parents=True)
    file.write_text("#!/bin/sh\n")
    file.chmod(0o755)
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("PATH", "/nowhere")
    return file


def test_by_its_path_from_here_where_the_shell_would_not_find_it(program, monkeypatch):
    monkeypatch.setattr(sys, "argv", [str(program), "draft"])

    assert typed("desk") == "`'own env/bin/quillstem' desk`"
    assert bare() == "'own env/bin/quillstem'"


def test_by_its_whole_path_from_elsewhere(program, monkeypatch):
    monkeypatch.setattr(sys, "argv", [str(program), "draft"])
    monkeypatch.chdir("/")

    assert bare("desk") == f"'{program}' desk".replace("'/", "'", 1)


def test_by_its_name_where_the_shell_finds_it(program, monkeypatch):
    monkeypatch.setattr(sys, "argv", [str(program), "draft"])
    monkeypatch.setenv("PATH", str(program.parent))

    assert typed("desk") == "`quillstem desk`"


def test_with_its_path_where_the_shell_would_find_another(program, monkeypatch, tmp_path):
    other = tmp_path / "other" / "quillstem"
    other.parent.mkdir()
    other.write_text("#!/bin/sh\n")
    other.chmod(0o755)
    monkeypatch.setattr(sys, "argv", [str(program), "draft"])
    monkeypatch.setenv("PATH", str(other.parent))

    assert bare("desk") == "'own env/bin/quillstem' desk"


def test_in_the_folder_itself_it_has_the_dot_that_a_shell_wants(program, monkeypatch):
    monkeypatch.chdir(program.parent)
    monkeypatch.setattr(sys, "argv", ["quillstem", "draft"])

    assert bare("desk") == "./quillstem desk"


def test_as_a_module_where_it_was_called_as_one(monkeypatch):
    monkeypatch.setattr(sys, "argv", [str(Path(triage.cli.__file__).with_name("__main__.py")), "draft"])
    monkeypatch.setenv("PATH", "")

    assert bare("desk").endswith(" -m triage.cli desk")
    assert Path(bare("desk").split()[0]).name.startswith("python")


def test_called_within_another_program_it_is_the_name_that_people_know(monkeypatch):
    monkeypatch.setattr(sys, "argv", ["/somewhere/pytest"])

    assert typed("desk") == "`quillstem desk`"


def test_what_is_suggested_can_be_typed(tmp_path):
    """The command that a run suggests is run as it was written."""
    called = Path(sys.executable).with_name("quillstem")
    missing = tmp_path / "none.sqlite"

    told = subprocess.run(
        [called, "recall", "iso-286", "--ledger", str(missing)], capture_output=True, text=True, check=False
    ).stderr
    suggested = told.split("first: ")[1].split(" draft ")[0]
    again = subprocess.run(f"{suggested} --version", shell=True, capture_output=True, text=True, check=True)

    assert again.stdout.startswith("quillstem, version")

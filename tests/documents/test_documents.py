"""README and DEVELOPERS stay true."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import pytest

from knowledge.load import load
from tests.conftest import ROOT

README = (ROOT / "README.md").read_text(encoding="utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")


def test_the_two_commands_of_the_readme_are_targets_of_the_makefile():
    makefile = (ROOT / "Makefile").read_text(encoding="utf-8")

    for command in re.findall(r"^make (\w+)", README + DEVELOPERS, re.MULTILINE):
        assert re.search(rf"^{command}:", makefile, re.MULTILINE), command


@pytest.mark.parametrize("command", ["draft", "figure", "knowledge check", "knowledge book"])
def test_every_command_named_has_help_with_an_example(command):
    done = subprocess.run(
        [sys.executable, "-m", "triage.cli", *command.split(), "--help"],
        capture_output=True,
        text=True,
        check=False,
    )

    assert done.returncode == 0
    assert "Example" in done.stdout
    assert f"quillstem {command}" in README + DEVELOPERS


def test_every_option_of_draft_has_its_example():
    done = subprocess.run(
        [sys.executable, "-m", "triage.cli", "draft", "--help"], capture_output=True, text=True, check=True
    )
    options = re.findall(r"^  (?:-\w, )?(--[a-z]+)", done.stdout, re.MULTILINE)

    for option in set(options) - {"--help"}:
        assert re.search(rf"Example:\s+{option}", done.stdout), option


def test_the_stages_in_the_map_are_the_stages_of_the_pipeline():
    line = next(line for line in DEVELOPERS.splitlines() if line.strip().startswith("read split"))
    source = (ROOT / "triage" / "pipeline.py").read_text(encoding="utf-8")
    called = re.findall(r"= ([a-z]\w*)\((?:messages|questions|classified|extracted|matched)\b", source)

    assert line.split() == ["read", *called, "draft", "group"]


def test_knowledge_never_imports_triage_and_no_stage_imports_another():
    for file in (ROOT / "knowledge").rglob("*.py"):
        assert not re.search(r"^\s*(?:from|import) triage", file.read_text(encoding="utf-8"), re.MULTILINE), (
            file
        )
    stages = [
        "read",
        "split",
        "sift",
        "heed",
        "group",
        "classify",
        "regroup",
        "pinpoint",
        "extract",
        "match",
        "decide",
        "draft",
    ]
    for stage in stages:
        files = [ROOT / "triage" / f"{stage}.py", *(ROOT / "triage" / stage).glob("*.py")]
        for file in filter(Path.is_file, files):
            for imported in re.findall(
                r"^from triage\.(\w+)", file.read_text(encoding="utf-8"), re.MULTILINE
            ):
                assert imported == stage or imported not in stages, f"{file.name} imports {imported}"


def test_every_topic_word_is_one_of_the_nine():
    knowledge = load()

    assert list(knowledge.topics) == [
        "drivetrain", "cranks", "bearings", "tyres", "wheels", "brakes", "lubrication", "frame-fit", "other",
    ]  # fmt: skip
    assert all(brief.topic in knowledge.topics for brief in knowledge.briefs.values())


def test_nothing_in_the_repository_names_a_registry_or_a_path_of_a_machine():
    tracked = subprocess.run(
        ["git", "ls-files"], capture_output=True, text=True, cwd=ROOT, check=False
    ).stdout.splitlines()
    hosts = re.compile("py" + r"pi\.org|registry\.npm" + r"js|deb\.deb" + r"ian\.org|/wo" + "rk/")

    for name in tracked:
        file = ROOT / name
        if file.suffix in (".csv", ".md", ".py", ".yaml", ".toml", ".txt", ".html") and file.is_file():
            assert not hosts.search(file.read_text(encoding="utf-8", errors="replace")), name

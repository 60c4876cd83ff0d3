"""`--verbose` and `--log-json`: what is done, told in words and as JSON lines."""

from __future__ import annotations

import json
import logging
import os
from datetime import datetime

import click
import pytest
from click.testing import CliRunner
from rich.console import Console

from triage.cli.logs import LOGS, set_up
from triage.logs import event


@click.command()
@LOGS
def work(verbose, log_json):
    """Work a little."""
    set_up(verbose, log_json, Console(stderr=True))
    event("chunk kept", chunk=1, messages=500, drafts=812)
    logging.getLogger("elsewhere").warning("ida@riders.invalid wrote")
    event("page failed")
    click.echo("done")


def run(*words):
    return CliRunner().invoke(work, words)


def test_only_faults_of_ours_are_told_unasked():
    done = run()

    assert done.stdout == "done\n"
    assert [line[9:] for line in done.stderr.splitlines()] == ["page failed"]


def test_verbose_says_what_is_done_on_the_error_stream():
    done = run("--verbose")

    assert done.stdout == "done\n"
    assert [line[9:] for line in done.stderr.splitlines()] == [
        "chunk kept: chunk 1, messages 500, drafts 812",
        "trouble elsewhere",
        "page failed",
    ]


def test_json_lines_go_to_a_file_and_each_can_be_read_by_itself(tmp_path):
    file = tmp_path / "log.jsonl"

    run("--log-json", str(file))
    done = run("--log-json", str(file))

    lines = [json.loads(line) for line in file.read_text(encoding="utf-8").splitlines()]
    assert len(lines) == 6  # the second run's are added
    assert list(lines[0]) == ["time", "level", "where", "event", "chunk", "messages", "drafts"]
    assert datetime.fromisoformat(lines[0]["time"]).utcoffset().total_seconds() == 0
    assert [(one["level"], one["where"], one["event"]) for one in lines[:3]] == [
        ("info", "pipeline", "chunk kept"),
        ("warning", "elsewhere", "trouble elsewhere"),
        ("error", "desk", "page failed"),
    ]
    assert [line[9:] for line in done.stderr.splitlines()] == ["page failed"]


def test_json_lines_on_the_error_stream_stand_there_alone():
    done = run("--verbose", "--log-json", "-")

    assert [json.loads(line)["event"] for line in done.stderr.splitlines()] == [
        "chunk kept", "trouble elsewhere", "page failed",
    ]  # fmt: skip


def test_a_file_that_cant_be_written_is_told_before_the_work(tmp_path):
    done = run("--log-json", str(tmp_path / "none" / "log.jsonl"))

    assert done.exit_code == 2
    assert "it can't be written: No such file or directory" in done.stderr
    assert "Name a file in a folder that is there" in done.stderr
    assert "done" not in done.stdout


@pytest.mark.skipif(not os.path.exists("/dev/full"), reason="needs a device that is always full")  # noqa: PTH110
def test_a_full_disk_stops_the_log_and_not_the_work():
    done = run("--log-json", "/dev/full")

    assert done.exit_code == 0
    assert done.stdout == "done\n"
    assert done.stderr.count("The log can't be written any more: No space left on device.") == 1


def test_nothing_is_left_behind_when_the_command_has_ended():
    before = list(logging.getLogger().handlers)

    run("--verbose")

    assert logging.getLogger().handlers == before
    assert logging.getLogger("quillstem").level == logging.NOTSET


def test_the_help_gives_examples():
    text = " ".join(run("--help").stdout.split())

    assert "Example: --verbose" in text
    assert "Example: --log-json draft.log.jsonl, or --log-json -" in text

"""No input takes more than 5 s or 256 MiB, weighed in a process of its own."""

from __future__ import annotations

import json
import subprocess
import sys

import pytest

from tests.hostile import ROOT
from tests.hostile.inputs import HEAVY, IN_EVERY_RUN

MOST_SECONDS = 5.0
MOST_MEBIBYTES = 256


def _weigh(name, folder):
    path = folder / "input"
    path.write_bytes(HEAVY[name]())
    done = subprocess.run(
        [sys.executable, "-m", "tests.hostile.measure", str(path)],
        capture_output=True,
        text=True,
        cwd=ROOT,
        timeout=120,
        check=True,
    )
    path.unlink()
    return json.loads(done.stdout)


def _holds(told):
    assert told["messages"] + told["refusals"] > 0
    assert told["seconds"] < MOST_SECONDS
    assert told["mebibytes"] < MOST_MEBIBYTES
    assert not told["first_reason"].startswith("could not be read:")


@pytest.mark.parametrize("name", IN_EVERY_RUN)
def test_an_input_that_once_broke_the_bounds_keeps_them(tmp_path, name):
    _holds(_weigh(name, tmp_path))


@pytest.mark.torture
@pytest.mark.parametrize("name", [name for name in HEAVY if name not in IN_EVERY_RUN])
def test_no_heavy_input_breaks_the_bounds(tmp_path, name):
    _holds(_weigh(name, tmp_path))

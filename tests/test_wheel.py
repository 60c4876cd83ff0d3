"""The built wheel carries the knowledge base and the templates, and works from another folder."""

from __future__ import annotations

import os
import subprocess
import sys

from tests.conftest import ROOT


def test_the_wheel_drafts_a_message_without_the_repository(tmp_path):
    pip = [sys.executable, "-m", "pip", "--quiet", "--disable-pip-version-check"]
    subprocess.run(
        [*pip, "wheel", "--no-deps", "--wheel-dir", str(tmp_path / "wheel"), str(ROOT)], check=True
    )
    (wheel,) = (tmp_path / "wheel").glob("*.whl")
    home = tmp_path / "installed"
    subprocess.run([*pip, "install", "--no-deps", "--target", str(home), str(wheel)], check=True)
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    (elsewhere / "note.txt").write_text("Will a 32 mm tyre fit a rim that is 19 mm inside?")
    # The cache is shared: a sorter is found there by the digest of all it learns from, so a lacking file would tell.
    environment = {**os.environ, "PYTHONPATH": str(home)}

    place = subprocess.run(
        [sys.executable, "-c", "import knowledge; print(knowledge.__file__)"],
        capture_output=True, text=True, cwd=elsewhere, env=environment, check=True,
    )  # fmt: skip
    checked = subprocess.run(
        [sys.executable, "-m", "triage.cli", "knowledge", "check"],
        capture_output=True, text=True, cwd=elsewhere, env=environment, check=True,
    )  # fmt: skip
    drafted = subprocess.run(
        [sys.executable, "-m", "triage.cli", "draft", "note.txt"],
        capture_output=True, text=True, cwd=elsewhere, env=environment, check=False,
    )  # fmt: skip

    assert place.stdout.startswith(str(home))
    assert checked.stdout.startswith("All is well")
    assert drafted.returncode == 0, drafted.stderr
    assert "tyres/rim-width" in (elsewhere / "drafts" / "drafts.jsonl").read_text(encoding="utf-8")
    assert (elsewhere / "drafts" / "sheet.html").stat().st_size > 5000

"""`python -m tests.fuzz TARGET --seconds 60`: search, keep what breaks a promise, and say how much was tried."""

from __future__ import annotations

import argparse
import base64
import re
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from tests.fuzz.seeds import CORPUS, FOUND, LONGEST_SEED_BYTES, ROOT, found, kept, seeds
from tests.fuzz.targets import TARGETS

MOST_FOUND = 20
LONGEST_KEPT_BYTES, MOST_KEPT = 400, 120
"""Of the inputs that reach new ground the shortest are kept as a test."""


def main() -> int:
    """Search one target, or all of them one after another; exit 1 where something was found."""
    parser = argparse.ArgumentParser(prog="python -m tests.fuzz", description=__doc__)
    parser.add_argument("target", choices=[*TARGETS, "all"])
    parser.add_argument("--seconds", type=int, default=60, help="how long each target is searched")
    parser.add_argument("--keep", action="store_true", help="keep inputs that reach new ground as tests")
    given = parser.parse_args()
    names = list(TARGETS) if given.target == "all" else [given.target]
    return int(sum(_searched(name, given.seconds, given.keep) for name in names) > 0)


def _searched(name: str, seconds: int, keep: bool) -> int:
    folder = FOUND / name
    folder.mkdir(parents=True, exist_ok=True)
    before = len(found(name))
    with tempfile.TemporaryDirectory() as held:
        corpus = Path(held)
        started_from = [*seeds(name), *kept(name), *found(name)]
        for number, seed in enumerate(started_from):
            (corpus / f"seed-{number:04}").write_bytes(seed)
        runs, taken = _all_runs(name, seconds, corpus, folder)
        if keep:
            _keep(name, corpus)
    new = len(found(name)) - before
    print(
        f"{name}: {runs} inputs in {taken:.0f} s, {runs / taken:.0f} a second, from {len(started_from)} seeds; {new} found"
    )
    return new


def _all_runs(name: str, seconds: int, corpus: Path, folder: Path) -> tuple[int, float]:
    """Start again after each find, until the time is over; inputs tried, and the seconds of trying them."""
    runs, taken = 0, 0.0
    while taken < seconds and len(found(name)) < MOST_FOUND:
        left = max(1, round(seconds - taken))
        options = [
            f"-max_total_time={left}", f"-max_len={LONGEST_SEED_BYTES}", "-timeout=20", "-rss_limit_mb=2048",
            "-print_final_stats=1", f"-artifact_prefix={folder}/", str(corpus),
        ]  # fmt: skip
        started = time.monotonic()
        done = subprocess.run(
            [sys.executable, "-m", "tests.fuzz.search", name, *options],
            capture_output=True,
            text=True,
            errors="replace",
            cwd=ROOT,
            check=False,
        )
        taken += time.monotonic() - started
        told = re.search(r"number_of_executed_units:\s*(\d+)", done.stderr)
        runs += int(told[1]) if told else 0
        if done.returncode != 0:
            print(done.stdout[-3_000:], done.stderr[-300:], file=sys.stderr)
            if told is None:
                break
    return runs, taken


def _keep(name: str, corpus: Path) -> None:
    """Write the shortest inputs that the search added, one a line."""
    added = [file.read_bytes() for file in corpus.iterdir() if not file.name.startswith("seed-")]
    short = sorted({data for data in [*added, *kept(name)] if 0 < len(data) <= LONGEST_KEPT_BYTES})
    chosen = sorted(sorted(short, key=len)[:: max(1, len(short) // MOST_KEPT)][:MOST_KEPT])
    CORPUS.mkdir(exist_ok=True)
    lines = "".join(base64.b64encode(data).decode() + "\n" for data in chosen)
    (CORPUS / f"{name}.txt").write_text(lines, "ascii")


if __name__ == "__main__":
    sys.exit(main())

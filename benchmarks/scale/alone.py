"""Run a command on so many cores and no more, and see what it takes: time, cores' time, memory of all its processes."""

from __future__ import annotations

import json
import os
import re
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import psutil

SECONDS_BETWEEN_LOOKS = 0.5
THREADS = ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS", "NUMEXPR_NUM_THREADS")

_PLACE = re.compile(r"(?<![\w.])/(?:[^/\s'\"()]+/)+")


class CommandFailedError(Exception):
    """A measured command ended badly; says which, how, and its last words."""


@dataclass(frozen=True)
class Took:
    """What a command took: seconds on the clock, seconds of all its cores, and its memory at the worst moment.

    `peak_bytes` sums the memory of all processes, a page that several share in equal parts (PSS), so that what they share
    counts once.
    """

    seconds: float
    core_seconds: float
    peak_bytes: int
    processes: int
    output: str
    errors: str = ""


def run_alone(
    command: Sequence[str],
    cores: int = 1,
    good: Sequence[int] = (0,),
    on_look: Callable[[float], None] | None = None,
) -> Took:
    """Run a command pinned to so many cores, its numeric libraries held to one thread each.

    Raises:
        CommandFailedError: its exit code is none of the good ones.
    """
    ours = sorted(os.sched_getaffinity(0))[:cores]
    before = _children()
    with tempfile.TemporaryFile("w+") as out, tempfile.TemporaryFile("w+") as errors:
        began = time.perf_counter()
        process = subprocess.Popen(
            command,
            stdout=out,
            stderr=errors,
            env={**os.environ, **dict.fromkeys(THREADS, "1")},
            preexec_fn=lambda: os.sched_setaffinity(0, ours),
        )
        try:
            looked = _watched(process, began, on_look)
        finally:
            # An interrupted benchmark leaves nothing running behind it.
            for one in _family(process.pid) if process.poll() is None else ():
                with suppress(psutil.Error):
                    one.kill()
            process.wait()
        seconds = time.perf_counter() - began
        told, said = _read(out), _read(errors)
    if process.returncode not in good:
        raise CommandFailedError(f"{_named(command)} ended with {process.returncode}: {last_words(said)}")
    return Took(seconds, max(_children() - before, looked[0]), looked[1], looked[2], told, said)


def _named(command: Sequence[str]) -> str:
    """A command without the places of this machine."""
    return " ".join(Path(word).name if "/" in word else word for word in command)


def last_words(said: str) -> str:
    """The last line that a command said, without the places of this machine.

    >>> last_words("Traceback\\n  ...\\nImportError: no name 'a' (/home/me/a.py)\\n")
    "ImportError: no name 'a' (a.py)"
    """
    lines = [line.strip() for line in said.splitlines() if line.strip()]
    return _PLACE.sub("", lines[-1]) if lines else "nothing was said"


def _read(file: Any) -> str:
    file.seek(0)
    return str(file.read())


def _children() -> float:
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def _watched(
    process: subprocess.Popen[bytes], began: float, on_look: Callable[[float], None] | None
) -> tuple[float, int, int]:
    """Seconds of its cores, peak memory in bytes, and most processes at a time, looked at until it ends."""
    spent: dict[int, float] = {}
    peak = most = 0
    while process.poll() is None:
        resident, family = 0, _family(process.pid)
        for one in family:
            try:
                with one.oneshot():
                    resident += one.memory_full_info().pss
                    times = one.cpu_times()
                    spent[one.pid] = times.user + times.system
            except psutil.Error:
                continue
        peak, most = max(peak, resident), max(most, len(family))
        if on_look is not None:
            on_look(time.perf_counter() - began)
        time.sleep(SECONDS_BETWEEN_LOOKS)
    return sum(spent.values()), peak, most


def _family(pid: int) -> list[psutil.Process]:
    try:
        head = psutil.Process(pid)
        return [head, *head.children(recursive=True)]
    except psutil.Error:
        return []


def figures_of(module: str, *arguments: str) -> dict[str, Any]:
    """What a module of this package measures, in a process of its own on one core; `failed` holds why it could not."""
    try:
        took = run_alone([sys.executable, "-m", f"benchmarks.scale.{module}", *arguments])
    except CommandFailedError as fault:
        return {"failed": str(fault)}
    found: dict[str, Any] = json.loads(took.output.strip().splitlines()[-1])
    return {**found, "peak_bytes": took.peak_bytes}

"""A program that has everything loaded and starts others by forking: a command then begins in milliseconds, not seconds.

Each child is a process of its own that runs the real command line, in a session of its own so that it can be killed with
all that it started. `Warm` is the test's side of it.
"""

from __future__ import annotations

import importlib
import json
import os
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

ROOT = Path(__file__).parent.parent.parent
SECONDS = 120
"""After so long a child counts as stuck, and the test fails."""
Trick = tuple[Any, ...]
"""The name of a function of `tricks` and its arguments; it is called in the child before anything else."""


@dataclass
class Running:
    """One child: where its words go, and how it ended; minus the signal's number where one killed it."""

    warm: Warm
    pid: int
    folder: Path
    code: int | None = None
    cpu_seconds: float = 0.0

    def kill_after(self, cpu_seconds: float, number: int = signal.SIGKILL) -> None:
        """Kill it once it has worked for so long: by its own time, so that a busy machine does not move the moment.

        One that has ended before is left alone.
        """
        while self._worked() < cpu_seconds:
            time.sleep(0.001)
        self.kill(number)

    def _worked(self) -> float:
        fields = Path(f"/proc/{self.pid}/stat").read_text().rpartition(")")[2].split()
        if fields[0] == "Z":
            return float("inf")
        return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")

    def kill(self, number: int = signal.SIGKILL) -> None:
        """Send a signal to the child and to all that it started."""
        os.killpg(self.pid, number)

    def wait(self) -> int:
        """Its exit code, once it has ended."""
        if self.code is None:
            self.code, self.cpu_seconds = self.warm.ended(self.pid)
        return self.code

    @property
    def said(self) -> str:
        """Its standard output."""
        return (self.folder / "out").read_text(encoding="utf-8")

    @property
    def told(self) -> str:
        """Its error stream."""
        return (self.folder / "err").read_text(encoding="utf-8")


class Warm:
    """The program with everything loaded; it ends with the test session."""

    def __init__(self) -> None:
        self._home = tempfile.TemporaryDirectory(prefix="quillstem-warm-")
        Path(self._home.name).chmod(0o777)
        self._program = subprocess.Popen(
            [sys.executable, "-m", "tests.faults.warm"],
            cwd=ROOT,
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
        )
        self._count = 0
        assert self._read() == {"ready": True}

    def start(self, *arguments: str | Path, tricks: Sequence[Trick] = ()) -> Running:
        """Start `quillstem` with these arguments."""
        return self.call("tests.faults.warm:command", [str(one) for one in arguments], tricks)

    def call(self, function: str, arguments: Sequence[Any], tricks: Sequence[Trick] = ()) -> Running:
        """Start a function "module:name" of the tests."""
        self._count += 1
        folder = Path(self._home.name) / str(self._count)
        folder.mkdir()
        folder.chmod(0o777)
        for name in ("out", "err"):
            (folder / name).touch()
        self._write({"call": function, "arguments": arguments, "tricks": tricks, "folder": str(folder)})
        return Running(self, self._read()["pid"], folder)

    def run(self, *arguments: str | Path, tricks: Sequence[Trick] = ()) -> Running:
        """Start `quillstem` and wait for its end."""
        running = self.start(*arguments, tricks=tricks)
        running.wait()
        return running

    def ended(self, pid: int) -> tuple[int, float]:
        """The exit code of a child, once it has ended, and how many seconds it worked."""
        self._write({"wait": pid})
        answer = self._read()
        assert "code" in answer, f"a program did not end within {SECONDS} s"
        return int(answer["code"]), float(answer["cpu"])

    def close(self) -> None:
        """End the program."""
        assert self._program.stdin is not None
        assert self._program.stdout is not None
        self._program.stdin.close()
        self._program.wait(30)
        self._program.stdout.close()
        self._home.cleanup()

    def _write(self, request: Mapping[str, Any]) -> None:
        assert self._program.stdin is not None
        self._program.stdin.write(json.dumps(request) + "\n")
        self._program.stdin.flush()

    def _read(self) -> dict[str, Any]:
        assert self._program.stdout is not None
        answer: dict[str, Any] = json.loads(self._program.stdout.readline())
        return answer


# ---- the other side ------------------------------------------------------------------------------------


def command(*arguments: str) -> int:
    """The command line, as the installed program calls it."""
    from triage.cli import main

    sys.argv = ["quillstem", *arguments]
    main.main(args=list(arguments), prog_name="quillstem")
    return 0


@dataclass
class _Kept:
    """What the program loaded once."""

    made: dict[str, Any] = field(default_factory=dict)

    def once(self, module: str, name: str) -> None:
        """Let a function with no arguments of its own give what it gave before."""
        owner = importlib.import_module(module)
        real = getattr(owner, name)

        def kept(*arguments: Any, **named: Any) -> Any:
            asked = {name: one for name, one in named.items() if not callable(one)}  # who is told of progress
            key = f"{name} {[getattr(one, 'digest', one) for one in arguments]} {asked}"
            if key not in self.made:
                self.made[key] = real(*arguments, **named)
            return self.made[key]

        setattr(owner, name, kept)


def _load() -> None:
    """Load all that a run needs, by a run over some messages."""
    kept = _Kept()
    kept.once("knowledge.load", "load")
    kept.once("knowledge.phrases", "load_phrases")
    kept.once("triage.sorter", "sorter_for")
    from tests.faults.inbox import write_comments

    with tempfile.TemporaryDirectory() as folder:
        inbox = write_comments(Path(folder) / "few.jsonl", 48)
        try:
            command("draft", str(inbox), "--out", f"{folder}/out", "--quiet")
        except SystemExit as end:
            if end.code:
                raise
        from tests.faults.editor import work

        work(f"{folder}/out/ledger.sqlite", f"{folder}/log", 1, most=40)
    importlib.import_module("triage.ledger.care")


def _child(request: Mapping[str, Any]) -> None:
    code = 1
    try:
        os.setsid()
        signal.signal(signal.SIGINT, signal.default_int_handler)
        folder = Path(request["folder"])
        for number, name in ((1, "out"), (2, "err")):
            file = os.open(folder / name, os.O_WRONLY)
            os.dup2(file, number)
        for name, *arguments in request["tricks"]:
            trick: Callable[..., None] = getattr(importlib.import_module("tests.faults.tricks"), name)
            trick(*arguments)
        module, _, name = request["call"].partition(":")
        code = getattr(importlib.import_module(module), name)(*request["arguments"]) or 0
    except SystemExit as end:
        code = end.code if isinstance(end.code, int) else 1
    except KeyboardInterrupt:
        code = 130
        print("KeyboardInterrupt", file=sys.stderr)
    except BaseException:
        import traceback

        traceback.print_exc()
    finally:
        sys.stdout.flush()
        sys.stderr.flush()
        os._exit(code)


def _wait(pid: int) -> dict[str, Any]:
    end = time.monotonic() + SECONDS
    while time.monotonic() < end:
        done, status, used = os.wait4(pid, os.WNOHANG)
        if done:
            return {"code": os.waitstatus_to_exitcode(status), "cpu": used.ru_utime + used.ru_stime}
        time.sleep(0.002)
    os.killpg(pid, signal.SIGKILL)
    os.waitpid(pid, 0)
    return {"stuck": True}


def serve() -> None:
    """Start and wait for children as it is asked, a line of JSON each, until nobody asks any more."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    answers = os.fdopen(os.dup(1), "w")
    os.dup2(2, 1)
    _load()
    print(json.dumps({"ready": True}), file=answers, flush=True)
    for line in sys.stdin:
        request = json.loads(line)
        if "wait" in request:
            answer = _wait(request["wait"])
        else:
            pid = os.fork()
            if pid == 0:
                _child(request)
            answer = {"pid": pid}
        print(json.dumps(answer), file=answers, flush=True)


if __name__ == "__main__":
    serve()

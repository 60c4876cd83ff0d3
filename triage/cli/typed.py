"""Commands as the person at this terminal would type them again."""

from __future__ import annotations

import os
import shlex
import shutil
import sys
from pathlib import Path

NAME = "quillstem"


def typed(words: str = "") -> str:
    """A command that is suggested, with the program in front as it was called: `.venv/bin/quillstem desk`.

    Between backticks, so that it can be told from the sentence around it.

    >>> typed("desk")
    '`quillstem desk`'
    """
    return f"`{bare(words)}`"


def bare(words: str = "") -> str:
    """The same without the backticks, for a line of its own."""
    return f"{_program()} {words}".rstrip()


def _program() -> str:
    called = Path(sys.argv[0])
    if called == Path(__file__).with_name("__main__.py"):
        return f"{_shown(sys.executable)} -m triage.cli"
    # Called from within another program, such as a test, it is the command that people know.
    return _shown(sys.argv[0]) if called.stem == NAME else NAME


def _shown(program: str) -> str:
    """The program's bare name where the shell finds this one by it; else its path, from this folder if it is below it."""
    name = Path(program).name
    found = shutil.which(name)
    if found is not None and _is_same(found, program):
        return shlex.quote(name)
    path = Path(program)
    try:
        shown = path.relative_to(Path.cwd()) if path.is_absolute() else path
    except (ValueError, OSError):
        shown = path
    return shlex.quote(str(shown) if os.sep in str(shown) else f".{os.sep}{shown}")


def _is_same(one: str, other: str) -> bool:
    try:
        return Path(one).samefile(other)
    except OSError:
        return False

"""The options of a command that tell what is done, and where it is told: in words, as JSON lines, or both."""

from __future__ import annotations

import logging
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any, TextIO, TypeVar

import click
from rich.console import Console

from triage.logs import LOUD, QUIET, ROOT, Told, told_of

ERROR_STREAM = "-"
Command = TypeVar("Command", bound=Callable[..., Any])
_VERBOSE = click.option(
    "--verbose", is_flag=True, help="Say on the error stream what is done, step by step.  Example: --verbose"
)
_LOG_JSON = click.option(
    "--log-json", "log_json", metavar="FILE",
    help="Add what is done to a file, a JSON object a line; - is the error stream. Neither this nor --verbose ever "
    "tells a rider's name, address or words.  Example: --log-json draft.log.jsonl, or --log-json -",
)  # fmt: skip


def LOGS(command: Command) -> Command:  # noqa: N802 - it stands among the decorators LEDGER and OWN_FOLDER
    """Give a command the options `verbose` and `log_json`, to be handed to `set_up`."""
    return _VERBOSE(_LOG_JSON(command))


def set_up(verbose: bool, log_json: str | None, console: Console | None = None) -> None:
    """Begin to tell what is done, until the command that is running ends. Call it once, before the work.

    Without either, only faults of ours are told. `console` is the one that shows progress, so that lines and bar don't
    overwrite each other.

    Raises:
        click.UsageError: the file can't be written.
    """
    _take_down()
    in_words = None if log_json == ERROR_STREAM else _InWords(console or Console(stderr=True))
    as_json = _json_handler(log_json) if log_json is not None else None
    if in_words is not None:
        _put_up(in_words, QUIET if verbose else LOUD)
    if as_json is not None:
        _put_up(as_json, QUIET)
    logging.getLogger(ROOT).setLevel(QUIET if verbose or as_json else LOUD)
    context = click.get_current_context(silent=True)
    if context is not None:
        context.call_on_close(_take_down)


def _put_up(handler: logging.Handler, level: int) -> None:
    guarded = _Guarded(handler)
    guarded.setLevel(level)
    logging.getLogger().addHandler(guarded)


def _take_down() -> None:
    root = logging.getLogger()
    for handler in [one for one in root.handlers if isinstance(one, _Guarded)]:
        root.removeHandler(handler)
        handler.close()
    logging.getLogger(ROOT).setLevel(logging.NOTSET)


class _Guarded(logging.Handler):
    """Hands on nothing of a record but what may be told; texts, arguments and tracebacks stay behind."""

    def __init__(self, inner: logging.Handler) -> None:
        super().__init__()
        self.inner = inner
        self.has_failed = False

    def emit(self, record: logging.LogRecord) -> None:
        """Tell what may be told; where that fails, say so once, for a log must not stop the work."""
        told = told_of(record)
        if told.where == "elsewhere" and record.levelno < logging.WARNING:
            return
        level = (
            "error"
            if record.levelno >= logging.ERROR
            else "warning"
            if record.levelno >= logging.WARNING
            else "info"
        )
        clean = {
            "name": told.where,
            "levelname": level,
            "created": record.created,
            "msecs": record.msecs,
            "msg": told,
        }
        try:
            self.inner.emit(logging.makeLogRecord(clean))
        except Exception as error:
            self._fail(error)

    def close(self) -> None:
        """Close what it writes to."""
        try:
            self.inner.close()
        except OSError as error:  # what could not be written before can't be now
            self._fail(error)
        super().close()

    def _fail(self, error: Exception) -> None:
        if not self.has_failed:
            self.has_failed = True
            why = error.strerror if isinstance(error, OSError) else None
            click.echo(f"The log can't be written any more: {why or type(error).__name__}.", err=True)


class _InWords(logging.Handler):
    """A line for people: the time of day, and what was done."""

    def __init__(self, console: Console) -> None:
        super().__init__()
        self.console = console

    def emit(self, record: logging.LogRecord) -> None:
        """Print it."""
        when = time.strftime("%H:%M:%S", time.localtime(record.created))
        self.console.print(f"{when} {record.msg}", markup=False, highlight=False, soft_wrap=True)


class _AsJson(logging.Handler):
    """A JSON object for each event, on a line of its own; `file` is None for the error stream."""

    def __init__(self, file: TextIO | None) -> None:
        from pythonjsonlogger.json import JsonFormatter

        super().__init__()
        self.file = file
        names = {"asctime": "time", "levelname": "level", "name": "where"}
        form = JsonFormatter(list(names), rename_fields=names, json_ensure_ascii=False)
        form.converter = time.gmtime
        form.default_time_format, form.default_msec_format = "%Y-%m-%dT%H:%M:%S", "%s.%03dZ"
        self.setFormatter(form)

    def emit(self, record: logging.LogRecord) -> None:
        """Write it, and let it be read at once."""
        assert isinstance(record.msg, Told)
        fields = {"event": record.msg.name, **record.msg.fields}
        line = self.format(logging.makeLogRecord({**record.__dict__, "msg": fields}))
        file = self.file or sys.stderr
        file.write(f"{line}\n")
        file.flush()

    def close(self) -> None:
        """Close the file; the error stream stays open."""
        if self.file is not None:
            self.file.close()
        super().close()


def _json_handler(place: str) -> _AsJson:
    if place == ERROR_STREAM:
        return _AsJson(None)
    try:
        return _AsJson(Path(place).open("a", encoding="utf-8"))
    except OSError as error:
        raise click.UsageError(
            f"--log-json {place}: it can't be written: {error.strerror or type(error).__name__}.\n"
            "    Name a file in a folder that is there, or - for the error stream."
        ) from error

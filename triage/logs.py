"""What may be said in a log: named events with numbers and words of ours, and never a word of a rider.

Whoever has something to log calls `event`. What is not listed here, by name and by kind, does not get through: it is left
out and counted, so that a slip costs a line of a log its content and nobody their privacy.
"""

from __future__ import annotations

import logging
import math
import re
import sys
import time
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from numbers import Integral, Real
from pathlib import Path
from types import MappingProxyType, TracebackType

ROOT = "quillstem"
HOMES = tuple(str(Path(__file__).resolve().parents[1] / name) + "/" for name in ("triage", "knowledge"))
MOST_PLACES = 4
MOST_DIGITS = 15
QUIET, LOUD = logging.INFO, logging.ERROR
"""Quiet events are for whoever asked to be told; a loud one is told without being asked for."""


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of event: which part of the program tells it, and how loudly."""

    where: str
    level: int = QUIET


EVENTS: Mapping[str, Kind] = MappingProxyType(
    {
        # The batch.
        "run began": Kind("pipeline"),
        "run ended": Kind("pipeline"),
        "run stopped": Kind("pipeline"),
        "knowledge read": Kind("pipeline"),
        "sorter ready": Kind("pipeline"),
        "input read": Kind("read"),
        "input refused": Kind("read"),
        "stage done": Kind("pipeline"),
        "chunk known": Kind("pipeline"),
        "chunk drafted": Kind("pipeline"),
        "chunk failed": Kind("pipeline"),
        "chunk tried again": Kind("pipeline"),
        "chunk kept": Kind("pipeline"),
        "message refused": Kind("pipeline"),
        "workers began": Kind("pipeline"),
        "worker lost": Kind("pipeline"),
        "repeats found": Kind("pipeline"),
        "grounds noted": Kind("review"),
        "sign-off lost": Kind("review"),
        "outputs written": Kind("output"),
        # What is kept.
        "ledger opened": Kind("ledger"),
        "ledger waited for": Kind("ledger"),
        "ledger upgraded": Kind("ledger"),
        "ledger checked": Kind("ledger"),
        "ledger backed up": Kind("ledger"),
        "ledger restored": Kind("ledger"),
        "rider forgotten": Kind("ledger"),
        # The desk, and what goes out.
        "desk opened": Kind("desk"),
        "desk closed": Kind("desk"),
        "search caught up": Kind("desk"),
        "page failed": Kind("desk", LOUD),
        "sending began": Kind("outbox"),
        "mail ended": Kind("outbox"),
        "sending ended": Kind("outbox"),
        "sending stopped": Kind("outbox"),
        # What is not ours to name.
        "trouble elsewhere": Kind("elsewhere", LOUD),
        "unnamed": Kind("elsewhere"),
    }
)
"""Every event there is. A new one is a line here; a name that is put together from text never gets in."""
NUMBERS = frozenset(
    {
        "asks", "briefs", "bytes", "calculations", "chunk", "chunks", "drafts", "earlier", "facts", "files", "found",
        "found_going", "input", "inputs", "jobs", "known", "left_out", "mails", "messages", "met_twice", "parts",
        "per_second", "port", "problems", "questions", "refused", "repeats", "replies", "riders", "rows", "seconds",
        "sent", "set_aside", "signed", "steps", "sources", "tries", "unclear", "version", "waiting", "workers",
        "is_behind_https", "is_cluster", "is_fresh", "is_kept", "is_whole", "has_mail_server",
    }
)  # fmt: skip
"""Fields that hold a number or a yes or no. `input` is the place of an input on the command line, from 1: its name may
be somebody's."""
WORDS: Mapping[str, frozenset[str]] = MappingProxyType(
    {
        "stage": frozenset(
            {
                "read", "split", "sort", "sift", "group", "classify", "extract", "match", "decide", "draft", "line",
                "keep", "write",
            }
        ),
        "kind": frozenset({"mbox", "maildir", "mail", "json", "table", "note", "folder", "unusable"}),
        "state": frozenset({"waiting", "going", "sent", "refused", "unclear", "elsewhere"}),
        "database": frozenset({"sqlite", "postgresql"}),
        "backend": frozenset({"alone", "loky", "dask"}),
        "why": frozenset({"interrupted", "disk full", "locked", "lost", "unreadable", "too large", "damaged", "changed"}),
    }
)  # fmt: skip
"""Fields that hold a word, and the words there are."""
IDS: Mapping[str, re.Pattern[str]] = MappingProxyType(
    {
        "question": re.compile(r"[0-9a-f]{16}(?:-[0-9]{1,6})?", re.ASCII),
        "message": re.compile(r"[0-9a-f]{32}", re.ASCII),
    }
)
"""Fields that hold a digest under which the ledger keeps something."""
_OWNERS = frozenset(
    {ROOT, "asyncio", "concurrent", "distributed", "joblib", "sqlalchemy", "starlette", "uvicorn"}
)
"""Whose troubles are named; those of others are told without a name."""
FAULT = "error"
"""The field that takes an exception: its type and where in our code it came from are told, its words never are."""


@dataclass(frozen=True, slots=True)
class Told:
    """One event as it may be told. It is made here alone, out of what was let through."""

    name: str
    where: str
    fields: Mapping[str, bool | int | float | str]

    def __str__(self) -> str:
        said = ", ".join(f"{_label(name)} {_plain(value)}" for name, value in self.fields.items())
        return f"{self.name}: {said}" if said else self.name


def event(name: str, /, **fields: object) -> None:
    """Tell that something was done, to whoever asked for logs; costs next to nothing where nobody did.

    The name is one of `EVENTS`, each field one of `NUMBERS`, `WORDS` or `IDS`; `error` takes an exception. Anything
    else is left out and counted in `left_out`. Never raises.

    >>> logger = logging.getLogger("quillstem"); handler = logging.StreamHandler(sys.stdout)
    >>> logger.addHandler(handler); logger.setLevel("INFO")
    >>> event("chunk kept", messages=500, drafts=812, seconds=1.2345)
    chunk kept: messages 500, drafts 812, seconds 1.234
    >>> event("chunk kept", messages="ana@riders.invalid", rider="Ana")
    chunk kept: left out 2
    >>> logger.removeHandler(handler); logger.setLevel("NOTSET")
    """
    known = isinstance(name, str) and name in EVENTS
    kind = EVENTS[name if known else "unnamed"]
    logger = logging.getLogger(f"{ROOT}.{kind.where}")
    if logger.isEnabledFor(kind.level):
        told = Told(name if known else "unnamed", kind.where, _let_through(fields))
        logger.log(kind.level, told)


@contextmanager
def timed(name: str, /, **fields: object) -> Iterator[None]:
    """Tell an event with the `seconds` that what stands below it took, once it has ended well."""
    begun = time.perf_counter()
    yield
    event(name, **fields, seconds=time.perf_counter() - begun)


def told_of(record: logging.LogRecord) -> Told:
    """What may be told of any record: an event of ours as it is; of all else whose it is, and the kind of fault."""
    if type(record.msg) is Told and not record.args:
        return record.msg
    fields: dict[str, bool | int | float | str] = {}
    owner = record.name.partition(".")[0]
    if owner in _OWNERS:
        fields["of"] = owner
    if record.exc_info and record.exc_info[1] is not None:
        fields.update(_fault(record.exc_info[1]))
    return Told("trouble elsewhere", "elsewhere", fields)


def _let_through(given: Mapping[str, object]) -> dict[str, bool | int | float | str]:
    fields: dict[str, bool | int | float | str] = {}
    left_out = 0
    for name, value in given.items():
        if name == FAULT and isinstance(value, BaseException):
            fields.update(_fault(value))
        elif (clean := _clean(name, value)) is not None:
            fields[name] = clean
        else:
            left_out += 1
    return {**fields, "left_out": left_out} if left_out else fields


def _clean(name: str, value: object) -> bool | int | float | str | None:
    if name in NUMBERS:
        return _number(value)
    if type(value) is str and (
        value in WORDS.get(name, ()) or (name in IDS and IDS[name].fullmatch(value) is not None)
    ):
        return value
    return None


def _number(value: object) -> bool | int | float | None:
    if isinstance(value, bool):
        return value
    if isinstance(value, Integral):
        # A longer one counts nothing of ours, and may have been read from a mail.
        whole = int(value)
        return whole if abs(whole) < 10**MOST_DIGITS else None
    if isinstance(value, Real):
        real = float(value)
        return round(real, 3) if math.isfinite(real) and abs(real) < 10**MOST_DIGITS else None
    return None


def _fault(error: BaseException) -> dict[str, bool | int | float | str]:
    """The type of a fault and where in our code it came from, the innermost place first."""
    places = _places(error.__traceback__)
    told: dict[str, bool | int | float | str] = {"error": _type_name(type(error))}
    return {**told, "place": " < ".join(places)} if places else told


def _type_name(kind: type[BaseException]) -> str:
    """The nearest type of a fault that stands in a module by its name; one made up while running is not told."""
    real = (
        one for one in kind.__mro__ if getattr(sys.modules.get(one.__module__), one.__name__, None) is one
    )
    return next(real, BaseException).__name__


def _places(traceback: TracebackType | None) -> list[str]:
    places = []
    while traceback is not None:
        file = traceback.tb_frame.f_code.co_filename
        home = next((home for home in HOMES if file.startswith(home)), None)
        if home is not None:
            within = file[len(home) - len(Path(home).name) - 1 :]
            places.append(f"{within}:{traceback.tb_lineno}")
        traceback = traceback.tb_next
    return places[::-1][:MOST_PLACES]


def _label(name: str) -> str:
    return name.removeprefix("is_").removeprefix("has_").replace("_", " ")


def _plain(value: bool | int | float | str) -> str:
    return str(value) if not isinstance(value, bool) else "yes" if value else "no"

"""A run over an inbox: read in chunks, worked by one process or many, kept by one writer.

Messages go by in laps of some chunks. The chunks of a lap are worked in any order and by anybody, and kept in their own, each
in one transaction. A message that writes about another one of its lap waits for the next, when that one is
kept; so the outcome hangs on nothing but the inbox, however many work at it.
"""

from __future__ import annotations

import gc
import signal
from collections import Counter, deque
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import AbstractContextManager, nullcontext, suppress
from dataclasses import dataclass, field, replace
from functools import lru_cache
from pathlib import Path
from typing import Any

import joblib
from joblib.externals.loky.process_executor import BrokenProcessPool

from triage.corrected import Correction
from triage.follow_ups import writes_again
from triage.group import repeats, sketched
from triage.ledger.rows import Asked, Chunk, Line, ask_of, draft_rows, message_key, message_row
from triage.ledger.store import Ledger
from triage.logs import event, timed
from triage.pipeline import Desk, followed_by, make_drafts
from triage.read import read
from triage.record_line import as_line
from triage.records import Message, Refusal
from triage.review.standing import stands_on

CHUNK = 500
"""Messages that are worked and kept together."""
LARGEST_CHUNK_CHARACTERS = 4_000_000
"""A chunk of longer messages is closed before it is full, so that memory stays bounded. [characters]"""
CHUNKS_IN_A_LAP = 16
SMALLEST_FOR_HELP = 2_000_000
"""An inbox below this is worked before other processes have started. [bytes]"""
CLUSTER_ANSWERS_SECONDS = 5
MOST_SHOWN = 200
"""Refusals that are kept in memory to be told at once; all of them are kept in the ledger."""


@dataclass(frozen=True)
class Setting:
    """What another process needs to set up the same desk: no more than can be sent to it in a moment."""

    own_folder: Path | None
    digest: str
    pace: float
    seconds: float | None = None
    taught: int = 0
    lessons: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True)
class Crew:
    """Who works the chunks: this process alone, so many others on this machine, or a Dask cluster."""

    workers: int = 1
    setting: Setting | None = None
    cluster: str | None = None

    @property
    def is_alone(self) -> bool:
        """Whether this process does all the work."""
        return self.setting is None or (self.workers <= 1 and self.cluster is None)

    @property
    def here(self) -> int:
        """How many processes of this machine may work."""
        return 1 if self.is_alone else max(self.workers, 1)


ALONE = Crew()


def crew_for(size: int, workers: int, setting: Setting, cluster: str | None = None) -> Crew:
    """Who is to work an inbox of so many bytes: for 0 workers one a core, where that is worth their start."""
    if workers == 0:
        workers = joblib.cpu_count() if size >= SMALLEST_FOR_HELP else 1
    return Crew(workers, setting, cluster)


@dataclass
class Run:
    """What one run met: its number in the ledger, the first refusals, and counts for the summary."""

    number: int
    refusals: list[Refusal] = field(default_factory=list)
    counts: Counter[str] = field(default_factory=Counter)

    def refuse(self, refusals: Iterable[Refusal]) -> None:
        """Count refusals, and keep the first ones to be told."""
        for refusal in refusals:
            self.counts["refused"] += 1
            if len(self.refusals) < MOST_SHOWN:
                self.refusals.append(refusal)


@dataclass(frozen=True)
class Task:
    """A chunk to be worked: its fresh messages, and what is kept already that they hang on."""

    messages: Sequence[Message]
    met: Sequence[tuple[int, str]]
    followed: Mapping[str, Line] = field(default_factory=dict)
    corrections: Mapping[str, Sequence[Correction]] = field(default_factory=dict)
    corrected_up_to: int = (1 << 31) - 1


def run(
    paths: Sequence[Path],
    desk: Desk,
    ledger: Ledger,
    columns: Mapping[str, str] | None = None,
    on_progress: Callable[[int], None] | None = None,
    crew: Crew = ALONE,
    on_kept: Callable[[int], None] = lambda _: None,
) -> Run:
    """Read, draft and keep everything under the paths; what was kept before is not made again.

    `on_progress` is told the bytes of each file that was read, `on_kept` the messages of each chunk that was kept.
    """
    ledger.leads.catch_up(_asked)
    done = Run(ledger.runs.begin())
    laps = _Laps(read(paths, columns, on_progress), desk, ledger, done)
    with _Workers(crew, desk) as workers:
        while laps.goes_on:
            for chunk in workers.worked(laps.lap()):
                with timed("chunk kept", messages=len(chunk.met), drafts=len(chunk.drafts)):
                    ledger.keep_chunk(chunk, done.number, repeats)
                done.refuse(chunk.refused)
                on_kept(len(chunk.met))
            laps.settle()
    return done


class _Laps:
    """The inbox as laps of tasks."""

    def __init__(self, items: Iterator[Message | Refusal], desk: Desk, ledger: Ledger, done: Run) -> None:
        self.items, self.desk, self.ledger, self.done = items, desk, ledger, done
        self.waiting: list[tuple[int, Message]] = []
        self.unread: list[Refusal] = []
        self.is_read = False
        self.place = 0

    @property
    def goes_on(self) -> bool:
        return not self.is_read or bool(self.waiting)

    def lap(self) -> Iterator[Task]:
        """The tasks of the next lap, each made when it is asked for."""
        waited, self.waiting = self.waiting, []
        lap = _Lap()
        chunk: list[tuple[int, Message]] = []
        size = made = 0
        for place, message in self._messages(waited, lap):
            if lap.is_about_another(message):
                self.waiting.append((place, message))
                continue
            lap.add(message)
            chunk.append((place, message))
            size += len(message.text)
            if len(chunk) >= CHUNK or size >= LARGEST_CHUNK_CHARACTERS:
                yield self._task(chunk)
                chunk, size, made = [], 0, made + 1
                if made >= CHUNKS_IN_A_LAP:
                    return
        if chunk:
            yield self._task(chunk)
        self.is_read = True

    def _messages(self, waited: Sequence[tuple[int, Message]], lap: _Lap) -> Iterator[tuple[int, Message]]:
        yield from waited
        for item in self.items:
            if isinstance(item, Refusal):
                self.unread.append(item)
                self.done.refuse([item])
                continue
            self.done.counts["messages"] += 1
            if lap.has_met(item):
                self.done.counts["same message again"] += 1
                continue
            self.place += 1
            yield self.place, item

    def _task(self, chunk: Sequence[tuple[int, Message]]) -> Task:
        keyed = [(place, message_key(message), message) for place, message in chunk]
        again = self.ledger.runs.met(self.done.number, [key for _, key, _ in keyed])
        self.done.counts["same message again"] += len(again)
        keyed = [one for one in keyed if one[1] not in again]
        known = self.ledger.drafted([key for _, key, _ in keyed], self.desk.made_with)
        fresh = [message for _, key, message in keyed if key not in known]
        self.done.counts["kept before"] += len(keyed) - len(fresh)
        beginnings = {message_key(message)[:16] for message in fresh}
        return Task(
            fresh,
            [(place, key) for place, key, _ in keyed],
            followed_by(fresh, self.ledger),
            {
                identity: some
                for identity, some in self.desk.corrections.items()
                if identity.partition("-")[0] in beginnings
            },
            self.desk.corrected_up_to,
        )

    def settle(self) -> None:
        """Keep what could not be read during the lap."""
        if self.unread:
            unread, self.unread = self.unread, []
            self.ledger.note_refused(self.done.number, unread)


class _Lap:
    """Who and what is in one lap, so that a message about another of it can be told."""

    def __init__(self) -> None:
        self.keys: set[str] = set()
        self.ids: set[str] = set()
        self.addresses: set[str] = set()

    def has_met(self, message: Message) -> bool:
        key = message_key(message)
        is_known = key in self.keys
        self.keys.add(key)
        return is_known

    def is_about_another(self, message: Message) -> bool:
        thread = {*message.references, *filter(None, [message.in_reply_to])} - {message.message_id}
        if thread & self.ids:
            return True
        return message.address in self.addresses and writes_again(message)

    def add(self, message: Message) -> None:
        self.ids.add(message.message_id)
        if message.address:
            self.addresses.add(message.address)


def work(task: Task, desk: Desk) -> Chunk:
    """A chunk worked through all stages, as the rows to keep."""
    refused: list[Refusal] = []
    lines: dict[str, list[Line]] = {message_key(message): [] for message in task.messages}
    if task.messages:
        desk = replace(desk, corrections=task.corrections)
        for made in make_drafts(task.messages, desk, refused, task.followed):
            lines[message_key(made.question.message)].append(as_line(made, desk.knowledge))
    drafted = [message for message in task.messages if lines[message_key(message)]]
    every = [line for some in lines.values() for line in some]
    return Chunk(
        desk.made_with,
        [message_row(message) for message in drafted],
        draft_rows(drafted, lines, desk.made_with),
        _asked([(line["question_id"], ask_of(line)) for line in every if line["is_question"]]),
        {line["question_id"]: stands_on(line, desk.knowledge) for line in every},
        refused,
        task.met,
        task.corrected_up_to,
    )


def _asked(questions: Sequence[tuple[str, str]]) -> list[Asked]:
    found = sketched([ask for _, ask in questions])
    return [Asked(identity, *one) for (identity, _), one in zip(questions, found, strict=True)]


# ---- other processes -----------------------------------------------------------------------------------


class _Workers:
    """Works tasks here or elsewhere, and gives the chunks in the tasks' order."""

    def __init__(self, crew: Crew, desk: Desk) -> None:
        self.crew, self.desk = crew, desk
        self.client: Any = None

    def __enter__(self) -> _Workers:
        if self.crew.cluster is not None:
            self.client = _client(self.crew.cluster)
        return self

    def __exit__(self, *_: object) -> None:
        if self.client is not None:
            self.client.close()

    def worked(self, tasks: Iterator[Task]) -> Iterator[Chunk]:
        if self.crew.is_alone:
            yield from (work(task, self.desk) for task in tasks)
            return
        in_hand: deque[Task] = deque()
        try:
            yield from self._together(_noted(tasks, in_hand), in_hand)
        except BrokenProcessPool:
            # What was kept stays; what was in hand is worked once more, and a chunk that breaks its worker again
            # message by message, so that it costs the one message that does it.
            event("worker lost", chunks=len(in_hand))
            while in_hand:
                yield self._apart(in_hand.popleft())
            yield from self.worked(tasks)

    def _together(self, tasks: Iterator[Task], in_hand: deque[Task]) -> Iterator[Chunk]:
        assert self.crew.setting is not None
        with self._backend():
            # A cluster has as many hands as it has; one alone would be this process.
            jobs = self.crew.workers if self.client is None else -1
            pool = joblib.Parallel(n_jobs=jobs, return_as="generator", pre_dispatch="2*n_jobs")
            for chunk in pool(joblib.delayed(_elsewhere)(self.crew.setting, task) for task in tasks):
                in_hand.popleft()
                yield chunk

    def _apart(self, task: Task) -> Chunk:
        with suppress(BrokenProcessPool):
            return self._alone_elsewhere(task)
        pieces = [self._one(replace(task, messages=[message], met=())) for message in task.messages]
        return Chunk(
            self.desk.made_with,
            [row for piece in pieces for row in piece.messages],
            [row for piece in pieces for row in piece.drafts],
            [one for piece in pieces for one in piece.asked],
            {identity: grounds for piece in pieces for identity, grounds in piece.grounds.items()},
            [refusal for piece in pieces for refusal in piece.refused],
            task.met,
            task.corrected_up_to,
        )

    def _one(self, task: Task) -> Chunk:
        with suppress(BrokenProcessPool):
            return self._alone_elsewhere(task)
        (message,) = task.messages
        lost = Refusal(
            message.source,
            message.item,
            "could not be drafted: the process that worked it was lost, twice",
            "The message is not lost: it is tried again on the next run. Is there memory enough? Please report it.",
        )
        return Chunk(self.desk.made_with, [], [], refused=[lost])

    def _alone_elsewhere(self, task: Task) -> Chunk:
        with self._backend():
            # Of one job this process itself would be the worker.
            (chunk,) = joblib.Parallel(n_jobs=max(self.crew.workers, 2))(
                [joblib.delayed(_elsewhere)(self.crew.setting, task)]
            )
        made: Chunk = chunk
        return made

    def _backend(self) -> AbstractContextManager[Any]:
        return joblib.parallel_config(backend="dask") if self.client is not None else nullcontext()


def _noted(tasks: Iterator[Task], in_hand: deque[Task]) -> Iterator[Task]:
    for task in tasks:
        in_hand.append(task)
        yield task


def _elsewhere(setting: Setting, task: Task) -> Chunk:
    """What a worker is sent: set the desk up once, then work chunk after chunk."""
    with suppress(ValueError):  # a cluster works in threads, which can't say how an interrupt is met
        signal.signal(signal.SIGINT, signal.SIG_IGN)
    return work(task, _desk_of(setting))


@lru_cache(maxsize=1)
def _desk_of(setting: Setting) -> Desk:
    from knowledge.load import load
    from knowledge.phrases import load_phrases
    from triage.sorter import sorter_for

    knowledge = load(setting.own_folder)
    if knowledge.digest != setting.digest:
        raise ValueError(
            "A worker has another knowledge base than the program that sent the work; nothing was drafted there.\n"
            "    Give every worker the same program and knowledge folder, then run the same command again."
        )
    sorter = sorter_for(knowledge, setting.lessons)
    phrases = load_phrases(setting.own_folder)
    here_to_stay()
    return Desk(knowledge, phrases, sorter, setting.pace, setting.taught, setting.seconds)


def here_to_stay() -> None:
    """Tell the collector of garbage that what is loaded by now stays, so that it doesn't look through it again and again."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(50_000, 20, 20)


def _client(address: str) -> Any:
    try:
        from distributed import Client
    except ImportError as error:
        raise ValueError(
            "--cluster needs the extra: pip install 'quillstem[cluster]', here and on every worker."
        ) from error
    try:
        return Client(address, timeout=CLUSTER_ANSWERS_SECONDS)
    except (OSError, TimeoutError, ValueError) as error:
        raise ValueError(
            f"--cluster {address}: no scheduler answers there.\n    Is it running, and is the address tcp://HOST:PORT?"
        ) from error

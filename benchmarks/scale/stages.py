"""What each stage costs: the stages called one by one over an inbox, chunk by chunk, as the batch strings them.

    python -m benchmarks.scale.stages INBOX

Prints one line of JSON, in seconds of the core. This is the one place here that knows the stages' order and what they take.
Follow-ups are looked up, but not read with what they follow.
"""

from __future__ import annotations

import json
import sys
import tempfile
import time
from collections import defaultdict
from collections.abc import Callable, Iterator, Sequence
from itertools import islice
from pathlib import Path
from typing import Any, TypeVar

T = TypeVar("T")
STAGES = (
    "read", "look up", "split", "sort", "sift", "classify", "extract", "match", "decide", "draft", "lines", "sketch", "keep and group",
    "outputs",
)  # fmt: skip


class Clock:
    """Seconds of the core by stage."""

    def __init__(self) -> None:
        self.seconds: dict[str, float] = defaultdict(float)

    def of(self, stage: str, work: Callable[[], T]) -> T:
        """What the work gives, its time counted for the stage."""
        start = time.process_time()
        done = work()
        self.seconds[stage] += time.process_time() - start
        return done


def measured(inbox: Path, folder: Path) -> dict[str, Any]:
    """Messages, questions, and seconds of the core by stage; a ledger and drafts are written below the folder."""
    from knowledge.load import load
    from knowledge.phrases import load_phrases
    from triage.ledger import open_ledger
    from triage.output import write_outputs
    from triage.pipeline import Desk
    from triage.sorter import sorter_for

    knowledge = load()
    desk = Desk(knowledge, load_phrases(), sorter_for(knowledge), 150.0)
    ledger = open_ledger(folder / "ledger.sqlite")
    run = ledger.runs.begin()
    clock, count, questions = Clock(), 0, 0
    for messages in _chunks(inbox, clock):
        questions += _chunk(messages, desk, ledger, run, count, clock)
        count += len(messages)
    clock.of("outputs", lambda: write_outputs(run, ledger, knowledge, folder))
    ledger.close()
    return {
        "messages": count,
        "questions": questions,
        "stages": {stage: clock.seconds[stage] for stage in STAGES},
    }


def _chunks(inbox: Path, clock: Clock) -> Iterator[list[Any]]:
    from triage.batch import CHUNK
    from triage.read import read
    from triage.records import Message

    found = iter(read([inbox]))
    while some := clock.of("read", lambda: list(islice(found, CHUNK))):
        yield [one for one in some if isinstance(one, Message)]


def _chunk(messages: Sequence[Any], desk: Any, ledger: Any, run: int, before: int, clock: Clock) -> int:
    """Take one chunk through the stages and keep it; how many questions it held."""
    from triage.classify import classify
    from triage.decide import decide
    from triage.draft import draft
    from triage.extract import extract
    from triage.group import repeats, sketched
    from triage.ledger.rows import Asked, Chunk, ask_of, draft_rows, message_key, message_row
    from triage.match import match
    from triage.pipeline import followed_by
    from triage.record_line import as_line
    from triage.review.standing import stands_on
    from triage.sift import sift
    from triage.split import split

    knowledge = desk.knowledge
    keys = [message_key(message) for message in messages]

    def looked_up() -> None:
        ledger.runs.met(run, keys)
        ledger.drafted(keys, desk.made_with)
        followed_by(messages, ledger)

    clock.of("look up", looked_up)
    questions = clock.of("split", lambda: split(messages))
    sorted_ = clock.of(
        "sort", lambda: desk.sorter.sort([q.text for q in questions], [q.context for q in questions])
    )
    sifted = clock.of("sift", lambda: sift(questions, sorted_))
    classified = clock.of("classify", lambda: classify(sifted, sorted_))
    extracted = clock.of("extract", lambda: extract(classified, knowledge))
    matched = clock.of("match", lambda: match(extracted, knowledge))
    findings = clock.of("decide", lambda: decide(matched, knowledge))
    drafts = clock.of("draft", lambda: draft(findings, knowledge, desk.phrases, desk.pace, desk.seconds))

    def as_rows() -> tuple[list[Any], list[Any], list[Any], dict[str, Any]]:
        lines: dict[str, list[Any]] = {key: [] for key in keys}
        for made in drafts:
            lines[message_key(made.question.message)].append(as_line(made, knowledge))
        every = [line for some in lines.values() for line in some]
        grounds = {line["question_id"]: stands_on(line, knowledge) for line in every}
        rows = [message_row(message) for message in messages]
        return every, rows, draft_rows(messages, lines, desk.made_with), grounds

    every, rows, drafted, grounds = clock.of("lines", as_rows)
    asks = [line for line in every if line["is_question"]]
    found = clock.of("sketch", lambda: sketched([ask_of(line) for line in asks]))
    asked = [Asked(line["question_id"], *one) for line, one in zip(asks, found, strict=True)]
    chunk = Chunk(desk.made_with, rows, drafted, asked, grounds, met=list(enumerate(keys, before)))
    clock.of("keep and group", lambda: ledger.keep_chunk(chunk, run, repeats))
    return len(asks)


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as beside:
        print(json.dumps(measured(Path(sys.argv[1]), Path(beside))))

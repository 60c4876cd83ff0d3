"""Repeats: how long a search among so many messages takes, and how many of the planted repeats it finds, kind by kind.

    python -m benchmarks.scale.repeats MESSAGES SEED

Prints one line of JSON. The asks go through the index of a real ledger, chunk after chunk as in a run; timed is the search
(sketching, looking up, comparing, noting new leads), not the keeping of the messages around it.
"""

from __future__ import annotations

import json
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from benchmarks.inbox import Composer, Rates, Written
from knowledge.load import load
from triage.ledger import open_ledger
from triage.ledger.rows import Asked, Chunk, draft_rows, message_key, message_row
from triage.records import Message

LONG_WORDS = 12
"""Repeats of so many words are told apart: a slip and a sign-off leave little of a shorter one."""


class Search:
    """The search as the batch does it, with a clock around it."""

    def __init__(self, ledger: Any) -> None:
        from triage.batch import CHUNK

        self.ledger, self.inner, self.chunk = ledger, ledger.leads, CHUNK
        self.seconds = self.core = 0.0
        self.leaders_found: dict[str, str] = {}
        # The ledger asks this one instead, inside its own transaction.
        ledger.leads = self

    def leaders(self, *given: Any) -> dict[str, str]:
        """What the ledger's own index finds, timed."""
        self._start()
        found: dict[str, str] = self.inner.leaders(*given)
        self._stop()
        self.leaders_found.update(found)
        return found

    def keep(self, messages: Sequence[Message]) -> None:
        """Sketch a chunk's asks, and keep them with the rows that a ledger wants around them."""
        from triage.group import repeats, sketched

        self._start()
        found = sketched([message.text for message in messages])
        self._stop()
        asked = [Asked(one.message_id, *sketch) for one, sketch in zip(messages, found, strict=True)]
        lines = {message_key(one): [_line(one)] for one in messages}
        rows = [message_row(one) for one in messages]
        self.ledger.keep_chunk(
            Chunk("benchmark", rows, draft_rows(messages, lines, "benchmark"), asked), None, repeats
        )

    def _start(self) -> None:
        self._began = time.perf_counter(), time.process_time()

    def _stop(self) -> None:
        self.seconds += time.perf_counter() - self._began[0]
        self.core += time.process_time() - self._began[1]


def _line(message: Message) -> dict[str, Any]:
    return {"question_id": message.message_id, "text": message.text, "is_question": True, "topic": "other", "brief": None,
            "verdict": "none", "safety": False, "flags": [], "received": None, "repeats_of": None}  # fmt: skip


def measured(count: int, seed: int, folder: Path) -> dict[str, Any]:
    """Seconds and recall for so many comments, chatter left out of the search as the pipeline does."""
    composer = Composer(load(), seed, Rates(mails=0.0))
    written = list(composer.messages(count))
    search = Search(open_ledger(folder / "ledger.sqlite"))
    asking = [one for one in written if one.asks]
    for start in range(0, len(asking), search.chunk):
        search.keep([_message(one) for one in asking[start : start + search.chunk]])
    search.ledger.close()
    return {
        "messages": count,
        "searched": len(asking),
        "seconds": search.seconds,
        "core_seconds": search.core,
        **_truth_of(written, search.leaders_found),
    }


def _truth_of(written: Sequence[Written], found: dict[str, str]) -> dict[str, Any]:
    planted = [one for one in written if one.repeats]
    kinds = Counter(one.repeat_kind for one in planted)
    caught = Counter(one.repeat_kind for one in planted if found[one.identity] == found[one.repeats])
    long = [one for one in planted if one.text.count(" ") + 1 >= LONG_WORDS]
    caught_long = sum(1 for one in long if found[one.identity] == found[one.repeats])
    briefs = {one.identity: one.brief for one in written}
    together = [one for one in written if one.asks and found[one.identity] != one.identity]
    return {
        "planted": dict(kinds),
        "recall": {kind: caught[kind] / kinds[kind] for kind in sorted(kinds)},
        "planted_repeats": len(planted),
        "long_words": LONG_WORDS,
        "planted_long": len(long),
        "recall_long": caught_long / max(len(long), 1),
        "put_together": len(together),
        "of_one_brief": sum(briefs[found[one.identity]] == one.brief for one in together)
        / max(len(together), 1),
        "largest_group": max(Counter(found.values()).values(), default=0),
    }


def _message(written: Written) -> Message:
    return Message(
        message_id=written.identity,
        channel="comment",
        received=None,
        author=written.author,
        rider=None,
        address=written.address,
        subject=None,
        text=written.text,
        source="benchmark",
        item="",
    )


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as beside:
        print(json.dumps(measured(int(sys.argv[1]), int(sys.argv[2]), Path(beside))))

"""The floor: the same files read, vectorised and sorted, and nothing else, in one process on one core.

    python -m benchmarks.scale.floor INBOX

Prints one line of JSON, in seconds of the core. Two sortings are told: each message as one text, which is the floor, and
each with its subject as the story around it, which is how the pipeline calls the sorter.
"""

from __future__ import annotations

import json
import sys
import time
from itertools import islice
from pathlib import Path
from typing import Any


def measured(inbox: Path) -> dict[str, Any]:
    """Messages and seconds of the core for reading and for each sorting."""
    from knowledge.load import load
    from triage.batch import CHUNK
    from triage.read import read
    from triage.records import Message
    from triage.sorter import sorter_for

    sorter = sorter_for(load())
    found = iter(read([inbox]))
    messages = 0
    reading = sorting = with_story = 0.0
    began = time.perf_counter()
    while True:
        start = time.process_time()
        some = [one for one in islice(found, CHUNK) if isinstance(one, Message)]
        reading += time.process_time() - start
        if not some:
            break
        messages += len(some)
        texts = [f"{message.subject or ''} {message.text}".strip() for message in some]
        start = time.process_time()
        sorter.sort(texts)
        sorting += time.process_time() - start
        # Second, so that it finds the words of these texts met already: told as the lower bound that it is.
        start = time.process_time()
        sorter.sort([message.text for message in some], [message.subject or "" for message in some])
        with_story += time.process_time() - start
    return {
        "messages": messages,
        "chunk": CHUNK,
        "read_seconds": reading,
        "sort_seconds": sorting,
        "sort_with_story_seconds": with_story,
        "seconds": time.perf_counter() - began,
    }


if __name__ == "__main__":
    print(json.dumps(measured(Path(sys.argv[1]))))

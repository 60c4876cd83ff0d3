"""`python -m tests.hostile.measure FILE`: read one file in this process and print what that took, as JSON.

Memory is the most that was held above what the process held before, with the readers warmed up on an ordinary mail.
"""

from __future__ import annotations

import json
import sys
import tempfile
import time
from pathlib import Path

from triage.read import read
from triage.records import Message

ORDINARY = (
    b"From: a@b.invalid\nMessage-ID: <1@b>\nMIME-Version: 1.0\nContent-Type: text/html\n\n<p>Which rim \xe4?"
)
_STATUS, _CLEAR = Path("/proc/self/status"), Path("/proc/self/clear_refs")


def main() -> None:
    """Read the file whose path is given."""
    with tempfile.NamedTemporaryFile(suffix=".eml") as ordinary:
        ordinary.write(ORDINARY)
        ordinary.flush()
        list(read([Path(ordinary.name)]))
    before = _held_bytes("VmRSS")
    _CLEAR.write_text("5")  # the highest mark begins anew; a parent's does not count
    started = time.process_time()
    messages = refusals = 0
    first = ""
    for found in read([Path(sys.argv[1])]):
        messages += isinstance(found, Message)
        refusals += not isinstance(found, Message)
        first = first or ("" if isinstance(found, Message) else found.reason)
    told = {
        "seconds": time.process_time() - started,
        "mebibytes": (_held_bytes("VmHWM") - before) / 2**20,
        "messages": messages,
        "refusals": refusals,
        "first_reason": first,
    }
    print(json.dumps(told))


def _held_bytes(name: str) -> int:
    line = next(line for line in _STATUS.read_text().splitlines() if line.startswith(f"{name}:"))
    return int(line.split()[1]) * 1024


if __name__ == "__main__":
    main()

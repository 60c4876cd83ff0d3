"""Real files for the readers: bytes written to a folder, and what reading them leaves."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path

import pytest

from triage.read import read
from triage.records import Message, Refusal

Found = list[Message | Refusal]


@pytest.fixture
def reading(tmp_path: Path) -> Callable[..., Found]:
    """Write bytes to a file and read it."""

    def write_and_read(
        data: bytes | str, name: str = "input", columns: Mapping[str, str] | None = None
    ) -> Found:
        path = tmp_path / name
        path.write_bytes(data.encode() if isinstance(data, str) else data)
        return list(read([path], columns))

    return write_and_read


@pytest.fixture
def one_message(reading: Callable[..., Found]) -> Callable[..., Message]:
    """Write bytes that hold one message, and read it."""

    def write_and_read(data: bytes | str, name: str = "input", **others: object) -> Message:
        found = reading(data, name, **others)
        assert len(found) == 1, found
        assert isinstance(found[0], Message), found[0]
        return found[0]

    return write_and_read


@pytest.fixture
def one_refusal(reading: Callable[..., Found]) -> Callable[..., Refusal]:
    """Write bytes that are refused as a whole, and give the reason."""

    def write_and_read(data: bytes | str, name: str = "input", **others: object) -> Refusal:
        found = reading(data, name, **others)
        assert len(found) == 1, found
        assert isinstance(found[0], Refusal), found[0]
        return found[0]

    return write_and_read

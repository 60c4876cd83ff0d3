"""Readings of the same words: which of them a rider stated outright."""

from __future__ import annotations

from collections.abc import Sequence

from triage.records import Detail


def outright(own: Sequence[Detail], details: Sequence[Detail]) -> list[Detail]:
    """Those of one quantity whose words are not first read as another one; all of them where there are none."""
    first: dict[object, str] = {}
    for detail in details:
        first.setdefault((detail.start, detail.end, detail.value), detail.name)
    stated = [d for d in own if first.get((d.start, d.end, d.value), d.name) == d.name]
    return stated or list(own)

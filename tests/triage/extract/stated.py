"""What a sentence states."""

from __future__ import annotations

from triage.extract import Finder


def stated(finder: Finder, text: str, name: str) -> list[object]:
    """Every value that the text gives for one quantity or choice."""
    return [detail.value for detail in finder.find(text)[0] if detail.name == name]

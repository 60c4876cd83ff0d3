"""The house phrases: one editable file, read once."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import yaml

from knowledge.base import HOME
from knowledge.trouble import KnowledgeError, Trouble, not_yaml
from knowledge.yaml_lines import read_yaml

KINDS = (
    "open_script", "open_script_no_name", "close_script", "close_script_ask", "greet", "greet_no_name",
    "close_reply", "person", "condition", "close_call", "holds_for", "taken_as", "taken_for", "nearest", "nearest_if",
    "unknown_code", "too_close",
)  # fmt: skip
SENTENCES = (
    "dead_brake",
    "hold_off",
    "hold_off_beside",
    "maker_first",
    "opened_briefly",
    "what_helps",
    "a_photo_helps",
    "which_is_it",
    "anything_that_helps",
)


@dataclass(frozen=True, slots=True)
class Phrases:
    """Openings, closings and standing sentences."""

    lists: dict[str, tuple[str, ...]]
    dead_brake: str
    hold_off: str
    hold_off_beside: str
    what_helps: str
    a_photo_helps: str
    which_is_it: str
    anything_that_helps: str
    maker_first: str
    opened_briefly: str

    def of(self, kind: str) -> tuple[str, ...]:
        """The choices of one kind."""
        return self.lists[kind]


def load_phrases(own_folder: Path | None = None) -> Phrases:
    """The phrases; what a desk's own file says takes the place of ours, kind by kind.

    Raises:
        KnowledgeError: a file can't be read, or a kind is empty.
    """
    files = [HOME / "phrases.yaml"]
    if own_folder is not None and (own_folder / "phrases.yaml").is_file():
        files.append(own_folder / "phrases.yaml")
    data: dict[str, object] = {}
    for file in files:
        data |= _kinds_in(file)
    lists: dict[str, tuple[str, ...]] = {kind: tuple(data[kind]) for kind in KINDS}  # type: ignore[arg-type]
    return Phrases(lists, **{kind: str(data[kind]) for kind in SENTENCES})


def _kinds_in(file: Path) -> dict[str, object]:
    try:
        data = read_yaml(file.read_text(encoding="utf-8")).data
    except (yaml.YAMLError, ValueError) as error:
        raise KnowledgeError([not_yaml(file, error)]) from error
    if not isinstance(data, dict):
        raise KnowledgeError([Trouble(str(file), 1, "file", "expected kinds of phrases, each with a list")])
    troubles = [
        Trouble(str(file), 1, kind, "expected a list of one phrase or more")
        for kind in KINDS
        if kind in data and not (isinstance(data[kind], list) and data[kind])
    ]
    troubles += [
        Trouble(str(file), 1, kind, "expected one sentence")
        for kind in SENTENCES
        if kind in data and not (isinstance(data[kind], str) and data[kind])
    ]
    if troubles:
        raise KnowledgeError(troubles)
    return data

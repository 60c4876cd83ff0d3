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
    "close_reply", "person", "condition", "close_call", "holds_for", "taken_as", "nearest", "nearest_if", "unknown_code",
    "too_close",
)  # fmt: skip
SENTENCES = ("hold_off", "hold_off_beside", "maker_first", "opened_briefly")


@dataclass(frozen=True, slots=True)
class Phrases:
    """Openings, closings and standing sentences."""

    lists: dict[str, tuple[str, ...]]
    hold_off: str
    hold_off_beside: str
    maker_first: str
    opened_briefly: str

    def of(self, kind: str) -> tuple[str, ...]:
        """The choices of one kind."""
        return self.lists[kind]


def load_phrases(own_folder: Path | None = None) -> Phrases:
    """The phrases, a desk's own file in place of ours.

    Raises:
        KnowledgeError: a kind is missing or empty.
    """
    own = own_folder / "phrases.yaml" if own_folder else None
    file = own if own is not None and own.is_file() else HOME / "phrases.yaml"
    try:
        data = read_yaml(file.read_text(encoding="utf-8")).data
    except (yaml.YAMLError, ValueError) as error:
        raise KnowledgeError([not_yaml(file, error)]) from error
    if not isinstance(data, dict):
        raise KnowledgeError([Trouble(str(file), 1, "file", "expected kinds of phrases, each with a list")])
    troubles = [
        Trouble(str(file), 1, kind, "expected a list of one phrase or more")
        for kind in KINDS
        if not data.get(kind)
    ]
    troubles += [
        Trouble(str(file), 1, kind, "expected one sentence") for kind in SENTENCES if not data.get(kind)
    ]
    if troubles:
        raise KnowledgeError(troubles)
    lists = {kind: tuple(data[kind]) for kind in KINDS}
    return Phrases(lists, *(data[kind] for kind in SENTENCES))

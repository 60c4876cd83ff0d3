"""YAML read with the line of every value kept, and only true and false as truth values."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

import yaml

Path = tuple[str | int, ...]
_LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


@dataclass(frozen=True, slots=True)
class Lined:
    """The data of a YAML file and the line on which each value starts."""

    data: Any
    lines: dict[Path, int] = field(default_factory=dict)

    def line(self, path: Path) -> int:
        """The line of a value, or of the nearest thing around it."""
        while path and path not in self.lines:
            path = path[:-1]
        return self.lines.get(path, 1)


def read_yaml(text: str) -> Lined:
    """The file's data with lines.

    Raises:
        yaml.YAMLError: the text is not YAML.
        ValueError: a key stands twice; the text names it and its line.
    """
    lined = Lined(None, {})
    node = yaml.compose(text, Loader=_LOADER)
    data = None if node is None else _value(node, (), lined.lines)
    return Lined(data, lined.lines)


def _value(node: yaml.Node, path: Path, lines: dict[Path, int]) -> Any:
    lines[path] = node.start_mark.line + 1
    if isinstance(node, yaml.MappingNode):
        found: dict[str, Any] = {}
        for key_node, value_node in node.value:
            key = str(key_node.value)
            if key in found:
                raise ValueError(f"line {key_node.start_mark.line + 1}: {key}: stands twice")
            found[key] = _value(value_node, (*path, key), lines)
            lines[(*path, key)] = key_node.start_mark.line + 1
        return found
    if isinstance(node, yaml.SequenceNode):
        return [_value(child, (*path, index), lines) for index, child in enumerate(node.value)]
    assert isinstance(node, yaml.ScalarNode)
    return _scalar(node)


def _scalar(node: yaml.ScalarNode) -> Any:
    text = str(node.value)
    if node.style in ("'", '"', "|", ">") or node.tag.endswith(":str"):
        return text
    if node.tag.endswith(":null"):
        return None
    if text in ("true", "false"):
        return text == "true"
    for kind in (int, float):
        try:
            return kind(text)
        except ValueError:
            continue
    return text

"""The rider's words with each understood detail marked in place."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from markupsafe import Markup, escape


def marked(text: str, details: Sequence[Mapping[str, Any]], labels: Mapping[str, str]) -> Markup:
    """The text, escaped, with marks around what was understood; overlapping marks keep the longest."""
    spans: dict[tuple[int, int], list[str]] = {}
    for detail in details:
        if 0 <= detail["start"] < detail["end"] <= len(text):
            said = f"{labels.get(detail['name'], detail['name'].replace('_', ' '))}: {_told(detail['value'])}"
            spans.setdefault((detail["start"], detail["end"]), []).append(said)
    pieces: list[Markup] = []
    place = 0
    for (start, end), told in sorted(spans.items(), key=lambda item: (item[0][0], -item[0][1])):
        if start < place:
            continue
        pieces.append(escape(text[place:start]))
        pieces.append(
            Markup('<mark title="{}">{}</mark>').format("; ".join(dict.fromkeys(told)), text[start:end])
        )
        place = end
    pieces.append(escape(text[place:]))
    return Markup("").join(pieces)


def _told(value: Any) -> str:
    if isinstance(value, list):
        return " to ".join(_told(one) for one in value)
    return f"{value:.6g}" if isinstance(value, int | float) else str(value)


def input_line(one: Mapping[str, Any], labels: Mapping[str, str], sources: Mapping[str, Any]) -> str:
    """One number put into a figure, with where it came from, as the editor reads it."""
    value = one["value"]
    told = " to ".join(_told(v) for v in value) if isinstance(value, list) else _told(value)
    unit = f" {one['unit']}" if one["unit"] else ""
    label = one.get("label") or labels.get(one["name"], one["name"].replace("_", " "))
    return f"{label}: {told}{unit} ({_origin(one, sources)})"


def _origin(one: Mapping[str, Any], sources: Mapping[str, Any]) -> str:
    if one["words"]:
        return f"{one['from']}: “{one['words']}”"
    basis = str(one["basis"])
    if basis.startswith("worked out"):
        return "worked out above"
    titles = [sources[key].title for key in basis.split() if key in sources]
    return f"{one['from']}: {'; '.join(titles)}" if titles else f"{one['from']}: {basis}"

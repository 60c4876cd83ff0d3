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
    return f"{value:g}" if isinstance(value, int | float) else str(value)

"""A number line for a deciding figure: bands, best value, spread and limits, readable in black and white."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from markupsafe import Markup, escape

from knowledge.brief import Decider
from knowledge.numbers import plain

WIDTH, HEIGHT, LEFT, RIGHT = 520, 104, 16, 16
ROOM_FOR_A_LIMIT = 44
LINE = 50
SHORT = {
    "yes": "yes",
    "yes-if": "yes, if",
    "inspect-first": "inspect first",
    "not-recommended": "not recommended",
}
PATTERN = {"yes": "n-plain", "yes-if": "n-dots", "inspect-first": "n-slant", "not-recommended": "n-cross"}


def number_line(figure: Mapping[str, Any]) -> Markup:
    """The picture as inline SVG with a text alternative; empty where the figure has no numeric bands."""
    bands: Sequence[Sequence[Any]] = figure["bands"]
    low, high = figure["low"], figure["high"]
    limits = [limit for limit, _ in bands if limit is not None]
    if not bands or not limits or (low is None) != (high is None):
        return Markup("")
    if low is None or high is None:
        return _drawn(figure, None, limits)
    absolute = bool(figure["absolute"])
    if absolute and low < 0:
        low, high = (0.0 if low < 0 < high else min(abs(low), abs(high))), max(abs(low), abs(high))
    return _drawn(figure, (low, high), limits)


def _drawn(figure: Mapping[str, Any], spread: tuple[float, float] | None, limits: Sequence[float]) -> Markup:
    bands: Sequence[Sequence[Any]] = figure["bands"]
    absolute = bool(figure["absolute"])
    low, high = spread or (min(limits), max(limits))
    start, end = _ends(min(low, 0.0) if absolute else low, high, limits)

    def x(value: float) -> float:
        return LEFT + (min(max(value, start), end) - start) / (end - start) * (WIDTH - LEFT - RIGHT)

    parts = []
    left = start
    before, lower = -1e9, False
    for limit, verdict in bands:
        right = end if limit is None else limit
        if right > left and left < end:
            parts.append(_band(x(left), x(right), verdict))
        if limit is not None and start < limit < end:
            at = x(limit)
            lower = at - before < ROOM_FOR_A_LIMIT and not lower
            before = at
            parts.append(
                f'<line x1="{at:.1f}" y1="26" x2="{at:.1f}" y2="60" class="n-limit"/>'
                f'<text x="{at:.1f}" y="{86 if lower else 73}" text-anchor="middle">{escape(plain(limit))}</text>'
            )
        left = max(left, right)
    if spread and high - low > (end - start) * 0.004:
        parts.append(
            f'<line x1="{x(low):.1f}" y1="{LINE}" x2="{x(high):.1f}" y2="{LINE}" class="n-spread"/>'
            f'<path d="M{x(low):.1f} 44v12M{x(high):.1f} 44v12" class="n-end"/>'
        )
    best = figure["value"]
    if best is not None:
        at = x(abs(best) if absolute else best)
        parts.append(f'<path d="M{at:.1f} 52l-7 12h14z" class="n-best"/>')
    for mark, label in figure.get("marks", ()):
        if start < mark < end:
            parts.append(
                f'<path d="M{x(mark):.1f} 26v-6l8 3z" class="n-best"/>'
                f'<text x="{x(mark) + 4:.1f}" y="{HEIGHT - 18}" text-anchor="middle">{escape(label)}</text>'
            )
    told = _alternative(figure, spread, bands, absolute)
    return Markup(
        f'<svg class="number-line" viewBox="0 0 {WIDTH} {HEIGHT}" role="img" aria-label="{escape(told)}">'
        f"<title>{escape(told)}</title>{''.join(parts)}"
        f'<text x="{WIDTH - RIGHT}" y="{HEIGHT - 4}" text-anchor="end" class="n-unit">'
        f"{escape(figure['label'])}{' (size alone)' if absolute else ''}, "
        f"{escape(figure['unit'] or 'pure number')}</text></svg>"
    )


def band_line(decider: Decider, label: str, unit: str) -> Markup:
    """The bands of a decider alone, as the handbook shows them; empty where a limit is another need or figure."""
    limits = [band.up_to for band in decider.bands]
    if not limits or any(isinstance(limit, str) for limit in limits):
        return Markup("")
    bands = [[band.up_to, band.verdict] for band in decider.bands]
    return number_line(
        {
            "label": label,
            "unit": unit,
            "value": None,
            "low": None,
            "high": None,
            "absolute": decider.absolute,
            "bands": bands,
        }
    )


def ask_line(ask: Mapping[str, Any], labels: Mapping[str, str]) -> Markup:
    """The number line of a fact that is asked for: on which stretch of it which verdict holds."""
    sides = ask["sides"]
    if len(sides) < 2 or any(side["ends"] is None for side in sides):
        return Markup("")
    bands = [[side["ends"][1], side["verdict"]] for side in sides]
    bands[-1][0] = None
    return number_line(
        {
            "label": labels.get(ask["name"], ask["name"]),
            "unit": ask["unit"],
            "value": None,
            "low": sides[0]["ends"][0],
            "high": sides[-1]["ends"][1],
            "absolute": False,
            "bands": bands,
        }
    )


def _ends(low: float, high: float, limits: Sequence[float]) -> tuple[float, float]:
    least, most = min(low, *limits), max(high, *limits)
    margin = (most - least or abs(most) or 1.0) * 0.15
    start = least - margin
    if least >= 0 and start < 0:
        start = 0.0
    return start, most + margin


def _band(left: float, right: float, verdict: str) -> str:
    width = right - left
    words = SHORT.get(verdict, verdict)
    label = (
        f'<text x="{(left + right) / 2:.1f}" y="20" text-anchor="middle">{escape(words)}</text>'
        if width > 7.2 * len(words)
        else ""
    )
    kind = PATTERN.get(verdict, "n-plain")
    return f'<rect x="{left:.1f}" y="28" width="{width:.1f}" height="14" class="n-band {kind}"/>{label}'


def _alternative(
    figure: Mapping[str, Any],
    spread: tuple[float, float] | None,
    bands: Sequence[Sequence[Any]],
    absolute: bool,
) -> str:
    unit = f" {figure['unit']}" if figure["unit"] else ""
    told = []
    before: float | None = None
    for limit, verdict in bands:
        if limit is None:
            told.append(
                f"beyond {plain(before)}{unit} {SHORT.get(verdict, verdict)}"
                if before is not None
                else verdict
            )
        else:
            told.append(f"up to {plain(limit)}{unit} {SHORT.get(verdict, verdict)}")
            before = limit
    size = ", size alone," if absolute else ""
    if spread is None:
        return f"{figure['label']}{size}: {'; '.join(told)}."
    first, last = (plain(end) for end in spread)
    at = first if first == last else f"{first} to {last}"
    return f"{figure['label']}{size} is {at}{unit}; {'; '.join(told)}."

"""The page of a measurement: reliability, coverage, what was caught, confusion, and the worst misses."""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any

from markupsafe import Markup, escape

from triage.output.files import whole_file
from triage.output.pages import page_environment

SIDE, EDGE = 260, 44
_RELIABILITY = (
    "Does it mean what it says?",
    "On the dashed line, eight in ten of the topics that it gives 0.8 are right.",
)
_COVERAGE = (
    "Right, against how many it answers",
    "To the left, only where it is surest; to the right, everything.",
)
_OUTSIDE = (
    "What is no question for this desk",
    "How many of the others are caught, against how many questions are set aside with them.",
)


def write_score(figures: dict[str, Any], what: str, out: Path) -> None:
    """Write score.json and score.html into a folder, each whole or absent."""
    out.mkdir(parents=True, exist_ok=True)
    environment = page_environment()
    environment.globals |= {"pictures": pictures(figures)}
    with whole_file(out / "score.json") as file:
        file.write(json.dumps(figures, ensure_ascii=False, indent=1))
    with whole_file(out / "score.html") as file:
        file.write(environment.get_template("score.html").render(figures=figures, what=what))


def pictures(figures: dict[str, Any]) -> list[tuple[str, str, Markup]]:
    """(title, what it says, picture) for whatever was measured."""
    drawn = []
    if "reliability" in figures:
        said = [(row["said"], row["right"]) for row in figures["reliability"]]
        told = f"calibration error {figures['calibration_error']:.3f}"
        drawn.append((*_RELIABILITY, picture("said", "right", said, told, diagonal=True)))
        covered = [(row["covered"], row["right"]) for row in figures["coverage"]]
        told = f"topic right {figures['topic_accuracy']:.3f} over all"
        drawn.append((*_COVERAGE, picture("share answered", "right", covered, told)))
    if figures.get("outside_caught"):
        caught = [(row["ours_set_aside"], row["caught"]) for row in figures["outside_caught"]]
        told = f"{figures['outside']} others"
        drawn.append((*_OUTSIDE, picture("ours set aside", "others caught", caught, told)))
    return drawn


def picture(
    across: str, up: str, points: Sequence[tuple[float, float]], told: str, diagonal: bool = False
) -> Markup:
    """A line through points in a square from 0 to 1, as inline SVG with a text alternative."""
    size = SIDE + 2 * EDGE
    words = ", ".join(f"{x:.2f}: {y:.2f}" for x, y in points)
    parts = [
        f'<svg class="picture" viewBox="0 0 {size} {size}" role="img" '
        f'aria-label="{escape(up)} against {escape(across)}: {escape(words)}; {escape(told)}">',
        f'<rect x="{EDGE}" y="{EDGE}" width="{SIDE}" height="{SIDE}" class="frame"/>',
        *_scale(),
    ]
    if diagonal:
        parts.append(f'<path class="ideal" d="M{_x(0)} {_y(0)}L{_x(1)} {_y(1)}"/>')
    path = "L".join(f"{_x(x)} {_y(y)}" for x, y in points)
    parts.append(f'<path class="found" d="M{path}"/>')
    parts += [f'<circle class="point" cx="{_x(x)}" cy="{_y(y)}" r="3.5"/>' for x, y in points]
    parts += [
        f'<text x="{EDGE + SIDE / 2}" y="{size - 6}" class="middle">{escape(across)}</text>',
        f'<text x="14" y="{EDGE + SIDE / 2}" class="middle" transform="rotate(-90 14 {EDGE + SIDE / 2})">{escape(up)}</text>',
        f'<text x="{EDGE + SIDE}" y="{EDGE - 12}" class="end">{escape(told)}</text>',
        "</svg>",
    ]
    return Markup("".join(parts))


def _scale() -> Iterable[str]:
    for step in range(0, 11, 2):
        value = step / 10
        yield f'<path class="tick" d="M{_x(value)} {_y(0)}v5M{_x(0)} {_y(value)}h-5"/>'
        yield f'<text x="{_x(value)}" y="{_y(0) + 17}" class="middle">{value:g}</text>'
        yield f'<text x="{_x(0) - 8}" y="{_y(value) + 4}" class="end">{value:g}</text>'


def _x(value: float) -> float:
    return round(EDGE + SIDE * value, 1)


def _y(value: float) -> float:
    return round(EDGE + SIDE * (1 - value), 1)

"""The page of a measurement: reliability, coverage, what was caught, confusion, and the worst misses."""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined, select_autoescape
from markupsafe import Markup, escape

from triage.output.files import whole_file

SIDE, EDGE = 260, 44


def write_score(figures: dict[str, Any], what: str, out: Path) -> None:
    """Write score.json and score.html into a folder, each whole or absent."""
    out.mkdir(parents=True, exist_ok=True)
    environment = Environment(
        loader=PackageLoader("triage", "templates"),
        undefined=StrictUndefined,
        autoescape=select_autoescape(["html"]),
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.globals |= {"pictures": pictures(figures)}
    with whole_file(out / "score.json") as file:
        file.write(json.dumps(figures, ensure_ascii=False, indent=1))
    with whole_file(out / "score.html") as file:
        file.write(environment.get_template("score.html").render(figures=figures, what=what))


def pictures(figures: dict[str, Any]) -> list[tuple[str, str, Markup]]:
    """(title, what it says, picture) for whatever was measured."""
    drawn = []
    if "reliability" in figures:
        bins = figures["reliability"]
        drawn.append(
            (
                "Does it mean what it says?",
                "On the dashed line, eight in ten of the topics that it gives 0.8 are right.",
                picture(
                    "said", "right", [(b["said"], b["right"]) for b in bins], diagonal=True,
                    told=f"calibration error {figures['calibration_error']:.3f}",
                ),
            )
        )  # fmt: skip
        rows = figures["coverage"]
        drawn.append(
            (
                "Right, against how many it answers",
                "To the left, only where it is surest; to the right, everything.",
                picture(
                    "share answered", "right", [(r["covered"], r["right"]) for r in rows],
                    told=f"topic right {figures['topic_accuracy']:.3f} over all",
                ),
            )
        )  # fmt: skip
    if figures.get("outside_caught"):
        caught = figures["outside_caught"]
        drawn.append(
            (
                "What is no question for this desk",
                "How many of the others are caught, against how many questions are set aside with them.",
                picture(
                    "ours set aside", "others caught", [(r["ours_set_aside"], r["caught"]) for r in caught],
                    told=f"{figures['outside']} others",
                ),
            )
        )  # fmt: skip
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

"""A plot of a calculation over one of its inputs, as plain SVG that needs nothing from outside."""

from __future__ import annotations

import math
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import numpy as np
from markupsafe import Markup, escape
from numpy.typing import NDArray

from knowledge.calculation import Argument, Calculation
from knowledge.numbers import plain

WIDTH, HEIGHT = 460, 250
LEFT, RIGHT, TOP, BOTTOM = 66, 14, 14, 46
POINTS = 81
Numbers = NDArray[np.float64]


def curve(
    calculation: Calculation, fixed: Mapping[str, Any], argument: Argument, low: float, high: float
) -> tuple[Numbers, Numbers]:
    """The figure along one input; points that the calculation refuses are left out."""
    steps = np.linspace(low, high, POINTS)
    values = np.full(POINTS, np.nan)
    for index, step in enumerate(steps):
        try:
            values[index] = float(calculation(**{**fixed, argument.name: float(step)}))
        except ValueError:
            continue
    kept = np.isfinite(values)
    return steps[kept], values[kept]


def plot_svg(
    calculation: Calculation, fixed: Mapping[str, Any], argument: Argument, low: float, high: float
) -> Markup:
    """The plot, or nothing where the calculation has no two points to draw."""
    steps, values = curve(calculation, fixed, argument, low, high)
    if len(steps) < 2:
        return Markup("")
    bottom, top = float(values.min()), float(values.max())
    if top - bottom < 1e-12 * max(abs(top), 1):
        bottom, top = bottom - (abs(bottom) or 1) * 0.1, top + (abs(top) or 1) * 0.1
    across = _ticks(low, high)
    up = _ticks(bottom, top)

    def x(value: float) -> float:
        return LEFT + (value - low) / (high - low) * (WIDTH - LEFT - RIGHT)

    def y(value: float) -> float:
        return HEIGHT - BOTTOM - (value - bottom) / (top - bottom) * (HEIGHT - TOP - BOTTOM)

    grid = "".join(
        f'<path class="p-grid" d="M{x(t):.1f} {TOP}V{HEIGHT - BOTTOM}"/>'
        f'<text x="{x(t):.1f}" y="{HEIGHT - BOTTOM + 16}" text-anchor="middle">{escape(plain(t))}</text>'
        for t in across
    ) + "".join(
        f'<path class="p-grid" d="M{LEFT} {y(t):.1f}H{WIDTH - RIGHT}"/>'
        f'<text x="{LEFT - 6}" y="{y(t) + 4:.1f}" text-anchor="end">{escape(plain(t))}</text>'
        for t in up
    )
    line = " ".join(f"{x(a):.1f},{y(b):.1f}" for a, b in zip(steps, values, strict=True))
    unit, own = argument.unit and f" [{argument.unit}]", calculation.unit and f" [{calculation.unit}]"
    told = (
        f"{calculation.result_meaning}{own} from {plain(float(values[0]))} to {plain(float(values[-1]))} "
        f"as {argument.meaning}{unit} goes from {plain(low)} to {plain(high)}"
    )
    return Markup(
        f'<svg class="plot" xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {HEIGHT}" role="img" '
        f'aria-label="{escape(told)}"><title>{escape(told)}</title>{grid}'
        f'<path class="p-axis" d="M{LEFT} {TOP}V{HEIGHT - BOTTOM}H{WIDTH - RIGHT}"/>'
        f'<polyline class="p-line" points="{line}"/>'
        f'<text x="{(LEFT + WIDTH - RIGHT) / 2}" y="{HEIGHT - 8}" text-anchor="middle" class="p-name">'
        f"{escape(_short(argument.meaning) + unit)}</text></svg>"
    )


PLAIN_STYLE = (
    "text{font:12px sans-serif}.p-grid{stroke:#ccc;fill:none}.p-axis{stroke:#000;fill:none}"
    ".p-line{stroke:#000;stroke-width:2;fill:none}"
)


def save_plot(
    calculation: Calculation,
    fixed: Mapping[str, Any],
    argument: Argument,
    low: float,
    high: float,
    file: Path,
) -> None:
    """Save the plot as an SVG file that stands alone."""
    svg = str(plot_svg(calculation, fixed, argument, low, high))
    file.write_text(svg.replace("<title>", f"<style>{PLAIN_STYLE}</style><title>", 1), encoding="utf-8")


def _short(text: str, most: int = 62) -> str:
    return text if len(text) <= most else text[: most - 1].rsplit(" ", 1)[0] + " …"


def _ticks(low: float, high: float) -> list[float]:
    span = high - low
    step = 10 ** math.floor(math.log10(span / 4))
    for factor in (1, 2, 5, 10):
        if span / (step * factor) <= 6:
            step *= factor
            break
    first = math.ceil(low / step - 1e-9) * step
    return [first + n * step for n in range(int((high - first) / step + 1e-9) + 1)]

"""What each calculation costs: one value alone, and one of a hundred thousand in an array.

    python benchmarks/calculations.py [NAME ...]

Prints a line a calculation, the slowest first, and the share that is at least 50 times cheaper in an array.
"""

from __future__ import annotations

import sys
import timeit
from typing import Any

import numpy as np

from knowledge.calculation import Argument, Calculation
from knowledge.calculations import calculations

WIDTH = 100_000
SECONDS = 0.02


def middle(argument: Argument, share: float) -> Any:
    """An input inside its range."""
    if argument.is_choice:
        return argument.limits[0]
    if argument.default is not None:
        return argument.default
    low, high = float(argument.limits[0]), float(argument.limits[1])
    return low + (high - low) * share


def measure(calculation: Calculation) -> tuple[float, float] | None:
    """Microseconds for one value alone and for one of many; None where no inputs were found that it takes."""
    for share in (0.5, 0.3, 0.15, 0.05, 0.7):
        inputs = {argument.name: middle(argument, share) for argument in calculation.arguments}
        try:
            calculation(**inputs)
            break
        except ValueError:
            continue
    else:
        return None
    numbers = [argument.name for argument in calculation.arguments if not argument.is_choice]
    if not numbers:
        return None
    wide = {**inputs, **{name: np.full(WIDTH, float(inputs[name])) for name in numbers}}
    alone = timeit.Timer(lambda: calculation(**inputs))
    many = timeit.Timer(lambda: calculation(**wide))
    rounds = max(1, int(SECONDS / max(alone.timeit(3) / 3, 1e-7)))
    return alone.timeit(rounds) / rounds * 1e6, min(many.repeat(3, 1)) / WIDTH * 1e6


def main() -> None:
    """Measure the named calculations, or all."""
    book = calculations()
    wanted = sys.argv[1:] or list(book)
    rows = [(name, *cost) for name in wanted if (cost := measure(book[name])) is not None]
    rows.sort(key=lambda row: -row[2])
    print(f"{'calculation':<44}{'alone, us':>12}{'in array, us':>14}{'cheaper by':>12}")
    for name, alone, many in rows:
        print(f"{name:<44}{alone:>12.2f}{many:>14.4f}{alone / many:>11.0f}x")
    good = sum(alone >= 50 * many for _, alone, many in rows)
    print(f"\n{good} of {len(rows)} are at least 50 times cheaper a value in an array of {WIDTH:,}.")


if __name__ == "__main__":
    main()

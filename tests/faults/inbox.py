"""Inboxes for the fault tests: many short comments, each its own."""

from __future__ import annotations

import json
import random
from pathlib import Path

ASKS = (
    "Will a {n} mm tyre fit a rim {m} mm inside?",
    "what pressure for {n} mm tyres, I weigh {w} kg",
    "my chain skips in gear {g}, any idea why? It has {k} km on it",
    "love episode {g}, number {k}",
    "which oil for a chain in rain at {g} degrees, {k} km a week",
)


def comment(number: int, seed: int = 0) -> dict[str, str]:
    """One comment; a number always gives the same one."""
    chance = random.Random(f"{seed} {number}")
    text = ASKS[number % len(ASKS)].format(
        n=chance.randint(20, 60),
        m=chance.randint(13, 35),
        w=chance.randint(50, 110),
        g=chance.randint(1, 12),
        k=chance.randint(100, 9999),
    )
    return {"id": f"c{seed}-{number}", "author": f"Rider {number}", "text": f"{text} ({number})"}


def write_comments(file: Path, count: int, seed: int = 0) -> Path:
    """A file of so many comments."""
    lines = (json.dumps(comment(number, seed)) for number in range(count))
    file.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return file

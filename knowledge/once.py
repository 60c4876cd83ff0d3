"""Things built from a knowledge base once, and kept by what the base holds."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import TypeVar

from knowledge.base import Knowledge

MOST_KEPT = 4
Built = TypeVar("Built")


def once_for_each(build: Callable[[Knowledge], Built]) -> Callable[[Knowledge], Built]:
    """The builder, made to build only where no base of the same digest was met lately."""
    kept: dict[str, Built] = {}

    @wraps(build)
    def built(knowledge: Knowledge) -> Built:
        if knowledge.digest not in kept:
            while len(kept) >= MOST_KEPT:
                del kept[next(iter(kept))]
            kept[knowledge.digest] = build(knowledge)
        return kept[knowledge.digest]

    return built

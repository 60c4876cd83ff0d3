"""What is built from a knowledge base is built once for each, and the oldest makes room."""

from __future__ import annotations

from dataclasses import replace

from knowledge.base import Knowledge
from knowledge.once import MOST_KEPT, once_for_each


def test_the_same_base_is_built_from_once_and_another_anew(knowledge: Knowledge) -> None:
    built: list[str] = []
    build = once_for_each(lambda base: built.append(base.digest) or len(built))

    first, again = build(knowledge), build(knowledge)
    other = build(replace(knowledge, digest="another"))

    assert (first, again, other) == (1, 1, 2)
    assert built == [knowledge.digest, "another"]


def test_no_more_are_kept_than_stated_and_the_oldest_goes_first(knowledge: Knowledge) -> None:
    built: list[str] = []
    build = once_for_each(lambda base: built.append(base.digest) or len(built))

    for name in range(MOST_KEPT + 1):
        build(replace(knowledge, digest=str(name)))
    build(replace(knowledge, digest="1"))
    build(replace(knowledge, digest="0"))

    assert built == ["0", "1", "2", "3", "4", "0"]

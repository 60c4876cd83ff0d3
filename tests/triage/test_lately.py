"""What is kept is bounded: what was used lately stays, what was not makes room."""

from __future__ import annotations

from triage.lately import Lately


def test_what_was_kept_is_found_and_what_was_not_is_not() -> None:
    kept: Lately[str, int] = Lately(2)
    kept.keep("a", 1)

    assert (kept.find("a"), kept.find("b")) == (1, None)
    assert (kept.met, kept.missed) == (1, 1)


def test_the_longest_unused_makes_room() -> None:
    kept: Lately[str, int] = Lately(2)
    kept.keep("a", 1)
    kept.keep("b", 2)
    kept.find("a")
    kept.keep("c", 3)

    assert len(kept) == 2
    assert (kept.find("a"), kept.find("b"), kept.find("c")) == (1, None, 3)


def test_what_is_kept_again_takes_no_second_place() -> None:
    kept: Lately[str, int] = Lately(2)
    kept.keep("a", 1)
    kept.keep("b", 2)
    kept.keep("a", 3)
    kept.keep("c", 4)

    assert (kept.find("a"), kept.find("b"), kept.find("c")) == (3, None, 4)

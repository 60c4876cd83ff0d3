"""Teaching spread over the cores."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from contextlib import AbstractContextManager
from typing import TypeVar, cast

from joblib import Parallel, cpu_count, delayed
from threadpoolctl import threadpool_limits

T = TypeVar("T")
R = TypeVar("R")
MOST_PROCESSES = 4
"""Each takes some 700 MB while it learns."""


def at_once(work: Callable[[T], R], pieces: Iterable[T], is_long: bool) -> Iterator[R]:
    """What the work makes of each piece, in order; over several processes where that is long enough to be worth it."""
    processes = min(MOST_PROCESSES, cpu_count())
    if not is_long or processes < 2:
        return map(work, pieces)
    spread = Parallel(n_jobs=processes, return_as="generator")(delayed(work)(piece) for piece in pieces)
    return cast(Iterator[R], spread)


def one_thread() -> AbstractContextManager[object]:
    """Matrices by one thread: where they are small, several wait for one another most of the time."""
    return cast(AbstractContextManager[object], threadpool_limits(1))


def side_by_side(work: Callable[[T], R], pieces: Iterable[T]) -> list[R]:
    """The same by threads, for learning that leaves the interpreter alone meanwhile."""
    with one_thread():
        return list(
            Parallel(n_jobs=min(MOST_PROCESSES, cpu_count()), prefer="threads")(map(delayed(work), pieces))
        )

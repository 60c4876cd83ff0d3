"""What was made lately, kept so that the same again costs nothing: bounded, and the longest unused makes room."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Hashable
from threading import Lock
from typing import Generic, TypeVar

Key = TypeVar("Key", bound=Hashable)
Made = TypeVar("Made")


class Lately(Generic[Key, Made]):
    """Things by what they were made from; `met` and `missed` count the searches.

    A key must hold everything that the thing depends on, and the thing must never be changed.
    """

    def __init__(self, most: int) -> None:
        self.most = most
        self.met = self.missed = 0
        self._kept: OrderedDict[Key, Made] = OrderedDict()
        # The desk answers several pages at once.
        self._lock = Lock()

    def __len__(self) -> int:
        return len(self._kept)

    def find(self, key: Key) -> Made | None:
        """What was made from it, or None where it is not kept."""
        with self._lock:
            found = self._kept.get(key)
            if found is None:
                self.missed += 1
            else:
                self.met += 1
                self._kept.move_to_end(key)
            return found

    def keep(self, key: Key, made: Made) -> None:
        """Keep it; what was unused the longest goes where there are too many."""
        with self._lock:
            self._kept[key] = made
            self._kept.move_to_end(key)
            while len(self._kept) > self.most:
                self._kept.popitem(last=False)

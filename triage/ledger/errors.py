"""What can be wrong with a ledger, in words that say what to do."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from sqlalchemy.engine import ExceptionContext


class LedgerError(Exception):
    """The ledger cannot be used; the text says why and what to do."""


class LedgerInUseError(LedgerError):
    """Another program writes to the ledger and keeps it for longer than this one waits."""


class LostConnectionError(LedgerError):
    """The database does not answer, or no longer."""


class ClashError(Exception):
    """Somebody else changed the same draft in the meantime; nothing was kept and nothing was overwritten."""


_GOES_ON = "run the same command again: nothing is lost, it goes on where it stopped."
_IN_USE = ("database is locked", "database table is locked", "lock timeout", "deadlock detected")
_TROUBLE = (
    (
        ("database or disk is full", "could not extend file", "no space left"),
        f"the disk is full.\n    Make room, then {_GOES_ON}",
    ),
    (
        ("readonly database", "read-only"),
        f"the ledger can only be read.\n    Let yourself write to the file and its folder, then {_GOES_ON}",
    ),
    (("disk i/o error",), f"the disk refuses to read or write.\n    Look at the disk, then {_GOES_ON}"),
    (
        ("malformed",),
        "the ledger is damaged.\n    Take the last backup: quillstem ledger restore FILE --ledger PLACE",
    ),
)
_LOST = (
    "server closed",
    "terminating connection",
    "connection is closed",
    "connection refused",
    "connection is lost",
    "pipeline mode",  # the driver was cut off between sending a batch and reading what came of it
)


def in_our_words(place: str) -> Callable[[ExceptionContext], None]:
    """A listener that says of a database's trouble what it means for a ledger at that place.

    Raises, when called:
        LedgerInUseError, LostConnectionError, LedgerError: the trouble is one of those that a person can do something about.
    """

    def told(context: ExceptionContext) -> None:
        trouble = context.original_exception
        if not isinstance(trouble, Exception):
            return  # an interrupt is no trouble of the database's
        words = str(trouble).lower()
        if any(one in words for one in _IN_USE):
            raise LedgerInUseError(
                f"{place}: the ledger is in use by another program.\n    Wait until it is done, then {_GOES_ON}"
            ) from trouble
        for signs, said in _TROUBLE:
            if any(one in words for one in signs):
                raise LedgerError(f"{place}: {said}") from trouble
        if context.is_disconnect or any(one in words for one in _LOST):
            raise LostConnectionError(
                f"{place}: the connection to the database was lost.\n    Once it is back, {_GOES_ON}"
            ) from trouble

    return told

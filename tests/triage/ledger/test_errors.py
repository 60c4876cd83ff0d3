"""A database's trouble, in words that say what to do."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest

from triage.ledger.errors import LedgerError, LedgerInUseError, LostConnectionError, in_our_words


@pytest.mark.parametrize(
    ("words", "kind", "told"),
    [
        ("database is locked", LedgerInUseError, "in use by another program"),
        ("database or disk is full", LedgerError, "Make room"),
        (
            "server closed the connection unexpectedly",
            LostConnectionError,
            "the connection to the database was lost",
        ),
        (
            "sending query failed: cannot exit pipeline mode while busy",
            LostConnectionError,
            "Once it is back",
        ),
    ],
)
def test_trouble_that_a_person_can_mend_is_told_with_the_place(
    words: str, kind: type[LedgerError], told: str
) -> None:
    context: Any = SimpleNamespace(original_exception=Exception(words), is_disconnect=False)
    with pytest.raises(kind, match="the-place: ") as raised:
        in_our_words("the-place")(context)
    assert told in str(raised.value)


def test_a_lost_connection_is_known_without_words_and_other_trouble_is_left_as_it_is() -> None:
    lost: Any = SimpleNamespace(original_exception=Exception("?"), is_disconnect=True)
    with pytest.raises(LostConnectionError):
        in_our_words("the-place")(lost)
    in_our_words("the-place")(SimpleNamespace(original_exception=Exception("?"), is_disconnect=False))  # type: ignore[arg-type]
    in_our_words("the-place")(SimpleNamespace(original_exception=KeyboardInterrupt()))  # type: ignore[arg-type]

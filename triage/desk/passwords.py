"""Passwords and one-time keys: argon2 hashes, random tokens, and how many wrong tries are borne."""

from __future__ import annotations

import hashlib
import secrets
import time
from collections import OrderedDict, deque

from argon2 import PasswordHasher
from argon2.exceptions import Argon2Error, InvalidHashError

SHORTEST, LONGEST = 10, 200
TRIES, WITHIN_SECONDS = 5, 900.0
TRIES_FROM_ONE_PLACE = 30
MOST_REMEMBERED = 10_000
_HASHER = PasswordHasher()
_NOBODY = _HASHER.hash(secrets.token_hex(16))


def hashed(password: str) -> str:
    """The argon2 hash of a password.

    Raises:
        ValueError: it is too short or too long.
    """
    if not SHORTEST <= len(password) <= LONGEST:
        raise ValueError(f"A password has {SHORTEST} to {LONGEST} characters; this one has {len(password)}.")
    return _HASHER.hash(password)


def fits(password: str, password_hash: str | None) -> bool:
    """Whether a password is the one behind a hash; it takes as long where there is nobody of that name."""
    if len(password) > LONGEST:
        return False
    try:
        _HASHER.verify(password_hash or _NOBODY, password)
    except (Argon2Error, InvalidHashError):
        return False
    return password_hash is not None


def fresh_token() -> str:
    """256 random bits."""
    return secrets.token_urlsafe(32)


def digest(token: str) -> str:
    """What the ledger keeps of a token."""
    return hashlib.sha256(token.encode()).hexdigest()


class Tries:
    """Wrong tries to sign in, by name and by place, over the last quarter of an hour."""

    def __init__(self) -> None:
        self.missed: OrderedDict[str, deque[float]] = OrderedDict()

    def wait_seconds(self, name: str, place: str) -> int:
        """For how long no further try is heard; 0 where one may try."""
        return max(
            self._wait(f"name {name.lower()}", TRIES), self._wait(f"place {place}", TRIES_FROM_ONE_PLACE)
        )

    def miss(self, name: str, place: str) -> None:
        """Remember a wrong try."""
        for key in (f"name {name.lower()}", f"place {place}"):
            self.missed.setdefault(key, deque(maxlen=TRIES_FROM_ONE_PLACE)).append(time.monotonic())
            self.missed.move_to_end(key)
        while len(self.missed) > MOST_REMEMBERED:
            self.missed.popitem(last=False)

    def clear(self, name: str) -> None:
        """Forget the wrong tries under a name that has come in."""
        self.missed.pop(f"name {name.lower()}", None)

    def _wait(self, key: str, most: int) -> int:
        now = time.monotonic()
        recent = [moment for moment in self.missed.get(key, ()) if now - moment < WITHIN_SECONDS]
        return 0 if len(recent) < most else int(WITHIN_SECONDS - (now - recent[-most])) + 1

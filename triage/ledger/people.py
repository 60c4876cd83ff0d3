"""Who may come in at the desk, who is in, and the one-time key by which the first person enters."""

from __future__ import annotations

import json
import time
from dataclasses import dataclass

import sqlalchemy as sa

from triage.ledger.asking import insert_into
from triage.ledger.moment import now_text
from triage.ledger.schema import ABOUT, PEOPLE, SESSIONS

_ENTRANCE, _SECRET = "entrance", "desk_secret"


@dataclass(frozen=True, slots=True)
class Member:
    """One person of the team; only the hash of the password is kept."""

    name: str
    role: str
    password_hash: str
    added: str


class People:
    """The people of a ledger and their sessions."""

    def __init__(self, engine: sa.Engine) -> None:
        self.engine = engine

    def all(self) -> list[Member]:
        """Everybody, by name."""
        with self.engine.connect() as connection:
            rows = connection.execute(sa.select(PEOPLE).order_by(PEOPLE.c.name))
            return [Member(**row._mapping) for row in rows]

    def of(self, name: str) -> Member | None:
        """One person by name, whatever the capitals."""
        with self.engine.connect() as connection:
            row = connection.execute(
                sa.select(PEOPLE).where(sa.func.lower(PEOPLE.c.name) == name.lower())
            ).one_or_none()
        return None if row is None else Member(**row._mapping)

    def put(self, name: str, role: str, password_hash: str) -> None:
        """Add a person, or give a known one another role and password; whoever is in under that name is signed out."""
        with self.engine.begin() as connection:
            self._leave(connection, name)
            connection.execute(
                sa.insert(PEOPLE).values(name=name, role=role, password_hash=password_hash, added=now_text())
            )

    def remove(self, name: str) -> bool:
        """Take a person out and sign them out; whether there was one."""
        with self.engine.begin() as connection:
            return self._leave(connection, name)

    def _leave(self, connection: sa.Connection, name: str) -> bool:
        lowered = name.lower()
        connection.execute(sa.delete(SESSIONS).where(sa.func.lower(SESSIONS.c.person) == lowered))
        done = connection.execute(sa.delete(PEOPLE).where(sa.func.lower(PEOPLE.c.name) == lowered))
        return done.rowcount > 0

    def begin_session(self, token_digest: str, person: str, role: str, seconds: float) -> None:
        """Let a person in for so many seconds; sessions that have ended are cleared away."""
        now = time.time()
        with self.engine.begin() as connection:
            connection.execute(sa.delete(SESSIONS).where(SESSIONS.c.ends < now))
            connection.execute(
                sa.insert(SESSIONS).values(
                    token_digest=token_digest, person=person, role=role, ends=now + seconds
                )
            )

    def session(self, token_digest: str) -> tuple[str, str] | None:
        """(person, role) of a session that has not ended."""
        query = sa.select(SESSIONS.c.person, SESSIONS.c.role).where(
            SESSIONS.c.token_digest == token_digest, SESSIONS.c.ends > time.time()
        )
        with self.engine.connect() as connection:
            row = connection.execute(query).one_or_none()
        return None if row is None else (row.person, row.role)

    def end_session(self, token_digest: str) -> None:
        """Sign out."""
        with self.engine.begin() as connection:
            connection.execute(sa.delete(SESSIONS).where(SESSIONS.c.token_digest == token_digest))

    def leave_key(self, key_digest: str, seconds: float) -> None:
        """Lay out a one-time key; an earlier one no longer fits."""
        value = json.dumps({"digest": key_digest, "ends": time.time() + seconds})
        with self.engine.begin() as connection:
            connection.execute(sa.delete(ABOUT).where(ABOUT.c.key == _ENTRANCE))
            connection.execute(sa.insert(ABOUT).values(key=_ENTRANCE, value=value))

    def use_key(self, key_digest: str) -> bool:
        """Whether the key fits; it is used up by that."""
        with self.engine.begin() as connection:
            found = connection.execute(sa.select(ABOUT.c.value).where(ABOUT.c.key == _ENTRANCE)).scalar()
            if found is None:
                return False
            kept = json.loads(found)
            if kept["digest"] != key_digest or kept["ends"] < time.time():
                return False
            done = connection.execute(
                sa.delete(ABOUT).where(ABOUT.c.key == _ENTRANCE, ABOUT.c.value == found)
            )
            return done.rowcount == 1

    def secret(self, fresh: str) -> str:
        """The key that this ledger's cookies are signed with; the fresh one where it has none yet."""
        with self.engine.begin() as connection:
            found = connection.execute(sa.select(ABOUT.c.value).where(ABOUT.c.key == _SECRET)).scalar()
            if found is not None:
                return str(found)
            # Of two desks that open at once the faster one's key holds for both.
            insert = insert_into(ABOUT, self.engine).on_conflict_do_nothing()
            connection.execute(insert.values(key=_SECRET, value=fresh))
            return str(
                connection.execute(sa.select(ABOUT.c.value).where(ABOUT.c.key == _SECRET)).scalar_one()
            )

"""Who is at the desk: signed cookies, tokens against forged forms, and the change of token at sign-in."""

from __future__ import annotations

import hashlib
import hmac
from dataclasses import dataclass

from itsdangerous import BadSignature, TimestampSigner
from starlette.requests import Request
from starlette.responses import Response

from triage.desk.passwords import digest, fresh_token
from triage.ledger import Ledger, Person

LASTS_SECONDS = 12 * 3600


@dataclass(frozen=True)
class Sessions:
    """The sessions of one ledger; the cookie holds a signed random token and nothing else."""

    ledger: Ledger
    secret: str
    is_https: bool = False

    @property
    def cookie(self) -> str:
        """The cookie's name; behind https it is bound to this very host."""
        return "__Host-desk" if self.is_https else "desk"

    @property
    def _signer(self) -> TimestampSigner:
        return TimestampSigner(self.secret, salt="desk-session", digest_method=hashlib.sha256)

    def token(self, request: Request) -> str | None:
        """The token that the visitor's cookie holds, if we signed it and it isn't too old."""
        try:
            return self._signer.unsign(request.cookies.get(self.cookie, ""), LASTS_SECONDS).decode()
        except (BadSignature, UnicodeDecodeError):
            return None

    def person(self, token: str | None) -> Person | None:
        """Who is behind a token."""
        found = None if token is None else self.ledger.people.session(digest(token))
        return None if found is None else Person(*found)

    def form_token(self, token: str) -> str:
        """What every form of this visitor must carry."""
        return hmac.new(self.secret.encode(), f"form {token}".encode(), hashlib.sha256).hexdigest()

    def is_own_form(self, token: str | None, given: str) -> bool:
        """Whether a form was made by us for this visitor."""
        return token is not None and hmac.compare_digest(self.form_token(token), given)

    def let_in(self, response: Response, person: Person, before: str | None) -> None:
        """Begin a session under a fresh token; the one used before is worth nothing any more."""
        if before is not None:
            self.ledger.people.end_session(digest(before))
        token = fresh_token()
        self.ledger.people.begin_session(digest(token), person.name, person.role, LASTS_SECONDS)
        self.give(response, token)

    def see_out(self, response: Response, token: str | None) -> None:
        """End a session."""
        if token is not None:
            self.ledger.people.end_session(digest(token))
        response.delete_cookie(self.cookie, path="/", secure=self.is_https, httponly=True, samesite="strict")

    def give(self, response: Response, token: str) -> None:
        """Put a token into the visitor's cookie."""
        response.set_cookie(
            self.cookie,
            self._signer.sign(token).decode(),
            max_age=LASTS_SECONDS,
            path="/",
            secure=self.is_https,
            httponly=True,
            samesite="strict",
        )

"""The entrance: sign in by name and password or by the one-time address, and sign out."""

from __future__ import annotations

from dataclasses import dataclass, field

from starlette.concurrency import run_in_threadpool
from starlette.datastructures import FormData
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from triage.desk.passwords import Tries, digest, fits, fresh_token
from triage.desk.sessions import Sessions
from triage.desk.visit import plain_page
from triage.ledger import Ledger, Person

KEY_LASTS_SECONDS = 3600.0
FIRST_PERSON = Person("editor", "editor")
"""Who enters by the one-time address."""
WRONG = "Name and password don't fit together."
LATE = "That address was used already, or is too old. Start `quillstem desk` again for a new one."


def lay_out_key(ledger: Ledger) -> str:
    """A one-time key, good for an hour; the address is /enter/KEY."""
    key = fresh_token()
    ledger.people.leave_key(digest(key), KEY_LASTS_SECONDS)
    return key


@dataclass(frozen=True)
class Entrance:
    """What the entrance needs."""

    ledger: Ledger
    sessions: Sessions
    tries: Tries = field(default_factory=Tries)

    async def sign_in_page(self, request: Request) -> Response:
        """The form for name and password."""
        return self._form(request)

    async def sign_in(self, request: Request) -> Response:
        """Let somebody in who knows the password."""
        form, token = await self._own_form(request)
        name, password = _text(form, "name").strip()[:80], _text(form, "password")
        place = request.client.host if request.client else ""
        wait = self.tries.wait_seconds(name, place)
        if wait:
            response = self._form(
                request, f"Too many wrong tries. Try again in {-(-wait // 60)} minutes.", 429
            )
            response.headers["Retry-After"] = str(wait)
            return response
        member = await run_in_threadpool(self.ledger.people.of, name)
        if not await run_in_threadpool(fits, password, member.password_hash if member else None):
            self.tries.miss(name, place)
            return self._form(request, WRONG, 403)
        assert member is not None
        self.tries.clear(name)
        return await self._let_in(Person(member.name, member.role), token)

    async def key_page(self, request: Request) -> Response:
        """The page behind the one-time address; only its button uses the key up, so that no preview can."""
        response = plain_page(
            "enter.html", key=request.path_params["key"], form_token=self._form_token(request)
        )
        return self._with_token(request, response)

    async def use_key(self, request: Request) -> Response:
        """Let in whoever holds the one-time address."""
        _, token = await self._own_form(request)
        place = request.client.host if request.client else ""
        if self.tries.wait_seconds("one-time key", place):
            return self._form(request, "Too many wrong tries. Try again in a quarter of an hour.", 429)
        if not await run_in_threadpool(self.ledger.people.use_key, digest(request.path_params["key"])):
            self.tries.miss("one-time key", place)
            return self._form(request, LATE, 403)
        return await self._let_in(FIRST_PERSON, token)

    async def sign_out(self, request: Request) -> Response:
        """Let somebody out."""
        _, token = await self._own_form(request)
        response = RedirectResponse("/sign-in", 303)
        await run_in_threadpool(self.sessions.see_out, response, token)
        return response

    async def _let_in(self, person: Person, before: str | None) -> Response:
        response = RedirectResponse("/wall", 303)
        await run_in_threadpool(self.sessions.let_in, response, person, before)
        return response

    async def _own_form(self, request: Request) -> tuple[FormData, str | None]:
        form = await request.form(max_fields=20, max_files=0)
        token = self.sessions.token(request)
        if not self.sessions.is_own_form(token, _text(form, "form_token")):
            raise HTTPException(403, "This form was not made by the desk for you. Load the page again.")
        return form, token

    def _form(self, request: Request, trouble: str | None = None, status: int = 200) -> Response:
        has_people = bool(self.ledger.people.all())
        response = plain_page(
            "sign_in.html",
            status,
            trouble=trouble,
            has_people=has_people,
            form_token=self._form_token(request),
        )
        return self._with_token(request, response)

    def _form_token(self, request: Request) -> str:
        """The form token of the visitor's cookie, or of the one that the answer will bring."""
        token = self.sessions.token(request)
        if token is None:
            token = fresh_token()
            request.state.fresh = token
        return self.sessions.form_token(token)

    def _with_token(self, request: Request, response: Response) -> Response:
        fresh = getattr(request.state, "fresh", None)
        if fresh is not None:
            self.sessions.give(response, fresh)
        return response


def routes(front: Entrance) -> list[Route]:
    """The doors that are open to everybody."""
    return [
        Route("/sign-in", front.sign_in_page, methods=["GET"]),
        Route("/sign-in", front.sign_in, methods=["POST"]),
        Route("/sign-out", front.sign_out, methods=["POST"]),
        Route("/enter/{key}", front.key_page, methods=["GET"]),
        Route("/enter/{key}", front.use_key, methods=["POST"]),
    ]


def _text(form: FormData, name: str) -> str:
    value = form.get(name)
    return value if isinstance(value, str) else ""

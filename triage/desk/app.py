"""The desk as a web application: doors with the right that each asks for, and what stands around all of them."""

from __future__ import annotations

from collections.abc import Awaitable, Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import FormData
from starlette.exceptions import HTTPException
from starlette.middleware import Middleware
from starlette.middleware.trustedhost import TrustedHostMiddleware
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Mount, Route
from starlette.staticfiles import StaticFiles
from starlette.types import ASGIApp

from triage.desk import bench, entrance, episode, history, recall, reference, replies, wall, week
from triage.desk.entrance import Entrance
from triage.desk.guards import BoundedBodies, SafeHeaders
from triage.desk.passwords import fresh_token
from triage.desk.postman import Postman
from triage.desk.sessions import Sessions
from triage.desk.settings import Settings
from triage.desk.visit import Visit, plain_page
from triage.ledger import ClashError
from triage.logs import event
from triage.review.acts import Bench, NotDoneError
from triage.review.roles import may

HERE = Path(__file__).parent
MOST_FIELDS = 2_000
WORTH_KEEPING = ("script", "reply", "note")
Handler = Callable[[Visit], Response]


@dataclass(frozen=True, slots=True)
class Door:
    """One page or one change: its method and path, the right that it asks for, and who answers."""

    method: str
    path: str
    right: str
    handler: Handler


DOORS: Sequence[Door] = (
    Door("GET", "/wall", "look", wall.page),
    Door("GET", "/bench/{question}", "look", bench.page),
    Door("POST", "/bench/{question}/read", "correct", bench.read_otherwise),
    Door("POST", "/bench/{question}/sort", "correct", bench.sort_otherwise),
    Door("POST", "/bench/{question}/text", "look", bench.edit_text),
    Door("POST", "/bench/{question}/tick", "sign", bench.tick_figure),
    Door("POST", "/bench/{question}/return", "sign", bench.return_it),
    Door("POST", "/bench/{question}/sign", "sign", bench.sign_off),
    Door("POST", "/bench/{question}/back", "look", bench.back),
    Door("GET", "/replies", "look", replies.page),
    Door("POST", "/replies/take", "send", replies.take),
    Door("POST", "/replies/order", "send", replies.order),
    Door("POST", "/replies/settle", "send", replies.settle),
    Door("GET", "/history", "look", history.page),
    Door("GET", "/week", "look", week.page),
    Door("GET", "/episode", "look", episode.page),
    Door("POST", "/episode/change", "plan", episode.change),
    Door("POST", "/episode/say", "plan", episode.say_like),
    Door("POST", "/episode/aired", "plan", episode.mark_aired),
    Door("POST", "/episode/owe", "plan", episode.owe),
    Door("POST", "/episode/mails", "send", episode.correction_file),
    Door("GET", "/episode/{day}/run", "look", episode.run_page),
    Door("GET", "/episode/{day}/file/{form}", "look", episode.file),
    Door("GET", "/recall", "look", recall.page),
    Door("GET", "/source/{source}", "look", reference.source_page),
    Door("GET", "/table/{topic}/{table}", "look", reference.table_page),
    Door("GET", "/part/{part}", "look", reference.part_page),
    Door("GET", "/figure/{figure}", "look", reference.figure_page),
)
"""Every door behind the entrance; a test tries each of them in every role."""


def build(desk: Bench, settings: Settings) -> ASGIApp:
    """The application over a ledger and its knowledge."""
    sessions = Sessions(desk.ledger, desk.ledger.people.secret(fresh_token()), settings.is_https)
    front = Entrance(desk.ledger, sessions)
    postman = Postman()
    app = Starlette(
        routes=[
            Route("/", lambda _request: RedirectResponse("/wall", 303)),
            *entrance.routes(front),
            *(
                Route(door.path, _answer(door, desk, settings, sessions, postman), methods=[door.method])
                for door in DOORS
            ),
            Mount("/static", StaticFiles(directory=HERE / "static")),
        ],
        middleware=[
            Middleware(TrustedHostMiddleware, allowed_hosts=list(settings.hosts), www_redirect=False),
            Middleware(BoundedBodies),
        ],
        exception_handlers={HTTPException: _refused, Exception: _failed},
    )
    return SafeHeaders(app)


def _answer(
    door: Door, desk: Bench, settings: Settings, sessions: Sessions, postman: Postman
) -> Callable[[Request], Awaitable[Response]]:
    """The door's handler behind its checks: somebody is in, may do it, and the form is ours."""

    async def answer(request: Request) -> Response:
        token = sessions.token(request)
        person = await run_in_threadpool(sessions.person, token)
        if person is None or token is None:
            if door.method == "GET":
                return RedirectResponse("/sign-in", 303)
            return await _signed_out(request)
        form = FormData()
        if door.method == "POST":
            form = await request.form(max_fields=MOST_FIELDS, max_files=0)
            given = form.get("form_token")
            if not isinstance(given, str) or not sessions.is_own_form(token, given):
                raise HTTPException(403, "This form was not made by the desk for you. Load the page again.")
        if not may(person.role, door.right):
            raise HTTPException(403, f"A {person.role} can't do that. Ask an editor.")
        visit = Visit(desk, settings, request, person, sessions.form_token(token), postman, form)
        return await run_in_threadpool(_handled, door.handler, visit)

    return answer


def _handled(handler: Handler, visit: Visit) -> Response:
    try:
        return handler(visit)
    except ClashError:
        return bench.clash(visit)
    except NotDoneError as error:
        return visit.page("trouble.html", 409, heading="Not done", told=str(error), typed=_typed(visit.form))


async def _signed_out(request: Request) -> Response:
    """What somebody typed is given back, so that it can be kept after signing in again."""
    form = await request.form(max_fields=MOST_FIELDS, max_files=0)
    told = "You are no longer signed in. Sign in again; below is what you typed."
    return plain_page("trouble.html", 401, heading="Signed out", told=told, typed=_typed(form))


def _typed(form: FormData) -> list[tuple[str, str]]:
    return [
        (name, value)
        for name, value in form.multi_items()
        if name in WORTH_KEEPING and isinstance(value, str) and value
    ]


async def _refused(_request: Request, error: Exception) -> Response:
    assert isinstance(error, HTTPException)
    heading = {404: "Not here", 405: "Not here"}.get(error.status_code, "Not allowed")
    told = error.detail if error.status_code not in (404, 405) else "There is no such page on this desk."
    return plain_page("trouble.html", error.status_code, heading=heading, told=told, typed=())


async def _failed(_request: Request, error: Exception) -> Response:
    """A fault of ours: said plainly here, and with its kind and place where the desk was started."""
    event("page failed", error=error)
    told = "The desk stumbled over this. Nothing of what was kept is lost; the window where the desk was started says where."
    return plain_page("trouble.html", 500, heading="A fault of ours", told=told, typed=())

"""Around every request: bounded bodies, and headers that let a browser load and run nothing but our own."""

from __future__ import annotations

from starlette.datastructures import MutableHeaders
from starlette.types import ASGIApp, Message, Receive, Scope, Send

MOST_BODY_BYTES = 1_000_000
HEADERS = {
    "Content-Security-Policy": "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; "
    "connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'",
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Referrer-Policy": "no-referrer",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(), microphone=(), geolocation=()",
}
PAGES = {"Cache-Control": "no-store"}
STATIC = {"Cache-Control": "no-cache"}


class _AroundRequests:
    """Stands around an application; what is no request passes through untouched."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass it on."""
        passed_on = self.request if scope["type"] == "http" else self.app
        await passed_on(scope, receive, send)

    async def request(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass a request on."""
        raise NotImplementedError


class SafeHeaders(_AroundRequests):
    """Set the headers on every answer, errors among them."""

    async def request(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass the request on."""
        kept = STATIC if scope["path"].startswith("/static/") else PAGES

        async def send_with_headers(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                for name, value in {**HEADERS, **kept}.items():
                    headers[name] = value
            await send(message)

        await self.app(scope, receive, send_with_headers)


class TooLargeError(Exception):
    """A body is larger than any form of ours."""


class BoundedBodies(_AroundRequests):
    """Refuse a body that is larger than any form of ours, by what it says of itself and by what comes."""

    async def request(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass the request on, or answer 413."""
        declared = dict(scope["headers"]).get(b"content-length", b"0")
        if not declared.isdigit() or int(declared) > MOST_BODY_BYTES:
            await _refuse(send)
            return
        came = 0
        has_begun = False

        async def receive_bounded() -> Message:
            nonlocal came
            message = await receive()
            came += len(message.get("body", b""))
            if came > MOST_BODY_BYTES:
                raise TooLargeError
            return message

        async def send_noting(message: Message) -> None:
            nonlocal has_begun
            has_begun = True
            await send(message)

        try:
            await self.app(scope, receive_bounded, send_noting)
        except TooLargeError:
            if not has_begun:
                await _refuse(send)


async def _refuse(send: Send) -> None:
    body = f"The form is larger than {MOST_BODY_BYTES:,} bytes.".encode()
    await send(
        {
            "type": "http.response.start",
            "status": 413,
            "headers": [(b"content-type", b"text/plain; charset=utf-8")],
        }
    )
    await send({"type": "http.response.body", "body": body})

"""A mail server on this machine that keeps what it is handed and can be told to be difficult."""

from __future__ import annotations

import asyncio
import threading
from email import message_from_bytes
from email.policy import default

from aiosmtpd.controller import Controller
from aiosmtpd.smtp import SMTP

from triage.outbox import Server


class Sink(Controller):
    """Keeps mails. `refuse` gives answers by step and address, `cut` the addresses in whose mails it hangs up,
    `cut_before` those at whose names it does.

    At an address in `hold` it keeps the mail, tells `held`, and never answers: as when a sender dies just then.
    """

    def __init__(self, **how):
        self.mails = []
        self.refuse, self.cut, self.cut_before, self.hold, self.pause = {}, set(), set(), set(), 0.0
        self.held = threading.Event()
        self.connections, self.open = 0, []
        self.options = []
        super().__init__(self, hostname="127.0.0.1", port=0, ready_timeout=10, **how)

    def factory(self):
        """One conversation."""
        self.connections += 1
        one = Conversation(self.handler, **self.SMTP_kwargs)
        self.open.append(one)
        return one

    def hang_up(self):
        """Hang up on everybody, without a word."""
        for one in self.open:
            if one.transport is not None:
                one.transport.abort()

    def _trigger_server(self):
        self.port = self.server.sockets[0].getsockname()[1]
        super()._trigger_server()

    @property
    def server_settings(self):
        """How the desk reaches it."""
        return Server("127.0.0.1", self.port, "none", patience_seconds=5.0)

    @property
    def parsed(self):
        """The mails, parsed, by recipient."""
        return {to: message_from_bytes(data, policy=default) for to, data in self.mails}

    @property
    def recipients(self):
        """Whose mails arrived, as often as they did."""
        return sorted(to for to, _ in self.mails)

    async def handle_MAIL(self, server, session, envelope, address, options):  # noqa: ARG002, N802 - the library's names
        envelope.mail_from = address
        self.options.append(options)
        return self.refuse.get(("MAIL", address), "250 OK")

    async def handle_RCPT(self, server, session, envelope, address, options):  # noqa: ARG002, N802 - the library's names
        if address in self.cut_before:
            server.transport.abort()
        if ("RCPT", address) in self.refuse:
            return self.refuse["RCPT", address]
        envelope.rcpt_tos.append(address)
        return "250 OK"

    async def handle_DATA(self, server, session, envelope):  # noqa: ARG002, N802 - the library's names
        (to,) = envelope.rcpt_tos
        if ("DATA", to) in self.refuse:
            return self.refuse["DATA", to]
        self.mails.append((to, envelope.original_content))
        await asyncio.sleep(self.pause)
        if to in self.hold:
            self.held.set()
            await asyncio.sleep(60)
        return "250 Kept"


class Conversation(SMTP):
    """A conversation in which the server may hang up."""

    async def smtp_DATA(self, arg):  # noqa: N802 - the library's name
        """Take a mail; or hang up within it."""
        sink, to = self.event_handler, self.envelope.rcpt_tos[0]
        if to not in sink.cut:
            await super().smtp_DATA(arg)
            return
        await self.push("354 Go on")
        await self._reader.readline()
        self.transport.abort()

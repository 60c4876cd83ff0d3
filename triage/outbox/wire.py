"""The wire to the mail server: one connection for many mails, and of each the step at which it failed."""

from __future__ import annotations

import smtplib
import socket
import ssl
from copy import deepcopy
from dataclasses import dataclass
from email.message import EmailMessage
from email.utils import localtime

from triage.ledger.mails import Ending
from triage.outbox.server import Server

MAILS_ON_ONE_CONNECTION = 100
PATIENCE_FOR_A_WHOLE_MAIL = 5
LONGEST_ANSWER = 300
TAKEN = 250
RECIPIENT_TAKEN = (250, 251)
CLOSING = 421
REFUSALS = range(400, 600)
SEALED = {"none": "unsealed connections", "starttls": "STARTTLS", "tls": "TLS"}
NO_SMTPUTF8 = "The mail server can't take this address: it knows only plain ASCII ones (no SMTPUTF8)."
BROKE_BEFORE = "The connection broke twice before the mail was handed over."
BROKE_WITHIN = "The connection broke while the mail was handed over"


class UnreachableError(Exception):
    """The mail server can't be reached, or doesn't let the desk in; the text says why. Nothing was sent by that."""


@dataclass(frozen=True, slots=True)
class Outcome:
    """How the handing over of one mail ended, with the server's words or ours in one line."""

    state: Ending
    answer: str


class _BrokenError(Exception):
    """The connection broke before any of the mail was handed over."""


class Wire:
    """A connection to the mail server that is opened when needed and opened anew after a failure."""

    def __init__(self, server: Server) -> None:
        self.server = server
        self._smtp: smtplib.SMTP | None = None
        self._carried = 0

    def ready(self) -> None:
        """Have a connection, or open one.

        Raises:
            UnreachableError: none can be had.
        """
        if self._smtp is not None and self._carried >= MAILS_ON_ONE_CONNECTION:
            self.close()
        if self._smtp is None:
            self._smtp = _connected(self.server)
            self._carried = 0

    def close(self) -> None:
        """Say goodbye to the server, if it still listens."""
        smtp, self._smtp = self._smtp, None
        if smtp is not None:
            try:
                smtp.quit()
            except (smtplib.SMTPException, OSError):
                smtp.close()

    def deliver(self, mail: EmailMessage, address: str) -> Outcome:
        """Hand over one mail. A connection that proves dead before that is opened anew, once.

        Raises:
            UnreachableError: it can't be opened anew; nothing of the mail was handed over.
        """
        for _ in range(2):
            self.ready()
            try:
                return self._deliver(mail, address)
            except _BrokenError:
                self._drop()
        return Outcome("refused", BROKE_BEFORE)

    def _deliver(self, mail: EmailMessage, address: str) -> Outcome:
        smtp = self._smtp
        assert smtp is not None
        self._carried += 1
        options = [] if address.isascii() else ["SMTPUTF8", "BODY=8BITMIME"]
        if options and not smtp.has_extn("smtputf8"):
            return Outcome("refused", NO_SMTPUTF8)
        data = mail.as_bytes()
        try:
            code, words = smtp.mail(self.server.sender.address, options)
            if code == TAKEN:
                code, words = smtp.rcpt(address)
        except (smtplib.SMTPException, OSError) as error:
            raise _BrokenError from error
        if code not in RECIPIENT_TAKEN:
            return self._refused(code, words, address)
        return self._handed_over(smtp, data, address)

    def _handed_over(self, smtp: smtplib.SMTP, data: bytes, address: str) -> Outcome:
        try:
            _be_patient(smtp, self.server.patience_seconds * PATIENCE_FOR_A_WHOLE_MAIL)
            code, words = smtp.data(data)
            if code == TAKEN:
                _be_patient(smtp, self.server.patience_seconds)
        except smtplib.SMTPDataError as error:  # said before any of the mail was handed over
            return self._refused(error.smtp_code, error.smtp_error, address)
        except (smtplib.SMTPException, OSError) as error:
            self._drop()
            return Outcome("unclear", f"{BROKE_WITHIN}: {said(str(error), address)}")
        if code == TAKEN:
            return Outcome("sent", _answer(code, words, address))
        if code in REFUSALS:
            return self._refused(code, words, address)
        self._drop()
        return Outcome(
            "unclear", f"The mail server's answer says neither yes nor no: {_answer(code, words, address)}"
        )

    def _refused(self, code: int, words: bytes | str, address: str) -> Outcome:
        try:
            if code == CLOSING or self._smtp is None or self._smtp.rset()[0] != TAKEN:
                self._drop()
        except (smtplib.SMTPException, OSError):
            self._drop()
        return Outcome("refused", _answer(code, words, address))

    def _drop(self) -> None:
        if self._smtp is not None:
            self._smtp.close()
        self._smtp = None


def as_sent(mail: EmailMessage, mail_id: str) -> EmailMessage:
    """A mail as it goes out: dated now, under the Message-ID it was ordered with, no longer marked unsent."""
    out = deepcopy(mail)
    del out["X-Unsent"], out["Date"]
    out["Date"] = localtime()
    out.replace_header("Message-ID", f"<{mail_id}>")
    return out


def said(words: str, address: str = "") -> str:
    """Somebody else's words on one line, without control characters and without the rider's address.

    >>> said("5.1.1 ana@riders.invalid:\\n no such rider", "ana@riders.invalid")
    '5.1.1 …: no such rider'
    """
    plain = " ".join("".join(one if one.isprintable() else " " for one in words).split())
    if address:
        start = plain.lower().find(address.lower())
        while start >= 0:
            plain = f"{plain[:start]}…{plain[start + len(address) :]}"
            start = plain.lower().find(address.lower())
    return plain[:LONGEST_ANSWER]


def _answer(code: int, words: bytes | str, address: str) -> str:
    text = words.decode("utf-8", "replace") if isinstance(words, bytes) else words
    return f"{code} {said(text, address)}".strip()


def _be_patient(smtp: smtplib.SMTP, seconds: float) -> None:
    if isinstance(smtp.sock, socket.socket):
        smtp.sock.settimeout(seconds)


def _connected(server: Server) -> smtplib.SMTP:
    try:
        smtp = _opened(server)
    except smtplib.SMTPResponseException as error:
        raise UnreachableError(
            _unreachable(server, _answer(error.smtp_code, error.smtp_error, ""))
        ) from error
    except (smtplib.SMTPException, OSError) as error:
        raise UnreachableError(_unreachable(server, said(str(error)) or type(error).__name__)) from error
    try:
        _greeted(smtp, server)
    except smtplib.SMTPAuthenticationError as error:
        smtp.close()
        words = _answer(error.smtp_code, error.smtp_error, "")
        raise UnreachableError(
            f"{server} does not let {server.user} in: {words}\n    Are the name and the password right?"
        ) from error
    except smtplib.SMTPResponseException as error:
        smtp.close()
        raise UnreachableError(
            _unreachable(server, _answer(error.smtp_code, error.smtp_error, ""))
        ) from error
    except (smtplib.SMTPException, OSError) as error:
        smtp.close()
        raise UnreachableError(_unreachable(server, said(str(error)) or type(error).__name__)) from error
    except BaseException:
        smtp.close()
        raise
    return smtp


def _unreachable(server: Server, why: str) -> str:
    return (
        f"{server} can't be used to send mail: {why}\n"
        f"    Are host and port right, is the server up, and does it take {SEALED[server.security]} there?"
    )


def _opened(server: Server) -> smtplib.SMTP:
    # The sender's domain stands for the desk: asking for this machine's own name may take long, and tells too much.
    own_name = server.sender.domain
    if server.security == "tls":
        return smtplib.SMTP_SSL(
            server.host,
            server.port,
            own_name,
            timeout=server.patience_seconds,
            context=ssl.create_default_context(),
        )
    return smtplib.SMTP(server.host, server.port, own_name, timeout=server.patience_seconds)


def _greeted(smtp: smtplib.SMTP, server: Server) -> None:
    smtp.ehlo_or_helo_if_needed()
    if server.security == "starttls":
        smtp.starttls(context=ssl.create_default_context())
        smtp.ehlo_or_helo_if_needed()
    if server.user is not None and server.password is not None:
        smtp.login(server.user, server.password)

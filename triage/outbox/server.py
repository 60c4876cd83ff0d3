"""The desk's own mail server and whom replies come from, as they are written on the command line."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from email.utils import parseaddr
from typing import Literal, get_args

from triage.output.replies import Sender

Security = Literal["none", "starttls", "tls"]
USUAL_PORTS: Mapping[str, int] = {"none": 25, "starttls": 587, "tls": 465}
PASSWORD_VARIABLE = "QUILLSTEM_SMTP_PASSWORD"
THIS_MACHINE = ("127.0.0.1", "::1", "localhost")
_HOST = re.compile(r"[A-Za-z0-9._-]{1,253}|[0-9A-Fa-f:.]{2,45}")
_PLACE = re.compile(r"(?:\[(?P<six>[^\]]*)\]|(?P<host>[^:\[\]]*))(?::(?P<port>.*))?")
_ADDRESS = re.compile(
    r"[A-Za-z0-9.!#$%&'*+/=?^_`{|}~-]{1,64}@[A-Za-z0-9](?:[A-Za-z0-9.-]{0,251}[A-Za-z0-9])?"
)


@dataclass(frozen=True)
class Server:
    """A mail server that takes the desk's mails on.

    `security` says how the connection is sealed: "starttls" and "tls" go no further without a valid certificate.
    `patience_seconds` is how long each answer is waited for; the answer to a whole mail five times as long.
    """

    host: str
    port: int
    security: Security = "starttls"
    user: str | None = None
    password: str | None = field(default=None, repr=False)
    sender: Sender = field(default_factory=Sender)
    patience_seconds: float = 60.0

    def __str__(self) -> str:
        return f"[{self.host}]:{self.port}" if ":" in self.host else f"{self.host}:{self.port}"


def server_from(
    text: str, user: str | None, security: str, environ: Mapping[str, str], sender: Sender | None = None
) -> Server:
    """The server that HOST or HOST:PORT names, with the password from the environment.

    Raises:
        ValueError: host, port or security can't be, or the password is missing, or would travel unsealed.
    """
    if security not in get_args(Security):
        raise ValueError(f"security: expected none, starttls or tls, got {security!r}")
    if "@" in text or "://" in text:
        raise ValueError(
            "The mail server is written HOST:PORT, without a name, a password or a scheme.\n"
            f"    For example smtp.show.invalid:587. The password goes into the variable {PASSWORD_VARIABLE}."
        )
    host, port = _place(text.strip(), security)
    return Server(
        host, port, _security(security), *_signing_in(user, security, host, environ), sender or Sender()
    )


def sender_from(text: str | None) -> Sender:
    """The sender that NAME <ADDRESS>, or a bare address, names; the usual one for None.

    Raises:
        ValueError: it holds no plain ASCII address.

    >>> sender_from("Workshop desk <desk@show.invalid>")
    Sender(name='Workshop desk', address='desk@show.invalid')
    """
    if text is None:
        return Sender()
    name, address = parseaddr(text)
    if not _ADDRESS.fullmatch(address) or not (name + address).isprintable():
        raise ValueError(
            f"{text!r} names no sender.\n"
            "    Write the name and a plain address: Workshop desk <desk@show.invalid>"
        )
    return Sender(name, address)


def _security(text: str) -> Security:
    return "none" if text == "none" else "tls" if text == "tls" else "starttls"


def _place(text: str, security: str) -> tuple[str, int]:
    found = _PLACE.fullmatch(text)
    host = (found["six"] or found["host"] or "") if found else ""
    if found is None or not _HOST.fullmatch(host):
        raise ValueError(
            f"{text!r} is no mail server.\n"
            "    Write HOST:PORT, for example smtp.show.invalid:587, or [::1]:587 for a bare IPv6 address."
        )
    if found["port"] is None:
        return host, USUAL_PORTS[security]
    if not re.fullmatch(r"[0-9]{1,5}", found["port"]) or not 1 <= int(found["port"]) <= 65535:
        raise ValueError(f"{text!r}: the port is a number from 1 to 65535, got {found['port']!r}.")
    return host, int(found["port"])


def _signing_in(
    user: str | None, security: str, host: str, environ: Mapping[str, str]
) -> tuple[str | None, str | None]:
    password = environ.get(PASSWORD_VARIABLE)
    if user is None:
        if password:
            raise ValueError(
                f"{PASSWORD_VARIABLE} is set, but nobody is named who signs in.\n"
                "    Name the user, or take the variable away."
            )
        return None, None
    if not password:
        raise ValueError(
            f"{user} signs in at the mail server, but {PASSWORD_VARIABLE} is not set.\n"
            "    Put the password there; it is taken from nowhere else."
        )
    if not (user + password).isascii():
        raise ValueError("The mail server's user and password can hold plain ASCII characters only.")
    if security == "none" and host not in THIS_MACHINE:
        raise ValueError(
            f"The password would travel unsealed to {host}.\n"
            "    Seal the connection with starttls or tls; only a server on this machine may go without."
        )
    return user, password

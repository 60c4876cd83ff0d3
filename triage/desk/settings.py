"""What the one who starts the desk decides: hosts, https, and the mail server."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path

from triage.outbox import Sender, Server

OWN_HOSTS = ("127.0.0.1", "localhost", "[::1]")


@dataclass(frozen=True)
class Settings:
    """How the desk is reached and by whom mail is sent.

    `hosts` are the names under which a browser may ask for it; any other is refused, so that a page elsewhere can't
    reach it by a name of its own. `server` is the outbox's mail server, None where the desk sends nothing;
    `sender` is whom replies come from; `own_folder` is
    the desk's own knowledge, for what is read anew from it.
    """

    hosts: tuple[str, ...] = OWN_HOSTS
    is_https: bool = False
    server: Server | None = None
    own_folder: Path | None = None
    sender: Sender = field(default_factory=Sender)

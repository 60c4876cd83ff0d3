"""`quillstem desk`: open the review desk for one person or a team, and say who may come in."""

from __future__ import annotations

import socket
import sys
import time
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING

import click
from rich.console import Console
from rich.progress import Progress

from knowledge.trouble import KnowledgeError
from triage.cli.knowledge import OWN_FOLDER
from triage.cli.learn import LEDGER
from triage.cli.logs import LOGS, set_up
from triage.cli.opened import opened_ledger
from triage.logs import event, timed
from triage.review.roles import ROLES

if TYPE_CHECKING:
    from knowledge.base import Knowledge
    from triage.desk.settings import Settings
    from triage.ledger import Ledger
    from triage.outbox import Sender, Server
    from triage.review.acts import Bench

USUAL_PORT = 8417


@click.command("desk")
@LEDGER
@OWN_FOLDER
@click.option(
    "--people", "wants_people", is_flag=True,
    help="Add people with a role and a password, change or remove them, and end.  Example: --people",
)  # fmt: skip
@click.option(
    "--address", "wants_address", is_flag=True,
    help="Print a fresh one-time address for a desk that is open already, and end.  Example: --address",
)  # fmt: skip
@click.option(
    "--host", default="127.0.0.1", show_default=True,
    help="The address to listen on; leave it, unless a team comes in over your own network.  Example: --host 0.0.0.0",
)  # fmt: skip
@click.option(
    "--port", type=click.IntRange(0, 65535), default=USUAL_PORT, show_default=True,
    help="The port; 0 takes any free one.  Example: --port 9000",
)  # fmt: skip
@click.option(
    "--known-as", "names", multiple=True, metavar="NAME",
    help="A name under which browsers reach it besides this machine's own; others are refused.  "
    "Example: --known-as desk.show.invalid",
)  # fmt: skip
@click.option(
    "--behind-https", "is_https", is_flag=True,
    help="A proxy of yours speaks https for it, so that cookies go over https alone.  Example: --behind-https",
)  # fmt: skip
@click.option(
    "--smtp", "smtp", metavar="HOST:PORT",
    help="The desk's own mail server; without it nothing is sent, only exported. A password is taken from "
    "QUILLSTEM_SMTP_PASSWORD.  Example: --smtp mail.show.invalid:587",
)  # fmt: skip
@click.option(
    "--smtp-user", metavar="NAME", help="Who signs in at the mail server.  Example: --smtp-user desk"
)
@click.option(
    "--smtp-security", type=click.Choice(["starttls", "tls", "none"]), default="starttls", show_default=True,
    help="How the connection is sealed.  Example: --smtp-security tls",
)  # fmt: skip
@click.option(
    "--sender", metavar="NAME-AND-ADDRESS",
    help='Whom replies come from.  Example: --sender "Workshop desk <desk@show.invalid>"',
)  # fmt: skip
@LOGS
def desk_command(
    ledger_place: str, own_folder: Path | None, wants_people: bool, wants_address: bool, host: str, port: int,
    names: tuple[str, ...], is_https: bool, smtp: str | None, smtp_user: str | None, smtp_security: str,
    sender: str | None, verbose: bool, log_json: str | None,
) -> None:  # fmt: skip
    """Open the desk: read, correct, edit, sign off and answer what `quillstem draft` left in the ledger.

    It prints an address that lets one person in, once, as editor. A team gets names and passwords with --people.
    Nothing outside this machine is contacted. Ctrl-C stops it; everything is kept.

    \b
    Example:
      quillstem draft sample_inbox --out drafts
      quillstem desk
    \b
    Exit codes: 0 stopped, 2 the ledger, the knowledge base or the port can't be used.
    """
    from triage.desk.settings import OWN_HOSTS, Settings
    from triage.ledger import LedgerError

    set_up(verbose, log_json)
    try:
        with opened_ledger(ledger_place) as ledger:
            if wants_people:
                _people(ledger)
            elif wants_address:
                _fresh_address(ledger, host, port)
            else:
                hosts = tuple(dict.fromkeys([*OWN_HOSTS, *names, *([] if host == "0.0.0.0" else [host])]))
                server, whom = _post(smtp, smtp_user, smtp_security, sender)
                settings = Settings(hosts, is_https, server, own_folder, whom)
                _serve(ledger, own_folder, settings, host, port, ledger_place)
    except (LedgerError, KnowledgeError, ValueError) as error:
        click.echo(str(error), err=True)
        sys.exit(2)


def _people(ledger: Ledger) -> None:
    from triage.desk.passwords import hashed

    _list_people(ledger)
    roles = ", ".join(ROLES)
    while name := click.prompt("Name (empty to end)", default="", show_default=False).strip()[:80]:
        role = click.prompt(f"Role of {name} ({roles}, or gone)", type=click.Choice([*ROLES, "gone"]))
        if role == "gone":
            click.echo(f"{name} is out." if ledger.people.remove(name) else f"Nobody is called {name}.")
            continue
        while True:
            password = click.prompt("Password", hide_input=True, confirmation_prompt="The same again")
            try:
                ledger.people.put(name, role, hashed(password))
            except ValueError as error:
                click.echo(str(error))
                continue
            break
        click.echo(f"{name} may come in as {role}: {ROLES[role]}.")
    _list_people(ledger)


def _list_people(ledger: Ledger) -> None:
    members = ledger.people.all()
    if not members:
        click.echo("Nobody has a password yet.")
    for member in members:
        click.echo(f"  {member.name}, {member.role}, since {member.added[:10]}")


def _fresh_address(ledger: Ledger, host: str, port: int) -> None:
    from triage.desk.entrance import lay_out_key

    click.echo(f"Good once, for an hour: http://{_own(host)}:{port}/enter/{lay_out_key(ledger)}")


def _own(host: str) -> str:
    return "127.0.0.1" if host in ("0.0.0.0", "::") else f"[{host}]" if ":" in host else host


def _post(
    smtp: str | None, user: str | None, security: str, sender_text: str | None
) -> tuple[Server | None, Sender]:
    """The mail server, where there is one, and whom replies come from."""
    import os

    from triage.outbox import sender_from, server_from

    sender = sender_from(sender_text)
    if smtp is not None and sender_text is None:
        raise ValueError("--smtp needs --sender: whom do the replies come from?")
    return server_from(smtp, user, security, os.environ, sender) if smtp is not None else None, sender


def _serve(
    ledger: Ledger, own_folder: Path | None, settings: Settings, host: str, port: int, place: str
) -> None:
    import uvicorn

    from knowledge.phrases import load_phrases
    from triage.desk.app import build
    from triage.desk.entrance import lay_out_key
    from triage.desk.wall import catch_up
    from triage.review.acts import Bench

    console = Console(stderr=True, highlight=False)
    listening = _listen(host, port)
    with console.status("Reading the knowledge base …"):
        bench = Bench(ledger, _known(own_folder), load_phrases(own_folder))
    _look_again(bench, console)
    with console.status("Letting the search know what is new …"), timed("search caught up"):
        catch_up(bench)
    port = listening.getsockname()[1]
    address = f"http://{_own(host)}:{port}"
    click.echo(f"The desk is open: {address}")
    click.echo(f"  Come in, once, within the hour:  {address}/enter/{lay_out_key(ledger)}")
    if ledger.people.all():
        click.echo(f"  With name and password:          {address}/sign-in")
    click.echo(f"Ctrl-C stops it. Everything is kept in {place.rpartition('@')[2]}.")
    sys.stdout.flush()
    event(
        "desk opened",
        port=port,
        has_mail_server=settings.server is not None,
        is_behind_https=settings.is_https,
    )
    # Its own log would print what a fault was about, and so a rider's words; `desk.app` tells a fault without them.
    config = uvicorn.Config(
        build(bench, settings),
        log_config=None,
        log_level="critical",
        access_log=False,
        server_header=False,
        lifespan="off",
    )
    with suppress(KeyboardInterrupt):  # uvicorn lets the requests in hand end, and raises it again
        uvicorn.Server(config).run(sockets=[listening])
    event("desk closed")
    click.echo("The desk is closed.")


def _known(own_folder: Path | None) -> Knowledge:
    from knowledge.load import load

    begun = time.perf_counter()
    knowledge = load(own_folder)
    event(
        "knowledge read",
        briefs=len(knowledge.briefs),
        calculations=len(knowledge.calculations),
        parts=len(knowledge.parts),
        seconds=time.perf_counter() - begun,
    )
    return knowledge


def _listen(host: str, port: int) -> socket.socket:
    """A socket on the port.

    Raises:
        ValueError: the port is taken or not ours to use.
    """
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    listening = socket.socket(family, socket.SOCK_STREAM)
    listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listening.bind((host, port))
        listening.listen(128)  # so that the printed address answers from the first moment
    except OSError as error:
        listening.close()
        raise ValueError(
            f"Port {port} on {host} can't be used: {error.strerror}.\n"
            "    Is a desk open already? Its one-time address comes with --address; another port with --port 0."
        ) from error
    return listening


def _look_again(bench: Bench, console: Console) -> None:
    """Where the knowledge has changed, see which signed drafts still stand on it."""
    from triage.review.acts import look_again

    with Progress(console=console, transient=True, disable=not console.is_terminal) as progress:
        task = progress.add_task("Looking whether signed drafts still stand", total=None)
        for question, why in look_again(bench, lambda: progress.advance(task)):
            event("sign-off lost", question=question)
            click.echo(f"{question} lost its sign-off. {why}")

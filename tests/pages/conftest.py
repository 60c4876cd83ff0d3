"""A real browser, and the desk as its user starts it: the command, a ledger drafted from the sample inbox, a port."""

from __future__ import annotations

import re
import shutil
import signal
import socket
import subprocess
import sys
import threading
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
import uvicorn
from playwright.sync_api import Browser, BrowserContext, Page

from knowledge.base import Knowledge
from knowledge.phrases import Phrases
from tests.conftest import ROOT
from triage.desk.app import build
from triage.desk.entrance import lay_out_key
from triage.desk.passwords import hashed
from triage.desk.settings import Settings
from triage.ledger import Ledger, open_ledger
from triage.review.acts import Bench

PASSWORD = "long enough to pass"
ROLES = ("presenter", "desk", "editor")


@pytest.fixture(scope="session")
def drafted_inbox(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The ledger of the sample inbox, drafted by the command, with one person of each role."""
    out = tmp_path_factory.mktemp("week")
    command = [
        sys.executable,
        "-m",
        "triage.cli",
        "draft",
        str(ROOT / "sample_inbox"),
        "--out",
        str(out),
        "--quiet",
    ]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    # One file of the sample inbox is damaged on purpose.
    assert done.returncode == 1, done.stderr
    ledger = open_ledger(out / "ledger.sqlite")
    secret = hashed(PASSWORD)
    for role in ROLES:
        ledger.people.put(f"the {role}", role, secret)
    ledger.close()
    return out / "ledger.sqlite"


@dataclass
class OpenDesk:
    """A desk that is running: its address, the one-time address, and its ledger."""

    address: str
    one_time: str
    place: Path

    def ledger(self) -> Ledger:
        """The ledger, to look into."""
        return open_ledger(self.place)


@pytest.fixture
def place(drafted_inbox: Path, tmp_path: Path) -> Path:
    """A copy of the drafted ledger."""
    for part in drafted_inbox.parent.glob("ledger.sqlite*"):
        shutil.copy(part, tmp_path / part.name)
    return tmp_path / "ledger.sqlite"


@pytest.fixture
def commanded_desk(place: Path) -> Iterator[OpenDesk]:
    """A desk as its user starts it, by the command; it is stopped afterwards as by Ctrl-C."""
    command = [sys.executable, "-m", "triage.cli", "desk", "--ledger", str(place), "--port", "0"]
    process = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
    assert process.stdout is not None
    told: dict[str, str] = {}
    for text in process.stdout:
        key, _, address = text.partition(": ")
        told[key.strip()] = address.strip()
        if "Ctrl-C" in text:
            break
    one_time = next(value for key, value in told.items() if key.startswith("Come in"))
    yield OpenDesk(told["The desk is open"], one_time, place)
    process.send_signal(signal.SIGINT)
    out, errors = process.communicate(timeout=20)
    assert (process.returncode, errors) == (0, "")
    assert "The desk is closed." in out


@pytest.fixture
def settings() -> Settings:
    """How the desk is started; a test module may have its own."""
    return Settings()


@pytest.fixture
def desk(place: Path, knowledge: Knowledge, phrases: Phrases, settings: Settings) -> Iterator[OpenDesk]:
    """A desk over a copy of the drafted ledger, served from this process."""
    ledger = open_ledger(place)
    listening = socket.create_server(("127.0.0.1", 0))
    app = build(Bench(ledger, knowledge, phrases), settings)
    server = uvicorn.Server(
        uvicorn.Config(
            app, log_level="warning", access_log=False, lifespan="off", timeout_graceful_shutdown=2
        )
    )
    serving = threading.Thread(target=server.run, kwargs={"sockets": [listening]}, daemon=True)
    serving.start()
    address = f"http://127.0.0.1:{listening.getsockname()[1]}"
    yield OpenDesk(address, f"{address}/enter/{lay_out_key(ledger)}", place)
    server.should_exit = True
    serving.join(timeout=20)
    listening.close()
    ledger.close()


@pytest.fixture
def come_in(browser: Browser, desk: OpenDesk) -> Iterator[Callable[..., Page]]:
    """Opens a browser of one's own, signed in by role; it may contact nothing but the desk and report no fault."""
    contexts: list[BrowserContext] = []
    faults: list[str] = []

    def enter(role: str, **options: object) -> Page:
        context = browser.new_context(**options)  # type: ignore[arg-type]
        contexts.append(context)
        page = context.new_page()
        page.set_default_timeout(15_000)
        page.on("request", lambda r: r.url.startswith(desk.address) or faults.append(r.url))
        page.on("pageerror", lambda error: faults.append(str(error)))
        page.on(
            "console",
            lambda m: m.type == "error" and not re.search("40[49]", m.text) and faults.append(m.text),
        )
        page.goto(f"{desk.address}/sign-in")
        page.get_by_label("Name").fill(f"the {role}")
        page.get_by_label("Password").fill(PASSWORD)
        page.get_by_role("button", name="Come in").click()
        page.wait_for_url("**/wall", wait_until="domcontentloaded")
        return page

    yield enter
    for context in contexts:
        context.close()
    assert faults == []

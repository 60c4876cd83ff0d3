"""What many tests share: the knowledge base loaded once, and a desk to run the stages with."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from types import MappingProxyType
from typing import Any

import pytest
from hypothesis import settings
from playwright.sync_api import Browser, sync_playwright

from knowledge.base import Knowledge
from knowledge.brief import Brief
from knowledge.load import load
from knowledge.phrases import Phrases, load_phrases
from knowledge.yaml_lines import read_yaml
from triage.batch import run
from triage.desk.passwords import hashed
from triage.ledger import open_ledger
from triage.pipeline import Desk
from triage.records import Classified, Detail, Extracted, Message, Question
from triage.review.roles import ROLES
from triage.sorter import Sorter, sorter_for

ROOT = Path(__file__).parent.parent
PASSWORD = "long enough to pass"
CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
ARGUMENTS = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
             "--disable-component-update", "--disable-sync"]  # fmt: skip
# The same examples on every run: a check that fails once in a hundred is no gate. Look for new ones with
# HYPOTHESIS_PROFILE=search.
settings.register_profile("repeatable", derandomize=True, deadline=None)
settings.register_profile("search", deadline=None, max_examples=1000)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "repeatable"))


@pytest.fixture(scope="session")
def knowledge() -> Knowledge:
    """The shipped knowledge base, checked."""
    return load()


@pytest.fixture(scope="session")
def phrases() -> Phrases:
    """The shipped house phrases."""
    return load_phrases()


@pytest.fixture(scope="session")
def sorter(knowledge: Knowledge) -> Sorter:
    """The sorter of the shipped briefs, from the cache where it lies there."""
    return sorter_for(knowledge)


@pytest.fixture(scope="session")
def drafted(
    tmp_path_factory: pytest.TempPathFactory, knowledge: Knowledge, phrases: Phrases, sorter: Sorter
) -> Path:
    """The sample inbox, drafted once, with one person of each role."""
    place = tmp_path_factory.mktemp("drafted") / "ledger.sqlite"
    ledger = open_ledger(place)
    run([ROOT / "sample_inbox"], Desk(knowledge, phrases, sorter, 150.0), ledger)
    secret = hashed(PASSWORD)
    for role in ROLES:
        ledger.people.put(f"the {role}", role, secret)
    ledger.close()
    return place


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """Debian's Chromium without a window; `make test` installs it."""
    assert CHROMIUM, "no chromium: run `make browser`"
    with sync_playwright() as playwright:
        opened = playwright.chromium.launch(executable_path=CHROMIUM, args=ARGUMENTS)
        yield opened
        opened.close()


@pytest.fixture
def message() -> Callable[..., Message]:
    """Make a message out of the fields that matter to a test."""

    def make(text: str, **fields: Any) -> Message:
        usual: dict[str, Any] = {
            "message_id": "one@riders.invalid",
            "channel": "mail",
            "received": "2026-11-20T09:00:00+00:00",
            "author": "Ana Example",
            "rider": "Ana",
            "address": "ana@riders.invalid",
            "subject": None,
            "source": "inbox/one.eml",
            "item": "",
        }
        return Message(text=text, **{**usual, **fields})

    return make


@pytest.fixture
def with_briefs(knowledge: Knowledge) -> Callable[..., Knowledge]:
    """The knowledge base with the given briefs (id: YAML text) in place of its own."""

    def make(**texts: str) -> Knowledge:  # names such as tyres__rim_width
        briefs = {}
        for name, text in texts.items():
            identity = name.replace("__", "/").replace("_", "-")
            data = read_yaml(text).data
            briefs[identity] = Brief.model_validate({"id": identity, **data})
        return replace(
            knowledge, briefs=MappingProxyType(briefs), digest=f"test-{hash(tuple(sorted(texts.items())))}"
        )

    return make


@pytest.fixture
def stated(message: Callable[..., Message]) -> Callable[..., Extracted]:
    """A classified question of a brief with details already extracted from it."""

    def make(brief: str, flags: tuple[str, ...] = (), **details: Any) -> Extracted:
        words = " ".join(f"{name} {value}" for name, value in details.items()) or "nothing stated"
        question = Question("q1", message(words), words, "", True, flags)
        classified = Classified(question, brief.split("/")[0], 0.9, ((brief, 0.9),))
        found = tuple(Detail(name, value, str(value), 0, 0) for name, value in details.items())
        return Extracted(classified, found, ())

    return make

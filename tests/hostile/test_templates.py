"""What is put into a page is escaped, in every template, without exception."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import triage
from triage.output.pages import page_environment

FOLDER = Path(triage.__file__).parent / "templates"
PAGES = sorted(file.relative_to(FOLDER).as_posix() for file in FOLDER.rglob("*.html"))


@pytest.mark.parametrize("name", PAGES)
def test_no_page_switches_escaping_off(name):
    environment = page_environment()

    assert callable(environment.autoescape)
    assert environment.autoescape(name)
    assert re.search(r"\|\s*safe\b|autoescape", (FOLDER / name).read_text("utf-8")) is None


def test_there_are_pages():
    assert len(PAGES) > 5

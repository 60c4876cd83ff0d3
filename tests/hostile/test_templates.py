"""What is put into a page is escaped, in every template, without exception."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from markdown_it import MarkdownIt

import triage
from triage.output.pages import page_environment, tamed

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


@pytest.mark.parametrize(
    "words",
    [
        "<script>alert(1)</script> is my fork safe?",
        "<img src=//tracker.invalid/x onerror=alert(1)> worn chain?",
        "![look](https://tracker.invalid/x.png) worn chain?",
        "[click](javascript:alert(1)) or ![look][1]\n\n[1]: https://tracker.invalid/x.png",
        "<https://tracker.invalid> &lt;b&gt; &#60;script>",
        "<!-- hidden --> <?php ?> </div>",
    ],
)
def test_riders_words_do_nothing_in_a_rendered_script(words):
    page = MarkdownIt("commonmark", {"html": True}).render(f"“{tamed(words)}”")

    assert set(re.findall(r"<\s*/?\s*([a-z!?]+)", page)) <= {"p"}
    assert "hidden" not in words or "hidden" in page


def test_what_does_nothing_is_left_as_it_was_written():
    words = "A tyre < 28 mm & a rim [19 mm inside], R&D says 5 > 4 (really)."
    assert tamed(words) == words


def test_the_script_holds_no_riders_words_untamed():
    template = (FOLDER / "script.md").read_text("utf-8")
    for put_in in re.findall(r"{{(.+?)}}", template):
        if re.search(r"line\.(?:script|rider|text)\b", put_in):
            assert put_in.rstrip().endswith("| tamed")

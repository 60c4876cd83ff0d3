"""The sheet and the handbook in a real browser: what a person sees, on a desk, a telephone and paper."""

from __future__ import annotations

import subprocess
import sys
from dataclasses import replace
from types import MappingProxyType

import pytest
from playwright.sync_api import expect

from knowledge.book import write_book
from tests.conftest import ROOT


@pytest.fixture(scope="module")
def sheet(tmp_path_factory):
    """The sheet of a small inbox whose answers are known."""
    home, out = tmp_path_factory.mktemp("inbox"), tmp_path_factory.mktemp("sheet")
    (home / "one.eml").write_bytes((ROOT / "sample_inbox/mails/01-mixed-drivetrain.eml").read_bytes())
    (home / "two.txt").write_text(
        "From: <script>alert(1)</script> Eve\n\nWill a 32 mm tyre fit a rim 19 mm inside? <b>bold</b> <img src=x onerror=alert(2)>\n"
    )
    done = subprocess.run(
        [sys.executable, "-m", "triage.cli", "draft", str(home), "--out", str(out), "--quiet"],
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    return (out / "sheet.html").as_uri()


@pytest.fixture
def page(browser):
    """A page that fails the test when it asks for anything outside, or when a script of a rider runs."""
    opened = browser.new_page()
    asked: list[str] = []
    alerts: list[str] = []
    opened.on("request", lambda request: asked.append(request.url))
    opened.on("dialog", lambda dialog: (alerts.append(dialog.message), dialog.dismiss()))
    yield opened
    opened.close()
    assert alerts == []
    assert [url for url in asked if not url.startswith(("file:", "data:"))] == []


def test_the_sheet_shows_verdict_working_number_line_and_the_riders_marked_words(page, sheet):
    page.goto(sheet)
    card = page.locator("article", has_text="Tomasz")

    assert card.locator(".verdict").inner_text() == "not-recommended"
    assert "2.3 mm × 1.2 = 2.76 mm" in card.inner_text()
    line = card.locator("svg.number-line").first
    assert line.is_visible()
    assert "not recommended" in line.get_attribute("aria-label")
    assert card.locator("mark", has_text="Veltra 10 levers").is_visible()
    assert page.locator("h1").inner_text() == "The editor's sheet"


def test_riders_html_is_shown_as_words_and_never_run(page, sheet):
    page.goto(sheet)

    assert "<b>bold</b>" in page.locator("article", has_text="onerror").first.inner_text()
    assert page.locator("article img").count() == 0


@pytest.mark.parametrize("width", [360, 1200])
def test_the_sheet_fits_its_window(page, sheet, width):
    page.set_viewport_size({"width": width, "height": 800})
    page.goto(sheet)

    assert page.evaluate("document.documentElement.scrollWidth") <= width


def test_the_sheet_prints(page, sheet):
    page.goto(sheet)

    assert page.pdf(format="A4").startswith(b"%PDF")


@pytest.fixture(scope="module")
def book(tmp_path_factory, knowledge):
    """The handbook of two subjects, enough to see every kind of page."""
    some = {
        n: c
        for n, c in knowledge.calculations.items()
        if c.subject in ("drivetrain", "tyres", "frame-fit", "wheels", "brakes")
    }
    briefs = {
        key: brief for key, brief in knowledge.briefs.items() if key.startswith("drivetrain/mixed-shifter")
    }
    out = tmp_path_factory.mktemp("book")
    write_book(replace(knowledge, calculations=MappingProxyType(some), briefs=MappingProxyType(briefs)), out)
    return out


def test_the_handbook_finds_a_figure_and_leads_to_its_formula_range_plot_and_source(page, book):
    page.goto((book / "index.html").as_uri())
    page.get_by_label("Find a figure, table, question or word").fill("travel click")
    page.get_by_role("link", name="travel_per_click_mm").click()

    entry = page.locator("#travel_per_click_mm")
    expect(entry.locator("math")).to_have_count(1)
    expect(entry).to_contain_text("0.5 to 8 mm")
    expect(entry.locator("svg.plot")).to_be_visible()
    expect(entry).to_contain_text("published")
    entry.get_by_role("link", name="Gear-changing Dimensions").first.click()
    page.wait_for_url("**/sources.html#drivetrain-20", wait_until="domcontentloaded")


def test_every_page_of_the_handbook_opens_on_a_telephone(page, book):
    page.set_viewport_size({"width": 360, "height": 740})
    for file in sorted(book.glob("*.html")):
        page.goto(file.as_uri())
        assert page.locator("h1").count() == 1, file.name
        assert page.evaluate("document.documentElement.scrollWidth") <= 380, file.name

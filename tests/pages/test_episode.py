"""The episode in a real browser: planned, an item swapped, read on a tablet by key, printed."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import expect

from triage.ledger import Filter, Person, open_ledger
from triage.review.acts import Bench, sign

PLAN = "/episode?day=2026-11-27&minutes=15"


@pytest.fixture
def signed(place, knowledge, phrases):
    """Thirty answers, signed off."""
    ledger = open_ledger(place)
    bench = Bench(ledger, knowledge, phrases)
    for card in [c for c in ledger.wall.cards(Filter(), 200) if c["script"]][:30]:
        sign(bench, Person("Ana", "editor"), card["question_id"], 0)
    ledger.close()


def test_a_presenter_plans_the_week_and_swaps_an_item(signed, come_in, desk):
    page = come_in("presenter")
    page.get_by_role("link", name="Episode").click()
    page.wait_for_url("**/episode", wait_until="domcontentloaded")
    page.goto(desk.address + PLAN)
    told = page.locator("main").inner_text()
    assert re.search(r"\d+ items, 1[34]:\d\d of 15:00 min", told)
    first = page.locator(".rundown > li b a").first.inner_text()
    page.get_by_role("button", name=re.compile(rf"^Drop\s+{re.escape(first)}$")).click()
    page.wait_for_url("**/episode?**", wait_until="domcontentloaded")

    titles = page.locator(".rundown > li b a").all_inner_texts()
    assert first not in titles
    expect(page.get_by_role("heading", name="Dropped")).to_be_visible()
    page.get_by_role("button", name=re.compile(rf"^Leave it free\s+{re.escape(first)}$")).click()
    expect(page.locator(".rundown > li b a", has_text=first)).to_have_count(1)


def test_the_show_is_read_on_a_tablet_by_key(signed, come_in, desk):
    page = come_in("presenter", viewport={"width": 1024, "height": 768})
    page.goto(desk.address + PLAN)
    page.get_by_role("link", name="Read it on a tablet").click()
    page.wait_for_url("**/run**", wait_until="domcontentloaded")

    size = page.evaluate(
        "parseFloat(getComputedStyle(document.querySelector('article p:last-of-type')).fontSize)"
    )
    assert size >= 26
    before = page.evaluate("scrollY")
    for _ in range(3):
        page.keyboard.press("j")
        page.wait_for_timeout(600)  # the page glides there
    assert page.evaluate("scrollY") > before


def test_the_show_prints(signed, come_in, desk):
    page = come_in("presenter")
    page.goto(f"{desk.address}/episode/2026-11-27/run?minutes=15&paper=1")

    assert page.pdf(format="A4").startswith(b"%PDF")
    assert page.locator("script").count() == 0


@pytest.mark.parametrize("width", [360, 1100])
def test_the_plan_fits_its_window(signed, come_in, desk, width):
    page = come_in("editor", viewport={"width": width, "height": 740})
    for address in (PLAN, "/episode/2026-11-27/run?minutes=15"):
        page.goto(desk.address + address)
        assert page.evaluate("document.documentElement.scrollWidth") <= width

"""The desk in a real browser, from the printed address to the signed answer, as each of its people uses it."""

from __future__ import annotations

import re
import zipfile
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect

CASSETTE = "A bigger cassette for lower gears"
WCAG = {"runOnly": {"type": "tag", "values": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]}}


def open_job(page: Page, title: str = CASSETTE) -> None:
    """From the wall to the bench of a card."""
    page.locator(".card .cover", has_text=title).first.click()
    page.wait_for_url("**/bench/**", wait_until="domcontentloaded")


def question_of(page: Page) -> str:
    """The id of the question on the bench."""
    found = re.search(r"/bench/([^?#]+)", page.url)
    assert found
    return found[1]


def test_from_the_printed_address_to_a_signed_answer(browser, commanded_desk):
    page = browser.new_page()
    page.goto(commanded_desk.one_time)
    page.get_by_role("button", name="Come in").click()
    page.wait_for_url("**/wall", wait_until="domcontentloaded")
    open_job(page)
    page.get_by_role("button", name="Sign it off").click()

    expect(page.locator(".notice")).to_have_text("Signed off.")
    expect(page.locator(".seal")).to_have_text("signed off")
    page.goto(f"{commanded_desk.address}/wall?state=signed")
    expect(page.locator(".card")).to_have_count(1)
    page.close()


def test_a_corrected_detail_changes_verdict_working_and_drafts_before_ones_eyes(come_in):
    page = come_in("editor")
    open_job(page)
    expect(page.locator(".answer .stamp")).to_have_text("not-recommended")
    page.get_by_label("largest sprocket the derailleur is rated for", exact=True).fill("36")
    page.get_by_label("derailleur's total capacity", exact=True).fill("43")
    page.get_by_label("largest chainring", exact=True).fill("50")
    page.get_by_role("button", name="Work it out again").click()

    expect(page.get_by_text("What that changed")).to_be_visible()
    expect(page.locator(".answer .stamp")).not_to_have_text("not-recommended")
    changes = page.locator(".changes").inner_text()
    assert "not-recommended" in changes
    assert page.locator(".figure.changed").count() >= 1
    page.get_by_role("button", name=re.compile("^Take it back")).first.click()
    expect(page.locator(".notice")).to_have_text("Taken back.")


def test_words_and_working_light_each_other(come_in):
    page = come_in("presenter")
    open_job(page)
    word = page.locator("a.read", has_text="11-34").first
    tie = word.get_attribute("data-tie").split()[0]
    line = page.locator(f"li[data-tie~='{tie}']").first

    word.hover()
    expect(line).to_have_class(re.compile(r"\blit\b"))
    page.mouse.move(0, 0)
    expect(line).not_to_have_class(re.compile(r"\blit\b"))
    line.locator("a.tie").first.focus()
    expect(word).to_have_class(re.compile(r"\blit\b"))


def test_the_reading_time_runs_with_the_text_as_the_program_reckons_it(come_in, desk):
    page = come_in("presenter")
    open_job(page)
    page.locator("#script").fill(
        "One two three four five.\n\n[Presenter: say something.]\n\nWell-worn chain, isn't it?"
    )
    shown = page.locator("#time").inner_text()
    page.get_by_role("button", name="Keep the texts").click()
    expect(page.locator(".notice")).to_have_text("Kept.")

    review = desk.ledger().reviews.of(question_of(page))
    assert shown == f"0:{int(review.script_seconds):02d}"


def test_what_an_edit_drops_is_pointed_out_and_must_be_seen(come_in):
    page = come_in("editor")
    open_job(page)
    caution = page.locator("section[aria-label='Cautions and checklist'] li").first.inner_text()
    reply = page.locator("#reply").input_value()
    assert caution in reply
    page.locator("#reply").fill(reply.replace(caution, "").replace("34 teeth", "32 teeth"))
    page.get_by_role("button", name="Keep the texts").click()

    told = page.locator(".concerns").inner_text()
    assert "caution dropped" in told
    assert "32 teeth" in told
    page.get_by_label("I have looked at what is pointed out in the edits.").check()
    page.get_by_role("button", name="Sign it off").click()
    expect(page.locator(".seal")).to_be_visible()


def test_two_editors_at_once_lose_nothing(come_in):
    one, other = come_in("editor"), come_in("presenter")
    open_job(one)
    other.goto(one.url)
    one.locator("#script").fill("The first one's script.")
    other.locator("#script").fill("The second one's script.")
    one.get_by_role("button", name="Keep the texts").click()
    expect(one.locator(".notice")).to_have_text("Kept.")
    other.get_by_role("button", name="Keep the texts").click()

    expect(other.get_by_role("heading", level=1)).to_have_text("Somebody was faster")
    assert other.get_by_label("As it stands now").input_value() == "The first one's script."
    other.locator("textarea[name=script]").fill("Both scripts.")
    other.get_by_role("button", name="Keep mine, as above").click()
    expect(other.locator("#script")).to_have_value("Both scripts.")


def test_search_finds_questions_by_what_riders_call_a_thing(come_in):
    page = come_in("desk")
    page.keyboard.press("/")
    expect(page.get_by_label("Search")).to_be_focused()
    page.keyboard.type("tub")
    page.keyboard.press("Enter")
    page.wait_for_url("**words=tub**", wait_until="domcontentloaded")

    expect(page.locator(".card").first).to_be_visible()
    titles = " ".join(page.locator(".card").all_inner_texts()).lower()
    assert "tubular" in titles


def test_the_keyboard_alone_suffices(come_in):
    page = come_in("editor")
    page.keyboard.press("j")
    page.keyboard.press("j")
    expect(page.locator(".card .cover").nth(1)).to_be_focused()
    page.keyboard.press("Enter")
    page.wait_for_url("**/bench/**", wait_until="domcontentloaded")
    here = page.url
    page.keyboard.press("g")
    expect(page.locator("#sign-button")).to_be_focused()
    page.keyboard.press("Enter")
    expect(page.locator(".seal")).to_be_visible()
    page.wait_for_load_state("load")  # the keys are listened for from then on
    page.keyboard.press("n")
    page.wait_for_url(
        lambda url: "/bench/" in url and url.split("?")[0] != here.split("?")[0],
        wait_until="domcontentloaded",
    )
    page.keyboard.press("w")
    page.wait_for_url("**/wall**", wait_until="domcontentloaded")


def test_quick_keys_can_be_switched_off(come_in):
    page = come_in("editor")
    page.get_by_text("Quick keys", exact=True).click()
    page.get_by_label("Quick keys are on").uncheck()
    page.locator("h1").click()
    page.keyboard.press("j")

    expect(page.locator(".card .cover").first).not_to_be_focused()


def test_everything_works_without_script(come_in):
    page = come_in("editor", java_script_enabled=False)
    open_job(page)
    page.locator("#script").fill("Said by hand.")
    page.get_by_role("button", name="Keep the texts").click()
    expect(page.locator("#script")).to_have_value("Said by hand.")
    page.get_by_label("I have looked at what is pointed out in the edits.").check()
    page.get_by_role("button", name="Sign it off").click()

    expect(page.locator(".seal")).to_be_visible()


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_no_page_has_a_serious_barrier(come_in, desk, scheme):
    page = come_in("editor", color_scheme=scheme)
    open_job(page)
    job = page.url
    page.locator("#reply").fill("Nothing of it.")
    page.get_by_role("button", name="Keep the texts").click()
    page.wait_for_url("**said=kept**", wait_until="domcontentloaded")
    found = {}
    for place in (job, f"{desk.address}/wall", f"{desk.address}/replies", f"{desk.address}/episode", f"{desk.address}/week",
                  f"{desk.address}/history", f"{desk.address}/table/brakes/fluids", f"{desk.address}/figure/travel_per_click_mm",
                  f"{desk.address}/bench/none"):  # fmt: skip
        page.goto(place)
        for violation in Axe().run(page, options=WCAG).response["violations"]:
            if violation["impact"] in ("serious", "critical"):
                found[f"{place.removeprefix(desk.address)} {violation['id']}"] = [
                    node["html"][:160] for node in violation["nodes"][:3]
                ]

    assert found == {}


@pytest.mark.parametrize("room", ["/wall", "job", "/replies", "/week", "/history", "/table/brakes/fluids"])
def test_a_telephone_is_wide_enough(come_in, desk, room):
    page = come_in("editor", viewport={"width": 360, "height": 740})
    if room == "job":
        open_job(page)
    else:
        page.goto(desk.address + room)

    assert page.evaluate("document.documentElement.scrollWidth") <= 360


def test_the_bench_prints_without_its_tools(come_in, tmp_path: Path):
    page = come_in("editor")
    open_job(page)
    page.emulate_media(media="print")

    assert page.pdf(format="A4").startswith(b"%PDF")
    expect(page.get_by_role("button", name="Sign it off")).to_be_hidden()
    expect(page.get_by_role("heading", name="The working")).to_be_visible()
    expect(page.locator(".on-paper").last).to_have_text(page.locator("#reply").input_value())
    expect(page.locator(".on-paper").last).to_be_visible()


def test_the_support_desk_takes_signed_replies_in_bulk(come_in, tmp_path: Path):
    editor = come_in("editor")
    for number in (0, 1):
        editor.locator(".hook").nth(number).locator(".cover").first.click()
        editor.wait_for_url("**/bench/**", wait_until="domcontentloaded")
        editor.get_by_role("button", name="Sign it off").click()
        expect(editor.locator(".seal")).to_be_visible()
        editor.get_by_role("link", name="Wall", exact=True).click()
        editor.wait_for_url("**/wall", wait_until="domcontentloaded")
    page = come_in("desk")
    page.get_by_role("link", name="Replies").click()
    page.wait_for_url("**/replies", wait_until="domcontentloaded")
    with page.expect_download() as download:
        page.get_by_role("button", name="Take as mail files").click()
    download.value.save_as(tmp_path / "replies.zip")

    with zipfile.ZipFile(tmp_path / "replies.zip") as taken:
        assert 1 <= len(taken.namelist()) <= 2
        assert b"X-Quillstem-Draft: signed" in taken.read(taken.namelist()[0])


def test_the_week_is_told_in_pictures_with_their_numbers(come_in):
    page = come_in("presenter")
    page.get_by_role("link", name="Week").click()
    page.wait_for_url("**/week", wait_until="domcontentloaded")

    pictures = page.locator("svg.chart")
    assert pictures.count() >= 4
    assert all(picture.get_attribute("aria-label") for picture in pictures.all())
    page.get_by_text("The numbers").first.click()
    expect(page.locator("table").first).to_be_visible()

"""The run of the show: what is said when, what is said once, what has to be on set, and the forms it is handed over in."""

from __future__ import annotations

import csv
import io
import random
import re
import shutil
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pypdf import PdfReader
from selectolax.lexbor import LexborHTMLParser

from tests.conftest import ROOT
from tests.triage.episode.show_items import TIMES, item, line
from triage.episode.forms import CSV_COLUMNS, as_csv, as_markdown, as_page
from triage.episode.paper import MISSING, as_pdf
from triage.episode.show import (
    Related,
    ShowItem,
    ShowTimes,
    item_of,
    measure_pace,
    measured_pace,
    pieces_of,
    run_of_show,
    spoken_terms,
)
from triage.pace import reading_seconds

ROOT_STATIC = ROOT / "triage" / "desk" / "static"

CREAK = "A creak is a groan under load."
SAG = "Sag is how far it sinks."
TERMS = {"creak": CREAK, "sag": SAG}
GAP = "[Presenter: say here what you ride, in your own words, or leave it out.]"


def show(*items, pace=150, times=TIMES, day="2026-11-27", **more):
    return run_of_show(items, pace, times, day=day, **more)


def said(running):
    return running.item.say


# ------------------------------------------------------------------ times


def test_items_follow_each_other_with_the_opening_before_and_a_link_between():
    made = show(item(1), item(2), item(3))

    assert [(one.starts_at, one.seconds) for one in made.items] == [(20, 3.2), (27.2, 3.2), (34.4, 3.2)]
    assert made.total_seconds == 67.6


def test_a_slower_presenter_takes_longer_for_the_words_and_as_long_for_the_pauses():
    assert show(item(), pace=75).items[0].seconds == 5.2


def test_a_show_of_nothing_is_the_greeting_and_the_good_bye():
    made = show()

    assert (made.items, made.total_seconds) == ((), 50)
    assert as_csv(made) == ",".join(CSV_COLUMNS) + "\n"
    assert as_pdf(made).startswith(b"%PDF")


@pytest.mark.parametrize("pace", [0, -10, float("nan")])
def test_a_pace_that_is_none_is_refused(pace):
    with pytest.raises(ValueError, match=r"^pace: expected more than 0 words a minute, got"):
        show(item(), pace=pace)


@given(st.lists(st.integers(1, 60), min_size=1, max_size=8), st.integers(0, 7))
def test_changing_one_item_moves_only_what_comes_after_it(lengths, changed):
    items = [item(place, "word " * words) for place, words in enumerate(lengths, 1)]
    place = changed % len(items)
    other = [*items[:place], item(place + 1, "word " * 90), *items[place + 1 :]]
    before, after = show(*items), show(*other)

    assert after.items[:place] == before.items[:place]
    moved = after.items[place].seconds - before.items[place].seconds
    assert after.total_seconds - before.total_seconds == pytest.approx(moved, abs=0.11)
    for one, two in zip(before.items[place + 1 :], after.items[place + 1 :], strict=True):
        assert two.starts_at - one.starts_at == pytest.approx(moved, abs=0.11)


# ------------------------------------------------------------------ terms, once


def test_a_term_is_explained_in_the_first_item_and_its_time_is_saved_in_later_ones():
    first = item(1, f"It creaks.\n\n{CREAK} {SAG}\n\nEnd.")
    second = item(2, f"It creaks too.\n\n{CREAK}\n\nEnd.")
    made = show(first, second, terms=TERMS)

    assert said(made.items[0]) == f"It creaks.\n\n{CREAK} {SAG}\n\nEnd."
    assert said(made.items[1]) == "It creaks too.\n\nEnd."
    assert made.items[1].left_out == ("creak",)
    assert made.items[1].seconds == reading_seconds("It creaks too.\n\nEnd.", 150)


@pytest.mark.parametrize(
    ("before", "after"),
    [
        (f"{CREAK} {SAG}", SAG),
        (f"{SAG} {CREAK}", SAG),
        (f"Well. {CREAK} It is.", "Well. It is."),
        # Near misses: part of a longer sentence, and the words quoted in the middle of one.
        (f"Not so: {CREAK}", f"Not so: {CREAK}"),
        ("A creak is a groan under load and at rest.", "A creak is a groan under load and at rest."),
        ("Half a creak is a groan under load.", "Half a creak is a groan under load."),
    ],
)
def test_only_a_whole_sentence_is_left_out(before, after):
    made = show(item(1, CREAK), item(2, before), terms=TERMS)

    assert said(made.items[1]) == after


def test_a_correction_keeps_its_words_and_counts_as_having_said_them():
    made = show(item(1, CREAK), item(2, CREAK, kind="correction"), terms=TERMS)
    assert said(made.items[1]) == CREAK

    made = show(item(1, CREAK, kind="correction"), item(2, f"Yes.\n\n{CREAK}"), terms=TERMS)
    assert said(made.items[1]) == "Yes."


def test_the_sentences_are_those_that_drafts_say(knowledge):
    terms = spoken_terms(knowledge)

    assert set(terms) == set(knowledge.terms)
    assert (
        terms["derailleur"]
        == "A derailleur is the part that moves the chain sideways from one cog to the next."
    )
    assert not any(re.search(r"\d", told) for told in terms.values())


# ------------------------------------------------------------------ gaps and names


def test_a_gap_stays_as_marked_and_takes_no_time():
    made = show(item(1, f"One two three four five.\n\n{GAP}"))

    assert made.items[0].seconds == 3.2
    assert pieces_of(made.items[0]) == [[("said", "One two three four five.")], [("gap", GAP)]]


def test_how_a_name_is_said_is_noted_once_where_it_comes_up_first():
    names = {"Siobhan": "shi-VAWN", "Ana": "AH-na"}
    first, second = "From Siobhan: Siobhan creaks.", "Siobhan and Ana."
    made = show(item(1, first, rider="Siobhan"), item(2, second, rider="Siobhan"), names=names)

    assert pieces_of(made.items[0]) == [
        [("said", "From Siobhan"), ("note", "shi-VAWN"), ("said", ": Siobhan creaks.")]
    ]
    assert pieces_of(made.items[1]) == [[("said", "Siobhan and Ana"), ("note", "AH-na"), ("said", ".")]]


def test_a_name_inside_a_longer_word_is_not_noted():
    made = show(item(1, "Banana and Ana-Maria and Anatol.", rider=None), names={"Ana": "AH-na"})

    assert made.items[0].names == ()


def test_a_rider_whose_name_is_not_said_is_noted_at_the_heading():
    page = LexborHTMLParser(
        as_page(show(item(1, "It creaks.", rider="Siobhan"), names={"Siobhan": "shi-VAWN"}))
    )

    assert page.css_first(".item .say").text() == "Siobhan say shi-VAWN"


# ------------------------------------------------------------------ what to have on set


def test_props_are_gathered_once_with_every_place_that_needs_them():
    made = show(
        item(1, props=["a lamp", "a gauge"]),
        item(2, props=["A  lamp", "a rim", "a rim"]),
        item(3, props=["a gauge"]),
    )

    assert made.props == (("a lamp", (1, 2)), ("a gauge", (1, 3)), ("a rim", (2,)))


def test_pictures_are_the_attachments_that_are_images():
    attached = [
        {"name": "rim.png", "type": "image/png"},
        {"name": "list.pdf", "type": "application/pdf"},
        {"name": "crack.JPG", "type": ""},
        {"name": "fake.png", "type": "text/html"},
    ]
    made = show(item(1, attachments=attached, rider="Sam"))

    assert made.pictures == (("rim.png", "Sam", 1), ("crack.JPG", "Sam", 1))


def test_earlier_answers_are_of_the_same_brief_first_and_never_the_item_itself_or_later():
    def earlier(title, brief, day, question="old"):
        return Related(title, brief, day, 60, question)

    same_old = earlier("Same, old", "a/b", "2026-01-01")
    same_new = earlier("Same, new", "a/b", "2026-06-01")
    near = earlier("Near", "a/c", "2026-09-01")
    others = [earlier("Far", "x/y", "2026-10-01"), earlier("Self", "a/b", "2026-10-01", "q1")]
    later = earlier("Later", "a/b", "2026-12-01")
    one = item(1, brief="a/b", nearest_briefs=[["a/b", 0.9], ["a/c", 0.1]])

    def told(*found):
        return [r.title for r in show(one, earlier=found).items[0].related]

    assert told(same_old, near, later, same_new, *others) == ["Same, new", "Same, old"]
    assert told(near, same_old) == ["Same, old", "Near"]
    assert show(one, earlier=[near]).related == ((1, (near,)),)
    assert told(later, *others) == []


def test_viewers_are_asked_for_what_would_help():
    made = show(
        item(1, f"Yes.\n\n{GAP}", title="Rims"),
        item(2, "Yes.", title="Rotors", sureness="close"),
        item(3, "Yes.", title="Mechs", conflicts=["table and sum"]),
        item(4, "Yes.", title="Oil", sureness="sure"),
        item(5, f"Wrong.\n\n{GAP}", kind="correction", title="Not asked"),
    )

    assert made.calls == (
        "A close call: “Rotors”. If you have tried it, write in with what you measured.",
        "“Mechs”: a table and the sum disagree. If you have fitted it, write in with how it went.",
        "“Rims”: tell us what you ride.",
    )


def test_a_closer_is_the_riders_own_words_without_the_signature_and_without_what_is_personal():
    closer = item_of(
        3,
        line(script=None, title=None, rider="Vera", text="Ten riders, 1 bulb.\nMail vera@x.example!\n\nVera"),
        "closer",
    )

    assert closer.say == "Vera writes: “Ten riders, one bulb. Mail [left out]!”"
    assert closer.title == "To end with, from Vera"


# ------------------------------------------------------------------ pace


def script_of(words):
    return " ".join(["word"] * words)


def clips(pace, *lengths):
    return [(script_of(words), reading_seconds(script_of(words), pace)) for words in lengths]


@pytest.mark.parametrize("pace", [95, 150, 205])
def test_the_pace_is_read_from_past_scripts(pace):
    assert measured_pace(clips(pace, 100, 200, 300)) == pytest.approx(pace, rel=0.005)


@pytest.mark.parametrize("factor", [0.3, 0.8, 1.3, 3.0])
@pytest.mark.parametrize("place", [0, 1, 2])
def test_one_wrong_length_does_not_count(factor, place):
    past = clips(140, 150, 220, 300)
    past[place] = (past[place][0], past[place][1] * factor)

    assert measured_pace(past) == pytest.approx(140, rel=0.01)
    assert measure_pace(past).scripts == 2


def test_usual_spread_is_no_outlier():
    chance = random.Random(7)
    past = [
        (text, seconds * chance.uniform(0.95, 1.05)) for text, seconds in clips(140, *range(100, 400, 20))
    ]
    measured = measure_pace(past)

    assert measured.scripts == 15
    assert measured.words_a_minute == pytest.approx(140, rel=0.02)
    assert 2 < measured.spread < 8


def test_without_a_past_the_usual_pace_holds():
    assert measured_pace([]) == 150
    assert measured_pace([], usual=133) == 133
    # Shorter than its own pauses, and a script without words: neither tells a pace.
    assert measure_pace([("One two.", 0.5), ("", 10.0)], usual=133) == measure_pace([], usual=133)
    assert measure_pace(clips(140, 100)).spread is None


def test_the_pace_stays_where_people_speak():
    assert measured_pace([(script_of(100), 600.0)]) == 80
    assert measured_pace([(script_of(300), 20.0)]) == 220


# ------------------------------------------------------------------ forms

HOSTILE = '=1+1 <script>alert(1)</script> | "x", [y](z)\n# ] &amp; --> é ł − × ½ –'


def whole():
    return show(
        item(1, "We were wrong.", kind="correction", title="Put right"),
        item(2, f"Ana writes: “It creaks.”\n\nYes.\n\n{GAP}", props=["a lamp"], link="On to oil."),
        item(
            3,
            "A joke.",
            kind="closer",
            title="To end with",
            attachments=[{"name": "a.png", "type": "image/png"}],
        ),
    )


def test_the_table_has_a_row_an_item():
    rows = list(csv.DictReader(io.StringIO(as_csv(whole()))))

    assert tuple(rows[0]) == CSV_COLUMNS
    assert rows[1] == {
        "place": "2",
        "starts_at": "00:26",
        "seconds": "4.4",
        "kind": "question",
        "title": "Which oil",
        "rider": "Ana",
        "verdict": "yes",
        "question_id": "q2",
    }
    assert [row["starts_at"] for row in rows] == ["00:20", "00:26", "00:34"]


def test_an_item_without_a_draft_has_its_row_too():
    made = show(ShowItem(1, "correction", None, "We were wrong.", "Put right"))
    (row,) = csv.DictReader(io.StringIO(as_csv(made)))

    assert (row["rider"], row["verdict"], row["question_id"]) == ("", "", "")
    assert "We were wrong." in as_markdown(made)
    assert "We were wrong." in as_page(made)


def test_no_cell_runs_as_a_formula_and_rows_stay_whole():
    (row,) = csv.DictReader(io.StringIO(as_csv(show(item(1, title=HOSTILE, rider="@sum")))))

    assert row["title"] == f"'{HOSTILE}"
    assert row["rider"] == "'@sum"


def test_the_page_reads_in_order_and_each_item_leads_to_the_next():
    page = LexborHTMLParser(as_page(whole()))

    assert [one.text(strip=True) for one in page.css(".item h2 .at")] == ["0:20", "0:26", "0:34"]
    assert [one.text() for one in page.css(".item h2 .title")] == ["Put right", "Which oil", "To end with"]
    assert [one.attributes["href"] for one in page.css(".on a")] == ["#item-2", "#item-3", "#end"]
    assert [one.attributes["href"] for one in page.css(".rundown a")] == ["#item-1", "#item-2", "#item-3"]
    assert page.css_first(".gap").text() == GAP[1:-1]
    assert page.css_first(".link").text() == "Link, if you like it: “On to oil.”"
    assert page.css_first("progress").attributes["max"] == "66.8"


@pytest.mark.parametrize("for_paper", [False, True])
def test_the_page_keeps_to_what_the_desks_headers_allow(for_paper):
    text = as_page(
        show(item(1, HOSTILE, title=HOSTILE, rider=HOSTILE, props=[HOSTILE], link=HOSTILE)), for_paper
    )
    page = LexborHTMLParser(text)

    assert not page.css("[style], style, [onclick]")
    assert all(one.attributes.get("src") and not one.text() for one in page.css("script"))
    assert len(page.css("script")) == (0 if for_paper else 1)
    loaded = [one.attributes.get("src") or one.attributes.get("href") for one in page.css("script, link")]
    assert all(address.startswith("/static/show.") or address == "/static/mark.svg" for address in loaded)
    assert page.css_first(".item .title").text() == HOSTILE


def test_markdown_tells_whatever_was_written_as_plain_words():
    text = as_markdown(show(item(1, HOSTILE, title=HOSTILE, props=["- a lamp"])))

    assert "<script>" not in text
    assert "[y](z)" not in text
    rows = [row for row in text.splitlines() if row.startswith("| 1 ")]
    assert len(rows) == 1
    assert rows[0].replace("\\|", "").count("|") == 6
    assert "\\- a lamp (1)" in text


def test_markdown_holds_the_whole_show():
    text = as_markdown(whole())

    assert text.startswith(
        "# The run of the show, 2026-11-27\n\n3 items, 1:06 minutes at 150 words a minute."
    )
    assert "| 2 | 0:26 | 0:04 | Which oil | Question · Yes · Ana |" in text
    assert "- a lamp (2)" in text
    assert "- a.png, from Ana (3)" in text
    assert "*Link, if you like it: On to oil.*" in text
    assert f"\n{GAP}\n" in text


def read(pdf):
    reader = PdfReader(io.BytesIO(pdf))
    return [" ".join(page.extract_text().split()) for page in reader.pages]


def test_the_pdf_says_all_of_it_with_every_sign_of_our_drafts():
    signs = "19–25 mm × 2, −0.04, ½ turn, é ł ü ø, 5 °C, “so”, … ′ ≈"
    made = show(item(1, f"Café: {signs}.\n\n{GAP}"), item(2, title="Fork <b>&</b> 'bar'", props=["a lamp"]))
    first, *rest = read(as_pdf(made))
    told = " ".join(rest)

    assert "The run of the show 2026-11-27 · 2 items" in first
    assert "a lamp (2)" in first
    for sign in signs.split():
        assert sign in told
    assert MISSING not in told
    assert GAP[1:-1] in told
    assert "Fork <b>&</b> 'bar'" in told
    assert rest[-1].endswith(f"{len(rest) + 1} of {len(rest) + 1}")


def test_a_sign_that_the_font_cannot_draw_is_a_box_and_not_left_out():
    assert f"Go {MISSING}!" in " ".join(read(as_pdf(show(item(1, "Go \U0001f6b2!")))))


def test_the_same_show_gives_the_same_pdf():
    assert as_pdf(whole()) == as_pdf(whole())


@pytest.mark.parametrize(
    "changes",
    [
        {"title": "x" * 20_000},
        {"say": "x" * 20_000},
        {"say": " ".join(["word"] * 5_000)},
        {"say": f"[Presenter: {'word ' * 3_000}]"},
        {"props": ["y" * 9_000] * 3},
        {"link": "z " * 3_000},
        {"rider": "r" * 3_000},
        {"say": "<para><b>unclosed &amp; \x00\x0b\ud83d?</para"},
    ],
)
def test_no_text_breaks_the_pdf(changes):
    assert as_pdf(show(item(1, **changes), item(2))).startswith(b"%PDF")


def test_without_debians_fonts_the_librarys_own_do(monkeypatch):
    from triage.episode import paper

    paper.fonts.cache_clear()
    monkeypatch.setattr(paper, "_FONT_FOLDERS", ())
    try:
        told = " ".join(read(as_pdf(show(item(1, "19–25 mm × 2, −0.04, ½, é, ł.")))))
        assert "19–25 mm × 2, −0.04, ½, é, ł." in told
    finally:
        paper.fonts.cache_clear()


def test_a_show_without_rules_takes_plain_times():
    assert show(item(1), times=ShowTimes()).total_seconds == 3.2


@pytest.fixture
def on_the_tablet(tmp_path, browser):
    """Open a show as the tablet has it, with its script or without; faults of the page fail the test."""
    opened, faults = [], []

    def look(made, has_script=True):
        for name in ("show.css", "show.js", "mark.svg"):
            shutil.copy(ROOT_STATIC / name, tmp_path / name)
        file = tmp_path / "show.html"
        file.write_text(as_page(made).replace('"/static/', '"'), encoding="utf-8")
        context = browser.new_context(
            viewport={"width": 820, "height": 700}, java_script_enabled=has_script, reduced_motion="reduce"
        )
        opened.append(context)
        tab = context.new_page()
        tab.on("pageerror", lambda fault: faults.append(str(fault)))
        tab.goto(file.as_uri())
        return tab

    yield look
    for context in opened:
        context.close()
    assert faults == []


def long_show():
    return show(
        *(item(place, "\n\n".join(["word " * 120] * place), title=f"Item {place}") for place in (1, 2, 3))
    )


@pytest.mark.parametrize(
    ("forth", "back"), [("j", "k"), ("ArrowDown", "ArrowUp"), ("ArrowRight", "ArrowLeft")]
)
def test_keys_go_on_through_every_line_and_back(forth, back, on_the_tablet):
    tab = on_the_tablet(long_show())
    places, titles = [0], [tab.locator(".now-title").inner_text()]
    for _ in range(40):
        tab.keyboard.press(forth)
        tab.wait_for_timeout(40)
        places.append(tab.evaluate("scrollY"))
        titles.append(tab.locator(".now-title").inner_text())

    steps = [after - before for before, after in pairwise(places)]
    seen = tab.evaluate("innerHeight - document.querySelector('.bar').offsetHeight")
    assert max(steps) < seen
    assert list(dict.fromkeys(titles)) == ["The run of the show", "Item 1", "Item 2", "Item 3", "Goodbye"]
    assert tab.locator("progress").evaluate("one => one.value") == long_show().total_seconds - 30
    for _ in range(40):
        tab.keyboard.press(back)
    tab.wait_for_function("scrollY === 0")


def test_the_next_item_is_a_key_away_and_the_bar_tells_its_time(on_the_tablet):
    tab = on_the_tablet(long_show())
    tab.keyboard.press("n")
    tab.keyboard.press("n")
    tab.wait_for_function("document.querySelector('.now-title').textContent === 'Item 2'")

    assert tab.locator(".now-at").inner_text() == "1:13"
    tab.keyboard.press("p")
    tab.wait_for_function("document.querySelector('.now-title').textContent === 'Item 1'")


def test_the_clock_starts_and_stops(on_the_tablet):
    tab = on_the_tablet(long_show())
    tab.keyboard.press("s")
    assert tab.locator(".watch-told").inner_text() == "0:00"
    tab.get_by_role("button", name="Stop").click()
    assert tab.locator(".watch-told").inner_text() == ""


def test_without_script_the_links_lead_through_the_show(on_the_tablet):
    tab = on_the_tablet(long_show(), has_script=False)

    assert not tab.locator(".bar").is_visible()
    assert not tab.locator(".keys").is_visible()
    tab.locator(".rundown a").nth(1).click()
    assert tab.url.endswith("#item-2")
    tab.get_by_role("link", name=re.compile("^Next, .*Item 3")).click()
    assert tab.url.endswith("#item-3")


@pytest.mark.parametrize("width", [360, 820, 1280])
def test_nothing_is_wider_than_the_screen_or_smaller_than_26_px(width, on_the_tablet):
    tab = on_the_tablet(show(item(1, "x" * 300, title="y" * 200, props=["z" * 90]), item(2)))
    tab.set_viewport_size({"width": width, "height": 700})

    assert tab.evaluate("document.documentElement.scrollWidth") <= width
    smallest = tab.evaluate(
        "Math.min(...[...document.querySelectorAll('body *')].filter(one => one.offsetParent && one.textContent.trim())"
        ".map(one => parseFloat(getComputedStyle(one).fontSize)))"
    )
    assert smallest >= 26

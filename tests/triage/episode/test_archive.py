"""The archive of aired answers: a site that opens from a disk, tells what was said and why, and nothing personal."""

from __future__ import annotations

import json
import re
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import pytest
from selectolax.lexbor import LexborHTMLParser

from tests.triage.episode.show_items import line
from tests.triage.episode.test_chapters import cues_of
from triage.episode.archive import AiredFigure, AiredItem, aired_item, aired_items, write_archive

FIGURE = {
    "label": "Thickness left",
    "value": -0.08,
    "low": -0.08,
    "high": -0.08,
    "unit": "mm",
    "working": "w = t − t_m = 1.42 mm − 1.5 mm = −0.08 mm",
    "decides": True,
    "inputs": [{"name": "t", "words": "my secret words"}],
    "sources": ["common-practice"],
}


@dataclass(frozen=True)
class Kept:
    """An item as the ledger keeps it."""

    question_id: str | None
    day: str
    as_aired: dict[str, Any] | None
    kind: str = "question"


def answer(number=1, **changes):
    """An answer with one figure."""
    usual = AiredItem(
        question_id=f"q{number}-1",
        kind="question",
        day="2026-11-27",
        starts_at=20.0 * number,
        seconds=15.0,
        title=f"Answer {number}",
        topic="Brakes",
        verdict="not-recommended",
        headline="No, replace it.",
        rider="Ruth",
        figures=(AiredFigure("Thickness left", "−0.08 mm", "w = t − t_m", True),),
        cautions=("Never ride on a cracked rotor.",),
        sources=("Rotor wear, Example Press",),
    )
    return replace(usual, **changes)


def page(path: Path) -> LexborHTMLParser:
    """A written page."""
    return LexborHTMLParser(path.read_text(encoding="utf-8"))


def links(index: LexborHTMLParser) -> list[str]:
    """Where its links lead."""
    return [one.attributes["href"] for one in index.css("a")]


def names(folder: Path) -> set[str]:
    """All files in a folder."""
    return {path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file()}


def test_an_answer_has_a_page_with_all_that_it_stands_on(tmp_path):
    write_archive([answer()], tmp_path)
    text = " ".join(page(tmp_path / "answers" / "2026-11-27-q1-1.html").body.text(separator=" ").split())

    for told in (
        "Answer 1",
        "Brakes · 2026-11-27 at 0:20, 0:15 min · asked by Ruth",
        "Not recommended No, replace it.",
        "Thickness left: −0.08 mm decides w = t − t_m",
        "Please mind Never ride on a cracked rotor.",
        "Sources Rotor wear, Example Press",
    ):
        assert told in text


def test_the_index_lists_all_by_date_and_by_topic_without_script(tmp_path):
    later, oil = answer(2, day="2026-12-04"), answer(3, topic="Oil", title="Which oil")
    write_archive([answer(1), oil, later], tmp_path)
    index = page(tmp_path / "index.html")

    days, topics = index.css("section")
    assert [one.text() for one in days.css("h3 time")] == ["2026-12-04", "2026-11-27"]
    assert [one.text() for one in days.css("li a")] == ["Answer 2", "Answer 1", "Which oil"]
    assert [one.text() for one in topics.css("h3")] == ["Brakes", "Oil"]
    assert index.css_first(".head .facts").text() == "3 answers, 2 episodes, the last of 2026-12-04"
    assert "hidden" in index.css_first("form").attributes


def test_every_link_leads_to_a_file_of_the_archive(tmp_path):
    write_archive([answer(1), answer(2), answer(1, day="2026-12-04", kind="correction")], tmp_path)

    for path in tmp_path.rglob("*.html"):
        tree = page(path)
        addresses = [
            one.attributes.get("src") or one.attributes.get("href") for one in tree.css("a, link, script")
        ]
        assert addresses
        for address in addresses:
            assert (path.parent / address).resolve().is_relative_to(tmp_path.resolve())
            assert (path.parent / address).is_file(), address


def test_nothing_is_loaded_or_linked_from_elsewhere_and_nothing_is_inline(tmp_path, knowledge):
    drafted = line(
        headline="See https://maker.example/sheet and www.shop.example, or mail ana@riders.invalid.",
        sources=list(knowledge.sources)[:50],
        figures=[FIGURE],
    )
    write_archive([aired_item(drafted, "2026-11-27", 20, 30, knowledge)], tmp_path)

    for path in tmp_path.rglob("*"):
        if path.is_file():
            text = path.read_text(encoding="utf-8")
            assert "http" not in text
            assert "@riders" not in text
            assert "www." not in text
            if path.suffix == ".html":
                assert not page(path).css("style, [style], script:not([src]), [onclick]")


def test_of_the_rider_only_the_first_name_is_told(tmp_path, knowledge):
    drafted = line(
        text="I am Ruth Example of 4 Mill Lane, ring 0171 555 0199",
        whole_text="I am Ruth Example",
        rider="Ruth",
        source="inbox/ruth.eml",
        message_id="m1@riders.invalid",
        address="ruth@riders.invalid",
        figures=[FIGURE],
        say="Ruth writes: “I am Ruth Example.”",
    )
    write_archive([aired_item(drafted, "2026-11-27", 20, 30, knowledge)], tmp_path)
    everything = "".join(path.read_text(encoding="utf-8") for path in tmp_path.rglob("*") if path.is_file())

    assert "asked by Ruth" in everything
    for secret in ("Ruth Example", "Mill Lane", "0199", "ruth.eml", "riders.invalid", "secret words"):
        assert secret not in everything


def test_the_draft_is_told_with_titles_of_sources_and_the_topics_label(knowledge):
    made = aired_item(
        line(topic="brakes", sources=["common-practice", "gone"], figures=[FIGURE]),
        "2026-11-27",
        20,
        30,
        knowledge,
    )

    assert made.topic == "Brakes"
    assert made.sources == ("Common workshop practice", "gone")
    assert made.figures == (AiredFigure("Thickness left", "−0.08 mm", FIGURE["working"], True),)
    assert made.said == ()


def test_a_correction_tells_what_was_said_and_the_old_answer_points_to_it(tmp_path, knowledge):
    told = "We said it was fine.\n\n[Presenter: say here how it went.]\n\nIt is not."
    old = Kept("q1", "2026-11-20", line(title="Rotor", starts_at=60.0, seconds=30.0))
    other = Kept("q2", "2026-11-20", line(2, title="Oil", starts_at=90.0, seconds=30.0))
    joke = Kept("q3", "2026-11-20", line(3, starts_at=120.0, seconds=9.0), "closer")
    right = Kept(
        "q1", "2026-11-27", {"title": "Put right: rotor", "say": told, "starts_at": 20.0}, "correction"
    )
    items = aired_items([old, other, joke, right, Kept("q4", "2026-11-27", None)], knowledge)

    assert [(one.title, one.put_right) for one in items] == [
        ("Rotor", ("2026-11-27", 20.0)),
        ("Oil", None),
        ("Put right: rotor", None),
    ]
    assert items[2].said == ("We said it was fine.", "It is not.")
    write_archive(items, tmp_path)
    note = page(tmp_path / "answers" / "2026-11-20-q1.html").css_first(".right")
    assert note.text() == "This answer was put right on 2026-11-27 at 0:20. What holds now"
    assert note.css_first("a").attributes["href"] == "2026-11-27-q1.html"


def test_each_episode_has_its_chapters(tmp_path):
    write_archive([answer(1), answer(2, title="A & B --> C")], tmp_path)
    cues = cues_of((tmp_path / "chapters" / "2026-11-27.vtt").read_text(encoding="utf-8"))

    assert [(cue.begins, cue.ends, cue.text) for cue in cues] == [
        (20_000, 35_000, "Answer 1"),
        (40_000, 55_000, "A & B --> C"),
    ]


def test_ids_that_look_alike_and_ids_that_climb_get_pages_of_their_own(tmp_path):
    ids = ["a/b", "a-b", "A B", "../../x", "", "é", "a-b-2"]
    write_archive([answer(number, question_id=one) for number, one in enumerate(ids)], tmp_path)

    assert {name for name in names(tmp_path) if name.startswith("answers/")} == {
        f"answers/2026-11-27-{word}.html"
        for word in ("a-b", "a-b--2", "a-b--3", "x", "answer", "answer--2", "a-b-2")
    }


@pytest.mark.parametrize("day", ["", "../2026-11-27", "20261127", "2026-11-31", "2026-W48-5"])
def test_a_day_that_is_none_is_refused_before_anything_is_written(day, tmp_path):
    with pytest.raises(ValueError, match=r"^Answer 2: expected a day such as 2026-11-27, got"):
        write_archive([answer(1), answer(2, day=day)], tmp_path)

    assert names(tmp_path) == set()


def test_written_again_it_is_the_same_and_without_what_is_no_longer_aired(tmp_path):
    write_archive([answer(1), answer(2), answer(3, day="2026-12-04")], tmp_path)
    mine = tmp_path / "answers" / "notes.html"
    mine.write_text("mine", encoding="utf-8")
    write_archive([answer(2)], tmp_path)

    assert names(tmp_path) == {
        "index.html",
        "answers.js",
        "archive.css",
        "archive.js",
        "answers/2026-11-27-q2-1.html",
        "answers/notes.html",
        "chapters/2026-11-27.vtt",
    }
    before = {name: (tmp_path / name).read_bytes() for name in names(tmp_path)}
    write_archive([answer(2)], tmp_path)
    assert {name: (tmp_path / name).read_bytes() for name in names(tmp_path)} == before


def test_an_empty_archive_says_so(tmp_path):
    write_archive([], tmp_path)
    index = page(tmp_path / "index.html")

    assert index.css_first(".head .facts").text() == "0 answers, 0 episodes"
    assert "Nothing was aired yet." in index.body.text()


def test_what_was_written_is_shown_as_written_and_never_run(tmp_path):
    evil = "</script><script>alert(1)</script>\u2028 & “é”"
    write_archive(
        [answer(1, title=evil, headline=evil, rider=evil, cautions=(evil,), said=(evil,))], tmp_path
    )
    index = page(tmp_path / "index.html")
    told = (tmp_path / "answers.js").read_text(encoding="utf-8")
    rows = json.loads(re.search(r"const ANSWERS = (.*);", told, re.DOTALL)[1])

    assert rows[0]["title"] == evil
    assert told.isascii()
    assert [one.attributes.get("src") for one in index.css("script")] == ["answers.js", "archive.js"]
    assert index.css_first("li a").text() == evil


def test_the_search_works_from_a_disk(tmp_path, browser):
    evil = "<img src=x onerror=document.title='run'>"
    items = [
        answer(1, title="A worn rotor"),
        answer(2, title="Which oil", topic="Lubrication", cautions=("Keep oil off the rotor.",)),
        answer(3, title="Café stop", topic="Other", cautions=(), sources=(), headline=evil),
    ]
    write_archive(items, tmp_path)
    tab = browser.new_page()
    faults: list[str] = []
    tab.on("pageerror", lambda fault: faults.append(str(fault)))
    tab.on(
        "request", lambda request: faults.append(request.url) if not request.url.startswith("file:") else None
    )
    tab.goto((tmp_path / "index.html").as_uri())

    def found(sought):
        tab.get_by_label("Search the answers").fill(sought)
        return tab.locator("#told").inner_text(), tab.locator("#found a").all_inner_texts()

    assert found("rotor") == ("2 answers", ["A worn rotor", "Which oil"])
    assert found("ROT worn") == ("1 answer", ["A worn rotor"])
    assert found("cafe") == ("1 answer", ["Café stop"])
    assert tab.locator("#found p").inner_text() == evil
    assert found("otor") == ("No answer has all of these words.", [])
    assert found("") == ("", [])
    found("oil")
    tab.locator("#found a").first.click()
    assert tab.title() == "Which oil · Answers on air"
    assert faults == []
    tab.close()

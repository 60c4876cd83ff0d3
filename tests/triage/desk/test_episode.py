"""The episode on the desk: planned from what is signed, changed by pin and drop, aired, and what is owed."""

from __future__ import annotations

import re

import pytest
from selectolax.lexbor import LexborHTMLParser

from triage.ledger import Filter, Person
from triage.review.acts import sign

DAY = "2026-11-27"
PLAN = f"/episode?day={DAY}&minutes=15"


@pytest.fixture
def signed(bench):
    """Thirty answers, signed off."""
    for card in [c for c in bench.ledger.wall.cards(Filter(), 200) if c["script"]][:30]:
        sign(bench, Person("Ana", "editor"), card["question_id"], 0)


def rundown(page):
    parsed = LexborHTMLParser(page)
    return [link.attributes["href"].removeprefix("/bench/") for link in parsed.css(".rundown b a")]


def test_without_a_signature_there_is_nothing_to_plan(visitor):
    page = visitor("presenter").get(PLAN)

    assert rundown(page) == []
    assert "No answer is signed off, so there is nothing to plan with." in page


def test_a_presenter_plans_pins_and_drops_and_sees_it_solved_again(visitor, signed):
    presenter = visitor("presenter")
    before = rundown(presenter.get(PLAN))
    missed = re.search(r'<h2>Just missed</h2>.*?href="/bench/([^"]+)"', presenter.get(PLAN), re.DOTALL)[1]

    pinned = presenter.post("/episode/change", day=DAY, minutes="15", key=missed, act="pin")
    dropped = presenter.post("/episode/change", day=DAY, minutes="15", key=before[0], act="drop")
    after = rundown(presenter.get(PLAN))

    assert pinned.headers["location"].startswith(f"/episode?day={DAY}&minutes=15")
    assert dropped.status_code == 303
    assert len(before) >= 5
    assert missed in after
    assert before[0] not in after


def test_the_support_desk_may_look_and_not_plan(visitor, signed):
    desk = visitor("desk")

    assert rundown(desk.get(PLAN))
    assert "Pin" not in desk.get(PLAN)
    assert desk.post("/episode/change", day=DAY, key="x", act="pin").status_code == 403


@pytest.mark.parametrize(
    ("form", "kind", "begins"),
    [
        ("md", "text/markdown; charset=utf-8", b"# "),
        ("csv", "text/csv; charset=utf-8", b"place,starts_at"),
        ("vtt", "text/vtt; charset=utf-8", b"WEBVTT"),
        ("pdf", "application/pdf", b"%PDF"),
    ],
)
def test_the_run_of_the_show_comes_in_every_form(visitor, signed, form, kind, begins):
    answer = visitor("presenter").client.get(f"/episode/{DAY}/file/{form}?minutes=15")

    assert answer.headers["content-type"] == kind
    assert answer.content.startswith(begins)


def test_the_page_for_the_tablet_runs_nothing_but_our_own(visitor, signed):
    page = visitor("presenter").get(f"/episode/{DAY}/run?minutes=15")

    assert re.findall(r"<script[^>]*>", page) == ['<script src="/static/show.js" defer>']
    assert "style=" not in page
    assert page.count("<article") >= 5 or page.count('id="item-') >= 5


def test_aired_is_aired_and_the_next_plan_begins_anew(visitor, signed, ledger):
    presenter = visitor("presenter")
    before = rundown(presenter.get(PLAN))

    done = presenter.post("/episode/aired", day=DAY, minutes="15", **{"took.1": "1:30", "took.2": "eighty"})
    again = rundown(presenter.get("/episode?day=2026-12-04&minutes=15"))

    assert done.headers["location"] == "/episode?said=aired"
    items = ledger.episodes.aired()
    assert [item.question_id for item in items] == before
    assert [item.aired_seconds for item in items][:2] == [90.0, None]
    assert set(again).isdisjoint(before)


def test_what_was_wrong_is_put_right_first(visitor, signed, question):
    presenter = visitor("presenter")

    presenter.post(
        "/episode/owe",
        day=DAY,
        act="right",
        question=question,
        wrong="it fits",
        right="it does not",
        told_by="",
    )

    page = presenter.get(PLAN)
    assert rundown(page)[0] == question
    assert "correction" in page
    assert "not it fits, but it does not" in page


@pytest.mark.parametrize(
    ("fields", "told"),
    [
        ({"act": "right", "question": "none", "wrong": "a", "right": "b"}, "the ledger has no such question"),
        ({"act": "promise", "what": ""}, "Say what was promised."),
        ({"act": "found", "number": "7", "found": "x"}, "There is no such promise to keep"),
        ({"act": "sing"}, "Note a promise, what came of one, or a correction."),
    ],
)
def test_what_makes_no_sense_is_refused(visitor, question, fields, told):
    answer = visitor("editor").post("/episode/owe", **{"day": DAY, "question": question, **fields})

    assert answer.status_code == 409
    assert told in answer.text


def test_wishes_that_clash_are_named_and_nothing_breaks(visitor, signed, ledger):
    presenter = visitor("presenter")
    for card in [c for c in ledger.wall.cards(Filter(state="signed"), 40) if c["script"]][:25]:
        presenter.post("/episode/change", day=DAY, minutes="15", key=card["question_id"], act="pin")

    page = presenter.get(PLAN)

    assert 'class="trouble"' in page
    assert rundown(page) == []


def test_looking_at_a_plan_keeps_nothing(visitor, signed, ledger):
    visitor("presenter").get("/episode?day=2027-01-07&minutes=10")

    assert ledger.episodes.all() == []

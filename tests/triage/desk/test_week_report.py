"""The week report: its sums, its pictures and their tables, counted by hand on a small ledger, and the page they make."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import date
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
import sqlalchemy as sa
from jinja2 import Environment, PackageLoader, StrictUndefined
from selectolax.lexbor import LexborHTMLParser

from knowledge.base import Knowledge
from triage.desk.week_report import ASIDE, Picture, WeekReport, report_of
from triage.ledger import Deed, Ledger, Person, Review, open_ledger
from triage.ledger.rows import message_key
from triage.ledger.schema import CORRECTIONS, MAILS
from triage.records import Message
from triage.sift import KINDS_AS_FLAGS, NEVER_SIFTED

TODAY = date(2026, 11, 26)
Came = Callable[..., str]


@pytest.fixture
def ledger(tmp_path: Path) -> Iterator[Ledger]:
    """A new ledger."""
    opened = open_ledger(tmp_path / "desk.sqlite")
    yield opened
    opened.close()


@pytest.fixture
def came(ledger: Ledger, message: Callable[..., Message]) -> Came:
    """Let a question come in; it gives the message's key back."""

    def keep(number: int, day: str, text: str = "", **changes: Any) -> str:
        received = f"{day}T09:00:00+00:00"
        one = message(
            text or f"Ask {number}?",
            message_id=f"m{number}",
            received=received,
            address=f"{number}@riders.invalid",
        )
        line = {
            "question_id": f"q{number}", "repeats_of": None, "is_question": True, "text": one.text, "title": None,
            "topic": "tyres", "brief": "tyres/rim-width", "verdict": "yes", "safety": False, "flags": [],
            "received": received, "likes": 0, "asked_by": 1, "nearest_briefs": [], **changes,
        }  # fmt: skip
        ledger.keep([one], {message_key(one): [line]}, "v1")
        return message_key(one)

    return keep


@pytest.fixture
def report(ledger: Ledger, knowledge: Knowledge) -> Callable[..., WeekReport]:
    """The report of the ledger as it is."""

    def make(upto: str = "2026-11-20", weeks: int = 2) -> WeekReport:
        return report_of(ledger, knowledge, upto, weeks, TODAY)

    return make


def picture(report: WeekReport, key: str) -> Picture:
    """One picture of a report."""
    return next(one for one in report.pictures if one.key == key)


def table(report: WeekReport, key: str) -> list[tuple[str, ...]]:
    """The rows of one picture's numbers."""
    return [row.cells for row in picture(report, key).rows]


def corrected(ledger: Ledger, number: int, kind: str, now: str, day: str = "2026-11-18") -> None:
    """A correction that was made on a day."""
    row = {
        "question_id": f"q{number}",
        "kind": kind,
        "ask": "",
        "was": None,
        "now": now,
        "made": f"{day}T09:00:00Z",
    }
    with ledger.engine.begin() as connection:
        connection.execute(sa.insert(CORRECTIONS).values(**row))


def signed(ledger: Ledger, number: int, moment: str) -> None:
    """A question that was signed off at a moment."""
    fresh = Review(f"q{number}")
    after = replace(fresh, state="signed", signed_by="Eva", signed_at=moment)
    ledger.reviews.save(fresh, after, Person("Eva", "editor"), [Deed("signed")])


def shown(report: WeekReport) -> LexborHTMLParser:
    """The page of a report, as the desk's templates make it."""
    environment = Environment(
        loader=PackageLoader("triage", "templates"), undefined=StrictUndefined, autoescape=True
    )
    return LexborHTMLParser(
        environment.get_template("desk/week.html").render(
            report=report,
            person=SimpleNamespace(name="Eva", role="editor"),
            may=lambda _right: True,
            form_token="",
            notice=None,
            path="/week",
        )
    )


def test_an_empty_ledger_says_so_in_every_picture(report):
    made = report("")

    assert (made.first, made.last, made.trouble) == ("2026-11-16", "2026-11-26", "")
    assert (made.questions, made.without_brief, made.set_aside, made.signed, made.mailed) == (0, 0, 0, 0, 0)
    assert [(one.key, str(one.drawn), one.nothing) for one in made.pictures] == [
        ("by-topic", "", "No question came in."),
        ("by-verdict", "", "Nothing was drafted."),
        ("most-asked", "", "No question came in."),
        ("gaps", "", "No question came in."),
        ("answered", "", "Nothing was signed off and no mail was sent."),
        ("corrected", "", "Nothing was corrected."),
        ("standing", "", "The ledger holds no question."),
        ("set-aside", "", "Nothing was set aside."),
    ]


def test_without_a_day_the_newest_one_ends_the_report(report, came):
    came(1, "2026-11-18")
    came(2, "2031-01-01")

    assert report("", 1).last == "2026-11-18"
    assert report("  ", 1).last == "2026-11-18"
    assert report("2026-11-13", 1).last == "2026-11-13"


@pytest.mark.parametrize(
    "text", ["2026-13-01", "yesterday", "1970-12-31", "2200-01-01", "0001-01-01", "9999-12-31"]
)
def test_what_is_no_day_is_told_and_the_newest_is_shown(report, came, text):
    came(1, "2026-11-18")

    made = report(text, 26)

    assert made.trouble == f"“{text}” is no day. The newest one is shown."
    assert made.last == "2026-11-18"


def test_no_week_at_all_is_refused(report):
    with pytest.raises(ValueError, match=r"^weeks: expected 1 or more, got 0$"):
        report(weeks=0)


def test_the_sums_are_of_the_asked_for_weeks(ledger, report, came):
    came(1, "2026-11-10")
    came(2, "2026-11-18", brief=None, verdict="none")
    came(3, "2026-11-18", is_question=False, flags=["spam"])
    came(4, "2026-11-02")
    signed(ledger, 1, "2026-11-12T09:00:00Z")
    signed(ledger, 4, "2026-11-08T09:00:00Z")

    made = report()

    assert (made.questions, made.without_brief, made.set_aside, made.signed, made.mailed) == (2, 1, 1, 1, 0)


def test_topics_and_verdicts_stand_by_week_with_their_sum(report, came):
    came(1, "2026-11-10")
    came(2, "2026-11-18")
    came(3, "2026-11-19", topic="brakes", verdict="not-recommended")

    made = report()

    assert picture(made, "by-topic").head == ("Topic", "9 Nov", "16 Nov", "all")
    assert table(made, "by-topic") == [("Tyres", "1", "1", "2"), ("Brakes", "0", "1", "1")]
    assert [row.address for row in picture(made, "by-topic").rows] == [
        "/wall?topic=tyres",
        "/wall?topic=brakes",
    ]
    assert table(made, "by-verdict") == [("yes", "1", "1", "2"), ("not recommended", "0", "1", "1")]


def test_the_smallest_topics_share_a_pattern_and_keep_their_own_row(report, came, knowledge):
    number = 0
    for topic in knowledge.topics:
        for _ in range(1 if topic in ("cranks", "wheels", "other") else 2):
            number += 1
            came(number, "2026-11-18", topic=topic)

    made = report(weeks=1)

    assert len(knowledge.topics) == 9
    assert "the rest 3" in picture(made, "by-topic").drawn
    assert "Cranks" not in picture(made, "by-topic").drawn
    assert ("Cranks and pedals", "1", "1") in table(made, "by-topic")


def test_the_most_asked_are_named_by_their_title_unless_two_share_it(report, came):
    came(1, "2026-11-18", "Which bearing is a 6902?", title="Which bearing a number stands for")
    came(2, "2026-11-18", repeats_of="q1")
    came(3, "2026-11-18", "Will 28 mm fit?", title="Is the rim wide enough")
    came(4, "2026-11-19", repeats_of="q3")
    came(5, "2026-11-19", repeats_of="q3")
    came(6, "2026-11-18", "Will 54 mm fit?", title="Is the rim wide enough")

    made = report()

    assert table(made, "most-asked") == [
        ("Will 28 mm fit?", "Will 28 mm fit?", "3"),
        ("Which bearing a number stands for", "Which bearing is a 6902?", "2"),
        ("Will 54 mm fit?", "Will 54 mm fit?", "1"),
    ]
    assert picture(made, "most-asked").rows[0].address == "/wall?group=q3"


def test_gaps_are_gathered_by_likeness_and_count_riders(report, came):
    asks = {"brief": None, "verdict": "none", "topic": "other"}
    came(1, "2026-11-17", "Which cargo trailer for a recumbent bicycle?", **asks)
    came(2, "2026-11-18", repeats_of="q1", **asks)
    came(3, "2026-11-18", "Cargo trailer behind a recumbent bicycle, which one?", **asks)
    came(4, "2026-11-19", "How do I polish old chrome mudguards?", **asks)
    came(5, "2026-11-19")

    made = report()

    assert (
        picture(made, "gaps").about == "4 questions found no brief. How many riders asked alike, and one ask."
    )
    assert [(row[0], row[2], row[3]) for row in table(made, "gaps")] == [
        ("Which cargo trailer for a recumbent bicycle?", "Other", "3"),
        ("How do I polish old chrome mudguards?", "Other", "1"),
    ]


def test_riders_of_a_gap_count_even_where_the_first_to_ask_is_gone(report, came):
    asks = {"brief": None, "verdict": "none", "topic": "other"}
    came(2, "2026-11-17", "Which cargo trailer for a recumbent bicycle?", repeats_of="q1", **asks)
    came(3, "2026-11-18", "Which cargo trailer for my recumbent bicycle?", repeats_of="q1", **asks)
    came(4, "2026-11-18", "Cargo trailer behind a recumbent bicycle, which one?", **asks)
    came(5, "2026-11-18", "Does a cargo trailer go behind a recumbent bicycle?", **asks)

    assert [(row[0], row[3]) for row in table(report(), "gaps")] == [
        ("Which cargo trailer for a recumbent bicycle?", "4")
    ]


def test_where_every_question_found_a_brief_the_gaps_say_so(report, came):
    came(1, "2026-11-18")

    assert (str(picture(report(), "gaps").drawn), picture(report(), "gaps").nothing) == (
        "",
        "Every question found a brief.",
    )


def test_days_until_the_answer_in_words(ledger, report, came):
    came(1, "2026-11-10")
    came(2, "2026-11-16")
    key = came(3, "2026-11-19")
    signed(ledger, 1, "2026-11-16T21:00:00Z")
    signed(ledger, 2, "2026-11-17T09:00:00Z")
    row = {
        "message_key": key, "state": "sent", "mail_id": "one@desk.invalid", "mail_digest": "0", "ordered_by": "Eva",
        "question_ids": '["q3"]', "ordered": "2026-11-19T10:00:00Z", "ended": "2026-11-19T14:00:00Z",
    }  # fmt: skip
    with ledger.engine.begin() as connection:
        connection.execute(sa.insert(MAILS).values(**row))

    made = report()

    assert table(made, "answered") == [
        ("Signed off", "2", "3.8 days", "6.5 days", "6.5 days"),
        ("Answered by mail", "1", "5 hours", "5 hours", "5 hours"),
    ]


def test_corrections_are_told_by_what_they_were_about(ledger, report, knowledge):
    for number in (1, 2):
        corrected(ledger, number, "detail", f"rim_inner_width_mm={number}9")
    corrected(ledger, 1, "detail", "rim_inner_width_mm=21")
    corrected(ledger, 3, "part", "rotor=some-rotor")
    corrected(ledger, 4, "topic", "brakes")
    corrected(ledger, 5, "outside", "chatter/joke")
    corrected(ledger, 6, "brief", "tyres/rim-width")
    corrected(ledger, 7, "detail", "tyre_width_mm=32")
    corrected(ledger, 7, "as-read", "detail tyre_width_mm")
    corrected(ledger, 8, "brief", "tyres/rim-width", "2026-11-21")

    assert table(report(), "corrected") == [
        (knowledge.label("rim_inner_width_mm"), "2"),
        ("part: rotor", "1"),
        ("question or not", "1"),
        ("the brief", "1"),
        ("the topic", "1"),
    ]


def test_states_are_of_the_whole_ledger_and_in_their_order(ledger, report, came):
    came(1, "2026-01-01")
    came(2, "2026-11-18")
    signed(ledger, 1, "2026-01-02T09:00:00Z")

    assert table(report(), "standing") == [
        ("new, untouched", "1"),
        ("in hand", "0"),
        ("returned with a note", "0"),
        ("signed off", "1"),
        ("sent", "0"),
    ]


def test_set_aside_is_told_by_the_first_flag_that_says_what_it_is(report, came):
    came(1, "2026-11-18", is_question=False, flags=["picture", "thanks"])
    came(2, "2026-11-18", is_question=False, flags=["automatic-reply", "urgent", "spam"])
    came(3, "2026-11-18", is_question=False, flags=["urgent"])
    came(4, "2026-11-18", is_question=False, flags=["thanks"])

    assert table(report(), "set-aside") == [
        ("thanks", "2"),
        ("automatic replies", "1"),
        ("nothing asked", "1"),
    ]


def test_many_kinds_end_with_the_rest_of_them(report, came):
    for number, flag in enumerate(list(ASIDE)[:9]):
        came(number, "2026-11-18", is_question=False, flags=[flag])
    came(20, "2026-11-18", is_question=False, flags=["spam"])

    rows = table(report(), "set-aside")

    assert (len(rows), rows[0], rows[-1]) == (8, ("spam", "2"), ("the rest", "2"))


def test_every_kind_that_is_set_aside_has_its_word():
    assert {*KINDS_AS_FLAGS.values(), *NEVER_SIFTED} <= set(ASIDE)


def test_the_page_has_a_heading_a_form_and_each_picture_with_its_numbers(report, came):
    came(1, "2026-11-18", "Is <b>this</b> & that safe?")
    page = shown(report())

    assert page.css_first("title").text() == "The week · Quillstem"
    assert [one.text() for one in page.css("main h1")] == ["The week"]
    assert [one.text() for one in page.css("main h2")] == [
        "What came in, by topic",
        "What the drafts say",
        "Asked most",
        "What no brief answers",
        "Days until it was answered",
        "What the reading got wrong",
        "Where everything stands now",
        "Set aside",
    ]
    form = page.css_first("main form")
    assert (form.attributes["method"], form.attributes["action"]) == ("get", "/week")
    assert {one.attributes["name"]: one.attributes["value"] for one in form.css("input")} == {
        "upto": "2026-11-20",
        "weeks": "2",
    }
    assert len(page.css("main svg[role=img]")) == len(page.css("main details table")) == 4
    assert [one.text() for one in page.css(".week-nothing")] == [
        "Every question found a brief.",
        "Nothing was signed off and no mail was sent.",
        "Nothing was corrected.",
        "Nothing was set aside.",
    ]
    assert "Is <b>this</b> & that safe?" in page.css_first("[aria-labelledby=h-most-asked] td").text()
    assert not page.css("main [style], main style, main script, main b")


def test_the_page_tells_what_was_wrong_with_the_day(report):
    assert (
        shown(report("soon")).css_first("[role=alert]").text() == "“soon” is no day. The newest one is shown."
    )
    assert shown(report()).css_first("[role=alert]") is None

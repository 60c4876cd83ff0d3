"""The wall page: a bounded number of cards on each hook, pages behind it, and filters that keep to an address."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest
from selectolax.lexbor import LexborHTMLParser

from triage.desk.wall import ON_ONE_HOOK, ON_ONE_PAGE, address_of, filter_in, filter_of
from triage.ledger import Filter
from triage.ledger.rows import message_key

MANY = 75


@pytest.fixture
def crowded(ledger, message):
    """Seventy-five more questions on lubrication."""
    pattern = ledger.wall.cards(Filter(topic="lubrication"), 1)[0]
    for number in range(MANY):
        one = message(f"Which oil number {number}?", message_id=f"many-{number}@riders.invalid")
        line = {**pattern, "question_id": f"many-{number}", "repeats_of": None, "text": one.text}
        ledger.keep([one], {message_key(one): [json.loads(json.dumps(line))]}, "v1")
    return sum(ledger.wall.counts(Filter(topic="lubrication"), "topic").values())


def cards(page, hook):
    return LexborHTMLParser(page).css(f"section[aria-labelledby='hook-{hook}'] .card")


def test_a_hook_shows_its_first_cards_and_leads_to_all(visitor, crowded):
    page = visitor("editor").get("/wall")

    assert crowded >= MANY
    assert len(cards(page, "lubrication")) == ON_ONE_HOOK
    assert f"All {crowded} of Lubrication" in page


def test_one_topic_is_paged_without_gap_or_double(visitor, crowded):
    editor = visitor("editor")
    first = cards(editor.get("/wall?topic=lubrication"), "lubrication")
    second = cards(editor.get(f"/wall?topic=lubrication&from={ON_ONE_PAGE}"), "lubrication")

    links = [card.css_first("a.cover").attributes["href"] for card in (*first, *second)]
    assert len(first) == ON_ONE_PAGE
    assert len(set(links)) == len(links) == crowded


def test_what_nothing_is_like_says_so(visitor):
    page = visitor("editor").get("/wall?verdict=yes&topic=lubrication&words=zzzz")

    assert "Nothing on the wall is like that." in page


def test_a_filter_survives_its_address():
    wanted = Filter(topic="tyres", words="a & b=c", safety=True)

    assert filter_in(address_of(wanted)) == wanted
    assert filter_of({"topic": "tyres", "no such": "x", "safety": "yes"}) == Filter(topic="tyres")
    assert address_of(replace(wanted, topic="", words="", safety=False)) == ""

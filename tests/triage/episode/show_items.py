"""Lines and items for the tests of the show, as small as what they are asked for."""

from __future__ import annotations

from triage.episode.show import ShowItem, ShowTimes

TIMES = ShowTimes(opening_seconds=20, link_seconds=4, farewell_seconds=30)


def line(number=1, **changes):
    """A draft, as far as the show looks into it."""
    return {
        "question_id": f"q{number}",
        "rider": "Ana",
        "text": "Which oil?",
        "topic": "lubrication",
        "brief": "lubrication/which-oil",
        "verdict": "yes",
        "safety": False,
        "headline": "Thin oil.",
        "title": "Which oil",
        "script": "Thin oil will do.",
        "figures": [],
        "cautions": [],
        "sources": [],
        "props": [],
        "attachments": [],
        "asked_by": 1,
        **changes,
    }


def item(place=1, say="One two three four five.", kind="question", title="Which oil", link=None, **changes):
    """An item of a show with a line of its own."""
    return ShowItem(place, kind, line(place, title=title, **changes), say, title, link)

"""One visit to one page: who, which form, and what every page shows around its own matter."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Any

from jinja2 import Environment
from starlette.datastructures import FormData, QueryParams
from starlette.requests import Request
from starlette.responses import HTMLResponse, RedirectResponse, Response

from knowledge.number_line import ask_line, number_line
from triage.desk.postman import Postman
from triage.desk.settings import Settings
from triage.ledger import Person
from triage.output.glance import glance, shown
from triage.output.pages import page_environment
from triage.personal import masked
from triage.review.acts import Bench
from triage.review.roles import may
from triage.review.text_diff import short

NOTICES = {
    "again": "Worked out again with what you said.",
    "kept": "Kept.",
    "signed": "Signed off.",
    "returned": "Returned with your note.",
    "back": "Taken back.",
    "ordered": "The mails are ordered and go out one by one.",
    "settled": "Noted.",
    "noted": "Noted. The next plan takes it into account.",
    "aired": "Marked as aired. The pace is learnt from what was timed.",
}
"""What a page may say of the step before it, by the word in its address; nothing else can be put there."""
MOST_IN_A_FIELD = 60_000
RIDERS_TEXTS = ("text", "context", "whole_text", "subject")
"""What of a line is in the rider's own words; masking keeps its length, so that marked details stay in place."""


@dataclass(frozen=True)
class Visit:
    """One request of somebody who is in.

    `form` holds the posted fields, `query` what stands in the address, `place` what the path names.
    """

    bench: Bench
    settings: Settings
    request: Request
    person: Person
    form_token: str
    postman: Postman
    form: FormData = field(default_factory=FormData)

    @property
    def query(self) -> QueryParams:
        """What stands in the address after the question mark."""
        return self.request.query_params

    @property
    def place(self) -> Mapping[str, str]:
        """What the path names."""
        return self.request.path_params

    def said(self, name: str) -> str:
        """One posted field; empty where there is none."""
        value = self.form.get(name)
        return value[:MOST_IN_A_FIELD] if isinstance(value, str) else ""

    def all_said(self, name: str) -> list[str]:
        """Every posted value of a field."""
        return [value for value in self.form.getlist(name) if isinstance(value, str)]

    def number(self, name: str, otherwise: int = 0) -> int:
        """A posted or asked-for whole number; the other one where it is none."""
        value = self.said(name) or self.query.get(name, "")
        return int(value) if value.isdecimal() and len(value) < 10 else otherwise

    def may(self, right: str) -> bool:
        """Whether the visitor has a right."""
        return may(self.person.role, right)

    def seen(self, lines: Sequence[dict[str, Any]]) -> list[dict[str, Any]]:
        """Lines as this visitor may see them: surnames, addresses and numbers only where mail is answered."""
        if self.may("see-addresses"):
            return list(lines)
        senders = self.bench.ledger.wall.senders([line["question_id"] for line in lines])
        return [_masked(line, senders.get(line["question_id"], {})) for line in lines]

    def page(self, template: str, status: int = 200, **matter: Any) -> HTMLResponse:
        """A page with what every page shows around its matter."""
        return HTMLResponse(
            render(
                template,
                person=self.person,
                may=self.may,
                form_token=self.form_token,
                notice=NOTICES.get(self.query.get("said", "")),
                path=self.request.url.path,
                **matter,
            ),
            status,
        )


def _masked(line: dict[str, Any], sender: Mapping[str, Any]) -> dict[str, Any]:
    who = (sender.get("author"), line["rider"], sender.get("address"))
    return {**line, **{text: masked(line[text], *who) for text in RIDERS_TEXTS if line.get(text)}}


def to(path: str) -> Response:
    """Go on to another page after a change."""
    return RedirectResponse(path, 303)


@lru_cache(maxsize=1)
def _environment() -> Environment:
    environment = page_environment()
    environment.filters |= {"percent": percent, "day": day, "moment": moment}
    environment.globals |= {
        "number_line": number_line,
        "ask_line": ask_line,
        "glance": glance,
        "shown": shown,
        "short": short,
    }
    return environment


def render(template: str, **matter: Any) -> str:
    """A template of the desk with its matter; an undefined name is a fault."""
    return _environment().get_template(f"desk/{template}").render(**matter)


def percent(share: float | None) -> str:
    """A share of one in whole hundredths.

    >>> percent(0.826)
    '83 %'
    """
    return "" if share is None else f"{round(share * 100)} %"


def day(moment: str | None) -> str:
    """The day of a moment.

    >>> day("2026-11-20T09:00:00+00:00")
    '2026-11-20'
    """
    return (moment or "")[:10]


def moment(moment: str | None) -> str:
    """A moment to the minute, in UTC.

    >>> moment("2026-11-20T09:00:31Z")
    '2026-11-20 09:00'
    """
    return (moment or "")[:16].replace("T", " ")


def plain_page(template: str, status: int = 200, **matter: Any) -> HTMLResponse:
    """A page for a visitor who is not in."""
    usual = {"person": None, "may": lambda _right: False, "form_token": "", "notice": None, "path": ""}
    return HTMLResponse(render(template, **{**usual, **matter}), status)

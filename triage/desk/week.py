"""The week: a page of pictures of what came in and what became of it."""

from __future__ import annotations

from starlette.responses import Response

from triage.desk.visit import Visit
from triage.desk.week_report import report_of

USUAL_WEEKS, MOST_WEEKS = 6, 26


def page(visit: Visit) -> Response:
    """The week report up to a day."""
    weeks = min(max(visit.number("weeks", USUAL_WEEKS), 1), MOST_WEEKS)
    report = report_of(visit.bench.ledger, visit.bench.knowledge, visit.query.get("upto", "")[:10], weeks)
    return visit.page("week.html", report=report)

"""The history of the whole desk: who did what and when, the newest first."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from starlette.responses import Response

from triage.desk.bench import told_deed
from triage.desk.visit import Visit
from triage.ledger import Deed

ON_ONE_PAGE = 100


@dataclass(frozen=True, slots=True)
class HistoryPage:
    """What the template may use: (deed, what was done, the question's title) and the number to go on from."""

    rows: Sequence[tuple[Deed, str, str]]
    older: int | None


def page(visit: Visit) -> Response:
    """One page of deeds."""
    ledger = visit.bench.ledger
    before = visit.number("before") or None
    deeds = ledger.reviews.history(before=before, most=ON_ONE_PAGE + 1)
    shown = deeds[:ON_ONE_PAGE]
    ids = list(dict.fromkeys(deed.question_id for deed in shown if deed.question_id))
    titles = {line["question_id"]: line["title"] or "No brief fits" for line in ledger.wall.by_id(ids)}
    rows = [
        (deed, told_deed(deed, visit.bench.knowledge), titles.get(deed.question_id or "", ""))
        for deed in shown
    ]
    older = shown[-1].number if len(deeds) > ON_ONE_PAGE else None
    return visit.page("history.html", history=HistoryPage(rows, older))

"""The recall: every answer that stood on a source, a row, a part, a calculation or a brief, and what each would say now."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from urllib.parse import quote, urlencode

from starlette.responses import Response

from triage.desk.labels import STATE_WORDS
from triage.desk.visit import Visit
from triage.review.recall import NotKnownError, Recall, Recalled, recall, summed_up

ON_ONE_PAGE = 100
"""Answers that one page works out anew."""
MOST_AT_ONCE = 2_000
"""Changed drafts that one visit looks at for what they stand on; the command line looks at all of them."""
LONGEST_NAME = 200


@dataclass(frozen=True, slots=True)
class RecallPage:
    """What the template may use.

    `asked` is what was typed, `trouble` why it was not understood. `told` counts the answers, of which `answers` are
    shown, as (answer, its state in words). `place` is (address, words) of what is recalled, where it has a page; `more`
    and `before` are the addresses of the next answers and the ones before. `behind` are the drafts not yet looked at.
    """

    asked: str
    trouble: str
    what: str
    place: tuple[str, str] | None
    told: str
    answers: Sequence[tuple[Recalled, str]]
    first: int
    found: int
    more: str | None
    before: str | None
    behind: int


def page(visit: Visit) -> Response:
    """The form, and under it what stood on what was asked for."""
    asked = visit.query.get("what", "").strip()[:LONGEST_NAME]
    after = visit.number("from")
    if not asked:
        return visit.page("recall.html", recall=_empty(asked, ""))
    try:
        found = recall(visit.bench, asked, most=ON_ONE_PAGE, after=after, look_at=MOST_AT_ONCE)
    except NotKnownError as error:
        return visit.page("recall.html", 404, recall=_empty(asked, str(error)))
    return visit.page("recall.html", recall=_page(asked, after, found))


def _empty(asked: str, trouble: str) -> RecallPage:
    return RecallPage(asked, trouble, "", None, "", (), 0, 0, None, None, 0)


def _page(asked: str, after: int, found: Recall) -> RecallPage:
    end = after + len(found.answers)
    return RecallPage(
        asked=asked,
        trouble="",
        what=found.what,
        place=_place(found),
        told=_told(found),
        answers=[(one, STATE_WORDS.get(one.state, one.state)) for one in found.answers],
        first=after + 1,
        found=found.found,
        more=_at(asked, end) if end < found.found else None,
        before=_at(asked, max(after - ON_ONE_PAGE, 0)) if after else None,
        behind=found.behind,
    )


def _told(found: Recall) -> str:
    """The sentence that counts, where all answers are on the page; of a part only how many there are."""
    if len(found.answers) == found.found:
        return summed_up(found)
    return f"{found.found:,} answers stood on it."


def _at(asked: str, after: int) -> str:
    return f"/recall?{urlencode({'what': asked, **({'from': after} if after else {})})}"


def _place(found: Recall) -> tuple[str, str] | None:
    """Where the desk shows what is recalled."""
    _, _, name = found.what.partition(" ")
    table, _, row = name.partition("#")
    addresses = {
        "source": f"/source/{quote(name, safe='')}",
        "row": f"/table/{quote(table)}#{quote(row, safe='')}",
        "table": f"/table/{quote(name)}",
        "part": f"/part/{quote(name, safe='')}",
        "calculation": f"/figure/{quote(name, safe='')}",
    }
    return (addresses[found.kind], name) if found.kind in addresses else None

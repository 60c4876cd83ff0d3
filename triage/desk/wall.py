"""The wall: what came in, as job cards hung by topic, with filters, search and counts."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass, fields, replace
from typing import Any
from urllib.parse import parse_qsl, urlencode

from starlette.responses import Response

from triage.desk.labels import STATE_WORDS, VERDICT_WORDS
from triage.desk.visit import Visit
from triage.ledger import Filter
from triage.ledger.wall import STATES
from triage.review.acts import Bench
from triage.sorter.fold import folder_for

ON_ONE_HOOK = 12
"""Cards shown of each topic before one asks for all of them."""
ON_ONE_PAGE = 60
MOST_AT_ONCE = 500
"""Drafts that one visit to the wall lets the search know; the desk begins with all of them."""
LONGEST_SEARCH = 200
SETTLED_STATES = ("signed", "sent")


@dataclass(frozen=True, slots=True)
class Hook:
    """The cards of one topic: how many there are in all, the ones shown, and where the rest of them hang."""

    topic: str
    label: str
    count: int
    cards: Sequence[Mapping[str, Any]]
    more: str | None
    before: str | None


@dataclass(frozen=True, slots=True)
class WallPage:
    """What the wall's template may use.

    `wanted` is the filter in force and `here` the same as an address, which each card's link carries along, so that
    the bench knows the next card; `states` and `verdicts` are (word, label, count, address).
    """

    wanted: Filter
    here: str
    total: int
    hooks: Sequence[Hook]
    states: Sequence[tuple[str, str, int, str]]
    verdicts: Sequence[tuple[str, str, int, str]]
    topics: Sequence[tuple[str, str]]
    set_aside: int


def page(visit: Visit) -> Response:
    """The wall with its filter."""
    wanted = filter_of(visit.query)
    catch_up(visit.bench, MOST_AT_ONCE)
    return visit.page("wall.html", wall=_wall(visit, wanted), STATE_WORDS=STATE_WORDS)


def catch_up(bench: Bench, most: int | None = None) -> int:
    """Let the search know what was drafted since the last look, or so many of it; how many there were."""
    terms = folder_for(bench.knowledge).terms
    return bench.ledger.wall.catch_up(lambda line: terms(" ".join(_words(line))), most)


def _words(line: Mapping[str, Any]) -> Sequence[str]:
    keys = ("question_id", "rider", "text", "context", "title", "headline", "script", "reply")
    return [str(line[key]) for key in keys if line.get(key)]


def filter_of(query: Mapping[str, str]) -> Filter:
    """The filter that an address asks for; what it doesn't know it leaves out."""
    switches = {"safety", "urgent", "repeats", "aside"}
    wanted: dict[str, Any] = {}
    for one in fields(Filter):
        given = query.get(one.name, "").strip()
        if given:
            wanted[one.name] = given == "1" if one.name in switches else given[:LONGEST_SEARCH]
    return Filter(**wanted)


def address_of(wanted: Filter, **changes: Any) -> str:
    """A filter as the part of an address behind the question mark."""
    kept = {key: value for key, value in asdict(replace(wanted, **changes)).items() if value}
    return urlencode({key: "1" if value is True else value for key, value in kept.items()})


def filter_in(address: str) -> Filter:
    """The filter in a wall's address that was carried along."""
    return filter_of(dict(parse_qsl(address[:2000])))


def _wall(visit: Visit, wanted: Filter) -> WallPage:
    cards = visit.bench.ledger.wall
    fold = folder_for(visit.bench.knowledge).terms
    topics = {key: topic.label for key, topic in visit.bench.knowledge.topics.items()}
    by_topic = cards.counts(wanted, "topic", fold)
    by_state = cards.counts(replace(wanted, state=""), "state", fold)
    by_verdict = cards.counts(replace(wanted, verdict=""), "verdict", fold)
    first = visit.number("from")
    hooks = [
        _hook(visit, replace(wanted, topic=topic), label, by_topic[topic], bool(wanted.topic), first)
        for topic, label in topics.items()
        if by_topic.get(topic)
    ]
    return WallPage(
        wanted=wanted,
        here=address_of(wanted),
        total=sum(by_topic.values()),
        hooks=hooks,
        states=[
            (state, STATE_WORDS[state], by_state.get(state, 0), address_of(wanted, state=state))
            for state in STATES
        ],
        verdicts=[
            (verdict, verdict, by_verdict[verdict], address_of(wanted, verdict=verdict))
            for verdict in VERDICT_WORDS
            if by_verdict.get(verdict)
        ],
        topics=list(topics.items()),
        set_aside=sum(cards.counts(Filter(aside=True), "topic").values()),
    )


def _hook(visit: Visit, wanted: Filter, label: str, count: int, is_alone: bool, first: int) -> Hook:
    fold = folder_for(visit.bench.knowledge).terms
    most = ON_ONE_PAGE if is_alone else ON_ONE_HOOK
    first = first if is_alone else 0
    cards = visit.seen(visit.bench.ledger.wall.cards(wanted, most, first, fold))
    here = address_of(wanted)
    more = before = None
    if first + most < count:
        more = f"{here}&from={first + most}" if is_alone else here
    if first:
        before = f"{here}&from={max(first - most, 0)}"
    return Hook(wanted.topic, label, count, cards, more, before)

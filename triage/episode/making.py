"""Make an episode: choose, put in order, time and keep it; change a wish and it is made again; mark it as aired."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from knowledge.episode import EpisodeRules
from triage.episode.candidate import Plan
from triage.episode.candidates import Offered, offered
from triage.episode.order import links
from triage.episode.plan import plan
from triage.episode.show import (
    Related,
    Running,
    Show,
    ShowItem,
    measured_pace,
    run_of_show,
    spoken_terms,
)
from triage.ledger import Ledger, Person
from triage.ledger.episodes import Episode, Item, Wishes
from triage.review.acts import Bench

USUAL_PACE = 150.0
"""Words a minute before any episode was aired; common practice for reading aloud."""
UNSIGNED = "not signed off yet"


@dataclass(frozen=True)
class Made:
    """An episode that was made: what was chosen and why, the run of the show, and everything that was offered by key."""

    episode: Episode
    plan: Plan
    show: Show
    offers: Mapping[str, Offered]

    @property
    def unsigned(self) -> list[str]:
        """The keys of chosen questions that an editor has still to sign."""
        return [
            chosen.candidate.key
            for chosen in self.plan.items
            if chosen.candidate.kind == "question" and UNSIGNED in chosen.why
        ]


def pace_of(ledger: Ledger) -> float:
    """The presenter's own pace, from what was aired and how long it took, in words a minute."""
    pairs = [
        (str(item.as_aired["say"]), float(item.aired_seconds))
        for item in ledger.episodes.aired()
        if item.as_aired is not None and item.aired_seconds
    ]
    return measured_pace(pairs, USUAL_PACE)


def make(bench: Bench, rules: EpisodeRules, episode: Episode, *, also_unsigned: bool = False) -> Made:
    """Plan an episode by the rules and its wishes; the plan of one that is kept is kept with it.

    With `also_unsigned` drafts that nobody has signed may be chosen too, marked as such, for a look ahead.

    Raises:
        ClashingRulesError: no episode keeps to all rules and wishes; it names those that clash.
    """
    ledger = bench.ledger
    pace = pace_of(ledger)
    offers = {
        one.candidate.key: one for one in offered(ledger, bench.knowledge, pace, is_signed=not also_unsigned)
    }
    unsigned = {key for key, one in offers.items() if not one.candidate.is_signed}
    wishes = episode.wishes
    chosen = plan(
        [replace(one.candidate, is_signed=True) for one in offers.values()],
        rules,
        episode.seconds,
        date.fromisoformat(episode.day),
        pinned=frozenset(wishes.pinned) & offers.keys(),
        dropped=frozenset(wishes.dropped),
    )
    items = tuple(
        replace(one, why=(UNSIGNED, *one.why)) if one.candidate.key in unsigned else one
        for one in chosen.items
    )
    lost = [key for key in wishes.pinned if key not in offers]
    notes = (f"Pinned, but not signed off, aired already or unknown: {', '.join(lost)}.",) if lost else ()
    chosen = replace(chosen, items=items, notes=(*chosen.notes, *notes))
    show = _show(bench, rules, episode, chosen, offers, pace)
    if episode.number:
        ledger.episodes.keep(episode, [_item(running, offers, chosen) for running in show.items])
    return Made(episode, chosen, show, offers)


def _show(
    bench: Bench,
    rules: EpisodeRules,
    episode: Episode,
    chosen: Plan,
    offers: Mapping[str, Offered],
    pace: float,
) -> Show:
    before = [None, *links(chosen.items, rules)][: len(chosen.items)]
    items = [
        ShowItem(
            place=place,
            kind=one.candidate.kind,
            line=offers[one.candidate.key].line,
            say=offers[one.candidate.key].say,
            title=one.candidate.title,
            link=link,
            why=one.why,
        )
        for place, (one, link) in enumerate(zip(chosen.items, before, strict=True), 1)
    ]
    return run_of_show(
        items,
        pace,
        rules.time,
        day=episode.day,
        terms=spoken_terms(bench.knowledge),
        names=episode.wishes.said_like,
        earlier=list(_earlier(bench.ledger)),
    )


def _earlier(ledger: Ledger) -> Sequence[Related]:
    """What was answered on air before, to point to."""
    return [
        Related(
            title=str(item.as_aired["title"]),
            brief=str(item.as_aired.get("brief") or ""),
            day=item.day,
            starts_at=float(item.as_aired.get("starts_at") or 0.0),
            question_id=item.question_id or "",
        )
        for item in ledger.episodes.aired()
        if item.as_aired is not None and item.kind == "question"
    ]


def _item(running: Running, offers: Mapping[str, Offered], chosen: Plan) -> Item:
    place = running.item.place
    offer = offers[chosen.items[place - 1].candidate.key]
    return Item(
        place=place,
        kind=running.item.kind,
        question_id=offer.candidate.question_id,
        planned_seconds=running.seconds,
        words=len(running.item.say.split()),
        put_right=offer.put_right,
        promise=offer.promise,
    )


def wish(
    ledger: Ledger,
    episode: Episode,
    person: Person,
    *,
    pin: Sequence[str] = (),
    drop: Sequence[str] = (),
    free: Sequence[str] = (),
    said_like: Mapping[str, str] | None = None,
) -> Episode:
    """Pin, drop or free candidates by key, or note how a name is said; the episode as it is then.

    Raises:
        ClashError: somebody else changed it in the meantime, or it was aired.
    """
    changed = {*pin, *drop, *free}
    if not changed and said_like is None:
        return episode
    before = episode.wishes
    pinned = [key for key in before.pinned if key not in changed]
    dropped = [key for key in before.dropped if key not in changed]
    wishes = Wishes(
        pinned=(*pinned, *pin),
        dropped=(*dropped, *drop),
        said_like={**before.said_like, **(said_like or {})},
    )
    told = [
        f"{verb} {', '.join(keys)}"
        for verb, keys in (("pinned", pin), ("dropped", drop), ("left free", free))
        if keys
    ]
    if said_like:
        told.append(f"noted how to say {', '.join(said_like)}")
    return ledger.episodes.wish(episode, wishes, person, f"{'; '.join(told)} for {episode.day}")


def air(made: Made, ledger: Ledger, person: Person, seconds: Mapping[int, float] | None = None) -> None:
    """Mark an episode as aired, with the real seconds of its items by place where somebody took them.

    Raises:
        ClashError: it was aired already, or changed in the meantime.
    """
    taken = seconds or {}
    items = []
    for running in made.show.items:
        item = _item(running, made.offers, made.plan)
        items.append(
            replace(
                item,
                aired_seconds=taken.get(running.item.place),
                as_aired=_as_aired(running),
            )
        )
    ledger.episodes.air(made.episode, items, person)


KEPT_OF_A_LINE = (
    "question_id", "rider", "topic", "brief", "verdict", "safety", "headline", "figures", "cautions", "checklist",
    "sources", "conditions", "text",
)  # fmt: skip


def _as_aired(running: Running) -> dict[str, Any]:
    """The item as it was said, without anything that only the desk needs."""
    line = running.item.line or {}
    return {
        **{key: line[key] for key in KEPT_OF_A_LINE if key in line},
        "title": running.item.title,
        "say": running.item.say,
        "starts_at": running.starts_at,
        "seconds": running.seconds,
    }

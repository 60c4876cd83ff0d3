"""The episode: what was chosen and why, what just missed, pins and drops, the run of the show, and what is still owed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from urllib.parse import urlencode

from starlette.responses import HTMLResponse, Response

from knowledge.episode import load_episode_rules
from triage.desk.visit import Visit, to
from triage.episode.candidate import NearMiss, Plan
from triage.episode.chapters import as_chapters
from triage.episode.forms import as_csv, as_markdown, as_page
from triage.episode.making import Made, air, make, pace_of, wish
from triage.episode.paper import as_pdf
from triage.episode.plan import ClashingRulesError
from triage.episode.show import Running
from triage.ledger import Deed
from triage.ledger.episodes import Episode, Promise, PutRight
from triage.outbox.export import zipped
from triage.outbox.put_right import as_files, correction_mails
from triage.review.acts import NotDoneError

USUAL_MINUTES, MOST_MINUTES = 15, 240
FORMS = {
    "md": (as_markdown, "text/markdown; charset=utf-8", "show.md"),
    "csv": (as_csv, "text/csv; charset=utf-8", "show.csv"),
    "vtt": (as_chapters, "text/vtt; charset=utf-8", "chapters.vtt"),
    "pdf": (as_pdf, "application/pdf", "show.pdf"),
}


@dataclass(frozen=True, slots=True)
class Row:
    """One chosen item with its place in time, why it is in, and whether it is pinned or still unsigned."""

    running: Running
    key: str
    question_id: str
    title: str
    topic: str
    verdict: str
    why: Sequence[str]
    is_pinned: bool


@dataclass(frozen=True, slots=True)
class EpisodePage:
    """What the template may use; `clash` tells which rules and wishes can't stand together, and then there is no plan.

    `owed` are corrections with how many riders were sent the old answer.
    """

    episode: Episode
    minutes: float
    rows: Sequence[Row]
    plan: Plan | None
    near_misses: Sequence[NearMiss]
    titles: Mapping[str, str]
    dropped: Sequence[tuple[str, str]]
    clash: str
    unsigned: bool
    unsigned_count: int
    pace: float
    promises: Sequence[Promise]
    owed: Sequence[tuple[PutRight, int]]
    aired: Sequence[Episode]


def page(visit: Visit) -> Response:
    """The plan of a day."""
    day, minutes = _day(visit.query.get("day", "")), _minutes(visit.query.get("minutes", ""))
    also_unsigned = visit.query.get("unsigned") == "1"
    ledger = visit.bench.ledger
    episode = ledger.episodes.for_day(day, minutes * 60)
    made, clash = _made(visit, episode, also_unsigned)
    plan = made.plan if made else None
    titles = {key: one.candidate.title for key, one in made.offers.items()} if made else {}
    found = EpisodePage(
        episode=episode,
        minutes=minutes,
        rows=_rows(made) if made else [],
        plan=plan,
        near_misses=plan.near_misses if plan else [],
        titles=titles,
        dropped=[(key, titles.get(key, key)) for key in episode.wishes.dropped],
        clash=clash,
        unsigned=also_unsigned,
        unsigned_count=len(made.unsigned) if made else 0,
        pace=pace_of(ledger),
        promises=ledger.episodes.promises(),
        owed=[(one, len(ledger.episodes.who_got(one.question_id))) for one in ledger.episodes.to_put_right()],
        aired=[one for one in ledger.episodes.all() if one.state == "aired"],
    )
    return visit.page("episode.html", show=found)


def _made(visit: Visit, episode: Episode, also_unsigned: bool) -> tuple[Made | None, str]:
    rules = load_episode_rules(visit.settings.own_folder)
    try:
        return make(visit.bench, rules, episode, also_unsigned=also_unsigned), ""
    except ClashingRulesError as error:
        return None, str(error)


def _rows(made: Made) -> list[Row]:
    pinned = set(made.episode.wishes.pinned)
    return [
        Row(
            running=running,
            key=chosen.candidate.key,
            question_id=chosen.candidate.question_id,
            title=chosen.candidate.title,
            topic=chosen.candidate.topic,
            verdict=chosen.candidate.verdict,
            why=chosen.why,
            is_pinned=chosen.candidate.key in pinned,
        )
        for chosen, running in zip(made.plan.items, made.show.items, strict=True)
    ]


def change(visit: Visit) -> Response:
    """Pin, drop or free an item; the page then shows the plan solved again."""
    ledger = visit.bench.ledger
    episode = _planned(visit)
    key = visit.said("key")[:120]
    act = visit.said("act")
    if act not in ("pin", "drop", "free") or not key:
        raise NotDoneError("Choose an item to pin, drop or leave free.")
    wish(
        ledger,
        episode,
        visit.person,
        pin=[key] if act == "pin" else (),
        drop=[key] if act == "drop" else (),
        free=[key] if act == "free" else (),
    )
    return _onward(visit, episode)


def say_like(visit: Visit) -> Response:
    """How a name is said."""
    name, like = visit.said("name").strip()[:80], visit.said("like").strip()[:80]
    if not name or not like:
        raise NotDoneError("Give the name and how it is said.")
    episode = _planned(visit)
    wish(visit.bench.ledger, episode, visit.person, said_like={name: like})
    return _onward(visit, episode)


def mark_aired(visit: Visit) -> Response:
    """Mark the episode as aired with the real seconds of its items."""
    episode = _planned(visit)
    made, clash = _made(visit, episode, also_unsigned=False)
    if made is None or not made.plan.items:
        raise NotDoneError(clash or "There is nothing signed off in this episode.")
    seconds = {
        running.item.place: taken
        for running in made.show.items
        if (taken := _seconds(visit.said(f"took.{running.item.place}"))) is not None
    }
    air(made, visit.bench.ledger, visit.person, seconds)
    return to("/episode?said=aired")


def owe(visit: Visit) -> Response:
    """Note a promise, what came of one, or an answer that was wrong."""
    episodes, act = visit.bench.ledger.episodes, visit.said("act")
    if act == "promise":
        question = visit.said("question").strip()
        visit.bench.line(question)
        what = visit.said("what").strip()[:2000]
        if not what:
            raise NotDoneError("Say what was promised.")
        due = visit.said("due")
        episodes.promise(question, what, _day(due) if due else None, visit.person)
    elif act == "found":
        found = visit.said("found").strip()[:4000]
        if not found or not episodes.found(visit.number("number"), found):
            raise NotDoneError("There is no such promise to keep, or nothing was said of what was found.")
    elif act == "right":
        question = visit.said("question").strip()
        visit.bench.line(question)
        wrong, right = visit.said("wrong").strip()[:2000], visit.said("right").strip()[:2000]
        if not wrong or not right:
            raise NotDoneError("Say what was wrong and what holds.")
        told_by = visit.said("told_by").strip()[:200] or None
        episodes.put_right(question, wrong, right, told_by, visit.person)
    else:
        raise NotDoneError("Note a promise, what came of one, or a correction.")
    return to(f"/episode?{urlencode({'day': _day(visit.said('day')), 'said': 'noted'})}")


def correction_file(visit: Visit) -> Response:
    """The mails that put an answer right, for the riders who got the old one, as files to send."""
    number = visit.number("number")
    one = next(
        (r for r in visit.bench.ledger.episodes.to_put_right(is_open=False) if r.number == number), None
    )
    if one is None:
        raise NotDoneError("There is no such correction.")
    mails = correction_mails(visit.bench.ledger, one, visit.settings.sender)
    if not mails:
        raise NotDoneError("Nobody was sent the old answer from here.")
    visit.bench.ledger.reviews.record(Deed("took out", f"{len(mails)} corrections as mails"), visit.person)
    headers = {"Content-Disposition": 'attachment; filename="put-right.zip"'}
    return Response(zipped(as_files(mails)), media_type="application/zip", headers=headers)


def run_page(visit: Visit) -> Response:
    """The run of the show, for a tablet or for paper."""
    made = _of_the_day(visit)
    return HTMLResponse(as_page(made.show, for_paper=visit.query.get("paper") == "1"))


def file(visit: Visit) -> Response:
    """The run of the show as a file."""
    form = FORMS.get(visit.place["form"])
    if form is None:
        told = "There is no such form of the show."
        return visit.page("trouble.html", 404, heading="Not here", told=told, typed=())
    written, kind, name = form
    headers = {"Content-Disposition": f'attachment; filename="{name}"'}
    return Response(written(_of_the_day(visit).show), media_type=kind, headers=headers)


def _of_the_day(visit: Visit) -> Made:
    episode = visit.bench.ledger.episodes.for_day(
        _day(visit.place["day"]), _minutes(visit.query.get("minutes", "")) * 60
    )
    made, clash = _made(visit, episode, visit.query.get("unsigned") == "1")
    if made is None:
        raise NotDoneError(clash)
    return made


def _planned(visit: Visit) -> Episode:
    return visit.bench.ledger.episodes.planned(_day(visit.said("day")), _minutes(visit.said("minutes")) * 60)


def _onward(visit: Visit, episode: Episode) -> Response:
    kept = {"day": episode.day, "minutes": f"{episode.seconds / 60:g}", "unsigned": visit.said("unsigned")}
    return to(f"/episode?{urlencode({key: value for key, value in kept.items() if value})}")


def _day(text: str) -> str:
    try:
        return date.fromisoformat(text[:10]).isoformat()
    except ValueError:
        return date.today().isoformat()


def _minutes(text: str) -> float:
    try:
        minutes = float(text)
    except ValueError:
        return USUAL_MINUTES
    return min(max(minutes, 1.0), MOST_MINUTES) if minutes == minutes else USUAL_MINUTES


def _seconds(text: str) -> float | None:
    """ "95" or "1:35" as seconds."""
    minutes, _, rest = text.strip().rpartition(":")
    try:
        seconds = float(rest) + 60 * float(minutes or 0)
    except ValueError:
        return None
    return seconds if 0 < seconds < 36_000 else None

"""What could stand in an episode: answered questions, corrections owed, promises kept, and a light one for the end."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from textwrap import shorten
from typing import Any

from knowledge.base import Knowledge
from triage.episode.candidate import Candidate
from triage.ledger import Ledger
from triage.ledger.episodes import Item, Promise, PutRight
from triage.ledger.reviews import SIGNED_STATES
from triage.pace import reading_seconds

MOST = 5_000
LONGEST_TITLE = 70
LONGEST_CLOSER = 400
"""Characters of a rider's words that are still read out for a laugh."""
Line = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Offered:
    """A candidate with what would be said of it and, where it has one, its draft.

    `promise` and `put_right` are the numbers under which the ledger keeps what it is about.
    """

    candidate: Candidate
    say: str
    line: Line | None
    promise: int | None = None
    put_right: int | None = None


def offered(ledger: Ledger, knowledge: Knowledge, pace: float, *, is_signed: bool = True) -> list[Offered]:
    """Everything that could stand in an episode; without `is_signed` also what nobody has signed yet.

    Seconds are reckoned at the presenter's own pace.
    """
    aired = _last_aired(ledger.episodes.aired())
    said = {item.question_id for item in ledger.episodes.aired() if item.kind == "question"}
    found: list[Offered] = []
    for line in _lines(ledger, is_signed):
        if line["script"] and line["question_id"] not in said:
            found.append(Offered(_question(line, knowledge, pace, aired), line["script"], line))
    found += _corrections(ledger, pace)
    found += _promises(ledger, pace)
    # A laugh alone is no show.
    return [*found, *_closers(ledger, pace)] if found else []


def _lines(ledger: Ledger, is_signed: bool) -> Iterator[Line]:
    ids = [identity for identity, _ in ledger.episodes.ready(is_signed=is_signed, most=MOST)]
    for start in range(0, len(ids), 400):
        yield from ledger.wall.by_id(ids[start : start + 400])


def _last_aired(items: list[Item]) -> dict[str, tuple[date, Mapping[str, Any]]]:
    """When each brief was answered on air last, and what was said then."""
    found: dict[str, tuple[date, Mapping[str, Any]]] = {}
    for item in items:
        if item.as_aired is not None and item.as_aired.get("brief"):
            found[str(item.as_aired["brief"])] = (date.fromisoformat(item.day), item.as_aired)
    return found


def _question(
    line: Line, knowledge: Knowledge, pace: float, aired: Mapping[str, tuple[date, Mapping[str, Any]]]
) -> Candidate:
    brief = knowledge.briefs.get(line["brief"] or "")
    last = aired.get(line["brief"] or "")
    return Candidate(
        key=line["question_id"],
        kind="question",
        question_id=line["question_id"],
        title=_title(line),
        topic=line["topic"],
        brief=line["brief"],
        verdict=line["verdict"],
        seconds=reading_seconds(line["script"], pace),
        asked_by=line["asked_by"],
        received=_day(line["received"]),
        is_safety=bool(line["safety"]),
        is_urgent="urgent" in line["flags"],
        is_signed=line["state"] in SIGNED_STATES,
        figures=sum(1 for figure in line["figures"] if figure["decides"]),
        teaches=bool(line["checklist"] or (brief and brief.terms)),
        terms=tuple(brief.terms) if brief else (),
        last_answered=last[0] if last else None,
        has_changed=last is not None and last[1].get("verdict") != line["verdict"],
        likes=int(line.get("likes") or 0),
        related=tuple(brief.related) if brief else (),
    )


def _corrections(ledger: Ledger, pace: float) -> Iterator[Offered]:
    for one in ledger.episodes.to_put_right():
        line = next(iter(ledger.wall.by_id([one.question_id])), None)
        say = correction_script(one, line)
        short = _short(f"right-{one.number}", "correction", one.question_id, line, say, one.made, pace)
        yield Offered(short, say, line, put_right=one.number)


def _promises(ledger: Ledger, pace: float) -> Iterator[Offered]:
    """Promises of which something was found out; the others are still to be kept."""
    for one in ledger.episodes.promises():
        if one.found:
            line = next(iter(ledger.wall.by_id([one.question_id])), None)
            say = promise_script(one, line)
            short = _short(f"promise-{one.number}", "promise", one.question_id, line, say, one.made, pace)
            yield Offered(short, say, line, promise=one.number)


def _closers(ledger: Ledger, pace: float) -> Iterator[Offered]:
    """Banter that the sifting marked as one for the end; it needs no signature, since it answers nothing."""
    aired = {item.question_id for item in ledger.episodes.aired() if item.kind == "closer"}
    for line in ledger.episodes.closers(MOST):
        if line["question_id"] not in aired and len(line["text"]) <= LONGEST_CLOSER:
            say = closer_script(line)
            key = line["question_id"]
            yield Offered(_short(key, "closer", key, line, say, line["received"], pace), say, line)


def _short(
    key: str, kind: Any, question_id: str, line: Line | None, say: str, made: str | None, pace: float
) -> Candidate:
    return Candidate(
        key=key,
        kind=kind,
        question_id=question_id,
        title=_title(line) if line else question_id,
        topic=line["topic"] if line else "other",
        brief=line["brief"] if line else None,
        verdict=line["verdict"] if line else "none",
        seconds=reading_seconds(say, pace),
        asked_by=line["asked_by"] if line else 1,
        received=_day(made),
        is_safety=bool(line and line["safety"]),
        is_urgent=False,
        is_signed=True,
        figures=0,
        teaches=False,
        terms=(),
        last_answered=None,
        has_changed=False,
        likes=int((line or {}).get("likes") or 0),
        related=(),
    )


def correction_script(one: PutRight, line: Mapping[str, Any] | None) -> str:
    """What to say of an answer that turned out wrong."""
    about = f"“{line['title']}”" if line and line["title"] else "an earlier question"
    teller = one.told_by or ""
    thanks = f" {teller[:1].upper()}{teller[1:]} told us, and we are glad of it." if teller else ""
    return (
        f"First, something to put right. On {about} we said: {one.wrong.rstrip('.')}. "
        f"That was wrong.{thanks} What holds is this: {one.right.rstrip('.')}. "
        "If you did as we said, look at it again before you ride."
    )


def promise_script(one: Promise, line: Mapping[str, Any] | None) -> str:
    """What to say of something that was promised to be found out."""
    whose = f"{line['rider']}'s question" if line and line["rider"] else "a question of yours"
    return f"We promised to come back to {whose}: {one.what.rstrip('.')}. Here is what we found: {one.found}"


def closer_script(line: Mapping[str, Any]) -> str:
    """A light one for the end, in the rider's words."""
    who = line["rider"] or "a viewer"
    return f"And to finish with, {who} writes: “{' '.join(line['text'].split())}”"


def _title(line: Mapping[str, Any]) -> str:
    return line["title"] or shorten(str(line["text"]), LONGEST_TITLE, placeholder=" …")


def _day(moment: str | None) -> date:
    try:
        return date.fromisoformat((moment or "")[:10])
    except ValueError:
        return date(1970, 1, 1)

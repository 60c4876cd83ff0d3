"""Recall: every draft, sent reply and broadcast that stood on a figure, and what each would say now. Nothing is changed."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from rapidfuzz import process

from knowledge import tables
from knowledge.base import Knowledge
from triage.ledger.grounds import Grounds, Kept, WentOut
from triage.match import is_answered_by
from triage.pipeline import worked_again
from triage.review.acts import Bench
from triage.review.changes import Change, what_changed
from triage.review.house_phrases import Plain, without_house_phrases
from triage.review.standing import stands_on

Line = Mapping[str, Any]
Kind = Literal["source", "row", "table", "part", "calculation", "brief"]
MOST_NAMED = 3
NEAR = 60
_TURNED = re.compile(r"\bverdict turns from ([\w-]+) to ", re.IGNORECASE)
_TEXTS = ("script", "reply")
_OF_A_FINDING = (
    "verdict",
    "headline",
    "title",
    "topic",
    "figures",
    "asks",
    "cautions",
    "conditions",
    "checklist",
)


class NotKnownError(Exception):
    """Nothing goes by that name, or several things do; the text says what was perhaps meant."""


@dataclass(frozen=True, slots=True)
class Recalled:
    """One answer that stood on what is recalled.

    `state` is its review's, or "gone" where what went out is all that is left. `sent_on` and `aired_on` are ISO days. For what
    was aired or sent `verdict_then` is what was said then; `verdict_now` is None where it can't be worked out anew.
    """

    question_id: str
    title: str
    rider: str | None
    state: str
    sent_on: str | None
    aired_on: tuple[str, ...]
    verdict_then: str
    verdict_now: str | None
    changes: tuple[Change, ...]

    @property
    def was_sent(self) -> bool:
        """Whether a reply with it left the house."""
        return self.sent_on is not None

    @property
    def verdict_changes(self) -> bool:
        """Whether it would be another verdict now."""
        return self.verdict_now is not None and self.verdict_now != self.verdict_then


@dataclass(frozen=True, slots=True)
class Recall:
    """Everything that stood on `what`; `grounds` are the names under which that is kept.

    `found` counts the answers, of which `answers` may be a page. `behind` counts the drafts that were not yet looked at.
    """

    what: str
    kind: Kind
    grounds: tuple[str, ...]
    answers: tuple[Recalled, ...]
    found: int
    behind: int = 0


def recall(
    bench: Bench,
    what: str,
    on_each: Callable[[], None] = lambda: None,
    *,
    most: int | None = None,
    after: int = 0,
    look_at: int | None = None,
) -> Recall:
    """Every answer that stood on a source, a row, a whole table, a part, a calculation or a brief, worked out anew.

    What was aired comes first, then what was sent, then the rest, the newest first. `most` and `after` choose a page of
    them; `look_at` bounds how many changed drafts are looked at for what they stand on first. `on_each` is called for each
    draft that is looked at and each answer that is worked out.

    Raises:
        NotKnownError: nothing, or more than one thing, is called so.
    """
    kept = bench.ledger.grounds
    # First of all, for what is gone from the knowledge goes by the names that drafts stand on.
    kept.catch_up(lambda line: stands_on(line, bench.knowledge), look_at, on_each)
    meanings = list(_meanings(what.strip(), bench.knowledge, kept))
    kind, name, grounds = _the_one(what, meanings, bench.knowledge, kept)
    found = kept.standing_on(grounds)
    page = found[after:] if most is None else found[after : after + most]
    answers = tuple(_answers(bench, kept, page, on_each))
    return Recall(name, kind, tuple(grounds), answers, len(found), kept.behind())


def summed_up(recalled: Recall) -> str:
    """One sentence that counts the answers of a recall.

    >>> summed_up(Recall("source x", "source", ("source x",), (), 0))
    'No answer stood on it.'
    """
    if not recalled.found:
        return "No answer stood on it."
    answers = recalled.answers
    sent = sum(one.was_sent for one in answers)
    aired = sum(bool(one.aired_on) for one in answers)
    other = sum(one.verdict_changes for one in answers)
    silent = sum(one.verdict_now is None for one in answers)
    out = ", ".join(_were(count, word) for count, word in ((sent, "sent"), (aired, "aired")) if count)
    told = f"{_many(recalled.found)} stood on it: {out or 'none was sent or aired'}"
    told += f"; {other or 'none'} would be another verdict now"
    return f"{told}; {silent} can't be worked out anew." if silent else f"{told}."


def _many(count: int) -> str:
    return f"{count:,} answer{'s' * (count != 1)}"


def _were(count: int, word: str) -> str:
    return f"{count:,} {'was' if count == 1 else 'were'} {word}"


# ---- what is meant -------------------------------------------------------------------------------------

Meaning = tuple[Kind, str, list[str]]
"""A kind, the whole name, and the grounds that it stands for."""
_PREFIXED: tuple[Kind, ...] = ("source", "row", "table", "part", "calculation", "brief")


def _meanings(what: str, knowledge: Knowledge, kept: Grounds) -> Iterator[Meaning]:
    """Everything that a name may mean; with the kind before it ("row brakes/fluids#dot-3-dry") it means one thing."""
    first, _, rest = what.partition(" ")
    kinds = [kind for kind in _PREFIXED if kind == first and rest] or list(_PREFIXED)
    name = rest.strip() if len(kinds) == 1 else what
    if not name:
        return
    for kind in kinds:
        yield from _OF_KIND[kind](name, knowledge, kept)


def _one_of(kind: Kind, known: Callable[[Knowledge], Mapping[str, Any]]) -> Callable[..., Iterator[Meaning]]:
    def meanings(name: str, knowledge: Knowledge, kept: Grounds) -> Iterator[Meaning]:
        ground = f"{kind} {name}"
        if name in known(knowledge) or kept.known([ground]):
            yield kind, ground, [ground]

    return meanings


def _parts(name: str, knowledge: Knowledge, kept: Grounds) -> Iterator[Meaning]:
    identity = name.removeprefix("parts#")
    ground = f"row parts#{identity}"
    if identity in knowledge.parts or kept.known([ground]):
        yield "part", f"part {identity}", [ground]


def _tables(name: str, _knowledge: Knowledge, kept: Grounds) -> Iterator[Meaning]:
    # A row that is gone from the table by now is recalled with it.
    gone = kept.under(f"row {name}#") if "#" not in name and name != "parts" else []
    if name in tables.names() or gone:
        here = [f"row {name}#{identity}" for identity in _ids(name)] if name in tables.names() else []
        yield "table", f"table {name}", list(dict.fromkeys([*here, *gone]))


def _rows(name: str, _knowledge: Knowledge, kept: Grounds) -> Iterator[Meaning]:
    table, has_table, identity = name.partition("#")
    if table == "parts":
        return
    if has_table:
        if (table in tables.names() and identity in _ids(table)) or kept.known([f"row {name}"]):
            yield "row", f"row {name}", [f"row {name}"]
        return
    here = [f"row {table}#{name}" for table in tables.names() if name in _ids(table)]
    gone = kept.under("row ", f"#{name}")
    for ground in dict.fromkeys([*here, *(one for one in gone if not one.startswith("row parts#"))]):
        yield "row", ground, [ground]


def _ids(table: str) -> list[str]:
    return [str(row.get("id")) for row in tables.rows(table)]


_OF_KIND: Mapping[Kind, Callable[[str, Knowledge, Grounds], Iterator[Meaning]]] = {
    "source": _one_of("source", lambda knowledge: knowledge.sources),
    "row": _rows,
    "table": _tables,
    "part": _parts,
    "calculation": _one_of("calculation", lambda knowledge: knowledge.calculations),
    "brief": _one_of("brief", lambda knowledge: knowledge.briefs),
}


def _the_one(what: str, meanings: Sequence[Meaning], knowledge: Knowledge, kept: Grounds) -> Meaning:
    if len(meanings) == 1:
        return meanings[0]
    if meanings:
        names = [name for _, name, _ in meanings]
        raise NotKnownError(f'"{what}" is several things here.\n    Say which: {_listed(names)}.')
    near = _near(what, knowledge, kept)
    remedy = (
        f"Did you mean {_listed(near)}?"
        if near
        else "Name a source, a row such as brakes/fluids#dot-3-dry, a table, a part, a calculation or a brief."
    )
    raise NotKnownError(f'Nothing here is called "{what}".\n    {remedy}')


def _near(what: str, knowledge: Knowledge, kept: Grounds) -> list[str]:
    """The nearest names, those with the very word in them first."""
    names = [
        *knowledge.sources,
        *tables.names(),
        *(f"{table}#{identity}" for table in tables.names() for identity in _ids(table)),
        *knowledge.parts,
        *knowledge.calculations,
        *knowledge.briefs,
    ]
    word = what.strip().casefold()
    holding = [name for name in names if word and word in name.casefold()]
    standing = kept.like(word, MOST_NAMED) if word else []
    alike = [name for name, _, _ in process.extract(what, names, limit=MOST_NAMED, score_cutoff=NEAR)]
    return list(dict.fromkeys([*sorted(holding, key=len)[:MOST_NAMED], *alike, *standing]))[:MOST_NAMED]


def _listed(names: Sequence[str]) -> str:
    return " or ".join(filter(None, [", ".join(names[:-1]), names[-1]]))


# ---- what each says ------------------------------------------------------------------------------------


def _answers(
    bench: Bench, kept: Grounds, ids: Sequence[str], on_each: Callable[[], None]
) -> Iterator[Recalled]:
    drafts, out = kept.drafts(ids), kept.went_out(ids)
    plain = without_house_phrases(bench.phrases)
    anew = _Anew(bench, plain)
    for identity in ids:
        draft, went = drafts.get(identity), out.get(identity, WentOut())
        on_each()
        if draft is not None:
            yield _recalled(identity, draft, went, anew.line(identity, draft.line), plain)
        else:
            said = went.aired[-1][1] if went.aired else {"verdict": _verdict_when_sent(went.since, "none")}
            yield _recalled(identity, Kept(said, "gone"), went, None, plain)


def _recalled(identity: str, draft: Kept, went: WentOut, now: Line | None, plain: Plain) -> Recalled:
    versions = list(_versions(draft, went))
    then = versions[0]
    if now is not None:
        # Where one of several times was another verdict than now, that is the time to tell of.
        then = next((one for one in versions if one["verdict"] != now["verdict"]), then)
    return Recalled(
        question_id=identity,
        title=draft.line.get("title") or "No brief fits",
        rider=draft.line.get("rider"),
        state=draft.state,
        sent_on=went.sent[:10] if went.sent else None,
        aired_on=tuple(day for day, _ in went.aired),
        verdict_then=then["verdict"],
        verdict_now=None if now is None else now["verdict"],
        changes=() if now is None else tuple(_changes(then, now, plain)),
    )


def _versions(draft: Kept, went: WentOut) -> Iterator[Line]:
    """The answer as it was aired, the last time first, as it was sent, or else as it is drafted."""
    yield from (said for _, said in reversed(went.aired))
    if went.sent is not None:
        yield {**draft.line, "verdict": _verdict_when_sent(went.since, draft.line["verdict"])}
    elif not went.aired:
        yield draft.line


def _verdict_when_sent(since: Sequence[str], now: str) -> str:
    """The verdict before the first change of it that the history tells of after the sending."""
    for why in since:
        if why.startswith("[["):
            was = next((was for what, was, _ in json.loads(why) if what == "verdict"), None)
        else:
            turned = _TURNED.search(why)
            was = turned[1] if turned else None
        if was is not None:
            return str(was)
    return now


def _changes(then: Line, now: Line, plain: Plain) -> list[Change]:
    """What a person would notice; of what was not kept with a broadcast nothing is told."""
    before = {**now, **then}
    if then.get("brief") == now["brief"]:
        before["title"] = now["title"]
    return what_changed(*({**one, **{text: plain(one[text]) for text in _TEXTS}} for one in (before, now)))


class _Anew:
    """Drafts worked out with the present knowledge, once for all that say the same of the same details."""

    def __init__(self, bench: Bench, plain: Plain) -> None:
        self.bench, self.plain = bench, plain
        self.made: dict[str, tuple[Line, Line | None]] = {}

    def line(self, question_id: str, before: Line) -> Line | None:
        """The draft as it would be now; None where its mail can't be read again."""
        key = _same_finding(before)
        if key not in self.made:
            self.made[key] = (before, self._worked(question_id))
        leader, again = self.made[key]
        if again is None:
            # Another rider's mail may still be there.
            again = self._worked(question_id)
            self.made[key] = leader, again = before, again
        if again is None or leader is before:
            return again
        # The texts name the rider: what the other one's rider hears is no difference.
        return {
            **again,
            **{text: before[text] for text in _TEXTS if self.plain(leader[text]) == self.plain(again[text])},
        }

    def _worked(self, question_id: str) -> Line | None:
        ledger = self.bench.ledger
        try:
            return worked_again(
                question_id,
                self.bench.knowledge,
                self.bench.phrases,
                ledger,
                ledger.corrections(question_id),
            )
        except Exception:
            # One draft that can't be worked out must not hide the others; it is told of as that.
            return None


def _same_finding(line: Line) -> str:
    """What two drafts share that say the same of the same brief and details, both read in the same words."""
    details = [[one["name"], one["value"], str(one["words"]).casefold()] for one in line["details"]]
    was = line.get("sorted_as") or {**line, "briefs": line["nearest_briefs"]}
    brief, chance = was["briefs"][0] if was["briefs"] else (None, 0.0)
    sorted_as = [
        was["is_question"],
        was["topic"],
        brief,
        is_answered_by(chance, was.get("point") is not None),
        sorted(line["flags"]),
    ]
    finding = [line.get(key) for key in _OF_A_FINDING]
    return json.dumps([line["brief"], sorted(details, key=repr), sorted_as, finding], sort_keys=True)

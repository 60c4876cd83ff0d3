"""The bench: one question with the rider's words, what was read of them, the working, the drafts and the sign-off."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any
from urllib.parse import quote, urlencode

from markupsafe import Markup
from starlette.responses import Response

from knowledge.base import Knowledge
from knowledge.number_line import number_line
from knowledge.numbers import for_the_mail
from triage.desk.labels import STATE_WORDS
from triage.desk.visit import Visit, to
from triage.desk.wall import filter_in
from triage.desk.words import Understood, stretches, tied_words, ties_of, understood
from triage.ledger import Deed, Filter, Person, Review
from triage.ledger.reviews import DRAFTED_ANEW
from triage.ledger.store import what_of
from triage.output.glance import shown
from triage.review import acts
from triage.review.acts import STEPS_THAT_CAN_BE_TAKEN_BACK, NotDoneError, effective, led_to
from triage.review.edits import Concern
from triage.review.said import (
    NOT_OURS,
    Correction,
    brief_said,
    detail_said,
    outside_said,
    part_said,
    point_said,
    topic_said,
)
from triage.review.text_diff import Piece, short
from triage.sorter.examples import as_told
from triage.sorter.fold import folder_for

MOST_EARLIER = 6
FIELD = "read."
ORIGINS = {
    "rider": "the rider says so",
    "part": "from the part's row",
    "table": "from a table",
    "usual": "not said; what is usual was tried",
}


@dataclass(frozen=True)
class _PointChoice:
    """The points of a brief, each with its answer in one sentence: the likely ones, in their order, and the others."""

    likely: Sequence[tuple[str, str]]
    others: Sequence[tuple[str, str]]

    def __len__(self) -> int:
        return len(self.likely) + len(self.others)


@dataclass(frozen=True, slots=True)
class Reading:
    """One row of what was read: a quantity or choice with its value as one types it, and where it came from.

    `choices` are (word, label) for a choice and empty for a number; `is_needed` where the brief asks for it.
    """

    name: str
    label: str
    unit: str
    value: str
    choices: Sequence[tuple[str, str]]
    origin: str
    words: str
    ties: str
    is_needed: bool
    is_corrected: bool
    usual: str


@dataclass(frozen=True, slots=True)
class PartChoice:
    """One kind of part that the brief or the rider names: the one taken, and those of the catalogue."""

    kind: str
    taken: str
    words: str
    parts: Sequence[tuple[str, str]]


@dataclass(frozen=True, slots=True)
class WorkingInput:
    """One number put into a figure; `rows` are the rows it was read from, as (label, address).

    `ties` are the words it came from, as (tie, anchor); only the first line with a tie bears its anchor.
    """

    label: str
    told: str
    origin: str
    words: str
    ties: Sequence[tuple[str, str]]
    rows: Sequence[tuple[str, str]]


@dataclass(frozen=True, slots=True)
class Working:
    """One figure with its working; `sources` are (title, address), `tick` who vouched for it and when."""

    name: str
    label: str
    shown: str
    decides: bool
    text: str
    picture: Markup
    inputs: Sequence[WorkingInput]
    sources: Sequence[tuple[str, str]]
    tick: str
    has_changed: bool
    address: str


@dataclass(frozen=True, slots=True)
class Step:
    """One line of the history: what somebody did, the difference it made, and whether the visitor may undo it."""

    deed: Deed
    told: str
    difference: Sequence[Piece]
    led_to: Sequence[tuple[str, str | None, str | None]]
    is_undone: bool
    can_be_taken_back: bool


@dataclass(frozen=True, slots=True)
class BenchPage:
    """What the bench's template may use; `script` and `reply` are the texts as they stand, edited or not."""

    line: Mapping[str, Any]
    review: Review
    words: Markup
    sender: str
    readings: Sequence[Reading]
    others: Sequence[tuple[str, str]]
    parts: Sequence[PartChoice]
    more_parts: Sequence[tuple[str, str]]
    workings: Sequence[Working]
    labels: Mapping[str, str]
    sources: Sequence[tuple[str, str]]
    script: str
    reply: str
    script_difference: Sequence[Piece]
    reply_difference: Sequence[Piece]
    has_new_draft_below: bool
    concerns: Sequence[Concern]
    seen: str
    changes: Sequence[tuple[str, str | None, str | None]]
    steps: Sequence[Step]
    earlier: Sequence[Mapping[str, Any]]
    same_group: Sequence[Mapping[str, Any]]
    siblings: Sequence[Mapping[str, Any]]
    briefs: Sequence[tuple[str, str]]
    topics: Sequence[tuple[str, str]]
    points: _PointChoice
    perhaps: str
    point: str
    also: str
    """What else is asked within it; of several the first."""
    kinds: Sequence[str]
    wall: str
    next: str | None


def page(visit: Visit) -> Response:
    """The bench of one question."""
    return _page(visit)


def _page(visit: Visit, status: int = 200, trouble: str = "") -> Response:
    question_id = visit.place["question"]
    line = visit.bench.ledger.question(question_id)
    if line is None:
        told = f"The ledger has no question {question_id}."
        return visit.page("trouble.html", 404, heading="Not here", told=told, typed=())
    bench = _bench(visit, line, visit.bench.ledger.reviews.of(question_id))
    return visit.page(
        "bench.html", status, bench=bench, trouble=trouble, STATE_WORDS=STATE_WORDS, ORIGINS=ORIGINS
    )


def _bench(visit: Visit, line: dict[str, Any], review: Review) -> BenchPage:
    knowledge, ledger = visit.bench.knowledge, visit.bench.ledger
    question_id = line["question_id"]
    cards = ledger.wall.by_id([question_id])
    line["asked_by"] = cards[0]["asked_by"] if cards else line["asked_by"]
    details = understood(line, knowledge.label, lambda name, value: told(name, value, knowledge))
    history = ledger.reviews.history(question_id)
    changes = _changes_since(history, visit.number("since"))
    changed = {what for what, _, _ in changes}
    (seen,) = visit.seen([line])
    marked = stretches(seen["whole_text"], details)
    in_sight = [detail for _, _, here in marked for detail in here]
    used: set[str] = set()
    workings = [_working(figure, in_sight, knowledge, review, changed, used) for figure in line["figures"]]
    found = acts.concerns(line, review)
    wall = visit.query.get("wall", "") or visit.said("wall")
    return BenchPage(
        line=seen,
        review=review,
        words=tied_words(seen["whole_text"], marked, used),
        sender=_sender(visit, question_id),
        readings=list(_readings(line, details, knowledge, ledger.corrections(question_id))),
        others=_other_quantities(line, knowledge),
        parts=list(_parts(line, knowledge)),
        more_parts=[
            (part.id, f"{part.maker} {part.name} ({part.kind})") for part in knowledge.parts.values()
        ],
        workings=workings,
        labels=_Labels(knowledge),
        sources=_sources(line["sources"], knowledge),
        script=effective(line, review, "script") or "",
        reply=effective(line, review, "reply") or "",
        script_difference=_difference(line, review, "script"),
        reply_difference=_difference(line, review, "reply"),
        has_new_draft_below=_has_new_draft_below(line, review),
        concerns=found,
        seen=acts.digest_of(found),
        changes=changes,
        steps=[_step(deed, history, visit.person, review, knowledge) for deed in history],
        earlier=_earlier(visit, line),
        same_group=_same_group(visit, line),
        siblings=visit.seen(
            ledger.wall.by_id([one for one in ledger.wall.siblings(question_id) if one != question_id])
        ),
        briefs=[(brief.id, brief.title) for brief in knowledge.briefs.values()],
        topics=[(key, topic.label) for key, topic in knowledge.topics.items()],
        points=points_of(line, knowledge),
        point=(line.get("point") or "").partition("#")[2],
        also=next(iter(line.get("more_points") or ()), "").partition("#")[2],
        perhaps=(line.get("perhaps") or "").partition("#")[2],
        kinds=sorted({kind for kind, _ in knowledge.chatter}),
        wall=wall,
        next=ledger.wall.beside(filter_in(wall), question_id, folder_for(knowledge).terms),
    )


class _Labels(dict[str, str]):
    """What a quantity or figure is called, for the pictures."""

    def __init__(self, knowledge: Knowledge) -> None:
        super().__init__()
        self.knowledge = knowledge

    def get(self, name: str, otherwise: Any = None) -> Any:
        """The label; every name has one."""
        return self.knowledge.label(name) or otherwise


def _sender(visit: Visit, question_id: str) -> str:
    if not visit.may("see-addresses"):
        return ""
    sender = visit.bench.ledger.wall.senders([question_id]).get(question_id, {})
    return ", ".join(str(sender[key]) for key in ("author", "address") if sender.get(key))


def told(name: str, value: Any, knowledge: Knowledge) -> str:
    """A value as one reads it, with its unit.

    Numbers that were settled from another unit are rounded to what a reader can use.
    """
    if isinstance(value, list | tuple):
        return " to ".join(told(name, one, knowledge) for one in value)
    if isinstance(value, str):
        part = knowledge.parts.get(value)
        if part is not None:
            return f"{part.maker} {part.name}"
        return knowledge.choice_label(name, value)
    return for_the_mail(float(value), knowledge.unit(name).symbol, 6)


def _readings(
    line: Mapping[str, Any],
    details: Sequence[Understood],
    knowledge: Knowledge,
    corrections: Sequence[Mapping[str, Any]],
) -> Iterator[Reading]:
    """What the brief needs, in its order, and then whatever else was read."""
    brief = knowledge.briefs.get(line["brief"] or "")
    needed = [need.name for need in brief.needs] if brief else []
    read = {detail["name"]: detail for detail in line["details"]}
    corrected = {what_of(row) for row in corrections}
    inputs = {one["name"]: one for figure in line["figures"] for one in figure["inputs"]}
    others = [name for name in read if name not in needed and name not in _kinds(knowledge)]
    for name in dict.fromkeys([*needed, *others]):
        if name not in knowledge.quantities and name not in knowledge.choices:
            continue
        detail, used = read.get(name), inputs.get(name)
        origin = "rider" if detail else (used["from"] if used else "usual")
        yield Reading(
            name=name,
            label=knowledge.label(name),
            unit=knowledge.unit(name).symbol,
            value=_typed(detail["value"]) if detail else "",
            choices=[(one.value, one.label) for one in knowledge.choices.get(name, ())],
            origin=origin,
            words=str(detail["words"] if detail else (used or {}).get("words") or ""),
            ties=" ".join(one.tie for one in details if one.name == name),
            is_needed=name in needed,
            is_corrected=f"detail {name}" in corrected,
            usual="" if detail or used is None else told(name, used["value"], knowledge),
        )


def points_of(line: Mapping[str, Any], knowledge: Knowledge) -> _PointChoice:
    """What riders ask within the brief, the likely ones first."""
    brief = knowledge.briefs.get(line["brief"] or "")
    points = brief.points if brief is not None else {}
    named = [one.partition("#") for one in (line.get("sorted_as") or {}).get("likely", ())]
    likely = [name for identity, _, name in named if identity == line["brief"] and name in points]
    answers = {name: " ".join(as_told(point.headline).split()) for name, point in points.items()}
    return _PointChoice(
        [(name, answers[name]) for name in likely],
        [(name, answer) for name, answer in answers.items() if name not in likely],
    )


def _kinds(knowledge: Knowledge) -> set[str]:
    return {part.kind for part in knowledge.parts.values()}


def _typed(value: Any) -> str:
    """A value as it stands in its field; a range keeps its two ends."""
    if isinstance(value, list | tuple):
        return " to ".join(_typed(one) for one in value)
    return f"{value:.6g}" if isinstance(value, int | float) else str(value)


def _other_quantities(line: Mapping[str, Any], knowledge: Knowledge) -> list[tuple[str, str]]:
    read = {detail["name"] for detail in line["details"]}
    brief = knowledge.briefs.get(line["brief"] or "")
    shown = read | ({need.name for need in brief.needs} if brief else set())
    names = [name for name in (*knowledge.quantities, *knowledge.choices) if name not in shown]
    named = [(name, _with_unit(name, knowledge)) for name in names]
    return sorted(named, key=lambda pair: pair[1].lower())


def _with_unit(name: str, knowledge: Knowledge) -> str:
    symbol = knowledge.unit(name).symbol
    return f"{knowledge.label(name)}{f' [{symbol}]' if symbol else ''} · {name}"


def _parts(line: Mapping[str, Any], knowledge: Knowledge) -> Iterator[PartChoice]:
    brief = knowledge.briefs.get(line["brief"] or "")
    wanted = {need.part for need in brief.needs if need.part} if brief else set()
    taken = {d["name"]: d for d in line["details"] if d["name"] in _kinds(knowledge)}
    for kind in sorted(wanted | set(taken)):
        found = taken.get(kind)
        yield PartChoice(
            kind=kind,
            taken=str(found["value"]) if found else "",
            words=str(found["words"]) if found else "",
            parts=[(p.id, f"{p.maker} {p.name}") for p in knowledge.parts.values() if p.kind == kind],
        )


def _working(
    figure: Mapping[str, Any],
    details: Sequence[Understood],
    knowledge: Knowledge,
    review: Review,
    changed: set[str],
    used: set[str],
) -> Working:
    tick = review.ticks.get(figure["name"])
    name = figure["name"]
    return Working(
        name=name,
        label=figure["label"],
        shown=shown(figure),
        decides=figure["decides"],
        text=figure["working"],
        picture=number_line(figure) if figure["decides"] else Markup(""),
        inputs=[_input(one, details, knowledge, used) for one in figure["inputs"]],
        sources=_sources(figure["sources"], knowledge),
        tick=f"{tick['by']}, {tick['at'][:16].replace('T', ' ')}" if tick else "",
        has_changed=any(figure["label"] in what for what in changed),
        address=f"/figure/{quote(name)}" if name in knowledge.calculations else "",
    )


def _input(
    one: Mapping[str, Any], details: Sequence[Understood], knowledge: Knowledge, used: set[str]
) -> WorkingInput:
    basis = str(one["basis"])
    rows = [_row_link(row) for row in one.get("rows", ())[:4]]
    if not rows:
        rows = _sources(basis.split(), knowledge, must_exist=True)
    ties = [(tie, "" if tie in used else f"w-{tie}") for tie in ties_of(one, details)]
    used.update(tie for tie, _ in ties)
    origin = "worked out above" if basis.startswith("worked out") else ORIGINS[one["from"]]
    return WorkingInput(
        label=one.get("label") or knowledge.label(one["name"]),
        told=told(one["name"], one["value"], knowledge) if one["value"] is not None else "",
        origin=origin,
        words=one["words"] or "",
        ties=ties,
        rows=rows,
    )


def _row_link(row: str) -> tuple[str, str]:
    table, _, identity = row.partition("#")
    if table == "parts":
        return f"part {identity}", f"/part/{quote(identity)}"
    return f"{table}, row {identity}", f"/table/{quote(table)}#{quote(identity)}"


def _sources(keys: Sequence[str], knowledge: Knowledge, must_exist: bool = False) -> list[tuple[str, str]]:
    return [
        (knowledge.sources[key].cited if key in knowledge.sources else key, f"/source/{quote(key)}")
        for key in dict.fromkeys(keys)
        if key in knowledge.sources or not must_exist
    ]


def _difference(line: Mapping[str, Any], review: Review, text: str) -> Sequence[Piece]:
    edited = getattr(review, text)
    return short(line[text] or "", edited) if edited is not None else ()


def _has_new_draft_below(line: Mapping[str, Any], review: Review) -> bool:
    """Whether what an edit began from is no longer what would be drafted."""
    return any(
        getattr(review, text) is not None and getattr(review, f"{text}_from") != (line[text] or "")
        for text in acts.TEXTS
    )


def _changes_since(history: Sequence[Deed], number: int) -> list[tuple[str, str | None, str | None]]:
    deed = next((one for one in history if one.number == number), None)
    return led_to(deed) if deed else []


def _step(deed: Deed, history: Sequence[Deed], person: Person, review: Review, knowledge: Knowledge) -> Step:
    is_undone = any(one.takes_back == deed.number for one in history)
    return Step(
        deed=deed,
        told=told_deed(deed, knowledge),
        difference=short(deed.was or "", deed.now or "")
        if deed.kind in ("edited", "took back") and deed.what in acts.TEXTS
        else (),
        led_to=led_to(deed),
        is_undone=is_undone,
        can_be_taken_back=(
            deed.kind in STEPS_THAT_CAN_BE_TAKEN_BACK
            and deed.person == person.name
            and not is_undone
            and not review.is_signed
        ),
    )


def told_deed(deed: Deed, knowledge: Knowledge) -> str:
    """What somebody did, in one line."""
    what = deed.what or ""
    if deed.kind in ("corrected", "took back") and what not in acts.TEXTS:
        return f"{deed.kind}: {_told_correction(what, deed.was, deed.now, knowledge)}"
    if deed.kind in ("ticked", "unticked"):
        verb = "vouched for" if deed.kind == "ticked" else "no longer vouches for"
        return f"{verb} the {knowledge.label(what)}"
    if deed.kind == "edited":
        return f"edited the {what}"
    if deed.kind == DRAFTED_ANEW:
        return "drafted it anew in a later run"
    if deed.kind == "returned":
        return f"returned it: “{deed.now}”"
    if deed.kind in ("promised", "put right"):
        return " ".join(filter(None, [deed.kind, what])) + f": “{deed.now}”"
    return " ".join(filter(None, [deed.kind, what]))


def _told_correction(what: str, was: str | None, now: str | None, knowledge: Knowledge) -> str:
    kind, _, name = what.partition(" ")
    label = knowledge.label(name) if kind == "detail" else name if kind == "part" else "what it is about"
    return f"{label}, {_told_now(was, knowledge)} → {_told_now(now, knowledge)}"


def _told_now(now: str | None, knowledge: Knowledge) -> str:
    if now is None:
        return "as read"
    name, equals, value = now.partition("=")
    if not equals:
        brief = knowledge.briefs.get(now)
        return brief.title if brief else now.removeprefix(NOT_OURS)
    if not value:
        return "taken out"
    try:
        return told(name, float(value), knowledge)
    except ValueError:
        return told(name, value, knowledge)


def _earlier(visit: Visit, line: Mapping[str, Any]) -> list[dict[str, Any]]:
    """Answers already given to the like: of the same brief, signed off or sent."""
    if not line["brief"]:
        return []
    wall = visit.bench.ledger.wall
    found = [
        card
        for state in ("sent", "signed")
        for card in wall.cards(Filter(brief=line["brief"], state=state, repeats=True), MOST_EARLIER + 1)
    ]
    return [card for card in found if card["question_id"] != line["question_id"]][:MOST_EARLIER]


def _same_group(visit: Visit, line: Mapping[str, Any]) -> list[dict[str, Any]]:
    leader = line["repeats_of"] or line["question_id"]
    found = visit.bench.ledger.wall.cards(Filter(group=leader), 20)
    return [card for card in found if card["question_id"] != line["question_id"]]


def read_otherwise(visit: Visit) -> Response:
    """Details and parts as the desk says they are; only what differs from what stood in the form is a correction."""
    knowledge = visit.bench.knowledge
    said: list[Correction] = []
    for field in visit.form:
        if field.startswith(FIELD):
            name = field.removeprefix(FIELD)
            now, was = visit.said(field).strip(), visit.said(f"was.{name}").strip()
            if now != was:
                said.append(detail_said(name, now, knowledge))
        elif field.startswith("part."):
            kind = field.removeprefix("part.")
            now, was = visit.said(field), visit.said(f"waspart.{kind}")
            if now != was:
                said.append(part_said(kind, now, knowledge))
    if visit.said("more_name"):
        said.append(detail_said(visit.said("more_name"), visit.said("more_value").strip(), knowledge))
    if visit.said("more_part"):
        part = knowledge.parts.get(visit.said("more_part"))
        if part is None:
            raise NotDoneError(f"The catalogue has no part {visit.said('more_part')}.")
        said.append(part_said(part.kind, part.id, knowledge))
    return _corrected(visit, said)


def sort_otherwise(visit: Visit) -> Response:
    """Another brief, another topic, or no question for this desk."""
    knowledge = visit.bench.knowledge
    brief, topic, kind = visit.said("brief").strip(), visit.said("topic"), visit.said("kind")
    if kind:
        return _corrected(visit, [outside_said(kind, knowledge)])
    if brief:
        return _corrected(visit, [brief_said(brief, knowledge)])
    if _points_said(visit) != visit.said("was_point"):
        line = visit.bench.line(visit.place["question"])
        return _corrected(visit, [point_said(line["brief"] or "", _points_named(visit), knowledge)])
    if not topic:
        raise NotDoneError("Choose a brief, a topic, or what kind of chatter it is.")
    return _corrected(visit, [topic_said(topic, knowledge)])


LEFT_AS_IT_IS = "~"
"""Stands in the choice for what is told as what may be meant, so that "none of its points" is another choice."""


def _points_said(visit: Visit) -> str:
    """What is asked within the brief, and what else, with a comma between."""
    return ",".join(filter(None, [visit.said("point"), visit.said("also")]))


def _points_named(visit: Visit) -> str:
    """The same without what is left as it is."""
    return ",".join(one for one in _points_said(visit).split(",") if one != LEFT_AS_IT_IS)


def _corrected(visit: Visit, said: list[Correction]) -> Response:
    review = acts.correct(visit.bench, visit.person, visit.place["question"], visit.number("version"), said)
    corrected = [
        deed
        for deed in visit.bench.ledger.reviews.history(review.question_id, most=5)
        if deed.kind == "corrected"
    ]
    return _onward(visit, "again", since=corrected[0].number if corrected else None, at="verdict")


def edit_text(visit: Visit) -> Response:
    """The script and the reply as somebody wrote them."""
    texts = {text: visit.said(text) for text in acts.TEXTS if text in visit.form}
    if visit.said("as_drafted") in acts.TEXTS:
        text = visit.said("as_drafted")
        texts = {text: visit.bench.line(visit.place["question"])[text] or ""}
    acts.edit(visit.bench, visit.person, visit.place["question"], visit.number("version"), texts)
    return _onward(visit, "kept", at="drafts")


def tick_figure(visit: Visit) -> Response:
    """Vouch for one figure, or no longer."""
    figure, is_right = visit.said("figure"), visit.said("right") == "1"
    acts.tick(visit.bench, visit.person, visit.place["question"], visit.number("version"), figure, is_right)
    return _onward(visit, "kept", at=f"f-{figure}")


def return_it(visit: Visit) -> Response:
    """Return the draft with a note."""
    acts.give_back(
        visit.bench, visit.person, visit.place["question"], visit.number("version"), visit.said("note")
    )
    return _onward(visit, "returned", at="sign")


def sign_off(visit: Visit) -> Response:
    """Sign the draft off."""
    acts.sign(visit.bench, visit.person, visit.place["question"], visit.number("version"), visit.said("seen"))
    return _onward(visit, "signed", at="sign")


def back(visit: Visit) -> Response:
    """Take one of one's own steps back."""
    acts.take_back(
        visit.bench,
        visit.person,
        visit.place["question"],
        visit.number("version"),
        visit.number("deed"),
    )
    return _onward(visit, "back", at="history")


def _onward(visit: Visit, said: str, since: int | None = None, at: str = "") -> Response:
    kept = {"said": said, "since": since, "wall": visit.said("wall")}
    query = urlencode({key: value for key, value in kept.items() if value})
    return to(f"/bench/{quote(visit.place['question'])}?{query}#{quote(at)}")


@dataclass(frozen=True, slots=True)
class TwoTexts:
    """One text of which there are two versions now: theirs, mine, and where they part."""

    name: str
    theirs: str
    mine: str
    difference: Sequence[Piece]


@dataclass(frozen=True, slots=True)
class ClashPage:
    """What the clash's template may use.

    `who` is the faster one and `did` what they did; `texts` are the texts of which both versions are shown. Where it
    was no text, `wanted` is what the slower one was about to do, as (what, how), and `fields` do it all the same;
    `must_look` where that may not be done unseen.
    """

    line: Mapping[str, Any]
    version: int
    who: str
    did: str
    texts: Sequence[TwoTexts]
    wanted: Sequence[tuple[str, str]]
    fields: Sequence[tuple[str, str]]
    must_look: bool
    action: str
    wall: str


def clash(visit: Visit) -> Response:
    """Both versions, where somebody else was faster: nothing is lost, and one of them can be kept, or both put together."""
    question_id = visit.place.get("question", "")
    line = visit.bench.ledger.question(question_id)
    if line is None:
        return visit.page(
            "trouble.html", 409, heading="Not done", told="Somebody else changed it meanwhile.", typed=()
        )
    review = visit.bench.ledger.reviews.of(question_id)
    last = visit.bench.ledger.reviews.history(question_id, most=1)
    action = visit.request.url.path
    found = ClashPage(
        line=line,
        version=review.version,
        who=last[0].person if last else "somebody else",
        did=told_deed(last[0], visit.bench.knowledge) if last else "changed it",
        texts=list(_two_texts(visit, line, review)),
        wanted=list(_wanted(visit)),
        fields=[
            (name, value)
            for name, value in visit.form.multi_items()
            if isinstance(value, str) and name not in ("form_token", "version", "wall", *acts.TEXTS)
        ],
        # Nobody signs or vouches for what they have not seen.
        must_look=action.rpartition("/")[2] in ("sign", "tick"),
        action=action,
        wall=visit.said("wall"),
    )
    return visit.page("clash.html", 409, clash=found)


def _two_texts(visit: Visit, line: Mapping[str, Any], review: Review) -> Iterator[TwoTexts]:
    for name in acts.TEXTS:
        if name in visit.form:
            theirs, mine = effective(line, review, name) or "", acts.tidy(visit.said(name))
            if theirs != mine:
                yield TwoTexts(name, theirs, mine, short(theirs, mine))


def _wanted(visit: Visit) -> Iterator[tuple[str, str]]:
    """What the visitor's form would have changed, in words."""
    knowledge = visit.bench.knowledge
    for field in visit.form:
        kind, _, name = field.partition(".")
        value = visit.said(field).strip()
        if kind == "read" and value != visit.said(f"was.{name}").strip():
            yield knowledge.label(name), _named(name, value, knowledge)
        elif kind == "part" and value != visit.said(f"waspart.{name}"):
            yield name, _named(name, value, knowledge)
    if visit.said("more_name"):
        yield knowledge.label(visit.said("more_name")), visit.said("more_value")
    if visit.said("more_part"):
        yield "part", _named("part", visit.said("more_part"), knowledge)
    brief, topic = visit.said("brief"), visit.said("topic")
    if _points_said(visit) != visit.said("was_point"):
        yield "what is asked within the brief", _points_named(visit) or "none of its points"
    if brief or topic or visit.said("kind"):
        about = knowledge.briefs[brief].title if brief in knowledge.briefs else brief
        yield "what it is about", visit.said("kind") or about or topic
    if visit.said("note"):
        yield "returned with the note", visit.said("note")


def _named(name: str, value: str, knowledge: Knowledge) -> str:
    if not value:
        return "taken out"
    return told(name, value, knowledge) if name in knowledge.choices or value in knowledge.parts else value

"""What people do with drafts: correct, edit, tick, return, sign, take back. Each act is kept whole with its history."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from knowledge.base import Knowledge
from knowledge.phrases import Phrases
from triage.ledger import ClashError, Deed, Ledger, Person, Review
from triage.ledger.moment import now_text
from triage.ledger.reviews import PROGRAM
from triage.ledger.rows import Line
from triage.ledger.store import AS_READ, correction_row, in_force, what_of
from triage.pace import reading_seconds
from triage.pipeline import worked_again
from triage.review.changes import what_changed, why_it_no_longer_stands
from triage.review.edits import Concern, pointed_out
from triage.review.house_phrases import Plain, without_house_phrases
from triage.review.roles import may
from triage.review.standing import stands_on, what_gave_way

TEXTS = ("script", "reply")
LONGEST_TEXT = 50_000
_LOOKED_WITH = "looked_with"
STEPS_THAT_CAN_BE_TAKEN_BACK = ("corrected", "edited", "ticked", "unticked", "returned")


class NotDoneError(Exception):
    """The act is not allowed or makes no sense; the text says why and what to do. Nothing was kept."""


@dataclass(frozen=True)
class Bench:
    """What the acts need: the ledger, and the knowledge and phrases that drafts are worked out with."""

    ledger: Ledger
    knowledge: Knowledge
    phrases: Phrases

    def line(self, question_id: str) -> Line:
        """The draft as it was worked out, without anybody's edits.

        Raises:
            NotDoneError: there is no such question.
        """
        line = self.ledger.question(question_id)
        if line is None:
            raise NotDoneError(
                f"{question_id}: the ledger has no such question.\n"
                "    The id of each question stands in summary.csv and on the sheet."
            )
        return line


def effective(line: Mapping[str, Any], review: Review, text: str) -> str | None:
    """A text as it stands: the edited one, or else the drafted one."""
    edited: str | None = getattr(review, text)
    return edited if edited is not None else line[text]


def concerns(line: Mapping[str, Any], review: Review) -> list[Concern]:
    """What an editor should know of the edits before signing."""
    return pointed_out(line, review.script, review.reply)


def digest_of(found: Iterable[Concern]) -> str:
    """What somebody who signs says to have seen."""
    return hashlib.sha256("\n".join(one.told for one in found).encode()).hexdigest()[:16]


def figure_digest(figure: Mapping[str, Any]) -> str:
    """What a tick beside a figure vouches for: its working, its inputs and its value."""
    told = {
        key: figure[key] for key in ("name", "value", "low", "high", "unit", "working", "inputs", "sources")
    }
    return hashlib.sha256(json.dumps(told, sort_keys=True).encode()).hexdigest()[:16]


def correct(
    bench: Bench, person: Person, question_id: str, version: int, said: Sequence[tuple[str, str]]
) -> Review:
    """Keep corrections, each (kind, what it is now), and work the draft out anew with them.

    Kinds are "detail" and "part" (NAME=VALUE, nothing after the sign takes it out), "brief", "point" (nothing takes it
    out), "topic" and "outside".

    Raises:
        NotDoneError: nothing would change, or there is no such question.
        ClashError: somebody else changed the draft since `version`.
    """
    _allowed(person, "correct")
    before = bench.line(question_id)
    review = _of_version(bench, question_id, version)
    standing = bench.ledger.corrections(question_id)
    fresh = [correction_row(before, kind, _sorting_of(before), now) for kind, now in said]
    in_place = {what_of(row): row["now"] for row in standing}
    fresh = [row for row in fresh if in_place.get(what_of(row)) != row["now"]]
    if not fresh:
        raise NotDoneError("Nothing was changed: it stands like that already.")
    line = _again(bench, question_id, in_force([*standing, *fresh]))
    deeds = [
        Deed(
            "corrected",
            what_of(row),
            in_place.get(what_of(row)),
            row["now"],
            # What several corrections led to together is told once, beside the last of them.
            _told(before, line) if row is fresh[-1] else None,
        )
        for row in fresh
    ]
    return _save(bench, review, replace(review, state="in-hand"), person, deeds, line, fresh)


def edit(bench: Bench, person: Person, question_id: str, version: int, texts: Mapping[str, str]) -> Review:
    """Keep an edited script or reply; a text that is as drafted is no edit any more.

    Raises:
        NotDoneError: nothing was changed, a text is too long, or the role may not edit it.
        ClashError: somebody else changed the draft since `version`.
    """
    line = bench.line(question_id)
    review = _of_version(bench, question_id, version)
    after, deeds = review, []
    for text in TEXTS:
        if text not in texts:
            continue
        new = tidy(texts[text])
        was = effective(line, review, text) or ""
        if new == was:
            continue
        _allowed(person, f"edit-{text}")
        if len(new) > LONGEST_TEXT:
            raise NotDoneError(f"The {text} is longer than {LONGEST_TEXT:,} characters.")
        after = _with_text(after, line, text, new)
        deeds.append(Deed("edited", text, was, new))
    if not deeds:
        raise NotDoneError("Nothing was changed.")
    return _save(bench, review, replace(after, state="in-hand"), person, deeds)


def tick(bench: Bench, person: Person, question_id: str, version: int, figure: str, is_right: bool) -> Review:
    """Vouch for one figure, or no longer.

    Raises:
        NotDoneError: there is no such figure, or the role may not sign.
        ClashError: somebody else changed the draft since `version`.
    """
    _allowed(person, "sign")
    line = bench.line(question_id)
    review = _of_version(bench, question_id, version)
    found = next((one for one in line["figures"] if one["name"] == figure), None)
    if found is None:
        raise NotDoneError(f"This draft has no figure {figure}.")
    ticks = {name: kept for name, kept in review.ticks.items() if name != figure}
    if is_right:
        ticks[figure] = {"by": person.name, "at": now_text(), "digest": figure_digest(found)}
    deed = Deed("ticked" if is_right else "unticked", figure)
    state = "in-hand" if review.state == "new" else review.state
    return bench.ledger.reviews.save(review, replace(review, ticks=ticks, state=state), person, [deed])


def give_back(bench: Bench, person: Person, question_id: str, version: int, note: str) -> Review:
    """Return a draft with a note that says what is to be done.

    Raises:
        NotDoneError: there is no note, or the role may not sign.
        ClashError: somebody else changed the draft since `version`.
    """
    _allowed(person, "sign")
    bench.line(question_id)
    review = _of_version(bench, question_id, version)
    note = tidy(note)
    if not note:
        raise NotDoneError("Say in the note what is to be done; a draft isn't returned without a word.")
    after = replace(review, state="returned", note=note[:4000])
    return _save(bench, review, after, person, [Deed("returned", None, review.note, note[:4000])])


def sign(bench: Bench, person: Person, question_id: str, version: int, seen: str = "") -> Review:
    """Sign a draft off. `seen` is the digest of what was pointed out in its edits, where anything was.

    Raises:
        NotDoneError: it is signed already, there is nothing to sign, something that was pointed out was not seen,
            or the role may not sign.
        ClashError: somebody else changed the draft since `version`.
    """
    _allowed(person, "sign")
    line = bench.line(question_id)
    review = _of_version(bench, question_id, version)
    if review.is_signed:
        raise NotDoneError(f"It is signed off already, by {review.signed_by}.")
    if not line["is_question"] or not (effective(line, review, "reply") or effective(line, review, "script")):
        raise NotDoneError("There is no script and no reply to sign here.")
    found = concerns(line, review)
    if found and seen != digest_of(found):
        raise NotDoneError("Look at what is pointed out in the edits first, and say that you have.")
    after = replace(
        review,
        state="signed",
        note=None,
        lost_because=None,
        signed_by=person.name,
        signed_at=now_text(),
        stands_on=stands_on(line, bench.knowledge),
    )
    why = "Seen: " + " ".join(one.told for one in found) if found else None
    return bench.ledger.reviews.save(review, after, person, [Deed("signed", why=why)])


def take_back(bench: Bench, person: Person, question_id: str, version: int, number: int) -> Review:
    """Undo one of one's own steps, as long as it still stands as one left it and the draft isn't signed off.

    Raises:
        NotDoneError: it is somebody else's step, of a kind that can't be undone, undone already, or overtaken.
        ClashError: somebody else changed the draft since `version`.
    """
    line = bench.line(question_id)
    review = _of_version(bench, question_id, version)
    deed = bench.ledger.reviews.deed(number)
    history = bench.ledger.reviews.history(question_id, most=10_000)
    if deed is None or deed.question_id != question_id:
        raise NotDoneError("This question has no such step.")
    if deed.person != person.name:
        raise NotDoneError(f"That was {deed.person}'s step. Only one's own can be taken back.")
    if review.is_signed:
        raise NotDoneError("The draft is signed off. What was done before the sign-off stays done.")
    if deed.kind not in STEPS_THAT_CAN_BE_TAKEN_BACK:
        raise NotDoneError("This kind of step can't be taken back.")
    if any(one.takes_back == number for one in history):
        raise NotDoneError("That step was taken back already.")
    undone = Deed("took back", deed.what, deed.now, deed.was, takes_back=number)
    if deed.kind == "corrected":
        return _correct_back(bench, person, review, line, deed, undone)
    if deed.kind == "edited":
        text = str(deed.what)
        if effective(line, review, text) != deed.now:
            raise NotDoneError(f"The {text} was changed since. Change it by hand, so that nothing is lost.")
        after = _with_text(review, line, text, deed.was or "")
        return _save(bench, review, replace(after, state="in-hand"), person, [undone])
    if deed.kind == "returned":
        return _save(bench, review, replace(review, state="in-hand", note=deed.was), person, [undone])
    return _tick_back(bench, person, review, line, deed, undone)


def look_again(bench: Bench, on_each: Callable[[], None] = lambda: None) -> list[tuple[str, str]]:
    """Take the sign-off from every signed draft that no longer stands on the present knowledge; (question, why) of each.

    Where the knowledge is still the one that was looked at last, there is nothing to do.
    """
    if bench.ledger.note(_LOOKED_WITH) == bench.knowledge.digest:
        return []
    lost = []
    plain = without_house_phrases(bench.phrases)
    for review in bench.ledger.reviews.signed():
        on_each()
        why = _lost(bench, review, plain)
        if why is not None:
            lost.append((review.question_id, why))
    bench.ledger.put_note(_LOOKED_WITH, bench.knowledge.digest)
    return lost


def _lost(bench: Bench, review: Review, plain: Plain) -> str | None:
    """Why a signed draft no longer stands, its sign-off taken away; None where it does."""
    line = bench.ledger.question(review.question_id)
    again = None if line is None else _worked(bench, review.question_id)
    if line is None or again is None:
        return None
    why = _why_lost(_worded(line, plain), _worded(again, plain), review, bench.knowledge)
    if why is not None:
        after = _unsigned(review, why, again)
        bench.ledger.reviews.save(review, after, PROGRAM, [Deed("sign-off lost", why=why)], line=again)
    return why


def _worded(line: Line, plain: Plain) -> Line:
    """A line without the phrases that go by turns: which of them it has hangs on its neighbours in the batch."""
    return {**line, **{text: plain(line[text]) for text in ("headline", *TEXTS)}}


def _why_lost(
    line: Mapping[str, Any], again: Mapping[str, Any], review: Review, knowledge: Knowledge
) -> str | None:
    why = why_it_no_longer_stands(line, again)
    gave_way = what_gave_way(review.stands_on or {}, stands_on(again, knowledge))
    if why is None and not gave_way:
        return None
    named = ", ".join(gave_way[:3])
    return " ".join(filter(None, [f"Changed since the sign-off: {named}." if named else "", why]))


def _correct_back(
    bench: Bench, person: Person, review: Review, line: Line, deed: Deed, undone: Deed
) -> Review:
    standing = bench.ledger.corrections(review.question_id)
    present = {what_of(row): row["now"] for row in standing}
    if present.get(str(deed.what)) != deed.now:
        raise NotDoneError("It was corrected again since. Correct it by hand, so that nothing is lost.")
    row = (
        correction_row(line, AS_READ, deed.now, str(deed.what))
        if deed.was is None
        else correction_row(line, _kind_of(str(deed.what), deed.was), deed.now, deed.was)
    )
    again = _again(bench, review.question_id, in_force([*standing, row]))
    told = replace(undone, why=_told(line, again))
    return _save(bench, review, replace(review, state="in-hand"), person, [told], again, [row])


def _tick_back(bench: Bench, person: Person, review: Review, line: Line, deed: Deed, undone: Deed) -> Review:
    ticks = {name: kept for name, kept in review.ticks.items() if name != deed.what}
    if deed.kind == "unticked":
        found = next((one for one in line["figures"] if one["name"] == deed.what), None)
        if found is None:
            raise NotDoneError("The figure is no longer there.")
        ticks[str(deed.what)] = {"by": person.name, "at": now_text(), "digest": figure_digest(found)}
    return bench.ledger.reviews.save(review, replace(review, ticks=ticks), person, [undone])


def _kind_of(what: str, now: str) -> str:
    kind = what.partition(" ")[0]
    if kind in ("detail", "part", "point"):
        return kind
    return "outside" if now.startswith("chatter/") else "brief" if "/" in now else "topic"


def tidy(text: str) -> str:
    """A text as it is kept: plain line ends, no trailing blanks, no control characters.

    >>> tidy("One \\r\\ntwo\\r\\n\\r\\n")
    'One\\ntwo'
    """
    lines = text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
    kept = "\n".join("".join(c for c in line if c.isprintable() or c == "\t").rstrip() for line in lines)
    return kept.strip()


def _with_text(review: Review, line: Mapping[str, Any], text: str, new: str) -> Review:
    drafted = line[text] or ""
    edited = None if new == drafted else new
    changes: dict[str, Any] = {text: edited, f"{text}_from": None if edited is None else drafted}
    if text == "script":
        changes["script_seconds"] = None if edited is None else reading_seconds(edited, line["pace"])
    return replace(review, **changes)


def _save(
    bench: Bench,
    before: Review,
    after: Review,
    person: Person,
    deeds: Sequence[Deed],
    line: Line | None = None,
    corrections: Sequence[Mapping[str, Any]] = (),
) -> Review:
    """Keep a change; it costs a signed draft its sign-off."""
    deeds = list(deeds)
    if before.is_signed:
        why = f"{person.name} {' and '.join(_what_was_done(deed) for deed in deeds)}."
        after = replace(after, signed_by=None, signed_at=None, stands_on=None, lost_because=why)
        deeds.append(Deed("sign-off lost", why=why))
    if line is not None:
        after = replace(after, ticks=_still_ticked(after.ticks, line))
    return bench.ledger.reviews.save(before, after, person, deeds, line=line, corrections=corrections)


def _what_was_done(deed: Deed) -> str:
    return {
        "corrected": f"corrected the {str(deed.what).removeprefix('detail ').replace('_', ' ')}",
        "edited": f"edited the {deed.what}",
        "returned": "returned it",
    }.get(deed.kind, deed.kind)


def _unsigned(review: Review, why: str, line: Line) -> Review:
    return replace(
        review,
        state="in-hand",
        signed_by=None,
        signed_at=None,
        stands_on=None,
        lost_because=why,
        ticks=_still_ticked(review.ticks, line),
    )


def _still_ticked(ticks: Mapping[str, Any], line: Mapping[str, Any]) -> dict[str, Any]:
    digests = {figure["name"]: figure_digest(figure) for figure in line["figures"]}
    return {name: kept for name, kept in ticks.items() if digests.get(name) == kept["digest"]}


def _again(bench: Bench, question_id: str, corrections: Sequence[Mapping[str, Any]]) -> Line:
    line = worked_again(question_id, bench.knowledge, bench.phrases, bench.ledger, corrections)
    if line is None:
        raise NotDoneError(
            "The message of this question can't be read again, so nothing can be worked out anew."
        )
    return line


def _worked(bench: Bench, question_id: str) -> Line | None:
    return worked_again(
        question_id, bench.knowledge, bench.phrases, bench.ledger, bench.ledger.corrections(question_id)
    )


def _told(before: Mapping[str, Any], after: Mapping[str, Any]) -> str | None:
    changes = [[change.what, change.was, change.now] for change in what_changed(before, after)]
    return json.dumps(changes, ensure_ascii=False) if changes else None


def led_to(deed: Deed) -> list[tuple[str, str | None, str | None]]:
    """(what, was, now) of everything in the draft that a correction changed."""
    if deed.why is None or not deed.why.startswith("[["):
        return []
    return [(what, was, now) for what, was, now in json.loads(deed.why)]


def _sorting_of(line: Mapping[str, Any]) -> str:
    return str(line["brief"] or line["topic"])


def _of_version(bench: Bench, question_id: str, version: int) -> Review:
    review = bench.ledger.reviews.of(question_id)
    if review.version != version:
        raise ClashError(question_id)
    return review


def _allowed(person: Person, right: str) -> None:
    if not may(person.role, right):
        raise NotDoneError(f"A {person.role} can't do that.")

"""What people did with each draft: its state, their texts and ticks, the sign-off, and the history of it all."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Literal

import sqlalchemy as sa

from triage.ledger.asking import insert_into
from triage.ledger.errors import ClashError
from triage.ledger.moment import now_text
from triage.ledger.rows import line_text
from triage.ledger.schema import CORRECTIONS, DEEDS, DRAFTS, REVIEWS, wall_columns

State = Literal["new", "in-hand", "returned", "signed", "sent"]
SIGNED_STATES = ("signed", "sent")
REVIEWED = (REVIEWS.c.state, REVIEWS.c.script, REVIEWS.c.script_seconds, REVIEWS.c.reply)
"""What a review lays over the draft."""


@dataclass(frozen=True, slots=True)
class Person:
    """Who does something, and in which role."""

    name: str
    role: str


@dataclass(frozen=True, slots=True)
class Deed:
    """One thing that somebody did: of which kind, to what, and what stood there before and after.

    `takes_back` is the number of the deed that this one undoes. `number`, `person`, `role`, `made` and `question_id`
    are filled in when it is kept.
    """

    kind: str
    what: str | None = None
    was: str | None = None
    now: str | None = None
    why: str | None = None
    takes_back: int | None = None
    number: int = 0
    person: str = ""
    role: str = ""
    made: str = ""
    question_id: str | None = None


@dataclass(frozen=True, slots=True)
class Review:
    """How far the review of one draft is; one that nobody touched is new and of version 0."""

    question_id: str
    version: int = 0
    state: State = "new"
    script: str | None = None
    script_seconds: float | None = None
    reply: str | None = None
    script_from: str | None = None
    reply_from: str | None = None
    ticks: Mapping[str, Any] = field(default_factory=dict)
    note: str | None = None
    signed_by: str | None = None
    signed_at: str | None = None
    stands_on: Mapping[str, str] | None = None
    lost_because: str | None = None
    changed: str | None = None

    @property
    def is_signed(self) -> bool:
        """Whether the draft may leave the house."""
        return self.state in SIGNED_STATES


PROGRAM = Person("Quillstem", "program")
"""Who did what no person did."""
DRAFTED_ANEW = "drafted anew"


class Reviews:
    """The reviews of a ledger."""

    def __init__(self, engine: sa.Engine) -> None:
        self.engine = engine

    def of(self, question_id: str) -> Review:
        """The review of one draft."""
        with self.engine.connect() as connection:
            row = connection.execute(
                sa.select(REVIEWS).where(REVIEWS.c.question_id == question_id)
            ).one_or_none()
        return Review(question_id) if row is None else _review(row._mapping)

    def drafted_anew(self, connection: sa.Connection, question_ids: Sequence[str]) -> None:
        """Count a batch's other draft as a change, inside its transaction: whoever has the old one open is told so."""
        if not question_ids:
            return
        now = now_text()
        insert = insert_into(REVIEWS, self.engine)
        connection.execute(
            insert.on_conflict_do_update(
                index_elements=["question_id"],
                set_={"version": REVIEWS.c.version + 1, "changed": insert.excluded.changed},
            ),
            [
                {"question_id": one, "version": 1, "state": "new", "ticks": "{}", "changed": now}
                for one in question_ids
            ],
        )
        rows = [_deed_row(Deed(DRAFTED_ANEW), one, PROGRAM, now) for one in question_ids]
        connection.execute(sa.insert(DEEDS), rows)

    def save(
        self,
        before: Review,
        after: Review,
        person: Person,
        deeds: Sequence[Deed],
        *,
        line: Mapping[str, Any] | None = None,
        corrections: Sequence[Mapping[str, Any]] = (),
    ) -> Review:
        """Keep a changed review with its deeds, its corrections and the draft worked out anew: all of it or nothing.

        Raises:
            ClashError: the review is no longer as it was before.
        """
        now = now_text()
        row = _row(after, before.version + 1, now)
        draft: dict[str, Any] = {"signed": after.is_signed}
        if line is not None:
            draft |= {
                "line": line_text(line),
                "is_question": line["is_question"],
                "leader": line["repeats_of"] or line["question_id"],
                **wall_columns(dict(line)),
            }
        if line is not None or (after.script, after.reply) != (before.script, before.reply):
            draft["is_searchable"] = False
        if line is not None:
            draft["is_grounded"] = False
        with self.engine.begin() as connection:
            if before.version == 0:
                change = insert_into(REVIEWS, self.engine).values(row).on_conflict_do_nothing()
            else:
                change = (
                    sa.update(REVIEWS)
                    .where(REVIEWS.c.question_id == before.question_id, REVIEWS.c.version == before.version)
                    .values(row)
                )
            # Counted by what comes back: not every driver counts the rows of an insert.
            if connection.execute(change.returning(REVIEWS.c.question_id)).one_or_none() is None:
                raise ClashError(before.question_id)
            connection.execute(
                sa.update(DRAFTS).where(DRAFTS.c.question_id == before.question_id).values(draft)
            )
            if corrections:
                connection.execute(sa.insert(CORRECTIONS), [dict(one) for one in corrections])
            if deeds:
                rows = [_deed_row(deed, before.question_id, person, now) for deed in deeds]
                connection.execute(sa.insert(DEEDS), rows)
        return self.of(before.question_id)

    def record(self, deed: Deed, person: Person) -> None:
        """Keep a deed that is about no single draft."""
        with self.engine.begin() as connection:
            connection.execute(sa.insert(DEEDS), [_deed_row(deed, deed.question_id, person, now_text())])

    def history(
        self, question_id: str | None = None, before: int | None = None, most: int = 100
    ) -> list[Deed]:
        """Deeds, the newest first; of one question or of all, from before a deed's number."""
        query = sa.select(DEEDS).order_by(DEEDS.c.deed.desc()).limit(most)
        if question_id is not None:
            query = query.where(DEEDS.c.question_id == question_id)
        if before is not None:
            query = query.where(DEEDS.c.deed < before)
        with self.engine.connect() as connection:
            return [_deed(row._mapping) for row in connection.execute(query)]

    def deed(self, number: int) -> Deed | None:
        """One deed by its number."""
        with self.engine.connect() as connection:
            row = connection.execute(sa.select(DEEDS).where(DEEDS.c.deed == number)).one_or_none()
        return None if row is None else _deed(row._mapping)

    def signed(self, question_ids: Sequence[str] | None = None) -> list[Review]:
        """The reviews that are signed off, of some questions or of all."""
        query = sa.select(REVIEWS).where(REVIEWS.c.state.in_(SIGNED_STATES))
        if question_ids is not None:
            query = query.where(REVIEWS.c.question_id.in_(question_ids))
        with self.engine.connect() as connection:
            return [_review(row._mapping) for row in connection.execute(query)]


def as_reviewed(line: dict[str, Any], review: Mapping[str, Any]) -> dict[str, Any]:
    """A draft as a person left it: edited texts in place of the drafted ones, and how far its review is."""
    line["state"] = review["state"] or "new"
    if review["script"] is not None:
        line["script"], line["script_seconds"] = review["script"], review["script_seconds"]
    if review["reply"] is not None:
        line["reply"] = review["reply"]
    return line


def _review(row: Any) -> Review:
    values = dict(row)
    values["ticks"] = json.loads(values["ticks"])
    values["stands_on"] = json.loads(values["stands_on"]) if values["stands_on"] else None
    return Review(**values)


def _row(review: Review, version: int, now: str) -> dict[str, Any]:
    return {
        "question_id": review.question_id,
        "version": version,
        "state": review.state,
        "script": review.script,
        "script_seconds": review.script_seconds,
        "reply": review.reply,
        "script_from": review.script_from,
        "reply_from": review.reply_from,
        "ticks": json.dumps(dict(review.ticks)),
        "note": review.note,
        "signed_by": review.signed_by,
        "signed_at": review.signed_at,
        "stands_on": None if review.stands_on is None else json.dumps(dict(review.stands_on)),
        "lost_because": review.lost_because,
        "changed": now,
    }


def _deed_row(deed: Deed, question_id: str | None, person: Person, now: str) -> dict[str, Any]:
    return {
        "question_id": question_id,
        "person": person.name,
        "role": person.role,
        "kind": deed.kind,
        "what": deed.what,
        "was": deed.was,
        "now": deed.now,
        "why": deed.why,
        "takes_back": deed.takes_back,
        "made": now,
    }


def _deed(row: Any) -> Deed:
    values = dict(row)
    return Deed(number=values.pop("deed"), **values)

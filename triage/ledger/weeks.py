"""The weeks: what came in, week by week, and what became of it, counted by the database."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from typing import Any

import sqlalchemy as sa

from triage.ledger.asking import in_pieces
from triage.ledger.reviews import SIGNED_STATES
from triage.ledger.schema import CORRECTIONS, DRAFTS, MAILS, MESSAGES, REVIEWS

MOST_CORRECTIONS = 20_000
"""Corrections looked at in one period, the newest ones: far more than people make in a season."""
SECONDS_IN_A_DAY = 86_400.0
_IS_QUESTION = sa.cast(DRAFTS.c.is_question, sa.Integer)
"""As a number, so that SQLite looks by day and not by this: nearly every draft is a question, and that index is slower."""


@dataclass(frozen=True, slots=True)
class Week:
    """One ISO week, or its days up to the last one looked at: "2026-W48" and its first and last day."""

    name: str
    first: date
    last: date


@dataclass(frozen=True, slots=True)
class Period:
    """The weeks that are looked at together, the oldest first; there is always at least one."""

    weeks: tuple[Week, ...]

    @property
    def first(self) -> str:
        """The first day, ISO 8601."""
        return self.weeks[0].first.isoformat()

    @property
    def last(self) -> str:
        """The last day, ISO 8601."""
        return self.weeks[-1].last.isoformat()

    @property
    def end(self) -> str:
        """The day after the last one: every moment of the period is written before it."""
        return (self.weeks[-1].last + timedelta(days=1)).isoformat()


@dataclass(frozen=True, slots=True)
class CameIn:
    """How many questions of one kind came in on one day; `day` is ISO 8601."""

    day: str
    topic: str
    verdict: str
    has_brief: bool
    count: int


@dataclass(frozen=True, slots=True)
class Asked:
    """One group of questions that ask the same: its leader, how many riders asked, and what.

    `line` is the leader's draft; where the ledger no longer has it, that of another question of the group.
    """

    leader: str
    riders: int
    line: dict[str, Any]


def period_up_to(last: date, weeks: int) -> Period:
    """The ISO weeks that end with the one of a day; that week goes no further than the day.

    >>> [(week.name, str(week.first), str(week.last)) for week in period_up_to(date(2027, 1, 5), 2).weeks]
    [('2026-W53', '2026-12-28', '2027-01-03'), ('2027-W01', '2027-01-04', '2027-01-05')]

    Raises:
        ValueError: no week is asked for, or the first would begin before there are dates.
    """
    if weeks < 1:
        raise ValueError(f"weeks: expected 1 or more, got {weeks}")
    monday = last - timedelta(days=last.weekday())
    if (monday - date.min).days < 7 * (weeks - 1):
        raise ValueError(f"upto: {weeks} weeks up to {last} would begin before there are dates")
    mondays = [monday - timedelta(weeks=back) for back in reversed(range(weeks))]
    return Period(
        tuple(Week(week_of(first), first, min(first + timedelta(days=6), last)) for first in mondays)
    )


def week_of(day: date) -> str:
    """The ISO week of a day.

    >>> week_of(date(2026, 11, 26))
    '2026-W48'
    """
    year, week, _ = day.isocalendar()
    return f"{year}-W{week:02d}"


class Weeks:
    """The counts of a ledger over a period."""

    def __init__(self, engine: sa.Engine) -> None:
        self.engine = engine

    def newest_day(self, not_after: str) -> str | None:
        """The newest day on which something came in, ISO 8601; None for an empty ledger.

        A rider's clock may run years ahead: days after `not_after` count only where there are no others.
        """
        end = (date.fromisoformat(not_after) + timedelta(days=1)).isoformat()
        undated = sa.select(sa.func.max(MESSAGES.c.added)).where(MESSAGES.c.received.is_(None))
        newest = sa.select(sa.func.max(MESSAGES.c.received))
        with self.engine.connect() as connection:
            for query in (newest.where(MESSAGES.c.received < end), newest):
                found = [connection.execute(one).scalar() for one in (query, undated)]
                days = [moment[:10] for moment in found if moment]
                if days:
                    return str(max(days))
        return None

    def came_in(self, period: Period) -> list[CameIn]:
        """The questions of the period by day, topic, verdict and whether a brief was found, in that order."""
        asked = _of_period(period, DRAFTS.c.topic, DRAFTS.c.verdict, DRAFTS.c.brief.is_(None).label("lacks"))
        kinds = (asked.c.day, asked.c.topic, asked.c.verdict, asked.c.lacks)
        query = sa.select(*kinds, sa.func.count()).group_by(*kinds).order_by(*kinds)
        with self.engine.connect() as connection:
            return [
                CameIn(day, topic, verdict, not lacks, int(count))
                for day, topic, verdict, lacks, count in connection.execute(query)
            ]

    def by_week(self, period: Period, by: str) -> dict[str, dict[str, int]]:
        """How many questions of each topic or verdict came in, by week; a week without any has an empty count."""
        return counted_by_week(period, self.came_in(period), by)

    def most_asked(self, period: Period, most: int, *, without_brief: bool = False) -> list[Asked]:
        """The groups that most riders asked in the period, the most asked first; of all, or of those without a brief."""
        asked = _of_period(
            period, DRAFTS.c.leader, DRAFTS.c.asker, DRAFTS.c.question_id, without_brief=without_brief
        )
        riders = sa.func.count(sa.distinct(asked.c.asker))
        query = (
            sa.select(asked.c.leader, riders, sa.func.min(asked.c.question_id))
            .group_by(asked.c.leader)
            .order_by(riders.desc(), asked.c.leader)
            .limit(most)
        )
        with self.engine.connect() as connection:
            groups = connection.execute(query).all()
            lines = _lines(
                connection, {one for leader, _, any_of_it in groups for one in (leader, any_of_it)}
            )
        return [
            Asked(leader, int(count), lines.get(leader) or lines[any_of_it])
            for leader, count, any_of_it in groups
        ]

    def corrections(self, period: Period) -> list[dict[str, Any]]:
        """The corrections that were made in the period, in their order: question_id, kind and now."""
        query = (
            sa.select(CORRECTIONS.c.question_id, CORRECTIONS.c.kind, CORRECTIONS.c.now)
            .where(CORRECTIONS.c.made >= period.first, CORRECTIONS.c.made < period.end)
            .order_by(CORRECTIONS.c.correction.desc())
            .limit(MOST_CORRECTIONS)
        )
        with self.engine.connect() as connection:
            return [dict(row._mapping) for row in reversed(connection.execute(query).all())]

    def days_to_sign(self, period: Period) -> list[float]:
        """Days from coming in to the sign-off of each question that was signed off in the period, ascending."""
        query = (
            sa.select(MESSAGES.c.received, MESSAGES.c.added, REVIEWS.c.signed_at)
            .select_from(
                REVIEWS.join(DRAFTS, DRAFTS.c.question_id == REVIEWS.c.question_id).join(
                    MESSAGES, MESSAGES.c.message_key == DRAFTS.c.message_key
                )
            )
            .where(
                REVIEWS.c.state.in_(SIGNED_STATES),
                REVIEWS.c.signed_at >= period.first,
                REVIEWS.c.signed_at < period.end,
            )
        )
        with self.engine.connect() as connection:
            return sorted(
                _days(received or added, signed) for received, added, signed in connection.execute(query)
            )

    def days_to_mail(self, period: Period) -> list[float]:
        """Days from coming in to the sent mail of each question that a mail of the period answers, ascending."""
        query = (
            sa.select(MESSAGES.c.received, MESSAGES.c.added, MAILS.c.ended, MAILS.c.question_ids)
            .join(MESSAGES, MESSAGES.c.message_key == MAILS.c.message_key)
            .where(MAILS.c.state == "sent", MAILS.c.ended >= period.first, MAILS.c.ended < period.end)
        )
        with self.engine.connect() as connection:
            return sorted(
                _days(received or added, ended)
                for received, added, ended, question_ids in connection.execute(query)
                for _ in json.loads(question_ids)
            )

    def states(self) -> dict[str, int]:
        """How many questions are in each state of review now; one that nobody touched is new."""
        every = sa.select(sa.func.count()).where(DRAFTS.c.is_question)
        touched = (
            sa.select(REVIEWS.c.state, sa.func.count())
            .join(DRAFTS, DRAFTS.c.question_id == REVIEWS.c.question_id)
            .where(_IS_QUESTION == 1)
            .group_by(REVIEWS.c.state)
        )
        with self.engine.connect() as connection:
            total = int(connection.execute(every).scalar_one())
            found = {str(state): int(count) for state, count in connection.execute(touched)}
        return {**found, "new": total - sum(found.values()) + found.get("new", 0)}

    def set_aside(self, period: Period) -> dict[tuple[str, ...], int]:
        """How many messages of the period are no question, by the flags that their drafts bear."""
        aside = _of_period(period, self._flags().label("flags"), are_questions=False)
        query = sa.select(aside.c.flags, sa.func.count()).group_by(aside.c.flags)
        found: dict[tuple[str, ...], int] = {}
        with self.engine.connect() as connection:
            for flags, count in connection.execute(query):
                key = tuple(json.loads(flags))
                found[key] = found.get(key, 0) + int(count)
        return found

    def _flags(self) -> sa.ColumnElement[str]:
        if self.engine.dialect.name == "postgresql":
            return sa.cast(sa.cast(DRAFTS.c.line, sa.JSON)["flags"], sa.Text)
        return sa.func.json_extract(DRAFTS.c.line, "$.flags")


def counted_by_week(period: Period, came_in: Iterable[CameIn], by: str) -> dict[str, dict[str, int]]:
    """Counts of a period by week and then by topic or verdict; every week of the period is there."""
    counts: dict[str, dict[str, int]] = {week.name: {} for week in period.weeks}
    for one in came_in:
        of_week = counts[week_of(date.fromisoformat(one.day))]
        key = one.topic if by == "topic" else one.verdict
        of_week[key] = of_week.get(key, 0) + one.count
    return counts


def _of_period(
    period: Period, *columns: sa.ColumnElement[Any], are_questions: bool = True, without_brief: bool = False
) -> sa.Subquery:
    """Those columns and the day, of every draft of the period; undated messages came on the day they were read in.

    Two halves, because an index knows the dated ones and a condition over both columns would leave it unused.
    """
    wanted = [_IS_QUESTION == 1 if are_questions else sa.not_(DRAFTS.c.is_question)]
    if without_brief:
        wanted.append(DRAFTS.c.brief.is_(None))
    dated = sa.select(*columns, sa.func.substr(DRAFTS.c.received, 1, 10).label("day")).where(
        *wanted, DRAFTS.c.received >= period.first, DRAFTS.c.received < period.end
    )
    undated = (
        sa.select(*columns, sa.func.substr(MESSAGES.c.added, 1, 10).label("day"))
        .select_from(DRAFTS.join(MESSAGES, MESSAGES.c.message_key == DRAFTS.c.message_key))
        .where(
            *wanted,
            DRAFTS.c.received.is_(None),
            MESSAGES.c.added >= period.first,
            MESSAGES.c.added < period.end,
        )
    )
    return sa.union_all(dated, undated).subquery()


def _lines(connection: sa.Connection, question_ids: Iterable[str]) -> dict[str, dict[str, Any]]:
    found: dict[str, dict[str, Any]] = {}
    for some in in_pieces(sorted(question_ids)):
        query = sa.select(DRAFTS.c.question_id, DRAFTS.c.line).where(DRAFTS.c.question_id.in_(some))
        found |= {identity: json.loads(text) for identity, text in connection.execute(query)}
    return found


def _days(came: str, answered: str) -> float:
    """Days between two moments; a rider's clock that runs ahead makes no answer come before its question."""
    return max((_moment(answered) - _moment(came)).total_seconds() / SECONDS_IN_A_DAY, 0.0)


def _moment(text: str) -> datetime:
    moment = datetime.fromisoformat(text)
    return moment if moment.tzinfo else moment.replace(tzinfo=UTC)

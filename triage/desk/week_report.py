"""The week report: what came in over some weeks and what became of it, as pictures with their numbers."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime

from markupsafe import Markup

from knowledge.base import Knowledge
from triage.desk.labels import STATES_AT_LENGTH, VERDICT_WORDS
from triage.gaps import Gap, gaps
from triage.ledger import Ledger
from triage.ledger.store import in_force
from triage.ledger.wall import STATES
from triage.ledger.weeks import Asked, CameIn, Period, counted_by_week, period_up_to
from triage.output.charts import (
    PATTERNS,
    Lane,
    Series,
    bars,
    columns,
    dots,
    median,
    nine_in_ten,
    time_told,
)
from triage.read.dates import EARLIEST_YEAR, LATEST_YEAR
from triage.sorter.fold import folder_for

MOST_BARS, MOST_KINDS = 6, 8
"""Bars with a whole sentence above each, and bars with a word or two beside them."""
MOST_TOPICS = len(PATTERNS) - 1
"""Topics with a pattern of their own; one pattern is left for the rest of them."""
MOST_GAPS = 120
"""Unanswered groups that are gathered by likeness, the most asked ones."""
THE_REST = "the rest"
PATTERN_OF = {
    "yes": "plain",
    "yes-if": "dots",
    "inspect-first": "slant",
    "not-recommended": "cross",
    "need-more": "level",
    "explain": "upright",
    "none": "solid",
}
"""Each verdict's pattern, from bottom to top; the first four are hatched as on the number lines."""
ASIDE = {
    "banter": "banter",
    "praise": "praise",
    "thanks": "thanks",
    "closer": "jokes",
    "spam": "spam",
    "other-subject": "other subjects",
    "price": "prices",
    "abuse": "abuse",
    "automatic-reply": "automatic replies",
    "bounce": "mails that came back",
    "bulk": "circulars",
    "not-english": "not in English",
    "too-long": "too long to be worked out",
    "personal": "personal messages",
    "correction": "corrections of the show",
    "story": "stories",
}
"""What a message that is no question is, by the flag that says so."""
NOTHING_ASKED = "nothing asked"
CORRECTED = {
    "brief": "the brief",
    "point": "what is asked within it",
    "topic": "the topic",
    "outside": "question or not",
}


@dataclass(frozen=True, slots=True)
class Row:
    """One row of a picture's numbers; `address` leads to its questions on the wall and may be None."""

    cells: tuple[str, ...]
    address: str | None = None


@dataclass(frozen=True, slots=True)
class Picture:
    """One picture of the report.

    `key` names it within the page, `title` says what it is, `about` how to read it. `drawn` is the picture, empty where
    there is nothing to draw; then `nothing` says so in a sentence. `head` and `rows` are its numbers as a table.
    """

    key: str
    title: str
    about: str
    drawn: Markup
    nothing: str
    head: tuple[str, ...]
    rows: tuple[Row, ...]


@dataclass(frozen=True, slots=True)
class WeekReport:
    """What the week's template may use.

    `first` and `last` are the first and last day, ISO 8601, and `weeks` how many weeks they span, begun ones too.
    Of these days: `questions` came in, `without_brief` of them found no brief, `set_aside` messages were no question;
    `signed` were signed off and `mailed` answered by a sent mail. `trouble` says what was wrong with the asked-for day.
    """

    first: str
    last: str
    weeks: int
    questions: int
    without_brief: int
    set_aside: int
    signed: int
    mailed: int
    trouble: str
    pictures: tuple[Picture, ...]


def report_of(
    ledger: Ledger, knowledge: Knowledge, upto: str, weeks: int, today: date | None = None
) -> WeekReport:
    """The report over so many ISO weeks that end with a day.

    `upto` is that day, ISO 8601; where it is empty or no day, the newest one of the ledger. `today` is the present day
    in UTC unless given: what bears a later date than it is not taken for the newest.

    Raises:
        ValueError: fewer than one week is asked for.
    """
    counts = ledger.weeks
    asked_for = _day(upto)
    today = today or datetime.now(UTC).date()
    newest = None if asked_for else counts.newest_day(today.isoformat())
    last = asked_for or (date.fromisoformat(newest) if newest else today)
    period = period_up_to(last, weeks)
    came_in = counts.came_in(period)
    aside = _aside(counts.set_aside(period))
    signed, mailed = counts.days_to_sign(period), counts.days_to_mail(period)
    lacking = sum(one.count for one in came_in if not one.has_brief)
    return WeekReport(
        first=period.first,
        last=period.last,
        weeks=weeks,
        questions=sum(one.count for one in came_in),
        without_brief=lacking,
        set_aside=sum(aside.values()),
        signed=len(signed),
        mailed=len(mailed),
        trouble="" if asked_for or not upto.strip() else f"“{upto}” is no day. The newest one is shown.",
        pictures=(
            _by_topic(period, came_in, knowledge),
            _by_verdict(period, came_in),
            _most_asked(counts.most_asked(period, MOST_BARS)),
            _gaps(
                counts.most_asked(period, MOST_GAPS, without_brief=True), lacking, bool(came_in), knowledge
            ),
            _answered(signed, mailed),
            _corrected(counts.corrections(period), knowledge),
            _standing(counts.states()),
            _set_aside(aside),
        ),
    )


def _day(text: str) -> date | None:
    try:
        day = date.fromisoformat(text.strip())
    except ValueError:
        return None
    return day if EARLIEST_YEAR <= day.year <= LATEST_YEAR else None


def _by_topic(period: Period, came_in: Sequence[CameIn], knowledge: Knowledge) -> Picture:
    counts = counted_by_week(period, came_in, "topic")
    total = _summed(counts.values())
    order = [topic for topic in knowledge.topics if total[topic]]
    order += sorted(set(total) - set(order))
    own = (
        sorted(order, key=lambda topic: -total[topic])[:MOST_TOPICS] if len(order) > len(PATTERNS) else order
    )
    named: list[tuple[str, tuple[str, ...]]] = [
        (_topic_label(topic, knowledge), (topic,)) for topic in order if topic in own
    ]
    rest = tuple(topic for topic in order if topic not in own)
    if rest:
        named.append((THE_REST, rest))
    series = [
        Series(name, pattern, _over_weeks(counts, keys))
        for (name, keys), pattern in zip(named, PATTERNS, strict=False)
    ]
    all_of_them = [(_topic_label(topic, knowledge), _over_weeks(counts, (topic,)), topic) for topic in order]
    return Picture(
        "by-topic",
        "What came in, by topic",
        "Questions of each week, repeats counted too.",
        columns("by-topic", "Questions by week and topic", _week_labels(period), series),
        "No question came in.",
        ("Topic", *_week_labels(period), "all"),
        tuple(_week_row(name, told, f"/wall?topic={topic}") for name, told, topic in all_of_them),
    )


def _by_verdict(period: Period, came_in: Sequence[CameIn]) -> Picture:
    counts = counted_by_week(period, came_in, "verdict")
    total = _summed(counts.values())
    series = [
        Series(VERDICT_WORDS[verdict], pattern, _over_weeks(counts, (verdict,)))
        for verdict, pattern in PATTERN_OF.items()
        if total[verdict]
    ]
    return Picture(
        "by-verdict",
        "What the drafts say",
        "The same questions by the verdict of their drafts.",
        columns("by-verdict", "Questions by week and verdict", _week_labels(period), series),
        "Nothing was drafted.",
        ("Verdict", *_week_labels(period), "all"),
        tuple(
            _week_row(VERDICT_WORDS[verdict], _over_weeks(counts, (verdict,)), f"/wall?verdict={verdict}")
            for verdict in PATTERN_OF
            if total[verdict]
        ),
    )


def _most_asked(groups: Sequence[Asked]) -> Picture:
    titles = Counter(group.line.get("title") for group in groups)
    rows = []
    for group in groups:
        title, ask = group.line.get("title"), " ".join(str(group.line["text"]).split())
        # Two groups of one brief would bear the same title and look like one.
        rows.append((title if title and titles[title] == 1 else ask, group, ask))
    return Picture(
        "most-asked",
        "Asked most",
        "How many riders asked the same.",
        bars("Riders who asked the same", [(label, group.riders) for label, group, _ in rows]),
        "No question came in.",
        ("What", "in one rider’s words", "riders"),
        tuple(
            Row((label, _short(ask), _number(group.riders)), f"/wall?group={group.leader}")
            for label, group, ask in rows
        ),
    )


def _gaps(groups: Sequence[Asked], lacking: int, came_any: bool, knowledge: Knowledge) -> Picture:
    lines = [{**group.line, "asked_by": group.riders, "repeats_of": None} for group in groups]
    heaps = gaps(lines, folder_for(knowledge).fold)[:MOST_BARS]
    drawn = [(_short(heap.examples[0]), heap.riders) for heap in heaps]
    found = f"{_number(lacking)} {'question' if lacking == 1 else 'questions'} found no brief"
    return Picture(
        "gaps",
        "What no brief answers",
        f"{found}. How many riders asked alike, and one ask.",
        bars(f"{found}. Riders by what was asked alike", drawn),
        "Every question found a brief." if came_any else "No question came in.",
        ("One of the asks", "typical words", "topic", "riders"),
        tuple(_gap_row(heap, knowledge) for heap in heaps),
    )


def _gap_row(heap: Gap, knowledge: Knowledge) -> Row:
    words = ", ".join(heap.words)
    return Row(
        (_short(heap.examples[0]), words, _topic_label(heap.topic, knowledge), _number(heap.riders)),
        f"/wall?topic={heap.topic}&verdict=none",
    )


def _answered(signed: Sequence[float], mailed: Sequence[float]) -> Picture:
    lanes = [Lane("Signed off", tuple(signed)), Lane("Answered by mail", tuple(mailed))]
    return Picture(
        "answered",
        "Days until it was answered",
        "From coming in to the sign-off and to the sent mail.",
        dots("Days until it was answered", lanes),
        "Nothing was signed off and no mail was sent.",
        ("", "questions", "half within", "nine in ten within", "longest"),
        tuple(_lane_row(lane) for lane in lanes),
    )


def _lane_row(lane: Lane) -> Row:
    if not lane.days:
        return Row((lane.name, "0", "–", "–", "–"))
    times = (median(lane.days), nine_in_ten(lane.days), max(lane.days))
    return Row((lane.name, _number(len(lane.days)), *map(time_told, times)))


def _corrected(corrections: Sequence[dict[str, str]], knowledge: Knowledge) -> Picture:
    counts = Counter(_what(row["kind"], row["now"], knowledge) for row in in_force(corrections))
    return _counted(
        "corrected",
        "What the reading got wrong",
        "Corrections that were made and not taken back.",
        "Nothing was corrected.",
        ("Corrected", "times"),
        _largest(counts),
    )


def _what(kind: str, now: str, knowledge: Knowledge) -> str:
    name = now.partition("=")[0]
    if kind == "detail":
        return knowledge.label(name)
    return f"part: {name}" if kind == "part" else CORRECTED.get(kind, kind)


def _standing(states: Mapping[str, int]) -> Picture:
    rows = [(STATES_AT_LENGTH[state], states.get(state, 0), f"/wall?state={state}") for state in STATES]
    return _counted(
        "standing",
        "Where everything stands now",
        "All questions of the ledger, whenever they came in.",
        "The ledger holds no question.",
        ("State", "questions"),
        rows if any(count for _, count, _ in rows) else [],
    )


def _set_aside(aside: Mapping[str, int]) -> Picture:
    return _counted(
        "set-aside",
        "Set aside",
        "Messages that are no question for this desk.",
        "Nothing was set aside.",
        ("What", "messages"),
        _largest(aside),
    )


def _aside(by_flags: Mapping[tuple[str, ...], int]) -> Counter[str]:
    counts: Counter[str] = Counter()
    for flags, count in by_flags.items():
        counts[next((ASIDE[flag] for flag in flags if flag in ASIDE), NOTHING_ASKED)] += count
    return counts


def _counted(
    key: str,
    title: str,
    about: str,
    nothing: str,
    head: tuple[str, str],
    rows: Sequence[tuple[str, int, str | None]],
) -> Picture:
    """A picture of bars whose table holds the same rows."""
    return Picture(
        key,
        title,
        about,
        bars(title, [(label, count) for label, count, _ in rows]),
        nothing,
        head,
        tuple(Row((label, _number(count)), address) for label, count, address in rows),
    )


def _largest(counts: Mapping[str, int]) -> list[tuple[str, int, str | None]]:
    """The largest counts, and the others together where there are more than have room."""
    ordered = sorted(counts.items(), key=lambda item: (-item[1], item[0]))
    shown = ordered if len(ordered) <= MOST_KINDS else ordered[: MOST_KINDS - 1]
    rest = sum(count for _, count in ordered[len(shown) :])
    return [(label, count, None) for label, count in (*shown, *([(THE_REST, rest)] if rest else []))]


def _summed(counts: Iterable[Mapping[str, int]]) -> Counter[str]:
    total: Counter[str] = Counter()
    for one in counts:
        total.update(one)
    return total


def _over_weeks(counts: Mapping[str, Mapping[str, int]], keys: Sequence[str]) -> tuple[int, ...]:
    return tuple(sum(of_week.get(key, 0) for key in keys) for of_week in counts.values())


def _week_row(name: str, counts: Sequence[int], address: str) -> Row:
    return Row((name, *map(_number, counts), _number(sum(counts))), address)


def _week_labels(period: Period) -> list[str]:
    """The first day of each week, as on a wall calendar."""
    return [f"{week.first.day} {_MONTHS[week.first.month - 1]}" for week in period.weeks]


_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "June", "July", "Aug", "Sept", "Oct", "Nov", "Dec")


def _topic_label(topic: str, knowledge: Knowledge) -> str:
    return knowledge.topics[topic].label if topic in knowledge.topics else topic


def _short(text: str, most: int = 160) -> str:
    text = " ".join(text.split())
    return text if len(text) <= most else text[: most - 1].rstrip() + "…"


def _number(count: int) -> str:
    return f"{count:,}"

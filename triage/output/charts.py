"""Small pictures of counts and days as inline SVG: patterns in place of colours, every number also in words.

The pictures bear no colours and no styles of their own; classes carry the look. Text is measured by its characters, so
that nothing overlaps and nothing leaves the picture.
"""

from __future__ import annotations

import statistics
import unicodedata
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import accumulate
from math import ceil, floor, log10

from markupsafe import Markup, escape

from knowledge.numbers import plain

WIDTH = 360.0
"""Units across; at 360 px, and in half an A4 page, about one pixel each."""
SIZE, LINE = 12.0, 16.0
"""Height of a letter's box and from line to line."""
COLUMNS_HIGH = 132.0
WIDEST_COLUMN = 76.0
BAR_HIGH = 13.0
LONGEST_LABEL_BESIDE = 164.0
EDGE = 2.0
"""Letters reach a little to the left of where they begin."""
BOLD = 1.13
"""How much wider the numbers' bold letters are."""
DOT, MOST_STACKED = 6.0, 7
MOST_TICKS = 5
FAR = 3.0
"""A day that lies so many times farther than nine in ten of the others would squeeze them all together."""
PATTERNS = ("plain", "dots", "slant", "cross", "level", "upright", "solid")
_TILE = {
    "plain": "",
    "dots": '<circle cx="3" cy="3" r="1.1" class="c-speck"/>',
    "slant": '<path d="M-1 7L7 -1M-1 1L1 -1M5 7L7 5" class="c-hatch"/>',
    "cross": '<path d="M0 0L6 6M6 0L0 6" class="c-hatch"/>',
    "level": '<path d="M0 3H6" class="c-hatch"/>',
    "upright": '<path d="M3 0V6" class="c-hatch"/>',
    "solid": '<rect width="6" height="6" class="c-solid"/>',
}


@dataclass(frozen=True, slots=True)
class Series:
    """One thing counted in every column: its name, its pattern (one of PATTERNS) and its counts, one for each column."""

    name: str
    pattern: str
    counts: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Lane:
    """One strip of dots: what was waited for, and the days that each took."""

    name: str
    days: tuple[float, ...]


def columns(name: str, told: str, labels: Sequence[str], series: Sequence[Series]) -> Markup:
    """Stacked columns, one for each label, the first series lowest; empty where every count is 0.

    `name` keeps the patterns of several pictures in one page apart; `told` begins the words for who can't see it.
    """
    totals = [sum(one.counts[i] for one in series) for i in range(len(labels))]
    if not any(totals):
        return Markup("")
    step, top = round_ticks(max(totals))
    left = max(text_width(_number(tick)) for tick in (0, top)) + 8
    ground = LINE + COLUMNS_HIGH
    pitch = (WIDTH - left - 2) / len(labels)
    wide = min(pitch * 0.72, WIDEST_COLUMN)
    parts = [*_patterns(name, series), *_levels(step, top, left, ground)]
    for i, total in enumerate(totals):
        middle = left + pitch * (i + 0.5)
        parts += _column(name, labels[i], series, i, (middle, wide, ground), COLUMNS_HIGH / top)
        if _wide_sum(total) <= pitch - 2:
            at = ground - total / top * COLUMNS_HIGH - 4
            parts.append(_text(middle, at, _number(total), "c-middle c-sum"))
    parts += _under_columns(labels, left, pitch, ground)
    legend, bottom = _legend(name, series, ground + LINE + 22)
    return _svg(bottom, f"{told}: {_columns_told(labels, series, totals)}.", [*parts, *legend])


def bars(told: str, rows: Sequence[tuple[str, int]]) -> Markup:
    """One bar for each (label, count) with its number at its end, in the given order; empty without any row.

    Short labels stand beside their bars, long ones above them, cut where they would not fit.
    """
    if not rows:
        return Markup("")
    most = max(1, *(count for _, count in rows))
    widest = max(text_width(label) for label, _ in rows)
    is_beside = widest <= LONGEST_LABEL_BESIDE
    left = EDGE + widest + 8 if is_beside else EDGE
    room = WIDTH - left - max(_wide_sum(count) for _, count in rows) - 8
    high = BAR_HIGH + 7 if is_beside else BAR_HIGH + LINE + 4
    parts = []
    for i, (label, count) in enumerate(rows):
        top = i * high + 2
        bar_top = top if is_beside else top + LINE - 1
        long = count / most * room
        words = label if is_beside else cut(label, WIDTH - 2 * EDGE)
        parts += [
            _text(left - 8 if is_beside else EDGE, top + 10.5, words, "c-end" if is_beside else ""),
            f"<g><title>{escape(label)}: {_number(count)}</title>"
            f'<rect x="{left:.1f}" y="{bar_top:.1f}" width="{long:.1f}" height="{BAR_HIGH:.1f}" class="c-bar"/></g>',
            _text(left + long + 5, bar_top + 10.5, _number(count), "c-sum"),
        ]
    if is_beside:
        parts.append(f'<path d="M{left:.1f} 0V{len(rows) * high:.1f}" class="c-axis"/>')
    return _svg(len(rows) * high + 2, f"{told}: {_rows_told(rows)}.", parts)


def dots(told: str, lanes: Sequence[Lane]) -> Markup:
    """Strips of dots over one axis of days, the median of each marked; empty where no lane has a day.

    Where many share a place, a dot stands for several; what lies far beyond the others is gathered at the end.
    """
    every = [one for lane in lanes for one in lane.days]
    if not every:
        return Markup("")
    reach = _reach(every)
    step, top = round_ticks(reach, whole=False)
    is_cut = max(every) > top
    end = WIDTH - 14 - (10 * DOT if is_cut else 0)
    stands_for = _stands_for(lanes, top, end)
    parts: list[str] = []
    bottom = 0.0
    for lane in lanes:
        ground = bottom + LINE + MOST_STACKED * DOT + 4
        parts += _lane(lane, bottom, ground, top, end, stands_for)
        bottom = ground + 12
    parts += _days_axis(step, top, end, bottom, is_cut)
    bottom += LINE + 12
    note = "days" if stands_for == 1 else f"days; a dot stands for up to {_number(stands_for)} questions"
    parts.append(_text(WIDTH - 2, bottom + 2, note, "c-end c-soft"))
    return _svg(bottom + 7, f"{told}: {'; '.join(map(days_told, lanes))}.", parts)


def days_told(lane: Lane) -> str:
    """What a strip shows, in words.

    >>> days_told(Lane("Signed off", (1.0, 2.0, 6.0)))
    'Signed off, 3 questions: half of them within 2 days, nine in ten within 6 days, the longest 6 days'
    """
    if not lane.days:
        return f"{lane.name}: none"
    if len(lane.days) == 1:
        return f"{lane.name}, 1 question: within {time_told(lane.days[0])}"
    half, most, last = map(time_told, (median(lane.days), nine_in_ten(lane.days), max(lane.days)))
    return (
        f"{lane.name}, {_number(len(lane.days))} questions: half of them within {half}, "
        f"nine in ten within {most}, the longest {last}"
    )


def time_told(days: float) -> str:
    """A stretch of time in hours below a day, else in days; rounded up, so that "within" stays true.

    >>> time_told(0.01), time_told(0.4), time_told(1.0), time_told(2.51), time_told(41.2)
    ('1 hour', '10 hours', '1 day', '2.6 days', '42 days')
    """
    if days <= 23 / 24:
        hours = max(ceil(round(days * 24, 6)), 1)
        return f"{hours} {'hour' if hours == 1 else 'hours'}"
    told = plain(ceil(round(days * 10, 6)) / 10 if days < 10 else ceil(round(days, 6)))
    return f"{told} {'day' if told == '1' else 'days'}"


def median(days: Sequence[float]) -> float:
    """The middle one, or half-way between the two middle ones.

    >>> median([4.0, 1.0, 2.0, 3.0])
    2.5
    """
    return float(statistics.median(days))


def nine_in_ten(days: Sequence[float]) -> float:
    """The least of the days within which nine in ten lie.

    >>> nine_in_ten([1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0, 9.0, 40.0])
    9.0
    """
    ordered = sorted(days)
    return ordered[ceil(len(ordered) * 9 / 10) - 1]


def round_ticks(most: float, whole: bool = True) -> tuple[float, float]:
    """(step, end) of an axis from 0 that reaches `most`: steps of 1, 2 or 5 times a power of ten, at most five of them.

    >>> round_ticks(1), round_ticks(37), round_ticks(10_000), round_ticks(0.6, whole=False)
    ((1.0, 1.0), (10.0, 40.0), (2000.0, 10000.0), (0.2, 0.6))
    """
    if most <= 0:
        return 1.0, 1.0
    power = floor(log10(most / MOST_TICKS))
    steps = (leading * 10.0**exponent for exponent in (power, power + 1) for leading in (1, 2, 5))
    # Ten times a fifth of it is always enough. The ninth digit takes off what binary fractions add.
    step = next(one for one in steps if round(most / one, 9) <= MOST_TICKS and (one >= 1 or not whole))
    return round(step, 9), round(step * ceil(round(most / step, 9)), 9)


def text_width(text: str) -> float:
    """Units that a text takes at the pictures' letter size, rather too many than too few.

    >>> text_width("ill") < text_width("mmm") < text_width("漢字漢")
    True
    """
    return sum(map(_letter, text))


def cut(text: str, room: float) -> str:
    """The text in one line, shortened with an ellipsis to what fits.

    >>> cut("A short one", 200), cut("One that is quite a bit longer", 80), cut("Unbreakable", 40)
    ('A short one', 'One that…', 'Unb…')
    """
    text = " ".join(text.split())
    if text_width(text) <= room:
        return text
    room -= text_width("…")
    reached = accumulate(map(_letter, text))
    place = next(place for place, width in enumerate(reached) if width > room)
    kept = text[:place]
    if text[place] != " " and " " in kept[len(kept) // 2 :]:
        kept = kept.rpartition(" ")[0]
    return kept.rstrip(" ,.;:–-") + "…"


def _letter(letter: str) -> float:
    if unicodedata.east_asian_width(letter) in "WF":
        return 13.0
    if unicodedata.combining(letter):
        return 0.0
    if letter in "mwMW%@—…Œœæ":
        return 12.4
    if letter in "iljftrI.,:;!|'’()[] ":
        return 5.0
    return 9.4 if letter.isupper() else 7.7


def _svg(high: float, told: str, parts: Iterable[str]) -> Markup:
    return Markup(
        f'<svg class="chart" viewBox="0 0 {WIDTH:g} {high:.0f}" preserveAspectRatio="xMinYMin" role="img" aria-label="{escape(told)}">'
        f"{''.join(parts)}</svg>"
    )


def _text(x: float, y: float, words: str, kind: str = "") -> str:
    named = f' class="{kind}"' if kind else ""
    return f'<text x="{x:.1f}" y="{y:.1f}"{named}>{escape(words)}</text>'


def _wide_sum(count: int) -> float:
    return text_width(_number(count)) * BOLD


def _number(count: float) -> str:
    return f"{count:,.0f}"


def _patterns(name: str, series: Sequence[Series]) -> Iterator[str]:
    yield "<defs>"
    for pattern in dict.fromkeys(one.pattern for one in series):
        yield (
            f'<pattern id="{escape(name)}-{pattern}" width="6" height="6" patternUnits="userSpaceOnUse">'
            f'<rect width="6" height="6" class="c-ground"/>{_TILE[pattern]}</pattern>'
        )
    yield "</defs>"


def _fill(name: str, pattern: str) -> str:
    return f'fill="url(#{escape(name)}-{pattern})"'


def _levels(step: float, top: float, left: float, ground: float) -> Iterator[str]:
    for i in range(round(top / step) + 1):
        at = ground - i * step / top * COLUMNS_HIGH
        yield f'<path d="M{left - 4:.1f} {at:.1f}H{WIDTH:g}" class="{"c-axis" if i == 0 else "c-level"}"/>'
        yield _text(left - 7, at + 4, _number(i * step), "c-end c-soft")


def _column(
    name: str, label: str, series: Sequence[Series], i: int, place: tuple[float, float, float], scale: float
) -> Iterator[str]:
    middle, wide, foot = place
    for one in series:
        count = one.counts[i]
        if not count:
            continue
        high = count * scale
        foot -= high
        yield (
            f"<g><title>{escape(one.name)}, {escape(label)}: {_number(count)}</title>"
            f'<rect x="{middle - wide / 2:.1f}" y="{foot:.1f}" width="{wide:.1f}" height="{high:.1f}" '
            f'{_fill(name, one.pattern)} class="c-part"/></g>'
        )
        told = f"{one.name} {_number(count)}"
        if text_width(told) > wide - 6:
            told = _number(count)
        if high >= SIZE + 2 and text_width(told) <= wide - 6:
            yield _text(middle, foot + high / 2 + 4.2, told, "c-middle c-within")


def _under_columns(labels: Sequence[str], left: float, pitch: float, ground: float) -> Iterator[str]:
    """As many labels as there is room for, counted from the newest, which is always told."""
    widest = max(map(text_width, labels))
    # At either edge a label is moved inwards, towards the one beside it.
    moved = max(widest - pitch, 0.0) / 2
    every = ceil((widest + moved + 4) / pitch)
    for i, label in enumerate(labels):
        if (len(labels) - 1 - i) % every == 0:
            half = text_width(label) / 2
            at = min(max(left + pitch * (i + 0.5), half), WIDTH - half)
            yield _text(at, ground + LINE + 2, label, "c-middle c-soft")


def _legend(name: str, series: Sequence[Series], top: float) -> tuple[list[str], float]:
    parts: list[str] = []
    x, y = EDGE, top
    for one in series:
        words = cut(one.name, WIDTH - 2 * EDGE - 19)
        wide = 19 + text_width(words)
        if x > EDGE and x + wide > WIDTH:
            x, y = EDGE, y + LINE + 1
        parts += [
            f'<rect x="{x:.1f}" y="{y - 10:.1f}" width="14" height="12" {_fill(name, one.pattern)} class="c-part"/>',
            _text(x + 19, y, words),
        ]
        x += wide + 9
    return parts, y + 7


def _columns_told(labels: Sequence[str], series: Sequence[Series], totals: Sequence[int]) -> str:
    told = []
    for i, label in enumerate(labels):
        within = ", ".join(f"{one.name} {_number(one.counts[i])}" for one in series if one.counts[i])
        told.append(f"{label}, {_number(totals[i])} in all{': ' if within else ''}{within}")
    return "; ".join(told)


def _rows_told(rows: Sequence[tuple[str, int]]) -> str:
    return "; ".join(f"{' '.join(label.split())}, {_number(count)}" for label, count in rows)


def _reach(days: Sequence[float]) -> float:
    last, most = max(days), max(nine_in_ten(days), 1.0)
    return most * 1.5 if most * FAR < last else max(last, 1.0)


def _place(day: float, top: float, end: float) -> int:
    """The column of dots in which a day lies; what lies beyond the axis has a column of its own at the end."""
    return floor((WIDTH - 14 - 2 * DOT) / DOT) if day > top else floor(day / top * (end - 14) / DOT)


def _stands_for(lanes: Sequence[Lane], top: float, end: float) -> int:
    """Questions for one dot: 1, 2, 5, 10 and so on, so that the highest heap of dots has its room."""
    heaps = [Counter(_place(day, top, end) for day in lane.days) for lane in lanes]
    crowd = max(count for heap in heaps for count in heap.values())
    each = 1
    while crowd > MOST_STACKED * each:
        each = each * 5 // 2 if str(each).startswith("2") else each * 2
    return each


def _lane(lane: Lane, top: float, ground: float, most: float, end: float, stands_for: int) -> Iterator[str]:
    words = f"{lane.name}: {_number(len(lane.days))}"
    if lane.days:
        words += f", half within {time_told(median(lane.days))}"
    yield _text(EDGE, top + 12, cut(words, WIDTH - 2 * EDGE))
    yield f'<path d="M10 {ground:.1f}H{end:.1f}" class="c-axis"/>'
    for place, count in sorted(Counter(_place(day, most, end) for day in lane.days).items()):
        for i in range(ceil(count / stands_for)):
            yield f'<circle cx="{14 + place * DOT:.1f}" cy="{ground - 4 - i * DOT:.1f}" r="2.5" class="c-dot"/>'
    if lane.days:
        day = min(median(lane.days), most)
        at = 14 + day / most * (end - 14)
        yield f'<path d="M{at:.1f} {top + LINE + 1:.1f}V{ground:.1f}" class="c-median"/>'
        yield f'<path d="M{at:.1f} {ground + 1:.1f}l-5 8h10z" class="c-solid"/>'


def _days_axis(step: float, top: float, end: float, y: float, is_cut: bool) -> Iterator[str]:
    for i in range(round(top / step) + 1):
        at = 14 + i * step / top * (end - 14)
        words = plain(round(i * step, 9))
        yield f'<path d="M{at:.1f} {y:.1f}v4" class="c-axis"/>'
        yield _text(max(at, text_width(words) / 2), y + LINE, words, "c-middle c-soft")
    if is_cut:
        yield _text(WIDTH - 1, y + LINE, "longer", "c-end c-soft")

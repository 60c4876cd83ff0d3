"""Dates as exports and mail write them, to ISO 8601 with a zone; None where a date can't be read."""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import UTC, datetime, timedelta, timezone
from email.utils import parsedate_to_datetime

from dateutil import parser

from triage.read.bounds import LONGEST_DATE_CHARACTERS

EARLIEST_YEAR, LATEST_YEAR = 1971, 2199
"""A date outside these years is an export's way to write that there is none. (Common practice.)"""

ZONE_HOURS = {
    # Abbreviations that mail and exports still use. (Common practice; names with two meanings are left out.)
    "UTC": 0.0,
    "GMT": 0.0,
    "Z": 0.0,
    "WET": 0.0,
    "WEST": 1.0,
    "CET": 1.0,
    "MEZ": 1.0,
    "CEST": 2.0,
    "MESZ": 2.0,
    "EET": 2.0,
    "EEST": 3.0,
    "EST": -5.0,
    "EDT": -4.0,
    "CDT": -5.0,
    "MST": -7.0,
    "MDT": -6.0,
    "PST": -8.0,
    "PDT": -7.0,
    "JST": 9.0,
    "AEST": 10.0,
    "AEDT": 11.0,
    "NZST": 12.0,
    "NZDT": 13.0,
}

_NUMBER = re.compile(r"^\d{8,19}(?:\.\d{1,9})?$", re.ASCII)
_BY_NUMBERS = re.compile(
    r"^(\d{1,2})([./-])(\d{1,2})\2(\d{4})"
    r"(?:(?:,|\s|,\s|\s-\s|T)(\d{1,2})[:.](\d{2})(?:[:.](\d{2}))?\s?([AaPp])?\.?(?:[Mm]\.?)?)?$",
    re.ASCII,
)
_MONTH_STARTS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_MONTHS = {name: number for number, name in enumerate(_MONTH_STARTS, start=1)}
_BY_MONTH_NAME = re.compile(
    r"^(?:(?P<a>\d{1,2})\.?\s(?P<b>[A-Za-z]{3,9})\.?|(?P<c>[A-Za-z]{3,9})\.?\s(?P<d>\d{1,2})(?:st|nd|rd|th)?),?\s"
    r"(?P<year>\d{4})"
    r"(?:(?:,\s?|\s|\sat\s)(?P<hour>\d{1,2}):(?P<minute>\d{2})(?::(?P<second>\d{2}))?\s?(?P<half>[AaPp][Mm])?)?$",
    re.ASCII,
)
_YEAR = re.compile(r"(?<!\d)\d{4}(?!\d)", re.ASCII)
_YEAR_FIRST = re.compile(r"^(\d{4})([-/.])(\d{1,2})\2(\d{1,2})(?!\d)", re.ASCII)
_UNCLEAR = re.compile(r"/|\d-\d{1,2}-\d{4}", re.ASCII)
_OFFSET_OF_NAMED_ZONE = re.compile(r"\b(?:GMT|UTC)([+-]\d)", re.ASCII)
_TWO_PROBES = (datetime(2001, 1, 1, tzinfo=UTC), datetime(2004, 12, 28, tzinfo=UTC))


def read_date(words: str | None, *, day_first: bool | None = None) -> str | None:
    """The date as ISO 8601 with zone, None where it can't be read or could be two different days.

    A date without a zone is taken as UTC. `day_first` settles dates such as 03/04/2024; without it
    they are left unread. Bare numbers are seconds, milliseconds or microseconds since 1970.

    >>> read_date("2024-03-05T10:30:00Z"), read_date("1709634600"), read_date("5.3.2024 10:30")
    ('2024-03-05T10:30:00+00:00', '2024-03-05T10:30:00+00:00', '2024-03-05T10:30:00+00:00')
    >>> read_date("03/04/2024"), read_date("03/04/2024", day_first=True), read_date("2 days ago")
    (None, '2024-04-03T00:00:00+00:00', None)
    """
    if not words:
        return None
    words = words.strip()
    if not 6 <= len(words) <= LONGEST_DATE_CHARACTERS:
        return None
    try:
        return _iso(_moment(words, day_first))
    except (ValueError, OverflowError, TypeError, OSError, ArithmeticError, AttributeError, LookupError):
        return None


def mail_date(words: str | None) -> str | None:
    """The date of a mail's Date header as ISO 8601 with zone, None where it can't be read.

    >>> mail_date("Tue, 5 Mar 2024 11:30:00 +0100 (CET)"), mail_date("yesterday")
    ('2024-03-05T11:30:00+01:00', None)
    """
    if not words or len(words) > LONGEST_DATE_CHARACTERS:
        return None
    try:
        return _iso(parsedate_to_datetime(words))
    except (ValueError, OverflowError, TypeError, LookupError):
        return read_date(words)


def day_comes_first(samples: Iterable[str]) -> bool | None:
    """Whether an export writes the day before the month; None where no sample tells, or samples differ.

    >>> day_comes_first(["03/04/2024", "25/03/2024"]), day_comes_first(["03/04/2024"])
    (True, None)
    """
    told = set()
    for sample in samples:
        found = _BY_NUMBERS.match(sample.strip())
        if found is None or found[2] == ".":
            continue
        first, second = int(found[1]), int(found[3])
        if first > 12 >= second:
            told.add(True)
        elif second > 12 >= first:
            told.add(False)
    return told.pop() if len(told) == 1 else None


def _moment(words: str, day_first: bool | None) -> datetime:
    if words[4] == "-":
        try:
            return datetime.fromisoformat(words)
        except ValueError:
            pass
    if _NUMBER.match(words):
        return _from_number(words)
    numbers = _BY_NUMBERS.match(words)
    if numbers is not None:
        return _from_numbers(numbers, day_first)
    named = _BY_MONTH_NAME.match(words)
    if named is not None and (named["b"] or named["c"])[:3].lower() in _MONTHS:
        return _from_month_name(named)
    year_first = _YEAR_FIRST.match(words)
    if year_first is not None:
        year, _, month, day = year_first.groups()
        words = f"{year}-{month:0>2}-{day:0>2}{words[year_first.end() :]}"
    try:
        return datetime.fromisoformat(words)
    except ValueError:
        return _from_words(words, dayfirst=year_first is None)


def _from_number(words: str) -> datetime:
    whole, _, _ = words.partition(".")
    if len(whole) == 8 and "1900" < whole[:4] < "2100":
        return datetime.strptime(whole, "%Y%m%d")
    if len(whole) == 14:
        return datetime.strptime(whole, "%Y%m%d%H%M%S")
    seconds_per = {9: 1, 10: 1, 12: 1_000, 13: 1_000, 15: 1_000_000, 16: 1_000_000, 19: 1_000_000_000}
    if len(whole) not in seconds_per:
        raise ValueError(words)
    return datetime.fromtimestamp(int(whole) / seconds_per[len(whole)], UTC)


def _from_numbers(found: re.Match[str], day_first: bool | None) -> datetime:
    first, second, year = int(found[1]), int(found[3]), int(found[4])
    if found[2] == "." or first > 12 or first == second:
        day_first = True
    elif second > 12:
        day_first = False
    if day_first is None:
        raise ValueError("the day and the month can't be told apart")
    day, month = (first, second) if day_first else (second, first)
    return datetime(year, month, day, _hour(found[5], found[8]), int(found[6] or 0), int(found[7] or 0))


def _from_month_name(found: re.Match[str]) -> datetime:
    month = _MONTHS[(found["b"] or found["c"])[:3].lower()]
    day, hour = int(found["a"] or found["d"]), _hour(found["hour"], found["half"])
    return datetime(
        int(found["year"]), month, day, hour, int(found["minute"] or 0), int(found["second"] or 0)
    )


def _hour(digits: str | None, half: str | None) -> int:
    hour = int(digits or 0)
    if not half or hour > 12:
        return hour
    return hour % 12 + (12 if half[0] in "pP" else 0)


def _from_words(words: str, *, dayfirst: bool) -> datetime:
    if _YEAR.search(words) is None or _UNCLEAR.search(words) is not None:
        raise ValueError(words)
    words = _OFFSET_OF_NAMED_ZONE.sub(r"\1", words)
    # What the words leave out is filled from the probe: two probes that differ show a date half told.
    first, second = (
        parser.parse(words, default=probe, tzinfos=_zone, dayfirst=dayfirst) for probe in _TWO_PROBES
    )
    if first != second:
        raise ValueError(words)
    return first


def _zone(name: str | None, offset_seconds: int | None) -> timezone | None:
    if offset_seconds is not None:
        return timezone(timedelta(seconds=offset_seconds))
    hours = ZONE_HOURS.get(name or "")
    return None if hours is None else timezone(timedelta(hours=hours))


def _iso(moment: datetime) -> str | None:
    if not EARLIEST_YEAR <= moment.year <= LATEST_YEAR:
        return None
    if moment.tzinfo is None:
        moment = moment.replace(tzinfo=UTC)
    return moment.isoformat(timespec="seconds")

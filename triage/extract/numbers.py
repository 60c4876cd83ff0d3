"""Numbers as riders write them: decimal commas, thousands, fractions, "5k", and two that make a range."""

from __future__ import annotations

import re

PLAIN = r"(?:\d{1,3}(?:[.,]\d{3})+(?![\d])|\d+(?:[.,]\d+)?|[.,]\d+)"
FRACTION = r"(?:\d{1,2}[\s-])?\d{1,2}\s?/\s?(?:2|3|4|8|16|32|64)(?!\d|/)"
NUMBER = rf"(?:{FRACTION}|{PLAIN})"
_FRACTION = re.compile(r"(?:(\d{1,2})[\s-])?(\d{1,2})\s?/\s?(\d+)")
# In these a group of three behind a point or a comma is a fine reading, not thousands.
_FINE = frozenset({"inch", "bar", "percent", "millimetre", "thou"})


def number(text: str, unit: str | None = None) -> float:
    """A number as written; a comma before one or two digits is a decimal comma.

    >>> number("2,5"), number("1,200"), number("19"), number(".75"), number("12.000", "kilometre")
    (2.5, 1200.0, 19.0, 0.75, 12000.0)
    >>> number("1 1/8"), number("9/16"), number("28.575", "millimetre")
    (1.125, 0.5625, 28.575)
    """
    parts = _FRACTION.fullmatch(text)
    if parts is not None:
        return float(parts[1] or 0) + float(parts[2]) / float(parts[3])
    head, mark, tail = text.partition("," if "," in text else ".")
    if not mark:
        return float(text)
    thousands = len(tail.replace(".", "").replace(",", "")) % 3 == 0 and head not in ("", "0")
    if unit is not None and unit in _FINE and float(head or 0) < 100:
        thousands = False
    if thousands and (mark == "," or unit is not None):
        return float(re.sub(r"[.,]", "", text))
    return float(f"{head or 0}.{tail}".replace(",", "."))


def is_fraction(text: str) -> bool:
    """Whether it is written as a fraction, such as 3/8."""
    return "/" in text

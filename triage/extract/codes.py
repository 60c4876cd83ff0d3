"""Makers' codes: letters with digits, or a group's four figures, which are names of parts and never sizes."""

from __future__ import annotations

import re
from collections.abc import Iterator

from triage.extract.forms import form, word_set
from triage.extract.passage import Passage, has_figures

_LETTERS_AND_DIGITS = form(
    r"(?<![\w.-])([a-z]{1,4})-?(\d{2,5})([a-z]{0,3})(?:-(?:[a-z]\d{0,3}|[a-z]{2,3}))?(?![\w-]|[.,]\d|\s?(?:x|mm)\b)",
    catches="rx-8150",
    leaves="m5",
)
_GROUP_NUMBER = form(
    r"(?<![\w.,£$€-])(\d{4})(?=\s(?:series|group|groupset|groupo|levers?|shifters?|brifters?|derailleurs?|mechs?|cranks?|crankset|chainset|"
    r"cassettes?|chains?|hubs?|brakes?|callipers?|calipers?|rear|front|wheels?|hubset|road|generation|gen)\b)",
    catches="5480 group",
    leaves="6902 bearing",
)
_LONG_NUMBER = form(
    r"(?<![\w.,£$€-])\d{5,12}(?![\w.,-]|\s?(?:km|miles|m\b|k\b))", catches="123456789", leaves="12000 km"
)
# Figures and letters in three pieces, or behind the word for one: an invoice's reference, a frame's number.
_REFERENCE = form(
    r"(?<![\w./-])(?=[\w/-]*[a-z])(?=[\w/-]*\d)[a-z\d]{1,8}(?:[-/][a-z\d]{1,8}){2,5}(?![\w/-])",
    catches="sv-20-559/2",
    leaves="622-19",
)
_REFERENCE_NAMED = form(
    r"\b(?:serial|reference|invoice|order|tracking|frame number|ticket|booking|policy|batch|(?<!a )lot|customer|account)\b(?:\s(?:number|no\.?|code|is|reads|says|of|the|on|invoice|order|it)|[:#])*\s?(?=[\w/-]*\d)([a-z\d]+(?:[-/.][a-z\d]+)*)(?!\w|\s?(?:mm|psi|bar|kg|nm|teeth|%))",
    catches="serial 6806-1142-b",
    leaves="serial",
)
_PLAIN_PARTS = form(
    r"(?<![\w-])(?:\d+(?:mm|t|psi|bar|x\d+|c|h|w|spd|speed|nm|nd|rd|th|in|inch)?[-/])+\d+(?:mm|t|psi|bar|c|h|w|spd|speed|speeds|nm|inch|in)?",
    catches="34/36/38t",
    leaves="sv-20-a",
)
# Letters of the trade that stand before a number and name a thread, a shell, a fluid, a wheel, an oil or a tool.
_TRADE = word_set(
    "m t bb pf dot ec zs is iso din en sae ep vg qr ip usb rs llb zz c mm cm kg km nm n w v hz psi bar covid x s ct a2c sp nlgi "
    "erd pcd bcd bsd id od q iw wl wr at to of in on no is my the and or a up for bsc bc ita jis lb lbs st ft hr min max dia "
    "than with from size about around are was be by front rear old new run at us uk eu g h l r d i ca ral"
)
_BEARING = word_set("60 62 63 68 69")
_DIGITS = re.compile(r"\d\d+")
FEWEST_PIECES = 3
"""Of a reference; one of two pieces is a size or a range more often."""


def unknown_codes(passage: Passage) -> Iterator[tuple[int, int]]:
    """Where codes stand, in order of writing; those that the catalogue knows the caller leaves out."""
    if not has_figures(passage.text):
        return
    letters_before = any(
        passage.text[start - 1].isalpha() or passage.text[start - 1] == "-"
        for start in (match.start() for match in _DIGITS.finditer(passage.text))
        if start
    )
    for match in _LETTERS_AND_DIGITS.finditer(passage.text) if letters_before else ():
        if match[1] not in _TRADE and not _is_plain(match[1], match[3], passage, match.start()):
            yield match.span()
    pieced = passage.text.count("-") + passage.text.count("/") >= FEWEST_PIECES - 1
    for match in _REFERENCE.finditer(passage.text) if pieced else ():
        if not _PLAIN_PARTS.fullmatch(match.group()) and _has_long_figures(match.group()):
            passage.taken.append(match.span())
    for match in passage.around(
        _REFERENCE_NAMED,
        "serial",
        "reference",
        "invoice",
        "order",
        "tracking",
        "number",
        "ticket",
        "booking",
        "policy",
        "batch",
        "lot",
        "customer",
        "account",
    ):
        passage.taken.append(match.span(1))
    for match in passage.at_numbers(_GROUP_NUMBER):
        year = 1930 <= int(match[1]) <= 2049
        behind = passage.after(match.end(), 12).strip()
        if not year and (match[1][:2] not in _BEARING or behind.startswith(("series", "group", "gen"))):
            yield match.span()
    for match in passage.at_numbers(_LONG_NUMBER):
        yield match.span()


def _has_long_figures(words: str) -> bool:
    """Whether it is more than a word with hyphens such as "2-by-11" or "six-bolt"."""
    pieces = re.split(r"[-/]", words)
    return sum(piece.isdigit() for piece in pieces) >= 2 and any(
        piece.isalpha() and piece not in _TRADE and len(piece) <= 3 for piece in pieces
    )


def _is_plain(letters: str, tail: str, passage: Passage, start: int) -> bool:
    """A word run into its figure: "tyre28", "w40" behind "10"."""
    vowels = any(letter in "aeiou" for letter in letters)
    return (len(letters) > 2 and vowels and "-" not in passage.after(start, 5)) or tail in (
        "mm",
        "psi",
        "nm",
        "km",
        "kg",
        "t",
        "bar",
    )

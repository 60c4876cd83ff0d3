"""Temperatures: signs and words for below zero, "25 C", bare degrees, and differences between two places."""

from __future__ import annotations

from collections.abc import Iterator

from triage.extract.forms import form
from triage.extract.numbers import PLAIN, number
from triage.extract.passage import Found, Passage, at_numbers_only
from triage.extract.units import settled

_SMALL_C = form(rf"({PLAIN})\s?(?:c|f)(?!\w|\s?x)", catches="25 c", leaves="25 cm")
_DIFFERENCE = form(
    rf"({PLAIN})\s?(?:°\s?c?|º|degrees?(?: c(?:elsius)?)?)\s(warmer|hotter|cooler|colder)\b",
    catches="30 degrees warmer",
    leaves="30 degrees warm",
)
_BELOW = form(r"(?:(?<!\w)-|\bminus\s?|\bbelow zero\s?|\bnegative\s)$", catches="minus ", leaves="28-")
_BARE_BELOW = form(r"(\d{1,2})(?!\d|[.,:/x%-]\d|\s?(?:mm|to\b|psi|bar|-|°|deg))", catches="5", leaves="5 psi")
_OUT_THERE = form(
    r"\b(?:it's|it is|outside|temperature|weather|down to|night|at|in|was|frosts? of|cold of)\s(?:about\s|around\s|it's\s)?(?:-|minus\s)$",
    catches="outside it's -",
    leaves="stem -",
)
_WARM = (
    "degree", "outside", "hot", "temperature", "celsius", "weather", "cold", "freez", "frost", "snow", "warm", "winter", "summer",
    "garage", "shed", "night", "sun", "wax", "oven",
)  # fmt: skip
_COLD = ("here", "zero", "january", "february", "it is", "it's")
_SO_MANY_BELOW = form(
    r"(\d{1,2})(?:\s?degrees?)?\sbelow(?:\szero|\sfreezing)?(?=[\s.,;!?]|$)(?!\s(?:the|my|that|it|this|its)\b)",
    catches="30 below",
    leaves="30 below the bar",
)
_IN_A_SEASON = form(
    r"(\d{1,2})(?=\s(?:in|at|during|by|of a)\s(?:the\s|a\s)?(?:summer|winter|night|shade|sun|january|february|july|august|morning|garage|shed)\b)",
    catches="35 in summer",
    leaves="35 in the frame",
)
_SIGNED = form(r"(?:\b(plus|minus)\s|(?<!\w)([-+]))$", catches="plus ", leaves="surplus ")
_HOT_POT = ("wax", "paraffin", "fryer")
_HOT_FROM = 40.0
"""In a pot of wax a small c behind as much as this is no tyre."""
_THERMOMETER = form(
    r"\bthermometer\s(?:says|said|reads?|shows?|showed)\s(?:about\s|only\s|just\s)?(\d{2,3})(?!\d|[.,]\d|\s?(?:f\b|°\s?f|fahrenheit))",
    catches="thermometer says 95",
    leaves="thermometer says 200 f",
)
COLDEST, HOTTEST = -45, 300


@at_numbers_only(_DIFFERENCE)
def differences(passage: Passage) -> Iterator[list[Found]]:
    """ "30 degrees warmer than the shop"."""
    for m in passage.at_numbers(_DIFFERENCE):
        sign = 1 if m[2] in ("warmer", "hotter") else -1
        yield [Found("warming_k", sign * number(m[1]), *m.span())]


def is_below_zero(passage: Passage, start: int) -> bool:
    """Whether the number at this place is written with a minus."""
    return _BELOW.search(passage.before(start, 12)) is not None


_FROM_TO = form(
    rf"({PLAIN})\s?(?:°\s?|º\s?)?c\s?(?:and|to)\s(-|minus\s|plus\s)?({PLAIN})\s?(?:°\s?|º\s?)?c(?!\w|\s?(?:x|tyre|tire|tub))",
    catches="5c and 0c",
    leaves="25c and 28 mm",
)


@at_numbers_only(_FROM_TO)
def ranges(passage: Passage) -> Iterator[list[Found]]:
    """ "Between -5C and 0C": one stretch; "25c and 28c" without a large C are tyres."""
    for m in passage.at_numbers(_FROM_TO):
        if passage.cased[m.end() - 1] == "C":
            first = number(m[1]) * (-1 if is_below_zero(passage, m.start()) else 1)
            last = number(m[3]) * (-1 if m[2] in ("-", "minus ") else 1)
            told = passage.before(m.start(), 12)
            if "between" in told or "from" in told or first < 0 or last < 0:
                yield [Found("temperature_degc", (min(first, last), max(first, last)), *m.span())]


@at_numbers_only(_SMALL_C)
def celsius(passage: Passage) -> Iterator[list[Found]]:
    """ "25 C outside", "-10C", "at 35C", "at 68 F": a large letter or the weather tells it from a tyre."""
    for m in passage.at_numbers(_SMALL_C):
        below = is_below_zero(passage, m.start())
        capital = passage.cased[m.end() - 1] in "CF"
        near = passage.text[max(0, m.start() - 30) : m.end() + 30]
        named = any(word in near for word in _WARM) or passage.before(m.start(), 3).endswith(("at ", "is "))
        told = " " in m.group() or named
        tyre = passage.after(m.end(), 10).lstrip().startswith(("tyre", "tire", "on ", "tub"))
        in_the_pot = passage.holds(*_HOT_POT) and _HOT_FROM <= number(m[1]) <= HOTTEST
        if passage.text[m.end() - 1] == "f":
            warmth = settled(number(m[1]), "degF", "temperature_degc")
            if capital and named and not below and COLDEST <= warmth <= HOTTEST:
                yield [Found("temperature_degc", round(warmth, 1), *m.span())]
        elif below or in_the_pot or (capital and told and not (tyre and " " not in m.group())):
            yield [Found("temperature_degc", number(m[1]) * (-1 if below else 1), *m.span())]


def in_a_pot(passage: Passage) -> Iterator[list[Found]]:
    """ "The thermometer in the wax says 95", with no unit."""
    if passage.holds(*_HOT_POT, "slow cooker"):
        for m in passage.around(_THERMOMETER, "thermometer"):
            yield [Found("temperature_degc", float(m[1]), *m.span(1))]


def bare_below_zero(passage: Passage) -> Iterator[list[Found]]:
    """ "outside it's -5", with no unit."""
    frosts = passage.at_numbers(_SO_MANY_BELOW)
    for m in frosts if frosts and passage.holds(*_WARM, *_COLD) else ():
        yield [Found("temperature_degc", -float(m[1]), *m.span())]
    for m in passage.at_numbers(_IN_A_SEASON):
        sign = _SIGNED.search(passage.before(m.start(), 7))
        if sign is not None:
            below = (sign[1] or sign[2]) in ("minus", "-")
            yield [Found("temperature_degc", number(m[1]) * (-1 if below else 1), *m.span(1))]
    for m in passage.at_numbers(_BARE_BELOW):
        before = passage.before(m.start(), 40)
        if not before.endswith("-") and not before[:-1].endswith("minus"):
            continue
        if _OUT_THERE.search(before) and passage.holds(*_WARM):
            yield [Found("temperature_degc", -float(m[1]), *m.span())]

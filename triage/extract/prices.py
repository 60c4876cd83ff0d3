"""What something costs, where two costs are held against each other: an upgrade, a bicycle that has it, a bottle."""

from __future__ import annotations

import re
from collections.abc import Iterator

from triage.extract.forms import form
from triage.extract.numbers import PLAIN, number
from triage.extract.passage import Found, Passage

_AMOUNT = form(
    rf"[£$€]\s?({PLAIN})|(?<![\w.,])({PLAIN})\s?(?:[£$€]|eur\b|euros?\b|quid\b|bucks\b|dollars?\b|pounds\b|francs\b)",
    catches="€45",
    leaves="45 mm",
)
_BARE = form(
    rf"\bcosts?\s(?:me\s|about\s)?({PLAIN})(?=\s?[.,;?!)]|$|\s(?:and|a bottle)\b)",
    catches="costs 9.80, ",
    leaves="costs 10 minutes",
)
_ASKS_FOR = r"(?:costs?|is|are|was|for|at|sets? (?:me|us) back|comes? to|(?:be|been|me|us) (?:quoted|back)|quoted?|sells? for|goes for|asks?|wants?|priced at)(?:\s(?:me|us|only|just|about|around|roughly|some|already|at|from))*\s?$"
_OF_A_BICYCLE = form(
    rf"\b(?:whole|complete|new|used|second-?hand|other|another|entire)\s(?:\w+\s)?(?:bikes?|bicycles?)\b[^.;?!]{{0,44}}\b{_ASKS_FOR}",
    catches="whereas a new bike with it costs ",
    leaves="i bought a new bike with it in ",
)
_OF_AN_UPGRADE = form(
    rf"\b(?:upgrad\w+|conversion|converting|wheels|wheelset|groupset|gears|parts|swap\w*)\b[^.;?!£$€]{{0,60}}\b{_ASKS_FOR}",
    catches="the upgrade would set me back ",
    leaves="the upgrade took me ",
)
_OF_A_BOTTLE = form(
    rf"\b(?:bottle|lube|oil|wax)\b[^.;?!]{{0,40}}\b{_ASKS_FOR}",
    catches="the bottle was ",
    leaves="the bottle holds ",
)
_HELD_AGAINST = (
    "worth",
    "upgrad",
    "instead",
    "whereas",
    "rather",
    "save",
    "conver",
    "or just buy",
    "or buy",
    "would you",
)


def prices(passage: Passage) -> Iterator[Found]:
    """What an upgrade, a bicycle instead of it, or a bottle costs; what was paid for anything else is set aside."""
    if passage.holds("bottle", " ml"):
        for m in (*_AMOUNT.finditer(passage.text), *_BARE.finditer(passage.text)):
            place = _place(m)
            if _OF_A_BOTTLE.search(passage.before(place, 70)):
                yield Found("bottle_price_money", number(m[m.lastindex or 1], "euro"), place, m.end())
                return
    if not passage.holds(*_HELD_AGAINST):
        return
    for m in _AMOUNT.finditer(passage.text):
        before = passage.before(m.start(), 90)
        value = number(m[m.lastindex or 1], "euro")
        if _OF_A_BICYCLE.search(before):
            yield Found("replacement_cost_money", value, *m.span())
        elif _OF_AN_UPGRADE.search(before):
            yield Found("upgrade_cost_money", value, *m.span())


def _place(m: re.Match[str]) -> int:
    return m.start(m.lastindex or 1) if m.re is _BARE else m.start()

"""Numbers without a unit: right behind the word they belong to, right before it, or after one with a unit."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping

from knowledge.base import QuantityKind
from triage.extract.forms import form, word_set
from triage.extract.measures import is_plausible
from triage.extract.numbers import FRACTION, NUMBER, PLAIN, is_fraction, number
from triage.extract.passage import Found, Passage
from triage.extract.roles import may_be
from triage.extract.units import UNIT_PATTERN, is_fitting, settled

_LINK = re.compile(
    r"[\s\"'.]*(?:(?:is|are|was|were|of|=|:|at|about|around|approx\.?|roughly|only|just|it was|it's|measures?|measured|reads?|says|a|an|to|down to|worn to|now|currently|my|width|size|diameter)\s?){0,3}"
)
_BARE = form(
    rf"({NUMBER})(?![\w/x%°\"-]|[.,]\d|\s?(?:{UNIT_PATTERN})(?!\w)|\s?(?:years?|times|of|x|hole|speed|spokes?)\b)",
    catches="1.7",
    leaves="1.7 mm",
)
_BEFORE_CUE = form(
    rf"({PLAIN})(?=\s?(?:actuation\s)?(?:ratio|bcd|pcd|erd|tpi|crosses)\b)",
    catches="1.7 ratio",
    leaves="1.7 and ratio",
)
# Words too general to make a quantity of a bare number behind them.
_TOO_GENERAL = word_set(
    """room space gap clear hole front says run running pump pumped old from wide rated marked stated spec
 used went did it reached measures measure measured pass hill climb descent drop drops rider i'm i am bike load bags total speed speeds
 km miles distance done bought outside hot cold weather degrees left only in over after later every stroke valve gas shoe fork rake
 tyre tire tyres tires tub tubular clincher disc disk spoke spokes wheel sealant axle new deep depth section
 largest smallest biggest up to allows approved should be supposed to be instead of chain load seat
 frame takes takes spacing chainset crankset crank cranks is is internal inner inside channel gears at the back
 ride pulls pull pad pads play rock movement cut tear slit stack spacer spacers front
 """
)
# These name a part; with "is" or "measures" between, the number is that part's.
_WITH_A_VERB = word_set("pad pads frame tyre tire tub crank cranks clincher spacing disc disk stack spacers")
# "Max 180" is a limit where the talk is of rotors, and nothing elsewhere.
_LIMITS = word_set("max maximum limit min minimum stamped printed engraved etched")
_LIMITED = frozenset({"largest_rotor_mm", "rotor_minimum_mm"})
_VERB = re.compile(r"\b(?:is|are|was|were|measures?|measured|reads|of|down to)\b|[=:]")
_AS_PLAIN = ("1", "millimetre", "percent", "1/inch")
_IN_FRACTIONS = frozenset({"steerer_diameter_mm"})
_STEERER = form(
    rf"({FRACTION}|1)(?:\"|\s?inch)?(?=\s(?:\w+\s)?(?:steerer|headset|fork))",
    catches="1 1/8 headset",
    leaves="1 1/8 tyre",
)
_CHAIN_WIDTH = form(
    r"(1/8|3/32|11/128)(?:\"|\s?inch|\s?in)?(?=\s(?:chains?|track chain|sprocket|cog|freewheel|chainring|ring))",
    catches="3/32 sprocket",
    leaves="3/32 tyre",
)
# "90 psi to 40", "10 nm instead of 5", "max 65 psi, I ride it at 45": the second number has the first one's unit.
_FOLLOWS = form(
    rf"[^.;?!\n\d]{{0,34}}?\b(to|at|instead of|rather than|not|only|just|is|it's|says|down to|up to|now|on|use)\s(?:only\s|about\s|around\s|the\s)?({PLAIN})"
    rf"(?![\w/x%°\"'-]|[.,]\d|\s?(?:{UNIT_PATTERN})(?!\w)|\s?(?:years?|times|x|hole|speed|spokes?|tyre|tire|c\b))",
    catches=" to 40",
    leaves=" and 40 mm",
)
_LEAK = (
    "puncture",
    "sunday",
    "monday",
    "friday",
    "saturday",
    "morning",
    "overnight",
    " day",
    "drops",
    "dropped",
    "goes from",
    "went from",
    "fell",
    "falls",
    "lost",
    "loses",
    "losing",
    "hour",
    "week",
    "leak",
    "next",
)
_NEXT_ONE = form(
    rf"(?:\s(?:mm\s)?(?:front|rear|in front|at the front|on the front|up front))(?:\s?(?:,|and|&|/|with)?\s?)({PLAIN})\s?(?:mm\s)?(?=(?:rear|front|behind|at the (?:back|rear)|on the (?:back|rear)))",
    catches=" front 140 rear",
    leaves=" front 140 km",
)
_WHEN_NEW = form(
    rf"\b(?:new (?:it|they|one) (?:was|is|were)|when new(?: it was| was)?|was new at|new was|originally|from new)\s(?:about\s)?({PLAIN})(?!\w)",
    catches="new it was 1.6",
    leaves="new ring 44",
)


class BareReader:
    """Reads bare numbers against the cues of one knowledge base."""

    def __init__(self, kinds: Mapping[str, QuantityKind]) -> None:
        self.kinds = kinds
        self.bare = frozenset(name for name, kind in kinds.items() if kind.unit.pint in _AS_PLAIN)

    def read(self, passage: Passage) -> None:
        """Put what bare numbers state among the passage's findings."""
        for reader in (self._forms, self._behind_their_words, self._followers):
            for found in list(reader(passage)):
                if passage.is_free(found.start, found.end) and is_plausible(
                    found.value, self.kinds[found.name]
                ):
                    passage.found.append(found)
                    passage.taken.append((found.start, found.end))

    def _forms(self, passage: Passage) -> Iterator[Found]:
        for m in passage.at_numbers(_STEERER):
            yield Found("steerer_diameter_mm", round(number(m[1]) * 25.4, 3), *m.span(1))
        for m in passage.at_numbers(_CHAIN_WIDTH):
            yield Found("chain_inner_width_mm", round(number(m[1]) * 25.4, 3), *m.span(1))
        for m in passage.at_numbers(_BEFORE_CUE):
            word = passage.after(m.end(), 16)
            name = "actuation_ratio" if "ratio" in word else "new_bolt_circle_mm" if "cd" in word else None
            name = (
                "effective_rim_diameter_mm" if "erd" in word else "threads_per_in" if "tpi" in word else name
            )
            if name is not None and name in self.kinds:
                yield Found(name, number(m[1]), *m.span(1))
        for m in passage.around(_WHEN_NEW, "new", "originally"):
            for name, base in (
                ("new_rim_wall_mm", "rim_wall_mm"),
                ("new_pad_thickness_mm", "pad_thickness_mm"),
            ):
                if passage.has_found(base):
                    yield Found(name, number(m[1]), *m.span(1))

    def _behind_their_words(self, passage: Passage) -> Iterator[Found]:
        """ "actuation ratio of 1.7", "shell bore 41.95", "steerer is 1-1/8"."""
        cues = sorted(passage.cues, key=lambda cue: (-cue.end, cue.start))
        for m in passage.at_numbers(_BARE):
            for cue in cues:
                if cue.end > m.start() or m.start() - cue.end > 26 or not passage.is_free(cue.start, cue.end):
                    continue
                link = passage.text[cue.end : m.start()]
                if not _LINK.fullmatch(link):
                    continue
                names = tuple(name for name in cue.names if may_be(name, passage))
                found = self._named(names, passage.text[cue.start : cue.end], link, m)
                if found is not None:
                    yield found
                    break

    def _named(self, names: tuple[str, ...], words: str, link: str, m: re.Match[str]) -> Found | None:
        if is_fraction(m[1]):
            names = tuple(name for name in names if name in _IN_FRACTIONS)
        elif words in _LIMITS:
            names = tuple(name for name in names if name in _LIMITED)
        elif len(words) < 3 or (words in _TOO_GENERAL and not (words in _WITH_A_VERB and _VERB.search(link))):
            return None
        for name in names:
            if name not in self.bare:
                continue
            value = number(m[1]) * (25.4 if is_fraction(m[1]) else 1.0)
            if is_plausible(value, self.kinds[name]):
                return Found(name, value, *m.span(1))
        return None

    def _followers(self, passage: Passage) -> Iterator[Found]:
        for first in list(passage.found):
            kind = self.kinds.get(first.name)
            if kind is None or isinstance(first.value, tuple):
                continue
            pair = _NEXT_ONE.match(passage.text, first.end)
            if pair is not None:
                yield Found(first.name, number(pair[1]), *pair.span(1))
            unit = _unit_at(passage, first)
            if unit is None:
                continue
            follows = _FOLLOWS.match(passage.text, first.end)
            if follows is None:
                continue
            between = passage.text[follows.start() : follows.start(2)]
            name = self._role(first, follows[1], between, passage)
            if name is not None and is_fitting(unit, name, self.kinds[name].high):
                yield Found(name, settled(number(follows[2]), unit, name), *follows.span(2))

    def _role(self, first: Found, link: str, between: str, passage: Passage) -> str | None:
        if first.name == "torque_n_m" and link in ("instead of", "rather than", "not", "says", "is"):
            return "stated_torque_n_m"
        if first.name in ("tyre_pressure_kpa", "tyre_max_pressure_kpa", "rim_max_pressure_kpa"):
            if "rim" in between:
                return "rim_max_pressure_kpa"
            if link == "says" and any(word in between for word in ("tyre", "tire", "sidewall", "side wall")):
                return "tyre_max_pressure_kpa"
            if (
                first.name == "tyre_pressure_kpa"
                and link in ("to", "down to", "only", "now", "just")
                and passage.holds(*_LEAK)
            ):
                return "later_pressure_kpa"
            return "tyre_pressure_kpa"
        return None


_UNIT_LAST = re.compile(r"psi|bars?|nm|n·m|n m|kpa")


def _unit_at(passage: Passage, found: Found) -> str | None:
    words = passage.text[found.start : found.end]
    unit = next((m.group() for m in _UNIT_LAST.finditer(words)), None)
    return (
        {"psi": "psi", "bar": "bar", "bars": "bar", "kpa": "kilopascal"}.get(unit, "newton*metre")
        if unit
        else None
    )

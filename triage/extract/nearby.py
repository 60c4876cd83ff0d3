"""Lone numbers weighed against the words near them: how far each word stands, what is usual, and what was found before.

"Inside I make it twenty-one" has its word a few words off; in "0.6 mm on the inner pad and 1.4 on the outer" the second
number takes unit and quantity of the first. Every reading has a cost, and the cheapest one counts if it is cheap enough.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import replace
from functools import lru_cache

from knowledge.base import QuantityKind
from triage.extract.changes import is_taken_back
from triage.extract.forms import form, word_set
from triage.extract.likeness import Likeness
from triage.extract.lone import Lone, lone_numbers
from triage.extract.measures import is_plausible
from triage.extract.numbers import NUMBER, number
from triage.extract.passage import Cue, Found, Passage
from triage.extract.roles import NO_NOUNS, ONLY_BEFORE, may_be
from triage.extract.units import INCH_MM, settled, unit_named

FARTHEST_BEFORE, FARTHEST_BEHIND = 64, 30
"""Letters between a number and its word, on either side."""
DEAREST_BY_WORD, DEAREST_IN_SERIES = 4.0, 4.6
"""A reading that costs more is none."""
_FILLER, _WORD_BETWEEN, _COMMA, _NUMBER_BETWEEN = 0.25, 0.9, 1.2, 1.8
_BEHIND_IS_DEARER = 1.4
_NEAR_USUAL, _UNUSUAL = 0.8, 2.6
_GENERAL_WORD, _USED_WORD, _NAMED_BEFORE = 1.6, 2.0, 0.6
_EACH_MORE_WORD = 0.3
_SERVES, _SERVED_WORD = 14, 0.8
"""A word this close behind a figure that was read belongs to that one: "fifty-five pounds in the back tyre"."""
_SERIES, _OTHER_BETWEEN, _UNLIKE = 1.2, 0.9, 1.5
_FILLER_IN_SERIES, _WORD_IN_SERIES = 0.08, 0.4
_RIGHT_BEHIND = 0.8
"""A word right behind the figure is its noun: "36 teeth and 47 capacity"."""
_SIDE_IS_SAID = 1.5
"""What it takes off the cost that the second number is said to be the other side's: "right 18.2 and left 34.6"."""
_LIKENESS = 0.12
"""What likeness of the whole sentence takes off the cost."""
_OTHER_WORD = 1.3
_WHEN_NEW = frozenset({"new_rim_wall_mm", "new_pad_thickness_mm"})
_ALIKE, _FARTHEST_APART = 1.6, 3.2
"""Two numbers of a series are rarely further apart than this many times."""

_ENDINGS = word_set("mm teeth speeds kgf deg pct kpa n_m kg count spokes crosses per_in links w rpm") | {""}
_NEVER_ALONE = word_set(
    """leak_time_days stated_torque_n_m child_mass_kg total_bend_deg slope_pct hand_force_kgf key_length_mm thick_share_pct
    harder_brake_share_pct road_grip warming_k rider_power_w bolt_circle_mm play_mm new_rim_wall_mm new_pad_thickness_mm gap_width_mm
    steerer_below_top_mm stem_clamp_height_mm largest_rotor_mm tyre_load_limit_kg mass_saving_kg"""
)
"""Their words are too common for a number that stands some way off."""
_ONLY_USUAL = word_set("battery_watt_hours")
"""A lone number that isn't one of the usual ones counts or names them: "two bikes and three batteries"."""
_GENERAL = word_set(
    """front room space gap clearance hole run running pump pumped old wide rated marked min max maximum minimum limit speed
    outside external outer inside inner channel hub wheel wheels axle spindle bike load bags total disc disk rotor frame stem bar bars post
    cut play chain pad pads spoke spokes bore shell stack depth deep gauge wall hot cold used went reached did pitch left right
    panniers luggage trailer section crank cranks crankset chainset lining dropout dropouts spacing hubs id od rise tension says stamped etched
    printed ratio capacity deep profile valve valves reach"""
)
_THE_OLD_ONE = form(r"\b(?:old|present|current|existing)\b", catches=", the old was ", leaves=" older ")
_FILLERS = word_set(
    """is are was were be been plus minus it it's 's its they i i'm i've i'd we a an the my our his her this that these those one ones of at to on in for with
    about around roughly nearly almost just only even still now so there there's here says say said reads read shows measures measure
    measured make makes get gets got have has had comes come out turned turns be exactly approx some by from set up do did run stands
    stand stays per as me him set marked called good bare"""
)
_SIDES = word_set(
    """and or nor but then versus vs against other front rear left right inner outer both side wheel tyre today yesterday now new old while
    ones than nowadays morning currently originally previously first second"""
)
_SOME_TIME_LATER = form(
    r"\b(?:later|overnight|next (?:day|morning))\b", catches="three days later", leaves="latest"
)
"""A leak is not held to what the pressure was before it."""
_NEXT_THOUGHT = re.compile(r"\b(?:and|but|while)\b")
"""A word behind it names nothing of a figure before it: "capacity is 35 and the biggest cog is 32"."""
_OF = re.compile(r"\sof\s(?:the\s|my\s|an?\s)?$")
_INNER_WORD = 0.9
_TOKENS = re.compile(r"[a-z']+|[,:;()]|\d[\d.,]*")
_SENTENCE_END = re.compile(r"[.!?;\n](?=\s|$)|\n")
_LINK = form(
    r",|\b(?:and|or|nor|but|then|versus|vs|against|to|for an?|than|now|was|were|is|are|says?|said|reads?|one|other|while)\b",
    catches=", ",
    leaves=" of ",
)
# Of three rings the middle one is neither the largest nor the smallest.
_PASSED_OVER = form(
    r"\b(?:instead of|rather than|not|never|middle(?:\s(?:one|ring|chainring))?(?:\s(?:is|has|of))?)\s(?:an?\s|the\s)?$",
    catches="instead of ",
    leaves="in place of ",
)
_TALL = form(r"(?:\s?cm)?\s(?:tall|in height)\b", catches=" tall", leaves=" long")
_TALK = {
    "kg": ("kg", "kilo", "weigh", "heavy", "mass", "load", "scale", "stone"),
    "n_m": ("nm", "n·m", "newton", "torque", "tight", "wrench", "n m"),
    "kpa": ("psi", "bar", "pressure", "pump", "inflat", "kpa", "pounds", " air", "kg/cm"),
    "pct": (
        "%",
        "percent",
        "per cent",
        "wear",
        "worn",
        "checker",
        "gauge",
        "tool",
        "stretch",
        "elongat",
        "chain",
    ),
    "kgf": ("tension", "kgf", "slack", "tight", "loose"),
    "teeth": (
        "teeth",
        "tooth",
        "ring",
        "sprocket",
        "cog",
        "cassette",
        "block",
        "gear",
        "mech",
        "derailleur",
        "chain",
    ),
}
"""A lone number is in such a unit only where the talk is of what is stated in it."""
_LENGTHS_IN_CM = 390.0
_WRITTEN_IN_FOUND = re.compile(NUMBER)
_LONE_UNIT = form(
    r"\b(?:in|reads|shows|marked|scale|gauge|uses|unit is)\s(?:in\s)?(bars?|psi|kpa|kg ?/ ?cm ?(?:²|2|\^2)|atm|atmospheres)(?!\w)",
    catches="marked in bar",
    leaves="5 bar",
)
_FIRST_PSI = 14.0
"""A lone pressure below this is in bar, from here in psi."""


class NearbyReader:
    """Weighs the readings of lone numbers against the cues of one knowledge base."""

    def __init__(self, kinds: Mapping[str, QuantityKind], likeness: Likeness) -> None:
        self.kinds = kinds
        self.likeness = likeness
        self.names = frozenset(
            name for name, kind in kinds.items() if kind.unit.ending in _ENDINGS and name not in _NEVER_ALONE
        )
        self.cost_of_range = lru_cache(maxsize=8192)(self._cost_of_range)

    def read(self, passage: Passage) -> None:
        """Put what lone numbers state among the passage's findings, in the order of writing."""
        lone = list(lone_numbers(passage))
        if not lone:
            return
        cues = _longest(passage)
        for one in lone:
            if _PASSED_OVER.search(passage.before(one.start, 20)) or _TALL.match(passage.text, one.end):
                continue
            start, end = _sentence(passage.text, one)
            near = self.likeness.near(passage.text[start : one.start], passage.text[one.end : end])
            best: tuple[float, Found] | None = None
            for cost, found in (
                *self._by_words(one, cues, passage, start, end),
                *self._in_series(one, cues, passage, start, end),
                *self._in_a_named_unit(one, passage),
            ):
                if isinstance(found.value, float):
                    cost -= _LIKENESS * self.likeness.of(found.name, near, found.value)
                if best is None or cost < best[0]:
                    best = cost, found
            if best is not None:
                passage.found.append(best[1])
                passage.taken.append((one.start, one.end))

    def _by_words(
        self, one: Lone, cues: list[Cue], passage: Passage, start: int, end: int
    ) -> Iterator[tuple[float, Found]]:
        stretch = one.start, one.end
        if is_taken_back(passage, one.start):
            # A correction stands in the place of the figure before it.
            place = max((at for at in passage.starts if start <= at < one.start), default=one.start)
            one = Lone(one.value, place, one.end, one.is_signed)
        for cue in cues:
            if cue.start < start or cue.end > end:
                continue
            words = passage.text[cue.start : cue.end]
            if words in NO_NOUNS:
                continue
            way = _way(cue, words, one, passage)
            if way is None:
                continue
            for name in cue.names:
                if (
                    name not in self.names
                    or not may_be(name, passage)
                    or not self._is_talked_of(name, passage)
                ):
                    continue
                for value in self._values(one.value, name, passage):
                    if one.is_signed and (self.kinds[name].low or 0.0) >= 0:
                        continue
                    reach = self.cost_of_range(name, value)
                    if reach is None or (reach > 0 and name in _ONLY_USUAL):
                        continue
                    if words in _GENERAL and reach > _NEAR_USUAL:
                        continue
                    cost = way + reach + (_NAMED_BEFORE if passage.has_found(name) else 0.0)
                    if cost <= DEAREST_BY_WORD:
                        yield cost, Found(name, value, *stretch)

    def _suits(self, cue: Cue, one: Lone, passage: Passage) -> bool:
        """Whether the number may be what this word names."""
        return any(
            name in self.names
            and may_be(name, passage)
            and (self.cost_of_range(name, one.value) or 0.0) <= _NEAR_USUAL
            and is_plausible(one.value, self.kinds[name])
            for name in cue.names
        )

    def _in_a_named_unit(self, one: Lone, passage: Passage) -> Iterator[tuple[float, Found]]:
        """ "The gauge is marked in bar, and I stop at 5": a unit that stands alone holds for what follows."""
        alone = _LONE_UNIT.search(passage.text, 0, one.start)
        unit = unit_named(alone[1]) if alone is not None else None
        if unit is not None and not passage.has_found("tyre_pressure_kpa"):
            value = settled(one.value, unit, "tyre_pressure_kpa")
            reach = self.cost_of_range("tyre_pressure_kpa", value)
            if reach is not None and reach <= _NEAR_USUAL:
                yield DEAREST_BY_WORD, Found("tyre_pressure_kpa", value, one.start, one.end)

    def _in_series(
        self, one: Lone, cues: list[Cue], passage: Passage, start: int, end: int
    ) -> Iterator[tuple[float, Found]]:
        for first in passage.found:
            if first.start < start - FARTHEST_BEFORE or first.end > end or first.name not in self.kinds:
                continue
            before = first.end <= one.start
            between = passage.text[first.end : one.start] if before else passage.text[one.end : first.start]
            if len(between) > FARTHEST_BEFORE or _LINK.search(between) is None or "\n" in between:
                continue
            if one.is_signed and (self.kinds[first.name].low or 0.0) >= 0:
                continue
            value = _in_same_unit(one.value, first, passage)
            if value is None or first.name in _NEVER_IN_SERIES or self._is_said_again(value, first, passage):
                continue
            name = _other_side(first.name, between)
            reach = self.cost_of_range(name, value)
            last = first.value[1] if isinstance(first.value, tuple) else first.value
            if reach is None or not last or not 1 / _FARTHEST_APART <= value / last <= _FARTHEST_APART:
                continue
            others = sum(
                1 for f in passage.found if min(first.end, one.end) <= f.start < max(first.start, one.start)
            )
            cost = _SERIES + _OTHER_BETWEEN * others + reach
            cost += sum(
                _FILLER_IN_SERIES if token in _FILLERS or token in _SIDES else _WORD_IN_SERIES
                for token in _TOKENS.findall(between)
                if token[0].isalpha()
            )
            is_alike = 1 / _ALIKE <= value / last <= _ALIKE or (
                first.name == "tyre_pressure_kpa" and _SOME_TIME_LATER.search(between) is not None
            )
            cost += 0.0 if is_alike else _UNLIKE
            cost += 0.0 if before else _BEHIND_IS_DEARER
            cost += 1.5 if first.start < start else 0.0
            low, high = (first.end, one.start) if before else (one.end, first.start)
            cost -= _SIDE_IS_SAID if name != first.name else 0.0
            cost += _OTHER_WORD * any(
                low <= cue.start
                and cue.end <= high
                and first.name not in cue.names
                and self._suits(cue, one, passage)
                for cue in cues
            )
            if cost <= DEAREST_IN_SERIES:
                if not before or name in _WHEN_NEW or _THE_OLD_ONE.search(between):
                    name = name.removeprefix("new_")
                yield cost, Found(name, value, one.start, one.end)

    def _is_said_again(self, value: float, first: Found, passage: Passage) -> bool:
        """ "Is 38 and 34 enough?": teeth that were told of another part are of that one again."""
        return self.kinds[first.name].unit.ending == "teeth" and any(
            found.value == value and found.name != first.name and found.name.endswith("_teeth")
            for found in passage.found
        )

    def _is_talked_of(self, name: str, passage: Passage) -> bool:
        talk = _TALK.get(self.kinds[name].unit.ending)
        return talk is None or passage.holds(*talk)

    def _values(self, value: float, name: str, passage: Passage) -> Iterator[float]:
        kind = self.kinds[name]
        if kind.unit.ending == "kpa":
            yield settled(value, _pressure_unit(value, passage), name)
            return
        yield value
        if kind.unit.ending == "mm" and (kind.usual_low or 0.0) >= _LENGTHS_IN_CM:
            yield value * 10.0
        if name == "tyre_width_mm" and value != int(value):
            yield round(value * INCH_MM, 1)

    def _cost_of_range(self, name: str, value: float) -> float | None:
        kind = self.kinds[name]
        if not is_plausible(value, kind):
            return None
        low, high = kind.usual_low, kind.usual_high
        if low is None or high is None:
            return _NEAR_USUAL
        if low <= value <= high:
            return 0.0
        more = max(0.5 * (high - low), 0.25 * abs(high))
        return _NEAR_USUAL if low - more <= value <= high + more else _UNUSUAL


_NEVER_IN_SERIES = word_set(
    "leak_time_days distance_km age_years altitude_m temperature_degc rider_mass_kg tyre_load_limit_kg mass_limit_kg bead_seat_diameter_mm"
)


def _longest(passage: Passage) -> list[Cue]:
    """Cues of which nothing is spoken for, those inside a longer one left out unless they begin or end it."""
    kept: list[Cue] = []
    for cue in sorted(passage.cues, key=lambda cue: cue.start - cue.end):
        if not passage.is_free(cue.start, cue.end):
            continue
        over = [k for k in kept if cue.start < k.end and k.start < cue.end]
        if not over:
            kept.append(cue)
        elif all(cue.start == k.start or cue.end == k.end for k in over):
            kept.append(replace(cue, is_inner=True))
    ends = {cue.end for cue in kept if not cue.is_inner}
    return [replace(cue, is_inner=True) if _is_owner(cue, ends, passage) else cue for cue in kept]


def _is_owner(cue: Cue, ends: set[int], passage: Passage) -> bool:
    """Whether it only says whose the word before it is: "the axle length of the bottom bracket"."""
    of = _OF.search(passage.before(cue.start, 9))
    return of is not None and cue.start - len(of[0]) in ends


def _sentence(text: str, one: Lone) -> tuple[int, int]:
    first, last = max(0, one.start - FARTHEST_BEFORE - 40), min(len(text), one.end + FARTHEST_BEHIND + 40)
    start = max((m.end() for m in _SENTENCE_END.finditer(text, first, one.start)), default=first)
    stop = _SENTENCE_END.search(text, one.end, last)
    return start, stop.start() if stop else last


def _way(cue: Cue, words: str, one: Lone, passage: Passage) -> float | None:
    """What it costs to go from a word to the number; None where it is out of reach."""
    behind = cue.start >= one.end
    if behind:
        if words in ONLY_BEFORE or cue.start - one.end > FARTHEST_BEHIND:
            return None
        between = passage.text[one.end : cue.start]
        if "," in between or _NEXT_THOUGHT.search(between) is not None:
            return None
    elif cue.end <= one.start:
        if one.start - cue.end > FARTHEST_BEFORE:
            return None
        between = passage.text[cue.end : one.start]
    else:
        return None
    cost = 0.0
    for token in _TOKENS.findall(between):
        if token[0].isdigit():
            cost += _NUMBER_BETWEEN
        elif not token[0].isalpha():
            cost += _COMMA
        else:
            cost += _FILLER if token in _FILLERS else _WORD_BETWEEN
    cost -= _EACH_MORE_WORD * words.count(" ")
    if words in _GENERAL:
        cost += _GENERAL_WORD
    if cue.is_inner:
        cost += _INNER_WORD
    if any(f.name in cue.names and f.start >= cue.end and f.start - cue.end < 12 for f in passage.found):
        cost += _USED_WORD
    if any(0 <= cue.start - f.end <= _SERVES for f in passage.found):
        cost += _SERVED_WORD
    if behind and passage.text[one.end : cue.start] == " ":
        cost -= _RIGHT_BEHIND
    return cost * _BEHIND_IS_DEARER if behind and cost > 0 else cost


def _in_same_unit(value: float, first: Found, passage: Passage) -> float | None:
    """The number in the unit in which the first one was written; None where that cannot be told."""
    written = _WRITTEN_IN_FOUND.findall(passage.text[first.start : first.end])
    last = first.value[1] if isinstance(first.value, tuple) else first.value
    figures = [number(text) for text in written]
    if not figures or any(figure == 0 for figure in figures):
        return None
    if last in figures:
        return value
    if len(figures) > 1 and not isinstance(first.value, tuple):
        return None
    return value * last / figures[-1]


def _pressure_unit(value: float, passage: Passage) -> str:
    alone = _LONE_UNIT.search(passage.text)
    unit = unit_named(alone[1]) if alone is not None else None
    return unit or ("bar" if value < _FIRST_PSI else "psi")


_OPPOSITES = (
    ("left_", "right_", re.compile(r"\bright\b")),
    ("right_", "left_", re.compile(r"\bleft\b")),
    ("smallest_", "largest_", re.compile(r"\b(?:outer|big(?:ger|gest)?|large[rst]*|top)\b")),
    ("largest_", "smallest_", re.compile(r"\b(?:inner|small(?:er|est)?|little|granny)\b")),
)


def _other_side(name: str, between: str) -> str:
    """ "The left one 71 and the right one 76": the side that the second number names."""
    for side, other, said in _OPPOSITES:
        if name.startswith(side) and said.search(between):
            return other + name.removeprefix(side)
    return name

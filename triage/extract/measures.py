"""Numbers with a unit: which quantity each one states, the nearest words decide."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

from knowledge.base import QuantityKind
from triage.extract.changes import is_taken_back
from triage.extract.forms import form
from triage.extract.likeness import Likeness
from triage.extract.numbers import NUMBER, number
from triage.extract.passage import Cue, Found, Passage
from triage.extract.roles import (
    ANGLES,
    HELD_AGAINST,
    NEVER_DOUBTED,
    NO_NOUNS,
    ONLY_BEFORE,
    ONLY_RIGHT_BEHIND,
    SIZES,
    TURNED,
    UPPER_LIMITS,
    WITHOUT_CUE,
    may_be,
)
from triage.extract.temperatures import is_below_zero
from triage.extract.units import UNIT_PATTERN, is_fitting, settled, unit_named

_ENDS = r"(?:front|rear|back|in front|at the back)"
MEASURE = form(
    rf"({NUMBER})(?:\s?(?:{UNIT_PATTERN})?\s?(?:-|to|or|and|vs\.?|versus|/|,?\s?(?:in the\s)?{_ENDS}(?:\s?(?:,|and|/|&)?\s?{_ENDS})?)\s?({NUMBER}))?\s?-?({UNIT_PATTERN})(?!\w)",
    catches="70 rear 75 psi",
    leaves="70 rear",
)
_SIMPLE = form(rf"({NUMBER})()\s?-?({UNIT_PATTERN})(?!\w)", catches="70 psi", leaves="70 spokes")
_FIRST_UNIT = re.compile(rf"\s?({UNIT_PATTERN})(?!\w)")
_LINK = re.compile(
    r"[\s\"']*(?:(?:is|are|was|were|of|at|to|=|:|about|around|approx\.?|roughly|nearly|only|says|measures?|reads|weighs?|max|just|a|an|it's|has|size|some|by|now|up|down)\s?){0,3}"
)
_BACK_LINK = re.compile(
    r"[\s\"']*(?:(?:of|in the|in|on the|on my|on|for the|for|at the|at)\s)?(?:(?:the|my|a|that|this|old|new|tight|front|rear)\s)?"
)
_LOSS = form(
    r"\b(?:los(?:es?|ing|t)|gain(?:s|ed|ing)?|adds?|added|drops? by|dropped by|down by|by|more|less)\s(?:about |around |only |some |roughly |up to )?$",
    catches="lose about ",
    leaves="down to ",
)
_OWN_NUMBER = re.compile(r"\s?(?:is|are|of|at|=|:|says)\s?\d")
_IS_IT = form(
    r"(?:^|[.,;:?!]\s*|\b(?:and|or|so|but|whether|if|wonder|think)\s)(?:is|are|would|isn't|aren't)\s(?:about |around |only |just )?$",
    catches="32 mm, is ",
    leaves="the tyre is ",
)
_MORE_OR_LESS = form(
    r"\)?\s(?:too\s|shorter|longer|wider|narrower|more\b|less\b|bigger|smaller|higher|lower|further|different|difference|out of|short\b|off\b)",
    catches=" too short",
    leaves=" wide",
)
_EACH_TIME = form(
    r"\s(?:per|a|an|each|every)\s(?:day|night|week|month|hour|ride)\b|\sovernight\b",
    catches=" a day",
    leaves=" a tyre",
)
_CLAUSE_END = re.compile(r"[.!?;\n](?=\s|$)|[;\n]")
_AND = re.compile(r"\b(?:and|with|but|plus|while|although|on|for|at)\b|,")
WINDOW = 48
MOST_IN_A_STRETCH = 1.4
"""Two masses joined by "and" are a stretch only where they lie near each other."""
SAME_PRESSURE = 0.05
"""By how much one pressure in two units may differ, as both are rounded when they are printed."""
_NEXT_CLAUSE = 4.0
"""Letters of distance that a comma behind a figure costs: "2 mm out, spokes are tight" says nothing of the spokes."""
_LIKENESS, _UNUSUAL = 0.3, 1.0
"""Letters of distance that likeness to the sentence is worth, and that an unusual value costs."""
MOST_READINGS, NEARLY = 4, 7.0
"""Other quantities that a number may be, as long as their words stand nearly as near."""
BESIDE = 1.5
"""A figure that cannot be is doubted only right beside its word, and only where ten times or a tenth could be."""
_SLIPS = ("millimetre", "centimetre", "inch", "bar", "psi", "kilogram")
LIGHTEST_UNNAMED_RIDER_KG = 35
"""A mass of which nothing says whose it is may be luggage below this."""
_WHEEL_INCHES = (12, 14, 16, 18, 20, 22, 24, 26, 26.5, 27, 27.5, 28, 28.5, 29, 32, 36)

# Numbers with a unit that are a gradient, an age or a stage of a rider's day.
_SLOPE_AFTER = form(
    r"\s(?:for|over|average|avg|climbs?|hills?|slopes?|gradients?|descents?|grades?|ramps?|incline|stuff|walls?|lanes?|roads?)\b",
    catches=" for 5 km",
    leaves=" worn",
)
_SLOPE_BEFORE = form(
    r"\b(?:descent|descending|climbing|downhill|uphill|drop|dropping)\s(?:is\s)?at\s(?:an?\s)?(?:average\s(?:of\s)?)?(?:about\s|around\s)?$|"
    r"\b(?:low|easy|light|small|right|good|gears?|gearing|geared|geared up|all right|ok|fine|cope|manage|do|get)\s(?:enough\s)?(?:for|on|up)\s(?:an?\s|the\s|those\s|some\s|about\s|my\s|long\s){0,3}$|"
    r"\b(?:winch|climb|grind|crawl|spin|twiddl|haul|pedal|drag|push|rid|gett?)(?:e|es|s|ing)?\s(?:(?:me|it|myself|the bike|slowly)\s)?up\s(?:an?\s|the\s|those\s|some\s|about\s)?$|"
    r"\b(?:km|kilomet(?:re|er)s?|miles?|metres?|meters?)\s(?:long\s)?at\s(?:an?\s)?(?:average\s(?:of\s)?)?(?:about\s|around\s)?$",
    catches="winch up ",
    leaves="power is up ",
)
_SAYS = form(
    r"\b(rims?|tyres?|tires?|sidewalls?|side walls?)\b[^,.;?!\d]{0,16}\b(?:says?|states?|sticker|allows?|exceed|limit(?: is| of)?|printed|marked)\b[^,.;?!\d]{0,18}$",
    catches="rim sticker says max ",
    leaves="rim runs ",
)
_MOST_SAID = form(
    r"\bmax(?:imum)?\b[^,.;?!\d]{0,24}\b(rims?|tyres?|tires?|sidewalls?|side walls?)\b(?:\s(?:is|of|at|says))?[\s:=]*$",
    catches="max pressure on the tyre sidewall ",
    leaves="max pressure ",
)
_HIGHEST = form(
    r"\b(?:max(?:imum|\.)?|highest|top|upper)\s(?:(?:rim|tyre|tire|air|permitted|allowed|recommended)\s){0,2}(?:pressure|psi)(?:\s(?:is|of|at|says?|for|them|it|these|this|the|rims?|tyres?|tires?|wheels?))*[\s:=]*$",
    catches="highest rim pressure ",
    leaves="my pressure is ",
)
_MAX_BEHIND = form(
    rf"(?:\s?[/(=]\s?{NUMBER}\s?(?:psi|bars?|kpa)\)?)?\s?\(?max(?:imum|\.)?\b(?!\s(?:pressure\s)?(?:of|is|for)\b)",
    catches=" / 73 psi max",
    leaves=", max is 80 psi",
)
_BEARS_PRESSURE = form(
    r"\b(?:(?P<rim>rims?|wheels?|wheelsets?)|(?P<tyre>tyres?|tires?|tubs?|tubulars?|sidewalls?)|(?P<pump>pumps?|compressor))\b",
    catches="the rim data",
    leaves="the trim",
)
"""What was named last before a highest pressure is what it belongs to; without any it is the tyre's."""
_FAR_BACK = 130
_SAME_AGAIN = form(r"^\s?(?:[/=(]|or|that's|which is)\s?(?:about\s)?$", catches=" / ", leaves=" and the rim ")
_READING = form(
    r"\b(?:measur(?:e|es|ed|ing)|reads?|i get|i got|is at|are at|down to|worn to|now|currently|calliper says|caliper says)\b[^.,;?!\d]{0,16}$",
    catches="i measure ",
    leaves="minimum ",
)
_AIR_BEFORE = form(
    r"\b(?:pump\w*|inflat\w*|pressure|air|tyres?|tires?|tubs?|gauge|psi)\b[^.;?!]{0,32}$",
    catches="i pump the tyres to about ",
    leaves="my bags weigh ",
)
_AIR_BEHIND = form(
    r"[^.,;?!\d]{0,14}\b(?:front|rear|back|tyres?|tires?|tubs?|pressure|air)\b(?!\s(?:rack|bag|pannier))",
    catches=" in the back tyre",
    leaves=" on the rear rack",
)
_WEIGHED = form(
    r"\b(?:weigh\w*|weight|heav\w*|light\w*|luggage|bags?|panniers?|load\w*|rider|scales?|i'm|i am|torque|tight\w*)\b[^.;?!]{0,32}$",
    catches="i weigh about ",
    leaves="i run about ",
)
_ASKED_OF_A_GAP = form(
    r"\b(?:recommends?|recommended|requires?|required|suggests?|wants?|asks? for|demands?|specif\w+|you need|one needs|should be|must be|says you need|"
    r"says there should be|supposed to be)\b[^.;?!\d]{0,28}$",
    catches="the standard wants at least ",
    leaves="there is about ",
)
_NO_MORE_THAN_A_RULE = ("tyre_clearance_mm",)
"""What somebody asks for is not what the rider has."""
_LATER = "later_pressure_kpa"
_FOR_LENGTHS = ("mile", "kilometre")
"""Units in which a road is told, and a hill's height only where its word says so."""
_HEIGHT_TOLD = form(
    r"\b(?:vertical(?:ly)?|in height|of height|height|altitude|elevation|drops?|dropping|drop of|los(?:e|es|ing)|higher|lower)\b",
    catches="drops 1.2 km in height",
    leaves="a descent of 12 km",
)
_PAID = form(
    r"\b(?:pay|paying|paid|costs?|costing|spend|spending|spent|prices?|priced|charges?|charged|charging|quoted?|quotes|asks|asking|budget|cheaper|dearer|saves?|saving)\b"
    r"(?:\s(?:me|us|you|him|her|only|just|about|around|over|under|some|an?|the|extra|another|nearly|almost|of|is|at|for|by|up|to)){0,3}\s$",
    catches="is it worth paying ",
    leaves="the bike is cheaper and i weigh ",
)
"""Pounds that somebody pays weigh nothing."""
_OF_WEATHER = form(
    r"[\s-](?:temps?|temperatures?|weather|days?|mornings?|nights?|heat|cold|outside)\b",
    catches=" temps",
    leaves=" stem",
)
_OF_DOING = form(r"\sof\s(?:not\s)?\w+ing\b", catches=" of not riding", leaves=" of rain")
_OF_SOMETHING = form(r"\sof\s(?!frost|heat|cold|warmth|temp)", catches=" of severity", leaves=" of frost")
"""One degree or another of noise is no temperature."""
_GAUGED = form(
    r"\b(?:is|at|past|over|shows?|reads?|says?)\s(?:about\s|already\s)?$",
    catches="this one is at ",
    leaves="it costs ",
)
MOST_GAUGED_PCT = 1.5
"""No gauge for chains reads more."""
_AN_ANGLE = ("angle", "yoke", "parallel")
_OLD = form(r"[\s-]old\b", catches=" old", leaves=" ago")


@dataclass(frozen=True, slots=True)
class Measure:
    """A number, or two, with their unit, and where they stand."""

    numbers: tuple[float, ...]
    unit: str
    start: int
    end: int


class MeasureReader:
    """Reads numbers with units against the cues of one knowledge base."""

    def __init__(self, kinds: Mapping[str, QuantityKind]) -> None:
        self.kinds = kinds
        self.likeness = Likeness(kinds)
        self.fitting = lru_cache(maxsize=256)(self._fitting)

    def _fitting(self, unit: str) -> frozenset[str]:
        units = ("degC", "degree") if unit == "degree" else (unit,)
        return frozenset(
            name for name, kind in self.kinds.items() if any(is_fitting(u, name, kind.high) for u in units)
        )

    def measures(self, passage: Passage) -> list[Measure]:
        """Every number with a unit that nothing else has read."""
        found: list[Measure] = []
        for start in passage.starts:
            if found and start < found[-1].end:
                continue
            match = MEASURE.match(passage.text, start)
            if match is None:
                continue
            if not self._is_pair(match) or not passage.is_free(*match.span()):
                match = _SIMPLE.match(passage.text, start)
            if match is None or not passage.is_free(*match.span()):
                continue
            measure = _measured(match, passage)
            if measure is not None:
                found.append(measure)
        return found

    @staticmethod
    def _is_pair(match: re.Match[str]) -> bool:
        if match[2] is None:
            return True
        between = match.group()[len(match[1]) : match.start(2) - match.start()]
        unit = unit_named(match[3])
        first_unit = _FIRST_UNIT.match(between)
        if first_unit is not None:
            return unit_named(first_unit[1]) == unit and not any(
                word in between for word in ("front", "rear", "back")
            )
        if unit in ("kilogram", "pound", "stone") and "and" in between:
            # "I'm 184 and 79 kg" are a height and a mass.
            low, high = sorted((number(match[1]), number(match[2])))
            return high <= MOST_IN_A_STRETCH * low
        return "/" not in between or unit in ("psi", "bar", "kilopascal")

    def read(self, passage: Passage, doubts: list[tuple[str, str]]) -> None:
        """Put the quantities of all measures among the passage's findings."""
        measures = self.measures(passage)
        if not measures:
            return
        cues = _by_length(passage, measures)
        owners = [_owner(cue, measures, passage) for cue in cues]
        ruled = -1
        for index, measure in enumerate(measures):
            if measure.unit in ("psi", "bar") and _is_loss(measure, passage):
                passage.taken.append((measure.start, measure.end))
                continue
            kinds, impossible = self._kinds_of(index, measures, passage, cues, owners)
            kinds = self._against_its_limit(measure, kinds, passage)
            if kinds and kinds[0].name in _NO_MORE_THAN_A_RULE and _is_a_rule(measure, ruled, passage):
                passage.taken.append((measure.start, measure.end))
                ruled = measure.end
                continue
            if not kinds and impossible is None and self._is_the_other_gauge(measure, passage):
                impossible = self.kinds["tyre_pressure_kpa"]
            if not kinds and impossible is not None:
                doubts.append(
                    (
                        impossible.name,
                        doubt_about(passage.cased[measure.start : measure.end].strip(), impossible),
                    )
                )
            if not kinds and impossible is None:
                kinds = self._as_before(measure, index, measures, passage) or self._most_like(
                    measure, passage
                )
            if _falls(measure, kinds, passage):
                passage.found += self._before_and_after(measure)
                kinds = []
                passage.taken.append((measure.start, measure.end))
            for kind in kinds:
                passage.found.append(Found(kind.name, self._value(measure, kind), measure.start, measure.end))
            if kinds or impossible:
                passage.taken.append((measure.start, measure.end))

    def _before_and_after(self, measure: Measure) -> list[Found]:
        """ "From 30 psi to 12": no stretch but two readings, one after the other."""
        names = ("tyre_pressure_kpa", "later_pressure_kpa")
        return [
            Found(name, settled(number_, measure.unit, name), measure.start, measure.end)
            for name, number_ in zip(names, measure.numbers, strict=True)
        ]

    def _value(self, measure: Measure, kind: QuantityKind) -> float | tuple[float, float]:
        values = [settled(n, measure.unit, kind.name) for n in measure.numbers]
        if kind.name in UPPER_LIMITS:
            return max(values)
        if len(values) == 1 or values[0] == values[1]:
            return values[0]
        return min(values), max(values)

    def _kinds_of(
        self,
        index: int,
        measures: Sequence[Measure],
        passage: Passage,
        cues: Sequence[Cue],
        owners: Sequence[int | None],
    ) -> tuple[list[QuantityKind], QuantityKind | None]:
        """The quantities whose cues stand near, the nearest first, or the one whose word fits but whose value cannot be."""
        measure = measures[index]
        special = self._by_form(measure, passage)
        if special is not None:
            return special, None
        start, end = _clause(passage.text, measure.start, measure.end)
        fitting_names = self.fitting(measure.unit)
        is_difference = _is_difference(measure, passage)
        scored: dict[str, float] = {}
        impossible: tuple[float, QuantityKind] | None = None
        for own_only, inner_too in ((True, False), (True, True), (False, True)):
            for cue, owner in zip(cues, owners, strict=True):
                if cue.end <= start or cue.start >= end or (own_only and owner not in (None, index)):
                    continue
                if cue.is_inner and not inner_too:
                    continue
                if own_only and owner is None and _stands_between(measures, cue, measure):
                    continue
                words = passage.text[cue.start : cue.end]
                if cue.start >= measure.end and words in ONLY_BEFORE:
                    continue
                if words in ONLY_RIGHT_BEHIND and not 0 <= cue.start - measure.end <= 1:
                    continue
                distance = _distance(cue, measure, passage.text)
                if owner == index:
                    distance = min(distance, 1.0)
                for name in cue.names:
                    if name not in fitting_names:
                        continue
                    if name == _LATER and "," in passage.text[measure.end : cue.start]:
                        # "90 psi on Monday, three days later 55": the later one is still to come.
                        continue
                    kind = self.kinds[name]
                    if not may_be(name, passage) or (is_difference and name in SIZES):
                        continue
                    if name == "descent_height_m" and _is_a_length(measure, passage.text[start:end]):
                        continue
                    if self._is_plausible(measure, kind):
                        scored[name] = min(distance, scored.get(name, 1e9))
                    elif own_only and not cue.is_inner and (impossible is None or distance < impossible[0]):
                        impossible = (distance, kind)
            if scored or (inner_too and (impossible is not None or self._default(measure, passage))):
                break
        if measure.unit == "degree" and any(name in ANGLES for name in scored):
            scored = {name: d for name, d in scored.items() if name in ANGLES}
        if len(scored) > 1:
            scored = self._weighed(
                scored, measure, passage.text[start : measure.start], passage.text[measure.end : end]
            )
        best = min(scored.values(), default=1e9)
        if scored and measure.unit == "centimetre" and impossible is not None and impossible[0] < best:
            # "A rim which is 19 cm inside": the nearer word says what it is, and the unit is a slip.
            slip = self._slip(measure, impossible, passage)
            if slip is not None and is_usual(settled(measure.numbers[0] / 10, measure.unit, slip.name), slip):
                return [], slip
        if scored:
            ranked = sorted(scored, key=lambda name: (scored[name], not self._is_kin(name, passage)))
            if ranked[0] == "tyre_max_pressure_kpa" and _speaks_of_the_rim(
                passage.text[start : measure.start]
            ):
                ranked.insert(0, "rim_max_pressure_kpa")
                scored["rim_max_pressure_kpa"] = best
            return [
                self.kinds[name] for name in ranked[:MOST_READINGS] if scored[name] <= best + NEARLY
            ], None
        default = self._default(measure, passage)
        if default:
            return default, None
        return [], self._slip(measure, impossible, passage)

    def _weighed(
        self, scored: Mapping[str, float], measure: Measure, before: str, behind: str
    ) -> dict[str, float]:
        """The distances, each less for what the whole sentence speaks of, more for what would be unusual."""
        near = self.likeness.near(before, behind)
        weighed = {}
        for name, distance in scored.items():
            value = settled(measure.numbers[0], measure.unit, name)
            weighed[name] = distance - _LIKENESS * self.likeness.of(name, near, value)
            weighed[name] += 0.0 if is_usual(value, self.kinds[name]) else _UNUSUAL
        return weighed

    def _against_its_limit(
        self, measure: Measure, kinds: list[QuantityKind], passage: Passage
    ) -> list[QuantityKind]:
        """ "Min 1.5 and I measure 1.42": the second is no second limit but what is held against it."""
        if not kinds or kinds[0].name not in HELD_AGAINST:
            return kinds
        limit, held = kinds[0].name, self.kinds[HELD_AGAINST[kinds[0].name]]
        told = _READING.search(passage.before(measure.start, 32)) is not None
        if (told or passage.has_found(limit)) and self._is_plausible(measure, held):
            return [held]
        return kinds

    def _is_kin(self, name: str, passage: Passage) -> bool:
        """Of "new wall" and "new pad", the one whose old figure was named."""
        return name.startswith("new_") and passage.has_found(name.removeprefix("new_"))

    def _by_form(self, measure: Measure, passage: Passage) -> list[QuantityKind] | None:
        """What the words right behind settle: "8 % for 5 km", "10 years old"."""
        text, name = passage.text, None
        if measure.unit == "percent" and (
            _SLOPE_AFTER.match(text, measure.end) or _SLOPE_BEFORE.search(passage.before(measure.start))
        ):
            name = "slope_pct"
        if measure.unit in ("psi", "bar", "kilopascal"):
            before = passage.before(measure.start, 64)
            said = _SAYS.search(before[-48:]) or _MOST_SAID.search(before)
            if said is not None:
                name = "rim_max_pressure_kpa" if said[1].startswith("rim") else "tyre_max_pressure_kpa"
            elif _HIGHEST.search(before) is not None or _MAX_BEHIND.match(text, measure.end):
                named = list(_BEARS_PRESSURE.finditer(passage.before(measure.start, _FAR_BACK)))
                owner = named[-1].lastgroup if named else "tyre"
                if owner == "pump":
                    return []
                name = f"{owner}_max_pressure_kpa"
            name = name or self._same_again(measure, passage)
        if measure.unit == "degree" and _OF_WEATHER.match(text, measure.end):
            name = "temperature_degc"
        if measure.unit in ("day", "hour", "week") and _OF_DOING.match(text, measure.end):
            return []
        if measure.unit in ("year", "month") and _OLD.match(text, measure.end):
            name = "age_years"
        return [self.kinds[name]] if name is not None and name in self.kinds else None

    @staticmethod
    def _same_again(measure: Measure, passage: Passage) -> str | None:
        """ "85 psi / 5.9 bar": the same pressure in another unit is the same quantity."""
        for found in reversed(passage.found):
            if isinstance(found.value, tuple) or not found.end <= measure.start <= found.end + WINDOW:
                continue
            value = settled(measure.numbers[0], measure.unit, "tyre_pressure_kpa")
            if _SAME_AGAIN.fullmatch(passage.text[found.end : measure.start]):
                return found.name if abs(value - found.value) <= SAME_PRESSURE * value else None
        return None

    def _default(self, measure: Measure, passage: Passage) -> list[QuantityKind]:
        names = WITHOUT_CUE.get(measure.unit, ()) if not _is_difference(measure, passage) else ()
        if (
            measure.unit == "millimetre"
            and passage.has_found("rim_inner_width_mm")
            and not passage.has_found("tyre_width_mm")
        ):
            names = ("tyre_width_mm",)
        if (
            measure.unit == "teeth"
            and passage.holds("big ring", "chainring", "outer ring", "chainwheel")
            and not passage.holds("sprocket", "cog", "cassette", "mech", "derailleur", "freewheel")
        ):
            names = ("largest_ring_teeth",)
        if measure.unit == "newton" and passage.holds("spoke", "tension"):
            names = ("tight_side_tension_kgf",)
        if measure.unit == "percent" and passage.holds("chain") and max(measure.numbers) <= MOST_GAUGED_PCT:
            names = ("chain_wear_pct",) if _GAUGED.search(passage.before(measure.start, 16)) else ()
        if measure.unit == "degree":
            near = passage.text[max(0, measure.start - 30) : measure.end + 30]
            is_of_another = (
                _OF_SOMETHING.match(passage.text, measure.end) is not None
                or any(word in near for word in TURNED)
                or any(word in passage.before(measure.start, 50) for word in _AN_ANGLE)
            )
            names = () if is_of_another else ("temperature_degc",)
        kinds = [self.kinds[name] for name in names if name in self.kinds]
        if measure.unit in ("kilogram", "pound"):
            kinds = [
                k
                for k in kinds
                if settled(measure.numbers[0], measure.unit, k.name) >= LIGHTEST_UNNAMED_RIDER_KG
            ]
        return [kind for kind in kinds if self._is_plausible(measure, kind)]

    def _as_before(
        self, measure: Measure, index: int, measures: Sequence[Measure], passage: Passage
    ) -> list[QuantityKind]:
        """ "160 mm in front, 140 mm behind": what the number before it with the same unit was."""
        if index == 0 or measures[index - 1].unit != measure.unit:
            return []
        last = measures[index - 1]
        between = passage.text[last.end : measure.start]
        corrected = is_taken_back(passage, measure.start)
        if len(between) > WINDOW or (not corrected and any(mark in between for mark in ".;?!\n")):
            return []
        names = [f.name for f in passage.found if (f.start, f.end) == (last.start, last.end)][:1]
        return [self.kinds[n] for n in names if self._is_plausible(measure, self.kinds[n])]

    def _most_like(self, measure: Measure, passage: Passage) -> list[QuantityKind]:
        """The quantity whose description the sentence is like, where none of its listed words stands."""
        if _is_difference(measure, passage):
            return []

        def value_of(name: str) -> float | None:
            if not may_be(name, passage) or not self._is_plausible(measure, self.kinds[name]):
                return None
            return settled(measure.numbers[0], measure.unit, name)

        start, end = _clause(passage.text, measure.start, measure.end)
        name = self.likeness.most_like(
            self.fitting(measure.unit),
            value_of,
            passage.text[start : measure.start],
            passage.text[measure.end : end],
        )
        return [self.kinds[name]] if name is not None else []

    def _is_plausible(self, measure: Measure, kind: QuantityKind) -> bool:
        return is_plausible(self._value(measure, kind), kind)

    def _is_the_other_gauge(self, measure: Measure, passage: Passage) -> bool:
        """ "My tyres are at 80 bar": no tyre's pressure, but a common one on the gauge's other scale."""
        other = {"bar": "psi", "psi": "bar"}.get(measure.unit)
        if other is None or not passage.holds("tyre", "tire", "pump", "inflat"):
            return False
        kind = self.kinds["tyre_pressure_kpa"]
        return not self._is_plausible(measure, kind) and all(
            is_usual(settled(n, other, kind.name), kind) for n in measure.numbers
        )

    @staticmethod
    def _slip(
        measure: Measure, impossible: tuple[float, QuantityKind] | None, passage: Passage
    ) -> QuantityKind | None:
        if impossible is None or impossible[0] > BESIDE or measure.unit not in _SLIPS:
            return None
        kind = impossible[1]
        if kind.name in NEVER_DOUBTED or _is_difference(measure, passage) or _is_wheel_size(measure):
            return None
        meant = (settled(measure.numbers[0] * slip, measure.unit, kind.name) for slip in (10.0, 0.1))
        return kind if any(is_plausible(value, kind) for value in meant) else None


def _falls(measure: Measure, kinds: Sequence[QuantityKind], passage: Passage) -> bool:
    """Whether two pressures are what it was and what it fell to."""
    return (
        len(measure.numbers) == 2
        and measure.numbers[0] > measure.numbers[1]
        and any(kind.name in ("tyre_pressure_kpa", "later_pressure_kpa") for kind in kinds)
        and passage.before(measure.start, 6).endswith("from ")
    )


def _is_a_rule(measure: Measure, ruled: int, passage: Passage) -> bool:
    """Whether somebody asks for it, or it is what was asked for once more in another unit."""
    if 0 <= ruled <= measure.start and _SAME_AGAIN.fullmatch(passage.text[ruled : measure.start]):
        return True
    return _ASKED_OF_A_GAP.search(passage.before(measure.start, 64)) is not None


def _is_a_length(measure: Measure, clause: str) -> bool:
    """Whether it says how long a hill is, and not how high: "a 1.5-mile descent"."""
    return measure.unit in _FOR_LENGTHS and _HEIGHT_TOLD.search(clause) is None


def _is_wheel_size(measure: Measure) -> bool:
    return measure.unit == "inch" and measure.numbers[0] in _WHEEL_INCHES


def _speaks_of_the_rim(before: str) -> bool:
    """Whether the rim was named last: "tyre max 6 bar, the rim says max 5 bar"."""
    return before.rfind("rim") > max(before.rfind("tyre"), before.rfind("tire"))


def _is_loss(measure: Measure, passage: Passage) -> bool:
    """Whether it says how much pressure goes: "lost 5 psi", "1 bar a month"."""
    return (
        _LOSS.search(passage.before(measure.start)) is not None
        or _EACH_TIME.match(passage.text, measure.end) is not None
    )


def _is_difference(measure: Measure, passage: Passage) -> bool:
    """Whether it says how much more or less: "2 mm too short", "trimmed by 15 mm"; "is 60 psi too soft" asks of a pressure."""
    if measure.unit in ("psi", "bar") and _IS_IT.search(passage.before(measure.start)) is not None:
        return False
    return (
        passage.before(measure.start, 4).endswith("by ")
        or _MORE_OR_LESS.match(passage.text, measure.end) is not None
    )


def is_plausible(value: float | tuple[float, float], kind: QuantityKind) -> bool:
    """Whether the value lies in what is possible; what is counted is a whole number."""
    ends = value if isinstance(value, tuple) else (value,)
    if kind.unit.ending in ("teeth", "links", "spokes", "speeds") and any(end != int(end) for end in ends):
        return False
    low, high = kind.low, kind.high
    return low is None or high is None or all(low <= end <= high for end in ends)


def is_usual(value: float, kind: QuantityKind) -> bool:
    """Whether the value lies where this quantity mostly does."""
    low, high = kind.usual_low, kind.usual_high
    return low is None or high is None or low <= value <= high


def doubt_about(words: str, kind: QuantityKind) -> str:
    """What the desk says of a figure that cannot be."""
    unit = kind.unit.symbol
    return (
        f"“{words}” can't be right for the {kind.label}: expected {kind.low:g} to {kind.high:g} {unit}".rstrip()
        + ". Is it another unit, or a slip?"
    )


def _measured(match: re.Match[str], passage: Passage) -> Measure | None:
    unit = unit_named(match[3])
    if unit is None:
        return None
    if unit == "pound" and _PAID.search(passage.before(match.start(), 48)) is not None:
        return None
    if unit == "pound" and _is_of_air(match, passage):
        unit = "psi"
    numbers = [number(match[1], unit)] + ([number(match[2], unit)] if match[2] else [])
    if unit in ("kilometre", "mile") and len(numbers) > 1 and _are_both_thousands(*numbers):
        numbers[0] *= 1000
    if unit in ("degC", "degF", "degree") and is_below_zero(passage, match.start()):
        numbers = [-n for n in numbers]
        signed = passage.text[match.start() - 1] == "-"
        return Measure(tuple(numbers), unit, match.start() - signed, match.end())
    return Measure(tuple(numbers), unit, match.start(), match.end())


def _are_both_thousands(first: float, second: float) -> bool:
    """ "Some 3-4,000 miles": the thousands of the second count for the first as well."""
    return 1 <= first < 100 and second >= 1000 and second % 1000 == 0 and first * 1000 < second


def _is_of_air(match: re.Match[str], passage: Passage) -> bool:
    """Whether these pounds are pounds of pressure: "fifty pounds in the back tyre"."""
    before = passage.before(match.start(), 48)
    if _WEIGHED.search(before) is not None:
        return False
    return _AIR_BEFORE.search(before) is not None or _AIR_BEHIND.match(passage.text, match.end()) is not None


def _by_length(passage: Passage, measures: Sequence[Measure]) -> list[Cue]:
    """Cues that nothing has read yet, the longest where they overlap.

    One that begins or ends where the longer one does is kept as an inner one, for when the longer one does not fit:
    "rotor is 203" is no thickness. A unit is no cue: "6 bar" says nothing of a handlebar.
    """
    kept: list[Cue] = []
    for cue in sorted(passage.cues, key=lambda cue: (cue.start - cue.end, cue.start)):
        if any(m.start <= cue.start and cue.end <= m.end for m in measures) or not passage.is_free(
            cue.start, cue.end
        ):
            continue
        over = [other for other in kept if cue.start < other.end and other.start < cue.end]
        if not over:
            kept.append(cue)
        elif all(cue.start == other.start or cue.end == other.end for other in over):
            kept.append(Cue(cue.start, cue.end, cue.names, is_inner=True))
    kept.sort(key=lambda cue: cue.start)
    return [_as_inner(cue) if _is_before_its_noun(cue, kept, passage.text) else cue for cue in kept]


def _as_inner(cue: Cue) -> Cue:
    return Cue(cue.start, cue.end, cue.names, is_inner=True)


def _is_before_its_noun(cue: Cue, cues: Sequence[Cue], text: str) -> bool:
    """ "5 cm of stem spacers" are spacers: of two cues in a row the last one is meant."""
    return any(
        other.start == cue.end + 1
        and text[cue.end] in " -"
        and text[other.start : other.end] not in ONLY_BEFORE
        and text[other.start : other.end] not in NO_NOUNS
        for other in cues
    )


def _stands_between(measures: Sequence[Measure], cue: Cue, measure: Measure) -> bool:
    low, high = min(cue.end, measure.end), max(cue.start, measure.start)
    return any(other is not measure and low <= other.start and other.end <= high for other in measures)


def _owner(cue: Cue, measures: Sequence[Measure], passage: Passage) -> int | None:
    """Which measure stands right beside a cue; right before it is nearer than right behind."""
    text = passage.text
    behind = None
    for index, measure in enumerate(measures):
        if measure.end <= cue.start and cue.start - measure.end <= 14:
            between = text[measure.end : cue.start]
            if (
                _BACK_LINK.fullmatch(between)
                and text[cue.start : cue.end] not in ONLY_BEFORE
                and not _OWN_NUMBER.match(text, cue.end)
            ):
                return index
        near = behind is None and cue.end <= measure.start and measure.start - cue.end <= 24
        if near and _LINK.fullmatch(text[cue.end : measure.start]):
            behind = index
    if behind is not None:
        return behind
    for start in passage.starts:
        # "75 psi, stem 90": that cue has a bare number of its own.
        if (
            0 < start - cue.end <= 8
            and _LINK.fullmatch(text[cue.end : start])
            and not any(m.start <= start < m.end for m in measures)
        ):
            return -1
    return None


def _distance(cue: Cue, measure: Measure, text: str) -> float:
    """How far a cue stands; one right behind the number beats one before it."""
    if cue.end <= measure.start:
        between = text[cue.end : measure.start]
        distance = len(between) + 1.5
    elif cue.start >= measure.end:
        between = text[measure.end : cue.start]
        distance = float(len(between)) + _NEXT_CLAUSE * between.count(",")
    else:
        return -0.2 * (cue.end - cue.start)
    distance += 2.0 * sum(letter.isdigit() for letter in between) + 3.0 * len(_AND.findall(between))
    return distance - 0.2 * (cue.end - cue.start)


def _clause(text: str, first: int, last: int) -> tuple[int, int]:
    before = max((m.end() for m in _CLAUSE_END.finditer(text, max(0, first - WINDOW), first)), default=0)
    after = _CLAUSE_END.search(text, last, min(len(text), last + WINDOW))
    return max(before, first - WINDOW), after.start() if after else min(len(text), last + WINDOW)

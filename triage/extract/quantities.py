"""Quantities as riders write them: sizes in three systems, ranges, spelled numbers, and what each one measures."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from knowledge.base import Knowledge, QuantityKind
from triage.extract.nouns import Stated, before_nouns, crank_changes, rings_and_sprockets, tyre_changes
from triage.extract.spelled import Figured
from triage.extract.units import UNIT_PATTERN, is_fitting, settled, unit_named
from triage.records import Detail

_N = r"\d+(?:[.,]\d+)?"
_BEAD_SEATS = (
    "203|254|305|317|330|340|349|355|369|381|384|390|400|406|419|428|432|438|440|451|457|484|489|490|498|501|"
    "507|520|531|534|540|541|547|559|571|584|587|590|597|609|622|630|635|642|686|787"
)
_WHEEL_NAMES = {
    "12": 203, "16": 305, "18": 355, "20": 406, "24": 507, "26": 559, "27.5": 584, "27,5": 584, "29": 622,
    "28": 622, "32": 686, "36": 787,
}  # fmt: skip


Doubt = tuple[str, str]
"""A quantity's name, and what makes no sense about it."""


@dataclass(frozen=True, slots=True)
class Found:
    """A stretch of the figured text and the quantity it states."""

    name: str
    value: float | tuple[float, float]
    start: int
    end: int


def _number(text: str) -> float:
    """A number as written; a comma before one or two digits is a decimal comma.

    >>> _number("2,5"), _number("1,200"), _number("19")
    (2.5, 1200.0, 19.0)
    """
    if "," in text:
        head, tail = text.split(",", 1)
        text = head + tail if len(tail) == 3 else f"{head}.{tail}"
    return float(text)


# Each pattern states what it must catch and, after "not", a near miss that it must leave alone.
_TYRE_ISO = re.compile(rf"\b(\d{{2,3}})\s?[-–x×/]\s?({_BEAD_SEATS})\b")  # 28-622; not 11-34
_RIM_ISO = re.compile(rf"\b({_BEAD_SEATS})\s?[-–x×]\s?(\d{{2}}(?:[.,]\d)?)\s?c?\b", re.I)  # 622x19C
_TYRE_FRENCH = re.compile(
    r"\b(700|650)\s?(?:([abcd])\s?)?[x×*/-]\s?(\d{2}(?:[.,]\d)?)\s?(?:mm|([abcd]))?\b", re.I
)
_TYRE_INCH = re.compile(
    r"\b(12|16|18|20|24|26|27[.,]5|28|29|32|36)(?:\"|″|''|\s?inch(?:es)?|\s?in|er)?\s?[x×*]\s?(\d[.,]\d{1,3}|[2345])(?:\s?(?:\"|″|''|inch(?:es)?|in\b))?"
)  # 29x2.4; not 3x9
_TYRE_C = re.compile(r"\b(1[89]|[2-5]\d|6[0-2])c\b")  # 28c; not "25 C"
_TYRE_PLURAL = re.compile(
    r"\b(1[89]|[2-5]\d|6[0-2])(?:'?s\b|(?=\s?(?:mm\s)?(?:(?:tubeless|gravel|winter|road|summer|slick|knobbly|new|folding|wide|clincher)\s){0,2}(?:tyres?|tires?|tubs?\b|tubulars?|clinchers?|slicks?|rubber)))"
)
_RIM_INNER = re.compile(
    rf"\b({_N})\s?(?:mm|c)?[\s-]*(?:internal(?:ly)?|inner|inside|int\b\.?|id\b|inside[\s-]width|inner[\s-]width)(?:[\s-]*(?:rim|width|wide))?",
    re.I,
)
_RIM_INNER_BEFORE = re.compile(
    rf"\b(?:internal(?:ly)?(?:\srim)?(?:\swidth)?|inner(?:\srim)?\swidth|inside(?:\srim)?\swidth|rim\swidth|iw)\s?(?:of|is|=|:|about|around|approx\.?)?\s?({_N})\s?(?:mm)?\b",
    re.I,
)
_CASSETTE = re.compile(
    r"\b(9|1[0-8])\s?(?:t\s?)?(?:[-–/]|\sto\s)\s?(1[6-9]|[2-5]\d)(?:\s?(?:t|teeth|tooth)\b)?(?!\s?(?:[-–/]\s?\d|psi|bar|km|mm|kg|years?|miles?|%|nm|n·m|degrees?|°|min|hours?|months?|weeks?|watts?|ml|c\b))"
)  # 11-34; not "10-15 km"
_RINGS = re.compile(
    r"\b([3-6]\d)\s?t?\s?[/-]\s?([2-5]\d)(?:\s?[/-]\s?([1-4]\d))?(?:\s?t\b|\s?teeth)?(?!\s?(?:[-–/]\s?\d|psi|bar|km|mm|kg|%|nm|c\b))"
)
_BY_SPEEDS = re.compile(r"\b([123])\s?[x×]\s?([5-9]|1[0-4])\b(?:\s?(?:speed|spd))?", re.I)  # 2x11; not 29x2
_SPEEDS = re.compile(
    r"\b([3-9]|1[0-4])[\s-]?(?:speeds?|spd|sp\b|s(?=\b)(?=\s(?:cassette|chain|shifters?|levers?|mech|rear|derailleur|road|mtb|brifters?|groupset|system|block|hub|freehub|drivetrain|wheel)))",
    re.I,
)
_STONE = re.compile(rf"\b({_N})\s?(?:stone|st)\b(?:\s?(?:and\s)?(\d{{1,2}})(?:\s?(?:lbs?|pounds?))?)?", re.I)
_FEET_INCHES = re.compile(
    r"\b\d\s?(?:'|ft|feet|foot)\s?\d{0,2}\s?(?:\"|in(?:ches)?\b)?"
)  # a rider's height: nothing here
_CRANK = re.compile(r"\b(1[4-9]\d(?:[.,]5)?)\s?(?:mm)?\s?(?:cranks?|crank\s?arms?|chainset|crankset)", re.I)
_RANGE_UNIT = re.compile(
    rf"(?<![\w.,/])({_N})(?:\s?(?:-|–|to|or|and)\s?({_N}))?\s?-?({UNIT_PATTERN})(?![\w])", re.I
)
_TEMPERATURE_C = re.compile(rf"(?<![\w.,])(-?{_N})\s(?:C)\b")
_GEAR_OIL = re.compile(r"\b(?:sae\s?)?(\d{2})w[\s-]?(\d{2,3})\b|\b(?:sae|ep)\s?-?(\d{2,3})\b", re.I)
_ISO_VG = re.compile(r"\b(?:iso\s?)?vg\s?-?(\d{1,4})\b", re.I)
_FROM_TO = re.compile(
    r"\b(?:from|swap(?:ping)?|replac(?:e|ing)|chang(?:e|ing)|instead of|now|currently|at the moment|old|have an?|got an?|runs?|came with)\b[^.?!]{0,30}$",
    re.I,
)
_TO_NEW = re.compile(
    r"\b(?:to|for|with|fit(?:ting)?|put(?:ting)?(?: on)?|want|new|go(?:ing)?|upgrade|mount|use|try|run(?:ning)?)\b[^.?!]{0,30}$",
    re.I,
)


class QuantityFinder:
    """Finds quantities; which one a bare number with a unit is, its nearest cue words decide."""

    def __init__(self, knowledge: Knowledge) -> None:
        self.kinds = {name: kind for name, kind in knowledge.quantities.items() if kind.kind == "number"}
        self.bare = [
            (kind, _bare_pattern(kind))
            for kind in self.kinds.values()
            if kind.cues and kind.unit.pint in ("1", "millimetre", "percent")
        ]
        self.cues = [
            (kind, re.compile(rf"\b(?:{'|'.join(re.escape(cue) for cue in kind.cues)})\b", re.I))
            for kind in self.kinds.values()
            if kind.cues
        ]

    def find(self, text: str) -> tuple[list[Detail], list[Doubt]]:
        """The quantities of a text, and doubts about what makes no sense in it."""
        figured = Figured(text)
        taken: list[tuple[int, int]] = []
        details: list[Detail] = []
        doubts: list[Doubt] = []
        for finder in _FINDERS:
            for group in finder(figured.text):
                if not group:
                    continue
                span = (min(f.start for f in group), max(f.end for f in group))
                if any(start < span[1] and span[0] < end for start, end in taken):
                    continue
                taken.append(span)
                for found in group:
                    self._keep(found, figured, details, doubts)
        for read in self._with_units(figured.text, taken, doubts):
            self._keep(read, figured, details, doubts)
        for found in self._without_units(figured.text, taken):
            self._keep(found, figured, details, doubts)
        return details, doubts

    def _without_units(self, text: str, taken: list[tuple[int, int]]) -> Iterator[Found]:
        """ "actuation ratio of 1.7", "shell bore 41.95": a bare number right behind its cue."""
        for kind, pattern in self.bare:
            for match in pattern.finditer(text):
                span = match.span(1)
                value = _number(match[1])
                if any(start < span[1] and span[0] < end for start, end in taken) or not _plausible(
                    value, kind
                ):
                    continue
                taken.append(span)
                yield Found(kind.name, value, *span)

    def _keep(self, found: Found, figured: Figured, details: list[Detail], doubts: list[Doubt]) -> None:
        start, end = figured.back(found.start, found.end)
        words = figured.original[start:end].strip()
        if found.name in _IGNORED:
            return
        kind = self.kinds.get(found.name)
        if kind is not None and not _plausible(found.value, kind):
            doubts.append((kind.name, doubt_about(words, kind)))
            return
        details.append(Detail(found.name, found.value, words, start, end))

    def _with_units(self, text: str, taken: list[tuple[int, int]], doubts: list[Doubt]) -> Iterator[Found]:
        for match in _RANGE_UNIT.finditer(text):
            span = match.span()
            if any(start < span[1] and span[0] < end for start, end in taken):
                continue
            unit = unit_named(match[3])
            if unit is None:
                continue
            numbers = [_number(match[1])] + ([_number(match[2])] if match[2] else [])
            if unit == "degree" and _WARMTH.search(text, max(0, span[0] - WINDOW), span[1] + WINDOW):
                unit = "degC"
            if unit in ("degC", "degF") and _MINUS.search(text, max(0, span[0] - 7), span[0]):
                numbers = [-number for number in numbers]
            kinds, near_miss = self._kinds_of(numbers, unit, text, span)
            if not kinds and near_miss is not None:
                doubts.append((near_miss.name, doubt_about(match.group().strip(), near_miss)))
            for kind in kinds:
                values = [settled(number, unit, kind.name) for number in numbers]
                value = values[0] if len(values) == 1 or values[0] >= values[1] else (values[0], values[1])
                yield Found(kind.name, value, *span)
            if kinds:
                taken.append(span)

    def _kinds_of(
        self, numbers: Sequence[float], unit: str, text: str, span: tuple[int, int]
    ) -> tuple[list[QuantityKind], QuantityKind | None]:
        """The quantities whose cues stand near, the nearest first, and one whose cue fits but whose value cannot be.

        "The rim wall measures 1.1 mm" may be a rotor's thickness too; what the brief asks for decides between near ones.
        """
        start, end = _clause(text, span)
        fitting: list[tuple[float, QuantityKind]] = []
        impossible: tuple[float, QuantityKind] | None = None
        for kind, cue in self.cues:
            if not is_fitting(unit, kind.name):
                continue
            distance = _nearest(cue, text, span, start, end)
            if distance is None:
                continue
            if all(_plausible(settled(number, unit, kind.name), kind) for number in numbers):
                fitting.append((distance, kind))
            elif impossible is None or distance < impossible[0]:
                impossible = (distance, kind)
        doubtful = impossible is not None and impossible[0] + MUCH_NEARER < min(
            (d for d, _ in fitting), default=1e9
        )
        if fitting and not doubtful:
            fitting.sort(key=lambda pair: pair[0])
            return [
                kind for distance, kind in fitting[:MOST_READINGS] if distance <= fitting[0][0] + NEARLY
            ], None
        for name in () if fitting else _WITHOUT_CUE.get(unit, ()):
            usual = self.kinds.get(name)
            if usual is not None and all(_plausible(settled(n, unit, name), usual) for n in numbers):
                return [usual], None
        if impossible is None or impossible[0] > NEAR or unit not in ("millimetre", "centimetre", "inch"):
            return [], None
        meant = [settled(numbers[0] * slip, unit, impossible[1].name) for slip in (10.0, 0.1)]
        return [], impossible[1] if any(_plausible(value, impossible[1]) for value in meant) else None


def _bare_pattern(kind: QuantityKind) -> re.Pattern[str]:
    cues = "|".join(re.escape(cue) for cue in kind.cues if len(cue) >= 3)
    return re.compile(
        rf"\b(?:{cues or '(?!)'})\s?(?:of|is|was|=|:|at|about|around|measures|measured(?:\s(?:at|as))?)?\s?"
        rf"(\d+(?:[.,]\d+)?)(?![\w/×%°-]|[.,]\d|\s?(?:{UNIT_PATTERN})\b|\s?(?:years?|times|of|x)\b)",
        re.I,
    )


_IGNORED = frozenset({"height"})
_WITHOUT_CUE: dict[str, tuple[str, ...]] = {
    "psi": ("tyre_pressure_kpa",),
    "bar": ("tyre_pressure_kpa",),
    "kilopascal": ("tyre_pressure_kpa",),
    "kilogram": ("rider_mass_kg",),
    "pound": ("rider_mass_kg",),
    "degC": ("temperature_degc",),
    "degF": ("temperature_degc",),
    "newton*metre": ("torque_n_m",),
    "force_pound*inch": ("torque_n_m",),
    "force_pound*foot": ("torque_n_m",),
    "revolution/minute": ("cadence_rpm",),
    "links": ("links",),
}
# "20 degrees" is a temperature near such words; a head angle and a stem's angle are not.
_WARMTH = re.compile(
    r"\b(?:outside|weather|hot|cold|warm|heat|freez\w*|winter|summer|sun|celsius|temperature|frost|oven|wax|melt\w*|shed|garage)\b",
    re.I,
)
_MINUS = re.compile(r"(?:(?<!\d)[-−–]|\bminus )$")
_CLAUSE_END = re.compile(r"[.!?;\n](?=\s|$)|[;\n]")
WINDOW = 48
MOST_READINGS, NEARLY = 4, 7.0
"""Other quantities that a number may be, as long as their words stand nearly as near."""
MUCH_NEARER = 8.0
NEAR = 12
"""A figure that cannot be is doubted only right beside its word, and only where ten times or a tenth could be."""


def _clause(text: str, span: tuple[int, int]) -> tuple[int, int]:
    before = max((m.end() for m in _CLAUSE_END.finditer(text, max(0, span[0] - 200), span[0])), default=0)
    after = _CLAUSE_END.search(text, span[1])
    return max(before, span[0] - WINDOW), min(after.start() if after else len(text), span[1] + WINDOW)


_OWN_NUMBER = re.compile(r"\s?(?:is|of|at|=|:|about)?\s?\d")


def _nearest(cue: re.Pattern[str], text: str, span: tuple[int, int], start: int, end: int) -> float | None:
    """How far the nearest cue stands; one right behind the number beats one before it."""
    best: float | None = None
    for match in cue.finditer(text, start, end):
        if match.end() <= span[0]:
            between = text[match.end() : span[0]]
            distance = len(between) + 2.0 * len(re.findall(r"\d", between)) + 1.5
        elif match.start() >= span[1]:
            if _OWN_NUMBER.match(text, match.end()):
                continue  # "8 Nm, stem says 5 Nm": that cue has a number of its own
            between = text[span[1] : match.start()]
            distance = len(between) + 2.0 * len(re.findall(r"\d", between)) + 4.0 * between.count(",")
        else:
            distance = 0.0
        distance -= 0.2 * (match.end() - match.start())
        if best is None or distance < best:
            best = distance
    return best


def _plausible(value: float | tuple[float, float], kind: QuantityKind) -> bool:
    ends = value if isinstance(value, tuple) else (value,)
    low, high = kind.low, kind.high
    return low is None or high is None or all(low <= end <= high for end in ends)


def doubt_about(words: str, kind: QuantityKind) -> str:
    """What the desk says of a figure that cannot be."""
    unit = kind.unit.symbol
    return (
        f"“{words}” can't be right for the {kind.label}: expected {kind.low:g} to {kind.high:g} {unit}".rstrip()
        + ". Is it another unit, or a slip?"
    )


# ---- special ways of writing, in the order in which they are tried ------------------------------------


def _tyre_iso(text: str) -> Iterator[list[Found]]:
    for m in _TYRE_ISO.finditer(text):
        if float(m[1]) <= 130:
            yield [
                Found("tyre_width_mm", float(m[1]), *m.span()),
                Found("bead_seat_diameter_mm", float(m[2]), *m.span()),
            ]


def _rim_iso(text: str) -> Iterator[list[Found]]:
    for m in _RIM_ISO.finditer(text):
        yield [
            Found("bead_seat_diameter_mm", float(m[1]), *m.span()),
            Found("rim_inner_width_mm", _number(m[2]), *m.span()),
        ]


_FRENCH = {"c": 622, "b": 584, "a": 590}


def _tyre_french(text: str) -> Iterator[list[Found]]:
    for m in _TYRE_FRENCH.finditer(text):
        letter = (m[2] or m[4] or ("c" if m[1] == "700" else "b")).lower()
        seat = {
            "700": {"c": 622, "b": 635, "a": 642, "d": 587},
            "650": {"b": 584, "c": 571, "a": 590, "d": 609},
        }[m[1]][letter]
        width = _number(m[3])
        if width >= 15:
            yield [
                Found("tyre_width_mm", width, *m.span()),
                Found("bead_seat_diameter_mm", float(seat), *m.span()),
            ]


def _tyre_inch(text: str) -> Iterator[list[Found]]:
    for m in _TYRE_INCH.finditer(text):
        width = _number(m[2])
        if 0.7 <= width <= 5.2 and (width > 4 or "." in m[2] or "," in m[2] or m[1] in ("26", "27.5", "29")):
            seat = _WHEEL_NAMES.get(m[1].replace(",", "."), 622)
            yield [
                Found("tyre_width_mm", round(width * 25.4, 1), *m.span()),
                Found("bead_seat_diameter_mm", float(seat), *m.span()),
            ]


def _simple(pattern: re.Pattern[str], name: str) -> Callable[[str], Iterator[list[Found]]]:
    def find(text: str) -> Iterator[list[Found]]:
        for m in pattern.finditer(text):
            yield [Found(name, _number(m[1]), *m.span())]

    return find


def _tyre_c(text: str) -> Iterator[list[Found]]:
    for m in _TYRE_C.finditer(text):
        around = text[max(0, m.start() - 30) : m.end() + 20].lower()
        if not re.search(r"degrees|outside|hot day|temperature|summer|celsius|weather", around):
            yield [Found("tyre_width_mm", float(m[1]), *m.span())]


def _cassettes(text: str) -> Iterator[list[Found]]:
    matches = list(_CASSETTE.finditer(text))
    matches = [m for m in matches if int(m[2]) > int(m[1]) + 3]
    several = len({m.groups() for m in matches}) > 1
    for index, m in enumerate(matches):
        before = text[max(0, m.start() - 40) : m.start()]
        prefix = ""
        if several:
            prefix = "old_" if index == 0 and not _reads_new(before) else "new_" if index else ""
            if index and _reads_old(before) and not _reads_new(before):
                prefix = "old_"
        elif _reads_new(before) and not _reads_old(before):
            prefix = "new_"
        yield [
            Found(f"{prefix}smallest_sprocket_teeth", float(m[1]), *m.span()),
            Found(f"{prefix}largest_sprocket_teeth", float(m[2]), *m.span()),
        ]


def _reads_new(before: str) -> bool:
    return bool(_TO_NEW.search(before))


def _reads_old(before: str) -> bool:
    return bool(_FROM_TO.search(before))


def _rings(text: str) -> Iterator[list[Found]]:
    for m in _RINGS.finditer(text):
        rings = [float(g) for g in m.groups() if g]
        if (
            rings != sorted(rings, reverse=True)
            or not FEWEST_RING_STEP <= rings[0] - rings[1] <= MOST_RING_STEP
        ):
            continue
        yield [
            Found("largest_ring_teeth", rings[0], *m.span()),
            Found("smallest_ring_teeth", rings[-1], *m.span()),
        ]


FEWEST_RING_STEP, MOST_RING_STEP = 9, 26
"""Teeth between two rings of a crankset; "34/28" is a ring over a sprocket."""
_ROLE_AFTER = re.compile(
    r"^[\s,]*(?:(?:road|mtb|mountain|gravel|flat[\s-]?bar|drop[\s-]?bar|rear|front|right|hand|indexed|bike|style|old|new|trigger|grip|the)\s){0,3}"
    r"(?:(?P<shifter>shifters?|levers?|brifters?|shift)|(?P<derailleur>derailleurs?|mechs?|rd\b)|(?P<chain>chains?|quick)|(?P<cassette>cassettes?|blocks?|sprockets?|freewheels?|cluster)|(?P<hub>hubs?|freehubs?|wheels?|body|freehub body))",
    re.I,
)
_ROLE_NAMES = {
    "shifter": "shifter_speeds",
    "derailleur": "derailleur_speeds",
    "chain": "chain_speeds",
    "cassette": "speeds",
    "hub": "hub_speeds",
}


def _speeds(text: str) -> Iterator[list[Found]]:
    for m in _BY_SPEEDS.finditer(text):
        if not re.match(r"\s?(?:[.,]\d|\"|″|inch)", text[m.end() : m.end() + 6]):
            yield [Found("speeds", float(m[2]), *m.span())]
    for m in _SPEEDS.finditer(text):
        role = _ROLE_AFTER.match(text[m.end() : m.end() + 60])
        kind = next((key for key, group in role.groupdict().items() if group), None) if role else None
        yield [Found(_ROLE_NAMES[kind] if kind else "speeds", float(m[1]), *m.span())]


def _stones(text: str) -> Iterator[list[Found]]:
    for m in _STONE.finditer(text):
        mass = _number(m[1]) * 6.35029318 + (float(m[2]) if m[2] else 0.0) * 0.45359237
        yield [Found("rider_mass_kg", round(mass, 1), *m.span())]


def _heights(text: str) -> Iterator[list[Found]]:
    for m in _FEET_INCHES.finditer(text):
        yield [Found("height", 0.0, *m.span())]


def _temperatures(text: str) -> Iterator[list[Found]]:
    for m in _TEMPERATURE_C.finditer(text):
        yield [
            Found(
                "temperature_degc", _number(m[1].lstrip("-")) * (-1 if m[1].startswith("-") else 1), *m.span()
            )
        ]


def _oils(text: str) -> Iterator[list[Found]]:
    for m in _ISO_VG.finditer(text):
        yield [Found("viscosity_grade", float(m[1]), *m.span())]
    for m in _GEAR_OIL.finditer(text):
        grade = m[2] or m[3]
        name = "sae_gear_grade" if float(grade) >= 70 else "sae_engine_grade"
        yield [Found(name, float(grade), *m.span())]


def _stated(finder: Callable[[str], Iterator[list[Stated]]]) -> Callable[[str], Iterator[list[Found]]]:
    def find(text: str) -> Iterator[list[Found]]:
        for group in finder(text):
            yield [Found(*stated) for stated in group]

    return find


_FINDERS: tuple[Callable[[str], Iterator[list[Found]]], ...] = (
    _tyre_iso,
    _rim_iso,
    _tyre_french,
    _tyre_inch,
    _heights,
    _stones,
    _stated(crank_changes),
    _stated(tyre_changes),
    _stated(rings_and_sprockets),
    _simple(_RIM_INNER, "rim_inner_width_mm"),
    _simple(_RIM_INNER_BEFORE, "rim_inner_width_mm"),
    _simple(_CRANK, "crank_length_mm"),
    _oils,
    _cassettes,
    _rings,
    _speeds,
    _temperatures,
    _tyre_c,
    _simple(_TYRE_PLURAL, "tyre_width_mm"),
    _stated(before_nouns),
)

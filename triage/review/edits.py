"""What an editor should look at in an edited text: cautions, conditions, verdict words and figures that changed."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence, Set
from dataclasses import dataclass, replace
from functools import cache, lru_cache
from itertools import pairwise
from typing import Any, Literal

from rapidfuzz import fuzz
from text_to_num import text2num

from knowledge.numbers import NEARLY_SHARE, for_the_ear, for_the_eye
from knowledge.units import UNITS, unit_of
from triage.output.glance import shown
from triage.pace import GAP

Where = Literal["script", "reply"]
Kind = Literal[
    "caution dropped",
    "caution altered",
    "figure gone",
    "figure changed",
    "new figure",
    "condition altered",
    "condition dropped",
    "verdict word changed",
]
Line = Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Concern:
    """One thing to look at: in which text, of which kind, what stood there and stands there now, and a sentence of it."""

    where: Where
    kind: Kind
    was: str | None
    now: str | None
    told: str


def pointed_out(line: Line, script: str | None, reply: str | None) -> list[Concern]:
    """What an editor should know of edited texts, held against the drafted ones; nothing for one that is None or as drafted.

    Cautions and conditions come first, then verdict words, then figures.
    """
    edits: tuple[tuple[Where, str | None], ...] = (("script", script), ("reply", reply))
    rider = frozenset(_folded(f"{line['text']} {line['whole_text']}".translate(_SAME_SIGN)))
    found: list[Concern] = []
    for where, edited in edits:
        drafted = line[where] or ""
        if edited is not None and _evened(edited) != _evened(drafted):
            found += _Edit(line, where, _read(drafted, rider), _read(edited, rider)).concerns()
    return found


# --- A text as its sentences -----------------------------------------------------------------------------------------

_SAME_SIGN = str.maketrans({
    "‘": "'", "’": "'", "ʼ": "'", "‛": "'", "“": '"', "”": '"', "„": '"', "«": '"', "»": '"',
    "\u00a0": " ", "\u202f": " ", "\u2009": " ", "\u2011": "-", "\u2010": "-", "—": "–", "′": "'",
    "\u00ad": None, "\u200b": None, "º": "°",
})  # fmt: skip
_DASH_AS_MINUS = re.compile(r"(?<![\w)\]])–(?=\d)")
_DECIMAL_COMMA = re.compile(r"(?<![\d.,])(?:(\d+),(\d{1,2}|\d{4,})|0,(\d{3}))(?![\d.,]*\d)")
# "- ", "2. " or "(3) " at the start of a line, or behind the end of a sentence where lines were run together.
_LIST_MARK = re.compile(
    r"(?:^[ \t]*(?:[-–*•]|\(?\d{1,2}[.)])|(?<=[.!?:;%] )(?:[-–*•]|\(?\d{1,2}[.)])(?=\s+[^\s\d]))[ \t]+",
    re.MULTILINE,
)
_BLANKS = re.compile(r"[ \t\u00a0\u2009\u202f]+")
_BREAK = "\x1e"
_PARAGRAPH = re.compile(r"\n ?\n\s*|: ?\n\s*")
# A stop ends a sentence where a capital, a figure or a quotation follows.
_END = re.compile(r"(?<=[.!?…])[”')\]]*\s+(?=[“'(\[]*[A-ZÀ-Þ0-9])")
_ALWAYS_SHORT = re.compile(r"\b(?:e\.g|i\.e|cf|vs|dr|mrs?|ms|st)\.$", re.IGNORECASE)
_SHORT_BEFORE_A_FIGURE = re.compile(
    r"\b(?:approx|ca|no|nos|fig|max|min|pp?|vol|dia|abt|incl|excl|resp|sect?)\.$", re.IGNORECASE
)
_QUOTED = re.compile(r"[\"“]([^\"“”]*)[\"”]")
_ENDLESS = re.compile(r"\d[\d,.]{15}")
FEWEST_QUOTED_WORDS = 4
"""Fewer quoted words than that may be anybody's, such as a label that reads “DOT 4”."""
MOST_OF_A_QUOTE = 0.7
_WORDS = re.compile(r"[^\W_]+(?:[.'][^\W_]+)*|[%°<>≤≥±=+?#]")


@dataclass(frozen=True, slots=True)
class _Figure:
    """A number with its unit as a text gives it, and the words around it; a bare number has the unit ""."""

    value: float
    unit: str
    written: str
    before: tuple[str, ...]
    after: tuple[str, ...]

    @property
    def amount(self) -> tuple[float, str]:
        """What is counted."""
        return self.value, self.unit

    @property
    def plain(self) -> str:
        """The number and unit in figures."""
        return for_the_eye(self.value, self.unit, 9)


@dataclass(frozen=True, slots=True)
class _Sentence:
    """A sentence as written, as its spoken words, and as its figures and the words between them."""

    text: str
    words: tuple[str, ...]
    figures: tuple[_Figure, ...]
    shape: tuple[str, ...]

    @property
    def folded(self) -> str:
        """The words in one line, to hold against another."""
        return " ".join(self.words)

    @property
    def amounts(self) -> tuple[tuple[float, str], ...]:
        """The figures' values and units in order."""
        return tuple(figure.amount for figure in self.figures)


@lru_cache(maxsize=256)
def _evened(text: str) -> str:
    """The text with its blanks, quotes and dashes alike, which nobody need look at."""
    return " ".join(text.translate(_SAME_SIGN).replace("–", "-").split())


@lru_cache(maxsize=256)
def _sentences(text: str, rider: frozenset[str]) -> tuple[str, ...]:
    """The sentences and list items in order, without list numbers, the presenter's gaps and what quotes the rider."""
    text = _BLANKS.sub(" ", GAP.sub("", text).replace("\r\n", "\n"))
    text = _with_quotes(_without_rider(text, rider).translate(_SAME_SIGN))
    text = _DECIMAL_COMMA.sub(_with_point, _DASH_AS_MINUS.sub("−", text))
    text = _PARAGRAPH.sub(_BREAK, _LIST_MARK.sub(_BREAK, text))
    found: list[str] = []
    for part in text.split(_BREAK):
        found += _divided(" ".join(part.split()))
    return tuple(one for one in found if _WORDS.search(one))


def _with_point(match: re.Match[str]) -> str:
    """ "0,5" is a half and no five; "1,200" stays a thousand and more."""
    return f"0.{match[3]}" if match[3] else f"{match[1]}.{match[2]}"


def _without_rider(text: str, rider: frozenset[str]) -> str:
    """The text without its quotations of the rider, whose figures are no answer of ours."""
    if not rider:
        return text
    # The first paragraph of a script quotes the whole ask, which may have quotations of its own.
    first, gap, rest = text.partition("\n\n")
    start, end = first.find("“"), first.rfind("”")
    if start < 0:
        start, end = first.find('"'), first.rfind('"')
    if 0 <= start < end and _is_of(first[start + 1 : end], rider):
        first = f"{first[:start]}“…”{first[end + 1 :]}"
    return _QUOTED.sub(lambda quote: "“…”" if _is_of(quote[1], rider) else quote[0], f"{first}{gap}{rest}")


def _is_of(quote: str, rider: frozenset[str]) -> bool:
    """Whether a quotation is in the rider's own words."""
    words = _folded(quote.translate(_SAME_SIGN))
    theirs = sum(word in rider for word in words)
    return len(words) >= FEWEST_QUOTED_WORDS and theirs >= MOST_OF_A_QUOTE * len(words)


def _with_quotes(text: str) -> str:
    """The text with straight double quotes in pairs made round, paragraph by paragraph; one behind a number is an inch mark."""
    return "\n\n".join(_with_quotes_in_one(part) for part in re.split(r"\n\s*\n", text))


def _with_quotes_in_one(text: str) -> str:
    pieces = text.split('"')
    told, is_open = [pieces[0]], False
    for before, after in pairwise(pieces):
        is_inch = before[-1:].isdigit() and not is_open
        told.append("″" if is_inch else "”" if is_open else "“")
        told.append(after)
        is_open = is_open if is_inch else not is_open
    return "".join(told)


def _divided(text: str) -> Iterator[str]:
    start = 0
    for match in _END.finditer(text):
        before = text[start : match.start()]
        is_figure_next = text[match.end()].isdigit()
        if _ALWAYS_SHORT.search(before) or (is_figure_next and _SHORT_BEFORE_A_FIGURE.search(before)):
            continue
        yield text[start : match.end()].strip()
        start = match.end()
    yield text[start:].strip()


@lru_cache(maxsize=8192)
def _sentence(text: str) -> _Sentence:
    figures, shape = _figures_of(text)
    return _Sentence(text, _folded(text), figures, shape)


def _folded(text: str) -> tuple[str, ...]:
    """The words as they are said, so that "3.9 mm" and "three point nine millimetres" are the same; a comma is nothing."""
    # Nobody says a number of so many digits, and it would take long to put in words.
    spoken = text if _ENDLESS.search(text) else for_the_ear(text)
    return tuple(_WORDS.findall(spoken.lower()))


def _read(text: str, rider: frozenset[str] = frozenset()) -> tuple[_Sentence, ...]:
    return tuple(map(_sentence, _sentences(text, rider)))


# --- Numbers with their units ----------------------------------------------------------------------------------------

_ONES = (
    "one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve|thirteen|fourteen|fifteen|sixteen|seventeen|"
    "eighteen|nineteen"
)
_TENS = "twenty|thirty|forty|fifty|sixty|seventy|eighty|ninety"
_TO_99 = rf"(?:(?:{_TENS})(?:[ -](?:one|two|three|four|five|six|seven|eight|nine)\b)?|(?:{_ONES}))"
_TO_999 = rf"(?:(?:{_ONES}|a) hundred(?: (?:and )?{_TO_99}\b)?|{_TO_99})"
_BEHIND_POINT = rf"{_TO_99}|zero|nought|oh"
_WHOLE = rf"(?:(?:{_TO_999}|a) thousand(?: (?:and )?{_TO_999}\b)?|{_TO_999}|zero|nought)"
_SHARES = {
    "half": 2, "third": 3, "quarter": 4, "fifth": 5, "eighth": 8, "tenth": 10, "sixteenth": 16, "thirty-second": 32,
    "sixty-fourth": 64, "hundredth": 100,
}  # fmt: skip
_SHARE = "|".join(sorted(_SHARES, key=len, reverse=True))
# "Third, turn it" is no third of a turn.
_MANY = (
    rf"(?:(?P<many>an?|{_ONES})[ -](?P<share>{_SHARE})s?|(?P<one_share>half|quarter))(?: of)?(?: an?| the)?"
)
_NUMBER = re.compile(
    rf"(?P<fraction>(?<![\w.,])(?:(?P<whole>\d+)[ -])?(?P<over>\d+)/(?P<under>2|3|4|8|16|32|64|128)(?![\d/]))"
    rf"|(?P<figures>(?<![\w.,])(?:(?<![\w)\]”])[-−])?\d+(?:[.,]\d+)*(?:[ ]?[½¼¾])?)"
    rf"|(?P<part>\b(?=[aefhnoqst]){_MANY}(?= ))"
    rf"|(?P<spoken>\b(?=[aefmnostz])(?:minus )?{_WHOLE}\b(?: point(?: (?:{_BEHIND_POINT})\b)+)?"
    rf"(?: and (?P<and_many>an?|{_ONES})[ -](?P<and_share>{_SHARE})s?\b)?)",
    re.IGNORECASE,
)
# Most sentences have no number; these tell so at a glance.
_NUMBER_WORD = re.compile(
    rf"\d|[½¼¾]|\b(?:{_ONES}|{_TENS}|hundred|thousand|zero|nought|(?:{_SHARE})s?)\b", re.IGNORECASE
)
_SIGNS = {"½": 0.5, "¼": 0.25, "¾": 0.75}
# What the trade writes beside the symbols and spoken words of the knowledge base.
_ALSO = {
    "bar": "bar|bars", "psi": "psi|p s i|pounds per square inch", "N·m": "Nm|N m|N.m|newton-metres|newton-metre",
    "in": "inch|inches|″|\"", "kg": "kilograms|kilogram|kilogrammes|kilo|kgs", "g": "grammes|gramme",
    "lb": "lb|lbs|pounds|pound", "°C": "degrees C|degree C|celsius|centigrade", "°F": "°F|degrees Fahrenheit|degrees F",
    "%": "percent|pct", "teeth": "T|t|toothed", "h": "hours|hour|hrs|hr", "min": "minutes|minute|mins",
    "s": "seconds|second|secs|sec", "weeks": "weeks|week", "km/h": "kph|kmh|kilometres per hour|kilometers per hour",
    "mph": "mph|miles an hour|mile an hour|miles per hour", "miles": "miles|mile", "kPa/day": "bar a day",
    "Wh": "Wh|watt-hours|watt hours|watt-hour", "V": "V|volts|volt", "rpm": "turns per minute", "mm²/s": "cSt",
    "µm": "um|microns|micron", "K": "kelvin", "turns": "turns|turn",
}  # fmt: skip
# A draft says a difference of temperature in degrees.
_SAME_UNIT = {"K": "°"}
_NO_UNITS = frozenset({"in your money", "money per 1,000 km", "million revolutions"})
# "Four in two days" are no inches.
_IN_AS_WORD = (
    r"(?! (?:an?|the|my|your|his|her|our|their|its|this|that|these|those|each|every|all|any|one|two|three|four|five|six|"
    r"seven|eight|nine|ten|about|total|front|between|place|case|winter|summer|order|turn|doubt|\d))"
)
_JOINT = re.compile(r" ?(?:–|-|/|x|×|,|,? (?:to|and|or|by)) ?", re.IGNORECASE)
AROUND = 2
"""So many words on either side tell which figure of one text is which of the other."""


@cache
def _unit_names() -> dict[str, str]:
    """What may stand behind a number, in small letters but for symbols, with the unit that it means."""
    names: dict[str, str] = {}
    for unit in UNITS.values():
        if unit.symbol and unit.symbol not in _NO_UNITS:
            for written in (unit.symbol, unit.spoken, unit.spoken_one):
                names.setdefault(written, unit.symbol)
    for unit_symbol, written_ones in _ALSO.items():
        for written in written_ones.split("|"):
            names.setdefault(written, unit_symbol)
    for written, unit_symbol in list(names.items()):
        names.setdefault(written.replace("metre", "meter"), unit_symbol)
        names.setdefault(written.replace("litre", "liter"), unit_symbol)
    return {written: _SAME_UNIT.get(unit, unit) for written, unit in names.items()}


@cache
def _unit_pattern() -> re.Pattern[str]:
    forms = []
    for written in sorted(_unit_names(), key=len, reverse=True):
        form = re.escape(written)
        if written == "in":
            form += _IN_AS_WORD
        elif written == "s":
            form = rf"(?<= ){form}"  # "40s" are forties
        elif len(written) > 1 and "MPa" not in written:
            form = f"(?i:{form})"
        forms.append(form)
    return re.compile(rf"(?P<gap>[ -]?)(?P<unit>{'|'.join(forms)})(?![\w²³⁴])")


def _unit_named(written: str) -> str:
    names = _unit_names()
    return names.get(written) or next(unit for name, unit in names.items() if name.lower() == written.lower())


@dataclass(frozen=True, slots=True)
class _Found:
    """A number at its place in a sentence; the unit is None where none stands behind it.

    `is_number` says whether it is one without a unit too.
    """

    start: int
    end: int
    value: float
    unit: str | None
    is_number: bool


def _figures_of(text: str) -> tuple[tuple[_Figure, ...], tuple[str, ...]]:
    """The figures of a sentence, and its words with a "#" for each."""
    found = _found_in(text) if _NUMBER_WORD.search(text) else ()
    shape: list[str] = []
    marks: list[int] = []
    place = 0
    for one in found:
        shape += _WORDS.findall(text[place : one.start].lower())
        marks.append(len(shape))
        shape.append("#")
        place = one.end
    shape += _WORDS.findall(text[place:].lower())
    figures = tuple(
        _Figure(
            one.value,
            one.unit or "",
            text[one.start : one.end],
            tuple(shape[max(0, mark - AROUND) : mark]),
            tuple(shape[mark + 1 : mark + 1 + AROUND]),
        )
        for one, mark in zip(found, marks, strict=True)
    )
    return figures, tuple(shape)


def _found_in(text: str) -> Sequence[_Found]:
    found = []
    for match in _NUMBER.finditer(text):
        value = _value(match)
        if value is None:
            continue
        unit = _unit_pattern().match(text, match.end())
        end = match.end() if unit is None else unit.end()
        name = None if unit is None else _unit_named(unit["unit"])
        found.append(_Found(match.start(), end, value, name, _is_number(match)))
    return [one for one in _with_shared_units(text, found) if one.unit is not None or one.is_number]


def _with_shared_units(text: str, found: Sequence[_Found]) -> Sequence[_Found]:
    """ "19 to 25 mm" are two lengths: a number takes the unit of the next one where only a joint stands between."""
    given: list[_Found] = []
    for one in reversed(found):
        if (
            one.unit is None
            and given
            and given[-1].unit is not None
            and _JOINT.fullmatch(text[one.end : given[-1].start])
        ):
            one = replace(one, unit=given[-1].unit)
        given.append(one)
    return given[::-1]


def _is_number(match: re.Match[str]) -> bool:
    """Not so "one of them", a code such as 2RS, and a share of nothing measured."""
    after = match.string[match.end() : match.end() + 1]
    return match["part"] is None and match.group().lower() != "one" and not after.isalpha()


def _value(match: re.Match[str]) -> float | None:
    """The number, rounded to what a text can state; None for what is none."""
    try:
        value = _worked_value(match)
    except ValueError:
        return None
    return round(value, 9)


def _worked_value(match: re.Match[str]) -> float:
    if match["fraction"]:
        return float(match["whole"] or 0) + float(match["over"]) / float(match["under"])
    if match["figures"]:
        return _in_figures(match["figures"])
    if match["part"]:
        return _of_many(match["many"]) / _SHARES[(match["share"] or match["one_share"]).lower()]
    return _in_words(match)


def _in_figures(text: str) -> float:
    extra = _SIGNS.get(text[-1], 0.0)
    plain = text.rstrip("½¼¾ ").replace("−", "-")
    value = float(re.sub(r",(?=\d{3})", "", plain))
    return value + extra


def _in_words(match: re.Match[str]) -> float:
    spoken = match["spoken"].lower()
    rest = 0.0
    if match["and_share"]:
        spoken = spoken[: spoken.rindex(" and ")]
        rest = _of_many(match["and_many"]) / _SHARES[match["and_share"].lower()]
    sign = -1.0 if spoken.startswith("minus ") else 1.0
    whole, _, digits = spoken.removeprefix("minus ").partition(" point ")
    value = _spoken_whole(whole)
    if digits:
        said = re.findall(rf"\b(?:{_BEHIND_POINT})\b", digits)
        value = float(f"{value:.0f}.{''.join(f'{_spoken_whole(one):.0f}' for one in said)}")
    return sign * (value + rest)


def _of_many(many: str | None) -> float:
    return 1.0 if many is None or many.lower() in ("a", "an") else _spoken_whole(many.lower())


@lru_cache(maxsize=4096)
def _spoken_whole(words: str) -> float:
    if words in ("zero", "nought", "oh"):
        return 0.0
    return float(text2num(re.sub(r"^a ", "one ", words), "en"))


# --- What gives a figure ---------------------------------------------------------------------------------------------

_IN_BASE = {
    "mm": ("mm", 1.0), "cm": ("mm", 10.0), "m": ("mm", 1000.0), "km": ("mm", 1e6), "in": ("mm", 25.4), "µm": ("mm", 1e-3),
    "kPa": ("kPa", 1.0), "bar": ("kPa", 100.0), "psi": ("kPa", 6.894757), "MPa": ("kPa", 1000.0),
    "kg": ("kg", 1.0), "g": ("kg", 1e-3), "lb": ("kg", 0.45359237), "mph": ("km/h", 1.609344),
    "min": ("s", 60.0), "h": ("s", 3600.0), "N": ("N", 1.0), "kN": ("N", 1000.0),
}  # fmt: skip
"""Units that mean the same, with the factor to their common one; any other unit stands for itself."""


def _in_base(value: float, unit: str) -> tuple[float, str]:
    base, factor = _IN_BASE.get(unit, (_SAME_UNIT.get(unit, unit), 1.0))
    return value * factor, base


def _place(value: float) -> tuple[float, int]:
    """The worth of the last digit that a number is written with, and how many digits count."""
    digits = f"{abs(value):.9f}".rstrip("0").rstrip(".")
    whole, _, rest = digits.partition(".")
    if rest:
        return 10.0 ** -len(rest), len((whole + rest).lstrip("0"))
    bare = whole.rstrip("0")
    return 10.0 ** (len(whole) - len(bare)), len(bare)


def _is_rounded(value: float, raw: float) -> bool:
    """Whether a number is another one rounded: 3.9 of 3.9057, but not 5 of 5.4."""
    worth, digits = _place(value)
    off = abs(value - raw)
    return off <= worth * 0.5001 and (digits >= 2 or off <= NEARLY_SHARE * abs(value) + 1e-9)


@dataclass(frozen=True, slots=True)
class _Given:
    """A number of the draft's own: its value in its unit, and what it is of."""

    value: float
    unit: str
    label: str

    def gives(self, value: float, unit: str) -> bool:
        """Whether a figure of a text is this number, rounded or not."""
        mine, base = _in_base(self.value, self.unit)
        _, wanted = _in_base(1.0, unit)
        factor = _IN_BASE.get(unit, ("", 1.0))[1]
        return base == wanted and _is_rounded(value, mine / factor)


def _given(line: Line) -> Iterator[_Given]:
    """Every number that the working gives: figures, limits, inputs, what is asked back, what was assumed and decided."""
    for figure in line["figures"]:
        yield from _numbers((figure["value"], figure["low"], figure["high"]), figure["unit"], figure["label"])
    for figure in line["figures"]:
        limits = [limit for limit, _ in (*figure["marks"], *figure["bands"])]
        yield from _numbers(limits, figure["unit"], figure["label"])
        for one in figure["inputs"]:
            values = one["value"] if isinstance(one["value"], list | tuple) else [one["value"]]
            yield from _numbers(values, one["unit"], one["label"] or _plain_name(one["name"]))
        yield from _written(figure["working"], figure["label"])
    for ask in line["asks"]:
        label = _plain_name(ask["name"])
        yield from _numbers([ask["tips_at"]], ask["unit"], label)
        sides = [f"{side['when']}. {side['because']}" for side in ask["sides"]]
        for text in (ask["question"], ask["measure"], *sides):
            yield from _written(text or "", label)
    for near in line["nearest"]:
        yield from _written(near["value"], near["label"])
    for text in (*line["assumed"], *line["reasons"], *line["conditions"]):
        yield from _written(text, "")


def _numbers(values: Iterable[Any], unit: str, label: str) -> Iterator[_Given]:
    for value in values:
        if isinstance(value, int | float) and not isinstance(value, bool):
            yield _Given(float(value), unit, label)
            if value < 0:  # "0.3 mm short"
                yield _Given(-float(value), unit, label)


def _written(text: str, label: str) -> Iterator[_Given]:
    for sentence in _read(text):
        for figure in sentence.figures:
            yield _Given(figure.value, figure.unit, label)


def _plain_name(name: str) -> str:
    """ "tyre width" of tyre_width_mm."""
    ending = unit_of(name).ending
    return name.removesuffix(f"_{ending}").replace("_", " ")


class _Own:
    """The numbers that a draft's working gives."""

    def __init__(self, line: Line) -> None:
        self.all = list(_given(line))
        self.shown: dict[tuple[float, str], set[str]] = {}
        self.bare: dict[float, set[str]] = {}
        for figure, label in _shown(line):
            self.shown.setdefault(figure.amount, set()).add(label)
            self.bare.setdefault(figure.value, set()).add(label)

    def gives(self, figure: _Figure) -> bool:
        """Whether the working gives a figure, rounded or not."""
        return any(one.gives(figure.value, figure.unit) for one in self.all)

    def counts(self, figure: _Figure) -> bool:
        """Whether it is a figure at all: a number with a unit, or a bare one that is the shown value of one."""
        return figure.unit != "" or figure.value in self.bare

    def of_what(self, figure: _Figure) -> str:
        """ " (chain wear)", or nothing where it may be more than one thing or none."""
        if figure.unit:
            labels = self.shown.get(figure.amount) or {
                one.label for one in self.all if one.gives(figure.value, figure.unit)
            }
        else:
            labels = self.bare.get(figure.value, set())
        label = next(iter(labels)) if len(labels) == 1 else ""
        return f" ({_small(label)})" if label else ""


def _shown(line: Line) -> Iterator[tuple[_Figure, str]]:
    """Each figure's best value as it is shown, or both ends where there is none; then the nearest that works."""
    for one in line["figures"]:
        ends = 2 if one["value"] is None else 1
        units = 2 if one["unit"] == "kPa" else 1
        for figure in _figures_of(shown(one))[0][: ends * units]:
            yield figure, one["label"]
    for near in line["nearest"]:
        for figure in _figures_of(near["value"])[0]:
            yield figure, near["label"]


def _small(label: str) -> str:
    return label if label[1:2].isupper() else f"{label[:1].lower()}{label[1:]}"


# --- One edited text -------------------------------------------------------------------------------------------------

# What turns the meaning of a sentence when it comes or goes.
_WEIGHTY = re.compile(
    r"not|no|never|none|nothing|nobody|neither|nor|without|must|cannot|\w+n't|before|until|unless|only|qualified|mechanics?|"
    r"maker(?:'s)?|makers|stop|if"
)
_NEGATES = re.compile(r"not|no|never|none|nothing|nobody|neither|nor|without|cannot|\w+n't")
_BINDS = frozenset(
    {"condition", "conditions", "if", "provided", "only", "long", "when", "unless", "hangs", "must"}
)
ALIKE_ENOUGH = 60.0
"""From this likeness of a hundred on, a sentence is another wording of one that is no longer there."""
ALIKE_WITHIN = 85.0
"""The same for a sentence that was drawn into a longer one."""
_REFUSALS: Mapping[str, re.Pattern[str]] = {
    "not-recommended": re.compile(r"not|no|never|\w+n't|cannot|stop"),
    "inspect-first": re.compile(
        r"not|no|never|\w+n't|cannot|stop|until|before|first|inspect\w*|look(?:ed|s)?|seen|gauged|checked"
    ),
    "need-more": re.compile(
        r"not|no|never|\w+n't|cannot|until|before|hangs?|depends?|decides?|tell|open|close|near"
    ),
}
"""The words of a verdict's answer that make it what it is."""
_STRONG = re.compile(
    r"\b(?:not recommended|(?:do not|don't|never|isn't|is not|not to be|aren't|are not) rid(?:e|den)|stop riding)\b"
)
_ALLOWS = re.compile(
    r"\b(?:(?:safe|fine|all right|ok|okay) to (?:ride|use|fit)|you (?:can|may) (?:still |safely |well )?(?:ride|use|fit) "
    r"(?:it|them|that|this|home|on)|(?:is|are|we|i) recommend(?:ed)?|go ahead)\b"
)
_RESERVED = re.compile(
    r"\b(?:not|no|never|\w+n't|cannot|if|once|when|after|until|unless|only|before|whether)\b"
)
WORDS_TOLD = 6
LEAST_LIKE_PLACE = 3
"""Of six: two for a like word next to the figure on either side, one for the next but one."""


class _Edit:
    """A drafted text and what was made of it."""

    def __init__(
        self, line: Line, where: Where, drafted: Sequence[_Sentence], edited: Sequence[_Sentence]
    ) -> None:
        self.line, self.where, self.drafted, self.edited = line, where, drafted, edited
        stood, stands = {s.words for s in drafted}, {s.words for s in edited}
        self.lost = [s for s in drafted if s.words not in stands]
        self.fresh = [s for s in edited if s.words not in stood]
        self.found: list[Concern] = []
        self.told_of: set[tuple[str, ...]] = set()
        self.dropped: set[tuple[str, ...]] = set()

    def concerns(self) -> list[Concern]:
        """All there is to point out."""
        for caution in self.line["cautions"]:
            for sentence in _read(caution):
                self._hold_caution(sentence)
        for condition in self.line["conditions"]:
            self._hold_condition(_folded(condition.translate(_SAME_SIGN)))
        self._hold_verdict()
        self._hold_figures()
        return self.found

    def _add(self, kind: Kind, was: str | None, now: str | None, told: str) -> None:
        self.found.append(Concern(self.where, kind, was, now, told))

    def _hold_caution(self, meant: _Sentence) -> None:
        if any(meant.words == s.words for s in self.edited):
            return
        was = next((s for s in self.lost if s.words == meant.words), None) or _as_said(meant, self.drafted)
        if was is not None and was in self.lost:
            self._gone_or_altered("caution", was)

    def _hold_condition(self, words: tuple[str, ...]) -> None:
        holding = [s for s in self.drafted if _place_in(s.words, words) is not None]
        if any(s not in self.lost for s in holding):
            return
        if any(_still_binds(words, holding, now) for now in self.fresh):
            return
        was = holding[0] if holding else _as_said_within(words, self.drafted)
        if was is not None and was in self.lost:
            self._gone_or_altered("condition", was)

    def _gone_or_altered(self, what: Literal["caution", "condition"], was: _Sentence) -> None:
        if was.words in self.told_of:
            return
        self.told_of.add(was.words)
        now = _most_alike(was, self.fresh)
        if now is not None:
            told = f'The {what} "{_opening(was.text)}" {_how_altered(was, now)} in the {self.where}.'
            altered: Kind = "caution altered" if what == "caution" else "condition altered"
            self._add(altered, was.text, now.text, told)
            return
        self.dropped.add(was.words)
        told = f'The {what} "{_opening(was.text)}" no longer stands in the {self.where}.'
        self._add("caution dropped" if what == "caution" else "condition dropped", was.text, None, told)

    def _hold_verdict(self) -> None:
        refusal = _REFUSALS.get(self.line["verdict"])
        if refusal is None:
            return
        headline = {s.words for s in _read(self.line["headline"] or "")}
        for was in self.lost:
            wanted = _count(refusal, was)
            is_verdict = was.words in headline or _STRONG.search(was.folded)
            if not wanted or not is_verdict or was.words in self.told_of:
                continue
            now = _most_alike(was, self.fresh)
            if now is None or _count(refusal, now) < wanted:
                self._verdict_changed(was, now)
        for now in self.fresh:
            if _ALLOWS.search(now.folded) and not _RESERVED.search(now.folded):
                self._verdict_changed(None, now)

    def _verdict_changed(self, was: _Sentence | None, now: _Sentence | None) -> None:
        there, here = (None if one is None else f'"{_opening(one.text)}"' for one in (was, now))
        if there is None:
            how = f"now says {here}"
        elif here is None:
            how = f"no longer says {there}"
        else:
            how = f"turns {there} into {here}"
        told = f"The verdict is {self.line['verdict']}, and the {self.where} {how}."
        self._add("verdict word changed", was.text if was else None, now.text if now else None, told)

    def _hold_figures(self) -> None:
        stood, stands = ({(s.words, s.amounts) for s in text} for text in (self.drafted, self.edited))
        gone = [s for s in self.drafted if s.figures and (s.words, s.amounts) not in stands]
        new = [s for s in self.edited if s.figures and (s.words, s.amounts) not in stood]
        if not gone and not new:
            return
        own = _Own(self.line)
        changed, gone_figures, new_figures = _told_apart(gone, new)
        for was, now in changed:
            if now.unit or own.counts(was):
                told = f'The {self.where} says "{now.plain}" where the draft gave "{was.plain}"{own.of_what(was)}.'
                self._add("figure changed", was.written, now.written, told)
        still = {figure.amount for s in self.edited for figure in s.figures}
        with_a_caution = {figure.amount for s in gone if s.words in self.dropped for figure in s.figures}
        for figure in _each_once(gone_figures, still | with_a_caution):
            if own.counts(figure):
                told = f'The {self.where} no longer gives "{figure.plain}"{own.of_what(figure)}.'
                self._add("figure gone", figure.written, None, told)
        for figure in _each_once(new_figures, set()):
            if figure.unit and not own.gives(figure):
                told = f'The {self.where} says "{figure.plain}"; no working gives that figure.'
                self._add("new figure", None, figure.written, told)


def _opening(text: str) -> str:
    """The first words of a sentence, enough to find it."""
    words = text.split()
    return (
        text.rstrip(".") if len(words) <= WORDS_TOLD + 1 else f"{' '.join(words[:WORDS_TOLD]).rstrip(',;:')}…"
    )


def _as_said(meant: _Sentence, drafted: Iterable[_Sentence]) -> _Sentence | None:
    """How the drafted text words a caution that isn't there to the word: a script says numbers its own way."""
    if any(meant.words == s.words for s in drafted):
        return None
    likeness = {s: fuzz.ratio(s.folded, meant.folded) for s in drafted}
    nearest = max(likeness, key=lambda s: likeness[s], default=None)
    return nearest if nearest is not None and likeness[nearest] >= ALIKE_WITHIN else None


def _as_said_within(words: Sequence[str], drafted: Iterable[_Sentence]) -> _Sentence | None:
    """The same for a condition, which is a part of its sentence."""
    wanted = " ".join(words)
    likeness = {
        s: fuzz.partial_ratio(s.folded, wanted) for s in drafted if len(s.folded) >= 0.8 * len(wanted)
    }
    nearest = max(likeness, key=lambda s: likeness[s], default=None)
    return nearest if nearest is not None and likeness[nearest] >= ALIKE_WITHIN else None


def _most_alike(was: _Sentence, fresh: Iterable[_Sentence]) -> _Sentence | None:
    """The fresh sentence that is another wording of a lost one."""
    likeness = {s: _likeness(was.folded, s.folded) for s in fresh}
    nearest = max(likeness, key=lambda s: likeness[s], default=None)
    return nearest if nearest is not None and likeness[nearest] >= ALIKE_ENOUGH else None


def _likeness(was: str, now: str) -> float:
    whole = max(fuzz.ratio(was, now), fuzz.token_sort_ratio(was, now))
    within = fuzz.partial_ratio(was, now) if len(now) > len(was) else 0.0
    return max(whole, within if within >= ALIKE_WITHIN else 0.0)


def _how_altered(was: _Sentence, now: _Sentence) -> str:
    """ "has lost "never"", where a word that turns the meaning or a figure came or went."""
    before, after = _weights(was), _weights(now)
    told = [
        f"has {verb} {' and '.join(f'{chr(34)}{word}{chr(34)}' for word in words)}"
        for verb, words in (("lost", before - after), ("gained", after - before))
        if words
    ]
    return " and ".join(told) or "is worded otherwise"


def _weights(sentence: _Sentence) -> Counter[str]:
    words = [re.sub(r"\w+n't", "not", word) for word in sentence.words if _WEIGHTY.fullmatch(word)]
    return Counter([*words, *(figure.plain for figure in sentence.figures)])


def _count(pattern: re.Pattern[str], sentence: _Sentence) -> int:
    return sum(pattern.fullmatch(word) is not None for word in sentence.words)


def _place_in(words: Sequence[str], part: Sequence[str]) -> int | None:
    """Where a run of words begins in others."""
    size = len(part)
    return next(
        (at for at in range(len(words) - size + 1) if tuple(words[at : at + size]) == tuple(part)), None
    )


def _still_binds(condition: tuple[str, ...], holding: Sequence[_Sentence], now: _Sentence) -> bool:
    """Whether a reworded sentence still makes the same condition of the same words."""
    place = _place_in(now.words, condition)
    if place is None or not holding:
        return False
    was = holding[0]
    return _count(_NEGATES, now) == _count(_NEGATES, was) and not _BINDS.isdisjoint(now.words[:place])


def _told_apart(
    gone: Sequence[_Sentence], new: Sequence[_Sentence]
) -> tuple[list[tuple[_Figure, _Figure]], list[_Figure], list[_Figure]]:
    """(figures that changed, was and now), those only in the first sentences, those only in the second."""
    changed: list[tuple[_Figure, _Figure]] = []
    by_shape: dict[tuple[str, ...], list[_Sentence]] = {}
    for sentence in new:
        by_shape.setdefault(sentence.shape, []).append(sentence)
    left: list[_Figure] = []
    for sentence in gone:
        alike = by_shape.get(sentence.shape)
        if alike:
            pairs = zip(sentence.figures, alike.pop(0).figures, strict=True)
            changed += [(was, now) for was, now in pairs if was.amount != now.amount]
        else:
            left += sentence.figures
    come = [figure for sentences in by_shape.values() for s in sentences for figure in s.figures]
    went, came = _only_in(left, come), _only_in(come, left)
    moved = list(_at_like_places(went, came, left, come))
    changed += moved
    for was, now in moved:
        went[was.amount] -= 1
        came[now.amount] -= 1
    return changed, _counted(left, went), _counted(come, came)


def _only_in(here: Iterable[_Figure], there: Iterable[_Figure]) -> Counter[tuple[float, str]]:
    return Counter(one.amount for one in here) - Counter(one.amount for one in there)


def _counted(figures: Iterable[_Figure], counts: Counter[tuple[float, str]]) -> list[_Figure]:
    return [figure for figure in figures if counts[figure.amount] > 0]


def _at_like_places(
    went: Counter[tuple[float, str]],
    came: Counter[tuple[float, str]],
    left: Sequence[_Figure],
    come: Sequence[_Figure],
) -> Iterator[tuple[_Figure, _Figure]]:
    """Figures of one unit, each (was, now), that stand between the same words; the likest places first."""
    went, came = Counter(went), Counter(came)
    pairs = [
        (_like_place(was, now), place, other)
        for place, was in enumerate(left)
        for other, now in enumerate(come)
        if was.unit == now.unit and went[was.amount] > 0 and came[now.amount] > 0
    ]
    taken: set[tuple[str, int]] = set()
    for likeness, place, other in sorted(pairs, key=lambda pair: (-pair[0], pair[1], pair[2])):
        was, now = left[place], come[other]
        if likeness < LEAST_LIKE_PLACE or {("left", place), ("come", other)} & taken:
            continue
        if went[was.amount] > 0 and came[now.amount] > 0:
            taken |= {("left", place), ("come", other)}
            went[was.amount] -= 1
            came[now.amount] -= 1
            yield was, now


def _like_place(was: _Figure, now: _Figure) -> int:
    sides = ((was.before[::-1], now.before[::-1]), (was.after, now.after))
    return sum(
        worth
        for here, there in sides
        for worth, one, other in zip((2, 1), here, there, strict=False)
        if one == other
    )


def _each_once(figures: Iterable[_Figure], but: Set[tuple[float, str]]) -> list[_Figure]:
    first: dict[tuple[float, str], _Figure] = {}
    for figure in figures:
        if figure.amount not in but:
            first.setdefault(figure.amount, figure)
    return list(first.values())

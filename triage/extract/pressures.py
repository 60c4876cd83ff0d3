"""Pressures whose unit stands elsewhere: "the PSI on the tyre (75)", "tyre max 6.9 bar, rim sticker 5.5, I ride 6.5"."""

from __future__ import annotations

from collections.abc import Iterator

from triage.extract.forms import form
from triage.extract.numbers import PLAIN, number
from triage.extract.passage import Found, Passage
from triage.extract.units import settled

_IN_BRACKETS = form(
    rf"\b(psi|bars?)\b(?!\s?\()([^.;?!\d()]{{1,48}})\(({PLAIN})\)",
    catches="the psi printed on the tyre (75)",
    leaves="75 psi (front)",
)
_UNIT_SAID = form(r"\d\s?(bar|psi)\b", catches="6.9 bar", leaves="handlebar")
_BARE_BAR = r"([1-9][.,]\d|1[0-2][.,]\d)(?![\w.,]\d|\w|\s?(?:mm|cm|inch|in\b|kg|km|miles?|x\b|psi|bar|%|\"|years?|tyres?|tires?))"
_RIM_STANDS = form(
    rf"\brim(?:'s|s)?\s(?:(?:sticker|label|limit|max(?:imum)?|says?|is|allows?|only|just|at|to|marked|rated|printed|mine|of|the)\s?[:=]?\s?){{0,4}}{_BARE_BAR}",
    catches="rim sticker 5.5",
    leaves="rim is 5.5 mm",
)
_I_RIDE = form(
    rf"\b(?:ridden|ride|riding|run|running|pump(?:ed)?|inflated?|keep (?:it|them)|kept (?:it|them)|seats?|seated)\s(?:(?:it|them|mine|at|to|up|with|about|around|always|only|just)\s){{0,3}}{_BARE_BAR}",
    catches="always ridden 6.5",
    leaves="ridden 6.5 km",
)
_I_GIVE = form(
    r"\b(?:give|gave|giving)\s(?:it|them|mine)\s(?:about\s|only\s|just\s)?(\d{1,3}(?:[.,]\d)?)(?![\w.,]\d|\w|\s?(?:psi|bar|mm|nm|n\b|kg|turns?|drops?|days?|weeks?|hours?|minutes?|of\b|more\b|years?|months?))",
    catches="i give them 70",
    leaves="i give them 70 drops",
)
_I_WANT = form(
    r"\b(?:want|wants|wanted|would like|i'd like)\s(?:to\s(?:ride|run|use|have|pump|go)\s(?:(?:it|them|mine|at|to|up|with|about|around)\s){0,3})?"
    r"([1-9](?:[.,]\d)?|1[0-2](?:[.,]\d)?)(?![\w.,]\d|\w|\s?(?:mm|cm|inch|in\b|kg|km|miles?|x\b|psi|bar|%|\"|years?|tyres?|tires?|speeds?|of\b|new\b|more\b|wheels?|gears?))",
    catches="i want 7",
    leaves="i want 7 speeds",
)
_PAIR_OF_PSI = form(
    r"\b(?:tried|used|use|using|ridden|ride|riding|run|running|ran|start(?:ed)?|pump(?:ed)?|inflated?|went|at)\s(?:(?:it|them|at|to|up|with|about|around|roughly|only|just)\s){0,3}"
    r"([4-9]\d|1[0-5]\d)\s?/\s?([4-9]\d|1[0-5]\d)(?![\w/%]|[.,]\d|\s?(?:psi|bar|mm|cm|kg|lbs?|pounds|teeth|t\b|rings?|chainrings?|crank|cm|split|rule))",
    catches="then i tried 85/95",
    leaves="then i tried 85/95 psi",
)
_OF_RINGS = ("chainring", "crankset", "chainset", "teeth", "gearing")
_MIN_AND_MAX = form(
    rf"\bmin(?:imum)?\.?\s?(?:of\s|is\s|[:=]\s?)?{PLAIN}\s?(?:bars?|psi)?\s?(?:,|/|;|-|–|and|to)?\s?max(?:imum)?\.?\s?(?:of\s|is\s|[:=]\s?)?({PLAIN})\s?(bar|psi)s?\b",
    catches="min 2.0 max 4.0 bar",
    leaves="min 2.0 bar, tyre max 4.0 bar",
)
_RANGE_STANDS = form(
    rf"(?<![\w.,]){PLAIN}\s?(?:bars?|psi)?\s?(?:-|–|to)\s?({PLAIN})\s?(bar|psi)s?\s(?:(?:is\s|are\s|as\s)?(?:what'?s\s|what is\s)?(?:written|printed|marked|stamped|moulded|molded|embossed)|on (?:the|its|their) (?:sidewalls?|side walls?|label))\b",
    catches="2.5 - 4.5 bar is written",
    leaves="2.5 - 4.5 bar is soft",
)
_RIM_SPEAKS = form(r"\brims?\b[^.;?!]*$", catches="rim sticker says ", leaves="rims. tyre says ")
_PRINTED = ("tyre", "tire", "sidewall", "printed", "specified", "max", "recommended", "limit")


_A_RULE = form(
    r"\d{1,3}(?:[.,]\d)?\s?(?:bar|psi)\s(?:thing|rule|ceiling|cap|business|stuff|story|question|debate|maximum for hookless|limit for hookless|hookless (?:limit|rule|max(?:imum)?))\b",
    catches="5 bar thing",
    leaves="5 bar in them",
)


_END_WORD = r"(?:(?:in|at|on|up|out)\s)?(?:the\s|my\s)?(?:front|rear|back|behind)(?:\s(?:tyre|tire|wheel))?"
_UNIT_AT_THE_FIRST = form(
    rf"({PLAIN})\s?(psi|bar)\s{_END_WORD}\s?(?:,|and|/|&|;)\s?(?:about\s|around\s)?({PLAIN})\s{_END_WORD}\b",
    catches="60 psi front and 70 rear",
    leaves="60 psi front and 70 psi rear",
)
_UNIT_AT_THE_LAST = form(
    rf"({PLAIN})\s{_END_WORD}\s?(?:,|and|/|&|;)\s?(?:about\s|around\s)?({PLAIN})\s?(psi|bar)\s{_END_WORD}\b",
    catches="60 front and 70 psi rear",
    leaves="60 psi front and 70 psi rear",
)


def by_end(passage: Passage) -> Iterator[list[Found]]:
    """ "60 psi front and 70 rear": the unit is said once and holds for both."""
    for m in passage.at_numbers(_UNIT_AT_THE_FIRST):
        yield [
            Found("tyre_pressure_kpa", settled(number(m[group]), m[2], "tyre_pressure_kpa"), *m.span(group))
            for group in (1, 3)
        ]
    for m in passage.at_numbers(_UNIT_AT_THE_LAST):
        yield [
            Found("tyre_pressure_kpa", settled(number(m[group]), m[3], "tyre_pressure_kpa"), *m.span(group))
            for group in (1, 2)
        ]


def spoken_of_only(passage: Passage) -> Iterator[list[Found]]:
    """ "The 5 bar thing" is a rule that is talked about, and what nobody has pumped up."""
    for m in passage.at_numbers(_A_RULE):
        passage.taken.append(m.span())
    yield from ()


def in_brackets(passage: Passage) -> Iterator[list[Found]]:
    """Of a pressure that was pumped up to what is printed, both."""
    for m in passage.around(_IN_BRACKETS, "psi", "bar"):
        value = settled(number(m[3]), "psi" if m[1] == "psi" else "bar", "tyre_pressure_kpa")
        found = [Found("tyre_pressure_kpa", value, *m.span(3))]
        if any(word in m[2] for word in _PRINTED):
            found.append(Found("tyre_max_pressure_kpa", value, *m.span(3)))
        yield found


SOFTEST_KPA, HARDEST_KPA = 60, 1100
"""Between what a fat tyre and a track tyre are pumped to, by common practice."""


def beside_a_unit(passage: Passage) -> Iterator[list[Found]]:
    """Bare figures with a point, where "bar" was said of another pressure and of none in psi; front and rear as "90/110" beside psi."""
    units = {match[1] for match in _UNIT_SAID.finditer(passage.text)}
    if units == {"psi"} and not passage.holds(*_OF_RINGS):
        for m in passage.around(_PAIR_OF_PSI, "/"):
            # The front is never the harder of the two; 52/42 are rings.
            if float(m[1]) <= float(m[2]):
                name = "tyre_pressure_kpa"
                low, high = (settled(float(m[place]), "psi", name) for place in (1, 2))
                yield [Found(name, (low, high) if low < high else low, m.start(1), m.end(2))]
    for m in passage.around(_I_GIVE, "give", "gave", "giving") if len(units) == 1 else ():
        value = settled(number(m[1]), next(iter(units)), "tyre_pressure_kpa")
        if SOFTEST_KPA <= value <= HARDEST_KPA:
            yield [Found("tyre_pressure_kpa", value, *m.span(1))]
    if units != {"bar"}:
        return
    for name, pattern in (
        ("rim_max_pressure_kpa", _RIM_STANDS),
        ("tyre_pressure_kpa", _I_RIDE),
        ("tyre_pressure_kpa", _I_WANT),
    ):
        for m in passage.around(
            pattern, "rim", "rid", "run", "pump", "inflat", "keep", "kept", "seat", "want", "like"
        ):
            yield [Found(name, settled(number(m[1]), "bar", name), *m.span(1))]


def printed_range(passage: Passage) -> Iterator[list[Found]]:
    """The upper end of a range that stands on a tyre or a rim: neither end is what is ridden."""
    for pattern in (_MIN_AND_MAX, _RANGE_STANDS):
        for m in passage.around(pattern, "bar", "psi"):
            is_of_rim = _RIM_SPEAKS.search(passage.before(m.start())) is not None
            name = "rim_max_pressure_kpa" if is_of_rim else "tyre_max_pressure_kpa"
            yield [Found(name, settled(number(m[1]), m[2], name), *m.span())]

"""Numbers without a unit that a form of their own tells: before "ratio" or "BCD", fractions, and what follows a unit."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping

from knowledge.base import QuantityKind
from triage.extract.forms import form
from triage.extract.measures import is_plausible
from triage.extract.numbers import FRACTION, PLAIN, number
from triage.extract.passage import Found, Passage
from triage.extract.units import UNIT_PATTERN, is_fitting, settled

_BEFORE_CUE = form(
    rf"({PLAIN})(?=\s?(?:actuation\s)?(?:ratio|bcd|pcd|erd|tpi|crosses)\b)",
    catches="1.7 ratio",
    leaves="1.7 and ratio",
)
_STEERER = form(
    rf"({FRACTION}|1)(?:\"|\s?inch)?(?=\s(?:\w+\s)?(?:steerer|headset|fork))",
    catches="1 1/8 headset",
    leaves="1 1/8 tyre",
)
_STEERER_BEFORE = form(
    rf"\b(?:steerer|fork column|headset)\s(?:tube\s)?(?:is|of|measures|=|was)\s(?:an?\s|about\s)?({FRACTION})",
    catches="steerer is 1-1/8",
    leaves="steerer is 28.6",
)
_CHAIN_WIDTH = form(
    r"(1/8|3/32|11/128)(?:\"|\s?inch|\s?in)?(?=\s(?:chains?|track chain|sprocket|cog|freewheel|chainring|ring))",
    catches="3/32 sprocket",
    leaves="3/32 tyre",
)
_GRIP = form(
    r"(?:\b(?:mu|friction|grip|traction)|µ)(?:\s(?:coefficient|of|is|about|around|say|at|value|friction|factor)){0,4}\s?=?\s?([01]?[.,]\d{1,2})(?![\w.,]\d|\s?(?:mm|cm|%|nm))",
    catches="coefficient of friction of 0.7",
    leaves="grip of 0.7 mm",
)
_MAX_IS = form(
    r"\b(?:max|maximum|limit)\s(?:is|says)\s(?:only\s|about\s|around\s)?$",
    catches=", max is ",
    leaves=" max and i ride at ",
)
# "90 psi to 40", "10 nm instead of 5", "max 65 psi, I ride it at 45": the second number has the first one's unit.
_FOLLOWS = form(
    rf"[^.;?!\n\d]{{0,34}}?\b(to|at|instead of|rather than|not|only|just|is|it's|says|down to|up to|now|on|use|i do|printed)\s(?:only\s|about\s|around\s|the\s)?({PLAIN})(?:[\s-]?ish\b)?"
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


_NEW_BEHIND = form(
    rf"({PLAIN})(?:\s?mm)?(?=\s(?:when (?:it was |they were )?new|as new|from new|originally)\b)",
    catches="1.7 when new",
    leaves="1.7 when it rains",
)
_REACHED = form(
    r"\b(?:i|we)\s(?:only\s)?(?:got|reached|managed|stopped at|made|dared)\s(?:to\s|it\sto\s|about\s|only\s)*(\d{1,2})(?=\s(?:before|and (?:then )?(?:stopped|gave|chickened|lost)|then)\b)",
    catches="i got 35 before i stopped",
    leaves="i got 35 miles before",
)
"""How tight something was made, behind a torque that was stated with its unit."""


class BareReader:
    """Reads bare numbers against the cues of one knowledge base."""

    def __init__(self, kinds: Mapping[str, QuantityKind]) -> None:
        self.kinds = kinds

    def read(self, passage: Passage) -> None:
        """Put what bare numbers state among the passage's findings."""
        for reader in (self._forms, self._followers):
            for found in list(reader(passage)):
                if passage.is_free(found.start, found.end) and is_plausible(
                    found.value, self.kinds[found.name]
                ):
                    passage.found.append(found)
                    passage.taken.append((found.start, found.end))

    def _forms(self, passage: Passage) -> Iterator[Found]:
        for m in passage.at_numbers(_STEERER):
            yield Found("steerer_diameter_mm", round(number(m[1]) * 25.4, 3), *m.span(1))
        for m in passage.around(_STEERER_BEFORE, "steerer", "column", "headset"):
            yield Found("steerer_diameter_mm", round(number(m[1]) * 25.4, 3), *m.span(1))
        for m in passage.at_numbers(_CHAIN_WIDTH):
            yield Found("chain_inner_width_mm", round(number(m[1]) * 25.4, 3), *m.span(1))
        if not passage.holds("thread", "bolt", "torque", "bearing", " nut"):
            for m in passage.around(_GRIP, "mu", "µ", "friction", "grip", "traction"):
                yield Found("road_grip", number(m[1]), *m.span(1))
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
                ("new_rotor_thickness_mm", "rotor_thickness_mm"),
            ):
                if passage.has_found(base):
                    yield Found(name, number(m[1]), *m.span(1))
        for m in passage.at_numbers(_NEW_BEHIND):
            for base in ("rim_wall_mm", "pad_thickness_mm"):
                if passage.has_found(base):
                    yield Found(f"new_{base}", number(m[1]), *m.span(1))
        if passage.has_found("torque_n_m", "stated_torque_n_m"):
            for m in passage.around(_REACHED, "got", "reached", "managed", "stopped", "made", "dared"):
                yield Found("torque_n_m", number(m[1]), *m.span(1))

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
        if first.name in ("torque_n_m", "stated_torque_n_m") and link in ("i do", "printed"):
            return "torque_n_m" if link == "i do" else "stated_torque_n_m"
        if link in ("i do", "printed"):
            return None
        if first.name in ("tyre_pressure_kpa", "tyre_max_pressure_kpa", "rim_max_pressure_kpa"):
            if "rim" in between:
                return "rim_max_pressure_kpa"
            if _MAX_IS.search(between):
                return "tyre_max_pressure_kpa"
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

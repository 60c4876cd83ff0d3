"""No sentence names a pressure, torque or temperature above a limit that was stated."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from knowledge.base import Knowledge
from knowledge.numbers import PSI_PER_KPA
from knowledge.units import unit_of
from triage.draft.sentences import sentences_of
from triage.records import Finding
from triage.shown import AFigure

_GUARDED = ("kPa", "N·m", "°C")
# A number with a unit that is guarded, as the mail writes it: "5.3 bar (77 psi)", "5 N·m", "60 °C".
_AMOUNT = re.compile(
    r"(?<![\w.,−-])(?:[\d,]*\d(?:\.\d+)?(?:\s?(?:to|or|–)\s?))?([\d,]*\d(?:\.\d+)?)\s?"
    r"(bar|psi|kPa|N·m|N m|Nm|°C)(?!\w| an? (?:day|hour|month))"
)
_IN_UNIT = {"bar": ("kPa", 100.0), "psi": ("kPa", 1 / PSI_PER_KPA), "kPa": ("kPa", 1.0), "°C": ("°C", 1.0)}
# "Never above 5 bar" and "at 5 bar or less" may stand whatever the tyre allows: they forbid and do not suggest.
_FORBIDS = re.compile(
    r"\b(?:never|ceiling|or less|under|below|no more than|at most|not above)\b", re.IGNORECASE
)
HOOKLESS_CEILING_KPA = 500.0
"""No hookless rim takes more. Source tyres-14."""
ROUNDING_SHARE = 0.02
"""A limit printed in the other unit reads a little higher: 5 bar is 72.5 psi and prints as 73."""


@dataclass(frozen=True)
class Limits:
    """The lowest stated limit of each guarded unit."""

    most: dict[str, float]

    @classmethod
    def of(cls, finding: Finding, knowledge: Knowledge) -> Limits:
        """The limits that the rider, a part or a table stated among a finding's values."""
        most: dict[str, float] = {}
        for name, highest in _stated(finding):
            unit = unit_of(name).symbol
            kind = knowledge.quantities.get(name)
            if unit in _GUARDED and kind is not None and kind.limit == "most":
                most[unit] = min(most.get(unit, float("inf")), highest)
        if any(d.name == "rim_type" and d.value == "hookless" for d in finding.matched.extracted.details):
            most["kPa"] = min(most.get("kPa", float("inf")), HOOKLESS_CEILING_KPA)
        return cls(most)

    def exceeds(self, figure: AFigure) -> bool:
        """Whether a figure lies above what was stated, so that no rider should read it."""
        limit = self.most.get(figure.unit)
        highest = figure.value if figure.value is not None else figure.high
        return limit is not None and highest is not None and highest > limit * (1 + ROUNDING_SHARE / 4)

    def without_what_exceeds(self, text: str) -> str:
        """The text without the sentences that name more than a stated limit."""
        if not self.most or _AMOUNT.search(text) is None:
            return text
        return " ".join(s for s in sentences_of(text) if not self._names_more(s))

    def _names_more(self, text: str) -> bool:
        if _FORBIDS.search(text):
            return False
        for match in _AMOUNT.finditer(text):
            unit, factor = _IN_UNIT.get(match[2], ("N·m", 1.0))
            limit = self.most.get(unit)
            if limit is not None and float(match[1].replace(",", "")) * factor > limit * (1 + ROUNDING_SHARE):
                return True
        return False


def _stated(finding: Finding) -> Iterator[tuple[str, float]]:
    """Every number that the rider, a part or a table gave, whether the brief works with it or not."""
    for name, value in finding.matched.values.items():
        if value.origin != "usual" and value.high is not None:
            yield name, value.high
    for detail in finding.matched.extracted.details:
        if not isinstance(detail.value, str):
            yield detail.name, max(detail.value) if isinstance(detail.value, tuple) else detail.value

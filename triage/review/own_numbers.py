"""The numbers that a draft's own working gives: a figure of an edited text that is none of them is a new one."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from knowledge.units import unit_of
from triage.output.glance import shown
from triage.review.amounts import IN_BASE, Figure, figures_of, in_base, is_rounded
from triage.review.sentences import sentences_in

Line = Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class _Given:
    """A number of the draft's own: its value in its unit, and what it is of."""

    value: float
    unit: str
    label: str

    def gives(self, value: float, unit: str) -> bool:
        """Whether a figure of a text is this number, rounded or not."""
        mine, base = in_base(self.value, self.unit)
        _, wanted = in_base(1.0, unit)
        factor = IN_BASE.get(unit, ("", 1.0))[1]
        return base == wanted and is_rounded(value, mine / factor)


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
    for sentence in sentences_in(text):
        for figure in sentence.figures:
            yield _Given(figure.value, figure.unit, label)


def _plain_name(name: str) -> str:
    """ "tyre width" of tyre_width_mm."""
    ending = unit_of(name).ending
    return name.removesuffix(f"_{ending}").replace("_", " ")


class OwnNumbers:
    """The numbers that a draft's working gives."""

    def __init__(self, line: Line) -> None:
        self.all = list(_given(line))
        self.shown: dict[tuple[float, str], set[str]] = {}
        self.bare: dict[float, set[str]] = {}
        for figure, label in _shown(line):
            self.shown.setdefault(figure.amount, set()).add(label)
            self.bare.setdefault(figure.value, set()).add(label)

    def gives(self, figure: Figure) -> bool:
        """Whether the working gives a figure, rounded or not."""
        return any(one.gives(figure.value, figure.unit) for one in self.all)

    def counts(self, figure: Figure) -> bool:
        """Whether it is a figure at all: a number with a unit, or a bare one that is the shown value of one."""
        return figure.unit != "" or figure.value in self.bare

    def of_what(self, figure: Figure) -> str:
        """ " (chain wear)", or nothing where it may be more than one thing or none."""
        if figure.unit:
            labels = self.shown.get(figure.amount) or {
                one.label for one in self.all if one.gives(figure.value, figure.unit)
            }
        else:
            labels = self.bare.get(figure.value, set())
        label = next(iter(labels)) if len(labels) == 1 else ""
        return f" ({small_label(label)})" if label else ""


def _shown(line: Line) -> Iterator[tuple[Figure, str]]:
    """Each figure's best value as it is shown, or both ends where there is none; then the nearest that works."""
    for one in line["figures"]:
        ends = 2 if one["value"] is None else 1
        units = 2 if one["unit"] == "kPa" else 1
        for figure in figures_of(shown(one))[0][: ends * units]:
            yield figure, one["label"]
    for near in line["nearest"]:
        for figure in figures_of(near["value"])[0]:
            yield figure, near["label"]


def small_label(label: str) -> str:
    return label if label[1:2].isupper() else f"{label[:1].lower()}{label[1:]}"

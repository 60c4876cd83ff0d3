"""Figures resolve by name: which calculations a brief needs, in which order, each input from where."""

from __future__ import annotations

from dataclasses import dataclass, field
from graphlib import CycleError, TopologicalSorter
from typing import TYPE_CHECKING

from rapidfuzz import process

if TYPE_CHECKING:
    from knowledge.base import Knowledge
    from knowledge.brief import Brief, Figure
    from knowledge.calculation import Calculation


class ResolveError(ValueError):
    """A figure's input leads nowhere, or figures need each other in a circle."""

    def __init__(self, message: str, index: int = 0, remedy: str = "", part: str = "figures") -> None:
        super().__init__(message)
        self.place: tuple[str, int] = (part, index)
        self.remedy = remedy


@dataclass(frozen=True, slots=True)
class Step:
    """One figure: its calculation, and for each argument the name (or fixed value) that supplies it."""

    name: str
    calculation: Calculation
    inputs: tuple[tuple[str, str | float], ...]
    wanted: bool
    label: str | None
    only_if_known: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class FigurePlan:
    """The figures of a brief in an order in which each finds its inputs worked out."""

    steps: tuple[Step, ...]
    _by_name: dict[str, Step] = field(init=False, repr=False, compare=False)
    _ancestors: dict[str, frozenset[str]] = field(init=False, repr=False, compare=False, default_factory=dict)

    def __post_init__(self) -> None:
        object.__setattr__(self, "_by_name", {step.name: step for step in self.steps})

    def step(self, name: str) -> Step:
        """The step that works a figure out.

        Raises:
            KeyError: the plan has no such figure.
        """
        return self._by_name[name]

    def ancestors(self, name: str) -> frozenset[str]:
        """The needs that a figure hangs on, directly or through other figures; a need is its own."""
        found = self._ancestors.get(name)
        if found is None:
            found = self._ancestors[name] = self._found_ancestors(name)
        return found

    def _found_ancestors(self, name: str) -> frozenset[str]:
        if name not in self._by_name:
            return frozenset({name})
        sources = [source for _, source in self._by_name[name].inputs if isinstance(source, str)]
        return frozenset().union(*map(self.ancestors, sources))


def plan(brief: Brief, knowledge: Knowledge) -> FigurePlan:
    """Order the figures of a brief, with the intermediate ones that they need.

    Raises:
        ResolveError: no such calculation, an input that nothing supplies, or a circle.
    """
    needs = {need.name for need in brief.needs}
    wanted = {figure.name: (index, figure) for index, figure in enumerate(brief.figures)}
    steps: dict[str, Step] = {}
    graph: dict[str, set[str]] = {}

    def visit(name: str, index: int, figure: Figure | None) -> None:
        if name in steps:
            return
        calculation_name = figure.works_out if figure else name
        calculation = knowledge.calculations.get(calculation_name)
        if calculation is None:
            known = list(knowledge.calculations)
            match = process.extractOne(calculation_name, known, score_cutoff=60)
            remedy = f'Did you mean "{match[0]}"?' if match else ""
            raise ResolveError(f"no calculation {calculation_name}", index, remedy)
        given = figure.inputs if figure else {}
        stray = set(given) - {argument.name for argument in calculation.arguments}
        if stray:
            raise ResolveError(f"{calculation_name} takes no {', '.join(sorted(stray))}", index)
        inputs: list[tuple[str, str | float]] = []
        graph[name] = set()
        for argument in calculation.arguments:
            source = given.get(argument.name, argument.name)
            if isinstance(source, str) and argument.is_choice and source in argument.limits:
                inputs.append((argument.name, source))
                continue
            if isinstance(source, str) and source not in needs:
                if (source in wanted and source != name) or (
                    source in knowledge.calculations and source != name
                ):
                    graph[name].add(source)
                elif argument.default is not None:
                    continue
                else:
                    raise ResolveError(
                        f"{name}: nothing supplies {source}",
                        index,
                        f"Add {source} to needs:, or say with: which need or figure it is.",
                    )
            inputs.append((argument.name, source))
        steps[name] = Step(
            name,
            calculation,
            tuple(inputs),
            wanted=figure is not None,
            label=figure.label if figure else None,
            only_if_known=figure.only_if_known if figure else (),
        )
        for source in sorted(graph[name]):
            at, asked = wanted.get(source, (index, None))
            visit(source, at, asked)

    for name, (index, figure) in wanted.items():
        visit(name, index, figure)
    for number, decider in enumerate(brief.deciders):
        for limit in (decider.figure, *(band.up_to for band in decider.bands)):
            if isinstance(limit, str) and limit not in needs and limit not in steps:
                try:
                    visit(limit, 0, None)
                except ResolveError as error:
                    raise ResolveError(str(error), number, error.remedy, "deciders") from error
    try:
        # Sorted, or the order of figures would hang on how strings happen to be hashed.
        order = list(TopologicalSorter({name: sorted(graph[name]) for name in graph}).static_order())
    except CycleError as error:
        raise ResolveError(f"figures need each other in a circle: {' → '.join(error.args[1])}") from error
    return FigurePlan(tuple(steps[name] for name in order))

"""`quillstem figure`: list the calculations, and work one out with its working, source and range."""

from __future__ import annotations

import json
import sys
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import click
import numpy as np
from rich.console import Console
from rich.table import Table

from knowledge.base import Source
from knowledge.calculation import Argument, Calculation
from knowledge.convert import settle
from knowledge.numbers import for_the_eye
from knowledge.units import unit_of
from triage.cli.suggest import near

ROWS = 11


@click.command("figure")
@click.argument("name", required=False)
@click.argument("given", nargs=-1, metavar="[QUANTITY=VALUE]...")
@click.option(
    "--vary", metavar="QUANTITY=LOW..HIGH",
    help="Work it out over a range: prints a table and saves a plot.  Example: --vary actuation_ratio=1.1..1.8",
)  # fmt: skip
@click.option(
    "--plot", "plot_file", type=click.Path(dir_okay=False, path_type=Path),
    help="Where --vary saves its plot, by default NAME.svg here.  Example: --plot pull.svg",
)  # fmt: skip
@click.option("--json", "as_json", is_flag=True, help="For programs.  Example: --json")
def figure_command(
    name: str | None, given: tuple[str, ...], vary: str | None, plot_file: Path | None, as_json: bool
) -> None:
    """List the calculations by subject, or work the one called NAME out.

    A value may carry any fitting unit, and the unit at the end of a quantity's name may be left off.

    \b
    Examples:
      quillstem figure
      quillstem figure travel_per_click_mm cable_pull=2.3mm actuation_ratio=1.7
      quillstem figure travel_per_click cable_pull=0.09in actuation_ratio=1.7 --json
      quillstem figure travel_per_click_mm cable_pull=2.3 --vary actuation_ratio=1.1..1.8

    \b
    Exit codes:  0 worked out   2 a wrong or missing name, quantity, unit or value
    """
    from knowledge.calculations import calculations

    book = calculations()
    if name is None:
        _list(list(book.values()))
        return
    try:
        calculation = _named(name, book)
        inputs = _inputs(calculation, given)
        if vary:
            _vary(calculation, inputs, vary, plot_file or Path(f"{calculation.name}.svg"), as_json)
        else:
            _one(calculation, _complete(calculation, inputs, set()), as_json)
    except ValueError as error:
        click.echo(str(error), err=True)
        sys.exit(2)


def _list(every: list[Calculation]) -> None:
    console = Console(highlight=False)
    for subject in sorted({calculation.subject for calculation in every}):
        table = Table(title=f"\n{subject}", title_justify="left", box=None, show_header=False, pad_edge=False)
        table.add_column(no_wrap=True)
        table.add_column()
        for calculation in sorted(every, key=lambda c: c.name):
            if calculation.subject == subject:
                table.add_row(calculation.name, calculation.summary)
        console.print(table)
    console.print(f"\n{len(every)} calculations. Try: quillstem figure NAME, which says what it needs.")


def _named(name: str, book: Mapping[str, Calculation]) -> Calculation:
    if name in book:
        return book[name]
    shortened = [c for c in book.values() if name == _short(c.name)]
    if len(shortened) == 1:
        return shortened[0]
    raise ValueError(f"No calculation is called {name}. {near(name, list(book))}".rstrip())


def _short(name: str) -> str:
    ending = unit_of(name).ending
    return name.removesuffix(f"_{ending}") if ending else name


def _argument(calculation: Calculation, key: str) -> Argument:
    for argument in calculation.arguments:
        if key in (argument.name, _short(argument.name)):
            return argument
    known = [argument.name for argument in calculation.arguments]
    suggestion = near(key, known) or f"It takes {', '.join(known)}."
    raise ValueError(f"{calculation.name} takes no {key}. {suggestion}")


def _inputs(calculation: Calculation, given: tuple[str, ...]) -> dict[str, Any]:
    inputs: dict[str, Any] = {}
    for pair in given:
        key, equals, typed = pair.partition("=")
        if not equals:
            raise ValueError(f"{pair}: expected QUANTITY=VALUE, such as {calculation.arguments[0].name}=...")
        argument = _argument(calculation, key)
        inputs[argument.name] = _value(argument, typed)
    return inputs


def _value(argument: Argument, typed: str) -> Any:
    if argument.is_choice:
        return typed
    try:
        return settle(typed, unit_of(argument.name))
    except ValueError as error:
        raise ValueError(f"{argument.name}: {error}") from error


def _complete(calculation: Calculation, inputs: dict[str, Any], varied: set[str]) -> dict[str, Any]:
    missing = [
        f"  {argument.name}: {argument.meaning}, {_range(argument)}"
        for argument in calculation.arguments
        if argument.name not in inputs and argument.default is None and argument.name not in varied
    ]
    if missing:
        raise ValueError("\n".join([f"{calculation.name}: {calculation.summary}", "Still needed:", *missing]))
    return {a.name: a.default for a in calculation.arguments if a.default is not None} | inputs


def _range(argument: Argument) -> str:
    if argument.is_choice:
        return f"one of {', '.join(map(str, argument.limits))}"
    low, high = float(argument.limits[0]), float(argument.limits[1])
    return f"{low:g} to {high:g}{f' {argument.unit}' if argument.unit else ''} ({argument.limits[2]})"


def _sources(calculation: Calculation) -> list[Source | str]:
    from knowledge.load import examine

    sources = examine()[0].sources
    return [sources.get(key, key) for key in calculation.sources]


def _one(calculation: Calculation, inputs: dict[str, Any], as_json: bool) -> None:
    result = float(calculation(**inputs))
    sources = _sources(calculation)
    if as_json:
        click.echo(
            json.dumps(
                {
                    "name": calculation.name,
                    "value": result,
                    "unit": calculation.unit,
                    "inputs": inputs,
                    "working": calculation.working(inputs, result),
                    "sources": [source if isinstance(source, str) else source.id for source in sources],
                    "caution": calculation.caution or None,
                },
                ensure_ascii=False,
            )
        )
        return
    console = Console(highlight=False, soft_wrap=True)
    console.print(calculation.summary, markup=False)
    console.print(f"\n{calculation.working(inputs, result)}", markup=False)
    console.print("\nHolds for:", markup=False)
    for argument in calculation.arguments:
        console.print(f"  {argument.name}: {_range(argument)}", markup=False)
    if calculation.accuracy:
        console.print(f"Accuracy: {calculation.accuracy}", markup=False)
    if calculation.caution:
        console.print(f"Caution: {calculation.caution}", markup=False)
    cited = "; ".join(source if isinstance(source, str) else source.cited for source in sources)
    console.print(f"Source: {cited}", markup=False)


def _vary(calculation: Calculation, inputs: dict[str, Any], vary: str, plot: Path, as_json: bool) -> None:
    key, equals, span = vary.partition("=")
    low_text, dots, high_text = span.partition("..")
    if not equals or not dots:
        raise ValueError(f"--vary {vary}: expected QUANTITY=LOW..HIGH, such as actuation_ratio=1.1..1.8")
    argument = _argument(calculation, key)
    if argument.is_choice:
        raise ValueError(f"--vary: {argument.name} is a word, one of {', '.join(map(str, argument.limits))}")
    low, high = _value(argument, low_text), _value(argument, high_text)
    if low >= high:
        raise ValueError(f"--vary {vary}: the low end must be below the high one")
    fixed = _complete(calculation, inputs, {argument.name})
    steps = np.linspace(low, high, ROWS)
    results = np.broadcast_to(
        np.asarray(calculation(**{**fixed, argument.name: steps}), dtype=float), steps.shape
    )
    if as_json:
        rows = [
            {argument.name: float(x), calculation.name: float(y)} for x, y in zip(steps, results, strict=True)
        ]
        click.echo(
            json.dumps(
                {"varied": argument.name, "fixed": fixed, "rows": rows}, ensure_ascii=False, default=str
            )
        )
        return
    table = Table(title=calculation.summary, title_justify="left", box=None, pad_edge=False)
    table.add_column(argument.name, justify="right")
    table.add_column(calculation.name, justify="right")
    for x, y in zip(steps, results, strict=True):
        table.add_row(for_the_eye(float(x), argument.unit, 4), for_the_eye(float(y), calculation.unit, 4))
    Console(highlight=False).print(table)
    from knowledge.book.plot import save_plot

    save_plot(calculation, fixed, argument, low, high, plot)
    click.echo(f"Plot saved: {plot}")

"""What holds for every calculation of the book, whoever wrote it."""

from __future__ import annotations

import inspect
import math
import typing

import numpy as np
import pytest

from knowledge.calculation import Calculation, OutOfRangeError
from knowledge.calculations import calculations
from knowledge.numbers import as_input, for_the_eye
from knowledge.units import unit_of

BOOK = calculations()
EVERY = [pytest.param(calculation, id=name) for name, calculation in BOOK.items()]
WITH_FORMULA = [pytest.param(c, id=n) for n, c in BOOK.items() if c.formula]
SAMPLES = 60


def samples_of(calculation: Calculation, seed: int = 5) -> list[dict[str, typing.Any]]:
    """Inputs inside the ranges; combinations that the calculation refuses are left out."""
    random = np.random.default_rng(seed)
    found = []
    for number in range(SAMPLES):
        inputs: dict[str, typing.Any] = {}
        for argument in calculation.arguments:
            if argument.is_choice:
                inputs[argument.name] = argument.limits[int(random.integers(len(argument.limits)))]
                continue
            low, high = float(argument.limits[0]), float(argument.limits[1])
            if number % 3 == 0 and argument.default is not None:
                inputs[argument.name] = argument.default
            elif low > 0 and high / low > 50:
                inputs[argument.name] = math.exp(random.uniform(math.log(low), math.log(high)))
            else:
                inputs[argument.name] = random.uniform(low, high)
        try:
            calculation(**inputs)
        except ValueError:
            continue
        found.append(inputs)
    return found


@pytest.mark.parametrize("calculation", EVERY)
def test_it_works_somewhere_inside_its_stated_ranges(calculation):
    results = [calculation(**inputs) for inputs in samples_of(calculation)]

    assert results, "every sampled input inside the stated ranges was refused"
    assert all(np.all(np.isfinite(np.asarray(result, dtype=float))) for result in results)


@pytest.mark.parametrize("calculation", WITH_FORMULA)
def test_the_printed_formula_gives_what_the_function_gives(calculation):
    for inputs in samples_of(calculation):
        assert calculation(**inputs) == pytest.approx(calculation.by_formula(inputs), rel=1e-9, abs=1e-12)


@pytest.mark.parametrize("calculation", EVERY)
def test_an_array_gives_what_a_loop_gives(calculation):
    samples = samples_of(calculation)[:12]
    words = {a.name: samples[0][a.name] for a in calculation.arguments if a.is_choice}
    numbers = [a.name for a in calculation.arguments if not a.is_choice]
    if not numbers:
        assert np.ndim(calculation(**samples[0])) == 0  # words alone: nothing to make an array of
        return
    rows = [{**row, **words} for row in samples]
    usable = []
    for row in rows:
        try:
            usable.append((row, calculation(**row)))
        except ValueError:
            continue
    arrays = {name: np.array([row[name] for row, _ in usable], dtype=float) for name in numbers}

    together = np.broadcast_to(np.asarray(calculation(**arrays, **words), dtype=float), (len(usable),))

    assert list(together) == pytest.approx([float(result) for _, result in usable], rel=1e-9, abs=1e-12)


@pytest.mark.parametrize("calculation", EVERY)
def test_outside_its_range_it_refuses_and_names_quantity_value_and_reason(calculation):
    inside = samples_of(calculation)[0]
    for argument in calculation.arguments:
        if argument.is_choice:
            with pytest.raises(OutOfRangeError, match=argument.name):
                calculation(**{**inside, argument.name: "no such word"})
            continue
        low, high, why = argument.limits
        for outside in (float(low) - 1.0 - abs(float(low)), float(high) + 1.0 + abs(float(high))):
            with pytest.raises(OutOfRangeError) as refusal:
                calculation(**{**inside, argument.name: outside})
            assert argument.name in str(refusal.value)
            assert f"{outside:g}" in str(refusal.value)
            assert str(why) in str(refusal.value)


@pytest.mark.parametrize("calculation", EVERY)
def test_name_type_and_docstring_agree_about_every_unit(calculation):
    hints = typing.get_type_hints(calculation.function.__wrapped__, include_extras=True)
    for argument in calculation.arguments:
        declared = typing.get_args(hints[argument.name])[-1]
        if argument.is_choice:
            assert declared == "word"
            continue
        assert declared == argument.unit == unit_of(argument.name).symbol, argument.name
    assert typing.get_args(hints["return"])[-1] == calculation.unit == unit_of(calculation.name).symbol


@pytest.mark.parametrize("calculation", EVERY)
def test_its_docstring_says_what_a_reader_needs(calculation, knowledge):
    assert calculation.summary.endswith((".", ")"))
    assert calculation.accuracy
    assert all(argument.meaning for argument in calculation.arguments)
    assert calculation.sources
    for source in calculation.sources:
        assert source in knowledge.sources, source
    for argument in calculation.arguments:
        if argument.default is not None and not argument.is_choice:
            assert float(argument.limits[0]) <= float(argument.default) <= float(argument.limits[1])


@pytest.mark.parametrize("calculation", EVERY)
def test_the_working_ends_in_the_computed_value(calculation):
    inputs = samples_of(calculation)[0]
    result = float(calculation(**inputs))

    working = calculation.working(inputs, result)

    assert for_the_eye(result, calculation.unit) in working.splitlines()[-1]
    for argument in calculation.arguments:
        value = inputs[argument.name]
        shown = value if isinstance(value, str) else as_input(value, argument.unit)
        assert shown in working, f"{argument.name} = {shown} does not stand in: {working}"


def test_every_function_of_the_book_is_found():
    assert len(BOOK) >= 90
    assert all(inspect.isfunction(calculation.function) for calculation in BOOK.values())

"""What makes a pure function a calculation of the book: its ranges, its docstring and its working."""

from __future__ import annotations

import inspect
import math
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from types import CodeType
from typing import Any, ParamSpec, TypeVar

import numpy as np

from knowledge.numbers import INPUT_DIGITS, for_the_eye, for_the_eye_range
from knowledge.units import unit_of

P = ParamSpec("P")
R = TypeVar("R")
Limits = tuple[float, float, str] | tuple[str, ...]


class OutOfRangeError(ValueError):
    """A quantity lies outside the range in which a formula holds."""


def valid(**ranges: Limits) -> Callable[[Callable[P, R]], Callable[P, R]]:
    """Mark a function as a calculation and hold its arguments to the ranges in which its formula holds.

    Each range is (lowest, highest, why) for a number, or the allowed words for a choice.
    Every argument must have one. Arrays are held to the range as a whole.

    Raises:
        OutOfRangeError: names the quantity, the value, the range and why it is so.
    """

    def mark(function: Callable[P, R]) -> Callable[P, R]:
        parameters = list(inspect.signature(function).parameters)
        unknown = sorted(set(ranges) ^ set(parameters))
        if unknown:
            raise TypeError(f"{function.__name__}: ranges and arguments differ in {', '.join(unknown)}")

        def checked(*args: P.args, **kwargs: P.kwargs) -> R:
            for name, value in zip(parameters, args, strict=False):
                _hold(name, value, ranges[name])
            for name, value in kwargs.items():
                if name in ranges:
                    _hold(name, value, ranges[name])
            return function(*args, **kwargs)

        for attribute in ("__module__", "__name__", "__qualname__", "__doc__", "__annotations__"):
            setattr(checked, attribute, getattr(function, attribute))
        checked.__wrapped__ = function  # type: ignore[attr-defined]
        checked.ranges = ranges  # type: ignore[attr-defined]
        return checked

    return mark


def _hold(name: str, value: object, limits: Limits) -> None:
    if isinstance(limits[0], str):
        if value not in limits:
            raise OutOfRangeError(f"{name}: expected one of {', '.join(map(str, limits))}, got {value}")
        return
    low, high, why = limits
    if isinstance(value, float):
        least = most = value
    else:
        numbers = np.asarray(value, dtype=float)
        least, most = (float(numbers.min()), float(numbers.max())) if numbers.size else (low, high)
    if least >= low and most <= high:
        return
    worst = most if most > high else least
    unit = unit_of(name).symbol
    raise OutOfRangeError(
        f"{name}: expected {low:g} to {high:g}{' ' + unit if unit else ''}, got {worst:g} ({why})"
    )


@dataclass(frozen=True, slots=True)
class Argument:
    """One input of a calculation: its symbol in the formula, meaning, unit, default and range."""

    name: str
    symbol: str
    meaning: str
    unit: str
    default: float | str | None
    limits: Limits

    @property
    def is_choice(self) -> bool:
        """Whether the argument is a word from a list and not a number."""
        return isinstance(self.limits[0], str)


@dataclass(frozen=True, slots=True)
class Calculation:
    """A function of the book with everything its docstring says about it."""

    name: str
    subject: str
    function: Callable[..., Any]
    summary: str
    formula: tuple[str, ...]
    rule: str
    arguments: tuple[Argument, ...]
    result_symbol: str
    result_meaning: str
    unit: str
    accuracy: str
    caution: str
    sources: tuple[str, ...]
    steps: tuple[tuple[str, CodeType], ...]

    def __call__(self, **inputs: Any) -> Any:
        """Work the figure out.

        Raises:
            OutOfRangeError: an input lies outside the range in which the formula holds.
        """
        return self.function(**inputs)

    def working(self, inputs: Mapping[str, Any], result: Any) -> str:
        """The formula in symbols, then with the numbers put in, then the result, all with units.

        An input that is an array of tried values is shown as its range.
        """
        shown = {
            a.symbol: _shown(inputs.get(a.name, a.default), a.unit, INPUT_DIGITS) for a in self.arguments
        }
        outcome = _shown(result, self.unit)
        if not self.formula:
            given = "; ".join(f"{a.name.replace('_', ' ')}: {shown[a.symbol]}" for a in self.arguments)
            return f"{self.rule} With {given} this gives {outcome}."
        lines = []
        values = self._step_values(inputs)
        for (symbol, _), line in zip(self.steps, self.formula, strict=True):
            right = line.split("=", 1)[1].strip()
            shown_value = outcome if symbol == self.result_symbol else _shown(values[symbol], "")
            lines.append(f"{readable(line)} = {readable(put_in(right, shown))} = {shown_value}")
            shown[symbol] = shown_value
        return "\n".join(lines)

    def by_formula(self, inputs: Mapping[str, Any]) -> Any:
        """The result as the printed formula gives it, independent of the function's body."""
        return self._step_values(inputs)[self.result_symbol]

    def _step_values(self, inputs: Mapping[str, Any]) -> dict[str, Any]:
        names: dict[str, Any] = dict(FORMULA_NAMES)
        for argument in self.arguments:
            names[argument.symbol] = inputs.get(argument.name, argument.default)
        for symbol, code in self.steps:
            names[symbol] = eval(code, {"__builtins__": {}}, names)
        return names


FORMULA_NAMES: dict[str, Any] = {
    "pi": math.pi,
    "g_n": 9.80665,
    **{name: getattr(np, name) for name in ("sin", "cos", "tan", "sqrt", "exp", "log", "log10", "radians")},
    **{name: getattr(np, name) for name in ("degrees", "ceil", "floor", "where", "abs", "sign", "cbrt")},
    "round": np.round,
    "asin": np.arcsin,
    "acos": np.arccos,
    "atan": np.arctan,
    "atan2": np.arctan2,
    "max": np.maximum,
    "min": np.minimum,
}
_SYMBOL = re.compile(r"[A-Za-z_][A-Za-z_0-9]*")
_GREEK = {
    "alpha": "α", "beta": "β", "gamma": "γ", "delta": "δ", "eta": "η", "theta": "θ", "kappa": "κ",
    "lambda_": "λ", "mu": "µ", "nu": "ν", "pi": "π", "rho": "ρ", "sigma": "σ", "tau": "τ", "phi": "φ",
    "omega": "ω", "Delta": "Δ",
}  # fmt: skip


def put_in(expression: str, shown: Mapping[str, str]) -> str:
    """The expression with each symbol replaced by its number and unit."""

    def number(match: re.Match[str]) -> str:
        text = shown.get(match.group())
        if text is None:
            return match.group()
        powered = expression[match.end() :].lstrip().startswith("**")
        enclosed = expression[: match.start()].endswith("(") and expression[match.end() :].startswith(")")
        return f"({text})" if powered or (not enclosed and (text.startswith("−") or " to " in text)) else text

    return _SYMBOL.sub(number, expression)


@lru_cache(maxsize=8_192)
def readable(expression: str) -> str:
    """The expression as it is written by hand: × · ² √ and Greek letters.

    >>> readable("t = mu * p**2 / sqrt(r_1)")
    't = µ × p² / √(r_1)'
    """
    text = _SYMBOL.sub(lambda match: _GREEK.get(match.group(), match.group()), expression)
    text = re.sub(r"\s*\*\*\s*2\b(?!\.)", "²", text)
    text = re.sub(r"\s*\*\*\s*3\b(?!\.)", "³", text)
    text = re.sub(r"\s*\*\*\s*", "^", text)
    text = re.sub(r"\s*\*\s*", " × ", text)
    return text.replace("sqrt(", "√(").replace("cbrt(", "∛(")


def _shown(value: Any, unit: str, digits: int = 3) -> str:
    if isinstance(value, str):
        return value
    if isinstance(value, float):
        return for_the_eye(value, unit, digits)
    numbers = np.asarray(value, dtype=float)
    low, high = float(numbers.min()), float(numbers.max())
    told = for_the_eye(low, unit, digits)
    if low == high or told == for_the_eye(high, unit, digits):
        return told
    return for_the_eye_range(low, high, unit, digits)


_SECTION = re.compile(r"^(Formula|Rule|Args|Returns|Raises|Accuracy|Caution|Source):\s*(.*)$")
_ARGUMENT = re.compile(r"^(?P<name>\w+): (?:(?P<symbol>\w+), )?(?P<meaning>.*) \[(?P<unit>[^\]]*)\]$")


def describe(function: Callable[..., Any], subject: str) -> Calculation:
    """Read a calculation's docstring and signature.

    Raises:
        ValueError: the docstring lacks a section, an argument or a unit; the text says which.
    """
    sections = _sections(inspect.getdoc(function) or "")
    name = function.__name__
    for needed in ("Args", "Returns", "Source"):
        if not sections.get(needed):
            raise ValueError(f"{name}: its docstring has no {needed} section")
    signature = inspect.signature(function)
    ranges: Mapping[str, Limits] = function.ranges  # type: ignore[attr-defined]
    told = {}
    for entry in _entries(sections["Args"]):
        match = _ARGUMENT.match(entry)
        if match is None:
            raise ValueError(f"{name}: argument not of the form 'name: symbol, meaning. [unit]': {entry}")
        told[match["name"]] = match
    if list(told) != list(signature.parameters):
        raise ValueError(f"{name}: documented arguments {list(told)} are not {list(signature.parameters)}")
    arguments = tuple(
        Argument(
            name=key,
            symbol=match["symbol"] or key,
            meaning=match["meaning"].rstrip("."),
            unit="" if match["unit"] in ("-", "word") else match["unit"],
            default=None if parameter.default is inspect.Parameter.empty else parameter.default,
            limits=ranges[key],
        )
        for (key, match), parameter in zip(told.items(), signature.parameters.values(), strict=True)
    )
    returned = " ".join(sections["Returns"])
    match = re.match(r"^(?:(?P<symbol>\w+), )?(?P<meaning>.*) \[(?P<unit>[^\]]*)\]$", returned)
    if match is None:
        raise ValueError(f"{name}: Returns not of the form 'symbol, meaning. [unit]': {returned}")
    formula = tuple(sections.get("Formula", ()))
    if not formula and not sections.get("Rule"):
        raise ValueError(f"{name}: its docstring has neither a Formula nor a Rule section")
    return Calculation(
        name=name,
        subject=subject,
        function=function,
        summary=" ".join(sections["Summary"]),
        formula=formula,
        rule=" ".join(sections.get("Rule", ())),
        arguments=arguments,
        result_symbol=match["symbol"] or "",
        result_meaning=match["meaning"].rstrip("."),
        unit="" if match["unit"] == "-" else match["unit"],
        accuracy=" ".join(sections.get("Accuracy", ())),
        caution=" ".join(sections.get("Caution", ())),
        sources=tuple(re.split(r"[,\s]+", " ".join(sections["Source"]).strip())),
        steps=tuple(_step(name, line) for line in formula),
    )


def _step(name: str, line: str) -> tuple[str, CodeType]:
    symbol, _, expression = line.partition("=")
    if not expression:
        raise ValueError(f"{name}: formula line is not 'symbol = expression': {line}")
    return symbol.strip(), compile(expression.strip(), f"<formula of {name}>", "eval")


def _sections(docstring: str) -> dict[str, list[str]]:
    sections: dict[str, list[str]] = {"Summary": []}
    current = "Summary"
    for line in docstring.splitlines():
        text = line.strip()
        if text.startswith(">>>"):
            break
        match = _SECTION.match(text)
        if match:
            current = match[1]
            sections[current] = [match[2]] if match[2] else []
        elif text:
            sections[current].append(text)
    return sections


def _entries(lines: list[str]) -> list[str]:
    entries: list[str] = []
    for line in lines:
        if re.match(r"^\w+: ", line) and (not entries or entries[-1].endswith("]")):
            entries.append(line)
        else:
            entries[-1] = f"{entries[-1]} {line}"
    return entries

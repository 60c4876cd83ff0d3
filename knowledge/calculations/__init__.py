"""The calculation book: pure functions by subject, found by name."""

from __future__ import annotations

import importlib
import pkgutil
from functools import lru_cache
from types import MappingProxyType

from knowledge.calculation import Calculation, describe


@lru_cache(maxsize=1)
def calculations() -> MappingProxyType[str, Calculation]:
    """Every calculation of the book by its name.

    Raises:
        ValueError: two calculations share a name, or a docstring lacks what it must say.
    """
    found: dict[str, Calculation] = {}
    for module_info in sorted(pkgutil.iter_modules(__path__), key=lambda info: info.name):
        module = importlib.import_module(f"{__name__}.{module_info.name}")
        subject = module_info.name.replace("_", "-")
        for function in vars(module).values():
            if getattr(function, "ranges", None) is None or function.__module__ != module.__name__:
                continue
            calculation = describe(function, subject)
            if calculation.name in found:
                raise ValueError(f"{calculation.name}: defined in two subjects")
            found[calculation.name] = calculation
    return MappingProxyType(found)

"""The templates of a brief's texts: compiled once, strict about names, never fed a rider's words as source."""

from __future__ import annotations

from functools import lru_cache
from typing import Any

from jinja2 import StrictUndefined, Template, TemplateSyntaxError, meta
from jinja2.sandbox import SandboxedEnvironment

_ENVIRONMENT = SandboxedEnvironment(undefined=StrictUndefined, autoescape=False)
ALWAYS_KNOWN = frozenset({"rider", "verdict"})


@lru_cache(maxsize=8192)
def compiled(source: str) -> Template:
    """The template, compiled.

    Raises:
        TemplateSyntaxError: the source is not a template; it says where.
    """
    return _ENVIRONMENT.from_string(source)


@lru_cache(maxsize=8192)
def names_used(source: str) -> frozenset[str]:
    """The names that a template asks for.

    Raises:
        TemplateSyntaxError: the source is not a template.
    """
    if "{" not in source:
        return frozenset()
    return frozenset(meta.find_undeclared_variables(_ENVIRONMENT.parse(source)))


def fault_of(source: str, known: set[str]) -> str | None:
    """What is wrong with a template, or None."""
    try:
        unknown = names_used(source) - known - ALWAYS_KNOWN
    except TemplateSyntaxError as error:
        return f"not a template: {error.message}"
    return f"asks for unknown {', '.join(sorted(unknown))}" if unknown else None


def render(source: str, names: dict[str, Any]) -> str:
    """The text with its names filled in, white space made even."""
    if "{" not in source:
        return " ".join(source.split())
    return " ".join(compiled(source).render(names).split())

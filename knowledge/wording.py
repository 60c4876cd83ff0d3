"""The templates of a brief's texts: compiled once, strict about names, never fed a rider's words as source."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from typing import Any, TypeGuard

from jinja2 import StrictUndefined, Template, TemplateSyntaxError, meta, nodes
from jinja2.sandbox import SandboxedEnvironment

_ENVIRONMENT = SandboxedEnvironment(undefined=StrictUndefined, autoescape=False)
ALWAYS_KNOWN = frozenset({"rider", "verdict"})
_IN_WORDS = frozenset({"text", "low", "high", "words"})
_ATTRIBUTES = _IN_WORDS | {"number", "known"}
"""What a template may ask of a need or a figure: how it reads, its bare best number, and whether somebody said it."""
_SUMS = (nodes.Sub, nodes.Mul, nodes.Div, nodes.FloorDiv, nodes.Mod, nodes.Pow, nodes.Neg, nodes.Pos)
_ORDERS = frozenset({"lt", "lteq", "gt", "gteq"})


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
    if unknown:
        return f"asks for unknown {', '.join(sorted(unknown))}"
    return next(_misuses(source, known), None) if "{" in source else None


def _misuses(source: str, known: set[str]) -> Iterator[str]:
    """What would fail once it is worded, and perhaps in one of its branches alone; a template's own variables are left alone."""
    tree = _ENVIRONMENT.parse(source)
    for one in tree.find_all(nodes.Getattr):
        if _is_one_of(one.node, known) and one.attr not in _ATTRIBUTES:
            yield f"asks for {one.node.name}.{one.attr}; there are .{', .'.join(sorted(_ATTRIBUTES))}"
    for kind in (*_SUMS, nodes.Compare):
        for sum_ in tree.find_all(kind):
            yield from _words_in(sum_, known)


def _is_one_of(node: nodes.Node, known: set[str]) -> TypeGuard[nodes.Name]:
    return isinstance(node, nodes.Name) and node.name in known


def _words_in(sum_: nodes.Node, known: set[str]) -> Iterator[str]:
    """Words that a sum or a comparison of numbers would take for numbers."""
    if isinstance(sum_, nodes.Compare):
        if not any(operand.op in _ORDERS for operand in sum_.ops):
            return
        parts: list[nodes.Node] = [sum_.expr, *(operand.expr for operand in sum_.ops)]
    else:
        parts = list(sum_.iter_child_nodes())
    for part in parts:
        if isinstance(part, nodes.Getattr) and _is_one_of(part.node, known) and part.attr in _IN_WORDS:
            yield f"works with {part.node.name}.{part.attr} as with a number, but it is words; .number is one"
        if _is_one_of(part, known):
            yield f"works with {part.name} as with a number, but it is words; {part.name}.number is one"


def render(source: str, names: dict[str, Any]) -> str:
    """The text with its names filled in, white space made even."""
    if "{" not in source:
        return " ".join(source.split())
    return " ".join(compiled(source).render(names).split())

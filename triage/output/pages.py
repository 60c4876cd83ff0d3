"""The one way in which our templates are read: undefined names are faults, HTML is escaped."""

from __future__ import annotations

from jinja2 import Environment, PackageLoader, StrictUndefined, select_autoescape


def page_environment() -> Environment:
    """An environment over `triage/templates`; whoever makes pages often keeps it, since templates are compiled once in it."""
    environment = Environment(
        loader=PackageLoader("triage", "templates"),
        undefined=StrictUndefined,
        autoescape=select_autoescape(["html"]),
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters["clock"] = clock
    return environment


def clock(seconds: float) -> str:
    """Seconds as minutes and seconds.

    >>> clock(75.4)
    '1:15'
    """
    return f"{int(seconds) // 60}:{int(seconds) % 60:02d}"

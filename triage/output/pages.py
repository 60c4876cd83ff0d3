"""The one way in which our templates are read: undefined names are faults, HTML is escaped."""

from __future__ import annotations

import re

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
    environment.filters["tamed"] = tamed
    return environment


def clock(seconds: float) -> str:
    """Seconds as minutes and seconds.

    >>> clock(75.4)
    '1:15'
    """
    return f"{int(seconds) // 60}:{int(seconds) % 60:02d}"


_TAG, _ENTITY, _LINK = (
    re.compile(r"<(?=[A-Za-z/!?])"),
    re.compile(r"&(?=#?\w+;)"),
    re.compile(r"\](?=[(\[:])"),
)


def tamed(text: str) -> str:
    """A text that may hold a rider's words, for a Markdown file that is read as it stands as often as rendered.

    Only what would do something is changed: tags, entities, links and pictures.

    >>> tamed("a tyre <28 mm, ![look](http://tracker.invalid) <b>now</b>")
    'a tyre <28 mm, ![look\\\\](http://tracker.invalid) &lt;b>now&lt;/b>'
    """
    return _LINK.sub(r"\\]", _TAG.sub("&lt;", _ENTITY.sub("&amp;", text)))

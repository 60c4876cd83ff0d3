"""The forms of a show in text: Markdown, a table for a spreadsheet, and the page for a tablet or for paper."""

from __future__ import annotations

import csv
import io
import re

from jinja2 import Environment

from triage.episode.show import Related, Running, Show, names_unsaid, pieces_of
from triage.output.cells import safe_cell
from triage.output.pages import clock, page_environment

CSV_COLUMNS = ("place", "starts_at", "seconds", "kind", "title", "rider", "verdict", "question_id")
KIND_WORDS = {
    "question": "Question",
    "correction": "Put right",
    "promise": "Promised",
    "closer": "To end with",
}
VERDICT_WORDS = {
    "yes": "Yes",
    "yes-if": "Yes, if",
    "not-recommended": "Not recommended",
    "inspect-first": "Inspect first",
    "need-more": "Need to know more",
    "explain": "Explained",
}
_MARKS = re.compile(r"([\\`*_{}\[\]<>#|~])")


def verdict_words(verdict: str | None) -> str:
    """A verdict as one reads it; nothing for none."""
    return VERDICT_WORDS.get(verdict or "", "")


def facts_of(running: Running) -> list[str]:
    """What stands small beside a title: kind, verdict, who asked, how many, how long."""
    item = running.item
    line = item.line or {}
    asked_by = int(line.get("asked_by") or 1)
    return [
        one
        for one in (
            KIND_WORDS[item.kind],
            verdict_words(item.verdict),
            "safety" if line.get("safety") else "",
            item.rider or "",
            f"asked by {asked_by}" if asked_by > 1 else "",
            f"{clock(running.seconds)} min",
        )
        if one
    ]


def told_earlier(one: Related) -> str:
    """Where an earlier answer is found: "A seized bolt, 2026-11-20 at 3:20"."""
    return f"{one.title}, {one.day} at {clock(one.starts_at)}"


def as_csv(show: Show) -> str:
    """The run of the show as a table, one row an item; starts as mm:ss, lengths in seconds."""
    out = io.StringIO()
    table = csv.writer(out, lineterminator="\n")
    table.writerow(CSV_COLUMNS)
    for running in show.items:
        item = running.item
        row = (
            str(item.place),
            _minutes(running.starts_at),
            f"{running.seconds:g}",
            item.kind,
            item.title,
            item.rider or "",
            item.verdict or "",
            item.question_id or "",
        )
        table.writerow([safe_cell(cell) for cell in row])
    return out.getvalue()


def _minutes(seconds: float) -> str:
    """Seconds as mm:ss, which sorts as text.

    >>> _minutes(75.4)
    '01:15'
    """
    return f"{int(seconds) // 60:02d}:{int(seconds) % 60:02d}"


def as_markdown(show: Show) -> str:
    """The run of the show in Markdown; whatever a rider or an editor wrote is told as plain words."""
    return _environment().get_template("episode/show.md").render(**_names(show))


def as_page(show: Show, for_paper: bool = False) -> str:
    """The run of the show as a page: large type and keys for a tablet, or laid out for a printer.

    Styles and script are files of ours under /static, as the desk's headers ask; the page works without the script.
    """
    names = _names(show) | {"for_paper": for_paper}
    return _environment().get_template("episode/show.html").render(**names)


def _names(show: Show) -> dict[str, object]:
    return {
        "show": show,
        "pieces_of": pieces_of,
        "names_unsaid": names_unsaid,
        "facts_of": facts_of,
        "verdict_words": verdict_words,
        "told_earlier": told_earlier,
        "kinds": KIND_WORDS,
        "props_at": show.props_at,
        "pictures_at": show.pictures_at,
    }


def _environment() -> Environment:
    environment = page_environment()
    environment.filters["mark"] = _plain_markdown
    return environment


def _plain_markdown(text: str) -> str:
    r"""A text on one line whose signs mean nothing in Markdown.

    >>> _plain_markdown("# A *bold* [link](x)")
    '\\# A \\*bold\\* \\[link\\](x)'
    """
    line = _MARKS.sub(r"\\\1", " ".join(text.replace("\0", "").split()))
    # A dash, a plus or a number at the start of a line would make a list of it.
    return re.sub(r"^(\d+)([.)])(?=\s|$)", r"\1\\\2", re.sub(r"^([-+=])", r"\\\1", line))

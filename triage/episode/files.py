"""The files of an episode: the run of the show in every form, and the archive of what was aired."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Mapping
from pathlib import Path

from knowledge.base import Knowledge
from triage.episode.archive import aired_items, write_archive
from triage.episode.chapters import as_chapters
from triage.episode.forms import as_csv, as_markdown, as_page
from triage.episode.paper import as_pdf
from triage.episode.show import Show
from triage.ledger import Ledger
from triage.output.files import whole_bytes, whole_file

STATIC = Path(__file__).parent.parent / "desk" / "static"
BESIDE_THE_PAGE = ("show.css", "show.js", "mark.svg")
TEXTS: Mapping[str, tuple[str, Callable[[Show], str]]] = {
    "show.html": ("for a tablet: large type, scroll by key", as_page),
    "show.md": ("the same as text", as_markdown),
    "show.csv": ("a row an item, for a spreadsheet", as_csv),
    "chapters.vtt": ("chapter marks for the video, in WebVTT", as_chapters),
}


def write_show(show: Show, folder: Path) -> list[tuple[str, str]]:
    """Write the run of the show in every form, each file whole or absent; (name, what for) of each."""
    written = []
    for name, (what, form) in TEXTS.items():
        text = form(show)
        if name.endswith(".html"):
            text = text.replace('"/static/', '"')
        with whole_file(folder / name) as file:
            file.write(text)
        written.append((name, what))
    for name in BESIDE_THE_PAGE:
        shutil.copyfile(STATIC / name, folder / name)
    whole_bytes(folder / "show.pdf", as_pdf(show))
    return [*written, ("show.pdf", "to print")]


def write_aired(ledger: Ledger, knowledge: Knowledge, out: Path) -> int:
    """Write all aired answers as a static site; how many there are."""
    items = aired_items(ledger.episodes.aired(), knowledge)
    write_archive(items, out)
    return len(items)

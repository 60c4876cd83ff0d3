"""The archive: every answer that was aired, as a static site that needs no server and loads nothing from elsewhere."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from itertools import groupby
from pathlib import Path
from typing import Any, Protocol

from jinja2 import Environment

from knowledge.base import Knowledge
from triage.episode.chapters import Mark, chapters_of
from triage.episode.forms import verdict_words
from triage.output.files import whole_file
from triage.output.glance import shown
from triage.output.pages import clock, page_environment
from triage.pace import GAP
from triage.personal import without_personal

ANSWERS, CHAPTERS = "answers", "chapters"
COPIED = ("archive.css", "archive.js")
_TEMPLATES = Path(__file__).parent.parent / "templates" / "episode"
_PAGE = re.compile(r"\d{4}-\d{2}-\d{2}-[a-z0-9-]+\.html")
_CHAPTER_FILE = re.compile(r"\d{4}-\d{2}-\d{2}\.vtt")
_ADDRESS = re.compile(r"(?:https?://|\bwww\.)\S+", re.IGNORECASE)
ANSWERING = ("question", "correction", "promise")
"""The kinds of item that answer something; a closer is a joke."""


@dataclass(frozen=True, slots=True)
class AiredFigure:
    """A figure as the archive shows it: its label, the value with its spread, the working, whether it decided."""

    label: str
    shown: str
    working: str
    decides: bool


@dataclass(frozen=True, slots=True)
class AiredItem:
    """One answer as it was aired.

    `day` is the episode's ISO date, `starts_at` and `seconds` are in seconds of that episode; `topic` is the topic's
    label, `rider` a first name or None. `said` is what was said where no draft tells it (a correction, a kept promise), and
    `put_right` the day and second at which a later episode corrected this answer.
    """

    question_id: str
    kind: str
    day: str
    starts_at: float
    seconds: float
    title: str
    topic: str
    verdict: str | None
    headline: str
    rider: str | None = None
    figures: tuple[AiredFigure, ...] = ()
    cautions: tuple[str, ...] = ()
    sources: tuple[str, ...] = ()
    said: tuple[str, ...] = ()
    put_right: tuple[str, float] | None = None


class Aired(Protocol):
    """What is kept of an item of an episode that was aired; `as_aired` is its draft as it was said."""

    @property
    def kind(self) -> str:
        """Question, correction, promise or closer."""

    @property
    def question_id(self) -> str | None:
        """Which question it is about."""

    @property
    def day(self) -> str:
        """The episode's ISO date."""

    @property
    def as_aired(self) -> Mapping[str, Any] | None:
        """The draft's line with `title`, `say`, `starts_at` and `seconds`."""


def aired_items(items: Iterable[Aired], knowledge: Knowledge) -> list[AiredItem]:
    """The answers among what was aired, each earlier one tied to the correction that put it right."""
    found = [
        aired_item(
            {"question_id": item.question_id or "", **item.as_aired},
            item.day,
            float(item.as_aired.get("starts_at") or 0.0),
            float(item.as_aired.get("seconds") or 0.0),
            knowledge,
            item.kind,
        )
        for item in items
        if item.as_aired is not None and item.kind in ANSWERING
    ]
    corrected: dict[str, list[tuple[str, float]]] = {}
    for one in found:
        if one.kind == "correction" and one.question_id:
            corrected.setdefault(one.question_id, []).append((one.day, one.starts_at))
    return [replace(one, put_right=_later(one, corrected.get(one.question_id, ()))) for one in found]


def _later(one: AiredItem, corrections: Sequence[tuple[str, float]]) -> tuple[str, float] | None:
    return min((when for when in corrections if when > (one.day, one.starts_at)), default=None)


def aired_item(
    line: Mapping[str, Any],
    day: str,
    starts_at: float,
    seconds: float,
    knowledge: Knowledge,
    kind: str = "question",
) -> AiredItem:
    """What the archive tells of a draft that was aired on a day, from a second of its episode on; no words of the rider."""
    rider, topic = line.get("rider"), str(line.get("topic") or "other")
    headline = str(line.get("headline") or "")
    is_said = kind != "question" or not headline
    return AiredItem(
        question_id=str(line["question_id"]),
        kind=kind,
        day=day,
        starts_at=starts_at,
        seconds=seconds,
        title=_clean(str(line.get("title") or "An answer"), rider),
        topic=knowledge.topics[topic].label if topic in knowledge.topics else topic,
        verdict=line.get("verdict"),
        headline=_clean(headline, rider),
        rider=rider,
        figures=tuple(
            AiredFigure(figure["label"], shown(figure), figure["working"], bool(figure.get("decides")))
            for figure in line.get("figures", ())
        ),
        cautions=tuple(_clean(caution, rider) for caution in line.get("cautions", ())),
        sources=tuple(_cited(key, knowledge) for key in line.get("sources", ())),
        said=_paragraphs(str(line.get("say") or ""), rider) if is_said else (),
    )


def _cited(key: str, knowledge: Knowledge) -> str:
    told = knowledge.sources[key].cited if key in knowledge.sources else key
    return " ".join(_ADDRESS.sub("", told).split())


def _paragraphs(say: str, rider: str | None) -> tuple[str, ...]:
    return tuple(_clean(part, rider) for part in GAP.sub("", say).split("\n\n") if part.strip())


def _clean(text: str, rider: str | None) -> str:
    """A text that an editor may have touched, without what is personal and without addresses."""
    return " ".join(_ADDRESS.sub("", without_personal(text, None, rider, None)).split())


@dataclass(frozen=True, slots=True)
class _Leaf:
    """An answer with the name of its page."""

    item: AiredItem
    page: str


def write_archive(aired: Sequence[AiredItem], out: Path) -> None:
    """Write the archive into a folder: index.html, a page an answer, chapters an episode, each file whole or absent.

    It opens from a disk as well as from a server. Pages of answers that are no longer in it are removed.

    Raises:
        ValueError: a day is not an ISO date; nothing was written.
    """
    for item in aired:
        _check_day(item)
    leaves = _leaves(sorted(aired, key=lambda item: (item.day, item.starts_at, item.question_id)))
    environment = _environment()
    for leaf in leaves:
        text = environment.get_template("episode/archive_answer.html").render(
            leaf=leaf, right=_page_of(leaf.item.put_right, leaves), others=_others(leaf, leaves)
        )
        _write(out / ANSWERS / leaf.page, text)
    for day, chapters in _chapters(leaves).items():
        _write(out / CHAPTERS / f"{day}.vtt", chapters)
    for name in COPIED:
        _write(out / name, (_TEMPLATES / name).read_text(encoding="utf-8"))
    _write(out / "answers.js", _index(leaves))
    newest = sorted(leaves, key=lambda leaf: leaf.item.day, reverse=True)
    by_day = [(day, list(some)) for day, some in groupby(newest, key=lambda leaf: leaf.item.day)]
    text = environment.get_template("episode/archive_index.html").render(
        by_day=by_day, by_topic=_by_topic(leaves), count=len(leaves)
    )
    _write(out / "index.html", text)
    _remove_old(out / ANSWERS, _PAGE, {leaf.page for leaf in leaves})
    _remove_old(out / CHAPTERS, _CHAPTER_FILE, {f"{day}.vtt" for day, _ in by_day})


def _check_day(item: AiredItem) -> None:
    # The day becomes a part of file names, so that only the one form of a date will do.
    try:
        is_day = date.fromisoformat(item.day).isoformat() == item.day
    except ValueError:
        is_day = False
    if not is_day:
        raise ValueError(f"{item.title}: expected a day such as 2026-11-27, got {item.day!r}")


def _leaves(items: Sequence[AiredItem]) -> list[_Leaf]:
    """Each answer with a name for its page that no other has, the same on every run."""
    taken: dict[str, int] = {}
    leaves = []
    for item in items:
        word = re.sub(r"[^a-z0-9]+", "-", item.question_id.lower()).strip("-") or "answer"
        name = f"{item.day}-{word}"
        taken[name] = taken.get(name, 0) + 1
        # Two dashes never come out of a question's own id.
        leaves.append(_Leaf(item, f"{name}{f'--{taken[name]}' if taken[name] > 1 else ''}.html"))
    return leaves


def _page_of(when: tuple[str, float] | None, leaves: Sequence[_Leaf]) -> str | None:
    """The page of the correction that was aired then."""
    for leaf in leaves:
        if leaf.item.kind == "correction" and (leaf.item.day, leaf.item.starts_at) == when:
            return leaf.page
    return None


def _others(leaf: _Leaf, leaves: Sequence[_Leaf]) -> list[_Leaf]:
    """The other answers of the same episode."""
    return [other for other in leaves if other.item.day == leaf.item.day and other is not leaf]


def _by_topic(leaves: Sequence[_Leaf]) -> list[tuple[str, list[_Leaf]]]:
    by_title = sorted(leaves, key=lambda leaf: (leaf.item.topic, leaf.item.title.casefold(), leaf.page))
    return [(topic, list(some)) for topic, some in groupby(by_title, key=lambda leaf: leaf.item.topic)]


def _chapters(leaves: Sequence[_Leaf]) -> dict[str, str]:
    """The chapters of each episode, of its answers alone."""
    return {
        day: chapters_of(
            [
                Mark(leaf.item.title, leaf.item.starts_at, leaf.item.starts_at + leaf.item.seconds)
                for leaf in some
            ],
            f"Episode of {day}",
        )
        for day, some in groupby(leaves, key=lambda leaf: leaf.item.day)
    }


def _index(leaves: Sequence[_Leaf]) -> str:
    """What the search reads, as a script, since a page on a disk may load a script but no data."""
    rows = [
        {
            "page": f"{ANSWERS}/{leaf.page}",
            "title": leaf.item.title,
            "headline": leaf.item.headline or " ".join(leaf.item.said)[:200],
            "verdict": verdict_words(leaf.item.verdict),
            "when": f"{leaf.item.day} at {clock(leaf.item.starts_at)}",
            "words": " ".join(_searched(leaf.item)),
        }
        for leaf in reversed(leaves)
    ]
    # Signs beyond ASCII are escaped: a line separator or a wrong encoding cannot break the script.
    return f'"use strict";\nconst ANSWERS = {json.dumps(rows, indent=0)};\n'


def _searched(item: AiredItem) -> Iterable[str]:
    yield from (item.topic, item.day, item.rider or "", *item.said, *item.cautions, *item.sources)
    for figure in item.figures:
        yield from (figure.label, figure.shown)


def _write(path: Path, text: str) -> None:
    with whole_file(path) as file:
        file.write(text)


def _remove_old(folder: Path, name: re.Pattern[str], kept: set[str]) -> None:
    """Take away files of ours that this run did not write; whatever else lies there stays."""
    if folder.is_dir():
        for path in folder.iterdir():
            if name.fullmatch(path.name) and path.name not in kept:
                path.unlink()


def _environment() -> Environment:
    environment = page_environment()
    environment.globals["verdict_words"] = verdict_words
    return environment

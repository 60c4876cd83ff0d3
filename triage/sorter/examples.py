"""What the sorter learns from: the briefs and the chatter, a labelled file, and what editors corrected."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from knowledge.base import Knowledge
from knowledge.brief import Brief

CHATTER = "chatter/"
FEWEST_WORDS = 8
"""An asking of fewer words tells the points of one brief from each other, but hardly the brief from others: with these, real
questions find their brief less often."""
_TEMPLATE = re.compile(r"\{[{%].*?[%}]\}", re.S)


class ExamplesError(ValueError):
    """A labelled file cannot be used; the text says where and why."""


@dataclass(frozen=True)
class Examples:
    """Labelled texts that the sorter is judged by, and texts beside them that only teach.

    A label is a plain word, or `topic/brief`. Labels of a topic in `outside` are no question for this desk.
    """

    texts: list[str]
    labels: list[str]
    outside: frozenset[str] = frozenset()
    own_texts: list[str] = field(default_factory=list)
    own_labels: list[str] = field(default_factory=list)

    def plus(self, more: Iterable[tuple[str, str]]) -> Examples:
        """These with more (text, label) pairs of labels that are known."""
        known = set(self.labels) | set(self.own_labels)
        pairs = [(text, label) for text, label in more if label in known]
        return Examples(
            [*self.texts, *(text for text, _ in pairs)],
            [*self.labels, *(label for _, label in pairs)],
            self.outside,
            self.own_texts,
            self.own_labels,
        )


def examples_of(knowledge: Knowledge) -> Examples:
    """The briefs' example questions and the chatter; and what the briefs themselves say."""
    texts: list[str] = []
    labels: list[str] = []
    own_texts: list[str] = []
    own_labels: list[str] = []
    for brief in knowledge.briefs.values():
        told = [*brief.examples, *_telling(brief)]
        texts.extend(told)
        labels.extend([brief.id] * len(told))
        said = [f"{brief.title} {brief.id.split('/')[1].replace('-', ' ')}"]
        said += [answer.told for answer in brief.answers.values()]
        said += [point.told for point in brief.points.values()]
        said += [check.sentence for check in brief.checklist]
        own_texts.extend(map(as_told, said))
        own_labels.extend([brief.id] * len(said))
    for kind, text in knowledge.chatter:
        texts.append(text)
        labels.append(CHATTER + kind)
    return Examples(texts, labels, frozenset({"chatter"}), own_texts, own_labels)


def as_told(template: str) -> str:
    """A brief's text as it is read for its meaning, without what is put in."""
    return _TEMPLATE.sub(" ", template)


def _telling(brief: Brief) -> Iterator[str]:
    """What is asked at the brief's points, but for what is so short that any brief's rider might say it: "may I ride on"."""
    for point in brief.points.values():
        yield from (asking for asking in point.asked if len(asking.split()) >= FEWEST_WORDS)


def examples_of_file(path: Path, outside: Sequence[str] = ()) -> Examples:
    """A labelled CSV: columns text and label (or topic), in any order and case.

    Raises:
        ExamplesError: the file can't be read, a column is missing, or a row has no text or no label.
    """
    import pandas as pd  # takes a third of a second to load, and no draft needs it

    try:
        table = pd.read_csv(
            path, dtype=str, keep_default_na=False, encoding="utf-8-sig", skip_blank_lines=True
        )
    except (OSError, UnicodeDecodeError, ValueError) as error:
        raise ExamplesError(f"{path}: can't be read as a CSV: {error}") from error
    columns = {str(name).strip().lower(): name for name in table.columns}
    if "label" not in columns and "topic" in columns:
        columns["label"] = columns["topic"]
    missing = [name for name in ("text", "label") if name not in columns]
    if missing:
        raise ExamplesError(
            f"{path}, line 1: no column {' or '.join(missing)}; found {', '.join(map(str, table.columns))}.\n"
            "    A labelled file has the columns text and label."
        )
    texts = table[columns["text"]].str.strip()
    labels = table[columns["label"]].str.strip()
    empty = table.index[(texts == "") | (labels == "")]
    if len(empty):
        raise ExamplesError(f"{path}, row {int(empty[0]) + 1}: a text or a label is empty.")
    if not len(table):
        raise ExamplesError(f"{path}: holds no rows.")
    return Examples(texts.tolist(), labels.tolist(), frozenset(outside))

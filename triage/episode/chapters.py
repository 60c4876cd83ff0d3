"""Chapter marks of an episode, in the open standard WebVTT."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from triage.episode.show import Show

OPENING, FAREWELL = "Hello", "Goodbye"
_MILLISECONDS = 1_000


@dataclass(frozen=True, slots=True)
class Mark:
    """One chapter: its title, and where it begins and ends, in seconds from the start of the video."""

    title: str
    starts_at: float
    ends_at: float


def as_chapters(show: Show) -> str:
    """The show's chapters as WebVTT; each lasts until the next begins, so that a link belongs to what came before."""
    return chapters_of(_marks(show), f"Episode of {show.day}" if show.day else "Episode")


def chapters_of(marks: Iterable[Mark], note: str) -> str:
    """Chapters as a WebVTT text, in the order of time; one that would last less than a millisecond is left out.

    Raises:
        ValueError: a chapter begins before the video does.
    """
    blocks = ["WEBVTT", f"NOTE {_plain(note)}"]
    for mark in sorted(marks, key=lambda mark: mark.starts_at):
        if mark.starts_at < 0:
            raise ValueError(f"{mark.title}: expected a start of 0 s or later, got {mark.starts_at} s")
        begins, ends = _whole(mark.starts_at), _whole(mark.ends_at)
        if ends > begins:
            blocks.append(f"{_stamp(begins)} --> {_stamp(ends)}\n{_cue_text(mark.title)}")
    return "\n\n".join(blocks) + "\n"


def _marks(show: Show) -> Sequence[Mark]:
    starts = [running.starts_at for running in show.items]
    last = show.total_seconds - show.farewell_seconds
    marks = [Mark(OPENING, 0.0, starts[0] if starts else last)]
    for running, ends_at in zip(show.items, [*starts[1:], last], strict=False):
        title = running.item.title
        marks.append(
            Mark(title if title.split() else f"Item {running.item.place}", running.starts_at, ends_at)
        )
    marks.append(Mark(FAREWELL, last, show.total_seconds))
    return marks


def _whole(seconds: float) -> int:
    return round(seconds * _MILLISECONDS)


def _stamp(milliseconds: int) -> str:
    """Milliseconds as hours, minutes, seconds.

    >>> _stamp(121_500)
    '00:02:01.500'
    """
    seconds, rest = divmod(milliseconds, _MILLISECONDS)
    return f"{seconds // 3600:02d}:{seconds // 60 % 60:02d}:{seconds % 60:02d}.{rest:03d}"


def _cue_text(text: str) -> str:
    """A title on one line with its marks escaped.

    >>> _cue_text("Rim & tyre <b> --> which?")
    'Rim &amp; tyre &lt;b&gt; --&gt; which?'
    """
    # A line break could end the cue, and the standard forbids the arrow in a cue's text.
    line = " ".join(text.replace("\0", "\ufffd").split())
    return line.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")


def _plain(text: str) -> str:
    """A note's text on one line; notes know no escapes, so the arrow is broken."""
    return " ".join(text.replace("\0", "\ufffd").split()).replace("-->", "- ->")

"""What differs between two texts, word by word, in runs that a person can read."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from difflib import SequenceMatcher
from typing import Literal

Kind = Literal["same", "gone", "new"]
MOST_TOKENS = 3_000
"""Above so many words and gaps on either side, texts are compared line by line first."""
MOST_LINES = 1_500
MOST_PAIRS = 60_000
"""How many pairs of like words are tried; the commonest words hold nothing in place beyond that."""
_TOKEN = re.compile(r"\s+|\w+(?:[^\w\s]+\w+)*|[^\w\s]+")
_LINE = re.compile(r"[^\n]*\n|[^\n]+")
_WORD = re.compile(r"\S+\s*")


@dataclass(frozen=True, slots=True)
class Piece:
    """A run of a text: the same in both, gone from the first, or new in the second."""

    kind: Kind
    text: str


def pieces(was: str, now: str) -> list[Piece]:
    """The runs that lead from one text to the other; what is gone stands before what replaces it.

    Same and gone joined are the first text, same and new the second, to the letter.

    >>> [(one.kind, one.text) for one in pieces("Fit a new rim.", "Fit an old rim.")]
    [('same', 'Fit '), ('gone', 'a new'), ('new', 'an old'), ('same', ' rim.')]
    """
    first, second = _TOKEN.findall(was), _TOKEN.findall(now)
    runs = (
        _compared(first, second)
        if max(len(first), len(second)) <= MOST_TOKENS
        else _by_lines(_LINE.findall(was), _LINE.findall(now))
    )
    return list(_told(_joined(runs)))


def short(was: str, now: str, around: int = 8) -> list[Piece]:
    """Only the changed runs with so many words around each; the rest stands as "…". Empty where nothing changed."""
    found = pieces(was, now)
    if all(one.kind == "same" for one in found):
        return []
    last = len(found) - 1
    return [
        Piece("same", _cut(one.text, around if place > 0 else 0, around if place < last else 0))
        if one.kind == "same"
        else one
        for place, one in enumerate(found)
    ]


@dataclass(frozen=True, slots=True)
class _Run:
    """Either text that is the same, or what is gone and new at one place."""

    same: str = ""
    gone: str = ""
    new: str = ""


def _compared(first: Sequence[str], second: Sequence[str]) -> Iterator[_Run]:
    """The runs of two lists of tokens; like ends are set aside before anything is searched."""
    head = _like_ends(first, second)
    tail = _like_ends(first[head:][::-1], second[head:][::-1])
    yield _Run(same="".join(first[:head]))
    middle, other = first[head : len(first) - tail], second[head : len(second) - tail]
    # Gaps and the commonest words would tie unlike sentences together, and would cost most of the time.
    loose = _commonest(middle, other)
    matcher = SequenceMatcher(lambda token: token.isspace() or token in loose, middle, other, autojunk=False)
    for tag, start, end, begin, stop in matcher.get_opcodes():
        if tag == "equal":
            yield _Run(same="".join(middle[start:end]))
        else:
            yield _Run(gone="".join(middle[start:end]), new="".join(other[begin:stop]))
    yield _Run(same="".join(first[len(first) - tail :]))


def _by_lines(first: Sequence[str], second: Sequence[str]) -> Iterator[_Run]:
    """The runs of two long texts: by lines, and by words where changed lines are few enough."""
    if max(len(first), len(second)) > MOST_LINES:
        head = _like_ends(first, second)
        tail = _like_ends(first[head:][::-1], second[head:][::-1])
        yield _Run(same="".join(first[:head]))
        yield from _within(
            "".join(first[head : len(first) - tail]), "".join(second[head : len(second) - tail])
        )
        yield _Run(same="".join(first[len(first) - tail :]))
        return
    for run in _compared(first, second):
        if run.gone and run.new:
            yield from _within(run.gone, run.new)
        else:
            yield run


def _within(gone: str, new: str) -> Iterator[_Run]:
    first, second = _TOKEN.findall(gone), _TOKEN.findall(new)
    if max(len(first), len(second)) <= MOST_TOKENS:
        yield from _compared(first, second)
    else:
        yield _Run(gone=gone, new=new)


def _like_ends(first: Sequence[str], second: Sequence[str]) -> int:
    """How many tokens both lists begin with alike."""
    count = 0
    for one, other in zip(first, second, strict=False):
        if one != other:
            break
        count += 1
    return count


def _commonest(first: Sequence[str], second: Sequence[str]) -> set[str]:
    """The tokens to leave out of the search so that no more than `MOST_PAIRS` pairs are tried."""
    here, there = Counter(first), Counter(second)
    pairs = {token: many * there[token] for token, many in here.items() if not token.isspace()}
    total = sum(pairs.values())
    loose: set[str] = set()
    for token in sorted(pairs, key=lambda token: -pairs[token]):
        if total <= MOST_PAIRS:
            break
        loose.add(token)
        total -= pairs[token]
    return loose


def _joined(runs: Iterable[_Run]) -> Iterator[_Run]:
    """The runs without empty ones; changes with nothing or a single space between them are one."""
    kept: list[_Run] = []
    for run in runs:
        if run.same:
            if kept and kept[-1].same:
                kept[-1] = _Run(same=kept[-1].same + run.same)
            else:
                kept.append(run)
        elif run.gone or run.new:
            _add_change(kept, run)
    return iter(kept)


def _add_change(kept: list[_Run], run: _Run) -> None:
    if kept and not kept[-1].same:
        kept[-1] = _Run(gone=kept[-1].gone + run.gone, new=kept[-1].new + run.new)
        return
    if len(kept) > 1 and kept[-1].same == " ":
        whole = _Run(gone=f"{kept[-2].gone} {run.gone}", new=f"{kept[-2].new} {run.new}")
        # Two words that only came in, or only went, would otherwise claim a lone space as the other side.
        if whole.gone.strip() and whole.new.strip():
            kept[-2:] = [whole]
            return
    kept.append(run)


def _told(runs: Iterable[_Run]) -> Iterator[Piece]:
    for run in runs:
        if run.same:
            yield Piece("same", run.same)
        if run.gone:
            yield Piece("gone", run.gone)
        if run.new:
            yield Piece("new", run.new)


def _cut(text: str, after: int, before: int) -> str:
    """The first `after` and the last `before` words of a text, "…" for what is left out."""
    words = _WORD.findall(text)
    if len(words) <= after + before:
        return text
    lead = text[: len(text) - len(text.lstrip())]
    head = (lead + "".join(words[:after]).rstrip() + " ") if after else ""
    return f"{head}…{' ' + ''.join(words[len(words) - before :]) if before else ''}"

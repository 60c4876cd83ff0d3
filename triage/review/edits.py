"""What an editor should look at in an edited text: cautions, conditions, verdict words and figures that changed."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence, Set
from dataclasses import dataclass
from typing import Any, Literal

from rapidfuzz import fuzz

from triage.review.amounts import Figure
from triage.review.own_numbers import OwnNumbers
from triage.review.sentences import SAME_SIGN, Sentence, evened, sentences_in, spoken_words

Where = Literal["script", "reply"]
Kind = Literal[
    "caution dropped",
    "caution altered",
    "figure gone",
    "figure changed",
    "new figure",
    "condition altered",
    "condition dropped",
    "verdict word changed",
]
Line = Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Concern:
    """One thing to look at: in which text, of which kind, what stood there and stands there now, and a sentence of it."""

    where: Where
    kind: Kind
    was: str | None
    now: str | None
    told: str


def pointed_out(line: Line, script: str | None, reply: str | None) -> list[Concern]:
    """What an editor should know of edited texts, held against the drafted ones; nothing for one that is None or as drafted.

    Cautions and conditions come first, then verdict words, then figures.
    """
    edits: tuple[tuple[Where, str | None], ...] = (("script", script), ("reply", reply))
    rider = frozenset(spoken_words(f"{line['text']} {line['whole_text']}".translate(SAME_SIGN)))
    found: list[Concern] = []
    for where, edited in edits:
        drafted = line[where] or ""
        if edited is not None and evened(edited) != evened(drafted):
            found += _Edit(line, where, sentences_in(drafted, rider), sentences_in(edited, rider)).concerns()
    return found


# What turns the meaning of a sentence when it comes or goes.
_WEIGHTY = re.compile(
    r"not|no|never|none|nothing|nobody|neither|nor|without|must|cannot|\w+n't|before|until|unless|only|qualified|mechanics?|"
    r"maker(?:'s)?|makers|stop|if"
)
_NEGATES = re.compile(r"not|no|never|none|nothing|nobody|neither|nor|without|cannot|\w+n't")
_BINDS = frozenset(
    {"condition", "conditions", "if", "provided", "only", "long", "when", "unless", "hangs", "must"}
)
ALIKE_ENOUGH = 60.0
"""From this likeness of a hundred on, a sentence is another wording of one that is no longer there."""
ALIKE_WITHIN = 85.0
"""The same for a sentence that was drawn into a longer one."""
_REFUSALS: Mapping[str, re.Pattern[str]] = {
    "not-recommended": re.compile(r"not|no|never|\w+n't|cannot|stop"),
    "inspect-first": re.compile(
        r"not|no|never|\w+n't|cannot|stop|until|before|first|inspect\w*|look(?:ed|s)?|seen|gauged|checked"
    ),
    "need-more": re.compile(
        r"not|no|never|\w+n't|cannot|until|before|hangs?|depends?|decides?|tell|open|close|near"
    ),
}
"""The words of a verdict's answer that make it what it is."""
_STRONG = re.compile(
    r"\b(?:not recommended|(?:do not|don't|never|isn't|is not|not to be|aren't|are not) rid(?:e|den)|stop riding)\b"
)
_ALLOWS = re.compile(
    r"\b(?:(?:safe|fine|all right|ok|okay) to (?:ride|use|fit)|you (?:can|may) (?:still |safely |well )?(?:ride|use|fit) "
    r"(?:it|them|that|this|home|on)|(?:is|are|we|i) recommend(?:ed)?|go ahead)\b"
)
_RESERVED = re.compile(
    r"\b(?:not|no|never|\w+n't|cannot|if|once|when|after|until|unless|only|before|whether)\b"
)
WORDS_TOLD = 6
LEAST_LIKE_PLACE = 3
"""Of six: two for a like word next to the figure on either side, one for the next but one."""


class _Edit:
    """A drafted text and what was made of it."""

    def __init__(
        self, line: Line, where: Where, drafted: Sequence[Sentence], edited: Sequence[Sentence]
    ) -> None:
        self.line, self.where, self.drafted, self.edited = line, where, drafted, edited
        stood, stands = {s.words for s in drafted}, {s.words for s in edited}
        self.lost = [s for s in drafted if s.words not in stands]
        self.fresh = [s for s in edited if s.words not in stood]
        self.found: list[Concern] = []
        self.told_of: set[tuple[str, ...]] = set()
        self.dropped: set[tuple[str, ...]] = set()

    def concerns(self) -> list[Concern]:
        """All there is to point out."""
        for caution in self.line["cautions"]:
            for sentence in sentences_in(caution):
                self._hold_caution(sentence)
        for condition in self.line["conditions"]:
            self._hold_condition(spoken_words(condition.translate(SAME_SIGN)))
        self._hold_verdict()
        self._hold_figures()
        return self.found

    def _add(self, kind: Kind, was: str | None, now: str | None, told: str) -> None:
        self.found.append(Concern(self.where, kind, was, now, told))

    def _hold_caution(self, meant: Sentence) -> None:
        if any(meant.words == s.words for s in self.edited):
            return
        was = next((s for s in self.lost if s.words == meant.words), None) or _as_said(meant, self.drafted)
        if was is not None and was in self.lost:
            self._gone_or_altered("caution", was)

    def _hold_condition(self, words: tuple[str, ...]) -> None:
        holding = [s for s in self.drafted if _place_in(s.words, words) is not None]
        if any(s not in self.lost for s in holding):
            return
        if any(_still_binds(words, holding, now) for now in self.fresh):
            return
        was = holding[0] if holding else _as_said_within(words, self.drafted)
        if was is not None and was in self.lost:
            self._gone_or_altered("condition", was)

    def _gone_or_altered(self, what: Literal["caution", "condition"], was: Sentence) -> None:
        if was.words in self.told_of:
            return
        self.told_of.add(was.words)
        now = _most_alike(was, self.fresh)
        if now is not None:
            told = f'The {what} "{_opening(was.text)}" {_how_altered(was, now)} in the {self.where}.'
            altered: Kind = "caution altered" if what == "caution" else "condition altered"
            self._add(altered, was.text, now.text, told)
            return
        self.dropped.add(was.words)
        told = f'The {what} "{_opening(was.text)}" no longer stands in the {self.where}.'
        self._add("caution dropped" if what == "caution" else "condition dropped", was.text, None, told)

    def _hold_verdict(self) -> None:
        refusal = _REFUSALS.get(self.line["verdict"])
        if refusal is None:
            return
        headline = {s.words for s in sentences_in(self.line["headline"] or "")}
        for was in self.lost:
            wanted = _count(refusal, was)
            is_verdict = was.words in headline or _STRONG.search(was.folded)
            if not wanted or not is_verdict or was.words in self.told_of:
                continue
            now = _most_alike(was, self.fresh)
            if now is None or _count(refusal, now) < wanted:
                self._verdict_changed(was, now)
        for now in self.fresh:
            if _ALLOWS.search(now.folded) and not _RESERVED.search(now.folded):
                self._verdict_changed(None, now)

    def _verdict_changed(self, was: Sentence | None, now: Sentence | None) -> None:
        there, here = (None if one is None else f'"{_opening(one.text)}"' for one in (was, now))
        if there is None:
            how = f"now says {here}"
        elif here is None:
            how = f"no longer says {there}"
        else:
            how = f"turns {there} into {here}"
        told = f"The verdict is {self.line['verdict']}, and the {self.where} {how}."
        self._add("verdict word changed", was.text if was else None, now.text if now else None, told)

    def _hold_figures(self) -> None:
        stood, stands = ({(s.words, s.amounts) for s in text} for text in (self.drafted, self.edited))
        gone = [s for s in self.drafted if s.figures and (s.words, s.amounts) not in stands]
        new = [s for s in self.edited if s.figures and (s.words, s.amounts) not in stood]
        if not gone and not new:
            return
        own = OwnNumbers(self.line)
        changed, gone_figures, new_figures = _told_apart(gone, new)
        for was, now in changed:
            if now.unit or own.counts(was):
                told = f'The {self.where} says "{now.plain}" where the draft gave "{was.plain}"{own.of_what(was)}.'
                self._add("figure changed", was.written, now.written, told)
        still = {figure.amount for s in self.edited for figure in s.figures}
        with_a_caution = {figure.amount for s in gone if s.words in self.dropped for figure in s.figures}
        for figure in _each_once(gone_figures, still | with_a_caution):
            if own.counts(figure):
                told = f'The {self.where} no longer gives "{figure.plain}"{own.of_what(figure)}.'
                self._add("figure gone", figure.written, None, told)
        for figure in _each_once(new_figures, set()):
            if figure.unit and not own.gives(figure):
                told = f'The {self.where} says "{figure.plain}"; no working gives that figure.'
                self._add("new figure", None, figure.written, told)


def _opening(text: str) -> str:
    """The first words of a sentence, enough to find it."""
    words = text.split()
    return (
        text.rstrip(".") if len(words) <= WORDS_TOLD + 1 else f"{' '.join(words[:WORDS_TOLD]).rstrip(',;:')}…"
    )


def _as_said(meant: Sentence, drafted: Iterable[Sentence]) -> Sentence | None:
    """How the drafted text words a caution that isn't there to the word: a script says numbers its own way."""
    if any(meant.words == s.words for s in drafted):
        return None
    likeness = {s: fuzz.ratio(s.folded, meant.folded) for s in drafted}
    nearest = max(likeness, key=lambda s: likeness[s], default=None)
    return nearest if nearest is not None and likeness[nearest] >= ALIKE_WITHIN else None


def _as_said_within(words: Sequence[str], drafted: Iterable[Sentence]) -> Sentence | None:
    """The same for a condition, which is a part of its sentence."""
    wanted = " ".join(words)
    likeness = {
        s: fuzz.partial_ratio(s.folded, wanted) for s in drafted if len(s.folded) >= 0.8 * len(wanted)
    }
    nearest = max(likeness, key=lambda s: likeness[s], default=None)
    return nearest if nearest is not None and likeness[nearest] >= ALIKE_WITHIN else None


def _most_alike(was: Sentence, fresh: Iterable[Sentence]) -> Sentence | None:
    """The fresh sentence that is another wording of a lost one."""
    likeness = {s: _likeness(was.folded, s.folded) for s in fresh}
    nearest = max(likeness, key=lambda s: likeness[s], default=None)
    return nearest if nearest is not None and likeness[nearest] >= ALIKE_ENOUGH else None


def _likeness(was: str, now: str) -> float:
    whole = max(fuzz.ratio(was, now), fuzz.token_sort_ratio(was, now))
    within = fuzz.partial_ratio(was, now) if len(now) > len(was) else 0.0
    return max(whole, within if within >= ALIKE_WITHIN else 0.0)


def _how_altered(was: Sentence, now: Sentence) -> str:
    """ "has lost "never"", where a word that turns the meaning or a figure came or went."""
    before, after = _weights(was), _weights(now)
    told = [
        f"has {verb} {' and '.join(f'{chr(34)}{word}{chr(34)}' for word in words)}"
        for verb, words in (("lost", before - after), ("gained", after - before))
        if words
    ]
    return " and ".join(told) or "is worded otherwise"


def _weights(sentence: Sentence) -> Counter[str]:
    words = [re.sub(r"\w+n't", "not", word) for word in sentence.words if _WEIGHTY.fullmatch(word)]
    return Counter([*words, *(figure.plain for figure in sentence.figures)])


def _count(pattern: re.Pattern[str], sentence: Sentence) -> int:
    return sum(pattern.fullmatch(word) is not None for word in sentence.words)


def _place_in(words: Sequence[str], part: Sequence[str]) -> int | None:
    """Where a run of words begins in others."""
    size = len(part)
    return next(
        (at for at in range(len(words) - size + 1) if tuple(words[at : at + size]) == tuple(part)), None
    )


def _still_binds(condition: tuple[str, ...], holding: Sequence[Sentence], now: Sentence) -> bool:
    """Whether a reworded sentence still makes the same condition of the same words."""
    place = _place_in(now.words, condition)
    if place is None or not holding:
        return False
    was = holding[0]
    return _count(_NEGATES, now) == _count(_NEGATES, was) and not _BINDS.isdisjoint(now.words[:place])


def _told_apart(
    gone: Sequence[Sentence], new: Sequence[Sentence]
) -> tuple[list[tuple[Figure, Figure]], list[Figure], list[Figure]]:
    """(figures that changed, was and now), those only in the first sentences, those only in the second."""
    changed: list[tuple[Figure, Figure]] = []
    by_shape: dict[tuple[str, ...], list[Sentence]] = {}
    for sentence in new:
        by_shape.setdefault(sentence.shape, []).append(sentence)
    left: list[Figure] = []
    for sentence in gone:
        alike = by_shape.get(sentence.shape)
        if alike:
            pairs = zip(sentence.figures, alike.pop(0).figures, strict=True)
            changed += [(was, now) for was, now in pairs if was.amount != now.amount]
        else:
            left += sentence.figures
    come = [figure for sentences in by_shape.values() for s in sentences for figure in s.figures]
    went, came = _only_in(left, come), _only_in(come, left)
    moved = list(_at_like_places(went, came, left, come))
    changed += moved
    for was, now in moved:
        went[was.amount] -= 1
        came[now.amount] -= 1
    return changed, _counted(left, went), _counted(come, came)


def _only_in(here: Iterable[Figure], there: Iterable[Figure]) -> Counter[tuple[float, str]]:
    return Counter(one.amount for one in here) - Counter(one.amount for one in there)


def _counted(figures: Iterable[Figure], counts: Counter[tuple[float, str]]) -> list[Figure]:
    return [figure for figure in figures if counts[figure.amount] > 0]


def _at_like_places(
    went: Counter[tuple[float, str]],
    came: Counter[tuple[float, str]],
    left: Sequence[Figure],
    come: Sequence[Figure],
) -> Iterator[tuple[Figure, Figure]]:
    """Figures of one unit, each (was, now), that stand between the same words; the likest places first."""
    went, came = Counter(went), Counter(came)
    pairs = [
        (_like_place(was, now), place, other)
        for place, was in enumerate(left)
        for other, now in enumerate(come)
        if was.unit == now.unit and went[was.amount] > 0 and came[now.amount] > 0
    ]
    taken: set[tuple[str, int]] = set()
    for likeness, place, other in sorted(pairs, key=lambda pair: (-pair[0], pair[1], pair[2])):
        was, now = left[place], come[other]
        if likeness < LEAST_LIKE_PLACE or {("left", place), ("come", other)} & taken:
            continue
        if went[was.amount] > 0 and came[now.amount] > 0:
            taken |= {("left", place), ("come", other)}
            went[was.amount] -= 1
            came[now.amount] -= 1
            yield was, now


def _like_place(was: Figure, now: Figure) -> int:
    sides = ((was.before[::-1], now.before[::-1]), (was.after, now.after))
    return sum(
        worth
        for here, there in sides
        for worth, one, other in zip((2, 1), here, there, strict=False)
        if one == other
    )


def _each_once(figures: Iterable[Figure], but: Set[tuple[float, str]]) -> list[Figure]:
    first: dict[tuple[float, str], Figure] = {}
    for figure in figures:
        if figure.amount not in but:
            first.setdefault(figure.amount, figure)
    return list(first.values())

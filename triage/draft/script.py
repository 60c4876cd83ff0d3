"""The script: what the presenter says, in full or to a length, with the gaps that only the presenter can fill."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import product

from knowledge.numbers import for_the_ear
from triage.draft.reply import VERDICT_WORDS, side_sentence
from triage.draft.said import Said
from triage.draft.sentences import joined, sentence, sentences_of
from triage.draft.telling import Telling
from triage.pace import PAUSE_SECONDS, reading_seconds
from triage.personal import without_personal
from triage.records import Ask, Side

PACE_WORDS_PER_MINUTE = 150.0
LONGEST_QUOTE_WORDS = 45
QUOTES_WORDS = (LONGEST_QUOTE_WORDS, 25, 12, 0)
MOST_TERMS = 2
MOST_SIDES_ALOUD = 3
MOST_OFF, AIMED_OFF = 0.15, 0.12
"""How far from the asked length a script may be, as a share, and how near it is aimed: a presenter breathes."""
# A brief that says "about" itself needs no second hedge from the number.
_TWICE_HEDGED = re.compile(
    r"\b(about|around|some|nearly|roughly|almost|twice) (?:about|a hair (?:under|over)) "
)


# (what works instead, what was assumed, terms, closing phrase), in the order in which they go.
TRIMMINGS = (
    (True, True, MOST_TERMS, True),
    (True, True, MOST_TERMS, False),
    (True, True, 1, True),
    (True, True, 1, False),
    (True, True, 0, True),
    (True, True, 0, False),
    (True, False, 0, True),
    (True, False, 0, False),
    (False, False, 0, True),
    (False, False, 0, False),
)


@dataclass(frozen=True)
class Cut:
    """How much of each part of a script is said."""

    quote: int = LONGEST_QUOTE_WORDS
    body: int | None = None
    steps: int | None = None
    asks: int = 0
    instead: bool = True
    assumed: bool = True
    terms: int = MOST_TERMS
    close: bool = True


def script(telling: Telling, pace: float, seconds: float | None) -> tuple[str, float]:
    """The spoken form and how long it takes at a pace in words a minute.

    Where `seconds` asks for a length, the least deciding material goes first: the closing phrase, the terms, the last
    steps and the last sentences of the explanation. The answer, its conditions, the first question that is asked back and
    the cautions stay, so that a script with long cautions may be longer than asked.
    """
    parts = Parts(telling)
    cut = Cut() if seconds is None else parts.cut_to(seconds, pace)
    text = "\n\n".join(parts.paragraphs(cut))
    return text, reading_seconds(text, pace)


class Parts:
    """The paragraphs of a script, spoken, each split into what can be dropped."""

    def __init__(self, telling: Telling) -> None:
        self.telling = telling
        same = telling.said.once(_Same)
        self.headline = _said_again(telling.headline)
        self.body, self.asks, self.terms = same.body, same.asks, same.terms
        self.kept = _said_again(telling.conditions)
        self.instead = _said_again(telling.instead)
        self.doubts = _heard_again(telling.doubts)
        self.assumed = _heard_again(" ".join(filter(None, [telling.closeness, telling.assumed])))
        self.steps, self.cautions, self.gaps = same.steps, same.cautions, same.gaps
        self.in_order = same.in_order
        self.close = telling.phrase("close_script_ask" if telling.finding.asks else "close_script")
        opening = "open_script" if telling.question.message.rider else "open_script_no_name"
        self.opening = telling.phrase(opening)

    def paragraphs(self, cut: Cut) -> list[str]:
        """The script with what a cut leaves of it."""
        return [part for part in self._paragraphs(cut) if part]

    def _paragraphs(self, cut: Cut) -> Iterator[str]:
        yield for_the_ear(self._opened(cut.quote))
        instead = self.instead if cut.instead else ""
        yield " ".join(filter(None, [self.headline, *self.body[: cut.body], self.kept, instead]))
        yield self.doubts
        if cut.assumed:
            yield self.assumed
        yield from self.asks[cut.asks]
        yield " ".join(self.terms[: cut.terms])
        yield self.in_order(cut.steps)
        yield self.cautions
        yield from self.gaps
        if cut.close:
            yield self.close

    def _opened(self, most_words: int) -> str:
        rider = self.telling.question.message.rider
        if most_words == 0:
            return self.telling.phrases.opened_briefly.replace("{rider}", rider or "a viewer")
        message = self.telling.question.message
        told = without_personal(self.telling.question.text, message.author, message.rider, message.address)
        ask = shortened(told, most_words)
        return self.opening.replace("{rider}", rider or "").replace("{ask}", f"“{ask}”")

    def shortest(self, pace: float) -> float:
        """What cannot be dropped: the answer with its conditions, the first question, doubts and cautions."""
        least = Cut(
            quote=0,
            body=0,
            steps=0,
            asks=len(self.asks) - 1,
            instead=False,
            assumed=False,
            terms=0,
            close=False,
        )
        return self._lengths(pace).of(least)

    def cut_to(self, seconds: float, pace: float) -> Cut:
        """The cut that keeps most and comes within the asked length, or else the nearest one."""
        lengths = self._lengths(pace)
        best: tuple[bool, float, float] | None = None
        chosen = Cut()
        for cut in self._cuts():
            length = lengths.of(cut)
            off = abs(length - seconds) / seconds
            rank = (off <= AIMED_OFF, _worth(cut) if off <= AIMED_OFF else -off, -off)
            if best is None or rank > best:
                best, chosen = rank, cut
        return chosen

    def _cuts(self) -> Iterator[Cut]:
        for quote, body, steps, asks in product(
            QUOTES_WORDS, range(len(self.body), -1, -1), range(len(self.steps), -1, -1), range(len(self.asks))
        ):
            for instead, assumed, terms, close in TRIMMINGS:
                yield Cut(quote, body, steps, asks, instead, assumed, min(terms, len(self.terms)), close)

    def _lengths(self, pace: float) -> _Lengths:
        return _Lengths(self, pace)


class _Same:
    """The paragraphs that are the same in every script that says the same."""

    def __init__(self, said: Said) -> None:
        brief = said.brief
        self.body = _sentences(" ".join(part for part in (said.body, said.reasons) if part))
        self.asks = _ask_forms(said.told.asks)
        self.terms = [
            _heard_again(sentence(said.knowledge.plain_sentence(t))) for t in brief.terms[:MOST_TERMS]
        ]
        self.steps = said.checklist if said.works_in_order else ()
        self.cautions = _heard_again(" ".join(said.cautions))
        self.gaps = (
            [f"[Presenter: say here {brief.first_hand}, in your own words, or leave it out.]"]
            if brief.first_hand
            else []
        )
        if brief.promise:
            self.gaps.append(f"[Promise: {brief.promise}; enter the date by which you will report back.]")
        self._in_order: dict[int | None, str] = {}

    def in_order(self, count: int | None) -> str:
        """So many of the steps, or all, spoken in their order."""
        if count not in self._in_order:
            self._in_order[count] = _heard_again(_in_order(self.steps[:count]))
        return self._in_order[count]


class _Lengths:
    """How long each cut takes, from the seconds of its pieces."""

    def __init__(self, parts: Parts, pace: float) -> None:
        def seconds(text: str) -> float:
            return reading_seconds(text, pace) if text else 0.0

        def summed(pieces: Sequence[str]) -> list[float]:
            each = [reading_seconds(p, pace) - PAUSE_SECONDS for p in pieces]
            return [sum(each[:count]) for count in range(len(each) + 1)]

        self.quote = {most: seconds(for_the_ear(parts._opened(most))) for most in QUOTES_WORDS}
        self.fixed = (
            seconds(" ".join(filter(None, [parts.headline, parts.kept])))
            + seconds(parts.doubts)
            + seconds(parts.cautions)
        )
        self.body = summed(parts.body)
        self.steps = [seconds(parts.in_order(count)) for count in range(len(parts.steps) + 1)]
        terms = summed(parts.terms)
        self.terms = [0.0, *(length + PAUSE_SECONDS for length in terms[1:])]
        self.assumed = seconds(parts.assumed)
        self.asks = [sum(map(seconds, form)) for form in parts.asks]
        self.instead = seconds(parts.instead) - PAUSE_SECONDS if parts.instead else 0.0
        self.close = seconds(parts.close)

    def of(self, cut: Cut) -> float:
        """The seconds of one cut."""
        return (
            self.fixed
            + self.quote[cut.quote]
            + self.body[cut.body or 0]
            + self.steps[cut.steps or 0]
            + self.asks[cut.asks]
            + (self.instead if cut.instead else 0.0)
            + self.terms[cut.terms]
            + (self.assumed if cut.assumed else 0.0)
            + (self.close if cut.close else 0.0)
        )


def _worth(cut: Cut) -> float:
    """How much of what decides a cut keeps: what is asked and both answers first, what works instead, reasons, steps."""
    return (
        40.0 * (3 - cut.asks)
        + 30.0 * cut.instead
        + 20.0 * (cut.body or 0)
        + 15.0 * (cut.steps or 0)
        + 18.0 * cut.assumed
        + 6.0 * QUOTES_WORDS[::-1].index(cut.quote)
        + 5.0 * cut.terms
        + 2.0 * cut.close
    )


def shortened(text: str, most_words: int) -> str:
    """The text, or its last sentences up to so many words, since the ask stands at the end."""
    words = re.sub(r"(?:^|(?<=\s))\(?\d{1,2}\)\s", "", text).split()
    if len(words) <= most_words:
        return " ".join(words)
    sentences = re.split(r"(?<=[.!?])\s+", " ".join(words))
    kept: list[str] = []
    for one in reversed(sentences):
        if kept and sum(len(s.split()) for s in kept) + len(one.split()) > most_words:
            break
        kept.insert(0, one)
    short = " ".join(kept).split()
    return " ".join(short) if len(short) <= most_words else "… " + " ".join(short[-most_words:])


def _aloud(text: str) -> str:
    return for_the_ear(_TWICE_HEDGED.sub(r"\1 ", text))


# Most of what is said comes again: sentences without a number, and house phrases with what they are put to.
_said_again = lru_cache(maxsize=8_192)(_aloud)
_heard_again = lru_cache(maxsize=8_192)(for_the_ear)


def _sentences(text: str) -> list[str]:
    return [_said_again(one) for one in sentences_of(text)]


def _ask_forms(asks: Sequence[Ask]) -> list[list[str]]:
    """What is asked, ever shorter: with both answers, with how to measure, the bare questions, the first question."""
    full = [_spoken_ask(ask, measure=True, sides=True) for ask in asks]
    measured = [_spoken_ask(ask, measure=True, sides=False) for ask in asks]
    bare = [_spoken_ask(ask, measure=False, sides=False) for ask in asks]
    forms = [full, measured, bare, bare[:1]]
    return [form for place, form in enumerate(forms) if place == 0 or form != forms[place - 1]]


def _spoken_ask(ask: Ask, *, measure: bool, sides: bool) -> str:
    told = " ".join(_spoken_sides(ask.sides)) if sides else ""
    return _heard_again(" ".join(filter(None, [ask.question, ask.measure if measure else "", told])))


def _spoken_sides(sides: Sequence[Side]) -> Iterator[str]:
    """Each side with its reason; more words than can be followed by ear are told together, verdict by verdict."""
    worded = [side for side in sides if side.because]
    if len(worded) <= MOST_SIDES_ALOUD or not all(isinstance(side.value, str) for side in worded):
        yield from map(side_sentence, worded)
        return
    for verdict in dict.fromkeys(side.verdict for side in worded):
        names = [side.when for side in worded if side.verdict == verdict]
        yield f"If it is {joined(names, 'or')}, {VERDICT_WORDS[verdict]}."


_ORDINALS = ("First", "Second", "Third", "Fourth", "Fifth", "Sixth", "Seventh", "Eighth", "Ninth", "Tenth")


def _in_order(steps: Sequence[str]) -> str:
    if len(steps) == 1:
        return f"And one thing to do: {_lowered(steps[0])}"
    told = []
    for number, step in enumerate(steps[: len(_ORDINALS)]):
        lead = _ORDINALS[number] if number < len(steps) - 1 else "Last"
        told.append(f"{lead}, {_lowered(step)}")
    return " ".join(told)


def _lowered(step: str) -> str:
    first = step.split()[0]
    return step if first.isupper() or first == "I" else step[:1].lower() + step[1:]

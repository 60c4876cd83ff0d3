"""One message after another: who writes, through what, what it asks, and how it is told.

Nothing is kept but a sample of earlier messages to repeat or follow up, and sixteen megabytes that know which texts were
written, so that none is written twice and memory stays flat.
"""

from __future__ import annotations

import hashlib
import re
from bisect import bisect
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from itertools import accumulate

from benchmarks.inbox import words
from benchmarks.inbox.voice import Voice
from knowledge.base import Knowledge

REPEAT_KINDS = ("typo", "reorder", "signature", "mixed")
REMEMBERED = 2000
"""Earlier messages that may be repeated or followed up: a fair sample of all written so far."""
FIRST_MOMENT = 1_704_100_000
"""Seconds since 1970 of the first message: the first days of 2024."""
SECONDS_BETWEEN = 97
MOST_REDRAWS = 25
_SEEN_BITS = 1 << 27
_SENTENCE = re.compile(r"(?<=[.!?])\s+(?=[\"'(]?[A-Z0-9])")
_ASKING = re.compile(
    r"^\W*(?:can|could|should|would|will|is|are|am|do|does|did|has|have|may|what|which|why|how|when|where|who|any|anyone|help|please|or)\b",
    re.I,
)


@dataclass(frozen=True)
class Rates:
    """What share of the messages is how; chatter and other languages as in the sample inbox."""

    chatter: float = 0.195
    foreign: float = 0.024
    repeats: float = 0.05
    several_asks: float = 0.06
    """Of the questions."""
    follow_ups: float = 0.02
    """Of the mails."""
    mails: float = 0.5
    """Of a mixed inbox; the rest are comments."""
    html: float = 0.20
    html_alone: float = 0.05
    quoted: float = 0.10
    signature: float = 0.25
    picture: float = 0.02
    typos: float = 0.15
    lower_case: float = 0.12
    capitals: float = 0.01
    no_question_mark: float = 0.25
    rider_writes_again: float = 0.10


@dataclass(frozen=True, slots=True)
class Written:
    """One message as its rider wrote it; `received` is in seconds since 1970."""

    identity: str
    is_mail: bool
    author: str
    address: str
    received: int
    subject: str
    text: str
    kind: str
    asks: int
    likes: int = 0
    signature: str = ""
    quoted: str = ""
    in_reply_to: str = ""
    html: str = ""
    """Empty, "beside" the plain text, or "alone"."""
    picture_bytes: int = 0
    repeats: str = ""
    repeat_kind: str = ""
    brief: str = ""
    """Of its first ask; empty for chatter and other languages."""


@dataclass(slots=True)
class _Ask:
    """A message's body before it is dressed: what a repeat or a follow-up needs of it."""

    identity: str
    subject: str
    sentences: list[str]
    is_mail: bool
    address: str
    brief: str


@dataclass
class _Brief:
    id: str
    asks: list[list[str]]
    stories: list[str]


@dataclass
class Composer:
    """Writes messages without end; the same knowledge, seed and rates write the same."""

    knowledge: Knowledge
    seed: int = 7
    rates: Rates = field(default_factory=Rates)
    redraws: int = 0

    def __post_init__(self) -> None:
        """Take in the examples of every brief, and the chatter."""
        self.voice = Voice(self.knowledge, self.seed)
        self.briefs = [self._brief(brief.id, brief.every_example) for brief in self.knowledge.briefs.values()]
        # Some questions are asked far more often than others, in an order that has nothing to do with ours.
        ranks = list(range(len(self.briefs)))
        self.voice.chance.shuffle(ranks)
        self.weights = list(accumulate(1 / (rank + 20) ** 0.7 for rank in ranks))
        self.chatter: dict[str, list[str]] = {}
        for kind, text in self.knowledge.chatter:
            self.chatter.setdefault(kind, []).append(text)
        self.chatter_kinds = [kind for kind, _ in self.knowledge.chatter]
        self.earlier: list[_Ask] = []
        self._may_be_repeated: _Ask | None = None
        self.riders: list[tuple[str, str]] = []
        self.asked = self.number = 0
        self._seen = bytearray(_SEEN_BITS // 8)

    def _brief(self, identity: str, examples: Sequence[str]) -> _Brief:
        asks = [_SENTENCE.split(example) for example in examples]
        stories = [
            sentence
            for sentences in asks
            if len(sentences) > 1
            for sentence in sentences
            if sentence.endswith(".") and not _ASKING.match(sentence) and sentence.count(" ") > 3
        ]
        return _Brief(identity, asks, stories)

    def messages(self, count: int) -> Iterator[Written]:
        """So many further messages, no text of them like another."""
        for _ in range(count):
            self.number += 1
            yield self._unseen()

    def _unseen(self) -> Written:
        for _ in range(MOST_REDRAWS):
            self._may_be_repeated = None
            written = self._message()
            if not self._is_seen(written.text):
                self._remember()
                return written
            self.redraws += 1
        longer = f"{written.text} {self.voice.filled('My reference is {code}, {name} {surname}, {place}.')}"
        self._is_seen(longer)
        self._remember()
        return replace(written, text=longer)

    def _is_seen(self, text: str) -> bool:
        """Whether the text was written before, and from now on it was; once in millions, wrongly yes."""
        digest = hashlib.blake2b(text.encode(), digest_size=16).digest()
        seen = True
        for start in (0, 4, 8, 12):
            bit = int.from_bytes(digest[start : start + 4], "little") % _SEEN_BITS
            byte, mask = bit >> 3, 1 << (bit & 7)
            if not self._seen[byte] & mask:
                seen = False
                self._seen[byte] |= mask
        return seen

    def _message(self) -> Written:
        voice, rates = self.voice, self.rates
        draw = voice.chance.random()
        is_mail = voice.happens(rates.mails)
        voice.writer = self._rider()
        if draw < rates.chatter:
            return self._dressed(self._chatter(), "chatter", 0, is_mail)
        draw -= rates.chatter
        if draw < rates.foreign:
            return self._dressed(self._foreign(), "foreign", 1, is_mail)
        draw -= rates.foreign
        if draw < rates.repeats and self.earlier:
            return self._repeat(is_mail)
        draw -= rates.repeats
        if draw < rates.follow_ups and is_mail and self.earlier:
            return self._follow_up()
        return self._question(is_mail)

    def _chatter(self) -> list[str]:
        voice = self.voice
        lines = self.chatter[voice.pick(self.chatter_kinds)]
        said = [voice.again(voice.pick(lines)) for _ in range(2 if voice.happens(0.4) else 1)]
        if voice.happens(0.6):
            said.insert(voice.between(0, len(said)), voice.filled(voice.pick(words.STORIES)))
        return said

    def _foreign(self) -> list[str]:
        voice = self.voice
        greetings, parts, troubles, asks = voice.pick(list(words.FOREIGN.values()))
        part = voice.pick(parts)
        told = [f"{part[0].upper()}{part[1:]} {voice.pick(troubles)}."]
        if voice.happens(0.5):
            told.append(
                f"{part[0].upper()}{part[1:]} {voice.pick(troubles)}, {voice.model()} {voice.between(1980, 2026)}."
            )
        greeting = [voice.pick(greetings)] if voice.happens(0.6) else []
        return [voice.filled(line) for line in (*greeting, *told, voice.pick(asks))]

    def _question(self, is_mail: bool) -> Written:
        voice, brief = self.voice, self._some_brief()
        sentences = self._asked_with_its_story(brief, is_mail)
        several = voice.happens(self.rates.several_asks)
        if several:
            other = self._ask(self._some_brief())
            sentences += [voice.pick(words.ALSO) + other[0][:1].lower() + other[0][1:], *other[1:]]
        return self._dressed(sentences, "question", 1 + several, is_mail, brief=brief.id)

    def _asked_with_its_story(self, brief: _Brief, is_mail: bool) -> list[str]:
        voice = self.voice
        pieces = voice.pick((0, 1, 2, 2, 3, 4)) if is_mail else voice.pick((0, 0, 0, 1))
        told = voice.chance.sample(words.STORIES, pieces)
        story = [
            voice.again(voice.pick(brief.stories))
            if brief.stories and voice.happens(0.5)
            else voice.filled(template)
            for template in told
        ]
        story = list(dict.fromkeys(story))
        ask = self._ask(brief)
        behind = voice.between(0, len(story)) if voice.happens(0.2) else len(story)
        return [*story[:behind], *ask, *story[behind:]]

    def _some_brief(self) -> _Brief:
        return self.briefs[bisect(self.weights, self.voice.chance.random() * self.weights[-1])]

    def _ask(self, brief: _Brief) -> list[str]:
        said = [self.voice.again(sentence) for sentence in self.voice.pick(brief.asks)]
        last = said[-1]
        if last.endswith("?"):
            said[-1] = last[:-1] if self.voice.happens(self.rates.no_question_mark) else last
        elif last[-1:].isalnum() and _ASKING.match(last) and self.voice.happens(0.4):
            said[-1] = last + "?"
        return said

    def _follow_up(self) -> Written:
        before = next((one for one in map(self.voice.pick, [self.earlier] * 20) if one.is_mail), None)
        if before is None:
            return self._question(True)
        brief = self._some_brief()
        sentences = [self.voice.filled(self.voice.pick(words.STILL)), *self._ask(brief)]
        written = self._dressed(
            sentences, "follow-up", 1, True, subject=f"Re: {before.subject}", brief=brief.id
        )
        return replace(written, in_reply_to=before.identity, address=before.address)

    def _repeat(self, is_mail: bool) -> Written:
        """An earlier question in nearly the same words, from another rider."""
        voice = self.voice
        kind = voice.pick(REPEAT_KINDS)
        before = voice.pick(self.earlier)
        if kind == "reorder":
            # One sentence has no other order.
            some = (voice.pick(self.earlier) for _ in range(20))
            before = next((one for one in some if len(set(one.sentences)) > 1), before)
            kind = kind if len(set(before.sentences)) > 1 else "typo"
        sentences = list(before.sentences)
        while kind in ("reorder", "mixed") and len(set(sentences)) > 1 and sentences == before.sentences:
            voice.chance.shuffle(sentences)
        text = _joined(sentences)
        if kind in ("typo", "mixed"):
            text = voice.with_typos(text)
        signature = ""
        if kind in ("signature", "mixed"):
            text += "\n" + voice.filled(voice.pick(words.SIGN_OFFS))
            signature = voice.filled(voice.pick(words.SIGNATURES)) if is_mail else ""
        written = self._sent(text, before.subject, "question", 1, is_mail)
        return replace(
            written,
            signature=signature or written.signature,
            repeats=before.identity,
            repeat_kind=kind,
            brief=before.brief,
        )

    def _dressed(
        self, sentences: list[str], kind: str, asks: int, is_mail: bool, subject: str | None = None,
        brief: str = "",
    ) -> Written:  # fmt: skip
        """The sentences as a message, greeted, signed, spelt and cased as riders do."""
        voice, rates = self.voice, self.rates
        body = _joined(sentences)
        if voice.happens(rates.typos):
            body = voice.with_typos(body)
        if subject is None:
            subject = self._subject(sentences) if is_mail else ""
        lines = [body]
        if voice.happens(0.75 if is_mail else 0.08):
            lines.insert(0, voice.filled(voice.pick(words.GREETINGS if is_mail else words.COMMENT_GREETINGS)))
        if voice.happens(0.8 if is_mail else 0.12):
            lines.append(voice.filled(voice.pick(words.SIGN_OFFS if is_mail else words.COMMENT_SIGN_OFFS)))
        text = ("\n\n" if is_mail and voice.happens(0.6) else "\n" if is_mail else " ").join(lines)
        if voice.happens(rates.lower_case):
            text = text.lower()
        elif voice.happens(rates.capitals):
            text = text.upper()
        written = self._sent(text, subject, kind, asks, is_mail)
        if kind == "question":
            self._may_be_repeated = _Ask(
                written.identity, subject, sentences, is_mail, written.address, brief
            )
        return replace(written, brief=brief)

    def _subject(self, sentences: list[str]) -> str:
        voice = self.voice
        if voice.happens(0.6):
            told = voice.pick(sentences).split()
            return " ".join(told[: voice.between(2, 6)]).strip(".,;:!?")
        return voice.filled(voice.pick(words.SUBJECTS))

    def _sent(self, text: str, subject: str, kind: str, asks: int, is_mail: bool) -> Written:
        voice, rates, number = self.voice, self.rates, self.number
        author, address = voice.writer
        html = ""
        if is_mail and voice.happens(rates.html):
            html = "alone" if voice.happens(rates.html_alone / rates.html) else "beside"
        return Written(
            identity=f"m{number}.{voice.between(0, 0xFFFFFF):06x}@riders.invalid" if is_mail else f"c{number}",
            is_mail=is_mail,
            author=author if is_mail or voice.happens(0.5) else voice.handle(),
            address=address,
            received=FIRST_MOMENT + number * SECONDS_BETWEEN + voice.between(0, SECONDS_BETWEEN - 1),
            subject=subject,
            text=text,
            kind=kind,
            asks=asks,
            likes=0 if is_mail else int(voice.chance.expovariate(0.15)),
            signature=voice.filled(voice.pick(words.SIGNATURES)) if is_mail and voice.happens(rates.signature) else "",
            quoted=self._quoted() if is_mail and voice.happens(rates.quoted) else "",
            html=html,
            picture_bytes=voice.between(600, 9000) if is_mail and voice.happens(rates.picture) else 0,
        )  # fmt: skip

    def _rider(self) -> tuple[str, str]:
        voice = self.voice
        if self.riders and voice.happens(self.rates.rider_writes_again):
            return voice.pick(self.riders)
        name, surname = voice.name(), voice.surname()
        rider = f"{name} {surname}", f"{name}.{surname}{voice.between(1, 99)}@riders.invalid".lower()
        if len(self.riders) < REMEMBERED:
            self.riders.append(rider)
        else:
            self.riders[voice.between(0, REMEMBERED - 1)] = rider
        return rider

    def _quoted(self) -> str:
        told = [
            self.voice.filled(line)
            for line in self.voice.chance.sample(words.STORIES, self.voice.between(1, 3))
        ]
        told += self._ask(self._some_brief())
        return "\n".join([self.voice.filled(self.voice.pick(words.QUOTED)), *(f"> {line}" for line in told)])

    def _remember(self) -> None:
        """Keep a fair sample of all questions written so far."""
        ask = self._may_be_repeated
        if ask is None:
            return
        self.asked += 1
        if len(self.earlier) < REMEMBERED:
            self.earlier.append(ask)
            return
        place = int(self.voice.chance.random() * self.asked)
        if place < REMEMBERED:
            self.earlier[place] = ask


def _joined(sentences: list[str]) -> str:
    """Sentences in a row; one without its stop before another gets a comma's worth of one."""
    *some, last = sentences
    return " ".join([*(s if s[-1:] in ".!?:,…" else f"{s}." for s in some), last])


def kinds_of(written: Written) -> Counter[str]:
    """What a message counts for in the description of an inbox."""
    counts = Counter({"mails" if written.is_mail else "comments": 1, written.kind: 1})
    if written.repeats:
        counts["planted repeats"] = counts[f"repeated with {written.repeat_kind}"] = 1
    for name in ("signature", "quoted", "html", "picture_bytes", "in_reply_to"):
        if getattr(written, name):
            counts[f"with {name.replace('_', ' ').removesuffix(' bytes')}"] = 1
    if written.asks > 1:
        counts["several asks"] = 1
    return counts

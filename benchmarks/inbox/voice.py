"""One rider's way of saying a thing: other figures, other part names, other words, slips of the keyboard.

A sentence of a brief is cut once into fixed pieces and slots; saying it again fills the slots anew.
"""

from __future__ import annotations

import random
import re
from collections.abc import Callable, Mapping, Sequence
from functools import lru_cache
from pathlib import Path
from typing import TypeVar

from benchmarks.inbox import words
from knowledge.base import Knowledge

Slot = Callable[["Voice"], str]
Cut = tuple[str | Slot, ...]
T = TypeVar("T")

SAME_WORD_SHARE = 0.35
"""How often a word that has others for the same thing is swapped."""
OTHER_FIGURE_SHARE = 0.8
NAMED_PART_SHARE = 0.06
"""How often "my chain" becomes a named chain of the catalogue."""
LONGEST_PHRASE = 5
LETTERS_A_TYPO = 60
_NAMES = Path(__file__).parents[2] / "triage" / "read" / "given_names.txt"
_WORD = re.compile(r"[^\W_]+(?:['’./-][^\W_]+)*")
_BLANK = re.compile(r"\{(\w+)\}")
_KINDS = {
    "cassette": "cassette", "chain": "chain", "tyre": "tyre", "tyres": "tyre", "tire": "tyre", "tires": "tyre", "rim": "rim", "rims": "rim",
    "hub": "hub", "derailleur": "derailleur", "mech": "derailleur", "shifters": "shifter", "levers": "shifter", "crankset": "crankset",
    "chainset": "crankset", "rotor": "rotor", "rotors": "rotor", "fork": "fork", "frame": "frame", "stem": "stem", "seatpost": "seatpost",
    "wheels": "wheel", "pedals": "pedal", "bottom bracket": "bottom-bracket",
}  # fmt: skip
_FIGURE = re.compile(
    r"(?<![\w.])(?:(?P<cogs>\d{2}-\d{2})(?![\d-])"
    r"|(?P<wheel>700|650|29|27\.5|26)(?P<times>\s?[xX×]\s?)(?P<width>\d{2})(?P<letter>[cCbB]?)(?!\w)"
    r"|(?P<year>(?:19|20)\d\d)(?!\w)"
    r"|(?P<number>\d{1,5}(?:[.,]\d{1,2})?)(?:(?P<gap>\s?-?)(?P<unit>psi|bar|mm|cm|kg|lbs?|kms?|miles?|nm|teeth|t|speed|spd|years?|months?"
    r"|weeks?|days?|hours?|rides?|grams?|g|ml|watts?|%)(?!\w))?(?![\w]))",
    re.I,
)
COGS = (
    "11-25",
    "11-28",
    "11-30",
    "11-32",
    "11-34",
    "11-36",
    "11-40",
    "11-42",
    "10-42",
    "10-51",
    "12-25",
    "12-28",
    "12-32",
    "13-26",
    "14-28",
)
HUB_WIDTHS = (100, 110, 120, 126, 130, 135, 141, 142, 148, 157)
BOUNDS: Mapping[str, tuple[float, float]] = {
    "psi": (18, 125), "bar": (1.2, 8.5), "kg": (9, 128), "lb": (20, 280),
    "lbs": (20, 280), "teeth": (9, 54), "t": (10, 54), "speed": (5, 13),
    "spd": (5, 13), "nm": (2, 55), "%": (2, 98),
}  # fmt: skip


class Voice:
    """A source of invented names, figures and turns of phrase; the same seed says the same."""

    def __init__(self, knowledge: Knowledge, seed: int) -> None:
        self.chance = random.Random(seed)
        self.given = _given_names()
        self.writer = ("", "")
        """Name and address of whoever writes now: `{me}` and `{my_surname}`."""
        self.part_names: dict[str, list[str]] = {}
        for part in knowledge.parts.values():
            for name in (part.name, f"{part.maker} {part.name}", *part.also):
                self.part_names.setdefault(part.kind, []).append(name)
        self.phrases = _phrases(knowledge, self.part_names)
        self._cuts: dict[str, Cut] = {}
        self._blanks: dict[str, Callable[[], str]] = {
            "me": lambda: self.writer[0].partition(" ")[0], "my_surname": lambda: self.writer[0].partition(" ")[2],
            "name": self.name, "surname": self.surname, "place": self.place, "model": self.model, "code": self.code, "handle": self.handle,
            "street": lambda: f"{self.surname()} {self.pick(('Road', 'Street', 'Lane', 'Row', 'Hill', 'Quay'))}",
            "site": lambda: f"{self.model().lower()}-{self.pick(('forum', 'riders', 'garage', 'wiki'))}.invalid",
            "km": lambda: str(self.between(15, 420)), "kg": lambda: str(self.between(46, 128)), "age": lambda: str(self.between(15, 84)),
            "small": lambda: str(self.between(2, 12)), "minute": lambda: f"{self.between(0, 59):02}",
            "digits": lambda: str(self.between(1000, 999_999)), "thousands": lambda: f"{self.between(1, 40)},{self.between(0, 999):03}",
            "year": lambda: str(self.between(1974, 2026)),
            "price": lambda: f"{self.between(15, 2400)} {self.pick(words.COINS)}",
            "day": lambda: self.pick(words.DAYS), "month": lambda: self.pick(words.MONTHS), "relative": lambda: self.pick(words.RELATIVES),
        }  # fmt: skip

    def pick(self, some: Sequence[T]) -> T:
        """One of some things."""
        return some[int(self.chance.random() * len(some))]

    def happens(self, share: float) -> bool:
        """True in that share of the cases."""
        return self.chance.random() < share

    def between(self, low: int, high: int) -> int:
        """A whole number, both ends included."""
        return low + int(self.chance.random() * (high - low + 1))

    def name(self) -> str:
        """A given name."""
        return self.pick(self.given)

    def surname(self) -> str:
        """An invented family name."""
        return self._built(words.SURNAME_ENDS)

    def place(self) -> str:
        """An invented town."""
        return self._built(words.PLACE_ENDS)

    def model(self) -> str:
        """An invented bicycle."""
        return self._built(words.MODEL_ENDS)

    def _built(self, ends: Sequence[str]) -> str:
        middle = self.pick(words.MIDDLES) + (self.pick(words.MIDDLES) if self.happens(0.4) else "")
        return self.pick(words.STARTS) + middle + self.pick(ends)

    def code(self) -> str:
        """An order number, a frame number, a part's code."""
        letters = "".join(self.pick("ABCDEFGHJKLMNPRSTUVWXYZ") for _ in range(self.between(2, 3)))
        return f"{letters}{self.pick(('-', '', '/'))}{self.between(100, 99_999)}"

    def handle(self) -> str:
        """The name that somebody comments under."""
        style = self.between(0, 3)
        if style == 0:
            return self.name()
        if style == 1:
            return f"{self.name().lower()}_{self.between(1, 9999)}"
        return f"{self.model().lower()}{self.pick(('rider', 'goose', 'wheels', 'dad', ''))}{self.between(1, 999)}"

    def filled(self, template: str) -> str:
        """A line of `words` with its blanks filled."""
        return "".join(
            piece if place % 2 == 0 else self._blanks[piece]()
            for place, piece in enumerate(_blanks_of(template))
        )

    def again(self, sentence: str) -> str:
        """A sentence said anew: its figures, parts and some of its words are others."""
        cut = self._cuts.get(sentence)
        if cut is None:
            cut = self._cuts[sentence] = _cut(sentence, self.phrases)
        return "".join([piece if isinstance(piece, str) else piece(self) for piece in cut])

    def with_typos(self, text: str, letters_a_typo: int = LETTERS_A_TYPO) -> str:
        """The text with a slip for about so many letters, at least one; figures are never touched."""
        split = text.split(" ")
        places = [place for place, word in enumerate(split) if len(word) > 3 and word.isalpha()]
        if not places:
            return text
        for _ in range(max(1, len(text) // letters_a_typo)):
            place = self.pick(places)
            split[place] = self.slip(split[place])
        return " ".join(split)

    def slip(self, word: str) -> str:
        """A word with one letter left out, doubled, wrong, or swapped with the next; never the same word."""
        at = self.between(0, len(word) - 2)
        way = self.between(0, 3)
        if way == 0 and word[at] != word[at + 1]:
            return word[:at] + word[at + 1] + word[at] + word[at + 2 :]
        if way == 1:
            return word[:at] + word[at + 1 :]
        if way == 2:
            return word[: at + 1] + word[at] + word[at + 1 :]
        wrong = self.pick([letter for letter in "aeiorstnlmdpgk" if letter != word[at].lower()])
        return word[:at] + wrong + word[at + 1 :]


@lru_cache(maxsize=1)
def _given_names() -> tuple[str, ...]:
    lines = _NAMES.read_text(encoding="utf-8").splitlines()
    return tuple(name.capitalize() for line in lines if not line.startswith("#") for name in line.split())


@lru_cache(maxsize=4096)
def _blanks_of(template: str) -> list[str]:
    return _BLANK.split(template)


def _phrases(knowledge: Knowledge, part_names: Mapping[str, Sequence[str]]) -> dict[str, Slot]:
    """What may be said otherwise, by its words in lower case."""
    found: dict[str, Slot] = {}
    for term in knowledge.terms.values():
        for name in (term.term, *term.also):
            found[name.lower()] = _other_word((term.term, *term.also), name)
    for same in words.SAME:
        for name in same:
            found[name] = _other_word(same, name)
    for determiner in ("my", "the", "a", "new", "old"):
        for noun, kind in _KINDS.items():
            if kind in part_names:
                found[f"{determiner} {noun}"] = _named_part(part_names[kind], determiner, noun)
    for names in part_names.values():
        for name in names:
            found[name.lower()] = _other_part(names, name)
    return found


def _other_word(same: Sequence[str], name: str) -> Slot:
    def slot(voice: Voice) -> str:
        return voice.filled(voice.pick(same)) if voice.happens(SAME_WORD_SHARE) else voice.filled(name)

    return slot


def _named_part(names: Sequence[str], determiner: str, noun: str) -> Slot:
    def slot(voice: Voice) -> str:
        return f"{determiner} {voice.pick(names) + ' ' if voice.happens(NAMED_PART_SHARE) else ''}{noun}"

    return slot


def _other_part(names: Sequence[str], name: str) -> Slot:
    return lambda voice: voice.pick(names) if voice.happens(OTHER_FIGURE_SHARE) else name


def _capital(slot: Slot) -> Slot:
    def capital(voice: Voice) -> str:
        text = slot(voice)
        return text[:1].upper() + text[1:]

    return capital


def _cut(sentence: str, phrases: Mapping[str, Slot]) -> Cut:
    pieces: list[str | Slot] = []
    found = list(_WORD.finditer(sentence))
    done = place = 0
    while place < len(found):
        for length in range(min(LONGEST_PHRASE, len(found) - place), 0, -1):
            start, end = found[place].start(), found[place + length - 1].end()
            slot = phrases.get(sentence[start:end].lower())
            if slot is not None:
                pieces += _with_figures(sentence[done:start])
                pieces.append(_capital(slot) if sentence[start].isupper() else slot)
                done, place = end, place + length
                break
        else:
            place += 1
    return tuple(pieces + _with_figures(sentence[done:]))


def _with_figures(text: str) -> list[str | Slot]:
    pieces: list[str | Slot] = []
    done = 0
    for match in _FIGURE.finditer(text):
        pieces += [text[done : match.start()], _figure(match)]
        done = match.end()
    return [piece for piece in (*pieces, text[done:]) if piece != ""]


def _figure(match: re.Match[str]) -> Slot:
    text = match.group()
    if match["cogs"]:
        return lambda voice: voice.pick(COGS)
    if match["wheel"]:
        start, letter = f"{match['wheel']}{match['times']}", match["letter"]
        return lambda voice: f"{start}{voice.between(20, 60)}{letter}"
    if match["year"]:
        return lambda voice: str(voice.between(1975, 2026))
    unit = (match["unit"] or "").lower()
    tail = f"{match['gap'] or ''}{match['unit'] or ''}"
    number = float(match["number"].replace(",", "."))
    digits = len(re.split(r"[.,]", match["number"])[1]) if re.search(r"[.,]", match["number"]) else 0
    comma = "," in match["number"]

    def slot(voice: Voice) -> str:
        # A bare small number often counts things that can't be otherwise ("both 2 bolts").
        if not voice.happens(OTHER_FIGURE_SHARE if unit or number > 12 else 0.3):
            return text
        if unit in ("psi", "bar") and voice.happens(0.25):
            return _in_the_other_unit(number, unit)
        value = f"{_other_number(voice, number, unit, digits):.{digits}f}"
        return (value.replace(".", ",") if comma else value) + tail

    return slot


def _other_number(voice: Voice, number: float, unit: str, digits: int) -> float:
    if unit == "mm" and number in HUB_WIDTHS:
        return float(voice.pick(HUB_WIDTHS))
    low, high = BOUNDS.get(unit, (0.0, 99_999.0))
    spread = max(0.35 * number, 2.0 if digits == 0 else 0.3)
    value = number + (2 * voice.chance.random() - 1) * spread
    return max(1.0 if digits == 0 else 0.1, low, min(value, high)) if low <= number <= high else number


def _in_the_other_unit(number: float, unit: str) -> str:
    return f"{number / 14.504:.1f} bar" if unit == "psi" else f"{number * 14.504:.0f} psi"

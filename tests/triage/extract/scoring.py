"""How many of the labelled phrases' details are found, and how many of the found ones are right.

Run it to see each phrase that fails: `python -m tests.triage.extract.scoring [odd|even]`.
"""

from __future__ import annotations

import csv
import sys
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

from knowledge.load import load
from triage.extract import Finder
from triage.extract.forms import word_set
from triage.records import Detail

PHRASES = Path(__file__).parent / "phrases.csv"
BLIND = Path(__file__).parent / "phrases_blind.csv"
"""Written later, by someone who had not seen the reader; tuned on are its odd lines alone. Never open the even ones."""
WIDE, KEPT = Path(__file__).parent / "phrases_wide.csv", Path(__file__).parent / "phrases_kept.csv"
"""Phrases and whole letters over nearly every name, by others who had not seen the reader; tuned on are the wide ones alone. The kept
ones are for measuring: never open them. Some choices were labelled in neither, so those aren't judged."""
NOT_LABELLED = word_set(
    "discipline rim_type shifter_kind derailleur_kind cassette_kind tube_material shell_kind gear_oil_grade engine_oil_grade"
)
AGREEMENT = 0.01
"""Two values are the same within this share: a pound or an inch has been rounded in the labels."""

# A choice of one brief ("which bolts", "what damage") is named by words that mean nothing outside it; those are
# judged with their briefs. Here stand the ones that describe a bicycle whatever was asked.
JUDGED_CHOICES = word_set(
    """wheel_position discipline tyre_system rim_type rim_material frame_material brake_type bearing_designation
    gear_oil_grade engine_oil_grade shifter_kind derailleur_kind cassette_kind tube_material steerer_material
    seatpost_material spindle_kind shell_kind brake_fluid axle_type thread_size"""
)
# Two names for one thing, asked for by different briefs.
SAME = {"derailleur_largest_sprocket_teeth": "rated_sprocket_teeth"}

Value = float | tuple[float, float] | str


@dataclass(frozen=True, slots=True)
class Phrase:
    """A rider's words with what a mechanic understands by them, and the line where they stand."""

    line: int
    text: str
    expected: tuple[tuple[str, Value], ...]


@dataclass(frozen=True, slots=True)
class Score:
    """Counts over many phrases."""

    right: int
    wrong: int
    missed: int

    @property
    def precision(self) -> float:
        """The share of the found details that are right."""
        return self.right / max(self.right + self.wrong, 1)

    @property
    def recall(self) -> float:
        """The share of the stated details that are found."""
        return self.right / max(self.right + self.missed, 1)

    @property
    def f1(self) -> float:
        """The harmonic mean of precision and recall."""
        return 2 * self.right / max(2 * self.right + self.wrong + self.missed, 1)

    def __str__(self) -> str:
        return f"precision {self.precision:.3f}, recall {self.recall:.3f}, F1 {self.f1:.3f}"


def phrases(place: Path = PHRASES) -> list[Phrase]:
    """Every labelled phrase of a file."""
    with place.open(encoding="utf-8", newline="") as file:
        return [
            Phrase(line, row["text"], tuple(_labels(row["expected"])))
            for line, row in enumerate(csv.DictReader(file), start=2)
        ]


def _labels(cell: str) -> Iterable[tuple[str, Value]]:
    for label in filter(None, cell.split("|")):
        name, _, value = label.partition("=")
        low, _, high = value.partition("..")
        if high:
            yield name, (float(low), float(high))
        else:
            yield name, float(value) if _is_number(value) else value


def _is_number(text: str) -> bool:
    try:
        float(text)
    except ValueError:
        return False
    return True


def agree(one: Value, other: Value) -> bool:
    """Whether two values say the same."""
    if isinstance(one, str) or isinstance(other, str):
        return one == other
    if isinstance(one, tuple) or isinstance(other, tuple):
        return (
            isinstance(one, tuple)
            and isinstance(other, tuple)
            and all(agree(mine, theirs) for mine, theirs in zip(one, other, strict=True))
        )
    return abs(one - other) <= AGREEMENT * max(abs(one), abs(other))


def likeliest(details: Sequence[Detail], judged: Collection[str] = JUDGED_CHOICES) -> list[tuple[str, Value]]:
    """The first reading of every stretch of words; where a number has several, only the first is judged."""
    read: dict[tuple[object, ...], tuple[str, Value]] = {}
    for detail in details:
        choice = detail.name if isinstance(detail.value, str) else ""
        key = (detail.start, detail.end, detail.value, choice)
        read.setdefault(key, (SAME.get(detail.name, detail.name), detail.value))
    return [pair for pair in read.values() if not isinstance(pair[1], str) or pair[0] in judged]


def judge(
    expected: Sequence[tuple[str, Value]], found: Sequence[tuple[str, Value]]
) -> tuple[list[tuple[str, Value]], list[tuple[str, Value]]]:
    """What was missed and what is wrong; saying one thing twice counts once."""
    left = _once(found)
    missed = []
    for name, value in _once(expected):
        hit = next((pair for pair in left if pair[0] == name and agree(pair[1], value)), None)
        if hit is None:
            missed.append((name, value))
        else:
            left.remove(hit)
    return missed, left


def _once(pairs: Sequence[tuple[str, Value]]) -> list[tuple[str, Value]]:
    kept: list[tuple[str, Value]] = []
    for name, value in pairs:
        if not any(name == other and agree(value, known) for other, known in kept):
            kept.append((name, value))
    return kept


def score(
    finder: Finder, chosen: Sequence[Phrase], show: bool = False, judged: Collection[str] = JUDGED_CHOICES
) -> Score:
    """Precision and recall over phrases, all details counted alike."""
    right = wrong = missed = 0
    for phrase in chosen:
        details, doubts = finder.find(phrase.text)
        lost, extra = judge(phrase.expected, likeliest(details, judged))
        right += len(_once(phrase.expected)) - len(lost)
        wrong += len(extra)
        missed += len(lost)
        if show and (lost or extra):
            print(f"{phrase.line}: {phrase.text}")
            print(f"    missed {lost}  wrong {extra}  doubts {[name for name, _ in doubts]}")
    return Score(right, wrong, missed)


def half(chosen: Sequence[Phrase], parity: int) -> list[Phrase]:
    """The phrases on odd lines (1), on which patterns may be tuned, or the held-out ones on even lines (0)."""
    return [phrase for phrase in chosen if phrase.line % 2 == parity]


def main() -> None:
    """Print the failures of one half, or the scores alone."""
    finder = Finder(load())
    every = phrases()
    wanted = {"odd": 1, "even": 0}.get(sys.argv[1]) if len(sys.argv) > 1 else None
    if wanted is not None:
        score(finder, half(every, wanted), show=True)
    for name, chosen in (("all", every), ("odd", half(every, 1)), ("even", half(every, 0))):
        print(f"{name}: {len(chosen)} phrases, {score(finder, chosen)}")
    for place in (WIDE, KEPT):
        print(f"{place.stem}: {score(finder, phrases(place), judged=JUDGED_CHOICES - NOT_LABELLED)}")


if __name__ == "__main__":
    main()

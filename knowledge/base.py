"""The knowledge base as one frozen thing: loaded once, checked whole, refused when anything is wrong."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

from knowledge.brief import Brief
from knowledge.calculation import Calculation
from knowledge.units import Unit, unit_of

HOME = Path(__file__).parent


@dataclass(frozen=True, slots=True)
class Source:
    """A published source, or the honest statement that there is none."""

    id: str
    title: str
    publisher: str
    year: str
    basis: str
    address: str

    @property
    def is_memory(self) -> bool:
        """Whether it only says that nothing was seen."""
        return self.basis == "from memory"

    @property
    def cited(self) -> str:
        """The source as a reply names it."""
        parts = [self.title, self.publisher, self.year]
        return ", ".join(part for part in parts if part)


@dataclass(frozen=True, slots=True)
class Topic:
    """One of the nine topic words; `helps` lists what a mechanic asks first about any such thing, or nothing.

    `halt` says what nobody rides with, to a rider who waits for an answer by a person.
    """

    topic: str
    label: str
    about: str
    helps: str
    halt: str


@dataclass(frozen=True, slots=True)
class Term:
    """A trade term, its plain sentence, and what else riders call it."""

    term: str
    plain: str
    also: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class QuantityKind:
    """A quantity or choice that a rider may state, with what is plausible and what is usual.

    `tolerance` is how finely a rider can measure it; `spread`, by how much a stated value may be off either way (zero for
    what is counted or printed as a limit), by common practice with a rule, a scale, a pump's gauge or a calliper. `effort`
    is what finding it out costs the rider: 1 read or count, 2 a rule or scales, 3 a calliper or gauge, 4 something must
    come off. `is_chosen` is true for what a rider may choose otherwise: a tyre's width, never a rider's mass. `limit` is
    "most" or "least" for what somebody states as a limit, so that the stricter of two counts.
    """

    name: str
    kind: str
    label: str
    cues: tuple[str, ...]
    low: float | None
    high: float | None
    tolerance: float
    spread: float
    usual_low: float | None
    usual_high: float | None
    basis: str
    ask: str
    measure: str
    effort: float = 1.0
    is_chosen: bool = False
    limit: str = ""

    @property
    def unit(self) -> Unit:
        """The unit at the end of its name."""
        return unit_of(self.name)


@dataclass(frozen=True, slots=True)
class Choice:
    """One word that a choice can take, and how riders say it."""

    name: str
    value: str
    label: str
    words: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Contrast:
    """One of several things of which a bicycle mostly has only one ("material": carbon or steel), and how riders name it.

    `goes_unsaid` is False where nobody means it without naming it: a tandem, a child's bicycle, a motor.
    """

    name: str
    value: str
    goes_unsaid: bool
    words: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class CataloguePart:
    """A part of the catalogue with what its row says of it."""

    id: str
    kind: str
    maker: str
    name: str
    also: tuple[str, ...]
    properties: Mapping[str, float | str]
    source: str


@dataclass(frozen=True)
class Knowledge:
    """Everything the desk knows."""

    sources: Mapping[str, Source]
    topics: Mapping[str, Topic]
    terms: Mapping[str, Term]
    quantities: Mapping[str, QuantityKind]
    choices: Mapping[str, tuple[Choice, ...]]
    parts: Mapping[str, CataloguePart]
    briefs: Mapping[str, Brief]
    calculations: Mapping[str, Calculation]
    chatter: tuple[tuple[str, str], ...]
    contrasts: tuple[Contrast, ...]
    wants: tuple[tuple[str, bool], ...]
    """Askings, each with whether its answer is a working order, and not a few sentences."""
    digest: str

    def unit(self, name: str) -> Unit:
        """The unit of a need or figure, by its name."""
        return unit_of(name)

    def choice_label(self, name: str, value: str) -> str:
        """A choice's words for a reader."""
        return self._choice_labels.get((name, value), value.replace("-", " "))

    @cached_property
    def _choice_labels(self) -> dict[tuple[str, str], str]:
        return {(c.name, c.value): c.label for choices in self.choices.values() for c in choices}

    def label(self, name: str) -> str:
        """What a quantity or figure is called in a sheet."""
        if name in self.quantities:
            return self.quantities[name].label
        if name in self.calculations:
            return self.calculations[name].result_meaning
        ending = unit_of(name).ending
        return name.removesuffix(f"_{ending}").replace("_", " ") if ending else name.replace("_", " ")

    def plain_sentence(self, term: str) -> str:
        """The glossary's sentence for a term."""
        return self.terms[term].plain


def digest_of(files: list[Path]) -> str:
    """One digest over the names and contents of files."""
    digest = hashlib.sha256()
    for path in sorted(files, key=lambda path: path.as_posix()):
        digest.update(path.name.encode())
        digest.update(path.read_bytes())
    return digest.hexdigest()

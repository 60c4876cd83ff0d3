"""A brief: everything the desk knows about one kind of question, as its file states it."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, model_validator

GivenVerdict = Literal["yes", "yes-if", "not-recommended", "inspect-first"]
AnswerVerdict = Literal["yes", "yes-if", "not-recommended", "inspect-first", "need-more", "explain"]
Text = Annotated[str, Field(min_length=2)]
Name = Annotated[str, Field(pattern=r"^[a-z][a-z0-9-]*$")]


class Part(BaseModel):
    """The base of every piece of a brief: unknown keys are refused."""

    model_config = ConfigDict(extra="forbid", frozen=True)


class Lookup(Part):
    """Where a need is read from a table, by other needs of the brief or by fixed words."""

    table: Text
    column: Text
    where: dict[str, str | float] = Field(default_factory=dict)


class Need(Part):
    """One quantity or choice that the brief works with, and its sources after the rider's own words."""

    name: Text
    part: str | None = None
    property: str | None = None
    table: Lookup | None = None
    usual: tuple[float, float] | float | tuple[str, ...] | None = None
    basis: str | None = None
    ask: str | None = None
    measure: str | None = None
    label: str | None = None
    exact: bool = False
    """What the rider states is printed, as on a sidewall, so no measuring leaves it open."""
    or_else: str | None = None
    """The need whose told value stands in where nothing was said of this one: no new cassette, so the one there is."""


class Figure(Part):
    """A figure to work out: a calculation by its name, or one with some inputs named otherwise."""

    name: Text
    calculation: str | None = None
    label: str | None = None
    inputs: dict[str, str | float] = Field(default_factory=dict, alias="with")
    only_if_known: tuple[str, ...] = ()

    @property
    def works_out(self) -> str:
        """The name of the calculation behind the figure."""
        return self.calculation or self.name


class Outcome(Part):
    """A verdict with its reason, and the condition where it is a yes-if."""

    verdict: GivenVerdict
    because: Text
    condition: str | None = None

    @model_validator(mode="after")
    def _condition_belongs_to_yes_if(self) -> Outcome:
        if (self.verdict == "yes-if") != (self.condition is not None):
            raise ValueError("condition: a yes-if needs one, and nothing else takes one")
        return self


class Band(Outcome):
    """One stretch of a figure, up to and including a limit; the last band has none."""

    up_to: float | str | None = None


class Decider(Part):
    """What the verdict hangs on: a figure in bands, a need's words, or a row of a table of pairs."""

    figure: str | None = None
    absolute: bool = False
    bands: tuple[Band, ...] = ()
    need: str | None = None
    values: dict[str, Outcome] = Field(default_factory=dict)
    pairs: str | None = None
    where: dict[str, str] = Field(default_factory=dict)
    otherwise: Outcome | None = None
    only_if_known: tuple[str, ...] = ()
    unless_known: tuple[str, ...] = ()
    source: Text

    @model_validator(mode="after")
    def _one_form(self) -> Decider:
        forms = [self.figure is not None, self.need is not None, self.pairs is not None]
        if sum(forms) != 1:
            raise ValueError("give one of figure, need or pairs")
        if self.figure and not self.bands:
            raise ValueError("bands: a figure needs at least one")
        if self.need and not self.values:
            raise ValueError("values: a need decides by its values")
        if self.pairs and (not self.where or self.otherwise is None):
            raise ValueError("pairs: give where and otherwise")
        return self

    @model_validator(mode="after")
    def _bands_without_gap(self) -> Decider:
        if not self.bands:
            return self
        *closed, last = self.bands
        if last.up_to is not None:
            raise ValueError("bands: the last one must be open, or values beyond it have no verdict")
        if any(band.up_to is None for band in closed):
            raise ValueError("bands: only the last one may be open")
        limits = [band.up_to for band in closed if isinstance(band.up_to, int | float)]
        if limits != sorted(limits):
            raise ValueError(f"bands: limits must rise, got {limits}")
        return self


class Answer(Part):
    """What is said for one verdict: the answer in one sentence, and the explanation."""

    headline: Text
    body: Text
    instead: str | None = None

    @property
    def told(self) -> str:
        """What is said in any case."""
        return f"{self.headline} {self.body}"


class Point(Part):
    """One thing that riders ask within a brief, in their words, and what is said to it before all else.

    With `alone` the brief's own explanation is left out even where it gives what the rider's numbers come to. Only with `beside_a_no` it is
    said after a "not recommended", so it must be written to stand there. `steps` and `cautions` name those of the brief that belong to
    it: no step where none is named, and every caution where `cautions` isn't given at all. One that `settles` is a whole answer without
    the facts that the brief's verdict hangs on, so none of them is asked for.
    """

    asked: Annotated[tuple[Text, ...], Field(min_length=5)]
    headline: Text
    say: str | None = None
    alone: bool = False
    beside_a_no: bool = False
    settles: bool = False
    steps: tuple[Name, ...] = ()
    cautions: tuple[Name, ...] | None = None

    @property
    def told(self) -> str:
        """All that is said to it."""
        return f"{self.headline} {self.say or ''}"


class Check(Part):
    """One step of a checklist: what to do, and what a finding means; points call it by its name."""

    do: Text
    finding: str | None = None
    name: Name | None = None

    @property
    def sentence(self) -> str:
        """The step as it is printed and read."""
        return f"{self.do} {self.finding}" if self.finding else self.do


class Caution(Part):
    """One thing to mind; points call it by its name. In a file a bare sentence will do."""

    say: Text
    name: Name | None = None


def _sayings(given: object) -> object:
    """Cautions as they stand in a file, a bare sentence made one without a name."""
    if not isinstance(given, list):
        return given
    return [{"say": one} if isinstance(one, str) else one for one in given]


class Brief(Part):
    """One kind of question, with what it takes to answer it."""

    id: str
    title: Text
    safety: bool = False
    harm: str | None = None
    see: str | None = None
    examples: tuple[Text, ...]
    needs: tuple[Need, ...] = ()
    figures: tuple[Figure, ...] = ()
    verdict: Literal["explain", "inspect-first", "not-recommended", "none"] | None = None
    because: str | None = None
    deciders: tuple[Decider, ...] = ()
    answers: dict[AnswerVerdict, Answer]
    checklist: tuple[Check, ...] = ()
    cautions: Annotated[tuple[Caution, ...], BeforeValidator(_sayings)] = ()
    props: tuple[Text, ...] = ()
    terms: tuple[Text, ...] = ()
    related: tuple[Text, ...] = ()
    first_hand: str | None = None
    promise: str | None = None
    sources: tuple[str, ...] = ()
    points: dict[Name, Point] = Field(default_factory=dict)

    @property
    def every_example(self) -> tuple[str, ...]:
        """What riders ask in general, and at each point."""
        return (*self.examples, *(asked for point in self.points.values() for asked in point.asked))

    @property
    def topic(self) -> str:
        """The topic word, which is the folder the brief lies in."""
        return self.id.split("/")[0]

    @property
    def begins_with_a_stop(self) -> bool:
        """Whether it tells whoever says nothing more not to ride on."""
        return self.safety and self.verdict in ("inspect-first", "not-recommended")

    @model_validator(mode="after")
    def _whole(self) -> Brief:
        if self.verdict is None and not self.deciders:
            raise ValueError("deciders: give deciders, or a fixed verdict")
        if self.verdict is not None and not all(decider.only_if_known for decider in self.deciders):
            raise ValueError("deciders: beside a fixed verdict each needs only_if_known")
        if self.safety and not (self.harm and self.see and self.cautions):
            raise ValueError("safety: a safety matter needs harm, see and cautions")
        return self

    def possible_verdicts(self) -> set[str]:
        """Every verdict that the deciders can give, each of which needs an answer; a fixed one stands where they are silent."""
        if self.verdict is not None and not self.deciders:
            return {self.verdict}
        found: set[str] = set() if self.verdict is None else {self.verdict}
        for decider in self.deciders:
            found |= {band.verdict for band in decider.bands}
            found |= {outcome.verdict for outcome in decider.values.values()}
            if decider.otherwise is not None:
                found.add(decider.otherwise.verdict)
        return found | {"need-more"} if self.verdict is None else found


def points_within(brief: Brief, *identities: str | None) -> tuple[str, ...]:
    """The names of those, such as "wheels/dish#tolerance", that are this brief's points; another brief's are nothing here."""
    named = [one.partition("#") for one in identities if one is not None]
    return tuple(point for identity, _, point in named if identity == brief.id and point in brief.points)

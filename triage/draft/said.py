"""What a finding says, whoever asked: its brief's words with the numbers put in, made once for all riders who told the same."""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Iterable
from functools import cached_property
from operator import attrgetter
from typing import Any, NamedTuple, TypeVar, cast

from knowledge import wording
from knowledge.base import Knowledge
from knowledge.brief import Answer, Brief, Check, Point, points_within
from knowledge.once import once_for_each
from knowledge.phrases import Phrases
from triage.draft.limits import Limits
from triage.draft.sentences import joined, sentence, with_article
from triage.lately import Lately
from triage.records import (
    MAY_HURT,
    Ask,
    Assumed,
    FigureResult,
    Finding,
    Nearest,
    Origin,
    Sureness,
    Verdict,
)
from triage.shown import NOT_KNOWN, Shown, digits_of_stated, of_figure, of_range

LONG_ENOUGH_WORDS = 25
"""An answer's body of so many words gives its own reasons."""
MOST_TEXTS = 4_096
"""Findings whose words are kept; those of one take some thirteen kilobytes, as they are read and as they are heard."""
_GIVEN: frozenset[Origin] = frozenset({"rider", "part"})
Made = TypeVar("Made")


class ToldFigure(NamedTuple):
    """What the words say of a figure: everything but its working and its inputs."""

    name: str
    label: str
    value: float | None
    low: float | None
    high: float | None
    unit: str
    sources: tuple[str, ...]
    decides: bool
    wanted: bool


class ToldValue(NamedTuple):
    """What the words say of a need: everything but the rider's own words and where it came from."""

    name: str
    low: float | None
    high: float | None
    choices: tuple[str, ...]
    unit: str
    origin: Origin
    is_known: bool


_of_figure = attrgetter(*ToldFigure._fields)
_of_value = attrgetter(*ToldValue._fields)


class Told(NamedTuple):
    """Everything that the words of a finding hang on, but for the house phrases and who asked.

    `rider` is given only where the brief's own words name the rider, `hold_off` only where the rider tells of danger.
    `values` and `figures` are the fields of `ToldValue` and `ToldFigure`. (Bare tuples are the quickest to be looked up by.)
    """

    brief: str
    points: tuple[str, ...]
    perhaps: str | None
    in_order: bool
    verdict: Verdict
    sureness: Sureness
    values: tuple[tuple[Any, ...], ...]
    figures: tuple[tuple[Any, ...], ...]
    own_figures: frozenset[str]
    reasons: tuple[str, ...]
    conditions: tuple[str, ...]
    asks: tuple[Ask, ...]
    assumed: tuple[Assumed, ...]
    doubts: tuple[str, ...]
    sources: tuple[str, ...]
    nearest: tuple[Nearest, ...]
    limits: tuple[tuple[str, float], ...]
    rider: str | None
    hold_off: str | None
    maker_first: str

    @classmethod
    def of(cls, finding: Finding, brief: Brief, knowledge: Knowledge, phrases: Phrases) -> Told:
        """What a finding tells."""
        question, classified = finding.question, finding.matched.extracted.classified
        return cls(
            brief.id,
            points_within(brief, classified.point, *classified.more_points),
            next(iter(points_within(brief, classified.perhaps)), None),
            classified.in_order,
            finding.verdict,
            finding.sureness,
            tuple(map(_of_value, finding.matched.values.values())),
            tuple(map(_of_figure, finding.figures)),
            _own_figures(finding.figures),
            finding.reasons,
            finding.conditions,
            finding.asks,
            finding.assumed,
            finding.doubts,
            finding.decider_sources,
            finding.nearest,
            tuple(Limits.of(finding, knowledge).most.items()),
            question.message.rider if _names_the_rider(knowledge)(brief) else None,
            _hold_off(brief, question.flags, phrases),
            phrases.maker_first,
        )


def _own_figures(figures: Iterable[FigureResult]) -> frozenset[str]:
    """The names of the figures that are worked out, if by others of them, of what the rider told or a part of ours brought along."""
    own: set[str] = set()
    for figure in figures:
        if any(used.origin in _GIVEN or used.name in own for used in figure.inputs):
            own.add(figure.name)
    return frozenset(own)


def _hold_off(brief: Brief, flags: Collection[str], phrases: Phrases) -> str | None:
    """The caution for a danger that was told: beside a harmless brief it stands alone, so it says what it means.

    What only reads like a danger is warned of where the brief's own cautions don't.
    """
    if "danger" in flags:
        return phrases.hold_off if brief.safety else phrases.hold_off_beside
    return phrases.hold_off_beside if MAY_HURT in flags and not brief.safety else None


class _Watched:
    """A need or figure as a template sees it, which notes that it was asked for."""

    def __init__(self, name: str, shown: Shown, asked: set[str]) -> None:
        self._name, self._shown, self._asked = name, shown, asked

    def __str__(self) -> str:
        self._asked.add(self._name)
        return str(self._shown)

    def __getattr__(self, attribute: str) -> Any:
        if attribute.startswith("_"):
            raise AttributeError(attribute)
        self._asked.add(self._name)
        return getattr(self._shown, attribute)


class Said:
    """The words of what a finding tells; with `spoken`, worked-out numbers are put as one says them."""

    def __init__(self, told: Told, knowledge: Knowledge, spoken: bool = False) -> None:
        self.told, self.knowledge, self.spoken = told, knowledge, spoken
        self.brief: Brief = knowledge.briefs[told.brief]
        self.limits = Limits(dict(told.limits))
        self.figures = [ToldFigure(*figure) for figure in told.figures]
        self._made: dict[Callable[[Said], Any], Any] = {}
        self._instead: dict[str, str] = {}

    def once(self, make: Callable[[Said], Made]) -> Made:
        """What a function makes of this, made once."""
        if make not in self._made:
            self._made[make] = make(self)
        return cast(Made, self._made[make])

    @cached_property
    def aloud(self) -> Said:
        """The same as it is spoken."""
        return Said(self.told, self.knowledge, True)

    @cached_property
    def answer(self) -> Answer | None:
        """What the brief says for the verdict."""
        answers, verdict = self.brief.answers, self.told.verdict
        if verdict == "none":
            return answers.get("explain")
        return answers.get(verdict) or (answers.get("yes") if verdict == "yes-if" else None)

    @cached_property
    def points(self) -> tuple[Point, ...]:
        """What is asked within the brief, the first one first; beside a no only what is written to stand there."""
        return self._that_may_be_told(*self.told.points)

    def _that_may_be_told(self, *names: str) -> tuple[Point, ...]:
        points = tuple(self.brief.points[name] for name in names)
        if self.told.verdict == "not-recommended":
            return tuple(point for point in points if point.beside_a_no)
        return points

    @cached_property
    def _perhaps(self) -> Point | None:
        """A point that may be meant instead."""
        return next(iter(self._that_may_be_told(*filter(None, [self.told.perhaps]))), None)

    @cached_property
    def _first(self) -> Point | None:
        """The point that comes before all else: what was asked within the brief or, where nothing was, what may be meant."""
        first = next(iter(self.points), self._perhaps)
        return first if first is not None and self._may_lead(first) else None

    def _may_lead(self, point: Point) -> bool:
        """Whether a point may be said before the verdict: never before a no, a danger that was told, or what the rider's own numbers
        gave, and no plain yes before a word of caution.
        """
        if self._is_open:
            return True
        if self.told.verdict == "not-recommended" or self.told.hold_off is not None:
            return False
        by_figures = self.told.verdict in ("yes", "yes-if") and bool(self.told.own_figures)
        return not by_figures and _SAYS_YES.match(point.headline) is None

    @property
    def _perhaps_leads(self) -> bool:
        return not self.points and self._first is not None

    @cached_property
    def perhaps(self) -> str:
        """What a rider who meant that point is told behind the answer."""
        if self._perhaps is None or self._perhaps_leads:
            return ""
        return " ".join(filter(None, map(self.text, (self._perhaps.headline, self._perhaps.say or ""))))

    @cached_property
    def _headline(self) -> str:
        """The template of the answer in one sentence."""
        if self._first is not None:
            return self._first.headline
        return self.answer.headline if self.answer else ""

    @cached_property
    def _bodies(self) -> tuple[tuple[str, ...], ...]:
        """The templates of the explanation, a paragraph each: beside a verdict the points follow it."""
        told = self.points or tuple(filter(None, [self._first]))
        texts = [("" if point is self._first else point.headline, point.say or "") for point in told]
        if self.answer:
            body = "" if self._points_say_it_all or self._one_sentence_will_do else self.answer.body
            texts.append((self.answer.headline if self._headline_follows else "", body))
        return tuple(texts)

    @property
    def _one_sentence_will_do(self) -> bool:
        """Whether the general answer is left at its headline behind what may be meant: where a few sentences are wanted, and it
        gives nothing back of what the rider told. Of 46 such drafts for real riders its explanation was what they asked for in 8.
        """
        return (
            self._perhaps_leads
            and not self.told.in_order
            and self.answer is not None
            and not self._takes_up_what_is_told(self.answer.body)
        )

    @property
    def _headline_follows(self) -> bool:
        """Whether the brief's own answer in one sentence is said behind a point: a verdict is, but for a stop that both open with."""
        if self._first is None or self.answer is None:
            return False
        if self._is_open:
            return self._perhaps_leads
        return not (_STOPS.search(self._first.headline) and _STOPS.search(self.answer.headline))

    @property
    def _points_say_it_all(self) -> bool:
        """Whether the brief's own explanation would only follow what was asked; it stays where it tells what the rider's own
        numbers come to, unless that is beside the matter too."""
        open_ = self._is_explained or self.told.verdict in ("inspect-first", "need-more")
        if not (self.points and self.answer and open_):
            return False
        return self.points[0].alone or not self._takes_up_what_is_told(self.answer.body)

    def _takes_up_what_is_told(self, source: str) -> bool:
        """Whether a template gives back what the rider told, or a figure that was worked out of it."""
        given = {told.name for told in map(ToldValue._make, self.told.values) if told.origin in _GIVEN}
        return not (given | self.told.own_figures).isdisjoint(self.names_told([source]))

    @property
    def _is_explained(self) -> bool:
        return self.told.verdict in ("explain", "none")

    @cached_property
    def points_lead(self) -> bool:
        """Whether what was asked within the brief is said before all else."""
        return bool(self.points) and self._first is not None

    @property
    def _is_open(self) -> bool:
        return self._is_explained or (self.told.verdict == "need-more" and not self.brief.safety)

    @property
    def templates(self) -> tuple[str, ...]:
        """The brief's texts that make headline, explanation and advice."""
        bodies = [text for texts in self._bodies for text in texts]
        return (self._headline, *bodies, (self.answer and self.answer.instead) or "")

    @cached_property
    def names(self) -> dict[str, Any]:
        """What a template may use."""
        values = [ToldValue(*value) for value in self.told.values]
        names: dict[str, Any] = {value.name: Shown.of(value, self.knowledge) for value in values}
        names |= {figure.name: of_figure(figure, spoken=self.spoken) for figure in self.figures}
        return names

    def text(self, source: str) -> str:
        """A template of the brief with the numbers put in, without a sentence that exceeds a stated limit."""
        return self.limits.without_what_exceeds(self.rendered(source))

    def rendered(self, source: str) -> str:
        """A template of the brief with the numbers put in."""
        wanted = wording.names_used(source)
        if not wanted:
            return wording.render(source, {})
        known = {name: self.names.get(name, NOT_KNOWN) for name in wanted - wording.ALWAYS_KNOWN}
        return wording.render(source, {**known, "verdict": self.told.verdict, "rider": self.told.rider})

    def names_told(self, sources: Iterable[str]) -> set[str]:
        """The names that these templates ask for, those of a branch that isn't taken left out."""
        asked: set[str] = set()
        for source in sources:
            wanted = wording.names_used(source) - wording.ALWAYS_KNOWN
            if "{%" not in source:
                asked |= wanted
            elif not wanted.isdisjoint(figure.name for figure in self.figures):
                watched = {name: _Watched(name, self.names.get(name, NOT_KNOWN), asked) for name in wanted}
                wording.render(source, {**watched, "verdict": self.told.verdict, "rider": self.told.rider})
        return asked

    def given_by(self, origin: Origin) -> str:
        """What the rider told, or a part of ours brought along, each with its name; nothing that exceeds a stated limit."""
        told = [
            one for one in map(ToldValue._make, self.told.values) if one.origin == origin and one.is_known
        ]
        words = (f"({self.names[one.name]})" if one.choices else self._as_stated(one) for one in told)
        given = (f"{self.knowledge.label(one.name)} {word}" for one, word in zip(told, words, strict=True))
        return "; ".join(filter(None, map(self.limits.without_what_exceeds, given)))

    def _as_stated(self, told: ToldValue) -> str:
        low, high = told.low or 0.0, told.high or 0.0
        return of_range(low, high, told.unit, digits_of_stated(told.name, high, self.knowledge))

    @cached_property
    def names_in_print(self) -> frozenset[str]:
        """The names of needs and figures that headline, explanation, advice, steps and cautions give."""
        steps = (check.sentence for check in self._checks)
        perhaps = (self._perhaps.headline, self._perhaps.say or "") if self._perhaps else ()
        return frozenset(self.names_told((*self.templates, *perhaps, *steps, *self._own_cautions)))

    @cached_property
    def headline(self) -> str:
        """The answer in one sentence."""
        return self.text(self._headline) or sentence(self.brief.title)

    @cached_property
    def hangs_on_measuring(self) -> bool:
        """Whether the rider gave everything, but not finely enough."""
        return any(ask.again for ask in self.told.asks)

    @cached_property
    def body(self) -> str:
        """The explanation."""
        return " ".join(filter(None, self.bodies))

    @cached_property
    def bodies(self) -> tuple[str, ...]:
        """The explanation by its parts: each point, and the brief's own; one that holds nothing here is empty."""
        if self.hangs_on_measuring:
            return ()
        return tuple(" ".join(filter(None, map(self.text, texts))) for texts in self._bodies)

    @property
    def stands_apart(self) -> bool:
        """Whether the answer in one sentence is none of the explanation's first part, but of a verdict before points."""
        return bool(self.points) and not self.points_lead

    @cached_property
    def reasons(self) -> str:
        """The deciders' own reasons, where the answer does not give them already."""
        said = self.body
        gives_its_own = self.told.verdict != "need-more" or self._points_say_it_all
        if self.answer and len(said.split()) > LONG_ENOUGH_WORDS and gives_its_own:
            return ""
        told = " ".join(sentence(r) for r in self.told.reasons if r.lower() not in said.lower())
        return self.limits.without_what_exceeds(told)

    @cached_property
    def conditions(self) -> str:
        """What a yes hangs on."""
        return "; and ".join(self.told.conditions)

    @cached_property
    def assumed_ranges(self) -> str:
        """The deciding facts that nobody gave, over whose ranges the answer holds, where that lets the rider go on.

        A no needs no such word, nor does a point that answers by itself.
        """
        if self.points_lead or self.told.verdict == "not-recommended":
            return ""
        return joined([f"{with_article(a.label)} ({a.words})" for a in self._assumed if a.is_range])

    @cached_property
    def assumed_values(self) -> str:
        """The deciding facts that nobody gave, taken as what is usual."""
        return joined([f"{with_article(a.label)} is {a.words}" for a in self._assumed if not a.is_range])

    @property
    def _assumed(self) -> tuple[Assumed, ...]:
        return () if self.told.verdict in ("explain", "need-more", "none") else self.told.assumed

    @cached_property
    def advice(self) -> str:
        """The brief's own advice on what would work."""
        return self.text(self.answer.instead) if self.answer and self.answer.instead else ""

    @cached_property
    def nearest(self) -> tuple[str, str, str] | None:
        """The nearest thing that would work, where the words don't give it: the kind of phrase for it, label, value."""
        said = f"{self.body} {self.advice}"
        for near in self.told.nearest[:1]:
            if near.value in said and not near.parts:
                continue
            parts = f" (in our lists: {joined(near.parts, 'or')})" if near.parts else ""
            return "nearest" if near.verdict == "yes" else "nearest_if", near.label, near.value + parts
        return None

    def instead(self, phrase: str) -> str:
        """What would work: the brief's own advice, and in a house phrase the nearest value by the same figures."""
        if phrase not in self._instead:
            told = [self.advice] if self.answer and self.answer.instead else []
            if self.nearest is not None:
                _, label, value = self.nearest
                told.append(phrase.replace("{label}", label).replace("{value}", value))
            self._instead[phrase] = self.limits.without_what_exceeds(" ".join(told))
        return self._instead[phrase]

    @cached_property
    def doubts(self) -> str:
        """What could not be."""
        return " ".join(self.told.doubts)

    @cached_property
    def rests_on_parts(self) -> bool:
        """Whether the brief takes anything from a part of the catalogue."""
        return any(need.part for need in self.brief.needs)

    @cached_property
    def cautions(self) -> tuple[str, ...]:
        """Every caution, the qualified person and the maker's word among them."""
        cautions = list(filter(None, map(self.rendered, self._own_cautions)))
        if self.brief.safety:
            cautions.extend(filter(None, [self._who_decides(" ".join(cautions).lower())]))
        if self.told.hold_off is not None:
            cautions.insert(0, self.told.hold_off)
        return tuple(dict.fromkeys(cautions))

    def _who_decides(self, told: str) -> str:
        """The qualified person and the maker's word, as far as the cautions don't name them; the harm, too, where nothing was asked
        within the brief.
        """
        words = []
        if self.brief.harm and self.brief.see and not _names_the_person(self.brief.see.lower(), told):
            words = [] if self.points else [sentence(self.brief.harm)]
            words.append(f"If anything is in doubt, have {self.brief.see} look at it.")
        if "maker" not in told:
            words.append(self.told.maker_first)
        return " ".join(words)

    @cached_property
    def checklist(self) -> tuple[str, ...]:
        """The steps in working order."""
        return tuple(filter(None, (self.text(check.sentence) for check in self._checks)))

    @property
    def _checks(self) -> tuple[Check, ...]:
        """The steps as they are written: those that belong to the points. Where nothing was asked within the brief all of them, unless
        a few sentences are wanted: then those of what may be meant, and none behind a no.
        """
        told = self.points
        if not told and not self.told.in_order:
            told = tuple(filter(None, [self._first]))
            if not told and self.told.verdict == "not-recommended":
                return ()
        if not told:
            return self.brief.checklist
        names = {name for point in told for name in point.steps}
        return tuple(check for check in self.brief.checklist if check.name in names)

    @cached_property
    def _own_cautions(self) -> tuple[str, ...]:
        """The brief's cautions as they are written: those that belong to the points. Of a matter of safety the first one is told where
        nothing else is, and whenever it begins with a stop.
        """
        cautions = self.brief.cautions
        named = [point.cautions for point in self.points]
        if named and None not in named:
            names = {name for one in named for name in one or ()}
            told = [caution for caution in cautions if caution.name in names]
            stops = self.told.verdict in ("inspect-first", "not-recommended")
            if self.brief.safety and (stops or not told):
                told = [caution for caution in cautions if caution in told or caution is cautions[0]]
            cautions = tuple(told)
        return tuple(caution.say for caution in cautions)

    @property
    def works_in_order(self) -> bool:
        """Whether the checklist is the answer and not only a check on it."""
        return self.told.verdict in ("explain", "inspect-first")


def said_by(finding: Finding, brief: Brief, knowledge: Knowledge, phrases: Phrases) -> Said:
    """The words of a finding, made anew only where none lately told the same."""
    told = Told.of(finding, brief, knowledge, phrases)
    kept = kept_words(knowledge)
    said = kept.find(told)
    if said is None:
        said = Said(told, knowledge)
        kept.keep(told, said)
    return said


@once_for_each
def kept_words(_: Knowledge) -> Lately[Told, Said]:
    """The words said lately with a knowledge base."""
    return Lately(MOST_TEXTS)


@once_for_each
def _names_the_rider(_: Knowledge) -> Callable[[Brief], bool]:
    """Whether any of a brief's own words name the rider."""
    found: dict[str, bool] = {}

    def names(brief: Brief) -> bool:
        if brief.id not in found:
            answers = [t for a in brief.answers.values() for t in (a.headline, a.body, a.instead or "")]
            answers += [t for p in brief.points.values() for t in (p.headline, p.say or "")]
            texts = [
                *answers,
                *(caution.say for caution in brief.cautions),
                *(check.sentence for check in brief.checklist),
            ]
            found[brief.id] = any("rider" in wording.names_used(text) for text in texts)
        return found[brief.id]

    return names


_SAYS_YES = re.compile(r"yes\b", re.IGNORECASE)
# A whole stop: "don't ride it hard" and "never use a hammer" are none.
_STOPS = re.compile(
    r"\b(?:(?:don['’]t|do not|never|stop) (?:\w+ )?(?:ride|riding)\b|(?:isn['’]t|aren['’]t|not) ridden\b)"
    r"(?! (?:(?:it|on it|that|them) )?(?:so )?(?:hard|fast|far|long|standing|downhill|down|before it|when|without|with|in|at|over)\b)",
    re.IGNORECASE,
)
_PERSONS = re.compile(
    r"\b(?:mechanic|workshop|repairer|builder|wheelbuilder|fitter|doctor|service|maker|dealer|specialist)\b"
)


def _names_the_person(see: str, told: str) -> bool:
    """Whether the cautions send the rider to the qualified person already, in these or in like words."""
    return see in told or (
        "qualified" in told and not set(_PERSONS.findall(see)).isdisjoint(_PERSONS.findall(told))
    )

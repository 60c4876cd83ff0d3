"""The rules of an episode: one editable file, with a desk's own laid over it, read once and checked."""

from __future__ import annotations

import string
from collections.abc import Mapping
from pathlib import Path
from typing import Annotated, Any

import yaml
from pydantic import AfterValidator, BaseModel, ConfigDict, Field, ValidationError
from rapidfuzz import fuzz, process

from knowledge.base import HOME
from knowledge.brief import AnswerVerdict
from knowledge.trouble import KnowledgeError, Trouble, not_yaml
from knowledge.yaml_lines import Lined, read_yaml

FILE = "episode.yaml"


def _names_only_the_topic(phrase: str) -> str:
    try:
        named = {name for _, name, _, _ in string.Formatter().parse(phrase) if name is not None}
    except ValueError as error:
        raise ValueError(f"mind the braces: {error}") from error
    if named - {"topic"}:
        raise ValueError("only {topic} can be put in")
    return phrase


# Strict, for a truth value or a number in quotes is a slip of the pen here.
Points = Annotated[float, Field(strict=True, ge=0, allow_inf_nan=False)]
Cost = Annotated[float, Field(strict=True, allow_inf_nan=False)]
Share = Annotated[float, Field(strict=True, ge=0, le=1, allow_inf_nan=False)]
Seconds = Annotated[float, Field(strict=True, ge=0, allow_inf_nan=False)]
Days = Annotated[float, Field(strict=True, gt=0, allow_inf_nan=False)]
Count = Annotated[int, Field(strict=True, ge=0)]
AtLeastOne = Annotated[int, Field(strict=True, ge=1)]
Phrase = Annotated[str, Field(min_length=2), AfterValidator(_names_only_the_topic)]
Links = Annotated[tuple[Phrase, ...], Field(min_length=1)]


class _Rules(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)


class TimeRules(_Rules):
    """What an episode takes beside its items, and how near to its length it comes. Seconds."""

    slack_seconds: Seconds
    opening_seconds: Seconds
    link_seconds: Seconds
    farewell_seconds: Seconds
    missing_second: Points


class Weights(_Rules):
    """What an item is worth. Points, save for what the names say otherwise."""

    asked_by: Points
    each_further: Share
    likes_as_a_rider: Count
    fresh: Points
    fresh_halves_days: Days
    teaches: Points
    term: Points
    terms_at_most: Count
    safety: Points
    figure: Points
    figures_at_most: Count
    urgent: Points
    promise: Points
    correction: Points
    closer: Points


class Mix(_Rules):
    """What may and must stand together in an episode."""

    topics_at_least: Count
    of_one_topic_at_most: AtLeastOne
    at_least_one_of: tuple[AnswerVerdict, ...]
    weeks_between: Count
    long_over_seconds: Seconds
    long_at_most: Count
    items_at_most: AtLeastOne


class NearMissRules(_Rules):
    """How many near misses are told, and how many are worked out to find them."""

    told: Count
    tried: Count


class OrderCosts(_Rules):
    """What an order costs. Points."""

    same_topic: Cost
    related: Cost
    alike_in_length: Cost
    weak_opener: Points
    exact_up_to: Annotated[int, Field(strict=True, ge=1, le=10)]


class LinkPhrases(_Rules):
    """The links that may be suggested, by what they lead to."""

    correction: Links
    promise: Links
    related: Links
    same_topic: Links
    safety: Links
    closer: Links


class EpisodeRules(_Rules):
    """Every weight, rule and phrase of an episode."""

    time: TimeRules
    weights: Weights
    mix: Mix
    near_misses: NearMissRules
    order: OrderCosts
    topics_spoken: dict[str, Annotated[str, Field(min_length=1)]]
    links: LinkPhrases


def load_episode_rules(own_folder: Path | None = None) -> EpisodeRules:
    """The rules of an episode, what a desk's own file states in place of ours.

    Raises:
        KnowledgeError: a rule is unknown, missing or out of range; every fault with file, line and field.
    """
    ours = HOME / FILE
    layers = [(ours, *_read(ours))]
    own = own_folder / FILE if own_folder else None
    if own is not None and own.is_file():
        layers.append((own, *_read(own)))
    data: dict[str, Any] = {}
    for _, _, lined in layers:
        data = _laid_over(data, lined.data)
    try:
        return EpisodeRules.model_validate(data)
    except ValidationError as error:
        faults = error.errors()
        places = [tuple(fault["loc"]) for fault in faults]
        # A list whose only entry is refused is said to be empty as well; the entry is what there is to mend.
        told = [
            fault
            for fault, place in zip(faults, places, strict=True)
            if not any(other[: len(place)] == place and other != place for other in places)
        ]
        raise KnowledgeError([_trouble(fault, layers) for fault in told]) from error


def _read(file: Path) -> tuple[str, Lined]:
    text = file.read_text(encoding="utf-8")
    try:
        lined = read_yaml(text)
    except (yaml.YAMLError, ValueError) as error:
        raise KnowledgeError([not_yaml(file, error)]) from error
    if lined.data is None:
        return text, Lined({}, lined.lines)
    if not isinstance(lined.data, dict):
        raise KnowledgeError([Trouble(str(file), 1, "file", "expected keys such as weights: and mix:")])
    return text, lined


def _laid_over(under: dict[str, Any], over: dict[str, Any]) -> dict[str, Any]:
    """The one with what the other states in its place, block by block."""
    merged = dict(under)
    for key, value in over.items():
        beneath = merged.get(key)
        if isinstance(value, dict) and isinstance(beneath, dict):
            merged[key] = _laid_over(beneath, value)
        else:
            merged[key] = value
    return merged


def _trouble(fault: Mapping[str, Any], layers: list[tuple[Path, str, Lined]]) -> Trouble:
    place = tuple(fault["loc"])
    # The uppermost file that states the value is the one to mend.
    file, text, lined = next((layer for layer in reversed(layers) if place in layer[2].lines), layers[0])
    line = lined.line(place)
    remedy = _remedy(place) if fault["type"] == "extra_forbidden" else ""
    wrong = (
        "unknown key" if fault["type"] == "extra_forbidden" else fault["msg"].removeprefix("Value error, ")
    )
    typed = (text.splitlines() or [""])[line - 1]
    return Trouble(str(file), line, ".".join(map(str, place)), wrong, remedy, typed)


def _remedy(place: tuple[str | int, ...]) -> str:
    model: type[BaseModel] | None = EpisodeRules
    for step in place[:-1]:
        field = model.model_fields.get(str(step)) if model else None
        model = field.annotation if field and isinstance(field.annotation, type) else None
    known = sorted(model.model_fields) if model else []
    match = process.extractOne(str(place[-1]), known, scorer=fuzz.ratio, score_cutoff=60)
    return f'Did you mean "{match[0]}"?' if match else f"One of: {', '.join(known)}."

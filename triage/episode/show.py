"""The run of the show: each item with its start, its seconds and the words that are said, and what to have on set."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from statistics import stdev
from typing import Any, Literal, Protocol

from knowledge.base import Knowledge
from knowledge.numbers import for_the_ear
from triage.draft.telling import sentence
from triage.pace import GAP, reading_seconds
from triage.personal import without_personal

Kind = Literal["question", "correction", "promise", "closer"]
Line = Mapping[str, Any]
USUAL_PACE = 150.0
SLOWEST_PACE, FASTEST_PACE = 80.0, 220.0
"""Words a minute: outside of these a clip was cut or measured wrongly."""
CUTTABLE: tuple[Kind, ...] = ("question", "promise")
"""Items that may lose a term's sentence; a correction may be about that very sentence."""
MOST_RELATED = 2
MOST_CALLS = 5
CLOSE_CALL = "A close call: “{title}”. If you have tried it, write in with what you measured."
IN_CONFLICT = "“{title}”: a table and the sum disagree. If you have fitted it, write in with how it went."
_OUTLIER_SPREADS, _OUTLIER_SHARE, _LEAST_FOR_OUTLIER = 4.0, 0.10, 3
_FIRST_HAND = re.compile(
    r"\[Presenter: say here (?P<what>.+?)(?:, in your own words, or leave it out)?\.?\]", re.DOTALL
)
_IMAGE_NAME = re.compile(r"\.(?:png|jpe?g|gif|webp|heic|heif|avif|bmp|tiff?)$", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class ShowItem:
    """One item of an episode, as it was planned.

    `line` is the draft as in drafts.jsonl, or None for what has no draft; `say` is the spoken script, `link` the words
    that are suggested before it, and `why` the reasons for which it was chosen.
    """

    place: int
    kind: Kind
    line: Line | None
    say: str
    title: str
    link: str | None = None
    why: tuple[str, ...] = ()

    @property
    def rider(self) -> str | None:
        """The first name of who asked."""
        return self.line.get("rider") if self.line else None

    @property
    def verdict(self) -> str | None:
        """The verdict's word as in drafts.jsonl."""
        return self.line.get("verdict") if self.line else None

    @property
    def question_id(self) -> str | None:
        """Which question it answers."""
        return self.line.get("question_id") if self.line else None


@dataclass(frozen=True, slots=True)
class Related:
    """An answer of an earlier episode: its title and brief, the day (ISO) and the second at which it began."""

    title: str
    brief: str
    day: str
    starts_at: float
    question_id: str = ""


@dataclass(frozen=True, slots=True)
class Running:
    """An item in the running show.

    `starts_at` and `seconds` are in seconds from the start of the episode, the link before it not counted in. `item.say`
    lacks the terms that an earlier item explained (`left_out`); `names` are (name, how to say it) of the names that come
    up first here, and `related` the earlier answers to point to.
    """

    item: ShowItem
    starts_at: float
    seconds: float
    names: tuple[tuple[str, str], ...] = ()
    left_out: tuple[str, ...] = ()
    related: tuple[Related, ...] = ()


@dataclass(frozen=True, slots=True)
class Show:
    """An episode as the presenter has it in hand.

    `day` is an ISO date, `pace` in words a minute, every length in seconds. `props` are (prop, places it is needed at),
    `pictures` (attachment's name, rider or None, place), `related` (place, earlier answers) and `calls` what viewers'
    experience would help.
    """

    day: str
    pace: float
    items: tuple[Running, ...]
    total_seconds: float
    props: tuple[tuple[str, tuple[int, ...]], ...] = ()
    pictures: tuple[tuple[str, str | None, int], ...] = ()
    related: tuple[tuple[int, tuple[Related, ...]], ...] = ()
    calls: tuple[str, ...] = ()
    opening_seconds: float = 0.0
    farewell_seconds: float = 0.0

    def props_at(self, place: int) -> list[str]:
        """What has to be at hand at a place."""
        return [prop for prop, places in self.props if place in places]

    def pictures_at(self, place: int) -> list[str]:
        """The names of the pictures that are shown at a place."""
        return [name for name, _, at in self.pictures if at == place]


class Times(Protocol):
    """The seconds that stand round the items; the plan's rules have them."""

    @property
    def opening_seconds(self) -> float:
        """Before the first item."""

    @property
    def link_seconds(self) -> float:
        """Between one item and the next."""

    @property
    def farewell_seconds(self) -> float:
        """After the last item."""


@dataclass(frozen=True, slots=True)
class ShowTimes:
    """The seconds round the items, for a show without the plan's rules."""

    opening_seconds: float = 0.0
    link_seconds: float = 0.0
    farewell_seconds: float = 0.0


def item_of(
    place: int, line: Line, kind: Kind = "question", link: str | None = None, why: Sequence[str] = ()
) -> ShowItem:
    """An item out of a draft; a closer without a script is the rider's own words, read out."""
    say, title = line.get("script"), line.get("title")
    rider = line.get("rider") or "A viewer"
    if not say:
        told = without_personal(str(line["text"]), None, line.get("rider"), None).strip()
        told = re.sub(rf"\s*\n\W*{re.escape(rider)}\W*$", "", told)
        say = for_the_ear(f"{rider} writes: “{' '.join(told.split())}”")
    if kind == "closer" and not title:
        title = f"To end with, from {rider}" if line.get("rider") else "To end with"
    return ShowItem(place, kind, line, say, title or "A question", link, tuple(why))


def spoken_terms(knowledge: Knowledge) -> dict[str, str]:
    """Each trade term with its plain sentence as scripts say it."""
    return {term: for_the_ear(sentence(knowledge.plain_sentence(term))) for term in sorted(knowledge.terms)}


def run_of_show(
    items: Sequence[ShowItem],
    pace: float,
    times: Times,
    *,
    day: str = "",
    terms: Mapping[str, str] | None = None,
    names: Mapping[str, str] | None = None,
    earlier: Sequence[Related] = (),
) -> Show:
    """The items in their order, timed at the presenter's own pace in words a minute.

    A term's sentence (`terms`, as of `spoken_terms`) is said in the first item that has it and left out of later ones.
    `names` says how a name is spoken; `earlier` are the answers of past episodes.

    Raises:
        ValueError: the pace is not above zero.
    """
    if not pace > 0:
        raise ValueError(f"pace: expected more than 0 words a minute, got {pace}")
    running: list[Running] = []
    said: set[str] = set()
    named: set[str] = set()
    at = times.opening_seconds
    for item in items:
        if running:
            at += times.link_seconds
        shortened, left_out = _without_said_terms(item, terms or {}, said)
        notes = tuple(_notes(shortened, names or {}, named))
        seconds = reading_seconds(shortened.say, pace)
        running.append(
            Running(shortened, round(at, 1), seconds, notes, left_out, _related(item, earlier, day))
        )
        at += seconds
    related = tuple((one.item.place, one.related) for one in running if one.related)
    return Show(
        day=day,
        pace=pace,
        items=tuple(running),
        total_seconds=round(at + times.farewell_seconds, 1),
        props=_props(items),
        pictures=tuple(_pictures(items)),
        related=related,
        calls=tuple(_calls(items)),
        opening_seconds=times.opening_seconds,
        farewell_seconds=times.farewell_seconds,
    )


def _without_said_terms(
    item: ShowItem, terms: Mapping[str, str], said: set[str]
) -> tuple[ShowItem, tuple[str, ...]]:
    """The item without the sentences that were said before, and the terms of these; notes what it says itself."""
    say, left_out = item.say, []
    found = [(term, plain) for term, plain in terms.items() if plain and _stands(plain, say)]
    for term, plain in found:
        if plain in said and item.kind in CUTTABLE:
            say = _taken_out(plain, say)
            left_out.append(term)
    said.update(plain for _, plain in found)
    return replace(item, say=say), tuple(left_out)


def _sentence_at(plain: str) -> re.Pattern[str]:
    # As a whole sentence only: a longer one that ends in the same words is another explanation.
    return re.compile(rf"(?:(?<=^)|(?<=\n)|(?<=[.!?…”] )){re.escape(plain)}(?=\s|$)")


def _stands(plain: str, text: str) -> bool:
    return plain in text and _sentence_at(plain).search(text) is not None


def _taken_out(plain: str, text: str) -> str:
    """The text without a sentence; a paragraph that is left empty goes, and its pause with it."""
    pattern = _sentence_at(plain)
    paragraphs = [
        _closed_up(pattern.sub("\0", part)) if plain in part else part for part in text.split("\n\n")
    ]
    return "\n\n".join(part for part in paragraphs if part.strip())


def _closed_up(part: str) -> str:
    return re.sub(r" ?\0", "", part).lstrip(" ")


def _notes(item: ShowItem, names: Mapping[str, str], named: set[str]) -> Iterator[tuple[str, str]]:
    """The names of an item that were not noted before, with how they are said."""
    for name, how in names.items():
        if name in named or not (name == item.rider or name_at(name).search(item.say)):
            continue
        named.add(name)
        yield name, how


def name_at(name: str) -> re.Pattern[str]:
    """Where a name stands as a word of its own."""
    return re.compile(rf"(?<![\w'’-]){re.escape(name)}(?![\w-])")


def _related(item: ShowItem, earlier: Sequence[Related], day: str) -> tuple[Related, ...]:
    """Answers to the same brief or the next likely ones, aired before the day; the same brief first, then the newest."""
    if item.line is None or not item.line.get("brief"):
        return ()
    own = item.line["brief"]
    near = {str(brief) for brief, _ in item.line.get("nearest_briefs", ())} | {own}
    found = [
        one
        for one in earlier
        if one.brief in near and one.question_id != item.question_id and not (day and one.day >= day)
    ]
    newest = sorted(found, key=lambda one: one.day, reverse=True)
    return tuple(sorted(newest, key=lambda one: one.brief != own)[:MOST_RELATED])


def _props(items: Sequence[ShowItem]) -> tuple[tuple[str, tuple[int, ...]], ...]:
    """Each prop once, in the order of need, with the places that it is needed at."""
    told: dict[str, str] = {}
    places: dict[str, list[int]] = {}
    for item in items:
        for prop in (item.line or {}).get("props", ()):
            key = " ".join(prop.casefold().split())
            told.setdefault(key, prop)
            at = places.setdefault(key, [])
            if item.place not in at:
                at.append(item.place)
    return tuple((told[key], tuple(at)) for key, at in places.items())


def _pictures(items: Sequence[ShowItem]) -> Iterator[tuple[str, str | None, int]]:
    for item in items:
        for attached in (item.line or {}).get("attachments", ()):
            name, kind = (
                str(attached.get("name") or "picture without a name"),
                str(attached.get("type") or ""),
            )
            if kind.startswith("image/") or (not kind and _IMAGE_NAME.search(name)):
                yield name, item.rider, item.place


def _calls(items: Sequence[ShowItem]) -> list[str]:
    """What viewers could help with: where figures disagree or the call is close first, then what somebody lived through."""
    doubtful, lived = [], []
    for item in items:
        line = item.line
        if item.kind != "question" or line is None:
            continue
        if line.get("conflicts"):
            doubtful.append(IN_CONFLICT.format(title=item.title))
        elif line.get("sureness") == "close":
            doubtful.append(CLOSE_CALL.format(title=item.title))
        found = _FIRST_HAND.search(item.say)
        if found:
            lived.append(f"“{item.title}”: tell us {found['what']}.")
    return list(dict.fromkeys([*doubtful, *lived]))[:MOST_CALLS]


Piece = tuple[Literal["said", "gap", "note"], str]


def pieces_of(running: Running) -> list[list[Piece]]:
    """The paragraphs of a script, each in pieces: what is said, gaps for the presenter, notes on how a name is said.

    A note stands once, behind the name's first place.
    """
    waiting = dict(running.names)
    return [list(_pieces(part.strip(), waiting)) for part in running.item.say.split("\n\n") if part.strip()]


def _pieces(text: str, waiting: dict[str, str]) -> Iterator[Piece]:
    at = 0
    for gap in GAP.finditer(text):
        yield from _with_notes(text[at : gap.start()], waiting)
        yield "gap", gap.group()
        at = gap.end()
    yield from _with_notes(text[at:], waiting)


def _with_notes(text: str, waiting: dict[str, str]) -> Iterator[Piece]:
    places = sorted(
        (found.end(), name) for name in waiting if (found := name_at(name).search(text)) is not None
    )
    at = 0
    for end, name in places:
        yield "said", text[at:end]
        yield "note", waiting.pop(name)
        at = end
    if text[at:]:
        yield "said", text[at:]


def names_unsaid(running: Running) -> tuple[tuple[str, str], ...]:
    """The notes on names that the script itself does not say, such as a rider's in the heading alone."""
    return tuple((name, how) for name, how in running.names if not name_at(name).search(running.item.say))


@dataclass(frozen=True, slots=True)
class MeasuredPace:
    """A presenter's pace in words a minute, its spread from script to script, and how many scripts it stands on.

    The spread is the standard deviation of the single scripts' paces, None below two scripts.
    """

    words_a_minute: float
    spread: float | None
    scripts: int


def measured_pace(scripts_with_real_seconds: Sequence[tuple[str, float]], usual: float = USUAL_PACE) -> float:
    """The presenter's pace in words a minute, from past scripts and their real seconds; the usual one where none tells it."""
    return measure_pace(scripts_with_real_seconds, usual).words_a_minute


def measure_pace(
    scripts_with_real_seconds: Sequence[tuple[str, float]], usual: float = USUAL_PACE
) -> MeasuredPace:
    """The pace in words a minute with its spread, by least squares over past scripts and their real seconds.

    The pauses are those of `reading_seconds`; of three scripts and more, one that fits none of the others is left out.
    The pace stays between 80 and 220 words a minute.
    """
    clips = [clip for clip in map(_clip, *_columns(scripts_with_real_seconds)) if clip is not None]
    if not clips:
        return MeasuredPace(usual, None, 0)
    kept = _without_the_odd_one(clips)
    paces = [words * 60 / seconds for words, seconds in kept]
    pace = min(max(60 / _seconds_a_word(kept), SLOWEST_PACE), FASTEST_PACE)
    return MeasuredPace(round(pace, 1), round(stdev(paces), 1) if len(paces) > 1 else None, len(kept))


_Clip = tuple[float, float]
"""Words of a script, and the seconds that were spent on them."""


def _columns(pairs: Sequence[tuple[str, float]]) -> tuple[list[str], list[float]]:
    return [text for text, _ in pairs], [seconds for _, seconds in pairs]


def _clip(text: str, real_seconds: float) -> _Clip | None:
    """A script's words and speaking time out of the pause model; None where the time is shorter than the pauses."""
    # Two paces part the words from the pauses, whatever the model counts as either.
    slow, fast = reading_seconds(text, 1.0), reading_seconds(text, 2.0)
    words = (slow - fast) / 30
    pauses = slow - words * 60
    spoken = real_seconds - pauses
    return (words, spoken) if words > 0 and spoken > 0 else None


def _seconds_a_word(clips: Sequence[_Clip]) -> float:
    return sum(words * seconds for words, seconds in clips) / sum(words * words for words, _ in clips)


def _without_the_odd_one(clips: list[_Clip]) -> list[_Clip]:
    """The clips without the one that lies far from what all the others tell."""
    if len(clips) < _LEAST_FOR_OUTLIER:
        return clips
    best = min(range(len(clips)), key=lambda place: _misfit([*clips[:place], *clips[place + 1 :]]))
    others = [*clips[:best], *clips[best + 1 :]]
    a_word, spread = _seconds_a_word(others), _misfit(others)
    words, seconds = clips[best]
    off = abs(seconds / (words * a_word) - 1)
    return others if off > max(_OUTLIER_SPREADS * spread, _OUTLIER_SHARE) else clips


def _misfit(clips: Sequence[_Clip]) -> float:
    """How far clips lie from their common pace, as a share, by the root of the mean square."""
    a_word = _seconds_a_word(clips)
    return float((sum((seconds / (words * a_word) - 1) ** 2 for words, seconds in clips) / len(clips)) ** 0.5)

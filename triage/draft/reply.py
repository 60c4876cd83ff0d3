"""The reply: the answer, the figures behind it, what we ask back, the checks and the cautions, as one mail."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from triage.draft.said import Said, ToldFigure
from triage.draft.sentences import paragraphs_of
from triage.draft.telling import Telling
from triage.records import Ask, Origin, Side
from triage.shown import of_figure

VERDICT_WORDS = {
    "yes": "it works",
    "yes-if": "it can work",
    "not-recommended": "it is not recommended",
    "inspect-first": "it needs looking at first",
    "need-more": "it stays open",
}
MOST_WORDS = 90
"""A paragraph of more words is hard to find one's way in on a screen."""
GIVEN: tuple[tuple[str, Origin], ...] = (("What you gave:", "rider"), ("From our lists of parts:", "part"))
FOR_AN_ANSWER, FOR_ONES_OWN = "What we need from you: ", "To settle it for yours, tell us: "
ONE_STEP = "One thing to do: "
MOST_SOURCES = 4
"""A mail names so many, those of what decides first; the sheet has them all."""
FROM_MEMORY = "Some of it is from memory, so measure or look it up before you rely on it."


def reply(telling: Telling) -> str:
    """The mail to the rider, paragraph by paragraph."""
    return "\n\n".join(part for part in _parts(telling) if part)


def _parts(telling: Telling) -> Iterator[str]:
    said = telling.said
    yield _greeting(telling)
    yield from _told(telling)
    yield from paragraphs_of(telling.said.perhaps, MOST_WORDS)
    yield telling.doubts
    yield telling.assumed
    yield telling.taken_for
    yield said.once(_figures_to_cautions)
    yield telling.phrase("close_reply")
    yield said.once(_source_lines)


def _told(telling: Telling) -> Iterator[str]:
    """The answer, a paragraph for each thing that was asked, and what the last of them hangs on."""
    said = telling.said
    bodies = [body for body in said.bodies if body]
    if bodies and not said.stands_apart:
        bodies[0] = f"{telling.headline} {bodies[0]}"
    else:
        bodies.insert(0, telling.headline)
    last = (bodies[-1], said.reasons, telling.conditions, telling.closeness, telling.instead)
    for body in (*bodies[:-1], " ".join(part for part in last if part)):
        yield from paragraphs_of(body, MOST_WORDS)


def _figures_to_cautions(said: Said) -> str:
    """What stands in the middle of every reply that says the same."""
    return "\n\n".join(part for part in _middle(said) if part)


def _middle(said: Said) -> Iterator[str]:
    yield _figure_lines(said)
    for number, ask in enumerate(said.told.asks, 1):
        yield _written_ask(ask, number, FOR_ONES_OWN if said.points_lead else FOR_AN_ANSWER)
    yield _steps(said)
    if said.cautions:
        yield "\n".join(["Please mind:", *(f"- {caution}" for caution in said.cautions)])
    if said.brief.promise and not said.points:
        yield f"We'll {said.brief.promise.split(',')[0]}, and we'll report back on the show."


def _steps(said: Said) -> str:
    if len(said.checklist) < 2:
        return "".join(f"{ONE_STEP}{step}" for step in said.checklist)
    heading = "In this order:" if said.works_in_order else "To check, in this order:"
    return "\n".join([heading, *(f"{n}. {step}" for n, step in enumerate(said.checklist, 1))])


def frame(telling: Telling) -> tuple[str, ...]:
    """The greeting and the close of a reply, as they stand in it."""
    return _greeting(telling), telling.phrase("close_reply")


def holding_reply(telling: Telling) -> str | None:
    """What a rider hears while a person looks at the question; none in a language that we did not read."""
    if "not-english" in telling.question.flags:
        return None
    parts = [_greeting(telling), telling.phrase("person"), *telling.hold_off, _asked_meanwhile(telling)]
    return "\n\n".join([*parts, telling.phrase("close_reply")])


def holding_frame(telling: Telling) -> tuple[str, ...]:
    """The same of a reply to one who waits: greeting, close, that a person has to answer, and what helps meanwhile."""
    return (*frame(telling), telling.phrase("person"), _asked_meanwhile(telling))


def _asked_meanwhile(telling: Telling) -> str:
    return f"{telling.what_helps} {telling.which_is_it}".strip()


def side_sentence(side: Side) -> str:
    """ "If it is under 23 mm, it is not recommended: …"."""
    verdict = VERDICT_WORDS.get(side.verdict, side.verdict)
    return f"If it is {side.when}, {verdict}: {side.because.rstrip('.')}."


def _greeting(telling: Telling) -> str:
    rider = telling.question.message.rider
    return telling.phrase("greet" if rider else "greet_no_name").replace("{rider}", rider or "")


WIDEST = 6
"""A figure of which nothing more is known than that its largest is this many times its smallest tells a rider nothing. [-]

Nor does one that may lie on either side of nothing, or that begins there.
"""
NARROW = 2.5
"""Up to this many times its smallest a figure's largest still tells something where a fact is missing. [-]"""


def _figure_lines(said: Said) -> str:
    """The figures that decide or that the text names as it stands, the deciding ones first; the sheet has them all."""
    named = said.names_told(said.templates)
    shown = [
        figure
        for figure in said.figures
        if figure.wanted
        and (
            (figure.decides and not _is_anything(figure) and not _is_nobodys(figure, said))
            or (figure.name in named and _is_worth_a_line(figure, said))
        )
        and _is_the_riders(figure, said)
        and not said.limits.exceeds(figure)
    ]
    shown.sort(key=lambda figure: not figure.decides)
    lines = [f"- {figure.label[:1].upper()}{figure.label[1:]}: {of_figure(figure)}" for figure in shown]
    if said.told.verdict != "explain" or any(figure.name in said.told.own_figures for figure in shown):
        lines.extend(_given_lines(said))
    return "\n".join(["The figures behind it:", *lines]) if shown else ""


def _given_lines(said: Said) -> Iterator[str]:
    """What the figures stand on, so that a rider can see what was read wrongly."""
    for lead, origin in GIVEN:
        given = said.given_by(origin)
        if given:
            yield f"- {lead} {given}"


def _is_anything(figure: ToldFigure) -> bool:
    low, high = figure.low, figure.high
    if figure.value is not None or low is None or high is None:
        return False
    return low < 0 < high or 0 <= low * WIDEST < high


def _is_nobodys(figure: ToldFigure, said: Said) -> bool:
    """In an explanation no band spoke: a stretch of the figure is what is usual, and nobody's own."""
    return said.told.verdict == "explain" and figure.value is None


def _is_the_riders(figure: ToldFigure, said: Said) -> bool:
    """Whether a rider can see their own numbers in it, where no verdict rests on it; and where a fact is missing, a wide stretch tells
    nobody anything. Of 40 such lists that readers marked, none was worth reading for whoever had given no number of it.
    """
    if said.told.verdict not in ("explain", "need-more"):
        return True
    if figure.name not in said.told.own_figures:
        return False
    return figure.value is not None or said.told.verdict == "explain" or _is_narrow(figure)


def _is_narrow(figure: ToldFigure) -> bool:
    low, high = figure.low, figure.high
    return low is not None and high is not None and 0 < high <= NARROW * low


def _is_worth_a_line(figure: ToldFigure, said: Said) -> bool:
    """Over what is usual, where nobody told more, a figure is a wide range: only a text that gives it gives it a sense."""
    return figure.value is not None or str(of_figure(figure)) in f"{said.headline} {said.body} {said.advice}"


def _written_ask(ask: Ask, number: int, first: str) -> str:
    lead = first if number == 1 else "And, if you can: "
    if ask.again:
        lead = "Measure it once more, as finely as you can: "
    lines = [" ".join(filter(None, [lead + ask.question, ask.measure]))]
    lines.extend(f"- {side_sentence(side)}" for side in ask.sides if side.because)
    return "\n".join(lines)


def _and_more(cited: Sequence[str]) -> str:
    more = len(cited) - MOST_SOURCES
    return f"; {more} more on request" if more > 0 else ""


def _source_lines(said: Said) -> str:
    ids: list[str] = []
    for figure in said.figures:
        if figure.decides or figure.name in said.names_in_print:
            ids.extend(figure.sources)
    ids.extend(said.told.sources)
    ids.extend(said.brief.sources)
    named = [said.knowledge.sources[i] for i in dict.fromkeys(ids) if i in said.knowledge.sources]
    cited = [source.cited for source in named if not source.is_memory]
    lines = [f"Figures from: {'; '.join(cited[:MOST_SOURCES])}{_and_more(cited)}."] if cited else []
    if len(cited) < len(named):
        lines.append(FROM_MEMORY)
    return " ".join(lines)

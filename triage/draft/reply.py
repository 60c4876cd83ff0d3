"""The reply: the answer, the figures behind it, what we ask back, the checks and the cautions, as one mail."""

from __future__ import annotations

from collections.abc import Iterator

from knowledge import wording
from triage.draft.telling import Telling
from triage.records import Ask, Side
from triage.shown import of_figure

VERDICT_WORDS = {
    "yes": "it works",
    "yes-if": "it works on one condition",
    "not-recommended": "it is not recommended",
    "inspect-first": "it needs looking at first",
    "need-more": "it stays open",
}


def reply(telling: Telling) -> str:
    """The mail to the rider, paragraph by paragraph."""
    return "\n\n".join(part for part in _parts(telling) if part)


def _parts(telling: Telling) -> Iterator[str]:
    finding, brief = telling.finding, telling.brief
    assert brief is not None
    yield _greeting(telling)
    told = (
        telling.headline,
        telling.body,
        telling.reasons,
        telling.conditions,
        telling.closeness,
        telling.instead,
    )
    yield " ".join(part for part in told if part)
    yield telling.doubts
    yield telling.assumed
    yield _figure_lines(telling)
    for number, ask in enumerate(finding.asks, 1):
        yield _written_ask(ask, number)
    if telling.checklist:
        heading = "In this order:" if telling.works_in_order else "To check, in this order:"
        yield "\n".join([heading, *(f"{n}. {step}" for n, step in enumerate(telling.checklist, 1))])
    if telling.cautions:
        yield "\n".join(["Please mind:", *(f"- {caution}" for caution in telling.cautions)])
    if brief.promise:
        yield "We'll ask, and we'll report back on the show."
    yield telling.phrase("close_reply")
    yield _source_lines(telling)


def frame(telling: Telling) -> tuple[str, ...]:
    """The greeting and the close of a reply, as they stand in it."""
    return _greeting(telling), telling.phrase("close_reply")


def holding_reply(telling: Telling) -> str | None:
    """What a rider hears while a person looks at the question; none in a language that we did not read."""
    if "not-english" in telling.question.flags:
        return None
    parts = [_greeting(telling), telling.phrase("person")]
    if "danger" in telling.question.flags:
        parts.append(telling.phrases.hold_off)
    parts.append(
        "It helps if you can tell us the parts by the codes stamped on them, the sizes you have measured, "
        "and what changed just before; a sharp photo is worth a page of words."
    )
    parts.append(telling.phrase("close_reply"))
    return "\n\n".join(parts)


def side_sentence(side: Side) -> str:
    """ "If it is under 23 mm, it is not recommended: …"."""
    verdict = VERDICT_WORDS.get(side.verdict, side.verdict)
    return f"If it is {side.when}, {verdict}: {side.because.rstrip('.')}."


def _greeting(telling: Telling) -> str:
    rider = telling.question.message.rider
    return telling.phrase("greet" if rider else "greet_no_name").replace("{rider}", rider or "")


def _figure_lines(telling: Telling) -> str:
    """The figures that decide or that the text names, the deciding ones first; the sheet has them all."""
    answer = telling.answer
    named = wording.names_used(f"{answer.headline} {answer.body} {answer.instead or ''}") if answer else set()
    shown = [
        figure
        for figure in telling.finding.figures
        if figure.wanted and (figure.decides or figure.name in named) and not telling.limits.exceeds(figure)
    ]
    shown.sort(key=lambda figure: not figure.decides)
    lines = [f"- {figure.label[:1].upper()}{figure.label[1:]}: {of_figure(figure)}" for figure in shown]
    return "\n".join(["The figures behind it:", *lines]) if lines else ""


def _written_ask(ask: Ask, number: int) -> str:
    lead = "What we need from you: " if number == 1 else "And, if you can: "
    if ask.again:
        lead = "Measure it once more, as finely as you can: "
    lines = [" ".join(filter(None, [lead + ask.question, ask.measure]))]
    lines.extend(f"- {side_sentence(side)}" for side in ask.sides if side.because)
    return "\n".join(lines)


def _source_lines(telling: Telling) -> str:
    ids: list[str] = []
    for figure in telling.finding.figures:
        if figure.wanted or figure.decides:
            ids.extend(figure.sources)
    ids.extend(telling.finding.decider_sources)
    if telling.brief is not None:
        ids.extend(telling.brief.sources)
    sources = telling.knowledge.sources
    cited = [sources[i].cited for i in dict.fromkeys(ids) if i in sources]
    return f"Figures from: {'; '.join(cited)}." if cited else ""

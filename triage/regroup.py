"""Regroup: asks of one kind are one question, and one question about two kinds of thing is two.

"Will a 32 mm tyre go on it, and what pressure at 80 kg?" reads as one kind of question as a whole, and the other would be lost. So
each thing that is asked is sorted by itself, beside its message, and only where two are surely about different kinds they part.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import takewhile

from triage.records import TOLD_BESIDE, Classified, Question

LIKELY = 0.05
"""A brief this likely for an ask may well be what it is about."""
UNSURE = 0.4
"""An ask that is less sure of its likeliest brief gets no draft by itself."""
SHARED = 0.15
"""An unsure ask belongs to a neighbour in its message whose brief is so likely for it too."""
SURE = 0.7
"""From here on what is asked is surely of its kind. Of 480 questions of real riders two are parted then, and rightly; two more,
wrongly, where what doesn't ask outright parts as well."""
FEWEST_WORDS = 4
"""What is asked in fewer words says too little by itself."""
FEWEST_WORDS_TOLD = 3
"""A shorter stretch between two asks only joins them."""
_NEVER_PARTED = frozenset({"not-english", "too-long"})
# "Perhaps spray it with oil?", "If not, which wheel?", "Wider ones float more, right?" think on about what was asked before.
_ASKS_OUTRIGHT = re.compile(
    r"(?:^\W*|[,;:–-]\s+)(?:(?:so|and|but|also|now|then|secondly|lastly|finally|please|hi|hello|hey)\b[\s,]*)*(?:what|whats|how|hows|why|when|where|which|who|is|are|was|were|can|could|"
    r"should|do|does|did|will|would|must|may|any)\b",
    re.IGNORECASE,
)
_JOINS = re.compile(r"^[\s,;:.–-]*(?:(?:and|but|also|plus|so|then)\b[\s,]*)*$", re.IGNORECASE)


def regroup(
    questions: Sequence[Classified], sort: Callable[[Sequence[Question]], list[Classified]]
) -> list[Classified]:
    """The questions of a batch, those of one message put together or parted; `sort` says what a single asking is taken for."""
    joined = _sorted_anew(rejoin(questions), questions, sort)
    asked = askings(joined)
    return part(joined, sort(asked)) if asked else joined


def rejoin(questions: Sequence[Classified]) -> list[Classified]:
    """Asks of one message that read as one kind of question are one ask in two sentences.

    A danger told beside an ask that is about it goes with that ask.
    """
    joined: list[Classified] = []
    for one in questions:
        if TOLD_BESIDE in one.question.flags:
            if _is_a_matter_of_its_own(one, joined):
                joined.append(one)
            continue
        place = _place_of_the_same_ask(joined, one)
        if place is None:
            joined.append(one)
        else:
            before = joined[place]
            together = replace(
                before.question,
                text=f"{before.question.text} {one.question.text}",
                asked=(*before.question.asked, *one.question.asked),
            )
            # "What's better for my chain? A dry lube or a wet one?": what the second tells is known of the first.
            surer = max(before, one, key=lambda ask: ask.briefs[0][1])
            joined[place] = replace(surer, question=together)
    return joined


def _place_of_the_same_ask(joined: Sequence[Classified], one: Classified) -> int | None:
    """Where in the same message this kind of thing was asked already: nobody wants one answer twice in a letter."""
    for back, before in enumerate(_of_same_message(joined, one), start=1):
        if _is_one_ask(before, one):
            return len(joined) - back
    return None


def _is_a_matter_of_its_own(danger: Classified, joined: Sequence[Classified]) -> bool:
    return danger.question.is_question and not any(
        _is_one_matter(ask, danger) for ask in _of_same_message(joined, danger)
    )


def _of_same_message(joined: Sequence[Classified], one: Classified) -> Iterator[Classified]:
    """The last ones that were asked in the same message."""
    return takewhile(lambda other: _is_of_one_message(other, one), reversed(joined))


def _is_one_matter(ask: Classified, danger: Classified) -> bool:
    """Whether the likeliest brief of one is likely for the other too; with no brief for the danger, nobody knows."""
    return bool(ask.briefs and danger.briefs) and (
        danger.briefs[0][0] in _likely(ask) or ask.briefs[0][0] in _likely(danger)
    )


def _likely(one: Classified) -> list[str]:
    return [brief for brief, chance in one.briefs if chance >= LIKELY]


def _is_of_one_message(one: Classified, other: Classified) -> bool:
    mine, theirs = one.question.message, other.question.message
    return mine.message_id == theirs.message_id and mine.text == theirs.text


def _is_one_ask(one: Classified, other: Classified) -> bool:
    if not (_is_of_one_message(one, other) and one.briefs and other.briefs):
        return False
    return one.briefs[0][0] == other.briefs[0][0] or _is_likely_one(one, other) or _is_likely_one(other, one)


def _is_likely_one(unsure: Classified, other: Classified) -> bool:
    """Whether an ask that would wait for a person by itself is likely about what its neighbour is about."""
    return (
        unsure.question.is_question
        and other.question.is_question
        and unsure.briefs[0][1] < UNSURE
        and dict(unsure.briefs).get(other.briefs[0][0], 0.0) >= SHARED
    )


def _sorted_anew(
    joined: Sequence[Classified],
    before: Sequence[Classified],
    sort: Callable[[Sequence[Question]], list[Classified]],
) -> list[Classified]:
    """Asks of which none was sure are sorted by all that was put together of them."""
    texts = {one.question.question_id: one.question.text for one in before}
    new = [
        one.question
        for one in joined
        if one.briefs
        and one.briefs[0][1] < UNSURE
        and one.question.text != texts.get(one.question.question_id)
    ]
    found = {one.question.question_id: one for one in sort(new)} if new else {}
    return [found.get(one.question.question_id, one) for one in joined]


def askings(questions: Sequence[Classified]) -> list[Question]:
    """Each thing that is asked, where a question asks for several, as a question of its own to be sorted."""
    return [
        replace(one.question, text=text, asked=(text,))
        for one in questions
        if one.question.is_question
        and one.question.follows is None
        and _NEVER_PARTED.isdisjoint(one.question.flags)
        and len(told := [text for text in one.question.asked if len(text.split()) >= FEWEST_WORDS]) > 1
        for text in told
    ]


def part(questions: Sequence[Classified], asked: Sequence[Classified]) -> list[Classified]:
    """Each question, or its parts where it asks for surely different kinds of thing; `asked` are its askings, sorted."""
    kinds: dict[str, dict[str, Classified]] = defaultdict(dict)
    for one in asked:
        kinds[one.question.question_id][one.question.text] = one
    numbers: dict[str, int] = defaultdict(int)
    taken: dict[str, set[str]] = defaultdict(set)
    for one in questions:
        stem, number = _stem_and_number(one.question)
        numbers[stem] = max(numbers[stem], number)
        taken[stem].update(brief for brief, _ in one.briefs[:1])
    apart: list[Classified] = []
    for one in questions:
        stem, _ = _stem_and_number(one.question)
        parts = _parts_of(one, kinds.get(one.question.question_id, {}), taken[stem])
        taken[stem].update(other.briefs[0][0] for other in parts[1:])
        apart.append(parts[0])
        for other in parts[1:]:
            numbers[stem] += 1
            identity = f"{stem}-{numbers[stem]}"
            apart.append(replace(other, question=replace(other.question, question_id=identity)))
    return apart


def _stem_and_number(question: Question) -> tuple[str, int]:
    stem, _, number = question.question_id.rpartition("-")
    return stem, int(number) if number.isdigit() else 0


def _parts_of(one: Classified, kinds: Mapping[str, Classified], taken: set[str]) -> list[Classified]:
    """The question itself, or what it asks about each kind of thing; a kind that its message asks about elsewhere stays where it is."""
    whole = one.briefs[0][0] if one.briefs else ""
    pieces = _pieces_of(one.question) if kinds else []
    sure = {
        text: kind
        for text, _ in pieces
        if (kind := kinds.get(text)) is not None
        and kind.briefs
        and _ASKS_OUTRIGHT.search(text)
        and kind.briefs[0][1] >= SURE
        and (kind.briefs[0][0] == whole or kind.briefs[0][0] not in taken)
    }
    if len({kind.briefs[0][0] for kind in sure.values()}) < 2:
        return [one]
    said: dict[str, list[str]] = {}
    asks: dict[str, list[str]] = {}
    brief = next(iter(sure.values())).briefs[0][0]
    for text, told in pieces:
        brief = sure[text].briefs[0][0] if text in sure else brief
        said.setdefault(brief, []).extend(filter(None, [told, text]))
        asks.setdefault(brief, []).append(text)
    parts = []
    for brief, texts in said.items():
        surest = max(
            (kind for kind in sure.values() if kind.briefs[0][0] == brief), key=lambda kind: kind.briefs[0][1]
        )
        sorted_as = one if brief == whole else surest
        question = replace(one.question, text=" ".join(texts), asked=tuple(asks[brief]))
        parts.append(replace(sorted_as, question=question))
    # What the whole of it was taken for keeps its place and its name.
    return sorted(parts, key=lambda part: part.briefs[0][0] != whole)


def _pieces_of(question: Question) -> list[tuple[str, str]]:
    """What is asked, in order, each with what was told before it; what is told behind the last one stays with the message."""
    pieces: list[tuple[str, str]] = []
    start = 0
    for text in question.asked:
        place = question.text.find(text, start)
        if place < 0:
            continue
        told = question.text[start:place].strip()
        is_told = len(told.split()) >= FEWEST_WORDS_TOLD and not _JOINS.match(told)
        pieces.append((text, told if is_told else ""))
        start = place + len(text)
    return pieces

"""The index of repeats: who leads, across chunks and runs, on both databases."""

from __future__ import annotations

import random

import sqlalchemy as sa

from tests.triage.ledger.lines import line
from triage.group import repeats, sketched
from triage.ledger import leads
from triage.ledger.rows import Asked, Chunk, draft_rows, message_key, message_row
from triage.ledger.schema import BANDS, DRAFTS, LEADS


def chunk_of(message, asks):
    """A chunk of one message an ask; asks are (question_id, text) pairs."""
    messages = [message(text, message_id=name) for name, text in asks]
    lines = {
        message_key(one): [line(0, question_id=name, text=text)]
        for one, (name, text) in zip(messages, asks, strict=True)
    }
    asked = [Asked(name, *one) for (name, _), one in zip(asks, sketched([t for _, t in asks]), strict=True)]
    return Chunk("v1", [message_row(one) for one in messages], draft_rows(messages, lines, "v1"), asked)


def leaders(ledger):
    with ledger.engine.connect() as connection:
        rows = connection.execute(sa.select(DRAFTS.c.question_id, DRAFTS.c.leader)).all()
    return {row.question_id: row.leader for row in rows}


FIRST = "Will a 28 mm tyre fit a rim that is 19 mm wide inside, or is that too narrow for it?"


def test_a_repeat_is_found_in_the_chunk_and_in_what_was_kept_before(ledger, message):
    ledger.keep_chunk(chunk_of(message, [("a", FIRST), ("b", f"Hello! {FIRST} Cheers")]), repeats=repeats)
    ledger.keep_chunk(
        chunk_of(message, [("c", FIRST.replace("narrow", "narow")), ("d", FIRST.replace("28", "32"))]),
        repeats=repeats,
    )

    assert leaders(ledger) == {"a": "a", "b": "a", "c": "a", "d": "d"}
    assert ledger.question("c")["repeats_of"] == "a"
    assert ledger.question("d")["repeats_of"] is None


LEADING = "my old steel touring bike makes a loud grinding noise from the rear hub on every long hill"
REPEATING = "my old steel tourer makes a grinding noise out of the back hub on each hill that is long"
MISSPELT = "my old steel tourer makes a grindign noise out of the back hub on each hill that is long"
DRIFTED = "an old tourer makes a grinding noise out of its back wheel on each climb that takes long"


def test_the_same_words_as_a_repeat_follow_who_leads_it(ledger, message):
    assert repeats(REPEATING, LEADING)
    assert not repeats(MISSPELT, LEADING)
    for name, text in (("a", LEADING), ("b", REPEATING), ("c", MISSPELT)):
        ledger.keep_chunk(chunk_of(message, [(name, text)]), repeats=repeats)

    assert leaders(ledger) == {"a": "a", "b": "a", "c": "a"}


def test_nor_does_it_matter_whether_they_come_in_one_chunk(ledger, message):
    asks = [("a", LEADING), ("b", REPEATING), ("c", MISSPELT), ("d", DRIFTED)]
    ledger.keep_chunk(chunk_of(message, asks), repeats=repeats)

    assert leaders(ledger) == {"a": "a", "b": "a", "c": "a", "d": "d"}


def test_a_group_does_not_drift_from_repeat_to_repeat(ledger, message):
    assert repeats(DRIFTED, REPEATING)
    assert not repeats(DRIFTED, LEADING)
    for name, text in (("a", LEADING), ("b", REPEATING), ("d", DRIFTED)):
        ledger.keep_chunk(chunk_of(message, [(name, text)]), repeats=repeats)

    assert leaders(ledger)["d"] == "d"


def test_repeats_that_are_drafted_again_stay_with_their_leaders(ledger, message):
    chunk = chunk_of(message, [("a", LEADING), ("b", REPEATING), ("c", MISSPELT), ("d", DRIFTED)])
    ledger.keep_chunk(chunk, repeats=repeats)
    before = leaders(ledger)
    with ledger.engine.connect() as connection:
        entries = connection.execute(sa.select(sa.func.count()).select_from(LEADS)).scalar_one()

    ledger.keep_chunk(chunk, repeats=repeats)

    assert leaders(ledger) == before
    with ledger.engine.connect() as connection:
        assert connection.execute(sa.select(sa.func.count()).select_from(LEADS)).scalar_one() == entries


def test_a_question_that_is_drafted_again_leads_as_before(ledger, message):
    chunk = chunk_of(message, [("a", FIRST), ("b", "Which oil for a wet chain in the winter, please?")])
    ledger.keep_chunk(chunk, repeats=repeats)
    before = leaders(ledger)

    ledger.keep_chunk(chunk, repeats=repeats)

    assert leaders(ledger) == before == {"a": "a", "b": "b"}
    with ledger.engine.connect() as connection:
        assert connection.execute(sa.select(sa.func.count()).select_from(LEADS)).scalar_one() == 2


def test_words_that_everybody_uses_take_no_more_room_in_the_index(ledger, message, monkeypatch):
    monkeypatch.setattr(leads, "MOST_IN_A_BAND", 3)
    asks = [(f"q{n}", f"{FIRST} {n} {n * 7}") for n in range(30)]

    ledger.keep_chunk(chunk_of(message, asks), repeats=repeats)

    with ledger.engine.connect() as connection:
        fullest = (
            sa.select(sa.func.count())
            .select_from(BANDS)
            .group_by(BANDS.c.band)
            .order_by(sa.func.count().desc())
        )
        assert connection.execute(fullest).scalars().first() <= 3


def test_planted_repeats_are_found_among_thousands_that_were_kept_before(ledger, message, knowledge):
    """One word misspelt, halves turned round, a farewell added, and all of it: at least 98 of 100 each."""
    dice = random.Random(9)
    words = [w for brief in knowledge.briefs.values() for text in brief.examples for w in text.split()]
    texts = [" ".join(dice.sample(words, 30)) for _ in range(2500)]
    for start in range(0, len(texts), 500):
        some = [(f"t{n}", texts[n]) for n in range(start, start + 500)]
        ledger.keep_chunk(chunk_of(message, some), repeats=repeats)

    for kind, change in CHANGES.items():
        chosen = dice.sample(range(len(texts)), 100)
        asks = [(f"{kind}{n}", change(texts[n], dice)) for n in chosen]
        ledger.keep_chunk(chunk_of(message, asks), repeats=repeats)
        now = leaders(ledger)
        assert sum(now[f"{kind}{n}"] == now[f"t{n}"] for n in chosen) >= 98, kind


def _misspelt(text, dice):
    some = text.split()
    place = dice.choice([n for n, word in enumerate(some) if word.isalpha() and len(word) > 3])
    some[place] = some[place][:-1] + "x"
    return " ".join(some)


def _turned_round(text, _):
    some = text.split()
    return " ".join(some[len(some) // 2 :] + some[: len(some) // 2])


def _with_a_farewell(text, _):
    return f"{text} many thanks from the coast"


CHANGES = {
    "misspelt": _misspelt,
    "turned": _turned_round,
    "farewell": _with_a_farewell,
    "all": lambda text, dice: _with_a_farewell(_turned_round(_misspelt(text, dice), dice), dice),
}


def test_a_ledger_made_before_there_was_an_index_is_taken_in(ledger, message):
    chunk = chunk_of(message, [("a", FIRST), ("b", "Which oil for a wet chain in the winter, please?")])
    ledger.keep_chunk(chunk)  # without an index

    taken = ledger.leads.catch_up(
        lambda pairs: [
            Asked(name, *one) for (name, _), one in zip(pairs, sketched([t for _, t in pairs]), strict=True)
        ]
    )
    ledger.keep_chunk(chunk_of(message, [("c", f"{FIRST} Cheers")]), repeats=repeats)

    assert taken == 2
    assert leaders(ledger)["c"] == "a"
    assert ledger.leads.catch_up(list) == 0

"""A question that asks about two kinds of thing is two in the ledger, and each can be corrected and signed."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

import sqlalchemy as sa

from knowledge.base import Knowledge
from triage.ledger import Person
from triage.ledger.schema import DRAFTS
from triage.review.acts import Bench, correct

ASK = "Can I put a 32 mm tyre on a rim of 19 mm inside, and what torque do my rotor bolts want?"


def test_a_part_is_corrected_as_any_other_question(
    bench_of: Callable[[Sequence[Path], Knowledge], Bench], knowledge: Knowledge, tmp_path: Path
) -> None:
    mail = tmp_path / "ask.txt"
    mail.write_text(ASK, encoding="utf-8")
    bench = bench_of([mail], knowledge)
    with bench.ledger.engine.connect() as connection:
        kept = connection.execute(sa.select(DRAFTS.c.question_id)).scalars().all()
    lines = {line["brief"]: line for line in map(bench.line, kept)}
    assert set(lines) == {"tyres/rim-width", "brakes/rotor-bolts"}
    assert len({line["question_id"] for line in lines.values()}) == 2

    other = lines["brakes/rotor-bolts"]
    presenter = Person("the presenter", "presenter")
    correct(bench, presenter, other["question_id"], 0, [("brief", "brakes/rotor-wear")])
    again = bench.line(other["question_id"])
    assert again["brief"] == "brakes/rotor-wear"
    assert again["text"] == other["text"]
    assert bench.line(lines["tyres/rim-width"]["question_id"])["brief"] == "tyres/rim-width"

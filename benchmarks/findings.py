"""What a finding costs: one alone, and each of a thousand worked out together, brief by brief.

    python benchmarks/findings.py [BRIEF ...]

Each brief with deciders is put to riders who stated about half of what it needs, at random plausible values. Printed
are milliseconds a finding, the dearest first, and the medians over all briefs.
"""

from __future__ import annotations

import random
import statistics
import sys
import time
from collections.abc import Sequence

from knowledge.base import Knowledge
from knowledge.brief import Brief
from knowledge.load import load
from triage.decide import decide
from triage.decide.tries import TRIES
from triage.match import match
from triage.records import Classified, Detail, Extracted, Grouped, Matched, Message, Question

ALONE, TOGETHER = 20, 1000


def asked(brief: Brief, knowledge: Knowledge, seed: int) -> Extracted:
    """A question to which a rider gave about half of the facts."""
    chance = random.Random(f"{brief.id} {seed}")
    details = []
    for need in brief.needs:
        if chance.random() < 0.5:
            continue
        if need.name in knowledge.choices:
            value: float | str = chance.choice([c.value for c in knowledge.choices[need.name]])
        else:
            kind = knowledge.quantities[need.name]
            value = chance.uniform(kind.low or 0.0, kind.high or 0.0)
        details.append(Detail(need.name, value, str(value), len(details), len(details) + 1))
    message = Message(f"m{seed}", "mail", None, None, None, None, None, "Does it fit?", "benchmark", "")
    question = Question(f"q{seed}", message, message.text, "", True)
    grouped = Grouped(question, None, 1)
    return Extracted(Classified(grouped, brief.topic, 0.9, ((brief.id, 0.9),)), tuple(details), ())


def milliseconds(questions: Sequence[Matched], knowledge: Knowledge, *, together: bool) -> float:
    """Wall time a question."""
    start = time.perf_counter()
    if together:
        decide(questions, knowledge)
    else:
        for question in questions:
            decide([question], knowledge)
    return (time.perf_counter() - start) / len(questions) * 1000


def main(names: Sequence[str]) -> None:
    """Measure the named briefs, or all that have deciders."""
    knowledge = load()
    briefs = [b for b in knowledge.briefs.values() if b.deciders and (not names or b.id in names)]
    rows = []
    for brief in briefs:
        questions = match([asked(brief, knowledge, seed) for seed in range(TOGETHER)], knowledge)
        decide(questions[:1], knowledge)
        alone = milliseconds(questions[:ALONE], knowledge, together=False)
        together = milliseconds(questions, knowledge, together=True)
        rows.append((together, alone, brief.id))
    rows.sort(reverse=True)
    print(f"{'together':>9}{'alone':>9}  brief   (ms a finding over {TRIES} tried values)")
    for together, alone, name in rows:
        print(f"{together:9.2f}{alone:9.2f}  {name}")
    print(
        f"median together {statistics.median(row[0] for row in rows):.2f} ms, alone {statistics.median(row[1] for row in rows):.2f} ms"
    )
    print(
        f"{sum(row[1] < 5 for row in rows)} of {len(rows)} under 5 ms alone, "
        f"{sum(row[0] < 0.5 for row in rows)} under 0.5 ms together"
    )


if __name__ == "__main__":
    main(sys.argv[1:])

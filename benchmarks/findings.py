"""What a finding costs: one alone, and each of a thousand worked out together, brief by brief.

    python benchmarks/findings.py [BRIEF ...]

Each brief with deciders is put to riders who stated about half of what it needs, at random plausible values. Printed
are milliseconds a finding, the dearest first, and the medians over all briefs: the verdict alone over all tried values
for a thousand at once, the whole finding (figures with their working, what to ask, the answers on either side, the
nearest thing that works) for a thousand at once, and the whole finding alone.
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
from triage.decide.trial import Trial, work_out
from triage.decide.tries import TRIES
from triage.decide.verdict import judge
from triage.match import match
from triage.records import Classified, Detail, Extracted, Matched, Message, Question

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
    return Extracted(Classified(question, brief.topic, 0.9, ((brief.id, 0.9),)), tuple(details), ())


def milliseconds(questions: Sequence[Matched], knowledge: Knowledge, *, together: bool) -> float:
    """Wall time a question."""
    start = time.perf_counter()
    if together:
        decide(questions, knowledge)
    else:
        for question in questions:
            decide([question], knowledge)
    return (time.perf_counter() - start) / len(questions) * 1000


def verdicts(questions: Sequence[Matched], knowledge: Knowledge) -> float:
    """Wall time a question for the figures over all tried values and the verdict, nothing written out."""
    start = time.perf_counter()
    trials = [Trial(knowledge.briefs[q.brief or ""], q, knowledge) for q in questions]
    work_out(trials)
    for trial in trials:
        judge(trial, [])
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
        rows.append((together, alone, verdicts(questions, knowledge), brief.id))
    rows.sort(reverse=True)
    print(f"{'verdict':>9}{'together':>9}{'alone':>9}  brief   (ms a finding over {TRIES} tried values)")
    for together, alone, verdict, name in rows:
        print(f"{verdict:9.2f}{together:9.2f}{alone:9.2f}  {name}")
    median = [statistics.median(row[place] for row in rows) for place in (2, 0, 1)]
    print(f"median: verdict {median[0]:.2f} ms, together {median[1]:.2f} ms, alone {median[2]:.2f} ms")
    print(
        f"{sum(row[1] < 5 for row in rows)} of {len(rows)} whole findings under 5 ms alone; of a thousand at once "
        f"{sum(row[2] < 0.5 for row in rows)} verdicts and {sum(row[0] < 0.5 for row in rows)} whole findings under 0.5 ms"
    )


if __name__ == "__main__":
    main(sys.argv[1:])

"""What planning an episode costs: thousands of signed candidates, invented by a seed, near misses included.

    python benchmarks/episode.py [CANDIDATES [MINUTES]]

Prints a line for each: seconds on the clock, and seconds of one core, which a busy machine does not stretch as much.
Threads of the solver are held to one.
"""

from __future__ import annotations

import os

os.environ.update(dict.fromkeys(("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS"), "1"))

import random
import sys
import time
from datetime import date, timedelta

from knowledge.episode import load_episode_rules
from triage.episode import Candidate, plan

DAY = date(2026, 11, 26)
TOPICS = (
    "drivetrain",
    "cranks",
    "bearings",
    "tyres",
    "wheels",
    "brakes",
    "lubrication",
    "frame-fit",
    "other",
)
VERDICTS = ("yes", "yes-if", "explain", "not-recommended", "inspect-first")
SEEDS = range(6)


def candidates(count: int, briefs: int, seed: int) -> list[Candidate]:
    """So many candidates over so many briefs, a topic each; a few corrections, promises and closers among them."""
    chance = random.Random(seed)
    home = [chance.choice(TOPICS) for _ in range(briefs)]
    told = [
        DAY - timedelta(days=chance.randrange(400)) if chance.random() < 0.6 else None for _ in range(briefs)
    ]
    found = []
    for number in range(count):
        brief = chance.randrange(briefs)
        kind = chance.choices(("question", "correction", "promise", "closer"), (count, 2, 4, 30))[0]
        found.append(
            Candidate(
                key=f"q-{number:05}", kind=kind, question_id=f"q-{number:05}", title=f"Question {number}",
                topic=home[brief], brief=f"{home[brief]}/{brief}", verdict=chance.choice(VERDICTS),
                seconds=round(chance.lognormvariate(4.25, 0.4), 1), asked_by=1 + int(chance.expovariate(0.4)),
                received=DAY - timedelta(days=chance.randrange(180)), is_safety=chance.random() < 0.1,
                is_urgent=chance.random() < 0.1, is_signed=True, figures=chance.randrange(5),
                teaches=chance.random() < 0.5, terms=tuple("abcd"[: chance.randrange(5)]),
                last_answered=told[brief], has_changed=chance.random() < 0.1, likes=int(chance.expovariate(0.1)),
                related=(),
            )
        )  # fmt: skip
    return found


def main() -> None:
    """Measure some weeks of each sort."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 5000
    minutes = float(sys.argv[2]) if len(sys.argv) > 2 else 15.0
    rules = load_episode_rules()
    slowest = busiest = 0.0
    print(
        f"{'candidates':>10}{'briefs':>8}{'seed':>6}{'seconds':>9}{'core':>7}{'items':>7}{'length':>8}{'worth':>9}{'missed':>8}"
    )
    for briefs in (60, 400, count):
        for seed in SEEDS:
            given = candidates(count, briefs, seed)
            begun, worked = time.perf_counter(), time.process_time()
            made = plan(given, rules, minutes * 60, DAY)
            took, core = time.perf_counter() - begun, time.process_time() - worked
            slowest, busiest = max(slowest, took), max(busiest, core)
            print(
                f"{count:>10}{briefs:>8}{seed:>6}{took:>9.2f}{core:>7.2f}{len(made.items):>7}{made.seconds:>8.0f}"
                f"{made.worth:>9.2f}{len(made.near_misses):>8}"
            )
    print(f"\nThe slowest took {slowest:.2f} s, and {busiest:.2f} s of one core.")


if __name__ == "__main__":
    main()

"""An editor at work, as a program: one act after the other over a ledger, each written down once it is saved."""

from __future__ import annotations

import hashlib
import random
from pathlib import Path
from typing import Any

import sqlalchemy as sa

from knowledge.phrases import load_phrases
from triage.ledger import ClashError, Ledger, Person, open_ledger
from triage.ledger.schema import DRAFTS
from triage.review import acts
from triage.review.acts import Bench, NotDoneError, effective


def work(place: str, log: str, seed: int, most: int = 10_000, name: str = "Bea") -> int:
    """Edit, tick, return, correct and sign drafts at random; a line in the log for each act that was saved.

    A line is: question, version, state, digest of the texts as they stand, and a full stop that shows it whole.
    """
    import knowledge.load as loading

    knowledge = loading.load()
    bench = Bench(open_ledger(place), knowledge, load_phrases())
    person, chance = Person(name, "editor"), random.Random(seed)
    with bench.ledger.engine.connect() as connection:
        ids = list(connection.execute(sa.select(DRAFTS.c.question_id).where(DRAFTS.c.is_question)).scalars())
    with Path(log).open("a", encoding="utf-8") as into:
        for number in range(most):
            question = chance.choice(sorted(ids))
            try:
                _act(bench, person, question, chance, f"{seed}-{number}")
            except (NotDoneError, ClashError):
                continue
            review = bench.ledger.reviews.of(question)
            digest = digest_of_texts(bench.ledger, question)
            into.write(f"{question}\t{review.version}\t{review.state}\t{digest}\t.\n")
            into.flush()
    bench.ledger.close()
    return 0


def _act(bench: Bench, person: Person, question: str, chance: random.Random, mark: str) -> None:
    review = bench.ledger.reviews.of(question)
    line = bench.line(question)
    kind = chance.choice(("edit", "edit", "tick", "return", "sign", "sign", "correct"))
    if kind == "edit":
        text = f"{effective(line, review, 'reply')}\n\nP.S. {mark}"[-4000:]
        acts.edit(bench, person, question, review.version, {"reply": text})
    elif kind == "tick" and line["figures"]:
        acts.tick(bench, person, question, review.version, line["figures"][0]["name"], is_right=True)
    elif kind == "return":
        acts.give_back(bench, person, question, review.version, f"look again {mark}")
    elif kind == "sign":
        seen = acts.digest_of(acts.concerns(line, review))
        acts.sign(bench, person, question, review.version, seen)
    elif kind == "correct":
        acts.correct(
            bench, person, question, review.version, [("topic", chance.choice(("wheels", "tyres", "brakes")))]
        )


def digest_of_texts(ledger: Ledger, question: str) -> str:
    """Of what a reader of the draft would see."""
    line: dict[str, Any] | None = ledger.question(question)
    review = ledger.reviews.of(question)
    assert line is not None
    texts = [line["headline"], effective(line, review, "script"), effective(line, review, "reply")]
    return hashlib.sha256(repr(texts).encode()).hexdigest()[:16]


def sign_slowly(place: str, log: str, go: str) -> int:
    """Look at a draft as the desk's page shows it, wait for a file, then sign what was seen; "signed" or "clash" in the log.

    The log holds the digest of the texts that were seen first.
    """
    import json
    import time

    import knowledge.load as loading

    bench = Bench(open_ledger(place), loading.load(), load_phrases())
    with bench.ledger.engine.connect() as connection:
        lines = connection.execute(sa.select(DRAFTS.c.line).where(DRAFTS.c.is_question)).scalars()
        longest = max(map(json.loads, lines), key=lambda line: line["script_seconds"] or 0)
    question = longest["question_id"]
    Path(f"{log}.json").write_text(json.dumps(question))
    version = bench.ledger.reviews.of(question).version
    seen = digest_of_texts(bench.ledger, question)
    Path(log).write_text(f"{seen} ")
    while not Path(go).exists():
        time.sleep(0.01)
    try:
        acts.sign(bench, Person("Bea", "editor"), question, version)
        outcome = "signed"
    except (ClashError, NotDoneError):
        outcome = "clash"
    with Path(log).open("a") as into:
        into.write(outcome)
    bench.ledger.close()
    return 0

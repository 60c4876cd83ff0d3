"""Read the briefs' examples once for everybody, so that a first start need not.

python -m training.vectors          # reads the examples that are not in the file yet: a minute for four thousand
python -m training.vectors --anew   # reads all of them, along directions of their own: after `make adapt`
"""

from __future__ import annotations

import argparse

import numpy as np
from rich.progress import Progress

from knowledge.base import Knowledge
from knowledge.load import load
from triage.sorter import examples_of
from triage.sorter.adapted import adapted
from triage.sorter.beforehand import FILE, Beforehand, beforehand, reader_of
from triage.sorter.meaning import KnownVectors, as_rows, key_of


def texts_of(knowledge: Knowledge) -> list[str]:
    """Everything of a knowledge base that is read for its meaning."""
    examples = examples_of(knowledge)
    asked = (text for brief in knowledge.briefs.values() if brief.points for text in brief.every_example)
    return list(dict.fromkeys([*examples.texts, *examples.own_texts, *asked]))


def main() -> None:
    """Make the file, or bring it up to the examples as they are now."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--anew", action="store_true", help="read everything again")
    wanted = parser.parse_args()
    changed = adapted()
    if changed is None:
        raise SystemExit("The model was not taught the trade yet: run `make adapt` first.")
    texts = {key_of(text): text for text in texts_of(load())}
    had = None if wanted.anew else beforehand(changed.file())
    known = {} if had is None else {key.tobytes(): row for row, key in enumerate(had.keys)}
    new = [key for key in texts if key not in known]
    with Progress() as bar:
        task = bar.add_task("reading", total=len(new))
        read = KnownVectors(changed.encode(), on_progress=lambda done, _: bar.update(task, completed=done))
        vectors = read([texts[key] for key in new])
    if had is None:
        made = Beforehand.of(vectors, as_rows(new), reader_of(changed.file()))
    else:
        kept = [key for key in texts if key in known]
        steps = np.vstack([had.steps[[known[key] for key in kept]], had.in_steps(vectors)])
        made = had.with_texts(as_rows([*kept, *new]), steps)
    made.write(FILE)
    print(f"{FILE.name}: {len(made.keys):,} texts, {len(new):,} of them read now")


if __name__ == "__main__":
    main()

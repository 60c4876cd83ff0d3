"""The approved drafts: worked out anew, shown against what was approved, and approved by name.

python -m tests.triage.golden.drafts                 say which drafts have changed, and how
python -m tests.triage.golden.drafts --approve NAME  take one as it is now, after reading it
"""

from __future__ import annotations

import difflib
import sys
from pathlib import Path
from typing import Any

import yaml

from knowledge.base import Knowledge
from knowledge.load import load
from knowledge.phrases import Phrases, load_phrases
from tests.asked import asked, found
from triage.draft import draft
from triage.records import Finding

HERE = Path(__file__).parent
PACE = 150.0


def cases() -> list[dict[str, Any]]:
    """The cases in their order."""
    found: list[dict[str, Any]] = yaml.safe_load((HERE / "cases.yaml").read_text(encoding="utf-8"))
    return found


def approved(name: str) -> str:
    """The draft as it was last approved."""
    return (HERE / f"{name}.txt").read_text(encoding="utf-8")


def finding_of(case: dict[str, Any], knowledge: Knowledge) -> Finding:
    """What is found for a case, from the details that it states."""
    question = asked(case["brief"], case["details"], case["text"], case["rider"], case["case"])
    return found(question, knowledge)


def worked_out(case: dict[str, Any], knowledge: Knowledge, phrases: Phrases) -> str:
    """The draft of a case as it comes out now: verdict, sureness, script and reply."""
    finding = finding_of(case, knowledge)
    made = draft([finding], knowledge, phrases, PACE)[0]
    ready = [f"--- if it is {one.when}\n\n{one.headline}" for one in made.ready]
    # Which sources are cited is the sheet's matter and no wording.
    told = (made.reply or "").split("\n\nFigures from: ")[0]
    parts = [f"{finding.verdict}, {finding.sureness}", "=== script", made.script, "=== reply", told, *ready]
    return "\n\n".join(part or "" for part in parts) + "\n"


def main(arguments: list[str]) -> int:
    """Compare all, or approve the named ones."""
    knowledge, phrases = load(), load_phrases()
    names = arguments[1:] if arguments[:1] == ["--approve"] else []
    changed = 0
    for case in cases():
        name = case["case"]
        now = worked_out(case, knowledge, phrases)
        file = HERE / f"{name}.txt"
        before = file.read_text(encoding="utf-8") if file.is_file() else ""
        if now == before:
            continue
        if name in names:
            file.write_text(now, encoding="utf-8")
            print(f"{name}: approved")
            continue
        changed += 1
        lines = difflib.unified_diff(
            before.splitlines(), now.splitlines(), "approved", "now", lineterm="", n=1
        )
        print(f"{name}:", *lines, sep="\n  ")
    return 1 if changed else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))

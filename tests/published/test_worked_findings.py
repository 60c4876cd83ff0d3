"""Findings worked out by hand: verdict, deciding fact and tipping value, each with its arithmetic and its source."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import yaml

from knowledge.base import Knowledge
from triage.decide import decide
from triage.match import match
from triage.records import Classified, Detail, Extracted, Finding, Grouped, Message, Question

CASES: list[dict[str, Any]] = yaml.safe_load(
    (Path(__file__).parent / "worked_findings.yaml").read_text(encoding="utf-8")
)
TOPICS = {"drivetrain", "cranks", "bearings", "tyres", "wheels", "brakes", "lubrication", "frame-fit"}
MESSAGE = Message("m", "mail", None, None, None, None, None, "Does it fit?", "f", "")


def found(case: dict[str, Any], knowledge: Knowledge) -> Finding:
    """What the engine finds for a worked case."""
    details = [
        Detail(name, tuple(value) if isinstance(value, list) else value, str(value), n, n + 1)
        for n, (name, value) in enumerate((case["details"] or {}).items())
    ]
    question = Question("q", MESSAGE, MESSAGE.text, "", True)
    topic = case["brief"].split("/")[0]
    classified = Classified(Grouped(question, None, 1), topic, 0.9, ((case["brief"], 0.9),))
    return decide(match([Extracted(classified, tuple(details), ())], knowledge), knowledge)[0]


@pytest.mark.parametrize("case", CASES, ids=[case["case"] for case in CASES])
def test_the_finding_agrees_with_the_one_worked_out_by_hand(
    case: dict[str, Any], knowledge: Knowledge
) -> None:
    finding = found(case, knowledge)

    assert finding.verdict == case["verdict"], case["by_hand"]
    if case["verdict"] == "need-more":
        wanted = case["asks"] if isinstance(case["asks"], list) else [case["asks"]]
        assert finding.asks
        assert finding.asks[0].name in wanted, case["by_hand"]
        if case.get("tips_at") is not None:
            assert finding.asks[0].tips_at == pytest.approx(case["tips_at"], abs=case["within"]), case[
                "by_hand"
            ]


def test_the_worked_findings_cover_the_trade() -> None:
    assert len(CASES) >= 40
    assert {case["brief"].split("/")[0] for case in CASES} == TOPICS
    assert sum(case["verdict"] == "need-more" and case.get("tips_at") is not None for case in CASES) >= 12
    assert all(case["by_hand"] and case["source"] for case in CASES)

"""Findings worked out by hand: verdict, deciding fact and tipping value, each with its arithmetic and its source."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import yaml

from knowledge.base import Knowledge
from tests.asked import asked, found

CASES: list[dict[str, Any]] = yaml.safe_load(
    (Path(__file__).parent / "worked_findings.yaml").read_text(encoding="utf-8")
)
TOPICS = {"drivetrain", "cranks", "bearings", "tyres", "wheels", "brakes", "lubrication", "frame-fit"}


@pytest.mark.parametrize("case", CASES, ids=[case["case"] for case in CASES])
def test_the_finding_agrees_with_the_one_worked_out_by_hand(
    case: dict[str, Any], knowledge: Knowledge
) -> None:
    finding = found(asked(case["brief"], case["details"] or {}), knowledge)

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

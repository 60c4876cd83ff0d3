"""What is to be added to a stack of spacers."""

from __future__ import annotations

import pytest

from tests.triage.extract.stated import stated
from triage.extract import Finder


@pytest.mark.parametrize(
    ("text", "stacks"),
    [
        ("There's 10 mm of spacers below my stem; may I add 15 more?", [25]),
        ("20mm spacers on the steerer and I'd put another 10 under the stem", [30]),
        ("10 mm of spacers under the stem and another 5 on top", [10]),
        ("20 mm of spacers under the stem, and I want to put on a 90 mm stem", [20]),
    ],
)
def test_the_stack_that_it_would_be_is_told(finder: Finder, text: str, stacks: list[float]) -> None:
    assert stated(finder, text, "spacer_stack_mm") == stacks

"""Of a hub's flanges: how wide their hole circles are, and how far each stands from the middle."""

from __future__ import annotations

import pytest

from tests.triage.extract.stated import stated
from triage.extract import Finder


@pytest.mark.parametrize(
    ("text", "circles", "offsets"),
    [
        ("ERD 601, hole circles 45 on both sides, left 36.5 right 20.5 from the middle", [45], [36.5, 20.5]),
        ("flange diameter 58 mm, left 35 mm and right 17.5 mm from center, ERD 603", [58], [35, 17.5]),
        ("hub: pcd 45, left 37 right 21, ERD 598", [45], [37, 21]),
        ("flange pcd, left 45 right 58, ERD 598", [45, 58], []),
    ],
)
def test_a_pair_by_sides_is_the_circles_or_the_distances_by_the_words_around_it(
    finder: Finder, text: str, circles: list[float], offsets: list[float]
) -> None:
    sides = ("left", "right")
    told = stated(finder, text, "flange_diameter_mm")
    told += [value for side in sides for value in stated(finder, text, f"{side}_flange_diameter_mm")]
    assert told == circles
    assert [v for s in sides for v in stated(finder, text, f"{s}_flange_offset_mm")] == offsets

"""Where the hole in a tube is, as riders say it, and what only sounds like it."""

from __future__ import annotations

import pytest

from triage.extract import Finder


def _read(finder: Finder, text: str, name: str) -> list[object]:
    return [detail.value for detail in finder.find(text)[0] if detail.name == name]


@pytest.mark.parametrize(
    ("text", "hole"),
    [
        ("Third snakebite this month on the canal path, why?", "pinch"),
        ("Every hole sits on the side facing the spokes.", "rim-side"),
        ("The tube goes at the base of the valve each time.", "valve"),
        ("Tiny holes on the outside of the tube, tyre looks clean.", "tread-side"),
    ],
)
def test_the_place_of_a_hole_is_read(finder: Finder, text: str, hole: str) -> None:
    assert _read(finder, text, "tube_hole") == [hole]


def test_a_flat_of_no_told_kind_names_no_hole(finder: Finder) -> None:
    assert _read(finder, "My rear tyre goes flat every week.", "tube_hole") == []


def test_a_chain_boiled_in_wax_is_over_direct_heat(finder: Finder) -> None:
    assert "direct-heat" in _read(finder, "He says to boil the chain in candle wax.", "wax_heating")

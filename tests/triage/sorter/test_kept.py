"""The trained sorter on the disk: used again, cut off, and how many stay."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from knowledge.base import Knowledge
from triage.sorter import kept, teach
from triage.sorter.examples import Examples


@pytest.fixture
def few(monkeypatch: pytest.MonkeyPatch) -> None:
    """A sorter that is taught in a moment, from twenty questions and what editors corrected."""
    asks = [f"{what} number {count}" for what in ("flat tyre", "worn chain") for count in range(10)]
    labels = ["tyres/a"] * 10 + ["drivetrain/b"] * 10

    def examples_of(_: Knowledge) -> Examples:
        return Examples(asks, labels)

    monkeypatch.setattr(kept, "examples_of", examples_of)
    # The true briefs' askings would all be read for their points.
    monkeypatch.setattr(kept, "points_of", lambda *_: None)


@pytest.mark.usefixtures("few")
def test_a_sorter_is_taught_once(
    knowledge: Knowledge, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    first = kept.sorter_for(knowledge, cache=tmp_path)

    def again(*_: object) -> None:
        raise AssertionError("it was taught again")

    monkeypatch.setattr(teach, "train", again)
    second = kept.sorter_for(knowledge, cache=tmp_path)
    asks = ["my chain is worn"]
    assert (first.sort(asks).chances == second.sort(asks).chances).all()


@pytest.mark.usefixtures("few")
def test_one_that_was_cut_off_is_taught_anew(knowledge: Knowledge, tmp_path: Path) -> None:
    kept.sorter_for(knowledge, cache=tmp_path)
    (file,) = tmp_path.glob("sorter-*.joblib")
    file.write_bytes(file.read_bytes()[:1000])
    assert kept.sorter_for(knowledge, cache=tmp_path).sort(["flat tyre"]).chances.argmax() == 1
    assert file.stat().st_size > 1000


@pytest.mark.usefixtures("few")
def test_only_the_last_used_ones_stay(knowledge: Knowledge, tmp_path: Path) -> None:
    for age in range(6):
        old = tmp_path / f"sorter-{age:024}.joblib"
        old.write_bytes(b"of an older knowledge base")
        os.utime(old, (1_000_000 + age, 1_000_000 + age))
    (tmp_path / "sorter-of-old.txt").write_text(f"sorter-{0:024}.joblib")
    (tmp_path / "notes.txt").write_text("somebody's own")
    kept.sorter_for(knowledge, cache=tmp_path)
    left = sorted(file.name for file in tmp_path.iterdir())
    assert len([name for name in left if name.endswith(".joblib")]) == kept.MOST_KEPT
    assert f"sorter-{5:024}.joblib" in left
    assert "sorter-of-old.txt" not in left
    assert "notes.txt" in left

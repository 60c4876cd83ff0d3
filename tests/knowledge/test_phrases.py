"""The house phrases, and a desk's own that take the place of some."""

from __future__ import annotations

import pytest

from knowledge.phrases import load_phrases
from knowledge.trouble import KnowledgeError


def test_a_desks_own_phrase_takes_the_place_of_ours_and_the_others_stay(tmp_path) -> None:
    (tmp_path / "phrases.yaml").write_text("greet: ['Dear {rider},']\n", encoding="utf-8")

    own, ours = load_phrases(tmp_path), load_phrases()

    assert own.of("greet") == ("Dear {rider},",)
    assert own.of("close_reply") == ours.of("close_reply")
    assert own.hold_off == ours.hold_off


@pytest.mark.parametrize("line", ["greet: []", "greet: Dear", "hold_off:", "hold_off: [Stop]"])
def test_a_kind_without_a_phrase_is_refused_by_its_name(tmp_path, line) -> None:
    (tmp_path / "phrases.yaml").write_text(line + "\n", encoding="utf-8")

    with pytest.raises(KnowledgeError, match=line.partition(":")[0]):
        load_phrases(tmp_path)

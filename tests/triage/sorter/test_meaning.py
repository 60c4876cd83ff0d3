"""The second reading: nearness to examples, vectors that are remembered, and when a text is read again."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from triage.sorter import Examples, Sorter, meaning
from triage.sorter.encoder import Vectors, encode
from triage.sorter.meaning import (
    MOST_STRETCHES,
    STRETCH_WORDS,
    KnownVectors,
    Meaning,
    in_stretches,
    with_story,
)
from triage.sorter.published import SIZE
from triage.sorter.sorter import SURE_AT_ONCE, SURELY_OURS, Labels
from triage.sorter.teach import coded_labels, evenly, train

TROUBLES = {
    "brakes/soft": (
        "lever goes soft",
        "spongy brake lever",
        "brake lever to the bar",
        "no bite in the brake",
    ),
    "brakes/noise": ("brakes squeal", "screaming disc", "howling when braking", "brake noise in the wet"),
    "tyres/flat": ("flat tyre again", "tyre loses air", "puncture on the rear", "tube won't hold air"),
    "aside/food": ("bake some bread", "salty soup", "recipe for a cake", "roast the onions"),
}
WAYS = ("{}", "help, {}", "{} since today", "why {}", "{}, what now")


@pytest.fixture(scope="module")
def examples() -> Examples:
    pairs = [(way.format(said), label) for label, some in TROUBLES.items() for said in some for way in WAYS]
    return Examples([text for text, _ in pairs], [label for _, label in pairs], frozenset({"aside"}))


@pytest.fixture(scope="module")
def twice(examples: Examples) -> Sorter:
    return train(examples, str.lower, encode)


def test_words_that_no_example_holds_are_read_by_their_meaning(examples: Examples, twice: Sorter) -> None:
    asks = ["I pull and it is mushy like jelly", "they shriek whenever I slow down", "it deflates overnight"]
    names = twice.labels.names
    assert [names[best] for best in twice.sort(asks).chances.argmax(axis=1)] == [
        "brakes/soft",
        "brakes/noise",
        "tyres/flat",
    ]
    once = train(examples, str.lower).sort(asks).chances.max(axis=1)
    assert (twice.sort(asks).chances.max(axis=1) > once).all()


def test_what_the_words_tell_surely_is_not_read_again(examples: Examples) -> None:
    asked: list[str] = []

    def watched(texts: Sequence[str]) -> Vectors:
        asked.extend(texts)
        return encode(texts)

    sorter = train(examples, str.lower, watched)
    asked.clear()
    first = train(examples, str.lower).sort(["flat tyre again, tube loses air", "it deflates overnight"])
    sorter.sort(["flat tyre again, tube loses air", "it deflates overnight"])
    assert first.chances[0].max() > SURE_AT_ONCE
    assert first.outside[0] < SURELY_OURS
    assert set(asked) == {"it deflates overnight"}


def test_an_ask_and_its_story_are_both_read(twice: Sorter) -> None:
    story = "Every morning it has deflated and I must inflate it."
    alone, told = twice.sort(["any ideas?"]), twice.sort(["any ideas?"], [story])
    flat = twice.labels.names.index("tyres/flat")
    assert told.chances[0, flat] > alone.chances[0, flat]


WEATHER = "The brake and the tyre were both new and we all rode along the canal for most of the morning. "
END = "On the last slope it went mushy under my fingers like jelly, and I could pull for ever."


def test_a_long_story_is_read_to_its_end(twice: Sorter) -> None:
    asked: list[str] = []

    def watched(texts: Sequence[str]) -> Vectors:
        asked.extend(texts)
        return encode(texts)

    story = WEATHER * 4 + END
    replace(twice, encode=watched).sort(["What is it?", "any ideas?"], [story, ""])

    assert len(story.split()) > STRETCH_WORDS
    assert any(text.endswith(END) and len(text.split()) <= STRETCH_WORDS for text in asked)
    assert {"What is it?", "any ideas?"} <= set(asked)


def test_the_end_of_a_story_counts_in_stretches() -> None:
    (end,) = encode([END])
    story = [WEATHER * 5 + END]

    read_whole = in_stretches(encode, story)
    assert float(read_whole[0] @ end) > float(encode(story)[0] @ end) + 0.05
    (ask,) = asks = encode(["any ideas?"])
    (together,) = with_story(asks, read_whole)
    assert float(ask @ end) < float(together @ end) < float(read_whole[0] @ end)
    assert float(together @ ask) > float(read_whole[0] @ ask)


def test_no_texts_have_no_vectors() -> None:
    def unread(texts: Sequence[str]) -> Vectors:
        raise AssertionError(f"nothing was to be read, and not {texts}")

    assert in_stretches(unread, []).shape == (0, 768)


def test_a_short_text_means_the_same_in_stretches_and_a_long_one_has_a_bounded_number() -> None:
    texts = ["lever goes soft", "", "the tyre is flat " * 30]
    asked: list[str] = []

    def watched(some: Sequence[str]) -> Vectors:
        asked.extend(some)
        return encode(some)

    found = in_stretches(watched, texts)

    assert np.allclose(found[:2], encode(texts[:2]), atol=1e-5)
    assert np.allclose(np.linalg.norm(found, axis=1), 1.0, atol=1e-5)
    asked.clear()
    in_stretches(watched, ["word " * 5000])
    assert len(asked) == MOST_STRETCHES


def test_rows_do_not_hang_on_their_neighbours(twice: Sorter) -> None:
    asks = ["it deflates overnight", "any ideas?", "mushy handle", "salty", "flat tyre again"]
    stories = ["", "it shrieked on the hill", "", "", "after the ride"]
    together = twice.sort(asks, stories)
    for row, (ask, story) in enumerate(zip(asks, stories, strict=True)):
        alone = twice.sort([ask], [story])
        assert np.allclose(alone.chances[0], together.chances[row], atol=1e-4)
        assert alone.outside[0] == pytest.approx(together.outside[row], abs=1e-4)


def test_chances_add_up_to_one_over_our_own_labels(twice: Sorter) -> None:
    found = twice.sort(["mushy", "", "deflates", "zzz"])
    assert np.allclose(found.chances.sum(axis=1), 1)


_FEW = 5


@given(st.integers(0, 2**32 - 1))
def test_nearness_is_bounded_and_grows_with_a_near_example(seed: int) -> None:
    dice = np.random.default_rng(seed)
    vectors = dice.normal(size=(_FEW + 1, SIZE)).astype(np.float32)
    vectors /= np.linalg.norm(vectors, axis=1, keepdims=True)
    text, others = vectors[:1], vectors[1:]

    def near(examples: Vectors) -> float:
        none = np.zeros(1, dtype=np.float32)
        one = np.zeros(1, dtype=np.intp)
        return float(
            Meaning(examples, one, one, np.zeros((SIZE, 1), dtype=np.float32), none).nearness(text)[0, 0]
        )

    closest = float((text @ others.T).max())
    assert closest - np.log(_FEW) / 40 - 1e-5 <= near(others) <= closest + np.log(_FEW) / 40 + 1e-5
    assert near(np.vstack([others, text])) > near(others)
    assert near(text) == pytest.approx(1, abs=1e-5)


class _Counted:
    def __init__(self) -> None:
        self.read: list[str] = []

    def __call__(self, texts: Sequence[str]) -> Vectors:
        self.read.extend(texts)
        return np.asarray([[len(text)] * SIZE for text in texts], dtype=np.float32)


def test_the_vectors_of_another_knowledge_base_stay_while_there_is_room(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    counted, file = _Counted(), tmp_path / "examples.npz"
    for texts in (["a", "bb"], ["ccc"]):
        known = KnownVectors(counted, file)
        known(texts)
        known.write(file, texts)
    counted.read.clear()
    assert KnownVectors(counted, file)(["bb", "ccc"])[:, 0].tolist() == [2, 3]
    assert counted.read == []

    monkeypatch.setattr(meaning, "MOST_KEPT_TEXTS", 2)
    known = KnownVectors(counted, file)
    known.write(file, ["ccc"])
    KnownVectors(counted, file)(["a", "bb", "ccc"])
    assert len(counted.read) == 1


def test_examples_are_encoded_once_and_remembered(tmp_path: Path) -> None:
    counted, file = _Counted(), tmp_path / "examples.npz"
    known = KnownVectors(counted, file)
    first = known(["a", "bb", "a"])
    known.write(file, ["a", "bb"])
    again = KnownVectors(counted, file)(["bb", "a", "ccc"])
    assert counted.read == ["a", "bb", "ccc"]
    assert first[:, 0].tolist() == [1, 2, 1]
    assert again[:, 0].tolist() == [2, 1, 3]


@pytest.mark.parametrize("left", [0, 10, 300])
def test_a_cut_off_file_is_only_a_cache(tmp_path: Path, left: int) -> None:
    counted, file = _Counted(), tmp_path / "examples.npz"
    known = KnownVectors(counted, file)
    known(["a", "bb"])
    known.write(file, ["a", "bb"])
    file.write_bytes(file.read_bytes()[:left])
    assert KnownVectors(counted, file)(["bb"])[0, 0] == 2


def test_long_work_is_told(tmp_path: Path) -> None:
    told: list[tuple[int, int]] = []
    KnownVectors(_Counted(), tmp_path / "none.npz", lambda done, total: told.append((done, total)))(
        [f"text {number}" for number in range(1100)]
    )
    assert told == [(250, 1100), (500, 1100), (750, 1100), (1000, 1100), (1100, 1100)]


def test_some_of_the_examples_are_read_evenly_over_the_labels_and_more_of_what_is_none(
    examples: Examples,
) -> None:
    labels = Labels.of(examples)
    coded = coded_labels(examples.labels, labels)

    rows = evenly(coded, labels, 26)

    assert rows.tolist() == sorted(set(rows.tolist()))
    counts = dict(zip(labels.names, np.bincount(coded[rows]).tolist(), strict=True))
    assert counts == {"aside/food": 20, "brakes/noise": 2, "brakes/soft": 2, "tyres/flat": 2}
    assert evenly(coded, labels, 10_000).tolist() == list(range(len(coded)))


def test_what_is_learnt_from_some_examples_reads_no_others_and_no_text_that_words_tell(
    examples: Examples,
) -> None:
    read: list[str] = []

    def watched(texts: Sequence[str]) -> Vectors:
        read.extend(texts)
        return encode(texts)

    some = train(examples, str.lower, watched, most_read=60)

    assert len(read) == 60
    assert set(read) <= set(examples.texts)
    names = some.labels.names
    asks = ["the pads are shrieking", "the tube goes down over night"]
    assert [names[best] for best in some.sort(asks).chances.argmax(axis=1)] == ["brakes/noise", "tyres/flat"]

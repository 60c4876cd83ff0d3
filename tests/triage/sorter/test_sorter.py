"""The sorter on a small invented set: topics, labels, what is none of them, and what it says of itself."""

from __future__ import annotations

import numpy as np
import pytest

from triage.sorter import Examples, examples_of_file
from triage.sorter.examples import ExamplesError
from triage.sorter.folds import folds
from triage.sorter.measure import cross_read, figures_of, read_with
from triage.sorter.sorter import Labels, Sorted, unsure
from triage.sorter.teach import train

SUBJECTS = {
    "wheels/spokes": ("spoke snapped", "broken spoke", "spokes loose", "nipple spins", "spoke pinged"),
    "wheels/rims": ("rim worn", "rim cracked", "rim bulges", "brake track thin", "rim dented"),
    "chain/skips": ("chain skips", "chain jumps", "gears slip", "chain slipping", "skipping sprocket"),
    "chain/rust": ("chain rusty", "rust on chain", "orange chain", "rusted links", "chain corroded"),
    "aside/cooking": (
        "boil the rice",
        "bake bread",
        "my soup is salty",
        "roast the onions",
        "recipe for cake",
    ),
}
WAYS = (
    "{}, what now",
    "help, {}",
    "is it bad that {}",
    "yesterday {} on the hill",
    "{} again",
    "my dad says {}",
)


@pytest.fixture(scope="module")
def examples() -> Examples:
    pairs = [(way.format(said), label) for label, some in SUBJECTS.items() for said in some for way in WAYS]
    return Examples([t for t, _ in pairs], [n for _, n in pairs], frozenset({"aside"}))


@pytest.fixture(scope="module")
def sorter(examples):
    return train(examples, str.lower)


def test_it_finds_topic_and_label_of_words_it_has_not_met_together(sorter):
    found = sorter.sort(["a spoke of my wheel is broken", "the chain is all rust"])

    first = [found.labels.names[i] for i in found.chances.argmax(axis=1)]
    assert first == ["wheels/spokes", "chain/rust"]
    assert (found.outside < 0.5).all()


def test_what_is_no_question_for_the_desk_is_told_apart(sorter):
    found = sorter.sort(["how long do I bake the bread and the cake", "the rim is cracked"])

    assert found.outside[0] > 0.5 > found.outside[1]


def test_chances_add_up_to_one_over_the_desks_own_labels(sorter):
    found = sorter.sort(["rim", "", "zzz qqq"])

    assert np.allclose(found.chances.sum(axis=1), 1)
    assert np.allclose(found.topics().sum(axis=1), 1)
    assert found.chances[:, found.labels.names.index("aside/cooking")].max() == 0


def test_the_story_around_an_ask_counts_less_than_an_ask_that_says_what_it_is_about(sorter):
    telling, hollow = "rusted chain skips and jumps, gears slip on sprocket", "chain again"
    story = "I also had a broken spoke and loose spokes last year"
    chain, wheels = (sorter.labels.topics.index(topic) for topic in ("chain", "wheels"))

    alone = sorter.sort([telling, hollow]).topics().argmax(axis=1)
    told = sorter.sort([telling, hollow], [story, story]).topics().argmax(axis=1)

    assert alone.tolist() == [chain, chain]
    assert told.tolist() == [chain, wheels]


def test_no_near_twin_stands_on_both_sides_of_a_fold():
    dice = np.random.default_rng(1)
    texts = [" ".join(f"w{word}" for word in dice.integers(0, 900, 12)) for _ in range(40)]
    texts += [text + " please" for text in texts[:20]]
    coded = np.asarray([n % 2 for n in range(60)])

    for seen, unseen in folds(texts, coded, 4):
        first = {texts[i].removesuffix(" please") for i in seen}
        assert not first & {texts[i].removesuffix(" please") for i in unseen}
        assert sorted([*seen, *unseen]) == list(range(60))
        assert len(unseen) >= 10


def test_the_figures_are_those_of_a_count_by_hand(sorter):
    reading = read_with(
        sorter, ["broken spoke", "chain jumps", "bake bread", "rim worn"],
        ["wheels/spokes", "chain/rust", "aside/cooking", "chain"], frozenset({"aside"}),
    )  # fmt: skip
    figures = figures_of(reading)

    assert (figures["inside"], figures["outside"]) == (3, 1)
    assert figures["topic_accuracy"] == round(2 / 3, 4)
    assert figures["label_first"] == 0.5
    assert figures["confusion"] == {"names": ["chain", "wheels"], "counts": [[1, 1], [0, 1]]}
    assert figures["worst_misses"][0]["text"] == "rim worn"
    assert figures["outside_caught"][0]["caught"] == 1.0


def test_cross_validation_reads_every_example_once(examples):
    reading = cross_read(examples, str.lower, 3)

    assert sorted(reading.texts) == sorted(examples.texts)
    assert figures_of(reading)["topic_accuracy"] > 0.9


@pytest.mark.parametrize(
    ("content", "says"),
    [
        ("text,kind\na,b\n", "no column label; found text, kind"),
        ("text,label\na,\n", "row 1: a text or a label is empty"),
        ("text,label\n", "holds no rows"),
    ],
)
def test_a_labelled_file_that_will_not_do_is_named_with_its_fault(tmp_path, content, says):
    file = tmp_path / "labelled.csv"
    file.write_text(content)

    with pytest.raises(ExamplesError, match=says) as caught:
        examples_of_file(file)

    assert str(file) in str(caught.value)


@pytest.mark.parametrize(
    ("chance", "outside", "is_unsure"),
    [(0.85, 0.05, False), (0.85, 0.2, True), (0.97, 0.2, False), (0.97, 0.4, True), (0.5, 0.95, False)],
)
def test_a_label_told_more_surely_leaves_more_open_whether_it_is_ours(
    chance: float, outside: float, is_unsure: bool
) -> None:
    labels = Labels(["a", "b"], ["a", "b"], np.array([0, 1]), np.zeros(2, dtype=bool))
    found = Sorted(labels, np.array([[chance, 1 - chance]]), np.array([outside]), np.zeros((1, 1)))
    assert unsure(found).tolist() == [is_unsure]

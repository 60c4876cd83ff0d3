"""Near twins: sketches, bands and leaders, on planted twins."""

from __future__ import annotations

import random

import numpy as np
from rapidfuzz import fuzz

from triage.alike import band_keys, close_pairs, leaders_of, sketch, words_of


def test_digits_and_letters_are_words_of_their_own():
    assert words_of("Will 28mm fit?") == words_of("will 28 mm FIT")


def test_the_agreement_of_two_sketches_is_the_share_of_words_that_two_texts_have_in_common():
    """Min-wise hashing (Broder 1997): the expected agreement is the Jaccard share; here 20 of 60 words."""
    one = [f"w{i}" for i in range(40)]
    other = [f"w{i}" for i in range(20, 60)]
    shares = []
    for shift in range(40):
        a, b = sketch([[w + str(shift) for w in one], [w + str(shift) for w in other]])
        shares.append(float((a == b).mean()))

    assert abs(np.mean(shares) - 20 / 60) < 0.04


def test_a_text_does_not_change_its_sketch_with_the_order_or_repetition_of_its_words():
    a, b, c = sketch([["rear", "hub", "play"], ["play", "rear", "hub", "hub"], []])

    assert (a == b).all()
    assert not (a == c).any()
    assert (band_keys(np.stack([a, b]))[0] == band_keys(np.stack([a, b]))[1]).all()


def test_planted_twins_are_found_among_thousands_and_strangers_are_not(knowledge):
    dice = random.Random(5)
    words = [w for brief in knowledge.briefs.values() for text in brief.examples for w in text.split()]
    texts = [" ".join(dice.sample(words, 25)) for _ in range(3000)]
    planted = {}
    for number in range(300):
        first = dice.randrange(3000)
        shuffled = texts[first].split()[3:] + texts[first].split()[:3]
        shuffled[dice.randrange(25)] = "misspelt"
        planted[len(texts)] = first
        texts.append(" ".join(shuffled) + (" many thanks from the coast" if number % 2 else ""))
    plain = [" ".join(words_of(text)) for text in texts]

    leaders = leaders_of(texts, lambda a, b: fuzz.token_set_ratio(plain[a], plain[b]) >= 80)

    found = sum(leaders[late] == leaders[first] for late, first in planted.items())
    assert found >= 0.98 * len(planted)
    assert sum(leaders[i] != i for i in range(3000)) < 15


def test_pairs_are_later_and_earlier_and_in_order():
    pairs = close_pairs(sketch([["a", "b", "c"]] * 4))

    assert pairs.tolist() == sorted(pairs.tolist())
    assert all(later > earlier for later, earlier in pairs.tolist())


def test_nothing_and_one_text_have_no_twins():
    assert leaders_of([]) == []
    assert leaders_of(["one"]) == [0]
    assert leaders_of(["", ""]) == [0, 1]

"""What just missed an episode truly fits with what it pushes out, and says what it lacks."""

from __future__ import annotations

import pytest

from tests.triage.episode.planned import DAY, candidate, keys_of, random_case, rules_with
from triage.episode import plan


@pytest.mark.parametrize("block", range(4))
def test_near_misses_are_the_nearest_and_truly_fit_with_what_they_push_out(block):
    told = 0
    for seed in range(1000 + block * 25, 1025 + block * 25):
        case = random_case(seed, most=8, told=3)
        best = case.best()
        if best is None:
            continue
        made = case.plan()
        items = {item.candidate.key: item.candidate for item in made.items}
        costs = {
            c.key: best[0] - forced[0]
            for c in case.open
            if c.key not in items and (forced := case.best(frozenset({c.key}))) is not None
        }
        assert [miss.costs for miss in made.near_misses] == pytest.approx(
            sorted(costs.values())[:3], abs=2e-3
        ), seed
        for miss in made.near_misses:
            told += 1
            assert miss.costs == pytest.approx(costs[miss.candidate.key], abs=2e-3), seed
            assert set(miss.would_push_out) <= set(items)
            assert not set(miss.would_bring_in) & set(items)
            after = set(items) - set(miss.would_push_out) | set(miss.would_bring_in) | {miss.candidate.key}
            changed = [c for c in case.open if c.key in after]
            assert case.broken(changed) == set(), seed
            assert case.score(changed) == pytest.approx(best[0] - miss.costs, abs=2e-3), seed
            assert not case.pinned & set(miss.would_push_out)
    assert told >= 3


@pytest.mark.parametrize(
    ("missed", "lacks", "pushes_out"),
    [
        ({"brief": "tyres/a"}, 'its brief is told already: "A"', ("a",)),
        ({"topic": "wheels", "seconds": 140}, "it takes 2 min 20 s, and 1 min 16 s are left", ("b",)),
        ({"topic": "tyres"}, "tyres has 2 items already", ("b",)),
        (
            {"topic": "wheels", "seconds": 200},
            'it is over 2 min 30 s, and there is one such already: "C"',
            ("c",),
        ),
        ({"kind": "closer", "topic": "other"}, 'there is a closer already: "D"', ("d",)),
    ],
)
def test_a_near_miss_says_what_it_lacks_and_what_it_would_push_out(missed, lacks, pushes_out):
    inside = [
        candidate("a", asked_by=9),
        candidate("b", asked_by=8, seconds=100),
        candidate("c", asked_by=9, topic="brakes", seconds=160),
        candidate("d", asked_by=9, kind="closer", topic="other", seconds=30),
    ]
    rules = rules_with(
        mix_of_one_topic_at_most=2, mix_topics_at_least=0, near_misses_told=1, time_slack_seconds=200
    )

    made = plan([*inside, candidate("x", **{"asked_by": 1, **missed})], rules, 478, DAY)

    assert sorted(keys_of(made)) == ["a", "b", "c", "d"]
    (miss,) = made.near_misses
    assert (miss.candidate.key, miss.lacks, miss.would_push_out, miss.would_bring_in) == (
        "x",
        lacks,
        pushes_out,
        (),
    )


def test_no_room_in_number_is_what_a_near_miss_lacks():
    found = [candidate(key, asked_by=number, topic=f"t{key}") for number, key in enumerate("abc")]

    made = plan(found, rules_with(mix_items_at_most=2, mix_topics_at_least=0), 900, DAY)

    assert [(miss.lacks, miss.would_push_out) for miss in made.near_misses] == [
        ("the episode has its 2 items", ("b",))
    ]
    assert made.near_misses[0].costs == pytest.approx(10.0)

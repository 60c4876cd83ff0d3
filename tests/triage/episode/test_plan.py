"""A plan is the best there is by the rules, and says why."""

from __future__ import annotations

import random
from collections import Counter
from datetime import date, timedelta

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.triage.episode.planned import (
    DAY,
    FREE,
    RULES,
    SHIPPED,
    TOPICS,
    VERDICTS,
    Case,
    candidate,
    keys_of,
    plan_or_clash,
    random_case,
    rules_with,
)
from triage.episode import ClashingRulesError, plan
from triage.episode.candidate import total, worth_of

# The best there is.


@pytest.mark.parametrize("block", range(14))
def test_a_plan_is_as_good_as_the_best_of_all_choices_and_takes_the_earliest_keys_of_equal_ones(block):
    solved = 0
    for seed in range(block * 25, block * 25 + 25):
        case = random_case(seed)
        best = case.best()
        made = plan_or_clash(case)
        if isinstance(made, ClashingRulesError):
            assert best is None, seed
            continue
        items = [item.candidate for item in made.items]
        if best is None:  # only what corrections leave no room for may be missing, and the plan says so
            assert case.broken(items) <= {"topics_at_least", "at_least_one_of", "closer"}, seed
            assert case.corrections, seed
            assert any(note.startswith("The corrections leave") for note in made.notes), seed
            continue
        solved += 1
        assert case.broken(items) == set(), seed
        assert made.worth == pytest.approx(best[0], abs=2e-3), seed
        assert case.score(items) == pytest.approx(best[0], abs=1e-6), seed
        assert sum(case.place[c.key] for c in items) == best[1], seed
        assert made.seconds == pytest.approx(case.length(items)), seed
    assert solved >= 5


def best_by_table(candidates, rules, seconds) -> float:
    """The best worth by dynamic programming, in steps of five seconds: one of a brief, so many of a topic, so many in all.

    Every brief is of one topic, every length is whole steps, and nothing else is asked of the choice.
    """
    steps, most = int(seconds // 5), rules.mix.of_one_topic_at_most
    whole = np.full((rules.mix.items_at_most + 1, steps + 1), -np.inf)
    whole[0] = 0.0

    def with_one(table, others):
        better = table.copy()
        for c in others:
            step, worth = int(c.seconds // 5), total(worth_of(c, rules, DAY))
            better[1:, step:] = np.maximum(better[1:, step:], table[:-1, : steps + 1 - step] + worth)
        return better

    for topic in sorted({c.topic for c in candidates}):
        of_topic = np.full((most + 1, steps + 1), -np.inf)
        of_topic[0] = 0.0
        for brief in sorted({c.brief for c in candidates if c.topic == topic}):
            of_topic = with_one(of_topic, [c for c in candidates if c.brief == brief])
        joined = whole.copy()
        for count in range(1, most + 1):
            for step in range(steps + 1):
                if np.isfinite(of_topic[count, step]):
                    shifted = whole[:-count, : steps + 1 - step] + of_topic[count, step]
                    joined[count:, step:] = np.maximum(joined[count:, step:], shifted)
        whole = joined
    return float(whole.max())


@pytest.mark.parametrize("seed", range(8))
def test_the_best_of_hundreds_is_found_whatever_is_left_aside_on_the_way(seed):
    chance = random.Random(seed)
    rules = rules_with(
        **{
            **FREE,
            "mix_of_one_topic_at_most": 1 + seed % 3,
            "mix_items_at_most": 9,
            "mix_long_over_seconds": 900,
        },
        near_misses_told=0,
    )
    found = []
    for number in range(400):
        topic = chance.choice((*TOPICS, "cranks", "bearings"))
        found.append(
            candidate(
                f"{number:03}",
                topic=topic,
                brief=f"{topic}/{chance.randrange(25)}",
                seconds=5.0 * chance.randrange(5, 30),
                asked_by=chance.randrange(12),
                received=DAY - timedelta(days=chance.randrange(90)),
                figures=chance.randrange(4),
                is_safety=chance.random() < 0.1,
            )
        )

    made = plan(found, rules, 600, DAY)

    assert made.worth == pytest.approx(best_by_table(found, rules, 600), abs=1e-3)


def test_the_same_plan_comes_out_whatever_the_order_the_candidates_come_in():
    case = random_case(17)
    shuffled = list(case.given)
    random.Random(1).shuffle(shuffled)

    assert Case(shuffled, case.rules, case.seconds, case.pinned, case.dropped).plan() == case.plan()
    equal = [candidate(key, topic=topic) for key, topic in zip("fedcba", TOPICS * 2, strict=True)]
    made = plan(equal, rules_with(**{**FREE, "mix_of_one_topic_at_most": 1}), 200, DAY)
    assert sorted(keys_of(made)) == ["a", "b", "c"]


def test_a_shorter_episode_costs_what_the_rules_say():
    rules = rules_with(time_missing_second=0.5)

    made = plan([candidate("a", verdict="yes")], rules, 600, DAY)

    assert made.seconds == 20 + 60 + 20
    assert made.missing_seconds == 600 - 60 - 100
    assert made.worth == pytest.approx(18.5 + 10 - 440 * 0.5)
    assert made.notes == ("The rules ask for 3 topics; what is signed has 1 topic.",)


def test_nothing_signed_is_an_empty_plan():
    made = plan([candidate("a", is_signed=False)], SHIPPED, 600, DAY)

    assert (made.items, made.near_misses, made.seconds) == ((), (), 40.0)
    assert plan([], SHIPPED, 600, DAY).items == ()


def test_a_key_that_stands_twice_is_refused():
    with pytest.raises(ValueError, match=r"^candidates: a: stands twice$"):
        plan([candidate("a"), candidate("a")], SHIPPED, 600, DAY)


# What may be said of every plan.


@st.composite
def cases(draw) -> Case:
    """Like the random ones, chosen by Hypothesis so that it can shrink what fails."""
    count = draw(st.integers(1, 14))
    days_ago = st.integers(0, 120).map(lambda days: DAY - timedelta(days=days))
    found = [
        candidate(
            f"k{number:02}",
            kind=draw(st.sampled_from(["question"] * 6 + ["correction", "promise", "closer"])),
            topic=(topic := draw(st.sampled_from(TOPICS))),
            brief=draw(st.sampled_from([None, *(f"{topic}/{letter}" for letter in "abcdefgh")])),
            verdict=draw(st.sampled_from(VERDICTS)),
            seconds=draw(st.integers(100, 2000)) / 10,
            asked_by=draw(st.integers(0, 20)),
            received=draw(days_ago),
            is_signed=draw(st.integers(0, 9)) > 0,
            last_answered=draw(st.none() | days_ago),
            has_changed=draw(st.booleans()),
            related=draw(st.sampled_from([(), ("tyres/a",), ("brakes/b",)])),
        )
        for number in range(count)
    ]
    signed = [c.key for c in found if c.is_signed]
    pinned = frozenset(draw(st.lists(st.sampled_from(signed), max_size=2)) if signed else ())
    dropped = frozenset(draw(st.lists(st.sampled_from([c.key for c in found]), max_size=3))) - pinned
    rules = rules_with(mix_topics_at_least=draw(st.integers(0, 3)), near_misses_told=2, near_misses_tried=4)
    return Case(found, rules, draw(st.integers(120, 1200)), pinned, dropped)


@settings(max_examples=100, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(cases())
def test_every_plan_keeps_to_time_mix_and_wishes_and_is_in_order(case):
    made = plan_or_clash(case)
    if isinstance(made, ClashingRulesError):
        assert made.clash
        assert all(name in RULES or name.removeprefix("pin:") in case.pinned for name in made.clash)
        return
    items = [item.candidate for item in made.items]
    keys, kinds = [c.key for c in items], [c.kind for c in items]
    mix = case.rules.mix
    assert case.length(items) <= case.seconds + 1e-6
    assert made.seconds == pytest.approx(case.length(items))
    assert len(set(keys)) == len(keys) <= mix.items_at_most
    assert set(keys) >= case.pinned
    assert not set(keys) & case.dropped
    assert all(c.is_signed for c in items)
    free = [c for c in items if c.kind != "correction"]
    briefs = Counter(c.brief for c in free if c.brief)
    assert all(count == 1 for count in briefs.values())
    assert not set(briefs) & {c.brief for c in items if c.kind == "correction"}
    assert sum(c.seconds > mix.long_over_seconds for c in free) <= mix.long_at_most
    assert not any(case.too_soon(c) for c in free)
    assert case.broken(items) <= {"topics_at_least", "at_least_one_of", "closer"}
    assert not case.broken(items) or any("leave" in note for note in made.notes)
    assert [c for c in items if c.kind == "correction"] == sorted(
        case.corrections, key=lambda c: (c.received, c.key)
    )
    rank = {"correction": 0, "promise": 1, "question": 2, "closer": 3}
    assert [rank[kind] for kind in kinds] == sorted(rank[kind] for kind in kinds)
    assert kinds.count("closer") <= 1
    for miss in made.near_misses:
        changed = [c for c in case.open if c.key in {*keys, miss.candidate.key, *miss.would_bring_in}]
        changed = [c for c in changed if c.key not in miss.would_push_out]
        assert case.broken(changed) <= case.broken(items)
        assert case.score(changed) == pytest.approx(case.score(items) - miss.costs, abs=2e-3)


# Why, in words.


def test_each_choice_says_why():
    found = [
        candidate("a", asked_by=9, is_safety=True, figures=2, last_answered=date(2026, 9, 2), likes=23),
        candidate("b", kind="promise", topic="brakes", received=date(2026, 10, 1), asked_by=1),
        candidate("c", kind="correction", topic="wheels", received=date(2026, 11, 1), asked_by=0),
        candidate("d", kind="closer", topic="other", asked_by=1),
        candidate(
            "e", topic="brakes", verdict="not-recommended", figures=1, is_urgent=True, teaches=True,
            terms=("spider", "bolt circle"), last_answered=date(2026, 11, 20), has_changed=True,
        ),
    ]  # fmt: skip

    made = plan(found, SHIPPED, 900, DAY, pinned=frozenset("e"))

    assert {item.candidate.key: item.why for item in made.items} == {
        "a": (
            "asked by 9", "23 likes", "a safety matter", "two figures decide it", "came in on 2026-11-26",
            "not answered since 2026-09-02",
        ),
        "b": ("a promise kept", "asked by 1"),
        "c": ("a correction",),
        "d": ("light enough to end on", "asked by 1", "came in on 2026-11-26", "never answered on air"),
        "e": (
            "pinned by the desk", "asked by 2", "urgent", "one figure decides it", "has a checklist",
            "explains spider and bolt circle", "came in on 2026-11-26", "answered on 2026-11-20, and changed since",
            "the not-recommended of the mix",
        ),
    }  # fmt: skip


def test_the_worth_is_told_by_its_parts():
    parts = dict(
        worth_of(
            candidate(
                "a", kind="promise", asked_by=1, likes=10, received=DAY - timedelta(days=14), is_safety=True,
                is_urgent=True, figures=5, teaches=True, terms=("a", "b", "c", "d"),
            ),
            SHIPPED,
            DAY,
        )
    )  # fmt: skip

    assert parts == {
        "promise": 60, "asked_by": 18.5, "fresh": 5, "safety": 25, "urgent": 12, "figures": 12, "teaches": 8, "terms": 6,
    }  # fmt: skip
    assert dict(worth_of(candidate("b", kind="correction", received=date(2020, 1, 1)), SHIPPED, DAY)) == {
        "correction": 100, "asked_by": 18.5,
    }  # fmt: skip
    linear = rules_with(weights_each_further=1)
    assert dict(worth_of(candidate("c", asked_by=7), linear, DAY))["asked_by"] == 70


@pytest.mark.parametrize(
    ("days_ago", "changed", "kind", "comes_in"),
    [
        (55, False, "question", False),
        (56, False, "question", True),
        (1, True, "question", True),
        (1, False, "promise", True),
        (1, False, "correction", True),
        (1, False, "closer", False),
    ],
)
def test_an_answer_of_the_last_eight_weeks_stays_out_unless_it_changed(days_ago, changed, kind, comes_in):
    told = DAY - timedelta(days=days_ago)
    one = candidate("a", kind=kind, last_answered=told, has_changed=changed)

    assert keys_of(plan([one], SHIPPED, 300, DAY)) == ["a"] * comes_in


# Corrections come before everything.


def test_corrections_that_exceed_the_time_come_in_oldest_first_and_the_rest_is_told():
    found = [
        candidate(key, kind="correction", seconds=200, received=DAY - timedelta(days=age), brief=None)
        for key, age in (("a", 1), ("b", 9), ("c", 5), ("d", 2))
    ]

    made = plan([*found, candidate("q", topic="brakes", asked_by=50)], SHIPPED, 480, DAY)

    assert keys_of(made) == ["b", "c"]
    assert made.notes == (
        "The corrections take 14 min 12 s with opening, links and farewell; the episode has 8 min. "
        '"D" and "A" wait for the next one.',
        "The rules ask for 3 topics; what is signed has 2 topics.",
        "The corrections leave room for 1 topic; the rules ask for 3 topics.",
    )


def test_more_corrections_than_items_are_told_too():
    found = [candidate(key, kind="correction", brief=None) for key in "abc"]

    made = plan(found, rules_with(mix_items_at_most=2, mix_topics_at_least=1), 900, DAY)

    assert keys_of(made) == ["a", "b"]
    assert made.notes == ('There are 3 corrections; the rules allow 2 items. "C" waits for the next one.',)


def test_what_corrections_leave_no_room_for_is_told():
    found = [
        candidate("a", kind="correction", seconds=120, verdict="yes"),
        candidate("b", kind="closer", topic="other", seconds=60),
        candidate("c", topic="brakes", verdict="inspect-first", seconds=60),
    ]

    made = plan(found, rules_with(mix_topics_at_least=1), 180, DAY)

    assert keys_of(made) == ["a"]
    assert made.notes == (
        "The corrections leave no room for not-recommended or inspect-first.",
        "The corrections leave no room for a closer.",
    )


def test_corrections_are_in_whatever_the_mix_says_and_count_in_it():
    found = [
        candidate(key, kind="correction", brief="tyres/z", seconds=160, topic="tyres") for key in ("a", "b")
    ]
    others = [
        candidate("same-topic", asked_by=30),
        candidate("long", topic="brakes", seconds=151),
        candidate("same-brief", topic="wheels", brief="tyres/z"),
        candidate("fits", topic="cranks"),
    ]

    made = plan([*found, *others], rules_with(mix_of_one_topic_at_most=1), 900, DAY)

    assert keys_of(made) == ["a", "b", "fits"]

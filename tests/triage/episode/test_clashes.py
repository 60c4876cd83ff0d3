"""Wishes and rules that cannot be kept together are named, and no more of them than it takes."""

from __future__ import annotations

from datetime import date
from itertools import combinations

import pytest

from tests.triage.episode.planned import (
    DAY,
    RULES,
    SHIPPED,
    candidate,
    plan_or_clash,
    random_case,
    rules_with,
)
from triage.episode import ClashingRulesError, Plan, plan


def clash_of(candidates, rules, seconds, pinned=(), dropped=()):
    with pytest.raises(ClashingRulesError) as caught:
        plan(candidates, rules, seconds, DAY, frozenset(pinned), frozenset(dropped))
    return caught.value


@pytest.mark.parametrize(
    ("found", "changed", "seconds", "pinned", "clash", "message"),
    [
        (
            [candidate(key, seconds=208, topic=key) for key in "abcde"],
            {"mix_long_over_seconds": 300},
            900,
            "abcde",
            ("pin:a", "pin:b", "pin:c", "pin:d", "pin:e", "time"),
            "The pinned items alone take 17 min 20 s; the episode has 15 min.",
        ),
        (
            [candidate(key, seconds=140, topic=key) for key in "abc"],
            {},
            440,
            "abc",
            ("pin:a", "pin:b", "pin:c", "time"),
            "The pinned items take 7 min 48 s with opening, links and farewell; the episode has 7 min 20 s.",
        ),
        (
            [candidate("a", seconds=140), candidate("b", seconds=20)],
            {},
            120,
            "ab",
            ("pin:a", "time"),
            'The pinned "A" alone takes 2 min 20 s; the episode has 2 min.',
        ),
        (
            [candidate("a", seconds=90), candidate("c", kind="correction", seconds=90, topic="brakes")],
            {"mix_topics_at_least": 1},
            200,
            "a",
            ("pin:a", "time", "corrections"),
            'The correction and the pinned "A" take 3 min 44 s with opening, links and farewell; '
            "the episode has 3 min 20 s.",
        ),
        (
            [candidate("a", seconds=170, topic="brakes"), candidate("b", seconds=180)],
            {},
            900,
            "ab",
            ("pin:a", "pin:b", "long_at_most"),
            'These cannot all hold: "A" is pinned (2 min 50 s); "B" is pinned (3 min); at most 1 item over 2 min 30 s. '
            "Let go of one of them.",
        ),
        (
            [candidate("a", brief="x/y"), candidate("b", brief="x/y"), candidate("c")],
            {},
            900,
            "abc",
            ("pin:a", "pin:b", "one_of_a_brief"),
            'These cannot all hold: "A" is pinned (brief x/y); "B" is pinned (brief x/y); one item a brief. '
            "Let go of one of them.",
        ),
        (
            [candidate("a", last_answered=date(2026, 11, 2))],
            {},
            900,
            "a",
            ("pin:a", "weeks_between"),
            'These cannot all hold: "A" is pinned (answered on 2026-11-02); 8 weeks between two answers by one brief. '
            "Let go of one of them.",
        ),
        (
            [candidate(key) for key in "abcd"],
            {"mix_topics_at_least": 1},
            900,
            "abcd",
            ("pin:a", "pin:b", "pin:c", "pin:d", "of_one_topic_at_most"),
            'These cannot all hold: "A" is pinned (tyres); "B" is pinned (tyres); "C" is pinned (tyres); '
            '"D" is pinned (tyres); at most 3 items of one topic. Let go of one of them.',
        ),
        (
            [candidate(key, kind="closer", topic="other") for key in "ab"],
            {},
            900,
            "ab",
            ("pin:a", "pin:b", "one_closer"),
            'These cannot all hold: "A" is pinned (a closer); "B" is pinned (a closer); one closer. Let go of one of them.',
        ),
        (
            [candidate(key, topic=key) for key in "abc"],
            {"mix_items_at_most": 2},
            900,
            "",
            ("items_at_most", "topics_at_least"),
            "These cannot all hold: at most 2 items; at least 3 topics. Let go of one of them.",
        ),
        (
            [candidate("a"), candidate("b", kind="closer", topic="other", seconds=90)],
            {},
            100,
            "",
            ("time", "closer"),
            "These cannot all hold: 1 min 40 s in all, with opening, links and farewell; a closer at the end. "
            "Let go of one of them.",
        ),
        (
            [candidate("a", asked_by=9), candidate("b", topic="brakes", verdict="inspect-first")],
            {"mix_topics_at_least": 1, "mix_items_at_most": 1},
            900,
            "a",
            ("pin:a", "items_at_most", "at_least_one_of"),
            'These cannot all hold: "A" is pinned (yes); at most 1 item; at least one not-recommended or inspect-first. '
            "Let go of one of them.",
        ),
        (
            [],
            {},
            30,
            "",
            ("time",),
            "Opening and farewell alone take 40 s; the episode has 30 s.",
        ),
        ([], {}, 900, "q", ("pin:q",), "q is pinned, and is not among what can be planned."),
        (
            [candidate("a", is_signed=False)],
            {},
            900,
            "a",
            ("pin:a",),
            '"A" is pinned, and nobody has signed it.',
        ),
    ],
)  # fmt: skip
def test_wishes_that_cannot_be_met_name_what_clashes(found, changed, seconds, pinned, clash, message):
    error = clash_of(found, rules_with(**changed), seconds, pinned)

    assert str(error) == message
    assert error.clash == clash


def test_pinned_and_dropped_at_once_is_refused():
    error = clash_of([candidate("a")], SHIPPED, 900, "a", "a")

    assert str(error) == '"A" is both pinned and dropped.'


def test_a_clash_cannot_be_kept_and_can_without_any_one_of_it():
    clashes = 0
    for seed in range(3000, 3090):
        case = random_case(seed, most=7)
        made = plan_or_clash(case)
        if isinstance(made, Plan):
            continue
        clashes += 1
        assert not case.can_keep(made.clash), seed
        for name in made.clash:
            assert case.can_keep([other for other in made.clash if other != name]), (seed, name)
        # No fewer rules clash, all pins taken as one wish.
        rules = [name for name in made.clash if name in RULES]
        pins = [f"pin:{key}" for key in case.pinned]
        size = len(rules) + (len(rules) < len(made.clash))
        for some in combinations(("pins", *RULES), size - 1):
            names = [name for name in some if name != "pins"] + (pins if "pins" in some else [])
            assert case.can_keep(names), (seed, some)
    assert clashes >= 10

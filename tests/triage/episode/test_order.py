"""The order of an episode, and the links between its items."""

from __future__ import annotations

import random
from datetime import date
from itertools import pairwise, permutations

import pytest

from knowledge.episode import EpisodeRules
from tests.triage.episode.planned import DAY, SHIPPED, TOPICS, candidate, rules_with
from triage.episode import Candidate, Chosen, in_order, links
from triage.episode.candidate import worth_of
from triage.episode.order import cost_of

# The order.


def chosen(*candidates: Candidate) -> list[Chosen]:
    return [Chosen(c, (), worth_of(c, SHIPPED, DAY)) for c in candidates]


@pytest.mark.parametrize("seed", range(12))
def test_up_to_nine_in_the_middle_are_in_the_cheapest_order(seed):
    chance = random.Random(seed)
    count = 3 + seed % 4
    items = chosen(
        *(
            candidate(
                f"k{number}",
                topic=chance.choice(TOPICS),
                seconds=chance.randrange(20, 150),
                asked_by=chance.randrange(9),
                related=(f"tyres/k{chance.randrange(count)}",),
            )
            for number in range(count)
        ),
        candidate("p", kind="promise", topic="tyres"),
        candidate("z", kind="closer", topic="brakes"),
    )
    middle, ends = items[:count], items[count:]
    cheapest = min(cost_of([ends[0], *order, ends[1]], SHIPPED) for order in permutations(middle))

    ordered = in_order(items, SHIPPED)

    assert cost_of(ordered, SHIPPED) == cheapest
    assert sorted(item.candidate.key for item in ordered) == sorted(item.candidate.key for item in items)
    assert [ordered[0], ordered[-1]] == ends


@pytest.mark.parametrize("seed", range(6))
def test_more_in_the_middle_come_near_the_cheapest_order(seed):
    chance = random.Random(seed)
    items = chosen(
        *(
            candidate(
                f"k{number}", topic=chance.choice(TOPICS), seconds=chance.randrange(20, 150), asked_by=number
            )
            for number in range(9)
        )
    )  # fmt: skip
    exact = cost_of(in_order(items, SHIPPED), SHIPPED)
    shuffled = [cost_of(chance.sample(items, len(items)), SHIPPED) for _ in range(200)]

    near = cost_of(in_order(items, rules_with(order_exact_up_to=1)), SHIPPED)

    assert exact <= near <= min(shuffled)
    assert near - exact <= 0.1 * (sum(shuffled) / len(shuffled) - exact)


def test_corrections_and_promises_come_first_the_oldest_first_and_the_closer_last():
    items = chosen(
        candidate("closer", kind="closer"),
        candidate("weak", asked_by=1, topic="wheels"),
        candidate("new-promise", kind="promise"),
        candidate("strong", asked_by=20, topic="brakes"),
        candidate("new-correction", kind="correction"),
        candidate("old-promise", kind="promise", received=date(2026, 1, 2)),
        candidate("old-correction", kind="correction", received=date(2026, 1, 2)),
    )

    assert [item.candidate.key for item in in_order(items, SHIPPED)] == [
        "old-correction", "new-correction", "old-promise", "new-promise", "strong", "weak", "closer",
    ]  # fmt: skip
    assert in_order([], SHIPPED) == []


def test_neighbours_are_of_other_topics_unless_one_leads_to_the_other():
    apart = in_order(chosen(*(candidate(f"k{n}", topic=TOPICS[n // 2]) for n in range(6))), SHIPPED)
    assert all(one.candidate.topic != other.candidate.topic for one, other in pairwise(apart))

    led = chosen(
        candidate("a", topic="tyres", asked_by=9),
        candidate("b", topic="brakes", brief="brakes/b", asked_by=3),
        candidate("c", topic="tyres", related=("tyres/a",), asked_by=3),
    )
    assert [item.candidate.key for item in in_order(led, SHIPPED)] == ["a", "c", "b"]


def test_lengths_alternate():
    items = chosen(
        *(candidate(key, topic=key, seconds=seconds) for key, seconds in zip("abcd", (140, 130, 30, 40), strict=True))
    )  # fmt: skip

    lengths = [item.candidate.seconds > 100 for item in in_order(items, SHIPPED)]

    assert all(one != other for one, other in pairwise(lengths))


# The links.


def test_links_are_suggested_where_something_links_two_neighbours():
    shown = links(
        chosen(
            candidate("a", kind="correction"),
            candidate("b", kind="correction"),
            candidate("c", kind="promise", topic="brakes"),
            candidate("d", topic="frame-fit"),
            candidate("e", topic="frame-fit"),
            candidate("f", topic="frame-fit"),
            candidate("g", topic="wheels", related=("tyres/f",)),
            candidate("h", topic="cranks", is_safety=True),
            candidate("i", topic="tyres"),
            candidate("j", topic="winter-riding"),
            candidate("k", topic="winter-riding"),
            candidate("l", kind="closer"),
        ),
        SHIPPED,
    )

    assert shown == [
        "One more thing to put right.",
        "You were promised an answer. Here it is.",
        None,
        "Another one on frame and fit.",
        "We stay with frame and fit for one more.",
        "And that leads straight to the next one.",
        "Listen closely to this one.",
        None,
        None,
        "There is more in the pile on winter riding.",
        "And one to finish on.",
    ]
    assert links([], SHIPPED) == links(chosen(candidate("a")), SHIPPED) == []


def test_a_link_is_never_the_same_twice_in_a_row():
    data = SHIPPED.model_dump()
    data["links"]["related"] = data["links"]["same_topic"] = ["Next."]
    one_phrase = EpisodeRules.model_validate(data)
    items = chosen(*(candidate(key, related=("tyres/b",)) for key in "abcd"))

    assert links(items, one_phrase) == ["Next.", None, None]
    spoken = [phrase for phrase in links(chosen(*(candidate(str(n)) for n in range(9))), SHIPPED) if phrase]
    assert len(spoken) == 8
    assert all(one != other for one, other in pairwise(spoken))

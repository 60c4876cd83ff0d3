"""The order of an episode: corrections, kept promises, a strong opener, variety, the closer; and links between them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from knowledge.episode import EpisodeRules
from triage.episode.candidate import Candidate, Chosen

UNITS = 1000
"""Costs are counted in thousandths of a point, whole numbers, so that equal costs are equal."""
ROUNDS = 50
"""Passes over an order that is not worked out exactly; it settles long before."""
STARTS = 5
"""Orders that are bettered, the best of them to be taken."""
Costs = tuple[list[int], list[list[int]], list[int]]
"""Of each item as the first, of each pair as neighbours, of each item as the last: thousandths of a point."""


def in_order(items: Sequence[Chosen], rules: EpisodeRules) -> list[Chosen]:
    """The items in the order of the show.

    Corrections come first and kept promises next, each the oldest first, and the closer comes last. What lies between
    has the least cost by the rules; up to `order.exact_up_to` items that is exact, beyond it near enough. Of equal
    orders the one is taken whose keys come first.
    """
    by_age = sorted(items, key=lambda item: (item.candidate.received, item.candidate.key))
    first = [item for kind in ("correction", "promise") for item in by_age if item.candidate.kind == kind]
    last = [item for item in by_age if item.candidate.kind == "closer"]
    middle = sorted(
        (item for item in items if item.candidate.kind == "question"), key=lambda item: item.candidate.key
    )
    costs = _costs(middle, first[-1] if first else None, last[0] if last else None, rules)
    places = _exactly(costs) if len(middle) <= rules.order.exact_up_to else _nearly(costs)
    return [*first, *(middle[place] for place in places), *last]


def cost_of(items: Sequence[Chosen], rules: EpisodeRules) -> float:
    """What an order costs between the last promise and the closer, in points: what `in_order` makes least."""
    kinds = [item.candidate.kind for item in items]
    begin = sum(kind in ("correction", "promise") for kind in kinds)
    end = len(kinds) - kinds.count("closer")
    middle = list(items[begin:end])
    costs = _costs(
        middle, items[begin - 1] if begin else None, items[end] if end < len(items) else None, rules
    )
    return _sum(list(range(len(middle))), costs) / UNITS


def _costs(middle: list[Chosen], before: Chosen | None, after: Chosen | None, rules: EpisodeRules) -> Costs:
    best = max((item.worth for item in middle), default=0.0) or 1.0
    first = [
        round(UNITS * rules.order.weak_opener * (1 - item.worth / best))
        + (_neighbours(before.candidate, item.candidate, rules) if before else 0)
        for item in middle
    ]
    pairs = [[_neighbours(one.candidate, other.candidate, rules) for other in middle] for one in middle]
    last = [_neighbours(item.candidate, after.candidate, rules) if after else 0 for item in middle]
    return first, pairs, last


def _neighbours(one: Candidate, other: Candidate, rules: EpisodeRules) -> int:
    order = rules.order
    likeness = min(one.seconds, other.seconds) / (max(one.seconds, other.seconds) or 1.0)
    cost = order.alike_in_length * likeness
    if _are_related(one, other):
        cost += order.related
    elif one.topic == other.topic:
        cost += order.same_topic
    return round(UNITS * cost)


def _are_related(one: Candidate, other: Candidate) -> bool:
    return other.brief in one.related or one.brief in other.related


def _sum(places: list[int], costs: Costs) -> int:
    first, pairs, last = costs
    if not places:
        return 0
    between = sum(pairs[one][other] for one, other in pairwise(places))
    return first[places[0]] + between + last[places[-1]]


def _exactly(costs: Costs) -> list[int]:
    """The cheapest order: for each set of items still to come and each item before them, the least cost of the rest."""
    first, pairs, last = costs
    count = len(first)
    if not count:
        return []
    every = (1 << count) - 1
    to_come: list[list[int]] = [list(last)]
    for left in range(1, every + 1):
        members = [item for item in range(count) if left >> item & 1]
        to_come.append(
            [
                0
                if left >> item & 1
                else min(pairs[item][then] + to_come[left ^ (1 << then)][then] for then in members)
                for item in range(count)
            ]
        )
    places: list[int] = []
    left = every
    while left:
        members = [item for item in range(count) if left >> item & 1]
        step = pairs[places[-1]] if places else first
        # The first of equal ones, and so the order whose keys come first.
        then = min(members, key=lambda item: step[item] + to_come[left ^ (1 << item)][item])
        places.append(then)
        left ^= 1 << then
    return places


def _nearly(costs: Costs) -> list[int]:
    """From each item as the first the cheapest next one; the best few with moves and turned stretches while they help."""

    def by_cost(places: list[int]) -> tuple[int, list[int]]:
        return _sum(places, costs), places

    starts = sorted((_greedily(start, costs) for start in range(len(costs[0]))), key=by_cost)
    return min((_bettered(places, costs) for places in starts[:STARTS]), key=by_cost)


def _greedily(start: int, costs: Costs) -> list[int]:
    places = [start]
    left = [item for item in range(len(costs[0])) if item != start]
    while left:
        then = min(left, key=lambda item: costs[1][places[-1]][item])
        places.append(then)
        left.remove(then)
    return places


def _bettered(places: list[int], costs: Costs) -> list[int]:
    for _ in range(ROUNDS):
        best = min(_near_orders(places), key=lambda other: (_sum(other, costs), other))
        if _sum(best, costs) >= _sum(places, costs):
            break
        places = best
    return places


def _near_orders(places: list[int]) -> Iterator[list[int]]:
    for begin in range(len(places)):
        for end in range(begin + 1, len(places) + 1):
            yield places[:begin] + places[begin:end][::-1] + places[end:]
        rest = places[:begin] + places[begin + 1 :]
        for place in range(len(places)):
            yield [*rest[:place], places[begin], *rest[place:]]


def links(items: Sequence[Chosen], rules: EpisodeRules) -> list[str | None]:
    """A suggested spoken link between each two neighbours, one fewer than items; None where nothing links them.

    The phrases are those of the rules, each kind's in turn, and never the same twice in a row.
    """
    said: list[str | None] = []
    used: dict[str, int] = {}
    previous = ""
    for one, other in pairwise(items):
        kind = _link_kind(one.candidate, other.candidate)
        if kind is None:
            said.append(None)
            continue
        topic = rules.topics_spoken.get(other.candidate.topic, other.candidate.topic.replace("-", " "))
        phrases = [phrase.format(topic=topic) for phrase in getattr(rules.links, kind)]
        turn = used.get(kind, 0)
        in_turn = [phrases[(turn + step) % len(phrases)] for step in range(len(phrases))]
        chosen = next((phrase for phrase in in_turn if phrase != previous), None)
        used[kind] = turn + 1
        previous = chosen or previous
        said.append(chosen)
    return said


def _link_kind(one: Candidate, other: Candidate) -> str | None:
    if other.kind != "question":
        return other.kind
    if _are_related(one, other):
        return "related"
    if one.topic == other.topic:
        return "same_topic"
    return "safety" if other.is_safety else None

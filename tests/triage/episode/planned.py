"""What plans are made of in tests: candidates, rules, random cases, and a second way to say what the rules mean."""

from __future__ import annotations

import random
from collections import Counter
from dataclasses import replace
from datetime import date, timedelta
from itertools import combinations

from knowledge.episode import EpisodeRules, load_episode_rules
from triage.episode import Candidate, ClashingRulesError, Plan, plan
from triage.episode.candidate import total, worth_of

DAY = date(2026, 11, 26)
SHIPPED = load_episode_rules()
TOPICS = ("tyres", "brakes", "wheels")
VERDICTS = ("yes", "explain", "not-recommended", "inspect-first")
RULES = (
    "weeks_between", "one_of_a_brief", "one_closer", "long_at_most", "of_one_topic_at_most", "time", "items_at_most",
    "corrections", "topics_at_least", "at_least_one_of", "closer",
)  # fmt: skip


def candidate(key: str, **given) -> Candidate:
    """A signed question of a minute on tyres, asked by two, that came in on the day; what is given goes in its place."""
    plain = Candidate(
        key=key, kind="question", question_id=key, title=key.upper(), topic="tyres", brief=f"tyres/{key}", verdict="yes",
        seconds=60.0, asked_by=2, received=DAY, is_safety=False, is_urgent=False, is_signed=True, figures=0,
        teaches=False, terms=(), last_answered=None, has_changed=False, likes=0, related=(),
    )  # fmt: skip
    return replace(plain, **given)


def rules_with(**changed) -> EpisodeRules:
    """The shipped rules with some in another place: mix_topics_at_least=2."""
    data = SHIPPED.model_dump()
    for name, value in changed.items():
        block = next(block for block in data if name.startswith(block + "_"))
        assert name.removeprefix(block + "_") in data[block], name
        data[block][name.removeprefix(block + "_")] = value
    return EpisodeRules.model_validate(data)


FREE = {
    "mix_topics_at_least": 0, "mix_of_one_topic_at_most": 99, "mix_at_least_one_of": [], "mix_items_at_most": 99,
    "time_opening_seconds": 0, "time_link_seconds": 0, "time_farewell_seconds": 0, "time_slack_seconds": 0,
    "time_missing_second": 0,
}  # fmt: skip


def keys_of(made: Plan) -> list[str]:
    return [item.candidate.key for item in made.items]


# A second way to say what the rules mean, item by item, to hold the plan against.


class Case:
    """One episode to plan, and what every choice from it breaks."""

    def __init__(self, candidates, rules, seconds, pinned=frozenset(), dropped=frozenset()):
        self.given, self.rules, self.seconds = candidates, rules, seconds
        self.pinned, self.dropped = frozenset(pinned), frozenset(dropped)
        able = sorted((c for c in candidates if c.is_signed and c.key not in dropped), key=lambda c: c.key)
        self.place = {c.key: number for number, c in enumerate(able, 1)}
        queue = [c for c in able if c.kind == "correction"]
        queue.sort(key=lambda c: (c.key not in pinned, c.received, c.key))
        self.corrections: list[Candidate] = []
        for one in queue:
            if self.length([*self.corrections, one]) <= seconds + 1e-9:
                self.corrections.append(one)
                if len(self.corrections) > rules.mix.items_at_most:
                    self.corrections.pop()
        self.waiting = [c for c in queue if c not in self.corrections]
        self.open = [c for c in able if c not in self.waiting or c.key in pinned]
        fair = [c for c in self.open if not self.too_soon(c)]
        topics = {c.topic for c in self.open if c.kind != "closer" and (c in fair or c.key in pinned)}
        self.topics_needed = min(rules.mix.topics_at_least, len(topics))
        self.needs_verdict = any(self.wanted(c) for c in fair)
        self.needs_closer = any(c.kind == "closer" for c in fair)

    def plan(self) -> Plan:
        return plan(self.given, self.rules, self.seconds, DAY, self.pinned, self.dropped)

    def length(self, items) -> float:
        time = self.rules.time
        links = max(len(items) - 1, 0) * time.link_seconds
        return time.opening_seconds + time.farewell_seconds + links + sum(c.seconds for c in items)

    def too_soon(self, c) -> bool:
        told = c.last_answered
        if told is None or c.has_changed or c.kind not in ("question", "closer"):
            return False
        return (DAY - told).days < 7 * self.rules.mix.weeks_between

    def wanted(self, c) -> bool:
        return c.kind != "closer" and c.verdict in self.rules.mix.at_least_one_of

    def score(self, items) -> float:
        missing = self.seconds - self.rules.time.slack_seconds - self.length(items)
        cost = self.rules.time.missing_second * max(missing, 0)
        return sum(total(worth_of(c, self.rules, DAY)) for c in items) - cost

    def broken(self, items) -> set[str]:
        """The rules that a choice breaks. A number that corrections alone go beyond stretches to theirs."""
        mix, main = self.rules.mix, [c for c in items if c.kind != "closer"]

        def over(count_of, most) -> bool:
            counted = Counter(found for c in items for found in count_of(c))
            allowed = Counter(found for c in self.corrections for found in count_of(c))
            return any(number > max(most, allowed[what]) for what, number in counted.items())

        closers = len(items) - len(main)
        broken = {
            "weeks_between": any(self.too_soon(c) for c in items),
            "one_of_a_brief": over(lambda c: [c.brief] if c.brief else [], 1),
            "one_closer": closers > 1,
            "long_at_most": over(
                lambda c: ["long"] if c.seconds > mix.long_over_seconds else [], mix.long_at_most
            ),
            "of_one_topic_at_most": over(
                lambda c: [c.topic] if c.kind != "closer" else [], mix.of_one_topic_at_most
            ),
            "time": self.length(items) > self.seconds + 1e-9,
            "items_at_most": len(items) > mix.items_at_most,
            "corrections": not set(self.corrections) <= set(items),
            "topics_at_least": len({c.topic for c in main}) < self.topics_needed,
            "at_least_one_of": self.needs_verdict and not any(self.wanted(c) for c in main),
            "closer": self.needs_closer and closers == 0,
        }
        return {rule for rule, is_broken in broken.items() if is_broken}

    def choices(self):
        """Every choice there is."""
        for size in range(len(self.open) + 1):
            yield from combinations(self.open, size)

    def best(self, forced=frozenset()):
        """The best score that keeps all rules, and the choice of it whose keys come earliest; None where there is none."""
        kept = [
            (self.score(items), items)
            for items in self.choices()
            if {c.key for c in items} >= self.pinned | forced and not self.broken(items)
        ]
        if not kept:
            return None
        best = max(score for score, _ in kept)
        equal = [items for score, items in kept if score > best - 1e-6]
        return best, min(sum(self.place[c.key] for c in items) for items in equal)

    def can_keep(self, clash) -> bool:
        """Whether any choice keeps the named rules and pins."""
        pins = {name.removeprefix("pin:") for name in clash if name.startswith("pin:")}
        return any(
            pins <= {c.key for c in items} and not self.broken(items) & set(clash) for items in self.choices()
        )


def plan_or_clash(case: Case) -> Plan | ClashingRulesError:
    """The plan, or what clashes."""
    try:
        return case.plan()
    except ClashingRulesError as error:
        return error


def random_case(seed: int, most: int = 9, told: int = 0) -> Case:
    """A small episode with everything in it: corrections, promises, closers, repeats, long ones, equal ones, wishes."""
    chance = random.Random(seed)
    coarse = chance.random() < 0.4  # many worth and long the same

    def one(number: int) -> Candidate:
        topic = chance.choice(TOPICS)
        kinds = ("question", "correction", "promise", "closer")
        return candidate(
            f"{chance.randrange(1000):03}-{number}",
            kind=chance.choices(kinds, (10, 1.5, 1.5, 2))[0],
            topic=topic,
            brief=chance.choice([None, *(f"{topic}/{letter}" for letter in "abcd"), "shared/x"]),
            verdict=chance.choice(VERDICTS),
            seconds=chance.choice([40.0, 60.0]) if coarse else chance.randrange(150, 1300) / 10,
            asked_by=1 if coarse else chance.randrange(8),
            received=DAY if coarse else DAY - timedelta(days=chance.randrange(60)),
            is_safety=chance.random() < 0.2,
            is_signed=chance.random() < 0.95,
            figures=0 if coarse else chance.randrange(4),
            teaches=chance.random() < 0.5,
            last_answered=DAY - timedelta(days=chance.randrange(120)) if chance.random() < 0.3 else None,
            has_changed=chance.random() < 0.2,
        )

    found = [one(number) for number in range(chance.randrange(1, most + 1))]
    rules = rules_with(
        mix_topics_at_least=chance.randrange(4),
        mix_of_one_topic_at_most=chance.randrange(1, 4),
        mix_at_least_one_of=chance.choice([[], ["not-recommended"], ["not-recommended", "inspect-first"]]),
        mix_long_over_seconds=chance.choice([50, 90, 300]),
        mix_long_at_most=chance.choice([0, 1, 1, 2]),
        mix_items_at_most=chance.choice([2, 4, 15]),
        time_slack_seconds=chance.choice([0, 30]),
        time_missing_second=chance.choice([0, 0.1, 0.5, 2]),
        near_misses_told=told,
        near_misses_tried=99,
    )
    signed = [c.key for c in found if c.is_signed]
    pinned = frozenset(chance.sample(signed, min(len(signed), chance.choice([0, 0, 0, 1, 1, 2]))))
    dropped = frozenset(key for key in signed if chance.random() < 0.1) - pinned
    return Case(found, rules, chance.choice([60, 180, 300, 420.5]), pinned, dropped)

"""No way of leaving facts out gets an unsafe yes, no caution is ever lost, and nothing said exceeds a stated limit."""

from __future__ import annotations

import html
import random
import re
from dataclasses import replace

import pytest

from knowledge.load import load
from knowledge.numbers import for_the_ear
from knowledge.phrases import load_phrases
from knowledge.resolve import plan
from knowledge.units import unit_of
from triage.decide import decide
from triage.draft import draft
from triage.match import match
from triage.output.papers import sheet
from triage.output.totals import Totals
from triage.record_line import as_line
from triage.records import Classified, Detail, Extracted, Message, Question

KNOWLEDGE = load()
PHRASES = load_phrases()
SAFETY = [brief for brief in KNOWLEDGE.briefs.values() if brief.safety]
GUARDED = [
    brief
    for brief in KNOWLEDGE.briefs.values()
    if any(unit_of(need.name).symbol in ("kPa", "N·m", "°C") for need in brief.needs)
]
TRIES_IN_ALL = 10_000
TRIES = -(-TRIES_IN_ALL // len(SAFETY))
MESSAGE = Message("m", "mail", None, "Ana", "Ana", None, None, "Is it safe?", "f", "")
LIMITS = ("tyre_max_pressure_kpa", "rim_max_pressure_kpa", "stated_torque_n_m")
# What a sentence may name, in the unit of the limit. Factors: 1 bar is 100 kPa, 1 psi is 6.894757 kPa (exact
# definitions of the bar and the pound-force an inch squared).
AMOUNTS = (
    (re.compile(r"(?<![\w.,−-])(\d+(?:\.\d+)?)\sbar\b(?! a day)"), "kPa", 100.0),
    (re.compile(r"(?<![\w.,−-])(\d+(?:\.\d+)?)\spsi\b"), "kPa", 6.894757),
    (re.compile(r"(?<![\w.,−-])(\d+(?:\.\d+)?)\s(?:N·m|Nm|N m)\b"), "N·m", 1.0),
)
PERSONS = {"mechanic", "workshop", "repairer", "builder", "fitter", "doctor", "dealer"}
PRINTED_ROUNDING = 0.02
"""5 bar is 72.5 psi, which a mail prints as 73."""


def stated_at_random(brief, seed, chance_of_each=0.5, more=()):
    """A question that states a random part of what the brief needs, at random plausible values."""
    chance = random.Random(f"{brief.id}{seed}")
    details = list(more)
    for need in brief.needs:
        if chance.random() < chance_of_each or need.name in {detail.name for detail in more}:
            continue
        if need.name in KNOWLEDGE.choices:
            value = chance.choice([choice.value for choice in KNOWLEDGE.choices[need.name]])
        else:
            kind = KNOWLEDGE.quantities[need.name]
            value = chance.uniform(kind.low, kind.high)
        details.append(Detail(need.name, value, str(value), len(details), len(details) + 1))
    question = Question("q", MESSAGE, MESSAGE.text, "", True)
    classified = Classified(question, brief.topic, 0.9, ((brief.id, 0.9),))
    return Extracted(classified, tuple(details), ())


def deciding(brief):
    """Every need that a decider hangs on, also where it is silent until its facts are known."""
    figures = plan(brief, KNOWLEDGE)
    names = set()
    for decider in brief.deciders:
        for name in (decider.figure, decider.need, *decider.where.values()):
            if name:
                names |= figures.ancestors(name)
        for band in decider.bands:
            if isinstance(band.up_to, str):
                names |= figures.ancestors(band.up_to)
    return names


def drafted(questions):
    findings = decide(match(questions, KNOWLEDGE), KNOWLEDGE)
    return list(zip(findings, draft(findings, KNOWLEDGE, PHRASES, 150.0), strict=True))


@pytest.mark.parametrize("brief", SAFETY, ids=[brief.id for brief in SAFETY])
def test_whatever_is_left_out_there_is_no_unsafe_yes_and_no_lost_caution(brief):
    deciders = deciding(brief)

    for finding, made in drafted([stated_at_random(brief, seed) for seed in range(TRIES)]):
        open_facts = [
            n for n, value in finding.matched.values.items() if n in deciders and not value.is_known
        ]
        assert finding.verdict != "yes" or not open_facts
        assert finding.verdict != "yes" or not finding.asks
        for ready in made.ready:
            assert all(one.say in ready.reply for one in brief.cautions if "{" not in one.say)
        assert len(made.cautions) >= 1
        told = " ".join(made.cautions).lower()
        assert brief.see.lower() in told or ("qualified" in told and PERSONS & set(re.findall(r"\w+", told)))
        for caution in made.cautions:
            assert caution in made.reply
            assert for_the_ear(caution) in made.script


@pytest.mark.parametrize("seconds", [20, 45, 90])
def test_a_short_script_keeps_every_caution(seconds):
    questions = [stated_at_random(brief, 0) for brief in SAFETY]
    findings = decide(match(questions, KNOWLEDGE), KNOWLEDGE)

    for made in draft(findings, KNOWLEDGE, PHRASES, 150.0, seconds):
        assert for_the_ear(made.headline) in made.script
        for caution in made.cautions:
            assert for_the_ear(caution) in made.script


def test_every_caution_stands_on_the_sheet_and_in_the_line_of_its_draft():
    made = [one for brief in SAFETY for _, one in drafted([stated_at_random(brief, 1)])]
    lines = [as_line(one, KNOWLEDGE) for one in made]
    totals = Totals()
    for line in lines:
        totals.add(line)
    page = html.unescape("".join(sheet(lines, [], KNOWLEDGE, totals)))

    for one, line in zip(made, lines, strict=True):
        assert line["safety"]
        assert line["cautions"] == list(one.cautions)
        assert all(caution in page for caution in one.cautions)


@pytest.mark.parametrize("brief", GUARDED, ids=[brief.id for brief in GUARDED])
def test_no_sentence_names_more_than_a_stated_limit(brief):
    chance = random.Random(brief.id)
    for seed in range(24):
        limits = [
            Detail(
                name,
                chance.uniform(KNOWLEDGE.quantities[name].low, KNOWLEDGE.quantities[name].high),
                "x",
                n,
                n,
            )
            for n, name in enumerate(LIMITS, 1000)
        ]
        allowed: dict[str, float] = {}
        for limit in limits:
            unit = unit_of(limit.name).symbol
            allowed[unit] = min(allowed.get(unit, 1e9), limit.value)
        for _, made in drafted([stated_at_random(brief, seed, 0.2, limits)]):
            assert made.headline
            told = [made.headline, made.reply, *(ready.reply for ready in made.ready), *made.cautions]
            for text in told:
                for sentence in sentences(text):
                    assert list(exceeding(sentence, allowed)) == [], sentence


def sentences(text):
    """Lines and sentences, without what only forbids: "Never above 5 bar", "at 5 bar or less"."""
    pieces = (piece.strip("- ") for line in text.split("\n") for piece in re.split(r"(?<=[.!?])\s+", line))
    forbids = re.compile(
        r"\b(?:never|ceiling|or less|under|below|no more than|at most|not above)\b", re.IGNORECASE
    )
    return [piece for piece in pieces if not forbids.search(piece)]


def exceeding(sentence, allowed):
    """The amounts of a sentence that lie above what is allowed."""
    for pattern, unit, factor in AMOUNTS:
        for amount in pattern.finditer(sentence):
            if float(amount[1]) * factor > allowed[unit] * (1 + PRINTED_ROUNDING):
                yield amount.group()


def test_a_sentence_that_suggests_too_much_is_found_and_one_that_forbids_it_is_not():
    allowed = {"kPa": 400.0, "N·m": 5.0}

    assert [
        list(exceeding(s, allowed)) for s in sentences("Start at 5 bar. Never above 5 bar. Use 4 bar.")
    ] == [
        ["5 bar"],
        [],
    ]
    assert list(exceeding("Tighten to 6 N·m", allowed)) == ["6 N·m"]


def test_there_are_safety_briefs_in_every_topic_that_can_hurt():
    topics = {brief.topic for brief in SAFETY}

    assert {"tyres", "wheels", "brakes", "frame-fit", "cranks", "bearings"} <= topics
    assert len(SAFETY) >= 50


def held(briefs, flags=(), sure=0.9, text=MESSAGE.text):
    """The draft of a question that is left to a person, with its likeliest briefs."""
    question = Question("q", replace(MESSAGE, text=text), text, "", True, flags)
    topic = briefs[0][0].split("/")[0] if briefs else "other"
    ((finding, made),) = drafted([Extracted(Classified(question, topic, sure, briefs), (), ())])
    assert finding.verdict == "none"
    return made


HALT = {name: topic.halt for name, topic in KNOWLEDGE.topics.items()}


def test_every_topic_says_what_nobody_rides_with() -> None:
    assert all("don't" in halt or "keep it off" in halt for halt in HALT.values())


def test_who_waits_for_a_person_is_held_off_at_once_where_most_likely_briefs_are_matters_of_safety() -> None:
    split_up = held(
        (("frame-fit/cracked-fork", 0.3), ("frame-fit/carbon-crash", 0.25), ("wheels/wheel-click", 0.2))
    )

    assert split_up.cautions == (HALT["frame-fit"],)
    assert HALT["frame-fit"] in split_up.reply


def test_what_nobody_rides_with_is_told_in_general_where_the_topic_is_unsure() -> None:
    unsure = held((("frame-fit/cracked-fork", 0.3), ("brakes/wet-braking", 0.25)), sure=0.4)

    assert unsure.cautions == (PHRASES.hold_off_beside,)


def test_who_waits_for_a_person_is_not_alarmed_by_one_unlikely_brief_or_by_none() -> None:
    for briefs in ((("wheels/wheel-click", 0.3), ("frame-fit/cracked-fork", 0.1)), ()):
        waiting = held(briefs)

        assert waiting.cautions == ()
        assert not any(halt in waiting.reply for halt in (PHRASES.hold_off_beside, *HALT.values()))


@pytest.mark.parametrize(
    ("text", "warned"),
    [
        ("There's a noise when I lean on the bars, and a bit of metal has come loose inside the stem.", True),
        ("One of my brake blocks dropped out and now the lever won't do a thing.", True),
        ("Which brake blocks do you like best for the wet?", False),
        ("The chain rattles a bit on the smallest sprocket.", False),
    ],
)
def test_trouble_with_what_steers_or_stops_is_warned_of_while_it_waits(text: str, warned: bool) -> None:
    assert (HALT["other"] in held((), text=text).reply) is warned


def test_a_danger_told_holds_off_whoever_waits_whatever_is_likely() -> None:
    waiting = held((("wheels/wheel-click", 0.3),), ("danger",))

    assert waiting.cautions == (PHRASES.hold_off,)
    assert PHRASES.hold_off in waiting.reply


def test_who_waits_for_a_person_hears_what_a_mechanic_asks_first_in_the_topic() -> None:
    likely = (("tyres/rim-width", 0.3), ("tyres/which-tyre", 0.2))

    assert "numbers on the tyre's wall" in held(likely).reply
    assert "numbers on the tyre's wall" not in held(likely, sure=0.4).reply
    assert PHRASES.anything_that_helps in held(likely, sure=0.4).reply
    assert PHRASES.anything_that_helps in held((("other/slow-bike", 0.3),)).reply


def test_nobody_is_asked_for_a_photo_who_has_sent_one() -> None:
    assert PHRASES.a_photo_helps in held(()).reply
    assert (
        PHRASES.a_photo_helps not in held((), text="The pictures show a bit of metal on the cassette.").reply
    )

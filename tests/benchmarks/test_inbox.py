"""Synthetic inboxes are what they say: varied, repeatable, readable, with the truth about what was planted."""

from __future__ import annotations

import csv
import json
import random
import re
from collections import Counter

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchmarks.inbox import Composer, Rates, make_inbox
from benchmarks.inbox.variety import Variety
from benchmarks.inbox.voice import Voice
from triage.read import read
from triage.records import Message

COUNT = 2500


@pytest.fixture(scope="module")
def written(knowledge):
    return list(Composer(knowledge, seed=3).messages(COUNT))


@pytest.fixture(scope="module")
def voice(knowledge):
    return Voice(knowledge, seed=3)


def words(text):
    return re.findall(r"\w+", text.lower())


def test_no_message_is_written_twice(written):
    assert len({one.text for one in written}) == COUNT
    assert len({one.identity for one in written}) == COUNT


def test_the_same_seed_writes_the_same_and_another_seed_something_else(knowledge, written):
    again, other = (list(Composer(knowledge, seed=seed).messages(50)) for seed in (3, 4))

    assert again == written[:50]
    assert not {one.text for one in other} & {one.text for one in again}


def test_shares_are_as_stated(written):
    rates, kinds = Rates(), Counter(one.kind for one in written)

    assert kinds["chatter"] / COUNT == pytest.approx(rates.chatter, abs=0.03)
    assert sum(bool(one.repeats) for one in written) / COUNT == pytest.approx(rates.repeats, abs=0.015)
    assert sum(one.is_mail for one in written) / COUNT == pytest.approx(rates.mails, abs=0.04)


def test_every_brief_can_be_asked_about(knowledge):
    asked = {one.brief for one in Composer(knowledge, seed=5, rates=Rates(chatter=0)).messages(6000)}

    assert asked - {""} == set(knowledge.briefs)


def test_a_repeat_comes_later_keeps_its_figures_and_is_no_copy(written):
    by_identity = {one.identity: one for one in written}
    places = {one.identity: place for place, one in enumerate(written)}
    repeats = [one for one in written if one.repeats]

    assert {one.repeat_kind for one in repeats} == {"typo", "reorder", "signature", "mixed"}
    for one in repeats:
        earlier = by_identity[one.repeats]
        assert places[earlier.identity] < places[one.identity]
        assert one.text != earlier.text
        assert set(re.findall(r"\d+", one.text)) <= set(re.findall(r"\d+", earlier.text))


def test_words_keep_coming_as_an_inbox_grows(written):
    """In real mail the distinct words grow with about the square root of all words, and never stop."""
    variety = Variety()
    for one in written:
        variety.add(one.text)
    told = variety.told()

    assert told["share of distinct texts"] == 1.0
    assert 0.45 < told["growth exponent"] < 0.75


def test_distinct_words_are_counted_closely_without_keeping_them():
    variety = Variety()
    for number in range(300):
        variety.add(" ".join(f"word{number}x{place}" for place in range(100)))

    assert variety.types == pytest.approx(30_000, rel=0.002)
    assert variety.tokens == 30_000


@given(st.text("abcdefghijklmnoprstuvw", min_size=4, max_size=12), st.integers())
def test_a_slip_is_one_and_never_none(voice, word, seed):
    voice.chance = random.Random(seed)
    slipped = voice.slip(word)

    assert slipped != word
    assert abs(len(slipped) - len(word)) <= 1


def test_typos_leave_figures_alone(voice):
    text = "Would a 28 mm tyre at 5.5 bar fit between 11-34 stays of 142mm on this frame"
    for _ in range(200):
        assert re.findall(r"\d+", voice.with_typos(text)) == re.findall(r"\d+", text)


def test_figures_and_parts_are_said_anew(voice):
    said = {voice.again("Will 28 mm fit my Beck 15 at 80 psi with 11-28?") for _ in range(100)}

    assert len(said) > 80
    assert all(re.match(r"Will \d+ mm fit my .+ at [\d.]+ (psi|bar) with 1\d-\d\d\?", one) for one in said)


@pytest.mark.parametrize(
    ("kind", "files"),
    [
        ("mbox", ["archive.mbox"]),
        ("csv", ["comments.csv"]),
        ("jsonl", ["comments.jsonl"]),
        ("mixed", ["archive.mbox", "comments.csv", "comments.jsonl"]),
    ],
)
def test_every_message_can_be_read_back(knowledge, tmp_path, kind, files):
    made = make_inbox(knowledge, 400, tmp_path, kind)
    found = list(read([made.inbox]))

    assert sorted(file.name for file in made.inbox.iterdir()) == files
    assert all(isinstance(one, Message) for one in found)
    assert len({one.message_id for one in found}) == 400
    with made.truth.open(newline="") as file:
        planted = list(csv.DictReader(file))
    assert planted
    assert {row[key] for row in planted for key in ("message_id", "repeats")} <= {
        one.message_id for one in found
    }


def test_a_mail_says_what_its_rider_wrote_whatever_its_form(knowledge, tmp_path):
    rates = Rates(html=0.6, html_alone=0.3, quoted=0.3, signature=0.3, picture=0.1)
    made = make_inbox(knowledge, 300, tmp_path, "mbox", seed=9, rates=rates)
    wrote = Composer(
        knowledge, 9, Rates(**json.loads((tmp_path / "about.json").read_text())["asked"]["rates"])
    )
    texts = {one.message_id: one.text for one in read([made.inbox])}

    # The reader may take the rider's last lines for a signature; what comes before them is all there.
    kept = [
        words(one.text)[:8] == words(texts[one.identity])[:8] for one in wrote.messages(300) if one.kind != "chatter"
    ]  # fmt: skip
    assert sum(kept) / len(kept) > 0.97


def test_a_finished_inbox_is_left_and_an_unfinished_one_written_anew(knowledge, tmp_path):
    made = make_inbox(knowledge, 60, tmp_path, "csv")
    file = made.inbox / "comments.csv"
    whole = file.read_bytes()
    file.write_bytes(b"mine")

    make_inbox(knowledge, 60, tmp_path, "csv")
    assert file.read_bytes() == b"mine"

    (tmp_path / "about.json").unlink()
    make_inbox(knowledge, 60, tmp_path, "csv")
    assert file.read_bytes() == whole


def test_an_unknown_kind_is_refused(knowledge, tmp_path):
    with pytest.raises(ValueError, match="kind: expected one of mbox, csv, jsonl, mixed, got maildir"):
        make_inbox(knowledge, 1, tmp_path, "maildir")

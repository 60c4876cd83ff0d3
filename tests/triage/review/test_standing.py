"""A signed draft stands on its brief, calculations, rows and sources; when one gives way, so does the sign-off."""

from __future__ import annotations

import importlib
import shutil
from dataclasses import replace
from itertools import count
from types import MappingProxyType

import pytest

from knowledge.brief import Caution
from knowledge.load import load
from tests.conftest import ROOT
from triage.ledger import Filter, Person, open_ledger
from triage.review.acts import Bench, look_again, sign
from triage.review.standing import _text_of, stands_on, what_gave_way

EDITOR = Person("Ana", "editor")


@pytest.fixture
def bench(bench_of, knowledge):
    """A few mails, drafted."""
    mails = [
        ROOT / "sample_inbox" / name for name in ("Maildir/new/1763600000.M6.desk", "mails/04-rim-width.eml")
    ]
    return bench_of(mails, knowledge)


@pytest.fixture
def question(bench):
    """The question about the wider cassette."""
    return bench.ledger.wall.cards(Filter(brief="drivetrain/derailleur-capacity"), 1)[0]["question_id"]


CHANGES = count()


def changed(bench, **parts):
    """The bench with another knowledge base, as after an edit of its files, which always brings another digest."""
    return replace(bench, knowledge=replace(bench.knowledge, digest=f"changed {next(CHANGES)}", **parts))


def test_grounds_are_named_by_what_they_are(bench, question):
    grounds = stands_on(bench.line(question), bench.knowledge)

    assert "brief drivetrain/derailleur-capacity" in grounds
    assert any(ground.startswith("calculation ") for ground in grounds)
    assert any(ground.startswith("source ") for ground in grounds)
    assert "row parts#derailleur-arlind-sorrel-11-short" in grounds
    assert all(grounds.values())


def test_a_calculation_stands_on_the_helpers_and_numbers_of_its_module(monkeypatch):
    lubrication = importlib.import_module("knowledge.calculations.lubrication")
    before = _text_of(lubrication.viscosity_100_from_index_mm2_s)
    assert "0.00715" in before  # stands in a helper of a helper
    others = _text_of(lubrication.viscosity_of_index_0_mm2_s)

    monkeypatch.setattr(lubrication, "_HALVINGS", 12)

    assert _text_of(lubrication.viscosity_100_from_index_mm2_s) != before
    assert _text_of(lubrication.viscosity_of_index_0_mm2_s) == others


def test_the_same_knowledge_takes_no_sign_off(bench, question):
    sign(bench, EDITOR, question, 0)

    assert look_again(bench) == []
    assert (
        look_again(replace(bench, knowledge=replace(bench.knowledge, digest="only a comment changed"))) == []
    )
    assert bench.ledger.reviews.of(question).is_signed


def test_another_part_row_takes_the_sign_off_and_says_so(bench, question):
    sign(bench, EDITOR, question, 0)
    identity = "derailleur-arlind-sorrel-11-short"
    part = bench.knowledge.parts[identity]
    properties = {**part.properties, "derailleur_capacity_teeth": 47.0}
    parts = MappingProxyType({**bench.knowledge.parts, identity: replace(part, properties=properties)})

    ((lost, why),) = look_again(changed(bench, parts=parts))

    review = bench.ledger.reviews.of(question)
    assert lost == question
    assert not review.is_signed
    assert f"Changed since the sign-off: row parts#{identity}" in why
    assert review.lost_because == why
    newest = bench.ledger.reviews.history(question)[0]
    assert (newest.kind, newest.person) == ("sign-off lost", "Quillstem")


def test_a_changed_caution_takes_the_sign_off_and_the_draft_carries_it(bench, question):
    sign(bench, EDITOR, question, 0)
    key = "drivetrain/derailleur-capacity"
    brief = bench.knowledge.briefs[key].model_copy(
        update={"cautions": (Caution(say="Never shift under full load."),)}
    )

    lost = look_again(changed(bench, briefs=MappingProxyType({**bench.knowledge.briefs, key: brief})))

    assert [one for one, _ in lost] == [question]
    assert "Never shift under full load." in bench.line(question)["reply"]


def test_another_brief_changing_leaves_the_signature(bench, question):
    sign(bench, EDITOR, question, 0)
    key = "tyres/rim-width"
    brief = bench.knowledge.briefs[key].model_copy(update={"cautions": (Caution(say="Mind the bead."),)})

    assert look_again(changed(bench, briefs=MappingProxyType({**bench.knowledge.briefs, key: brief}))) == []


def test_more_examples_teach_the_sorter_and_take_no_signature(bench, question):
    sign(bench, EDITOR, question, 0)
    key = "drivetrain/derailleur-capacity"
    brief = bench.knowledge.briefs[key]
    brief = brief.model_copy(update={"examples": (*brief.examples, "will this mech swallow a 36")})

    assert look_again(changed(bench, briefs=MappingProxyType({**bench.knowledge.briefs, key: brief}))) == []


def test_a_changed_table_row_is_noticed_in_a_desks_own_folder(tmp_path, bench):
    """The rows of a table that a need was read from are grounds; here one of ours is laid over by the desk's own."""
    line = {
        "brief": "tyres/rim-width", "sources": [],
        "figures": [{"name": "x", "sources": [], "inputs": [{"rows": ["brakes/fluids#dot-3-dry"]}]}],
    }  # fmt: skip
    before = stands_on(line, bench.knowledge)
    own = tmp_path / "own" / "tables" / "brakes"
    own.mkdir(parents=True)
    table = (ROOT / "knowledge/tables/brakes/fluids.csv").read_text(encoding="utf-8").splitlines()
    (own / "fluids.csv").write_text("\n".join([table[0], table[1].replace(",205,", ",204,")]) + "\n")
    shutil.copy(ROOT / "knowledge/tables/brakes/fluids.md", own / "fluids.md")
    try:
        after = stands_on(line, load(tmp_path / "own"))
    finally:
        load()

    assert what_gave_way(before, after) == ["row brakes/fluids#dot-3-dry"]


def test_what_is_gone_has_given_way(bench):
    line = {
        "brief": "tyres/rim-width", "sources": ["no-such-source"],
        "figures": [{"name": "x", "sources": [], "inputs": [{"rows": ["no/table#x", "brakes/fluids#no-row"]}]}],
    }  # fmt: skip
    grounds = stands_on(line, bench.knowledge)

    assert grounds["source no-such-source"] == ""
    assert grounds["row no/table#x"] == ""
    assert grounds["row brakes/fluids#no-row"] == ""


def test_a_whole_week_of_signatures_stands_where_nothing_changed(copied, knowledge, phrases):
    """A draft worked out alone closes with another house phrase than beside its neighbours; that is no change."""
    week = open_ledger(copied)
    whole = Bench(week, knowledge, phrases)
    for card in [card for card in week.wall.cards(Filter(repeats=True), 200) if card["reply"]]:
        sign(whole, EDITOR, card["question_id"], 0)

    lost = look_again(changed(whole))
    signed = len(week.reviews.signed())
    week.close()

    assert lost == []
    assert signed >= 50

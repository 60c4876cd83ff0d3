"""`quillstem recall` as its users type it, on a real ledger with a wrong row that is mended."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest
from click.testing import CliRunner

from knowledge.load import load
from tests.triage.review.wrong_row import ROW, with_the_wrong_row
from triage.cli import main
from triage.ledger import Deed, Filter, Person, open_ledger
from triage.ledger.mails import MailOrder

ANA = Person("Ana", "editor")


def run(*words):
    return CliRunner().invoke(main, ["recall", *words])


@pytest.fixture(scope="module")
def desk(tmp_path_factory):
    """Two mails about worn chains and one about brake fluid, drafted with a limit that was typed wrongly; one is sent."""
    home = tmp_path_factory.mktemp("desk")
    inbox = home / "inbox"
    inbox.mkdir()
    for rider, ask in (
        ("Bo", "My chain shows 0.6 % wear on an 11-speed cassette, must I change it?"),
        ("Cem", "My chain shows 0.6 % wear on a 10-speed cassette, must I change it?"),
        ("Dora", "How often should I change the DOT 4 brake fluid in my brakes?"),
    ):
        (inbox / f"{rider}.txt").write_text(f"From: {rider} Example\n\n{ask}\n", encoding="utf-8")
    own = with_the_wrong_row(home)
    words = ["draft", str(inbox), "--out", str(home / "out"), "--knowledge", str(own), "--quiet"]
    done = CliRunner().invoke(main, words)
    assert done.exit_code == 0, done.output
    _send(home / "out" / "ledger.sqlite")
    yield home
    load()


def _send(place):
    ledger = open_ledger(place)
    card = next(
        one for one in ledger.wall.cards(Filter(brief="drivetrain/chain-wear"), 9) if one["rider"] == "Bo"
    )
    question = card["question_id"]
    before = ledger.reviews.of(question)
    ledger.reviews.save(before, replace(before, state="signed"), ANA, [Deed("signed")])
    with ledger.engine.connect() as connection:
        key = connection.exec_driver_sql(
            "SELECT message_key FROM drafts WHERE question_id = ?", (question,)
        ).scalar_one()
    ledger.mails.order([MailOrder(key, "one@desk.invalid", "digest", (question,))], ANA)
    assert ledger.mails.take(key)
    assert ledger.mails.finish(key, "sent", "250 fine", ANA)
    ledger.close()


@pytest.fixture
def place(desk):
    return ["--ledger", str(desk / "out" / "ledger.sqlite")]


def test_with_the_wrong_row_still_in_place_nothing_would_be_another_answer(desk, place):
    done = run(ROW, *place, "--knowledge", str(desk / "own"))

    assert done.exit_code == 0, done.output
    assert done.stdout.splitlines()[0].strip() == f"row {ROW}"
    assert done.stdout.splitlines()[-1] == (
        "1 answer stood on it: 1 was sent; none would be another verdict now."
    )
    assert "nothing" in done.stdout
    assert done.stderr == ""


def test_once_it_is_mended_the_table_tells_who_got_the_wrong_answer(place):
    done = run(ROW, *place)

    assert done.exit_code == 0, done.output
    assert done.stdout.splitlines()[-1] == "1 answer stood on it: 1 was sent; 1 would be another verdict now."
    table = " ".join(done.stdout.split())
    assert "question rider went out verdict what changes" in table
    for told in ("Bo", "sent 20", "yes →", "yes-if"):
        assert told in table
    assert "Cem" not in table
    assert "Dora" not in table
    assert "Example" not in table


def test_programs_get_every_change(place):
    done = run("drivetrain/chain_wear_limits", *place, "--json")

    found = json.loads(done.stdout)
    assert done.exit_code == 0
    assert (found["what"], found["kind"]) == ("table drivetrain/chain_wear_limits", "table")
    assert f"row {ROW}" in found["grounds"]
    bo, cem = found["answers"]
    assert (bo["rider"], bo["verdict_then"], bo["verdict_now"], bo["verdict_changes"]) == (
        "Bo",
        "yes",
        "yes-if",
        True,
    )
    assert bo["changes"][0] == {"what": "verdict", "was": "yes", "now": "yes-if"}
    assert {"what": "Wear at which to change", "was": "1 %", "now": "0.5 %"} in bo["changes"]
    assert (bo["sent_on"] or "")[:2] == "20"
    assert (cem["rider"], cem["verdict_changes"], cem["changes"], cem["sent_on"]) == ("Cem", False, [], None)


def test_where_nothing_stood_on_it_that_is_said_and_the_exit_code_tells(place):
    done = run("brakes/fluids#dot-3-dry", *place)

    assert done.exit_code == 1
    assert done.stdout == "No answer stood on it.\n"


def test_a_wrong_name_gets_the_nearest_right_one(place):
    done = run("drivetrain/chain_wear_limit", *place)

    assert done.exit_code == 2
    assert done.stdout == ""
    assert done.stderr.splitlines()[0] == 'Nothing here is called "drivetrain/chain_wear_limit".'
    assert done.stderr.splitlines()[1].startswith("    Did you mean drivetrain/chain_wear_limits")


def test_without_a_ledger_none_is_made(tmp_path):
    done = run(ROW, "--ledger", str(tmp_path / "none.sqlite"))

    assert done.exit_code == 2
    assert done.stderr.startswith(
        f"{tmp_path / 'none.sqlite'}: there is no ledger.\n    Name it with --ledger"
    )
    assert not (tmp_path / "none.sqlite").exists()


def test_a_knowledge_folder_with_a_fault_is_refused(tmp_path, place):
    (tmp_path / "sources.csv").write_text("id,title\none,One\n", encoding="utf-8")

    done = run(ROW, *place, "--knowledge", str(tmp_path))

    assert done.exit_code == 2
    assert "sources.csv:1" in done.stderr
    load()

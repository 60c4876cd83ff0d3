"""`quillstem score`, `correct`, `learn` and `gaps` as their users type them, on a real ledger."""

from __future__ import annotations

import json

import pytest
from click.testing import CliRunner

from knowledge.load import load
from triage.cli import main
from triage.cli.learn import FEWEST_FOR_A_LESSON
from triage.ledger import open_ledger
from triage.sorter import Examples, kept
from triage.sorter.lessons import examination, is_held_out, lessons


def _run(*arguments: str):
    return CliRunner().invoke(main, list(arguments))


@pytest.fixture(scope="module")
def desk(tmp_path_factory):
    """A ledger with a small inbox drafted into it, and its questions by rider's words."""
    home = tmp_path_factory.mktemp("desk")
    (home / "inbox").mkdir()
    for number in range(9):
        (home / "inbox" / f"{number}.txt").write_text(
            f"From: Rider {number}\n\nMy bell number {number} on handlebar {number} rattles on cobbles {number}, what can I do?\n"
        )
    done = _run("draft", str(home / "inbox"), "--out", str(home / "out"), "--quiet")
    assert done.exit_code == 0, done.output
    lines = [json.loads(text) for text in (home / "out/drafts.jsonl").read_text().splitlines()]
    return home, lines


def test_a_correction_names_what_is_not_there(desk):
    home, lines = desk
    ledger = str(home / "out/ledger.sqlite")

    wrong = _run("correct", lines[0]["question_id"], "--brief", "tyres/rim-widht", "--ledger", ledger)
    nothing = _run("correct", "no-such-id", "--topic", "other", "--ledger", ledger)
    both = _run("correct", "x", "--topic", "other", "--brief", "tyres/rim-width", "--ledger", ledger)

    assert "did you mean tyres/rim-width" in wrong.output
    assert nothing.exit_code == 2
    assert "no such question" in nothing.output
    assert "say one thing" in both.output


@pytest.fixture
def fewer(monkeypatch):
    """A sorter that is taught from three topics in place of nine, which takes seconds."""
    whole = kept.examples_of

    def some(knowledge):
        every = whole(knowledge)
        rows = [
            n for n, label in enumerate(every.labels) if label.split("/")[0] in ("other", "brakes", "chatter")
        ]
        own = [n for n, label in enumerate(every.own_labels) if label.split("/")[0] in ("other", "brakes")]
        return Examples(
            [every.texts[n] for n in rows],
            [every.labels[n] for n in rows],
            every.outside,
            [every.own_texts[n] for n in own],
            [every.own_labels[n] for n in own],
        )

    monkeypatch.setattr(kept, "examples_of", some)


@pytest.mark.usefixtures("fewer")
def test_corrections_are_kept_taught_and_used_by_the_next_draft(desk):
    home, lines = desk
    place = str(home / "out/ledger.sqlite")
    assert "Nothing was corrected" in _run("learn", "--ledger", place).output
    for line in lines:
        done = _run("correct", line["question_id"], "--brief", "other/first-tools", "--ledger", place)
        assert done.exit_code == 0, done.output
    assert len(lines) >= FEWEST_FOR_A_LESSON

    _check_that_a_point_is_said(lines[0]["question_id"], place)

    learnt = _run("learn", "--ledger", place)

    assert learnt.exit_code == 0, learnt.output
    assert "Learnt" in learnt.output
    _check_that_what_is_examined_is_never_taught(place)
    again = _run("draft", str(home / "inbox"), "--out", str(home / "out"), "--quiet")
    assert again.exit_code == 0
    after = [json.loads(text) for text in (home / "out/drafts.jsonl").read_text().splitlines()]
    assert {line["brief"] for line in after} == {"other/first-tools"}
    assert {line["brief"] for line in lines} != {"other/first-tools"}


def _check_that_a_point_is_said(question: str, place: str) -> None:
    """Of the brief that the question was given just now."""
    points = load().briefs["other/first-tools"].points
    name = next(iter(points))
    unknown = _run("correct", question, "--point", f"{name}x", "--ledger", place)
    assert unknown.exit_code == 2
    assert f"There is no point {name}x; did you mean {name}" in unknown.output
    said = _run("correct", question, "--point", name, "--ledger", place)
    assert f"Kept: {question} is other/first-tools#{name}." in said.output
    assert points[name].headline[:40] in said.output
    assert "is none of its points." in _run("correct", question, "--point", "", "--ledger", place).output


def test_the_score_of_any_labelled_files_is_told_drawn_and_written(tmp_path):
    kinds = {
        "tea": ("brew tea", "green tea leaves", "tea too bitter"),
        "soup": ("soup too salty", "thin soup", "hot soup"),
    }
    outs = ("the moon is far", "stars at night", "planets and comets")
    rows = [f"{said} {n},{label}" for label, some in kinds.items() for said in some for n in range(8)]
    rows += [f"{said} {n},sky" for said in outs for n in range(8)]
    train, test = tmp_path / "train.csv", tmp_path / "test.csv"
    train.write_text("text,label\n" + "\n".join(rows))
    test.write_text("label,text\ntea,bitter green tea\nsoup,salty soup\nsky,comets and stars\n")

    done = _run(
        "score",
        "--train",
        str(train),
        "--test",
        str(test),
        "--outside",
        "sky",
        "--out",
        str(tmp_path / "score"),
    )

    assert done.exit_code == 0, done.output
    figures = json.loads((tmp_path / "score/score.json").read_text())
    assert (figures["inside"], figures["outside"]) == (2, 1)
    assert figures["topic_accuracy"] == 1.0
    page = (tmp_path / "score/score.html").read_text()
    assert "<svg" in page
    assert "calibration error" in page


def test_a_test_file_with_a_strange_label_is_refused(tmp_path):
    train, test = tmp_path / "train.csv", tmp_path / "test.csv"
    train.write_text("text,label\n" + "".join(f"tea {n},tea\nsoup {n},soup\n" for n in range(6)))
    test.write_text("text,label\nwhat,moon\n")

    done = _run("score", "--train", str(train), "--test", str(test), "--out", str(tmp_path / "score"))

    assert done.exit_code == 2
    assert "no such label: moon" in done.output


def test_the_gaps_are_listed_with_typical_words(desk, tmp_path):
    home, _ = desk
    done = _run("gaps", "--ledger", str(home / "out/ledger.sqlite"), "--csv", str(tmp_path / "gaps.csv"))

    assert done.exit_code == 0, done.output
    assert "Every question found a brief." in done.output or (tmp_path / "gaps.csv").is_file()


def _check_that_what_is_examined_is_never_taught(place: str) -> None:
    ledger = open_ledger(place)
    corrections = ledger.corrections()
    ledger.close()
    taught, asked = lessons(corrections, 10**6), examination(corrections)
    assert taught
    assert asked
    assert not set(taught) & set(asked)
    assert all(is_held_out(row["question_id"]) == ((row["ask"], row["now"]) in asked) for row in corrections)


def test_a_corrected_detail_is_drafted_anew_at_once_and_stays_corrected(tmp_path):
    (tmp_path / "note.txt").write_text("My rotor says min 1.5 mm and I measure 1.9 mm, is it worn out?")
    out = tmp_path / "out"
    assert _run("draft", str(tmp_path / "note.txt"), "--out", str(out), "--quiet").exit_code == 0
    place = str(out / "ledger.sqlite")
    before = json.loads((out / "drafts.jsonl").read_text())

    done = _run("correct", before["question_id"], "--detail", "rotor_thickness_mm=1.4", "--ledger", place)
    again = _run("draft", str(tmp_path / "note.txt"), "--out", str(out), "--quiet")
    after = json.loads((out / "drafts.jsonl").read_text())

    assert before["verdict"] == "yes"
    assert done.exit_code == 0, done.output
    assert "Drafted anew: not-recommended (was yes)" in done.output
    assert again.exit_code == 0
    assert after["verdict"] == "not-recommended"
    assert "corrected by the desk" in json.dumps(after["details"])


def test_a_detail_is_taken_in_any_unit_that_fits_as_at_the_desk(tmp_path):
    (tmp_path / "note.txt").write_text("My rotor says min 1.5 mm and I measure 1.9 mm, is it worn out?")
    out = tmp_path / "out"
    assert _run("draft", str(tmp_path / "note.txt"), "--out", str(out), "--quiet").exit_code == 0
    question = json.loads((out / "drafts.jsonl").read_text())["question_id"]

    done = _run(
        "correct", question, "--detail", "rotor_thickness_mm=0.14 cm", "--ledger", str(out / "ledger.sqlite")
    )

    assert done.exit_code == 0, done.output
    assert f"Kept: {question} is rotor_thickness_mm=1.4" in done.output
    assert "Drafted anew: not-recommended (was yes)" in done.output


@pytest.mark.parametrize(
    ("option", "said", "told"),
    [
        ("--detail", "tyre_width_mm=wide", 'expected a number, with a unit if you like, got "wide"'),
        ("--detail", "tyre_width_mm=28 bar", '"bar" is no unit of the kind needed: mm'),
        ("--detail", "tyre_width_mm=2800", "2800 mm can't be; expected"),
        ("--detail", "tyre_width_mm", "expected NAME=VALUE, or NAME= to take it out"),
        ("--part", "derailleur", "expected KIND=ID, or KIND= to take it out"),
        ("--part", "derailleur=none", "There is no derailleur none; did you mean derailleur-"),
    ],
)
def test_what_cant_be_so_is_refused_with_what_would_do(desk, option, said, told):
    home, lines = desk

    wrong = _run(
        "correct", lines[0]["question_id"], option, said, "--ledger", str(home / "out/ledger.sqlite")
    )

    assert wrong.exit_code == 2
    assert told in wrong.stderr


@pytest.mark.parametrize("command", [["correct", "0-1", "--topic", "other"], ["learn"]])
def test_without_a_ledger_none_is_made(tmp_path, command):
    missing = tmp_path / "none.sqlite"

    done = _run(*command, "--ledger", str(missing))

    assert done.exit_code == 2
    assert f"{missing}: there is no ledger." in done.stderr
    assert not missing.exists()


def test_a_draft_made_anew_keeps_the_pace_and_the_length_it_was_made_with(tmp_path):
    (tmp_path / "note.txt").write_text("My rotor says min 1.5 mm and I measure 1.9 mm, is it worn out?")
    out = tmp_path / "out"
    settings = ("--pace", "120", "--seconds", "60")
    assert _run("draft", str(tmp_path / "note.txt"), "--out", str(out), "--quiet", *settings).exit_code == 0
    question = json.loads((out / "drafts.jsonl").read_text())["question_id"]

    _run("correct", question, "--detail", "rotor_thickness_mm=1.4", "--ledger", str(out / "ledger.sqlite"))
    ledger = open_ledger(out / "ledger.sqlite")
    line = ledger.question(question)
    ledger.close()

    assert (line["verdict"], line["pace"], line["asked_seconds"]) == ("not-recommended", 120.0, 60.0)

"""A rider who writes again in the same thread is tied to the question of before."""

from __future__ import annotations

import json

from click.testing import CliRunner

from triage.cli import main

FIRST = """Message-ID: <first@riders.invalid>
From: Ana Example <ana@riders.invalid>
Subject: clicking
Content-Type: text/plain; charset=utf-8

My bottom bracket creaks when I pedal hard out of the saddle. What should I check first?
"""
AGAIN = """Message-ID: <again@riders.invalid>
In-Reply-To: <ours@desk.invalid>
References: <first@riders.invalid> <ours@desk.invalid>
From: Ana Example <ana@riders.invalid>
Subject: Re: clicking
Content-Type: text/plain; charset=utf-8

I did all of that and it still makes the noise. What next?
"""


def test_the_second_mail_follows_the_first_in_the_next_run(tmp_path):
    inbox, out = tmp_path / "inbox", tmp_path / "out"
    inbox.mkdir()
    (inbox / "1.eml").write_text(FIRST)
    assert CliRunner().invoke(main, ["draft", str(inbox), "--out", str(out), "--quiet"]).exit_code == 0
    (inbox / "2.eml").write_text(AGAIN)
    assert CliRunner().invoke(main, ["draft", str(inbox), "--out", str(out), "--quiet"]).exit_code == 0

    lines = {
        line["message_id"]: line for line in map(json.loads, (out / "drafts.jsonl").read_text().splitlines())
    }
    first, again = lines["first@riders.invalid"], lines["again@riders.invalid"]
    assert again["follows"] == first["question_id"]
    assert "follow-up" in again["flags"]
    assert again["is_question"]
    assert again["topic"] in {"bearings", "cranks"}  # a creak at the bottom bracket may be either
    assert first["follows"] is None
    assert f'follows up <a href="#q-{first["question_id"]}"' in (out / "sheet.html").read_text()


def by_the_same_rider(number: int, text: str) -> str:
    return (
        f"Message-ID: <{number}@riders.invalid>\nFrom: Ana Example <ana@riders.invalid>\nSubject: hello\n"
        f"Date: Mon, 2{number} Nov 2026 10:00:00 +0000\nContent-Type: text/plain; charset=utf-8\n\n{text}\n"
    )


def test_without_a_thread_the_same_rider_is_tied_to_the_question_that_the_words_are_like(tmp_path):
    inbox, out = tmp_path / "inbox", tmp_path / "out"
    inbox.mkdir()
    mails = {
        1: "My bottom bracket creaks when I pedal hard out of the saddle. What should I check first?",
        2: "Which pressure for 32 mm tyres? I weigh 70 kg and the bike 9 kg.",
        3: "Thanks for your answer. I checked that and the bottom bracket still creaks out of the saddle. What next?",
        4: "Is a helmet with a light worth it?",
    }
    for number in (1, 2):
        (inbox / f"{number}.eml").write_text(by_the_same_rider(number, mails[number]))
    assert CliRunner().invoke(main, ["draft", str(inbox), "--out", str(out), "--quiet"]).exit_code == 0
    for number in (3, 4):
        (inbox / f"{number}.eml").write_text(by_the_same_rider(number, mails[number]))
    assert CliRunner().invoke(main, ["draft", str(inbox), "--out", str(out), "--quiet"]).exit_code == 0

    lines = [json.loads(text) for text in (out / "drafts.jsonl").read_text().splitlines()]
    first = {line["message_id"]: line for line in reversed(lines)}
    follows = {line["message_id"]: line["follows"] for line in lines if line["follows"]}

    assert follows == {"3@riders.invalid": first["1@riders.invalid"]["question_id"]}

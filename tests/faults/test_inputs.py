"""Knowledge that is damaged, an inbox that changes while it is read, and Ctrl-C: refused or stopped clearly, nothing half."""

from __future__ import annotations

import json
import random
import shutil
import signal

import pytest
import sqlalchemy as sa

from knowledge.load import HOME
from tests.faults.after import clear, each_once, files_of, lines_in, note, sound, until, whole_or_absent
from tests.faults.conftest import CHUNK, MESSAGES
from tests.faults.inbox import write_comments
from triage.ledger import open_ledger
from triage.ledger.schema import DRAFTS
from triage.ledger.schema import MESSAGES as KEPT

SMALL = [("small_chunks", CHUNK)]
GOOD = "id,source,basis,checked\na,demo,demo,2026-11-25\nb,demo,demo,2026-11-25\n"


def _spoilt_brief():
    text = (HOME / "briefs" / "tyres" / "cut-tyre.yaml").read_bytes()
    return text[: text.index(b"\nanswers:") + 16]


DAMAGED = {
    "a row cut off": ("tables/drivetrain/own.csv", GOOD[:-9].encode()),
    "a row without its end": ("tables/drivetrain/own.csv", GOOD[: GOOD.index("\nb") + 4].encode()),
    "bytes that are no text": (
        "tables/drivetrain/own.csv",
        GOOD.encode().replace(b"b,demo", b"b,\xff\xfe\x00mo"),
    ),
    "zeros where the disk lost a block": ("tables/drivetrain/own.csv", GOOD.encode()[:40] + bytes(40)),
    "a brief cut in half": ("briefs/tyres/cut-tyre.yaml", _spoilt_brief()),
    "a brief overwritten": ("briefs/tyres/cut-tyre.yaml", b"\x00" * 300),
    "sources cut off": ("sources.csv", b"id,title,basis\nown,Ow"),
    "house phrases cut off": ("phrases.yaml", b"open_script:\n  - '{rider} wri"),
}


@pytest.mark.parametrize("how", DAMAGED)
def test_damaged_knowledge_is_refused_with_file_and_line_and_no_figure(warm, inbox, folder, how):
    name, content = DAMAGED[how]
    own, out = folder / "own", folder / "out"
    (own / name).parent.mkdir(parents=True)
    (own / name).write_bytes(content)

    refused = warm.run("draft", inbox, "--out", out, "--knowledge", own, "--quiet")

    assert refused.code == 2, refused.told
    clear(refused.told)
    assert f"{name.rpartition('/')[2]}:" in refused.told
    assert refused.said == ""
    assert not out.exists() or list(out.iterdir()) == []


def test_knowledge_damaged_between_two_runs_leaves_the_ledger_and_the_files_as_they_were(warm, inbox, folder):
    own, out = folder / "own", folder / "out"
    table = own / "tables" / "drivetrain" / "own.csv"
    table.parent.mkdir(parents=True)
    table.write_text(GOOD)
    command = ("draft", inbox, "--out", out, "--knowledge", own, "--quiet")
    assert warm.run(*command, tricks=SMALL).code == 0
    before = files_of(out)
    table.write_text(GOOD[:-9])

    refused = warm.run(*command, tricks=SMALL)

    assert refused.code == 2
    assert "own.csv:3" in refused.told
    assert files_of(out) == before
    sound(out / "ledger.sqlite")


# ---- an inbox that changes -----------------------------------------------------------------------------


@pytest.fixture
def changing(folder):
    """An inbox of its own, larger than what is read at once, with a copy of it elsewhere."""
    (folder / "in").mkdir()
    file = write_comments(folder / "in" / "many.jsonl", MESSAGES)
    lines = [json.loads(line) for line in file.read_text().splitlines()]
    for line in lines:
        # A long tail that is no question, so that the file is read in many pieces.
        line["thread"] = "x" * 6000
    file.write_text("".join(json.dumps(line) + "\n" for line in lines))
    shutil.copy(file, folder / "copy")
    return file


@pytest.mark.parametrize("how", ["emptied", "cut", "removed", "replaced"])
def test_an_inbox_that_changes_while_it_is_read_costs_nothing_of_it(warm, folder, changing, how):
    out = folder / "out"
    command = ("draft", changing.parent, "--out", out, "--quiet")

    run = warm.run(*command, tricks=[*SMALL, ("input_changes", str(changing), how, 2)])

    assert run.code in (0, 1), run.told
    assert "Traceback" not in run.told
    if how in ("emptied", "cut"):
        assert run.code == 1
        assert "many.jsonl" in run.told
        clear(run.told)
    sound(out / "ledger.sqlite")
    shutil.copy(folder / "copy", changing)

    again = warm.run(*command, tricks=SMALL)

    assert again.code == 0, again.told
    each_once(out, changing.parent, MESSAGES)
    assert sound(out / "ledger.sqlite").counts["messages"]["kept"] == MESSAGES


def test_one_file_that_cannot_be_read_costs_that_file_only(warm, folder):
    (folder / "in").mkdir()
    write_comments(folder / "in" / "many.jsonl", 12)
    (folder / "in" / "a.eml").write_bytes(bytes(range(256)) * 50)
    (folder / "in" / "b.jsonl").write_text('{"id": "x", "text": "half')
    (folder / "in" / "c.csv").write_bytes(b"id,text\n1,\xff\xfe\x00\n")

    run = warm.run("draft", folder / "in", "--out", folder / "out", "--quiet")

    assert run.code == 1
    clear(run.told)
    ids = {line["message_id"] for line in lines_in(folder / "out")}
    assert {f"c0-{number}" for number in range(12)} <= ids
    sound(folder / "out" / "ledger.sqlite")


# ---- Ctrl-C --------------------------------------------------------------------------------------------


@pytest.mark.parametrize("share", [0.1, 0.35, 0.6, 0.8, 0.95])
def test_ctrl_c_stops_with_a_word_and_the_next_run_does_the_rest(warm, inbox, folder, share):
    out, count = folder / "out", folder / "work"
    command = ("draft", inbox, "--out", out, "--quiet")
    running = warm.start(*command, tricks=[*SMALL, ("counted_work", str(count)), ("slow_chunks", 0.02)])
    until(lambda: count.exists() and len(count.read_text().split()) >= 12 * share)

    running.kill(signal.SIGINT)

    code = running.wait()
    assert code in (130, 0), running.told
    if code:
        clear(running.told)
        assert "Nothing is lost: run the same command again" in running.told
    sound(out / "ledger.sqlite")
    assert list(out.rglob("*.part")) == []
    assert warm.run(*command, tricks=SMALL).code == 0
    each_once(out, inbox, MESSAGES)


# ---- text that one database takes and the other does not -----------------------------------------------

NASTY = "a\x00b\ud800c\udfffd\ufffee\x1b[31m\u2028f"


def _nasty(folder):
    """Every field that a rider fills, with NUL, halves of characters, and other things that no text should hold."""
    inbox = folder / "nasty"
    inbox.mkdir()
    (inbox / "comments.jsonl").write_text(
        json.dumps({"id": f"id {NASTY}", "author": f"Ana {NASTY}", "text": f"Which oil {NASTY} for rain?",
                    "date": f"2026-11-20 {NASTY}"}) + "\n"
    )  # fmt: skip
    raw = NASTY.encode("utf-8", "surrogatepass")
    (inbox / "one.eml").write_bytes(
        b"From: Ana " + raw + b" <ana" + raw + b"@riders.invalid>\nMessage-ID: <one" + raw + b"@riders.invalid>\n"
        b"In-Reply-To: <zero" + raw + b"@riders.invalid>\nReferences: <zero" + raw + b"@riders.invalid>\n"
        b"Subject: Oil " + raw + b"\nDate: Fri, 20 Nov 2026 09:00:00 +0000\n"
        b'Content-Type: multipart/mixed; boundary="xx"\n\n--xx\nContent-Type: text/plain; charset=utf-8\n\n'
        b"Which oil " + raw + b" for rain?\n\n--xx\nContent-Type: image/png; name=\"p" + raw + b'.png"\n'
        b"Content-Disposition: attachment; filename=\"p" + raw + b'.png"\n\nx\n--xx--\n'
    )  # fmt: skip
    (inbox / "note.txt").write_bytes(b"Which oil " + raw + b" for rain?\n")
    # A table with a NUL in it is refused as what it then is, a binary file.
    raw = raw.replace(b"\x00", b"")
    (inbox / "table.csv").write_bytes(
        b"id,author,text\n7" + raw + b",Bo " + raw + b",Which oil " + raw + b" now?\n"
    )
    return inbox


def _kept(place):
    ledger = open_ledger(place)
    with ledger.engine.connect() as connection:
        messages = connection.execute(sa.select(KEPT).order_by(KEPT.c.message_key)).mappings().all()
        drafts = connection.execute(sa.select(DRAFTS.c.question_id, DRAFTS.c.asker, DRAFTS.c.ask, DRAFTS.c.line).order_by(
            DRAFTS.c.question_id)).all()  # fmt: skip
    ledger.close()
    return [{name: value for name, value in row.items() if name != "added"} for row in messages], drafts


def test_text_that_a_database_does_not_take_is_settled_before_it_is_kept(warm, folder, new_database):
    inbox, places = _nasty(folder), [folder / "ledger.sqlite", new_database()]
    for number, place in enumerate(places):
        run = warm.run("draft", inbox, "--out", folder / f"out-{number}", "--ledger", place, "--quiet")
        assert run.code in (0, 1), run.told
        assert "could not be drafted" not in run.told
        sound(place)

    (messages, drafts), on_the_server = map(_kept, places)

    assert (messages, drafts) == on_the_server
    assert len(messages) == 4
    texts = [value for row in messages for value in row.values() if isinstance(value, str)]
    texts += [value for row in drafts for value in row]
    for text in texts:
        assert "\x00" not in text
        assert r"\u0000" not in text
        assert not any(0xD800 <= ord(letter) < 0xE000 for letter in text)
        assert r"\ud800" not in text
    note("text with NUL and halves of characters", messages=4)


def test_moments_of_ctrl_c_are_spread_over_a_run_of_files_too(warm, inbox, folder):
    """Interrupted while files are written: each is whole or absent."""
    out = folder / "out"
    command = ("draft", inbox, "--out", out, "--quiet")
    alone = warm.run(*command, tricks=SMALL)
    assert alone.code == 0
    whole = files_of(out)
    quick = warm.run(*command)
    chance = random.Random(4)
    for _ in range(4):
        running = warm.start(*command)
        running.kill_after(chance.random() * quick.cpu_seconds, signal.SIGINT)
        code = running.wait()
        assert code in (0, 130), running.told
        if code:
            clear(running.told)
        whole_or_absent(out, whole)
        assert list(out.rglob("*.part")) == []
    assert warm.run(*command).code == 0
    assert files_of(out) == whole

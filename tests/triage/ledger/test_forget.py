"""A forgotten rider is gone from every table and from the file; the answers, other riders and the signatures stay."""

from __future__ import annotations

import json
import re
import shutil
import sqlite3
from dataclasses import replace

import pytest
import sqlalchemy as sa
from click.testing import CliRunner

from tests.triage.ledger.lines import line
from triage.cli import main
from triage.ledger import Deed, Filter, LedgerError, Person, open_ledger
from triage.ledger.episodes import Item
from triage.ledger.forget import FORGOT, REMOVED, find, forget, sweep
from triage.ledger.mails import MailOrder
from triage.ledger.rows import message_key
from triage.ledger.schema import ABOUT, CORRECTIONS, DEEDS, DRAFTS, FORGETTING, MAILS, METADATA, REVIEWS
from triage.ledger.store import correction_row
from triage.personal import without_a_trace

EDITOR = Person("Berit", "editor")
TRACES = re.compile(rb"lindqvist|\bana\b|riders-own|555 0142|5550142|mill lane|bx1 4dj", re.IGNORECASE)
FIRST = """From: Ana Lindqvist <ana.lindqvist@riders-own.invalid>
Message-ID: <one@riders-own.invalid>
Subject: Ana's worn rotor
Date: Fri, 20 Nov 2026 09:00:00 +0000

Hello, I'm Ana Lindqvist of 28 Mill Lane, Brigton BX1 4DJ.
My rotor measures 1.42 mm and it says min 1.5, is it worn out? Ring me on 0171 555 0142.

How wide a tyre can I put on a rim of 17 mm inside?

Ana Lindqvist
"""
SECOND = """From: ANA LINDQVIST <Ana.Lindqvist@riders-own.invalid>
Message-ID: <two@riders-own.invalid>
In-Reply-To: <one@riders-own.invalid>
References: <one@riders-own.invalid>
Subject: Re: Ana's worn rotor
Date: Sat, 21 Nov 2026 09:00:00 +0000

The Lindqvist rotor again: is a rotor of 1.9 mm safe to ride where the minimum is 1.5 mm?
"""
OTHER = """From: Ana Brandhof <ana@brandhof.invalid>
Message-ID: <three@brandhof.invalid>
In-Reply-To: <one@riders-own.invalid>
References: <zero@brandhof.invalid> <one@riders-own.invalid>
Subject: Still a worn rotor
Date: Sun, 22 Nov 2026 09:00:00 +0000

Ana Brandhof here, my rotor squeals still, is it worn out at 1.45 mm?
"""


def _draft(home):
    done = CliRunner().invoke(main, ["draft", str(home / "inbox"), "--out", str(home / "out"), "--quiet"])
    assert done.exit_code == 0, done.output
    return done


def _words(one):
    return f"{one['text']} {one['context']} {one['script']} {one['reply']}"


@pytest.fixture(scope="module")
def drafted(tmp_path_factory):
    """An inbox with two mails of one Ana and one of another, drafted; the first Ana's were worked on."""
    home = tmp_path_factory.mktemp("desk")
    (home / "inbox").mkdir()
    for name, mail in (("1", FIRST), ("2", SECOND), ("3", OTHER)):
        (home / f"inbox/{name}.eml").write_text(mail)
    _draft(home)
    ledger = open_ledger(home / "out/ledger.sqlite")
    for identity in _ids(ledger, "riders-own"):
        _work_on(ledger, identity)
    key = _keys(ledger, "riders-own")[0]
    ledger.mails.order([MailOrder(key, "ana.lindqvist@riders-own.invalid.1", "digest", ("q",))], EDITOR)
    with ledger.engine.begin() as connection:
        connection.execute(sa.update(MAILS).values(answer="250 <ana.lindqvist@riders-own.invalid> taken"))
    ledger.wall.catch_up(_words)
    ledger.close()
    return home


@pytest.fixture
def home(drafted, tmp_path):
    """That desk, for one test to do with what it likes."""
    shutil.copytree(drafted, tmp_path, dirs_exist_ok=True)
    return tmp_path


def _keys(ledger, host):
    with ledger.engine.connect() as connection:
        rows = connection.execute(sa.text("SELECT message_key, address FROM messages ORDER BY received"))
        return [key for key, address in rows if address and host in address]


def _ids(ledger, host):
    return [line["question_id"] for _, line in ledger.lines(_keys(ledger, host))]


def _work_on(ledger, identity):
    """An edit that names the rider, a correction with what it led to, a note and a signature."""
    before, drafted = ledger.reviews.of(identity), ledger.question(identity)
    edited = replace(
        before,
        state="signed",
        script=f"{drafted['script']}\n\nThanks, Ana Lindqvist of 28 Mill Lane!",
        script_seconds=20.0,
        script_from=drafted["script"],
        reply=f"{drafted['reply']}\n\nWe rang 0171 555 0142, Ana.",
        reply_from=drafted["reply"],
        note="Ana rang: ana.lindqvist@riders-own.invalid",
        signed_by="Berit",
        lost_because="Berit edited the reply to Ana Lindqvist.",
    )
    changes = json.dumps([["reply", "Hi Ana,\nold", "Hi Ana,\n\nnew for Lindqvist"]], ensure_ascii=False)
    deeds = [
        Deed("edited", "script", drafted["script"], edited.script),
        Deed("corrected", "detail rotor_thickness_mm", None, "1.42", changes),
        Deed("sign-off lost", why="Berit edited the reply to Ana."),
    ]
    row = correction_row(drafted, "topic", None, "brakes")
    ledger.reviews.save(before, edited, EDITOR, deeds, corrections=[row])
    ledger.episodes.promise(identity, "ring Ana Lindqvist on 0171 555 0142", None, EDITOR)
    ledger.episodes.put_right(identity, "Ana was told 1.2 mm", "1.5 mm", "Ana Lindqvist", EDITOR)
    said = {
        "rider": "Ana",
        "title": drafted["title"],
        "verdict": drafted["verdict"],
        "say": "From Ana Lindqvist, this one.",
    }
    episode = ledger.episodes.planned(f"2026-11-{20 + int(ledger.episodes.all() != []):02d}", 900.0)
    ledger.episodes.air(episode, [Item(1, "question", identity, 40.0, as_aired=said)], EDITOR)


@pytest.fixture
def ours(home):
    """The ledger of that desk."""
    opened = open_ledger(home / "out/ledger.sqlite")
    yield opened
    opened.close()


def _dump(ledger, besides=()):
    """Every table's rows as text, without the rows that hold one of some ids."""
    with ledger.engine.connect() as connection:
        rows = [
            f"{table.name}: {dict(row._mapping)}"
            for table in METADATA.sorted_tables
            for row in connection.execute(sa.select(table))
        ]
    return "\n".join(row for row in rows if not any(one in row for one in besides)).encode()


def _of_the_other(ledger):
    """What identifies the other Ana's rows."""
    return _keys(ledger, "brandhof") + _ids(ledger, "brandhof")


def test_a_forgotten_rider_is_in_no_table_any_more(ours):
    other = _of_the_other(ours)
    assert len(set(TRACES.findall(_dump(ours, other)))) >= 7

    done = forget(ours, "ana.lindqvist@riders-own.invalid", without_a_trace, EDITOR)

    assert done.messages == 2
    assert done.questions >= 3
    assert done.is_swept
    assert TRACES.findall(_dump(ours, other)) == []


def test_the_file_holds_the_words_no_more(home, ours):
    (home / "inbox/3.eml").unlink()
    place = home / "out/ledger.sqlite"
    forget(ours, "ana@brandhof.invalid", without_a_trace, EDITOR)
    held = b"".join(file.read_bytes() for file in place.parent.glob("ledger.sqlite*"))
    assert TRACES.search(held)

    forget(ours, "Ana Lindqvist", without_a_trace, EDITOR)

    files = list(place.parent.glob("ledger.sqlite*"))
    assert place in files
    held = b"".join(file.read_bytes() for file in files)
    assert TRACES.findall(held) == []
    assert b"rotor" in held


def test_the_search_forgets_the_words_too(home, ours):
    assert ours.wall.cards(Filter(words="lindqvist"), 10)

    forget(ours, "Ana Lindqvist", without_a_trace, EDITOR)

    assert ours.wall.cards(Filter(words="lindqvist"), 10) == []
    assert ours.wall.catch_up(_words) >= 3
    with sqlite3.connect(home / "out/ledger.sqlite") as connection:
        connection.execute("CREATE VIRTUAL TABLE temp.terms USING fts5vocab(main, words_found, row)")
        terms = {term for (term,) in connection.execute("SELECT term FROM temp.terms")}
    connection.close()
    assert "brandhof" in terms
    assert not any("lindqvist" in term for term in terms)
    assert ours.wall.cards(Filter(words="rotor"), 10)


def test_answers_figures_and_signatures_stay(ours):
    ids = _ids(ours, "riders-own")
    before = {one: ours.question(one) for one in ids}

    forget(ours, "Ana Lindqvist", without_a_trace, EDITOR)

    after = {one: ours.question(one) for one in ids}
    stays = (
        "verdict",
        "figures",
        "cautions",
        "sources",
        "checklist",
        "brief",
        "topic",
        "flags",
        "sorted_as",
        "nearest",
    )
    assert {one: [after[one][key] for key in stays] for one in ids} == {
        one: [before[one][key] for key in stays] for one in ids
    }
    assert any(one["figures"] for one in after.values())
    assert all(set(after[one]) == set(before[one]) for one in ids)
    assert all(ours.reviews.of(one).is_signed and ours.reviews.of(one).signed_by == "Berit" for one in ids)


def test_what_is_left_of_a_draft_reads_as_a_text(ours):
    ids = _ids(ours, "riders-own")
    worn = next(one for one in ids if "1.42" in ours.question(one)["text"])
    assert ours.question(worn)["reply"].startswith(("Hi Ana,\n", "Hello Ana,\n"))

    forget(ours, "Ana Lindqvist", without_a_trace, EDITOR)

    left = ours.question(worn)
    assert left["reply"].startswith("Hello,\n")
    assert "a viewer" in left["script"].split("“")[0].lower()
    assert (left["rider"], left["subject"], left["context"], left["attachments"]) == (None, None, "", [])
    assert left["whole_text"] == REMOVED == "(The rider's words were removed at the rider's wish.)"
    assert left["source"] == "forgotten"
    assert left["message_id"].startswith("forgotten-")
    assert "1.42 mm" in left["text"]
    assert all((detail["start"], detail["end"]) == (-1, -1) for detail in left["details"])
    assert left["details"]


def test_the_history_stays_in_its_order_without_the_name_and_is_closed_again(ours):
    one = _ids(ours, "riders-own")[0]
    before = ours.reviews.history(one)

    forget(ours, "Ana Lindqvist", without_a_trace, EDITOR)

    after = ours.reviews.history(one)
    assert [(d.number, d.kind, d.what, d.person, d.made) for d in after] == [
        (d.number, d.kind, d.what, d.person, d.made) for d in before
    ]
    *_, lost, corrected, edited = after
    assert lost.why == "Berit edited the reply to a viewer."
    assert json.loads(corrected.why) == [["reply", "Hello,\nold", "Hello,\n\nnew for [left out]"]]
    assert edited.now.endswith("\n\nThanks, a viewer of [left out]!")
    assert ours.note(FORGETTING) is None
    with pytest.raises(sa.exc.DBAPIError, match="only added to"), ours.engine.begin() as connection:
        connection.execute(sa.update(DEEDS).values(why="otherwise"))


def test_one_deed_says_that_somebody_was_forgotten_and_not_who(ours):
    done = forget(ours, "Ana Lindqvist", without_a_trace, EDITOR)

    deed = ours.reviews.history()[0]
    assert (deed.kind, deed.person, deed.role, deed.question_id) == (FORGOT, "Berit", "editor", None)
    assert deed.what == f"2 messages, {done.questions} questions"
    assert (deed.was, deed.now, deed.why) == (None, None, None)


def test_another_rider_of_the_same_first_name_is_untouched(ours):
    keys, ids = _keys(ours, "brandhof"), _ids(ours, "brandhof")
    messages = ours.messages(keys)
    lines = [ours.question(one) for one in ids]
    assert ids

    forget(ours, "Ana Lindqvist", without_a_trace, EDITOR)

    after = ours.messages(keys)
    own = ("author", "rider", "address", "subject", "body", "source", "message_id", "is_forgotten")
    assert [[after[key][name] for name in own] for key in keys] == [
        [messages[key][name] for name in own] for key in keys
    ]
    for was, now in zip(lines, [ours.question(one) for one in ids], strict=True):
        assert {key: now[key] for key in was if key != "context"} == {
            key: was[key] for key in was if key != "context"
        }
        # It follows the forgotten one's thread, and was read with its words.
        assert "Lindqvist" not in now["context"]
        assert "rotor" in now["context"]


def test_a_thread_holds_together_by_the_new_id(ours):
    first = _keys(ours, "riders-own")[0]
    (other,) = _keys(ours, "brandhof")

    forget(ours, "Ana Lindqvist", without_a_trace, EDITOR)

    kept = ours.messages([other])[other]
    assert kept["in_reply_to"] == f"forgotten-{first[:12]}" == ours.messages([first])[first]["message_id"]
    assert json.loads(kept["thread"]) == ["zero@brandhof.invalid", f"forgotten-{first[:12]}"]


def test_the_same_inbox_never_brings_the_rider_back(home, ours):
    keys, ids = _keys(ours, "riders-own"), _ids(ours, "riders-own")
    forget(ours, "Ana Lindqvist", without_a_trace, EDITOR)
    counts = ours.counts()

    _draft(home)

    assert ours.drafted(keys, "another knowledge") == set(keys)
    assert ours.counts() == counts
    assert all(message["body"] == "" and message["is_forgotten"] for message in ours.messages(keys).values())
    assert all(ours.question(one)["whole_text"] == REMOVED for one in ids)


def test_a_second_time_nobody_is_found(ours):
    assert find(ours, "ana lindqvist").messages == 2
    forget(ours, "Ana Lindqvist", without_a_trace, EDITOR)
    deeds = len(ours.reviews.history())

    again = forget(ours, "Ana Lindqvist", without_a_trace, EDITOR)

    assert (again.messages, again.questions) == (0, 0)
    assert find(ours, "Ana Lindqvist").messages == 0
    assert find(ours, "ana.lindqvist@riders-own.invalid").messages == 0
    assert len(ours.reviews.history()) == deeds


def test_a_file_in_use_is_swept_the_next_time(home, ours):
    reader = sqlite3.connect(home / "out/ledger.sqlite")
    reader.execute("BEGIN")
    reader.execute("SELECT COUNT(*) FROM messages").fetchone()
    sa.event.listen(ours.engine, "connect", lambda one, _: one.execute("PRAGMA busy_timeout=100"))
    ours.engine.dispose()

    done = forget(ours, "Ana Lindqvist", without_a_trace, EDITOR)
    assert (done.messages, done.is_swept) == (2, False)
    assert not sweep(ours)
    reader.close()

    assert sweep(ours)
    held = b"".join(file.read_bytes() for file in (home / "out").glob("ledger.sqlite*"))
    assert b"Lindqvist" not in held
    assert sweep(ours)


def test_a_ledger_that_another_writes_to_says_so_and_nothing_is_removed(home, ours):
    writer = sqlite3.connect(home / "out/ledger.sqlite", isolation_level=None)
    writer.execute("BEGIN IMMEDIATE")
    sa.event.listen(ours.engine, "connect", lambda one, _: one.execute("PRAGMA busy_timeout=100"))
    ours.engine.dispose()

    with pytest.raises(LedgerError) as told:
        forget(ours, "Ana Lindqvist", without_a_trace, EDITOR)
    writer.close()

    assert str(told.value) == (
        f"Nothing was removed: {ours.shown}: the ledger is in use by another program.\n"
        "    Is a draft being made, or the database away? Try again afterwards."
    )
    assert find(ours, "Ana Lindqvist").messages == 2


# On both databases, with drafts that hold no more than the ledger looks into.


@pytest.fixture
def kept(ledger, message):
    """Messages of several senders, one draft each."""
    senders = [
        ("Ana Example", "Ana", "ana@riders.invalid"),
        ("ANA EXAMPLE", "Ana", "Other@riders.invalid"),
        ("A. Example", None, "ana@riders.invalid"),
        ("Ana", "Ana", "first@riders.invalid"),
        ("KOVÁCS Réka", "Réka", None),
        ("Ana Examples", "Ana", "ana@riders.invalid.other"),
    ]
    for number, (author, rider, address) in enumerate(senders):
        one = message(
            f"Ask {number} of Example", message_id=f"m{number}", author=author, rider=rider, address=address
        )
        drafted = line(
            number, text=f"Ask {number} of Example", script="Ana asks.", reply="Hi Ana,", details=[]
        )
        ledger.keep([one], {message_key(one): [drafted]}, "v1")
    return ledger


def _numbers(kept, person):
    messages = kept.messages(find(kept, person).message_keys)
    return sorted(int(one["message_id"][1:]) for one in messages.values())


@pytest.mark.parametrize(
    ("person", "numbers"),
    [
        ("ana@riders.invalid", [0, 2]),
        ("ANA@RIDERS.INVALID", [0, 2]),
        ("Ana Example", [0, 1]),
        (" ana example ", [0, 1]),
        ("kovács réka", [4]),
        ("Ana", []),
        ("Example", []),
        ("Ana Exampl", []),
        ("%", []),
        ("", []),
    ],
)
def test_a_person_is_a_whole_address_or_a_whole_name(kept, person, numbers):
    assert _numbers(kept, person) == numbers


def test_senders_of_the_same_name_or_address_are_pointed_out(kept):
    found = find(kept, "ana@riders.invalid")

    assert sorted(map(str, found.senders)) == [
        "A. Example <ana@riders.invalid>",
        "Ana Example <ana@riders.invalid>",
    ]
    assert [str(one) for one in found.beside] == ["ANA EXAMPLE <Other@riders.invalid>"]


def test_forgetting_does_the_same_on_both_databases(kept):
    before = kept.reviews.of("q0")
    after = replace(before, state="in-hand", reply="Hi Ana Example,\nyes", note="Ana")
    saved = kept.reviews.save(
        before, after, EDITOR, [Deed("edited", "reply", "Hi Ana,", "Hi Ana Example,\nyes")]
    )
    with kept.engine.begin() as connection:
        connection.execute(
            sa.insert(CORRECTIONS).values(**correction_row(kept.question("q0"), "topic", None, "tyres"))
        )

    done = forget(kept, "ana@riders.invalid", without_a_trace, EDITOR)

    assert (done.messages, done.questions, done.is_swept) == (2, 2, True)
    assert kept.reviews.of("q0").reply == "Hello,\nyes"
    assert kept.reviews.of("q0").version == saved.version + 1
    assert kept.reviews.history("q0")[0].now == "Hello,\nyes"
    with kept.engine.connect() as connection:
        rows = connection.execute(sa.select(DRAFTS.c.question_id, DRAFTS.c.ask))
        asks = {row.question_id: row.ask for row in rows}
        askers = (
            connection.execute(sa.select(DRAFTS.c.asker).where(DRAFTS.c.question_id.in_(("q0", "q2"))))
            .scalars()
            .all()
        )
        taught = connection.execute(sa.select(CORRECTIONS.c.ask)).scalar_one()
        keys = connection.execute(sa.select(ABOUT.c.key)).scalars().all()
    assert asks["q0"] == "Ask 0 of [left out]" == taught
    assert asks["q1"] == "Ask 1 of Example"
    assert len(set(askers)) == 1
    assert askers[0].startswith("forgotten-")
    assert FORGETTING not in keys
    assert "sweep_is_due" not in keys


def test_whoever_has_the_old_text_open_cannot_save_it_back(kept):
    before = kept.reviews.of("q0")
    opened = kept.reviews.save(before, replace(before, reply="Hi Ana,"), EDITOR, [])
    forget(kept, "ana@riders.invalid", without_a_trace, EDITOR)

    with pytest.raises(Exception, match="q0"):
        kept.reviews.save(opened, replace(opened, reply="Hi Ana again,"), EDITOR, [])

    with kept.engine.connect() as connection:
        assert connection.execute(sa.select(REVIEWS.c.reply)).scalar_one() == "Hello,"


def test_where_it_fails_nothing_is_forgotten(kept):
    def broken(text, author, rider, address):
        if "2" in text:
            raise RuntimeError("broken")
        return without_a_trace(text, author, rider, address)

    with pytest.raises(RuntimeError):
        forget(kept, "ana@riders.invalid", broken, EDITOR)

    assert _numbers(kept, "ana@riders.invalid") == [0, 2]
    assert kept.question("q0")["reply"] == "Hi Ana,"
    assert kept.note(FORGETTING) is None

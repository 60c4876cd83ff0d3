"""Replies in bulk: what is signed is taken out or sent once, through a mail server on this machine; nothing else is."""

from __future__ import annotations

import csv
import io
import re
import socket
import zipfile
from dataclasses import replace
from email import message_from_bytes
from email.policy import default

import pytest

from tests.triage.desk.visitors import Visitor
from triage.desk.settings import Settings
from triage.ledger import Filter, Person
from triage.outbox import Sender, Server
from triage.output.write import write_outputs
from triage.review.acts import concerns, digest_of, edit, sign

ANA = Person("Ana", "editor")
SENDER = Sender("The workshop", "workshop@show.invalid")


@pytest.fixture
def signed(bench):
    """Every question that came by mail and has a reply, signed off; the questions."""
    wall = bench.ledger.wall
    found = []
    for card in wall.cards(Filter(repeats=True), 200):
        if card["channel"] == "mail" and card["reply"]:
            sign(bench, ANA, card["question_id"], 0)
            found.append(card["question_id"])
    return found


@pytest.fixture
def posting(bench, sink):
    """A visitor of a desk with that mail server."""
    server = replace(sink.server_settings, sender=SENDER)

    def make(role):
        return Visitor(bench, Settings(server=server, sender=SENDER)).come_in(role)

    return make


def ready(page):
    return re.findall(r'name="chosen" value="([0-9a-f]+)"', page)


def settled(somebody):
    """The page of replies once nothing is going out any more."""
    import time

    for _ in range(200):
        page = somebody.get("/replies")
        if "go out one by one" not in page:
            return page
        time.sleep(0.05)
    raise AssertionError("the postman never ends")


def test_nothing_unsigned_is_ready(visitor):
    page = visitor("desk").get("/replies")

    assert ready(page) == []
    assert "No reply is signed off yet." in page


def test_signed_replies_are_taken_out_in_three_forms(visitor, signed):
    desk = visitor("desk")
    keys = ready(desk.get("/replies"))
    assert len(keys) >= 10

    files = zipfile.ZipFile(io.BytesIO(desk.post("/replies/take", form="eml", chosen=keys).content))
    box = desk.post("/replies/take", form="mbox", chosen=keys)
    table = desk.post("/replies/take", form="csv", chosen=keys)

    assert len(files.namelist()) == len(keys)
    mails = [message_from_bytes(files.read(name), policy=default) for name in files.namelist()]
    assert all(mail["X-Quillstem-Draft"] == "signed" for mail in mails)
    assert all(mail["X-Unsent"] == "1" for mail in mails)
    assert len(re.findall(rb"^From ", box.content, re.MULTILINE)) == len(keys)
    rows = list(csv.DictReader(io.StringIO(table.content.decode("utf-8-sig"))))
    assert {row["address"] for row in rows} == {
        mail["To"].addresses[0].addr_spec for mail in mails if mail["To"]
    }
    assert table.headers["content-disposition"] == 'attachment; filename="replies.csv"'


def test_an_unsigned_message_among_the_chosen_keeps_all_of_them_in(visitor, signed, ledger, bench):
    desk = visitor("desk")
    keys = ready(desk.get("/replies"))
    unsigned = ledger.wall.cards(Filter(state="new"), 1)[0]["question_id"]
    with ledger.engine.connect() as connection:
        key = connection.exec_driver_sql(
            f"SELECT message_key FROM drafts WHERE question_id = '{unsigned}'"
        ).scalar_one()

    answer = desk.post("/replies/take", form="eml", chosen=[*keys[:2], key])

    assert answer.status_code == 409
    assert f"Not signed off: {unsigned}" in answer.text


def test_an_edited_and_signed_reply_is_what_goes_out(visitor, bench, ledger):
    one = next(c for c in ledger.wall.cards(Filter(), 200) if c["channel"] == "mail" and c["reply"]
               and len(ledger.wall.siblings(c["question_id"])) == 1)  # fmt: skip
    editor = visitor("editor")
    question = one["question_id"]
    editor.post(f"/bench/{question}/text", version="0", reply=one["reply"] + "\n\nPS: come by the workshop.")
    page = editor.get(f"/bench/{question}")
    seen = re.search(r'name="seen" value="([0-9a-f]+)"', page)
    editor.post(f"/bench/{question}/sign", version="1", seen=seen[1] if seen else "")

    keys = ready(editor.get("/replies"))
    (name,) = (
        files := zipfile.ZipFile(io.BytesIO(editor.post("/replies/take", form="eml", chosen=keys).content))
    ).namelist()

    text = message_from_bytes(files.read(name), policy=default).get_content()
    assert "PS: come by the workshop." in text


def test_mail_goes_out_on_an_explicit_order_and_once(posting, signed, sink, ledger):
    desk = posting("desk")
    keys = ready(desk.get("/replies"))
    exported = zipfile.ZipFile(io.BytesIO(desk.post("/replies/take", form="eml", chosen=keys).content))
    texts = {}
    for name in exported.namelist():
        mail = message_from_bytes(exported.read(name), policy=default)
        if mail["To"]:
            texts[mail["To"].addresses[0].addr_spec] = (
                mail["Subject"],
                mail["References"],
                mail.get_content().replace("\r\n", "\n"),
            )

    unsure = desk.post("/replies/order", chosen=keys)
    assert unsure.status_code == 409
    assert sink.mails == []

    assert desk.post("/replies/order", chosen=keys, sure="1").status_code == 303
    settled(desk)
    assert desk.post("/replies/order", chosen=keys, sure="1").status_code == 303
    page = settled(desk)

    came = {
        to: (mail["Subject"], mail["References"], mail.get_content().replace("\r\n", "\n"))
        for to, mail in sink.parsed.items()
    }
    assert came == texts
    assert sink.recipients == sorted(texts)
    assert all(mail["From"] == "The workshop <workshop@show.invalid>" for mail in sink.parsed.values())
    assert all(mail["X-Unsent"] is None for mail in sink.parsed.values())
    assert f"<b>{len(texts)}</b> sent" in page
    sent = [deed for deed in ledger.reviews.history(most=500) if deed.kind == "sent"]
    assert {deed.person for deed in sent} == {"the desk"}


def test_a_refused_mail_is_shown_with_the_servers_words_and_can_be_ordered_again(
    posting, signed, sink, ledger
):
    desk = posting("desk")
    keys = ready(desk.get("/replies"))
    whom = ledger.mails.ready(1)[0].address
    sink.refuse["RCPT", whom] = "550 No such mailbox"

    desk.post("/replies/order", chosen=keys, sure="1")
    page = settled(desk)
    key = re.search(r'name="key" value="([0-9a-f]+)"', page)[1]
    sink.refuse.clear()
    desk.post("/replies/settle", key=key, settle="again")
    desk.post("/replies/order")
    after = settled(desk)

    assert "550" in page
    assert "No such mailbox" in page
    assert sink.recipients.count(whom) == 1
    assert "refused" not in after


def test_a_server_that_is_away_changes_nothing_and_says_so(bench, signed):
    with socket.create_server(("127.0.0.1", 0)) as nobody:
        port = nobody.getsockname()[1]
    server = Server("127.0.0.1", port, "none", sender=SENDER, patience_seconds=2.0)
    desk = Visitor(bench, Settings(server=server, sender=SENDER)).come_in("desk")

    desk.post("/replies/order", chosen=ready(desk.get("/replies")), sure="1")
    page = settled(desk)

    assert 'class="trouble"' in page
    assert "waiting" in page
    assert bench.ledger.mails.counts().keys() == {"waiting"}


def test_without_a_mail_server_nothing_can_be_sent(visitor, signed):
    desk = visitor("desk")
    answer = desk.post("/replies/order", chosen=ready(desk.get("/replies")), sure="1")

    assert answer.status_code == 409
    assert "This desk has no mail server." in answer.text


def test_a_presenter_takes_out_no_addresses(posting, signed):
    presenter = posting("presenter")

    for path in ("/replies/take", "/replies/order", "/replies/settle"):
        assert presenter.post(path, form="csv", chosen="x").status_code == 403
    assert "riders.invalid" not in presenter.get("/replies")


def test_a_run_writes_what_people_made_of_the_drafts(bench, ledger, tmp_path):
    card = next(c for c in ledger.wall.cards(Filter(), 200) if c["channel"] == "mail" and c["reply"]
                and len(ledger.wall.siblings(c["question_id"])) == 1)  # fmt: skip
    question = card["question_id"]
    edit(bench, ANA, question, 0, {"reply": card["reply"] + "\n\nPS: come by.", "script": "Said by hand."})
    sign(bench, ANA, question, 1, digest_of(concerns(bench.line(question), ledger.reviews.of(question))))
    number = ledger.runs.begin()
    with ledger.engine.begin() as connection:
        keys = list(connection.exec_driver_sql("SELECT message_key FROM messages").scalars())
        ledger.runs.keep_met(connection, number, list(enumerate(keys)))

    totals = write_outputs(number, ledger, bench.knowledge, tmp_path)

    assert totals.signed == 1
    assert "1 is signed off" in (tmp_path / "sheet.html").read_text()
    assert "Said by hand." in (tmp_path / "script.md").read_text()
    (mail,) = [path.read_text() for path in (tmp_path / "replies").glob(f"*{question}.eml")]
    assert "PS: come by." in mail
    assert "X-Quillstem-Draft: signed" in mail
    others = [path.read_text() for path in (tmp_path / "replies").glob("*.eml") if question not in path.name]
    assert all("X-Quillstem-Draft: unsigned" in other for other in others)


def test_riders_who_got_an_answer_that_was_wrong_are_offered_a_mail(posting, signed, sink, ledger):
    desk = posting("desk")
    desk.post("/replies/order", chosen=ready(desk.get("/replies")), sure="1")
    settled(desk)
    whom = sink.recipients[0]
    question = next(row for row in ledger.mails.in_state(["sent"], 200) if row.address == whom).question_ids[
        0
    ]
    posting("editor").post(
        "/episode/owe",
        act="right",
        question=question,
        wrong="it fits",
        right="it does not",
        told_by="a maker",
    )

    taken = desk.post("/episode/mails", number="1")

    files = zipfile.ZipFile(io.BytesIO(taken.content))
    mails = [message_from_bytes(files.read(name), policy=default) for name in files.namelist()]
    assert whom in {mail["To"].addresses[0].addr_spec for mail in mails}
    text = mails[0].get_content()
    assert "We said: it fits." in text
    assert "What holds: it does not. A maker told us." in text
    assert "look at it again before you ride" in text
    assert mails[0]["X-Unsent"] == "1"
    assert mails[0]["In-Reply-To"]
    assert sink.recipients.count(whom) == 1


def test_a_correction_that_nobody_got_has_no_mails(posting, signed):
    desk = posting("desk")

    assert "There is no such correction." in desk.post("/episode/mails", number="9").text

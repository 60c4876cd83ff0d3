"""Replies taken out in bulk: only signed ones, complete in every form, and harmless in a spreadsheet."""

from __future__ import annotations

import csv
import io
import mailbox
import re
import zipfile
from email import message_from_bytes
from email.policy import default

import pytest

from tests.triage.outbox.signed import draft, keep, sign, unsign
from triage.outbox import (
    NotReadyError,
    Sender,
    as_mbox,
    as_merge_csv,
    as_zip,
    mails_for,
    ready_and_refused,
    usable_address,
)


@pytest.fixture
def two(ledger):
    """Two signed mails; the second answers two questions."""
    keys = [keep(ledger, 1), keep(ledger, 2, draft(2), draft(3, text="And which grease?"))]
    sign(ledger, 1, 2, 3)
    return mails_for(ledger, keys, Sender("Answers", "a@other.invalid"))


def test_a_mail_is_signed_unsent_and_the_senders_own(two):
    first, second = two

    assert first.question_ids == ("q1",)
    assert second.question_ids == ("q2", "q3")
    assert (first.address, first.first_name, first.subject) == (
        "rider1@riders.invalid", "Ida", "Re: Question 1 – Öl?",
    )  # fmt: skip
    mail = message_from_bytes(second.mail.as_bytes(), policy=default)
    assert (mail["X-Unsent"], mail["X-Quillstem-Draft"]) == ("1", "signed")
    assert mail["From"] == "Answers <a@other.invalid>"
    assert mail["Message-ID"].endswith("@other.invalid>")
    assert mail["Date"] == "Fri, 20 Nov 2026 09:02:00 +0000"
    assert "You asked: “And which grease?”" in mail.get_content()


def test_an_id_is_the_same_until_the_words_change(ledger, two):
    sender = Sender("Answers", "a@other.invalid")
    again = mails_for(ledger, [one.message_key for one in two], sender)
    unsign(ledger, 1, reply="Hi Ida,\n\nThick oil.\n\nBye")
    sign(ledger, 1)
    changed = mails_for(ledger, [one.message_key for one in two], sender)

    assert [one.order for one in again] == [one.order for one in two]
    assert changed[0].order.mail_id != two[0].order.mail_id
    assert changed[0].digest != two[0].digest
    assert changed[1].order == two[1].order


@pytest.mark.parametrize("state", ["new", "in hand"])
def test_an_unsigned_draft_never_gets_into_a_mail(ledger, state):
    keys = [keep(ledger, 1), keep(ledger, 2, draft(2), draft(3))]
    sign(ledger, 1, 2)
    if state == "in hand":
        unsign(ledger, 3)

    with pytest.raises(NotReadyError) as refused:
        mails_for(ledger, keys, Sender())
    ready, left = ready_and_refused(ledger, keys, Sender())

    assert str(refused.value) == "Not signed off: q3."
    assert [one.question_ids for one in ready] == [("q1",)]
    assert [one.reason for one in left] == ["Not signed off: q3."]


def test_what_is_no_question_or_has_no_reply_needs_no_signature(ledger):
    key = keep(ledger, 1, draft(1), draft(2, is_question=False), draft(3, reply=None))
    sign(ledger, 1)

    assert mails_for(ledger, [key], Sender())[0].question_ids == ("q1",)


def test_why_there_is_no_mail_is_told_for_each(ledger):
    key = keep(ledger, 1, draft(1, reply=None))

    _, refused = ready_and_refused(ledger, [key, "nothing"], Sender())

    assert [one.reason for one in refused] == [
        "There is no reply to send.",
        "The ledger has no such message.",
    ]


def test_a_zip_holds_each_mail_as_a_file(two):
    archive = zipfile.ZipFile(io.BytesIO(as_zip(two)))

    assert archive.namelist() == ["q1.eml", "q2.eml"]
    assert [archive.read(name) for name in archive.namelist()] == [one.mail.as_bytes() for one in two]


def test_two_mails_never_share_a_file(two):
    archive = zipfile.ZipFile(io.BytesIO(as_zip([two[0], two[0]])))

    assert archive.namelist() == ["q1.eml", "q1-1.eml"]


def test_an_mbox_holds_each_mail_and_its_quoting_can_be_undone(two, tmp_path):
    data = as_mbox(two)
    (tmp_path / "replies.mbox").write_bytes(data)
    box = mailbox.mbox(tmp_path / "replies.mbox")
    undone = [re.sub(rb"(?m)^>(>*From )", rb"\1", box.get_bytes(key)) for key in box.keys()]  # noqa: SIM118
    box.close()

    assert data.count(b"\n>From here on\n") == 2 + 1
    assert data.count(b"\n>>From there\n") == 2 + 1
    assert undone == [one.mail.as_bytes().replace(b"\r\n", b"\n") for one in two]


def test_no_mails_make_empty_files():
    assert as_mbox([]) == b""
    assert zipfile.ZipFile(io.BytesIO(as_zip([]))).namelist() == []
    assert as_merge_csv([]) == "\ufeffaddress,first_name,subject,text,question_ids\r\n".encode()


def test_a_merge_table_has_what_a_letter_needs_and_no_surname(ledger, two):
    key = keep(ledger, 4, address=None, channel="comment")
    sign(ledger, 4)
    data = as_merge_csv([*two, *mails_for(ledger, [key], Sender())])

    rows = list(csv.reader(io.StringIO(data.decode("utf-8-sig"), newline="")))

    assert data.startswith(b"\xef\xbb\xbf")
    assert rows[0] == ["address", "first_name", "subject", "text", "question_ids"]
    assert [row[0] for row in rows[1:]] == ["rider1@riders.invalid", "rider2@riders.invalid"]
    assert rows[2] == [two[1].address, "Ida", two[1].subject, two[1].text, "q2 q3"]
    assert b"Example" not in data


def test_a_cell_that_a_spreadsheet_would_run_is_kept_from_it(ledger):
    key = keep(ledger, 1, draft(1, reply="=1+1\n\nBye"), rider="+Ida", address="=cmd@riders.invalid")
    sign(ledger, 1)

    data = as_merge_csv(mails_for(ledger, [key], Sender())).decode("utf-8-sig")

    assert list(csv.reader(io.StringIO(data, newline="")))[1] == [
        "'=cmd@riders.invalid", "'+Ida", "Re: Question 1 – Öl?", "'=1+1\n\nBye", "q1",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("written", "usable"),
    [
        ("ana@riders.invalid", "ana@riders.invalid"),
        ("jürgen@räder.invalid", "jürgen@räder.invalid"),
        (None, None),
        ("ana", None),
        ("ana@riders.invalid, bo@riders.invalid", None),
        ("ana@riders.invalid\r\nRCPT TO:<bo@riders.invalid>", None),
    ],
)
def test_an_address_is_used_only_as_a_whole(written, usable):
    assert usable_address({"address": written}) == usable


def test_a_mail_beyond_ascii_is_exported_as_it_is(ledger):
    key = keep(ledger, 1, address="jürgen@räder.invalid", author="Jürgen")
    sign(ledger, 1)
    (one,) = mails_for(ledger, [key], Sender())

    (name,) = zipfile.ZipFile(io.BytesIO(as_zip([one]))).namelist()
    data = zipfile.ZipFile(io.BytesIO(as_zip([one]))).read(name)

    assert "To: Jürgen <jürgen@räder.invalid>\r\n".encode() in data
    assert "To: Jürgen <jürgen@räder.invalid>\n".encode() in as_mbox([one])

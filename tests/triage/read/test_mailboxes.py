"""Mailboxes: an mbox told apart mail by mail, and a Maildir."""

from __future__ import annotations

import time
import tracemalloc

import pytest

from triage.read import read
from triage.records import Message

LINE = "From ana@riders.invalid Fri Nov 20 09:00:00 2026"


def _mail(number: int, body: str) -> str:
    return f"From: ana@riders.invalid\nMessage-ID: <{number}@b>\nSubject: Rim\n\n{body}\n"


@pytest.mark.parametrize("joint", ["\n", ""], ids=["with blank lines", "with no blank lines"])
@pytest.mark.parametrize("line_end", ["\n", "\r\n"])
def test_mails_are_told_apart(reading, joint, line_end):
    box = joint.join(f"{LINE}\n{_mail(number, f'Which rim {number}?')}" for number in range(4))
    found = reading(box.replace("\n", line_end))

    assert [f.text for f in found] == [f"Which rim {number}?" for number in range(4)]
    assert [f.message_id for f in found] == [f"{number}@b" for number in range(4)]


def test_items_name_the_place_in_the_file(reading):
    first = f"{LINE}\n{_mail(1, 'one')}\n"
    found = reading(first + f"{LINE}\n{_mail(2, 'two')}")

    assert [f.item for f in found] == ["message 1, byte 0", f"message 2, byte {len(first)}"]


def test_a_from_that_the_mailbox_quoted_is_undone(one_message):
    body = "I rode.\n\n>From here to there it creaks.\n>>From the old mail"

    assert "I rode.\n\nFrom here to there it creaks." in one_message(f"{LINE}\n{_mail(1, body)}").text


@pytest.mark.parametrize(
    "body",
    [
        "It creaks.\n\nFrom the hub, I think.",
        "It creaks.\n\nFrom Monday 10:30 until 5 March 2024\nit did not.",
        "It creaks.\n\nFrom Monday 10:30 until 5 March 2024\nhttp://riders.invalid has a picture.",
        "It creaks.\n\nFrom ana@riders.invalid Fri Nov 20 09:00:00 2026\n\nIs that a header?",
    ],
)
def test_lines_of_a_body_that_begin_with_from_stay_there(one_message, body):
    assert one_message(f"{LINE}\n{_mail(1, body)}").text == body


def test_a_bad_mail_costs_itself_alone(reading):
    deep = "MIME-Version: 1.0\nContent-Type: text/html; charset=utf-7\n\n<p>+2AA-</p>\n"
    empty = "From: a@b.invalid\nMessage-ID: <2@b>\n\n\n"
    found = reading(
        "\n".join(f"{LINE}\n{mail}" for mail in (_mail(1, "one"), empty, "X: y\n" + deep, _mail(4, "four")))
    )

    assert [f.item.partition(",")[0] for f in found] == [f"message {number}" for number in range(1, 5)]
    assert found[1].reason == "the mail has no text and no subject"
    assert (found[0].text, found[3].text) == ("one", "four")


def test_a_maildir_is_read_without_what_is_being_delivered(tmp_path):
    for name, number in (("cur/1:2,S", 1), ("new/2", 2), ("tmp/3", 3), (".Sent/cur/4", 4)):
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text(_mail(number, f"mail {number}"))
    (tmp_path / "index").write_text("a mail program's own list")

    assert [found.text for found in read([tmp_path])] == ["mail 1", "mail 2"]


def test_a_folder_that_merely_holds_one_called_new_is_read_whole(tmp_path):
    (tmp_path / "new").mkdir()
    (tmp_path / "new" / "a.eml").write_text(_mail(1, "mail 1"))
    (tmp_path / "z.eml").write_text(_mail(2, "mail 2"))

    assert [found.text for found in read([tmp_path])] == ["mail 1", "mail 2"]


def test_a_mailbox_of_12_000_mails_is_read_without_holding_them(tmp_path):
    path = tmp_path / "archive"
    with path.open("w") as file:
        for number in range(12_000):
            file.write(f"{LINE}\n{_mail(number, 'Which rim fits a 28 mm tyre? ' * 10)}\n")
    started = time.process_time()
    tracemalloc.start()
    try:
        count = sum(isinstance(found, Message) for found in read([path]))
        peak_bytes = tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()

    assert count == 12_000
    assert peak_bytes < 5_000_000  # all of them together take nearly twice as much
    assert time.process_time() - started < 60  # tracing memory slows it several times; the machine is shared


@pytest.mark.parametrize("length", [1_048_300, 1_048_400, 1_048_500, 1_048_575, 1_048_576, 1_048_577])
def test_mails_are_told_apart_wherever_the_pieces_in_which_a_file_is_read_end(reading, length):
    line = b"From ana@riders.invalid Fri Nov 20 09:00:00 2026\n"
    mail = b"From: ana@riders.invalid\nMessage-ID: <%d@riders.invalid>\nSubject: Rim\n\nWhy?\n"
    first = line + mail % 1
    padded = first.ljust(length - 60, b"x") + b"\n"
    found = reading(padded + b"".join(line + mail % number for number in range(2, 9)))

    assert [one.message_id for one in found] == [f"{number}@riders.invalid" for number in range(1, 9)]
    assert found[1].item == f"message 2, byte {len(padded)}"
    assert [one.text for one in found[1:]] == ["Why?"] * 7

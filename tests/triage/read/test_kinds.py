"""What a file is, told by its content whatever its name ends in."""

from __future__ import annotations

import gzip
import io
import zipfile

import pytest

from triage.read.kinds import kind_of

MAIL = (
    b"From: Ana <ana@riders.invalid>\r\nSubject: Rim\r\nMessage-ID: <1@riders.invalid>\r\n\r\nWhich rim?\r\n"
)
MBOX = b"From ana@riders.invalid Fri Nov 20 09:00:00 2026\n" + MAIL.replace(b"\r\n", b"\n")


@pytest.mark.parametrize(
    ("name", "data", "channel", "text"),
    [
        ("mbox named.txt", MBOX, "mail", "Which rim?"),
        ("no-ending", MAIL, "mail", "Which rim?"),
        ("table named.txt", b"id,text\n1,Which rim?\n", "comment", "Which rim?"),
        ("table named.eml", b"id;comment\n1;Which rim?\n", "comment", "Which rim?"),
        ("array named.csv", b'[{"id": 1, "text": "Which rim?"}]', "comment", "Which rim?"),
        ("lines named.txt", b'{"id": 1, "text": "Which rim?"}\n', "comment", "Which rim?"),
        ("note named.csv", b"Which rim?", "note", "Which rim?"),
        ("note named.json", b"Which rim?", "note", "Which rim?"),
        ("mail after blank lines", b"\r\n\r\n" + MAIL, "mail", "Which rim?"),
        ("mail after a byte order mark", b"\xef\xbb\xbf" + MAIL, "mail", "Which rim?"),
        ("mbox after a blank line", b"\n" + MBOX, "mail", "Which rim?"),
    ],
)
def test_kind_follows_content_and_not_the_name(one_message, name, data, channel, text):
    message = one_message(data, name)

    assert (message.channel, message.text) == (channel, text)


@pytest.mark.parametrize("data", [MAIL, b"\r\n\r\n" + MAIL, b"\xef\xbb\xbf" + MAIL, MBOX])
def test_a_mail_keeps_its_headers_whatever_stands_before_it(one_message, data):
    message = one_message(data)

    assert (message.message_id, message.subject, message.rider) == ("1@riders.invalid", "Rim", "Ana")


@pytest.mark.parametrize(
    "prose",
    [
        "Dear all, my bike, an old one,\nsqueaks when I climb, brake, or turn.",
        "Hello, Ana here, again\nbearings, cranks, hubs",
        "Question, is a 28 mm tyre too wide?\nMy rim is old, 17 mm inside.",
        "Message, from the fair\nA rider asked, which grease?",
        "Hello; this is me\nagain; with a creak",
        "chainring\t50\ncassette\t34",
        "Comment: the wheel, the true one, wobbles",
        "From Monday 10:30 until 5 March 2024\nI rode with a loose headset, is that harmful?",
        "[Phone call] Ana asked, is my rim worn?",
        "{shrug} why does it creak?",
    ],
)
def test_prose_with_a_tables_marks_is_a_note(one_message, prose):
    message = one_message(prose, "prose.csv")

    assert message.channel == "note"
    assert message.text == prose


def test_a_note_with_a_from_and_date_heading_is_a_note(one_message):
    message = one_message("From: Ana Holm\nDate: 2026-11-20\nSubject: Rim\n\nIs 23 mm wide?")

    assert message.channel == "note"
    assert (message.author, message.rider, message.subject) == ("Ana Holm", "Ana", "Rim")
    assert message.received == "2026-11-20T00:00:00+00:00"
    assert message.text == "Is 23 mm wide?"


def test_old_line_ends_make_a_note_and_a_table_too(one_message, reading):
    assert one_message(b"Which rim?\rA wide one, or not?").text == "Which rim?\nA wide one, or not?"
    assert [row.text for row in reading(b"id,text\r1,Which rim?\r2,Which hub?\r")] == [
        "Which rim?",
        "Which hub?",
    ]


def _zip() -> bytes:
    with io.BytesIO() as held:
        with zipfile.ZipFile(held, "w") as archive:
            archive.writestr("a.txt", "hello")
        return held.getvalue()


@pytest.mark.parametrize(
    ("data", "what"),
    [
        (b"\x89PNG\r\n\x1a\n" + bytes(range(256)), "a picture (PNG), not a message"),
        (b"\xff\xd8\xff\xe0" + bytes(range(256)), "a picture (JPEG), not a message"),
        (b"GIF89a" + bytes(range(256)), "a picture (GIF), not a message"),
        (b"%PDF-1.7\n%\xe2\xe3\xcf\xd3\n", "a PDF document, not a message"),
        (_zip(), "an archive or office document (ZIP), not a message"),
        (gzip.compress(b"hello " * 99, mtime=0), "a compressed file (gzip), not a message"),
        (b"\x7fELF\x02\x01\x01" + bytes(99), "a program, not a message"),
        (b"\0\0\0\x18ftypmp42" + bytes(99), "a picture or film (ISO media), not a message"),
        (bytes(range(256)) * 40, "a binary file, not a message"),
    ],
)
def test_binary_files_are_refused_by_what_they_are(one_refusal, data, what):
    refusal = one_refusal(data, "upload.txt")

    assert refusal.reason == what
    assert refusal.file.endswith("upload.txt")
    assert refusal.remedy == "If it came with a mail, give the mail."


def test_a_note_may_begin_with_the_letters_of_a_magic_number(one_message):
    assert (
        one_message("ID3 or ID5, which grease for the hub?").text == "ID3 or ID5, which grease for the hub?"
    )


@pytest.mark.parametrize("data", [b"", b"   \n\n\t"])
def test_an_empty_file_is_refused(one_refusal, data):
    assert one_refusal(data).reason == "the file is empty"


def test_a_json_file_whose_first_line_is_damaged_is_still_json():
    assert kind_of(b'{id: 1, text: no}\n{"id": 2, "text": "Which rim?"}\n') == "json"
    assert kind_of(b"{shrug}\nwhich rim?") == "note"

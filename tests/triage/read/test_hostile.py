"""Hostile and broken inputs: each is over in seconds, raises nothing, and leaves nothing that a page refuses."""

from __future__ import annotations

import json
import time

import pytest

from triage.read import read
from triage.read.text import clean
from triage.records import Message, Refusal

SECONDS_AT_MOST = 5.0
HEAD = b"From: Ana <ana@riders.invalid>\nMessage-ID: <1@b>\nSubject: Rim\nMIME-Version: 1.0\n"
HTML = HEAD + b"Content-Type: text/html; charset=utf-8\n\n"
SEPARATOR = b"From ana@riders.invalid Fri Nov 20 09:00:00 2026\n"


def _nested(depth: int, lines: int = 1) -> bytes:
    heads = b"".join(
        b"Content-Type: multipart/mixed; boundary=b%d\n\n--b%d\n" % (level, level) for level in range(depth)
    )
    return HEAD + heads + b"Content-Type: text/plain\n\n" + b"Which rim?\n" * lines


HOSTILE = {
    "a line of 40 MB in a note": lambda: b"x" * 40_000_000,
    "a line of 40 MB in a mail": lambda: HEAD + b"\n" + b"x" * 40_000_000,
    "a line of 40 MB in a mailbox": lambda: SEPARATOR + HEAD + b"\n" + b"x" * 40_000_000,
    "a line of 40 MB in a table": lambda: b"id,text\n1," + b"x" * 40_000_000 + b"\n2,Which rim?\n",
    "a quoted cell of 40 MB": lambda: b'id,text\n1,"' + b"word\n" * 8_000_000,
    "a line of 40 MB in JSON": lambda: b'{"text": "' + b"x" * 40_000_000 + b'"}\n{"text": "Which rim?"}\n',
    "an attachment of 40 MB": lambda: (
        HEAD + b"Content-Type: multipart/mixed; boundary=b\n\n--b\nContent-Type: text/plain\n\nWhich rim?\n--b\n"
        b"Content-Type: image/png\nContent-Transfer-Encoding: base64\n\n" + (b"A" * 76 + b"\n") * 540_000 + b"--b--\n"
    ),
    "parts 5,000 deep": lambda: _nested(5_000),
    "parts 900 deep": lambda: _nested(900),
    "parts 300 deep over a million lines": lambda: _nested(300, 1_000_000),
    "mails within mails, 5,000 deep": lambda: HEAD + b"Content-Type: message/rfc822\n\n" * 5_000 + b"Which rim?",
    "mails within mails, 900 deep": lambda: HEAD + b"Content-Type: message/rfc822\n\n" * 900 + b"Which rim?",
    "10,000 parts": lambda: HEAD + b"Content-Type: multipart/mixed; boundary=b\n\n" + b"--b\n\nx\n" * 10_000,
    "HTML 100,000 deep": lambda: HTML + b"<div>" * 100_000 + b"Which rim?",
    "HTML 15,000 deep": lambda: HTML + b"<div>" * 15_000 + b"Which rim?",
    "HTML quotes 15,000 deep": lambda: HTML + b"<blockquote class=quote hidden>" * 15_000 + b"Which rim?",
    "HTML inline tags 15,000 deep": lambda: HTML + b"<b><i><a href=x>" * 5_000 + b"Which rim?",
    "HTML tables 15,000 deep": lambda: HTML + b"<table><tr><td>" * 5_000 + b"Which rim?",
    "HTML of a million tags": lambda: HTML + b"<br>" * 1_000_000,
    "HTML of a million angles": lambda: HTML + b"<" * 1_000_000,
    "an HTML tag of 10 MB": lambda: HTML + b"<img src='" + b"x" * 10_000_000,
    "HTML with a lone surrogate": lambda: HEAD + b"Content-Type: text/html; charset=utf-7\n\n<p>+2AA- rim</p>",
    "100,000 header lines": lambda: HEAD + b"X-Header: word\n" * 100_000 + b"\nWhich rim?",
    "100,000 folded header lines": lambda: HEAD + b"References: <0@b>\n" + b" <1@b>\n" * 100_000 + b"\nWhich rim?",
    "a content type of a million parameters": lambda: (
        HEAD + b"Content-Type: multipart/mixed" + b"; a=b" * 1_000_000 + b"\n\nWhich rim?"
    ),
    "a content type of a million quotation marks": lambda: (
        HEAD + b'Content-Type: text/plain; charset="' + b'";"' * 500_000 + b"\n\nWhich rim?"
    ),
    "a parameter numbered in 5,000 digits": lambda: (
        HEAD + b"Content-Type: text/plain; charset*" + b"9" * 5_000 + b"*=utf-8\n\nWhich rim?"
    ),
    "a subject of a million encoded words": lambda: (
        HEAD.replace(b"Rim", b"=?utf-8?q?a?= " * 1_000_000) + b"\nWhich rim?"
    ),
    "a subject of a million characters": lambda: HEAD.replace(b"Rim", b"=?" * 500_000) + b"\nWhich rim?",
    "a sender of a million angles": lambda: HEAD.replace(b"Ana", b'"<' * 500_000) + b"\nWhich rim?",
    "NULs in a mail": lambda: HEAD + b"\nWhich\0rim\0?",
    "NULs in a table": lambda: b"id,text\n1,Wh\0ich rim, really?\n" + b"2,Which rim?\n" * 99,
    "NULs in a note": lambda: b"Which rim\0?" + b" really" * 99,
    "nothing but NULs": lambda: bytes(1_000_000),
    "lone surrogates in JSON": lambda: b'{"text": "a\\ud800b", "author": "\\udfff", "id": "\\ud800"}',
    "odd bytes of UTF-16": lambda: b"\xff\xfe" + "id,text\n1,a".encode("utf-16-le") + b"\x00\xd8\x41",
    "line separators in a subject": lambda: HEAD.replace(b"Rim", b"a\xe2\x80\xa8b\xc2\x85c\x0bd") + b"\nWhich rim?",
    "header injection": lambda: HEAD.replace(b"Rim", b"=?utf-8?q?a=0D=0ABcc:_x@b.invalid=00?=") + b"\nWhich rim?",
    "an id that injects": lambda: HEAD.replace(b"<1@b>", b"<1@b\x00\x1b\x85\xff>") + b"\nWhich rim?",
    "thread ids that inject": lambda: HEAD + b"In-Reply-To: <1\x00\xff@b>\nReferences: <\x01\xfe@b>\n\nWhich rim?",
    "likes of 5,000 digits": lambda: b"id,likes,text\n1," + b"9" * 5_000 + b",Which rim?\n",
    "a mailbox with no blank lines": lambda: (SEPARATOR + HEAD + b"Which rim?\n") * 5_000,
    "a mailbox of separators alone": lambda: SEPARATOR + b"X: y\n" + SEPARATOR * 100_000,
    "4 million blank lines in a note": lambda: b"Which rim?" + b"\n" * 3_900_000 + b"end",
    "dashes and spaces in a note": lambda: b"a\n" + b"* " * 1_000_000 + b"x\n" + b"-" * 1_000_000 + b"x",
    "a break tag of a million spaces": lambda: b"id,text\n1,a <br" + b" " * 1_000_000 + b"x\n",
    "a break tag of a million spaces in JSON": lambda: b'{"text": "<br' + b" " * 1_000_000 + b'x <a ' + b" " * 999_999 + b'"}',
    "an ampersand million": lambda: b"id,text\n1," + b"&" * 1_000_000 + b"&#9999999;&#xD800;\n",
    "quotation marks a million": lambda: b"id,text\n" + b'1,"a""\n' * 200_000,
    "an unclosed mark on every row": lambda: b"id,text\n" + b'1,"a\n' * 300_000,
    "a wide row of a million cells": lambda: b"id,text\n" + b"," * 1_000_000 + b"\n1,Which rim?\n",
    "a heading of a million cells": lambda: b"id,text" + b",a" * 1_000_000 + b"\n1,Which rim?\n",
    "lines that end in a colon": lambda: HEAD + b"\n" + b"a:\n" * 330_000,
    "colons over blank lines": lambda: HEAD + b"\n" + (b"a:" + b"\n" * 500) * 1_900,
    "quotes over blank lines": lambda: HEAD + b"\n" + b"> a\n\n" * 190_000,
    "mailer's lines a hundred thousand times": lambda: HEAD + b"\n" + b"Sent from my phone\n" * 50_000,
    "printed heads a hundred thousand times": lambda: HEAD + b"\n" + b"From: a\nwhat\n" * 70_000,
    "signature marks": lambda: HEAD + b"\nWhich rim?\n" + b"-- \n" * 200_000,
    "spaces a million": lambda: HEAD + b"\nWhich" + b" " * 900_000 + b"rim?" + b"\t" * 50_000 + b":",
    "angle marks a million": lambda: HEAD + b"\n" + b">" * 900_000,
    "flowed lines a million": lambda: HEAD + b"Content-Type: text/plain; format=flowed; delsp=yes\n\n" + b"a \n" * 1_000_000,
    "JSON nested 100,000 deep": lambda: b"[" * 100_000,
    "an array of objects left open": lambda: b'[\n' + b'{"a": [\n' * 300_000,
    "a whole object left open": lambda: b'{\n' + b'"a": {\n' * 300_000,
    "an object of 300,000 keys": lambda: json.dumps({f"key {n}": n for n in range(300_000)} | {"text": "a"}).encode(),
    "a number of a million digits": lambda: b'{"text": "Which rim?", "likes": ' + b"9" * 1_000_000 + b"}",
    "JSON keys with line breaks": lambda: b'{"a\\u2028b\\n": 1}',
    "quoted-printable broken": lambda: HEAD + b"Content-Transfer-Encoding: quoted-printable\n\n" + b"=" * 500_000 + b"=G",
    "base64 broken": lambda: HEAD + b"Content-Transfer-Encoding: base64\n\n" + b"=A" * 500_000,
    "uuencoded and broken": lambda: HEAD + b"Content-Transfer-Encoding: x-uuencode\n\nbegin 666 a\n" + b"M\n" * 99,
    "character sets that are codecs of another kind": lambda: HEAD + b"Content-Type: text/plain; charset=zlib\n\nWhich rim \xff?",
    "a character set with a NUL": lambda: HEAD + b"Content-Type: text/plain; charset=\"a\0b\"\n\nWhich rim \xff?",
    "a date of brackets": lambda: HEAD + b"Date: " + b"(" * 90 + b"\n\nWhich rim?",
    "a date of digits": lambda: HEAD + b"Date: " + b"9" * 95 + b"\n\nWhich rim?",
}  # fmt: skip
READ_STILL = {
    "a line of 40 MB in a table": "Which rim?",
    "a line of 40 MB in JSON": "Which rim?",
    "an attachment of 40 MB": "Which rim?",
    "100,000 header lines": "Which rim?",
    "100,000 folded header lines": "Which rim?",
    "a content type of a million parameters": "Which rim?",
    "a parameter numbered in 5,000 digits": "Which rim?",
    "a subject of a million characters": "Which rim?",
    "likes of 5,000 digits": "Which rim?",
    "a wide row of a million cells": "Which rim?",
    "a number of a million digits": "Which rim?",
    "NULs in a table": "Which rim?",
    "mails within mails, 900 deep": "",
}


def _texts(found: Message | Refusal) -> list[str]:
    if isinstance(found, Refusal):
        return [found.reason, found.item, found.remedy]
    names = [one.name for one in found.attachments]
    return [found.text, found.channel, *found.references, *names, found.message_id] + [
        words
        for words in (found.author, found.rider, found.subject, found.address, found.in_reply_to)
        if words
    ]


@pytest.mark.parametrize("name", HOSTILE)
def test_a_hostile_input_is_over_in_seconds_and_leaves_clean_records(tmp_path, name):
    path = tmp_path / "input"
    path.write_bytes(HOSTILE[name]())
    started = time.process_time()
    found = list(read([path]))
    seconds = time.process_time() - started

    assert found
    assert seconds < SECONDS_AT_MOST
    for one in found[:2_000]:
        assert not (isinstance(one, Refusal) and one.reason.startswith("could not be read:")), one
        for words in _texts(one):
            assert words == clean(words)
        if isinstance(one, Message):
            assert not any("\n" in words for words in _texts(one)[1:])
    if READ_STILL.get(name):
        assert any(isinstance(one, Message) and one.text == READ_STILL[name] for one in found)


def test_a_large_attachment_is_cut_and_said_to_be(tmp_path):
    path = tmp_path / "input"
    path.write_bytes(HOSTILE["an attachment of 40 MB"]())
    (message,) = read([path])

    assert message.flags == ("cut-short",)
    assert [one.content_type for one in message.attachments] == ["image/png"]
    assert message.attachments[0].size_bytes > 20_000_000


@pytest.mark.parametrize("depth", [900, 5_000])
def test_a_mail_nested_too_deep_is_refused_by_name(one_refusal, depth):
    assert "parts nested deeper than 50" in one_refusal(_nested(depth)).reason


def test_a_mail_nested_as_deep_as_is_read_is_read(one_message):
    assert one_message(_nested(45)).text == "Which rim?"


def test_an_unclosed_mark_on_every_row_refuses_each_by_its_line(reading):
    found = reading(b"id,text\n" + b'1,"a\n' * 50)

    assert [one.item for one in found if isinstance(one, Refusal)] == [f"line {n}" for n in range(2, 52)]

"""Inputs made to break a program: small ones for a whole batch, and heavy ones to weigh."""

from __future__ import annotations

from collections.abc import Callable

HEAD = b"From: Ana <ana@riders.invalid>\nMessage-ID: <1@b>\nSubject: Rim\nMIME-Version: 1.0\n"
SEPARATOR = b"From ana@riders.invalid Fri Nov 20 09:00:00 2026\n"
PAGE = HEAD + b"Content-Type: text/html; charset=utf-8\n\n"
_MIB = 1 << 20
_ATTACHED = HEAD + (
    b"Content-Type: multipart/mixed; boundary=b\n\n--b\nContent-Type: text/plain\n\nWhich rim?\n"
    b"--b\nContent-Type: image/png\nContent-Transfer-Encoding: base64\n\n"
)

HEAVY: dict[str, Callable[[], bytes]] = {
    "one line of 64 MB": lambda: b"x" * 64 * _MIB,
    "one line of 64 MB in Latin letters": lambda: b"\xe9" * 64 * _MIB,
    "a mail of one line": lambda: HEAD + b"\n" + b"x" * 32 * _MIB,
    "a mail of one line in characters of four bytes": lambda: (
        HEAD + b"Content-Type: text/plain; charset=utf-8\n\n" + "🚲".encode() * 8 * _MIB
    ),
    "a mail of bytes under no label": lambda: HEAD + b"\n" + b"\xe9" * 32 * _MIB,
    "a mail of 16 million lines": lambda: HEAD + b"\n" + b"a\n" * 16 * _MIB,
    "a mail of blank lines": lambda: HEAD + b"\n" + b"\n" * 32 * _MIB,
    "a mail of carriage returns": lambda: HEAD + b"\n" + b"a\r" * 16 * _MIB,
    "an attachment of 32 MB": lambda: _ATTACHED + (b"A" * 76 + b"\n") * 430_000 + b"--b--\n",
    "a text of 32 MB in base64": lambda: (
        HEAD + b"Content-Transfer-Encoding: base64\n\n" + (b"QUFB" * 19 + b"\n") * 430_000
    ),
    "a text of 32 MB in quoted-printable": lambda: (
        HEAD + b"Content-Transfer-Encoding: quoted-printable\n\n" + (b"=E9" * 25 + b"=\n") * 430_000
    ),
    "a uuencoded text of 31 MB": lambda: (
        HEAD + b"Content-Transfer-Encoding: x-uuencode\n\nbegin 666 a\n" + (b"M" + b"8" * 60 + b"\n") * 500_000
    ),
    "a page of 34 MB": lambda: PAGE + b"<p>Which rim?</p>\n" * 1_900_000,
    "6 million entities": lambda: PAGE + b"&amp;" * 6 * _MIB,
    "a million comments left open": lambda: PAGE + b"<!--" * 1_000_000,
    "4.6 million headers": lambda: HEAD + b"X-A: b\n" * 4_600_000 + b"\nWhich rim?",
    "a header of 10 million lines": lambda: HEAD + b"X-A: b\n" + b" c\n" * 10 * _MIB + b"\nWhich rim?",
    "10 million flowed lines": lambda: HEAD + b"Content-Type: text/plain; format=flowed\n\n" + b"a \n" * 10 * _MIB,
    "900 texts in one mail": lambda: (
        HEAD + b"Content-Type: multipart/mixed; boundary=b\n\n"
        + (b"--b\nContent-Type: text/plain\n\n" + b"word " * 7_000 + b"\n") * 900 + b"--b--\n"
    ),
    "a mail of 200 MB in a mailbox": lambda: SEPARATOR + HEAD + b"\n" + b"a\n" * 100 * _MIB,
    "a line of 64 MB in a table": lambda: b"id,text\n1," + b"x" * 64 * _MIB + b"\n2,Which rim?\n",
    "a cell of 8 MB over 4 million lines": lambda: b'id,text\n1,"' + b"x\n" * 3_900_000 + b'"\n2,Which rim?\n',
    "rows that never end": lambda: b"id,text\n" + b'x","\n' * 12 * _MIB,
    "one row that never ends": lambda: b"id,text\n" + b'1,"' + b'","\n' * 12 * _MIB,
    "a heading of 2.6 million cells": lambda: b"id,text" + b",ab" * 2_600_000 + b"\n1,Which rim?\n",
    "a row of 1.3 million cells": lambda: b"id,text\n" + b",ab" * 1_300_000 + b"\n1,Which rim?\n",
    "JSON of a million lists": lambda: b'{"text": "a", "b": [' + b"[]," * 1_300_000 + b"1]}\n",
    "JSON of 400,000 names": lambda: b'{"text":"a"' + b"".join(b',"%x":1' % n for n in range(400_000)) + b"}\n",
    "JSON 20,000 deep": lambda: b'{"text": "a", "b": ' + b"[" * 20_000 + b"]" * 20_000 + b"}",
    "a JSON array of 20 million lists": lambda: b"[\n[" + b"[]," * 20_000_000 + b"1]]\n",
    "a JSON array of texts of 800,000 bytes": lambda: (
        b"[\n" + ('{"text":"' + "🚲" * 200_000 + '"},\n').encode() * 75 + b"{}]\n"
    ),
    "a JSON line of 64 MB": lambda: b'{"text": "' + b"x" * 64 * _MIB + b'"}\n{"text": "Which rim?"}\n',
    "a note of 16 MB": lambda: "🚲".encode() * 4 * _MIB,
    "700,000 notes in one file": lambda: b"a\n---\n" * 700_000,
    "500,000 headings in a note": lambda: b"by: a\n" * 500_000 + b"Which rim?",
}  # fmt: skip
IN_EVERY_RUN = [
    "a mail of 16 million lines",
    "a JSON array of 20 million lists",
    "rows that never end",
    "500,000 headings in a note",
]
"""Of each way to break the bounds that once did, one."""

RUNS_A_PROGRAM = '=HYPERLINK("http://b.invalid","x")'
TEMPLATE = "{{ 7*7 }} {% include 'sheet.html' %} {{ self }} {# gone #}"
MARKUP = '<script>alert(1)</script><img src=x onerror="alert(2)">"\'&lt;b&gt;'
GOOD = "Which tyre pressure should I ride on 28 mm tyres? I weigh 75 kg with the bike."


def _mail(
    number: int, body: bytes, subject: bytes = b"Pressure", head: bytes = b"", sender: bytes = b"Ana"
) -> bytes:
    return (
        b"From: %b <ana%d@riders.invalid>\nMessage-ID: <m%d@riders.invalid>\nSubject: %b\n"
        b"Date: Fri, 20 Nov 2026 09:00:00 +0000\nMIME-Version: 1.0\n%b\n%b" % (sender, number, number, subject, head, body)
    )  # fmt: skip


def _cells(*rows: str) -> bytes:
    return ("id,author,date,text\n" + "".join(rows)).encode()


_GOOD = GOOD.encode()
BATCH: dict[str, bytes] = {
    "good.eml": _mail(1, _GOOD),
    "broken-mime.eml": _mail(2, b"--nowhere\n" + _GOOD, head=b"Content-Type: multipart/mixed; boundary=\n"),
    "deep-mime.eml": HEAD + b"".join(
        b"Content-Type: multipart/mixed; boundary=b%d\n\n--b%d\n" % (level, level) for level in range(3_000)
    ) + b"\n" + _GOOD,
    "deep-comments.eml": _mail(3, b"<!--" * 4_000 + b"--><p>" + _GOOD, head=b"Content-Type: text/html\n"),
    "entity-bomb.eml": _mail(
        4,
        b'<!DOCTYPE a [<!ENTITY a "ha"><!ENTITY b "' + b"&a;" * 5_000 + b'">]><p>&b;&b; ' + _GOOD,
        head=b"Content-Type: text/html\n",
    ),
    "date.eml": _mail(5, _GOOD).replace(b"Fri, 20 Nov 2026 09:00:00 +0000", b"the day before yesterday"),
    "charset.eml": _mail(6, _GOOD + " – Größe".encode("cp1252"), head=b"Content-Type: text/plain; charset=klingon\n"),
    "wrong-charset.eml": _mail(7, _GOOD + " – Größe".encode(), head=b"Content-Type: text/plain; charset=us-ascii\n"),
    "separators.eml": _mail(
        8, _GOOD, "Two\u2028lines\x85and\rmore".encode(), sender="Ana\u2029Bcc: all@b.invalid".encode()
    ),
    "injection.eml": _mail(
        9, _GOOD, b"=?utf-8?q?Rim=0D=0ABcc:_all@b.invalid?=",
        b"References: <a@b>\r Bcc: x@b.invalid\nIn-Reply-To: <=?utf-8?q?x=0D=0ABcc:y?=@b>\n"
        b"Reply-To: =?utf-8?q?a=0D=0ABcc:_z@b.invalid?= <ana9@riders.invalid>\n",
        b"=?utf-8?q?Ana=0ABcc:_w@b.invalid?=",
    ),
    "encoded-twice.eml": _mail(
        20, _GOOD, b"=?utf-8?q?=3D=3Futf-8=3Fq=3Fa=3D0D=3D0ABcc:=5Fall=40b.invalid=3F=3D?=",
        sender=b"=?utf-8?q?=3D=3Futf-8=3Fq=3Fa=3D0D=3D0ABcc:=5Fall=40b.invalid=3F=3D?=",
    ).replace(b"<m20@", b"<=?utf-8?q?x=0D=0ABcc:_all=40b.invalid?=@"),
    "digits.eml": _mail(10, b"My tyre is " + b"9" * 5_000 + b" mm wide. Is that too wide for a 17 mm rim?"),
    "nul.eml": _mail(11, _GOOD.replace(b" ", b" \0", 3)),
    "from-in-body.eml": _mail(12, b"From here on Fri Nov 20 09:00:00 2026 it squeaks.\n" + _GOOD),
    "same-id-one.eml": _mail(13, b"Which oil should I put on my chain in the rain?"),
    "same-id-two.eml": _mail(13, b"My crank arm is loose on the left side. How tight should the bolt be?"),
    "template.eml": _mail(14, f"{TEMPLATE}\n{GOOD}".encode(), TEMPLATE.encode(), sender=b"{{ 7*7 }}"),
    "markup.eml": _mail(15, f"{MARKUP}\n{GOOD}".encode(), MARKUP.encode(), sender=b'"<script>Ana</script>"'),
    "long.eml": _mail(16, b"Does my 28 mm tyre fit a 17 mm rim? " * 3_000),
    "../../escape.eml".rpartition("/")[2]: _mail(17, _GOOD).replace(b"<m17@riders.invalid>", b"<../../../m17@riders.invalid>"),
    "box.mbox": (
        SEPARATOR + _mail(18, _GOOD) + b"\n" + SEPARATOR + b">From me:\n" + _GOOD + b"\n\n"
        + SEPARATOR + _mail(19, b">From the start it squeaks.\n" + _GOOD)
    ),
    "bare-quotes.csv": _cells(
        f'1,Bo,2026-11-20,{GOOD}\n', '2,Bo,2026-11-20,a 29" wheel and a 2.1" tyre, is it wide?\n',
        '3,Bo,2026-11-20,"never closed\n', f'4,Cy,2026-11-20,{GOOD}\n',
    ),
    "mixed.csv": ("id;author;date;text\n" f"1;Di;2026-11-20;{GOOD}\n" f"2,Di,2026-11-20,{GOOD}\n" f"3;Di;2026-11-20;{GOOD}\n").encode(),
    "formulas.csv": _cells(
        *(f'"{start}{number}","{start}Eve",2026-11-20,"{start}{GOOD}"\n'
          for number, start in enumerate(("=", "+", "-", "@", "\t=", " =", '""=', "＝", "＋", "－", "＠", "\r=")))
    ),
    "bomb.jsonl": (
        b'{"id": "j1", "text": "' + _GOOD + b'"}\n' + b"[" * 20_000 + b"\n" + b'{"a":' * 20_000 + b"\n"
        + b'{"id": "j2", "text": "\\ud800 ' + _GOOD + b'", "author": "\\udfff"}\n'
        + b'{"id": ' + b"9" * 5_000 + b', "text": "' + _GOOD + b'", "likes": ' + b"9" * 5_000 + b"}\n"
    ),
    "note.txt": b"From: Flo\n\n" + "A\u2028B\x85C ".encode() + _GOOD,
    "binary.eml": bytes(range(256)) * 40,
}  # fmt: skip
"""A folder of these is drafted at once: each good question in it must come out, whatever lies beside it."""

"""What holds for any words: a table or mail that is written comes back, and no bytes raise."""

from __future__ import annotations

import csv
import io
import json
import re
import tempfile
from datetime import UTC, datetime, timedelta, timezone
from email.headerregistry import Address
from email.message import EmailMessage
from email.utils import format_datetime
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from triage.read import read
from triage.read.dates import mail_date, read_date
from triage.read.html import html_to_text, plain_comment
from triage.read.quotes import own_words
from triage.read.text import clean, decode, decode_header, file_encoding
from triage.records import Message, Refusal

RIDERS_WORDS = st.text(
    st.characters(
        codec="utf-8",
        exclude_categories=["Cc", "Cs", "Cn", "Co", "Cf", "Zl", "Zp"],
        exclude_characters="&<\ufeff",
    ),
    min_size=1,
    max_size=60,
).filter(str.strip)
WESTERN_WORDS = st.text("abcÄöüéß ,;|\t\"'\n?.!23", min_size=1, max_size=60).filter(str.strip)
CELLS = st.lists(RIDERS_WORDS, min_size=1, max_size=5)


def _read_bytes(data: bytes) -> list[Message | Refusal]:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "input"
        path.write_bytes(data)
        return list(read([path]))


def _written(cells: list[str], delimiter: str) -> str:
    with io.StringIO(newline="") as held:
        rows = csv.writer(held, delimiter=delimiter)
        rows.writerow(["id", "author", "text"])
        rows.writerows([number, "Ana", cell] for number, cell in enumerate(cells))
        return held.getvalue()


@pytest.mark.parametrize("delimiter", [",", ";", "\t", "|"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be"])
@given(cells=CELLS)
@settings(max_examples=25, deadline=None)
def test_words_written_to_a_table_come_back(delimiter, encoding, cells):
    found = _read_bytes(_written(cells, delimiter).encode(encoding))

    assert [one.text for one in found] == [clean(cell).strip() for cell in cells]
    assert [one.message_id for one in found] == [str(number) for number in range(len(cells))]


@pytest.mark.parametrize("delimiter", [",", ";", "\t", "|"])
@given(cells=st.lists(WESTERN_WORDS, min_size=1, max_size=5))
@settings(max_examples=25, deadline=None)
def test_western_words_in_windows_1252_come_back(delimiter, cells):
    padded = ["Größe und Länge " + cell for cell in cells]
    found = _read_bytes(_written(padded, delimiter).encode("cp1252"))

    assert [one.text for one in found] == [cell.strip() for cell in padded]


@given(cells=CELLS, damage=st.sampled_from(["9", "9,a", "9,a,b,c", '9,a,"b', ""]), place=st.integers(0, 4))
@settings(max_examples=80, deadline=None)
def test_a_damaged_row_never_shifts_the_others(cells, damage, place):
    rows = _written(cells, ",").split("\r\n")
    whole = [row for row in rows[1:-1] if '"' not in row]
    place = min(place, len(whole))
    lines = [rows[0], *whole[:place], damage, *whole[place:]]
    found = _read_bytes("\r\n".join(lines).encode() + b"\r\n")
    expected = [_read_bytes(f"{rows[0]}\r\n{row}\r\n".encode())[0] for row in whole]

    assert [one.text for one in found if isinstance(one, Message)] == [one.text for one in expected]
    assert [one.item for one in found if isinstance(one, Refusal)] == (
        [f"line {place + 2}"] if damage else []
    )


@pytest.mark.parametrize("encoding", ["utf-8", "koi8-r", "iso-8859-1", "quoted-printable", "base64", "8bit"])
@given(words=st.text("abcdeß ,.?23\n", min_size=1, max_size=200).filter(str.strip), subject=RIDERS_WORDS)
@settings(max_examples=25, deadline=None)
def test_mail_built_by_the_standard_library_comes_back(encoding, words, subject):
    mail = EmailMessage()
    mail["From"], mail["Subject"], mail["Message-ID"] = (
        "Ana Holm <ana@riders.invalid>",
        subject,
        "<1@riders.invalid>",
    )
    if encoding in ("quoted-printable", "base64", "8bit"):
        mail.set_content(words, cte=encoding)
    else:
        mail.set_content(
            words.replace("ß", "e") if encoding == "koi8-r" else words, charset=encoding, cte="base64"
        )
    mail.add_attachment(words.encode(), maintype="image", subtype="png", filename="rim.png")
    (message,) = _read_bytes(mail.as_bytes())

    sent = words.replace("ß", "e") if encoding == "koi8-r" else words
    assert message.text.split() == sent.split()
    assert message.subject == " ".join(clean(subject).split())
    assert message.message_id == "1@riders.invalid"
    assert [(one.name, one.size_bytes) for one in message.attachments] == [("rim.png", len(words.encode()))]


BEGINNINGS = [
    b"", b"id,text\n", b"id;text\n1;", b'{"text": "a"}\n', b"[{", b"From: a@b.invalid\nMessage-ID: <1@b>\nSubject: ",
    b"From: a@b.invalid\nMessage-ID: <1@b>\nMIME-Version: 1.0\nContent-Type: ",
    b"From: a@b.invalid\nMessage-ID: <1@b>\nDate: ", b"From: a@b.invalid\nMessage-ID: <1@b>\nMIME-Version: 1.0\n\n",
    b"From: a@b.invalid\nMessage-ID: <1@b>\nContent-Type: text/html\n\n<p>", b"\xff\xfe", b"\xef\xbb\xbf",
    b"From a Fri Nov 20 09:00:00 2026\nX: y\n",
]  # fmt: skip


@given(start=st.sampled_from(BEGINNINGS), data=st.binary(max_size=400))
@settings(max_examples=600, deadline=None)
def test_no_bytes_raise_nor_reach_the_last_resort(start, data):
    for one in _read_bytes(start + data):
        if isinstance(one, Refusal):
            assert not one.reason.startswith("could not be read:")
            assert one.reason == clean(one.reason)
        else:
            assert one.text == clean(one.text).strip()


@given(words=st.text(max_size=200))
@settings(max_examples=300, deadline=None)
def test_no_words_raise_in_the_small_readers(words):
    for reader in (plain_comment, decode_header, own_words, read_date, mail_date):
        reader(words)
    assert clean(html_to_text(clean(words))) == html_to_text(clean(words))
    assert clean(clean(words)) == clean(words)
    clean(words).encode("utf-8")


@given(
    data=st.binary(max_size=200),
    label=st.one_of(
        st.none(), st.text(max_size=12), st.sampled_from(["utf-7", "utf-16", "hz", "idna", "rot13", "uu"])
    ),
)
@settings(max_examples=300, deadline=None)
def test_any_bytes_under_any_label_become_characters(data, label):
    assert isinstance(decode(data, label), str)
    found = file_encoding(data)
    assert found is None or isinstance(data[found[1] :].decode(found[0], "replace"), str)


NAMES = st.sampled_from(["Ana Holm", "Jürgen Größe", "O'Neill, Bo", 'Di "Spoke" Wu', "Éva – Nagy"])
DATES = st.datetimes(
    datetime(1990, 1, 1), datetime(2090, 1, 1), timezones=st.sampled_from([UTC, timezone(timedelta(hours=5, minutes=30))])
).map(lambda moment: moment.replace(microsecond=0))  # fmt: skip
LINES = st.lists(
    st.text("abcdeß ,.?23", min_size=1, max_size=40).map(str.strip).filter(bool), min_size=1, max_size=4
).map("\n".join)


def _mail(words: str, name: str, moment: datetime, number: int = 1) -> EmailMessage:
    mail = EmailMessage()
    mail["From"] = Address(name, addr_spec="ana@riders.invalid")
    mail["Date"] = format_datetime(moment)
    mail["Message-ID"] = f"<{number}@riders.invalid>"
    mail["Subject"] = "Rim"
    mail.set_content(words)
    return mail


@given(words=LINES, name=NAMES, moment=DATES)
@settings(max_examples=60, deadline=None)
def test_a_mail_comes_back_with_its_words_author_and_date(words, name, moment):
    (message,) = _read_bytes(_mail(words, name, moment).as_bytes())

    assert (message.text.split(), message.author, message.address) == (
        words.split(),
        name,
        "ana@riders.invalid",
    )
    assert datetime.fromisoformat(message.received) == moment


@given(
    mails=st.lists(st.tuples(LINES, NAMES, DATES), min_size=1, max_size=4),
    ends=st.sampled_from(["\n", "\r\n"]),
)
@settings(max_examples=40, deadline=None)
def test_a_mailbox_comes_back_mail_by_mail(mails, ends):
    box = b""
    for number, (words, name, moment) in enumerate(mails):
        body = _mail(f"From me.\n{words}", name, moment, number).as_bytes()
        body = re.sub(rb"^(>*From )", rb">\1", body, flags=re.MULTILINE)
        box += b"From ana@riders.invalid Fri Nov 20 09:00:00 2026\n" + body + b"\n"
    found = _read_bytes(box.replace(b"\n", ends.encode()))

    assert [(one.text.split(), one.message_id) for one in found] == [
        (["From", "me.", *words.split()], f"{number}@riders.invalid")
        for number, (words, _, _) in enumerate(mails)
    ]
    assert [datetime.fromisoformat(one.received) for one in found] == [moment for _, _, moment in mails]


ROWS = st.lists(st.tuples(RIDERS_WORDS, NAMES, DATES), min_size=1, max_size=4)


@given(rows=ROWS)
@settings(max_examples=60, deadline=None)
def test_a_table_comes_back_with_words_author_and_date(rows):
    with io.StringIO(newline="") as held:
        csv.writer(held).writerows(
            [("id", "author", "date", "text"), *((n, name, moment.isoformat(), words) for n, (words, name, moment) in enumerate(rows))]
        )  # fmt: skip
        found = _read_bytes(held.getvalue().encode())

    _same_as_written(found, rows)


@given(rows=ROWS, form=st.sampled_from(["lines", "array", "object"]))
@settings(max_examples=90, deadline=None)
def test_json_comes_back_with_words_author_and_date(rows, form):
    entries = [
        {"id": n, "author": name, "date": moment.isoformat(), "text": words} for n, (words, name, moment) in enumerate(rows)
    ]  # fmt: skip
    written = {
        "lines": "\n".join(json.dumps(entry) for entry in entries),
        "array": json.dumps(entries),
        "object": json.dumps({"count": len(entries), "items": entries}, indent=1, ensure_ascii=False),
    }[form]

    _same_as_written(_read_bytes(written.encode()), rows)


def _same_as_written(found: list[Message | Refusal], rows: list[tuple[str, str, datetime]]) -> None:
    assert [(one.text, one.author) for one in found] == [
        (clean(words).strip(), name) for words, name, _ in rows
    ]
    assert [datetime.fromisoformat(one.received) for one in found] == [moment for _, _, moment in rows]

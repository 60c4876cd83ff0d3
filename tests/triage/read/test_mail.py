"""One mail: its characters, its body, what came with it, and what its headers tell."""

from __future__ import annotations

import base64
import hashlib
from email.message import EmailMessage

import pytest

HEAD = "From: Ana Holm <ana@riders.invalid>\r\nSubject: Rim\r\nMessage-ID: <1@riders.invalid>\r\nMIME-Version: 1.0\r\n"


def _mail(body: bytes | str, headers: str = "", head: str = HEAD) -> bytes:
    return (head + headers + "\r\n").encode("utf-8") + (body if isinstance(body, bytes) else body.encode())


@pytest.mark.parametrize(
    ("label", "encoding", "words"),
    [
        ("utf-8", "utf-8", "Größe 23 mm — passt’s?"),
        ("iso-8859-1", "iso-8859-1", "Größe 23 mm, ça va?"),
        ("iso-8859-1", "cp1252", "Größe “23 mm” – passt’s?"),
        ("us-ascii", "cp1252", "Größe 23 mm passt?"),
        ("us-ascii", "utf-8", "Größe 23 mm passt?"),
        ("iso-8859-1", "utf-8", "Größe 23 mm passt?"),
        ("utf-8", "cp1252", "Größe 23 mm passt?"),
        ("x-unknown", "utf-8", "Größe 23 mm passt?"),
        ("iso-8859-2", "iso-8859-2", "Łożysko sterów skrzypi, dlaczego?"),
        ("koi8-r", "koi8-r", "Какой обод шире?"),
        ("windows-1251", "cp1251", "Какой обод шире?"),
        ("shift_jis", "cp932", "リムの幅は①ですか"),
        ("iso-2022-jp", "iso-2022-jp", "リムの幅はいくつですか"),
        ("gb2312", "gb18030", "輪圈的寬度是多少"),
        ("euc-kr", "cp949", "림의 너비는 얼마입니까"),
        ("utf-16", "utf-16", "Größe 23 mm passt?"),
    ],
)
def test_body_in_any_character_set_under_right_and_wrong_labels(one_message, label, encoding, words):
    encoded = base64.encodebytes(words.encode(encoding))
    headers = f"Content-Type: text/plain; charset={label}\r\nContent-Transfer-Encoding: base64\r\n"

    assert one_message(_mail(encoded, headers)).text == words


@pytest.mark.parametrize("encoding", ["utf-8", "cp1252"])
def test_body_without_any_label(one_message, encoding):
    assert (
        one_message(_mail("Größe 23 mm, passt der Mantel?".encode(encoding))).text
        == "Größe 23 mm, passt der Mantel?"
    )


@pytest.mark.parametrize(
    ("written", "read_as"),
    [
        ("=?utf-8?q?Gr=C3=B6=C3=9Fe?=", "Größe"),
        ("=?utf-8?b?R3LDtsOfZQ==?=", "Größe"),
        ("=?iso-8859-1?Q?Gr=F6=DFe_des_Rades?=", "Größe des Rades"),
        ("=?utf-8?b?R3LD?=\r\n =?utf-8?b?tsOfZQ==?=", "Größe"),
        ("Rim =?utf-8?q?=C3=A9?= wide", "Rim é wide"),
        ("=?x-unknown?q?Gr=C3=B6=C3=9Fe?=", "Größe"),
        ("=?utf-8?b?broken base64", "=?utf-8?b?broken base64"),
        ("Größe as bare bytes", "Größe as bare bytes"),
        ("=?utf-8?q?two=0D=0ABcc:_all@riders.invalid?=", "two Bcc: all@riders.invalid"),
        ("=?utf-8?b?4oCoYeKAqGI=?=", "a b"),
    ],
)
def test_subject_header_encodings(one_message, written, read_as):
    mail = f"From: ana@riders.invalid\r\nMessage-ID: <1@b>\r\nMIME-Version: 1.0\r\nSubject: {written}\r\n\r\nWhy?"

    assert one_message(mail).subject == read_as


def test_bare_windows_1252_bytes_in_a_header(one_message):
    mail = b"From: Andr\xe9 Holm <a@riders.invalid>\r\nMessage-ID: <1@b>\r\nSubject: Gr\xf6\xdfe\r\n\r\nWhy?"
    message = one_message(mail)

    assert (message.author, message.subject, message.rider) == ("André Holm", "Größe", "André")


def test_html_alone_is_read_as_a_person_sees_it(one_message):
    html = (
        "<html><head><title>T</title><style>p{color:red}</style></head><body>"
        "<div style='display:none;font-size:1px;max-height:0'>preview text</div>"
        "<span hidden>secret</span><p style='visibility: hidden'>unseen</p><b style='display : none'>gone</b>"
        "<i style='font-size:0.9em'>Small print.</i>"
        "<p>My rim is <b>23</b>&nbsp;mm.</p><div>Tyre:<br>28 mm</div><ul><li>one</li><li>two</li></ul>"
        "<script>var a = 'no';</script><table><tr><td>a</td><td>b</td></tr><tr><td>c</td><td>d</td></tr></table>"
        "</body></html>"
    )
    message = one_message(_mail(html, "Content-Type: text/html; charset=utf-8\r\n"))

    assert message.text == "Small print.\n\nMy rim is 23 mm.\n\nTyre:\n28 mm\none\ntwo\na b\nc d"


def test_plain_part_is_taken_before_html(one_message):
    mail = EmailMessage()
    mail["From"], mail["Subject"], mail["Message-ID"] = "ana@riders.invalid", "Rim", "<1@b>"
    mail.set_content("plain words")
    mail.add_alternative("<p>html words</p>", subtype="html")

    assert one_message(mail.as_bytes()).text == "plain words"


@pytest.mark.parametrize(
    ("parameters", "body", "text"),
    [
        ("format=flowed", "one \r\ntwo \r\nthree\r\nfour", "one two three\nfour"),
        ('format="flowed"; delsp=yes', "chain \r\nring \r\ns\r\nfour", "chainrings\nfour"),
        ("delsp=yes", "chain \r\nring", "chain\nring"),
        ("format=flowed", " From here\r\nto there", "From here\nto there"),
        ("format=flowed", "ask \r\n-- \r\nAna", "ask"),
    ],
)
def test_flowed_lines_are_joined(one_message, parameters, body, text):
    headers = f"Content-Type: text/plain; charset=utf-8; {parameters}\r\n"

    assert one_message(_mail(body, headers)).text == text


@pytest.mark.parametrize(
    ("encoding", "size_bytes"), [("base64", 1_000), ("quoted-printable", 1_000), ("7bit", 1_000)]
)
def test_attachments_are_noted_by_name_type_and_size(one_message, encoding, size_bytes):
    mail = EmailMessage()
    mail["From"], mail["Subject"], mail["Message-ID"] = "ana@riders.invalid", "Rim", "<1@b>"
    mail.set_content("See the table.")
    content = "".join(f"{number:08d},\n" for number in range(100))
    mail.add_attachment(content, subtype="csv", filename="Maße.csv", cte=encoding)
    message = one_message(mail.as_bytes())

    assert message.text == "See the table."
    (attachment,) = message.attachments
    assert (attachment.name, attachment.content_type, attachment.size_bytes) == (
        "Maße.csv",
        "text/csv",
        size_bytes,
    )


@pytest.mark.parametrize("length", [1, 2, 3, 70, 71, 72, 12_345])
def test_size_of_a_base64_attachment_is_exact(one_message, length):
    mail = EmailMessage()
    mail["From"], mail["Subject"], mail["Message-ID"] = "ana@riders.invalid", "Rim", "<1@b>"
    mail.set_content("photo")
    mail.add_attachment(
        b"\x89" * length, maintype="image", subtype="png", filename="=?utf-8?q?r=C3=A4d.png?="
    )

    assert [a.size_bytes for a in one_message(mail.as_bytes()).attachments] == [length]


def test_a_mail_attached_whole_is_noted_and_not_read(one_message):
    inner = EmailMessage()
    inner["From"], inner["Subject"] = "tom@riders.invalid", "Inner"
    inner.set_content("inner words")
    mail = EmailMessage()
    mail["From"], mail["Subject"], mail["Message-ID"] = "ana@riders.invalid", "Rim", "<1@b>"
    mail.set_content("outer words")
    mail.add_attachment(inner)
    message = one_message(mail.as_bytes())

    assert message.text == "outer words"
    assert [(a.content_type, a.size_bytes) for a in message.attachments] == [("message/rfc822", 12)]


def test_a_multipart_whose_boundary_is_lost_keeps_its_words(one_message):
    assert "Which rim?" in one_message(_mail("Which rim?", "Content-Type: multipart/mixed\r\n")).text


@pytest.mark.parametrize(
    ("headers", "subject", "flag"),
    [
        ("Auto-Submitted: auto-replied\r\n", "Rim", "automatic-reply"),
        ("Precedence: auto_reply\r\n", "Rim", "automatic-reply"),
        ("X-Autoreply: yes\r\n", "Rim", "automatic-reply"),
        ("", "Automatic reply: Rim", "automatic-reply"),
        ("", "Abwesenheitsnotiz", "automatic-reply"),
        ("", "Réponse automatique : Rim", "automatic-reply"),
        ("", "Out of office", "automatic-reply"),
        ("Return-Path: <>\r\n", "Undelivered Mail Returned to Sender", "bounce"),
        ("List-Unsubscribe: <mailto:off@riders.invalid>\r\n", "Rim", "bulk"),
        ("Precedence: bulk\r\n", "Rim", "bulk"),
    ],
)
def test_mails_that_no_rider_wrote_are_flagged(one_message, headers, subject, flag):
    mail = f"From: ana@riders.invalid\r\nMessage-ID: <1@b>\r\nSubject: {subject}\r\n{headers}\r\nWords."

    assert one_message(mail).flags == (flag,)


def test_a_delivery_report_is_a_bounce(one_message):
    mail = (
        "From: MAILER-DAEMON@riders.invalid\r\nMessage-ID: <1@b>\r\nSubject: failure\r\nMIME-Version: 1.0\r\n"
        "Content-Type: multipart/report; boundary=b\r\n\r\n--b\r\n\r\nIt failed.\r\n--b\r\n"
        "Content-Type: message/delivery-status\r\n\r\nStatus: 5.0.0\r\n\r\n--b--\r\n"
    )

    assert "bounce" in one_message(mail).flags


@pytest.mark.parametrize(
    ("headers", "subject"),
    [
        ("Auto-Submitted: no\r\n", "Rim"),
        ("", "I am away next week: which tyre for gravel?"),
        ("", "Re: Out of true wheel"),
        ("Precedence: normal\r\n", "Automatic gearing, is it worth it?"),
    ],
)
def test_a_riders_mail_is_not_flagged(one_message, headers, subject):
    mail = f"From: ana@riders.invalid\r\nMessage-ID: <1@b>\r\nSubject: {subject}\r\n{headers}\r\nWords."

    assert one_message(mail).flags == ()


def test_ids_lose_their_brackets_and_threads_are_kept(one_message):
    message = one_message(_mail("Why?", "In-Reply-To: <0@b> (my mail)\r\nReferences: <x@b>\r\n <0@b>\r\n"))

    assert message.message_id == "1@riders.invalid"
    assert (message.in_reply_to, message.references) == ("0@b", ("x@b", "0@b"))


def test_a_mail_without_id_gets_a_digest_of_its_own(one_message):
    head = "From: ana@riders.invalid\r\nTo: desk@riders.invalid\r\nSubject: Rim\r\nDate: {}\r\n\r\n"
    first = one_message(head.format("Fri, 20 Nov 2026 09:00:00 +0000") + "Why?", "a")
    again = one_message(head.format("Fri, 20 Nov 2026 09:00:00 +0000") + "Why?", "b")
    other = one_message(head.format("Fri, 20 Nov 2026 09:00:00 +0000") + "How?", "c")
    said = "ana@riders.invalid\x002026-11-20T09:00:00+00:00\x00Rim\x00Why?"

    assert first.message_id == f"sha256:{hashlib.sha256(said.encode()).hexdigest()[:32]}"
    assert first.message_id == again.message_id != other.message_id


@pytest.mark.parametrize(
    ("written", "received"),
    [
        ("Fri, 20 Nov 2026 10:00:00 +0100", "2026-11-20T10:00:00+01:00"),
        ("20 Nov 2026 10:00:00 GMT", "2026-11-20T10:00:00+00:00"),
        ("Fri, 20 Nov 2026 10:00:00 -0000 (UTC)", "2026-11-20T10:00:00+00:00"),
        ("2026-11-20T10:00:00Z", "2026-11-20T10:00:00+00:00"),
        ("last Friday", None),
        ("Fri, 99 Nov 2026 10:00:00 +0100", None),
        ("Fri, 20 Nov 99999 10:00:00 +0100", None),
        ("Fri, 20 Nov 2026 10:00:00 +999999999", None),
        ("=" * 200, None),
        ("Thu, 01 Jan 1970 00:00:00 +0000", None),
    ],
)
def test_dates_are_iso_with_zone_or_none(one_message, written, received):
    assert one_message(_mail("Why?", f"Date: {written}\r\n")).received == received


def test_reply_to_is_the_address(one_message):
    message = one_message(_mail("Why?", "Reply-To: Ana <home@riders.invalid>\r\n"))

    assert (message.address, message.author) == ("home@riders.invalid", "Ana Holm")


@pytest.mark.parametrize(
    ("author", "rider"),
    [
        ('"Holm, Ana" <x@b.invalid>', "Ana"),
        ("Holm, Ana <x@b.invalid>", "Ana"),
        ("HOLM Ana <x@b.invalid>", "Ana"),
        ("Dr. Tom van Dijk <x@b.invalid>", "Tom"),
        ("Frau Müller <x@b.invalid>", None),
        ("xX_rider99 <x@b.invalid>", None),
        ("Bike Shop Support <x@b.invalid>", None),
        ("anna.k@b.invalid", "Anna"),
        ("info@b.invalid", None),
        ("x@b.invalid (Tom Holm)", "Tom"),
        ("=?utf-8?q?M=C3=BCller=2C_J=C3=BCrgen?= <x@b.invalid>", "Jürgen"),
        ("Ana Holm via the show <x@b.invalid>", "Ana"),
        ('"Ana \\"Pedal\\" Holm" <x@b.invalid>', "Ana"),
        ("Ana Holm <ana@b.invalid>, Tom <tom@b.invalid>", "Ana"),
    ],
)
def test_first_names_out_of_senders(one_message, author, rider):
    mail = f"From: {author}\r\nMessage-ID: <1@b>\r\nSubject: Rim\r\n\r\nWhich rim is best?"

    assert one_message(mail).rider == rider


@pytest.mark.parametrize(
    ("closing", "rider"),
    [
        ("Cheers,\nTom", "Tom"),
        ("Viele Grüße\nJürgen", "Jürgen"),
        ("Merci, Élodie", "Élodie"),
        ("– Ana", "Ana"),
        ("Thanks all", None),
        ("Thanks,\nthe wheel club", None),
    ],
)
def test_first_name_out_of_the_sign_off_where_the_sender_tells_none(one_message, closing, rider):
    mail = f"From: info@b.invalid\nMessage-ID: <1@b>\nSubject: Rim\n\nWhich rim is best?\n\n{closing}"

    assert one_message(mail).rider == rider


def test_a_mail_with_neither_text_nor_subject_is_refused(one_refusal):
    assert (
        one_refusal("From: a@b.invalid\nMessage-ID: <1@b>\n\n").reason
        == "the mail has no text and no subject"
    )


def test_a_mail_with_a_subject_alone_is_kept(one_message):
    message = one_message("From: a@b.invalid\nMessage-ID: <1@b>\nSubject: Which rim?\n\n")

    assert (message.subject, message.text) == ("Which rim?", "")


@pytest.mark.parametrize(
    "sender",
    [
        "other@b.invalid <ana@riders.invalid>",
        '"other@b.invalid" <ana@riders.invalid>',
        '"<other@b.invalid>" <ana@riders.invalid>',
        "=?utf-8?q?=3Cother=40b.invalid=3E?= <ana@riders.invalid>",
        "=?utf-8?q?a=0D=0ABcc:_other@b.invalid?= <ana@riders.invalid>",
        "=?utf-8?q?Ana_=3Cana=40riders.invalid=3E?=",
        "ana@riders.invalid (other@b.invalid)",
    ],
)
@pytest.mark.parametrize("heading", ["From", "Reply-To"])
def test_an_address_within_a_name_is_not_where_a_reply_goes(one_message, heading, sender):
    own = "" if heading == "From" else "From: x@b.invalid\n"
    message = one_message(f"{own}{heading}: {sender}\nMessage-ID: <1@b>\nSubject: Rim\nDate: x\n\nWhy?")

    assert message.address == "ana@riders.invalid"


def test_what_an_attachment_says_of_itself_is_cleaned(one_message):
    data = (
        b"From: a@b.invalid\nMessage-ID: <1@b>\nMIME-Version: 1.0\nContent-Type: multipart/mixed; boundary=b\n\n--b\n\n"
        b"Why?\n--b\nContent-Type: te\xf4\x00/x\n\nabc\n--b--\n"
    )

    (attachment,) = one_message(data).attachments

    assert (attachment.name, attachment.content_type) == ("te\ufffd/x", "te\ufffd/x")

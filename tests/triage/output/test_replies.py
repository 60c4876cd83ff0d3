"""Replies are threaded, unsent, and nothing can be smuggled into their headings."""

from __future__ import annotations

from email import message_from_bytes
from email.policy import default

import pytest

from triage.output.replies import Sender, reply_bytes, reply_mail


def kept(**changes):
    """A message as the ledger keeps it."""
    row = {
        "message_id": "one@riders.invalid",
        "channel": "mail",
        "received": "2026-11-20T09:00:00+01:00",
        "author": "Ana Example",
        "address": "ana@riders.invalid",
        "subject": "Which oil?",
        "thread": '["zero@riders.invalid"]',
    }
    return {**row, **changes}


LINE = {
    "question_id": "q-1",
    "title": "Oil",
    "text": "Which oil?",
    "reply": "Hi Ana,\n\nThin oil.\n\nAll the best",
}


def parsed(row, lines=(LINE,)):
    return message_from_bytes(reply_mail(list(lines), row).as_bytes(), policy=default)


def test_it_is_threaded_to_the_riders_mail_and_marked_unsent():
    mail = parsed(kept())

    assert mail["In-Reply-To"] == "<one@riders.invalid>"
    assert mail["References"] == "<zero@riders.invalid> <one@riders.invalid>"
    assert mail["Subject"] == "Re: Which oil?"
    assert mail["To"] == "Ana Example <ana@riders.invalid>"
    assert mail["X-Unsent"] == "1"
    assert "Thin oil." in mail.get_content()


HEADINGS = {
    "From", "To", "Subject", "Date", "Message-ID", "In-Reply-To", "References", "X-Unsent",
    "X-Quillstem-Draft", "Content-Type", "Content-Transfer-Encoding", "MIME-Version",
}  # fmt: skip


@pytest.mark.parametrize(
    "changes",
    [
        {"subject": "Hello\r\nBcc: all@riders.invalid"},
        {"subject": "Hello\u2028Bcc: all@riders.invalid"},
        {"author": "Ana\nBcc: all@riders.invalid"},
        {"address": "ana@riders.invalid\r\nBcc: all@riders.invalid"},
        {"message_id": "one@riders.invalid>\r\nBcc: all@riders.invalid"},
        {"thread": '["a@b\\r\\nBcc: all@riders.invalid"]'},
        {"subject": "=?utf-8?q?a=0D=0ABcc:_all@riders.invalid?="},
        {"subject": "=?utf-8?b?YQ0KQmNjOiBhbGxAYi5pbnZhbGlk?="},
        {"subject": "=?utf-8?q?a=0A=0AA_body?="},
        {"subject": "==??utf-8?q?a=0D=0ABcc:_all@riders.invalid?="},
        {"author": "=?utf-8?q?a=0D=0ABcc:_all@riders.invalid?="},
        {"author": "=?utf-8?b?YQ0KQmNjOiBhbGxAYi5pbnZhbGlk?="},
        {"author": "=?utf-8?q?=22?= <all@riders.invalid>,"},
        {"address": "=?utf-8?q?a=0D=0ABcc:_all?=@riders.invalid"},
        {"message_id": "=?utf-8?q?a=0D=0ABcc:_all@riders.invalid?="},
        {"thread": '["=?utf-8?q?a=0D=0ABcc:_all@riders.invalid?="]'},
        {"subject": "x" * 5000},
        {"author": "é" * 300},
    ],
)
def test_nothing_is_smuggled_into_the_headings(changes):
    for written in (reply_mail([LINE], kept(**changes)).as_bytes(), reply_bytes([LINE], kept(**changes))):
        mail = message_from_bytes(written, policy=default)
        assert b"\nbcc:" not in written.lower()
        assert "Thin oil." in mail.get_content()
        assert (
            [one.addr_spec for one in mail["To"].addresses] == ["ana@riders.invalid"] if mail["To"] else True
        )
        assert set(mail.keys()) <= HEADINGS


def test_a_comment_has_no_thread_and_no_address():
    mail = parsed(kept(channel="comment", address=None, message_id="c-1"))

    assert mail["In-Reply-To"] is None
    assert mail["To"] is None


def test_two_asks_of_one_message_share_greeting_close_and_sources():
    one = {
        **LINE,
        "reply": "Hi Ana,\n\nThin oil.\n\nKind regards\n\nFigures from: A.",
        "reply_frame": ["Hi Ana,", "Kind regards"],
    }
    two = {
        **LINE,
        "text": "And which grease?",
        "reply": "Hi Ana,\n\nGrade 2.\n\nAll the best\n\nFigures from: B.",
        "reply_frame": ["Hi Ana,", "All the best"],
    }

    text = parsed(kept(), (one, two)).get_content()

    assert text.count("Hi Ana,") == 1
    assert text.count("All the best") == 1
    assert "Kind regards" not in text
    assert "You asked: “And which grease?”" in text
    assert text.index("Thin oil.") < text.index("Grade 2.") < text.index("Figures from: A.")


def test_what_an_editor_put_at_the_ends_of_a_reply_is_not_lost_among_several():
    frame = {"reply_frame": ["Hi Ana,", "All the best"]}
    one = {
        **LINE,
        **frame,
        "reply": "Never ride it like that.\n\nThin oil.\n\nFigures from: A.\n\nPS: stop riding it.",
    }
    two = {
        **LINE,
        **frame,
        "reply": "Dear Ana,\n\nGrade 2.\n\nAll the best\n\nPS: and look at the fork.",
    }

    text = parsed(kept(), (one, two)).get_content()

    for words in (
        "Never ride it like that.",
        "PS: stop riding it.",
        "Dear Ana,",
        "PS: and look at the fork.",
        "All the best",
        "Figures from: A.",
    ):
        assert text.count(words) == 1


def test_a_signed_mail_says_so_and_comes_from_its_sender():
    mail = reply_mail([LINE], kept(), Sender("Répondeur", "a@other.invalid"), is_signed=True)
    read = message_from_bytes(mail.as_bytes(), policy=default)

    assert (read["X-Quillstem-Draft"], read["X-Unsent"]) == ("signed", "1")
    assert read["From"] == "Répondeur <a@other.invalid>"


def test_without_more_words_it_is_unsigned_and_the_desks():
    assert parsed(kept())["X-Quillstem-Draft"] == "unsigned"
    assert parsed(kept())["From"] == "Workshop desk <desk@show.invalid>"


def test_an_address_beyond_ascii_is_kept_only_where_it_is_asked_for():
    row = kept(address="jürgen@riders.invalid")

    assert parsed(row)["To"] is None
    assert "<jürgen@riders.invalid>".encode() in reply_mail([LINE], row, is_for_any_address=True).as_bytes()


def test_two_asks_that_wait_for_a_person_are_told_so_once():
    def held(text, phrase, helps, *more):
        return {
            **LINE,
            "text": text,
            "reply": "\n\n".join(["Hi Ana,", phrase, *more, helps, "All the best"]),
            "reply_frame": ["Hi Ana,", "All the best", phrase, helps],
        }

    one = held("Does it fit?", "A person has to look.", "It helps to see it.")
    two = {**LINE, "text": "Which oil?", "reply_frame": ["Hi Ana,", "All the best"]}
    three = held("And is it safe?", "One of us will look.", "It helps to know its size.", "Don't ride it.")

    text = parsed(kept(), (one, two, three)).get_content().replace("\r\n", "\n")

    assert "You asked: “Does it fit?”, and: “And is it safe?”\n\nA person has to look." in text
    assert text.index("Thin oil.") < text.index("A person has to look.")
    for words in ("A person has to look.", "Don't ride it.", "It helps to see it.", "All the best"):
        assert text.count(words) == 1
    assert text.index("Don't ride it.") < text.index("It helps to see it.")
    assert "One of us will look." not in text
    assert "its size" not in text


def test_what_somebody_wrote_to_one_who_waits_stays_where_it_stands():
    frame = {"reply_frame": ["Hi Ana,", "All the best", "A person has to look."]}
    one = {**LINE, **frame, "reply": "Hi Ana,\n\nIt fits.\n\nAll the best"}
    two = {
        **LINE,
        **frame,
        "text": "And is it safe?",
        "reply": "Hi Ana,\n\nA person has to look.\n\nAll the best",
    }

    text = parsed(kept(), (one, two)).get_content()

    assert text.index("It fits.") < text.index("You asked: “And is it safe?”") < text.index("A person has")

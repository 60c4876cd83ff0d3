"""Plain notes: one a file, or several between rules."""

from __future__ import annotations

import pytest


def test_notes_separated_by_dashes(reading):
    found = reading(
        "From: Ana\nWhich rim?\n---\nDate: 2026-11-20\n\nWhich hub?\n-----\n\nWhich tyre -- or rim?\n"
    )

    assert [(f.item, f.text) for f in found] == [
        ("note 1", "Which rim?"), ("note 2", "Which hub?"), ("note 3", "Which tyre -- or rim?"),
    ]  # fmt: skip
    assert [f.author for f in found] == ["Ana", None, None]
    assert found[1].received == "2026-11-20T00:00:00+00:00"


def test_a_note_with_a_heading_alone_is_refused_and_the_next_read(reading):
    first, second = reading("From: Ana\n---\nWhich hub?")

    assert (first.item, first.reason) == ("note 1", "the note has no text")
    assert second.text == "Which hub?"


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "cp1252"])
def test_notes_in_each_encoding(one_message, encoding):
    assert (
        one_message("Größe 23 mm,\nwas passt da drauf?".encode(encoding)).text
        == "Größe 23 mm,\nwas passt da drauf?"
    )


def test_an_unreadable_date_is_none_and_the_same_note_has_the_same_id(one_message):
    first = one_message("Date: yesterday\n\nWhich rim?", "a.txt")
    second = one_message("Date: yesterday\n\nWhich rim?", "b.txt")

    assert first.received is None
    assert first.message_id.startswith("sha256:")
    assert first.message_id == second.message_id


def test_a_long_note_is_cut_and_says_so(one_message):
    message = one_message("word " * 100_000)

    assert len(message.text) <= 200_000
    assert message.flags == ("cut-short",)


def test_rules_alone_are_an_empty_file(one_refusal):
    assert one_refusal("---\n\n---\n").reason == "the file is empty"

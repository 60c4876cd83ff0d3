"""Comment exports as JSON: one object a line, one array, and damage that costs only itself."""

from __future__ import annotations

import json

import pytest

from triage.records import Message, Refusal


def _told(found: list[Message | Refusal]) -> list[tuple[str, str]]:
    return [(f.item, f.text if isinstance(f, Message) else "refused") for f in found]


def test_a_damaged_line_is_refused_by_its_number(reading):
    found = reading(
        '{"id": 1, "text": "one"}\n{"id": 2, "text": "tw\n\n{"id": 3, "text": "three"}\n[1]\n"words"\n'
    )

    assert _told(found) == [
        ("line 1", "one"), ("line 2", "refused"), ("line 4", "three"), ("line 5", "refused"), ("line 6", "refused"),
    ]  # fmt: skip
    assert found[1].reason.startswith("not readable as JSON: ")


@pytest.mark.parametrize(
    "author",
    [{"name": "Ana Holm"}, {"id": 4, "displayName": "Ana Holm"}, {"username": "Ana Holm"}, "Ana Holm"],
)
def test_an_author_may_be_an_object(one_message, author):
    message = one_message(json.dumps({"id": 7, "author": author, "text": "Why?", "likes": 3, "tags": ["a"]}))

    assert (message.message_id, message.author, message.rider, message.likes) == ("7", "Ana Holm", "Ana", 3)


@pytest.mark.parametrize("indent", [None, 2])
def test_an_array_is_read_entry_by_entry(reading, indent):
    entries = [{"id": 1, "text": "one"}, "two", {"id": 3, "text": ""}, {"id": 4, "text": "four\nlines"}]

    assert _told(reading(json.dumps(entries, indent=indent))) == [
        ("entry 1", "one"), ("entry 2", "refused"), ("entry 3", "refused"), ("entry 4", "four\nlines"),
    ]  # fmt: skip


@pytest.mark.parametrize("indent", [None, 2])
def test_a_truncated_array_keeps_its_whole_entries(reading, indent):
    text = json.dumps([{"id": n, "text": f"number {n}"} for n in range(3)], indent=indent)
    found = reading(text[: text.index("number 2") + 4])

    assert _told(found) == [("entry 1", "number 0"), ("entry 2", "number 1"), ("entry 3", "refused")]


def test_an_array_that_lost_its_end_alone_is_refused_at_its_end(reading):
    found = reading('[{"id": 1, "text": "one"},')

    assert _told(found) == [("entry 1", "one"), ("entry 2", "refused")]
    assert found[1].reason == "the array ends within it"


def test_a_damaged_entry_within_an_array_of_lines_costs_itself(reading):
    found = reading('[\n{"id": 1, "text": "one"},\n{"id": 2, "text: "two"},\n{"id": 3, "text": "three"}\n]\n')

    assert _told(found) == [("entry 1", "one"), ("entry 2", "refused"), ("entry 3", "three")]


def test_an_object_around_the_comments_is_opened(reading):
    wrapped = json.dumps(
        {"count": 2, "comments": [{"id": 1, "text": "one"}, {"id": 2, "text": "two"}]}, indent=1
    )

    assert _told(reading(wrapped)) == [("entry 1", "one"), ("entry 2", "two")]


def test_one_object_over_several_lines_is_one_comment(one_message):
    assert one_message(json.dumps({"id": 1, "text": "Why?"}, indent=2)).text == "Why?"


@pytest.mark.parametrize(
    ("likes", "count"),
    [
        ("1" * 5_000, 0),
        ("NaN", 0),
        ("Infinity", 0),
        ("-4", 0),
        ("1e400", 0),
        ("true", 0),
        ("null", 0),
        ("7.0", 7),
        ('"8"', 8),
    ],
)
def test_numbers_that_no_one_means_cost_only_themselves(one_message, likes, count):
    message = one_message(f'{{"id": 5, "text": "Why?", "likes": {likes}}}')

    assert (message.text, message.likes, message.message_id) == ("Why?", count, "5")


@pytest.mark.parametrize("value", ["null", "NaN", "1" + "0" * 5_000])
def test_an_id_that_says_nothing_becomes_a_digest(one_message, value):
    assert one_message(f'{{"id": {value}, "text": "Why?"}}').message_id.startswith("sha256:")


@pytest.mark.parametrize("text", ["null", '""', '"  \\n"'])
def test_an_empty_text_is_refused_as_such(one_refusal, text):
    assert one_refusal(f'{{"id": 5, "text": {text}}}').reason == "no text"


def test_a_missing_text_names_what_was_found(one_refusal):
    refusal = one_refusal('{"id": 5, "wording": "Why?", "b\\ud800\\n": 1}')

    assert refusal.reason == "no column for the text of the comments; columns found: id, wording, b\ufffd"


def test_columns_map_names_in_json_too(one_message):
    assert (
        one_message('{"nr": 5, "wording": "Why?"}', columns={"text": "wording", "id": "nr"}).message_id == "5"
    )


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "cp1252"])
def test_encodings(one_message, encoding):
    assert (
        one_message('{"id": 5, "text": "Größe 23 mm, passt das?"}'.encode(encoding)).text
        == "Größe 23 mm, passt das?"
    )


@pytest.mark.parametrize(
    "bomb", ["[" * 100_000, '{"a":' * 100_000, '{"text": ' + "[" * 100_000 + "]" * 100_000 + "}"]
)
def test_a_nesting_bomb_is_refused_and_the_rest_read(reading, bomb):
    found = reading('{"id": 1, "text": "one"}\n' + bomb + '\n{"id": 3, "text": "three"}\n')

    assert _told(found) == [("line 1", "one"), ("line 2", "refused"), ("line 3", "three")]


@pytest.mark.parametrize("wrapped", ['{\n"count": 3, "list": %s, "more": 1}', "%s"])
@pytest.mark.parametrize("length", [30_000, 65_500, 65_536, 200_000])
def test_entries_come_whole_wherever_the_pieces_in_which_a_file_is_read_end(reading, wrapped, length):
    entries = [{"id": n, "text": f"Why? {'x' * (length + n)}", "likes": n} for n in range(1, 8)]
    found = reading(wrapped % json.dumps(entries, indent=1))

    assert [(one.message_id, one.likes, len(one.text)) for one in found] == [
        (str(n), n, min(length + n + 5, 200_000)) for n in range(1, 8)
    ]


def test_an_entry_longer_than_is_read_costs_itself(reading):
    entries = [
        '{"id": 1, "text": "one"}',
        f'{{"id": 2, "text": "{"x" * 9_000_000}"}}',
        '{"id": 3, "text": "three"}',
    ]
    found = reading("[\n" + ",\n".join(entries) + "\n]")

    assert _told(found) == [("entry 1", "one"), ("entry 2", "refused"), ("entry 3", "three")]
    assert found[1].reason == "damaged: longer than is read"


@pytest.mark.parametrize("nothing", ["[]", "[\n]\n", '{\n"list": []\n}'])
def test_an_export_without_comments_is_said_to_be_one(one_refusal, nothing):
    assert one_refusal(nothing).reason in (
        "there is no message in it",
        "no column for the text of the comments; columns found: none",
    )


@pytest.mark.parametrize("text", ["\\u0007", " \\u0000\\u200b", "&#7;"])
def test_a_text_of_nothing_that_is_kept_is_no_text(one_refusal, text):
    assert one_refusal(f'{{"id": 5, "text": "{text}"}}').reason == "no text"

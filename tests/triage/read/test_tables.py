"""Comment exports as tables: delimiters, encodings, cells of several lines, and damage that stays where it is."""

from __future__ import annotations

import codecs

import pytest

from triage.records import Message, Refusal

DELIMITERS = [",", ";", "\t", "|"]
ENCODINGS = {
    "utf-8": (b"", "utf-8"),
    "utf-8 with mark": (codecs.BOM_UTF8, "utf-8"),
    "utf-16-le": (b"", "utf-16-le"),
    "utf-16-le with mark": (codecs.BOM_UTF16_LE, "utf-16-le"),
    "utf-16-be": (b"", "utf-16-be"),
    "utf-16-be with mark": (codecs.BOM_UTF16_BE, "utf-16-be"),
    "windows-1252": (b"", "cp1252"),
}


@pytest.mark.parametrize("delimiter", DELIMITERS)
@pytest.mark.parametrize("encoding", ENCODINGS)
def test_every_delimiter_in_every_encoding(reading, delimiter, encoding):
    mark, name = ENCODINGS[encoding]
    rows = [
        ["id", "author", "text"],
        ["7", "Jürgen Holm", '"Passt 23 mm,;\t|\r\nsagt er ""ja""?"'],
        ["8", "Ana", "Größe?"],
    ]
    data = mark + "".join(delimiter.join(row) + "\r\n" for row in rows).encode(name)
    first, second = reading(data)

    assert first.text == 'Passt 23 mm,;\t|\nsagt er "ja"?'
    assert (first.message_id, first.author, first.rider, first.item) == (
        "7",
        "Jürgen Holm",
        "Jürgen",
        "line 2",
    )
    assert (second.text, second.item) == ("Größe?", "line 4")


@pytest.mark.parametrize(
    ("heading", "text_place"),
    [
        ("Comment ID,Display Name,Comment Text,Like Count", 2),
        ("COMMENT_ID,AUTHOR,BODY,LIKES", 2),
        ("id,user,message,votes", 2),
        ("uid,name,Kommentar,score", 2),
        ("ID , Author , Text , Likes", 2),
    ],
)
def test_usual_names_without_regard_to_case_spaces_and_underscores(one_message, heading, text_place):
    message = one_message(f"{heading}\n7,Ana Holm,Which rim?,12\n")

    assert (message.message_id, message.author, message.text, message.likes) == (
        "7",
        "Ana Holm",
        "Which rim?",
        12,
    )


def test_all_fields_of_a_row(one_message):
    message = one_message(
        "id,author,published_at,text,likes,platform,parent_id,email,title\n"
        '7,Ana,2026-11-20T09:00:00Z,"Which rim?","1,204",video,6,ana@riders.invalid,Rims\n'
    )

    assert message == Message(
        message_id="7", channel="video", received="2026-11-20T09:00:00+00:00", author="Ana", rider="Ana",
        address="ana@riders.invalid", subject="Rims", text="Which rim?", source=message.source, item="line 2",
        likes=1204, in_reply_to="6",
    )  # fmt: skip


def test_columns_map_our_names_to_theirs(one_message):
    message = one_message(
        "nr,Wortlaut,wer\n7,Which rim?,Ana\n", columns={"text": "Wortlaut", "id": "nr", "author": "wer"}
    )

    assert (message.message_id, message.text, message.author) == ("7", "Which rim?", "Ana")


def test_a_mapped_column_wins_over_a_usual_one(one_message):
    assert one_message("text,asked\nno,Which rim?\n", columns={"text": "asked"}).text == "Which rim?"


@pytest.mark.parametrize(
    ("columns", "reason"),
    [
        (None, "no column for the text of the comments; columns found: id, author, wording"),
        ({"text": "said"}, 'no column "said"; columns found: id, author, wording'),
    ],
)
def test_a_missing_text_column_is_one_refusal_that_names_the_columns_found(one_refusal, columns, reason):
    rows = "".join(f"{number},Ana,Which rim?\n" for number in range(50))
    refusal = one_refusal(f"id,author,wording\n{rows}", columns=columns)

    assert (refusal.item, refusal.reason) == ("line 1", reason)
    assert refusal.remedy == "Name it: --columns text=THEIR_NAME"


def test_rows_with_wrong_cells_are_refused_by_their_own_line_and_no_other_shifts(reading):
    found = reading(
        'id,text,likes\n1,"two\nlines",3\n2,short\n3,a,b,c\n4,"three\r\nlines\r\nhere",5\n\n5,,0\n6,good,1\n7,ends,2,,\n'
    )
    told = [(f.item, f.text if isinstance(f, Message) else f.reason) for f in found]

    assert told == [
        ("line 2", "two\nlines"),
        ("line 4", "expected 3 cells, found 2"),
        ("line 5", "expected 3 cells, found 4"),
        ("line 6", "three\nlines\nhere"),
        ("line 10", "the row has no text"),
        ("line 11", "good"),
        ("line 12", "ends"),
    ]


def test_a_quotation_mark_never_closed_costs_its_own_row_alone(reading):
    found = reading('id,text\n1,one\n2,"never closed\n3,three\n4,"four"\n5,"five\nmore"\n6,"six\n')
    kept = {f.item: f.text for f in found if isinstance(f, Message)}
    lost = [f.item for f in found if isinstance(f, Refusal)]

    assert kept == {"line 2": "one", "line 4": "three", "line 5": "four", "line 6": "five\nmore"}
    assert lost == ["line 3", "line 8"]
    assert all("not readable as a row" in f.reason for f in found if isinstance(f, Refusal))


def test_marks_within_a_line_are_read_as_they_stand(reading):
    found = reading('id,text\n1,a 29" wheel\n2,"29" wheel, or 28"\n3,"quoted" and not\n')

    assert found[0].text == 'a 29" wheel'
    assert [f.item for f in found] == ["line 2", "line 3", "line 4"]
    assert isinstance(found[1], Refusal)
    assert found[2].text == "quoted and not"


def test_entities_and_tags_are_undone(one_message):
    message = one_message(
        "id,text\n1,Don&#39;t &amp; won&#39;t &lt;3 a<b<br>fit <b>23</b> mm &quot;here&quot; AT&T\n"
    )

    assert message.text == "Don't & won't <3 a<b\nfit 23 mm \"here\" AT&T"


def test_a_first_line_that_tells_the_delimiter_is_passed_over(reading):
    found = reading("sep=;\r\nid;text\r\n1;Which rim, and why?\r\n2;short;long\r\n")

    assert (found[0].text, found[0].item) == ("Which rim, and why?", "line 3")
    assert (found[1].item, found[1].reason) == ("line 4", "expected 2 cells, found 3")


def test_blank_lines_above_the_heading_and_a_heading_of_two_lines_keep_line_numbers(reading):
    assert [f.item for f in reading("\n\nid,text\n1,Which rim?\n")] == ["line 4"]
    assert [f.item for f in reading('id,text,"likes\nso far"\n1,Which rim?,2\n')] == ["line 3"]


@pytest.mark.parametrize(
    ("dates", "received"),
    [
        (["03/04/2024", "25/04/2024"], "2024-04-03T00:00:00+00:00"),
        (["03/04/2024", "04/25/2024"], "2024-03-04T00:00:00+00:00"),
        (["03/04/2024", "02/04/2024"], None),
        (["1709634600", "x"], "2024-03-05T10:30:00+00:00"),
        (["2 days ago", "x"], None),
        (["9" * 5_000, "x"], None),
    ],
)
def test_dates_of_a_table_are_settled_by_its_rows(reading, dates, received):
    found = reading("id,date,text\n" + "".join(f"{n},{date},Why?\n" for n, date in enumerate(dates)))

    assert found[0].received == received


@pytest.mark.parametrize(
    ("likes", "count"),
    [
        ("12", 12),
        ('"1,204"', 1204),
        ("9" * 5_000, 0),
        ("-3", 0),
        ("many", 0),
        ("", 0),
        ("12.0", 12),
        ("²", 0),
        ("nan", 0),
    ],
)
def test_likes_that_are_no_count_are_none(one_message, likes, count):
    assert one_message(f"id,likes,text\n1,{likes},Why?\n").likes == count


def test_a_windows_1252_byte_far_into_a_utf_8_file_costs_nothing(reading):
    rows = "".join(f"{n},Größe {n}\n" for n in range(9_000)).encode()
    found = reading(b"id,text\n" + rows + "9000,Größe\n".encode("cp1252"))

    assert len(found) == 9_001
    assert (found[0].text, found[-1].text) == ("Größe 0", "Größe")


def test_letters_with_a_zero_byte_do_not_hide_utf_16(reading):
    assert [f.text for f in reading("id,text\n1,Āda asks: Ā or Ȁ rim?\n".encode("utf-16-le"))] == [
        "Āda asks: Ā or Ȁ rim?"
    ]


def test_a_row_without_id_has_a_digest_and_the_same_on_each_run(reading):
    first, second = reading("author,text\nAna,Which rim?\nTom,Which rim?\n")
    again = reading("author,text\nAna,Which rim?\nTom,Which rim?\n", "other-name")

    assert first.message_id.startswith("sha256:")
    assert [m.message_id for m in again] == [first.message_id, second.message_id]
    assert first.message_id != second.message_id


@pytest.mark.parametrize("encoding", ["utf-16-le", "utf-16-be"])
def test_spaces_that_do_not_break_do_not_hide_utf_16(reading, encoding):
    data = "id,text\n1,Quelle\u00a0jante\u202f?\u00a0\u00a0 23\u00a0mm\n".encode(encoding)

    assert [f.text for f in reading(data)] == ["Quelle\u00a0jante\u202f?\u00a0\u00a0 23\u00a0mm"]

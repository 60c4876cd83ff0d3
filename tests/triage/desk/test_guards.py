"""Around every request: hosts, headers, bounded bodies, and input made to break it."""

from __future__ import annotations

import string
from urllib.parse import quote

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from triage.desk.app import DOORS
from triage.desk.guards import MOST_BODY_BYTES


@pytest.mark.parametrize("host", ["evil.invalid", "127.0.0.1.evil.invalid", "desk.show.invalid", ""])
def test_a_page_elsewhere_cannot_reach_the_desk_by_a_name_of_its_own(host, visitor):
    answer = visitor().client.get("/sign-in", headers={"host": host})

    assert answer.status_code == 400


@pytest.mark.parametrize("host", ["127.0.0.1:8417", "localhost:1", "127.0.0.1"])
def test_this_machines_own_names_are_let_through(host, visitor):
    assert visitor().client.get("/sign-in", headers={"host": host}).status_code == 200


@pytest.mark.parametrize(
    "path", ["/sign-in", "/wall", "/no-such-page", "/static/desk.css", "/static/../app.py", "/enter/x"]
)
def test_every_answer_forbids_what_is_not_ours(path, visitor):
    headers = visitor("editor").client.get(path).headers

    policy = headers["content-security-policy"]
    assert "default-src 'none'" in policy
    assert "unsafe" not in policy
    assert "frame-ancestors 'none'" in policy
    assert headers["x-content-type-options"] == "nosniff"
    assert headers["referrer-policy"] == "no-referrer"


def test_pages_are_not_kept_by_the_browser(visitor):
    assert visitor("editor").client.get("/wall").headers["cache-control"] == "no-store"


def test_a_body_larger_than_any_form_of_ours_is_refused(visitor, question):
    editor = visitor("editor")

    said = editor.client.post(f"/bench/{question}/text", content=b"x" * (MOST_BODY_BYTES + 1))
    unsaid = editor.client.post(
        f"/bench/{question}/text",
        content=iter([b"x" * 500_000] * 3),
        headers={"content-type": "application/x-www-form-urlencoded"},
    )

    assert said.status_code == 413
    assert unsaid.status_code == 413
    assert said.text == "The form is larger than 1,000,000 bytes."


def test_a_file_is_not_taken(visitor, question):
    editor = visitor("editor")

    answer = editor.client.post(f"/bench/{question}/text", files={"script": ("a.txt", b"words")})

    assert answer.status_code in (400, 403)


def test_riders_html_is_shown_as_words(visitor, ledger, message):
    editor = visitor("editor")
    for path in (
        "/wall?words=%3Cscript%3Ealert(1)%3C/script%3E",
        "/source/%3Cb%3Ex",
        "/bench/%3Cimg%20src=x%3E",
    ):
        text = editor.client.get(path).text
        assert "<script>alert" not in text
        assert "<b>x" not in text
        assert "<img" not in text


_WORDS = st.text(
    alphabet=st.sampled_from([*string.printable, "\0", "é", "\u202e", "\ud7ff", "😀", "'", '"', "%", "*"]),
    max_size=40,
)
_FIELDS = st.dictionaries(
    st.sampled_from(
        [
            "version", "wall", "figure", "right", "note", "seen", "deed", "script", "reply", "as_drafted", "brief", "topic",
            "kind", "more_name", "more_value", "more_part", "read.tyre_width_mm", "was.tyre_width_mm", "read.rim_type",
            "read.no_such", "part.cassette", "part.x", "key", "form", "settle", "sent", "chosen", "day", "minutes",
            "act", "name", "like", "took.1", "question", "what", "due", "wrong", "right", "number", "found",
        ]
    ),
    _WORDS | st.integers(-3, 10**12).map(str),
    max_size=6,
)  # fmt: skip
_QUERY = st.dictionaries(
    st.sampled_from(
        [
            "topic", "verdict", "state", "brief", "words", "group", "safety", "from", "before", "since", "said", "wall",
            "upto", "weeks", "day", "minutes", "unsigned", "paper", "what",
        ]
    ),
    _WORDS | st.integers(-3, 10**12).map(str),
    max_size=4,
)  # fmt: skip


@settings(max_examples=150, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(door=st.sampled_from(DOORS), place=_WORDS, fields=_FIELDS, query=_QUERY, is_real=st.booleans())
def test_no_input_makes_the_desk_stumble(door, place, fields, query, is_real, visitor, question):
    if not hasattr(test_no_input_makes_the_desk_stumble, "editor"):
        test_no_input_makes_the_desk_stumble.editor = visitor("editor")
    editor = test_no_input_makes_the_desk_stumble.editor
    named = question if is_real else quote(place, safe="") or "x"
    path = door.path.replace("{question}", named)
    for name in ("{source}", "{topic}", "{table}", "{part}", "{figure}", "{day}", "{form}"):
        path = path.replace(name, quote(place, safe="") or "x")

    answer = editor.client.get(path, params=query) if door.method == "GET" else editor.post(path, **fields)

    assert answer.status_code < 500, (path, fields, query)
    assert "Traceback" not in answer.text

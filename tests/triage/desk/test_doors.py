"""Every door in every role: who is let through, who is refused, and that nobody gets in without a form of ours."""

from __future__ import annotations

import json

import click
import pytest

from tests.triage.desk.visitors import token_of
from triage.cli.logs import set_up
from triage.desk.app import DOORS
from triage.review.roles import RIGHTS, ROLES

PLACES = {
    "{source}": "common-practice",
    "{topic}/{table}": "brakes/fluids",
    "{part}": "no-such-part",
    "{figure}": "travel_per_click_mm",
    "{day}": "2026-11-27",
    "{form}": "md",
}


def path_of(door, question):
    path = door.path.replace("{question}", question)
    for name, place in PLACES.items():
        path = path.replace(name, place)
    return path


@pytest.mark.parametrize("door", DOORS, ids=lambda door: f"{door.method} {door.path}")
@pytest.mark.parametrize("role", ROLES)
def test_a_door_opens_to_the_roles_that_have_its_right_and_to_no_other(door, role, visitor, question):
    somebody = visitor(role)
    path = path_of(door, question)

    answer = somebody.client.get(path) if door.method == "GET" else somebody.post(path, version="0")

    assert (answer.status_code == 403) == (role not in RIGHTS[door.right]), answer.status_code
    assert answer.status_code < 500


@pytest.mark.parametrize("door", DOORS, ids=lambda door: f"{door.method} {door.path}")
def test_nobody_who_is_not_signed_in_gets_through(door, visitor, question):
    stranger = visitor()

    answer = stranger.client.request(door.method, path_of(door, question))

    assert answer.status_code == (303 if door.method == "GET" else 401)
    assert "rider" not in answer.text


@pytest.mark.parametrize("door", [door for door in DOORS if door.method == "POST"], ids=lambda d: d.path)
@pytest.mark.parametrize("form_token", ["", "0" * 64])
def test_no_change_without_a_form_made_for_this_visitor(door, form_token, visitor, question, ledger):
    editor = visitor("editor")

    answer = editor.client.post(path_of(door, question), data={"form_token": form_token, "version": "0"})

    assert answer.status_code == 403
    assert "This form was not made by the desk for you." in answer.text
    assert ledger.reviews.history() == []


def test_a_form_of_another_visitor_is_refused(visitor, question):
    one, other = visitor("editor"), visitor("editor")
    fields = {"form_token": token_of(one.get("/wall")), "version": "0"}

    assert other.client.post(f"/bench/{question}/sign", data=fields).status_code == 403
    assert one.client.post(f"/bench/{question}/sign", data=fields).status_code == 303


def test_only_an_editor_signs_even_where_a_button_is_forged(visitor, question, ledger):
    answer = visitor("presenter").post(f"/bench/{question}/sign", version="0")

    assert answer.status_code == 403
    assert "A presenter can&#39;t do that. Ask an editor." in answer.text
    assert ledger.reviews.of(question).state == "new"


@pytest.mark.parametrize(("role", "text"), [("desk", "script"), ("presenter", "reply")])
def test_a_text_is_edited_by_those_whose_work_it_is(role, text, visitor, question, ledger):
    answer = visitor(role).post(f"/bench/{question}/text", version="0", **{text: "Something else."})

    assert answer.status_code == 409
    assert f"A {role} can&#39;t do that." in answer.text
    assert ledger.reviews.of(question).version == 0


def test_a_fault_of_ours_is_told_where_the_desk_was_started_and_without_anybodys_words(
    visitor, ledger, monkeypatch, tmp_path
):
    def broken(*_args, **_kwargs):
        raise ValueError("ida@riders.invalid wrote")

    editor = visitor("editor")
    monkeypatch.setattr("triage.ledger.reviews.Reviews.history", broken)
    file = tmp_path / "log.jsonl"

    with click.Context(click.Command("desk")):
        set_up(False, str(file))
        with pytest.raises(
            ValueError, match="wrote"
        ):  # the test's own client hears of it, a browser does not
            editor.client.get("/history")
        editor.client._transport.raise_server_exceptions = False
        answer = editor.client.get("/history")

    assert answer.status_code == 500
    assert "the window where the desk was started says where" in answer.text
    assert "riders.invalid" not in answer.text
    told = [json.loads(line) for line in file.read_text(encoding="utf-8").splitlines()]
    assert [(one["level"], one["event"], one["error"]) for one in told] == [
        ("error", "page failed", "ValueError")
    ] * 2
    assert told[0]["place"].startswith("triage/desk/history.py:")

"""The entrance: passwords, the one-time address, wrong tries, cookies, and signing out."""

from __future__ import annotations

import pytest

from tests.triage.desk.visitors import PASSWORD, token_of
from triage.desk.entrance import lay_out_key
from triage.desk.passwords import TRIES, Tries, fits, hashed


def test_name_and_password_let_one_in_and_the_token_changes(visitor):
    stranger = visitor()
    before = stranger.client.get("/sign-in").cookies["desk"]

    stranger.come_in("editor")

    assert "The wall" in stranger.get("/wall")
    assert stranger.client.cookies["desk"] != before


def test_the_cookie_is_for_this_site_alone_and_out_of_reach_of_scripts(visitor):
    cookie = visitor().client.get("/sign-in").headers["set-cookie"]

    assert "HttpOnly" in cookie
    assert "SameSite=strict" in cookie
    assert "Path=/" in cookie


def test_a_wrong_password_and_an_unknown_name_are_told_alike(visitor):
    stranger = visitor()
    answers = []
    for name, password in (("the editor", "not this one at all"), ("nobody", PASSWORD)):
        token = token_of(stranger.client.get("/sign-in").text)
        answers.append(
            stranger.client.post("/sign-in", data={"form_token": token, "name": name, "password": password})
        )

    assert [answer.status_code for answer in answers] == [403, 403]
    assert all("Name and password don&#39;t fit together." in answer.text for answer in answers)


def test_after_some_wrong_tries_even_the_right_password_must_wait(visitor):
    stranger = visitor()
    token = token_of(stranger.client.get("/sign-in").text)
    for _ in range(TRIES):
        stranger.client.post("/sign-in", data={"form_token": token, "name": "the editor", "password": "x"})

    answer = stranger.client.post(
        "/sign-in", data={"form_token": token, "name": "The Editor", "password": PASSWORD}
    )

    assert answer.status_code == 429
    assert 0 < int(answer.headers["retry-after"]) <= 901
    assert "Too many wrong tries. Try again in 15 minutes." in answer.text


def test_another_name_may_still_come_in(visitor):
    stranger = visitor()
    token = token_of(stranger.client.get("/sign-in").text)
    for _ in range(TRIES):
        stranger.client.post("/sign-in", data={"form_token": token, "name": "the editor", "password": "x"})

    stranger.come_in("desk")

    assert "The wall" in stranger.get("/wall")


def test_the_one_time_address_lets_in_once_and_looking_at_it_uses_nothing_up(visitor, ledger):
    key = lay_out_key(ledger)
    one, other = visitor(), visitor()
    for _ in range(2):
        page = one.client.get(f"/enter/{key}")
        assert page.status_code == 200

    first = one.client.post(f"/enter/{key}", data={"form_token": token_of(page.text)})
    second = other.client.post(
        f"/enter/{key}", data={"form_token": token_of(other.client.get(f"/enter/{key}").text)}
    )

    assert first.headers["location"] == "/wall"
    assert "Sign out" in one.get("/wall")
    assert second.status_code == 403
    assert "That address was used already, or is too old." in second.text


def test_a_later_address_takes_the_place_of_an_earlier_one(visitor, ledger):
    early, late = lay_out_key(ledger), lay_out_key(ledger)
    stranger = visitor()
    token = token_of(stranger.client.get(f"/enter/{early}").text)

    assert stranger.client.post(f"/enter/{early}", data={"form_token": token}).status_code == 403
    assert stranger.client.post(f"/enter/{late}", data={"form_token": token}).status_code == 303


def test_signed_out_is_out_even_with_the_old_cookie(visitor):
    editor = visitor("editor")
    kept = editor.client.cookies["desk"]

    editor.post("/sign-out")
    editor.client.cookies.set("desk", kept)

    assert editor.client.get("/wall").headers["location"] == "/sign-in"


@pytest.mark.parametrize("cookie", ["", "x", "a.b.c", "YWJj.aaaa.bbbb", "é".encode().hex(), "." * 5000])
def test_a_made_up_cookie_opens_nothing(cookie, visitor):
    stranger = visitor()
    stranger.client.cookies.set("desk", cookie)

    assert stranger.client.get("/wall").headers["location"] == "/sign-in"


def test_who_is_taken_out_is_out_at_once(visitor, ledger):
    presenter = visitor("presenter")
    assert "The wall" in presenter.get("/wall")

    assert ledger.people.remove("THE PRESENTER")

    assert presenter.client.get("/wall").headers["location"] == "/sign-in"


def test_what_was_typed_is_given_back_when_the_session_has_ended(visitor, ledger, question):
    editor = visitor("editor")
    token = token_of(editor.get("/wall"))
    ledger.people.remove("the editor")

    answer = editor.client.post(
        f"/bench/{question}/text", data={"form_token": token, "version": "0", "script": "An hour's work"}
    )

    assert answer.status_code == 401
    assert "An hour&#39;s work" in answer.text


@pytest.mark.parametrize("password", ["short", "x" * 201])
def test_a_password_too_short_or_too_long_is_refused(password):
    with pytest.raises(
        ValueError, match=rf"^A password has 10 to 200 characters; this one has {len(password)}\.$"
    ):
        hashed(password)


def test_only_the_hash_is_kept_and_it_is_argon2(ledger):
    kept = [member.password_hash for member in ledger.people.all()]

    assert len(kept) == 3
    assert all(one.startswith("$argon2id$") for one in kept)
    assert fits(PASSWORD, kept[0])
    assert not fits(PASSWORD + " ", kept[0])
    assert not fits(PASSWORD, None)


def test_wrong_tries_are_remembered_for_a_bounded_number_of_names():
    tries = Tries()
    for number in range(11_000):
        tries.miss(f"n{number}", f"p{number}")

    assert len(tries.missed) <= 10_000

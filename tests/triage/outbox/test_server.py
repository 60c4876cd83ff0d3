"""The mail server and the sender as they are written on the command line, and what is said of those that can't be."""

from __future__ import annotations

import re

import pytest

from triage.outbox import Sender, Server, sender_from, server_from

PASSWORD = {"QUILLSTEM_SMTP_PASSWORD": "quiet"}


@pytest.mark.parametrize(
    ("text", "security", "host", "port"),
    [
        ("smtp.show.invalid:2525", "starttls", "smtp.show.invalid", 2525),
        ("smtp.show.invalid", "starttls", "smtp.show.invalid", 587),
        ("smtp.show.invalid", "tls", "smtp.show.invalid", 465),
        ("localhost", "none", "localhost", 25),
        (" 127.0.0.1:1025 ", "none", "127.0.0.1", 1025),
        ("[::1]:1025", "none", "::1", 1025),
    ],
)
def test_a_server_is_read(text, security, host, port):
    assert server_from(text, None, security, {}) == Server(host, port, security)


def test_the_password_comes_from_the_environment():
    server = server_from(
        "smtp.show.invalid", "desk@show.invalid", "starttls", PASSWORD, Sender("Answers", "a@show.invalid")
    )

    assert (server.user, server.password) == ("desk@show.invalid", "quiet")
    assert server.sender == Sender("Answers", "a@show.invalid")
    assert str(server) == "smtp.show.invalid:587"
    assert "quiet" not in repr(server)


@pytest.mark.parametrize(
    ("text", "user", "security", "environ", "told"),
    [
        (
            "smtp.show.invalid:https", None, "starttls", {},
            "'smtp.show.invalid:https': the port is a number from 1 to 65535, got 'https'.",
        ),
        ("smtp.show.invalid:0", None, "tls", {}, "'smtp.show.invalid:0': the port is a number from 1 to 65535, got '0'."),
        ("h:70000", None, "tls", {}, "'h:70000': the port is a number from 1 to 65535, got '70000'."),
        (
            "::1", None, "none", {},
            "'::1' is no mail server.\n"
            "    Write HOST:PORT, for example smtp.show.invalid:587, or [::1]:587 for a bare IPv6 address.",
        ),
        (
            "", None, "none", {},
            "'' is no mail server.\n"
            "    Write HOST:PORT, for example smtp.show.invalid:587, or [::1]:587 for a bare IPv6 address.",
        ),
        (
            "desk:quiet@smtp.show.invalid", None, "tls", {},
            "The mail server is written HOST:PORT, without a name, a password or a scheme.\n"
            "    For example smtp.show.invalid:587. The password goes into the variable QUILLSTEM_SMTP_PASSWORD.",
        ),
        ("smtp.show.invalid", None, "ssl", {}, "security: expected none, starttls or tls, got 'ssl'"),
        (
            "smtp.show.invalid", "desk", "tls", {},
            "desk signs in at the mail server, but QUILLSTEM_SMTP_PASSWORD is not set.\n"
            "    Put the password there; it is taken from nowhere else.",
        ),
        (
            "smtp.show.invalid", None, "tls", PASSWORD,
            "QUILLSTEM_SMTP_PASSWORD is set, but nobody is named who signs in.\n"
            "    Name the user, or take the variable away.",
        ),
        (
            "smtp.show.invalid", "desk", "none", PASSWORD,
            "The password would travel unsealed to smtp.show.invalid.\n"
            "    Seal the connection with starttls or tls; only a server on this machine may go without.",
        ),
        (
            "smtp.show.invalid", "desk", "tls", {"QUILLSTEM_SMTP_PASSWORD": "schön"},
            "The mail server's user and password can hold plain ASCII characters only.",
        ),
    ],
)  # fmt: skip
def test_what_can_not_be_is_said(text, user, security, environ, told):
    with pytest.raises(ValueError, match=f"^{re.escape(told)}$"):
        server_from(text, user, security, environ)


def test_a_password_may_go_unsealed_to_a_server_on_this_machine():
    assert server_from("127.0.0.1:1025", "desk", "none", PASSWORD).password == "quiet"


@pytest.mark.parametrize(
    ("text", "sender"),
    [
        (None, Sender("Workshop desk", "desk@show.invalid")),
        ("Workshop <a@show.invalid>", Sender("Workshop", "a@show.invalid")),
        ('"Répondeur, the" <a@show.invalid>', Sender("Répondeur, the", "a@show.invalid")),
        ("a@show.invalid", Sender("", "a@show.invalid")),
    ],
)
def test_a_sender_is_read(text, sender):
    assert sender_from(text) == sender


@pytest.mark.parametrize(
    "text", ["", "Workshop desk", "Desk <jürgen@show.invalid>", "a\x07b <a@show.invalid>", "a@b@c"]
)
def test_what_names_no_sender_is_said(text):
    with pytest.raises(ValueError, match="names no sender") as wrong:
        sender_from(text)

    assert str(wrong.value) == (
        f"{text!r} names no sender.\n"
        "    Write the name and a plain address: Workshop desk <desk@show.invalid>"
    )

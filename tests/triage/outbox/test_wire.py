"""The wire: sealed connections, signing in, and clear words where the server doesn't let the desk in."""

from __future__ import annotations

import shutil
import ssl
import subprocess
from dataclasses import replace

import pytest
from aiosmtpd.smtp import AuthResult

from tests.triage.outbox.signed import DESK, ordered
from tests.triage.outbox.sinks import Sink
from triage.outbox import Server, StoppedError, Totals, send, wire


@pytest.fixture(scope="module")
def certificate(tmp_path_factory):
    """A certificate for this machine that nobody trusts yet, and the server's side of it."""
    assert shutil.which("openssl"), "no openssl to make a test's certificate with"
    folder = tmp_path_factory.mktemp("certificate")
    words = "req -x509 -newkey ec -pkeyopt ec_paramgen_curve:prime256v1 -nodes -days 2 -subj /CN=sink -addext"
    out = ["-keyout", str(folder / "key.pem"), "-out", str(folder / "cert.pem")]
    subprocess.run(
        ["openssl", *words.split(), "subjectAltName=IP:127.0.0.1", *out],
        check=True,
        capture_output=True,
        timeout=60,
    )
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    context.load_cert_chain(folder / "cert.pem", folder / "key.pem")
    return folder / "cert.pem", context


def known(server, session, envelope, mechanism, login):
    """Whether desk and its password came."""
    is_known = (login.login, login.password) == (b"desk", b"right one")
    return AuthResult(success=is_known, handled=is_known)


@pytest.fixture
def sealed(certificate):
    """A server that seals the connection on asking, and wants a name and a password."""
    one = Sink(tls_context=certificate[1], require_starttls=True, authenticator=known, auth_required=True)
    one.start()
    yield one
    one.stop()


def test_mail_goes_over_a_sealed_connection_under_name_and_password(
    ledger, mails, sealed, certificate, monkeypatch
):
    monkeypatch.setenv("SSL_CERT_FILE", str(certificate[0]))
    ordered(ledger, mails, 2)
    server = replace(sealed.server_settings, security="starttls", user="desk", password="right one")

    assert send(ledger, server, DESK) == Totals(sent=2)


def test_mail_goes_over_a_connection_that_is_sealed_from_the_start(ledger, mails, certificate, monkeypatch):
    monkeypatch.setenv("SSL_CERT_FILE", str(certificate[0]))
    sink = Sink(ssl_context=certificate[1])
    sink.start()
    ordered(ledger, mails, 2)

    totals = send(ledger, replace(sink.server_settings, security="tls"), DESK)
    sink.stop()

    assert totals == Totals(sent=2)


def test_a_wrong_password_changes_nothing_and_is_not_repeated(
    ledger, mails, sealed, certificate, monkeypatch
):
    monkeypatch.setenv("SSL_CERT_FILE", str(certificate[0]))
    ordered(ledger, mails, 1)
    server = replace(sealed.server_settings, security="starttls", user="desk", password="wrong one")

    with pytest.raises(StoppedError) as stopped:
        send(ledger, server, DESK)

    assert str(stopped.value) == (
        f"127.0.0.1:{sealed.port} does not let desk in: 535 5.7.8 Authentication credentials invalid\n"
        "    Are the name and the password right?\n"
        "    1 mail waits; nothing of it was handed over."
    )
    assert mails.counts() == {"waiting": 1}


def test_a_certificate_that_nobody_vouches_for_ends_it(ledger, mails, sealed):
    ordered(ledger, mails, 1)

    with pytest.raises(StoppedError, match="certificate verify failed: self-signed certificate"):
        send(ledger, replace(sealed.server_settings, security="starttls"), DESK)

    assert mails.counts() == {"waiting": 1}


def test_a_server_that_seals_nothing_gets_nothing_when_it_should(ledger, mails, sink):
    ordered(ledger, mails, 1)

    with pytest.raises(StoppedError) as stopped:
        send(ledger, replace(sink.server_settings, security="starttls"), DESK)

    assert str(stopped.value) == (
        f"127.0.0.1:{sink.port} can't be used to send mail: STARTTLS extension not supported by server.\n"
        "    Are host and port right, is the server up, and does it take STARTTLS there?\n"
        "    1 mail waits; nothing of it was handed over."
    )
    assert sink.mails == []


def test_a_server_that_knows_no_tls_gets_nothing_when_it_should(ledger, mails, sink):
    ordered(ledger, mails, 1)
    with pytest.raises(StoppedError, match="can't be used to send mail"):
        send(ledger, replace(sink.server_settings, security="tls"), DESK)

    assert mails.counts() == {"waiting": 1}


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ("5.1.1 <ANA@riders.invalid>\r\n unknown", "5.1.1 <…> unknown"),
        ("\x1b[31mred\x00", "[31mred"),
        ("near miss: ana@rider.invalid", "near miss: ana@rider.invalid"),
        ("x" * 900, "x" * 300),
    ],
)
def test_the_servers_words_are_one_line_without_the_rider(words, told):
    assert wire.said(words, "ana@riders.invalid") == told


def test_a_whole_mail_is_waited_for_longer_than_a_word():
    assert Server("smtp.show.invalid", 587).patience_seconds * wire.PATIENCE_FOR_A_WHOLE_MAIL == 300

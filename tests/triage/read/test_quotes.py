"""Quoted earlier mail and signatures are left out, and nothing of the rider's own is."""

from __future__ import annotations

import pytest

HEAD = "From: Ana <ana@riders.invalid>\nMessage-ID: <1@b>\nSubject: Rim\n\n"
OWN = "My rim is 23 mm inside.\nWhich tyre fits?"


@pytest.mark.parametrize(
    "introduction",
    [
        "On 5 March 2024 at 10:30, Tom Holm <tom@riders.invalid> wrote:",
        "On Tue, Mar 5, 2024 at 10:30 AM Tom Holm\n<tom@riders.invalid> wrote:",
        "Am 05.03.2024 um 10:30 schrieb Tom Holm:",
        "Am Di., 5. März 2024 um 10:30 Uhr schrieb Tom Holm <tom@riders.invalid>:",
        "Le mar. 5 mars 2024 à 10:30, Tom Holm <tom@riders.invalid> a écrit :",
        "El 5 de marzo de 2024 a las 10:30, Tom Holm escribió:",
        "Il giorno mar 5 mar 2024 alle ore 10:30 Tom Holm <tom@riders.invalid> ha scritto:",
        "Em 5 de março de 2024 10:30, Tom Holm <tom@riders.invalid> escreveu:",
        "Op 5 maart 2024 om 10:30 schreef Tom Holm <tom@riders.invalid>:",
        "Den 5 mars 2024 kl. 10:30 skrev Tom Holm <tom@riders.invalid>:",
        "W dniu 05.03.2024 o 10:30 Tom Holm <tom@riders.invalid> pisze:",
        "5 марта 2024 г. 10:30 Том <tom@riders.invalid> написал:",
    ],
)
def test_quoted_mail_below_is_left_out_in_each_language(one_message, introduction):
    message = one_message(f"{HEAD}{OWN}\n\n{introduction}\n> Which rim?\n> And which tyre?\n")

    assert message.text == OWN


@pytest.mark.parametrize(
    "head",
    [
        "-----Original Message-----\nFrom: Tom\nSent: Tuesday\nTo: Ana\nSubject: Rim\n\nold words",
        "-----Ursprüngliche Nachricht-----\nVon: Tom\nGesendet: Dienstag\nAn: Ana\nBetreff: Rim\n\nold words",
        "________________________________\nFrom: Tom <t@b.invalid>\nSent: Tuesday\nTo: Ana\nSubject: Rim\n\nold words",
        "De : Tom\nEnvoyé : mardi 5 mars 2024\nÀ : Ana\nObjet : Rim\n\nold words",
    ],
)
def test_a_printed_mail_head_ends_the_riders_words(one_message, head):
    mail = HEAD.replace("Subject:", "In-Reply-To: <0@b>\nSubject:") + OWN + "\n\n" + head

    assert one_message(mail).text == OWN


def test_replies_between_quoted_lines_keep_their_order(one_message):
    mail = f"{HEAD}On 5 March 2024 at 10:30, Tom wrote:\n> Which rim?\n\n23 mm inside.\n\n> Which tyre?\n\n28 mm.\n"

    assert one_message(mail).text == "23 mm inside.\n\n28 mm."


@pytest.mark.parametrize(
    "own",
    [
        "On Sunday I wrote off my wheel:\nthe rim cracked at the joint.",
        "On 5 March 2024 I wrote off my wheel:\nthe rim cracked.",
        "What my dealer wrote:\nthe fork is fine. Is it?",
        "My measures:\n> 23 mm inside\n> 28 mm tyre",
        "From: home to work I ride 10 km.\nIs a 1 bar drop a day normal?",
        "Two choices:\n--\nwide rim\nnarrow rim, which is better?",
        "The label says:\n> use no grease here\nIs that so?",
        "Sent from the factory with 30 psi in it, is that right?",
        "The list\n- chain\n- cassette\n-- worn\nwhat first?",
    ],
)
def test_the_riders_own_words_stay_whole(one_message, own):
    assert one_message(HEAD + own).text == own


@pytest.mark.parametrize(
    "foot",
    [
        "-- \nAna Holm\n+49 171 1234567",
        "--\nAna Holm\nana@riders.invalid",
        "Sent from my phone",
        "Von meinem Telefon gesendet",
        "Envoyé de mon téléphone",
        "Enviado desde mi teléfono",
        "Verzonden vanaf mijn telefoon",
        "This e-mail is confidential and intended only for the addressee.",
    ],
)
def test_signatures_and_mailers_lines_are_left_out(one_message, foot):
    assert one_message(f"{HEAD}{OWN}\n\n{foot}\n").text == OWN


def test_a_quoted_mail_in_html_is_left_out(one_message):
    html = (
        "From: Ana <ana@riders.invalid>\nMessage-ID: <1@b>\nMIME-Version: 1.0\nSubject: Rim\n"
        "Content-Type: text/html; charset=utf-8\n\n<div>23 mm inside.</div>"
        "<div>On 5 March 2024 at 10:30, Tom &lt;t@b.invalid&gt; wrote:<br></div>"
        "<blockquote type='cite'><p>Which rim?</p><blockquote>Older.</blockquote></blockquote><p>Which tyre?</p>"
    )

    assert one_message(html).text == "23 mm inside.\n\nWhich tyre?"


def test_a_mail_passed_on_whole_keeps_its_text_and_is_flagged(one_message):
    mail = (
        f"{HEAD}---------- Forwarded message ---------\nFrom: Tom <t@b.invalid>\nDate: Tue, 5 Mar 2024\n"
        "Subject: Rim\nTo: Ana\n\nWhich tyre fits 23 mm?\n"
    )
    message = one_message(mail)

    assert message.text == "Which tyre fits 23 mm?"
    assert message.flags == ("forwarded",)
